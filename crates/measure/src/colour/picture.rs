//! A picture of the card beside the slab, read.
//!
//! 1. The corners that a person gave lay the card's plan over the picture (a projective map).
//! 2. Fields of bare paper round the patches give a plane over the logarithm of each channel:
//!    light that falls off is taken out of everything.
//! 3. The greys give exposure, white balance and the camera's curve by a robust fit
//!    (the model is told in `camera.rs`).
//! 4. A spot's colour is the median over its pixels, brought through all of these.
//!
//! Coordinates are pixels from the upper left corner of the picture, x to the right, y down, as
//! programs that show pictures give them.
//!
//! What it cannot know: how the camera's sensor and its picture-making see colours (an
//! allowance, assumed), what the printer made of the greys (another), and what a phone does to
//! one part of a picture and not to another.

use schemars::JsonSchema;
use serde::Serialize;

use super::camera::{Sample, Tone, Way, median};
use super::card::{self, CardLightness, Grey, Rectangle};
use super::{ColourDifference, Lab, Matrix, RgbSpace, Xyz, decoded, inverse, times};
use crate::quantity::Fraction;
use crate::say::{Said, decimal, said};
use crate::statistics::NINE_IN_TEN;

/// A picture: three bytes a pixel (red, green, blue), row by row.
#[derive(Debug, Clone, Copy)]
pub struct Picture<'a> {
    width: u32,
    height: u32,
    pixels: &'a [u8],
    space: RgbSpace,
}

impl<'a> Picture<'a> {
    /// `None` where the bytes are not those of so many pixels.
    #[must_use]
    pub fn new(width: u32, height: u32, pixels: &'a [u8], space: RgbSpace) -> Option<Self> {
        let wanted = (width as usize).checked_mul(height as usize)?.checked_mul(3)?;
        (wanted == pixels.len()).then_some(Self { width, height, pixels, space })
    }

    fn at(&self, x: u32, y: u32) -> [u8; 3] {
        let from = (y as usize * self.width as usize + x as usize) * 3;
        [self.pixels[from], self.pixels[from + 1], self.pixels[from + 2]]
    }
}

/// A place in a picture, in pixels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PicturePoint {
    x: f64,
    y: f64,
}

impl PicturePoint {
    /// So many pixels to the right and down.
    #[must_use]
    pub const fn from_pixels(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// Pixels to the right and down.
    #[must_use]
    pub const fn pixels(self) -> [f64; 2] {
        [self.x, self.y]
    }

    fn to(self, other: Self) -> f64 {
        (self.x - other.x).hypot(self.y - other.y)
    }
}

/// The tips of the card's four corner angles: upper left, upper right, lower right, lower left
/// as the card lies, or the same turned half round.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corners(pub [PicturePoint; 4]);

/// A rectangle of pixels on the slab.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Spot {
    /// Its first column, pixels from the left.
    pub left: u32,
    /// Its first row, pixels from the top.
    pub top: u32,
    /// Its width, pixels.
    pub width: u32,
    /// Its height, pixels.
    pub height: u32,
}

/// What pictures do not tell: **assumptions** unless a person knows better. Half widths that
/// hold nine times in ten.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Allowances {
    /// How far printed greys may lie from the lightness that was assumed, in L\*, a\* and b\*
    /// each. Does not count between pictures of one print.
    pub card: ColourDifference,
    /// How far the camera's colours may be off, in L\*, a\* and b\* each.
    pub camera: ColourDifference,
    /// The same for colours away from grey, as a share of their chroma, in a\* and b\*; between
    /// pictures of one camera, of the difference.
    pub camera_of_chroma: Fraction,
    /// By how much pictures of one camera, card and light may still differ.
    pub pictures: ColourDifference,
}

impl Allowances {
    /// What is assumed where nobody says otherwise.
    pub const ASSUMED: Self = Self {
        card: ColourDifference::new(3.0),
        camera: ColourDifference::new(1.0),
        camera_of_chroma: Fraction::new(0.15),
        pictures: ColourDifference::new(1.0),
    };

    /// For the camera, in L\*, a\* and b\*.
    pub(super) fn of_camera(&self, lab: Lab) -> [f64; 3] {
        let own = self.camera.delta_e();
        let colour = own.hypot(self.camera_of_chroma.ratio() * lab.chroma());
        [own, colour, colour]
    }
}

/// What was refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RefusalOf {
    /// The card in the picture.
    Card,
    /// A spot, by its place in the list.
    Spot(usize),
}

/// Why a picture gives no colour.
#[derive(Debug, Clone, PartialEq)]
pub struct Refusal {
    /// What is wrong.
    pub of: RefusalOf,
    /// What would do.
    pub expected: Box<Said>,
    /// What is there.
    pub found: Box<Said>,
}

fn refuse<T>(of: RefusalOf, expected: Said, found: Said) -> Result<T, Refusal> {
    Err(Refusal { of, expected: Box::new(expected), found: Box::new(found) })
}

