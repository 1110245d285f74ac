//! A marked part of a zone, driven in stretches of the zone's own lanes and rounds.

use tooth_measure::geometry::Direction;
use tooth_measure::{Area, Length, Point, Region};

use super::rounds::boxes_meet;
use super::{GRID, Layout, corners_of, in_order, left_of, length_of, swath};
use crate::methods::Lane;
use crate::plan::Scope;

/// Less than this share of a strip is no reason to drive along it.
const GRAIN: f64 = 1e-3;

/// What lies of some ground under one side of a run: from where to where along it, and how much.
#[derive(Debug, Clone, Copy)]
struct Piece {
    near: Length,
    far: Length,
    area: Area,
}

/// What lies of some ground under every side of a layout's runs, in their order.
#[derive(Debug, Clone)]
pub(in crate::plan) struct Taken(Vec<Vec<Piece>>);

/// One side of a run.
struct Side {
    from: Point,
    to: Point,
    way: Direction,
    /// The side with what the machine sweeps where it turns, beyond its ends.
    reach: [Point; 2],
}

/// The sides of a run.
fn sides(run: &[Point], width: Length) -> impl Iterator<Item = Side> {
    run.windows(2).enumerate().map(move |(number, side)| {
        let [from, to] = [side[0], side[1]];
        let way = Direction::from_to(from, to);
        let beyond = |at: Point, along: Length| {
            let (on, aside) = way.along_and_aside(at);
            way.place_at(on + along, aside)
        };
        let back = if number == 0 { Length::ZERO } else { width / -2.0 };
        let on = if number + 2 == run.len() { Length::ZERO } else { width / 2.0 };
        Side { from, to, way, reach: [beyond(from, back), beyond(to, on)] }
    })
}

impl Layout {
    /// What lies of some ground under the machine, side by side.
    #[must_use]
    pub(in crate::plan) fn taken(&self, ground: &Region, lane: Lane) -> Taken {
        let pieces = Pieces::of(ground);
        let bounds = ground.bounds();
        let under = |side: Side| {
            let Some((low, high)) = bounds else { return Vec::new() };
            if !boxes_meet(side.reach, lane.width / 2.0, low, high) {
                return Vec::new();
            }
            swath(&side.reach, lane.width)
                .map(|strip| under_a_strip(&strip, &pieces.near(&strip), side.way))
                .unwrap_or_default()
        };
        Taken(
            self.runs()
                .iter()
                .flat_map(|run| sides(run, lane.width).map(under).collect::<Vec<_>>())
                .collect(),
        )
    }

    /// Of the same lanes and rounds, the stretches that take a marked part of the zone, each
    /// at least as long as the machine is wide where its lane is; `None` where none does.
    #[must_use]
    pub fn over(&self, part: &Region, lane: Lane) -> Option<Self> {
        self.over_places(part, &[&self.taken(part, lane)], lane)
    }

    /// The same, where it is known of each place of the part what lies under the machine.
    #[must_use]
    pub(in crate::plan) fn over_places(
        &self,
        part: &Region,
        places: &[&Taken],
        lane: Lane,
    ) -> Option<Self> {
        // A stretch and how much of the part lies under it.
        let mut stretches: Vec<(Vec<Point>, Area)> = Vec::new();
        let mut number = 0;
        for run in self.runs() {
            // Whether the last stretch goes on round the corner that comes next.
            let mut goes_on = false;
            for side in sides(&run, lane.width) {
                let under = places.iter().filter_map(|taken| taken.0.get(number)).flatten();
                let under: Vec<Piece> = under.copied().collect();
                number += 1;
                let (start, aside) = side.way.along_and_aside(side.from);
                let end = side.way.along_and_aside(side.to).0;
                let mut reaches_end = false;
                for Piece { near, far, area } in merged(under, lane.width) {
                    let short = (lane.width - (far - near)).max(Length::ZERO) / 2.0;
                    let least = (end - start).min(lane.width);
                    let near = (near - short).max(start).min(end - least);
                    let far = (far + short).min(end).max(near + least);
                    reaches_end = end - far < GRID;
                    let far = if reaches_end { side.to } else { side.way.place_at(far, aside) };
                    match stretches.last_mut() {
                        Some((last, taken)) if goes_on && near - start < GRID => {
                            last.push(far);
                            *taken += area;
                        }
                        _ => stretches.push((vec![side.way.place_at(near, aside), far], area)),
                    }
                    goes_on = false;
                }
                goes_on = reaches_end;
            }
        }
        // Those that take most first; one that adds next to nothing to them is left out.
        let mut taking: Vec<(usize, Region, Area)> = stretches
            .iter()
            .enumerate()
            .filter_map(|(number, (stretch, taken))| {
                Some((number, swath(stretch, lane.width)?, *taken))
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
        let whole: Vec<Region> = whole.into_iter().map(|(_, swath, _)| swath).collect();
        let mut left = match whole.as_slice() {
            [] => Pieces::of(part),
            whole => Pieces::of(&part.difference(&Region::union_of(whole))),
        };
        for (number, swath, _) in in_part {
            if left.take(&swath, swath.area() * GRAIN) {
                kept.push(number);
            }
        }
        kept.sort_unstable();
        let stretches: Vec<Vec<Point>> =
            kept.into_iter().map(|number| std::mem::take(&mut stretches[number].0)).collect();
        if stretches.is_empty() {
            return None;
        }
        let left = left_of(left.area());
        let covered = (part.area() - left).max(Area::ZERO);
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
            edging_m2: left,
            runs_m: corners_of(runs),
            ..*self
        })
    }
}

