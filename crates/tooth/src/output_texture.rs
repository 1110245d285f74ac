//! What `texture --json` prints.

use schemars::JsonSchema;
use serde::{Serialize, Serializer};
use tooth_formats::scan::Kind;
use tooth_measure::say::{Said, said};
use tooth_measure::{Fraction, Length};
use tooth_texture::calibration::{Calibration, Edition, Grade, Level};
use tooth_texture::lines::Roughness;
use tooth_texture::{Fields, Form, Texture};

use crate::app::Textured;

/// Millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Millimetres(f64);

impl From<Length> for Millimetres {
    fn from(length: Length) -> Self {
        Self(length.millimetres())
    }
}

impl Serialize for Millimetres {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_f64(tidy(self.0))
    }
}

impl JsonSchema for Millimetres {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Millimetres".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({ "type": "number", "description": "length, mm" })
    }
}

/// Nine significant digits; a nothing has no sign.
fn tidy(value: f64) -> f64 {
    if value == 0.0 || !value.is_finite() {
        return 0.0;
    }
    format!("{value:.8e}").parse().unwrap_or(value)
}

/// What `texture` says of a scan.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct TextureOut {
    /// What the scan was.
    pub(crate) kind: KindOut,
    /// Points of a cloud or mesh; null of a grid.
    pub(crate) points: Option<u64>,
    /// Rows of the height map; 1 of a profile.
    pub(crate) rows: usize,
    /// Columns of the height map.
    pub(crate) columns: usize,
    /// From column to column.
    pub(crate) spacing_mm: Millimetres,
    /// From row to row.
    pub(crate) row_spacing_mm: Millimetres,
    /// Share of the map that is known.
    pub(crate) coverage: Fraction,
    /// What was taken off first; the mean always is.
    pub(crate) form: FormOut,
    /// Waves shorter than this were taken off; null where none were.
    pub(crate) s_filter_mm: Option<Millimetres>,
    /// Waves longer than this were taken off; null where none were.
    pub(crate) l_filter_mm: Option<Millimetres>,
    /// Whether the L-filter was the robust one.
    pub(crate) robust: bool,
    /// All of it in one line, to print beside each figure.
    pub(crate) filter: String,
    /// Noise of the device from a repeated scan; null without one.
    pub(crate) noise_mm: Option<Millimetres>,
    /// Areal parameters of ISO 25178-2.
    pub(crate) areal: ArealOut,
    /// Virtual sand patch: a flat lid per cell of 65 mm; null where hardly any is known.
    pub(crate) mean_texture_depth_mm: Option<Millimetres>,
    /// Mean depth under a closing by a square of 25 mm.
    pub(crate) closing_depth_mm: Option<Millimetres>,
    /// Mean profile depth of ISO 13473-1:2019 over lines in four directions; null where none
    /// is 100 mm long.
    pub(crate) mean_profile_depth_mm: Option<Millimetres>,
    /// 1.1 times the mean profile depth (ISO 13473-1:2019, from memory).
    pub(crate) estimated_texture_depth_mm: Option<Millimetres>,
    /// Roughness of ISO 21920-2, means over the lines; null where each has a missing height or
    /// fewer than ten heights.
    pub(crate) lines: Option<LinesOut>,
    /// Peak to valley in fields, as by probe or replica putty.
    pub(crate) fields: Option<FieldsOut>,
    /// Concrete surface profile.
    pub(crate) profile_level: LevelOut,
    /// What the level was learnt on; null without a calibration.
    pub(crate) calibration: Option<CalibrationOut>,
}

/// What a scan was.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum KindOut {
    /// Heights over a grid.
    Grid,
    /// Heights along a line.
    Profile,
    /// Points or a mesh, brought to the median of each cell.
    Cloud,
}

/// What was taken off first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum FormOut {
    /// The least-squares plane.
    Plane,
    /// Nothing but the mean.
    None,
}

/// Areal parameters of ISO 25178-2. Ratios are of one.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[expect(non_snake_case, reason = "the standard's own symbols")]
pub(crate) struct ArealOut {
    /// Arithmetical mean height.
    pub(crate) Sa_mm: Millimetres,
    /// Root mean square height.
    pub(crate) Sq_mm: Millimetres,
    /// Skewness; null of a flat surface.
    pub(crate) Ssk: Option<f64>,
    /// Kurtosis; null of a flat surface.
    pub(crate) Sku: Option<f64>,
    /// Highest peak over the mean.
    pub(crate) Sp_mm: Millimetres,
    /// Deepest pit under the mean.
    pub(crate) Sv_mm: Millimetres,
    /// Greatest height.
    pub(crate) Sz_mm: Millimetres,
    /// Root mean square gradient by differences of neighbours; null where there are none.
    pub(crate) Sdq: Option<f64>,
    /// The same by the seven-point stencil.
    pub(crate) Sdq_seven_points: Option<f64>,
    /// Developed interfacial area ratio, of one; null of a profile.
    pub(crate) Sdr: Option<f64>,
    /// Peak material volume at 10 %, per area.
    pub(crate) Vmp_mm: Millimetres,
    /// Core material volume from 10 % to 80 %, per area.
    pub(crate) Vmc_mm: Millimetres,
    /// Core void volume from 10 % to 80 %, per area.
    pub(crate) Vvc_mm: Millimetres,
    /// Valley void volume at 80 %, per area.
    pub(crate) Vvv_mm: Millimetres,
    /// Core depth; null of fewer than ten heights.
    pub(crate) Sk_mm: Option<Millimetres>,
    /// Reduced peak height.
    pub(crate) Spk_mm: Option<Millimetres>,
    /// Reduced valley depth.
    pub(crate) Svk_mm: Option<Millimetres>,
    /// Material ratio at the top of the core.
    pub(crate) Smr1: Option<Fraction>,
    /// Material ratio at the bottom of the core.
    pub(crate) Smr2: Option<Fraction>,
    /// Autocorrelation length to 0.2; null of a profile or a flat surface.
    pub(crate) Sal_mm: Option<Millimetres>,
    /// Texture aspect ratio.
    pub(crate) Str: Option<Fraction>,
    /// Direction of the lay: 0 along the rows, 90 along the columns.
    pub(crate) lay_deg: Option<f64>,
}

