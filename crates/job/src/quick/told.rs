//! What somebody says beside a slab: how large it is, what it is now, what it shall be. All the
//! rest is detail that refines the answer and is never needed.

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::Serialize;
use tooth_measure::choice::choices;
use tooth_measure::say::{Language, Said};
use tooth_measure::{
    Area, AreaRate, Fraction, Length, Money, MoneyPerArea, MoneyPerHour, MoneyPerMass,
    MoneyPerVolume, UnitSystem, Volume, VolumePerArea, WorkTime, range,
};

use crate::survey::{
    Answer, Currency, Exposure, MoneyRules, Power, Rates, Setting, Support, SystemClass,
    Uncertainty,
};

choices! {
    /// What the surface is now, in the trade's words.
    SurfaceNow {
        /// Bare, broomed or floated.
        BareBroomed = "bare_broomed", also "bare", also "broomed";
        /// Bare, hard-trowelled.
        BareTrowelled = "bare_trowelled", also "trowelled", also "troweled";
        /// Sealed, flat.
        Sealed = "sealed";
        /// Painted or coated.
        Coated = "painted_or_coated", also "painted", also "coated";
        /// Glue, mastic or thinset of a floor that was there.
        Residue = "glue_or_tile_residue", also "glue", also "tile", also "mastic";
        /// Exposed aggregate under a sealer.
        ExposedSealed = "exposed_aggregate_sealed", also "exposed_aggregate";
        /// Stamped concrete under a sealer.
        StampedSealed = "stamped_sealed", also "stamped";
        /// Nobody knows.
        Unknown = "unknown";
    }
}

impl SurfaceNow {
    /// Where such a surface usually is. Assumption.
    #[must_use]
    pub fn usual_setting(self) -> Setting {
        match self {
            Self::BareBroomed | Self::ExposedSealed | Self::StampedSealed => Setting::Outdoor,
            Self::BareTrowelled | Self::Sealed | Self::Coated | Self::Residue | Self::Unknown => {
                Setting::Indoor
            }
        }
    }

    /// Whether a sealer lies on it.
    #[must_use]
    pub fn is_sealed(self) -> bool {
        matches!(self, Self::Sealed | Self::ExposedSealed | Self::StampedSealed)
    }
}

choices! {
    /// What the surface shall be.
    FinishWanted {
        /// A clear sealer on bare concrete.
        ClearSealer = "clear_sealer", also "sealer";
        /// A stain and a sealer over it.
        StainAndSealer = "stain_and_sealer", also "stain";
        /// A dye and a sealer over it.
        DyeAndSealer = "dye_and_sealer", also "dye";
        /// Another coat of the sealer that is there.
        Recoat = "recoat_same_sealer", also "recoat";
        /// A thin coating, as a garage paint.
        ThinCoating = "thin_coating", also "coating", also "paint";
        /// A high-build coating.
        HighBuildCoating = "high_build_coating", also "high_build";
        /// A self-levelling layer.
        SelfLevelling = "self_levelling", also "self_leveling";
        /// A microtopping or thin overlay.
        Microtopping = "microtopping", also "overlay";
    }
}

impl FinishWanted {
    /// The class of its system.
    #[must_use]
    pub fn class(self) -> SystemClass {
        match self {
            Self::ClearSealer | Self::Recoat => SystemClass::Sealer,
            Self::StainAndSealer | Self::DyeAndSealer => SystemClass::Stain,
            Self::ThinCoating => SystemClass::ThinFilm,
            Self::HighBuildCoating => SystemClass::HighBuild,
            Self::SelfLevelling | Self::Microtopping => SystemClass::SelfLevelling,
        }
    }

    /// Whether the concrete shows through it.
    #[must_use]
    pub fn is_see_through(self) -> bool {
        matches!(self, Self::ClearSealer | Self::StainAndSealer | Self::DyeAndSealer | Self::Recoat)
    }

    /// How thick one is usually laid. From memory: the data sheet says.
    #[must_use]
    pub fn usual_thickness(self) -> Length {
        let mils = match self {
            Self::ClearSealer | Self::StainAndSealer | Self::DyeAndSealer | Self::Recoat => 2.0,
            Self::ThinCoating => 6.0,
            Self::HighBuildCoating => 20.0,
            Self::Microtopping => 60.0,
            Self::SelfLevelling => 125.0,
        };
        Length::from_mils(mils)
    }
}

