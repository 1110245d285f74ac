//! From text to fields: TOML, GeoJSON and CSV become one tree of values that know
//! their line, and a reader of fields that collects every fault.

mod asked;
mod csv;
mod fault;
mod fields;
mod json;
mod node;
mod toml;

pub use asked::{ChoiceAsked, FieldAsked, FormAsked, NameOf, UnitAsked};
pub(crate) use asked::{Notes, meaning, money_of, quantity_of};
pub(crate) use csv::rows;
pub(crate) use fault::Faults;
pub use fault::{COMMAND_LINE, Fault, Severity, THE_FOLDER, place};
pub(crate) use fields::Fields;
pub(crate) use json::json;
pub(crate) use node::{Node, Value};
pub(crate) use toml::toml;
