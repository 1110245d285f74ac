//! `import`: a job folder into the record. Nothing is lost, and doing it again changes
//! nothing.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;
use tooth_measure::say::{Said, said};

use tooth_formats::job_folder::{self, View, view};
use tooth_formats::record::{self, Carried, RECORD, file_place};
use tooth_formats::{Fault, THE_FOLDER};
use tooth_record::chain::{Trust, verify};
use tooth_record::{
    Entry, EntryId, Fact, FileHash, FileName, Folded, JobId, Listing, Name, Origin, Reason, Shown,
    Thing, ThingKind, difference, fold,
};
use tooth_storage::{Admission, Adopted, FileState, RecordStore as _, Sealed};

use super::on_disk::{OnDisk, edit, kept, look, needed, numbered};
use super::record::name_of;
use super::verify::said_of;
use super::{App, Refusal, computed, now};
use crate::output::{FaultOut, Imported};

/// What an import may be told.
#[derive(Debug, Clone, Default)]
pub(crate) struct ImportSettings {
    /// Who edited the folder.
    pub(crate) by: Option<Name>,
    /// Why.
    pub(crate) reason: Option<Reason>,
    /// The job that a folder without a record belongs to.
    pub(crate) job: Option<JobId>,
    /// It is a job of its own, though it looks like one that is known.
    pub(crate) new: bool,
    /// Things that are missing from the folder are really to be withdrawn.
    pub(crate) withdraw: bool,
    /// Nothing is to be written, only said.
    pub(crate) dry_run: bool,
    /// The folder is not to be brought up to date afterwards.
    pub(crate) leave: bool,
}

/// The id of a job whose folder carries no record: it follows from the job's name and
/// contractor, so that the same folder is the same job.
fn job_of(name: &str, contractor: &str) -> JobId {
    let mut hasher = blake3::Hasher::new();
    hasher.update(b"tooth job 1\n").update(&(name.len() as u64).to_le_bytes());
    hasher.update(name.as_bytes()).update(contractor.as_bytes());
    JobId::from_content(&hasher.finalize())
}

/// A chain that does not hold is not taken in.
fn refuse_altered(carried: &Carried) -> Result<(), Refusal> {
    let verdict = verify(carried.job, &carried.placed, &carried.heads, None, &Trust::default());
    let faults: Vec<Fault> = verdict
        .alterations
        .iter()
        .map(|alteration| {
            let line = u32::try_from(alteration.place).ok();
            let entry = usize::try_from(alteration.place)
                .ok()
                .and_then(|place| carried.entries.get(place.checked_sub(1)?));
            let what = entry.map_or_else(Said::nothing, said_of);
            let found = said!("app-what-is-wrong", what = what, wrong = alteration.wrong.said());
            Fault::new(RECORD, line, "", said!("app-the-entries-as-they-were-linked"), found)
        })
        .collect();
    if faults.is_empty() { Ok(()) } else { Err(Refusal::Input(faults)) }
}

/// What came in from the chain that a folder carries.
#[derive(Debug, Default)]
struct Brought {
    entries: u64,
    parted: bool,
}

/// A folder that is to come in, looked at.
struct Coming {
    name: String,
    job: JobId,
    origin: Origin,
    carried: Option<Carried>,
    disk: OnDisk,
    warnings: Vec<Fault>,
    /// Why its readable files make no sound job.
    faults: Vec<Fault>,
}

