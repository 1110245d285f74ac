//! The built-in methods and machines.
//!
//! Profile ranges: ICRI 310.2R-2013, from memory except abrasive blasting (2 to 7,
//! published). Rates: planning ranges from memory, square feet per crew-hour and pass
//! in open area, with two published points (a shrouded floor shaver took 1/8 in at
//! 128 ft²/h, a hand grinder 1/16 in at 48 ft²/h: US DOE demonstrations 1997).
//! Amounts of money are assumptions in the job's currency.

use tooth_measure::say::{Said, said};
use tooth_measure::{
    Area, AreaRate, Certainty, Fraction, Length, LengthRate, Mass, MassPerArea, Money,
    MoneyPerArea, MoneyPerHour, MoneyPerLength, MoneyPerVolume, ProfileRange, Source,
    VolumePerArea, VolumeRate, WorkTime,
};

use super::{
    Catalogue, CoatWork, DustMade, FillWork, FilmReach, Hazard, KeepWork, Lane, LineTask,
    LineTreatment, LineWork, Machine, Method, OilReach, PatchWork, PieceWork, Residue,
    ShallowPatchWork, SoilReach, Spoils, Spread, SurfaceWork, Work,
};
use crate::survey::{Exposure, FilmWay, Power, SmallDamage};

const FROM_MEMORY: Source =
    Source::new("title-planning-range-profile-after-icri-310-2r-2013", Certainty::Memory);
const DEMONSTRATED: Source =
    Source::new("title-planning-range-a-us-doe-demonstration-of-1997", Certainty::Memory);
const ASSUMED: Source = Source::new("title-assumed-planning-figure", Certainty::Assumption);

fn area_rate(low: f64, likely: f64, high: f64) -> Spread<AreaRate> {
    let rate = AreaRate::from_square_feet_per_hour;
    Spread { low: rate(low), likely: rate(likely), high: rate(high) }
}

fn length_rate(low: f64, likely: f64, high: f64) -> Spread<LengthRate> {
    let rate = LengthRate::from_feet_per_hour;
    Spread { low: rate(low), likely: rate(likely), high: rate(high) }
}

fn volume_rate(low: f64, likely: f64, high: f64) -> Spread<VolumeRate> {
    let rate = VolumeRate::from_cubic_feet_per_hour;
    Spread { low: rate(low), likely: rate(likely), high: rate(high) }
}

/// A surface work that changes nothing: each method says what it adds.
fn surface(rate: Spread<AreaRate>) -> SurfaceWork {
    SurfaceWork {
        film: FilmReach::None,
        film_left: FilmReach::None,
        oil: OilReach::None,
        soil: SoilReach::None,
        depth_per_pass: Length::ZERO,
        most_passes: 1,
        leaves: None,
        opens_skin: false,
        smooths: false,
        bruises: false,
        clears_bruising: false,
        clears: None,
        residue: Residue::Dust,
        exposure: Exposure::Cream,
        uses_lime: false,
        spoils: Spoils::None,
        rate,
        logged: Vec::new(),
        unreached_edge: Length::ZERO,
        wear: None,
        lane: None,
        wait: WorkTime::ZERO,
        consumables: MoneyPerArea::ZERO,
        solids: MassPerArea::ZERO,
        liquid: VolumePerArea::ZERO,
    }
}

/// A method that hurts nobody yet: each one says what it adds.
fn method(id: &str, work: Work) -> Method {
    Method {
        id: id.to_owned(),
        name: Said::built_in("method", id),
        instruction: Said::beside("method", id, "instruction"),
        work,
        crew: 1,
        set_up: WorkTime::from_minutes(30.0),
        machine: None,
        dust: DustMade::None,
        wet: false,
        loud: false,
        acid: false,
        shakes: false,
        cuts: false,
        hazards: Vec::new(),
        source: FROM_MEMORY,
    }
}

fn machine(id: &str, mobilisation: f64, hour: f64, power: Power) -> Machine {
    Machine {
        id: id.to_owned(),
        name: Said::built_in("machine", id),
        mobilisation: Money::new(mobilisation),
        hour: MoneyPerHour::from_per_hour(hour),
        power,
        engine: false,
        door: None,
        mass: None,
        steepest: None,
    }
}

/// A set of parts and the area that it lasts in square feet, one pass. From memory:
/// segments 2,000 to 15,000, cutters 1,000 to 5,000.
fn wear(part: Said, square_feet: f64) -> Option<(Said, Area)> {
    Some((part, Area::from_square_feet(square_feet)))
}

/// A lane of a machine, in inches; neighbours overlap by a tenth. Common practice.
fn lane(inches: f64) -> Option<Lane> {
    Some(Lane { width: Length::from_inches(inches), overlap: Length::from_inches(inches * 0.1) })
}

fn per_square_foot(amount: f64) -> MoneyPerArea {
    MoneyPerArea::from_per_square_foot(amount)
}

/// The built-in catalogue.
#[must_use]
pub fn built_in() -> Catalogue {
    let mut methods = cleaning();
    methods.extend(grinding_and_blasting());
    methods.extend(impact_and_water());
    methods.extend(without_dust());
    methods.extend(removing());
    methods.extend(finishing());
    methods.extend(repairs());
    methods.extend(gentle());
    methods.extend(by_the_piece());
    for work in methods.iter_mut().filter_map(|method| match &mut method.work {
        Work::Surface(work) => Some(work),
        _ => None,
    }) {
        // Whatever makes a profile, takes depth or strikes leaves no texture as it was.
        let harsh = work.leaves.is_some() || work.depth_per_pass > Length::ZERO || work.bruises;
        if harsh && !work.opens_skin {
            work.spoils = Spoils::Any;
        }
    }
    let mut machines = machines();
    for machine in &mut machines {
        if let Some((_, kilograms)) = WEIGHTS.iter().find(|(id, _)| *id == machine.id) {
            machine.mass = Some(Mass::from_kilograms(*kilograms));
        }
        if WHEELED.contains(&machine.id.as_str()) {
            machine.steepest = Some(Fraction::from_percent(10.0));
        }
    }
    Catalogue { methods, machines }
}

