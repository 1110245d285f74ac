//! Documents issued from the record: what they were made from, and the same again.

use std::path::Path;
use std::sync::Arc;

use tooth_job::plan::Objective;
use tooth_job::stream::Asked;
use tooth_measure::chance::Seed;
use tooth_measure::choice::Choice as _;
use tooth_measure::say::{Language, Said, said};
use tooth_record::{Entry, EntryId, Fact, FileHash, FileName, Issue, IssuedFile, Name};
use tooth_storage::{Admission, Sealed};
use uuid::Uuid;

use super::documents::{self, File, Placing};
use super::{App, JobRef, Record, Refusal, Settings, Worked, now, worked};
use crate::output::{Again, AgainFile, AgainState, Issued};

/// The device that this program's own entries name.
pub(super) const DEVICE: &str = "tooth";

/// Hash of the methods and machines that a plan chose from.
fn catalogue_hash(worked: &Worked) -> FileHash {
    // The catalogue's own printing names every field of every method in order.
    FileHash::of(format!("{:?}", worked.folder().catalogue).as_bytes())
}

impl App {
    /// Notes documents of a job in the record as issued, once for the same documents.
    pub(super) async fn issue(
        &self,
        worked: &Worked,
        settings: Settings,
        files: &[File],
    ) -> Result<Option<Issued>, Refusal> {
        let Some(record) = &worked.read.record else { return Ok(None) };
        let head = record.said();
        let folder = worked.folder();
        let documents = files
            .iter()
            .filter_map(|file| {
                Some(IssuedFile {
                    name: FileName::new(file.name)?,
                    what: file.what.clone(),
                    hash: FileHash::of(&file.bytes),
                    bytes: file.bytes.len() as u64,
                })
            })
            .collect();
        let issue = Issue {
            entries: head.entries,
            link: head.link,
            inputs: FileHash::from_hash(documents::digest(folder)),
            catalogue: catalogue_hash(worked),
            version: env!("CARGO_PKG_VERSION").to_owned(),
            seed: settings.asked.seed.0,
            objective: settings.asked.objective.key().to_owned(),
            own_machines: settings.asked.own_machines,
            language: settings.words(folder).language.key().to_owned(),
            crew_language: settings.crew_words(folder).language.key().to_owned(),
            issued_on: documents::date(folder, settings),
            key: record.key,
            documents,
        };
        let folded = record.folded();
        let number = |at: usize| at as u64 + 1;
        if let Some(at) = folded.issues.iter().position(|known| *known.issue == issue) {
            return Ok(Some(Issued { number: number(at), head, key: record.key, again: true }));
        }
        let storage = self.storage().await?;
        for file in files {
            storage.files().put(file.bytes.clone()).await?;
        }
        let at = folded.issues.len();
        self.state(record.job, None, vec![Fact::Issued(issue)]).await?;
        Ok(Some(Issued { number: number(at), head, key: record.key, again: false }))
    }

    /// Adds facts of this program's own making.
    pub(super) async fn state(
        &self,
        job: tooth_record::JobId,
        by: Option<Name>,
        facts: Vec<Fact>,
    ) -> Result<tooth_storage::Receipt, Refusal> {
        let time = now();
        let batch = facts
            .into_iter()
            .map(|fact| {
                let id = EntryId::from_uuid(Uuid::now_v7());
                let device = Name::new(DEVICE).ok_or(Refusal::Ours(said!("app-no-device")))?;
                let entry = Entry::new(id, by.clone(), device, Some(time), fact);
                Sealed::write(entry).map_err(|fault| Refusal::Ours(fault.said()))
            })
            .collect::<Result<_, _>>()?;
        let receipt = self.storage().await?.append(job, batch, time, Admission::All).await?;
        if let Some((_, why)) = receipt.refused().next() {
            return Err(Refusal::Ours(why.clone()));
        }
        Ok(receipt)
    }

