//! What every database of the record must do, written against [`RecordStore`] alone.
//!
//! Another database runs all of it by giving its own [`Ground`] to `every_case!`.

use std::collections::BTreeSet;
use std::sync::Arc;
use std::thread;
use std::time::Duration;

use tooth_measure::say::Argument;
use tooth_record::chain::{Head, InstallationKey, Link, Placed, PublicKey, Trust, verify};
use tooth_record::{Entry, Fact, FileHash, FileName, JobId, Reason};
use tooth_storage::{Admission, Adopted, Outcome, Receipt, RecordStore, Sealed};

use crate::entries::{id, job, sealed, stated, time};

/// A place for one store: empty at first, and what is opened later is the same store.
pub(crate) trait Ground {
    /// The kind of store.
    type Store: RecordStore + 'static;

    /// Opens it, once more where it is open already.
    async fn open(&self) -> Self::Store;
}

/// Makes a test of every case; the ground is made anew for each.
macro_rules! every_case {
    ($ground:expr) => {
        $crate::conformance::every_case! { @of $ground;
            append_gives_places_in_the_order_sent
            links_and_heads_make_a_whole_chain
            the_head_is_signed_by_the_key_and_ends_with_the_last_link
            a_repeated_batch_changes_nothing
            a_known_id_with_other_bytes_is_refused_and_the_others_are_placed
            the_same_entry_twice_in_a_batch_is_placed_once
            one_id_with_two_contents_in_a_batch_places_the_first
            an_empty_batch_changes_nothing
            a_batch_of_all_or_nothing_with_one_refused_changes_nothing
            an_erased_file_is_listed_and_does_not_come_back
            a_refused_erasure_erases_nothing
            jobs_are_chains_of_their_own
            placed_gives_what_comes_after_a_place
            an_unknown_job_is_empty
            adopting_into_an_empty_store_keeps_places_times_links_and_heads
            adopting_a_longer_chain_adds_its_end
            adopting_the_same_chain_again_changes_nothing
            adopting_a_shorter_chain_adds_nothing
            adopting_a_chain_that_parts_changes_nothing
            adopting_goes_on_from_appended_entries_and_appending_from_adopted_ones
            a_repeat_after_adopting_gets_a_head_of_the_own_key
            batches_of_thousands_are_taken_whole
            bytes_are_given_back_exactly
            a_long_entry_is_given_back_exactly
            times_are_cut_to_microseconds_and_verify
            the_first_key_of_the_installation_remains
            reopening_sees_everything
            audit_of_a_healthy_store_is_empty
            two_stores_on_one_ground_lose_nothing
            readers_see_whole_batches_only
            a_store_that_is_being_written_has_an_empty_audit
            an_append_that_is_given_up_is_there_whole_or_not_at_all
            an_unknown_job_never_gets_the_head_of_another
        }
    };
    (@of $ground:expr; $($case:ident)+) => { $(
        #[tokio::test(flavor = "multi_thread", worker_threads = 2)]
        async fn $case() {
            conformance::$case(&$ground).await;
        }
    )+ };
}
pub(crate) use every_case;

fn own_key() -> InstallationKey {
    InstallationKey::from_bytes(&[7; 32])
}

/// Keys of other installations; their public halves sort on both sides of the own.
fn other_keys() -> [InstallationKey; 4] {
    [[1; 32], [2; 32], [3; 32], [9; 32]].map(|secret| InstallationKey::from_bytes(&secret))
}

/// A store with its key, as it is used.
async fn made<G: Ground>(ground: &G) -> G::Store {
    let store = ground.open().await;
    store.installation(Some(own_key().public())).await.unwrap();
    store
}

fn readings(numbers: impl IntoIterator<Item = u64>) -> Vec<Sealed> {
    numbers.into_iter().map(|number| stated(number, "soft at the door")).collect()
}

async fn append<S: RecordStore>(store: &S, job: JobId, batch: &[Sealed]) -> Receipt {
    store.append(job, batch, time(batch.len() as u64), &own_key(), Admission::Each).await.unwrap()
}

/// The entries of a job, after every check that needs no trust.
async fn whole<S: RecordStore>(store: &S, job: JobId) -> Vec<Placed> {
    whole_with(store, job, Some(own_key().public())).await
}

