//! One judgement of one matter: when a limit is changed, finding, plan and acceptance move
//! together.
#![expect(clippy::unwrap_used, reason = "tests fail loudly")]

#[expect(dead_code, reason = "the other test crates use the rest")]
mod common;

use common::{RULE, at, feature, noon, rectangle, room};
use tooth_job::acceptance::accept;
use tooth_job::assessment::{BetweenMarks, FindingState, Look, assess};
use tooth_job::extent::Extent;
use tooth_job::methods::{FilmReach, LineTask, LineTreatment, Work, built_in};
use tooth_job::plan::{Objective, Plan, plan};
use tooth_job::survey::{
    Answer, CrackMovement, FeatureId, FilmMaterial, Fizz, Limits, Measured, Place, Prepared,
    Reading, Seen, SurfaceState, Survey, Word,
};
use tooth_measure::choice::Choice as _;
use tooth_measure::{Length, Path, WorkTime};

/// What finding, plan and price make of a job.
#[derive(Debug, PartialEq)]
struct Judged {
    state: Option<FindingState>,
    planned: bool,
    price: i64,
}

fn judged(survey: &Survey, code: &str, is_planned: impl Fn(&Plan) -> bool) -> Judged {
    let assessed = assess(survey, RULE);
    let made = plan(survey, &assessed, &built_in(), RULE, Objective::Cheapest);
    let found = assessed.zones[0].findings.iter().filter(|finding| finding.code.key() == code);
    Judged {
        state: found.map(|finding| finding.state).max(),
        planned: is_planned(&made),
        price: made.total_cost.amount().round() as i64,
    }
}

fn uses(plan: &Plan, does: impl Fn(&Work) -> bool) -> bool {
    let catalogue = built_in();
    let mut steps = plan.zones.iter().flat_map(|zone| &zone.steps);
    steps.any(|step| catalogue.method(&step.method).is_some_and(|method| does(&method.work)))
}

fn treats(plan: &Plan, treatment: LineTreatment) -> bool {
    uses(
        plan,
        |work| matches!(work, Work::Line(line) if line.task == LineTask::Treatment(treatment)),
    )
}

fn with(survey: &Survey, set: impl FnOnce(&mut Limits)) -> Survey {
    let mut changed = survey.clone();
    set(&mut changed.facts.limits);
    changed
}

fn millimetres(value: f64) -> Length {
    Length::from_millimetres(value)
}

/// Drops of 90 s: a film where the limit is a minute, bare concrete where it is two.
#[test]
fn how_long_a_drop_may_take() {
    let mut survey = room();
    let zone = survey.zones[0].id.clone();
    for reading in &mut survey.readings {
        if let Measured::WaterDrop(time) = &mut reading.measured {
            *time = WorkTime::from_seconds(90.0);
        }
    }
    for number in 0..3 {
        let fizz = Measured::AcidDrop(Fizz::Weak);
        survey.readings.push(common::reading(&format!("acid-{number}"), &zone, "A", fizz));
    }
    let silent = |survey: &Survey| {
        let mut silent = survey.clone();
        for reading in &mut silent.readings {
            if let Measured::AcidDrop(fizz) = &mut reading.measured {
                *fizz = Fizz::None;
            }
        }
        silent
    };
    let film = |plan: &Plan| {
        uses(plan, |work| matches!(work, Work::Surface(work) if work.film != FilmReach::None))
    };
    let minute = with(&survey, |limits| {
        limits.absorbed_within = limits.absorbed_within.changed(Some(WorkTime::from_seconds(60.0)));
    });
    let two = with(&survey, |limits| {
        limits.absorbed_within =
            limits.absorbed_within.changed(Some(WorkTime::from_seconds(120.0)));
    });
    assert_eq!(verdict(&silent(&minute)), BetweenMarks::Film);
    assert_eq!(verdict(&minute), BetweenMarks::FilmOrDense);
    assert_eq!(verdict(&two), BetweenMarks::Bare);
    let (strict, lax) = (judged(&silent(&minute), "film", film), judged(&two, "film", film));
    assert_eq!((strict.state, lax.state), (Some(FindingState::Prepare), Some(FindingState::Fine)));
    assert!(strict.price > lax.price, "{strict:?} {lax:?}");
    let accepted = |survey: &Survey| {
        let mut done = survey.clone();
        let time = noon();
        done.facts.prepared.push(Prepared { zone: zone.clone(), time, by: "A".into() });
        let judged = accept(&done, &built_in(), RULE);
        judged
            .zones
            .iter()
            .find(|judged| judged.test.key() == "water_drop")
            .map(|judged| judged.accepted)
    };
    assert_eq!(accepted(&minute), Some(false));
    assert_eq!(accepted(&two), Some(true));
}

