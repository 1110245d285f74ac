//! The planner against a second model of the same rules that tries every sequence of
//! steps, one zone after the other, and every combination of machines over the zones.
//!
//! The model is written from the documented rules and shares no code with the planner:
//! it reads only the catalogue's figures. It knows rectangles alone, so that areas and
//! edge bands follow by hand: a room of w × h with walls all round and a reach r leaves
//! (w - 2r) × (h - 2r) in the middle.
#![expect(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "tests fail loudly")]

#[expect(dead_code, reason = "the other test crates use the rest")]
mod common;

use std::collections::BTreeMap;

use common::{RULE, Trouble, add_zone, at, rectangle, trouble, walls};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use tooth_job::assessment::assess;
use tooth_job::methods::{
    Catalogue, FilmReach, LineTask, LineTreatment, Method, OilReach, Residue, SurfaceWork, Work,
    built_in,
};
use tooth_job::plan::{Objective, Plan, Planned, plan};
use tooth_job::survey::{Answer, Dust, JointKind, Place, Seen, Setting, Survey};
use tooth_measure::{Length, Path, ProfileRange};

/// Longest sequence that is tried; no zone here needs more.
const LONGEST: usize = 10;
/// Concrete, kg/m³.
const CONCRETE: f64 = 2300.0;
const INCH: f64 = 0.0254;

/// A zone of the model.
#[derive(Debug, Clone, Copy)]
struct Room {
    width: f64,
    height: f64,
    walls: bool,
    trouble: Trouble,
    joint: Option<LineTreatment>,
}

/// What the model knows of a surface.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct State {
    film: FilmReach,
    oil: OilReach,
    weak: u32,
    closed: bool,
    profile: u8,
    bruised: bool,
    loose: bool,
    residue: Residue,
    /// Whether water or acid lies on the marked part alone.
    in_part: bool,
}

/// Everything that does not change during the search of one job.
struct Model<'a> {
    survey: &'a Survey,
    catalogue: &'a Catalogue,
    /// The methods that the site allows, listed by hand.
    allowed: Vec<&'a Method>,
    target: (u8, u8),
}

impl Room {
    fn area(&self) -> f64 {
        self.width * self.height
    }

    /// The part of the room, from its western end, that lies within reach of a wall.
    fn band(&self, share: f64, reach: f64) -> f64 {
        if !self.walls {
            return 0.0;
        }
        let marked = self.width * share;
        let along = (marked.min(self.width - reach) - reach).max(0.0);
        let across = (self.height - 2.0 * reach).max(0.0);
        marked * self.height - along * across
    }

    /// Hours of one pass in straight lanes over the room, each hour of work covering what the
    /// planning rate says and each turn taking 20 s; none where the machine does not fit in.
    /// Lanes run the way that takes less for the whole room at a quarter of walking pace
    /// (0.5 m/s). Of a room marked at its western end they are driven as far as the marks,
    /// but a machine's width at least; none where no lane comes to the marks.
    fn driven(&self, work: &SurfaceWork, share: f64) -> Option<f64> {
        let lane = work.lane?;
        let (width, spacing) = (lane.width.metres(), (lane.width - lane.overlap).metres());
        let reach = if self.walls { work.unreached_edge.metres() } else { 0.0 };
        let sides = (self.width - 2.0 * reach, self.height - 2.0 * reach);
        let along = |length: f64, across: f64| {
            let lanes = ((across - width) / spacing - 1e-9).ceil().max(0.0) + 1.0;
            (length >= width && across >= width).then_some((lanes * length, lanes))
        };
        let taken = |(worked, lanes): (f64, f64)| worked * 4.0 / 0.5 + lanes * 20.0;
        let (east, north) = (along(sides.0, sides.1), along(sides.1, sides.0));
        let ways = [east.map(|way| (way, true)), north.map(|way| (way, false))];
        let best = ways.into_iter().flatten();
        let (mut best, eastward) = best.min_by(|a, b| taken(a.0).total_cmp(&taken(b.0)))?;
        if share <= 0.98 {
            let marked = self.width * share - reach;
            // A thousandth of a lane is no reason to drive it.
            if eastward {
                if marked <= sides.0 * 1e-3 {
                    return None;
                }
                best.0 = best.1 * marked.max(width).min(sides.0);
            } else {
                let step = (sides.0 - width) / (best.1 - 1.0).max(1.0);
                // What is marked beyond the lane before.
                let lanes = (0..best.1 as u32).map(|number| match number {
                    0 => marked,
                    _ => marked - step * f64::from(number - 1) - width,
                });
                let taking = lanes.filter(|left| *left > width * 1e-3).count();
                if taking == 0 {
                    return None;
                }
                best = (taking as f64 * sides.1, taking as f64);
            }
        }
        let rate = work.rate.likely.square_metres_per_hour();
        Some(best.0 * spacing / rate + (best.1 - 1.0) * 20.0 / 3600.0)
    }

