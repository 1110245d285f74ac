//! From what the camera made of greys to the greys themselves.
//!
//! With x the logarithm of a channel's linear value and y that of what the surface sends back:
//! y = αc + β x + δ x², β and δ common to the channels, αc each channel's own: exposure and
//! white balance are in αc, the camera's curve in β and δ.

use super::{Matrix, inverse};

/// A grey as the camera saw it (x) and as it is (y), channel by channel.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sample {
    pub(super) x: [f64; 3],
    pub(super) y: [f64; 3],
    pub(super) weight: f64,
}

/// The fitted curve, and how far greys lie off it.
#[derive(Debug, Clone)]
pub(super) struct Tone {
    alpha: [f64; 3],
    beta: f64,
    delta: f64,
    /// Standard deviation of what all channels have in common, and of what each has apart.
    pub(super) common: f64,
    pub(super) apart: f64,
    /// Inverse of the sums over (1, x, x²).
    design: Matrix,
    weight: f64,
    /// The mean x of the darkest and of the lightest grey.
    pub(super) range: [f64; 2],
    /// Samples that count for less than half: glare or dirt on a patch.
    pub(super) set_aside: Vec<usize>,
}

/// Half a step of 8 bits at usual brightness: no residual is known to be smaller.
const FLOOR: [f64; 2] = [0.004, 0.002];
/// Residuals above so many standard deviations count less (Huber).
const BEND: f64 = 1.5;

impl Tone {
    /// The robust fit; `None` where the curve would not rise from the darkest to the lightest.
    pub(super) fn fit(samples: &[Sample], curved: bool) -> Option<Self> {
        let mut robust: Vec<f64> = vec![1.0; samples.len()];
        let mut fitted = Self::weighted(samples, &robust, curved)?;
        for _ in 0..25 {
            let sizes: Vec<f64> = samples.iter().map(|sample| fitted.size(sample)).collect();
            let scale = (1.4826 * median(&sizes)).max(0.006);
            for (weight, size) in robust.iter_mut().zip(&sizes) {
                *weight = (BEND * scale / size.max(1e-12)).min(1.0);
            }
            fitted = Self::weighted(samples, &robust, curved)?;
        }
        fitted.set_aside = (0..samples.len()).filter(|at| robust[*at] < 0.5).collect();
        let rises = fitted.range.iter().all(|x| fitted.slope(*x) > 0.1);
        if rises {
            Some(fitted)
        } else if curved {
            Self::fit(samples, false)
        } else {
            None
        }
    }

    fn weighted(samples: &[Sample], robust: &[f64], curved: bool) -> Option<Self> {
        let weights: Vec<f64> =
            samples.iter().zip(robust).map(|(sample, robust)| sample.weight * robust).collect();
        let total: f64 = weights.iter().sum();
        let mean = |of: &dyn Fn(&Sample) -> f64| {
            samples.iter().zip(&weights).map(|(sample, weight)| weight * of(sample)).sum::<f64>()
                / total
        };
        // Each channel about its own mean: αc falls out of the sums.
        let (mut xx, mut xq, mut qq, mut xy, mut qy) = (0.0, 0.0, 0.0, 0.0, 0.0);
        let mut means = [[0.0; 3]; 3];
        for (channel, means) in means.iter_mut().enumerate() {
            let x0 = mean(&|sample| sample.x[channel]);
            let q0 = mean(&|sample| sample.x[channel].powi(2));
            let y0 = mean(&|sample| sample.y[channel]);
            *means = [x0, q0, y0];
            for (sample, weight) in samples.iter().zip(&weights) {
                let x = sample.x[channel] - x0;
                let q = sample.x[channel].powi(2) - q0;
                let y = sample.y[channel] - y0;
                xx += weight * x * x;
                xq += weight * x * q;
                qq += weight * q * q;
                xy += weight * x * y;
                qy += weight * q * y;
            }
        }
        let determinant = xx * qq - xq * xq;
        let (beta, delta) = if curved && determinant > 1e-9 * xx * qq {
            ((xy * qq - qy * xq) / determinant, (qy * xx - xy * xq) / determinant)
        } else {
            (xy / xx, 0.0)
        };
        let alpha = means.map(|[x0, q0, y0]| y0 - beta * x0 - delta * q0);

        let middle = |sample: &Sample| sample.x.iter().sum::<f64>() / 3.0;
        let mut sums = [[0.0; 3]; 3];
        let (mut darkest, mut lightest) = (f64::INFINITY, f64::NEG_INFINITY);
        for (sample, weight) in samples.iter().zip(&weights) {
            let x = middle(sample);
            (darkest, lightest) = (darkest.min(x), lightest.max(x));
            let powers = [1.0, x, if curved { x * x } else { 0.0 }];
            for (row, left) in sums.iter_mut().zip(powers) {
                for (sum, right) in row.iter_mut().zip(powers) {
                    *sum += weight * left * right;
                }
            }
        }
        if !curved {
            sums[2][2] = f64::MAX.sqrt();
        }
        let mut tone = Self {
            alpha,
            beta,
            delta,
            common: 0.0,
            apart: 0.0,
            design: inverse(&sums),
            weight: total,
            range: [darkest, lightest],
            set_aside: Vec::new(),
        };
        let (mut common, mut apart) = (0.0, 0.0);
        for (sample, weight) in samples.iter().zip(&weights) {
            let (shared, own) = tone.residual(sample);
            common += weight * shared * shared;
            apart += weight * own.iter().map(|one| one * one).sum::<f64>();
        }
        let spent = if curved { 3.0 } else { 2.0 };
        tone.common = (common / (total - spent).max(1.0)).sqrt().max(FLOOR[0]);
        tone.apart = (apart / (2.0 * (total - 1.0)).max(1.0)).sqrt().max(FLOOR[1]);
        let finite = beta.is_finite() && delta.is_finite() && tone.common.is_finite();
        finite.then_some(tone)
    }

