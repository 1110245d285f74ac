//! Made pictures of the card on a slab, with colours that are known. All are made, none taken.
//!
//! A lamp at a height over the slab (light falls with the square of the distance and the cosine
//! of its angle), tinted light, exposure, veiling light, a camera whose channels see a little
//! of each other, its curve, noise of light and of the sensor, steps of 8 bits; a printer that
//! misses its greys; a mottled slab.

use super::card::{self, CardLightness, Grey, Rectangle};
use super::{Corners, Lab, Picture, PicturePoint, RgbSpace, Spot, encoded, inverse, times};
use crate::chance::{Seed, Stream};

/// A scene and the camera that looks at it.
#[derive(Debug, Clone)]
pub struct Scene {
    /// Width and height in pixels.
    pub size: [u32; 2],
    /// Where the tips of the card's corner angles lie.
    pub corners: Corners,
    /// Colours on the slab, each all over its rectangle.
    pub spots: Vec<(Spot, Lab)>,
    /// The rest of the slab.
    pub slab: Lab,
    /// What the printer made of the greys, and what tints it gave them: added to a\* and b\*.
    pub printed: CardLightness,
    /// a\* and b\* of the paper, light, middle, dark and black.
    pub print_tints: [[f64; 2]; 5],
    /// Red, green and blue of the light, 1 for white.
    pub light: [f64; 3],
    /// Where the lamp is over the picture, in pixels, and how high; none for even light.
    pub lamp: Option<[f64; 3]>,
    /// Exposure: 1 brings a perfect white to the end of the scale.
    pub exposure: f64,
    /// Light that strays into every pixel, as a share of the perfect white.
    pub veil: f64,
    /// What each channel sees of the two others.
    pub crosstalk: [[f64; 3]; 3],
    /// The camera's curve: a power over the linear value, and how much of an S it is.
    pub power: f64,
    /// 0 for none, 1 for a full smooth step.
    pub contrast: f64,
    /// Standard deviation of noise at the perfect white, as a share of it.
    pub noise: f64,
    /// Standard deviation of how mottled the slab is, in L\*.
    pub mottled: f64,
    /// The space in which the camera writes its numbers.
    pub space: RgbSpace,
    /// The seed of all chance.
    pub seed: Seed,
}

