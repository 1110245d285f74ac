//! Areal Gaussian filters of ISO 16610-61 with the moment criterion of ISO 16610-28, and the
//! robust one of ISO 16610-71 (first order; all from memory, checked by closed forms).
//!
//! The weight is exp(−π (x/αλ)²), α = √(ln 2/π); a sine of wave length λ passes by
//! 2^−(λc/λ)². The kernel ends at ±λ and is divided by its sum. Near an edge, a line is
//! filtered by the weighted straight line through what there is, along the rows and then
//! along the columns: a plane passes unchanged. Round missing heights, and in the robust
//! filter, it is the weighted plane through what is known within ±λ.

use std::f64::consts::{LN_2, PI};
use std::fmt;
use std::sync::Arc;

use rustfft::num_complex::Complex;
use rustfft::{Fft, FftPlanner};
use tooth_measure::Length;

use crate::correlation::easy_size;
use crate::form::Form;
use crate::map::{HeightMap, PART, Refusal};
use crate::workers::{Workers, each};

/// Columns that are filtered together.
const BLOCK: usize = 16;
/// Kernels of up to so many values on each side are faster without a transform.
const SHORT: usize = 24;

/// What is done to a map before its figures are taken.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Treatment {
    /// What is taken off first.
    pub form: Form,
    /// Waves shorter than this are taken off (S-filter).
    pub s_filter: Option<Length>,
    /// Waves longer than this are taken off (L-filter).
    pub l_filter: Option<Length>,
    /// Deep bug holes do not pull the L-filter's mean surface.
    pub robust: bool,
}

impl fmt::Display for Treatment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self.form {
            Form::None => "F:mean",
            Form::Plane => "F:plane",
        })?;
        let mut nesting = |name: &str, index: Option<Length>| match index {
            Some(index) => write!(f, " {name}:{}", rounded(index)),
            None => write!(f, " {name}:none"),
        };
        nesting("S", self.s_filter)?;
        nesting("L", self.l_filter)?;
        if self.robust && self.l_filter.is_some() {
            f.write_str(" robust")?;
        }
        Ok(())
    }
}

/// Millimetres, without the digits that only come of computing.
fn rounded(length: Length) -> f64 {
    (length.millimetres() * 1e6).round() / 1e6
}

impl Treatment {
    /// Whether the filters fit the map.
    ///
    /// # Errors
    ///
    /// [`Refusal::ShortFilter`], [`Refusal::LongFilter`], [`Refusal::FiltersCross`].
    pub fn check(&self, map: &HeightMap) -> Result<(), Refusal> {
        let steps = map.steps();
        let profile = map.rows() == 1;
        let least = if profile { 2.0 * steps[0] } else { 2.0 * steps[0].max(steps[1]) };
        let [width, height] = map.size().map(Length::millimetres);
        let most = if profile { width } else { width.min(height) };
        for filter in [self.s_filter, self.l_filter].into_iter().flatten() {
            let filter = filter.millimetres();
            if !filter.is_finite() || filter < least * (1.0 - 1e-9) {
                return Err(Refusal::ShortFilter { least: Length::from_millimetres(least) });
            }
            if filter > most * (1.0 + 1e-9) {
                return Err(Refusal::LongFilter { most: Length::from_millimetres(most) });
            }
        }
        match (self.s_filter, self.l_filter) {
            (Some(s), Some(l)) if s >= l => Err(Refusal::FiltersCross),
            _ => Ok(()),
        }
    }
}

/// A Gaussian over whole steps.
struct Kernel {
    /// Weights from the middle outwards, of sum 1 with both sides.
    weights: Vec<f64>,
}

impl Kernel {
    fn new(cutoff: f64, step: f64) -> Self {
        let alpha = (LN_2 / PI).sqrt();
        let reach = (cutoff / step + 1e-9).floor() as usize;
        let mut weights: Vec<f64> = (0..=reach)
            .map(|k| (-PI * (k as f64 * step / (alpha * cutoff)).powi(2)).exp())
            .collect();
        let sum = weights[0] + 2.0 * weights[1..].iter().sum::<f64>();
        for weight in &mut weights {
            *weight /= sum;
        }
        Self { weights }
    }

    fn reach(&self) -> usize {
        self.weights.len() - 1
    }

    fn at(&self, offset: isize) -> f64 {
        self.weights.get(offset.unsigned_abs()).copied().unwrap_or(0.0)
    }
}

