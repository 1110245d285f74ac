//! The sound room of the worked cases, and how the words of a case spoil it.

use std::collections::BTreeMap;

use tooth_job::methods::built_in;
use tooth_job::survey::{
    Abatement, Answer, Binding, Clash, Confirmed, Consent, DecidedTreatment, FailureMode,
    FeatureId, FilmDecided, FilmMaterial, LaboratoryQuestion, Limit, Matter, Measured, MethodId,
    MoistureDecided, Overrule, Place, Prepared, Reading, ReadingId, ReleaseCondition, Seen,
    SoundingMethod, Survey, SystemClass, Word,
};
use tooth_measure::choice::Choice;
use tooth_measure::{
    Area, Fraction, Length, Money, Path, ProfileLevel, ProfileRange, Quantity, WorkTime,
};

use crate::common;

/// What a case says of a thing, by the names of its lines.
pub(crate) type Words = BTreeMap<String, toml::Value>;

/// What a case says is different from the sound room.
#[derive(serde::Deserialize, Default)]
pub(crate) struct Spoilt {
    #[serde(default)]
    pub(crate) slab: Words,
    #[serde(default)]
    pub(crate) system: Words,
    #[serde(default)]
    pub(crate) limits: Words,
    #[serde(default)]
    pub(crate) seen: Vec<Words>,
    #[serde(default)]
    pub(crate) tests: BTreeMap<String, Vec<String>>,
    #[serde(default)]
    pub(crate) overrule: Vec<Words>,
    #[serde(default)]
    pub(crate) treat: Vec<Words>,
    #[serde(default)]
    pub(crate) confirmed: Vec<String>,
    #[serde(default)]
    pub(crate) film_decision: Vec<Words>,
    /// Days on which the surface was worked on.
    #[serde(default)]
    pub(crate) prepared: Vec<String>,
    #[serde(default)]
    pub(crate) moisture_decision: Vec<Words>,
    #[serde(default)]
    pub(crate) abatement: Vec<Words>,
}

fn text(value: &toml::Value) -> String {
    value.as_str().map_or_else(|| value.to_string(), str::to_owned)
}

fn read<Q: Quantity>(text: &str) -> Q {
    Q::parse(text).unwrap_or_else(|fault| panic!("{text}: {fault}"))
}

fn chosen<C: Choice>(word: &str) -> C {
    C::from_key(word).unwrap_or_else(|| panic!("{word}: expected one of {}", C::key_list()))
}

fn number<N: std::str::FromStr>(text: &str) -> N {
    text.trim().parse().unwrap_or_else(|_| panic!("{text}: no such number"))
}

/// "none" and "unknown" stand for what nobody said.
fn maybe<T>(text: &str, read: impl Fn(&str) -> T) -> Option<T> {
    (!matches!(text, "none" | "unknown")).then(|| read(text))
}

fn pair<'a>(text: &'a str, between: &str) -> (&'a str, &'a str) {
    text.split_once(between).unwrap_or_else(|| panic!("{text}: no {between:?} in it"))
}

