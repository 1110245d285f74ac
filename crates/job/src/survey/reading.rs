//! Field tests: what was measured, where, with what, when, by whom.

use jiff::civil::DateTime;
use tooth_measure::choice::choices;
use tooth_measure::{
    Acidity, AreaRate, Fraction, Length, MoistureEmission, Point, ProfileLevel, Stress,
    Temperature, Volume, WorkTime,
};

use super::feature::Reaction;
use super::{FeatureId, ReadingId, ZoneId};

choices! {
    /// Yes, no, or not known. "Not known" is never good news.
    Answer {
        /// Yes.
        Yes = "yes";
        /// No.
        No = "no";
        /// Nobody knows.
        Unknown = "unknown";
    }
}
#[expect(clippy::derivable_impls, reason = "the list is made by a macro")]
impl Default for Answer {
    fn default() -> Self {
        Self::Unknown
    }
}

choices! {
    /// How a drop of dilute acid behaves.
    Fizz {
        /// Lively: bare paste is within reach.
        Strong = "strong";
        /// Slow: inconclusive.
        Weak = "weak";
        /// None: film or penetrant.
        None = "none";
    }
}
choices! {
    /// Where a pull-off specimen broke (ASTM C1583, clause 11.4).
    FailureMode {
        /// In the old concrete.
        Substrate = "substrate";
        /// Between slab and overlay or coating.
        Interface = "interface";
        /// In the overlay or coating.
        Overlay = "overlay";
        /// In the glue of the disk: no result.
        Adhesive = "adhesive";
    }
}
choices! {
    /// Under a taped sheet.
    DampOrDry {
        /// Damp or darkened.
        Damp = "damp";
        /// Dry. Dry is no proof of a dry slab.
        Dry = "dry";
    }
}
choices! {
    /// What a rag with solvent does to a film after some minutes.
    SolventRub {
        /// It softens or comes off: dries by solvent, a stripper takes it.
        Softens = "softens";
        /// Nothing: cross-linked or mineral.
        NoEffect = "no_effect";
    }
}
choices! {
    /// How a film takes a knife.
    KnifeTest {
        /// Chips off: brittle.
        Chips = "chips";
        /// Peels in strips: soft, clogs a grinder.
        Peels = "peels";
        /// Holds.
        Holds = "holds";
    }
}
choices! {
    /// A dark cloth wiped over the prepared surface.
    ClothWipe {
        /// Stays clean.
        Clean = "clean";
        /// Comes up dusty.
        Dusty = "dusty";
    }
}
choices! {
    /// What a laboratory was asked.
    LaboratoryQuestion {
        /// Asbestos in adhesive, tile or coating.
        Asbestos = "asbestos";
        /// Lead in a coating.
        Lead = "lead";
        /// Deterioration from inside, by petrography (ASTM C856).
        Deterioration = "deterioration";
    }
}

choices! {
    /// How a repair sounds.
    RepairSound {
        /// Like the slab about it.
        Sound = "sound";
        /// Hollow.
        Hollow = "hollow";
    }
}
choices! {
    /// How a laboratory looked for asbestos.
    LaboratoryMethod {
        /// Polarised light microscopy.
        PolarisedLight = "polarised_light";
        /// Electron microscopy.
        Electron = "electron";
    }
}

