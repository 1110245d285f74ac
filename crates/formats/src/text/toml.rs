//! TOML to nodes.

use toml::Spanned;
use toml::de::{DeTable, DeValue};
use tooth_measure::say::said;

use super::fault::Faults;
use super::node::{Lines, Node, Value};

/// The table of a TOML text; syntax errors become faults, and what could be read is
/// read on.
pub(crate) fn toml(file: &str, text: &str, faults: &Faults) -> Node {
    let lines = Lines::of(text);
    let (table, errors) = DeTable::parse_recoverable(text);
    for error in errors {
        let span = error.span();
        let line = span.as_ref().map(|span| lines.at(span.start));
        let span = span.unwrap_or(0..0);
        let found = text.get(span.clone()).unwrap_or_default();
        let found =
            if found.is_empty() { said!("something-else") } else { format!("`{found}`").into() };
        faults.refuse(file, line, "", said!("toml-wanted", wanted = error.message()), found);
    }
    let start = table.span().start;
    let context = Context { lines: &lines };
    Node { line: lines.at(start), value: context.table(table.into_inner()) }
}

struct Context<'a> {
    lines: &'a Lines,
}

impl Context<'_> {
    fn table(&self, table: DeTable<'_>) -> Value {
        Value::Table(
            table
                .into_iter()
                .map(|(key, value)| (key.into_inner().into_owned(), self.node(value)))
                .collect(),
        )
    }

    fn node(&self, value: Spanned<DeValue<'_>>) -> Node {
        let line = self.lines.at(value.span().start);
        let value = match value.into_inner() {
            DeValue::String(text) => Value::Text(text.into_owned()),
            DeValue::Boolean(flag) => Value::Flag(flag),
            DeValue::Datetime(time) => Value::Text(time.to_string()),
            DeValue::Array(items) => {
                Value::List(items.into_iter().map(|item| self.node(item)).collect())
            }
            DeValue::Table(table) => self.table(table),
            DeValue::Integer(number) => {
                i64::from_str_radix(&number.as_str().replace('_', ""), number.radix())
                    .map_or(Value::Null, |n| Value::Number(n as f64))
            }
            DeValue::Float(float) => number(float.as_str()),
        };
        Node { line, value }
    }
}

fn number(text: &str) -> Value {
    match text.replace('_', "").parse::<f64>() {
        Ok(number) if number.is_finite() => Value::Number(number),
        _ => Value::NotFinite(text.to_owned()),
    }
}
