//! A zone's places with what machines reach of every union of them: outlines, bands along
//! walls and lanes, each worked out when a step first asks for it.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use tooth_measure::{Area, Length, Region};

use super::passes::{Layout, Taken};
use super::places::Start;
use super::price::Sized;
use crate::extent::Extent;
use crate::methods::{Catalogue, Lane, SurfaceWork};

/// Places as bits.
pub(super) type Places = u8;

/// Less than this share left by the lanes is no reason to bring an edging tool where no wall
/// is near: the machine overruns an open border.
const OPEN_CORNERS: f64 = 0.005;

/// What a step is done to: its area, what of it lies in the band along walls, and the passes
/// of the lanes over it that were asked for.
#[derive(Debug)]
struct Ground {
    places: Places,
    region: Region,
    area: Area,
    bands: Vec<(Length, Area)>,
    laid: Mutex<Vec<Laid>>,
}

/// What was worked out before: plans of one job that are made side by side share it.
fn held<T>(known: &Mutex<T>) -> MutexGuard<'_, T> {
    known.lock().unwrap_or_else(PoisonError::into_inner)
}

/// A lane and the edge that it does not reach.
type Driven = (Lane, Length);
/// What lies of a place under a lane.
type TakenOf = (usize, Driven, Arc<Taken>);
/// Its passes; none where it does not fit.
type Laid = (Driven, Option<Arc<Layout>>);

/// A zone, its places and every union of them that a step has asked for.
#[derive(Debug, Clone)]
pub(super) struct Reach {
    whole: Arc<Ground>,
    regions: Arc<Vec<Region>>,
    areas: Vec<Area>,
    /// In how many pieces each place lies.
    pieces: Vec<usize>,
    /// Of each place, what lies in each band along walls.
    bands: Arc<Vec<Vec<(Length, Area)>>>,
    edges: Arc<Vec<(Length, Region)>>,
    unions: Arc<Mutex<BTreeMap<Places, Arc<Ground>>>>,
    taken: Arc<Mutex<Vec<TakenOf>>>,
}

impl Reach {
    pub(super) fn of(
        extent: &Extent<'_>,
        start: &Start,
        catalogue: &Catalogue,
        methods: &[usize],
    ) -> Self {
        let mut edges: Vec<(Length, Region)> = Vec::new();
        let zone = extent.net_region();
        for work in methods.iter().filter_map(|&index| catalogue.methods.get(index)?.surface()) {
            let reach = work.unreached_edge;
            if reach > Length::ZERO && !edges.iter().any(|(known, _)| *known == reach) {
                edges.push((reach, extent.edge_band_region(reach)));
            }
        }
        let bands = edges.iter().map(|(reach, band)| (*reach, band.area())).collect();
        let whole = Ground {
            places: 0,
            region: zone.clone(),
            area: extent.net,
            bands,
            laid: Mutex::default(),
        };
        Self {
            whole: Arc::new(whole),
            areas: Vec::new(),
            pieces: Vec::new(),
            bands: Arc::default(),
            regions: Arc::default(),
            edges: Arc::new(edges),
            unions: Arc::default(),
            taken: Arc::default(),
        }
        .of_places(start)
    }

    /// The same zone cut into other places.
    pub(super) fn of_places(&self, start: &Start) -> Self {
        let regions: Vec<Region> = start.places.iter().map(|place| place.region.clone()).collect();
        let bands = regions.iter().map(|region| {
            let near = |(reach, band): &(Length, Region)| {
                // A zone of one place is the zone.
                let area = match regions.as_slice() {
                    [_] => band.area(),
                    _ => band.intersection(region).area(),
                };
                (*reach, area)
            };
            self.edges.iter().map(near).collect()
        });
        Self {
            whole: Arc::clone(&self.whole),
            areas: regions.iter().map(Region::area).collect(),
            pieces: regions.iter().map(|region| region.pieces().len()).collect(),
            bands: Arc::new(bands.collect()),
            regions: Arc::new(regions),
            edges: Arc::clone(&self.edges),
            unions: Arc::default(),
            taken: Arc::default(),
        }
    }

    /// In how many pieces a union lies.
    pub(super) fn pieces(&self, places: Places) -> usize {
        bits(places).filter_map(|place| self.pieces.get(place)).sum()
    }

    /// What of a place lies in the band that a work does not reach.
    pub(super) fn band(&self, place: usize, work: &SurfaceWork) -> Area {
        let bands = self.bands.get(place).map_or(&[][..], Vec::as_slice);
        let band = bands.iter().find(|(reach, _)| *reach == work.unreached_edge);
        band.map_or(Area::ZERO, |(_, area)| *area)
    }

