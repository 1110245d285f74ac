//! All that can be done to a zone whose places are in certain conditions, and what it costs.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use tooth_measure::{Area, Length, ProfileLevel, ProfileRange};

use super::condition::{Condition, Worked, opens, tenths, worked};
use super::fixed::Turn;
use super::places::MOST_PLACES;
use super::price::{Made, Pricing, Tool};
use super::reach::{Places, Reach, bits};
use super::search::{MachineCosts, Objective, Score, ZoneProblem, score_of};
use super::sharing::MachineSet;
use super::{Hold, Step};
use crate::methods::{FilmReach, Hazard, Method, OilReach, Residue, SoilReach, SurfaceWork, Work};
use crate::survey::Exposure;

/// Tenths of a millimetre: taking off more shows coarse aggregate, whatever the tools.
/// Assumption.
const FINE_TENTHS: u16 = 15;

/// A zone under way: the condition of each place by number, and what is still to be done by the
/// piece or by the metre.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) struct State {
    pub(super) places: [u16; MOST_PLACES],
    /// Loose places are not repaired yet.
    pub(super) loose: bool,
    /// Rigid filling is still to be done: it is prepared with the rest.
    pub(super) rigid: bool,
    /// Other filling is still to be done: on ground that is prepared and dry.
    pub(super) fills: bool,
}

/// What is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Doing {
    /// One of the zone's methods, by number.
    Method(usize),
    /// All that has its turn without a choice.
    Turn(Turn),
}

/// A method on some places, before its price is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Move {
    doing: Doing,
    on: Places,
    passes: u8,
    /// Places from which it takes a thin or a thick film.
    thin: Places,
    thick: Places,
    /// The profile that it leaves where it makes one that stands.
    leaves: Option<ProfileLevel>,
    /// Whether it makes a profile where oil was.
    after_oil: bool,
    /// The tool for the band along walls, and its passes; none yet chosen.
    edger: Option<(usize, u8)>,
}

/// No method is given more passes at once than a byte's first few; the first is never used.
const PASSES: usize = 17;

/// A priced step.
#[derive(Debug)]
pub(super) struct Priced {
    pub(super) score: Score,
    pub(super) machines: MachineSet,
}

/// What can be done in one zone.
pub(super) struct Moves<'a> {
    problem: &'a ZoneProblem<'a>,
    pricing: &'a Pricing<'a>,
    costs: &'a MachineCosts,
    objective: Objective,
    methods: Vec<&'a Method>,
    edgers: Vec<usize>,
    conditions: RefCell<Vec<Condition>>,
    numbers: RefCell<BTreeMap<Condition, u16>>,
    priced: RefCell<BTreeMap<Move, Option<Rc<Priced>>>>,
    /// By condition, then by method, passes and whether places are loose.
    worked: RefCell<Vec<Vec<Option<Option<Worked>>>>>,
    bounds: RefCell<Vec<Option<(Pair, Needs)>>>,
    /// What is still to be paid for what is done by the piece or by the metre.
    pending: [Score; 3],
    least: Least,
}

impl<'a> Moves<'a> {
    pub(super) fn of(
        problem: &'a ZoneProblem<'a>,
        pricing: &'a Pricing<'a>,
        costs: &'a MachineCosts,
        objective: Objective,
    ) -> Self {
        let methods: Vec<&Method> = problem
            .methods
            .iter()
            .filter_map(|&index| pricing.catalogue.methods.get(index))
            .map(|method| {
                problem.tried.iter().find(|tried| tried.id == method.id).unwrap_or(method)
            })
            .collect();
        let edges = |(number, method): (usize, &&Method)| method.edges().then_some(number);
        let edgers: Vec<usize> = methods.iter().enumerate().filter_map(edges).collect();
        let least = Least::of(&methods, &edgers, pricing, objective, &problem.reach);
        let mut made = Self {
            problem,
            pricing,
            costs,
            objective,
            methods,
            edgers,
            conditions: RefCell::default(),
            numbers: RefCell::default(),
            priced: RefCell::default(),
            worked: RefCell::default(),
            bounds: RefCell::default(),
            pending: [(0, 0); 3],
            least,
        };
        made.pending = made.pending();
        made
    }

