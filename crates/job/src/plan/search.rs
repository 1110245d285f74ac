//! The search for the best plan: exact, small, with ties broken the same way always.
//!
//! A way through a zone is a path of states, each the conditions of all its places; its label
//! is its score and the set of machines that it must have brought. One label beats another at
//! the same state where its score, with every machine added that the other does not use, is no
//! worse: whatever the rest of the job brings, the beaten label cannot do better. Labels are
//! taken by score plus what is still to be paid at least ([`super::bound`]), and a move
//! is priced when its turn comes, so that few unions of places are ever laid out in lanes. Where
//! one zone is the whole job, bringing its machines counts at once. A search that grows too
//! large is begun again from a way found quickly ([`Manner::Quick`]), which cuts off what
//! cannot beat it; only if no way is found at all are fewer places told apart.
//! Which way each zone takes, with each machine paid once, is decided in [`super::sharing`].

#![expect(
    clippy::disallowed_types,
    reason = "states are looked up by name, never gone through in order"
)]

use tooth_measure::choice::choices;
use tooth_measure::say::{Joint, Said, listed, said};

use super::PartOfWork;
use std::cell::OnceCell;
use std::cmp::Reverse;
use std::collections::{BinaryHeap, HashMap};
use std::rc::Rc;

use tooth_measure::{Length, Money, ProfileRange, WorkTime};
use tooth_texture::{Workers, each};

use super::bound::NEVER;
use super::condition::{Condition, opens};
use super::fixed::Fixed;
use super::moves::{Move, Moves, State};
use super::places::{MOST_PLACES, Start};
use super::price::{Part, Pricing};
use super::reach::Reach;
use super::sharing::{MachineSet, Offer, Sharing};
use super::site::Holds;
use super::{RuledOut, Step};
use crate::extent::Extent;
use crate::methods::{Catalogue, DustMade, FilmReach, Method, OilReach, Residue, SoilReach, Work};
use crate::survey::Exposure;

choices! {
    /// What a plan makes least.
    Objective {
        /// Direct cost with mobilisation.
        Cheapest = "cheapest";
        /// Crew-hours, then cost.
        Fastest = "fastest";
        /// Hours of work that raises dust, then cost.
        LeastDust = "least_dust";
        /// Direct cost, with every crew-hour and every hour of dust at a price of its own.
        Balanced = "balanced";
    }
}

impl Objective {
    /// Whether bringing machines does not count, so that each zone is best by itself.
    pub(super) fn is_by_zone(self) -> bool {
        matches!(self, Self::Fastest | Self::LeastDust)
    }
}

/// How long is searched before a plan is taken with its gap.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Effort {
    /// For the plan itself.
    Full,
    /// For plans that are only held against it.
    Brief,
}

/// How a job is planned.
#[derive(Clone, Copy)]
pub(super) struct How<'a> {
    pub(super) objective: Objective,
    pub(super) effort: Effort,
    /// Who does the zones.
    pub(super) workers: &'a dyn Workers,
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
const MOST_WAITING: usize = 200_000;
const MOST_WAITING_OF_MANY: usize = 100_000;
/// A brief search stops at this part of that.
const BRIEF: usize = 10;
/// To lay a piece of ground out in lanes takes as long as so many that wait.
const A_PIECE: usize = 10;
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