/// Roughness of ISO 21920-2, means over lines.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[expect(non_snake_case, reason = "the standard's own symbols")]
pub(crate) struct LinesOut {
    /// How many lines.
    pub(crate) count: usize,
    /// Arithmetical mean height.
    pub(crate) Ra_mm: Millimetres,
    /// Root mean square height.
    pub(crate) Rq_mm: Millimetres,
    /// Skewness; null of a flat line.
    pub(crate) Rsk: Option<f64>,
    /// Kurtosis; null of a flat line.
    pub(crate) Rku: Option<f64>,
    /// Greatest height, mean of five sections.
    pub(crate) Rz_mm: Millimetres,
    /// Highest peak, mean of five sections.
    pub(crate) Rp_mm: Millimetres,
    /// Deepest pit, mean of five sections.
    pub(crate) Rv_mm: Millimetres,
    /// Total height.
    pub(crate) Rt_mm: Millimetres,
    /// Mean spacing of profile elements; null where lines hardly cross their mean.
    pub(crate) Rsm_mm: Option<Millimetres>,
    /// Root mean square gradient.
    pub(crate) Rdq: f64,
    /// Mean angle of the steps from height to height.
    pub(crate) micro_inclination_deg: f64,
}

/// Peak to valley of several fields.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct FieldsOut {
    /// Side of a field, about.
    pub(crate) side_mm: Millimetres,
    /// How many.
    pub(crate) count: usize,
    /// Their arithmetic mean.
    pub(crate) mean_mm: Millimetres,
    /// The least.
    pub(crate) least_mm: Millimetres,
    /// The greatest.
    pub(crate) greatest_mm: Millimetres,
}

/// What is known of the profile level.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct LevelOut {
    /// Whether there is a grade.
    pub(crate) state: LevelStateOut,
    /// Chances of CSP 1 to 10; null where there are none.
    pub(crate) probability: Option<[Fraction; 10]>,
    /// The shortest run of levels that holds nine tenths; null where there is none.
    pub(crate) shortest_90: Option<[u8; 2]>,
    /// Why there is no grade; null where there is one.
    pub(crate) reason: Option<Said>,
}

/// Whether there is a grade.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum LevelStateOut {
    /// There is.
    Graded,
    /// No comparator chips were scanned.
    NotCalibrated,
    /// The scan carries none.
    NotGradable,
}

/// What a level was learnt on.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct CalibrationOut {
    /// Chips of the set: 9 (1997) or 10 (2013).
    pub(crate) edition: u8,
    /// Levels with a scanned chip.
    pub(crate) chips: Vec<u8>,
    /// Scans of chips.
    pub(crate) placements: usize,
    /// Concrete surfaces that two people or more rated blind; 0: not yet proven on concrete.
    pub(crate) rated_surfaces: usize,
    /// Deviation between surfaces of one level, in logarithms.
    pub(crate) between_surfaces: f64,
    /// Of placements told by all others, the share whose level was right.
    pub(crate) right: Fraction,
    /// The share that was right or next to right.
    pub(crate) within_one: Fraction,
    /// Their mean error, in levels.
    pub(crate) mean_error_levels: f64,
    /// Their mean ranked probability score; 0 is perfect.
    pub(crate) ranked_probability_score: f64,
}

