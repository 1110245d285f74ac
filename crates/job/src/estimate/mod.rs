//! The price of a plan and how sure it is.
//!
//! Direct cost comes from the plan's steps; mobilisation, trips, the system's own material
//! where it has a price, and what the site asks for (masking, notices, steps, drains) are
//! lines of their own. Price = direct × (1 + overhead) ÷ (1 - margin): overhead is a mark-up
//! on cost, margin a share of the price.
//!
//! What is not known is drawn: the pace of each method (PERT over its planning range, one
//! draw per method and job, all of them partly together), how much more damage is found than
//! was marked (lognormal, one per zone, partly together), how large the loose places are that
//! only a recording knows (from the sounding's own bounds), the prices of materials, and
//! whether part of a profile must be made again. Change orders are priced apart.

mod draws;
mod exclusions;
mod model;
mod ways;

pub use exclusions::{Excluded, Exclusion};
pub use ways::{MoistureDecision, Way, WayKind, moisture_ways};

use schemars::JsonSchema;
use serde::Serialize;
use tooth_measure::chance::Seed;
use tooth_measure::say::{Argument, Said, said};
use tooth_measure::statistics;
use tooth_measure::{Fraction, Money, WorkTime};
use tooth_texture::{Alone, Workers};

use crate::extent::net_area;
use crate::methods::{Catalogue, Cost, Learned};
use crate::plan::{Plan, Planned, ZonePlan};
use crate::survey::{Survey, ZoneId};

/// Draws of one estimate where nobody asks for another number.
pub const DRAWS: u32 = 16_384;
/// Draws by whose ranks it is told what moves the price.
const RANKED: usize = 4096;
/// Points of the curve of the price, from the lowest to the highest.
const CURVE: usize = 100;

/// How an estimate is drawn.
#[derive(Clone, Copy)]
pub struct Drawing<'a> {
    /// Seed of all chance.
    pub seed: Seed,
    /// Number of draws, rounded up to whole blocks of 256.
    pub draws: u32,
    /// A price whose chance of loss is wanted.
    pub bid: Option<Money>,
    /// Who does the blocks; how many there are never shows.
    pub workers: &'a dyn Workers,
}

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
    pub item: Said,
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
    pub unknown: Said,
    /// Share of the movement, by squared rank correlation; all drivers add up to 1.
    pub share: Fraction,
    /// The price where this alone goes well (one time in ten better).
    pub low: Money,
    /// The price where this alone goes badly (one time in ten worse).
    pub high: Money,
}

/// What a bid risks.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Bid {
    /// The price offered.
    pub bid: Money,
    /// Share of draws in which direct cost and overhead exceed it.
    pub chance_of_loss: Fraction,
    /// Mean of what is left of it after direct cost and overhead.
    pub mean_margin: Money,
}

/// A change order with its price.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ChangePrice {
    /// The order.
    pub order: String,
    /// The zone.
    pub zone: ZoneId,
    /// What was found.
    pub found: String,
    /// How much of it.
    pub quantity: Said,
    /// Crew-hours on top.
    pub hours: WorkTime,
    /// Price to the client, with overhead and margin.
    pub price: Money,
    /// Who signed it; null while nobody has.
    pub signed_by: Option<String>,
    /// Whether the work goes on meanwhile.
    pub proceed: bool,
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
    /// Added where job or trips stay below the firm's least.
    pub up_to_least: Money,
    /// What the client pays.
    pub price: Money,
}

