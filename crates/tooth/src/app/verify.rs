//! Was anything changed, and what can be said of it.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use tooth_measure::say::{Said, said};

use tooth_formats::job_folder::view;
use tooth_formats::record::{self, file_place};
use tooth_record::chain::{Placed, Trust, TrustedHead, Verdict, verify};
use tooth_record::{Entry, EntryId, Fact, FileHash, Folded, JobId, fold};
use tooth_storage::{FileState, Files, RecordStore as _, StorageError};

use super::record::name_of;
use super::{App, JobRef, Refusal, Trusted};
use crate::output::{AlteredEntry, FileFault, JobVerified, Verified};

/// What an entry is about, for a person.
pub(super) fn said_of(entry: &Entry) -> Said {
    let thing = match (&entry.fact, entry.fact.thing()) {
        (_, Some(thing)) => thing.said(),
        (Fact::Erased { .. }, None) => said!("an-erased-file"),
        (_, None) => said!("documents-issued"),
    };
    let fact = entry.fact.said();
    match &entry.author {
        Some(author) => {
            said!("entry-by", thing = thing, fact = fact, author = author.to_string())
        }
        None => said!("entry-of-nobody", thing = thing, fact = fact),
    }
}

fn job_verified(
    job: JobId,
    verdict: Verdict,
    placed: &[Option<Entry>],
    files: Vec<FileFault>,
) -> JobVerified {
    let name = {
        let entries: Vec<&Entry> = placed.iter().flatten().collect();
        name_of(&fold((1..).zip(entries)))
    };
    let altered = verdict
        .alterations
        .iter()
        .map(|alteration| AlteredEntry {
            place: alteration.place,
            wrong: alteration.wrong,
            words: alteration.wrong.said(),
            entry: usize::try_from(alteration.place)
                .ok()
                .and_then(|place| placed.get(place.checked_sub(1)?)?.as_ref())
                .map(said_of),
        })
        .collect();
    JobVerified {
        job,
        name,
        entries: verdict.entries,
        heads: verdict.heads,
        head: verdict.head,
        altered,
        files,
        edited: Vec::new(),
        proven_entries: verdict.proven_entries,
        proven_elsewhere: Vec::new(),
        not_proven: verdict.not_proven,
    }
}

impl App {
    /// Checks the whole record, one job of it, or a folder that carries its record.
    pub(crate) async fn verify(
        &self,
        job: Option<&Path>,
        trusted: Trusted,
    ) -> Result<Verified, Refusal> {
        let trust = Trust { heads: trusted.heads, keys: trusted.keys };
        match job {
            None => {
                if !trust.heads.is_empty() {
                    return Err(Refusal::typed(
                        "--head",
                        said!("app-one-job-that-the-head-belongs"),
                        said!("none"),
                    ));
                }
                self.verify_record(None, &trust).await
            }
            Some(path) => match self.find(path).await? {
                JobRef::Recorded(id) => self.verify_record(Some(id), &trust).await,
                JobRef::Folder(folder) => verify_folder(&folder, &trust),
            },
        }
    }

