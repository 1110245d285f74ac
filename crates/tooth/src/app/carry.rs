//! Between job folders and the record: nothing is lost, and doing it again changes
//! nothing.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use tooth_formats::Fault;
use tooth_formats::job_folder::{self, View, view};
use tooth_formats::record::{self, CHAIN, Carried, Found, RECORD, file_place};
use tooth_job::record::chain::{Trust, verify};
use tooth_job::record::{
    Edit, Entry, Fact, FileHash, FileName, Folded, JobId, Name, Origin, Reason, Shown, ThingKind,
    difference, fold,
};
use tooth_storage::{Adopted, Sealed, StorageError};

use super::record::name_of;
use super::verify::words_of;
use super::{App, JobRef, Record, Refusal, computed, now};
use crate::output::{Exported, FaultOut, Imported};

/// What an import may be told.
#[derive(Debug, Clone, Default)]
pub(crate) struct ImportSettings {
    /// Who edited the folder.
    pub(crate) by: Option<Name>,
    /// Why.
    pub(crate) reason: Option<Reason>,
    /// The job that a folder without a record belongs to.
    pub(crate) job: Option<JobId>,
}

/// The id of a job whose folder carries no record: it follows from the job's name and
/// contractor, so that the same folder is the same job.
fn job_of(name: &str, contractor: &str) -> JobId {
    let mut hasher = blake3::Hasher::new();
    hasher.update(b"tooth job 1\n").update(&(name.len() as u64).to_le_bytes());
    hasher.update(name.as_bytes()).update(contractor.as_bytes());
    JobId::from_content(&hasher.finalize())
}

/// A folder as it lies on the disk: its readable files by their bytes, the others by
/// hash, and where each lies.
struct OnDisk {
    readable: BTreeMap<FileName, Vec<u8>>,
    others: Vec<(FileName, FileHash, u64)>,
    places: BTreeMap<FileHash, PathBuf>,
}

fn look(found: &Found) -> Result<OnDisk, Refusal> {
    let mut folder =
        OnDisk { readable: BTreeMap::new(), others: Vec::new(), places: BTreeMap::new() };
    for (name, path) in &found.files {
        let bytes = fs::read(path).map_err(|error| {
            let fault = Fault::new(name.as_str(), None, "", "a readable file", error.to_string());
            Refusal::Input(vec![fault])
        })?;
        let hash = FileHash::of(&bytes);
        folder.places.insert(hash, path.clone());
        if job_folder::is_readable(name) {
            folder.readable.insert(name.clone(), bytes);
        } else {
            folder.others.push((name.clone(), hash, bytes.len() as u64));
        }
    }
    Ok(folder)
}

/// A chain that does not hold is not taken in.
fn refuse_altered(carried: &Carried) -> Result<(), Refusal> {
    let verdict = verify(carried.job, &carried.placed, &carried.heads, &Trust::default());
    let faults: Vec<Fault> = verdict
        .alterations
        .iter()
        .map(|alteration| {
            let line = u32::try_from(alteration.place).ok();
            let entry = usize::try_from(alteration.place)
                .ok()
                .and_then(|place| carried.entries.get(place.checked_sub(1)?));
            let what = entry.map(words_of).unwrap_or_default();
            let found = format!("{what} {}", alteration.wrong.words());
            Fault::new(RECORD, line, "", "the entries as they were linked", found.trim())
        })
        .collect();
    if faults.is_empty() { Ok(()) } else { Err(Refusal::Input(faults)) }
}

/// The bytes of a file in a folder, by hash: from `files/`, else where it lies.
fn kept(folder: &Path, places: &BTreeMap<FileHash, PathBuf>, hash: FileHash) -> Option<Vec<u8>> {
    let whole = |path: &Path| fs::read(path).ok().filter(|bytes| FileHash::of(bytes) == hash);
    whole(&folder.join(file_place(hash))).or_else(|| places.get(&hash).and_then(|p| whole(p)))
}

fn numbered(entries: &[Entry]) -> impl Iterator<Item = (u64, &Entry)> {
    (1..).zip(entries)
}

/// Files that entries name and that were not erased.
fn needed(entries: &[Entry]) -> Vec<(FileHash, u64)> {
    let erased: BTreeSet<FileHash> = entries
        .iter()
        .filter_map(|entry| match &entry.fact {
            Fact::Erased { hash, .. } => Some(*hash),
            _ => None,
        })
        .collect();
    let mut needed = BTreeMap::new();
    for (hash, bytes) in entries.iter().flat_map(|entry| entry.fact.files()) {
        if !erased.contains(&hash) {
            needed.insert(hash, bytes);
        }
    }
    needed.into_iter().collect()
}

