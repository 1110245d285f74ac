//! Published and computed values that this crate must reproduce. They live as data in
//! `reference/*.toml`: source, inputs, expected, tolerance and its reason, and how sure
//! the value is. A case from memory is named as such where it fails.
#![expect(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "tests fail loudly")]

use std::collections::BTreeMap;

use serde::Deserialize;
use tooth_measure::colour::{Lab, RgbSpace, Xyz, decoded};
use tooth_measure::psychrometrics::{dew_point, dew_point_margin, evaporation_rate};
use tooth_measure::statistics::{self, LogNormal, Pert};
use tooth_measure::{
    Area, AreaRate, EvaporationRate, Fraction, Length, MassPerVolume, MoistureEmission, Money,
    MoneyPerHour, Quantity, Speed, Stress, Temperature, TemperatureDifference, Volume,
    VolumePerArea,
};

/// Their number may only grow: raise this with every case that is added.
const AT_LEAST: usize = 203;

const FILES: [(&str, &str); 6] = [
    ("colour", include_str!("reference/colour.toml")),
    ("units", include_str!("reference/units.toml")),
    ("quantities", include_str!("reference/quantities.toml")),
    ("dew_point", include_str!("reference/dew_point.toml")),
    ("evaporation", include_str!("reference/evaporation.toml")),
    ("statistics", include_str!("reference/statistics.toml")),
];

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    case: Vec<Case>,
}

#[derive(Deserialize, Clone, Copy, PartialEq)]
#[serde(rename_all = "lowercase")]
enum Sureness {
    Seen,
    Computed,
    Memory,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Case {
    name: String,
    check: String,
    source: String,
    certainty: Sureness,
    inputs: toml::Table,
    expected: BTreeMap<String, f64>,
    tolerance: f64,
    #[serde(default)]
    relative: bool,
    tolerance_reason: String,
}

impl Case {
    fn text(&self, key: &str) -> &str {
        self.inputs[key].as_str().expect("a text")
    }

    fn number(&self, key: &str) -> f64 {
        number_of(&self.inputs[key])
    }

    fn three(&self, key: &str) -> [f64; 3] {
        let list = self.inputs[key].as_array().expect("three numbers");
        let numbers: Vec<f64> = list.iter().map(number_of).collect();
        numbers.try_into().expect("three numbers")
    }

