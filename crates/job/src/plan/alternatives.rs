//! Near-best plans that differ from the best in what is really done, and what each trades.

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::Serialize;
use tooth_measure::choice::Choice as _;
use tooth_measure::say::{Argument, Joint, Said, decimal, listed, money, said};
use tooth_measure::{Money, WorkTime};
use tooth_texture::{Alone, Workers, each};

use super::search::{Effort, How};
use super::{Objective, Plan, Planned, Task};
use crate::assessment::{Look, assess};
use crate::extent::Extent;
use crate::survey::{Feature, Place, Survey, Zone, ZoneId};

/// Plans dearer than this many times the best are no alternatives.
const NEAR: f64 = 2.0;
/// How many are shown.
const SHOWN: usize = 4;

/// Another plan for the same job.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Alternative {
    /// What it is: "least time", "without the shot blaster".
    pub name: Said,
    /// Direct cost with mobilisation.
    pub total_cost: Money,
    /// Crew-hours.
    pub total_hours: WorkTime,
    /// Hours of work that raises dust.
    pub dusty_hours: WorkTime,
    /// Machines to bring that are not the firm's own.
    pub hired: Vec<Said>,
    /// What it trades against the plan.
    pub trades: Said,
    /// The steps that differ, by zone.
    pub differs: Vec<Difference>,
}

/// A zone that is prepared otherwise.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Difference {
    /// The zone.
    pub zone: ZoneId,
    /// Its name.
    pub name: String,
    /// Names of its steps in order.
    pub steps: Vec<Said>,
    /// What is done instead of what, in words.
    pub instead: Said,
}

/// What another plan is asked to be.
enum Other<'a> {
    By(Objective),
    Without(&'a str),
    OwnMachines,
}

/// The alternatives to a plan, cheapest first.
pub(super) fn of(task: &Task<'_>, best: &Plan, workers: &dyn Workers) -> Vec<Alternative> {
    let others = Objective::ALL.iter().copied().filter(|other| *other != best.objective);
    let others = others
        .map(|objective| (said!("by-objective", objective = objective), Other::By(objective)));
    let without = best.machines.iter().map(|machine| {
        (said!("without-machine", name = &machine.name), Other::Without(&machine.machine))
    });
    let own = best.machines.iter().any(|machine| !machine.owned);
    let own = own.then(|| (said!("own-machines-only"), Other::OwnMachines));
    let asked = others.chain(without).chain(own).collect();
    let brief = |objective| How { objective, effort: Effort::Brief, workers: &Alone };
    let planned = |(name, other): (Said, Other<'_>)| {
        let plan = match other {
            Other::By(objective) => task.solved(None, brief(objective)),
            Other::Without(machine) => task.solved(Some(machine), brief(best.objective)),
            Other::OwnMachines => {
                let own = task.catalogue.of_own_machines(&task.survey.facts.machines_owned);
                let (survey, assessment) = (task.survey, task.assessment);
                super::plan_briefly(survey, assessment, &own, task.patch_rule, best.objective)
            }
        };
        (name, plan)
    };
    let mut tried: Vec<(Said, Plan)> = each(workers, asked, planned);
    let ways = |plan: &Plan| -> Vec<Vec<String>> {
        // The same steps in another order are no other way.
        let steps = |zone: &super::ZonePlan| {
            let mut methods: Vec<String> = zone.steps.iter().map(|s| s.method.clone()).collect();
            methods.sort();
            methods
        };
        plan.zones.iter().map(steps).collect()
    };
    let planned = |plan: &Plan| plan.zones.iter().filter(|z| z.state == Planned::Planned).count();
    let mut seen = BTreeSet::from([ways(best)]);
    tried.sort_by(|a, b| a.1.total_cost.amount().total_cmp(&b.1.total_cost.amount()));
    let others = tried
        .into_iter()
        .filter(|(_, other)| {
            planned(other) == planned(best)
                && other.total_cost <= best.total_cost * NEAR
                && seen.insert(ways(other))
        })
        .take(SHOWN)
        .map(|(name, other)| Alternative {
            name,
            trades: trades(best, &other, task.survey),
            hired: hired(&other),
            differs: differs(best, &other),
            total_cost: other.total_cost,
            total_hours: other.total_hours,
            dusty_hours: other.dusty_hours,
        });
    let walls =
        each(workers, task.survey.zones.iter().collect(), |zone| wall_to_wall(task, best, zone));
    walls.into_iter().flatten().chain(others).collect()
}

