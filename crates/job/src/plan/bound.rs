//! What a zone still costs at least: admissible bounds for the search.
//!
//! A place in some condition needs certain things done (its film off, its profile made, and so
//! on). Needs that no single method serves together add up, each by the cheapest method that
//! serves it at all; of all such families the dearest counts. Which method is the cheapest depends
//! on the machines that are brought, so the bound is worked out for each set of machines that
//! methods can ask for ([`Bound::sets`]): what is saved by a quicker machine is weighed against
//! bringing it.

use std::cell::RefCell;
use std::collections::BTreeMap;

use tooth_measure::{Length, ProfileRange};

use super::condition::{Condition, opens, tenths};
use super::places::MOST_PLACES;
use super::price::Pricing;
use super::reach::{Places, Reach, bits};
use super::search::{MachineCosts, Objective, Score};
use super::sharing::MachineSet;
use crate::methods::{FilmReach, Method, OilReach, Residue, SoilReach, SurfaceWork};

/// Scores as they stand before they are made whole numbers.
type Pair = (f64, f64);
/// Needs as bits.
type Needs = u16;

/// What a place may need before it is ready, in the order of their bits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Need {
    ThinFilm,
    ThickFilm,
    SurfaceOil,
    DeepOil,
    Dirt,
    Salts,
    Rust,
    Weak,
    Profile,
    Opening,
    Cleaning,
}

const NEEDS: [Need; 11] = [
    Need::ThinFilm,
    Need::ThickFilm,
    Need::SurfaceOil,
    Need::DeepOil,
    Need::Dirt,
    Need::Salts,
    Need::Rust,
    Need::Weak,
    Need::Profile,
    Need::Opening,
    Need::Cleaning,
];

impl Need {
    fn bit(self) -> Needs {
        1 << self as u16
    }

    /// Whether a work does anything for it.
    fn is_served_by(self, work: &SurfaceWork) -> bool {
        let soil = if opens(work) { work.soil.max(SoilReach::Dirt) } else { work.soil };
        match self {
            Self::ThinFilm => work.film >= FilmReach::Thin,
            Self::ThickFilm => work.film >= FilmReach::Thick,
            Self::SurfaceOil => work.oil >= OilReach::Surface,
            Self::DeepOil => work.oil >= OilReach::Deep,
            Self::Dirt => soil >= SoilReach::Dirt,
            Self::Salts => soil >= SoilReach::Salts,
            Self::Rust => soil >= SoilReach::Rust,
            Self::Weak => tenths(work) > 0,
            Self::Profile => work.leaves.is_some() || work.opens_skin,
            Self::Opening => opens(work),
            Self::Cleaning => work.clears.is_some() && work.residue == Residue::Clean,
        }
    }

    /// The needs of a condition.
    fn of(condition: &Condition, target: ProfileRange) -> Needs {
        let profile = !target.holds(condition.profile) || condition.closed || condition.bruised;
        let needed = [
            (condition.film == FilmReach::Thin, Self::ThinFilm),
            (condition.film == FilmReach::Thick, Self::ThickFilm),
            (condition.oil == OilReach::Surface, Self::SurfaceOil),
            (condition.oil == OilReach::Deep, Self::DeepOil),
            (condition.soil == SoilReach::Dirt, Self::Dirt),
            (condition.soil == SoilReach::Salts, Self::Salts),
            (condition.soil == SoilReach::Rust, Self::Rust),
            (condition.weak_tenths > 0, Self::Weak),
            (profile, Self::Profile),
            (condition.unopened, Self::Opening),
            (!condition.is_ready(target), Self::Cleaning),
        ];
        needed.into_iter().filter(|(is, _)| *is).fold(0, |set, (_, need)| set | need.bit())
    }
}

/// So many sets of machines are told apart; beyond that the cheapest to bring count as brought.
const MOST_SETS: usize = 64;

/// What a square metre in some condition costs at least until it is ready, and what set-ups cost
/// at least, for each set of machines. Never above the truth, and no step lowers it by more than
/// the step costs.
pub(super) struct Bound {
    methods: Vec<LeastOf>,
    /// The machines of each method that are told apart.
    brings: Vec<MachineSet>,
    /// The machines that are told apart at all.
    told: MachineSet,
    /// The first of them holds every machine.
    with: Vec<With>,
    /// What a place with some needs and a weak layer of some depth costs, for each set.
    places: RefCell<BTreeMap<(usize, Needs, u16), usize>>,
    set_ups: RefCell<BTreeMap<Needs, usize>>,
    costs: RefCell<Vec<Pair>>,
    /// Where the costs of a condition at a place stand.
    conditions: RefCell<Vec<Option<(usize, Needs)>>>,
}

