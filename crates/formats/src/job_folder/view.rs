//! The readable files as a view of the record, and back: thing by thing.
//!
//! Where the record says just what a file said when it was received, the view is that
//! file, byte for byte, with its comments. Where entries have come since, it is
//! written anew, one thing a line or table.

use std::collections::{BTreeMap, BTreeSet};

use tooth_measure::choice::Choice as _;
use tooth_measure::say::said;
use tooth_record::{Content, FileHash, FileName, Folded, Listing, Shown, Thing, ThingKind, Value};

use super::readings;
use crate::text::{Fault, Faults, Node, Value as Written, json, rows, toml};

/// How a readable file holds its things.
#[derive(Debug)]
struct Readable {
    name: &'static str,
    form: Form,
    /// Of the fields that stand alone in the file.
    alone: ThingKind,
    /// Of its lists of tables, by their key; the second says whether each table has an
    /// `id`, else its name follows from what it says.
    lists: &'static [(ThingKind, bool)],
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Form {
    Toml,
    GeoJson,
    Table,
    Forecast,
}

const READABLE: &[Readable] = &[
    Readable {
        name: "job.toml",
        form: Form::Toml,
        alone: ThingKind::Job,
        lists: &[
            (ThingKind::Locate, false),
            (ThingKind::Consent, false),
            (ThingKind::Overrule, false),
        ],
    },
    Readable {
        name: "plan.geojson",
        form: Form::GeoJson,
        alone: ThingKind::Plan,
        lists: &[(ThingKind::Feature, true)],
    },
    Readable {
        name: "systems.toml",
        form: Form::Toml,
        alone: ThingKind::Systems,
        lists: &[(ThingKind::System, true)],
    },
    Readable {
        name: "methods.toml",
        form: Form::Toml,
        alone: ThingKind::Methods,
        lists: &[(ThingKind::Machine, true), (ThingKind::Method, true)],
    },
    Readable {
        name: "readings.csv",
        form: Form::Table,
        alone: ThingKind::Reading,
        lists: &[(ThingKind::Reading, true)],
    },
    Readable { name: "forecast.csv", form: Form::Forecast, alone: ThingKind::Forecast, lists: &[] },
];

impl Readable {
    fn kinds(&self) -> Vec<ThingKind> {
        let lists = self.lists.iter().map(|(kind, _)| *kind).filter(|kind| *kind != self.alone);
        std::iter::once(self.alone).chain(lists).collect()
    }

    /// Names of locates and the like follow from what they say.
    fn names_follow(&self, kind: ThingKind) -> bool {
        self.lists.contains(&(kind, false))
    }
}

/// The readable files as the record has them.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct View {
    /// The readable files and their bytes.
    pub readable: BTreeMap<FileName, Vec<u8>>,
    /// Everything that the folder shows, files of other kinds too.
    pub shown: Shown,
}

/// The view of a folded record. `received` gives the bytes of a file that was received,
/// if they are at hand.
#[must_use]
pub fn view(folded: &Folded<'_>, received: &dyn Fn(FileHash) -> Option<Vec<u8>>) -> View {
    let mut view = View::default();
    for readable in READABLE {
        let Some(name) = FileName::new(readable.name) else { continue };
        let things: Vec<(Thing, Value)> = folded
            .listed(readable.name, &readable.kinds())
            .into_iter()
            .filter_map(|(thing, version)| match version.content {
                Content::Value(value) => Some((thing.clone(), value.clone())),
                Content::File { .. } | Content::Withdrawn => None,
            })
            .collect();
        let original = folded.file(&Thing::file(&name));
        let bytes = original
            .and_then(|(hash, _)| received(hash))
            .filter(|bytes| says(readable, &name, bytes, &things));
        if bytes.is_none() && things.is_empty() {
            continue;
        }
        let bytes = bytes.unwrap_or_else(|| written(readable, &things));
        // What stands in the file, under the names that the record has for it.
        let read = things_of(readable, &name, &bytes);
        let things = renamed(readable, read, &things);
        view.shown.listings.push(Listing { file: name.clone(), things });
        if let Some((hash, length)) = original {
            view.shown.files.push((name.clone(), hash, length));
        }
        view.readable.insert(name, bytes);
    }
    for thing in folded.things.keys().filter(|thing| thing.kind() == ThingKind::File) {
        let Some(name) = FileName::new(thing.name()).filter(|name| !name.is_readable()) else {
            continue;
        };
        if let Some((hash, bytes)) = folded.file(thing) {
            view.shown.files.push((name, hash, bytes));
        }
    }
    view
}

