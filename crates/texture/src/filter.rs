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

use crate::columns::{BLOCK, put_strips};
use crate::correlation::easy_size;
use crate::form::Form;
use crate::map::{HeightMap, PART, Refusal};
use crate::workers::{Workers, each};

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
        self.check_size(map.rows(), map.columns(), map.spacing())
    }

    /// Whether the filters fit a map of this size.
    pub(crate) fn check_size(
        &self,
        rows: usize,
        columns: usize,
        spacing: [Length; 2],
    ) -> Result<(), Refusal> {
        let steps = spacing.map(Length::millimetres);
        let profile = rows == 1;
        let least = if profile { 2.0 * steps[0] } else { 2.0 * steps[0].max(steps[1]) };
        let (width, height) = (columns as f64 * steps[0], rows as f64 * steps[1]);
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
    /// That of the kernel times the offset, imaginary because it is odd, over the size.
    moment: Vec<f64>,
    /// Shares of both near an edge, from the first sample on.
    shares: Vec<(f64, f64)>,
}

/// Room for a pair of lines and for their moments.
#[derive(Default)]
struct Room {
    values: Vec<Complex<f64>>,
    moments: Vec<Complex<f64>>,
}

impl Transform {
    fn new(kernel: &Kernel, length: usize) -> Self {
        let reach = kernel.reach();
        let size = easy_size(length + reach);
        let mut planner = FftPlanner::new();
        let forward = planner.plan_fft_forward(size);
        // Even in the real part, odd in the imaginary: their spectra stay apart.
        let mut values = vec![Complex::<f64>::default(); size];
        for k in 0..=reach {
            let weight = kernel.weights[k];
            values[k] = Complex::new(weight, 0.0);
            values[(size - k) % size].re = weight;
        }
        forward.process(&mut values);
        let mut odd = vec![Complex::<f64>::default(); size];
        for k in 1..=reach {
            let moment = kernel.weights[k] * k as f64;
            // A convolution turns the kernel round: what lies ahead has a positive offset.
            odd[k].re = -moment;
            odd[size - k].re = moment;
        }
        forward.process(&mut odd);
        Self {
            back: planner.plan_fft_inverse(size),
            spectrum: values.iter().map(|v| v.re / size as f64).collect(),
            moment: odd.iter().map(|v| v.im / size as f64).collect(),
            shares: (0..reach.min(length))
                .map(|place| {
                    let (sum, mean, spread) = line_sums(kernel, place, length);
                    if spread > 0.0 {
                        (1.0 / sum + mean * mean / spread, -mean / spread)
                    } else {
                        (1.0 / sum, 0.0)
                    }
                })
                .collect(),
            forward,
        }
    }

    /// Filters two lines, one as the real part, one as the imaginary.
    fn pair(&self, first: &mut [f32], second: &mut [f32], room: &mut Room) {
        let Room { values, moments } = room;
        values.clear();
        let both = first.iter().zip(second.iter());
        values.extend(both.map(|(a, b)| Complex::new(f64::from(*a), f64::from(*b))));
        values.resize(self.spectrum.len(), Complex::default());
        self.forward.process(values);
        moments.clear();
        moments.extend(
            values.iter().zip(&self.moment).map(|(v, m)| Complex::new(-v.im * m, v.re * m)),
        );
        for (value, weight) in values.iter_mut().zip(&self.spectrum) {
            *value *= weight;
        }
        self.back.process(values);
        self.back.process(moments);
        let length = first.len();
        let mut put = |place: usize, value: Complex<f64>| {
            first[place] = value.re as f32;
            second[place] = value.im as f32;
        };
        let reach = self.shares.len();
        for (place, (even, odd)) in self.shares.iter().enumerate() {
            put(place, values[place] * even + moments[place] * odd);
            let far = length - 1 - place;
            if far >= reach {
                put(far, values[far] * even - moments[far] * odd);
            }
        }
        let middle = reach..length.saturating_sub(reach).max(reach);
        for (place, value) in middle.clone().zip(&values[middle]) {
            put(place, *value);
        }
    }
}

impl Lines {
    fn new(length: usize, cutoff: f64, step: f64) -> Self {
        let kernel = Kernel::new(cutoff, step);
        let reach = kernel.reach();
        let transform =
            (reach > SHORT && length > 2 * reach).then(|| Transform::new(&kernel, length));
        let near = if transform.is_some() { 0 } else { reach.min(length) };
        let edges = (0..near).map(|place| edge(&kernel, place, length)).collect();
        Self { length, kernel, edges, transform }
    }

    /// Filters lines that lie one after the other, two at a time.
    fn all(&self, lines: &mut [f32]) {
        let mut room = Room::default();
        let mut spare = vec![0.0; self.length];
        for pair in lines.chunks_mut(2 * self.length) {
            let (first, second) = pair.split_at_mut(self.length);
            let second = if second.is_empty() { &mut spare } else { second };
            self.pair(first, second, &mut room);
        }
    }

