//! Decisions that somebody made are carried; the age of concrete and the water in it are read by
//! every rule that they bear on.
#![expect(clippy::unwrap_used, reason = "tests fail loudly")]

#[expect(dead_code, reason = "the other test crates use the rest")]
mod common;

use common::{RULE, feature, noon, rectangle, room, told};
use jiff::ToSpan as _;
use jiff::civil::Date;
use proptest::prelude::*;
use tooth_job::assessment::{FindingState, Recommendation, ZoneAssessment, assess};
use tooth_job::estimate::moisture_ways;
use tooth_job::methods::{Catalogue, Work, built_in};
use tooth_job::plan::{Objective, Plan, ProofTest, plan};
use tooth_job::survey::{
    Abatement, Answer, Contaminant, CrackMovement, DampOrDry, FeatureId, FilmCondition,
    FilmDecided, FilmKind, FilmMaterial, FilmWay, Matter, Measured, MoistureDecided, MoistureWay,
    Place, Seen, Survey,
};
use tooth_measure::{Fraction, Length, Path, WorkTime};

fn zone(survey: &Survey) -> ZoneAssessment {
    assess(survey, RULE).zones.swap_remove(0)
}

fn states(survey: &Survey, of: Matter) -> Vec<FindingState> {
    zone(survey).findings.iter().filter(|held| held.code == of).map(|held| held.state).collect()
}

fn planned(survey: &Survey, catalogue: &Catalogue) -> Plan {
    plan(survey, &assess(survey, RULE), catalogue, RULE, Objective::Cheapest)
}

fn cast_days_ago(days: i64) -> Survey {
    let mut survey = room();
    let newest = survey.newest_date().unwrap();
    survey.facts.slab.cast = Some(newest.checked_sub(days.days()).unwrap());
    survey
}

/// Source: 28 days, common practice; the sheet's own where it names one.
#[test]
fn concrete_of_three_weeks_is_no_go() {
    assert_eq!(zone(&room()).recommendation, Recommendation::Go);
    let young = zone(&cast_days_ago(21));
    assert_eq!(young.recommendation, Recommendation::RepairFirst);
    let said = told(&young.findings.iter().find(|held| held.code == Matter::Age).unwrap().reason);
    assert!(said.contains("21 days old") && said.contains("28 days asked"), "{said}");
    let ready = room().newest_date().unwrap().checked_add(7.days()).unwrap();
    assert!(said.contains(&ready.to_string()), "{said} should name {ready}");
    assert!(states(&cast_days_ago(28), Matter::Age).is_empty());
    assert_eq!(states(&cast_days_ago(27), Matter::Age), [FindingState::Decide]);
    let mut sheet = cast_days_ago(21);
    sheet.systems[0].least_age = Some(WorkTime::from_days(14.0));
    assert!(states(&sheet, Matter::Age).is_empty());
    sheet.systems[0].least_age = Some(WorkTime::from_days(60.0));
    assert_eq!(states(&sheet, Matter::Age), [FindingState::Decide]);
    // Before the system goes down it is said again.
    let due = planned(&sheet, &built_in()).zones[0].before_system.clone();
    assert!(due.iter().any(|due| told(due).contains("60 days asked")));
}

#[test]
fn a_slab_of_this_year_is_asked_for_its_day() {
    let mut survey = room();
    survey.facts.slab.year_cast = Some(survey.newest_date().unwrap().year());
    let gap = zone(&survey).unknown.into_iter().find(|gap| gap.code == Matter::Age).unwrap();
    assert!(gap.decides);
    survey.facts.slab.year_cast = None;
    assert!(zone(&survey).unknown.iter().all(|gap| gap.code != Matter::Age), "old slabs are usual");
    survey.systems[0].least_age = Some(WorkTime::from_days(28.0));
    assert!(zone(&survey).unknown.iter().any(|gap| gap.code == Matter::Age), "the sheet asks");
}

fn patterned() -> Survey {
    let mut survey = room();
    let seen = Seen::PatternCracking { moist_aggregate: Answer::No, deposit: Answer::No };
    survey.features.push(feature("P1", Place::Patch(rectangle(1.0, 1.0, 2.0, 2.0)), seen));
    survey
}

fn read(survey: &mut Survey, measured: Measured) {
    let id = format!("more-{}", survey.readings.len());
    survey.readings.push(common::reading(&id, &survey.zones[0].id, "T", measured));
}

