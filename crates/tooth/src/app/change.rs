//! Settling, withdrawing, erasing, and the history of things.

use std::collections::BTreeSet;
use std::path::Path;

use tooth_job::record::{
    Content, EntryId, Fact, FileHash, FileName, Held, JobId, Replaced, State, Thing, ThingKind,
};
use tooth_storage::RecordStore as _;

use super::{Act, App, JobRef, Record, Refusal};
use crate::output::{Changed, History, HistoryEntry};

impl App {
    async fn recorded(&self, job: &Path) -> Result<Record, Refusal> {
        match self.find(job).await? {
            JobRef::Recorded(id) => self.known_record(id).await,
            JobRef::Folder(_) => Err(Refusal::typed(
                "JOB",
                "a job of the record (see tooth jobs; tooth import brings a folder in)",
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
        let record = self.recorded(job).await?;
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

    async fn change(&self, job: JobId, act: &Act, fact: Fact) -> Result<Changed, Refusal> {
        let thing = fact.thing();
        let receipt = self.state(job, Some(act.by.clone()), vec![fact]).await?;
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
        act: Act,
    ) -> Result<Changed, Refusal> {
        let record = self.recorded(job).await?;
        let folded = record.folded();
        let held = folded.things.get(thing).ok_or_else(|| no_such(thing))?;
        if held.state() != State::Clash {
            return Err(Refusal::typed(
                "THING",
                "a thing with two unsettled versions",
                thing.words(),
            ));
        }
        let kept = held
            .versions
            .iter()
            .find(|version| version.place.to_string() == keep || version.entry.to_string() == keep);
        let Some(kept) = kept else {
            let places: Vec<String> = held.versions.iter().map(|v| v.place.to_string()).collect();
            let expected = format!("the place of one of its versions ({})", places.join(", "));
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
        self.change(record.job, &act, fact).await
    }

    /// Withdraws a thing: it no longer counts, and stays in the record.
    pub(crate) async fn withdraw(
        &self,
        job: &Path,
        thing: &Thing,
        act: Act,
    ) -> Result<Changed, Refusal> {
        let record = self.recorded(job).await?;
        let folded = record.folded();
        let held = folded.things.get(thing).ok_or_else(|| no_such(thing))?;
        if held.state() == State::Withdrawn {
            return Err(Refusal::typed(
                "THING",
                "a thing that counts",
                format!("{}, withdrawn before", thing.words()),
            ));
        }
        let fact = Fact::Withdrawn {
            thing: thing.clone(),
            replaces: replaced(held)?,
            reason: act.reason.clone(),
        };
        self.change(record.job, &act, fact).await
    }

    /// Destroys the bytes of withdrawn files of a name. Their hashes, the entries and the
    /// reason stay.
    pub(crate) async fn erase(
        &self,
        job: &Path,
        name: &FileName,
        act: Act,
    ) -> Result<Vec<Changed>, Refusal> {
        let record = self.recorded(job).await?;
        let thing = Thing::file(name);
        let folded = record.folded();
        let held = folded.things.get(&thing).ok_or_else(|| no_such(&thing))?;
        if held.state() != State::Withdrawn {
            return Err(Refusal::typed(
                "FILE",
                "a withdrawn file (tooth withdraw comes first)",
                format!("{name}, which counts"),
            ));
        }
        let hashes: BTreeSet<FileHash> = record
            .entries
            .iter()
            .filter(|entry| entry.fact.thing().as_ref() == Some(&thing))
            .flat_map(|entry| entry.fact.files())
            .map(|(hash, _)| hash)
            .collect();
        self.refuse_where_shown(&hashes).await?;
        let mut changed = Vec::new();
        for hash in hashes {
            if !folded.erased.contains_key(&hash) {
                let fact = Fact::Erased { hash, reason: act.reason.clone() };
                changed.push(self.change(record.job, &act, fact).await?);
            }
            // The entry is safe before the bytes go.
            self.storage().await?.files().destroy(hash).await?;
        }
        Ok(changed)
    }

    /// Bytes that any job still shows, under whatever name, are not destroyed.
    async fn refuse_where_shown(&self, hashes: &BTreeSet<FileHash>) -> Result<(), Refusal> {
        for head in self.storage().await?.records().jobs().await? {
            let record = self.record(head.job).await?;
            let folded = record.folded();
            for thing in folded.things.keys().filter(|thing| thing.kind() == ThingKind::File) {
                if folded.file(thing).is_some_and(|(hash, _)| hashes.contains(&hash)) {
                    let found = format!("the same bytes as {} of job {}", thing.name(), head.job);
                    return Err(Refusal::typed("FILE", "a file that no job shows any more", found));
                }
            }
        }
        Ok(())
    }
}

fn no_such(thing: &Thing) -> Refusal {
    Refusal::typed("THING", "a thing of the job (tooth history lists them)", thing.to_string())
}

fn replaced(held: &Held<'_>) -> Result<Replaced, Refusal> {
    Replaced::new(held.entries()).ok_or_else(|| Refusal::Ours("too many versions".to_owned()))
}
