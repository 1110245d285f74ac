//! The price of a plan and how sure it is.
//!
//! Direct cost comes from the plan's steps; mobilisation, trips and the system's own
//! material, where it has a price, are lines of their own. Tests, sample panels, locates
//! and protection are not in the price. Price = direct × (1 + overhead) ÷ (1 - margin): overhead is a
//! mark-up on cost, margin a share of the price.
//!
//! What is not known is drawn: the pace of each method (PERT over its planning range,
//! one draw per method and job), and how much more damage is found than was marked
//! (one lognormal draw per zone), and how large the loose places really are that only a recording
//! of taps knows (one lognormal draw per zone, from the sounding's own bounds). Each block of 256 draws has its own stream, so that
//! threads never show.

use schemars::JsonSchema;
use serde::Serialize;
use tooth_measure::chance::{Seed, Stream};
use tooth_measure::statistics::{self, LogNormal, Pert};
use tooth_measure::{Area, Fraction, Money, WorkTime};

use crate::extent::{Extent, PatchRule};
use crate::methods::Cost;
use crate::plan::{Part, Plan, Planned, ZonePlan};
use crate::survey::{Hollow, Place, Seen, Survey, ZoneId};

/// Draws of one estimate.
pub const DRAWS: usize = 4096;
const BLOCK: usize = 256;

/// A figure by the share of draws that stay below it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Percentiles<Q> {
    /// Low: a tenth of draws stay below.
    pub p10: Q,
    /// Likely: half of draws stay below.
    pub p50: Q,
    /// Four fifths of draws stay below.
    pub p80: Q,
    /// High: nine tenths of draws stay below.
    pub p90: Q,
    /// Mean of the draws.
    pub mean: Q,
}

/// One line of the price, at the likeliest figures.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Line {
    /// The zone; null for lines of the whole job.
    pub zone: Option<ZoneId>,
    /// What it is.
    pub item: String,
    /// Crew-hours.
    pub hours: WorkTime,
    /// Wages.
    pub labour: Money,
    /// Machine hours.
    pub machine: Money,
    /// Consumables and materials.
    pub material: Money,
    /// Waste.
    pub disposal: Money,
    /// Machines brought and trips made.
    pub mobilisation: Money,
    /// All of the line.
    pub total: Money,
}

/// How much one unknown moves the price.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Driver {
    /// The unknown.
    pub unknown: String,
    /// Share of the movement, by squared rank correlation; all drivers add up to 1.
    pub share: Fraction,
}

/// The price at marked quantities and the likeliest pace, apart.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Price {
    /// Wages.
    pub labour: Money,
    /// Machine hours.
    pub machine: Money,
    /// Consumables and materials.
    pub material: Money,
    /// Waste.
    pub disposal: Money,
    /// Machines brought and trips made.
    pub mobilisation: Money,
    /// All direct cost.
    pub direct: Money,
    /// Mark-up for overhead.
    pub overhead: Money,
    /// Margin.
    pub margin: Money,
    /// What the client pays.
    pub price: Money,
}

/// The estimate of a job.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Estimate {
    /// ISO 4217 code of every amount.
    pub currency: String,
    /// The seed of the draws.
    pub seed: Seed,
    /// Number of draws.
    pub draws: u32,
    /// The price to the client, with overhead and margin.
    pub cost: Percentiles<Money>,
    /// Crew-hours.
    pub hours: Percentiles<WorkTime>,
    /// The price at marked quantities and the likeliest pace, apart. Hidden damage is
    /// not in it: that is why it lies below the middle of the draws.
    pub as_marked: Price,
    /// To set aside above the price as marked: 80th percentile less that price.
    pub contingency: Money,
    /// What moves the price, most first.
    pub drivers: Vec<Driver>,
    /// The lines of direct cost at the likeliest figures.
    pub lines: Vec<Line>,
    /// Zones that are not in the price.
    pub left_out: Vec<ZoneId>,
}

