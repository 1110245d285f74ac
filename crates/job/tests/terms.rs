//! What a release asks for reaches plan, sheet, price and acceptance; what was located is named
//! by every step that cuts near it.
#![expect(clippy::unwrap_used, reason = "tests fail loudly")]

#[expect(dead_code, reason = "the other test crates use the rest")]
mod common;

use common::{RULE, at, feature, noon, rectangle, room, told};
use proptest::prelude::*;
use tooth_job::acceptance::accept;
use tooth_job::assessment::assess;
use tooth_job::estimate::{Exclusion, estimate};
use tooth_job::methods::built_in;
use tooth_job::plan::{Hold, Objective, Plan, plan};
use tooth_job::survey::{
    Answer, Binding, Embedded, FeatureId, Hollow, HollowKind, Matter, Overrule, Place, Prepared,
    ReleaseCondition, Seen, SignOff, Survey,
};
use tooth_measure::chance::Seed;
use tooth_measure::choice::Choice as _;
use tooth_measure::{Length, Money, Path};

/// A stressed deck with a hollow place in it and tendons at some heights.
fn deck(tendons: &[f64], cover: Option<Length>) -> Survey {
    let mut survey = room();
    survey.facts.slab.post_tensioned = Answer::Yes;
    let hollow = Seen::Hollow {
        sure: Hollow::Sure,
        kind: HollowKind::LooseSkin,
        depth: Some(Length::from_millimetres(40.0)),
    };
    survey.features.push(feature("H1", Place::Patch(rectangle(2.0, 2.0, 0.6, 0.6)), hollow));
    for (number, y) in tendons.iter().enumerate() {
        let line = Path::new(&[at(0.0, *y), at(4.0, *y)]).unwrap();
        let seen = Seen::Embedded { item: Embedded::Tendon, located: Answer::Yes, cover };
        survey.features.push(feature(&format!("T{number}"), Place::Line(line), seen));
    }
    survey
}

fn released(survey: &mut Survey, mark: Option<&str>, conditions: &[(Binding, &str)]) {
    survey.facts.overrules.push(Overrule {
        zone: survey.zones[0].id.clone(),
        finding: Matter::Structure,
        feature: mark.and_then(FeatureId::new),
        licence: Some("PE 1".into()),
        drawing: Some("S-4".into()),
        conditions: conditions
            .iter()
            .map(|(binding, text)| ReleaseCondition { binding: *binding, text: (*text).into() })
            .collect(),
        by_others: None,
        leave: false,
        reason: "by hand".into(),
        by: "an engineer".into(),
        date: noon().date(),
    });
}

fn planned(survey: &Survey) -> Plan {
    plan(survey, &assess(survey, RULE), &built_in(), RULE, Objective::Cheapest)
}

#[test]
fn an_engineers_conditions_stand_on_the_step_that_they_bind_and_nowhere_else() {
    let mut survey = deck(&[2.3], Some(Length::from_millimetres(50.0)));
    let terms = [
        (Binding::DoFirst, "shore below H1"),
        (Binding::SignFirst, "engineer has seen the bars"),
        (Binding::Never, "no saw over T0"),
    ];
    released(&mut survey, None, &terms);
    let made = planned(&survey);
    let steps = &made.zones[0].steps;
    // Of the area: every sheet of its preparation says them; the hold of the cut stands once.
    let bound: Vec<_> = steps.iter().filter(|step| !step.terms.is_empty()).collect();
    assert_eq!(bound.len(), steps.len());
    let near: Vec<_> = steps.iter().filter(|step| step.holds.contains(&Hold::NearItem)).collect();
    assert_eq!(near.len(), 1, "one step cuts");
    let bound = near;
    assert_eq!(bound[0].terms.len(), 3);
    assert_eq!(bound[0].terms[0].drawing.as_deref(), Some("S-4"));
    let first: Vec<String> = bound[0].signed_first().iter().map(told).collect();
    assert!(first.iter().any(|hold| hold.contains("engineer has seen the bars")), "{first:?}");
    assert!(first.iter().any(|hold| hold.contains("T0") && hold.contains("cover")), "{first:?}");
    // What has to be done first is priced, or said not to be.
    let priced = estimate(&survey, &made, &built_in(), Seed(1));
    assert!(priced.not_in_price.iter().any(|held| held.what == Exclusion::ReleaseWork));
}

#[test]
fn what_a_release_asks_to_be_signed_holds_the_acceptance_until_it_is() {
    let mut survey = deck(&[], None);
    released(&mut survey, None, &[(Binding::SignFirst, "engineer has seen the bars")]);
    let zone = survey.zones[0].id.clone();
    let prepared = Prepared { zone: zone.clone(), time: noon(), by: "T".into() };
    survey.facts.prepared.push(prepared);
    let against = |survey: &Survey| told(&accept(survey, &built_in(), RULE).verdicts[0].because);
    assert!(against(&survey).contains("engineer has seen the bars"));
    assert!(
        planned(&survey).zones[0]
            .before_system
            .iter()
            .any(|due| told(due).contains("seen the bars"))
    );
    survey.facts.sign_offs.push(SignOff {
        zone,
        condition: "engineer has seen the bars".into(),
        by: "an engineer".into(),
        date: noon().date(),
    });
    assert!(!against(&survey).contains("engineer has seen the bars"));
    let steps = planned(&survey);
    assert!(
        steps.zones[0]
            .steps
            .iter()
            .flat_map(|step| step.signed_first())
            .all(|hold| !told(&hold).contains("bars"))
    );
}

