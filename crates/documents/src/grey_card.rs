//! The grey card, to be printed and laid beside the slab.

use serde_json::json;
use tooth_measure::Length;
use tooth_measure::colour::card::{self, Grey};
use tooth_words::Words;

use crate::typeset::{Document, TypesetError, typeset as set};

const TEMPLATE: &str = include_str!("../templates/grey_card.typ");

/// The sheet that a card is printed on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sheet {
    /// 210 × 297 mm.
    A4,
    /// 8½ × 11 in.
    Letter,
}

pub(crate) fn typeset(sheet: Sheet, words: Words, version: &str) -> Result<Document, TypesetError> {
    let mm = |length: Length| length.millimetres();
    let data = json!({
        "sheet": match sheet { Sheet::A4 => "a4", Sheet::Letter => "us-letter" },
        "version": version,
        "width": mm(card::WIDTH),
        "height": mm(card::HEIGHT),
        "arm": mm(card::ANGLE_ARM),
        "thickness": mm(card::ANGLE_THICKNESS),
        "cut": mm(card::CUT),
        "black": Grey::Black.code(),
        "patches": card::patches().map(|(grey, place)| json!({
            "code": grey.code(),
            "left": mm(place.left),
            "top": mm(place.top),
            "width": mm(place.width),
            "height": mm(place.height),
        })),
    });
    set(TEMPLATE, data, Vec::new(), words)
}