// Where the refusals stand. Assumptions: wide enough for usable pictures, and no wider than
// what made pictures of the tests bear out.

/// Pixels of the card's shortest side.
const LEAST_CARD: f64 = 200.0;
/// The longer of opposite sides over the shorter.
const MOST_SLANT: f64 = 1.6;
/// Share of pixels at the end of the scale that makes a field washed out or drowned.
const MOST_CLIPPED: f64 = 0.01;
/// The white paper's least green, of 255.
const LEAST_WHITE: f64 = 90.0;
/// Brightest over darkest end of the card.
const MOST_FALL: f64 = 1.5;
/// A border field off the plane.
const MOST_OFF_PLANE: f64 = 0.10;
/// A quarter of a patch off the others.
const MOST_UNEVEN: f64 = 0.20;
/// The two patches of one grey apart.
const MOST_TWINS: f64 = 0.12;
/// Greys off the curve, against lightness that was assumed or measured.
const MOST_OFF_CURVE: f64 = 0.25;
/// Sides of a spot in pixels.
const LEAST_SPOT: u32 = 16;
/// Light at a spot against that at the card's middle.
const MOST_CORRECTION: f64 = 1.6;
/// A spot against the paper.
const MOST_ABOVE_PAPER: f64 = 1.1;
/// A spot against the black.
const LEAST_OF_BLACK: f64 = 0.4;
/// Share of a correction for falling light that may be wrong, one standard deviation.
const LIGHT_DOUBT: f64 = 0.2;
/// Standard deviation of what lies within a step of 8 bits.
const STEP: f64 = 0.29;

/// Pixels counted by their codes, 0 to 255, channel by channel.
struct Counted {
    counts: [[u32; 256]; 3],
    pixels: u32,
}

impl Counted {
    fn none() -> Self {
        Self { counts: [[0; 256]; 3], pixels: 0 }
    }

    fn count(&mut self, pixel: [u8; 3]) {
        for (counts, code) in self.counts.iter_mut().zip(pixel) {
            counts[usize::from(code)] += 1;
        }
        self.pixels += 1;
    }

    /// The middle code, told within a step by how many lie below.
    fn median(&self) -> [f64; 3] {
        let half = f64::from(self.pixels) / 2.0;
        [0, 1, 2].map(|channel| {
            let mut below = 0.0;
            for (code, count) in self.counts[channel].iter().enumerate() {
                let count = f64::from(*count);
                if below + count >= half && count > 0.0 {
                    return code as f64 - 0.5 + (half - below) / count;
                }
                below += count;
            }
            0.0
        })
    }

    /// The greatest share of a channel at the upper and at the lower end of the scale.
    fn clipped(&self) -> [f64; 2] {
        let share = |codes: std::ops::Range<usize>| {
            let most = self.counts.iter().map(|counts| counts[codes.clone()].iter().sum::<u32>());
            f64::from(most.max().unwrap_or(0)) / f64::from(self.pixels.max(1))
        };
        [share(254..256), share(0..2)]
    }
}

/// Logarithm of the linear value of a code.
fn logarithm(code: f64) -> f64 {
    decoded(code.max(0.5) / 255.0).ln()
}

/// The card's plan laid over the picture.
struct Laid {
    to_card: Matrix,
    to_picture: Matrix,
}

/// Millimetres on the card to pixels: unit square to quadrilateral (Heckbert, 1989), with the
/// card's size worked in.
pub(super) fn laid(corners: &Corners) -> Matrix {
    let [p0, p1, p2, p3] = corners.0;
    let [dx1, dx2] = [p1.x - p2.x, p3.x - p2.x];
    let [dy1, dy2] = [p1.y - p2.y, p3.y - p2.y];
    let [sx, sy] = [p0.x - p1.x + p2.x - p3.x, p0.y - p1.y + p2.y - p3.y];
    let below = dx1 * dy2 - dx2 * dy1;
    let g = (sx * dy2 - dx2 * sy) / below;
    let h = (dx1 * sy - sx * dy1) / below;
    let (width, height) = (card::WIDTH.millimetres(), card::HEIGHT.millimetres());
    [
        [(p1.x - p0.x + g * p1.x) / width, (p3.x - p0.x + h * p3.x) / height, p0.x],
        [(p1.y - p0.y + g * p1.y) / width, (p3.y - p0.y + h * p3.y) / height, p0.y],
        [g / width, h / height, 1.0],
    ]
}

impl Laid {
    fn new(corners: &Corners) -> Self {
        let to_picture = laid(corners);
        Self { to_card: inverse(&to_picture), to_picture }
    }

    fn picture(&self, x_mm: f64, y_mm: f64) -> PicturePoint {
        let [x, y, w] = times(&self.to_picture, [x_mm, y_mm, 1.0]);
        PicturePoint { x: x / w, y: y / w }
    }

