//! Straight lanes through a field in the direction that takes least time.

use tooth_measure::geometry::Direction;
use tooth_measure::{Area, Length, Point, WorkTime};

use super::{GRID, TURN, WALK, in_order};
use crate::methods::Lane;

/// Directions that are tried: the longest sides of the field.
const DIRECTIONS: usize = 6;

/// The directions of the longest sides, each once. A side that is hardly longer than the
/// machine is wide gives no direction, unless there is no other.
pub(super) fn directions(borders: &[Vec<Point>], width: Length) -> Vec<Direction> {
    let mut sides: Vec<(Length, Direction)> = Vec::new();
    for border in borders {
        for (number, &from) in border.iter().enumerate() {
            let to = border[(number + 1) % border.len()];
            let direction = Direction::from_to(from, to);
            let degrees = direction.angle().degrees().rem_euclid(180.0);
            let same = sides.iter_mut().find(|(_, known)| {
                let apart = (known.angle().degrees().rem_euclid(180.0) - degrees).abs();
                apart.min(180.0 - apart) < 1.0
            });
            match same {
                Some((length, _)) => *length += from.distance(to),
                None => sides.push((from.distance(to), direction)),
            }
        }
    }
    sides.sort_by(|a, b| b.0.metres().total_cmp(&a.0.metres()));
    let long = sides.iter().filter(|(length, _)| *length >= width * 2.0).count().max(1);
    sides.truncate(long);
    sides.into_iter().take(DIRECTIONS).map(|(_, direction)| direction).collect()
}

/// Straight lanes in one direction.
pub(super) struct Straight {
    pub(super) direction: Direction,
    pub(super) lanes: Vec<[Point; 2]>,
    /// What of the field they leave for rounds, about.
    missed: Area,
}

impl Straight {
    pub(super) fn lay(borders: &[Vec<Point>], direction: Direction, lane: Lane) -> Self {
        let turned: Vec<Vec<(f64, f64)>> = borders
            .iter()
            .map(|border| {
                let place = |at: &Point| {
                    let (along, aside) = direction.along_and_aside(*at);
                    (along.metres(), aside.metres())
                };
                border.iter().map(place).collect()
            })
            .collect();
        let asides = turned.iter().flatten().map(|place| place.1);
        let (low, high) = (
            asides.clone().fold(f64::INFINITY, f64::min),
            asides.fold(f64::NEG_INFINITY, f64::max),
        );
        let (width, spacing) = (lane.width.metres(), lane.spacing().metres());
        let mut lanes = Vec::new();
        if high - low < width || spacing <= 0.0 {
            return Self { direction, lanes, missed: Area::ZERO };
        }
        let mut covered = Area::ZERO;
        for (low, high) in bands(&turned, low, high, width) {
            // What the grid has moved is no reason for one more lane.
            let gaps = ((high - low - width) / spacing - 2e-5).ceil().max(0.0);
            let step = if gaps > 0.0 { (high - low - width) / gaps } else { 0.0 };
            let (mut together, mut longest) = (0.0_f64, 0.0_f64);
            for number in 0..=gaps as usize {
                let bottom = low + step * number as f64;
                for (from, to) in free_of_borders(&turned, bottom, bottom + width) {
                    // Shorter than a width is no lane: the machine would only stand there.
                    if to - from >= width {
                        let at = |along: f64| {
                            let metres = Length::from_metres;
                            direction.place_at(metres(along), metres(bottom + width / 2.0))
                        };
                        lanes.push([at(from), at(to)]);
                        together += to - from;
                        longest = longest.max(to - from);
                    }
                }
            }
            covered += Area::from_square_metres(together * step + longest * (width - step));
        }
        // Holes run the other way round than outlines.
        let field: f64 = turned.iter().map(|border| signed_area(border)).sum();
        let field = Area::from_square_metres(field.abs());
        Self { direction, lanes, missed: (field - covered).max(Area::ZERO) }
    }

