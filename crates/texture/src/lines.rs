//! Lines over a surface: roughness of ISO 21920-2:2021, mean profile depth of ISO
//! 13473-1:2019, and micro-inclination.
//!
//! Ra, Rq, Rsk and Rku over the whole line (the edition before took means of sections); Rz,
//! Rp and Rv are means over five sections; Rt over the whole; Rsm by crossing the mean line
//! with a tenth of Rz as height and a hundredth of the line as spacing discriminated. Formulas
//! from memory. Rdq by differences of neighbours.
//!
//! Mean profile depth: missing heights drawn straight (a segment with more than a tenth of
//! them does not count); brought to 0.5 mm by means over the spacing, or by straight lines
//! between coarser ones; a point that leaves its neighbour by three spacings is a spike, drawn
//! straight (more than one in twenty: does not count); a Butterworth low pass of second order
//! at 2.4 mm, forward and backward; segments of 100 mm, each freed of its least-squares line;
//! the mean of the highest points of both halves over the mean. It counts where half of the
//! segments do. Constants as an open reference implementation cites the standard's 2019
//! edition; estimated texture depth is 1.1 times it (2019; from memory).

use std::f64::consts::{PI, SQRT_2};

use tooth_measure::{Angle, Length};

use crate::map::HeightMap;
use crate::workers::{Workers, each};

/// Roughness of one line, or the means of several.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Roughness {
    /// How many lines.
    pub lines: usize,
    /// Ra.
    pub mean_height: Length,
    /// Rq.
    pub root_mean_square_height: Length,
    /// Rsk; none of a flat line.
    pub skewness: Option<f64>,
    /// Rku; none of a flat line.
    pub kurtosis: Option<f64>,
    /// Rz.
    pub greatest_height_of_sections: Length,
    /// Rp.
    pub highest_peak: Length,
    /// Rv.
    pub deepest_pit: Length,
    /// Rt.
    pub total_height: Length,
    /// Rsm; none where the line hardly crosses its mean.
    pub mean_spacing: Option<Length>,
    /// Rdq.
    pub root_mean_square_gradient: f64,
    /// Mean angle of the steps from height to height.
    pub micro_inclination: Angle,
}

/// Sections of a line.
const SECTIONS: usize = 5;

/// Roughness of a line with heights at equal steps; none with less than ten or with one
/// missing.
#[must_use]
pub fn roughness(heights_mm: &[f64], step: Length) -> Option<Roughness> {
    roughness_over(heights_mm, step, 1e-9)
}

/// As [`roughness`]; a root mean square up to `grain` is none.
fn roughness_over(heights_mm: &[f64], step: Length, grain: f64) -> Option<Roughness> {
    let n = heights_mm.len();
    let step = step.millimetres();
    if n < 10 || step <= 0.0 || heights_mm.iter().any(|z| !z.is_finite()) {
        return None;
    }
    let mean = heights_mm.iter().sum::<f64>() / n as f64;
    let z: Vec<f64> = heights_mm.iter().map(|z| z - mean).collect();
    let moment = |power: i32| z.iter().map(|z| z.powi(power)).sum::<f64>() / n as f64;
    let rms = moment(2).sqrt();
    let flat = rms <= grain;
    let sections: Vec<(f64, f64)> =
        (0..SECTIONS).map(|k| extremes(&z[k * n / SECTIONS..(k + 1) * n / SECTIONS])).collect();
    let peak = sections.iter().map(|s| s.1).sum::<f64>() / SECTIONS as f64;
    let pit = -sections.iter().map(|s| s.0).sum::<f64>() / SECTIONS as f64;
    let whole = extremes(&z);
    let steps = z.windows(2).map(|z| (z[1] - z[0]) / step);
    let slopes = (n - 1) as f64;
    let mm = Length::from_millimetres;
    Some(Roughness {
        lines: 1,
        mean_height: mm(z.iter().map(|z| z.abs()).sum::<f64>() / n as f64),
        root_mean_square_height: mm(rms),
        skewness: (!flat).then(|| moment(3) / rms.powi(3)),
        kurtosis: (!flat).then(|| moment(4) / rms.powi(4)),
        greatest_height_of_sections: mm(peak + pit),
        highest_peak: mm(peak),
        deepest_pit: mm(pit),
        total_height: mm(whole.1 - whole.0),
        mean_spacing: mean_spacing(&z, step, 0.1 * (peak + pit)).filter(|_| !flat).map(mm),
        root_mean_square_gradient: (steps.clone().map(|s| s * s).sum::<f64>() / slopes).sqrt(),
        micro_inclination: Angle::from_degrees(
            (steps.map(|s| s.abs().atan()).sum::<f64>() / slopes).to_degrees(),
        ),
    })
}

