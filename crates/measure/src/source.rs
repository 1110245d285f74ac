//! Where a figure or rule comes from, and how sure it is.

use schemars::JsonSchema;
use serde::Serialize;

use crate::choice::choices;
use crate::say::Said;

choices! {
    /// How sure a figure is. Only the first three may serve as check values in tests;
    /// memory is a default that the user must verify; an assumption is the user's setting.
    Certainty {
        /// Read in a public excerpt of the source.
        Seen = "seen";
        /// Follows by arithmetic from a stated formula.
        Computed = "computed";
        /// Measured on this slab.
        Measured = "measured";
        /// Copied by the user from the product's data sheet or the project's specification.
        DataSheet = "data_sheet";
        /// From memory, verify before relying on it.
        Memory = "memory";
        /// Common practice in the trade, no published source.
        CommonPractice = "common_practice";
        /// An assumption that the user can change.
        Assumption = "assumption";
    }
}

/// Where a figure or rule comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Source {
    /// Title, edition and clause.
    #[serde(serialize_with = "as_message")]
    #[schemars(with = "String")]
    title: &'static str,
    /// How sure it is.
    pub certainty: Certainty,
}

impl Source {
    /// A source; `title` is the message that says its title, edition and clause.
    #[must_use]
    pub const fn new(title: &'static str, certainty: Certainty) -> Self {
        Self { title, certainty }
    }

    /// Title, edition and clause.
    #[must_use]
    pub fn title(&self) -> Said {
        Said::message(self.title, Vec::new())
    }

    /// What the trade does without a published source.
    pub const COMMON_PRACTICE: Self = Self::new("title-common-practice", Certainty::CommonPractice);
    /// The limits that the user copied from the system's data sheet.
    pub const DATA_SHEET: Self =
        Self::new("title-data-sheet-limit-in-systems-toml", Certainty::DataSheet);
}

fn as_message<S: serde::Serializer>(title: &'static str, to: S) -> Result<S::Ok, S::Error> {
    Said::message(title, Vec::new()).serialize(to)
}
