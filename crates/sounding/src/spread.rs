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
            let one = share - both;
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
            .map(|pairs| odds.min(-0.5 * pairs.iter().map(|p| p.both - p.none).sum::<f64>()))
            .collect();
        Self { neighbours, pairs, own }
    }

    /// Probability of hollow per tap, given the logarithm of its own odds from its sound.
    pub(crate) fn probabilities(&self, evidence: &[f64]) -> Vec<f64> {
        let count = self.own.len();
        let alone: Vec<f64> = (0..count).map(|i| self.own[i] + evidence[i]).collect();
        let mut messages: Vec<Vec<f64>> =
            self.pairs.iter().map(|pairs| vec![0.0; pairs.len()]).collect();
        let mut belief = alone.clone();
        let mut next = messages.clone();
        for _ in 0..ROUNDS {
            let mut change = 0.0f64;
            for i in 0..count {
                for (k, (j, _)) in self.neighbours.of[i].iter().enumerate() {
                    let without = belief[*j] - messages[*j][self.neighbours.back[i][k]];
                    let odds = without.clamp(-40.0, 40.0).exp();
                    let Pair { both, one, none } = self.pairs[i][k];
                    let told =
                        ((both.exp() * odds + one.exp()) / (one.exp() * odds + none.exp())).ln();
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