    pub(super) fn start(&self, conditions: impl Iterator<Item = Condition>) -> State {
        let mut places = [0; MOST_PLACES];
        for (held, condition) in places.iter_mut().zip(conditions) {
            *held = self.number(condition);
        }
        let due = |turn| self.problem.fixed.iter().any(|fixed| fixed.turn == turn);
        State {
            places,
            loose: self.problem.start.loose,
            rigid: due(Turn::BeforeProfile),
            fills: due(Turn::BeforeCleaning),
        }
    }

    fn number(&self, condition: Condition) -> u16 {
        let mut numbers = self.numbers.borrow_mut();
        *numbers.entry(condition).or_insert_with(|| {
            let mut conditions = self.conditions.borrow_mut();
            conditions.push(condition);
            (conditions.len() - 1) as u16
        })
    }

    pub(super) fn target(&self) -> ProfileRange {
        self.problem.target
    }

    pub(super) fn count(&self) -> usize {
        self.problem.start.places.len()
    }

    pub(super) fn condition(&self, state: State, place: usize) -> Condition {
        self.conditions.borrow()[usize::from(state.places[place])]
    }

    pub(super) fn conditions(&self, state: State) -> impl Iterator<Item = (usize, Condition)> {
        (0..self.count()).map(move |place| (place, self.condition(state, place)))
    }

    /// A state as it would be without weak layers, and the weak depths.
    pub(super) fn without_weak(&self, state: State) -> (State, [u16; MOST_PLACES]) {
        let (mut sound, mut weak) = (state, [0; MOST_PLACES]);
        for (place, left) in weak.iter_mut().enumerate().take(self.count()) {
            let condition = self.condition(state, place);
            *left = condition.weak_tenths;
            sound.places[place] = self.number(Condition { weak_tenths: 0, ..condition });
        }
        (sound, weak)
    }

    pub(super) fn is_ready(&self, state: State) -> bool {
        let target = self.problem.target;
        let pending = state.loose || state.rigid || state.fills;
        !pending && self.conditions(state).all(|(_, condition)| condition.is_ready(target))
    }

    /// What is still to be paid at least.
    pub(super) fn at_least(&self, state: State) -> Score {
        let mut all = (0.0, 0.0);
        let mut needs = 0;
        for (place, number) in state.places.iter().take(self.count()).enumerate() {
            let (cost, needed) = self.bound(place, *number);
            all = sum(all, cost);
            needs |= needed;
        }
        let all = sum(all, self.least.set_ups(needs));
        // A little below, so that rounding never passes the truth.
        let whole = |value: f64| ((value * 10_000.0 * (1.0 - 1e-9)).floor() as i64).max(0);
        let mut least = (whole(all.0), whole(all.1));
        let due = [(state.loose, 0), (state.rigid, 1), (state.fills, 2)];
        for (_, group) in due.into_iter().filter(|(due, _)| *due) {
            let cost = self.pending[group];
            least = (least.0 + cost.0, least.1 + cost.1);
        }
        least
    }

    /// What a place in a condition still costs at least, and what it needs.
    fn bound(&self, place: usize, condition: u16) -> (Pair, Needs) {
        let slot = usize::from(condition) * MOST_PLACES + place;
        let mut known = self.bounds.borrow_mut();
        if known.len() <= slot {
            known.resize(slot + 1, None);
        }
        *known[slot].get_or_insert_with(|| {
            let held = self.conditions.borrow()[usize::from(condition)];
            self.least.of_condition(place, &held, self.problem.target)
        })
    }

