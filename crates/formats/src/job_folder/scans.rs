//! `texture/`: scans of the surface with their list, `texture/scans.csv`, and scans of the
//! user's own comparator chips in `texture/calibration/`.

use std::collections::BTreeSet;

use tooth_job::survey::{ChipCalibration, FeatureId, SurfaceScan};
use tooth_measure::say::said;
use tooth_measure::{Length, Quantity as _};
use tooth_record::FileHash;
use tooth_texture::calibration::{Calibration, Level};
use tooth_texture::{Form, Texture, Treatment};

use super::files::Files;
use super::plan::PlanUnit;
use super::readings::place;
use crate::scan::calibration::{InMemory, Learnt, on};
use crate::scan::{Asked, Threads, scan_bytes, scan_name};
use crate::text::{Faults, Fields, rows};

const FOLDER: &str = "texture";
const LIST: &str = "texture/scans.csv";
const CALIBRATION: &str = "texture/calibration";
const COLUMNS: &[&str] = &["file", "x", "y", "spacing_mm", "unit", "time", "by"];
/// Heights a side that are kept for drawing.
const DRAWN: usize = 240;
/// Scans of a job at most.
const SCANS: usize = 500;
/// The bandwidth of figures in documents.
const TREATMENT: Treatment = Treatment {
    form: Form::Plane,
    s_filter: Some(Length::from_millimetres(0.5)),
    l_filter: Some(Length::from_millimetres(25.0)),
    robust: false,
};

/// Scans by name, and what they are compared with. Lists, and the hashes of scans, are noted
/// in `read`.
pub(super) fn read(
    files: &dyn Files,
    unit: Option<PlanUnit>,
    faults: &Faults,
    read: &mut Vec<(String, Vec<u8>)>,
) -> (Vec<SurfaceScan>, Option<ChipCalibration>) {
    let names = files.listed(FOLDER);
    if !names.iter().any(|name| name == "scans.csv") {
        for name in names.iter().filter(|name| scan_name(name).is_some()) {
            let expected = said!("its-row-in", list = LIST);
            let found = said!("no-such-list-it-counts-for-nothing");
            faults.warn(&format!("{FOLDER}/{name}"), None, "", expected, found);
        }
        return (Vec::new(), None);
    }
    let learnt = calibration(files, faults, read);
    let calibration = learnt.as_ref().map(|learnt| &learnt.calibration);
    let text = match files.evidence(FOLDER, "scans.csv").map(String::from_utf8) {
        Ok(Ok(text)) => text,
        Ok(Err(_)) => {
            faults.refuse(LIST, None, "", said!("text-in-utf-8"), said!("other-bytes"));
            return (Vec::new(), None);
        }
        Err((expected, found)) => {
            faults.refuse(LIST, None, "", expected, found);
            return (Vec::new(), None);
        }
    };
    let mut scans = Vec::new();
    let mut known = BTreeSet::new();
    let list = rows(LIST, &text, COLUMNS, &["file", "x", "y", "time", "by"], faults);
    if list.len() > SCANS {
        faults.refuse(LIST, None, "", said!("at-most-scans", most = SCANS), list.len().to_string());
        return (Vec::new(), None);
    }
    for row in &list {
        let fields = Fields::of(LIST, "", row, faults);
        if let Some(scan) = scanned(&fields, files, unit, calibration, read) {
            if known.insert(scan.name.clone()) {
                scans.push(scan);
            } else {
                fields.refuse(
                    "file",
                    said!("each-scan-once"),
                    said!("again", name = scan.name.to_string()),
                );
            }
        }
    }
    read.push((LIST.to_owned(), text.into_bytes()));
    scans.sort_by(|a, b| a.name.cmp(&b.name));
    let chips = learnt.map(|learnt| ChipCalibration::of(&learnt.calibration, learnt.chips));
    (scans, chips)
}

fn scanned(
    row: &Fields<'_>,
    files: &dyn Files,
    unit: Option<PlanUnit>,
    calibration: Option<&Calibration>,
    read: &mut Vec<(String, Vec<u8>)>,
) -> Option<SurfaceScan> {
    let (file, at, time, by) =
        (row.text("file"), place(row, unit), row.time("time"), row.text("by"));
    let length = |field: &str, text: String| match Length::parse(&text) {
        Ok(length) if length.millimetres() > 0.0 => Some(length),
        _ => {
            row.refuse(field, said!("a-length-above-nothing"), format!("`{text}`"));
            None
        }
    };
    let asked = Asked {
        spacing: row
            .maybe_text("spacing_mm")
            .and_then(|text| length("spacing_mm", format!("{text} mm"))),
        unit: row.maybe_text("unit").and_then(|text| length("unit", format!("1 {text}"))),
    };
    let file = file?;
    let Some(name) = scan_name(&file).and_then(FeatureId::new) else {
        row.refuse("file", said!("a-scan-in-texture-named-by-letters-digits"), format!("`{file}`"));
        return None;
    };
    let bytes = match files.evidence(FOLDER, &file) {
        Ok(bytes) => bytes,
        Err((expected, found)) => {
            row.refuse("file", expected, found);
            return None;
        }
    };
    let whole = format!("{FOLDER}/{file}");
    read.push((whole.clone(), FileHash::of(&bytes).to_string().into_bytes()));
    let scan = match scan_bytes(&whole, bytes, &asked) {
        Ok(scan) => scan,
        Err(fault) => {
            row.refuse("file", fault.expected, fault.found);
            return None;
        }
    };
    for warning in scan.warnings {
        row.warn("file", warning.expected, warning.found);
    }
    let level = Level::of(calibration, &scan.map, None, &Threads);
    // A scan too coarse or small for the usual bandwidth has figures without it.
    let treatment =
        if TREATMENT.check(&scan.map).is_ok() { TREATMENT } else { Treatment::default() };
    let texture = match Texture::of(scan.map, &treatment, &Threads) {
        Ok(texture) => texture.thinned(DRAWN),
        Err(refusal) => {
            row.refuse("file", said!("a-scan-with-heights"), refusal.said());
            return None;
        }
    };
    Some(SurfaceScan { name, place: at?, by: by?, time: time?, texture, level })
}

fn calibration(
    files: &dyn Files,
    faults: &Faults,
    read: &mut Vec<(String, Vec<u8>)>,
) -> Option<Learnt> {
    let names = files.listed(CALIBRATION);
    if !names.iter().any(|name| name == "chips.csv") {
        return None;
    }
    for name in &names {
        if let Ok(bytes) = files.evidence(CALIBRATION, name) {
            let hash = FileHash::of(&bytes).to_string().into_bytes();
            read.push((format!("{CALIBRATION}/{name}"), hash));
        }
    }
    match on(&InMemory(&|name| files.evidence(CALIBRATION, name).ok()), &Threads) {
        Ok(mut learnt) => {
            for fault in std::mem::take(&mut learnt.warnings) {
                let file = format!("{CALIBRATION}/{}", fault.file);
                faults.warn(&file, fault.line, &fault.field, fault.expected, fault.found);
            }
            Some(learnt)
        }
        Err(refused) => {
            for fault in refused {
                let file = format!("{CALIBRATION}/{}", fault.file);
                faults.refuse(&file, fault.line, &fault.field, fault.expected, fault.found);
            }
            None
        }
    }
}
