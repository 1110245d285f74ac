//! Sound or hollow: each slab is its own reference.
//!
//! Sound taps spread about a mean with a covariance; hollow taps differ from that mean by
//! some share (15 % to all) of a shift that is itself uncertain. Both are multivariate t
//! (ten degrees of freedom), so that a strange tap convinces nobody. The starting values
//! are the [`prior`](crate::prior), learnt from synthesized slabs; the slab then teaches
//! its own by expectation and maximisation, with the [field](crate::spread) of hollow and
//! sound over the taps between the two steps. Two more sources feed the hollow side: the
//! shift that the slab's own surest hollow taps show, and what the hollow neighbours of a
//! tap show, since taps on one patch share its ring.
//!
//! A slab may ring unlike any synthesized one. So the taps are also split in two without
//! the prior, in the directions in which neighbours agree most, and each split is settled
//! the same way. The answer is the prior's unless a split hangs together in space better
//! (Moran's I of the taps' own odds, as a z-score): a loose patch is a place, a way of
//! striking is not.

use nalgebra::{DMatrix, DVector, SymmetricEigen};

use crate::neighbours::Neighbours;
use crate::prior::Prior;
use crate::spread::Spread;
use crate::{Groups, Known};

type Matrix = DMatrix<f64>;
type Vector = DVector<f64>;

/// What the model says of the taps.
#[derive(Debug, Clone)]
pub(crate) struct Told {
    /// Probability of hollow.
    pub(crate) hollow: Vec<f64>,
    /// Logarithm of the odds that a tap's own sound gives, 0 for one unheard; with the
    /// word of a person where there is one.
    pub(crate) evidence: Vec<f64>,
    /// Share of hollow taps in the field.
    pub(crate) share: f64,
    /// Which groups there are.
    pub(crate) groups: Groups,
}

/// A person's word before any label contradicts its neighbours: one in two hundred is
/// wrong, as sure as forty taps make it.
const WRONG: f64 = 0.005;
const WRONG_WEIGHT: f64 = 40.0;
/// Fewest labelled neighbours, all of one kind, that can contradict a label.
const UNANIMOUS: usize = 6;
/// What a tap's sound may say at most, and how far its odds are trusted: set on
/// synthesized slabs so that probabilities come true.
const MOST: f64 = 12.0;
const TRUST: f64 = 0.5;
const FREEDOM: f64 = 10.0;
const STRENGTHS: [f64; 5] = [0.15, 0.3, 0.5, 0.75, 1.0];
const NEIGHBOUR_STRENGTHS: [f64; 6] = [0.15, 0.3, 0.5, 0.75, 1.0, 1.3];
/// One sound tap in ten is struck strangely: nine times the usual variance in the two
/// directions in which sound taps of the slab vary most (how long the hammer touches).
const STRANGE_SHARE: f64 = 0.1;
const STRANGE: f64 = 9.0;
const BLOWS: usize = 2;
/// Weights of the prior in taps.
const SOUND_WEIGHT: f64 = 40.0;
const HOLLOW_WEIGHT: f64 = 20.0;
const SHARE: f64 = 0.12;
const SHARE_WEIGHT: f64 = 30.0;
const ROUNDS: usize = 12;
/// Fewest known-good taps that give the sound mean, and its spread.
const FOR_MEAN: usize = 3;
const FOR_SPREAD: usize = 5;
/// A split must hang together by this z-score, and better than the prior's answer by so
/// much. A split whose hollow taps have less energy than its sound ones counts for less:
/// a loose layer adds its ring.
const COHERENT: f64 = 6.0;
const LEAD: f64 = 3.0;
const QUIETER: f64 = 0.6;
/// Verified hollow taps are no group of their own below this rank among all by strangeness.
const USUAL: f64 = 0.75;
/// Least square of Mahalanobis' distance between two groups, and least against what chance
/// gives: a field of taps picked for lying together reaches 2.6 and 4.5 on synthesized sound
/// slabs, a loose patch some hundreds.
const LEAST_APART: f64 = 1.5;
const APART: f64 = 7.0;
/// Logarithm of the odds of hollow of a tap in one sound group, at most.
const ALIKE: f64 = -2.5;
/// A tap at least this likely hollow makes a second group.
pub(crate) const HOLLOW_FROM: f64 = 0.4;

