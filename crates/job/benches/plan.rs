//! How long plans take with the built-in catalogue: six areas, two hundred areas, a thousand
//! marks in one area, ten thousand features on a slab.

#![expect(clippy::unwrap_used, reason = "a benchmark may stop at the first fault")]
#![expect(clippy::disallowed_types, reason = "a benchmark measures time")]

mod clock;
#[expect(dead_code, reason = "the tests use the rest")]
#[path = "../tests/common/mod.rs"]
mod common;
mod slabs;

use std::time::Instant;

use clock::fastest;
use common::{RULE, Trouble, add_zone, at, empty, feature, rectangle, wall, walls};
use slabs::{Threads, column, joint, rooms};
use tooth_job::assessment::{assess, assess_by};
use tooth_job::estimate::{DRAWS, Drawing, estimate_with};
use tooth_job::methods::{FilmReach, built_in};
use tooth_job::plan::{Objective, Plan, plan_by};
use tooth_job::survey::{
    Answer, Contaminant, CrackMovement, FilmKind, FilmMaterial, Hollow, HollowKind, JointKind,
    Place, Seen, SurfaceState, Survey,
};
use tooth_measure::chance::Seed;
use tooth_measure::{Length, Outline, Path};

/// A job as it comes: six areas of a hall, one an L, one slanted, with a row of columns.
fn hall() -> Survey {
    let mut survey = rooms(0);
    let areas: [(&str, &[(f64, f64)]); 6] = [
        ("workshop", &[(0., 0.), (24., 0.), (24., 15.), (0., 15.)]),
        ("store", &[(24., 0.), (36., 0.), (36., 15.), (24., 15.)]),
        ("office", &[(0., 15.), (8., 15.), (8., 21.), (0., 21.)]),
        ("corridor", &[(8., 15.), (36., 15.), (36., 17.), (10., 17.), (10., 21.), (8., 21.)]),
        ("ramp", &[(36., 0.), (44., 1.), (43., 14.), (36., 15.)]),
        ("yard", &[(10., 17.), (36., 17.), (36., 30.), (10., 28.)]),
    ];
    for (number, (name, corners)) in areas.into_iter().enumerate() {
        let corners: Vec<_> = corners.iter().map(|(x, y)| at(*x, *y)).collect();
        add_zone(&mut survey, name, Outline::new(&corners).unwrap());
        let mut round = corners.clone();
        round.extend(corners.first());
        survey.features.push(wall(&format!("{name}-walls"), &round));
        let (x, y) = (corners[0].x.metres() + 1.0, corners[0].y.metres() + 0.5);
        let trouble = Trouble {
            share: 0.4,
            film: [FilmReach::Thin, FilmReach::None, FilmReach::Thick][number % 3],
            hollow: number % 2 == 0,
            dense: number == 1,
            chip: 2,
            ..Trouble::NONE
        };
        trouble.mark(&mut survey, name, x, y, 4.0, 1.2);
    }
    for number in 0..6u32 {
        let x = 4.0 + 6.0 * f64::from(number);
        column(&mut survey, &format!("column-{number}"), x, 7.0, 0.25);
        joint(&mut survey, &format!("joint-{number}"), x, (0.5, 14.5));
    }
    survey
}

fn steps(plan: &Plan) -> usize {
    plan.zones.iter().map(|zone| zone.steps.len()).sum()
}

/// One area with so many marks: films, oil and weak places of many depths, spread over it.
fn marked(count: u32) -> Survey {
    let mut survey = empty();
    add_zone(&mut survey, "floor", rectangle(0.0, 0.0, 60.0, 40.0));
    survey.features.push(walls("walls", 0.0, 0.0, 60.0, 40.0));
    for number in 0..count {
        let (x, y) = (f64::from(number % 40) * 1.5 + 0.1, f64::from(number / 40 % 26) * 1.5 + 0.1);
        let spread = f64::from(number % 7) * 0.1;
        let place = Place::Patch(rectangle(x, y, 0.3 + spread, 0.4));
        let seen = match number % 4 {
            0 => Seen::Film {
                kind: FilmKind::Sealer,
                thickness: None,
                material: FilmMaterial::default(),
                condition: tooth_job::survey::FilmCondition::Unknown,
            },
            1 => Seen::Stain {
                kind: Contaminant::Oil,
                depth: Some(Length::from_millimetres(f64::from(number % 9))),
            },
            2 => Seen::Surface {
                state: SurfaceState::Laitance,
                depth: Some(Length::from_millimetres(0.2 * f64::from(number % 23 + 1))),
            },
            _ => Seen::Hollow {
                sure: Hollow::Sure,
                kind: HollowKind::LooseSkin,
                depth: Some(Length::from_millimetres(20.0)),
            },
        };
        survey.features.push(feature(&format!("mark-{number}"), place, seen));
    }
    survey
}

