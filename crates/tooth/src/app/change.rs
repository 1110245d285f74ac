//! Settling, withdrawing, erasing, and the history of things.

use std::collections::BTreeSet;
use std::path::Path;
use tooth_measure::say::{Joint, listed, said};

use tooth_formats::{COMMAND_LINE, Fault, Severity};
use tooth_record::chain::Placed;
use tooth_record::{
    Content, Entry, EntryId, Fact, FileHash, FileName, Folded, Held, JobId, Name, Replaced, State,
    Thing, ThingKind, Value,
};
use tooth_storage::RecordStore as _;

use super::{Act, App, JobRef, Record, Refusal, now};
use crate::output::{Changed, Erased, History, HistoryEntry, StillShown};

impl App {
    async fn recorded(&self, job: &Path) -> Result<Record, Refusal> {
        match self.find(job).await? {
            JobRef::Recorded(id) => self.known_record(id).await,
            JobRef::Folder(_) => Err(Refusal::typed(
                "JOB",
                said!("app-a-job-of-the-record-see-tooth"),
                job.display().to_string(),
            )),
        }
    }

    /// Every entry of a job, or those of one thing, in order.
    pub(crate) async fn history(
        &self,
        job: &Path,
        thing: Option<&Thing>,
    ) -> Result<History, Refusal> {
        let record = match self.find(job).await? {
            // To look at, whatever its links say.
            JobRef::Recorded(id) => self.known_as_is(id).await?,
            JobRef::Folder(_) => self.recorded(job).await?,
        };
        history(&record, thing)
    }

    /// The same of a job of the record.
    pub(crate) async fn history_of(
        &self,
        job: JobId,
        thing: Option<&Thing>,
    ) -> Result<History, Refusal> {
        history(&self.known_record(job).await?, thing)
    }

    async fn change(&self, job: JobId, act: &Act, fact: Fact) -> Result<Changed, Refusal> {
        self.changes(job, act, vec![fact]).await
    }

    async fn changes(&self, job: JobId, act: &Act, facts: Vec<Fact>) -> Result<Changed, Refusal> {
        let thing = facts.first().and_then(Fact::thing);
        let receipt = self.state(job, Some(act.by.clone()), facts).await?;
        let head = receipt.head.map(|head| head.short());
        let entry = receipt.outcomes.first().map(|(id, _)| *id);
        Ok(Changed { job, thing, entry, head })
    }

    /// Settles a clash: one version is kept, the others no longer count.
    pub(crate) async fn settle(
        &self,
        job: &Path,
        thing: &Thing,
        keep: &str,
        other_as: Option<&str>,
        act: Act,
    ) -> Result<Changed, Refusal> {
        let record = self.recorded(job).await?;
        let folded = record.folded();
        let held = folded.things.get(thing).ok_or_else(|| no_such(thing))?;
        if held.state() != State::Clash {
            return Err(Refusal::typed(
                "THING",
                said!("app-a-thing-with-two-unsettled-versions"),
                thing.said(),
            ));
        }
        let kept = held
            .versions
            .iter()
            .find(|version| version.place.to_string() == keep || version.entry.to_string() == keep);
        let Some(kept) = kept else {
            let places: Vec<String> = held.versions.iter().map(|v| v.place.to_string()).collect();
            let expected = said!(
                "app-the-place-of-one-of-its-versions",
                places = listed(Joint::Comma, places)
            );
            return Err(Refusal::typed("--keep", expected, keep));
        };
        let replaces = replaced(held)?;
        let fact = match kept.content {
            Content::Value(value) => Fact::Corrected {
                thing: thing.clone(),
                value: value.clone(),
                replaces,
                reason: act.reason.clone(),
            },
            Content::Withdrawn => {
                Fact::Withdrawn { thing: thing.clone(), replaces, reason: act.reason.clone() }
            }
            Content::File { hash, bytes } => {
                let name = FileName::new(thing.name()).ok_or_else(|| no_such(thing))?;
                Fact::Attached { name, hash, bytes, replaces: replaces.into() }
            }
        };
        let mut facts = vec![fact];
        if let Some(name) = other_as {
            facts.push(restated(&folded, held, thing, kept.entry, name)?);
        }
        self.changes(record.job, &act, facts).await
    }

