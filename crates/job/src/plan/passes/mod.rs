//! A machine's passes laid over the real geometry of a zone.
//!
//! The field is the zone less obstacles and less the band that the machine cannot reach
//! along walls and obstacles. Straight lanes of the machine's width, overlapping by at
//! least its overlap, run through it in the direction that takes least time; a lane is
//! broken where any border would come under the machine, so no lane leaves the field.
//! Where slanting borders and islands leave slivers between lane ends, rounds along the
//! border take them. What lanes and rounds do not cover is the band that goes to edging
//! tools. All lengths in metres on the plan.
//!
//! Time: worked length at the speed that the method's planning rate means in lanes of its
//! spacing, every turn, and walks between lanes that do not follow each other.

mod part;
mod rounds;
mod straight;

use schemars::JsonSchema;
use serde::Serialize;
use tooth_measure::geometry::{Direction, Frame};
use tooth_measure::{Angle, Area, AreaRate, Length, LengthRate, Path, Point, Region, WorkTime};

pub(super) use self::part::Taken;
use self::rounds::{ROUNDS, SLIVERS, Slivers, rounds};
use self::straight::{Straight, directions, signed_area};
use super::Scope;
use crate::methods::Lane;

/// Turning a machine at the end of a lane. Assumption.
pub const TURN: WorkTime = WorkTime::from_seconds(20.0);
/// Moving a machine that does not work. Assumption.
pub const WALK: LengthRate = LengthRate::from_metres_per_hour(1800.0);
/// Corners are laid on a grid this fine, so that a zone that is turned gets the same passes.
const GRID: Length = Length::from_millimetres(0.001);

/// Passes over one zone, in the order of driving.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Layout {
    /// The method.
    pub method: String,
    /// What is driven over: the whole area, or what is marked on it.
    pub scope: Scope,
    /// Working width.
    pub width_m: Length,
    /// Lanes run this way, counted from the plan's x axis against the clock.
    pub direction_degrees: Angle,
    /// Middle of every lane and round as corners x, y: driven one after the other.
    pub runs_m: Vec<Vec<[Length; 2]>>,
    /// Length of all of them.
    pub worked_length_m: Length,
    /// Turns between them.
    pub turns: u32,
    /// Walks between lanes that do not follow each other.
    pub idle_length_m: Length,
    /// What lanes and rounds cover.
    pub covered_m2: Area,
    /// What a machine of this width can reach at all.
    pub reachable_m2: Area,
    /// What is left for edging tools.
    pub edging_m2: Area,
    /// What is to be worked: the zone without its obstacles, or the marked part.
    #[serde(skip)]
    pub ground: Region,
}

impl Layout {
    /// Lays passes over a zone; `None` where the machine does not fit in.
    #[must_use]
    pub fn lay(zone: &Region, field: &Region, lane: Lane) -> Option<Self> {
        let frame = Frame::along_longest_side(field)?;
        let field = &field.seen_in(frame, GRID);
        // Set operations leave slivers a rounding error wide: no machine stands there.
        let mut borders = field.borders();
        borders.retain(|border| enclosed(border) > Area::from_square_millimetres(100.0));
        let best = directions(&borders, lane.width)
            .into_iter()
            .map(|direction| Straight::lay(&borders, direction, lane))
            .filter(|laid| !laid.lanes.is_empty())
            .min_by(|a, b| a.time(lane).hours().total_cmp(&b.time(lane).hours()))?;
        let mut swaths: Vec<Region> =
            best.lanes.iter().filter_map(|lane_| swath(lane_, lane.width)).collect();
        let straight = Region::union_of(&swaths);
        let keep = lane.width / 2.0;
        let reachable = field.inset(keep).within(keep).union(&straight);
        let mut slivers = reachable.difference(&straight);
        let mut runs: Vec<Vec<Point>> = best.lanes.iter().map(|lane| lane.to_vec()).collect();
        // First where a round takes much, then wherever it takes anything, then further in.
        for round in ROUNDS {
            if slivers.area() <= reachable.area() * SLIVERS {
                break;
            }
            let left = Slivers::of(&slivers, lane.width);
            let rounds = rounds(&round.course(field, lane), &left, lane.width, round.takes);
            let taken: Vec<Region> =
                rounds.iter().filter_map(|round| swath(round, lane.width)).collect();
            slivers = slivers.difference(&Region::union_of(&taken));
            swaths.extend(taken);
            runs.extend(rounds);
        }
        let covered = Region::union_of(&swaths).intersection(field);
        let (runs, idle) = in_order(runs, lane);
        let covered_area = covered.area();
        Some(Self {
            method: String::new(),
            scope: Scope::Whole,
            ground: zone.clone(),
            width_m: lane.width,
            direction_degrees: as_a_line(frame.direction(best.direction)),
            worked_length_m: length_of(&runs),
            turns: runs.len().saturating_sub(1) as u32,
            idle_length_m: idle,
            covered_m2: covered_area,
            reachable_m2: reachable.area(),
            edging_m2: left_of(zone.area() - covered_area),
            runs_m: corners_of(
                runs.into_iter()
                    .map(|run| run.into_iter().map(|place| frame.place(place)).collect())
                    .collect(),
            ),
        })
    }

