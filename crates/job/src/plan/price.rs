//! What a step takes: crew-hours and direct cost from area, rate, crew, machine,
//! consumables and waste. One place, so that plan and estimate cannot differ.

use std::sync::Arc;

use tooth_measure::choice::choices;
use tooth_measure::say::{Said, said};
use tooth_measure::{
    Area, Length, MassPerVolume, Money, MoneyPerHour, ProfileLevel, ProfileRange, Quantity, Volume,
    WorkTime,
};

use super::search::{Objective, unrounded_score};
use super::{Edging, Hold, Layout, Scope, Stage, Step};
use crate::extent::Extent;
use crate::methods::{
    Catalogue, CoatWork, Cost, FillWork, KeepWork, LineWork, Machine, Method, PatchWork, PieceWork,
    ShallowPatchWork, Spread, SurfaceWork,
};
use crate::survey::{ANY_PROFILE, JobFacts};

/// A thick film slows a tool's first pass to this share of its rate. Assumption.
pub const THICK_FILM_PACE: f64 = 0.6;
/// A thin film slows it to this share. Assumption.
pub const THIN_FILM_PACE: f64 = 0.85;
/// Concrete, for the mass of what is taken off. Assumption: usual weight.
const CONCRETE: MassPerVolume = MassPerVolume::from_kilograms_per_cubic_metre(2300.0);
/// Setting up a hand tool for a band along walls. Assumption.
const EDGING_SET_UP: WorkTime = WorkTime::from_minutes(15.0);
/// Checking after each step that makes a profile, in the hours of one person: two people at
/// three places, two minutes and a half each. Assumption.
const CHECKING: WorkTime = WorkTime::from_minutes(15.0);

/// How much a step works on: all of it, the band that goes to a hand tool, and the
/// machine's lanes.
#[derive(Debug, Clone)]
pub(super) struct Sized {
    pub(super) area: Area,
    pub(super) band: Area,
    pub(super) laid: Option<Arc<Layout>>,
}

/// A method with its surface work and the passes that it is given.
#[derive(Debug, Clone, Copy)]
pub(super) struct Tool<'a> {
    pub(super) method: &'a Method,
    pub(super) work: &'a SurfaceWork,
    pub(super) passes: u8,
}

/// What a step makes of the places that it is done on.
#[derive(Debug, Clone, Copy)]
pub(super) struct Made {
    pub(super) whole: bool,
    /// The profile that it leaves, where it makes one that stands.
    pub(super) leaves: Option<ProfileLevel>,
    /// Shares of the worked area from which a thin and a thick film come off.
    pub(super) thin: f64,
    pub(super) thick: f64,
}

impl Made {
    /// How much longer the first pass takes for the films that it must cut.
    fn slowed(self) -> f64 {
        self.thin * (1.0 / THIN_FILM_PACE - 1.0) + self.thick * (1.0 / THICK_FILM_PACE - 1.0)
    }
}

choices! {
    /// A part of a method's work that has a pace of its own.
    PartOfWork {
        /// What the method is called after.
        Itself = "itself";
        /// Reading what came of it.
        Checking = "checking";
        /// Sawing round a patch.
        Sawing = "sawing";
        /// Breaking out a patch.
        Breaking = "breaking";
        /// Filling a patch.
        Placing = "placing";
        /// Squaring up the edges of a shallow place.
        EdgingUp = "edging_up";
    }
}

/// Hours of one crew with one tool inside a step, and what they cost.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// The method.
    pub method: String,
    /// Which of the method's works.
    pub work: PartOfWork,
    /// The machine.
    pub machine: Option<String>,
    /// The generator that it runs on, where the site has not the supply.
    pub generator: Option<String>,
    /// Setting up: does not vary.
    pub set_up: WorkTime,
    /// Working time at the likeliest rate.
    pub working: WorkTime,
    /// Least and greatest rate as shares of the likeliest.
    pub pace: (f64, f64),
    /// Whether hidden damage makes it grow.
    pub grows: bool,
    /// People.
    pub people: u8,
    /// Wages of the crew for an hour.
    pub crew_hour: MoneyPerHour,
    /// The machine's hour.
    pub machine_hour: MoneyPerHour,
    /// Consumables and repair materials.
    pub material: Money,
    /// Waste.
    pub disposal: Money,
}

impl Part {
    /// The machines that it needs on the site.
    pub fn machines(&self) -> impl Iterator<Item = &str> {
        self.machine.iter().chain(&self.generator).map(String::as_str)
    }

    /// Hours at a pace (share of the likeliest rate) and a growth of the quantity.
    #[must_use]
    pub fn hours(&self, pace: f64, growth: f64) -> WorkTime {
        self.set_up + self.working * (self.growth(growth) / pace)
    }

