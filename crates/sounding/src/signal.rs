//! Filters: second-order sections by the bilinear transform (Butterworth), run sample by
//! sample. Frequencies in hertz inside this crate.

use std::f64::consts::PI;

/// One second-order section, direct form I: of all forms the one whose next output waits
/// least for the last.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Section {
    b: [f64; 3],
    a: [f64; 2],
    /// The last two inputs and outputs.
    x: [f64; 2],
    y: [f64; 2],
}

impl Section {
    /// Butterworth high pass of second order.
    pub(crate) fn high_pass(rate: f64, cut: f64) -> Self {
        let (_, norm, a) = prewarped(rate, cut);
        Self { b: [norm, -2.0 * norm, norm], a, x: [0.0; 2], y: [0.0; 2] }
    }

    /// Butterworth low pass of second order.
    pub(crate) fn low_pass(rate: f64, cut: f64) -> Self {
        let (k, norm, a) = prewarped(rate, cut);
        let gain = k * k * norm;
        Self { b: [gain, 2.0 * gain, gain], a, x: [0.0; 2], y: [0.0; 2] }
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
            x: [0.0; 2],
            y: [0.0; 2],
        }
    }

    /// A decaying sine `e^(−ζωt) sin(ωt)` in answer to an impulse.
    pub(crate) fn resonator(rate: f64, frequency: f64, damping: f64) -> Self {
        let omega = 2.0 * PI * frequency / rate;
        let radius = (-damping * omega).exp();
        Self {
            b: [0.0, radius * omega.sin(), 0.0],
            a: [-2.0 * radius * omega.cos(), radius * radius],
            x: [0.0; 2],
            y: [0.0; 2],
        }
    }

    /// The same section for four signals, at rest.
    pub(crate) fn four(self) -> FourSections {
        FourSections { b: self.b, a: self.a, x: [[0.0; 4]; 2], y: [[0.0; 4]; 2] }
    }

    #[inline]
    pub(crate) fn step(&mut self, x: f64) -> f64 {
        let known =
            self.b[0] * x + self.b[1] * self.x[0] + self.b[2] * self.x[1] - self.a[1] * self.y[1];
        let y = known - self.a[0] * self.y[0];
        self.x = [x, self.x[0]];
        self.y = [y, self.y[0]];
        y
    }
}

/// Four signals through the same second-order section.
#[derive(Debug, Clone, Copy)]
pub(crate) struct FourSections {
    b: [f64; 3],
    a: [f64; 2],
    x: [[f64; 4]; 2],
    y: [[f64; 4]; 2],
}

impl FourSections {
    #[inline]
    pub(crate) fn step(&mut self, x: [f64; 4]) -> [f64; 4] {
        let (b, a) = (self.b, self.a);
        let y = std::array::from_fn(|lane| {
            let known = b[0] * x[lane] + b[1] * self.x[0][lane] + b[2] * self.x[1][lane]
                - a[1] * self.y[1][lane];
            known - a[0] * self.y[0][lane]
        });
        self.x = [x, self.x[0]];
        self.y = [y, self.y[0]];
        y
    }
}

