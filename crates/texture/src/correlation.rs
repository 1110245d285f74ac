//! Autocorrelation of ISO 25178-2: Sal, the shortest way on which it falls to 0.2, and Str,
//! that way over the longest.
//!
//! The correlation at a lag is the mean product over the pairs that exist, divided by the
//! mean square (no wrapping round, no taper: the map is padded with zeros to twice its size
//! and the number of pairs divided out). Lags reach half the map. A way on which it does not
//! fall counts as long as it goes. Maps of more than 4096 by 4096 are cut to that many about
//! their middle.

use std::f64::consts::PI;
use std::sync::Arc;

use realfft::num_complex::Complex;
use realfft::{ComplexToReal, RealFftPlanner, RealToComplex};
use rustfft::{Fft, FftPlanner};
use tooth_measure::{Angle, Fraction, Length};

use crate::map::{HeightMap, PART, middle_of};
use crate::workers::{Workers, each};

/// Where the correlation has fallen enough.
const FALLEN: f64 = 0.2;
/// Directions over half a turn.
const DIRECTIONS: usize = 360;
const MOST: usize = 4096;
/// Columns that are transformed together.
const BLOCK: usize = 16;

/// How far the surface resembles itself.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Correlation {
    /// Sal.
    pub shortest: Length,
    /// Str: near 1 where all directions are alike, near 0 with a lay.
    pub aspect: Fraction,
    /// Direction of the longest way: 0 along the rows, a quarter turn along the columns.
    pub lay: Angle,
}

/// Transforms of one size of map.
struct Plans {
    rows: usize,
    columns: usize,
    along: Arc<dyn RealToComplex<f32>>,
    along_back: Arc<dyn ComplexToReal<f32>>,
    down: Arc<dyn Fft<f32>>,
    down_back: Arc<dyn Fft<f32>>,
}

/// The least product of twos and threes that is enough.
pub(crate) fn easy_size(least: usize) -> usize {
    let least = least.max(1);
    let mut best = least.next_power_of_two();
    let mut threes = 3;
    while threes < best {
        let twos = least.div_ceil(threes).next_power_of_two();
        best = best.min(threes * twos);
        threes *= 3;
    }
    best
}

impl Plans {
    /// For lags of up to half the map, which half a map of zeros keeps apart.
    fn new(rows: usize, columns: usize) -> Self {
        // Even, so that a real transform is half a complex one.
        let along = 2 * easy_size((columns + columns / 2 + 1).div_ceil(2));
        let down = easy_size(rows + rows / 2 + 1);
        let (mut real, mut complex) = (RealFftPlanner::new(), FftPlanner::new());
        Self {
            rows,
            columns,
            along: real.plan_fft_forward(along),
            along_back: real.plan_fft_inverse(along),
            down: complex.plan_fft_forward(down),
            down_back: complex.plan_fft_inverse(down),
        }
    }

    /// Sums of products over the pairs at each lag: rows from 0 to half, columns from minus
    /// half to half.
    fn products(&self, value: impl Fn(usize) -> f32 + Sync, workers: &dyn Workers) -> Vec<f32> {
        let bins = self.along.len() / 2 + 1;
        let mut spectra = vec![Complex::<f32>::default(); self.rows * bins];
        let parts: Vec<(usize, &mut [Complex<f32>])> =
            spectra.chunks_mut(PART * bins).enumerate().collect();
        each(workers, parts, |(part, spectra)| {
            let mut line = self.along.make_input_vec();
            let mut scratch = self.along.make_scratch_vec();
            for (row, spectrum) in spectra.chunks_mut(bins).enumerate() {
                let start = (part * PART + row) * self.columns;
                line.fill(0.0);
                for (column, out) in line[..self.columns].iter_mut().enumerate() {
                    *out = value(start + column);
                }
                // The lengths are the plan's own.
                let _ = self.along.process_with_scratch(&mut line, spectrum, &mut scratch);
            }
        });
        let kept = self.rows / 2 + 1;
        let blocks: Vec<usize> = (0..bins).step_by(BLOCK).collect();
        let columns = each(workers, blocks, |first| {
            let width = BLOCK.min(bins - first);
            let size = self.down.len();
            let mut lines = vec![Complex::<f32>::default(); width * size];
            for (row, spectrum) in spectra.chunks(bins).enumerate() {
                for (k, value) in spectrum[first..first + width].iter().enumerate() {
                    lines[k * size + row] = *value;
                }
            }
            self.down.process(&mut lines);
            for value in &mut lines {
                *value = Complex::new(value.norm_sqr(), 0.0);
            }
            self.down_back.process(&mut lines);
            lines.chunks(size).flat_map(|line| &line[..kept]).copied().collect::<Vec<_>>()
        });
        drop(spectra);
        let half = self.columns / 2;
        let width = 2 * half + 1;
        let mut lags = vec![0.0f32; kept * width];
        let parts: Vec<(usize, &mut [f32])> = lags.chunks_mut(PART * width).enumerate().collect();
        let scale = 1.0 / (self.along.len() as f32 * self.down.len() as f32);
        each(workers, parts, |(part, lags)| {
            let mut spectrum = self.along_back.make_input_vec();
            let mut line = self.along_back.make_output_vec();
            let mut scratch = self.along_back.make_scratch_vec();
            for (row, out) in lags.chunks_mut(width).enumerate() {
                let row = part * PART + row;
                for (block, values) in columns.iter().enumerate() {
                    for (k, line) in values.chunks(kept).enumerate() {
                        spectrum[block * BLOCK + k] = line[row];
                    }
                }
                // Real by nature; rounding leaves a little.
                spectrum[0].im = 0.0;
                spectrum[bins - 1].im = 0.0;
                let _ =
                    self.along_back.process_with_scratch(&mut spectrum, &mut line, &mut scratch);
                for (column, out) in out.iter_mut().enumerate() {
                    let lag = (column + line.len() - half) % line.len();
                    *out = line[lag] * scale;
                }
            }
        });
        lags
    }
}

