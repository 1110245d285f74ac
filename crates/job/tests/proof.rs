//! What was asked before is asked after: each finding that preparation takes care of names the
//! test that shows it gone, and that test stands in the plan, on the sheet's STOP and in
//! acceptance. New readings stand in for old ones where the surface was made new.
#![expect(clippy::unwrap_used, reason = "tests fail loudly")]

#[expect(dead_code, reason = "the other test crates use the rest")]
mod common;

use std::collections::BTreeSet;

use common::{RULE, feature, noon, rectangle, room, told, trouble};
use proptest::prelude::*;
use tooth_job::acceptance::{Judged, accept};
use tooth_job::assessment::{FindingState, assess};
use tooth_job::methods::built_in;
use tooth_job::plan::{Objective, Plan, ProofTest, plan, shown_gone_by};
use tooth_job::survey::{
    Answer, Contaminant, FailureMode, FeatureId, FilmKind, FilmMaterial, Hollow, HollowKind,
    Matter, Measured, Place, Prepared, Reading, RepairSound, Seen, Survey,
};
use tooth_measure::choice::Choice as _;
use tooth_measure::{Length, Stress};

const PSI: f64 = 0.006_894_757_293;

fn planned(survey: &Survey) -> Plan {
    plan(survey, &assess(survey, RULE), &built_in(), RULE, Objective::Cheapest)
}

fn tests(survey: &Survey) -> BTreeSet<ProofTest> {
    planned(survey).zones[0].proof.iter().map(|proof| proof.test).collect()
}

fn marked(id: &str, seen: Seen) -> Survey {
    let mut survey = room();
    survey.features.push(feature(id, Place::Patch(rectangle(2.0, 2.0, 0.6, 0.6)), seen));
    survey
}

fn loose() -> Survey {
    let depth = Some(Length::from_millimetres(30.0));
    let kind = HollowKind::LooseSkin;
    marked("H1", Seen::Hollow { sure: Hollow::Sure, kind, depth })
}

/// Prepared an hour after all that was read.
fn done(survey: &mut Survey) -> jiff::civil::DateTime {
    let time = noon().date().tomorrow().unwrap().at(8, 0, 0, 0);
    let zone = survey.zones[0].id.clone();
    survey.facts.prepared.push(Prepared { zone, time, by: "T".into() });
    time
}

fn read(survey: &mut Survey, of: Option<&str>, time: jiff::civil::DateTime, measured: Measured) {
    let id = format!("after-{}", survey.readings.len());
    let reading = common::reading(&id, &survey.zones[0].id, "T", measured);
    survey.readings.push(Reading { time, subject: of.and_then(FeatureId::new), ..reading });
}

fn judged(survey: &Survey, test: ProofTest) -> Judged {
    let all = accept(survey, &built_in(), RULE).zones;
    all.into_iter().find(|judged| judged.test.key() == test.key()).unwrap()
}

#[test]
fn a_patch_is_tapped_again_and_its_bond_is_tested_apart() {
    let mut survey = loose();
    assert!(tests(&survey).contains(&ProofTest::RepairSounding));
    assert!(tests(&survey).contains(&ProofTest::RepairPullOff));
    let stop: Vec<String> = planned(&survey).zones[0].before_system.iter().map(told).collect();
    assert!(stop.iter().any(|due| due.contains("H1 tapped again")), "{stop:?}");
    let time = done(&mut survey);
    let strong = |psi: f64| Measured::PullOff {
        strength: Stress::from_megapascals(psi * PSI),
        failure: FailureMode::Substrate,
    };
    // What was pulled from the slab says nothing of the patch.
    for _ in 0..3 {
        read(&mut survey, None, time, strong(400.0));
    }
    assert_eq!(judged(&survey, ProofTest::RepairPullOff).count, 0);
    assert_eq!(judged(&survey, ProofTest::PullOff).count, 3);
    read(&mut survey, Some("H1"), time, strong(400.0));
    assert!(judged(&survey, ProofTest::RepairPullOff).accepted);
    assert_eq!(judged(&survey, ProofTest::PullOff).count, 3);
    assert!(!judged(&survey, ProofTest::RepairSounding).accepted, "nobody tapped it");
    read(&mut survey, Some("H1"), time, Measured::RepairSounding(RepairSound::Hollow));
    assert!(!judged(&survey, ProofTest::RepairSounding).accepted);
    let later = time.date().tomorrow().unwrap().at(8, 0, 0, 0);
    read(&mut survey, Some("H1"), later, Measured::RepairSounding(RepairSound::Sound));
    assert!(judged(&survey, ProofTest::RepairSounding).accepted, "the last counts");
}

#[test]
fn a_filled_low_spot_is_looked_at_under_a_straightedge() {
    let mut survey = marked("T1", Seen::LowSpot { depth: Length::from_millimetres(9.0) });
    assert!(tests(&survey).contains(&ProofTest::Straightedge));
    let time = done(&mut survey);
    let gap = |depth: f64| Measured::StraightedgeDepth(Length::from_millimetres(depth));
    read(&mut survey, Some("T1"), time, gap(6.0));
    assert!(!judged(&survey, ProofTest::Straightedge).accepted);
    read(&mut survey, Some("T1"), time.date().at(9, 0, 0, 0), gap(2.0));
    assert!(judged(&survey, ProofTest::Straightedge).accepted);
}

