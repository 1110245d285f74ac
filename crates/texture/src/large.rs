//! Maps too large to be held: several passes over strips of rows, each with the rows around
//! that its filters and its closing rest on.
//!
//! The first pass fits the plane. The second filters strip after strip, each a row of the lid's
//! cells high, and adds up. Differences from a map that is held whole: the material ratio curve
//! is that of every so manieth height, some tens of millions; correlation and lines are those of
//! the middle 4096 by 4096; fields are cut within strips; the mean that a filter leaves is taken
//! off figures, not off heights.

use std::ops::Range;

use tooth_measure::{Fraction, Length};

use crate::areal::Sums;
use crate::correlation::correlation;
use crate::curve::Curve;
use crate::fields::{Fields, Heights, fields};
use crate::filter::{Treatment, filtered, reach};
use crate::form::{self, Form};
use crate::lines;
use crate::map::{HeightMap, Refusal, middle_of};
use crate::patch::{CELL, closing, lid_depth, parts};
use crate::texture::{CLOSING, Texture};
use crate::workers::Workers;

/// A grid of heights that is read in rows.
pub trait Rows {
    /// What goes wrong while reading.
    type Trouble: From<Refusal>;

    /// How many rows.
    fn rows(&self) -> usize;
    /// How many columns.
    fn columns(&self) -> usize;
    /// From column to column, and from row to row.
    fn spacing(&self) -> [Length; 2];
    /// Some rows of it, all with the same datum.
    ///
    /// # Errors
    ///
    /// What goes wrong while reading.
    fn read(&self, rows: Range<usize>) -> Result<HeightMap, Self::Trouble>;
}

/// Heights of the curve at most.
const SAMPLE: usize = 1 << 25;
/// Side of the part whose correlation and lines are taken.
const MIDDLE: usize = 4096;
/// Heights a side that are kept for drawing.
const DRAWN: usize = 1024;
/// Rows of a strip at most, whatever the cells.
const STRIP: usize = 2048;

impl Texture {
    /// The figures of a grid that is read in rows. Its `map` is thinned for drawing.
    ///
    /// # Errors
    ///
    /// As [`Texture::of`], and what goes wrong while reading.
    pub fn of_rows<R: Rows>(
        grid: &R,
        treatment: &Treatment,
        workers: &dyn Workers,
    ) -> Result<Self, R::Trouble> {
        let (rows, columns) = (grid.rows(), grid.columns());
        let [dx, dy] = grid.spacing().map(Length::millimetres);
        // A matter of size alone: before anything is read.
        treatment.check_size(rows, columns, grid.spacing())?;
        let strips: Vec<Range<usize>> = parts(rows, dy, CELL.min(STRIP as f64 * dy))
            .into_iter()
            .map(|(start, end)| start..end)
            .collect();
        let mut plane = form::Sums::default();
        let mut grain = 0.0f64;
        for strip in &strips {
            let map = grid.read(strip.clone())?;
            let first = strip.start as f64 - form::middle(rows);
            for part in map.parts(workers, |start, heights| {
                form::sums(columns, first + start as f64, form::middle(columns), heights)
            }) {
                plane.add(&part);
            }
            grain = grain.max(map.grain());
        }
        let coverage = Fraction::new(plane.known() / (rows as f64 * columns as f64));
        if plane.known() < 3.0 || coverage.ratio() < 0.01 {
            return Err(Refusal::TooFew.into());
        }
        let plane = match treatment.form {
            Form::None => plane.level(),
            Form::Plane => form::solve(&plane),
        };
        let closing_rows = (CLOSING.millimetres() / dy).ceil() as usize + 1;
        let around = reach(treatment, dy) + closing_rows;
        let step = (rows * columns).div_ceil(SAMPLE).max(1);
        let mut gathered = Gathered::new(rows, columns);
        for strip in &strips {
            let halo = strip.start.saturating_sub(around)..(strip.end + around).min(rows);
            let mut map = grid.read(halo.clone())?;
            let first = halo.start as f64 - form::middle(rows);
            form::take_off(&mut map, &plane, first, form::middle(columns), workers);
            let map = filtered(map, treatment, workers);
            let own = strip.start - halo.start..strip.end - halo.start;
            gathered.add(&map, own, strip, step, workers)?;
        }
        // About the mean: sums that were taken about nought are moved.
        let mean = gathered.sums.mean();
        let areal = gathered.sums.moved(mean).areal(mean, [dx, dy], grain);
        let curve = Curve::of_heights(gathered.sample.iter().copied(), workers);
        drop(gathered.sample);
        let (functional, core) = (curve.functional(), curve.core());
        let material_ratio = curve.points();
        drop(curve);
        let spacing = grid.spacing();
        let middle = HeightMap::single(
            middle_of(rows, MIDDLE).len(),
            middle_of(columns, MIDDLE).len(),
            spacing,
            gathered.middle,
            Length::ZERO,
        )?;
        let drawn = gathered.drawn.finish(spacing)?;
        Ok(Self {
            coverage,
            areal,
            functional,
            core,
            material_ratio,
            correlation: correlation(&middle, workers),
            mean_texture_depth: (gathered.lid.1 > 0.0)
                .then(|| Length::from_millimetres(gathered.lid.0 / gathered.lid.1)),
            closing_depth: (gathered.closing.1 > 0.0)
                .then(|| Length::from_millimetres(gathered.closing.0 / gathered.closing.1)),
            lines: lines::of(&middle, workers),
            fields: Heights::new(gathered.fields)
                .map(|readings| Fields { side: Fields::SIDE, readings }),
            treatment: *treatment,
            map: drawn,
        })
    }
}

