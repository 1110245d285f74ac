//! The chain of a job's entries, and its signed heads.
//!
//! Place `n` of a job has the link
//! `BLAKE3(domain ‖ link of place n−1 ‖ n ‖ received ‖ BLAKE3(bytes of the entry))`;
//! numbers are 64 bits, least byte first; `received` is in microseconds since 1970.
//! Place 0 has the link `BLAKE3(domain ‖ job)`. A head says "job, number of entries,
//! link, time" and is signed with Ed25519 (RFC 8032).

use std::fmt;

use ed25519_dalek::{Signature, Signer as _, SigningKey, VerifyingKey};
use jiff::Timestamp;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::entry::Entry;
use super::id::JobId;

const START: &[u8] = b"tooth record chain 1\n";
const NEXT: &[u8] = b"tooth record link 1\n";
const HEAD: &[u8] = b"tooth record head 1\n";

/// A link of the chain, 64 hexadecimal digits.
#[derive(Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(try_from = "String", into = "String")]
#[schemars(with = "String")]
pub struct Link(blake3::Hash);

impl Link {
    /// The link before a job's first entry.
    #[must_use]
    pub fn start(job: JobId) -> Self {
        Self(blake3::Hasher::new().update(START).update(job.as_bytes()).finalize())
    }

    /// The link of the entry that comes at `place` after this one.
    #[must_use]
    pub fn next(self, place: u64, received: Timestamp, bytes: &[u8]) -> Self {
        Self(
            blake3::Hasher::new()
                .update(NEXT)
                .update(self.0.as_bytes())
                .update(&place.to_le_bytes())
                .update(&received.as_microsecond().to_le_bytes())
                .update(blake3::hash(bytes).as_bytes())
                .finalize(),
        )
    }

    /// From its 32 bytes.
    #[must_use]
    pub fn from_bytes(bytes: [u8; 32]) -> Self {
        Self(blake3::Hash::from_bytes(bytes))
    }

    /// Its 32 bytes.
    #[must_use]
    pub fn as_bytes(&self) -> &[u8; 32] {
        self.0.as_bytes()
    }

    /// `None` unless the text is 64 hexadecimal digits in lower case.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let hash = blake3::Hash::from_hex(text).ok()?;
        (hash.to_hex().as_str() == text).then_some(Self(hash))
    }
}

impl fmt::Display for Link {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0.to_hex())
    }
}

impl fmt::Debug for Link {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl From<Link> for String {
    fn from(link: Link) -> Self {
        link.to_string()
    }
}

impl TryFrom<String> for Link {
    type Error = String;
    fn try_from(text: String) -> Result<Self, String> {
        Self::parse(&text)
            .ok_or_else(|| format!("expected 64 hexadecimal digits in lower case, found `{text}`"))
    }
}

fn hexadecimal(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

fn from_hexadecimal<const N: usize>(text: &str) -> Option<[u8; N]> {
    if text.len() != 2 * N || !text.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f')) {
        return None;
    }
    let mut bytes = [0; N];
    for (at, byte) in bytes.iter_mut().enumerate() {
        *byte = u8::from_str_radix(text.get(2 * at..2 * at + 2)?, 16).ok()?;
    }
    Some(bytes)
}

/// The public half of an installation's key.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(try_from = "String", into = "String")]
#[schemars(with = "String")]
pub struct PublicKey([u8; 32]);

impl PublicKey {
    /// From its 32 bytes.
    #[must_use]
    pub fn from_bytes(bytes: [u8; 32]) -> Self {
        Self(bytes)
    }

    /// Its 32 bytes.
    #[must_use]
    pub fn as_bytes(&self) -> &[u8; 32] {
        &self.0
    }

    /// `None` unless the text is 64 hexadecimal digits in lower case.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        from_hexadecimal(text).map(Self)
    }
}

impl fmt::Display for PublicKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&hexadecimal(&self.0))
    }
}

impl From<PublicKey> for String {
    fn from(key: PublicKey) -> Self {
        key.to_string()
    }
}

impl TryFrom<String> for PublicKey {
    type Error = String;
    fn try_from(text: String) -> Result<Self, String> {
        Self::parse(&text).ok_or_else(|| "expected a key of 64 hexadecimal digits".to_owned())
    }
}

/// The key of an installation. It never shows itself.
#[derive(Clone)]
pub struct InstallationKey(SigningKey);

impl InstallationKey {
    /// From its 32 secret bytes.
    #[must_use]
    pub fn from_bytes(secret: &[u8; 32]) -> Self {
        Self(SigningKey::from_bytes(secret))
    }

    /// Its public half.
    #[must_use]
    pub fn public(&self) -> PublicKey {
        PublicKey(self.0.verifying_key().to_bytes())
    }
}

impl fmt::Debug for InstallationKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "InstallationKey({})", self.public())
    }
}

