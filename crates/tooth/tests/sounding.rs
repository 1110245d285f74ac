//! `tooth sounding` on the example's recording, and a recording in a job folder through
//! to the assessment, the plan and the record.
#![expect(clippy::unwrap_used, reason = "a test fails loudly")]

mod support;

use std::fs;
use std::path::Path;
use std::process::Output;

use serde_json::Value;
use support::{Temporary, copy, json, tooth, workspace};

const RECORDING: &str = "examples/tap-grid/bay.wav";
const LIST: &str = "examples/tap-grid/bay.csv";
/// True loose area of the synthesized slab: two ellipses of 1.7 ft by 1.3 ft and 1.0 ft by
/// 0.85 ft half axes, in m².
const TRUE_AREA: f64 = std::f64::consts::PI * (1.7 * 1.3 + 1.0 * 0.85) * 0.3048 * 0.3048;

fn sounding(list: &Path, more: &[&str]) -> Output {
    tooth(&[
        "sounding".as_ref(),
        workspace(RECORDING).as_os_str(),
        "--taps".as_ref(),
        list.as_os_str(),
    ])
    .args(more)
    .output()
    .unwrap()
}

fn number(value: &Value, field: &str) -> f64 {
    value[field].as_f64().unwrap()
}

#[test]
fn the_examples_taps_are_told_one_answer_per_row() {
    let output = sounding(&workspace(LIST), &["--json"]);
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    let said = json(&output);
    let taps = said["taps"].as_array().unwrap();
    let numbers: Vec<u64> = taps.iter().map(|tap| tap["index"].as_u64().unwrap()).collect();
    assert_eq!(numbers, (0..72).collect::<Vec<u64>>());
    for tap in taps {
        // The hammer missed once.
        assert_eq!(tap["time_s"].is_null(), tap["index"] == 40, "{tap}");
        assert!((0.0..=1.0).contains(&number(tap, "hollow_probability")));
    }
    assert_eq!(said["groups"], "two");
    assert_eq!(said["areas"].as_array().unwrap().len(), 2);
    assert!(number(&said, "hollow_area_low_m2") <= TRUE_AREA);
    assert!(number(&said, "hollow_area_high_m2") >= TRUE_AREA);
    assert!((number(&said, "hollow_area_m2") / TRUE_AREA - 1.0).abs() < 0.25);
    assert!((number(&said, "surveyed_area_m2") / (72.0 * 0.3048 * 0.3048) - 1.0).abs() < 0.01);
    // The diagonal of one foot.
    assert!((number(&said, "smallest_surely_found_m") - 0.3048 * 2f64.sqrt()).abs() < 1e-6);
    for area in said["areas"].as_array().unwrap() {
        let ring = area["polygon"].as_array().unwrap();
        assert_eq!(ring.first(), ring.last());
        assert!(number(area, "area_low_m2") <= number(area, "area_m2"));
        assert!(number(area, "area_m2") <= number(area, "area_high_m2"));
    }
}

#[test]
fn pictures_are_written_and_the_same_each_time() {
    let (one, other) = (Temporary::new(), Temporary::new());
    for folder in [&one, &other] {
        let output = sounding(&workspace(LIST), &["--out", folder.path().to_str().unwrap()]);
        assert_eq!(output.status.code(), Some(0));
    }
    for name in ["sounding-map.svg", "sounding-strip.svg", "sounding-spectrum.svg"] {
        let svg = fs::read_to_string(one.path().join(name)).unwrap();
        assert!(svg.starts_with("<svg") && svg.trim_end().ends_with("</svg>"));
        assert_eq!(svg, fs::read_to_string(other.path().join(name)).unwrap(), "{name}");
    }
}