/// Tells hollow from sound.
pub(crate) fn tell(
    excess: &[Option<Vec<f64>>],
    neighbours: &Neighbours,
    known: &[Option<Known>],
    prior: &Prior,
) -> Told {
    let slab = Slab::new(excess, neighbours, known, prior);
    if slab.heard.is_empty() {
        return Told {
            hollow: vec![0.5; excess.len()],
            evidence: vec![0.0; excess.len()],
            share: SHARE,
            groups: Groups::NotEstablished,
        };
    }
    let mut best = slab.settle(None);
    let mut coherence = slab.coherence(&best);
    for split in slab.splits() {
        let settled = slab.settle(Some(split));
        let mut other = slab.coherence(&settled);
        if slab.added_energy(&settled) <= 0.0 {
            other *= QUIETER;
        }
        if other > COHERENT && other > coherence + LEAD {
            (best, coherence) = (settled, other);
        }
    }
    let apart = slab.are_apart(&best);
    if !apart {
        best = slab.as_one(best);
    }
    slab.name(best, apart)
}

/// One slab's taps.
struct Slab<'a> {
    taps: Vec<Vector>,
    heard: Vec<usize>,
    is_heard: Vec<bool>,
    neighbours: &'a Neighbours,
    known: &'a [Option<Known>],
    prior: &'a Prior,
    /// Mean of sound taps to start from, and their covariance.
    centre: Vector,
    scatter: Matrix,
    /// What a person's word weighs.
    word: f64,
}

/// A settled answer.
struct Settled {
    hollow: Vec<f64>,
    /// With neighbours' shifts, without a person's word.
    odds: Vec<f64>,
    /// Of the tap's own sound alone.
    alone: Vec<f64>,
    share: f64,
}

impl<'a> Slab<'a> {
    fn new(
        excess: &[Option<Vec<f64>>],
        neighbours: &'a Neighbours,
        known: &'a [Option<Known>],
        prior: &'a Prior,
    ) -> Self {
        let bands = prior.hollow_mean.len();
        let taps: Vec<Vector> = excess
            .iter()
            .map(|tap| match tap {
                Some(values) => Vector::from_column_slice(&values[..bands]),
                None => Vector::zeros(bands),
            })
            .collect();
        let is_heard: Vec<bool> = excess.iter().map(Option::is_some).collect();
        let heard: Vec<usize> = (0..taps.len()).filter(|i| is_heard[*i]).collect();
        let good: Vec<usize> =
            heard.iter().copied().filter(|i| known[*i] == Some(Known::Sound)).collect();
        let centre = if good.len() >= FOR_MEAN {
            good.iter().fold(Vector::zeros(bands), |sum, i| sum + &taps[*i]) / good.len() as f64
        } else {
            Vector::from_fn(bands, |k, _| {
                let mut values: Vec<f64> = heard.iter().map(|i| taps[*i][k]).collect();
                values.sort_by(f64::total_cmp);
                values.get(values.len() / 2).copied().unwrap_or(0.0)
            })
        };
        let mut slab = Self {
            taps,
            heard,
            is_heard,
            neighbours,
            known,
            prior,
            centre,
            scatter: prior.sound.clone(),
            word: word(known, neighbours),
        };
        slab.scatter = slab.scatter_of_sound(&good);
        slab
    }

    /// What a person's word adds to a tap's odds.
    fn said(&self, known: Option<Known>) -> f64 {
        match known {
            Some(Known::Hollow) => self.word,
            Some(Known::Sound) => -self.word,
            None => 0.0,
        }
    }

    fn bands(&self) -> usize {
        self.centre.len()
    }