/// The same of a store to which entries may come between two looks: heads are looked
/// at first, so that none counts more entries than are seen.
async fn whole_with<S: RecordStore>(store: &S, job: JobId, own: Option<PublicKey>) -> Vec<Placed> {
    let heads = store.heads(job).await.unwrap();
    let placed = store.placed(job, 0).await.unwrap();
    let verdict = verify(job, &placed, &heads, own, &Trust::default());
    assert!(verdict.is_whole(), "{:?}", verdict.alterations);
    assert_eq!(verdict.entries, placed.len() as u64);
    let mut link = Link::start(job);
    for (at, entry) in placed.iter().enumerate() {
        link = link.next(at as u64 + 1, entry.received, &entry.bytes);
        assert_eq!((entry.place, entry.link), (at as u64 + 1, link));
    }
    assert!(heads.iter().all(|head| head.job == job && head.is_signed()));
    assert!(heads.is_sorted_by_key(|head| head.entries));
    placed
}

/// All that a store says of a job.
async fn all_of<S: RecordStore>(store: &S, job: JobId) -> (Vec<Placed>, Vec<Head>, String) {
    (
        store.placed(job, 0).await.unwrap(),
        store.heads(job).await.unwrap(),
        format!("{:?}", store.jobs().await.unwrap()),
    )
}

/// A chain as another installation made it, with a head after each entry.
fn foreign(job: JobId, batch: &[Sealed], key: &InstallationKey) -> (Vec<Placed>, Vec<Head>) {
    let mut link = Link::start(job);
    let (mut placed, mut heads) = (Vec::new(), Vec::new());
    for (at, sealed) in batch.iter().enumerate() {
        let (place, received) = (at as u64 + 1, time(at as u64));
        link = link.next(place, received, &sealed.bytes);
        placed.push(Placed { place, received, link, bytes: sealed.bytes.clone() });
        heads.push(Head::sign(job, place, link, received, key));
    }
    (placed, heads)
}

fn outcomes(receipt: &Receipt) -> Vec<Outcome> {
    receipt.outcomes.iter().map(|(_, outcome)| outcome.clone()).collect()
}

pub(crate) async fn append_gives_places_in_the_order_sent(ground: &impl Ground) {
    let store = made(ground).await;
    // Ids do not rise: the order is that of the batch.
    let first = append(&store, job(1), &readings([5, 3, 9])).await;
    let second = append(&store, job(1), &readings([4, 1])).await;
    assert_eq!(outcomes(&first), [1, 2, 3].map(Outcome::Placed));
    assert_eq!(outcomes(&second), [4, 5].map(Outcome::Placed));
    assert_eq!(first.outcomes.iter().map(|(id, _)| *id).collect::<Vec<_>>(), [5, 3, 9].map(id));
    assert_eq!((first.placed(), first.refused().count()), (3, 0));
    let placed = whole(&store, job(1)).await;
    let sent: Vec<Vec<u8>> = readings([5, 3, 9, 4, 1]).into_iter().map(|s| s.bytes).collect();
    assert_eq!(placed.into_iter().map(|entry| entry.bytes).collect::<Vec<_>>(), sent);
}

pub(crate) async fn links_and_heads_make_a_whole_chain(ground: &impl Ground) {
    let store = made(ground).await;
    for number in 0..12 {
        append(&store, job(1), &readings(number * 10..number * 10 + number)).await;
    }
    assert_eq!(whole(&store, job(1)).await.len(), 66);
    // The empty batch made no head.
    assert_eq!(store.heads(job(1)).await.unwrap().len(), 11);
}

pub(crate) async fn the_head_is_signed_by_the_key_and_ends_with_the_last_link(
    ground: &impl Ground,
) {
    let store = made(ground).await;
    for last in [3, 7, 8] {
        let head = append(&store, job(1), &readings(0..last)).await.head.unwrap();
        let placed = whole(&store, job(1)).await;
        let end = placed.last().unwrap();
        assert_eq!((head.key, head.job, head.entries), (own_key().public(), job(1), last));
        assert_eq!((head.link, head.signed), (end.link, end.received));
        assert!(head.is_signed());
        assert_eq!(store.heads(job(1)).await.unwrap().last(), Some(&head));
        let known = store.jobs().await.unwrap();
        assert_eq!(known.len(), 1);
        assert_eq!((known[0].job, known[0].entries, known[0].link), (job(1), last, head.link));
    }
}

