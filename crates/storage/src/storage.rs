//! Database, files and key together.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use jiff::Timestamp;
use tooth_job::record::chain::{Head, InstallationKey, Placed, PublicKey};
use tooth_job::record::{Fact, FileHash, JobId};

use crate::error::StorageError;
use crate::files::Files;
use crate::key;
use crate::sqlite::SqliteStore;
use crate::store::{Adopted, Outcome, Receipt, RecordStore, Sealed};

/// The database in a data folder.
const DATABASE: &str = "tooth.sqlite";
/// The folder of files in a data folder.
const FILES: &str = "files";
/// The installation's key in a data folder.
pub const KEY_FILE: &str = "installation.key";

/// Where a firm's record lives.
#[derive(Debug, Clone)]
pub struct Storage<R> {
    records: R,
    files: Files,
    key: InstallationKey,
}

impl Storage<SqliteStore> {
    /// Opens a data folder, and makes it where there is none.
    ///
    /// # Errors
    /// [`StorageError`]: a folder that cannot be used, a damaged or newer database, a
    /// key that is not the database's.
    pub async fn open(folder: &Path) -> Result<Self, StorageError> {
        if !folder.is_dir() {
            std::fs::create_dir_all(folder)?;
        }
        let files = Files::in_folder(&folder.join(FILES))?;
        let key = key::read_or_make(&folder.join(KEY_FILE))?;
        let records = SqliteStore::open(&folder.join(DATABASE)).await?;
        Self::of(records, files, key).await
    }
}

impl<R: RecordStore> Storage<R> {
    /// A storage of these parts.
    ///
    /// # Errors
    /// A key that is not the database's.
    pub async fn of(records: R, files: Files, key: InstallationKey) -> Result<Self, StorageError> {
        if records.installation(key.public()).await? != key.public() {
            return Err(StorageError::Key(format!(
                "{KEY_FILE} is not the key that this database was made with; put that one back"
            )));
        }
        Ok(Self { records, files, key })
    }

    /// The database.
    pub fn records(&self) -> &R {
        &self.records
    }

    /// The files.
    pub fn files(&self) -> &Files {
        &self.files
    }

    /// The key that heads are signed with, its public half.
    pub fn key(&self) -> PublicKey {
        self.key.public()
    }

    /// Adds entries. One that names a file which is not there is refused: its sender
    /// sends the file first, and keeps both until this is acknowledged.
    ///
    /// # Errors
    /// [`StorageError`]; nothing was added.
    pub async fn append(
        &self,
        job: JobId,
        batch: Vec<Sealed>,
        received: Timestamp,
    ) -> Result<Receipt, StorageError> {
        let mut lacks = BTreeMap::new();
        for (at, sealed) in batch.iter().enumerate() {
            for (hash, bytes) in sealed.entry.fact.files() {
                if !self.files.has(hash, bytes).await? {
                    lacks.entry(at).or_insert(hash);
                }
            }
        }
        if !lacks.is_empty() {
            let erased = self.erased(job, &batch).await?;
            lacks.retain(|_, hash| !erased.contains(hash));
        }
        let mut fit = Vec::with_capacity(batch.len());
        let mut lacking = Vec::new();
        for (at, sealed) in batch.into_iter().enumerate() {
            match lacks.get(&at) {
                None => fit.push(sealed),
                Some(hash) => lacking.push((at, sealed.entry.id, *hash)),
            }
        }
        let mut receipt = self.records.append(job, &fit, received, &self.key).await?;
        for (at, id, hash) in lacking {
            let why = format!("the file {hash} that it names was not sent yet");
            receipt.outcomes.insert(at, (id, Outcome::Refused(why)));
        }
        Ok(receipt)
    }

    /// Takes over the chain that a folder carries.
    ///
    /// # Errors
    /// [`StorageError`]; nothing was added.
    pub async fn adopt(
        &self,
        job: JobId,
        placed: &[Placed],
        heads: &[Head],
    ) -> Result<Adopted, StorageError> {
        self.records.adopt(job, placed, heads, &self.key).await
    }

    /// Files that the job or this batch says were erased.
    async fn erased(
        &self,
        job: JobId,
        batch: &[Sealed],
    ) -> Result<BTreeSet<FileHash>, StorageError> {
        let erased = |sealed: &Sealed| match &sealed.entry.fact {
            Fact::Erased { hash, .. } => Some(*hash),
            _ => None,
        };
        let mut all: BTreeSet<FileHash> = batch.iter().filter_map(erased).collect();
        for placed in self.records.placed(job, 0).await? {
            all.extend(Sealed::read(placed.bytes).ok().as_ref().and_then(erased));
        }
        Ok(all)
    }
}