fn edit(
    job: JobId,
    origin: Origin,
    author: Option<Name>,
    reason: Option<Reason>,
) -> Result<Edit, Refusal> {
    let reason = reason
        .or_else(|| Reason::new("edited in the job folder"))
        .ok_or_else(|| Refusal::Ours("no reason".to_owned()))?;
    Ok(Edit { job, origin, author, reason })
}

/// What an import counts.
#[derive(Default)]
struct Brought {
    entries: u64,
    parted: bool,
}

impl App {
    /// Brings a folder into the record. Entries that it carries come in as they are;
    /// what was edited by hand since comes in as corrections and withdrawals.
    pub(crate) async fn import(
        &self,
        folder: &Path,
        settings: ImportSettings,
    ) -> Result<Imported, Refusal> {
        let path = folder.to_owned();
        let (job_read, carried, disk, found) = computed(move || {
            let read = job_folder::read(&path).map_err(Refusal::Input)?;
            let carried = record::read(&path).map_err(Refusal::Input)?;
            let found = record::find(&path).map_err(Refusal::Input)?;
            let disk = look(&found)?;
            Ok::<_, Refusal>((read, carried, disk, found))
        })
        .await?;
        let facts = &job_read.survey.facts;
        let (job, base, origin, brought) = match carried {
            Some(carried) => {
                refuse_altered(&carried)?;
                if let Some(other) = settings.job.filter(|job| *job != carried.job) {
                    let found =
                        format!("`{other}`; this folder carries the record of {}", carried.job);
                    return Err(Refusal::typed("--job", "the folder's own job, or nothing", found));
                }
                let brought = self.take_over(folder, &carried, &disk).await?;
                (carried.job, carried.entries, Origin::EditedFolder, brought)
            }
            None => {
                let job = settings.job.unwrap_or_else(|| job_of(&facts.name, &facts.contractor));
                let entries = self.record(job).await?.entries;
                let bare = Origin::BareFolder.device();
                let own = |entry: &Entry| entry.device.as_str() == bare;
                let entries: Vec<Entry> = entries.into_iter().filter(own).collect();
                (job, entries, Origin::BareFolder, Brought::default())
            }
        };
        let folded = fold(numbered(&base));
        let before = self.before(folder, &folded, &disk).await?;
        let shown = job_folder::shown(&before, &disk.readable, disk.others.clone());
        if origin == Origin::BareFolder && settings.job.is_none() {
            refuse_another_job(job, &before.shown, &shown)?;
        }
        let edit = edit(job, origin, settings.by, settings.reason)?;
        let edits = difference(&edit, &folded, &before.shown, &shown);
        let count = |word: &str| {
            edits.iter().filter(|entry| entry.fact.words().starts_with(word)).count() as u64
        };
        let mut imported = Imported {
            job,
            name: facts.name.clone(),
            entries: brought.entries,
            stated: count("stated"),
            corrected: count("corrected"),
            withdrawn: count("withdrawn"),
            files: count("received"),
            known: 0,
            parted: brought.parted,
            head: None,
            clashes: Vec::new(),
            warnings: job_read.warnings.iter().chain(&found.left_out).map(FaultOut::from).collect(),
        };
        self.append_edits(&disk, edits, &mut imported).await?;
        let record = self.record(job).await?;
        imported.head = Some(record.head());
        imported.clashes = record.folded().clashes().map(|(thing, _)| thing.clone()).collect();
        Ok(imported)
    }

    async fn append_edits(
        &self,
        disk: &OnDisk,
        edits: Vec<Entry>,
        imported: &mut Imported,
    ) -> Result<(), Refusal> {
        let storage = self.storage().await?;
        for entry in &edits {
            let Fact::Attached { name, hash, .. } = &entry.fact else { continue };
            let read = match disk.readable.get(name) {
                Some(bytes) => Some(bytes.clone()),
                None => disk.places.get(hash).and_then(|path| fs::read(path).ok()),
            };
            let changed = || {
                let fault =
                    Fault::new(name.as_str(), None, "", "the file as it was looked at", "another");
                Refusal::Input(vec![fault])
            };
            let read = read.ok_or_else(changed)?;
            if storage.files().put(read).await? != *hash {
                return Err(changed());
            }
        }
        let batch = edits
            .into_iter()
            .map(|entry| {
                let thing = entry.fact.thing().map(|thing| thing.to_string()).unwrap_or_default();
                Sealed::write(entry).map_err(|fault| {
                    Refusal::Input(vec![Fault::new(&thing, None, "", fault.expected, fault.found)])
                })
            })
            .collect::<Result<Vec<_>, _>>()?;
        let sent = batch.len() as u64;
        let receipt = storage.append(imported.job, batch, now()).await?;
        if let Some((_, why)) = receipt.refused().next() {
            return Err(Refusal::Ours(why.to_owned()));
        }
        imported.known = sent - receipt.placed() as u64;
        imported.entries += receipt.placed() as u64;
        Ok(())
    }

