//! The estimate against a second, plain draw of the same plan: another generator, exact
//! quantiles, one job at a time, written from what the estimate says of itself.
#![expect(clippy::unwrap_used, reason = "tests fail loudly")]

#[expect(dead_code, reason = "the other test crates use the rest")]
mod common;

use std::collections::BTreeMap;
use std::sync::OnceLock;
use tooth_job::plan::PartOfWork;

use common::{RULE, Trouble, add_zone, at, empty, feature, noon, rectangle, room, walls, zone_id};
use proptest::prelude::*;
use statrs::distribution::{Beta, ContinuousCDF as _, Gamma, Normal};
use tooth_job::assessment::assess;
use tooth_job::estimate::{Drawing, Estimate, estimate, estimate_with};
use tooth_job::extent::Extent;
use tooth_job::methods::{Catalogue, Method, Spread, Work, built_in, learn};
use tooth_job::plan::{Objective, Plan, Planned, plan};
use tooth_job::survey::{
    Answer, ChangeOrder, JointKind, Material, Measured, Place, PricedAmount, Seen, SiteItem,
    SiteWork, Survey, ZoneId,
};
use tooth_measure::chance::Seed;
use tooth_measure::statistics::{LogNormal, Pert, Tabulated, normal_score};
use tooth_measure::{AreaRate, Fraction, Money, MoneyPerVolume, Path, Volume, WorkTime};
use tooth_texture::{Alone, Job, Workers};

const SEED: Seed = Seed(4);

/// Two rooms with walls: hollow places to patch, a profile to blast with edging, a joint,
/// a system with its material, something that the site asks for, loud work for five hours
/// a day.
fn job() -> Survey {
    let mut survey = room();
    add_zone(&mut survey, "hall", rectangle(20.0, 0.0, 14.0, 9.0));
    survey.features.push(walls("hall-walls", 20.0, 0.0, 14.0, 9.0));
    let trouble = Trouble { hollow: true, dense: true, chip: 2, ..Trouble::NONE };
    trouble.mark(&mut survey, "room", 0.0, 0.0, 10.0, 5.0);
    trouble.mark(&mut survey, "hall", 20.0, 0.0, 14.0, 9.0);
    let sure = tooth_job::survey::Hollow::Sure;
    let kind = tooth_job::survey::HollowKind::LooseSkin;
    for (number, x) in [22.0, 25.0, 30.0].into_iter().enumerate() {
        let place = Place::Patch(rectangle(x, 6.0, 1.2, 0.8));
        survey.features.push(feature(
            &format!("loose-{number}"),
            place,
            Seen::Hollow { sure, kind, depth: None },
        ));
    }
    for (id, x) in [("joint", 5.0), ("joint-2", 27.0)] {
        let path = Path::new(&[at(x, 0.5), at(x, 4.5)]).unwrap();
        let joint = Seen::Joint {
            kind: JointKind::Contraction,
            working: Answer::Yes,
            old_filler: Answer::No,
        };
        survey.features.push(feature(id, Place::Line(path), joint));
    }
    survey.systems[0].material = Some(Material {
        waste: Fraction::from_percent(10.0),
        price: Some(MoneyPerVolume::from_per_litre(9.0)),
        container: Some(Volume::from_litres(10.0)),
    });
    survey.facts.site_items.push(SiteItem {
        what: SiteWork::Masking,
        zone: None,
        amount: PricedAmount::Pieces(3, Money::new(40.0)),
        hours: WorkTime::from_hours(1.5),
    });
    survey.facts.constraints.loud_hours = Some(WorkTime::from_hours(5.0));
    survey
}

fn planned(survey: &Survey, catalogue: &Catalogue) -> Plan {
    plan(survey, &assess(survey, RULE), catalogue, RULE, Objective::Cheapest)
}

/// A multiplier and a shift (Knuth's, of 64 bits), its upper bits mixed.
struct Chance(u64);

impl Chance {
    fn uniform(&mut self) -> f64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let mixed = (self.0 >> 22) ^ self.0;
        let mixed = mixed.wrapping_mul(0x9e37_79b9_7f4a_7c15);
        ((mixed >> 11) as f64 + 0.5) / (1u64 << 53) as f64
    }

    fn score(&mut self) -> f64 {
        Normal::standard().inverse_cdf(self.uniform())
    }
}

