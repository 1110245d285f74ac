//! Somebody who changes the database with its own language, as cleverly as is possible
//! without the key.

use sqlx::Row as _;
use sqlx::sqlite::{SqliteConnectOptions, SqlitePool};
use tempfile::TempDir;
use tooth_measure::UnitSystem;
use tooth_measure::say::{Argument, Said};
use tooth_record::chain::{
    Head, InstallationKey, Link, PublicKey, Trust, TrustedHead, Verdict, Wrong, verify,
};
use tooth_storage::{Admission, RecordStore as _, Storage};
use tooth_words::{Language, Words};

use crate::entries::{job, stated, time};

/// Twenty entries under heads at 5, 10, 15 and 20.
struct Made {
    folder: TempDir,
    heads: Vec<Head>,
    key: PublicKey,
}

/// What the store says afterwards.
struct After {
    audit: Vec<Said>,
    verdict: Verdict,
}

async fn make() -> Made {
    let folder = tempfile::tempdir().unwrap();
    let storage = Storage::open_or_make(folder.path()).await.unwrap();
    for batch in 0..4 {
        let sent = (batch * 5..batch * 5 + 5).map(|number| stated(number, "dry")).collect();
        storage.append(job(1), sent, time(batch), Admission::Each).await.unwrap();
    }
    // A second job, so that numbers of jobs matter.
    storage.append(job(2), vec![stated(0, "")], time(9), Admission::Each).await.unwrap();
    let heads = storage.records().heads(job(1)).await.unwrap();
    let key = storage.key();
    storage.records().close().await;
    Made { folder, heads, key }
}

impl Made {
    async fn raw(&self) -> SqlitePool {
        let path = self.folder.path().join("tooth.sqlite");
        SqlitePool::connect_with(SqliteConnectOptions::new().filename(path)).await.unwrap()
    }

    async fn run(&self, sql: &'static str) {
        let pool = self.raw().await;
        sqlx::raw_sql(sql).execute(&pool).await.unwrap();
        pool.close().await;
    }

    async fn after(&self, trust: &Trust) -> After {
        let storage = Storage::open_or_make(self.folder.path()).await.unwrap();
        let records = storage.records();
        let audit = records.audit().await.unwrap();
        let heads = records.heads(job(1)).await.unwrap();
        let placed = records.placed(job(1), 0).await.unwrap();
        let verdict = verify(job(1), &placed, &heads, None, trust);
        records.close().await;
        After { audit, verdict }
    }

    fn trusting_head(&self, at: usize) -> Trust {
        Trust { heads: vec![self.heads[at].short()], keys: Vec::new() }
    }

    fn trusting_key(&self) -> Trust {
        Trust { heads: Vec::new(), keys: vec![self.key] }
    }

    /// Computes all links of the job anew, and the end of its chain.
    async fn link_anew(&self) -> TrustedHead {
        let pool = self.raw().await;
        let rows = sqlx::query(
            "SELECT e.rowid, e.place, e.received, e.bytes FROM entry e JOIN job j ON j.job = e.job WHERE j.id = $1 ORDER BY e.place",
        )
        .bind(job(1).to_string())
        .fetch_all(&pool)
        .await
        .unwrap();
        let mut end = TrustedHead { entries: 0, link: Link::start(job(1)) };
        for row in rows {
            let place: i64 = row.get(1);
            let received = jiff::Timestamp::from_microsecond(row.get(2)).unwrap();
            end.entries = place as u64;
            end.link = end.link.next(end.entries, received, row.get(3));
            sqlx::query("UPDATE entry SET link = $1 WHERE rowid = $2")
                .bind(end.link.as_bytes().to_vec())
                .bind(row.get::<i64, _>(0))
                .execute(&pool)
                .await
                .unwrap();
        }
        sqlx::query("UPDATE job SET entries = $1, link = $2 WHERE id = $3")
            .bind(end.entries as i64)
            .bind(end.link.as_bytes().to_vec())
            .bind(job(1).to_string())
            .execute(&pool)
            .await
            .unwrap();
        pool.close().await;
        end
    }
}

/// "dry" becomes "wet" in the eighth entry.
const REWRITE: &str = "UPDATE entry SET bytes = CAST(replace(CAST(bytes AS TEXT), 'dry', 'wet') AS BLOB) WHERE job = 1 AND place = 8";

const NOTHING_GIVEN: &str = "Whether somebody rewrote entries, links and heads all together";
const CUT_OFF: &str = "Whether newer entries were cut off at the end";
const OTHER_KEYS: &str = "Who holds the other keys that signed heads here";

fn says(verdict: &Verdict, words: &str) -> bool {
    let english = Words::new(Language::English, UnitSystem::Si);
    verdict.not_proven.iter().any(|line| english.say(line).contains(words))
}

fn wrongs(verdict: &Verdict) -> Vec<(u64, Wrong)> {
    verdict.alterations.iter().map(|altered| (altered.place, altered.wrong)).collect()
}