    /// Millimetres on the card.
    fn card(&self, at: PicturePoint) -> [f64; 2] {
        let [x, y, w] = times(&self.to_card, [at.x, at.y, 1.0]);
        [x / w, y / w]
    }

    fn holds(&self, at: PicturePoint) -> bool {
        let [x, y] = self.card(at);
        (0.0..=card::WIDTH.millimetres()).contains(&x)
            && (0.0..=card::HEIGHT.millimetres()).contains(&y)
    }

    /// Pixels of a rectangle of the card, so many shares of its sides left out on each side; in
    /// four quarters.
    fn quarters(&self, picture: &Picture<'_>, of: &Rectangle, rim: f64) -> [Counted; 4] {
        let [left, top] = [of.left.millimetres(), of.top.millimetres()];
        let [width, height] = [of.width.millimetres(), of.height.millimetres()];
        let [x0, x1] = [left + rim * width, left + (1.0 - rim) * width];
        let [y0, y1] = [top + rim * height, top + (1.0 - rim) * height];
        let ends = [[x0, y0], [x1, y0], [x1, y1], [x0, y1]].map(|[x, y]| self.picture(x, y));
        let span = |of: fn(&PicturePoint) -> f64, most: u32| {
            let least = ends.iter().map(of).fold(f64::INFINITY, f64::min).max(0.0);
            let greatest = ends.iter().map(of).fold(0.0, f64::max);
            (least as u32)..(greatest.ceil() as u32).min(most)
        };
        let mut quarters = [(); 4].map(|()| Counted::none());
        for row in span(|p| p.y, picture.height) {
            for column in span(|p| p.x, picture.width) {
                let middle = PicturePoint { x: f64::from(column) + 0.5, y: f64::from(row) + 0.5 };
                let [x, y] = self.card(middle);
                if (x0..x1).contains(&x) && (y0..y1).contains(&y) {
                    let right = usize::from(x > f64::midpoint(x0, x1));
                    let low = usize::from(y > f64::midpoint(y0, y1));
                    quarters[2 * low + right].count(picture.at(column, row));
                }
            }
        }
        quarters
    }

    fn middle(&self, of: &Rectangle) -> PicturePoint {
        self.picture(
            of.left.millimetres() + of.width.millimetres() / 2.0,
            of.top.millimetres() + of.height.millimetres() / 2.0,
        )
    }
}

fn together(quarters: &[Counted; 4]) -> Counted {
    let mut all = Counted::none();
    for quarter in quarters {
        for (sums, counts) in all.counts.iter_mut().zip(&quarter.counts) {
            for (sum, count) in sums.iter_mut().zip(counts) {
                *sum += count;
            }
        }
        all.pixels += quarter.pixels;
    }
    all
}

/// Light over the picture: a plane over the logarithm of each channel, nothing at the card's
/// middle.
#[derive(Debug, Clone)]
struct Light {
    middle: PicturePoint,
    scale: f64,
    slopes: [[f64; 2]; 3],
    /// The paper at the card's middle.
    paper: [f64; 3],
    design: Matrix,
    /// Standard deviation off the plane, common to the channels and apart.
    common: f64,
    apart: f64,
    /// How the light bends beside the plane (a lamp's fall is no plane): so much of what a bowl
    /// about the card's middle has beside a plane of its own.
    bend: f64,
    bowl: [f64; 3],
}

impl Light {
    fn place(&self, at: PicturePoint) -> [f64; 3] {
        [1.0, (at.x - self.middle.x) / self.scale, (at.y - self.middle.y) / self.scale]
    }

    /// How much more light falls there than at the card's middle, as logarithms.
    fn there(&self, at: PicturePoint) -> [f64; 3] {
        let [_, u, v] = self.place(at);
        self.slopes.map(|[over_u, over_v]| over_u * u + over_v * v)
    }

    /// Distance from the card's middle, squared.
    fn round(&self, at: PicturePoint) -> f64 {
        let [_, u, v] = self.place(at);
        u * u + v * v
    }

    /// What a bowl has there beside its plane.
    fn beside_plane(&self, at: PicturePoint) -> f64 {
        let place = self.place(at);
        let plane: f64 = self.bowl.iter().zip(place).map(|(of, place)| of * place).sum();
        self.round(at) - plane
    }

    /// Covariance of what was taken out there. That the light bends is not taken out: it
    /// counts as doubt, all of it.
    fn covariance(&self, at: PicturePoint) -> Matrix {
        let place = self.place(at);
        let leverage: f64 =
            place.iter().zip(times(&self.design, place)).map(|(left, right)| left * right).sum();
        let there = self.there(at);
        let mean = there.iter().sum::<f64>() / 3.0;
        let common = self.common.powi(2) * (1.0 + leverage)
            + (LIGHT_DOUBT * mean).powi(2)
            + (self.bend * self.beside_plane(at)).powi(2);
        [0, 1, 2].map(|row| {
            [0, 1, 2].map(|column| {
                let own = self.apart.powi(2) * (1.0 + leverage)
                    + (LIGHT_DOUBT * (there[row] - mean)).powi(2);
                if row == column { common + own } else { common }
            })
        })
    }

