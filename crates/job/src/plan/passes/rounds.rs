//! Rounds along the border of a field, where straight lanes leave slivers.

use tooth_measure::geometry::Direction;
use tooth_measure::{Area, Length, Point, Region};

use super::{GRID, swath};
use crate::methods::Lane;

/// Slivers smaller than this share of the field are no reason for a round.
pub(super) const SLIVERS: f64 = 0.003;
/// Rounds that are tried in this order.
pub(super) const ROUNDS: [Round; 10] = [
    Round { corners: Corners::Square, takes: Takes::More(0.05), lanes_in: 0.0 },
    Round { corners: Corners::Square, takes: Takes::More(0.05), lanes_in: 0.5 },
    Round { corners: Corners::Square, takes: Takes::More(0.05), lanes_in: 1.0 },
    Round { corners: Corners::Round, takes: Takes::More(0.02), lanes_in: 0.0 },
    Round { corners: Corners::Round, takes: Takes::More(0.02), lanes_in: 0.5 },
    Round { corners: Corners::Round, takes: Takes::More(0.02), lanes_in: 1.0 },
    Round { corners: Corners::Round, takes: Takes::More(0.02), lanes_in: 0.25 },
    Round { corners: Corners::Round, takes: Takes::More(0.0), lanes_in: 0.0 },
    Round { corners: Corners::Round, takes: Takes::More(0.0), lanes_in: 0.5 },
    Round { corners: Corners::Round, takes: Takes::Near, lanes_in: 0.0 },
];

/// How a round goes past a corner that juts into the field.
#[derive(Debug, Clone, Copy)]
pub(super) enum Corners {
    /// On to where both sides' lanes meet.
    Square,
    /// Close about it.
    Round,
}

/// Which stretches of a round are driven.
#[derive(Debug, Clone, Copy)]
pub(super) enum Takes {
    /// Stretches of which slivers are more than this share.
    More(f64),
    /// All near a sliver worth the name: turning on the spot in a dead end takes what no
    /// stretch does.
    Near,
}

/// A round along the border.
#[derive(Debug, Clone, Copy)]
pub(super) struct Round {
    pub(super) corners: Corners,
    pub(super) takes: Takes,
    /// How many lanes further in it lies than one that touches the border.
    pub(super) lanes_in: f64,
}

impl Round {
    /// Where it runs.
    pub(super) fn course(self, field: &Region, lane: Lane) -> Region {
        let depth = lane.width / 2.0 + lane.spacing() * self.lanes_in;
        match self.corners {
            Corners::Square => field.inset_square(depth),
            Corners::Round => field.inset_round(depth),
        }
    }
}

/// Slivers that lanes leave, piece by piece, so that only those near a side are looked at.
pub(super) struct Slivers(Vec<(Region, (Point, Point))>);

impl Slivers {
    pub(super) fn of(region: &Region, width: Length) -> Self {
        // Rounding leaves thousands of pieces that no machine could take.
        let grain = width * width * 1e-5;
        let pieces = region.pieces().into_iter().filter(|piece| piece.area() > grain);
        Self(pieces.filter_map(|piece| Some((piece.clone(), piece.bounds()?))).collect())
    }

    /// Whether a side takes enough of them.
    fn taken(&self, side: [Point; 2], width: Length, takes: Takes) -> bool {
        let near = self.near(side, width);
        match takes {
            Takes::Near => near.iter().any(|piece| piece.area() > width * width * 0.01),
            Takes::More(worth) => {
                let asked = side[0].distance(side[1]) * width * worth;
                // No more lies under it than there is.
                let there: Area = near.iter().map(|piece| piece.area()).sum();
                there > asked
                    && swath(&side, width).is_some_and(|strip| {
                        strip.intersection(&Region::together(near.into_iter())).area() > asked
                    })
            }
        }
    }

    /// Those that may lie under a strip along a side.
    fn near(&self, side: [Point; 2], width: Length) -> Vec<&Region> {
        let near = self.0.iter();
        let near = near.filter(|(_, (low, high))| boxes_meet(side, width / 2.0, *low, *high));
        near.map(|(piece, _)| piece).collect()
    }
}