/// Usual weights in kilograms, from memory; the drum shaver's is published (330 lb, US DOE
/// demonstration 1997).
const WEIGHTS: &[(&str, f64)] = &[
    ("scrubber", 180.0),
    ("floor_grinder", 320.0),
    ("small_shot_blaster", 180.0),
    ("shot_blaster", 420.0),
    ("scarifier", 90.0),
    ("drum_shaver", 150.0),
    ("floor_scabbler", 160.0),
    ("floor_scraper", 70.0),
    ("milling_machine", 2200.0),
];

/// What makes power where the site has none of the kind.
const GENERATOR_ID: &str = "generator";

/// Machines on wheels that run away or dig in on a slope. Assumption: a tenth.
const WHEELED: &[&str] = &[
    "scrubber",
    "floor_grinder",
    "small_shot_blaster",
    "shot_blaster",
    "scarifier",
    "drum_shaver",
    "floor_scabbler",
    "milling_machine",
];

fn machines() -> Vec<Machine> {
    let door = |metres: f64, machine: Machine| Machine {
        door: Some(Length::from_metres(metres)),
        ..machine
    };
    let engine = |machine: Machine| Machine { engine: true, power: Power::None, ..machine };
    vec![
        door(0.75, machine("scrubber", 60.0, 9.0, Power::SinglePhase)),
        machine("hand_grinder", 40.0, 11.0, Power::SinglePhase),
        door(0.80, machine("floor_grinder", 180.0, 28.0, Power::ThreePhase)),
        door(0.70, machine("small_shot_blaster", 240.0, 38.0, Power::SinglePhase)),
        door(0.95, machine("shot_blaster", 420.0, 62.0, Power::ThreePhase)),
        engine(machine("blast_unit", 380.0, 58.0, Power::None)),
        door(0.70, machine("scarifier", 160.0, 30.0, Power::SinglePhase)),
        machine("needle_scaler", 140.0, 22.0, Power::None),
        machine("hand_scabbler", 150.0, 26.0, Power::None),
        machine("hand_shot_blaster", 130.0, 24.0, Power::SinglePhase),
        engine(machine("water_jet", 1400.0, 190.0, Power::None)),
        engine(door(1.60, machine("milling_machine", 950.0, 150.0, Power::None))),
        door(0.75, machine("drum_shaver", 260.0, 44.0, Power::ThreePhase)),
        door(0.75, machine("floor_scabbler", 240.0, 42.0, Power::None)),
        machine("floor_scraper", 80.0, 15.0, Power::SinglePhase),
        engine(machine(GENERATOR_ID, 220.0, 26.0, Power::None)),
        machine("washer", 70.0, 12.0, Power::SinglePhase),
        engine(machine("vapour_blast_unit", 460.0, 66.0, Power::None)),
        machine("breaker", 30.0, 7.0, Power::SinglePhase),
        machine("vacuum", 30.0, 6.0, Power::SinglePhase),
        machine("saw_and_breaker", 110.0, 19.0, Power::SinglePhase),
        machine("crack_router", 70.0, 13.0, Power::SinglePhase),
    ]
}

fn cleaning() -> Vec<Method> {
    use Hazard::{Chemical, Slurry, WetElectrical};
    vec![
        Method {
            machine: Some("scrubber".into()),
            wet: true,
            hazards: vec![WetElectrical, Slurry],
            ..method(
                "detergent_scrub",
                Work::Surface(SurfaceWork {
                    oil: OilReach::Surface,
                    soil: SoilReach::Salts,
                    residue: Residue::Wet,
                    consumables: per_square_foot(0.04),
                    liquid: VolumePerArea::from_gallons_per_square_foot(0.05),
                    ..surface(area_rate(400.0, 1500.0, 4000.0))
                }),
            )
        },
        Method {
            hazards: vec![Chemical],
            ..method(
                "oil_poultice",
                Work::Surface(SurfaceWork {
                    oil: OilReach::Deep,
                    most_passes: 3,
                    wait: WorkTime::from_hours(24.0),
                    consumables: per_square_foot(1.10),
                    solids: MassPerArea::from_pounds_per_square_foot(1.2),
                    ..surface(area_rate(20.0, 35.0, 50.0))
                }),
            )
        },
        Method {
            crew: 2,
            wet: true,
            hazards: vec![Chemical, Slurry, Hazard::OldCoating],
            ..method(
                "chemical_strip",
                Work::Surface(SurfaceWork {
                    film: FilmReach::Thick,
                    residue: Residue::Wet,
                    wait: WorkTime::from_hours(4.0),
                    consumables: per_square_foot(0.75),
                    liquid: VolumePerArea::from_gallons_per_square_foot(0.08),
                    ..surface(area_rate(30.0, 60.0, 100.0))
                }),
            )
        },
        Method {
            machine: Some("vacuum".into()),
            source: ASSUMED,
            hazards: vec![Hazard::SilicaDust],
            ..method(
                "brush_and_vacuum",
                Work::Surface(SurfaceWork {
                    soil: SoilReach::Dirt,
                    ..surface(area_rate(400.0, 900.0, 1500.0))
                }),
            )
        },
        Method {
            machine: Some("vacuum".into()),
            source: ASSUMED,
            dust: DustMade::Controlled,
            hazards: vec![Hazard::SilicaDust],
            ..method(
                "salt_brush",
                Work::Surface(SurfaceWork {
                    soil: SoilReach::Salts,
                    ..surface(area_rate(80.0, 160.0, 300.0))
                }),
            )
        },
        Method {
            wet: true,
            source: ASSUMED,
            hazards: vec![Chemical, Slurry],
            ..method(
                "rust_remover",
                Work::Surface(SurfaceWork {
                    soil: SoilReach::Rust,
                    residue: Residue::Wet,
                    wait: WorkTime::from_hours(1.0),
                    consumables: per_square_foot(0.60),
                    liquid: VolumePerArea::from_gallons_per_square_foot(0.08),
                    ..surface(area_rate(30.0, 60.0, 100.0))
                }),
            )
        },
        Method {
            wet: true,
            acid: true,
            crew: 2,
            hazards: vec![Hazard::Acid, Slurry, WetElectrical],
            ..method(
                "acid_etch",
                Work::Surface(SurfaceWork {
                    depth_per_pass: Length::from_millimetres(0.1),
                    leaves: Some(ProfileRange::between(1, 2)),
                    residue: Residue::Acid,
                    exposure: Exposure::Fine,
                    uses_lime: true,
                    consumables: per_square_foot(0.12),
                    liquid: VolumePerArea::from_gallons_per_square_foot(0.02),
                    ..surface(area_rate(250.0, 450.0, 800.0))
                }),
            )
        },
    ]
}

