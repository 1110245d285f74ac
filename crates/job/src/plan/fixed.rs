//! Steps that leave no choice: cracks and joints by the metre, low spots. What the site
//! forbids or the catalogue lacks makes the zone infeasible: nothing is left out in
//! silence.

use tooth_measure::choice::Choice as _;
use tooth_measure::say::{Joint, Said, listed, said};

use super::price::Pricing;
use super::site;
use super::{Hold, Stage, Step};
use crate::assessment::{
    Look, ZoneAssessment, crack_verdict, decided_treatment, is_low_lip, joint_treatment,
};
use crate::extent::ScalingClass;
use crate::methods::{Catalogue, Hazard, LineTask, LineTreatment, Method, OilReach, Work};
use crate::survey::{Answer, Feature, FilmWay, Seen, SmallDamage, SurfaceState, SystemClass};
use tooth_measure::{Area, Length, Region};

/// When a step without a choice has its turn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Turn {
    /// Before the profile is made, so that it is prepared with the rest.
    BeforeProfile,
    /// Before the last cleaning.
    BeforeCleaning,
    /// On the prepared slab, before the system.
    BelowSystem,
    /// When the system is down.
    AfterSystem,
}

/// A step that leaves no choice, with its turn.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Fixed {
    pub(super) turn: Turn,
    pub(super) step: Step,
}

/// When a task is done. What is filled would block a stain: the filling comes when it is down.
fn turn_of(task: LineTask, filled: Option<LineTreatment>, stained: bool) -> Turn {
    use LineTreatment as T;
    match filled {
        Some(T::RoutAndFill | T::Stitch | T::SemiRigidFill) if stained => return Turn::AfterSystem,
        _ => {}
    }
    match (task, filled) {
        (LineTask::OldFillerRemoval, _) | (LineTask::Treatment(T::GrindLip), _) => {
            Turn::BeforeProfile
        }
        (_, Some(T::RoutAndFill | T::Stitch)) => Turn::BeforeProfile,
        (_, Some(T::SemiRigidFill | T::KeepClean)) => Turn::BeforeCleaning,
        // Blasting would eat a fresh sealant, and the finish must not bridge it.
        _ => Turn::AfterSystem,
    }
}

/// What is done along lines, in the order of work: each with the treatment whose fill it is.
const IN_ORDER: [(LineTask, Option<LineTreatment>); 11] = {
    use LineTreatment as T;
    const fn treated(treatment: LineTreatment) -> (LineTask, Option<LineTreatment>) {
        (LineTask::Treatment(treatment), Some(treatment))
    }
    [
        (LineTask::OldFillerRemoval, None),
        treated(T::GrindLip),
        treated(T::Stitch),
        treated(T::RoutAndFill),
        (LineTask::GrindFlush, Some(T::RoutAndFill)),
        treated(T::KeepClean),
        treated(T::SemiRigidFill),
        (LineTask::GrindFlush, Some(T::SemiRigidFill)),
        treated(T::RoutAndSeal),
        treated(T::RecutAndSeal),
        treated(T::HonourAndSeal),
    ]
};

