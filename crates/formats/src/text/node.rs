//! A value that knows its line.

use tooth_measure::say::{Joint, Said, listed, said};

/// A value and where it begins.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Node {
    pub(crate) line: u32,
    pub(crate) value: Value,
}

/// What a value is. Numbers are finite.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Value {
    Null,
    Flag(bool),
    Number(f64),
    /// A number that is not finite, as written: its reader refuses it with its field.
    NotFinite(String),
    Text(String),
    List(Vec<Node>),
    Table(Vec<(String, Node)>),
}

impl Node {
    /// What stands there, for a message.
    pub(crate) fn describe(&self) -> Said {
        match &self.value {
            Value::Null => "null".into(),
            Value::Flag(flag) => flag.to_string().into(),
            Value::Number(number) => number.to_string().into(),
            Value::Text(text) if text.is_empty() => said!("an-empty-text"),
            Value::Text(text) | Value::NotFinite(text) => format!("`{text}`").into(),
            Value::List(items) if items.len() <= 4 && items.iter().all(Self::is_plain) => {
                let values = listed(Joint::Comma, items.iter().map(Self::describe));
                said!("list-of-values", values = values)
            }
            Value::List(items) => said!("a-list-of", count = items.len()),
            Value::Table(_) => said!("a-table"),
        }
    }
}

impl Node {
    fn is_plain(&self) -> bool {
        !matches!(self.value, Value::List(_) | Value::Table(_))
    }
}

/// Line numbers of byte offsets.
pub(crate) struct Lines(Vec<usize>);

impl Lines {
    pub(crate) fn of(text: &str) -> Self {
        Self(
            text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n').map(|(at, _)| at).collect(),
        )
    }

    /// The line of an offset, counted from 1.
    pub(crate) fn at(&self, offset: usize) -> u32 {
        u32::try_from(self.0.partition_point(|&end| end < offset))
            .map_or(u32::MAX, |n| n.saturating_add(1))
    }
}