    fn of(laid: &Laid, corners: &Corners, fields: &[(PicturePoint, [f64; 3])]) -> Self {
        let middle =
            laid.picture(card::WIDTH.millimetres() / 2.0, card::HEIGHT.millimetres() / 2.0);
        let scale = corners.0.iter().map(|corner| corner.to(middle)).fold(0.0, f64::max);
        let mut light = Self {
            middle,
            scale,
            slopes: [[0.0; 2]; 3],
            paper: [0.0; 3],
            design: [[0.0; 3]; 3],
            common: 0.0,
            apart: 0.0,
            bend: 0.0,
            bowl: [0.0; 3],
        };
        let mut sums = [[0.0; 3]; 3];
        for (at, _) in fields {
            let place = light.place(*at);
            for (row, left) in sums.iter_mut().zip(place) {
                for (sum, right) in row.iter_mut().zip(place) {
                    *sum += left * right;
                }
            }
        }
        light.design = inverse(&sums);
        let plane = |light: &Self, of: &dyn Fn(usize) -> f64| {
            let mut right = [0.0; 3];
            for (number, (at, _)) in fields.iter().enumerate() {
                for (sum, place) in right.iter_mut().zip(light.place(*at)) {
                    *sum += place * of(number);
                }
            }
            times(&light.design, right)
        };
        for channel in 0..3 {
            let [paper, u, v] = plane(&light, &|number| fields[number].1[channel]);
            light.paper[channel] = paper;
            light.slopes[channel] = [u, v];
        }
        light.bowl = plane(&light, &|number| light.round(fields[number].0));
        let (mut along, mut square) = (0.0, 0.0);
        for (at, x) in fields {
            let bowl = light.beside_plane(*at);
            along += bowl * light.off(*at, *x).iter().sum::<f64>() / 3.0;
            square += bowl * bowl;
        }
        light.bend = along / square;
        let (mut common, mut apart) = (0.0, 0.0);
        for (at, x) in fields {
            let off = light.off(*at, *x);
            let mean = off.iter().sum::<f64>() / 3.0;
            common += mean * mean;
            apart += off.iter().map(|one| (one - mean).powi(2)).sum::<f64>();
        }
        let count = fields.len() as f64;
        light.common = (common / (count - 3.0)).sqrt();
        light.apart = (apart / (2.0 * (count - 3.0))).sqrt();
        light
    }

    fn off(&self, at: PicturePoint, x: [f64; 3]) -> [f64; 3] {
        let there = self.there(at);
        [0, 1, 2].map(|channel| x[channel] - self.paper[channel] - there[channel])
    }
}

/// A patch of the card as the camera saw it, light taken out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PatchRead {
    /// Its grey.
    pub grey: Grey,
    /// The middle of its pixels' red, green and blue, 0 to 255, as they stand in the picture.
    pub codes: [f64; 3],
    /// Whether it counts: neither washed out nor drowned.
    pub counts: bool,
    pub(super) x: [f64; 3],
}

/// A spot as the camera saw it, light taken out.
#[derive(Debug, Clone)]
pub(super) struct SpotRead {
    x: [f64; 3],
    light: Matrix,
    blocks: Vec<[f64; 3]>,
    steps: [f64; 3],
}

/// A colour and the covariance of its L\*, a\*, b\* from greys, light and pixels.
#[derive(Debug, Clone, Copy)]
pub(super) struct Graded {
    pub(super) lab: Lab,
    pub(super) greys: Matrix,
    pub(super) light: Matrix,
    pub(super) pixels: Matrix,
}

impl Graded {
    /// Variances of L\*, a\* and b\*.
    pub(super) fn variances(&self) -> [f64; 3] {
        [0, 1, 2]
            .map(|axis| self.greys[axis][axis] + self.light[axis][axis] + self.pixels[axis][axis])
    }
}

