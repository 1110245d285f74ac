//! A byte that is changed anywhere: it is found, or it carried no meaning.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::mpsc;
use std::thread;
use std::time::Duration;

use sqlx::sqlite::{SqliteConnectOptions, SqlitePool};
use tempfile::TempDir;
use tokio::runtime::{Builder, Runtime};
use tooth_record::chain::{Head, Placed, Trust, verify};
use tooth_record::{Fact, FileHash, FileName, JobId};
use tooth_storage::{Admission, FileState, RecordStore as _, Sealed, Storage, StorageError};

use crate::chance::Chance;
use crate::entries::{job, sealed, stated, time};

/// A closed data folder: 60 entries in two jobs, ten heads, five files.
struct Made {
    folder: TempDir,
    database: PathBuf,
    bytes: Vec<u8>,
    files: Vec<FileHash>,
}

async fn make() -> Made {
    let folder = tempfile::tempdir().unwrap();
    // Always the same key: the same seed changes the same bytes.
    fs::write(folder.path().join("installation.key"), "5a".repeat(32)).unwrap();
    let storage = Storage::open_or_make(folder.path()).await.unwrap();
    let mut chance = Chance::new(60);
    let mut files = Vec::new();
    for batch in 0..10 {
        let mut sent: Vec<Sealed> = (batch * 6..batch * 6 + 6)
            .map(|number| stated(number, &"damp ".repeat(chance.below(80))))
            .collect();
        if batch % 2 == 0 {
            let count = 1 + chance.below(9000);
            let bytes = chance.bytes(count);
            let hash = storage.files().put(bytes).await.unwrap();
            let name = FileName::new(&format!("photos/{batch}.jpg")).unwrap();
            let fact = Fact::Attached { name, hash, bytes: count as u64, replaces: Vec::new() };
            sent[2] = sealed(batch * 6 + 2, fact);
            files.push(hash);
        }
        let receipt =
            storage.append(job(batch / 3 % 2), sent, time(batch), Admission::Each).await.unwrap();
        assert_eq!(receipt.placed(), 6);
    }
    storage.records().close().await;
    let database = folder.path().join("tooth.sqlite");
    assert!(!folder.path().join("tooth.sqlite-wal").exists());
    let bytes = fs::read(&database).unwrap();
    Made { folder, database, bytes, files }
}

impl Made {
    fn restore(&self) {
        fs::write(&self.database, &self.bytes).unwrap();
        for end in ["-wal", "-shm", "-journal"] {
            let _ = fs::remove_file(format!("{}{end}", self.database.display()));
        }
    }

    /// Changes one byte of the closed database.
    fn change(&self, at: usize, by: u8) {
        self.restore();
        let mut bytes = self.bytes.clone();
        bytes[at] ^= by;
        fs::write(&self.database, bytes).unwrap();
    }
}

/// What a look at the whole record finds.
#[derive(Debug, PartialEq)]
enum Found {
    /// What is wrong, and which entries are the first altered ones of their jobs.
    Wrong(Vec<String>, Vec<(JobId, u64)>),
    /// It cannot be looked at, or not all of it.
    Error(StorageError),
    Nothing,
    /// No answer comes.
    Hangs,
}

/// Looks at the whole record, knowing nothing of what was there.
fn look(folder: &Path) -> Found {
    let folder = folder.to_path_buf();
    let (tell, told) = mpsc::channel();
    thread::spawn(move || {
        let runtime = Builder::new_current_thread().enable_all().build().unwrap();
        let _ = tell.send(runtime.block_on(found(&folder)));
    });
    match told.recv_timeout(Duration::from_secs(5)) {
        Ok(Ok((wrong, _))) if wrong.is_empty() => Found::Nothing,
        Ok(Ok((wrong, altered))) => Found::Wrong(wrong, altered),
        Ok(Err(error)) => Found::Error(error),
        Err(mpsc::RecvTimeoutError::Timeout) => Found::Hangs,
        // It panicked, and said so.
        Err(mpsc::RecvTimeoutError::Disconnected) => {
            Found::Wrong(vec!["a panic".to_owned()], Vec::new())
        }
    }
}

async fn found(folder: &Path) -> Result<(Vec<String>, Vec<(JobId, u64)>), StorageError> {
    let storage = Storage::open_or_make(folder).await?;
    let looked = async {
        let records = storage.records();
        let audit = records.audit().await.unwrap_or_else(|error| vec![error.said()]);
        let mut wrong: Vec<String> = audit.iter().map(|said| format!("{said:?}")).collect();
        let mut altered = Vec::new();
        for known in records.jobs().await? {
            let heads: Vec<Head> = records.heads(known.job).await?;
            let placed: Vec<Placed> = records.placed(known.job, 0).await?;
            let own = Some(storage.key());
            let verdict = verify(known.job, &placed, &heads, own, &Trust::default());
            if let Some(first) = verdict.first_altered() {
                wrong.push(format!("{} in {}: {:?}", first.place, known.job, first.wrong));
                altered.push((known.job, first.place));
            }
        }
        Ok((wrong, altered))
    }
    .await;
    storage.records().close().await;
    looked
}

