//! Quantities with units: one type per physical quantity, SI inside.
//!
//! A value is made and read by a function that names its unit
//! ([`Length::from_millimetres`], [`Length::millimetres`]). A person's text
//! (`"1/8 in"`, `"10 ft 6 in"`, `"3 mil"`) is read by [`Quantity::parse`].
//! In JSON a quantity is a bare number in the unit of [`Quantity::JSON_UNIT`];
//! the field that holds it ends in that unit's name.
//!
//! Factors: the international yard and pound (1959), exact: 1 ft = 0.3048 m,
//! 1 lb = 0.453 592 37 kg; US gallon = 231 in³; pound-force by g = 9.806 65 m/s².

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub};

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Serialize, Serializer};

use crate::say::{Said, said};

/// A unit of some quantity: value in SI = (number + `offset`) × `factor`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// What a person types, first spelling first.
    pub symbols: &'static [&'static str],
    factor: f64,
    offset: f64,
}

impl Unit {
    /// The number in this unit of an SI number.
    #[must_use]
    pub fn of_si(&self, value: f64) -> f64 {
        value / self.factor - self.offset
    }
}

/// Why a text is not a quantity.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ParseError {
    /// The text holds no number where one must stand.
    NotANumber {
        /// The text where the number was looked for.
        found: String,
    },
    /// A comma where a number goes on: a decimal or thousands, nobody can tell.
    Comma,
    /// A number without its unit.
    NoUnit {
        /// The units that would do.
        expected: String,
    },
    /// A unit that does not measure this quantity.
    WrongUnit {
        /// The unit found.
        found: String,
        /// The units that would do.
        expected: String,
    },
    /// Infinite or not a number.
    NotFinite,
}

impl fmt::Display for ParseError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotANumber { found } => write!(f, "a number, not `{found}`"),
            Self::Comma => {
                f.write_str("a number without a comma (1.4 for a decimal, 1400 for thousands)")
            }
            Self::NoUnit { expected } => write!(f, "a number with its unit ({expected})"),
            Self::WrongUnit { found, expected } => {
                write!(f, "one of the units {expected}, not `{found}`")
            }
            Self::NotFinite => f.write_str("a finite number"),
        }
    }
}

impl std::error::Error for ParseError {}

impl ParseError {
    /// What would do in the text's place.
    #[must_use]
    pub fn said(&self) -> Said {
        match self {
            Self::NotANumber { found } => said!("a-number-not", found = found),
            Self::Comma => said!("a-number-without-a-comma"),
            Self::NoUnit { expected } => said!("a-number-with-its-unit", units = expected),
            Self::WrongUnit { found, expected } => {
                said!("one-of-the-units-not", units = expected, found = found)
            }
            Self::NotFinite => said!("a-finite-number"),
        }
    }
}

/// Quantities of which a person writes a greater and a lesser unit together.
const ADD_UP: &[&str] = &["length", "mass", "time"];

/// Conversion of units, and a mean of some figures, round by less than this share.
const AT_THE_LIMIT: f64 = 1e-9;

