//! The finished floor against the panel: two pictures with the same print of the card.
//!
//! The greys of one picture are fitted against those of the other, as they were read there, and
//! so its colours come out as they would stand in the other picture: what the printer made of
//! the greys falls out, and so does what one camera makes of every picture alike.

use schemars::JsonSchema;
use serde::Serialize;

use super::camera::Way;
use super::card::Grey;
use super::picture::{
    Allowances, Graded, Measured, Refusal, RefusalOf, fit, graded, samples, within_card,
};
use super::{ColourDifference, Lab};
use crate::choice::choices;
use crate::say::{decimal, said};
use crate::statistics::NINE_IN_TEN;

choices! {
    /// Whether two colours are the same within a tolerance.
    Likeness {
        /// The difference is within the tolerance, error and all.
        Same = "same";
        /// The error reaches over the tolerance.
        NotSurely = "not_surely";
        /// The difference is beyond the tolerance, error and all.
        Different = "different";
    }
}

/// Greys of the two pictures off one another: more is another card, or another light on it.
const MOST_OFF: f64 = 0.12;

/// A colour against the reference.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Compared {
    /// The reference: the mean of its spots.
    pub reference: Lab,
    /// The colour as it would stand in the reference's picture.
    pub lab: Lab,
    /// ΔE2000 between the two.
    pub delta_e_2000: ColourDifference,
    /// Half the width of bounds that hold nine times in ten.
    pub error: ColourDifference,
    /// The least that it may be.
    pub least: ColourDifference,
    /// The most that it may be.
    pub most: ColourDifference,
    /// Whether that is the same colour.
    pub answer: Likeness,
}

/// Every spot of a picture against the mean of the reference's spots; the last of them is the
/// mean of all spots, where there are several.
///
/// `one_camera`: whether both pictures come from one camera. Else what is allowed for cameras
/// counts for both in full.
///
/// # Errors
/// Where the greys of the two pictures do not fit each other: another card, or other light.
pub fn compare(
    measured: &Measured,
    reference: &Measured,
    allowances: &Allowances,
    tolerance: ColourDifference,
    one_camera: bool,
) -> Result<Vec<Compared>, Refusal> {
    let converted;
    let reference = if reference.space == measured.space {
        reference
    } else {
        converted = reference.in_space(measured.space)?;
        &converted
    };
    let mut patches = measured.patches.clone();
    for (patch, other) in patches.iter_mut().zip(&reference.patches) {
        patch.counts &= other.counts;
    }
    if patches.iter().filter(|patch| patch.counts).count() < 4 {
        return Err(Refusal {
            of: RefusalOf::Card,
            expected: Box::new(said!("colour-greys-in-both")),
            found: Box::new(said!("colour-too-few-in-both")),
        });
    }
    // The card may lie turned half round; its twins hardly differ, and which is which falls out.
    let tone = fit(&samples(&patches, measured.white, |grey, at| match grey {
        Grey::Paper => reference.white,
        _ => reference.patches[at].x,
    }))?;
    if tone.common > MOST_OFF || tone.apart > MOST_OFF {
        return Err(Refusal {
            of: RefusalOf::Card,
            expected: Box::new(said!("colour-the-same-card")),
            found: Box::new(said!(
                "colour-greys-off",
                percent = decimal(tone.common.max(tone.apart) * 100.0, 0)
            )),
        });
    }
    let through = Way { first: Some(&tone), last: &reference.tone };
    let mut graded_spots = Vec::with_capacity(measured.spots.len());
    for (number, spot) in measured.spots.iter().enumerate() {
        within_card(&spot.read, &tone, RefusalOf::Spot(number))?;
        graded_spots.push(graded(&spot.read, through, measured.space));
    }
    let mut own: Vec<(Lab, [f64; 3])> =
        graded_spots.iter().map(|spot| (spot.lab, spot.variances())).collect();
    if own.len() > 1 {
        own.push(mean_of(&graded_spots));
    }
    // Its curve is what both are measured by, and no error between them.
    let others: Vec<Graded> = reference
        .spots
        .iter()
        .map(|spot| {
            let own = Way { first: None, last: &reference.tone };
            Graded { greys: [[0.0; 3]; 3], ..graded(&spot.read, own, reference.space) }
        })
        .collect();
    let (panel, panel_variances) = mean_of(&others);
    Ok(own
        .into_iter()
        .map(|(lab, variances)| {
            let difference = lab.delta_e_2000(panel);
            // The error in the measure's own units: L*, a* and b* each moved by theirs.
            let moved = |by: [f64; 3]| lab.delta_e_2000(lab.shifted(by)).delta_e().powi(2);
            let along = |of: [f64; 3]| {
                moved([of[0], 0.0, 0.0]) + moved([0.0, of[1], 0.0]) + moved([0.0, 0.0, of[2]])
            };
            let read = along(
                [0, 1, 2]
                    .map(|axis| NINE_IN_TEN * (variances[axis] + panel_variances[axis]).sqrt()),
            );
            let cameras = if one_camera {
                (allowances.camera_of_chroma.ratio() * difference.delta_e()).powi(2)
            } else {
                along(allowances.of_camera(lab)) + along(allowances.of_camera(panel))
            };
            let error = (read + cameras + allowances.pictures.delta_e().powi(2)).sqrt();
            let least = (difference.delta_e() - error).max(0.0);
            let most = difference.delta_e() + error;
            let answer = if most <= tolerance.delta_e() {
                Likeness::Same
            } else if least > tolerance.delta_e() {
                Likeness::Different
            } else {
                Likeness::NotSurely
            };
            Compared {
                reference: panel,
                lab,
                delta_e_2000: difference,
                error: ColourDifference::new(error),
                least: ColourDifference::new(least),
                most: ColourDifference::new(most),
                answer,
            }
        })
        .collect())
}

/// The mean of spots and its variances: greys and light err alike on all of them, pixels each
/// by itself, and what spots differ by is the slab's own.
fn mean_of(spots: &[Graded]) -> (Lab, [f64; 3]) {
    let count = spots.len().max(1) as f64;
    let mean =
        [0, 1, 2].map(|axis| spots.iter().map(|spot| spot.lab.values()[axis]).sum::<f64>() / count);
    let variances = [0, 1, 2].map(|axis| {
        let sum = |of: &dyn Fn(&Graded) -> f64| spots.iter().map(of).sum::<f64>() / count;
        let shared = sum(&|spot| spot.greys[axis][axis] + spot.light[axis][axis]);
        let pixels = sum(&|spot| spot.pixels[axis][axis]) / count;
        let apart = sum(&|spot| (spot.lab.values()[axis] - mean[axis]).powi(2));
        let apart = if spots.len() > 1 { apart / (count - 1.0) } else { 0.0 };
        shared + pixels.max(apart / count)
    });
    (Lab::new(mean[0], mean[1], mean[2]), variances)
}
