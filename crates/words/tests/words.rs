//! Words are there for all that is put together from ids, translated, and in the trade's terms.
#![expect(clippy::unwrap_used, clippy::panic, reason = "tests fail loudly")]

use std::collections::BTreeSet;
use std::path::Path;

use tooth_job::cautions::caution;
use tooth_job::methods::{Hazard, built_in};
use tooth_measure::UnitSystem;
use tooth_measure::choice::Choice;
use tooth_measure::say::Said;
use tooth_words::{FILES, Language, Words};

fn has_words(words: &Words, said: &Said) {
    let text = words.say(said);
    let name = said.name();
    assert!(!text.trim().is_empty() && text != name, "{name} has no words");
}

#[test]
fn all_that_is_built_in_has_words_in_every_language() {
    let catalogue = built_in();
    for language in Language::ALL.iter().copied() {
        let words = Words::new(language, UnitSystem::UsCustomary);
        for method in &catalogue.methods {
            has_words(&words, &method.name);
            has_words(&words, &method.instruction);
        }
        for machine in &catalogue.machines {
            has_words(&words, &machine.name);
        }
        for hazard in Hazard::ALL.iter().copied() {
            has_words(&words, &caution(hazard).text);
            has_words(&words, &caution(hazard).short);
        }
    }
}

/// Words without which hardly an English sentence is made, and that Spanish has not.
const ENGLISH: [&str; 12] =
    ["the", "of", "and", "with", "is", "are", "not", "for", "by", "from", "at", "to"];

#[test]
fn no_spanish_message_is_left_in_english() {
    for (file, _, spanish) in FILES {
        for line in spanish.lines() {
            // What is asked of a file or command stands as it is typed there.
            let plain: String = line.split(['`', '{']).step_by(2).collect();
            let text = plain.split_once(" = ").map_or(plain.as_str(), |(_, text)| text);
            let english: Vec<&str> = text
                .split(|sign: char| !sign.is_alphanumeric())
                .filter(|word| ENGLISH.contains(word))
                .collect();
            assert!(english.len() < 2, "{file}.ftl: {line}");
        }
    }
}

#[test]
fn the_terms_of_the_glossary_are_those_that_a_person_reads() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/glossary.md");
    let glossary = std::fs::read_to_string(path).unwrap();
    let mut all: [String; 2] = [String::new(), String::new()];
    for (_, english, spanish) in FILES {
        all[0].push_str(&english.to_lowercase());
        all[1].push_str(&spanish.to_lowercase());
    }
    let mut terms = BTreeSet::new();
    for row in glossary.lines().filter(|line| line.starts_with("| ")).skip(1) {
        let cells: Vec<&str> = row.trim_matches('|').split('|').map(str::trim).collect();
        let [english, spanish, certainty] = cells[..] else { panic!("{row}") };
        assert!(matches!(certainty, "memory" | "unsure"), "{row}");
        for (term, of) in [(english, &all[0]), (spanish, &all[1])] {
            assert!(of.contains(&term.to_lowercase()), "no message says `{term}`");
        }
        assert!(terms.insert(english.to_owned()), "{english} stands twice");
    }
    assert!(terms.len() > 60, "{} terms", terms.len());
}

#[test]
fn every_range_names_its_measure_in_every_language() {
    let english = Words::new(Language::English, UnitSystem::Si);
    let spanish = Words::new(Language::Spanish, UnitSystem::Si);
    for (name, said) in tooth_measure::range::table() {
        let measure = Said::listed("Measure", name);
        assert_eq!(english.say(&measure), name);
        has_words(&spanish, &measure);
        let english = english.say(&said);
        assert!(english.starts_with(&format!("{name} from ")), "{english}");
        assert_ne!(spanish.say(&said), english);
    }
}
