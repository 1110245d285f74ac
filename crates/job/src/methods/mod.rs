//! Preparation methods and machines: what a method does to a surface, where it may
//! be used, how fast it goes and what an hour or a square metre of it costs.
//!
//! The built-in list is [`built_in`]. Its rates are planning ranges from memory and
//! its amounts are placeholders in the job's currency: the user's own
//! `methods.toml` replaces them.

mod catalogue;
mod learning;

pub use catalogue::built_in;
pub use learning::{Learned, learn};

use schemars::JsonSchema;
use serde::Serialize;
use tooth_measure::choice::choices;
use tooth_measure::say::{Argument, Said, said};
use tooth_measure::{
    Area, AreaRate, Fraction, Length, LengthRate, Mass, MassPerArea, Money, MoneyPerArea,
    MoneyPerHour, MoneyPerLength, MoneyPerVolume, ProfileRange, Source, VolumePerArea, VolumeRate,
    WorkTime,
};

pub use crate::survey::LineTreatment;
use crate::survey::{
    Exposure, FilmWay, KeptTexture, MethodId, MoistureWay, Power, SmallDamage, Survey, System,
    SystemId,
};

choices! {
    /// Films by how hard they are to take off.
    FilmReach {
        /// Takes no film.
        None = "none";
        /// Sealer, curing compound, paint: thin and hard.
        Thin = "thin";
        /// Coating of some thickness, adhesive.
        Thick = "thick";
    }
}
choices! {
    /// How far into the concrete a cleaning method lifts oil.
    OilReach {
        /// Not at all.
        None = "none";
        /// From the surface.
        Surface = "surface";
        /// From some millimetres.
        Deep = "deep";
    }
}
choices! {
    /// What lies on a surface besides films and oil, by what it takes to get it off.
    SoilReach {
        /// Nothing.
        None = "none";
        /// Dirt and traffic grime.
        Dirt = "dirt";
        /// Salts carried out by water.
        Salts = "salts";
        /// Rust stains.
        Rust = "rust";
    }
}
choices! {
    /// What a step leaves lying on the surface.
    Residue {
        /// Nothing.
        Clean = "clean";
        /// Loose dust.
        Dust = "dust";
        /// Water or slurry.
        Wet = "wet";
        /// Acid and its salts.
        Acid = "acid";
    }
}

impl Residue {
    /// Water or acid: nothing is cut, filled or driven over it with a dry tool.
    #[must_use]
    pub fn is_wet(self) -> bool {
        matches!(self, Self::Wet | Self::Acid)
    }
}

choices! {
    /// Which textures a work spoils.
    Spoils {
        /// None: it cleans, softens or lifts.
        None = "none";
        /// What stands in relief: stamped, broomed, exposed aggregate.
        Relief = "relief";
        /// Any, the trowelled cream too.
        Any = "any";
    }
}

impl Spoils {
    /// Whether it spoils a texture.
    #[must_use]
    pub const fn reaches(self, texture: KeptTexture) -> bool {
        match self {
            Self::None => false,
            Self::Relief => !matches!(texture, KeptTexture::Cream),
            Self::Any => true,
        }
    }
}

choices! {
    /// Dust in the air while a method works.
    DustMade {
        /// None.
        None = "none";
        /// Little, taken at the tool.
        Controlled = "controlled";
        /// Much, in the open.
        Open = "open";
    }
}
choices! {
    /// Ways in which a step can hurt somebody.
    Hazard {
        /// Respirable crystalline silica.
        SilicaDust = "silica_dust";
        /// Noise.
        Noise = "noise";
        /// Vibration of hands and arms.
        Vibration = "vibration";
        /// Acid, its fume and its waste.
        Acid = "acid";
        /// Engine exhaust indoors.
        EngineIndoors = "engine_indoors";
        /// Lead or asbestos in old coatings and adhesives.
        OldCoating = "old_coating";
        /// Tendons, heating, conduit, bars.
        Embedded = "embedded";
        /// Suspended or stressed slab.
        Structure = "structure";
        /// Electricity and water together.
        WetElectrical = "wet_electrical";
        /// Alkaline slurry and its disposal.
        Slurry = "slurry";
        /// Chemical strippers and solvents.
        Chemical = "chemical";
    }
}

/// Least, likeliest and greatest of a rate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread<Q> {
    /// Least.
    pub low: Q,
    /// Likeliest.
    pub likely: Q,
    /// Greatest.
    pub high: Q,
}

