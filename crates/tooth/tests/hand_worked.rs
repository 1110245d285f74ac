//! The program against `hand-worked/worked.md`, where every number was worked out by hand.

#![expect(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod support;

use std::fs;
use std::sync::OnceLock;

use serde_json::Value;
use support::{Temporary, copy, json, tooth, workspace};

const JOB: &str = "crates/tooth/tests/hand-worked/job";

/// What `run` says of the job; the documents are of no interest here.
fn run() -> &'static Value {
    static RUN: OnceLock<Value> = OnceLock::new();
    RUN.get_or_init(|| {
        let temporary = Temporary::new();
        let output = tooth(&["run".as_ref(), workspace(JOB).as_os_str(), "--json".as_ref()])
            .arg("--out")
            .arg(temporary.path())
            .output()
            .unwrap();
        let answer = json(&output);
        assert_eq!(output.status.code(), Some(0));
        assert!(output.stderr.is_empty(), "the log is not clean");
        answer
    })
}

fn assess(job: &std::path::Path) -> Value {
    let output = tooth(&["assess".as_ref(), job.as_os_str(), "--json".as_ref()]).output().unwrap();
    json(&output)["zones"][0].clone()
}

/// Equal to the digits that were written down: half of the last one, and `more`.
fn near(found: &Value, worked: f64, digits: i32, more: f64) {
    let found = found.as_f64().unwrap();
    assert!(
        (found - worked).abs() <= 0.5 * 10f64.powi(-digits) + more,
        "worked by hand {worked}, the program says {found}"
    );
}

/// Equal but for the chords of round corners, 0.0002 at most.
fn same(found: &Value, worked: f64, digits: i32) {
    near(found, worked, digits, 2e-4);
}

/// An amount of money, equal to the cent but for what those chords cost: 0.0022 of the price.
fn money(found: &Value, worked: f64) {
    near(found, worked, 2, 2.5e-3);
}

fn step<'a>(method: &str) -> &'a Value {
    let steps = run()["plan"]["zones"][0]["steps"].as_array().unwrap();
    steps.iter().find(|s| s["method"] == method).unwrap()
}

fn amount(item: &str, unit: &str) -> Value {
    let items = run()["quantities"]["items"].as_array().unwrap();
    let found = items.iter().find(|i| i["item"] == item);
    assert!(found.is_some(), "no `{item}` among {items:#?}");
    found.unwrap()["amount"][unit].clone()
}

#[test]
fn area_and_edge_band_are_as_worked() {
    same(&run()["assessment"]["zones"][0]["area_m2"], 59.6, 4);
    same(&amount("area to prepare", "area_m2"), 59.6, 4);
    let edging = &step("small_shot_blast")["edging"];
    same(&edging["area_m2"], 1.4298, 4);
    assert_eq!(edging["method"], "hand_shot_blast");
    same(&edging["hours"], 0.5920, 4);
}

#[test]
fn the_patch_is_squared_up_as_worked() {
    assert_eq!(amount("patches", "pieces"), 1);
    // Equal but for the last digit written down: no round corners here.
    let exact = |found: &Value, worked: f64, tolerance: f64| {
        let found = found.as_f64().unwrap();
        assert!((found - worked).abs() <= tolerance, "{found}, not {worked}");
    };
    exact(&amount("patch area", "area_m2"), 0.076_932, 1e-6);
    exact(&amount("patch mortar", "volume_m3"), 0.003_908_1, 1e-7);
    exact(&amount("saw cut", "length_m"), 1.1144, 1e-6);
    exact(&amount("rubble", "mass_kg"), 8.9887, 1e-4);
    let patch = step("cut_out_and_patch");
    exact(&patch["area_m2"], 0.076_932, 1e-6);
    exact(&patch["volume_m3"], 0.003_908_1, 1e-7);
    exact(&patch["length_m"], 1.1144, 1e-6);
    exact(&patch["wait_hours"], 72.0, 1e-9);
}

#[test]
fn crack_and_joint_have_the_length_and_treatment_worked() {
    same(&step("rout_and_fill")["length_m"], 4.0, 4);
    same(&step("rout_and_fill")["wait_hours"], 4.0, 4);
    same(&step("semi_rigid_fill")["wait_hours"], 4.0, 4);
    same(&step("semi_rigid_fill")["length_m"], 6.0, 4);
    let methods: Vec<&str> = run()["plan"]["zones"][0]["steps"]
        .as_array()
        .unwrap()
        .iter()
        .map(|step| step["method"].as_str().unwrap())
        .collect();
    assert_eq!(
        methods,
        [
            "cut_out_and_patch",
            "rout_and_fill",
            "small_shot_blast",
            "semi_rigid_fill",
            "vacuum_clean"
        ]
    );
}

