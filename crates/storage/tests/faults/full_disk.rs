//! A disk that is full. Without rights over the machine, a limit on the length of files
//! stands for it: a write beyond it fails in the same place.

use std::collections::BTreeSet;

use sqlx::sqlite::{SqliteConnectOptions, SqlitePool, SqlitePoolOptions};
use tokio::runtime::Runtime;
use tooth_storage::{Admission, RecordStore as _, Storage, StorageError};

use crate::check::{audit_is_empty, files_are_whole, job_holds, no_half_files};
use crate::entries::{job, time};
use crate::writer::{Order, acknowledged, entry, program};

/// Runs a writer whose files may have so many blocks of 512 bytes at most.
fn starved(order: &Order, blocks: u64) -> Vec<(String, String)> {
    let script = format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$0\" \"$@\"");
    order.run(&["sh", "-c", &script], &program())
}

#[test]
fn nothing_acknowledged_is_lost_on_a_full_disk_and_writing_goes_on_after_it() {
    let runtime = Runtime::new().unwrap();
    // From "not even the schema" to "the log may be written into the database once".
    for blocks in [0, 1, 16, 60, 100, 160, 400, 2000, 8300] {
        let folder = tempfile::tempdir().unwrap();
        let order = |tag, count| Order {
            what: "append",
            folder: folder.path().to_path_buf(),
            tag,
            job: 1,
            count,
        };
        let mut sent = BTreeSet::new();
        if blocks >= 100 {
            sent.extend(acknowledged(&order(1, 3).run(&[], &program())));
        }
        let said = starved(&order(2, 3000), blocks);
        let errors: Vec<&str> =
            said.iter().filter(|(word, _)| word == "error").map(|(_, what)| &**what).collect();
        println!(
            "{blocks} blocks: {} acknowledged, then {:?}",
            acknowledged(&said).len(),
            errors.first()
        );
        assert!(!errors.is_empty(), "{blocks} blocks: the limit was not reached");
        assert!(said.iter().all(|(word, _)| word != "wrong"), "{said:?}");
        sent.extend(acknowledged(&said));
        let check = async |sent: &BTreeSet<u64>| {
            let storage = Storage::open_or_make(folder.path()).await.unwrap();
            job_holds(&storage, 1, sent).await;
            files_are_whole(&storage, sent.iter().copied()).await;
            no_half_files(&storage, folder.path()).await;
            audit_is_empty(&storage).await;
            storage.records().close().await;
        };
        runtime.block_on(check(&sent));
        let said = order(3, 3).run(&[], &program());
        assert_eq!(said.iter().filter(|(word, _)| word == "ack").count(), 3, "{said:?}");
        sent.extend(acknowledged(&said));
        runtime.block_on(check(&sent));
    }
}

#[tokio::test]
async fn a_database_without_room_for_a_page_says_that_the_disk_is_full() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("full.sqlite");
    let options = SqliteConnectOptions::new().filename(path).create_if_missing(true);
    let pool = SqlitePoolOptions::new().max_connections(1).connect_with(options).await.unwrap();
    sqlx::raw_sql("PRAGMA max_page_count = 4; CREATE TABLE t (b BLOB)")
        .execute(&pool)
        .await
        .unwrap();
    let full = sqlx::raw_sql("INSERT INTO t VALUES (zeroblob(100000))").execute(&pool).await;
    let error = StorageError::from(full.unwrap_err());
    assert!(matches!(error, StorageError::Full(_)), "{error:?}");
}

/// On a full disk SQLite takes the whole transaction back by itself; so does this
/// trigger. Afterwards the same open storage must write again.
#[tokio::test]
async fn a_batch_that_the_database_took_back_by_itself_does_not_hinder_the_next() {
    let folder = tempfile::tempdir().unwrap();
    let storage = Storage::open_or_make(folder.path()).await.unwrap();
    let path = folder.path().join("tooth.sqlite");
    let pool = SqlitePool::connect_with(SqliteConnectOptions::new().filename(path)).await.unwrap();
    sqlx::raw_sql(
        "CREATE TRIGGER full BEFORE INSERT ON head BEGIN SELECT RAISE(ROLLBACK, 'full'); END",
    )
    .execute(&pool)
    .await
    .unwrap();
    let append = async |number| {
        storage.append(job(1), vec![entry(number)], time(number), Admission::Each).await
    };
    for number in [1, 2] {
        assert!(append(number).await.is_err());
    }
    sqlx::raw_sql("DROP TRIGGER full").execute(&pool).await.unwrap();
    pool.close().await;
    for number in [1, 2] {
        assert_eq!(append(number).await.map(|receipt| receipt.placed()), Ok(1));
    }
    job_holds(&storage, 1, &BTreeSet::from([1, 2])).await;
}
