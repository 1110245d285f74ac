//! The cheapest sufficient sequence of preparation steps for every zone, machines
//! shared, proven optimal over the catalogue.
//!
//! Zones with the recommendation "engineer" or "do not bid" get no plan. A zone that
//! lacks evidence is planned on assumptions, all of them stated.
//!
//! The optimum: for each zone every way through its conditions is found that no other
//! way beats with the same or fewer machines ([`search`]); then all zones' ways are
//! combined, each machine paid once. A search that would take too long is cut short, and the
//! plan then says how far it may lie above the least.

mod alternatives;
mod bound;
mod condition;
mod fixed;
mod moves;
pub mod passes;
mod places;
mod price;
mod proof;
mod reach;
mod search;
pub mod sharing;
mod site;
mod terms;

pub use alternatives::{Alternative, Difference};
pub use condition::Condition;
pub use passes::Layout;
pub use places::{Ground, Start, start_of};
pub use price::{Part, PartOfWork, THICK_FILM_PACE, THIN_FILM_PACE};
pub use proof::{Proof, ProofTest, proof_of, shown_gone_by};
pub use search::Objective;
use search::{Effort, How};
pub use terms::{ItemNear, Term, of_zone as terms_of_zone};

use std::collections::BTreeSet;
use std::sync::Arc;

use schemars::JsonSchema;
use serde::Serialize;
use tooth_measure::choice::choices;
use tooth_measure::say::{Said, both, hours, said};
use tooth_measure::{
    Area, Length, Money, ProfileLevel, ProfileRange, Region, Source, Volume, WorkTime,
};
use tooth_texture::{Alone, Workers, each};

use crate::ambient::Dryness;
use crate::assessment::{
    Assessment, FindingState, Look, Recommendation, USUAL_MARGIN, ZoneAssessment,
};
use crate::extent::{Extent, PatchRule};
use crate::methods::{Catalogue, Cost, Hazard};
use crate::survey::{FeatureId, Matter, Setting, Survey, SystemClass, SystemId, Zone, ZoneId};

choices! {
    /// What a step is done to.
    Scope {
        /// The whole zone.
        Whole = "whole";
        /// Only where the film, oil or weak layer is.
        Part = "part";
        /// Loose places.
        Patches = "patches";
        /// Cracks or joints.
        Lines = "lines";
        /// Low spots.
        LowSpots = "low_spots";
    }
}
choices! {
    /// When a step is done.
    Stage {
        /// Before the system goes down.
        Preparation = "preparation";
        /// When it is down.
        AfterSystem = "after_system";
    }
}
choices! {
    /// Whether a zone has a plan.
    Planned {
        /// It has.
        Planned = "planned";
        /// The recommendation forbids planning.
        NotPlanned = "not_planned";
        /// No allowed sequence of methods reaches the goal.
        Infeasible = "infeasible";
    }
}
choices! {
    /// What must be signed before a step.
    Hold {
        /// Items in the slab located.
        Locate = "locate";
        /// Laboratory answer on old films.
        Laboratory = "laboratory";
        /// Hollow places opened.
        OpenedSpot = "opened_spot";
        /// Oil has not come back a day after cleaning.
        OilGone = "oil_gone";
        /// Sample panel approved.
        SamplePanel = "sample_panel";
        /// The prepared slab accepted, before a coat covers it.
        PreparedSlab = "prepared_slab";
        /// What a person must decide between, before any work.
        Decision = "decision";
        /// How the cut stays clear of what was located near it.
        NearItem = "near_item";
    }
}

/// Hand work along walls and obstacles that belongs to a step.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Edging {
    /// The hand method.
    pub method: String,
    /// Its name.
    pub name: Said,
    /// The band's area.
    pub area_m2: Area,
    /// Its crew-hours.
    pub hours: WorkTime,
}