    fn start(&self) -> State {
        State {
            film: self.trouble.film,
            oil: self.trouble.oil,
            weak: u32::from(self.trouble.weak_tenths),
            closed: self.trouble.dense,
            profile: self.trouble.chip,
            bruised: false,
            loose: self.trouble.hollow,
            residue: Residue::Dust,
            in_part: false,
        }
    }

    /// The marked part, where it is less than the room.
    fn part(&self) -> Option<f64> {
        let marked = self.trouble.film != FilmReach::None
            || self.trouble.oil != OilReach::None
            || self.trouble.weak_tenths > 0;
        (marked && self.trouble.share < 0.98).then_some(self.trouble.share)
    }
}

/// How a work is used: on the whole room or its marks, for which of film, oil and weak layer,
/// and how many passes the weak layer gets.
#[derive(Debug, Clone, Copy)]
struct How {
    whole: bool,
    film: bool,
    oil: bool,
    weak: bool,
    deep: u32,
}

/// Every way to use a work on a state.
fn ways(work: &SurfaceWork, from: State) -> Vec<How> {
    let per_pass = (work.depth_per_pass.millimetres() * 10.0 + 1e-6).floor() as u32;
    let mut most = 1;
    while per_pass > 0 && most < u32::from(work.most_passes) && most * per_pass < from.weak {
        most += 1;
    }
    let mut ways = Vec::new();
    for deep in 1..=most {
        ways.push(How { whole: true, film: true, oil: true, weak: true, deep });
        for film in [false, true] {
            for oil in [false, true] {
                for weak in [false, true] {
                    ways.push(How { whole: false, film, oil, weak, deep });
                }
            }
        }
    }
    ways
}

/// What a work makes of a surface, and in how many passes; none where it may not be used
/// or changes nothing.
fn worked(work: &SurfaceWork, from: State, target: (u8, u8), how: How) -> Option<(State, u32)> {
    let wet = |residue: Residue| residue == Residue::Wet || residue == Residue::Acid;
    if let Some(clears) = work.clears {
        let fits = (how.whole || from.in_part) && from.residue == clears;
        let mut to = State { residue: work.residue, ..from };
        to.in_part = !how.whole && wet(to.residue);
        // Beside a part that is dried there is still dust.
        if !how.whole && to.residue == Residue::Clean {
            to.residue = Residue::Dust;
        }
        return fits.then_some((to, 1));
    }
    if from.residue == Residue::Acid
        || (from.residue == Residue::Wet && work.residue == Residue::Dust)
    {
        return None;
    }
    let (mut to, mut passes) = (from, 1);
    if let Some(range) = work.leaves {
        if from.loose || from.oil != OilReach::None || from.film > work.film {
            return None;
        }
        // The level of the range nearest to what is there, as near as the tool comes to it.
        let wanted = from.profile.max(target.0).min(target.1);
        let set_to = wanted.max(range.least().chip()).min(range.most().chip());
        let mut reached = from.profile.max(set_to);
        if work.smooths {
            reached = set_to;
            if from.profile > set_to {
                // Down by one level in each pass, as far as the passes go.
                let down = (from.profile - set_to).min(work.most_passes);
                passes = u32::from(down).max(1);
                reached = from.profile - down;
            }
        }
        let in_range = target.0 <= reached && reached <= target.1;
        if how.whole {
            to.profile = reached;
            to.closed = false;
        } else if !in_range {
            if reached > target.1 || from.profile > target.1 {
                return None;
            }
            to.profile = reached.min(from.profile);
        }
    }
    // A poultice draws nothing through a film.
    if work.oil == OilReach::Deep && work.film < from.film {
        return None;
    }
    if how.film && from.film <= work.film {
        to.film = from.film.min(work.film_left);
    }
    if how.oil && from.oil <= work.oil {
        to.oil = OilReach::None;
    }
    let per_pass = (work.depth_per_pass.millimetres() * 10.0 + 1e-6).floor() as u32;
    if how.weak && per_pass > 0 {
        passes = passes.max(how.deep);
        to.weak = from.weak.saturating_sub(passes * per_pass);
    } else if how.deep > 1 {
        return None;
    }
    if work.residue == Residue::Acid && to.weak > 0 {
        return None;
    }
    if how.whole && work.clears_bruising {
        to.bruised = false;
    }
    if work.bruises {
        to.bruised = true;
    }
    let lifted = (to.film < from.film, to.oil < from.oil, to.weak < from.weak);
    if !how.whole && lifted != (how.film, how.oil, how.weak) {
        return None;
    }
    let same = to == from;
    to.residue = work.residue;
    to.in_part = wet(to.residue) && !how.whole && (from.in_part || !wet(from.residue));
    (!same).then_some((to, passes))
}