pub(crate) async fn a_repeated_batch_changes_nothing(ground: &impl Ground) {
    let store = made(ground).await;
    let first = append(&store, job(1), &readings(0..10)).await;
    let before = all_of(&store, job(1)).await;
    let again = store
        .append(job(1), &readings([7, 2]), time(99), &own_key(), Admission::Each)
        .await
        .unwrap();
    assert_eq!(outcomes(&again), [8, 3].map(Outcome::Known));
    assert_eq!((again.placed(), again.head), (0, first.head));
    assert_eq!(all_of(&store, job(1)).await, before);
    // Some new among the repeated: only they get places.
    let mixed = append(&store, job(1), &readings([9, 20, 0, 21])).await;
    let expected =
        [Outcome::Known(10), Outcome::Placed(11), Outcome::Known(1), Outcome::Placed(12)];
    assert_eq!(outcomes(&mixed), expected);
    assert_eq!(whole(&store, job(1)).await.len(), 12);
}

pub(crate) async fn a_known_id_with_other_bytes_is_refused_and_the_others_are_placed(
    ground: &impl Ground,
) {
    let store = made(ground).await;
    append(&store, job(1), &readings(0..3)).await;
    let batch = [stated(8, "new"), stated(1, "soft all over"), stated(9, "new")];
    let receipt = append(&store, job(1), &batch).await;
    assert_eq!(receipt.outcomes[0].1, Outcome::Placed(4));
    let second = Some(&Argument::Count(2));
    assert!(
        matches!(&receipt.outcomes[1].1, Outcome::Refused(why) if why.argument("place") == second)
    );
    assert_eq!(receipt.outcomes[2].1, Outcome::Placed(5));
    assert_eq!(receipt.refused().map(|(id, _)| id).collect::<Vec<_>>(), [id(1)]);
    let placed = whole(&store, job(1)).await;
    assert_eq!(placed.len(), 5);
    assert_eq!(placed[1].bytes, readings([1])[0].bytes);
    // All refused: nothing changes, the head stays.
    let before = all_of(&store, job(1)).await;
    let none = append(&store, job(1), &[stated(1, "soft all over")]).await;
    assert_eq!((none.refused().count(), none.head), (1, receipt.head));
    assert_eq!(all_of(&store, job(1)).await, before);
}

pub(crate) async fn the_same_entry_twice_in_a_batch_is_placed_once(ground: &impl Ground) {
    let store = made(ground).await;
    let receipt = append(&store, job(1), &readings([1, 2, 1, 2, 1])).await;
    let expected = [
        Outcome::Placed(1),
        Outcome::Placed(2),
        Outcome::Known(1),
        Outcome::Known(2),
        Outcome::Known(1),
    ];
    assert_eq!(outcomes(&receipt), expected);
    assert_eq!(whole(&store, job(1)).await.len(), 2);
}

pub(crate) async fn one_id_with_two_contents_in_a_batch_places_the_first(ground: &impl Ground) {
    let store = made(ground).await;
    let batch = [stated(1, "first"), stated(1, "second"), stated(2, "third")];
    let receipt = append(&store, job(1), &batch).await;
    assert!(matches!(receipt.outcomes[1].1, Outcome::Refused(_)));
    assert_eq!(receipt.outcomes[2].1, Outcome::Placed(2));
    let placed = whole(&store, job(1)).await;
    assert_eq!(placed.len(), 2);
    assert_eq!(placed[0].bytes, batch[0].bytes);
}

pub(crate) async fn an_empty_batch_changes_nothing(ground: &impl Ground) {
    let store = made(ground).await;
    let receipt = append(&store, job(1), &[]).await;
    assert_eq!(receipt, Receipt { outcomes: Vec::new(), head: None });
    assert_eq!(store.jobs().await.unwrap(), []);
    let head = append(&store, job(1), &readings([1])).await.head;
    let before = all_of(&store, job(1)).await;
    assert_eq!(append(&store, job(1), &[]).await.head, head);
    assert_eq!(all_of(&store, job(1)).await, before);
}

pub(crate) async fn a_batch_of_all_or_nothing_with_one_refused_changes_nothing(
    ground: &impl Ground,
) {
    let store = made(ground).await;
    append(&store, job(1), &readings(0..3)).await;
    let before = all_of(&store, job(1)).await;
    let batch = [stated(8, "new"), stated(1, "soft all over"), stated(2, "soft at the door")];
    let receipt = store.append(job(1), &batch, time(5), &own_key(), Admission::All).await.unwrap();
    assert_eq!((receipt.placed(), receipt.refused().count()), (0, 1));
    assert_eq!(receipt.head.as_ref(), before.1.last());
    assert_eq!(all_of(&store, job(1)).await, before);
    let good = [batch[0].clone(), batch[2].clone()];
    let receipt = store.append(job(1), &good, time(5), &own_key(), Admission::All).await.unwrap();
    assert_eq!(outcomes(&receipt), [Outcome::Placed(4), Outcome::Known(3)]);
    whole(&store, job(1)).await;
}

