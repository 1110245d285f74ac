//! A well-set page on a terminal: wrapped to its width, bold where it helps, the same
//! words when it is no terminal.

use std::fmt::Write as _;

use anstyle::Style;
use tooth_measure::say::Argument;
use tooth_words::Words;

const BOLD: Style = Style::new().bold();
const QUIET: Style = Style::new().dimmed();

/// A page under construction.
#[derive(Debug)]
pub(crate) struct Page {
    words: Words,
    width: usize,
    text: String,
}

impl Page {
    /// A page as wide as the terminal, within what reads well.
    pub(crate) fn new(words: Words) -> Self {
        let columns = std::env::var("COLUMNS").ok().and_then(|c| c.parse().ok()).unwrap_or(96);
        Self { words, width: usize::clamp(columns, 60, 110), text: String::new() }
    }

    fn told(&self, said: impl Into<Argument>) -> String {
        self.words.text(&said.into())
    }

    pub(crate) fn heading(&mut self, text: impl Into<Argument>) {
        let text = self.told(text);
        let _ = writeln!(self.text, "{BOLD}{text}{BOLD:#}");
        let _ = writeln!(self.text, "{}", "─".repeat(text.chars().count().min(self.width)));
    }

    pub(crate) fn blank(&mut self) {
        self.text.push('\n');
    }

    /// A paragraph with a hanging lead: the lead stands left, the text beside it.
    pub(crate) fn item(
        &mut self,
        indent: usize,
        lead: impl Into<Argument>,
        text: impl Into<Argument>,
    ) {
        let (lead, text) = (self.told(lead), self.told(text));
        self.lead(indent, &lead, lead.chars().count() + 1, &text, true);
    }

    /// The same with the lead in a column of its own width.
    pub(crate) fn column_item(
        &mut self,
        indent: usize,
        lead: impl Into<Argument>,
        column: usize,
        text: impl Into<Argument>,
    ) {
        let (lead, text) = (self.told(lead), self.told(text));
        self.lead(indent, &lead, column.max(lead.chars().count() + 1), &text, true);
    }

    /// A paragraph in the quiet style.
    pub(crate) fn note(&mut self, indent: usize, text: impl Into<Argument>) {
        let text = self.told(text);
        for line in wrapped(&text, self.width.saturating_sub(indent)) {
            let _ = writeln!(self.text, "{}{QUIET}{line}{QUIET:#}", " ".repeat(indent));
        }
    }

    pub(crate) fn paragraph(&mut self, indent: usize, text: impl Into<Argument>) {
        let text = self.told(text);
        self.lead(indent, "", 0, &text, false);
    }

    fn lead(&mut self, indent: usize, lead: &str, column: usize, text: &str, bold: bool) {
        let room = self.width.saturating_sub(indent + column).max(24);
        let pad = " ".repeat(column.saturating_sub(lead.chars().count()));
        for (i, line) in wrapped(text, room).into_iter().enumerate() {
            let margin = " ".repeat(indent);
            let _ = match (i, bold) {
                (0, true) => writeln!(self.text, "{margin}{BOLD}{lead}{BOLD:#}{pad}{line}"),
                (0, false) => writeln!(self.text, "{margin}{lead}{pad}{line}"),
                _ => writeln!(self.text, "{margin}{}{line}", " ".repeat(column)),
            };
        }
    }

    /// Rows in columns; `right` marks columns of numbers. The widest text column is
    /// wrapped where the whole does not fit.
    pub(crate) fn table(&mut self, indent: usize, right: &[bool], rows: &[Vec<Argument>]) {
        let told = |row: &Vec<Argument>| row.iter().map(|cell| self.words.text(cell)).collect();
        let rows: Vec<Vec<String>> = rows.iter().map(told).collect();
        let columns = right.len();
        let mut widths = vec![0usize; columns];
        for row in &rows {
            for (width, cell) in widths.iter_mut().zip(row) {
                *width = (*width).max(cell.chars().count());
            }
        }
        let room = self.width.saturating_sub(indent + 2 * columns.saturating_sub(1));
        let all: usize = widths.iter().sum();
        if all > room
            && let Some((at, _)) = widths
                .iter()
                .enumerate()
                .filter(|(i, _)| right.get(*i) == Some(&false))
                .max_by_key(|(_, w)| **w)
        {
            let others = all - widths[at];
            widths[at] = room.saturating_sub(others).max(16);
        }
        for (number, row) in rows.iter().enumerate() {
            let cells: Vec<Vec<String>> =
                row.iter().zip(&widths).map(|(cell, width)| wrapped(cell, *width)).collect();
            let height = cells.iter().map(Vec::len).max().unwrap_or(1);
            for line in 0..height {
                let mut out = " ".repeat(indent);
                for (at, (cell, width)) in cells.iter().zip(&widths).enumerate() {
                    let text = cell.get(line).map_or("", String::as_str);
                    let pad = " ".repeat(width.saturating_sub(text.chars().count()));
                    if at > 0 {
                        out.push_str("  ");
                    }
                    if right.get(at) == Some(&true) {
                        let _ = write!(out, "{pad}{text}");
                    } else {
                        let _ = write!(out, "{text}{pad}");
                    }
                }
                let out = out.trim_end();
                let _ = if number == 0 {
                    writeln!(self.text, "{BOLD}{out}{BOLD:#}")
                } else {
                    writeln!(self.text, "{out}")
                };
            }
        }
    }

    /// Prints the page on standard output.
    pub(crate) fn print(self) {
        anstream::print!("{}", self.text);
    }
}

/// The cells of a row.
macro_rules! row {
    ($($cell:expr),* $(,)?) => { vec![$(::tooth_measure::say::Argument::from($cell)),*] };
}
pub(crate) use row;

/// Words in lines of at most `width` characters; a longer word stands alone.
fn wrapped(text: &str, width: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split_whitespace() {
        let Some(line) = lines.last_mut() else {
            continue;
        };
        if line.is_empty() {
            line.push_str(word);
        } else if line.chars().count() + 1 + word.chars().count() <= width {
            line.push(' ');
            line.push_str(word);
        } else {
            lines.push(word.to_owned());
        }
    }
    lines
}