/// What all quantities share. Values are finite SI numbers.
pub trait Quantity: Copy + PartialOrd + Sized + 'static {
    /// What it measures, as a person would say it.
    const NAME: &'static str;
    /// The unit of the bare number in JSON.
    const JSON_UNIT: &'static str;
    /// Every unit a person may type.
    const UNITS: &'static [Unit];

    /// From the SI number.
    fn from_si(value: f64) -> Self;
    /// The SI number.
    fn si(self) -> f64;

    /// Whether it is as much as a limit: what was typed at the limit, in whatever unit, is at it.
    fn reaches(self, limit: Self) -> bool {
        self.si() >= limit.si() - limit.si().abs() * AT_THE_LIMIT
    }

    /// Whether it is more than a limit, by more than conversion of units can make it.
    fn exceeds(self, limit: Self) -> bool {
        self.si() > limit.si() + limit.si().abs() * AT_THE_LIMIT
    }

    /// Reads a number with its unit; of a length, mass or time a lesser unit may follow
    /// (`"10 ft 6 in"`). Numbers may be decimal, a fraction, or mixed (`"1 1/2"`).
    ///
    /// # Errors
    /// [`ParseError`] when the text is no number, has no unit, has a unit of
    /// another quantity, or is not finite.
    fn parse(text: &str) -> Result<Self, ParseError> {
        let (number, after) = leading_number(text.trim())?;
        let (unit, mut rest) = leading_unit(after, Self::UNITS)?;
        let mut total = (number + unit.offset) * unit.factor;
        let mut least = unit.factor;
        let sign = if number.is_sign_negative() { -1.0 } else { 1.0 };
        while !rest.is_empty() {
            let stray = || ParseError::NotANumber { found: rest.chars().take(40).collect() };
            let (number, after) = leading_number(rest)?;
            let (unit, after) = leading_unit(after, Self::UNITS)?;
            // Feet and inches add up; two temperatures, or inches and feet, do not.
            if !ADD_UP.contains(&Self::NAME) || unit.factor >= least || number < 0.0 {
                return Err(stray());
            }
            total += sign * number * unit.factor;
            least = unit.factor;
            rest = after;
        }
        if total.is_finite() { Ok(Self::from_si(total)) } else { Err(ParseError::NotFinite) }
    }

    /// The units a person may type, as one text: `m, mm, ft`.
    fn unit_list() -> String {
        unit_list(Self::UNITS)
    }

    /// A total order (values are finite).
    fn order(self, other: Self) -> std::cmp::Ordering {
        self.si().total_cmp(&other.si())
    }
}

fn unit_list(units: &[Unit]) -> String {
    let first = units.iter().filter_map(|u| u.symbols.first().copied());
    first.filter(|symbol| !symbol.is_empty()).collect::<Vec<_>>().join(", ")
}

/// A decimal, fraction or mixed number at the start of a text.
fn leading_number(text: &str) -> Result<(f64, &str), ParseError> {
    let none = || ParseError::NotANumber { found: text.chars().take(40).collect() };
    let (whole, after) = plain_number(text).ok_or_else(none)?;
    if let Some(below) = after.strip_prefix('/')
        && let Some((denominator, rest)) = plain_number(below)
    {
        return fraction(whole, denominator).map(|f| (f, rest));
    }
    let gap = after.trim_start_matches([' ', '-']);
    if gap.len() < after.len()
        && let Some((numerator, tail)) = plain_number(gap)
        && let Some(below) = tail.strip_prefix('/')
        && let Some((denominator, rest)) = plain_number(below)
    {
        let part = fraction(numerator, denominator)?;
        return Ok((if whole < 0.0 { whole - part } else { whole + part }, rest));
    }
    Ok((whole, after))
}

fn fraction(numerator: f64, denominator: f64) -> Result<f64, ParseError> {
    let value = numerator / denominator;
    if value.is_finite() { Ok(value) } else { Err(ParseError::NotFinite) }
}

fn plain_number(text: &str) -> Option<(f64, &str)> {
    let bytes = text.as_bytes();
    let mut end = usize::from(matches!(bytes.first(), Some(b'-' | b'+')));
    let start = end;
    let digits = |mut at: usize| {
        while bytes.get(at).is_some_and(u8::is_ascii_digit) {
            at += 1;
        }
        at
    };
    end = digits(end);
    if bytes.get(end) == Some(&b'.') && bytes.get(end + 1).is_some_and(u8::is_ascii_digit) {
        end = digits(end + 1);
    }
    if end == start {
        return None;
    }
    if matches!(bytes.get(end), Some(b'e' | b'E')) {
        let sign = usize::from(matches!(bytes.get(end + 1), Some(b'-' | b'+')));
        let exponent = digits(end + 1 + sign);
        if exponent > end + 1 + sign {
            end = exponent;
        }
    }
    let value: f64 = text.get(..end)?.parse().ok()?;
    Some((value, text.get(end..)?))
}

