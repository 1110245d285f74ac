//! Steps that leave no choice: cracks and joints by the metre, low spots.

use super::price::Pricing;
use super::site;
use super::{Hold, Scope, Step};
use crate::assessment::{Look, ZoneAssessment, crack_treatment, joint_treatment, movement_of};
use crate::choice::Choice as _;
use crate::methods::{Catalogue, LineTreatment, Work};
use crate::survey::Seen;
use tooth_measure::{Area, Length};

pub(super) fn steps(
    look: &Look<'_>,
    assessed: &ZoneAssessment,
    catalogue: &Catalogue,
) -> Vec<Step> {
    let pricing = Pricing {
        facts: &look.survey.facts,
        catalogue,
    };
    let holds = site::holds(look, assessed);
    let mut steps = Vec::new();
    for treatment in LineTreatment::ALL {
        let length = treated_length(look, *treatment);
        if length <= Length::ZERO {
            continue;
        }
        if let Some((method, work)) = catalogue.line_method(*treatment) {
            steps.push(Step {
                holds: holds.of(method),
                ..pricing.line_step(method, work, length)
            });
        }
    }
    let (area, volume) = look.extent.low_spots;
    let filler = catalogue
        .methods
        .iter()
        .find_map(|method| match &method.work {
            Work::Fill(work) => Some((method, work)),
            _ => None,
        });
    if let (true, Some((method, work))) = (area > Area::ZERO, filler) {
        steps.push(Step {
            holds: holds.of(method),
            ..pricing.fill_step(method, work, area, volume)
        });
    }
    steps
}

fn treated_length(look: &Look<'_>, treatment: LineTreatment) -> Length {
    look.extent.length_of(|line| match &line.seen {
        Seen::Joint { kind, working } => joint_treatment(*kind, *working) == treatment,
        Seen::Crack { width, .. } => {
            let movement = movement_of(look.survey, line);
            crack_treatment(*width, movement, look.system) == Some(treatment)
        }
        _ => false,
    })
}

/// Weaves the steps without a choice in: cracks before the profile is made, low spots
/// after it, joints last.
pub(super) fn woven(chosen: Vec<Step>, fixed: &[Step]) -> Vec<Step> {
    let chosen = signed_once(chosen);
    let crack = |step: &&Step| matches!(step.method.as_str(), "rout_and_fill" | "rout_and_seal");
    let low = |step: &&Step| step.scope == Scope::LowSpots;
    let profile = chosen
        .iter()
        .position(|step| step.leaves.is_some())
        .unwrap_or(0);
    let mut steps: Vec<Step> = chosen;
    let tail = steps.split_off(profile);
    steps.extend(fixed.iter().filter(crack).cloned());
    steps.extend(tail);
    steps.extend(fixed.iter().filter(low).cloned());
    steps.extend(
        fixed
            .iter()
            .filter(|step| !crack(step) && !low(step))
            .cloned(),
    );
    steps
}

/// What is signed once for a zone is asked for once; a locate on every step that cuts.
fn signed_once(mut steps: Vec<Step>) -> Vec<Step> {
    let mut asked = Vec::new();
    for step in &mut steps {
        step.holds
            .retain(|hold| *hold == Hold::Locate || !asked.contains(hold));
        asked.extend(step.holds.iter().copied());
    }
    steps
}