/// Days on which the crew is on the site.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct DaysOnSite {
    /// At marked quantities and the likeliest pace.
    pub as_marked: u32,
    /// Half of draws need no more.
    pub p50: u32,
    /// Four fifths of draws need no more.
    pub p80: u32,
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
    /// Days on the site: crew and tools come once for each.
    pub days_on_site: DaysOnSite,
    /// The price at marked quantities and the likeliest pace, apart. Hidden damage is
    /// not in it: that is why it lies below the middle of the draws.
    pub as_marked: Price,
    /// To set aside above the price as marked: 80th percentile less that price.
    pub contingency: Money,
    /// What moves the price, most first.
    pub drivers: Vec<Driver>,
    /// Price below which 0, 1, 2 … 100 % of draws stay.
    pub curve: Vec<Money>,
    /// What bids at some prices risk.
    pub bids: Vec<Bid>,
    /// Hidden damage found since: each as a change to the price.
    pub change_orders: Vec<ChangePrice>,
    /// The likely price with all signed change orders.
    pub likely_with_changes: Money,
    /// The lines of direct cost at the likeliest figures.
    pub lines: Vec<Line>,
    /// Zones that are not in the price.
    pub left_out: Vec<ZoneId>,
    /// What a client may think is in the price and is not; what matters most first.
    pub not_in_price: Vec<Excluded>,
    /// Where the slab is too wet: every way out with its price.
    pub moisture_decisions: Vec<MoistureDecision>,
    /// Rates that logged work has changed.
    pub learned_rates: Vec<Learned>,
}

/// Prices a plan with the usual number of draws, one after the other.
#[must_use]
pub fn estimate(survey: &Survey, plan: &Plan, catalogue: &Catalogue, seed: Seed) -> Estimate {
    let drawing = Drawing { seed, draws: DRAWS, bid: None, workers: &Alone };
    estimate_with(survey, plan, catalogue, drawing)
}

/// Prices a plan.
#[must_use]
pub fn estimate_with(
    survey: &Survey,
    plan: &Plan,
    catalogue: &Catalogue,
    drawing: Drawing<'_>,
) -> Estimate {
    let (model, unknowns) = model::model_of(survey, plan, catalogue);
    let lines = lines(survey, plan, &model);
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
    let (on_site, loud) = model.on_site();
    let trips = model.trips(on_site, loud);
    let as_marked = priced(survey, direct, mobilisation, trips);
    let blocks = (drawing.draws.max(1) as usize).div_ceil(draws::BLOCK);
    let drawn = model.draw(drawing.seed, blocks, RANKED, drawing.workers);
    let marked_up = 1.0 + survey.facts.money.overhead.ratio();
    let per_cost = survey.facts.money.price_per_cost();
    let least = |trips: f64| least_price(survey, trips);
    let mut prices: Vec<Money> = drawn
        .direct
        .iter()
        .zip(&drawn.trips)
        .map(|(cost, trips)| Money::new(cost * per_cost).max(least(*trips)))
        .collect();
    let drivers = drivers(&model, &unknowns, &drawn, &prices, per_cost);
    prices.sort_unstable_by(|a, b| a.amount().total_cmp(&b.amount()));
    let mut hours: Vec<WorkTime> = drawn.hours.iter().copied().map(WorkTime::from_hours).collect();
    hours.sort_unstable_by(|a, b| a.hours().total_cmp(&b.hours()));
    let mut days = drawn.trips.clone();
    days.sort_unstable_by(f64::total_cmp);
    let days_at = |share: f64| {
        let place = ((days.len() as f64 * share) as usize).min(days.len().saturating_sub(1));
        days.get(place).map_or(0, |trips| *trips as u32)
    };
    let cost = percentiles(&prices, as_marked.price);
    let costs = || drawn.direct.iter().map(|cost| cost * marked_up);
    let risk = |bid: Money| Bid {
        bid,
        chance_of_loss: Fraction::new(
            costs().filter(|cost| *cost > bid.amount()).count() as f64 / prices.len() as f64,
        ),
        mean_margin: bid - Money::new(costs().sum::<f64>() / prices.len() as f64),
    };
    let bids = [as_marked.price, cost.p50, cost.p80].into_iter().chain(drawing.bid).map(risk);
    let change_orders = change_orders(survey, per_cost);
    let signed = change_orders.iter().filter(|order| order.signed_by.is_some());
    let signed: Money = signed.map(|order| order.price).sum();
    Estimate {
        currency: survey.facts.currency.code().to_owned(),
        seed: drawing.seed,
        draws: prices.len() as u32,
        contingency: (cost.p80 - as_marked.price).max(Money::ZERO),
        cost,
        hours: percentiles(&hours, plan.total_hours),
        days_on_site: DaysOnSite { as_marked: trips as u32, p50: days_at(0.5), p80: days_at(0.8) },
        as_marked,
        drivers,
        curve: (0..=CURVE)
            .filter_map(|at| {
                let share = Fraction::new(at as f64 / CURVE as f64);
                statistics::quantile(&prices, share)
            })
            .collect(),
        bids: bids.collect(),
        likely_with_changes: cost.p50 + signed,
        change_orders,
        lines,
        left_out: plan
            .zones
            .iter()
            .filter(|z| z.state != Planned::Planned)
            .map(|z| z.zone.clone())
            .collect(),
        not_in_price: exclusions::of(survey, plan, catalogue),
        moisture_decisions: Vec::new(),
        learned_rates: Vec::new(),
    }
}