#[test]
fn a_folder_without_readings_asks_for_the_counts_worked() {
    let temporary = Temporary::new();
    let job = temporary.path().join("job");
    copy(&workspace(JOB), &job);
    let text = fs::read_to_string(job.join("readings.csv")).unwrap();
    fs::write(job.join("readings.csv"), text.lines().next().unwrap()).unwrap();
    let zone = assess(&job);
    assert_eq!(zone["recommendation"], "test_more");
    let mut counts: Vec<(&str, u64)> = zone["unknown"]
        .as_array()
        .unwrap()
        .iter()
        .map(|gap| (gap["code"].as_str().unwrap(), gap["count"].as_u64().unwrap()))
        .collect();
    counts.sort_unstable();
    assert_eq!(
        counts,
        [
            ("climate", 1),
            ("cracks", 2),
            ("film", 3),
            ("moisture", 3),
            ("profile", 3),
            ("pull_off_strength", 3),
            ("surface_ph", 4),
        ]
    );
}

#[test]
fn one_reading_less_leaves_one_test_to_do() {
    for (reading, code) in [
        ("R05", "film"),
        ("R11", "pull_off_strength"),
        ("R14", "moisture"),
        ("R17", "surface_ph"),
        ("R08", "profile"),
    ] {
        let temporary = Temporary::new();
        let job = temporary.path().join("job");
        copy(&workspace(JOB), &job);
        let text = fs::read_to_string(job.join("readings.csv")).unwrap();
        let kept: Vec<&str> = text.lines().filter(|l| !l.starts_with(reading)).collect();
        fs::write(job.join("readings.csv"), kept.join("\n")).unwrap();
        let zone = assess(&job);
        let unknown = zone["unknown"].as_array().unwrap();
        assert_eq!(unknown.len(), 1, "{unknown:#?}");
        assert_eq!(unknown[0]["code"], code);
        assert_eq!(unknown[0]["count"], 1);
    }
}

