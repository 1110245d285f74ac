//! `tooth colour` on pictures made here, and the card that `tooth card` prints.
#![expect(clippy::unwrap_used, reason = "a test fails loudly")]

#[expect(dead_code, reason = "the other test crates use the rest")]
mod support;

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Output;

use serde_json::{Value, json};
use support::{Temporary, json, tooth};
use tooth_measure::chance::Seed;
use tooth_measure::colour::Lab;
use tooth_measure::colour::synthetic::Scene;

const CARD: &str = "20,20,380,20,380,245,20,245";
const SPOT: &str = "415,100,60,60";
const STAIN: Lab = Lab::new(48.0, 12.0, 22.0);

fn panel() -> Scene {
    Scene { noise: 0.01, mottled: 1.0, ..Scene::plain(STAIN) }
}

/// The panel's colour, or one so far from it, under warmer and dimmer light that falls off.
fn floor(darker: f64) -> Scene {
    Scene {
        light: [1.0, 0.85, 0.62],
        exposure: 0.65,
        lamp: Some([-200.0, 100.0, 1600.0]),
        seed: Seed(7),
        spots: vec![(panel().spots[0].0, STAIN.shifted([-darker, 0.0, 0.0]))],
        ..panel()
    }
}

fn png(scene: &Scene, folder: &Temporary, name: &str) -> PathBuf {
    let [width, height] = scene.size;
    let path = folder.path().join(name);
    image::RgbImage::from_raw(width, height, scene.pixels()).unwrap().save(&path).unwrap();
    path
}

fn colour(picture: &Path, more: &[&str]) -> Output {
    let line = ["colour".as_ref(), picture.as_os_str()];
    tooth(&line).args(["--card", CARD, "--spot", SPOT]).args(more).output().unwrap()
}

fn near(found: &Value, wanted: f64, within: f64) {
    let found = found.as_f64().unwrap();
    assert!((found - wanted).abs() <= within, "{found}, wanted {wanted}");
}

#[test]
fn a_spot_s_colour_comes_with_its_error() {
    let folder = Temporary::new();
    let output = colour(&png(&panel(), &folder, "panel.png"), &["--json"]);
    assert_eq!(output.status.code(), Some(0));
    let said = json(&output);
    let picture = &said["picture"];
    assert_eq!((&picture["file"], &picture["width"]), (&json!("panel.png"), &json!(490)));
    assert_eq!((&picture["space"], &picture["space_is_stated"]), (&json!("srgb"), &json!(false)));
    let spot = &picture["spots"][0];
    assert_eq!(spot["spot"], json!({"left": 415, "top": 100, "width": 60, "height": 60}));
    near(&spot["lab"]["lightness"], 48.0, 0.6);
    near(&spot["lab"]["a"], 12.0, 0.6);
    near(&spot["lab"]["b"], 22.0, 0.6);
    // The print's allowance is in it.
    assert!(spot["error"]["lightness"].as_f64().unwrap() > 3.0);
    assert_eq!(picture["card"]["patches"].as_array().unwrap().len(), 8);
    assert_eq!((&said["against"], &said["compared"]), (&Value::Null, &json!([])));
    assert!(said["settings"]["assumed"].as_array().unwrap().contains(&json!("card_lightness")));
}

#[test]
fn the_floor_is_held_against_the_panel() {
    let folder = Temporary::new();
    let panel = png(&panel(), &folder, "panel.png");
    let panel = panel.to_str().unwrap();
    let against = ["--against", panel, "--against-card", CARD, "--against-spot", SPOT];
    let compared = |darker: f64, more: &[&str]| {
        let floor = png(&floor(darker), &folder, "floor.png");
        let output = colour(&floor, &[&against[..], &["--json"], more].concat());
        assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
        let said = json(&output);
        assert_eq!(said["compared"].as_array().unwrap().len(), 1);
        said
    };
    let same = compared(0.0, &[]);
    assert_eq!(same["compared"][0]["answer"], "same");
    near(&same["compared"][0]["delta_e_2000"], 0.0, 0.8);
    assert_eq!(same["against"]["file"], "panel.png");
    assert_eq!(same["settings"]["tolerance"], 3.0);
    assert!(same["settings"]["assumed"].as_array().unwrap().contains(&json!("tolerance")));
    assert_eq!(compared(9.0, &[])["compared"][0]["answer"], "different");
    // The tolerance is the person's.
    let strict = compared(0.0, &["--tolerance", "0.5"]);
    assert_eq!(strict["compared"][0]["answer"], "not_surely");
    assert!(!strict["settings"]["assumed"].as_array().unwrap().contains(&json!("tolerance")));
    // Two cameras see colours differently, and there is less to be sure of.
    let two = compared(0.0, &["--other-camera"]);
    assert!(
        two["compared"][0]["error"].as_f64().unwrap()
            > same["compared"][0]["error"].as_f64().unwrap() + 1.0
    );
}