    /// A measure of the time it takes, at an ordinary walking machine's speed; what lanes miss
    /// counts twice, as rounds are slow.
    pub(super) fn time(&self, lane: Lane) -> WorkTime {
        let runs: Vec<Vec<Point>> = self.lanes.iter().map(|lane| lane.to_vec()).collect();
        let worked: Length = self.lanes.iter().map(|[from, to]| from.distance(*to)).sum();
        let (ordered, idle) = in_order(runs, lane);
        let rounds =
            Length::from_metres(self.missed / (lane.width * lane.width) * lane.width.metres());
        ((worked + rounds * 2.0) * 4.0 + idle) / WALK + TURN * ordered.len() as f64
    }
}

/// The heights between which lanes are spaced evenly: a long side along the lanes is the
/// border of two bands, so that no lane straddles it.
fn bands(borders: &[Vec<(f64, f64)>], low: f64, high: f64, width: f64) -> Vec<(f64, f64)> {
    let mut levels: Vec<f64> = Vec::new();
    for border in borders {
        for (number, &one) in border.iter().enumerate() {
            let other = border[(number + 1) % border.len()];
            if (one.1 - other.1).abs() < 2.5 * GRID.metres()
                && (one.0 - other.0).abs() >= 3.0 * width
            {
                levels.push(one.1);
            }
        }
    }
    levels.sort_unstable_by(f64::total_cmp);
    let mut bands = Vec::new();
    let mut from = low;
    for level in levels {
        // Bands narrower than the machine belong to their neighbour.
        if level - from >= width && high - level >= width {
            bands.push((from, level));
            from = level;
        }
    }
    bands.push((from, high));
    bands
}

/// The area that a border encloses: above zero where it runs against the clock.
pub(super) fn signed_area(border: &[(f64, f64)]) -> f64 {
    let pairs = border.iter().zip(border.iter().cycle().skip(1));
    pairs.map(|(a, b)| a.0 * b.1 - b.0 * a.1).sum::<f64>() / 2.0
}

/// The stretches along a strip in which all of its width lies inside the borders.
fn free_of_borders(borders: &[Vec<(f64, f64)>], bottom: f64, top: f64) -> Vec<(f64, f64)> {
    // What only touches the strip's side is no hindrance, nor what the grid moved into it.
    let grid = 2.5 * GRID.metres();
    let (inner_bottom, inner_top) = (bottom + grid, top - grid);
    let mut blocked: Vec<(f64, f64)> = Vec::new();
    for border in borders {
        for (number, &one) in border.iter().enumerate() {
            let other = border[(number + 1) % border.len()];
            let (low, high) = if one.1 <= other.1 { (one, other) } else { (other, one) };
            if high.1 <= inner_bottom || low.1 >= inner_top {
                continue;
            }
            let at = |aside: f64| {
                let share = (aside - low.1) / (high.1 - low.1);
                low.0 + (high.0 - low.0) * share.clamp(0.0, 1.0)
            };
            let level = high.1 - low.1 < 1e-12;
            let (a, b) = if level { (low.0, high.0) } else { (at(inner_bottom), at(inner_top)) };
            blocked.push((a.min(b), a.max(b)));
        }
    }
    blocked.sort_by(|a, b| a.0.total_cmp(&b.0));
    let middle = (bottom + top) / 2.0;
    let mut free = Vec::new();
    let mut reached = f64::NEG_INFINITY;
    for (from, to) in blocked {
        if from > reached + 1e-9
            && reached.is_finite()
            && is_inside(borders, ((reached + from) / 2.0, middle))
        {
            free.push((reached, from));
        }
        reached = reached.max(to);
    }
    free
}

/// Whether a place lies inside, by the number of sides that a ray from it crosses.
fn is_inside(borders: &[Vec<(f64, f64)>], place: (f64, f64)) -> bool {
    let mut inside = false;
    for border in borders {
        for (number, &one) in border.iter().enumerate() {
            let other = border[(number + 1) % border.len()];
            if (one.1 > place.1) != (other.1 > place.1) {
                let share = (place.1 - one.1) / (other.1 - one.1);
                inside ^= place.0 < one.0 + share * (other.0 - one.0);
            }
        }
    }
    inside
}
