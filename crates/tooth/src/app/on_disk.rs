//! Job folders on the disk: looked at, and written so that nothing is ever half there.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use tooth_measure::say::{Said, said};

use tooth_formats::record::{Found, file_place};
use tooth_formats::{Fault, limits};
use tooth_record::{Edit, Entry, Fact, FileHash, FileName, JobId, Name, Origin, Reason};

use super::Refusal;

/// A folder as it lies on the disk: its readable files by their bytes, the others by
/// hash, and where each lies.
#[derive(Debug)]
pub(super) struct OnDisk {
    pub(super) readable: BTreeMap<FileName, Vec<u8>>,
    pub(super) others: Vec<(FileName, FileHash, u64)>,
    pub(super) places: BTreeMap<FileHash, PathBuf>,
}

pub(super) fn look(found: &Found) -> Result<OnDisk, Refusal> {
    let mut folder =
        OnDisk { readable: BTreeMap::new(), others: Vec::new(), places: BTreeMap::new() };
    for (name, path) in &found.files {
        let refuse = |expected: Said, found: Said| {
            Refusal::Input(vec![Fault::new(name.as_str(), None, "", expected, found)])
        };
        let unreadable =
            |error: std::io::Error| refuse(said!("a-readable-file"), error.to_string().into());
        let size = fs::metadata(path).map_err(unreadable)?.len();
        let most = if name.is_readable() { limits::FILE_BYTES } else { limits::ATTACHED_BYTES };
        if size > most {
            let most = said!("at-most-mib", most = most / 1024 / 1024);
            return Err(refuse(most, said!("mib", size = size / 1024 / 1024)));
        }
        if name.is_readable() {
            let bytes = fs::read(path).map_err(unreadable)?;
            folder.places.insert(FileHash::of(&bytes), path.clone());
            folder.readable.insert(name.clone(), bytes);
        } else {
            let mut hasher = blake3::Hasher::new();
            let mut file = fs::File::open(path).map_err(unreadable)?;
            let size = std::io::copy(&mut file, &mut hasher).map_err(unreadable)?;
            let hash = FileHash::from_hash(hasher.finalize());
            folder.places.insert(hash, path.clone());
            folder.others.push((name.clone(), hash, size));
        }
    }
    Ok(folder)
}

/// The bytes of a file in a folder, by hash: from `files/`, else where it lies.
pub(super) fn kept(
    folder: &Path,
    places: &BTreeMap<FileHash, PathBuf>,
    hash: FileHash,
) -> Option<Vec<u8>> {
    let whole = |path: &Path| fs::read(path).ok().filter(|bytes| FileHash::of(bytes) == hash);
    whole(&folder.join(file_place(hash))).or_else(|| places.get(&hash).and_then(|p| whole(p)))
}

pub(super) fn numbered(entries: &[Entry]) -> impl Iterator<Item = (u64, &Entry)> {
    (1..).zip(entries)
}

/// Files that entries name and that were not erased.
pub(super) fn needed<'a>(
    entries: impl IntoIterator<Item = &'a Entry> + Clone,
) -> Vec<(FileHash, u64)> {
    let erased: BTreeSet<FileHash> = entries
        .clone()
        .into_iter()
        .filter_map(|entry| match &entry.fact {
            Fact::Erased { hash, .. } => Some(*hash),
            _ => None,
        })
        .collect();
    let mut needed = BTreeMap::new();
    for (hash, bytes) in entries.into_iter().flat_map(|entry| entry.fact.files()) {
        if !erased.contains(&hash) {
            needed.insert(hash, bytes);
        }
    }
    needed.into_iter().collect()
}

pub(super) fn edit(
    job: JobId,
    origin: Origin,
    author: Option<Name>,
    reason: Option<Reason>,
) -> Result<Edit, Refusal> {
    let reason = reason
        .or_else(|| Reason::new("edited in the job folder"))
        .ok_or_else(|| Refusal::Ours(said!("app-no-reason")))?;
    Ok(Edit { job, origin, author, reason })
}

pub(super) fn failed(path: &Path, error: &std::io::Error) -> Refusal {
    Refusal::Ours(said!(
        "app-could-not-be-written",
        path = path.display().to_string(),
        error = error.to_string()
    ))
}

/// Writes a file beside its place and puts it there when it is on the disk; leaves one
/// that says the same alone.
pub(super) fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), Refusal> {
    if fs::read(path).is_ok_and(|there| there == bytes) {
        return Ok(());
    }
    let Some(parent) = path.parent() else { return Ok(()) };
    fs::create_dir_all(parent).map_err(|error| failed(parent, &error))?;
    let beside = parent.join(format!(".{}", uuid::Uuid::now_v7().simple()));
    let written = fs::File::create_new(&beside)
        .and_then(|mut file| {
            std::io::Write::write_all(&mut file, bytes)?;
            file.sync_all()
        })
        .and_then(|()| fs::rename(&beside, path));
    if let Err(error) = written {
        let _ = fs::remove_file(&beside);
        return Err(failed(path, &error));
    }
    sync_folder(parent);
    Ok(())
}

/// Not every system lets folders be synced; files are synced in any case.
pub(super) fn sync_folder(folder: &Path) {
    if let Ok(folder) = fs::File::open(folder) {
        let _ = folder.sync_all();
    }
}