/// An Ed25519 signature, 128 hexadecimal digits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(try_from = "String", into = "String")]
#[schemars(with = "String")]
pub struct HeadSignature([u8; 64]);

impl HeadSignature {
    /// From its 64 bytes.
    #[must_use]
    pub fn from_bytes(bytes: [u8; 64]) -> Self {
        Self(bytes)
    }

    /// Its 64 bytes.
    #[must_use]
    pub fn as_bytes(&self) -> &[u8; 64] {
        &self.0
    }
}

impl From<HeadSignature> for String {
    fn from(signature: HeadSignature) -> Self {
        hexadecimal(&signature.0)
    }
}

impl TryFrom<String> for HeadSignature {
    type Error = String;
    fn try_from(text: String) -> Result<Self, String> {
        from_hexadecimal(&text)
            .map(Self)
            .ok_or_else(|| "expected a signature of 128 hexadecimal digits".to_owned())
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
    /// When the last of them was received, by the installation's clock.
    #[schemars(with = "String")]
    pub received: Timestamp,
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
        received: Timestamp,
        key: &InstallationKey,
    ) -> Self {
        let unsigned = claim(job, entries, link, received);
        let signature = HeadSignature(key.0.sign(&unsigned).to_bytes());
        Self { job, entries, link, received, key: key.public(), signature }
    }

    /// Whether its key signed exactly this.
    #[must_use]
    pub fn is_signed(&self) -> bool {
        let Ok(key) = VerifyingKey::from_bytes(&self.key.0) else { return false };
        let signed = claim(self.job, self.entries, self.link, self.received);
        key.verify_strict(&signed, &Signature::from_bytes(&self.signature.0)).is_ok()
    }

    /// As it is printed and typed back: `entries-link`.
    #[must_use]
    pub fn short(&self) -> TrustedHead {
        TrustedHead { entries: self.entries, link: self.link }
    }
}

fn claim(job: JobId, entries: u64, link: Link, received: Timestamp) -> Vec<u8> {
    let mut bytes = HEAD.to_vec();
    bytes.extend_from_slice(job.as_bytes());
    bytes.extend_from_slice(&entries.to_le_bytes());
    bytes.extend_from_slice(link.as_bytes());
    bytes.extend_from_slice(&received.as_microsecond().to_le_bytes());
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

/// What the person who asks trusts from elsewhere.
#[derive(Debug, Clone, Default)]
pub struct Trust {
    /// Heads of this job that were kept elsewhere.
    pub heads: Vec<TrustedHead>,
    /// Keys whose signature counts.
    pub keys: Vec<PublicKey>,
}

/// What is wrong at one place of the chain.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Wrong {
    /// The entry is not the one that was linked.
    EntryAltered,
    /// The entry fits what follows, but its link was changed.
    LinkAltered,
    /// An entry is missing here, or two stand at one place.
    PlaceWrong,
    /// The bytes are no entry.
    Unreadable,
    /// The entry was there before, under the same id.
    IdTwice,
    /// A head's signature is not its key's.
    HeadForged,
    /// A signed head has another link: entries up to here were rewritten.
    RewrittenBeforeHead,
    /// A trusted head has another link: entries up to here were rewritten.
    RewrittenBeforeTrustedHead,
    /// A head or trusted head counts more entries than there are: the end is missing.
    EndMissing,
}

impl Wrong {
    /// For a person.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::EntryAltered => "is not the entry that was linked: it was altered",
            Self::LinkAltered => "fits what follows, but its link was altered",
            Self::PlaceWrong => {
                "stands at the wrong place: an entry before it is missing or was put in"
            }
            Self::Unreadable => "is no entry that can be read",
            Self::IdTwice => "has the id of an earlier entry",
            Self::HeadForged => "has a signed head whose signature is not its key's",
            Self::RewrittenBeforeHead => {
                "has a signed head with another link: this or an earlier entry was rewritten together with its links"
            }
            Self::RewrittenBeforeTrustedHead => {
                "has a trusted head with another link: this or an earlier entry was rewritten together with its links"
            }
            Self::EndMissing => "is named by a head, but the record ends before it",
        }
    }
}

/// Something wrong at a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Alteration {
    /// The place, counted from 1.
    pub place: u64,
    /// What is wrong.
    pub wrong: Wrong,
}

/// What a check of a job's chain found.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Verdict {
    /// Number of entries.
    pub entries: u64,
    /// Link of the last entry, as computed.
    pub head: TrustedHead,
    /// Everything wrong, first place first.
    pub alterations: Vec<Alteration>,
    /// Entries up to this place are proven by a trusted head or key; 0 for none.
    pub proven_entries: u64,
    /// What this check cannot prove, in words.
    pub not_proven: Vec<String>,
}