/// How wide a machine works in a lane and how much neighbouring lanes overlap.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lane {
    /// Working width.
    pub width: Length,
    /// Least overlap of neighbouring lanes.
    pub overlap: Length,
}

impl Lane {
    /// From the middle of one lane to the next, at most.
    #[must_use]
    pub fn spacing(self) -> Length {
        self.width - self.overlap
    }
}

/// A machine that has to be brought to the site.
#[derive(Debug, Clone, PartialEq)]
pub struct Machine {
    /// Unique name in files.
    pub id: String,
    /// Name that a person reads.
    pub name: Said,
    /// Bringing and fetching it when hired.
    pub mobilisation: Money,
    /// An hour of it, hire or wear.
    pub hour: MoneyPerHour,
    /// Supply it needs.
    pub power: Power,
    /// Driven by an engine of its own.
    pub engine: bool,
    /// Width of the narrowest door that it passes.
    pub door: Option<Length>,
    /// Its weight on the slab, where it is known.
    pub mass: Option<Mass>,
    /// Steepest slope that it works on, where it has a limit.
    pub steepest: Option<Fraction>,
}

/// What a method does to the whole surface or a part of it.
#[derive(Debug, Clone, PartialEq)]
pub struct SurfaceWork {
    /// Films it takes off.
    pub film: FilmReach,
    /// What it leaves of them in the pores.
    pub film_left: FilmReach,
    /// Oil it lifts.
    pub oil: OilReach,
    /// Dirt, salts or rust that it takes off.
    pub soil: SoilReach,
    /// Sound depth taken in one pass; nothing for cleaning.
    pub depth_per_pass: Length,
    /// Most passes in one go; then look again.
    pub most_passes: u8,
    /// Profiles it can be set to leave; none where it leaves the profile as it was.
    pub leaves: Option<ProfileRange>,
    /// Opens a burnished skin for what soaks in, and makes no profile.
    pub opens_skin: bool,
    /// Whether it also takes a profile down.
    pub smooths: bool,
    /// Cracks the skin of the concrete that stays.
    pub bruises: bool,
    /// Takes a bruised skin away.
    pub clears_bruising: bool,
    /// What it starts on: anything, or only a certain residue that it clears.
    pub clears: Option<Residue>,
    /// What it leaves lying.
    pub residue: Residue,
    /// What shows afterwards.
    pub exposure: Exposure,
    /// Uses up the lime that a reactive stain needs.
    pub uses_lime: bool,
    /// Textures that it spoils.
    pub spoils: Spoils,
    /// Area per crew-hour and pass.
    pub rate: Spread<AreaRate>,
    /// What it did on the firm's earlier jobs, one pass.
    pub logged: Vec<AreaRate>,
    /// Width along walls and obstacles that it cannot reach; zero for hand tools.
    pub unreached_edge: Length,
    /// Parts that wear out and the area that a set lasts, one pass.
    pub wear: Option<(Said, Area)>,
    /// Its lane; none for what is worked by hand or spread, where area and rate say all.
    pub lane: Option<Lane>,
    /// Hours that must pass before the next step (dwell, drying).
    pub wait: WorkTime,
    /// Consumables, wear parts.
    pub consumables: MoneyPerArea,
    /// Solids used up (shot, absorbent, abrasive).
    pub solids: MassPerArea,
    /// Liquid put on, all of it waste afterwards.
    pub liquid: VolumePerArea,
}

/// Cutting out and patching of loose places.
#[derive(Debug, Clone, PartialEq)]
pub struct PatchWork {
    /// Saw cut.
    pub saw: Spread<LengthRate>,
    /// Breaking out.
    pub breaking: Spread<VolumeRate>,
    /// Placing and finishing mortar.
    pub placing: Spread<VolumeRate>,
    /// Mortar, by placed volume.
    pub mortar: MoneyPerVolume,
    /// Hours before the next step may load the patch.
    pub wait: WorkTime,
}

/// Shallow spalls filled with a polymer mortar in the depth of its own sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct ShallowPatchWork {
    /// Edges cut back to where they hold.
    pub edges: Spread<LengthRate>,
    /// Placing and finishing mortar.
    pub placing: Spread<VolumeRate>,
    /// Mortar, by placed volume.
    pub mortar: MoneyPerVolume,
    /// Least depth of its sheet.
    pub least_depth: Length,
    /// Greatest depth of its sheet.
    pub most_depth: Length,
    /// Hours before the next step may load it.
    pub wait: WorkTime,
}

