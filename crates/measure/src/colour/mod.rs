//! Colour: CIE L\*a\*b\*, differences between colours, and what a picture beside a printed
//! grey card tells of both.
//!
//! **White.** L\*a\*b\* is told under D65 and the 2° observer (x 0.3127, y 0.3290), the white of
//! sRGB and Display P3, in which pictures come: no change of white is worked in that could only
//! add an error of its own.
//!
//! **X, Y, Z.** Y of the perfect white is 1.
//!
//! **Pictures.** Decoded by IEC 61966-2-1: v / 12.92 up to 0.04045, else
//! ((v + 0.055) / 1.055)^2.4; brought to X, Y, Z by the matrix of the space's own primaries.
//!
//! **Differences.** ΔE\*ab (CIE 1976) is the distance in L\*a\*b\*. ΔE2000 (CIE 142-2001,
//! ISO/CIE 11664-6:2014) is worked as Sharma, Wu and Dalal, *Color Research and Application* 30
//! (2005), 21-30, wrote it down, with all weights 1; it was made for differences up to about 5.

mod camera;
pub mod card;
mod compare;
pub mod picture;
pub mod synthetic;

use schemars::JsonSchema;
use serde::{Serialize, Serializer};

use crate::choice::choices;

pub use compare::{Compared, Likeness, compare};
pub use picture::{
    Allowances, Corners, Error, Measured, PatchRead, Picture, PicturePoint, Refusal, RefusalOf,
    Spot, SpotColour, measure,
};

/// X, Y and Z of the light that a surface sends back; Y of the perfect white is 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Xyz([f64; 3]);

/// The perfect white under D65 (x 0.3127, y 0.3290).
const WHITE: [f64; 3] = [0.3127 / 0.3290, 1.0, (1.0 - 0.3127 - 0.3290) / 0.3290];

/// Below this share of the white, L\*a\*b\* is a straight line: (6/29)³.
const BEND: f64 = 216.0 / 24_389.0;
/// (29/3)³.
const KAPPA: f64 = 24_389.0 / 27.0;

impl Xyz {
    /// From X, Y and Z.
    #[must_use]
    pub const fn new(x: f64, y: f64, z: f64) -> Self {
        Self([x, y, z])
    }

    /// X, Y and Z.
    #[must_use]
    pub const fn values(self) -> [f64; 3] {
        self.0
    }
}

/// A colour in CIE L\*a\*b\* (1976) under D65 and the 2° observer.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Lab {
    /// L\*: lightness from 0 (black) to 100 (the perfect white).
    #[serde(serialize_with = "tidy")]
    lightness: f64,
    /// a\*: from green (below 0) to red.
    #[serde(serialize_with = "tidy")]
    a: f64,
    /// b\*: from blue (below 0) to yellow.
    #[serde(serialize_with = "tidy")]
    b: f64,
}

/// To the hundred-thousandth; a nothing has no sign.
#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde hands a reference")]
fn tidy<S: Serializer>(value: &f64, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_f64((value * 1e5).round() / 1e5 + 0.0)
}

impl Lab {
    /// From L\*, a\* and b\*.
    #[must_use]
    pub const fn new(lightness: f64, a: f64, b: f64) -> Self {
        Self { lightness, a, b }
    }

    /// Of X, Y and Z.
    #[must_use]
    pub fn of(xyz: Xyz) -> Self {
        let bent = |share: f64| {
            if share > BEND { share.cbrt() } else { (KAPPA * share + 16.0) / 116.0 }
        };
        let [x, y, z] = [0, 1, 2].map(|at| bent(xyz.0[at] / WHITE[at]));
        Self { lightness: 116.0 * y - 16.0, a: 500.0 * (x - y), b: 200.0 * (y - z) }
    }

    /// Its X, Y and Z.
    #[must_use]
    pub fn xyz(self) -> Xyz {
        let straight = |bent: f64| {
            let cube = bent * bent * bent;
            if cube > BEND { cube } else { (116.0 * bent - 16.0) / KAPPA }
        };
        let y = (self.lightness + 16.0) / 116.0;
        let [x, z] = [y + self.a / 500.0, y - self.b / 200.0];
        Xyz([straight(x) * WHITE[0], straight(y) * WHITE[1], straight(z) * WHITE[2]])
    }