/// A slab of sixty areas with ten thousand features and two thousand readings.
fn large() -> Survey {
    let mut survey = empty();
    for number in 0..60_u32 {
        let (x, y) = (f64::from(number % 10) * 20.0, f64::from(number / 10) * 20.0);
        let name = format!("area-{number}");
        add_zone(&mut survey, &name, rectangle(x, y, 20.0, 20.0));
        survey.features.push(walls(&format!("{name}-walls"), x, y, 20.0, 20.0));
        for mark in 0..160_u32 {
            let (dx, dy) = (f64::from(mark % 13) * 1.5 + 0.2, f64::from(mark / 13) * 1.5 + 0.2);
            let id = format!("{name}-{mark}");
            let spot = Place::Patch(rectangle(x + dx, y + dy, 0.4, 0.3));
            let line = || {
                let path = Path::new(&[at(x + dx, y + dy), at(x + dx + 1.0, y + dy + 0.7)]);
                Place::Line(path.unwrap())
            };
            let (place, seen) = match mark % 6 {
                0 => (
                    spot,
                    Seen::Film {
                        kind: FilmKind::Coating,
                        thickness: None,
                        material: FilmMaterial::default(),
                        condition: tooth_job::survey::FilmCondition::Unknown,
                    },
                ),
                1 => (spot, Seen::Stain { kind: Contaminant::Oil, depth: None }),
                2 => (
                    spot,
                    Seen::Ghost { kind: tooth_job::survey::GhostKind::GlueRows, of: "glue".into() },
                ),
                3 => (
                    line(),
                    Seen::Crack {
                        width: Length::from_millimetres(0.1 * f64::from(mark % 20 + 1)),
                        movement: CrackMovement::Unknown,
                        said: None,
                        leaking: Answer::No,
                        displaced: Answer::No,
                    },
                ),
                4 => (
                    line(),
                    Seen::Joint {
                        kind: JointKind::Contraction,
                        working: Answer::No,
                        old_filler: Answer::No,
                    },
                ),
                _ => (
                    spot,
                    Seen::Spall { depth: Length::from_millimetres(30.0), bars_exposed: Answer::No },
                ),
            };
            survey.features.push(feature(&id, place, seen));
        }
    }
    survey
}

/// Two processors.
const TWO: Threads = Threads(2);

fn main() {
    let catalogue = built_in();
    // `-- features` runs the large slabs alone.
    let all = !std::env::args().any(|argument| argument == "features");
    for (survey, bar, times) in
        [(hall(), 50.0, 5), (rooms(200), 5_000.0, 1)].into_iter().filter(|_| all)
    {
        let assessed = assess(&survey, RULE);
        let make = || plan_by(&survey, &assessed, &catalogue, RULE, Objective::Cheapest, &TWO);
        let (made, time) = (make(), fastest(times, make).as_secs_f64() * 1e3);
        println!(
            "plan of {:>3} zones, {} steps {time:>9.1} ms, bar {bar} ms{}",
            survey.zones.len(),
            steps(&made),
            if time > bar { ": too slow" } else { "" }
        );
    }
    for (what, survey, bar) in
        [("1,000 marks in one area", marked(1000), 2_000.0), ("10,000 features", large(), 4_000.0)]
    {
        let (mut parts, start) = (Vec::new(), Instant::now());
        let assessed = assess_by(&survey, RULE, &TWO);
        parts.push(start.elapsed());
        let made = plan_by(&survey, &assessed, &catalogue, RULE, Objective::Cheapest, &TWO);
        parts.push(start.elapsed());
        let drawing = Drawing { seed: Seed(1), draws: DRAWS, bid: None, workers: &TWO };
        std::hint::black_box(estimate_with(&survey, &made, &catalogue, drawing));
        parts.push(start.elapsed());
        let parts: Vec<f64> = parts.iter().map(|part| part.as_secs_f64() * 1e3).collect();
        println!(
            "{what} ({}, proven {}): assessed after {:.0} ms, planned after {:.0}, priced after {:.0}, bar {bar}{}",
            survey.features.len(),
            made.optimal,
            parts[0],
            parts[1],
            parts[2],
            if parts[2] > bar { ": too slow" } else { "" }
        );
    }
}