fn attached(number: u64, hash: FileHash) -> Sealed {
    let name = FileName::new(&format!("photos/{number}.jpg")).unwrap();
    sealed(number, Fact::Attached { name, hash, bytes: 5, replaces: Vec::new() })
}

fn erased(number: u64, hash: FileHash) -> Sealed {
    let reason = Reason::new("a face is to be seen").unwrap();
    sealed(number, Fact::Erased { hash, reason })
}

pub(crate) async fn an_erased_file_is_listed_and_does_not_come_back(ground: &impl Ground) {
    let store = made(ground).await;
    let [face, slab] = [FileHash::of(b"a face"), FileHash::of(b"a slab")];
    append(&store, job(1), &[attached(1, face), attached(2, slab)]).await;
    append(&store, job(1), &[erased(3, face)]).await;
    assert_eq!(store.erased(job(1)).await.unwrap(), BTreeSet::from([face]));
    assert_eq!(store.erased(job(2)).await.unwrap(), BTreeSet::new());
    let receipt = append(&store, job(1), &[attached(4, face), attached(5, slab)]).await;
    assert_eq!(receipt.refused().map(|(id, _)| id).collect::<Vec<_>>(), [id(4)]);
    assert_eq!(receipt.outcomes[1].1, Outcome::Placed(4));
    // What was said before the erasure is known as ever, and other jobs are not bound.
    assert_eq!(outcomes(&append(&store, job(1), &[attached(1, face)]).await), [Outcome::Known(1)]);
    assert_eq!(append(&store, job(2), &[attached(4, face)]).await.placed(), 1);
    let placed = whole(&store, job(1)).await;
    assert_eq!(store.audit().await.unwrap(), []);
    // Who takes the chain over takes over what was erased.
    let heads = store.heads(job(1)).await.unwrap();
    let apart: Vec<Sealed> =
        placed.iter().map(|placed| Sealed::read(placed.bytes.clone()).unwrap()).collect();
    let (placed_apart, _) = foreign(job(3), &apart, &own_key());
    store.adopt(job(3), &placed_apart, &[], time(70), &own_key()).await.unwrap();
    assert_eq!(store.erased(job(3)).await.unwrap(), BTreeSet::from([face]));
    assert_eq!(heads.last().unwrap().entries, 4);
    assert_eq!(store.audit().await.unwrap(), []);
}

pub(crate) async fn a_refused_erasure_erases_nothing(ground: &impl Ground) {
    let store = made(ground).await;
    let face = FileHash::of(b"a face");
    append(&store, job(1), &[attached(1, face), stated(2, "dry")]).await;
    let receipt = append(&store, job(1), &[erased(2, face), stated(3, "dry")]).await;
    assert_eq!((receipt.refused().count(), receipt.placed()), (1, 1));
    assert_eq!(store.erased(job(1)).await.unwrap(), BTreeSet::new());
    assert_eq!(store.audit().await.unwrap(), []);
}

pub(crate) async fn jobs_are_chains_of_their_own(ground: &impl Ground) {
    let store = made(ground).await;
    append(&store, job(2), &readings(0..4)).await;
    let receipt = append(&store, job(1), &readings(2..5)).await;
    assert_eq!(outcomes(&receipt), [1, 2, 3].map(Outcome::Placed));
    append(&store, job(2), &readings(4..6)).await;
    let (one, two) = (whole(&store, job(1)).await, whole(&store, job(2)).await);
    assert_eq!((one.len(), two.len()), (3, 6));
    assert_eq!(one[0].bytes, two[2].bytes);
    assert_ne!(one[0].link, two[2].link);
    let jobs = store.jobs().await.unwrap();
    let known: Vec<(JobId, u64)> = jobs.iter().map(|head| (head.job, head.entries)).collect();
    assert_eq!(known, [(job(1), 3), (job(2), 6)]);
    // Heads of one do not fit the other.
    let heads = store.heads(job(2)).await.unwrap();
    assert!(!verify(job(1), &one, &heads, None, &Trust::default()).is_whole());
}

pub(crate) async fn placed_gives_what_comes_after_a_place(ground: &impl Ground) {
    let store = made(ground).await;
    append(&store, job(1), &readings(0..10)).await;
    let all = whole(&store, job(1)).await;
    for after in 0..=11 {
        let rest = store.placed(job(1), after).await.unwrap();
        assert_eq!(rest, all.get(after as usize..).unwrap_or_default());
    }
    assert_eq!(store.placed(job(1), u64::MAX).await.unwrap(), []);
}

