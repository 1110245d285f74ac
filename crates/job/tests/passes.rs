//! Passes of a machine, looked at again with polygons of this test's own: the strips are
//! rebuilt from the corners of every run, the field and what a disc of the machine's width
//! reaches from the corners of the zone.
#![expect(clippy::unwrap_used, reason = "tests fail loudly")]

use std::f64::consts::{PI, TAU};

use geo::algorithm::buffer::{BufferStyle, LineCap, LineJoin};
use geo::{
    Area as _, BooleanOps as _, BoundingRect as _, Buffer as _, Coord, Distance as _, Euclidean,
    LineString, MultiPolygon, Polygon,
};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use tooth_job::methods::Lane;
use tooth_job::plan::Layout;
use tooth_job::plan::passes::TURN;
use tooth_measure::{Area, AreaRate, Length, Outline, Path, Point, Region};

type Corners = Vec<(f64, f64)>;

/// A zone of many shapes with obstacles, bands along its walls, and a machine.
#[derive(Debug, Clone)]
struct Case {
    zone: Corners,
    obstacles: Vec<Corners>,
    /// Width that the machine does not reach along walls and obstacles.
    band: f64,
    /// Sides of the zone that are walls, as bits.
    walls: u32,
    width: f64,
    /// Share of the width.
    overlap: f64,
}

fn coord((x, y): (f64, f64)) -> Coord {
    Coord { x, y }
}

fn polygon(corners: &[(f64, f64)]) -> MultiPolygon {
    let ring = LineString::new(corners.iter().copied().map(coord).collect());
    MultiPolygon(vec![Polygon::new(ring, Vec::new())])
}

fn at((x, y): (f64, f64)) -> Point {
    Point::new(Length::from_metres(x), Length::from_metres(y))
}

fn region(corners: &[(f64, f64)]) -> Region {
    let corners: Vec<Point> = corners.iter().copied().map(at).collect();
    Outline::new(&corners).unwrap().region()
}

impl Case {
    fn lane(&self) -> Lane {
        let width = Length::from_metres(self.width);
        Lane { width, overlap: width * self.overlap }
    }

    fn sides(&self) -> impl Iterator<Item = [(f64, f64); 2]> {
        let count = self.zone.len();
        (0..count)
            .filter(|number| self.walls & (1 << number) != 0)
            .map(move |number| [self.zone[number], self.zone[(number + 1) % count]])
    }

    /// Zone and field as the planner makes them.
    fn regions(&self) -> (Region, Region) {
        let mut zone = region(&self.zone);
        for obstacle in &self.obstacles {
            zone = zone.difference(&region(obstacle));
        }
        let mut field = zone.clone();
        if self.band > 0.0 {
            let reach = Length::from_metres(self.band);
            for side in self.sides() {
                let path = Path::new(&side.map(at)).unwrap();
                field = field.difference(&Region::along(&path, reach));
            }
            for obstacle in &self.obstacles {
                field = field.difference(&region(obstacle).within(reach));
            }
        }
        (zone, field)
    }

    /// The same by this test.
    fn polygons(&self) -> (MultiPolygon, MultiPolygon) {
        let mut zone = polygon(&self.zone);
        for obstacle in &self.obstacles {
            zone = zone.difference(&polygon(obstacle));
        }
        let mut field = zone.clone();
        if self.band > 0.0 {
            for [from, to] in self.sides() {
                field = field.difference(&strip(coord(from), coord(to), 2.0 * self.band));
            }
            for obstacle in &self.obstacles {
                field = field.difference(&polygon(obstacle).buffer(self.band));
            }
        }
        (zone, field)
    }

    fn moved(&self, angle: f64, by: (f64, f64)) -> Self {
        let (sin, cos) = angle.sin_cos();
        let moved = |corners: &Corners| -> Corners {
            let moved = |&(x, y): &(f64, f64)| (x * cos - y * sin + by.0, x * sin + y * cos + by.1);
            corners.iter().map(moved).collect()
        };
        Self {
            zone: moved(&self.zone),
            obstacles: self.obstacles.iter().map(moved).collect(),
            ..self.clone()
        }
    }
}

