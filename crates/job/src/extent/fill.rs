//! What must be filled: low spots by depths below a straightedge, and falls to a drain by
//! heights. Both over triangles between the measured points; a low spot of which only the
//! deepest is known counts as a shallow dish (half of area × depth).

use tooth_measure::choice::choices;
use tooth_measure::terrain::Terrain;
use tooth_measure::{Area, Length, Point, Quantity as _, Region, Volume};

use crate::survey::{Feature, Limits, Measured, Place, Seen, SurfaceState, Survey, System, Zone};

choices! {
    /// How a fill was worked out.
    FillBasis {
        /// From the deepest place alone.
        Dish = "dish";
        /// From depths below a straightedge.
        Straightedge = "straightedge";
        /// From heights and the wanted fall to the drain.
        Fall = "fall";
        /// From the depth that has scaled off, where the surface is made anew.
        Scaling = "scaling";
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

choices! {
    /// Class of scaling by the depth of mortar lost.
    ScalingClass {
        /// Coarse aggregate hardly shows.
        Light = "light";
        /// Coarse aggregate shows.
        Medium = "medium";
        /// Coarse aggregate stands out.
        Severe = "severe";
        /// Coarse aggregate is lost.
        VerySevere = "very_severe";
    }
}

impl ScalingClass {
    /// Of a depth lost.
    #[must_use]
    pub fn of(depth: Length, limits: &Limits) -> Self {
        match depth {
            d if d < limits.light_scaling.value => Self::Light,
            d if !d.exceeds(limits.medium_scaling.value) => Self::Medium,
            d if !d.exceeds(limits.severe_scaling.value) => Self::Severe,
            _ => Self::VerySevere,
        }
    }

    /// Whether the surface is made anew before the system goes on: it does not fill what is lost.
    /// From medium on, the loss stays to be seen and felt under a thin system.
    #[must_use]
    pub fn is_resurfaced(self, depth: Length, system: &System) -> bool {
        match self {
            Self::Light => false,
            Self::Medium => system.is_thin(),
            Self::Severe => system.thickness <= QUARTER_INCH.max(depth),
            Self::VerySevere => true,
        }
    }
}

/// From here on an overlay fills what severe scaling has taken (decision table of the trade).
const QUARTER_INCH: Length = Length::from_millimetres(6.3501);

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
    let system = survey.system_of(zone);
    let spots = features.iter().filter_map(|feature| {
        low_spot(survey, net, feature).or_else(|| scaled_off(survey, system?, net, feature))
    });
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
    let read: Vec<(Option<Point>, Length)> = survey
        .readings_about(feature)
        .filter_map(|reading| match reading.measured {
            // A place beside the spot that the reading names is a slip of the pen.
            Measured::StraightedgeDepth(depth) => {
                Some((reading.place.filter(|at| outline.holds(*at)), depth))
            }
            _ => None,
        })
        .collect();
    if read.iter().all(|(place, _)| place.is_none()) {
        let deepest = read.iter().map(|(_, depth)| *depth).reduce(Length::max).unwrap_or(*depth);
        return Some(Fill { area, volume: area * deepest * 0.5, basis: FillBasis::Dish });
    }
    // What names no place was read where the spot is deepest: in its middle.
    let middle = outline.label_place();
    let mut depths: Vec<(Point, Length)> =
        read.iter().map(|(place, depth)| (place.unwrap_or(middle), *depth * -1.0)).collect();
    // The rim is level with the straightedge.
    depths.extend(outline.corners().into_iter().map(|corner| (corner, Length::ZERO)));
    let (_, volume) = Terrain::new(&depths)?.fill_to(&here, |_| Length::ZERO);
    Some(Fill { area, volume, basis: FillBasis::Straightedge })
}

/// What scaling took and the system does not fill.
fn scaled_off(survey: &Survey, system: &System, net: &Region, feature: &Feature) -> Option<Fill> {
    let Seen::Surface { state: SurfaceState::Scaling, depth: Some(depth) } = feature.seen else {
        return None;
    };
    let Place::Patch(outline) = &feature.place else { return None };
    let class = ScalingClass::of(depth, &survey.facts.limits);
    let area = outline.region().intersection(net).area();
    (class.is_resurfaced(depth, system) && area > Area::ZERO).then(|| Fill {
        area,
        volume: area * depth,
        basis: FillBasis::Scaling,
    })
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
