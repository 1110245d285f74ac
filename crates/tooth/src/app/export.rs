//! `export`: a job of the record as a folder that carries everything.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use tooth_measure::say::{Said, said};

use tooth_formats::job_folder::{self, view};
use tooth_formats::record::{self, Carried, RECORD, file_place};
use tooth_record::{FileHash, FileName, Origin, difference, fold};
use tooth_storage::StorageError;

use super::on_disk::{edit, failed, kept, look, needed, numbered, sync_folder, write_whole};
use super::record::name_of;
use super::{App, JobRef, Record, Refusal};
use crate::output::Exported;

impl App {
    /// Writes a job of the record as a folder that carries everything.
    pub(crate) async fn export(&self, job: &Path, to: &Path) -> Result<Exported, Refusal> {
        let JobRef::Recorded(id) = self.find(job).await? else {
            return Err(Refusal::typed(
                "JOB",
                said!("app-a-job-of-the-record-see-tooth-2"),
                job.display().to_string(),
            ));
        };
        let record = self.known_as_is(id).await?;
        let to = std::path::absolute(to)
            .map_err(|error| Refusal::typed("--to", said!("a-folder"), error.to_string()))?;
        if to.exists() {
            self.may_be_written(&record, &to)?;
            return self.update_folder(&record, &to).await;
        }
        let (Some(parent), Some(name)) = (to.parent(), to.file_name()) else {
            return Err(Refusal::typed("--to", said!("a-folder"), to.display().to_string()));
        };
        fs::create_dir_all(parent).map_err(|error| failed(parent, &error))?;
        // Beside its place under a name that nothing else has; in its place when whole.
        let mark = uuid::Uuid::now_v7().simple();
        let beside = parent.join(format!(".{}.{mark}", name.to_string_lossy()));
        fs::create_dir(&beside).map_err(|error| failed(&beside, &error))?;
        let written = match self.write_folder(&record, &beside, None).await {
            Ok(exported) => {
                fs::rename(&beside, &to).map_err(|error| failed(&to, &error)).map(|()| exported)
            }
            Err(refusal) => Err(refusal),
        };
        if written.is_err() {
            // Nothing half-written stays; the refusal is what matters.
            let _ = fs::remove_dir_all(&beside);
        }
        sync_folder(parent);
        written
    }

    /// A folder is written over only if it is empty, or this job's and says nothing that
    /// the record does not know.
    fn may_be_written(&self, record: &Record, to: &Path) -> Result<(), Refusal> {
        let refuse = |found: Said| {
            Err(Refusal::typed("--to", said!("app-a-new-folder-or-this-job-own"), found))
        };
        match fs::read_dir(to).map(|mut listing| listing.next().is_none()) {
            Ok(true) => return Ok(()),
            Ok(false) => {}
            Err(error) => return refuse(format!("{}: {error}", to.display()).into()),
        }
        let carried = record::read(to).map_err(Refusal::Input)?;
        let Some(carried) = carried.filter(|carried| carried.job == record.job) else {
            return refuse(said!(
                "app-a-folder-with-other-things",
                path = to.display().to_string()
            ));
        };
        let known: BTreeSet<_> = record.entries.iter().map(|entry| entry.id).collect();
        if !carried.entries.iter().all(|entry| known.contains(&entry.id)) {
            return refuse(said!(
                "app-has-entries-that-the-record-lacks",
                path = to.display().to_string()
            ));
        }
        let disk = look(&record::find(to).map_err(Refusal::Input)?)?;
        let folded = fold(numbered(&carried.entries));
        let before = view(&folded, &|hash| kept(to, &disk.places, hash));
        let shown = job_folder::shown(&before, &disk.readable, disk.others.clone());
        let edit = edit(record.job, Origin::EditedFolder, None, None)?;
        let edits = difference(&edit, &folded, &before.shown, &shown);
        if edits.iter().any(|entry| !known.contains(&entry.id)) {
            return refuse(said!(
                "app-was-edited-by-hand-import-it-first",
                path = to.display().to_string()
            ));
        }
        Ok(())
    }

    /// Brings a folder that carries this job up to date, file by file. What is not the
    /// job's own stays as it is.
    pub(super) async fn update_folder(
        &self,
        record: &Record,
        to: &Path,
    ) -> Result<Exported, Refusal> {
        let old = record::read(to).map_err(Refusal::Input)?;
        self.write_folder(record, to, old).await
    }

    async fn write_folder(
        &self,
        record: &Record,
        to: &Path,
        old: Option<Carried>,
    ) -> Result<Exported, Refusal> {
        let files = self.storage().await?.files();
        let folded = record.folded();
        let shown = self.view(&folded).await?;
        let mut exported = Exported {
            job: record.job,
            name: name_of(&folded),
            entries: record.placed.len() as u64,
            head: record.head(),
            files: 0,
            missing: Vec::new(),
        };
        let mut written: BTreeSet<PathBuf> = BTreeSet::new();
        let mut names: BTreeMap<FileHash, Vec<&FileName>> = BTreeMap::new();
        for (name, hash, _) in &shown.shown.files {
            if !name.is_readable() {
                names.entry(*hash).or_default().push(name);
            }
        }
        for (hash, _) in needed(&record.entries) {
            let bytes = match files.get(hash).await {
                Ok(bytes) => bytes,
                Err(StorageError::FileMissing(hash) | StorageError::FileAltered(hash)) => {
                    exported.missing.push(hash);
                    continue;
                }
                Err(error) => return Err(error.into()),
            };
            let own =
                names.get(&hash).into_iter().flatten().map(|name| PathBuf::from(name.as_str()));
            for place in std::iter::once(file_place(hash)).chain(own) {
                write_whole(&to.join(&place), &bytes)?;
                written.insert(place);
            }
            exported.files += 1;
        }
        for (name, bytes) in &shown.readable {
            write_whole(&to.join(name.as_str()), bytes)?;
            written.insert(PathBuf::from(name.as_str()));
        }
        if let Some(old) = old {
            remove_own(to, &old, &written)?;
        }
        // The record last: a folder that stops half-way still carries its old one.
        let (entries, chain) = record::write(record.job, &record.placed, &record.heads);
        write_whole(&to.join(record::CHAIN), &chain)?;
        write_whole(&to.join(RECORD), &entries)?;
        Ok(exported)
    }
}

/// Removes what the old record put into a folder and the new one does not: only files
/// that still have the bytes that it put there.
fn remove_own(to: &Path, old: &Carried, written: &BTreeSet<PathBuf>) -> Result<(), Refusal> {
    let folded = fold(numbered(&old.entries));
    let own = |hash: FileHash| {
        fs::read(to.join(file_place(hash))).ok().filter(|bytes| FileHash::of(bytes) == hash)
    };
    let before = view(&folded, &own);
    let mut ours: BTreeMap<PathBuf, FileHash> = BTreeMap::new();
    for (name, bytes) in &before.readable {
        ours.insert(PathBuf::from(name.as_str()), FileHash::of(bytes));
    }
    for (name, hash, _) in before.shown.files.iter().filter(|(name, ..)| !name.is_readable()) {
        ours.insert(PathBuf::from(name.as_str()), *hash);
    }
    for (hash, _) in needed(&old.entries) {
        ours.insert(file_place(hash), hash);
    }
    for (place, hash) in ours.iter().filter(|(place, _)| !written.contains(*place)) {
        let path = to.join(place);
        if fs::read(&path).is_ok_and(|bytes| FileHash::of(&bytes) == *hash) {
            fs::remove_file(&path).map_err(|error| failed(&path, &error))?;
        }
    }
    Ok(())
}