/// Source: FHWA-RD-01-163, chapter 3: field signs alone cannot prove the mechanism; gel swells
/// where there is water (FHWA-HIF-09-004, from memory).
#[test]
fn pattern_cracking_in_a_wet_slab_is_not_called_dry() {
    const CODE: Matter = Matter::DeteriorationFromInside;
    assert_eq!(states(&patterned(), CODE), [FindingState::Prepare]);
    let mut damp = patterned();
    read(&mut damp, Measured::PlasticSheet(DampOrDry::Damp));
    assert_eq!(states(&damp, CODE), [FindingState::Engineer]);
    assert!(zone(&damp).unknown.iter().any(|gap| gap.code == CODE), "petrography is asked for");
    let mut humid = patterned();
    read(&mut humid, Measured::InSlabHumidity(Fraction::from_percent(97.0)));
    assert_eq!(states(&humid, CODE), [FindingState::Engineer]);
    let mut frozen = patterned();
    frozen.facts.slab.freeze_thaw = Answer::Yes;
    assert_eq!(states(&frozen, CODE), [FindingState::Engineer]);
    let mut salts = patterned();
    let seen = Seen::Stain { kind: Contaminant::Efflorescence, depth: None };
    salts.features.push(feature("E1", Place::Patch(rectangle(4.0, 1.0, 1.0, 1.0)), seen));
    assert_eq!(states(&salts, CODE), [FindingState::Engineer]);
    let mut leaking = patterned();
    let path = Path::new(&[common::at(5.0, 1.0), common::at(6.0, 2.0)]).unwrap();
    let seen = Seen::Crack {
        width: Length::from_millimetres(0.2),
        movement: CrackMovement::Unknown,
        said: None,
        leaking: Answer::Yes,
        displaced: Answer::No,
    };
    leaking.features.push(feature("C1", Place::Line(path), seen));
    assert_eq!(states(&leaking, CODE), [FindingState::Engineer]);
}

/// The room's sheet allows 80 %.
fn wet() -> Survey {
    let mut survey = room();
    for held in &mut survey.readings {
        if let Measured::InSlabHumidity(share) = &mut held.measured {
            *share = Fraction::from_percent(91.0);
        }
    }
    survey
}

fn decided(survey: &mut Survey, way: MoistureWay) {
    survey.facts.moisture_decided.push(MoistureDecided {
        zone: survey.zones[0].id.clone(),
        way,
        by: "the owner".into(),
        on: noon().date(),
        reason: "opening day".into(),
        reference: Some("letter 7".into()),
    });
}

#[test]
fn a_mitigating_coat_that_was_decided_is_planned_priced_and_releases_the_limit() {
    let mut catalogue = built_in();
    let undecided = wet();
    assert_eq!(states(&undecided, Matter::Moisture), [FindingState::Decide]);
    let mut survey = wet();
    decided(&mut survey, MoistureWay::Mitigate);
    let survey = catalogue.with_coats(survey);
    let coat = |plan: &Plan, catalogue: &Catalogue| {
        let steps = &plan.zones[0].steps;
        let is_coat = |id: &str| matches!(catalogue.method(id).unwrap().work, Work::Coat(_));
        steps.iter().position(|step| is_coat(&step.method))
    };
    let made = planned(&survey, &catalogue);
    let at = coat(&made, &catalogue).unwrap();
    assert_eq!(at, made.zones[0].steps.len() - 1, "on the prepared slab");
    assert!(made.total_cost > planned(&undecided, &catalogue).total_cost);
    assert_eq!(states(&survey, Matter::Moisture), [FindingState::Prepare]);
    let said = told(
        &zone(&survey).findings.iter().find(|held| held.code == Matter::Moisture).unwrap().reason,
    );
    assert!(said.contains("the owner") && said.contains("letter 7"), "{said}");
    // The coat's own limit is asked for, and then judged.
    assert!(zone(&survey).unknown.iter().any(|gap| told(&gap.what).contains("coat below")));
    assert!(made.zones[0].proof.iter().all(|proof| proof.test != ProofTest::InSlabHumidity));
    for method in &mut catalogue.methods {
        if let Work::Coat(work) = &mut method.work {
            work.most_humidity = Some(Fraction::from_percent(99.0));
        }
    }
    let mut survey = wet();
    decided(&mut survey, MoistureWay::Mitigate);
    let survey = catalogue.with_coats(survey);
    let made = planned(&survey, &catalogue);
    assert!(made.zones[0].proof.iter().any(|proof| proof.test == ProofTest::InSlabHumidity));
    assert!(states(&survey, Matter::Moisture).iter().all(|state| *state <= FindingState::Prepare));
    // Nothing is left to decide, and no way is priced any more.
    let assessed = assess(&survey, RULE);
    let ways = moisture_ways(&survey, &assessed, &made, &catalogue, RULE, Objective::Cheapest);
    assert!(ways.is_empty());
}

