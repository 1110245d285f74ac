//! Height and hybrid parameters of ISO 25178-2:2021 (formulas from memory, checked by closed
//! forms), over a map whose form is removed. Missing heights count for nothing.
//!
//! Sdq takes the difference of neighbours over one spacing, each axis averaged over its own
//! number of differences; a sine of n points a period reads sin(π/n)/(π/n) of the truth.
//! [`Areal::gradient_of_seven_points`] has the seven-point stencil beside it, which follows
//! short waves better and noise worse. Sdr halves the sum of both ways to split a cell in two
//! triangles: the mean of four corner areas (ISO 25178-2:2021, D.15, as quoted by a library).

use tooth_measure::{Fraction, Length};

use crate::map::{HeightMap, PART};
use crate::workers::{Workers, each};

/// Height and hybrid parameters.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Areal {
    /// Sa.
    pub mean_height: Length,
    /// Sq.
    pub root_mean_square_height: Length,
    /// Ssk; none of a flat surface.
    pub skewness: Option<f64>,
    /// Sku; none of a flat surface.
    pub kurtosis: Option<f64>,
    /// Sp.
    pub highest_peak: Length,
    /// Sv.
    pub deepest_pit: Length,
    /// Sz.
    pub greatest_height: Length,
    /// Sdq; none where no two neighbours are known.
    pub root_mean_square_gradient: Option<f64>,
    /// The same by seven points.
    pub gradient_of_seven_points: Option<f64>,
    /// Sdr, of one; none where no cell is known, or of a profile.
    pub developed_area: Option<Fraction>,
}

#[derive(Debug, Clone, Copy)]
struct Moments {
    n: f64,
    sum: f64,
    absolute: f64,
    second: f64,
    third: f64,
    fourth: f64,
    low: f32,
    high: f32,
}

/// Two passes: the mean, then the moments about it.
fn moments(heights: &[f32], mean: f64) -> Moments {
    let mut all = Moments {
        n: 0.0,
        sum: 0.0,
        absolute: 0.0,
        second: 0.0,
        third: 0.0,
        fourth: 0.0,
        low: f32::INFINITY,
        high: f32::NEG_INFINITY,
    };
    for z in heights {
        let known = !z.is_nan();
        let d = if known { f64::from(*z) - mean } else { 0.0 };
        let square = d * d;
        all.n += f64::from(u8::from(known));
        all.sum += d;
        all.absolute += d.abs();
        all.second += square;
        all.third += square * d;
        all.fourth += square * square;
        // A comparison with what is no number is false.
        all.low = if *z < all.low { *z } else { all.low };
        all.high = if *z > all.high { *z } else { all.high };
    }
    all
}

fn sum_of(parts: &[Moments]) -> Moments {
    let first = moments(&[], 0.0);
    parts.iter().fold(first, |a, b| Moments {
        n: a.n + b.n,
        sum: a.sum + b.sum,
        absolute: a.absolute + b.absolute,
        second: a.second + b.second,
        third: a.third + b.third,
        fourth: a.fourth + b.fourth,
        low: a.low.min(b.low),
        high: a.high.max(b.high),
    })
}

/// Squares of slopes along one axis, and how many.
#[derive(Debug, Clone, Copy, Default)]
struct Slopes {
    x: f64,
    x_count: f64,
    y: f64,
    y_count: f64,
    seven_x: f64,
    seven_x_count: f64,
    seven_y: f64,
    seven_y_count: f64,
    developed: f64,
    cells: f64,
}

impl Slopes {
    fn plus(self, b: Self) -> Self {
        Self {
            x: self.x + b.x,
            x_count: self.x_count + b.x_count,
            y: self.y + b.y,
            y_count: self.y_count + b.y_count,
            seven_x: self.seven_x + b.seven_x,
            seven_x_count: self.seven_x_count + b.seven_x_count,
            seven_y: self.seven_y + b.seven_y,
            seven_y_count: self.seven_y_count + b.seven_y_count,
            developed: self.developed + b.developed,
            cells: self.cells + b.cells,
        }
    }
}

/// A sum of squares of what is a number, and how many were.
fn squares(values: impl Iterator<Item = f32>) -> (f64, f64) {
    values.fold((0.0, 0.0), |(sum, count), v| {
        let (v, one) = if v.is_nan() { (0.0, 0.0) } else { (f64::from(v), 1.0) };
        (sum + v * v, count + one)
    })
}

fn seven(z: [f32; 7]) -> f32 {
    45.0 * (z[4] - z[2]) - 9.0 * (z[5] - z[1]) + (z[6] - z[0])
}

/// Twice the difference of the areas of a row of cells and of their ground, in the unit of
/// the ground, and how many cells.
fn developed(upper: &[f32], lower: &[f32], over: [f32; 2]) -> (f64, f64) {
    let (mut sum, mut count) = (0.0f64, 0.0f64);
    let [over_x, over_y] = over;
    for (upper, lower) in upper.windows(2).zip(lower.windows(2)) {
        let north = (upper[1] - upper[0]) * over_x;
        let south = (lower[1] - lower[0]) * over_x;
        let west = (lower[0] - upper[0]) * over_y;
        let east = (lower[1] - upper[1]) * over_y;
        let (n, s, w, e) = (north * north, south * south, west * west, east * east);
        // √(1+t) − 1 = t / (√(1+t) + 1): keeps the digits of a nearly flat cell.
        let rise = |t: f32| t / ((1.0 + t).sqrt() + 1.0);
        let cell = rise(n + w) + rise(n + e) + rise(s + w) + rise(s + e);
        let (cell, one) = if cell.is_nan() { (0.0, 0.0) } else { (f64::from(cell), 1.0) };
        sum += cell;
        count += one;
    }
    (sum / 4.0, count)
}

