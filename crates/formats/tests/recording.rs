//! Recordings of every kind, whole and broken; lists of taps and boundaries.
#![expect(clippy::unwrap_used, reason = "a test fails loudly")]

mod told;

use std::fs;
use std::path::{Path, PathBuf};
use told::told;

use proptest::prelude::*;
use tooth_formats::recording::{boundary, hear, hear_bytes, hear_sweep, path, taps};
use tooth_measure::TimeSpan;
use tooth_sounding::{Heard, Known, Refusal, Sounding};

const KINDS: [&str; 5] = ["taps.flac", "taps.mp3", "taps.m4a", "taps.ogg", "stereo-24-bit.wav"];

fn file(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/recordings").join(name)
}

fn whole() -> Heard {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/tap-grid/bay.wav");
    hear(&path).unwrap().heard
}

fn times(heard: &Heard) -> Vec<TimeSpan> {
    let sounding = Sounding::of(heard, &[], None).unwrap();
    sounding.taps.iter().filter_map(|tap| tap.time).collect()
}

#[test]
fn every_kind_gives_the_same_taps() {
    let expected: Vec<TimeSpan> =
        times(&whole()).into_iter().filter(|t| t.seconds() < 4.5).collect();
    assert!(expected.len() >= 7, "{expected:?}");
    for name in KINDS {
        let recording = hear(&file(name)).unwrap();
        assert!(recording.warnings.is_empty(), "{name}: {:?}", recording.warnings);
        assert!((recording.heard.duration().seconds() - 5.0).abs() < 0.15, "{name}");
        let found = times(&recording.heard);
        for time in &expected {
            // Codecs with a lead-in may shift all of it by their frame.
            let near = found.iter().any(|t| (*t - *time).seconds().abs() < 0.06);
            assert!(near, "{name}: no tap at {time:?} in {found:?}");
        }
    }
}

#[test]
fn what_is_no_recording_is_refused_in_one_line() {
    let folder = scratch();
    for (name, bytes, expected) in [
        ("empty.wav", &b""[..], "an empty file"),
        ("text.wav", &b"these are words, not sounds, and many of them "[..], ""),
        ("header.wav", &b"RIFF\x24\0\0\0WAVEfmt \x10\0\0\0\x01\0\x01\0\x80\xbb\0\0\0\x77\x01\0\x02\0\x10\0data\0\0\0\0"[..], ""),
        ("noise.mp3", &[0x5a; 5000][..], ""),
    ] {
        let path = folder.join(name);
        fs::write(&path, bytes).unwrap();
        let fault = hear(&path).unwrap_err();
        assert_eq!(fault.file, name);
        assert!(told(&fault).contains(expected), "{name}: {fault:?}");
        assert!(!told(&fault).contains('\n'), "{fault:?}");
    }
    assert!(hear(&folder.join("nothing.wav")).is_err());
    assert!(hear(&folder).is_err());
    fs::remove_dir_all(folder).unwrap();
}

#[test]
fn a_recording_that_breaks_off_is_heard_to_there() {
    let bytes = fs::read(file("stereo-24-bit.wav")).unwrap();
    let cut = hear_bytes("cut.wav", bytes[..bytes.len() / 2].to_vec()).unwrap();
    assert!((2.0..2.6).contains(&cut.heard.duration().seconds()), "{:?}", cut.heard.duration());
    assert!(times(&cut.heard).len() >= 3);
}

#[test]
fn silence_is_said_to_be_silence() {
    let mut bytes = fs::read(file("stereo-24-bit.wav")).unwrap();
    let data = bytes.windows(4).position(|w| w == b"data").unwrap() + 8;
    bytes[data..].fill(0);
    let heard = hear_bytes("silent.wav", bytes).unwrap().heard;
    assert_eq!(Sounding::of(&heard, &[], None).unwrap_err(), Refusal::Silent);
}

#[test]
fn a_list_is_read_in_metres_and_feet_with_known_taps() {
    let metres = "tap,x_m,y_m,known\n0,0.15,0.3,sound\n1,0.45,0.3,\n7,0.75,0.3,hollow\n";
    let marks = taps("taps.csv", metres).unwrap();
    assert_eq!(marks.iter().map(|m| m.number).collect::<Vec<_>>(), [0, 1, 7]);
    assert_eq!(marks[0].known, Some(Known::Sound));
    assert_eq!(marks[1].known, None);
    assert_eq!(marks[2].known, Some(Known::Hollow));
    let feet = "\u{feff}tap,x_ft,y_ft,known,time_s\r\n0,1,2,,0.5\r\n";
    let marks = taps("taps.csv", feet).unwrap();
    assert!((marks[0].place.unwrap().x.metres() - 0.3048).abs() < 1e-12);
    assert_eq!(marks[0].time, Some(TimeSpan::from_seconds(0.5)));
}

