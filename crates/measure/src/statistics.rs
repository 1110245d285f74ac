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

    /// The value that a share `p` of draws stays below.
    #[must_use]
    pub fn quantile(self, p: Fraction) -> f64 {
        let span = self.high - self.low;
        if span <= 0.0 {
            return self.likely;
        }
        let alpha = 1.0 + 4.0 * (self.likely - self.low) / span;
        let beta = 1.0 + 4.0 * (self.high - self.likely) / span;
        Beta::new(alpha, beta).map_or(self.likely, |b| self.low + span * b.inverse_cdf(p.ratio()))
    }
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
