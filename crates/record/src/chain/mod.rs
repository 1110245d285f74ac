//! The chain of a job's entries, and its signed heads.
//!
//! Place `n` of a job has the link
//! `BLAKE3(domain ‖ link of place n−1 ‖ n ‖ received ‖ BLAKE3(bytes of the entry))`;
//! numbers are 64 bits, least byte first; `received` is in microseconds since 1970.
//! Place 0 has the link `BLAKE3(domain ‖ job)`. A head says "job, number of entries,
//! link, time" and is signed with Ed25519 (RFC 8032).

mod key;
mod verify;

pub use key::{HeadSignature, InstallationKey, PublicKey};
pub use verify::{Alteration, Trust, Verdict, Wrong, first_break, verify};

use std::fmt;

use jiff::Timestamp;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::hexadecimal::hexadecimal;
use super::id::JobId;

const START: &[u8] = b"tooth record chain 1\n";
const NEXT: &[u8] = b"tooth record link 1\n";
const HEAD: &[u8] = b"tooth record head 1\n";

hexadecimal! {
    /// A link of the chain, 64 hexadecimal digits.
    Link, 32;
}

impl Link {
    /// The link before a job's first entry.
    #[must_use]
    pub fn start(job: JobId) -> Self {
        Self(blake3::Hasher::new().update(START).update(job.as_bytes()).finalize().into())
    }

    /// The link of the entry that comes at `place` after this one.
    #[must_use]
    pub fn next(self, place: u64, received: Timestamp, bytes: &[u8]) -> Self {
        let link = blake3::Hasher::new()
            .update(NEXT)
            .update(&self.0)
            .update(&place.to_le_bytes())
            .update(&received.as_microsecond().to_le_bytes())
            .update(blake3::hash(bytes).as_bytes())
            .finalize();
        Self(link.into())
    }
}

/// A signed head: so many entries of a job, ending in this link, were there at a time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Head {
    /// The job.
    pub job: JobId,
    /// Number of its entries.
    pub entries: u64,
    /// Link of the last of them.
    pub link: Link,
    /// When it was signed, by the installation's clock: the entries were there then.
    #[schemars(with = "String")]
    pub signed: Timestamp,
    /// The key that signed.
    pub key: PublicKey,
    /// The signature.
    pub signature: HeadSignature,
}

impl Head {
    /// Signs a head.
    #[must_use]
    pub fn sign(
        job: JobId,
        entries: u64,
        link: Link,
        signed: Timestamp,
        key: &InstallationKey,
    ) -> Self {
        let unsigned = claim(job, entries, link, signed);
        let signature = key.signature(&unsigned);
        Self { job, entries, link, signed, key: key.public(), signature }
    }

    /// Whether its key signed exactly this.
    #[must_use]
    pub fn is_signed(&self) -> bool {
        self.key.signed(&claim(self.job, self.entries, self.link, self.signed), &self.signature)
    }

    /// As it is printed and typed back: `entries-link`.
    #[must_use]
    pub fn short(&self) -> TrustedHead {
        TrustedHead { entries: self.entries, link: self.link }
    }
}

fn claim(job: JobId, entries: u64, link: Link, signed: Timestamp) -> Vec<u8> {
    let mut bytes = HEAD.to_vec();
    bytes.extend_from_slice(job.as_bytes());
    bytes.extend_from_slice(&entries.to_le_bytes());
    bytes.extend_from_slice(link.as_bytes());
    bytes.extend_from_slice(&signed.as_microsecond().to_le_bytes());
    bytes
}

/// An entry at its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Placed {
    /// Its place in the job, counted from 1.
    pub place: u64,
    /// When it was received, by the installation's clock.
    pub received: Timestamp,
    /// Its link as stored.
    pub link: Link,
    /// Its exact bytes.
    pub bytes: Vec<u8>,
}

/// A head that somebody kept elsewhere, on paper or on another device: written
/// `12-5f0c…`, number of entries and link.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(try_from = "String", into = "String")]
#[schemars(with = "String")]
pub struct TrustedHead {
    /// Number of entries.
    pub entries: u64,
    /// Link of the last of them.
    pub link: Link,
}

impl TrustedHead {
    /// Reads `12-5f0c…`; `None` where it is none.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let (entries, link) = text.trim().split_once('-')?;
        Some(Self { entries: entries.parse().ok()?, link: Link::parse(link)? })
    }
}

impl fmt::Display for TrustedHead {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}-{}", self.entries, self.link)
    }
}

impl From<TrustedHead> for String {
    fn from(head: TrustedHead) -> Self {
        head.to_string()
    }
}

impl TryFrom<String> for TrustedHead {
    type Error = String;
    fn try_from(text: String) -> Result<Self, String> {
        Self::parse(&text).ok_or_else(|| {
            format!("expected a head like `12-` and 64 hexadecimal digits, found `{text}`")
        })
    }
}
