//! Plane geometry of a slab: points, outlines, lines and regions in local metres,
//! x east and y north unless the plan says otherwise. Set operations and offsets
//! are those of the `geo` library; this module gives them units and refuses
//! outlines that enclose nothing or cross themselves.

use std::f64::consts::PI;

use geo::algorithm::buffer::{BufferStyle, LineCap, LineJoin};
use geo::line_intersection::{LineIntersection, line_intersection};
use geo::{
    Area as _, BooleanOps as _, BoundingRect as _, Buffer as _, Centroid as _, Contains as _,
    Distance as _, Euclidean, InteriorPoint as _, Intersects as _, Length as _, LineString,
    MapCoords as _, MultiLineString, MultiPolygon, Orient as _, Polygon,
};

use crate::quantity::{Angle, Area, Length};
use crate::say::{Said, said};

/// A place on the plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// East.
    pub x: Length,
    /// North.
    pub y: Length,
}

impl Point {
    /// From both coordinates.
    #[must_use]
    pub const fn new(x: Length, y: Length) -> Self {
        Self { x, y }
    }

    fn coordinate(self) -> geo::Coord {
        geo::Coord { x: self.x.metres(), y: self.y.metres() }
    }

    fn of(c: geo::Coord) -> Self {
        Self { x: Length::from_metres(c.x), y: Length::from_metres(c.y) }
    }

    /// Straight distance.
    #[must_use]
    pub fn distance(self, other: Self) -> Length {
        Length::from_metres((self.x - other.x).metres().hypot((self.y - other.y).metres()))
    }
}

/// Why points make no outline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum OutlineFault {
    /// Fewer than three different corners.
    TooFewCorners,
    /// It crosses or touches itself here.
    CrossesItself(Point),
    /// It encloses no area.
    NoArea,
}

impl OutlineFault {
    /// What the points are instead.
    #[must_use]
    pub fn said(self) -> Said {
        match self {
            Self::TooFewCorners => said!("fewer-than-three-corners"),
            Self::CrossesItself(at) => {
                said!("an-outline-that-crosses-itself-at", x = at.x.metres(), y = at.y.metres())
            }
            Self::NoArea => said!("an-outline-without-area"),
        }
    }
}

/// A simple closed outline, without holes.
#[derive(Debug, Clone, PartialEq)]
pub struct Outline(Polygon);

impl Outline {
    /// From corners in order, the last joined to the first.
    ///
    /// # Errors
    /// [`OutlineFault`] when they enclose no area or the outline crosses itself.
    pub fn new(corners: &[Point]) -> Result<Self, OutlineFault> {
        let mut ring: Vec<geo::Coord> = corners.iter().map(|p| p.coordinate()).collect();
        if ring.len() > 1 && ring.first() == ring.last() {
            ring.pop();
        }
        ring.dedup();
        if ring.len() < 3 {
            return Err(OutlineFault::TooFewCorners);
        }
        if let Some(place) = self_crossing(&ring) {
            return Err(OutlineFault::CrossesItself(Point::of(place)));
        }
        let polygon = Polygon::new(LineString::new(ring), Vec::new());
        // A square millimetre: below it there is nothing to prepare.
        if polygon.unsigned_area() < 1e-6 {
            return Err(OutlineFault::NoArea);
        }
        Ok(Self(polygon))
    }

    /// A rectangle from corner to corner.
    ///
    /// # Errors
    /// [`OutlineFault::NoArea`] when the corners share a coordinate.
    pub fn rectangle(one: Point, other: Point) -> Result<Self, OutlineFault> {
        Self::new(&[one, Point::new(other.x, one.y), other, Point::new(one.x, other.y)])
    }

    /// The corners in order, the first not repeated.
    #[must_use]
    pub fn corners(&self) -> Vec<Point> {
        let ring = &self.0.exterior().0;
        ring.iter().take(ring.len().saturating_sub(1)).map(|c| Point::of(*c)).collect()
    }

    /// Enclosed area.
    #[must_use]
    pub fn area(&self) -> Area {
        Area::from_square_metres(self.0.unsigned_area())
    }