/// What strips add up to.
struct Gathered {
    sums: Sums,
    sample: Vec<f32>,
    middle: Vec<f32>,
    /// Depth times heights, and heights.
    lid: (f64, f64),
    closing: (f64, f64),
    fields: Vec<Length>,
    drawn: Drawn,
    rows: usize,
    columns: usize,
}

impl Gathered {
    fn new(rows: usize, columns: usize) -> Self {
        Self {
            sums: Sums::none(),
            sample: Vec::new(),
            middle: Vec::new(),
            lid: (0.0, 0.0),
            closing: (0.0, 0.0),
            fields: Vec::new(),
            drawn: Drawn::new(rows, columns),
            rows,
            columns,
        }
    }

    /// Adds the own rows of a strip with its surroundings; they are rows `whole` of the grid.
    fn add(
        &mut self,
        map: &HeightMap,
        own: Range<usize>,
        whole: &Range<usize>,
        step: usize,
        workers: &dyn Workers,
    ) -> Result<(), Refusal> {
        self.sums = self.sums.plus(Sums::of(map, own.clone(), 0.0, workers));
        let core = map.cut(own.clone(), 0..self.columns)?;
        let offset = (step - (whole.start * self.columns) % step) % step;
        self.sample.extend(core.heights_mm().iter().skip(offset).step_by(step));
        for row in middle_of(self.rows, MIDDLE).filter(|row| whole.contains(row)) {
            let line = core.row_mm(row - whole.start);
            self.middle.extend_from_slice(&line[middle_of(self.columns, MIDDLE)]);
        }
        if let Some(depth) = lid_depth(&core, workers) {
            let heights = core.heights_mm().len() as f64;
            self.lid = (self.lid.0 + depth.millimetres() * heights, self.lid.1 + heights);
        }
        let (sum, count) = closing(map, CLOSING, own, workers);
        self.closing = (self.closing.0 + sum, self.closing.1 + count);
        self.fields.extend(fields(&core, workers).into_iter().flat_map(|f| f.readings.all()));
        for row in 0..core.rows() {
            self.drawn.add(whole.start + row, core.row_mm(row));
        }
        Ok(())
    }
}

/// Means of square blocks.
struct Drawn {
    block: usize,
    columns: usize,
    sums: Vec<(f64, f64)>,
}

impl Drawn {
    fn new(rows: usize, columns: usize) -> Self {
        let block = rows.max(columns).div_ceil(DRAWN).max(1);
        let size = (rows.div_ceil(block), columns.div_ceil(block));
        Self { block, columns: size.1, sums: vec![(0.0, 0.0); size.0 * size.1] }
    }

    fn add(&mut self, row: usize, line: &[f32]) {
        let start = row / self.block * self.columns;
        for (blocks, sums) in line.chunks(self.block).zip(&mut self.sums[start..]) {
            for z in blocks.iter().filter(|z| !z.is_nan()) {
                sums.0 += f64::from(*z);
                sums.1 += 1.0;
            }
        }
    }

    fn finish(self, spacing: [Length; 2]) -> Result<HeightMap, Refusal> {
        let heights: Vec<f32> = self.sums.iter().map(|(sum, count)| (sum / count) as f32).collect();
        let spacing = spacing.map(|step| step * self.block as f64);
        let rows = heights.len() / self.columns;
        HeightMap::single(rows, self.columns, spacing, heights, Length::ZERO)
    }
}
