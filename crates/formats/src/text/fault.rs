//! What is wrong with an input, and where.

use std::cell::RefCell;

use tooth_measure::say::{Argument, Said, said};

/// Where a fault of what was typed stands.
pub const COMMAND_LINE: &str = "command line";
/// Where a fault of a folder as a whole stands.
pub const THE_FOLDER: &str = "the folder";

/// Where a fault stands: its file, or what stands for one, as a person calls it.
#[must_use]
pub fn place(file: &str) -> Said {
    match file {
        COMMAND_LINE => said!("command-line"),
        THE_FOLDER => said!("the-folder"),
        file => Said::Given(file.to_owned()),
    }
}

/// Whether the input is refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Refused.
    Fault,
    /// Read, but look at it.
    Warning,
}

/// One thing wrong with an input.
#[derive(Debug, Clone, PartialEq)]
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
    pub expected: Box<Said>,
    /// What stands there.
    pub found: Box<Said>,
}

impl Fault {
    /// A fault that refuses the input.
    #[must_use]
    pub fn new(
        file: &str,
        line: Option<u32>,
        field: &str,
        expected: impl Into<Said>,
        found: impl Into<Said>,
    ) -> Self {
        Self {
            severity: Severity::Fault,
            file: file.to_owned(),
            line,
            field: field.to_owned(),
            expected: Box::new(expected.into()),
            found: Box::new(found.into()),
        }
    }

    /// Something to look at.
    #[must_use]
    pub fn warning(file: &str, expected: impl Into<Said>, found: impl Into<Said>) -> Self {
        Self { severity: Severity::Warning, ..Self::new(file, None, "", expected, found) }
    }
}

impl Fault {
    /// All of it in one line.
    #[must_use]
    pub fn said(&self) -> Said {
        let line = self.line.map_or_else(String::new, |line| format!(":{line}"));
        let field = if self.field.is_empty() { String::new() } else { format!(": {}", self.field) };
        said!(
            "fault",
            file = place(&self.file),
            place = format!("{line}{field}"),
            expected = &*self.expected,
            found = &*self.found
        )
    }
}

/// What a person wrote, cut where it goes on and on; also where a message speaks of it.
fn shortened(said: Said, most: usize) -> Said {
    match said {
        Said::Given(text) => Said::Given(short(&text, most)),
        Said::Message(name, arguments) => {
            let cut = |(name, of)| (name, shortened_argument(of, most));
            Said::Message(name, arguments.into_iter().map(cut).collect())
        }
    }
}

fn shortened_argument(of: Argument, most: usize) -> Argument {
    match of {
        Argument::Name(text) => Argument::Name(short(&text, most)),
        Argument::Said(said) => Argument::Said(shortened(said, most)),
        Argument::List(joint, all) => {
            let cut = |one| shortened_argument(one, most);
            Argument::List(joint, all.into_iter().map(cut).collect())
        }
        figure => figure,
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
        expected: impl Into<Said>,
        found: impl Into<Said>,
    ) {
        self.note(Severity::Fault, file, line, field, expected.into(), found.into());
    }

    pub(crate) fn warn(
        &self,
        file: &str,
        line: Option<u32>,
        field: &str,
        expected: impl Into<Said>,
        found: impl Into<Said>,
    ) {
        self.note(Severity::Warning, file, line, field, expected.into(), found.into());
    }

    fn note(
        &self,
        severity: Severity,
        file: &str,
        line: Option<u32>,
        field: &str,
        expected: Said,
        found: Said,
    ) {
        // A heading may be anything too: an open quote makes the whole file one.
        let (file, field) = (file.to_owned(), short(field, FOUND));
        self.0.borrow_mut().push(Fault {
            severity,
            file,
            line,
            field,
            expected: Box::new(shortened(expected, EXPECTED)),
            found: Box::new(shortened(found, FOUND)),
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
const EXPECTED: usize = 500;

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