pub(crate) async fn an_unknown_job_is_empty(ground: &impl Ground) {
    let store = made(ground).await;
    append(&store, job(1), &readings([1])).await;
    assert_eq!(store.placed(job(2), 0).await.unwrap(), []);
    assert_eq!(store.heads(job(2)).await.unwrap(), []);
    assert_eq!(store.jobs().await.unwrap().len(), 1);
}

pub(crate) async fn adopting_into_an_empty_store_keeps_places_times_links_and_heads(
    ground: &impl Ground,
) {
    let store = made(ground).await;
    let [other, ..] = other_keys();
    let (placed, heads) = foreign(job(1), &readings(0..5), &other);
    let adopted = store.adopt(job(1), &placed, &heads, time(70), &own_key()).await.unwrap();
    assert_eq!(adopted, Adopted::Added(5));
    assert_eq!(whole(&store, job(1)).await, placed);
    let kept = store.heads(job(1)).await.unwrap();
    assert!(heads.iter().all(|head| kept.contains(head)));
    // A head of one's own at the end, no more.
    let own: Vec<&Head> = kept.iter().filter(|head| !heads.contains(head)).collect();
    assert_eq!(own.len(), 1);
    assert_eq!((own[0].entries, own[0].key), (5, own_key().public()));
    // The adopted ids are known.
    let again = append(&store, job(1), &readings([3])).await;
    assert_eq!(outcomes(&again), [Outcome::Known(4)]);
    assert_eq!(store.audit().await.unwrap(), []);
}

pub(crate) async fn adopting_a_longer_chain_adds_its_end(ground: &impl Ground) {
    let store = made(ground).await;
    let [other, ..] = other_keys();
    let (placed, heads) = foreign(job(1), &readings(0..7), &other);
    store.adopt(job(1), &placed[..3], &heads[..3], time(70), &own_key()).await.unwrap();
    let adopted = store.adopt(job(1), &placed, &heads, time(70), &own_key()).await.unwrap();
    assert_eq!(adopted, Adopted::Added(4));
    assert_eq!(whole(&store, job(1)).await, placed);
    let kept = store.heads(job(1)).await.unwrap();
    assert!(heads.iter().all(|head| kept.contains(head)));
    assert_eq!(store.jobs().await.unwrap()[0].entries, 7);
    assert_eq!(store.audit().await.unwrap(), []);
}

pub(crate) async fn adopting_the_same_chain_again_changes_nothing(ground: &impl Ground) {
    let store = made(ground).await;
    let [other, ..] = other_keys();
    let (placed, heads) = foreign(job(1), &readings(0..5), &other);
    store.adopt(job(1), &placed, &heads, time(70), &own_key()).await.unwrap();
    let before = all_of(&store, job(1)).await;
    let adopted = store.adopt(job(1), &placed, &heads, time(70), &own_key()).await.unwrap();
    assert_eq!(adopted, Adopted::Added(0));
    assert_eq!(all_of(&store, job(1)).await, before);
}

pub(crate) async fn adopting_a_shorter_chain_adds_nothing(ground: &impl Ground) {
    let store = made(ground).await;
    let [other, ..] = other_keys();
    let (placed, heads) = foreign(job(1), &readings(0..5), &other);
    store.adopt(job(1), &placed, &heads, time(70), &own_key()).await.unwrap();
    let before = all_of(&store, job(1)).await;
    for end in [0, 1, 4] {
        let adopted =
            store.adopt(job(1), &placed[..end], &heads[..end], time(70), &own_key()).await.unwrap();
        assert_eq!(adopted, Adopted::Added(0));
        assert_eq!(all_of(&store, job(1)).await, before);
    }
}

pub(crate) async fn adopting_a_chain_that_parts_changes_nothing(ground: &impl Ground) {
    let store = made(ground).await;
    let [other, another, ..] = other_keys();
    let (placed, heads) = foreign(job(1), &readings(0..5), &other);
    store.adopt(job(1), &placed, &heads, time(70), &own_key()).await.unwrap();
    let before = all_of(&store, job(1)).await;
    for (same, numbers) in [(3, [0, 1, 2, 13, 14, 15]), (0, [10, 1, 2, 3, 4, 5])] {
        let (placed, heads) = foreign(job(1), &readings(numbers), &another);
        let adopted = store.adopt(job(1), &placed, &heads, time(70), &own_key()).await.unwrap();
        assert_eq!(adopted, Adopted::Parts(same));
        assert_eq!(all_of(&store, job(1)).await, before);
    }
    whole(&store, job(1)).await;
}

