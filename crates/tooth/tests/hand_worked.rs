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

/// Equal to the digits that were written down: half of the last one.
fn same(found: &Value, worked: f64, digits: i32) {
    let found = found.as_f64().unwrap();
    assert!(
        (found - worked).abs() <= 0.5 * 10f64.powi(-digits) + 1e-6,
        "worked by hand {worked}, the program says {found}"
    );
}

/// An amount of money, equal to the cent.
fn money(found: &Value, worked: f64) {
    same(found, worked, 2);
}

fn between(found: &Value, low: f64, high: f64) {
    let found = found.as_f64().unwrap();
    assert!((low..=high).contains(&found), "{found} is not between {low} and {high}");
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
fn area_and_edging_are_as_worked() {
    same(&run()["assessment"]["zones"][0]["area_m2"], 59.6, 4);
    same(&amount("area to prepare", "area_m2"), 59.6, 4);
    let edging = &step("small_shot_blast")["edging"];
    // 59.6 m² less the 58.1653 m² that lanes cover.
    same(&edging["area_m2"], 1.4347, 4);
    assert_eq!(edging["method"], "hand_shot_blast");
    // A quarter of an hour to set up, then 1.4347 m² at 4.1806 m²/h.
    same(&edging["hours"], 0.5932, 4);
}

/// The only layout of a plan's only zone.
fn layout(plan: &Value) -> &Value {
    let layouts = plan["zones"][0]["layouts"].as_array().unwrap();
    assert_eq!(layouts.len(), 1, "hand tools and vacuum have no lanes");
    assert_eq!(layouts[0]["method"], "small_shot_blast");
    &layouts[0]
}

/// Places of a run, x and y.
fn places(run: &Value) -> Vec<(f64, f64)> {
    let corners = run.as_array().unwrap().iter();
    corners.map(|at| (at[0].as_f64().unwrap(), at[1].as_f64().unwrap())).collect()
}

#[test]
fn the_lanes_are_as_worked() {
    let laid = layout(&run()["plan"]);
    same(&laid["width_m"], 0.254, 4);
    same(&laid["direction_degrees"], 0.0, 4);
    // 27 × 9.9238 m less 3 × 0.9524 m beside K1.
    same(&laid["worked_length_m"], 265.0854, 4);
    assert_eq!(laid["turns"], 29);
    // Across K1 and past the broken lanes, each less a machine's width: 0.6984 + 0.3984 m.
    same(&laid["idle_length_m"], 1.0968, 4);
    // 9.9238 × 5.9238 m less 0.9524 × 0.6524 m round K1.
    same(&laid["covered_m2"], 58.1653, 4);
    same(&laid["edging_m2"], 1.4347, 4);
    // All but the 3 in along walls and round K1: 59.6 - 1.4298 m². Its round corners are drawn
    // with short sides, once for the band and once for the machine: 0.000 12 m² less each time.
    between(&laid["reachable_m2"], 58.1702 - 5e-5, 58.1702 + 3e-4);
    let runs = laid["runs_m"].as_array().unwrap();
    assert_eq!(runs.len(), 30);
    // Middles of the lanes: half of 0.254 m from the band's lower side, and on by its spacing.
    let south = |n: i32| 0.0762 + 0.127 + 0.220_971 * f64::from(n);
    let beside = |n: i32| 3.4238 + 0.127 + 0.1992 * f64::from(n);
    let north = |n: i32| 4.0762 + 0.127 + 0.208_725 * f64::from(n);
    let whole = (0.0762, 10.0);
    let (west, east) = ((0.0762, 6.9238), (7.8762, 10.0));
    let expected = (0..15)
        .map(|n| (south(n), whole))
        .chain((0..3).map(|n| (beside(n), east)))
        .chain((0..3).rev().map(|n| (beside(n), west)))
        .chain((0..9).map(|n| (north(n), whole)));
    for (number, (run, (y, (from, to)))) in runs.iter().zip(expected).enumerate() {
        // There and back by turns, from the south-west; on from the east parts, the 16th to the
        // 18th run, across K1 the same way.
        let driven = if number < 18 { number } else { number + 1 };
        let (first, last) = if driven % 2 == 0 { (from, to) } else { (to, from) };
        let found = places(run);
        assert_eq!(found.len(), 2, "run {number}");
        for ((x_found, y_found), x) in found.into_iter().zip([first, last]) {
            assert!(
                (x_found - x).abs() < 1e-5 && (y_found - y).abs() < 1e-5,
                "run {number}: ({x_found}, {y_found}) and not ({x}, {y})"
            );
        }
    }
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
            "rout_and_fill",
            "grind_flush",
            "cut_out_and_patch",
            "small_shot_blast",
            "semi_rigid_fill",
            "grind_flush",
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
        ]
    );
}

