//! What a tap sounds like beside the slab's own sound: the excess in decibels per band,
//! whatever the strength of the blow and the gain of the recorder.
//!
//! With `P` the power of a tap in a band, `N` the noise's there and `R` the reference
//! spectrum of sound taps, level-free:
//!
//! - `S = max(P − N, 0)`
//! - the tap's level `a`: the median over the bands that stand clear of the noise of
//!   `S / R`
//! - excess `= 10 log₁₀ ((S/(aR) + c) / (1 + c))`, `c = 0.3 + 1.5 N/(aR)`
//!
//! The softening `c` keeps the notches that a longer contact cuts into the spectrum, and
//! bands drowned in noise, from telling more than they know; energy that a loose layer
//! adds stays whole. Multiplying all samples by a gain changes nothing: `P`, `N` and `a`
//! scale alike.

use crate::Known;
use crate::spectrum::{BANDS, Powers};

const SOFT: f64 = 0.3;
const SOFT_NOISE: f64 = 1.5;
/// A band stands clear where the reference at the tap's level is above the noise.
const FEWEST_CLEAR: usize = 6;
/// With fewer bands clear a tap is drowned, and says nothing.
const FEWEST_STANDING: usize = 4;

/// Taps on each side whose surroundings tell the noise at one.
const NOISE_AROUND: usize = 4;
/// What was heard just before a tap has died away by so much in its middle: a room's last
/// echo of the tap before.
const DIED_AWAY: f64 = 0.8;

/// Noise per band at each tap, from what was heard just before it and the taps about it, in
/// the order of time: their median, for noise comes and goes, but no less than the tap's own.
pub(crate) fn noise(before: &[Option<Powers>], bands: usize) -> Vec<Vec<f64>> {
    let heard: Vec<usize> = (0..before.len()).filter(|tap| before[*tap].is_some()).collect();
    let mut noise = vec![vec![0.0; bands]; before.len()];
    let wide = (2 * NOISE_AROUND + 1).min(heard.len());
    for (n, tap) in heard.iter().enumerate() {
        let from = n.saturating_sub(NOISE_AROUND).min(heard.len() - wide);
        for band in 0..bands {
            let of = |tap: &usize| before[*tap].map_or(0.0, |powers| f64::from(powers[band]));
            let mut around: Vec<f64> = heard[from..from + wide].iter().map(of).collect();
            noise[*tap][band] = median(&mut around).max(DIED_AWAY * of(tap));
        }
    }
    noise
}

/// Spectrum of sound taps, in decibels without their mean: the median over the louder
/// half of the known-good taps, or of all that are not known hollow.
pub(crate) fn reference(
    powers: &[Option<Powers>],
    noise: &[Vec<f64>],
    known: &[Option<Known>],
) -> Vec<f64> {
    let bands = noise.first().map_or(0, Vec::len);
    let of = |wanted: &dyn Fn(Option<Known>) -> bool| -> Vec<(f64, Vec<f64>)> {
        powers
            .iter()
            .zip(noise)
            .zip(known)
            .filter(|(_, known)| wanted(**known))
            .filter_map(|((p, noise), _)| p.as_ref().map(|p| level_free(p, noise)))
            .collect()
    };
    let mut taps = of(&|known| known == Some(Known::Sound));
    if taps.len() < 5 {
        taps = of(&|known| known != Some(Known::Hollow));
    }
    taps.sort_by(|a, b| b.0.total_cmp(&a.0));
    taps.truncate(taps.len().div_ceil(2) + 2);
    (0..bands)
        .map(|band| median(&mut taps.iter().map(|tap| tap.1[band]).collect::<Vec<_>>()))
        .collect()
}

/// Excess per band of each tap; none of one unheard, or drowned in noise.
pub(crate) fn excess(
    powers: &[Option<Powers>],
    noise: &[Vec<f64>],
    reference: &[f64],
) -> Vec<Option<Vec<f64>>> {
    let shape: Vec<f64> = reference.iter().map(|db| 10f64.powf(db / 10.0)).collect();
    powers
        .iter()
        .zip(noise)
        .map(|(powers, noise)| of_tap(powers.as_ref()?, noise, &shape))
        .collect()
}

fn of_tap(powers: &Powers, noise: &[f64], shape: &[f64]) -> Option<Vec<f64>> {
    let bands = noise.len();
    let signal: Vec<f64> = (0..bands).map(|k| (f64::from(powers[k]) - noise[k]).max(0.0)).collect();
    let rough = 10f64.powf(level_free(powers, noise).0 / 10.0);
    let over = |k: usize| decibels((signal[k] + SOFT * noise[k]) / shape[k]);
    let mut clear: Vec<f64> =
        (0..bands).filter(|k| rough * shape[*k] > noise[*k]).map(over).collect();
    if clear.len() < FEWEST_CLEAR.min(bands) {
        clear = (0..bands).map(over).collect();
    }
    let level = 10f64.powf(median(&mut clear) / 10.0);
    let standing = (0..bands).filter(|k| level * shape[*k] > noise[*k]).count();
    (standing >= FEWEST_STANDING.min(bands)).then(|| {
        (0..bands)
            .map(|k| {
                let expected = level * shape[k];
                let soft = SOFT + SOFT_NOISE * noise[k] / expected;
                10.0 * ((signal[k] / expected + soft) / (1.0 + soft)).log10()
            })
            .collect()
    })
}

/// A tap's mean level in decibels, and its spectrum without it.
pub(crate) fn level_free(powers: &Powers, noise: &[f64]) -> (f64, Vec<f64>) {
    let values: Vec<f64> = noise
        .iter()
        .zip(powers)
        .map(|(noise, power)| decibels((f64::from(*power) - noise).max(SOFT * noise)))
        .collect();
    let mean = values.iter().sum::<f64>() / values.len().max(1) as f64;
    (mean, values.iter().map(|value| value - mean).collect())
}

/// Ten times the logarithm; far below any recorder's last bit, −200.
pub(crate) fn decibels(power: f64) -> f64 {
    10.0 * power.max(1e-20).log10()
}

/// The middle value, the upper of two; 0 of none. Their order is lost.
pub(crate) fn median(values: &mut [f64]) -> f64 {
    if values.is_empty() {
        return 0.0;
    }
    let middle = values.len() / 2;
    let (_, median, _) = values.select_nth_unstable_by(middle, f64::total_cmp);
    *median
}

const _: () = assert!(FEWEST_CLEAR < BANDS);