impl App {
    /// Brings a folder into the record. Entries that it carries come in as they are;
    /// what was edited by hand since comes in as corrections and withdrawals.
    pub(crate) async fn import(
        &self,
        folder: &Path,
        settings: ImportSettings,
    ) -> Result<Imported, Refusal> {
        let coming = self.coming(folder, &settings).await?;
        let known = self.record(coming.job).await?;
        let bare = Origin::BareFolder.device();
        let base: Vec<Entry> = match &coming.carried {
            Some(carried) => carried.entries.clone(),
            None => {
                let own = |entry: &&Entry| entry.device.as_str() == bare;
                known.entries.iter().filter(own).cloned().collect()
            }
        };
        let folded = fold(numbered(&base));
        let before = self.before(folder, &folded, &coming.disk).await?;
        let shown = job_folder::shown(&before, &coming.disk.readable, coming.disk.others.clone());
        let edit = edit(coming.job, coming.origin, settings.by.clone(), settings.reason.clone())?;
        let mut edits = difference(&edit, &folded, &before.shown, &shown);
        let ids: BTreeSet<_> = known.entries.iter().map(|entry| entry.id).collect();
        let all = edits.len();
        edits.retain(|entry| !ids.contains(&entry.id));
        let repeated = (all - edits.len()) as u64;
        if !coming.faults.is_empty() && (coming.carried.is_none() || !edits.is_empty()) {
            return Err(Refusal::Input(coming.faults));
        }
        if coming.carried.is_none() && settings.job.is_none() && !settings.new {
            self.refuse_another_job(coming.job, &before.shown, &shown).await?;
        }
        if !settings.withdraw {
            refuse_vanished(&before.shown, &shown, &edits)?;
        }
        self.refuse_erased(coming.job, &edits).await?;
        let batch = sealed(edits.clone())?;
        let mut imported = Imported {
            job: coming.job,
            name: coming.name.clone(),
            dry_run: settings.dry_run,
            entries: 0,
            stated: named(&edits, |fact| matches!(fact, Fact::Stated { .. })),
            corrected: named(&edits, |fact| matches!(fact, Fact::Corrected { .. })),
            withdrawn: named(&edits, |fact| matches!(fact, Fact::Withdrawn { .. })),
            files: named(&edits, |fact| matches!(fact, Fact::Attached { .. })),
            known: repeated,
            parted: false,
            signed_by: Vec::new(),
            unsigned: false,
            brought_up_to_date: false,
            head: None,
            clashes: Vec::new(),
            warnings: coming.warnings.iter().chain(&coming.faults).map(FaultOut::from).collect(),
        };
        if settings.dry_run {
            return Ok(imported);
        }
        self.storage_made().await?;
        if let Some(carried) = &coming.carried {
            let brought = self.take_over(folder, carried, &coming.disk).await?;
            (imported.entries, imported.parted) = (brought.entries, brought.parted);
            let mut keys: Vec<_> = carried.heads.iter().map(|head| head.key).collect();
            keys.sort_unstable();
            keys.dedup();
            imported.signed_by = keys;
            imported.unsigned = carried.heads.is_empty();
        }
        self.append_edits(&coming.disk, &edits, batch, &mut imported).await?;
        self.destroy_erased(coming.job).await?;
        let record = self.record(coming.job).await?;
        imported.head = Some(record.head());
        imported.clashes = record.folded().clashes().map(|(thing, _)| thing.clone()).collect();
        if coming.carried.is_some() && !settings.leave && !edits.is_empty() {
            // The record is safe; a folder that cannot be written is only said.
            match self.update_folder(&record, folder).await {
                Ok(_) => imported.brought_up_to_date = true,
                Err(Refusal::Ours(why)) => imported.warnings.push(FaultOut::from(&Fault::warning(
                    THE_FOLDER,
                    said!("app-to-be-brought-up-to-date"),
                    why,
                ))),
                Err(refusal) => return Err(refusal),
            }
        }
        Ok(imported)
    }

