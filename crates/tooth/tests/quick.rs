//! A number beside the customer, in the terminal; and the job folder that it begins.
#![expect(clippy::unwrap_used, clippy::panic, reason = "a test that cannot go on has failed")]

mod snapshot;
#[expect(dead_code, reason = "the other test crates use the rest")]
mod support;

use std::fs;
use std::process::Output;

use serde_json::Value;
use support::{Temporary, json, tooth, workspace};

const DRIVEWAY: [&str; 6] =
    ["--size", "20ftx30ft", "--now", "exposed_aggregate_sealed", "--wanted", "recoat_same_sealer"];
const BASEMENT: [&str; 6] = ["--size", "400ft2", "--now", "glue", "--wanted", "stain_and_sealer"];
const SHOP: [&str; 6] = ["--size", "14m x 10m", "--now", "unknown", "--wanted", "dye"];

fn asked(verb: &str, slab: &[&str], more: &[&str]) -> Output {
    tooth(&[verb]).args(slab).args(more).env("COLUMNS", "96").output().unwrap()
}

fn text(output: &Output) -> String {
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout.clone()).unwrap()
}

#[test]
fn the_answer_is_as_frozen_and_fits_a_screen() {
    for (name, slab, language) in [
        ("quick-driveway.txt", DRIVEWAY, "en"),
        ("quick-driveway.es.txt", DRIVEWAY, "es"),
        ("quick-basement.txt", BASEMENT, "en"),
        ("quick-shop-si.txt", SHOP, "en"),
        ("quick-shop-si.es.txt", SHOP, "es"),
    ] {
        let shown = text(&asked("quick", &slab, &["--language", language]));
        snapshot::compare(name, &shown);
        assert!(shown.lines().count() <= 45, "{name}: {} lines", shown.lines().count());
        assert!(shown.lines().all(|line| line.chars().count() <= 96), "{name}");
    }
}

/// The range is in order, the other language and units say the same.
#[test]
fn the_document_says_the_same_in_every_language() {
    let english = json(&asked("quick", &BASEMENT, &["--json"]));
    let spanish = json(&asked("quick", &BASEMENT, &["--json", "--language", "es"]));
    assert_eq!(english["price"], spanish["price"]);
    let price = |name: &str| english["price"][name].as_f64().unwrap();
    assert!(price("low") <= price("likely") && price("likely") <= price("high"));
    assert_eq!(json(&asked("ballpark", &BASEMENT, &["--json"])), english);
}

#[test]
fn a_folder_is_begun_that_has_no_fault_and_costs_what_was_said() {
    for slab in [DRIVEWAY, BASEMENT, SHOP] {
        let temporary = Temporary::new();
        let folder = temporary.path().join("job");
        let place = folder.to_str().unwrap().to_owned();
        let more = ["--name", "A job", "--client", "Somebody", "--json", place.as_str()];
        let begun = json(&asked("new", &slab, &more));
        let files: Vec<&str> =
            begun["files"].as_array().unwrap().iter().filter_map(Value::as_str).collect();
        assert_eq!(
            files,
            ["README.md", "job.toml", "plan.geojson", "systems.toml", "readings.csv"]
        );
        let checked = json(&tooth(&["check", &place, "--json"]).output().unwrap());
        assert_eq!(checked["warnings"], serde_json::json!([]));
        let assessed = json(&tooth(&["assess", &place, "--json"]).output().unwrap());
        let quick = &begun["quick"];
        assert_eq!(assessed["zones"][0]["recommendation"], quick["recommendation"]);
        let estimate = json(&tooth(&["estimate", &place, "--json"]).output().unwrap());
        assert_eq!(estimate["cost"]["p50"], quick["price"]["likely"], "{slab:?}");
        assert_eq!(estimate["days_on_site"]["p50"], quick["days"]["likely"]);
    }
}

#[test]
fn nothing_is_written_over() {
    let temporary = Temporary::new();
    let folder = temporary.path().join("job");
    fs::create_dir(&folder).unwrap();
    let place = folder.to_str().unwrap();
    let refused = asked("new", &DRIVEWAY, &["--name", "A job", place]);
    assert_eq!(refused.status.code(), Some(2));
    assert_eq!(fs::read_dir(&folder).unwrap().count(), 0);
    let left: Vec<_> = fs::read_dir(temporary.path()).unwrap().collect();
    assert_eq!(left.len(), 1, "nothing half-written stays");
}

