//! All that can be done to a zone whose places are in certain conditions, and what it costs.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use tooth_measure::{Area, ProfileLevel, ProfileRange};

use super::bound::Bound;
use super::condition::{Condition, Worked, worked};
use super::fixed::Turn;
use super::places::MOST_PLACES;
use super::price::{Made, Pricing, Tool};
use super::reach::{Places, bits};
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
    /// What was laid out in lanes so far, and in how many pieces.
    laid: RefCell<(BTreeSet<(Places, usize)>, usize)>,
    /// What is still to be paid for what is done by the piece or by the metre.
    pending: [Score; 3],
    bound: Bound,
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
        let bound = Bound::of(&methods, &edgers, pricing, costs, objective, &problem.reach);
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
            laid: RefCell::default(),
            pending: [(0, 0); 3],
            bound,
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
        let conditions = self.conditions.borrow();
        let all = self.bound.with_all(self.numbered(state, &conditions), self.problem.target);
        let due = self.due(state);
        (all.0 + due.0, all.1 + due.1)
    }

    /// The same for each set of machines that is told apart ([`Bound::sets`]), the first figure
    /// of the score alone.
    pub(super) fn at_least_with_each(&self, state: State) -> Vec<i64> {
        let conditions = self.conditions.borrow();
        let mut each = self.bound.with_each(self.numbered(state, &conditions), self.problem.target);
        let due = self.due(state).0;
        for cost in &mut each {
            *cost += due;
        }
        each
    }

    /// Places with the numbers of their conditions.
    fn numbered<'c>(
        &self,
        state: State,
        conditions: &'c [Condition],
    ) -> impl Iterator<Item = (usize, usize, &'c Condition)> + use<'c, 'a> {
        state.places.into_iter().take(self.count()).enumerate().filter_map(|(place, number)| {
            let number = usize::from(number);
            conditions.get(number).map(|condition| (place, number, condition))
        })
    }

    /// What is still to be paid at least for what is done by the piece or by the metre.
    fn due(&self, state: State) -> Score {
        let due = [(state.loose, 0), (state.rigid, 1), (state.fills, 2)];
        due.into_iter().filter(|(due, _)| *due).fold((0, 0), |all, (_, group)| {
            let cost = self.pending[group];
            (all.0 + cost.0, all.1 + cost.1)
        })
    }

    /// The bounds that tell sets of machines apart.
    pub(super) fn bound(&self) -> &Bound {
        &self.bound
    }

    /// The machines that a move needs at least.
    pub(super) fn brings(&self, made: Move) -> MachineSet {
        match made.doing {
            Doing::Method(number) => self.bound.brings(number),
            Doing::Turn(_) => 0,
        }
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

    /// Every move from a state, with the state that it leads to; where `few`, only those on all
    /// places that a method serves or on places of one condition.
    pub(super) fn from(&self, state: State, few: bool) -> Vec<(State, Move)> {
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
                    Turn::BeforeCleaning | Turn::BelowSystem | Turn::AfterSystem => {
                        to.fills = false;
                    }
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
                Work::Surface(work) => {
                    self.surface((number, work), state, &classes, few, &mut moves);
                }
                Work::Patch(_) if state.loose && dry => {
                    let mut to = self.trodden(state, 0);
                    to.loose = false;
                    moves.push((to, Move { on: all, ..plain(Doing::Method(number)) }));
                }
                Work::Patch(_)
                | Work::ShallowPatch(_)
                | Work::Line(_)
                | Work::Fill(_)
                | Work::Coat(_)
                | Work::Piece(_)
                | Work::Keep(_) => {}
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
        (number, work): (usize, &SurfaceWork),
        state: State,
        classes: &[(u16, Places)],
        few: bool,
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
            let all = (1_u32 << useful.len()) - 1;
            for picked in 1..=all {
                if few && picked != all && !picked.is_power_of_two() {
                    continue;
                }
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
                oily |= u8::from(had_oil && from.oil == OilReach::None) << place;
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
        if work.lane.is_some() {
            let (known, pieces) = &mut *self.laid.borrow_mut();
            if known.insert((plain.on, number)) {
                *pieces += self.problem.reach.pieces(plain.on);
            }
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

    /// In how many pieces ground was laid out in lanes so far.
    pub(super) fn pieces_laid(&self) -> usize {
        self.laid.borrow().1
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
            Doing::Method(number) => self.bound.of_move(number, made.passes, made.on),
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
            Work::ShallowPatch(_)
            | Work::Line(_)
            | Work::Fill(_)
            | Work::Coat(_)
            | Work::Piece(_)
            | Work::Keep(_) => return None,
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
