//! What the next test is worth: for every question of an area, what it costs to settle it and
//! what knowing the answer saves in expectation on this job.
//!
//! A question has answers with chances ([`crate::survey::Chances`]). Under each answer the area is assessed and
//! planned anew, beside the machines that the rest of the job brings anyway, and its cost is the
//! mean over the same draws as the price. An *act* is to go on as if one answer were true. Where
//! it is, the act costs that answer's plan. Where the truth asks for less, what was planned is
//! done all the same. Where it asks for more, that is done and a return besides: a trip, and the
//! hired machines once more; what only shows when the system is down is prepared twice. An answer
//! that takes the area out of the bid costs nothing to whoever knew it, and a day of the crew with
//! its trip and machines to whoever did not. The worth is the value of perfect information
//! ([`tooth_measure::decision`]): tests are taken as sure.

mod answers;
mod cost;

use tooth_measure::chance::Seed;
use tooth_measure::decision::value_of_knowing;
use tooth_measure::{Fraction, Money};
use tooth_texture::{Job, Workers};

use self::answers::{Answered, answers};
use crate::assessment::{Ask, Assessment, Unknown, assess};
use crate::estimate::expected_direct_cost;
use crate::extent::PatchRule;
use crate::methods::Catalogue;
use crate::plan::{Hold, Objective, Plan, Planned, plan_briefly};
use crate::survey::{Survey, Zone, ZoneId};

/// Questions that are reckoned through for one job; the rest stay without a figure.
const MOST_QUESTIONS: usize = 240;

/// Everything that questions are weighed on.
#[derive(Clone, Copy)]
pub struct Weighing<'a> {
    /// The survey.
    pub survey: &'a Survey,
    /// Methods and machines.
    pub catalogue: &'a Catalogue,
    /// How patches are squared up.
    pub patch_rule: PatchRule,
    /// What the plan makes least.
    pub objective: Objective,
    /// The plan as it stands.
    pub plan: &'a Plan,
    /// The seed of the price's draws.
    pub seed: Seed,
    /// Who does the work; how many there are never shows.
    pub workers: &'a dyn Workers,
}

/// What an area costs under one answer.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Under {
    /// Expected direct cost; none where the area falls out of the bid.
    cost: Option<Money>,
    /// Bringing its hired machines again.
    again: Money,
}

/// The assessment with the worth of every question, each area's questions in that order: the
/// first is the test that a bidder would pay for.
#[must_use]
pub fn weighed(assessment: &Assessment, weighing: Weighing<'_>) -> Assessment {
    let mut weighed = assessment.clone();
    let mut asked: Vec<(ZoneId, &mut Unknown)> = Vec::new();
    for zone in &mut weighed.zones {
        for gap in &mut zone.unknown {
            gap.costs = cost::cost_of(&weighing.survey.facts.test_costs, gap);
            let idle = gap.ask == Ask::Locate && !cuts(weighing.plan, &zone.zone);
            if gap.ask != Ask::Due && !idle && asked.len() < MOST_QUESTIONS {
                asked.push((zone.zone.clone(), gap));
            }
        }
    }
    let jobs: Vec<Job<'_>> = asked
        .into_iter()
        .map(|(zone, gap)| -> Job<'_> {
            Box::new(move || gap.saves = worth_of(weighing, &zone, &gap.ask))
        })
        .collect();
    weighing.workers.run(jobs);
    for zone in &mut weighed.zones {
        // What is worth most beyond its cost first; what nobody reckoned keeps its place behind.
        zone.unknown.sort_by(|a, b| {
            let net = |gap: &Unknown| {
                let saved = gap.saves.map_or(0.0, Money::amount);
                let worth = saved - gap.costs.map_or(0.0, Money::amount);
                // What nothing waits for comes last.
                let idle = gap.ask == Ask::Locate && gap.saves.is_none();
                (saved > 0.5, gap.decides, !idle, worth)
            };
            let (a, b) = (net(a), net(b));
            (b.0, b.1, b.2).cmp(&(a.0, a.1, a.2)).then(b.3.total_cmp(&a.3))
        });
    }
    weighed
}