/// The firm's own rates, least charges, machines and methods come from one of its jobs.
#[test]
fn the_firms_own_figures_come_from_a_job_of_it() {
    let demo = workspace("demo");
    let demo = demo.to_str().unwrap();
    let own = json(&asked("quick", &BASEMENT, &["--json", "--firm", demo]));
    let assumed = json(&asked("quick", &BASEMENT, &["--json"]));
    assert_ne!(own["price"], assumed["price"]);
    assert_eq!(own["least_for_a_job"], 0.0);
    let said = assumed["taken"].to_string();
    assert!(said.contains("not your firm's"), "{said}");
    assert!(!own["taken"].to_string().contains("not your firm's"));
    let temporary = Temporary::new();
    let folder = temporary.path().join("job");
    let place = folder.to_str().unwrap();
    let more = ["--name", "A job", "--firm", demo, "--json", place];
    let begun = json(&asked("new", &BASEMENT, &more));
    let estimate = json(&tooth(&["estimate", place, "--json"]).output().unwrap());
    assert_eq!(estimate["cost"]["p50"], begun["quick"]["price"]["likely"]);
}

#[test]
fn what_makes_no_slab_is_refused_with_its_place() {
    for (slab, field) in [
        (["--size", "0ftx30ft", "--now", "sealed", "--wanted", "dye"], "--size"),
        (["--size", "1e9ftx30ft", "--now", "sealed", "--wanted", "dye"], "--size"),
        (["--size", "-20ftx30ft", "--now", "sealed", "--wanted", "dye"], "--size"),
        (["--size", "20psix30psi", "--now", "sealed", "--wanted", "dye"], "--size"),
        (["--size", "20x30", "--now", "sealed", "--wanted", "dye"], "--size"),
        (["--size", "x", "--now", "sealed", "--wanted", "dye"], "--size"),
        (["--size", "NaN ft2", "--now", "sealed", "--wanted", "dye"], "--size"),
        (["--size", "600ft2", "--now", "lovely", "--wanted", "dye"], "--now"),
        (["--size", "600ft2", "--now", "sealed", "--wanted", "gold"], "--wanted"),
        (["--size", "600ft2", "--now", "bare", "--wanted", "recoat"], "--now"),
    ] {
        let refused = asked("quick", &slab, &["--json"]);
        assert_eq!(refused.status.code(), Some(2), "{slab:?}");
        let errors: Value = serde_json::from_slice(&refused.stdout).unwrap();
        let first = &errors["errors"][0];
        assert_eq!(first["field"], field, "{slab:?}: {errors}");
        assert_eq!(first["file"], "command line");
    }
    for more in [
        ["--cracks", "lots"],
        ["--labour", "55"],
        ["--labour", "-5USD/h"],
        ["--least", "500EUR"],
        ["--overhead", "18"],
        ["--year", "12"],
        ["--currency", "usd"],
        ["--laying", "300 ft2"],
        ["--slip-additive", "1e99USD/ft2"],
    ] {
        let refused = asked("quick", &BASEMENT, &[more[0], more[1], "--json"]);
        assert_eq!(refused.status.code(), Some(2), "{more:?}");
        let errors: Value = serde_json::from_slice(&refused.stdout).unwrap();
        assert!(!errors["errors"].as_array().unwrap().is_empty(), "{more:?}");
    }
    let coverage = ["--coverage", "250ft2", "--price", "45USD"];
    assert_eq!(asked("quick", &BASEMENT, &coverage).status.code(), Some(2));
    let coverage = ["--coverage", "0ft2/gal", "--price", "45USD"];
    assert_eq!(asked("quick", &BASEMENT, &coverage).status.code(), Some(2));
}

/// Every fault comes up at once.
#[test]
fn all_faults_are_told_together() {
    let slab = ["--size", "none", "--now", "none", "--wanted", "none", "--oil", "perhaps"];
    let refused = asked("quick", &slab, &["--json"]);
    let errors: Value = serde_json::from_slice(&refused.stdout).unwrap();
    assert_eq!(errors["errors"].as_array().unwrap().len(), 4, "{errors}");
}

#[test]
fn the_finish_itself_can_be_in_the_price() {
    let without = json(&asked("quick", &DRIVEWAY, &["--json"]));
    let finish = [
        "--json",
        "--coats",
        "1",
        "--coverage",
        "200ft2/gal",
        "--container",
        "5gal",
        "--price",
        "210USD",
        "--laying",
        "500ft2/h",
        "--slip-additive",
        "0.05USD/ft2",
        "--walk-on",
        "24h",
    ];
    let with = json(&asked("quick", &DRIVEWAY, &finish));
    let likely = |answer: &Value| answer["price"]["likely"].as_f64().unwrap();
    assert!(likely(&with) > likely(&without));
    assert!(without["not_in_price"][0].as_str().unwrap().contains("FINISH"));
    assert!(!with["not_in_price"].to_string().contains("FINISH"));
    assert!(with["includes"].to_string().contains("Slip additive"));
    assert!(with["walk_on"].as_str().unwrap().starts_with("24 h"));
}