impl Scene {
    /// A card of 360 by 225 pixels, seen from straight above in even white light by a camera
    /// without faults, and one spot of a colour beside it.
    #[must_use]
    pub fn plain(spot: Lab) -> Self {
        let corner = PicturePoint::from_pixels;
        Self {
            size: [490, 265],
            corners: Corners([
                corner(20.0, 20.0),
                corner(380.0, 20.0),
                corner(380.0, 245.0),
                corner(20.0, 245.0),
            ]),
            spots: vec![(Spot { left: 415, top: 100, width: 60, height: 60 }, spot)],
            slab: Lab::new(60.0, 1.0, 6.0),
            printed: CardLightness::ASSUMED,
            print_tints: [[0.0; 2]; 5],
            light: [1.0; 3],
            lamp: None,
            exposure: 0.9,
            veil: 0.0,
            crosstalk: [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
            power: 1.0,
            contrast: 0.0,
            noise: 0.0,
            mottled: 0.0,
            space: RgbSpace::Srgb,
            seed: Seed(1),
        }
    }

    /// The pixels of the picture, three bytes each.
    #[must_use]
    pub fn pixels(&self) -> Vec<u8> {
        let to_card = inverse(&super::picture::laid(&self.corners));
        let [width, height] = self.size;
        let to_linear = inverse(&self.space.matrix());
        // As the camera's channels see a colour under white light.
        let seen = |lab: Lab| {
            let linear = times(&to_linear, lab.xyz().values());
            times(&self.crosstalk, linear.map(|linear| linear.max(0.0)))
        };
        let mut bytes = Vec::with_capacity(width as usize * height as usize * 3);
        let paints =
            [Grey::Paper, Grey::Light, Grey::Middle, Grey::Dark, Grey::Black].map(|grey| {
                let [a, b] = self.print_tints[grey as usize];
                seen(Lab::new(self.printed.of(grey), a, b))
            });
        for row in 0..height {
            let mut chance = Stream::new(self.seed, u64::from(row));
            for column in 0..width {
                let at = [f64::from(column) + 0.5, f64::from(row) + 0.5];
                let [x, y, w] = times(&to_card, [at[0], at[1], 1.0]);
                let paint = match self.printed_at(x / w, y / w) {
                    Some(grey) => paints[grey as usize],
                    None => {
                        let on = self.spots.iter().find(|(spot, _)| {
                            let [x, y] = [column.checked_sub(spot.left), row.checked_sub(spot.top)];
                            x.is_some_and(|x| x < spot.width) && y.is_some_and(|y| y < spot.height)
                        });
                        let lab = on.map_or(self.slab, |(_, lab)| *lab);
                        let mottled = self.mottled * normal(&mut chance);
                        seen(lab.shifted([mottled, 0.0, 0.0]))
                    }
                };
                let fall = self.fall(at);
                bytes.extend([0, 1, 2].map(|channel| {
                    let linear =
                        (paint[channel] * fall + self.veil) * self.light[channel] * self.exposure;
                    let noise = self.noise * (0.2 + linear.max(0.0)).sqrt() * normal(&mut chance);
                    self.code(linear + noise)
                }));
            }
        }
        bytes
    }

    /// The picture over its pixels; `None` where they are another scene's.
    #[must_use]
    pub fn picture<'a>(&self, pixels: &'a [u8]) -> Option<Picture<'a>> {
        Picture::new(self.size[0], self.size[1], pixels, self.space)
    }

    fn fall(&self, [x, y]: [f64; 2]) -> f64 {
        let Some([over_x, over_y, high]) = self.lamp else { return 1.0 };
        let beside = ((x - over_x).powi(2) + (y - over_y).powi(2)) / (high * high);
        (1.0 + beside).powf(-1.5)
    }

    fn code(&self, linear: f64) -> u8 {
        let plain = encoded(linear.clamp(0.0, 1.0).powf(self.power));
        let smooth = plain * plain * (3.0 - 2.0 * plain);
        ((plain + self.contrast * (smooth - plain)) * 255.0).round().clamp(0.0, 255.0) as u8
    }

    fn printed_at(&self, x: f64, y: f64) -> Option<Grey> {
        let (width, height) = (card::WIDTH.millimetres(), card::HEIGHT.millimetres());
        let beyond = card::CUT.millimetres();
        let on_sheet =
            (-beyond..width + beyond).contains(&x) && (-beyond..height + beyond).contains(&y);
        if !on_sheet {
            return None;
        }
        let within = |of: &Rectangle| {
            let [left, top] = [of.left.millimetres(), of.top.millimetres()];
            (left..left + of.width.millimetres()).contains(&x)
                && (top..top + of.height.millimetres()).contains(&y)
        };
        if let Some((grey, _)) = card::patches().iter().find(|(_, place)| within(place)) {
            return Some(*grey);
        }
        let (arm, thick) = (card::ANGLE_ARM.millimetres(), card::ANGLE_THICKNESS.millimetres());
        let [from_x, from_y] = [x.min(width - x), y.min(height - y)];
        let on_angle = from_x >= 0.0
            && from_y >= 0.0
            && (from_x < thick && from_y < arm || from_y < thick && from_x < arm);
        Some(if on_angle { Grey::Black } else { Grey::Paper })
    }
}

fn normal(chance: &mut Stream) -> f64 {
    let (radius, turn) = (chance.uniform(), chance.uniform());
    (-2.0 * radius.ln()).sqrt() * (std::f64::consts::TAU * turn).cos()
}
