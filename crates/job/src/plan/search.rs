//! The search for the best plan: exact, small, with ties broken the same way always.
//!
//! A way through a zone is a path of states, each the conditions of all its places; its label
//! is its score and the set of machines that it must have brought. One label beats another at
//! the same state where its score, with every machine added that the other does not use, is no
//! worse: whatever the rest of the job brings, the beaten label cannot do better. Labels are
//! taken by score plus what is still to be paid at least ([`super::moves::Least`]), and a move
//! is priced when its turn comes, so that few unions of places are ever laid out in lanes. Where
//! one zone is the whole job, bringing its machines counts at once. A search that grows too
//! large is begun again from a way found quickly ([`Manner::Quick`]), which cuts off what
//! cannot beat it; only if no way is found at all are fewer places told apart.
//! Which way each zone takes, with each machine paid once, is decided in [`super::sharing`].

#![expect(
    clippy::disallowed_types,
    reason = "states are looked up by name, never gone through in order"
)]

use std::cmp::Reverse;
use std::collections::{BinaryHeap, HashMap};
use std::rc::Rc;

use tooth_measure::{Length, Money, ProfileRange, WorkTime};

use super::condition::{Condition, opens};
use super::fixed::Fixed;
use super::moves::{Move, Moves, State};
use super::places::{MOST_PLACES, Start};
use super::price::{Part, Pricing};
use super::reach::Reach;
use super::sharing::{MachineSet, Offer, Sharing};
use super::site::Holds;
use super::{RuledOut, Step};
use crate::choice::choices;
use crate::extent::Extent;
use crate::methods::{Catalogue, DustMade, FilmReach, Method, OilReach, Residue, SoilReach, Work};
use crate::survey::Exposure;

choices! {
    /// What a plan makes least.
    Objective {
        /// Direct cost with mobilisation.
        Cheapest = "cheapest", "least cost";
        /// Crew-hours, then cost.
        Fastest = "fastest", "least time";
        /// Hours of work that raises dust, then cost.
        LeastDust = "least_dust", "least dust";
        /// Direct cost, with every crew-hour and every hour of dust at a price of its own.
        Balanced = "balanced", "cost, time and dust together";
    }
}

impl Objective {
    /// Whether bringing machines does not count, so that each zone is best by itself.
    fn is_by_zone(self) -> bool {
        matches!(self, Self::Fastest | Self::LeastDust)
    }
}

/// Everything about one zone that the search needs.
#[derive(Debug, Clone)]
pub(super) struct ZoneProblem<'a> {
    pub(super) index: usize,
    pub(super) start: Start,
    pub(super) target: ProfileRange,
    pub(super) methods: Vec<usize>,
    /// Methods as sample panels in this zone have shown them.
    pub(super) tried: Vec<Method>,
    pub(super) extent: Extent<'a>,
    pub(super) reach: Reach,
    pub(super) agreed: Option<Exposure>,
    pub(super) holds: Holds,
    pub(super) fixed: Vec<Fixed>,
}

/// What may wait in the search of one zone before it stops and says so; less where many places
/// are told apart, since fewer of them are looked at then.
const MOST_WAITING: usize = 300_000;
const MOST_WAITING_OF_MANY: usize = 100_000;
/// Many places.
const MANY: usize = 4;
/// So many ways found quickly are enough to begin again from.
const ENOUGH: usize = 12;
/// First what is made least, then cost, both in ten-thousandths: whole numbers, so
/// that sums do not depend on their order.
pub(super) type Score = (i64, i64);
/// Machines as bits in the catalogue's order; only those that cost something to bring.
type Machines = MachineSet;

fn whole(value: f64) -> i64 {
    (value * 10_000.0).round() as i64
}

fn plus(a: Score, b: Score) -> Score {
    (a.0 + b.0, a.1 + b.1)
}

/// The best steps of every problem, or what no reached condition ever had.
pub(super) struct Solution {
    pub(super) steps: Vec<Result<Vec<Step>, Vec<Missing>>>,
    /// How far the cost may lie above the least; nothing where the plan is proven best.
    pub(super) gap: Money,
}

