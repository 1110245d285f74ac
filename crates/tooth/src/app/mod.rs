//! One method per verb. What the command line and the server call; neither computes
//! or stores anything itself.
//!
//! Storage is asynchronous; computing runs on the runtime's bounded blocking threads.

mod capture;
mod change;
mod colour;
mod documents;
mod export;
mod import;
mod issue;
mod on_disk;
mod page;
mod page_shown;
mod pages;
mod quick;
mod record;
mod sounding;
mod texture;
mod verify;

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};

use jiff::Timestamp;
use jiff::civil::Date;
use tokio::sync::{OnceCell, Semaphore};
use tooth_formats::job_folder::{self, JobFolder};
use tooth_formats::scan::Threads;
use tooth_formats::{COMMAND_LINE, Fault};
use tooth_job::acceptance::{Acceptance, accept};
use tooth_job::ambient::{Ambient, Moment, ambient};
use tooth_job::assessment::Assessment;
use tooth_job::estimate::Estimate;
use tooth_job::methods::learn;
use tooth_job::plan::Plan;
use tooth_job::quantities::Quantities;
use tooth_job::stream::{Asked, WorkedOut, work_out};
use tooth_job::survey::Reading;
use tooth_measure::UnitSystem;
use tooth_measure::say::{Joint, Language, Said, listed, said};
use tooth_record::chain::{PublicKey, TrustedHead};
use tooth_record::{FileHash, FileName, JobId, Name, Reason};
use tooth_storage::{SqliteStore, Storage, StorageError};
use tooth_texture::Workers;
use tooth_words::Words;

use crate::output::{JobListed, Run};

pub(crate) use capture::FILE_BYTES;
pub(crate) use colour::{ColourInput, Coloured, Shot, ShotInput};
pub(crate) use import::ImportSettings;
pub(crate) use page_shown::{AreaPage, JobPage, PlanPage, ScanPage, SoundingPage};
pub(crate) use quick::FirmOf;
pub(crate) use record::Record;
pub(crate) use sounding::{Sounded, SoundingInput, TapsFrom, write_pictures};
pub(crate) use texture::{TextureInput, Textured};

/// Why a verb gave no answer.
#[derive(Debug, Clone)]
pub(crate) enum Refusal {
    /// What was asked for is not there, or not as it was asked for.
    Typed(Box<Fault>),
    /// The input is wrong; every fault of it.
    Input(Vec<Fault>),
    /// Ours: the program or the machine failed.
    Ours(Said),
}

impl Refusal {
    /// One fault of what was typed.
    pub(crate) fn typed(field: &str, expected: impl Into<Said>, found: impl Into<Said>) -> Self {
        Self::Typed(Box::new(Fault::new(COMMAND_LINE, None, field, expected, found)))
    }
}

impl From<StorageError> for Refusal {
    fn from(error: StorageError) -> Self {
        Self::Ours(error.said())
    }
}

/// What a run may be told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Settings {
    pub(crate) asked: Asked,
    pub(crate) issued_on: Option<Date>,
    /// The language of documents; else the job's.
    pub(crate) language: Option<Language>,
    /// The language of the crew's cards; else the job's.
    pub(crate) crew_language: Option<Language>,
}

impl Settings {
    /// What a verb or page works with unless somebody asks for another plan.
    pub(crate) const USUAL: Self =
        Self { asked: Asked::USUAL, issued_on: None, language: None, crew_language: None };

    /// The words of documents of a job.
    pub(crate) fn words(self, folder: &JobFolder) -> Words {
        let facts = &folder.survey.facts;
        Words::new(self.language.unwrap_or(facts.language), facts.units)
    }

    /// The words of its cards for the crew.
    pub(crate) fn crew_words(self, folder: &JobFolder) -> Words {
        let facts = &folder.survey.facts;
        let own = self.crew_language.or(self.language).or(facts.crew_language);
        Words::new(own.unwrap_or(facts.language), facts.units)
    }
}

/// Who acts and why, where the verb asks for it.
#[derive(Debug, Clone)]
pub(crate) struct Act {
    pub(crate) by: Name,
    pub(crate) reason: Reason,
}

/// Where a job is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum JobRef {
    /// A folder of plain files.
    Folder(PathBuf),
    /// The record.
    Recorded(JobId),
}

/// A job that was read, with what is needed to go on from it.
#[derive(Debug, Clone)]
pub(crate) struct Read {
    pub(crate) folder: JobFolder,
    /// Its record, where it came from there.
    pub(crate) record: Option<Record>,
    photos: Photos,
}

/// Where photographs come from.
#[derive(Debug, Clone)]
enum Photos {
    OnDisk(PathBuf),
    Recorded(std::collections::BTreeMap<FileName, (FileHash, u64)>),
}

