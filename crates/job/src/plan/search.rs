//! The search for the best plan: exact, small, with ties broken the same way always.
//!
//! A way through a zone is a path of conditions; its label is its score and the set of
//! machines that it uses. A label is dropped only where another reaches the same
//! condition with no more machines and no worse score. Zones are then combined over the
//! sets of machines, each machine paid once.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BinaryHeap};

use tooth_measure::{Area, Length, ProfileRange};

use super::condition::{Condition, Start, applied};
use super::price::Pricing;
use super::site::Holds;
use super::{RuledOut, Step};
use crate::choice::choices;
use crate::extent::Extent;
use crate::methods::{Catalogue, Method, SurfaceWork, Work};

choices! {
    /// What a plan makes least.
    Objective {
        /// Direct cost with mobilisation.
        Cheapest = "cheapest", "least cost";
        /// Crew-hours, then cost.
        Fastest = "fastest", "least time";
        /// Hours of work that raises dust, then cost.
        LeastDust = "least_dust", "least dust";
    }
}

/// Everything about one zone that the search needs.
#[derive(Debug, Clone)]
pub(super) struct ZoneProblem<'a> {
    pub(super) index: usize,
    pub(super) start: Start,
    pub(super) target: ProfileRange,
    pub(super) methods: Vec<usize>,
    pub(super) extent: Extent<'a>,
    pub(super) bands: Bands,
    pub(super) holds: Holds,
    pub(super) fixed: Vec<Step>,
}

/// Edge bands by width, worked out once: each takes set operations on outlines.
#[derive(Debug, Clone)]
pub(super) struct Bands(Vec<(Length, Area)>);

impl Bands {
    pub(super) fn of(extent: &Extent<'_>, catalogue: &Catalogue, methods: &[usize]) -> Self {
        let mut bands: Vec<(Length, Area)> = Vec::new();
        let works = methods
            .iter()
            .filter_map(|&index| catalogue.methods.get(index)?.surface());
        for reach in works.map(|work| work.unreached_edge) {
            if !bands.iter().any(|(known, _)| *known == reach) {
                bands.push((reach, extent.edge_band(reach)));
            }
        }
        Self(bands)
    }

    fn area(&self, reach: Length) -> Area {
        self.0
            .iter()
            .find(|(known, _)| *known == reach)
            .map_or(Area::ZERO, |(_, area)| *area)
    }
}

/// First what is made least, then cost, both in ten-thousandths: whole numbers, so
/// that sums do not depend on their order.
type Score = (i64, i64);
/// Machines as bits in the catalogue's order.
type Machines = u64;

fn whole(value: f64) -> i64 {
    (value * 10_000.0).round() as i64
}

fn plus(a: Score, b: Score) -> Score {
    (a.0 + b.0, a.1 + b.1)
}

/// The best steps of every problem; `None` where no way reaches the goal.
pub(super) struct Solution {
    pub(super) steps: Vec<Option<Vec<Step>>>,
}