/// One step in one zone.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Step {
    /// The method.
    pub method: String,
    /// Its name.
    pub name: Said,
    /// When it is done.
    pub stage: Stage,
    /// What it is done to.
    pub scope: Scope,
    /// Passes.
    pub passes: u8,
    /// Crew-hours, edging included.
    pub hours: WorkTime,
    /// Hours that must pass before the next step.
    pub wait_hours: WorkTime,
    /// Direct cost without mobilisation.
    pub cost: Money,
    /// The same apart.
    pub parts: Cost,
    /// Surface worked, edging included; null for lines.
    pub area_m2: Option<Area>,
    /// Length worked; null for surfaces.
    pub length_m: Option<Length>,
    /// Volume filled; null where nothing is filled.
    pub volume_m3: Option<Volume>,
    /// Pieces mended; null where nothing is counted.
    pub pieces: Option<u32>,
    /// The cracks, joints, loose places or low spots that it treats, or the marks that it is
    /// done on; empty for what is done all over.
    pub features: Vec<FeatureId>,
    /// The profile that it leaves; null where it leaves the profile alone.
    pub leaves: Option<ProfileLevel>,
    /// Hand work along walls, null if none.
    pub edging: Option<Edging>,
    /// What is checked before the next step; empty where nothing is.
    pub verify: Said,
    /// What must be signed before it starts.
    pub holds: Vec<Hold>,
    /// Conditions of releases that bind it.
    pub terms: Vec<Term>,
    /// What was located near where it cuts.
    pub near: Vec<ItemNear>,
    /// How it can hurt.
    pub hazards: Vec<Hazard>,
    /// One sentence for the crew.
    pub instruction: Said,
    /// Where the method's figures come from.
    pub source: Source,
    /// What its hours and cost are made of.
    #[serde(skip)]
    pub priced: Vec<Part>,
    /// Lanes that it is driven in, if it is.
    #[serde(skip)]
    laid: Option<Arc<Layout>>,
    /// Where it is done, if not all over.
    #[serde(skip)]
    pub ground: Option<Region>,
}

/// A method that may not be used in a zone, and why.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct RuledOut {
    /// The method.
    pub method: String,
    /// Why not.
    pub reason: Said,
}

/// The plan of one zone.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ZonePlan {
    /// The zone.
    pub zone: ZoneId,
    /// Its name.
    pub name: String,
    /// Whether it has a plan.
    pub state: Planned,
    /// Why it has none; empty when planned.
    pub reason: Said,
    /// What was assumed where evidence is missing.
    pub assumptions: Vec<Said>,
    /// The profile to reach.
    pub target: ProfileRange,
    /// The steps in order.
    pub steps: Vec<Step>,
    /// Passes of every machine over the zone.
    pub layouts: Vec<Layout>,
    /// What must be shown, signed or decided before the system goes down.
    pub before_system: Vec<Said>,
    /// Tests that show it prepared: acceptance asks for these and no others.
    pub proof: Vec<Proof>,
    /// Tests that the assessment still asks for.
    pub tests_asked: u32,
    /// Crew-hours of all steps.
    pub hours: WorkTime,
    /// Direct cost of all steps.
    pub cost: Money,
    /// Methods that may not be used here.
    pub ruled_out: Vec<RuledOut>,
}

/// A machine to bring.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct MachineBrought {
    /// Its catalogue name.
    pub machine: String,
    /// The name that a person reads.
    pub name: Said,
    /// Paid once; nothing for a machine that the firm owns.
    pub mobilisation: Money,
    /// Whether the firm owns it.
    pub owned: bool,
    /// The zones that use it.
    pub zones: Vec<ZoneId>,
}

/// The plan of the whole job.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Plan {
    /// What was made least.
    pub objective: Objective,
    /// One entry per zone.
    pub zones: Vec<ZonePlan>,
    /// Every machine to bring.
    pub machines: Vec<MachineBrought>,
    /// Steps and machines brought, before overhead and margin; trips, materials of the system and
    /// what the site asks for come on top in the price's direct cost.
    pub total_cost: Money,
    /// Crew-hours.
    pub total_hours: WorkTime,
    /// Hours of work that raises dust.
    pub dusty_hours: WorkTime,
    /// No plan over this catalogue costs less (for other objectives: of those that are
    /// as fast or as clean); set-ups that areas of a lot share are taken off of plan and bound
    /// alike, and are not searched for.
    pub lower_bound: Money,
    /// Whether the plan is proven the best.
    pub optimal: bool,
    /// Other plans, and what each trades; empty where nobody asked for them.
    pub alternatives: Vec<Alternative>,
}

impl Plan {
    /// Whether some zone that should have a plan has none.
    #[must_use]
    pub fn incomplete(&self) -> bool {
        self.zones.iter().any(|zone| zone.state == Planned::Infeasible)
    }

    /// The entry of a zone.
    #[must_use]
    pub fn of(&self, zone: &ZoneId) -> Option<&ZonePlan> {
        self.zones.iter().find(|entry| entry.zone == *zone)
    }
}

/// Plans the whole job.
#[must_use]
pub fn plan(
    survey: &Survey,
    assessment: &Assessment,
    catalogue: &Catalogue,
    patch_rule: PatchRule,
    objective: Objective,
) -> Plan {
    plan_by(survey, assessment, catalogue, patch_rule, objective, &Alone)
}

