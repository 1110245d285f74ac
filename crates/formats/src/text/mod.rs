//! From text to fields: TOML, GeoJSON and CSV become one tree of values that know
//! their line, and a reader of fields that collects every fault.

mod csv;
mod fault;
mod fields;
mod json;
mod node;
mod toml;

pub(crate) use csv::rows;
pub(crate) use fault::Faults;
pub use fault::{COMMAND_LINE, Fault, Severity, THE_FOLDER, place};
pub(crate) use fields::Fields;
pub(crate) use json::json;
pub(crate) use node::{Node, Value};
pub(crate) use toml::toml;