/// The longest unit symbol at the start of a text, ending at a word's end.
fn leading_unit<'u, 't>(
    text: &'t str,
    units: &'u [Unit],
) -> Result<(&'u Unit, &'t str), ParseError> {
    let text = text.trim_start();
    if text.starts_with(',') {
        return Err(ParseError::Comma);
    }
    if text.is_empty() {
        return Err(ParseError::NoUnit { expected: unit_list(units) });
    }
    let mut best: Option<(&Unit, &str)> = None;
    for unit in units {
        // The empty symbol is only for numbers made in code: a person names the unit.
        for symbol in unit.symbols.iter().filter(|symbol| !symbol.is_empty()) {
            if let Some(rest) = text.strip_prefix(symbol)
                && rest.chars().next().is_none_or(|c| c == ' ' || c.is_ascii_digit())
                && best.is_none_or(|(_, kept)| rest.len() < kept.len())
            {
                best = Some((unit, rest));
            }
        }
    }
    best.map(|(unit, rest)| (unit, rest.trim_start())).ok_or_else(|| ParseError::WrongUnit {
        found: text.chars().take(24).collect(),
        expected: unit_list(units),
    })
}

/// Ten significant digits: sums in another order print the same JSON.
fn tidy(value: f64) -> f64 {
    if value == 0.0 || !value.is_finite() {
        return 0.0;
    }
    format!("{value:.9e}").parse().unwrap_or(value)
}

