//! What was read and counts for nothing, or for less than it seems: told, with its place.

use tooth_job::survey::{About, Astray, CrackMovement, Measured, Seen, Survey};
use tooth_measure::choice::Choice as _;
use tooth_measure::say::{Said, said};

use super::plan::Lines;
use super::{PLAN, READINGS};
use crate::text::Faults;

/// Warns of readings that belong to no area or mark, and of a crack called dormant by nobody.
pub(super) fn warn(survey: &Survey, marks: &Lines, readings: &[u32], faults: &Faults) {
    for (reading, line) in survey.readings.iter().zip(readings) {
        let Err(astray) = survey.belonging(reading) else { continue };
        // A mark that could not be read, or is not there, has a fault of its own.
        let named = reading.subject.as_ref();
        if named.is_some_and(|id| survey.features.iter().all(|mark| mark.id != *id)) {
            continue;
        }
        let Some((field, expected, found)) = words(astray) else { continue };
        let field = format!("{}.{field}", reading.id);
        faults.warn(READINGS, Some(*line), &field, expected, found);
    }
    for feature in &survey.features {
        let Seen::Crack { movement: CrackMovement::Dormant, said: None, .. } = feature.seen else {
            continue;
        };
        let mut about = survey.readings_about(feature);
        let gauged = about.any(|reading| matches!(reading.measured, Measured::CrackGauge(_)));
        // Where there are no readings at all, that alone is said.
        if !gauged && !survey.readings.is_empty() {
            faults.warn(
                PLAN,
                marks.of(feature.id.as_str()),
                &format!("{}.movement", feature.id),
                said!("who-says-it-is-dormant-or-two-gauge-readings"),
                CrackMovement::Dormant.key(),
            );
        }
    }
}

/// Field, what was expected and what was found; none where something else says it.
fn words(astray: Astray) -> Option<(&'static str, Said, Said)> {
    let told = |field, expected: Said, found: Said| Some((field, expected, found));
    match astray {
        Astray::NoArea => {
            told("zone", said!("a-zone-or-a-place"), said!("neither-it-counts-for-no-area"))
        }
        Astray::MarkOutsideAreas => told(
            "subject",
            said!("a-mark-in-a-zone"),
            said!("a-mark-outside-all-zones-it-counts-for-no-area"),
        ),
        // The place itself is warned of.
        Astray::OutsideAreas => None,
        Astray::NoSuchMark(About::Oil) => told(
            "subject",
            said!("a-stain-of-oil-of-the-plan"),
            said!("none-there-nothing-is-cut-out-for-it-until-one-is-drawn"),
        ),
        Astray::NoSuchMark(about) => told(
            "subject",
            said!("one-of-the-plan", what = mark(about)),
            said!("none-there-it-counts-for-nothing-until-one-is-drawn"),
        ),
        Astray::OtherMark(about) => {
            told("subject", mark(about), said!("a-mark-of-another-kind-it-counts-for-nothing"))
        }
        Astray::WhichMark(about) => told(
            "subject",
            said!("which-one", what = mark(about)),
            said!("a-zone-with-several-it-counts-for-none-of-them"),
        ),
        Astray::NotWeighed => told(
            "kind",
            said!("a-kind-that-some-rule-weighs-chip-rating-or-a-scan"),
            said!("a-figure-that-is-kept-and-printed-and-decides-nothing"),
        ),
    }
}

fn mark(about: About) -> Said {
    match about {
        About::Crack => said!("a-crack"),
        About::Oil => said!("a-stain-of-oil"),
        About::LowSpot => said!("a-low-spot"),
        About::Repair => said!("a-hollow-or-broken-out-place"),
        About::Film => said!("a-film"),
        About::Area | About::Work | About::Record => said!("a-mark"),
    }
}
