//! Loose concrete lies in patches: what neighbours say of each other.
//!
//! A random field of hollow and sound over the taps. Two neighbours at the distance d
//! agree with the correlation `e^(−d/0.4 m)`; with the share π of hollow taps,
//! `P₁₁ = π² + π(1−π)r`, and the pair's weight is `(P(a,b) / P(a)P(b))^0.5`, the root
//! because a grid has more pairs than a tree. Each tap's own odds are those of π, lowered
//! where needed so that a straight boundary favours neither side. Probabilities come by
//! loopy belief propagation, whole maps by Gibbs sampling with a seed.

use tooth_measure::chance::Stream;

use crate::neighbours::Neighbours;

/// Length over which two taps agree, in metres: half-metre patches.
const AGREE: f64 = 0.4;
const PAIR: f64 = 0.5;
const ROUNDS: usize = 25;

/// Logarithms of the pair's weights: both hollow, one of them, both sound.
#[derive(Clone, Copy)]
struct Pair {
    both: f64,
    one: f64,
    none: f64,
}

/// The field for one share of hollow taps.
pub(crate) struct Spread<'a> {
    neighbours: &'a Neighbours,
    pairs: Vec<Vec<Pair>>,
    own: Vec<f64>,
}

impl<'a> Spread<'a> {
    pub(crate) fn new(neighbours: &'a Neighbours, share: f64) -> Self {
        let share = share.clamp(0.01, 0.95);
        let pair = |distance: f64| {
            let agree = (-distance / AGREE).exp();
            let both = share * share + share * (1.0 - share) * agree;
            // Two taps at one place agree, but a logarithm needs something.
            let one = (share - both).max(1e-6);
            let none = 1.0 - 2.0 * share + both;
            Pair {
                both: PAIR * (both / (share * share)).ln(),
                one: PAIR * (one / (share * (1.0 - share))).ln(),
                none: PAIR * (none / ((1.0 - share) * (1.0 - share))).ln(),
            }
        };
        let pairs: Vec<Vec<Pair>> = neighbours
            .of
            .iter()
            .map(|near| near.iter().map(|(_, distance)| pair(*distance)).collect())
            .collect();
        let odds = (share / (1.0 - share)).ln();
        let own = pairs
            .iter()
            .map(|pairs| {
                let straight = -0.5 * pairs.iter().map(|p| p.both - p.none).sum::<f64>();
                if pairs.is_empty() { odds } else { odds.min(straight) }
            })
            .collect();
        Self { neighbours, pairs, own }
    }

    /// Probability of hollow per tap, given the logarithm of its own odds from its sound.
    pub(crate) fn probabilities(&self, evidence: &[f64]) -> Vec<f64> {
        let count = self.own.len();
        let alone: Vec<f64> = (0..count).map(|i| self.own[i] + evidence[i]).collect();
        let mut messages: Vec<Vec<f64>> =
            self.pairs.iter().map(|pairs| vec![0.0; pairs.len()]).collect();
        let weights: Vec<Vec<[f64; 3]>> = self
            .pairs
            .iter()
            .map(|near| near.iter().map(|p| [p.both.exp(), p.one.exp(), p.none.exp()]).collect())
            .collect();
        let mut belief = alone.clone();
        let mut next = messages.clone();
        for _ in 0..ROUNDS {
            let mut change = 0.0f64;
            for i in 0..count {
                for (k, (j, _)) in self.neighbours.of[i].iter().enumerate() {
                    let without = belief[*j] - messages[*j][self.neighbours.back[i][k]];
                    let odds = without.clamp(-40.0, 40.0).exp();
                    let [both, one, none] = weights[i][k];
                    let told = ((both * odds + one) / (one * odds + none)).ln();
                    let now = f64::midpoint(messages[i][k], told);
                    change = change.max((now - messages[i][k]).abs());
                    next[i][k] = now;
                }
            }
            std::mem::swap(&mut messages, &mut next);
            for i in 0..count {
                belief[i] = alone[i] + messages[i].iter().sum::<f64>();
            }
            if change < 1e-4 {
                break;
            }
        }
        belief.iter().map(|odds| 1.0 / (1.0 + (-odds).exp())).collect()
    }

