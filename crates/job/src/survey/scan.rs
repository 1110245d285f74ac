//! Scans of the surface: texture and, on the user's own comparator chips, profile level.

use jiff::civil::DateTime;
use tooth_measure::{Point, ProfileLevel};
use tooth_texture::calibration::{Calibration, Check, Level};
use tooth_texture::{HeightMap, Texture};

use super::FeatureId;

/// One scanned place.
#[derive(Debug, Clone, PartialEq)]
pub struct SurfaceScan {
    /// Its name: that of its file in `texture/`.
    pub name: FeatureId,
    /// Where on the plan.
    pub place: Point,
    /// Who scanned it.
    pub by: String,
    /// When.
    pub time: DateTime,
    /// Its figures; the map is thinned for drawing.
    pub texture: Texture,
    /// What it says of the profile level.
    pub level: Level,
}

/// The chips that scans are compared with.
#[derive(Debug, Clone, PartialEq)]
pub struct ChipCalibration {
    /// Levels with a scanned chip.
    pub chips: Vec<ProfileLevel>,
    /// Scans of chips.
    pub placements: usize,
    /// Concrete surfaces that two people or more rated blind.
    pub rated_surfaces: usize,
    /// How placements told by all others did.
    pub check: Check,
    /// The first scan of each chip, thinned for drawing.
    pub drawn: Vec<(ProfileLevel, HeightMap)>,
}

impl ChipCalibration {
    /// What a calibration rests on.
    #[must_use]
    pub fn of(calibration: &Calibration, drawn: Vec<(ProfileLevel, HeightMap)>) -> Self {
        Self {
            chips: calibration.chips(),
            placements: calibration.placements(),
            rated_surfaces: calibration.surfaces(),
            check: calibration.check(),
            drawn,
        }
    }
}
