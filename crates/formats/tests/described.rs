//! What the readers ask for, each of it in words, and nothing asked that no reader reads.

#![expect(clippy::unwrap_used, reason = "a test fails loudly")]

use tooth_formats::job_folder::{described, reference};
use tooth_formats::{FieldAsked, FormAsked};
use tooth_measure::UnitSystem;
use tooth_measure::choice::Choice as _;
use tooth_measure::say::{Language, Said};
use tooth_words::Words;

fn said_in(fields: &[FieldAsked], all: &mut Vec<Said>) {
    for field in fields {
        all.push(field.meaning.clone());
        match &field.of {
            FormAsked::Table { fields } => said_in(fields, all),
            FormAsked::Choice { choices, .. } => {
                all.extend(choices.iter().map(|choice| choice.name.clone()));
            }
            _ => {}
        }
    }
}

#[test]
fn everything_asked_has_words_in_every_language() {
    let mut all = Vec::new();
    for thing in described() {
        all.push(thing.name);
        said_in(&thing.fields, &mut all);
    }
    for language in Language::ALL {
        let words = Words::new(*language, UnitSystem::UsCustomary);
        let wordless: Vec<&Said> =
            all.iter().filter(|said| words.say(said) == said.name()).collect();
        assert!(
            wordless.is_empty(),
            "{language:?}: {} without words: {wordless:#?}",
            wordless.len()
        );
    }
}

/// The page of all fields in `docs/` is what the readers ask for; `TOOTH_BLESS=1` writes it anew.
#[test]
fn the_reference_is_what_the_readers_ask() {
    let place = concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs/job-folder.md");
    let page = reference(Words::new(Language::English, UnitSystem::UsCustomary));
    if std::env::var_os("TOOTH_BLESS").is_some() {
        std::fs::write(place, &page).unwrap();
    }
    let held = std::fs::read_to_string(place).unwrap();
    assert_eq!(held, page, "write it anew with TOOTH_BLESS=1");
}