/// A job that was read and everything that follows from it.
#[derive(Debug)]
pub(crate) struct Worked {
    pub(crate) read: Read,
    pub(crate) assessment: Assessment,
    pub(crate) plan: Plan,
    pub(crate) quantities: Quantities,
    pub(crate) estimate: Estimate,
}

impl Worked {
    pub(crate) fn folder(&self) -> &JobFolder {
        &self.read.folder
    }
}

/// The application.
#[derive(Debug)]
pub(crate) struct App {
    /// The language that somebody asked for.
    language: Option<Language>,
    data: PathBuf,
    storage: OnceCell<Storage<SqliteStore>>,
    kept: Mutex<pages::Kept>,
    /// A turn for each job that is worked out at a time.
    computing: Semaphore,
}

/// Runs computing off the threads that wait.
async fn computed<T: Send + 'static>(work: impl FnOnce() -> T + Send + 'static) -> T {
    match tokio::task::spawn_blocking(work).await {
        Ok(done) => done,
        // A panic of the work is a panic of the verb.
        Err(error) => std::panic::resume_unwind(error.into_panic()),
    }
}

/// The machine's clock: the one place where it is read.
fn now() -> Timestamp {
    Timestamp::now()
}

impl App {
    /// An application whose record lies in this folder; it is opened when it is needed.
    pub(crate) fn new(data: PathBuf, language: Option<Language>) -> Self {
        let processors = std::thread::available_parallelism().map_or(1, usize::from);
        Self {
            language,
            data,
            storage: OnceCell::new(),
            kept: Mutex::default(),
            computing: Semaphore::new(processors),
        }
    }

    /// The language that somebody asked for, if anybody did.
    pub(crate) fn language(&self) -> Option<Language> {
        self.language
    }

    /// The words for what belongs to no job.
    pub(crate) fn words(&self) -> Words {
        self.words_in(UnitSystem::UsCustomary)
    }

    /// The same for a reader of these units.
    pub(crate) fn words_in(&self, units: UnitSystem) -> Words {
        Words::new(self.language.unwrap_or(Language::English), units)
    }

    /// The words for what is said of a job.
    pub(crate) fn words_of(&self, folder: &JobFolder) -> Words {
        Settings { language: self.language, ..Settings::USUAL }.words(folder)
    }

    /// The record; none where there is none yet.
    pub(crate) async fn maybe_storage(
        &self,
    ) -> Result<Option<&Storage<SqliteStore>>, StorageError> {
        if let Some(storage) = self.storage.get() {
            return Ok(Some(storage));
        }
        match Storage::open(&self.data).await? {
            Some(opened) => Ok(Some(self.storage.get_or_init(|| async { opened }).await)),
            None => Ok(None),
        }
    }

    /// The record; a refusal where there is none.
    pub(crate) async fn storage(&self) -> Result<&Storage<SqliteStore>, Refusal> {
        self.maybe_storage().await?.ok_or_else(|| {
            Refusal::typed(
                "--data",
                said!("app-the-folder-of-a-record-tooth-import"),
                said!("app-no-record", path = self.data.display().to_string()),
            )
        })
    }

    /// The record, made where there is none.
    pub(crate) async fn storage_made(&self) -> Result<&Storage<SqliteStore>, StorageError> {
        self.storage.get_or_try_init(|| Storage::open_or_make(&self.data)).await
    }

    /// Ends all that is open.
    pub(crate) async fn close(&self) {
        if let Some(storage) = self.storage.get() {
            use tooth_storage::RecordStore as _;
            // A damaged database can keep its reader from ever ending.
            let closed = storage.records().close();
            let _ = tokio::time::timeout(std::time::Duration::from_secs(10), closed).await;
        }
    }

    /// The job that a person means: a folder, or a job of the record by id, by the
    /// beginning of its id, or by name.
    pub(crate) async fn find(&self, typed: &Path) -> Result<JobRef, Refusal> {
        let text = typed.to_string_lossy();
        if typed.exists() || self.maybe_storage().await?.is_none() {
            return Ok(JobRef::Folder(typed.to_owned()));
        }
        if let Some(id) = JobId::parse(&text) {
            return Ok(JobRef::Recorded(id));
        }
        let jobs = self.jobs().await?;
        let means = |job: &&JobListed| {
            matches!(&job.name, Said::Given(name) if *name == text)
                || text.len() >= 4 && job.job.to_string().starts_with(&*text)
        };
        let found: Vec<&JobListed> = jobs.iter().filter(means).collect();
        match found.as_slice() {
            [one] => Ok(JobRef::Recorded(one.job)),
            [] => Ok(JobRef::Folder(typed.to_owned())),
            many => Err(Refusal::typed(
                "JOB",
                said!("app-one-job-give-the-beginning-of-its"),
                said!(
                    "app-jobs-of-the-record-2",
                    count = many.len(),
                    ec = listed(
                        Joint::Comma,
                        many.iter().map(|job| job.job.to_string()).collect::<Vec<_>>()
                    )
                ),
            )),
        }
    }

