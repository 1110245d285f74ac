//! A small room with nothing wrong: on the ground, sounded, dry, strong, bare, with
//! every reading that its system asks for. Tests spoil one thing at a time.
#![expect(clippy::expect_used, reason = "tests fail loudly")]

use jiff::civil::{DateTime, date};
use proptest::prelude::*;
use tooth_job::assessment::{Recommendation, assess};
use tooth_job::extent::PatchRule;
use tooth_job::methods::{FilmReach, OilReach};
use tooth_job::survey::{
    Answer, Client, Constraints, Contaminant, Currency, Dust, FailureMode, Feature, FeatureId,
    FilmKind, FilmMaterial, Hollow, HollowKind, JobFacts, Locate, Measured, MoneyRules, North,
    Place, Power, Presence, Rates, Reading, ReadingId, Seen, Setting, Slab, SoundingMethod,
    Support, SurfaceState, Survey, System, SystemClass, SystemId, Uncertainty, Weights, Zone,
    ZoneId,
};
use tooth_measure::say::Said;
use tooth_measure::{
    Angle, Fraction, Length, Money, MoneyPerHour, MoneyPerMass, MoneyPerVolume, Outline, Path,
    Point, ProfileLevel, ProfileRange, Stress, Temperature, TemperatureDifference, UnitSystem,
    WorkTime,
};
use tooth_words::{Language, Words};

pub(crate) const RULE: PatchRule = PatchRule::PartialDepth;

pub(crate) fn at(x: f64, y: f64) -> Point {
    Point::new(Length::from_metres(x), Length::from_metres(y))
}

pub(crate) fn rectangle(x: f64, y: f64, width: f64, height: f64) -> Outline {
    Outline::rectangle(at(x, y), at(x + width, y + height)).expect("a rectangle with an area")
}

pub(crate) fn zone_id(name: &str) -> ZoneId {
    ZoneId::new(name).expect("a good name")
}

pub(crate) fn feature(id: &str, place: Place, seen: Seen) -> Feature {
    Feature { id: FeatureId::new(id).expect("a good name"), place, seen, note: Said::nothing() }
}

pub(crate) fn wall(id: &str, points: &[Point]) -> Feature {
    let path = Path::new(points).expect("a wall has a length");
    feature(id, Place::Line(path), Seen::Wall)
}

/// Walls on all four sides.
pub(crate) fn walls(id: &str, x: f64, y: f64, width: f64, height: f64) -> Feature {
    let (right, top) = (x + width, y + height);
    wall(id, &[at(x, y), at(right, y), at(right, top), at(x, top), at(x, y)])
}

pub(crate) fn reading(id: &str, zone: &ZoneId, by: &str, measured: Measured) -> Reading {
    Reading {
        id: ReadingId::new(id).expect("a good name"),
        measured,
        zone: Some(zone.clone()),
        place: None,
        subject: None,
        instrument: String::new(),
        time: noon(),
        by: by.to_owned(),
        note: String::new(),
    }
}

pub(crate) fn noon() -> DateTime {
    date(2026, 5, 4).at(12, 0, 0, 0)
}

/// A high-build coating that asks for strength, dryness and a profile.
pub(crate) fn coating() -> System {
    System {
        id: SystemId::new("coating").expect("a good name"),
        name: "coating".into(),
        class: SystemClass::HighBuild,
        sheet: "invented sheet".into(),
        see_through: false,
        thickness: Length::from_mils(30.0),
        profile: Some(ProfileRange::between(3, 5)),
        mechanical_preparation: Answer::No,
        thickness_from: tooth_job::survey::ThicknessFrom::Peaks,
        pull_off_rule: tooth_job::survey::PullOffRule::EveryResult,
        least_pull_off_strength: Some(Stress::from_megapascals(1.5)),
        most_in_slab_humidity: Some(Fraction::from_percent(80.0)),
        most_moisture_emission: None,
        ph: None,
        surface_temperature: Some((
            Temperature::from_celsius(10.0),
            Temperature::from_celsius(35.0),
        )),
        dew_point_margin: Some(TemperatureDifference::from_kelvins(3.0)),
        most_air_humidity: Some(Fraction::from_percent(85.0)),
        absorbs_within: None,
        over: None,
        dry_before: None,
        dry_after: None,
        least_window: None,
        least_age: None,
        widest_crack: None,
        needs_lime: false,
        acid_etch: Answer::No,
        agreed_exposure: None,
        material: None,
    }
}

