//! Readings so unlikely that they count for nothing until a person stands by them.

use crate::assessment::finding::{Evidence, Finding, FindingState, Outcome, before_work, found};
use crate::assessment::look::{Look, of_reading};
use crate::survey::{Doubt, Matter, Reading};
use tooth_measure::Source;
use tooth_measure::say::{Joint, Said, listed, said};

/// One question for the readings of each kind that were put aside.
pub(in crate::assessment) fn plausibility(look: &Look<'_>) -> Vec<Outcome> {
    let mut kinds: Vec<(&'static str, Vec<&(Reading, Doubt)>)> = Vec::new();
    for held in look.survey.questioned_of(look.zone) {
        let kind = held.0.measured.kind();
        match kinds.iter_mut().find(|(known, _)| *known == kind) {
            Some((_, readings)) => readings.push(held),
            None => kinds.push((kind, vec![held])),
        }
    }
    let said = kinds.into_iter().filter_map(|(kind, readings)| {
        let (_, doubt) = readings.first()?;
        let slip = match &doubt.slip {
            Some(slip) => said!("are-easily-mixed-up", slip = slip),
            None => Said::nothing(),
        };
        let each = readings.iter().map(|(reading, doubt)| {
            said!("mark-and-value", mark = &reading.id, value = doubt.value.clone())
        });
        Some(before_work(
            Matter::Plausibility,
            said!(
                "whether-it-is-right",
                readings = listed(Joint::Comma, each),
                kind = Said::listed("Measured", kind),
                low = doubt.usual.0.clone(),
                high = doubt.usual.1.clone(),
                slip = slip
            ),
            said!("look-at-the-instrument-and-the-note"),
            readings.len() as u32,
        ))
    });
    said.collect()
}

/// Readings of the zone on which no finding rests: nothing that was read is dropped in silence.
pub(in crate::assessment) fn unused(look: &Look<'_>, findings: &[Finding]) -> Option<Outcome> {
    let rests = |reading: &&Reading| {
        let reading = of_reading(reading);
        findings.iter().any(|finding| finding.evidence.contains(&reading))
    };
    // What belongs nowhere is told when the folder is read.
    let belongs = |reading: &&Reading| look.survey.belonging(reading).is_ok();
    let here = look.survey.readings_of(look.zone).filter(belongs);
    let idle: Vec<&Reading> = here.filter(|reading| !rests(reading)).collect();
    if idle.is_empty() {
        return None;
    }
    let mut kinds: Vec<(&'static str, usize)> = Vec::new();
    for reading in &idle {
        let kind = reading.measured.kind();
        match kinds.iter_mut().find(|(known, _)| *known == kind) {
            Some((_, count)) => *count += 1,
            None => kinds.push((kind, 1)),
        }
    }
    let each = kinds.into_iter().map(|(kind, count)| {
        said!("reading-of-kind", count = count, kind = Said::listed("Measured", kind))
    });
    let evidence: Vec<Evidence> = idle.iter().map(|reading| of_reading(reading)).collect();
    Some(found(
        Matter::Plausibility,
        FindingState::Fine,
        said!("no-finding-rests-on-these", kinds = listed(Joint::Comma, each)),
        evidence,
        Source::COMMON_PRACTICE,
    ))
}
