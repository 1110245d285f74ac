//! All figures of one surface.

use tooth_measure::say::{Said, decimal, said};
use tooth_measure::{Fraction, Length};

use crate::areal::{Areal, areal};
use crate::correlation::{Correlation, correlation};
use crate::curve::{Core, Curve, Functional};
use crate::fields::{Fields, fields};
use crate::filter::{Treatment, treat};
use crate::lines::{self, LinesOf};
use crate::map::{HeightMap, Refusal};
use crate::patch::{closing_depth, lid_depth};
use crate::workers::Workers;

/// Width of the square that closes the surface.
pub(crate) const CLOSING: Length = Length::from_millimetres(25.0);

/// A surface and its figures.
#[derive(Debug, Clone, PartialEq)]
pub struct Texture {
    /// The heights the figures are of: form and filters taken off.
    pub map: HeightMap,
    /// What was taken off.
    pub treatment: Treatment,
    /// Share of the map that is known.
    pub coverage: Fraction,
    /// Height and hybrid parameters.
    pub areal: Areal,
    /// Volumes of the material ratio curve.
    pub functional: Functional,
    /// Core of the material ratio curve.
    pub core: Option<Core>,
    /// Heights at 0, 0.5, … 100 % of material.
    pub material_ratio: Vec<Length>,
    /// Autocorrelation; none of a profile or a flat surface.
    pub correlation: Option<Correlation>,
    /// Mean texture depth of the virtual sand patch: a flat lid per cell of 65 mm.
    pub mean_texture_depth: Option<Length>,
    /// Mean depth under the closing by a square of 25 mm.
    pub closing_depth: Option<Length>,
    /// Lines over the surface.
    pub lines: LinesOf,
    /// Peak to valley in fields.
    pub fields: Option<Fields>,
}

impl Texture {
    /// Takes form and filters off and all figures.
    ///
    /// # Errors
    ///
    /// [`Refusal`] of filters that do not fit, or of hardly any heights.
    pub fn of(
        map: HeightMap,
        treatment: &Treatment,
        workers: &dyn Workers,
    ) -> Result<Self, Refusal> {
        let coverage = map.coverage();
        let known = coverage.ratio() * map.heights_mm().len() as f64;
        if known < 3.0 || coverage.ratio() < 0.01 {
            return Err(Refusal::TooFew);
        }
        let map = treat(map, treatment, workers)?;
        let areal = areal(&map, workers);
        let curve = Curve::of(&map, workers);
        let (functional, core) = (curve.functional(), curve.core());
        let material_ratio = curve.points();
        // As large as the map.
        drop(curve);
        Ok(Self {
            coverage,
            areal,
            functional,
            core,
            material_ratio,
            correlation: correlation(&map, workers),
            mean_texture_depth: lid_depth(&map, workers),
            closing_depth: closing_depth(&map, CLOSING, workers),
            lines: lines::of(&map, workers),
            fields: fields(&map, workers),
            treatment: *treatment,
            map,
        })
    }

    /// Whether a profile level can be told from it. `noise` is the device's, where it is known.
    #[must_use]
    pub fn gradable(&self, noise: Option<Length>) -> Gradable {
        gradable(&self.map, self.areal.root_mean_square_height, self.correlation, noise)
    }

    /// The same figures with a map of means, for drawing: at most so many heights a side.
    #[must_use]
    pub fn thinned(self, most: usize) -> Self {
        Self { map: self.map.thinned(most), ..self }
    }
}

pub(crate) fn gradable(
    map: &HeightMap,
    rms: Length,
    correlation: Option<Correlation>,
    noise: Option<Length>,
) -> Gradable {
    let steps = map.spacing();
    let pitch = steps[0].max(steps[1]);
    if map.rows() < 2 || map.columns() < 2 {
        return Gradable::OneLine;
    }
    if map.coverage().ratio() < 0.9 {
        return Gradable::Holes(map.coverage());
    }
    if rms > Length::from_millimetres(10.0) || rms < Length::from_millimetres(1e-3) {
        return Gradable::Unit(rms);
    }
    if let Some(noise) = noise
        && noise * 3.0 > rms
    {
        return Gradable::Noise { noise, rms };
    }
    match correlation {
        Some(correlation) if pitch * 5.0 <= correlation.shortest => Gradable::Yes,
        Some(correlation) => Gradable::Pitch { pitch, shortest: correlation.shortest },
        None => Gradable::Unit(rms),
    }
}

/// Whether a scan can carry a grade.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Gradable {
    /// It can.
    Yes,
    /// A line alone can be half off.
    OneLine,
    /// Less than nine tenths are known.
    Holes(Fraction),
    /// Heights of a root mean square that no concrete surface has: another unit?
    Unit(Length),
    /// The device's noise is more than a third of the root mean square height.
    Noise {
        /// The device's noise.
        noise: Length,
        /// The root mean square height.
        rms: Length,
    },
    /// The spacing is more than a fifth of the shortest correlation length.
    Pitch {
        /// The spacing.
        pitch: Length,
        /// The correlation length.
        shortest: Length,
    },
}

impl Gradable {
    /// Why it can carry none, or that it can.
    #[must_use]
    pub fn said(self) -> Said {
        let mm = |length: Length| decimal(length.millimetres(), 3);
        match self {
            Self::Yes => said!("the-scan-can-carry-a-grade"),
            Self::OneLine => said!("one-line-alone-scan-an-area"),
            Self::Holes(coverage) => {
                said!(
                    "only-a-part-of-the-scan-is-there",
                    part = decimal(coverage.ratio() * 100.0, 0)
                )
            }
            Self::Unit(rms) => {
                let height = format!("{:.2e}", rms.millimetres());
                said!("a-height-that-no-concrete-has-look-at-the-unit", height = height)
            }
            Self::Noise { noise, rms } => {
                said!("noise-against-a-height", noise = mm(noise), height = mm(rms))
            }
            Self::Pitch { pitch, shortest } => {
                said!(
                    "a-spacing-too-wide-for-the-texture",
                    pitch = mm(pitch),
                    shortest = mm(shortest)
                )
            }
        }
    }
}
