//! Published and computed values that the job must reproduce. They live as data in
//! `reference/*.toml`: source, inputs, expected, tolerance and its reason, and how sure
//! the value is. A case from memory is named as such where it fails.
#![expect(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "tests fail loudly")]

#[expect(dead_code, reason = "the other test crates use the rest")]
mod common;

use std::collections::BTreeMap;

use serde::Deserialize;
use tooth_job::assessment::{
    CrackClass, CrackVerdict, FieldTest, FindingState, assess, test_count,
};
use tooth_job::estimate::estimate;
use tooth_job::extent::{Extent, PatchRule, ScalingClass, square_up};
use tooth_job::methods::{Catalogue, Cost, SoilReach, Spread, Work, built_in};
use tooth_job::plan::{Objective, Plan, plan};
use tooth_job::quantities::{AcidMix, Amount, quantities};
use tooth_job::survey::{
    CrackMovement, FailureMode, Feature, Hollow, HollowKind, Limits, Material, Measured, Place,
    Seen, Survey, SystemClass, USUAL_AREA_PER_TEST,
};
use tooth_measure::chance::Seed;
use tooth_measure::choice::Choice;
use tooth_measure::geometry::Direction;
use tooth_measure::{
    Area, AreaRate, Fraction, Length, Money, MoneyPerHour, Outline, Point, ProfileLevel, Quantity,
    Stress, WorkTime,
};

/// Their number may only grow: raise this with every case that is added.
const AT_LEAST: usize = 107;

const FILES: [(&str, &str); 7] = [
    ("patches", include_str!("reference/patches.toml")),
    ("counts", include_str!("reference/counts.toml")),
    ("classes", include_str!("reference/classes.toml")),
    ("acid", include_str!("reference/acid.toml")),
    ("money", include_str!("reference/money.toml")),
    ("pull_off", include_str!("reference/pull_off.toml")),
    ("climate", include_str!("reference/climate.toml")),
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
    expected: toml::Table,
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

    fn read<Q: Quantity>(&self, key: &str) -> Q {
        Q::parse(self.text(key)).expect("a quantity with its unit")
    }

    fn chosen<C: Choice>(&self, key: &str) -> C {
        C::from_key(self.text(key)).expect("a known word")
    }
}

fn number_of(value: &toml::Value) -> f64 {
    value.as_float().or_else(|| value.as_integer().map(|whole| whole as f64)).expect("a number")
}

/// What came out: a number or a word.
enum Got {
    Number(f64),
    Word(String),
}

type Answers = BTreeMap<&'static str, Got>;