fn verdict(survey: &Survey) -> BetweenMarks {
    let zone = &survey.zones[0];
    let extent = Extent::measure(survey, zone, RULE);
    let system = survey.system_of(zone).unwrap();
    Look { survey, zone, system, extent: &extent }.drops().verdict
}

/// At the limit, in whatever unit it was typed, every drop is in time for all alike.
#[test]
fn a_drop_at_the_limit_is_in_time_for_finding_and_plan() {
    let mut survey = room();
    // 0.1 + 0.2 min is more than 0.3 min by a rounding error.
    for reading in &mut survey.readings {
        if let Measured::WaterDrop(time) = &mut reading.measured {
            *time = WorkTime::from_minutes(0.1) + WorkTime::from_minutes(0.2);
        }
    }
    let limits = &mut survey.facts.limits;
    limits.absorbed_within = limits.absorbed_within.changed(Some(WorkTime::from_minutes(0.3)));
    let typed = judged(&survey, "film", |_| false);
    let quick = judged(&room(), "film", |_| false);
    assert_eq!(typed, quick);
}

fn lip(height: f64) -> Survey {
    let mut survey = room();
    let path = Path::new(&[at(5.0, 0.5), at(5.0, 4.5)]).unwrap();
    let seen = Seen::Settlement { offset: millimetres(height) };
    survey.features.push(feature("lip", Place::Line(path), seen));
    survey
}

#[test]
fn how_high_a_lip_is_ground_off() {
    let survey = lip(4.0);
    let ground = |plan: &Plan| treats(plan, LineTreatment::GrindLip);
    for (limit, state, planned) in
        [(4.0, FindingState::Prepare, true), (3.0, FindingState::Engineer, false)]
    {
        let changed = with(&survey, |limits| {
            limits.lip_height = limits.lip_height.changed(Some(millimetres(limit)));
        });
        let found = judged(&changed, "settlement", ground);
        assert_eq!((found.state, found.planned), (Some(state), planned), "limit {limit} mm");
    }
}

fn crack(width: f64) -> Survey {
    let mut survey = room();
    let path = Path::new(&[at(1.0, 1.0), at(6.0, 1.5)]).unwrap();
    let seen = Seen::Crack {
        width: millimetres(width),
        movement: CrackMovement::Dormant,
        said: Some(Word { by: "A".into(), on: noon().date() }),
        leaking: Answer::No,
        displaced: Answer::No,
    };
    survey.features.push(feature("crack", Place::Line(path), seen));
    survey
}

#[test]
fn how_wide_a_crack_is_filled() {
    let survey = crack(0.5);
    let filled = |plan: &Plan| treats(plan, LineTreatment::RoutAndFill);
    let narrow = with(&survey, |limits| {
        limits.repair_crack_width = limits.repair_crack_width.changed(Some(millimetres(0.6)));
    });
    let wide = with(&survey, |limits| {
        limits.repair_crack_width = limits.repair_crack_width.changed(Some(millimetres(0.4)));
    });
    let (narrow, wide) = (judged(&narrow, "cracks", filled), judged(&wide, "cracks", filled));
    assert!(!narrow.planned && wide.planned && wide.price > narrow.price, "{narrow:?} {wide:?}");
    assert_ne!(narrow.state, wide.state);
}

