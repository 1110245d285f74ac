//! Findings, unknowns and the recommendation.

use schemars::JsonSchema;
use serde::Serialize;
use tooth_measure::Source;

use crate::choice::choices;

choices! {
    /// What a finding asks for, mildest first.
    FindingState {
        /// As it should be.
        Fine = "fine", "fine";
        /// Preparation takes care of it.
        Prepare = "prepare", "prepare";
        /// Somebody signs or agrees before the step that it touches.
        Hold = "hold", "hold: sign first";
        /// A person must choose between ways.
        Decide = "decide", "decide";
        /// Repair before preparation.
        Repair = "repair", "repair first";
        /// An engineer or licensed specialist must look first.
        Engineer = "engineer", "specialist first";
        /// This slab does not carry this system.
        NotACandidate = "not_a_candidate", "not a candidate";
    }
}
choices! {
    /// What to do about a zone.
    Recommendation {
        /// Prepare it.
        Go = "go", "go";
        /// Repair, then prepare.
        RepairFirst = "repair_first", "repair first";
        /// Not enough is known.
        TestMore = "test_more", "test more";
        /// Ask an engineer or licensed specialist.
        Engineer = "engineer", "engineer";
        /// Do not bid.
        DoNotBid = "do_not_bid", "do not bid";
    }
}

/// A person's decision against a finding.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Overruled {
    /// Who.
    pub by: String,
    /// Licence of an engineer or specialist; null for others.
    pub licence: Option<String>,
    /// Date, ISO 8601.
    pub on: String,
    /// Why.
    pub reason: String,
}

/// Something found in a zone.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Finding {
    /// The rule's name.
    pub code: &'static str,
    /// What it asks for.
    pub state: FindingState,
    /// What was found and what follows, in a sentence or two.
    pub reason: String,
    /// What it rests on: `reading:ID`, `feature:ID`, `scan:NAME`, `job:FIELD`,
    /// `system:ID`.
    pub evidence: Vec<String>,
    /// Where the rule comes from.
    pub source: Source,
    /// A person's decision against it, null if none.
    pub overruled: Option<Overruled>,
}

impl Finding {
    /// Whether a person's word lifts it. What belongs to an engineer or specialist takes
    /// a licence; hazards to people are settled by tests and signatures alone.
    #[must_use]
    pub fn can_be_overruled(&self, licensed: bool) -> bool {
        if SETTLED.contains(&self.code) {
            return false;
        }
        licensed || !matches!(self.state, FindingState::Engineer | FindingState::NotACandidate)
    }
}

/// Findings that tests and signatures settle, never a person's word.
pub const SETTLED: &[&str] = &["old_coating", "embedded_items"];

/// Every code that a finding can have, in the order of the gates.
pub const CODES: &[&str] = &[
    "structure",
    "embedded_items",
    "old_coating",
    "deterioration_from_inside",
    "settlement",
    "cracks",
    "joints",
    "hollow_concrete",
    "spalls",
    "scaling",
    "film",
    "dense_surface",
    "oil",
    "rust",
    "efflorescence",
    "weak_layer",
    "pull_off_strength",
    "moisture",
    "surface_ph",
    "profile",
    "low_spots",
    "climate",
    "see_through",
    "sample_panel",
];

/// Something not known yet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Unknown {
    /// The rule that asks.
    pub code: &'static str,
    /// What is not known.
    pub what: String,
    /// The cheapest test that settles it, and where.
    pub test: String,
    /// How many more of it.
    pub count: u32,
    /// Whether the recommendation hangs on it; else it is due before the work starts.
    pub decides: bool,
}

/// What a rule says.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Outcome {
    Found(Finding),
    NotKnown(Unknown),
}

pub(crate) fn found(
    code: &'static str,
    state: FindingState,
    reason: impl Into<String>,
    evidence: Vec<String>,
    source: Source,
) -> Outcome {
    Outcome::Found(Finding {
        code,
        state,
        reason: reason.into(),
        evidence,
        source,
        overruled: None,
    })
}

/// A gap that the recommendation hangs on.
pub(crate) fn deciding(
    code: &'static str,
    what: impl Into<String>,
    test: impl Into<String>,
    count: u32,
) -> Outcome {
    Outcome::NotKnown(Unknown { code, what: what.into(), test: test.into(), count, decides: true })
}

/// A gap to close before the work starts.
pub(crate) fn before_work(
    code: &'static str,
    what: impl Into<String>,
    test: impl Into<String>,
    count: u32,
) -> Outcome {
    Outcome::NotKnown(Unknown { code, what: what.into(), test: test.into(), count, decides: false })
}