/// The colour by way of the greys.
pub(super) fn graded(spot: &SpotRead, way: Way<'_>, space: RgbSpace) -> Graded {
    let matrix = space.matrix();
    let lab_of = |y: [f64; 3]| {
        let [x, y, z] = times(&matrix, y.map(f64::exp));
        Lab::of(Xyz::new(x, y, z))
    };
    let through = |x: [f64; 3]| [0, 1, 2].map(|channel| way.at(channel, x[channel]));
    let y = through(spot.x);
    let lab = lab_of(y);
    // What a thousandth more of one channel does to L*, a* and b*.
    const NUDGE: f64 = 1e-3;
    let by_channel = [0, 1, 2].map(|channel| {
        let mut nudged = y;
        nudged[channel] += NUDGE;
        let there = lab_of(nudged).values();
        [0, 1, 2].map(|axis| (there[axis] - lab.values()[axis]) / NUDGE)
    });
    let carried = |covariance: &Matrix| {
        [0, 1, 2].map(|row| {
            [0, 1, 2].map(|column| {
                let mut sum = 0.0;
                for (i, left) in by_channel.iter().enumerate() {
                    for (j, right) in by_channel.iter().enumerate() {
                        sum += left[row] * covariance[i][j] * right[column];
                    }
                }
                sum
            })
        })
    };
    let slopes = [0, 1, 2].map(|channel| way.slope(channel, spot.x[channel]));
    let sloped = |covariance: &Matrix| {
        [0, 1, 2].map(|row| {
            [0, 1, 2].map(|column| covariance[row][column] * slopes[row] * slopes[column])
        })
    };
    let steps = [0, 1, 2].map(|row| {
        [0, 1, 2].map(|column| if row == column { spot.steps[row].powi(2) } else { 0.0 })
    });
    let mut pixels = carried(&sloped(&steps));
    let blocks: Vec<[f64; 3]> = spot.blocks.iter().map(|x| lab_of(through(*x)).values()).collect();
    for (axis, row) in pixels.iter_mut().enumerate() {
        row[axis] += mean_variance(&blocks, axis);
    }
    Graded {
        lab,
        greys: carried(&way.covariance(spot.x)),
        light: carried(&sloped(&spot.light)),
        pixels,
    }
}

/// Variance of the median of so many blocks: π/2 times that of their mean.
fn mean_variance(blocks: &[[f64; 3]], axis: usize) -> f64 {
    let count = blocks.len() as f64;
    let mean = blocks.iter().map(|block| block[axis]).sum::<f64>() / count;
    let spread = blocks.iter().map(|block| (block[axis] - mean).powi(2)).sum::<f64>();
    std::f64::consts::FRAC_PI_2 * spread / (count - 1.0) / count
}

/// Half widths that hold nine times in ten.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Error {
    /// Of L\*.
    pub lightness: ColourDifference,
    /// Of a\*.
    pub a: ColourDifference,
    /// Of b\*.
    pub b: ColourDifference,
    /// What of it comes from greys that lie off the camera's curve; all parts over L\*, a\* and
    /// b\* together.
    pub from_greys: ColourDifference,
    /// From light that was taken out.
    pub from_light: ColourDifference,
    /// From the pixels: noise, steps of 8 bits, and how mottled the slab is.
    pub from_pixels: ColourDifference,
    /// From the camera's response to colour: an allowance, assumed or typed.
    pub from_camera: ColourDifference,
    /// From the printed greys: an allowance, assumed or typed.
    pub from_card: ColourDifference,
}

/// The colour of a spot.
#[derive(Debug, Clone)]
pub struct SpotColour {
    /// Where it was taken.
    pub spot: Spot,
    /// Its colour.
    pub lab: Lab,
    /// How far it may be off.
    pub error: Error,
    pub(super) read: SpotRead,
}

/// A picture that was read.
#[derive(Debug, Clone)]
pub struct Measured {
    /// The card's printed patches in the card's order.
    pub patches: Vec<PatchRead>,
    /// The middle of the paper's red, green and blue at the card's middle, 0 to 255.
    pub paper: [f64; 3],
    /// Brightest over darkest end of the card, less one.
    pub fall: Fraction,
    /// How far greys lie off the camera's curve, one standard deviation.
    pub off_curve: Fraction,
    /// Patches that fit the others badly and count for little.
    pub set_aside: Vec<usize>,
    /// The spots in the order in which they were asked for.
    pub spots: Vec<SpotColour>,
    pub(super) tone: Tone,
    pub(super) space: RgbSpace,
    pub(super) white: [f64; 3],
    lightness: CardLightness,
}

impl Measured {
    /// The same as if the camera had written its numbers in another space.
    pub(super) fn in_space(&self, space: RgbSpace) -> Result<Self, Refusal> {
        let to = |x: [f64; 3]| {
            space.linear(self.space.xyz(x.map(f64::exp))).map(|one| one.max(1e-6).ln())
        };
        let mut other = Self { space, white: to(self.white), ..self.clone() };
        for patch in &mut other.patches {
            patch.x = to(patch.x);
        }
        for spot in &mut other.spots {
            spot.read.x = to(spot.read.x);
            for block in &mut spot.read.blocks {
                *block = to(*block);
            }
        }
        other.tone =
            fit(&samples(&other.patches, other.white, |grey, _| is(&self.lightness, grey)))?;
        Ok(other)
    }
}