pub(super) fn solve(
    problems: &[ZoneProblem<'_>],
    pricing: &Pricing<'_>,
    objective: Objective,
) -> Solution {
    let (mut costs, mut explored) = explored_all(problems, |_| true, pricing, objective);
    // What has no way brings nothing for its lines either.
    let has_way: Vec<bool> = explored.iter().map(|zone| !zone.ways.is_empty()).collect();
    let lines_in_vain =
        |(problem, has): (&ZoneProblem<'_>, &bool)| !has && !problem.fixed.is_empty();
    if problems.iter().zip(&has_way).any(lines_in_vain) {
        let counts = |at: usize| has_way.get(at).is_some_and(|has| *has);
        (costs, explored) = explored_all(problems, counts, pricing, objective);
    }
    let complete = explored.iter().all(|zone| zone.complete);
    let coarse: i64 = explored.iter().map(|zone| zone.coarse).sum();
    let (mut ways, missing): (Vec<Vec<Way>>, Vec<Vec<Missing>>) =
        explored.into_iter().map(|zone| (zone.ways, zone.missing)).unzip();
    // Bringing a machine takes no crew-hours and raises no dust: of the fastest and of the
    // cleanest ways the cheapest together are looked for.
    if objective.is_by_zone() {
        for found in &mut ways {
            let least = found.iter().map(|way| way.score.0).min();
            found.retain(|way| Some(way.score.0) == least);
        }
    }
    let counted = |score: Score| if objective.is_by_zone() { score.1 } else { score.0 };
    let offer = |way: &Way| Offer { cost: counted(way.score), machines: way.machines };
    let shared = Sharing {
        zones: ways
            .iter()
            .filter(|found| !found.is_empty())
            .map(|found| found.iter().map(offer).collect())
            .collect(),
        bringing: costs.machines.iter().map(|(_, score)| counted(*score)).collect(),
        brought: 0,
    }
    .solve();
    let mut chosen = shared.iter().flat_map(|shared| shared.chosen.iter().copied());
    let steps = ways
        .into_iter()
        .zip(missing)
        .map(|(mut found, missing)| {
            if found.is_empty() {
                return Err(missing);
            }
            let number = chosen.next().unwrap_or(0).min(found.len() - 1);
            Ok(found.swap_remove(number).steps)
        })
        .collect();
    let gap = shared.as_ref().map_or(0, |shared| shared.cost - shared.bound) + coarse;
    // A search cut short proves nothing of the cost but that it is not negative.
    let gap = if complete { Money::new(gap as f64 / 10_000.0) } else { Money::new(f64::MAX) };
    Solution { steps, gap }
}

/// What is found for each problem, where the machines of the lines of those that count are
/// brought in any case: their steps leave no choice.
fn explored_all(
    problems: &[ZoneProblem<'_>],
    counts: impl Fn(usize) -> bool,
    pricing: &Pricing<'_>,
    objective: Objective,
) -> (MachineCosts, Vec<Explored>) {
    let mut costs = MachineCosts::of(pricing, objective);
    let counted = problems.iter().enumerate().filter(|(at, _)| counts(*at));
    let brought = counted
        .flat_map(|(_, problem)| &problem.fixed)
        .fold(0, |set, fixed| set | costs.machines_of(&fixed.step));
    costs.are_brought(brought);
    costs.alone = problems.len() == 1;
    let explored =
        problems.iter().map(|problem| ways_through(problem, pricing, &costs, objective)).collect();
    (costs, explored)
}

/// What it costs to bring each machine, as scores.
pub(super) struct MachineCosts {
    machines: Vec<(String, Score)>,
    /// Whether one zone pays for all of them.
    alone: bool,
}

impl MachineCosts {
    fn of(pricing: &Pricing<'_>, objective: Objective) -> Self {
        let machines = pricing
            .catalogue
            .machines
            .iter()
            .map(|machine| {
                let cost = whole(pricing.mobilisation(machine).amount());
                let score = match objective {
                    Objective::Cheapest | Objective::Balanced => (cost, cost),
                    Objective::Fastest | Objective::LeastDust => (0, cost),
                };
                (machine.id.clone(), score)
            })
            .collect();
        Self { machines, alone: false }
    }

    /// What is paid for already costs nothing more.
    fn are_brought(&mut self, set: Machines) {
        for (bit, (_, score)) in self.machines.iter_mut().enumerate() {
            if set & (1 << bit) != 0 {
                *score = (0, 0);
            }
        }
    }

    /// Bringing all machines of a set.
    fn bringing(&self, set: Machines) -> Score {
        let mut sum = (0, 0);
        let mut left = set;
        while left != 0 {
            let bit = left.trailing_zeros() as usize;
            left &= left - 1;
            sum = plus(sum, self.machines.get(bit).map_or((0, 0), |(_, score)| *score));
        }
        sum
    }

    /// The machines of a step that cost something to bring.
    pub(super) fn machines_of(&self, step: &Step) -> Machines {
        step.priced
            .iter()
            .flat_map(Part::machines)
            .filter_map(|id| {
                self.machines.iter().position(|(known, score)| known == id && *score != (0, 0))
            })
            .fold(0, |set, bit| set | (1 << bit))
    }

    /// Whether one of `by` is no worse even with every machine added that only it uses; where
    /// the zone is alone, whether it is no worse with all of its machines.
    fn beaten(&self, score: Score, machines: Machines, by: &[(Score, Machines)]) -> bool {
        let all = if self.alone { plus(score, self.bringing(machines)) } else { score };
        by.iter().any(|(held, set)| {
            let added = if self.alone { *set } else { set & !machines };
            *held <= all && plus(*held, self.bringing(added)) <= all
        })
    }

    /// In which order labels are looked at.
    fn order(&self, manner: Manner, score: Score, onward: Score, machines: Machines) -> Score {
        let so_far = if self.alone || manner != Manner::Exact {
            plus(score, self.bringing(machines))
        } else {
            score
        };
        match manner {
            Manner::Exact => plus(so_far, onward),
            Manner::Quick => plus(so_far, (onward.0 * 4, onward.1 * 4)),
            Manner::Keen => plus(so_far, (onward.0 * 2, onward.1 * 2)),
        }
    }
}

pub(super) fn score_of(step: &Step, objective: Objective, pricing: &Pricing<'_>) -> Score {
    let (first, cost) = unrounded_score(step, objective, pricing);
    (whole(first), whole(cost))
}

/// What an objective makes least, and cost.
pub(super) fn unrounded_score(
    step: &Step,
    objective: Objective,
    pricing: &Pricing<'_>,
) -> (f64, f64) {
    let cost = step.cost.amount();
    let first = match objective {
        Objective::Cheapest => cost,
        Objective::Fastest => step.hours.hours(),
        Objective::LeastDust => dusty_hours(step, pricing.catalogue).hours(),
        Objective::Balanced => {
            let weights = pricing.facts.weights;
            let dust = dusty_hours(step, pricing.catalogue);
            cost + (weights.crew_hour * step.hours + weights.dusty_hour * dust).amount()
        }
    };
    (first, cost)
}

/// Hours of a step in which some tool raises dust.
pub(super) fn dusty_hours(step: &Step, catalogue: &Catalogue) -> WorkTime {
    let raises = |part: &&Part| {
        part.work != "checking"
            && catalogue.method(&part.method).is_some_and(|method| method.dust != DustMade::None)
    };
    step.priced.iter().filter(raises).map(|part| part.hours(1.0, 1.0)).sum()
}

/// A way through a zone that no other beats with the same or fewer machines.
#[derive(Debug, Clone)]
struct Way {
    score: Score,
    machines: Machines,
    steps: Vec<Step>,
}

/// A state reached, and by which move of which label.
struct Label {
    state: usize,
    score: Score,
    machines: Machines,
    before: Option<(usize, Move)>,
}

/// What waits for its turn: a label, or a move from one that is not priced yet.
#[derive(Clone, Copy)]
enum Waiting {
    Reached(usize),
    Unpriced { from: usize, to: usize, made: Move },
}

/// States by number, each with what is known of it.
#[derive(Default)]
struct States {
    numbers: HashMap<State, usize>,
    all: Vec<Known>,
    /// States that differ in their weak depths alone stand together: with less of it left,
    /// everything that helps the other can be done for no more.
    alike: HashMap<State, usize>,
    reached: Vec<Vec<Reached>>,
}

struct Known {
    state: State,
    /// What is still to be paid at least.
    onward: Score,
    /// Whether some label has come to it.
    is_reached: bool,
    /// Where those that differ in weak depths alone stand.
    alike: usize,
    weak: Weak,
    moves: Option<Rc<Vec<(usize, Move, Score)>>>,
}

/// Weak depths of all places.
type Weak = [u16; MOST_PLACES];

/// A score with its machines, and the weak depths that are left.
struct Reached {
    score: Score,
    machines: Machines,
    weak: Weak,
}

impl States {
    fn number(&mut self, state: State, moves: &Moves<'_>) -> usize {
        *self.numbers.entry(state).or_insert_with(|| {
            let onward = moves.at_least(state);
            let (sound, weak) = moves.without_weak(state);
            let fresh = self.reached.len();
            let alike = *self.alike.entry(sound).or_insert(fresh);
            if alike == fresh {
                self.reached.push(Vec::new());
            }
            let known = Known { state, onward, is_reached: false, alike, weak, moves: None };
            self.all.push(known);
            self.all.len() - 1
        })
    }

    /// Whether a label at a state is beaten by one at the same state, or at one with less weak
    /// depth left.
    fn beaten(
        &self,
        at: usize,
        (score, machines): (Score, Machines),
        costs: &MachineCosts,
        manner: Manner,
    ) -> bool {
        let known = &self.all[at];
        self.reached[known.alike].iter().any(|held| {
            (manner == Manner::Quick || held.score <= score)
                && held.weak.iter().zip(&known.weak).all(|(less, own)| less <= own)
                && (manner == Manner::Quick
                    || plus(held.score, costs.bringing(held.machines & !machines)) <= score)
        })
    }

    fn settle(&mut self, at: usize, score: Score, machines: Machines) {
        let known = &mut self.all[at];
        known.is_reached = true;
        self.reached[known.alike].push(Reached { score, machines, weak: known.weak });
    }

    /// The moves from a state with the states that they lead to, and what each costs at least.
    fn moves(&mut self, at: usize, moves: &Moves<'_>) -> Rc<Vec<(usize, Move, Score)>> {
        if let Some(known) = &self.all[at].moves {
            return Rc::clone(known);
        }
        let state = self.all[at].state;
        let found = moves.from(state).into_iter();
        let found =
            found.map(|(to, made)| (self.number(to, moves), made, moves.price_at_least(made)));
        let found = Rc::new(found.collect::<Vec<_>>());
        self.all[at].moves = Some(Rc::clone(&found));
        found
    }
}

/// What the search of one zone found.
struct Explored {
    ways: Vec<Way>,
    missing: Vec<Missing>,
    complete: bool,
    /// How much less the places would cost at most, had all been told apart.
    coarse: i64,
    /// What no way beats, where the search was cut short.
    least: Score,
}

/// What stands between a condition and readiness.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Missing {
    Loose,
    Film,
    Oil,
    Soil,
    Weak,
    Closed,
    Unopened,
    Profile,
    Residue,
}

impl Missing {
    const ALL: [Self; 9] = [
        Self::Loose,
        Self::Film,
        Self::Oil,
        Self::Soil,
        Self::Weak,
        Self::Closed,
        Self::Unopened,
        Self::Profile,
        Self::Residue,
    ];

    fn words(self, target: ProfileRange) -> String {
        let said = match self {
            Self::Loose => "Loose places cannot be repaired",
            Self::Film => "The film cannot be taken off",
            Self::Oil => "The oil cannot be lifted",
            Self::Soil => "Dirt, salts or rust cannot be taken off",
            Self::Weak => "The weak layer cannot be taken off",
            Self::Closed => "The dense surface cannot be opened",
            Self::Unopened => "The surface cannot be opened by a tool, as the system asks",
            Self::Profile => return format!("{target} cannot be reached"),
            Self::Residue => "The surface cannot be left clean and dry",
        };
        said.to_owned()
    }

    fn is_in(self, moves: &Moves<'_>, state: State) -> bool {
        let target = moves.target();
        let lacking = |condition: &Condition| match self {
            Self::Loose => state.loose,
            Self::Film => condition.film != FilmReach::None,
            Self::Oil => condition.oil != OilReach::None,
            Self::Soil => condition.soil != SoilReach::None,
            Self::Weak => condition.weak_tenths > 0,
            Self::Closed => condition.closed,
            Self::Unopened => condition.unopened,
            Self::Profile => !target.holds(condition.profile),
            Self::Residue => condition.residue != Residue::Clean,
        };
        moves.conditions(state).any(|(_, condition)| lacking(&condition))
    }

    /// Whether a method could have helped.
    fn is_helped_by(self, method: &Method, target: ProfileRange) -> bool {
        let surface = method.surface();
        match self {
            Self::Loose => matches!(method.work, Work::Patch(_)),
            Self::Film => surface.is_some_and(|work| work.film != FilmReach::None),
            Self::Oil => surface.is_some_and(|work| work.oil != OilReach::None),
            Self::Soil => surface.is_some_and(|work| work.soil != SoilReach::None),
            Self::Weak => surface.is_some_and(|work| work.depth_per_pass > Length::ZERO),
            Self::Closed => surface.is_some_and(|work| work.leaves.is_some()),
            Self::Unopened => surface.is_some_and(opens),
            Self::Profile => surface.and_then(|work| work.leaves).is_some_and(|leaves| {
                leaves.least() <= target.most() && leaves.most() >= target.least()
            }),
            Self::Residue => surface.is_some_and(|work| work.clears.is_some()),
        }
    }
}

/// How labels are looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Manner {
    /// By what they come to at least, until no label is left that may beat a way.
    Exact,
    /// Those much nearer to readiness first and each state once: a way soon, or the proof that
    /// there is none. What is still to pay is held for four times its least.
    Quick,
    /// Those nearer to readiness first: better ways, without a proof. For twice its least.
    Keen,
}

/// All that is told apart at first; fewer and fewer places where no way was found.
fn ways_through(
    problem: &ZoneProblem<'_>,
    pricing: &Pricing<'_>,
    costs: &MachineCosts,
    objective: Objective,
) -> Explored {
    let mut problem = problem.clone();
    let mut least: Option<Score> = None;
    loop {
        let moves = Moves::of(&problem, pricing, costs, objective);
        let start = moves.start(problem.start.places.iter().map(|place| place.condition));
        let mut found = searched(&moves, start, costs);
        if !found.complete && least.is_none() {
            least = Some(found.least);
        }
        if found.ways.is_empty()
            && !found.complete
            && let Some(coarser) = problem.start.coarser()
        {
            problem.start = coarser;
            problem.reach = problem.reach.of_places(&problem.start);
            continue;
        }
        let all_in = |way: &Way| match costs.alone {
            true => plus(way.score, costs.bringing(way.machines)),
            false => way.score,
        };
        let cheapest = found.ways.iter().map(all_in).min();
        if let (Some(own), Some(least)) = (cheapest, least) {
            found.coarse = (own.1 - least.1).max(0);
        }
        // Places that were taken for worse than they are: what they would cost at their best.
        if let Some(best) = &problem.start.at_best
            && least.is_none()
        {
            let at_best = searched(&moves, moves.start(best.iter().copied()), costs);
            let best = at_best.ways.iter().map(all_in).min();
            if let Some((own, best)) = cheapest.zip(best) {
                found.coarse = (own.1 - best.1).max(0);
            }
        }
        // With a way in hand, the cost is known to lie no further below it than this.
        found.complete |= !found.ways.is_empty();
        return found;
    }
}

/// The best ways; where that takes too much, a way found quickly, and those that beat it.
fn searched(moves: &Moves<'_>, start: State, costs: &MachineCosts) -> Explored {
    let most = if moves.count() > MANY { MOST_WAITING_OF_MANY } else { MOST_WAITING };
    let first = explore(moves, start, costs, Manner::Exact, most / 4, &[]);
    if first.complete {
        return first;
    }
    let mut quick = explore(moves, start, costs, Manner::Quick, most / 4, &first.ways);
    if quick.complete && first.ways.is_empty() && quick.ways.is_empty() {
        return quick;
    }
    quick.ways.extend(first.ways);
    let mut keen = explore(moves, start, costs, Manner::Keen, most / 2, &quick.ways);
    keen.ways.extend(quick.ways);
    let mut last = explore(moves, start, costs, Manner::Exact, most, &keen.ways);
    last.ways.extend(keen.ways);
    last
}

/// Ways that beat those known already, each with the others.
fn explore(
    moves: &Moves<'_>,
    start: State,
    costs: &MachineCosts,
    manner: Manner,
    most: usize,
    known: &[Way],
) -> Explored {
    let mut states = States::default();
    let first = states.number(start, moves);
    let mut labels = vec![Label { state: first, score: (0, 0), machines: 0, before: None }];
    let mut waiting = vec![((0, 0), Waiting::Reached(0))];
    let mut goals: Vec<(Score, Machines)> =
        known.iter().map(|way| (way.score, way.machines)).collect();
    let mut ways = Vec::new();
    let mut complete = true;
    let mut reached = (0, 0);
    let mut queue = BinaryHeap::from([Reverse((states.all[first].onward, 0_usize))]);
    while let Some(Reverse((order, turn))) = queue.pop() {
        reached = order;
        if waiting.len() > most || (manner != Manner::Exact && ways.len() >= ENOUGH) {
            complete = false;
            break;
        }
        let Some(&(least, next)) = waiting.get(turn) else { continue };
        let at = match next {
            Waiting::Reached(at) => at,
            Waiting::Unpriced { from, to, made } => {
                let Some(label) = labels.get(from) else { continue };
                let (score, machines, before) = (label.score, label.machines, label.state);
                if costs.beaten(least, machines, &goals) {
                    continue;
                }
                let before = states.all[before].state;
                let (after, onward) = (states.all[to].state, states.all[to].onward);
                for made in moves.edged(before, after, made) {
                    let Some(priced) = moves.price(made) else { continue };
                    let score = plus(score, priced.score);
                    let machines = machines | priced.machines;
                    let least = plus(score, onward);
                    if costs.beaten(least, machines, &goals)
                        || states.beaten(to, (score, machines), costs, manner)
                    {
                        continue;
                    }
                    let order = costs.order(manner, score, onward, machines);
                    queue.push(Reverse((order, waiting.len())));
                    waiting.push((least, Waiting::Reached(labels.len())));
                    labels.push(Label { state: to, score, machines, before: Some((from, made)) });
                }
                continue;
            }
        };
        let Some(label) = labels.get(at) else { continue };
        let (number, score, machines) = (label.state, label.score, label.machines);
        if costs.beaten(least, machines, &goals)
            || states.beaten(number, (score, machines), costs, manner)
        {
            continue;
        }
        states.settle(number, score, machines);
        if moves.is_ready(states.all[number].state) {
            goals.push((score, machines));
            ways.push(Way { score, machines, steps: path_to(&labels, moves, at) });
            continue;
        }
        for &(to, made, price) in states.moves(number, moves).iter() {
            let so_far = plus(score, price);
            let onward = states.all[to].onward;
            let least = plus(so_far, onward);
            if costs.beaten(least, machines, &goals)
                || states.beaten(to, (so_far, machines), costs, manner)
            {
                continue;
            }
            let order = costs.order(manner, so_far, onward, machines);
            queue.push(Reverse((order, waiting.len())));
            waiting.push((least, Waiting::Unpriced { from: at, to, made }));
        }
    }
    let settled: Vec<State> =
        states.all.iter().filter(|known| known.is_reached).map(|known| known.state).collect();
    let missing = Missing::ALL
        .into_iter()
        .filter(|missing| settled.iter().all(|state| missing.is_in(moves, *state)))
        .collect();
    Explored { ways, missing, complete, coarse: 0, least: reached }
}

fn path_to(labels: &[Label], moves: &Moves<'_>, mut at: usize) -> Vec<Step> {
    let mut steps = Vec::new();
    while let Some((before, made)) = labels.get(at).and_then(|label| label.before) {
        steps.extend(moves.steps(made).into_iter().rev());
        at = before;
    }
    steps.reverse();
    steps
}

/// Says what is missing where no way was found, and which methods would have helped.
pub(super) fn why_infeasible(
    missing: &[Missing],
    target: ProfileRange,
    ruled_out: &[RuledOut],
    catalogue: &Catalogue,
) -> String {
    if missing.is_empty() {
        return "No allowed sequence of methods ends bare, sound and clean with the profile asked for.".to_owned();
    }
    let said: Vec<String> = missing
        .iter()
        .map(|missing| {
            let helpful: Vec<String> = ruled_out
                .iter()
                .filter_map(|out| Some((catalogue.method(&out.method)?, out)))
                .filter(|(method, _)| missing.is_helped_by(method, target))
                .map(|(method, out)| format!("{} ({})", method.name.to_lowercase(), out.reason))
                .collect();
            let what = missing.words(target);
            if helpful.is_empty() {
                format!(
                    "{what}: no allowed method does it within its passes, with a tool for the edges"
                )
            } else {
                format!("{what}; ruled out: {}", helpful.join(", "))
            }
        })
        .collect();
    format!("{}.", said.join(". "))
}