#[test]
fn a_coat_below_a_see_through_finish_is_refused_in_words() {
    let mut survey = wet();
    survey.systems[0].see_through = true;
    decided(&mut survey, MoistureWay::Mitigate);
    let survey = built_in().with_coats(survey);
    assert!(states(&survey, Matter::Moisture).contains(&FindingState::Decide));
    let said: Vec<String> = zone(&survey).findings.iter().map(|held| told(&held.reason)).collect();
    assert!(said.iter().any(|said| said.contains("show through")), "{said:?}");
}

#[test]
fn who_waits_is_held_until_it_is_dry_and_no_longer() {
    let mut survey = wet();
    decided(&mut survey, MoistureWay::Wait);
    let held = states(&survey, Matter::Moisture);
    assert!(
        !held.is_empty() && held.iter().all(|state| *state == FindingState::Decide),
        "{held:?}"
    );
    assert_ne!(zone(&survey).recommendation, Recommendation::Go);
    let mut dry = room();
    decided(&mut dry, MoistureWay::Wait);
    assert_eq!(states(&dry, Matter::Moisture), [FindingState::Fine]);
}

#[test]
fn a_sheet_that_names_no_limit_for_moisture_is_not_asked_again() {
    let mut survey = room();
    survey.systems[0].most_in_slab_humidity = None;
    let asked = |survey: &Survey| {
        zone(survey).unknown.iter().any(|gap| told(&gap.what).contains("moisture limit"))
    };
    assert!(asked(&survey));
    decided(&mut survey, MoistureWay::NoLimit);
    assert!(!asked(&survey));
    assert_eq!(states(&survey, Matter::Moisture), [FindingState::Fine]);
}

/// A whole set that was read a day later stands for the first; one probe of it does not.
#[test]
fn a_slab_that_dried_is_dry() {
    let mut survey = wet();
    let time = survey.newest_date().unwrap().checked_add(20.days()).unwrap().at(9, 0, 0, 0);
    let dry = |survey: &mut Survey, number: usize| {
        let dry = Measured::InSlabHumidity(Fraction::from_percent(72.0));
        let id = format!("dry-{number}");
        let read = common::reading(&id, &survey.zones[0].id, "T", dry);
        survey.readings.push(tooth_job::survey::Reading { time, ..read });
    };
    dry(&mut survey, 0);
    assert_eq!(states(&survey, Matter::Moisture), [FindingState::Decide]);
    dry(&mut survey, 1);
    dry(&mut survey, 2);
    assert_eq!(states(&survey, Matter::Moisture), [FindingState::Fine]);
}

/// What is open on the day stands against acceptance, however good the surface is.
#[test]
fn an_open_question_of_hazard_or_age_is_not_accepted_away() {
    use tooth_job::acceptance::accept;
    use tooth_job::survey::Prepared;
    let because = |survey: &Survey| {
        let mut survey = survey.clone();
        let zone = survey.zones[0].id.clone();
        survey.facts.prepared.push(Prepared { zone, time: noon(), by: "T".into() });
        told(&accept(&survey, &built_in(), RULE).verdicts[0].because)
    };
    let mut glued = room();
    let material = FilmMaterial { name: None, black: Answer::Yes };
    let seen = Seen::Film {
        kind: FilmKind::Adhesive,
        thickness: None,
        material,
        condition: FilmCondition::Unknown,
    };
    glued.features.push(feature("F1", Place::Patch(rectangle(1.0, 1.0, 2.0, 2.0)), seen));
    assert!(because(&glued).contains("asbestos"), "{}", because(&glued));
    let mut young = room();
    young.facts.slab.year_cast = Some(young.newest_date().unwrap().year());
    assert!(because(&young).contains("the slab was cast"), "{}", because(&young));
    let mut coated = wet();
    decided(&mut coated, MoistureWay::Mitigate);
    let coated = built_in().with_coats(coated);
    assert!(because(&coated).contains("coat below"), "{}", because(&coated));
}

