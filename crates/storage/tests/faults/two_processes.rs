//! Two programs that use one folder at the same time.

use std::collections::BTreeSet;
use std::path::Path;
use std::process::{Child, Stdio};

use tokio::runtime::Runtime;
use tooth_storage::{RecordStore as _, Storage};

use crate::check::{audit_is_empty, files_are_whole, job_holds, no_half_files};
use crate::writer::{Order, Said, acknowledged, heard, program};

/// Runs two orders at the same time, and gives what each said.
fn both(orders: [Order; 2]) -> [Vec<Said>; 2] {
    let start = |order: Order| -> Child {
        order.command(&[], &program()).stderr(Stdio::inherit()).spawn().unwrap()
    };
    orders.map(start).map(|child| {
        let done = child.wait_with_output().unwrap();
        assert!(done.status.success());
        let text = String::from_utf8_lossy(&done.stdout).into_owned();
        let said: Vec<Said> = text.lines().filter_map(heard).collect();
        assert!(said.last().is_some_and(|(word, _)| word == "end"), "{text}");
        assert!(said.iter().all(|(word, _)| word != "wrong"), "{text}");
        said
    })
}

fn orders(what: &'static str, folder: &Path, count: u64) -> [Order; 2] {
    [0, 1].map(|tag| Order { what, folder: folder.to_path_buf(), tag, job: 1, count })
}

fn errors(said: &[Vec<Said>; 2]) -> Vec<&str> {
    let lines = said.iter().flatten().filter(|(word, _)| word == "error");
    lines.map(|(_, what)| what.as_str()).collect()
}

#[test]
fn two_programs_that_write_to_one_job_lose_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let said = both(orders("append", folder.path(), 120));
    assert_eq!(errors(&said), [""; 0]);
    let sent: BTreeSet<u64> = said.iter().flat_map(|said| acknowledged(said)).collect();
    assert_eq!(said.map(|said| said.iter().filter(|(word, _)| word == "ack").count()), [120, 120]);
    Runtime::new().unwrap().block_on(async {
        let storage = Storage::open_or_make(folder.path()).await.unwrap();
        assert_eq!(job_holds(&storage, 1, &sent).await, sent);
        files_are_whole(&storage, sent.iter().copied()).await;
        let (_, parts) = no_half_files(&storage, folder.path()).await;
        assert_eq!(parts, 0);
        audit_is_empty(&storage).await;
        storage.records().close().await;
    });
    println!("two programs wrote {} entries in 240 batches, all there", sent.len());
}

#[test]
fn two_programs_that_make_one_folder_at_once_get_the_same_key_and_no_error() {
    const ROUNDS: u64 = 60;
    let folder = tempfile::tempdir().unwrap();
    let said = both(orders("create", folder.path(), ROUNDS));
    let errors = errors(&said);
    assert!(errors.is_empty(), "{} errors in {ROUNDS} rounds: {:?}", errors.len(), errors.first());
    let [one, other] = said.map(|said| -> Vec<String> {
        said.into_iter().filter(|(word, _)| word == "key").map(|(_, key)| key).collect()
    });
    assert_eq!(one.len() as u64, ROUNDS);
    assert_eq!(one, other, "keys differ");
    Runtime::new().unwrap().block_on(async {
        let sent = [1, 2].iter().flat_map(|tag| (tag << 24)..(tag << 24) + 3).collect();
        for round in 0..ROUNDS {
            let path = folder.path().join(round.to_string());
            let storage = Storage::open_or_make(&path).await.unwrap();
            assert_eq!(job_holds(&storage, 1, &sent).await, sent);
            storage.records().close().await;
            let parts = std::fs::read_dir(&path).unwrap();
            let parts = parts.filter(|item| {
                item.as_ref().unwrap().file_name().to_string_lossy().contains(".part")
            });
            assert_eq!(parts.count(), 0, "no half key is left lying");
        }
    });
}