    /// Covariance of sound taps: from the differences of neighbours that are not too
    /// large to be of one kind, and never less than the known-good taps show.
    fn scatter_of_sound(&self, good: &[usize]) -> Matrix {
        let bands = self.bands();
        let enough = good.len() >= FOR_SPREAD;
        let mut start = self.prior.sound.clone();
        let mut of_good = Matrix::zeros(bands, bands);
        if enough {
            let whitening = Whitening::new(&start);
            let sum: f64 =
                good.iter().map(|i| whitening.square(&(&self.taps[*i] - &self.centre))).sum();
            start *= 1.3 * sum / ((good.len() - 1) * bands) as f64;
            for i in good {
                let off = &self.taps[*i] - &self.centre;
                of_good.ger(1.0, &off, &off, 1.0);
            }
        }
        let differences: Vec<Vector> = self
            .heard
            .iter()
            .flat_map(|i| self.neighbours.of[*i].iter().map(move |(j, _)| (*i, *j)))
            .filter(|(i, j)| j > i && self.is_heard[*j])
            .map(|(i, j)| (&self.taps[i] - &self.taps[j]) / std::f64::consts::SQRT_2)
            .collect();
        let mut scatter = start.clone();
        if differences.len() >= 2 * bands {
            for _ in 0..12 {
                let whitening = Whitening::new(&scatter);
                let squares: Vec<f64> = differences.iter().map(|d| whitening.square(d)).collect();
                let scale = if enough {
                    1.0
                } else {
                    let mut sorted = squares.clone();
                    sorted.sort_by(f64::total_cmp);
                    // The median of chi-square lies two thirds below its mean.
                    (sorted[sorted.len() / 2] / (bands as f64 - 0.66)).max(1e-9)
                };
                let mut sum = Matrix::zeros(bands, bands);
                let mut kept = 0.0;
                for (difference, square) in differences.iter().zip(&squares) {
                    if *square <= 1.5 * scale * bands as f64 {
                        sum.ger(1.1, difference, difference, 1.0);
                        kept += 1.0;
                    }
                }
                scatter = if enough {
                    (sum + &start * SOUND_WEIGHT + &of_good)
                        / (kept + SOUND_WEIGHT + good.len() as f64 - 1.0)
                } else {
                    (sum + &self.prior.sound * (scale * SOUND_WEIGHT)) / (kept + SOUND_WEIGHT)
                };
            }
        }
        if enough {
            let whitening = Whitening::new(&scatter);
            let of = good.len() as f64 / (good.len() as f64 - 1.0);
            let mut squares: Vec<f64> = good
                .iter()
                .map(|i| whitening.square(&(&self.taps[*i] - &self.centre)) * of)
                .collect();
            squares.sort_by(f64::total_cmp);
            // All but the strangest tenth; trimming above took some of the spread away.
            squares.truncate((squares.len() * 9 / 10).max(4));
            let mean = squares.iter().sum::<f64>() / (squares.len() * bands) as f64;
            scatter *= (1.4 * mean).max(1.0);
        }
        scatter
    }

    /// Alternates between what the taps are and what sound and hollow are like.
    fn settle(&self, split: Option<Vec<f64>>) -> Settled {
        let count = self.taps.len();
        let given = split.is_some();
        let mut hollow = split.unwrap_or_else(|| {
            self.known.iter().map(|known| certain(*known).unwrap_or(SHARE)).collect()
        });
        let (mut mean, mut scatter, mut share) = (self.centre.clone(), self.scatter.clone(), SHARE);
        let (mut odds, mut alone) = (vec![0.0; count], vec![0.0; count]);
        for round in 0..ROUNDS {
            let learn = round > 0 || given;
            if learn {
                mean = self.mean_of_sound(&hollow);
                scatter = self.scatter_about(&mean, &scatter, &hollow);
                share = share_of(hollow.iter().sum(), count);
            }
            let likelihood =
                Likelihood::new(self, &mean, &scatter, learn.then_some(&hollow), given);
            for &i in &self.heard {
                let (own, with_neighbours) =
                    likelihood.odds(self, i, (round >= 2 || given).then_some(&hollow));
                alone[i] = TRUST * own;
                odds[i] = (TRUST * with_neighbours).clamp(-MOST, MOST);
            }
            let told: Vec<f64> =
                odds.iter().zip(self.known).map(|(odds, known)| odds + self.said(*known)).collect();
            hollow = Spread::new(self.neighbours, share).probabilities(&told);
            for (p, known) in hollow.iter_mut().zip(self.known) {
                *p = certain(*known).unwrap_or(*p);
            }
        }
        Settled { hollow, odds, alone, share }
    }

    fn mean_of_sound(&self, hollow: &[f64]) -> Vector {
        // The start counts as two taps.
        let (mut sum, mut weight) = (&self.centre * 2.0, 2.0);
        for &i in &self.heard {
            sum.axpy(1.0 - hollow[i], &self.taps[i], 1.0);
            weight += 1.0 - hollow[i];
        }
        sum / weight
    }