/// What a folder shows now: its readable files by their bytes, all others by hash and
/// size. `before` is what it showed when it was written.
#[must_use]
pub fn shown(
    before: &View,
    readable: &BTreeMap<FileName, Vec<u8>>,
    others: Vec<(FileName, FileHash, u64)>,
) -> Shown {
    let mut shown = Shown { listings: Vec::new(), files: others };
    for form in READABLE {
        let Some(name) = FileName::new(form.name) else { continue };
        let (name, Some(bytes)) = (&name, readable.get(&name)) else { continue };
        let was = before.shown.listings.iter().find(|listing| listing.file == *name);
        if before.readable.get(name) == Some(bytes) {
            shown.listings.extend(was.cloned());
            let file = before.shown.files.iter().find(|(known, ..)| known == name);
            shown.files.extend(file.cloned());
            continue;
        }
        let things = renamed(form, things_of(form, name, bytes), was.map_or(&[], |w| &w.things));
        shown.listings.push(Listing { file: name.clone(), things });
        shown.files.push((name.clone(), FileHash::of(bytes), bytes.len() as u64));
    }
    shown
}

/// Where the things of a view stand in its readable files.
#[derive(Debug, Clone)]
pub struct Places(Vec<FilePlaces>);

#[derive(Debug, Clone)]
struct FilePlaces {
    readable: &'static Readable,
    /// Where each thing begins, in the order of lines.
    begin: Vec<(u32, Thing)>,
    named: BTreeMap<String, Thing>,
}

impl View {
    /// Where its things stand.
    #[must_use]
    pub fn places(&self) -> Places {
        let of = |readable: &'static Readable| {
            let name = FileName::new(readable.name)?;
            let bytes = self.readable.get(&name)?;
            let known = self.shown.listings.iter().find(|listing| listing.file == name)?;
            let placed = placed_things_of(readable, &name, bytes);
            let lines = placed.into_iter().map(|(line, _)| line);
            let mut begin: Vec<(u32, Thing)> =
                lines.zip(known.things.iter().map(|(thing, _)| thing.clone())).collect();
            begin.sort_by_key(|(line, _)| *line);
            let named = begin.iter().map(|(_, thing)| (thing.name().to_owned(), thing.clone()));
            Some(FilePlaces { readable, named: named.collect(), begin })
        };
        Places(READABLE.iter().filter_map(of).collect())
    }
}

impl Places {
    /// The thing of which a fault speaks, where that can be told, and the field inside its
    /// value; empty where the whole thing is meant.
    #[must_use]
    pub fn thing_of(&self, fault: &Fault) -> Option<(Thing, String)> {
        let thing = self.found(fault)?;
        let field = own_field(&thing, &fault.field).to_owned();
        Some((thing, field))
    }

    fn found(&self, fault: &Fault) -> Option<Thing> {
        let readable = READABLE.iter().find(|readable| readable.name == fault.file)?;
        let alone = || {
            let one = matches!(readable.alone, ThingKind::Job | ThingKind::Plan);
            Thing::alone(readable.alone).filter(|_| one)
        };
        let Some(places) = self.0.iter().find(|known| known.readable.name == fault.file) else {
            // A list that is not there is nobody's; of the job and the plan there is one.
            return alone();
        };
        // `R001.value`: a name may hold a dot itself.
        let dots = fault.field.rmatch_indices('.').map(|(at, _)| at);
        let beginnings = std::iter::once(fault.field.len()).chain(dots);
        let mut names =
            beginnings.filter_map(|end| fault.field.get(..end)).filter(|n| !n.is_empty());
        if let Some(thing) = names.find_map(|name| places.named.get(name)) {
            return Some(thing.clone());
        }
        if readable.form == Form::Toml
            && let Some(thing) = table_of(readable, fault)
        {
            return Some(thing);
        }
        let line = fault.line.unwrap_or(0);
        let before = places.begin.partition_point(|(begin, _)| *begin <= line);
        match before.checked_sub(1).and_then(|at| places.begin.get(at)) {
            Some((_, thing)) => Some(thing.clone()),
            None => alone(),
        }
    }
}

