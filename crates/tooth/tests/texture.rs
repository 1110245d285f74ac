//! `tooth texture` on the demo's scans, and scans in a job folder through to the assessment,
//! the report and the record.
#![expect(clippy::unwrap_used, reason = "a test fails loudly")]

mod support;

use std::fs;
use std::path::Path;
use std::process::Output;

use serde_json::Value;
use support::{Temporary, copy, json, tooth, workspace};

const SCAN: &str = "demo/texture/cafe-counter.sdf";
const CHIPS: &str = "demo/texture/calibration";

fn texture(file: &Path, more: &[&str]) -> Output {
    tooth(&["texture".as_ref(), file.as_os_str()]).args(more).output().unwrap()
}

#[test]
fn a_scan_has_figures_and_without_chips_no_level() {
    let output = texture(&workspace(SCAN), &["--json"]);
    assert_eq!(output.status.code(), Some(0));
    let said = json(&output);
    assert_eq!((&said["rows"], &said["columns"]), (&280.into(), &280.into()));
    assert_eq!(said["spacing_mm"], 0.25);
    assert_eq!(said["filter"], "F:plane S:none L:none");
    assert!(said["areal"]["Sq_mm"].as_f64().unwrap() > 0.03);
    assert_eq!(said["profile_level"]["state"], "not_calibrated");
    assert_eq!(said["profile_level"]["probability"], Value::Null);
    // 70 mm: no line is as long as a segment of 100 mm.
    assert_eq!(said["mean_profile_depth_mm"], Value::Null);
}

#[test]
fn own_chips_give_chances_of_each_level() {
    let chips = workspace(CHIPS);
    let output = texture(&workspace(SCAN), &["--calibration", chips.to_str().unwrap(), "--json"]);
    let said = json(&output);
    let level = &said["profile_level"];
    assert_eq!(level["state"], "graded");
    let chances: Vec<f64> =
        level["probability"].as_array().unwrap().iter().map(|p| p.as_f64().unwrap()).collect();
    assert_eq!(chances.len(), 10);
    assert!((chances.iter().sum::<f64>() - 1.0).abs() < 1e-6);
    // Made as 1.9 on the demo's own ladder.
    assert_eq!(level["shortest_90"], serde_json::json!([1, 2]));
    assert_eq!(said["calibration"]["placements"], 18);
    assert_eq!(said["calibration"]["rated_surfaces"], 0);
}

#[test]
fn the_pictures_are_the_same_bytes_every_time() {
    let written = || {
        let folder = Temporary::new();
        let output = texture(&workspace(SCAN), &["--out", folder.path().to_str().unwrap()]);
        assert_eq!(output.status.code(), Some(0));
        ["texture-relief.svg", "texture-material-ratio.svg", "texture-profile.svg"]
            .map(|name| fs::read(folder.path().join(name)).unwrap())
    };
    assert_eq!(written(), written());
}

#[test]
fn what_is_missing_is_asked_for() {
    let folder = Temporary::new();
    let grid = folder.path().join("grid.csv");
    fs::write(&grid, "0,1,0\n1,0,1\n0,1,0\n").unwrap();
    let refused = |arguments: &[&str], words: &str| {
        let output = texture(&grid, arguments);
        assert_eq!(output.status.code(), Some(2));
        let said = json(&output).to_string();
        assert!(said.contains(words), "{said}");
    };
    refused(&["--json"], "--spacing-mm");
    refused(&["--spacing-mm", "0", "--json"], "above 0 mm");
    refused(&["--spacing-mm", "1", "--s-filter-mm", "0.5", "--json"], "shorter than two spacings");
    refused(&["--spacing-mm", "1", "--l-filter-mm", "8", "--json"], "longer than the map");
    refused(&["--spacing-mm", "1", "--calibration", "/nowhere", "--json"], "chips");
    let read = texture(&grid, &["--spacing", "40mil", "--json"]);
    assert_eq!(json(&read)["spacing_mm"], 1.016);
}

#[test]
fn a_repeated_scan_gives_the_noise_of_the_device() {
    let folder = Temporary::new();
    let write = |name: &str, lift: f64| {
        let rows: Vec<String> = (0..20)
            .map(|r| {
                let cells = (0..20).map(|c| {
                    // Checkers of a hundredth, up in one scan and down in the other.
                    let checker = if (r + c) % 2 == 0 { lift } else { -lift };
                    (f64::from(c) * 0.7).sin().mul_add(0.2, checker).to_string()
                });
                cells.collect::<Vec<_>>().join(",")
            })
            .collect();
        let path = folder.path().join(name);
        fs::write(&path, rows.join("\n")).unwrap();
        path
    };
    let (first, second) = (write("a.csv", 0.01), write("b.csv", -0.01));
    let output =
        texture(&first, &["--spacing-mm", "0.5", "--repeated", second.to_str().unwrap(), "--json"]);
    // A difference of 0.02 everywhere, over √2.
    let noise = json(&output)["noise_mm"].as_f64().unwrap();
    assert!((noise - 0.02 / 2f64.sqrt()).abs() < 1e-6, "{noise}");
}

#[test]
fn scans_of_a_job_stand_beside_hand_and_eye() {
    let demo = workspace("demo");
    let output = tooth(&["assess".as_ref(), demo.as_os_str(), "--json".as_ref()]).output().unwrap();
    let said = json(&output);
    let cafe = said["zones"].as_array().unwrap().iter().find(|z| z["zone"] == "cafe").unwrap();
    let findings = cafe["findings"].as_array().unwrap();
    let scan = findings.iter().find(|f| f["code"] == "profile_scan").unwrap();
    assert_eq!(scan["state"], "prepare");
    assert_eq!(scan["evidence"], serde_json::json!(["scan:cafe-counter"]));
    assert!(findings.iter().any(|f| f["code"] == "profile"), "the ratings stay");
}

#[test]
fn a_job_without_scanned_chips_says_what_is_missing() {
    let job = Temporary::new();
    copy(&workspace("demo"), job.path());
    fs::remove_dir_all(job.path().join("texture/calibration")).unwrap();
    let assessed = || {
        let output = tooth(&["assess".as_ref(), job.path().as_os_str()]).arg("--json").output();
        json(&output.unwrap())
    };
    let said = assessed();
    let cafe = said["zones"].as_array().unwrap().iter().find(|z| z["zone"] == "cafe").unwrap();
    let gaps = cafe["unknown"].as_array().unwrap();
    let gap = gaps.iter().find(|gap| gap["code"] == "profile_scan").unwrap();
    assert!(gap["test"].as_str().unwrap().contains("comparator chips"), "{gap}");
    // A scan that the list names and nobody sent is a fault of its line.
    fs::remove_file(job.path().join("texture/wash-bay-drain.sdf")).unwrap();
    let refused = assessed();
    let fault = &refused["errors"][0];
    assert_eq!(fault["file"], "texture/scans.csv");
    assert_eq!((&fault["line"], &fault["field"]), (&3.into(), &"file".into()));
}