/// Something that is done along cracks and joints.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LineTask {
    /// A treatment.
    Treatment(LineTreatment),
    /// Old filler taken out before new goes in.
    OldFillerRemoval,
    /// Fill ground level with the slab.
    GrindFlush,
}

impl LineTask {
    /// What a person reads.
    #[must_use]
    pub fn said(self) -> Argument {
        match self {
            Self::Treatment(treatment) => treatment.into(),
            Self::OldFillerRemoval => said!("take-old-filler-out").into(),
            Self::GrindFlush => said!("grind-fill-flush").into(),
        }
    }
}

/// Work along cracks and joints, by the metre.
#[derive(Debug, Clone, PartialEq)]
pub struct LineWork {
    /// What is done.
    pub task: LineTask,
    /// Length per crew-hour.
    pub rate: Spread<LengthRate>,
    /// Width and depth that are filled.
    pub section: (Length, Length),
    /// Filler, blades.
    pub consumables: MoneyPerLength,
    /// Hours before the next step may touch it.
    pub wait: WorkTime,
}

/// Filling of low spots.
#[derive(Debug, Clone, PartialEq)]
pub struct FillWork {
    /// Volume per crew-hour.
    pub rate: Spread<VolumeRate>,
    /// Filler by volume.
    pub filler: MoneyPerVolume,
    /// Hours before the next step may touch it.
    pub wait: WorkTime,
}

/// What is mended by the piece.
#[derive(Debug, Clone, PartialEq)]
pub struct PieceWork {
    /// Of which kind.
    pub kind: SmallDamage,
    /// Crew time for one.
    pub each: Spread<WorkTime>,
    /// Filler and bits for one.
    pub consumables: Money,
    /// Hours before the next step may touch it.
    pub wait: WorkTime,
}

/// What makes a film that stays ready for the coat that comes over it.
#[derive(Debug, Clone, PartialEq)]
pub struct KeepWork {
    /// For which way.
    pub way: FilmWay,
    /// Area per crew-hour.
    pub rate: Spread<AreaRate>,
    /// Solvent, pads.
    pub consumables: MoneyPerArea,
    /// Liquid that is waste afterwards.
    pub liquid: VolumePerArea,
    /// Hours before the coat may follow.
    pub wait: WorkTime,
}

/// A coat that keeps water back so that a system above it can be laid.
#[derive(Debug, Clone, PartialEq)]
pub struct CoatWork {
    /// Area per crew-hour.
    pub rate: Spread<AreaRate>,
    /// Material by area.
    pub material: MoneyPerArea,
    /// Hours before the system may follow.
    pub wait: WorkTime,
    /// Profile that it asks for itself.
    pub profile: ProfileRange,
    /// Humidity in the slab up to which its own sheet lets it be laid.
    pub most_humidity: Option<Fraction>,
}

/// What a method works on.
#[derive(Debug, Clone, PartialEq)]
pub enum Work {
    /// A surface.
    Surface(SurfaceWork),
    /// Loose places.
    Patch(PatchWork),
    /// Shallow spalls.
    ShallowPatch(ShallowPatchWork),
    /// Cracks and joints.
    Line(LineWork),
    /// Low spots.
    Fill(FillWork),
    /// A coat against moisture from below.
    Coat(CoatWork),
    /// Small damage.
    Piece(PieceWork),
    /// A film that stays.
    Keep(KeepWork),
}

/// A preparation method.
#[derive(Debug, Clone, PartialEq)]
pub struct Method {
    /// Unique name in files.
    pub id: String,
    /// Name that a person reads.
    pub name: Said,
    /// One sentence for the crew.
    pub instruction: Said,
    /// What it does.
    pub work: Work,
    /// People.
    pub crew: u8,
    /// Setting up once in a zone.
    pub set_up: WorkTime,
    /// The machine to bring, if any.
    pub machine: Option<String>,
    /// Dust while it works.
    pub dust: DustMade,
    /// Uses water.
    pub wet: bool,
    /// Too loud where loud work is not allowed.
    pub loud: bool,
    /// Uses acid.
    pub acid: bool,
    /// Shakes the building: impact tools.
    pub shakes: bool,
    /// Cuts or breaks into the slab: blocked until a signed locate.
    pub cuts: bool,
    /// How it can hurt.
    pub hazards: Vec<Hazard>,
    /// Where its figures come from.
    pub source: Source,
}

impl Method {
    /// Its surface work, if it is one.
    #[must_use]
    pub fn surface(&self) -> Option<&SurfaceWork> {
        match &self.work {
            Work::Surface(work) => Some(work),
            _ => None,
        }
    }