pub(super) fn solve(problems: &[ZoneProblem<'_>], pricing: &Pricing<'_>, how: How<'_>) -> Solution {
    let objective = how.objective;
    let explored = |counts: &dyn Fn(usize) -> bool| explored_all(problems, counts, pricing, how);
    let (mut costs, mut found) = explored(&|_| true);
    // What has no way brings nothing for its lines either.
    let has_way: Vec<bool> = found.iter().map(|zone| !zone.ways.is_empty()).collect();
    let lines_in_vain =
        |(problem, has): (&ZoneProblem<'_>, &bool)| !has && !problem.fixed.is_empty();
    if problems.iter().zip(&has_way).any(lines_in_vain) {
        let counts = |at: usize| has_way.get(at).is_some_and(|has| *has);
        (costs, found) = explored(&counts);
    }
    let complete = found.iter().all(|zone| zone.complete);
    // Bringing a machine takes no crew-hours and raises no dust: of the fastest and of the
    // cleanest ways the cheapest together are looked for.
    let mut beaten = false;
    if objective.is_by_zone() {
        for zone in &mut found {
            let Some(least) = zone.ways.iter().map(|way| way.score.0).min() else { continue };
            zone.ways.retain(|way| way.score.0 == least);
            beaten |= zone.unknown.iter().any(|unknown| unknown.score.0 < least);
        }
    }
    let counted = |score: Score| if objective.is_by_zone() { score.1 } else { score.0 };
    let offers = |zone: &Explored| -> Vec<Offer> {
        let offer = |way: &Way| Offer { cost: counted(way.score), machines: way.machines };
        zone.ways.iter().map(offer).collect()
    };
    let mut sharing = Sharing {
        zones: found.iter().map(offers).filter(|offers| !offers.is_empty()).collect(),
        bringing: costs.machines.iter().map(|(_, score)| counted(*score)).collect(),
        brought: 0,
    };
    let shared = sharing.solve();
    let mut gap = shared.as_ref().map_or(0, |shared| shared.cost - shared.bound);
    // With what was not looked at among the offers, no plan costs less than the bound.
    let with_way = || found.iter().filter(|zone| !zone.ways.is_empty());
    if with_way().any(|zone| !zone.unknown.is_empty()) {
        for (offers, zone) in sharing.zones.iter_mut().zip(with_way()) {
            offers.extend(
                zone.unknown.iter().map(|unknown| Offer {
                    cost: counted(unknown.score),
                    machines: unknown.machines,
                }),
            );
        }
        let least = sharing.solve();
        if let Some((shared, least)) = shared.as_ref().zip(least) {
            gap = gap.max(shared.cost - least.bound).max(i64::from(beaten));
        }
    }
    let mut chosen = shared.iter().flat_map(|shared| shared.chosen.iter().copied());
    let steps = found
        .into_iter()
        .map(|mut zone| {
            if zone.ways.is_empty() {
                return Err(zone.missing);
            }
            let number = chosen.next().unwrap_or(0).min(zone.ways.len() - 1);
            Ok(zone.ways.swap_remove(number).steps)
        })
        .collect();
    // A search cut short with nothing in hand proves nothing.
    let gap = if complete { Money::new(gap as f64 / 10_000.0) } else { Money::new(f64::MAX) };
    Solution { steps, gap }
}

/// What is found for each problem, where the machines of the lines of those that count are
/// brought in any case: their steps leave no choice.
fn explored_all(
    problems: &[ZoneProblem<'_>],
    counts: &dyn Fn(usize) -> bool,
    pricing: &Pricing<'_>,
    how: How<'_>,
) -> (MachineCosts, Vec<Explored>) {
    let mut costs = MachineCosts::of(pricing, how.objective);
    let counted = problems.iter().enumerate().filter(|(at, _)| counts(*at));
    let brought = counted
        .flat_map(|(_, problem)| &problem.fixed)
        .fold(0, |set, fixed| set | costs.machines_of(&fixed.step));
    costs.are_brought(brought);
    costs.alone = problems.len() == 1;
    let explored = each(how.workers, problems.iter().collect(), |problem| {
        ways_through(problem, pricing, &costs, how)
    });
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
    pub(super) fn bringing(&self, set: Machines) -> Score {
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
        self.set_of(step.priced.iter().flat_map(Part::machines))
    }

    /// Those of some machines that cost something to bring.
    pub(super) fn set_of<'m>(&self, machines: impl Iterator<Item = &'m str>) -> Machines {
        machines
            .filter_map(|id| {
                self.machines.iter().position(|(known, score)| known == id && *score != (0, 0))
            })
            .fold(0, |set, bit| set | (1 << bit))
    }

    /// The machine of a set that costs least to bring.
    pub(super) fn cheapest(&self, set: Machines) -> Machines {
        let of_set = self.machines.iter().enumerate().filter(|(bit, _)| set & (1 << bit) != 0);
        of_set.min_by_key(|(bit, (_, score))| (*score, *bit)).map_or(set, |(bit, _)| 1 << bit)
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
        part.work != PartOfWork::Checking
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
    /// The same for each set of machines, once it was asked for.
    each: OnceCell<Box<[i64]>>,
    /// Whether some label has come to it.
    is_reached: bool,
    /// Where those that differ in weak depths alone stand.
    alike: usize,
    weak: Weak,
    /// All moves and the few of a quick search, where they were asked for.
    moves: [Option<Onward>; 2],
}

/// Moves with the states that they lead to, and what each costs at least.
type Onward = Rc<Vec<(usize, Move, Score)>>;

/// Weak depths of all places.
type Weak = [u16; MOST_PLACES];

/// A score with its machines, and the weak depths that are left.
struct Reached {
    score: Score,
    machines: Machines,
    weak: Weak,
}

impl States {
    /// Forgets what was reached, and keeps the states with their moves.
    fn forget(&mut self) {
        self.all.iter_mut().for_each(|known| known.is_reached = false);
        self.reached.iter_mut().for_each(Vec::clear);
    }

    fn number(&mut self, state: State, moves: &Moves<'_>) -> usize {
        *self.numbers.entry(state).or_insert_with(|| {
            let onward = moves.at_least(state);
            let (sound, weak) = moves.without_weak(state);
            let fresh = self.reached.len();
            let alike = *self.alike.entry(sound).or_insert(fresh);
            if alike == fresh {
                self.reached.push(Vec::new());
            }
            let known = Known {
                state,
                onward,
                each: OnceCell::new(),
                is_reached: false,
                alike,
                weak,
                moves: [None, None],
            };
            self.all.push(known);
            self.all.len() - 1
        })
    }

    /// What is still to be paid at least at a state, for each set of machines told apart.
    fn each(&self, at: usize, moves: &Moves<'_>) -> &[i64] {
        let known = &self.all[at];
        known.each.get_or_init(|| moves.at_least_with_each(known.state).into_boxed_slice())
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
    fn moves(&mut self, at: usize, few: bool, moves: &Moves<'_>) -> Onward {
        if let Some(known) = &self.all[at].moves[usize::from(few)] {
            return Rc::clone(known);
        }
        let state = self.all[at].state;
        let found = moves.from(state, few).into_iter();
        let found =
            found.map(|(to, made)| (self.number(to, moves), made, moves.price_at_least(made)));
        let found = Rc::new(found.collect::<Vec<_>>());
        self.all[at].moves[usize::from(few)] = Some(Rc::clone(&found));
        found
    }
}

/// What the search of one zone found.
struct Explored {
    ways: Vec<Way>,
    missing: Vec<Missing>,
    complete: bool,
    /// What ways that were not looked at come to at least, with which machines.
    unknown: Vec<Unknown>,
}

/// What some ways come to at least, without bringing the machines that they need at least.
#[derive(Debug, Clone, Copy)]
struct Unknown {
    score: Score,
    machines: Machines,
}

/// Ways known already: what another must beat.
struct Goals {
    all: Vec<(Score, Machines)>,
    /// For each set of machines that is told apart, what a label that ends with it must come
    /// below.
    with_each: Vec<i64>,
}

impl Goals {
    fn of(known: &[Way], moves: &Moves<'_>, costs: &MachineCosts) -> Self {
        let sets = moves.bound().sets().count();
        let mut made = Self { all: Vec::new(), with_each: vec![i64::MAX; sets] };
        for way in known {
            made.add(way.score, way.machines, moves, costs);
        }
        made
    }

    fn add(&mut self, score: Score, machines: Machines, moves: &Moves<'_>, costs: &MachineCosts) {
        self.all.push((score, machines));
        for (least, (set, bringing)) in self.with_each.iter_mut().zip(moves.bound().sets()) {
            let own = if costs.alone {
                score.0 + costs.bringing(machines).0 - bringing.0
            } else {
                score.0 + costs.bringing(machines & !set).0
            };
            *least = own.min(*least);
        }
    }
}

/// Where a label stands that has come to a state.
#[derive(Debug, Clone, Copy)]
struct Standing {
    score: Score,
    machines: Machines,
    /// What is still to be paid at least.
    onward: Score,
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

    fn said(self, target: ProfileRange) -> Said {
        let said = match self {
            Self::Loose => said!("loose-places-cannot-be-repaired"),
            Self::Film => said!("the-film-cannot-be-taken-off"),
            Self::Oil => said!("the-oil-cannot-be-lifted"),
            Self::Soil => said!("dirt-salts-or-rust-cannot-be-taken"),
            Self::Weak => said!("the-weak-layer-cannot-be-taken-off"),
            Self::Closed => said!("the-dense-surface-cannot-be-opened"),
            Self::Unopened => said!("the-surface-cannot-be-opened"),
            Self::Profile => return said!("cannot-be-reached", target = target),
            Self::Residue => said!("the-surface-cannot-be-left-clean"),
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
    /// there is none. What is still to pay is held for many times its least.
    Quick,
    /// Those nearer to readiness first: better ways, without a proof. For three times its least.
    Keen,
}

impl Manner {
    /// For how much of its least what is still to pay is held.
    fn factor(self) -> i64 {
        match self {
            Self::Exact => 1,
            Self::Quick => 16,
            Self::Keen => 3,
        }
    }
}

/// All that is told apart at first; fewer and fewer places where no way was found.
fn ways_through(
    problem: &ZoneProblem<'_>,
    pricing: &Pricing<'_>,
    costs: &MachineCosts,
    how: How<'_>,
) -> Explored {
    let mut problem = problem.clone();
    let mut unknown: Option<Vec<Unknown>> = None;
    loop {
        let moves = Moves::of(&problem, pricing, costs, how.objective);
        let start = moves.start(problem.start.places.iter().map(|place| place.condition));
        let mut found = searched(&moves, start, costs, how.effort);
        if !found.complete {
            unknown.get_or_insert_with(|| std::mem::take(&mut found.unknown));
        }
        if found.ways.is_empty()
            && !found.complete
            && let Some(coarser) = problem.start.coarser()
        {
            problem.start = coarser;
            problem.reach = problem.reach.of_places(&problem.start);
            continue;
        }
        // Places that were taken for worse than they are: what they would cost at their best.
        if let Some(best) = &problem.start.at_best
            && unknown.is_none()
        {
            let at_best = searched(&moves, moves.start(best.iter().copied()), costs, how.effort);
            let ways = at_best.ways.iter();
            let ways = ways.map(|way| Unknown { score: way.score, machines: way.machines });
            unknown = Some(ways.chain(at_best.unknown).collect());
        }
        found.unknown = unknown.unwrap_or_default();
        // With a way in hand, the cost is known to lie no further below it than the unknown.
        found.complete |= !found.ways.is_empty();
        return found;
    }
}

/// The best ways; where that takes too much, a way found quickly, and those that beat it.
fn searched(moves: &Moves<'_>, start: State, costs: &MachineCosts, effort: Effort) -> Explored {
    let most = if moves.count() > MANY { MOST_WAITING_OF_MANY } else { MOST_WAITING };
    let most = match effort {
        Effort::Full => most,
        Effort::Brief => most / BRIEF,
    };
    let mut states = States::default();
    let mut explore = |manner, few, most, known: &[Way]| {
        Search { moves, costs, manner, few, states: &mut states }.explore(start, most, known)
    };
    // Of many places, so many unions are worked on that a way in hand is wanted first.
    let mut ways = Vec::new();
    if moves.count() <= MANY {
        let first = explore(Manner::Exact, false, most / 4, &[]);
        if first.complete {
            return first;
        }
        ways = first.ways;
    }
    let mut quick = explore(Manner::Quick, true, most / 4, &ways);
    if quick.complete && ways.is_empty() && quick.ways.is_empty() {
        quick = explore(Manner::Quick, false, most / 4, &[]);
        if quick.complete && quick.ways.is_empty() {
            return quick;
        }
    }
    ways.extend(quick.ways);
    let mut keen = explore(Manner::Keen, true, most / 2, &ways);
    keen.ways.extend(ways);
    if effort == Effort::Brief && !keen.ways.is_empty() {
        // Nothing is proven by few moves.
        keen.complete = false;
        keen.unknown.push(Unknown { score: moves.at_least(start), machines: 0 });
        return keen;
    }
    let mut last = explore(Manner::Exact, false, most, &keen.ways);
    last.ways.extend(keen.ways);
    last
}

/// One search over the states of a zone.
struct Search<'s, 'a> {
    moves: &'s Moves<'a>,
    costs: &'s MachineCosts,
    manner: Manner,
    /// Whether only few moves are tried.
    few: bool,
    states: &'s mut States,
}

impl Search<'_, '_> {
    /// In which order a label has its turn: by what it comes to at least with the machines that
    /// serve it best. None where, with whichever machines it ends, some goal is no worse.
    fn turn(&self, state: usize, at: Standing, goals: &Goals) -> Option<Score> {
        let Standing { score, machines, onward } = at;
        if self.costs.beaten(plus(score, onward), machines, &goals.all) {
            return None;
        }
        let bound = self.moves.bound();
        let told = machines & bound.told();
        let brought = self.costs.bringing(machines);
        let untold = self.costs.bringing(machines & !bound.told()).0;
        let each = self.states.each(state, self.moves);
        let (mut least, mut hopeful) = (NEVER, false);
        let sets = bound.sets().zip(each.iter()).zip(&goals.with_each);
        for (((set, bringing), onward), goal) in sets {
            if told & !set != 0 || *onward >= NEVER {
                continue;
            }
            least = least.min(*onward + bringing.0 + untold);
            let all = if self.costs.alone { untold } else { 0 } + score.0 + *onward;
            // Where bringing does not count at first, what costs less may be as good in that.
            hopeful |= if bound.told() == 0 { *goal >= all } else { *goal > all };
        }
        if !hopeful {
            return None;
        }
        let (onward, more) = (onward.1, least - brought.0);
        let factor = self.manner.factor();
        Some((score.0 + brought.0 + more * factor, score.1 + brought.1 + onward * factor))
    }

    /// Ways that beat those known already, each with the others.
    fn explore(&mut self, start: State, most: usize, known: &[Way]) -> Explored {
        let (moves, costs, manner) = (self.moves, self.costs, self.manner);
        self.states.forget();
        let laid_before = moves.pieces_laid();
        let first = self.states.number(start, moves);
        let mut labels = vec![Label { state: first, score: (0, 0), machines: 0, before: None }];
        let mut waiting = vec![(self.states.all[first].onward, Waiting::Reached(0))];
        let mut goals = Goals::of(known, moves, costs);
        let mut ways = Vec::new();
        let mut complete = true;
        let mut queue = BinaryHeap::from([Reverse(((0, 0), 0_usize))]);
        while let Some(Reverse((order, turn))) = queue.pop() {
            let laid = (moves.pieces_laid() - laid_before) * A_PIECE;
            if waiting.len() + laid > most || (manner != Manner::Exact && ways.len() >= ENOUGH) {
                queue.push(Reverse((order, turn)));
                complete = false;
                break;
            }
            let Some(&(least, next)) = waiting.get(turn) else { continue };
            let at = match next {
                Waiting::Reached(at) => at,
                Waiting::Unpriced { from, to, made } => {
                    let Some(label) = labels.get(from) else { continue };
                    let (score, machines, before) = (label.score, label.machines, label.state);
                    if costs.beaten(least, machines | moves.brings(made), &goals.all) {
                        continue;
                    }
                    let before = self.states.all[before].state;
                    let (after, onward) = (self.states.all[to].state, self.states.all[to].onward);
                    for made in moves.edged(before, after, made) {
                        let Some(priced) = moves.price(made) else { continue };
                        let score = plus(score, priced.score);
                        let machines = machines | priced.machines;
                        if self.states.beaten(to, (score, machines), costs, manner) {
                            continue;
                        }
                        let at = Standing { score, machines, onward };
                        let Some(order) = self.turn(to, at, &goals) else { continue };
                        queue.push(Reverse((order, waiting.len())));
                        waiting.push((plus(score, onward), Waiting::Reached(labels.len())));
                        let before = Some((from, made));
                        labels.push(Label { state: to, score, machines, before });
                    }
                    continue;
                }
            };
            let Some(label) = labels.get(at) else { continue };
            let (number, score, machines) = (label.state, label.score, label.machines);
            let onward = self.states.all[number].onward;
            if self.states.beaten(number, (score, machines), costs, manner)
                || self.turn(number, Standing { score, machines, onward }, &goals).is_none()
            {
                continue;
            }
            self.states.settle(number, score, machines);
            if moves.is_ready(self.states.all[number].state) {
                goals.add(score, machines, moves, costs);
                ways.push(Way { score, machines, steps: path_to(&labels, moves, at) });
                continue;
            }
            for &(to, made, price) in self.states.moves(number, self.few, moves).iter() {
                let score = plus(score, price);
                let machines = machines | moves.brings(made);
                let onward = self.states.all[to].onward;
                if self.states.beaten(to, (score, machines), costs, manner) {
                    continue;
                }
                let standing = Standing { score, machines, onward };
                let Some(order) = self.turn(to, standing, &goals) else { continue };
                queue.push(Reverse((order, waiting.len())));
                waiting.push((plus(score, onward), Waiting::Unpriced { from: at, to, made }));
            }
        }
        let unknown = if complete {
            Vec::new()
        } else {
            let left = queue.into_iter().filter_map(|Reverse((_, turn))| waiting.get(turn));
            self.unknown(left, &labels, &goals)
        };
        let states = &self.states.all;
        let settled: Vec<State> =
            states.iter().filter(|known| known.is_reached).map(|known| known.state).collect();
        let missing = Missing::ALL
            .into_iter()
            .filter(|missing| settled.iter().all(|state| missing.is_in(moves, *state)))
            .collect();
        Explored { ways, missing, complete, unknown }
    }

    /// What comes at least of what was left waiting.
    fn unknown<'w>(
        &self,
        left: impl Iterator<Item = &'w (Score, Waiting)>,
        labels: &[Label],
        goals: &Goals,
    ) -> Vec<Unknown> {
        let bound = self.moves.bound();
        let mut with_each = vec![NEVER; goals.with_each.len()];
        let mut any: Option<Score> = None;
        for (least, next) in left {
            let (from, to, more) = match *next {
                Waiting::Reached(at) => (at, None, 0),
                Waiting::Unpriced { from, to, made } => (from, Some(to), self.moves.brings(made)),
            };
            let Some(label) = labels.get(from) else { continue };
            let at = to.unwrap_or(label.state);
            let known = &self.states.all[at];
            let told = (label.machines | more) & bound.told();
            let each = self.states.each(at, self.moves);
            let so_far = least.0 - known.onward.0;
            any = Some(any.map_or(*least, |any| any.min(*least)));
            for ((held, (set, _)), onward) in with_each.iter_mut().zip(bound.sets()).zip(each) {
                if told & !set == 0 && *onward < NEVER {
                    *held = (*held).min(so_far + onward);
                }
            }
        }
        // Where bringing does not count at first, no sets are told apart.
        if bound.told() == 0 {
            return any.map(|score| Unknown { score, machines: 0 }).into_iter().collect();
        }
        let sets = with_each.into_iter().zip(bound.sets()).filter(|(least, _)| *least < NEVER);
        sets.map(|(least, (machines, _))| Unknown { score: (least, least), machines }).collect()
    }
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
) -> Said {
    if missing.is_empty() {
        return said!("no-allowed-sequence-of-methods-ends");
    }
    let said: Vec<Said> = missing
        .iter()
        .map(|missing| {
            let helpful: Vec<Said> = ruled_out
                .iter()
                .filter_map(|out| Some((catalogue.method(&out.method)?, out)))
                .filter(|(method, _)| missing.is_helped_by(method, target))
                .map(|(method, out)| {
                    said!("method-and-why-not", name = &method.name, reason = &out.reason)
                })
                .collect();
            let what = missing.said(target);
            if helpful.is_empty() {
                said!("no-allowed-method-does-it-within-its", what = what)
            } else {
                said!("ruled-out", what = what, helpful = listed(Joint::Comma, helpful))
            }
        })
        .collect();
    said!("why-no-way", all = listed(Joint::Sentences, said))
}