pub(crate) fn facts() -> JobFacts {
    JobFacts {
        name: "room".into(),
        contractor: "tester".into(),
        client: Client { name: "client".into(), site: "site".into() },
        invented: true,
        units: UnitSystem::Si,
        language: Language::English,
        crew_language: None,
        currency: Currency::new("USD").expect("three capital letters"),
        slab: Slab {
            thickness: Some(Length::from_millimetres(150.0)),
            year_cast: Some(1990),
            cast: None,
            support: Support::OnGrade,
            post_tensioned: Answer::No,
            vapour_retarder: Presence::Present,
            setting: Setting::Indoor,
            freeze_thaw: Answer::No,
            embedded_items: Answer::No,
            past_damage: Answer::No,
            building: tooth_job::survey::Building::Residence,
            oldest_coating_year: Some(2010),
        },
        constraints: Constraints {
            dust: Dust::Controlled,
            water: true,
            engines_indoors: false,
            loud_work: true,
            power: Power::ThreePhase,
            door_width: None,
            vibration: true,
            loud_hours: None,
            most_machine_mass: None,
            slope: None,
        },
        rates: Rates {
            labour: MoneyPerHour::from_per_hour(60.0),
            disposal: MoneyPerMass::from_per_kilogram(0.35),
            liquid_disposal: MoneyPerVolume::from_per_litre(0.24),
            trip: Money::new(95.0),
            working_day: WorkTime::from_hours(8.0),
            crew: 1,
        },
        money: MoneyRules {
            overhead: Fraction::from_percent(18.0),
            margin: Fraction::from_percent(12.0),
            least_for_a_job: Money::ZERO,
            least_for_a_trip: Money::ZERO,
        },
        limits: tooth_job::survey::Limits::default(),
        weights: Weights::usual(MoneyPerHour::from_per_hour(58.0)),
        // Pace from memory has tests of its own.
        uncertainty: Uncertainty { memory_sigma: 0.0, ..Uncertainty::default() },
        chances: tooth_job::survey::Chances::default(),
        test_costs: tooth_job::survey::TestCosts::default(),
        site_items: Vec::new(),
        treatments: Vec::new(),
        confirmed: Vec::new(),
        drainage: Vec::new(),
        change_orders: Vec::new(),
        prepared: Vec::new(),
        acceptance: tooth_job::survey::AcceptanceRules::default(),
        machines_owned: Vec::new(),
        locates: vec![Locate { signed_by: "S".into(), date: noon().date(), zones: Vec::new() }],
        consents: Vec::new(),
        overrules: Vec::new(),
        sign_offs: Vec::new(),
        abatements: Vec::new(),
        moisture_decided: Vec::new(),
        film_decided: Vec::new(),
    }
}

/// Every reading that the coating asks for, in one zone.
pub(crate) fn good_readings(zone: &ZoneId, count: usize) -> Vec<Reading> {
    let mut readings = Vec::new();
    let level = ProfileLevel::clamped(2);
    for number in 0..count {
        let by = if number % 2 == 0 { "A" } else { "B" };
        let strength = Stress::from_megapascals(2.5);
        for (kind, measured) in [
            ("drop", Measured::WaterDrop(WorkTime::from_seconds(20.0))),
            ("pull", Measured::PullOff { strength, failure: FailureMode::Substrate }),
            ("probe", Measured::InSlabHumidity(Fraction::from_percent(70.0))),
            ("chip", Measured::ChipRating(level)),
        ] {
            readings.push(reading(&format!("{zone}-{kind}-{number}"), zone, by, measured));
        }
    }
    for (kind, measured) in [
        ("air", Measured::AirTemperature(Temperature::from_celsius(20.0))),
        ("humidity", Measured::AirHumidity(Fraction::from_percent(50.0))),
        ("surface", Measured::SurfaceTemperature(Temperature::from_celsius(19.0))),
    ] {
        readings.push(reading(&format!("{zone}-{kind}"), zone, "A", measured));
    }
    readings
}

/// Adds a zone that was sounded and located, with all its readings.
pub(crate) fn add_zone(survey: &mut Survey, name: &str, outline: Outline) {
    let id = zone_id(name);
    survey.features.push(feature(
        &format!("{name}-sounded"),
        Place::Patch(outline.clone()),
        Seen::Sounded { method: SoundingMethod::Chain },
    ));
    survey.readings.extend(good_readings(&id, 3));
    survey.facts.locates[0].zones.push(id.clone());
    survey.zones.push(Zone {
        id,
        name: name.to_owned(),
        outline,
        system: survey.systems[0].id.clone(),
        lot: None,
        kept: None,
    });
}

/// A job without zones.
pub(crate) fn empty() -> Survey {
    Survey {
        soundings: Vec::new(),
        scans: Vec::new(),
        chips: None,
        facts: facts(),
        zones: Vec::new(),
        features: Vec::new(),
        systems: vec![coating()],
        readings: Vec::new(),
        questioned: Vec::new(),
        forecast: Vec::new(),
        clashes: Vec::new(),
        north: North(Angle::from_degrees(0.0)),
    }
}

/// One room with walls round it, 10 × 5 m, on which there is nothing against going.
pub(crate) fn room() -> Survey {
    let mut survey = empty();
    add_zone(&mut survey, "room", rectangle(0.0, 0.0, 10.0, 5.0));
    survey.features.push(walls("walls", 0.0, 0.0, 10.0, 5.0));
    survey
}