#[test]
fn one_reading_less_leaves_one_test_to_do() {
    for (reading, code) in
        [("R05", "film"), ("R11", "pull_off_strength"), ("R14", "moisture"), ("R08", "profile")]
    {
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
fn an_answer_less_leaves_one_question_to_ask() {
    let temporary = Temporary::new();
    let job = temporary.path().join("job");
    copy(&workspace(JOB), &job);
    let text = fs::read_to_string(job.join("job.toml")).unwrap();
    fs::write(job.join("job.toml"), text.replacen("past_damage = \"no\"\n", "", 1)).unwrap();
    let zone = assess(&job);
    let unknown = zone["unknown"].as_array().unwrap();
    assert_eq!(unknown.len(), 1, "{unknown:#?}");
    assert_eq!(unknown[0]["code"], "structure");
    assert_eq!(unknown[0]["count"], 1);
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
        ("small_shot_blast", 4.0137, 402.26),
        ("semi_rigid_fill", 0.7461, 79.18),
        ("vacuum_clean", 0.7566, 42.37),
    ] {
        let step = step(method);
        same(&step["hours"], hours, 4);
        money(&step["cost"], cost);
        assert_eq!(step["passes"], 1, "{method}");
        assert_eq!(step["holds"], Value::Array(Vec::new()), "{method}");
    }
    // Lanes 3.1705, edging 0.5932, checking 0.25 h; 343.19 + 46.58 + 12.50 EUR.
    assert_eq!(step("small_shot_blast")["leaves"], 3);
    same(&run()["plan"]["total_hours"], 8.1500, 4);
    money(&run()["plan"]["zones"][0]["cost"], 718.81);
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
    money(&run()["plan"]["total_cost"], 1088.81);
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

/// The plan of the job without some of the lines of its drawing.
fn plan_without_features(ids: &[&str]) -> Value {
    plan_with("plan.geojson", |text| {
        let is_kept =
            |line: &&str| !ids.iter().any(|id| line.contains(&format!("\"id\": \"{id}\"")));
        text.lines().filter(is_kept).collect::<Vec<_>>().join("\n")
    })
}

fn step_of<'a>(plan: &'a Value, method: &str) -> &'a Value {
    let steps = plan["zones"][0]["steps"].as_array().unwrap();
    steps.iter().find(|step| step["method"] == method).unwrap()
}

#[test]
fn without_the_machine_base_no_lane_is_broken() {
    let plan = plan_without_features(&["K1"]);
    let laid = layout(&plan);
    // 26 lanes of 9.9238 m, one after the other.
    same(&laid["worked_length_m"], 258.0188, 4);
    assert_eq!(laid["runs_m"].as_array().unwrap().len(), 26);
    assert_eq!(laid["turns"], 25);
    same(&laid["idle_length_m"], 0.0, 4);
    same(&laid["covered_m2"], 58.7866, 4);
    // 10 r + 6 r - r², r = 0.0762 m.
    same(&laid["edging_m2"], 1.2134, 4);
    let blast = step_of(&plan, "small_shot_blast");
    // Lanes 0.5 + 2.4419 + 0.1389, edging 0.5402, checking 0.25.
    same(&blast["edging"]["hours"], 0.5402, 4);
    same(&blast["hours"], 3.8710, 4);
}

#[test]
fn without_walls_and_base_the_lanes_cover_all() {
    let plan = plan_without_features(&["K1", "W1", "W2"]);
    let laid = layout(&plan);
    // 27 lanes of 10 m: six metres more than 44 of 6 m, but 17 turns fewer.
    same(&laid["worked_length_m"], 270.0, 4);
    assert_eq!(laid["turns"], 26);
    same(&laid["direction_degrees"], 0.0, 4);
    same(&laid["covered_m2"], 60.0, 4);
    same(&laid["edging_m2"], 0.0, 4);
    let blast = step_of(&plan, "small_shot_blast");
    assert_eq!(blast["edging"], Value::Null);
    // 0.5 + 2.5553 + 0.1444 + 0.25.
    same(&blast["hours"], 3.4497, 4);
}

