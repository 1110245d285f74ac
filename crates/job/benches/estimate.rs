//! How long a price of about two hundred lines takes to draw, by number of draws and threads.

#![expect(clippy::unwrap_used, reason = "a benchmark may stop at the first fault")]
#![expect(clippy::disallowed_types, reason = "a benchmark measures time")]

mod clock;
#[expect(dead_code, reason = "the tests use the rest")]
#[path = "../tests/common/mod.rs"]
mod common;
mod slabs;

use clock::fastest;
use common::RULE;
use slabs::{Threads, rooms};
use tooth_job::assessment::assess;
use tooth_job::estimate::{Drawing, estimate_with};
use tooth_job::methods::built_in;
use tooth_job::plan::{Objective, Plan, plan};
use tooth_job::survey::Survey;
use tooth_measure::chance::Seed;
use tooth_texture::{Alone, Workers};

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
