//! What the entries say of each thing now.
//!
//! A version of a thing counts until a later entry of the same thing replaces it by
//! name. Where more than one version counts and they differ, nobody has settled the
//! matter: both stay, and the later one is shown with its mark.

use std::collections::{BTreeMap, BTreeSet};

use jiff::Timestamp;

use super::Value;
use super::entry::{Entry, Fact, Issue, Name, Reason};
use super::file::FileHash;
use super::id::EntryId;
use super::thing::{Thing, ThingKind};

/// What a version says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Content<'a> {
    /// A value.
    Value(&'a Value),
    /// A file.
    File {
        /// Hash of its bytes.
        hash: FileHash,
        /// Number of its bytes.
        bytes: u64,
    },
    /// It shall not count.
    Withdrawn,
}

/// One version of a thing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Version<'a> {
    /// The entry's place in the job.
    pub place: u64,
    /// The entry.
    pub entry: EntryId,
    /// Who stated it.
    pub author: Option<&'a Name>,
    /// On which device.
    pub device: &'a Name,
    /// The device's clock.
    pub device_time: Option<Timestamp>,
    /// What it says.
    pub content: Content<'a>,
    /// Why, where it corrects or withdraws.
    pub reason: Option<&'a Reason>,
}

/// How a thing stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum State {
    /// Everybody who speaks of it says the same.
    Settled,
    /// Versions differ and nobody has settled them.
    Clash,
    /// Withdrawn.
    Withdrawn,
}

/// A thing with every version that counts.
#[derive(Debug, Clone, PartialEq)]
pub struct Held<'a> {
    /// Place of the first entry that spoke of it: the order of things.
    pub first: u64,
    /// Versions that count, in the order of their places; never empty.
    pub versions: Vec<Version<'a>>,
}

impl<'a> Held<'a> {
    /// How it stands.
    #[must_use]
    pub fn state(&self) -> State {
        let first = self.versions.first().map(|version| version.content);
        let differ = self.versions.iter().any(|version| Some(version.content) != first);
        match first {
            _ if differ => State::Clash,
            Some(Content::Withdrawn) | None => State::Withdrawn,
            Some(_) => State::Settled,
        }
    }

    /// The version that is shown: the latest that says something. In a clash a
    /// withdrawal does not hide what somebody else still states.
    #[must_use]
    pub fn shown(&self) -> Option<&Version<'a>> {
        self.versions.iter().rev().find(|version| version.content != Content::Withdrawn)
    }

    /// The entries of all versions.
    #[must_use]
    pub fn entries(&self) -> Vec<EntryId> {
        self.versions.iter().map(|version| version.entry).collect()
    }
}

/// A file whose bytes were destroyed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Erasure<'a> {
    /// Place of the entry.
    pub place: u64,
    /// Who did it.
    pub author: Option<&'a Name>,
    /// Why.
    pub reason: &'a Reason,
}

/// Documents issued, with the entry that says so.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct IssuePlaced<'a> {
    /// Place of the entry.
    pub place: u64,
    /// The entry.
    pub entry: EntryId,
    /// What was issued.
    pub issue: &'a Issue,
}

/// Everything that a job's entries say.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Folded<'a> {
    /// Things with the versions that count.
    pub things: BTreeMap<Thing, Held<'a>>,
    /// Files that were erased.
    pub erased: BTreeMap<FileHash, Erasure<'a>>,
    /// Documents issued, in order.
    pub issues: Vec<IssuePlaced<'a>>,
    /// Entries that name as replaced what no earlier entry of the thing is.
    pub unanswered: Vec<EntryId>,
}

/// Folds entries in the order of their places.
pub fn fold<'a>(entries: impl IntoIterator<Item = (u64, &'a Entry)>) -> Folded<'a> {
    let mut folded = Folded::default();
    // Which entries of which thing have been seen: a later entry can only replace these.
    let mut seen: BTreeMap<EntryId, Thing> = BTreeMap::new();
    for (place, entry) in entries {
        let content = match &entry.fact {
            Fact::Stated { value, .. } | Fact::Corrected { value, .. } => Content::Value(value),
            Fact::Attached { hash, bytes, .. } => Content::File { hash: *hash, bytes: *bytes },
            Fact::Withdrawn { .. } => Content::Withdrawn,
            Fact::Erased { hash, reason } => {
                folded.erased.entry(*hash).or_insert(Erasure {
                    place,
                    author: entry.author.as_ref(),
                    reason,
                });
                continue;
            }
            Fact::Issued(issue) => {
                folded.issues.push(IssuePlaced { place, entry: entry.id, issue });
                continue;
            }
        };
        let Some(thing) = entry.fact.thing() else { continue };
        let replaced = entry.fact.replaces();
        let held = folded
            .things
            .entry(thing.clone())
            .or_insert_with(|| Held { first: place, versions: Vec::new() });
        if !replaced.is_empty() {
            if replaced.iter().any(|id| seen.get(id) != Some(&thing)) {
                folded.unanswered.push(entry.id);
            }
            let replaced: BTreeSet<EntryId> = replaced.iter().copied().collect();
            held.versions.retain(|version| !replaced.contains(&version.entry));
        }
        held.versions.push(Version {
            place,
            entry: entry.id,
            author: entry.author.as_ref(),
            device: &entry.device,
            device_time: entry.device_time,
            content,
            reason: entry.fact.reason(),
        });
        seen.insert(entry.id, thing);
    }
    folded
}

impl<'a> Folded<'a> {
    /// Things on which people differ, in order. How a readable file looked is nothing to
    /// differ on.
    pub fn clashes(&self) -> impl Iterator<Item = (&Thing, &Held<'a>)> {
        let differ = |(thing, held): &(&Thing, &Held<'a>)| {
            held.state() == State::Clash && !thing.is_form_only()
        };
        self.things.iter().filter(differ)
    }

    /// Things of these kinds that count, as a readable file lists them: as its last
    /// order says, then by first mention.
    #[must_use]
    pub fn listed(&self, file: &str, kinds: &[ThingKind]) -> Vec<(&Thing, &Version<'a>)> {
        let mut listed: Vec<(u64, &Thing, &Version<'a>)> = self
            .things
            .iter()
            .filter(|(thing, _)| kinds.contains(&thing.kind()))
            .filter_map(|(thing, held)| Some((held.first, thing, held.shown()?)))
            .collect();
        listed.sort_by_key(|(first, thing, _)| (*first, *thing));
        let order = self.order(file);
        let place_of = |thing: &Thing| order.get(&thing.to_string()).copied().unwrap_or(usize::MAX);
        listed.sort_by_key(|(_, thing, _)| place_of(thing));
        listed.into_iter().map(|(_, thing, version)| (thing, version)).collect()
    }

    fn order(&self, file: &str) -> BTreeMap<String, usize> {
        let shown = Thing::named(ThingKind::Order, file)
            .and_then(|thing| self.things.get(&thing))
            .and_then(Held::shown)
            .map(|version| version.content);
        let Some(Content::Value(Value::Array(names))) = shown else { return BTreeMap::new() };
        let names = names.iter().filter_map(Value::as_str);
        names.enumerate().map(|(at, name)| (name.to_owned(), at)).collect()
    }

    /// The file shown under a name.
    #[must_use]
    pub fn file(&self, thing: &Thing) -> Option<(FileHash, u64)> {
        match self.things.get(thing)?.shown()?.content {
            Content::File { hash, bytes } => Some((hash, bytes)),
            Content::Value(_) | Content::Withdrawn => None,
        }
    }
}