    /// Filters two lines.
    fn pair(&self, first: &mut [f32], second: &mut [f32], room: &mut Room) {
        if let Some(transform) = &self.transform {
            return transform.pair(first, second, room);
        }
        for line in [first, second] {
            let source: Vec<f64> = line.iter().map(|z| f64::from(*z)).collect();
            let reach = self.kernel.reach().min(self.length);
            let dot = |weights: &[f64], source: &mut dyn Iterator<Item = &f64>| -> f64 {
                weights.iter().zip(source).map(|(w, z)| w * z).sum()
            };
            for (place, weights) in self.edges.iter().enumerate() {
                line[place] = dot(weights, &mut source.iter()) as f32;
                let far = self.length - 1 - place;
                if far >= reach {
                    line[far] = dot(weights, &mut source.iter().rev()) as f32;
                }
            }
            let middle = reach..self.length.saturating_sub(reach).max(reach);
            for (place, out) in middle.clone().zip(&mut line[middle]) {
                let mut sum = self.kernel.weights[0] * source[place];
                for (d, weight) in self.kernel.weights.iter().enumerate().skip(1) {
                    sum += weight * (source[place - d] + source[place + d]);
                }
                *out = sum as f32;
            }
        }
    }
}

/// Sum of the weights near a place, mean offset, and the weighted sum of squares about it.
fn line_sums(kernel: &Kernel, place: usize, length: usize) -> (f64, f64, f64) {
    let count = (place + kernel.reach() + 1).min(length);
    let weighted = |of: &dyn Fn(f64) -> f64| -> f64 {
        (0..count)
            .map(|k| k as isize - place as isize)
            .map(|offset| kernel.at(offset) * of(offset as f64))
            .sum()
    };
    let sum = weighted(&|_| 1.0);
    let mean = weighted(&|offset| offset) / sum;
    (sum, mean, weighted(&|offset| (offset - mean).powi(2)))
}

/// Weights of the straight line through the samples near a place, at the place.
fn edge(kernel: &Kernel, place: usize, length: usize) -> Vec<f64> {
    let (sum, mean, spread) = line_sums(kernel, place, length);
    (0..(place + kernel.reach() + 1).min(length))
        .map(|k| k as isize - place as isize)
        .map(|offset| {
            let off = offset as f64 - mean;
            let tilt = if spread > 0.0 { mean * off / spread } else { 0.0 };
            kernel.at(offset) * (1.0 / sum - tilt)
        })
        .collect()
}

/// The mean surface of waves longer than `cutoff`: in place.
fn smooth(map: &mut HeightMap, cutoff: f64, workers: &dyn Workers) {
    let [dx, dy] = map.steps();
    let rows = map.rows();
    let along = Lines::new(map.columns(), cutoff, dx);
    map.change(workers, |_, heights| along.all(heights));
    if rows == 1 {
        return;
    }
    let down = Lines::new(rows, cutoff, dy);
    map.change_columns(workers, |lines| down.all(lines));
}

/// Sums of a line with a Gaussian times powers 0 to 2 of the offset, by one transform.
struct Powers {
    forward: Arc<dyn Fft<f64>>,
    back: Arc<dyn Fft<f64>>,
    /// Of even powers the real, of the odd the imaginary spectrum, over the size.
    spectra: [Vec<f64>; 3],
}

impl Powers {
    fn new(length: usize, kernel: &Kernel) -> Self {
        // Lines are longer than a kernel may reach: what lies beyond weighs nothing.
        let reach = kernel.reach().min(length);
        let size = easy_size(length + reach);
        let mut planner = FftPlanner::new();
        let forward = planner.plan_fft_forward(size);
        let spectra = [0, 1, 2].map(|power| {
            let mut values = vec![Complex::<f64>::default(); size];
            for k in 0..=reach {
                let value = kernel.weights[k] * (k as f64).powi(power);
                // A convolution turns the kernel round.
                let ahead = if power == 1 { -value } else { value };
                values[k].re = ahead;
                values[(size - k) % size].re = value;
            }
            forward.process(&mut values);
            let part = |v: &Complex<f64>| if power == 1 { v.im } else { v.re };
            values.iter().map(|v| part(v) / size as f64).collect()
        });
        Self { back: planner.plan_fft_inverse(size), forward, spectra }
    }

    /// The spectrum of two lines, one as the real part, one as the imaginary.
    fn spectrum(&self, lines: impl Iterator<Item = Complex<f64>>) -> Vec<Complex<f64>> {
        let mut values: Vec<Complex<f64>> = lines.collect();
        values.resize(self.spectra[0].len(), Complex::default());
        self.forward.process(&mut values);
        values
    }

