//! How much there is of everything in a zone: net area, the band along walls that
//! machines do not reach, patches squared up, cracks and joints by the metre, films,
//! oil, low spots. From the plan's geometry alone.

mod fill;
mod patch;

pub use fill::{Fill, FillBasis, ScalingClass};
pub use patch::{Patch, PatchRule, square_up};

use tooth_measure::{Area, Length, Outline, Point, Region, Volume};

use crate::survey::{
    Answer, Contaminant, Feature, FeatureId, Hollow, HollowKind, Matter, Measured, Place, Seen,
    SurfaceState, Survey, System, Zone,
};

/// What there is in one zone.
#[derive(Debug, Clone)]
pub struct Extent<'a> {
    features: Vec<&'a Feature>,
    lengths: Vec<(&'a Feature, Length)>,
    /// The border's area.
    pub gross: Area,
    /// Less obstacles.
    pub net: Area,
    net_region: Region,
    barriers: Vec<&'a Feature>,
    /// Loose or broken-out places, squared up for sawing.
    pub patches: Vec<Patch>,
    /// Spalls shallow enough for a mortar in the depth of its own sheet.
    pub shallow: Vec<Shallow>,
    /// Low spots and falls to fill.
    pub fills: Vec<Fill>,
    /// What of a zone that must fall to a drain has no heights about it.
    pub without_heights: Area,
}

/// A shallow spall under a thin system.
#[derive(Debug, Clone, PartialEq)]
pub struct Shallow {
    /// The feature.
    pub feature: FeatureId,
    /// Its area.
    pub area: Area,
    /// Round it.
    pub perimeter: Length,
    /// At its deepest.
    pub depth: Length,
}

impl<'a> Extent<'a> {
    /// Measures a zone.
    #[must_use]
    pub fn measure(survey: &'a Survey, zone: &'a Zone, rule: PatchRule) -> Self {
        // What a licensed firm took away is on the plan, and no longer on the slab.
        let features: Vec<&Feature> = survey
            .features_of(zone)
            .filter(|mark| survey.abatement_of(zone, mark).is_none())
            .collect();
        let barriers: Vec<&Feature> = barriers(survey, zone).collect();
        let net_region = less_obstacles(zone, &barriers);
        let thin = survey.system_of(zone).is_some_and(System::is_thin);
        let own = survey
            .features
            .iter()
            .filter(|f| {
                may_be_loose(&f.seen)
                    && !is_done_by_others(survey, zone, f)
                    && !is_left(survey, zone, f)
            })
            .filter(|f| owner(survey, f).is_some_and(|owner| owner.id == zone.id));
        let shallow: Vec<Shallow> =
            own.clone().filter_map(|f| shallow_spall(survey, f).filter(|_| thin)).collect();
        let loose: Vec<(&Feature, Length)> = own
            .filter(|f| !shallow.iter().any(|spall| spall.feature == f.id))
            .filter_map(|f| match f.seen {
                Seen::Spall { depth, .. } => Some((f, depth)),
                // Patching cures a loose skin; support and old layers need other cures.
                Seen::Hollow {
                    sure: Hollow::Sure,
                    kind: HollowKind::LooseSkin | HollowKind::Unknown,
                    depth,
                } => Some((f, depth.unwrap_or(Length::ZERO))),
                Seen::Hollow { depth: Some(depth), .. } if is_thick_layer(&f.seen) => {
                    Some((f, depth))
                }
                Seen::Stain { depth, .. } if oil_came_back(survey, zone, f) => {
                    Some((f, depth.unwrap_or(Length::ZERO)))
                }
                _ => None,
            })
            .collect();
        let patches = square_up(&loose, zone.outline.main_direction(), rule);
        let net = net_region.area();
        let (fills, without_heights) = fill::of_zone(survey, zone, &net_region, &features);
        Self {
            lengths: lengths(survey, zone, &features),
            features,
            gross: zone.outline.area(),
            net,
            net_region,
            barriers,
            patches,
            shallow,
            fills,
            without_heights,
        }
    }

    /// The area of the zone that lies within `reach` of a wall or obstacle.
    #[must_use]
    pub fn edge_band(&self, reach: Length) -> Area {
        self.edge_band_region(reach).area()
    }

    /// The part of the zone that lies within `reach` of a wall or obstacle.
    #[must_use]
    pub fn edge_band_region(&self, reach: Length) -> Region {
        if reach <= Length::ZERO {
            return Region::empty();
        }
        let mut band = Region::empty();
        for barrier in &self.barriers {
            let near = match &barrier.place {
                Place::Line(path) => Region::about(path, reach),
                Place::Patch(outline) => outline.region().within(reach),
                Place::Spot(_) => continue,
            };
            band = band.union(&near.intersection(&self.net_region));
        }
        band
    }

    /// All of the zone less obstacles.
    #[must_use]
    pub fn net_region(&self) -> &Region {
        &self.net_region
    }

