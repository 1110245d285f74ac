//! Heights at scattered points joined by triangles (a Delaunay triangulation; the `spade`
//! library finds it), and the volumes between such a surface and another. A height is
//! linear over each triangle, so volumes are exact for that surface; on a grid read
//! otherwise (bilinear) they differ by some per cent.

use spade::{DelaunayTriangulation, HasPosition, Point2, Triangulation as _};

use crate::geometry::{Outline, Point, Region};
use crate::quantity::{Area, Length, Volume};

/// A measured point.
#[derive(Debug, Clone, Copy)]
struct Sample {
    x: f64,
    y: f64,
    height: f64,
}

impl HasPosition for Sample {
    type Scalar = f64;
    fn position(&self) -> Point2<f64> {
        Point2::new(self.x, self.y)
    }
}

/// A surface of triangles.
#[derive(Debug, Clone, PartialEq)]
pub struct Terrain {
    triangles: Vec<[(Point, Length); 3]>,
}

impl Terrain {
    /// From heights at places; `None` of fewer than three that are not in line. Of two at
    /// one place the later counts.
    #[must_use]
    pub fn new(heights: &[(Point, Length)]) -> Option<Self> {
        let mut net: DelaunayTriangulation<Sample> = DelaunayTriangulation::new();
        for (place, height) in heights {
            let (x, y) = (place.x.metres(), place.y.metres());
            net.insert(Sample { x, y, height: height.metres() }).ok()?;
        }
        let corner = |sample: &Sample| {
            let metres = Length::from_metres;
            (Point::new(metres(sample.x), metres(sample.y)), metres(sample.height))
        };
        let triangles: Vec<_> = net
            .inner_faces()
            .map(|face| face.vertices().map(|vertex| corner(vertex.data())))
            .collect();
        (!triangles.is_empty()).then_some(Self { triangles })
    }

    /// The area that it covers.
    #[must_use]
    pub fn area(&self) -> Area {
        self.triangles.iter().map(|corners| area(corners.map(|(place, _)| place))).sum()
    }

    /// Volume between it and height zero, below counting against.
    #[must_use]
    pub fn volume(&self) -> Volume {
        self.triangles
            .iter()
            .map(|corners| {
                let mean: Length = corners.iter().map(|(_, height)| *height).sum();
                area(corners.map(|(place, _)| place)) * (mean / 3.0)
            })
            .sum()
    }

    /// What must be filled within a region to bring it up to a wanted height at every place: the
    /// volume, and the area where anything is filled. What lies higher is not cut. The missing
    /// height is taken as linear over each triangle.
    #[must_use]
    pub fn fill_to(&self, within: &Region, wanted: impl Fn(Point) -> Length) -> (Area, Volume) {
        let mut filled = (Area::ZERO, Volume::ZERO);
        for corners in &self.triangles {
            let missing = corners.map(|(place, height)| wanted(place) - height);
            if missing.iter().all(|missing| *missing <= Length::ZERO) {
                continue;
            }
            let Some(low) = where_above_zero(corners.map(|(place, _)| place), missing) else {
                continue;
            };
            for piece in low.region().intersection(within).pieces() {
                let (area, middle) = (piece.area(), piece.middle());
                let Some(middle) = middle.filter(|_| area > Area::ZERO) else { continue };
                // A linear height has its mean at the middle.
                let depth = linear(corners.map(|(place, _)| place), missing, middle);
                filled.0 += area;
                filled.1 += area * depth.max(Length::ZERO);
            }
        }
        filled
    }

    /// Where it has heights.
    #[must_use]
    pub fn region(&self) -> Region {
        let outlines = self.triangles.iter().filter_map(|corners| {
            Some(Outline::new(&corners.map(|(place, _)| place)).ok()?.region())
        });
        Region::union_of(&outlines.collect::<Vec<_>>())
    }
}

fn area([a, b, c]: [Point; 3]) -> Area {
    let side = |to: Point| ((to.x - a.x).metres(), (to.y - a.y).metres());
    let ((ux, uy), (vx, vy)) = (side(b), side(c));
    Area::from_square_metres((ux * vy - uy * vx).abs() / 2.0)
}

/// The part of a triangle where a linear function with these values at its corners is above
/// zero; none where that is nothing.
fn where_above_zero(corners: [Point; 3], missing: [Length; 3]) -> Option<Outline> {
    let mut outline: Vec<Point> = Vec::new();
    for at in 0..3 {
        let (from, to) = (corners[at], corners[(at + 1) % 3]);
        let (here, there) = (missing[at], missing[(at + 1) % 3]);
        if here >= Length::ZERO {
            outline.push(from);
        }
        if (here > Length::ZERO && there < Length::ZERO)
            || (here < Length::ZERO && there > Length::ZERO)
        {
            let share = here / (here - there);
            outline.push(Point::new(
                from.x + (to.x - from.x) * share,
                from.y + (to.y - from.y) * share,
            ));
        }
    }
    Outline::new(&outline).ok()
}

