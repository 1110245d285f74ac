//! What must hold for every job, in the trade's words.
#![expect(clippy::unwrap_used, reason = "tests fail loudly")]

mod common;

use common::{RULE, Trouble, add_zone, at, recommendation, rectangle, room, trouble, walls};
use proptest::prelude::*;
use tooth_job::ambient::windows;
use tooth_job::assessment::{
    CrackVerdict, FieldTest, FindingState, Look, Recommendation, assess, joint_treatment,
    movement_of, test_count,
};
use tooth_job::estimate::estimate;
use tooth_job::extent::{Extent, PatchRule, square_up};
use tooth_job::methods::{DustMade, FilmReach, LineTreatment, OilReach, built_in};
use tooth_job::plan::PartOfWork;
use tooth_job::plan::{Hold, Objective, Plan, Planned, Scope, Step, plan};
use tooth_job::survey::{
    Answer, Contaminant, CrackMovement, DecidedTreatment, Dust, Exposure, FailureMode, Feature,
    FeatureId, ForecastHour, Hollow, HollowKind, JointKind, KnifeTest, Limits, Matter, Measured,
    MethodId, Overrule, Place, Power, Presence, Reaction, Reading, Seen, Setting, SolventRub,
    Support, SurfaceState, Survey, System, SystemClass, USUAL_AREA_PER_TEST,
};
use tooth_measure::chance::Seed;
use tooth_measure::choice::Choice as _;
use tooth_measure::geometry::Direction;
use tooth_measure::{
    Area, Fraction, Length, MoistureEmission, Money, MoneyPerHour, Outline, Path, ProfileLevel,
    Stress, Temperature, TemperatureDifference, WorkTime, range,
};

fn planned(survey: &Survey, objective: Objective) -> Plan {
    let assessment = assess(survey, RULE);
    plan(survey, &assessment, &built_in(), RULE, objective)
}

/// The room with some trouble.
fn troubled(trouble: Trouble) -> Survey {
    let mut survey = room();
    trouble.mark(&mut survey, "room", 0.0, 0.0, 10.0, 5.0);
    survey
}

/// Sets the values of one kind of reading in their order.
fn set<T: Copy>(survey: &mut Survey, values: &[T], put: impl Fn(&mut Measured, T) -> bool) {
    let mut values = values.iter();
    for reading in &mut survey.readings {
        let mut tried = reading.measured;
        if let Some(value) = values.clone().next()
            && put(&mut tried, *value)
        {
            reading.measured = tried;
            values.next();
        }
    }
}

fn set_humidity(survey: &mut Survey, percents: [f64; 3]) {
    set(survey, &percents, |measured, percent| {
        let Measured::InSlabHumidity(share) = measured else {
            return false;
        };
        *share = Fraction::from_percent(percent);
        true
    });
}

fn set_pull_off(survey: &mut Survey, results: [(f64, FailureMode); 3]) {
    set(survey, &results, |measured, (megapascals, mode)| {
        let Measured::PullOff { strength, failure } = measured else {
            return false;
        };
        (*strength, *failure) = (Stress::from_megapascals(megapascals), mode);
        true
    });
}

/// A break anywhere but in the disk's glue, which is no result.
fn counted_mode() -> impl Strategy<Value = FailureMode> {
    prop::sample::select(vec![FailureMode::Substrate, FailureMode::Interface, FailureMode::Overlay])
}

fn hollow(id: &str, place: Outline) -> Feature {
    let seen = Seen::Hollow { sure: Hollow::Sure, kind: HollowKind::LooseSkin, depth: None };
    common::feature(id, Place::Patch(place), seen)
}

#[test]
fn a_sound_room_with_every_reading_is_go() {
    let assessment = assess(&room(), RULE);
    assert_eq!(assessment.zones[0].recommendation, Recommendation::Go);
    assert!(assessment.zones[0].unknown.iter().all(|gap| !gap.decides));
}