/// Plans the whole job with somebody to do the zones side by side; how many never shows.
#[must_use]
pub fn plan_by(
    survey: &Survey,
    assessment: &Assessment,
    catalogue: &Catalogue,
    patch_rule: PatchRule,
    objective: Objective,
    workers: &dyn Workers,
) -> Plan {
    let how = How { objective, effort: Effort::Full, workers };
    Task::of(survey, assessment, catalogue, patch_rule, workers).solved(None, how)
}

/// Plans a job to be held against others: the search stops early, and the plan may lie further
/// above the least.
#[must_use]
pub fn plan_briefly(
    survey: &Survey,
    assessment: &Assessment,
    catalogue: &Catalogue,
    patch_rule: PatchRule,
    objective: Objective,
) -> Plan {
    let how = How { objective, effort: Effort::Brief, workers: &Alone };
    Task::of(survey, assessment, catalogue, patch_rule, &Alone).solved(None, how)
}

/// Plans the whole job, with other ways beside the best: all from one reading of the zones.
#[must_use]
pub fn plan_with_alternatives(
    survey: &Survey,
    assessment: &Assessment,
    catalogue: &Catalogue,
    patch_rule: PatchRule,
    objective: Objective,
    workers: &dyn Workers,
) -> Plan {
    let task = Task::of(survey, assessment, catalogue, patch_rule, workers);
    let mut best = task.solved(None, How { objective, effort: Effort::Full, workers });
    best.alternatives = alternatives::of(&task, &best, workers);
    best
}

/// Everything that plans of one job share: zones, their areas, passes and allowed methods.
struct Task<'a> {
    survey: &'a Survey,
    assessment: &'a Assessment,
    catalogue: &'a Catalogue,
    patch_rule: PatchRule,
    zones: Vec<ZonePlan>,
    problems: Vec<search::ZoneProblem<'a>>,
}

impl<'a> Task<'a> {
    fn of(
        survey: &'a Survey,
        assessment: &'a Assessment,
        catalogue: &'a Catalogue,
        patch_rule: PatchRule,
        workers: &dyn Workers,
    ) -> Self {
        let (zones, problems) = problems(survey, assessment, catalogue, patch_rule, workers);
        Self { survey, assessment, catalogue, patch_rule, zones, problems }
    }

    /// The best plan, without surface work by a machine if one is named.
    fn solved(&self, without: Option<&str>, how: How<'_>) -> Plan {
        let mut problems = self.problems.clone();
        if let Some(machine) = without {
            for problem in &mut problems {
                problem.methods.retain(|&index| {
                    let method = self.catalogue.methods.get(index);
                    method.is_none_or(|method| {
                        method.machine.as_deref() != Some(machine) || method.surface().is_none()
                    })
                });
            }
        }
        finished(self, self.zones.clone(), &problems, how)
    }
}

fn problems<'a>(
    survey: &'a Survey,
    assessment: &Assessment,
    catalogue: &Catalogue,
    patch_rule: PatchRule,
    workers: &dyn Workers,
) -> (Vec<ZonePlan>, Vec<search::ZoneProblem<'a>>) {
    let of_zone = |zone: &'a Zone| {
        let (system, assessed) = (survey.system_of(zone)?, assessment.of(&zone.id)?);
        let extent = Extent::measure(survey, zone, patch_rule);
        let look = Look { survey, zone, system, extent: &extent };
        Some(problem(&look, &extent, assessed, catalogue))
    };
    let (mut zones, mut problems) = (Vec::new(), Vec::new());
    for (entry, problem) in
        each(workers, survey.zones.iter().collect(), of_zone).into_iter().flatten()
    {
        let index = zones.len();
        problems.extend(problem.map(|problem| search::ZoneProblem { index, ..problem }));
        zones.push(entry);
    }
    (zones, problems)
}