fn extremes(z: &[f64]) -> (f64, f64) {
    z.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), z| (low.min(*z), high.max(*z)))
}

/// Mean length of a peak with its valley, between upward crossings of the mean line that
/// follow a valley deeper and precede a peak higher than `least`.
fn mean_spacing(z: &[f64], step: f64, least: f64) -> Option<f64> {
    let shortest = 0.01 * z.len() as f64;
    let mut crossings: Vec<f64> = Vec::new();
    let (mut below, mut place) = (false, None);
    for k in 1..z.len() {
        if z[k - 1] < 0.0 && z[k] >= 0.0 {
            place = Some(k as f64 - z[k] / (z[k] - z[k - 1]));
        }
        if z[k] < -least {
            (below, place) = (true, None);
        }
        if z[k] > least && below {
            let new =
                place.is_some_and(|p| crossings.last().is_none_or(|last| p - last >= shortest));
            crossings.extend(place.filter(|_| new));
            (below, place) = (false, None);
        }
    }
    let (first, last) = (crossings.first()?, crossings.last()?);
    (crossings.len() > 1).then(|| (last - first) / (crossings.len() - 1) as f64 * step)
}

/// Mean profile depth of one line or of several.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ProfileDepth {
    /// Mean of the mean segment depths.
    pub mean: Length,
    /// Segments that count.
    pub valid_segments: usize,
    /// All segments.
    pub segments: usize,
}

impl ProfileDepth {
    /// Estimated texture depth: 1.1 times the mean profile depth (ISO 13473-1:2019, from
    /// memory).
    #[must_use]
    pub fn estimated_texture_depth(&self) -> Length {
        self.mean * 1.1
    }
}

/// How a profile's depth is taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Depth {
    /// Spacing of the profile that is measured, millimetres apart.
    pub spacing: Length,
    /// Rise over the spacing that makes a spike.
    pub spike: f64,
    /// Whether waves under 2.4 mm are taken off.
    pub low_pass: bool,
}

impl Default for Depth {
    fn default() -> Self {
        Self { spacing: Length::from_millimetres(0.5), spike: 3.0, low_pass: true }
    }
}

/// Length of a segment, in millimetres.
const SEGMENT: f64 = 100.0;
const SHORTEST_WAVE: f64 = 2.4;

/// Mean profile depth of a line; none shorter than a segment or where less than half of the
/// segments count.
#[must_use]
pub fn profile_depth(heights_mm: &[f64], step: Length, how: &Depth) -> Option<ProfileDepth> {
    let (depths, segments) = segment_depths(heights_mm, step.millimetres(), how);
    summed(&depths, segments)
}

fn summed(depths: &[f64], segments: usize) -> Option<ProfileDepth> {
    (segments > 0 && !depths.is_empty() && depths.len() * 2 >= segments).then(|| ProfileDepth {
        mean: Length::from_millimetres(depths.iter().sum::<f64>() / depths.len() as f64),
        valid_segments: depths.len(),
        segments,
    })
}

/// Depths of the segments that count, and how many there are.
fn segment_depths(heights: &[f64], step: f64, how: &Depth) -> (Vec<f64>, usize) {
    let spacing = how.spacing.millimetres();
    let length = heights.len() as f64 * step;
    // Rounding may leave a line of 100 mm a hair short.
    let segments = ((length + 1e-6 * SEGMENT) / SEGMENT) as usize;
    if segments == 0 || step <= 0.0 || spacing <= 0.0 {
        return (Vec::new(), 0);
    }
    let missing: Vec<bool> = heights.iter().map(|z| !z.is_finite()).collect();
    let Some(drawn) = drawn_straight(heights) else { return (Vec::new(), segments) };
    let coarse = resampled(&drawn, step, spacing);
    let spikes: Vec<bool> = spikes(&coarse, how.spike * spacing);
    let with_holes: Vec<f64> =
        coarse.iter().zip(&spikes).map(|(z, spike)| if *spike { f64::NAN } else { *z }).collect();
    let Some(mut line) = drawn_straight(&with_holes) else { return (Vec::new(), segments) };
    if how.low_pass && spacing < SHORTEST_WAVE / 2.0 {
        line = low_pass(&line, spacing);
    }
    let size = (SEGMENT / spacing).round() as usize;
    let depths = (0..segments)
        .filter_map(|k| {
            let from = (k as f64 * SEGMENT / step).round() as usize;
            let to = (((k + 1) as f64 * SEGMENT / step).round() as usize).min(heights.len());
            let lost = missing[from..to].iter().filter(|m| **m).count();
            let range = k * size..((k + 1) * size).min(line.len());
            let wild = spikes[range.clone()].iter().filter(|s| **s).count();
            let valid = lost * 10 <= to - from && wild * 20 <= range.len();
            valid.then(|| mean_segment_depth(&line[range]))?
        })
        .collect();
    (depths, segments)
}

