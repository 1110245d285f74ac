//! Files by the hash of their bytes: what is put is there whole, and what is not whole
//! is never given out.
#![expect(clippy::unwrap_used, reason = "a test fails loudly")]

#[path = "support/chance.rs"]
mod chance;

use std::fs;
use std::path::{Path, PathBuf};

use chance::Chance;
use tempfile::TempDir;
use tooth_record::FileHash;
use tooth_storage::{FileState, Files, StorageError};

fn new() -> (TempDir, Files) {
    let folder = tempfile::tempdir().unwrap();
    let files = Files::in_folder(&folder.path().join("deep/files")).unwrap();
    (folder, files)
}

/// Everything in the folder that is a file.
fn all(folder: &Path) -> Vec<PathBuf> {
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

fn place(folder: &TempDir, hash: FileHash) -> PathBuf {
    let name = hash.to_string();
    folder.path().join("deep/files").join(&name[..2]).join(name)
}

#[tokio::test]
async fn a_file_that_was_put_is_got_back_by_its_hash() {
    let (folder, files) = new();
    for count in [1, 2, 4095, 4096, 70_000] {
        let bytes = Chance::new(count as u64).bytes(count);
        let hash = files.put(bytes.clone()).await.unwrap();
        assert_eq!(hash, FileHash::of(&bytes));
        assert_eq!(files.get(hash).await.unwrap(), bytes);
        assert_eq!(files.state(hash).await.unwrap(), FileState::Whole);
        assert!(files.has(hash, count as u64).await.unwrap());
        assert!(!files.has(hash, count as u64 + 1).await.unwrap());
        assert_eq!(fs::read(place(&folder, hash)).unwrap(), bytes);
    }
    assert_eq!(all(folder.path()).len(), 5);
}

#[tokio::test]
async fn an_empty_file_is_a_file() {
    let (folder, files) = new();
    let hash = files.put(Vec::new()).await.unwrap();
    assert_eq!(hash, FileHash::of(b""));
    assert_eq!(files.get(hash).await.unwrap(), b"");
    assert_eq!(files.state(hash).await.unwrap(), FileState::Whole);
    assert!(files.has(hash, 0).await.unwrap());
    assert_eq!(all(folder.path()), [place(&folder, hash)]);
}

#[tokio::test]
async fn a_file_of_twenty_megabytes_is_whole() {
    let (folder, files) = new();
    let bytes = Chance::new(20).bytes(20_000_000);
    let hash = files.put(bytes.clone()).await.unwrap();
    assert!(files.get(hash).await.unwrap() == bytes);
    assert_eq!(files.put(bytes).await.unwrap(), hash);
    assert_eq!(all(folder.path()), [place(&folder, hash)]);
}

#[tokio::test]
async fn a_file_that_is_not_there_is_missing() {
    let (_folder, files) = new();
    let hash = FileHash::of(b"never sent");
    assert_eq!(files.get(hash).await, Err(StorageError::FileMissing(hash)));
    assert_eq!(files.state(hash).await.unwrap(), FileState::Missing);
    assert!(!files.has(hash, 10).await.unwrap());
    files.destroy(hash).await.unwrap();
}

#[tokio::test]
async fn an_altered_file_is_not_given_out_and_is_mended_by_putting_it_again() {
    let (folder, files) = new();
    let mut chance = Chance::new(1);
    let bytes = chance.bytes(3000);
    let hash = files.put(bytes.clone()).await.unwrap();
    let place = place(&folder, hash);
    let mut flipped = bytes.clone();
    flipped[chance.below(3000)] ^= 1;
    let longer = [bytes.as_slice(), b"x"].concat();
    for altered in [flipped, longer, bytes[..2999].to_vec(), Vec::new()] {
        fs::write(&place, altered).unwrap();
        assert_eq!(files.state(hash).await.unwrap(), FileState::Altered);
        assert_eq!(files.get(hash).await, Err(StorageError::FileAltered(hash)));
        assert_eq!(files.put(bytes.clone()).await.unwrap(), hash);
        assert_eq!(files.state(hash).await.unwrap(), FileState::Whole);
        assert_eq!(files.get(hash).await.unwrap(), bytes);
    }
    assert_eq!(all(folder.path()), [place]);
}

#[tokio::test]
async fn a_whole_file_is_not_written_again() {
    let (folder, files) = new();
    let hash = files.put(b"once".to_vec()).await.unwrap();
    let before = fs::metadata(place(&folder, hash)).unwrap().modified().unwrap();
    std::thread::sleep(std::time::Duration::from_millis(15));
    files.put(b"once".to_vec()).await.unwrap();
    assert_eq!(fs::metadata(place(&folder, hash)).unwrap().modified().unwrap(), before);
}

#[tokio::test]
async fn a_destroyed_file_is_gone_and_can_be_put_again() {
    let (folder, files) = new();
    let hash = files.put(b"a photograph".to_vec()).await.unwrap();
    let other = files.put(b"another".to_vec()).await.unwrap();
    files.destroy(hash).await.unwrap();
    files.destroy(hash).await.unwrap();
    assert_eq!(files.state(hash).await.unwrap(), FileState::Missing);
    assert_eq!(files.get(hash).await, Err(StorageError::FileMissing(hash)));
    assert_eq!(all(folder.path()), [place(&folder, other)]);
    files.put(b"a photograph".to_vec()).await.unwrap();
    assert_eq!(files.get(hash).await.unwrap(), b"a photograph");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 4)]
