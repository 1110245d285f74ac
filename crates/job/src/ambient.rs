//! Dew point, margin and evaporation at one moment, and the hours of a forecast in
//! which a surface may be worked on.

use jiff::civil::DateTime;
use schemars::JsonSchema;
use serde::Serialize;
use tooth_measure::{
    EvaporationRate, Fraction, Speed, Temperature, TemperatureDifference, WorkTime, psychrometrics,
};

use crate::assessment::USUAL_MARGIN;
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

/// Hours in a row in which a system may go down.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Window {
    /// First hour.
    pub from: DateTime,
    /// End of the last hour.
    pub until: DateTime,
    /// Whether the slab is warmer at its end than at its start: air in the pores swells and
    /// blows bubbles into a coat.
    pub warms: bool,
}

/// What the weather must keep for a system outdoors: the sheet's, else what is usual.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dryness {
    /// Dry before.
    pub before: WorkTime,
    /// Dry after.
    pub after: WorkTime,
    /// Hours in a row.
    pub least: WorkTime,
}

impl Dryness {
    /// Outdoors a day before and a day after, and four hours to work in, where the sheet does not
    /// say. Common practice, no source; the sheet decides.
    #[must_use]
    pub fn of(system: &System) -> Self {
        Self {
            before: system.dry_before.unwrap_or(WorkTime::from_hours(24.0)),
            after: system.dry_after.unwrap_or(WorkTime::from_hours(24.0)),
            least: system.least_window.unwrap_or(WorkTime::from_hours(4.0)),
        }
    }
}

/// Chance of rain from which an hour does not count as dry. Assumption.
const WET_FROM: Fraction = Fraction::from_percent(30.0);

/// The windows of a forecast for a system outdoors or in. An hour without a forecast of the
/// surface's temperature is no window: air does not stand in for it. Outdoors the hours before
/// and after are dry too, as far as the forecast goes before it; what comes after its end is not
/// known to be dry.
#[must_use]
pub fn windows(forecast: &[ForecastHour], system: &System, under_roof: bool) -> Vec<Window> {
    let margin = system.dew_point_margin.unwrap_or(USUAL_MARGIN);
    let dryness = Dryness::of(system);
    let end = forecast.last().map(|hour| after(hour.time, 1));
    let kept = |hour: &ForecastHour| {
        let Some(surface) = hour.surface else { return false };
        let warm =
            system.surface_temperature.is_none_or(|(low, high)| low <= surface && surface <= high);
        let air = system.most_air_humidity.is_none_or(|most| hour.humidity <= most);
        let above = psychrometrics::dew_point_margin(hour.air, hour.humidity, surface)
            .is_some_and(|m| m >= margin);
        warm && air && above
    };
    let dry = |hour: &ForecastHour| {
        let from = after(hour.time, -(dryness.before.hours().ceil() as i64));
        let until = after(hour.time, 1 + dryness.after.hours().ceil() as i64);
        let told = end.is_some_and(|end| end >= until);
        let near = forecast.iter().filter(|other| other.time >= from && other.time < until);
        told && near.into_iter().all(|other| other.rain < WET_FROM)
    };
    let good = |hour: &&ForecastHour| kept(hour) && (under_roof || dry(hour));
    let mut found: Vec<(Window, Temperature)> = Vec::new();
    for hour in forecast.iter().filter(good) {
        let until = after(hour.time, 1);
        let Some(surface) = hour.surface else { continue };
        match found.last_mut() {
            Some((window, first)) if window.until == hour.time => {
                window.until = until;
                window.warms = surface > *first;
            }
            _ => found.push((Window { from: hour.time, until, warms: false }, surface)),
        }
    }
    let least = match (under_roof, system.least_window) {
        (true, None) => WorkTime::ZERO,
        _ => dryness.least,
    };
    let long = |window: &Window| {
        let length = window.until.duration_since(window.from).as_secs_f64();
        length + 1.0 >= least.seconds()
    };
    found.into_iter().map(|(window, _)| window).filter(long).collect()
}

fn after(time: DateTime, hours: i64) -> DateTime {
    time.saturating_add(jiff::Span::new().hours(hours))
}
