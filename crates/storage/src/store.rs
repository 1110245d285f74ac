//! What a database of the record must do.

use std::collections::BTreeSet;
use std::future::Future;

use jiff::Timestamp;
use tooth_measure::say::Said;
use tooth_record::chain::{Head, InstallationKey, Link, Placed, PublicKey};
use tooth_record::{Entry, EntryFault, EntryId, FileHash, JobId};

use crate::error::StorageError;

/// An entry and its exact bytes.
#[derive(Debug, Clone, PartialEq)]
pub struct Sealed {
    /// What they say.
    pub entry: Entry,
    /// The bytes as received.
    pub bytes: Vec<u8>,
}

impl Sealed {
    /// Reads received bytes.
    ///
    /// # Errors
    /// What is wrong with them.
    pub fn read(bytes: Vec<u8>) -> Result<Self, EntryFault> {
        Ok(Self { entry: Entry::read(&bytes)?, bytes })
    }

    /// Writes an entry of one's own.
    ///
    /// # Errors
    /// Where it is too long.
    pub fn write(entry: Entry) -> Result<Self, EntryFault> {
        Ok(Self { bytes: entry.write()?, entry })
    }
}

/// What became of an entry that was sent.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    /// It is stored at this place.
    Placed(u64),
    /// It was there before, at this place; nothing changed.
    Known(u64),
    /// It is not stored.
    Refused(Said),
}

/// What happens to a batch of which an entry is refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Admission {
    /// The others are stored: a device sends what it has, and must not be held up.
    Each,
    /// Nothing is stored: a folder comes in as a whole or not at all.
    All,
}

/// What the sender gets back, after everything is durable.
#[derive(Debug, Clone, PartialEq)]
pub struct Receipt {
    /// What became of each entry, in the order sent.
    pub outcomes: Vec<(EntryId, Outcome)>,
    /// The job's signed head afterwards; none while it has no entry.
    pub head: Option<Head>,
}

impl Receipt {
    /// Number of entries that are new.
    #[must_use]
    pub fn placed(&self) -> usize {
        self.outcomes.iter().filter(|(_, outcome)| matches!(outcome, Outcome::Placed(_))).count()
    }

    /// The entries that were refused, and why.
    pub fn refused(&self) -> impl Iterator<Item = (EntryId, &Said)> {
        self.outcomes.iter().filter_map(|(id, outcome)| match outcome {
            Outcome::Refused(why) => Some((*id, why)),
            Outcome::Placed(_) | Outcome::Known(_) => None,
        })
    }
}

/// What became of a chain that a folder carries.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Adopted {
    /// So many of its entries were added at their own places.
    Added(u64),
    /// The two chains part after this many entries: nothing was changed.
    Parts(u64),
}

/// A job and the end of its chain.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct JobHead {
    /// The job.
    pub job: JobId,
    /// Number of its entries.
    pub entries: u64,
    /// Link of the last of them.
    pub link: Link,
}

/// A database that holds entries in chains.
///
/// Every method either does all of what it says, durably, or nothing. Writers take
/// turns; readers see whole batches only.
pub trait RecordStore: Send + Sync {
    /// The key that the database was made with; a new one takes `key`, if one is given.
    fn installation(
        &self,
        key: Option<PublicKey>,
    ) -> impl Future<Output = Result<Option<PublicKey>, StorageError>> + Send;

    /// Adds entries of a job in the order given, those that are new; signs the head.
    /// Refused are an entry whose id is known with other bytes, and one that attaches a
    /// file that was erased; `admission` says what then becomes of the others.
    fn append(
        &self,
        job: JobId,
        batch: &[Sealed],
        received: Timestamp,
        key: &InstallationKey,
        admission: Admission,
    ) -> impl Future<Output = Result<Receipt, StorageError>> + Send;

    /// Takes over a chain with its places, times, links and heads, where it goes on from
    /// what is there; its end is signed at the time `signed`. The caller has verified it.
    fn adopt(
        &self,
        job: JobId,
        placed: &[Placed],
        heads: &[Head],
        signed: Timestamp,
        key: &InstallationKey,
    ) -> impl Future<Output = Result<Adopted, StorageError>> + Send;

    /// Files that a job's entries say were erased.
    fn erased(
        &self,
        job: JobId,
    ) -> impl Future<Output = Result<BTreeSet<FileHash>, StorageError>> + Send;

    /// All jobs, by id.
    fn jobs(&self) -> impl Future<Output = Result<Vec<JobHead>, StorageError>> + Send;

    /// Entries of a job after a place, in the order of places; none for an unknown job.
    fn placed(
        &self,
        job: JobId,
        after: u64,
    ) -> impl Future<Output = Result<Vec<Placed>, StorageError>> + Send;

    /// Heads of a job, by number of entries.
    fn heads(&self, job: JobId) -> impl Future<Output = Result<Vec<Head>, StorageError>> + Send;

    /// All entries and heads of a job as they were at one moment, whoever is writing.
    fn chain(
        &self,
        job: JobId,
    ) -> impl Future<Output = Result<(Vec<Placed>, Vec<Head>), StorageError>> + Send;

    /// What is wrong with the database itself, beyond what the chain tells: broken
    /// pages, columns that do not fit the entries.
    fn audit(&self) -> impl Future<Output = Result<Vec<Said>, StorageError>> + Send;

    /// Ends all connections, everything written.
    fn close(&self) -> impl Future<Output = ()> + Send;
}
