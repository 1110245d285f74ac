//! How fast batches are appended, beside the same rows put into the same tables of
//! SQLite with nothing of ours: no hash, no chain, no signature, no look for repeats.
//!
//! Prints the ratio; both run in turns in one process on the same disk.

#![expect(clippy::unwrap_used, reason = "a benchmark may stop at the first fault")]

use std::path::Path;
use std::time::{Duration, Instant};

use jiff::Timestamp;
use sqlx::sqlite::{SqliteConnectOptions, SqliteJournalMode, SqlitePool, SqliteSynchronous};
use sqlx::{Connection as _, QueryBuilder, Sqlite};
use tooth_record::chain::InstallationKey;
use tooth_record::{Entry, EntryId, Fact, JobId, Name, Thing};
use tooth_storage::{Admission, RecordStore as _, Sealed, SqliteStore};
use uuid::Uuid;

const BATCH: usize = 1000;
const BATCHES: usize = 50;

fn batch(number: usize) -> Vec<Sealed> {
    let entry = |at: usize| {
        let count = (number * BATCH + at) as u64;
        // Ids as devices make them: rising with time.
        let id = Uuid::from_u64_pair(0x0192_0000_0000_7000 + count, 0x8000_0000_0000_0000 | count);
        let thing = Thing::parse(&format!("reading/R{count}")).unwrap();
        let value = serde_json::json!({
            "kind": "pull_off", "zone": "workshop", "x": "12.5", "y": "31.25", "value": "212",
            "unit": "psi", "detail": "substrate", "instrument": "tester 1",
            "time": "2026-09-10T08:10", "by": "M. Adeyemi"
        });
        let (author, device) = (Name::new("M. Adeyemi"), Name::new("tablet 2").unwrap());
        let time = "2026-09-10T08:10:03Z".parse().ok();
        Sealed::write(Entry::new(
            EntryId::from_uuid(id),
            author,
            device,
            time,
            Fact::Stated { thing, value },
        ))
        .unwrap()
    };
    (0..BATCH).map(entry).collect()
}

async fn raw(path: &Path) -> SqlitePool {
    let options = SqliteConnectOptions::new()
        .filename(path)
        .create_if_missing(true)
        .journal_mode(SqliteJournalMode::Wal)
        .synchronous(SqliteSynchronous::Full);
    let pool = SqlitePool::connect_with(options).await.unwrap();
    let form = include_str!("../migrations/sqlite/0001_record.sql");
    sqlx::raw_sql(form).execute(&pool).await.unwrap();
    sqlx::raw_sql("INSERT INTO job VALUES (1, 'raw', 0, x'00')").execute(&pool).await.unwrap();
    pool
}

/// The fastest plain way that was found: many rows a statement.
async fn insert(pool: &SqlitePool, place: &mut i64, batch: &[Sealed], rows: usize) {
    let mut connection = pool.acquire().await.unwrap();
    let mut turn = connection.begin_with("BEGIN IMMEDIATE").await.unwrap();
    for part in batch.chunks(rows) {
        let mut query: QueryBuilder<Sqlite> =
            QueryBuilder::new("INSERT INTO entry (job, place, id, received, link, bytes) ");
        query.push_values(part, |mut values, sealed| {
            *place += 1;
            values
                .push_bind(1i64)
                .push_bind(*place)
                .push_bind(sealed.entry.id.as_bytes().to_vec())
                .push_bind(1_700_000_000_000_000i64)
                .push_bind(vec![7u8; 32])
                .push_bind(sealed.bytes.clone());
        });
        query.build().execute(&mut *turn).await.unwrap();
    }
    turn.commit().await.unwrap();
}

#[tokio::main]
async fn main() {
    let folder = tempfile::tempdir_in(".").unwrap();
    let ours = SqliteStore::open(&folder.path().join("ours.sqlite")).await.unwrap();
    let plain = raw(&folder.path().join("plain.sqlite")).await;
    let single = raw(&folder.path().join("single.sqlite")).await;
    let key = InstallationKey::from_bytes(&[7; 32]);
    let job = JobId::parse("0192f0c0-0000-7000-8000-000000000001").unwrap();
    let received: Timestamp = "2026-09-10T08:11:00Z".parse().unwrap();
    let mut times = [Duration::ZERO; 3];
    let (mut plain_place, mut single_place) = (0, 0);
    for number in 0..BATCHES {
        let batch = batch(number);
        let start = Instant::now();
        let receipt = ours.append(job, &batch, received, &key, Admission::Each).await.unwrap();
        times[0] += start.elapsed();
        assert_eq!(receipt.placed(), BATCH);
        let start = Instant::now();
        insert(&plain, &mut plain_place, &batch, 250).await;
        times[1] += start.elapsed();
        let start = Instant::now();
        insert(&single, &mut single_place, &batch, 1).await;
        times[2] += start.elapsed();
    }
    let rate = |time: Duration| (BATCH * BATCHES) as f64 / time.as_secs_f64();
    println!(
        "{} entries of {} bytes in batches of {BATCH}",
        BATCH * BATCHES,
        batch(0)[0].bytes.len()
    );
    println!("ours, chained and signed       {:>9.0} entries/s", rate(times[0]));
    println!("SQLite, 250 rows a statement   {:>9.0} rows/s", rate(times[1]));
    println!("SQLite, one row a statement    {:>9.0} rows/s", rate(times[2]));
    println!("ours / 250 rows a statement    {:>9.2}", rate(times[0]) / rate(times[1]));
    println!("ours / one row a statement     {:>9.2}", rate(times[0]) / rate(times[2]));
}