/// Missing heights on the straight line between their neighbours; ends as the next known.
fn drawn_straight(heights: &[f64]) -> Option<Vec<f64>> {
    let known: Vec<usize> = (0..heights.len()).filter(|k| heights[*k].is_finite()).collect();
    let (first, last) = (*known.first()?, *known.last()?);
    let mut out = heights.to_vec();
    out[..first].fill(heights[first]);
    out[last + 1..].fill(heights[last]);
    for pair in known.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        for (k, z) in (a + 1..b).zip(&mut out[a + 1..b]) {
            let share = (k - a) as f64 / (b - a) as f64;
            *z = heights[a] + share * (heights[b] - heights[a]);
        }
    }
    Some(out)
}

/// The line at another spacing: means over finer steps, straight between coarser ones.
fn resampled(heights: &[f64], step: f64, spacing: f64) -> Vec<f64> {
    if (spacing / step - 1.0).abs() < 1e-9 {
        return heights.to_vec();
    }
    let count = ((heights.len() as f64 * step + 1e-6 * spacing) / spacing) as usize;
    (0..count)
        .map(|k| {
            if spacing >= 2.0 * step {
                let from = ((k as f64 * spacing / step).round() as usize).min(heights.len() - 1);
                let to = (((k + 1) as f64 * spacing / step).round() as usize)
                    .clamp(from + 1, heights.len());
                heights[from..to].iter().sum::<f64>() / (to - from) as f64
            } else {
                let place = (k as f64 * spacing / step).min(heights.len() as f64 - 1.0);
                let low = place as usize;
                let high = (low + 1).min(heights.len() - 1);
                heights[low] + (place - low as f64) * (heights[high] - heights[low])
            }
        })
        .collect()
}

/// Points that leave the last good one by `rise` or more for each step since.
fn spikes(heights: &[f64], rise: f64) -> Vec<bool> {
    let mut out = vec![false; heights.len()];
    for k in 1..heights.len() {
        if (heights[k] - heights[k - 1]).abs() >= rise {
            out[k] = true;
            out[k - 1] = true;
        }
    }
    out
}

/// Butterworth of second order at 2.4 mm, forward and backward, begun at rest at the ends'
/// heights.
fn low_pass(heights: &[f64], spacing: f64) -> Vec<f64> {
    let k = (PI * spacing / SHORTEST_WAVE).tan();
    let norm = 1.0 / (1.0 + SQRT_2 * k + k * k);
    let (b, a1, a2) = (k * k * norm, 2.0 * (k * k - 1.0) * norm, (1.0 - SQRT_2 * k + k * k) * norm);
    let once = |line: &mut [f64]| {
        let start = line.first().copied().unwrap_or(0.0);
        let (mut x, mut y) = ([start; 2], [start; 2]);
        for z in line.iter_mut() {
            let now = b * (*z + 2.0 * x[0] + x[1]) - a1 * y[0] - a2 * y[1];
            x = [*z, x[0]];
            y = [now, y[0]];
            *z = now;
        }
    };
    // Continued by point reflection, so that the ends do not droop.
    let pad = ((6.0 * SHORTEST_WAVE / spacing) as usize).min(heights.len().saturating_sub(1));
    let (first, last) = (heights[0], heights[heights.len() - 1]);
    let mut line: Vec<f64> = heights[1..=pad].iter().rev().map(|z| 2.0 * first - z).collect();
    line.extend_from_slice(heights);
    let tail = &heights[heights.len() - 1 - pad..heights.len() - 1];
    line.extend(tail.iter().rev().map(|z| 2.0 * last - z));
    once(&mut line);
    line.reverse();
    once(&mut line);
    line.reverse();
    line[pad..pad + heights.len()].to_vec()
}

/// The highest points of both halves, their mean, over the mean: after the least-squares line.
fn mean_segment_depth(segment: &[f64]) -> Option<f64> {
    let n = segment.len();
    if n < 4 {
        return None;
    }
    let middle = (n as f64 - 1.0) / 2.0;
    let mean = segment.iter().sum::<f64>() / n as f64;
    let (mut xz, mut xx) = (0.0, 0.0);
    for (k, z) in segment.iter().enumerate() {
        let x = k as f64 - middle;
        xz += x * (z - mean);
        xx += x * x;
    }
    let slope = xz / xx;
    let level: Vec<f64> =
        segment.iter().enumerate().map(|(k, z)| z - mean - slope * (k as f64 - middle)).collect();
    let (first, second) = level.split_at(n / 2);
    Some(f64::midpoint(extremes(first).1, extremes(second).1))
}

