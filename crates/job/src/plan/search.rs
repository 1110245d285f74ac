//! The search for the best plan: exact, small, with ties broken the same way always.
//!
//! A way through a zone is a path of conditions; its label is its score and the set of
//! machines that it must have brought. One label beats another at the same condition
//! where its score, with every machine added that the other does not use, is no worse:
//! whatever the rest of the job brings, the beaten label cannot do better. Which way each
//! zone takes, with each machine paid once, is decided in [`super::sharing`].

use std::cmp::Reverse;
use std::collections::{BTreeMap, BinaryHeap};
use std::sync::Arc;

use tooth_measure::{Area, Length, Money, ProfileRange, Region, WorkTime};

use super::condition::{Condition, MARKS, Start, Use, applied, weak_passes};
use super::fixed::Turn;
use super::passes::Layout;
use super::price::{Change, Part, Pricing, Sized};
use super::sharing::{MachineSet, Offer, Sharing};
use super::site::Holds;
use super::{RuledOut, Step};
use crate::choice::choices;
use crate::extent::Extent;
use crate::methods::{
    Catalogue, DustMade, FilmReach, Lane, Method, OilReach, Residue, SurfaceWork, Work,
};
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
    pub(super) parts: Parts,
    pub(super) agreed: Option<Exposure>,
    pub(super) holds: Holds,
    pub(super) fixed: Vec<(Turn, Step)>,
}

/// A zone and every union of its troubles, with what machines reach of them, worked out
/// once: each takes set operations on outlines.
#[derive(Debug, Clone)]
pub(super) struct Parts {
    whole: Ground,
    /// By the troubles that lie there.
    troubled: Vec<Ground>,
}

/// What a step is done to: its area, what of it lies in the band along walls, and the passes
/// of every lane over it.
#[derive(Debug, Clone)]
struct Ground {
    area: Area,
    bands: Vec<(Length, Area)>,
    laid: Vec<Laid>,
}

/// A lane and the edge that it does not reach, with its passes; none where it does not fit.
type Laid = ((Lane, Length), Option<Arc<Layout>>);

/// Less than this share left by the lanes is no reason to bring an edging tool where no wall
/// is near: the machine overruns an open border.
const OPEN_CORNERS: f64 = 0.005;
/// A marked part of more than this share is as good as the zone.
const AS_GOOD_AS_WHOLE: f64 = 0.98;

/// Film, oil and weak layer as bits.
type Troubles = usize;

impl Ground {
    /// What a step works on; none where the machine does not fit in.
    fn sized(&self, work: &SurfaceWork) -> Option<Sized> {
        let reached = self.bands.iter().find(|(known, _)| *known == work.unreached_edge);
        let reached = reached.map_or(Area::ZERO, |(_, area)| *area);
        let Some(lane) = work.lane else {
            return Some(Sized { area: self.area, band: reached, laid: None });
        };
        let key = (lane, work.unreached_edge);
        let laid = self.laid.iter().find(|(known, _)| *known == key)?.1.clone()?;
        let left = laid.edging_m2;
        let open = reached <= Area::ZERO && left < self.area * OPEN_CORNERS;
        let band = if open { Area::ZERO } else { left };
        Some(Sized { area: self.area, band, laid: Some(laid) })
    }
}

impl Parts {
    pub(super) fn of(
        extent: &Extent<'_>,
        start: &Start,
        catalogue: &Catalogue,
        methods: &[usize],
    ) -> Self {
        let mut reaches: Vec<(Length, Region)> = Vec::new();
        let mut laid: Vec<Laid> = Vec::new();
        let zone = extent.net_region();
        for work in methods.iter().filter_map(|&index| catalogue.methods.get(index)?.surface()) {
            let reach = work.unreached_edge;
            if reach > Length::ZERO && !reaches.iter().any(|(known, _)| *known == reach) {
                reaches.push((reach, extent.edge_band_region(reach)));
            }
            let Some(lane) = work.lane else { continue };
            if !laid.iter().any(|(known, _)| *known == (lane, reach)) {
                let band = reaches.iter().find(|(known, _)| *known == reach);
                let field = band.map_or_else(|| zone.clone(), |(_, band)| zone.difference(band));
                laid.push(((lane, reach), Layout::lay(zone, &field, lane).map(Arc::new)));
            }
        }
        let mut troubled: Vec<Ground> = Vec::new();
        for troubles in 0..1_usize << start.troubled.len() {
            let places = start.troubled.iter().enumerate();
            let places: Vec<_> = places.filter(|(bit, _)| troubles & (1 << bit) != 0).collect();
            // Where one of them is nowhere, the ground is that of the others.
            let nowhere = places.iter().find(|(_, place)| place.area() <= Area::ZERO);
            if let Some(known) = nowhere.and_then(|(bit, _)| troubled.get(troubles ^ (1 << bit))) {
                troubled.push(known.clone());
                continue;
            }
            let region = places.into_iter().fold(Region::empty(), |all, (_, at)| all.union(at));
            let area = region.area();
            let marked = area > Area::ZERO && area < extent.net * AS_GOOD_AS_WHOLE;
            let near =
                |(reach, band): &(Length, Region)| (*reach, band.intersection(&region).area());
            let over = |(key, whole): &Laid| {
                let over = whole.as_ref().and_then(|whole| whole.over(&region, key.0));
                (*key, over.map(Arc::new))
            };
            troubled.push(Ground {
                area,
                bands: if marked { reaches.iter().map(near).collect() } else { Vec::new() },
                laid: if marked { laid.iter().map(over).collect() } else { Vec::new() },
            });
        }
        let bands = reaches.iter().map(|(reach, band)| (*reach, band.area())).collect();
        Self { whole: Ground { area: extent.net, bands, laid }, troubled }
    }

