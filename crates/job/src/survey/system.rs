//! The system (finish) of a zone and the limits of its data sheet, copied by the user.

use tooth_measure::choice::choices;
use tooth_measure::{
    Acidity, Fraction, Length, MoistureEmission, MoneyPerVolume, ProfileRange, Stress, Temperature,
    TemperatureDifference, Volume, WorkTime,
};

use super::MethodId;
use super::SystemId;
use super::Zone;
use super::reading::Answer;

choices! {
    /// Classes of systems, by thickness (ICRI 310.2R-2013).
    SystemClass {
        /// A penetrating or reactive stain or dye.
        Stain = "stain";
        /// A sealer, to 3 mil.
        Sealer = "sealer";
        /// A thin film, 4 to 10 mil.
        ThinFilm = "thin_film";
        /// A high-build coating, 10 to 40 mil.
        HighBuild = "high_build";
        /// A self-levelling layer, 50 mil to 1/8 in.
        SelfLevelling = "self_levelling";
        /// A polymer overlay, 1/8 to 1/4 in.
        PolymerOverlay = "polymer_overlay";
        /// A concrete overlay, above 1/4 in.
        ConcreteOverlay = "concrete_overlay";
    }
}
choices! {
    /// How far aggregate and scratch pattern may show.
    Exposure {
        /// The trowelled skin stays.
        Cream = "cream";
        /// Fine sand shows.
        Fine = "fine";
        /// Coarse aggregate shows.
        Coarse = "coarse";
    }
}

choices! {
    /// What the sheet's least pull-off strength is asked of.
    PullOffRule {
        /// Of every result.
        EveryResult = "every_result";
        /// Of the mean of results that broke the same way.
        Mean = "mean";
    }
}

choices! {
    /// From where a system's thickness counts.
    ThicknessFrom {
        /// Above the peaks of the profile: its valleys take material on top.
        Peaks = "peaks";
        /// From the middle of the profile: its valleys are in it.
        MeanPlane = "mean_plane";
    }
}

impl SystemClass {
    /// The classes that a thickness belongs to (ICRI 310.2R-2013). The guide's bars have
    /// gaps (3 to 4 mil, 40 to 50 mil) and shared ends (10 mil, 1/8 in, 1/4 in): there both
    /// neighbours are given, and the data sheet decides.
    #[must_use]
    pub fn of_thickness(thickness: Length) -> Vec<Self> {
        const MIL: f64 = 0.0254;
        let bars = [
            (Self::Sealer, 0.0, 3.0),
            (Self::ThinFilm, 4.0, 10.0),
            (Self::HighBuild, 10.0, 40.0),
            (Self::SelfLevelling, 50.0, 125.0),
            (Self::PolymerOverlay, 125.0, 250.0),
            (Self::ConcreteOverlay, 250.0, f64::INFINITY),
        ];
        let mils = thickness.millimetres() / MIL;
        let slack = 1e-6;
        let within: Vec<Self> = bars
            .iter()
            .filter(|(_, low, high)| mils >= low - slack && mils <= high + slack)
            .map(|(class, ..)| *class)
            .collect();
        if !within.is_empty() {
            return within;
        }
        let below = bars.iter().rev().find(|(.., high)| mils > *high).map(|(class, ..)| *class);
        let above = bars.iter().find(|(_, low, _)| mils < *low).map(|(class, ..)| *class);
        below.into_iter().chain(above).collect()
    }

    /// The profile range that ICRI 310.2R-2013 gives the class. From memory: verify
    /// against the guide; the product's data sheet wins. A stain has no bar of its
    /// own there; it is read as a sealer.
    #[must_use]
    pub fn guide_profile(self) -> ProfileRange {
        match self {
            Self::Stain | Self::Sealer => ProfileRange::between(1, 2),
            Self::ThinFilm => ProfileRange::between(1, 3),
            Self::HighBuild => ProfileRange::between(3, 5),
            Self::SelfLevelling => ProfileRange::between(4, 6),
            Self::PolymerOverlay => ProfileRange::between(5, 9),
            Self::ConcreteOverlay => ProfileRange::between(5, 10),
        }
    }
}

/// The material of the system, for its quantity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Material {
    /// Lost in mixing and on the way.
    pub waste: Fraction,
    /// Price, where it is part of this bid.
    pub price: Option<MoneyPerVolume>,
    /// What one container holds when mixed, where the sheet says.
    pub container: Option<Volume>,
}

