//! A job folder that is begun from a few words is read as the survey that it was begun from.
#![expect(clippy::unwrap_used, clippy::panic, reason = "a test that cannot go on has failed")]

use jiff::civil::date;
use tooth_formats::job_folder::{begun, read};
use tooth_job::extent::PatchRule;
use tooth_job::methods::{Catalogue, built_in};
use tooth_job::quick::{
    Answering, CracksSeen, Details, FilmBuild, FinishPriced, FinishWanted, Firm, Names, Product,
    Quick, Size, SurfaceNow, Told, quick,
};
use tooth_job::stream::Asked;
use tooth_job::survey::{Answer, Currency, Exposure, Power, Support, Survey};
use tooth_measure::choice::Choice;
use tooth_measure::say::Said;
use tooth_measure::{
    Area, AreaRate, Length, Money, MoneyPerArea, MoneyPerHour, MoneyPerMass, MoneyPerVolume,
    UnitSystem, Volume, VolumePerArea, WorkTime,
};
use tooth_texture::Alone;
use tooth_words::{Language, Words};

fn told(units: UnitSystem, now: SurfaceNow, wanted: FinishWanted, details: Details) -> Told {
    let us = units == UnitSystem::UsCustomary;
    let currency = Currency::new(if us { "USD" } else { "EUR" }).unwrap();
    let language = if us { Language::English } else { Language::Spanish };
    let mut firm = Firm::assumed("Firma \"Uno\" # dos".into(), currency, units, language);
    // Rates as somebody types them, in either system.
    firm.rates.labour = MoneyPerHour::from_per_hour(57.35);
    firm.rates.disposal = MoneyPerMass::from_per_pound(0.16);
    firm.rates.liquid_disposal = MoneyPerVolume::from_per_gallon(0.9);
    firm.rates.working_day = WorkTime::from_minutes(465.0);
    Told {
        size: if us {
            Size::Sides(Length::from_feet(20.5), Length::from_inches(377.25))
        } else {
            Size::Area(Area::from_square_metres(61.7))
        },
        setting: now.usual_setting(),
        setting_said: false,
        now,
        wanted,
        details,
        finish: FinishPriced {
            material: Some(Product {
                coats: 2,
                spread: VolumePerArea::from_litres_per_square_metre(0.17),
                container: Volume::from_litres(4.0),
                price: Money::new(71.9),
            }),
            sealer: None,
            slip_additive: Some(MoneyPerArea::from_per_square_foot(0.06)),
            laying: Some(AreaRate::from_square_metres_per_hour(21.0)),
            walk_on: None,
        },
        firm,
        names: Names {
            job: "Entrada, nº 3 \\ \"atrás\"".into(),
            client: "Sra. Núñez".into(),
            site: "Calle 5".into(),
            area: "Losa".into(),
            finish: "sellador".into(),
            no_sheet: "sin ficha".into(),
            it_holds: ("nadie".into(), "supuesto".into()),
        },
        on: date(2026, 5, 4),
    }
}

fn every_detail() -> Details {
    Details {
        year_cast: Some(1998),
        walls: Some(3),
        build: Some(FilmBuild::Thick),
        drinks: Answer::No,
        holds: Answer::Yes,
        cracks: Some(CracksSeen::Many),
        hollow: Answer::Yes,
        oil: Answer::Yes,
        damp: Answer::Yes,
        exposure: Some(Exposure::Fine),
        steps: 4,
        no_dust: Answer::Yes,
        no_water: Answer::Yes,
        support: Support::OnGrade,
        power: Power::ThreePhase,
    }
}

/// With notes in words, as a file holds them.
fn noted(mut survey: Survey, words: Words) -> Survey {
    for mark in &mut survey.features {
        mark.note = Said::Given(words.say(&mark.note));
    }
    survey
}

fn answered(told: &Told, catalogue: &Catalogue) -> Quick {
    let by = Answering {
        catalogue,
        patch_rule: PatchRule::PartialDepth,
        asked: Asked { draws: 256, ..Asked::USUAL },
        workers: &Alone,
    };
    quick(told, by).unwrap()
}

#[test]
fn what_was_begun_is_read_as_it_was() {
    let catalogue = built_in();
    for units in [UnitSystem::UsCustomary, UnitSystem::Si] {
        for (now, details) in SurfaceNow::ALL
            .iter()
            .flat_map(|now| [(*now, Details::default()), (*now, every_detail())])
        {
            for wanted in FinishWanted::ALL {
                let told = told(units, now, *wanted, details.clone());
                if told.checked().is_err() {
                    continue;
                }
                let quick = answered(&told, &catalogue);
                let words = Words::new(told.firm.language, units);
                let folder = tempfile::tempdir().unwrap();
                for (name, text) in begun(&quick.survey, PatchRule::PartialDepth, words) {
                    std::fs::write(folder.path().join(name), text).unwrap();
                }
                let read = read(folder.path());
                let read = read.unwrap_or_else(|faults| panic!("{now:?} {wanted:?}: {faults:#?}"));
                assert!(read.warnings.is_empty(), "{now:?} {wanted:?}: {:#?}", read.warnings);
                let expected = noted(quick.survey, words);
                assert_eq!(read.survey, expected, "{now:?} {wanted:?}");
            }
        }
    }
}

/// Every field of job.toml and systems.toml stands with what it means.
#[test]
fn every_line_of_the_files_has_a_comment() {
    let catalogue = built_in();
    let us = UnitSystem::UsCustomary;
    let told = told(us, SurfaceNow::Sealed, FinishWanted::Recoat, every_detail());
    let quick = answered(&told, &catalogue);
    for language in Language::ALL {
        let words = Words::new(*language, us);
        for (name, text) in begun(&quick.survey, PatchRule::PartialDepth, words) {
            for line in text.lines().filter(|_| name.ends_with(".toml")) {
                let field = line.contains(" = ");
                assert!(!field || line.matches('#').count() > 0, "{name}: {line}");
            }
        }
    }
}

/// What lies on a decorative slab can be written down from the read-me alone.
#[test]
fn the_read_me_names_the_words_of_marks() {
    let catalogue = built_in();
    let us = UnitSystem::UsCustomary;
    let told = told(us, SurfaceNow::Sealed, FinishWanted::Recoat, every_detail());
    let quick = answered(&told, &catalogue);
    for language in Language::ALL {
        let files = begun(&quick.survey, PatchRule::PartialDepth, Words::new(*language, us));
        let (_, text) = files.into_iter().find(|(name, _)| *name == "README.md").unwrap();
        for word in ["tyre_marks", "tack_strip_holes", "tyre_lifted", "rust_left_on", "stamped"] {
            assert!(text.contains(word), "{language:?}: {word}");
        }
    }
}
