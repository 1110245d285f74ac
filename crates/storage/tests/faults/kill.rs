//! A program that is killed at any moment.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{BufRead as _, BufReader};
use std::sync::mpsc;
use std::thread;
use std::time::Duration;

use tokio::runtime::Runtime;
use tooth_storage::{RecordStore as _, Storage};

use crate::chance::Chance;
use crate::check::{audit_is_empty, files_are_whole, job_holds, no_half_files};
use crate::writer::{Order, Said, acknowledged, heard, program};

/// Rounds that write to one job, before the next one begins.
const ROUNDS_OF_A_JOB: u64 = 10;
/// Everything is looked at once in so many rounds.
const ROUNDS_OF_ALL: u64 = 20;

/// Starts a writer, kills it at a moment that chance chooses, and gives what it said.
fn killed(order: &Order, chance: &mut Chance) -> Vec<Said> {
    let mut child = order.command(&[], &program()).spawn().unwrap();
    let out = BufReader::new(child.stdout.take().unwrap());
    let (tell, told) = mpsc::channel();
    let listener = thread::spawn(move || {
        let lines = out.lines().map_while(Result::ok);
        lines.filter_map(|line| heard(&line)).for_each(|said| drop(tell.send(said)));
    });
    let mut said = Vec::new();
    if chance.below(4) == 0 {
        // Perhaps before anything was acknowledged, perhaps before it was opened.
        thread::sleep(Duration::from_micros(chance.below(40_000) as u64));
    } else {
        while let Ok(line) = told.recv_timeout(Duration::from_secs(60)) {
            let acknowledged = line.0 == "ack";
            said.push(line);
            if acknowledged {
                break;
            }
        }
        // Short waits more often than long ones: up to 120 ms.
        let wait = chance.below(120_000) * chance.below(1000) / 1000;
        thread::sleep(Duration::from_micros(wait as u64));
    }
    child.kill().unwrap();
    let ended = child.wait().unwrap();
    assert!(!ended.success(), "the writer ended by itself");
    listener.join().unwrap();
    said.extend(told);
    said
}

#[test]
fn nothing_acknowledged_is_lost_when_the_program_is_killed() {
    let mut chance = Chance::new(crate::seed());
    let rounds = crate::setting("TOOTH_KILLS", 200);
    let folder = tempfile::tempdir().unwrap();
    let runtime = Runtime::new().unwrap();
    let mut sent: BTreeMap<u64, BTreeSet<u64>> = BTreeMap::new();
    let mut there: BTreeMap<u64, BTreeSet<u64>> = BTreeMap::new();
    let mut put = BTreeSet::new();
    let (mut before_any, mut files, mut parts) = (0, 0, 0);
    for round in 1..=rounds {
        let job = round / ROUNDS_OF_A_JOB;
        let order = Order {
            what: "append",
            folder: folder.path().to_path_buf(),
            tag: round,
            job,
            count: u64::MAX,
        };
        let said = killed(&order, &mut chance);
        let strange = said.iter().find(|(word, _)| !["open", "put", "ack"].contains(&&**word));
        assert_eq!(strange, None, "round {round}");
        let new = acknowledged(&said);
        before_any += u64::from(new.is_empty());
        let new_files: Vec<u64> = said
            .iter()
            .filter(|(word, _)| word == "put")
            .map(|(_, number)| number.parse().unwrap())
            .collect();
        runtime.block_on(async {
            let storage = Storage::open_or_make(folder.path()).await.unwrap();
            sent.entry(job).or_default().extend(&new);
            there.insert(job, job_holds(&storage, job, &sent[&job]).await);
            files_are_whole(&storage, new.into_iter().chain(new_files.iter().copied())).await;
            put.extend(new_files);
            if round % ROUNDS_OF_ALL == 0 || round == rounds {
                audit_is_empty(&storage).await;
                for (job, sent) in &sent {
                    assert_eq!(job_holds(&storage, *job, sent).await, there[job]);
                }
                files_are_whole(&storage, put.iter().copied()).await;
                (files, parts) = no_half_files(&storage, folder.path()).await;
            }
            storage.records().close().await;
        });
    }
    let sent: usize = sent.values().map(BTreeSet::len).sum();
    let there: usize = there.values().map(BTreeSet::len).sum();
    println!(
        "{rounds} kills, {before_any} of them before an acknowledgement; {sent} entries acknowledged, all there; {} more found complete; {} files acknowledged, {files} there, all whole; {parts} unfinished parts left lying",
        there - sent,
        put.len(),
    );
    assert!(sent > 0 && there >= sent);
}
