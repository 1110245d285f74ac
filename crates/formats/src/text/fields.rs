//! Fields of a table: each is read with what is expected of it, and what is not
//! expected at all comes up in the end.

use std::cell::RefCell;
use std::collections::BTreeSet;

use jiff::civil::{Date, DateTime};
use tooth_job::survey::{Currency, FeatureId, MethodId, ReadingId, SystemId, ZoneId};
use tooth_measure::choice::Choice;
use tooth_measure::range::Range;
use tooth_measure::say::{Said, said};
use tooth_measure::{Fraction, Quantity};

use super::asked::{FormAsked, NameOf, Notes, choice_of, money_of, quantity_of};
use super::fault::Faults;
use super::node::{Node, Value};

/// A name that a reader makes of a text.
pub(crate) trait Id: Sized {
    /// What bears it.
    const OF: NameOf;
    /// None where the text is no such name.
    fn named(text: &str) -> Option<Self>;
}

macro_rules! ids {
    ($($id:ident: $of:ident;)+) => { $(
        impl Id for $id {
            const OF: NameOf = NameOf::$of;
            fn named(text: &str) -> Option<Self> {
                Self::new(text)
            }
        }
    )+ };
}

ids! {
    ZoneId: Zone;
    SystemId: System;
    FeatureId: Feature;
    ReadingId: Reading;
    MethodId: Method;
}

/// A table under reading.
pub(crate) struct Fields<'a> {
    pub(crate) file: &'a str,
    pub(crate) line: u32,
    pub(crate) faults: &'a Faults,
    name: String,
    entries: &'a [(String, Node)],
    read: RefCell<BTreeSet<String>>,
    notes: Option<Notes>,
}

impl<'a> Fields<'a> {
    /// Fields of a node that should be a table; a fault and no fields otherwise.
    pub(crate) fn of(file: &'a str, name: &str, node: &'a Node, faults: &'a Faults) -> Self {
        let entries: &[(String, Node)] = match &node.value {
            Value::Table(entries) => entries,
            _ => {
                faults.refuse(file, Some(node.line), name, said!("a-table"), node.describe());
                &[]
            }
        };
        let fields = Self {
            file,
            line: node.line,
            faults,
            name: name.to_owned(),
            entries,
            read: RefCell::default(),
            notes: None,
        };
        let mut seen = BTreeSet::new();
        for (key, value) in entries {
            if !seen.insert(key) {
                faults.refuse(
                    file,
                    Some(value.line),
                    &fields.path(key),
                    said!("each-field-once"),
                    said!("it-twice"),
                );
            }
        }
        fields
    }

    /// Fields of which is noted what the reader asks.
    pub(crate) fn noting(self, notes: &Notes) -> Self {
        Self { notes: Some(notes.clone()), ..self }
    }

    /// Whether this is a reading of nothing, to learn what is asked.
    pub(crate) fn is_noting(&self) -> bool {
        self.notes.is_some()
    }

    /// Notes what is taken in a field.
    pub(crate) fn note(&self, field: &str, form: impl FnOnce() -> FormAsked) {
        self.note_many(field, false, form);
    }

    /// The same of a field that may hold several.
    pub(crate) fn note_many(&self, field: &str, many: bool, form: impl FnOnce() -> FormAsked) {
        if let Some(notes) = &self.notes {
            notes.note(field, many, form());
        }
    }

    /// Notes that a field must be there.
    pub(crate) fn must(&self, field: &str) {
        if let Some(notes) = &self.notes {
            notes.must(field);
        }
    }

    /// The field's name with its table's.
    pub(crate) fn path(&self, field: &str) -> String {
        if self.name.is_empty() { field.to_owned() } else { format!("{}.{field}", self.name) }
    }

