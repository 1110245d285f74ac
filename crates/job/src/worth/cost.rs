//! What it costs to settle a question.

use tooth_measure::Money;

use crate::assessment::{Ask, Unknown};
use crate::survey::TestCosts;

/// What it costs to settle a question; none where it is no matter of a test.
pub(super) fn cost_of(costs: &TestCosts, gap: &Unknown) -> Option<Money> {
    let each = match gap.ask {
        Ask::Film
        | Ask::FilmOrDense
        | Ask::WeakDepth(_)
        | Ask::CracksLeak(_)
        | Ask::CracksDisplaced(_)
        | Ask::OldFiller(_)
        | Ask::SpallBars(_)
        | Ask::Profile => costs.simple,
        Ask::PullOff => costs.pull_off,
        Ask::Moisture => costs.moisture,
        Ask::Unsounded => costs.sounding,
        Ask::OilDepth(_)
        | Ask::OilBleedBack(_)
        | Ask::Doubtful(_)
        | Ask::HollowKind(_)
        | Ask::HollowDepth(_) => costs.opened_spot,
        Ask::CracksMove(_) | Ask::JointsWork(_) => {
            return Some(costs.gauge * (f64::from(gap.count) / 2.0));
        }
        Ask::OldCoating => costs.laboratory,
        Ask::Deterioration => costs.petrography,
        Ask::Structure => costs.simple,
        Ask::Locate => costs.locate,
        Ask::Due => return None,
    };
    Some(each * f64::from(gap.count.max(1)))
}
