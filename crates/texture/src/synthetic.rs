//! Surfaces with known answers. All are made, none measured.

use std::f64::consts::PI;

use tooth_measure::Length;
use tooth_measure::chance::{Seed, Stream};

use crate::map::HeightMap;

/// A square map of a function of x and y, in millimetres.
///
/// # Panics
///
/// Where `side` is nothing or the spacing is not above nothing.
#[must_use]
pub fn surface(side: usize, spacing: Length, height: impl Fn(f64, f64) -> f64) -> HeightMap {
    grid(side, side, spacing, height)
}

/// A map of a function of x and y, in millimetres.
///
/// # Panics
///
/// Where there are no rows or columns, or the spacing is not above nothing.
#[must_use]
#[expect(clippy::expect_used, reason = "a made surface has heights and a spacing")]
pub fn grid(
    rows: usize,
    columns: usize,
    spacing: Length,
    height: impl Fn(f64, f64) -> f64,
) -> HeightMap {
    let step = spacing.millimetres();
    let heights: Vec<f64> = (0..rows * columns)
        .map(|k| height((k % columns) as f64 * step, (k / columns) as f64 * step))
        .collect();
    HeightMap::new(rows, columns, [spacing; 2], &heights).expect("a surface with heights")
}

/// A sine along the rows, of this amplitude and so many periods over the map.
#[must_use]
pub fn sine(side: usize, spacing: Length, amplitude: Length, periods: f64) -> HeightMap {
    let (amplitude, width) = (amplitude.millimetres(), side as f64 * spacing.millimetres());
    surface(side, spacing, |x, _| amplitude * (2.0 * PI * periods * x / width).sin())
}

/// Square pyramids of this height and base, side by side.
#[must_use]
pub fn pyramids(side: usize, spacing: Length, height: Length, base: Length) -> HeightMap {
    let (height, base) = (height.millimetres(), base.millimetres());
    let from_middle = move |x: f64| (2.0 * (x / base - (x / base).floor()) - 1.0).abs();
    surface(side, spacing, move |x, y| height * (1.0 - from_middle(x).max(from_middle(y))))
}

/// Grooves of this depth and width at a pitch, down the columns.
#[must_use]
pub fn grooves(
    side: usize,
    spacing: Length,
    depth: Length,
    width: Length,
    pitch: Length,
) -> HeightMap {
    let (depth, width, pitch) = (depth.millimetres(), width.millimetres(), pitch.millimetres());
    // Half a step, so that no sample stands on a wall.
    let half = spacing.millimetres() / 2.0;
    surface(
        side,
        spacing,
        move |x, _| {
            if (x + half).rem_euclid(pitch) < width { -depth } else { 0.0 }
        },
    )
}

/// A Gaussian surface whose autocorrelation is exp(−(r/τ)²), of this root mean square height:
/// five hundred waves with random directions and phases, lengths by the surface's spectrum.
#[must_use]
pub fn gaussian(
    side: usize,
    spacing: Length,
    root_mean_square: Length,
    correlation_length: Length,
    seed: Seed,
) -> HeightMap {
    let waves = waves(500, correlation_length.millimetres(), seed);
    let amplitude = root_mean_square.millimetres() * (2.0 / waves.len() as f64).sqrt();
    surface(side, spacing, |x, y| {
        waves.iter().map(|[kx, ky, phase]| (kx * x + ky * y + phase).cos()).sum::<f64>() * amplitude
    })
}

/// Wave numbers drawn from the spectrum of a Gaussian autocorrelation, with phases.
fn waves(count: usize, tau: f64, seed: Seed) -> Vec<[f64; 3]> {
    let mut chance = Stream::new(seed, 0);
    (0..count)
        .map(|_| {
            let k = 2.0 / tau * (-chance.uniform().ln()).sqrt();
            let direction = 2.0 * PI * chance.uniform();
            [k * direction.cos(), k * direction.sin(), 2.0 * PI * chance.uniform()]
        })
        .collect()
}

/// White noise of this standard deviation: no neighbour knows of another.
#[must_use]
pub fn noise(side: usize, spacing: Length, deviation: Length, seed: Seed) -> HeightMap {
    let mut chance = Stream::new(seed, 0);
    let deviation = deviation.millimetres();
    let drawn: Vec<f64> = (0..side * side)
        .map(|_| {
            let radius = (-2.0 * chance.uniform().ln()).sqrt();
            deviation * radius * (2.0 * PI * chance.uniform()).cos()
        })
        .collect();
    let step = spacing.millimetres();
    surface(side, spacing, |x, y| {
        drawn[(y / step).round() as usize * side + (x / step).round() as usize]
    })
}

/// 1024 by 1024 heights at 0.1 mm from 64 plane waves, without any chance, of root mean square
/// 0.5 mm: wave k = 1 … 64 of length 40·0.9^(k−1) mm, direction 2π frac(k g), phase
/// 2π frac(k² g), amplitude the length to the power 0.8, g = (√5−1)/2.
#[must_use]
pub fn waves_of_1024() -> HeightMap {
    let golden = (5f64.sqrt() - 1.0) / 2.0;
    let waves: Vec<[f64; 4]> = (1..=64)
        .map(|k| {
            let k = f64::from(k);
            let length = 40.0 * 0.9f64.powf(k - 1.0);
            let direction = 2.0 * PI * (k * golden).fract();
            let phase = 2.0 * PI * (k * k * golden).fract();
            let number = 2.0 * PI / length;
            [number * direction.cos(), number * direction.sin(), phase, length.powf(0.8)]
        })
        .collect();
    let n = 1024;
    let mut heights: Vec<f64> = (0..n * n)
        .map(|index| {
            let (x, y) = ((index % n) as f64 * 0.1, (index / n) as f64 * 0.1);
            waves.iter().map(|[kx, ky, phase, a]| a * (kx * x + ky * y + phase).cos()).sum()
        })
        .collect();
    let count = heights.len() as f64;
    let mean = heights.iter().sum::<f64>() / count;
    let rms = (heights.iter().map(|z| (z - mean).powi(2)).sum::<f64>() / count).sqrt();
    for z in &mut heights {
        *z = (*z - mean) * 0.5 / rms;
    }
    let step = Length::from_millimetres(0.1);
    surface(n, step, |x, y| heights[(y * 10.0).round() as usize * n + (x * 10.0).round() as usize])
}
