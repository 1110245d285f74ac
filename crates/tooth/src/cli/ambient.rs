//! `tooth ambient`.

use clap::Args;
use tooth_formats::{COMMAND_LINE, Fault, Severity};
use tooth_job::ambient::{Ambient, Moment};
use tooth_measure::range::{self, Range};
use tooth_measure::say::{Said, both, said};
use tooth_measure::{Fraction, Quantity, Speed, Temperature, TemperatureDifference, UnitSystem};

use super::{Answer, Outcome, Printing, print_json, print_schema};
use crate::app::{App, Refusal};
use crate::terminal::Page;

/// Arguments of `ambient`: each either as a bare SI number or as text with its unit.
#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// Air temperature, °C.
    #[arg(long, allow_negative_numbers = true)]
    air_c: Option<f64>,
    /// Air temperature with its unit: 70F.
    #[arg(long, conflicts_with = "air_c", allow_hyphen_values = true)]
    air: Option<String>,
    /// Relative humidity, percent.
    #[arg(long)]
    humidity_percent: Option<f64>,
    /// Relative humidity with its unit: 65%.
    #[arg(long, conflicts_with = "humidity_percent")]
    humidity: Option<String>,
    /// Surface temperature, °C.
    #[arg(long, allow_negative_numbers = true)]
    surface_c: Option<f64>,
    /// Surface temperature with its unit: 64F.
    #[arg(long, conflicts_with = "surface_c", allow_hyphen_values = true)]
    surface: Option<String>,
    /// Wind, km/h; for evaporation.
    #[arg(long)]
    wind_km_h: Option<f64>,
    /// Wind with its unit: 10mph.
    #[arg(long, conflicts_with = "wind_km_h")]
    wind: Option<String>,
    /// Temperature of the concrete, °C, for evaporation (else the surface's).
    #[arg(long, allow_negative_numbers = true)]
    concrete_c: Option<f64>,
    /// Temperature of the concrete with its unit: 64F.
    #[arg(long, conflicts_with = "concrete_c", allow_hyphen_values = true)]
    concrete: Option<String>,
    #[command(flatten)]
    pub(super) printing: Printing,
}

/// Reads the flags of one value and keeps the faults.
struct Flags(Vec<Fault>);

impl Flags {
    fn maybe<Q: Quantity + std::fmt::Debug>(
        &mut self,
        flag: &str,
        number: Option<f64>,
        make: fn(f64) -> Q,
        text: Option<&str>,
        range: &Range<Q>,
    ) -> Option<Q> {
        let value = match (number, text) {
            (Some(number), _) => Ok(make(number)),
            (None, Some(text)) => Q::parse(text).map_err(|error| error.said()),
            (None, None) => return None,
        };
        match value.and_then(|value| range.check(value)) {
            Ok(value) => Some(value),
            Err(expected) => {
                let found = text.map_or_else(
                    || number.unwrap_or_default().to_string(),
                    |text| format!("`{text}`"),
                );
                self.refuse(flag, expected, found.into());
                None
            }
        }
    }

    fn refuse(&mut self, flag: &str, expected: Said, found: Said) {
        self.0.push(Fault {
            severity: Severity::Fault,
            file: COMMAND_LINE.to_owned(),
            line: None,
            field: flag.to_owned(),
            expected: Box::new(expected),
            found: Box::new(found),
        });
    }

    fn needed<Q>(&mut self, flag: &str, unit: Said, given: bool, value: Option<Q>) -> Option<Q> {
        if !given {
            self.refuse(
                flag,
                said!("cli-flag-with-unit", flag = flag, unit = unit),
                said!("nothing"),
            );
        }
        value
    }
}

fn moment(a: &Arguments) -> Result<(Moment, UnitSystem), Vec<Fault>> {
    let mut flags = Flags(Vec::new());
    let air = flags.maybe(
        "--air",
        a.air_c,
        Temperature::from_celsius,
        a.air.as_deref(),
        &range::AIR_TEMPERATURE,
    );
    let humidity = flags.maybe(
        "--humidity",
        a.humidity_percent,
        Fraction::from_percent,
        a.humidity.as_deref(),
        &range::RELATIVE_HUMIDITY,
    );
    let surface = flags.maybe(
        "--surface",
        a.surface_c,
        Temperature::from_celsius,
        a.surface.as_deref(),
        &range::SURFACE_TEMPERATURE,
    );
    let wind = flags.maybe(
        "--wind",
        a.wind_km_h,
        Speed::from_kilometres_per_hour,
        a.wind.as_deref(),
        &range::WIND_SPEED,
    );
    let concrete = flags.maybe(
        "--concrete",
        a.concrete_c,
        Temperature::from_celsius,
        a.concrete.as_deref(),
        &range::SURFACE_TEMPERATURE,
    );
    let air = flags.needed(
        "--air",
        said!("cli-with-its-unit-or-air-c"),
        a.air_c.is_some() || a.air.is_some(),
        air,
    );
    let humidity = flags.needed(
        "--humidity",
        said!("cli-with-its-unit-or-humidity-percent"),
        a.humidity_percent.is_some() || a.humidity.is_some(),
        humidity,
    );
    let surface = flags.needed(
        "--surface",
        said!("cli-with-its-unit-or-surface-c"),
        a.surface_c.is_some() || a.surface.is_some(),
        surface,
    );
    let fahrenheit =
        [&a.air, &a.surface, &a.concrete].into_iter().flatten().any(|t| t.ends_with(['F', 'f']));
    match (air, humidity, surface) {
        (Some(air), Some(humidity), Some(surface)) if flags.0.is_empty() => {
            let evaporation = wind.map(|wind| (wind, concrete.unwrap_or(surface)));
            let units = if fahrenheit { UnitSystem::UsCustomary } else { UnitSystem::Si };
            Ok((Moment { air, humidity, surface, evaporation }, units))
        }
        _ => Err(flags.0),
    }
}

pub(super) fn run(app: &App, arguments: &Arguments) -> Outcome {
    if arguments.printing.schema {
        return print_schema::<Ambient>();
    }
    let (moment, units) = moment(arguments).map_err(Refusal::Input)?;
    let answer = app.ambient(&moment);
    if arguments.printing.json {
        print_json(&answer, app.words())?;
        return Ok(Answer::Done);
    }
    let mut page = Page::new(app.words_in(units));
    match (answer.dew_point_c, answer.margin_c) {
        (Some(dew), Some(margin)) => {
            page.item(0, said!("cli-dew-point"), both(dew));
            page.item(
                0,
                said!("cli-margin"),
                said!("cli-the-surface-stands-above", margin = both(margin)),
            );
            let usual = TemperatureDifference::from_kelvins(3.0);
            let word = if margin < usual { said!("cli-less-than") } else { said!("cli-at-least") };
            page.note(
                0,
                said!("cli-that-is-the-usual-iso-8502-4", word = word, usual = both(usual)),
            );
        }
        _ => page.item(0, said!("cli-dew-point"), said!("cli-none-the-air-is-dry")),
    }
    if let Some(rate) = answer.evaporation_kg_m2_h {
        page.item(
            0,
            said!("cli-evaporation"),
            said!("cli-of-free-water-uno-1998", rate = both(rate)),
        );
        page.note(0, said!("cli-from-1-0-kg-m-h-0"));
    }
    page.print();
    Ok(Answer::Done)
}