/// What the jobs of a second draw share with the estimate's own model, and what not.
#[derive(Clone, Copy)]
enum World {
    AsSaid,
    /// Hidden damage by a gamma law of twice the spread; nothing goes together.
    Otherwise,
}

/// Pace, growth and re-work of one job, drawn as they are met.
struct OneJob<'a> {
    chance: &'a mut Chance,
    survey: &'a Survey,
    world: World,
    paces_share: f64,
    damage_shares: f64,
    paces: BTreeMap<(String, PartOfWork), f64>,
    growths: BTreeMap<ZoneId, f64>,
    again: BTreeMap<ZoneId, f64>,
}

impl OneJob<'_> {
    fn correlation(&self, of: f64) -> f64 {
        match self.world {
            World::AsSaid => of,
            World::Otherwise => 0.0,
        }
    }

    fn pace(&mut self, method: &str, work: PartOfWork, (low, high): (f64, f64)) -> f64 {
        if low >= high {
            return 1.0;
        }
        let key = (method.to_owned(), work);
        if let Some(pace) = self.paces.get(&key) {
            return *pace;
        }
        let together = self.correlation(self.survey.facts.uncertainty.pace_correlation);
        let score =
            together.sqrt() * self.paces_share + (1.0 - together).sqrt() * self.chance.score();
        let span = high - low;
        let law = Beta::new(1.0 + 4.0 * (1.0 - low) / span, 1.0 + 4.0 * (high - 1.0) / span);
        let pace = low + span * law.unwrap().inverse_cdf(Normal::standard().cdf(score));
        self.paces.insert(key, pace);
        pace
    }

    fn growth(&mut self, zone: &ZoneId) -> f64 {
        if let Some(growth) = self.growths.get(zone) {
            return *growth;
        }
        let known = self.survey.facts.uncertainty;
        let (median, sigma) = (known.hidden_growth_median, known.hidden_growth_sigma);
        let together = self.correlation(known.hidden_growth_correlation);
        let score =
            together.sqrt() * self.damage_shares + (1.0 - together).sqrt() * self.chance.score();
        let growth = match self.world {
            World::AsSaid => median * (sigma * score).exp(),
            World::Otherwise => {
                let mean = median * (sigma * sigma / 2.0).exp();
                let spread = 2.0 * mean * ((sigma * sigma).exp() - 1.0).sqrt();
                let shape = (mean / spread).powi(2);
                let law = Gamma::new(shape, shape / mean).unwrap();
                law.inverse_cdf(Normal::standard().cdf(score))
            }
        };
        self.growths.insert(zone.clone(), growth);
        growth
    }

    fn again(&mut self, zone: &ZoneId) -> f64 {
        if let Some(again) = self.again.get(zone) {
            return *again;
        }
        let known = self.survey.facts.uncertainty;
        let happens = self.chance.uniform() < known.rework_chance.ratio();
        let again = 1.0 + if happens { known.rework_share.ratio() } else { 0.0 };
        self.again.insert(zone.clone(), again);
        again
    }
}