    /// The node of a field, marked as read.
    pub(crate) fn node(&self, field: &str) -> Option<&'a Node> {
        self.read.borrow_mut().insert(field.to_owned());
        self.entries.iter().find(|(key, _)| key == field).map(|(_, node)| node)
    }

    pub(crate) fn has(&self, field: &str) -> bool {
        self.entries.iter().any(|(key, _)| key == field)
    }

    /// The line of a field, or of the table.
    pub(crate) fn line_of(&self, field: &str) -> u32 {
        self.entries.iter().find(|(key, _)| key == field).map_or(self.line, |(_, node)| node.line)
    }

    /// A fault of a field.
    pub(crate) fn refuse(&self, field: &str, expected: impl Into<Said>, found: impl Into<Said>) {
        self.faults.refuse(
            self.file,
            Some(self.line_of(field)),
            &self.path(field),
            expected,
            found,
        );
    }

    /// Something to look at in a field.
    pub(crate) fn warn(&self, field: &str, expected: impl Into<Said>, found: impl Into<Said>) {
        let line = Some(self.line_of(field));
        self.faults.warn(self.file, line, &self.path(field), expected, found);
    }

    fn missing<T>(&self, field: &str, expected: Said, value: Option<T>) -> Option<T> {
        self.must(field);
        if value.is_none() && !self.has(field) {
            self.refuse(field, expected, said!("nothing"));
        }
        value
    }

    /// A text that may be missing.
    pub(crate) fn maybe_text(&self, field: &str) -> Option<String> {
        self.note(field, || FormAsked::Text);
        let node = self.node(field)?;
        match &node.value {
            Value::Text(text) if text.chars().any(is_hidden) => {
                let found = text.chars().find(|c| is_hidden(*c)).map_or(0, u32::from);
                self.refuse(
                    field,
                    said!("a-text-without-hidden-characters"),
                    format!("U+{found:04X}"),
                );
                None
            }
            Value::Text(text) if text.len() <= 4000 => Some(text.trim().to_owned()),
            Value::Text(text) => {
                self.refuse(
                    field,
                    said!("a-text-of-at-most-4000-bytes"),
                    said!("bytes", count = text.len()),
                );
                None
            }
            _ => {
                self.refuse(field, said!("a-text"), node.describe());
                None
            }
        }
    }

    /// A text that must be there.
    pub(crate) fn text(&self, field: &str) -> Option<String> {
        let text = self.missing(field, said!("a-text"), self.maybe_text(field))?;
        if text.is_empty() {
            self.refuse(field, said!("a-text"), said!("an-empty-text"));
            return None;
        }
        Some(text)
    }

    /// An id made by a constructor that refuses what is none.
    pub(crate) fn id<T: Id>(&self, field: &str) -> Option<T> {
        self.note_name::<T>(field);
        let text = self.text(field)?;
        self.made_id(field, &text)
    }

    /// An id that may be missing.
    pub(crate) fn maybe_id<T: Id>(&self, field: &str) -> Option<T> {
        self.note_name::<T>(field);
        let text = self.maybe_text(field)?;
        self.made_id(field, &text)
    }

    fn note_name<T: Id>(&self, field: &str) {
        self.note(field, || match field {
            "id" => FormAsked::NewName,
            _ => FormAsked::Name { of: T::OF },
        });
    }

    fn made_id<T: Id>(&self, field: &str, text: &str) -> Option<T> {
        let id = T::named(text);
        if id.is_none() {
            self.refuse(field, said!("letters-digits-and-signs-of-a-name"), format!("`{text}`"));
        }
        id
    }

    /// A word out of a closed list; `default` where it is missing.
    pub(crate) fn choice_or<T: Choice>(&self, field: &str, default: T) -> T {
        self.note(field, || choice_of(Some(default)));
        self.maybe_choice(field).unwrap_or(default)
    }

    /// A word out of a closed list that must be there.
    pub(crate) fn choice<T: Choice>(&self, field: &str) -> Option<T> {
        self.missing(field, said!("one-of", values = T::key_list()), self.maybe_choice(field))
    }

    /// A word out of a closed list that may be missing.
    pub(crate) fn maybe_choice<T: Choice>(&self, field: &str) -> Option<T> {
        self.note(field, || choice_of::<T>(None));
        let node = self.node(field)?;
        let value = match &node.value {
            Value::Text(text) => T::from_key(text.trim()),
            _ => None,
        };
        if value.is_none() {
            self.refuse(field, said!("one-of", values = T::key_list()), node.describe());
        }
        value
    }

    /// A flag; `default` where it is missing.
    pub(crate) fn flag_or(&self, field: &str, default: bool) -> bool {
        self.note(field, || FormAsked::Flag { usual: default });
        match self.node(field) {
            None => default,
            Some(Node { value: Value::Flag(flag), .. }) => *flag,
            Some(node) => {
                self.refuse(field, said!("true-or-false"), node.describe());
                default
            }
        }
    }

    /// A whole number within bounds; also as text, for tables of texts.
    pub(crate) fn maybe_whole(&self, field: &str, low: i64, high: i64) -> Option<i64> {
        self.note(field, || FormAsked::Whole { low, high });
        let node = self.node(field)?;
        let number = match &node.value {
            Value::Number(number) if number.fract() == 0.0 => Some(*number as i64),
            Value::Text(text) => text.trim().parse().ok(),
            _ => None,
        };
        let inside = number.filter(|n| (low..=high).contains(n));
        if inside.is_none() {
            self.refuse(
                field,
                said!("a-whole-number-from", low = low.to_string(), high = high.to_string()),
                node.describe(),
            );
        }
        inside
    }

    /// A bare number within bounds.
    pub(crate) fn maybe_number(&self, field: &str, low: f64, high: f64) -> Option<f64> {
        self.note(field, || FormAsked::Number { low, high });
        let node = self.node(field)?;
        match &node.value {
            Value::Number(number) if (low..=high).contains(number) => Some(*number),
            _ => {
                self.refuse(field, said!("a-number-from", low = low, high = high), node.describe());
                None
            }
        }
    }

    /// A quantity with its unit that may be missing.
    pub(crate) fn maybe_quantity<Q: Quantity + std::fmt::Debug>(
        &self,
        field: &str,
        range: &Range<Q>,
    ) -> Option<Q> {
        self.note(field, || quantity_of(range, 1, false));
        let node = self.node(field)?;
        match &node.value {
            Value::Text(text) => self.parsed(field, text, range),
            _ => {
                self.refuse(
                    field,
                    said!("a-text-with-number-and-unit", units = Q::unit_list()),
                    node.describe(),
                );
                None
            }
        }
    }

    /// A quantity with its unit that must be there.
    pub(crate) fn quantity<Q: Quantity + std::fmt::Debug>(
        &self,
        field: &str,
        range: &Range<Q>,
    ) -> Option<Q> {
        let expected =
            said!("measure-with-its-unit", measure = range.measure(), units = Q::unit_list());
        self.missing(field, expected, self.maybe_quantity(field, range))
    }

    /// Reads a text as a quantity in range.
    pub(crate) fn parsed<Q: Quantity + std::fmt::Debug>(
        &self,
        field: &str,
        text: &str,
        range: &Range<Q>,
    ) -> Option<Q> {
        match Q::parse(text) {
            Ok(value) => match range.check(value) {
                Ok(value) => Some(value),
                Err(expected) => {
                    self.refuse(field, expected, format!("`{text}`"));
                    None
                }
            },
            Err(error) => {
                self.refuse(field, error.said(), format!("`{text}`"));
                None
            }
        }
    }

    /// A number of a table with the unit from the column `unit`.
    pub(crate) fn value_with_unit<Q: Quantity + std::fmt::Debug>(
        &self,
        range: &Range<Q>,
    ) -> Option<Q> {
        self.note("value", || quantity_of(range, 1, true));
        let unit = self.maybe_text("unit");
        let value = self.text("value")?;
        let Some(unit) = unit else {
            self.refuse(
                "unit",
                said!("one-of-the-units", units = Q::unit_list()),
                said!("nothing"),
            );
            return None;
        };
        self.parsed("value", &format!("{value} {unit}"), range)
    }

    /// An amount of money, or of money per something: `62 USD/h`. Never negative. Where
    /// the job's currency is not known, any will do: its own fault is enough.
    pub(crate) fn maybe_money<Q: Quantity>(
        &self,
        field: &str,
        currency: Option<&Currency>,
    ) -> Option<Q> {
        self.note(field, money_of::<Q>);
        let node = self.node(field)?;
        let per = Q::unit_list();
        let code = currency.map_or("USD", Currency::code);
        let expected = if per.is_empty() {
            said!("an-amount-with-its-currency-like", code = code)
        } else {
            let first = per.split(',').next().unwrap_or_default();
            said!("an-amount-with-currency-and-unit-like", per = &per, code = code, first = first)
        };
        let Value::Text(text) = &node.value else {
            self.refuse(field, expected, node.describe());
            return None;
        };
        let split = text.find(|c: char| c.is_ascii_alphabetic()).unwrap_or(text.len());
        let (amount, rest) = text.split_at(split);
        let amount = grouped_number(amount.trim()).filter(|amount| *amount >= 0.0);
        let unit = match currency {
            Some(currency) => rest.strip_prefix(currency.code()),
            None => rest.get(..3).and_then(Currency::new).and_then(|_| rest.get(3..)),
        };
        let value = match (amount, unit.map(str::trim)) {
            (Some(amount), Some("")) if per.is_empty() => Some(Q::from_si(amount)),
            (Some(amount), Some(unit)) if !per.is_empty() => {
                Q::parse(&format!("{amount} {unit}")).ok()
            }
            _ => None,
        };
        if value.is_none() {
            self.refuse(field, expected, format!("`{text}`"));
        }
        value
    }

    /// Money that must be there.
    pub(crate) fn money<Q: Quantity>(&self, field: &str, currency: Option<&Currency>) -> Option<Q> {
        self.missing(field, said!("an-amount-with-its-currency"), self.maybe_money(field, currency))
    }

    /// A share written in percent.
    pub(crate) fn percent(&self, field: &str, range: &Range<Fraction>) -> Option<Fraction> {
        self.quantity(field, range)
    }

    /// A date.
    pub(crate) fn date(&self, field: &str) -> Option<Date> {
        self.note(field, || FormAsked::Date);
        let text = self.text(field)?;
        // A time of day, let alone its zone, would be dropped silently.
        let date = if text.len() == 10 { text.parse().ok() } else { None };
        if date.is_none() {
            self.refuse(field, said!("a-date-like-2026-09-14"), format!("`{text}`"));
        }
        date
    }

    /// A date, if it is there.
    pub(crate) fn maybe_date(&self, field: &str) -> Option<Date> {
        self.note(field, || FormAsked::Date);
        if self.has(field) { self.date(field) } else { None }
    }

    /// A local time.
    pub(crate) fn time(&self, field: &str) -> Option<DateTime> {
        self.note(field, || FormAsked::Time);
        let text = self.text(field)?;
        // A time zone would be dropped silently: refuse it.
        let zoned = text.get(10..).is_some_and(|t| t.contains(['+', '-', '[', 'Z', 'z']));
        let time = if zoned { None } else { text.parse().ok() };
        if time.is_none() {
            self.refuse(field, said!("a-local-time-like-2026-09-14t08-30"), format!("`{text}`"));
        }
        time
    }

    /// A table inside this one that must be there.
    pub(crate) fn table(&self, field: &str) -> Option<Fields<'a>> {
        self.missing(field, said!("a-table"), self.maybe_table(field))
    }

    /// A table inside this one that may be missing.
    pub(crate) fn maybe_table(&self, field: &str) -> Option<Fields<'a>> {
        if let Some(notes) = &self.notes {
            return Some(self.noted_table(field, &notes.table(field, false)));
        }
        let node = self.node(field)?;
        Some(Fields::of(self.file, &self.path(field), node, self.faults))
    }

    /// A table of which nothing is there but who listens to what it is asked for.
    fn noted_table(&self, field: &str, notes: &Notes) -> Fields<'a> {
        Fields {
            file: self.file,
            line: self.line,
            faults: self.faults,
            name: self.path(field),
            entries: &[],
            read: RefCell::default(),
            notes: Some(notes.clone()),
        }
    }

    /// A list of tables; none where it is missing.
    pub(crate) fn tables(&self, field: &str) -> Vec<Fields<'a>> {
        if let Some(notes) = &self.notes {
            return vec![self.noted_table(field, &notes.table(field, true))];
        }
        match self.node(field) {
            None => Vec::new(),
            Some(Node { value: Value::List(items), .. }) => items
                .iter()
                .enumerate()
                .map(|(at, item)| {
                    Fields::of(
                        self.file,
                        &format!("{}[{}]", self.path(field), at + 1),
                        item,
                        self.faults,
                    )
                })
                .collect(),
            Some(node) => {
                self.refuse(field, said!("a-list-of-tables"), node.describe());
                Vec::new()
            }
        }
    }

    /// A list of texts; none where it is missing.
    pub(crate) fn texts(&self, field: &str) -> Vec<String> {
        self.note_many(field, true, || FormAsked::Text);
        match self.node(field) {
            None => Vec::new(),
            Some(Node { value: Value::List(items), .. }) => items
                .iter()
                .filter_map(|item| match &item.value {
                    Value::Text(text) => Some(text.trim().to_owned()),
                    _ => {
                        self.faults.refuse(
                            self.file,
                            Some(item.line),
                            &self.path(field),
                            said!("a-list-of-texts"),
                            item.describe(),
                        );
                        None
                    }
                })
                .collect(),
            Some(node) => {
                self.refuse(field, said!("a-list-of-texts"), node.describe());
                Vec::new()
            }
        }
    }

    /// Refuses every field that nothing has read, naming those that it knows.
    pub(crate) fn finish(&self) {
        let read = self.read.borrow();
        for (key, node) in self.entries.iter().filter(|(key, _)| !read.contains(key)) {
            let known: Vec<&str> = read.iter().map(String::as_str).collect();
            self.faults.refuse(
                self.file,
                Some(node.line),
                &self.path(key),
                said!("one-of-the-fields", fields = known.join(", ")),
                format!("`{key}`"),
            );
        }
    }
}

