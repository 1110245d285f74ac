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
                .map(|(bin, weight)| {
                    self.spectrum.get(*bin).map_or(0.0, |x| x.norm_sqr()) * weight
                })
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
