//! Where the record lives: entries in a database, files by the hash of their bytes.
//!
//! [`RecordStore`] is what a database must do; the suite in `tests/conformance` runs
//! against every one. [`Storage`] puts a database and a store of files together and
//! keeps what holds between them: no entry is acknowledged before the files that it
//! names are safe, and nothing is acknowledged before it is durable.

mod error;
mod files;
mod key;
mod sqlite;
mod storage;
mod store;

pub use error::StorageError;
pub use files::{FileState, Files, Incoming};
pub use sqlite::SqliteStore;
pub use storage::{KEY_FILE, Storage};
pub use store::{Admission, Adopted, JobHead, Outcome, Receipt, RecordStore, Sealed};