fn grinding_and_blasting() -> Vec<Method> {
    use Hazard::{Noise, OldCoating, SilicaDust, Vibration};
    vec![
        Method {
            machine: Some("hand_grinder".into()),
            dust: DustMade::Controlled,
            loud: true,
            hazards: vec![SilicaDust, Noise, Vibration, OldCoating],
            source: Source::new(
                "title-planning-range-a-us-doe-demonstration-by-hand",
                Certainty::Memory,
            ),
            ..method(
                "hand_grinding",
                Work::Surface(SurfaceWork {
                    film: FilmReach::Thick,
                    depth_per_pass: Length::from_inches(1.0 / 32.0),
                    most_passes: 4,
                    leaves: Some(ProfileRange::between(1, 2)),
                    smooths: true,
                    exposure: Exposure::Fine,
                    consumables: per_square_foot(0.22),
                    ..surface(area_rate(20.0, 45.0, 60.0))
                }),
            )
        },
        Method {
            machine: Some("floor_grinder".into()),
            dust: DustMade::Controlled,
            loud: true,
            hazards: vec![SilicaDust, Noise, Vibration, OldCoating],
            source: DEMONSTRATED,
            ..method(
                "floor_grinding",
                Work::Surface(SurfaceWork {
                    film: FilmReach::Thick,
                    depth_per_pass: Length::from_inches(1.0 / 32.0),
                    most_passes: 4,
                    leaves: Some(ProfileRange::between(1, 2)),
                    smooths: true,
                    exposure: Exposure::Fine,
                    unreached_edge: Length::from_inches(3.0),
                    lane: lane(26.0),
                    wear: wear(said!("wear-segment-sets"), 8000.0),
                    consumables: per_square_foot(0.14),
                    ..surface(area_rate(100.0, 220.0, 500.0))
                }),
            )
        },
        Method {
            machine: Some("small_shot_blaster".into()),
            dust: DustMade::Controlled,
            loud: true,
            hazards: vec![SilicaDust, Noise, OldCoating],
            ..method(
                "small_shot_blast",
                Work::Surface(SurfaceWork {
                    film: FilmReach::Thin,
                    depth_per_pass: Length::from_inches(1.0 / 32.0),
                    most_passes: 3,
                    leaves: Some(ProfileRange::between(3, 5)),
                    clears_bruising: true,
                    exposure: Exposure::Coarse,
                    unreached_edge: Length::from_inches(3.0),
                    lane: lane(10.0),
                    consumables: per_square_foot(0.05),
                    solids: MassPerArea::from_pounds_per_square_foot(0.012),
                    ..surface(area_rate(150.0, 260.0, 400.0))
                }),
            )
        },
        Method {
            crew: 2,
            machine: Some("shot_blaster".into()),
            dust: DustMade::Controlled,
            loud: true,
            hazards: vec![SilicaDust, Noise, OldCoating, Hazard::Structure],
            ..method(
                "shot_blast",
                Work::Surface(SurfaceWork {
                    film: FilmReach::Thin,
                    depth_per_pass: Length::from_inches(1.0 / 24.0),
                    most_passes: 3,
                    leaves: Some(ProfileRange::between(3, 7)),
                    clears_bruising: true,
                    exposure: Exposure::Coarse,
                    unreached_edge: Length::from_inches(4.0),
                    lane: lane(15.0),
                    consumables: per_square_foot(0.05),
                    solids: MassPerArea::from_pounds_per_square_foot(0.012),
                    ..surface(area_rate(500.0, 900.0, 1500.0))
                }),
            )
        },
        Method {
            machine: Some("hand_shot_blaster".into()),
            dust: DustMade::Controlled,
            loud: true,
            hazards: vec![SilicaDust, Noise, Vibration, OldCoating],
            ..method(
                "hand_shot_blast",
                Work::Surface(SurfaceWork {
                    film: FilmReach::Thin,
                    depth_per_pass: Length::from_inches(1.0 / 32.0),
                    most_passes: 5,
                    leaves: Some(ProfileRange::between(3, 7)),
                    clears_bruising: true,
                    exposure: Exposure::Coarse,
                    consumables: per_square_foot(0.12),
                    solids: MassPerArea::from_pounds_per_square_foot(0.02),
                    ..surface(area_rate(25.0, 45.0, 80.0))
                }),
            )
        },
        Method {
            machine: Some("blast_unit".into()),
            dust: DustMade::Open,
            loud: true,
            crew: 2,
            hazards: vec![SilicaDust, Noise, OldCoating, Hazard::EngineIndoors],
            source: Source::new(
                "title-profile-2-to-7-icri-310-2r-2013-as-quoted",
                Certainty::Memory,
            ),
            ..method(
                "abrasive_blast",
                Work::Surface(SurfaceWork {
                    film: FilmReach::Thick,
                    depth_per_pass: Length::from_inches(1.0 / 32.0),
                    most_passes: 4,
                    leaves: Some(ProfileRange::between(2, 7)),
                    clears_bruising: true,
                    exposure: Exposure::Coarse,
                    consumables: per_square_foot(0.45),
                    solids: MassPerArea::from_pounds_per_square_foot(5.0),
                    ..surface(area_rate(60.0, 130.0, 250.0))
                }),
            )
        },
    ]
}

