//! The process that other tests start, kill and starve.

use std::env;
use std::fs;
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use tokio::runtime::Runtime;
use tooth_record::chain::{Trust, verify};
use tooth_record::{EntryId, Fact, FileHash, FileName};
use tooth_storage::{
    Admission, FileState, RecordStore as _, Sealed, SqliteStore, Storage, StorageError,
};

use crate::chance::Chance;
use crate::entries::{job, sealed, stated, time};

/// What a writer shall do.
#[derive(Debug, Clone)]
pub(crate) struct Order {
    /// `append`, `create` or `read`.
    pub(crate) what: &'static str,
    /// The data folder.
    pub(crate) folder: PathBuf,
    /// Makes its entries differ from those of other writers.
    pub(crate) tag: u64,
    /// The job.
    pub(crate) job: u64,
    /// Number of batches or rounds.
    pub(crate) count: u64,
}

/// A line that the writer said: its word and what follows.
pub(crate) type Said = (String, String);

impl Order {
    /// A command that runs this test program as the writer, behind `before`.
    pub(crate) fn command(&self, before: &[&str], program: &Path) -> Command {
        let mut words: Vec<&std::ffi::OsStr> = before.iter().map(|word| word.as_ref()).collect();
        words.push(program.as_os_str());
        let mut command = Command::new(words[0]);
        command
            .args(&words[1..])
            .args(["--exact", "writer_process", "--nocapture", "--test-threads=1"])
            .env("TOOTH_WRITER", self.what)
            .env("TOOTH_WRITER_FOLDER", &self.folder)
            .env("TOOTH_WRITER_TAG", self.tag.to_string())
            .env("TOOTH_WRITER_JOB", self.job.to_string())
            .env("TOOTH_WRITER_COUNT", self.count.to_string())
            .env("RUST_BACKTRACE", "0")
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        command
    }

    /// Runs it to its end.
    pub(crate) fn run(&self, before: &[&str], program: &Path) -> Vec<Said> {
        let done = self.command(before, program).output().unwrap();
        let words = String::from_utf8_lossy(&done.stderr);
        assert!(done.status.success(), "{self:?}: {}: {words}", done.status);
        let said: Vec<Said> =
            String::from_utf8_lossy(&done.stdout).lines().filter_map(heard).collect();
        assert!(said.last().is_some_and(|(word, _)| word == "end"), "{said:?} {words}");
        said
    }
}

/// This test program.
pub(crate) fn program() -> PathBuf {
    env::current_exe().unwrap()
}

/// A line of the writer; none where it is the test harness's or was cut short.
pub(crate) fn heard(line: &str) -> Option<Said> {
    let line = line.trim_end().strip_prefix("> ")?.strip_suffix(" .")?;
    let (word, rest) = line.split_once(' ').unwrap_or((line, ""));
    Some((word.to_owned(), rest.to_owned()))
}

/// Numbers of the entries that were acknowledged.
pub(crate) fn acknowledged(said: &[Said]) -> Vec<u64> {
    let lines = said.iter().filter(|(word, _)| word == "ack");
    lines.flat_map(|(_, ids)| ids.split(' ').map(number_in)).collect()
}

fn number_in(id: &str) -> u64 {
    number_of(EntryId::parse(id).unwrap())
}

/// The number that the id of an entry was made from.
pub(crate) fn number_of(id: EntryId) -> u64 {
    let [.., a, b, c, d, e, f, g, h] = *id.as_bytes();
    u64::from_be_bytes([a & 0x7f, b, c, d, e, f, g, h])
}

/// Whether the entry of a number is a file.
pub(crate) fn is_file(number: u64) -> bool {
    number % 29 == 3
}

/// The bytes of its file.
pub(crate) fn file(number: u64) -> Vec<u8> {
    let mut chance = Chance::new(number);
    let count = chance.below(60_000);
    chance.bytes(count)
}

/// The entry of a number: what a writer sends, and what must be there afterwards.
pub(crate) fn entry(number: u64) -> Sealed {
    if !is_file(number) {
        let text = "x".repeat(Chance::new(number).below(300));
        return stated(number, &text);
    }
    let bytes = file(number);
    let name = FileName::new(&format!("photos/{number}.jpg")).unwrap();
    let (hash, bytes) = (FileHash::of(&bytes), bytes.len() as u64);
    sealed(number, Fact::Attached { name, hash, bytes, replaces: Vec::new() })
}

fn say(word: &str, rest: &str) {
    let mut out = io::stdout().lock();
    // The harness may have left its own line open.
    out.write_all(format!("\n> {word} {rest} .\n").as_bytes()).unwrap();
    out.flush().unwrap();
}