/// A system and its limits. `None` means that the sheet says nothing or was not copied.
#[derive(Debug, Clone, PartialEq)]
pub struct System {
    /// Unique in the job.
    pub id: SystemId,
    /// Name on the sheet.
    pub name: String,
    /// Its class.
    pub class: SystemClass,
    /// Which sheet, and its date.
    pub sheet: String,
    /// Whether the concrete shows through.
    pub see_through: bool,
    /// Thickness when laid.
    pub thickness: Length,
    /// From where it counts.
    pub thickness_from: ThicknessFrom,
    /// Profile range asked for.
    pub profile: Option<ProfileRange>,
    /// Whether the sheet asks for a surface opened by a tool, whatever its profile.
    pub mechanical_preparation: Answer,
    /// Least pull-off strength of the prepared slab.
    pub least_pull_off_strength: Option<Stress>,
    /// Whether every result or their mean must reach it.
    pub pull_off_rule: PullOffRule,
    /// Highest relative humidity in the slab.
    pub most_in_slab_humidity: Option<Fraction>,
    /// Highest moisture emission.
    pub most_moisture_emission: Option<MoistureEmission>,
    /// Surface pH, least and most.
    pub ph: Option<(Acidity, Acidity)>,
    /// Surface temperature, least and most.
    pub surface_temperature: Option<(Temperature, Temperature)>,
    /// Surface above dew point by at least this.
    pub dew_point_margin: Option<TemperatureDifference>,
    /// Highest relative humidity of the air.
    pub most_air_humidity: Option<Fraction>,
    /// Dry weather before it goes down outdoors.
    pub dry_before: Option<WorkTime>,
    /// Dry weather after it outdoors.
    pub dry_after: Option<WorkTime>,
    /// Hours in a row that laying it takes.
    pub least_window: Option<WorkTime>,
    /// The coat that is laid below it on the prepared slab, where one is.
    pub over: Option<MethodId>,
    /// Least age of the concrete under it, where the sheet names one.
    pub least_age: Option<WorkTime>,
    /// A water drop must darken the surface within this time.
    pub absorbs_within: Option<WorkTime>,
    /// Widest crack that it covers by itself.
    pub widest_crack: Option<Length>,
    /// Whether it reacts with the lime of the concrete (an etch would use that up).
    pub needs_lime: bool,
    /// Whether an acid etch is allowed under it.
    pub acid_etch: Answer,
    /// Exposure agreed with the owner; asked for where the finish is see-through.
    pub agreed_exposure: Option<Exposure>,
    /// The material, where its quantity is wanted.
    pub material: Option<Material>,
}

/// Who asks for a profile.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asked {
    /// The system's sheet.
    BySheet,
    /// Only a guide, from memory.
    ByGuide,
    /// Nobody: it stays as it is.
    ByNobody,
}

/// Every profile that there is: what nobody asks to be otherwise.
pub const ANY_PROFILE: ProfileRange = ProfileRange::between(1, 10);

impl System {
    /// Whether its sheet limits moisture in the slab.
    #[must_use]
    pub fn names_a_moisture_limit(&self) -> bool {
        self.most_in_slab_humidity.is_some() || self.most_moisture_emission.is_some()
    }

    /// Whether the surface is opened by a tool: as the sheet says, else for everything that
    /// lies on the slab as a film or layer (common practice).
    #[must_use]
    pub fn mechanical(&self) -> bool {
        match self.mechanical_preparation {
            Answer::Yes => true,
            Answer::No => false,
            Answer::Unknown => !matches!(self.class, SystemClass::Stain | SystemClass::Sealer),
        }
    }

    /// Whether what stands proud or lies shallow shows in it: no thicker than an eighth of an
    /// inch. Assumption.
    #[must_use]
    pub fn is_thin(&self) -> bool {
        self.thickness <= Length::from_inches(0.126)
    }

    /// Whether it goes into the concrete or shows it: absorption, hardness and evenness lead, and
    /// nothing is roughened for it unless its sheet says so.
    #[must_use]
    pub fn soaks_in(&self) -> bool {
        matches!(self.class, SystemClass::Stain | SystemClass::Sealer)
    }

    /// The profile that a zone under it is prepared to, and who asks for it: the sheet; nobody
    /// where the texture stays or the system soaks in and its sheet asks for none; else only the
    /// guide, from memory, which drives nothing: its range is asked about.
    #[must_use]
    pub fn target_in(&self, zone: &Zone) -> (ProfileRange, Asked) {
        let (range, from_sheet) = self.profile_range();
        match (zone.kept, from_sheet) {
            (Some(_), _) => (ANY_PROFILE, Asked::ByNobody),
            (None, true) => (range, Asked::BySheet),
            (None, false) if self.soaks_in() => (ANY_PROFILE, Asked::ByNobody),
            (None, false) => (ANY_PROFILE, Asked::ByGuide),
        }
    }

    /// The profile range to reach, and whether it comes from the data sheet.
    #[must_use]
    pub fn profile_range(&self) -> (ProfileRange, bool) {
        self.profile.map_or((self.class.guide_profile(), false), |range| (range, true))
    }
}