fn impact_and_water() -> Vec<Method> {
    use Hazard::{Embedded, EngineIndoors, Noise, OldCoating, SilicaDust, Structure, Vibration};
    vec![
        Method {
            shakes: true,
            machine: Some("scarifier".into()),
            dust: DustMade::Controlled,
            loud: true,
            cuts: true,
            hazards: vec![SilicaDust, Noise, Vibration, OldCoating, Embedded, Structure],
            ..method(
                "scarify",
                Work::Surface(SurfaceWork {
                    film: FilmReach::Thick,
                    depth_per_pass: Length::from_inches(1.0 / 8.0),
                    most_passes: 4,
                    leaves: Some(ProfileRange::between(4, 7)),
                    bruises: true,
                    exposure: Exposure::Coarse,
                    unreached_edge: Length::from_inches(3.0),
                    lane: lane(10.0),
                    wear: wear(said!("wear-cutter-sets"), 2500.0),
                    consumables: per_square_foot(0.18),
                    ..surface(area_rate(75.0, 180.0, 400.0))
                }),
            )
        },
        Method {
            shakes: true,
            machine: Some("needle_scaler".into()),
            dust: DustMade::Controlled,
            loud: true,
            hazards: vec![SilicaDust, Noise, Vibration, OldCoating],
            ..method(
                "needle_scale",
                Work::Surface(SurfaceWork {
                    film: FilmReach::Thin,
                    depth_per_pass: Length::from_inches(1.0 / 32.0),
                    most_passes: 2,
                    leaves: Some(ProfileRange::between(2, 4)),
                    exposure: Exposure::Coarse,
                    consumables: per_square_foot(0.10),
                    ..surface(area_rate(10.0, 22.0, 40.0))
                }),
            )
        },
        Method {
            shakes: true,
            machine: Some("hand_scabbler".into()),
            dust: DustMade::Controlled,
            loud: true,
            cuts: true,
            hazards: vec![SilicaDust, Noise, Vibration, Embedded, Structure, OldCoating],
            ..method(
                "hand_scabble",
                Work::Surface(SurfaceWork {
                    film: FilmReach::Thick,
                    depth_per_pass: Length::from_inches(1.0 / 8.0),
                    most_passes: 4,
                    leaves: Some(ProfileRange::between(7, 9)),
                    bruises: true,
                    exposure: Exposure::Coarse,
                    consumables: per_square_foot(0.25),
                    ..surface(area_rate(15.0, 22.0, 30.0))
                }),
            )
        },
        Method {
            machine: Some("water_jet".into()),
            cuts: true,
            wet: true,
            loud: true,
            crew: 3,
            hazards: vec![Noise, Hazard::Slurry, EngineIndoors, Embedded, Structure, OldCoating],
            ..method(
                "water_jet",
                Work::Surface(SurfaceWork {
                    film: FilmReach::Thick,
                    depth_per_pass: Length::from_inches(1.0 / 8.0),
                    most_passes: 4,
                    leaves: Some(ProfileRange::between(3, 10)),
                    clears_bruising: true,
                    residue: Residue::Wet,
                    exposure: Exposure::Coarse,
                    consumables: per_square_foot(0.20),
                    liquid: VolumePerArea::from_gallons_per_square_foot(1.5),
                    ..surface(area_rate(50.0, 140.0, 300.0))
                }),
            )
        },
        Method {
            shakes: true,
            machine: Some("milling_machine".into()),
            dust: DustMade::Open,
            wet: true,
            loud: true,
            cuts: true,
            crew: 2,
            hazards: vec![SilicaDust, Noise, Embedded, Structure, EngineIndoors, OldCoating],
            ..method(
                "mill",
                Work::Surface(SurfaceWork {
                    film: FilmReach::Thick,
                    depth_per_pass: Length::from_inches(0.5),
                    most_passes: 4,
                    leaves: Some(ProfileRange::between(6, 9)),
                    bruises: true,
                    exposure: Exposure::Coarse,
                    unreached_edge: Length::from_inches(6.0),
                    lane: lane(20.0),
                    wear: wear(said!("wear-pick-sets"), 20_000.0),
                    consumables: per_square_foot(0.12),
                    ..surface(area_rate(200.0, 500.0, 1000.0))
                }),
            )
        },
    ]
}