/// All columns of all tables, byte by byte.
async fn dump(database: &Path) -> Result<Vec<Vec<String>>, sqlx::Error> {
    const TABLES: [&str; 5] = [
        "SELECT hex(key) FROM installation ORDER BY rowid",
        "SELECT hex(job) || ' ' || hex(id) || ' ' || hex(entries) || ' ' || hex(link) FROM job ORDER BY rowid",
        "SELECT hex(job) || ' ' || hex(place) || ' ' || hex(id) || ' ' || hex(received) || ' ' || hex(link) || ' ' || hex(bytes) FROM entry ORDER BY rowid",
        "SELECT hex(job) || ' ' || hex(entries) || ' ' || hex(key) || ' ' || hex(signed) || ' ' || hex(link) || ' ' || hex(signature) FROM head ORDER BY rowid",
        "SELECT hex(job) || ' ' || hex(hash) FROM erased ORDER BY rowid",
    ];
    let options = SqliteConnectOptions::new().filename(database).read_only(true).immutable(true);
    let pool = SqlitePool::connect_with(options).await?;
    let mut all = Vec::new();
    for table in TABLES {
        all.push(sqlx::query_scalar(table).fetch_all(&pool).await?);
    }
    pool.close().await;
    Ok(all)
}

#[test]
fn a_byte_changed_anywhere_in_the_database_is_found_or_means_nothing() {
    let tries = crate::setting("TOOTH_FLIPS", 400);
    let mut chance = Chance::new(crate::seed());
    let runtime = Runtime::new().unwrap();
    let made = runtime.block_on(make());
    assert_eq!(look(made.folder.path()), Found::Nothing);
    made.restore();
    let original = runtime.block_on(dump(&made.database)).unwrap();
    assert_eq!(original.iter().map(Vec::len).collect::<Vec<_>>(), [1, 2, 60, 10, 0]);
    let (mut finds, mut meaningless) = (0, 0);
    let (mut missed, mut hung) = (Vec::new(), Vec::new());
    for _ in 0..tries {
        let (at, by) = (chance.below(made.bytes.len()), 1 + chance.below(255) as u8);
        made.change(at, by);
        match look(made.folder.path()) {
            Found::Wrong(..) | Found::Error(_) => finds += 1,
            Found::Hangs => hung.push((at, by)),
            Found::Nothing => {
                // The look may have written into the file: change the byte anew.
                made.change(at, by);
                match runtime.block_on(dump(&made.database)) {
                    Ok(now) if now == original => meaningless += 1,
                    other => missed.push((at, by, other.err().map(|error| error.to_string()))),
                }
            }
        }
    }
    println!(
        "{tries} bytes changed in a database of {}: {finds} found, {meaningless} without meaning, {} changed something and were not found, {} gave no answer",
        made.bytes.len(),
        missed.len(),
        hung.len()
    );
    assert_eq!((missed, hung), (Vec::new(), Vec::new()));
    assert!(finds > tries / 4);
}

#[test]
fn a_table_whose_form_is_no_text_is_not_waited_for() {
    let made = Runtime::new().unwrap().block_on(make());
    let mut hung = Vec::new();
    for word in ["BLOB", "BIGINT"] {
        for at in places(&made.bytes, word.as_bytes()) {
            if !hung.is_empty() {
                break;
            }
            // No byte of UTF-8.
            made.change(at + 1, made.bytes[at + 1] ^ 0xff);
            // A type without rows or without effect may mean nothing.
            if look(made.folder.path()) == Found::Hangs {
                hung.push(at);
            }
        }
    }
    assert_eq!(hung, [0; 0], "changed there, a look at the record never ends");
}

/// Where these bytes stand.
fn places(all: &[u8], sought: &[u8]) -> Vec<usize> {
    all.windows(sought.len())
        .enumerate()
        .filter(|(_, window)| *window == sought)
        .map(|(at, _)| at)
        .collect()
}