choices! {
    /// How many cracks wide enough to be repaired there are.
    CracksSeen {
        /// None.
        None = "none";
        /// One or two.
        Few = "few";
        /// One in most panels.
        Some = "some";
        /// Several in every panel.
        Many = "many";
    }
}
choices! {
    /// How much of a sealer, paint or coating lies there.
    FilmBuild {
        /// One or two coats.
        Thin = "one_or_two_coats", also "thin";
        /// Many coats, or a thick one.
        Thick = "many_coats", also "thick";
    }
}

/// How large the slab is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Size {
    /// A rectangle.
    Sides(Length, Length),
    /// Only its area: taken as a rectangle half as long again as it is wide.
    Area(Area),
}

/// Length over width where nobody says more than the area. Assumption.
const USUAL_SHAPE: f64 = 1.5;
/// Sides are kept to this share of their unit, so that a file says them in full.
const DECIMALS: f64 = 1e4;

/// A length as a file in these units can say it.
pub(super) fn to_the_grid(length: Length, units: UnitSystem) -> Length {
    match units {
        UnitSystem::Si => Length::from_metres((length.metres() * DECIMALS).round() / DECIMALS),
        UnitSystem::UsCustomary => Length::from_feet((length.feet() * DECIMALS).round() / DECIMALS),
    }
}

impl Size {
    /// Its sides, the longer first.
    #[must_use]
    pub fn sides(self, units: UnitSystem) -> (Length, Length) {
        let (one, other) = match self {
            Self::Sides(one, other) => (one, other),
            Self::Area(area) => {
                let short = (area.square_metres() / USUAL_SHAPE).max(0.0).sqrt();
                (Length::from_metres(short * USUAL_SHAPE), Length::from_metres(short))
            }
        };
        (to_the_grid(one.max(other), units), to_the_grid(one.min(other), units))
    }

    /// Whether it is a slab that one bid is for.
    ///
    /// # Errors
    /// What was expected.
    pub fn checked(self) -> Result<Self, Said> {
        let area = match self {
            Self::Sides(one, other) => {
                range::QUICK_SIDE.check(one)?;
                range::QUICK_SIDE.check(other)?;
                one * other
            }
            Self::Area(area) => area,
        };
        range::QUICK_AREA.check(area).map(|_| self)
    }
}

/// A liquid that goes on in coats.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Product {
    /// How many coats.
    pub coats: u8,
    /// How much of it a coat takes on this slab.
    pub spread: VolumePerArea,
    /// What one container holds.
    pub container: Volume,
    /// What one container costs.
    pub price: Money,
}

impl Product {
    /// Whole containers for an area that drinks so many times what was said.
    #[must_use]
    pub fn containers(&self, area: Area, thirst: Fraction) -> u32 {
        let volume = self.spread * area * f64::from(self.coats) * (1.0 + thirst.ratio());
        let share = volume / self.container;
        // What fills a container to the brim asks for no other.
        (share - 1e-9).ceil().clamp(1.0, 1e6) as u32
    }
}

/// The finish's own material and labour, where they are part of the price.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FinishPriced {
    /// The finish itself: stain, dye, coating; for a sealer alone, the sealer.
    pub material: Option<Product>,
    /// The sealer over it.
    pub sealer: Option<Product>,
    /// Slip additive.
    pub slip_additive: Option<MoneyPerArea>,
    /// What one worker lays in an hour, one coat.
    pub laying: Option<AreaRate>,
    /// Time after the last coat until it can be walked on, by its sheet.
    pub walk_on: Option<WorkTime>,
}

impl FinishPriced {
    /// Coats of all products together, at least one.
    #[must_use]
    pub fn coats(&self) -> u32 {
        let coats = [self.material, self.sealer].into_iter().flatten();
        coats.map(|product| u32::from(product.coats)).sum::<u32>().max(1)
    }
}