/// Removal in which water keeps the dust down.
fn without_dust() -> Vec<Method> {
    use Hazard::{Noise, OldCoating, Slurry, WetElectrical};
    vec![
        Method {
            machine: Some("floor_grinder".into()),
            wet: true,
            loud: true,
            hazards: vec![Noise, Slurry, WetElectrical, OldCoating],
            ..method(
                "wet_grinding",
                Work::Surface(SurfaceWork {
                    film: FilmReach::Thick,
                    depth_per_pass: Length::from_inches(1.0 / 32.0),
                    most_passes: 4,
                    leaves: Some(ProfileRange::between(1, 2)),
                    smooths: true,
                    residue: Residue::Wet,
                    exposure: Exposure::Fine,
                    unreached_edge: Length::from_inches(3.0),
                    lane: lane(26.0),
                    wear: wear(said!("wear-segment-sets"), 8000.0),
                    consumables: per_square_foot(0.12),
                    liquid: VolumePerArea::from_gallons_per_square_foot(0.08),
                    ..surface(area_rate(90.0, 180.0, 400.0))
                }),
            )
        },
        Method {
            machine: Some("hand_grinder".into()),
            wet: true,
            loud: true,
            hazards: vec![Noise, Slurry, WetElectrical, OldCoating, Hazard::Vibration],
            ..method(
                "wet_hand_grinding",
                Work::Surface(SurfaceWork {
                    film: FilmReach::Thick,
                    depth_per_pass: Length::from_inches(1.0 / 32.0),
                    most_passes: 4,
                    leaves: Some(ProfileRange::between(1, 2)),
                    smooths: true,
                    residue: Residue::Wet,
                    exposure: Exposure::Fine,
                    consumables: per_square_foot(0.20),
                    liquid: VolumePerArea::from_gallons_per_square_foot(0.08),
                    ..surface(area_rate(15.0, 35.0, 50.0))
                }),
            )
        },
        Method {
            machine: Some("vapour_blast_unit".into()),
            wet: true,
            loud: true,
            crew: 2,
            hazards: vec![Noise, Slurry, Hazard::SilicaDust, Hazard::EngineIndoors, OldCoating],
            ..method(
                "vapour_blast",
                Work::Surface(SurfaceWork {
                    film: FilmReach::Thick,
                    depth_per_pass: Length::from_inches(1.0 / 32.0),
                    most_passes: 4,
                    leaves: Some(ProfileRange::between(2, 7)),
                    clears_bruising: true,
                    residue: Residue::Wet,
                    exposure: Exposure::Coarse,
                    consumables: per_square_foot(0.50),
                    solids: MassPerArea::from_pounds_per_square_foot(3.0),
                    liquid: VolumePerArea::from_gallons_per_square_foot(0.1),
                    ..surface(area_rate(50.0, 110.0, 200.0))
                }),
            )
        },
        Method {
            machine: Some("washer".into()),
            wet: true,
            hazards: vec![Slurry, WetElectrical],
            ..method(
                "low_pressure_wash",
                Work::Surface(SurfaceWork {
                    clears: Some(Residue::Dust),
                    soil: SoilReach::Dirt,
                    residue: Residue::Wet,
                    liquid: VolumePerArea::from_gallons_per_square_foot(0.4),
                    ..surface(area_rate(300.0, 800.0, 1500.0))
                }),
            )
        },
    ]
}

/// Removal of depth and of thick old layers.
fn removing() -> Vec<Method> {
    use Hazard::{Embedded, Noise, OldCoating, SilicaDust, Structure, Vibration};
    vec![
        Method {
            crew: 2,
            machine: Some("drum_shaver".into()),
            dust: DustMade::Controlled,
            loud: true,
            cuts: true,
            hazards: vec![SilicaDust, Noise, Vibration, OldCoating, Embedded],
            source: Source::new(
                "title-a-us-doe-demonstration-of-1997-took-1-8-in-at-128",
                Certainty::Memory,
            ),
            ..method(
                "drum_shave",
                Work::Surface(SurfaceWork {
                    film: FilmReach::Thick,
                    depth_per_pass: Length::from_inches(1.0 / 8.0),
                    most_passes: 4,
                    leaves: Some(ProfileRange::between(1, 3)),
                    smooths: true,
                    clears_bruising: true,
                    exposure: Exposure::Coarse,
                    unreached_edge: Length::from_inches(3.0),
                    lane: lane(10.0),
                    wear: wear(said!("wear-blade-sets"), 10_000.0),
                    consumables: per_square_foot(0.35),
                    ..surface(area_rate(90.0, 128.0, 300.0))
                }),
            )
        },
        Method {
            crew: 2,
            machine: Some("floor_scabbler".into()),
            dust: DustMade::Controlled,
            loud: true,
            shakes: true,
            cuts: true,
            hazards: vec![SilicaDust, Noise, Vibration, Embedded, Structure, OldCoating],
            ..method(
                "floor_scabble",
                Work::Surface(SurfaceWork {
                    film: FilmReach::Thick,
                    depth_per_pass: Length::from_inches(1.0 / 8.0),
                    most_passes: 4,
                    leaves: Some(ProfileRange::between(7, 9)),
                    bruises: true,
                    exposure: Exposure::Coarse,
                    unreached_edge: Length::from_inches(3.0),
                    lane: lane(12.0),
                    consumables: per_square_foot(0.22),
                    ..surface(area_rate(40.0, 90.0, 150.0))
                }),
            )
        },
        Method {
            machine: Some("breaker".into()),
            dust: DustMade::Controlled,
            loud: true,
            shakes: true,
            cuts: true,
            hazards: vec![SilicaDust, Noise, Vibration, Embedded, Structure, OldCoating],
            ..method(
                "hand_break",
                Work::Surface(SurfaceWork {
                    film: FilmReach::Thick,
                    depth_per_pass: Length::from_inches(0.5),
                    most_passes: 4,
                    leaves: Some(ProfileRange::between(7, 10)),
                    bruises: true,
                    exposure: Exposure::Coarse,
                    consumables: per_square_foot(0.30),
                    ..surface(area_rate(8.0, 16.0, 30.0))
                }),
            )
        },
        Method {
            machine: Some("floor_scraper".into()),
            loud: true,
            hazards: vec![Noise, Vibration, OldCoating],
            ..method(
                "scrape",
                Work::Surface(SurfaceWork {
                    film: FilmReach::Thick,
                    film_left: FilmReach::Thin,
                    spoils: Spoils::Relief,
                    consumables: per_square_foot(0.06),
                    solids: MassPerArea::from_pounds_per_square_foot(0.4),
                    ..surface(area_rate(80.0, 200.0, 450.0))
                }),
            )
        },
    ]
}

