//! One entry: a fact, who states it, on which device, when.
//!
//! An entry is one line of JSON. Its exact bytes are what is stored, hashed and
//! carried; this module reads them strictly and writes them in one way only.

use std::fmt;
use tooth_measure::say::{Said, said};

use jiff::Timestamp;
use jiff::civil::Date;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::chain::{Link, PublicKey};
use super::file::{FileHash, FileName};
use super::id::EntryId;
use super::thing::{Thing, ThingKind};
use super::{Value, plain};

/// The version of entries that this program writes and reads.
const SCHEMA: u32 = 1;

/// Most bytes of one entry. A plan's largest outline needs a twentieth of it.
pub const ENTRY_BYTES: usize = 4 * 1024 * 1024;

macro_rules! texts {
    ($($(#[$doc:meta])* $name:ident, $most:literal, $what:literal;)+) => { $(
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
        #[serde(try_from = "String", into = "String")]
        #[schemars(with = "String")]
        pub struct $name(String);

        impl $name {
            /// `None` where nothing is left of the text, it is too long, or it has
            /// control characters.
            #[must_use]
            pub fn new(text: &str) -> Option<Self> {
                let text = text.trim();
                let good = !text.is_empty() && text.len() <= $most && !text.chars().any(char::is_control);
                good.then(|| Self(text.to_owned()))
            }

            /// As written.
            #[must_use]
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&self.0)
            }
        }

        impl From<$name> for String {
            fn from(text: $name) -> Self {
                text.0
            }
        }

        impl TryFrom<String> for $name {
            type Error = String;
            fn try_from(text: String) -> Result<Self, String> {
                Self::new(&text).ok_or_else(|| {
                    format!("expected {} of 1 to {} bytes on one line", $what, $most)
                })
            }
        }
    )+ };
}

texts! {
    /// The name of a person or a device.
    Name, 200, "a name";
    /// Why something was corrected, withdrawn or erased.
    Reason, 2000, "a reason";
}

/// Entries that a later one replaces: at least one.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(try_from = "Vec<EntryId>", into = "Vec<EntryId>")]
#[schemars(with = "Vec<EntryId>")]
pub struct Replaced(Vec<EntryId>);

impl Replaced {
    /// `None` where there is none.
    #[must_use]
    pub fn new(ids: Vec<EntryId>) -> Option<Self> {
        (!ids.is_empty()).then_some(Self(ids))
    }

    /// The ids.
    #[must_use]
    pub fn ids(&self) -> &[EntryId] {
        &self.0
    }
}

impl From<Replaced> for Vec<EntryId> {
    fn from(replaced: Replaced) -> Self {
        replaced.0
    }
}

impl TryFrom<Vec<EntryId>> for Replaced {
    type Error = String;
    fn try_from(ids: Vec<EntryId>) -> Result<Self, String> {
        Self::new(ids).ok_or_else(|| "expected the entries that it replaces, found none".to_owned())
    }
}

/// A document as it was issued.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct IssuedFile {
    /// Its name.
    pub name: FileName,
    /// For whom or what it is.
    pub what: String,
    /// Hash of its bytes.
    pub hash: FileHash,
    /// Number of its bytes.
    pub bytes: u64,
}

/// The language of documents issued before there was another.
fn english() -> String {
    "en".to_owned()
}

fn is_english(language: &str) -> bool {
    language == "en"
}

/// Everything that documents were made from: enough to make them again.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Issue {
    /// Number of entries of the job that were used.
    pub entries: u64,
    /// The chain's link at the last of them.
    pub link: Link,
    /// Digest of the readable files that follow from these entries.
    pub inputs: FileHash,
    /// Hash of the catalogue of methods, built-in and own.
    pub catalogue: FileHash,
    /// The program that made the documents.
    pub version: String,
    /// The seed of all chance.
    pub seed: u64,
    /// What the plan makes least.
    pub objective: String,
    /// Whether only the firm's own machines came.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub own_machines: bool,
    /// The language of the documents.
    #[serde(default = "english", skip_serializing_if = "is_english")]
    pub language: String,
    /// The language of the cards for the crew.
    #[serde(default = "english", skip_serializing_if = "is_english")]
    pub crew_language: String,
    /// The date on the documents.
    #[schemars(with = "String")]
    pub issued_on: Date,
    /// The key that the documents name.
    pub key: PublicKey,
    /// The documents.
    pub documents: Vec<IssuedFile>,
}