    /// L\*, 0 to 100.
    #[must_use]
    pub const fn lightness(self) -> f64 {
        self.lightness
    }

    /// a\*, green below 0, red above.
    #[must_use]
    pub const fn a(self) -> f64 {
        self.a
    }

    /// b\*, blue below 0, yellow above.
    #[must_use]
    pub const fn b(self) -> f64 {
        self.b
    }

    /// C\*ab: how far it is from grey.
    #[must_use]
    pub fn chroma(self) -> f64 {
        self.a.hypot(self.b)
    }

    /// The same with so much added to L\*, a\* and b\*.
    #[must_use]
    pub fn shifted(self, [lightness, a, b]: [f64; 3]) -> Self {
        Self::new(self.lightness + lightness, self.a + a, self.b + b)
    }

    /// L\*, a\* and b\*.
    #[must_use]
    pub const fn values(self) -> [f64; 3] {
        [self.lightness, self.a, self.b]
    }

    /// ΔE\*ab, the distance in L\*a\*b\* (CIE 1976).
    #[must_use]
    pub fn delta_e_1976(self, other: Self) -> ColourDifference {
        let [l, a, b] = [0, 1, 2].map(|at| self.values()[at] - other.values()[at]);
        ColourDifference(l.hypot(a).hypot(b))
    }

    /// ΔE2000, all weights 1.
    ///
    /// Symmetric. Hues that are opposite, 180° apart, are a seam of the formula: it jumps there
    /// by some hundredths.
    #[must_use]
    pub fn delta_e_2000(self, other: Self) -> ColourDifference {
        const TO_THE_7TH: f64 = 6_103_515_625.0; // 25⁷
        let seventh = |chroma: f64| (chroma.powi(7) / (chroma.powi(7) + TO_THE_7TH)).sqrt();
        let g = 0.5 * (1.0 - seventh(f64::midpoint(self.chroma(), other.chroma())));
        let primed = |of: Self| {
            let a = (1.0 + g) * of.a;
            let hue = of.b.atan2(a).to_degrees().rem_euclid(360.0);
            let grey = a.abs() + of.b.abs() <= 0.0;
            (a.hypot(of.b), if grey { 0.0 } else { hue })
        };
        let ((c1, h1), (c2, h2)) = (primed(self), primed(other));
        let one_is_grey = c1 * c2 <= 0.0;

        let turn = match h2 - h1 {
            _ if one_is_grey => 0.0,
            turn if turn > 180.0 => turn - 360.0,
            turn if turn < -180.0 => turn + 360.0,
            turn => turn,
        };
        let dl = other.lightness - self.lightness;
        let dc = c2 - c1;
        let dh = 2.0 * (c1 * c2).sqrt() * (turn.to_radians() / 2.0).sin();

        let hue = match h1 + h2 {
            sum if one_is_grey => sum,
            sum if (h1 - h2).abs() <= 180.0 => sum / 2.0,
            sum if sum < 360.0 => (sum + 360.0) / 2.0,
            sum => (sum - 360.0) / 2.0,
        };
        let cos = |degrees: f64| degrees.to_radians().cos();
        let t = 1.0 - 0.17 * cos(hue - 30.0) + 0.24 * cos(2.0 * hue) + 0.32 * cos(3.0 * hue + 6.0)
            - 0.20 * cos(4.0 * hue - 63.0);
        let chroma = f64::midpoint(c1, c2);
        let from_50 = (f64::midpoint(self.lightness, other.lightness) - 50.0).powi(2);
        let sl = 1.0 + 0.015 * from_50 / (20.0 + from_50).sqrt();
        let sc = 1.0 + 0.045 * chroma;
        let sh = 1.0 + 0.015 * chroma * t;
        let swing = 30.0 * (-((hue - 275.0) / 25.0).powi(2)).exp();
        let rt = -(2.0 * swing).to_radians().sin() * 2.0 * seventh(chroma);
        let [l, c, h] = [dl / sl, dc / sc, dh / sh];
        ColourDifference((l * l + c * c + h * h + rt * c * h).max(0.0).sqrt())
    }
}

