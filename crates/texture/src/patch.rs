//! The sand patch on a map: how deep sand would lie on the surface, on the mean.
//!
//! Three lids, none of them published as a standard of maps. A flat lid per cell of 65 mm,
//! laid on the cell's least-squares plane and lifted until a thousandth of the cell stands
//! above it, imitates the disc that spreads the sand. A closing by a square, and one by a
//! ball that rolls over the surface, do without cells; near an edge the square is cut. One
//! lid over all would deepen with the size of the map.

use tooth_measure::Length;

use crate::columns::change_columns;
use crate::form::plane_of_block;
use crate::map::{HeightMap, PART};
use crate::workers::{Workers, each};

/// Side of a cell: the disc of the hand method, in millimetres.
pub(crate) const CELL: f64 = 65.0;
/// Share of a cell that may stand above its lid.
const ABOVE: f64 = 0.001;

/// Starts and ends of nearly equal parts, each as near to `part` as can be.
pub(crate) fn parts(count: usize, step: f64, part: f64) -> Vec<(usize, usize)> {
    let cells = ((count as f64 * step / part).round() as usize).clamp(1, count.max(1));
    (0..cells).map(|k| (k * count / cells, (k + 1) * count / cells)).collect()
}

/// Mean depth under a flat lid per cell; none where a cell has hardly any heights. Cells less
/// than half known are left out.
#[must_use]
pub fn lid_depth(map: &HeightMap, workers: &dyn Workers) -> Option<Length> {
    let [dx, dy] = map.steps();
    let cells: Vec<_> = parts(map.rows(), dy, CELL)
        .into_iter()
        .flat_map(|rows| parts(map.columns(), dx, CELL).into_iter().map(move |c| (rows, c)))
        .collect();
    let depths = each(workers, cells, |((top, bottom), (left, right))| {
        let mut heights: Vec<f32> =
            (top..bottom).flat_map(|row| &map.row_mm(row)[left..right]).copied().collect();
        let (columns, size) = (right - left, heights.len());
        let plane = plane_of_block(columns, &heights);
        let (middle_row, middle_column) =
            ((bottom - top) as f64 / 2.0 - 0.5, columns as f64 / 2.0 - 0.5);
        for (row, line) in heights.chunks_mut(columns).enumerate() {
            for (column, z) in line.iter_mut().enumerate() {
                let lid = plane.at(row as f64 - middle_row, column as f64 - middle_column);
                *z = (f64::from(*z) - lid) as f32;
            }
        }
        heights.retain(|z| !z.is_nan());
        if heights.len() * 2 < size || heights.len() < 3 {
            return None;
        }
        let mean = heights.iter().map(|z| f64::from(*z)).sum::<f64>() / heights.len() as f64;
        let above = (ABOVE * heights.len() as f64) as usize;
        let (_, lid, _) = heights.select_nth_unstable_by(above, |a, b| b.total_cmp(a));
        // One spike on a plain lies above the lid, and lifts the mean over it.
        Some(((f64::from(*lid) - mean).max(0.0), size as f64))
    });
    let (sum, weight) = depths
        .into_iter()
        .flatten()
        .fold((0.0, 0.0), |(sum, weight), (depth, size)| (sum + depth * size, weight + size));
    (weight > 0.0).then(|| Length::from_millimetres(sum / weight))
}

/// The greatest of each `2 reach + 1` neighbours, the window cut at the ends: van Herk's two
/// running maxima over blocks of one window.
fn greatest(line: &mut [f32], reach: usize, room: &mut Room) {
    let n = line.len();
    let window = 2 * reach + 1;
    let size = n + 2 * reach;
    let lowest = f32::NEG_INFINITY;
    room.padded.clear();
    room.padded.resize(reach, lowest);
    room.padded.extend_from_slice(line);
    room.padded.resize(size, lowest);
    let larger = |a: f32, b: f32| if a > b { a } else { b };
    room.ahead.clear();
    room.ahead.extend_from_slice(&room.padded);
    for block in room.ahead.chunks_mut(window) {
        for k in 1..block.len() {
            block[k] = larger(block[k], block[k - 1]);
        }
    }
    for block in room.padded.chunks_mut(window) {
        for k in (0..block.len() - 1).rev() {
            block[k] = larger(block[k], block[k + 1]);
        }
    }
    for (k, out) in line.iter_mut().enumerate() {
        *out = larger(room.padded[k], room.ahead[k + window - 1]);
    }
}

#[derive(Default)]
struct Room {
    padded: Vec<f32>,
    ahead: Vec<f32>,
}

/// The greatest of each `2 reach + 1` neighbours along lines that lie one after the other.
fn greatest_of_lines(lines: &mut [f32], length: usize, reach: usize) {
    let mut room = Room::default();
    for line in lines.chunks_mut(length) {
        greatest(line, reach, &mut room);
    }
}

