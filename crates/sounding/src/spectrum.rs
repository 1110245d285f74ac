//! Powers of short windows in frequency bands.
//!
//! Twenty triangles evenly spaced in mel (2595 log₁₀(1 + f/700), the scale of HTK) from
//! 250 Hz to 9 kHz; a sample rate too low for all of them has fewer. A window is flat,
//! then falls as a cosine over its last 60 %, and is padded with zeros to a power of two.

use std::f64::consts::PI;
use std::sync::Arc;

use realfft::num_complex::Complex;
use realfft::{RealFftPlanner, RealToComplex};

/// Bands of a tap's spectrum where the sample rate carries them all.
pub(crate) const BANDS: usize = 20;
const LOWEST: f64 = 250.0;
const HIGHEST: f64 = 9000.0;
/// Length of a window, in seconds.
const WINDOW: f64 = 0.0427;

/// Powers in bands; where the sample rate lacks a band, 0.
pub(crate) type Powers = [f32; BANDS];

/// Window, transform and bands of one sample rate.
pub(crate) struct Spectra {
    weights: Vec<f32>,
    size: usize,
    transform: Arc<dyn RealToComplex<f32>>,
    bands: Vec<Vec<(usize, f32)>>,
    time: Vec<f32>,
    spectrum: Vec<Complex<f32>>,
    scratch: Vec<Complex<f32>>,
}

impl Spectra {
    pub(crate) fn new(rate: f64) -> Self {
        let length = ((WINDOW * rate) as usize).max(16);
        let size = length.next_power_of_two();
        let transform = RealFftPlanner::<f32>::new().plan_fft_forward(size);
        let weight = |n: usize| {
            let share = (n as f64 / length as f64 - 0.4).max(0.0) / 0.6;
            (0.5 + 0.5 * (PI * share).cos()) as f32
        };
        Self {
            weights: (0..length).map(weight).collect(),
            size,
            bands: bands(rate, size),
            time: vec![0.0; size],
            spectrum: transform.make_output_vec(),
            scratch: transform.make_scratch_vec(),
            transform,
        }
    }

    /// Samples of a window.
    pub(crate) fn length(&self) -> usize {
        self.weights.len()
    }

    /// Powers of a window's samples; missing samples at its end are silence.
    pub(crate) fn powers(&mut self, samples: &[f32]) -> Powers {
        self.time.fill(0.0);
        for (out, (x, w)) in self.time.iter_mut().zip(samples.iter().zip(&self.weights)) {
            *out = x * w;
        }
        // Lengths come from the plan itself, so the transform cannot refuse them.
        let _ = self.transform.process_with_scratch(
            &mut self.time,
            &mut self.spectrum,
            &mut self.scratch,
        );
        let mut powers = [0.0; BANDS];
        for (power, bins) in powers.iter_mut().zip(&self.bands) {
            *power = bins
                .iter()
                .map(|(bin, weight)| self.spectrum.get(*bin).map_or(0.0, |x| x.norm_sqr()) * weight)
                .sum::<f32>()
                / self.size as f32;
        }
        powers
    }
}

/// Bands that lie below 96 % of half the sample rate.
pub(crate) fn bands_of(rate: f64) -> usize {
    (0..BANDS).take_while(|band| edge(band + 2) <= 0.48 * rate).count()
}

/// Middle of a band, in hertz.
pub(crate) fn middle(band: usize) -> f64 {
    edge(band + 1)
}

/// Edges of the triangles in hertz: each rises from one edge to the next and falls to the
/// one after.
fn edge(number: usize) -> f64 {
    let mel = |f: f64| 2595.0 * (1.0 + f / 700.0).log10();
    let (low, high) = (mel(LOWEST), mel(HIGHEST));
    let here = low + (high - low) * number as f64 / (BANDS + 1) as f64;
    700.0 * (10f64.powf(here / 2595.0) - 1.0)
}