/// Source: common practice; a question is at least as grave as its harmless answer.
#[test]
fn not_knowing_is_never_better_than_knowing_the_harmless() {
    let mut wet = patterned();
    wet.facts.slab.freeze_thaw = Answer::Yes;
    if let Seen::PatternCracking { moist_aggregate, deposit } =
        &mut wet.features.last_mut().unwrap().seen
    {
        (*moist_aggregate, *deposit) = (Answer::Unknown, Answer::Unknown);
    }
    assert_eq!(zone(&wet).recommendation, Recommendation::Engineer);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(100))]

    /// Whoever leaves a reading out of a full set never gets a cheaper job that looks safer.
    #[test]
    fn no_reading_that_is_left_out_makes_it_cheaper_and_safer_at_once(
        beads in 0..4usize, wet in 0..4usize, weak in 0..4usize, smooth in 0..4usize,
        gone in 0..15usize,
    ) {
        let mut survey = room();
        let (mut drops, mut probes, mut pulls, mut chips) = (beads, wet, weak, smooth);
        let take = |left: &mut usize| {
            let some = *left > 0;
            *left -= usize::from(some);
            some
        };
        for held in &mut survey.readings {
            match &mut held.measured {
                Measured::WaterDrop(time) if take(&mut drops) => {
                    *time = WorkTime::from_seconds(600.0);
                }
                Measured::InSlabHumidity(share) if take(&mut probes) => {
                    *share = Fraction::from_percent(92.0);
                }
                Measured::PullOff { strength, .. } if take(&mut pulls) => {
                    *strength = tooth_measure::Stress::from_megapascals(0.6);
                }
                Measured::ChipRating(level) if take(&mut chips) => {
                    *level = tooth_measure::ProfileLevel::clamped(9);
                }
                _ => {}
            }
        }
        let judged = |survey: &Survey| {
            let cost = planned(survey, &built_in()).total_cost.amount();
            (common::rank(zone(survey).recommendation), cost)
        };
        let full = judged(&survey);
        let mut less = survey.clone();
        let left_out = less.readings.remove(gone % survey.readings.len());
        let (rank, cost) = judged(&less);
        prop_assert!(
            rank >= full.0 || cost >= full.1 - 0.005,
            "without {:?}: {:?} after {:?}", left_out.measured, (rank, cost), full
        );
    }

    /// Older concrete is never worse off, nor is a sheet that asks for less.
    #[test]
    fn age_is_judged_by_days_alone(days in 0..120i64, asked in 1.0..90.0f64) {
        let mut survey = cast_days_ago(days);
        survey.systems[0].least_age = Some(WorkTime::from_days(asked));
        let young = !states(&survey, Matter::Age).is_empty();
        prop_assert_eq!(young, (days as f64) < asked.ceil());
    }
}

fn film_kept(survey: &mut Survey, features: &[&str], way: FilmWay, on: Date) {
    survey.facts.film_decided.push(FilmDecided {
        zone: survey.zones[0].id.clone(),
        features: features.iter().map(|name| FeatureId::new(name).unwrap()).collect(),
        way,
        by: "the owner".into(),
        on,
        reason: "acrylic on acrylic".into(),
    });
}

fn sealed() -> Survey {
    let mut survey = room();
    for (name, x) in [("F1", 1.0), ("F2", 5.0)] {
        let seen = Seen::Film {
            kind: FilmKind::Sealer,
            thickness: Some(Length::from_mils(2.0)),
            material: FilmMaterial::default(),
            condition: FilmCondition::Worn,
        };
        survey.features.push(feature(name, Place::Patch(rectangle(x, 1.0, 2.0, 2.0)), seen));
    }
    survey
}

fn way_of(survey: &Survey, film: &str) -> Option<FilmWay> {
    let mark = survey.features.iter().find(|mark| mark.id.as_str() == film).unwrap();
    survey.film_decided(&survey.zones[0], mark).map(|held| held.way)
}