#[test]
fn a_person_reads_the_same_in_both_languages() {
    let folder = Temporary::new();
    let [panel, floor] = [(panel(), "panel.png"), (floor(0.0), "floor.png")]
        .map(|(scene, name)| png(&scene, &folder, name));
    let panel = panel.to_str().unwrap();
    let against = ["--against", panel, "--against-card", CARD, "--against-spot", SPOT];
    let read = |language: &str| {
        let output = colour(&floor, &[&against[..], &["--language", language]].concat());
        assert_eq!(output.status.code(), Some(0));
        assert!(output.stderr.is_empty());
        String::from_utf8(output.stdout).unwrap().split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let english = read("en");
    assert!(english.contains("the same, at a tolerance of 3.0"), "{english}");
    assert!(english.contains("Assumed, not known: the tolerance (3.0 ΔE)"), "{english}");
    let spanish = read("es");
    assert!(spanish.contains("igual, con una tolerancia de 3.0"), "{spanish}");
    assert!(spanish.contains("Supuesto, no sabido"), "{spanish}");
}

#[test]
fn bad_input_ends_with_2_and_says_where() {
    let folder = Temporary::new();
    let picture = png(&panel(), &folder, "panel.png");
    let washed_out = png(&Scene { exposure: 1.4, ..panel() }, &folder, "washed-out.png");
    let text = folder.path().join("text.png");
    fs::write(&text, "no picture").unwrap();
    let missing = folder.path().join("missing.png");
    let refused = |picture: &Path, line: &[&str], file: &str, field: &str, words: &str| {
        let start = ["colour".as_ref(), picture.as_os_str()];
        let output = tooth(&start).args(line).arg("--json").output().unwrap();
        assert_eq!(output.status.code(), Some(2), "{line:?}");
        let error = &json(&output)["errors"][0];
        assert_eq!((&error["file"], &error["field"]), (&json!(file), &json!(field)), "{error}");
        assert!(error.to_string().contains(words), "{error}");
    };
    let typed = "command line";
    let card_and_spot = ["--card", CARD, "--spot", SPOT];
    refused(&picture, &["--card", "1,2,3", "--spot", SPOT], typed, "--card", "eight numbers");
    refused(&picture, &["--card", "NaN,2,3,4,5,6,7,8", "--spot", SPOT], typed, "--card", "NaN");
    refused(&picture, &["--card", CARD, "--spot", "1,2,3"], typed, "--spot", "four whole");
    refused(&picture, &["--card", CARD, "--spot", "-1,2,30,30"], typed, "--spot", "-1,2");
    let with = |more: &[&'static str]| [&card_and_spot[..], more].concat();
    refused(
        &picture,
        &with(&["--card-lightness", "95,96,50,40,20"]),
        typed,
        "--card-lightness",
        "L*",
    );
    refused(&picture, &with(&["--card-allowance", "-1"]), typed, "--card-allowance", "0 to 100");
    refused(&picture, &with(&["--spot", "0,0,20,4"]), "panel.png", "--spot 2", "16 × 16");
    refused(&picture, &with(&["--spot", "480,0,20,20"]), "panel.png", "--spot 2", "500,20");
    refused(&washed_out, &card_and_spot, "washed-out.png", "--card", "expose less");
    refused(&text, &card_and_spot, "text.png", "", "JPEG or PNG");
    refused(&missing, &card_and_spot, "missing.png", "", "readable");
    let panel = washed_out.to_str().unwrap();
    let against = ["--against", panel, "--against-card", CARD, "--against-spot", SPOT];
    let line = [&card_and_spot[..], &against].concat();
    refused(&picture, &line, "washed-out.png", "--against-card", "expose less");
    // A reference without its card.
    let line = [&card_and_spot[..], &against[..2]].concat();
    let output = colour(&picture, &line[4..]);
    assert_eq!(output.status.code(), Some(2));
}

#[test]
fn the_card_is_one_page_on_either_sheet_in_both_languages() {
    let folder = Temporary::new();
    let write = |name: &str, more: &[&str]| {
        let path = folder.path().join(name);
        let output = tooth(&["card".as_ref(), "--out".as_ref(), path.as_os_str()])
            .arg("--json")
            .args(more)
            .output()
            .unwrap();
        assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
        let said = json(&output);
        assert_eq!(said["pages"], 1);
        let bytes = fs::read(&path).unwrap();
        assert_eq!(said["bytes"].as_u64(), Some(bytes.len() as u64));
        assert!(bytes.starts_with(b"%PDF"));
        bytes
    };
    let letter = write("grey-card.pdf", &[]);
    assert_eq!(write("again.pdf", &[]), letter);
    assert_ne!(write("a4.pdf", &["--sheet", "a4"]), letter);
    assert_ne!(write("es.pdf", &["--language", "es"]), letter);
    let output = tooth(&["card", "--out", "/"]).output().unwrap();
    assert_eq!(output.status.code(), Some(2));
}
