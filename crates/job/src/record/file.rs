//! Files that the record holds: named by the hash of their bytes.

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// BLAKE3 hash of a file's bytes, 64 hexadecimal digits.
#[derive(Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(try_from = "String", into = "String")]
#[schemars(with = "String")]
pub struct FileHash(blake3::Hash);

impl FileHash {
    /// The hash of these bytes.
    #[must_use]
    pub fn of(bytes: &[u8]) -> Self {
        Self(blake3::hash(bytes))
    }

    /// A hash that was computed piece by piece.
    #[must_use]
    pub fn from_hash(hash: blake3::Hash) -> Self {
        Self(hash)
    }

    /// `None` unless the text is 64 hexadecimal digits in lower case.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let hash = blake3::Hash::from_hex(text).ok()?;
        (hash.to_hex().as_str() == text).then_some(Self(hash))
    }
}

impl PartialOrd for FileHash {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for FileHash {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.0.as_bytes().cmp(other.0.as_bytes())
    }
}

impl fmt::Display for FileHash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0.to_hex())
    }
}

impl fmt::Debug for FileHash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl From<FileHash> for String {
    fn from(hash: FileHash) -> Self {
        hash.to_string()
    }
}

impl TryFrom<String> for FileHash {
    type Error = String;
    fn try_from(text: String) -> Result<Self, String> {
        Self::parse(&text)
            .ok_or_else(|| format!("expected 64 hexadecimal digits in lower case, found `{text}`"))
    }
}

/// A path inside a job folder that cannot lead out of it: parts joined by `/`, none
/// empty, hidden or `..`, fit for every usual file system.
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
        (text.len() <= 400 && text.split('/').all(part)).then(|| Self(text.to_owned()))
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