    /// Cost at a pace and a growth.
    #[must_use]
    pub fn cost(&self, pace: f64, growth: f64) -> Cost {
        let hours = self.hours(pace, growth);
        let growth = self.growth(growth);
        Cost {
            labour: self.crew_hour * hours,
            machine: self.machine_hour * hours,
            material: self.material * growth,
            disposal: self.disposal * growth,
        }
    }

    fn growth(&self, growth: f64) -> f64 {
        if self.grows { growth } else { 1.0 }
    }
}

/// Rates and the catalogue together.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pricing<'a> {
    pub(super) facts: &'a JobFacts,
    pub(super) catalogue: &'a Catalogue,
}

fn pace_of<Q: Quantity>(rate: Spread<Q>) -> (f64, f64) {
    (rate.low.si() / rate.likely.si(), rate.high.si() / rate.likely.si())
}

impl Pricing<'_> {
    pub(super) fn owned(&self, machine: &Machine) -> bool {
        self.facts.machines_owned.contains(&machine.id)
    }

    pub(super) fn mobilisation(&self, machine: &Machine) -> Money {
        if self.owned(machine) { Money::ZERO } else { machine.mobilisation }
    }

    fn machine_of(&self, method: &Method) -> Option<&Machine> {
        method.machine.as_deref().and_then(|id| self.catalogue.machine(id))
    }

    /// The generator that a method's machine runs on here, if it needs one.
    fn generator_of(&self, method: &Method) -> Option<&Machine> {
        let machine = self.machine_of(method)?;
        let lacks = super::site::lacks_power(machine, &self.facts.constraints);
        self.catalogue.generator().filter(|_| lacks)
    }

    /// The machines that a method needs on the site.
    pub(super) fn brought_for<'m>(&'m self, method: &'m Method) -> impl Iterator<Item = &'m str> {
        let machine = method.machine.as_deref();
        machine.into_iter().chain(self.generator_of(method).map(|machine| machine.id.as_str()))
    }

    fn part<Q: Quantity>(
        &self,
        method: &Method,
        set_up: WorkTime,
        working: WorkTime,
        rate: Spread<Q>,
    ) -> Part {
        Part {
            method: method.id.clone(),
            work: PartOfWork::Itself,
            machine: method.machine.clone(),
            generator: self.generator_of(method).map(|machine| machine.id.clone()),
            set_up,
            working,
            pace: pace_of(rate),
            grows: false,
            people: method.crew,
            crew_hour: self.facts.rates.labour * f64::from(method.crew),
            machine_hour: self.machine_of(method).map_or(MoneyPerHour::ZERO, |m| m.hour)
                + self.generator_of(method).map_or(MoneyPerHour::ZERO, |m| m.hour),
            material: Money::ZERO,
            disposal: Money::ZERO,
        }
    }

    /// One tool on some area: in its lanes where it has any, else by area and rate.
    fn surface_part(
        &self,
        tool: Tool<'_>,
        laid: Option<&Layout>,
        area: Area,
        made: Made,
        set_up: WorkTime,
    ) -> Part {
        let Tool { method, work, .. } = tool;
        let passes = f64::from(tool.passes);
        // A film goes in the first pass; the others meet bare concrete.
        let paced = passes + made.slowed();
        let once = match (laid, work.lane) {
            (Some(laid), Some(lane)) => laid.time(work.rate.likely, lane),
            _ => area / work.rate.likely,
        };
        let removed =
            CONCRETE * (area * work.depth_per_pass * passes) + work.solids * area * passes;
        Part {
            material: work.consumables * area * passes,
            disposal: self.facts.rates.disposal * removed
                + self.facts.rates.liquid_disposal * (work.liquid * area),
            ..self.part(method, set_up, once * paced, work.rate)
        }
    }

    /// A surface step on all of the zone or some of its places, with its edging.
    pub(super) fn surface_step(
        &self,
        tool: Tool<'_>,
        edger: Option<Tool<'_>>,
        sized: &Sized,
        made: Made,
        target: ProfileRange,
    ) -> Step {
        let Tool { method, work, passes } = tool;
        let band = if edger.is_some() { sized.band } else { Area::ZERO };
        let (area, laid) = (sized.area, sized.laid.as_deref());
        let mut priced = vec![self.surface_part(tool, laid, area - band, made, method.set_up)];
        let mut hazards = method.hazards.clone();
        let edging = edger.map(|edger| {
            let part = self.surface_part(edger, None, band, made, EDGING_SET_UP);
            let hours = part.hours(1.0, 1.0);
            priced.push(part);
            hazards.extend(edger.method.hazards.iter().copied());
            let method = edger.method;
            Edging { method: method.id.clone(), name: method.name.clone(), area_m2: band, hours }
        });
        hazards.sort_unstable();
        hazards.dedup();
        let checked = made.leaves.is_some();
        if checked {
            priced.push(Part {
                work: PartOfWork::Checking,
                machine: None,
                generator: None,
                crew_hour: self.facts.rates.labour,
                people: 1,
                machine_hour: MoneyPerHour::ZERO,
                pace: (1.0, 1.0),
                ..self.part(method, CHECKING, WorkTime::ZERO, work.rate)
            });
        }
        let scope = if made.whole { Scope::Whole } else { Scope::Part };
        Step {
            passes,
            wait_hours: work.wait,
            area_m2: Some(area),
            leaves: made.leaves,
            edging,
            hazards,
            verify: if checked { verification(work, target) } else { Said::nothing() },
            laid: sized.laid.clone(),
            ..step(method, scope, priced)
        }
    }

    /// What a square metre of a pass and of a step of a method scores at least, and its set-up:
    /// lanes overlap and turn, films slow, so nothing is done for less.
    pub(super) fn least(&self, method: &Method, objective: Objective) -> [(f64, f64); 3] {
        const NONE: (f64, f64) = (0.0, 0.0);
        let Some(work) = method.surface() else { return [NONE; 3] };
        let square = Area::from_square_metres(1.0);
        // A lane covers no more than its width along its length.
        let narrowed = work.lane.map_or(1.0, |lane| lane.spacing() / lane.width);
        let part =
            self.part(method, WorkTime::ZERO, square / work.rate.likely * narrowed, work.rate);
        let removed = CONCRETE * (square * work.depth_per_pass) + work.solids * square;
        let pass = Part {
            material: work.consumables * square,
            disposal: self.facts.rates.disposal * removed,
            ..part
        };
        let liquid = self.facts.rates.liquid_disposal * (work.liquid * square);
        let score = |part: Part| {
            let step = step(method, Scope::Whole, vec![part]);
            let (first, cost) = unrounded_score(&step, objective, self);
            (first, cost)
        };
        let set_up = self.part(method, method.set_up, WorkTime::ZERO, work.rate);
        let once = match objective {
            Objective::Cheapest | Objective::Balanced => (liquid.amount(), liquid.amount()),
            Objective::Fastest | Objective::LeastDust => (0.0, liquid.amount()),
        };
        [score(pass), once, score(set_up)]
    }

    /// What setting an edging tool up scores at least.
    pub(super) fn least_edging(&self, method: &Method, objective: Objective) -> (f64, f64) {
        let Some(work) = method.surface() else { return (0.0, 0.0) };
        let part = self.part(method, EDGING_SET_UP, WorkTime::ZERO, work.rate);
        unrounded_score(&step(method, Scope::Part, vec![part]), objective, self)
    }

    pub(super) fn patch_step(
        &self,
        method: &Method,
        work: &PatchWork,
        extent: &Extent<'_>,
    ) -> Step {
        let (cut, volume) = (extent.patch_saw_cut(), extent.patch_volume());
        let grown = |work: PartOfWork, part: Part| Part { grows: true, work, ..part };
        let waste = CONCRETE * volume;
        let priced = vec![
            grown(
                PartOfWork::Sawing,
                self.part(method, method.set_up, cut / work.saw.likely, work.saw),
            ),
            grown(
                PartOfWork::Breaking,
                Part {
                    disposal: self.facts.rates.disposal * waste,
                    ..self.part(
                        method,
                        WorkTime::ZERO,
                        volume / work.breaking.likely,
                        work.breaking,
                    )
                },
            ),
            grown(
                PartOfWork::Placing,
                Part {
                    material: work.mortar * volume,
                    ..self.part(method, WorkTime::ZERO, volume / work.placing.likely, work.placing)
                },
            ),
        ];
        Step {
            wait_hours: work.wait,
            features: extent.patches.iter().flat_map(|patch| patch.holds.clone()).collect(),
            area_m2: Some(extent.patch_area()),
            length_m: Some(cut),
            volume_m3: Some(volume),
            ..step(method, Scope::Patches, priced)
        }
    }

    /// Shallow places filled in the depth of the mortar's own sheet; none where one is deeper
    /// than that.
    pub(super) fn shallow_step(
        &self,
        method: &Method,
        work: &ShallowPatchWork,
        extent: &Extent<'_>,
    ) -> Option<Step> {
        let (mut area, mut volume, mut edges) = (Area::ZERO, Volume::ZERO, Length::ZERO);
        for spall in &extent.shallow {
            if spall.depth > work.most_depth {
                return None;
            }
            area += spall.area;
            edges += spall.perimeter;
            volume += spall.area * spall.depth.max(work.least_depth);
        }
        let grown = |work: PartOfWork, part: Part| Part { grows: true, work, ..part };
        let priced = vec![
            grown(
                PartOfWork::EdgingUp,
                self.part(method, method.set_up, edges / work.edges.likely, work.edges),
            ),
            grown(
                PartOfWork::Placing,
                Part {
                    material: work.mortar * volume,
                    ..self.part(method, WorkTime::ZERO, volume / work.placing.likely, work.placing)
                },
            ),
        ];
        Some(Step {
            wait_hours: work.wait,
            area_m2: Some(area),
            length_m: Some(edges),
            volume_m3: Some(volume),
            ..step(method, Scope::Patches, priced)
        })
    }

    pub(super) fn line_step(&self, method: &Method, work: &LineWork, length: Length) -> Step {
        let priced = vec![Part {
            material: work.consumables * length,
            ..self.part(method, method.set_up, length / work.rate.likely, work.rate)
        }];
        Step { length_m: Some(length), wait_hours: work.wait, ..step(method, Scope::Lines, priced) }
    }

    /// Small damage, mended by the piece.
    pub(super) fn piece_step(&self, method: &Method, work: &PieceWork, count: u32) -> Step {
        let pieces = f64::from(count);
        let Spread { low, likely, high } = work.each;
        let priced = vec![Part {
            material: work.consumables * pieces,
            pace: (likely / high, likely / low),
            ..self.part(method, method.set_up, likely * pieces, work.each)
        }];
        Step { pieces: Some(count), wait_hours: work.wait, ..step(method, Scope::Part, priced) }
    }

    /// A film that stays, made ready for the coat over it.
    pub(super) fn keep_step(&self, method: &Method, work: &KeepWork, area: Area) -> Step {
        let priced = vec![Part {
            material: work.consumables * area,
            disposal: self.facts.rates.liquid_disposal * (work.liquid * area),
            ..self.part(method, method.set_up, area / work.rate.likely, work.rate)
        }];
        Step { area_m2: Some(area), wait_hours: work.wait, ..step(method, Scope::Part, priced) }
    }

    /// A coat over all of an area.
    pub(super) fn coat_step(&self, method: &Method, work: &CoatWork, area: Area) -> Step {
        let priced = vec![Part {
            material: work.material * area,
            ..self.part(method, method.set_up, area / work.rate.likely, work.rate)
        }];
        Step { area_m2: Some(area), wait_hours: work.wait, ..step(method, Scope::Whole, priced) }
    }

    pub(super) fn fill_step(
        &self,
        method: &Method,
        work: &FillWork,
        area: Area,
        volume: Volume,
    ) -> Step {
        let priced = vec![Part {
            material: work.filler * volume,
            ..self.part(method, method.set_up, volume / work.rate.likely, work.rate)
        }];
        Step {
            area_m2: Some(area),
            volume_m3: Some(volume),
            wait_hours: work.wait,
            ..step(method, Scope::LowSpots, priced)
        }
    }
}