/// What was measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Measured {
    /// Time in which a water drop darkened the surface (ASTM F3191).
    WaterDrop(WorkTime),
    /// A drop of dilute acid.
    AcidDrop(Fizz),
    /// A drop of the stain itself in a hidden place.
    StainDrop(Reaction),
    /// Tensile pull-off strength (ASTM C1583, D7234).
    PullOff {
        /// Load over area.
        strength: Stress,
        /// Where it broke.
        failure: FailureMode,
    },
    /// Relative humidity in the slab (ASTM F2170).
    InSlabHumidity(Fraction),
    /// Moisture vapour emission (ASTM F1869).
    MoistureEmission(MoistureEmission),
    /// Taped plastic sheet (ASTM D4263).
    PlasticSheet(DampOrDry),
    /// Surface pH (ASTM D4262, F710).
    SurfacePh(Acidity),
    /// Profile by eye and finger against comparator chips (ICRI 310.2R).
    ChipRating(ProfileLevel),
    /// Sand patch: volume and mean diameter (ASTM E965, EN 13036-1).
    SandPatch {
        /// Volume of sand or beads.
        volume: Volume,
        /// Mean of four diameters or more.
        diameter: Length,
    },
    /// Peak to valley of a replica putty by micrometer (ASTM D7682).
    ReplicaPutty(Length),
    /// Peak to valley by a fine-pointed probe (ASTM D8271).
    ProfileProbe(Length),
    /// Air temperature.
    AirTemperature(Temperature),
    /// Relative humidity of the air.
    AirHumidity(Fraction),
    /// Surface temperature of the slab.
    SurfaceTemperature(Temperature),
    /// Width of a crack at its gauge.
    CrackGauge(Length),
    /// Scratch hardness on the Mohs scale.
    ScratchHardness(u8),
    /// Thickness of a film.
    FilmThickness(Length),
    /// Whether oil came back to the surface 24 h after cleaning.
    OilBleedBack(Answer),
    /// A laboratory's answer: yes where it was found.
    Laboratory(LaboratoryQuestion, Answer, Option<LaboratoryMethod>),
    /// A repaired place, tapped again once it has cured.
    RepairSounding(RepairSound),
    /// Depth of carbonation on a fresh break.
    Carbonation(Length),
    /// A rag with solvent on a film.
    SolventRub(SolventRub),
    /// A knife on a film.
    Knife(KnifeTest),
    /// A dark cloth wiped over the prepared surface.
    DarkCloth(ClothWipe),
    /// Chloride by mass of cement (EN 14629).
    Chloride(Fraction),
    /// Depth below a straightedge across a low spot.
    StraightedgeDepth(Length),
    /// Height above the job's own mark.
    Elevation(Length),
    /// Area that a method did in a crew-hour, one pass, on a sample panel or a day's work.
    /// The method stands as the instrument.
    ProductionRate(AreaRate),
}

impl Measured {
    /// Whether it is a test of a lot: counted by area, and good for all that is alike.
    #[must_use]
    pub fn is_of_the_lot(self) -> bool {
        matches!(
            self,
            Self::WaterDrop(_)
                | Self::AcidDrop(_)
                | Self::StainDrop(_)
                | Self::PullOff { .. }
                | Self::InSlabHumidity(_)
                | Self::MoistureEmission(_)
                | Self::PlasticSheet(_)
                | Self::SurfacePh(_)
                | Self::ChipRating(_)
                | Self::DarkCloth(_)
        )
    }

    /// Whether it speaks of the surface that preparation makes new, and not of the slab below,
    /// the air or a sample of what was there.
    #[must_use]
    pub fn is_of_the_surface(self) -> bool {
        match self {
            Self::WaterDrop(_)
            | Self::AcidDrop(_)
            | Self::StainDrop(_)
            | Self::PullOff { .. }
            | Self::SurfacePh(_)
            | Self::ChipRating(_)
            | Self::SandPatch { .. }
            | Self::ReplicaPutty(_)
            | Self::ProfileProbe(_)
            | Self::FilmThickness(_)
            | Self::OilBleedBack(_)
            | Self::SolventRub(_)
            | Self::Knife(_)
            | Self::DarkCloth(_)
            | Self::RepairSounding(_)
            | Self::StraightedgeDepth(_) => true,
            Self::InSlabHumidity(_)
            | Self::MoistureEmission(_)
            | Self::PlasticSheet(_)
            | Self::AirTemperature(_)
            | Self::AirHumidity(_)
            | Self::SurfaceTemperature(_)
            | Self::CrackGauge(_)
            | Self::ScratchHardness(_)
            | Self::Laboratory(..)
            | Self::Carbonation(_)
            | Self::Chloride(_)
            | Self::ProductionRate(_)
            | Self::Elevation(_) => false,
        }
    }

