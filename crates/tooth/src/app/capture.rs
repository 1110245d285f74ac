//! A job while it is surveyed: what devices send, and what the record then holds.

use tooth_formats::job_folder::{self, Recorded, View};
use tooth_formats::record::RECORD;
use tooth_formats::{Fault, limits};
use tooth_measure::say::{Said, said};
use tooth_record::{
    Content, EntryId, Fact, FileHash, FileName, Held, JobId, State, Thing, Value, Version,
};
use tooth_storage::{Admission, Incoming, Outcome, RecordStore as _, Sealed, StorageError};

use super::{App, Record, Refusal, computed, now};
use crate::output::FaultOut;
use crate::output_capture::{
    FileHeld, Pushed, Sent, SentOutcome, StateOut, ThingFault, ThingHeld, Things, VersionHeld,
};

/// Most bytes of a file that a device sends: those of the largest photograph that is read.
pub(crate) const FILE_BYTES: u64 = limits::PHOTO_BYTES;

/// Bytes of an entry as a device sent them, with the number of their line.
pub(crate) type Line = (u32, Vec<u8>);

impl App {
    /// Takes in entries of a job, each that is one; the first makes the job. Acknowledged is
    /// what is durably there.
    ///
    /// Where no line is an entry, every fault is given and nothing else.
    pub(crate) async fn push(&self, job: JobId, lines: Vec<Line>) -> Result<Pushed, Refusal> {
        let read = computed(move || lines.into_iter().map(read_line).collect::<Vec<_>>()).await;
        if read.iter().all(|(.., entry)| entry.is_err()) {
            let faults = read.into_iter().filter_map(|(line, _, entry)| {
                let (expected, found) = entry.err()?;
                Some(Fault::new(RECORD, Some(line), "", expected, found))
            });
            return Err(Refusal::Input(faults.collect()));
        }
        let mut outcomes = Vec::with_capacity(read.len());
        let mut batch = Vec::new();
        for (line, id, entry) in read {
            let refused = match entry {
                Err((expected, found)) => {
                    Some(said!("expected-and-found", expected = expected, found = found))
                }
                Ok(sealed) => match self.unfit(&sealed.entry.fact).await? {
                    None => {
                        batch.push(sealed);
                        None
                    }
                    why => why,
                },
            };
            outcomes.push((line, id, refused));
        }
        let storage = self.storage_made().await?;
        let receipt = storage.append(job, batch, now(), Admission::Each).await?;
        let mut placed = receipt.outcomes.into_iter();
        let outcomes = outcomes.into_iter().map(|(line, id, refused)| {
            let outcome = match refused {
                Some(why) => Some(Outcome::Refused(why)),
                None => placed.next().map(|(_, outcome)| outcome),
            };
            sent(line, id, outcome)
        });
        Ok(Pushed { outcomes: outcomes.collect(), head: receipt.head.map(|head| head.short()) })
    }

    /// Why an entry does not come in from a device, if it does not.
    async fn unfit(&self, fact: &Fact) -> Result<Option<Said>, Refusal> {
        let (name, hash) = match fact {
            Fact::Issued(_) | Fact::Erased { .. } => {
                return Ok(Some(said!("app-issued-and-erased-where-the-record-is")));
            }
            Fact::Attached { name, hash, .. } => (name, *hash),
            Fact::Stated { .. } | Fact::Corrected { .. } | Fact::Withdrawn { .. } => {
                return Ok(None);
            }
        };
        let Some(photo) = name.as_str().strip_prefix("photos/").map(str::to_owned) else {
            return Ok(None);
        };
        if !name_of_picture(&photo) {
            return Ok(None);
        }
        // The documents show it: it is looked at when it comes in, and never again.
        let bytes = match self.storage_made().await?.files().get(hash).await {
            Ok(bytes) => bytes,
            // The storage says what is to be done about it.
            Err(StorageError::FileMissing(_) | StorageError::FileAltered(_)) => return Ok(None),
            Err(error) => return Err(error.into()),
        };
        let refused = computed(move || job_folder::refused_photo(&photo, &bytes)).await;
        Ok(refused.map(|(expected, found)| {
            said!("expected-and-found", expected = expected, found = found)
        }))
    }

    /// Begins to take in a file, before the entry that attaches it; none where it was erased
    /// from the job on purpose.
    pub(crate) async fn file_begun(
        &self,
        job: JobId,
        hash: FileHash,
    ) -> Result<Option<Incoming>, Refusal> {
        let storage = self.storage_made().await?;
        if storage.records().erased(job).await?.contains(&hash) {
            return Ok(None);
        }
        Ok(Some(storage.files().begin(hash).await?))
    }

