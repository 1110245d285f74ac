//! Documents that a client, a crew and the file can hold: condition report, step
//! cards, price sheet, and the slab's plan drawn to scale.
//!
//! Typeset with bundled fonts. Date, version and digest are inputs, so the same job
//! gives the same bytes.

mod cards;
mod drawing;
mod grey_card;
mod price;
mod price_sheet;
mod report;
mod sketch;
mod sounding;
mod svg;
mod texture;
mod typeset;
pub use drawing::{Drawing, Focus, plan_drawing};
pub use grey_card::Sheet;
pub use price::{price_build_up, price_curve, price_tornado};
pub use sketch::{passes_drawing, places_drawing, places_listed};
pub use sounding::{sounding_map, sounding_spectrum, sounding_strip};
pub use texture::{level_bars, texture_curve, texture_profile, texture_relief};
pub use typeset::{Document, TypesetError};

use jiff::civil::Date;
use tooth_job::assessment::Assessment;
use tooth_job::estimate::Estimate;
use tooth_job::extent::PatchRule;
use tooth_job::methods::Catalogue;
use tooth_job::plan::Plan;
use tooth_job::quantities::Quantities;
use tooth_job::survey::Survey;
use tooth_record::chain::{Link, PublicKey};
use tooth_words::Words;

/// Where the record stood when documents were made from it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RecordHead {
    /// Number of entries that were used.
    pub entries: u64,
    /// Link of the last of them.
    pub link: Link,
    /// The key that signs heads here.
    pub key: PublicKey,
}

/// Everything that documents are made from.
#[derive(Debug, Clone, Copy)]
pub struct Issue<'a> {
    /// The language and units in which they speak.
    pub words: Words,
    /// The survey.
    pub survey: &'a Survey,
    /// Its assessment.
    pub assessment: &'a Assessment,
    /// The plan of work.
    pub plan: &'a Plan,
    /// The bill of quantities.
    pub quantities: &'a Quantities,
    /// The price.
    pub estimate: &'a Estimate,
    /// The methods that were chosen from.
    pub catalogue: &'a Catalogue,
    /// How patches were squared up.
    pub patch_rule: PatchRule,
    /// Photographs by file name.
    pub photos: &'a [(String, Vec<u8>)],
    /// The date that documents carry.
    pub issued_on: Date,
    /// Digest of the input files.
    pub digest: &'a str,
    /// Where the record stood; none for a folder without one.
    pub record: Option<RecordHead>,
    /// Version of the program.
    pub version: &'a str,
}

/// The report for the client.
///
/// # Errors
/// [`TypesetError`] where the template fails on this job: a fault of the program.
pub fn condition_report(issue: &Issue<'_>) -> Result<Document, TypesetError> {
    report::typeset(issue)
}

/// The cards for the crew, one per step.
///
/// # Errors
/// As [`condition_report`].
pub fn step_cards(issue: &Issue<'_>) -> Result<Document, TypesetError> {
    cards::typeset(issue)
}

/// The price apart, for the office: overhead and margin are in it.
///
/// # Errors
/// As [`condition_report`].
pub fn price_sheet(issue: &Issue<'_>) -> Result<Document, TypesetError> {
    price_sheet::typeset(issue)
}

/// The grey card for pictures of a slab.
///
/// # Errors
/// As [`condition_report`].
pub fn grey_card(sheet: Sheet, words: Words, version: &str) -> Result<Document, TypesetError> {
    grey_card::typeset(sheet, words, version)
}
