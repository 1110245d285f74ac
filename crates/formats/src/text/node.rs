//! A value that knows its line.

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
    pub(crate) fn describe(&self) -> String {
        match &self.value {
            Value::Null => "null".to_owned(),
            Value::Flag(flag) => flag.to_string(),
            Value::Number(number) => number.to_string(),
            Value::Text(text) if text.is_empty() => "an empty text".to_owned(),
            Value::Text(text) => format!("`{text}`"),
            Value::NotFinite(text) => format!("`{text}`"),
            Value::List(items) if items.len() <= 4 && items.iter().all(Self::is_plain) => {
                let shown: Vec<String> = items.iter().map(Self::describe).collect();
                format!("[{}]", shown.join(", "))
            }
            Value::List(items) => format!("a list of {}", items.len()),
            Value::Table(_) => "a table".to_owned(),
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
