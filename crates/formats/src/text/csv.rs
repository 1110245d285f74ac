//! CSV to rows of texts with their lines.

use tooth_measure::say::said;

use super::fault::Faults;
use super::node::{Node, Value};
use crate::limits;

/// The rows of a table with a heading line. Empty cells are left out. Unknown and
/// missing columns are faults of the heading.
pub(crate) fn rows(
    file: &str,
    text: &str,
    columns: &[&str],
    required: &[&str],
    faults: &Faults,
) -> Vec<Node> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut reader =
        csv::ReaderBuilder::new().flexible(true).trim(csv::Trim::All).from_reader(text.as_bytes());
    let headings: Vec<String> = match reader.headers() {
        Ok(record) => record.iter().map(str::to_owned).collect(),
        Err(error) => {
            faults.refuse(file, Some(1), "", said!("a-heading-line"), error.to_string());
            return Vec::new();
        }
    };
    for heading in headings.iter().filter(|h| !columns.contains(&h.as_str())) {
        faults.refuse(
            file,
            Some(1),
            heading,
            said!("one-of-the-columns", columns = columns.join(", ")),
            format!("`{heading}`"),
        );
    }
    for column in required.iter().filter(|c| !headings.iter().any(|h| h == *c)) {
        faults.refuse(
            file,
            Some(1),
            column,
            said!("this-column-in-the-heading-line"),
            said!("none"),
        );
    }
    let mut rows = Vec::new();
    for record in reader.records() {
        let record = match record {
            Ok(record) => record,
            Err(error) => {
                let line = error.position().map(|p| p.line() as u32);
                faults.refuse(file, line, "", said!("a-row-of-the-table"), error.to_string());
                break;
            }
        };
        let line = record.position().map_or(0, |p| p.line() as u32);
        if rows.len() >= limits::ROWS {
            faults.refuse(
                file,
                Some(line),
                "",
                said!("at-most-rows", most = limits::ROWS),
                said!("more"),
            );
            break;
        }
        if record.len() > headings.len() {
            faults.refuse(
                file,
                Some(line),
                "",
                said!("as-many-cells-as-the-heading", count = headings.len()),
                format!("{}", record.len()),
            );
        }
        if record.iter().all(str::is_empty) {
            continue;
        }
        let cells = headings
            .iter()
            .zip(record.iter())
            .filter(|(_, cell)| !cell.is_empty())
            .map(|(heading, cell)| {
                (heading.clone(), Node { line, value: Value::Text(cell.to_owned()) })
            })
            .collect();
        rows.push(Node { line, value: Value::Table(cells) });
    }
    rows
}