impl Verdict {
    /// Whether nothing is wrong.
    #[must_use]
    pub fn is_whole(&self) -> bool {
        self.alterations.is_empty()
    }

    /// The first place where something is wrong.
    #[must_use]
    pub fn first_altered(&self) -> Option<Alteration> {
        self.alterations.first().copied()
    }
}

/// Checks a job's entries, links and heads against each other and against what is
/// trusted.
#[must_use]
pub fn verify(job: JobId, placed: &[Placed], heads: &[Head], trust: &Trust) -> Verdict {
    let mut alterations = Vec::new();
    let mut links = vec![Link::start(job)];
    let mut ids = std::collections::BTreeSet::new();
    for (at, entry) in placed.iter().enumerate() {
        let place = at as u64 + 1;
        let mut note = |wrong| alterations.push(Alteration { place, wrong });
        match Entry::read(&entry.bytes) {
            Ok(read) if !ids.insert(read.id) => note(Wrong::IdTwice),
            Ok(_) => {}
            Err(_) => note(Wrong::Unreadable),
        }
        if entry.place != place {
            note(Wrong::PlaceWrong);
        }
        let before = links[at];
        let computed = before.next(entry.place, entry.received, &entry.bytes);
        if computed == entry.link {
            links.push(computed);
            continue;
        }
        // What follows was linked to the true link: it tells which of the two changed.
        let fits = placed
            .get(at + 1)
            .map(|next| computed.next(next.place, next.received, &next.bytes) == next.link)
            .unwrap_or_else(|| {
                heads.iter().any(|h| h.entries == place && h.link == computed && h.is_signed())
            });
        note(if fits { Wrong::LinkAltered } else { Wrong::EntryAltered });
        links.push(if fits { computed } else { entry.link });
    }
    let count = placed.len() as u64;
    let link_at =
        |entries: u64| usize::try_from(entries).ok().and_then(|at| links.get(at)).copied();
    let broken = alterations.first().map(|first| first.place);
    let mut proven = 0;
    let mut prove = |entries: u64| {
        if broken.is_none_or(|first| entries < first) {
            proven = proven.max(entries);
        }
    };
    let mut signed = 0;
    let mut others = false;
    let mut wrong = Vec::new();
    for head in heads {
        let mut note = |what| wrong.push(Alteration { place: head.entries, wrong: what });
        if head.job != job || !head.is_signed() {
            note(Wrong::HeadForged);
            continue;
        }
        match link_at(head.entries) {
            None => note(Wrong::EndMissing),
            Some(link) if link != head.link => note(Wrong::RewrittenBeforeHead),
            Some(_) => {
                signed = signed.max(head.entries);
                if trust.keys.contains(&head.key) {
                    prove(head.entries);
                } else {
                    others = true;
                }
            }
        }
    }
    for head in &trust.heads {
        let mut note = |what| wrong.push(Alteration { place: head.entries, wrong: what });
        match link_at(head.entries) {
            None => note(Wrong::EndMissing),
            Some(link) if link != head.link => note(Wrong::RewrittenBeforeTrustedHead),
            Some(_) => prove(head.entries),
        }
    }
    // Links of which one was mended above make later heads fit; a head that does not
    // fit after an altered entry says nothing new.
    alterations.extend(wrong);
    alterations.sort_by_key(|alteration| alteration.place);
    if let Some(first) = alterations.first() {
        proven = proven.min(first.place.saturating_sub(1));
    }
    let head =
        TrustedHead { entries: count, link: links.last().copied().unwrap_or(Link::start(job)) };
    let not_proven = not_proven(trust, count, signed, proven, others);
    Verdict { entries: count, head, alterations, proven_entries: proven, not_proven }
}

fn not_proven(trust: &Trust, count: u64, signed: u64, proven: u64, others: bool) -> Vec<String> {
    let mut words = Vec::new();
    if trust.heads.is_empty() && trust.keys.is_empty() {
        words.push(
            "No head or key from elsewhere was given. Entries, links and heads fit each other or not, as said; somebody who rewrote all of them together would not be found. Compare with a head printed in an issued document or kept in a receipt."
                .to_owned(),
        );
    } else {
        if proven < count {
            words.push(format!(
                "Entries {} to {count} come after what the trusted heads and keys prove.",
                proven + 1
            ));
        }
        if trust.heads.is_empty() {
            words.push(
                "A key alone cannot show that newer entries were cut off at the end: give the newest head that was kept elsewhere."
                    .to_owned(),
            );
        }
        if others && !trust.keys.is_empty() {
            words.push("Some heads are signed by keys that were not given as trusted.".to_owned());
        }
    }
    if signed < count {
        words.push(format!("Entries {} to {count} are under no signed head yet.", signed + 1));
    }
    words.push(
        "Times are those of the installation's and the devices' clocks; nobody else attests them."
            .to_owned(),
    );
    words
}