/// Prices a plan.
#[must_use]
pub fn estimate(survey: &Survey, plan: &Plan, seed: Seed) -> Estimate {
    let lines = lines(survey, plan);
    let direct: Cost = lines
        .iter()
        .map(|l| Cost {
            labour: l.labour,
            machine: l.machine,
            material: l.material,
            disposal: l.disposal,
        })
        .sum();
    let mobilisation: Money = lines.iter().map(|line| line.mobilisation).sum();
    let as_marked = priced(survey, direct, mobilisation);
    let Simulation { mut prices, mut hours, drivers } = simulate(survey, plan, seed);
    prices.sort_by(|a, b| a.amount().total_cmp(&b.amount()));
    hours.sort_by(|a, b| a.hours().total_cmp(&b.hours()));
    let cost = percentiles(&prices, as_marked.price);
    Estimate {
        currency: survey.facts.currency.code().to_owned(),
        seed,
        draws: DRAWS as u32,
        contingency: (cost.p80 - as_marked.price).max(Money::ZERO),
        cost,
        hours: percentiles(&hours, plan.total_hours),
        as_marked,
        drivers,
        lines,
        left_out: plan
            .zones
            .iter()
            .filter(|z| z.state != Planned::Planned)
            .map(|z| z.zone.clone())
            .collect(),
    }
}

/// Trips of the crew: a working day each, and one more for every long wait of the zone
/// that waits most often. Assumption.
fn trips(survey: &Survey, plan: &Plan, hours: WorkTime) -> f64 {
    let days = (hours / survey.facts.rates.working_day - 1e-9).ceil().max(0.0);
    let waits =
        |zone: &ZonePlan| zone.steps.iter().filter(|step| step.wait_hours >= OVERNIGHT).count();
    let returns = plan.zones.iter().map(waits).max().unwrap_or(0) as f64;
    if days > 0.0 { days.max(1.0 + returns) } else { 0.0 }
}

/// A wait after which the crew comes back another day.
const OVERNIGHT: WorkTime = WorkTime::from_hours(12.0);

fn priced(survey: &Survey, cost: Cost, mobilisation: Money) -> Price {
    let direct = cost.total() + mobilisation;
    let overhead = direct * survey.facts.money.overhead;
    let price = (direct + overhead) / survey.facts.money.margin.complement().ratio();
    Price {
        labour: cost.labour,
        machine: cost.machine,
        material: cost.material,
        disposal: cost.disposal,
        mobilisation,
        direct,
        overhead,
        margin: price - direct - overhead,
        price,
    }
}

fn percentiles<Q: tooth_measure::Quantity>(sorted: &[Q], none: Q) -> Percentiles<Q> {
    let at =
        |percent| statistics::quantile(sorted, Fraction::from_percent(percent)).unwrap_or(none);
    Percentiles {
        p10: at(10.0),
        p50: at(50.0),
        p80: at(80.0),
        p90: at(90.0),
        mean: statistics::mean(sorted).unwrap_or(none),
    }
}

fn lines(survey: &Survey, plan: &Plan) -> Vec<Line> {
    let mut lines = Vec::new();
    for zone in &plan.zones {
        for step in &zone.steps {
            lines.push(Line {
                zone: Some(zone.zone.clone()),
                item: step.name.clone(),
                hours: step.hours,
                labour: step.parts.labour,
                machine: step.parts.machine,
                material: step.parts.material,
                disposal: step.parts.disposal,
                mobilisation: Money::ZERO,
                total: step.cost,
            });
        }
    }
    let whole_job = |item: String, amount: Money| Line {
        zone: None,
        item,
        hours: WorkTime::ZERO,
        labour: Money::ZERO,
        machine: Money::ZERO,
        material: Money::ZERO,
        disposal: Money::ZERO,
        mobilisation: amount,
        total: amount,
    };
    for (zone, item, material) in system_materials(survey, plan) {
        let line = whole_job(item, material);
        lines.push(Line { zone: Some(zone), material, mobilisation: Money::ZERO, ..line });
    }
    for machine in plan.machines.iter().filter(|machine| !machine.owned) {
        lines.push(whole_job(format!("Bring and fetch: {}", machine.name), machine.mobilisation));
    }
    let trips = trips(survey, plan, plan.total_hours);
    if trips > 0.0 {
        lines.push(whole_job(
            format!("{trips} crew trip{}", if trips > 1.0 { "s" } else { "" }),
            survey.facts.rates.trip * trips,
        ));
    }
    lines
}

/// The system's own material where the sheet gives a price: net area × thickness with
/// waste.
fn system_materials(survey: &Survey, plan: &Plan) -> Vec<(ZoneId, String, Money)> {
    plan.zones
        .iter()
        .filter(|planned| planned.state == Planned::Planned)
        .filter_map(|planned| {
            let zone = survey.zones.iter().find(|zone| zone.id == planned.zone)?;
            let system = survey.system_of(zone)?;
            let material = system.material?;
            let volume =
                Extent::measure(survey, zone, PatchRule::PartialDepth).net * system.thickness;
            let money = material.price? * (volume * (1.0 + material.waste.ratio()));
            Some((zone.id.clone(), format!("Material: {}", system.name), money))
        })
        .collect()
}