    /// What a partial step works on; none where that is nothing, or as good as the zone, or
    /// where the machine does not fit in.
    fn part(&self, troubles: Troubles, work: &SurfaceWork) -> Option<Sized> {
        let ground = self.troubled.get(troubles)?;
        let real = ground.area > Area::ZERO && ground.area < self.whole.area * AS_GOOD_AS_WHOLE;
        real.then(|| ground.sized(work)).flatten()
    }
}

/// Labels that one zone may take before the search stops and says so.
const MOST_LABELS: usize = 300_000;
/// Tenths of a millimetre: taking off more shows coarse aggregate, whatever the tools.
/// Assumption.
const FINE_TENTHS: u16 = 15;

/// First what is made least, then cost, both in ten-thousandths: whole numbers, so
/// that sums do not depend on their order.
type Score = (i64, i64);
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
    let bringing = Bringing::of(pricing, objective);
    let explored: Vec<Explored> = problems
        .iter()
        .map(|problem| ways_through(problem, pricing, &bringing, objective))
        .collect();
    let complete = explored.iter().all(|zone| zone.complete);
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
    // Machines of the steps that leave no choice are brought in any case.
    let brought = problems
        .iter()
        .zip(&ways)
        .filter(|(_, found)| !found.is_empty())
        .flat_map(|(problem, _)| &problem.fixed)
        .fold(0, |set, (_, step)| set | bringing.machines_of(step));
    let offer = |way: &Way| Offer { cost: counted(way.score), machines: way.machines };
    let shared = Sharing {
        zones: ways
            .iter()
            .filter(|found| !found.is_empty())
            .map(|found| found.iter().map(offer).collect())
            .collect(),
        bringing: bringing.machines.iter().map(|(_, score)| counted(*score)).collect(),
        brought,
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
    let gap = shared.as_ref().map_or(0, |shared| shared.cost - shared.bound);
    // A search cut short proves nothing of the cost but that it is not negative.
    let gap = if complete { Money::new(gap as f64 / 10_000.0) } else { Money::new(f64::MAX) };
    Solution { steps, gap }
}

/// What it costs to bring each machine, as scores.
struct Bringing {
    machines: Vec<(String, Score)>,
}

impl Bringing {
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
        Self { machines }
    }

    /// Bringing all machines of a set.
    fn bringing(&self, set: Machines) -> Score {
        let brought = self.machines.iter().enumerate().filter(|(bit, _)| set & (1 << bit) != 0);
        brought.fold((0, 0), |sum, (_, (_, score))| plus(sum, *score))
    }

    /// The machines of a step that cost something to bring.
    fn machines_of(&self, step: &Step) -> Machines {
        step.priced
            .iter()
            .filter_map(|part| part.machine.as_deref())
            .filter_map(|id| {
                self.machines.iter().position(|(known, score)| known == id && *score != (0, 0))
            })
            .fold(0, |set, bit| set | (1 << bit))
    }

    /// Whether one of `by` is no worse even with every machine added that only it uses.
    fn beaten(
        &self,
        score: Score,
        machines: Machines,
        by: impl IntoIterator<Item = (Score, Machines)>,
    ) -> bool {
        by.into_iter().any(|(held, set)| plus(held, self.bringing(set & !machines)) <= score)
    }
}