    /// What loose places, rigid filling and other filling cost at least.
    fn pending(&self) -> [Score; 3] {
        let least = |moves: Vec<Move>| {
            let prices = moves.into_iter().filter_map(|made| self.price(made));
            let scores = prices.map(|priced| priced.score);
            scores.reduce(|a, b| (a.0.min(b.0), a.1.min(b.1))).unwrap_or((0, 0))
        };
        let patches = self
            .methods
            .iter()
            .enumerate()
            .filter(|(_, method)| matches!(method.work, Work::Patch(_)))
            .map(|(number, _)| plain(Doing::Method(number)));
        let all = self.problem.reach.all();
        let on_all = |made: Move| Move { on: all, ..made };
        [
            least(patches.map(on_all).collect()),
            least(vec![on_all(plain(Doing::Turn(Turn::BeforeProfile)))]),
            least(vec![on_all(plain(Doing::Turn(Turn::BeforeCleaning)))]),
        ]
    }

    /// The places of the zone, those in the same condition together.
    fn classes(&self, state: State) -> Vec<(u16, Places)> {
        let mut classes: Vec<(u16, Places)> = Vec::new();
        for (place, number) in state.places.iter().take(self.count()).enumerate() {
            match classes.iter_mut().find(|(known, _)| known == number) {
                Some((_, places)) => *places |= 1 << place,
                None => classes.push((*number, 1 << place)),
            }
        }
        classes
    }

    /// Every move from a state, with the state that it leads to.
    pub(super) fn from(&self, state: State) -> Vec<(State, Move)> {
        let classes = self.classes(state);
        let mut moves = Vec::new();
        let all = self.problem.reach.all();
        // Nobody saws, routs or fills in acid or standing water.
        let dry = !self.conditions(state).any(|(_, condition)| condition.residue.is_wet());
        let target = self.problem.target;
        let mut turn = |turn, due: bool| {
            if due && dry {
                let mut to = self.trodden(state, 0);
                match turn {
                    Turn::BeforeProfile => to.rigid = false,
                    Turn::BeforeCleaning | Turn::AfterSystem => to.fills = false,
                }
                moves.push((to, Move { on: all, ..plain(Doing::Turn(turn)) }));
            }
        };
        turn(Turn::BeforeProfile, state.rigid);
        let prepared = || self.conditions(state).all(|(_, held)| held.is_prepared(target));
        turn(Turn::BeforeCleaning, state.fills && !state.rigid && !state.loose && prepared());
        for (number, method) in self.methods.iter().enumerate() {
            match &method.work {
                Work::Surface(work) if work.clears.is_some() => {
                    self.clearing(number, work, state, &mut moves);
                }
                Work::Surface(work) => self.surface(number, work, state, &classes, &mut moves),
                Work::Patch(_) if state.loose && dry => {
                    let mut to = self.trodden(state, 0);
                    to.loose = false;
                    moves.push((to, Move { on: all, ..plain(Doing::Method(number)) }));
                }
                Work::Patch(_)
                | Work::ShallowPatch(_)
                | Work::Line(_)
                | Work::Fill(_)
                | Work::Coat(_) => {}
            }
        }
        moves
    }

    /// Work anywhere makes what was cleaned elsewhere dusty again.
    fn trodden(&self, state: State, but: Places) -> State {
        let mut to = state;
        for (place, condition) in self.conditions(state) {
            if but & (1 << place) == 0 && condition.residue == Residue::Clean {
                to.places[place] = self.number(Condition { residue: Residue::Dust, ..condition });
            }
        }
        to
    }

    /// Rinsing, drying, vacuuming: all that is wet is dried together, acid rinsed together, and
    /// what was never wet is left alone; dust is cleared all over, where nothing is wet.
    fn clearing(
        &self,
        number: usize,
        work: &SurfaceWork,
        state: State,
        moves: &mut Vec<(State, Move)>,
    ) {
        let Some(cleared) = work.clears else { return };
        let (mut there, mut worse) = (0, false);
        for (place, condition) in self.conditions(state) {
            if condition.residue == cleared {
                there |= 1 << place;
            }
            worse |= condition.residue > cleared;
        }
        let all = self.problem.reach.all();
        let over_dust = cleared == Residue::Dust;
        if there == 0 || (over_dust && worse) {
            return;
        }
        let on = if over_dust { all } else { there };
        let mut to = state;
        for place in bits(on) {
            let from = self.condition(state, place);
            // What lies beside it was never wet, and is as dusty as before.
            let residue = match work.residue {
                Residue::Clean if on != all => Residue::Dust,
                left => left,
            };
            let soil = if work.soil >= from.soil { SoilReach::None } else { from.soil };
            to.places[place] = self.number(Condition { residue, soil, ..from });
        }
        moves.push((to, Move { on, ..plain(Doing::Method(number)) }));
    }

