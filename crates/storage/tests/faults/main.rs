//! What may go wrong around the record: a killed program, a full disk, a folder that
//! cannot be written, two programs at once, changed bytes, a forger. What was
//! acknowledged stays; what was changed is found.
//!
//! `TOOTH_KILLS` sets the number of kills, `TOOTH_SEED` the seed of all chance.
#![expect(clippy::unwrap_used, reason = "a test fails loudly")]

mod bytes;
#[path = "../support/chance.rs"]
mod chance;
mod check;
#[path = "../support/entries.rs"]
mod entries;
mod full_disk;
mod kill;
mod read_only;
mod tampering;
mod two_processes;
mod writer;

use std::env;

/// A number that can be set from outside.
fn setting(name: &str, otherwise: u64) -> u64 {
    env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(otherwise)
}

/// The seed of a test, printed where it fails.
fn seed() -> u64 {
    let seed = setting("TOOTH_SEED", 20_260_910);
    println!("TOOTH_SEED={seed}");
    seed
}

/// Not a test: what other tests start as a process of its own. Without an order it
/// returns at once.
#[test]
fn writer_process() {
    writer::obey();
}
