//! A job as the record has it.

use std::collections::BTreeMap;

use tooth_formats::job_folder::{self, Recorded, View, view};
use tooth_measure::say::{Said, said};
use tooth_record::chain::{Head, Link, Placed, PublicKey, TrustedHead, first_break};
use tooth_record::{Content, Entry, Fact, FileHash, Folded, JobId, Thing, ThingKind, fold};
use tooth_storage::{RecordStore as _, StorageError};

use super::{App, Photos, Read, Refusal, computed};
use crate::output::JobListed;

/// The entries of a job, at their places.
#[derive(Debug, Clone)]
pub(crate) struct Record {
    pub(crate) job: JobId,
    /// The installation's key.
    pub(crate) key: PublicKey,
    pub(crate) placed: Vec<Placed>,
    pub(crate) entries: Vec<Entry>,
    pub(crate) heads: Vec<Head>,
}

impl Record {
    /// What the entries say now.
    pub(crate) fn folded(&self) -> Folded<'_> {
        self.folded_to(self.placed.len() as u64)
    }

    /// What the first entries said.
    pub(crate) fn folded_to(&self, entries: u64) -> Folded<'_> {
        let numbered = self.placed.iter().map(|placed| placed.place).zip(&self.entries);
        fold(numbered.take_while(|(place, _)| *place <= entries))
    }

    /// The end of what was said of the job: issuing a document adds an entry, and says
    /// nothing new.
    pub(crate) fn said(&self) -> TrustedHead {
        let last = self
            .placed
            .iter()
            .zip(&self.entries)
            .rev()
            .find(|(_, entry)| !matches!(entry.fact, Fact::Issued(_)));
        last.map_or(TrustedHead { entries: 0, link: Link::start(self.job) }, |(placed, _)| {
            TrustedHead { entries: placed.place, link: placed.link }
        })
    }

    /// The end of the chain.
    pub(crate) fn head(&self) -> TrustedHead {
        self.placed.last().map_or(
            TrustedHead { entries: 0, link: Link::start(self.job) },
            |placed| TrustedHead { entries: placed.place, link: placed.link },
        )
    }
}

/// Hashes of the readable files as they were received and still count.
fn received(folded: &Folded<'_>) -> Vec<FileHash> {
    let readable = |thing: &&Thing| {
        thing.kind() == ThingKind::File
            && tooth_record::FileName::new(thing.name()).is_some_and(|name| name.is_readable())
    };
    folded
        .things
        .keys()
        .filter(readable)
        .filter_map(|thing| folded.file(thing))
        .map(|(h, _)| h)
        .collect()
}

/// The name of a job, as its entries give it.
pub(super) fn name_of(folded: &Folded<'_>) -> String {
    let shown =
        Thing::alone(ThingKind::Job).and_then(|job| folded.things.get(&job)?.shown().copied());
    match shown.map(|version| version.content) {
        Some(Content::Value(value)) => {
            value.get("name").and_then(|name| name.as_str()).unwrap_or_default().to_owned()
        }
        _ => String::new(),
    }
}

fn known(record: Record) -> Result<Record, Refusal> {
    if record.placed.is_empty() {
        return Err(Refusal::typed(
            "JOB",
            said!("app-a-job-of-the-record"),
            format!("`{}`", record.job),
        ));
    }
    Ok(record)
}

impl App {
    /// A job's entries, whose links hold. Empty where the record knows no such job.
    pub(super) async fn record(&self, job: JobId) -> Result<Record, Refusal> {
        let record = self.record_as_is(job).await?;
        match first_break(job, &record.placed) {
            None => Ok(record),
            Some(place) => Err(StorageError::Damaged(said!(
                "an-entry-of-the-job-was-altered",
                place = place,
                job = job.to_string()
            ))
            .into()),
        }
    }

