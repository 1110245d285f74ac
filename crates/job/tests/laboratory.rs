//! A laboratory's answer counts for the material that was sampled, by the method that it used.
//!
//! Sources: 29 CFR 1926.1101 and 40 CFR 61.145, from memory; three samples of each material:
//! common practice, no source.
#![expect(clippy::unwrap_used, reason = "tests fail loudly")]

#[expect(dead_code, reason = "the other test crates use the rest")]
mod common;

use common::{RULE, at, feature, noon, rectangle, room, told};
use tooth_job::acceptance::accept;
use tooth_job::assessment::{FindingState, ZoneAssessment, assess};
use tooth_job::methods::built_in;
use tooth_job::plan::{Hold, Objective, ProofTest, plan};
use tooth_job::survey::{
    Abatement, Answer, Astray, Building, FeatureId, FilmKind, FilmMaterial, LaboratoryMethod,
    LaboratoryQuestion, Matter, Measured, Place, Prepared, Reading, Seen, Survey,
};
use tooth_measure::WorkTime;

/// A room with adhesives of 1975, one beside the other, each with the name of its material.
fn floors(materials: &[Option<&str>]) -> Survey {
    let mut survey = room();
    survey.facts.slab.oldest_coating_year = Some(1975);
    for (number, name) in materials.iter().enumerate() {
        let material = FilmMaterial { name: name.map(str::to_owned), black: Answer::Unknown };
        let seen = Seen::Film {
            kind: FilmKind::Adhesive,
            thickness: None,
            material,
            condition: tooth_job::survey::FilmCondition::Unknown,
        };
        let place = Place::Patch(rectangle(0.5 + 3.0 * number as f64, 0.5, 2.0, 2.0));
        survey.features.push(feature(&format!("F{number}"), place, seen));
    }
    survey
}

fn sampled(survey: &mut Survey, of: Option<&str>, count: usize, method: Option<LaboratoryMethod>) {
    for _ in 0..count {
        let id = format!("L{}", survey.readings.len());
        let clean = Measured::Laboratory(LaboratoryQuestion::Asbestos, Answer::No, method);
        let reading = common::reading(&id, &survey.zones[0].id, "lab", clean);
        survey.readings.push(Reading { subject: of.and_then(FeatureId::new), ..reading });
    }
}

fn zone(survey: &Survey) -> ZoneAssessment {
    assess(survey, RULE).zones.swap_remove(0)
}

/// Samples that still decide.
fn asked(survey: &Survey) -> u32 {
    let zone = zone(survey);
    let gaps = zone.unknown.iter().filter(|gap| gap.code == Matter::OldCoating && gap.decides);
    gaps.map(|gap| gap.count).sum()
}

#[test]
fn samples_of_one_adhesive_do_not_clear_another() {
    let mut survey = floors(&[None, None]);
    assert_eq!(asked(&survey), 6);
    sampled(&mut survey, Some("F0"), 3, None);
    assert_eq!(asked(&survey), 3, "F1 was never sampled");
    let gap = zone(&survey).unknown.into_iter().find(|gap| gap.code == Matter::OldCoating).unwrap();
    assert!(told(&gap.test).contains("F1") && !told(&gap.test).contains("F0"), "{gap:?}");
    sampled(&mut survey, Some("F1"), 3, None);
    assert_eq!(asked(&survey), 0);
}

#[test]
fn films_of_one_material_are_sampled_together_wherever_they_lie() {
    let mut survey = floors(&[Some("brown carpet glue"), Some("brown carpet glue")]);
    assert_eq!(asked(&survey), 3);
    sampled(&mut survey, Some("F0"), 2, None);
    sampled(&mut survey, Some("F1"), 1, None);
    assert_eq!(asked(&survey), 0);
}

#[test]
fn a_sample_that_does_not_say_of_which_film_is_told_and_clears_nothing() {
    let mut survey = floors(&[None, None]);
    sampled(&mut survey, None, 3, None);
    assert_eq!(asked(&survey), 6);
    let astray = survey.belonging(survey.readings.last().unwrap()).unwrap_err();
    assert!(matches!(astray, Astray::WhichMark(_)), "{astray:?}");
    // With a single film there is nothing to confuse it with.
    let mut survey = floors(&[None]);
    sampled(&mut survey, None, 3, None);
    assert_eq!(asked(&survey), 0);
}

#[test]
fn one_sample_that_holds_it_stops_the_work_whichever_film_it_was_of() {
    let mut survey = floors(&[None, None]);
    let found = Measured::Laboratory(LaboratoryQuestion::Asbestos, Answer::Yes, None);
    let reading = common::reading("L", &survey.zones[0].id, "lab", found);
    survey.readings.push(reading);
    let states: Vec<_> =
        zone(&survey).findings.iter().map(|held| (held.code, held.state)).collect();
    assert!(states.contains(&(Matter::OldCoating, FindingState::Engineer)));
}

