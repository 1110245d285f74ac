//! What people say differently: until somebody settles it, neither version is fine.

use crate::assessment::finding::{Outcome, deciding};
use crate::assessment::look::Look;
use crate::survey::Matter;
use tooth_measure::say::{Joint, listed, said};

/// One gap for every unsettled thing that touches the zone.
pub(in crate::assessment) fn unsettled(look: &Look<'_>) -> Vec<Outcome> {
    let here = look.survey.clashes.iter().filter(|clash| clash.touches(&look.zone.id));
    here.map(|clash| {
        let what = said!("which-version-of-is-right-people-say", about = &clash.about);
        let test = said!(
            "ask-those-who-wrote-it-measure-again",
            versions = listed(Joint::SemicolonOr, &clash.versions)
        );
        deciding(Matter::Unsettled, what, test, 1)
    })
    .collect()
}
