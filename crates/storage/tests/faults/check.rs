//! Whether everything that was acknowledged is there.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use tooth_record::chain::{Placed, Trust, verify};
use tooth_record::{Entry, FileHash};
use tooth_storage::{FileState, RecordStore as _, SqliteStore, Storage};

use crate::entries::job;
use crate::writer::{entry, file, is_file, number_of};

/// All files under a folder.
pub(crate) fn all_files(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut folders = vec![folder.to_path_buf()];
    while let Some(folder) = folders.pop() {
        for item in fs::read_dir(folder).unwrap() {
            let path = item.unwrap().path();
            if path.is_dir() { folders.push(path) } else { found.push(path) }
        }
    }
    found.sort();
    found
}

/// The bytes of everything under a folder.
pub(crate) fn contents(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    all_files(folder).into_iter().map(|path| (path.clone(), fs::read(path).unwrap())).collect()
}

/// The entries of a job, whose chain and heads must be whole, with a head at the end.
async fn whole(storage: &Storage<SqliteStore>, of: u64) -> Vec<Placed> {
    let (records, own) = (storage.records(), storage.key());
    let heads = records.heads(job(of)).await.unwrap();
    let placed = records.placed(job(of), 0).await.unwrap();
    let verdict = verify(job(of), &placed, &heads, Some(own), &Trust::default());
    assert!(verdict.is_whole(), "job {of}: {:?}", verdict.alterations);
    assert_eq!(heads.last().map_or(0, |head| head.entries), placed.len() as u64);
    placed
}

/// Checks that a job holds these entries with their exact bytes and files, and others
/// only if they are exactly what a writer sends. Gives the numbers of all its entries.
pub(crate) async fn job_holds(
    storage: &Storage<SqliteStore>,
    of: u64,
    acknowledged: &BTreeSet<u64>,
) -> BTreeSet<u64> {
    let mut there = BTreeSet::new();
    for placed in whole(storage, of).await {
        let number = number_of(Entry::read(&placed.bytes).unwrap().id);
        assert!(placed.bytes == entry(number).bytes, "entry {number} has other bytes");
        there.insert(number);
    }
    let lost: Vec<&u64> = acknowledged.difference(&there).collect();
    assert!(lost.is_empty(), "acknowledged and lost in job {of}: {lost:?}");
    there
}

/// Checks that these files are whole.
pub(crate) async fn files_are_whole(
    storage: &Storage<SqliteStore>,
    numbers: impl IntoIterator<Item = u64>,
) {
    for number in numbers.into_iter().filter(|number| is_file(*number)) {
        let bytes = file(number);
        let hash = FileHash::of(&bytes);
        assert!(storage.files().get(hash).await.unwrap() == bytes);
    }
}

/// Checks that no file under a hash's name is anything but whole. Gives how many there
/// are, and how many parts of files that were never finished.
pub(crate) async fn no_half_files(storage: &Storage<SqliteStore>, folder: &Path) -> (u64, u64) {
    let (mut good, mut parts) = (0, 0);
    for path in all_files(&folder.join("files")) {
        match FileHash::parse(path.file_name().unwrap().to_str().unwrap()) {
            Some(hash) => {
                let state = storage.files().state(hash).await.unwrap();
                assert_eq!(state, FileState::Whole, "{}", path.display());
                good += 1;
            }
            None => parts += 1,
        }
    }
    (good, parts)
}

/// Checks that the database finds nothing wrong with itself.
pub(crate) async fn audit_is_empty(storage: &Storage<SqliteStore>) {
    assert_eq!(storage.records().audit().await.unwrap(), []);
}
