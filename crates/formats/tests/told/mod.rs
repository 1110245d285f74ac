//! Faults as a person reads them, in English.

use tooth_formats::Fault;
use tooth_measure::UnitSystem;
use tooth_measure::say::Said;
use tooth_words::{Language, Words};

pub(crate) fn words(said: &Said) -> String {
    Words::new(Language::English, UnitSystem::Si).say(said)
}

/// All of a fault in one line.
pub(crate) fn told(fault: &Fault) -> String {
    words(&fault.said())
}
