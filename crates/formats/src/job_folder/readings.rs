//! `readings.csv` and `forecast.csv`.

use std::collections::BTreeSet;

use tooth_job::survey::{
    Answer, ClothWipe, DampOrDry, FailureMode, Fizz, ForecastHour, KnifeTest, LaboratoryMethod,
    LaboratoryQuestion, Measured, Reaction, Reading, RepairSound, SolventRub,
};
use tooth_measure::choice::Choice as _;
use tooth_measure::say::{said, word};
use tooth_measure::{Length, Point, ProfileLevel, range};

use super::plan::PlanUnit;
use crate::text::{ChoiceAsked, Faults, Fields, FormAsked, NameOf, quantity_of, rows};

const FILE: &str = "readings.csv";
pub(super) const COLUMNS: &[&str] = &[
    "id",
    "kind",
    "zone",
    "x",
    "y",
    "value",
    "unit",
    "detail",
    "subject",
    "instrument",
    "time",
    "by",
    "note",
];
const REQUIRED: &[&str] = &["id", "kind", "value", "time", "by"];

/// The readings with the line of each.
pub(super) fn read(text: &str, unit: Option<PlanUnit>, faults: &Faults) -> Vec<(u32, Reading)> {
    let rows = rows(FILE, text, COLUMNS, REQUIRED, faults);
    let mut known = BTreeSet::new();
    let mut readings = Vec::new();
    for row in &rows {
        let fields = Fields::of(FILE, "", row, faults);
        let Some(reading) = reading(&fields, unit) else {
            continue;
        };
        if !known.insert(reading.id.clone()) {
            fields.refuse(
                "id",
                said!("a-name-that-no-other-reading-has"),
                said!("again", name = reading.id.to_string()),
            );
        }
        readings.push((fields.line, reading));
    }
    readings
}

pub(super) fn reading(row: &Fields<'_>, unit: Option<PlanUnit>) -> Option<Reading> {
    let read = (row.id("id"), measured(row), row.time("time"), row.text("by"));
    let zone = row.maybe_id("zone");
    let subject = row.maybe_id("subject");
    let place = place(row, unit);
    let instrument = row.maybe_text("instrument").unwrap_or_default();
    let note = row.maybe_text("note").unwrap_or_default();
    Some(Reading {
        id: read.0?,
        measured: read.1?,
        time: read.2?,
        by: read.3?,
        zone,
        subject,
        place,
        instrument,
        note,
    })
}

/// Both coordinates or none, in the plan's unit.
pub(super) fn place(row: &Fields<'_>, unit: Option<PlanUnit>) -> Option<Point> {
    let coordinate = |field: &str| -> Option<Length> {
        let text = row.maybe_text(field)?;
        let number: Option<f64> = text.parse().ok().filter(|n: &f64| n.is_finite());
        let length = number.zip(unit).map(|(n, unit)| unit.length(n));
        let inside = length.filter(|l| range::PLAN_COORDINATE.check(*l).is_ok());
        if number.is_none() || (length.is_some() && inside.is_none()) {
            row.refuse(field, said!("a-finite-number-in-the-plan-unit"), format!("`{text}`"));
        }
        inside
    };
    for field in ["x", "y"] {
        row.note(field, || FormAsked::Coordinate);
    }
    match (row.has("x"), row.has("y")) {
        (true, true) => {
            let (x, y) = (coordinate("x"), coordinate("y"));
            Some(Point::new(x?, y?))
        }
        (false, false) => None,
        (true, false) => {
            row.refuse("y", said!("both-x-and-y-or-neither"), said!("nothing"));
            None
        }
        (false, true) => {
            row.refuse("x", said!("both-x-and-y-or-neither"), said!("nothing"));
            None
        }
    }
}