fn bands(rate: f64, size: usize) -> Vec<Vec<(usize, f32)>> {
    (0..bands_of(rate))
        .map(|band| {
            let (left, top, right) = (edge(band), edge(band + 1), edge(band + 2));
            (1..=size / 2)
                .filter_map(|bin| {
                    let f = bin as f64 * rate / size as f64;
                    let weight = ((f - left) / (top - left)).min((right - f) / (right - top));
                    (weight > 0.0).then_some((bin, weight as f32))
                })
                .collect()
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// x(n) = ((7919 n² + 104729 n) mod 2048 − 1024) / 1024: broad, and exact in any
    /// floating point.
    fn broad(count: i64) -> Vec<f32> {
        (0..count).map(|n| ((n * n * 7919 + n * 104_729) % 2048 - 1024) as f32 / 1024.0).collect()
    }

    fn assert_near(got: &[f32], expected: &[f64], tolerance: f64) {
        for (band, (got, expected)) in got.iter().zip(expected).enumerate() {
            let off = (f64::from(*got) / expected - 1.0).abs();
            assert!(off < tolerance, "band {band}: {got}, expected {expected}");
        }
    }

    #[test]
    fn edges_are_evenly_spaced_on_the_mel_scale_of_htk() {
        // NumPy 2.4: 700 (10^(m/2595) − 1) of linspace(mel(250), mel(9000), 22); the scale
        // 2595 log₁₀(1 + f/700) is that of the HTK Book (from memory).
        let expected = [
            250.0, 361.142029, 485.286743, 623.955347, 778.847014, 951.859707, 1145.11343,
            1360.97622, 1602.09315, 1871.41873, 2172.25315, 2508.28267, 2883.62482, 3302.87886,
            3771.1821, 4294.27289, 4878.56092, 5531.20574, 6260.20453, 7074.49006, 7984.04016,
            9000.0,
        ];
        for (number, expected) in expected.iter().enumerate() {
            assert!((edge(number) / expected - 1.0).abs() < 1e-8, "{} {expected}", edge(number));
        }
        assert!((middle(0) / expected[1] - 1.0).abs() < 1e-8);
        assert!((middle(BANDS - 1) / expected[BANDS] - 1.0).abs() < 1e-8);
    }

    #[test]
    fn a_lower_sample_rate_has_fewer_bands() {
        // Bands whose upper edge, from the list above, is at most 0.48 times the rate.
        let expected = [
            (8000.0, 13),
            (11_025.0, 15),
            (16_000.0, 18),
            (22_050.0, 20),
            (44_100.0, 20),
            (48_000.0, 20),
        ];
        for (rate, count) in expected {
            assert_eq!(bands_of(rate), count, "{rate} samples a second");
            let mut spectra = Spectra::new(rate);
            let powers = spectra.powers(&broad(4096));
            assert!(powers[..count].iter().all(|power| *power > 0.0));
            assert!(powers[count..].iter().all(|power| power.to_bits() == 0));
        }
    }

    #[test]
    fn band_powers_agree_with_numpy() {
        // NumPy 2.4, all in double precision: window 0.5 + 0.5 cos(π max(n/L − 0.4, 0)/0.6)
        // of L = ⌊0.0427 rate⌋ samples, |rfft|² padded to a power of two N, triangles, sum
        // over N. The tolerance is that of single precision.
        let cases: [(f64, &[f64]); 4] = [
            (
                48_000.0,
                &[
                    1.44948046,
                    1.26536507,
                    0.616613341,
                    2.46220327,
                    1.72593111,
                    1.5033408,
                    1.59310113,
                    1.77996501,
                    2.83192046,
                    2.89107561,
                    3.96171208,
                    4.33605206,
                    4.95802906,
                    5.49084151,
                    6.24619318,
                    10.6411916,
                    6.2699298,
                    7.02936225,
                    7.77267296,
                    8.36021502,
                ],
            ),
            (
                44_100.0,
                &[
                    1.64433182,
                    0.920005394,
                    1.16090394,
                    2.1720321,
                    1.44685416,
                    1.7286891,
                    1.30806257,
                    2.08231798,
                    2.7042749,
                    3.56472563,
                    3.69930491,
                    4.48669794,
                    4.59944148,
                    5.5378308,
                    9.14737639,
                    6.79240926,
                    5.99382569,
                    7.39328774,
                    7.24153291,
                    7.95193492,
                ],
            ),
            (
                16_000.0,
                &[
                    1.1575434,
                    0.875270334,
                    0.959765609,
                    1.49083587,
                    1.25527453,
                    1.45210712,
                    3.52795,
                    4.01825673,
                    3.25601826,
                    1.63838494,
                    2.49014806,
                    3.72647999,
                    3.53193165,
                    5.0821494,
                    4.64585359,
                    6.07425982,
                    7.01760405,
                    7.17259805,
                ],
            ),
            (
                8000.0,
                &[
                    1.14177205,
                    1.16088564,
                    2.19234162,
                    0.929018731,
                    1.52852163,
                    1.29645163,
                    1.10201269,
                    2.69868137,
                    2.65491777,
                    2.73511613,
                    3.20714423,
                    4.16891635,
                    4.56410662,
                ],
            ),
        ];
        for (rate, expected) in cases {
            assert_near(&Spectra::new(rate).powers(&broad(2048)), expected, 1e-4);
        }
    }

    #[test]
    fn missing_samples_are_silence() {
        // The same NumPy computation, for the first 500 samples at 48 kHz.
        let expected = [
            0.673445691,
            0.655701682,
            0.314049858,
            0.68243505,
            0.417034272,
            0.934693762,
            0.804493646,
            0.397309347,
            0.747823854,
            0.63959148,
            1.62616686,
            0.792369886,
            0.873069043,
            2.80091411,
            3.30201388,
            6.1581322,
            3.12222653,
            1.4648559,
            2.05284322,
            3.6509083,
        ];
        let mut spectra = Spectra::new(48_000.0);
        assert_near(&spectra.powers(&broad(500)), &expected, 1e-4);
        assert!(spectra.powers(&[]).iter().all(|power| power.to_bits() == 0));
    }

    #[test]
    fn what_lies_beyond_the_window_is_not_looked_at() {
        let mut spectra = Spectra::new(48_000.0);
        let length = spectra.length();
        let mut samples = broad(4096);
        let whole = spectra.powers(&samples).map(f32::to_bits);
        samples[length..].fill(1.0);
        assert_eq!(spectra.powers(&samples).map(f32::to_bits), whole);
    }

    #[test]
    fn powers_grow_as_the_square_of_the_samples() {
        let mut spectra = Spectra::new(44_100.0);
        let loud = spectra.powers(&broad(2048));
        let quiet: Vec<f32> = broad(2048).iter().map(|x| x / 16.0).collect();
        for (quiet, loud) in spectra.powers(&quiet).iter().zip(&loud) {
            assert!((quiet * 256.0 / loud - 1.0).abs() < 1e-5);
        }
    }

    #[test]
    fn a_tone_is_loudest_in_its_own_band() {
        for rate in [8000.0, 16_000.0, 44_100.0, 48_000.0] {
            let mut spectra = Spectra::new(rate);
            for band in 0..bands_of(rate) {
                let tone: Vec<f32> = (0..spectra.length())
                    .map(|n| (2.0 * PI * middle(band) * n as f64 / rate).sin() as f32)
                    .collect();
                let powers = spectra.powers(&tone);
                let loudest = (0..BANDS).max_by(|a, b| powers[*a].total_cmp(&powers[*b]));
                assert_eq!(loudest, Some(band), "{} Hz at {rate}", middle(band));
            }
        }
    }
}
