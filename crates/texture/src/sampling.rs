//! How many places, and where; how noisy the device is.

use statrs::distribution::{Beta, ContinuousCDF as _, StudentsT};
use tooth_measure::chance::{Seed, Stream};
use tooth_measure::{Fraction, Length, Point, Region};

use crate::map::HeightMap;

/// Noise of the device from two scans of one place: the root mean square of their difference
/// over √2, both freed of their planes. None where sizes differ or little is known.
#[must_use]
pub fn noise_of_repeats(first: &HeightMap, second: &HeightMap) -> Option<Length> {
    if first.rows() != second.rows() || first.columns() != second.columns() {
        return None;
    }
    let differences: Vec<f32> =
        first.heights_mm().iter().zip(second.heights_mm()).map(|(a, b)| a - b).collect();
    let mut map = first.with(differences);
    crate::form::remove(&mut map, crate::form::Form::Plane, &crate::workers::Alone);
    let (sum, count) = map
        .heights_mm()
        .iter()
        .filter(|d| !d.is_nan())
        .fold((0.0, 0.0), |(sum, count), d| (sum + f64::from(*d).powi(2), count + 1.0));
    (count > 2.0).then(|| Length::from_millimetres((sum / count / 2.0).sqrt()))
}

/// Places needed so that the mean is known to a share `within` with a confidence, where
/// places differ by this coefficient of variation: the least n ≥ (t c/e)², t two-sided with
/// n − 1 degrees of freedom. None where a share is not above nothing.
#[must_use]
pub fn patches_needed(variation: Fraction, within: Fraction, confidence: Fraction) -> Option<u32> {
    let (c, e) = (variation.ratio(), within.ratio());
    let p = f64::midpoint(1.0, confidence.ratio());
    if !(c > 0.0 && e > 0.0 && p > 0.5 && p < 1.0) {
        return None;
    }
    (2..100_000).find(|n| {
        let t =
            StudentsT::new(0.0, 1.0, f64::from(n - 1)).map_or(f64::INFINITY, |t| t.inverse_cdf(p));
        f64::from(*n) >= (t * c / e).powi(2)
    })
}

/// The share of the area that is good at least, with a confidence, when `good` of `count`
/// random places were: the lower bound of Clopper and Pearson. 11 of 11 at 95 % say 76 %.
#[must_use]
pub fn surely_good_share(good: u32, count: u32, confidence: Fraction) -> Fraction {
    if good == 0 || good > count {
        return Fraction::new(0.0);
    }
    let beta = Beta::new(f64::from(good), f64::from(count - good) + 1.0);
    Fraction::new(beta.map_or(0.0, |beta| beta.inverse_cdf(1.0 - confidence.ratio())))
}

/// A part of the area that was prepared alike: one pass, machine or person, the edges apart
/// from the field.
#[derive(Debug, Clone)]
pub struct Strip(pub Region);

/// Random places, shared among the strips by their area, at least one each. The same seed
/// gives the same places.
#[must_use]
pub fn stratified_places(strips: &[Strip], count: usize, seed: Seed) -> Vec<Vec<Point>> {
    let areas: Vec<f64> = strips.iter().map(|strip| strip.0.area().square_metres()).collect();
    let total: f64 = areas.iter().sum();
    let mut chance = Stream::new(seed, 0);
    strips
        .iter()
        .zip(&areas)
        .map(|(strip, area)| {
            if *area <= 0.0 || count == 0 {
                return Vec::new();
            }
            let share = (count as f64 * area / total).round().max(1.0) as usize;
            let mut places = Vec::with_capacity(share);
            let Some((low, high)) = strip.0.bounds() else { return places };
            // A region fills a fair part of its box; a sliver ends with fewer places.
            for _ in 0..share * 1000 {
                if places.len() == share {
                    break;
                }
                let at = |low: Length, high: Length, u: f64| low + (high - low) * u;
                let place = Point::new(
                    at(low.x, high.x, chance.uniform()),
                    at(low.y, high.y, chance.uniform()),
                );
                if strip.0.holds(place) {
                    places.push(place);
                }
            }
            places
        })
        .collect()
}
