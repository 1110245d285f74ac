//! How much there is of everything in a zone: net area, the band along walls that
//! machines do not reach, patches squared up, cracks and joints by the metre, films,
//! oil, low spots. From the plan's geometry alone.

mod patch;

pub use patch::{Patch, PatchRule, square_up};

use tooth_measure::{Area, Length, Outline, Region, Volume};

use crate::survey::{Contaminant, Feature, Hollow, Place, Seen, SurfaceState, Survey, Zone};

/// What there is in one zone.
#[derive(Debug, Clone)]
pub struct Extent<'a> {
    outline: &'a Outline,
    features: Vec<&'a Feature>,
    /// The border's area.
    pub gross: Area,
    /// Less obstacles.
    pub net: Area,
    net_region: Region,
    barriers: Vec<&'a Feature>,
    /// Loose or broken-out places, squared up for sawing.
    pub patches: Vec<Patch>,
    /// Low spots to fill: area and volume (a shallow dish: half of area × depth).
    pub low_spots: (Area, Volume),
}

impl<'a> Extent<'a> {
    /// Measures a zone.
    #[must_use]
    pub fn measure(survey: &'a Survey, zone: &'a Zone, rule: PatchRule) -> Self {
        let mut net_region = zone.outline.region();
        let features: Vec<&Feature> = survey.features_of(zone).collect();
        let barriers: Vec<&Feature> = survey
            .features
            .iter()
            .filter(|f| matches!(f.seen, Seen::Wall | Seen::Obstacle))
            .collect();
        for barrier in &barriers {
            if let (Seen::Obstacle, Place::Patch(outline)) = (&barrier.seen, &barrier.place) {
                net_region = net_region.difference(&outline.region());
            }
        }
        let loose: Vec<(&Feature, Length)> = survey
            .features
            .iter()
            // A place on the border of two zones is cut once: where its middle lies.
            .filter(|f| {
                survey
                    .zone_at(f.place.label_place())
                    .is_some_and(|z| z.id == zone.id)
            })
            .filter_map(|f| match f.seen {
                Seen::Spall { depth, .. } => Some((f, depth)),
                Seen::Hollow {
                    sure: Hollow::Sure,
                    depth,
                    ..
                } => Some((f, depth.unwrap_or(Length::ZERO))),
                _ => None,
            })
            .collect();
        let patches = square_up(&loose, zone.outline.main_direction(), rule);
        let net = net_region.area();
        let mut low_spots = (Area::ZERO, Volume::ZERO);
        for feature in &features {
            if let Seen::LowSpot { depth } = feature.seen {
                let area = covered(&net_region, feature);
                low_spots.0 += area;
                low_spots.1 += area * depth * 0.5;
            }
        }
        Self {
            outline: &zone.outline,
            features,
            gross: zone.outline.area(),
            net,
            net_region,
            barriers,
            patches,
            low_spots,
        }
    }

    /// The part of the zone that lies within `reach` of a wall or obstacle.
    #[must_use]
    pub fn edge_band(&self, reach: Length) -> Area {
        if reach <= Length::ZERO {
            return Area::ZERO;
        }
        let mut band = Region::empty();
        for barrier in &self.barriers {
            let near = match &barrier.place {
                Place::Line(path) => Region::along(path, reach),
                Place::Patch(outline) => outline.region().within(reach),
                Place::Spot(_) => continue,
            };
            band = band.union(&near.intersection(&self.net_region));
        }
        band.area()
    }

    /// The features that lie in the zone, wholly or in part.
    pub fn features(&self) -> impl Iterator<Item = &'a Feature> + Clone {
        self.features.iter().copied()
    }

    /// The part of the zone that features of a kind cover.
    #[must_use]
    pub fn area_of(&self, wanted: impl Fn(&Seen) -> bool) -> Area {
        let mut all = Region::empty();
        for feature in self.features().filter(|f| wanted(&f.seen)) {
            if let Place::Patch(outline) = &feature.place {
                all = all.union(&outline.region().intersection(&self.net_region));
            }
        }
        all.area()
    }

    /// Length of the lines of the zone that a test picks out.
    #[must_use]
    pub fn length_of(&self, wanted: impl Fn(&Feature) -> bool) -> Length {
        self.features()
            .filter(|f| wanted(f))
            .filter_map(|f| match &f.place {
                Place::Line(path) => Some(path.length_inside(self.outline)),
                Place::Spot(_) | Place::Patch(_) => None,
            })
            .sum()
    }

    /// Area of all patches.
    #[must_use]
    pub fn patch_area(&self) -> Area {
        self.patches
            .iter()
            .map(|patch| patch.rectangle.area())
            .sum()
    }

    /// Saw cut round all patches.
    #[must_use]
    pub fn patch_saw_cut(&self) -> Length {
        self.patches
            .iter()
            .map(|patch| patch.rectangle.perimeter())
            .sum()
    }

    /// Volume of all patches.
    #[must_use]
    pub fn patch_volume(&self) -> Volume {
        self.patches
            .iter()
            .map(|patch| patch.rectangle.area() * patch.depth)
            .sum()
    }
}

fn covered(region: &Region, feature: &Feature) -> Area {
    match &feature.place {
        Place::Patch(outline) => outline.region().intersection(region).area(),
        Place::Line(_) | Place::Spot(_) => Area::ZERO,
    }
}

/// Whether a feature is a weak or lost layer of the surface.
#[must_use]
pub fn is_weak_layer(seen: &Seen) -> bool {
    matches!(
        seen,
        Seen::Surface {
            state: SurfaceState::Laitance | SurfaceState::Dusting | SurfaceState::Scaling,
            ..
        }
    )
}

/// Whether a feature is oil.
#[must_use]
pub fn is_oil(seen: &Seen) -> bool {
    matches!(
        seen,
        Seen::Stain {
            kind: Contaminant::Oil,
            ..
        }
    )
}