impl Model<'_> {
    fn machine_hour(&self, method: &Method) -> f64 {
        let id = method.machine.as_deref();
        id.and_then(|id| self.catalogue.machine(id)).map_or(0.0, |machine| machine.hour.per_hour())
    }

    fn bit(&self, method: &Method) -> u64 {
        let Some(id) = method.machine.as_deref() else {
            return 0;
        };
        let place = self.catalogue.machines.iter().position(|m| m.id == id);
        place.map_or(0, |place| 1 << place)
    }

    fn crew_and_machine(&self, method: &Method, hours: f64) -> f64 {
        let labour = self.survey.facts.rates.labour.per_hour();
        hours * (f64::from(method.crew) * labour + self.machine_hour(method))
    }

    /// One tool over some area, in lanes or by area and rate.
    #[expect(clippy::too_many_arguments, reason = "a model of many factors")]
    fn tool(
        &self,
        method: &Method,
        work: &SurfaceWork,
        set_up: f64,
        driven: Option<f64>,
        area: f64,
        passes: u32,
        film: FilmReach,
    ) -> f64 {
        let passes = f64::from(passes);
        // A thick film goes in the first pass, at six tenths of the pace.
        let thick = film == FilmReach::Thick && work.film == FilmReach::Thick;
        let slowed = if thick { 1.0 / 0.6 - 1.0 } else { 0.0 };
        let rates = &self.survey.facts.rates;
        let once = driven.unwrap_or(area / work.rate.likely.square_metres_per_hour());
        let hours = set_up + once * (passes + slowed);
        let removed = CONCRETE * area * work.depth_per_pass.metres() * passes
            + work.solids.kilograms_per_square_metre() * area * passes;
        self.crew_and_machine(method, hours)
            + work.consumables.per_square_metre() * area * passes
            + rates.disposal.per_kilogram() * removed
            + rates.liquid_disposal.per_litre() * work.liquid.litres_per_square_metre() * area
    }

    fn patching(&self, method: &Method) -> f64 {
        let Work::Patch(work) = &method.work else {
            return 0.0;
        };
        // 14 × 5 in with 3 in more on every side, 2 in deep.
        let (cut, volume) = (62.0 * INCH, 20.0 * 11.0 * 2.0 * INCH.powi(3));
        let hours = method.set_up.hours()
            + cut / work.saw.likely.metres_per_hour()
            + volume / work.breaking.likely.cubic_metres_per_hour()
            + volume / work.placing.likely.cubic_metres_per_hour();
        self.crew_and_machine(method, hours)
            + work.mortar.per_cubic_metre() * volume
            + self.survey.facts.rates.disposal.per_kilogram() * CONCRETE * volume
    }

    /// The joint across a room: cost and machine.
    fn jointing(&self, room: &Room) -> (f64, u64) {
        let Some(treatment) = room.joint else {
            return (0.0, 0);
        };
        let mut serving = self.catalogue.methods.iter().filter_map(|method| match &method.work {
            Work::Line(work) if work.task == LineTask::Treatment(treatment) => Some((method, work)),
            _ => None,
        });
        let (method, work) = serving.next().expect("in the list");
        let hours = method.set_up.hours() + room.height / work.rate.likely.metres_per_hour();
        let cost =
            self.crew_and_machine(method, hours) + work.consumables.per_metre() * room.height;
        (cost, self.bit(method))
    }

    /// Every step that can be done: the state after it, its cost, its machines.
    fn steps(&self, room: &Room, from: State) -> Vec<(State, f64, u64)> {
        let mut steps = Vec::new();
        for method in &self.allowed {
            let under_water = matches!(from.residue, Residue::Wet | Residue::Acid);
            if matches!(method.work, Work::Patch(_)) && from.loose && !under_water {
                let residue = match from.residue {
                    Residue::Clean => Residue::Dust,
                    other => other,
                };
                let to = State { loose: false, residue, ..from };
                steps.push((to, self.patching(method), self.bit(method)));
            }
            let Some(work) = method.surface() else {
                continue;
            };
            for how in ways(work, from) {
                let whole = how.whole;
                let Some(share) = (if whole { Some(1.0) } else { room.part() }) else {
                    continue;
                };
                let Some((to, passes)) = worked(work, from, self.target, how) else {
                    continue;
                };
                // A film that stays slows nothing.
                let film = if to.film < from.film { from.film } else { FilmReach::None };
                // A part is worked for the marks on it, not for anything else.
                let lifts = to.film < from.film || to.oil < from.oil || to.weak < from.weak;
                if !whole && !lifts && work.clears.is_none() {
                    continue;
                }
                let set_up = method.set_up.hours();
                let area = room.area() * share;
                let band = room.band(share, work.unreached_edge.metres());
                let driven = room.driven(work, share);
                if work.lane.is_some() && driven.is_none() {
                    continue;
                }
                // A quarter of an hour to check what a profile-making step has made.
                let labour = self.survey.facts.rates.labour.per_hour();
                let checked = if whole && work.leaves.is_some() { 0.25 * labour } else { 0.0 };
                if band <= 0.0 {
                    let cost =
                        checked + self.tool(method, work, set_up, driven, area, passes, film);
                    steps.push((to, cost, self.bit(method)));
                    continue;
                }
                let field =
                    checked + self.tool(method, work, set_up, driven, area - band, passes, film);
                for edger in &self.allowed {
                    let Some(hand) = edger.surface().filter(|hand| {
                        hand.unreached_edge == Length::ZERO && hand.leaves.is_some()
                    }) else {
                        continue;
                    };
                    let asked = |level: u8| self.target.0 <= level && level <= self.target.1;
                    let as_the_field = |edge: State| {
                        edge.film <= to.film
                            && edge.weak <= to.weak
                            && edge.bruised <= to.bruised
                            && edge.residue == to.residue
                            && if asked(to.profile) {
                                asked(edge.profile)
                            } else {
                                edge.profile <= to.profile
                                    && edge.profile >= to.profile.min(self.target.0)
                            }
                    };
                    // In as few passes as will do.
                    let fewest = (1..=u32::from(hand.most_passes)).find_map(|deep| {
                        let (edge, passes) = worked(hand, from, self.target, How { deep, ..how })?;
                        let range = hand.leaves?;
                        let finished = !how.whole
                            || !hand.smooths
                            || (range.least().chip() <= edge.profile
                                && edge.profile <= range.most().chip());
                        (finished && as_the_field(edge)).then_some(passes)
                    });
                    if let Some(passes) = fewest {
                        // A quarter of an hour to set up along the wall.
                        let cost = self.tool(edger, hand, 0.25, None, band, passes, film);
                        steps.push((to, field + cost, self.bit(method) | self.bit(edger)));
                    }
                }
            }
        }
        steps
    }

    fn ready(&self, state: State) -> bool {
        state
            == State {
                film: FilmReach::None,
                oil: OilReach::None,
                weak: 0,
                closed: false,
                profile: state.profile.clamp(self.target.0, self.target.1),
                bruised: false,
                loose: false,
                residue: Residue::Clean,
                in_part: false,
            }
    }

    /// Every sequence up to a length; the least cost for each set of machines. Sequences that
    /// come to one state with one set of machines go on alike, so the dearer are dropped.
    fn explore(&self, room: &Room) -> BTreeMap<u64, f64> {
        let mut found: BTreeMap<u64, f64> = BTreeMap::new();
        let mut known: BTreeMap<State, Vec<(State, f64, u64)>> = BTreeMap::new();
        let mut reached = BTreeMap::from([((room.start(), 0u64), 0.0f64)]);
        let mut least = reached.clone();
        for _ in 0..=LONGEST {
            let mut next: BTreeMap<(State, u64), f64> = BTreeMap::new();
            for ((state, machines), cost) in reached {
                // What is dearer than a finished way with no more machines stays dearer.
                let hopeless = |(set, best): (&u64, &f64)| set & machines == *set && *best <= cost;
                if found.iter().any(hopeless) {
                    continue;
                }
                if self.ready(state) {
                    let best = found.entry(machines).or_insert(cost);
                    *best = best.min(cost);
                    continue;
                }
                let steps = known.entry(state).or_insert_with(|| self.steps(room, state));
                for (to, more, set) in steps.iter() {
                    let key = (*to, machines | set);
                    let total = cost + more;
                    if least.get(&key).is_none_or(|held| total < *held) {
                        least.insert(key, total);
                        next.insert(key, total);
                    }
                }
            }
            reached = next;
        }
        found
    }

    /// Least cost of all rooms together with mobilisation, and which rooms have no way.
    fn best(&self, rooms: &[Room]) -> (f64, Vec<bool>) {
        let mut totals = BTreeMap::from([(0u64, 0.0f64)]);
        let mut lost = Vec::new();
        for room in rooms {
            let found = self.explore(room);
            lost.push(found.is_empty());
            if found.is_empty() {
                continue;
            }
            let (joint, joint_machine) = self.jointing(room);
            let mut next: BTreeMap<u64, f64> = BTreeMap::new();
            for (held, sum) in &totals {
                for (set, cost) in &found {
                    let total = sum + cost + joint;
                    let best = next.entry(held | set | joint_machine).or_insert(total);
                    *best = best.min(total);
                }
            }
            totals = next;
        }
        let brought = |set: u64| -> f64 {
            let machines = self.catalogue.machines.iter().enumerate();
            machines
                .filter(|(bit, m)| {
                    set & (1 << bit) != 0 && !self.survey.facts.machines_owned.contains(&m.id)
                })
                .map(|(_, m)| m.mobilisation.amount())
                .sum()
        };
        let costs = totals.into_iter().map(|(set, cost)| cost + brought(set));
        (costs.fold(f64::INFINITY, f64::min), lost)
    }
}