/// The sound room, spoilt as the case says.
pub(crate) fn spoilt(case: &Spoilt) -> Survey {
    let area = case.slab.get("area").map_or(Area::from_square_metres(50.0), |a| read(&text(a)));
    let width = area.square_metres() / 5.0;
    let mut survey = common::empty();
    common::add_zone(&mut survey, "room", common::rectangle(0.0, 0.0, width, 5.0));
    survey.features.push(common::walls("walls", 0.0, 0.0, width, 5.0));
    survey.readings.retain(|r| !matches!(r.measured, Measured::ChipRating(_)));
    add_tests(&mut survey, "chip_rating", &["4", "4", "4"]);
    // The panel is the last to be looked for, so a case that draws its own replaces it.
    let own_panel = case.seen.iter().any(|mark| text(&mark["what"]) == "sample_panel");
    let panel = Words::from([
        ("what".to_owned(), "sample_panel".into()),
        ("approved_by".to_owned(), "the owner".into()),
    ]);
    for (key, value) in &case.slab {
        set_slab(&mut survey, key, &text(value), width);
    }
    for (key, value) in &case.system {
        set_system(&mut survey, key, &text(value));
    }
    for (key, value) in &case.limits {
        set_limit(&mut survey, key, &text(value));
    }
    for (kind, values) in &case.tests {
        let values: Vec<&str> = values.iter().map(String::as_str).collect();
        survey.readings.retain(|r| r.measured.kind() != kind);
        add_tests(&mut survey, kind, &values);
    }
    for (number, mark) in case.seen.iter().chain((!own_panel).then_some(&panel)).enumerate() {
        add_mark(&mut survey, number, mark, width);
    }
    for words in &case.overrule {
        let word = |key: &str| words.get(key).map(text);
        survey.facts.overrules.push(Overrule {
            zone: common::zone_id("room"),
            finding: word("finding")
                .and_then(|code| Matter::from_key(&code))
                .expect("an overrule names its finding"),
            feature: word("feature").and_then(|name| FeatureId::new(&name)),
            licence: word("licence"),
            drawing: word("drawing"),
            leave: word("leave").is_some(),
            by_others: word("by_others").map(|usd| Money::new(usd.parse().expect("an amount"))),
            conditions: Binding::ALL
                .iter()
                .filter_map(|binding| {
                    let text = word(binding.key())?;
                    Some(ReleaseCondition { binding: *binding, text })
                })
                .collect(),
            reason: "as the case says".into(),
            by: "somebody".into(),
            date: common::noon().date(),
        });
    }
    for words in &case.treat {
        let word = |key: &str| words.get(key).map(text);
        survey.facts.treatments.push(DecidedTreatment {
            feature: word("feature").and_then(|name| FeatureId::new(&name)).expect("a feature"),
            treatment: chosen(&word("treatment").expect("a treatment")),
            by: word("by").unwrap_or_else(|| "somebody".into()),
            reason: word("reason").unwrap_or_else(|| "as the case says".into()),
            on: word("on").map(|on| number(&on)),
        });
    }
    for words in &case.film_decision {
        let word = |key: &str| words.get(key).map(text);
        survey.facts.film_decided.push(FilmDecided {
            zone: common::zone_id("room"),
            features: word("feature").and_then(|name| FeatureId::new(&name)).into_iter().collect(),
            way: chosen(&word("way").expect("a way")),
            by: "somebody".into(),
            on: common::noon().date(),
            reason: "as the case says".into(),
        });
    }
    for id in &case.confirmed {
        survey.facts.confirmed.push(Confirmed {
            reading: ReadingId::new(id).expect("a good name"),
            by: "somebody".into(),
            on: common::noon().date(),
        });
    }
    let zone = || common::zone_id("room");
    for day in &case.prepared {
        let time = number::<jiff::civil::Date>(day).at(12, 0, 0, 0);
        survey.facts.prepared.push(Prepared { zone: zone(), time, by: "the crew".into() });
    }
    for words in &case.moisture_decision {
        let word = |key: &str| words.get(key).map(text);
        survey.facts.moisture_decided.push(MoistureDecided {
            zone: zone(),
            way: chosen(&word("way").expect("a way")),
            by: word("by").expect("somebody decided"),
            on: number(&word("on").expect("the day")),
            reason: word("reason").expect("a reason"),
            reference: word("reference"),
        });
    }
    for words in &case.abatement {
        let word = |key: &str| words.get(key).map(text);
        let features = words.get("features").and_then(toml::Value::as_array);
        let features = features.into_iter().flatten().map(text);
        survey.facts.abatements.push(Abatement {
            zone: zone(),
            features: features.map(|name| FeatureId::new(&name).expect("a name")).collect(),
            firm: word("firm").expect("a firm"),
            licence: word("licence").expect("its licence"),
            cleared_by: word("cleared_by").expect("who cleared it"),
            date: number(&word("on").expect("the day")),
            remover: word("remover"),
        });
    }
    // As the reader of job folders does: a coat that was decided on goes below the system.
    built_in().with_coats(survey.with_doubts())
}