#[test]
fn a_place_that_others_repair_is_not_patched_and_is_paid_for() {
    let mut survey = deck(&[], None);
    released(&mut survey, None, &[]);
    released(&mut survey, Some("H1"), &[]);
    let on_it = |plan: &Plan| {
        let mut steps = plan.zones[0].steps.iter().flat_map(|step| &step.features);
        steps.any(|mark| mark.as_str() == "H1")
    };
    // Without a price by others the place is ours: patched.
    assert!(on_it(&planned(&survey)));
    survey.facts.overrules[1].by_others = Some(Money::new(350.0));
    let others = planned(&survey);
    assert!(!on_it(&others));
    let priced = estimate(&survey, &others, &built_in(), Seed(1));
    let line = priced.lines.iter().find(|line| told(&line.item).contains("H1")).unwrap();
    assert!((line.total.amount() - 350.0).abs() < 0.005, "{:?}", line.total);
}

#[test]
fn a_released_place_that_nothing_treats_is_named_beside_the_price() {
    let mut survey = deck(&[], None);
    if let Seen::Hollow { kind, depth, .. } = &mut survey.features.last_mut().unwrap().seen {
        (*kind, *depth) = (HollowKind::LostSupport, None);
    }
    released(&mut survey, None, &[]);
    released(&mut survey, Some("H1"), &[]);
    survey.facts.overrules[1].finding = Matter::HollowConcrete;
    let made = planned(&survey);
    let assumed: Vec<String> = made.zones[0].assumptions.iter().map(told).collect();
    assert!(assumed.iter().all(|text| !text.contains("priced at the rule")), "{assumed:?}");
    let priced = estimate(&survey, &made, &built_in(), Seed(1));
    assert!(priced.not_in_price.iter().any(|held| held.what == Exclusion::Released));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// A patch of the partial-depth rule grows 3 in beyond the damage; a tendon within the
    /// stated foot of it is a hold of its own, one farther off is not.
    #[test]
    fn whatever_lies_within_the_stated_distance_of_a_cut_is_held(
        y in 0.1..3.9f64, clear in 50.0..600.0f64,
    ) {
        let mut survey = deck(&[y], None);
        let limit = &mut survey.facts.limits.clear_of_items;
        *limit = limit.changed(Some(Length::from_millimetres(clear)));
        released(&mut survey, None, &[]);
        let made = planned(&survey);
        let patching = made.zones[0].steps.iter().find(|step| {
            step.features.iter().any(|mark| mark.as_str() == "H1")
        });
        let patching = patching.ok_or_else(|| TestCaseError::fail("no patch"))?;
        // Closed form: the patch is 2.0 to 2.6 m and 76.2 mm beyond, upwards and downwards.
        let (low, high) = (2.0 - 0.0762, 2.6 + 0.0762);
        let gap = (low - y).max(y - high).max(0.0) * 1000.0;
        if (gap - clear).abs() > 2.0 {
            prop_assert_eq!(patching.holds.contains(&Hold::NearItem), gap < clear, "gap {} clear {}", gap, clear);
        }
    }

    #[test]
    fn every_condition_reaches_a_step_or_stands_with_what_it_lifts(
        marks in prop::collection::vec(prop::option::of(prop::sample::select(vec!["H1", "T0"])), 1..4),
        kinds in prop::collection::vec(prop::sample::select(Binding::ALL), 4),
        hollow in any::<bool>(),
    ) {
        let mut survey = deck(&[2.3], None);
        if !hollow {
            survey.features.retain(|mark| mark.id.as_str() != "H1");
        }
        released(&mut survey, None, &[]);
        for (number, mark) in marks.iter().enumerate() {
            let text = format!("condition {number}");
            released(&mut survey, *mark, &[(kinds[number], &text)]);
        }
        let made = planned(&survey);
        let zone = &made.zones[0];
        prop_assume!(!zone.steps.is_empty());
        for number in 0..marks.len() {
            let text = format!("condition {number}");
            let carried = zone.steps.iter().flat_map(|step| &step.terms);
            prop_assert!(carried.clone().any(|term| term.condition.text == text), "{}", text);
        }
    }
}

#[test]
fn a_decision_about_one_place_leaves_the_others_as_they_are() {
    let mut survey = deck(&[], None);
    let mut other = survey.features.last().unwrap().clone();
    other.id = FeatureId::new("H2").unwrap();
    other.place = Place::Patch(rectangle(6.0, 2.0, 0.6, 0.6));
    survey.features.push(other);
    released(&mut survey, None, &[]);
    released(&mut survey, Some("H2"), &[]);
    survey.facts.overrules[1].finding = Matter::HollowConcrete;
    // A release says how it is mended, and lifts no repair; a word that leaves it does.
    let lifted = |survey: &Survey| {
        let zone = assess(survey, RULE).zones.swap_remove(0);
        zone.findings.iter().any(|f| f.code == Matter::HollowConcrete && f.overruled.is_some())
    };
    assert!(!lifted(&survey));
    survey.facts.overrules[1].leave = true;
    let zone = assess(&survey, RULE).zones.swap_remove(0);
    let of = |mark: &str| {
        let mut found = zone.findings.iter().filter(|held| {
            let marks: Vec<String> = held.evidence.iter().map(ToString::to_string).collect();
            held.code == Matter::HollowConcrete && marks == [format!("feature:{mark}")]
        });
        found.next().unwrap().overruled.is_some()
    };
    assert!(of("H2") && !of("H1"));
}
