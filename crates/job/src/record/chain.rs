//! The chain of a job's entries, and its signed heads.
//!
//! Place `n` of a job has the link
//! `BLAKE3(domain ‖ link of place n−1 ‖ n ‖ received ‖ BLAKE3(bytes of the entry))`;
//! numbers are 64 bits, least byte first; `received` is in microseconds since 1970.
//! Place 0 has the link `BLAKE3(domain ‖ job)`. A head says "job, number of entries,
//! link, time" and is signed with Ed25519 (RFC 8032).

use std::collections::{BTreeMap, BTreeSet};
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
        let signature = HeadSignature(key.0.sign(&unsigned).to_bytes());
        Self { job, entries, link, signed, key: key.public(), signature }
    }

    /// Whether its key signed exactly this.
    #[must_use]
    pub fn is_signed(&self) -> bool {
        let Ok(key) = VerifyingKey::from_bytes(&self.key.0) else { return false };
        let claimed = claim(self.job, self.entries, self.link, self.signed);
        key.verify_strict(&claimed, &Signature::from_bytes(&self.signature.0)).is_ok()
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
    /// The entry does not follow from the one before it.
    EntryAltered,
    /// The entry fits what follows, but its link was changed.
    LinkAltered,
    /// Entries from this place on are missing.
    Missing,
    /// Two entries stand at one place, or in the wrong order.
    PlaceWrong,
    /// The bytes are no entry.
    Unreadable,
    /// The entry was there before, under the same id.
    IdTwice,
    /// A head's signature is not its key's.
    HeadForged,
    /// A signed head has another link.
    HeadDiffers,
    /// A trusted head has another link.
    TrustedHeadDiffers,
    /// A head or trusted head counts more entries than there are: the end is missing.
    EndMissing,
    /// The last entry is under no head of the installation that keeps this record.
    Unsigned,
}

