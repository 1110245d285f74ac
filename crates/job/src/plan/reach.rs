//! A zone's places with what machines reach of every union of them: outlines, bands along
//! walls and lanes, each worked out when a step first asks for it.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;
use std::sync::Arc;

use tooth_measure::{Area, Length, Region};

use super::passes::Layout;
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
    region: Region,
    area: Area,
    bands: Vec<(Length, Area)>,
    laid: RefCell<Vec<Laid>>,
}

/// A lane and the edge that it does not reach.
type Driven = (Lane, Length);
/// Its passes; none where it does not fit.
type Laid = (Driven, Option<Arc<Layout>>);

/// A zone, its places and every union of them that a step has asked for.
#[derive(Debug, Clone)]
pub(super) struct Reach {
    whole: Rc<Ground>,
    regions: Rc<Vec<Region>>,
    areas: Vec<Area>,
    edges: Rc<Vec<(Length, Region)>>,
    unions: Rc<RefCell<BTreeMap<Places, Rc<Ground>>>>,
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
        let whole =
            Ground { region: zone.clone(), area: extent.net, bands, laid: RefCell::default() };
        let regions: Vec<Region> = start.places.iter().map(|place| place.region.clone()).collect();
        Self {
            whole: Rc::new(whole),
            areas: regions.iter().map(Region::area).collect(),
            regions: Rc::new(regions),
            edges: Rc::new(edges),
            unions: Rc::default(),
        }
    }

    /// The same zone cut into other places.
    pub(super) fn of_places(&self, start: &Start) -> Self {
        let regions: Vec<Region> = start.places.iter().map(|place| place.region.clone()).collect();
        Self {
            whole: Rc::clone(&self.whole),
            areas: regions.iter().map(Region::area).collect(),
            regions: Rc::new(regions),
            edges: Rc::clone(&self.edges),
            unions: Rc::default(),
        }
    }

    /// All places.
    pub(super) fn all(&self) -> Places {
        ((1_u16 << self.areas.len()) - 1) as Places
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
            let near =
                |(reach, band): &(Length, Region)| (*reach, band.intersection(&region).area());
            let made = Rc::new(Ground {
                area: region.area(),
                bands: self.edges.iter().map(near).collect(),
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
            self.driven(&self.whole, key).and_then(|whole| whole.over(&ground.region, key.0))
        };
        let laid = laid.map(Arc::new);
        ground.laid.borrow_mut().push((key, laid.clone()));
        laid
    }
}

/// The places of a union, in order.
pub(super) fn bits(places: Places) -> impl Iterator<Item = usize> {
    (0..8).filter(move |bit| places & (1 << bit) != 0)
}
