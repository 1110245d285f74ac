//! Draws of a price: what is not known, drawn many times in fixed blocks.
//!
//! Every unknown is a normal score that its distribution turns into a factor; unknowns of
//! one group (the pace of all methods on one site, hidden damage of all areas of one slab)
//! share a part of their score, so that they go well or badly together. A block of
//! [`BLOCK`] draws has a stream of its own and blocks are reduced in their order, so the
//! number of threads never shows.

use tooth_measure::chance::{Seed, Stream};
use tooth_measure::statistics::Tabulated;
use tooth_texture::{Job, Workers};

/// Draws of one block.
pub(super) const BLOCK: usize = 256;

/// How a normal score becomes a factor.
#[derive(Debug, Clone)]
pub(super) enum Shape {
    /// exp(sigma × score) × median.
    LogNormal { median: f64, sigma: f64 },
    /// One over a tabulated pace.
    Slowness(Tabulated),
    /// This factor above a score, else one.
    Above { score: f64, factor: f64 },
}

/// One unknown.
#[derive(Debug, Clone)]
pub(super) struct Factor {
    pub(super) shape: Shape,
    /// The group whose score it shares, and how strongly (correlation of two of a group).
    pub(super) group: Option<(usize, f64)>,
}

impl Factor {
    /// Whether it is something that happens or does not.
    pub(super) fn happens(&self) -> bool {
        matches!(self.shape, Shape::Above { .. })
    }

    /// Its value at a score.
    pub(super) fn at(&self, score: f64) -> f64 {
        match &self.shape {
            Shape::LogNormal { median, sigma } => median * (sigma * score).exp(),
            // A high score is a slow crew, so that all high scores are dear.
            Shape::Slowness(pace) => 1.0 / pace.at_score(-score),
            Shape::Above { score: limit, factor } => {
                if score > *limit {
                    *factor
                } else {
                    1.0
                }
            }
        }
    }
}

/// One line of cost: what of it stands, and what grows with which unknowns.
#[derive(Debug, Clone, Default)]
pub(super) struct Term {
    pub(super) set_up_hours: f64,
    pub(super) working_hours: f64,
    /// Wages and machine by the hour.
    pub(super) hour: f64,
    pub(super) material: f64,
    pub(super) disposal: f64,
    /// Whether its hours count against the hours of loud work.
    pub(super) loud: bool,
    pub(super) slowness: Option<usize>,
    /// How far the firm's pace lies off rates that stand in nobody's log.
    pub(super) memory: Option<usize>,
    /// Share of the crew's time that its hours take: one of two people is half of it.
    pub(super) of_the_crew: f64,
    /// Unknowns by which the quantity grows.
    pub(super) growth: [Option<usize>; 3],
    /// The unknown price of materials.
    pub(super) price: Option<usize>,
}

/// Everything that a draw needs.
#[derive(Debug, Clone, Default)]
pub(super) struct Model {
    pub(super) factors: Vec<Factor>,
    pub(super) groups: usize,
    pub(super) terms: Vec<Term>,
    /// Direct cost that does not vary.
    pub(super) fixed: f64,
    pub(super) trip: f64,
    pub(super) trips_for_waits: f64,
    pub(super) working_day: f64,
    pub(super) loud_day: f64,
}

/// Direct cost and crew-hours of every draw, in the order of the draws.
#[derive(Debug, Clone, Default)]
pub(super) struct Drawn {
    pub(super) direct: Vec<f64>,
    pub(super) hours: Vec<f64>,
    pub(super) trips: Vec<f64>,
    /// The factors of the first draws, one column for each, to tell what moves the price.
    pub(super) columns: Vec<Vec<f64>>,
}

impl Model {
    /// Trips for some hours: a working day each, or a day of allowed loud work.
    pub(super) fn trips(&self, hours: f64, loud: f64) -> f64 {
        let days = (hours / self.working_day).max(loud / self.loud_day);
        let days = (days - 1e-9).ceil().max(0.0);
        if days > 0.0 { days.max(1.0 + self.trips_for_waits) } else { 0.0 }
    }

    /// Direct cost and hours where every unknown has this value.
    pub(super) fn at(&self, factors: &[f64]) -> (f64, f64) {
        let of =
            |place: Option<usize>| place.and_then(|at| factors.get(at)).copied().unwrap_or(1.0);
        let (mut cost, mut hours, mut loud, mut days) = (self.fixed, 0.0, 0.0, 0.0);
        for term in &self.terms {
            let growth: f64 = term.growth.iter().map(|place| of(*place)).product();
            let slow = of(term.slowness) * of(term.memory);
            let spent = term.set_up_hours + term.working_hours * growth * slow;
            hours += spent;
            days += spent * term.of_the_crew;
            loud += if term.loud { spent * term.of_the_crew } else { 0.0 };
            cost += term.hour * spent + (term.material * of(term.price) + term.disposal) * growth;
        }
        (cost + self.trip * self.trips(days, loud), hours)
    }