    /// Length of the outline.
    #[must_use]
    pub fn perimeter(&self) -> Length {
        Length::from_metres(Euclidean.length(self.0.exterior()))
    }

    /// Whether a place lies inside or on the outline.
    #[must_use]
    pub fn holds(&self, place: Point) -> bool {
        self.0.intersects(&geo::Point(place.coordinate()))
    }

    /// A place well inside, for a label.
    #[must_use]
    pub fn label_place(&self) -> Point {
        let inside = |p: &geo::Point| self.0.contains(p);
        self.0
            .centroid()
            .filter(inside)
            .or_else(|| self.0.interior_point())
            .map_or_else(|| Point::of(self.0.exterior().0[0]), |p| Point::of(p.0))
    }

    /// Direction of the longest side: the way the slab lies, as the sine and cosine
    /// are needed to square patches up to it. Radians, counted from east.
    #[must_use]
    pub fn main_direction(&self) -> Direction {
        let longest = self
            .0
            .exterior()
            .lines()
            .max_by(|a, b| Euclidean.length(a).total_cmp(&Euclidean.length(b)));
        longest.map_or(Direction::EAST, |l| Direction::of(l.dx(), l.dy()))
    }

    /// The rectangle that lies along `direction` and just holds this outline,
    /// as its sides and its corners.
    #[must_use]
    pub fn squared_up(&self, direction: Direction) -> Rectangle {
        Rectangle::around(&[self], direction).unwrap_or(Rectangle {
            direction,
            low: (0.0, 0.0),
            high: (0.0, 0.0),
        })
    }

    /// Area that both outlines enclose; nothing where they only touch.
    #[must_use]
    pub fn shared_area(&self, other: &Self) -> Area {
        if !self.near(other.0.bounding_rect()) {
            return Area::ZERO;
        }
        self.region().intersection(&other.region()).area()
    }

    /// Whether a bounding box meets this outline's: cheap, before set operations.
    fn near(&self, other: Option<geo::Rect>) -> bool {
        self.0.bounding_rect().zip(other).is_some_and(|(own, other)| own.intersects(&other))
    }

    /// As a region.
    #[must_use]
    pub fn region(&self) -> Region {
        Region(MultiPolygon(vec![self.0.clone()]))
    }

    /// Least distance between two outlines; zero where they touch.
    #[must_use]
    pub fn distance(&self, other: &Self) -> Length {
        Length::from_metres(Euclidean.distance(&self.0, &other.0))
    }
}

/// The first crossing of a ring's sides that are not neighbours (or of neighbours
/// that fold back on each other).
fn self_crossing(ring: &[geo::Coord]) -> Option<geo::Coord> {
    let count = ring.len();
    let side = |i: usize| geo::Line::new(ring[i], ring[(i + 1) % count]);
    // Sides sorted by their left end: only those whose x ranges meet are compared.
    let mut order: Vec<usize> = (0..count).collect();
    let reach = |i: usize| {
        let s = side(i);
        (s.start.x.min(s.end.x), s.start.x.max(s.end.x))
    };
    order.sort_by(|&a, &b| reach(a).0.total_cmp(&reach(b).0));
    for (at, &i) in order.iter().enumerate() {
        let right = reach(i).1;
        for &j in order[at + 1..].iter().take_while(|&&j| reach(j).0 <= right) {
            let (one, other) = (side(i), side(j));
            let neighbours = (i + 1) % count == j || (j + 1) % count == i;
            match line_intersection(one, other) {
                Some(LineIntersection::SinglePoint { intersection, .. }) if !neighbours => {
                    return Some(intersection);
                }
                Some(LineIntersection::Collinear { intersection })
                    if !neighbours || Euclidean.length(&intersection) > 0.0 =>
                {
                    return Some(intersection.start);
                }
                _ => {}
            }
        }
    }
    None
}

/// A direction on the plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Direction {
    east: f64,
    north: f64,
}

impl Direction {
    /// Along the plan's x axis.
    pub const EAST: Self = Self { east: 1.0, north: 0.0 };

    /// East where there is no length.
    fn of(east: f64, north: f64) -> Self {
        let length = east.hypot(north);
        if length > 0.0 { Self { east: east / length, north: north / length } } else { Self::EAST }
    }