    /// What the folder showed when it was written.
    async fn before(
        &self,
        folder: &Path,
        folded: &Folded<'_>,
        disk: &OnDisk,
    ) -> Result<View, Refusal> {
        let mut own = BTreeMap::new();
        for (thing, _) in folded.things.iter().filter(|(t, _)| t.kind() == ThingKind::File) {
            let Some((hash, _)) = folded.file(thing) else { continue };
            if FileName::new(thing.name()).is_none_or(|name| !job_folder::is_readable(&name)) {
                continue;
            }
            let bytes = match kept(folder, &disk.places, hash) {
                Some(bytes) => Some(bytes),
                None => self.storage().await?.files().get(hash).await.ok(),
            };
            own.extend(bytes.map(|bytes| (hash, bytes)));
        }
        Ok(view(folded, &|hash| own.get(&hash).cloned()))
    }

    /// Files first, then the chain, or its entries where the two have parted.
    async fn take_over(
        &self,
        folder: &Path,
        carried: &Carried,
        disk: &OnDisk,
    ) -> Result<Brought, Refusal> {
        let storage = self.storage().await?;
        let known = self.record(carried.job).await?;
        let mut all = carried.entries.clone();
        all.extend(known.entries);
        let mut missing = Vec::new();
        for (hash, bytes) in needed(&all) {
            if storage.files().has(hash, bytes).await? {
                continue;
            }
            match kept(folder, &disk.places, hash) {
                Some(found) => {
                    storage.files().put(found).await?;
                }
                None => missing.push(Fault::new(
                    &file_place(hash).display().to_string(),
                    None,
                    "",
                    "the file that an entry of the record names, with its own bytes",
                    "none",
                )),
            }
        }
        if !missing.is_empty() {
            return Err(Refusal::Input(missing));
        }
        let added = match storage.adopt(carried.job, &carried.placed, &carried.heads).await? {
            Adopted::Added(entries) => return Ok(Brought { entries, parted: false }),
            Adopted::Parts(_) => {
                let batch = carried
                    .placed
                    .iter()
                    .map(|placed| Sealed::read(placed.bytes.clone()))
                    .collect::<Result<Vec<_>, _>>()
                    .map_err(|fault| Refusal::Ours(fault.to_string()))?;
                storage.append(carried.job, batch, now()).await?
            }
        };
        if let Some((id, why)) = added.refused().next() {
            let found = format!("entry {id}: {why}");
            return Err(Refusal::Input(vec![Fault::new(
                RECORD,
                None,
                "",
                "entries that fit",
                found,
            )]));
        }
        Ok(Brought { entries: added.placed() as u64, parted: true })
    }

    /// Writes a job of the record as a folder that carries everything.
    pub(crate) async fn export(&self, job: &Path, to: &Path) -> Result<Exported, Refusal> {
        let JobRef::Recorded(id) = self.find(job).await? else {
            return Err(Refusal::typed(
                "JOB",
                "a job of the record (see tooth jobs)",
                job.display().to_string(),
            ));
        };
        let record = self.known_record(id).await?;
        self.may_be_written(&record, to)?;
        let shown = self.view(&record.folded()).await?;
        let beside = beside(to);
        let written = self.write_folder(&record, &shown, &beside).await;
        let exported = match written {
            Ok(exported) => exported,
            Err(refusal) => {
                // Nothing half-written stays; the refusal is what matters.
                let _ = fs::remove_dir_all(&beside);
                return Err(refusal);
            }
        };
        put_folder(&beside, to)?;
        Ok(exported)
    }

