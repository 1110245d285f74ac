//! Every case of the suite in `conformance`, run against SQLite.
#![expect(clippy::unwrap_used, reason = "a test fails loudly")]

mod conformance;
#[path = "support/entries.rs"]
mod entries;

use tempfile::TempDir;
use tooth_storage::SqliteStore;

/// A folder of its own for one case.
struct Folder(TempDir);

impl Folder {
    fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }
}

impl conformance::Ground for Folder {
    type Store = SqliteStore;

    async fn open(&self) -> SqliteStore {
        SqliteStore::open(&self.0.path().join("record.sqlite")).await.unwrap()
    }
}

conformance::every_case!(Folder::new());