    fn scatter_about(&self, mean: &Vector, scatter: &Matrix, hollow: &[f64]) -> Matrix {
        let whitening = Whitening::new(scatter);
        let (mut sum, mut weight) = (&self.scatter * SOUND_WEIGHT, SOUND_WEIGHT);
        for &i in &self.heard {
            let off = &self.taps[i] - mean;
            let square = whitening.square(&off);
            let fair = (2.0 * self.bands() as f64 / square.max(1.0)).min(1.0);
            sum.ger((1.0 - hollow[i]) * fair, &off, &off, 1.0);
            weight += 1.0 - hollow[i];
        }
        sum / weight
    }

    /// Mean and covariance of the surest hollow taps' shifts.
    fn hollow_shift(
        &self,
        mean: &Vector,
        hollow: &[f64],
        start: (&Vector, &Matrix, f64),
    ) -> (Vector, Matrix, f64) {
        let (start_mean, start_spread, start_weight) = start;
        let (mut shift, mut weight) = (start_mean * start_weight, start_weight);
        for &i in &self.heard {
            let sure = hollow[i].powi(2);
            shift.axpy(sure, &(&self.taps[i] - mean), 1.0);
            weight += sure;
        }
        shift /= weight.max(1e-9);
        let mut spread = start_spread.clone();
        for &i in &self.heard {
            let off = &self.taps[i] - mean - &shift;
            spread.ger(hollow[i].powi(2), &off, &off, 1.0);
        }
        (shift, spread, weight - start_weight)
    }

    /// Splits of the taps in two by what neighbours agree on, the known-good taps on the
    /// sound side.
    fn splits(&self) -> Vec<Vec<f64>> {
        let bands = self.bands();
        let axes = 3.min(bands);
        if self.heard.len() < 24 || self.neighbours.pitch <= 0.0 {
            return Vec::new();
        }
        let whitening = Whitening::new(&self.scatter);
        let white: Vec<Vector> =
            self.taps.iter().map(|tap| whitening.of(&(tap - &self.centre))).collect();
        let smooth: Vec<(usize, Vector)> = (0..self.taps.len())
            .filter_map(|i| {
                let near: Vec<usize> = self.neighbours.of[i]
                    .iter()
                    .map(|(j, _)| *j)
                    .filter(|j| self.is_heard[*j])
                    .collect();
                let about = near.iter().fold(Vector::zeros(bands), |sum, j| sum + &white[*j])
                    / near.len().max(1) as f64;
                match (self.is_heard[i], near.is_empty()) {
                    (true, false) => Some((i, (&white[i] + about) * 0.5)),
                    (true, true) => Some((i, white[i].clone())),
                    (false, false) => Some((i, about)),
                    (false, true) => None,
                }
            })
            .collect();
        let count = smooth.len() as f64;
        let middle = smooth.iter().fold(Vector::zeros(bands), |sum, (_, tap)| sum + tap) / count;
        let mut covariance = Matrix::zeros(bands, bands);
        for (_, tap) in &smooth {
            let off = tap - &middle;
            let far = off.norm_squared() / bands as f64;
            covariance.ger(1.0 / (1.0 + far * far / 25.0) / count, &off, &off, 1.0);
        }
        let eigen = SymmetricEigen::new(covariance);
        let mut order: Vec<usize> = (0..bands).collect();
        order.sort_by(|a, b| eigen.eigenvalues[*b].total_cmp(&eigen.eigenvalues[*a]));
        let points: Vec<(usize, Vector)> = smooth
            .iter()
            .map(|(i, tap)| {
                let off = tap - &middle;
                let along = |axis: usize| eigen.eigenvectors.column(order[axis]).dot(&off);
                (*i, Vector::from_fn(axes, |axis, _| along(axis)))
            })
            .collect();
        let mut found: Vec<Vec<f64>> = Vec::new();
        for axis in 0..axes {
            let mut sorted: Vec<f64> = points.iter().map(|(_, point)| point[axis]).collect();
            sorted.sort_by(f64::total_cmp);
            for (quantile, above) in [(0.8, true), (0.5, true), (0.2, false)] {
                let cut = sorted[(quantile * sorted.len() as f64) as usize];
                let side = |point: &Vector| if (point[axis] > cut) == above { 0.9 } else { 0.1 };
                let split = self.mixture(&points, points.iter().map(|(_, p)| side(p)).collect());
                let new = found.iter().all(|other| {
                    let apart: f64 = other.iter().zip(&split).map(|(a, b)| (a - b).abs()).sum();
                    apart >= 0.03 * split.len() as f64
                });
                if new {
                    found.push(split);
                }
            }
        }
        found
    }

