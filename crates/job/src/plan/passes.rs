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

use super::Scope;
use crate::methods::Lane;
use schemars::JsonSchema;
use serde::Serialize;
use tooth_measure::geometry::{Direction, Frame};
use tooth_measure::{Angle, Area, AreaRate, Length, LengthRate, Path, Point, Region, WorkTime};

/// Turning a machine at the end of a lane. Assumption.
pub const TURN: WorkTime = WorkTime::from_seconds(20.0);
/// Moving a machine that does not work. Assumption.
pub const WALK: LengthRate = LengthRate::from_metres_per_hour(1800.0);
/// Slivers smaller than this share of the field are no reason for a round.
const SLIVERS: f64 = 0.003;
/// Rounds that are tried in this order.
const ROUNDS: [Round; 10] = [
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
/// Corners are laid on a grid this fine, so that a zone that is turned gets the same passes.
const GRID: Length = Length::from_millimetres(0.001);
/// Less than this share of a strip is no reason to drive along it.
const GRAIN: f64 = 1e-3;
/// Directions that are tried: the longest sides of the field.
const DIRECTIONS: usize = 6;

/// How a round goes past a corner that juts into the field.
#[derive(Debug, Clone, Copy)]
enum Corners {
    /// On to where both sides' lanes meet.
    Square,
    /// Close about it.
    Round,
}

/// Which stretches of a round are driven.
#[derive(Debug, Clone, Copy)]
enum Takes {
    /// Stretches of which slivers are more than this share.
    More(f64),
    /// All near a sliver worth the name: turning on the spot in a dead end takes what no
    /// stretch does.
    Near,
}

/// A round along the border.
#[derive(Debug, Clone, Copy)]
struct Round {
    corners: Corners,
    takes: Takes,
    /// How many lanes further in it lies than one that touches the border.
    lanes_in: f64,
}

impl Round {
    /// Where it runs.
    fn course(self, field: &Region, lane: Lane) -> Region {
        let depth = lane.width / 2.0 + lane.spacing() * self.lanes_in;
        match self.corners {
            Corners::Square => field.inset_square(depth),
            Corners::Round => field.inset_round(depth),
        }
    }
}

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
            edging_m2: (zone.area() - covered_area).max(Area::ZERO),
            runs_m: corners_of(
                runs.into_iter()
                    .map(|run| run.into_iter().map(|place| frame.place(place)).collect())
                    .collect(),
            ),
        })
    }

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

/// The directions of the longest sides, each once. A side that is hardly longer than the
/// machine is wide gives no direction, unless there is no other.
fn directions(borders: &[Vec<Point>], width: Length) -> Vec<Direction> {
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
struct Straight {
    direction: Direction,
    lanes: Vec<[Point; 2]>,
    /// What of the field they leave for rounds, about.
    missed: Area,
}

impl Straight {
    fn lay(borders: &[Vec<Point>], direction: Direction, lane: Lane) -> Self {
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
    fn time(&self, lane: Lane) -> WorkTime {
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
fn signed_area(border: &[(f64, f64)]) -> f64 {
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

/// Slivers that lanes leave, piece by piece, so that only those near a side are looked at.
struct Slivers(Vec<(Region, (Point, Point))>);

impl Slivers {
    fn of(region: &Region, width: Length) -> Self {
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
                !near.is_empty()
                    && swath(&side, width).is_some_and(|strip| {
                        let under: Area =
                            near.iter().map(|piece| strip.intersection(piece).area()).sum();
                        under > side[0].distance(side[1]) * width * worth
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
fn boxes_meet([from, to]: [Point; 2], wider: Length, low: Point, high: Point) -> bool {
    from.x.min(to.x) - wider <= high.x
        && from.x.max(to.x) + wider >= low.x
        && from.y.min(to.y) - wider <= high.y
        && from.y.max(to.y) + wider >= low.y
}

/// Rounds along an inner border where slivers lie under it. Gaps shorter than the machine is
/// wide are driven through: lifting it off and on again takes longer.
fn rounds(inner: &Region, slivers: &Slivers, width: Length, takes: Takes) -> Vec<Vec<Point>> {
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
