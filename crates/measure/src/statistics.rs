//! Distributions and summaries of an estimate. All are dimensionless factors;
//! a quantity is multiplied by a draw.
//!
//! PERT: a beta distribution on [low, high] with shapes
//! 1 + 4 (likely - low)/(high - low) and 1 + 4 (high - likely)/(high - low).
//! Its standard deviation is the beta's own, sqrt((mean - low)(high - mean)/7),
//! not the classic (high - low)/6.

use statrs::distribution::{Beta, ContinuousCDF as _, Normal};

use crate::quantity::{Fraction, Quantity};

/// A number known by its least, likeliest and greatest value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pert {
    low: f64,
    likely: f64,
    high: f64,
}

impl Pert {
    /// `None` unless low ≤ likely ≤ high, all finite.
    #[must_use]
    pub fn new(low: f64, likely: f64, high: f64) -> Option<Self> {
        let ordered = low <= likely && likely <= high;
        (ordered && low.is_finite() && high.is_finite()).then_some(Self { low, likely, high })
    }

    /// (low + 4 likely + high) / 6.
    #[must_use]
    pub fn mean(self) -> f64 {
        (self.low + 4.0 * self.likely + self.high) / 6.0
    }

    /// The beta's own standard deviation.
    #[must_use]
    pub fn standard_deviation(self) -> f64 {
        ((self.mean() - self.low) * (self.high - self.mean()) / 7.0).max(0.0).sqrt()
    }

    /// Range and the beta's two shapes; the range alone where it is nothing.
    fn shapes(self) -> (f64, f64, f64) {
        let span = self.high - self.low;
        if span <= 0.0 {
            return (0.0, 3.0, 3.0);
        }
        let alpha = 1.0 + 4.0 * (self.likely - self.low) / span;
        (span, alpha, 1.0 + 4.0 * (self.high - self.likely) / span)
    }

    /// The value that a share `p` of draws stays below.
    #[must_use]
    pub fn quantile(self, p: Fraction) -> f64 {
        let (span, alpha, beta) = self.shapes();
        if span <= 0.0 {
            return self.likely;
        }
        Beta::new(alpha, beta).map_or(self.likely, |b| self.low + span * b.inverse_cdf(p.ratio()))
    }
}

/// A distribution as a table over normal scores: what takes microseconds to invert takes
/// nanoseconds to look up. Between scores of -4.5 and 4.5 (three draws in a million lie
/// outside and count as the end) it differs from the exact quantile by less than 2e-5 of
/// the range.
#[derive(Debug, Clone, PartialEq)]
pub struct Tabulated {
    values: Vec<f64>,
}

/// Scores of a table: so far to either side, in so many steps.
const REACH: f64 = 4.5;
const STEPS: usize = 1024;

impl Tabulated {
    /// A PERT distribution.
    #[must_use]
    pub fn of_pert(pert: Pert) -> Self {
        // x = low + span (1 - cos t)/2 makes the density smooth at both ends.
        const NODES: usize = 2048;
        let (span, alpha, beta) = pert.shapes();
        let density = |t: f64| {
            let (sin, cos) = (t / 2.0).sin_cos();
            sin.max(0.0).powf(2.0 * alpha - 1.0) * cos.max(0.0).powf(2.0 * beta - 1.0)
        };
        let step = std::f64::consts::PI / NODES as f64;
        // Simpson's rule from node to node.
        let mut below = Vec::with_capacity(NODES + 1);
        let mut sum = 0.0;
        below.push(0.0);
        for node in 0..NODES {
            let from = node as f64 * step;
            sum += density(from) + 4.0 * density(from + step / 2.0) + density(from + step);
            below.push(sum);
        }
        let place = |node: f64| pert.low + span * (1.0 - (node * step).cos()) / 2.0;
        let mut values = Vec::with_capacity(STEPS + 1);
        let mut node = 0;
        let normal = Normal::standard();
        for at in 0..=STEPS {
            let score = REACH * (2.0 * at as f64 / STEPS as f64 - 1.0);
            let wanted = normal.cdf(score) * sum;
            while node + 1 < NODES && below[node + 1] < wanted {
                node += 1;
            }
            let width = below[node + 1] - below[node];
            let share = if width > 0.0 { (wanted - below[node]) / width } else { 0.0 };
            values.push(place(node as f64 + share.clamp(0.0, 1.0)));
        }
        Self { values }
    }

