//! Texture measured by hand.

use std::f64::consts::PI;

use tooth_measure::{Length, Quantity as _, Volume};

use crate::fields::Heights;

/// Mean texture depth of a sand patch: 4 V / (π D²), D the mean of the diameters (ASTM
/// E965-15 and EN 13036-1:2010, formula from memory). The standards want four diameters or
/// more. None without a volume or a diameter.
#[must_use]
pub fn sand_patch_depth(volume: Volume, diameters: &[Length]) -> Option<Length> {
    let mean = Heights::new(diameters.to_vec())?.mean().metres();
    let cubic_metres = volume.si();
    let sane = mean > 0.0 && cubic_metres > 0.0 && mean.is_finite() && cubic_metres.is_finite();
    sane.then(|| Length::from_metres(4.0 * cubic_metres / (PI * mean * mean)))
}

/// Readings of a probe, or of replica putty by micrometer: their mean and range. None of no
/// readings.
#[must_use]
pub fn probe_readings(readings: Vec<Length>) -> Option<Heights> {
    Heights::new(readings)
}
