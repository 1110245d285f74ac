//! Peak to valley in fields, as a fine-pointed probe (ASTM D8271) or replica putty measured
//! with a micrometer (ASTM D7682, method B) would read it: the highest and lowest of each
//! field. The standards' own size and number of fields were not read; a field of 25 mm is our
//! choice.

use tooth_measure::Length;

use crate::map::HeightMap;
use crate::patch::parts;
use crate::workers::{Workers, each};

/// Side of a field, in millimetres.
const FIELD: f64 = 25.0;

/// Peak to valley of several places.
#[derive(Debug, Clone, PartialEq)]
pub struct Fields {
    /// Side of a field.
    pub side: Length,
    /// Each reading.
    pub readings: Heights,
}

/// Several heights of one kind and their range.
#[derive(Debug, Clone, PartialEq)]
pub struct Heights(Vec<Length>);

impl Fields {
    /// Side of a field, about.
    pub(crate) const SIDE: Length = Length::from_millimetres(FIELD);
}

impl Heights {
    /// Each of them.
    pub(crate) fn all(self) -> Vec<Length> {
        self.0
    }

    /// None of no readings.
    #[must_use]
    pub fn new(readings: Vec<Length>) -> Option<Self> {
        (!readings.is_empty()).then_some(Self(readings))
    }

    /// How many.
    #[must_use]
    pub fn count(&self) -> usize {
        self.0.len()
    }

    /// Arithmetic mean.
    #[must_use]
    pub fn mean(&self) -> Length {
        let sum: f64 = self.0.iter().map(|reading| reading.millimetres()).sum();
        Length::from_millimetres(sum / self.0.len() as f64)
    }

    /// The least.
    #[must_use]
    pub fn least(&self) -> Length {
        self.0.iter().copied().fold(self.0[0], |a, b| if b < a { b } else { a })
    }

    /// The greatest.
    #[must_use]
    pub fn greatest(&self) -> Length {
        self.0.iter().copied().fold(self.0[0], |a, b| if b > a { b } else { a })
    }
}

/// Fields that are at least half known; none where there is no such.
pub(crate) fn fields(map: &HeightMap, workers: &dyn Workers) -> Option<Fields> {
    let [dx, dy] = map.steps();
    let cells: Vec<_> = parts(map.rows(), dy, FIELD)
        .into_iter()
        .flat_map(|rows| parts(map.columns(), dx, FIELD).into_iter().map(move |c| (rows, c)))
        .collect();
    let readings = each(workers, cells, |((top, bottom), (left, right))| {
        let mut known = 0;
        let (mut low, mut high) = (f32::INFINITY, f32::NEG_INFINITY);
        for row in top..bottom {
            for z in &map.row_mm(row)[left..right] {
                known += usize::from(!z.is_nan());
                low = if *z < low { *z } else { low };
                high = if *z > high { *z } else { high };
            }
        }
        let enough = known > 0 && known * 2 >= (bottom - top) * (right - left);
        enough.then(|| Length::from_millimetres(f64::from(high) - f64::from(low)))
    });
    Some(Fields {
        side: Fields::SIDE,
        readings: Heights::new(readings.into_iter().flatten().collect())?,
    })
}