    /// Documents that were issued, made again from the same entries and compared; the
    /// kept bytes where another version made them.
    pub(crate) async fn again(
        &self,
        job: &Path,
        number: Option<u64>,
        out: &Path,
    ) -> Result<Again, Refusal> {
        let JobRef::Recorded(id) = self.find(job).await? else {
            return Err(Refusal::typed(
                "--again",
                said!("app-a-job-of-the-record-tooth-import"),
                said!("app-the-folder-2", path = job.display().to_string()),
            ));
        };
        let record = self.known_record(id).await?;
        let (number, issue) = {
            let folded = record.folded();
            let count = folded.issues.len() as u64;
            let number = number.unwrap_or(count);
            let issue =
                usize::try_from(number).ok().and_then(|n| folded.issues.get(n.checked_sub(1)?));
            let Some(issue) = issue else {
                let expected = match count {
                    0 => said!("app-documents-that-were-issued-tooth"),
                    n => said!("app-a-number-from-1", n = n),
                };
                return Err(Refusal::typed("--again", expected, number.to_string()));
            };
            (number, issue.issue.clone())
        };
        let objective = Objective::from_key(&issue.objective).unwrap_or(Objective::Cheapest);
        let settings = Settings {
            asked: Asked {
                objective,
                seed: Seed(issue.seed),
                own_machines: issue.own_machines,
                ..Asked::USUAL
            },
            issued_on: Some(issue.issued_on),
            language: Language::from_key(&issue.language),
            crew_language: Language::from_key(&issue.crew_language),
        };
        let (remade, why_not) = match self.remade(&record, &issue, settings).await {
            Ok(files) => (files, None),
            Err(why) => (Vec::new(), Some(why)),
        };
        let mut documents = Vec::new();
        let mut written = Vec::new();
        for document in issue.documents {
            let made = remade.iter().find(|file| file.name == document.name.as_str());
            let same = made.filter(|file| FileHash::of(&file.bytes) == document.hash);
            let bytes = match same {
                Some(file) => Some(file.bytes.clone()),
                None => self.storage().await?.files().get(document.hash).await.ok(),
            };
            let state = match (&same, &bytes, made.is_some()) {
                (Some(_), ..) => AgainState::Remade,
                (None, None, _) => AgainState::Missing,
                (None, Some(_), false) => AgainState::Kept,
                (None, Some(_), true) => AgainState::Differs,
            };
            let (file, blake3) = (document.name.to_string(), document.hash.to_string());
            written.extend(bytes.map(|bytes| (document.name.clone(), bytes)));
            documents.push(AgainFile { file, what: Said::Given(document.what), blake3, state });
        }
        let placings: Vec<Placing<'_>> = written
            .iter()
            .map(|(name, bytes)| (Path::new(name.as_str()), bytes.as_slice()))
            .collect();
        documents::put_in_place(out, &placings)?;
        Ok(Again {
            number,
            issued_on: issue.issued_on.to_string(),
            made_by: issue.version,
            why_not_remade: why_not,
            documents,
        })
    }
}

impl App {
    /// The documents made anew from the same entries with the same settings, or why they
    /// cannot be.
    async fn remade(
        &self,
        record: &Record,
        issue: &Issue,
        settings: Settings,
    ) -> Result<Vec<File>, Said> {
        if issue.version != env!("CARGO_PKG_VERSION") {
            return Err(said!(
                "app-version-of-this-program-made-them",
                version = &issue.version,
                this = env!("CARGO_PKG_VERSION")
            ));
        }
        let mut then = record.to(issue.entries);
        then.key = issue.key;
        if then.head().link != issue.link {
            return Err(said!("app-another-installation-issued-them-from"));
        }
        let words = |refusal: Refusal| match refusal {
            Refusal::Typed(fault) => fault.said(),
            Refusal::Input(faults) => {
                faults.first().map_or_else(Said::nothing, tooth_formats::Fault::said)
            }
            Refusal::Ours(why) => why,
        };
        let read = self.read_folded(then, Some(issue.entries)).await.map_err(words)?;
        let worked = Arc::new(worked(read, settings).await);
        if FileHash::from_hash(documents::digest(worked.folder())) != issue.inputs {
            return Err(said!("app-the-readable-files-that-follow-from"));
        }
        self.documents(&worked, settings).await.map_err(words)
    }
}

impl Record {
    /// The record as it was after so many entries.
    fn to(&self, entries: u64) -> Self {
        let keep = usize::try_from(entries).unwrap_or(usize::MAX);
        let mut record = self.clone();
        record.placed.truncate(keep);
        record.entries.truncate(keep);
        record.heads.retain(|head| head.entries <= entries);
        record
    }
}
