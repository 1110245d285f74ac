//! Was a chain changed, where first, and what can be said of it.

use std::collections::{BTreeMap, BTreeSet};
use tooth_measure::say::{Said, said};

use schemars::JsonSchema;
use serde::Serialize;

use super::{Head, Link, Placed, PublicKey, TrustedHead};
use crate::entry::Entry;
use crate::id::JobId;

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
    #[serde(rename = "place_wrong")]
    OutOfPlace,
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
    pub fn said(self) -> Said {
        match self {
            Self::EntryAltered => {
                said!("does-not-follow-from-the-entry-before")
            }
            Self::LinkAltered => said!("fits-what-follows-but-its-link-was"),
            Self::Missing => said!("is-missing-with-any-others-up"),
            Self::OutOfPlace => said!("stands-twice-or-in-the-wrong-order"),
            Self::Unreadable => said!("cannot-be-read-as-an-entry-any"),
            Self::IdTwice => said!("has-the-id-of-an-earlier-entry"),
            Self::HeadForged => {
                said!("has-a-signed-head-that-was-altered")
            }
            Self::HeadDiffers => {
                said!("has-a-signed-head-with-another-link")
            }
            Self::TrustedHeadDiffers => {
                said!("is-not-where-the-trusted-head-says")
            }
            Self::EndMissing => {
                said!("is-named-by-a-head-but")
            }
            Self::Unsigned => {
                said!("is-the-last-and-this-installation-own")
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
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
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
    pub not_proven: Vec<Said>,
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
            note(place, Wrong::OutOfPlace);
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

fn not_proven(trust: &Trust, end: u64, signed: u64, proven: u64, others: bool) -> Vec<Said> {
    let mut words = Vec::new();
    let mut say = |said: Said| words.push(said);
    if trust.heads.is_empty() && trust.keys.is_empty() {
        say(said!("whether-somebody-rewrote-entries-links"));
    } else if proven < end {
        say(said!("entries-to-they-come-after-what", proven = proven + 1, end = end));
    }
    if trust.heads.iter().all(|head| head.entries < end) {
        say(said!("whether-newer-entries-were-cut-off"));
    }
    if others && !trust.keys.is_empty() {
        say(said!("who-holds-the-other-keys-that-signed"));
    }
    if signed < end {
        say(said!("entries-to-no-signed-head-reaches-them", signed = signed + 1, end = end));
    }
    say(said!("when-things-happened-times-are-those"));
    words
}
