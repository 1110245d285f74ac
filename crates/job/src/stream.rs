//! From what is known of a slab to what it costs, in one go: what was logged, the judgement, the
//! plan, its quantities, its price with the ways to deal with moisture, and what the next test is
//! worth. A pure function: same survey and settings, same result, however many work at it.

use tooth_measure::Money;
use tooth_measure::chance::Seed;
use tooth_texture::Workers;

use crate::assessment::{Assessment, assess_by};
use crate::estimate::{DRAWS, Drawing, Estimate, estimate_with, moisture_ways};
use crate::extent::PatchRule;
use crate::methods::{Catalogue, learn};
use crate::plan::{Objective, Plan, plan_with_alternatives};
use crate::quantities::{Quantities, quantities};
use crate::survey::Survey;
use crate::worth::{Weighing, weighed};

/// What a person may ask for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Asked {
    /// What the plan makes least.
    pub objective: Objective,
    /// The seed of the price's draws.
    pub seed: Seed,
    /// How many draws.
    pub draws: u32,
    /// A price whose chance of loss is wanted.
    pub bid: Option<Money>,
    /// Whether only the firm's own machines come.
    pub own_machines: bool,
}

impl Asked {
    /// What is asked for unless somebody asks for something else.
    pub const USUAL: Self = Self {
        objective: Objective::Cheapest,
        seed: Seed(1),
        draws: DRAWS,
        bid: None,
        own_machines: false,
    };
}

/// Everything that follows from a survey.
#[derive(Debug, Clone)]
pub struct WorkedOut {
    /// The catalogue with the firm's own paces, as plan and price used it.
    pub catalogue: Catalogue,
    /// What the evidence says, each question with what its answer is worth.
    pub assessment: Assessment,
    /// The plan with others beside it.
    pub plan: Plan,
    /// Its quantities.
    pub quantities: Quantities,
    /// Its price.
    pub estimate: Estimate,
}

/// Works a survey out.
#[must_use]
pub fn work_out(
    survey: &Survey,
    catalogue: &Catalogue,
    patch_rule: PatchRule,
    asked: Asked,
    workers: &dyn Workers,
) -> WorkedOut {
    let Asked { objective, seed, draws, bid, own_machines } = asked;
    // What was logged speaks first: plan, price and documents use the learnt rates.
    let (taught, learned_rates) = learn(catalogue, survey);
    let catalogue =
        if own_machines { taught.of_own_machines(&survey.facts.machines_owned) } else { taught };
    let assessment = assess_by(survey, patch_rule, workers);
    let plan =
        plan_with_alternatives(survey, &assessment, &catalogue, patch_rule, objective, workers);
    let quantities = quantities(survey, &plan, &catalogue, patch_rule);
    let drawing = Drawing { seed, draws, bid, workers };
    let estimate = Estimate {
        moisture_decisions: moisture_ways(
            survey,
            &assessment,
            &plan,
            &catalogue,
            patch_rule,
            objective,
        ),
        learned_rates,
        ..estimate_with(survey, &plan, &catalogue, drawing)
    };
    let weighing = Weighing {
        survey,
        catalogue: &catalogue,
        patch_rule,
        objective,
        plan: &plan,
        seed,
        workers,
    };
    let assessment = weighed(&assessment, weighing);
    WorkedOut { catalogue, assessment, plan, quantities, estimate }
}
