//! Worked cases: a slab in, the recommendation and its findings out. They are data, in
//! `reference/worked_cases.toml`, whose head explains the lines to a practitioner. Each
//! case spoils one sound room; whatever it does not name must be fine and settled.
#![expect(clippy::expect_used, clippy::panic, reason = "tests fail loudly")]

#[expect(dead_code, reason = "the other test crates use the rest")]
mod common;
#[path = "worked_cases/room.rs"]
mod room;

use common::told;
use std::collections::{BTreeMap, BTreeSet};
use tooth_job::survey::Matter;

use serde::Deserialize;
use tooth_job::assessment::{FindingState, ZoneAssessment, assess};
use tooth_measure::choice::Choice as _;

/// Their number may only grow: raise this with every case that is added.
const AT_LEAST: usize = 421;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    case: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    name: String,
    source: String,
    certainty: Sureness,
    #[serde(flatten)]
    spoilt: room::Spoilt,
    expect: Expect,
}

#[derive(Deserialize, Clone, Copy, PartialEq)]
#[serde(rename_all = "snake_case")]
enum Sureness {
    Seen,
    Computed,
    Memory,
    CommonPractice,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Expect {
    recommendation: String,
    /// What the sentence of the recommendation must say.
    because: Option<String>,
    /// The gravest state of each code; all codes that are not named must be fine.
    /// "nothing" where nothing may be found.
    #[serde(default)]
    findings: BTreeMap<String, String>,
    /// How many more tests, by code; 0 where the count is nobody's rule. All gaps.
    #[serde(default)]
    asks: BTreeMap<String, u32>,
    /// Words that reason, gap or test of a code must hold.
    #[serde(default)]
    says: BTreeMap<String, String>,
    #[serde(default)]
    never_says: BTreeMap<String, String>,
    /// The setting, with its value, that a finding of a code rests on.
    #[serde(default)]
    settings: BTreeMap<String, String>,
    /// Codes of which nothing may be said, not even "fine".
    #[serde(default)]
    absent: Vec<String>,
    #[serde(default)]
    overruled: Vec<String>,
}

fn file() -> File {
    toml::from_str(include_str!("reference/worked_cases.toml"))
        .unwrap_or_else(|fault| panic!("worked_cases.toml: {fault}"))
}

#[test]
fn every_worked_case_comes_out_as_the_trade_would_have_it() {
    let cases = file().case;
    let faults: Vec<String> = cases.iter().filter_map(disagreement).collect();
    assert!(
        faults.is_empty(),
        "{} of {} cases:\n\n{}",
        faults.len(),
        cases.len(),
        faults.join("\n\n")
    );
}

#[test]
fn every_question_says_what_its_answers_lead_to() {
    for case in file().case {
        for gap in &assess(&room::spoilt(&case.spoilt), common::RULE).zones[0].unknown {
            let told = &gap.leads_to;
            // Answers that differ in nothing would be no reason to ask.
            let good = told.name() != "settles-the-rule-that-asks";
            assert!(good, "{}: {} leads to {told:?}", case.name, gap.code.key());
        }
    }
}

/// A word that nothing reads would change nothing, silently.
#[test]
fn every_line_of_a_worked_case_is_read() {
    let lines: toml::Table =
        toml::from_str(include_str!("reference/worked_cases.toml")).expect("it is TOML");
    let known = [
        "name",
        "source",
        "certainty",
        "slab",
        "system",
        "limits",
        "seen",
        "tests",
        "overrule",
        "treat",
        "confirmed",
        "film_decision",
        "prepared",
        "moisture_decision",
        "abatement",
        "expect",
    ];
    for case in lines["case"].as_array().expect("cases") {
        for line in case.as_table().expect("a case").keys() {
            assert!(known.contains(&line.as_str()), "{}: nothing reads {line}", case["name"]);
        }
    }
}

#[test]
fn every_worked_case_has_its_own_name_and_a_source() {
    let file = file();
    assert!(file.case.len() >= AT_LEAST, "{} cases", file.case.len());
    let names: BTreeSet<&str> = file.case.iter().map(|case| case.name.as_str()).collect();
    assert_eq!(names.len(), file.case.len(), "two cases share a name");
    for case in &file.case {
        assert!(case.name.len() > 9 && case.source.len() > 4, "{}", case.name);
        let expect = &case.expect;
        let tables = [&expect.says, &expect.never_says, &expect.findings, &expect.settings];
        let codes = tables.into_iter().flat_map(BTreeMap::keys).chain(expect.asks.keys());
        for code in codes.chain(&expect.absent).chain(&expect.overruled) {
            assert!(Matter::from_key(code).is_some(), "{}: no code is called {code}", case.name);
        }
    }
}

/// What is not as expected, for a person to read.
fn disagreement(case: &Case) -> Option<String> {
    let assessment = assess(&room::spoilt(&case.spoilt), common::RULE);
    let zone = &assessment.zones[0];
    let expect = &case.expect;
    let mut wrong = Vec::new();
    let mut check = |fits: bool, what: String| {
        if !fits {
            wrong.push(what);
        }
    };
    let (got, wanted) = (zone.recommendation.key(), &expect.recommendation);
    check(got == wanted, format!("recommends {got}, expected {wanted}: {}", told(&zone.because)));
    let because = expect.because.as_deref().unwrap_or_default();
    let words = told(&zone.because);
    check(holds(&words, because), format!("because \"{words}\": no {because:?}"));
    let found = zone.findings.iter().map(|f| f.code.key());
    let codes: BTreeSet<&str> = found.chain(expect.findings.keys().map(String::as_str)).collect();
    for code in codes {
        let of_code = zone.findings.iter().filter(|f| f.code.key() == code);
        let got = of_code.map(|f| f.state).max().map_or("nothing", FindingState::key);
        let wanted = expect.findings.get(code).map_or("fine", String::as_str);
        check(
            got == wanted,
            format!("{code} is {got}, expected {wanted}: {}", told_of(zone, code)),
        );
    }
    let asked: BTreeSet<&str> = zone.unknown.iter().map(|gap| gap.code.key()).collect();
    for code in asked.iter().copied().filter(|code| !expect.asks.contains_key(*code)) {
        check(false, format!("{code} asks for more: {}", told_of(zone, code)));
    }
    for (code, count) in &expect.asks {
        let mut gaps = zone.unknown.iter().filter(|gap| gap.code.key() == code);
        let fits = gaps.any(|gap| *count == 0 || gap.count == *count);
        check(fits, format!("{code} does not ask for {count}: {}", told_of(zone, code)));
    }
    for (code, words) in &expect.says {
        check(
            holds(&told_of(zone, code), words),
            format!("{code}: {:?}, no {words:?}", told_of(zone, code)),
        );
    }
    for (code, words) in &expect.never_says {
        check(!holds(&told_of(zone, code), words), format!("{code}: {:?}", told_of(zone, code)));
    }
    for (code, setting) in &expect.settings {
        let mut of_code = zone.findings.iter().filter(|f| f.code.key() == code);
        let named = of_code.any(|f| {
            f.setting.as_ref().is_some_and(|held| told(&held.said()).starts_with(setting))
        });
        check(named, format!("{code} does not rest on {setting}: {}", settings(zone, code)));
    }
    for code in &expect.absent {
        check(told_of(zone, code).is_empty(), format!("{code}: {:?}", told_of(zone, code)));
    }
    let lifted = zone.findings.iter().filter(|f| f.overruled.is_some()).map(|f| f.code.key());
    let lifted: BTreeSet<&str> = lifted.collect();
    let wanted: BTreeSet<&str> = expect.overruled.iter().map(String::as_str).collect();
    check(lifted == wanted, format!("overruled {lifted:?}, expected {wanted:?}"));
    if wrong.is_empty() {
        return None;
    }
    let memory = match case.certainty {
        Sureness::Memory => " FROM MEMORY, the expectation itself may be wrong.",
        _ => "",
    };
    Some(format!("{}\n  {}\n  source: {}.{memory}", case.name, wrong.join("\n  "), case.source))
}

/// All that the assessment says under a code.
fn told_of(zone: &ZoneAssessment, code: &str) -> String {
    let findings = zone.findings.iter().filter(|f| f.code.key() == code).map(|f| told(&f.reason));
    let gaps = zone.unknown.iter().filter(|gap| gap.code.key() == code);
    let gaps =
        gaps.map(|gap| format!("asks {} of: {}; {}", gap.count, told(&gap.what), told(&gap.test)));
    findings.chain(gaps).collect::<Vec<_>>().join(" | ")
}

fn settings(zone: &ZoneAssessment, code: &str) -> String {
    let of_code = zone.findings.iter().filter(|f| f.code.key() == code);
    let named = of_code.filter_map(|f| f.setting.as_ref().map(|held| told(&held.said())));
    named.collect::<Vec<_>>().join(" | ")
}

fn holds(text: &str, words: &str) -> bool {
    text.to_lowercase().contains(&words.to_lowercase())
}