/// A rectangle of a width about a line, worked out corner by corner.
fn strip(from: Coord, to: Coord, width: f64) -> MultiPolygon {
    let (x, y) = (to.x - from.x, to.y - from.y);
    let half = width / 2.0 / x.hypot(y);
    let (x, y) = (-y * half, x * half);
    polygon(&[
        (from.x + x, from.y + y),
        (from.x - x, from.y - y),
        (to.x - x, to.y - y),
        (to.x + x, to.y + y),
    ])
}

fn disc(middle: Coord, radius: f64, corners: u32) -> Corners {
    (0..corners)
        .map(|n| f64::from(n) * TAU / f64::from(corners))
        .map(|a| (middle.x + radius * a.cos(), middle.y + radius * a.sin()))
        .collect()
}

/// The runs of a layout as coordinates.
fn runs(laid: &Layout) -> Vec<Vec<Coord>> {
    let coords = |run: &Vec<[Length; 2]>| -> Vec<Coord> {
        run.iter().map(|[x, y]| Coord { x: x.metres(), y: y.metres() }).collect()
    };
    laid.runs_m.iter().map(coords).collect()
}

/// What a bar of a width sweeps along runs: a rectangle along each side, a sector on the
/// outer side of each corner.
fn swept(runs: &[Vec<Coord>], width: f64) -> MultiPolygon {
    let mut pieces = Vec::new();
    for run in runs {
        let mut run = run.clone();
        run.dedup_by(|a, b| Euclidean.distance(*a, *b) < 1e-9);
        for side in run.windows(2) {
            pieces.push(strip(side[0], side[1], width));
        }
        for corner in run.windows(3) {
            pieces.extend(sector(corner[0], corner[1], corner[2], width / 2.0));
        }
    }
    geo::unary_union(pieces.iter())
}

/// By how much a run turns at a corner, as a share of a whole turn.
fn turned(corner: &[Coord]) -> f64 {
    turn(corner[0], corner[1], corner[2]).abs() / TAU
}

/// The angle by which a run turns at a corner.
fn turn(from: Coord, corner: Coord, to: Coord) -> f64 {
    (way(corner, to) - way(from, corner) + 3.0 * PI).rem_euclid(TAU) - PI
}

fn way(a: Coord, b: Coord) -> f64 {
    (b.y - a.y).atan2(b.x - a.x)
}

/// What the bar sweeps where it turns on the spot.
fn sector(from: Coord, corner: Coord, to: Coord, radius: f64) -> Option<MultiPolygon> {
    let turn = turn(from, corner, to);
    // The outer side lies to the right of a turn to the left.
    let start = way(from, corner) - turn.signum() * PI / 2.0;
    let place = |n: u32| {
        let angle = start + turn * f64::from(n) / 24.0;
        (corner.x + radius * angle.cos(), corner.y + radius * angle.sin())
    };
    let mut fan = vec![(corner.x, corner.y)];
    fan.extend((0..=24).map(place));
    if turn < 0.0 {
        fan.reverse();
    }
    (turn.abs() > 1e-3).then(|| polygon(&fan))
}

/// All that a disc reaches by moving which never leaves the field: inset, then out again.
fn opened(field: &MultiPolygon, radius: f64) -> MultiPolygon {
    let fine = |distance: f64| {
        BufferStyle::new(distance).line_cap(LineCap::Butt).line_join(LineJoin::Round(PI / 90.0))
    };
    let inset = field.buffer_with_style(fine(-radius));
    // Where it could only stand there is nothing to drive.
    let moves = |at: &Polygon| {
        at.bounding_rect().is_some_and(|r| r.width().max(r.height()) > 0.05 * radius)
    };
    MultiPolygon(inset.into_iter().filter(moves).collect()).buffer_with_style(fine(radius))
}

fn rectangle() -> impl Strategy<Value = Corners> {
    (1.0..20.0f64, 1.0..12.0f64).prop_map(|(w, h)| vec![(0., 0.), (w, 0.), (w, h), (0., h)])
}

fn slanted() -> impl Strategy<Value = Corners> {
    (3.0..18.0f64, 2.0..10.0f64, prop::array::uniform6(-1.0..1.0f64))
        .prop_map(|(w, h, d)| vec![(d[0], 0.), (w + d[1], d[2]), (w + d[3], h + d[4]), (d[5], h)])
}