/// Whether a step of an area waits for a locate; as long as nothing is planned, it may.
fn cuts(plan: &Plan, zone: &ZoneId) -> bool {
    plan.of(zone).is_none_or(|planned| {
        planned.state != Planned::Planned
            || planned.steps.iter().any(|step| step.holds.contains(&Hold::Locate))
    })
}

/// What knowing the answer to one question saves; none where its answers cannot be reckoned.
fn worth_of(weighing: Weighing<'_>, zone: &ZoneId, ask: &Ask) -> Option<Money> {
    let survey = weighing.survey;
    let zone = survey.zones.iter().find(|held| held.id == *zone)?;
    let alone = alone(weighing, zone);
    let answers = answers(&alone, &alone.zones[0], ask, &survey.facts.chances)?;
    let under: Vec<Under> = answers.iter().map(|told| under(weighing, told)).collect();
    let chances: Vec<Fraction> = answers.iter().map(|told| told.chance).collect();
    let trip = survey.facts.rates.trip;
    let day = survey.facts.rates.labour
        * (survey.facts.rates.working_day * f64::from(survey.facts.rates.crew));
    let costs: Vec<Vec<Money>> = under
        .iter()
        .enumerate()
        .map(|(act, own)| {
            let in_state = |(state, truth): (usize, &Under)| -> Money {
                if act == state {
                    return truth.cost.unwrap_or(Money::ZERO);
                }
                match (own.cost, truth.cost) {
                    // Who leaves good work out loses nothing but the work.
                    (None, Some(cost)) => cost,
                    (None, None) => Money::ZERO,
                    (Some(_), None) => trip + own.again + day,
                    (Some(own), Some(_)) if answers[state].shows_late => {
                        own + truth.cost.unwrap_or(Money::ZERO) + trip + truth.again
                    }
                    (Some(own), Some(cost)) if own >= cost => own,
                    (Some(_), Some(cost)) => cost + trip + truth.again,
                }
            };
            under.iter().enumerate().map(in_state).collect()
        })
        // To leave the area out is no act of who is asked to bid it.
        .zip(&under)
        .filter(|(_, own)| own.cost.is_some())
        .map(|(row, _)| row)
        .collect();
    value_of_knowing(&chances, &costs)
}

/// One area by itself, beside the machines that the rest of the job brings anyway.
fn alone(weighing: Weighing<'_>, zone: &Zone) -> Survey {
    let survey = weighing.survey;
    let mut alone = Survey {
        facts: survey.facts.clone(),
        // Tests of a lot are weighed where they are asked for.
        zones: vec![Zone { lot: None, ..zone.clone() }],
        features: survey
            .features
            .iter()
            .filter(|feature| {
                feature.place.meets(&zone.outline)
                    || matches!(
                        feature.seen,
                        crate::survey::Seen::Wall | crate::survey::Seen::Obstacle
                    )
            })
            .cloned()
            .collect(),
        systems: survey.systems.clone(),
        readings: survey.readings_of(zone).cloned().collect(),
        questioned: Vec::new(),
        soundings: survey.soundings.clone(),
        scans: survey.scans_of(zone).cloned().collect(),
        chips: survey.chips.clone(),
        forecast: Vec::new(),
        clashes: Vec::new(),
        north: survey.north,
    };
    let elsewhere = weighing
        .plan
        .machines
        .iter()
        .filter(|machine| machine.zones.iter().any(|user| *user != zone.id));
    alone.facts.machines_owned.extend(elsewhere.map(|machine| machine.machine.clone()));
    alone.facts.site_items.clear();
    alone
}

fn under(weighing: Weighing<'_>, told: &Answered) -> Under {
    let survey = &told.survey;
    let assessment = assess(survey, weighing.patch_rule);
    let (rule, objective) = (weighing.patch_rule, weighing.objective);
    let made = plan_briefly(survey, &assessment, weighing.catalogue, rule, objective);
    let planned = made.zones.first().is_some_and(|zone| zone.state == Planned::Planned);
    if !planned || told.falls_out {
        return Under { cost: None, again: Money::ZERO };
    }
    let cost = expected_direct_cost(survey, &made, weighing.catalogue, weighing.seed);
    Under {
        cost: Some(cost + told.besides),
        again: made.machines.iter().map(|machine| machine.mobilisation).sum(),
    }
}