    /// From one place to another.
    #[must_use]
    pub fn from_to(from: Point, to: Point) -> Self {
        Self::of((to.x - from.x).metres(), (to.y - from.y).metres())
    }

    /// At a right angle to it.
    #[must_use]
    pub fn across(self) -> Self {
        Self { east: -self.north, north: self.east }
    }

    /// Counted from east, against the clock.
    #[must_use]
    pub fn angle(self) -> Angle {
        Angle::from_degrees(self.north.atan2(self.east).to_degrees())
    }

    /// Lengths along this direction and to the left of it.
    #[must_use]
    pub fn along_and_aside(self, place: Point) -> (Length, Length) {
        let (along, aside) = self.turn(place.coordinate());
        (Length::from_metres(along), Length::from_metres(aside))
    }

    /// The place at lengths along this direction and to the left of it.
    #[must_use]
    pub fn place_at(self, along: Length, aside: Length) -> Point {
        Point::of(self.turn_back((along.metres(), aside.metres())))
    }

    fn turn(self, c: geo::Coord) -> (f64, f64) {
        let (sin, cos) = (self.north, self.east);
        (c.x.mul_add(cos, c.y * sin), c.y.mul_add(cos, -c.x * sin))
    }

    fn turn_back(self, (u, v): (f64, f64)) -> geo::Coord {
        let (sin, cos) = (self.north, self.east);
        geo::Coord { x: u * cos - v * sin, y: u * sin + v * cos }
    }
}

/// Axes laid through a place along a direction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    origin: Point,
    direction: Direction,
}

impl Frame {
    /// Axes along a region's longest side, from its beginning: a region that is moved or
    /// turned takes its frame with it. Of sides of one length that from which the region's
    /// middle is seen least far along, then least far aside. `None` of nothing.
    #[must_use]
    pub fn along_longest_side(region: &Region) -> Option<Self> {
        let middle = Point::of(region.0.centroid()?.0);
        let borders = region.borders();
        let sides = borders.iter().flat_map(|border| {
            let ends = border.iter().zip(border.iter().cycle().skip(1));
            ends.map(|(&from, &to)| {
                let frame = Self { origin: from, direction: Direction::from_to(from, to) };
                let seen = frame.seen(middle);
                // In hundredths of a millimetre, so that rounding settles no tie.
                let whole = |length: Length| (length.millimetres() * 100.0).round() as i64;
                let key = (whole(from.distance(to)), -whole(seen.x), -whole(seen.y));
                (key, frame)
            })
        });
        sides.max_by_key(|(key, _)| *key).map(|(_, frame)| frame)
    }

    /// The direction on the plan that is seen as this one.
    #[must_use]
    pub fn direction(self, seen: Direction) -> Direction {
        let (east, north) = self.direction.turn_back((seen.east, seen.north)).x_y();
        Direction::of(east, north)
    }

    /// A place of the plan, as seen in this frame.
    #[must_use]
    pub fn seen(self, place: Point) -> Point {
        let apart = geo::Coord {
            x: (place.x - self.origin.x).metres(),
            y: (place.y - self.origin.y).metres(),
        };
        let (x, y) = self.direction.turn(apart);
        Point::of(geo::Coord { x, y })
    }

    /// The place of the plan that is seen here.
    #[must_use]
    pub fn place(self, seen: Point) -> Point {
        let apart = self.direction.turn_back((seen.x.metres(), seen.y.metres()));
        Point::new(
            self.origin.x + Length::from_metres(apart.x),
            self.origin.y + Length::from_metres(apart.y),
        )
    }
}

/// A rectangle lying along a direction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rectangle {
    direction: Direction,
    low: (f64, f64),
    high: (f64, f64),
}

impl Rectangle {
    /// As an outline; `None` of one without area.
    #[must_use]
    pub fn outline(&self) -> Option<Outline> {
        Outline::new(&self.corners()).ok()
    }