    /// A hand tool that reaches right to walls and changes the surface.
    #[must_use]
    pub fn edges(&self) -> bool {
        self.surface()
            .is_some_and(|work| work.unreached_edge == Length::ZERO && work.leaves.is_some())
    }
}

/// What a method is called: by the built-in catalogue, else by its name in files.
#[must_use]
pub fn method_name(id: &MethodId) -> Said {
    if built_in().method(id.as_str()).is_some() {
        return Said::built_in("method", id.as_str());
    }
    let mut letters = id.as_str().chars();
    let first = letters.next().into_iter().flat_map(char::to_uppercase);
    Said::Given(first.chain(letters.map(|c| if c == '_' { ' ' } else { c })).collect())
}

/// The generator's name in the catalogue.
const GENERATOR: &str = "generator";

/// Methods and machines together.
#[derive(Debug, Clone, PartialEq)]
pub struct Catalogue {
    /// Methods.
    pub methods: Vec<Method>,
    /// Machines.
    pub machines: Vec<Machine>,
}

impl Catalogue {
    /// The coat that keeps water back below a system, if there is one.
    #[must_use]
    pub fn coat(&self) -> Option<(&Method, &CoatWork)> {
        self.methods.iter().find_map(|method| match &method.work {
            Work::Coat(work) => Some((method, work)),
            _ => None,
        })
    }

    /// The survey with a coat below the system wherever somebody decided so: the slab is
    /// prepared to the coat's profile, and the coat's limits stand for the system's.
    #[must_use]
    pub fn with_coats(&self, mut survey: Survey) -> Survey {
        let Some((method, work)) = self.coat() else { return survey };
        let Some(coat) = MethodId::new(&method.id) else { return survey };
        for index in 0..survey.zones.len() {
            let zone = survey.zones[index].clone();
            let decided = survey.moisture_decided(&zone.id);
            if decided.is_none_or(|held| held.way != MoistureWay::Mitigate) {
                continue;
            }
            let Some(system) = survey.system_of(&zone).filter(|system| !system.see_through) else {
                continue;
            };
            let Some(id) = SystemId::new(&format!("{}-over-{}", system.id, method.id)) else {
                continue;
            };
            let over = System {
                id: id.clone(),
                profile: Some(work.profile),
                most_in_slab_humidity: work.most_humidity,
                most_moisture_emission: None,
                over: Some(coat.clone()),
                ..system.clone()
            };
            if survey.systems.iter().all(|held| held.id != id) {
                survey.systems.push(over);
            }
            survey.zones[index].system = id;
        }
        survey
    }

    /// The machine with this name.
    #[must_use]
    pub fn machine(&self, id: &str) -> Option<&Machine> {
        self.machines.iter().find(|machine| machine.id == id)
    }

    /// The machine that makes power where the site has not enough of it.
    #[must_use]
    pub fn generator(&self) -> Option<&Machine> {
        self.machine(GENERATOR)
    }

    /// The catalogue without methods whose machine would have to be hired.
    #[must_use]
    pub fn of_own_machines(&self, owned: &[String]) -> Self {
        let own = |id: &String| owned.contains(id);
        let methods = self.methods.iter();
        let methods = methods.filter(|method| method.machine.as_ref().is_none_or(own));
        let machines = self.machines.iter().filter(|m| m.id != GENERATOR || own(&m.id));
        Self { methods: methods.cloned().collect(), machines: machines.cloned().collect() }
    }

    /// The method with this name.
    #[must_use]
    pub fn method(&self, id: &str) -> Option<&Method> {
        self.methods.iter().find(|method| method.id == id)
    }
}

/// A price apart by where the money goes.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, JsonSchema)]
pub struct Cost {
    /// Wages.
    pub labour: Money,
    /// Machine hours.
    pub machine: Money,
    /// Consumables and repair materials.
    pub material: Money,
    /// Waste taken away.
    pub disposal: Money,
}

impl Cost {
    /// All of it.
    #[must_use]
    pub fn total(&self) -> Money {
        self.labour + self.machine + self.material + self.disposal
    }
}

impl std::ops::Add for Cost {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self {
            labour: self.labour + other.labour,
            machine: self.machine + other.machine,
            material: self.material + other.material,
            disposal: self.disposal + other.disposal,
        }
    }
}

impl std::iter::Sum for Cost {
    fn sum<I: Iterator<Item = Self>>(costs: I) -> Self {
        costs.fold(Self::default(), |sum, cost| sum + cost)
    }
}