    async fn read(&self, job: &JobRef) -> Result<Read, Refusal> {
        match job {
            JobRef::Folder(path) => {
                let path = path.clone();
                computed(move || {
                    let folder = job_folder::read(&path).map_err(Refusal::Input)?;
                    Ok(Read { folder, record: None, photos: Photos::OnDisk(path) })
                })
                .await
            }
            JobRef::Recorded(id) => self.read_recorded(*id).await,
        }
    }

    /// Is the job sound? Readings of a time to come are asked about.
    pub(crate) async fn check(&self, job: &Path) -> Result<Read, Refusal> {
        let job = self.find(job).await?;
        let mut read = self.read(&job).await?;
        let tomorrow = now().as_second() + 86_400;
        let to_come = |reading: &&Reading| {
            // Places differ by less than a day from the machine's clock.
            let time = jiff::tz::Offset::UTC.to_timestamp(reading.time);
            time.is_ok_and(|time| time.as_second() > tomorrow)
        };
        let questions: Vec<Fault> = read
            .folder
            .survey
            .readings
            .iter()
            .filter(to_come)
            .map(|reading| {
                let found =
                    said!("app-of-reading", time = reading.time.to_string(), mark = &reading.id);
                Fault::warning("readings.csv", said!("app-a-time-that-has-been"), found)
            })
            .collect();
        read.folder.warnings.extend(questions);
        Ok(read)
    }

    /// What the evidence says of each zone, and what each open question is worth.
    pub(crate) async fn assess(&self, job: &Path) -> Result<(Read, Assessment), Refusal> {
        let worked = self.work(job, Settings::USUAL).await?;
        Ok((worked.read, worked.assessment))
    }

    /// Whether the prepared areas are what their systems ask for.
    pub(crate) async fn accept(&self, job: &Path) -> Result<(Read, Acceptance), Refusal> {
        let read = self.check(job).await?;
        Ok(computed(move || {
            let folder = &read.folder;
            let (catalogue, _) = learn(&folder.catalogue, &folder.survey);
            let acceptance = accept(&folder.survey, &catalogue, folder.patch_rule);
            (read, acceptance)
        })
        .await)
    }

    /// Assessment, plan, quantities and price.
    pub(crate) async fn work(&self, job: &Path, settings: Settings) -> Result<Worked, Refusal> {
        let read = self.check(job).await?;
        Ok(worked(read, settings).await)
    }

    /// Everything, with the documents written into `out`. Documents of a job in the
    /// record are issued: an entry says from what they were made.
    pub(crate) async fn report(
        &self,
        job: &Path,
        settings: Settings,
        out: &Path,
    ) -> Result<(Arc<Worked>, Run), Refusal> {
        let worked = Arc::new(self.work(job, settings).await?);
        let files = self.documents(&worked, settings).await?;
        // Noted before they leave: what a client holds is in the record.
        let issued = self.issue(&worked, settings, &files).await?;
        let written = documents::write_all(out, &files)?;
        let run = Run {
            job: worked.folder().survey.facts.name.clone(),
            assessment: worked.assessment.clone(),
            plan: worked.plan.clone(),
            quantities: worked.quantities.clone(),
            estimate: worked.estimate.clone(),
            documents: written,
            issued,
        };
        Ok((worked, run))
    }

    /// Dew point, margin, evaporation.
    pub(crate) fn ambient(&self, moment: &Moment) -> Ambient {
        ambient(moment)
    }
}

async fn worked(read: Read, settings: Settings) -> Worked {
    computed(move || worked_by(read, settings, &Threads)).await
}

fn worked_by(mut read: Read, settings: Settings, workers: &dyn Workers) -> Worked {
    let folder = &read.folder;
    let (catalogue, rule) = (&folder.catalogue, folder.patch_rule);
    let out = work_out(&folder.survey, catalogue, rule, settings.asked, workers);
    let WorkedOut { catalogue, assessment, plan, quantities, estimate } = out;
    read.folder.catalogue = catalogue;
    Worked { read, assessment, plan, quantities, estimate }
}

/// What a person trusts from elsewhere, as typed.
#[derive(Debug, Clone, Default)]
pub(crate) struct Trusted {
    pub(crate) heads: Vec<TrustedHead>,
    pub(crate) keys: Vec<PublicKey>,
}