    /// The least rectangle along `direction` that holds all outlines; `None` of none.
    #[must_use]
    pub fn around(outlines: &[&Outline], direction: Direction) -> Option<Self> {
        let corners = outlines.iter().flat_map(|o| o.0.exterior().0.iter().copied());
        corners.map(|c| direction.turn(c)).fold(None, |held, (u, v)| {
            Some(held.map_or(Self { direction, low: (u, v), high: (u, v) }, |r: Self| Self {
                direction,
                low: (r.low.0.min(u), r.low.1.min(v)),
                high: (r.high.0.max(u), r.high.1.max(v)),
            }))
        })
    }

    /// The longer side.
    #[must_use]
    pub fn length(&self) -> Length {
        self.sides().0
    }

    /// The shorter side.
    #[must_use]
    pub fn width(&self) -> Length {
        self.sides().1
    }

    fn sides(&self) -> (Length, Length) {
        let (a, b) = (self.high.0 - self.low.0, self.high.1 - self.low.1);
        (Length::from_metres(a.max(b)), Length::from_metres(a.min(b)))
    }

    /// Grown on every side by `margin`, then about its middle to at least
    /// `length` × `width`.
    #[must_use]
    pub fn grown(&self, margin: Length, length: Length, width: Length) -> Self {
        let m = margin.metres();
        let along = self.high.0 - self.low.0 >= self.high.1 - self.low.1;
        let (least_u, least_v) = if along { (length, width) } else { (width, length) };
        let grow = |low: f64, high: f64, least: f64| {
            let missing = (least - (high - low + 2.0 * m)).max(0.0) / 2.0;
            (low - m - missing, high + m + missing)
        };
        let (u0, u1) = grow(self.low.0, self.high.0, least_u.metres());
        let (v0, v1) = grow(self.low.1, self.high.1, least_v.metres());
        Self { direction: self.direction, low: (u0, v0), high: (u1, v1) }
    }

    /// The least rectangle of the same direction that holds both.
    #[must_use]
    pub fn joined(&self, other: &Self) -> Self {
        Self {
            direction: self.direction,
            low: (self.low.0.min(other.low.0), self.low.1.min(other.low.1)),
            high: (self.high.0.max(other.high.0), self.high.1.max(other.high.1)),
        }
    }

    /// Gap to another rectangle of the same direction; zero where they meet.
    #[must_use]
    pub fn gap(&self, other: &Self) -> Length {
        let apart = |a: (f64, f64), b: (f64, f64)| (a.0 - b.1).max(b.0 - a.1).max(0.0);
        let u = apart((self.low.0, self.high.0), (other.low.0, other.high.0));
        let v = apart((self.low.1, self.high.1), (other.low.1, other.high.1));
        Length::from_metres(u.hypot(v))
    }

    /// Length times width.
    #[must_use]
    pub fn area(&self) -> Area {
        self.length() * self.width()
    }

    /// Twice length plus width.
    #[must_use]
    pub fn perimeter(&self) -> Length {
        (self.length() + self.width()) * 2.0
    }

    /// The four corners on the plan.
    #[must_use]
    pub fn corners(&self) -> [Point; 4] {
        [
            (self.low.0, self.low.1),
            (self.high.0, self.low.1),
            (self.high.0, self.high.1),
            (self.low.0, self.high.1),
        ]
        .map(|c| Point::of(self.direction.turn_back(c)))
    }
}

/// A line within this of a border lies on it, in metres.
const ON_A_BORDER: f64 = 1e-4;

/// A line of two or more points: a joint, wall or crack.
#[derive(Debug, Clone, PartialEq)]
pub struct Path(LineString);

impl Path {
    /// From points in order; `None` of fewer than two different ones.
    #[must_use]
    pub fn new(points: &[Point]) -> Option<Self> {
        let line = LineString::new(points.iter().map(|p| p.coordinate()).collect());
        (Euclidean.length(&line) > 0.0).then_some(Self(line))
    }

    /// The points in order.
    #[must_use]
    pub fn points(&self) -> Vec<Point> {
        self.0.0.iter().map(|c| Point::of(*c)).collect()
    }

    /// Its length.
    #[must_use]
    pub fn length(&self) -> Length {
        Length::from_metres(Euclidean.length(&self.0))
    }