/// Rooms in a row, ten metres apart.
fn lay_out(rooms: &[Room], target: (u8, u8)) -> Survey {
    let mut survey = common::empty();
    survey.facts.slab.setting = Setting::Outdoor;
    survey.facts.constraints.dust = Dust::Usual;
    survey.systems[0].acid_etch = Answer::Yes;
    survey.systems[0].profile = Some(ProfileRange::between(target.0, target.1));
    let mut x = 0.0;
    for (number, room) in rooms.iter().enumerate() {
        let name = format!("zone-{number}");
        let (w, h) = (room.width, room.height);
        add_zone(&mut survey, &name, rectangle(x, 0.0, w, h));
        if room.walls {
            survey.features.push(walls(&format!("{name}-walls"), x, 0.0, w, h));
        }
        room.trouble.mark(&mut survey, &name, x, 0.0, w, h);
        if let Some(treatment) = room.joint {
            let working = match treatment {
                LineTreatment::SemiRigidFill => Answer::No,
                _ => Answer::Yes,
            };
            let across = Path::new(&[at(x + w * 0.4, 0.0), at(x + w * 0.4, h)]).unwrap();
            survey.features.push(common::feature(
                &format!("{name}-joint"),
                Place::Line(across),
                Seen::Joint { kind: JointKind::Contraction, working, old_filler: Answer::No },
            ));
        }
        x += w + 10.0;
    }
    survey
}

