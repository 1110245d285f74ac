//! A marked part of a zone, driven in stretches of the zone's own lanes and rounds.

use tooth_measure::geometry::Direction;
use tooth_measure::{Area, Length, Point, Region};

use super::rounds::boxes_meet;
use super::{GRID, Layout, corners_of, in_order, length_of, swath};
use crate::methods::Lane;
use crate::plan::Scope;

/// Less than this share of a strip is no reason to drive along it.
const GRAIN: f64 = 1e-3;

impl Layout {
    /// Of the same lanes and rounds, the stretches that take a marked part of the zone, each
    /// at least as long as the machine is wide where its lane is; `None` where none does.
    #[must_use]
    pub fn over(&self, part: &Region, lane: Lane) -> Option<Self> {
        let (low, high) = part.bounds()?;
        let mut stretches: Vec<Vec<Point>> = Vec::new();
        for run in self.runs() {
            // Whether the last stretch goes on round the corner that comes next.
            let mut goes_on = false;
            for (number, side) in run.windows(2).enumerate() {
                let [from, to] = [side[0], side[1]];
                let way = Direction::from_to(from, to);
                // What the machine sweeps where it turns lies beyond the ends of both sides.
                let beyond = |at: Point, along: Length| {
                    let (on, aside) = way.along_and_aside(at);
                    way.place_at(on + along, aside)
                };
                let back = if number == 0 { Length::ZERO } else { lane.width / -2.0 };
                let on = if number + 2 == run.len() { Length::ZERO } else { lane.width / 2.0 };
                let reach = [beyond(from, back), beyond(to, on)];
                let aside = lane.width / 2.0;
                if !boxes_meet(reach, aside, low, high) {
                    goes_on = false;
                    continue;
                }
                let Some(strip) = swath(&reach, lane.width) else { continue };
                let (start, aside) = way.along_and_aside(from);
                let end = way.along_and_aside(to).0;
                let mut reaches_end = false;
                for (near, far) in taken_along(&strip, part, way, lane.width) {
                    let short = (lane.width - (far - near)).max(Length::ZERO) / 2.0;
                    let least = (end - start).min(lane.width);
                    let near = (near - short).max(start).min(end - least);
                    let far = (far + short).min(end).max(near + least);
                    reaches_end = end - far < GRID;
                    let far = if reaches_end { to } else { way.place_at(far, aside) };
                    match stretches.last_mut() {
                        Some(last) if goes_on && near - start < GRID => last.push(far),
                        _ => stretches.push(vec![way.place_at(near, aside), far]),
                    }
                    goes_on = false;
                }
                goes_on = reaches_end;
            }
        }
        // Those that take most first; one that adds next to nothing to them is left out.
        let swaths: Vec<Option<Region>> =
            stretches.iter().map(|stretch| swath(stretch, lane.width)).collect();
        let mut taking: Vec<(usize, &Region, Area)> = swaths
            .iter()
            .enumerate()
            .filter_map(|(number, swath)| {
                let swath = swath.as_ref()?;
                Some((number, swath, swath.intersection(part).area()))
            })
            .collect();
        // In square centimetres, so that rounding does not change the order of equals.
        taking.sort_by_key(|(.., taken)| {
            std::cmp::Reverse((taken.square_metres() * 1e4).round() as i64)
        });
        let inside = |swath: &Region, taken: Area| taken >= swath.area() * (1.0 - GRAIN);
        let (whole, in_part): (Vec<_>, Vec<_>) =
            taking.into_iter().partition(|(_, swath, taken)| inside(swath, *taken));
        let mut kept: Vec<usize> = whole.iter().map(|(number, ..)| *number).collect();
        let whole: Vec<Region> = whole.into_iter().map(|(_, swath, _)| swath.clone()).collect();
        let mut left = part.difference(&Region::union_of(&whole));
        for (number, swath, _) in in_part {
            if swath.intersection(&left).area() > swath.area() * GRAIN {
                left = left.difference(swath);
                kept.push(number);
            }
        }
        kept.sort_unstable();
        let stretches: Vec<Vec<Point>> =
            kept.into_iter().map(|number| std::mem::take(&mut stretches[number])).collect();
        if stretches.is_empty() {
            return None;
        }
        let covered = (part.area() - left.area()).max(Area::ZERO);
        let (runs, idle) = in_order(stretches, lane);
        Some(Self {
            method: String::new(),
            scope: Scope::Part,
            ground: part.clone(),
            worked_length_m: length_of(&runs),
            turns: runs.len().saturating_sub(1) as u32,
            idle_length_m: idle,
            covered_m2: covered,
            reachable_m2: covered,
            edging_m2: left.area(),
            runs_m: corners_of(runs),
            ..*self
        })
    }
}

/// Stretches of a strip in which it takes something of a part, nearer ones first: gaps
/// shorter than the machine is wide are driven through.
fn taken_along(
    strip: &Region,
    part: &Region,
    way: Direction,
    width: Length,
) -> Vec<(Length, Length)> {
    let grain = strip.area() * GRAIN;
    let mut stretches: Vec<(Length, Length)> = Vec::new();
    for piece in strip.intersection(part).pieces() {
        if piece.area() <= grain {
            continue;
        }
        let alongs = piece.borders().into_iter().flatten().map(|at| way.along_and_aside(at).0);
        let ends = alongs.fold(None, |ends: Option<(Length, Length)>, at| {
            Some(ends.map_or((at, at), |(low, high)| (low.min(at), high.max(at))))
        });
        stretches.extend(ends);
    }
    stretches.sort_by(|a, b| a.0.metres().total_cmp(&b.0.metres()));
    let mut merged: Vec<(Length, Length)> = Vec::new();
    for (near, far) in stretches {
        match merged.last_mut() {
            Some(last) if near - last.1 < width => last.1 = last.1.max(far),
            _ => merged.push((near, far)),
        }
    }
    merged
}
