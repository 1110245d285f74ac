//! A number beside the customer: low, likely and high of a slab of which little is said.
#![expect(clippy::expect_used, reason = "tests fail loudly")]

use jiff::civil::date;
use proptest::prelude::*;
use tooth_job::assessment::Recommendation;
use tooth_job::extent::PatchRule;
use tooth_job::methods::{Catalogue, built_in};
use tooth_job::plan::Planned;
use tooth_job::quick::{
    Answering, Change, CracksSeen, Details, FilmBuild, FinishPriced, FinishWanted, Firm, Names,
    OpenQuestion, PriceRange, Product, Quick, Size, SurfaceNow, Told, quick,
};
use tooth_job::stream::Asked;
use tooth_job::survey::{Answer, Currency, Exposure, Matter, Setting};
use tooth_measure::choice::Choice;
use tooth_measure::{
    Area, AreaRate, Fraction, Length, Money, MoneyPerArea, UnitSystem, Volume, VolumePerArea,
    WorkTime,
};
use tooth_texture::Alone;
use tooth_words::{Language, Words};

fn told(area_ft2: f64, setting: Setting, now: SurfaceNow, wanted: FinishWanted) -> Told {
    let dollars = Currency::new("USD").expect("three capital letters");
    let us = UnitSystem::UsCustomary;
    Told {
        size: Size::Area(Area::from_square_feet(area_ft2)),
        setting,
        setting_said: true,
        now,
        wanted,
        details: Details::default(),
        finish: FinishPriced::default(),
        firm: Firm::assumed("firm".into(), dollars, us, Language::English),
        names: Names {
            job: "job".into(),
            client: "client".into(),
            site: "site".into(),
            area: "slab".into(),
            finish: "finish".into(),
            no_sheet: "no data sheet in hand".into(),
            it_holds: ("somebody".into(), "as told".into()),
        },
        on: date(2026, 5, 4),
    }
}

fn answered(told: &Told, catalogue: &Catalogue) -> Quick {
    let by = Answering {
        catalogue,
        patch_rule: PatchRule::PartialDepth,
        asked: Asked { draws: 2048, ..Asked::USUAL },
        workers: &Alone,
    };
    quick(told, by).expect("a rectangle with an area")
}

fn price(told: &Told, catalogue: &Catalogue) -> PriceRange {
    answered(told, catalogue).answer.price.expect("a way to prepare it")
}

fn change(quick: &Quick, question: OpenQuestion, at: usize) -> &Change {
    let mut changes = quick.answer.changes.iter().filter(|change| change.question == question);
    changes.nth(at).expect("what could change it")
}

/// A little more than conversion and sums can make of a price.
const CENT: f64 = 0.01;

fn same(one: Money, other: Money) -> bool {
    (one - other).amount().abs() < CENT
}

/// What may stand on paper: a finish on a surface that it can go on.
fn pairs() -> impl Strategy<Value = (SurfaceNow, FinishWanted)> {
    let now = proptest::sample::select(SurfaceNow::ALL);
    let wanted = proptest::sample::select(FinishWanted::ALL);
    (now, wanted).prop_filter("a sealer is coated over where there is one", |(now, wanted)| {
        *wanted != FinishWanted::Recoat || now.is_sealed() || *now == SurfaceNow::Unknown
    })
}

fn setting() -> impl Strategy<Value = Setting> {
    proptest::sample::select(Setting::ALL)
}

/// Details that nothing but the state of the slab hangs on, each with the question it answers.
type Detail = (OpenQuestion, usize, fn(&mut Details));

