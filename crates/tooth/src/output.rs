//! What `--json` prints beyond the results of the job itself.

use schemars::JsonSchema;
use serde::Serialize;
use tooth_formats::Fault;
use tooth_job::assessment::Assessment;
use tooth_job::estimate::Estimate;
use tooth_job::plan::Plan;
use tooth_job::quantities::Quantities;

/// One thing wrong with an input.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct FaultOut {
    /// File, as a path inside the job folder.
    pub(crate) file: String,
    /// Line, counted from 1; null where the whole file is meant.
    pub(crate) line: Option<u32>,
    /// Field; empty where the whole line or file is meant.
    pub(crate) field: String,
    /// What would do.
    pub(crate) expected: String,
    /// What stands there.
    pub(crate) found: String,
}

impl From<&Fault> for FaultOut {
    fn from(fault: &Fault) -> Self {
        Self {
            file: fault.file.clone(),
            line: fault.line,
            field: fault.field.clone(),
            expected: fault.expected.clone(),
            found: fault.found.clone(),
        }
    }
}

/// Printed with exit code 2.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct Errors {
    /// Every fault, by file and line.
    pub(crate) errors: Vec<FaultOut>,
}

/// A sound folder.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct Checked {
    /// Name of the job.
    pub(crate) job: String,
    /// Number of zones.
    pub(crate) zones: u32,
    /// Number of features.
    pub(crate) features: u32,
    /// Number of readings.
    pub(crate) readings: u32,
    /// Number of systems.
    pub(crate) systems: u32,
    /// Hours of forecast.
    pub(crate) forecast_hours: u32,
    /// What to look at, though it was read.
    pub(crate) warnings: Vec<FaultOut>,
}

/// A file that was written.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct DocumentWritten {
    /// Its name in the folder of `--out`.
    pub(crate) file: String,
    /// For whom or what it is.
    pub(crate) what: String,
    /// Its size.
    pub(crate) bytes: u64,
    /// Pages of a PDF; null for others.
    pub(crate) pages: Option<u32>,
    /// Its BLAKE3 hash in hexadecimal.
    pub(crate) blake3: String,
}

/// What `run` and `report` print.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct Run {
    /// Name of the job.
    pub(crate) job: String,
    /// What the evidence says.
    pub(crate) assessment: Assessment,
    /// The steps.
    pub(crate) plan: Plan,
    /// The bill.
    pub(crate) quantities: Quantities,
    /// The price.
    pub(crate) estimate: Estimate,
    /// The files that were written.
    pub(crate) documents: Vec<DocumentWritten>,
}