    /// Maps drawn from the field, handed one by one to `take`.
    pub(crate) fn draw(
        &self,
        evidence: &[f64],
        start: &[f64],
        draws: usize,
        stream: &mut Stream,
        mut take: impl FnMut(&[bool]),
    ) {
        let count = self.own.len();
        let mut hollow: Vec<bool> = start.iter().map(|p| *p > 0.5).collect();
        for round in 0..draws + draws / 4 {
            for i in 0..count {
                let mut odds = self.own[i] + evidence[i];
                for (k, (j, _)) in self.neighbours.of[i].iter().enumerate() {
                    let Pair { both, one, none } = self.pairs[i][k];
                    odds += if hollow[*j] { both - one } else { one - none };
                }
                hollow[i] = stream.uniform() * (1.0 + (-odds).exp()) < 1.0;
            }
            // The first fifth forgets the start.
            if round >= draws / 4 {
                take(&hollow);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use tooth_measure::chance::Seed;

    use super::*;

    /// Neighbours by pairs and their distances.
    fn linked(count: usize, pairs: &[(usize, usize, f64)]) -> Neighbours {
        let mut of = vec![Vec::new(); count];
        for (a, b, distance) in pairs {
            of[*a].push((*b, *distance));
            of[*b].push((*a, *distance));
        }
        let back = (0..count)
            .map(|i| {
                of[i].iter().filter_map(|(j, _)| of[*j].iter().position(|(k, _)| *k == i)).collect()
            })
            .collect();
        Neighbours { pitch: 0.3, of, back }
    }

    /// A grid of squares, four neighbours each.
    fn grid(columns: usize, rows: usize, pitch: f64) -> Neighbours {
        let mut pairs = Vec::new();
        for y in 0..rows {
            for x in 0..columns {
                let here = y * columns + x;
                if x + 1 < columns {
                    pairs.push((here, here + 1, pitch));
                }
                if y + 1 < rows {
                    pairs.push((here, here + columns, pitch));
                }
            }
        }
        linked(columns * rows, &pairs)
    }

    /// Probability of hollow per tap, from the weights of all maps.
    fn enumerated(spread: &Spread<'_>, evidence: &[f64]) -> Vec<f64> {
        let count = evidence.len();
        let (mut all, mut hollow) = (0.0, vec![0.0; count]);
        for map in 0..1usize << count {
            let is_hollow = |i: usize| map >> i & 1 == 1;
            let mut log = 0.0;
            for (i, told) in evidence.iter().enumerate() {
                if is_hollow(i) {
                    log += spread.own[i] + told;
                }
                for (k, (j, _)) in spread.neighbours.of[i].iter().enumerate() {
                    if *j > i {
                        let pair = spread.pairs[i][k];
                        log += match (is_hollow(i), is_hollow(*j)) {
                            (true, true) => pair.both,
                            (false, false) => pair.none,
                            _ => pair.one,
                        };
                    }
                }
            }
            let weight = f64::exp(log);
            all += weight;
            for (i, sum) in hollow.iter_mut().enumerate() {
                if is_hollow(i) {
                    *sum += weight;
                }
            }
        }
        hollow.iter().map(|sum| sum / all).collect()
    }

    /// Evidence that changes sign and size from tap to tap.
    fn evidence(count: usize, size: f64, seed: u64) -> Vec<f64> {
        let mut stream = Stream::new(Seed(seed), 0);
        (0..count).map(|_| size * (2.0 * stream.uniform() - 1.0)).collect()
    }

    fn furthest(one: &[f64], other: &[f64]) -> f64 {
        one.iter().zip(other).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max)
    }

    #[test]
    fn the_weight_of_a_pair_is_the_root_of_how_much_likelier_than_by_chance() {
        let near = linked(2, &[(0, 1, 0.3)]);
        let spread = Spread::new(&near, 0.2);
        // r = e^(−0.75), P₁₁ = 0.04 + 0.16 r, P₁₀ = 0.2 − P₁₁, P₀₀ = 0.6 + P₁₁.
        let both = 0.04 + 0.16 * f64::exp(-0.75);
        let pair = spread.pairs[0][0];
        assert!((pair.both - 0.5 * (both / 0.04).ln()).abs() < 1e-12);
        assert!((pair.one - 0.5 * ((0.2 - both) / 0.16).ln()).abs() < 1e-12);
        assert!((pair.none - 0.5 * ((0.6 + both) / 0.64).ln()).abs() < 1e-12);
    }

    #[test]
    fn far_apart_taps_say_nothing_of_each_other() {
        let far = linked(2, &[(0, 1, 40.0)]);
        let spread = Spread::new(&far, 0.2);
        let told = spread.probabilities(&[0.0, 6.0]);
        assert!((told[0] - 0.2).abs() < 1e-6, "{told:?}");
    }

    #[test]
    fn a_tap_without_neighbours_or_evidence_is_hollow_by_the_share() {
        for share in [0.01, 0.05, 0.12, 0.3, 0.5] {
            let told = Spread::new(&linked(3, &[]), share).probabilities(&[0.0; 3]);
            assert!(told.iter().all(|p| (p - share).abs() < 1e-12), "{share}: {told:?}");
        }
    }

    #[test]
    fn a_lonely_tap_on_a_mostly_hollow_slab_is_hollow_by_the_share() {
        for share in [0.6, 0.8, 0.95] {
            let told = Spread::new(&linked(3, &[]), share).probabilities(&[0.0; 3]);
            assert!(told.iter().all(|p| (p - share).abs() < 1e-12), "{share}: {told:?}");
        }
    }

    #[test]
    fn a_tap_without_neighbours_adds_its_evidence_to_the_odds() {
        let told = Spread::new(&linked(2, &[]), 0.2).probabilities(&[1.5, -3.0]);
        for (told, evidence) in told.iter().zip([1.5, -3.0f64]) {
            let odds = 0.25 * evidence.exp();
            assert!((told - odds / (1.0 + odds)).abs() < 1e-12);
        }
    }

    #[test]
    fn probabilities_on_trees_are_those_of_all_maps() {
        let trees = [
            linked(2, &[(0, 1, 0.3)]),
            linked(3, &[(0, 1, 0.3), (1, 2, 0.1)]),
            // A chain.
            linked(
                7,
                &[(0, 1, 0.3), (1, 2, 0.3), (2, 3, 0.3), (3, 4, 0.3), (4, 5, 0.3), (5, 6, 0.3)],
            ),
            // A star.
            linked(5, &[(0, 1, 0.3), (0, 2, 0.42), (0, 3, 0.2), (0, 4, 0.05)]),
            // Branches, and a tap by itself.
            linked(
                8,
                &[(0, 1, 0.3), (0, 2, 0.3), (1, 3, 0.3), (1, 4, 0.15), (2, 5, 0.3), (2, 6, 0.6)],
            ),
        ];
        for (number, tree) in trees.iter().enumerate() {
            for share in [0.02, 0.12, 0.5, 0.9] {
                let spread = Spread::new(tree, share);
                for size in [0.0, 1.0, 3.0, 12.0] {
                    for seed in 0..5 {
                        let evidence = evidence(tree.of.len(), size, seed);
                        let told = spread.probabilities(&evidence);
                        let off = furthest(&told, &enumerated(&spread, &evidence));
                        // Messages stop when none moves by 1e-4.
                        assert!(off < 2e-4, "tree {number}, {share}, {size}: off by {off}");
                    }
                }
            }
        }
    }

    #[test]
    fn probabilities_on_small_grids_are_near_those_of_all_maps() {
        for (columns, rows) in [(2, 2), (3, 2), (3, 3)] {
            let near = grid(columns, rows, 0.3);
            for share in [0.05, 0.12, 0.5] {
                let spread = Spread::new(&near, share);
                for size in [0.0, 1.0, 4.0] {
                    for seed in 0..10 {
                        let evidence = evidence(columns * rows, size, seed);
                        let told = spread.probabilities(&evidence);
                        let off = furthest(&told, &enumerated(&spread, &evidence));
                        // Loops count the same evidence more than once.
                        assert!(off < 0.05, "{columns} × {rows}, {share}, {size}: {off}");
                    }
                }
            }
        }
    }

    #[test]
    fn drawn_maps_are_hollow_as_often_as_all_maps_say() {
        for (near, share, size) in [
            (grid(3, 3, 0.3), 0.12, 2.0),
            (grid(2, 2, 0.15), 0.4, 1.0),
            (linked(4, &[(0, 1, 0.3), (1, 2, 0.3)]), 0.3, 3.0),
        ] {
            let count = near.of.len();
            let spread = Spread::new(&near, share);
            let evidence = evidence(count, size, 3);
            let (mut hollow, mut maps) = (vec![0.0; count], 0);
            let draws = 20_000;
            let mut stream = Stream::new(Seed(11), 0);
            spread.draw(&evidence, &vec![0.9; count], draws, &mut stream, |map| {
                maps += 1;
                for (sum, is_hollow) in hollow.iter_mut().zip(map) {
                    *sum += f64::from(u8::from(*is_hollow)) / draws as f64;
                }
            });
            assert_eq!(maps, draws);
            let off = furthest(&hollow, &enumerated(&spread, &evidence));
            // Draws in succession are alike: some four standard errors of 20 000.
            assert!(off < 0.02, "off by {off}");
        }
    }

    #[test]
    fn pairs_of_taps_are_drawn_alike_as_often_as_all_maps_say() {
        let near = linked(2, &[(0, 1, 0.2)]);
        let spread = Spread::new(&near, 0.3);
        let (odds, pair) = (spread.own[0], spread.pairs[0][0]);
        let both = (2.0 * odds + pair.both).exp();
        let one = (odds + pair.one).exp();
        let expected = both / (both + 2.0 * one + pair.none.exp());
        let (mut seen, draws) = (0, 20_000);
        let mut stream = Stream::new(Seed(5), 0);
        spread.draw(&[0.0; 2], &[0.0; 2], draws, &mut stream, |map| {
            seen += usize::from(map[0] && map[1]);
        });
        assert!((seen as f64 / draws as f64 - expected).abs() < 0.02);
    }

    #[test]
    fn the_same_seed_draws_the_same_maps() {
        let near = grid(4, 3, 0.3);
        let spread = Spread::new(&near, 0.12);
        let maps = |seed| {
            let mut maps = Vec::new();
            let mut stream = Stream::new(Seed(seed), 1);
            spread.draw(&[0.5; 12], &[0.5; 12], 50, &mut stream, |map| maps.push(map.to_vec()));
            maps
        };
        assert_eq!(maps(1), maps(1));
        assert_ne!(maps(1), maps(2));
    }

    #[test]
    fn more_evidence_of_a_neighbour_makes_a_tap_more_likely_hollow() {
        let near = grid(3, 3, 0.3);
        let spread = Spread::new(&near, 0.12);
        let mut before = 0.0;
        for step in -4..=8 {
            let mut evidence = vec![0.0; 9];
            evidence[4] = f64::from(step);
            let told = spread.probabilities(&evidence)[0];
            assert!(told > before, "{told} after {before}");
            before = told;
        }
    }

    #[test]
    fn a_straight_boundary_favours_neither_side() {
        // Half of a wide grid is known hollow, half known sound; the row between them has
        // no evidence of its own.
        let (columns, rows) = (9, 9);
        let near = Neighbours::new(
            &(0..columns * rows)
                .map(|n| Some(((n % columns) as f64 * 0.3, (n / columns) as f64 * 0.3)))
                .collect::<Vec<_>>(),
        );
        let spread = Spread::new(&near, 0.12);
        let evidence: Vec<f64> = (0..columns * rows)
            .map(|n| match (n / columns).cmp(&4) {
                std::cmp::Ordering::Less => 30.0,
                std::cmp::Ordering::Equal => 0.0,
                std::cmp::Ordering::Greater => -30.0,
            })
            .collect();
        let middle = spread.probabilities(&evidence)[4 * columns + 4];
        assert!(middle < 0.5 + 1e-6, "{middle}");
    }

    #[test]
    fn two_taps_at_one_place_are_told_as_all_maps_say() {
        let near = linked(2, &[(0, 1, 0.0)]);
        for percent in 1..=95 {
            let spread = Spread::new(&near, f64::from(percent) / 100.0);
            for evidence in [0.0, 3.0, -8.0] {
                let told = spread.probabilities(&[evidence, 0.0]);
                let off = told[0] - enumerated(&spread, &[evidence, 0.0])[0];
                // No number fails this too.
                assert!(off.abs() < 2e-4, "{percent} %, {evidence}: {told:?}");
            }
        }
    }

    #[test]
    fn the_strongest_evidence_gives_numbers() {
        let near = grid(3, 3, 1e-4);
        for share in [0.0, 0.01, 0.5, 1.0] {
            let spread = Spread::new(&near, share);
            for size in [1e3, -1e3] {
                let told = spread.probabilities(&[size; 9]);
                assert!(told.iter().all(|p| (0.0..=1.0).contains(p)), "{told:?}");
            }
        }
    }
}
