//! Heights at scattered points joined by triangles (a Delaunay triangulation; the `spade`
//! library finds it), and the volumes between such a surface and another. A height is
//! linear over each triangle, so volumes are exact for that surface; on a grid read
//! otherwise (bilinear) they differ by some per cent.

use spade::{DelaunayTriangulation, HasPosition, Point2, Triangulation as _};

use crate::geometry::Point;
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

    /// What must be filled to bring it up to a wanted height at every place: the volume,
    /// and the area where anything is filled. What lies higher is not cut.
    #[must_use]
    pub fn fill_to(&self, wanted: impl Fn(Point) -> Length) -> (Area, Volume) {
        let mut filled = (Area::ZERO, Volume::ZERO);
        for corners in &self.triangles {
            let missing = corners.map(|(place, height)| (wanted(place) - height).metres());
            let (share, mean) = positive_part(missing);
            let area = area(corners.map(|(place, _)| place));
            filled.0 += area * share;
            filled.1 += area * Length::from_metres(mean);
        }
        filled
    }
}

fn area([a, b, c]: [Point; 3]) -> Area {
    let side = |to: Point| ((to.x - a.x).metres(), (to.y - a.y).metres());
    let ((ux, uy), (vx, vy)) = (side(b), side(c));
    Area::from_square_metres((ux * vy - uy * vx).abs() / 2.0)
}

/// Of a linear function over a triangle with these values at its corners: the share of the
/// triangle where it is above zero, and the mean of its positive part.
fn positive_part(mut values: [f64; 3]) -> (f64, f64) {
    values.sort_unstable_by(|a, b| b.total_cmp(a));
    let [high, middle, low] = values;
    let mean = (high + middle + low) / 3.0;
    if low >= 0.0 {
        return (1.0, mean);
    }
    if high <= 0.0 {
        return (0.0, 0.0);
    }
    if middle <= 0.0 {
        // A smaller triangle at the highest corner.
        let share = high / (high - middle) * high / (high - low);
        return (share, share * high / 3.0);
    }
    // All but a smaller triangle at the lowest corner.
    let cut = low / (low - high) * low / (low - middle);
    (1.0 - cut, mean - cut * low / 3.0)
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
        let (area, volume) = ramp.fill_to(|_| Length::ZERO);
        assert!((area.square_feet() - 50.0).abs() < 1e-9);
        assert!((volume.cubic_feet() - 25.0).abs() < 1e-9);
        let (none, nothing) = ramp.fill_to(|_| Length::from_feet(-2.0));
        assert!(none.square_feet().abs() < 1e-9 && nothing.cubic_feet().abs() < 1e-9);
        let (all, box_) = ramp.fill_to(|_| Length::from_feet(2.0));
        assert!(
            (all.square_feet() - 100.0).abs() < 1e-9 && (box_.cubic_feet() - 200.0).abs() < 1e-9
        );
    }
}