#[tokio::test]
async fn an_untouched_record_says_what_it_cannot_prove() {
    let made = make().await;
    let blind = made.after(&Trust::default()).await;
    assert!(blind.verdict.is_whole() && blind.audit.is_empty());
    assert_eq!(blind.verdict.proven_entries, 0);
    assert!(says(&blind.verdict, NOTHING_GIVEN));
    assert!(says(&blind.verdict, "times are those of"));
    assert!(says(&blind.verdict, CUT_OFF));
    assert_eq!(blind.verdict.not_proven.len(), 3);
    let older = made.after(&made.trusting_head(2)).await.verdict;
    assert_eq!(older.proven_entries, 15);
    assert!(says(&older, "Entries 16 to 20: they come after"));
    let newest = made.after(&made.trusting_head(3)).await.verdict;
    assert_eq!((newest.proven_entries, newest.not_proven.len()), (20, 1));
    let key = made.after(&made.trusting_key()).await.verdict;
    assert_eq!(key.proven_entries, 20);
    assert!(says(&key, CUT_OFF) && !says(&key, NOTHING_GIVEN));
}

#[tokio::test]
async fn an_entry_taken_out_of_the_middle_is_found_at_its_place() {
    let made = make().await;
    made.run("DELETE FROM entry WHERE job = 1 AND place = 8").await;
    let after = made.after(&Trust::default()).await;
    let first = after.verdict.first_altered().unwrap();
    assert_eq!((first.place, first.wrong), (8, Wrong::Missing));
    // Moved up and linked anew, the signed heads still tell.
    made.run("UPDATE entry SET place = -place WHERE job = 1 AND place > 8; UPDATE entry SET place = -place - 1 WHERE job = 1 AND place < 0").await;
    made.link_anew().await;
    let after = made.after(&Trust::default()).await;
    assert_eq!(after.audit, []);
    let expected = [(10, Wrong::HeadDiffers), (15, Wrong::HeadDiffers), (20, Wrong::EndMissing)];
    assert_eq!(wrongs(&after.verdict), expected);
}

#[tokio::test]
async fn the_last_entry_taken_away_is_found() {
    let made = make().await;
    made.run("DELETE FROM entry WHERE job = 1 AND place = 20").await;
    let after = made.after(&Trust::default()).await;
    assert_eq!(after.audit.len(), 1);
    let wrong = &after.audit[0];
    assert_eq!(wrong.name(), "the-job-should-end-with-another-entry");
    assert_eq!(wrong.argument("due"), Some(&Argument::Count(20)));
    assert_eq!(wrongs(&after.verdict), [(20, Wrong::EndMissing)]);
    // The job's row made to fit: the head still tells.
    made.link_anew().await;
    let after = made.after(&Trust::default()).await;
    assert_eq!(after.audit, []);
    assert_eq!(wrongs(&after.verdict), [(20, Wrong::EndMissing)]);
    assert!(says(&after.verdict, "Entries 16 to 19: no signed head reaches them"));
}

#[tokio::test]
async fn two_entries_that_changed_places_are_found() {
    let made = make().await;
    made.run("UPDATE entry SET place = -1 WHERE job = 1 AND place = 7; UPDATE entry SET place = 7 WHERE job = 1 AND place = 12; UPDATE entry SET place = 12 WHERE job = 1 AND place = -1").await;
    let verdict = made.after(&Trust::default()).await.verdict;
    assert_eq!(verdict.first_altered().unwrap().place, 7);
    made.link_anew().await;
    let verdict = made.after(&Trust::default()).await.verdict;
    assert_eq!(
        wrongs(&verdict),
        [(10, Wrong::HeadDiffers), (15, Wrong::HeadDiffers), (20, Wrong::HeadDiffers)]
    );
}

#[tokio::test]
async fn an_entry_rewritten_is_found_at_its_place_and_with_all_links_at_the_next_head() {
    let made = make().await;
    made.run(REWRITE).await;
    let verdict = made.after(&Trust::default()).await.verdict;
    let first = verdict.first_altered().unwrap();
    assert_eq!((first.place, first.wrong), (8, Wrong::EntryAltered));
    made.link_anew().await;
    let after = made.after(&Trust::default()).await;
    assert_eq!(after.audit, []);
    let first = after.verdict.first_altered().unwrap();
    assert_eq!((first.place, first.wrong), (10, Wrong::HeadDiffers));
    assert_eq!(after.verdict.alterations.len(), 3);
    assert!(says(&after.verdict, NOTHING_GIVEN));
    // What comes before is still proven by the key.
    let verdict = made.after(&made.trusting_key()).await.verdict;
    assert_eq!(verdict.proven_entries, 5);
    assert!(says(&verdict, "Entries 6 to 20: they come after"));
}