    async fn verify_record(&self, job: Option<JobId>, trust: &Trust) -> Result<Verified, Refusal> {
        let mut verified = Verified {
            whole: false,
            not_proven: vec![said!("app-whether-whole-jobs-were-taken-out-only")],
            database: Vec::new(),
            jobs: Vec::new(),
        };
        // A database that cannot be read is an answer here, not a failure.
        let note = |verified: &mut Verified, error: StorageError| match error {
            StorageError::Damaged(_) | StorageError::Key(_) | StorageError::Failed(_) => {
                verified.database.push(error.said());
                Ok(())
            }
            other => Err(Refusal::from(other)),
        };
        let storage = match self.maybe_storage().await {
            Ok(Some(storage)) => storage,
            Ok(None) => {
                return Err(Refusal::typed(
                    "--data",
                    said!("app-the-folder-of-a-record-tooth-import"),
                    said!("app-no-record", path = self.data.display().to_string()),
                ));
            }
            Err(error) => {
                note(&mut verified, error)?;
                return Ok(verified);
            }
        };
        match storage.records().audit().await {
            Ok(wrong) => verified.database.extend(wrong),
            Err(error) => note(&mut verified, error)?,
        }
        let jobs = match (job, storage.records().jobs().await) {
            (Some(job), Ok(jobs)) if jobs.iter().all(|known| known.job != job) => {
                return Err(Refusal::typed(
                    "JOB",
                    said!("app-a-job-of-the-record"),
                    format!("`{job}`"),
                ));
            }
            (Some(job), _) => vec![job],
            (None, Ok(jobs)) => jobs.into_iter().map(|head| head.job).collect(),
            (None, Err(error)) => {
                note(&mut verified, error)?;
                Vec::new()
            }
        };
        for job in jobs {
            let (placed, heads) = match storage.records().chain(job).await {
                Ok(chain) => chain,
                Err(error) => {
                    note(&mut verified, error)?;
                    continue;
                }
            };
            let entries: Vec<Option<Entry>> =
                placed.iter().map(|placed| Entry::read(&placed.bytes).ok()).collect();
            let mut evidence = Vec::new();
            for hash in foreign_files(&entries) {
                evidence.extend(storage.files().get(hash).await.ok());
            }
            let (trust, elsewhere) = held_elsewhere(job, &placed, &entries, &evidence, trust);
            let verdict = verify(job, &placed, &heads, Some(storage.key()), &trust);
            let files = file_faults(storage.files(), &entries).await?;
            let mut one = job_verified(job, verdict, &entries, files);
            one.proven_elsewhere = elsewhere;
            verified.jobs.push(one);
        }
        verified.whole =
            verified.database.is_empty() && verified.jobs.iter().all(JobVerified::is_whole);
        Ok(verified)
    }
}

/// Files that keep another installation's order of a job's entries.
fn foreign_files(entries: &[Option<Entry>]) -> Vec<FileHash> {
    let attached = entries.iter().flatten().filter_map(|entry| match &entry.fact {
        Fact::Attached { name, hash, .. } if name.as_str().starts_with("chains/") => Some(*hash),
        _ => None,
    });
    attached.collect()
}

/// Takes trusted heads aside that belong to another installation's order and hold there.
fn held_elsewhere(
    job: JobId,
    placed: &[Placed],
    entries: &[Option<Entry>],
    evidence: &[Vec<u8>],
    trust: &Trust,
) -> (Trust, Vec<TrustedHead>) {
    let bytes: BTreeMap<EntryId, &[u8]> = placed
        .iter()
        .zip(entries)
        .filter_map(|(placed, entry)| Some((entry.as_ref()?.id, placed.bytes.as_slice())))
        .collect();
    let foreign: Vec<_> =
        evidence.iter().filter_map(|file| record::read_foreign(file, &bytes)).collect();
    let own = |head: &TrustedHead| {
        placed.iter().any(|placed| placed.place == head.entries && placed.link == head.link)
    };
    let holds = |head: &TrustedHead| {
        foreign.iter().any(|(placed, heads)| {
            let trust = Trust { heads: vec![*head], keys: Vec::new() };
            verify(job, placed, heads, None, &trust).proven_entries == head.entries
        })
    };
    let (elsewhere, heads): (Vec<_>, Vec<_>) =
        trust.heads.iter().copied().partition(|head| !own(head) && holds(head));
    (Trust { heads, keys: trust.keys.clone() }, elsewhere)
}

fn named(entries: &[Option<Entry>]) -> (Folded<'_>, Vec<FileHash>) {
    let known = entries.iter().flatten();
    let folded = fold((1..).zip(known.clone()));
    let mut hashes: Vec<FileHash> =
        known.flat_map(|entry| entry.fact.files()).map(|(hash, _)| hash).collect();
    hashes.sort_unstable();
    hashes.dedup();
    (folded, hashes)
}