/// Corners round an ellipse, some drawn in: convex where none are.
fn round(concave: bool) -> impl Strategy<Value = Corners> {
    let least = if concave { 0.45 } else { 1.0 };
    (1.5..9.0f64, 1.5..6.0f64, prop::collection::vec((0.0..0.8f64, least..=1.0f64), 5..10))
        .prop_map(|(a, b, corners)| {
            let step = TAU / corners.len() as f64;
            let placed = corners.iter().enumerate().map(|(n, (more, drawn))| {
                let angle = step * (n as f64 + more);
                (a * drawn * angle.cos(), b * drawn * angle.sin())
            });
            placed.collect()
        })
}

/// L, T and U of arms of any width.
fn letters() -> impl Strategy<Value = Corners> {
    (0..3u8, 4.0..16.0f64, 3.0..12.0f64, prop::array::uniform4(0.08..0.9f64)).prop_map(
        |(letter, w, h, s)| match letter {
            0 => {
                let (x, y) = (w * s[0], h * s[1]);
                vec![(0., 0.), (w, 0.), (w, y), (x, y), (x, h), (0., h)]
            }
            1 => {
                let (x, y) = (w * s[0] * 0.9, h * s[1]);
                let r = x + (w - x) * s[2].max(0.1);
                vec![(0., h), (0., y), (x, y), (x, 0.), (r, 0.), (r, y), (w, y), (w, h)]
            }
            _ => {
                let (x, y) = (w * s[0] * 0.9, h * s[1]);
                let r = x + (w - x) * s[2] * 0.9;
                vec![(0., 0.), (w, 0.), (w, h), (r, h), (r, y), (x, y), (x, h), (0., h)]
            }
        },
    )
}

/// Where an obstacle stands: anywhere, or so far from a wall as shares of the machine.
#[derive(Debug, Clone, Copy)]
enum Stands {
    Anywhere(f64, f64),
    OffWall { side: usize, along: f64, gap: f64 },
}

fn obstacle() -> impl Strategy<Value = (Stands, u32, f64, f64, f64)> {
    let stands = prop_oneof![
        (0.1..0.9f64, 0.1..0.9f64).prop_map(|(x, y)| Stands::Anywhere(x, y)),
        (0..9usize, 0.1..0.9f64, 0.05..1.3f64).prop_map(|(side, along, gap)| Stands::OffWall {
            side,
            along,
            gap
        }),
    ];
    let corners = prop_oneof![Just(4u32), 12..33u32];
    (stands, corners, 0.08..0.8f64, 0.3..1.0f64, 0.0..PI)
}

fn case() -> impl Strategy<Value = Case> {
    let zone = prop_oneof![
        2 => rectangle(), 2 => slanted(), 2 => round(false), 2 => round(true), 3 => letters()
    ];
    let turned = prop_oneof![Just(0.0), 0.0..TAU];
    let band = prop_oneof![1 => Just(0.0), 2 => 0.02..0.2f64];
    let walls = prop_oneof![Just(u32::MAX), any::<u32>()];
    let obstacles = prop::collection::vec(obstacle(), 0..5);
    (zone, turned, obstacles, band, walls, 0.1..1.0f64, 0.0..0.3f64).prop_map(
        |(zone, turned, obstacles, band, walls, width, overlap)| {
            let standing = |(stands, corners, size, flat, turned)| {
                stand(&zone, width + 2.0 * band, stands, corners, size, flat, turned)
            };
            let obstacles = obstacles.into_iter().map(standing).collect();
            Case { zone: zone.clone(), obstacles, band, walls, width, overlap }
                .moved(turned, (0.0, 0.0))
        },
    )
}

