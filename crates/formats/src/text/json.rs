//! JSON to nodes: strict JSON, with lines.

use jsonc_parser::ast;
use jsonc_parser::common::Ranged as _;
use jsonc_parser::{CollectOptions, ParseOptions, parse_to_ast};
use tooth_measure::say::said;

use super::fault::Faults;
use super::node::{Lines, Node, Value};

const STRICT: ParseOptions = ParseOptions {
    allow_comments: false,
    allow_loose_object_property_names: false,
    allow_trailing_commas: false,
    allow_missing_commas: false,
    allow_single_quoted_strings: false,
    allow_hexadecimal_numbers: false,
    allow_unary_plus_numbers: false,
    allow_bare_decimal_point_numbers: false,
    allow_non_finite_numbers: false,
    allow_extended_string_escapes: false,
};

/// Deepest nesting that is read: a plan needs seven levels.
const DEPTH: usize = 64;

/// The value of a JSON text; `None` where it is no JSON.
pub(crate) fn json(file: &str, text: &str, faults: &Faults) -> Option<Node> {
    // Some editors put a byte-order mark before a text.
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let lines = Lines::of(text);
    if nesting(text) > DEPTH {
        faults.refuse(
            file,
            None,
            "",
            said!("at-most-levels-of-brackets", most = DEPTH),
            said!("more"),
        );
        return None;
    }
    match parse_to_ast(text, &CollectOptions::default(), &STRICT) {
        Ok(parsed) => match parsed.value {
            Some(value) => Some(Context { lines: &lines }.node(value)),
            None => {
                faults.refuse(file, Some(1), "", said!("a-json-object"), said!("an-empty-file"));
                None
            }
        },
        Err(error) => {
            faults.refuse(
                file,
                Some(lines.at(error.range().start)),
                "",
                "JSON",
                error.kind().to_string(),
            );
            None
        }
    }
}

/// Greatest depth of brackets outside texts.
fn nesting(text: &str) -> usize {
    let (mut depth, mut deepest, mut quoted, mut escaped) = (0usize, 0, false, false);
    for byte in text.bytes() {
        match byte {
            _ if escaped => escaped = false,
            b'\\' if quoted => escaped = true,
            b'"' => quoted = !quoted,
            b'[' | b'{' if !quoted => {
                depth += 1;
                deepest = deepest.max(depth);
            }
            b']' | b'}' if !quoted => depth = depth.saturating_sub(1),
            _ => {}
        }
    }
    deepest
}

struct Context<'a> {
    lines: &'a Lines,
}

impl Context<'_> {
    fn node(&self, value: ast::Value<'_>) -> Node {
        let line = self.lines.at(value.range().start);
        let value = match value {
            ast::Value::StringLit(text) => Value::Text(text.value.into_owned()),
            ast::Value::BooleanLit(flag) => Value::Flag(flag.value),
            ast::Value::NullKeyword(_) => Value::Null,
            ast::Value::NumberLit(number) => match number.value.parse::<f64>() {
                Ok(number) if number.is_finite() => Value::Number(number),
                _ => Value::NotFinite(number.value.to_owned()),
            },
            ast::Value::Array(array) => {
                Value::List(array.elements.into_iter().map(|item| self.node(item)).collect())
            }
            ast::Value::Object(object) => Value::Table(
                object
                    .properties
                    .into_iter()
                    .map(|property| (property.name.as_str().to_owned(), self.node(property.value)))
                    .collect(),
            ),
        };
        Node { line, value }
    }
}