pub(super) fn solve(
    problems: &[ZoneProblem<'_>],
    pricing: &Pricing<'_>,
    objective: Objective,
) -> Solution {
    let ways: Vec<Vec<Way>> = problems
        .iter()
        .map(|problem| ways_through(problem, pricing, objective))
        .collect();
    // Machines of the steps that leave no choice are brought in any case.
    let base = problems
        .iter()
        .zip(&ways)
        .filter(|(_, found)| !found.is_empty())
        .flat_map(|(problem, _)| &problem.fixed)
        .fold(0, |set, step| set | machines_of(step, pricing.catalogue));
    // For each set of machines: the best score so far and the way chosen in each zone.
    let mut combined: BTreeMap<Machines, (Score, Vec<usize>)> =
        BTreeMap::from([(base, ((0, 0), Vec::new()))]);
    for found in &ways {
        let mut next: BTreeMap<Machines, (Score, Vec<usize>)> = BTreeMap::new();
        for (set, (score, chosen)) in &combined {
            if found.is_empty() {
                let mut chosen = chosen.clone();
                chosen.push(0);
                next.insert(*set, (*score, chosen));
            }
            for (number, way) in found.iter().enumerate() {
                let joined = set | way.machines;
                let total = plus(*score, way.score);
                if next.get(&joined).is_none_or(|(held, _)| total < *held) {
                    let mut chosen = chosen.clone();
                    chosen.push(number);
                    next.insert(joined, (total, chosen));
                }
            }
        }
        combined = next;
    }
    let best = combined.iter().min_by_key(|(set, (score, _))| {
        (plus(*score, mobilisation(**set, pricing, objective)), **set)
    });
    let chosen = best
        .map(|(_, (_, chosen))| chosen.clone())
        .unwrap_or_default();
    Solution {
        steps: ways
            .into_iter()
            .zip(chosen)
            .map(|(mut found, number)| {
                (number < found.len()).then(|| found.swap_remove(number).steps)
            })
            .collect(),
    }
}

fn mobilisation(set: Machines, pricing: &Pricing<'_>, objective: Objective) -> Score {
    let cost: i64 = pricing
        .catalogue
        .machines
        .iter()
        .enumerate()
        .filter(|(bit, _)| set & (1 << bit) != 0)
        .map(|(_, machine)| whole(pricing.mobilisation(machine).amount()))
        .sum();
    match objective {
        Objective::Cheapest => (cost, cost),
        Objective::Fastest | Objective::LeastDust => (0, cost),
    }
}

fn machines_of(step: &Step, catalogue: &Catalogue) -> Machines {
    step.priced
        .iter()
        .filter_map(|part| part.machine.as_deref())
        .filter_map(|id| {
            catalogue
                .machines
                .iter()
                .position(|machine| machine.id == id)
        })
        .fold(0, |set, bit| set | (1 << bit))
}

fn score_of(step: &Step, objective: Objective, catalogue: &Catalogue) -> Score {
    let cost = whole(step.cost.amount());
    let first = match objective {
        Objective::Cheapest => cost,
        Objective::Fastest => whole(step.hours.hours()),
        Objective::LeastDust => step
            .priced
            .iter()
            .filter(|part| {
                catalogue
                    .method(&part.method)
                    .is_some_and(|m| m.dust != crate::methods::DustMade::None)
            })
            .map(|part| whole(part.hours(1.0, 1.0).hours()))
            .sum(),
    };
    (first, cost)
}

/// A way through a zone that no other beats with the same or fewer machines.
#[derive(Debug, Clone)]
struct Way {
    score: Score,
    machines: Machines,
    steps: Vec<Step>,
}

/// A condition reached, and the step that led to it.
struct Label {
    condition: Condition,
    before: Option<usize>,
    step: Option<Step>,
}

fn beaten(score: Score, machines: Machines, by: &[(Score, Machines)]) -> bool {
    by.iter()
        .any(|(held, set)| held <= &score && set & machines == *set)
}

fn ways_through(
    problem: &ZoneProblem<'_>,
    pricing: &Pricing<'_>,
    objective: Objective,
) -> Vec<Way> {
    let moves = Moves { problem, pricing };
    let mut labels = vec![Label {
        condition: problem.start.condition,
        before: None,
        step: None,
    }];
    let mut settled: BTreeMap<Condition, Vec<(Score, Machines)>> = BTreeMap::new();
    let mut goals: Vec<(Score, Machines)> = Vec::new();
    let mut ways = Vec::new();
    let mut queue = BinaryHeap::from([Reverse(((0, 0), 0, 0))]);
    while let Some(Reverse((score, machines, at))) = queue.pop() {
        let Some(Label { condition, .. }) = labels.get(at) else {
            continue;
        };
        let condition = *condition;
        let held = settled.entry(condition).or_default();
        if beaten(score, machines, held) || beaten(score, machines, &goals) {
            continue;
        }
        held.push((score, machines));
        if condition.is_ready(problem.target) {
            goals.push((score, machines));
            ways.push(Way {
                score,
                machines,
                steps: path_to(&labels, at),
            });
            continue;
        }
        for (to, step) in moves.from(condition) {
            let score = plus(score, score_of(&step, objective, pricing.catalogue));
            let machines = machines | machines_of(&step, pricing.catalogue);
            let known = settled
                .get(&to)
                .is_some_and(|held| beaten(score, machines, held));
            if !known && !beaten(score, machines, &goals) {
                queue.push(Reverse((score, machines, labels.len())));
                labels.push(Label {
                    condition: to,
                    before: Some(at),
                    step: Some(step),
                });
            }
        }
    }
    ways
}

fn path_to(labels: &[Label], mut at: usize) -> Vec<Step> {
    let mut steps = Vec::new();
    while let Some(Label {
        before: Some(before),
        step: Some(step),
        ..
    }) = labels.get(at)
    {
        steps.push(step.clone());
        at = *before;
    }
    steps.reverse();
    steps
}

/// All that can be done to a condition of one zone.
struct Moves<'a> {
    problem: &'a ZoneProblem<'a>,
    pricing: &'a Pricing<'a>,
}

