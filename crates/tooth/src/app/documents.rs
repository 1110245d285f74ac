//! The documents of a job and how they come onto the disk.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use jiff::civil::Date;
use serde::Serialize;
use tooth_documents::{
    Document, Drawing, Focus, Issue, RecordHead, condition_report, plan_drawing, price_sheet,
    step_cards,
};
use tooth_formats::Fault;
use tooth_formats::job_folder::JobFolder;
use tooth_measure::Length;
use tooth_measure::say::{Said, said};
use tooth_record::{FileHash, FileName};
use tooth_words::Words;

use super::on_disk::failed;
use super::{App, Photos, Refusal, Settings, Worked, computed};
use crate::output::DocumentWritten;

/// Digest of the inputs: names and bytes in order.
pub(super) fn digest(folder: &JobFolder) -> blake3::Hash {
    let mut hasher = blake3::Hasher::new();
    for (name, bytes) in &folder.read {
        hasher.update(&(name.len() as u64).to_le_bytes());
        hasher.update(name.as_bytes());
        hasher.update(&(bytes.len() as u64).to_le_bytes());
        hasher.update(bytes);
    }
    hasher.finalize()
}

/// The date on documents that are told none: the newest reading's.
pub(super) fn date(folder: &JobFolder, settings: Settings) -> Date {
    settings.issued_on.or_else(|| folder.survey.newest_date()).unwrap_or_default()
}

/// The documents of a job.
pub(super) const NAMES: [&str; 8] = [
    "condition-report.pdf",
    "step-cards.pdf",
    "price-sheet.pdf",
    "plan.svg",
    "assessment.json",
    "plan.json",
    "quantities.json",
    "estimate.json",
];

/// For whom or what a document is.
pub(super) fn what(name: &str) -> Said {
    match name {
        "condition-report.pdf" => said!("for-the-client"),
        "step-cards.pdf" => said!("for-the-crew"),
        "price-sheet.pdf" => said!("for-the-office"),
        "plan.svg" => said!("the-plan-to-scale"),
        _ => said!("for-the-file"),
    }
}

/// A document before it is written.
#[derive(Debug, Clone)]
pub(super) struct File {
    pub(super) name: &'static str,
    pub(super) what: String,
    pub(super) bytes: Vec<u8>,
    pub(super) pages: Option<u32>,
}

impl App {
    /// Every document of a job, in memory.
    pub(super) async fn documents(
        &self,
        worked: &Arc<Worked>,
        settings: Settings,
    ) -> Result<Vec<File>, Refusal> {
        let photos = self.photos(worked).await?;
        let worked = Arc::clone(worked);
        computed(move || made(&worked, &photos, settings)).await
    }

    /// The photographs that the plan names, with their bytes, in the plan's order.
    async fn photos(&self, worked: &Worked) -> Result<Vec<(String, Vec<u8>)>, Refusal> {
        let mut photos = Vec::new();
        for file in worked.folder().photos() {
            let bytes = match &worked.read.photos {
                Photos::OnDisk(path) => {
                    let path = path.join("photos").join(file);
                    fs::read(&path).map_err(|error| {
                        let name = format!("photos/{file}");
                        let fault = Fault::new(
                            &name,
                            None,
                            "",
                            said!("a-readable-photograph"),
                            error.to_string(),
                        );
                        Refusal::Input(vec![fault])
                    })?
                }
                Photos::Recorded(files) => {
                    let name = FileName::new(&format!("photos/{file}"));
                    let Some((hash, _)) = name.and_then(|name| files.get(&name)) else { continue };
                    self.storage().await?.files().get(*hash).await?
                }
            };
            photos.push((file.to_owned(), bytes));
        }
        Ok(photos)
    }
}

