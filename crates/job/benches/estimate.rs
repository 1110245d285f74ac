//! How long a price of about two hundred lines takes to draw, by number of draws and
//! threads, and how long a plan takes with the built-in catalogue.

#![expect(clippy::unwrap_used, reason = "a benchmark may stop at the first fault")]
#![expect(clippy::disallowed_types, reason = "a benchmark measures time")]

#[expect(dead_code, reason = "the tests use the rest")]
#[path = "../tests/common/mod.rs"]
mod common;

use std::time::{Duration, Instant};

use common::{RULE, Trouble, add_zone, at, empty, feature, rectangle, wall, walls};
use tooth_job::assessment::assess;
use tooth_job::estimate::{Drawing, estimate_with};
use tooth_job::methods::{FilmReach, OilReach, built_in};
use tooth_job::plan::{Objective, Plan, plan};
use tooth_job::survey::{Answer, JointKind, Place, Seen, Survey};
use tooth_measure::chance::Seed;
use tooth_measure::{Outline, Path};
use tooth_texture::{Alone, Job, Workers};

/// Threads that take the parts in turn.
struct Threads(usize);

impl Workers for Threads {
    fn run<'a>(&self, jobs: Vec<Job<'a>>) {
        let mut hands: Vec<Vec<Job<'a>>> = (0..self.0).map(|_| Vec::new()).collect();
        for (number, job) in jobs.into_iter().enumerate() {
            hands[number % self.0].push(job);
        }
        std::thread::scope(|scope| {
            for jobs in hands {
                scope.spawn(move || jobs.into_iter().for_each(|job| job()));
            }
        });
    }
}

/// The fastest of some.
fn fastest<T>(times: usize, mut work: impl FnMut() -> T) -> Duration {
    (0..times)
        .map(|_| {
            let start = Instant::now();
            std::hint::black_box(work());
            start.elapsed()
        })
        .min()
        .unwrap_or_default()
}

fn column(survey: &mut Survey, id: &str, x: f64, y: f64, radius: f64) {
    let corners: Vec<_> = (0..24)
        .map(|n| f64::from(n) * std::f64::consts::TAU / 24.0)
        .map(|a| at(x + radius * a.cos(), y + radius * a.sin()))
        .collect();
    let place = Place::Patch(Outline::new(&corners).unwrap());
    survey.features.push(feature(id, place, Seen::Obstacle));
}

fn joint(survey: &mut Survey, id: &str, x: f64, y: (f64, f64)) {
    let path = Path::new(&[at(x, y.0), at(x, y.1)]).unwrap();
    let seen = Seen::Joint { kind: JointKind::Contraction, working: Answer::Yes, old_filler: Answer::No };
    survey.features.push(feature(id, Place::Line(path), seen));
}

/// So many rooms in rows of twenty, each with walls, a column, a joint and troubles of its
/// own.
fn rooms(count: u32) -> Survey {
    let mut survey = empty();
    for number in 0..count {
        let name = format!("room-{number}");
        let (x, y) = (f64::from(number % 20) * 15.0, f64::from(number / 20) * 12.0);
        let (w, h) = (7.0 + f64::from(number % 5), 5.0 + f64::from(number % 4));
        add_zone(&mut survey, &name, rectangle(x, y, w, h));
        survey.features.push(walls(&format!("{name}-walls"), x, y, w, h));
        column(&mut survey, &format!("{name}-column"), x + w * 0.6, y + h * 0.4, 0.3);
        joint(&mut survey, &format!("{name}-joint"), x + w / 2.0, (y + 0.5, y + h - 0.5));
        let trouble = Trouble {
            share: 0.3 + 0.1 * f64::from(number % 6),
            film: [FilmReach::None, FilmReach::Thin, FilmReach::Thick][number as usize % 3],
            oil: [OilReach::None, OilReach::Surface][number as usize % 2],
            weak_tenths: (number % 4 * 5) as u16,
            dense: number % 3 == 1,
            hollow: true,
            chip: 2,
        };
        trouble.mark(&mut survey, &name, x, y, w, h);
    }
    survey
}

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

fn planned(survey: &Survey) -> Plan {
    plan(survey, &assess(survey, RULE), &built_in(), RULE, Objective::Cheapest)
}

fn steps(plan: &Plan) -> usize {
    plan.zones.iter().map(|zone| zone.steps.len()).sum()
}

fn main() {
    let catalogue = built_in();
    let survey = rooms(35);
    let plan = planned(&survey);
    let draw = |draws, workers: &dyn Workers| {
        estimate_with(
            &survey,
            &plan,
            &catalogue,
            Drawing { seed: Seed(1), draws, bid: None, workers },
        )
    };
    let lines = draw(256, &Alone);
    println!("{} priced lines, {} unknowns", lines.lines.len(), lines.drivers.len());
    for draws in [100_000, 1_000_000] {
        for threads in [1, 2] {
            let workers = Threads(threads);
            let time = fastest(3, || draw(draws, &workers));
            println!("{draws:>9} draws, {threads} threads {:>9.1} ms", time.as_secs_f64() * 1e3);
        }
    }
    for (survey, bar, times) in [(hall(), 50.0, 5), (rooms(200), 5_000.0, 1)] {
        let assessed = assess(&survey, RULE);
        let make =
            || tooth_job::plan::plan(&survey, &assessed, &catalogue, RULE, Objective::Cheapest);
        let (made, time) = (make(), fastest(times, make).as_secs_f64() * 1e3);
        println!(
            "plan of {:>3} zones, {} steps {time:>9.1} ms, bar {bar} ms{}",
            survey.zones.len(),
            steps(&made),
            if time > bar { ": too slow" } else { "" }
        );
    }
}
