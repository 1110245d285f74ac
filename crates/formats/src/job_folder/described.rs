//! What the readers of the readable files ask for, found by letting each of them read nothing.

use schemars::JsonSchema;
use serde::Serialize;
use tooth_job::methods::{Catalogue, Work, built_in};
use tooth_job::survey::Measured;
use tooth_measure::choice::Choice as _;
use tooth_measure::say::Said;
use tooth_record::ThingKind;

use super::plan::{KINDS, Shape, ask, shape_of};
use super::{facts, methods, readings, systems};
use crate::text::{Faults, FieldAsked, Fields, FormAsked, Node, Notes, Value, meaning};

/// Fields of a reading that mean something else for each kind.
const OWN: [&str; 2] = ["value", "detail"];

/// A kind of thing of the record, and what is asked of it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ThingAsked {
    /// The kind of the thing.
    pub thing: ThingKind,
    /// The table of `job.toml` that it is; none for everything else.
    pub table: Option<String>,
    /// Its own `kind`, of marks and readings; of methods the one that works like it.
    pub kind: Option<String>,
    /// As a person calls it.
    pub name: Said,
    /// Whether a job is none without it.
    pub must: bool,
    /// Its shape on the plan, of marks.
    pub shape: Option<Shape>,
    /// What is asked, what must be there first.
    pub fields: Vec<FieldAsked>,
}

/// Everything that may be stated of a job, in the order of a survey.
#[must_use]
pub fn described() -> Vec<ThingAsked> {
    let mut things = job();
    things.extend(KINDS.iter().map(|kind| {
        let fields = asked(kind, &[("kind", kind)], |properties| ask(kind, properties));
        ThingAsked {
            kind: Some((*kind).to_owned()),
            shape: Some(shape_of(kind)),
            ..thing(ThingKind::Feature, kind, fields)
        }
    }));
    things.extend(Measured::KINDS.iter().map(|kind| {
        let mut fields =
            asked("reading", &[("kind", kind)], |row| drop(readings::reading(row, None)));
        // What is read off differs from test to test; who, when and where do not.
        for field in fields.iter_mut().filter(|field| OWN.contains(&field.name.as_str())) {
            field.meaning = meaning(kind, &field.name);
        }
        ThingAsked { kind: Some((*kind).to_owned()), ..thing(ThingKind::Reading, kind, fields) }
    }));
    let fields = asked("system", &[], |table| drop(systems::system(table, None)));
    things.push(thing(ThingKind::System, "system", fields));
    let fields = asked("machine", &[("id", "new")], |table| {
        methods::machine(table, None, &mut built_in());
    });
    things.push(thing(ThingKind::Machine, "machine", fields));
    things.extend(each_work(&built_in()).into_iter().map(|like| {
        let fields = asked("method", &[("id", "new"), ("like", &like)], |table| {
            methods::method(table, None, &mut built_in());
        });
        ThingAsked { kind: Some(like), ..thing(ThingKind::Method, "method", fields) }
    }));
    things
}

/// What `job.toml` asks: its own fields, its tables, and its lists that are things of their own.
fn job() -> Vec<ThingAsked> {
    let mut things = vec![thing(ThingKind::Job, "job", Vec::new())];
    let mut own = Vec::new();
    for field in asked("job", &[], |top| drop(facts::read_top(top))) {
        let list = ThingKind::ALL.iter().copied().find(|kind| kind.key() == field.name);
        match (field.of, list) {
            (FormAsked::Table { fields }, Some(kind)) if field.many => {
                things.push(thing(kind, &field.name, fields));
            }
            (FormAsked::Table { fields }, _) if !field.many => things.push(ThingAsked {
                table: Some(field.name.clone()),
                must: field.must,
                ..thing(ThingKind::Job, &field.name, fields)
            }),
            (of, _) => own.push(FieldAsked { of, ..field }),
        }
    }
    if let Some(first) = things.first_mut() {
        first.fields = own;
    }
    things
}

/// One method of each kind of work.
fn each_work(catalogue: &Catalogue) -> Vec<String> {
    let mut known = Vec::new();
    let mut names = Vec::new();
    for method in &catalogue.methods {
        let work = std::mem::discriminant::<Work>(&method.work);
        if !known.contains(&work) {
            known.push(work);
            names.push(method.id.clone());
        }
    }
    names
}

fn thing(kind: ThingKind, name: &str, fields: Vec<FieldAsked>) -> ThingAsked {
    let name = Said::built_in("asks", &format!("{}-{name}", kind.key()).replace('_', "-"));
    ThingAsked { thing: kind, table: None, kind: None, name, must: false, shape: None, fields }
}

/// What a reader asks of a table in which only these texts stand.
fn asked(kind: &str, there: &[(&str, &str)], read: impl FnOnce(&Fields<'_>)) -> Vec<FieldAsked> {
    let text = |text: &str| Node { line: 1, value: Value::Text(text.to_owned()) };
    let entries = there.iter().map(|(name, of)| ((*name).to_owned(), text(of))).collect();
    let node = Node { line: 1, value: Value::Table(entries) };
    let (faults, notes) = (Faults::default(), Notes::default());
    read(&Fields::of("", "", &node, &faults).noting(&notes));
    let mut fields = notes.fields(kind);
    // What the thing is by itself is no question.
    fields.retain(|field| !matches!(field.name.as_str(), "kind" | "schema" | "unit"));
    fields.sort_by_key(|field| !field.must);
    fields
}
