//! Names of entries and jobs: UUIDs (RFC 9562), version 7 where a device made them,
//! version 8 where they follow from the content itself.

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use uuid::Uuid;

macro_rules! uuids {
    ($($(#[$doc:meta])* $name:ident;)+) => { $(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
        #[serde(try_from = "String", into = "String")]
        #[schemars(with = "String")]
        pub struct $name(Uuid);

        impl $name {
            /// One that a device made.
            #[must_use]
            pub fn from_uuid(uuid: Uuid) -> Self {
                Self(uuid)
            }

            /// The one that follows from content: the same content, the same id.
            #[must_use]
            pub fn from_content(hash: &blake3::Hash) -> Self {
                let mut bytes = [0; 16];
                bytes.copy_from_slice(&hash.as_bytes()[..16]);
                Self(Uuid::new_v8(bytes))
            }

            /// From its sixteen bytes.
            #[must_use]
            pub fn from_bytes(bytes: [u8; 16]) -> Self {
                Self(Uuid::from_bytes(bytes))
            }

            /// `None` unless it is written in the one usual way: lower case with hyphens.
            #[must_use]
            pub fn parse(text: &str) -> Option<Self> {
                let uuid = Uuid::try_parse(text).ok()?;
                (uuid.hyphenated().to_string() == text).then_some(Self(uuid))
            }

            /// Its sixteen bytes.
            #[must_use]
            pub fn as_bytes(&self) -> &[u8; 16] {
                self.0.as_bytes()
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.hyphenated().fmt(f)
            }
        }

        impl From<$name> for String {
            fn from(id: $name) -> Self {
                id.to_string()
            }
        }

        impl TryFrom<String> for $name {
            type Error = String;
            fn try_from(text: String) -> Result<Self, String> {
                Self::parse(&text).ok_or_else(|| format!("expected a UUID in lower case, found `{text}`"))
            }
        }
    )+ };
}

uuids! {
    /// An entry of the record.
    EntryId;
    /// A job.
    JobId;
}