fn stand(
    zone: &[(f64, f64)],
    machine: f64,
    stands: Stands,
    corners: u32,
    size: f64,
    flat: f64,
    turned: f64,
) -> Corners {
    let middle = match stands {
        Stands::Anywhere(x, y) => {
            let span = |of: fn(&(f64, f64)) -> f64| {
                let values = zone.iter().map(of);
                (values.clone().fold(f64::MAX, f64::min), values.fold(f64::MIN, f64::max))
            };
            let (west, east) = span(|corner| corner.0);
            let (south, north) = span(|corner| corner.1);
            Coord { x: west + (east - west) * x, y: south + (north - south) * y }
        }
        Stands::OffWall { side, along, gap } => {
            let from = coord(zone[side % zone.len()]);
            let to = coord(zone[(side + 1) % zone.len()]);
            let length = Euclidean.distance(from, to).max(1e-6);
            let left = Coord { x: -(to.y - from.y) / length, y: (to.x - from.x) / length };
            let off = size + gap * machine;
            from + (to - from) * along + left * off
        }
    };
    if corners > 4 {
        return disc(middle, size, corners);
    }
    let (sin, cos) = turned.sin_cos();
    [(-1., -1.), (1., -1.), (1., 1.), (-1., 1.)]
        .map(|(x, y)| (x * size, y * size * flat))
        .map(|(x, y)| (middle.x + x * cos - y * sin, middle.y + x * sin + y * cos))
        .to_vec()
}

