//! Entries that follow from a number.

use jiff::Timestamp;
use tooth_record::{Entry, EntryId, Fact, JobId, Name, Thing};
use tooth_storage::Sealed;
use uuid::Uuid;

pub(crate) fn job(number: u64) -> JobId {
    JobId::from_uuid(Uuid::from_u64_pair(0x0192_f0c0_0000_7000, 1 << 63 | number))
}

pub(crate) fn id(number: u64) -> EntryId {
    EntryId::from_uuid(Uuid::from_u64_pair(0x0192_f0c1_0000_7000, 1 << 63 | number))
}

/// A time of reception, later with the number.
pub(crate) fn time(number: u64) -> Timestamp {
    Timestamp::from_microsecond(1_789_000_000_123_457 + 1_000_003 * number as i64).unwrap()
}

/// An entry of this fact.
pub(crate) fn sealed(number: u64, fact: Fact) -> Sealed {
    let device = Name::new("tablet 2").unwrap();
    Sealed::write(Entry::new(id(number), Name::new("M. Adeyemi"), device, None, fact)).unwrap()
}

/// A reading with a text of one's own.
pub(crate) fn stated(number: u64, text: &str) -> Sealed {
    let thing = Thing::parse(&format!("reading/R{number}")).unwrap();
    let value = serde_json::json!({ "kind": "pull_off", "value": number.to_string(), "unit": "psi", "note": text });
    sealed(number, Fact::Stated { thing, value })
}
