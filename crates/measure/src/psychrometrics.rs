//! Air and surface climate: dew point, the margin above it, evaporation.
//!
//! Dew point by the Magnus formula with Sonntag's 1990 constants
//! (a = 17.62, b = 243.12 °C), over water, 1 to 45 °C: within 0.042 K of IAPWS-95.
//! Evaporation of free surface water by Uno, ACI Materials Journal 95-M34 (1998).

use crate::quantity::{EvaporationRate, Fraction, Speed, Temperature, TemperatureDifference};

const MAGNUS_A: f64 = 17.62;
const MAGNUS_B: f64 = 243.12;

/// The temperature at which air of this humidity starts to wet a surface.
/// `None` for humidity 0, where there is no dew point.
#[must_use]
pub fn dew_point(air: Temperature, relative_humidity: Fraction) -> Option<Temperature> {
    if relative_humidity.ratio() <= 0.0 {
        return None;
    }
    let t = air.celsius();
    let g = relative_humidity.ratio().ln() + MAGNUS_A * t / (MAGNUS_B + t);
    Some(Temperature::from_celsius(MAGNUS_B * g / (MAGNUS_A - g)))
}

/// How far the surface stands above the dew point; negative where it is wet.
#[must_use]
pub fn dew_point_margin(
    air: Temperature,
    relative_humidity: Fraction,
    surface: Temperature,
) -> Option<TemperatureDifference> {
    dew_point(air, relative_humidity).map(|dew| surface - dew)
}

/// Evaporation from a wet surface; below zero means that water condenses on it.
/// Holds only while a free film of water lies on the surface.
#[must_use]
pub fn evaporation_rate(
    concrete: Temperature,
    air: Temperature,
    relative_humidity: Fraction,
    wind: Speed,
) -> EvaporationRate {
    // Below -18 °C the power has no real value; the formula is not meant for frost.
    let term = |t: Temperature| (t.celsius() + 18.0).max(0.0).powf(2.5);
    let driving = term(concrete) - relative_humidity.ratio() * term(air);
    EvaporationRate::from_kilograms_per_square_metre_hour(
        5.0e-6 * driving * (wind.kilometres_per_hour() + 4.0),
    )
}