    fn worked(&self, method: usize, condition: u16, loose: bool, passes: u8) -> Option<Worked> {
        let slot = (method * PASSES + usize::from(passes)) * 2 + usize::from(loose);
        let mut known = self.worked.borrow_mut();
        if known.len() <= usize::from(condition) {
            known.resize(usize::from(condition) + 1, Vec::new());
        }
        let of_condition = &mut known[usize::from(condition)];
        if of_condition.is_empty() {
            of_condition.resize(self.methods.len() * PASSES * 2, None);
        }
        if let Some(known) = of_condition[slot] {
            return known;
        }
        let from = self.conditions.borrow()[usize::from(condition)];
        let work = self.methods.get(method).and_then(|method| method.surface());
        let made = work.and_then(|work| self.outcome(work, from, loose, passes));
        of_condition[slot] = Some(made);
        made
    }

    fn outcome(
        &self,
        work: &SurfaceWork,
        from: Condition,
        loose: bool,
        passes: u8,
    ) -> Option<Worked> {
        let mut made = worked(work, from, self.problem.target, loose, passes)?;
        if self.problem.agreed.is_some_and(|agreed| agreed < Exposure::Coarse) {
            let taken = work.depth_per_pass * f64::from(passes);
            made.to.taken_tenths += (taken.millimetres() * 10.0).round() as u16;
            if made.to.taken_tenths > FINE_TENTHS {
                return None;
            }
        }
        Some(made)
    }

    fn surface(
        &self,
        number: usize,
        work: &SurfaceWork,
        state: State,
        classes: &[(u16, Places)],
        moves: &mut Vec<(State, Move)>,
    ) {
        // What is filled rigid is prepared with the rest.
        if work.leaves.is_some() && state.rigid {
            return;
        }
        for passes in 1..=most_passes(work) {
            let made: Vec<(Places, Option<Worked>)> = classes
                .iter()
                .map(|(condition, on)| (*on, self.worked(number, *condition, state.loose, passes)))
                .collect();
            let useful: Vec<(Places, Worked)> = made
                .iter()
                .filter_map(|(on, made)| Some((*on, made.filter(|made| made.changes)?)))
                .collect();
            if useful.is_empty() {
                continue;
            }
            // One pass more than any place asks for brings nothing.
            let wanted = |chosen: &[(Places, Worked)]| {
                chosen.iter().any(|(_, made)| made.most >= passes)
                    || chosen.iter().map(|(_, made)| made.least).max() == Some(passes)
            };
            let every = made.iter().all(|(_, made)| made.is_some());
            for picked in 1_u32..1 << useful.len() {
                let chosen: Vec<(Places, Worked)> = useful
                    .iter()
                    .enumerate()
                    .filter(|(at, _)| picked & (1 << at) != 0)
                    .map(|(_, held)| *held)
                    .collect();
                if wanted(&chosen) {
                    self.push(number, work, state, &chosen, passes, moves);
                }
            }
            // All over, where some of it needs nothing and bears it.
            if every && useful.len() < made.len() && wanted(&useful) {
                let all: Vec<(Places, Worked)> =
                    made.iter().filter_map(|(on, made)| Some((*on, (*made)?))).collect();
                self.push(number, work, state, &all, passes, moves);
            }
        }
    }