#[test]
fn black_adhesive_is_presumed_whatever_its_year() {
    let mut survey = floors(&[None]);
    survey.facts.slab.oldest_coating_year = Some(2012);
    assert_eq!(asked(&survey), 0);
    if let Seen::Film { material, .. } = &mut survey.features.last_mut().unwrap().seen {
        material.black = Answer::Yes;
    }
    assert_eq!(asked(&survey), 3);
}

#[test]
fn polarised_light_alone_is_confirmed_before_anybody_touches_floor_adhesive() {
    let mut survey = floors(&[None]);
    sampled(&mut survey, None, 3, Some(LaboratoryMethod::PolarisedLight));
    let waits = |survey: &Survey| {
        zone(survey).unknown.iter().any(|gap| told(&gap.test).contains("electron"))
    };
    assert_eq!(asked(&survey), 0);
    assert!(waits(&survey));
    let assessed = assess(&survey, RULE);
    let made = plan(&survey, &assessed, &built_in(), RULE, Objective::Cheapest);
    let held = made.zones[0].steps.iter().any(|step| step.holds.contains(&Hold::Laboratory));
    assert!(held, "the step that opens the film waits for the answer");
    sampled(&mut survey, None, 1, Some(LaboratoryMethod::Electron));
    assert!(!waits(&survey));
}

#[test]
fn a_commercial_building_is_inspected_whatever_its_year() {
    let mut survey = floors(&[None]);
    survey.facts.slab.oldest_coating_year = Some(2012);
    let inspected = |survey: &Survey| {
        zone(survey).unknown.iter().any(|gap| told(&gap.test).contains("accredited inspector"))
    };
    assert!(!inspected(&survey));
    survey.facts.slab.building = Building::Commercial;
    assert!(inspected(&survey));
}

#[test]
fn what_was_taken_away_is_cleared_and_its_remover_is_tested_for() {
    let mut survey = floors(&[None]);
    let room = survey.zones[0].id.clone();
    let found = Measured::Laboratory(LaboratoryQuestion::Asbestos, Answer::Yes, None);
    survey.readings.push(common::reading("L", &room, "lab", found));
    let date = noon().date().tomorrow().unwrap();
    survey.facts.abatements.push(Abatement {
        zone: room.clone(),
        features: vec![FeatureId::new("F0").unwrap()],
        firm: "a firm".into(),
        licence: "A-1".into(),
        cleared_by: "an inspector".into(),
        date,
        remover: Some("citrus gel".into()),
    });
    let assessed = zone(&survey);
    let told_of: Vec<_> =
        assessed.findings.iter().filter(|held| held.code == Matter::OldCoating).collect();
    assert_eq!(told_of.len(), 1, "{told_of:?}");
    assert_eq!(told_of[0].state, FindingState::Prepare);
    let reason = told(&told_of[0].reason);
    assert!(reason.contains("an inspector") && reason.contains("citrus gel"), "{reason}");
    assert!(
        !assessed
            .findings
            .iter()
            .any(|held| held.code == Matter::Film && held.state == FindingState::Prepare),
        "the film is gone"
    );
    let made = plan(&survey, &assess(&survey, RULE), &built_in(), RULE, Objective::Cheapest);
    assert!(made.zones[0].proof.iter().any(|proof| proof.test == ProofTest::RemoverResidue));
    // Drops elsewhere do not speak for the place where the remover was.
    let later = date.at(12, 0, 0, 0);
    survey.facts.prepared.push(Prepared { zone: room.clone(), time: later, by: "T".into() });
    let judged = |survey: &Survey| {
        let judged = accept(survey, &built_in(), RULE).zones;
        let mut residue = judged.into_iter().filter(|test| test.test.key() == "remover_residue");
        residue.next().unwrap()
    };
    let drop = |id: &str, x: f64| Reading {
        place: Some(at(x, 1.0)),
        time: later,
        ..common::reading(id, &room, "T", Measured::WaterDrop(WorkTime::from_seconds(20.0)))
    };
    survey.readings.extend((0..3).map(|n| drop(&format!("D{n}"), 6.0 + f64::from(n))));
    assert_eq!(judged(&survey).count, 0);
    survey.readings.extend((0..3).map(|n| drop(&format!("E{n}"), 1.0 + 0.4 * f64::from(n))));
    let held = judged(&survey);
    assert!(held.accepted && held.count == 3, "{held:?}");
    // A sample of the same film taken after the clearance says that it is not gone.
    let again = Measured::Laboratory(LaboratoryQuestion::Asbestos, Answer::Yes, None);
    let again = Reading { time: later, ..common::reading("M", &room, "lab", again) };
    survey.readings.push(Reading { subject: FeatureId::new("F0"), ..again });
    assert!(zone(&survey).findings.iter().any(|held| held.state == FindingState::Engineer));
}