#[test]
fn how_deep_a_spall_is_filled_and_not_cut_out() {
    let mut survey = room();
    let seen = Seen::Spall { depth: millimetres(20.0), bars_exposed: Answer::No };
    let place = Place::Patch(rectangle(4.0, 2.0, 0.5, 0.4));
    survey.features.push(feature("spall", place, seen));
    survey.systems[0].thickness = Length::from_mils(10.0);
    let cut = |plan: &Plan| uses(plan, |work| matches!(work, Work::Patch(_)));
    for (limit, is_cut) in [(20.0, false), (19.0, true)] {
        let changed = with(&survey, |limits| {
            limits.shallow_repair_depth =
                limits.shallow_repair_depth.changed(Some(millimetres(limit)));
        });
        let found = judged(&changed, "spalls", cut);
        assert_eq!(found.planned, is_cut, "limit {limit} mm: {found:?}");
        let said = assess(&changed, RULE);
        let mortar =
            said.zones[0].findings.iter().any(|f| f.reason.holds("fill-it-with-a-polymer-mortar"));
        assert_eq!(mortar, !is_cut, "limit {limit} mm");
    }
}

#[test]
fn how_deep_a_weak_layer_may_be() {
    let mut survey = room();
    let seen = Seen::Surface { state: SurfaceState::Laitance, depth: Some(millimetres(8.0)) };
    let place = Place::Patch(rectangle(1.0, 1.0, 3.0, 3.0));
    survey.features.push(feature("weak", place, seen));
    let state = |limit: f64| {
        let changed = with(&survey, |limits| {
            limits.deepest_weak_layer = limits.deepest_weak_layer.changed(Some(millimetres(limit)));
        });
        let assessed = assess(&changed, RULE);
        let made = plan(&changed, &assessed, &built_in(), RULE, Objective::Cheapest);
        (assessed.zones[0].recommendation, made.zones[0].state)
    };
    assert_ne!(state(10.0), state(5.0));
}

/// Readings that name a mark alone count where the mark lies.
#[test]
fn a_reading_that_names_only_its_mark_counts() {
    let mut survey = room();
    let seen =
        Seen::Stain { kind: tooth_job::survey::Contaminant::Oil, depth: Some(millimetres(6.0)) };
    survey.features.push(feature("oil", Place::Patch(rectangle(2.0, 2.0, 1.0, 1.0)), seen));
    let zone = survey.zones[0].id.clone();
    let back = common::reading("back", &zone, "A", Measured::OilBleedBack(Answer::Yes));
    let named = Reading { zone: None, subject: FeatureId::new("oil"), ..back };
    let price = |survey: &Survey| judged(survey, "oil", |_| false);
    let before = price(&survey);
    survey.readings.push(named.clone());
    let by_mark = price(&survey);
    survey.readings.pop();
    survey.readings.push(Reading { zone: Some(zone), ..named });
    assert_eq!(by_mark, price(&survey));
    assert_ne!(before, by_mark);
}