/// A smaller base, round which straight lanes leave too much: how far the rounds go is not
/// worked out, only what they can be at least and at most.
#[test]
fn rounds_go_round_a_base_as_far_as_they_must_and_no_further() {
    let plan = plan_with("plan.geojson", |text| {
        let base = "[[[7, 3.5], [7.8, 3.5], [7.8, 4], [7, 4], [7, 3.5]]]";
        assert!(text.contains(base));
        text.replacen(base, "[[[7, 3.5], [7.6, 3.5], [7.6, 4], [7, 4], [7, 3.5]]]", 1)
    });
    let laid = layout(&plan);
    // 26 × 9.9238 - 4 × 0.7524 = 255.0092 m of lanes; rounds of 0.234 to 4.832 m.
    between(&laid["worked_length_m"], 255.0092 + 0.234, 255.0092 + 4.832);
    // 22 whole lanes and 8 broken ones, and at least one round.
    let runs = laid["runs_m"].as_array().unwrap();
    assert!(runs.len() > 30, "{} runs", runs.len());
    assert_eq!(laid["turns"], runs.len() as u64 - 1);
    // The band along walls and round the base, chords and all, and two thousandths at most.
    between(&laid["edging_m2"], 1.3993 - 2e-4, 1.3993 + 0.1166);
    // No run brings the machine onto the base or the 3 in round it.
    for (x, y) in runs.iter().flat_map(places) {
        let aside_x = (6.9238 - x).max(x - 7.6762);
        let aside_y = (3.4238 - y).max(y - 4.0762);
        assert!(aside_x.max(aside_y) > -1e-5, "({x}, {y}) lies on the base");
        assert!((0.0..=10.0).contains(&x) && (0.0..=6.0).contains(&y), "({x}, {y})");
    }
    // Hours by the rules: length × 0.2286 / 24.1548, 20 s a turn, walks at 1800 m/h, set-up;
    // edging and checking besides.
    let figure = |field: &str| laid[field].as_f64().unwrap();
    let lanes = 0.5
        + figure("worked_length_m") * 0.2286 / 24.154_790_4
        + figure("turns") * 20.0 / 3600.0
        + figure("idle_length_m") / 1800.0;
    let edging = 0.25 + figure("edging_m2") / 4.180_636_8;
    same(&step_of(&plan, "small_shot_blast")["hours"], lanes + edging + 0.25, 4);
}

/// The ways B, C and D of the worked example, made the only one by taking methods away.
#[test]
fn the_ways_that_were_left_aside_cost_what_was_worked() {
    // All four ways share patch, crack, joint, their grinding and vacuum: 316.54 EUR.
    let shared = 60.55 + 51.84 + 39.14 + 79.18 + 43.46 + 42.37;
    for (removed, with_hire) in [
        (&["hand_shot_blast"][..], 806.56),
        (&["small_shot_blast", "needle_scale"], 1345.83),
        (&["small_shot_blast", "hand_shot_blast"], 2384.84),
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
            ("rout_and_fill", true),
            ("grind_flush", false),
            ("cut_out_and_patch", true),
            ("small_shot_blast", false),
            ("semi_rigid_fill", false),
            ("grind_flush", false),
            ("vacuum_clean", false)
        ]
    );
}

#[test]
fn price_overhead_and_margin_are_as_worked() {
    let price = &run()["estimate"]["as_marked"];
    for (part, worked) in [
        ("labour", 407.50),
        ("machine", 179.71),
        ("material", 95.19),
        ("disposal", 36.40),
        ("mobilisation", 530.0),
        ("direct", 1248.81),
        ("overhead", 187.32),
        ("margin", 159.57),
        ("price", 1595.70),
    ] {
        money(&price[part], worked);
    }
    let lines = run()["estimate"]["lines"].as_array().unwrap();
    // Seven steps, two machines brought, the trips.
    assert_eq!(lines.len(), 10);
    let trips = lines.iter().find(|l| l["item"] == "2 crew trips").unwrap();
    money(&trips["total"], 160.0);
}