struct Simulation {
    prices: Vec<Money>,
    hours: Vec<WorkTime>,
    drivers: Vec<Driver>,
}

/// An unknown that is drawn.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum UnknownFactor {
    Pace { method: String, work: &'static str, name: String },
    Growth { zone: ZoneId, name: String },
    Heard { zone: ZoneId, name: String },
}

/// Half the width, in standard deviations, of bounds that hold nine times in ten.
const NINE_IN_TEN: f64 = 1.644_853_627;

/// Loose places of a zone that only a recording knows: their share of all that is patched
/// there, and how their true area may differ from the one heard. None where there are none.
fn heard(survey: &Survey, zone: &ZoneId) -> Option<(Fraction, LogNormal)> {
    let zone = survey.zones.iter().find(|known| known.id == *zone)?;
    let patched: Vec<(&str, Area)> = survey
        .features_of(zone)
        .filter(|feature| {
            let sure = matches!(feature.seen, Seen::Hollow { sure: Hollow::Sure, .. });
            sure || matches!(feature.seen, Seen::Spall { .. })
        })
        .filter_map(|feature| match &feature.place {
            Place::Patch(outline) => Some((feature.id.as_str(), outline.area())),
            _ => None,
        })
        .collect();
    let (mut area, mut low, mut high) = (Area::ZERO, Area::ZERO, Area::ZERO);
    for survey in &survey.soundings {
        let areas = survey.sounding.field.iter().flat_map(|field| &field.areas);
        for (number, heard) in areas.enumerate() {
            let name = format!("tap-{}-{}", survey.name, number + 1);
            if patched.iter().any(|(id, _)| *id == name) {
                area += heard.area;
                low += heard.bounds.0;
                high += heard.bounds.1;
            }
        }
    }
    let all: Area = patched.iter().map(|(_, area)| *area).sum();
    let sound = low > Area::ZERO && high > low && all > Area::ZERO;
    let sigma = if sound { (high / low).ln() / (2.0 * NINE_IN_TEN) } else { return None };
    let share = Fraction::new((area / all).min(1.0));
    Some((share, LogNormal::from_median(1.0, sigma)?))
}

fn simulate(survey: &Survey, plan: &Plan, seed: Seed) -> Simulation {
    let unknowns = unknowns(survey, plan);
    let brought: Money = plan.machines.iter().map(|machine| machine.mobilisation).sum();
    let growth = LogNormal::from_median(
        survey.facts.uncertainty.hidden_growth_median,
        survey.facts.uncertainty.hidden_growth_sigma,
    );
    let heard: Vec<Option<(Fraction, LogNormal)>> = unknowns
        .iter()
        .map(|(unknown, _)| match unknown {
            UnknownFactor::Heard { zone, .. } => heard(survey, zone),
            _ => None,
        })
        .collect();
    let priced_parts = indexed(plan, &unknowns);
    let system_material: Money =
        system_materials(survey, plan).into_iter().map(|(.., money)| money).sum();
    let mut drawn: Vec<Vec<f64>> = vec![Vec::with_capacity(DRAWS); unknowns.len()];
    let (mut prices, mut hours) = (Vec::with_capacity(DRAWS), Vec::with_capacity(DRAWS));
    for block in 0..DRAWS / BLOCK {
        let mut stream = Stream::new(seed, block as u64);
        for _ in 0..BLOCK {
            let draw: Vec<f64> = unknowns
                .iter()
                .zip(&heard)
                .map(|((unknown, pace), heard)| {
                    let p = Fraction::new(stream.uniform());
                    match unknown {
                        UnknownFactor::Pace { .. } => pace.map_or(1.0, |pert| pert.quantile(p)),
                        UnknownFactor::Growth { .. } => growth.map_or(1.0, |g| g.quantile(p)),
                        UnknownFactor::Heard { .. } => heard.map_or(1.0, |(share, size)| {
                            1.0 + share.ratio() * (size.quantile(p) - 1.0)
                        }),
                    }
                })
                .collect();
            let factor = |at: Option<usize>| at.and_then(|i| draw.get(i)).copied().unwrap_or(1.0);
            let mut cost = Cost { material: system_material, ..Cost::default() };
            let mut time = WorkTime::ZERO;
            for (part, pace, grown, heard) in &priced_parts {
                let growth = factor(*grown) * factor(*heard);
                cost = cost + part.cost(factor(*pace), growth);
                time += part.hours(factor(*pace), growth);
            }
            let mobilisation = brought + survey.facts.rates.trip * trips(survey, plan, time);
            prices.push(priced(survey, cost, mobilisation).price);
            hours.push(time);
            for (column, value) in drawn.iter_mut().zip(draw) {
                column.push(value);
            }
        }
    }
    let drivers = drivers(&unknowns, &drawn, &prices);
    Simulation { prices, hours, drivers }
}