/// A difference between two colours, ΔE.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct ColourDifference(f64);

impl ColourDifference {
    /// No difference.
    pub const ZERO: Self = Self(0.0);

    /// So many ΔE.
    #[must_use]
    pub const fn new(delta_e: f64) -> Self {
        Self(delta_e)
    }

    /// ΔE.
    #[must_use]
    pub const fn delta_e(self) -> f64 {
        self.0
    }
}

impl Serialize for ColourDifference {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        tidy(&self.0, serializer)
    }
}

impl JsonSchema for ColourDifference {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "ColourDifference".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({ "type": "number", "description": "difference of colour, ΔE" })
    }
}

choices! {
    /// The space in which a picture's numbers are meant. Both have the transfer function of
    /// sRGB and the white D65.
    RgbSpace {
        /// sRGB (IEC 61966-2-1).
        Srgb = "srgb";
        /// Display P3.
        DisplayP3 = "display_p3";
    }
}

type Matrix = [[f64; 3]; 3];

impl RgbSpace {
    /// X, Y and Z of linear red, green and blue, each 0 to 1.
    #[must_use]
    pub fn xyz(self, linear: [f64; 3]) -> Xyz {
        Xyz(times(&self.matrix(), linear))
    }

    /// Linear red, green and blue of X, Y and Z; outside 0 to 1 for what the space cannot show.
    #[must_use]
    pub fn linear(self, xyz: Xyz) -> [f64; 3] {
        times(&inverse(&self.matrix()), xyz.0)
    }

    /// Linear red, green and blue to X, Y, Z, from the x and y of primaries and white.
    pub(crate) fn matrix(self) -> Matrix {
        let primaries = match self {
            Self::Srgb => [[0.64, 0.33], [0.30, 0.60], [0.15, 0.06]],
            Self::DisplayP3 => [[0.680, 0.320], [0.265, 0.690], [0.150, 0.060]],
        };
        let of = primaries.map(|[x, y]| [x / y, 1.0, (1.0 - x - y) / y]);
        let columns: Matrix = [0, 1, 2].map(|row| [0, 1, 2].map(|column| of[column][row]));
        // As much of each as makes white of all three.
        let amounts = times(&inverse(&columns), WHITE);
        columns.map(|row| [0, 1, 2].map(|column| row[column] * amounts[column]))
    }
}

pub(crate) fn times(matrix: &Matrix, [x, y, z]: [f64; 3]) -> [f64; 3] {
    matrix.map(|row| row[0] * x + row[1] * y + row[2] * z)
}

/// By cofactors. The matrices here are of primaries or of a card's corners, which were looked
/// at: never singular.
pub(crate) fn inverse(m: &Matrix) -> Matrix {
    let cofactor = |row: usize, column: usize| {
        let [r1, r2] = [(row + 1) % 3, (row + 2) % 3];
        let [c1, c2] = [(column + 1) % 3, (column + 2) % 3];
        m[r1][c1] * m[r2][c2] - m[r1][c2] * m[r2][c1]
    };
    let determinant: f64 = (0..3).map(|column| m[0][column] * cofactor(0, column)).sum();
    [0, 1, 2].map(|row| [0, 1, 2].map(|column| cofactor(column, row) / determinant))
}

/// Linear light of an encoded value, 0 to 1 (IEC 61966-2-1).
#[must_use]
pub fn decoded(encoded: f64) -> f64 {
    if encoded <= 0.040_45 { encoded / 12.92 } else { ((encoded + 0.055) / 1.055).powf(2.4) }
}

/// The encoded value of linear light, 0 to 1 (IEC 61966-2-1).
#[must_use]
pub fn encoded(linear: f64) -> f64 {
    if linear <= 0.003_130_8 { linear * 12.92 } else { 1.055 * linear.powf(1.0 / 2.4) - 0.055 }
}