/// Costs with a set of machines.
struct With {
    machines: MachineSet,
    bringing: Score,
    /// By place, then by need: all of the place (of a tenth of a millimetre of a weak layer).
    places: Vec<[Pair; NEEDS.len()]>,
    /// By need: a set-up.
    once: [Pair; NEEDS.len()],
    /// Sets of needs of which no two are served by one method.
    families: Vec<Needs>,
}

/// What a method costs at least on each place, by the pass and by the step, and its set-up.
#[derive(Debug, Clone)]
struct LeastOf {
    passes: Vec<Pair>,
    steps: Vec<Pair>,
    set_up: Pair,
    /// Setting up along walls, where any of a place lies in the band.
    edging: Vec<Pair>,
}

fn sum(a: Pair, b: Pair) -> Pair {
    (a.0 + b.0, a.1 + b.1)
}

fn times(pair: Pair, factor: f64) -> Pair {
    (pair.0 * factor, pair.1 * factor)
}

fn lower(a: Pair, b: Pair) -> Pair {
    (a.0.min(b.0), a.1.min(b.1))
}

fn higher(a: Pair, b: Pair) -> Pair {
    (a.0.max(b.0), a.1.max(b.1))
}

/// A little below, so that rounding never passes the truth.
fn whole(value: f64) -> i64 {
    ((value * 10_000.0 * (1.0 - 1e-9)).floor() as i64).max(0)
}

const NOTHING: Pair = (0.0, 0.0);
const UNSERVED: Pair = (f64::INFINITY, f64::INFINITY);

impl LeastOf {
    /// What each method costs at least; the band along walls goes to one of the edging tools.
    fn of_all(
        methods: &[&Method],
        edgers: &[usize],
        pricing: &Pricing<'_>,
        objective: Objective,
        reach: &Reach,
    ) -> Vec<Self> {
        let own: Vec<[Pair; 3]> =
            methods.iter().map(|method| pricing.least(method, objective)).collect();
        // The band goes to an edging tool, in a pass at least; so may more of any ground.
        let edge = edgers.iter().filter_map(|&number| own.get(number));
        let edge = edge.map(|[pass, step, _]| sum(*pass, *step)).reduce(lower);
        let edging = edgers.iter().filter_map(|&number| methods.get(number));
        let edging = edging.map(|method| pricing.least_edging(method, objective)).reduce(lower);
        let of_method = |(method, [pass, step, set_up]): (&&Method, &[Pair; 3])| {
            let mut least =
                Self { passes: Vec::new(), steps: Vec::new(), edging: Vec::new(), set_up: *set_up };
            for place in 0..reach.count() {
                let square = reach.area(place).square_metres();
                let work = method.surface().filter(|work| work.clears.is_none());
                let band = work.map_or(0.0, |work| reach.band(place, work).square_metres());
                let hand = work
                    .is_none_or(|work| work.unreached_edge <= Length::ZERO && work.lane.is_none());
                let (whole_pass, whole_step) = match edge {
                    Some(edge) if !hand => {
                        let both = lower(sum(*pass, *step), edge);
                        let pass = lower(*pass, both);
                        let rest = (both.0 - pass.0, both.1 - pass.1);
                        let field = (square - band).max(0.0);
                        (times(pass, field), sum(times(rest, field), times(edge, band)))
                    }
                    _ => (times(*pass, square), times(*step, square)),
                };
                least.passes.push(whole_pass);
                least.steps.push(whole_step);
                let along = !hand && band > 0.0;
                least.edging.push(edging.filter(|_| along).unwrap_or(NOTHING));
            }
            least
        };
        methods.iter().zip(&own).map(of_method).collect()
    }
}

