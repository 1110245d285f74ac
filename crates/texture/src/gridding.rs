//! From a cloud of points, or the corners of a mesh, to a height map: the plane by a robust
//! fit, cells on it, the median of each cell's heights; a cell without points is missing.
//!
//! The points are handed in twice, in any pieces: once for the plane and the extent
//! ([`Sample`]), once for the cells ([`Frame::place`]). Millimetres.

use nalgebra::{Matrix3, SymmetricEigen, Vector3};
use tooth_measure::Length;
use tooth_measure::chance::{Seed, Stream};

use crate::map::MOST_HEIGHTS;

/// Points that the plane is fitted to.
const SAMPLE: usize = 1 << 16;
/// Triples that are tried.
const TRIPLES: u64 = 200;
/// Points per cell that the spacing is chosen for.
const PER_CELL: f64 = 4.0;

/// Evenly spread points of a cloud, and how many there were.
#[derive(Debug, Clone, Default)]
pub struct Sample {
    points: Vec<[f64; 3]>,
    every: u64,
    count: u64,
}

impl Sample {
    /// Takes the next points, in millimetres; what is no number is left out.
    pub fn see(&mut self, points_mm: &[[f64; 3]]) {
        self.every = self.every.max(1);
        for point in points_mm {
            if !point.iter().all(|c| c.is_finite()) {
                continue;
            }
            if self.count.is_multiple_of(self.every) {
                self.points.push(*point);
                if self.points.len() >= 2 * SAMPLE {
                    let mut keep = false;
                    self.points.retain(|_| {
                        keep = !keep;
                        keep
                    });
                    self.every *= 2;
                }
            }
            self.count += 1;
        }
    }

    /// Points that were handed in.
    #[must_use]
    pub fn count(&self) -> u64 {
        self.count
    }

    /// The plane and its cells; of a spacing that four different points share where none is
    /// given, when each comes `repeats` times. A thousandth of the points at each side that lies
    /// further off than a fiftieth of the width is left out. None of points on one line, or of
    /// more than 64 cells a point.
    #[must_use]
    pub fn frame(&self, spacing: Option<Length>, repeats: f64) -> Option<Frame> {
        let (origin, normal) = plane(&self.points)?;
        // Rows along x as far as the plane allows, so that the map is not turned.
        let x = if normal.x.abs() < 0.9 { Vector3::x() } else { Vector3::y() };
        let along = (x - normal * normal.dot(&x)).normalize();
        let down = normal.cross(&along);
        let (mut low, mut high) = ([0.0; 2], [0.0; 2]);
        for (k, axis) in [along, down].iter().enumerate() {
            let mut places: Vec<f64> =
                self.points.iter().map(|p| (Vector3::from(*p) - origin).dot(axis)).collect();
            places.sort_unstable_by(f64::total_cmp);
            let few = places.len() / 1000;
            let (first, last) = (places[few], places[places.len() - 1 - few]);
            let margin = 0.02 * (last - first);
            low[k] = places[0].max(first - margin);
            high[k] = places[places.len() - 1].min(last + margin);
        }
        let area = (high[0] - low[0]) * (high[1] - low[1]);
        let step = match spacing {
            Some(spacing) => spacing.millimetres(),
            None => round_up((PER_CELL * repeats * area / self.count as f64).sqrt()),
        };
        let cells = [0, 1].map(|k| ((high[k] - low[k]) / step).ceil() + 3.0);
        let most = (64.0 * self.count as f64 + 4096.0).min(MOST_HEIGHTS as f64);
        let fits = step > 0.0 && step.is_finite() && cells[0] * cells[1] <= most;
        fits.then_some(Frame {
            origin,
            along,
            down,
            normal,
            step,
            // A cell all round: the sample may have missed the outermost points. The first point
            // in the middle of its cell: points on a grid of the same spacing meet one each.
            low: [low[0] - 1.5 * step, low[1] - 1.5 * step],
            columns: cells[0] as usize,
            rows: cells[1] as usize,
        })
    }
}

/// 1, 2 or 5 times a power of ten, not less.
fn round_up(step: f64) -> f64 {
    if !(step.is_finite() && step > 0.0) {
        return step;
    }
    let power = 10f64.powf(step.log10().floor());
    [1.0, 2.0, 5.0, 10.0].map(|k| k * power).into_iter().find(|s| *s >= step).unwrap_or(step)
}

