//! The honest limit of a grid of taps: the chance that a loose spot of a given size is
//! touched at all, and the pitch that a given size asks for.
//!
//! A round spot of radius r anywhere under a square grid of pitch s, with k = r/s, is
//! touched with the chance (point-in-circle geometry; hot-spot tables of Singer and
//! Wickman 1969 and Gilbert 1987 rest on the same, both from memory):
//!
//! - k ≤ 1/2: `π k²`
//! - 1/2 < k < √2/2: `k² (π − 4 arccos(1/(2k))) + √(4k² − 1)`
//! - above: 1
//!
//! A tap on the spot is heard as hollow with the sensitivity p, each on its own; at most
//! two taps of a square grid touch a spot of k ≤ √2/2: `p π k² − p² (π k² − P)`.

use std::f64::consts::{FRAC_1_SQRT_2, PI};

use tooth_measure::{Fraction, Length};

/// Chance that at least one tap falls on a round spot.
#[must_use]
pub fn chance_touched(radius: Length, pitch: Length) -> Fraction {
    let k = ratio(radius, pitch);
    Fraction::new(if k <= 0.5 {
        PI * k * k
    } else if k < FRAC_1_SQRT_2 {
        k * k * (PI - 4.0 * (1.0 / (2.0 * k)).acos()) + (4.0 * k * k - 1.0).sqrt()
    } else {
        1.0
    })
}

/// Chance that a round spot is found by taps that hear a hollow with `sensitivity`.
///
/// For spots wider than the grid's diagonal (more than two taps), the value at the
/// diagonal is given: a lower bound.
#[must_use]
pub fn chance_found(radius: Length, pitch: Length, sensitivity: Fraction) -> Fraction {
    let k = ratio(radius, pitch).min(FRAC_1_SQRT_2);
    let touched = chance_touched(pitch * k, pitch).ratio();
    let (p, mean) = (sensitivity.ratio(), PI * k * k);
    Fraction::new(p * mean - p * p * (mean - touched))
}

/// Smallest diameter that no square grid of this pitch can miss: its diagonal.
#[must_use]
pub fn surely_touched(pitch: Length) -> Length {
    pitch * std::f64::consts::SQRT_2
}

/// The widest pitch that touches a spot of this diameter with at least this chance.
#[must_use]
pub fn pitch_needed(diameter: Length, chance: Fraction) -> Length {
    let (mut low, mut high) = (0.0, FRAC_1_SQRT_2);
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        let unit = Length::from_metres(1.0);
        if chance_touched(unit * middle, unit).ratio() < chance.ratio() {
            low = middle;
        } else {
            high = middle;
        }
    }
    diameter * (0.5 / high)
}

/// Chance that parallel passes of a chain of width `swath`, `spacing` apart from middle
/// to middle, go over a round spot.
#[must_use]
pub fn chance_swept(radius: Length, swath: Length, spacing: Length) -> Fraction {
    Fraction::new(((radius * 2.0 + swath) / spacing).clamp(0.0, 1.0))
}

fn ratio(radius: Length, pitch: Length) -> f64 {
    if pitch.metres() > 0.0 { (radius / pitch).max(0.0) } else { 1.0 }
}