fn score_of(step: &Step, objective: Objective, pricing: &Pricing<'_>) -> Score {
    let cost = whole(step.cost.amount());
    let first = match objective {
        Objective::Cheapest => cost,
        Objective::Fastest => whole(step.hours.hours()),
        Objective::LeastDust => whole(dusty_hours(step, pricing.catalogue).hours()),
        Objective::Balanced => {
            let weights = pricing.facts.weights;
            let dust = dusty_hours(step, pricing.catalogue);
            cost + whole((weights.crew_hour * step.hours + weights.dusty_hour * dust).amount())
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

/// A condition reached, and by which move of which label.
struct Label {
    condition: Condition,
    before: Option<(usize, usize)>,
}

/// A step that leads from one condition to another.
struct Move {
    to: Condition,
    score: Score,
    machines: Machines,
    step: Step,
}

/// What the search of one zone found.
struct Explored {
    ways: Vec<Way>,
    missing: Vec<Missing>,
    complete: bool,
}

/// What stands between a condition and readiness.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Missing {
    Loose,
    Film,
    Oil,
    Weak,
    Closed,
    Profile,
    Residue,
}

impl Missing {
    const ALL: [Self; 7] = [
        Self::Loose,
        Self::Film,
        Self::Oil,
        Self::Weak,
        Self::Closed,
        Self::Profile,
        Self::Residue,
    ];

    fn words(self, target: ProfileRange) -> String {
        let said = match self {
            Self::Loose => "Loose places cannot be repaired",
            Self::Film => "The film cannot be taken off",
            Self::Oil => "The oil cannot be lifted",
            Self::Weak => "The weak layer cannot be taken off",
            Self::Closed => "The dense surface cannot be opened",
            Self::Profile => return format!("{target} cannot be reached"),
            Self::Residue => "The surface cannot be left clean and dry",
        };
        said.to_owned()
    }

    fn is_in(self, condition: &Condition, target: ProfileRange) -> bool {
        match self {
            Self::Loose => condition.loose,
            Self::Film => condition.film != FilmReach::None,
            Self::Oil => condition.oil != OilReach::None,
            Self::Weak => condition.weak_tenths > 0,
            Self::Closed => condition.closed,
            Self::Profile => !target.holds(condition.profile),
            Self::Residue => condition.residue != Residue::Clean,
        }
    }

    /// Whether a method could have helped.
    fn is_helped_by(self, method: &Method, target: ProfileRange) -> bool {
        let surface = method.surface();
        match self {
            Self::Loose => matches!(method.work, Work::Patch(_)),
            Self::Film => surface.is_some_and(|work| work.film != FilmReach::None),
            Self::Oil => surface.is_some_and(|work| work.oil != OilReach::None),
            Self::Weak => surface.is_some_and(|work| work.depth_per_pass > Length::ZERO),
            Self::Closed => surface.is_some_and(|work| work.leaves.is_some()),
            Self::Profile => surface.and_then(|work| work.leaves).is_some_and(|leaves| {
                leaves.least() <= target.most() && leaves.most() >= target.least()
            }),
            Self::Residue => surface.is_some_and(|work| work.clears.is_some()),
        }
    }
}

fn ways_through(
    problem: &ZoneProblem<'_>,
    pricing: &Pricing<'_>,
    bringing: &Bringing,
    objective: Objective,
) -> Explored {
    let finder = Moves { problem, pricing };
    // Moves depend on the condition alone: each is priced once.
    let mut moves: BTreeMap<Condition, Vec<Move>> = BTreeMap::new();
    let mut labels = vec![Label { condition: problem.start.condition, before: None }];
    let mut settled: BTreeMap<Condition, Vec<(Score, Machines)>> = BTreeMap::new();
    let mut goals: Vec<(Score, Machines)> = Vec::new();
    let mut ways = Vec::new();
    let mut complete = true;
    let mut queue = BinaryHeap::from([Reverse(((0, 0), 0, 0))]);
    while let Some(Reverse((score, machines, at))) = queue.pop() {
        let Some(condition) = labels.get(at).map(|label| label.condition) else {
            continue;
        };
        if labels.len() > MOST_LABELS {
            complete = false;
            break;
        }
        let held = settled.entry(condition).or_default();
        let beaten =
            |by: &[(Score, Machines)]| bringing.beaten(score, machines, by.iter().copied());
        if beaten(held) || beaten(&goals) {
            continue;
        }
        held.push((score, machines));
        if condition.is_ready(problem.target) {
            goals.push((score, machines));
            ways.push(Way { score, machines, steps: path_to(&labels, &moves, at) });
            continue;
        }
        let onward = moves.entry(condition).or_insert_with(|| {
            let found = finder.from(condition).into_iter();
            found
                .map(|(to, step)| Move {
                    to,
                    score: score_of(&step, objective, pricing),
                    machines: bringing.machines_of(&step),
                    step,
                })
                .collect()
        });
        for (number, onward) in onward.iter().enumerate() {
            let (score, machines) = (plus(score, onward.score), machines | onward.machines);
            let beaten =
                |by: &[(Score, Machines)]| bringing.beaten(score, machines, by.iter().copied());
            if !settled.get(&onward.to).is_some_and(|held| beaten(held)) && !beaten(&goals) {
                queue.push(Reverse((score, machines, labels.len())));
                labels.push(Label { condition: onward.to, before: Some((at, number)) });
            }
        }
    }
    let missing = Missing::ALL
        .into_iter()
        .filter(|missing| settled.keys().all(|condition| missing.is_in(condition, problem.target)))
        .collect();
    Explored { ways, missing, complete }
}

fn path_to(labels: &[Label], moves: &BTreeMap<Condition, Vec<Move>>, mut at: usize) -> Vec<Step> {
    let mut steps = Vec::new();
    while let Some((before, number)) = labels.get(at).and_then(|label| label.before) {
        let step = labels
            .get(before)
            .and_then(|label| moves.get(&label.condition))
            .and_then(|moves| moves.get(number))
            .map(|taken| taken.step.clone());
        steps.extend(step);
        at = before;
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
        let listed = self.problem.methods.iter();
        listed.filter_map(|&index| self.pricing.catalogue.methods.get(index)).map(|method| {
            self.problem.tried.iter().find(|tried| tried.id == method.id).unwrap_or(method)
        })
    }

    fn from(&self, condition: Condition) -> Vec<(Condition, Step)> {
        let mut moves = Vec::new();
        for method in self.methods() {
            match &method.work {
                Work::Surface(work) => self.surface(method, work, condition, &mut moves),
                // Nobody saws and fills in acid or standing water.
                Work::Patch(work) if condition.loose && !condition.residue.is_wet() => {
                    let step = self.pricing.patch_step(method, work, &self.problem.extent);
                    let to = Condition { loose: false, residue: dusted(condition), ..condition };
                    moves.push((to, Step { holds: self.problem.holds.of(method), ..step }));
                }
                Work::Patch(_) | Work::Line(_) | Work::Fill(_) | Work::Coat(_) => {}
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
        let most = weak_passes(work, condition);
        for on in std::iter::once(None).chain(MARKS.map(Some)) {
            for passes in 1..=most {
                self.used(method, work, condition, Use { on, passes }, moves);
            }
        }
    }

    fn used(
        &self,
        method: &Method,
        work: &SurfaceWork,
        condition: Condition,
        used: Use,
        moves: &mut Vec<(Condition, Step)>,
    ) {
        let target = self.problem.target;
        let Some((mut to, passes)) = applied(work, condition, target, used) else { return };
        let sized = match used.on {
            None => self.problem.parts.whole.sized(work),
            Some(bits) => self.problem.parts.part(usize::from(bits), work),
        };
        let Some(sized) = sized else { return };
        if self.problem.agreed.is_some_and(|agreed| agreed < Exposure::Coarse) {
            let taken = work.depth_per_pass * f64::from(passes);
            to.taken_tenths += (taken.millimetres() * 10.0).round() as u16;
            if to.taken_tenths > FINE_TENTHS {
                return;
            }
        }
        let mut push = |edger| {
            let change = Change { from: condition, to, whole: used.on.is_none() };
            let step =
                self.pricing.surface_step(method, work, edger, &sized, passes, change, target);
            moves.push((to, Step { holds: self.problem.holds.of(method), ..step }));
        };
        if sized.band <= Area::ZERO {
            push(None);
            return;
        }
        for tool in self.methods().filter(|tool| tool.edges()) {
            let Some(tool_work) = tool.surface() else { continue };
            // The band must come out as the field does: bare, and within the range asked for.
            let matches = |edge_to: Condition| {
                edge_to.film <= to.film
                    && edge_to.weak_tenths <= to.weak_tenths
                    && if target.holds(to.profile) {
                        target.holds(edge_to.profile)
                    } else {
                        // Nor smoother than the range, which the next step would not mend.
                        edge_to.profile <= to.profile
                            && edge_to.profile >= to.profile.min(target.least())
                    }
                    && edge_to.bruised <= to.bruised
                    && edge_to.residue == to.residue
            };
            // In as few passes as will do.
            let edged = (1..=weak_passes(tool_work, condition)).find_map(|passes| {
                let edge = applied(tool_work, condition, target, Use { passes, ..used })?;
                // A band half ground down would be ground again with the rest.
                let unfinished = used.on.is_none()
                    && tool_work.smooths
                    && tool_work.leaves.is_some_and(|leaves| !leaves.holds(edge.0.profile));
                (matches(edge.0) && !unfinished).then_some(edge.1)
            });
            if let Some(edge_passes) = edged {
                push(Some((tool, tool_work, edge_passes)));
            }
        }
    }
}

fn dusted(condition: Condition) -> Residue {
    match condition.residue {
        Residue::Clean => Residue::Dust,
        other => other,
    }
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