    /// A file that counts in a job, with its name there; none of that hash.
    pub(crate) async fn attached(
        &self,
        job: JobId,
        hash: FileHash,
    ) -> Result<Option<(FileName, Vec<u8>)>, Refusal> {
        let record = self.known_record(job).await?;
        let is_it = |version: &Version<'_>| match version.content {
            Content::File { hash: known, .. } => known == hash,
            Content::Value(_) | Content::Withdrawn => false,
        };
        let name = {
            let folded = record.folded();
            let found = folded.things.iter().find(|(_, held)| held.versions.iter().any(is_it));
            found.and_then(|(thing, _)| FileName::new(thing.name()))
        };
        match name {
            Some(name) => Ok(Some((name, self.storage().await?.files().get(hash).await?))),
            None => Ok(None),
        }
    }

    /// Everything that the record holds of a job, and what its readers say to it. Nothing is
    /// assessed or planned.
    pub(crate) async fn things(&self, job: JobId) -> Result<Things, Refusal> {
        let record = self.known_record(job).await?;
        let view = self.view(&record.folded()).await?;
        Ok(computed(move || {
            let folded = record.folded();
            let mut held: Vec<(&Thing, &Held<'_>)> =
                folded.things.iter().filter(|(thing, _)| !thing.is_form_only()).collect();
            held.sort_by_key(|(_, held)| held.first);
            Things {
                job,
                name: super::record::name_of(&folded),
                entries: record.placed.len() as u64,
                things: held.into_iter().filter_map(|(t, held)| shown(&record, t, held)).collect(),
                faults: faults(view),
            }
        })
        .await)
    }
}

/// What is looked at as a picture: everything in the folder of photographs but words about them.
fn name_of_picture(file: &str) -> bool {
    let end = file.rsplit_once('.').map(|(_, end)| end.to_lowercase());
    !matches!(end.as_deref(), Some("md" | "txt"))
}

type ReadLine = (u32, Option<EntryId>, Result<Sealed, (Said, Said)>);

fn read_line((line, bytes): Line) -> ReadLine {
    // What is no entry may still say which one it was meant to be.
    let id = |bytes: &[u8]| {
        let value: Value = serde_json::from_slice(bytes).ok()?;
        EntryId::parse(value.get("id")?.as_str()?)
    };
    let told = id(&bytes);
    match Sealed::read(bytes) {
        Ok(sealed) => (line, Some(sealed.entry.id), Ok(sealed)),
        Err(fault) => (line, told, Err((*fault.expected, *fault.found))),
    }
}

fn sent(line: u32, id: Option<EntryId>, outcome: Option<Outcome>) -> Sent {
    let (outcome, place, why) = match outcome {
        Some(Outcome::Placed(place)) => (SentOutcome::Placed, Some(place), None),
        Some(Outcome::Known(place)) => (SentOutcome::Known, Some(place), None),
        Some(Outcome::Refused(why)) => (SentOutcome::Refused, None, Some(why)),
        None => (SentOutcome::Refused, None, None),
    };
    Sent { line, id, outcome, place, why }
}

fn said_by(content: Content<'_>) -> (Option<Value>, Option<FileHeld>) {
    match content {
        Content::Value(value) => (Some(value.clone()), None),
        Content::File { hash, bytes } => (None, Some(FileHeld { hash, bytes })),
        Content::Withdrawn => (None, None),
    }
}

fn shown(record: &Record, thing: &Thing, held: &Held<'_>) -> Option<ThingHeld> {
    let received = |version: &Version<'_>| {
        let at = usize::try_from(version.place).ok()?.checked_sub(1)?;
        record.placed.get(at).map(|placed| placed.received)
    };
    let state = match held.state() {
        State::Settled => StateOut::Counts,
        State::Clash => StateOut::Clash,
        State::Withdrawn => StateOut::Withdrawn,
    };
    let version = held.shown().or(held.versions.last())?;
    let (value, file) = said_by(version.content);
    let differing = if state == StateOut::Clash { held.versions.as_slice() } else { &[] };
    let versions = differing.iter().filter_map(|version| {
        let (value, file) = said_by(version.content);
        Some(VersionHeld {
            entry: version.entry,
            place: version.place,
            value,
            file,
            author: version.author.cloned(),
            device: version.device.clone(),
            device_time: version.device_time,
            received: received(version)?,
            reason: version.reason.cloned(),
        })
    });
    Some(ThingHeld {
        thing: thing.clone(),
        state,
        value,
        file,
        entries: held.entries(),
        author: version.author.cloned(),
        device: version.device.clone(),
        device_time: version.device_time,
        received: received(version)?,
        versions: versions.collect(),
    })
}

/// What the readers say to a view, recordings and scans left out.
fn faults(view: View) -> Vec<ThingFault> {
    let places = view.places();
    let others = view.shown.files.into_iter();
    let others = others.map(|(name, hash, bytes)| (name, (hash, bytes))).collect();
    let files = Recorded { readable: view.readable, others, ..Recorded::default() };
    let found = match job_folder::read_recorded(&files) {
        Ok(folder) => folder.warnings,
        Err(faults) => faults,
    };
    let told = found.iter().map(|fault| {
        let (thing, within) = places.thing_of(fault).unzip();
        let (within, severity) = (within.unwrap_or_default(), fault.severity.into());
        ThingFault { thing, within, severity, fault: FaultOut::from(fault) }
    });
    told.collect()
}