fn made(
    worked: &Worked,
    photos: &[(String, Vec<u8>)],
    settings: Settings,
) -> Result<Vec<File>, Refusal> {
    let folder = worked.folder();
    let digest: String = digest(folder).to_hex().chars().take(12).collect();
    let record = worked.read.record.as_ref().map(|record| {
        let head = record.said();
        RecordHead { entries: head.entries, link: head.link, key: record.key }
    });
    let words = settings.words(folder);
    let issue = Issue {
        words,
        survey: &folder.survey,
        assessment: &worked.assessment,
        plan: &worked.plan,
        quantities: &worked.quantities,
        estimate: &worked.estimate,
        catalogue: &folder.catalogue,
        patch_rule: folder.patch_rule,
        photos,
        issued_on: date(folder, settings),
        digest: &digest,
        record,
        version: env!("CARGO_PKG_VERSION"),
    };
    let ours = |error: tooth_documents::TypesetError| Refusal::Ours(error.to_string().into());
    let pdf = |document: Document| (document.pdf, Some(document.text.len() as u32));
    let crew = Issue { words: settings.crew_words(folder), ..issue };
    let made = [
        pdf(condition_report(&issue).map_err(ours)?),
        pdf(step_cards(&crew).map_err(ours)?),
        pdf(price_sheet(&issue).map_err(ours)?),
        (drawing(worked, words).svg.into_bytes(), None),
        json(&worked.assessment, words)?,
        json(&worked.plan, words)?,
        json(&worked.quantities, words)?,
        json(&worked.estimate, words)?,
    ];
    let named = NAMES.into_iter().zip(made);
    let file = |(name, (bytes, pages))| File { name, what: words.say(&what(name)), bytes, pages };
    Ok(named.map(file).collect())
}

/// A result as a file of data, its messages told in words.
fn json(result: &impl Serialize, words: Words) -> Result<(Vec<u8>, Option<u32>), Refusal> {
    let text = words.json(result).and_then(|told| serde_json::to_string_pretty(&told));
    let text = text.map_err(|error| Refusal::Ours(error.to_string().into()))?;
    Ok(((text + "\n").into_bytes(), None))
}

fn drawing(worked: &Worked, words: Words) -> Drawing {
    plan_drawing(
        &worked.folder().survey,
        worked.folder().patch_rule,
        words,
        Focus::Whole,
        (Length::from_millimetres(277.0), Length::from_millimetres(190.0)),
    )
}

/// A file that is to be written: where, and its bytes.
pub(super) type Placing<'a> = (&'a Path, &'a [u8]);

/// Writes every file beside its place first, then puts all in place: a full disk
/// leaves the old files whole.
pub(super) fn put_in_place(out: &Path, files: &[Placing<'_>]) -> Result<(), Refusal> {
    fs::create_dir_all(out).map_err(|error| failed(out, &error))?;
    let mut pending: Vec<(PathBuf, PathBuf)> = Vec::new();
    for (name, bytes) in files {
        let place = out.join(name);
        let own = place.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let beside = place.with_file_name(format!(".{own}.part"));
        let written = fs::write(&beside, bytes);
        pending.push((beside.clone(), place));
        if let Err(error) = written {
            for (part, _) in &pending {
                // What is left of a failed write is of no use; the error is reported.
                let _ = fs::remove_file(part);
            }
            return Err(failed(&beside, &error));
        }
    }
    for (beside, place) in &pending {
        fs::rename(beside, place).map_err(|error| failed(place, &error))?;
    }
    Ok(())
}

/// Writes the documents.
pub(super) fn write_all(out: &Path, files: &[File]) -> Result<Vec<DocumentWritten>, Refusal> {
    let placings: Vec<Placing<'_>> =
        files.iter().map(|file| (Path::new(file.name), file.bytes.as_slice())).collect();
    put_in_place(out, &placings)?;
    Ok(files
        .iter()
        .map(|file| DocumentWritten {
            file: file.name.to_owned(),
            what: Said::Given(file.what.clone()),
            bytes: file.bytes.len() as u64,
            pages: file.pages,
            blake3: FileHash::of(&file.bytes).to_string(),
        })
        .collect())
}
