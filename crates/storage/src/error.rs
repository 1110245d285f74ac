//! What can go wrong with stored things, for the person who must act.

use std::fmt;

use tooth_measure::say::{Said, said};
use tooth_record::FileHash;

/// Why something could not be stored or read. Nothing was half-written.
#[derive(Debug, Clone, PartialEq)]
pub enum StorageError {
    /// The disk is full.
    Full(Said),
    /// The place can be read but not written.
    ReadOnly(Said),
    /// Another program holds the database for longer than is waited for.
    Busy(Said),
    /// A newer program wrote the database.
    Newer {
        /// Version that was found.
        found: i64,
        /// Newest version that is known.
        known: i64,
    },
    /// The stored bytes are not what was stored.
    Damaged(Said),
    /// The key file is missing, damaged or another installation's.
    Key(Said),
    /// A file is not there.
    FileMissing(FileHash),
    /// A file's bytes have changed.
    FileAltered(FileHash),
    /// Anything else that the operating system or the database says.
    Failed(Said),
}

impl StorageError {
    /// What happened, and what the person does now.
    #[must_use]
    pub fn said(&self) -> Said {
        match self {
            Self::Full(what) => said!("the-disk-is-full", what = what),
            Self::ReadOnly(what) => {
                said!("the-folder-of-the-record-cannot-be-written", what = what)
            }
            Self::Busy(what) => said!("another-program-has-held-the-record", what = what),
            Self::Newer { found, known } => {
                let (found, known) = (found.to_string(), known.to_string());
                said!("a-newer-tooth-wrote-this-record", found = found, known = known)
            }
            Self::Damaged(what) => said!("the-database-of-the-record-is-damaged", what = what),
            Self::Key(what) => said!("the-key-of-the-installation", what = what),
            Self::FileMissing(hash) => {
                said!("the-file-is-not-in-the-folder-of-the-record", hash = hash.to_string())
            }
            Self::FileAltered(hash) => {
                said!("the-file-in-the-folder-of-the-record-was-altered", hash = hash.to_string())
            }
            Self::Failed(what) => said!("the-record-could-not-be-used", what = what),
        }
    }
}

/// For logs: what a person reads are the words of [`StorageError::said`].
impl fmt::Display for StorageError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "storage: {self:?}")
    }
}

impl std::error::Error for StorageError {}

/// Result codes of SQLite (<https://sqlite.org/rescode.html>), without their extension.
mod code {
    pub(super) const BUSY: i32 = 5;
    pub(super) const LOCKED: i32 = 6;
    pub(super) const READ_ONLY: i32 = 8;
    pub(super) const CORRUPT: i32 = 11;
    pub(super) const FULL: i32 = 13;
    pub(super) const NOT_A_DATABASE: i32 = 26;
}

impl From<sqlx::Error> for StorageError {
    fn from(error: sqlx::Error) -> Self {
        let words = Said::Given(error.to_string());
        match &error {
            sqlx::Error::Database(database) => {
                let extended: i32 = database.code().and_then(|c| c.parse().ok()).unwrap_or(0);
                match extended & 0xff {
                    code::BUSY | code::LOCKED => Self::Busy(words),
                    code::READ_ONLY => Self::ReadOnly(words),
                    code::FULL => Self::Full(words),
                    code::CORRUPT | code::NOT_A_DATABASE => Self::Damaged(words),
                    _ => Self::Failed(words),
                }
            }
            sqlx::Error::ColumnDecode { .. } | sqlx::Error::Decode(_) => Self::Damaged(words),
            sqlx::Error::PoolTimedOut => Self::Busy(words),
            _ => Self::Failed(words),
        }
    }
}

impl From<std::io::Error> for StorageError {
    fn from(error: std::io::Error) -> Self {
        use std::io::ErrorKind;
        match error.kind() {
            ErrorKind::StorageFull | ErrorKind::QuotaExceeded | ErrorKind::FileTooLarge => {
                Self::Full(error.to_string().into())
            }
            ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => {
                Self::ReadOnly(error.to_string().into())
            }
            _ => Self::Failed(error.to_string().into()),
        }
    }
}
