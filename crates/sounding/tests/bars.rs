//! How well synthesized slabs that nothing was learnt from, and real ones, are told.

mod common;

use common::{Pool, for_seeds, heard, marks, recipe};
use tooth_sounding::{Class, Groups, Sounding};

#[test]
fn settings() {
    for (snr, rim) in [(15.0, 1.0), (15.0, 2.0), (6.0, 1.0)] {
        let soundings = for_seeds(9000..9040, |seed| {
            let recipe = recipe(seed, snr, rim);
            let made = recipe.make();
            let marks = marks(&made, &recipe, 10, 1.4, seed);
            let heard = heard(&made);
            let alone = Sounding::of(&heard, &[], None).unwrap();
            (Sounding::of(&heard, &marks, None).unwrap(), alone, made)
        });
        let mut pool = Pool::default();
        let (mut found, mut all, mut rows, mut right) = (0, 0, 0, 0);
        let mut off = vec![];
        for (sounding, alone, made) in &soundings {
            pool.add(sounding, made);
            for (tap, truth) in sounding.taps.iter().zip(&made.taps) {
                rows += 1;
                if let Some(time) = tap.time {
                    let d = (time - truth.time).seconds().abs();
                    off.push(d);
                    if d < 0.005 {
                        right += 1;
                    }
                }
            }
            all += alone.taps.len();
            found += made
                .taps
                .iter()
                .filter(|t| {
                    alone.taps.iter().any(|a| (a.time.unwrap() - t.time).seconds().abs() < 0.02)
                })
                .count();
        }
        off.sort_by(f64::total_cmp);
        let (ece, bins) = pool.calibration();
        println!(
            "{snr} dB rim {rim}: recall {:.4} precision {:.4} | rows right {:.4} median {:.2} ms | AUC {:.4} balanced {:.4} {:?} inside {:.4} ECE {ece:.4}",
            found as f64 / rows as f64,
            found as f64 / all as f64,
            right as f64 / rows as f64,
            1e3 * off[off.len() / 2],
            pool.auc(),
            pool.balanced(),
            pool.rates(),
            pool.well_inside()
        );
        for b in bins {
            println!("    said {:.3} came {:.3} of {}", b.0, b.1, b.2);
        }
        let (mut a, mut t, mut inside) = (0.0, 0.0, 0);
        for (s, _, made) in &soundings {
            let f = s.field.as_ref().unwrap();
            let truth: f64 = made.patches.iter().map(|p| p.area().square_metres()).sum();
            a += f.hollow.square_metres();
            t += truth;
            if f.bounds.0.square_metres() <= truth && truth <= f.bounds.1.square_metres() {
                inside += 1;
            }
        }
        println!(
            "   area bias {:.3}, covered {inside} of {}; groups {:?}",
            a / t - 1.0,
            soundings.len(),
            soundings.iter().filter(|s| s.0.groups == Groups::Two).count()
        );
    }
    let all_sound = for_seeds(7000..7040, |seed| {
        let mut r = recipe(seed, 15.0, 1.0);
        r.patches = tooth_sounding::synthesizer::Patches::Drawn(0);
        let made = r.make();
        let m = marks(&made, &r, 10, 1.4, seed);
        Sounding::of(&heard(&made), &m, None).unwrap()
    });
    let flagged =
        all_sound.iter().flat_map(|s| &s.taps).filter(|t| t.class == Class::Hollow).count();
    let doubt =
        all_sound.iter().flat_map(|s| &s.taps).filter(|t| t.class == Class::Doubtful).count();
    println!(
        "all sound: {flagged} flagged {doubt} doubtful of {}; groups {:?}",
        40 * 120,
        all_sound.iter().map(|s| s.groups).collect::<Vec<_>>()
    );
    println!(
        "area {:?}",
        all_sound
            .iter()
            .map(|s| s.field.as_ref().unwrap().hollow.square_metres())
            .collect::<Vec<_>>()
    );
}