async fn many_who_put_the_same_file_at_once_all_find_it_whole() {
    let (folder, files) = new();
    for round in 0..15 {
        let bytes = Chance::new(round).bytes(30_000);
        let hash = FileHash::of(&bytes);
        let tasks: Vec<_> = (0..8)
            .map(|_| {
                let (files, bytes) = (files.clone(), bytes.clone());
                tokio::spawn(async move {
                    let hash = files.put(bytes).await.unwrap();
                    files.state(hash).await.unwrap()
                })
            })
            .collect();
        for task in tasks {
            assert_eq!(task.await.unwrap(), FileState::Whole);
        }
        assert_eq!(files.get(hash).await.unwrap(), bytes);
    }
    assert_eq!(all(folder.path()).len(), 15, "nothing is left behind");
}

#[tokio::test]
async fn another_opening_of_the_folder_sees_the_files() {
    let (folder, files) = new();
    let hash = files.put(b"kept".to_vec()).await.unwrap();
    drop(files);
    let files = Files::in_folder(&folder.path().join("deep/files")).unwrap();
    assert_eq!(files.get(hash).await.unwrap(), b"kept");
}

#[tokio::test]
async fn a_file_that_comes_in_pieces_is_there_whole_or_not_at_all() {
    let (folder, files) = new();
    let bytes: Vec<u8> = (0..11_000_000_u32).map(|at| at as u8).collect();
    let hash = FileHash::of(&bytes);
    for _ in 0..2 {
        let mut incoming = files.begin(hash).await.unwrap();
        for piece in bytes.chunks(70_000) {
            incoming.write(piece).await.unwrap();
        }
        assert_eq!(incoming.bytes(), bytes.len() as u64);
        assert_eq!(incoming.finish().await.unwrap(), Some(bytes.len() as u64));
        assert_eq!(files.get(hash).await.unwrap(), bytes);
    }
    let other = FileHash::of(b"other");
    let mut incoming = files.begin(other).await.unwrap();
    incoming.write(&bytes).await.unwrap();
    assert_eq!(incoming.finish().await.unwrap(), None);
    assert_eq!(files.state(other).await.unwrap(), FileState::Missing);
    let place = folder.path().join("deep/files").join(&other.to_string()[..2]);
    assert_eq!(fs::read_dir(place).unwrap().count(), 0);
}
