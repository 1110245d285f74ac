//! The record that a job folder carries: `record.jsonl`, the entries in the order of
//! their places, one a line, exact bytes; `chain.jsonl`, the job and, for every place,
//! when it was received and its link, and the signed heads; `files/`, every file by the
//! hash of its bytes.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use jiff::Timestamp;
use serde::{Deserialize, Serialize};
use tooth_measure::say::{Said, said};
use tooth_record::chain::{Head, Link, Placed};
use tooth_record::{Entry, EntryId, FILE_FOLDERS, FileHash, FileName, JobId};

use crate::limits;
use crate::text::{Fault, Faults};

/// The entries.
pub const RECORD: &str = "record.jsonl";
/// Places, links and heads.
pub const CHAIN: &str = "chain.jsonl";
/// Files by hash.
pub const FILES: &str = "files";

const SCHEMA: u32 = 1;

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Start {
    schema: u32,
    job: JobId,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Place {
    place: u64,
    received: Timestamp,
    link: Link,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Signed {
    head: Head,
}

#[derive(Deserialize)]
#[serde(untagged)]
enum Line {
    Place(Place),
    Signed(Signed),
}

/// A record as a folder carries it.
#[derive(Debug, Clone, PartialEq)]
pub struct Carried {
    /// The job.
    pub job: JobId,
    /// The entries at their places.
    pub placed: Vec<Placed>,
    /// The entries, read.
    pub entries: Vec<Entry>,
    /// The heads.
    pub heads: Vec<Head>,
}

/// The two files of a record.
#[must_use]
pub fn write(job: JobId, placed: &[Placed], heads: &[Head]) -> (Vec<u8>, Vec<u8>) {
    let mut record = Vec::new();
    let mut chain = Vec::new();
    let mut line = |value: serde_json::Result<Vec<u8>>| {
        // Plain numbers and texts: nothing in them fails to be written.
        chain.extend(value.unwrap_or_default());
        chain.push(b'\n');
    };
    line(serde_json::to_vec(&Start { schema: SCHEMA, job }));
    for entry in placed {
        record.extend_from_slice(&entry.bytes);
        record.push(b'\n');
        let (place, received, link) = (entry.place, entry.received, entry.link);
        line(serde_json::to_vec(&Place { place, received, link }));
    }
    for head in heads {
        line(serde_json::to_vec(&Signed { head: *head }));
    }
    (record, chain)
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct ForeignPlace {
    place: u64,
    received: Timestamp,
    link: Link,
    entry: EntryId,
}

/// Another installation's order of a job's entries, as evidence: its places, times,
/// links and heads, with the id of each entry instead of its bytes.
#[must_use]
pub fn write_foreign(carried: &Carried) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut line = |value: serde_json::Result<Vec<u8>>| {
        bytes.extend(value.unwrap_or_default());
        bytes.push(b'\n');
    };
    line(serde_json::to_vec(&Start { schema: SCHEMA, job: carried.job }));
    for (placed, entry) in carried.placed.iter().zip(&carried.entries) {
        let (place, received, link) = (placed.place, placed.received, placed.link);
        line(serde_json::to_vec(&ForeignPlace { place, received, link, entry: entry.id }));
    }
    for head in &carried.heads {
        line(serde_json::to_vec(&Signed { head: *head }));
    }
    bytes
}

/// The places and heads of such evidence, with the bytes of the entries that it names;
/// `None` where it is none or names an entry that is not there.
#[must_use]
pub fn read_foreign(
    evidence: &[u8],
    entries: &BTreeMap<EntryId, &[u8]>,
) -> Option<(Vec<Placed>, Vec<Head>)> {
    let (mut placed, mut heads) = (Vec::new(), Vec::new());
    for (_, line) in lines(evidence).skip(1) {
        if let Ok(signed) = serde_json::from_slice::<Signed>(line) {
            heads.push(signed.head);
            continue;
        }
        let foreign: ForeignPlace = serde_json::from_slice(line).ok()?;
        let bytes = entries.get(&foreign.entry)?.to_vec();
        let (place, received, link) = (foreign.place, foreign.received, foreign.link);
        placed.push(Placed { place, received, link, bytes });
    }
    Some((placed, heads))
}

/// Whether a folder carries a record.
#[must_use]
pub fn is_carried(folder: &Path) -> bool {
    folder.join(RECORD).exists() || folder.join(CHAIN).exists()
}

/// Reads the record of a folder as it stands, fitting or not: `tooth_record::chain::verify`
/// tells. `None` where the folder carries none.
///
/// # Errors
/// Lines that are no entries, places or heads; one of the two files missing.
pub fn read(folder: &Path) -> Result<Option<Carried>, Vec<Fault>> {
    if !is_carried(folder) {
        return Ok(None);
    }
    let faults = Faults::default();
    let (record, chain) = (bytes(folder, RECORD, &faults), bytes(folder, CHAIN, &faults));
    let carried = record.zip(chain).and_then(|(record, chain)| parse(&record, &chain, &faults));
    let (refused, _) = faults.sorted();
    match carried {
        Some(carried) if refused.is_empty() => Ok(Some(carried)),
        _ => Err(refused),
    }
}

fn bytes(folder: &Path, name: &str, faults: &Faults) -> Option<Vec<u8>> {
    let path = folder.join(name);
    let read = fs::metadata(&path).and_then(|data| {
        if data.len() > limits::RECORD_BYTES { Ok(None) } else { fs::read(&path).map(Some) }
    });
    match read {
        Ok(Some(bytes)) => return Some(bytes),
        Ok(None) => {
            faults.refuse(name, None, "", said!("a-record-of-at-most-1-gib"), said!("more"))
        }
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
            faults.refuse(
                name,
                None,
                "",
                said!("this-file-beside-the-other-file-of-the-record"),
                said!("nothing"),
            );
        }
        Err(error) => faults.refuse(name, None, "", said!("a-readable-file"), error.to_string()),
    }
    None
}

/// The record in the bytes of its two files.
fn parse(record: &[u8], chain: &[u8], faults: &Faults) -> Option<Carried> {
    let mut chain = lines(chain).peekable();
    let job = match chain.next().map(|(_, bytes)| serde_json::from_slice::<Start>(bytes)) {
        Some(Ok(start)) if start.schema == SCHEMA => start.job,
        Some(Ok(start)) => {
            let found = said!("schema-of-a-newer-tooth", schema = start.schema);
            faults.refuse(CHAIN, Some(1), "schema", "schema 1", found);
            return None;
        }
        Some(Err(error)) => {
            faults.refuse(CHAIN, Some(1), "", said!("schema-and-job"), error.to_string());
            return None;
        }
        None => {
            faults.refuse(CHAIN, Some(1), "", said!("schema-and-job"), said!("an-empty-file"));
            return None;
        }
    };
    let mut places = Vec::new();
    let mut heads = Vec::new();
    for (line, bytes) in chain {
        match serde_json::from_slice::<Line>(bytes) {
            // Links and signatures count in microseconds: nothing finer is covered.
            Ok(Line::Place(place)) if is_whole(place.received) => places.push(place),
            Ok(Line::Signed(signed)) if is_whole(signed.head.signed) => heads.push(signed.head),
            Ok(_) => faults.refuse(
                CHAIN,
                Some(line),
                "",
                said!("a-time-in-whole-microseconds"),
                said!("a-finer-one"),
            ),
            Err(_) => {
                let found = String::from_utf8_lossy(bytes).into_owned();
                faults.refuse(
                    CHAIN,
                    Some(line),
                    "",
                    said!("a-place-with-its-link-or-a-head"),
                    found,
                );
            }
        }
    }
    let mut placed = Vec::new();
    let mut entries = Vec::new();
    for (at, (line, bytes)) in lines(record).enumerate() {
        match Entry::read(bytes) {
            Ok(entry) => entries.push(entry),
            Err(fault) => faults.refuse(RECORD, Some(line), "", *fault.expected, *fault.found),
        }
        let Some(place) = places.get(at) else {
            let found = said!("places", count = places.len());
            faults.refuse(
                CHAIN,
                None,
                "",
                said!("a-place-for-the-line", line = line, file = RECORD),
                found,
            );
            break;
        };
        placed.push(Placed {
            place: place.place,
            received: place.received,
            link: place.link,
            bytes: bytes.to_vec(),
        });
    }
    if placed.len() < places.len() {
        let expected = said!("as-many-entries-as-places", count = places.len(), file = CHAIN);
        faults.refuse(RECORD, None, "", expected, format!("{}", placed.len()));
    }
    Some(Carried { job, placed, entries, heads })
}

fn is_whole(time: Timestamp) -> bool {
    time.as_nanosecond() % 1000 == 0
}

fn lines(bytes: &[u8]) -> impl Iterator<Item = (u32, &[u8])> {
    bytes
        .split(|byte| *byte == b'\n')
        .enumerate()
        .filter(|(_, line)| !line.is_empty())
        .map(|(at, line)| (u32::try_from(at + 1).unwrap_or(u32::MAX), line))
}

/// Where a folder keeps a file by hash: `files/ab/abcd…`.
#[must_use]
pub fn file_place(hash: FileHash) -> PathBuf {
    let name = hash.to_string();
    Path::new(FILES).join(name.get(..2).unwrap_or_default()).join(name)
}

/// The files of a folder that come into the record, by name; and what is left out.
#[derive(Debug, Clone, Default)]
pub struct Found {
    /// Files by name.
    pub files: BTreeMap<FileName, PathBuf>,
    /// What was left out, as warnings.
    pub left_out: Vec<Fault>,
}

/// Looks through a folder, in order.
///
/// # Errors
/// A folder that cannot be read.
pub fn find(folder: &Path) -> Result<Found, Vec<Fault>> {
    let faults = Faults::default();
    let mut found = Found::default();
    look(folder, "", &mut found.files, &faults);
    let (refused, warnings) = faults.sorted();
    found.left_out = warnings;
    if refused.is_empty() { Ok(found) } else { Err(refused) }
}

fn look(folder: &Path, under: &str, files: &mut BTreeMap<FileName, PathBuf>, faults: &Faults) {
    let listing = fs::read_dir(folder).and_then(Iterator::collect::<Result<Vec<_>, _>>);
    let mut listing = match listing {
        Ok(listing) => listing,
        Err(error) => {
            faults.refuse(under, None, "", said!("a-readable-folder"), error.to_string());
            return;
        }
    };
    listing.sort_by_key(fs::DirEntry::file_name);
    for item in listing {
        let named = item.file_name();
        let Some(own) = named.to_str().map(str::to_owned) else {
            let shown = format!("{under}/{}", named.to_string_lossy());
            let shown = shown.trim_start_matches('/');
            faults.warn(
                shown,
                None,
                "",
                said!("a-file-of-the-job"),
                said!("a-name-that-is-no-unicode"),
            );
            continue;
        };
        let name = if under.is_empty() { own.clone() } else { format!("{under}/{own}") };
        let leave = |why: Said| faults.warn(&name, None, "", said!("a-file-of-the-job"), why);
        let kind = match item.file_type() {
            Ok(kind) => kind,
            Err(error) => {
                faults.refuse(&name, None, "", said!("a-readable-file"), error.to_string());
                continue;
            }
        };
        let top = under.is_empty();
        if own.starts_with('.') || top && [RECORD, CHAIN].contains(&own.as_str()) {
            continue;
        }
        if kind.is_dir() {
            match own.as_str() {
                FILES if top => {}
                known if !top || FILE_FOLDERS.contains(&known) => {
                    look(&item.path(), &name, files, faults)
                }
                _ => leave(said!("a-folder-of-another-name-left-out")),
            }
            continue;
        }
        match FileName::new(&name) {
            Some(plain) if kind.is_file() => {
                files.insert(plain, item.path());
            }
            Some(_) => leave(said!("a-link-or-device-left-out")),
            None => leave(said!("a-name-that-not-every-system-can-write")),
        }
    }
}