fn set_slab(survey: &mut Survey, key: &str, word: &str, width: f64) {
    let room = vec![common::zone_id("room")];
    let date = common::noon().date();
    let facts = &mut survey.facts;
    match key {
        "area" => {}
        "thickness" => facts.slab.thickness = maybe(word, read),
        "year_cast" => facts.slab.year_cast = maybe(word, number),
        "support" => facts.slab.support = chosen(word),
        "post_tensioned" => facts.slab.post_tensioned = chosen(word),
        "vapour_retarder" => facts.slab.vapour_retarder = chosen(word),
        "setting" => facts.slab.setting = chosen(word),
        "freeze_thaw" => facts.slab.freeze_thaw = chosen(word),
        "embedded_items" => facts.slab.embedded_items = chosen(word),
        "past_damage" => facts.slab.past_damage = chosen(word),
        "oldest_coating_year" => facts.slab.oldest_coating_year = maybe(word, number),
        "texture_stays" => survey.zones[0].kept = maybe(word, chosen),
        "cast" => facts.slab.cast = maybe(word, number),
        "building" => facts.slab.building = chosen(word),
        "signed_locate" if word == "none" => facts.locates.clear(),
        "owners_consent" => {
            facts.consents.push(Consent { given_by: word.to_owned(), date, zones: room });
        }
        "owners_consent_dated" => {
            facts.consents.last_mut().expect("a consent to date").date = number(word);
        }
        "two_versions_of" => survey.clashes.push(Clash {
            about: word.into(),
            versions: vec!["one says so".into(), "another says no".into()],
            zones: room,
        }),
        "sounded" => {
            let share = read::<Fraction>(word).ratio();
            survey.features.retain(|f| !matches!(f.seen, Seen::Sounded { .. }));
            let swept = Place::Patch(common::rectangle(0.0, 0.0, width * share, 5.0));
            let seen = Seen::Sounded { method: SoundingMethod::Chain };
            survey.features.push(common::feature("swept", swept, seen));
        }
        _ => panic!("slab.{key} = {word}: not known here"),
    }
}

fn set_system(survey: &mut Survey, key: &str, word: &str) {
    let range = |word: &str| {
        let (least, most) = pair(word, " to ");
        ProfileRange::between(number(least), number(most))
    };
    let system = &mut survey.systems[0];
    match key {
        "class" => {
            system.class = chosen(word);
            system.thickness = usual_thickness(system.class);
        }
        "thickness" => system.thickness = read(word),
        "pull_off_rule" => system.pull_off_rule = chosen(word),
        "see_through" => system.see_through = chosen::<Answer>(word) == Answer::Yes,
        "profile" => system.profile = maybe(word, range),
        "mechanical_preparation" => system.mechanical_preparation = chosen(word),
        "needs_lime" => system.needs_lime = chosen::<Answer>(word) == Answer::Yes,
        "least_pull_off_strength" => system.least_pull_off_strength = maybe(word, read),
        "most_in_slab_humidity" => system.most_in_slab_humidity = maybe(word, read),
        "most_moisture_emission" => system.most_moisture_emission = maybe(word, read),
        "ph" => {
            let (least, most) = pair(word, " to ");
            system.ph = Some((read(&format!("{least} pH")), read(&format!("{most} pH"))));
        }
        "dew_point_margin" => system.dew_point_margin = maybe(word, read),
        "most_air_humidity" => system.most_air_humidity = maybe(word, read),
        "absorbs_within" => system.absorbs_within = maybe(word, read),
        "widest_crack" => system.widest_crack = maybe(word, read),
        "least_age" => system.least_age = maybe(word, read),
        "agreed_exposure" => system.agreed_exposure = maybe(word, chosen),
        _ => panic!("system.{key} = {word}: not known here"),
    }
}