fn details() -> Vec<Detail> {
    vec![
        (OpenQuestion::Cracks, 0, |said| said.cracks = Some(CracksSeen::Some)),
        (OpenQuestion::Cracks, 1, |said| said.cracks = Some(CracksSeen::Many)),
        (OpenQuestion::Hollow, 0, |said| said.hollow = Answer::Yes),
        (OpenQuestion::Oil, 0, |said| said.oil = Answer::Yes),
        (OpenQuestion::Dust, 0, |said| said.no_dust = Answer::Yes),
        (OpenQuestion::Water, 0, |said| said.no_water = Answer::Yes),
        (OpenQuestion::Drinks, 0, |said| said.drinks = Answer::Yes),
        (OpenQuestion::Holds, 0, |said| said.holds = Answer::No),
        (OpenQuestion::Exposure, 0, |said| said.exposure = Some(Exposure::Fine)),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 16, ..ProptestConfig::default() })]

    #[test]
    fn more_area_never_costs_less(
        (now, wanted) in pairs(), setting in setting(), area in 60.0..2500.0f64, more in 1.05..2.0f64
    ) {
        let catalogue = built_in();
        let small = answered(&told(area, setting, now, wanted), &catalogue).answer.price;
        let large = answered(&told(area * more, setting, now, wanted), &catalogue).answer.price;
        let (Some(small), Some(large)) = (small, large) else {
            return Err(TestCaseError::reject("no way to prepare it"));
        };
        prop_assert!(large.likely.amount() >= small.likely.amount() - CENT, "{small:?} {large:?}");
    }

    #[test]
    fn the_range_is_in_order_and_never_below_the_firms_least(
        (now, wanted) in pairs(), setting in setting(), area in 20.0..2500.0f64, least in 0.0..3000.0f64
    ) {
        let catalogue = built_in();
        let mut told = told(area, setting, now, wanted);
        told.firm.money.least_for_a_job = Money::new(least);
        let answer = answered(&told, &catalogue).answer;
        if let Some(range) = answer.price {
            prop_assert!(range.low <= range.likely && range.likely <= range.high, "{range:?}");
            prop_assert!(range.low.amount() >= least - CENT, "{range:?}");
            prop_assert_eq!(answer.least_rules, same(range.likely, Money::new(least)));
        }
    }

    #[test]
    fn what_nobody_knows_holds_the_likely_price_of_all_that_it_may_be(
        wanted in proptest::sample::select(FinishWanted::ALL), setting in setting(), area in 60.0..1500.0f64
    ) {
        let catalogue = built_in();
        let open = answered(&told(area, setting, SurfaceNow::Unknown, wanted), &catalogue);
        let range = open.answer.price.expect("a way to prepare one of them");
        let known = SurfaceNow::ALL.iter().filter(|now| **now != SurfaceNow::Unknown);
        for now in known.filter(|now| wanted != FinishWanted::Recoat || now.is_sealed()) {
            let told = told(area, setting, *now, wanted);
            if let Some(known) = answered(&told, &catalogue).answer.price {
                let inside = range.low.amount() - CENT <= known.likely.amount()
                    && known.likely.amount() <= range.high.amount() + CENT;
                prop_assert!(inside, "{now:?}: {known:?} in {range:?}");
            }
        }
    }

    /// A detail gives the price that was foretold for it: it narrows the range or was listed.
    #[test]
    fn a_detail_brings_the_price_that_was_foretold(
        (now, wanted) in pairs(), setting in setting(), area in 60.0..1500.0f64
    ) {
        prop_assume!(now != SurfaceNow::Unknown);
        let catalogue = built_in();
        let told = told(area, setting, now, wanted);
        let before = answered(&told, &catalogue);
        let Some(range) = before.answer.price else { return Ok(()) };
        for (question, at, say) in details() {
            let foretold = before.answer.changes.iter().filter(|c| c.question == question);
            let mut by_chance: Vec<&Change> = foretold.collect();
            by_chance.sort_by(|a, b| b.chance.ratio().total_cmp(&a.chance.ratio()));
            let Some(foretold) = by_chance.get(at) else { continue };
            let Some(price) = foretold.price else { continue };
            let mut more = told.clone();
            say(&mut more.details);
            let after = answered(&more, &catalogue).answer;
            let after = after.price.expect("a price was foretold");
            prop_assert!(same(after.likely, price), "{question:?}: {after:?}, foretold {price:?}");
            if foretold.chance >= Fraction::from_percent(10.0) {
                prop_assert!(range.low.amount() - CENT <= price.amount());
                prop_assert!(price.amount() <= range.high.amount() + CENT);
            }
        }
    }
}

/// Said to be absent is what silence is taken for: the same likely price, a range no wider.
#[test]
fn absence_that_somebody_states_narrows_the_range() {
    let catalogue = built_in();
    let open = told(600.0, Setting::Outdoor, SurfaceNow::Sealed, FinishWanted::ClearSealer);
    let mut stated = open.clone();
    stated.details = Details {
        cracks: Some(CracksSeen::None),
        hollow: Answer::No,
        oil: Answer::No,
        build: Some(FilmBuild::Thin),
        exposure: Some(Exposure::Cream),
        ..Details::default()
    };
    let (open, stated) = (price(&open, &catalogue), price(&stated, &catalogue));
    assert!(same(open.likely, stated.likely), "{open:?} {stated:?}");
    assert!(stated.low.amount() >= open.low.amount() - CENT);
    assert!(stated.high.amount() <= open.high.amount() + CENT);
    assert!((stated.high - stated.low) < (open.high - open.low));
}

