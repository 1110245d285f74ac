//! The record in SQLite: write-ahead log, one writer at a time, every commit on the
//! disk before it is acknowledged (`synchronous = FULL`).

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::time::Duration;

use jiff::Timestamp;
use sqlx::pool::PoolConnection;
use sqlx::sqlite::{
    SqliteConnectOptions, SqliteJournalMode, SqlitePool, SqlitePoolOptions, SqliteSynchronous,
};
use sqlx::{Connection as _, QueryBuilder, Row as _, Sqlite, SqliteConnection, Transaction};
use tooth_measure::say::{Said, said};
use tooth_record::chain::{Head, HeadSignature, InstallationKey, Link, Placed, PublicKey};
use tooth_record::{Entry, EntryId, Fact, FileHash, JobId};

use crate::error::StorageError;
use crate::store::{Admission, Adopted, JobHead, Outcome, Receipt, RecordStore, Sealed};

/// Forms of the database, oldest first; each is applied once, in one transaction.
const FORMS: [&str; 1] = [include_str!("../migrations/sqlite/0001_record.sql")];

/// How long a writer waits for its turn.
const PATIENCE: Duration = Duration::from_secs(30);

/// How long it pauses before it tries again to open.
const PAUSE: Duration = Duration::from_millis(20);

/// Rows that one statement inserts.
const ROWS: usize = 250;

/// A SQLite database of the record.
#[derive(Debug, Clone)]
pub struct SqliteStore {
    pool: SqlitePool,
}

type Result<T> = std::result::Result<T, StorageError>;

impl SqliteStore {
    /// Opens the database, and makes it where there is none. On a disk that cannot be
    /// written it opens for reading.
    ///
    /// # Errors
    /// [`StorageError`]: a damaged or newer database, a folder that cannot be used.
    pub async fn open(path: &Path) -> Result<Self> {
        let mut waited = Duration::ZERO;
        loop {
            match Self::open_to_write(path).await {
                Err(StorageError::ReadOnly(why)) if path.exists() => {
                    return Self::open_to_read(path, why).await;
                }
                // Turning the log on does not wait for its turn by itself.
                Err(StorageError::Busy(_)) if waited < PATIENCE => {
                    tokio::time::sleep(PAUSE).await;
                    waited += PAUSE;
                }
                opened => return opened,
            }
        }
    }

    async fn open_to_write(path: &Path) -> Result<Self> {
        if !path.exists() {
            // SQLite says only that it cannot open; the system says why.
            std::fs::OpenOptions::new().create(true).append(true).open(path)?;
        }
        let options = SqliteConnectOptions::new()
            .filename(path)
            .create_if_missing(true)
            .foreign_keys(true)
            .busy_timeout(PATIENCE)
            .journal_mode(SqliteJournalMode::Wal)
            .synchronous(SqliteSynchronous::Full);
        let pool = SqlitePoolOptions::new().max_connections(4).connect_with(options).await?;
        let store = Self { pool };
        store.bring_up_to_date().await?;
        Ok(store)
    }

    /// A medium that nobody can write, without a log left behind, is as it is.
    async fn open_to_read(path: &Path, why: Said) -> Result<Self> {
        let log = PathBuf::from(format!("{}-wal", path.display()));
        if std::fs::metadata(&log).is_ok_and(|data| data.len() > 0) {
            return Err(StorageError::ReadOnly(said!(
                "it-was-not-closed-properly-copy-the-folder",
                why = why
            )));
        }
        let options = SqliteConnectOptions::new().filename(path).read_only(true).immutable(true);
        let pool = SqlitePoolOptions::new().max_connections(4).connect_with(options).await?;
        let form: i64 = sqlx::query_scalar("PRAGMA user_version").fetch_one(&pool).await?;
        known_form(form)?;
        let store = Self { pool };
        store.refuse_other_form().await?;
        Ok(store)
    }

    /// Tables and indexes must be those that this program makes: the library that reads
    /// them trusts their text.
    async fn refuse_other_form(&self) -> Result<()> {
        let made: Vec<Vec<u8>> =
            sqlx::query_scalar("SELECT CAST(sql AS BLOB) FROM sqlite_schema WHERE sql IS NOT NULL")
                .fetch_all(&self.pool)
                .await?;
        let known = FORMS.concat();
        let all = known.matches("CREATE ").count();
        let is_known =
            |sql: &Vec<u8>| std::str::from_utf8(sql).is_ok_and(|sql| known.contains(sql));
        if made.len() == all && made.iter().all(is_known) {
            return Ok(());
        }
        Err(StorageError::Damaged(said!("its-tables-are-not-those-of-this-program")))
    }