    fn read<Q: Quantity>(&self, key: &str) -> Q {
        Q::parse(self.text(key)).expect("a quantity with its unit")
    }
}

fn number_of(value: &toml::Value) -> f64 {
    value.as_float().or_else(|| value.as_integer().map(|whole| whole as f64)).expect("a number")
}

fn cases() -> Vec<(&'static str, Case)> {
    let read = |(name, text): (&'static str, &str)| {
        let file: File = toml::from_str(text).unwrap_or_else(|fault| panic!("{name}: {fault}"));
        file.case.into_iter().map(move |case| (name, case))
    };
    FILES.into_iter().flat_map(read).collect()
}

#[test]
fn every_reference_value_is_reproduced() {
    let mut faults = Vec::new();
    for (file, case) in cases() {
        let got = compute(&case);
        for (what, expected) in &case.expected {
            let value = got[what.as_str()];
            let allowed =
                if case.relative { case.tolerance * expected.abs() } else { case.tolerance };
            let near = (value - expected).abs() <= allowed;
            if !near {
                let memory = if case.certainty == Sureness::Memory {
                    " FROM MEMORY, the expected value itself may be wrong;"
                } else {
                    ""
                };
                faults.push(format!(
                    "{file}.toml, {}:{memory} {what} is {value}, expected {expected} ± {allowed} ({}). Source: {}",
                    case.name, case.tolerance_reason, case.source
                ));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn the_number_of_reference_cases_never_shrinks() {
    assert!(cases().len() >= AT_LEAST, "{} cases", cases().len());
}

#[test]
fn every_reference_case_has_its_own_name_a_source_and_a_reason() {
    let cases = cases();
    let names: std::collections::BTreeSet<_> = cases.iter().map(|(_, c)| &c.name).collect();
    assert_eq!(names.len(), cases.len(), "two cases share a name");
    for (file, case) in &cases {
        let told = [&case.source, &case.tolerance_reason, &case.name];
        assert!(
            told.iter().all(|text| text.len() > 4) && !case.expected.is_empty(),
            "{file}.toml, {}",
            case.name
        );
    }
}

type Got = BTreeMap<&'static str, f64>;

fn compute(case: &Case) -> Got {
    match case.check.as_str() {
        "convert" => convert(case),
        "layer" => volumes(case.read::<Area>("area") * case.read::<Length>("thickness")),
        "prism" => {
            let face: Area = case.read::<Length>("width") * case.read::<Length>("depth");
            volumes(face * case.read::<Length>("length"))
        }
        "film" => {
            let spread: Area = case.read::<Volume>("volume") / case.read::<Length>("thickness");
            Got::from([("ft2", spread.square_feet())])
        }
        "margin" => {
            let share = case.read::<Fraction>("margin").complement();
            let price = Money::new(case.number("direct")) / share.ratio();
            Got::from([("price", price.amount())])
        }
        "mark_up" => {
            let direct = Money::new(case.number("direct"));
            let price = direct + direct * case.read::<Fraction>("mark_up");
            Got::from([("price", price.amount())])
        }
        "labour_and_tool" => {
            let hour = MoneyPerHour::from_per_hour(case.number("labour")) * case.number("workers")
                + MoneyPerHour::from_per_hour(case.number("tool"));
            let cost = hour * (Area::from_square_feet(1.0) / case.read::<AreaRate>("rate"));
            Got::from([("per_ft2", cost.amount())])
        }
        "mean" => {
            let list = case.inputs["values"].as_array().expect("a list");
            let values: Vec<Fraction> = list.iter().map(|v| Fraction::new(number_of(v))).collect();
            Got::from([
                ("mean", statistics::mean(&values).unwrap().ratio()),
                ("standard_deviation", statistics::standard_deviation(&values).unwrap()),
            ])
        }
        "dew_point" => {
            let dew = dew_point(case.read("air"), case.read("humidity")).unwrap();
            let above = if case.inputs.contains_key("above") {
                case.read("above")
            } else {
                TemperatureDifference::ZERO
            };
            let limit: Temperature = dew + above;
            Got::from([("celsius", limit.celsius()), ("fahrenheit", limit.fahrenheit())])
        }
        "evaporation" => {
            let rate = evaporation_rate(
                case.read("concrete"),
                case.read("air"),
                case.read("humidity"),
                case.read("wind"),
            );
            Got::from([
                ("kg_m2_h", rate.kilograms_per_square_metre_hour()),
                ("lb_ft2_h", rate.pounds_per_square_foot_hour()),
            ])
        }
        "pert" => {
            let pert = Pert::new(case.number("low"), case.number("likely"), case.number("high"))
                .expect("low ≤ likely ≤ high");
            let at = |percent| pert.quantile(Fraction::from_percent(percent));
            Got::from([
                ("mean", pert.mean()),
                ("standard_deviation", pert.standard_deviation()),
                ("p10", at(10.0)),
                ("p50", at(50.0)),
                ("p80", at(80.0)),
                ("p90", at(90.0)),
            ])
        }
        "log_normal" => {
            let shape = LogNormal::from_median(case.number("median"), case.number("sigma"))
                .expect("a positive median");
            let at = |percent| shape.quantile(Fraction::from_percent(percent));
            Got::from([
                ("mean", shape.mean()),
                ("p10", at(10.0)),
                ("p80", at(80.0)),
                ("p90", at(90.0)),
            ])
        }
        "surface_margin" => {
            let margin =
                dew_point_margin(case.read("air"), case.read("humidity"), case.read("surface"))
                    .unwrap();
            Got::from([("fahrenheit", margin.fahrenheit_degrees())])
        }
        "delta_e_2000" => {
            let [first, second] =
                ["first", "second"].map(|key| case.three(key)).map(|[l, a, b]| Lab::new(l, a, b));
            Got::from([
                ("difference", first.delta_e_2000(second).delta_e()),
                ("turned_round", second.delta_e_2000(first).delta_e()),
            ])
        }
        "lab_of_srgb" => lab(RgbSpace::Srgb.xyz(case.three("srgb").map(decoded))),
        "lab_of_xyz" => {
            let [x, y, z] = case.three("xyz");
            lab(Xyz::new(x, y, z))
        }
        "xyz_of_display_p3" => {
            let [x, y, z] = RgbSpace::DisplayP3.xyz(case.three("display_p3").map(decoded)).values();
            Got::from([("x", x), ("y", y), ("z", z)])
        }
        other => panic!("{}: no check is called {other}", case.name),
    }
}

fn lab(of: Xyz) -> Got {
    let lab = Lab::of(of);
    Got::from([("lightness", lab.lightness()), ("a", lab.a()), ("b", lab.b())])
}

fn volumes(volume: Volume) -> Got {
    Got::from([("ft3", volume.cubic_feet()), ("gal", volume.gallons())])
}

fn convert(case: &Case) -> Got {
    match case.text("quantity") {
        "length" => {
            let it: Length = case.read("text");
            Got::from([("m", it.metres()), ("mm", it.millimetres()), ("in", it.inches())])
        }
        "area" => Got::from([("m2", case.read::<Area>("text").square_metres())]),
        "volume" => {
            let it: Volume = case.read("text");
            Got::from([("l", it.litres()), ("gal", it.gallons())])
        }
        "stress" => Got::from([("psi", case.read::<Stress>("text").psi())]),
        "emission" => {
            let it: MoistureEmission = case.read("text");
            Got::from([
                ("g_m2_24h", it.grams_per_square_metre_day()),
                ("lb_1000ft2_24h", it.pounds_per_thousand_square_feet_day()),
            ])
        }
        "evaporation" => Got::from([(
            "kg_m2_h",
            case.read::<EvaporationRate>("text").kilograms_per_square_metre_hour(),
        )]),
        "difference" => {
            let it: TemperatureDifference = case.read("text");
            Got::from([("k", it.kelvins()), ("f", it.fahrenheit_degrees())])
        }
        "temperature" => {
            let it: Temperature = case.read("text");
            Got::from([("c", it.celsius()), ("f", it.fahrenheit())])
        }
        "spread" => {
            Got::from([("l_m2", case.read::<VolumePerArea>("text").litres_per_square_metre())])
        }
        "speed" => Got::from([("km_h", case.read::<Speed>("text").kilometres_per_hour())]),
        "area_rate" => {
            Got::from([("m2_h", case.read::<AreaRate>("text").square_metres_per_hour())])
        }
        "density" => {
            Got::from([("kg_m3", case.read::<MassPerVolume>("text").kilograms_per_cubic_metre())])
        }
        other => panic!("{}: no quantity is called {other}", case.name),
    }
}