/// Every reading that goes in is used by a rule or told with the reason: taken away, something
/// that a person is shown changes.
#[test]
fn every_reading_is_used_or_told() {
    use tooth_job::survey::{Contaminant, FilmKind};
    let mut survey = room();
    let zone = survey.zones[0].id.clone();
    let oil = Seen::Stain { kind: Contaminant::Oil, depth: Some(millimetres(6.0)) };
    survey.features.push(feature("oil", Place::Patch(rectangle(2.0, 2.0, 1.0, 1.0)), oil.clone()));
    survey.features.push(feature("oil-2", Place::Patch(rectangle(6.0, 2.0, 1.0, 1.0)), oil));
    survey.features.extend(crack(0.5).features.into_iter().filter(|f| f.id.as_str() == "crack"));
    let film = Seen::Film {
        kind: FilmKind::Coating,
        thickness: None,
        material: FilmMaterial::default(),
        condition: tooth_job::survey::FilmCondition::Unknown,
    };
    survey.features.push(feature("film", Place::Patch(rectangle(4.0, 3.5, 1.0, 1.0)), film));
    let low = Seen::LowSpot { depth: millimetres(5.0) };
    survey.features.push(feature("low", Place::Patch(rectangle(8.0, 3.0, 1.0, 1.0)), low));
    let plain = |measured| Reading { zone: None, ..common::reading("asked", &zone, "A", measured) };
    let named = |measured, mark: &str| Reading { subject: FeatureId::new(mark), ..plain(measured) };
    let placed = |measured, x: f64, y: f64| Reading { place: Some(at(x, y)), ..plain(measured) };
    let of_zone = |measured| Reading { zone: Some(zone.clone()), ..plain(measured) };
    let gauge = Measured::CrackGauge(millimetres(0.9));
    let back = Measured::OilBleedBack(Answer::Yes);
    let thick = Measured::FilmThickness(Length::from_mils(4.0));
    let dip = Measured::StraightedgeDepth(millimetres(4.0));
    let shown = |survey: &Survey| {
        let assessed = assess(survey, RULE);
        let made = plan(survey, &assessed, &built_in(), RULE, Objective::Cheapest);
        let bill = tooth_job::quantities::quantities(survey, &made, &built_in(), RULE);
        format!("{:?} {:?} {:?}", assessed.zones[0].findings, made.zones[0].steps, bill.items)
            + &format!("{:?}", assessed.zones[0].unknown)
    };
    let before = shown(&survey);
    let cases: [(&str, Reading, Option<&[&str]>); 16] = [
        ("gauge named", named(gauge, "crack"), Some(&["crack"])),
        ("gauge beside the crack", placed(gauge, 3.0, 1.3), Some(&["crack"])),
        ("gauge of an area with one crack", of_zone(gauge), Some(&["crack"])),
        ("gauge far off", placed(gauge, 3.0, 4.0), None),
        ("gauge on oil", named(gauge, "oil"), None),
        ("oil named", named(back, "oil"), Some(&["oil"])),
        ("oil by its place", placed(back, 6.5, 2.5), Some(&["oil-2"])),
        ("oil of the area", of_zone(back), Some(&["oil", "oil-2"])),
        ("oil where none is drawn", placed(back, 9.0, 1.0), None),
        ("film named", named(thick, "film"), Some(&["film"])),
        ("film by its place", placed(thick, 4.5, 4.0), Some(&["film"])),
        ("film where none is drawn", placed(thick, 9.0, 1.0), Some(&[])),
        ("dip in the low spot", placed(dip, 8.4, 3.4), Some(&["low"])),
        ("dip elsewhere", placed(dip, 1.0, 4.5), None),
        ("no area", plain(Measured::WaterDrop(WorkTime::from_seconds(900.0))), None),
        ("a figure that nobody weighs", of_zone(Measured::ProfileProbe(millimetres(0.1))), None),
    ];
    for (what, reading, marks) in cases {
        let mut told = survey.clone();
        told.readings.push(reading.clone());
        let belonging = told.belonging(&reading).ok();
        let names = belonging
            .map(|held| held.marks.iter().map(|mark| mark.id.to_string()).collect::<Vec<_>>());
        let expected = marks.map(|marks| marks.iter().map(ToString::to_string).collect::<Vec<_>>());
        assert_eq!(names, expected, "{what}");
        // What belongs somewhere is seen by some rule, what does not by none.
        let seen = marks.is_some() || what == "oil where none is drawn";
        assert_eq!(shown(&told) != before, seen, "{what}");
    }
}

