//! Which taps lie beside each other.

use std::collections::BTreeMap;

/// For each place its neighbours and their distances: those within 1.6 times the usual
/// distance to the nearest, eight on a square grid.
#[derive(Debug, Clone)]
pub(crate) struct Neighbours {
    /// Usual distance between nearest places; 0 for fewer than two.
    pub(crate) pitch: f64,
    pub(crate) of: Vec<Vec<(usize, f64)>>,
    /// Where in the neighbour's own list each entry stands.
    pub(crate) back: Vec<Vec<usize>>,
}

const REACH: f64 = 1.6;
/// No more neighbours than this are kept of a place where taps crowd.
const MOST: usize = 16;

impl Neighbours {
    /// Places in metres. None has no place, and no neighbours.
    pub(crate) fn new(places: &[Option<(f64, f64)>]) -> Self {
        let pitch = usual_pitch(places);
        let mut of = vec![Vec::new(); places.len()];
        if pitch > 0.0 {
            let reach = REACH * pitch;
            let cells = Cells::new(places, reach);
            for (i, place) in places.iter().enumerate() {
                let Some(here) = place else { continue };
                let mut near: Vec<(usize, f64)> = cells
                    .about(*here)
                    .filter(|j| *j != i)
                    .filter_map(|j| Some((j, distance(*here, places[j]?))))
                    .filter(|(_, distance)| *distance < reach)
                    .collect();
                near.sort_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)));
                near.truncate(MOST);
                of[i] = near;
            }
        }
        // Keep what is mutual, so that messages have a way back.
        let mutual: Vec<Vec<(usize, f64)>> = (0..of.len())
            .map(|i| {
                of[i].iter().copied().filter(|(j, _)| of[*j].iter().any(|(k, _)| *k == i)).collect()
            })
            .collect();
        let back = (0..mutual.len())
            .map(|i| {
                mutual[i]
                    .iter()
                    .filter_map(|(j, _)| mutual[*j].iter().position(|(k, _)| *k == i))
                    .collect()
            })
            .collect();
        Self { pitch, of: mutual, back }
    }
}

fn distance(one: (f64, f64), other: (f64, f64)) -> f64 {
    (one.0 - other.0).hypot(one.1 - other.1)
}

/// Median distance to the nearest other place that is not the same spot.
fn usual_pitch(places: &[Option<(f64, f64)>]) -> f64 {
    let known: Vec<(f64, f64)> = places.iter().flatten().copied().collect();
    if known.len() < 2 {
        return 0.0;
    }
    let spread = |pick: fn(&(f64, f64)) -> f64| {
        let low = known.iter().map(pick).fold(f64::INFINITY, f64::min);
        known.iter().map(pick).fold(f64::NEG_INFINITY, f64::max) - low
    };
    let (width, height) = (spread(|p| p.0), spread(|p| p.1));
    // Widen the search until every place has another.
    let mut reach = (width.max(height) / (known.len() as f64).sqrt()).max(1e-6);
    loop {
        let cells = Cells::new(places, reach);
        let mut nearest: Vec<f64> = known
            .iter()
            .map(|here| {
                cells
                    .about(*here)
                    .filter_map(|j| places[j].map(|there| distance(*here, there)))
                    .filter(|d| *d > 1e-6)
                    .fold(f64::INFINITY, f64::min)
            })
            .filter(|d| *d <= reach)
            .collect();
        if nearest.len() * 2 > known.len() {
            nearest.sort_by(f64::total_cmp);
            return nearest[nearest.len() / 2];
        }
        if reach > 2.0 * (width + height) {
            return 0.0;
        }
        reach *= 2.0;
    }
}

/// Places by squares of a side.
pub(crate) struct Cells {
    side: f64,
    squares: BTreeMap<(i64, i64), Vec<usize>>,
}

impl Cells {
    pub(crate) fn new(places: &[Option<(f64, f64)>], side: f64) -> Self {
        let mut squares: BTreeMap<(i64, i64), Vec<usize>> = BTreeMap::new();
        for (i, place) in places.iter().enumerate() {
            if let Some(place) = place {
                squares.entry(square(*place, side)).or_default().push(i);
            }
        }
        Self { side, squares }
    }

    /// Places in the nine squares about a point: all within one side of it, and more.
    pub(crate) fn about(&self, place: (f64, f64)) -> impl Iterator<Item = usize> + '_ {
        let (x, y) = square(place, self.side);
        (-1..=1)
            .flat_map(move |dx| (-1..=1).map(move |dy| (x.saturating_add(dx), y.saturating_add(dy))))
            .filter_map(|square| self.squares.get(&square))
            .flatten()
            .copied()
    }
}

fn square(place: (f64, f64), side: f64) -> (i64, i64) {
    ((place.0 / side).floor() as i64, (place.1 / side).floor() as i64)
}