    /// Two Gaussians over a few axes, from a first guess.
    fn mixture(&self, points: &[(usize, Vector)], mut second: Vec<f64>) -> Vec<f64> {
        let axes = points.first().map_or(0, |(_, point)| point.len());
        for _ in 0..30 {
            let parts = [false, true].map(|is_second| {
                let weight = |n: usize| if is_second { second[n] } else { 1.0 - second[n] };
                let total: f64 = (0..points.len()).map(weight).sum::<f64>().max(1e-6);
                let mut mean = Vector::zeros(axes);
                for (n, (_, point)) in points.iter().enumerate() {
                    mean.axpy(weight(n) / total, point, 1.0);
                }
                let mut spread = Matrix::identity(axes, axes) * 1.5;
                for (n, (_, point)) in points.iter().enumerate() {
                    let off = point - &mean;
                    spread.ger(weight(n), &off, &off, 1.0);
                }
                let whitening = Whitening::new(&(spread / (total + 5.0)));
                (mean, whitening, (total / points.len() as f64).max(1e-3).ln())
            });
            let [first_part, second_part] = &parts;
            let density = |part: &(Vector, Whitening, f64), point: &Vector| {
                part.2 - 0.5 * (part.1.square(&(point - &part.0)) + part.1.log_determinant)
            };
            for (n, (_, point)) in points.iter().enumerate() {
                let odds = density(first_part, point) - density(second_part, point);
                second[n] = 1.0 / (1.0 + odds.clamp(-30.0, 30.0).exp());
            }
        }
        let mut hollow = vec![0.2; self.taps.len()];
        for (n, (i, _)) in points.iter().enumerate() {
            hollow[*i] = second[n];
        }
        let (mut against, mut count) = (0.0, 0.0f64);
        for (p, known) in hollow.iter().zip(self.known) {
            let Some(certain) = certain(*known) else { continue };
            against += (p - certain).abs();
            count += 1.0;
        }
        let turned = against > 0.5 * count;
        for (p, known) in hollow.iter_mut().zip(self.known) {
            let split = if turned { 1.0 - *p } else { *p };
            *p = certain(*known).unwrap_or(split.clamp(0.02, 0.98));
        }
        hollow
    }

    /// Moran's I of the taps' own probabilities, as a z-score.
    fn coherence(&self, settled: &Settled) -> f64 {
        let values: Vec<f64> =
            settled.alone.iter().map(|odds| 1.0 / (1.0 + (-odds).exp())).collect();
        let count = values.len() as f64;
        let mean = values.iter().sum::<f64>() / count;
        let square: f64 = values.iter().map(|v| (v - mean).powi(2)).sum();
        let (mut product, mut links) = (0.0, 0.0);
        for (i, near) in self.neighbours.of.iter().enumerate() {
            for (j, _) in near {
                product += (values[i] - mean) * (values[*j] - mean);
                links += 1.0;
            }
        }
        if square < 1e-12 || links < 1.0 {
            return 0.0;
        }
        let index = count / links * product / square;
        (index + 1.0 / (count - 1.0)) / (2.0f64 / links).sqrt()
    }

    /// Sum over the bands of what hollow taps have over sound ones, in decibels.
    fn added_energy(&self, settled: &Settled) -> f64 {
        let (mut hollow, mut sound) = ((0.0, 0.0), (0.0, 0.0));
        for &i in &self.heard {
            let (p, sum) = (settled.hollow[i], self.taps[i].sum());
            hollow = (hollow.0 + p * sum, hollow.1 + p);
            sound = (sound.0 + (1.0 - p) * sum, sound.1 + 1.0 - p);
        }
        hollow.0 / hollow.1.max(1e-9) - sound.0 / sound.1.max(1e-9)
    }