pub(crate) async fn adopting_goes_on_from_appended_entries_and_appending_from_adopted_ones(
    ground: &impl Ground,
) {
    let store = made(ground).await;
    append(&store, job(1), &readings(0..3)).await;
    let mut placed = whole(&store, job(1)).await;
    let mut heads = store.heads(job(1)).await.unwrap();
    let [other, ..] = other_keys();
    // Another installation took it over, and went on.
    for sealed in readings(3..6) {
        let (place, received) = (placed.len() as u64 + 1, time(50));
        let link = placed.last().unwrap().link.next(place, received, &sealed.bytes);
        heads.push(Head::sign(job(1), place, link, received, &other));
        placed.push(Placed { place, received, link, bytes: sealed.bytes });
    }
    let adopted = store.adopt(job(1), &placed, &heads, time(70), &own_key()).await.unwrap();
    assert_eq!(adopted, Adopted::Added(3));
    let receipt = append(&store, job(1), &readings(5..8)).await;
    let expected = [Outcome::Known(6), Outcome::Placed(7), Outcome::Placed(8)];
    assert_eq!(outcomes(&receipt), expected);
    assert_eq!(whole(&store, job(1)).await.len(), 8);
    assert_eq!(store.audit().await.unwrap(), []);
}

pub(crate) async fn a_repeat_after_adopting_gets_a_head_of_the_own_key(ground: &impl Ground) {
    let store = made(ground).await;
    for (number, other) in other_keys().iter().enumerate() {
        let job = job(number as u64);
        let (placed, heads) = foreign(job, &readings(0..3), other);
        store.adopt(job, &placed, &heads, time(70), &own_key()).await.unwrap();
        let head = append(&store, job, &readings([1])).await.head.unwrap();
        assert_eq!(head.entries, 3);
        assert_eq!(head.key, own_key().public(), "the receipt shows the head of another key");
    }
}

pub(crate) async fn batches_of_thousands_are_taken_whole(ground: &impl Ground) {
    let store = made(ground).await;
    append(&store, job(1), &readings(0..700)).await;
    // 700 known and 300 of the batch's own a second time, spread among 1600 new ones.
    let mut numbers: Vec<u64> = (0..700).chain(10_000..11_600).collect();
    numbers.extend(10_000..10_300);
    let spread: BTreeSet<(u64, usize)> = numbers
        .iter()
        .enumerate()
        .map(|(at, number)| ((at as u64).wrapping_mul(0x9e37_79b9) % 2600 + number % 2, at))
        .collect();
    let numbers: Vec<u64> = spread.iter().map(|(_, at)| numbers[*at]).collect();
    let receipt = append(&store, job(1), &readings(numbers.iter().copied())).await;
    assert_eq!((receipt.outcomes.len(), receipt.placed()), (2600, 1600));
    assert_eq!(receipt.refused().count(), 0);
    let placed = whole(&store, job(1)).await;
    assert_eq!(placed.len(), 2300);
    for ((sent, (of, outcome)), at) in numbers.iter().zip(&receipt.outcomes).zip(0usize..) {
        let (Outcome::Placed(place) | Outcome::Known(place)) = outcome else { continue };
        assert_eq!(*of, id(*sent), "outcome {at}");
        assert_eq!(Entry::read(&placed[*place as usize - 1].bytes).unwrap().id, *of);
    }
    let again = append(&store, job(1), &readings(numbers)).await;
    assert_eq!((again.placed(), again.head), (0, receipt.head));
}