/// The later word counts wherever it stands in the file; of one day neither does.
#[test]
fn two_decisions_on_one_film_are_both_named() {
    let (day, later) = (noon().date(), noon().date().checked_add(2.days()).unwrap());
    let mut settled = sealed();
    film_kept(&mut settled, &["F1"], FilmWay::RewetAndRecoat, later);
    film_kept(&mut settled, &[], FilmWay::RecoatOver, day);
    assert_eq!(way_of(&settled, "F1"), Some(FilmWay::RewetAndRecoat));
    assert_eq!(way_of(&settled, "F2"), Some(FilmWay::RecoatOver));
    let [held] = settled.contradictions().try_into().unwrap();
    assert!(held.is_settled());
    let (one, other) = (told(&held.earlier.said), told(&held.later.said));
    assert!(one.contains("every film") && one.contains("coat over"), "{one}");
    assert!(other.contains("F1") && other.contains("soften"), "{other}");
    let unsettled = |survey: &Survey| {
        let gaps = zone(survey).unknown.into_iter();
        let mut told_of = gaps.filter(|gap| gap.code == Matter::Unsettled);
        told_of.next().map(|gap| told(&gap.what))
    };
    assert_eq!(unsettled(&settled), None);
    let mut open = sealed();
    film_kept(&mut open, &["F1"], FilmWay::RewetAndRecoat, day);
    film_kept(&mut open, &["F2", "F1"], FilmWay::RecoatOver, day);
    let said = unsettled(&open).unwrap();
    assert!(said.contains("soften") && said.contains("coat over"), "{said}");
    assert_eq!(zone(&open).recommendation, Recommendation::TestMore);
    // Two films, two decisions.
    let mut apart = sealed();
    film_kept(&mut apart, &["F1"], FilmWay::RewetAndRecoat, day);
    film_kept(&mut apart, &["F2"], FilmWay::RecoatOver, day);
    assert!(apart.contradictions().is_empty());
}

#[test]
fn two_decisions_on_moisture_are_both_named() {
    let mut survey = wet();
    decided(&mut survey, MoistureWay::Mitigate);
    decided(&mut survey, MoistureWay::Wait);
    let gap = zone(&survey).unknown.into_iter().find(|gap| gap.code == Matter::Unsettled).unwrap();
    let said = told(&gap.what);
    assert!(gap.decides && said.contains("wait") && said.contains("mitigate"), "{said}");
    // The same said twice is one decision.
    survey.facts.moisture_decided[1].way = MoistureWay::Mitigate;
    assert!(survey.contradictions().is_empty());
    // A later word stands, wherever it is written.
    let later = survey.facts.moisture_decided[1].on.checked_add(1.days()).unwrap();
    survey.facts.moisture_decided[0].way = MoistureWay::Wait;
    survey.facts.moisture_decided[0].on = later;
    let held = survey.moisture_decided(&survey.zones[0].id).unwrap();
    assert_eq!(held.way, MoistureWay::Wait);
}

#[test]
fn a_film_is_not_kept_and_taken_away() {
    let mut survey = sealed();
    film_kept(&mut survey, &["F1"], FilmWay::RecoatOver, noon().date());
    survey.facts.abatements.push(Abatement {
        zone: survey.zones[0].id.clone(),
        features: vec![FeatureId::new("F1").unwrap()],
        firm: "a firm".into(),
        licence: "L1".into(),
        cleared_by: "somebody".into(),
        date: noon().date(),
        remover: None,
    });
    assert_eq!(survey.contradictions().len(), 1);
}

/// No clock: held against what the job itself knows.
#[test]
fn a_decision_of_2062_is_told() {
    let mut survey = sealed();
    film_kept(
        &mut survey,
        &["F1"],
        FilmWay::RecoatOver,
        noon().date().checked_add(3.days()).unwrap(),
    );
    assert!(survey.dated_ahead().is_empty());
    film_kept(&mut survey, &["F2"], FilmWay::RecoatOver, jiff::civil::date(2062, 11, 21));
    let [(held, last)] = survey.dated_ahead().try_into().unwrap();
    assert!(told(&held.said).contains("2062-11-21"));
    assert_eq!(last, survey.newest_date().unwrap());
    // Without a reading the first decision is the measure.
    survey.readings.clear();
    assert_eq!(survey.dated_ahead().len(), 1);
}
