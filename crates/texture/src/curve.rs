//! The material ratio curve of ISO 25178-2: functional volumes and the core (Sk family).
//!
//! The sorted heights are the curve: sample k of n stands for the ratios from k/n to
//! (k+1)/n, equal heights together, and the curve runs straight from the middle of one to the
//! middle of the next. Volumes integrate it exactly. The core takes the window of 40 % with the least
//! secant slope, the first where several are alike to one part in a million, and its
//! least-squares line.

use tooth_measure::{Fraction, Length};

use crate::map::HeightMap;
use crate::workers::{Job, Workers};

/// Points of a curve that are kept for drawing.
const POINTS: usize = 201;

/// Heights from the highest to the lowest.
#[derive(Debug, Clone)]
pub struct Curve {
    sorted: Vec<f32>,
}

/// Volumes over or under the curve, per area, between 10 % and 80 % of material.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Functional {
    /// Vmp.
    pub peak_material: Length,
    /// Vmc.
    pub core_material: Length,
    /// Vvc.
    pub core_void: Length,
    /// Vvv.
    pub valley_void: Length,
}

/// The core and what stands out of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Core {
    /// Sk.
    pub depth: Length,
    /// Spk.
    pub reduced_peaks: Length,
    /// Svk.
    pub reduced_valleys: Length,
    /// Smr1.
    pub upper_ratio: Fraction,
    /// Smr2.
    pub lower_ratio: Fraction,
}

/// A float as a whole number of the same order.
fn key(z: f32) -> i32 {
    let bits = z.to_bits() as i32;
    bits ^ (((bits >> 31) as u32) >> 1) as i32
}

fn height(key: i32) -> f32 {
    f32::from_bits((key ^ (((key >> 31) as u32) >> 1) as i32) as u32)
}

