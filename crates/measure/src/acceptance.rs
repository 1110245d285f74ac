//! Statistics that accept or reject a lot: one-sided tolerance factors and the percent
//! within a limit.
//!
//! Tolerance factor: k = t'(γ; n-1, z(p) √n)/√n with the noncentral t distribution (ISO
//! 16269-6), found by integrating over the chi distribution of the standard deviation and
//! bisecting. Percent within limits by the beta form of the unknown-deviation method (FHWA
//! Technical Advisory T 5080.12): 1 - I(x; n/2 - 1, n/2 - 1), x = 1/2 - Q √n/(2(n - 1)).

use statrs::distribution::{ContinuousCDF as _, Normal};
use statrs::function::beta::beta_reg;
use statrs::function::gamma::ln_gamma;

use crate::quantity::Fraction;

/// The factor by which the mean of a sample must lie above a lower limit, in standard
/// deviations, so that with a confidence at least a share of the lot lies above it. `None`
/// of fewer than two, and of shares or confidences that are none.
#[must_use]
pub fn tolerance_factor(count: u32, share: Fraction, confidence: Fraction) -> Option<f64> {
    let between = |p: Fraction| p.ratio() > 0.0 && p.ratio() < 1.0;
    if count < 2 || !between(share) || !between(confidence) {
        return None;
    }
    let n = f64::from(count);
    let shift = Normal::standard().inverse_cdf(share.ratio()) * n.sqrt();
    let (mut low, mut high) = (0.0_f64.min(shift), shift.max(1.0));
    while noncentral_t(high, n - 1.0, shift) < confidence.ratio() {
        high *= 2.0;
    }
    for _ in 0..80 {
        let middle = (low + high) / 2.0;
        if noncentral_t(middle, n - 1.0, shift) < confidence.ratio() {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some((low + high) / 2.0 / n.sqrt())
}

/// P(T <= t) of the noncentral t distribution: the mean of Φ(t s - shift) over s, where
/// s² ν is chi-squared with ν degrees of freedom.
fn noncentral_t(t: f64, freedom: f64, shift: f64) -> f64 {
    let normal = Normal::standard();
    let constant =
        std::f64::consts::LN_2 + freedom / 2.0 * (freedom / 2.0).ln() - ln_gamma(freedom / 2.0);
    let density = |s: f64| {
        if s <= 0.0 {
            return if freedom > 1.0 { 0.0 } else { constant.exp() };
        }
        (constant + (freedom - 1.0) * s.ln() - freedom * s * s / 2.0).exp()
    };
    // Seven deviations round the middle of s hold all of it; few degrees reach to zero.
    let spread = 1.0 / (2.0 * freedom).sqrt();
    let (from, to) = ((1.0 - 9.0 * spread).max(0.0), 1.0 + 9.0 * spread);
    const STEPS: usize = 2000;
    let step = (to - from) / STEPS as f64;
    let value = |at: usize| {
        let s = from + step * at as f64;
        density(s) * normal.cdf(t * s - shift)
    };
    let inner: f64 = (1..STEPS).map(|at| value(at) * if at % 2 == 1 { 4.0 } else { 2.0 }).sum();
    (value(0) + inner + value(STEPS)) * step / 3.0
}

/// The estimated share of a lot above a lower limit, by its quality index (mean less limit,
/// in standard deviations). `None` of fewer than three.
#[must_use]
pub fn share_within(quality_index: f64, count: u32) -> Option<Fraction> {
    if count < 3 || !quality_index.is_finite() {
        return None;
    }
    let n = f64::from(count);
    let x = 0.5 - quality_index * n.sqrt() / (2.0 * (n - 1.0));
    let shape = n / 2.0 - 1.0;
    let outside = match x {
        x if x <= 0.0 => 0.0,
        x if x >= 1.0 => 1.0,
        x => beta_reg(shape, shape, x),
    };
    Some(Fraction::new(1.0 - outside))
}

#[cfg(test)]
mod tests {
    #![expect(clippy::unwrap_used, reason = "fixed counts")]
    use super::*;

    fn factor(count: u32, share: f64, confidence: f64) -> f64 {
        tolerance_factor(count, Fraction::new(share), Fraction::new(confidence)).unwrap()
    }

    /// Source: exact noncentral t, computed apart; n = 10, 0.90, 0.95 → 2.355 as usually
    /// printed. NIST e-Handbook 7.2.6.3 gives 1.8752 for n = 43 by its approximation; exact
    /// is 1.87395.
    #[test]
    fn tolerance_factors_are_those_of_the_tables() {
        for (count, share, confidence, wanted) in [
            (3, 0.90, 0.95, 6.155),
            (3, 0.95, 0.90, 5.311),
            (5, 0.90, 0.95, 3.407),
            (10, 0.90, 0.95, 2.355),
            (10, 0.99, 0.99, 5.074),
            (20, 0.95, 0.90, 2.208),
            (50, 0.90, 0.95, 1.646),
            (100, 0.99, 0.99, 2.850),
            (43, 0.90, 0.99, 1.87395),
            (2, 0.90, 0.95, 20.581),
        ] {
            let got = factor(count, share, confidence);
            assert!(
                (got - wanted).abs() < 1e-3,
                "{count} {share} {confidence}: {got}, not {wanted}"
            );
        }
    }

    /// Source: FHWA Technical Advisory T 5080.12, Table 1B (published, rounded), and exact
    /// values computed apart.
    #[test]
    fn percent_within_limits_is_that_of_the_tables() {
        for (index, count, wanted, within) in [
            (0.76, 3, 72.87, 0.01),
            (0.36, 3, 60.09, 0.01),
            (0.5, 3, 64.25, 0.01),
            (1.0, 3, 83.33, 0.01),
            (0.5, 4, 66.67, 0.01),
            (1.25, 4, 91.67, 0.01),
            (1.5, 5, 96.20, 0.01),
            (1.0, 10, 84.03, 0.01),
            (2.0, 10, 98.83, 0.01),
            (0.955_409, 5, 82.307, 0.001),
        ] {
            let got = share_within(index, count).unwrap().percent();
            assert!((got - wanted).abs() < within, "Q {index}, n {count}: {got}, not {wanted}");
        }
    }
}
