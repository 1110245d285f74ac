//! Dew point, margin and evaporation at one moment, and the hours of a forecast in
//! which a surface may be worked on.

use schemars::JsonSchema;
use serde::Serialize;
use tooth_measure::{
    EvaporationRate, Fraction, Speed, Temperature, TemperatureDifference, psychrometrics,
};

use crate::survey::{ForecastHour, System};

/// What was read at one place and moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// Air temperature.
    pub air: Temperature,
    /// Relative humidity of the air.
    pub humidity: Fraction,
    /// Surface temperature of the slab.
    pub surface: Temperature,
    /// Wind and the concrete's temperature, where evaporation is asked for.
    pub evaporation: Option<(Speed, Temperature)>,
}

/// The answer.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Ambient {
    /// Dew point; null at humidity 0, where there is none.
    pub dew_point_c: Option<Temperature>,
    /// Surface less dew point; negative where the surface is wet; null as above.
    pub margin_c: Option<TemperatureDifference>,
    /// Evaporation of free water, null unless wind and concrete temperature were
    /// given; negative where water condenses.
    pub evaporation_kg_m2_h: Option<EvaporationRate>,
}

/// Works out one moment.
#[must_use]
pub fn ambient(moment: &Moment) -> Ambient {
    let dew_point = psychrometrics::dew_point(moment.air, moment.humidity);
    Ambient {
        dew_point_c: dew_point,
        margin_c: dew_point.map(|dew| moment.surface - dew),
        evaporation_kg_m2_h: moment.evaporation.map(|(wind, concrete)| {
            psychrometrics::evaporation_rate(concrete, moment.air, moment.humidity, wind)
        }),
    }
}

/// Hours in a row in which a system's climate limits are kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Window {
    /// First hour.
    pub from: jiff::civil::DateTime,
    /// End of the last hour.
    pub until: jiff::civil::DateTime,
}

/// The windows of a forecast for a system outdoors or in. An hour without a
/// forecast of the surface's temperature is no window: air does not stand in for it.
#[must_use]
pub fn windows(forecast: &[ForecastHour], system: &System, under_roof: bool) -> Vec<Window> {
    let margin = system.dew_point_margin.unwrap_or(TemperatureDifference::from_kelvins(3.0));
    let good = |hour: &ForecastHour| {
        let Some(surface) = hour.surface else {
            return false;
        };
        let dry = under_roof || hour.rain < Fraction::from_percent(30.0);
        let warm =
            system.surface_temperature.is_none_or(|(low, high)| low <= surface && surface <= high);
        let air = system.most_air_humidity.is_none_or(|most| hour.humidity <= most);
        let above = psychrometrics::dew_point_margin(hour.air, hour.humidity, surface)
            .is_some_and(|m| m >= margin);
        dry && warm && air && above
    };
    let mut found: Vec<Window> = Vec::new();
    for hour in forecast.iter().filter(|hour| good(hour)) {
        let until = hour.time.saturating_add(jiff::Span::new().hours(1));
        match found.last_mut() {
            Some(window) if window.until == hour.time => window.until = until,
            _ => found.push(Window { from: hour.time, until }),
        }
    }
    found
}