impl With {
    /// Costs where only some of the methods can be done. A need that no method serves at all
    /// stands in no finished plan: the search finds that out.
    fn only(
        methods: &[&Method],
        least: &[LeastOf],
        places: usize,
        can: impl Fn(usize) -> bool,
        (machines, bringing): (MachineSet, Score),
    ) -> Self {
        let mut of_places = vec![[UNSERVED; NEEDS.len()]; places];
        let mut once = [UNSERVED; NEEDS.len()];
        let mut together = [0; NEEDS.len()];
        let mut ever = 0;
        for (number, (method, least)) in methods.iter().zip(least).enumerate() {
            let Some(work) = method.surface() else { continue };
            let served: Vec<Need> =
                NEEDS.into_iter().filter(|need| need.is_served_by(work)).collect();
            let set = served.iter().fold(0, |set, need| set | need.bit());
            ever |= set;
            if !can(number) {
                continue;
            }
            for need in served {
                for (place, known) in of_places.iter_mut().enumerate() {
                    let each = if need == Need::Weak {
                        times(least.passes[place], 1.0 / f64::from(tenths(work)))
                    } else {
                        sum(least.passes[place], least.steps[place])
                    };
                    known[need as usize] = lower(known[need as usize], each);
                }
                once[need as usize] = lower(once[need as usize], least.set_up);
                together[need as usize] |= set;
            }
        }
        for need in NEEDS.into_iter().filter(|need| ever & need.bit() == 0) {
            once[need as usize] = NOTHING;
            for known in &mut of_places {
                known[need as usize] = NOTHING;
            }
        }
        let apart = |set: Needs| {
            NEEDS
                .into_iter()
                .filter(|need| set & need.bit() != 0)
                .all(|need| together[need as usize] & set & !need.bit() == 0)
        };
        let mut families: Vec<Needs> =
            (1..1_u16 << NEEDS.len()).filter(|set| apart(*set)).collect();
        families.sort_by_key(|set| std::cmp::Reverse(set.count_ones()));
        Self { machines, bringing, places: of_places, once, families }
    }

    /// The dearest family among some needs.
    fn dearest(&self, needs: Needs, cost: impl Fn(Need) -> Pair) -> Pair {
        let mut most = NOTHING;
        for family in self.families.iter().filter(|family| **family & !needs == 0) {
            let members = NEEDS.into_iter().filter(|need| family & need.bit() != 0);
            most = higher(most, members.fold(NOTHING, |all, need| sum(all, cost(need))));
        }
        most
    }
}

impl Bound {
    pub(super) fn of(
        methods: &[&Method],
        edgers: &[usize],
        pricing: &Pricing<'_>,
        costs: &MachineCosts,
        objective: Objective,
        reach: &Reach,
    ) -> Self {
        let least = LeastOf::of_all(methods, edgers, pricing, objective, reach);
        let brings: Vec<MachineSet> =
            methods.iter().map(|method| costs.set_of(pricing.brought_for(method))).collect();
        let mut told =
            if objective.is_by_zone() { 0 } else { brings.iter().fold(0, |all, set| all | set) };
        let sets = loop {
            match sets_of(&brings, told) {
                Some(sets) => break sets,
                None => told &= !costs.cheapest(told),
            }
        };
        let with = sets
            .into_iter()
            .map(|set| {
                let can = |number: usize| brings[number] & told & !set == 0;
                With::only(methods, &least, reach.count(), can, (set, costs.bringing(set)))
            })
            .collect();
        Self {
            methods: least,
            brings,
            told,
            with,
            places: RefCell::default(),
            set_ups: RefCell::default(),
            costs: RefCell::default(),
            conditions: RefCell::default(),
        }
    }

    /// The sets of machines that are told apart, each with what bringing it costs: every way
    /// uses just one of them, beside machines that are not told apart.
    pub(super) fn sets(&self) -> impl Iterator<Item = (MachineSet, Score)> {
        self.with.iter().map(|with| (with.machines, with.bringing))
    }

    /// The machines that are told apart.
    pub(super) fn told(&self) -> MachineSet {
        self.told
    }

    /// The machines that a method needs.
    pub(super) fn brings(&self, method: usize) -> MachineSet {
        self.brings.get(method).copied().unwrap_or(0)
    }

    /// A move's price at least.
    pub(super) fn of_move(&self, method: usize, passes: u8, on: Places) -> Score {
        let Some(least) = self.methods.get(method) else { return (0, 0) };
        let (mut all, mut edging) = (least.set_up, NOTHING);
        for place in bits(on) {
            let worked = times(least.passes[place], f64::from(passes));
            all = sum(all, sum(worked, least.steps[place]));
            edging = higher(edging, least.edging[place]);
        }
        let all = sum(all, edging);
        (whole(all.0), whole(all.1))
    }