/// Direct cost of a plan, the mean over few draws of the same streams: to compare plans by.
pub(crate) fn expected_direct_cost(
    survey: &Survey,
    plan: &Plan,
    catalogue: &Catalogue,
    seed: Seed,
) -> Money {
    let (model, _) = model::model_of(survey, plan, catalogue);
    let drawn = model.draw(seed, 2, 0, &Alone);
    Money::new(drawn.direct.iter().sum::<f64>() / drawn.direct.len().max(1) as f64)
}

impl Estimate {
    /// Whether any area has a plan to price.
    #[must_use]
    pub fn prices_anything(&self) -> bool {
        !self.lines.is_empty()
    }
}

/// Every change order with its price.
fn change_orders(survey: &Survey, per_cost: f64) -> Vec<ChangePrice> {
    survey
        .facts
        .change_orders
        .iter()
        .map(|order| ChangePrice {
            order: order.id.clone(),
            zone: order.zone.clone(),
            found: order.found.clone(),
            quantity: said!("quantity-of", amount = order.amount.said()),
            hours: order.hours,
            price: (order.amount.cost() + survey.facts.rates.labour * order.hours) * per_cost,
            signed_by: order.signed_by.clone(),
            proceed: order.proceed,
        })
        .collect()
}

/// A cost that the site asks for, whatever method is used.
struct FixedCost {
    zone: Option<ZoneId>,
    item: Said,
    money: Money,
    hours: WorkTime,
}

fn fixed_costs(survey: &Survey) -> Vec<FixedCost> {
    let items = survey.facts.site_items.iter().map(|item| FixedCost {
        zone: item.zone.clone(),
        item: said!("site-item", what = item.what, amount = item.amount.said()),
        money: item.amount.cost(),
        hours: item.hours,
    });
    let by_others = survey.facts.overrules.iter().filter_map(|overrule| {
        let mark = overrule.feature.as_ref();
        let mark = mark.map_or_else(|| overrule.finding.into(), Argument::from);
        Some(FixedCost {
            zone: Some(overrule.zone.clone()),
            item: said!("repair-by-others", what = mark, by = &overrule.by),
            money: overrule.by_others?,
            hours: WorkTime::ZERO,
        })
    });
    items.chain(by_others).collect()
}

/// Trips more for every long wait of the zone that waits most often. Assumption.
fn trips_for_waits(plan: &Plan) -> f64 {
    let waits =
        |zone: &ZonePlan| zone.steps.iter().filter(|step| step.wait_hours >= OVERNIGHT).count();
    plan.zones.iter().map(waits).max().unwrap_or(0) as f64
}

/// A wait after which the crew comes back another day.
const OVERNIGHT: WorkTime = WorkTime::from_hours(12.0);

/// The least that the firm works for, with so many trips; nothing where it does not come.
fn least_price(survey: &Survey, trips: f64) -> Money {
    let money = survey.facts.money;
    if trips <= 0.0 {
        return Money::ZERO;
    }
    money.least_for_a_job.max(money.least_for_a_trip * trips)
}

