//! A zone's places with what machines reach of every union of them: outlines, bands along
//! walls and lanes, each worked out when a step first asks for it.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;
use std::sync::Arc;

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
    laid: RefCell<Vec<Laid>>,
}

/// A lane and the edge that it does not reach.
type Driven = (Lane, Length);
/// What lies of a place under a lane.
type TakenOf = (usize, Driven, Rc<Taken>);
/// Its passes; none where it does not fit.
type Laid = (Driven, Option<Arc<Layout>>);

/// A zone, its places and every union of them that a step has asked for.
#[derive(Debug, Clone)]
pub(super) struct Reach {
    whole: Rc<Ground>,
    regions: Rc<Vec<Region>>,
    areas: Vec<Area>,
    /// Of each place, what lies in each band along walls.
    bands: Rc<Vec<Vec<(Length, Area)>>>,
    edges: Rc<Vec<(Length, Region)>>,
    unions: Rc<RefCell<BTreeMap<Places, Rc<Ground>>>>,
    taken: Rc<RefCell<Vec<TakenOf>>>,
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
            laid: RefCell::default(),
        };
        Self {
            whole: Rc::new(whole),
            areas: Vec::new(),
            bands: Rc::default(),
            regions: Rc::default(),
            edges: Rc::new(edges),
            unions: Rc::default(),
            taken: Rc::default(),
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
            whole: Rc::clone(&self.whole),
            areas: regions.iter().map(Region::area).collect(),
            bands: Rc::new(bands.collect()),
            regions: Rc::new(regions),
            edges: Rc::clone(&self.edges),
            unions: Rc::default(),
            taken: Rc::default(),
        }
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

    fn ground(&self, places: Places) -> Rc<Ground> {
        if places == self.all() {
            return Rc::clone(&self.whole);
        }
        let known = self.unions.borrow().get(&places).cloned();
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
            let made = Rc::new(Ground {
                places,
                area: bits(places).map(|place| self.area(place)).sum(),
                bands: self.edges.iter().enumerate().map(of_all).collect(),
                laid: RefCell::default(),
                region,
            });
            self.unions.borrow_mut().insert(places, Rc::clone(&made));
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
        let known = ground.laid.borrow().iter().find(|(known, _)| *known == key).cloned();
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
                let taken: Vec<Rc<Taken>> =
                    bits(ground.places).map(|place| self.taken(place, &whole, key)).collect();
                let places: Vec<&Taken> = taken.iter().map(|taken| &**taken).collect();
                whole.over_places(&ground.region, &places, key.0)
            })
        };
        let laid = laid.map(Arc::new);
        ground.laid.borrow_mut().push((key, laid.clone()));
        laid
    }
}

impl Reach {
    /// What lies of a place under the lanes over the zone: once for all unions that it is in.
    fn taken(&self, place: usize, whole: &Layout, key: Driven) -> Rc<Taken> {
        let known = self
            .taken
            .borrow()
            .iter()
            .find(|(at, known, _)| *at == place && *known == key)
            .cloned();
        if let Some((.., taken)) = known {
            return taken;
        }
        let ground = self.regions.get(place).cloned().unwrap_or_else(Region::empty);
        let taken = Rc::new(whole.taken(&ground, key.0));
        self.taken.borrow_mut().push((place, key, Rc::clone(&taken)));
        taken
    }
}

/// The places of a union, in order.
pub(super) fn bits(places: Places) -> impl Iterator<Item = usize> {
    (0..8).filter(move |bit| places & (1 << bit) != 0)
}