    /// Whether these are the lanes of a method over some ground.
    pub(super) fn is_of(&self, method: &str, laid: &Self) -> bool {
        self.method == method && self.scope == laid.scope && self.runs_m == laid.runs_m
    }

    /// Time of one pass over all lanes at a planning rate.
    #[must_use]
    pub fn time(&self, rate: AreaRate, lane: Lane) -> WorkTime {
        self.worked_length_m * lane.spacing() / rate
            + TURN * f64::from(self.turns)
            + self.idle_length_m / WALK
    }

    /// Lanes and rounds as places, in the order of driving.
    #[must_use]
    pub fn runs(&self) -> Vec<Vec<Point>> {
        let places = |run: &Vec<[Length; 2]>| run.iter().map(|[x, y]| Point::new(*x, *y)).collect();
        self.runs_m.iter().map(places).collect()
    }
}

/// Less than this left of a field is a rounding error.
const LEAST_LEFT: Area = Area::from_square_millimetres(100.0);

/// What is left for edging: what set operations leave is no ground for a tool.
fn left_of(area: Area) -> Area {
    if area < LEAST_LEFT { Area::ZERO } else { area }
}

fn length_of(runs: &[Vec<Point>]) -> Length {
    runs.iter().filter_map(|run| Path::new(run)).map(|run| run.length()).sum()
}

fn corners_of(runs: Vec<Vec<Point>>) -> Vec<Vec<[Length; 2]>> {
    let corners = |run: Vec<Point>| run.into_iter().map(|place| [place.x, place.y]).collect();
    runs.into_iter().map(corners).collect()
}

/// The angle of lanes that are driven both ways: from 0 up to 180 degrees.
fn as_a_line(direction: Direction) -> Angle {
    // Rounding makes no half turn of none.
    let degrees = (direction.angle().degrees() * 1e6).round() / 1e6;
    Angle::from_degrees(degrees.rem_euclid(180.0))
}

/// The area that a border encloses.
fn enclosed(border: &[Point]) -> Area {
    let corners: Vec<(f64, f64)> = border.iter().map(|p| (p.x.metres(), p.y.metres())).collect();
    Area::from_square_metres(signed_area(&corners).abs())
}

fn swath(run: &[Point], width: Length) -> Option<Region> {
    Some(Region::along(&Path::new(run)?, width / 2.0))
}

/// Runs in the order of driving: always the nearest end next. The walks between them
/// count where they are longer than stepping over to the next lane.
fn in_order(mut left: Vec<Vec<Point>>, lane: Lane) -> (Vec<Vec<Point>>, Length) {
    let mut ordered: Vec<Vec<Point>> = Vec::with_capacity(left.len());
    let mut idle = Length::ZERO;
    if left.is_empty() {
        return (ordered, idle);
    }
    ordered.push(left.remove(0));
    while let Some(&at) = ordered.last().and_then(|run| run.last()) {
        let ends = left.iter().enumerate().flat_map(|(number, run)| {
            let first = run.first().map(|end| (number, false, at.distance(*end)));
            let last = run.last().map(|end| (number, true, at.distance(*end)));
            first.into_iter().chain(last)
        });
        let nearest = ends.min_by(|a, b| a.2.metres().total_cmp(&b.2.metres()));
        let Some((number, turned, distance)) = nearest else { break };
        let mut run = left.remove(number);
        if turned {
            run.reverse();
        }
        idle += (distance - lane.width).max(Length::ZERO);
        ordered.push(run);
    }
    (ordered, idle)
}