/// What refines the answer. Whatever is not said stays open, and the range says how much that
/// matters.
#[derive(Debug, Clone, PartialEq)]
pub struct Details {
    /// Year in which the slab was cast; no film on it is older.
    pub year_cast: Option<i16>,
    /// Sides that stand against a wall; else all four indoors, one outdoors.
    pub walls: Option<u8>,
    /// How much film lies there.
    pub build: Option<FilmBuild>,
    /// Whether a drop of water soaks in on bare concrete.
    pub drinks: Answer,
    /// Whether the old sealer holds and is of the same kind, where it is coated over.
    pub holds: Answer,
    /// Cracks.
    pub cracks: Option<CracksSeen>,
    /// Places that sound hollow.
    pub hollow: Answer,
    /// Spots of oil.
    pub oil: Answer,
    /// How far aggregate may show under a finish that shows it, where the owner agreed.
    pub exposure: Option<Exposure>,
    /// Damp: dark patches that stay, white salts, a room below the ground.
    pub damp: Answer,
    /// Steps, worked by hand.
    pub steps: u32,
    /// Whether the site bears no dust.
    pub no_dust: Answer,
    /// Whether the site bears no water.
    pub no_water: Answer,
    /// What carries the slab.
    pub support: Support,
    /// Supply at the slab.
    pub power: Power,
}

impl Default for Details {
    fn default() -> Self {
        Self {
            year_cast: None,
            walls: None,
            build: None,
            drinks: Answer::Unknown,
            holds: Answer::Unknown,
            cracks: None,
            hollow: Answer::Unknown,
            oil: Answer::Unknown,
            exposure: None,
            damp: Answer::Unknown,
            steps: 0,
            no_dust: Answer::Unknown,
            no_water: Answer::Unknown,
            support: Support::Unknown,
            power: Power::SinglePhase,
        }
    }
}

/// What the firm charges.
#[derive(Debug, Clone, PartialEq)]
pub struct Firm {
    /// Its name.
    pub name: String,
    /// The currency of every amount.
    pub currency: Currency,
    /// The units that people read first.
    pub units: UnitSystem,
    /// The language of its papers.
    pub language: Language,
    /// Wages and the like.
    pub rates: Rates,
    /// Overhead, margin, least charges.
    pub money: MoneyRules,
    /// What is not known.
    pub uncertainty: Uncertainty,
    /// Machines that it owns.
    pub machines_owned: Vec<String>,
    /// Whether rates and least charge are assumed and not the firm's own.
    pub assumed: bool,
}

impl Firm {
    /// Rates of no firm in particular: assumptions, to be replaced by the firm's own.
    #[must_use]
    pub fn assumed(
        name: String,
        currency: Currency,
        units: UnitSystem,
        language: Language,
    ) -> Self {
        Self {
            name,
            currency,
            units,
            language,
            rates: Rates {
                labour: MoneyPerHour::from_per_hour(55.0),
                disposal: MoneyPerMass::from_per_kilogram(0.35),
                liquid_disposal: MoneyPerVolume::from_per_litre(0.24),
                trip: Money::new(80.0),
                working_day: WorkTime::from_hours(8.0),
                crew: Rates::USUAL_CREW,
            },
            money: MoneyRules {
                overhead: Fraction::from_percent(18.0),
                margin: Fraction::from_percent(15.0),
                least_for_a_job: Money::new(500.0),
                least_for_a_trip: Money::ZERO,
            },
            uncertainty: Uncertainty::default(),
            machines_owned: ["vacuum", "hand_grinder", "washer"].map(str::to_owned).to_vec(),
            assumed: true,
        }
    }
}

/// The names that a job needs, in the words of its people.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Names {
    /// The job.
    pub job: String,
    /// Whom it is for.
    pub client: String,
    /// Where.
    pub site: String,
    /// The area.
    pub area: String,
    /// The finish.
    pub finish: String,
    /// What stands for a data sheet that nobody has yet.
    pub no_sheet: String,
    /// Who says that an old sealer may stay, and why, where it does.
    pub it_holds: (String, String),
}

/// All that was said.
#[derive(Debug, Clone, PartialEq)]
pub struct Told {
    /// How large.
    pub size: Size,
    /// Indoors or out.
    pub setting: Setting,
    /// Whether somebody said that, or the surface tells.
    pub setting_said: bool,
    /// What it is now.
    pub now: SurfaceNow,
    /// What it shall be.
    pub wanted: FinishWanted,
    /// The rest.
    pub details: Details,
    /// The finish itself, where it is part of the price.
    pub finish: FinishPriced,
    /// What the firm charges.
    pub firm: Firm,
    /// Names.
    pub names: Names,
    /// The day.
    pub on: Date,
}

/// A length and width in JSON.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Sides {
    /// The longer side.
    pub length_m: Length,
    /// The shorter.
    pub width_m: Length,
}