/// Direct cost and crew-hours of one job done.
fn done(
    chance: &mut Chance,
    world: World,
    survey: &Survey,
    plan: &Plan,
    catalogue: &Catalogue,
) -> (f64, f64) {
    let rates = &survey.facts.rates;
    let (paces_share, damage_shares) = (chance.score(), chance.score());
    let prices = (survey.facts.uncertainty.material_price_sigma * chance.score()).exp();
    let mut one = OneJob {
        chance,
        survey,
        world,
        paces_share,
        damage_shares,
        paces: BTreeMap::new(),
        growths: BTreeMap::new(),
        again: BTreeMap::new(),
    };
    let (mut cost, mut hours, mut loud) = (0.0, 0.0, 0.0);
    for zone in &plan.zones {
        for step in &zone.steps {
            for part in &step.priced {
                let mut more = if part.grows { one.growth(&zone.zone) } else { 1.0 };
                if step.leaves.is_some() && part.work == PartOfWork::Itself {
                    more *= one.again(&zone.zone);
                }
                let pace = one.pace(&part.method, part.work, part.pace);
                let spent = part.set_up.hours() + part.working.hours() * more / pace;
                hours += spent;
                if catalogue.method(&part.method).is_some_and(|m| m.loud)
                    && part.work != PartOfWork::Checking
                {
                    loud += spent;
                }
                cost += (part.crew_hour.per_hour() + part.machine_hour.per_hour()) * spent
                    + (part.material.amount() * prices + part.disposal.amount()) * more;
            }
        }
    }
    for zone in plan.zones.iter().filter(|zone| zone.state == Planned::Planned) {
        let zone = survey.zones.iter().find(|held| held.id == zone.zone).unwrap();
        let system = survey.system_of(zone).unwrap();
        if let Some((material, price)) = system.material.and_then(|m| Some((m, m.price?))) {
            let volume = Extent::measure(survey, zone, RULE).net * system.thickness;
            cost += (price * volume).amount() * (1.0 + material.waste.ratio()) * prices;
        }
    }
    for item in &survey.facts.site_items {
        cost += item.amount.cost().amount() + (rates.labour * item.hours).amount();
        hours += item.hours.hours();
    }
    cost += plan.machines.iter().map(|machine| machine.mobilisation.amount()).sum::<f64>();
    let allowed = survey.facts.constraints.loud_hours.map_or(24.0, |loud| loud.hours());
    let days = (hours / rates.working_day.hours()).max(loud / allowed).ceil();
    let waits = plan
        .zones
        .iter()
        .map(|zone| zone.steps.iter().filter(|step| step.wait_hours.hours() >= 12.0).count());
    let trips = days.max(1.0 + waits.max().unwrap_or(0) as f64);
    (cost + rates.trip.amount() * trips, hours)
}

/// A second draw: direct cost and hours, each sorted.
struct Second {
    direct: Vec<f64>,
    hours: Vec<f64>,
}

fn second(world: World, count: usize, survey: &Survey, plan: &Plan) -> Second {
    let catalogue = built_in();
    let mut chance = Chance(0x0123_4567_89ab_cdef);
    let drawn = (0..count).map(|_| done(&mut chance, world, survey, plan, &catalogue));
    let (mut direct, mut hours): (Vec<f64>, Vec<f64>) = drawn.unzip();
    direct.sort_by(f64::total_cmp);
    hours.sort_by(f64::total_cmp);
    Second { direct, hours }
}

const FIRST: u32 = 100_000;
const OTHERS: usize = 40_000;

/// Everything that several tests look at, drawn once.
struct Both {
    survey: Survey,
    plan: Plan,
    estimate: Estimate,
    bid: Money,
    second: Second,
}

fn both() -> &'static Both {
    static BOTH: OnceLock<Both> = OnceLock::new();
    BOTH.get_or_init(|| {
        let survey = job();
        let plan = planned(&survey, &built_in());
        let likely = estimate(&survey, &plan, &built_in(), SEED).cost.p50;
        let bid = likely * 1.07;
        let drawing = Drawing { seed: SEED, draws: FIRST, bid: Some(bid), workers: &Alone };
        let estimate = estimate_with(&survey, &plan, &built_in(), drawing);
        let second = second(World::AsSaid, OTHERS, &survey, &plan);
        Both { survey, plan, estimate, bid, second }
    })
}

fn per_cost(survey: &Survey) -> f64 {
    let money = survey.facts.money;
    (1.0 + money.overhead.ratio()) / (1.0 - money.margin.ratio())
}

fn share_below(sorted: &[f64], limit: f64) -> f64 {
    sorted.partition_point(|value| *value < limit) as f64 / sorted.len() as f64
}

/// Four standard deviations of the difference of two shares near `p`, one of each draw.
fn share_error(p: f64) -> f64 {
    4.0 * (p * (1.0 - p) * (1.0 / f64::from(FIRST) + 1.0 / OTHERS as f64)).sqrt()
}

