//! Where the files of a job come from: a folder on disk, or the record's view.

use std::collections::BTreeMap;
use std::fs;
use std::io::Read as _;
use std::path::{Path, PathBuf};

use tooth_measure::say::{Said, said};
use tooth_record::{FileHash, FileName};

use super::photo;
use crate::limits;

/// What was expected and what was found.
pub(super) type Refused = (Said, Said);

/// The files of a job.
pub(super) trait Files {
    /// A text file's bytes; `None` where there is no such file.
    fn text(&self, name: &str) -> Option<Result<Vec<u8>, Refused>>;
    /// The size of a photograph that can be shown.
    fn photo(&self, file: &str) -> Result<u64, Refused>;
    /// Names of the files in one of the folders of evidence, in order.
    fn listed(&self, folder: &str) -> Vec<String>;
    /// The bytes of a file in one of them.
    fn evidence(&self, folder: &str, file: &str) -> Result<Vec<u8>, Refused>;
}

/// A folder on disk.
#[derive(Debug, Clone)]
pub(super) struct OnDisk(pub(super) PathBuf);

impl Files for OnDisk {
    fn text(&self, name: &str) -> Option<Result<Vec<u8>, Refused>> {
        let path = self.0.join(name);
        path.exists().then(|| bounded(&path, limits::FILE_BYTES))
    }

    fn photo(&self, file: &str) -> Result<u64, Refused> {
        photo::check(&self.0.join("photos"), file)
    }

    fn listed(&self, folder: &str) -> Vec<String> {
        // No such folder, or one that cannot be listed, has nothing to read.
        let Ok(listed) = fs::read_dir(self.0.join(folder)) else { return Vec::new() };
        let mut names: Vec<String> = listed
            .filter_map(Result::ok)
            .filter(|entry| entry.file_type().is_ok_and(|kind| kind.is_file()))
            .filter_map(|entry| entry.file_name().into_string().ok())
            .filter(|name| !name.starts_with('.'))
            .collect();
        names.sort();
        names
    }

    fn evidence(&self, folder: &str, file: &str) -> Result<Vec<u8>, Refused> {
        bounded(&self.0.join(folder).join(file), limits::ATTACHED_BYTES)
    }
}

/// The bytes of a plain file of bearable size.
pub(super) fn bounded(path: &Path, most: u64) -> Result<Vec<u8>, Refused> {
    // A pipe or device would never end.
    if !path.is_file() {
        return Err((said!("a-file"), said!("something-else-of-this-name")));
    }
    let mut bytes = Vec::new();
    fs::File::open(path)
        .and_then(|file| file.take(most + 1).read_to_end(&mut bytes))
        .map_err(|error| (said!("a-readable-file"), error.to_string().into()))?;
    if bytes.len() as u64 > most {
        return Err((said!("at-most-mib", most = most / 1024 / 1024), said!("more")));
    }
    Ok(bytes)
}

/// Whether the bytes of a file say something of the slab by themselves: it lies in `sounding/`
/// or `texture/`.
#[must_use]
pub fn is_evidence(name: &FileName) -> bool {
    ["sounding/", "texture/"].iter().any(|folder| name.as_str().starts_with(folder))
}

/// The record's view of a job. Its photographs were looked at when they came in.
#[derive(Debug, Clone, Default)]
pub struct Recorded {
    /// The readable files.
    pub readable: BTreeMap<FileName, Vec<u8>>,
    /// All other files, by hash and size.
    pub others: BTreeMap<FileName, (FileHash, u64)>,
    /// Bytes of those of them that say something: in `sounding/` and `texture/`.
    pub evidence: BTreeMap<FileName, Vec<u8>>,
}

impl Files for Recorded {
    fn text(&self, name: &str) -> Option<Result<Vec<u8>, Refused>> {
        FileName::new(name).and_then(|name| self.readable.get(&name)).cloned().map(Ok)
    }

    fn photo(&self, file: &str) -> Result<u64, Refused> {
        FileName::new(&format!("photos/{file}"))
            .and_then(|name| self.others.get(&name))
            .map(|(_, bytes)| *bytes)
            .ok_or_else(|| {
                (
                    said!("a-file-in-the-folder", folder = "photos"),
                    said!("no-such-file-in-the-record", file = file),
                )
            })
    }

    fn listed(&self, folder: &str) -> Vec<String> {
        let inside = |name: &FileName| {
            name.as_str().strip_prefix(folder)?.strip_prefix('/').map(str::to_owned)
        };
        self.evidence.keys().filter_map(inside).filter(|name| !name.contains('/')).collect()
    }

    fn evidence(&self, folder: &str, file: &str) -> Result<Vec<u8>, Refused> {
        FileName::new(&format!("{folder}/{file}"))
            .and_then(|name| self.evidence.get(&name))
            .cloned()
            .ok_or_else(|| {
                (
                    said!("a-file-in-the-folder", folder = folder),
                    said!("no-such-file-in-the-record", file = file),
                )
            })
    }
}
