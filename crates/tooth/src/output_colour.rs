//! What `colour --json` prints.

use schemars::JsonSchema;
use serde::Serialize;
use tooth_measure::Fraction;
use tooth_measure::colour::card::Grey;
use tooth_measure::colour::{
    ColourDifference, Compared, Error, Lab, Likeness, Measured, RgbSpace, Spot,
};

use crate::app::{Coloured, Shot};

/// What `colour` says of a picture. Colours are CIE L\*a\*b\* under D65 and the 2° observer.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct ColourOut {
    /// The picture.
    pub(crate) picture: PictureOut,
    /// The reference that it was held against; null without one.
    pub(crate) against: Option<PictureOut>,
    /// Every spot against the mean of the reference's spots, and the mean of all spots last
    /// where there are several; empty without a reference.
    pub(crate) compared: Vec<ComparedOut>,
    /// What was assumed or typed.
    pub(crate) settings: SettingsOut,
}

/// A picture that was read.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct PictureOut {
    /// Its name.
    pub(crate) file: String,
    /// Width in pixels, as it is shown.
    pub(crate) width: u32,
    /// Height in pixels, as it is shown.
    pub(crate) height: u32,
    /// The space in which its numbers are meant.
    pub(crate) space: RgbSpace,
    /// Whether the file says so; else sRGB is taken for granted.
    pub(crate) space_is_stated: bool,
    /// The card in it.
    pub(crate) card: CardOut,
    /// Its spots in the order in which they were asked for.
    pub(crate) spots: Vec<SpotOut>,
}

/// The card in a picture.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct CardOut {
    /// Red, green and blue of the paper at the card's middle, 0 to 255, as in the picture.
    pub(crate) paper: [f64; 3],
    /// How much more light its brightest corner has than its darkest, as a share.
    pub(crate) light_falls_by: Fraction,
    /// How far greys lie off the camera's curve, one standard deviation, as a share.
    pub(crate) greys_off_curve: Fraction,
    /// The printed patches, row by row.
    pub(crate) patches: Vec<PatchOut>,
}

/// A patch of the card.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct PatchOut {
    /// Its grey.
    pub(crate) grey: Grey,
    /// Red, green and blue, 0 to 255, as in the picture.
    pub(crate) codes: [f64; 3],
    /// Whether it counts: neither washed out nor drowned.
    pub(crate) counts: bool,
    /// Whether it fits the others badly and counts for little.
    pub(crate) set_aside: bool,
}

/// The colour of a spot.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub(crate) struct SpotOut {
    /// Where it was taken.
    pub(crate) spot: Spot,
    /// Its colour.
    pub(crate) lab: Lab,
    /// Half the width of bounds that hold nine times in ten.
    pub(crate) error: Error,
}

/// A spot against the reference.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub(crate) struct ComparedOut {
    /// The spot; null for the mean of all.
    pub(crate) spot: Option<Spot>,
    /// The reference: the mean of its spots.
    pub(crate) reference: Lab,
    /// The colour as it would stand in the reference's picture.
    pub(crate) lab: Lab,
    /// ΔE2000 between the two.
    pub(crate) delta_e_2000: ColourDifference,
    /// Half the width of bounds that hold nine times in ten.
    pub(crate) error: ColourDifference,
    /// The least that it may be.
    pub(crate) least: ColourDifference,
    /// The most that it may be.
    pub(crate) most: ColourDifference,
    /// Whether that is the same colour within the tolerance.
    pub(crate) answer: Likeness,
}

/// What was assumed or typed.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct SettingsOut {
    /// The difference up to which colours count as the same.
    pub(crate) tolerance: ColourDifference,
    /// L\* of the printed greys, the paper's first.
    pub(crate) card_lightness: [f64; 5],
    /// How far printed greys may lie from it, in L\*, a\* and b\* each.
    pub(crate) card_allowance: ColourDifference,
    /// How far the camera's colours may be off, in L\*, a\* and b\* each.
    pub(crate) camera_allowance: ColourDifference,
    /// The same as a share of chroma, in a\* and b\*.
    pub(crate) camera_allowance_of_chroma: Fraction,
    /// By how much pictures of one camera, card and light may still differ.
    pub(crate) picture_allowance: ColourDifference,
    /// Whether both pictures come from one camera.
    pub(crate) one_camera: bool,
    /// Which of these nobody typed: assumptions.
    pub(crate) assumed: Vec<&'static str>,
}

impl From<&Coloured> for ColourOut {
    fn from(coloured: &Coloured) -> Self {
        let input = &coloured.input;
        let spot_of = |number: usize| coloured.measured.spots.get(number).map(|spot| spot.spot);
        let compared = coloured.compared.iter().enumerate().map(|(number, of)| {
            let Compared { reference, lab, delta_e_2000, error, least, most, answer } = *of;
            let spot = spot_of(number);
            ComparedOut { spot, reference, lab, delta_e_2000, error, least, most, answer }
        });
        Self {
            picture: picture(&coloured.shot, &coloured.measured),
            against: coloured.reference.as_ref().map(|(shot, measured)| picture(shot, measured)),
            compared: compared.collect(),
            settings: SettingsOut {
                tolerance: input.tolerance,
                card_lightness: input.lightness.all(),
                card_allowance: input.allowances.card,
                camera_allowance: input.allowances.camera,
                camera_allowance_of_chroma: input.allowances.camera_of_chroma,
                picture_allowance: input.allowances.pictures,
                one_camera: input.one_camera,
                assumed: input.assumed.clone(),
            },
        }
    }
}

fn picture(shot: &Shot, measured: &Measured) -> PictureOut {
    let tidy = |codes: [f64; 3]| codes.map(|code| (code * 100.0).round() / 100.0);
    let patches = measured.patches.iter().enumerate().map(|(at, patch)| PatchOut {
        grey: patch.grey,
        codes: tidy(patch.codes),
        counts: patch.counts,
        set_aside: measured.set_aside.contains(&at),
    });
    PictureOut {
        file: shot.name.clone(),
        width: shot.size[0],
        height: shot.size[1],
        space: shot.space,
        space_is_stated: shot.space_is_stated,
        card: CardOut {
            paper: tidy(measured.paper),
            light_falls_by: measured.fall,
            greys_off_curve: measured.off_curve,
            patches: patches.collect(),
        },
        spots: measured
            .spots
            .iter()
            .map(|spot| SpotOut { spot: spot.spot, lab: spot.lab, error: spot.error })
            .collect(),
    }
}
