//! A height map: heights over a grid, some of them missing.

use std::fmt;

use tooth_measure::say::{Said, said};
use tooth_measure::{Fraction, Length};

use crate::columns::change_columns;
use crate::workers::{Workers, each};

/// Rows of one part of the work.
pub(crate) const PART: usize = 64;
/// Heights that a map may hold: 16384 by 16384.
pub(crate) const MOST_HEIGHTS: usize = 1 << 28;

/// A root mean square of so many millimetres is none: a hundredth of an atom.
const FLAT: f64 = 1e-9;

/// Heights over a grid. The first row is y = 0, the first column x = 0. A profile is a map of
/// one row.
#[derive(Debug, Clone, PartialEq)]
pub struct HeightMap {
    rows: usize,
    columns: usize,
    /// Millimetres from column to column and from row to row.
    spacing: [f64; 2],
    /// Millimetres over `datum`; not a number where missing.
    heights: Vec<f32>,
    datum: f64,
    /// Half a digit of the highest height that was read: less than it says nothing.
    grain: f64,
}

/// Why no texture can be told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Refusal {
    /// Rows times columns is not the number of heights, or too large.
    Size,
    /// A spacing is not more than nothing.
    Spacing,
    /// Fewer than three heights, or than a part in a hundred of the map.
    TooFew,
    /// A filter shorter than two spacings.
    ShortFilter {
        /// The shortest that would do.
        least: Length,
    },
    /// A filter longer than the map.
    LongFilter {
        /// The longest that would do.
        most: Length,
    },
    /// The S-filter is not shorter than the L-filter.
    FiltersCross,
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Size => f.write_str("rows and columns that do not fit the heights"),
            Self::Spacing => f.write_str("a spacing that is not more than nothing"),
            Self::TooFew => f.write_str("hardly any heights"),
            Self::ShortFilter { least } => {
                write!(f, "a filter shorter than two spacings ({} mm)", least.millimetres())
            }
            Self::LongFilter { most } => {
                write!(f, "a filter longer than the map ({} mm)", most.millimetres())
            }
            Self::FiltersCross => f.write_str("an S-filter that is not shorter than the L-filter"),
        }
    }
}

impl std::error::Error for Refusal {}

impl Refusal {
    /// What was found instead of a map that will do.
    #[must_use]
    pub fn said(self) -> Said {
        match self {
            Self::Size => said!("rows-and-columns-that-do-not-fit-the-heights"),
            Self::Spacing => said!("a-spacing-that-is-not-more-than-nothing"),
            Self::TooFew => said!("hardly-any-heights"),
            Self::ShortFilter { least } => {
                said!("a-filter-shorter-than-two-spacings", least = least.millimetres())
            }
            Self::LongFilter { most } => {
                said!("a-filter-longer-than-the-map", most = most.millimetres())
            }
            Self::FiltersCross => said!("an-s-filter-not-shorter-than-the-l-filter"),
        }
    }
}

/// At most so many rows or columns about the middle of all.
#[must_use]
pub fn middle_of(count: usize, most: usize) -> std::ops::Range<usize> {
    let start = count.saturating_sub(most) / 2;
    start..start + count.min(most)
}

impl HeightMap {
    /// From heights in millimetres, row by row, what is no number being missing. The datum is
    /// the mean of the first thousand heights, so that a high offset costs no digits.
    ///
    /// # Errors
    ///
    /// [`Refusal::Size`], [`Refusal::Spacing`].
    pub fn new(
        rows: usize,
        columns: usize,
        spacing: [Length; 2],
        heights_mm: &[f64],
    ) -> Result<Self, Refusal> {
        let some: Vec<f64> =
            heights_mm.iter().copied().filter(|z| z.is_finite()).take(1000).collect();
        let datum =
            if some.is_empty() { 0.0 } else { some.iter().sum::<f64>() / some.len() as f64 };
        let heights = heights_mm
            .iter()
            .map(|z| if z.is_finite() { (z - datum) as f32 } else { f32::NAN })
            .collect();
        Self::single(rows, columns, spacing, heights, Length::from_millimetres(datum))
    }

    /// From heights in millimetres over a datum, in single precision, what is no number being
    /// missing.
    ///
    /// # Errors
    ///
    /// [`Refusal::Size`], [`Refusal::Spacing`].
    pub fn single(
        rows: usize,
        columns: usize,
        spacing: [Length; 2],
        mut heights_mm: Vec<f32>,
        datum: Length,
    ) -> Result<Self, Refusal> {
        if rows.checked_mul(columns) != Some(heights_mm.len())
            || heights_mm.is_empty()
            || heights_mm.len() > MOST_HEIGHTS
        {
            return Err(Refusal::Size);
        }
        let spacing = spacing.map(Length::millimetres);
        if !spacing.iter().all(|step| step.is_finite() && *step > 0.0) {
            return Err(Refusal::Spacing);
        }
        let mut highest = 0.0f32;
        for z in &mut heights_mm {
            if !z.is_finite() {
                *z = f32::NAN;
            }
            highest = if z.abs() > highest { z.abs() } else { highest };
        }
        let datum = datum.millimetres();
        let grain = (f64::from(highest) * f64::from(f32::EPSILON) / 2.0)
            .max(datum.abs() * f64::EPSILON)
            .max(FLAT);
        Ok(Self { rows, columns, spacing, heights: heights_mm, datum, grain })
    }

    /// Rows.
    #[must_use]
    pub fn rows(&self) -> usize {
        self.rows
    }

    /// Columns.
    #[must_use]
    pub fn columns(&self) -> usize {
        self.columns
    }