pub(crate) async fn bytes_are_given_back_exactly(ground: &impl Ground) {
    let store = made(ground).await;
    let texts = [
        r#"{"schema":1,  "id":"ID", "author": null,"device":"d","device_time":null,"fact":{ "stated" : {"thing":"reading/R1","value": 1.00 }}}"#,
        "\t{\"fact\":{\"stated\":{\"thing\":\"job\",\"value\":[1e3,-0.0,\t\"\\u00e4\\/\"]}},\"device\":\"Gerät 3\",\"device_time\":\"2026-09-10T08:10:03.5Z\",\"author\":\"名前 🦷\",\"id\":\"ID\",\"schema\":1} ",
        r#"{"schema":1,"id":"ID","author":"A","device":"d","device_time":null,"fact":{"stated":{"thing":"plan","value":{"b":"\u0000 \ud83e\uddb7","a":"e\u0301 é","a ":[]}}}}"#,
    ];
    let batch: Vec<Sealed> = texts
        .iter()
        .zip(1u64..)
        .map(|(text, number)| text.replace("ID", &id(number).to_string()).into_bytes())
        .map(|bytes| Sealed::read(bytes).unwrap())
        .collect();
    assert!(batch.iter().all(|sealed| sealed.entry.write().unwrap() != sealed.bytes));
    append(&store, job(1), &batch).await;
    let placed = whole(&ground.open().await, job(1)).await;
    for (entry, sealed) in placed.iter().zip(&batch) {
        assert_eq!(entry.bytes, sealed.bytes);
    }
    // The same facts with other spacing are other bytes.
    let respaced = Sealed::write(batch[0].entry.clone()).unwrap();
    assert_eq!(append(&store, job(1), &[respaced]).await.refused().count(), 1);
    assert_eq!(append(&store, job(1), &batch).await.placed(), 0);
}

pub(crate) async fn a_long_entry_is_given_back_exactly(ground: &impl Ground) {
    let store = made(ground).await;
    let text: String = (0..).map(|n: u32| format!("ü{n} ")).take(470_000).collect();
    let long = stated(1, &text);
    assert!(long.bytes.len() > 3_900_000, "{}", long.bytes.len());
    let receipt = append(&store, job(1), &[stated(0, ""), long.clone(), stated(2, "")]).await;
    assert_eq!(receipt.placed(), 3);
    assert!(whole(&store, job(1)).await[1].bytes == long.bytes);
    assert_eq!(outcomes(&append(&store, job(1), &[long]).await), [Outcome::Known(2)]);
}

pub(crate) async fn times_are_cut_to_microseconds_and_verify(ground: &impl Ground) {
    let store = made(ground).await;
    let times = ["2026-09-10T08:11:00.123456789Z", "1969-12-31T23:59:59.999999999Z"];
    for (fine, number) in times.iter().zip(0u64..) {
        let fine = fine.parse().unwrap();
        let batch = readings([number]);
        let receipt =
            store.append(job(1), &batch, fine, &own_key(), Admission::Each).await.unwrap();
        assert_eq!(store.heads(job(1)).await.unwrap().last(), receipt.head.as_ref());
        let placed = whole(&store, job(1)).await;
        let received = placed.last().unwrap().received;
        assert_eq!(received.as_microsecond(), fine.as_microsecond());
        assert_eq!(received.as_nanosecond() % 1000, 0);
    }
    whole(&ground.open().await, job(1)).await;
}

pub(crate) async fn the_first_key_of_the_installation_remains(ground: &impl Ground) {
    let store = ground.open().await;
    let [other, another, ..] = other_keys().map(|key| key.public());
    assert_eq!(store.installation(None).await.unwrap(), None);
    for _ in 0..2 {
        assert_eq!(store.installation(Some(other)).await.unwrap(), Some(other));
    }
    assert_eq!(store.installation(Some(another)).await.unwrap(), Some(other));
    let again = ground.open().await;
    assert_eq!(again.installation(Some(another)).await.unwrap(), Some(other));
    assert_eq!(again.installation(None).await.unwrap(), Some(other));
}

pub(crate) async fn reopening_sees_everything(ground: &impl Ground) {
    let store = made(ground).await;
    append(&store, job(1), &readings(0..20)).await;
    append(&store, job(2), &readings(0..3)).await;
    let before = (all_of(&store, job(1)).await, all_of(&store, job(2)).await);
    store.close().await;
    let store = made(ground).await;
    let after = (all_of(&store, job(1)).await, all_of(&store, job(2)).await);
    assert_eq!(before, after);
    let receipt = append(&store, job(1), &readings(19..22)).await;
    let expected = [Outcome::Known(20), Outcome::Placed(21), Outcome::Placed(22)];
    assert_eq!(outcomes(&receipt), expected);
    assert_eq!(whole(&store, job(1)).await.len(), 22);
}

pub(crate) async fn audit_of_a_healthy_store_is_empty(ground: &impl Ground) {
    let store = made(ground).await;
    assert_eq!(store.audit().await.unwrap(), []);
    for number in 0..4 {
        append(&store, job(number), &readings(0..number * 30)).await;
    }
    assert_eq!(store.audit().await.unwrap(), []);
}