#[test]
fn the_job_has_all_that_is_looked_at() {
    let plan = &both().plan;
    let used = |wanted: &dyn Fn(&Method) -> bool| {
        let mut steps = plan.zones.iter().flat_map(|zone| &zone.steps);
        steps.any(|step| built_in().method(&step.method).is_some_and(wanted))
    };
    assert!(used(&|m| matches!(m.work, Work::Patch(_))));
    assert!(used(&|m| matches!(m.work, Work::Line(_))));
    assert!(plan.zones.iter().flat_map(|zone| &zone.steps).any(|step| step.edging.is_some()));
    assert!(plan.zones.iter().all(|zone| zone.state == Planned::Planned));
}

/// Where the estimate's percentiles lie among the second draw, by share of draws: free of
/// the law's shape, and good across the steps that whole trips make in it.
#[test]
fn percentiles_and_means_are_those_of_a_second_draw() {
    let Both { survey, estimate, second, .. } = both();
    let scale = per_cost(survey);
    let cost = [estimate.cost.p10, estimate.cost.p50, estimate.cost.p80, estimate.cost.p90];
    let hours = [estimate.hours.p10, estimate.hours.p50, estimate.hours.p80, estimate.hours.p90];
    for (at, p) in [0.1, 0.5, 0.8, 0.9].into_iter().enumerate() {
        let priced = share_below(&second.direct, cost[at].amount() / scale);
        let worked = share_below(&second.hours, hours[at].hours());
        println!(
            "P{:.0}: {priced:.4} of prices and {worked:.4} of hours below, ± {:.4}",
            p * 100.0,
            share_error(p)
        );
        assert!((priced - p).abs() < share_error(p), "price: {priced} below the P{}", p * 100.0);
        assert!((worked - p).abs() < share_error(p), "hours: {worked} below the P{}", p * 100.0);
    }
    for (name, values, said) in [
        ("price", &second.direct, estimate.cost.mean.amount() / scale),
        ("hours", &second.hours, estimate.hours.mean.hours()),
    ] {
        let count = values.len() as f64;
        let mean = values.iter().sum::<f64>() / count;
        let variance = values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / (count - 1.0);
        let error = 4.0 * (variance * (1.0 / count + 1.0 / f64::from(FIRST))).sqrt();
        println!("mean of {name}: {said:.3}, second draw {mean:.3} ± {error:.3}");
        assert!((said - mean).abs() < error, "mean of {name}: {said}, not {mean} ± {error}");
    }
}

/// Of 40,000 jobs drawn apart 80 % end between low and high, to 2 %.
#[test]
fn four_jobs_of_five_end_between_low_and_high() {
    let Both { survey, plan, estimate, second: own, .. } = both();
    let scale = per_cost(survey);
    let (low, high) = (estimate.cost.p10.amount() / scale, estimate.cost.p90.amount() / scale);
    let covered = share_below(&own.direct, high) - share_below(&own.direct, low);
    assert!((covered - 0.8).abs() < 0.02, "{covered}");
    // No bar: how far it holds where the world is another one.
    let other = second(World::Otherwise, 5_000, survey, plan);
    let covered = share_below(&other.direct, high) - share_below(&other.direct, low);
    println!("{:.1} % of jobs of another law end between low and high", covered * 100.0);
}

#[test]
fn the_chance_of_loss_is_that_of_a_second_draw() {
    let Both { survey, estimate, bid, second, .. } = both();
    let marked_up = 1.0 + survey.facts.money.overhead.ratio();
    assert!(estimate.bids.iter().any(|held| held.bid == *bid));
    for bid in &estimate.bids {
        let loses = 1.0 - share_below(&second.direct, bid.bid.amount() / marked_up);
        let said = bid.chance_of_loss.ratio();
        println!("bid {:.2}: {said:.4}, second draw {loses:.4}", bid.bid.amount());
        assert!((loses - said).abs() < share_error(loses.clamp(0.001, 0.999)));
        let mean = second.direct.iter().sum::<f64>() / second.direct.len() as f64;
        let left = bid.bid.amount() - mean * marked_up;
        assert!((bid.mean_margin.amount() - left).abs() < 0.01 * mean, "{left}");
    }
    // A price just below cost loses about as often as not, at its median by definition.
    let drawing = Drawing {
        seed: SEED,
        draws: 16_384,
        bid: Some(estimate.cost.p50 * (1.0 - survey.facts.money.margin.ratio())),
        workers: &Alone,
    };
    let even = estimate_with(survey, &both().plan, &built_in(), drawing);
    let chance = even.bids.last().unwrap().chance_of_loss.ratio();
    assert!((chance - 0.5).abs() < 0.02, "{chance}");
}