/// One that the guide gives the class.
fn usual_thickness(class: SystemClass) -> Length {
    Length::from_mils(match class {
        SystemClass::Stain | SystemClass::Sealer => 2.0,
        SystemClass::ThinFilm => 6.0,
        SystemClass::HighBuild => 30.0,
        SystemClass::SelfLevelling => 80.0,
        SystemClass::PolymerOverlay => 180.0,
        SystemClass::ConcreteOverlay => 500.0,
    })
}

fn set_limit(survey: &mut Survey, key: &str, word: &str) {
    fn change<Q: Quantity>(limit: &mut Limit<Q>, word: &str) {
        *limit = limit.changed(Some(read(word)));
    }
    let limits = &mut survey.facts.limits;
    match key {
        "repair_crack_width" => change(&mut limits.repair_crack_width, word),
        "hairline_width" => change(&mut limits.hairline_width, word),
        "replace_crack_width" => change(&mut limits.replace_crack_width, word),
        "fine_crack_width" => change(&mut limits.fine_crack_width, word),
        "wide_crack_width" => change(&mut limits.wide_crack_width, word),
        "crack_movement" => change(&mut limits.crack_movement, word),
        "gauge_interval" => change(&mut limits.gauge_interval, word),
        "light_scaling" => change(&mut limits.light_scaling, word),
        "medium_scaling" => change(&mut limits.medium_scaling, word),
        "severe_scaling" => change(&mut limits.severe_scaling, word),
        "lip_height" => change(&mut limits.lip_height, word),
        "absorbed_within" => change(&mut limits.absorbed_within, word),
        "deepest_weak_layer" => change(&mut limits.deepest_weak_layer, word),
        "thin_film" => change(&mut limits.thin_film, word),
        "surface_oil" => change(&mut limits.surface_oil, word),
        "unmeasured_weak_layer" => change(&mut limits.unmeasured_weak_layer, word),
        "sounded_share" => change(&mut limits.sounded_share, word),
        "repair_share" => change(&mut limits.repair_share, word),
        "most_chloride" => change(&mut limits.most_chloride, word),
        "shallow_repair_depth" => change(&mut limits.shallow_repair_depth, word),
        "lead_presumed_before" => {
            limits.lead_presumed_before = limits.lead_presumed_before.changed(Some(number(word)));
        }
        "asbestos_presumed_until" => {
            limits.asbestos_presumed_until =
                limits.asbestos_presumed_until.changed(Some(number(word)));
        }
        "uneven_absorption" => {
            limits.uneven_absorption = limits.uneven_absorption.changed(Some(number(word)));
        }
        _ => panic!("limits.{key} = {word}: not known here"),
    }
}

/// "8 x 70 %" is eight readings; "4 by A" says who read it, else A and B in turn. Behind it
/// may stand the place, the mark that it speaks of and the day: " at 2, 3 about F1 on 2026-05-12".
fn add_tests(survey: &mut Survey, kind: &str, values: &[&str]) {
    let mut count = 0;
    for value in values {
        let (times, value) = value.split_once(" x ").unwrap_or(("1", value));
        for _ in 0..number::<usize>(times) {
            let turn = if count % 2 == 0 { "A" } else { "B" };
            let (value, day) =
                value.split_once(" on ").map_or((value, None), |(v, d)| (v, Some(d)));
            let (value, mark) =
                value.split_once(" about ").map_or((value, None), |(v, m)| (v, Some(m)));
            let (value, by) = value.split_once(" by ").unwrap_or((value, turn));
            let id = format!("{kind}-{count}");
            let (value, place) = match value.split_once(" at ") {
                Some((value, at)) => {
                    let (x, y) = pair(at, ",");
                    (value, Some(common::at(number(x), number(y))))
                }
                None => (value, None),
            };
            let room = common::zone_id("room");
            let plain = common::reading(&id, &room, by, measured(kind, value));
            let time = day.map_or(plain.time, |day| {
                number::<jiff::civil::Date>(day).to_datetime(plain.time.time())
            });
            let subject = mark.map(|mark| FeatureId::new(mark).expect("a mark"));
            survey.readings.push(Reading { place, subject, time, ..plain });
            count += 1;
        }
    }
}

