//! What people say differently: until somebody settles it, neither version is fine.

use crate::assessment::finding::{Outcome, deciding};
use crate::assessment::look::Look;

/// One gap for every unsettled thing that touches the zone.
pub(in crate::assessment) fn unsettled(look: &Look<'_>) -> Vec<Outcome> {
    let here = look.survey.clashes.iter().filter(|clash| clash.touches(&look.zone.id));
    here.map(|clash| {
        let what = format!("which version of {} is right: {}", clash.about, clash.versions.join("; or "));
        deciding("unsettled", what, "ask those who wrote them, measure again where they differ, and settle it in the record", 1)
    })
    .collect()
}
