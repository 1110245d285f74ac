//! Worked cases of the plan: a slab in, its steps out. They are data, in
//! `reference/plan_cases.toml`, whose head explains the lines; the room and its words are those
//! of the worked cases of the assessment.
#![expect(clippy::expect_used, clippy::panic, reason = "tests fail loudly")]

#[expect(dead_code, reason = "the other test crates use the rest")]
mod common;
#[path = "worked_cases/room.rs"]
mod room;

use std::collections::{BTreeMap, BTreeSet};

use serde::Deserialize;
use tooth_job::assessment::assess;
use tooth_job::methods::built_in;
use tooth_job::plan::{Objective, Plan, Stage, Step, plan};
use tooth_job::survey::{Constraints, Dust, Power};
use tooth_measure::choice::Choice as _;

/// Their number may only grow: raise this with every case that is added.
const AT_LEAST: usize = 53;

#[derive(Deserialize)]
struct File {
    case: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    name: String,
    source: String,
    #[serde(flatten)]
    spoilt: room::Spoilt,
    #[serde(default)]
    constraints: BTreeMap<String, toml::Value>,
    #[serde(default)]
    objective: Option<String>,
    expect: Expect,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Expect {
    state: String,
    #[serde(default)]
    uses: Vec<String>,
    #[serde(default)]
    never: Vec<String>,
    #[serde(default)]
    at_most_m2: BTreeMap<String, f64>,
    #[serde(default)]
    at_least_m2: BTreeMap<String, f64>,
    #[serde(default)]
    order: Vec<[String; 2]>,
    #[serde(default)]
    after_system: Vec<String>,
    cost_at_most: Option<Against>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Against {
    other: String,
    factor: f64,
}

fn file() -> File {
    toml::from_str(include_str!("reference/plan_cases.toml"))
        .unwrap_or_else(|fault| panic!("plan_cases.toml: {fault}"))
}

fn constrained(constraints: &mut Constraints, key: &str, value: &toml::Value) {
    let flag = || value.as_bool().expect("true or false");
    let word = || value.as_str().expect("a word");
    match key {
        "dust" => constraints.dust = Dust::from_key(word()).expect("a word for dust"),
        "power" => constraints.power = Power::from_key(word()).expect("a word for power"),
        "water" => constraints.water = flag(),
        "loud_work" => constraints.loud_work = flag(),
        _ => panic!("constraints.{key}: not known here"),
    }
}

fn planned(case: &Case) -> Plan {
    let mut survey = room::spoilt(&case.spoilt);
    for (key, value) in &case.constraints {
        constrained(&mut survey.facts.constraints, key, value);
    }
    let objective = case.objective.as_deref().map_or(Objective::Cheapest, |word| {
        Objective::from_key(word).expect("a word for what is made least")
    });
    let assessment = assess(&survey, common::RULE);
    plan(&survey, &assessment, &built_in(), common::RULE, objective)
}

fn is_any(step: &Step, ids: &str) -> bool {
    ids.split('|').any(|id| id == step.method)
}

/// What is not as expected, for a person to read.
fn disagreement(case: &Case, all: &BTreeMap<String, Plan>) -> Option<String> {
    let plan = &all[&case.name];
    let (zone, expect) = (&plan.zones[0], &case.expect);
    let mut wrong = Vec::new();
    if zone.state.key() != expect.state {
        wrong.push(format!(
            "{}, expected {}: {}",
            zone.state.key(),
            expect.state,
            common::told(&zone.reason)
        ));
    }
    for ids in &expect.uses {
        if !zone.steps.iter().any(|step| is_any(step, ids)) {
            wrong.push(format!("uses none of {ids}"));
        }
    }
    for id in expect.never.iter().filter(|id| zone.steps.iter().any(|step| step.method == **id)) {
        wrong.push(format!("uses {id}"));
    }
    let area = |id: &str| -> f64 {
        let of = zone.steps.iter().filter(|step| step.method == id);
        of.filter_map(|step| step.area_m2).map(|area| area.square_metres()).sum()
    };
    for (id, most) in &expect.at_most_m2 {
        if area(id) > *most {
            wrong.push(format!("{id} on {:.2} m², at most {most}", area(id)));
        }
    }
    for (id, least) in &expect.at_least_m2 {
        if area(id) < *least {
            wrong.push(format!("{id} on {:.2} m², at least {least}", area(id)));
        }
    }
    for [first, second] in &expect.order {
        let last = zone.steps.iter().rposition(|step| is_any(step, first));
        let next = zone.steps.iter().position(|step| is_any(step, second));
        if last.zip(next).is_some_and(|(last, next)| last > next) {
            wrong.push(format!("{first} after {second}"));
        }
    }
    for id in &expect.after_system {
        let of: Vec<&Step> = zone.steps.iter().filter(|step| step.method == *id).collect();
        if of.is_empty() || of.iter().any(|step| step.stage != Stage::AfterSystem) {
            wrong.push(format!("{id} is not after the system"));
        }
    }
    if let Some(against) = &expect.cost_at_most {
        let other = all.get(&against.other).unwrap_or_else(|| panic!("no case {}", against.other));
        let (own, most) = (plan.total_cost.amount(), other.total_cost.amount() * against.factor);
        if own > most + 0.01 {
            wrong.push(format!("costs {own:.0}, at most {most:.0}"));
        }
    }
    let said = |step: &Step| {
        let area = step.area_m2.map_or(0.0, |area| area.square_metres());
        format!("{} x{} {area:.1} m² {:.0}", step.method, step.passes, step.cost.amount())
    };
    let steps: Vec<String> = zone.steps.iter().map(said).collect();
    (!wrong.is_empty()).then(|| {
        format!(
            "{}\n  {}\n  steps: {} ({:.0} in all)\n  source: {}",
            case.name,
            wrong.join("\n  "),
            steps.join("; "),
            plan.total_cost.amount(),
            case.source
        )
    })
}

#[test]
fn every_plan_is_one_that_the_trade_would_sign() {
    let cases = file().case;
    assert!(cases.len() >= AT_LEAST, "{} cases", cases.len());
    let all: BTreeMap<String, Plan> =
        cases.iter().map(|case| (case.name.clone(), planned(case))).collect();
    assert_eq!(all.len(), cases.len(), "two cases share a name");
    let faults: Vec<String> = cases.iter().filter_map(|case| disagreement(case, &all)).collect();
    assert!(
        faults.is_empty(),
        "{} of {} cases:\n\n{}",
        faults.len(),
        cases.len(),
        faults.join("\n\n")
    );
}

/// A method that the catalogue does not know is in no plan, silently.
#[test]
fn every_method_that_a_case_names_is_in_the_catalogue() {
    let catalogue = built_in();
    for case in file().case {
        let expect = &case.expect;
        let lists = expect.uses.iter().chain(&expect.never).chain(&expect.after_system);
        let lists = lists.chain(expect.at_most_m2.keys()).chain(expect.at_least_m2.keys());
        let lists = lists.chain(expect.order.iter().flatten());
        let named: BTreeSet<&str> = lists.flat_map(|ids| ids.split('|')).collect();
        for id in named {
            assert!(catalogue.method(id).is_some(), "{}: no method is called {id}", case.name);
        }
    }
}
