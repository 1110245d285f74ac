//! `sounding/`: recordings, each with its list of taps of the same name.

use std::collections::{BTreeMap, BTreeSet};

use tooth_job::survey::{FeatureId, TapSurvey};
use tooth_measure::say::said;
use tooth_record::FileHash;
use tooth_sounding::Sounding;

use super::files::{Files, Refused};
use crate::recording::{hear_bytes, recording_name, taps};
use crate::text::{Fault, Faults};

/// Tap surveys by name. Lists, and the hashes of recordings, are noted in `read`.
pub(super) fn read(
    files: &dyn Files,
    faults: &Faults,
    read: &mut Vec<(String, Vec<u8>)>,
) -> Vec<TapSurvey> {
    let mut recordings: BTreeMap<String, Vec<String>> = BTreeMap::new();
    let mut lists = BTreeSet::new();
    for name in files.listed("sounding") {
        if let Some(stem) = name.strip_suffix(".csv") {
            lists.insert(stem.to_owned());
        } else if let Some(stem) = recording_name(&name) {
            recordings.entry(stem.to_owned()).or_default().push(name.clone());
        }
    }
    for (stem, names) in recordings.iter().filter(|(stem, _)| !lists.contains(*stem)) {
        faults.warn(
            &format!("sounding/{}", names.concat()),
            None,
            "",
            said!("its-list-of-taps", stem = stem),
            said!("none-it-counts-for-nothing"),
        );
    }
    let mut surveys = Vec::new();
    for stem in &lists {
        let list = format!("sounding/{stem}.csv");
        let named = recordings.get(stem).map_or(&[][..], Vec::as_slice);
        let [recording] = named else {
            faults.refuse(
                &list,
                None,
                "",
                said!("one-recording-beside-it", stem = stem),
                if named.is_empty() { said!("none") } else { named.join(", ").into() },
            );
            continue;
        };
        match survey(files, stem, &list, recording, read) {
            Ok((survey, warnings)) => {
                for warning in warnings {
                    faults.warn(&warning.file, None, "", warning.expected, warning.found);
                }
                if !survey.is_established() {
                    faults.warn(
                        &list,
                        None,
                        "known",
                        said!("a-few-known-good-taps-or-one-opened-hollow-spot"),
                        said!("none-that-tell-which-taps-are-hollow-is-not-established"),
                    );
                }
                surveys.push(survey);
            }
            Err(refused) => {
                for fault in refused {
                    faults.refuse(
                        &fault.file,
                        fault.line,
                        &fault.field,
                        fault.expected,
                        fault.found,
                    );
                }
            }
        }
    }
    surveys
}

fn survey(
    files: &dyn Files,
    stem: &str,
    list: &str,
    recording: &str,
    read: &mut Vec<(String, Vec<u8>)>,
) -> Result<(TapSurvey, Vec<Fault>), Vec<Fault>> {
    let place = format!("sounding/{recording}");
    let refuse =
        |file: &str, (expected, found): Refused| vec![Fault::new(file, None, "", expected, found)];
    let name =
        FeatureId::new(&format!("tap-{stem}-000")).and(FeatureId::new(stem)).ok_or_else(|| {
            refuse(list, (said!("a-name-of-letters-digits"), format!("`{stem}`").into()))
        })?;
    let text = files
        .evidence("sounding", &format!("{stem}.csv"))
        .map_err(|refused| refuse(list, refused))?;
    let text = String::from_utf8(text)
        .map_err(|_| refuse(list, (said!("text-in-utf-8"), said!("other-bytes"))))?;
    let marks = taps(list, &text)?;
    if marks.iter().any(|mark| mark.place.is_none()) {
        let expected = said!("a-place-of-each-tap-x-m-and-y-m-or-x-ft-and-y-ft");
        return Err(refuse(list, (expected, said!("none"))));
    }
    let bytes = files.evidence("sounding", recording).map_err(|refused| refuse(&place, refused))?;
    let hash = FileHash::of(&bytes);
    let heard = hear_bytes(&place, bytes).map_err(|fault| vec![fault])?;
    let sounding = Sounding::of(&heard.heard, &marks, None).map_err(|refusal| {
        refuse(&place, (said!("the-taps-of-its-list-in-their-order"), refusal.said()))
    })?;
    read.push((list.to_owned(), text.into_bytes()));
    read.push((place, hash.to_string().into_bytes()));
    Ok((TapSurvey { name, sounding }, heard.warnings))
}