    async fn bring_up_to_date(&self) -> Result<()> {
        let form: i64 = sqlx::query_scalar("PRAGMA user_version").fetch_one(&self.pool).await?;
        if known_form(form)? == FORMS.len() {
            return self.refuse_other_form().await;
        }
        let mut connection = self.pool.acquire().await?;
        let mut turn = connection.begin_with("BEGIN IMMEDIATE").await?;
        // Another process may have done it while this one waited for its turn.
        let form: i64 = sqlx::query_scalar("PRAGMA user_version").fetch_one(&mut *turn).await?;
        for sql in FORMS.iter().skip(known_form(form)?) {
            sqlx::raw_sql(*sql).execute(&mut *turn).await?;
        }
        sqlx::raw_sql("PRAGMA user_version = 1").execute(&mut *turn).await?;
        turn.commit().await?;
        Ok(())
    }
}

/// How many forms were applied.
fn known_form(form: i64) -> Result<usize> {
    usize::try_from(form)
        .ok()
        .filter(|form| *form <= FORMS.len())
        .ok_or(StorageError::Newer { found: form, known: FORMS.len() as i64 })
}

/// What is stored in a column, for the person to whom it is told that it is damaged.
#[derive(Clone, Copy)]
enum Stored {
    CountOfEntries,
    Hash,
    Id,
    Key,
    Link,
    Place,
    Signature,
}

impl Stored {
    fn said(self) -> Said {
        match self {
            Self::CountOfEntries => said!("a-count-of-entries"),
            Self::Hash => said!("a-hash"),
            Self::Id => said!("an-id"),
            Self::Key => said!("a-key"),
            Self::Link => said!("a-link"),
            Self::Place => said!("a-place"),
            Self::Signature => said!("a-signature"),
        }
    }
}

fn bytes<const N: usize>(blob: &[u8], what: Stored) -> Result<[u8; N]> {
    blob.try_into().map_err(|_| {
        StorageError::Damaged(said!("one-of-so-many-bytes", what = what.said(), count = blob.len()))
    })
}

fn time(microseconds: i64) -> Result<Timestamp> {
    Timestamp::from_microsecond(microseconds)
        .map_err(|error| StorageError::Damaged(error.to_string().into()))
}

/// Numbers of places are far below 2⁶³.
fn number(count: u64) -> i64 {
    i64::try_from(count).unwrap_or(i64::MAX)
}

fn count(number: i64, what: Stored) -> Result<u64> {
    u64::try_from(number).map_err(|_| {
        let number = number.to_string();
        StorageError::Damaged(said!("one-of-the-number", what = what.said(), number = number))
    })
}

/// A job's row, as a writer holds it during its turn.
struct JobRow {
    number: i64,
    entries: u64,
    link: Link,
}

type Turn<'a> = Transaction<'a, Sqlite>;

async fn job_row(connection: &mut SqliteConnection, job: JobId) -> Result<Option<JobRow>> {
    let row = sqlx::query("SELECT job, entries, link FROM job WHERE id = $1")
        .bind(job.to_string())
        .fetch_optional(connection)
        .await?;
    row.map(|row| {
        Ok(JobRow {
            number: row.try_get(0)?,
            entries: count(row.try_get(1)?, Stored::CountOfEntries)?,
            link: Link::from_bytes(bytes(row.try_get(2)?, Stored::Link)?),
        })
    })
    .transpose()
}

/// The job's row; a new one where there is none.
async fn own_row(turn: &mut Turn<'_>, job: JobId) -> Result<JobRow> {
    if let Some(row) = job_row(turn, job).await? {
        return Ok(row);
    }
    let link = Link::start(job);
    let number: i64 = sqlx::query_scalar(
        "INSERT INTO job (job, id, entries, link) SELECT COALESCE(MAX(job), 0) + 1, $1, 0, $2 FROM job RETURNING job",
    )
    .bind(job.to_string())
    .bind(link.as_bytes().as_slice())
    .fetch_one(&mut **turn)
    .await?;
    Ok(JobRow { number, entries: 0, link })
}