    /// The length of it that lies well inside an outline, and the length that lies on
    /// its border (within a tenth of a millimetre).
    #[must_use]
    pub fn length_in_and_on(&self, outline: &Outline) -> (Length, Length) {
        if !outline.near(self.0.bounding_rect()) {
            return (Length::ZERO, Length::ZERO);
        }
        let half = ON_A_BORDER;
        let off_the_border =
            outline.0.exterior().lines().all(|side| {
                self.0.lines().all(|line| Euclidean.distance(&side, &line) > half * 1.01)
            });
        if off_the_border {
            let holds = self.0.0.first().is_some_and(|first| outline.holds(Point::of(*first)));
            return (if holds { self.length() } else { Length::ZERO }, Length::ZERO);
        }
        let lines = MultiLineString(vec![self.0.clone()]);
        let inside = |polygon: &MultiPolygon| -> f64 {
            polygon.clip(&lines, false).iter().map(|l| Euclidean.length(l)).sum()
        };
        let own = MultiPolygon(vec![outline.0.clone()]);
        let (inner, outer) = (inside(&own.buffer(-half)), inside(&own.buffer(half)));
        (Length::from_metres(inner), Length::from_metres((outer - inner).max(0.0)))
    }

    /// The length of it that lies on the borders of two outlines at once.
    #[must_use]
    pub fn length_on_both(&self, one: &Outline, other: &Outline) -> Length {
        let bounds = self.0.bounding_rect();
        if !one.near(bounds) || !other.near(bounds) {
            return Length::ZERO;
        }
        let border = |outline: &Outline| {
            let own = MultiPolygon(vec![outline.0.clone()]);
            own.buffer(ON_A_BORDER).difference(&own.buffer(-ON_A_BORDER))
        };
        let both = border(one).intersection(&border(other));
        let lines = MultiLineString(vec![self.0.clone()]);
        let on = both.clip(&lines, false);
        Length::from_metres(on.iter().map(|line| Euclidean.length(line)).sum())
    }

    /// The length of it that lies outside a region.
    #[must_use]
    pub fn length_outside(&self, region: &Region) -> Length {
        let lines = MultiLineString(vec![self.0.clone()]);
        let outside = region.0.clip(&lines, true);
        Length::from_metres(outside.iter().map(|line| Euclidean.length(line)).sum())
    }

    /// Least distance from a place; zero on the line.
    #[must_use]
    pub fn distance(&self, place: Point) -> Length {
        Length::from_metres(Euclidean.distance(&self.0, &geo::Point(place.coordinate())))
    }

    /// A place halfway along, for a label.
    #[must_use]
    pub fn middle(&self) -> Point {
        let half = self.length() / 2.0;
        let mut walked = Length::ZERO;
        for line in self.0.lines() {
            let (a, b) = (Point::of(line.start), Point::of(line.end));
            let step = a.distance(b);
            if walked + step >= half && step > Length::ZERO {
                let share = (half - walked) / step;
                return Point::new(a.x + (b.x - a.x) * share, a.y + (b.y - a.y) * share);
            }
            walked += step;
        }
        Point::of(self.0.0[0])
    }
}

/// Any part of the plane: several outlines, with holes.
#[derive(Debug, Clone, PartialEq)]
pub struct Region(MultiPolygon);

impl Region {
    /// Nothing.
    #[must_use]
    pub fn empty() -> Self {
        Self(MultiPolygon(Vec::new()))
    }

    /// Its area.
    #[must_use]
    pub fn area(&self) -> Area {
        Area::from_square_metres(self.0.unsigned_area())
    }

    /// All that lies in either.
    #[must_use]
    pub fn union(&self, other: &Self) -> Self {
        Self(self.0.union(&other.0))
    }

    /// What lies in both.
    #[must_use]
    pub fn intersection(&self, other: &Self) -> Self {
        Self(self.0.intersection(&other.0))
    }

    /// What lies here and not there.
    #[must_use]
    pub fn difference(&self, other: &Self) -> Self {
        Self(self.0.difference(&other.0))
    }