fn config(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        rng_seed: RngSeed::Fixed(20_260_504),
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

fn area(of: &MultiPolygon) -> f64 {
    of.unsigned_area()
}

/// How far rounding may carry a swath out: lanes take what juts in by less than 1e-6 m for
/// none, and set operations lay corners on a grid finer than that.
const ROUNDING: f64 = 1e-6;

proptest! {
    #![proptest_config(config(120))]

    #[test]
    fn passes_never_leave_the_field(case in case()) {
        let (zone, field) = case.regions();
        let Some(laid) = Layout::lay(&zone, &field, case.lane()) else { return Ok(()) };
        let (own_zone, own_field) = case.polygons();
        let swept = swept(&runs(&laid), case.width);
        let rounding = ROUNDING * laid.worked_length_m.metres().max(1.0);

        let outside = area(&swept.difference(&own_zone));
        prop_assert!(outside < rounding, "{outside} m² outside the zone");
        let banded = area(&swept.difference(&own_field));
        prop_assert!(banded < rounding, "{banded} m² outside the field");
        let far = area(&swept.difference(&own_field.buffer(10.0 * ROUNDING)));
        prop_assert!(far < 1e-9, "{far} m² outside the field by more than rounding");
        for obstacle in &case.obstacles {
            let under = area(&swept.intersection(&polygon(obstacle)));
            prop_assert!(under < rounding, "{under} m² of an obstacle");
        }

        let said = laid.covered_m2.square_metres();
        let (whole, left) = (zone.area().square_metres(), laid.edging_m2.square_metres());
        prop_assert!((said + left - whole).abs() < rounding, "{said} and {left} of {whole} m²");
        prop_assert!((area(&own_zone) - whole).abs() < rounding);
        prop_assert!(said < area(&swept) + rounding, "{said} of {} m²", area(&swept));
    }

    /// Of all that a disc of the machine's width reaches, in any room that holds four squares
    /// of it.
    #[test]
    fn passes_leave_no_slivers(case in case()) {
        let reach = area(&opened(&case.polygons().1, case.width / 2.0));
        prop_assume!(reach > 4.0 * case.width.powi(2));
        let share = share_covered(&case);
        prop_assert!(share >= 0.995, "{share} covered");
    }

    /// A marked part takes the same lanes, no more of them, and misses nothing of it that they
    /// take in the whole, but for two thousandths of each strip.
    #[test]
    fn a_marked_part_takes_its_stretches_of_the_lanes(
        case in case(), (x, y, size) in (0.0..1.0f64, 0.0..1.0f64, 0.1..3.0f64),
    ) {
        let (zone, field) = case.regions();
        let Some(whole) = Layout::lay(&zone, &field, case.lane()) else { return Ok(()) };
        let (own_zone, own_field) = case.polygons();
        let bounds = own_zone.bounding_rect().unwrap();
        let middle = Coord {
            x: bounds.min().x + bounds.width() * x,
            y: bounds.min().y + bounds.height() * y,
        };
        let mark = disc(middle, size, 16);
        let part = region(&mark).intersection(&zone);
        let own_part = polygon(&mark).intersection(&own_zone);
        let swept_whole = swept(&runs(&whole), case.width);
        // Rounds turn on the spot at each of their many corners, which no strip does.
        let turned: f64 = runs(&whole).iter().flat_map(|run| run.windows(3)).map(turned).sum();
        let missable = 2e-3 * whole.worked_length_m.metres() * case.width
            + 0.01 * turned * case.width.powi(2);
        let Some(laid) = whole.over(&part, case.lane()) else {
            let taken = area(&swept_whole.intersection(&own_part));
            prop_assert!(taken <= missable, "{taken} m² could be driven");
            return Ok(());
        };
        let swept_part = swept(&runs(&laid), case.width);
        let rounding = ROUNDING * whole.worked_length_m.metres().max(1.0);
        prop_assert!(area(&swept_part.difference(&own_field)) < rounding);
        let missed = area(&swept_whole.intersection(&own_part).difference(&swept_part));
        prop_assert!(missed <= missable, "{missed} m² missed");
        prop_assert!(laid.worked_length_m <= whole.worked_length_m + Length::from_metres(1e-6));
        let (said, left) = (laid.covered_m2.square_metres(), laid.edging_m2.square_metres());
        prop_assert!((said + left - area(&own_part)).abs() < rounding.max(1e-5));
    }

    /// The grid of set operations may decide about a round, not about what is covered.
    #[test]
    fn a_zone_moved_is_covered_as_well(case in case(), angle in 0.1..6.0f64, by in (-90.0..90.0f64, -90.0..90.0f64)) {
        let lay = |case: &Case| {
            let (zone, field) = case.regions();
            Layout::lay(&zone, &field, case.lane())
        };
        let (Some(here), Some(there)) = (lay(&case), lay(&case.moved(angle, by))) else {
            return Ok(());
        };
        let (covered, moved) = (here.covered_m2.square_metres(), there.covered_m2.square_metres());
        prop_assert!((covered - moved).abs() < 0.005 * covered.max(1.0), "{covered} and {moved} m²");
        let spacing = case.width * (1.0 - case.overlap);
        let rate = AreaRate::from_square_metres_per_hour(450.0 * spacing);
        let hours = there.time(rate, case.lane()) / here.time(rate, case.lane());
        prop_assert!((hours - 1.0).abs() < 0.05, "{hours} of the hours");
    }

    /// Source: arithmetic: ceil((side - width) / spacing) + 1 lanes of the other side, at the
    /// speed of rate by spacing, and 20 s for each turn; the quicker of both ways.
    #[test]
    fn a_rectangle_takes_the_time_worked_by_hand(
        sides in (0.2..20.0f64, 0.2..12.0f64), width in 0.1..1.0f64, overlap in 0.0..0.3f64, angle in 0.0..TAU,
    ) {
        let (long, short) = sides;
        let zone = vec![(0., 0.), (long, 0.), (long, short), (0., short)];
        let case = Case { zone, obstacles: Vec::new(), band: 0.0, walls: 0, width, overlap }.moved(angle, (3.0, -2.0));
        let (zone, field) = case.regions();
        let laid = Layout::lay(&zone, &field, case.lane());
        prop_assume!((long.min(short) - width).abs() > 1e-6);
        prop_assert_eq!(laid.is_some(), long.min(short) > width);
        let Some(laid) = laid else { return Ok(()) };
        let spacing = width * (1.0 - overlap);
        let rate = AreaRate::from_square_metres_per_hour(450.0 * spacing);
        let driven = |along: f64, aside: f64| {
            let gaps = (aside - width) / spacing;
            // The grid may add or spare a lane that just fits.
            prop_assume!((gaps - gaps.round()).abs() > 1e-4);
            let lanes = gaps.ceil() + 1.0;
            Ok(lanes * along / 450.0 + (lanes - 1.0) * TURN.hours())
        };
        let least = driven(long, short)?.min(driven(short, long)?);
        let time = laid.time(rate, case.lane()).hours();
        prop_assert!((time - least).abs() < 1e-6, "{time} h, not {least}");
        prop_assert!(laid.edging_m2 < Area::from_square_metres(1e-3));
    }
}

/// Share of what a disc reaches that the passes cover: nothing where there are none.
fn share_covered(case: &Case) -> f64 {
    let (zone, field) = case.regions();
    let reach = opened(&case.polygons().1, case.width / 2.0);
    match Layout::lay(&zone, &field, case.lane()) {
        Some(laid) => area(&swept(&runs(&laid), case.width).intersection(&reach)) / area(&reach),
        // A few discs side by side are no room to drive in.
        None if area(&reach) < 2.0 * case.width.powi(2) => 1.0,
        None => 0.0,
    }
}