impl Moves<'_> {
    fn methods(&self) -> impl Iterator<Item = &Method> {
        self.problem
            .methods
            .iter()
            .filter_map(|&index| self.pricing.catalogue.methods.get(index))
    }

    fn from(&self, condition: Condition) -> Vec<(Condition, Step)> {
        let mut moves = Vec::new();
        for method in self.methods() {
            match &method.work {
                Work::Surface(work) => self.surface(method, work, condition, &mut moves),
                Work::Patch(work) if condition.loose => {
                    let step = self.pricing.patch_step(method, work, &self.problem.extent);
                    let to = Condition {
                        loose: false,
                        residue: dusted(condition),
                        ..condition
                    };
                    moves.push((
                        to,
                        Step {
                            holds: self.problem.holds.of(method),
                            ..step
                        },
                    ));
                }
                Work::Patch(_) | Work::Line(_) | Work::Fill(_) => {}
            }
        }
        moves
    }

    fn surface(
        &self,
        method: &Method,
        work: &SurfaceWork,
        condition: Condition,
        moves: &mut Vec<(Condition, Step)>,
    ) {
        let extent = &self.problem.extent;
        let band = self.problem.bands.area(work.unreached_edge);
        let part = self.problem.start.troubled;
        // A part as large as the zone is the zone.
        let scopes = if part > Area::ZERO && part < extent.net * 0.98 {
            &[true, false][..]
        } else {
            &[true][..]
        };
        for &whole in scopes {
            let Some((to, passes)) = applied(work, condition, self.problem.target, whole) else {
                continue;
            };
            let area = if whole { extent.net } else { part };
            let mut push = |edger| {
                let share = area / extent.net;
                let step = self.pricing.surface_step(
                    method,
                    work,
                    edger,
                    (band * share).min(area),
                    area,
                    passes,
                    condition,
                    self.problem.target,
                    whole,
                );
                moves.push((
                    to,
                    Step {
                        holds: self.problem.holds.of(method),
                        ..step
                    },
                ));
            };
            if band <= Area::ZERO {
                push(None);
                continue;
            }
            for tool in self.methods().filter(|tool| tool.edges()) {
                let Some(tool_work) = tool.surface() else {
                    continue;
                };
                let Some((edge_to, edge_passes)) =
                    applied(tool_work, condition, self.problem.target, whole)
                else {
                    continue;
                };
                // The band must come out as the field does: bare, and within the range asked for.
                let matches = edge_to.film <= to.film
                    && edge_to.weak_tenths <= to.weak_tenths
                    && (!self.problem.target.holds(to.profile)
                        || self.problem.target.holds(edge_to.profile))
                    && edge_to.bruised <= to.bruised
                    && edge_to.residue == to.residue;
                if matches {
                    push(Some((tool, tool_work, edge_passes)));
                }
            }
        }
    }
}

fn dusted(condition: Condition) -> crate::methods::Residue {
    match condition.residue {
        crate::methods::Residue::Clean => crate::methods::Residue::Dust,
        other => other,
    }
}

/// Says what is missing where no way was found: which methods would have helped.
pub(super) fn why_infeasible(
    problem: &ZoneProblem<'_>,
    ruled_out: &[RuledOut],
    catalogue: &Catalogue,
) -> String {
    let reaches = |method: &Method| {
        method
            .surface()
            .and_then(|work| work.leaves)
            .is_some_and(|leaves| {
                leaves.least() <= problem.target.most() && leaves.most() >= problem.target.least()
            })
    };
    let helpful: Vec<String> = ruled_out
        .iter()
        .filter(|out| catalogue.method(&out.method).is_some_and(reaches))
        .map(|out| {
            let name = catalogue
                .method(&out.method)
                .map_or(out.method.as_str(), |m| m.name.as_str());
            format!("{name}: {}", out.reason)
        })
        .collect();
    if helpful.is_empty() {
        format!(
            "No method in the catalogue reaches {} from here.",
            problem.target
        )
    } else {
        format!(
            "No allowed way reaches {}. Ruled out: {}.",
            problem.target,
            helpful.join("; ")
        )
    }
}