fn file_fault(folded: &Folded<'_>, hash: FileHash, state: FileState) -> Option<FileFault> {
    let erased = folded.erased.contains_key(&hash);
    let what = match state {
        FileState::Whole if erased => said!("app-was-to-be-erased-and-is-still"),
        FileState::Whole => return None,
        FileState::Missing if erased => return None,
        FileState::Missing => said!("app-is-missing"),
        FileState::Altered => said!("app-was-altered"),
    };
    let name =
        folded.things.keys().find(|thing| folded.file(thing).is_some_and(|(h, _)| h == hash));
    Some(FileFault { hash, name: name.map(|thing| thing.name().to_owned()), what })
}

async fn file_faults(files: &Files, entries: &[Option<Entry>]) -> Result<Vec<FileFault>, Refusal> {
    let (folded, hashes) = named(entries);
    let mut faults = Vec::new();
    for hash in hashes {
        faults.extend(file_fault(&folded, hash, files.state(hash).await?));
    }
    Ok(faults)
}

/// A folder by itself: its entries, links, heads and files, and what was edited since.
fn verify_folder(folder: &Path, trust: &Trust) -> Result<Verified, Refusal> {
    if !folder.is_dir() {
        return Err(Refusal::typed(
            "JOB",
            said!("app-a-job-of-the-record-2"),
            folder.display().to_string(),
        ));
    }
    let unreadable = |faults: Vec<tooth_formats::Fault>| Verified {
        database: faults.iter().map(tooth_formats::Fault::said).collect(),
        jobs: Vec::new(),
        not_proven: Vec::new(),
        whole: false,
    };
    let carried = match record::read(folder) {
        Ok(Some(carried)) => carried,
        Ok(None) => {
            return Err(Refusal::typed(
                "JOB",
                said!("app-a-folder-that-carries-its-record-tooth"),
                said!("app-without-record-jsonl", path = folder.display().to_string()),
            ));
        }
        // Lines that cannot be read any more are what was asked for.
        Err(faults) => return Ok(unreadable(faults)),
    };
    let entries: Vec<Option<Entry>> = carried.entries.iter().cloned().map(Some).collect();
    let evidence: Vec<Vec<u8>> = foreign_files(&entries)
        .into_iter()
        .filter_map(|hash| fs::read(folder.join(file_place(hash))).ok())
        .collect();
    let (trust, elsewhere) =
        held_elsewhere(carried.job, &carried.placed, &entries, &evidence, trust);
    let verdict = verify(carried.job, &carried.placed, &carried.heads, None, &trust);
    let (folded, hashes) = named(&entries);
    let bytes = |hash: FileHash| fs::read(folder.join(file_place(hash))).ok();
    let mut files = Vec::new();
    for hash in hashes {
        let state = match bytes(hash) {
            None => FileState::Missing,
            Some(bytes) if FileHash::of(&bytes) == hash => FileState::Whole,
            Some(_) => FileState::Altered,
        };
        files.extend(file_fault(&folded, hash, state));
    }
    let mut job = job_verified(carried.job, verdict, &entries, files);
    job.edited = edited(folder, &folded)?;
    job.proven_elsewhere = elsewhere;
    let whole = job.is_whole();
    Ok(Verified { whole, not_proven: Vec::new(), database: Vec::new(), jobs: vec![job] })
}

/// Readable files and attachments that differ from what the record shows.
fn edited(folder: &Path, folded: &Folded<'_>) -> Result<Vec<String>, Refusal> {
    let whole = |hash: FileHash| {
        fs::read(folder.join(file_place(hash))).ok().filter(|bytes| FileHash::of(bytes) == hash)
    };
    let before = view(folded, &whole);
    let found = record::find(folder).map_err(Refusal::Input)?;
    let mut edited = Vec::new();
    for (name, path) in &found.files {
        let now = fs::read(path).unwrap_or_default();
        let same = if name.is_readable() {
            before.readable.get(name) == Some(&now)
        } else {
            let hash = FileHash::of(&now);
            before.shown.files.iter().any(|(known, h, _)| known == name && *h == hash)
        };
        if !same {
            edited.push(name.to_string());
        }
    }
    let gone = before.readable.keys().chain(before.shown.files.iter().map(|(name, ..)| name));
    for name in gone.filter(|name| !found.files.contains_key(name)) {
        if !edited.contains(&name.to_string()) {
            edited.push(name.to_string());
        }
    }
    edited.sort();
    Ok(edited)
}