/// What comes before anything harsh: hands, soap, pads, weak acid. Rates from memory.
fn gentle() -> Vec<Method> {
    use Hazard::{Chemical, SilicaDust, Slurry, WetElectrical};
    vec![
        Method {
            wet: true,
            hazards: vec![Slurry],
            ..method(
                "soap_and_brush",
                Work::Surface(SurfaceWork {
                    soil: SoilReach::Dirt,
                    residue: Residue::Wet,
                    consumables: per_square_foot(0.03),
                    liquid: VolumePerArea::from_gallons_per_square_foot(0.1),
                    ..surface(area_rate(80.0, 150.0, 300.0))
                }),
            )
        },
        Method {
            hazards: vec![Hazard::OldCoating],
            ..method(
                "hand_scrape",
                Work::Surface(SurfaceWork {
                    film: FilmReach::Thick,
                    film_left: FilmReach::Thin,
                    spoils: Spoils::Relief,
                    consumables: per_square_foot(0.02),
                    solids: MassPerArea::from_pounds_per_square_foot(0.4),
                    ..surface(area_rate(10.0, 25.0, 50.0))
                }),
            )
        },
        Method {
            dust: DustMade::Controlled,
            hazards: vec![SilicaDust],
            ..method(
                "rubbing_stone",
                Work::Surface(SurfaceWork {
                    depth_per_pass: Length::from_millimetres(0.1),
                    most_passes: 3,
                    opens_skin: true,
                    spoils: Spoils::Relief,
                    consumables: per_square_foot(0.05),
                    ..surface(area_rate(8.0, 15.0, 30.0))
                }),
            )
        },
        Method {
            machine: Some("scrubber".into()),
            dust: DustMade::Controlled,
            hazards: vec![SilicaDust],
            ..method(
                "screen_with_pads",
                Work::Surface(SurfaceWork {
                    depth_per_pass: Length::from_millimetres(0.1),
                    most_passes: 3,
                    opens_skin: true,
                    spoils: Spoils::Relief,
                    lane: lane(17.0),
                    consumables: per_square_foot(0.05),
                    ..surface(area_rate(250.0, 500.0, 900.0))
                }),
            )
        },
        Method {
            machine: Some("scrubber".into()),
            wet: true,
            hazards: vec![Slurry, WetElectrical],
            ..method(
                "wet_screen_with_pads",
                Work::Surface(SurfaceWork {
                    depth_per_pass: Length::from_millimetres(0.1),
                    most_passes: 3,
                    opens_skin: true,
                    residue: Residue::Wet,
                    spoils: Spoils::Relief,
                    lane: lane(17.0),
                    consumables: per_square_foot(0.05),
                    liquid: VolumePerArea::from_gallons_per_square_foot(0.05),
                    ..surface(area_rate(200.0, 400.0, 800.0))
                }),
            )
        },
        Method {
            wet: true,
            acid: true,
            hazards: vec![Hazard::Acid, Slurry, WetElectrical],
            ..method(
                "weak_acid_wash",
                Work::Surface(SurfaceWork {
                    soil: SoilReach::Rust,
                    residue: Residue::Acid,
                    uses_lime: true,
                    spoils: Spoils::Any,
                    consumables: per_square_foot(0.10),
                    liquid: VolumePerArea::from_gallons_per_square_foot(0.05),
                    ..surface(area_rate(150.0, 300.0, 500.0))
                }),
            )
        },
        Method {
            wet: true,
            hazards: vec![Chemical, Slurry],
            ..method(
                "salt_remover",
                Work::Surface(SurfaceWork {
                    soil: SoilReach::Salts,
                    residue: Residue::Wet,
                    wait: WorkTime::from_hours(1.0),
                    consumables: per_square_foot(0.15),
                    liquid: VolumePerArea::from_gallons_per_square_foot(0.08),
                    ..surface(area_rate(80.0, 160.0, 300.0))
                }),
            )
        },
        Method {
            hazards: vec![Chemical],
            ..method(
                "scuff_and_clean",
                Work::Keep(KeepWork {
                    way: FilmWay::RecoatOver,
                    rate: area_rate(150.0, 250.0, 400.0),
                    consumables: per_square_foot(0.05),
                    liquid: VolumePerArea::from_gallons_per_square_foot(0.02),
                    wait: WorkTime::from_hours(1.0),
                }),
            )
        },
        Method {
            hazards: vec![Chemical],
            ..method(
                "rewet_with_solvent",
                Work::Keep(KeepWork {
                    way: FilmWay::RewetAndRecoat,
                    rate: area_rate(200.0, 350.0, 600.0),
                    consumables: per_square_foot(0.20),
                    liquid: VolumePerArea::ZERO,
                    wait: WorkTime::ZERO,
                }),
            )
        },
    ]
}