/// A zone's entry in the plan, and what is to be planned in it.
fn problem<'a>(
    look: &Look<'_>,
    extent: &Extent<'a>,
    assessed: &ZoneAssessment,
    catalogue: &Catalogue,
) -> (ZonePlan, Option<search::ZoneProblem<'a>>) {
    let target = look.target().0;
    let mut entry = ZonePlan {
        zone: look.zone.id.clone(),
        name: look.zone.name.clone(),
        state: Planned::NotPlanned,
        reason: Said::nothing(),
        assumptions: Vec::new(),
        target,
        steps: Vec::new(),
        layouts: Vec::new(),
        before_system: Vec::new(),
        proof: Vec::new(),
        tests_asked: assessed.unknown.iter().map(|gap| gap.count).sum(),
        hours: WorkTime::ZERO,
        cost: Money::ZERO,
        ruled_out: Vec::new(),
    };
    match assessed.recommendation {
        Recommendation::DoNotBid => {
            entry.reason = said!("do-not-bid", because = &assessed.because);
            return (entry, None);
        }
        Recommendation::Engineer => {
            entry.reason = said!("an-engineer-or-licensed-specialist", because = &assessed.because);
            return (entry, None);
        }
        Recommendation::Go | Recommendation::RepairFirst | Recommendation::TestMore => {}
    }
    let start = start_of(look);
    let allowed = site::allowed(look, catalogue);
    entry.assumptions.clone_from(&start.assumptions);
    entry.ruled_out.clone_from(&allowed.ruled_out);
    let fixed = match fixed::steps(look, assessed, catalogue) {
        Ok(fixed) => fixed,
        Err(reason) => {
            entry.state = Planned::Infeasible;
            entry.reason = reason;
            return (entry, None);
        }
    };
    let problem = search::ZoneProblem {
        index: 0,
        reach: reach::Reach::of(extent, &start, catalogue, &allowed.methods),
        target,
        agreed: site::agreed_exposure(look.system),
        methods: allowed.methods,
        tried: site::tried(look, catalogue),
        extent: extent.clone(),
        holds: site::holds(look, assessed, start.worst_oil()),
        fixed,
        start,
    };
    (entry, Some(problem))
}