fn planned(survey: &Survey, catalogue: &Catalogue) -> Plan {
    let assessment = assess(survey, RULE);
    plan(survey, &assessment, catalogue, RULE, Objective::Cheapest)
}

/// Says where planner and model differ.
fn compare(
    survey: &Survey,
    catalogue: &Catalogue,
    rooms: &[Room],
    allowed: impl Fn(&Method) -> bool,
) -> Result<Plan, String> {
    let range = survey.systems[0].profile.expect("the sheet gives a range");
    let model = Model {
        survey,
        catalogue,
        allowed: catalogue.methods.iter().filter(|m| allowed(m)).collect(),
        target: (range.least().chip(), range.most().chip()),
    };
    let (least, lost) = model.best(rooms);
    let plan = planned(survey, catalogue);
    let infeasible: Vec<bool> =
        plan.zones.iter().map(|zone| zone.state == Planned::Infeasible).collect();
    let steps: Vec<Vec<&str>> = plan
        .zones
        .iter()
        .map(|zone| zone.steps.iter().map(|s| s.method.as_str()).collect())
        .collect();
    if infeasible != lost {
        return Err(format!("no way: planner {infeasible:?}, model {lost:?}"));
    }
    if (plan.total_cost.amount() - least).abs() > 0.01 {
        return Err(format!(
            "planner {}, model {least}; steps {steps:?}",
            plan.total_cost.amount()
        ));
    }
    if !plan.optimal || plan.lower_bound.amount() > least + 0.01 {
        return Err(format!("the planner does not claim the proof: {plan:?}"));
    }
    Ok(plan)
}

