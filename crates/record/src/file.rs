//! Files that the record holds: named by the hash of their bytes.

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::hexadecimal::hexadecimal;

hexadecimal! {
    /// BLAKE3 hash of a file's bytes, 64 hexadecimal digits.
    FileHash, 32;
}

impl FileHash {
    /// The hash of these bytes.
    #[must_use]
    pub fn of(bytes: &[u8]) -> Self {
        Self::from_hash(blake3::hash(bytes))
    }

    /// A hash that was computed piece by piece.
    #[must_use]
    pub fn from_hash(hash: blake3::Hash) -> Self {
        Self::from_bytes(hash.into())
    }
}

/// Folders whose files belong to a job, besides the files that lie in the job folder
/// itself. `chains` keeps the order that other installations gave to the same entries.
pub const FILE_FOLDERS: [&str; 4] = ["photos", "sounding", "texture", "chains"];

/// Files that people read and edit: their things are entries of their own.
pub const READABLE_FILES: [&str; 6] =
    ["job.toml", "plan.geojson", "systems.toml", "methods.toml", "readings.csv", "forecast.csv"];

/// Names that the record's own files have in a folder.
const RESERVED: [&str; 3] = ["record.jsonl", "chain.jsonl", "files"];

/// Names of devices on some systems, whatever their ending.
const DEVICES: [&str; 6] = ["con", "prn", "aux", "nul", "com", "lpt"];

/// A path inside a job folder that cannot lead out of it: a file of the folder itself,
/// or in one of [`FILE_FOLDERS`]; parts joined by `/`, none empty, hidden or `..`, fit
/// for every usual file system; none of the names that the record's own files have.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(try_from = "String", into = "String")]
#[schemars(with = "String")]
pub struct FileName(String);

impl FileName {
    /// `None` where the path could lead out or could not be written everywhere.
    #[must_use]
    pub fn new(text: &str) -> Option<Self> {
        let part = |part: &str| {
            !part.is_empty()
                && part.len() <= 200
                && !part.starts_with('.')
                && !part.ends_with(['.', ' '])
                && !part.contains(['\\', ':', '*', '?', '"', '<', '>', '|'])
                && !part.chars().any(char::is_control)
        };
        let own = text.to_lowercase();
        let free = |part: &str| {
            let stem = part
                .split('.')
                .next()
                .unwrap_or_default()
                .trim_end_matches(|c: char| c.is_ascii_digit());
            !DEVICES.contains(&stem)
        };
        let placed = match own.split_once('/') {
            Some((folder, _)) => {
                FILE_FOLDERS.iter().any(|known| *known == folder && text.starts_with(known))
            }
            None => !RESERVED.contains(&own.as_str()) && !FILE_FOLDERS.contains(&own.as_str()),
        };
        let good = text.len() <= 400 && text.split('/').all(part) && own.split('/').all(free);
        (good && placed).then(|| Self(text.to_owned()))
    }

    /// Whether it is a file that people read and edit.
    #[must_use]
    pub fn is_readable(&self) -> bool {
        READABLE_FILES.contains(&self.0.as_str())
    }

    /// As written, with `/` between its parts.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for FileName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl From<FileName> for String {
    fn from(name: FileName) -> Self {
        name.0
    }
}

impl TryFrom<String> for FileName {
    type Error = String;
    fn try_from(text: String) -> Result<Self, String> {
        Self::new(&text)
            .ok_or_else(|| format!("expected a plain path inside the job folder, found `{text}`"))
    }
}