    /// The features that lie in the zone, wholly or in part.
    pub fn features(&self) -> impl Iterator<Item = &'a Feature> + Clone {
        self.features.iter().copied()
    }

    /// The area of the zone that features of a kind cover.
    #[must_use]
    pub fn area_of(&self, wanted: impl Fn(&Seen) -> bool) -> Area {
        self.region_of(wanted).area()
    }

    /// The part of the zone that features of a kind cover.
    #[must_use]
    pub fn region_of(&self, wanted: impl Fn(&Seen) -> bool) -> Region {
        let marked: Vec<Region> = self
            .features()
            .filter(|f| wanted(&f.seen))
            .filter_map(|feature| match &feature.place {
                Place::Patch(outline) => Some(outline.region()),
                Place::Spot(_) | Place::Line(_) => None,
            })
            .collect();
        match marked.as_slice() {
            [] => Region::empty(),
            marked => Region::union_of(marked).intersection(&self.net_region),
        }
    }

    /// Length of the lines of the zone that a test picks out. A line on the border of
    /// two zones counts half to each, so that it is not priced twice.
    #[must_use]
    pub fn length_of(&self, wanted: impl Fn(&Feature) -> bool) -> Length {
        self.lengths.iter().filter(|(line, _)| wanted(line)).map(|(_, length)| *length).sum()
    }

    /// Length of a crack or joint in this zone; none of what is not a line in it.
    #[must_use]
    pub fn length_in(&self, line: &FeatureId) -> Option<Length> {
        self.lengths.iter().find(|(known, _)| known.id == *line).map(|(_, length)| *length)
    }

    /// Joints that a patch lies across.
    #[must_use]
    pub fn joints_across(&self, patch: &Patch) -> Vec<&'a Feature> {
        let Some(outline) = patch.rectangle.outline() else { return Vec::new() };
        let crosses = |joint: &&Feature| match &joint.place {
            // A joint along the patch's side is its edge.
            Place::Line(path) => path.length_in_and_on(&outline).0 > Length::from_millimetres(10.0),
            _ => false,
        };
        let joints = self.features().filter(|f| matches!(f.seen, Seen::Joint { .. }));
        joints.filter(crosses).collect()
    }

    /// Area and volume of all that is filled.
    #[must_use]
    pub fn fill(&self) -> (Area, Volume) {
        self.fill_by(|_| true)
    }

    /// The same of what was worked out in some way.
    #[must_use]
    pub fn fill_by(&self, wanted: impl Fn(FillBasis) -> bool) -> (Area, Volume) {
        let of = self.fills.iter().filter(|fill| wanted(fill.basis));
        (of.clone().map(|fill| fill.area).sum(), of.map(|fill| fill.volume).sum())
    }

    /// Area of all patches.
    #[must_use]
    pub fn patch_area(&self) -> Area {
        self.patches.iter().map(|patch| patch.rectangle.area()).sum()
    }

    /// Saw cut round all patches.
    #[must_use]
    pub fn patch_saw_cut(&self) -> Length {
        self.patches.iter().map(|patch| patch.rectangle.perimeter()).sum()
    }

    /// Volume of all patches.
    #[must_use]
    pub fn patch_volume(&self) -> Volume {
        self.patches.iter().map(|patch| patch.rectangle.area() * patch.depth).sum()
    }
}

/// Where some marks are drawn as patches.
pub(crate) fn drawn_ground<'m>(marks: impl IntoIterator<Item = &'m Feature>) -> Region {
    let patches = marks.into_iter().filter_map(|mark| match &mark.place {
        Place::Patch(outline) => Some(outline.region()),
        Place::Spot(_) | Place::Line(_) => None,
    });
    Region::union_of(&patches.collect::<Vec<_>>())
}

/// Whether somebody with a name decided that a loose place stays as it is.
#[must_use]
pub fn is_left(survey: &Survey, zone: &Zone, mark: &Feature) -> bool {
    let matter = match mark.seen {
        Seen::Hollow { .. } => Matter::HollowConcrete,
        Seen::Spall { .. } => Matter::Spalls,
        _ => return false,
    };
    survey.is_left(&zone.id, matter, Some(&mark.id))
}

/// Whether a release gives a mark to somebody else to repair.
#[must_use]
pub fn is_done_by_others(survey: &Survey, zone: &Zone, mark: &Feature) -> bool {
    survey.facts.overrules.iter().any(|overrule| {
        let loose = matches!(overrule.finding, Matter::HollowConcrete | Matter::Spalls);
        overrule.by_others.is_some()
            && overrule.zone == zone.id
            && overrule.feature.as_ref().map_or(loose, |feature| *feature == mark.id)
    })
}

/// The area of a zone less obstacles.
#[must_use]
pub fn net_area(survey: &Survey, zone: &Zone) -> Area {
    less_obstacles(zone, &barriers(survey, zone).collect::<Vec<_>>()).area()
}

fn barriers<'a>(survey: &'a Survey, zone: &Zone) -> impl Iterator<Item = &'a Feature> {
    let barriers = survey.features.iter();
    let barriers = barriers.filter(|f| matches!(f.seen, Seen::Wall | Seen::Obstacle));
    barriers.filter(|f| is_near(&f.place, &zone.outline))
}