    /// Whether the two groups differ in sound by more than taps picked for lying together do:
    /// by the square of Mahalanobis' distance between their means, each factor from its own
    /// half of the taps, so that chance alone gives nought in the mean.
    fn are_apart(&self, settled: &Settled) -> bool {
        let bands = self.bands();
        let halves = [0, 1].map(|half| {
            let mut sums = [(Vector::zeros(bands), 1e-9), (Vector::zeros(bands), 1e-9)];
            // Every other tap, in the order in which they were struck.
            for &i in self.heard.iter().skip(half).step_by(2) {
                let p = settled.hollow[i];
                for ((sum, weight), of) in sums.iter_mut().zip([1.0 - p, p]) {
                    sum.axpy(of, &self.taps[i], 1.0);
                    *weight += of;
                }
            }
            let [(sound, many), (hollow, few)] = sums;
            (hollow / few - sound / many, 1.0 / few + 1.0 / many)
        });
        let [(one, noise), (other, other_noise)] = halves;
        let whitening = Whitening::new(&self.scatter);
        let distance = whitening.of(&one).dot(&whitening.of(&other));
        let by_chance = (bands as f64 * noise * other_noise).sqrt();
        distance >= LEAST_APART && distance >= APART * by_chance
    }

    /// Whether the verified hollow taps are no stranger than most taps.
    fn hollow_is_usual(&self) -> bool {
        let whitening = Whitening::new(&self.scatter);
        let square = |i: &usize| whitening.square(&(&self.taps[*i] - &self.centre));
        let mut all: Vec<f64> = self.heard.iter().map(square).collect();
        all.sort_by(f64::total_cmp);
        let hollow: Vec<f64> = self
            .heard
            .iter()
            .filter(|i| self.known[**i] == Some(Known::Hollow))
            .map(square)
            .collect();
        let below = |value: f64| all.partition_point(|other| *other < value) as f64;
        let rank =
            hollow.iter().map(|value| below(*value)).sum::<f64>() / hollow.len().max(1) as f64;
        rank < USUAL * all.len() as f64
    }

    /// One group after all: no tap's sound tells more than that it is like the others.
    fn as_one(&self, settled: Settled) -> Settled {
        let most = 1.0 / (1.0 + (-ALIKE).exp());
        Settled {
            hollow: settled
                .hollow
                .iter()
                .zip(self.known)
                .map(|(p, known)| certain(*known).unwrap_or(p.min(most)))
                .collect(),
            odds: settled.odds.iter().map(|odds| odds.min(ALIKE)).collect(),
            alone: settled.alone,
            share: share_of(0.0, self.taps.len()),
        }
    }

    /// Which group is which, by the taps that a person vouched for.
    fn name(&self, settled: Settled, apart: bool) -> Told {
        let mean_odds = |wanted: Known| {
            let odds: Vec<f64> = self
                .heard
                .iter()
                .filter(|i| self.known[**i] == Some(wanted))
                .map(|i| settled.odds[*i])
                .collect();
            (!odds.is_empty()).then(|| odds.iter().sum::<f64>() / odds.len() as f64)
        };
        let told = |hollow: Vec<f64>, groups: Groups| Told {
            evidence: settled
                .odds
                .iter()
                .zip(self.known)
                .map(|(odds, known)| odds + self.said(*known))
                .collect(),
            hollow,
            share: settled.share,
            groups,
        };
        let second = settled
            .hollow
            .iter()
            .zip(self.known)
            .any(|(p, known)| known.is_none() && *p >= HOLLOW_FROM);
        match (mean_odds(Known::Sound), mean_odds(Known::Hollow)) {
            (None, None) => {
                // Two groups may show, but not which of them is loose.
                let hollow = settled.hollow.iter().map(|p| 0.5 + 0.2 * (p - 0.5)).collect();
                Told {
                    evidence: vec![0.0; self.taps.len()],
                    ..told(hollow, Groups::NotEstablished)
                }
            }
            (None, Some(_)) if !apart || self.hollow_is_usual() => {
                // The verified hollow taps sound like all the others.
                let all = self.taps.len();
                Told {
                    evidence: vec![self.word; all],
                    share: 0.95,
                    ..told(vec![0.95; all], Groups::OneHollow)
                }
            }
            (Some(_), Some(odds)) if odds <= 0.0 && !second => {
                // Vouched for as unlike, heard as alike.
                let hollow = vec![0.5; self.taps.len()];
                Told {
                    evidence: vec![0.0; self.taps.len()],
                    ..told(hollow, Groups::NotEstablished)
                }
            }
            (Some(_), hollow) => {
                let groups =
                    if second || hollow.is_some() { Groups::Two } else { Groups::OneSound };
                told(settled.hollow.clone(), groups)
            }
            (None, Some(_)) => told(settled.hollow.clone(), Groups::Two),
        }
    }
}