pub(crate) async fn two_stores_on_one_ground_lose_nothing(ground: &impl Ground) {
    let stores = [Arc::new(made(ground).await), Arc::new(made(ground).await)];
    let mut tasks = Vec::new();
    for task in 0..6 {
        let store = Arc::clone(&stores[task as usize % 2]);
        tasks.push(tokio::spawn(async move {
            let mut places = Vec::new();
            for round in 0..12 {
                // Each pair of tasks sends the same three, and eight of its own.
                let shared = (task / 2) * 1000 + round * 3;
                let own = 100_000 + task * 1000 + round * 8;
                let batch = readings((shared..shared + 3).chain(own..own + 8));
                let key = own_key();
                let receipt =
                    store.append(job(1), &batch, time(round), &key, Admission::Each).await.unwrap();
                for (id, outcome) in receipt.outcomes {
                    assert!(!matches!(outcome, Outcome::Refused(_)));
                    if let Outcome::Placed(place) = outcome {
                        places.push((place, id));
                    }
                }
            }
            places
        }));
    }
    let mut places = Vec::new();
    for task in tasks {
        places.extend(task.await.unwrap());
    }
    places.sort_unstable();
    let count = 6 * 12 * 8 + 3 * 12 * 3;
    assert!(places.iter().map(|(place, _)| *place).eq(1..=count));
    for store in &stores {
        let placed = whole(store.as_ref(), job(1)).await;
        let stored = placed.iter().map(|p| (p.place, Entry::read(&p.bytes).unwrap().id));
        assert!(stored.eq(places.iter().copied()));
    }
    assert_eq!(stores[0].audit().await.unwrap(), []);
}

/// Appends batches of seven until the work beside it is done.
async fn while_written<G: Ground>(ground: &G, work: impl AsyncFnOnce(&G::Store)) {
    let writer = Arc::new(made(ground).await);
    let go_on = Arc::new(());
    let (watched, store) = (Arc::downgrade(&go_on), Arc::clone(&writer));
    let writing = tokio::spawn(async move {
        let mut number = 0;
        while watched.upgrade().is_some() {
            let batch = readings(number..number + 7);
            store.append(job(1), &batch, time(number), &own_key(), Admission::Each).await.unwrap();
            number += 7;
        }
    });
    work(&ground.open().await).await;
    drop(go_on);
    writing.await.unwrap();
    whole(writer.as_ref(), job(1)).await;
}

pub(crate) async fn readers_see_whole_batches_only(ground: &impl Ground) {
    while_written(ground, async |store| {
        let mut seen = 0;
        while seen < 7 * 40 {
            let count = whole_with(store, job(1), None).await.len();
            assert_eq!(count % 7, 0);
            assert!(count >= seen);
            seen = count;
        }
    })
    .await;
}

pub(crate) async fn a_store_that_is_being_written_has_an_empty_audit(ground: &impl Ground) {
    while_written(ground, async |store| {
        for _ in 0..30 {
            assert_eq!(store.audit().await.unwrap(), [], "while another writes");
        }
    })
    .await;
}

pub(crate) async fn an_append_that_is_given_up_is_there_whole_or_not_at_all(ground: &impl Ground) {
    let store = Arc::new(made(ground).await);
    let rounds = 60;
    for round in 0..rounds {
        let giving_up = Arc::clone(&store);
        let task = tokio::spawn(async move {
            let batch = readings(round * 10..round * 10 + 10);
            giving_up
                .append(job(1), &batch, time(round), &own_key(), Admission::Each)
                .await
                .map(drop)
        });
        thread::sleep(Duration::from_micros(round * 60));
        task.abort();
        if let Ok(done) = task.await {
            done.unwrap();
        }
    }
    append(store.as_ref(), job(1), &readings([100_000])).await;
    let placed = whole(store.as_ref(), job(1)).await;
    let stored: BTreeSet<_> = placed.iter().map(|p| Entry::read(&p.bytes).unwrap().id).collect();
    for round in 0..rounds {
        let there = (round * 10..round * 10 + 10).filter(|n| stored.contains(&id(*n))).count();
        assert!(there == 0 || there == 10, "{there} of 10 are there");
    }
}

pub(crate) async fn an_unknown_job_never_gets_the_head_of_another(ground: &impl Ground) {
    let (asking, making) = (ground.open().await, ground.open().await);
    let made = tokio::spawn(async move {
        for number in 0..150 {
            let batch = readings([number]);
            making.append(job(number), &batch, time(1), &own_key(), Admission::Each).await.unwrap();
        }
    });
    while !made.is_finished() {
        let receipt = append(&asking, job(1_000_000), &[]).await;
        assert_eq!(receipt.head, None, "the job has no entry");
    }
    made.await.unwrap();
}
