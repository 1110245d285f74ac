//! Quantities as a person reads them, in SI or US customary units.
//!
//! A length is shown by what it is: [`Length::show`] for the site (m, ft),
//! [`Length::show_detail`] for widths and depths (mm, in), [`Length::show_film`]
//! for films (µm, mil).

use schemars::JsonSchema;
use serde::Serialize;

use crate::quantity::{
    Area, AreaRate, EvaporationRate, Fraction, Length, LengthRate, Mass, MoistureEmission, Money,
    Speed, Stress, Temperature, TemperatureDifference, Volume, VolumeRate, WorkTime,
};

/// The units that a person reads first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum UnitSystem {
    /// Metres, millimetres, megapascals, degrees Celsius.
    Si,
    /// Feet, inches, psi, degrees Fahrenheit.
    UsCustomary,
}

impl UnitSystem {
    /// The other one.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::Si => Self::UsCustomary,
            Self::UsCustomary => Self::Si,
        }
    }

    fn pick<T>(self, si: T, us: T) -> T {
        match self {
            Self::Si => si,
            Self::UsCustomary => us,
        }
    }
}

/// A quantity that a person can read in either system.
pub trait Show: Copy {
    /// The number and its unit.
    fn show(self, system: UnitSystem) -> String;

    /// The same in both systems, the person's own first: `12 m² (129 ft²)`.
    fn show_both(self, system: UnitSystem) -> String {
        format!("{} ({})", self.show(system), self.show(system.other()))
    }
}

/// A number to so many significant digits, thousands apart by commas, without
/// trailing zeros after the point.
pub(crate) fn significant(value: f64, digits: usize) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    let magnitude = value.abs().log10().floor() as i32;
    let decimals = (digits as i32 - 1 - magnitude).clamp(0, 9) as usize;
    let text = fixed(value, decimals);
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// A number to so many decimals, thousands apart by commas.
pub(crate) fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let (whole, rest) = text.find('.').map_or((text.as_str(), ""), |at| text.split_at(at));
    let (sign, whole) = whole.strip_prefix('-').map_or(("", whole), |w| ("-", w));
    let sign = if whole.bytes().chain(rest.bytes()).any(|b| (b'1'..=b'9').contains(&b)) {
        sign
    } else {
        ""
    };
    let mut grouped = String::new();
    for (place, digit) in whole.chars().enumerate() {
        if place > 0 && (whole.len() - place) % 3 == 0 {
            grouped.push(',');
        }
        grouped.push(digit);
    }
    format!("{sign}{grouped}{rest}")
}

macro_rules! show {
    ($($type:ident: $si:ident $si_unit:literal $si_digits:literal, $us:ident $us_unit:literal $us_digits:literal;)+) => { $(
        impl Show for $type {
            fn show(self, system: UnitSystem) -> String {
                let (value, unit, digits) = system.pick((self.$si(), $si_unit, $si_digits), (self.$us(), $us_unit, $us_digits));
                format!("{}{}", significant(value, digits), unit)
            }
        }
    )+ };
}

show! {
    Length: metres " m" 3, feet " ft" 3;
    Area: square_metres " m²" 3, square_feet " ft²" 3;
    Mass: kilograms " kg" 3, pounds " lb" 3;
    Stress: megapascals " MPa" 3, psi " psi" 3;
    Speed: kilometres_per_hour " km/h" 2, miles_per_hour " mph" 2;
    EvaporationRate: kilograms_per_square_metre_hour " kg/m²/h" 2, pounds_per_square_foot_hour " lb/ft²/h" 2;
    MoistureEmission: grams_per_square_metre_day " g/m² in 24 h" 3, pounds_per_thousand_square_feet_day " lb/1000 ft² in 24 h" 2;
    AreaRate: square_metres_per_hour " m²/h" 3, square_feet_per_hour " ft²/h" 3;
    LengthRate: metres_per_hour " m/h" 3, feet_per_hour " ft/h" 3;
    VolumeRate: cubic_metres_per_hour " m³/h" 2, cubic_feet_per_hour " ft³/h" 2;
}