    fn push(
        &self,
        number: usize,
        work: &SurfaceWork,
        state: State,
        chosen: &[(Places, Worked)],
        passes: u8,
        moves: &mut Vec<(State, Move)>,
    ) {
        let on = chosen.iter().fold(0, |all, (places, _)| all | places);
        let mut to = self.trodden(state, on);
        let (mut thin, mut thick, mut oily) = (0, 0, 0);
        for (places, made) in chosen {
            for place in bits(*places) {
                let from = self.condition(state, place);
                to.places[place] = self.number(made.to);
                if made.to.film < from.film {
                    match from.film {
                        FilmReach::Thick => thick |= 1 << place,
                        FilmReach::Thin => thin |= 1 << place,
                        FilmReach::None => {}
                    }
                }
                let had_oil = self.problem.start.places[place].condition.oil != OilReach::None;
                oily |= u8::from(had_oil) << place;
            }
        }
        let target = self.problem.target;
        let stands = work.leaves.is_some()
            && (on == self.problem.reach.all()
                || chosen.iter().all(|(_, made)| target.holds(made.to.profile)));
        let leaves = if stands {
            let largest = bits(on).max_by_key(|place| {
                let area = self.problem.reach.area(*place).square_metres();
                ((area * 1e6) as i64, std::cmp::Reverse(*place))
            });
            largest.map(|place| self.condition(to, place).profile)
        } else {
            None
        };
        let after_oil = work.leaves.is_some() && oily != 0;
        let plain =
            Move { on, passes, thin, thick, leaves, after_oil, ..plain(Doing::Method(number)) };
        moves.push((to, plain));
    }

    /// The same move with every tool that can do its edges; itself where it has none.
    pub(super) fn edged(&self, from: State, to: State, plain: Move) -> Vec<Move> {
        let Doing::Method(number) = plain.doing else { return vec![plain] };
        let Some(work) = self.methods.get(number).and_then(|method| method.surface()) else {
            return vec![plain];
        };
        // Water is taken up and dust taken off right to the wall.
        if work.clears.is_some() {
            return vec![plain];
        }
        let Some(sized) = self.problem.reach.sized(plain.on, work) else { return Vec::new() };
        if sized.band <= Area::ZERO {
            return vec![plain];
        }
        let with = |&edger: &usize| {
            let passes = self.edging(edger, from, to, plain.on)?;
            Some(Move { edger: Some((edger, passes)), ..plain })
        };
        self.edgers.iter().filter_map(with).collect()
    }

    /// Passes in which a hand tool brings the band along walls to what the field has come to:
    /// bare, and within the range asked for; in as few as will do.
    fn edging(&self, edger: usize, from: State, to: State, on: Places) -> Option<u8> {
        let tool = self.methods.get(edger)?.surface()?;
        let target = self.problem.target;
        let matches = |field: Condition, edge: Condition| {
            edge.film <= field.film
                && edge.weak_tenths <= field.weak_tenths
                && edge.unopened <= field.unopened
                && edge.soil <= field.soil
                && if target.holds(field.profile) {
                    target.holds(edge.profile)
                } else {
                    // Nor smoother than the range, which the next step would not mend.
                    edge.profile <= field.profile
                        && edge.profile >= field.profile.min(target.least())
                }
                && edge.bruised <= field.bruised
                && edge.residue == field.residue
                // A band half ground down would be ground again with the rest.
                && !(tool.smooths && tool.leaves.is_some_and(|leaves| !leaves.holds(edge.profile)))
        };
        (1..=most_passes(tool)).find(|passes| {
            bits(on).all(|place| {
                let made = self.worked(edger, from.places[place], from.loose, *passes);
                made.is_some_and(|made| matches(self.condition(to, place), made.to))
            })
        })
    }

    /// A move's price at least, by area alone.
    pub(super) fn price_at_least(&self, made: Move) -> Score {
        match made.doing {
            Doing::Method(number) => self.least.of_move(number, made.passes, made.on),
            Doing::Turn(_) => (0, 0),
        }
    }

