//! Moisture and pH against the system's own limits. The limits for resilient
//! flooring are no default here.

use tooth_measure::say::{Argument, Said, both, percent, said};
use tooth_measure::{Certainty, Length, Quantity as _, Source};

use crate::assessment::counts::FieldTest;
use crate::assessment::finding::{
    Ask, Evidence, FindingState, JobFact, Outcome, before_work, deciding, found,
};
use crate::assessment::look::{Look, of_readings};
use crate::survey::{
    DampOrDry, Matter, Measured, MoistureDecided, MoistureWay, Presence, Reading, Support,
    SystemClass,
};

const CODE: Matter = Matter::Moisture;

/// Humidity and emission limits, and the drying date that nobody may promise.
pub(crate) fn moisture(look: &Look<'_>) -> Vec<Outcome> {
    let mut said = Vec::new();
    let humidity = look.readings(|m| match m {
        Measured::InSlabHumidity(share) => Some(*share),
        _ => None,
    });
    let humidity = latest(humidity, look.needed(FieldTest::InSlabHumidity));
    let emission = look.readings(|m| match m {
        Measured::MoistureEmission(rate) => Some(*rate),
        _ => None,
    });
    let emission = latest(emission, look.needed(FieldTest::MoistureEmission));
    let sheets = look.readings(|m| match m {
        Measured::PlasticSheet(state) => Some(*state),
        _ => None,
    });
    let limits = (look.system.most_in_slab_humidity, look.system.most_moisture_emission);
    let decided = look.survey.moisture_decided(&look.zone.id);
    let no_limit = decided.is_some_and(|decided| decided.way == MoistureWay::NoLimit);
    if limits == (None, None) && look.system.over.is_some() {
        said.push(deciding(
            CODE,
            said!("the-moisture-limit-of-the-coat"),
            said!("read-the-sheet-of-the-coat"),
            1,
        ));
    } else if limits == (None, None) && !no_limit {
        if look.system.class == SystemClass::Stain || look.system.class == SystemClass::Sealer {
            said.push(before_work(
                CODE,
                said!("the-moisture-limit-of-the-system"),
                said!("read-the-system-data-sheet-many"),
                1,
            ));
        } else {
            said.push(deciding(
                CODE,
                said!("the-moisture-limit-of-the-system"),
                said!("read-the-system-data-sheet"),
                1,
            ));
        }
    }
    let fails = limits
        .0
        .is_some_and(|most| highest(&humidity).is_some_and(|worst| worst.exceeds(most)))
        || limits.1.is_some_and(|most| highest(&emission).is_some_and(|worst| worst.exceeds(most)));
    said.extend(decided.and_then(|decided| as_decided(look, decided, fails)));
    if let Some(most) = limits.0 {
        let worst = highest(&humidity);
        let over = worst.is_some_and(|w| w.exceeds(most));
        said.extend(judge(
            look,
            FieldTest::InSlabHumidity,
            said!("in-slab-humidity-probes-at-40"),
            &humidity,
            [over, fails],
            worst.map(|w| (percent(w), percent(most))),
        ));
    }
    if let Some(most) = limits.1 {
        let worst = highest(&emission);
        let over = worst.is_some_and(|w| w.exceeds(most));
        said.extend(judge(
            look,
            FieldTest::MoistureEmission,
            said!("moisture-emission-dishes-for-60-to-72"),
            &emission,
            [over, fails],
            worst.map(|w| (both(w), both(most))),
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
            said!("a-taped-sheet-came-up-damp-measure"),
            of_readings(&damp),
            Source::new("title-astm-d4263-any-moisture-under-the-sheet-fails", Certainty::Seen),
        ));
    }
    let read = humidity.iter().map(|(r, _)| r.time).chain(emission.iter().map(|(r, _)| r.time));
    if !damp.is_empty() && !read.into_iter().any(since) {
        said.push(deciding(
            CODE,
            said!("how-wet-the-slab-is-since"),
            said!("in-slab-humidity-probes-or-emission", locate_first = look.locate_first()),
            3,
        ));
    }
    said
}

/// What somebody decided, told as a finding; none where the plan cannot follow it.
fn as_decided(look: &Look<'_>, decided: &MoistureDecided, fails: bool) -> Option<Outcome> {
    let reference = decided.reference.as_ref();
    let reference = reference.map_or_else(Said::nothing, |on| said!("decided-on", reference = on));
    let who = said!(
        "decided-by",
        by = &decided.by,
        on = decided.on.to_string(),
        reason = &decided.reason,
        reference = reference
    );
    let (state, reason) = match decided.way {
        MoistureWay::Mitigate if look.system.over.is_some() => {
            (FindingState::Prepare, said!("moisture-mitigated", who = who))
        }
        // A coat would show through, or the catalogue has none.
        MoistureWay::Mitigate => (FindingState::Decide, said!("moisture-not-mitigated", who = who)),
        MoistureWay::Wait if !fails => return None,
        MoistureWay::Wait => (FindingState::Decide, said!("moisture-waited-for", who = who)),
        // A sheet that names a limit is not read away.
        MoistureWay::NoLimit if look.system.names_a_moisture_limit() => {
            (FindingState::Decide, said!("moisture-limit-is-named", who = who))
        }
        MoistureWay::NoLimit => (FindingState::Fine, said!("moisture-no-limit", who = who)),
    };
    let evidence = vec![Evidence::Job(JobFact::MoistureDecision)];
    Some(found(CODE, state, reason, evidence, Source::COMMON_PRACTICE))
}