#[test]
fn faults_of_a_list_name_line_and_column() {
    for (text, line, field) in [
        ("tap,x_m,y_m\n0,1,2\n0,1,3\n", 3, "tap"),
        ("tap,x_m,y_m\n0,NaN,2\n", 2, "x_m"),
        ("tap,x_m,y_m\n0,1\n", 2, "x_m"),
        ("tap,x_m,y_m,known\n0,1,2,maybe\n", 2, "known"),
        ("tap,x_m,y_m\n-1,1,2\n", 2, "tap"),
        ("tap,x_m,y_m\n0,1,2\n1,,\n", 3, "x_m"),
        ("tap,x_m,y_m,time_s\n0,1,2,-4\n", 2, "time_s"),
        ("tap,where\n0,1\n", 1, "where"),
    ] {
        let faults = taps("taps.csv", text).unwrap_err();
        assert!(
            faults.iter().any(|f| f.line == Some(line) && f.field == field),
            "{text:?}: {faults:?}"
        );
    }
    assert!(taps("taps.csv", "tap,x_m,y_m\n").is_err());
    assert!(taps("taps.csv", "").is_err());
}

#[test]
fn a_path_is_read_in_the_order_of_time() {
    let text = "time_s,x_m,y_m,known\n0.5,0,0.15,sound\n2,1,0.15,\n6,3.6,0.15,\n";
    let steps = path("path.csv", text).unwrap();
    assert_eq!(steps.len(), 3);
    assert_eq!(steps[0].known, Some(Known::Sound));
    for (text, line) in [
        ("time_s,x_m,y_m\n3,0,0\n2,1,0\n", 3),
        ("time_s,x_m,y_m\n,0,0\n2,1,0\n", 2),
        ("time_s,x_m,y_m\n1,,\n2,1,0\n", 2),
    ] {
        let faults = path("path.csv", text).unwrap_err();
        assert!(faults.iter().any(|fault| fault.line == Some(line)), "{text:?}: {faults:?}");
    }
    assert!(path("path.csv", "time_s,x_m,y_m\n1,0,0\n").is_err());
    // Any recording can be heard as a sweep.
    let heard = hear_sweep(&file("taps.flac")).unwrap().heard;
    assert!(Sounding::of_sweep(&heard, &steps, None).unwrap().taps.len() >= 10);
}

#[test]
fn a_boundary_is_a_polygon_a_feature_or_a_collection() {
    let polygon = r#"{"type":"Polygon","coordinates":[[[0,0],[4,0],[4,3],[0,3],[0,0]]]}"#;
    let feature = format!(r#"{{"type":"Feature","properties":{{}},"geometry":{polygon}}}"#);
    let collection = format!(r#"{{"type":"FeatureCollection","features":[{feature}]}}"#);
    for text in [polygon, &feature, &collection] {
        let outline = boundary("b.geojson", text).unwrap();
        assert!((outline.area().square_metres() - 12.0).abs() < 1e-9);
    }
    for text in [
        "",
        "{}",
        "[1,2]",
        r#"{"type":"Point","coordinates":[1,2]}"#,
        "{\"coordinates\":[[[0,0],[1",
    ] {
        assert!(!boundary("b.geojson", text).unwrap_err().is_empty(), "{text}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// Bytes changed anywhere: a recording or a fault, never a panic.
    #[test]
    fn damaged_recordings_are_heard_or_refused(
        kind in 0..KINDS.len(),
        changes in prop::collection::vec((0.0..1.0, any::<u8>()), 1..24),
        keep in 0.02..1.0f64,
    ) {
        let mut bytes = fs::read(file(KINDS[kind])).unwrap();
        // Two seconds are enough, and quick.
        let most = (bytes.len() as f64 * keep) as usize;
        bytes.truncate(most.min(300_000));
        let length = bytes.len();
        for (place, byte) in changes {
            bytes[(length as f64 * place) as usize] = byte;
        }
        match hear_bytes(KINDS[kind], bytes) {
            Ok(recording) => {
                let _ = Sounding::of(&recording.heard, &[], None);
            }
            Err(fault) => prop_assert!(!fault.expected.is_nothing() && !fault.found.is_nothing()),
        }
    }

    /// Any text is a list or faults with their lines, never a panic.
    #[test]
    fn any_text_is_a_list_or_faults(text in "[a-z0-9_,.\n\"-]{0,200}") {
        let with_heading = format!("tap,x_m,y_m,known\n{text}");
        for text in [text.as_str(), &with_heading] {
            if let Err(faults) = taps("taps.csv", text) {
                prop_assert!(!faults.is_empty());
            }
            let _ = boundary("b.geojson", text);
        }
    }
}

fn scratch() -> PathBuf {
    let path = std::env::temp_dir().join(format!("tooth-recordings-{}", std::process::id()));
    fs::create_dir_all(&path).unwrap();
    path
}