/// What a limit moves when it is changed alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Moves {
    finding: bool,
    plan: bool,
    accept: bool,
}

const WORDS: Moves = Moves { finding: true, plan: false, accept: false };
const BOTH: Moves = Moves { finding: true, plan: true, accept: false };
const ALL: Moves = Moves { finding: true, plan: true, accept: true };
const JUDGED: Moves = Moves { finding: true, plan: false, accept: true };
const PLAN: Moves = Moves { finding: false, plan: true, accept: false };

/// A limit by name, a slab on which it matters, the limit set low and high, and what it moves.
type Case = (&'static str, Survey, fn(&mut Limits, bool), Moves);

macro_rules! of {
    ($survey:expr, $field:ident, $low:expr, $high:expr, $moves:expr) => {
        (
            stringify!($field),
            $survey,
            (|limits: &mut Limits, high: bool| {
                limits.$field = limits.$field.changed(Some(if high { $high } else { $low }));
            }) as fn(&mut Limits, bool),
            $moves,
        )
    };
}

fn marked_with(seen: Seen, side: f64) -> Survey {
    let mut survey = room();
    survey.features.push(feature("mark", Place::Patch(rectangle(1.0, 0.5, side, 4.0)), seen));
    survey
}

fn read_as(measured: Measured) -> Survey {
    let mut survey = room();
    let zone = survey.zones[0].id.clone();
    survey.readings.push(common::reading("asked", &zone, "A", measured));
    survey
}

fn undecided(width: f64) -> Survey {
    moving(width, CrackMovement::Unknown)
}

fn active(width: f64) -> Survey {
    moving(width, CrackMovement::Active)
}

fn moving(width: f64, how: CrackMovement) -> Survey {
    let mut survey = crack(width);
    let mark = survey.features.last_mut().unwrap();
    if let Seen::Crack { movement, said, .. } = &mut mark.seen {
        (*movement, *said) = (how, None);
    }
    survey
}

fn gauged(hours: i64, more: f64) -> Survey {
    let mut survey = undecided(2.0);
    let zone = survey.zones[0].id.clone();
    for (name, after, width) in [("first", 0, 1.0), ("last", hours, 1.0 + more)] {
        let plain = common::reading(name, &zone, "A", Measured::CrackGauge(millimetres(width)));
        let time = plain.time + jiff::SignedDuration::from_hours(after);
        survey.readings.push(Reading { time, subject: FeatureId::new("crack"), ..plain });
    }
    survey
}

fn old_coating() -> Survey {
    let kind = tooth_job::survey::FilmKind::Coating;
    let film = Seen::Film {
        kind,
        thickness: Some(Length::from_mils(8.0)),
        material: FilmMaterial::default(),
        condition: tooth_job::survey::FilmCondition::Unknown,
    };
    let mut survey = marked_with(film, 4.0);
    survey.facts.slab.oldest_coating_year = Some(1975);
    survey
}

fn uneven() -> Survey {
    let mut survey = room();
    survey.systems[0].class = tooth_job::survey::SystemClass::Stain;
    survey.systems[0].see_through = true;
    let mut drops = survey.readings.iter_mut().filter_map(|reading| match &mut reading.measured {
        Measured::WaterDrop(time) => Some(time),
        _ => None,
    });
    *drops.next().unwrap() = WorkTime::from_seconds(5.0);
    drop(drops);
    survey
}

fn partly_sounded() -> Survey {
    let mut survey = room();
    for mark in &mut survey.features {
        if let (Seen::Sounded { .. }, place) = (&mark.seen, &mut mark.place) {
            *place = Place::Patch(rectangle(0.0, 0.0, 8.0, 5.0));
        }
    }
    survey
}

/// Every limit, changed by itself: finding, plan and acceptance move together or say nothing.
#[test]
fn every_limit_moves_what_hangs_on_it() {
    use tooth_job::survey::{Contaminant, FilmKind, FilmMaterial, Hollow, HollowKind};
    use tooth_measure::Fraction;
    let scaled = |depth| {
        marked_with(
            Seen::Surface { state: SurfaceState::Scaling, depth: Some(millimetres(depth)) },
            3.0,
        )
    };
    let weak = |depth| Seen::Surface { state: SurfaceState::Laitance, depth };
    let hollow = |depth: f64| Seen::Hollow {
        sure: Hollow::Sure,
        kind: HollowKind::LooseSkin,
        depth: Some(millimetres(depth)),
    };
    let film = Seen::Film {
        kind: FilmKind::Sealer,
        thickness: Some(Length::from_mils(8.0)),
        material: FilmMaterial::default(),
        condition: tooth_job::survey::FilmCondition::Unknown,
    };
    let oil = Seen::Stain { kind: Contaminant::Oil, depth: Some(millimetres(3.0)) };
    let slow = {
        let mut survey = room();
        let zone = survey.zones[0].id.clone();
        for reading in &mut survey.readings {
            if let Measured::WaterDrop(time) = &mut reading.measured {
                *time = WorkTime::from_seconds(90.0);
            }
        }
        let fizz = Measured::AcidDrop(Fizz::None);
        survey.readings.push(common::reading("acid", &zone, "A", fizz));
        survey
    };
    let spall = {
        let seen = Seen::Spall { depth: millimetres(20.0), bars_exposed: Answer::No };
        let mut survey = marked_with(seen, 0.5);
        survey.systems[0].thickness = Length::from_mils(10.0);
        survey
    };

    let cases: Vec<Case> = vec![
        of!(crack(1.2), fine_crack_width, millimetres(1.0), millimetres(1.5), WORDS),
        of!(crack(2.5), wide_crack_width, millimetres(2.0), millimetres(3.0), WORDS),
        of!(gauged(48, 0.3), crack_movement, millimetres(0.2), millimetres(0.5), BOTH),
        of!(
            gauged(48, 0.0),
            gauge_interval,
            WorkTime::from_hours(24.0),
            WorkTime::from_hours(72.0),
            BOTH
        ),
        of!(scaled(6.0), light_scaling, millimetres(5.0), millimetres(7.0), BOTH),
        of!(scaled(9.0), medium_scaling, millimetres(8.0), millimetres(10.0), WORDS),
        of!(scaled(15.0), severe_scaling, millimetres(12.0), millimetres(20.0), WORDS),
        of!(crack(0.5), repair_crack_width, millimetres(0.4), millimetres(0.6), BOTH),
        of!(undecided(0.5), hairline_width, millimetres(0.3), millimetres(0.6), BOTH),
        of!(active(5.0), replace_crack_width, millimetres(4.0), millimetres(6.0), BOTH),
        of!(lip(4.0), lip_height, millimetres(3.0), millimetres(5.0), BOTH),
        of!(
            slow,
            absorbed_within,
            WorkTime::from_seconds(60.0),
            WorkTime::from_seconds(120.0),
            ALL
        ),
        of!(
            marked_with(weak(Some(millimetres(8.0))), 3.0),
            deepest_weak_layer,
            millimetres(5.0),
            millimetres(10.0),
            BOTH
        ),
        of!(
            marked_with(film, 4.0),
            thin_film,
            Length::from_mils(5.0),
            Length::from_mils(10.0),
            BOTH
        ),
        of!(marked_with(oil, 1.0), surface_oil, millimetres(1.0), millimetres(4.0), BOTH),
        of!(
            marked_with(weak(None), 3.0),
            unmeasured_weak_layer,
            millimetres(1.0),
            millimetres(6.0),
            PLAN
        ),
        of!(spall, shallow_repair_depth, millimetres(19.0), millimetres(21.0), BOTH),
        of!(old_coating(), lead_presumed_before, 1970, 1978, WORDS),
        of!(old_coating(), asbestos_presumed_until, 1970, 1980, WORDS),
        of!(
            partly_sounded(),
            sounded_share,
            Fraction::from_percent(70.0),
            Fraction::from_percent(95.0),
            BOTH
        ),
        of!(
            marked_with(hollow(60.0), 1.0),
            full_depth_share,
            Fraction::from_percent(30.0),
            Fraction::from_percent(50.0),
            BOTH
        ),
        of!(
            marked_with(hollow(20.0), 4.0),
            repair_share,
            Fraction::from_percent(20.0),
            Fraction::from_percent(60.0),
            WORDS
        ),
        of!(uneven(), uneven_absorption, 3.0, 6.0, JUDGED),
        of!(
            read_as(Measured::Chloride(Fraction::from_percent(0.3))),
            most_chloride,
            Fraction::from_percent(0.2),
            Fraction::from_percent(0.4),
            BOTH
        ),
    ];
    let mut wrong = Vec::new();
    for (limit, survey, set, expected) in cases {
        let told = |high: bool| {
            let mut survey = with(&survey, |limits| set(limits, high));
            let assessed = assess(&survey, RULE);
            let made = plan(&survey, &assessed, &built_in(), RULE, Objective::Cheapest);
            let zone = &assessed.zones[0];
            let findings: Vec<_> = zone
                .findings
                .iter()
                .map(|f| (f.state, f.reason.clone(), f.setting.clone()))
                .collect();
            let found = format!("{:?} {:?}", findings, zone.unknown);
            let planned = &made.zones[0];
            let price = made.total_cost.amount().round() as i64;
            let planned = format!("{:?} {price} {:?}", planned.state, planned.assumptions);
            let prepared = Prepared { zone: zone.zone.clone(), time: noon(), by: "A".into() };
            survey.facts.prepared.push(prepared);
            let judged = accept(&survey, &built_in(), RULE).zones;
            let judged: Vec<_> = judged.iter().map(|j| (j.test, j.accepted, j.limit)).collect();
            (found, planned, format!("{judged:?}"))
        };
        let (low, high) = (told(false), told(true));
        let moves =
            Moves { finding: low.0 != high.0, plan: low.1 != high.1, accept: low.2 != high.2 };
        if moves != expected {
            wrong.push(format!("{limit}: {moves:?}, expected {expected:?}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

fn price_of(survey: &Survey) -> i64 {
    judged(survey, "film", |_| false).price
}

/// What was measured outranks what was drawn, and it is said of all alike.
#[test]
fn a_gauge_on_a_film_outranks_the_drawing() {
    use tooth_job::survey::FilmKind;
    let drawn = |mils: f64, read: Option<f64>| {
        let thickness = Some(Length::from_mils(mils));
        let mut survey = marked_with(
            Seen::Film {
                kind: FilmKind::Coating,
                thickness,
                material: FilmMaterial::default(),
                condition: tooth_job::survey::FilmCondition::Unknown,
            },
            4.0,
        );
        if let Some(mils) = read {
            let zone = survey.zones[0].id.clone();
            let gauge = Measured::FilmThickness(Length::from_mils(mils));
            let plain = common::reading("gauge", &zone, "A", gauge);
            survey.readings.push(Reading { subject: FeatureId::new("mark"), ..plain });
        }
        price_of(&survey)
    };
    assert!(drawn(4.0, None) < drawn(20.0, None));
    assert_eq!(drawn(4.0, Some(20.0)), drawn(20.0, None));
    assert_eq!(drawn(20.0, Some(4.0)), drawn(4.0, None));
}

/// What broke in the slab speaks of the slab, wherever on a film the disk stood.
#[test]
fn a_break_in_the_slab_under_a_film_counts() {
    use tooth_job::survey::FilmKind;
    let film = Seen::Film {
        kind: FilmKind::Sealer,
        thickness: None,
        material: FilmMaterial::default(),
        condition: tooth_job::survey::FilmCondition::Unknown,
    };
    let mut survey = room();
    survey.features.push(feature("film", Place::Patch(rectangle(0.0, 0.0, 10.0, 5.0)), film));
    let by_zone = price_of(&survey);
    for (number, reading) in survey.readings.iter_mut().enumerate() {
        if matches!(reading.measured, Measured::PullOff { .. }) {
            reading.place = Some(at(1.0 + number as f64 * 0.5, 2.0));
        }
    }
    assert_eq!(price_of(&survey), by_zone);
}

/// A depth that names its low spot and no place was read where the spot is deepest.
#[test]
fn a_straightedge_without_a_place_counts() {
    let spot = |depth: f64, read: Option<(f64, Option<(f64, f64)>)>| {
        let mut survey = marked_with(Seen::LowSpot { depth: millimetres(depth) }, 2.0);
        if let Some((depth, place)) = read {
            let zone = survey.zones[0].id.clone();
            let dip = Measured::StraightedgeDepth(millimetres(depth));
            let plain = common::reading("dip", &zone, "A", dip);
            let place = place.map(|(x, y)| at(x, y));
            survey.readings.push(Reading { subject: FeatureId::new("mark"), place, ..plain });
        }
        Extent::measure(&survey, &survey.zones[0], RULE).fill().1.litres()
    };
    let drawn = spot(10.0, None);
    assert!((spot(10.0, Some((20.0, None))) - 2.0 * drawn).abs() < 1e-6);
    // Ten metres off is a slip of the pen; the mark is named.
    assert!((spot(10.0, Some((20.0, Some((9.0, 1.0))))) - 2.0 * drawn).abs() < 1e-6);
}

/// A blaster takes no film off over oil: it would carry the oil over the floor.
#[test]
fn no_blast_runs_over_oil_that_is_still_there() {
    use tooth_job::survey::{Contaminant, FilmKind};
    let film = Seen::Film {
        kind: FilmKind::Coating,
        thickness: Some(Length::from_mils(6.0)),
        material: FilmMaterial::default(),
        condition: tooth_job::survey::FilmCondition::Unknown,
    };
    let mut survey = room();
    survey.features.push(feature("film", Place::Patch(rectangle(0.0, 0.0, 10.0, 5.0)), film));
    let oil = Seen::Stain { kind: Contaminant::Oil, depth: Some(millimetres(4.0)) };
    survey.features.push(feature("oil", Place::Patch(rectangle(2.0, 2.0, 1.0, 1.0)), oil));
    let made = plan(&survey, &assess(&survey, RULE), &built_in(), RULE, Objective::Cheapest);
    let catalogue = built_in();
    let steps = &made.zones[0].steps;
    let work = |method: &str| catalogue.method(method).and_then(|method| method.surface().cloned());
    let drawn = steps.iter().position(|step| {
        work(&step.method).is_some_and(|work| work.oil == tooth_job::methods::OilReach::Deep)
    });
    let blasts = |step: &tooth_job::plan::Step| {
        work(&step.method).is_some_and(|work| work.leaves.is_some() && !work.smooths)
    };
    let first = steps.iter().position(blasts);
    assert!(drawn.is_some() && first.is_none_or(|first| Some(first) > drawn), "{steps:#?}");
}

/// A part of the slab that must be replaced stands first among what the price leaves out.
#[test]
fn replacing_a_part_of_the_slab_is_told_as_left_out() {
    use tooth_job::estimate::{Exclusion, estimate};
    let told = |survey: &Survey| {
        let assessed = assess(survey, RULE);
        let made = plan(survey, &assessed, &built_in(), RULE, Objective::Cheapest);
        let price = estimate(survey, &made, &built_in(), tooth_measure::chance::Seed(1));
        price.not_in_price.iter().any(|left| left.what == Exclusion::ReplacedSlab)
    };
    assert!(told(&active(30.0)) && !told(&active(5.0)));
}