    /// Regions that do not overlap, as one.
    #[must_use]
    pub fn together<'a>(regions: impl Iterator<Item = &'a Self>) -> Self {
        Self(MultiPolygon(regions.flat_map(|region| region.0.iter().cloned()).collect()))
    }

    /// All within a distance of this region, itself included. Corners are round.
    #[must_use]
    pub fn within(&self, distance: Length) -> Self {
        Self(self.0.buffer(distance.metres()))
    }

    /// All within a distance of a line, round at its ends and corners.
    #[must_use]
    pub fn about(path: &Path, distance: Length) -> Self {
        let style = BufferStyle::new(distance.metres())
            .line_cap(LineCap::Round(PI / 16.0))
            .line_join(LineJoin::Round(PI / 16.0));
        Self(path.0.buffer_with_style(style))
    }

    /// All within a distance of a line, square at its ends.
    #[must_use]
    pub fn along(path: &Path, distance: Length) -> Self {
        let style = BufferStyle::new(distance.metres())
            .line_cap(LineCap::Butt)
            .line_join(LineJoin::Round(PI / 16.0));
        Self(path.0.buffer_with_style(style))
    }

    /// All within a distance of a place.
    #[must_use]
    pub fn round(place: Point, distance: Length) -> Self {
        Self(geo::Point(place.coordinate()).buffer(distance.metres()))
    }

    /// What of it lies nearer to one of some places than to any of others.
    #[must_use]
    pub fn nearer_to(&self, places: &[Point], others: &[Point]) -> Self {
        let Some((low, high)) = self.bounds() else { return Self::empty() };
        let far = low.distance(high) * 4.0;
        let cells = places.iter().map(|place| {
            others.iter().filter(|other| *other != place).fold(self.clone(), |cell, other| {
                let across = Direction::from_to(*other, *place);
                let (from, aside) = across.along_and_aside(*other);
                let (to, _) = across.along_and_aside(*place);
                let middle = (from + to) * 0.5;
                let corners = [
                    across.place_at(middle, aside - far),
                    across.place_at(middle + far, aside - far),
                    across.place_at(middle + far, aside + far),
                    across.place_at(middle, aside + far),
                ];
                match Outline::new(&corners) {
                    Ok(side) => cell.intersection(&side.region()),
                    Err(_) => cell,
                }
            })
        });
        Self::union_of(&cells.collect::<Vec<_>>())
    }

    /// Whether a place lies inside or on the border.
    #[must_use]
    pub fn holds(&self, place: Point) -> bool {
        self.0.intersects(&geo::Point(place.coordinate()))
    }

    /// All that lies in any of several regions.
    #[must_use]
    pub fn union_of(regions: &[Self]) -> Self {
        // The library takes the way round of the first border for that of all.
        let turned = |region: &Self| region.0.orient(geo::orient::Direction::Default);
        Self(geo::unary_union(&regions.iter().map(turned).collect::<Vec<_>>()))
    }

    /// All that lies deeper than a distance in this region. Round corners are drawn with
    /// chords, so some of it lies a little less deep.
    #[must_use]
    pub fn inset(&self, distance: Length) -> Self {
        Self(self.0.buffer(-distance.metres()))
    }

    /// All that surely lies deeper than a distance in this region: round a corner that
    /// juts in, its border stays square.
    #[must_use]
    pub fn inset_square(&self, distance: Length) -> Self {
        let style = BufferStyle::new(-distance.metres()).line_join(LineJoin::Miter(0.1));
        Self(self.0.buffer_with_style(style))
    }

    /// All that surely lies deeper than a distance in this region, round corners that jut in
    /// drawn with chords: half a thousandth deeper, so that no chord lies less deep.
    #[must_use]
    pub fn inset_round(&self, distance: Length) -> Self {
        // The finest that the library draws; the rest of an arc may double a chord's angle.
        let chord = PI / 100.0;
        let deep = distance.metres() / chord.cos();
        let style = BufferStyle::new(-deep).line_join(LineJoin::Round(chord));
        Self(self.0.buffer_with_style(style))
    }

    /// This region in the axes of a frame, its corners on a grid.
    #[must_use]
    pub fn seen_in(&self, frame: Frame, grid: Length) -> Self {
        let on_grid = |length: Length| (length / grid).round() * grid.metres();
        let seen = self.0.map_coords(|corner| {
            let seen = frame.seen(Point::of(corner));
            geo::Coord { x: on_grid(seen.x), y: on_grid(seen.y) }
        });
        // A union of its own: corners of borders begin where this frame says.
        Self(seen).union(&Self::empty())
    }

    /// The same with its holes filled.
    #[must_use]
    pub fn filled(&self) -> Self {
        let outer = self.0.iter().map(|p| Polygon::new(p.exterior().clone(), Vec::new()));
        Self(MultiPolygon(outer.collect()))
    }

    /// The middle of its mass; `None` of nothing.
    #[must_use]
    pub fn middle(&self) -> Option<Point> {
        use geo::Centroid as _;
        self.0.centroid().map(|at| Point::of(at.0))
    }

    /// Its parts that do not hang together, each by itself.
    #[must_use]
    pub fn pieces(&self) -> Vec<Self> {
        self.0.iter().map(|polygon| Self(MultiPolygon(vec![polygon.clone()]))).collect()
    }

    /// Its borders: corners of outlines and of holes in order, the first not repeated.
    #[must_use]
    pub fn borders(&self) -> Vec<Vec<Point>> {
        let rings = self.0.iter().flat_map(|p| std::iter::once(p.exterior()).chain(p.interiors()));
        rings
            .map(|ring| ring.0.iter().take(ring.0.len().saturating_sub(1)))
            .map(|ring| ring.map(|c| Point::of(*c)).collect())
            .collect()
    }

    /// Lowest and highest corner; `None` of nothing.
    #[must_use]
    pub fn bounds(&self) -> Option<(Point, Point)> {
        self.0.bounding_rect().map(|r| (Point::of(r.min()), Point::of(r.max())))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(x: f64, y: f64) -> Point {
        Point::new(Length::from_metres(x), Length::from_metres(y))
    }

    #[test]
    fn a_bow_tie_is_refused_with_the_place_of_the_crossing() {
        let fault = Outline::new(&[at(0., 0.), at(2., 2.), at(2., 0.), at(0., 2.)]);
        assert_eq!(fault, Err(OutlineFault::CrossesItself(at(1., 1.))));
    }

    #[test]
    fn an_outline_that_folds_back_on_itself_is_refused() {
        let spike = Outline::new(&[at(0., 0.), at(4., 0.), at(2., 0.), at(2., 3.)]);
        assert!(matches!(spike, Err(OutlineFault::CrossesItself(_))));
    }

    #[test]
    fn a_band_along_a_wall_has_the_area_of_wall_times_reach() -> Result<(), OutlineFault> {
        let room = Outline::rectangle(at(0., 0.), at(10., 5.))?;
        let wall = Path::new(&[at(0., 0.), at(10., 0.)]).ok_or(OutlineFault::NoArea)?;
        let band = Region::along(&wall, Length::from_metres(0.2)).intersection(&room.region());
        assert!((band.area().square_metres() - 2.0).abs() < 1e-6);
        Ok(())
    }

    #[test]
    fn a_line_on_the_border_is_told_from_one_inside() -> Result<(), OutlineFault> {
        let room = Outline::rectangle(at(0., 0.), at(5., 5.))?;
        let border = Path::new(&[at(5., 0.), at(5., 5.)]).ok_or(OutlineFault::NoArea)?;
        let (inside, on) = border.length_in_and_on(&room);
        assert!(inside.metres().abs() < 1e-3 && (on.metres() - 5.0).abs() < 1e-3);
        let across = Path::new(&[at(-1., 2.), at(9., 2.)]).ok_or(OutlineFault::NoArea)?;
        let (inside, on) = across.length_in_and_on(&room);
        assert!((inside.metres() - 5.0).abs() < 1e-3 && on.metres() < 1e-3);
        Ok(())
    }

    #[test]
    fn a_patch_is_squared_up_along_the_slab() -> Result<(), OutlineFault> {
        let inch = |x, y| Point::new(Length::from_inches(x), Length::from_inches(y));
        let spall = Outline::rectangle(inch(0., 0.), inch(14., 5.))?;
        let patch = spall.squared_up(Direction::EAST).grown(
            Length::from_inches(3.0),
            Length::from_inches(12.0),
            Length::from_inches(4.0),
        );
        assert!((patch.area() / spall.area() - 3.143).abs() < 5e-4);
        Ok(())
    }
}