/// Sorts, halves of halves beside each other.
fn sort(keys: &mut [i32], workers: &dyn Workers) {
    let half = keys.len() / 2;
    if half < 4096 {
        keys.sort_unstable();
        return;
    }
    keys.select_nth_unstable(half);
    let (low, high) = keys.split_at_mut(half);
    let mut quarters: Vec<&mut [i32]> = Vec::new();
    for side in [low, high] {
        let middle = side.len() / 2;
        side.select_nth_unstable(middle);
        let (first, second) = side.split_at_mut(middle);
        quarters.extend([first, second]);
    }
    let jobs = quarters
        .into_iter()
        .map(|part| -> Job<'_> { Box::new(move || part.sort_unstable()) })
        .collect();
    workers.run(jobs);
}

impl Curve {
    /// The curve of a map's known heights.
    #[must_use]
    pub fn of(map: &HeightMap, workers: &dyn Workers) -> Self {
        Self::of_heights(map.heights_mm().iter().copied(), workers)
    }

    /// The curve of some heights, what is no number left out.
    pub(crate) fn of_heights(heights: impl Iterator<Item = f32>, workers: &dyn Workers) -> Self {
        let mut keys: Vec<i32> = heights.filter(|z| !z.is_nan()).map(key).collect();
        sort(&mut keys, workers);
        // In place: a large map's curve is as large as the map.
        let mut sorted: Vec<f32> = keys.into_iter().map(height).collect();
        sorted.reverse();
        Self { sorted }
    }

    fn count(&self) -> f64 {
        self.sorted.len() as f64
    }

    /// Smc: the height that a share of the surface lies above.
    #[must_use]
    pub fn height_at(&self, ratio: Fraction) -> Length {
        Length::from_millimetres(self.at(ratio.ratio()))
    }

    /// Heights at 0, 0.5, … 100 % of material.
    pub(crate) fn points(&self) -> Vec<Length> {
        let at = |k: usize| Fraction::new(k as f64 / (POINTS - 1) as f64);
        (0..POINTS).map(|k| self.height_at(at(k))).collect()
    }

    /// The samples of the same height as sample `index`.
    fn alike(&self, index: usize) -> std::ops::Range<usize> {
        let z = self.sorted[index];
        // Most heights stand alone: look near first.
        let first = (0..index).rev().take_while(|k| self.sorted[*k] <= z).take(8).last();
        let start = match first {
            Some(k) if index - k >= 8 => self.sorted.partition_point(|other| *other > z),
            Some(k) => k,
            None => index,
        };
        let end = start + self.sorted[start..].partition_point(|other| *other >= z);
        start..end
    }

    fn at(&self, ratio: f64) -> f64 {
        let last = self.sorted.len() - 1;
        let place = ratio * self.count();
        let here = self.alike((place as usize).min(last));
        let middle = |range: &std::ops::Range<usize>| (range.start + range.end) as f64 / 2.0;
        let neighbour = if place < middle(&here) {
            here.start.checked_sub(1)
        } else {
            Some(here.end).filter(|end| *end <= last)
        };
        let z = f64::from(self.sorted[here.start]);
        let Some(neighbour) = neighbour.map(|index| self.alike(index)) else { return z };
        let share = (place - middle(&here)) / (middle(&neighbour) - middle(&here));
        z + share * (f64::from(self.sorted[neighbour.start]) - z)
    }

    /// Integrals of the curve from one of these ratios to the next.
    fn integrals<const N: usize>(&self, ratios: [f64; N]) -> [f64; N] {
        let n = self.count();
        let mut sums = [0.0; N];
        // Of the straight piece from one vertex to the next, what lies between two ratios.
        let mut piece = |from: (f64, f64), to: (f64, f64)| {
            let slope = (to.1 - from.1) / (to.0 - from.0);
            let mut start = from.0;
            for (k, sum) in sums.iter_mut().enumerate() {
                let limit = ratios.get(k + 1).map_or(n, |ratio| ratio * n);
                if start >= limit {
                    continue;
                }
                let end = to.0.min(limit);
                if end <= start {
                    return;
                }
                let height = from.1 + slope * (f64::midpoint(start, end) - from.0);
                *sum += height * (end - start);
                start = end;
            }
        };
        let mut vertex = (0.0, f64::from(self.sorted[0]));
        let mut start = 0;
        while start < self.sorted.len() {
            let z = self.sorted[start];
            let count = self.sorted[start..].iter().take_while(|other| **other >= z).count();
            let next = (start as f64 + count as f64 / 2.0, f64::from(z));
            piece(vertex, next);
            vertex = next;
            start += count;
        }
        piece(vertex, (n, vertex.1));
        sums.map(|sum| sum / n)
    }

    /// The volumes between 10 % and 80 %.
    #[must_use]
    pub fn functional(&self) -> Functional {
        let (p, q) = (0.1, 0.8);
        let [peaks, core, valleys] = self.integrals([0.0, p, q]);
        let (at_p, at_q) = (self.at(p), self.at(q));
        let mm = Length::from_millimetres;
        let (material_p, material_q) = (peaks - p * at_p, peaks + core - q * at_q);
        let (void_p, void_q) = ((1.0 - p) * at_p - core - valleys, (1.0 - q) * at_q - valleys);
        Functional {
            peak_material: mm(material_p),
            core_material: mm(material_q - material_p),
            core_void: mm(void_p - void_q),
            valley_void: mm(void_q),
        }
    }

    /// The core; none of fewer than ten heights.
    #[must_use]
    pub fn core(&self) -> Option<Core> {
        let n = self.sorted.len();
        let window = (0.4 * n as f64).round() as usize;
        if n < 10 || window + 1 > n {
            return None;
        }
        let drop = |start: usize| {
            f64::from(self.sorted[start]) - f64::from(self.sorted[(start + window).min(n - 1)])
        };
        let range = f64::from(self.sorted[0]) - f64::from(self.sorted[n - 1]);
        let (mut best, mut least) = (0, drop(0));
        for start in 1..=n - 1 - window.min(n - 1) {
            let here = drop(start);
            if here < least - 1e-6 * range {
                (best, least) = (start, here);
            }
        }
        let part = &self.sorted[best..(best + window + 1).min(n)];
        let count = part.len() as f64;
        // Against the middle of the window, so that no digits are lost.
        let middle = (count - 1.0) / 2.0;
        let mean = part.iter().map(|z| f64::from(*z)).sum::<f64>() / count;
        let (mut xz, mut xx) = (0.0, 0.0);
        for (k, z) in part.iter().enumerate() {
            let x = k as f64 - middle;
            xz += x * (f64::from(*z) - mean);
            xx += x * x;
        }
        let slope = xz / xx * n as f64;
        let centre = (best as f64 + middle + 0.5) / n as f64;
        let top = mean - slope * centre;
        let bottom = mean + slope * (1.0 - centre);
        let above = self.sorted.partition_point(|z| f64::from(*z) > top);
        let to_bottom = self.sorted.partition_point(|z| f64::from(*z) >= bottom);
        let peaks: f64 = self.sorted[..above].iter().map(|z| f64::from(*z) - top).sum();
        let valleys: f64 = self.sorted[to_bottom..].iter().map(|z| bottom - f64::from(*z)).sum();
        let (upper, lower) = (above as f64 / n as f64, to_bottom as f64 / n as f64);
        let reduced = |sum: f64, share: f64| {
            if share > 0.0 { 2.0 * sum / n as f64 / share } else { 0.0 }
        };
        let mm = Length::from_millimetres;
        Some(Core {
            depth: mm(top - bottom),
            reduced_peaks: mm(reduced(peaks, upper)),
            reduced_valleys: mm(reduced(valleys, 1.0 - lower)),
            upper_ratio: Fraction::new(upper),
            lower_ratio: Fraction::new(lower),
        })
    }
}