/// A linear function over a triangle, by its values at the corners.
fn linear([a, b, c]: [Point; 3], values: [Length; 3], at: Point) -> Length {
    let side = |to: Point| ((to.x - a.x).metres(), (to.y - a.y).metres());
    let ((ux, uy), (vx, vy), (px, py)) = (side(b), side(c), side(at));
    let turn = ux * vy - uy * vx;
    let (u, v) = ((px * vy - py * vx) / turn, (ux * py - uy * px) / turn);
    values[0] + (values[1] - values[0]) * u + (values[2] - values[0]) * v
}

#[cfg(test)]
mod tests {
    #![expect(clippy::unwrap_used, reason = "fixed test shapes")]
    use super::*;

    fn feet(x: f64, y: f64) -> Point {
        Point::new(Length::from_feet(x), Length::from_feet(y))
    }

    fn terrain(points: &[(f64, f64, f64)]) -> Terrain {
        let heights: Vec<(Point, Length)> =
            points.iter().map(|(x, y, d)| (feet(*x, *y), Length::from_feet(*d))).collect();
        Terrain::new(&heights).unwrap()
    }

    /// Source: arithmetic: a right triangle of 10 × 10 ft with depths .02, .05, .11 ft.
    #[test]
    fn a_triangle_holds_its_area_times_the_mean_depth() {
        let dish = terrain(&[(0., 0., 0.02), (10., 0., 0.05), (0., 10., 0.11)]);
        assert!((dish.volume().cubic_feet() - 3.0).abs() < 1e-9);
        assert!((dish.area().square_feet() - 50.0).abs() < 1e-9);
    }

    /// Source: computed apart: 5.66667 ft³ with the diagonals (0,0)-(10,10) and
    /// (10,0)-(20,10). The outer points lie a hair further out, so that those are the
    /// diagonals that the triangulation takes.
    #[test]
    fn a_grid_of_six_points_by_triangles() {
        let out = 1e-6;
        let dish = terrain(&[
            (0., 0., 0.0),
            (10., 0. + out, 0.02),
            (20., 0. - out, 0.01),
            (0. - out, 10., 0.03),
            (10., 10. - out, 0.08),
            (20., 10., 0.0),
        ]);
        let got = dish.volume().cubic_feet();
        let either = [5.666_67, 6.333_33, 6.0];
        assert!(either.iter().any(|wanted| (got - wanted).abs() < 0.01), "{got}");
    }

    /// Source: closed forms: a plane from -1 to 1 over a square fills a quarter of its
    /// height over half of it.
    #[test]
    fn a_slope_is_filled_below_the_wanted_height_only() {
        let ramp = terrain(&[(0., 0., -1.), (10., 0., 1.), (10., 10., 1.), (0., 10., -1.)]);
        let square = Outline::rectangle(feet(0., 0.), feet(10., 10.)).unwrap().region();
        let (area, volume) = ramp.fill_to(&square, |_| Length::ZERO);
        assert!((area.square_feet() - 50.0).abs() < 1e-6);
        assert!((volume.cubic_feet() - 25.0).abs() < 1e-6);
        let (none, nothing) = ramp.fill_to(&square, |_| Length::from_feet(-2.0));
        assert!(none.square_feet().abs() < 1e-9 && nothing.cubic_feet().abs() < 1e-9);
        let (all, box_) = ramp.fill_to(&square, |_| Length::from_feet(2.0));
        assert!(
            (all.square_feet() - 100.0).abs() < 1e-6 && (box_.cubic_feet() - 200.0).abs() < 1e-5
        );
    }

    /// Source: arithmetic: an L of 64 ft² (10 x 10 less 6 x 6 at a corner) that lies 0.1 ft too
    /// low takes 6.4 ft³; the hull of its corners would take 82 ft² and 8.2 ft³.
    #[test]
    fn an_ell_is_filled_in_the_ell_and_not_in_the_hull() {
        let corners = [(0., 0.), (10., 0.), (10., 4.), (4., 4.), (4., 10.), (0., 10.)];
        let heights: Vec<(f64, f64, f64)> = corners.iter().map(|(x, y)| (*x, *y, -0.1)).collect();
        let places: Vec<Point> = corners.iter().map(|(x, y)| feet(*x, *y)).collect();
        let ell = Outline::new(&places).unwrap().region();
        let low = terrain(&heights);
        let (area, volume) = low.fill_to(&ell, |_| Length::ZERO);
        assert!((area.square_feet() - 64.0).abs() < 1e-4, "{area:?}");
        assert!((volume.cubic_feet() - 6.4).abs() < 1e-5, "{volume:?}");
        assert!((low.region().area().square_feet() - 82.0).abs() < 1e-4);
    }
}