macro_rules! show_fixed {
    ($($type:ident: $si:ident $si_unit:literal, $us:ident $us_unit:literal;)+) => { $(
        impl Show for $type {
            fn show(self, system: UnitSystem) -> String {
                let (value, unit) = system.pick((self.$si(), $si_unit), (self.$us(), $us_unit));
                format!("{}{}", fixed(value, 1), unit)
            }
        }
    )+ };
}

show_fixed! {
    Temperature: celsius " °C", fahrenheit " °F";
    TemperatureDifference: kelvins " °C", fahrenheit_degrees " °F";
}

impl Show for Volume {
    fn show(self, system: UnitSystem) -> String {
        // Below a tenth of a cubic metre people think in litres or gallons.
        let small = self.cubic_metres() < 0.1;
        let (value, unit) = match (system, small) {
            (UnitSystem::Si, false) => (self.cubic_metres(), "m³"),
            (UnitSystem::Si, true) => (self.litres(), "L"),
            (UnitSystem::UsCustomary, false) => (self.cubic_feet(), "ft³"),
            (UnitSystem::UsCustomary, true) => (self.gallons(), "gal"),
        };
        format!("{} {unit}", significant(value, 3))
    }
}

impl Length {
    /// A width or depth: mm, in.
    #[must_use]
    pub fn show_detail(self, system: UnitSystem) -> String {
        system.pick(
            format!("{} mm", significant(self.millimetres(), 3)),
            format!("{} in", significant(self.inches(), if self.inches() < 0.1 { 2 } else { 3 })),
        )
    }

    /// A width or depth in both systems, the person's own first.
    #[must_use]
    pub fn show_detail_both(self, system: UnitSystem) -> String {
        format!("{} ({})", self.show_detail(system), self.show_detail(system.other()))
    }

    /// A height of texture: mm; mil, from a quarter of an inch on in.
    #[must_use]
    pub fn show_fine(self, system: UnitSystem) -> String {
        let us = if self.inches().abs() < 0.25 {
            format!("{} mil", significant(self.mils(), 3))
        } else {
            format!("{} in", significant(self.inches(), 3))
        };
        system.pick(format!("{} mm", significant(self.millimetres(), 3)), us)
    }

    /// A height of texture in both systems, the person's own first.
    #[must_use]
    pub fn show_fine_both(self, system: UnitSystem) -> String {
        format!("{} ({})", self.show_fine(system), self.show_fine(system.other()))
    }

    /// The same in both systems, the person's own first.
    #[must_use]
    pub fn show_film_both(self, system: UnitSystem) -> String {
        format!("{} ({})", self.show_film(system), self.show_film(system.other()))
    }

    /// A film's thickness: µm, mil.
    #[must_use]
    pub fn show_film(self, system: UnitSystem) -> String {
        system.pick(
            format!("{} μm", significant(self.micrometres(), 3)),
            format!("{} mil", significant(self.mils(), 3)),
        )
    }
}

impl Fraction {
    /// As a percentage.
    #[must_use]
    pub fn show_percent(self) -> String {
        format!("{} %", significant(self.percent(), if self.percent() < 10.0 { 2 } else { 3 }))
    }
}

impl WorkTime {
    /// Hours to the tenth.
    #[must_use]
    pub fn show_hours(self) -> String {
        format!("{} h", fixed(self.hours(), 1))
    }

    /// Hours and minutes as a crew says them: `3 h 20 min`.
    #[must_use]
    pub fn show_clock(self) -> String {
        let minutes = (self.minutes() / 5.0).ceil() as i64 * 5;
        match (minutes / 60, minutes % 60) {
            (0, rest) => format!("{rest} min"),
            (hours, 0) => format!("{hours} h"),
            (hours, rest) => format!("{hours} h {rest} min"),
        }
    }
}

impl Money {
    /// Whole units of the currency, thousands apart.
    #[must_use]
    pub fn show_whole(self, currency: &str) -> String {
        format!("{} {currency}", fixed(self.amount(), 0))
    }

    /// A change, with its sign and the currency.
    #[must_use]
    pub fn show_change(self, currency: &str) -> String {
        let sign = if self.amount() < 0.0 { "-" } else { "+" };
        format!("{sign}{} {currency}", fixed(self.amount().abs(), 0))
    }

    /// To the hundredth.
    #[must_use]
    pub fn show_cents(self) -> String {
        fixed(self.amount(), 2)
    }
}