fn less_obstacles(zone: &Zone, barriers: &[&Feature]) -> Region {
    barriers.iter().fold(zone.outline.region(), |net, barrier| {
        match (&barrier.seen, &barrier.place) {
            (Seen::Obstacle, Place::Patch(outline)) => net.difference(&outline.region()),
            _ => net,
        }
    })
}

/// Whether something may have to be repaired, or cut out, as a place of its own.
fn may_be_loose(seen: &Seen) -> bool {
    matches!(seen, Seen::Spall { .. } | Seen::Hollow { .. }) || is_oil(seen)
}

/// A spall with a size that is shallow enough for a mortar in the depth of its own sheet.
fn shallow_spall(survey: &Survey, feature: &Feature) -> Option<Shallow> {
    let (Seen::Spall { depth, bars_exposed }, Place::Patch(outline)) =
        (&feature.seen, &feature.place)
    else {
        return None;
    };
    let limit = survey.facts.limits.shallow_repair_depth.value;
    (*depth <= limit && *bars_exposed != Answer::Yes).then(|| Shallow {
        feature: feature.id.clone(),
        area: outline.area(),
        perimeter: outline.perimeter(),
        depth: *depth,
    })
}

/// The zone that a loose place belongs to, so that it is cut once: where its middle
/// lies, else the first that it reaches into.
fn owner<'a>(survey: &'a Survey, place: &Feature) -> Option<&'a Zone> {
    survey
        .zone_at(place.place.label_place())
        .or_else(|| survey.zones.iter().find(|zone| place.place.meets(&zone.outline)))
}

fn lengths<'a>(
    survey: &Survey,
    zone: &Zone,
    features: &[&'a Feature],
) -> Vec<(&'a Feature, Length)> {
    let shared = Length::from_millimetres(1.0);
    features
        .iter()
        .filter_map(|feature| match &feature.place {
            Place::Line(path) => {
                let (inside, on) = path.length_in_and_on(&zone.outline);
                let others = survey.zones.iter().filter(|other| other.id != zone.id);
                // Only where another zone has the border too is it halved.
                let both: Length = if on > shared {
                    others.map(|other| path.length_on_both(&zone.outline, &other.outline)).sum()
                } else {
                    Length::ZERO
                };
                Some((*feature, inside + on - both.min(on) * 0.5))
            }
            Place::Spot(_) | Place::Patch(_) => None,
        })
        .collect()
}

/// No machine keeps further off a wall than this.
const FURTHEST_REACH: Length = Length::from_metres(5.0);

/// Whether a place can matter to a zone: cheap, before set operations.
fn is_near(place: &Place, zone: &Outline) -> bool {
    let span = |points: &[Point], of: fn(&Point) -> Length| {
        let values = points.iter().map(of);
        let low = values.clone().fold(Length::from_metres(f64::INFINITY), Length::min);
        (low, values.fold(Length::from_metres(f64::NEG_INFINITY), Length::max))
    };
    let points = match place {
        Place::Spot(point) => vec![*point],
        Place::Line(path) => path.points(),
        Place::Patch(outline) => outline.corners(),
    };
    let corners = zone.corners();
    [|p: &Point| p.x, |p: &Point| p.y].into_iter().all(|axis| {
        let (one, other) = (span(&points, axis), span(&corners, axis));
        one.0 <= other.1 + FURTHEST_REACH && one.1 >= other.0 - FURTHEST_REACH
    })
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

/// An old layer that has let go and is this thick is broken out and filled like a loose skin:
/// no scraper lifts it. Assumption.
const THICK_LAYER: Length = Length::from_millimetres(6.0);

/// Whether a feature is an old layer that has let go, too thick to be scraped off.
#[must_use]
pub fn is_thick_layer(seen: &Seen) -> bool {
    matches!(
        seen,
        Seen::Hollow {
            sure: Hollow::Sure,
            kind: HollowKind::DebondedLayer,
            depth: Some(depth),
        } if *depth >= THICK_LAYER
    )
}

/// Whether oil has come back after cleaning: by the last look at this stain, or at the zone
/// where no look names a stain.
#[must_use]
pub fn oil_came_back(survey: &Survey, zone: &Zone, stain: &Feature) -> bool {
    let looks = survey.readings_of(zone).filter_map(|reading| match reading.measured {
        Measured::OilBleedBack(answer) => Some((reading, answer)),
        _ => None,
    });
    is_oil(&stain.seen)
        && looks
            .filter(|(reading, _)| survey.speaks_of(reading, stain))
            .max_by_key(|(reading, _)| reading.time)
            .is_some_and(|(_, answer)| answer == Answer::Yes)
}

/// Whether a feature is oil.
#[must_use]
pub fn is_oil(seen: &Seen) -> bool {
    matches!(seen, Seen::Stain { kind: Contaminant::Oil, .. })
}