/// Does what the environment orders.
pub(crate) fn obey() {
    let Ok(what) = env::var("TOOTH_WRITER") else { return };
    let number = |name| crate::setting(name, 0);
    let order = Order {
        what: "",
        folder: env::var_os("TOOTH_WRITER_FOLDER").unwrap().into(),
        tag: number("TOOTH_WRITER_TAG"),
        job: number("TOOTH_WRITER_JOB"),
        count: number("TOOTH_WRITER_COUNT"),
    };
    let runtime = Runtime::new().unwrap();
    match what.as_str() {
        "append" => runtime.block_on(append(&order)),
        "create" => runtime.block_on(create(&order)),
        "read" => runtime.block_on(read(&order)),
        other => say("unknown", other),
    }
    say("end", "");
}

/// Appends batches, and says which after each; stops after a few errors.
async fn append(order: &Order) {
    let storage = match Storage::open_or_make(&order.folder).await {
        Ok(storage) => storage,
        Err(error) => return say("error", &format!("open: {error:?}")),
    };
    say("open", "");
    let mut chance = Chance::new(order.tag);
    let (mut next, mut errors) = (order.tag << 24, 0);
    for _ in 0..order.count {
        let count = 1 + chance.below(40) as u64;
        let batch = next..next + count;
        next += count;
        if let Err(error) = send(&storage, order.job, batch).await {
            say("error", &format!("{error:?}"));
            errors += 1;
            if errors == 4 {
                break;
            }
        }
    }
    storage.records().close().await;
}

async fn send(
    storage: &Storage<SqliteStore>,
    to: u64,
    numbers: std::ops::Range<u64>,
) -> Result<(), StorageError> {
    for number in numbers.clone().filter(|number| is_file(*number)) {
        storage.files().put(file(number)).await?;
        say("put", &number.to_string());
    }
    let batch: Vec<Sealed> = numbers.clone().map(entry).collect();
    let ids: Vec<String> = batch.iter().map(|sealed| sealed.entry.id.to_string()).collect();
    let receipt =
        storage.append(job(to), batch, time(numbers.start % 1000), Admission::Each).await?;
    if receipt.placed() == ids.len() {
        say("ack", &ids.join(" "));
    } else {
        say("wrong", &format!("{:?}", receipt.outcomes));
    }
    Ok(())
}

/// Opens new folders in the same moment as another process, and appends to each.
async fn create(order: &Order) {
    for round in 0..order.count {
        let ready = |tag: u64| order.folder.join(format!("ready-{round}-{tag}"));
        fs::write(ready(order.tag), "").unwrap();
        let start = Instant::now();
        while !ready(1 - order.tag).exists() {
            if start.elapsed() > Duration::from_secs(30) {
                return say("error", "the other process does not come");
            }
            thread::yield_now();
        }
        let storage = match Storage::open_or_make(&order.folder.join(round.to_string())).await {
            Ok(storage) => storage,
            Err(error) => {
                say("error", &format!("round {round}, open: {error:?}"));
                continue;
            }
        };
        say("key", &format!("{round} {}", storage.key()));
        let first = (order.tag + 1) << 24;
        if let Err(error) = send(&storage, 1, first..first + 3).await {
            say("error", &format!("round {round}, append: {error:?}"));
        }
        storage.records().close().await;
    }
}

/// Reads a folder that cannot be written, and tries to write.
async fn read(order: &Order) {
    let storage = match Storage::open(&order.folder).await {
        Ok(Some(storage)) => storage,
        other => return say("error", &format!("open: {other:?}")),
    };
    say("open", "");
    let records = storage.records();
    let heads = records.heads(job(order.job)).await.unwrap();
    let placed = records.placed(job(order.job), 0).await.unwrap();
    let verdict = verify(job(order.job), &placed, &heads, Some(storage.key()), &Trust::default());
    say("whole", &format!("{} {}", verdict.is_whole(), placed.len()));
    say("audit", &format!("{:?}", records.audit().await));
    let mut files = Vec::new();
    for placed in &placed {
        for (hash, _) in Sealed::read(placed.bytes.clone()).unwrap().entry.fact.files() {
            files.push(storage.files().state(hash).await.unwrap());
        }
    }
    let good = files.iter().filter(|state| **state == FileState::Whole).count();
    say("files", &format!("{good} of {}", files.len()));
    let new = vec![stated(1, "")];
    let appended = storage.append(job(order.job), new.clone(), time(0), Admission::Each).await;
    say("append", &format!("{:?}", appended.map(|_| ())));
    let appended = storage.append(job(order.job + 1), new, time(0), Admission::Each).await;
    say("append", &format!("{:?}", appended.map(|_| ())));
    let known = vec![Sealed::read(placed[0].bytes.clone()).unwrap()];
    let appended = storage.append(job(order.job), known, time(0), Admission::Each).await;
    say("repeat", &format!("{:?}", appended.map(|receipt| receipt.placed())));
    say("put", &format!("{:?}", storage.files().put(b"a new one".to_vec()).await.map(drop)));
    records.close().await;
}