fn prewarped(rate: f64, cut: f64) -> (f64, f64, [f64; 2]) {
    let k = (PI * (cut / rate).min(0.499)).tan();
    let norm = 1.0 / (1.0 + std::f64::consts::SQRT_2 * k + k * k);
    (k, norm, [2.0 * (k * k - 1.0) * norm, (1.0 - std::f64::consts::SQRT_2 * k + k * k) * norm])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// SciPy 1.17: `butter(2, cut, kind, fs=rate, output="sos")`, then `sosfilt` of an
    /// impulse and `sosfreqz`.
    struct Reference {
        rate: f64,
        section: fn(f64) -> Section,
        /// Answers to an impulse at [`AT`].
        impulse: [f64; 10],
        /// Magnitudes at [`HERTZ`].
        magnitude: [f64; 7],
    }

    const AT: [usize; 10] = [0, 1, 2, 3, 4, 5, 10, 20, 40, 100];
    const HERTZ: [f64; 7] = [100.0, 350.0, 700.0, 1400.0, 5000.0, 9000.0, 15_000.0];
    const SCIPY: [Reference; 4] = [
        Reference {
            rate: 48_000.0,
            section: |rate| Section::high_pass(rate, 700.0),
            impulse: [
                0.937260390270,
                -0.121299639173,
                -0.112986991534,
                -0.104794286353,
                -0.096771506742,
                -0.088961221849,
                -0.054138101236,
                -0.009644890379,
                0.008287818675,
                -0.000194969753,
            ],
            magnitude: [
                0.020375962229,
                0.242296013286,
                std::f64::consts::FRAC_1_SQRT_2,
                0.970381737541,
                0.999833666650,
                0.999988917565,
                0.999999559665,
            ],
        },
        Reference {
            rate: 48_000.0,
            section: |rate| Section::low_pass(rate, 9000.0),
            impulse: [
                0.186694333116,
                0.459816572139,
                0.360408240158,
                0.070416082069,
                -0.042984861041,
                -0.034666660531,
                -0.000374365553,
                0.000000283898,
                0.0,
                0.0,
            ],
            magnitude: [
                0.999999995397,
                0.999999308790,
                0.999988917565,
                0.999821227296,
                0.968270493809,
                std::f64::consts::FRAC_1_SQRT_2,
                0.195483288846,
            ],
        },
        Reference {
            rate: 44_100.0,
            section: |rate| Section::high_pass(rate, 700.0),
            impulse: [
                0.931904554765,
                -0.131243163957,
                -0.121412265890,
                -0.111747324682,
                -0.102316245568,
                -0.093175829597,
                -0.053159502185,
                -0.005505515006,
                0.007983810333,
                -0.000087010323,
            ],
            magnitude: [
                0.020370800782,
                0.242251749589,
                std::f64::consts::FRAC_1_SQRT_2,
                0.970425849953,
                0.999838156211,
                0.999990001321,
                0.999999717795,
            ],
        },
        Reference {
            rate: 44_100.0,
            section: |rate| Section::low_pass(rate, 9000.0),
            impulse: [
                0.213207196938,
                0.498723867355,
                0.341418475664,
                0.020047486146,
                -0.058746380954,
                -0.023772620554,
                -0.000468234890,
                -0.000000103354,
                0.0,
                0.0,
            ],
            magnitude: [
                0.999999995849,
                0.999999376627,
                0.999990001321,
                0.999838453986,
                0.970477889863,
                std::f64::consts::FRAC_1_SQRT_2,
                0.165677603396,
            ],
        },
    ];

    fn impulse_response(mut section: Section, count: usize) -> Vec<f64> {
        (0..count).map(|n| section.step(if n == 0 { 1.0 } else { 0.0 })).collect()
    }

    /// Magnitude from the impulse response: its Fourier sum at one frequency.
    fn magnitude(response: &[f64], rate: f64, frequency: f64) -> f64 {
        let (mut real, mut imaginary) = (0.0, 0.0);
        for (n, x) in response.iter().enumerate() {
            let (sine, cosine) = (2.0 * PI * frequency / rate * n as f64).sin_cos();
            real += x * cosine;
            imaginary -= x * sine;
        }
        f64::hypot(real, imaginary)
    }

    #[test]
    fn butterworth_sections_answer_an_impulse_as_scipy_does() {
        for case in &SCIPY {
            let response = impulse_response((case.section)(case.rate), 101);
            for (at, expected) in AT.iter().zip(&case.impulse) {
                let off = (response[*at] - expected).abs();
                assert!(off < 1e-9, "{} Hz, sample {at}: {} {expected}", case.rate, response[*at]);
            }
        }
    }

    #[test]
    fn butterworth_sections_pass_each_frequency_as_scipy_does() {
        for case in &SCIPY {
            let response = impulse_response((case.section)(case.rate), 4096);
            for (frequency, expected) in HERTZ.iter().zip(&case.magnitude) {
                let got = magnitude(&response, case.rate, *frequency);
                assert!((got - expected).abs() < 1e-9, "{frequency} Hz: {got} {expected}");
            }
        }
    }

    #[test]
    fn the_band_of_the_envelope_is_both_sections_one_after_the_other() {
        // SciPy 1.17: sosfilt of the two sections stacked, for x(n) = ((7919 n² + 104729 n)
        // mod 2048 − 1024) / 1024, n < 200: samples 0, 1, 2, 50 and 199, sum of squares.
        let cases = [
            (
                48_000.0,
                [-0.174981203518, -0.581936067478, -0.581643881947, 0.12456608783, -0.125244656052],
                21.5146785678,
            ),
            (
                44_100.0,
                [
                    -0.198688757935,
                    -0.633917558467,
                    -0.564346266681,
                    0.090025779188,
                    -0.118392302623,
                ],
                23.1889201846,
            ),
        ];
        for (rate, expected, energy) in cases {
            let mut high = Section::high_pass(rate, 700.0);
            let mut low = Section::low_pass(rate, 9000.0);
            let heard: Vec<f64> = (0..200i64)
                .map(|n| ((n * n * 7919 + n * 104_729) % 2048 - 1024) as f64 / 1024.0)
                .map(|x| low.step(high.step(x)))
                .collect();
            for (at, expected) in [0, 1, 2, 50, 199].into_iter().zip(expected) {
                assert!((heard[at] - expected).abs() < 1e-9, "{} {expected}", heard[at]);
            }
            let sum: f64 = heard.iter().map(|x| x * x).sum();
            assert!((sum - energy).abs() < 1e-8, "{sum} {energy}");
        }
    }

    #[test]
    fn a_bell_lifts_its_centre_by_its_gain_and_leaves_the_ends() {
        for (centre, q, gain_db) in [(9000.0, 1.2, 3.5), (1000.0, 0.7, -6.0)] {
            let response = impulse_response(Section::bell(48_000.0, centre, q, gain_db), 8192);
            let db = |frequency| 20.0 * magnitude(&response, 48_000.0, frequency).log10();
            assert!((db(centre) - gain_db).abs() < 1e-9, "{}", db(centre));
            assert!(db(0.0).abs() < 1e-9 && db(24_000.0).abs() < 1e-9);
        }
    }

    #[test]
    fn a_resonator_answers_with_a_decaying_sine() {
        let (rate, frequency, damping) = (48_000.0, 1500.0, 0.02);
        let response = impulse_response(Section::resonator(rate, frequency, damping), 600);
        let omega = 2.0 * PI * frequency / rate;
        for (n, got) in response.iter().enumerate() {
            let t = n as f64;
            let expected = (-damping * omega * t).exp() * (omega * t).sin();
            assert!((got - expected).abs() < 1e-9, "sample {n}: {got} {expected}");
        }
    }

    #[test]
    fn a_cut_above_half_the_rate_stays_stable() {
        for section in [Section::low_pass(8000.0, 9000.0), Section::high_pass(1000.0, 700.0)] {
            let response = impulse_response(section, 20_000);
            assert!(response.iter().all(|x| x.is_finite()));
            assert!(response[19_000..].iter().all(|x| x.abs() < 1e-9));
        }
    }
}