/// What an entry states.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Fact {
    /// Something is so.
    Stated {
        /// Of what.
        thing: Thing,
        /// As the readable files write it.
        value: Value,
    },
    /// Something is otherwise than earlier entries say.
    Corrected {
        /// Of what.
        thing: Thing,
        /// As the readable files write it.
        value: Value,
        /// The entries that it replaces.
        replaces: Replaced,
        /// Why.
        reason: Reason,
    },
    /// Earlier entries shall not count.
    Withdrawn {
        /// Of what.
        thing: Thing,
        /// The entries that it replaces.
        replaces: Replaced,
        /// Why.
        reason: Reason,
    },
    /// A file was received.
    Attached {
        /// Where the job folder shows it.
        name: FileName,
        /// Hash of its bytes.
        hash: FileHash,
        /// Number of its bytes.
        bytes: u64,
        /// Entries of an earlier file of this name that it replaces; may be empty.
        replaces: Vec<EntryId>,
    },
    /// A withdrawn file's bytes were destroyed; its hash stays here.
    Erased {
        /// Hash of the bytes that are gone.
        hash: FileHash,
        /// Why.
        reason: Reason,
    },
    /// Documents were issued.
    Issued(Issue),
}

impl Fact {
    fn spell_plainly(&mut self) {
        if let Self::Stated { value, .. } | Self::Corrected { value, .. } = self {
            plain(value);
        }
    }

    /// The thing that it speaks of.
    #[must_use]
    pub fn thing(&self) -> Option<Thing> {
        match self {
            Self::Stated { thing, .. }
            | Self::Corrected { thing, .. }
            | Self::Withdrawn { thing, .. } => Some(thing.clone()),
            Self::Attached { name, .. } => Some(Thing::file(name)),
            Self::Erased { .. } | Self::Issued(_) => None,
        }
    }

    /// The entries that it replaces.
    #[must_use]
    pub fn replaces(&self) -> &[EntryId] {
        match self {
            Self::Corrected { replaces, .. } | Self::Withdrawn { replaces, .. } => replaces.ids(),
            Self::Attached { replaces, .. } => replaces,
            Self::Stated { .. } | Self::Erased { .. } | Self::Issued(_) => &[],
        }
    }

    /// Hashes of the files that must be there for it.
    pub fn files(&self) -> impl Iterator<Item = (FileHash, u64)> + '_ {
        let attached = match self {
            Self::Attached { hash, bytes, .. } => Some((*hash, *bytes)),
            _ => None,
        };
        let issued = match self {
            Self::Issued(issue) => issue.documents.as_slice(),
            _ => &[],
        };
        attached.into_iter().chain(issued.iter().map(|file| (file.hash, file.bytes)))
    }

    /// Its word, for a person.
    #[must_use]
    pub fn said(&self) -> Said {
        match self {
            Self::Stated { .. } => said!("fact-stated"),
            Self::Corrected { .. } => said!("fact-corrected"),
            Self::Withdrawn { .. } => said!("fact-withdrawn"),
            Self::Attached { replaces, .. } if replaces.is_empty() => said!("fact-received"),
            Self::Attached { .. } => said!("fact-received-anew"),
            Self::Erased { .. } => said!("fact-erased"),
            Self::Issued(_) => said!("fact-issued"),
        }
    }

    /// Why, where the fact says so.
    #[must_use]
    pub fn reason(&self) -> Option<&Reason> {
        match self {
            Self::Corrected { reason, .. }
            | Self::Withdrawn { reason, .. }
            | Self::Erased { reason, .. } => Some(reason),
            Self::Stated { .. } | Self::Attached { .. } | Self::Issued(_) => None,
        }
    }
}

