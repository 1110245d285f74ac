//! What a few counts and measurements add to what was believed before: conjugate Bayes.
//! Rates are believed in their natural logarithm; the caller takes it.
//!
//! Formulas: Gelman and others, Bayesian Data Analysis; Murphy, Conjugate Bayesian analysis
//! of the Gaussian distribution (from memory; worked values in the tests are computed).

use statrs::distribution::{Beta, ContinuousCDF as _, StudentsT};

use crate::quantity::Fraction;

/// A normal belief about a mean, where the spread of single values is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NormalBelief {
    /// Its middle.
    pub mean: f64,
    /// How sure it is.
    pub standard_deviation: f64,
}

impl NormalBelief {
    /// With values seen whose own standard deviation is `spread`.
    #[must_use]
    pub fn updated(self, values: &[f64], spread: f64) -> Self {
        let (before, each) = (self.standard_deviation.powi(-2), spread.powi(-2));
        let precision = before + each * values.len() as f64;
        Self {
            mean: (self.mean * before + values.iter().sum::<f64>() * each) / precision,
            standard_deviation: precision.sqrt().recip(),
        }
    }

    /// Standard deviation of the next single value.
    #[must_use]
    pub fn predictive(self, spread: f64) -> f64 {
        self.standard_deviation.hypot(spread)
    }
}

/// A belief about mean and spread together (normal, inverse gamma).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpreadBelief {
    /// Middle of the mean.
    pub mean: f64,
    /// How many values the mean is worth.
    pub weight: f64,
    /// Shape of the variance.
    pub shape: f64,
    /// Scale of the variance.
    pub scale: f64,
}

impl SpreadBelief {
    /// With values seen.
    #[must_use]
    pub fn updated(self, values: &[f64]) -> Self {
        let count = values.len() as f64;
        if values.is_empty() {
            return self;
        }
        let mean = values.iter().sum::<f64>() / count;
        let squares: f64 = values.iter().map(|value| (value - mean).powi(2)).sum();
        let weight = self.weight + count;
        let apart = (mean - self.mean).powi(2);
        Self {
            mean: (self.weight * self.mean + count * mean) / weight,
            weight,
            shape: self.shape + count / 2.0,
            scale: self.scale + squares / 2.0 + self.weight * count * apart / (2.0 * weight),
        }
    }

    /// The value that a share of next single values stays below (Student's t); `None`
    /// where the belief is none.
    #[must_use]
    pub fn predictive_quantile(self, p: Fraction) -> Option<f64> {
        let variance = self.scale * (self.weight + 1.0) / (self.shape * self.weight);
        let next = StudentsT::new(self.mean, variance.sqrt(), 2.0 * self.shape).ok()?;
        Some(next.inverse_cdf(p.ratio()))
    }
}

/// A belief about a share.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShareBelief {
    /// Cases for it, seen or believed.
    pub for_it: f64,
    /// Cases against it.
    pub against: f64,
}

impl ShareBelief {
    /// With so many of so many seen.
    #[must_use]
    pub fn updated(self, found: u32, of: u32) -> Self {
        let found = f64::from(found.min(of));
        Self { for_it: self.for_it + found, against: self.against + f64::from(of) - found }
    }

    /// Its mean.
    #[must_use]
    pub fn mean(self) -> Fraction {
        Fraction::new(self.for_it / (self.for_it + self.against))
    }

    /// The share that it lies below with this probability; `None` where it is no belief.
    #[must_use]
    pub fn quantile(self, p: Fraction) -> Option<Fraction> {
        let share = Beta::new(self.for_it, self.against).ok()?;
        Some(Fraction::new(share.inverse_cdf(p.ratio())))
    }
}

#[cfg(test)]
mod tests {
    #![expect(clippy::unwrap_used, reason = "fixed beliefs")]
    use super::*;

    fn near(got: f64, wanted: f64, within: f64) {
        assert!((got - wanted).abs() <= within, "{got}, not {wanted}");
    }

    fn rates() -> Vec<f64> {
        [82.0, 75.0, 90.0].map(f64::ln).to_vec()
    }

    /// Source: computed apart: prior median 100 ft²/h, 0.30; spread 0.20; 82, 75, 90 seen.
    #[test]
    fn three_days_of_work_pull_the_rate_down() {
        let prior = NormalBelief { mean: 100f64.ln(), standard_deviation: 0.30 };
        let now = prior.updated(&rates(), 0.20);
        near(now.mean, 4.433_446, 1e-6);
        near(now.standard_deviation, 0.107_763, 1e-6);
        near(now.mean.exp(), 84.2212, 1e-4);
        near(now.predictive(0.20), 0.227_185, 1e-6);
        let z = 1.644_853_627 * now.predictive(0.20);
        near((now.mean - z).exp(), 57.960, 1e-3);
        near((now.mean + z).exp(), 122.380, 1e-3);
    }

    /// Source: computed apart: normal-inverse-gamma with mean ln 100, 1, 2, 0.08.
    #[test]
    fn an_unknown_spread_gives_wider_tails() {
        let prior = SpreadBelief { mean: 100f64.ln(), weight: 1.0, shape: 2.0, scale: 0.08 };
        let now = prior.updated(&rates());
        near(now.mean, 4.457_297, 1e-6);
        near(now.scale, 0.102_889, 1e-6);
        let at = |p| now.predictive_quantile(Fraction::new(p)).unwrap().exp();
        near(at(0.05), 59.987, 2e-3);
        near(at(0.5), 86.254, 1e-3);
        near(at(0.95), 124.024, 2e-3);
    }

    /// Source: computed apart: Beta(1, 9) and 7 of 20 give Beta(8, 22).
    #[test]
    fn seven_hollow_of_twenty_are_a_quarter() {
        let now = ShareBelief { for_it: 1.0, against: 9.0 }.updated(7, 20);
        near(now.mean().ratio(), 0.266_67, 1e-5);
        near(now.quantile(Fraction::new(0.05)).unwrap().ratio(), 0.145_32, 1e-5);
        near(now.quantile(Fraction::new(0.95)).unwrap().ratio(), 0.405_97, 1e-5);
    }
}