/// The greatest of a rectangle about each height: along the rows, then down the columns.
fn greatest_around(heights: &mut [f32], columns: usize, [x, y]: [usize; 2], workers: &dyn Workers) {
    let rows = heights.len() / columns;
    let parts: Vec<&mut [f32]> = heights.chunks_mut(columns * PART).collect();
    each(workers, parts, |part| greatest_of_lines(part, columns, x));
    change_columns(heights, columns, workers, |lines| greatest_of_lines(lines, rows, y));
}

/// Mean depth under the closing by a flat square (of a profile: a flat line) of this width,
/// which is brought to an odd number of spacings.
#[must_use]
pub fn closing_depth(map: &HeightMap, width: Length, workers: &dyn Workers) -> Option<Length> {
    let (sum, count) = closing(map, width, 0..map.rows(), workers);
    (count > 0.0).then(|| Length::from_millimetres(sum / count))
}

/// Sum of the depths of some rows, in millimetres, and how many heights.
pub(crate) fn closing(
    map: &HeightMap,
    width: Length,
    rows: std::ops::Range<usize>,
    workers: &dyn Workers,
) -> (f64, f64) {
    let [x, y] =
        map.steps().map(|step| (width.millimetres() / step / 2.0).round().max(0.0) as usize);
    let columns = map.columns();
    let mut heights: Vec<f32> =
        map.heights_mm().iter().map(|z| if z.is_nan() { f32::NEG_INFINITY } else { *z }).collect();
    let reach = |count: usize, reach: usize| reach.min(count);
    let (x, y) = (reach(columns, x), reach(map.rows(), y));
    let turn = |heights: &mut Vec<f32>| {
        for z in heights.iter_mut() {
            *z = if z.is_finite() { -*z } else { f32::NEG_INFINITY };
        }
    };
    greatest_around(&mut heights, columns, [x, y], workers);
    turn(&mut heights);
    greatest_around(&mut heights, columns, [x, y], workers);
    let part = rows.start * columns..rows.end * columns;
    heights[part.clone()]
        .iter()
        .zip(&map.heights_mm()[part])
        .filter(|(lid, z)| lid.is_finite() && !z.is_nan())
        .fold((0.0, 0.0), |(sum, count), (lid, z)| {
            (sum - f64::from(*lid) - f64::from(*z), count + 1.0)
        })
}

/// Mean depth under a ball of this radius that rolls over the map. Costs the square of the
/// radius in spacings per height.
#[must_use]
pub fn rolling_ball_depth(
    map: &HeightMap,
    radius: Length,
    workers: &dyn Workers,
) -> Option<Length> {
    let [dx, dy] = map.steps();
    let radius = radius.millimetres();
    if !(radius.is_finite() && radius > 0.0) {
        return None;
    }
    let (reach_x, reach_y) = (
        ((radius / dx) as usize).min(map.columns()),
        if map.rows() == 1 { 0 } else { ((radius / dy) as usize).min(map.rows()) },
    );
    // How far the ball's surface lies under its top, over the offsets it covers.
    let mut ball = Vec::new();
    for r in -(reach_y as isize)..=reach_y as isize {
        for c in -(reach_x as isize)..=reach_x as isize {
            let square = (c as f64 * dx).powi(2) + (r as f64 * dy).powi(2);
            if square <= radius * radius {
                ball.push((r, c, radius - (radius * radius - square).sqrt()));
            }
        }
    }
    // Where the ball's lowest point comes to lie, then how low it can be pressed from above.
    let roll = |heights: &[f64], sign: f64| -> Vec<f64> {
        let starts: Vec<usize> = (0..map.rows()).collect();
        let (rows, columns) = (map.rows() as isize, map.columns() as isize);
        each(workers, starts, |row| {
            (0..columns)
                .map(|column| {
                    let mut best = f64::NEG_INFINITY;
                    for (r, c, sunk) in &ball {
                        let (r, c) = (row as isize + r, column + c);
                        if r >= 0 && r < rows && c >= 0 && c < columns {
                            let z = sign * heights[(r * columns + c) as usize];
                            if z - sunk > best {
                                best = z - sunk;
                            }
                        }
                    }
                    sign * best
                })
                .collect::<Vec<f64>>()
        })
        .concat()
    };
    let heights: Vec<f64> = map
        .heights_mm()
        .iter()
        .map(|z| if z.is_nan() { f64::NEG_INFINITY } else { f64::from(*z) })
        .collect();
    let lowest = roll(&heights, 1.0);
    let lid = roll(&lowest, -1.0);
    let (sum, count) = lid
        .iter()
        .zip(&heights)
        .filter(|(lid, z)| lid.is_finite() && z.is_finite())
        .fold((0.0, 0.0), |(sum, count), (lid, z)| (sum + lid - z, count + 1.0));
    (count > 0.0).then(|| Length::from_millimetres(sum / count))
}