/// A decimal number, its thousands apart by commas or not at all: a comma never stands
/// for the decimal point.
fn grouped_number(text: &str) -> Option<f64> {
    let whole = text.split('.').next().unwrap_or_default();
    let mut groups = whole.split(',');
    let first = groups.next()?;
    let rest: Vec<&str> = groups.collect();
    let grouped = rest.is_empty()
        || (1..=3).contains(&first.len()) && rest.iter().all(|group| group.len() == 3);
    let plain = text.replace(',', "");
    grouped.then(|| plain.parse().ok()).flatten().filter(|number: &f64| number.is_finite())
}

/// Characters that no eye sees and that change what is read or drawn: controls but line ends
/// and tabs, turned writing directions, what Unicode calls no characters.
fn is_hidden(c: char) -> bool {
    (c.is_control() && !matches!(c, '\n' | '\r' | '\t'))
        || matches!(c, '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' | '\u{FFFE}' | '\u{FFFF}')
}

#[cfg(test)]
mod tests {
    use super::grouped_number;

    #[test]
    fn a_comma_groups_thousands_and_nothing_else() {
        assert_eq!(grouped_number("1,234,567.50"), Some(1_234_567.5));
        assert_eq!(grouped_number("950"), Some(950.0));
        for text in ["58,50", "5,8", "1,23,456", "58,", ",500", "1234,567", ""] {
            assert_eq!(grouped_number(text), None, "{text}");
        }
    }
}