    /// From column to column, and from row to row.
    #[must_use]
    pub fn spacing(&self) -> [Length; 2] {
        self.spacing.map(Length::from_millimetres)
    }

    /// Rows and columns that are measured, as lengths: columns first.
    #[must_use]
    pub fn size(&self) -> [Length; 2] {
        [
            Length::from_millimetres(self.columns as f64 * self.spacing[0]),
            Length::from_millimetres(self.rows as f64 * self.spacing[1]),
        ]
    }

    /// Heights in millimetres over the datum, row by row; not a number where missing.
    #[must_use]
    pub fn heights_mm(&self) -> &[f32] {
        &self.heights
    }

    /// What the heights are counted from.
    #[must_use]
    pub fn datum(&self) -> Length {
        Length::from_millimetres(self.datum)
    }

    /// One row.
    #[must_use]
    pub fn row_mm(&self, row: usize) -> &[f32] {
        self.heights.get(row * self.columns..(row + 1) * self.columns).unwrap_or_default()
    }

    /// Share of the map that is known.
    #[must_use]
    pub fn coverage(&self) -> Fraction {
        let known = self.heights.iter().filter(|z| !z.is_nan()).count();
        Fraction::new(known as f64 / self.heights.len() as f64)
    }

    /// A rectangle of the map, cut to what there is.
    ///
    /// # Errors
    ///
    /// [`Refusal::Size`] where nothing is left.
    pub fn cut(
        &self,
        rows: std::ops::Range<usize>,
        columns: std::ops::Range<usize>,
    ) -> Result<Self, Refusal> {
        let rows = rows.start.min(self.rows)..rows.end.min(self.rows);
        let columns = columns.start.min(self.columns)..columns.end.min(self.columns);
        let heights: Vec<f32> =
            rows.clone().flat_map(|row| &self.row_mm(row)[columns.clone()]).copied().collect();
        Self::single(
            rows.len(),
            columns.len(),
            self.spacing(),
            heights,
            Length::from_millimetres(self.datum),
        )
    }

    /// The map without a border.
    ///
    /// # Errors
    ///
    /// [`Refusal::Size`] where nothing is left.
    pub fn without_border(&self, border: Length) -> Result<Self, Refusal> {
        let [x, y] =
            self.spacing.map(|step| (border.millimetres().max(0.0) / step).round() as usize);
        self.cut(y..self.rows.saturating_sub(y), x..self.columns.saturating_sub(x))
    }

    /// Means of square blocks of known heights, so that neither side has more than `most`.
    #[must_use]
    pub fn thinned(&self, most: usize) -> Self {
        let block = self.rows.max(self.columns).div_ceil(most.max(1)).max(1);
        let (rows, columns) = (self.rows.div_ceil(block), self.columns.div_ceil(block));
        let mut heights = Vec::with_capacity(rows * columns);
        for row in 0..rows {
            for column in 0..columns {
                let (mut sum, mut count) = (0.0, 0.0);
                for r in row * block..((row + 1) * block).min(self.rows) {
                    let line = self.row_mm(r);
                    for z in &line[column * block..((column + 1) * block).min(self.columns)] {
                        let known = !z.is_nan();
                        sum += if known { f64::from(*z) } else { 0.0 };
                        count += f64::from(u8::from(known));
                    }
                }
                heights.push(if count > 0.0 { (sum / count) as f32 } else { f32::NAN });
            }
        }
        let spacing = self.spacing.map(|step| step * block as f64);
        Self { rows, columns, spacing, heights, datum: self.datum, grain: self.grain }
    }

    /// Turned by a quarter, so that rows become columns.
    #[must_use]
    pub fn transposed(&self) -> Self {
        let heights = (0..self.columns)
            .flat_map(|column| (0..self.rows).map(move |row| row * self.columns + column))
            .map(|index| self.heights[index])
            .collect();
        Self {
            rows: self.columns,
            columns: self.rows,
            spacing: [self.spacing[1], self.spacing[0]],
            heights,
            datum: self.datum,
            grain: self.grain,
        }
    }

    pub(crate) fn steps(&self) -> [f64; 2] {
        self.spacing
    }

    pub(crate) fn grain(&self) -> f64 {
        self.grain
    }

    pub(crate) fn into_heights(self) -> Vec<f32> {
        self.heights
    }

    /// The map with other heights.
    pub(crate) fn with(&self, heights: Vec<f32>) -> Self {
        Self {
            rows: self.rows,
            columns: self.columns,
            spacing: self.spacing,
            heights,
            datum: self.datum,
            grain: self.grain,
        }
    }

    /// Changes whole columns, handed on as lines one after the other.
    pub(crate) fn change_columns(
        &mut self,
        workers: &dyn Workers,
        work: impl Fn(&mut [f32]) + Sync,
    ) {
        change_columns(&mut self.heights, self.columns, workers, work);
    }

    /// What `work` says of each part of rows, in their order.
    pub(crate) fn parts<T: Send>(
        &self,
        workers: &dyn Workers,
        work: impl Fn(usize, &[f32]) -> T + Sync,
    ) -> Vec<T> {
        let parts = self.heights.chunks(PART * self.columns).enumerate().collect();
        each(workers, parts, |(part, heights): (usize, &[f32])| work(part * PART, heights))
    }

    /// Changes each part of rows.
    pub(crate) fn change(
        &mut self,
        workers: &dyn Workers,
        work: impl Fn(usize, &mut [f32]) + Sync,
    ) {
        let columns = self.columns;
        let parts: Vec<(usize, &mut [f32])> =
            self.heights.chunks_mut(PART * columns).enumerate().collect();
        each(workers, parts, |(part, heights)| work(part * PART, heights));
    }
}
