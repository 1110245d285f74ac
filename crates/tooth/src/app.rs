//! One method per verb. What the command line and, later, the server call; neither
//! computes anything itself.

use std::fs;
use std::path::{Path, PathBuf};

use jiff::civil::Date;
use tooth_documents::{
    Document, Drawing, Focus, Issue, condition_report, plan_drawing, price_sheet, step_cards,
};
use tooth_formats::Fault;
use tooth_formats::job_folder::{self, JobFolder};
use tooth_job::ambient::{Ambient, Moment, ambient};
use tooth_job::assessment::{Assessment, assess};
use tooth_job::estimate::{Estimate, estimate};
use tooth_job::plan::{Objective, Plan, plan};
use tooth_job::quantities::{Quantities, quantities};
use tooth_measure::Length;
use tooth_measure::chance::Seed;

use crate::output::{DocumentWritten, Run};

/// Why a verb gave no answer.
#[derive(Debug)]
pub(crate) enum Refusal {
    /// The input is wrong; every fault of it.
    Input(Vec<Fault>),
    /// Ours: the program or the machine failed.
    Ours(String),
}

/// What a run may be told.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Settings {
    pub(crate) objective: Objective,
    pub(crate) seed: Seed,
    pub(crate) issued_on: Option<Date>,
}

/// A job that was read and everything that follows from it.
#[derive(Debug)]
pub(crate) struct Worked {
    pub(crate) folder: JobFolder,
    pub(crate) assessment: Assessment,
    pub(crate) plan: Plan,
    pub(crate) quantities: Quantities,
    pub(crate) estimate: Estimate,
}

/// The application.
#[derive(Debug, Clone, Copy)]
pub(crate) struct App;

impl App {
    /// Is the folder sound?
    pub(crate) fn check(self, job: &Path) -> Result<JobFolder, Refusal> {
        job_folder::read(job).map_err(Refusal::Input)
    }

    /// What the evidence says of each zone.
    pub(crate) fn assess(self, job: &Path) -> Result<(JobFolder, Assessment), Refusal> {
        let folder = self.check(job)?;
        let assessment = assess(&folder.survey, folder.patch_rule);
        Ok((folder, assessment))
    }

    /// Assessment, plan, quantities and price.
    pub(crate) fn work(self, job: &Path, settings: Settings) -> Result<Worked, Refusal> {
        let (folder, assessment) = self.assess(job)?;
        let plan = plan(
            &folder.survey,
            &assessment,
            &folder.catalogue,
            folder.patch_rule,
            settings.objective,
        );
        let quantities = quantities(&folder.survey, &plan, &folder.catalogue, folder.patch_rule);
        let estimate = estimate(&folder.survey, &plan, settings.seed);
        Ok(Worked { folder, assessment, plan, quantities, estimate })
    }

    /// Everything, with the documents written into `out`.
    pub(crate) fn report(
        self,
        job: &Path,
        settings: Settings,
        out: &Path,
    ) -> Result<(Worked, Run), Refusal> {
        let worked = self.work(job, settings)?;
        let files = documents(&worked, settings)?;
        let written = write_all(out, &files)?;
        let run = Run {
            job: worked.folder.survey.facts.name.clone(),
            assessment: worked.assessment.clone(),
            plan: worked.plan.clone(),
            quantities: worked.quantities.clone(),
            estimate: worked.estimate.clone(),
            documents: written,
        };
        Ok((worked, run))
    }

    /// Dew point, margin, evaporation.
    pub(crate) fn ambient(self, moment: &Moment) -> Ambient {
        ambient(moment)
    }
}

/// Digest of the inputs: names and bytes in order, twelve hexadecimal digits.
fn digest(folder: &JobFolder) -> String {
    let mut hasher = blake3::Hasher::new();
    for (name, bytes) in &folder.read {
        hasher.update(&(name.len() as u64).to_le_bytes());
        hasher.update(name.as_bytes());
        hasher.update(&(bytes.len() as u64).to_le_bytes());
        hasher.update(bytes);
    }
    hasher.finalize().to_hex().chars().take(12).collect()
}

struct File {
    name: &'static str,
    what: &'static str,
    bytes: Vec<u8>,
    pages: Option<u32>,
}

fn documents(worked: &Worked, settings: Settings) -> Result<Vec<File>, Refusal> {
    let folder = &worked.folder;
    let photos = folder.photos().map_err(|fault| Refusal::Input(vec![fault]))?;
    let digest = digest(folder);
    let newest = folder.survey.newest_date().unwrap_or_default();
    let issue = Issue {
        survey: &folder.survey,
        assessment: &worked.assessment,
        plan: &worked.plan,
        quantities: &worked.quantities,
        estimate: &worked.estimate,
        catalogue: &folder.catalogue,
        patch_rule: folder.patch_rule,
        photos: &photos,
        issued_on: settings.issued_on.unwrap_or(newest),
        digest: &digest,
        version: env!("CARGO_PKG_VERSION"),
    };
    let ours = |error: tooth_documents::TypesetError| Refusal::Ours(error.to_string());
    let pdf = |name, what, document: Document| File {
        name,
        what,
        pages: Some(document.text.len() as u32),
        bytes: document.pdf,
    };
    let json = |name, what, value: serde_json::Result<String>| {
        let text = value.map_err(|error| Refusal::Ours(error.to_string()))?;
        Ok(File { name, what, bytes: (text + "\n").into_bytes(), pages: None })
    };
    Ok(vec![
        pdf("condition-report.pdf", "for the client", condition_report(&issue).map_err(ours)?),
        pdf("step-cards.pdf", "for the crew", step_cards(&issue).map_err(ours)?),
        pdf(
            "price-sheet.pdf",
            "for the office: overhead and margin",
            price_sheet(&issue).map_err(ours)?,
        ),
        File {
            name: "plan.svg",
            what: "the slab's plan to scale",
            bytes: drawing(worked).svg.into_bytes(),
            pages: None,
        },
        json("assessment.json", "for the file", serde_json::to_string_pretty(&worked.assessment))?,
        json("plan.json", "for the file", serde_json::to_string_pretty(&worked.plan))?,
        json("quantities.json", "for the file", serde_json::to_string_pretty(&worked.quantities))?,
        json("estimate.json", "for the file", serde_json::to_string_pretty(&worked.estimate))?,
    ])
}

fn drawing(worked: &Worked) -> Drawing {
    plan_drawing(
        &worked.folder.survey,
        worked.folder.patch_rule,
        Focus::Whole,
        Length::from_millimetres(277.0),
        Length::from_millimetres(190.0),
    )
}

/// Writes every file beside its place first, then puts all in place: a full disk
/// leaves the old documents whole.
fn write_all(out: &Path, files: &[File]) -> Result<Vec<DocumentWritten>, Refusal> {
    let failed = |path: &Path, error: &std::io::Error| {
        Refusal::Ours(format!("{} could not be written: {error}", path.display()))
    };
    fs::create_dir_all(out).map_err(|error| failed(out, &error))?;
    let mut pending: Vec<(PathBuf, PathBuf)> = Vec::new();
    for file in files {
        let place = out.join(file.name);
        let beside = out.join(format!(".{}.part", file.name));
        let written = fs::write(&beside, &file.bytes);
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
    Ok(files
        .iter()
        .map(|file| DocumentWritten {
            file: file.name.to_owned(),
            what: file.what.to_owned(),
            bytes: file.bytes.len() as u64,
            pages: file.pages,
            blake3: blake3::hash(&file.bytes).to_hex().to_string(),
        })
        .collect())
}