    /// All places.
    pub(super) fn all(&self) -> Places {
        ((1_u16 << self.areas.len()) - 1) as Places
    }

    /// How many there are.
    pub(super) fn count(&self) -> usize {
        self.areas.len()
    }

    pub(super) fn area(&self, place: usize) -> Area {
        self.areas.get(place).copied().unwrap_or(Area::ZERO)
    }

    /// The area of a union.
    pub(super) fn area_of(&self, places: Places) -> Area {
        bits(places).map(|place| self.area(place)).sum()
    }

    /// Where a union lies.
    pub(super) fn region_of(&self, places: Places) -> Region {
        self.ground(places).region.clone()
    }

    fn ground(&self, places: Places) -> Arc<Ground> {
        if places == self.all() {
            return Arc::clone(&self.whole);
        }
        let known = held(&self.unions).get(&places).cloned();
        known.unwrap_or_else(|| {
            let parts: Vec<Region> =
                bits(places).filter_map(|place| self.regions.get(place).cloned()).collect();
            let region = match parts.as_slice() {
                [one] => one.clone(),
                parts => Region::union_of(parts),
            };
            let of_all = |(number, (reach, _)): (usize, &(Length, Region))| {
                let of = |place: usize| self.bands.get(place).and_then(|bands| bands.get(number));
                (*reach, bits(places).filter_map(of).map(|(_, area)| *area).sum())
            };
            let made = Arc::new(Ground {
                places,
                area: bits(places).map(|place| self.area(place)).sum(),
                bands: self.edges.iter().enumerate().map(of_all).collect(),
                laid: Mutex::default(),
                region,
            });
            held(&self.unions).insert(places, Arc::clone(&made));
            made
        })
    }

    /// What a step on a union works on; none where the machine does not fit in.
    pub(super) fn sized(&self, places: Places, work: &SurfaceWork) -> Option<Sized> {
        let ground = self.ground(places);
        let band = ground.bands.iter().find(|(known, _)| *known == work.unreached_edge);
        let band = band.map_or(Area::ZERO, |(_, area)| *area);
        let Some(lane) = work.lane else {
            return Some(Sized { area: ground.area, band, laid: None });
        };
        let laid = self.driven(&ground, (lane, work.unreached_edge))?;
        let left = laid.edging_m2;
        let open = band <= Area::ZERO && left < ground.area * OPEN_CORNERS;
        let band = if open { Area::ZERO } else { left };
        Some(Sized { area: ground.area, band, laid: Some(laid) })
    }

    /// The passes of a lane over a union: stretches of those over the zone.
    fn driven(&self, ground: &Ground, key: Driven) -> Option<Arc<Layout>> {
        let known = held(&ground.laid).iter().find(|(known, _)| *known == key).cloned();
        if let Some((_, laid)) = known {
            return laid;
        }
        let laid = if std::ptr::eq(ground, &*self.whole) {
            let band = self.edges.iter().find(|(known, _)| *known == key.1);
            let zone = &ground.region;
            let field = band.map_or_else(|| zone.clone(), |(_, band)| zone.difference(band));
            Layout::lay(zone, &field, key.0)
        } else {
            self.driven(&self.whole, key).and_then(|whole| {
                let taken: Vec<Arc<Taken>> =
                    bits(ground.places).map(|place| self.taken(place, &whole, key)).collect();
                let places: Vec<&Taken> = taken.iter().map(|taken| &**taken).collect();
                whole.over_places(&ground.region, &places, key.0)
            })
        };
        let laid = laid.map(Arc::new);
        held(&ground.laid).push((key, laid.clone()));
        laid
    }
}

impl Reach {
    /// What lies of a place under the lanes over the zone: once for all unions that it is in.
    fn taken(&self, place: usize, whole: &Layout, key: Driven) -> Arc<Taken> {
        let known =
            held(&self.taken).iter().find(|(at, known, _)| *at == place && *known == key).cloned();
        if let Some((.., taken)) = known {
            return taken;
        }
        let ground = self.regions.get(place).cloned().unwrap_or_else(Region::empty);
        let taken = Arc::new(whole.taken(&ground, key.0));
        held(&self.taken).push((place, key, Arc::clone(&taken)));
        taken
    }
}

/// The places of a union, in order.
pub(super) fn bits(places: Places) -> impl Iterator<Item = usize> {
    (0..8).filter(move |bit| places & (1 << bit) != 0)
}