/// Places of those ids that are stored with the same bytes, and ids stored with others.
async fn known(
    turn: &mut Turn<'_>,
    row: &JobRow,
    batch: &[Sealed],
) -> Result<BTreeMap<EntryId, (u64, Vec<u8>)>> {
    let mut known = BTreeMap::new();
    if row.entries == 0 {
        return Ok(known);
    }
    for part in batch.chunks(ROWS) {
        let mut query = QueryBuilder::new("SELECT id, place, bytes FROM entry WHERE job = ");
        query.push_bind(row.number).push(" AND id IN (");
        let mut ids = query.separated(", ");
        for sealed in part {
            ids.push_bind(sealed.entry.id.as_bytes().to_vec());
        }
        ids.push_unseparated(")");
        for row in query.build().fetch_all(&mut **turn).await? {
            let id = EntryId::from_bytes(bytes(row.try_get(0)?, Stored::Id)?);
            known.insert(id, (count(row.try_get(1)?, Stored::Place)?, row.try_get(2)?));
        }
    }
    Ok(known)
}

/// A row that is about to be inserted.
struct NewRow<'a> {
    place: u64,
    id: EntryId,
    received: Timestamp,
    link: Link,
    bytes: &'a [u8],
}

async fn insert(turn: &mut Turn<'_>, job: i64, rows: &[NewRow<'_>]) -> Result<()> {
    for part in rows.chunks(ROWS) {
        let mut query =
            QueryBuilder::new("INSERT INTO entry (job, place, id, received, link, bytes) ");
        query.push_values(part, |mut values, row| {
            values
                .push_bind(job)
                .push_bind(number(row.place))
                .push_bind(row.id.as_bytes().to_vec())
                .push_bind(row.received.as_microsecond())
                .push_bind(row.link.as_bytes().to_vec())
                .push_bind(row.bytes.to_vec());
        });
        query.build().execute(&mut **turn).await?;
    }
    Ok(())
}

async fn end_at(turn: &mut Turn<'_>, job: i64, entries: u64, link: Link) -> Result<()> {
    sqlx::query("UPDATE job SET entries = $1, link = $2 WHERE job = $3")
        .bind(number(entries))
        .bind(link.as_bytes().as_slice())
        .bind(job)
        .execute(&mut **turn)
        .await?;
    Ok(())
}

async fn insert_head(turn: &mut Turn<'_>, job: i64, head: &Head) -> Result<()> {
    sqlx::query(
        "INSERT INTO head (job, entries, key, signed, link, signature) VALUES ($1, $2, $3, $4, $5, $6) ON CONFLICT DO NOTHING",
    )
    .bind(job)
    .bind(number(head.entries))
    .bind(head.key.as_bytes().as_slice())
    .bind(head.signed.as_microsecond())
    .bind(head.link.as_bytes().as_slice())
    .bind(head.signature.as_bytes().as_slice())
    .execute(&mut **turn)
    .await?;
    Ok(())
}

/// The file that an entry attaches.
fn attaches(entry: &Entry) -> Option<FileHash> {
    match &entry.fact {
        Fact::Attached { hash, .. } => Some(*hash),
        _ => None,
    }
}

async fn insert_erased(turn: &mut Turn<'_>, job: i64, entry: &Entry) -> Result<()> {
    let Fact::Erased { hash, .. } = &entry.fact else { return Ok(()) };
    sqlx::query("INSERT INTO erased (job, hash) VALUES ($1, $2) ON CONFLICT DO NOTHING")
        .bind(job)
        .bind(hash.as_bytes().as_slice())
        .execute(&mut **turn)
        .await?;
    Ok(())
}

async fn erased_of(connection: &mut SqliteConnection, job: i64) -> Result<BTreeSet<FileHash>> {
    let rows: Vec<Vec<u8>> = sqlx::query_scalar("SELECT hash FROM erased WHERE job = $1")
        .bind(job)
        .fetch_all(connection)
        .await?;
    rows.iter()
        .map(|hash| Ok(FileHash::from_hash(bytes::<32>(hash, Stored::Hash)?.into())))
        .collect()
}