/// How lines of one length are filtered.
struct Lines {
    length: usize,
    kernel: Kernel,
    /// Kernels of the places nearer to the edge than the kernel reaches, from the first
    /// sample on: the straight line through what there is.
    edges: Vec<Vec<f64>>,
    transform: Option<Transform>,
}

struct Transform {
    forward: Arc<dyn Fft<f64>>,
    back: Arc<dyn Fft<f64>>,
    /// The kernel's spectrum, real because the kernel is even, over the size.
    spectrum: Vec<f64>,
}

impl Lines {
    fn new(length: usize, cutoff: f64, step: f64) -> Self {
        let kernel = Kernel::new(cutoff, step);
        let reach = kernel.reach();
        let edges = (0..reach.min(length)).map(|place| edge(&kernel, place, length)).collect();
        let transform = (reach > SHORT && length > 2 * reach).then(|| {
            let size = easy_size(length + reach);
            let mut planner = FftPlanner::new();
            let mut values = vec![Complex::<f64>::default(); size];
            for k in 0..=reach {
                values[k].re = kernel.weights[k];
                values[(size - k) % size].re = kernel.weights[k];
            }
            planner.plan_fft_forward(size).process(&mut values);
            Transform {
                forward: planner.plan_fft_forward(size),
                back: planner.plan_fft_inverse(size),
                spectrum: values.iter().map(|v| v.re / size as f64).collect(),
            }
        });
        Self { length, kernel, edges, transform }
    }

    /// Filters two lines.
    fn pair(&self, first: &mut [f32], second: &mut [f32], room: &mut Vec<Complex<f64>>) {
        match &self.transform {
            Some(transform) => {
                room.clear();
                room.extend(
                    first
                        .iter()
                        .zip(second.iter())
                        .map(|(a, b)| Complex::new(f64::from(*a), f64::from(*b))),
                );
                room.resize(transform.spectrum.len(), Complex::default());
                transform.forward.process(room);
                for (value, weight) in room.iter_mut().zip(&transform.spectrum) {
                    *value *= weight;
                }
                transform.back.process(room);
                self.finish(first, |k| room[k].re);
                self.finish(second, |k| room[k].im);
            }
            None => {
                for line in [first, second] {
                    let source: Vec<f64> = line.iter().map(|z| f64::from(*z)).collect();
                    let reach = self.kernel.reach();
                    self.finish(line, |k| {
                        let mut sum = self.kernel.weights[0] * source[k];
                        for d in 1..=reach {
                            sum += self.kernel.weights[d] * (source[k - d] + source[k + d]);
                        }
                        sum
                    });
                }
            }
        }
    }

    /// Puts the filtered values in: from `inner` in the middle, from the edge kernels near
    /// both ends.
    fn finish(&self, line: &mut [f32], inner: impl Fn(usize) -> f64) {
        let reach = self.kernel.reach().min(self.length);
        let ends = |line: &[f32]| -> Vec<(usize, f64)> {
            let n = self.length;
            let mut out = Vec::with_capacity(2 * reach);
            for (place, weights) in self.edges.iter().enumerate() {
                let head: f64 = weights.iter().zip(line).map(|(w, z)| w * f64::from(*z)).sum();
                let tail: f64 =
                    weights.iter().zip(line.iter().rev()).map(|(w, z)| w * f64::from(*z)).sum();
                out.push((place, head));
                if n - 1 - place >= reach {
                    out.push((n - 1 - place, tail));
                }
            }
            out
        };
        let ends = ends(line);
        let middle = reach..self.length.saturating_sub(reach).max(reach);
        for (place, out) in middle.clone().zip(&mut line[middle]) {
            *out = inner(place) as f32;
        }
        for (place, value) in ends {
            line[place] = value as f32;
        }
    }
}

/// Weights of the straight line through the samples near a place, at the place.
fn edge(kernel: &Kernel, place: usize, length: usize) -> Vec<f64> {
    let count = (place + kernel.reach() + 1).min(length);
    let weights: Vec<f64> = (0..count).map(|k| kernel.at(k as isize - place as isize)).collect();
    let sum: f64 = weights.iter().sum();
    let offset = |k: usize| k as f64 - place as f64;
    let mean = weights.iter().enumerate().map(|(k, w)| w * offset(k)).sum::<f64>() / sum;
    let spread: f64 = weights.iter().enumerate().map(|(k, w)| w * (offset(k) - mean).powi(2)).sum();
    weights
        .iter()
        .enumerate()
        .map(|(k, w)| {
            let tilt = if spread > 0.0 { mean * (offset(k) - mean) / spread } else { 0.0 };
            w * (1.0 / sum - tilt)
        })
        .collect()
}