/// Whether the box round a side, so much wider all round, meets another box.
pub(super) fn boxes_meet([from, to]: [Point; 2], wider: Length, low: Point, high: Point) -> bool {
    from.x.min(to.x) - wider <= high.x
        && from.x.max(to.x) + wider >= low.x
        && from.y.min(to.y) - wider <= high.y
        && from.y.max(to.y) + wider >= low.y
}

/// Rounds along an inner border where slivers lie under it. Gaps shorter than the machine is
/// wide are driven through: lifting it off and on again takes longer.
pub(super) fn rounds(
    inner: &Region,
    slivers: &Slivers,
    width: Length,
    takes: Takes,
) -> Vec<Vec<Point>> {
    let mut rounds = Vec::new();
    for border in inner.borders() {
        let border = in_stretches(&border, width);
        let count = border.len();
        let side = |number: usize| [border[number % count], border[(number + 1) % count]];
        let mut driven: Vec<bool> =
            (0..count).map(|number| slivers.taken(side(number), width, takes)).collect();
        let Some(first) = (0..count).find(|&number| driven[number]) else { continue };
        // Once round from a side that takes something: bridge short gaps.
        let (mut gap, mut open) = (Length::ZERO, Vec::new());
        for number in first + 1..=first + count {
            if driven[number % count] {
                if gap < width {
                    for at in open.drain(..) {
                        driven[at] = true;
                    }
                }
                open.clear();
                gap = Length::ZERO;
            } else {
                let [from, to] = side(number);
                gap += from.distance(to);
                open.push(number % count);
            }
        }
        let Some(start) = (0..count).find(|&number| !driven[number]) else {
            // Past the first corner again, so that the corner is driven round.
            let mut round = border.clone();
            round.extend(border.iter().take(2));
            rounds.push(straightened(&round));
            continue;
        };
        let mut round: Vec<Point> = Vec::new();
        for number in (start + 1)..=(start + count) {
            let at = number % count;
            if driven[at] {
                if round.is_empty() {
                    // Half a width into the side before, so that the corner is driven round.
                    let [before, corner] = side(at + count - 1);
                    round.push(towards(corner, before, width / 2.0));
                    round.push(corner);
                }
                round.push(border[(at + 1) % count]);
            } else if !round.is_empty() {
                let [corner, after] = side(at);
                round.push(towards(corner, after, width / 2.0));
                rounds.push(straightened(&std::mem::take(&mut round)));
            }
        }
    }
    rounds
}

/// A border with corners at least every so often.
fn in_stretches(border: &[Point], most: Length) -> Vec<Point> {
    let mut corners = Vec::with_capacity(border.len());
    for (&from, &to) in border.iter().zip(border.iter().cycle().skip(1)) {
        let count = (from.distance(to) / most).ceil().max(1.0);
        let stretch = from.distance(to) / count;
        corners.extend((0..count as u32).map(|n| towards(from, to, stretch * f64::from(n))));
    }
    corners
}

/// A run without the corners at which it goes straight on.
fn straightened(run: &[Point]) -> Vec<Point> {
    let mut corners: Vec<Point> = Vec::with_capacity(run.len());
    for &next in run {
        while let [.., before, last] = corners.as_slice() {
            let way = Direction::from_to(*before, next);
            let (along, aside) = way.along_and_aside(*last);
            let (start, level) = way.along_and_aside(*before);
            let (end, _) = way.along_and_aside(next);
            let straight_on = aside <= level + GRID && aside >= level - GRID;
            if !straight_on || along < start || along > end {
                break;
            }
            corners.pop();
        }
        corners.push(next);
    }
    corners
}

/// The place so far from one towards another, at most there.
fn towards(from: Point, to: Point, distance: Length) -> Point {
    let whole = from.distance(to);
    let share = if whole > distance { distance / whole } else { 1.0 };
    Point::new(from.x + (to.x - from.x) * share, from.y + (to.y - from.y) * share)
}