#[test]
fn the_recommendation_and_its_reason_are_as_worked() {
    let zone = &run()["assessment"]["zones"][0];
    assert_eq!(zone["recommendation"], "repair_first");
    assert!(zone["because"].as_str().unwrap().starts_with("C1: fine crack, 0.8 mm "));
    assert_eq!(zone["unknown"], Value::Array(Vec::new()));
    let findings: Vec<(&str, &str)> = zone["findings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|f| (f["code"].as_str().unwrap(), f["state"].as_str().unwrap()))
        .collect();
    assert_eq!(
        findings,
        [
            ("embedded_items", "fine"),
            ("cracks", "repair"),
            ("joints", "prepare"),
            ("hollow_concrete", "repair"),
            ("film", "fine"),
            ("pull_off_strength", "fine"),
            ("moisture", "fine"),
            ("surface_ph", "fine"),
            ("profile", "prepare"),
            ("climate", "fine"),
            ("sample_panel", "fine"),
        ]
    );
}

#[test]
fn every_step_takes_the_hours_and_costs_what_was_worked() {
    for (method, hours, cost) in [
        ("cut_out_and_patch", 0.7145, 60.55),
        ("rout_and_fill", 0.6458, 51.84),
        ("small_shot_blast", 3.5002, 366.59),
        ("semi_rigid_fill", 0.7461, 79.18),
        ("vacuum_clean", 0.7566, 42.37),
    ] {
        let step = step(method);
        same(&step["hours"], hours, 4);
        money(&step["cost"], cost);
        assert_eq!(step["passes"], 1, "{method}");
        assert_eq!(step["holds"], Value::Array(Vec::new()), "{method}");
    }
    assert_eq!(step("small_shot_blast")["leaves"], 3);
    same(&run()["plan"]["total_hours"], 6.3632, 4);
    money(&run()["plan"]["zones"][0]["cost"], 600.54);
}

#[test]
fn only_the_machines_that_are_not_owned_are_paid_for_bringing() {
    let mut hired = Vec::new();
    for machine in run()["plan"]["machines"].as_array().unwrap() {
        let brought = machine["mobilisation"].as_f64().unwrap();
        if machine["owned"] == true {
            same(&machine["mobilisation"], 0.0, 4);
        } else {
            hired.push((machine["machine"].as_str().unwrap(), brought));
        }
    }
    assert_eq!(hired, [("small_shot_blaster", 240.0), ("hand_shot_blaster", 130.0)]);
    money(&run()["plan"]["total_cost"], 970.54);
    assert_eq!(run()["plan"]["optimal"], true);
    assert_eq!(run()["plan"]["lower_bound"], run()["plan"]["total_cost"]);
}

/// The plan of the job with one of its files changed.
fn plan_with(file: &str, change: impl FnOnce(&str) -> String) -> Value {
    let temporary = Temporary::new();
    let job = temporary.path().join("job");
    copy(&workspace(JOB), &job);
    let text = fs::read_to_string(job.join(file)).unwrap();
    fs::write(job.join(file), change(&text)).unwrap();
    let output = tooth(&["plan".as_ref(), job.as_os_str(), "--json".as_ref()]).output().unwrap();
    json(&output)
}

fn plan_without(removed: &[&str]) -> Value {
    plan_with("methods.toml", |text| {
        let mut methods = text.to_owned();
        for id in removed {
            methods.push_str(&format!("\n[[method]]\nid = \"{id}\"\nremove = true\n"));
        }
        methods
    })
}

/// The ways B, C and D of the worked example, made the only one by taking methods away.
#[test]
fn the_ways_that_were_left_aside_cost_what_was_worked() {
    // All four ways share patch, crack, joint and vacuum: 233.95 EUR.
    let shared = 60.55 + 51.84 + 79.18 + 42.37;
    for (removed, with_hire) in [
        (&["hand_shot_blast"][..], 770.80),
        (&["small_shot_blast", "needle_scale"], 1333.33),
        (&["small_shot_blast", "hand_shot_blast"], 2372.34),
    ] {
        same(&plan_without(removed)["total_cost"], shared + with_hire, 1);
    }
}

#[test]
fn a_hand_grinder_makes_the_profile_neither_in_the_field_nor_along_walls() {
    for removed in [
        &["hand_shot_blast", "needle_scale"][..],
        &["small_shot_blast", "hand_shot_blast", "needle_scale"],
    ] {
        assert_eq!(plan_without(removed)["zones"][0]["state"], "infeasible", "{removed:?}");
    }
}

#[test]
fn a_joint_on_the_open_border_counts_in_full() {
    let plan = plan_with("plan.geojson", |text| {
        let joint = r#"{"type": "Feature", "properties": {"id": "J2", "kind": "joint", "joint": "contraction", "working": "no"}, "geometry": {"type": "LineString", "coordinates": [[10, 0], [10, 6]]}},"#;
        text.replacen("\"features\": [", &format!("\"features\": [{joint}"), 1)
    });
    let steps = plan["zones"][0]["steps"].as_array().unwrap();
    let filled = steps.iter().find(|s| s["method"] == "semi_rigid_fill").unwrap();
    same(&filled["length_m"], 12.0, 4);
}

#[test]
fn without_the_locate_saw_and_router_are_held() {
    let plan = plan_with("job.toml", |text| text.split("[[locate]]").next().unwrap().to_owned());
    let held: Vec<(&str, bool)> = plan["zones"][0]["steps"]
        .as_array()
        .unwrap()
        .iter()
        .map(|s| (s["method"].as_str().unwrap(), s["holds"] == serde_json::json!(["locate"])))
        .collect();
    assert_eq!(
        held,
        [
            ("cut_out_and_patch", true),
            ("rout_and_fill", true),
            ("small_shot_blast", false),
            ("semi_rigid_fill", false),
            ("vacuum_clean", false)
        ]
    );
}

#[test]
fn price_overhead_and_margin_are_as_worked() {
    let price = &run()["estimate"]["as_marked"];
    for (part, worked) in [
        ("labour", 318.16),
        ("machine", 155.71),
        ("material", 90.27),
        ("disposal", 36.40),
        ("mobilisation", 530.0),
        ("direct", 1130.54),
        ("overhead", 169.58),
        ("margin", 144.46),
        ("price", 1444.58),
    ] {
        money(&price[part], worked);
    }
    let lines = run()["estimate"]["lines"].as_array().unwrap();
    // Five steps, two machines brought, the trips.
    assert_eq!(lines.len(), 8);
    let trips = lines.iter().find(|l| l["item"] == "2 crew trips").unwrap();
    money(&trips["total"], 160.0);
}
