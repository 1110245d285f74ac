//! Cutting a floor into areas changes nothing but what really differs: areas of one lot are
//! tested as one.
#![expect(clippy::unwrap_used, reason = "tests fail loudly")]

#[expect(dead_code, reason = "the other test crates use the rest")]
mod common;

use std::collections::BTreeMap;

use common::{RULE, add_zone, at, empty, noon, rectangle};
use proptest::prelude::*;
use tooth_job::acceptance::accept;
use tooth_job::assessment::{Assessment, assess};
use tooth_job::methods::built_in;
use tooth_job::plan::{Objective, plan};
use tooth_job::survey::{Matter, Measured, Prepared, Survey};

const WIDTH: f64 = 40.0;
const HEIGHT: f64 = 20.0;

/// A floor with nothing read on it, cut into areas side by side; of one lot or not.
fn floor(parts: usize, lot: bool) -> Survey {
    let mut survey = empty();
    let each = WIDTH / parts as f64;
    for part in 0..parts {
        add_zone(
            &mut survey,
            &format!("part-{part}"),
            rectangle(each * part as f64, 0.0, each, HEIGHT),
        );
    }
    survey.readings.clear();
    for zone in &mut survey.zones {
        zone.lot = lot.then(|| "floor".to_owned());
    }
    survey
}

/// How many tests each matter asks for, all areas together; climate is each area's own.
fn asked(assessment: &Assessment) -> BTreeMap<Matter, u32> {
    let mut asked = BTreeMap::new();
    for gap in assessment.zones.iter().flat_map(|zone| &zone.unknown) {
        if gap.code.is_of_the_lot() {
            *asked.entry(gap.code).or_default() += gap.count;
        }
    }
    asked
}

#[test]
fn forty_areas_of_one_floor_are_asked_for_what_the_floor_is_asked_for() {
    let whole = asked(&assess(&floor(1, false), RULE));
    assert_eq!(asked(&assess(&floor(40, true), RULE)), whole);
    let apart = asked(&assess(&floor(40, false), RULE));
    assert!(apart[&Matter::SamplePanel] == 40 && whole[&Matter::SamplePanel] == 1);
    assert!(apart[&Matter::Moisture] > 4 * whole[&Matter::Moisture]);
}

#[test]
fn what_was_read_in_one_area_speaks_for_the_lot_and_for_nobody_else() {
    for lot in [true, false] {
        let mut survey = floor(2, lot);
        let zone = survey.zones[0].id.clone();
        survey.readings.extend(common::good_readings(&zone, 12));
        let other = &assess(&survey, RULE).zones[1];
        let open = other.unknown.iter().any(|gap| gap.code == Matter::Moisture);
        assert_eq!(open, !lot);
    }
}

#[test]
fn a_lot_is_accepted_by_tests_spread_over_all_of_it() {
    let mut survey = floor(2, true);
    let zones: Vec<_> = survey.zones.iter().map(|zone| zone.id.clone()).collect();
    for zone in &zones {
        survey.facts.prepared.push(Prepared { zone: zone.clone(), time: noon(), by: "T".into() });
    }
    for number in 0..12 {
        let x = WIDTH / 12.0 * (f64::from(number) + 0.5);
        let home = if x < WIDTH / 2.0 { &zones[0] } else { &zones[1] };
        for held in common::good_readings(home, 1) {
            let mut held = held;
            held.id = tooth_job::survey::ReadingId::new(&format!("{}-{number}", held.id)).unwrap();
            held.place = Some(at(x, if number % 2 == 0 { 4.0 } else { 16.0 }));
            held.by = format!("person {}", number % 2);
            survey.readings.push(held);
        }
    }
    let judged = accept(&survey, &built_in(), RULE).zones;
    let pulls: Vec<_> = judged.iter().filter(|held| held.test.key() == "pull_off").collect();
    assert_eq!(pulls.len(), 2);
    assert!(pulls.iter().all(|held| held.accepted && held.count == 12), "{pulls:?}");
    assert!(survey.readings.iter().any(|held| matches!(held.measured, Measured::PullOff { .. })));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    /// Whatever the cut: the tests of a lot and the list before the system are those of the floor.
    #[test]
    fn cutting_a_floor_into_areas_of_one_lot_changes_no_test(parts in 2..6usize) {
        let (whole, cut) = (floor(1, false), floor(parts, true));
        prop_assert_eq!(asked(&assess(&whole, RULE)), asked(&assess(&cut, RULE)));
        let proof = |survey: &Survey| {
            let made = plan(survey, &assess(survey, RULE), &built_in(), RULE, Objective::Cheapest);
            made.zones.iter().map(|zone| zone.proof.clone()).collect::<Vec<_>>()
        };
        let whole = proof(&whole);
        for zone in proof(&cut) {
            prop_assert_eq!(&zone, &whole[0]);
        }
    }
}