    /// Time that the crew spends on the site, and on loud work, where every unknown is at its
    /// likeliest.
    pub(super) fn on_site(&self) -> (f64, f64) {
        let hours = |term: &Term| (term.set_up_hours + term.working_hours) * term.of_the_crew;
        let loud = self.terms.iter().filter(|term| term.loud).map(hours);
        (self.terms.iter().map(hours).sum(), loud.sum())
    }

    /// Draws so many blocks.
    pub(super) fn draw(
        &self,
        seed: Seed,
        blocks: usize,
        keep: usize,
        workers: &dyn Workers,
    ) -> Drawn {
        let mut drawn: Vec<Drawn> = vec![Drawn::default(); blocks];
        // Some blocks each: a block alone is too little for a thread.
        let jobs: Vec<Job<'_>> = drawn
            .chunks_mut(16)
            .enumerate()
            .map(|(chunk, held)| -> Job<'_> {
                Box::new(move || {
                    let mut scratch = Scratch::of(self);
                    for (number, held) in held.iter_mut().enumerate() {
                        let block = chunk * 16 + number;
                        *held = self.block(seed, block as u64, block * BLOCK < keep, &mut scratch);
                    }
                })
            })
            .collect();
        workers.run(jobs);
        let mut all = Drawn { columns: vec![Vec::new(); self.factors.len()], ..Drawn::default() };
        for block in drawn {
            all.direct.extend(block.direct);
            all.hours.extend(block.hours);
            all.trips.extend(block.trips);
            for (column, more) in all.columns.iter_mut().zip(block.columns) {
                column.extend(more);
            }
        }
        all
    }

    fn block(&self, seed: Seed, block: u64, keep: bool, scratch: &mut Scratch) -> Drawn {
        let mut stream = Stream::new(seed, block);
        for score in &mut scratch.shared {
            normal_scores(&mut stream, score);
        }
        let mut own = [0.0; BLOCK];
        for (factor, values) in self.factors.iter().zip(&mut scratch.factors) {
            normal_scores(&mut stream, &mut own);
            if let Some((group, correlation)) = factor.group {
                let (of_group, of_own) = (correlation.sqrt(), (1.0 - correlation).sqrt());
                for (own, shared) in own.iter_mut().zip(&scratch.shared[group]) {
                    *own = of_group * shared + of_own * *own;
                }
            }
            for (value, score) in values.iter_mut().zip(&own) {
                *value = factor.at(*score);
            }
        }
        let (mut cost, mut hours, mut loud) = ([self.fixed; BLOCK], [0.0; BLOCK], [0.0; BLOCK]);
        let mut days = [0.0; BLOCK];
        let mut growth = [1.0; BLOCK];
        let mut spent = [0.0; BLOCK];
        for term in &self.terms {
            let grows: Vec<usize> = term.growth.iter().flatten().copied().collect();
            growth.fill(1.0);
            for &place in &grows {
                for (grown, factor) in growth.iter_mut().zip(&scratch.factors[place]) {
                    *grown *= factor;
                }
            }
            let ones = &scratch.ones;
            let slow = term.slowness.map_or(ones, |place| &scratch.factors[place]);
            let price = term.price.map_or(ones, |place| &scratch.factors[place]);
            let memory = term.memory.map_or(ones, |place| &scratch.factors[place]);
            for (draw, spent) in spent.iter_mut().enumerate() {
                *spent = term.set_up_hours
                    + term.working_hours * growth[draw] * slow[draw] * memory[draw];
            }
            for (draw, cost) in cost.iter_mut().enumerate() {
                *cost += term.hour * spent[draw]
                    + (term.material * price[draw] + term.disposal) * growth[draw];
            }
            for (draw, spent) in spent.iter().enumerate() {
                hours[draw] += spent;
                days[draw] += spent * term.of_the_crew;
                if term.loud {
                    loud[draw] += spent * term.of_the_crew;
                }
            }
        }
        let mut trips = [0.0; BLOCK];
        for (draw, cost) in cost.iter_mut().enumerate() {
            trips[draw] = self.trips(days[draw], loud[draw]);
            *cost += self.trip * trips[draw];
        }
        Drawn {
            direct: cost.to_vec(),
            hours: hours.to_vec(),
            trips: trips.to_vec(),
            columns: if keep {
                scratch.factors.iter().map(|values| values.to_vec()).collect()
            } else {
                Vec::new()
            },
        }
    }
}

/// Room for one block, used again by the next.
struct Scratch {
    shared: Vec<[f64; BLOCK]>,
    factors: Vec<[f64; BLOCK]>,
    ones: [f64; BLOCK],
}

impl Scratch {
    fn of(model: &Model) -> Self {
        Self {
            shared: vec![[0.0; BLOCK]; model.groups],
            factors: vec![[0.0; BLOCK]; model.factors.len()],
            ones: [1.0; BLOCK],
        }
    }
}

/// Normal scores by pairs (Box and Muller 1958).
fn normal_scores(stream: &mut Stream, scores: &mut [f64; BLOCK]) {
    for pair in scores.chunks_exact_mut(2) {
        let radius = (-2.0 * stream.uniform().ln()).sqrt();
        let (sin, cos) = (std::f64::consts::TAU * stream.uniform()).sin_cos();
        pair[0] = radius * cos;
        pair[1] = radius * sin;
    }
}
