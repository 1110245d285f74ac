//! Lines of one value through a grid of values: marching squares.

/// Closed rings that hold values of at least `level`, in node units, anticlockwise.
/// Beyond the grid everything is 0.
pub(crate) fn rings(
    values: &[f64],
    columns: usize,
    rows: usize,
    level: f64,
) -> Vec<Vec<(f64, f64)>> {
    let at = |x: i64, y: i64| -> f64 {
        if x < 0 || y < 0 || x >= columns as i64 || y >= rows as i64 {
            0.0
        } else {
            values[y as usize * columns + x as usize]
        }
    };
    // An edge of the grid by its lower left node and its direction (0 along x, 1 along y).
    type Edge = (i64, i64, u8);
    let mut next: std::collections::BTreeMap<Edge, Edge> = std::collections::BTreeMap::new();
    for y in -1..rows as i64 {
        for x in -1..columns as i64 {
            let corners = [at(x, y), at(x + 1, y), at(x + 1, y + 1), at(x, y + 1)];
            let inside = corners.map(|v| v >= level);
            let edges: [Edge; 4] = [(x, y, 0), (x + 1, y, 1), (x, y + 1, 0), (x, y, 1)];
            // Walking round the square, the line goes in where the values fall below and
            // comes out where they rise again: what is inside stays on the left.
            let falls: Vec<usize> = (0..4).filter(|k| inside[*k] && !inside[(k + 1) % 4]).collect();
            let rises: Vec<usize> = (0..4).filter(|k| !inside[*k] && inside[(k + 1) % 4]).collect();
            match (falls.as_slice(), rises.as_slice()) {
                ([out], [back]) => {
                    next.insert(edges[*out], edges[*back]);
                }
                ([_, _], [_, _]) => {
                    // A saddle: joined where the middle is inside.
                    let joined = corners.iter().sum::<f64>() / 4.0 >= level;
                    for out in falls {
                        let back = if joined { (out + 1) % 4 } else { (out + 3) % 4 };
                        next.insert(edges[out], edges[back]);
                    }
                }
                _ => {}
            }
        }
    }
    let point = |(x, y, along): Edge| -> (f64, f64) {
        let (dx, dy) = if along == 0 { (1, 0) } else { (0, 1) };
        let (a, b) = (at(x, y), at(x + dx, y + dy));
        let share = ((level - a) / (b - a)).clamp(0.0, 1.0);
        // The margin beyond the grid is drawn at its edge.
        let clamp = |v: f64, most: usize| v.clamp(0.0, (most - 1) as f64);
        (clamp(x as f64 + share * dx as f64, columns), clamp(y as f64 + share * dy as f64, rows))
    };
    let mut rings = Vec::new();
    while let Some((&start, _)) = next.iter().next() {
        let mut ring = Vec::new();
        let mut edge = start;
        while let Some(following) = next.remove(&edge) {
            ring.push(point(edge));
            edge = following;
        }
        ring.dedup_by(|a, b| (a.0 - b.0).abs() + (a.1 - b.1).abs() < 1e-9);
        if ring.len() >= 3 {
            rings.push(ring);
        }
    }
    rings
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    type Ring = Vec<(f64, f64)>;

    fn sampled(columns: usize, rows: usize, value: impl Fn(f64, f64) -> f64) -> Vec<f64> {
        (0..columns * rows).map(|n| value((n % columns) as f64, (n / columns) as f64)).collect()
    }

    /// Positive where the ring runs anticlockwise.
    fn area(ring: &Ring) -> f64 {
        ring.iter()
            .zip(ring.iter().cycle().skip(1))
            .map(|(a, b)| (a.0 * b.1 - b.0 * a.1) / 2.0)
            .sum()
    }

    /// How often a ring runs round a place, anticlockwise.
    fn turns(ring: &Ring, (x, y): (f64, f64)) -> f64 {
        ring.iter()
            .zip(ring.iter().cycle().skip(1))
            .map(|(a, b)| {
                let (a, b) = ((a.0 - x, a.1 - y), (b.0 - x, b.1 - y));
                (a.0 * b.1 - a.1 * b.0).atan2(a.0 * b.0 + a.1 * b.1)
            })
            .sum::<f64>()
            / std::f64::consts::TAU
    }

    /// Falls evenly from 1 in the middle to 0 at twice the radius, so that the line of 0.5
    /// is a circle.
    fn cone((x, y): (f64, f64), centre: (f64, f64), radius: f64) -> f64 {
        (1.0 - (x - centre.0).hypot(y - centre.1) / (2.0 * radius)).max(0.0)
    }

    #[test]
    fn nothing_high_enough_has_no_rings() {
        assert!(rings(&[], 0, 0, 0.4).is_empty());
        assert!(rings(&[0.39; 12], 4, 3, 0.4).is_empty());
    }

    #[test]
    fn the_ring_of_a_cone_is_a_circle() {
        for (radius, centre) in [(4.0, (12.0, 11.0)), (7.3, (14.6, 15.2)), (9.0, (15.5, 15.5))] {
            let values = sampled(32, 32, |x, y| cone((x, y), centre, radius));
            let found = rings(&values, 32, 32, 0.5);
            assert_eq!(found.len(), 1);
            let exact = std::f64::consts::PI * radius * radius;
            assert!((area(&found[0]) / exact - 1.0).abs() < 0.02, "{} {exact}", area(&found[0]));
            for (x, y) in &found[0] {
                let off = (x - centre.0).hypot(y - centre.1) - radius;
                assert!(off.abs() < 0.05, "{off}");
            }
        }
    }

    #[test]
    fn one_node_alone_is_a_diamond() {
        // From 1 to 0 over one step: 0.6 of the way to each of four neighbours.
        let values = sampled(5, 5, |x, y| if (x - 2.0).hypot(y - 2.0) < 0.5 { 1.0 } else { 0.0 });
        let found = rings(&values, 5, 5, 0.4);
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].len(), 4);
        assert!((area(&found[0]) - 2.0 * 0.6 * 0.6).abs() < 1e-12);
    }

    #[test]
    fn two_blobs_have_a_ring_each() {
        let (one, other) = ((7.0, 7.0), (22.0, 18.0));
        let values = sampled(30, 26, |x, y| cone((x, y), one, 4.0).max(cone((x, y), other, 5.0)));
        let mut found: Vec<f64> = rings(&values, 30, 26, 0.5).iter().map(area).collect();
        found.sort_by(f64::total_cmp);
        assert_eq!(found.len(), 2);
        assert!((found[0] / (16.0 * std::f64::consts::PI) - 1.0).abs() < 0.03, "{found:?}");
        assert!((found[1] / (25.0 * std::f64::consts::PI) - 1.0).abs() < 0.03, "{found:?}");
    }

    #[test]
    fn a_hole_has_a_ring_of_its_own_the_other_way_round() {
        // A cone with a sharp dent: high between 3 and 8 from the middle.
        let values = sampled(24, 24, |x, y| {
            let distance = (x - 11.5).hypot(y - 11.5);
            (1.0 - distance / 16.0).min(distance / 6.0)
        });
        let mut found: Vec<f64> = rings(&values, 24, 24, 0.5).iter().map(area).collect();
        found.sort_by(f64::total_cmp);
        assert_eq!(found.len(), 2);
        assert!((found[0] / (-9.0 * std::f64::consts::PI) - 1.0).abs() < 0.05, "{found:?}");
        assert!((found[1] / (64.0 * std::f64::consts::PI) - 1.0).abs() < 0.02, "{found:?}");
    }

    #[test]
    fn a_saddle_is_joined_where_its_middle_is_high_enough() {
        // Two high corners of one square, in both directions; the middle is 0.45.
        for flipped in [false, true] {
            let values = sampled(4, 4, |x, y| {
                let x = if flipped { 3.0 - x } else { x };
                let high = [(1.0, 1.0), (2.0, 2.0)]
                    .iter()
                    .any(|c: &(f64, f64)| (x - c.0).hypot(y - c.1) < 0.5);
                if high { 0.9 } else { 0.0 }
            });
            assert_eq!(rings(&values, 4, 4, 0.44).len(), 1, "joined");
            assert_eq!(rings(&values, 4, 4, 0.46).len(), 2, "apart");
            let joined: f64 = rings(&values, 4, 4, 0.44).iter().map(area).sum();
            let apart: f64 = rings(&values, 4, 4, 0.46).iter().map(area).sum();
            assert!(joined > apart && apart > 0.0);
        }
    }

    #[test]
    fn what_reaches_the_border_is_closed_along_it() {
        let found = rings(&[1.0; 20], 5, 4, 0.4);
        assert_eq!(found.len(), 1);
        assert!((area(&found[0]) - 4.0 * 3.0).abs() < 1e-12);
        // A half plane: the line lies half-way between two columns.
        let values = sampled(6, 4, |x, _| if x < 2.5 { 1.0 } else { 0.0 });
        let found = rings(&values, 6, 4, 0.5);
        assert_eq!(found.len(), 1);
        assert!((area(&found[0]) - 2.5 * 3.0).abs() < 1e-12);
        for (x, y) in &found[0] {
            assert!((0.0..=2.5).contains(x) && (0.0..=3.0).contains(y));
        }
    }

    #[test]
    fn a_grid_too_narrow_for_a_plane_encloses_nothing() {
        for (columns, rows) in [(1, 1), (5, 1), (1, 5)] {
            for ring in rings(&vec![1.0; columns * rows], columns, rows, 0.4) {
                assert!(area(&ring).abs() < 1e-12);
            }
        }
    }

    #[test]
    fn no_corner_stands_twice_in_succession() {
        let values = sampled(7, 7, |x, y| if x + y < 5.0 { 1.0 } else { 0.0 });
        for ring in rings(&values, 7, 7, 0.4).iter().chain(&rings(&[1.0; 20], 5, 4, 0.4)) {
            for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
                assert!((a.0 - b.0).hypot(a.1 - b.1) > 1e-9, "{ring:?}");
            }
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn rings_run_round_what_is_high_and_round_nothing_else(
            values in prop::collection::vec(0.0..1.0f64, 7 * 6),
            level in 0.05..0.95f64,
        ) {
            let found = rings(&values, 7, 6, level);
            for y in 1..5usize {
                for x in 1..6usize {
                    let value = values[y * 7 + x];
                    if (value - level).abs() < 1e-6 {
                        continue;
                    }
                    let round: f64 =
                        found.iter().map(|ring| turns(ring, (x as f64, y as f64))).sum();
                    let expected = if value >= level { 1.0 } else { 0.0 };
                    prop_assert!((round - expected).abs() < 1e-6, "({x}, {y}): {round}");
                }
            }
        }

        #[test]
        fn corners_lie_on_the_line_or_on_the_border(
            values in prop::collection::vec(0.0..1.0f64, 7 * 6),
            level in 0.05..0.95f64,
        ) {
            for (x, y) in rings(&values, 7, 6, level).into_iter().flatten() {
                prop_assert!((0.0..=6.0).contains(&x) && (0.0..=5.0).contains(&y));
                let (left, below) = (x.floor(), y.floor());
                let (right, above) = ((left + 1.0).min(6.0), (below + 1.0).min(5.0));
                let at = |x: f64, y: f64| values[y as usize * 7 + x as usize];
                let (u, v) = (x - left, y - below);
                let here = (1.0 - u) * (1.0 - v) * at(left, below)
                    + u * (1.0 - v) * at(right, below)
                    + (1.0 - u) * v * at(left, above)
                    + u * v * at(right, above);
                let border = x < 1e-9 || y < 1e-9 || x > 6.0 - 1e-9 || y > 5.0 - 1e-9;
                prop_assert!(border || (here - level).abs() < 1e-6, "({x}, {y}): {here} {level}");
            }
        }
    }
}