    /// Whether a drop found no lime: no work brings any back where nothing was taken off.
    #[must_use]
    pub fn found_no_lime(self) -> bool {
        matches!(self, Self::AcidDrop(Fizz::None) | Self::StainDrop(Reaction::None))
    }

    /// Whether it speaks of its own place alone: one of its kind elsewhere says nothing of that.
    #[must_use]
    pub fn is_of_its_place(self) -> bool {
        self.found_no_lime() || matches!(self, Self::Knife(_) | Self::SolventRub(_))
    }

    /// The kind's word in `readings.csv`.
    #[must_use]
    pub fn kind(self) -> &'static str {
        match self {
            Self::WaterDrop(_) => "water_drop",
            Self::AcidDrop(_) => "acid_drop",
            Self::StainDrop(_) => "stain_drop",
            Self::PullOff { .. } => "pull_off",
            Self::InSlabHumidity(_) => "in_slab_humidity",
            Self::MoistureEmission(_) => "moisture_emission",
            Self::PlasticSheet(_) => "plastic_sheet",
            Self::SurfacePh(_) => "surface_ph",
            Self::ChipRating(_) => "chip_rating",
            Self::SandPatch { .. } => "sand_patch",
            Self::ReplicaPutty(_) => "replica_putty",
            Self::ProfileProbe(_) => "profile_probe",
            Self::AirTemperature(_) => "air_temperature",
            Self::AirHumidity(_) => "air_humidity",
            Self::SurfaceTemperature(_) => "surface_temperature",
            Self::CrackGauge(_) => "crack_gauge",
            Self::ScratchHardness(_) => "scratch_hardness",
            Self::FilmThickness(_) => "film_thickness",
            Self::OilBleedBack(_) => "oil_bleed_back",
            Self::Laboratory(..) => "laboratory",
            Self::RepairSounding(_) => "repair_sounding",
            Self::Carbonation(_) => "carbonation",
            Self::SolventRub(_) => "solvent_rub",
            Self::Knife(_) => "knife",
            Self::DarkCloth(_) => "dark_cloth",
            Self::Chloride(_) => "chloride",
            Self::StraightedgeDepth(_) => "straightedge_depth",
            Self::Elevation(_) => "elevation",
            Self::ProductionRate(_) => "production_rate",
        }
    }

    /// The words of every kind, in the order of a survey.
    pub const KINDS: &'static [&'static str] = &[
        "water_drop",
        "acid_drop",
        "stain_drop",
        "pull_off",
        "in_slab_humidity",
        "moisture_emission",
        "plastic_sheet",
        "surface_ph",
        "chip_rating",
        "sand_patch",
        "replica_putty",
        "profile_probe",
        "air_temperature",
        "air_humidity",
        "surface_temperature",
        "crack_gauge",
        "scratch_hardness",
        "film_thickness",
        "oil_bleed_back",
        "laboratory",
        "repair_sounding",
        "carbonation",
        "solvent_rub",
        "knife",
        "dark_cloth",
        "chloride",
        "straightedge_depth",
        "elevation",
        "production_rate",
    ];

    /// Whether the test leaves a mark that a see-through finish would show.
    #[must_use]
    pub fn marks(self) -> bool {
        matches!(
            self,
            Self::AcidDrop(_)
                | Self::StainDrop(_)
                | Self::PullOff { .. }
                | Self::InSlabHumidity(_)
                | Self::MoistureEmission(_)
                | Self::Carbonation(_)
                | Self::Chloride(_)
        )
    }
}

/// One field test.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// Unique in the job.
    pub id: ReadingId,
    /// What was measured.
    pub measured: Measured,
    /// The zone, where the row names one.
    pub zone: Option<ZoneId>,
    /// Where on the plan.
    pub place: Option<Point>,
    /// The feature that it is about.
    pub subject: Option<FeatureId>,
    /// With what.
    pub instrument: String,
    /// Local time.
    pub time: DateTime,
    /// Who.
    pub by: String,
    /// What somebody wrote beside it.
    pub note: String,
}