#[tokio::test]
async fn a_rewritten_record_without_its_heads_is_found_by_a_trusted_head_only() {
    let made = make().await;
    made.run(REWRITE).await;
    made.run("DELETE FROM head WHERE job = 1").await;
    made.link_anew().await;
    let blind = made.after(&Trust::default()).await;
    assert!(blind.verdict.is_whole() && blind.audit.is_empty());
    assert!(says(&blind.verdict, NOTHING_GIVEN));
    assert!(says(&blind.verdict, "Entries 1 to 20: no signed head reaches them"));
    let verdict = made.after(&made.trusting_head(3)).await.verdict;
    assert_eq!(wrongs(&verdict), [(20, Wrong::TrustedHeadDiffers)]);
    // A head from before the change proves what it covers, and says that it is no more.
    let verdict = made.after(&made.trusting_head(0)).await.verdict;
    assert!(verdict.is_whole());
    assert_eq!(verdict.proven_entries, 5);
    assert!(says(&verdict, "Entries 6 to 20: they come after"));
    let verdict = made.after(&made.trusting_key()).await.verdict;
    assert_eq!(verdict.proven_entries, 0);
    assert!(says(&verdict, "Entries 1 to 20: they come after") && says(&verdict, CUT_OFF));
}

#[tokio::test]
async fn a_record_rewritten_under_another_key_proves_nothing_to_who_trusts_the_own() {
    let made = make().await;
    made.run(REWRITE).await;
    made.run("DELETE FROM head WHERE job = 1").await;
    let end = made.link_anew().await;
    let forger = InstallationKey::from_bytes(&[66; 32]);
    let forged = Head::sign(job(1), end.entries, end.link, time(3), &forger);
    let insert = async |key: PublicKey| {
        let pool = made.raw().await;
        sqlx::query("INSERT INTO head (job, entries, key, signed, link, signature) VALUES (1, $1, $2, $3, $4, $5)")
            .bind(end.entries as i64)
            .bind(key.as_bytes().to_vec())
            .bind(forged.signed.as_microsecond())
            .bind(end.link.as_bytes().to_vec())
            .bind(forged.signature.as_bytes().to_vec())
            .execute(&pool)
            .await
            .unwrap();
        pool.close().await;
    };
    insert(forger.public()).await;
    let blind = made.after(&Trust::default()).await.verdict;
    assert!(blind.is_whole() && says(&blind, NOTHING_GIVEN));
    let verdict = made.after(&made.trusting_key()).await.verdict;
    assert_eq!(verdict.proven_entries, 0);
    assert!(says(&verdict, OTHER_KEYS) && says(&verdict, "Entries 1 to 20: they come after"));
    let verdict = made.after(&made.trusting_head(1)).await.verdict;
    assert_eq!(wrongs(&verdict), [(10, Wrong::TrustedHeadDiffers)]);
    // Under the own key's name the signature does not fit.
    insert(made.key).await;
    let verdict = made.after(&Trust::default()).await.verdict;
    assert_eq!(wrongs(&verdict), [(20, Wrong::HeadForged)]);
}

#[tokio::test]
async fn an_end_cut_off_together_with_its_heads_is_found_by_a_trusted_head_only() {
    let made = make().await;
    made.run("DELETE FROM entry WHERE job = 1 AND place > 15; DELETE FROM head WHERE job = 1 AND entries > 15").await;
    assert_eq!(made.link_anew().await, made.heads[2].short());
    let blind = made.after(&Trust::default()).await;
    assert!(blind.verdict.is_whole() && blind.audit.is_empty());
    assert!(says(&blind.verdict, NOTHING_GIVEN));
    let key = made.after(&made.trusting_key()).await.verdict;
    assert!(key.is_whole());
    assert_eq!(key.proven_entries, 15);
    assert!(says(&key, CUT_OFF));
    let newest = made.after(&made.trusting_head(3)).await.verdict;
    assert_eq!(wrongs(&newest), [(20, Wrong::EndMissing)]);
    assert_eq!(newest.proven_entries, 0);
    // An older head cannot know, and the verdict does not claim more than it proves.
    let older = made.after(&made.trusting_head(2)).await.verdict;
    assert!(older.is_whole());
    assert_eq!((older.entries, older.proven_entries), (15, 15));
}

#[tokio::test]
async fn an_entry_filed_under_another_id_or_job_is_found() {
    let made = make().await;
    made.run(
        "UPDATE entry SET id = x'00112233445566778899aabbccddeeff' WHERE job = 1 AND place = 4",
    )
    .await;
    let after = made.after(&Trust::default()).await;
    assert!(after.verdict.is_whole());
    assert_eq!(after.audit.len(), 1);
    let wrong = &after.audit[0];
    assert_eq!(wrong.name(), "an-entry-is-filed-under-another-id");
    assert_eq!(wrong.argument("place"), Some(&Argument::Count(4)));
    let made = make().await;
    made.run("PRAGMA foreign_keys = OFF; UPDATE entry SET job = 9 WHERE job = 1 AND place > 15; UPDATE head SET job = 9 WHERE job = 1 AND entries > 15").await;
    made.link_anew().await;
    let after = made.after(&Trust::default()).await;
    assert!(after.verdict.is_whole());
    assert_eq!(after.audit.len(), 6, "{:?}", after.audit);
}
