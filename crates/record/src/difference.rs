//! What a job folder says that the record does not say yet.
//!
//! A folder that was edited by hand comes in as entries: new things are stated,
//! changed ones corrected, missing ones withdrawn. Their ids follow from what they
//! say, so that the same folder read again adds nothing.

use std::collections::{BTreeMap, BTreeSet};

use super::Value;
use super::entry::{Entry, Fact, Name, Reason, Replaced};
use super::file::{FileHash, FileName};
use super::fold::{Folded, Held};
use super::id::{EntryId, JobId};
use super::thing::{Thing, ThingKind};

/// Where a folder's statements come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// A folder that carries no record of its own.
    BareFolder,
    /// A folder that carries its record, edited by hand since.
    EditedFolder,
}

impl Origin {
    /// The device that such entries name.
    #[must_use]
    pub fn device(self) -> &'static str {
        match self {
            Self::BareFolder => "job folder",
            Self::EditedFolder => "edited job folder",
        }
    }
}

/// What one readable file says, thing by thing in its order.
#[derive(Debug, Clone, PartialEq)]
pub struct Listing {
    /// The file.
    pub file: FileName,
    /// Its things.
    pub things: Vec<(Thing, Value)>,
}

/// What a whole folder says.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Shown {
    /// Its readable files.
    pub listings: Vec<Listing>,
    /// All its files, the readable ones too.
    pub files: Vec<(FileName, FileHash, u64)>,
}

/// Who brings the folder and why it differs.
#[derive(Debug, Clone)]
pub struct Edit {
    /// The job.
    pub job: JobId,
    /// Where it comes from.
    pub origin: Origin,
    /// Who, where somebody says so.
    pub author: Option<Name>,
    /// Why things differ.
    pub reason: Reason,
}

/// The entries that make the record say what the folder says. `before` is what the
/// folder showed when it was written from `base`: only what differs from it was edited.
#[must_use]
pub fn difference(edit: &Edit, base: &Folded<'_>, before: &Shown, now: &Shown) -> Vec<Entry> {
    let mut facts = Vec::new();
    for listing in &now.listings {
        let was = before.listings.iter().find(|was| was.file == listing.file);
        let was: &[(Thing, Value)] = was.map_or(&[], |was| &was.things);
        let values: BTreeMap<&Thing, &Value> = was.iter().map(|(t, v)| (t, v)).collect();
        for (thing, value) in &listing.things {
            if values.get(thing) != Some(&value) {
                facts.extend(said(edit, base, thing, value));
            }
        }
        if !keeps_order(base, was, &listing.things) {
            let names = listing.things.iter().map(|(thing, _)| Value::from(thing.to_string()));
            let order = Thing::named(ThingKind::Order, listing.file.as_str());
            let names = Value::Array(names.collect());
            facts.extend(order.and_then(|order| said(edit, base, &order, &names)));
        }
    }
    for (name, hash, bytes) in &now.files {
        if before.files.iter().any(|was| was == &(name.clone(), *hash, *bytes)) {
            continue;
        }
        let held = base.things.get(&Thing::file(name));
        let replaces = held.map(Held::entries).unwrap_or_default();
        let (name, hash, bytes) = (name.clone(), *hash, *bytes);
        facts.push(Fact::Attached { name, hash, bytes, replaces });
    }
    let kept: BTreeSet<Thing> = things(now).collect();
    for thing in things(before).filter(|thing| !kept.contains(thing)) {
        let replaces = base.things.get(&thing).map(Held::entries).and_then(Replaced::new);
        if let Some(replaces) = replaces {
            facts.push(Fact::Withdrawn { thing, replaces, reason: edit.reason.clone() });
        }
    }
    facts.into_iter().filter_map(|fact| entry(edit, fact)).collect()
}

fn things(shown: &Shown) -> impl Iterator<Item = Thing> {
    let listed = shown.listings.iter().flat_map(|l| l.things.iter().map(|(t, _)| t.clone()));
    listed.chain(shown.files.iter().map(|(name, ..)| Thing::file(name)))
}

fn said(edit: &Edit, base: &Folded<'_>, thing: &Thing, value: &Value) -> Option<Fact> {
    let (thing, value) = (thing.clone(), value.clone());
    let Some(held) = base.things.get(&thing) else {
        return Some(Fact::Stated { thing, value });
    };
    let replaces = Replaced::new(held.entries())?;
    Some(Fact::Corrected { thing, value, replaces, reason: edit.reason.clone() })
}

/// Whether things of every kind stand as the record lists them by itself: those that
/// were there in their order, after them those that it never heard of. Tables of a file
/// have no order.
fn keeps_order(base: &Folded<'_>, was: &[(Thing, Value)], now: &[(Thing, Value)]) -> bool {
    let kinds: BTreeSet<ThingKind> = now.iter().map(|(thing, _)| thing.kind()).collect();
    kinds.into_iter().filter(|kind| Thing::alone(*kind).is_none()).all(|kind| {
        let of_kind = |things: &'_ [(Thing, Value)]| -> Vec<Thing> {
            things.iter().map(|(t, _)| t).filter(|t| t.kind() == kind).cloned().collect()
        };
        let (was, now) = (of_kind(was), of_kind(now));
        let (stay, there): (BTreeSet<&Thing>, BTreeSet<&Thing>) =
            (now.iter().collect(), was.iter().collect());
        let known_before =
            |thing: &&Thing| !there.contains(thing) && base.things.contains_key(*thing);
        if now.iter().any(|thing| known_before(&thing)) {
            return false;
        }
        let known = was.iter().filter(|thing| stay.contains(thing));
        let new = now.iter().filter(|thing| !there.contains(thing));
        known.chain(new).eq(now.iter())
    })
}

/// An entry whose id follows from what it changes: neither who says it nor why is in it,
/// so that the same edit brought twice is one entry.
fn entry(edit: &Edit, fact: Fact) -> Option<Entry> {
    let (word, thing, content, replaces) = match &fact {
        Fact::Stated { thing, value } => ("stated", thing.to_string(), value.clone(), &[][..]),
        Fact::Corrected { thing, value, replaces, .. } => {
            ("corrected", thing.to_string(), value.clone(), replaces.ids())
        }
        Fact::Withdrawn { thing, replaces, .. } => {
            ("withdrawn", thing.to_string(), Value::Null, replaces.ids())
        }
        Fact::Attached { name, hash, replaces, .. } => {
            ("attached", name.to_string(), Value::from(hash.to_string()), replaces.as_slice())
        }
        Fact::Erased { .. } | Fact::Issued(_) => return None,
    };
    let said = serde_json::to_vec(&(edit.origin.device(), word, thing, content, replaces)).ok()?;
    let mut hasher = blake3::Hasher::new();
    hasher.update(b"tooth folder entry 1\n").update(edit.job.as_bytes()).update(&said);
    let id = EntryId::from_content(&hasher.finalize());
    Some(Entry::new(id, edit.author.clone(), Name::new(edit.origin.device())?, None, fact))
}