    /// A move's price; none where the machine does not fit in.
    pub(super) fn price(&self, made: Move) -> Option<Rc<Priced>> {
        if let Some(known) = self.priced.borrow().get(&made) {
            return known.clone();
        }
        let steps = self.steps(made);
        let priced = (!steps.is_empty()).then(|| {
            let scores = steps.iter().map(|step| score_of(step, self.objective, self.pricing));
            Rc::new(Priced {
                score: scores.fold((0, 0), |sum, score| (sum.0 + score.0, sum.1 + score.1)),
                machines: steps.iter().fold(0, |set, step| set | self.costs.machines_of(step)),
            })
        });
        self.priced.borrow_mut().insert(made, priced.clone());
        priced
    }

    /// The steps that a move is; none where the machine does not fit in.
    pub(super) fn steps(&self, made: Move) -> Vec<Step> {
        match made.doing {
            Doing::Method(number) => self.step(number, made).into_iter().collect(),
            Doing::Turn(turn) => {
                let due = self.problem.fixed.iter().filter(|fixed| fixed.turn == turn);
                due.map(|fixed| fixed.step.clone()).collect()
            }
        }
    }

    fn step(&self, number: usize, made: Move) -> Option<Step> {
        let method = *self.methods.get(number)?;
        let mut holds = self.problem.holds.of(method);
        if !made.after_oil {
            holds.retain(|hold| *hold != Hold::OilGone);
        }
        let step = match &method.work {
            Work::Patch(work) => self.pricing.patch_step(method, work, &self.problem.extent),
            Work::Surface(work) => {
                let sized = self.problem.reach.sized(made.on, work)?;
                let share = |places: Places| {
                    if places == 0 { 0.0 } else { self.problem.reach.area_of(places) / sized.area }
                };
                let whole = made.on == self.problem.reach.all();
                let edger = match made.edger {
                    Some((edger, passes)) => {
                        let method = *self.methods.get(edger)?;
                        Some(Tool { method, work: method.surface()?, passes })
                    }
                    None => None,
                };
                let done = Made {
                    whole,
                    leaves: made.leaves,
                    thin: share(made.thin),
                    thick: share(made.thick),
                };
                let tool = Tool { method, work, passes: made.passes };
                let step =
                    self.pricing.surface_step(tool, edger, &sized, done, self.problem.target);
                let marks = bits(made.on).flat_map(|place| &self.problem.start.places[place].marks);
                let mut features: Vec<_> =
                    if whole { Vec::new() } else { marks.cloned().collect() };
                features.sort();
                features.dedup();
                Step {
                    features,
                    ground: (!whole).then(|| self.problem.reach.region_of(made.on)),
                    ..step
                }
            }
            Work::ShallowPatch(_) | Work::Line(_) | Work::Fill(_) | Work::Coat(_) => return None,
        };
        // A caution that stands on every sheet is read by nobody: old coatings are spoken of
        // where a film lies.
        let mut hazards = step.hazards;
        let films = bits(made.on)
            .any(|place| self.problem.start.places[place].condition.film != FilmReach::None);
        if !films {
            hazards.retain(|hazard| *hazard != Hazard::OldCoating);
        }
        Some(Step { holds, hazards, ..step })
    }
}

fn most_passes(work: &SurfaceWork) -> u8 {
    work.most_passes.clamp(1, PASSES as u8 - 1)
}

fn plain(doing: Doing) -> Move {
    Move { doing, on: 0, passes: 1, thin: 0, thick: 0, leaves: None, after_oil: false, edger: None }
}

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
            Self::Profile => work.leaves.is_some(),
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