fn measured(kind: &str, value: &str) -> Measured {
    let laboratory = |question| match value.split_once(", ") {
        Some((answer, method)) => {
            Measured::Laboratory(question, chosen(answer), Some(chosen(method)))
        }
        None => Measured::Laboratory(question, chosen(value), None),
    };
    match kind {
        "water_drop" => Measured::WaterDrop(read(value)),
        "acid_drop" => Measured::AcidDrop(chosen(value)),
        "stain_drop" => Measured::StainDrop(chosen(value)),
        "pull_off" => {
            let (strength, failure) = pair(value, ", ");
            Measured::PullOff { strength: read(strength), failure: chosen::<FailureMode>(failure) }
        }
        "in_slab_humidity" => Measured::InSlabHumidity(read(value)),
        "moisture_emission" => Measured::MoistureEmission(read(value)),
        "plastic_sheet" => Measured::PlasticSheet(chosen(value)),
        "surface_ph" => Measured::SurfacePh(read(&format!("{value} pH"))),
        "chip_rating" => Measured::ChipRating(ProfileLevel::clamped(number(value))),
        "air_temperature" => Measured::AirTemperature(read(value)),
        "air_humidity" => Measured::AirHumidity(read(value)),
        "surface_temperature" => Measured::SurfaceTemperature(read(value)),
        "scratch_hardness" => Measured::ScratchHardness(number(value)),
        "carbonation" => Measured::Carbonation(read(value)),
        "chloride" => Measured::Chloride(read(value)),
        "solvent_rub" => Measured::SolventRub(chosen(value)),
        "knife" => Measured::Knife(chosen(value)),
        "film_thickness" => Measured::FilmThickness(read(value)),
        "asbestos" => laboratory(LaboratoryQuestion::Asbestos),
        "lead" => laboratory(LaboratoryQuestion::Lead),
        "petrography" => laboratory(LaboratoryQuestion::Deterioration),
        _ => panic!("tests.{kind} = {value}: not known here"),
    }
}

