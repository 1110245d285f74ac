//! Over random jobs: no reading is dropped in silence, none that is left out makes a job cheaper and
//! safer-looking at once, and cutting a floor into areas of one lot changes hours by rounding only.
#![expect(clippy::unwrap_used, reason = "tests fail loudly")]

#[expect(dead_code, reason = "the other test crates use the rest")]
mod common;

use common::{RULE, Trouble, add_zone, at, empty, rank, reading, room, told, trouble};
use proptest::prelude::*;
use tooth_job::acceptance::accept;
use tooth_job::assessment::assess;
use tooth_job::methods::built_in;
use tooth_job::plan::{Objective, Plan, plan};
use tooth_job::survey::{
    Answer, ClothWipe, DampOrDry, FailureMode, FeatureId, FilmDecided, FilmWay, Fizz, KnifeTest,
    LaboratoryQuestion, Measured, Prepared, Reaction, Reading, RepairSound, SolventRub, Survey,
};
use tooth_measure::{
    Acidity, Fraction, Length, MoistureEmission, ProfileLevel, Stress, Temperature, Volume,
    WorkTime,
};

fn planned(survey: &Survey) -> Plan {
    plan(survey, &assess(survey, RULE), &built_in(), RULE, Objective::Cheapest)
}

/// Something read, good or bad, of every kind that speaks of a floor.
fn all() -> Vec<Measured> {
    let millimetres = Length::from_millimetres;
    vec![
        Measured::WaterDrop(WorkTime::from_seconds(15.0)),
        Measured::WaterDrop(WorkTime::from_seconds(500.0)),
        Measured::AcidDrop(Fizz::Strong),
        Measured::AcidDrop(Fizz::None),
        Measured::StainDrop(Reaction::Even),
        Measured::StainDrop(Reaction::Uneven),
        Measured::PullOff {
            strength: Stress::from_megapascals(1.0),
            failure: FailureMode::Substrate,
        },
        Measured::PullOff {
            strength: Stress::from_megapascals(3.0),
            failure: FailureMode::Adhesive,
        },
        Measured::InSlabHumidity(Fraction::from_percent(60.0)),
        Measured::InSlabHumidity(Fraction::from_percent(95.0)),
        Measured::MoistureEmission(MoistureEmission::from_grams_per_square_metre_day(9.0)),
        Measured::PlasticSheet(DampOrDry::Damp),
        Measured::PlasticSheet(DampOrDry::Dry),
        Measured::SurfacePh(Acidity::from_ph(10.0)),
        Measured::ChipRating(ProfileLevel::clamped(2)),
        Measured::ChipRating(ProfileLevel::clamped(8)),
        Measured::SandPatch {
            volume: Volume::from_cubic_metres(25e-6),
            diameter: millimetres(200.0),
        },
        Measured::ReplicaPutty(millimetres(0.1)),
        Measured::ProfileProbe(millimetres(0.1)),
        Measured::AirTemperature(Temperature::from_celsius(12.0)),
        Measured::AirHumidity(Fraction::from_percent(80.0)),
        Measured::SurfaceTemperature(Temperature::from_celsius(8.0)),
        Measured::CrackGauge(millimetres(0.4)),
        Measured::ScratchHardness(4),
        Measured::FilmThickness(millimetres(0.2)),
        Measured::OilBleedBack(Answer::Yes),
        Measured::OilBleedBack(Answer::No),
        Measured::Laboratory(LaboratoryQuestion::Asbestos, Answer::No, None),
        Measured::Laboratory(LaboratoryQuestion::Lead, Answer::Yes, None),
        Measured::Laboratory(LaboratoryQuestion::Deterioration, Answer::Yes, None),
        Measured::RepairSounding(RepairSound::Hollow),
        Measured::Carbonation(millimetres(6.0)),
        Measured::SolventRub(SolventRub::Softens),
        Measured::SolventRub(SolventRub::NoEffect),
        Measured::Knife(KnifeTest::Peels),
        Measured::Knife(KnifeTest::Holds),
        Measured::DarkCloth(ClothWipe::Dusty),
        Measured::Chloride(Fraction::from_percent(0.5)),
        Measured::StraightedgeDepth(millimetres(9.0)),
        Measured::Elevation(millimetres(3.0)),
    ]
}

fn measured() -> impl Strategy<Value = Measured> {
    prop::sample::select(all())
}

/// Where it was read: somewhere, at a place, or on a mark.
fn read(survey: &Survey, measured: Measured, place: Option<(f64, f64)>, on: usize) -> Reading {
    let zone = &survey.zones[0].id;
    let plain = reading("extra", zone, "C", measured);
    let marks: Vec<&FeatureId> =
        survey.features.iter().map(|mark| &mark.id).filter(|id| id.as_str() != "walls").collect();
    let subject = marks.get(on).map(|id| (*id).clone());
    Reading { place: place.map(|(x, y)| at(x, y)), subject, ..plain }
}

