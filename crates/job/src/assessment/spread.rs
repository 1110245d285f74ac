//! Whether tests are spread over the ground that they are to speak for: one rule for assessment
//! and acceptance.

use tooth_measure::{Area, Length, Point};

use crate::survey::Reading;

/// Up to so many tests nobody has to write down where each was made.
const ANYWHERE: u32 = 3;

/// How far apart tests are spread at least: a quarter of the side of the square that each stands
/// for. Assumption.
pub(crate) fn apart(area: Area, needed: u32) -> Length {
    let each = area.square_metres() / f64::from(needed.max(1));
    Length::from_metres(each.sqrt() / 4.0).max(Length::from_metres(0.1))
}

/// Places, so far apart, at which something was read, and readings that name none.
pub(crate) struct Spread {
    /// Places apart from each other.
    pub(crate) places: u32,
    /// Readings without a place.
    pub(crate) unplaced: u32,
}

impl Spread {
    /// Of some readings.
    pub(crate) fn of<'a>(readings: impl Iterator<Item = &'a Reading>, apart: Length) -> Self {
        let (mut placed, mut unplaced) = (Vec::new(), 0);
        for reading in readings {
            match reading.place {
                Some(at) => placed.push(at),
                None => unplaced += 1,
            }
        }
        Self { places: apart_from_each_other(&placed, apart), unplaced }
    }

    /// How many count: what names no place is taken for a place of its own where three tests are
    /// enough.
    pub(crate) fn counted(&self, needed: u32) -> u32 {
        self.places + if needed > ANYWHERE { 0 } else { self.unplaced }
    }
}

/// How many of some places lie so far from each other: from the one farthest out always on to
/// the one that is farthest from all taken.
fn apart_from_each_other(places: &[Point], apart: Length) -> u32 {
    let count = places.len() as f64;
    let sum = |of: fn(&Point) -> Length| places.iter().map(of).sum::<Length>() * (1.0 / count);
    if places.is_empty() {
        return 0;
    }
    let middle = Point::new(sum(|place| place.x), sum(|place| place.y));
    let mut gap: Vec<Length> = places.iter().map(|place| place.distance(middle)).collect();
    let mut taken = 0;
    loop {
        let far = gap.iter().enumerate().reduce(|a, b| if b.1 > a.1 { b } else { a });
        let Some((next, held)) = far else { return taken };
        if taken > 0 && *held < apart {
            return taken;
        }
        taken += 1;
        let from = places[next];
        for (gap, place) in gap.iter_mut().zip(places) {
            let near = place.distance(from);
            *gap = if taken == 1 { near } else { gap.min(near) };
        }
    }
}