fn measured(row: &Fields<'_>) -> Option<Measured> {
    let kind = row.text("kind")?;
    Some(match kind.as_str() {
        "water_drop" => Measured::WaterDrop(row.value_with_unit(&range::TEST_TIME)?),
        "stain_drop" => Measured::StainDrop(row.choice::<Reaction>("value")?),
        "acid_drop" => Measured::AcidDrop(row.choice::<Fizz>("value")?),
        "pull_off" => {
            let strength = row.value_with_unit(&range::PULL_OFF_STRENGTH);
            let failure = row.choice::<FailureMode>("detail");
            Measured::PullOff { strength: strength?, failure: failure? }
        }
        "in_slab_humidity" => {
            Measured::InSlabHumidity(row.value_with_unit(&range::RELATIVE_HUMIDITY)?)
        }
        "moisture_emission" => {
            Measured::MoistureEmission(row.value_with_unit(&range::MOISTURE_EMISSION)?)
        }
        "plastic_sheet" => Measured::PlasticSheet(row.choice::<DampOrDry>("value")?),
        "surface_ph" => Measured::SurfacePh(row.value_with_unit(&range::SURFACE_PH)?),
        "chip_rating" => {
            let chip = row.maybe_whole("value", 1, 10);
            row.must("value");
            let chip = chip?;
            Measured::ChipRating(ProfileLevel::clamped(chip as u8))
        }
        "sand_patch" => {
            row.note("detail", || quantity_of(&range::PATCH_VOLUME, 1, false));
            let diameter = row.value_with_unit(&range::PATCH_DIAMETER);
            let volume = row
                .text("detail")
                .and_then(|text| row.parsed("detail", &text, &range::PATCH_VOLUME));
            Measured::SandPatch { diameter: diameter?, volume: volume? }
        }
        "replica_putty" => Measured::ReplicaPutty(row.value_with_unit(&range::TEXTURE)?),
        "profile_probe" => Measured::ProfileProbe(row.value_with_unit(&range::TEXTURE)?),
        "air_temperature" => {
            Measured::AirTemperature(row.value_with_unit(&range::AIR_TEMPERATURE)?)
        }
        "air_humidity" => Measured::AirHumidity(row.value_with_unit(&range::RELATIVE_HUMIDITY)?),
        "surface_temperature" => {
            Measured::SurfaceTemperature(row.value_with_unit(&range::SURFACE_TEMPERATURE)?)
        }
        "crack_gauge" => Measured::CrackGauge(row.value_with_unit(&range::CRACK_WIDTH)?),
        "scratch_hardness" => {
            let hardness = row.maybe_whole("value", 1, 10);
            row.must("value");
            Measured::ScratchHardness(hardness? as u8)
        }
        "film_thickness" => Measured::FilmThickness(row.value_with_unit(&range::DEPTH)?),
        "oil_bleed_back" => Measured::OilBleedBack(row.choice::<Answer>("value")?),
        "laboratory" => {
            // `asbestos`, or `asbestos electron`: what was asked, and how they looked.
            row.note("detail", laboratory_detail);
            let detail = row.text("detail").unwrap_or_default();
            let (question, method) = detail.split_once(' ').unwrap_or((detail.as_str(), ""));
            let question = LaboratoryQuestion::from_key(question);
            let method = Some(method.trim()).filter(|method| !method.is_empty());
            let known = method.map(LaboratoryMethod::from_key);
            if question.is_none() || known == Some(None) {
                let questions = LaboratoryQuestion::ALL.iter().map(|one| one.key());
                let methods = LaboratoryMethod::ALL.iter().map(|one| one.key());
                let expected = said!(
                    "a-question-and-how-the-laboratory-looked",
                    questions = questions.collect::<Vec<_>>().join(", "),
                    methods = methods.collect::<Vec<_>>().join(", ")
                );
                row.refuse("detail", expected, format!("`{detail}`"));
            }
            let answer = row.choice::<Answer>("value");
            Measured::Laboratory(question?, answer?, known.flatten())
        }
        "repair_sounding" => Measured::RepairSounding(row.choice::<RepairSound>("value")?),
        "carbonation" => Measured::Carbonation(row.value_with_unit(&range::DEPTH)?),
        "solvent_rub" => Measured::SolventRub(row.choice::<SolventRub>("value")?),
        "dark_cloth" => Measured::DarkCloth(row.choice::<ClothWipe>("value")?),
        "knife" => Measured::Knife(row.choice::<KnifeTest>("value")?),
        "chloride" => Measured::Chloride(row.value_with_unit(&range::CHLORIDE)?),
        "straightedge_depth" => Measured::StraightedgeDepth(row.value_with_unit(&range::DEPTH)?),
        "elevation" => Measured::Elevation(row.value_with_unit(&range::ELEVATION)?),
        "production_rate" => {
            row.note("instrument", || FormAsked::Name { of: NameOf::Method });
            if !row.has("instrument") {
                row.refuse(
                    "instrument",
                    said!("the-method-of-the-catalogue-that-was-timed"),
                    said!("nothing"),
                );
            }
            Measured::ProductionRate(row.value_with_unit(&range::AREA_RATE)?)
        }
        _ => {
            row.refuse(
                "kind",
                said!("one-of", values = Measured::KINDS.join(", ")),
                format!("`{kind}`"),
            );
            return None;
        }
    })
}