/// Correlations at lags, looked up between them.
struct Lags {
    /// Half the columns, and half the rows.
    half: [usize; 2],
    steps: [f64; 2],
    values: Vec<f32>,
}

impl Lags {
    fn at(&self, x: f64, y: f64) -> Option<f64> {
        let width = 2 * self.half[0] + 1;
        let (x, y) = (x / self.steps[0] + self.half[0] as f64, y / self.steps[1]);
        let limit = (width as f64 - 1.0, self.half[1] as f64);
        // A direction along an axis ends on it to the last bit, or beyond.
        if x < -1e-9 || y < -1e-9 || x > limit.0 + 1e-9 || y > limit.1 + 1e-9 {
            return None;
        }
        let (left, top) = (x.max(0.0).min(limit.0), y.max(0.0).min(limit.1));
        let (c, r) = (left as usize, top as usize);
        let (u, v) = (left - c as f64, top - r as f64);
        let value = |r: usize, c: usize| {
            f64::from(self.values[r.min(self.half[1]) * width + c.min(width - 1)])
        };
        let upper = value(r, c) * (1.0 - u) + value(r, c + 1) * u;
        let lower = value(r + 1, c) * (1.0 - u) + value(r + 1, c + 1) * u;
        Some(upper * (1.0 - v) + lower * v)
    }

    /// How far in a direction until the correlation has fallen, or as far as it goes.
    fn way(&self, direction: f64) -> f64 {
        let step = self.steps[0].min(self.steps[1]) / 2.0;
        let (y, x) = direction.sin_cos();
        let (mut far, mut known, mut before) = (0.0, 0.0, 1.0);
        loop {
            let next = far + step;
            let Some(here) = self.at(next * x, next * y) else { return far };
            if here.is_nan() {
                far = next;
                continue;
            }
            if here < FALLEN {
                return next - (next - known) * (FALLEN - here) / (before - here);
            }
            (far, known, before) = (next, next, here);
        }
    }
}

/// None of a profile, of a flat surface, or where too little is known.
pub(crate) fn correlation(map: &HeightMap, workers: &dyn Workers) -> Option<Correlation> {
    if map.rows() < 4 || map.columns() < 4 {
        return None;
    }
    if map.rows() > MOST || map.columns() > MOST {
        let cut = map.cut(middle_of(map.rows(), MOST), middle_of(map.columns(), MOST)).ok()?;
        return correlation(&cut, workers);
    }
    let heights = map.heights_mm();
    let sums = map.parts(workers, |_, heights| {
        heights.iter().filter(|z| !z.is_nan()).fold((0.0, 0.0, 0.0), |(n, sum, square), z| {
            let z = f64::from(*z);
            (n + 1.0, sum + z, square + z * z)
        })
    });
    let (n, sum, square) = sums
        .into_iter()
        .fold((0.0, 0.0, 0.0), |a: (f64, f64, f64), b| (a.0 + b.0, a.1 + b.1, a.2 + b.2));
    let mean = sum / n;
    let power = square / n - mean * mean;
    if n < 16.0 || power.max(0.0).sqrt() <= map.grain() {
        return None;
    }
    let plans = Plans::new(map.rows(), map.columns());
    let mut values = plans.products(
        |index| {
            let z = heights[index];
            if z.is_nan() { 0.0 } else { z - mean as f32 }
        },
        workers,
    );
    let half = [map.columns() / 2, map.rows() / 2];
    let width = 2 * half[0] + 1;
    let pairs = (n < heights.len() as f64)
        .then(|| plans.products(|index| f32::from(u8::from(!heights[index].is_nan())), workers));
    for (row, line) in values.chunks_mut(width).enumerate() {
        for (column, value) in line.iter_mut().enumerate() {
            let count = match &pairs {
                Some(pairs) => f64::from(pairs[row * width + column]),
                None => ((map.rows() - row) * (map.columns() - column.abs_diff(half[0]))) as f64,
            };
            // A lag that hardly any pair has is no evidence of likeness.
            let enough = count > 0.02 * n;
            *value = if enough { (f64::from(*value) / count / power) as f32 } else { f32::NAN };
        }
    }
    let lags = Lags { half, steps: map.steps(), values };
    let ways: Vec<(f64, f64)> = (0..DIRECTIONS)
        .map(|k| PI * k as f64 / DIRECTIONS as f64)
        .map(|direction| (direction, lags.way(direction)))
        .collect();
    let shortest = ways.iter().min_by(|a, b| a.1.total_cmp(&b.1))?.1;
    let (lay, longest) = *ways.iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
    Some(Correlation {
        shortest: Length::from_millimetres(shortest),
        aspect: Fraction::new((shortest / longest).min(1.0)),
        lay: Angle::from_degrees(lay.to_degrees()),
    })
}