/// Some threads, the parts handed out in another order each time.
struct Threads {
    count: usize,
    stride: usize,
}

impl Workers for Threads {
    fn run<'a>(&self, jobs: Vec<Job<'a>>) {
        let mut hands: Vec<Vec<Job<'a>>> = (0..self.count).map(|_| Vec::new()).collect();
        let mut left = jobs;
        let (mut at, mut hand) = (0, 0);
        while !left.is_empty() {
            at = (at + self.stride) % left.len();
            hands[hand].push(left.swap_remove(at));
            hand = (hand + 1) % self.count;
        }
        std::thread::scope(|scope| {
            for jobs in hands {
                scope.spawn(move || jobs.into_iter().for_each(|job| job()));
            }
        });
    }
}

fn bytes(seed: Seed, draws: u32, workers: &dyn Workers) -> Vec<u8> {
    let Both { survey, plan, bid, .. } = both();
    let drawing = Drawing { seed, draws, bid: Some(*bid), workers };
    serde_json::to_vec(&estimate_with(survey, plan, &built_in(), drawing)).unwrap()
}

#[test]
fn neither_threads_nor_their_order_show() {
    for draws in [1, 256, 257, 5000, 20_000] {
        let alone = bytes(SEED, draws, &Alone);
        assert!(alone == bytes(SEED, draws, &Alone));
        for count in [1, 2, 3, 7] {
            for stride in [0, 1, 5, 17] {
                assert!(
                    alone == bytes(SEED, draws, &Threads { count, stride }),
                    "{draws}, {count}, {stride}"
                );
            }
        }
        assert!(alone != bytes(Seed(5), draws, &Alone));
    }
}

#[test]
fn what_moves_the_price_is_ranked_as_it_moves_it() {
    let Both { survey, plan, estimate, .. } = both();
    let all: f64 = estimate.drivers.iter().map(|driver| driver.share.ratio()).sum();
    assert!((all - 1.0).abs() < 1e-9);
    // The price where every unknown is at its middle: nothing varies but by the median.
    let mut still = survey.clone();
    let known = &mut still.facts.uncertainty;
    (known.hidden_growth_sigma, known.material_price_sigma) = (0.0, 0.0);
    known.rework_chance = Fraction::new(0.0);
    let middle = {
        let mut steady = plan.clone();
        for part in steady.zones.iter_mut().flat_map(|z| &mut z.steps).flat_map(|s| &mut s.priced) {
            let (low, high) = part.pace;
            if low < high {
                let pace = Pert::new(low, 1.0, high).unwrap().quantile(Fraction::new(0.5));
                part.working = part.working * pace.recip();
                part.pace = (1.0, 1.0);
            }
        }
        estimate_with(
            &still,
            &steady,
            &built_in(),
            Drawing { seed: SEED, draws: 1, bid: None, workers: &Alone },
        )
        .cost
        .p50
        .amount()
    };
    for driver in &estimate.drivers {
        println!(
            "{:>6.2} % {:>9.2} {:>9.2} {}",
            driver.share.percent(),
            driver.low.amount(),
            driver.high.amount(),
            driver.unknown.name()
        );
        assert!(
            driver.low.amount() <= middle + 0.01 && middle - 0.01 <= driver.high.amount(),
            "{driver:?}, {middle}"
        );
    }
    let swing = |driver: &tooth_job::estimate::Driver| driver.high.amount() - driver.low.amount();
    let widest = estimate.drivers.iter().map(swing).fold(0.0, f64::max);
    let among = estimate.drivers.iter().take(3).map(swing).fold(0.0, f64::max);
    assert!(among >= widest - 0.01, "{widest} is not among {among}");
}

