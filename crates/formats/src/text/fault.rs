//! What is wrong with an input, and where.

use std::cell::RefCell;
use std::fmt;

/// Whether the input is refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Refused.
    Fault,
    /// Read, but look at it.
    Warning,
}

/// One thing wrong with an input.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// Whether the input is refused.
    pub severity: Severity,
    /// File, as a path inside the job folder.
    pub file: String,
    /// Line, counted from 1; none where the whole file is meant.
    pub line: Option<u32>,
    /// Field; empty where the whole line is meant.
    pub field: String,
    /// What would do.
    pub expected: String,
    /// What stands there.
    pub found: String,
}

impl Fault {
    /// A fault that refuses the input.
    #[must_use]
    pub fn new(
        file: &str,
        line: Option<u32>,
        field: &str,
        expected: impl Into<String>,
        found: impl Into<String>,
    ) -> Self {
        Self {
            severity: Severity::Fault,
            file: file.to_owned(),
            line,
            field: field.to_owned(),
            expected: expected.into(),
            found: found.into(),
        }
    }

    /// Something to look at.
    #[must_use]
    pub fn warning(file: &str, expected: impl Into<String>, found: impl Into<String>) -> Self {
        Self { severity: Severity::Warning, ..Self::new(file, None, "", expected, found) }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.file)?;
        if let Some(line) = self.line {
            write!(f, ":{line}")?;
        }
        if !self.field.is_empty() {
            write!(f, ": {}", self.field)?;
        }
        write!(f, ": expected {}, found {}", self.expected, self.found)
    }
}

/// The faults of one reading, as they come up.
#[derive(Debug, Default)]
pub(crate) struct Faults(RefCell<Vec<Fault>>);

impl Faults {
    pub(crate) fn refuse(
        &self,
        file: &str,
        line: Option<u32>,
        field: &str,
        expected: impl Into<String>,
        found: impl Into<String>,
    ) {
        self.note(Severity::Fault, file, line, field, expected.into(), &found.into());
    }

    pub(crate) fn warn(
        &self,
        file: &str,
        line: Option<u32>,
        field: &str,
        expected: impl Into<String>,
        found: impl Into<String>,
    ) {
        self.note(Severity::Warning, file, line, field, expected.into(), &found.into());
    }

    fn note(
        &self,
        severity: Severity,
        file: &str,
        line: Option<u32>,
        field: &str,
        expected: String,
        found: &str,
    ) {
        // A heading may be anything too: an open quote makes the whole file one.
        let (file, field) = (file.to_owned(), short(field, FOUND));
        self.0.borrow_mut().push(Fault {
            severity,
            file,
            line,
            field,
            expected: short(&expected, EXPECTED),
            found: short(found, FOUND),
        });
    }

    /// All of them by file and line, faults and warnings apart.
    pub(crate) fn sorted(self) -> (Vec<Fault>, Vec<Fault>) {
        let mut all = self.0.into_inner();
        all.sort_by(|a, b| (&a.file, a.line, &a.field).cmp(&(&b.file, b.line, &b.field)));
        all.into_iter().partition(|fault| fault.severity == Severity::Fault)
    }
}

/// The most characters of a found text or a field, and of what would do.
const FOUND: usize = 80;
const EXPECTED: usize = 400;

/// A text on one line, its middle left out where it is long.
fn short(text: &str, most: usize) -> String {
    let line: Vec<char> = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    if line.len() <= most {
        return line.into_iter().collect();
    }
    let tail = most / 5;
    let head: String = line[..most - tail - 4].iter().collect();
    let tail: String = line[line.len() - tail..].iter().collect();
    format!("{head} … {tail}")
}