/// Colours of spots in a picture with the card.
///
/// # Errors
/// What of card or spots is not as it must be, and what would do.
pub fn measure(
    picture: &Picture<'_>,
    corners: &Corners,
    spots: &[Spot],
    lightness: &CardLightness,
    allowances: &Allowances,
) -> Result<Measured, Refusal> {
    look_at_corners(picture, corners)?;
    let laid = Laid::new(corners);
    let light = light_over(picture, &laid, corners)?;
    let patches = read_patches(picture, &laid, &light)?;
    let tone = fit(&samples(&patches, light.paper, |grey, _| is(lightness, grey)))?;
    if tone.common > MOST_OFF_CURVE || tone.apart > MOST_OFF_CURVE {
        return refuse(
            RefusalOf::Card,
            said!("colour-greys-that-fit", percent = whole(MOST_OFF_CURVE)),
            said!("colour-greys-off", percent = whole(tone.common.max(tone.apart))),
        );
    }
    let mut colours = Vec::with_capacity(spots.len());
    for (number, spot) in spots.iter().enumerate() {
        let read = read_spot(picture, &laid, &light, *spot, RefusalOf::Spot(number))?;
        within_card(&read, &tone, RefusalOf::Spot(number))?;
        let graded = graded(&read, Way { first: None, last: &tone }, picture.space);
        let error = error_of(&graded, allowances);
        colours.push(SpotColour { spot: *spot, lab: graded.lab, error, read });
    }
    let counted: Vec<usize> = (0..patches.len()).filter(|at| patches[*at].counts).collect();
    Ok(Measured {
        paper: light.paper.map(|x| super::encoded(x.exp()) * 255.0),
        fall: Fraction::new(fall_over(&light, corners) - 1.0),
        off_curve: Fraction::new(tone.common.hypot(tone.apart)),
        // The paper stands first among the samples.
        set_aside: tone
            .set_aside
            .iter()
            .filter_map(|at| at.checked_sub(1).and_then(|at| counted.get(at).copied()))
            .collect(),
        spots: colours,
        white: light.paper,
        lightness: *lightness,
        tone,
        space: picture.space,
        patches,
    })
}

/// Per cent, for a message.
fn whole(share: f64) -> crate::say::Argument {
    decimal(share * 100.0, 0)
}

/// What of red, green and blue a neutral grey of the card sends back, as logarithms.
fn is(lightness: &CardLightness, grey: Grey) -> [f64; 3] {
    let [_, share, _] = Lab::new(lightness.of(grey), 0.0, 0.0).xyz().values();
    [share.ln(); 3]
}

fn look_at_corners(picture: &Picture<'_>, corners: &Corners) -> Result<(), Refusal> {
    let of = RefusalOf::Card;
    let (width, height) = (f64::from(picture.width), f64::from(picture.height));
    for (number, corner) in corners.0.iter().enumerate() {
        let inside = (0.0..=width).contains(&corner.x) && (0.0..=height).contains(&corner.y);
        if !inside {
            return refuse(
                of,
                said!("colour-corners-inside", width = picture.width, height = picture.height),
                said!("colour-corner-at", number = number + 1, x = corner.x, y = corner.y),
            );
        }
    }
    let at = |number: usize| corners.0[number % 4];
    let turns = (0..4).all(|number| {
        let [from, over, to] = [at(number), at(number + 1), at(number + 2)];
        (over.x - from.x) * (to.y - over.y) - (over.y - from.y) * (to.x - over.x) > 0.0
    });
    if !turns {
        return refuse(of, said!("colour-corners-clockwise"), said!("colour-corners-cross"));
    }
    let sides = [0, 1, 2, 3].map(|number| at(number).to(at(number + 1)));
    let shortest = sides.iter().copied().fold(f64::INFINITY, f64::min);
    if shortest < LEAST_CARD {
        return refuse(
            of,
            said!("colour-larger-card", least = decimal(LEAST_CARD, 0)),
            said!("colour-so-many-pixels", count = decimal(shortest, 0)),
        );
    }
    let slant = |first: f64, second: f64| first.max(second) / first.min(second);
    let slant = slant(sides[0], sides[2]).max(slant(sides[1], sides[3]));
    if slant > MOST_SLANT {
        return refuse(
            of,
            said!("colour-from-above"),
            said!("colour-slanted", percent = whole(slant - 1.0)),
        );
    }
    Ok(())
}

fn light_over(picture: &Picture<'_>, laid: &Laid, corners: &Corners) -> Result<Light, Refusal> {
    let of = RefusalOf::Card;
    let mut fields = Vec::new();
    let mut dullest = f64::INFINITY;
    for border in card::borders() {
        let counted = together(&laid.quarters(picture, &border, 0.1));
        let [washed_out, _] = counted.clipped();
        if washed_out > MOST_CLIPPED {
            return refuse(
                of,
                said!("colour-less-exposure"),
                said!("colour-washed-out", percent = whole(washed_out)),
            );
        }
        let codes = counted.median();
        dullest = codes.iter().copied().fold(dullest, f64::min);
        fields.push((laid.middle(&border), codes.map(logarithm)));
    }
    if dullest < LEAST_WHITE {
        return refuse(
            of,
            said!("colour-more-light", least = decimal(LEAST_WHITE, 0)),
            said!("colour-of-255", value = decimal(dullest, 0)),
        );
    }
    let light = Light::of(laid, corners, &fields);
    let off = fields
        .iter()
        .flat_map(|(at, x)| light.off(*at, *x))
        .fold(0.0, |most: f64, off| most.max(off.abs()));
    if off > MOST_OFF_PLANE {
        return refuse(
            of,
            said!("colour-no-shadow-edge"),
            said!("colour-border-off", percent = whole(off.exp() - 1.0)),
        );
    }
    let fall = fall_over(&light, corners);
    if fall > MOST_FALL {
        return refuse(
            of,
            said!("colour-even-light", most = whole(MOST_FALL - 1.0)),
            said!("colour-falls-by", percent = whole(fall - 1.0)),
        );
    }
    Ok(light)
}