#[test]
fn a_walked_grid_gives_what_its_list_gives() {
    let listed = json(&sounding(&workspace(LIST), &["--json"]));
    let output = tooth(&["sounding".as_ref(), workspace(RECORDING).as_os_str()])
        .args(["--pitch", "1ft", "--per-row", "9", "--rows", "8"])
        .args(["--known-good", "0,8,14,22,48,58,63,71", "--json"])
        .output()
        .unwrap();
    let walked = json(&output);
    let classes = |said: &Value| -> Vec<(Value, Value)> {
        let taps = said["taps"].as_array().unwrap();
        taps.iter().map(|tap| (tap["index"].clone(), tap["class"].clone())).collect()
    };
    assert_eq!(classes(&listed), classes(&walked));
}

#[test]
fn without_a_known_tap_the_answer_is_not_established() {
    let folder = Temporary::new();
    let list = fs::read_to_string(workspace(LIST)).unwrap().replace("sound", "");
    let path = folder.path().join("list.csv");
    fs::write(&path, list).unwrap();
    let said = json(&sounding(&path, &["--json"]));
    assert_eq!(said["groups"], "not_established");
    assert!(said["taps"].as_array().unwrap().iter().all(|tap| tap["class"] == "doubtful"));
    assert!(said["hollow_area_m2"].is_null() && said["areas"].as_array().unwrap().is_empty());
}

#[test]
fn a_list_of_another_walk_is_refused_with_both_counts() {
    let folder = Temporary::new();
    let list = fs::read_to_string(workspace(LIST)).unwrap();
    let half: Vec<&str> = list.lines().take(31).collect();
    let path = folder.path().join("list.csv");
    fs::write(&path, half.join("\n")).unwrap();
    let output = sounding(&path, &["--json"]);
    assert_eq!(output.status.code(), Some(2));
    let found = json(&output)["errors"][0]["found"].as_str().unwrap().to_owned();
    assert!(found.contains("30 taps") && found.contains("71"), "{found}");
}

#[test]
fn what_cannot_be_read_ends_with_2_and_says_why() {
    let folder = Temporary::new();
    let text = folder.path().join("words.wav");
    fs::write(&text, "no sound at all").unwrap();
    for arguments in [
        vec!["sounding", text.to_str().unwrap(), "--json"],
        vec!["sounding", "/nowhere/at/all.wav", "--json"],
        vec!["sounding", text.to_str().unwrap(), "--taps", "/nowhere.csv", "--json"],
        vec![
            "sounding",
            text.to_str().unwrap(),
            "--pitch",
            "900m",
            "--per-row",
            "3",
            "--rows",
            "3",
            "--json",
        ],
    ] {
        let output = tooth(&arguments).output().unwrap();
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        assert_eq!(json(&output)["errors"].as_array().unwrap().len(), 1, "{arguments:?}");
    }
}

/// The ready example with the recording in its folder: the walked bay lies in the corner
/// of the showroom.
fn job(list: &str) -> Temporary {
    let folder = Temporary::new();
    copy(&workspace("examples/nearly-ready"), folder.path());
    fs::create_dir_all(folder.path().join("sounding")).unwrap();
    fs::copy(workspace(RECORDING), folder.path().join("sounding/bay.wav")).unwrap();
    fs::write(folder.path().join("sounding/bay.csv"), list).unwrap();
    folder
}