    /// The same without looking at the links: to look at, and to save what is there.
    pub(super) async fn record_as_is(&self, job: JobId) -> Result<Record, Refusal> {
        let Some(storage) = self.maybe_storage().await? else {
            let (key, placed) = (PublicKey::from_bytes([0; 32]), Vec::new());
            return Ok(Record { job, key, placed, entries: Vec::new(), heads: Vec::new() });
        };
        let (placed, heads) = storage.records().chain(job).await?;
        let key = storage.key();
        computed(move || {
            let entries = placed
                .iter()
                .map(|placed| {
                    Entry::read(&placed.bytes).map_err(|fault| {
                        let what = said!(
                            "an-entry-of-the-job-is-wrong",
                            place = placed.place,
                            job = job.to_string(),
                            fault = fault.said()
                        );
                        StorageError::Damaged(what)
                    })
                })
                .collect::<Result<_, _>>()?;
            Ok(Record { job, key, placed, entries, heads })
        })
        .await
    }

    /// A job whose links hold; a refusal where the record knows no such job.
    pub(super) async fn known_record(&self, job: JobId) -> Result<Record, Refusal> {
        known(self.record(job).await?)
    }

    /// A job as it is; a refusal where the record knows no such job.
    pub(super) async fn known_as_is(&self, job: JobId) -> Result<Record, Refusal> {
        known(self.record_as_is(job).await?)
    }

    /// The readable files and everything shown, from the record's files.
    pub(super) async fn view(&self, folded: &Folded<'_>) -> Result<View, Refusal> {
        let files = self.storage().await?.files();
        let mut bytes = BTreeMap::new();
        for hash in received(folded) {
            match files.get(hash).await {
                Ok(found) => {
                    bytes.insert(hash, found);
                }
                // The entries say the same; only comments are lost, and `verify` tells.
                Err(StorageError::FileMissing(_) | StorageError::FileAltered(_)) => {}
                Err(error) => return Err(error.into()),
            }
        }
        Ok(view(folded, &|hash| bytes.get(&hash).cloned()))
    }

    pub(super) async fn read_recorded(&self, job: JobId) -> Result<Read, Refusal> {
        let record = self.known_record(job).await?;
        self.read_folded(record, None).await
    }

    /// The job as its first entries say it, or all.
    pub(super) async fn read_folded(
        &self,
        record: Record,
        entries: Option<u64>,
    ) -> Result<Read, Refusal> {
        let last = entries.unwrap_or(record.placed.len() as u64);
        let shown = self.view(&record.folded_to(last)).await?;
        let mut evidence = BTreeMap::new();
        for (name, hash, _) in &shown.shown.files {
            if job_folder::is_evidence(name) {
                let bytes = self.storage().await?.files().get(*hash).await?;
                evidence.insert(name.clone(), bytes);
            }
        }
        computed(move || {
            let others: BTreeMap<_, _> = shown
                .shown
                .files
                .iter()
                .filter(|(name, ..)| !name.is_readable())
                .map(|(name, hash, bytes)| (name.clone(), (*hash, *bytes)))
                .collect();
            let files = Recorded { readable: shown.readable, others: others.clone(), evidence };
            let mut folder = job_folder::read_recorded(&files).map_err(Refusal::Input)?;
            folder.mark_clashes(&record.folded_to(last));
            Ok(Read { folder, record: Some(record), photos: Photos::Recorded(others) })
        })
        .await
    }

    /// All jobs of the record, by name.
    pub(crate) async fn jobs(&self) -> Result<Vec<JobListed>, Refusal> {
        let mut listed = Vec::new();
        let Some(storage) = self.maybe_storage().await? else { return Ok(listed) };
        for head in storage.records().jobs().await? {
            if head.entries == 0 {
                continue;
            }
            // One job that cannot be read does not hide the others.
            let (record, damaged) = match self.record_as_is(head.job).await {
                Ok(record) => (Some(record), false),
                Err(_) => (None, true),
            };
            let folded = record.as_ref().map(Record::folded).unwrap_or_default();
            listed.push(JobListed {
                job: head.job,
                name: if damaged {
                    said!("damaged-see-tooth-verify")
                } else {
                    Said::Given(name_of(&folded))
                },
                entries: head.entries,
                head: TrustedHead { entries: head.entries, link: head.link },
                newest: record.as_ref().and_then(|r| r.placed.last()).map(|p| p.received),
                clashes: folded.clashes().count() as u64,
                issues: folded.issues.len() as u64,
            });
        }
        let by_name = |listed: &JobListed| match &listed.name {
            Said::Given(name) => (false, name.clone(), listed.job),
            Said::Message(..) => (true, String::new(), listed.job),
        };
        listed.sort_by_cached_key(by_name);
        Ok(listed)
    }
}