/// Against the exact law by its distribution function: the value 2e-5 of the range below
/// has less, the value as much above has more, than the score asks for.
fn off(low: f64, likely: f64, high: f64, score: f64) -> f64 {
    let table = Tabulated::of_pert(Pert::new(low, likely, high).unwrap());
    let span = high - low;
    let (a, b) = (1.0 + 4.0 * (likely - low) / span, 1.0 + 4.0 * (high - likely) / span);
    let place = (table.at_score(score) - low) / span;
    let law = Beta::new(a, b).unwrap();
    // From whichever end is nearer: one less a share forgets its last digits.
    let mirrored = Beta::new(b, a).unwrap();
    let normal = Normal::standard();
    let below = |place: f64| {
        let place = place.clamp(0.0, 1.0);
        if score < 0.0 {
            law.cdf(place) - normal.cdf(score)
        } else {
            normal.cdf(-score) - mirrored.cdf(1.0 - place)
        }
    };
    let (mut near, mut far) = (0.0, 1.0);
    if below(place) > 0.0 {
        (near, far) = (far * place, near);
    } else {
        near = place;
    }
    for _ in 0..60 {
        let middle = (near + far) / 2.0;
        if (below(middle) > 0.0) == (below(place) > 0.0) {
            near = middle;
        } else {
            far = middle;
        }
    }
    (near - place).abs()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn a_table_of_a_pert_is_within_two_in_a_hundred_thousand(
        likely in prop_oneof![Just(0.0), Just(1.0), 0.0..=1.0f64, 0.0..1e-3f64],
        low in 0.01..2.0f64, span in 1e-6..5.0f64,
        scores in prop::collection::vec(-4.0..=4.0f64, 40),
    ) {
        let (likely, high) = (low + likely * span, low + span);
        for score in scores {
            let off = off(low, likely.min(high), high, score);
            prop_assert!(off < 2e-5, "{} of the range at {}", off, score);
        }
    }
}

/// Source: computed apart, to the printed digits.
#[test]
fn laws_have_the_values_worked_elsewhere() {
    let pert = Pert::new(50.0, 80.0, 140.0).unwrap();
    assert!(
        (pert.mean() - 85.0).abs() < 1e-9 && (pert.standard_deviation() - 16.5831).abs() < 5e-5
    );
    let table = Tabulated::of_pert(pert);
    for (p, value) in [(0.1, 63.772), (0.5, 83.823), (0.8, 99.874), (0.9, 108.001)] {
        let share = Fraction::new(p);
        assert!((pert.quantile(share) - value).abs() < 6e-4);
        assert!((table.at_score(normal_score(share).unwrap()) - value).abs() < 3e-3);
    }
    for (mean, spread, median, p80, p90) in
        [(1.5f64, 0.40f64, 1.3927, 1.9261, 2.2818), (1.2, 0.25, 1.1642, 1.4322, 1.5961)]
    {
        let squared = (1.0 + spread * spread).ln();
        let law = LogNormal::from_median(mean / (squared / 2.0).exp(), squared.sqrt()).unwrap();
        let at = |p| law.quantile(Fraction::new(p));
        assert!((law.mean() - mean).abs() < 1e-9 && (law.median() - median).abs() < 6e-5);
        assert!((at(0.8) - p80).abs() < 6e-5 && (at(0.9) - p90).abs() < 6e-5);
    }
    // Three tasks of means 85, 30, 50 and spreads 15, 4, 8, as one normal law.
    let spread = 15f64.hypot(4.0).hypot(8.0);
    for (p, value) in [(0.8, 179.698), (0.9, 187.381)] {
        assert!((165.0 + spread * normal_score(Fraction::new(p)).unwrap() - value).abs() < 1e-3);
    }
}

/// Source: computed apart: 1000 marked up by 15 % is 1150; with a margin of 15 % it is 1000 ÷ 0.85.
#[test]
fn a_mark_up_is_no_margin() {
    let mut survey = empty();
    survey.facts.site_items.push(SiteItem {
        what: SiteWork::Other,
        zone: None,
        amount: PricedAmount::Pieces(1, Money::new(1000.0)),
        hours: WorkTime::ZERO,
    });
    for (overhead, margin, price) in [(15.0, 0.0, 1150.0), (0.0, 15.0, 1176.47)] {
        survey.facts.money.overhead = Fraction::from_percent(overhead);
        survey.facts.money.margin = Fraction::from_percent(margin);
        let plan = planned(&survey, &built_in());
        let said = estimate(&survey, &plan, &built_in(), SEED);
        for amount in [said.as_marked.price, said.cost.p10, said.cost.p90, said.cost.mean] {
            assert!((amount.amount() - price).abs() < 0.006, "{amount:?}, not {price}");
        }
    }
}