/// Lines in each of four directions.
const LINES: usize = 16;

/// A line over a map: heights with equal steps.
struct Line {
    heights: Vec<f64>,
    step: f64,
}

/// Evenly spread lines along the rows, the columns and, of a map with equal spacings, both
/// diagonals; of a profile, itself.
fn lines(map: &HeightMap) -> Vec<Line> {
    let [dx, dy] = map.steps();
    let (rows, columns) = (map.rows(), map.columns());
    let height = |r: usize, c: usize| {
        let z = map.row_mm(r)[c];
        if z.is_nan() { f64::NAN } else { f64::from(z) }
    };
    let spread = |count: usize| -> Vec<usize> {
        let lines = LINES.min(count);
        (0..lines).map(|k| (2 * k + 1) * count / (2 * lines)).collect()
    };
    let mut all: Vec<Line> = spread(rows)
        .into_iter()
        .map(|r| Line { heights: (0..columns).map(|c| height(r, c)).collect(), step: dx })
        .collect();
    if rows == 1 {
        return all;
    }
    all.extend(
        spread(columns)
            .into_iter()
            .map(|c| Line { heights: (0..rows).map(|r| height(r, c)).collect(), step: dy }),
    );
    if (dx / dy - 1.0).abs() < 1e-6 {
        // Through points of the middle row or column, where diagonals are long.
        let side = rows.min(columns);
        for start in spread(side / 2) {
            let shift = start as isize - (side / 4) as isize;
            let (top, left) =
                if shift >= 0 { (shift as usize, 0) } else { (0, shift.unsigned_abs()) };
            let count = rows.saturating_sub(top).min(columns.saturating_sub(left));
            let diagonal = |back: bool| Line {
                heights: (0..count)
                    .map(|k| (top + k, left + k))
                    .map(|(r, c)| height(r, if back { columns - 1 - c } else { c }))
                    .collect(),
                step: dx * SQRT_2,
            };
            all.extend([diagonal(false), diagonal(true)]);
        }
    }
    all
}

/// What the lines over a map say.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LinesOf {
    /// Means over the lines without a missing height; none where each has one.
    pub roughness: Option<Roughness>,
    /// Over all lines' segments; none where no line is 100 mm long.
    pub profile_depth: Option<ProfileDepth>,
}

pub(crate) fn of(map: &HeightMap, workers: &dyn Workers) -> LinesOf {
    let said = each(workers, lines(map), |line| {
        let step = Length::from_millimetres(line.step);
        (
            roughness(&line.heights, step),
            segment_depths(&line.heights, line.step, &Depth::default()),
        )
    });
    let rough: Vec<Roughness> = said.iter().filter_map(|(rough, _)| *rough).collect();
    let depths: Vec<f64> =
        said.iter().flat_map(|(_, (depths, _))| depths.iter().copied()).collect();
    let segments = said.iter().map(|(_, (_, segments))| segments).sum();
    LinesOf { roughness: mean_of(&rough), profile_depth: summed(&depths, segments) }
}

fn mean_of(all: &[Roughness]) -> Option<Roughness> {
    let count = all.len() as f64;
    let length = |of: fn(&Roughness) -> Length| {
        Length::from_millimetres(all.iter().map(|r| of(r).millimetres()).sum::<f64>() / count)
    };
    let number = |of: fn(&Roughness) -> f64| all.iter().map(of).sum::<f64>() / count;
    let maybe = |of: fn(&Roughness) -> Option<f64>| {
        let known: Vec<f64> = all.iter().filter_map(of).collect();
        (!known.is_empty()).then(|| known.iter().sum::<f64>() / known.len() as f64)
    };
    (!all.is_empty()).then(|| Roughness {
        lines: all.len(),
        mean_height: length(|r| r.mean_height),
        root_mean_square_height: length(|r| r.root_mean_square_height),
        skewness: maybe(|r| r.skewness),
        kurtosis: maybe(|r| r.kurtosis),
        greatest_height_of_sections: length(|r| r.greatest_height_of_sections),
        highest_peak: length(|r| r.highest_peak),
        deepest_pit: length(|r| r.deepest_pit),
        total_height: length(|r| r.total_height),
        mean_spacing: maybe(|r| r.mean_spacing.map(Length::millimetres))
            .map(Length::from_millimetres),
        root_mean_square_gradient: number(|r| r.root_mean_square_gradient),
        micro_inclination: Angle::from_degrees(number(|r| r.micro_inclination.degrees())),
    })
}