    async fn coming(&self, folder: &Path, settings: &ImportSettings) -> Result<Coming, Refusal> {
        let path = folder.to_owned();
        let (read, carried, disk, found) = computed(move || {
            let read = job_folder::read(&path);
            let carried = record::read(&path).map_err(Refusal::Input)?;
            if let Some(carried) = &carried {
                refuse_altered(carried)?;
            }
            let found = match record::find(&path) {
                Ok(found) => found,
                // What makes it no folder at all is said best by its reader.
                Err(faults) => return Err(Refusal::Input(read.err().unwrap_or(faults))),
            };
            Ok::<_, Refusal>((read, carried, look(&found)?, found))
        })
        .await?;
        let (named, faults, mut warnings) = match read {
            Ok(read) => {
                let facts = read.survey.facts;
                (Some((facts.name, facts.contractor)), Vec::new(), read.warnings)
            }
            Err(faults) => (None, faults, Vec::new()),
        };
        warnings.extend(found.left_out);
        let (job, origin) = match (&carried, &named) {
            (Some(carried), _) => {
                if let Some(other) = settings.job.filter(|job| *job != carried.job) {
                    let found = said!(
                        "app-this-folder-carries-job",
                        other = other.to_string(),
                        job = carried.job.to_string()
                    );
                    return Err(Refusal::typed(
                        "--job",
                        said!("app-the-folder-own-job-or-nothing"),
                        found,
                    ));
                }
                (carried.job, Origin::EditedFolder)
            }
            (None, Some((name, contractor))) => {
                if let Some(job) = settings.job
                    && self.record(job).await?.placed.is_empty()
                {
                    return Err(Refusal::typed(
                        "--job",
                        said!("app-a-job-of-the-record"),
                        job.to_string(),
                    ));
                }
                let job = settings.job.unwrap_or_else(|| job_of(name, contractor));
                (job, Origin::BareFolder)
            }
            (None, None) => return Err(Refusal::Input(faults)),
        };
        let name = named.map_or_else(
            || carried.as_ref().map(|c| name_of(&fold(numbered(&c.entries)))).unwrap_or_default(),
            |(name, _)| name,
        );
        Ok(Coming { name, job, origin, carried, disk, warnings, faults })
    }

    /// A file that was erased does not come back under any name.
    async fn refuse_erased(&self, job: JobId, edits: &[Entry]) -> Result<(), Refusal> {
        let Some(storage) = self.maybe_storage().await? else { return Ok(()) };
        let erased = storage.records().erased(job).await?;
        let faults: Vec<Fault> = edits
            .iter()
            .filter_map(|entry| match &entry.fact {
                Fact::Attached { name, hash, .. } if erased.contains(hash) => Some(Fault::new(
                    name.as_str(),
                    None,
                    "",
                    said!("app-a-file-that-was-not-erased-from"),
                    said!("app-one-whose-bytes-were-erased-on-purpose"),
                )),
                _ => None,
            })
            .collect();
        if faults.is_empty() { Ok(()) } else { Err(Refusal::Input(faults)) }
    }