/// What a square metre in some condition costs at least until it is ready, and what set-ups cost
/// at least. Needs that no single method serves together add up, each by the cheapest method that
/// serves it at all; of all such families the dearest counts. Never above the truth, and no step
/// lowers it by more than the step costs.
struct Least {
    methods: Vec<LeastOf>,
    /// By place, then by need: all of the place (of a tenth of a millimetre of a weak layer).
    places: Vec<[Pair; NEEDS.len()]>,
    /// By need: a set-up.
    once: [Pair; NEEDS.len()],
    /// Sets of needs of which no two are served by one method.
    families: Vec<Needs>,
    set_ups: RefCell<BTreeMap<Needs, Pair>>,
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

const NOTHING: Pair = (0.0, 0.0);
const UNSERVED: Pair = (f64::INFINITY, f64::INFINITY);

impl Least {
    fn of(
        methods: &[&Method],
        edgers: &[usize],
        pricing: &Pricing<'_>,
        objective: Objective,
        reach: &Reach,
    ) -> Self {
        let own: Vec<[Pair; 3]> =
            methods.iter().map(|method| pricing.least(method, objective)).collect();
        // The band goes to an edging tool, in a pass at least; so may more of any ground.
        let edge = edgers.iter().filter_map(|&number| own.get(number));
        let edge = edge.map(|[pass, step, _]| sum(*pass, *step)).reduce(lower);
        let edging = edgers.iter().filter_map(|&number| methods.get(number));
        let edging = edging.map(|method| pricing.least_edging(method, objective)).reduce(lower);
        let places = reach.count();
        let of_method = |(method, [pass, step, set_up]): (&&Method, &[Pair; 3])| {
            let mut least = LeastOf {
                passes: Vec::new(),
                steps: Vec::new(),
                edging: Vec::new(),
                set_up: *set_up,
            };
            for place in 0..places {
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
        let least: Vec<LeastOf> = methods.iter().zip(&own).map(of_method).collect();
        let mut of_places = vec![[UNSERVED; NEEDS.len()]; places];
        let mut once = [UNSERVED; NEEDS.len()];
        let mut together = [0; NEEDS.len()];
        for (method, least) in methods.iter().zip(&least) {
            let Some(work) = method.surface() else { continue };
            let served: Vec<Need> =
                NEEDS.into_iter().filter(|need| need.is_served_by(work)).collect();
            let set = served.iter().fold(0, |set, need| set | need.bit());
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
        // What nothing serves stands in no finished plan; the search finds that out.
        let finite = |value: f64| if value.is_finite() { value } else { 0.0 };
        for pair in of_places.iter_mut().flatten().chain(&mut once) {
            *pair = (finite(pair.0), finite(pair.1));
        }
        let apart = |set: Needs| {
            NEEDS
                .into_iter()
                .filter(|need| set & need.bit() != 0)
                .all(|need| together[need as usize] & set & !need.bit() == 0)
        };
        let families = (1..1_u16 << NEEDS.len()).filter(|set| apart(*set)).collect();
        Self { methods: least, places: of_places, once, families, set_ups: RefCell::default() }
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

    fn of_move(&self, method: usize, passes: u8, on: Places) -> Score {
        let Some(least) = self.methods.get(method) else { return (0, 0) };
        let (mut all, mut edging) = (least.set_up, NOTHING);
        for place in bits(on) {
            let worked = times(least.passes[place], f64::from(passes));
            all = sum(all, sum(worked, least.steps[place]));
            edging = higher(edging, least.edging[place]);
        }
        let all = sum(all, edging);
        let whole = |value: f64| ((value * 10_000.0 * (1.0 - 1e-9)).floor() as i64).max(0);
        (whole(all.0), whole(all.1))
    }

    fn of_condition(
        &self,
        place: usize,
        condition: &Condition,
        target: ProfileRange,
    ) -> (Pair, Needs) {
        let needs = Need::of(condition, target);
        let tenths = f64::from(condition.weak_tenths);
        let costs = self.places.get(place).copied().unwrap_or([NOTHING; NEEDS.len()]);
        let cost = |need: Need| {
            let cost = costs[need as usize];
            if need == Need::Weak { times(cost, tenths) } else { cost }
        };
        (self.dearest(needs, cost), needs)
    }

    /// Set-ups that some needs ask for at least.
    fn set_ups(&self, needs: Needs) -> Pair {
        *self
            .set_ups
            .borrow_mut()
            .entry(needs)
            .or_insert_with(|| self.dearest(needs, |need| self.once[need as usize]))
    }
}