async fn heads_of(connection: &mut SqliteConnection, job: JobId, number: i64) -> Result<Vec<Head>> {
    let rows = sqlx::query(
        "SELECT entries, key, signed, link, signature FROM head WHERE job = $1 ORDER BY entries, key",
    )
    .bind(number)
    .fetch_all(connection)
    .await?;
    rows.into_iter()
        .map(|row| {
            Ok(Head {
                job,
                entries: count(row.try_get(0)?, Stored::CountOfEntries)?,
                key: PublicKey::from_bytes(bytes(row.try_get(1)?, Stored::Key)?),
                signed: time(row.try_get(2)?)?,
                link: Link::from_bytes(bytes(row.try_get(3)?, Stored::Link)?),
                signature: HeadSignature::from_bytes(bytes(row.try_get(4)?, Stored::Signature)?),
            })
        })
        .collect()
}

async fn placed_of(connection: &mut SqliteConnection, job: i64, after: u64) -> Result<Vec<Placed>> {
    let rows = sqlx::query(
        "SELECT place, received, link, bytes FROM entry WHERE job = $1 AND place > $2 ORDER BY place",
    )
    .bind(job)
    .bind(number(after))
    .fetch_all(connection)
    .await?;
    rows.into_iter()
        .map(|row| {
            Ok(Placed {
                place: count(row.try_get(0)?, Stored::Place)?,
                received: time(row.try_get(1)?)?,
                link: Link::from_bytes(bytes(row.try_get(2)?, Stored::Link)?),
                bytes: row.try_get(3)?,
            })
        })
        .collect()
}

async fn take_key(connection: &mut SqliteConnection, key: PublicKey) -> Result<Option<PublicKey>> {
    let mut turn = connection.begin_with("BEGIN IMMEDIATE").await?;
    sqlx::query(
        "INSERT INTO installation (key) SELECT $1 WHERE NOT EXISTS (SELECT 1 FROM installation)",
    )
    .bind(key.as_bytes().as_slice())
    .execute(&mut *turn)
    .await?;
    let known: Vec<u8> =
        sqlx::query_scalar("SELECT key FROM installation").fetch_one(&mut *turn).await?;
    turn.commit().await?;
    Ok(Some(PublicKey::from_bytes(bytes(&known, Stored::Key)?)))
}

async fn jobs_of(connection: &mut SqliteConnection) -> Result<Vec<JobHead>> {
    let rows =
        sqlx::query("SELECT id, entries, link FROM job ORDER BY id").fetch_all(connection).await?;
    rows.into_iter()
        .map(|row| {
            let id: String = row.try_get(0)?;
            Ok(JobHead {
                job: JobId::parse(&id)
                    .ok_or_else(|| StorageError::Damaged(said!("the-id-of-a-job")))?,
                entries: count(row.try_get(1)?, Stored::CountOfEntries)?,
                link: Link::from_bytes(bytes(row.try_get(2)?, Stored::Link)?),
            })
        })
        .collect()
}

/// A connection on which something failed may stand in a transaction that the database
/// has ended by itself: it is not used again.
fn ended<T>(mut connection: PoolConnection<Sqlite>, done: Result<T>) -> Result<T> {
    if done.is_err() {
        connection.close_on_drop();
    }
    done
}

async fn append(
    connection: &mut SqliteConnection,
    job: JobId,
    batch: &[Sealed],
    received: Timestamp,
    key: &InstallationKey,
    admission: Admission,
) -> Result<Receipt> {
    // Times are stored in whole microseconds, so they are linked so.
    let received = time(received.as_microsecond())?;
    let mut turn = connection.begin_with("BEGIN IMMEDIATE").await?;
    let row = own_row(&mut turn, job).await?;
    let mut there = known(&mut turn, &row, batch).await?;
    let mut gone = erased_of(&mut turn, row.number).await?;
    let (mut place, mut link) = (row.entries, row.link);
    let mut rows = Vec::new();
    let mut outcomes = Vec::with_capacity(batch.len());
    for sealed in batch {
        let id = sealed.entry.id;
        let outcome = match there.get(&id) {
            Some((at, bytes)) if *bytes == sealed.bytes => Outcome::Known(*at),
            Some((at, _)) => Outcome::Refused(said!(
                "its-id-is-that-of-an-entry-which-says-something-else",
                place = *at
            )),
            None if attaches(&sealed.entry).is_some_and(|hash| gone.contains(&hash)) => {
                Outcome::Refused(said!("the-file-that-it-attaches-was-erased"))
            }
            None => {
                place += 1;
                link = link.next(place, received, &sealed.bytes);
                if let Fact::Erased { hash, .. } = &sealed.entry.fact {
                    gone.insert(*hash);
                }
                rows.push(NewRow { place, id, received, link, bytes: &sealed.bytes });
                there.insert(id, (place, sealed.bytes.clone()));
                Outcome::Placed(place)
            }
        };
        outcomes.push((id, outcome));
    }
    let refused = outcomes.iter().any(|(_, outcome)| matches!(outcome, Outcome::Refused(_)));
    let nothing = rows.is_empty() || refused && admission == Admission::All;
    if nothing {
        outcomes.retain(|(_, outcome)| !matches!(outcome, Outcome::Placed(_)));
        // A job that was only just begun ends with this turn.
        let heads = match row.entries {
            0 => Vec::new(),
            _ => heads_of(&mut turn, job, row.number).await?,
        };
        let own = |head: &Head| head.key == key.public() && head.entries == row.entries;
        return Ok(Receipt { outcomes, head: heads.into_iter().find(own) });
    }
    insert(&mut turn, row.number, &rows).await?;
    for (sealed, (_, outcome)) in batch.iter().zip(&outcomes) {
        if matches!(outcome, Outcome::Placed(_)) {
            insert_erased(&mut turn, row.number, &sealed.entry).await?;
        }
    }
    end_at(&mut turn, row.number, place, link).await?;
    let head = Head::sign(job, place, link, received, key);
    insert_head(&mut turn, row.number, &head).await?;
    turn.commit().await?;
    Ok(Receipt { outcomes, head: Some(head) })
}

