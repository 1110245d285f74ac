//! How long a price of about two hundred lines takes to draw, by number of draws and threads.

#![expect(clippy::unwrap_used, reason = "a benchmark may stop at the first fault")]
#![expect(clippy::disallowed_types, reason = "a benchmark measures time")]

#[expect(dead_code, reason = "the tests use the rest")]
#[path = "../tests/common/mod.rs"]
mod common;

use std::time::{Duration, Instant};

use common::{RULE, Trouble, add_zone, at, empty, feature, rectangle, walls};
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
    let seen =
        Seen::Joint { kind: JointKind::Contraction, working: Answer::Yes, old_filler: Answer::No };
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

fn planned(survey: &Survey) -> Plan {
    plan(survey, &assess(survey, RULE), &built_in(), RULE, Objective::Cheapest)
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
}