/// A field as the value of its thing has it.
fn own_field<'a>(thing: &Thing, field: &'a str) -> &'a str {
    let inside = |whole: &'a str, name: &str| -> Option<&'a str> {
        let rest = whole.strip_prefix(name)?;
        if rest.is_empty() { Some(rest) } else { rest.strip_prefix('.') }
    };
    let in_list = field.split_once(']').filter(|(list, _)| {
        !matches!(thing.kind(), ThingKind::Job) && list.starts_with(thing.kind().key())
    });
    let named = Some(thing.name()).filter(|name| !name.is_empty());
    match in_list {
        // `features[3].properties.width`
        Some((_, rest)) => {
            let own = rest.trim_start_matches('.');
            inside(own, "properties").unwrap_or(own)
        }
        None => named.and_then(|name| inside(field, name)).unwrap_or(field),
    }
}

/// The table that a fault finds missing, itself or a field in it.
fn table_of(readable: &Readable, fault: &Fault) -> Option<Thing> {
    let (table, inside) = match fault.field.split_once('.') {
        Some((table, _)) => (table, true),
        None => (fault.field.as_str(), *fault.expected == said!("a-table")),
    };
    (inside && !table.contains('[')).then(|| Thing::named(readable.alone, table)).flatten()
}

/// Whether a file as received says just what the record would write: what a file cannot
/// spell, and the order of tables, make no difference.
fn says(readable: &Readable, name: &FileName, bytes: &[u8], things: &[(Thing, Value)]) -> bool {
    let read = |bytes: &[u8]| {
        let mut read = renamed(readable, things_of(readable, name, bytes), things);
        if readable.form == Form::Toml {
            let place = |thing: &Thing| {
                let list = readable.lists.iter().position(|(kind, _)| *kind == thing.kind());
                (list, list.is_none().then(|| thing.name().to_owned()))
            };
            read.sort_by_key(|(thing, _)| place(thing));
        }
        read
    };
    read(bytes) == read(&written(readable, things))
}

/// Things whose names follow from what they say keep the names that the record gave
/// them, as long as they say the same.
fn renamed(
    readable: &Readable,
    read: Vec<(Thing, Value)>,
    known: &[(Thing, Value)],
) -> Vec<(Thing, Value)> {
    let follows = |thing: &Thing| readable.names_follow(thing.kind());
    let mut free: Vec<&(Thing, Value)> = known.iter().filter(|(thing, _)| follows(thing)).collect();
    let mut taken: BTreeSet<Thing> = free.iter().map(|(thing, _)| thing.clone()).collect();
    read.into_iter()
        .filter_map(|(thing, value)| {
            if !follows(&thing) {
                return Some((thing, value));
            }
            let same = free.iter().position(|(t, v)| t.kind() == thing.kind() && *v == value);
            if let Some(at) = same {
                return Some((free.remove(at).0.clone(), value));
            }
            // The record may have given this name to a thing that says something else now.
            let own = (1..).find_map(|number: u32| {
                let name = match number {
                    1 => thing.name().to_owned(),
                    number => format!("{}-{number}", thing.name()),
                };
                Thing::named(thing.kind(), &name).filter(|named| !taken.contains(named))
            })?;
            taken.insert(own.clone());
            Some((own, value))
        })
        .collect()
}

fn things_of(readable: &Readable, name: &FileName, bytes: &[u8]) -> Vec<(Thing, Value)> {
    placed_things_of(readable, name, bytes).into_iter().map(|(_, named)| named).collect()
}

/// The same, each with the line where it begins.
fn placed_things_of(
    readable: &Readable,
    name: &FileName,
    bytes: &[u8],
) -> Vec<(u32, (Thing, Value))> {
    let faults = Faults::default();
    let Ok(text) = std::str::from_utf8(bytes) else { return Vec::new() };
    let file = name.as_str();
    match readable.form {
        Form::Toml => table_things(readable, toml(file, text, &faults)),
        Form::GeoJson => {
            json(file, text, &faults).map(|node| plan_things(readable, node)).unwrap_or_default()
        }
        Form::Table => rows(file, text, readings::COLUMNS, &[], &faults)
            .into_iter()
            .filter_map(|row| Some((row.line, named(ThingKind::Reading, value(row))?)))
            .collect(),
        Form::Forecast => {
            let hours = rows(file, text, readings::FORECAST_COLUMNS, &[], &faults);
            let hours = Value::Array(hours.into_iter().map(value).collect());
            Thing::alone(readable.alone).map(|thing| (1, (thing, hours))).into_iter().collect()
        }
    }
}