    /// The value at a normal score.
    #[must_use]
    pub fn at_score(&self, score: f64) -> f64 {
        let place = (score.clamp(-REACH, REACH) + REACH) * (STEPS as f64 / (2.0 * REACH));
        let below = (place as usize).min(STEPS - 1);
        let share = place - below as f64;
        self.values[below] + (self.values[below + 1] - self.values[below]) * share
    }
}

/// Half the width, in standard deviations, of normal bounds that hold nine times in ten.
pub const NINE_IN_TEN: f64 = 1.644_853_627;

/// The normal score that a share of draws stays below; `None` at 0 and 1.
#[must_use]
pub fn normal_score(p: Fraction) -> Option<f64> {
    (p.ratio() > 0.0 && p.ratio() < 1.0).then(|| Normal::standard().inverse_cdf(p.ratio()))
}

/// A positive number whose logarithm is normal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LogNormal {
    mu: f64,
    sigma: f64,
}

impl LogNormal {
    /// From the median and the standard deviation of the logarithm;
    /// `None` unless the median is positive and sigma not negative.
    #[must_use]
    pub fn from_median(median: f64, sigma: f64) -> Option<Self> {
        (median > 0.0 && median.is_finite() && sigma >= 0.0 && sigma.is_finite())
            .then(|| Self { mu: median.ln(), sigma })
    }

    /// Standard deviation of the logarithm.
    #[must_use]
    pub fn sigma(self) -> f64 {
        self.sigma
    }

    /// The value that half of the draws stay below.
    #[must_use]
    pub fn median(self) -> f64 {
        self.mu.exp()
    }

    /// exp(mu + sigma²/2).
    #[must_use]
    pub fn mean(self) -> f64 {
        (self.mu + self.sigma * self.sigma / 2.0).exp()
    }

    /// The value that a share `p` of draws stays below.
    #[must_use]
    pub fn quantile(self, p: Fraction) -> f64 {
        (self.mu + self.sigma * standard_normal_quantile(p)).exp()
    }
}

fn standard_normal_quantile(p: Fraction) -> f64 {
    Normal::standard().inverse_cdf(p.ratio())
}

/// Mean of some quantities; `None` of none.
#[must_use]
pub fn mean<Q: Quantity>(values: &[Q]) -> Option<Q> {
    let sum: f64 = values.iter().map(|v| v.si()).sum();
    (!values.is_empty()).then(|| Q::from_si(sum / values.len() as f64))
}

/// Standard deviation with n - 1; `None` of fewer than two.
#[must_use]
pub fn standard_deviation<Q: Quantity>(values: &[Q]) -> Option<f64> {
    let centre = mean(values)?.si();
    let squares: f64 = values.iter().map(|v| (v.si() - centre).powi(2)).sum();
    (values.len() > 1).then(|| (squares / (values.len() - 1) as f64).sqrt())
}

/// The value that a share `p` of sorted values stays below, by linear
/// interpolation between order statistics; `None` of none.
#[must_use]
pub fn quantile<Q: Quantity>(sorted: &[Q], p: Fraction) -> Option<Q> {
    let last = sorted.len().checked_sub(1)?;
    let place = p.ratio().clamp(0.0, 1.0) * last as f64;
    let below = sorted.get(place.floor() as usize)?.si();
    let above = sorted.get(place.ceil() as usize)?.si();
    Some(Q::from_si(below + (above - below) * place.fract()))
}

/// Spearman's rank correlation; ties share their mean rank. 0 when either side
/// does not vary or the lengths differ.
#[must_use]
pub fn rank_correlation(one: &[f64], other: &[f64]) -> f64 {
    if one.len() != other.len() || one.len() < 2 {
        return 0.0;
    }
    let (a, b) = (ranks(one), ranks(other));
    let middle = (one.len() as f64 + 1.0) / 2.0;
    let covariance: f64 = a.iter().zip(&b).map(|(x, y)| (x - middle) * (y - middle)).sum();
    let spread = |r: &[f64]| r.iter().map(|x| (x - middle).powi(2)).sum::<f64>();
    let scale = (spread(&a) * spread(&b)).sqrt();
    if scale > 0.0 { covariance / scale } else { 0.0 }
}

fn ranks(values: &[f64]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|&i, &j| values[i].total_cmp(&values[j]));
    let mut ranks = vec![0.0; values.len()];
    for tied in order.chunk_by(|&i, &j| values[i].total_cmp(&values[j]).is_eq()) {
        let first = order.partition_point(|&i| values[i].total_cmp(&values[tied[0]]).is_lt());
        let shared = first as f64 + (tied.len() as f64 + 1.0) / 2.0;
        for &i in tied {
            ranks[i] = shared;
        }
    }
    ranks
}