/// The pieces of a marked part with their boxes: most stretches meet few of them.
struct Pieces(Vec<(Region, (Point, Point))>);

fn boxed(piece: Region) -> Option<(Region, (Point, Point))> {
    let bounds = piece.bounds()?;
    Some((piece, bounds))
}

impl Pieces {
    fn of(part: &Region) -> Self {
        Self(part.pieces().into_iter().filter_map(boxed).collect())
    }

    fn meeting(&self, other: &Region) -> impl Iterator<Item = usize> {
        let bounds = other.bounds();
        (0..self.0.len()).filter(move |at| {
            let Some((low, high)) = bounds else { return false };
            self.0.get(*at).is_some_and(|(_, own)| {
                low.x <= own.1.x && high.x >= own.0.x && low.y <= own.1.y && high.y >= own.0.y
            })
        })
    }

    /// Those whose boxes meet that of a swath.
    fn near(&self, swath: &Region) -> Region {
        Region::together(
            self.meeting(swath).filter_map(|at| self.0.get(at)).map(|(piece, _)| piece),
        )
    }

    /// Takes what a swath covers away, if that is more than so much.
    fn take(&mut self, swath: &Region, least: Area) -> bool {
        let meeting: Vec<usize> = self.meeting(swath).collect();
        let mut rests = Vec::new();
        let mut taken = Area::ZERO;
        for at in meeting {
            let Some((piece, _)) = self.0.get(at) else { continue };
            let rest = piece.difference(swath);
            taken += piece.area() - rest.area();
            rests.push((at, rest));
        }
        if taken <= least {
            return false;
        }
        // Pieces that fall apart meet fewer swaths.
        for (at, rest) in rests {
            let mut parts = rest.pieces().into_iter().filter_map(boxed);
            match (parts.next(), self.0.get_mut(at)) {
                (Some(first), Some(held)) => *held = first,
                (None, Some(held)) => held.0 = Region::empty(),
                (_, None) => {}
            }
            self.0.extend(parts);
        }
        true
    }

    fn area(&self) -> Area {
        self.0.iter().map(|(piece, _)| piece.area()).sum()
    }
}

/// Pieces of some ground under a strip.
fn under_a_strip(strip: &Region, ground: &Region, way: Direction) -> Vec<Piece> {
    let grain = strip.area() * GRAIN;
    let mut found = Vec::new();
    for piece in strip.intersection(ground).pieces() {
        let area = piece.area();
        if area <= grain {
            continue;
        }
        let alongs = piece.borders().into_iter().flatten().map(|at| way.along_and_aside(at).0);
        let ends = alongs.fold(None, |ends: Option<(Length, Length)>, at| {
            Some(ends.map_or((at, at), |(low, high)| (low.min(at), high.max(at))))
        });
        found.extend(ends.map(|(near, far)| Piece { near, far, area }));
    }
    found
}

/// Stretches that take something, nearer ones first: gaps shorter than the machine is wide are
/// driven through.
fn merged(mut pieces: Vec<Piece>, width: Length) -> Vec<Piece> {
    pieces.sort_by(|a, b| a.near.metres().total_cmp(&b.near.metres()));
    let mut merged: Vec<Piece> = Vec::new();
    for piece in pieces {
        match merged.last_mut() {
            Some(last) if piece.near - last.far < width => {
                last.far = last.far.max(piece.far);
                last.area += piece.area;
            }
            _ => merged.push(piece),
        }
    }
    merged
}