/// The job with one area stripped wall to wall, where the edge of what comes off a part of it
/// would show.
fn wall_to_wall(task: &Task<'_>, best: &Plan, zone: &Zone) -> Option<Alternative> {
    let survey = task.survey;
    let system = survey.system_of(zone)?;
    let extent = Extent::measure(survey, zone, task.patch_rule);
    let look = Look { survey, zone, system, extent: &extent };
    let is_planned =
        |plan: &Plan| plan.of(&zone.id).is_some_and(|held| held.state == Planned::Planned);
    if !look.leaves_an_edge() || !is_planned(best) {
        return None;
    }
    let mut whole = survey.clone();
    let inside = |film: &&&Feature| {
        let met = survey.zones.iter().filter(|zone| film.place.meets(&zone.outline));
        met.count() == 1
    };
    let stripped = look.stripped_films();
    let film = stripped.iter().find(inside).or(stripped.first())?;
    let place = Place::Patch(zone.outline.clone());
    match whole.features.iter_mut().find(|held| held.id == film.id) {
        Some(held) if inside(&film) => held.place = place,
        _ => whole.features.push(Feature { place, ..Feature::clone(film) }),
    }
    whole.facts.film_decided.retain(|held| held.zone != zone.id);
    let assessment = assess(&whole, task.patch_rule);
    let other =
        super::plan_briefly(&whole, &assessment, task.catalogue, task.patch_rule, best.objective);
    is_planned(&other).then(|| {
        let per_cost = survey.facts.money.price_per_cost();
        let more = ((other.total_cost - best.total_cost) * per_cost).max(Money::ZERO);
        Alternative {
            name: said!("wall-to-wall", name = &zone.name),
            trades: said!(
                "no-edge-shows",
                trades = trades(best, &other, survey),
                price = money(more, survey.facts.currency.code())
            ),
            hired: hired(&other),
            differs: differs(best, &other),
            total_cost: other.total_cost,
            total_hours: other.total_hours,
            dusty_hours: other.dusty_hours,
        }
    })
}

fn hired(plan: &Plan) -> Vec<Said> {
    plan.machines.iter().filter(|m| !m.owned).map(|m| m.name.clone()).collect()
}

fn differs(best: &Plan, other: &Plan) -> Vec<Difference> {
    let names = |zone: &super::ZonePlan| -> Vec<Said> {
        zone.steps.iter().map(|step| step.name.clone()).collect()
    };
    best.zones
        .iter()
        .zip(&other.zones)
        .filter(|(own, other)| names(own) != names(other))
        .map(|(own, other)| Difference {
            zone: other.zone.clone(),
            name: other.name.clone(),
            steps: names(other),
            instead: instead(&names(own), &names(other)),
        })
        .collect()
}

/// What one list of steps has that the other lacks.
fn instead(own: &[Said], other: &[Said]) -> Said {
    let without = |steps: &[Said], those: &[Said]| -> Vec<Said> {
        let mut left = those.to_vec();
        let lacking = |step: &&Said| match left.iter().position(|held| held == *step) {
            Some(at) => {
                left.remove(at);
                false
            }
            None => true,
        };
        let inside = |name: &Said| said!("step-inside", name = name);
        let mut lacking: Vec<Said> = steps.iter().filter(lacking).map(inside).collect();
        lacking.dedup();
        lacking
    };
    let (added, gone) = (without(other, own), without(own, other));
    match (added.is_empty(), gone.is_empty()) {
        (true, true) => said!("the-same-steps-in-another-order"),
        (true, false) => said!("steps-without", gone = listed(Joint::Comma, gone)),
        (false, true) => said!("steps-besides", added = listed(Joint::Comma, added)),
        (false, false) => said!(
            "steps-instead-of",
            added = listed(Joint::Comma, added),
            gone = listed(Joint::Comma, gone)
        ),
    }
}

fn trades(best: &Plan, other: &Plan, survey: &Survey) -> Said {
    let currency = survey.facts.currency.code();
    let cost = other.total_cost - best.total_cost;
    let signed = |more: bool, text: Argument| {
        if more { said!("more-by", text = text) } else { said!("less-by", text = text) }
    };
    let hours = |what: Said, own: WorkTime, other: WorkTime| {
        let more = other >= own;
        let apart = if more { other - own } else { own - other };
        (apart.hours() >= 0.05).then(|| {
            signed(more, said!("hours-of", hours = decimal(apart.hours(), 1), what = what).into())
        })
    };
    let told = cost.amount().abs() >= 0.5;
    let parts = [
        told.then(|| signed(cost >= Money::ZERO, money(Money::new(cost.amount().abs()), currency))),
        hours(said!("of-crew"), best.total_hours, other.total_hours),
        hours(said!("of-dust"), best.dusty_hours, other.dusty_hours),
    ];
    let said: Vec<Said> = parts.into_iter().flatten().collect();
    if said.is_empty() {
        said!("the-same-cost-time-and-dust")
    } else {
        said!("trades", all = listed(Joint::Comma, said))
    }
}
