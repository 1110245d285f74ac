//! What can go wrong with stored things, for the person who must act.

use std::fmt;

use tooth_record::FileHash;

/// Why something could not be stored or read. Nothing was half-written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum StorageError {
    /// The disk is full.
    Full(String),
    /// The place can be read but not written.
    ReadOnly(String),
    /// Another program holds the database for longer than is waited for.
    Busy(String),
    /// A newer program wrote the database.
    Newer {
        /// Version that was found.
        found: i64,
        /// Newest version that is known.
        known: i64,
    },
    /// The stored bytes are not what was stored.
    Damaged(String),
    /// The key file is missing, damaged or another installation's.
    Key(String),
    /// A file is not there.
    FileMissing(FileHash),
    /// A file's bytes have changed.
    FileAltered(FileHash),
    /// Anything else that the operating system or the database says.
    Failed(String),
}

impl fmt::Display for StorageError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Full(what) => write!(
                f,
                "the disk is full ({what}). Nothing was acknowledged that is not stored; free some space and do it again"
            ),
            Self::ReadOnly(what) => write!(
                f,
                "the record's folder cannot be written ({what}). Check its permissions, or choose another with --data"
            ),
            Self::Busy(what) => write!(
                f,
                "another program has held the record for too long ({what}). Wait for it or end it, and do it again"
            ),
            Self::Newer { found, known } => write!(
                f,
                "a newer Tooth wrote this record (form {found}; this program knows {known}). Use that program; nothing was changed"
            ),
            Self::Damaged(what) => write!(
                f,
                "the record's database is damaged ({what}). Do not write to it; copy the folder, then restore a backup or an exported folder"
            ),
            Self::Key(what) => write!(f, "the installation's key: {what}"),
            Self::FileMissing(hash) => write!(f, "the file {hash} is not in the record's folder"),
            Self::FileAltered(hash) => {
                write!(f, "the file {hash} in the record's folder was altered")
            }
            Self::Failed(what) => write!(f, "the record could not be used: {what}"),
        }
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
        let words = error.to_string();
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
                Self::Full(error.to_string())
            }
            ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => {
                Self::ReadOnly(error.to_string())
            }
            _ => Self::Failed(error.to_string()),
        }
    }
}
