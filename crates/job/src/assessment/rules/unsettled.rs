//! What people say differently: until somebody settles it, neither version is fine.

use crate::assessment::finding::{Outcome, deciding};
use crate::assessment::look::Look;
use crate::survey::Matter;

/// One gap for every unsettled thing that touches the zone.
pub(in crate::assessment) fn unsettled(look: &Look<'_>) -> Vec<Outcome> {
    let here = look.survey.clashes.iter().filter(|clash| clash.touches(&look.zone.id));
    here.map(|clash| {
        let what =
            format!("which version of {} is right: people say different things", clash.about);
        let test = format!(
            "ask those who wrote it, measure again, and settle it in the record ({})",
            clash.versions.join("; or ")
        );
        deciding(Matter::Unsettled, what, test, 1)
    })
    .collect()
}