/// The built-in catalogue cut down to some methods and their machines.
fn only(methods: &[&str]) -> Catalogue {
    let mut catalogue = built_in();
    catalogue.methods.retain(|m| methods.contains(&m.id.as_str()));
    assert_eq!(catalogue.methods.len(), methods.len(), "a method is missing");
    let used: Vec<String> = catalogue.methods.iter().filter_map(|m| m.machine.clone()).collect();
    catalogue.machines.retain(|m| used.contains(&m.id));
    catalogue
}

const CLEAN_ROOM: Room =
    Room { width: 12.0, height: 6.0, walls: true, trouble: Trouble::NONE, joint: None };

fn expect_agreement(catalogue: &Catalogue, rooms: &[Room], target: (u8, u8)) -> Plan {
    let survey = lay_out(rooms, target);
    compare(&survey, catalogue, rooms, |_| true).unwrap_or_else(|fault| panic!("{fault}"))
}

#[test]
fn a_clean_room_is_only_vacuumed() {
    let catalogue = only(&["vacuum_clean", "hand_grinding", "shot_blast"]);
    let plan = expect_agreement(&catalogue, &[CLEAN_ROOM], (3, 5));
    assert_eq!(plan.zones[0].steps.len(), 1);
}

#[test]
fn a_smooth_room_is_blasted_and_edged_by_the_cheapest_pair() {
    let smooth = Room { trouble: Trouble { chip: 1, ..Trouble::NONE }, ..CLEAN_ROOM };
    let catalogue = only(&[
        "vacuum_clean",
        "hand_grinding",
        "small_shot_blast",
        "shot_blast",
        "hand_shot_blast",
        "scarify",
    ]);
    for target in [(1, 2), (3, 5), (5, 7), (2, 2)] {
        expect_agreement(&catalogue, &[smooth], target);
    }
}

#[test]
fn two_small_rooms_share_the_machine_that_each_alone_would_not_bring() {
    // A hand unit is slow and cheap to bring, the blaster fast and dear. By hand: 110
    // more for bringing it, some 1.55 less for each square foot: they meet at 71 ft²
    // (6.6 m²). A room of 4.5 m² is cheaper by hand, two of them with the machine.
    let catalogue = only(&["vacuum_clean", "hand_shot_blast", "small_shot_blast"]);
    let mut by_hand = [0, 0];
    for width in [0.5, 0.75, 1.0, 1.5, 2.0] {
        let smooth = Room {
            width,
            walls: false,
            trouble: Trouble { chip: 1, ..Trouble::NONE },
            ..CLEAN_ROOM
        };
        for count in [1, 2] {
            let rooms = vec![smooth; count];
            let plan = expect_agreement(&catalogue, &rooms, (3, 5));
            let machine = plan.machines.iter().any(|m| m.machine == "small_shot_blaster");
            by_hand[count - 1] += usize::from(!machine);
        }
    }
    assert!(by_hand[0] > by_hand[1], "sharing never changed the choice: {by_hand:?}");
}