pub(super) fn steps(
    look: &Look<'_>,
    assessed: &ZoneAssessment,
    catalogue: &Catalogue,
) -> Result<Vec<Fixed>, Said> {
    let pricing = Pricing { facts: &look.survey.facts, catalogue };
    let holds = site::holds(look, assessed, OilReach::None);
    // Of the methods that serve and are allowed, the one that costs least.
    let cheapest = |what: Said, priced: &dyn Fn(&Method) -> Option<Step>| -> Result<Step, Said> {
        let mut ruled_out = Vec::new();
        let mut best: Option<Step> = None;
        for method in &catalogue.methods {
            let Some(step) = priced(method) else { continue };
            match site::reason_against(look, method, catalogue) {
                Some(reason) => ruled_out.push(said!(
                    "method-and-why-not",
                    name = &method.name,
                    reason = reason
                )),
                None if best.as_ref().is_none_or(|held| step.cost < held.cost) => {
                    best = Some(Step { holds: holds.of(method), ..step });
                }
                None => {}
            }
        }
        best.ok_or_else(|| match ruled_out.is_empty() {
            true => said!("cannot-be-treated-no-method", what = what),
            false => {
                said!(
                    "cannot-be-treated-ruled-out",
                    what = what,
                    out = listed(Joint::Comma, ruled_out)
                )
            }
        })
    };
    // Old coatings are spoken of where a film lies, and where old filler comes out.
    let films = look.features().any(|mark| matches!(mark.seen, Seen::Film { .. }));
    let spoken = |task: Option<LineTask>, step: Step| -> Step {
        let old = films || task == Some(LineTask::OldFillerRemoval);
        let hazards =
            step.hazards.into_iter().filter(|hazard| old || *hazard != Hazard::OldCoating);
        Step { hazards: hazards.collect(), ..step }
    };
    let mut steps = Vec::new();
    let stained = look.system.class == SystemClass::Stain || look.system.needs_lime;
    for (task, filled) in IN_ORDER {
        let length = look.extent.length_of(|line| has_task(look, task, filled, line));
        if length <= Length::ZERO {
            continue;
        }
        let what = said!("cracks-or-joints", task = task.said());
        let step = cheapest(what, &|method| match &method.work {
            Work::Line(work) if work.task == task => Some(pricing.line_step(method, work, length)),
            _ => None,
        })?;
        let treated = look.features().filter(|line| has_task(look, task, filled, line));
        let features = treated.map(|line| line.id.clone()).collect();
        let turn = turn_of(task, filled, stained);
        steps.push(Fixed { turn, step: spoken(Some(task), Step { features, ..step }) });
    }
    if !look.extent.shallow.is_empty() {
        let step = cheapest(said!("shallow-spalls"), &|method| match &method.work {
            Work::ShallowPatch(work) => pricing.shallow_step(method, work, look.extent),
            _ => None,
        })?;
        let features = look.extent.shallow.iter().map(|spall| spall.feature.clone()).collect();
        let step = spoken(None, Step { features, ..step });
        steps.push(Fixed { turn: Turn::BeforeProfile, step });
    }
    for kind in SmallDamage::ALL.iter().copied() {
        let marks: Vec<(&Feature, u32)> = look
            .features()
            .filter_map(|mark| match mark.seen {
                Seen::Small { kind: of, count } if of == kind => Some((mark, count)),
                _ => None,
            })
            .collect();
        if marks.is_empty() {
            continue;
        }
        let count = marks.iter().map(|(_, count)| *count).sum();
        let step = cheapest(said!("value", of = kind), &|method| match &method.work {
            Work::Piece(work) if work.kind == kind => Some(pricing.piece_step(method, work, count)),
            _ => None,
        })?;
        let features = marks.iter().map(|(mark, _)| mark.id.clone()).collect();
        // Before the last cleaning: under a clear coat, never on it.
        let turn = Turn::BeforeCleaning;
        steps.push(Fixed { turn, step: spoken(None, Step { features, ..step }) });
    }
    for way in FilmWay::ALL.iter().copied() {
        let stays = |mark: &&Feature| {
            look.stays(mark) && look.kept_film(mark).is_some_and(|held| held.way == way)
        };
        let marks: Vec<&Feature> = look.features().filter(stays).collect();
        let grounds: Vec<Region> = marks.iter().map(|mark| look.kept_ground(mark)).collect();
        let area = Region::union_of(&grounds).area();
        if area <= Area::ZERO {
            continue;
        }
        let step = cheapest(said!("value", of = way), &|method| match &method.work {
            Work::Keep(work) if work.way == way => Some(pricing.keep_step(method, work, area)),
            _ => None,
        })?;
        let features = marks.iter().map(|mark| mark.id.clone()).collect();
        let turn = match way {
            FilmWay::RecoatOver => Turn::BeforeCleaning,
            FilmWay::RewetAndRecoat => Turn::BelowSystem,
        };
        // Once it is soft nobody can try it, and the coat follows at once.
        let mut step = spoken(None, Step { features, ..step });
        if way == FilmWay::RewetAndRecoat {
            step.holds.push(Hold::PreparedSlab);
        }
        steps.push(Fixed { turn, step });
    }
    let (area, volume) = look.extent.fill();
    if area > Area::ZERO {
        let step = cheapest(said!("low-spots"), &|method| match &method.work {
            Work::Fill(work) => Some(pricing.fill_step(method, work, area, volume)),
            _ => None,
        })?;
        let spots = look.features().filter(|spot| match spot.seen {
            Seen::LowSpot { .. } => true,
            Seen::Surface { state: SurfaceState::Scaling, depth: Some(depth) } => {
                ScalingClass::of(depth, look.limits()).is_resurfaced(depth, look.system)
            }
            _ => false,
        });
        let features = spots.map(|spot| spot.id.clone()).collect();
        steps.push(Fixed { turn: Turn::BeforeCleaning, step: Step { features, ..step } });
    }
    if let Some(coat) = &look.system.over {
        let step = cheapest(said!("coat-below-the-system"), &|method| match &method.work {
            Work::Coat(work) if method.id == coat.as_str() => {
                Some(pricing.coat_step(method, work, look.extent.net))
            }
            _ => None,
        })?;
        let holds = vec![Hold::PreparedSlab];
        steps.push(Fixed { turn: Turn::BelowSystem, step: Step { holds, ..step } });
    }
    Ok(steps)
}