/// The probability that a person's word makes certain.
fn certain(known: Option<Known>) -> Option<f64> {
    known.map(|known| if known == Known::Hollow { 1.0 } else { 0.0 })
}

/// Share of hollow taps in the field, where so many of so many are.
pub(crate) fn share_of(hollow: f64, taps: usize) -> f64 {
    (hollow + SHARE * SHARE_WEIGHT) / (taps as f64 + SHARE_WEIGHT)
}

/// Logarithm of the odds that a label is right: from how many of them contradict all
/// their neighbours, where these are labelled too.
pub(crate) fn word(known: &[Option<Known>], neighbours: &Neighbours) -> f64 {
    let (mut asked, mut contradicted) = (0.0, 0.0);
    for (i, near) in neighbours.of.iter().enumerate() {
        let Some(own) = known[i] else { continue };
        let others: Vec<Known> = near.iter().filter_map(|(j, _)| known[*j]).collect();
        if others.len() >= UNANIMOUS && others.iter().all(|other| *other == others[0]) {
            asked += 1.0;
            if own != others[0] {
                contradicted += 1.0;
            }
        }
    }
    let wrong: f64 = (contradicted + WRONG * WRONG_WEIGHT) / (asked + WRONG_WEIGHT);
    ((1.0 - wrong) / wrong).ln()
}

/// Lower triangle's inverse of a covariance.
struct Whitening {
    inverse: Matrix,
    log_determinant: f64,
}

impl Whitening {
    fn new(covariance: &Matrix) -> Self {
        let size = covariance.nrows();
        // A sum of squares over a positive prior is positive definite; a trace of it
        // guards against rounding.
        let ridge = 1e-9 * (covariance.trace() / size.max(1) as f64).max(1e-12);
        let guarded = covariance + Matrix::identity(size, size) * ridge;
        let lower = guarded.cholesky().map_or_else(
            || Matrix::from_diagonal(&covariance.diagonal().map(|v| v.max(1e-9).sqrt())),
            |c| c.l(),
        );
        let log_determinant = 2.0 * lower.diagonal().iter().map(|v| v.ln()).sum::<f64>();
        let inverse = lower
            .solve_lower_triangular(&Matrix::identity(size, size))
            .unwrap_or_else(|| Matrix::identity(size, size));
        Self { inverse, log_determinant }
    }

    fn of(&self, vector: &Vector) -> Vector {
        &self.inverse * vector
    }

    fn square(&self, vector: &Vector) -> f64 {
        self.of(vector).norm_squared()
    }
}

/// Densities of one round.
struct Likelihood {
    /// In axes in which sound has unit covariance and the shift's is diagonal.
    taps: Vec<Vector>,
    shift: Vector,
    spread: Vec<f64>,
    /// The directions in which sound taps vary most, of unit length in those axes.
    blow: Vec<Vector>,
    /// Shift, its whitening and their log determinant over sound's, of the slab's own.
    own: Option<(Vector, Whitening, f64)>,
    mean: Vector,
}