    /// Their sums with a power of the offset.
    fn sums(&self, spectrum: &[Complex<f64>], power: usize) -> Vec<Complex<f64>> {
        let pairs = spectrum.iter().zip(&self.spectra[power]);
        let mut values: Vec<Complex<f64>> = if power == 1 {
            pairs.map(|(v, k)| Complex::new(-v.im * k, v.re * k)).collect()
        } else {
            pairs.map(|(v, k)| v * k).collect()
        };
        self.back.process(&mut values);
        values
    }
}

/// The weighted plane through what is known within the kernel's reach, at each place; where
/// hardly anything is known within it, missing.
fn smooth_weighted(
    map: &HeightMap,
    weight: impl Fn(usize) -> f32 + Sync,
    cutoff: f64,
    workers: &dyn Workers,
) -> HeightMap {
    let [dx, dy] = map.steps();
    let (rows, columns) = (map.rows(), map.columns());
    let along = Powers::new(columns, &Kernel::new(cutoff, dx));
    // Weights with powers 0, 1, 2 of the offset along the row; heights with 0, 1.
    let mut sums = vec![[0.0f32; 5]; rows * columns];
    let parts: Vec<(usize, &mut [[f32; 5]])> =
        sums.chunks_mut(PART * columns).enumerate().collect();
    each(workers, parts, |(part, sums)| {
        for (row, sums) in sums.chunks_mut(columns).enumerate() {
            let row = part * PART + row;
            let line = map.row_mm(row).iter().enumerate().map(|(column, z)| {
                if z.is_nan() {
                    return Complex::default();
                }
                let w = f64::from(weight(row * columns + column));
                Complex::new(w, w * f64::from(*z))
            });
            let spectrum = along.spectrum(line);
            let of: [Vec<Complex<f64>>; 3] =
                std::array::from_fn(|power| along.sums(&spectrum, power));
            for (column, sums) in sums.iter_mut().enumerate() {
                *sums = [
                    of[0][column].re as f32,
                    of[1][column].re as f32,
                    of[2][column].re as f32,
                    of[0][column].im as f32,
                    of[1][column].im as f32,
                ];
            }
        }
    });
    let down = Powers::new(rows, &Kernel::new(cutoff, dy));
    let starts: Vec<usize> = (0..columns).step_by(BLOCK).collect();
    let mut out = vec![0.0f32; rows * columns];
    for group in starts.chunks(32) {
        let strips = each(workers, group.to_vec(), |first| {
            let width = BLOCK.min(columns - first);
            let mut strip = Vec::with_capacity(width * rows);
            for column in first..first + width {
                let pair = |re: usize, im: Option<usize>| {
                    let line = sums[column..].iter().step_by(columns).map(move |sums| {
                        let im = im.map_or(0.0, |im| f64::from(sums[im]));
                        Complex::new(f64::from(sums[re]), im)
                    });
                    down.spectrum(line)
                };
                let (still, moved, squared) = (pair(0, Some(3)), pair(1, Some(4)), pair(2, None));
                let n_z = down.sums(&still, 0);
                let y_yz = down.sums(&still, 1);
                let yy = down.sums(&still, 2);
                let x_xz = down.sums(&moved, 0);
                let xy = down.sums(&moved, 1);
                let xx = down.sums(&squared, 0);
                strip.extend((0..rows).map(|r| {
                    let sums = [
                        n_z[r].re, x_xz[r].re, y_yz[r].re, xx[r].re, xy[r].re, yy[r].re, n_z[r].im,
                        x_xz[r].im, y_yz[r].im,
                    ];
                    plane_at(&sums).map_or(f32::NAN, |z| z as f32)
                }));
            }
            (first, width, strip)
        });
        put_strips(&mut out, columns, rows, &strips, workers);
    }
    map.with(out)
}

/// The height at the origin of the plane with these sums; of a mean where they span no plane.
fn plane_at(m: &[f64; 9]) -> Option<f64> {
    let [n, x, y, xx, xy, yy, z, xz, yz] = *m;
    // Rounding of the transforms leaves some billionths where nothing is known.
    if n <= 1e-6 {
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
    let mut map = filtered(map, treatment, workers);
    if treatment.l_filter.is_some() {
        // A filter leaves a little of the mean near edges.
        crate::form::remove(&mut map, Form::None, workers);
    }
    Ok(map)
}

/// How many rows beyond a part its filtered heights rest on.
pub(crate) fn reach(treatment: &Treatment, row_spacing: f64) -> usize {
    [treatment.s_filter, treatment.l_filter]
        .into_iter()
        .flatten()
        .map(|filter| (filter.millimetres() / row_spacing).ceil() as usize + 1)
        .sum()
}

/// S-filter, then L-filter.
pub(crate) fn filtered(
    mut map: HeightMap,
    treatment: &Treatment,
    workers: &dyn Workers,
) -> HeightMap {
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
    }
    map
}
