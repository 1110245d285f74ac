//! What people say differently: until somebody settles it, neither version is fine.

use crate::assessment::finding::{Outcome, deciding};
use crate::assessment::look::Look;
use crate::survey::Matter;
use tooth_measure::say::{Joint, listed, said};

/// One gap for every unsettled thing that touches the zone, and for decisions that stand against
/// each other.
pub(in crate::assessment) fn unsettled(look: &Look<'_>) -> Vec<Outcome> {
    let opposed = look.survey.contradictions();
    let opposed =
        opposed.into_iter().filter(|held| held.zone == look.zone.id && !held.is_settled());
    let opposed = opposed.map(|held| {
        let (one, other) = (held.earlier.said, held.later.said);
        let what = said!("which-decision-counts", one = one, other = other);
        deciding(Matter::Unsettled, what, said!("ask-who-decided-and-strike-one"), 1)
    });
    let here = look.survey.clashes.iter().filter(|clash| clash.touches(&look.zone.id));
    let versions = here.map(|clash| {
        let what = said!("which-version-of-is-right-people-say", about = &clash.about);
        let test = said!(
            "ask-those-who-wrote-it-measure-again",
            versions = listed(Joint::SemicolonOr, &clash.versions)
        );
        deciding(Matter::Unsettled, what, test, 1)
    });
    versions.chain(opposed).collect()
}