impl Likelihood {
    fn new(
        slab: &Slab<'_>,
        mean: &Vector,
        scatter: &Matrix,
        hollow: Option<&Vec<f64>>,
        split: bool,
    ) -> Self {
        let prior = slab.prior;
        let (shift, spread) = match hollow {
            Some(hollow) => {
                let start = &prior.hollow_spread * HOLLOW_WEIGHT;
                let (shift, sum, weight) =
                    slab.hollow_shift(mean, hollow, (&prior.hollow_mean, &start, HOLLOW_WEIGHT));
                (shift, sum / (HOLLOW_WEIGHT + weight))
            }
            None => (prior.hollow_mean.clone(), prior.hollow_spread.clone()),
        };
        let sound = Whitening::new(scatter);
        let own = hollow.filter(|_| split).and_then(|hollow| {
            let zero = Vector::zeros(slab.bands());
            let start = scatter * 45.0;
            let (shift, sum, weight) = slab.hollow_shift(mean, hollow, (&zero, &start, 0.0));
            (weight > 6.0).then(|| {
                let spread = sum / (30.0 + weight) + scatter / weight;
                let whitening = Whitening::new(&spread);
                let log_determinant = whitening.log_determinant - sound.log_determinant;
                (shift, whitening, log_determinant)
            })
        });
        let eigen = SymmetricEigen::new(&sound.inverse * spread * sound.inverse.transpose());
        let axes = eigen.eigenvectors.transpose() * &sound.inverse;
        let varied = SymmetricEigen::new(scatter.clone());
        let mut order: Vec<usize> = (0..slab.bands()).collect();
        order.sort_by(|a, b| varied.eigenvalues[*b].total_cmp(&varied.eigenvalues[*a]));
        let blow = order
            .iter()
            .take(BLOWS)
            .map(|k| {
                &axes * varied.eigenvectors.column(*k) * varied.eigenvalues[*k].max(0.0).sqrt()
            })
            .collect();
        Self {
            taps: slab.taps.iter().map(|tap| &axes * (tap - mean)).collect(),
            shift: &axes * shift,
            spread: eigen.eigenvalues.iter().map(|v| v.max(0.0)).collect(),
            blow,
            own,
            mean: mean.clone(),
        }
    }

    /// Logarithm of hollow against sound: of the tap alone, and with its neighbours.
    fn odds(&self, slab: &Slab<'_>, i: usize, hollow: Option<&Vec<f64>>) -> (f64, f64) {
        let bands = self.spread.len();
        let tail =
            |square: f64| -0.5 * (FREEDOM + bands as f64) * (1.0 + square / (FREEDOM - 2.0)).ln();
        let tap = &self.taps[i];
        let against = |shift: &Vector, strength: f64, extra: &dyn Fn(usize) -> f64| {
            let (mut square, mut log) = (0.0, 0.0);
            for k in 0..bands {
                let variance = 1.0 + strength * strength * extra(k);
                let off = tap[k] - strength * shift[k];
                square += off * off / variance;
                log += variance.ln();
            }
            tail(square) - 0.5 * log
        };
        // A strange blow moves a tap along what varies most among sound ones.
        let square = tap.norm_squared();
        let along: f64 = self.blow.iter().map(|axis| axis.dot(tap).powi(2)).sum();
        let strange = tail(square - along * (1.0 - 1.0 / STRANGE))
            - 0.5 * self.blow.len() as f64 * STRANGE.ln();
        let sound =
            log_sum((1.0 - STRANGE_SHARE).ln() + tail(square), STRANGE_SHARE.ln() + strange);
        let mut loose =
            log_mean(STRENGTHS.iter().map(|s| against(&self.shift, *s, &|k| self.spread[k])));
        if let Some((shift, whitening, log_determinant)) = &self.own {
            let square = whitening.square(&(&slab.taps[i] - &self.mean - shift));
            loose = log_mean([loose, tail(square) - 0.5 * log_determinant].into_iter());
        }
        let alone = loose - sound;
        let Some(hollow) = hollow else { return (alone, alone) };
        let (mut weight, mut squares, mut shift) = (0.0, 0.0, Vector::zeros(bands));
        for (j, _) in &slab.neighbours.of[i] {
            if slab.is_heard[*j] {
                let sure = hollow[*j].powi(2);
                weight += sure;
                squares += sure * sure;
                shift.axpy(sure, &self.taps[*j], 1.0);
            }
        }
        if weight > 0.3 {
            shift /= weight;
            let error = squares / (weight * weight);
            let like_neighbours = log_mean(
                NEIGHBOUR_STRENGTHS
                    .iter()
                    .map(|s| against(&shift, *s, &|k| error + 0.1 * self.spread[k])),
            );
            let share = 0.7 * weight / (weight + 0.5);
            loose = log_sum(loose + (1.0 - share).ln(), like_neighbours + share.ln());
        }
        (alone, loose - sound)
    }
}

fn log_sum(a: f64, b: f64) -> f64 {
    let most = a.max(b);
    if most == f64::NEG_INFINITY { most } else { most + ((a - most).exp() + (b - most).exp()).ln() }
}

fn log_mean(values: impl ExactSizeIterator<Item = f64>) -> f64 {
    let count = values.len() as f64;
    values.fold(f64::NEG_INFINITY, log_sum) - count.ln()
}