fn slopes(map: &HeightMap, rows: std::ops::Range<usize>) -> Slopes {
    let [dx, dy] = map.steps();
    let over = [(1.0 / dx) as f32, (1.0 / dy) as f32];
    let mut all = Slopes::default();
    for row in rows {
        let here = map.row_mm(row);
        let (x, x_count) = squares(here.windows(2).map(|z| z[1] - z[0]));
        let (seven_x, seven_x_count) =
            squares(here.windows(7).map(|z| seven([z[0], z[1], z[2], z[3], z[4], z[5], z[6]])));
        let mut line = Slopes { x, x_count, seven_x, seven_x_count, ..Slopes::default() };
        if row + 1 < map.rows() {
            let next = map.row_mm(row + 1);
            (line.y, line.y_count) = squares(here.iter().zip(next).map(|(a, b)| b - a));
            (line.developed, line.cells) = developed(here, next, over);
        }
        if row >= 3 && row + 3 < map.rows() {
            let rows: [&[f32]; 7] = std::array::from_fn(|k| map.row_mm(row + k - 3));
            (line.seven_y, line.seven_y_count) =
                squares((0..map.columns()).map(|c| seven(rows.map(|row| row[c]))));
        }
        all = all.plus(line);
    }
    all
}

/// Root of the sum of the mean squares of both axes; of a profile, of the one there is.
fn gradient(x: (f64, f64, f64), y: (f64, f64, f64)) -> Option<f64> {
    let mean =
        |(sum, count, step): (f64, f64, f64)| (count > 0.0).then(|| sum / count / (step * step));
    match (mean(x), mean(y)) {
        (None, None) => None,
        (x, y) => Some((x.unwrap_or(0.0) + y.unwrap_or(0.0)).sqrt()),
    }
}

/// Sums over a part of a map, to be added up.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Sums {
    moments: Moments,
    slopes: Slopes,
}

impl Sums {
    pub(crate) fn none() -> Self {
        Self { moments: moments(&[], 0.0), slopes: Slopes::default() }
    }

    /// Of some rows of a map, heights counted from `mean`; slopes reach into the rows around.
    pub(crate) fn of(
        map: &HeightMap,
        rows: std::ops::Range<usize>,
        mean: f64,
        workers: &dyn Workers,
    ) -> Self {
        let parts: Vec<std::ops::Range<usize>> =
            rows.clone().step_by(PART).map(|first| first..(first + PART).min(rows.end)).collect();
        let columns = map.columns();
        let sums = each(workers, parts, |rows| Self {
            moments: moments(&map.heights_mm()[rows.start * columns..rows.end * columns], mean),
            slopes: slopes(map, rows),
        });
        sums.into_iter().fold(Self::none(), Self::plus)
    }

    pub(crate) fn plus(self, other: Self) -> Self {
        Self {
            moments: sum_of(&[self.moments, other.moments]),
            slopes: self.slopes.plus(other.slopes),
        }
    }

    /// Mean of the heights, counted from what they were counted from.
    pub(crate) fn mean(&self) -> f64 {
        self.moments.sum / self.moments.n.max(1.0)
    }

    /// Sums about nought, moved to another mean: what is absolute stays as it is, which for a
    /// mean of some thousandths of Sq is off by its square.
    pub(crate) fn moved(self, m: f64) -> Self {
        let a = self.moments;
        let moments = Moments {
            second: a.second - a.n * m * m,
            third: a.third - 3.0 * m * a.second + 2.0 * a.n * m * m * m,
            fourth: a.fourth - 4.0 * m * a.third + 6.0 * m * m * a.second - 3.0 * a.n * m.powi(4),
            ..a
        };
        Self { moments, ..self }
    }

    /// The parameters, of sums about the mean.
    pub(crate) fn areal(&self, mean: f64, [dx, dy]: [f64; 2], grain: f64) -> Areal {
        let (all, slopes) = (self.moments, self.slopes);
        let square = all.second / all.n.max(1.0);
        let rms = square.sqrt();
        // Rounding leaves a little of a levelled plane.
        let flat = rms <= grain;
        let mm = Length::from_millimetres;
        let high = if all.n > 0.0 { f64::from(all.high) - mean } else { 0.0 };
        let low = if all.n > 0.0 { mean - f64::from(all.low) } else { 0.0 };
        Areal {
            mean_height: mm(all.absolute / all.n.max(1.0)),
            root_mean_square_height: mm(rms),
            skewness: (!flat).then(|| all.third / all.n / (square * rms)),
            kurtosis: (!flat).then(|| all.fourth / all.n / (square * square)),
            highest_peak: mm(high),
            deepest_pit: mm(low),
            greatest_height: mm(high + low),
            root_mean_square_gradient: gradient(
                (slopes.x, slopes.x_count, dx),
                (slopes.y, slopes.y_count, dy),
            ),
            gradient_of_seven_points: gradient(
                (slopes.seven_x, slopes.seven_x_count, 60.0 * dx),
                (slopes.seven_y, slopes.seven_y_count, 60.0 * dy),
            ),
            developed_area: (slopes.cells > 0.0)
                .then(|| Fraction::new(slopes.developed / slopes.cells)),
        }
    }
}

pub(crate) fn areal(map: &HeightMap, workers: &dyn Workers) -> Areal {
    let first = sum_of(&map.parts(workers, |_, heights| moments(heights, 0.0)));
    let mean = first.sum / first.n.max(1.0);
    Sums::of(map, 0..map.rows(), mean, workers).areal(mean, map.steps(), map.grain())
}
