//! Which taps lie beside each other.

use std::collections::BTreeMap;

/// For each place its neighbours and their distances: those within 1.6 times the usual
/// distance to the nearest, eight on a square grid.
#[derive(Debug, Clone)]
pub(crate) struct Neighbours {
    /// Usual distance between nearest places; 0 for fewer than two.
    pub(crate) pitch: f64,
    pub(crate) of: Vec<Vec<(usize, f64)>>,
    /// Where in the neighbour's own list each entry stands.
    pub(crate) back: Vec<Vec<usize>>,
}

const REACH: f64 = 1.6;
/// No more neighbours than this are kept of a place where taps crowd.
const MOST: usize = 16;

impl Neighbours {
    /// Places in metres. None has no place, and no neighbours.
    pub(crate) fn new(places: &[Option<(f64, f64)>]) -> Self {
        let pitch = usual_pitch(places);
        let mut of = vec![Vec::new(); places.len()];
        if pitch > 0.0 {
            let reach = REACH * pitch;
            let cells = Cells::new(places, reach);
            for (i, place) in places.iter().enumerate() {
                let Some(here) = place else { continue };
                let mut near: Vec<(usize, f64)> = cells
                    .about(*here)
                    .filter(|j| *j != i)
                    .filter_map(|j| Some((j, distance(*here, places[j]?))))
                    .filter(|(_, distance)| *distance < reach)
                    .collect();
                near.sort_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)));
                near.truncate(MOST);
                of[i] = near;
            }
        }
        // Keep what is mutual, so that messages have a way back.
        let mutual: Vec<Vec<(usize, f64)>> = (0..of.len())
            .map(|i| {
                of[i].iter().copied().filter(|(j, _)| of[*j].iter().any(|(k, _)| *k == i)).collect()
            })
            .collect();
        let back = (0..mutual.len())
            .map(|i| {
                mutual[i]
                    .iter()
                    .filter_map(|(j, _)| mutual[*j].iter().position(|(k, _)| *k == i))
                    .collect()
            })
            .collect();
        Self { pitch, of: mutual, back }
    }
}

fn distance(one: (f64, f64), other: (f64, f64)) -> f64 {
    (one.0 - other.0).hypot(one.1 - other.1)
}

/// Median distance to the nearest other place that is not the same spot.
fn usual_pitch(places: &[Option<(f64, f64)>]) -> f64 {
    let known: Vec<(f64, f64)> = places.iter().flatten().copied().collect();
    if known.len() < 2 {
        return 0.0;
    }
    let spread = |pick: fn(&(f64, f64)) -> f64| {
        let low = known.iter().map(pick).fold(f64::INFINITY, f64::min);
        known.iter().map(pick).fold(f64::NEG_INFINITY, f64::max) - low
    };
    let (width, height) = (spread(|p| p.0), spread(|p| p.1));
    // Widen the search until every place has another.
    let mut reach = (width.max(height) / (known.len() as f64).sqrt()).max(1e-6);
    loop {
        let cells = Cells::new(places, reach);
        let mut nearest: Vec<f64> = known
            .iter()
            .map(|here| {
                cells
                    .about(*here)
                    .filter_map(|j| places[j].map(|there| distance(*here, there)))
                    .filter(|d| *d > 1e-6)
                    .fold(f64::INFINITY, f64::min)
            })
            .filter(|d| *d <= reach)
            .collect();
        if nearest.len() * 2 > known.len() {
            nearest.sort_by(f64::total_cmp);
            // Those further off than the search are counted as the largest.
            return nearest[known.len() / 2];
        }
        if reach > 2.0 * (width + height) {
            return 0.0;
        }
        reach *= 2.0;
    }
}

/// Places by squares of a side.
pub(crate) struct Cells {
    side: f64,
    squares: BTreeMap<(i64, i64), Vec<usize>>,
}

