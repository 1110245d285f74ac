//! What devices send to a job while it is surveyed, and what they get back.

use jiff::Timestamp;
use schemars::JsonSchema;
use serde::Serialize;
use tooth_formats::Severity;
use tooth_measure::say::Said;
use tooth_record::chain::TrustedHead;
use tooth_record::{EntryId, FileHash, JobId, Name, Reason, Thing, Value};

use crate::output::FaultOut;

/// Everything that a job's record holds now, whether or not it can be assessed yet.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct Things {
    /// The job.
    pub(crate) job: JobId,
    /// Its name; empty where nobody has given one yet.
    pub(crate) name: String,
    /// Number of its entries.
    pub(crate) entries: u64,
    /// Its things in the order in which they were first spoken of; without what only says how a
    /// readable file looked.
    pub(crate) things: Vec<ThingHeld>,
    /// What its readers find wrong or ask to look at. Recordings and scans are not opened for it.
    pub(crate) faults: Vec<ThingFault>,
}

/// A thing as it stands now.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct ThingHeld {
    /// The thing.
    pub(crate) thing: Thing,
    /// How it stands.
    pub(crate) state: StateOut,
    /// What is shown of it; null where it is a file or withdrawn.
    pub(crate) value: Option<Value>,
    /// The file; null where it is none or withdrawn.
    pub(crate) file: Option<FileHeld>,
    /// The entries that a correction must replace.
    pub(crate) entries: Vec<EntryId>,
    /// Who stated what is shown; null where nobody wrote it down.
    pub(crate) author: Option<Name>,
    /// On which device.
    pub(crate) device: Name,
    /// By the device's clock; null where there was none.
    #[schemars(with = "Option<String>")]
    pub(crate) device_time: Option<Timestamp>,
    /// When it was received.
    #[schemars(with = "String")]
    pub(crate) received: Timestamp,
    /// In a clash every version that counts, in the order of their places; else empty.
    pub(crate) versions: Vec<VersionHeld>,
}

/// One version of a thing on which people differ.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct VersionHeld {
    /// The entry that states it.
    pub(crate) entry: EntryId,
    /// The entry's place in the job.
    pub(crate) place: u64,
    /// What it says; null where it is a file or withdraws the thing.
    pub(crate) value: Option<Value>,
    /// The file; null where it is none or withdraws it.
    pub(crate) file: Option<FileHeld>,
    /// Who stated it; null where nobody wrote it down.
    pub(crate) author: Option<Name>,
    /// On which device.
    pub(crate) device: Name,
    /// By the device's clock; null where there was none.
    #[schemars(with = "Option<String>")]
    pub(crate) device_time: Option<Timestamp>,
    /// When it was received.
    #[schemars(with = "String")]
    pub(crate) received: Timestamp,
    /// Why, where it corrects or withdraws.
    pub(crate) reason: Option<Reason>,
}

/// A file of a job.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct FileHeld {
    /// Hash of its bytes.
    pub(crate) hash: FileHash,
    /// Number of its bytes.
    pub(crate) bytes: u64,
}

/// How a thing stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum StateOut {
    /// Everybody who speaks of it says the same.
    Counts,
    /// Versions differ and nobody has settled them.
    Clash,
    /// Withdrawn.
    Withdrawn,
}

/// A fault of a job, with the thing of which it speaks.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct ThingFault {
    /// The thing; null where it cannot be told, or where the whole job is meant.
    pub(crate) thing: Option<Thing>,
    /// The field inside the thing's value, of a feature inside its properties; empty where the
    /// whole thing is meant or no thing can be told.
    pub(crate) within: String,
    /// Whether the job can be worked with in spite of it.
    pub(crate) severity: SeverityOut,
    /// What is wrong.
    #[serde(flatten)]
    pub(crate) fault: FaultOut,
}

/// Whether a job can be worked with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum SeverityOut {
    /// Nothing follows from the job until it is gone.
    Fault,
    /// To be looked at.
    Warning,
}

impl From<Severity> for SeverityOut {
    fn from(severity: Severity) -> Self {
        match severity {
            Severity::Fault => Self::Fault,
            Severity::Warning => Self::Warning,
        }
    }
}

/// What became of entries that were sent. All that is placed or known is safe on the disk.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct Pushed {
    /// One for each line that was sent, in their order.
    pub(crate) outcomes: Vec<Sent>,
    /// The end of the job's chain; null while it has no entry.
    pub(crate) head: Option<TrustedHead>,
}

/// What became of one line.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct Sent {
    /// Its number, counted from 1.
    pub(crate) line: u32,
    /// The entry's id; null where the line does not tell it.
    pub(crate) id: Option<EntryId>,
    /// What became of it.
    pub(crate) outcome: SentOutcome,
    /// Its place in the job; null where it was refused.
    pub(crate) place: Option<u64>,
    /// Why it was refused; null where it was not.
    pub(crate) why: Option<Said>,
}

/// What became of an entry.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum SentOutcome {
    /// It is stored.
    Placed,
    /// It was there before; nothing changed.
    Known,
    /// It is not stored.
    Refused,
}

/// A file that is on the disk.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct Stored {
    /// Hash of its bytes.
    pub(crate) hash: FileHash,
    /// Number of its bytes.
    pub(crate) bytes: u64,
}