    /// Costs for every set of machines, one after the other, kept from the place that `known`
    /// names.
    fn kept(
        &self,
        known: Option<usize>,
        of: impl Fn(&With) -> Pair,
        keep: impl FnOnce(usize),
    ) -> usize {
        known.unwrap_or_else(|| {
            let mut costs = self.costs.borrow_mut();
            let from = costs.len();
            costs.extend(self.with.iter().map(of));
            keep(from);
            from
        })
    }

    /// Where the costs of a place in a condition stand, and what it needs. The condition's number
    /// is the caller's.
    fn of_place(
        &self,
        place: usize,
        (number, condition): (usize, &Condition),
        target: ProfileRange,
    ) -> (usize, Needs) {
        let slot = number * MOST_PLACES + place;
        if let Some(Some(known)) = self.conditions.borrow().get(slot) {
            return *known;
        }
        let needs = Need::of(condition, target);
        let key = (place, needs, condition.weak_tenths);
        let tenths = f64::from(condition.weak_tenths);
        let of = |with: &With| {
            let costs = with.places.get(place).copied().unwrap_or([NOTHING; NEEDS.len()]);
            with.dearest(needs, |need| {
                let cost = costs[need as usize];
                if need == Need::Weak { times(cost, tenths) } else { cost }
            })
        };
        let known = self.places.borrow().get(&key).copied();
        let from = self.kept(known, of, |from| {
            self.places.borrow_mut().insert(key, from);
        });
        let mut conditions = self.conditions.borrow_mut();
        if conditions.len() <= slot {
            conditions.resize(slot + 1, None);
        }
        conditions[slot] = Some((from, needs));
        (from, needs)
    }

    /// Where the costs of set-ups that some needs ask for stand.
    fn of_set_ups(&self, needs: Needs) -> usize {
        let of = |with: &With| with.dearest(needs, |need| with.once[need as usize]);
        let known = self.set_ups.borrow().get(&needs).copied();
        self.kept(known, of, |from| {
            self.set_ups.borrow_mut().insert(needs, from);
        })
    }

    /// What places in their conditions (each with its number) still cost at least with every
    /// machine there is.
    pub(super) fn with_all<'c>(
        &self,
        conditions: impl Iterator<Item = (usize, usize, &'c Condition)>,
        target: ProfileRange,
    ) -> Score {
        let (mut all, mut needs) = (NOTHING, 0);
        for (place, number, condition) in conditions {
            let (from, needed) = self.of_place(place, (number, condition), target);
            all = sum(all, self.costs.borrow()[from]);
            needs |= needed;
        }
        let once = self.of_set_ups(needs);
        let all = sum(all, self.costs.borrow()[once]);
        (whole(all.0), whole(all.1))
    }

    /// The same for each set of machines, the first figure of the score alone; what cannot be
    /// finished with a set is dearer than anything.
    pub(super) fn with_each<'c>(
        &self,
        conditions: impl Iterator<Item = (usize, usize, &'c Condition)>,
        target: ProfileRange,
    ) -> Vec<i64> {
        let mut all = [0.0_f64; MOST_SETS];
        let mut needs = 0;
        for (place, number, condition) in conditions {
            let (from, needed) = self.of_place(place, (number, condition), target);
            let costs = self.costs.borrow();
            for (all, cost) in all.iter_mut().zip(&costs[from..from + self.with.len()]) {
                *all += cost.0;
            }
            needs |= needed;
        }
        let once = self.of_set_ups(needs);
        let costs = self.costs.borrow();
        let sums = all.iter().zip(&costs[once..once + self.with.len()]).map(|(a, b)| a + b.0);
        sums.map(|all| if all.is_finite() { whole(all) } else { NEVER }).collect()
    }
}

/// Dearer than any way, and far from overflowing.
pub(super) const NEVER: i64 = i64::MAX / 8;

/// Every union of the sets of machines that methods ask for, of those told apart, the one with
/// all of them first; none where there are too many.
fn sets_of(brings: &[MachineSet], told: MachineSet) -> Option<Vec<MachineSet>> {
    let mut sets = vec![0];
    for asked in brings.iter().map(|set| set & told) {
        for at in 0..sets.len() {
            let joined = sets[at] | asked;
            if !sets.contains(&joined) {
                if sets.len() == MOST_SETS {
                    return None;
                }
                sets.push(joined);
            }
        }
    }
    sets.sort_by_key(|set| (std::cmp::Reverse(set.count_ones()), *set));
    Some(sets)
}