/// Brightest over darkest corner of the card.
fn fall_over(light: &Light, corners: &Corners) -> f64 {
    let there = corners.0.map(|corner| light.there(corner).iter().sum::<f64>() / 3.0);
    let most = there.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let least = there.iter().copied().fold(f64::INFINITY, f64::min);
    (most - least).exp()
}

fn read_patches(
    picture: &Picture<'_>,
    laid: &Laid,
    light: &Light,
) -> Result<Vec<PatchRead>, Refusal> {
    let of = RefusalOf::Card;
    let mut patches: Vec<PatchRead> = Vec::new();
    for (grey, place) in card::patches() {
        let quarters = laid.quarters(picture, &place, 0.2);
        let counted = together(&quarters);
        let codes = counted.median();
        let counts = counted.clipped().iter().all(|share| *share <= MOST_CLIPPED);
        if counts {
            let greens: Vec<f64> = quarters.iter().map(|quarter| quarter.median()[1]).collect();
            let most = greens.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let least = greens.iter().copied().fold(f64::INFINITY, f64::min);
            let uneven = logarithm(most) - logarithm(least);
            if uneven > MOST_UNEVEN && most - least > 6.0 {
                return refuse(
                    of,
                    said!("colour-even-patches"),
                    said!("colour-uneven-patch", grey = grey, percent = whole(uneven.exp() - 1.0)),
                );
            }
        }
        let there = light.there(laid.middle(&place));
        let x = codes.map(logarithm);
        let x = [0, 1, 2].map(|channel| x[channel] - there[channel]);
        patches.push(PatchRead { grey, codes, counts, x });
    }
    let mean = |x: [f64; 3]| x.iter().sum::<f64>() / 3.0;
    let mut before = (Grey::Paper, mean(light.paper));
    let mut levels = 1_u32;
    for grey in [Grey::Light, Grey::Middle, Grey::Dark, Grey::Black] {
        let twins: Vec<f64> = patches
            .iter()
            .filter(|patch| patch.grey == grey && patch.counts)
            .map(|patch| mean(patch.x))
            .collect();
        if twins.is_empty() {
            continue;
        }
        levels += 1;
        let level = twins.iter().sum::<f64>() / twins.len() as f64;
        if level > before.1 - 0.05 {
            return refuse(
                of,
                said!("colour-greys-in-order"),
                said!("colour-no-darker", grey = grey, before = before.0),
            );
        }
        before = (grey, level);
        // The black ones are next to nothing, and a step of the picture is much of it.
        if let [first, second] = twins[..]
            && (first - second).abs() > MOST_TWINS
            && grey != Grey::Black
        {
            return refuse(
                of,
                said!("colour-twins-alike"),
                said!(
                    "colour-twins-apart",
                    grey = grey,
                    percent = whole((first - second).abs().exp() - 1.0)
                ),
            );
        }
    }
    if levels < 3 {
        return refuse(
            of,
            said!("colour-three-greys"),
            said!("colour-so-many-greys", count = levels),
        );
    }
    Ok(patches)
}

/// The paper and every patch that counts, with what each is.
pub(super) fn samples(
    patches: &[PatchRead],
    paper: [f64; 3],
    is: impl Fn(Grey, usize) -> [f64; 3],
) -> Vec<Sample> {
    // The paper was read in twelve fields.
    let white = Sample { x: paper, y: is(Grey::Paper, 0), weight: 2.0 };
    let patches = patches.iter().enumerate().filter(|(_, patch)| patch.counts);
    std::iter::once(white)
        .chain(patches.map(|(at, patch)| Sample { x: patch.x, y: is(patch.grey, at), weight: 1.0 }))
        .collect()
}

pub(super) fn fit(samples: &[Sample]) -> Result<Tone, Refusal> {
    // With three greys a curve would pass through all of them, right or wrong.
    Tone::fit(samples, samples.len() > 5).map_or_else(
        || refuse(RefusalOf::Card, said!("colour-greys-in-order"), said!("colour-no-curve")),
        Ok,
    )
}