fn small(survey: &Survey) -> Estimate {
    let drawing = Drawing { seed: SEED, draws: 2048, bid: None, workers: &Alone };
    estimate_with(survey, &both().plan, &built_in(), drawing)
}

fn figures(estimate: &Estimate) -> Vec<f64> {
    let cost = estimate.cost;
    let mut all: Vec<f64> = estimate.curve.iter().map(|price| price.amount()).collect();
    all.extend([cost.p10, cost.p50, cost.p80, cost.p90, cost.mean].map(|price| price.amount()));
    let hours = estimate.hours;
    all.extend([hours.p10, hours.p50, hours.p80, hours.p90, hours.mean].map(|hours| hours.hours()));
    all
}

fn order(signed: bool, pieces: u32, price: f64, hours: f64) -> ChangeOrder {
    ChangeOrder {
        id: "C1".into(),
        zone: zone_id("room"),
        found: "more loose skin".into(),
        amount: PricedAmount::Pieces(pieces, Money::new(price)),
        hours: WorkTime::from_hours(hours),
        photo: None,
        proceed: false,
        signed_by: signed.then(|| "owner".to_owned()),
        date: noon().date(),
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn more_hidden_growth_never_lowers_a_percentile(median in 0.5..3.0f64, more in 0.0..2.0f64) {
        let mut survey = job();
        survey.facts.uncertainty.hidden_growth_median = median;
        let less = figures(&small(&survey));
        survey.facts.uncertainty.hidden_growth_median = median + more;
        for (less, more) in less.into_iter().zip(figures(&small(&survey))) {
            prop_assert!(more >= less - 1e-9, "{more} < {less}");
        }
    }

    #[test]
    fn a_higher_margin_never_lowers_the_price(margin in 0.0..0.9f64, more in 0.0..0.09f64) {
        let mut survey = job();
        survey.facts.money.margin = Fraction::new(margin);
        let less = small(&survey);
        survey.facts.money.margin = Fraction::new(margin + more);
        let more = small(&survey);
        prop_assert!(more.as_marked.price >= less.as_marked.price);
        prop_assert!(more.as_marked.direct == less.as_marked.direct);
        for (less, more) in less.curve.iter().zip(&more.curve) {
            prop_assert!(more >= less);
        }
    }

    #[test]
    fn fewer_loud_hours_never_save_a_trip(hours in 0.1..12.0f64, share in 0.01..1.0f64) {
        let mut survey = job();
        let trips = |survey: &Survey| {
            let said = small(survey);
            (said.as_marked.mobilisation, said.cost.mean)
        };
        survey.facts.constraints.loud_hours = None;
        let any = trips(&survey);
        survey.facts.constraints.loud_hours = Some(WorkTime::from_hours(hours));
        let many = trips(&survey);
        survey.facts.constraints.loud_hours = Some(WorkTime::from_hours(hours * share));
        let few = trips(&survey);
        prop_assert!(many.0 >= any.0 && few.0 >= many.0);
        prop_assert!(many.1 >= any.1 && few.1 >= many.1);
    }

    #[test]
    fn a_signed_change_order_counts_by_its_price(pieces in 1..20u32, price in 0.0..500.0f64, hours in 0.0..20.0f64) {
        let mut survey = job();
        let before = small(&survey);
        survey.facts.change_orders.push(order(false, pieces, price, hours));
        let open = small(&survey);
        prop_assert_eq!(before.likely_with_changes, open.likely_with_changes);
        survey.facts.change_orders[0] = order(true, pieces, price, hours);
        let signed = small(&survey);
        prop_assert_eq!(signed.cost, before.cost);
        let own = (f64::from(pieces) * price + hours * 60.0) * 1.18 / 0.88;
        prop_assert!((signed.change_orders[0].price.amount() - own).abs() < 1e-6);
        let raised = signed.likely_with_changes - before.likely_with_changes;
        prop_assert!((raised - signed.change_orders[0].price).amount().abs() < 1e-6);
    }
}

const METHOD: &str = "small_shot_blast";

fn square_feet(rate: f64) -> AreaRate {
    AreaRate::from_square_feet_per_hour(rate)
}

/// The catalogue with another planning range for one method.
fn ranged(low: f64, likely: f64, high: f64) -> Catalogue {
    let mut catalogue = built_in();
    let method = catalogue.methods.iter_mut().find(|method| method.id == METHOD).unwrap();
    let Work::Surface(work) = &mut method.work else { unreachable!("a blaster works a surface") };
    work.rate =
        Spread { low: square_feet(low), likely: square_feet(likely), high: square_feet(high) };
    catalogue
}

/// Least, likeliest and greatest once these rates are logged, in square feet an hour.
fn taught(catalogue: &Catalogue, logged: &[f64]) -> [f64; 3] {
    let mut survey = room();
    for (number, rate) in logged.iter().enumerate() {
        let measured = Measured::ProductionRate(square_feet(*rate));
        let mut reading =
            common::reading(&format!("log-{number}"), &zone_id("room"), "A", measured);
        reading.instrument = METHOD.to_owned();
        survey.readings.push(reading);
    }
    let (catalogue, learned) = learn(catalogue, &survey);
    assert_eq!(learned.len(), usize::from(!logged.is_empty()));
    let rate = catalogue.method(METHOD).unwrap().surface().unwrap().rate;
    [rate.low, rate.likely, rate.high].map(|rate| rate.square_feet_per_hour())
}

/// Source: computed apart: 100 ft²/h known to 0.30 in its logarithm, one job to the next
/// 0.20; 82, 75 and 90 logged.
#[test]
fn three_logged_days_teach_what_was_worked_elsewhere() {
    let reach = (1.644_853_627f64 * 0.30).exp();
    let [low, likely, high] =
        taught(&ranged(100.0 / reach, 100.0, 100.0 * reach), &[82., 75., 90.]);
    assert!((likely - 84.2212).abs() < 1e-3, "{likely}");
    assert!((low - 57.960).abs() < 2e-3 && (high - 122.380).abs() < 3e-3, "{low}, {high}");
}

proptest! {
    #[test]
    fn a_slower_day_never_teaches_a_faster_rate(
        range in prop::array::uniform3(20.0..900.0f64),
        others in prop::collection::vec(20.0..900.0f64, 0..4),
        fast in 20.0..900.0f64, share in 0.1..1.0f64,
    ) {
        let mut range = range;
        range.sort_by(f64::total_cmp);
        prop_assume!(range[2] > range[0] * 1.01);
        let catalogue = ranged(range[0], range[1], range[2]);
        let with = |rate: f64| taught(&catalogue, &[others.as_slice(), &[rate]].concat());
        let (slower, faster) = (with(fast * share), with(fast));
        for (slower, faster) in slower.into_iter().zip(faster) {
            prop_assert!(slower <= faster + 1e-9);
        }
        // Slower than what was thought likeliest: the likeliest falls.
        let [_, likely, _] = taught(&catalogue, &others);
        let [_, now, _] = with(likely * share);
        prop_assert!(now <= likely + 1e-9, "{} after {}", now, likely);
    }
}

/// Re-work that is certain costs its share in every draw; re-work that never happens, nothing.
#[test]
fn re_work_that_is_certain_costs_its_share() {
    let with = |chance: f64, share: f64| {
        let mut survey = job();
        let known = &mut survey.facts.uncertainty;
        known.rework_chance = Fraction::new(chance);
        known.rework_share = Fraction::new(share);
        small(&survey)
    };
    let (never, always, for_nothing) = (with(0.0, 0.5), with(1.0, 0.5), with(1.0, 0.0));
    // Percentiles and means, not the rarest draws: an unknown more is drawn otherwise.
    let said = |estimate: &Estimate| {
        let all = figures(estimate);
        all[all.len() - 10..].to_vec()
    };
    for (without, more) in said(&never).into_iter().zip(said(&always)) {
        assert!(more > without * 1.03, "{more} after {without}");
    }
    for (one, other) in said(&never).into_iter().zip(said(&for_nothing)) {
        assert!((one - other).abs() < 0.03 * one, "{one} and {other}");
    }
}