/// The first mark is F1, the next F2. Half a metre square unless it says what it covers.
fn add_mark(survey: &mut Survey, place: usize, mark: &Words, width: f64) {
    let id = format!("F{}", place + 1);
    let word = |key: &str| mark.get(key).map(text);
    let said = |key: &str, usual: &str| word(key).unwrap_or_else(|| usual.to_owned());
    let depth = |key: &str| word(key).and_then(|text| maybe(&text, read::<Length>));
    let must = |key: &str| depth(key).unwrap_or_else(|| panic!("{id} says no {key}"));
    let seen = match said("what", "").as_str() {
        "joint" => Seen::Joint {
            kind: chosen(&said("kind", "")),
            working: chosen(&said("working", "")),
            old_filler: chosen(&said("old_filler", "no")),
        },
        "crack" => Seen::Crack {
            width: must("width"),
            movement: chosen(&said("movement", "unknown")),
            said: word("movement_by")
                .map(|by| Word { by, on: number(&said("movement_on", "2026-05-01")) }),
            leaking: chosen(&said("leaking", "no")),
            displaced: chosen(&said("displaced", "no")),
        },
        "pattern_cracking" => Seen::PatternCracking {
            moist_aggregate: chosen(&said("moist_aggregate", "no")),
            deposit: chosen(&said("deposit", "no")),
        },
        "settlement" => Seen::Settlement { offset: must("offset") },
        "spall" => {
            Seen::Spall { depth: must("depth"), bars_exposed: chosen(&said("bars_exposed", "no")) }
        }
        "hollow" => Seen::Hollow {
            sure: chosen(&said("sure", "sure")),
            kind: chosen(&said("kind", "loose_skin")),
            depth: depth("depth"),
        },
        "film" => Seen::Film {
            kind: chosen(&said("kind", "")),
            thickness: depth("thickness"),
            material: FilmMaterial {
                name: word("material"),
                black: chosen(&said("black", "unknown")),
            },
            condition: chosen(&said("condition", "unknown")),
        },
        "stain" => Seen::Stain { kind: chosen(&said("kind", "")), depth: depth("depth") },
        "surface" => Seen::Surface { state: chosen(&said("state", "")), depth: depth("depth") },
        "low_spot" => Seen::LowSpot { depth: must("depth") },
        "ghost" => Seen::Ghost { kind: chosen(&said("kind", "other")), of: said("of", "") },
        "small_damage" => {
            Seen::Small { kind: chosen(&said("kind", "")), count: number(&said("count", "1")) }
        }
        "embedded" => Seen::Embedded {
            item: chosen(&said("item", "")),
            located: chosen(&said("located", "unknown")),
            cover: depth("cover"),
        },
        "sample_panel" => Seen::SamplePanel {
            approved_by: word("approved_by"),
            method: word("method").and_then(|method| MethodId::new(&method)),
            profile: word("profile")
                .map(|chip| ProfileLevel::new(chip.parse().expect("a number")).expect("a chip")),
            reaction: word("reaction").map(|reaction| chosen(&reaction)),
        },
        other => panic!("{id}: nothing is called {other}"),
    };
    let left = 1.0 + place as f64;
    let line = Path::new(&[common::at(left, 1.0), common::at(left, 4.0)]);
    let covers = word("covers").map(|share| read::<Fraction>(&share).ratio());
    let metres = |key: &str| mark.get(key).map(|value| number::<f64>(&text(value)));
    let corner = metres("x").zip(metres("y"));
    let sides = (metres("w").unwrap_or(0.5), metres("h").unwrap_or(0.5));
    let drawn = corner.map(|(x, y)| match &seen {
        Seen::Crack { .. } | Seen::Joint { .. } => {
            let ends = [common::at(x, y), common::at(x + sides.0, y + sides.1)];
            Place::Line(Path::new(&ends).expect("a line"))
        }
        _ => Place::Patch(common::rectangle(x, y, sides.0, sides.1)),
    });
    let place = drawn.unwrap_or_else(|| match (&seen, covers) {
        (Seen::Crack { .. } | Seen::Joint { .. }, _) => Place::Line(line.expect("3 m of line")),
        (_, Some(share)) => Place::Patch(common::rectangle(0.0, 0.0, width * share, 5.0)),
        (_, None) => Place::Patch(common::rectangle(left, 1.0, 0.5, 0.5)),
    });
    let approved = matches!(seen, Seen::SamplePanel { approved_by: Some(_), .. });
    if approved && word("photographed").is_none_or(|said| said != "no") {
        let spot = Place::Spot(common::at(left + 0.2, 1.2));
        let light = "dry, wet and sealed, daylight".to_owned();
        let photo = Seen::Photo { file: "panel.jpg".to_owned(), light };
        survey.features.push(common::feature(&format!("{id}-photo"), spot, photo));
    }
    survey.features.push(common::feature(&id, place, seen));
    let mut about = |name: String, hours: f64, measured: Measured| {
        let plain = common::reading(&name, &common::zone_id("room"), "A", measured);
        let time = plain.time + jiff::SignedDuration::from_secs((hours * 3600.0) as i64);
        let subject = FeatureId::new(&id);
        survey.readings.push(Reading { subject, time, ..plain });
    };
    let gauge = mark.get("gauge").and_then(toml::Value::as_array).into_iter().flatten();
    for (number, entry) in gauge.map(text).enumerate() {
        let (after, width) = pair(&entry, ": ");
        let hours = read::<WorkTime>(after).hours();
        about(format!("{id}-gauge-{number}"), hours, Measured::CrackGauge(read(width)));
    }
    if let Some(answer) = word("bleed_back") {
        about(format!("{id}-bleed"), 24.0, Measured::OilBleedBack(chosen(&answer)));
    }
}