/// The mean surface of waves longer than `cutoff`: in place.
fn smooth(map: &mut HeightMap, cutoff: f64, workers: &dyn Workers) {
    let [dx, dy] = map.steps();
    let (rows, columns) = (map.rows(), map.columns());
    let along = Lines::new(columns, cutoff, dx);
    map.change(workers, |_, heights| {
        let mut room = Vec::new();
        let mut spare = vec![0.0; columns];
        for pair in heights.chunks_mut(2 * columns) {
            let (first, second) = pair.split_at_mut(columns);
            let second = if second.is_empty() { &mut spare } else { second };
            along.pair(first, second, &mut room);
        }
    });
    if rows == 1 {
        return;
    }
    let down = Lines::new(rows, cutoff, dy);
    let heights = map.heights_mm();
    // Strips of columns, few at a time so that they take little beside the map.
    let starts: Vec<usize> = (0..columns).step_by(BLOCK).collect();
    let mut out = vec![0.0f32; heights.len()];
    for group in starts.chunks(32) {
        let strips = each(workers, group.to_vec(), |first| {
            let width = BLOCK.min(columns - first);
            let mut lines = vec![0.0f32; (width + width % 2) * rows];
            for (row, heights) in heights.chunks(columns).enumerate() {
                for (k, z) in heights[first..first + width].iter().enumerate() {
                    lines[k * rows + row] = *z;
                }
            }
            let mut room = Vec::new();
            for pair in lines.chunks_mut(2 * rows) {
                let (one, two) = pair.split_at_mut(rows);
                down.pair(one, two, &mut room);
            }
            (first, width, lines)
        });
        let parts: Vec<(usize, &mut [f32])> = out.chunks_mut(PART * columns).enumerate().collect();
        each(workers, parts, |(part, out)| {
            for (first, width, lines) in &strips {
                for (row, out) in out.chunks_mut(columns).enumerate() {
                    for k in 0..*width {
                        out[first + k] = lines[k * rows + part * PART + row];
                    }
                }
            }
        });
    }
    *map = map.with(out);
}

/// The weighted plane through what is known within the kernel's reach, at each place; where
/// nothing is known within it, missing.
fn smooth_weighted(
    map: &HeightMap,
    weight: impl Fn(usize) -> f32 + Sync,
    cutoff: f64,
    workers: &dyn Workers,
) -> HeightMap {
    let [dx, dy] = map.steps();
    let columns = map.columns();
    let (along, down) = (Kernel::new(cutoff, dx), Kernel::new(cutoff, dy));
    let starts: Vec<usize> = (0..map.rows()).step_by(PART).collect();
    let out = each(workers, starts, |first| {
        let mut out = Vec::with_capacity(PART * columns);
        for row in first..(first + PART).min(map.rows()) {
            // Down the columns first: weights by powers 0 to 2 of the offset, heights by 0, 1.
            let mut sums = vec![[0.0f64; 5]; columns];
            let from = row.saturating_sub(down.reach());
            for near in from..(row + down.reach() + 1).min(map.rows()) {
                let offset = near as f64 - row as f64;
                let kernel = down.at(near as isize - row as isize);
                for (column, (sums, z)) in sums.iter_mut().zip(map.row_mm(near)).enumerate() {
                    if z.is_nan() {
                        continue;
                    }
                    let w = kernel * f64::from(weight(near * columns + column));
                    let wz = w * f64::from(*z);
                    sums[0] += w;
                    sums[1] += w * offset;
                    sums[2] += w * offset * offset;
                    sums[3] += wz;
                    sums[4] += wz * offset;
                }
            }
            for column in 0..columns {
                let from = column.saturating_sub(along.reach());
                let to = (column + along.reach() + 1).min(columns);
                // 1, x, y, xx, xy, yy, then z, xz, yz.
                let mut m = [0.0f64; 9];
                for (near, s) in (from..to).zip(&sums[from..to]) {
                    let x = near as f64 - column as f64;
                    let k = along.at(near as isize - column as isize);
                    m[0] += k * s[0];
                    m[1] += k * x * s[0];
                    m[2] += k * s[1];
                    m[3] += k * x * x * s[0];
                    m[4] += k * x * s[1];
                    m[5] += k * s[2];
                    m[6] += k * s[3];
                    m[7] += k * x * s[3];
                    m[8] += k * s[4];
                }
                out.push(plane_at(&m).map_or(f32::NAN, |z| z as f32));
            }
        }
        out
    });
    map.with(out.concat())
}