/// Every question with every way of looking, as the field holds them.
fn laboratory_detail() -> FormAsked {
    let questions = LaboratoryQuestion::ALL.iter().flat_map(|question| {
        let ways = LaboratoryMethod::ALL.iter().map(move |way| ChoiceAsked {
            key: format!("{} {}", question.key(), way.key()).into(),
            name: said!("question-and-way-of-looking", question = *question, way = *way),
        });
        let alone = ChoiceAsked { key: question.key().into(), name: word(*question) };
        std::iter::once(alone).chain(ways)
    });
    FormAsked::Choice { choices: questions.collect(), usual: None }
}

const FORECAST: &str = "forecast.csv";
pub(super) const FORECAST_COLUMNS: &[&str] = &[
    "time",
    "air_c",
    "air_f",
    "humidity_percent",
    "surface_c",
    "surface_f",
    "wind_km_h",
    "wind_mph",
    "rain_percent",
];

/// The hours of a forecast, in time order.
pub(super) fn forecast(text: &str, faults: &Faults) -> Vec<ForecastHour> {
    let rows = rows(FORECAST, text, FORECAST_COLUMNS, &["time", "humidity_percent"], faults);
    let mut hours: Vec<ForecastHour> = Vec::new();
    for row in &rows {
        let fields = Fields::of(FORECAST, "", row, faults);
        let Some(hour) = forecast_hour(&fields) else {
            continue;
        };
        if let Some(before) = hours.last()
            && hour.time <= before.time
        {
            fields.refuse(
                "time",
                said!("a-time-after", before = before.time.to_string()),
                format!("`{}`", hour.time),
            );
        }
        hours.push(hour);
    }
    hours
}

fn forecast_hour(row: &Fields<'_>) -> Option<ForecastHour> {
    /// A number in the first column that has one, with that column's unit.
    fn either<Q: tooth_measure::Quantity + std::fmt::Debug>(
        row: &Fields<'_>,
        columns: [(&str, &str); 2],
        range: &range::Range<Q>,
    ) -> Option<Q> {
        let [first, second] = columns.map(|(column, unit)| {
            row.maybe_text(column)
                .and_then(|text| row.parsed(column, &format!("{text} {unit}"), range))
        });
        if row.has(columns[0].0) && row.has(columns[1].0) {
            row.refuse(columns[1].0, said!("nothing-beside", column = columns[0].0), said!("both"));
        }
        first.or(second)
    }
    let percent = |column: &str| {
        row.maybe_text(column)
            .and_then(|text| row.parsed(column, &format!("{text} %"), &range::RELATIVE_HUMIDITY))
    };
    let time = row.time("time");
    let air = either(row, [("air_c", "C"), ("air_f", "F")], &range::AIR_TEMPERATURE);
    if !row.has("air_c") && !row.has("air_f") {
        row.refuse("air_c", said!("the-air-temperature-in-air-c-or-air-f"), said!("nothing"));
    }
    let surface =
        either(row, [("surface_c", "C"), ("surface_f", "F")], &range::SURFACE_TEMPERATURE);
    let wind = either(row, [("wind_km_h", "km/h"), ("wind_mph", "mph")], &range::WIND_SPEED);
    let humidity = percent("humidity_percent");
    let rain = percent("rain_percent");
    Some(ForecastHour {
        time: time?,
        air: air?,
        humidity: humidity?,
        surface,
        wind: wind.unwrap_or_default(),
        rain: rain.unwrap_or_default(),
    })
}