fn numbers<const N: usize>(pairs: [(&'static str, f64); N]) -> Answers {
    pairs.into_iter().map(|(key, value)| (key, Got::Number(value))).collect()
}

fn word(key: &'static str, text: impl Into<String>) -> Answers {
    Answers::from([(key, Got::Word(text.into()))])
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
            let (near, value) = match &got[what.as_str()] {
                Got::Number(value) => {
                    let expected = number_of(expected);
                    let scale = if case.relative { expected.abs() } else { 1.0 };
                    let near = (value - expected).abs() <= case.tolerance * scale;
                    (near, value.to_string())
                }
                // A long text need only say it.
                Got::Word(text) => {
                    let expected = expected.as_str().expect("a word");
                    let near = text == expected || (what == "says" && text.contains(expected));
                    (near, text.clone())
                }
            };
            if !near {
                let memory = if case.certainty == Sureness::Memory {
                    " FROM MEMORY, the expected value itself may be wrong;"
                } else {
                    ""
                };
                faults.push(format!(
                    "{file}.toml, {}:{memory} {what} is {value}, expected {expected:?} ± {} ({}). Source: {}",
                    case.name, case.tolerance, case.tolerance_reason, case.source
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

fn compute(case: &Case) -> Answers {
    match case.check.as_str() {
        "square_up" => squared(case),
        "test_count" => {
            let test: FieldTest = case.chosen("test");
            numbers([(
                "count",
                f64::from(test_count(test, case.read("area"), USUAL_AREA_PER_TEST)),
            )])
        }
        "crack_class" => {
            word("class", CrackClass::of(case.read("depth_or_width"), &Limits::default()).key())
        }
        "scaling_class" => {
            word("class", ScalingClass::of(case.read("depth_or_width"), &Limits::default()).key())
        }
        "classes_of_thickness" => {
            let classes = SystemClass::of_thickness(case.read("thickness"));
            let keys: Vec<&str> = classes.iter().map(|class| class.key()).collect();
            word("classes", keys.join(", "))
        }
        "guide_profile" => {
            let range = case.chosen::<SystemClass>("class").guide_profile();
            numbers([
                ("least", f64::from(range.least().chip())),
                ("most", f64::from(range.most().chip())),
            ])
        }
        "crack_treatment" => {
            let movement: CrackMovement = case.chosen("movement");
            let treatment = CrackVerdict::of(
                case.read("width"),
                movement,
                &common::coating(),
                &Limits::default(),
            );
            word("treatment", treatment.treatment().map_or("none", Choice::key))
        }
        "acid" => {
            let mix = AcidMix { water_parts: case.number("water_parts") };
            let need = mix.need(case.read("volume"), case.read("unspent"));
            numbers([
                ("acid_gal", need.acid.gallons()),
                ("water_gal", need.water.gallons()),
                ("all_kg", need.bicarbonate_for_all.kilograms()),
                ("all_g", need.bicarbonate_for_all.grams()),
                ("all_lb", need.bicarbonate_for_all.pounds()),
                ("unspent_kg", need.bicarbonate_for_unspent.kilograms()),
            ])
        }
        "price" => price(case),
        "labour_and_tool" => {
            let survey = ready_room(10.0, 5.0);
            let mut catalogue = vacuum_alone();
            catalogue.machines[0].hour = MoneyPerHour::from_per_hour(case.number("tool"));
            let method = &mut catalogue.methods[0];
            method.crew = case.number("workers") as u8;
            method.set_up = WorkTime::ZERO;
            let rate = AreaRate::from_square_feet_per_hour(case.number("rate_ft2_h"));
            let Work::Surface(work) = &mut method.work else {
                panic!("vacuuming works on a surface")
            };
            work.rate = Spread { low: rate, likely: rate, high: rate };
            let step = &planned(&survey, &catalogue).zones[0].steps[0];
            let area: Area = step.area_m2.unwrap();
            numbers([("per_ft2", step.cost.amount() / area.square_feet())])
        }
        "layer" => layer(case),
        "pond" => pond(case),
        "pull_off" => pull_off(case),
        "climate" => {
            let mut survey = common::room();
            for reading in &mut survey.readings {
                if let Measured::SurfaceTemperature(surface) = &mut reading.measured {
                    *surface = case.read("surface");
                }
            }
            word("fine", finding(&survey, "climate").0)
        }
        "water_drop" => {
            let mut survey = common::room();
            for reading in &mut survey.readings {
                if let Measured::WaterDrop(time) = &mut reading.measured {
                    *time = WorkTime::from_seconds(case.number("seconds"));
                }
            }
            word("recommendation", common::recommendation(&survey).key())
        }
        other => panic!("{}: no check is called {other}", case.name),
    }
}

fn squared(case: &Case) -> Answers {
    let inch = |x, y| Point::new(Length::from_inches(x), Length::from_inches(y));
    let damage = case.inputs["damage"].as_array().expect("a list");
    let features: Vec<Feature> = damage
        .iter()
        .enumerate()
        .map(|(number, sides)| {
            let sides: Vec<f64> = sides.as_array().unwrap().iter().map(number_of).collect();
            let [x, y, length, width] = sides[..] else { panic!("x, y, length, width") };
            let outline = Outline::rectangle(inch(x, y), inch(x + length, y + width)).unwrap();
            common::feature(
                &format!("h{number}"),
                Place::Patch(outline),
                Seen::Hollow { sure: Hollow::Sure, kind: HollowKind::LooseSkin, depth: None },
            )
        })
        .collect();
    let loose: Vec<(&Feature, Length)> = features.iter().map(|f| (f, Length::ZERO)).collect();
    let patches = square_up(&loose, Direction::EAST, case.chosen::<PatchRule>("rule"));
    let first = &patches[0];
    let area: Area = patches.iter().map(|p| p.rectangle.area()).sum();
    let damaged: Area = features
        .iter()
        .map(|f| match &f.place {
            Place::Patch(outline) => outline.area(),
            _ => Area::ZERO,
        })
        .sum();
    let cut: Length = patches.iter().map(|p| p.rectangle.perimeter()).sum();
    numbers([
        ("count", patches.len() as f64),
        ("length_in", first.rectangle.length().inches()),
        ("width_in", first.rectangle.width().inches()),
        ("depth_in", first.depth.inches()),
        ("ratio", area / damaged),
        ("area_ft2", area.square_feet()),
        ("saw_ft", cut.feet()),
        ("volume_ft3", (area * first.depth).cubic_feet()),
    ])
}

/// A room that needs nothing but vacuuming.
fn ready_room(length_m: f64, width_m: f64) -> Survey {
    let mut survey = common::empty();
    common::add_zone(&mut survey, "room", common::rectangle(0.0, 0.0, length_m, width_m));
    for reading in &mut survey.readings {
        if let Measured::ChipRating(level) = &mut reading.measured {
            *level = ProfileLevel::clamped(4);
        }
    }
    survey
}

fn vacuum_alone() -> Catalogue {
    let mut catalogue = built_in();
    catalogue.methods.retain(|m| m.id == "vacuum_clean");
    catalogue.machines.retain(|m| m.id == "vacuum");
    if let Work::Surface(work) = &mut catalogue.methods[0].work {
        work.soil = SoilReach::Dirt;
    }
    catalogue
}

fn planned(survey: &Survey, catalogue: &Catalogue) -> Plan {
    let assessment = assess(survey, common::RULE);
    plan(survey, &assessment, catalogue, common::RULE, Objective::Cheapest)
}

/// One step of a known direct cost, no trips and no hire.
fn price(case: &Case) -> Answers {
    let mut survey = ready_room(10.0, 5.0);
    survey.facts.rates.trip = Money::ZERO;
    survey.facts.machines_owned = vec!["vacuum".into()];
    survey.facts.money.overhead = case.read("overhead");
    survey.facts.money.margin = case.read("margin");
    let mut plan = planned(&survey, &vacuum_alone());
    let step = &mut plan.zones[0].steps[0];
    let direct = Money::new(case.number("direct"));
    step.parts = Cost {
        labour: direct * 0.5,
        machine: direct * 0.2,
        material: direct * 0.2,
        disposal: direct * 0.1,
    };
    step.cost = direct;
    let price = estimate(&survey, &plan, &built_in(), Seed(1)).as_marked;
    numbers([
        ("price", price.price.amount()),
        ("overhead", price.overhead.amount()),
        ("margin", price.margin.amount()),
    ])
}

fn layer(case: &Case) -> Answers {
    let feet = |key| Length::from_feet(case.number(key)).metres();
    let mut survey = ready_room(feet("length_ft"), feet("width_ft"));
    survey.systems[0].thickness = case.read("thickness");
    survey.systems[0].material =
        Some(Material { waste: Fraction::ZERO, price: None, container: None });
    let catalogue = vacuum_alone();
    let plan = planned(&survey, &catalogue);
    let bill = quantities(&survey, &plan, &catalogue, common::RULE);
    let volume = bill
        .items
        .iter()
        .find_map(|item| match item.amount {
            Amount::VolumeM3(volume) if item.item.holds("system-material") => Some(volume),
            _ => None,
        })
        .expect("the system's material is on the bill");
    numbers([("ft3", volume.cubic_feet())])
}

fn pond(case: &Case) -> Answers {
    let mut survey = ready_room(10.0, 10.0);
    let radius = Length::from_feet(case.number("radius_ft")).metres();
    let corners: Vec<Point> = (0..360)
        .map(|degree| {
            let (sin, cos) = f64::from(degree).to_radians().sin_cos();
            common::at(5.0 + radius * cos, 5.0 + radius * sin)
        })
        .collect();
    survey.features.push(common::feature(
        "pond",
        Place::Patch(Outline::new(&corners).unwrap()),
        Seen::LowSpot { depth: case.read("depth") },
    ));
    let extent = Extent::measure(&survey, &survey.zones[0], common::RULE);
    numbers([("gal", extent.fill().1.gallons())])
}

fn pull_off(case: &Case) -> Answers {
    let mut survey = common::room();
    survey.systems[0].least_pull_off_strength = Some(case.read("least"));
    survey.readings.retain(|r| !matches!(r.measured, Measured::PullOff { .. }));
    let strengths = case.inputs["strengths"].as_array().expect("a list");
    let modes = case.inputs["modes"].as_array().expect("a list");
    let zone = survey.zones[0].id.clone();
    for (number, (strength, mode)) in strengths.iter().zip(modes).enumerate() {
        let measured = Measured::PullOff {
            strength: Stress::parse(strength.as_str().unwrap()).unwrap(),
            failure: FailureMode::from_key(mode.as_str().unwrap()).unwrap(),
        };
        survey.readings.push(common::reading(&format!("p{number}"), &zone, "A", measured));
    }
    let (fine, reason) = finding(&survey, "pull_off_strength");
    Answers::from([
        ("fine", Got::Word(fine)),
        ("says", Got::Word(reason)),
        ("recommendation", Got::Word(common::recommendation(&survey).key().to_owned())),
    ])
}

/// Whether the first zone's finding with this code is "fine", and its reason.
fn finding(survey: &Survey, code: &str) -> (String, String) {
    let assessment = assess(survey, common::RULE);
    let finding = assessment.zones[0].findings.iter().find(|f| f.code.key() == code);
    let finding = finding.expect("the rule found something");
    let fine = if finding.state == FindingState::Fine { "yes" } else { "no" };
    (fine.to_owned(), common::told(&finding.reason))
}