#[test]
fn the_likely_case_is_priced_as_any_other_job() {
    let catalogue = built_in();
    let told = told(450.0, Setting::Indoor, SurfaceNow::Coated, FinishWanted::HighBuildCoating);
    let quick = answered(&told, &catalogue);
    let range = quick.answer.price.expect("a price");
    assert_eq!(range.likely, quick.worked.estimate.cost.p50);
    assert_eq!(quick.answer.recommendation, Recommendation::TestMore);
}

/// The system has no limit that somebody made up; its profile range is the guide's and says so.
#[test]
fn no_limit_of_a_data_sheet_is_invented() {
    let catalogue = built_in();
    for wanted in FinishWanted::ALL {
        let told = told(300.0, Setting::Indoor, SurfaceNow::Sealed, *wanted);
        let quick = answered(&told, &catalogue);
        let system = &quick.survey.systems[0];
        assert_eq!(system.profile, None);
        assert_eq!(system.least_pull_off_strength, None);
        assert!(!system.names_a_moisture_limit());
        assert!(system.ph.is_none() && system.surface_temperature.is_none());
        assert!(quick.survey.readings.is_empty(), "nothing is measured by talking");
        let says = |what: &str| quick.answer.taken.iter().any(|said| said.holds(what));
        assert!(says("quick-taken-no-sheet"));
        // What soaks in is roughened for nobody's memory.
        assert_eq!(says("profile-of-the-guide-from-memory"), !system.soaks_in(), "{wanted:?}");
    }
}

#[test]
fn a_recoat_cuts_nothing() {
    let catalogue = built_in();
    for now in [SurfaceNow::Sealed, SurfaceNow::ExposedSealed, SurfaceNow::StampedSealed] {
        let told = told(600.0, Setting::Outdoor, now, FinishWanted::Recoat);
        let quick = answered(&told, &catalogue);
        for step in &quick.worked.plan.zones[0].steps {
            let method = catalogue.method(&step.method).expect("of the catalogue");
            assert!(!method.cuts, "{}", step.method);
            assert_eq!(step.leaves, None, "{}", step.method);
        }
        let stripped = change(&quick, OpenQuestion::Holds, 0);
        assert!(stripped.difference.expect("a price") > Money::ZERO);
    }
}

/// Source: a range from memory drives nothing; gentle before harsh on what somebody paid for.
#[test]
fn a_stamped_patio_is_not_blasted_or_ground_for_a_microtopping() {
    let catalogue = built_in();
    for now in [SurfaceNow::StampedSealed, SurfaceNow::ExposedSealed] {
        for wanted in [FinishWanted::Microtopping, FinishWanted::ThinCoating] {
            let told = told(400.0, Setting::Outdoor, now, wanted);
            let worked = answered(&told, &catalogue).worked;
            let zone = &worked.plan.zones[0];
            assert_eq!(zone.state, Planned::Planned, "{now:?} {wanted:?}");
            for step in &zone.steps {
                let method = catalogue.method(&step.method).expect("a method of the catalogue");
                let harsh = method.surface().is_some_and(|work| work.leaves.is_some());
                assert!(!harsh, "{now:?} {wanted:?}: {}", step.method);
            }
            // The sheet is still asked before the bid.
            let asked = &worked.assessment.zones[0].unknown;
            assert!(asked.iter().any(|gap| gap.code == Matter::Profile && gap.decides));
        }
    }
}

#[test]
fn a_sealer_is_coated_over_only_where_there_is_one() {
    let bare = told(600.0, Setting::Outdoor, SurfaceNow::BareBroomed, FinishWanted::Recoat);
    assert!(bare.checked().is_err());
    let sealed = told(600.0, Setting::Outdoor, SurfaceNow::Unknown, FinishWanted::Recoat);
    assert!(sealed.checked().is_ok());
}