/// A slab dries: of readings at one place the last counts, and a whole set that was read a day
/// or more after the others stands for them.
fn latest<Q: Copy>(readings: Vec<(&Reading, Q)>, needed: u32) -> Vec<(&Reading, Q)> {
    let near = |one: &Reading, other: &Reading| match (one.place, other.place) {
        (Some(one), Some(other)) => one.distance(other) < Length::from_metres(0.1),
        _ => false,
    };
    let replaced = |held: &Reading| {
        readings.iter().any(|(later, _)| later.time > held.time && near(later, held))
    };
    let mut kept: Vec<(&Reading, Q)> =
        readings.iter().filter(|(held, _)| !replaced(held)).copied().collect();
    kept.sort_by_key(|(held, _)| held.time);
    let a_day = jiff::Span::new().hours(24);
    let split = (1..kept.len()).rev().find(|at| {
        let before = kept[at - 1].0.time.checked_add(a_day);
        kept.len() - at >= needed as usize && before.is_ok_and(|end| kept[*at].0.time >= end)
    });
    kept.split_off(split.unwrap_or(0))
}

fn highest<Q: Copy + PartialOrd>(readings: &[(&Reading, Q)]) -> Option<Q> {
    readings.iter().map(|(_, value)| *value).reduce(|a, b| if b > a { b } else { a })
}

/// One kind of moisture test: how many are missing, and the highest against the limit.
fn judge<Q>(
    look: &Look<'_>,
    test: FieldTest,
    how: Said,
    readings: &[(&Reading, Q)],
    [over, decided]: [bool; 2],
    shown: Option<(Argument, Argument)>,
) -> Vec<Outcome> {
    let mut said = Vec::new();
    let missing = look.needed(test).saturating_sub(readings.len() as u32);
    // More readings cannot bring a failed one back below the limit.
    if missing > 0 && !over {
        let consent = if look.system.see_through {
            said!("in-hidden-places-with-the-owner")
        } else {
            Said::nothing()
        };
        // One kind of test over its limit decides; the other is still due.
        let ask = if decided { before_work } else { deciding };
        said.push(
            ask(
                CODE,
                said!("how-wet-the-slab"),
                said!(
                    "moisture-test-where",
                    how = how.clone(),
                    consent = consent,
                    locate_first = look.locate_first()
                ),
                missing,
            )
            .about(Ask::Moisture),
        );
    }
    let Some((worst, limit)) = shown else {
        return said;
    };
    let mut evidence = of_readings(readings);
    let waits = look
        .survey
        .moisture_decided(&look.zone.id)
        .is_some_and(|decided| decided.way == MoistureWay::Wait);
    if over && waits {
        // It is decided: what is left is to read again.
        said.push(found(
            CODE,
            FindingState::Decide,
            said!("highest-reading-limit-waits", worst = worst, limit = limit),
            evidence,
            Source::DATA_SHEET,
        ));
        said.push(before_work(
            CODE,
            said!("how-wet-the-slab-is-once-it-has-waited"),
            said!(
                "moisture-test-where",
                how = how,
                consent = Said::nothing(),
                locate_first = look.locate_first()
            ),
            look.needed(test),
        ));
    } else if over {
        evidence.push(Evidence::Job(JobFact::VapourRetarder));
        let slab = &look.survey.facts.slab;
        let no_date =
            slab.support != Support::Suspended && slab.vapour_retarder != Presence::Present;
        let drying = if no_date { said!("no-drying-date-can-be-given") } else { Said::nothing() };
        said.push(found(
            CODE,
            FindingState::Decide,
            said!(
                "highest-reading-limit-wait-mitigate",
                worst = worst,
                limit = limit,
                drying = drying
            ),
            evidence,
            Source::DATA_SHEET,
        ));
    } else if missing == 0 {
        said.push(found(
            CODE,
            FindingState::Fine,
            said!(
                "highest-of-readings-limit",
                count = readings.len(),
                worst = worst,
                limit = limit
            ),
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
            said!(
                "of-ph-readings-lie-outside-to-rinse",
                count = outside.len(),
                count_2 = readings.len(),
                ph = low.ph(),
                ph_2 = high.ph()
            ),
            of_readings(&outside),
            Source::DATA_SHEET,
        ));
    } else if !readings.is_empty() {
        said.push(found(
            PH,
            FindingState::Fine,
            said!("ph-readings-within", count = readings.len(), ph = low.ph(), ph_2 = high.ph()),
            of_readings(&readings),
            Source::DATA_SHEET,
        ));
    }
    said
}