macro_rules! quantity {
    ($(#[$doc:meta])* $type:ident, $name:literal, json $json:ident = $json_name:literal,
     { $( $(#[$unit_doc:meta])* $get:ident, $from:ident: $symbols:expr => $factor:expr $(, offset $offset:expr)?; )+ }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $type(f64);

        impl $type {
            $(
                $(#[$unit_doc])*
                #[must_use]
                pub const fn $from(value: f64) -> Self {
                    Self((value $(+ $offset)?) * $factor)
                }
                $(#[$unit_doc])*
                #[must_use]
                pub const fn $get(self) -> f64 {
                    self.0 / $factor $(- $offset)?
                }
            )+
        }

        impl Quantity for $type {
            const NAME: &'static str = $name;
            const JSON_UNIT: &'static str = $json_name;
            const UNITS: &'static [Unit] = &[
                $( Unit { symbols: &$symbols, factor: $factor, offset: 0.0 $(+ $offset)? }, )+
            ];
            fn from_si(value: f64) -> Self { Self(value) }
            fn si(self) -> f64 { self.0 }
        }

        impl fmt::Debug for $type {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "{} {}", self.$json(), $json_name)
            }
        }

        impl Serialize for $type {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.serialize_f64(tidy(self.$json()))
            }
        }

        impl JsonSchema for $type {
            fn schema_name() -> std::borrow::Cow<'static, str> { stringify!($type).into() }
            fn json_schema(_: &mut SchemaGenerator) -> Schema {
                json_schema!({ "type": "number", "description": concat!($name, ", ", $json_name) })
            }
        }
    };
}

/// Arithmetic of a quantity that adds up (not an absolute temperature).
macro_rules! adds_up {
    ($($type:ident),+) => { $(
        impl $type {
            /// Nothing of it.
            pub const ZERO: Self = Self(0.0);
            /// The greater of two.
            #[must_use]
            pub fn max(self, other: Self) -> Self { if other.0 > self.0 { other } else { self } }
            /// The lesser of two.
            #[must_use]
            pub fn min(self, other: Self) -> Self { if other.0 < self.0 { other } else { self } }
        }
        impl Add for $type { type Output = Self; fn add(self, o: Self) -> Self { Self(self.0 + o.0) } }
        impl Sub for $type { type Output = Self; fn sub(self, o: Self) -> Self { Self(self.0 - o.0) } }
        impl Neg for $type { type Output = Self; fn neg(self) -> Self { Self(-self.0) } }
        impl AddAssign for $type { fn add_assign(&mut self, o: Self) { self.0 += o.0; } }
        impl Mul<f64> for $type { type Output = Self; fn mul(self, k: f64) -> Self { Self(self.0 * k) } }
        impl Mul<Fraction> for $type { type Output = Self; fn mul(self, k: Fraction) -> Self { Self(self.0 * k.0) } }
        impl Div<f64> for $type { type Output = Self; fn div(self, k: f64) -> Self { Self(self.0 / k) } }
        impl Div for $type { type Output = f64; fn div(self, o: Self) -> f64 { self.0 / o.0 } }
        impl Sum for $type { fn sum<I: Iterator<Item = Self>>(i: I) -> Self { Self(i.map(|q| q.0).sum()) } }
        impl<'a> Sum<&'a $type> for $type { fn sum<I: Iterator<Item = &'a $type>>(i: I) -> Self { Self(i.map(|q| q.0).sum()) } }
    )+ };
}

macro_rules! product {
    ($($a:ident * $b:ident = $c:ident),+ $(,)?) => { $(
        impl Mul<$b> for $a { type Output = $c; fn mul(self, o: $b) -> $c { $c(self.0 * o.0) } }
        impl Div<$b> for $c { type Output = $a; fn div(self, o: $b) -> $a { $a(self.0 / o.0) } }
        impl Div<$a> for $c { type Output = $b; fn div(self, o: $a) -> $b { $b(self.0 / o.0) } }
    )+ };
}

const FOOT: f64 = 0.3048;
const INCH: f64 = FOOT / 12.0;
const POUND: f64 = 0.453_592_37;
const GALLON: f64 = 231.0 * INCH * INCH * INCH;
const LITRE: f64 = 1e-3;
const PSI: f64 = POUND * 9.806_65 / (INCH * INCH);

quantity! {
    /// A length or thickness: metres inside.
    Length, "length", json metres = "m", {
        /// Metres.
        metres, from_metres: ["m"] => 1.0;
        /// Millimetres.
        millimetres, from_millimetres: ["mm"] => 1e-3;
        /// Centimetres.
        centimetres, from_centimetres: ["cm"] => 1e-2;
        /// Micrometres.
        micrometres, from_micrometres: ["um", "µm", "μm"] => 1e-6;
        /// Feet.
        feet, from_feet: ["ft", "'", "foot", "feet"] => FOOT;
        /// Inches.
        inches, from_inches: ["in", "\"", "inch", "inches"] => INCH;
        /// Thousandths of an inch.
        mils, from_mils: ["mil", "mils"] => INCH / 1000.0;
    }
}
quantity! {
    /// An area: square metres inside.
    Area, "area", json square_metres = "m²", {
        /// Square metres.
        square_metres, from_square_metres: ["m2", "m²"] => 1.0;
        /// Square feet.
        square_feet, from_square_feet: ["ft2", "ft²", "sqft", "sq ft", "sf"] => FOOT * FOOT;
        /// Square inches.
        square_inches, from_square_inches: ["in2", "in²"] => INCH * INCH;
        /// Square millimetres.
        square_millimetres, from_square_millimetres: ["mm2", "mm²"] => 1e-6;
    }
}
quantity! {
    /// A volume: cubic metres inside.
    Volume, "volume", json cubic_metres = "m³", {
        /// Cubic metres.
        cubic_metres, from_cubic_metres: ["m3", "m³"] => 1.0;
        /// Litres.
        litres, from_litres: ["L", "l"] => LITRE;
        /// Cubic millimetres.
        cubic_millimetres, from_cubic_millimetres: ["mm3", "mm³"] => 1e-9;
        /// Cubic feet.
        cubic_feet, from_cubic_feet: ["ft3", "ft³"] => FOOT * FOOT * FOOT;
        /// Cubic inches.
        cubic_inches, from_cubic_inches: ["in3", "in³"] => INCH * INCH * INCH;
        /// US gallons.
        gallons, from_gallons: ["gal", "gallon", "gallons"] => GALLON;
    }
}
quantity! {
    /// A mass: kilograms inside.
    Mass, "mass", json kilograms = "kg", {
        /// Kilograms.
        kilograms, from_kilograms: ["kg"] => 1.0;
        /// Grams.
        grams, from_grams: ["g"] => 1e-3;
        /// Pounds.
        pounds, from_pounds: ["lb", "lbs", "pounds"] => POUND;
    }
}
quantity! {
    /// Working time: hours inside.
    WorkTime, "time", json hours = "h", {
        /// Hours.
        hours, from_hours: ["h", "hr", "hour", "hours"] => 1.0;
        /// Minutes.
        minutes, from_minutes: ["min", "minutes"] => 1.0 / 60.0;
        /// Seconds.
        seconds, from_seconds: ["s", "sec", "seconds"] => 1.0 / 3600.0;
        /// Days of 24 hours.
        days, from_days: ["d", "day", "days"] => 24.0;
    }
}
quantity! {
    /// A span of time, or a moment of a recording counted from its start: seconds inside.
    TimeSpan, "time span", json seconds = "s", {
        /// Seconds.
        seconds, from_seconds: ["s"] => 1.0;
        /// Thousandths of a second.
        milliseconds, from_milliseconds: ["ms"] => 1e-3;
        /// Minutes.
        minutes, from_minutes: ["min"] => 60.0;
    }
}
quantity! {
    /// A frequency: hertz inside.
    Frequency, "frequency", json hertz = "Hz", {
        /// Hertz.
        hertz, from_hertz: ["Hz"] => 1.0;
        /// Thousands of hertz.
        kilohertz, from_kilohertz: ["kHz"] => 1e3;
    }
}
quantity! {
    /// A level: ten times the decimal logarithm of a ratio of powers.
    Level, "level", json decibels = "dB", {
        /// Decibels.
        decibels, from_decibels: ["dB"] => 1.0;
    }
}
quantity! {
    /// Tensile or compressive stress: megapascals inside.
    Stress, "strength", json megapascals = "MPa", {
        /// Megapascals.
        megapascals, from_megapascals: ["MPa", "N/mm2", "N/mm²"] => 1.0;
        /// Pounds-force per square inch.
        psi, from_psi: ["psi", "PSI"] => PSI / 1e6;
    }
}
quantity! {
    /// A temperature on the Celsius scale.
    Temperature, "temperature", json celsius = "°C", {
        /// Degrees Celsius.
        celsius, from_celsius: ["C", "°C", "degC"] => 1.0;
        /// Degrees Fahrenheit.
        fahrenheit, from_fahrenheit: ["F", "°F", "degF"] => (5.0 / 9.0), offset -32.0;
    }
}
quantity! {
    /// A difference of temperatures: kelvins, the same size as degrees Celsius.
    TemperatureDifference, "temperature difference", json kelvins = "°C", {
        /// Kelvins.
        kelvins, from_kelvins: ["C", "°C", "K"] => 1.0;
        /// Fahrenheit degrees.
        fahrenheit_degrees, from_fahrenheit_degrees: ["F", "°F"] => 5.0 / 9.0;
    }
}
quantity! {
    /// A dimensionless share; relative humidity is one. 1 is the whole.
    Fraction, "share", json ratio = "fraction", {
        /// The share of one.
        ratio, new: [""] => 1.0;
        /// Percent.
        percent, from_percent: ["%"] => 0.01;
    }
}
quantity! {
    /// Wind or travel speed: metres per second inside.
    Speed, "speed", json kilometres_per_hour = "km/h", {
        /// Metres per second.
        metres_per_second, from_metres_per_second: ["m/s"] => 1.0;
        /// Kilometres per hour.
        kilometres_per_hour, from_kilometres_per_hour: ["km/h"] => 1.0 / 3.6;
        /// Miles per hour.
        miles_per_hour, from_miles_per_hour: ["mph"] => 1609.344 / 3600.0;
    }
}
quantity! {
    /// Evaporation of surface water: kilograms per square metre and hour inside.
    EvaporationRate, "evaporation rate", json kilograms_per_square_metre_hour = "kg/m²/h", {
        /// kg/m²/h.
        kilograms_per_square_metre_hour, from_kilograms_per_square_metre_hour: ["kg/m2/h", "kg/m²/h"] => 1.0;
        /// lb/ft²/h.
        pounds_per_square_foot_hour, from_pounds_per_square_foot_hour: ["lb/ft2/h", "lb/ft²/h"] => POUND / (FOOT * FOOT);
    }
}
quantity! {
    /// Moisture vapour emission (ASTM F1869): grams per square metre and 24 h inside.
    MoistureEmission, "moisture emission", json grams_per_square_metre_day = "g/m²/24h", {
        /// g/m²/24h.
        grams_per_square_metre_day, from_grams_per_square_metre_day: ["g/m2/24h", "g/m²/24h"] => 1.0;
        /// lb/1000 ft²/24h.
        pounds_per_thousand_square_feet_day, from_pounds_per_thousand_square_feet_day:
            ["lb/1000ft2/24h", "lb/1000 ft2/24h", "lb/1000ft²/24h"] => POUND * 1000.0 / (1000.0 * FOOT * FOOT);
    }
}
quantity! {
    /// An angle: degrees inside.
    Angle, "angle", json degrees = "°", {
        /// Degrees.
        degrees, from_degrees: ["deg", "°"] => 1.0;
    }
}
quantity! {
    /// Acidity as pH.
    Acidity, "pH", json ph = "pH", {
        /// pH.
        ph, from_ph: ["pH", "ph"] => 1.0;
    }
}
quantity! {
    /// Area worked in an hour: square metres per hour inside.
    AreaRate, "area rate", json square_metres_per_hour = "m²/h", {
        /// m²/h.
        square_metres_per_hour, from_square_metres_per_hour: ["m2/h", "m²/h"] => 1.0;
        /// ft²/h.
        square_feet_per_hour, from_square_feet_per_hour: ["ft2/h", "ft²/h"] => FOOT * FOOT;
    }
}
quantity! {
    /// Length worked in an hour: metres per hour inside.
    LengthRate, "length rate", json metres_per_hour = "m/h", {
        /// m/h.
        metres_per_hour, from_metres_per_hour: ["m/h"] => 1.0;
        /// ft/h.
        feet_per_hour, from_feet_per_hour: ["ft/h"] => FOOT;
    }
}
quantity! {
    /// Volume worked in an hour: cubic metres per hour inside.
    VolumeRate, "volume rate", json cubic_metres_per_hour = "m³/h", {
        /// m³/h.
        cubic_metres_per_hour, from_cubic_metres_per_hour: ["m3/h", "m³/h"] => 1.0;
        /// ft³/h.
        cubic_feet_per_hour, from_cubic_feet_per_hour: ["ft3/h", "ft³/h"] => FOOT * FOOT * FOOT;
    }
}
quantity! {
    /// Liquid spread on a surface: metres (m³/m²) inside.
    VolumePerArea, "spread rate", json litres_per_square_metre = "L/m²", {
        /// L/m².
        litres_per_square_metre, from_litres_per_square_metre: ["L/m2", "L/m²"] => LITRE;
        /// gal/ft².
        gallons_per_square_foot, from_gallons_per_square_foot: ["gal/ft2", "gal/ft²"] => GALLON / (FOOT * FOOT);
    }
}
quantity! {
    /// Solids spread on or taken off a surface: kilograms per square metre inside.
    MassPerArea, "mass per area", json kilograms_per_square_metre = "kg/m²", {
        /// kg/m².
        kilograms_per_square_metre, from_kilograms_per_square_metre: ["kg/m2", "kg/m²"] => 1.0;
        /// g/m².
        grams_per_square_metre, from_grams_per_square_metre: ["g/m2", "g/m²"] => 1e-3;
        /// lb/ft².
        pounds_per_square_foot, from_pounds_per_square_foot: ["lb/ft2", "lb/ft²"] => POUND / (FOOT * FOOT);
    }
}
quantity! {
    /// Density: kilograms per cubic metre inside.
    MassPerVolume, "density", json kilograms_per_cubic_metre = "kg/m³", {
        /// kg/m³.
        kilograms_per_cubic_metre, from_kilograms_per_cubic_metre: ["kg/m3", "kg/m³"] => 1.0;
        /// lb/ft³.
        pounds_per_cubic_foot, from_pounds_per_cubic_foot: ["lb/ft3", "lb/ft³"] => POUND / (FOOT * FOOT * FOOT);
    }
}
quantity! {
    /// Money in the job's one currency.
    Money, "money", json amount = "job currency", {
        /// Units of the job's currency.
        amount, new: [""] => 1.0;
    }
}
quantity! {
    /// Price of an hour.
    MoneyPerHour, "price per hour", json per_hour = "job currency/h", {
        /// Per hour.
        per_hour, from_per_hour: ["/h", "/hr"] => 1.0;
        /// Per day of eight working hours.
        per_working_day, from_per_working_day: ["/day"] => 0.125;
    }
}
quantity! {
    /// Price of an area.
    MoneyPerArea, "price per area", json per_square_metre = "job currency/m²", {
        /// Per square metre.
        per_square_metre, from_per_square_metre: ["/m2", "/m²"] => 1.0;
        /// Per square foot.
        per_square_foot, from_per_square_foot: ["/ft2", "/ft²"] => 1.0 / (FOOT * FOOT);
    }
}
quantity! {
    /// Price of a length.
    MoneyPerLength, "price per length", json per_metre = "job currency/m", {
        /// Per metre.
        per_metre, from_per_metre: ["/m"] => 1.0;
        /// Per foot.
        per_foot, from_per_foot: ["/ft"] => 1.0 / FOOT;
    }
}
quantity! {
    /// Price of a volume.
    MoneyPerVolume, "price per volume", json per_cubic_metre = "job currency/m³", {
        /// Per cubic metre.
        per_cubic_metre, from_per_cubic_metre: ["/m3", "/m³"] => 1.0;
        /// Per litre.
        per_litre, from_per_litre: ["/L"] => 1.0 / LITRE;
        /// Per cubic foot.
        per_cubic_foot, from_per_cubic_foot: ["/ft3", "/ft³"] => 1.0 / (FOOT * FOOT * FOOT);
        /// Per US gallon.
        per_gallon, from_per_gallon: ["/gal"] => 1.0 / GALLON;
    }
}
quantity! {
    /// Price of a mass.
    MoneyPerMass, "price per mass", json per_kilogram = "job currency/kg", {
        /// Per kilogram.
        per_kilogram, from_per_kilogram: ["/kg"] => 1.0;
        /// Per tonne.
        per_tonne, from_per_tonne: ["/t"] => 1e-3;
        /// Per pound.
        per_pound, from_per_pound: ["/lb"] => 1.0 / POUND;
    }
}

adds_up!(
    Length,
    Area,
    Volume,
    Mass,
    WorkTime,
    Stress,
    TemperatureDifference,
    TimeSpan,
    Frequency,
    Level,
    Fraction,
    Speed,
    EvaporationRate,
    MoistureEmission,
    AreaRate,
    LengthRate,
    VolumeRate,
    VolumePerArea,
    MassPerArea,
    MassPerVolume,
    Money,
    MoneyPerHour,
    MoneyPerArea,
    MoneyPerLength,
    MoneyPerVolume,
    MoneyPerMass
);

product! {
    Area * Length = Volume,
    AreaRate * WorkTime = Area,
    LengthRate * WorkTime = Length,
    VolumeRate * WorkTime = Volume,
    MoneyPerHour * WorkTime = Money,
    MoneyPerArea * Area = Money,
    MoneyPerLength * Length = Money,
    MoneyPerVolume * Volume = Money,
    MoneyPerMass * Mass = Money,
    MassPerArea * Area = Mass,
    MassPerVolume * Volume = Mass,
}

impl Mul for Length {
    type Output = Area;
    fn mul(self, other: Self) -> Area {
        Area(self.0 * other.0)
    }
}

impl Mul<Area> for VolumePerArea {
    type Output = Volume;
    fn mul(self, area: Area) -> Volume {
        Volume(self.0 * area.0)
    }
}

impl Sub for Temperature {
    type Output = TemperatureDifference;
    fn sub(self, other: Self) -> TemperatureDifference {
        TemperatureDifference(self.0 - other.0)
    }
}

impl Add<TemperatureDifference> for Temperature {
    type Output = Self;
    fn add(self, difference: TemperatureDifference) -> Self {
        Self(self.0 + difference.0)
    }
}

impl Sub for Acidity {
    type Output = f64;
    fn sub(self, other: Self) -> f64 {
        self.0 - other.0
    }
}

impl Fraction {
    /// In whole percent, for a bar.
    #[must_use]
    pub fn whole_percent(self) -> u32 {
        (self.0 * 100.0).round().clamp(0.0, 100.0) as u32
    }
    /// The whole.
    pub const ONE: Self = Self(1.0);
    /// What is left of the whole.
    #[must_use]
    pub fn complement(self) -> Self {
        Self(1.0 - self.0)
    }
}
