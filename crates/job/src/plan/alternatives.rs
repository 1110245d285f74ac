//! Near-best plans that differ from the best in what is really done, and what each trades.

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::Serialize;
use tooth_measure::choice::{Choice as _, uncapital};
use tooth_measure::{Money, WorkTime};
use tooth_texture::{Alone, Workers, each};

use super::search::{Effort, How};
use super::{Objective, Plan, Planned, Task};
use crate::survey::{Survey, ZoneId};

/// Plans dearer than this many times the best are no alternatives.
const NEAR: f64 = 2.0;
/// How many are shown.
const SHOWN: usize = 4;

/// Another plan for the same job.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Alternative {
    /// What it is: "least time", "without the shot blaster".
    pub name: String,
    /// Direct cost with mobilisation.
    pub total_cost: Money,
    /// Crew-hours.
    pub total_hours: WorkTime,
    /// Hours of work that raises dust.
    pub dusty_hours: WorkTime,
    /// Machines to bring that are not the firm's own.
    pub hired: Vec<String>,
    /// What it trades against the plan.
    pub trades: String,
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
    pub steps: Vec<String>,
    /// What is done instead of what, in words.
    pub instead: String,
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
    let others = others.map(|objective| (objective.words().to_owned(), Other::By(objective)));
    let without = best
        .machines
        .iter()
        .map(|machine| (format!("without the {}", machine.name), Other::Without(&machine.machine)));
    let own = best.machines.iter().any(|machine| !machine.owned);
    let own = own.then(|| ("own machines only".to_owned(), Other::OwnMachines));
    let asked = others.chain(without).chain(own).collect();
    let brief = |objective| How { objective, effort: Effort::Brief, workers: &Alone };
    let planned = |(name, other): (String, Other<'_>)| {
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
    let mut tried: Vec<(String, Plan)> = each(workers, asked, planned);
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
    tried
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
        })
        .collect()
}

fn hired(plan: &Plan) -> Vec<String> {
    plan.machines.iter().filter(|m| !m.owned).map(|m| m.name.clone()).collect()
}

fn differs(best: &Plan, other: &Plan) -> Vec<Difference> {
    let names = |zone: &super::ZonePlan| -> Vec<String> {
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
fn instead(own: &[String], other: &[String]) -> String {
    let without = |steps: &[String], those: &[String]| -> Vec<String> {
        let mut left = those.to_vec();
        let lacking = |step: &&String| match left.iter().position(|held| held == *step) {
            Some(at) => {
                left.remove(at);
                false
            }
            None => true,
        };
        let mut lacking: Vec<String> = steps.iter().filter(lacking).map(|s| uncapital(s)).collect();
        lacking.dedup();
        lacking
    };
    let (added, gone) = (without(other, own), without(own, other));
    match (added.is_empty(), gone.is_empty()) {
        (true, true) => "the same steps in another order".to_owned(),
        (true, false) => format!("without {}", gone.join(", ")),
        (false, true) => format!("{} besides", added.join(", ")),
        (false, false) => format!("{} instead of {}", added.join(", "), gone.join(", ")),
    }
}

fn trades(best: &Plan, other: &Plan, survey: &Survey) -> String {
    let currency = survey.facts.currency.code();
    let cost = other.total_cost - best.total_cost;
    let signed =
        |more: bool, text: String| if more { format!("+{text}") } else { format!("-{text}") };
    let hours = |what: &str, own: WorkTime, other: WorkTime| {
        let more = other >= own;
        let apart = if more { other - own } else { own - other };
        (apart.hours() >= 0.05).then(|| signed(more, format!("{:.1} h{what}", apart.hours())))
    };
    let money = cost.amount().abs() >= 0.5;
    let parts = [
        money.then(|| {
            let amount = Money::new(cost.amount().abs()).show_whole(currency);
            signed(cost >= Money::ZERO, amount)
        }),
        hours(" of crew", best.total_hours, other.total_hours),
        hours(" of dust", best.dusty_hours, other.dusty_hours),
    ];
    let said: Vec<String> = parts.into_iter().flatten().collect();
    if said.is_empty() { "the same cost, time and dust".to_owned() } else { said.join(", ") }
}
