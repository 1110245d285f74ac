//! Air and surface on the day of the reading: the margin above dew point, surface
//! temperature, humidity of the air.

use jiff::civil::DateTime;
use tooth_measure::say::{Joint, both, listed, own, percent, said};
use tooth_measure::{
    Certainty, Fraction, Source, Temperature, TemperatureDifference, psychrometrics,
};

use crate::assessment::finding::{Evidence, FindingState, Outcome, before_work, found};
use crate::assessment::look::{Look, of_reading};
use crate::survey::{Matter, Measured};

/// Surface above dew point by at least this, unless the sheet says otherwise.
pub const USUAL_MARGIN: TemperatureDifference = TemperatureDifference::from_kelvins(3.0);

/// Air, humidity and surface are read within this time of each other. Common practice.
const TOGETHER_MINUTES: i64 = 60;
/// Usual highest humidity of the air, where the sheet says nothing.
const USUAL_HUMIDITY: Fraction = Fraction::from_percent(85.0);

/// Air, humidity and surface of one hour, and what follows from them.
struct Together {
    time: DateTime,
    humidity: Fraction,
    surface: Temperature,
    margin: TemperatureDifference,
    evidence: Vec<Evidence>,
}

impl Together {
    /// By the latest surface reading since some time; none where the others were not read then:
    /// air of another hour says nothing of this surface.
    fn read(look: &Look<'_>, since: DateTime) -> Option<Self> {
        let of = |pick: fn(&Measured) -> bool| {
            look.survey.readings_of(look.zone).filter(move |r| pick(&r.measured) && r.time >= since)
        };
        let surface = of(|m| matches!(m, Measured::SurfaceTemperature(_)))
            .max_by_key(|reading| reading.time)?;
        let beside = |pick: fn(&Measured) -> bool| {
            of(pick)
                .map(|reading| (reading.time.duration_since(surface.time).abs(), reading))
                .filter(|(apart, _)| apart.as_mins() <= TOGETHER_MINUTES)
                .min_by_key(|(apart, _)| *apart)
                .map(|(_, reading)| reading)
        };
        let air = beside(|m| matches!(m, Measured::AirTemperature(_)))?;
        let humidity = beside(|m| matches!(m, Measured::AirHumidity(_)))?;
        let (
            Measured::AirTemperature(air_c),
            Measured::AirHumidity(share),
            Measured::SurfaceTemperature(surface_c),
        ) = (air.measured, humidity.measured, surface.measured)
        else {
            return None;
        };
        Some(Self {
            time: surface.time,
            humidity: share,
            surface: surface_c,
            margin: psychrometrics::dew_point_margin(air_c, share, surface_c)?,
            evidence: vec![of_reading(air), of_reading(humidity), of_reading(surface)],
        })
    }
}

/// Margin above dew point by the latest surface reading since some time, with air and humidity
/// of the same hour; none where they were not read.
#[must_use]
pub fn climate_of(
    look: &Look<'_>,
    since: DateTime,
) -> Option<(TemperatureDifference, Vec<Evidence>)> {
    Together::read(look, since).map(|read| (read.margin, read.evidence))
}

/// The latest air, humidity and surface readings together.
pub(crate) fn climate(look: &Look<'_>) -> Vec<Outcome> {
    const CODE: Matter = Matter::Climate;
    let Some(Together { time, humidity: share, surface: surface_c, margin, evidence }) =
        Together::read(look, DateTime::MIN)
    else {
        return vec![before_work(
            CODE,
            said!("air-humidity-and-surface-temperature"),
            said!("air-thermometer-hygrometer-and-surface"),
            1,
        )];
    };
    let (sheet, source) = match look.system.dew_point_margin {
        Some(margin) => (margin, Source::DATA_SHEET),
        None => (
            USUAL_MARGIN,
            Source::new("title-3-c-above-dew-point-iso-8502-4-practice", Certainty::Seen),
        ),
    };
    let mut against = Vec::new();
    if margin < sheet {
        against.push(said!(
            "only-above-dew-point-at-least-asked",
            margin = both(margin),
            sheet = both(sheet)
        ));
    }
    if let Some((low, high)) = look.system.surface_temperature
        && !(low..=high).contains(&surface_c)
    {
        against.push(said!(
            "surface-at-to-asked",
            surface_c = both(surface_c),
            low = own(low),
            high = own(high)
        ));
    }
    let most = look.system.most_air_humidity.unwrap_or(USUAL_HUMIDITY);
    if share > most {
        against.push(said!("air-at-at-most-asked", share = percent(share), most = percent(most)));
    }
    let when = time.strftime("%Y-%m-%d %H:%M").to_string();
    if against.is_empty() {
        return vec![found(
            CODE,
            FindingState::Fine,
            said!("on-the-surface-stood-above-dew-point", when = &when, margin = both(margin)),
            evidence,
            source,
        )];
    }
    vec![
        found(
            CODE,
            FindingState::Prepare,
            said!(
                "on-no-system-goes-down-in-such",
                when = &when,
                against = listed(Joint::Semicolon, against)
            ),
            evidence,
            source,
        ),
        before_work(
            CODE,
            said!("the-climate-on-the-day-of-work"),
            said!("dew-point-and-surface-temperature"),
            1,
        ),
    ]
}
