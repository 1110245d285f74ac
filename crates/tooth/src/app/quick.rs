//! `quick` and `new`: a number beside the customer, and the job folder that it begins.

use std::fs;
use std::path::Path;

use tooth_formats::job_folder::begun;
use tooth_formats::scan::Threads;
use tooth_job::extent::PatchRule;
use tooth_job::methods::{Catalogue, built_in};
use tooth_job::quick::{Answering, Firm, Quick, Told, quick};
use tooth_job::stream::Asked;
use tooth_measure::say::said;

use super::on_disk::{failed, sync_folder};
use super::{App, Refusal, computed};

/// What a job folder says of the firm.
#[derive(Debug, Clone)]
pub(crate) struct FirmOf {
    pub(crate) firm: Firm,
    pub(crate) patch_rule: PatchRule,
    pub(crate) catalogue: Catalogue,
    /// Its `methods.toml`, where there is one.
    pub(crate) methods: Option<String>,
}

impl App {
    /// The day on which something is said.
    pub(crate) fn today(&self) -> jiff::civil::Date {
        jiff::tz::Offset::UTC.to_datetime(super::now()).date()
    }

    /// Rates, least charges, machines and methods of a job as the firm's own.
    pub(crate) async fn firm(&self, job: &Path) -> Result<FirmOf, Refusal> {
        let folder = self.check(job).await?.folder;
        let facts = &folder.survey.facts;
        let methods = folder.read.iter().find(|(name, _)| name == "methods.toml");
        Ok(FirmOf {
            firm: Firm {
                name: facts.contractor.clone(),
                currency: facts.currency.clone(),
                units: facts.units,
                language: facts.language,
                rates: facts.rates,
                money: facts.money,
                uncertainty: facts.uncertainty,
                machines_owned: facts.machines_owned.clone(),
                assumed: false,
            },
            patch_rule: folder.patch_rule,
            methods: methods.and_then(|(_, bytes)| String::from_utf8(bytes.clone()).ok()),
            catalogue: folder.catalogue,
        })
    }

    /// Low, likely and high of a slab of which little is said.
    pub(crate) async fn quick(
        &self,
        told: Told,
        firm: Option<&FirmOf>,
        asked: Asked,
    ) -> Result<Quick, Refusal> {
        let catalogue = firm.map_or_else(built_in, |firm| firm.catalogue.clone());
        let patch_rule = firm.map_or(PatchRule::PartialDepth, |firm| firm.patch_rule);
        let answered = computed(move || {
            let by = Answering { catalogue: &catalogue, patch_rule, asked, workers: &Threads };
            quick(&told, by)
        });
        answered
            .await
            .ok_or_else(|| Refusal::typed("--size", said!("quick-a-size"), said!("quick-no-slab")))
    }

    /// Writes the job folder of a likely case; names of its files. Nothing is written over.
    pub(crate) fn begin(
        &self,
        folder: &Path,
        quick: &Quick,
        firm: Option<&FirmOf>,
    ) -> Result<Vec<String>, Refusal> {
        let refuse =
            |found: String| Err(Refusal::typed("FOLDER", said!("begun-nothing-there"), found));
        if folder.symlink_metadata().is_ok() {
            return refuse(folder.display().to_string());
        }
        let to = match std::path::absolute(folder) {
            Ok(to) => to,
            Err(error) => return refuse(error.to_string()),
        };
        let (Some(parent), Some(name)) = (to.parent(), to.file_name()) else {
            return refuse(to.display().to_string());
        };
        let facts = &quick.survey.facts;
        let words = tooth_words::Words::new(facts.language, facts.units);
        let rule = firm.map_or(PatchRule::PartialDepth, |firm| firm.patch_rule);
        let mut files = begun(&quick.survey, rule, words);
        files.extend(firm.and_then(|firm| firm.methods.clone()).map(|text| ("methods.toml", text)));
        fs::create_dir_all(parent).map_err(|error| failed(parent, &error))?;
        // Beside its place under a name that nothing else has; in its place when whole.
        let mark = uuid::Uuid::now_v7().simple();
        let beside = parent.join(format!(".{}.{mark}", name.to_string_lossy()));
        fs::create_dir(&beside).map_err(|error| failed(&beside, &error))?;
        let written = files
            .iter()
            .try_for_each(|(name, text)| fs::write(beside.join(name), text))
            .and_then(|()| fs::rename(&beside, &to))
            .map_err(|error| failed(&to, &error));
        if written.is_err() {
            // Nothing half-written stays; the refusal is what matters.
            let _ = fs::remove_dir_all(&beside);
        }
        written?;
        sync_folder(parent);
        Ok(files.into_iter().map(|(name, _)| name.to_owned()).collect())
    }
}