/// One entry of the record.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// Version of this form.
    schema: u32,
    /// Unique in the job.
    pub id: EntryId,
    /// Who states it; null where nobody wrote it down.
    pub author: Option<Name>,
    /// On which device, or from where.
    pub device: Name,
    /// The device's clock; null where there was none.
    #[schemars(with = "Option<String>")]
    pub device_time: Option<Timestamp>,
    /// What is stated.
    pub fact: Fact,
}

/// Why bytes are no entry.
#[derive(Debug, Clone, PartialEq)]
pub struct EntryFault {
    /// What would do.
    pub expected: Box<Said>,
    /// What stands there.
    pub found: Box<Said>,
}

impl EntryFault {
    fn new(expected: Said, found: impl Into<Said>) -> Self {
        Self { expected: Box::new(expected), found: Box::new(found.into()) }
    }

    /// Both in one sentence.
    #[must_use]
    pub fn said(&self) -> Said {
        said!("expected-and-found", expected = &*self.expected, found = &*self.found)
    }
}

/// For logs: what a person reads are the words of [`EntryFault::said`].
impl fmt::Display for EntryFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "expected {:?}, found {:?}", self.expected, self.found)
    }
}

impl std::error::Error for EntryFault {}

fn fault_of_schema(found: u64) -> EntryFault {
    let expected = said!("an-entry-of-schema-1");
    if found > u64::from(SCHEMA) {
        return EntryFault::new(expected, said!("schema-of-a-newer-tooth", schema = found));
    }
    EntryFault::new(expected, format!("schema {found}"))
}

fn too_long(bytes: &[u8]) -> EntryFault {
    let most = ENTRY_BYTES / 1024 / 1024;
    EntryFault::new(said!("at-most-mib", most = most), said!("bytes", count = bytes.len()))
}

impl Entry {
    /// A new entry.
    #[must_use]
    pub fn new(
        id: EntryId,
        author: Option<Name>,
        device: Name,
        device_time: Option<Timestamp>,
        mut fact: Fact,
    ) -> Self {
        fact.spell_plainly();
        Self { schema: SCHEMA, id, author, device, device_time, fact }
    }

    /// Reads the bytes of one entry.
    ///
    /// # Errors
    /// What is wrong with them: more than one line, too many bytes, no JSON, a field
    /// missing, unknown or out of range, a newer version.
    pub fn read(bytes: &[u8]) -> Result<Self, EntryFault> {
        if bytes.len() > ENTRY_BYTES {
            return Err(too_long(bytes));
        }
        if bytes.iter().any(|byte| matches!(byte, b'\n' | b'\r')) {
            return Err(EntryFault::new(said!("one-line"), said!("a-line-break")));
        }
        let mut entry: Self = match serde_json::from_slice(bytes) {
            Ok(entry) => entry,
            Err(error) => {
                let version = serde_json::from_slice::<Value>(bytes)
                    .ok()
                    .and_then(|value| value.get("schema").and_then(Value::as_u64));
                return Err(match version {
                    Some(newer) if newer > u64::from(SCHEMA) => fault_of_schema(newer),
                    _ => EntryFault::new(said!("an-entry-of-the-record"), error.to_string()),
                });
            }
        };
        if entry.schema != SCHEMA {
            return Err(fault_of_schema(u64::from(entry.schema)));
        }
        if let Fact::Stated { thing, .. } | Fact::Corrected { thing, .. } = &entry.fact
            && thing.kind() == ThingKind::File
        {
            let found = said!("a-value-of-the-thing", thing = thing.to_string());
            return Err(EntryFault::new(said!("attached-for-a-file"), found));
        }
        entry.fact.spell_plainly();
        Ok(entry)
    }

    /// Its one way of being written.
    ///
    /// # Errors
    /// Where it would be longer than [`ENTRY_BYTES`].
    pub fn write(&self) -> Result<Vec<u8>, EntryFault> {
        let failed = |error: serde_json::Error| {
            EntryFault::new(said!("an-entry-of-the-record"), error.to_string())
        };
        let bytes = serde_json::to_vec(self).map_err(failed)?;
        if bytes.len() > ENTRY_BYTES {
            return Err(too_long(&bytes));
        }
        Ok(bytes)
    }
}