/// A plane that half of the points may leave: the triple with the least median distance, then
/// least squares of the points near it.
fn plane(points: &[[f64; 3]]) -> Option<(Vector3<f64>, Vector3<f64>)> {
    if points.len() < 3 {
        return None;
    }
    let few: Vec<Vector3<f64>> = points
        .iter()
        .step_by(points.len().div_ceil(4096))
        .map(|point| Vector3::from(*point))
        .collect();
    let mut chance = Stream::new(Seed(1), 0);
    let mut best: Option<(f64, Vector3<f64>, Vector3<f64>)> = None;
    for _ in 0..TRIPLES {
        let pick = |u: f64| few[((u * few.len() as f64) as usize).min(few.len() - 1)];
        let (a, b, c) = (pick(chance.uniform()), pick(chance.uniform()), pick(chance.uniform()));
        let cross = (b - a).cross(&(c - a));
        // On a line but for rounding.
        let least = 1e-6 * (b - a).norm() * (c - a).norm();
        let Some(normal) = cross.try_normalize(least.max(f64::MIN_POSITIVE)) else { continue };
        let mut off: Vec<f64> = few.iter().map(|p| (p - a).dot(&normal).abs()).collect();
        let middle = off.len() / 2;
        let (_, median, _) = off.select_nth_unstable_by(middle, f64::total_cmp);
        if best.as_ref().is_none_or(|(least, _, _)| *median < *least) {
            best = Some((*median, a, normal));
        }
    }
    let (median, mut origin, mut normal) = best?;
    for _ in 0..5 {
        let near = 4.4478 * median + 1e-9;
        let (mut weight, mut sum) = (0.0, Vector3::zeros());
        let weight_of = |p: &Vector3<f64>| {
            let r = (p - origin).dot(&normal) / near;
            if r.abs() < 1.0 { (1.0 - r * r).powi(2) } else { 0.0 }
        };
        for p in &few {
            weight += weight_of(p);
            sum += p * weight_of(p);
        }
        if weight <= 0.0 {
            break;
        }
        let middle = sum / weight;
        let mut spread = Matrix3::zeros();
        for p in &few {
            spread += (p - middle) * (p - middle).transpose() * weight_of(p);
        }
        let eigen = SymmetricEigen::new(spread);
        let (least, _) = eigen.eigenvalues.argmin();
        (origin, normal) = (middle, eigen.eigenvectors.column(least).into_owned());
    }
    // Upwards.
    if normal.z < 0.0 {
        normal = -normal;
    }
    Some((origin, normal))
}

/// Where on a plane the cells lie.
#[derive(Debug, Clone)]
pub struct Frame {
    origin: Vector3<f64>,
    along: Vector3<f64>,
    down: Vector3<f64>,
    normal: Vector3<f64>,
    step: f64,
    low: [f64; 2],
    rows: usize,
    columns: usize,
}

impl Frame {
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

    /// From cell to cell.
    #[must_use]
    pub fn spacing(&self) -> Length {
        Length::from_millimetres(self.step)
    }

    /// Row, column and height (millimetres over the plane) of a point; none outside.
    #[must_use]
    #[inline]
    pub fn place(&self, point_mm: [f64; 3]) -> Option<(u32, u32, f32)> {
        let off = Vector3::from(point_mm) - self.origin;
        let column = (off.dot(&self.along) - self.low[0]) / self.step;
        let row = (off.dot(&self.down) - self.low[1]) / self.step;
        let inside =
            column >= 0.0 && row >= 0.0 && column < self.columns as f64 && row < self.rows as f64;
        inside.then(|| (row as u32, column as u32, off.dot(&self.normal) as f32))
    }
}

/// The median of each cell's heights; not a number where there is none. `points` are cells
/// and heights, in any order.
#[must_use]
pub fn cell_medians(cells: usize, points: &[(u32, f32)]) -> Vec<f32> {
    let mut ends = vec![0usize; cells + 1];
    for (cell, _) in points {
        ends[*cell as usize + 1] += 1;
    }
    for k in 1..ends.len() {
        ends[k] += ends[k - 1];
    }
    let mut next = ends.clone();
    let mut heights = vec![0.0f32; points.len()];
    for (cell, z) in points {
        let place = &mut next[*cell as usize];
        heights[*place] = *z;
        *place += 1;
    }
    (0..cells)
        .map(|cell| {
            let heights = &mut heights[ends[cell]..ends[cell + 1]];
            if heights.is_empty() {
                return f32::NAN;
            }
            let middle = heights.len() / 2;
            let even = heights.len().is_multiple_of(2);
            let (below, upper, _) = heights.select_nth_unstable_by(middle, f32::total_cmp);
            let upper = *upper;
            if even {
                f32::midpoint(below.iter().copied().fold(f32::NEG_INFINITY, f32::max), upper)
            } else {
                upper
            }
        })
        .collect()
}