impl Cells {
    pub(crate) fn new(places: &[Option<(f64, f64)>], side: f64) -> Self {
        let mut squares: BTreeMap<(i64, i64), Vec<usize>> = BTreeMap::new();
        for (i, place) in places.iter().enumerate() {
            if let Some(place) = place {
                squares.entry(square(*place, side)).or_default().push(i);
            }
        }
        Self { side, squares }
    }

    /// Places in the nine squares about a point: all within one side of it, and more.
    pub(crate) fn about(&self, place: (f64, f64)) -> impl Iterator<Item = usize> + '_ {
        let (x, y) = square(place, self.side);
        (-1..=1)
            .flat_map(move |dx| {
                (-1..=1).map(move |dy| (x.saturating_add(dx), y.saturating_add(dy)))
            })
            .filter_map(|square| self.squares.get(&square))
            .flatten()
            .copied()
    }
}

fn square(place: (f64, f64), side: f64) -> (i64, i64) {
    ((place.0 / side).floor() as i64, (place.1 / side).floor() as i64)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use tooth_measure::chance::{Seed, Stream};

    use super::*;

    type Places = Vec<Option<(f64, f64)>>;

    fn grid(columns: usize, rows: usize, pitch: f64) -> Places {
        (0..columns * rows)
            .map(|n| Some(((n % columns) as f64 * pitch, (n / columns) as f64 * pitch)))
            .collect()
    }

    fn near(neighbours: &Neighbours, i: usize) -> Vec<usize> {
        let mut near: Vec<usize> = neighbours.of[i].iter().map(|(j, _)| *j).collect();
        near.sort_unstable();
        near
    }

    /// Median distance to the nearest other spot, looking at every pair.
    fn pitch_by_all_pairs(places: &Places) -> f64 {
        let known: Vec<(f64, f64)> = places.iter().flatten().copied().collect();
        let mut nearest: Vec<f64> = known
            .iter()
            .map(|here| {
                known
                    .iter()
                    .map(|there| distance(*here, *there))
                    .filter(|d| *d > 1e-6)
                    .fold(f64::INFINITY, f64::min)
            })
            .collect();
        nearest.sort_by(f64::total_cmp);
        nearest.get(nearest.len() / 2).copied().filter(|d| d.is_finite()).unwrap_or(0.0)
    }

    /// Neighbours of the stated pitch, looking at every pair.
    fn neighbours_by_all_pairs(places: &Places, pitch: f64) -> Vec<Vec<usize>> {
        let lists: Vec<Vec<usize>> = (0..places.len())
            .map(|i| {
                let mut near: Vec<(f64, usize)> = (0..places.len())
                    .filter(|j| *j != i)
                    .filter_map(|j| Some((distance(places[i]?, places[j]?), j)))
                    .filter(|(d, _)| *d < REACH * pitch)
                    .collect();
                near.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
                near.into_iter().take(MOST).map(|(_, j)| j).collect()
            })
            .collect();
        (0..places.len())
            .map(|i| {
                let mut mutual: Vec<usize> =
                    lists[i].iter().copied().filter(|j| lists[*j].contains(&i)).collect();
                mutual.sort_unstable();
                mutual
            })
            .collect()
    }

    fn assert_ways_back(neighbours: &Neighbours) {
        for (i, near) in neighbours.of.iter().enumerate() {
            assert_eq!(near.len(), neighbours.back[i].len());
            for ((j, there), back) in near.iter().zip(&neighbours.back[i]) {
                let (k, here) = neighbours.of[*j][*back];
                assert_eq!(k, i);
                assert!((here - there).abs() < 1e-12);
            }
        }
    }

    #[test]
    fn no_place_one_and_two() {
        for places in [vec![], vec![None], vec![Some((1.0, 2.0))], vec![None, Some((0.0, 0.0))]] {
            let neighbours = Neighbours::new(&places);
            assert!(neighbours.pitch.abs() < 1e-12);
            assert_eq!(neighbours.of.len(), places.len());
            assert!(neighbours.of.iter().all(Vec::is_empty));
        }
        let two = Neighbours::new(&[Some((1.0, 2.0)), None, Some((4.0, 6.0))]);
        assert!((two.pitch - 5.0).abs() < 1e-12);
        assert_eq!((near(&two, 0), near(&two, 1), near(&two, 2)), (vec![2], vec![], vec![0]));
        assert_ways_back(&two);
    }

    #[test]
    fn a_square_grid_has_eight_neighbours_inside_five_on_a_side_three_at_a_corner() {
        for pitch in [0.04, 0.3, 7.0] {
            let (columns, rows) = (7, 5);
            let neighbours = Neighbours::new(&grid(columns, rows, pitch));
            assert!((neighbours.pitch - pitch).abs() < 1e-9);
            for n in 0..columns * rows {
                let (x, y) = (n % columns, n / columns);
                let sides =
                    usize::from(x == 0 || x == columns - 1) + usize::from(y == 0 || y == rows - 1);
                assert_eq!(neighbours.of[n].len(), [8, 5, 3][sides], "({x}, {y})");
            }
            assert_ways_back(&neighbours);
        }
    }

    #[test]
    fn neighbours_stand_in_order_of_their_distance() {
        let neighbours = Neighbours::new(&grid(5, 5, 0.3));
        for near in &neighbours.of {
            assert!(near.windows(2).all(|pair| pair[0].1 <= pair[1].1));
        }
    }

    #[test]
    fn a_grid_struck_beside_its_marks_keeps_pitch_and_neighbours() {
        let (columns, rows) = (12, 10);
        let mut stream = Stream::new(Seed(3), 0);
        let places: Places = grid(columns, rows, 0.3)
            .into_iter()
            .flatten()
            .map(|(x, y)| {
                let mut off = || 0.02 * (2.0 * stream.uniform() - 1.0);
                Some((x + off(), y + off()))
            })
            .collect();
        let neighbours = Neighbours::new(&places);
        // The nearest of four is nearer than the pitch: at most by the two offsets.
        assert!((0.26..0.3).contains(&neighbours.pitch), "{}", neighbours.pitch);
        for y in 1..rows - 1 {
            for x in 1..columns - 1 {
                let n = y * columns + x;
                let sides = [n - 1, n + 1, n - columns, n + columns];
                assert!(sides.iter().all(|j| near(&neighbours, n).contains(j)), "({x}, {y})");
                assert!(near(&neighbours, n).len() <= 8);
            }
        }
        assert_ways_back(&neighbours);
    }

    #[test]
    fn a_line_has_the_two_beside() {
        for step in [(0.3, 0.0), (0.0, 0.3), (0.18, 0.24)] {
            let places: Places =
                (0..9).map(|n| Some((step.0 * f64::from(n), step.1 * f64::from(n)))).collect();
            let neighbours = Neighbours::new(&places);
            assert!((neighbours.pitch - 0.3).abs() < 1e-9);
            assert_eq!(near(&neighbours, 0), [1]);
            assert_eq!(near(&neighbours, 4), [3, 5]);
            assert_eq!(near(&neighbours, 8), [7]);
            assert_ways_back(&neighbours);
        }
    }

    #[test]
    fn a_place_struck_twice_does_not_shrink_the_pitch() {
        let mut places = grid(6, 6, 0.3);
        places.extend([places[14], places[14], places[21]]);
        let neighbours = Neighbours::new(&places);
        assert!((neighbours.pitch - 0.3).abs() < 1e-9);
        assert!(near(&neighbours, 14).contains(&36) && near(&neighbours, 36).contains(&37));
        assert_ways_back(&neighbours);
        // Each place twice.
        let twice: Places = grid(6, 6, 0.3).into_iter().chain(grid(6, 6, 0.3)).collect();
        let neighbours = Neighbours::new(&twice);
        assert!((neighbours.pitch - 0.3).abs() < 1e-9);
        assert!(near(&neighbours, 14).contains(&(36 + 14)));
        assert_ways_back(&neighbours);
    }

    #[test]
    fn one_spot_has_no_pitch() {
        let neighbours = Neighbours::new(&[Some((3.0, 4.0)); 40]);
        assert!(neighbours.pitch.abs() < 1e-12);
        assert!(neighbours.of.iter().all(Vec::is_empty));
    }

    #[test]
    fn a_crowd_keeps_the_nearest_of_each() {
        // A wide grid, and fifty taps on one of its squares.
        let mut places = grid(12, 10, 0.3);
        places.extend(
            (0..50).map(|n| {
                Some((1.05 + 0.003 * f64::from(n % 10), 1.05 + 0.003 * f64::from(n / 10)))
            }),
        );
        let neighbours = Neighbours::new(&places);
        assert!(neighbours.of.iter().all(|near| near.len() <= MOST));
        assert_ways_back(&neighbours);
    }

    #[test]
    fn the_pitch_is_the_median_also_where_a_few_taps_lie_apart() {
        // Five taps 0.1 m apart in a line, four more 1 m, 2 m, … from each other: by size
        // 0.1, 0.1, 0.1, 0.1, 0.1, 1, 1, 2, 3.
        let at = [0.0, 0.1, 0.2, 0.3, 0.4, 3.4, 4.4, 6.4, 9.4];
        let places: Places = at.iter().map(|x| Some((*x, 0.0))).collect();
        let neighbours = Neighbours::new(&places);
        assert!((neighbours.pitch - pitch_by_all_pairs(&places)).abs() < 1e-9);
        // Nearest distances 0.1, 0.1, 0.2, 0.3, 0.3 and twice 40: the median is 0.3.
        let at = [0.0, 0.1, 0.3, 0.6, 0.9, 40.9, 80.9];
        let places: Places = at.iter().map(|x| Some((*x, 0.0))).collect();
        let neighbours = Neighbours::new(&places);
        assert!((neighbours.pitch - 0.3).abs() < 1e-9, "{}", neighbours.pitch);
    }

    #[test]
    fn far_places_are_found_and_do_not_hang() {
        let mut places = grid(5, 5, 0.3);
        places.extend([Some((1e5, -1e5)), Some((1e12, 3.0)), Some((-1e300, 1e300))]);
        let neighbours = Neighbours::new(&places);
        assert!((neighbours.pitch - 0.3).abs() < 1e-9, "{}", neighbours.pitch);
        assert_eq!(near(&neighbours, 12).len(), 8);
        assert!(near(&neighbours, 26).is_empty());
    }

    fn places() -> impl Strategy<Value = Places> {
        let place = prop_oneof![
            12 => (0.0..3.0f64, 0.0..3.0f64).prop_map(Some),
            4 => (0..8u8, 0..8u8).prop_map(|(x, y)| Some((f64::from(x) * 0.4, f64::from(y) * 0.4))),
            1 => Just(None),
            1 => (-50.0..50.0f64, -50.0..50.0f64).prop_map(Some),
        ];
        prop::collection::vec(place, 0..60)
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn neighbours_are_those_of_all_pairs(places in places()) {
            let neighbours = Neighbours::new(&places);
            let expected = neighbours_by_all_pairs(&places, neighbours.pitch);
            for (i, expected) in expected.iter().enumerate() {
                prop_assert_eq!(&near(&neighbours, i), expected);
            }
            assert_ways_back(&neighbours);
        }

        #[test]
        fn the_pitch_is_that_of_all_pairs(places in places()) {
            let pitch = Neighbours::new(&places).pitch;
            prop_assert!((pitch - pitch_by_all_pairs(&places)).abs() < 1e-9);
        }
    }
}