/// What is looked at after a step that makes the profile.
fn verification(work: &SurfaceWork, target: ProfileRange) -> Said {
    let bruised = if work.bruises { said!("the-bruised-skin-is-still") } else { Said::nothing() };
    // No sheet in hand names one.
    if target == ANY_PROFILE {
        return said!("chip-ratings-and-what-the-sheet-asks", bruised = bruised);
    }
    said!("chip-ratings-at-three-places-by-two-2", target = target, bruised = bruised)
}

impl Step {
    /// The same with tools that stand set up from an area of its lot.
    pub(super) fn set_up_before(&mut self, stand: impl Fn(&Part) -> bool) {
        for part in self.priced.iter_mut().filter(|part| stand(part)) {
            part.set_up = WorkTime::ZERO;
        }
        self.hours = self.priced.iter().map(|part| part.hours(1.0, 1.0)).sum();
        self.parts = self.priced.iter().map(|part| part.cost(1.0, 1.0)).sum();
        self.cost = self.parts.total();
        // What is done along walls is priced behind the work itself.
        if let (Some(edging), Some(part)) = (&mut self.edging, self.priced.get(1)) {
            edging.hours = part.hours(1.0, 1.0);
        }
    }
}

fn step(method: &Method, scope: Scope, priced: Vec<Part>) -> Step {
    let parts: Cost = priced.iter().map(|part| part.cost(1.0, 1.0)).sum();
    Step {
        method: method.id.clone(),
        name: method.name.clone(),
        stage: Stage::Preparation,
        scope,
        passes: 1,
        hours: priced.iter().map(|part| part.hours(1.0, 1.0)).sum(),
        wait_hours: WorkTime::ZERO,
        cost: parts.total(),
        parts,
        area_m2: None,
        length_m: None,
        volume_m3: None,
        pieces: None,
        features: Vec::new(),
        leaves: None,
        edging: None,
        verify: Said::nothing(),
        laid: None,
        ground: None,
        holds: Vec::<Hold>::new(),
        terms: Vec::new(),
        near: Vec::new(),
        hazards: method.hazards.clone(),
        instruction: method.instruction.clone(),
        source: method.source,
        priced,
    }
}