fn finished(
    task: &Task<'_>,
    mut zones: Vec<ZonePlan>,
    problems: &[search::ZoneProblem<'_>],
    how: How<'_>,
) -> Plan {
    let (catalogue, assessment) = (task.catalogue, task.assessment);
    let pricing = price::Pricing { facts: &task.survey.facts, catalogue };
    let solution = search::solve(problems, &pricing, how);
    for (problem, steps) in problems.iter().zip(solution.steps) {
        let Some(entry) = zones.get_mut(problem.index) else {
            continue;
        };
        match steps {
            Ok(steps) => {
                entry.state = Planned::Planned;
                let undecided = assessment.of(&entry.zone).is_some_and(is_undecided);
                let panel = problem.holds.is_panel_due();
                entry.steps = fixed::with_last(steps, &problem.fixed, panel, undecided);
                entry.layouts = layouts(&entry.steps);
                entry.hours = entry.steps.iter().map(|step| step.hours).sum();
                entry.cost = entry.steps.iter().map(|step| step.cost).sum();
                let zone = task.survey.zones.iter().find(|zone| zone.id == entry.zone);
                let system = zone.and_then(|zone| task.survey.system_of(zone));
                if let (Some(assessed), Some(zone), Some(system)) =
                    (assessment.of(&entry.zone), zone, system)
                {
                    let extent = &problem.extent;
                    let look = Look { survey: task.survey, zone, system, extent };
                    terms::bind(&look, &mut entry.steps, catalogue);
                    entry.proof = proof_of(&look, &assessed.findings, &entry.steps, catalogue);
                    entry.before_system = before_system(assessed, &entry.proof, &look);
                }
            }
            Err(missing) => {
                entry.state = Planned::Infeasible;
                entry.reason =
                    search::why_infeasible(&missing, problem.target, &entry.ruled_out, catalogue);
            }
        }
    }
    set_up_once(task.survey, &mut zones);
    let machines = machines_brought(&zones, &pricing);
    let total_cost = zones.iter().map(|z| z.cost).sum::<Money>()
        + machines.iter().map(|m| m.mobilisation).sum::<Money>();
    Plan {
        objective: how.objective,
        total_hours: zones.iter().map(|z| z.hours).sum(),
        dusty_hours: zones
            .iter()
            .flat_map(|zone| &zone.steps)
            .map(|step| search::dusty_hours(step, catalogue))
            .sum(),
        alternatives: Vec::new(),
        zones,
        machines,
        total_cost,
        lower_bound: (total_cost - solution.gap).max(Money::ZERO),
        optimal: solution.gap <= Money::ZERO,
    }
}

/// Areas of one lot are worked in one go: a tool that was set up in one of them stands ready in
/// the next.
fn set_up_once(survey: &Survey, zones: &mut [ZonePlan]) {
    let lot_of = |zone: &ZonePlan| {
        let zone = survey.zones.iter().find(|held| held.id == zone.zone)?;
        zone.lot.clone().map(|lot| (lot, zone.system.clone()))
    };
    let mut standing: BTreeSet<(String, SystemId, String, PartOfWork)> = BTreeSet::new();
    for zone in zones {
        let Some((lot, system)) = lot_of(zone) else { continue };
        let key = |part: &Part| (lot.clone(), system.clone(), part.method.clone(), part.work);
        let own: Vec<_> = zone.steps.iter().flat_map(|step| &step.priced).map(&key).collect();
        for step in &mut zone.steps {
            step.set_up_before(|part| standing.contains(&key(part)));
        }
        standing.extend(own);
        zone.hours = zone.steps.iter().map(|step| step.hours).sum();
        zone.cost = zone.steps.iter().map(|step| step.cost).sum();
    }
}

impl ZonePlan {
    /// The lanes in which a step is driven, if it is.
    #[must_use]
    pub fn layout_of(&self, step: &Step) -> Option<&Layout> {
        let laid = step.laid.as_deref()?;
        self.layouts.iter().find(|held| held.is_of(&step.method, laid))
    }
}

/// The lanes of every machine's steps, each once.
fn layouts(steps: &[Step]) -> Vec<Layout> {
    let mut layouts: Vec<Layout> = Vec::new();
    for step in steps {
        if let Some(laid) = &step.laid
            && !layouts.iter().any(|held| held.is_of(&step.method, laid))
        {
            layouts.push(Layout { method: step.method.clone(), ..Layout::clone(laid) });
        }
    }
    layouts
}

/// Whether it is open what the area becomes: a stain that finds no lime, a sheet against the
/// texture, a film that was to stay.
fn is_undecided(assessed: &ZoneAssessment) -> bool {
    let open = [Matter::Lime, Matter::Texture, Matter::FilmKept];
    assessed.findings.iter().any(|finding| {
        finding.state == FindingState::Decide
            && finding.overruled.is_none()
            && open.contains(&finding.code)
    })
}

/// What must be signed or decided, and then shown, before the system goes down.
fn before_system(assessed: &ZoneAssessment, proof: &[Proof], look: &Look<'_>) -> Vec<Said> {
    let due = assessed.findings.iter().filter(|f| {
        // Locates hold the steps that cut, not the system.
        matches!(f.state, FindingState::Hold | FindingState::Decide)
            && f.overruled.is_none()
            && f.code != Matter::EmbeddedItems
    });
    let due = due.map(|f| match f.code {
        Matter::Moisture if f.state == FindingState::Decide => {
            said!("mitigation-is-not-in-this-price", reason = &f.reason)
        }
        _ => f.reason.clone(),
    });
    let weather = weather_of(look);
    let terms = terms::of_zone(look);
    let open = terms.iter().filter(|term| term.is_open());
    let open = open.map(|term| said!("release-signed", condition = term.said()));
    due.chain(open).chain(weather).chain(proof.iter().map(|test| test.said(look))).collect()
}

/// What the weather must keep outdoors for what hazes, blushes or bubbles.
fn weather_of(look: &Look<'_>) -> Option<Said> {
    let outdoors = look.survey.facts.slab.setting == Setting::Outdoor;
    let thin = look.system.soaks_in() || look.system.class == SystemClass::ThinFilm;
    if !outdoors || !thin {
        return None;
    }
    let dryness = Dryness::of(look.system);
    let margin = look.system.dew_point_margin.unwrap_or(USUAL_MARGIN);
    Some(said!(
        "weather-of-the-coat",
        before = hours(dryness.before),
        after = hours(dryness.after),
        least = hours(dryness.least),
        margin = both(margin)
    ))
}

fn machines_brought(zones: &[ZonePlan], pricing: &price::Pricing<'_>) -> Vec<MachineBrought> {
    pricing
        .catalogue
        .machines
        .iter()
        .filter_map(|machine| {
            let uses = |zone: &&ZonePlan| {
                zone.steps
                    .iter()
                    .flat_map(|step| &step.priced)
                    .any(|part| part.machines().any(|id| id == machine.id))
            };
            let users: Vec<ZoneId> =
                zones.iter().filter(uses).map(|zone| zone.zone.clone()).collect();
            (!users.is_empty()).then(|| MachineBrought {
                machine: machine.id.clone(),
                name: machine.name.clone(),
                mobilisation: pricing.mobilisation(machine),
                owned: pricing.owned(machine),
                zones: users,
            })
        })
        .collect()
}