#[cfg(test)]
mod tests {
    #![expect(clippy::unwrap_used, reason = "fixed test shapes")]
    use super::*;
    use tooth_measure::Outline;

    fn at(x: f64, y: f64) -> Point {
        Point::new(Length::from_metres(x), Length::from_metres(y))
    }

    fn lane(width: f64, overlap: f64) -> Lane {
        Lane { width: Length::from_metres(width), overlap: Length::from_metres(overlap) }
    }

    fn shape(corners: &[(f64, f64)]) -> Region {
        let corners: Vec<Point> = corners.iter().map(|(x, y)| at(*x, *y)).collect();
        Outline::new(&corners).unwrap().region()
    }

    fn laid(zone: &Region, lane_: Lane) -> Layout {
        let laid = Layout::lay(zone, zone, lane_).unwrap();
        let swaths: Vec<Region> =
            laid.runs().iter().filter_map(|run| swath(run, laid.width_m)).collect();
        let swath = Region::union_of(&swaths);
        let outside = swath.difference(zone).area().square_metres();
        assert!(outside < 1e-5, "{outside} m² outside the zone");
        assert!(
            laid.covered_m2 / laid.reachable_m2 >= 0.995,
            "{} of {} m²",
            laid.covered_m2.square_metres(),
            laid.reachable_m2.square_metres()
        );
        laid
    }

    /// Source: arithmetic: lanes 0.5 m wide, overlapping 0.05 m, fill 10 × 5 m in
    /// ceil((5 - 0.5) / 0.45) + 1 = 11 lanes of 10 m along the longer side.
    #[test]
    fn a_room_is_driven_along_its_longer_side() {
        let laid = laid(&shape(&[(0., 0.), (10., 0.), (10., 5.), (0., 5.)]), lane(0.5, 0.05));
        assert_eq!((laid.runs_m.len(), laid.turns), (11, 10));
        assert!((laid.worked_length_m.metres() - 110.0).abs() < 1e-6);
        assert!((laid.covered_m2.square_metres() - 50.0).abs() < 1e-4);
        assert!(laid.edging_m2.square_metres() < 1e-4 && laid.idle_length_m.metres() < 1e-6);
        let rate = AreaRate::from_square_metres_per_hour(45.0);
        // 110 m at 100 m/h, and 10 turns of 20 s.
        let expected = 1.1 + 10.0 * 20.0 / 3600.0;
        assert!((laid.time(rate, lane(0.5, 0.05)).hours() - expected).abs() < 1e-9);
    }

    #[test]
    fn slanting_walls_and_round_columns_leave_no_slivers() {
        let slanted = shape(&[(0., 0.), (12., 1.), (11., 8.), (3., 9.5), (-1., 4.)]);
        laid(&slanted, lane(0.38, 0.04));
        let column: Vec<(f64, f64)> = (0..24)
            .map(|n| f64::from(n) * std::f64::consts::TAU / 24.0)
            .map(|a| (5.0 + 0.4 * a.cos(), 4.0 + 0.4 * a.sin()))
            .collect();
        let ring = slanted.difference(&shape(&column));
        laid(&ring, lane(0.5, 0.05));
        let ell = shape(&[(0., 0.), (9., 0.), (9., 3.), (4., 3.), (4., 8.), (0., 8.)]);
        laid(&ell, lane(0.65, 0.05));
    }

    #[test]
    fn a_machine_wider_than_the_way_in_between_does_not_fit() {
        let strip = shape(&[(0., 0.), (10., 0.), (10., 0.3), (0., 0.3)]);
        assert!(Layout::lay(&strip, &strip, lane(0.38, 0.0)).is_none());
    }
}