fn value(node: Node) -> Value {
    match node.value {
        Written::Null => Value::Null,
        Written::Flag(flag) => Value::Bool(flag),
        Written::Number(number) => {
            let mut number = Value::from(number);
            tooth_record::plain(&mut number);
            number
        }
        Written::NotFinite(text) | Written::Text(text) => Value::String(text),
        Written::List(items) => Value::Array(items.into_iter().map(value).collect()),
        Written::Table(fields) => {
            Value::Object(fields.into_iter().map(|(key, node)| (key, value(node))).collect())
        }
    }
}

/// A thing named by the `id` of its table, which is then not repeated in its value.
fn named(kind: ThingKind, value: Value) -> Option<(Thing, Value)> {
    let Value::Object(mut fields) = value else { return None };
    let id = fields.shift_remove("id")?;
    let thing = Thing::named(kind, id.as_str()?.trim())?;
    Some((thing, Value::Object(fields)))
}

fn table_things(readable: &Readable, node: Node) -> Vec<(u32, (Thing, Value))> {
    let Written::Table(fields) = node.value else { return Vec::new() };
    let mut alone = serde_json::Map::new();
    let mut things = Vec::new();
    for (key, field) in fields {
        let line = field.line;
        let list = readable.lists.iter().find(|(kind, _)| kind.key() == key);
        match (list, field.value) {
            (Some((kind, has_id)), Written::List(items)) => {
                for item in items {
                    let (line, item) = (item.line, value(item));
                    let thing = if *has_id { named(*kind, item) } else { unnamed(*kind, item) };
                    things.extend(thing.map(|thing| (line, thing)));
                }
            }
            (_, table @ Written::Table(_)) => {
                let table = value(Node { line, value: table });
                things
                    .extend(Thing::named(readable.alone, &key).map(|thing| (line, (thing, table))));
            }
            (_, field) => {
                alone.insert(key, value(Node { line, value: field }));
            }
        }
    }
    let first = Thing::alone(readable.alone).filter(|_| !alone.is_empty());
    first.map(|thing| (1, (thing, Value::Object(alone)))).into_iter().chain(things).collect()
}

/// A thing whose name follows from what it says. Two that say the same have one name
/// until they are told apart.
fn unnamed(kind: ThingKind, value: Value) -> Option<(Thing, Value)> {
    let hash = FileHash::of(serde_json::to_string(&value).ok()?.as_bytes()).to_string();
    let name: String = hash.chars().take(12).collect();
    Some((Thing::named(kind, &name)?, value))
}

fn plan_things(readable: &Readable, node: Node) -> Vec<(u32, (Thing, Value))> {
    let Written::Table(mut fields) = node.value else { return Vec::new() };
    let at = fields.iter().position(|(key, _)| key == "features");
    let features = match at.map(|at| fields.remove(at).1.value) {
        Some(Written::List(features)) => features,
        _ => Vec::new(),
    };
    let own = value(Node { line: node.line, value: Written::Table(fields) });
    let mut things: Vec<(u32, (Thing, Value))> =
        Thing::alone(readable.alone).map(|thing| (1, (thing, own))).into_iter().collect();
    for feature in features {
        let line = feature.line;
        let mut feature = value(feature);
        let Some(Value::Object(properties)) = feature.get_mut("properties") else { continue };
        let Some(id) = properties.shift_remove("id") else { continue };
        let thing = id.as_str().and_then(|id| Thing::named(ThingKind::Feature, id.trim()));
        things.extend(thing.map(|thing| (line, (thing, feature))));
    }
    things
}

fn written(readable: &Readable, things: &[(Thing, Value)]) -> Vec<u8> {
    let text = match readable.form {
        Form::Toml => toml_text(readable, things),
        Form::GeoJson => plan_text(things),
        Form::Table => table_text(readings::COLUMNS, things.iter().map(|(t, v)| with_id(t, v))),
        Form::Forecast => {
            let hours = things.iter().flat_map(|(_, hours)| match hours {
                Value::Array(hours) => hours.clone(),
                other => vec![other.clone()],
            });
            let hours: Vec<Value> = hours.collect();
            let used = |column: &&&str| hours.iter().any(|hour| hour.get(**column).is_some());
            let columns: Vec<&str> =
                readings::FORECAST_COLUMNS.iter().filter(used).copied().collect();
            table_text(&columns, hours.iter().cloned())
        }
    };
    text.into_bytes()
}

const NOTE: &str = "written from the record; earlier files with their comments are kept in files/";