async fn adopt(
    connection: &mut SqliteConnection,
    job: JobId,
    placed: &[Placed],
    heads: &[Head],
    signed: Timestamp,
    key: &InstallationKey,
) -> Result<Adopted> {
    let signed = time(signed.as_microsecond())?;
    let mut turn = connection.begin_with("BEGIN IMMEDIATE").await?;
    let row = own_row(&mut turn, job).await?;
    let there = placed_of(&mut turn, row.number, 0).await?;
    let same = there.iter().zip(placed).take_while(|(a, b)| a.link == b.link).count();
    if same < there.len() && same < placed.len() {
        return Ok(Adopted::Parts(same as u64));
    }
    let new = placed.get(there.len()..).unwrap_or_default();
    let mut rows = Vec::new();
    for placed in new {
        let entry = Entry::read(&placed.bytes);
        let entry = entry.map_err(|fault| StorageError::Failed(fault.said()))?;
        insert_erased(&mut turn, row.number, &entry).await?;
        let (place, received, link) = (placed.place, placed.received, placed.link);
        rows.push(NewRow { place, id: entry.id, received, link, bytes: &placed.bytes });
    }
    insert(&mut turn, row.number, &rows).await?;
    for head in heads {
        insert_head(&mut turn, row.number, head).await?;
    }
    if let Some(last) = new.last() {
        end_at(&mut turn, row.number, last.place, last.link).await?;
        let head = Head::sign(job, last.place, last.link, signed, key);
        insert_head(&mut turn, row.number, &head).await?;
    }
    turn.commit().await?;
    Ok(Adopted::Added(rows.len() as u64))
}

impl RecordStore for SqliteStore {
    async fn installation(&self, key: Option<PublicKey>) -> Result<Option<PublicKey>> {
        let mut connection = self.pool.acquire().await?;
        let stored = "SELECT key FROM installation";
        let known: Option<Vec<u8>> =
            sqlx::query_scalar(stored).fetch_optional(&mut *connection).await?;
        if let Some(known) = known {
            return Ok(Some(PublicKey::from_bytes(bytes(&known, Stored::Key)?)));
        }
        let Some(key) = key else { return Ok(None) };
        let done = take_key(&mut connection, key).await;
        ended(connection, done)
    }

    async fn append(
        &self,
        job: JobId,
        batch: &[Sealed],
        received: Timestamp,
        key: &InstallationKey,
        admission: Admission,
    ) -> Result<Receipt> {
        let mut connection = self.pool.acquire().await?;
        let done = append(&mut connection, job, batch, received, key, admission).await;
        ended(connection, done)
    }

    async fn adopt(
        &self,
        job: JobId,
        placed: &[Placed],
        heads: &[Head],
        signed: Timestamp,
        key: &InstallationKey,
    ) -> Result<Adopted> {
        let mut connection = self.pool.acquire().await?;
        let done = adopt(&mut connection, job, placed, heads, signed, key).await;
        ended(connection, done)
    }

