//! What scans of a surface say, in words.

use tooth_job::survey::ChipCalibration;
use tooth_measure::Length;
use tooth_measure::say::{Argument, Said, both, decimal, fine, own, said};
use tooth_texture::Texture;
use tooth_texture::calibration::Level;

/// What is known of a level.
#[must_use]
pub fn level(level: &Level) -> Said {
    match level {
        Level::Graded(grade) => {
            let [least, most] = grade.shortest_90;
            let set = if least == most {
                Argument::from(least)
            } else {
                said!("levels-to", least = least.chip(), most = most.chip()).into()
            };
            said!("level-graded", set = set, likeliest = grade.likeliest())
        }
        Level::NotCalibrated => said!("level-not-calibrated"),
        Level::NotGradable(why, _) => said!("level-not-gradable", why = why),
    }
}

/// What a calibration rests on.
#[must_use]
pub fn chips(chips: &ChipCalibration) -> Said {
    let concrete = match chips.rated_surfaces {
        0 => said!("no-rated-surface"),
        count => said!("rated-surfaces", count = count),
    };
    said!(
        "chips-and-check",
        chips = chips.chips.len(),
        placements = chips.placements,
        concrete = concrete,
        right = decimal(chips.check.right.percent(), 0),
        near = decimal(chips.check.within_one.percent(), 0)
    )
}

/// The figures that people compare: name and value.
#[must_use]
pub fn figures(texture: &Texture) -> Vec<(Said, Said)> {
    let show = |length: Length| both(fine(length));
    let value = |length: Length| said!("value", of = show(length));
    let mut told = Vec::new();
    if let Some(depth) = texture.mean_texture_depth {
        told.push((said!("figure-texture-depth"), value(depth)));
    }
    if let Some(depth) = texture.lines.profile_depth {
        told.push((said!("figure-profile-depth"), value(depth.mean)));
    }
    if let Some(fields) = &texture.fields {
        let of = &fields.readings;
        told.push((
            said!("figure-peak-to-valley"),
            said!(
                "mean-of-fields",
                mean = show(of.mean()),
                count = of.count(),
                least = own(fine(of.least())),
                greatest = own(fine(of.greatest()))
            ),
        ));
    }
    told.push((said!("figure-sa"), value(texture.areal.mean_height)));
    told.push((said!("figure-sq"), value(texture.areal.root_mean_square_height)));
    told.push((said!("figure-sz"), value(texture.areal.greatest_height)));
    if let Some(gradient) = texture.areal.root_mean_square_gradient {
        told.push((said!("figure-sdq"), said!("value", of = decimal(gradient, 3))));
    }
    if let Some(correlation) = texture.correlation {
        let aspect = correlation.aspect.ratio();
        let lay = if aspect < 0.3 { said!("with-a-lay") } else { Said::nothing() };
        told.push((
            said!("figure-sal-str"),
            said!(
                "length-and-aspect",
                length = show(correlation.shortest),
                aspect = decimal(aspect, 2),
                lay = lay
            ),
        ));
    }
    told
}