    /// y of a channel at x.
    pub(super) fn at(&self, channel: usize, x: f64) -> f64 {
        self.alpha[channel] + self.beta * x + self.delta * x * x
    }

    pub(super) fn slope(&self, x: f64) -> f64 {
        self.beta + 2.0 * self.delta * x
    }

    /// What of a residual all channels share, and what is each one's own.
    fn residual(&self, sample: &Sample) -> (f64, [f64; 3]) {
        let off = [0, 1, 2].map(|channel| sample.y[channel] - self.at(channel, sample.x[channel]));
        let shared = off.iter().sum::<f64>() / 3.0;
        (shared, off.map(|one| one - shared))
    }

    fn size(&self, sample: &Sample) -> f64 {
        let off = [0, 1, 2].map(|channel| sample.y[channel] - self.at(channel, sample.x[channel]));
        (off.iter().map(|one| one * one).sum::<f64>() / 3.0).sqrt()
    }

    /// Covariance of y of the three channels at x. The curve may be off between two greys by as
    /// much as at one (the standard deviation in full); channels that lie apart in x share that
    /// the less.
    pub(super) fn covariance(&self, x: [f64; 3]) -> Matrix {
        let powers = x.map(|x| [1.0, x, x * x]);
        let (common, apart) = (self.common * self.common, self.apart * self.apart);
        let mut covariance = [[0.0; 3]; 3];
        for (row, left) in covariance.iter_mut().zip(0..3) {
            for (of, right) in row.iter_mut().zip(0..3) {
                let mut leverage = 0.0;
                for (i, l) in powers[left].iter().enumerate() {
                    for (j, r) in powers[right].iter().enumerate() {
                        leverage += l * self.design[i][j] * r;
                    }
                }
                *of = common * (leverage + (-(x[left] - x[right]).abs()).exp());
            }
        }
        for (channel, row) in covariance.iter_mut().enumerate() {
            row[channel] += apart * (1.0 + 1.0 / self.weight);
        }
        covariance
    }
}

/// The way from what the camera saw to the greys: through another picture's greys first, where
/// colours of two pictures are compared.
#[derive(Debug, Clone, Copy)]
pub(super) struct Way<'a> {
    pub(super) first: Option<&'a Tone>,
    pub(super) last: &'a Tone,
}

impl Way<'_> {
    fn between(&self, channel: usize, x: f64) -> f64 {
        self.first.map_or(x, |first| first.at(channel, x))
    }

    pub(super) fn at(&self, channel: usize, x: f64) -> f64 {
        self.last.at(channel, self.between(channel, x))
    }

    pub(super) fn slope(&self, channel: usize, x: f64) -> f64 {
        let first = self.first.map_or(1.0, |first| first.slope(x));
        first * self.last.slope(self.between(channel, x))
    }

    /// Covariance of where it comes out. Between two pictures the last curve is the measure of
    /// both, and no error.
    pub(super) fn covariance(&self, x: [f64; 3]) -> Matrix {
        let Some(first) = self.first else { return self.last.covariance(x) };
        let slopes = [0, 1, 2].map(|channel| self.last.slope(self.between(channel, x[channel])));
        let covariance = first.covariance(x);
        [0, 1, 2].map(|row| {
            [0, 1, 2].map(|column| covariance[row][column] * slopes[row] * slopes[column])
        })
    }
}

/// The middle value; 0 of none.
pub(super) fn median(values: &[f64]) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let at = sorted.len() / 2;
    match sorted.len() {
        0 => 0.0,
        odd if odd % 2 == 1 => sorted[at],
        _ => f64::midpoint(sorted[at - 1], sorted[at]),
    }
}