impl From<&Textured> for TextureOut {
    fn from(textured: &Textured) -> Self {
        let texture = &textured.texture;
        let [x, y] = textured.spacing;
        let treatment = texture.treatment;
        let depth = texture.lines.profile_depth;
        let (kind, points) = match textured.kind {
            Kind::Grid => (KindOut::Grid, None),
            Kind::Profile => (KindOut::Profile, None),
            Kind::Cloud { points, .. } => (KindOut::Cloud, Some(points)),
        };
        Self {
            kind,
            points,
            rows: textured.size[0],
            columns: textured.size[1],
            spacing_mm: x.into(),
            row_spacing_mm: y.into(),
            coverage: texture.coverage,
            form: match treatment.form {
                Form::None => FormOut::None,
                Form::Plane => FormOut::Plane,
            },
            s_filter_mm: treatment.s_filter.map(Into::into),
            l_filter_mm: treatment.l_filter.map(Into::into),
            robust: treatment.robust && treatment.l_filter.is_some(),
            filter: treatment.to_string(),
            noise_mm: textured.noise.map(Into::into),
            areal: areal(texture),
            mean_texture_depth_mm: texture.mean_texture_depth.map(Into::into),
            closing_depth_mm: texture.closing_depth.map(Into::into),
            mean_profile_depth_mm: depth.map(|depth| depth.mean.into()),
            estimated_texture_depth_mm: depth.map(|d| d.estimated_texture_depth().into()),
            lines: texture.lines.roughness.as_ref().map(LinesOut::from),
            fields: texture.fields.as_ref().map(FieldsOut::from),
            profile_level: LevelOut::from(&textured.level),
            calibration: textured.calibration.as_ref().map(CalibrationOut::from),
        }
    }
}

fn areal(texture: &Texture) -> ArealOut {
    let (heights, volumes, core) = (&texture.areal, &texture.functional, texture.core);
    ArealOut {
        Sa_mm: heights.mean_height.into(),
        Sq_mm: heights.root_mean_square_height.into(),
        Ssk: heights.skewness.map(tidy),
        Sku: heights.kurtosis.map(tidy),
        Sp_mm: heights.highest_peak.into(),
        Sv_mm: heights.deepest_pit.into(),
        Sz_mm: heights.greatest_height.into(),
        Sdq: heights.root_mean_square_gradient.map(tidy),
        Sdq_seven_points: heights.gradient_of_seven_points.map(tidy),
        Sdr: heights.developed_area.map(|share| tidy(share.ratio())),
        Vmp_mm: volumes.peak_material.into(),
        Vmc_mm: volumes.core_material.into(),
        Vvc_mm: volumes.core_void.into(),
        Vvv_mm: volumes.valley_void.into(),
        Sk_mm: core.map(|core| core.depth.into()),
        Spk_mm: core.map(|core| core.reduced_peaks.into()),
        Svk_mm: core.map(|core| core.reduced_valleys.into()),
        Smr1: core.map(|core| core.upper_ratio),
        Smr2: core.map(|core| core.lower_ratio),
        Sal_mm: texture.correlation.map(|of| of.shortest.into()),
        Str: texture.correlation.map(|of| of.aspect),
        lay_deg: texture.correlation.map(|of| tidy(of.lay.degrees())),
    }
}

impl From<&Roughness> for LinesOut {
    fn from(lines: &Roughness) -> Self {
        Self {
            count: lines.lines,
            Ra_mm: lines.mean_height.into(),
            Rq_mm: lines.root_mean_square_height.into(),
            Rsk: lines.skewness.map(tidy),
            Rku: lines.kurtosis.map(tidy),
            Rz_mm: lines.greatest_height_of_sections.into(),
            Rp_mm: lines.highest_peak.into(),
            Rv_mm: lines.deepest_pit.into(),
            Rt_mm: lines.total_height.into(),
            Rsm_mm: lines.mean_spacing.map(Into::into),
            Rdq: tidy(lines.root_mean_square_gradient),
            micro_inclination_deg: tidy(lines.micro_inclination.degrees()),
        }
    }
}

impl From<&Fields> for FieldsOut {
    fn from(fields: &Fields) -> Self {
        Self {
            side_mm: fields.side.into(),
            count: fields.readings.count(),
            mean_mm: fields.readings.mean().into(),
            least_mm: fields.readings.least().into(),
            greatest_mm: fields.readings.greatest().into(),
        }
    }
}

impl From<&Level> for LevelOut {
    fn from(level: &Level) -> Self {
        let (state, grade, reason): (_, Option<&Grade>, _) = match level {
            Level::Graded(grade) => (LevelStateOut::Graded, Some(grade), None),
            Level::NotCalibrated => {
                let reason = said!("no-scans-of-comparator-chips");
                (LevelStateOut::NotCalibrated, None, Some(reason))
            }
            Level::NotGradable(reason, grade) => {
                (LevelStateOut::NotGradable, grade.as_ref(), Some(reason.clone()))
            }
        };
        Self {
            state,
            probability: grade.map(|grade| grade.probability),
            shortest_90: grade.map(|grade| grade.shortest_90.map(|level| level.chip())),
            reason,
        }
    }
}

impl From<&Calibration> for CalibrationOut {
    fn from(calibration: &Calibration) -> Self {
        let check = calibration.check();
        Self {
            edition: match calibration.edition() {
                Edition::Nine => 9,
                Edition::Ten => 10,
            },
            chips: calibration.chips().iter().map(|level| level.chip()).collect(),
            placements: calibration.placements(),
            rated_surfaces: calibration.surfaces(),
            between_surfaces: tidy(calibration.between_surfaces()),
            right: check.right,
            within_one: check.within_one,
            mean_error_levels: tidy(check.mean_error),
            ranked_probability_score: tidy(check.ranked_probability_score),
        }
    }
}
