//! What must be filled: low spots by depths below a straightedge, and falls to a drain by
//! heights. Both over triangles between the measured points; a low spot of which only the
//! deepest is known counts as a shallow dish (half of area × depth).

use tooth_measure::terrain::Terrain;
use tooth_measure::{Area, Length, Point, Region, Volume};

use crate::choice::choices;
use crate::survey::{Feature, Measured, Place, Seen, Survey, Zone};

choices! {
    /// How a fill was worked out.
    FillBasis {
        /// From the deepest place alone.
        Dish = "dish", "a shallow dish: half of area × deepest";
        /// From depths below a straightedge.
        Straightedge = "straightedge", "triangles between depths below a straightedge and the rim";
        /// From heights and the wanted fall to the drain.
        Fall = "fall", "triangles between heights, up to the wanted fall to the drain";
    }
}

/// Something to fill.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fill {
    /// Where anything is filled.
    pub area: Area,
    /// How much.
    pub volume: Volume,
    /// From what.
    pub basis: FillBasis,
}

/// What a zone needs, and what of it has no heights though it must fall.
pub(super) fn of_zone(
    survey: &Survey,
    zone: &Zone,
    net: &Region,
    features: &[&Feature],
) -> (Vec<Fill>, Area) {
    if let Some((fall, without)) = to_the_drain(survey, zone, net) {
        return (fall.into_iter().collect(), without);
    }
    let spots = features.iter().filter_map(|feature| low_spot(survey, net, feature));
    (spots.collect(), Area::ZERO)
}

fn low_spot(survey: &Survey, net: &Region, feature: &Feature) -> Option<Fill> {
    let (Seen::LowSpot { depth }, Place::Patch(outline)) = (&feature.seen, &feature.place) else {
        return None;
    };
    // Of a spot in two zones each fills its own part, round obstacles.
    let here = outline.region().intersection(net);
    let area = here.area();
    if area <= Area::ZERO {
        return None;
    }
    let mut depths: Vec<(Point, Length)> = survey
        .readings_about(feature)
        .filter_map(|reading| match (reading.measured, reading.place) {
            (Measured::StraightedgeDepth(depth), Some(place)) => Some((place, depth * -1.0)),
            _ => None,
        })
        .collect();
    if depths.is_empty() {
        return Some(Fill { area, volume: area * *depth * 0.5, basis: FillBasis::Dish });
    }
    // The rim is level with the straightedge.
    depths.extend(outline.corners().into_iter().map(|corner| (corner, Length::ZERO)));
    let (_, volume) = Terrain::new(&depths)?.fill_to(&here, |_| Length::ZERO);
    Some(Fill { area, volume, basis: FillBasis::Straightedge })
}

/// Up to the wanted fall, from the height at the drain, and what of the zone lies outside all
/// triangles between heights. None where nothing must fall, or nobody has measured.
fn to_the_drain(survey: &Survey, zone: &Zone, net: &Region) -> Option<(Option<Fill>, Area)> {
    let drainage = survey.facts.drainage.iter().find(|drainage| drainage.zone == zone.id)?;
    let drain = survey.features.iter().find(|feature| feature.id == drainage.drain)?;
    let drain = drain.place.label_place();
    let heights: Vec<(Point, Length)> = survey
        .readings_of(zone)
        .filter_map(|reading| match (reading.measured, reading.place) {
            (Measured::Elevation(height), Some(place)) => Some((place, height)),
            _ => None,
        })
        .collect();
    let nearest = heights
        .iter()
        .min_by(|a, b| a.0.distance(drain).metres().total_cmp(&b.0.distance(drain).metres()))?;
    let lowest = nearest.1 - nearest.0.distance(drain) * drainage.fall.ratio();
    let terrain = Terrain::new(&heights)?;
    let wanted = |place: Point| lowest + place.distance(drain) * drainage.fall.ratio();
    let (area, volume) = terrain.fill_to(net, wanted);
    let without = net.difference(&terrain.region()).area();
    let fall = Fill { area, volume, basis: FillBasis::Fall };
    Some(((volume > Volume::ZERO).then_some(fall), without))
}