    async fn erased(&self, job: JobId) -> Result<BTreeSet<FileHash>> {
        let mut connection = self.pool.acquire().await?;
        match job_row(&mut connection, job).await? {
            Some(row) => erased_of(&mut connection, row.number).await,
            None => Ok(BTreeSet::new()),
        }
    }

    async fn jobs(&self) -> Result<Vec<JobHead>> {
        jobs_of(&mut *self.pool.acquire().await?).await
    }

    async fn placed(&self, job: JobId, after: u64) -> Result<Vec<Placed>> {
        let mut connection = self.pool.acquire().await?;
        match job_row(&mut connection, job).await? {
            Some(row) => placed_of(&mut connection, row.number, after).await,
            None => Ok(Vec::new()),
        }
    }

    async fn heads(&self, job: JobId) -> Result<Vec<Head>> {
        let mut connection = self.pool.acquire().await?;
        match job_row(&mut connection, job).await? {
            Some(row) => heads_of(&mut connection, job, row.number).await,
            None => Ok(Vec::new()),
        }
    }

    async fn chain(&self, job: JobId) -> Result<(Vec<Placed>, Vec<Head>)> {
        let mut connection = self.pool.acquire().await?;
        let mut look = connection.begin().await?;
        let Some(row) = job_row(&mut look, job).await? else { return Ok((Vec::new(), Vec::new())) };
        let placed = placed_of(&mut look, row.number, 0).await?;
        Ok((placed, heads_of(&mut look, job, row.number).await?))
    }

    async fn audit(&self) -> Result<Vec<Said>> {
        self.refuse_other_form().await?;
        let mut connection = self.pool.acquire().await?;
        // One look for all of it: others may be writing.
        let mut look = connection.begin().await?;
        let lines: Vec<String> =
            sqlx::query_scalar("PRAGMA integrity_check").fetch_all(&mut *look).await?;
        let mut wrong: Vec<Said> =
            lines.into_iter().filter(|line| line != "ok").map(Said::Given).collect();
        let lost: Vec<(String, Option<i64>)> =
            sqlx::query_as("SELECT \"table\", rowid FROM pragma_foreign_key_check")
                .fetch_all(&mut *look)
                .await?;
        wrong.extend(lost.into_iter().map(|(table, row)| {
            let row = row.unwrap_or_default().to_string();
            said!("a-row-belongs-to-no-job", row = row, table = table)
        }));
        let keys: i64 =
            sqlx::query_scalar("SELECT COUNT(*) FROM installation").fetch_one(&mut *look).await?;
        if keys != 1 {
            wrong.push(said!("keys-of-the-installation-instead-of-one", keys = keys.to_string()));
        }
        for head in jobs_of(&mut look).await? {
            let job = head.job;
            let mut last = (0, Link::start(job));
            let mut erased = BTreeSet::new();
            let listed = match job_row(&mut look, job).await? {
                Some(row) => erased_of(&mut look, row.number).await?,
                None => BTreeSet::new(),
            };
            let rows = sqlx::query(
                "SELECT place, id, link, bytes FROM entry WHERE job = (SELECT job FROM job WHERE id = $1) ORDER BY place",
            )
            .bind(job.to_string())
            .fetch_all(&mut *look)
            .await?;
            for row in rows {
                let place = count(row.try_get(0)?, Stored::Place)?;
                let id: Vec<u8> = row.try_get(1)?;
                let written: Vec<u8> = row.try_get(3)?;
                if let Ok(entry) = Entry::read(&written) {
                    if entry.id.as_bytes().as_slice() != id {
                        wrong.push(said!(
                            "an-entry-is-filed-under-another-id",
                            place = place,
                            job = job.to_string()
                        ));
                    }
                    if let Fact::Erased { hash, .. } = entry.fact {
                        erased.insert(hash);
                    }
                }
                last = (place, Link::from_bytes(bytes(row.try_get(2)?, Stored::Link)?));
            }
            if erased != listed {
                wrong.push(said!(
                    "the-list-of-erased-files-is-not-what-the-entries-say",
                    job = job.to_string()
                ));
            }
            if last != (head.entries, head.link) {
                wrong.push(said!(
                    "the-job-should-end-with-another-entry",
                    job = job.to_string(),
                    due = head.entries,
                    last = last.0
                ));
            }
        }
        Ok(wrong)
    }

    async fn close(&self) {
        self.pool.close().await;
    }
}
