//! Damaged files: whatever bytes a job folder holds, reading it gives a job or faults
//! with their place, and never a panic.
#![expect(clippy::unwrap_used, reason = "a test fails loudly")]

mod told;

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};
use told::told;

use proptest::prelude::*;
use tooth_formats::job_folder;

const FILES: [&str; 6] =
    ["job.toml", "plan.geojson", "systems.toml", "readings.csv", "methods.toml", "forecast.csv"];

/// A change to a file: where (as a share of its length), and what.
#[derive(Debug, Clone)]
enum Damage {
    Cut,
    Byte(u8),
    Insert(Vec<u8>),
    Remove(usize),
    Repeat(usize),
}

fn damage() -> impl Strategy<Value = (usize, f64, Damage)> {
    // What confuses readers of text, numbers and brackets.
    let nasty = prop::sample::select(vec![
        "\u{0}",
        "\u{feff}",
        "\r",
        "\"",
        "'",
        "\\",
        ",,,,",
        "[[",
        "}}",
        "1e999",
        "-0",
        "NaN",
        "9".repeat(400).leak(),
        "\u{202e}",
        "=",
        "#",
        "\"\"\"",
        "{\"a\":",
        "[[machine]]\nid = \"x\"\n",
        "0x",
        "1/0 in",
        "-1 ft",
        "é",
    ]);
    let what = prop_oneof![
        Just(Damage::Cut),
        any::<u8>().prop_map(Damage::Byte),
        nasty.prop_map(|text| Damage::Insert(text.as_bytes().to_vec())),
        (1usize..200).prop_map(Damage::Remove),
        (1usize..400).prop_map(Damage::Repeat),
    ];
    (0..FILES.len(), 0.0..1.0, what)
}

fn damaged(bytes: &[u8], place: f64, what: &Damage) -> Vec<u8> {
    let at = (bytes.len() as f64 * place) as usize;
    let mut bytes = bytes.to_vec();
    match what {
        Damage::Cut => bytes.truncate(at),
        Damage::Byte(byte) => bytes[at] = *byte,
        Damage::Insert(text) => drop(bytes.splice(at..at, text.iter().copied())),
        Damage::Remove(count) => drop(bytes.drain(at..(at + count).min(bytes.len()))),
        Damage::Repeat(count) => {
            let again = bytes[at..(at + count).min(bytes.len())].to_vec();
            bytes.splice(at..at, again);
        }
    }
    bytes
}

struct Folder(PathBuf);

impl Folder {
    fn copy_of_demo() -> Self {
        static NUMBER: AtomicU32 = AtomicU32::new(0);
        let number = NUMBER.fetch_add(1, Ordering::Relaxed);
        let path =
            std::env::temp_dir().join(format!("tooth-hostile-{}-{number}", std::process::id()));
        fs::create_dir_all(path.join("photos")).unwrap();
        let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo");
        for file in FILES {
            fs::copy(demo.join(file), path.join(file)).unwrap();
        }
        // One small picture serves for all: reading pictures is not what is tried here.
        for entry in fs::read_dir(demo.join("photos")).unwrap() {
            let name = entry.unwrap().file_name();
            fs::copy(demo.join("photos/oil.jpg"), path.join("photos").join(name)).unwrap();
        }
        Self(path)
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        // What cannot be removed is left to the system's own cleaning.
        let _ = fs::remove_dir_all(&self.0);
    }
}

#[test]
fn an_open_quote_in_a_heading_is_one_short_line() {
    let folder = Folder::copy_of_demo();
    let path = folder.0.join("forecast.csv");
    let text = fs::read_to_string(&path).unwrap();
    fs::write(&path, format!("\"\"\"{text}")).unwrap();
    let faults = job_folder::read(&folder.0).unwrap_err();
    for fault in faults {
        let shown = told(&fault);
        assert!(shown.len() < 400 && !shown.contains('\n'), "{shown}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn damaged_files_give_faults_with_their_file_and_never_a_panic(
        changes in prop::collection::vec(damage(), 1..4),
    ) {
        let folder = Folder::copy_of_demo();
        for (file, place, what) in changes {
            let path = folder.0.join(FILES[file]);
            let bytes = fs::read(&path).unwrap();
            if !bytes.is_empty() {
                fs::write(&path, damaged(&bytes, place, &what)).unwrap();
            }
        }
        if let Err(faults) = job_folder::read(&folder.0) {
            prop_assert!(!faults.is_empty());
            for fault in faults {
                prop_assert!(FILES.contains(&fault.file.as_str()), "{fault:?}");
                prop_assert!(!fault.expected.is_nothing() && !fault.found.is_nothing(), "{fault:?}");
                prop_assert!(!told(&fault).contains('\n'), "{fault:?}");
            }
        }
    }
}
