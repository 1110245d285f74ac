//! What the owner will see: marks under see-through finishes, agreed exposure,
//! consent to marking tests, and the sample panel.

use tooth_measure::Source;

use crate::assessment::finding::{FindingState, Outcome, before_work, deciding, found};
use crate::assessment::look::{Look, of_feature, of_reading};
use crate::choice::Choice as _;
use crate::survey::Seen;

/// Ghosts, exposure and consent where the concrete shows.
pub(crate) fn see_through(look: &Look<'_>) -> Vec<Outcome> {
    const CODE: &str = "see_through";
    if !look.system.see_through {
        return Vec::new();
    }
    let mut said = Vec::new();
    for feature in look.features() {
        let Seen::Ghost { of } = &feature.seen else {
            continue;
        };
        said.push(found(
            CODE,
            FindingState::Hold,
            format!(
                "{}: {of} will show through the finish. Show it to the owner on the sample panel.",
                feature.id
            ),
            vec![of_feature(feature)],
            Source::COMMON_PRACTICE,
        ));
    }
    if !look.extent.patches.is_empty() {
        said.push(found(
            CODE,
            FindingState::Hold,
            "Patches will show through the finish as patches: the owner decides before they are made.",
            vec![format!("system:{}", look.system.id)],
            Source::COMMON_PRACTICE,
        ));
    }
    match look.system.agreed_exposure {
        None => said.push(deciding(
            CODE,
            "how far aggregate and scratch pattern may show",
            "agree it with the owner on a sample panel",
            1,
        )),
        Some(agreed) => said.push(found(
            CODE,
            FindingState::Fine,
            format!("Agreed exposure: {}. No method goes beyond it.", agreed.words()),
            vec![format!("system:{}", look.system.id)],
            Source::DATA_SHEET,
        )),
    }
    let marking: Vec<String> = look
        .survey
        .readings_of(look.zone)
        .filter(|reading| reading.measured.marks())
        .map(of_reading)
        .collect();
    if !look.marking_agreed() {
        if marking.is_empty() {
            said.push(before_work(
                CODE,
                "the owner's consent to tests that leave a mark",
                "signed consent that names the places",
                1,
            ));
        } else {
            said.push(found(
                CODE,
                FindingState::Hold,
                format!(
                    "{} test{} left a mark and no consent of the owner is recorded.",
                    marking.len(),
                    if marking.len() == 1 { "" } else { "s" }
                ),
                marking,
                Source::COMMON_PRACTICE,
            ));
        }
    }
    said
}

/// A panel on the actual slab, approved by a named person, before full work.
pub(crate) fn sample_panel(look: &Look<'_>) -> Vec<Outcome> {
    const CODE: &str = "sample_panel";
    let panels: Vec<_> = look
        .features()
        .filter_map(|f| match &f.seen {
            Seen::SamplePanel { approved_by, .. } => Some((f, approved_by)),
            _ => None,
        })
        .collect();
    if let Some((panel, Some(signer))) = panels.iter().find(|(_, signer)| signer.is_some()) {
        return vec![found(
            CODE,
            FindingState::Fine,
            format!("{}: sample panel approved by {signer}.", panel.id),
            vec![of_feature(panel)],
            Source::COMMON_PRACTICE,
        )];
    }
    let what = if panels.is_empty() {
        "a sample panel on this slab"
    } else {
        "approval of the sample panel"
    };
    vec![before_work(
        CODE,
        what,
        "prepare, finish and bond-test a panel; photographs wet, dry and sealed; signed by a person with authority",
        1,
    )]
}
