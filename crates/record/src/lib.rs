//! The record: what was seen, by whom, when. Entries are added and never changed; a
//! correction or a withdrawal is a new entry that names the old one and says why.
//!
//! - [`entry`](Entry): one fact, who states it, on which device, when.
//! - [`fold`]: what the entries say of each thing now, two people's versions side by
//!   side where nobody has settled them.
//! - [`chain`]: each entry's place in the job, so that no entry can be changed, left
//!   out or put in later without its showing.
//! - [`difference`]: what a folder edited by hand says that the record does not say yet.

pub mod chain;
mod difference;
mod entry;
mod file;
mod fold;
mod hexadecimal;
mod id;
mod thing;

pub use difference::{Edit, Listing, Origin, Shown, difference};
pub use entry::{ENTRY_BYTES, Entry, EntryFault, Fact, Issue, IssuedFile, Name, Reason, Replaced};
pub use file::{FILE_FOLDERS, FileHash, FileName, READABLE_FILES};
pub use fold::{Content, Erasure, Folded, Held, IssuePlaced, State, Version, fold};
pub use id::{EntryId, JobId};
pub use thing::{Thing, ThingKind};

/// A value as a person wrote it in the readable files: texts keep their units.
pub type Value = serde_json::Value;

/// Numbers without their spelling: `1.0` and `1` are one number.
pub fn plain(value: &mut Value) {
    match value {
        Value::Number(number) if number.is_f64() => {
            if let Some(float) = number.as_f64()
                && float.fract() == 0.0
                && float.abs() < 9.0e15
            {
                *value = Value::from(float as i64);
            }
        }
        Value::Array(items) => items.iter_mut().for_each(plain),
        Value::Object(fields) => fields.values_mut().for_each(plain),
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => {}
    }
}