/// The value with the `id` of its thing first.
fn with_id(thing: &Thing, value: &Value) -> Value {
    let mut fields = serde_json::Map::new();
    fields.insert("id".to_owned(), Value::from(thing.name()));
    match value {
        Value::Object(own) => {
            fields.extend(
                own.iter().filter(|(key, _)| *key != "id").map(|(k, v)| (k.clone(), v.clone())),
            );
        }
        other => {
            fields.insert("value".to_owned(), other.clone());
        }
    }
    Value::Object(fields)
}

fn toml_text(readable: &Readable, things: &[(Thing, Value)]) -> String {
    let mut alone = toml::Table::new();
    let mut tables = toml::Table::new();
    let mut lists: BTreeMap<usize, Vec<toml::Value>> = BTreeMap::new();
    for (thing, value) in things {
        let list = readable.lists.iter().position(|(kind, _)| *kind == thing.kind());
        match list {
            Some(at) => {
                let has_id = readable.lists.get(at).is_some_and(|(_, has_id)| *has_id);
                let value = if has_id { with_id(thing, value) } else { value.clone() };
                lists.entry(at).or_default().extend(toml_value(&value));
            }
            None if thing.name().is_empty() => {
                if let Some(toml::Value::Table(fields)) = toml_value(value) {
                    alone.extend(fields);
                }
            }
            None => {
                if let Some(value) = toml_value(value) {
                    tables.insert(thing.name().to_owned(), value);
                }
            }
        }
    }
    let mut whole = alone;
    whole.extend(tables);
    for (at, items) in lists {
        if let Some((kind, _)) = readable.lists.get(at) {
            whole.insert(kind.key().to_owned(), toml::Value::Array(items));
        }
    }
    // Values of a table: nothing in it fails to be written.
    let text = toml::to_string(&whole).unwrap_or_default();
    format!("# {NOTE}\n{text}")
}

/// TOML has no null: such a field is left out, as readers leave it out.
fn toml_value(value: &Value) -> Option<toml::Value> {
    Some(match value {
        Value::Null => return None,
        Value::Bool(flag) => toml::Value::Boolean(*flag),
        Value::Number(number) => match number.as_i64() {
            Some(whole) => toml::Value::Integer(whole),
            None => toml::Value::Float(number.as_f64()?),
        },
        Value::String(text) => toml::Value::String(text.clone()),
        Value::Array(items) => toml::Value::Array(items.iter().filter_map(toml_value).collect()),
        Value::Object(fields) => toml::Value::Table(
            fields.iter().filter_map(|(key, v)| Some((key.clone(), toml_value(v)?))).collect(),
        ),
    })
}

fn plan_text(things: &[(Thing, Value)]) -> String {
    let mut lines = Vec::new();
    let mut features = Vec::new();
    for (thing, value) in things {
        if thing.kind() == ThingKind::Plan {
            if let Value::Object(fields) = value {
                lines.extend(
                    fields
                        .iter()
                        .map(|(key, value)| format!("{}: {value}", Value::from(key.as_str()))),
                );
            }
            continue;
        }
        let mut feature = value.clone();
        match feature.get_mut("properties") {
            Some(properties) => *properties = with_id(thing, properties),
            None => {
                feature = serde_json::json!({
                    "type": "Feature", "properties": with_id(thing, &Value::Object(Default::default())), "value": value
                });
            }
        }
        features.push(feature.to_string());
    }
    lines.push(format!("\"features\": [\n{}\n]", features.join(",\n")));
    format!("{{\n{}\n}}\n", lines.join(",\n"))
}

fn table_text(columns: &[&str], rows: impl Iterator<Item = Value>) -> String {
    let rows: Vec<Value> = rows.collect();
    let mut columns: Vec<String> = columns.iter().map(|column| (*column).to_owned()).collect();
    // What no column is for is shown all the same; the reader then names it.
    for key in rows.iter().filter_map(Value::as_object).flat_map(serde_json::Map::keys) {
        if !columns.contains(key) {
            columns.push(key.clone());
        }
    }
    let mut writer = csv::Writer::from_writer(Vec::new());
    let cell = |row: &Value, column: &str| match row.get(column) {
        None | Some(Value::Null) => String::new(),
        Some(Value::String(text)) => text.clone(),
        Some(other) => other.to_string(),
    };
    // Writing into memory does not fail.
    let _ = writer.write_record(&columns);
    for row in &rows {
        let _ = writer.write_record(columns.iter().map(|column| cell(row, column)));
    }
    String::from_utf8(writer.into_inner().unwrap_or_default()).unwrap_or_default()
}