    async fn append_edits(
        &self,
        disk: &OnDisk,
        edits: &[Entry],
        batch: Vec<Sealed>,
        imported: &mut Imported,
    ) -> Result<(), Refusal> {
        let storage = self.storage().await?;
        for entry in edits {
            let Fact::Attached { name, hash, .. } = &entry.fact else { continue };
            let read = match disk.readable.get(name) {
                Some(bytes) => Some(bytes.clone()),
                None => disk.places.get(hash).and_then(|path| fs::read(path).ok()),
            };
            // It may have changed since it was looked at.
            let read = read.filter(|bytes| FileHash::of(bytes) == *hash).ok_or_else(|| {
                Refusal::Ours(said!(
                    "app-changed-while-it-was-read-import",
                    name = name.to_string()
                ))
            })?;
            storage.files().put(read).await?;
        }
        let receipt = storage.append(imported.job, batch, now(), Admission::All).await?;
        if let Some((_, why)) = receipt.refused().next() {
            return Err(Refusal::Ours(why.clone()));
        }
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
            if FileName::new(thing.name()).is_none_or(|name| !name.is_readable()) {
                continue;
            }
            let bytes = match (kept(folder, &disk.places, hash), self.maybe_storage().await?) {
                (Some(bytes), _) => Some(bytes),
                (None, Some(storage)) => storage.files().get(hash).await.ok(),
                (None, None) => None,
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
        let mut missing = Vec::new();
        for (hash, _) in needed(carried.entries.iter().chain(&known.entries)) {
            if storage.files().state(hash).await? == FileState::Whole {
                continue;
            }
            match kept(folder, &disk.places, hash) {
                Some(found) => {
                    storage.files().put(found).await?;
                }
                // A file that this record lacks already is verify's matter, not this folder's.
                None if carried.entries.iter().all(|e| e.fact.files().all(|(h, _)| h != hash)) => {}
                None => missing.push(Fault::new(
                    &file_place(hash).display().to_string(),
                    None,
                    "",
                    said!("app-the-file-that-an-entry"),
                    said!("none"),
                )),
            }
        }
        if !missing.is_empty() {
            return Err(Refusal::Input(missing));
        }
        let (job, time) = (carried.job, now());
        let added = match storage.adopt(job, &carried.placed, &carried.heads, time).await? {
            Adopted::Added(entries) => return Ok(Brought { entries, parted: false }),
            Adopted::Parts(_) => {
                let ours = |fault: tooth_record::EntryFault| Refusal::Ours(fault.said());
                let mut batch = carried
                    .placed
                    .iter()
                    .map(|placed| Sealed::read(placed.bytes.clone()))
                    .collect::<Result<Vec<_>, _>>()
                    .map_err(ours)?;
                // Heads that the other installation printed stay provable.
                if let Some(entry) = self.keep_foreign(carried).await? {
                    batch.push(Sealed::write(entry).map_err(ours)?);
                }
                storage.append(job, batch, time, Admission::All).await?
            }
        };
        let refused: Vec<Fault> = added
            .refused()
            .map(|(id, why)| {
                Fault::new(
                    RECORD,
                    None,
                    &id.to_string(),
                    said!("app-an-entry-that-fits"),
                    why.clone(),
                )
            })
            .collect();
        if !refused.is_empty() {
            return Err(Refusal::Input(refused));
        }
        Ok(Brought { entries: added.placed() as u64, parted: true })
    }

    /// The order that another installation gave to its entries, kept as a file.
    async fn keep_foreign(&self, carried: &Carried) -> Result<Option<Entry>, Refusal> {
        let evidence = record::write_foreign(carried);
        let bytes = evidence.len() as u64;
        let hash = self.storage().await?.files().put(evidence).await?;
        let mark: String = hash.to_string().chars().take(16).collect();
        let name = FileName::new(&format!("chains/{mark}.jsonl"));
        let id = EntryId::from_content(&blake3::hash(
            format!("tooth foreign chain 1\n{}\n{hash}", carried.job).as_bytes(),
        ));
        let device = Name::new("merged folder");
        Ok(name.zip(device).map(|(name, device)| {
            let fact = Fact::Attached { name, hash, bytes, replaces: Vec::new() };
            Entry::new(id, None, device, None, fact)
        }))
    }

    /// Two different jobs must not become one, nor one job two.
    async fn refuse_another_job(
        &self,
        job: JobId,
        before: &Shown,
        now: &Shown,
    ) -> Result<(), Refusal> {
        let is = features(now);
        if !features(before).is_empty() {
            if shared(&features(before), &is) * 4 >= is.len() {
                return Ok(());
            }
            return Err(Refusal::typed(
                "FOLDER",
                said!("app-the-folder-of-job-which-has-this", job = job.to_string()),
                said!("app-a-plan-that-shares-next-to-nothing"),
            ));
        }
        let Some(storage) = self.maybe_storage().await? else { return Ok(()) };
        // Another import of this very folder may have made the job in the meantime.
        let heads = storage.records().jobs().await?;
        for head in heads.into_iter().filter(|head| head.job != job) {
            let other = self.record_as_is(head.job).await?;
            let folded = other.folded();
            let was = features(&self.view(&folded).await?.shown);
            if !was.is_empty() && shared(&was, &is) * 2 >= is.len() {
                return Err(Refusal::typed(
                    "FOLDER",
                    said!("app-a-job-that-is-not"),
                    said!(
                        "app-the-plan-of-say-job-if",
                        folded = name_of(&folded),
                        job = head.job.to_string()
                    ),
                ));
            }
        }
        Ok(())
    }

    /// Destroys bytes that entries say were erased, where no job needs them.
    pub(super) async fn destroy_erased(&self, job: JobId) -> Result<(), Refusal> {
        let storage = self.storage().await?;
        let erased = storage.records().erased(job).await?;
        if erased.is_empty() {
            return Ok(());
        }
        let mut wanted = BTreeSet::new();
        for head in storage.records().jobs().await? {
            let record = self.record_as_is(head.job).await?;
            wanted.extend(needed(&record.entries).into_iter().map(|(hash, _)| hash));
        }
        for hash in erased.difference(&wanted) {
            storage.files().destroy(*hash).await?;
        }
        Ok(())
    }
}

fn sealed(edits: Vec<Entry>) -> Result<Vec<Sealed>, Refusal> {
    edits
        .into_iter()
        .map(|entry| {
            let thing = entry.fact.thing().map(|thing| thing.to_string()).unwrap_or_default();
            Sealed::write(entry).map_err(|fault| {
                Refusal::Input(vec![Fault::new(&thing, None, "", *fault.expected, *fault.found)])
            })
        })
        .collect()
}

/// Things of edits of a kind.
fn named(edits: &[Entry], of: fn(&Fact) -> bool) -> Vec<Thing> {
    let these = edits.iter().filter(|entry| of(&entry.fact));
    these.filter_map(|entry| entry.fact.thing()).collect()
}

/// A file that was there and is gone, or a good part of what was there: nobody means
/// that by accident, but folders do get damaged.
fn refuse_vanished(before: &Shown, now: &Shown, edits: &[Entry]) -> Result<(), Refusal> {
    let still = |file: &FileName| now.listings.iter().any(|listing| listing.file == *file);
    let gone = |listing: &&Listing| !listing.things.is_empty() && !still(&listing.file);
    let withdrawn = named(edits, |fact| matches!(fact, Fact::Withdrawn { .. }));
    let told = withdrawn.iter().any(|thing| !thing.is_form_only());
    let mut faults: Vec<Fault> = Vec::new();
    if told {
        for listing in before.listings.iter().filter(gone) {
            faults.push(Fault::new(
                listing.file.as_str(),
                None,
                "",
                said!("app-the-file-that-was-here-before", count = listing.things.len()),
                said!("nothing"),
            ));
        }
    }
    let all: usize = before.listings.iter().map(|listing| listing.things.len()).sum();
    let missing = withdrawn.iter().filter(|thing| !thing.is_form_only()).count();
    if faults.is_empty() && missing > 3 && missing * 4 > all {
        faults.push(Fault::new(
            THE_FOLDER,
            None,
            "",
            said!("app-the-things-that-were-here-before", all = all),
            said!("app-of-them-missing", missing = missing),
        ));
    }
    if faults.is_empty() { Ok(()) } else { Err(Refusal::Input(faults)) }
}

fn features(shown: &Shown) -> BTreeMap<Thing, String> {
    let listings = shown.listings.iter().flat_map(|listing| &listing.things);
    listings
        .filter(|(thing, _)| thing.kind() == ThingKind::Feature)
        .map(|(thing, value)| (thing.clone(), value.to_string()))
        .collect()
}

fn shared(was: &BTreeMap<Thing, String>, is: &BTreeMap<Thing, String>) -> usize {
    is.iter().filter(|(thing, value)| was.get(*thing) == Some(*value)).count()
}
