//! Steps that leave no choice: cracks and joints by the metre, low spots. What the site
//! forbids or the catalogue lacks makes the zone infeasible: nothing is left out in
//! silence.

use super::price::Pricing;
use super::site;
use super::{Hold, Step};
use crate::assessment::{
    Look, ZoneAssessment, crack_treatment, decided_treatment, joint_treatment, movement_of,
    width_of,
};
use crate::choice::Choice as _;
use crate::methods::{Catalogue, LineTreatment, Method, OilReach, Residue, Work};
use crate::survey::{Feature, Seen};
use tooth_measure::{Area, Length};

/// When a step without a choice has its turn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Turn {
    /// Before the profile is made, so that it is prepared with the rest.
    BeforeProfile,
    /// Before the last cleaning.
    BeforeCleaning,
    /// When the system is down.
    AfterSystem,
}

fn turn_of(treatment: LineTreatment) -> Turn {
    match treatment {
        LineTreatment::RoutAndFill | LineTreatment::Stitch | LineTreatment::GrindLip => {
            Turn::BeforeProfile
        }
        LineTreatment::SemiRigidFill => Turn::BeforeCleaning,
        // Blasting would eat a fresh sealant, and the finish must not bridge it.
        LineTreatment::RoutAndSeal | LineTreatment::RecutAndSeal | LineTreatment::HonourAndSeal => {
            Turn::AfterSystem
        }
    }
}

pub(super) fn steps(
    look: &Look<'_>,
    assessed: &ZoneAssessment,
    catalogue: &Catalogue,
) -> Result<Vec<(Turn, Step)>, String> {
    let pricing = Pricing { facts: &look.survey.facts, catalogue };
    let holds = site::holds(look, assessed, OilReach::None);
    // Of the methods that serve and are allowed, the one that costs least.
    let cheapest = |what: &str, priced: &dyn Fn(&Method) -> Option<Step>| -> Result<Step, String> {
        let mut ruled_out = Vec::new();
        let mut best: Option<Step> = None;
        for method in &catalogue.methods {
            let Some(step) = priced(method) else { continue };
            match site::reason_against(look, method, catalogue) {
                Some(reason) => {
                    ruled_out.push(format!("{} ({reason})", method.name.to_lowercase()))
                }
                None if best.as_ref().is_none_or(|held| step.cost < held.cost) => {
                    best = Some(Step { holds: holds.of(method), ..step });
                }
                None => {}
            }
        }
        best.ok_or_else(|| match ruled_out.as_slice() {
            [] => format!("{what} cannot be treated: no method in the catalogue does it."),
            out => format!("{what} cannot be treated; ruled out: {}.", out.join(", ")),
        })
    };
    let mut steps = Vec::new();
    for treatment in LineTreatment::ALL {
        let length = look.extent.length_of(|line| is_treated(look, *treatment, line));
        if length <= Length::ZERO {
            continue;
        }
        let what = format!("Cracks or joints ({})", treatment.words());
        let step = cheapest(&what, &|method| match &method.work {
            Work::Line(work) if work.treatment == *treatment => {
                Some(pricing.line_step(method, work, length))
            }
            _ => None,
        })?;
        let treated = look.features().filter(|line| is_treated(look, *treatment, line));
        let features = treated.map(|line| line.id.clone()).collect();
        steps.push((turn_of(*treatment), Step { features, ..step }));
    }
    let (area, volume) = look.extent.fill();
    if area > Area::ZERO {
        let step = cheapest("Low spots", &|method| match &method.work {
            Work::Fill(work) => Some(pricing.fill_step(method, work, area, volume)),
            _ => None,
        })?;
        let spots = look.features().filter(|spot| matches!(spot.seen, Seen::LowSpot { .. }));
        let features = spots.map(|spot| spot.id.clone()).collect();
        steps.push((Turn::BeforeCleaning, Step { features, ..step }));
    }
    Ok(steps)
}

/// Whether a crack or joint gets a treatment.
fn is_treated(look: &Look<'_>, treatment: LineTreatment, line: &Feature) -> bool {
    let decided = |line: &Feature| decided_treatment(look.survey, line);
    match &line.seen {
        Seen::Joint { .. } | Seen::Crack { .. } if decided(line).is_some() => {
            decided(line) == Some(treatment)
        }
        Seen::Joint { kind, working } => {
            joint_treatment(*kind, *working, look.system.class) == treatment
        }
        Seen::Settlement { offset } => {
            treatment == LineTreatment::GrindLip && *offset <= look.limits().lip_height.value
        }
        Seen::Crack { width, .. } => {
            let movement = movement_of(look.survey, line);
            let width = width_of(look.survey, line, *width);
            crack_treatment(width, movement, look.system, look.limits()) == Some(treatment)
        }
        _ => false,
    }
}

/// Weaves the steps without a choice in at their turn.
pub(super) fn woven(chosen: Vec<Step>, fixed: &[(Turn, Step)], catalogue: &Catalogue) -> Vec<Step> {
    let cleans = |step: &Step| {
        let work = catalogue.method(&step.method).and_then(Method::surface);
        work.is_some_and(|work| work.clears.is_some() && work.residue == Residue::Clean)
    };
    let at =
        |turn: Turn| fixed.iter().filter(move |(t, _)| *t == turn).map(|(_, step)| step.clone());
    let last_cleaning = chosen.iter().rposition(cleans).unwrap_or(chosen.len());
    let profile = chosen.iter().position(|step| step.leaves.is_some()).unwrap_or(last_cleaning);
    let mut steps = Vec::new();
    for (number, step) in chosen.into_iter().enumerate() {
        if number == profile {
            steps.extend(at(Turn::BeforeProfile));
        }
        if number == last_cleaning {
            steps.extend(at(Turn::BeforeCleaning));
        }
        steps.push(step);
    }
    steps.extend(at(Turn::AfterSystem));
    signed_once(steps)
}

/// What is signed once for a zone is asked for once; a locate on every step that cuts,
/// the laboratory's answer on every step that opens the film.
fn signed_once(mut steps: Vec<Step>) -> Vec<Step> {
    let always = |hold: &Hold| matches!(hold, Hold::Locate | Hold::Laboratory);
    let mut asked = Vec::new();
    for step in &mut steps {
        step.holds.retain(|hold| always(hold) || !asked.contains(hold));
        asked.extend(step.holds.iter().copied());
    }
    steps
}
