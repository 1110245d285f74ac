//! Moisture and pH against the system's own limits. The limits for resilient
//! flooring are no default here.

use tooth_measure::show::Show;
use tooth_measure::{Certainty, Quantity as _, Source};

use crate::assessment::counts::FieldTest;
use crate::assessment::finding::{
    Ask, Evidence, FindingState, JobFact, Outcome, before_work, deciding, found,
};
use crate::assessment::look::{Look, of_readings};
use crate::survey::{DampOrDry, Matter, Measured, Presence, Reading, Support, SystemClass};

const CODE: Matter = Matter::Moisture;

/// Humidity and emission limits, and the drying date that nobody may promise.
pub(crate) fn moisture(look: &Look<'_>) -> Vec<Outcome> {
    let mut said = Vec::new();
    let humidity = look.readings(|m| match m {
        Measured::InSlabHumidity(share) => Some(*share),
        _ => None,
    });
    let emission = look.readings(|m| match m {
        Measured::MoistureEmission(rate) => Some(*rate),
        _ => None,
    });
    let sheets = look.readings(|m| match m {
        Measured::PlasticSheet(state) => Some(*state),
        _ => None,
    });
    let limits = (look.system.most_in_slab_humidity, look.system.most_moisture_emission);
    if limits == (None, None) {
        if look.system.class == SystemClass::Stain || look.system.class == SystemClass::Sealer {
            said.push(before_work(
                CODE,
                "the moisture limit of the system",
                "read the system's data sheet; many breathable finishes have none",
                1,
            ));
        } else {
            said.push(deciding(
                CODE,
                "the moisture limit of the system",
                "read the system's data sheet",
                1,
            ));
        }
    }
    let fails = limits
        .0
        .is_some_and(|most| highest(&humidity).is_some_and(|worst| worst.exceeds(most)))
        || limits.1.is_some_and(|most| highest(&emission).is_some_and(|worst| worst.exceeds(most)));
    if let Some(most) = limits.0 {
        let worst = highest(&humidity);
        let over = worst.is_some_and(|w| w.exceeds(most));
        said.extend(judge(
            look,
            FieldTest::InSlabHumidity,
            "in-slab humidity probes at 40 % of the depth (20 % where it dries both ways), after 24 h in the hole",
            &humidity,
            [over, fails],
            worst.map(|w| (w.show_percent(), most.show_percent())),
        ));
    }
    if let Some(most) = limits.1 {
        let worst = highest(&emission);
        let over = worst.is_some_and(|w| w.exceeds(most));
        said.extend(judge(
            look,
            FieldTest::MoistureEmission,
            "moisture emission dishes for 60 to 72 h on concrete ground bare a day before",
            &emission,
            [over, fails],
            worst.map(|w| (w.show_both(look.units()), most.show_both(look.units()))),
        ));
    }
    let damp: Vec<_> =
        sheets.iter().filter(|(_, state)| *state == DampOrDry::Damp).copied().collect();
    // Measured since, against a limit: the sheet adds nothing.
    let last_damp = damp.iter().map(|(reading, _)| reading.time).max();
    let since = |time| last_damp.is_some_and(|damp| time >= damp);
    let measured = limits.0.is_some() && humidity.iter().any(|(r, _)| since(r.time))
        || limits.1.is_some() && emission.iter().any(|(r, _)| since(r.time));
    if !damp.is_empty() && !measured {
        said.push(found(
            CODE,
            FindingState::Hold,
            "A taped sheet came up damp: measure before anything is laid.",
            of_readings(&damp),
            Source::new(
                "ASTM D4263: any moisture under the sheet fails; a dry sheet proves nothing",
                Certainty::Seen,
            ),
        ));
    }
    let read = humidity.iter().map(|(r, _)| r.time).chain(emission.iter().map(|(r, _)| r.time));
    if !damp.is_empty() && !read.into_iter().any(since) {
        said.push(deciding(
            CODE,
            "how wet the slab is, since a taped sheet came up damp",
            format!("in-slab humidity probes or emission dishes{}", look.locate_first()),
            3,
        ));
    }
    said
}

fn highest<Q: Copy + PartialOrd>(readings: &[(&Reading, Q)]) -> Option<Q> {
    readings.iter().map(|(_, value)| *value).reduce(|a, b| if b > a { b } else { a })
}

/// One kind of moisture test: how many are missing, and the highest against the limit.
fn judge<Q>(
    look: &Look<'_>,
    test: FieldTest,
    how: &str,
    readings: &[(&Reading, Q)],
    [over, decided]: [bool; 2],
    shown: Option<(String, String)>,
) -> Vec<Outcome> {
    let mut said = Vec::new();
    let missing = look.needed(test).saturating_sub(readings.len() as u32);
    // More readings cannot bring a failed one back below the limit.
    if missing > 0 && !over {
        let consent = if look.system.see_through {
            ", in hidden places with the owner's consent"
        } else {
            ""
        };
        // One kind of test over its limit decides; the other is still due.
        let ask = if decided { before_work } else { deciding };
        said.push(
            ask(
                CODE,
                "how wet the slab is",
                format!("{how}{consent}{}", look.locate_first()),
                missing,
            )
            .about(Ask::Moisture),
        );
    }
    let Some((worst, limit)) = shown else {
        return said;
    };
    let mut evidence = of_readings(readings);
    if over {
        evidence.push(Evidence::Job(JobFact::VapourRetarder));
        let slab = &look.survey.facts.slab;
        let no_date =
            slab.support != Support::Suspended && slab.vapour_retarder != Presence::Present;
        let drying = if no_date {
            " No drying date can be given: the vapour retarder below is absent, failed or not known, so water keeps coming."
        } else {
            ""
        };
        said.push(found(
            CODE,
            FindingState::Decide,
            format!("Highest reading {worst}, limit {limit}: wait, mitigate, choose a breathable system, or refuse.{drying}"),
            evidence,
            Source::DATA_SHEET,
        ));
    } else if missing == 0 {
        said.push(found(
            CODE,
            FindingState::Fine,
            format!("Highest of {} readings {worst}, limit {limit}.", readings.len()),
            evidence,
            Source::DATA_SHEET,
        ));
    }
    said
}

/// Surface pH against the sheet.
pub(crate) fn surface_ph(look: &Look<'_>) -> Vec<Outcome> {
    const PH: Matter = Matter::SurfacePh;
    let Some((low, high)) = look.system.ph else {
        return Vec::new();
    };
    let readings = look.readings(|m| match m {
        Measured::SurfacePh(ph) => Some(*ph),
        _ => None,
    });
    let mut said = Vec::new();
    // Asked for after a rinse, by the plan that rinses; here only what was read counts.
    let outside: Vec<_> =
        readings.iter().filter(|(_, ph)| *ph < low || *ph > high).copied().collect();
    if !outside.is_empty() {
        said.push(found(
            PH,
            FindingState::Prepare,
            format!(
                "{} of {} pH readings lie outside {} to {}: rinse, and read again.",
                outside.len(),
                readings.len(),
                low.ph(),
                high.ph()
            ),
            of_readings(&outside),
            Source::DATA_SHEET,
        ));
    } else if !readings.is_empty() {
        said.push(found(
            PH,
            FindingState::Fine,
            format!("{} pH readings within {} to {}.", readings.len(), low.ph(), high.ph()),
            of_readings(&readings),
            Source::DATA_SHEET,
        ));
    }
    said
}
