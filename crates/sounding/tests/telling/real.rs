//! Two real slabs (tests/data/impact-echo), told with ten known-good taps each.

use crate::common::{Pool, unmarked, vouch};
use tooth_measure::chance::{Seed, Stream};
use tooth_measure::{Fraction, Frequency, Length, Point, TimeSpan};
use tooth_sounding::synthesizer::{Made, MadeTap};
use tooth_sounding::{Known, Mark, Sounding};

const RATE: f64 = 48_000.0;
const RECORD: usize = 288;
const APART: f64 = 0.25;

/// Samples of the records, and where each was struck.
type Files = (&'static [u8], &'static str);

const AT_60_MM: Files = (
    include_bytes!("../data/impact-echo/slab-60mm.i16"),
    include_str!("../data/impact-echo/slab-60mm.csv"),
);
const AT_140_TO_60_MM: Files = (
    include_bytes!("../data/impact-echo/slab-140-to-60mm.i16"),
    include_str!("../data/impact-echo/slab-140-to-60mm.csv"),
);

/// The slab as a recording of one tap every quarter of a second, and how far inside the
/// crack each is.
fn slab((bytes, text): Files) -> (Made, Vec<f64>) {
    let values: Vec<f32> = bytes
        .chunks(2)
        .map(|pair| f32::from(i16::from_le_bytes([pair[0], pair[1]])) / 32_768.0)
        .collect();
    let rows: Vec<Vec<f64>> = text
        .lines()
        .skip(1)
        .map(|line| line.split(',').map(|cell| cell.parse().unwrap()).collect())
        .collect();
    let apart = (APART * RATE) as usize;
    // Between the records, a noise of the last bits as a recorder has it.
    let mut noise = Stream::new(Seed(1), 0);
    let mut samples: Vec<f32> = (0..(rows.len() + 3) * apart)
        .map(|_| ((noise.uniform() - 0.5) * 12.0).round() as f32 / 32_768.0)
        .collect();
    for (number, record) in values.chunks(RECORD).enumerate() {
        let start = (number + 2) * apart - 48;
        samples[start..start + RECORD].copy_from_slice(record);
    }
    let taps = rows
        .iter()
        .enumerate()
        .map(|(number, row)| MadeTap {
            time: TimeSpan::from_seconds((number + 2) as f64 * APART),
            place: Point::new(Length::from_metres(row[1]), Length::from_metres(row[2])),
            hollow: row[3] > 0.5,
            relative_radius: Fraction::new(0.0),
            silent: false,
        })
        .collect();
    let rate = Frequency::from_hertz(RATE);
    (
        Made { samples, sample_rate: rate, taps, patches: Vec::new() },
        rows.iter().map(|row| row[4]).collect(),
    )
}

/// Balanced accuracy over ten draws of known-good taps at least a pitch from the crack and
/// off the slab's rim; taps on the crack's edge are left out of the score.
fn balanced(files: Files) -> f64 {
    let (made, inside) = slab(files);
    let heard = crate::common::heard(&made);
    let scores: Vec<f64> = (0..10)
        .map(|seed| {
            let mut marks = unmarked(&made);
            let inner = |mark: &Mark| {
                mark.place.is_some_and(|p| {
                    [p.x, p.y].iter().all(|v| v.metres() > 0.05 && v.metres() < 0.75)
                })
            };
            let candidates =
                (0..marks.len()).filter(|i| inside[*i] < -0.04 && inner(&marks[*i])).collect();
            vouch(&mut marks, candidates, 10, seed);
            let sounding = Sounding::of(&heard, &marks, None).unwrap();
            let lost: Vec<u32> = sounding
                .taps
                .iter()
                .filter(|tap| tap.time.is_none())
                .map(|tap| tap.number)
                .collect();
            assert_eq!(lost, [0; 0]);
            let mut pool = Pool::default();
            let scored: Vec<usize> =
                (0..marks.len()).filter(|i| inside[*i].abs() >= 0.02).collect();
            for i in scored {
                if sounding.taps[i].known != Some(Known::Sound) {
                    pool.probability.push(sounding.taps[i].hollow.ratio());
                    pool.class.push(sounding.taps[i].class);
                    pool.hollow.push(made.taps[i].hollow);
                }
            }
            pool.balanced()
        })
        .collect();
    let mean = scores.iter().sum::<f64>() / scores.len() as f64;
    println!("balanced accuracy {mean:.3} over ten draws {scores:.3?}");
    mean
}

#[test]
fn a_crack_60_mm_deep_is_told() {
    assert!(balanced(AT_60_MM) >= 0.88);
}

#[test]
fn a_crack_140_to_60_mm_deep_is_told() {
    assert!(balanced(AT_140_TO_60_MM) >= 0.82);
}
