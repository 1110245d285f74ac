//! Names that people gave to things: one type per kind of thing.

use std::fmt;
use tooth_measure::say::Argument;

use schemars::JsonSchema;
use serde::Serialize;

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident;)+) => { $(
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
        #[serde(transparent)]
        pub struct $name(String);

        impl $name {
            /// `None` unless the text is 1 to 64 letters, digits, `-`, `_` or `.`.
            #[must_use]
            pub fn new(text: &str) -> Option<Self> {
                let good = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_' | '.');
                ((1..=64).contains(&text.len()) && text.chars().all(good)).then(|| Self(text.to_owned()))
            }

            /// As written.
            #[must_use]
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl From<&$name> for Argument {
            fn from(id: &$name) -> Self {
                Self::Name(id.0.clone())
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&self.0)
            }
        }
    )+ };
}

ids! {
    /// A zone of the plan.
    ZoneId;
    /// A system of `systems.toml`.
    SystemId;
    /// A feature of the plan.
    FeatureId;
    /// A reading.
    ReadingId;
    /// A preparation method of the catalogue.
    MethodId;
}