/// Small damage, mended one by one by hand. Times from memory.
fn by_the_piece() -> Vec<Method> {
    let piece = |id: &str, kind, [low, likely, high]: [f64; 3], each: f64| Method {
        set_up: WorkTime::from_minutes(15.0),
        hazards: vec![Hazard::Chemical],
        ..method(
            id,
            Work::Piece(PieceWork {
                kind,
                each: Spread {
                    low: WorkTime::from_minutes(low),
                    likely: WorkTime::from_minutes(likely),
                    high: WorkTime::from_minutes(high),
                },
                consumables: Money::new(each),
                wait: WorkTime::from_hours(1.0),
            }),
        )
    };
    vec![
        piece("fill_strip_holes", SmallDamage::TackStripHoles, [0.5, 0.8, 1.5], 0.10),
        piece("fill_nail_holes", SmallDamage::NailHoles, [0.3, 0.5, 1.0], 0.05),
        piece("fill_popouts", SmallDamage::Popouts, [1.0, 2.0, 4.0], 0.25),
    ]
}

fn finishing() -> Vec<Method> {
    use Hazard::{Slurry, WetElectrical};
    vec![
        Method {
            wet: true,
            crew: 2,
            hazards: vec![Hazard::Acid, Slurry, WetElectrical],
            ..method(
                "rinse_and_neutralise",
                Work::Surface(SurfaceWork {
                    clears: Some(Residue::Acid),
                    residue: Residue::Wet,
                    consumables: per_square_foot(0.03),
                    liquid: VolumePerArea::from_gallons_per_square_foot(1.0),
                    ..surface(area_rate(400.0, 700.0, 1200.0))
                }),
            )
        },
        Method {
            machine: Some("vacuum".into()),
            hazards: vec![WetElectrical],
            source: ASSUMED,
            ..method(
                "pick_up_and_dry",
                Work::Surface(SurfaceWork {
                    clears: Some(Residue::Wet),
                    residue: Residue::Clean,
                    wait: WorkTime::from_hours(24.0),
                    ..surface(area_rate(1500.0, 2500.0, 4000.0))
                }),
            )
        },
        Method {
            machine: Some("vacuum".into()),
            source: ASSUMED,
            hazards: vec![Hazard::SilicaDust],
            ..method(
                "vacuum_clean",
                Work::Surface(SurfaceWork {
                    clears: Some(Residue::Dust),
                    residue: Residue::Clean,
                    ..surface(area_rate(1500.0, 2500.0, 4000.0))
                }),
            )
        },
    ]
}