impl Wrong {
    /// For a person, after "entry 12".
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::EntryAltered => {
                "does not follow from the entry before it: it was altered, or the one before it together with its link"
            }
            Self::LinkAltered => "fits what follows, but its link was altered",
            Self::Missing => "is missing, with any others up to the next one that is there",
            Self::PlaceWrong => "stands twice or in the wrong order",
            Self::Unreadable => "cannot be read as an entry any more",
            Self::IdTwice => "has the id of an earlier entry",
            Self::HeadForged => {
                "has a signed head that was altered: the signature is not its key's"
            }
            Self::HeadDiffers => {
                "has a signed head with another link: it or an earlier entry was rewritten together with the links"
            }
            Self::TrustedHeadDiffers => {
                "is not where the trusted head says: entries were rewritten together with their links, or that head is of another job or of another installation's order of these entries"
            }
            Self::EndMissing => {
                "is named by a head, but the record ends before it: the end was cut off, or that head is of another job or installation"
            }
            Self::Unsigned => {
                "is the last, and this installation's own signed head for it is missing"
            }
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
    /// Number of signed heads that fit.
    pub heads: u64,
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

/// The first entry that does not follow from the one before it, if any: the quick check
/// before anything is built on a record.
#[must_use]
pub fn first_break(job: JobId, placed: &[Placed]) -> Option<u64> {
    let mut link = Link::start(job);
    for (place, entry) in (1..).zip(placed) {
        link = link.next(entry.place, entry.received, &entry.bytes);
        if entry.place != place || link != entry.link {
            return Some(place);
        }
    }
    None
}

/// Entries and links against each other. Returns the link after each place that could
/// be established.
fn follow(
    job: JobId,
    placed: &[Placed],
    heads: &[Head],
    alterations: &mut Vec<Alteration>,
) -> BTreeMap<u64, Link> {
    let mut links = BTreeMap::from([(0, Link::start(job))]);
    let mut ids = BTreeSet::new();
    let mut last = 0;
    for (at, entry) in placed.iter().enumerate() {
        let place = entry.place;
        let mut note = |place, wrong| alterations.push(Alteration { place, wrong });
        match Entry::read(&entry.bytes) {
            Ok(read) if !ids.insert(read.id) => note(place, Wrong::IdTwice),
            Ok(_) => {}
            Err(_) => note(place, Wrong::Unreadable),
        }
        let expected = last + 1;
        if place < expected {
            note(place, Wrong::PlaceWrong);
            continue;
        }
        last = place;
        if place > expected {
            // What stood between is unknown, and so is the link that this one followed.
            note(expected, Wrong::Missing);
            links.insert(place, entry.link);
            continue;
        }
        let before = links.get(&(place - 1)).copied().unwrap_or(Link::start(job));
        let computed = before.next(place, entry.received, &entry.bytes);
        if computed == entry.link {
            links.insert(place, computed);
            continue;
        }
        // What follows was linked to the true link: it tells which of the two changed.
        let fits = match placed.get(at + 1) {
            Some(next) => computed.next(next.place, next.received, &next.bytes) == next.link,
            None => heads.iter().any(|h| h.entries == place && h.link == computed && h.is_signed()),
        };
        note(place, if fits { Wrong::LinkAltered } else { Wrong::EntryAltered });
        links.insert(place, if fits { computed } else { entry.link });
    }
    links
}

/// Checks a job's entries, links and heads against each other and against what is
/// trusted. `own` is the key of the installation that keeps the record, where it is
/// one's own: it signs every end of a chain, so a missing one tells.
#[must_use]
pub fn verify(
    job: JobId,
    placed: &[Placed],
    heads: &[Head],
    own: Option<PublicKey>,
    trust: &Trust,
) -> Verdict {
    let mut alterations = Vec::new();
    let links = follow(job, placed, heads, &mut alterations);
    let end = placed.iter().map(|entry| entry.place).max().unwrap_or(0);
    let mut proven = 0;
    let mut signed = 0;
    let mut fitting = 0;
    let mut others = false;
    let mut own_end = end == 0 || own.is_none();
    for head in heads {
        let mut note = |wrong| alterations.push(Alteration { place: head.entries, wrong });
        if head.job != job || !head.is_signed() {
            note(Wrong::HeadForged);
            continue;
        }
        match links.get(&head.entries) {
            None if head.entries > end => note(Wrong::EndMissing),
            // The entry is missing, which is said already.
            None => {}
            Some(link) if *link != head.link => note(Wrong::HeadDiffers),
            Some(_) => {
                fitting += 1;
                signed = signed.max(head.entries);
                own_end |= Some(head.key) == own && head.entries == end;
                if trust.keys.contains(&head.key) {
                    proven = proven.max(head.entries);
                } else {
                    others = true;
                }
            }
        }
    }
    for head in &trust.heads {
        let mut note = |wrong| alterations.push(Alteration { place: head.entries, wrong });
        match links.get(&head.entries) {
            None if head.entries > end => note(Wrong::EndMissing),
            None => {}
            Some(link) if *link != head.link => note(Wrong::TrustedHeadDiffers),
            Some(_) => proven = proven.max(head.entries),
        }
    }
    if !own_end {
        alterations.push(Alteration { place: end, wrong: Wrong::Unsigned });
    }
    alterations.sort_by_key(|alteration| alteration.place);
    if let Some(first) = alterations.first() {
        proven = proven.min(first.place.saturating_sub(1));
    }
    let link = links.get(&end).copied().unwrap_or(Link::start(job));
    Verdict {
        entries: placed.len() as u64,
        heads: fitting,
        head: TrustedHead { entries: end, link },
        alterations,
        proven_entries: proven,
        not_proven: not_proven(trust, end, signed, proven, others),
    }
}

fn not_proven(trust: &Trust, end: u64, signed: u64, proven: u64, others: bool) -> Vec<String> {
    let mut words = Vec::new();
    let mut say = |text: &str| words.push(text.to_owned());
    if trust.heads.is_empty() && trust.keys.is_empty() {
        say(
            "Whether somebody rewrote entries, links and heads all together: only a head or key kept elsewhere shows that. A head is printed in every document made from the record.",
        );
    } else if proven < end {
        say(&format!(
            "Entries {} to {end}: they come after what the trusted heads and keys reach.",
            proven + 1
        ));
    }
    if trust.heads.iter().all(|head| head.entries < end) {
        say(
            "Whether newer entries were cut off at the end: only the newest head kept elsewhere shows that.",
        );
    }
    if others && !trust.keys.is_empty() {
        say("Who holds the other keys that signed heads here.");
    }
    if signed < end {
        say(&format!("Entries {} to {end}: no signed head reaches them.", signed + 1));
    }
    say(
        "When things happened: times are those of the installation's and the devices' own clocks, and of whoever wrote a folder that was brought in.",
    );
    words
}