fn showroom(verb: &str, job: &Path) -> Value {
    let output = tooth(&[verb.as_ref(), job.as_os_str(), "--json".as_ref()]).output().unwrap();
    assert!(
        output.status.code().is_some_and(|code| code < 2),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    json(&output)["zones"]
        .as_array()
        .unwrap()
        .iter()
        .find(|z| z["zone"] == "showroom")
        .unwrap()
        .clone()
}

fn words(zone: &Value) -> String {
    zone["unknown"].to_string()
}

#[test]
fn hollow_places_heard_are_findings_until_somebody_traced_them() {
    let list = fs::read_to_string(workspace(LIST)).unwrap();
    let job = job(&list);
    let zone = showroom("assess", job.path());
    let hollow = zone["findings"]
        .as_array()
        .unwrap()
        .iter()
        .find(|finding| finding["code"] == "hollow_concrete")
        .unwrap()
        .clone();
    assert_eq!(hollow["state"], "repair");
    for id in ["tap-bay-1", "tap-bay-2"] {
        assert!(hollow["evidence"].to_string().contains(id), "{hollow}");
        // At least one spot of each is opened before its repair is priced.
        assert!(
            words(&zone).contains(&format!("what the hollow sound at {id} is")),
            "{}",
            words(&zone)
        );
    }

    // Chalk traced round the larger one, opened: skin, 15 mm deep.
    let plan = job.path().join("plan.geojson");
    let traced = r#"{"type": "Feature", "properties": {"id": "H1", "kind": "hollow", "certainty": "sure", "hollow_kind": "loose_skin", "depth": "15 mm"}, "geometry": {"type": "Polygon", "coordinates": [[[0.4, 1.2], [1.5, 1.2], [1.5, 2.0], [0.4, 2.0], [0.4, 1.2]]]}},"#;
    let text = fs::read_to_string(&plan).unwrap();
    fs::write(&plan, text.replacen("\"features\": [", &format!("\"features\": [\n{traced}"), 1))
        .unwrap();
    let zone = showroom("assess", job.path());
    assert!(!words(&zone).contains("tap-bay-1"), "{}", words(&zone));
    assert!(words(&zone).contains("tap-bay-2"), "{}", words(&zone));
}

#[test]
fn a_recording_nobody_vouched_for_is_an_unknown_of_its_area() {
    let list = fs::read_to_string(workspace(LIST)).unwrap().replace("sound", "");
    let job = job(&list);
    let zone = showroom("assess", job.path());
    assert!(words(&zone).contains("which taps of recording bay are hollow"), "{}", words(&zone));
    assert_eq!(zone["recommendation"], "test_more");
}

#[test]
fn the_record_says_of_a_recording_what_its_folder_said() {
    let list = fs::read_to_string(workspace(LIST)).unwrap();
    let (job, data) = (job(&list), Temporary::new());
    let data_folder = data.path().join("record");
    let imported = tooth(&["import".as_ref(), job.path().as_os_str(), "--json".as_ref()])
        .env("TOOTH_DATA", &data_folder)
        .output()
        .unwrap();
    assert_eq!(imported.status.code(), Some(0), "{}", String::from_utf8_lossy(&imported.stderr));
    let assess = |job: &std::ffi::OsStr| {
        let output = tooth(&["assess".as_ref(), job, "--json".as_ref()])
            .env("TOOTH_DATA", &data_folder)
            .output()
            .unwrap();
        assert!(
            output.status.code().is_some_and(|code| code < 2),
            "{}",
            String::from_utf8_lossy(&output.stderr)
        );
        json(&output)
    };
    assert_eq!(assess(job.path().as_os_str()), assess("Quince Street showroom".as_ref()));
}

#[test]
fn how_large_heard_places_are_moves_the_price_until_somebody_traced_them() {
    let list = fs::read_to_string(workspace(LIST)).unwrap();
    let job = job(&list);
    let drivers = || {
        let output = tooth(&["estimate".as_ref(), job.path().as_os_str()])
            .args(["--seed", "1", "--json"])
            .output()
            .unwrap();
        json(&output)["drivers"].to_string()
    };
    assert!(drivers().contains("size of the hollow places heard in"), "{}", drivers());
    // Without the recording nothing was heard.
    fs::remove_dir_all(job.path().join("sounding")).unwrap();
    assert!(!drivers().contains("heard in"), "{}", drivers());
}

#[test]
fn a_list_without_its_recording_is_a_fault() {
    let list = fs::read_to_string(workspace(LIST)).unwrap();
    let job = job(&list);
    fs::remove_file(job.path().join("sounding/bay.wav")).unwrap();
    let output =
        tooth(&["check".as_ref(), job.path().as_os_str(), "--json".as_ref()]).output().unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(json(&output)["errors"][0]["file"], "sounding/bay.csv");
}
