//! Database, files and key together.

use std::collections::BTreeMap;
use std::path::Path;

use jiff::Timestamp;
use tooth_measure::say::said;
use tooth_record::chain::{Head, InstallationKey, Placed, PublicKey};
use tooth_record::{Fact, FileHash, JobId};

use crate::error::StorageError;
use crate::files::{FileState, Files};
use crate::key;
use crate::sqlite::SqliteStore;
use crate::store::{Admission, Adopted, Outcome, Receipt, RecordStore, Sealed};

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
    /// The key of the database.
    public: PublicKey,
    /// None where the key's file is missing: then nothing can be added.
    key: Option<InstallationKey>,
}

/// Whether a data folder holds a record.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Found {
    Nothing,
    Record,
    /// Files of a record, but no database.
    Remains,
}

fn look(folder: &Path) -> Found {
    // A key alone is a record in the making, or one whose making was broken off: the
    // database is made before the first file is stored.
    let has_files = std::fs::read_dir(folder.join(FILES)).is_ok_and(|mut all| all.next().is_some());
    match (folder.join(DATABASE).exists(), has_files) {
        (true, _) => Found::Record,
        (false, true) => Found::Remains,
        (false, false) => Found::Nothing,
    }
}

impl Storage<SqliteStore> {
    /// Opens the record in a data folder; `None` where there is none.
    ///
    /// Where the key's file is missing the record can be read and nothing added.
    ///
    /// # Errors
    /// [`StorageError`]: a folder that cannot be used, a damaged or newer database, one
    /// that is missing beside its files, a key that is not the database's.
    pub async fn open(folder: &Path) -> Result<Option<Self>, StorageError> {
        match look(folder) {
            Found::Nothing => Ok(None),
            Found::Remains => Err(StorageError::Damaged(said!(
                "the-database-is-missing-though-files-are-there",
                database = DATABASE,
                folder = folder.display().to_string()
            ))),
            Found::Record => {
                let key = key::read(&folder.join(KEY_FILE))?;
                Self::in_folder(folder, key).await.map(Some)
            }
        }
    }

    /// Opens the record in a data folder, and makes it where there is none.
    ///
    /// # Errors
    /// As [`Storage::open`]; a folder that cannot be made.
    pub async fn open_or_make(folder: &Path) -> Result<Self, StorageError> {
        if let Some(storage) = Self::open(folder).await? {
            return Ok(storage);
        }
        std::fs::create_dir_all(folder)?;
        let key = key::read_or_make(&folder.join(KEY_FILE))?;
        Self::in_folder(folder, Some(key)).await
    }

    async fn in_folder(folder: &Path, key: Option<InstallationKey>) -> Result<Self, StorageError> {
        let files = Files::in_folder(&folder.join(FILES))?;
        let records = SqliteStore::open(&folder.join(DATABASE)).await?;
        Self::of(records, files, key).await
    }
}

impl<R: RecordStore> Storage<R> {
    /// A storage of these parts.
    ///
    /// # Errors
    /// A key that is not the database's.
    pub async fn of(
        records: R,
        files: Files,
        key: Option<InstallationKey>,
    ) -> Result<Self, StorageError> {
        let own = key.as_ref().map(InstallationKey::public);
        let Some(public) = records.installation(own).await? else {
            return Err(StorageError::Key(said!(
                "the-key-file-is-missing-and-the-database-knows-none",
                file = KEY_FILE
            )));
        };
        if own.is_some_and(|own| own != public) {
            return Err(StorageError::Key(said!(
                "the-key-file-is-not-the-key-of-this-database",
                file = KEY_FILE
            )));
        }
        Ok(Self { records, files, public, key })
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
        self.public
    }

    fn signing(&self) -> Result<&InstallationKey, StorageError> {
        self.key.as_ref().ok_or_else(|| {
            StorageError::Key(said!(
                "the-key-file-is-missing-so-nothing-can-be-added",
                file = KEY_FILE
            ))
        })
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
        admission: Admission,
    ) -> Result<Receipt, StorageError> {
        let key = self.signing()?;
        let mut lacks = BTreeMap::new();
        for (at, sealed) in batch.iter().enumerate() {
            for (hash, bytes) in sealed.entry.fact.files() {
                let whole = self.files.has(hash, bytes).await?
                    && self.files.state(hash).await? == FileState::Whole;
                if !whole {
                    lacks.entry(at).or_insert(hash);
                }
            }
        }
        if !lacks.is_empty() {
            let mut erased = self.records.erased(job).await?;
            erased.extend(batch.iter().filter_map(|sealed| match &sealed.entry.fact {
                Fact::Erased { hash, .. } => Some(*hash),
                _ => None,
            }));
            lacks.retain(|_, hash| !erased.contains(hash));
        }
        if !lacks.is_empty() && admission == Admission::All {
            let outcomes = lacks
                .iter()
                .filter_map(|(at, hash)| Some((batch.get(*at)?.entry.id, not_sent(*hash))));
            let own = |head: &Head| head.key == self.public;
            let head = self.records.heads(job).await?.into_iter().rfind(own);
            return Ok(Receipt { outcomes: outcomes.collect(), head });
        }
        let mut fit = Vec::with_capacity(batch.len());
        let mut lacking = Vec::new();
        for (at, sealed) in batch.into_iter().enumerate() {
            match lacks.get(&at) {
                None => fit.push(sealed),
                Some(hash) => lacking.push((at, sealed.entry.id, *hash)),
            }
        }
        let mut receipt = self.records.append(job, &fit, received, key, admission).await?;
        for (at, id, hash) in lacking {
            receipt.outcomes.insert(at, (id, not_sent(hash)));
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
        signed: Timestamp,
    ) -> Result<Adopted, StorageError> {
        self.records.adopt(job, placed, heads, signed, self.signing()?).await
    }
}

fn not_sent(hash: FileHash) -> Outcome {
    Outcome::Refused(said!("the-file-that-it-names-is-sent-first", hash = hash.to_string()))
}