fn priced(survey: &Survey, cost: Cost, mobilisation: Money, trips: f64) -> Price {
    let direct = cost.total() + mobilisation;
    let overhead = direct * survey.facts.money.overhead;
    let asked = (direct + overhead) / survey.facts.money.margin.complement().ratio();
    let price = asked.max(least_price(survey, trips));
    Price {
        labour: cost.labour,
        machine: cost.machine,
        material: cost.material,
        disposal: cost.disposal,
        mobilisation,
        direct,
        overhead,
        margin: asked - direct - overhead,
        up_to_least: price - asked,
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

fn lines(survey: &Survey, plan: &Plan, model: &draws::Model) -> Vec<Line> {
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
    let whole_job = |item: Said, amount: Money| Line {
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
        lines.push(whole_job(said!("bring-and-fetch", name = &machine.name), machine.mobilisation));
    }
    let fixed = fixed_costs(survey);
    for cost in &fixed {
        let labour = survey.facts.rates.labour * cost.hours;
        lines.push(Line {
            zone: cost.zone.clone(),
            hours: cost.hours,
            labour,
            material: cost.money,
            mobilisation: Money::ZERO,
            total: labour + cost.money,
            ..whole_job(cost.item.clone(), Money::ZERO)
        });
    }
    let (on_site, loud) = model.on_site();
    let trips = model.trips(on_site, loud);
    if trips > 0.0 {
        lines.push(whole_job(
            said!("crew-trip", trips = trips as u32),
            survey.facts.rates.trip * trips,
        ));
    }
    lines
}

/// The system's own material where the sheet gives a price: net area × thickness with
/// waste.
fn system_materials(survey: &Survey, plan: &Plan) -> Vec<(ZoneId, Said, Money)> {
    plan.zones
        .iter()
        .filter(|planned| planned.state == Planned::Planned)
        .filter_map(|planned| {
            let zone = survey.zones.iter().find(|zone| zone.id == planned.zone)?;
            let system = survey.system_of(zone)?;
            let material = system.material?;
            let volume = net_area(survey, zone) * system.thickness;
            let money = material.price? * (volume * (1.0 + material.waste.ratio()));
            Some((zone.id.clone(), said!("material", name = &system.name), money))
        })
        .collect()
}

/// What moves the price: by rank over the first draws, and by itself from well to badly.
fn drivers(
    model: &draws::Model,
    unknowns: &[model::Unknown],
    drawn: &draws::Drawn,
    prices: &[Money],
    per_cost: f64,
) -> Vec<Driver> {
    let ranked = drawn.columns.first().map_or(0, Vec::len).min(RANKED);
    let amounts: Vec<f64> = prices.iter().take(ranked).map(|price| price.amount()).collect();
    let squared: Vec<f64> = drawn
        .columns
        .iter()
        .map(|column| column.get(..ranked).unwrap_or_default())
        .map(|column| statistics::rank_correlation(column, &amounts).powi(2))
        .collect();
    let all: f64 = squared.iter().sum();
    let middle: Vec<f64> = model.factors.iter().map(|factor| factor.at(0.0)).collect();
    let alone = |place: usize, score: f64| {
        let mut factors = middle.clone();
        factors[place] = model.factors[place].at(score);
        Money::new(model.at(&factors).0 * per_cost)
    };
    let mut drivers: Vec<Driver> = unknowns
        .iter()
        .zip(squared)
        .enumerate()
        .filter(|_| all > 0.0)
        .map(|(place, (unknown, share))| Driver {
            unknown: unknown.said(),
            share: Fraction::new(share / all),
            low: alone(place, -ONE_IN_TEN),
            // What happens or does not happen is shown as happening.
            high: alone(
                place,
                if model.factors[place].happens() { f64::INFINITY } else { ONE_IN_TEN },
            ),
        })
        .collect();
    drivers.sort_by(|a, b| b.share.ratio().total_cmp(&a.share.ratio()));
    drivers
}

/// The normal score that one draw in ten exceeds.
const ONE_IN_TEN: f64 = 1.281_551_566;