/// Whether something is done along a crack or joint.
fn has_task(
    look: &Look<'_>,
    task: LineTask,
    filled: Option<LineTreatment>,
    line: &Feature,
) -> bool {
    match (task, filled) {
        (LineTask::Treatment(treatment), _) => is_treated(look, treatment, line),
        // What seals or fills goes on clean faces; not known is reckoned as there.
        (LineTask::OldFillerRemoval, _) => has_old_filler(look, line),
        // A thin finish shows every ridge; stitches are filled like cracks.
        (LineTask::GrindFlush, Some(filled)) => {
            let stitched = filled == LineTreatment::RoutAndFill
                && is_treated(look, LineTreatment::Stitch, line);
            look.system.thickness <= SHOWS_RIDGES && (stitched || is_treated(look, filled, line))
        }
        (LineTask::GrindFlush, None) => false,
    }
}

/// Whether old filler sits in a joint that is filled or sealed, or may.
pub(super) fn has_old_filler(look: &Look<'_>, line: &Feature) -> bool {
    let Seen::Joint { old_filler, .. } = line.seen else { return false };
    // A joint that stays open loses what is seen in it, and nobody supposes more.
    let comes_out = |treatment: LineTreatment| match treatment {
        LineTreatment::Leave => false,
        LineTreatment::KeepClean => old_filler == Answer::Yes,
        _ => old_filler != Answer::No,
    };
    LineTreatment::ALL
        .iter()
        .any(|treatment| comes_out(*treatment) && is_treated(look, *treatment, line))
}

/// A finish up to this shows what stands proud under it. Assumption.
const SHOWS_RIDGES: Length = Length::from_mils(40.0);

/// Whether a crack or joint gets a treatment.
fn is_treated(look: &Look<'_>, treatment: LineTreatment, line: &Feature) -> bool {
    let decided = |line: &Feature| decided_treatment(look.survey, line);
    match &line.seen {
        Seen::Joint { .. } | Seen::Crack { .. } if decided(line).is_some() => {
            decided(line) == Some(treatment)
        }
        Seen::Joint { kind, working, .. } => joint_treatment(look, *kind, *working) == treatment,
        Seen::Settlement { offset } => {
            treatment == LineTreatment::GrindLip && is_low_lip(*offset, look.limits())
        }
        Seen::Crack { .. } => {
            crack_verdict(look.survey, look.system, line).and_then(|verdict| verdict.treatment())
                == Some(treatment)
        }
        _ => false,
    }
}

/// The chosen steps with those that come when the system is down, each signature asked for once.
/// Where a sample panel is due and no step makes a profile, the first step waits for it.
pub(super) fn with_last(
    chosen: Vec<Step>,
    fixed: &[Fixed],
    panel: bool,
    undecided: bool,
) -> Vec<Step> {
    let of = |turn: Turn| fixed.iter().filter(move |fixed| fixed.turn == turn);
    let below = of(Turn::BelowSystem).map(|fixed| fixed.step.clone());
    let last = of(Turn::AfterSystem);
    let last = last.map(|fixed| Step { stage: Stage::AfterSystem, ..fixed.step.clone() });
    let mut steps: Vec<Step> = chosen.into_iter().chain(below).chain(last).collect();
    let held = steps.iter().any(|step| step.holds.contains(&Hold::SamplePanel));
    if let Some(first) = steps.first_mut().filter(|_| panel && !held) {
        first.holds.push(Hold::SamplePanel);
    }
    // Money is not spent on a floor of which nobody has decided what it becomes.
    if let Some(first) = steps.first_mut().filter(|_| undecided) {
        first.holds.insert(0, Hold::Decision);
    }
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