    /// Withdraws a thing: it no longer counts, and stays in the record.
    pub(crate) async fn withdraw(
        &self,
        job: &Path,
        thing: &Thing,
        anyway: bool,
        act: Act,
    ) -> Result<Changed, Refusal> {
        let record = self.recorded(job).await?;
        let folded = record.folded();
        let held = folded.things.get(thing).ok_or_else(|| no_such(thing))?;
        if held.state() == State::Withdrawn {
            return Err(Refusal::typed(
                "THING",
                said!("app-a-thing-that-counts"),
                said!("withdrawn-before", thing = thing.said()),
            ));
        }
        let fact = Fact::Withdrawn {
            thing: thing.clone(),
            replaces: replaced(held)?,
            reason: act.reason.clone(),
        };
        if !anyway {
            self.refuse_unreadable_after(&record, &fact).await?;
        }
        self.change(record.job, &act, fact).await
    }

    /// A job that can be read must not become one that cannot, unless somebody means it.
    async fn refuse_unreadable_after(&self, record: &Record, fact: &Fact) -> Result<(), Refusal> {
        let Some(device) = Name::new(super::issue::DEVICE) else { return Ok(()) };
        let entry = Entry::new(EntryId::from_bytes([0xff; 16]), None, device, None, fact.clone());
        let mut after = record.clone();
        let placed = Placed {
            place: record.placed.len() as u64 + 1,
            received: now(),
            link: record.head().link,
            bytes: Vec::new(),
        };
        after.placed.push(placed);
        after.entries.push(entry);
        let Err(Refusal::Input(faults)) = self.read_folded(after, None).await else {
            return Ok(());
        };
        if self.read_folded(record.clone(), None).await.is_err() {
            return Ok(());
        }
        let mut all = vec![Fault::new(
            COMMAND_LINE,
            None,
            "THING",
            said!("app-something-that-the-job-can-be-read"),
            said!("app-without-it-the-job-has-these-faults"),
        )];
        all.extend(faults.into_iter().filter(|fault| fault.severity == Severity::Fault));
        Err(Refusal::Input(all))
    }

    /// Destroys the bytes of withdrawn files of a name, or of its earlier versions. Their
    /// hashes, the entries and the reason stay. With `documents`, issued documents that
    /// show it go too.
    pub(crate) async fn erase(
        &self,
        job: &Path,
        name: &FileName,
        documents: bool,
        act: Act,
    ) -> Result<Erased, Refusal> {
        let record = self.recorded(job).await?;
        let thing = Thing::file(name);
        let ever: BTreeSet<FileHash> = record
            .entries
            .iter()
            .filter(|entry| entry.fact.thing().as_ref() == Some(&thing))
            .flat_map(|entry| entry.fact.files())
            .map(|(hash, _)| hash)
            .collect();
        if ever.is_empty() {
            return Err(no_such(&thing));
        }
        let jobs = self.every_record().await?;
        let mut shown_by = None;
        let mut gone = ever.clone();
        for other in &jobs {
            let folded = other.folded();
            for thing in folded.things.keys().filter(|thing| thing.kind() == ThingKind::File) {
                if let Some((hash, _)) = folded.file(thing)
                    && gone.remove(&hash)
                {
                    shown_by = Some((other.job, thing.clone()));
                }
            }
        }
        if let (true, Some((job, thing))) = (gone.is_empty(), shown_by) {
            return Err(Refusal::typed(
                "FILE",
                said!(
                    "app-a-file-that-no-job-shows-any",
                    job = job.to_string(),
                    thing = thing.to_string()
                ),
                said!("app-of-job-which-counts", name = thing.name(), job = job.to_string()),
            ));
        }
        let mut still_shown_in = Vec::new();
        for other in &jobs {
            for (number, placed) in (1..).zip(&other.folded().issues) {
                let then = other.folded_to(placed.issue.entries);
                let shows = then.things.keys().any(|thing| {
                    thing.kind() == ThingKind::File
                        && then.file(thing).is_some_and(|(hash, _)| gone.contains(&hash))
                });
                let embedding =
                    placed.issue.documents.iter().filter(|d| d.name.as_str().ends_with(".pdf"));
                for document in embedding.filter(|_| shows) {
                    still_shown_in.push((other.job, number, document.name.clone(), document.hash));
                }
            }
        }
        if documents {
            gone.extend(still_shown_in.drain(..).map(|(.., hash)| hash));
        }
        let mut entries = Vec::new();
        for other in &jobs {
            let erased = other.folded().erased;
            let names: BTreeSet<FileHash> =
                other.entries.iter().flat_map(|entry| entry.fact.files()).map(|(h, _)| h).collect();
            for hash in gone.iter().filter(|h| names.contains(h) && !erased.contains_key(h)) {
                let fact = Fact::Erased { hash: *hash, reason: act.reason.clone() };
                entries.push(self.change(other.job, &act, fact).await?);
            }
        }
        // The entries are safe before the bytes go.
        for hash in &gone {
            self.storage().await?.files().destroy(*hash).await?;
        }
        let still_shown_in = still_shown_in
            .into_iter()
            .map(|(job, issue, file, _)| StillShown { job, issue, file: file.to_string() })
            .collect();
        Ok(Erased { entries, still_shown_in })
    }