    /// A folder is written over only if it is this job's and says nothing that the
    /// record does not know.
    fn may_be_written(&self, record: &Record, to: &Path) -> Result<(), Refusal> {
        let refuse = |found: String| {
            Err(Refusal::typed("--to", "a new folder, or this job's own without edits", found))
        };
        let empty = match fs::read_dir(to) {
            Ok(mut listing) => listing.next().is_none(),
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => true,
            Err(error) => return refuse(format!("{}: {error}", to.display())),
        };
        if empty {
            return Ok(());
        }
        let carried = record::read(to).map_err(Refusal::Input)?;
        let Some(carried) = carried.filter(|carried| carried.job == record.job) else {
            return refuse(format!("{}, a folder with other things in it", to.display()));
        };
        let known: BTreeSet<_> = record.entries.iter().map(|entry| entry.id).collect();
        if !carried.entries.iter().all(|entry| known.contains(&entry.id)) {
            return refuse(format!(
                "{} has entries that the record lacks: import it first",
                to.display()
            ));
        }
        let found = record::find(to).map_err(Refusal::Input)?;
        let disk = look(&found)?;
        let folded = fold(numbered(&carried.entries));
        let before = view(&folded, &|hash| kept(to, &disk.places, hash));
        let shown = job_folder::shown(&before, &disk.readable, disk.others.clone());
        let edit = edit(record.job, Origin::EditedFolder, None, None)?;
        if !difference(&edit, &folded, &before.shown, &shown).is_empty() {
            return refuse(format!("{} was edited by hand: import it first", to.display()));
        }
        if let Some(left) = found.left_out.first() {
            return refuse(format!("{} also holds `{}`", to.display(), left.file));
        }
        Ok(())
    }

    async fn write_folder(
        &self,
        record: &Record,
        shown: &View,
        to: &Path,
    ) -> Result<Exported, Refusal> {
        let files = self.storage().await?.files();
        let mut exported = Exported {
            job: record.job,
            name: name_of(&record.folded()),
            entries: record.placed.len() as u64,
            head: record.head(),
            files: 0,
            missing: Vec::new(),
        };
        let (entries, chain) = record::write(record.job, &record.placed, &record.heads);
        write_new(&to.join(RECORD), &entries)?;
        write_new(&to.join(CHAIN), &chain)?;
        for (name, bytes) in &shown.readable {
            write_new(&to.join(name.as_str()), bytes)?;
        }
        let mut names: BTreeMap<FileHash, Vec<&FileName>> = BTreeMap::new();
        for (name, hash, _) in &shown.shown.files {
            if !job_folder::is_readable(name) {
                names.entry(*hash).or_default().push(name);
            }
        }
        for (hash, _) in needed(&record.entries) {
            match files.get(hash).await {
                Ok(bytes) => {
                    write_new(&to.join(file_place(hash)), &bytes)?;
                    for name in names.get(&hash).into_iter().flatten() {
                        write_new(&to.join(name.as_str()), &bytes)?;
                    }
                    exported.files += 1;
                }
                Err(StorageError::FileMissing(hash) | StorageError::FileAltered(hash)) => {
                    exported.missing.push(hash);
                }
                Err(error) => return Err(error.into()),
            }
        }
        Ok(exported)
    }
}

/// Two different jobs of one name must not become one.
fn refuse_another_job(job: JobId, before: &Shown, now: &Shown) -> Result<(), Refusal> {
    let features = |shown: &Shown| -> Vec<_> {
        let listings = shown.listings.iter().flat_map(|listing| &listing.things);
        listings.filter(|(thing, _)| thing.kind() == ThingKind::Feature).cloned().collect()
    };
    let (was, is) = (features(before), features(now));
    if was.is_empty() || is.iter().any(|feature| was.contains(feature)) {
        return Ok(());
    }
    Err(Refusal::typed(
        "FOLDER",
        format!(
            "the folder of job {job}, which has this name and contractor (if it is that job all the same, say --job {job}; if not, give the job another name in job.toml)"
        ),
        "a plan that shares nothing with it",
    ))
}

fn beside(to: &Path) -> PathBuf {
    let name = to.file_name().unwrap_or_default().to_string_lossy().into_owned();
    to.with_file_name(format!(".{name}.part"))
}

fn failed(path: &Path, error: &std::io::Error) -> Refusal {
    Refusal::Ours(format!("{} could not be written: {error}", path.display()))
}

fn write_new(path: &Path, bytes: &[u8]) -> Result<(), Refusal> {
    if let Some(parent) = path.parent() {
        fs::create_dir_all(parent).map_err(|error| failed(parent, &error))?;
    }
    fs::write(path, bytes).map_err(|error| failed(path, &error))
}

/// Puts a whole folder in its place; the old one goes only after the new one stands.
fn put_folder(from: &Path, to: &Path) -> Result<(), Refusal> {
    if !to.exists() {
        return fs::rename(from, to).map_err(|error| failed(to, &error));
    }
    let old =
        to.with_file_name(format!(".{}.old", to.file_name().unwrap_or_default().to_string_lossy()));
    fs::rename(to, &old).map_err(|error| failed(&old, &error))?;
    if let Err(error) = fs::rename(from, to) {
        let _ = fs::rename(&old, to);
        return Err(failed(to, &error));
    }
    fs::remove_dir_all(&old).map_err(|error| failed(&old, &error))
}