fn troubled(trouble: Trouble, kept: Option<FilmWay>) -> Survey {
    let mut survey = room();
    trouble.mark(&mut survey, "room", 0.0, 0.0, 10.0, 5.0);
    survey.facts.film_decided.extend(kept.map(|way| FilmDecided {
        zone: survey.zones[0].id.clone(),
        features: Vec::new(),
        way,
        by: "T".into(),
        on: common::noon().date(),
        reason: "the same".into(),
    }));
    survey
}

fn kept() -> impl Strategy<Value = Option<FilmWay>> {
    prop::sample::select(vec![None, Some(FilmWay::RecoatOver), Some(FilmWay::RewetAndRecoat)])
}

/// All that a person is told and given.
fn outcome(survey: &Survey) -> (impl PartialEq, impl PartialEq, impl PartialEq) {
    let mut after = survey.clone();
    let zone = after.zones[0].id.clone();
    after.facts.prepared.push(Prepared { zone, time: common::noon(), by: "T".into() });
    (assess(survey, RULE), planned(survey), accept(&after, &built_in(), RULE))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// It changes something, be it the list of what a finding rests on, or is told to count for
    /// nothing.
    #[test]
    fn every_reading_is_used_or_named_as_unused(
        trouble in trouble(), kept in kept(), measured in measured(),
        place in prop::option::of((0.5..9.5f64, 0.5..4.5f64)), on in 0..6usize,
    ) {
        let survey = troubled(trouble, kept);
        let mut more = survey.clone();
        more.readings.push(read(&survey, measured, place, on));
        let extra = more.readings.last().unwrap();
        if more.belonging(extra).is_err() {
            return Ok(());
        }
        prop_assert!(outcome(&survey) != outcome(&more), "{extra:?} changes nothing");
    }

    #[test]
    fn no_reading_that_is_left_out_of_a_troubled_job_makes_it_cheaper_and_safer_at_once(
        trouble in trouble(), kept in kept(),
        extra in prop::collection::vec((measured(), prop::option::of((0.5..9.5f64, 0.5..4.5f64))), 0..4),
        gone in 0..64usize,
    ) {
        let mut survey = troubled(trouble, kept);
        for (number, (measured, place)) in extra.into_iter().enumerate() {
            let plain = read(&survey, measured, place, usize::MAX);
            let id = tooth_job::survey::ReadingId::new(&format!("extra-{number}")).unwrap();
            survey.readings.push(Reading { id, ..plain });
        }
        let judged = |survey: &Survey| {
            let plan = planned(survey);
            let is_planned = plan.zones[0].state == tooth_job::plan::Planned::Planned;
            (rank(common::recommendation(survey)), plan.total_cost.amount(), is_planned)
        };
        let full = judged(&survey);
        let mut less = survey.clone();
        let left_out = less.readings.remove(gone % survey.readings.len());
        let (rank, cost, is_planned) = judged(&less);
        // What has no plan has no price.
        prop_assume!(full.2 && is_planned);
        prop_assert!(
            rank >= full.0 || cost >= full.1 - 0.005,
            "without {:?}: {:?} after {:?}; {}", left_out, (rank, cost), full,
            told(&assess(&less, RULE).zones[0].because)
        );
    }
}

/// One floor, or the same floor cut in two equal areas of one lot, with the same trouble.
fn floor(trouble: Trouble, cut: bool, lot: bool) -> Survey {
    let mut survey = empty();
    let parts: &[(f64, f64)] = if cut { &[(0.0, 20.0), (20.0, 20.0)] } else { &[(0.0, 40.0)] };
    for (number, (x, width)) in parts.iter().enumerate() {
        let name = format!("part-{number}");
        add_zone(&mut survey, &name, common::rectangle(*x, 0.0, *width, 10.0));
        trouble.mark(&mut survey, &name, *x, 0.0, *width, 10.0);
    }
    for zone in &mut survey.zones {
        zone.lot = lot.then(|| "floor".to_owned());
    }
    survey
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(30))]

    /// A tenth for lanes that end at the cut and holes that are squared up apart.
    #[test]
    fn cutting_a_floor_in_two_equal_areas_of_one_lot_changes_hours_by_rounding_only(
        trouble in trouble(),
    ) {
        let trouble = Trouble { hollow: false, share: 1.0, ..trouble };
        let whole = planned(&floor(trouble, false, true)).total_hours.hours();
        let cut = planned(&floor(trouble, true, true)).total_hours.hours();
        prop_assert!((cut - whole).abs() <= 0.1 * whole, "{cut} h cut, {whole} h whole");
        let apart = planned(&floor(trouble, true, false)).total_hours.hours();
        prop_assert!(cut <= apart);
    }
}