fn read_spot(
    picture: &Picture<'_>,
    laid: &Laid,
    light: &Light,
    spot: Spot,
    of: RefusalOf,
) -> Result<SpotRead, Refusal> {
    let right = u64::from(spot.left) + u64::from(spot.width);
    let bottom = u64::from(spot.top) + u64::from(spot.height);
    if right > u64::from(picture.width) || bottom > u64::from(picture.height) {
        return refuse(
            of,
            said!("colour-spot-inside", width = picture.width, height = picture.height),
            said!("colour-spot-reaches", right = right, bottom = bottom),
        );
    }
    if spot.width < LEAST_SPOT || spot.height < LEAST_SPOT {
        return refuse(
            of,
            said!("colour-larger-spot", least = LEAST_SPOT),
            said!("colour-spot-size", width = spot.width, height = spot.height),
        );
    }
    let place = |x: f64, y: f64| PicturePoint {
        x: f64::from(spot.left) + x * f64::from(spot.width),
        y: f64::from(spot.top) + y * f64::from(spot.height),
    };
    let grid = [0.0, 0.25, 0.5, 0.75, 1.0];
    if grid.iter().any(|x| grid.iter().any(|y| laid.holds(place(*x, *y)))) {
        return refuse(of, said!("colour-spot-beside"), said!("colour-spot-on-card"));
    }
    let mut all = Counted::none();
    let mut blocks = [(); 16].map(|()| Counted::none());
    for row in 0..spot.height {
        for column in 0..spot.width {
            let pixel = picture.at(spot.left + column, spot.top + row);
            all.count(pixel);
            let block = (row * 4 / spot.height) * 4 + column * 4 / spot.width;
            blocks[block as usize].count(pixel);
        }
    }
    let [washed_out, drowned] = all.clipped();
    if washed_out > MOST_CLIPPED {
        return refuse(
            of,
            said!("colour-spot-without-glare"),
            said!("colour-washed-out", percent = whole(washed_out)),
        );
    }
    if drowned > MOST_CLIPPED {
        return refuse(
            of,
            said!("colour-spot-in-light"),
            said!("colour-drowned", percent = whole(drowned)),
        );
    }
    let middle = place(0.5, 0.5);
    let there = light.there(middle);
    let correction = (there.iter().sum::<f64>() / 3.0).abs().exp();
    if correction > MOST_CORRECTION {
        return refuse(
            of,
            said!("colour-spot-near", most = whole(MOST_CORRECTION - 1.0)),
            said!("colour-falls-by", percent = whole(correction - 1.0)),
        );
    }
    let codes = all.median();
    let less = |x: [f64; 3], there: [f64; 3]| [0, 1, 2].map(|channel| x[channel] - there[channel]);
    let blocks = blocks
        .iter()
        .enumerate()
        .map(|(at, block)| {
            let [x, y] = [at % 4, at / 4].map(|at| (at as f64 + 0.5) / 4.0);
            less(block.median().map(logarithm), light.there(place(x, y)))
        })
        .collect();
    Ok(SpotRead {
        x: less(codes.map(logarithm), there),
        light: light.covariance(middle),
        blocks,
        steps: codes.map(|code| STEP * (logarithm(code + 0.5) - logarithm(code - 0.5))),
    })
}

/// Whether the greys reach as far as the spot.
pub(super) fn within_card(read: &SpotRead, tone: &Tone, of: RefusalOf) -> Result<(), Refusal> {
    let [darkest, lightest] = tone.range;
    let y = median(&[0, 1, 2].map(|channel| tone.at(channel, read.x[channel])));
    let end = |x: f64| median(&[0, 1, 2].map(|channel| tone.at(channel, x)));
    if y > end(lightest) + MOST_ABOVE_PAPER.ln() {
        return refuse(
            of,
            said!("colour-spot-not-brighter"),
            said!("colour-times-paper", times = decimal((y - end(lightest)).exp(), 2)),
        );
    }
    if y < end(darkest) + LEAST_OF_BLACK.ln() {
        return refuse(
            of,
            said!("colour-spot-not-darker"),
            said!("colour-times-darkest", times = decimal((y - end(darkest)).exp(), 2)),
        );
    }
    Ok(())
}

fn error_of(graded: &Graded, allowances: &Allowances) -> Error {
    let variances = graded.variances();
    let camera = allowances.of_camera(graded.lab);
    let card = allowances.card.delta_e();
    let [lightness, a, b] = [0, 1, 2].map(|axis| {
        let read = NINE_IN_TEN * NINE_IN_TEN * variances[axis];
        ColourDifference::new((read + camera[axis].powi(2) + card * card).sqrt())
    });
    let part = |of: &Matrix| {
        let trace: f64 = (0..3).map(|axis| of[axis][axis]).sum();
        ColourDifference::new(NINE_IN_TEN * trace.sqrt())
    };
    let norm =
        |of: [f64; 3]| ColourDifference::new(of.iter().map(|one| one * one).sum::<f64>().sqrt());
    Error {
        lightness,
        a,
        b,
        from_greys: part(&graded.greys),
        from_light: part(&graded.light),
        from_pixels: part(&graded.pixels),
        from_camera: norm(camera),
        from_card: norm([card; 3]),
    }
}
