//! Hostile bytes to the types of the job, and what is wrong with them: every fault
//! with file, line, field, what was expected and what was found, all at once.
//!
//! Nothing here writes to disk, but for points beyond what memory holds, in files without a
//! name. What a file may hold is bounded before it is read:
//! see [`limits`].

pub mod job_folder;
pub mod limits;
pub mod picture;
pub mod record;
pub mod recording;
pub mod scan;
mod text;

pub use text::{
    COMMAND_LINE, ChoiceAsked, Fault, FieldAsked, FormAsked, NameOf, Severity, THE_FOLDER,
    UnitAsked, place,
};
