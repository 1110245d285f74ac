//! Filters: second-order sections by the bilinear transform (Butterworth), run sample by
//! sample. Frequencies in hertz inside this crate.

use std::f64::consts::PI;

/// One second-order section, direct form II transposed.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Section {
    b: [f64; 3],
    a: [f64; 2],
    state: [f64; 2],
}

impl Section {
    /// Butterworth high pass of second order.
    pub(crate) fn high_pass(rate: f64, cut: f64) -> Self {
        let (_, norm, a) = prewarped(rate, cut);
        Self { b: [norm, -2.0 * norm, norm], a, state: [0.0; 2] }
    }

    /// Butterworth low pass of second order.
    pub(crate) fn low_pass(rate: f64, cut: f64) -> Self {
        let (k, norm, a) = prewarped(rate, cut);
        let gain = k * k * norm;
        Self { b: [gain, 2.0 * gain, gain], a, state: [0.0; 2] }
    }

    /// A bell of `gain_db` at `centre` with quality `q`.
    pub(crate) fn bell(rate: f64, centre: f64, q: f64, gain_db: f64) -> Self {
        let amplitude = 10f64.powf(gain_db / 40.0);
        let omega = 2.0 * PI * centre / rate;
        let alpha = omega.sin() / (2.0 * q);
        let a0 = 1.0 + alpha / amplitude;
        let cosine = -2.0 * omega.cos() / a0;
        Self {
            b: [(1.0 + alpha * amplitude) / a0, cosine, (1.0 - alpha * amplitude) / a0],
            a: [cosine, (1.0 - alpha / amplitude) / a0],
            state: [0.0; 2],
        }
    }

    /// A decaying sine `e^(−ζωt) sin(ωt)` in answer to an impulse.
    pub(crate) fn resonator(rate: f64, frequency: f64, damping: f64) -> Self {
        let omega = 2.0 * PI * frequency / rate;
        let radius = (-damping * omega).exp();
        Self {
            b: [0.0, radius * omega.sin(), 0.0],
            a: [-2.0 * radius * omega.cos(), radius * radius],
            state: [0.0; 2],
        }
    }

    #[inline]
    pub(crate) fn step(&mut self, x: f64) -> f64 {
        let y = self.b[0] * x + self.state[0];
        self.state[0] = self.b[1] * x - self.a[0] * y + self.state[1];
        self.state[1] = self.b[2] * x - self.a[1] * y;
        y
    }
}

fn prewarped(rate: f64, cut: f64) -> (f64, f64, [f64; 2]) {
    let k = (PI * (cut / rate).min(0.499)).tan();
    let norm = 1.0 / (1.0 + std::f64::consts::SQRT_2 * k + k * k);
    (k, norm, [2.0 * (k * k - 1.0) * norm, (1.0 - std::f64::consts::SQRT_2 * k + k * k) * norm])
}