#[test]
fn a_byte_changed_in_what_is_recorded_is_always_found_at_its_place() {
    const TRIES: usize = 100;
    let mut chance = Chance::new(crate::seed());
    let runtime = Runtime::new().unwrap();
    let made = runtime.block_on(make());
    let spots = runtime.block_on(spots(&made));
    made.restore();
    let original = runtime.block_on(dump(&made.database)).unwrap();
    let kinds: Vec<&str> = spots.keys().copied().collect();
    let mut tried: BTreeMap<&str, usize> = BTreeMap::new();
    let mut old_copies = 0;
    for number in 0..TRIES {
        // Half of them in entries.
        let kind = if number % 2 == 0 { "entry" } else { kinds[number / 2 % kinds.len()] };
        let (of, place, at, by) = loop {
            let (of, place, start, length) = spots[kind][chance.below(spots[kind].len())];
            let (at, by) = (start + chance.below(length), 1 + chance.below(255) as u8);
            made.change(at, by);
            // Free space may hold an old copy of what was moved within the file.
            match runtime.block_on(dump(&made.database)) {
                Ok(now) if now == original => old_copies += 1,
                _ => break (of, place, at, by),
            }
        };
        made.change(at, by);
        match (look(made.folder.path()), place) {
            (Found::Wrong(_, altered), Some(place)) => {
                assert_eq!(altered, [(of, place)], "a byte at {at}");
            }
            (Found::Wrong(..) | Found::Error(_), None) => {}
            (other, _) => {
                assert_eq!(other, Found::Hangs, "a byte of a {kind} at {at}: not found");
                assert_ne!(other, Found::Hangs, "a byte of a {kind} at {at}: no answer");
            }
        }
        *tried.entry(kind).or_default() += 1;
    }
    println!(
        "{TRIES} bytes changed in what is recorded, all found: {tried:?}; {old_copies} in old copies"
    );
}

/// What is recorded: job, place where it is an entry, offset and length in the file.
type Spots = BTreeMap<&'static str, Vec<(JobId, Option<u64>, usize, usize)>>;

async fn spots(made: &Made) -> Spots {
    let storage = Storage::open_or_make(made.folder.path()).await.unwrap();
    let mut spots = Spots::new();
    for of in [job(0), job(1)] {
        let mut note = |kind, entry, sought: &[u8]| {
            let at = places(&made.bytes, sought);
            assert!(!at.is_empty(), "{kind} is not to be seen in the file");
            let spots = spots.entry(kind).or_default();
            spots.extend(at.into_iter().map(|at| (of, entry, at, sought.len())));
        };
        for entry in storage.records().placed(of, 0).await.unwrap() {
            note("entry", Some(entry.place), &entry.bytes);
            note("link", None, entry.link.as_bytes());
            note("received", None, &entry.received.as_microsecond().to_be_bytes());
        }
        for head in storage.records().heads(of).await.unwrap() {
            note("signature", None, head.signature.as_bytes());
        }
    }
    storage.records().close().await;
    spots
}

#[tokio::test]
async fn a_byte_changed_in_a_file_is_always_found() {
    let mut chance = Chance::new(crate::seed());
    let made = make().await;
    let storage = Storage::open_or_make(made.folder.path()).await.unwrap();
    for hash in &made.files {
        let name = hash.to_string();
        let path = made.folder.path().join("files").join(&name[..2]).join(&name);
        let whole = fs::read(&path).unwrap();
        for _ in 0..20 {
            let mut bytes = whole.clone();
            let at = chance.below(bytes.len());
            bytes[at] ^= 1 + chance.below(255) as u8;
            fs::write(&path, bytes).unwrap();
            assert_eq!(storage.files().state(*hash).await.unwrap(), FileState::Altered);
            let got = storage.files().get(*hash).await;
            assert_eq!(got, Err(StorageError::FileAltered(*hash)));
        }
        fs::write(&path, whole).unwrap();
        assert_eq!(storage.files().state(*hash).await.unwrap(), FileState::Whole);
    }
}

#[tokio::test]
async fn a_key_file_that_was_changed_is_found_and_a_copy_put_back_mends_it() {
    let made = make().await;
    let path = made.folder.path().join("installation.key");
    let key = fs::read(&path).unwrap();
    let mut other = key.clone();
    other[0] = b'6';
    for changed in [other, key[..40].to_vec(), b"z".repeat(64), b"+5".repeat(32), Vec::new()] {
        fs::write(&path, changed).unwrap();
        let error = Storage::open(made.folder.path()).await.unwrap_err();
        assert!(matches!(error, StorageError::Key(_)), "{error:?}");
        fs::write(&path, &key).unwrap();
        let mended = Storage::open(made.folder.path()).await.unwrap().unwrap();
        mended.records().close().await;
    }
}

#[tokio::test]
async fn without_its_key_file_a_record_is_read_and_not_written_and_no_other_key_is_made() {
    let made = make().await;
    let path = made.folder.path().join("installation.key");
    let key = fs::read(&path).unwrap();
    fs::remove_file(&path).unwrap();
    for making in [false, true] {
        let storage = if making {
            Storage::open_or_make(made.folder.path()).await.unwrap()
        } else {
            Storage::open(made.folder.path()).await.unwrap().unwrap()
        };
        assert_eq!(storage.records().placed(job(0), 0).await.unwrap().len(), 36);
        let refused = storage.append(job(0), vec![stated(99, "")], time(0), Admission::Each).await;
        assert!(matches!(refused, Err(StorageError::Key(_))), "{refused:?}");
        storage.records().close().await;
        assert!(!path.exists(), "a new key lies where the old one must be put back");
    }
    fs::write(&path, key).unwrap();
    let storage = Storage::open(made.folder.path()).await.unwrap().unwrap();
    storage.append(job(0), vec![stated(99, "")], time(0), Admission::Each).await.unwrap();
}