fn repairs() -> Vec<Method> {
    use Hazard::{Embedded, Noise, SilicaDust, Structure, Vibration, WetElectrical};
    let line = |treatment, low, likely, high, per_foot| {
        Work::Line(LineWork {
            task: LineTask::Treatment(treatment),
            rate: length_rate(low, likely, high),
            // Rout and seal ½ × ¾ in, published; the others assumed.
            section: match treatment {
                LineTreatment::Stitch => (Length::from_inches(0.375), Length::from_inches(1.5)),
                LineTreatment::RoutAndFill | LineTreatment::RoutAndSeal => {
                    (Length::from_inches(0.5), Length::from_inches(0.75))
                }
                LineTreatment::RecutAndSeal | LineTreatment::HonourAndSeal => {
                    (Length::from_inches(0.25), Length::from_inches(0.5))
                }
                LineTreatment::GrindLip | LineTreatment::KeepClean | LineTreatment::Leave => {
                    (Length::ZERO, Length::ZERO)
                }
                LineTreatment::SemiRigidFill => {
                    (Length::from_inches(0.25), Length::from_inches(1.5))
                }
            },
            consumables: MoneyPerLength::from_per_foot(per_foot),
            // What is blown out sets nothing.
            wait: match treatment {
                LineTreatment::KeepClean | LineTreatment::Leave => WorkTime::ZERO,
                _ => WorkTime::from_hours(4.0),
            },
        })
    };
    let router = |method: Method| Method {
        machine: Some("crack_router".into()),
        dust: DustMade::Controlled,
        loud: true,
        cuts: true,
        hazards: vec![SilicaDust, Noise, Vibration, Embedded, Hazard::OldCoating, Hazard::Chemical],
        ..method
    };
    vec![
        Method {
            crew: 2,
            shakes: true,
            machine: Some("saw_and_breaker".into()),
            wet: true,
            loud: true,
            cuts: true,
            hazards: vec![
                SilicaDust,
                Noise,
                Vibration,
                Embedded,
                Structure,
                WetElectrical,
                Hazard::Slurry,
                Hazard::OldCoating,
            ],
            ..method(
                "cut_out_and_patch",
                Work::Patch(PatchWork {
                    saw: length_rate(60.0, 120.0, 200.0),
                    breaking: volume_rate(0.5, 1.2, 3.0),
                    placing: volume_rate(1.0, 2.0, 4.0),
                    mortar: MoneyPerVolume::from_per_cubic_foot(62.0),
                    wait: WorkTime::from_days(3.0),
                }),
            )
        },
        Method {
            machine: Some("hand_grinder".into()),
            dust: DustMade::Controlled,
            loud: true,
            source: Source::new(
                "title-planning-range-polymer-mortars-of-a-quarter",
                Certainty::Memory,
            ),
            hazards: vec![SilicaDust, Noise, Vibration, Hazard::OldCoating, Hazard::Chemical],
            ..method(
                "polymer_mortar_patch",
                Work::ShallowPatch(ShallowPatchWork {
                    edges: length_rate(15.0, 30.0, 60.0),
                    placing: volume_rate(0.2, 0.5, 1.0),
                    mortar: MoneyPerVolume::from_per_cubic_foot(190.0),
                    least_depth: Length::from_inches(0.25),
                    most_depth: Length::from_inches(1.5),
                    wait: WorkTime::from_hours(6.0),
                }),
            )
        },
        Method {
            machine: Some("crack_router".into()),
            dust: DustMade::Controlled,
            loud: true,
            cuts: true,
            source: ASSUMED,
            hazards: vec![
                SilicaDust,
                Noise,
                Vibration,
                Embedded,
                Hazard::OldCoating,
                Hazard::Chemical,
            ],
            ..method(
                "old_filler_removal",
                Work::Line(LineWork {
                    task: LineTask::OldFillerRemoval,
                    rate: length_rate(30.0, 60.0, 110.0),
                    section: (Length::ZERO, Length::ZERO),
                    consumables: MoneyPerLength::from_per_foot(0.25),
                    wait: WorkTime::ZERO,
                }),
            )
        },
        Method {
            machine: Some("hand_grinder".into()),
            dust: DustMade::Controlled,
            loud: true,
            source: ASSUMED,
            hazards: vec![SilicaDust, Noise, Vibration],
            ..method(
                "grind_flush",
                Work::Line(LineWork {
                    task: LineTask::GrindFlush,
                    rate: length_rate(60.0, 120.0, 200.0),
                    section: (Length::ZERO, Length::ZERO),
                    consumables: MoneyPerLength::from_per_foot(0.15),
                    wait: WorkTime::ZERO,
                }),
            )
        },
        Method {
            wet: true,
            hazards: vec![WetElectrical, Hazard::Slurry],
            source: ASSUMED,
            machine: Some("hand_grinder".into()),
            loud: true,
            ..method(
                "grind_flush_wet",
                Work::Line(LineWork {
                    task: LineTask::GrindFlush,
                    rate: length_rate(45.0, 90.0, 150.0),
                    section: (Length::ZERO, Length::ZERO),
                    consumables: MoneyPerLength::from_per_foot(0.20),
                    wait: WorkTime::from_hours(4.0),
                }),
            )
        },
        router(method("rout_and_fill", line(LineTreatment::RoutAndFill, 50.0, 90.0, 150.0, 0.85))),
        router(method("stitch_cracks", line(LineTreatment::Stitch, 8.0, 15.0, 25.0, 9.50))),
        router(method("rout_and_seal", line(LineTreatment::RoutAndSeal, 40.0, 70.0, 125.0, 1.40))),
        router(method(
            "recut_and_seal",
            line(LineTreatment::RecutAndSeal, 60.0, 110.0, 180.0, 1.25),
        )),
        Method {
            machine: Some("vacuum".into()),
            hazards: vec![SilicaDust, Hazard::OldCoating, Hazard::Chemical],
            ..method("honour_and_seal", line(LineTreatment::HonourAndSeal, 50.0, 90.0, 140.0, 1.05))
        },
        Method {
            machine: Some("hand_grinder".into()),
            dust: DustMade::Controlled,
            loud: true,
            hazards: vec![SilicaDust, Noise, Vibration, Hazard::OldCoating],
            ..method(
                "grind_lip",
                Work::Line(LineWork {
                    task: LineTask::Treatment(LineTreatment::GrindLip),
                    rate: length_rate(10.0, 25.0, 50.0),
                    section: (Length::ZERO, Length::ZERO),
                    consumables: MoneyPerLength::from_per_foot(0.30),
                    wait: WorkTime::ZERO,
                }),
            )
        },
        Method {
            machine: Some("hand_grinder".into()),
            wet: true,
            loud: true,
            hazards: vec![Noise, Vibration, WetElectrical, Hazard::Slurry, Hazard::OldCoating],
            ..method(
                "grind_lip_wet",
                Work::Line(LineWork {
                    task: LineTask::Treatment(LineTreatment::GrindLip),
                    rate: length_rate(8.0, 18.0, 40.0),
                    section: (Length::ZERO, Length::ZERO),
                    consumables: MoneyPerLength::from_per_foot(0.40),
                    wait: WorkTime::from_hours(4.0),
                }),
            )
        },
        Method {
            source: ASSUMED,
            ..method("blow_out_joints", line(LineTreatment::KeepClean, 150.0, 300.0, 500.0, 0.0))
        },
        Method {
            machine: Some("vacuum".into()),
            hazards: vec![SilicaDust, Hazard::OldCoating, Hazard::Chemical],
            ..method("semi_rigid_fill", line(LineTreatment::SemiRigidFill, 40.0, 80.0, 120.0, 1.90))
        },
        Method {
            source: ASSUMED,
            hazards: vec![Hazard::Chemical],
            ..method(
                "moisture_barrier",
                Work::Coat(CoatWork {
                    rate: area_rate(150.0, 300.0, 500.0),
                    material: per_square_foot(1.60),
                    wait: WorkTime::from_hours(16.0),
                    profile: ProfileRange::between(3, 5),
                    most_humidity: None,
                }),
            )
        },
        Method {
            source: ASSUMED,
            hazards: vec![Hazard::Chemical],
            ..method(
                "fill_low_spots",
                Work::Fill(FillWork {
                    rate: volume_rate(0.4, 0.8, 1.5),
                    filler: MoneyPerVolume::from_per_cubic_foot(55.0),
                    wait: WorkTime::from_hours(24.0),
                }),
            )
        },
        Method {
            source: ASSUMED,
            crew: 3,
            set_up: WorkTime::from_hours(2.0),
            hazards: vec![Hazard::Chemical],
            ..method(
                "lay_falls",
                Work::Fill(FillWork {
                    rate: volume_rate(4.0, 8.0, 14.0),
                    filler: MoneyPerVolume::from_per_cubic_foot(45.0),
                    wait: WorkTime::from_hours(24.0),
                }),
            )
        },
    ]
}