/// Every part of every step with the places of its pace, growth and heard area among the
/// unknowns.
type Indexed<'a> = (&'a Part, Option<usize>, Option<usize>, Option<usize>);

fn indexed<'a>(plan: &'a Plan, unknowns: &[(UnknownFactor, Option<Pert>)]) -> Vec<Indexed<'a>> {
    let place =
        |wanted: &dyn Fn(&UnknownFactor) -> bool| unknowns.iter().position(|(u, _)| wanted(u));
    plan.zones
        .iter()
        .flat_map(|zone| {
            zone.steps.iter().flat_map(|step| &step.priced).map(move |part| (zone, part))
        })
        .map(|(zone, part)| {
            let pace = place(
                &|u| matches!(u, UnknownFactor::Pace { method, work, .. } if *method == part.method && *work == part.work),
            );
            let grown =
                place(&|u| matches!(u, UnknownFactor::Growth { zone: z, .. } if *z == zone.zone));
            let heard =
                place(&|u| matches!(u, UnknownFactor::Heard { zone: z, .. } if *z == zone.zone));
            (part, pace, grown, heard)
        })
        .collect()
}

fn unknowns(survey: &Survey, plan: &Plan) -> Vec<(UnknownFactor, Option<Pert>)> {
    let mut unknowns: Vec<(UnknownFactor, Option<Pert>)> = Vec::new();
    let mut add = |unknown: UnknownFactor, pace| {
        if !unknowns.iter().any(|(held, _)| *held == unknown) {
            unknowns.push((unknown, pace));
        }
    };
    for zone in &plan.zones {
        for step in &zone.steps {
            for part in &step.priced {
                let edger = step.edging.as_ref().filter(|edge| edge.method == part.method);
                let mut name = edger.map_or(&step.name, |edge| &edge.name).clone();
                if !part.work.is_empty() {
                    name = format!("{name} ({})", part.work);
                }
                add(
                    UnknownFactor::Pace { method: part.method.clone(), work: part.work, name },
                    Pert::new(part.pace.0, 1.0, part.pace.1),
                );
                if part.grows {
                    add(
                        UnknownFactor::Growth { zone: zone.zone.clone(), name: zone.name.clone() },
                        None,
                    );
                    if heard(survey, &zone.zone).is_some() {
                        add(
                            UnknownFactor::Heard {
                                zone: zone.zone.clone(),
                                name: zone.name.clone(),
                            },
                            None,
                        );
                    }
                }
            }
        }
    }
    unknowns
}

fn drivers(
    unknowns: &[(UnknownFactor, Option<Pert>)],
    drawn: &[Vec<f64>],
    prices: &[Money],
) -> Vec<Driver> {
    let amounts: Vec<f64> = prices.iter().map(|price| price.amount()).collect();
    let squared: Vec<f64> =
        drawn.iter().map(|column| statistics::rank_correlation(column, &amounts).powi(2)).collect();
    let all: f64 = squared.iter().sum();
    let mut drivers: Vec<Driver> = unknowns
        .iter()
        .zip(squared)
        .filter(|_| all > 0.0)
        .map(|((unknown, _), share)| Driver {
            unknown: match unknown {
                UnknownFactor::Pace { name, .. } => format!("pace of: {}", name.to_lowercase()),
                UnknownFactor::Growth { name, .. } => format!("hidden damage in: {name}"),
                UnknownFactor::Heard { name, .. } => {
                    format!("size of the hollow places heard in: {name}")
                }
            },
            share: Fraction::new(share / all),
        })
        .collect();
    drivers.sort_by(|a, b| {
        b.share.ratio().total_cmp(&a.share.ratio()).then_with(|| a.unknown.cmp(&b.unknown))
    });
    drivers
}
