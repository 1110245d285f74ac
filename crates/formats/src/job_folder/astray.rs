//! What was read and counts for nothing, or for less than it seems: told, with its place.

use tooth_job::survey::{About, Astray, CrackMovement, Measured, Seen, Survey};

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
                "who says so and when (movement_by, movement_on), or two gauge readings a day apart: until then it counts as not known",
                "dormant",
            );
        }
    }
}

/// Field, what was expected and what was found; none where something else says it.
fn words(astray: Astray) -> Option<(&'static str, String, String)> {
    let said =
        |field, expected: &str, found: &str| Some((field, expected.to_owned(), found.to_owned()));
    match astray {
        Astray::NoArea => said("zone", "a zone or a place", "neither: it counts for no area"),
        Astray::MarkOutsideAreas => {
            said("subject", "a mark in a zone", "a mark outside all zones: it counts for no area")
        }
        // The place itself is warned of.
        Astray::OutsideAreas => None,
        Astray::NoSuchMark(About::Oil) => said(
            "subject",
            "a stain of oil of the plan",
            "none there: nothing is cut out for it until one is drawn",
        ),
        Astray::NoSuchMark(about) => said(
            "subject",
            &format!("{} of the plan", mark(about)),
            "none there: it counts for nothing until one is drawn and named",
        ),
        Astray::OtherMark(about) => {
            said("subject", mark(about), "a mark of another kind: it counts for nothing")
        }
        Astray::WhichMark(about) => said(
            "subject",
            &format!("which one: {}", mark(about)),
            "a zone with several: it counts for none of them",
        ),
        Astray::NotWeighed => said(
            "kind",
            "a kind that some rule weighs (chip_rating or a scan for the profile)",
            "a figure that is kept and printed and decides nothing",
        ),
    }
}

fn mark(about: About) -> &'static str {
    match about {
        About::Crack => "a crack",
        About::Oil => "a stain of oil",
        About::LowSpot => "a low spot",
        About::Repair => "a hollow or broken-out place",
        About::Film => "a film",
        About::Area | About::Work | About::Record => "a mark",
    }
}