/// 600 ft² at 250 ft² a gallon, two coats: 4.8, so 5 gallons at 45; a sealer of one coat at
/// 200 ft²: 3 at 60; laying three coats at 300 ft² an hour: 6 h.
#[test]
fn the_finish_itself_is_in_the_price_where_it_is_said() {
    let catalogue = built_in();
    let product = |coats, covers: f64, price| Product {
        coats,
        spread: VolumePerArea::from_gallons_per_square_foot(1.0 / covers),
        container: Volume::from_gallons(1.0),
        price: Money::new(price),
    };
    let bare = told(600.0, Setting::Indoor, SurfaceNow::Sealed, FinishWanted::StainAndSealer);
    let mut priced = bare.clone();
    priced.finish = FinishPriced {
        material: Some(product(2, 250.0, 45.0)),
        sealer: Some(product(1, 200.0, 60.0)),
        slip_additive: Some(MoneyPerArea::from_per_square_foot(0.05)),
        laying: Some(AreaRate::from_square_feet_per_hour(300.0)),
        walk_on: Some(WorkTime::from_hours(24.0)),
    };
    let words = Words::new(Language::English, UnitSystem::UsCustomary);
    let left_out = |quick: &Quick| words.say(&quick.answer.not_in_price[0]);
    let without = answered(&bare, &catalogue);
    assert!(left_out(&without).starts_with("THE FINISH ITSELF"), "{}", left_out(&without));
    let with = answered(&priced, &catalogue);
    assert!(!left_out(&with).contains("finish"), "{}", left_out(&with));
    let (bare, own) = (&without.worked.estimate, &with.worked.estimate);
    let more = own.as_marked.direct - bare.as_marked.direct;
    let trips = own.as_marked.mobilisation - bare.as_marked.mobilisation;
    let wages = 55.0 * 6.0;
    let expected = 5.0 * 45.0 + 3.0 * 60.0 + 600.0 * 0.05 + wages + trips.amount();
    assert!((more.amount() - expected).abs() < 1.0, "{more:?}, expected {expected}");
    let thirsty = change(&with, OpenQuestion::Thirst, 0);
    assert!(thirsty.difference.expect("a price") > Money::ZERO);
    assert!(words.say(&with.answer.walk_on).starts_with("24 h after the last coat"));
}

/// Whole containers: what fills one to the brim asks for no other.
#[test]
fn containers_are_whole() {
    let product = Product {
        coats: 1,
        spread: VolumePerArea::from_gallons_per_square_foot(0.01),
        container: Volume::from_gallons(5.0),
        price: Money::new(1.0),
    };
    let none = Fraction::new(0.0);
    assert_eq!(product.containers(Area::from_square_feet(500.0), none), 1);
    assert_eq!(product.containers(Area::from_square_feet(501.0), none), 2);
    assert_eq!(product.containers(Area::from_square_feet(500.0), Fraction::new(0.4)), 2);
}

#[test]
fn a_size_that_is_no_slab_is_refused() {
    let feet = Length::from_feet;
    for size in [
        Size::Sides(feet(0.0), feet(10.0)),
        Size::Sides(feet(-20.0), feet(10.0)),
        Size::Sides(feet(1e9), feet(10.0)),
        Size::Sides(feet(900.0), feet(900.0)),
        Size::Area(Area::from_square_feet(0.0)),
        Size::Area(Area::from_square_metres(1e9)),
    ] {
        assert!(size.checked().is_err(), "{size:?}");
    }
    assert!(Size::Sides(feet(20.0), feet(30.0)).checked().is_ok());
}

/// However long and thin: marks stay on the slab.
#[test]
fn marks_stay_on_the_slab() {
    let catalogue = built_in();
    for (length, width) in [(300.0, 2.0), (4.0, 3.0), (20.0, 20.0), (120.0, 60.0)] {
        let mut told =
            told(1.0, Setting::Indoor, SurfaceNow::BareBroomed, FinishWanted::ThinCoating);
        told.size = Size::Sides(Length::from_feet(width), Length::from_feet(length));
        told.details = Details {
            cracks: Some(CracksSeen::Many),
            hollow: Answer::Yes,
            oil: Answer::Yes,
            ..Details::default()
        };
        let quick = answered(&told, &catalogue);
        let zone = &quick.survey.zones[0];
        let oil = quick.survey.features.iter().filter(|mark| mark.id.as_str().starts_with("oil"));
        let mut area = Area::ZERO;
        for mark in oil {
            if let tooth_job::survey::Place::Patch(outline) = &mark.place {
                let shared = outline.shared_area(&zone.outline);
                assert!(shared.square_metres() > outline.area().square_metres() * 0.999);
                area += shared;
            }
        }
        let share = area / zone.outline.area();
        assert!((0.01..0.021).contains(&share), "{length} by {width}: {share}");
    }
}

#[test]
fn the_same_words_give_the_same_answer() {
    let catalogue = built_in();
    let told = told(700.0, Setting::Indoor, SurfaceNow::Unknown, FinishWanted::Microtopping);
    let (one, other) = (answered(&told, &catalogue), answered(&told, &catalogue));
    assert_eq!(one.answer, other.answer);
    assert_eq!(one.survey, other.survey);
}
