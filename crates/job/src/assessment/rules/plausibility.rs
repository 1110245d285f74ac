//! Readings so unlikely that they count for nothing until a person stands by them.

use crate::assessment::finding::{Outcome, before_work};
use crate::assessment::look::Look;
use crate::survey::{Doubt, Matter, Reading};
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