/// Issue's case: retests of 201, 205 and 300 psi after the weak layer came off, 120 before.
#[test]
fn new_readings_stand_in_for_those_of_the_surface_that_was_taken_off() {
    let mut survey = room();
    survey.systems[0].least_pull_off_strength = Some(Stress::from_megapascals(200.0 * PSI));
    survey.readings.retain(|held| !matches!(held.measured, Measured::PullOff { .. }));
    let pulled = |psi: f64| Measured::PullOff {
        strength: Stress::from_megapascals(psi * PSI),
        failure: FailureMode::Substrate,
    };
    for psi in [120.0, 130.0, 140.0, 150.0, 160.0, 170.0] {
        read(&mut survey, None, noon(), pulled(psi));
    }
    let weak = |survey: &Survey| {
        let zone = assess(survey, RULE).zones.swap_remove(0);
        zone.findings.iter().any(|found| {
            matches!(found.code, Matter::PullOffStrength | Matter::PullOffRetest)
                && found.state != FindingState::Fine
        })
    };
    assert!(weak(&survey));
    let sold = planned(&survey).total_cost;
    let time = done(&mut survey);
    assert!(weak(&survey), "nothing was read since: what was known holds");
    for psi in [201.0, 205.0, 300.0] {
        read(&mut survey, None, time, pulled(psi));
    }
    assert!(!weak(&survey));
    assert!(planned(&survey).total_cost <= sold, "the step is not sold again");
    assert!(judged(&survey, ProofTest::PullOff).accepted);
    // What preparation does not make new is not forgotten.
    let of = |survey: &Survey| {
        survey
            .readings_of(&survey.zones[0])
            .filter(|held| matches!(held.measured, Measured::InSlabHumidity(_)))
            .count()
    };
    let before = of(&survey);
    read(&mut survey, None, time, Measured::InSlabHumidity(tooth_measure::Fraction::new(0.7)));
    assert_eq!(of(&survey), before + 1);
}

#[test]
fn oil_and_a_curing_compound_are_not_accepted_before_they_are_shown_gone() {
    let oil = Seen::Stain { kind: Contaminant::Oil, depth: Some(Length::from_millimetres(0.5)) };
    assert!(tests(&marked("O1", oil)).contains(&ProofTest::OilBleedBack));
    let film = Seen::Film {
        kind: FilmKind::CuringCompound,
        thickness: None,
        material: FilmMaterial { name: None, black: Answer::Unknown },
        condition: tooth_job::survey::FilmCondition::Unknown,
    };
    let mut survey = marked("F1", film);
    survey.systems[0].absorbs_within = None;
    assert!(tests(&survey).contains(&ProofTest::WaterDrop), "though the sheet names no time");
}

#[test]
fn every_matter_that_preparation_takes_care_of_has_a_test() {
    // What nothing shows gone belongs to signatures, engineers, sheets and change orders.
    let without: Vec<&str> = Matter::ALL
        .iter()
        .filter(|matter| shown_gone_by(**matter).is_empty())
        .map(|matter| matter.key())
        .collect();
    let expected = [
        "unsettled",
        "plausibility",
        "structure",
        "embedded_items",
        "repair_share",
        "chloride",
        "age",
        "texture",
        "hidden_damage",
        "product_fit",
        "sample_panel",
    ];
    assert_eq!(without, expected);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(10))]

    #[test]
    fn each_finding_that_is_prepared_away_is_shown_gone_on_sheet_and_in_acceptance(
        troubles in prop::collection::vec(trouble(), 1..4),
    ) {
        let mut survey = room();
        for (number, trouble) in troubles.iter().enumerate() {
            let x = 0.5 + 3.0 * number as f64;
            trouble.mark(&mut survey, &format!("m{number}"), x, 1.0, 1.5, 1.5);
        }
        let assessed = assess(&survey, RULE).zones.swap_remove(0);
        let made = planned(&survey);
        let zone = &made.zones[0];
        prop_assume!(!zone.proof.is_empty());
        let listed: BTreeSet<ProofTest> = zone.proof.iter().map(|proof| proof.test).collect();
        for found in &assessed.findings {
            let treated = matches!(found.state, FindingState::Prepare | FindingState::Repair);
            let shows = shown_gone_by(found.code);
            if treated && !shows.is_empty() {
                prop_assert!(shows.iter().any(|test| listed.contains(test)), "{:?}", found);
            }
        }
        // The sheet's STOP has a line for each, and acceptance judges each.
        let due = zone.before_system.len();
        prop_assert!(due >= zone.proof.len());
        done(&mut survey);
        let judged: BTreeSet<String> =
            accept(&survey, &built_in(), RULE).zones.iter().map(|held| held.test.key().to_owned()).collect();
        for test in listed {
            prop_assert!(judged.contains(test.key()), "{:?} is not judged", test);
        }
    }
}