/// Rank of a recommendation: the higher, the worse.
pub(crate) fn rank(recommendation: Recommendation) -> u8 {
    match recommendation {
        Recommendation::Go => 0,
        Recommendation::RepairFirst => 1,
        Recommendation::TestMore => 2,
        Recommendation::Engineer => 3,
        Recommendation::DoNotBid => 4,
    }
}

/// The recommendation of the first zone.
pub(crate) fn recommendation(survey: &Survey) -> Recommendation {
    assess(survey, RULE).zones[0].recommendation
}

/// What is wrong with a zone. All marks cover the same share of it, from one end.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Trouble {
    pub(crate) share: f64,
    pub(crate) film: FilmReach,
    pub(crate) oil: OilReach,
    /// Tenths of a millimetre of dusting layer.
    pub(crate) weak_tenths: u16,
    pub(crate) dense: bool,
    /// A hollow place of 14 × 5 in.
    pub(crate) hollow: bool,
    /// By every chip rating.
    pub(crate) chip: u8,
}

impl Trouble {
    pub(crate) const NONE: Self = Self {
        share: 1.0,
        film: FilmReach::None,
        oil: OilReach::None,
        weak_tenths: 0,
        dense: false,
        hollow: false,
        chip: 4,
    };

    /// Marks it on a zone that is a rectangle.
    pub(crate) fn mark(&self, survey: &mut Survey, name: &str, x: f64, y: f64, w: f64, h: f64) {
        let spot = Place::Patch(rectangle(x, y, w * self.share, h));
        let mut seen = Vec::new();
        match self.film {
            FilmReach::None => {}
            FilmReach::Thin => seen.push(Seen::Film {
                kind: FilmKind::Sealer,
                thickness: None,
                material: FilmMaterial::default(),
                condition: tooth_job::survey::FilmCondition::Unknown,
            }),
            FilmReach::Thick => seen.push(Seen::Film {
                kind: FilmKind::Coating,
                thickness: Some(Length::from_mils(20.0)),
                material: FilmMaterial::default(),
                condition: tooth_job::survey::FilmCondition::Unknown,
            }),
        }
        let depth = match self.oil {
            OilReach::None => None,
            OilReach::Surface => Some(Length::from_millimetres(0.5)),
            OilReach::Deep => Some(Length::from_millimetres(6.0)),
        };
        if depth.is_some() {
            seen.push(Seen::Stain { kind: Contaminant::Oil, depth });
        }
        if self.weak_tenths > 0 {
            seen.push(Seen::Surface {
                state: SurfaceState::Dusting,
                depth: Some(Length::from_millimetres(f64::from(self.weak_tenths) / 10.0)),
            });
        }
        if self.dense {
            seen.push(Seen::Surface { state: SurfaceState::DenseTrowelled, depth: None });
        }
        for (number, seen) in seen.into_iter().enumerate() {
            let id = format!("{name}-mark-{number}");
            survey.features.push(feature(&id, spot.clone(), seen));
        }
        if self.hollow {
            let (long, short) = (Length::from_inches(14.0), Length::from_inches(5.0));
            let middle =
                Place::Patch(rectangle(x + w / 2.0, y + h / 2.0, long.metres(), short.metres()));
            let sure =
                Seen::Hollow { sure: Hollow::Sure, kind: HollowKind::LooseSkin, depth: None };
            survey.features.push(feature(&format!("{name}-hollow"), middle, sure));
        }
        let zone = zone_id(name);
        for reading in survey.readings.iter_mut().filter(|r| r.zone.as_ref() == Some(&zone)) {
            if let Measured::ChipRating(level) = &mut reading.measured {
                *level = ProfileLevel::clamped(self.chip);
            }
        }
    }
}

/// Any trouble that the catalogue may or may not cure.
pub(crate) fn trouble() -> impl Strategy<Value = Trouble> {
    let film = prop_oneof![
        2 => Just(FilmReach::None),
        1 => Just(FilmReach::Thin),
        1 => Just(FilmReach::Thick)
    ];
    let oil = prop_oneof![
        2 => Just(OilReach::None),
        1 => Just(OilReach::Surface),
        1 => Just(OilReach::Deep)
    ];
    let weak = prop_oneof![2 => Just(0u16), 3 => 1..60u16];
    let share = prop_oneof![1 => Just(1.0), 3 => 0.05..0.9f64];
    (share, film, oil, weak, any::<bool>(), any::<bool>(), 1..7u8).prop_map(
        |(share, film, oil, weak_tenths, dense, hollow, chip)| Trouble {
            share,
            film,
            oil,
            weak_tenths,
            dense,
            hollow,
            chip,
        },
    )
}

/// What a person reads, in English and metric units first.
pub(crate) fn told(said: &Said) -> String {
    Words::new(Language::English, UnitSystem::Si).say(said)
}
