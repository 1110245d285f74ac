//! Readings so unlikely that they count for nothing until a person stands by them.

use crate::assessment::finding::{Outcome, before_work};
use crate::assessment::look::Look;
use crate::survey::{Doubt, Matter, Reading};

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
        let slip = if doubt.slip.is_empty() {
            String::new()
        } else {
            format!("; {} are easily mixed up", doubt.slip)
        };
        let each = readings.iter().map(|(reading, doubt)| format!("{} {}", reading.id, doubt.value));
        Some(before_work(
            Matter::Plausibility,
            format!(
                "whether {} is right ({}): usual is {} to {}{slip}",
                each.collect::<Vec<_>>().join(", "),
                kind.replace('_', " "),
                doubt.usual.0,
                doubt.usual.1,
            ),
            "look at the instrument and the note again; correct it, or confirm it by name and date; until then it counts for nothing",
            readings.len() as u32,
        ))
    });
    said.collect()
}