#[test]
fn film_oil_and_weak_skin_are_taken_in_the_cheapest_order() {
    let bad = Room {
        trouble: Trouble {
            share: 0.3,
            film: FilmReach::Thick,
            oil: OilReach::Deep,
            weak_tenths: 25,
            dense: true,
            hollow: true,
            chip: 1,
        },
        joint: Some(LineTreatment::RecutAndSeal),
        ..CLEAN_ROOM
    };
    let catalogue = only(&[
        "vacuum_clean",
        "oil_poultice",
        "chemical_strip",
        "pick_up_and_dry",
        "hand_grinding",
        "shot_blast",
        "hand_shot_blast",
        "cut_out_and_patch",
        "recut_and_seal",
    ]);
    expect_agreement(&catalogue, &[bad], (3, 5));
    let other = Room {
        trouble: Trouble {
            film: FilmReach::Thin,
            oil: OilReach::None,
            hollow: false,
            ..bad.trouble
        },
        joint: None,
        ..bad
    };
    expect_agreement(&catalogue, &[bad, other, CLEAN_ROOM], (3, 5));
}

#[test]
fn a_bruised_surface_is_blasted_after() {
    let weak =
        Room { trouble: Trouble { weak_tenths: 50, chip: 1, ..Trouble::NONE }, ..CLEAN_ROOM };
    let catalogue = only(&[
        "vacuum_clean",
        "scarify",
        "hand_scabble",
        "shot_blast",
        "hand_shot_blast",
        "hand_grinding",
    ]);
    for target in [(4, 6), (5, 7), (7, 9)] {
        expect_agreement(&catalogue, &[weak], target);
    }
}

#[test]
fn acid_is_rinsed_dried_and_never_takes_a_film() {
    let dense = Room { trouble: Trouble { dense: true, chip: 1, ..Trouble::NONE }, ..CLEAN_ROOM };
    let catalogue = only(&[
        "vacuum_clean",
        "acid_etch",
        "rinse_and_neutralise",
        "pick_up_and_dry",
        "hand_grinding",
    ]);
    expect_agreement(&catalogue, &[dense], (1, 2));
    let sealed = Room { trouble: Trouble { film: FilmReach::Thin, ..dense.trouble }, ..dense };
    expect_agreement(&catalogue, &[sealed, dense], (1, 2));
    let without = only(&["vacuum_clean", "acid_etch", "rinse_and_neutralise", "pick_up_and_dry"]);
    let plan = expect_agreement(&without, &[sealed, dense], (1, 2));
    assert_eq!(plan.zones[0].state, Planned::Infeasible);
    assert_eq!(plan.zones[1].state, Planned::Planned);
}