proptest! {
    #[test]
    fn more_area_never_needs_fewer_tests(a in 0.0..=1.0f64, b in 0.0..=1.0f64) {
        let area = |share: f64| Area::from_square_metres(range::TEST_AREA.high.square_metres() * share.powi(3));
        for test in FieldTest::ALL {
            prop_assert!(test_count(*test, area(a.min(b)), USUAL_AREA_PER_TEST) <= test_count(*test, area(a.max(b)), USUAL_AREA_PER_TEST));
        }
    }

    #[test]
    fn two_parts_of_an_area_never_need_fewer_tests_than_the_whole(a in 1.0..5000.0f64, b in 1.0..5000.0f64) {
        let (a, b) = (Area::from_square_metres(a), Area::from_square_metres(b));
        for test in FieldTest::ALL {
            prop_assert!(test_count(*test, a, USUAL_AREA_PER_TEST) + test_count(*test, b, USUAL_AREA_PER_TEST) >= test_count(*test, a + b, USUAL_AREA_PER_TEST));
        }
    }

    #[test]
    fn a_wider_crack_or_one_that_moves_never_gets_a_milder_treatment(a in 0.0..5.0f64, b in 0.0..5.0f64) {
        let weight = |treatment: Option<LineTreatment>| match treatment {
            None => 0,
            Some(LineTreatment::RoutAndFill) => 1,
            Some(_) => 2,
        };
        let system = common::coating();
        let treated = |mm: f64, movement| weight(CrackVerdict::of(Length::from_millimetres(mm), movement, &system, &Limits::default()).treatment());
        for movement in CrackMovement::ALL {
            prop_assert!(treated(a.min(b), *movement) <= treated(a.max(b), *movement));
        }
        prop_assert!(treated(a, CrackMovement::Dormant) <= treated(a, CrackMovement::Unknown));
        prop_assert!(treated(a, CrackMovement::Unknown) <= treated(a, CrackMovement::Active));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn a_wetter_slab_never_gets_a_better_recommendation(
        percents in prop::array::uniform3(50.0..=100.0f64), more in prop::array::uniform3(0.0..30.0f64),
        retarder in prop::sample::select(Presence::ALL),
    ) {
        let mut survey = room();
        survey.facts.slab.vapour_retarder = retarder;
        set_humidity(&mut survey, percents);
        let drier = recommendation(&survey);
        let wetter = [0, 1, 2].map(|i| f64::min(percents[i] + more[i], 100.0));
        set_humidity(&mut survey, wetter);
        prop_assert!(common::rank(recommendation(&survey)) >= common::rank(drier));
        if wetter.iter().any(|percent| *percent > 80.0) {
            prop_assert!(recommendation(&survey) != Recommendation::Go);
        }
    }

    #[test]
    fn a_slab_that_emits_more_moisture_never_gets_a_better_recommendation(
        grams in prop::array::uniform3(0.0..30.0f64), more in prop::array::uniform3(0.0..20.0f64),
    ) {
        let mut survey = room();
        survey.systems[0].most_moisture_emission = Some(MoistureEmission::from_grams_per_square_metre_day(15.0));
        let zone = survey.zones[0].id.clone();
        let with = |grams: [f64; 3]| {
            let mut survey = survey.clone();
            for (number, grams) in grams.into_iter().enumerate() {
                let dish = Measured::MoistureEmission(MoistureEmission::from_grams_per_square_metre_day(grams));
                survey.readings.push(common::reading(&format!("dish-{number}"), &zone, "A", dish));
            }
            recommendation(&survey)
        };
        prop_assert!(common::rank(with([0, 1, 2].map(|i| grams[i] + more[i]))) >= common::rank(with(grams)));
    }

    #[test]
    fn a_weaker_pull_off_never_gets_a_better_recommendation(
        strengths in prop::array::uniform3(0.0..5.0f64), less in prop::array::uniform3(0.0..=1.0f64),
        modes in prop::array::uniform3(counted_mode()),
    ) {
        let mut survey = room();
        set_pull_off(&mut survey, [0, 1, 2].map(|i| (strengths[i], modes[i])));
        let (stronger, first) = (recommendation(&survey), assess(&survey, RULE));
        set_pull_off(&mut survey, [0, 1, 2].map(|i| (strengths[i] * less[i], modes[i])));
        let (weaker, second) = (recommendation(&survey), assess(&survey, RULE));
        prop_assert!(common::rank(weaker) >= common::rank(stronger));
        // Nor a milder finding: the mildest state comes first.
        let state = |assessment: &tooth_job::assessment::Assessment| assessment.zones[0]
            .findings.iter().find(|f| f.code == Matter::PullOffStrength).map(|f| f.state);
        prop_assert!(state(&second) >= state(&first));
    }

    #[test]
    fn a_result_that_turns_out_to_be_the_disks_glue_never_helps(
        strengths in prop::array::uniform3(1.5..5.0f64), glued in 0usize..3,
    ) {
        let mut survey = room();
        let mut results = strengths.map(|s| (s, FailureMode::Substrate));
        set_pull_off(&mut survey, results);
        prop_assert_eq!(recommendation(&survey), Recommendation::Go);
        results[glued].1 = FailureMode::Adhesive;
        set_pull_off(&mut survey, results);
        prop_assert_eq!(recommendation(&survey), Recommendation::TestMore);
    }

    #[test]
    fn a_missing_test_never_gives_go_where_the_system_asks_for_it(kind in 0usize..6, left in 0usize..3) {
        let mut survey = room();
        let kinds = ["water_drop", "pull_off", "in_slab_humidity"];
        if let Some(kind) = kinds.get(kind) {
            let mut kept = 0;
            survey.readings.retain(|r| {
                let wanted = r.measured.kind() == *kind;
                kept += usize::from(wanted);
                !wanted || kept <= left
            });
        } else if kind == 3 {
            // The sounding covers only a part.
            survey.features.retain(|f| !matches!(f.seen, Seen::Sounded { .. }));
        } else if kind == 4 {
            survey.systems[0].least_pull_off_strength = None;
        } else {
            survey.facts.slab.support = Support::Unknown;
        }
        prop_assert_eq!(recommendation(&survey), Recommendation::TestMore);
    }

    #[test]
    fn a_test_that_is_due_before_the_work_is_named_when_it_is_missing(left in 0usize..3) {
        for kind in ["chip_rating", "air_temperature", "air_humidity", "surface_temperature"] {
            let mut survey = room();
            let mut kept = 0;
            survey.readings.retain(|r| {
                let wanted = r.measured.kind() == kind;
                kept += usize::from(wanted);
                !wanted || (kept <= left && kind == "chip_rating")
            });
            let code =
                if kind == "chip_rating" { Matter::Profile } else { Matter::Climate };
            let zone = &assess(&survey, RULE).zones[0];
            prop_assert!(zone.unknown.iter().any(|gap| gap.code == code && gap.count > 0), "{}", kind);
        }
    }

    #[test]
    fn splitting_a_zone_where_there_is_no_wall_changes_no_total(
        cut in 0.5..9.5f64, x in 0.5..8.0f64, y in 0.5..4.0f64, width in 0.2..1.5f64, reach in 0.02..0.4f64,
    ) {
        let mut whole = room();
        let column = rectangle(x, y, width, 0.6);
        whole.features.push(common::feature("column", Place::Patch(column), Seen::Obstacle));
        let path = Path::new(&[at(0.3, 2.5), at(9.7, 2.1)]).unwrap();
        let joint = Seen::Joint { kind: JointKind::Contraction, working: Answer::Yes, old_filler: Answer::No };
        whole.features.push(common::feature("joint", Place::Line(path), joint));
        let mut split = whole.clone();
        split.zones.clear();
        add_zone(&mut split, "west", rectangle(0.0, 0.0, cut, 5.0));
        add_zone(&mut split, "east", rectangle(cut, 0.0, 10.0 - cut, 5.0));
        let totals = |survey: &Survey| {
            let extents = survey.zones.iter().map(|zone| {
                let extent = Extent::measure(survey, zone, RULE);
                let joints = extent.length_of(|f| matches!(f.seen, Seen::Joint { .. }));
                let band = extent.edge_band(Length::from_metres(reach));
                assert!(band <= extent.net + Area::from_square_metres(1e-6), "the band is larger than the zone");
                (extent.gross, extent.net, band, joints)
            });
            extents.fold((Area::ZERO, Area::ZERO, Area::ZERO, Length::ZERO), |sum, e| {
                (sum.0 + e.0, sum.1 + e.1, sum.2 + e.2, sum.3 + e.3)
            })
        };
        let (one, two) = (totals(&whole), totals(&split));
        prop_assert!((one.0 - two.0).square_metres().abs() < 1e-9);
        prop_assert!((one.1 - two.1).square_metres().abs() < 1e-5, "net {:?} {:?}", one.1, two.1);
        prop_assert!((one.2 - two.2).square_metres().abs() < 1e-5, "band {:?} {:?}", one.2, two.2);
        prop_assert!((one.3 - two.3).metres().abs() < 1e-3, "joints {:?} {:?}", one.3, two.3);
    }

    #[test]
    fn the_edge_band_grows_with_reach_and_never_beyond_the_zone(a in 0.0..3.0f64, b in 0.0..3.0f64) {
        let survey = room();
        let extent = Extent::measure(&survey, &survey.zones[0], RULE);
        let band = |reach| extent.edge_band(Length::from_metres(reach));
        let slack = Area::from_square_metres(1e-6);
        prop_assert!(band(a.min(b)) <= band(a.max(b)) + slack);
        prop_assert!(band(a.max(b)) <= extent.net + slack);
        // Four walls: what is left in the middle is the room less the reach on every side.
        let middle = (10.0 - 2.0 * a).max(0.0) * (5.0 - 2.0 * a).max(0.0);
        prop_assert!((band(a).square_metres() - (50.0 - middle)).abs() < 1e-4);
    }

    #[test]
    fn patches_hold_the_damage_keep_the_rule_and_stand_apart(
        spots in prop::collection::vec((0.0..9.0f64, 0.0..4.0f64, 0.01..0.6f64, 0.01..0.6f64), 1..8),
        turn in 0.0..1.5f64, depth in 0.0..0.1f64,
    ) {
        let features: Vec<Feature> = spots.iter().enumerate()
            .map(|(n, &(x, y, w, h))| hollow(&format!("h{n}"), rectangle(x, y, w, h))).collect();
        let loose: Vec<(&Feature, Length)> = features.iter().map(|f| (f, Length::from_metres(depth))).collect();
        let (sin, cos) = turn.sin_cos();
        let slab = Outline::new(&[at(0.0, 0.0), at(9.0 * cos, 9.0 * sin), at(-sin, cos)]).unwrap();
        let slanted = if turn < 0.5 { Direction::EAST } else { slab.main_direction() };
        for rule in PatchRule::ALL {
            let patches = square_up(&loose, slanted, *rule);
            let (length, width) = rule.least_size();
            let slack = Length::from_metres(1e-9);
            let mut held: Vec<_> = patches.iter().flat_map(|p| p.holds.clone()).collect();
            held.sort();
            prop_assert_eq!(held.len(), features.len());
            held.dedup();
            prop_assert_eq!(held.len(), features.len(), "a place lies in two patches");
            for (number, patch) in patches.iter().enumerate() {
                prop_assert!(patch.rectangle.length() + slack >= length && patch.rectangle.width() + slack >= width);
                prop_assert!(patch.depth >= rule.least_depth() && patch.depth >= Length::from_metres(depth));
                let sawn = Outline::new(&patch.rectangle.corners()).unwrap().region().within(Length::from_metres(1e-6));
                for feature in features.iter().filter(|f| patch.holds.contains(&f.id)) {
                    if let Place::Patch(damage) = &feature.place {
                        prop_assert!(damage.corners().iter().all(|corner| sawn.holds(*corner)));
                    }
                }
                for other in &patches[number + 1..] {
                    let gap = patch.rectangle.gap(&other.rectangle);
                    prop_assert!(gap > Length::ZERO && gap + slack >= rule.joining_gap());
                }
            }
        }
    }

    #[test]
    fn a_stricter_margin_never_gives_more_hours(
        hours in prop::collection::vec((5.0..30.0f64, 0.3..1.0f64, 5.0..30.0f64), 1..48), a in 0.0..8.0f64, b in 0.0..8.0f64,
    ) {
        let start = common::noon();
        let forecast: Vec<ForecastHour> = hours.iter().enumerate().map(|(n, &(air, humidity, surface))| ForecastHour {
            time: start.saturating_add(jiff::Span::new().hours(n as i64)),
            air: Temperature::from_celsius(air),
            humidity: Fraction::new(humidity),
            surface: Some(Temperature::from_celsius(surface)),
            wind: tooth_measure::Speed::ZERO,
            rain: Fraction::ZERO,
        }).collect();
        let open = |kelvins| {
            let mut system = common::coating();
            system.dew_point_margin = Some(TemperatureDifference::from_kelvins(kelvins));
            let found = windows(&forecast, &system, true);
            assert!(found.windows(2).all(|pair| pair[0].until < pair[1].from), "windows touch");
            found.iter().map(|w| w.until.since(w.from).unwrap().total(jiff::Unit::Hour).unwrap()).sum::<f64>()
        };
        prop_assert!(open(a.max(b)) <= open(a.min(b)) + 1e-9);
    }
}

proptest! {
    // Each of these plans a room several times over.
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn a_stricter_site_never_makes_the_plan_cheaper(trouble in trouble()) {
        let survey = troubled(trouble);
        let with = |change: fn(&mut Survey)| {
            let mut survey = survey.clone();
            change(&mut survey);
            planned(&survey, Objective::Cheapest)
        };
        // From free to strict; each row only takes methods away.
        let rows: [&[fn(&mut Survey)]; 6] = [
            &[
                |s| s.facts.constraints.dust = Dust::Usual,
                |s| s.facts.constraints.dust = Dust::Controlled,
                |s| s.facts.constraints.dust = Dust::None,
            ],
            &[
                |s| s.facts.constraints.power = Power::ThreePhase,
                |s| s.facts.constraints.power = Power::SinglePhase,
                |s| s.facts.constraints.power = Power::None,
            ],
            &[|s| s.facts.constraints.water = true, |s| s.facts.constraints.water = false],
            &[|s| s.facts.constraints.loud_work = true, |s| s.facts.constraints.loud_work = false],
            &[
                |s| s.facts.constraints.engines_indoors = true,
                |s| s.facts.constraints.engines_indoors = false,
                |s| s.facts.constraints.door_width = Some(Length::from_metres(0.9)),
                |s| s.facts.constraints.door_width = Some(Length::from_metres(0.6)),
            ],
            &[
                |s| s.systems[0].acid_etch = Answer::Yes,
                |s| s.systems[0].acid_etch = Answer::Unknown,
            ],
        ];
        for row in rows {
            let plans: Vec<Plan> = row.iter().map(|change| with(*change)).collect();
            for pair in plans.windows(2) {
                if pair[0].incomplete() {
                    prop_assert!(pair[1].incomplete(), "fewer methods found a way that more did not");
                } else if !pair[1].incomplete() {
                    prop_assert!(pair[1].total_cost + Money::new(0.01) >= pair[0].total_cost,
                        "{:?} after {:?}", pair[1].total_cost, pair[0].total_cost);
                }
            }
        }
    }

    #[test]
    fn a_plan_adds_up_and_is_its_own_lower_bound(trouble in trouble()) {
        let plan = planned(&troubled(trouble), Objective::Cheapest);
        prop_assert!(plan.optimal);
        prop_assert!((plan.total_cost - plan.lower_bound).amount().abs() < 0.01);
        let zone = &plan.zones[0];
        let steps: Money = zone.steps.iter().map(|s| s.cost).sum();
        let hire: Money = plan.machines.iter().map(|m| m.mobilisation).sum();
        prop_assert!((steps - zone.cost).amount().abs() < 1e-6);
        prop_assert!((steps + hire - plan.total_cost).amount().abs() < 1e-6);
        for step in &zone.steps {
            prop_assert!((step.parts.total() - step.cost).amount().abs() < 1e-6);
            let hours: WorkTime = step.priced.iter().map(|p| p.hours(1.0, 1.0)).sum();
            prop_assert!((hours - step.hours).hours().abs() < 1e-9);
        }
        prop_assert_eq!(zone.state == Planned::Planned, !zone.steps.is_empty());
    }

    #[test]
    fn each_objective_is_met_best_by_its_own_plan(trouble in trouble()) {
        let survey = troubled(trouble);
        let [cheap, fast, clean] = [Objective::Cheapest, Objective::Fastest, Objective::LeastDust]
            .map(|objective| planned(&survey, objective));
        prop_assume!(!cheap.incomplete());
        let catalogue = built_in();
        let dusty = |plan: &Plan| -> f64 {
            plan.zones.iter().flat_map(|z| &z.steps).flat_map(|s| &s.priced)
                // Looking at what a tool has made raises no dust.
                .filter(|part| part.work != PartOfWork::Checking)
                .filter(|part| catalogue.method(&part.method).is_some_and(|m| m.dust != DustMade::None))
                .map(|part| part.hours(1.0, 1.0).hours()).sum()
        };
        let slack = 1e-3;
        for other in [&fast, &clean] {
            prop_assert!(cheap.total_cost.amount() <= other.total_cost.amount() + slack);
        }
        for other in [&cheap, &clean] {
            prop_assert!(fast.total_hours.hours() <= other.total_hours.hours() + slack);
        }
        for other in [&cheap, &fast] {
            prop_assert!(dusty(&clean) <= dusty(other) + slack);
        }
    }

    #[test]
    fn a_machine_of_ones_own_and_lower_wages_never_make_the_plan_dearer(trouble in trouble(), own in 0usize..15, less in 0.3..1.0f64) {
        let mut survey = troubled(trouble);
        let hired = planned(&survey, Objective::Cheapest);
        survey.facts.machines_owned = vec![built_in().machines[own].id.clone()];
        let owned = planned(&survey, Objective::Cheapest);
        prop_assert!(owned.total_cost <= hired.total_cost + Money::new(0.01));
        survey.facts.rates.labour = MoneyPerHour::from_per_hour(60.0 * less);
        prop_assert!(planned(&survey, Objective::Cheapest).total_cost <= owned.total_cost + Money::new(0.01));
    }

    #[test]
    fn two_zones_together_never_cost_more_than_each_alone(first in trouble(), second in trouble()) {
        let lay = |marks: [Option<Trouble>; 2]| {
            let mut survey = common::empty();
            for (number, trouble) in marks.into_iter().enumerate() {
                let (name, x) = (["west", "east"][number], 20.0 * number as f64);
                let Some(trouble) = trouble else { continue };
                add_zone(&mut survey, name, rectangle(x, 0.0, 8.0, 4.0));
                survey.features.push(walls(&format!("walls-{name}"), x, 0.0, 8.0, 4.0));
                trouble.mark(&mut survey, name, x, 0.0, 8.0, 4.0);
            }
            planned(&survey, Objective::Cheapest)
        };
        let both = lay([Some(first), Some(second)]);
        let (west, east) = (lay([Some(first), None]), lay([None, Some(second)]));
        prop_assert_eq!(both.incomplete(), west.incomplete() || east.incomplete());
        let apart = west.total_cost + east.total_cost;
        prop_assert!(both.total_cost <= apart + Money::new(0.01));
        let dearer = west.total_cost.max(east.total_cost);
        prop_assert!(both.total_cost + Money::new(0.01) >= dearer);
    }

    #[test]
    fn trouble_never_makes_the_plan_cheaper(trouble in trouble(), deeper in 0u16..30) {
        let cost = |trouble: Trouble| {
            let plan = planned(&troubled(trouble), Objective::Cheapest);
            (!plan.incomplete()).then_some(plan.total_cost)
        };
        let Some(troubled) = cost(trouble) else { return Ok(()) };
        let milder = [
            Trouble { hollow: false, ..trouble },
            Trouble { film: FilmReach::None, ..trouble },
            Trouble { oil: OilReach::None, ..trouble },
            Trouble { dense: false, ..trouble },
            Trouble { weak_tenths: trouble.weak_tenths.saturating_sub(deeper), ..trouble },
        ];
        for mild in milder {
            let milder = cost(mild);
            prop_assert!(milder.is_some_and(|cost| cost <= troubled + Money::new(0.01)), "{:?} costs {:?}, {:?} costs {:?}", mild, milder, trouble, troubled);
        }
    }

    #[test]
    fn an_estimate_is_ordered_repeats_and_follows_its_own_formula(
        trouble in trouble(), seed in any::<u64>(), overhead in 0.0..0.5f64, margin in 0.0..0.6f64,
    ) {
        let mut survey = troubled(trouble);
        survey.facts.money.overhead = Fraction::new(overhead);
        survey.facts.money.margin = Fraction::new(margin);
        let plan = planned(&survey, Objective::Cheapest);
        let first = estimate(&survey, &plan, &built_in(), Seed(seed));
        let cost = first.cost;
        prop_assert!(cost.p10 <= cost.p50 && cost.p50 <= cost.p80 && cost.p80 <= cost.p90);
        let hours = first.hours;
        prop_assert!(hours.p10 <= hours.p50 && hours.p50 <= hours.p80 && hours.p80 <= hours.p90);
        prop_assert_eq!(&first, &estimate(&survey, &plan, &built_in(), Seed(seed)));
        let marked = first.as_marked;
        let price = marked.direct.amount() * (1.0 + overhead) / (1.0 - margin);
        prop_assert!((marked.price.amount() - price).abs() < 1e-6 * price.max(1.0));
        let parts = marked.direct + marked.overhead + marked.margin;
        prop_assert!((parts - marked.price).amount().abs() < 1e-6 * price.max(1.0));
        // Direct cost is the plan's, with the crew's trips: a day each, and one more for
        // every wait overnight.
        let days = (plan.total_hours / survey.facts.rates.working_day - 1e-9).ceil().max(0.0);
        let waits = plan.zones[0].steps.iter().filter(|s| s.wait_hours >= WorkTime::from_hours(12.0));
        let trips = if days > 0.0 { days.max(1.0 + waits.count() as f64) } else { 0.0 };
        let direct = plan.total_cost + survey.facts.rates.trip * trips;
        prop_assert!((direct - marked.direct).amount().abs() < 1e-6 * price.max(1.0));
        let lines: Money = first.lines.iter().map(|line| line.total).sum();
        prop_assert!((lines - marked.direct).amount().abs() < 1e-6 * price.max(1.0));
        let shares: f64 = first.drivers.iter().map(|driver| driver.share.ratio()).sum();
        prop_assert!(first.drivers.is_empty() || (shares - 1.0).abs() < 1e-9);
    }
}

/// The first step that the site does not bear.
fn forbidden_step(survey: &Survey, plan: &Plan) -> Option<String> {
    let site = &survey.facts.constraints;
    let catalogue = built_in();
    let steps = plan.zones.iter().flat_map(|zone| &zone.steps);
    let mut methods =
        steps.flat_map(|step| &step.priced).filter_map(|part| catalogue.method(&part.method));
    methods
        .find(|m| {
            let machine = m.machine.as_deref().and_then(|id| catalogue.machine(id));
            let power = machine.map_or(Power::None, |machine| machine.power);
            (m.loud && !site.loud_work)
                || (m.wet && !site.water)
                || (m.dust == DustMade::Open && site.dust != Dust::Usual)
                || (m.dust != DustMade::None && site.dust == Dust::None)
                // A generator makes up for the supply, where anything loud may run.
                || (power > site.power && !site.loud_work)
                || machine.is_some_and(|machine| machine.engine && !site.engines_indoors)
                || machine.is_some_and(|machine| {
                    machine.door > site.door_width && site.door_width.is_some()
                })
        })
        .map(|m| m.id.clone())
}

fn any_site() -> impl Strategy<Value = tooth_job::survey::Constraints> {
    let door = prop_oneof![Just(None), (0.5..2.0f64).prop_map(|m| Some(Length::from_metres(m)))];
    (prop::sample::select(Dust::ALL), prop::sample::select(Power::ALL), any::<[bool; 3]>(), door)
        .prop_map(|(dust, power, [water, loud_work, engines_indoors], door_width)| {
            tooth_job::survey::Constraints {
                dust,
                water,
                engines_indoors,
                loud_work,
                power,
                door_width,
                vibration: true,
                loud_hours: None,
                most_machine_mass: None,
                slope: None,
            }
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn no_planned_step_breaks_a_rule_of_the_site(trouble in trouble(), site in any_site()) {
        let mut survey = troubled(trouble);
        survey.facts.constraints = site;
        let plan = planned(&survey, Objective::Cheapest);
        prop_assert_eq!(forbidden_step(&survey, &plan), None);
    }

    #[test]
    fn a_plan_without_a_test_says_what_it_took_for_granted(kind in prop::sample::select(vec!["water_drop", "pull_off", "chip_rating"])) {
        let mut survey = room();
        survey.readings.retain(|r| r.measured.kind() != kind);
        let plan = planned(&survey, Objective::Cheapest);
        prop_assert_eq!(plan.zones[0].assumptions.len(), 1, "{}", kind);
        // The assumption is the unfavourable one: knowing more never costs more here.
        let known = planned(&room(), Objective::Cheapest);
        prop_assert!(known.total_cost <= plan.total_cost + Money::new(0.01));
    }
}

/// Common practice, no source: a panel on this slab says more than a table of methods.
#[test]
fn a_panel_that_came_out_otherwise_changes_the_plan() {
    let with_panel = |profile: Option<u8>, reaction: Option<Reaction>| {
        let mut survey = troubled(Trouble { chip: 1, ..Trouble::NONE });
        let before = planned(&survey, Objective::Cheapest);
        let maker = before.zones[0].steps.iter().find(|step| step.leaves.is_some()).unwrap();
        let panel = Seen::SamplePanel {
            approved_by: Some("the owner".to_owned()),
            method: MethodId::new(&maker.method),
            profile: profile.map(ProfileLevel::clamped),
            reaction,
        };
        let place = Place::Patch(rectangle(1.0, 1.0, 0.5, 0.5));
        survey.features.push(common::feature("panel", place, panel));
        (before.clone(), planned(&survey, Objective::Cheapest))
    };
    let (before, same) = with_panel(None, Some(Reaction::Even));
    assert_eq!(used(&before), used(&same));
    let target = before.zones[0].target;
    // One chip smoother than asked for: the plan must look elsewhere, and pays for it.
    let (before, after) = with_panel(Some(target.least().chip() - 1), None);
    assert_ne!(used(&before), used(&after));
    assert!(after.total_cost > before.total_cost);
    let (before, rougher) = with_panel(Some(target.most().chip() + 1), None);
    assert_ne!(used(&before), used(&rougher));
    // A surface that takes nothing is opened, even where its profile would do.
    let mut bare = troubled(Trouble { chip: 4, ..Trouble::NONE });
    let opens = |plan: &Plan| plan.zones[0].steps.iter().any(|step| step.leaves.is_some());
    assert!(!opens(&planned(&bare, Objective::Cheapest)));
    let panel = Seen::SamplePanel {
        approved_by: Some("the owner".to_owned()),
        method: None,
        profile: None,
        reaction: Some(Reaction::None),
    };
    let place = Place::Patch(rectangle(1.0, 1.0, 0.5, 0.5));
    bare.features.push(common::feature("panel", place, panel));
    assert!(opens(&planned(&bare, Objective::Cheapest)));
}

fn used(plan: &Plan) -> Vec<String> {
    plan.zones[0].steps.iter().map(|step| step.method.clone()).collect()
}

/// A patch of the room with something seen on it.
fn seen_at(survey: &mut Survey, id: &str, x: f64, seen: Seen) {
    let place = Place::Patch(rectangle(x, 1.0, 0.6, 0.6));
    survey.features.push(common::feature(id, place, seen));
}

fn read_at(survey: &mut Survey, id: &str, measured: Measured, subject: &str) {
    let zone = survey.zones[0].id.clone();
    let reading = common::reading(id, &zone, "A", measured);
    survey.readings.push(Reading { subject: FeatureId::new(subject), ..reading });
}

/// Common practice, no source: oil that bleeds back is not blasted over.
#[test]
fn oil_is_gone_for_a_day_or_cut_out_before_anything_is_blasted() {
    let mut survey = troubled(Trouble { chip: 1, ..Trouble::NONE });
    let oil = Seen::Stain { kind: Contaminant::Oil, depth: Some(Length::from_millimetres(12.0)) };
    seen_at(&mut survey, "oil", 2.0, oil);
    let plan = planned(&survey, Objective::Cheapest);
    let lifts = used(&plan).iter().position(|m| m == "oil_poultice").unwrap();
    let maker = plan.zones[0].steps.iter().position(|step| step.leaves.is_some()).unwrap();
    assert!(lifts < maker);
    assert!(plan.zones[0].steps[maker].holds.contains(&Hold::OilGone));
    read_at(&mut survey, "came-back", Measured::OilBleedBack(Answer::Yes), "oil");
    let plan = planned(&survey, Objective::Cheapest);
    assert!(!used(&plan).contains(&"oil_poultice".to_owned()));
    let patch = plan.zones[0].steps.iter().find(|step| step.scope == Scope::Patches).unwrap();
    assert_eq!(patch.features, [FeatureId::new("oil").unwrap()]);
}

/// Common practice, no source.
#[test]
fn an_old_layer_too_thick_to_scrape_is_broken_out_and_filled() {
    let layer = |millimetres: f64| Seen::Hollow {
        sure: Hollow::Sure,
        kind: HollowKind::DebondedLayer,
        depth: Some(Length::from_millimetres(millimetres)),
    };
    let patched = |millimetres: f64| {
        let mut survey = troubled(Trouble::NONE);
        seen_at(&mut survey, "layer", 2.0, layer(millimetres));
        used(&planned(&survey, Objective::Cheapest)).contains(&"cut_out_and_patch".to_owned())
    };
    assert!(!patched(3.0) && patched(25.0));
}

/// Common practice, no source: knife and solvent say how a film comes off.
#[test]
fn a_film_that_holds_is_neither_scraped_nor_stripped() {
    let film = Trouble { film: FilmReach::Thick, ..Trouble::NONE };
    let out = |survey: &Survey, method: &str| {
        let plan = planned(survey, Objective::Cheapest);
        plan.zones[0].ruled_out.iter().any(|out| out.method == method)
    };
    let mut survey = troubled(film);
    assert!(!out(&survey, "scrape") && !out(&survey, "chemical_strip"));
    read_at(&mut survey, "knife", Measured::Knife(KnifeTest::Holds), "film");
    read_at(&mut survey, "rub", Measured::SolventRub(SolventRub::NoEffect), "film");
    assert!(out(&survey, "scrape") && out(&survey, "chemical_strip"));
    read_at(&mut survey, "knife-2", Measured::Knife(KnifeTest::Peels), "film");
    assert!(!out(&survey, "scrape"));
}

/// What scraping leaves in the pores is taken by a step of its own.
#[test]
fn nothing_scraped_is_called_bare() {
    let mut survey = troubled(Trouble { film: FilmReach::Thick, chip: 4, ..Trouble::NONE });
    survey.facts.constraints.water = false;
    let plan = planned(&survey, Objective::Cheapest);
    let steps = used(&plan);
    if let Some(scraped) = steps.iter().position(|method| method == "scrape") {
        let after = &plan.zones[0].steps[scraped + 1..];
        assert!(after.iter().any(|step| step.leaves.is_some()), "{steps:?}");
    }
}

/// Water stays where it was put: a scrubbed spot is dried, not the hall.
#[test]
fn only_what_a_part_step_made_wet_is_dried() {
    let spot = Trouble { share: 0.1, oil: OilReach::Surface, chip: 1, ..Trouble::NONE };
    let plan = planned(&troubled(spot), Objective::Cheapest);
    let dried = plan.zones[0].steps.iter().find(|step| step.method == "pick_up_and_dry");
    let dried = dried.unwrap();
    assert_eq!(dried.scope, Scope::Part);
    assert!(dried.area_m2.unwrap() < Area::from_square_metres(10.0));
}

/// Source: FHWA, partial-depth repair page (from memory): joints are formed again through a
/// repair. A decision to fill a joint that works is signed for: common practice.
#[test]
fn a_working_joint_is_neither_bridged_nor_filled_in_silence() {
    let mut survey = troubled(Trouble::NONE);
    let path = Path::new(&[at(2.3, 0.5), at(2.3, 4.5)]).unwrap();
    let joint =
        Seen::Joint { kind: JointKind::Contraction, working: Answer::Yes, old_filler: Answer::No };
    survey.features.push(common::feature("joint", Place::Line(path), joint));
    let depth = Length::from_millimetres(40.0);
    seen_at(&mut survey, "spall", 2.0, Seen::Spall { depth, bars_exposed: Answer::No });
    let says = |survey: &Survey| -> Vec<(FindingState, String)> {
        let zone = assess(survey, RULE).zones.swap_remove(0);
        let joints = zone.findings.into_iter().filter(|finding| finding.code == Matter::Joints);
        joints.map(|finding| (finding.state, common::told(&finding.reason))).collect()
    };
    assert!(says(&survey).iter().any(|(_, reason)| reason.contains("formed again through it")));
    survey.facts.treatments.push(DecidedTreatment {
        feature: FeatureId::new("joint").unwrap(),
        treatment: LineTreatment::SemiRigidFill,
        by: "the works manager".into(),
        reason: "trolleys".into(),
        on: Some(common::noon().date()),
    });
    let signed = says(&survey);
    let held = signed.iter().find(|(state, _)| *state == FindingState::Hold);
    assert!(held.is_some_and(|(_, reason)| reason.contains("the works manager")), "{signed:?}");
}

/// A working joint is carried through what can be cut, honoured beside a thin film, and left
/// open under what soaks in; one at rest outdoors stays open too, and is filled indoors alone.
#[test]
fn joints_are_treated_as_the_finish_and_the_place_ask() {
    use LineTreatment as T;
    for class in SystemClass::ALL {
        for setting in Setting::ALL {
            let mut survey = troubled(Trouble::NONE);
            survey.systems[0].class = *class;
            survey.facts.slab.setting = *setting;
            let zone = survey.zones[0].clone();
            let extent = Extent::measure(&survey, &zone, RULE);
            let look =
                Look { survey: &survey, zone: &zone, system: &survey.systems[0], extent: &extent };
            let of = |kind, working| joint_treatment(&look, kind, working);
            let works = match class {
                SystemClass::Stain | SystemClass::Sealer => T::KeepClean,
                SystemClass::ThinFilm => T::HonourAndSeal,
                _ => T::RecutAndSeal,
            };
            let rests = match (works, setting) {
                (T::KeepClean, _) | (_, Setting::Outdoor) => T::KeepClean,
                (_, Setting::Indoor) => T::SemiRigidFill,
            };
            assert_eq!(of(JointKind::Contraction, Answer::Yes), works);
            assert_eq!(of(JointKind::Contraction, Answer::No), rests);
            assert_ne!(of(JointKind::Expansion, Answer::No), T::SemiRigidFill);
        }
    }
}

/// 3 mm of weak skin under a see-through finish that shows no aggregate: nothing may take so
/// much, neither in one step nor in many.
#[test]
fn no_number_of_small_steps_takes_more_than_was_agreed() {
    let weak = Trouble { weak_tenths: 30, share: 1.0, chip: 4, ..Trouble::NONE };
    let mut survey = troubled(weak);
    survey.systems[0].see_through = true;
    survey.systems[0].agreed_exposure = Some(Exposure::Cream);
    survey.systems[0].acid_etch = Answer::Yes;
    let plan = planned(&survey, Objective::Cheapest);
    assert_eq!(plan.zones[0].state, Planned::Infeasible, "{:?}", used(&plan));
}

/// A part that a tool leaves smoother than asked for is not left so.
#[test]
fn a_part_comes_out_in_range_or_is_made_again() {
    let skin = Trouble { share: 0.1, weak_tenths: 5, chip: 4, ..Trouble::NONE };
    let plan = planned(&troubled(skin), Objective::Cheapest);
    let zone = &plan.zones[0];
    let catalogue = built_in();
    for (number, step) in zone.steps.iter().enumerate().filter(|(_, s)| s.scope == Scope::Part) {
        let work = catalogue.method(&step.method).and_then(|method| method.surface()).unwrap();
        let smooth = work.leaves.is_some_and(|leaves| leaves.most() < zone.target.least());
        let again = zone.steps[number + 1..].iter().any(|later| later.leaves.is_some());
        assert!(!smooth || again, "{:?}", used(&plan));
    }
}

#[test]
fn joints_too_keep_the_rules_of_the_site() {
    let mut survey = troubled(Trouble::NONE);
    let path = Path::new(&[at(5.0, 0.5), at(5.0, 4.5)]).unwrap();
    let joint =
        Seen::Joint { kind: JointKind::Contraction, working: Answer::Yes, old_filler: Answer::No };
    survey.features.push(common::feature("joint", Place::Line(path), joint));
    survey.facts.constraints.loud_work = false;
    let plan = planned(&survey, Objective::Cheapest);
    assert_eq!(forbidden_step(&survey, &plan), None);
}

#[test]
fn a_drawn_item_without_a_locate_blocks_cutting_as_a_suspected_one_does() {
    let ruled_out = |survey: &Survey| {
        let plan = planned(survey, Objective::Cheapest);
        plan.zones[0].ruled_out.iter().any(|out| out.method == "scarify")
    };
    let mut suspected = room();
    suspected.facts.locates.clear();
    suspected.facts.slab.embedded_items = Answer::Unknown;
    assert!(ruled_out(&suspected));
    let mut drawn = room();
    drawn.facts.locates.clear();
    // A tendon would make the slab an engineer's, and leave no plan.
    let tubes = Path::new(&[at(0.5, 2.0), at(9.5, 2.0)]).unwrap();
    drawn.features.push(common::feature(
        "tubes",
        Place::Line(tubes),
        Seen::Embedded {
            item: tooth_job::survey::Embedded::HeatingLoop,
            located: Answer::No,
            cover: None,
        },
    ));
    assert!(ruled_out(&drawn));
}

#[test]
fn too_few_water_drops_are_stated_as_an_assumption() {
    let mut survey = room();
    let mut kept = 0;
    survey.readings.retain(|r| {
        let drop = r.measured.kind() == "water_drop";
        kept += usize::from(drop);
        !drop || kept <= 1
    });
    assert_eq!(recommendation(&survey), Recommendation::TestMore);
    let plan = planned(&survey, Objective::Cheapest);
    assert!(!plan.zones[0].assumptions.is_empty());
}

#[test]
fn an_old_layer_that_lets_go_below_the_limit_is_taken_off_or_assumed() {
    let mut survey = troubled(Trouble::NONE);
    set_pull_off(&mut survey, [(0.4, FailureMode::Interface); 3]);
    let zone = &planned(&survey, Objective::Cheapest).zones[0];
    let removes = zone.steps.iter().any(|step| step.method != "vacuum_clean");
    assert!(removes || !zone.assumptions.is_empty());
}

#[test]
fn a_weak_pull_off_beside_a_small_marked_weak_spot_is_treated_all_over() {
    let spot = Trouble { share: 0.05, weak_tenths: 5, ..Trouble::NONE };
    let mut survey = troubled(spot);
    let unmarked = {
        let mut survey = troubled(Trouble::NONE);
        set_pull_off(&mut survey, [(0.4, FailureMode::Substrate); 3]);
        planned(&survey, Objective::Cheapest).total_cost
    };
    set_pull_off(&mut survey, [(0.4, FailureMode::Substrate); 3]);
    let marked = planned(&survey, Objective::Cheapest).total_cost;
    assert!(marked + Money::new(0.01) >= unmarked, "{marked:?} < {unmarked:?}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// The band along walls is followed step by step with the tool that really works it.
    #[test]
    fn the_band_along_walls_ends_within_the_range_asked_for(trouble in trouble(), chip in 1..9u8) {
        let trouble = Trouble { chip, ..trouble };
        let plan = planned(&troubled(trouble), Objective::Cheapest);
        let zone = &plan.zones[0];
        prop_assume!(zone.state == Planned::Planned);
        let catalogue = built_in();
        let steps: Vec<_> = zone.steps.iter().map(|s| (&s.method, s.scope, s.edging.as_ref().map(|e| &e.method))).collect();
        // At the marked end of the room and at the other.
        for (x, marked) in [(0.05, true), (9.95, trouble.share >= 1.0)] {
            let mut band = chip;
            let mut oily = marked && trouble.oil != OilReach::None;
            let here = |step: &&Step| {
                step.scope == Scope::Whole
                    || step.ground.as_ref().is_some_and(|ground| ground.holds(at(x, 2.5)))
            };
            for step in zone.steps.iter().filter(here) {
                let tool = step.edging.as_ref().map_or(&step.method, |edge| &edge.method);
                let Some(work) = catalogue.method(tool).and_then(|method| method.surface()) else { continue };
                if let Some(leaves) = work.leaves.filter(|_| !oily) {
                    let wanted = band.clamp(zone.target.least().chip(), zone.target.most().chip());
                    let set_to = wanted.clamp(leaves.least().chip(), leaves.most().chip());
                    band = if !work.smooths {
                        band.max(set_to)
                    } else if band > set_to {
                        band - (band - set_to).min(work.most_passes)
                    } else {
                        set_to
                    };
                }
                // Over oil a tool takes the film and makes no profile.
                oily &= work.oil == OilReach::None || work.oil < trouble.oil;
            }
            let asked = zone.target.least().chip()..=zone.target.most().chip();
            prop_assert!(asked.contains(&band), "CSP {} along the walls at {} after {:?}", band, x, steps);
        }
    }
}

#[test]
fn hazards_to_people_cannot_be_overruled() {
    let mut survey = room();
    survey.facts.slab.support = Support::Suspended;
    for finding in [Matter::Structure, Matter::EmbeddedItems, Matter::OldCoating] {
        survey.facts.overrules.push(Overrule {
            drawing: None,
            conditions: Vec::new(),
            by_others: None,
            leave: false,
            zone: survey.zones[0].id.clone(),
            finding,
            feature: None,
            licence: None,
            reason: "in a hurry".into(),
            by: "somebody".into(),
            date: common::noon().date(),
        });
    }
    assert_eq!(recommendation(&survey), Recommendation::Engineer);
}

#[test]
fn a_finding_that_a_person_overrules_stays_visible() {
    let mut survey = room();
    set_humidity(&mut survey, [90.0, 70.0, 70.0]);
    assert_eq!(recommendation(&survey), Recommendation::RepairFirst);
    survey.facts.overrules.push(Overrule {
        drawing: None,
        conditions: Vec::new(),
        by_others: None,
        leave: false,
        zone: survey.zones[0].id.clone(),
        finding: Matter::Moisture,
        feature: None,
        licence: None,
        reason: "mitigation is in the bid".into(),
        by: "owner".into(),
        date: common::noon().date(),
    });
    let zone = &assess(&survey, RULE).zones[0];
    assert_eq!(zone.recommendation, Recommendation::Go);
    let moisture = zone.findings.iter().find(|f| f.code == Matter::Moisture).unwrap();
    assert_eq!(moisture.state, FindingState::Decide);
    assert!(moisture.overruled.is_some());
}

/// A crack gauge has a scale of a tenth of a millimetre: a reading one step wider on
/// another day has moved.
#[test]
fn a_crack_that_opened_by_one_step_of_the_gauge_moves() {
    for tenths in 1..20u32 {
        let mut survey = room();
        let crack = common::feature(
            "c",
            Place::Line(Path::new(&[at(1.0, 1.0), at(3.0, 1.0)]).unwrap()),
            Seen::Crack {
                width: Length::from_millimetres(2.0),
                movement: CrackMovement::Unknown,
                said: None,
                leaking: Answer::No,
                displaced: Answer::No,
            },
        );
        let zone = survey.zones[0].id.clone();
        for (day, width) in [(0, tenths), (1, tenths + 1)] {
            let gauge = Measured::CrackGauge(Length::from_millimetres(f64::from(width) / 10.0));
            let mut reading = common::reading(&format!("g{day}"), &zone, "A", gauge);
            reading.subject = Some(crack.id.clone());
            reading.time = common::noon().saturating_add(jiff::Span::new().days(day));
            survey.readings.push(reading);
        }
        assert_eq!(
            movement_of(&survey, &crack),
            CrackMovement::Active,
            "from {} mm",
            f64::from(tenths) / 10.0
        );
    }
}

/// A crack across the room; its gauge showed nothing on two days where it is dormant.
fn cracked(width: f64, movement: CrackMovement) -> Survey {
    let mut survey = room();
    let width = Length::from_millimetres(width);
    let place = Place::Line(Path::new(&[at(1.0, 1.0), at(3.0, 1.0)]).unwrap());
    let (leaking, displaced) = (Answer::No, Answer::No);
    let seen = Seen::Crack { width, movement, said: None, leaking, displaced };
    let crack = common::feature("crack", place, seen);
    let days = if movement == CrackMovement::Dormant { 2 } else { 0 };
    for day in 0..days {
        let zone = &survey.zones[0].id;
        let gauge = Measured::CrackGauge(width);
        let mut reading = common::reading(&format!("gauge-{day}"), zone, "A", gauge);
        reading.subject = Some(crack.id.clone());
        reading.time = common::noon().saturating_add(jiff::Span::new().days(day));
        survey.readings.push(reading);
    }
    survey.features.push(crack);
    survey
}

/// The fields of a struct, all of them or it does not compile, as settings are called.
macro_rules! settings {
    ($prefix:literal, $of:expr => $type:ident { $($field:ident),* $(,)? }) => {{
        let $type { $($field: _),* } = $of;
        vec![$(concat!($prefix, stringify!($field))),*]
    }};
}

fn known_settings() -> Vec<&'static str> {
    let mut known = settings!("limits.", Limits::default() => Limits {
        fine_crack_width, wide_crack_width, crack_movement, gauge_interval, light_scaling,
        medium_scaling, severe_scaling, repair_crack_width, hairline_width, replace_crack_width, lip_height, absorbed_within,
        deepest_weak_layer, sounded_share, full_depth_share, repair_share, uneven_absorption, most_chloride,
        thin_film, surface_oil, unmeasured_weak_layer, shallow_repair_depth, lead_presumed_before, asbestos_presumed_until,
        clear_of_items, low_spot_left, least_age, swelling_humidity,
    });
    known.extend(settings!("system.", common::coating() => System {
        id, name, class, sheet, see_through, thickness, thickness_from, profile, least_pull_off_strength,
        pull_off_rule, most_in_slab_humidity, most_moisture_emission, ph, surface_temperature,
        dew_point_margin, most_air_humidity, absorbs_within, least_age, over, dry_before, dry_after, least_window, widest_crack, needs_lime, acid_etch,
        agreed_exposure, material, mechanical_preparation,
    }));
    known
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn a_higher_limit_for_cracks_never_makes_it_graver(
        width in 0.05..5.0f64, low in 0.05..5.0f64, more in 0.0..5.0f64,
        movement in prop::sample::select(CrackMovement::ALL),
    ) {
        let under = |limit: f64| {
            let mut survey = cracked(width, movement);
            let crack = &mut survey.facts.limits.repair_crack_width;
            *crack = crack.changed(Some(Length::from_millimetres(limit)));
            let zone = assess(&survey, RULE).zones.swap_remove(0);
            let state = zone.findings.iter().filter(|f| f.code == Matter::Cracks).map(|f| f.state).max();
            (zone.recommendation, state)
        };
        let (strict, lax) = (under(low), under(low + more));
        prop_assert!(lax.1 <= strict.1, "{:?} after {:?}", lax, strict);
        // Below the limit the movement decides: what was a sure repair becomes a question.
        let opened = movement == CrackMovement::Unknown
            && (strict.0, lax.0) == (Recommendation::RepairFirst, Recommendation::TestMore);
        prop_assert!(opened || common::rank(lax.0) <= common::rank(strict.0), "{:?} after {:?}", lax, strict);
    }

    #[test]
    fn a_finding_names_only_settings_that_there_are(
        trouble in trouble(), width in 0.05..40.0f64, movement in prop::sample::select(CrackMovement::ALL),
        sheet in prop::option::of(0.1..3.0f64), lip in 0.1..12.0f64, weak in 0.1..40.0f64,
        chloride in 0.0..1.0f64, drops in prop::array::uniform3(1.0..60.0f64),
        class in prop::sample::select(SystemClass::ALL), share in 0.05..1.0f64,
    ) {
        let mut survey = cracked(width, movement);
        trouble.mark(&mut survey, "room", 0.0, 0.0, 10.0, 5.0);
        survey.systems[0].class = class;
        survey.systems[0].widest_crack = sheet.map(Length::from_millimetres);
        set(&mut survey, &drops, |measured, seconds| {
            let Measured::WaterDrop(time) = measured else { return false };
            *time = WorkTime::from_seconds(seconds);
            true
        });
        let loose = hollow("loose", rectangle(0.0, 0.0, 10.0 * share, 5.0));
        let spot = |id: &str, seen| common::feature(id, Place::Patch(rectangle(4.0, 1.0, 0.5, 0.5)), seen);
        let depth = Some(Length::from_millimetres(weak));
        survey.features.extend([
            loose,
            spot("lip", Seen::Settlement { offset: Length::from_millimetres(lip) }),
            spot("weak", Seen::Surface { state: SurfaceState::Dusting, depth }),
        ]);
        let salt = Measured::Chloride(Fraction::from_percent(chloride));
        let salt = common::reading("salt", &survey.zones[0].id, "A", salt);
        survey.readings.push(salt);
        let known = known_settings();
        let named: Vec<String> = assess(&survey, RULE).zones.swap_remove(0).findings.into_iter()
            .filter_map(|f| f.setting.map(|setting| common::told(&setting.said()))).collect();
        // The crack and the chloride always name theirs.
        prop_assert!(named.len() >= 2, "{:?}", named);
        for setting in named {
            let Some((name, value)) = setting.split_once(" = ") else {
                return Err(TestCaseError::fail(format!("no value: {setting}")));
            };
            prop_assert!(known.contains(&name) && !value.is_empty(), "no such setting: {}", setting);
        }
    }
}

/// Common practice, no source: what an engineer decides about a crack is done and priced.
#[test]
fn a_decided_treatment_stands_before_the_rule() {
    let mut survey = troubled(Trouble::NONE);
    let path = Path::new(&[at(1.0, 1.0), at(4.0, 1.0)]).unwrap();
    let seen = Seen::Crack {
        width: Length::from_millimetres(1.5),
        movement: CrackMovement::Active,
        said: None,
        leaking: Answer::No,
        displaced: Answer::No,
    };
    survey.features.push(common::feature("crack", Place::Line(path), seen));
    let treated = |survey: &Survey| -> Vec<String> {
        let plan = planned(survey, Objective::Cheapest);
        plan.zones[0].steps.iter().map(|step| step.method.clone()).collect()
    };
    assert!(treated(&survey).contains(&"rout_and_seal".to_owned()), "{:?}", treated(&survey));
    survey.facts.treatments.push(DecidedTreatment {
        feature: survey.features.last().unwrap().id.clone(),
        treatment: LineTreatment::Stitch,
        by: "E. Engineer".into(),
        reason: "held together".into(),
        on: Some(common::noon().date()),
    });
    let decided = treated(&survey);
    assert!(decided.contains(&"stitch_cracks".to_owned()), "{decided:?}");
    assert!(!decided.contains(&"rout_and_seal".to_owned()), "{decided:?}");
}