/// The height at the origin of the plane with these sums; of a mean where they span no plane.
fn plane_at(m: &[f64; 9]) -> Option<f64> {
    let [n, x, y, xx, xy, yy, z, xz, yz] = *m;
    if n <= 1e-12 {
        return None;
    }
    // About the middle of what is known.
    let (mx, my, mz) = (x / n, y / n, z / n);
    let (cxx, cxy, cyy) = (xx / n - mx * mx, xy / n - mx * my, yy / n - my * my);
    let (cxz, cyz) = (xz / n - mx * mz, yz / n - my * mz);
    let determinant = cxx * cyy - cxy * cxy;
    if determinant > 1e-6 * (cxx + cyy).powi(2) {
        let a = (cxz * cyy - cyz * cxy) / determinant;
        let b = (cyz * cxx - cxz * cxy) / determinant;
        return Some(mz - a * mx - b * my);
    }
    // A single line of heights: along the axis in which they spread.
    let (m, c, cz) = if cxx >= cyy { (mx, cxx, cxz) } else { (my, cyy, cyz) };
    Some(if c > 1e-9 { mz - cz / c * m } else { mz })
}

/// Rounds of the robust filter at most.
const ROUNDS: usize = 20;

/// The mean surface that far heights do not pull: weights (1 − (r/c)²)² of the residual r
/// with c = 4.4478 times the median of |r|, until c changes by less than a thousandth.
fn smooth_robust(map: &HeightMap, cutoff: f64, workers: &dyn Workers) -> HeightMap {
    let mut mean = smooth_weighted(map, |_| 1.0, cutoff, workers);
    let mut before = f64::INFINITY;
    for _ in 0..ROUNDS {
        let residuals: Vec<f32> =
            map.heights_mm().iter().zip(mean.heights_mm()).map(|(z, m)| z - m).collect();
        let mut sizes: Vec<f32> =
            residuals.iter().filter(|r| !r.is_nan()).map(|r| r.abs()).collect();
        if sizes.is_empty() {
            return mean;
        }
        let middle = sizes.len() / 2;
        let (_, median, _) = sizes.select_nth_unstable_by(middle, f32::total_cmp);
        let c = 4.4478 * f64::from(*median);
        if c <= 0.0 || (c - before).abs() <= 1e-3 * c {
            return mean;
        }
        before = c;
        let weight = |index: usize| {
            let r = f64::from(residuals[index]) / c;
            if r.abs() < 1.0 { (1.0 - r * r).powi(2) as f32 } else { 0.0 }
        };
        mean = smooth_weighted(map, weight, cutoff, workers);
    }
    mean
}

/// Form, then S-filter, then L-filter.
///
/// # Errors
///
/// As [`Treatment::check`].
pub(crate) fn treat(
    mut map: HeightMap,
    treatment: &Treatment,
    workers: &dyn Workers,
) -> Result<HeightMap, Refusal> {
    treatment.check(&map)?;
    crate::form::remove(&mut map, treatment.form, workers);
    let complete = !map
        .parts(workers, |_, heights| heights.iter().any(|z| z.is_nan()))
        .into_iter()
        .any(|holes| holes);
    if let Some(cutoff) = treatment.s_filter.map(Length::millimetres) {
        if complete {
            smooth(&mut map, cutoff, workers);
        } else {
            // What was missing stays so.
            let smoothed = smooth_weighted(&map, |_| 1.0, cutoff, workers).into_heights();
            let known = map.heights_mm().iter().zip(smoothed);
            let heights = known.map(|(z, s)| if z.is_nan() { f32::NAN } else { s }).collect();
            map = map.with(heights);
        }
    }
    if let Some(cutoff) = treatment.l_filter.map(Length::millimetres) {
        let mean = if treatment.robust {
            smooth_robust(&map, cutoff, workers)
        } else if complete {
            let mut mean = map.clone();
            smooth(&mut mean, cutoff, workers);
            mean
        } else {
            smooth_weighted(&map, |_| 1.0, cutoff, workers)
        };
        let columns = map.columns();
        map.change(workers, |first, heights| {
            let mean = &mean.heights_mm()[first * columns..];
            for (z, m) in heights.iter_mut().zip(mean) {
                *z -= m;
            }
        });
        // A filter leaves a little of the mean near edges.
        crate::form::remove(&mut map, Form::None, workers);
    }
    Ok(map)
}