#[test]
fn what_the_site_forbids_is_not_used_even_where_it_is_cheapest() {
    let smooth =
        Room { trouble: Trouble { film: FilmReach::Thin, chip: 1, ..Trouble::NONE }, ..CLEAN_ROOM };
    let catalogue = only(&[
        "vacuum_clean",
        "chemical_strip",
        "pick_up_and_dry",
        "shot_blast",
        "small_shot_blast",
        "hand_shot_blast",
        "acid_etch",
        "rinse_and_neutralise",
        "water_jet",
    ]);
    let rooms = [smooth];
    let survey = lay_out(&rooms, (2, 3));
    let check = |change: fn(&mut Survey), allowed: &[&str]| {
        let mut changed = survey.clone();
        change(&mut changed);
        compare(&changed, &catalogue, &rooms, |m| allowed.contains(&m.id.as_str()))
            .unwrap_or_else(|fault| panic!("{fault}"));
    };
    check(
        |s| s.facts.constraints.dust = Dust::None,
        &[
            "vacuum_clean",
            "chemical_strip",
            "pick_up_and_dry",
            "acid_etch",
            "rinse_and_neutralise",
            "water_jet",
        ],
    );
    check(
        |s| s.facts.constraints.water = false,
        &["vacuum_clean", "pick_up_and_dry", "shot_blast", "small_shot_blast", "hand_shot_blast"],
    );
    check(
        |s| s.facts.constraints.loud_work = false,
        &["vacuum_clean", "chemical_strip", "pick_up_and_dry", "acid_etch", "rinse_and_neutralise"],
    );
    check(
        |s| {
            s.facts.slab.setting = Setting::Indoor;
            s.facts.constraints.door_width = Some(Length::from_metres(0.8));
            s.systems[0].acid_etch = Answer::No;
        },
        &[
            "vacuum_clean",
            "chemical_strip",
            "pick_up_and_dry",
            "small_shot_blast",
            "hand_shot_blast",
            "rinse_and_neutralise",
        ],
    );
    check(
        |s| s.facts.machines_owned = vec!["water_jet".into(), "vacuum".into()],
        &[
            "vacuum_clean",
            "chemical_strip",
            "pick_up_and_dry",
            "shot_blast",
            "small_shot_blast",
            "hand_shot_blast",
            "acid_etch",
            "rinse_and_neutralise",
            "water_jet",
        ],
    );
}

fn any_room() -> impl Strategy<Value = Room> {
    let joint = prop::sample::select(vec![
        None,
        None,
        Some(LineTreatment::RecutAndSeal),
        Some(LineTreatment::SemiRigidFill),
    ]);
    (2.0..20.0f64, 1.0..8.0f64, any::<bool>(), trouble(), joint).prop_map(
        |(width, height, walls, trouble, joint)| Room {
            width,
            height,
            walls,
            // More would need many passes one after the other: the tree grows too deep.
            trouble: Trouble { weak_tenths: trouble.weak_tenths.min(35), ..trouble },
            joint,
        },
    )
}

/// Some methods of the built-in list at other rates and prices, with what every plan
/// needs: a vacuum, patching, joints.
fn any_catalogue() -> impl Strategy<Value = Catalogue> {
    let factors = || prop::collection::vec(0.2..4.0f64, 32);
    let picks = prop::collection::vec(prop::bool::weighted(0.25), 32);
    (picks, factors(), factors()).prop_map(|(picks, pace, price)| {
        let mut catalogue = built_in();
        let kept = ["vacuum_clean", "cut_out_and_patch"];
        let mut number = 0;
        catalogue.methods.retain(|method| {
            number += 1;
            kept.contains(&method.id.as_str())
                || matches!(method.work, Work::Line(_))
                || picks[number % picks.len()]
        });
        for (method, factor) in catalogue.methods.iter_mut().zip(&pace) {
            method.set_up = method.set_up * *factor;
            if let Work::Surface(work) = &mut method.work {
                // An etch takes a tenth of a millimetre at a time: a deep weak layer would
                // need more rounds than the model tries.
                if method.acid {
                    work.depth_per_pass = Length::ZERO;
                }
                work.rate.likely = work.rate.likely * *factor;
                work.consumables = work.consumables * (1.0 / factor);
            }
        }
        for (machine, factor) in catalogue.machines.iter_mut().zip(&price) {
            machine.mobilisation = machine.mobilisation * *factor;
            machine.hour = machine.hour / *factor;
        }
        catalogue
    })
}

proptest! {
    // A fixed seed: the exhaustive side takes minutes on rare unlucky rooms.
    #![proptest_config(ProptestConfig { cases: 500, rng_seed: RngSeed::Fixed(20_260_914), ..ProptestConfig::default() })]

    #[test]
    fn no_sequence_beats_the_plan_whatever_the_catalogue(
        catalogue in any_catalogue(), rooms in prop::collection::vec(any_room(), 1..=3),
        least in 1..6u8, wide in 0..4u8,
    ) {
        let survey = lay_out(&rooms, (least, least + wide));
        if let Err(fault) = compare(&survey, &catalogue, &rooms, |_| true) {
            let methods: Vec<&str> = catalogue.methods.iter().map(|m| m.id.as_str()).collect();
            prop_assert!(false, "{} with {:?}", fault, methods);
        }
    }
}