    async fn every_record(&self) -> Result<Vec<Record>, Refusal> {
        let mut all = Vec::new();
        for head in self.storage().await?.records().jobs().await? {
            all.push(self.record(head.job).await?);
        }
        Ok(all)
    }
}

fn no_such(thing: &Thing) -> Refusal {
    Refusal::typed("THING", said!("app-a-thing-of-the-job-tooth-history"), thing.to_string())
}

/// The one other version of a clash, stated under a name of its own: two tests that got
/// one number.
fn restated(
    folded: &Folded<'_>,
    held: &Held<'_>,
    thing: &Thing,
    kept: EntryId,
    name: &str,
) -> Result<Fact, Refusal> {
    let others: Vec<&Value> = held
        .versions
        .iter()
        .filter(|version| version.entry != kept)
        .filter_map(|version| match version.content {
            Content::Value(value) => Some(value),
            Content::File { .. } | Content::Withdrawn => None,
        })
        .collect();
    let [other] = others.as_slice() else {
        let found = said!("app-other-versions-with-a-value", count = others.len());
        return Err(Refusal::typed("--other-as", said!("app-one-other-version"), found));
    };
    let new = Thing::named(thing.kind(), name).filter(|new| !folded.things.contains_key(new));
    let new = new.ok_or_else(|| {
        Refusal::typed("--other-as", said!("app-a-name-that-nothing-has-yet"), name)
    })?;
    Ok(Fact::Stated { thing: new, value: (*other).clone() })
}

fn replaced(held: &Held<'_>) -> Result<Replaced, Refusal> {
    Replaced::new(held.entries()).ok_or_else(|| Refusal::Ours(said!("app-too-many-versions")))
}

fn history(record: &Record, thing: Option<&Thing>) -> Result<History, Refusal> {
    let folded = record.folded();
    let counting: BTreeSet<EntryId> = folded.things.values().flat_map(Held::entries).collect();
    let entries: Vec<HistoryEntry> = record
        .placed
        .iter()
        .zip(&record.entries)
        .filter(|(_, entry)| thing.is_none() || entry.fact.thing().as_ref() == thing)
        .map(|(placed, entry)| HistoryEntry {
            place: placed.place,
            received: placed.received,
            counts: entry.fact.thing().is_none() || counting.contains(&entry.id),
            entry: entry.clone(),
        })
        .collect();
    if let Some(thing) = thing.filter(|_| entries.is_empty()) {
        return Err(no_such(thing));
    }
    let clashes = folded.clashes().map(|(thing, _)| thing.clone()).collect();
    Ok(History {
        job: record.job,
        name: super::record::name_of(&folded),
        head: record.head(),
        key: record.key,
        clashes,
        entries,
    })
}
