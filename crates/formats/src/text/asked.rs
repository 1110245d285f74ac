//! What readers ask for, noted down while they read nothing: forms, reference and the
//! description of fields follow from it, so that none of them can say what no reader reads.

use std::borrow::Cow;
use std::cell::RefCell;
use std::rc::Rc;

use schemars::JsonSchema;
use serde::Serialize;
use tooth_measure::Quantity;
use tooth_measure::choice::Choice;
use tooth_measure::range::Range;
use tooth_measure::say::{Said, word};

/// Whose name is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum NameOf {
    /// An area.
    Zone,
    /// A mark on the plan.
    Feature,
    /// A system of the job.
    System,
    /// A field test.
    Reading,
    /// A method of the catalogue.
    Method,
    /// A machine of the catalogue.
    Machine,
    /// A picture of the job.
    Photo,
}

/// A word that may be chosen.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ChoiceAsked {
    /// As it stands in files.
    pub key: Cow<'static, str>,
    /// As a person calls it.
    pub name: Said,
}

/// A unit in which a quantity may be typed.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct UnitAsked {
    /// As it is typed.
    pub sign: &'static str,
    /// The least number in this unit.
    pub low: f64,
    /// The greatest number in this unit.
    pub high: f64,
}

/// What is taken in a field.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[serde(tag = "form", rename_all = "snake_case")]
pub enum FormAsked {
    /// Words.
    Text,
    /// One of some words; `usual` stands where none is given.
    Choice {
        /// The words.
        choices: Vec<ChoiceAsked>,
        /// What counts where none is given.
        usual: Option<&'static str>,
    },
    /// Yes or no.
    Flag {
        /// What counts where nothing is given.
        usual: bool,
    },
    /// A whole number.
    Whole {
        /// Least.
        low: i64,
        /// Greatest.
        high: i64,
    },
    /// A bare number.
    Number {
        /// Least.
        low: f64,
        /// Greatest.
        high: f64,
    },
    /// A number with its unit.
    Quantity {
        /// Units that may be typed, each with the least and greatest number in it.
        units: Vec<UnitAsked>,
        /// How many of them: a least, a likeliest and a greatest are three.
        count: usize,
        /// Whether the unit stands in a field of its own, `unit`.
        unit_apart: bool,
    },
    /// An amount of money in the job's currency.
    Money {
        /// Per what, as typed; empty for an amount as such.
        per: Vec<&'static str>,
    },
    /// Two chip numbers, smoothest first.
    Profile,
    /// A number in the plan's unit.
    Coordinate,
    /// A date like 2026-09-14.
    Date,
    /// A local time like 2026-09-14T08:30.
    Time,
    /// A new name of letters, digits and `-_.`.
    NewName,
    /// The name of something that is there.
    Name {
        /// Of what.
        of: NameOf,
    },
    /// Fields of its own.
    Table {
        /// The fields.
        fields: Vec<FieldAsked>,
    },
}

/// A field that a reader asks for.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FieldAsked {
    /// Its name in the file.
    pub name: String,
    /// What is asked, as a person reads it.
    pub meaning: Said,
    /// Whether it must be there.
    pub must: bool,
    /// Whether there may be several.
    pub many: bool,
    /// What is taken.
    pub of: FormAsked,
}

#[derive(Debug, Clone)]
struct Note {
    name: String,
    must: bool,
    many: bool,
    form: Form,
}

#[derive(Debug, Clone)]
enum Form {
    Plain(FormAsked),
    Table(Notes),
}

/// Notes of what one table is asked for.
#[derive(Debug, Clone, Default)]
pub(crate) struct Notes(Rc<RefCell<Vec<Note>>>);

impl Notes {
    /// Notes a field; of two askings the one that says more counts.
    pub(crate) fn note(&self, name: &str, many: bool, form: FormAsked) {
        let mut held = self.0.borrow_mut();
        match held.iter_mut().find(|note| note.name == name) {
            Some(note) => match (&mut note.form, form) {
                (Form::Plain(FormAsked::Money { per }), FormAsked::Money { per: more }) => {
                    per.extend(
                        more.into_iter().filter(|unit| !per.contains(unit)).collect::<Vec<_>>(),
                    );
                }
                (Form::Plain(known), form) if *known == FormAsked::Text => {
                    *known = form;
                    note.many |= many;
                }
                _ => {}
            },
            None => held.push(Note {
                name: name.to_owned(),
                must: false,
                many,
                form: Form::Plain(form),
            }),
        }
    }

    /// Notes a table and gives the notes for what it is asked for.
    pub(crate) fn table(&self, name: &str, many: bool) -> Self {
        let inner = Self::default();
        self.0.borrow_mut().push(Note {
            name: name.to_owned(),
            must: false,
            many,
            form: Form::Table(inner.clone()),
        });
        inner
    }

    /// Notes that a field must be there.
    pub(crate) fn must(&self, name: &str) {
        if let Some(note) = self.0.borrow_mut().iter_mut().find(|note| note.name == name) {
            note.must = true;
        }
    }

    /// The fields, in the order in which they were asked for; `kind` begins the names of their
    /// meanings.
    pub(crate) fn fields(&self, kind: &str) -> Vec<FieldAsked> {
        let notes = self.0.borrow();
        let fields = notes.iter().map(|note| FieldAsked {
            meaning: meaning(kind, &note.name),
            must: note.must,
            many: note.many,
            of: match &note.form {
                Form::Plain(form) => form.clone(),
                Form::Table(inner) => FormAsked::Table { fields: inner.fields(&note.name) },
            },
            name: note.name.clone(),
        });
        fields.collect()
    }
}

/// Fields that mean the same wherever they are asked.
const COMMON: [&str; 13] = [
    "id", "note", "zone", "zones", "by", "date", "reason", "pieces", "length", "area", "volume",
    "price", "hours",
];

/// What a field of a kind of thing asks, in words.
pub(crate) fn meaning(kind: &str, field: &str) -> Said {
    let kind = if COMMON.contains(&field) { "any" } else { kind };
    Said::built_in("asks", &format!("{kind}-{field}").replace('_', "-"))
}

/// One of the words of a list.
pub(crate) fn choice_of<C: Choice>(usual: Option<C>) -> FormAsked {
    let choices = C::ALL.iter().map(|one| ChoiceAsked { key: one.key().into(), name: word(*one) });
    FormAsked::Choice { choices: choices.collect(), usual: usual.map(Choice::key) }
}

/// A number with its unit.
pub(crate) fn quantity_of<Q: Quantity>(
    range: &Range<Q>,
    count: usize,
    unit_apart: bool,
) -> FormAsked {
    let units = Q::UNITS.iter().filter_map(|unit| {
        let sign = *unit.symbols.first().filter(|sign| !sign.is_empty())?;
        Some(UnitAsked { sign, low: unit.of_si(range.low.si()), high: unit.of_si(range.high.si()) })
    });
    FormAsked::Quantity { units: units.collect(), count, unit_apart }
}

/// Money, or money per something.
pub(crate) fn money_of<Q: Quantity>() -> FormAsked {
    let signs = Q::UNITS.iter().filter_map(|unit| unit.symbols.first().copied());
    FormAsked::Money { per: signs.filter(|sign| !sign.is_empty()).collect() }
}
