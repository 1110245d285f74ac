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

/// What a zone needs.
pub(super) fn of_zone(
    survey: &Survey,
    zone: &Zone,
    net: &Region,
    features: &[&Feature],
) -> Vec<Fill> {
    if let Some(fall) = to_the_drain(survey, zone) {
        return vec![fall];
    }
    features.iter().filter_map(|feature| low_spot(survey, net, feature)).collect()
}

fn low_spot(survey: &Survey, net: &Region, feature: &Feature) -> Option<Fill> {
    let (Seen::LowSpot { depth }, Place::Patch(outline)) = (&feature.seen, &feature.place) else {
        return None;
    };
    let mut depths: Vec<(Point, Length)> = survey
        .readings
        .iter()
        .filter(|reading| reading.subject.as_ref() == Some(&feature.id))
        .filter_map(|reading| match (reading.measured, reading.place) {
            (Measured::StraightedgeDepth(depth), Some(place)) => Some((place, depth)),
            _ => None,
        })
        .collect();
    if depths.is_empty() {
        let area = outline.region().intersection(net).area();
        return Some(Fill { area, volume: area * *depth * 0.5, basis: FillBasis::Dish });
    }
    // The rim is level with the straightedge.
    depths.extend(outline.corners().into_iter().map(|corner| (corner, Length::ZERO)));
    let terrain = Terrain::new(&depths)?;
    let area = outline.region().intersection(net).area();
    Some(Fill { area, volume: terrain.volume(), basis: FillBasis::Straightedge })
}

/// Up to the wanted fall, from the height at the drain.
fn to_the_drain(survey: &Survey, zone: &Zone) -> Option<Fill> {
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
    let (area, volume) =
        terrain.fill_to(|place| lowest + place.distance(drain) * drainage.fall.ratio());
    (volume > Volume::ZERO).then_some(Fill { area, volume, basis: FillBasis::Fall })
}
