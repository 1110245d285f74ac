//! `systems.toml`.

use std::collections::BTreeSet;

use tooth_job::survey::{
    Answer, Currency, Material, PullOffRule, System, SystemClass, ThicknessFrom,
};
use tooth_measure::say::said;
use tooth_measure::{Fraction, ProfileLevel, ProfileRange, Quantity, range};

use crate::text::{Faults, Fields, FormAsked, Node, Value, quantity_of, toml};

const FILE: &str = "systems.toml";

/// The systems, and every name that was seen, whether its system could be read or not.
#[derive(Debug, Default)]
pub(super) struct Systems {
    pub(super) systems: Vec<System>,
    pub(super) named: BTreeSet<String>,
    /// Whether the file could be read at all.
    pub(super) read: bool,
}

pub(super) fn read(text: &str, currency: Option<&Currency>, faults: &Faults) -> Systems {
    let node = toml(FILE, text, faults);
    let top = Fields::of(FILE, "", &node, faults);
    let mut systems: Vec<System> = Vec::new();
    let mut named = BTreeSet::new();
    for table in top.tables("system") {
        if let Some(Node { value: Value::Text(id), .. }) = table.node("id") {
            named.insert(id.clone());
        }
        let Some(system) = system(&table, currency) else {
            continue;
        };
        if systems.iter().any(|known| known.id == system.id) {
            table.refuse(
                "id",
                said!("a-name-that-no-other-system-has"),
                said!("again", name = system.id.to_string()),
            );
        }
        systems.push(system);
    }
    if !top.has("system") {
        top.refuse("system", said!("at-least-one-system"), said!("none"));
    }
    top.finish();
    Systems { systems, read: !named.is_empty(), named }
}

pub(super) fn system(table: &Fields<'_>, currency: Option<&Currency>) -> Option<System> {
    let read = (
        table.id("id"),
        table.text("name"),
        table.choice("class"),
        table.text("sheet"),
        table.quantity("thickness", &range::SYSTEM_THICKNESS),
    );
    let material = table.maybe_table("material").map(|inner| {
        let material = Material {
            waste: inner.maybe_quantity("waste", &range::SHARE).unwrap_or(Fraction::new(0.0)),
            price: inner.maybe_money("price", currency),
            container: inner.maybe_quantity("container", &range::VOLUME),
        };
        inner.finish();
        material
    });
    let clear = matches!(read.2, Some(SystemClass::Stain | SystemClass::Sealer));
    if clear && !table.has("see_through") {
        table.refuse(
            "see_through",
            said!("true-or-false-whether-the-finish-shows-the-concrete"),
            said!("nothing"),
        );
    }
    let rest = System {
        see_through: table.flag_or("see_through", false),
        thickness_from: table.choice_or("thickness_from", ThicknessFrom::Peaks),
        profile: profile(table),
        mechanical_preparation: table.choice_or("mechanical_preparation", Answer::Unknown),
        least_pull_off_strength: table
            .maybe_quantity("least_pull_off_strength", &range::PULL_OFF_STRENGTH),
        pull_off_rule: table.choice_or("pull_off_rule", PullOffRule::EveryResult),
        most_in_slab_humidity: table
            .maybe_quantity("most_in_slab_humidity", &range::RELATIVE_HUMIDITY),
        most_moisture_emission: table
            .maybe_quantity("most_moisture_emission", &range::MOISTURE_EMISSION),
        ph: pair(table, "ph", &range::SURFACE_PH),
        surface_temperature: pair(table, "surface_temperature", &range::SURFACE_TEMPERATURE),
        dew_point_margin: table.maybe_quantity("dew_point_margin", &range::DEW_POINT_MARGIN),
        most_air_humidity: table.maybe_quantity("most_air_humidity", &range::RELATIVE_HUMIDITY),
        over: None,
        dry_before: table.maybe_quantity("dry_before", &range::TEST_TIME),
        dry_after: table.maybe_quantity("dry_after", &range::TEST_TIME),
        least_window: table.maybe_quantity("least_window", &range::TEST_TIME),
        least_age: table.maybe_quantity("least_age", &range::TEST_TIME),
        absorbs_within: table.maybe_quantity("absorbs_within", &range::TEST_TIME),
        widest_crack: table.maybe_quantity("widest_crack", &range::CRACK_WIDTH),
        needs_lime: table.flag_or("needs_lime", false),
        acid_etch: table.choice_or("acid_etch", Answer::Unknown),
        agreed_exposure: table.maybe_choice("agreed_exposure"),
        material,
        id: read.0.clone()?,
        name: read.1?,
        class: read.2?,
        sheet: read.3?,
        thickness: read.4?,
    };
    table.finish();
    Some(rest)
}

/// Two chip numbers, smoothest first.
fn profile(table: &Fields<'_>) -> Option<ProfileRange> {
    table.note("profile", || FormAsked::Profile);
    let node = table.node("profile")?;
    let level = |node: &Node| match node.value {
        Value::Number(n) if n.fract() == 0.0 && (1.0..=10.0).contains(&n) => {
            ProfileLevel::new(n as u8)
        }
        _ => None,
    };
    let range = match &node.value {
        Value::List(items) => match items.as_slice() {
            [least, most] => {
                level(least).zip(level(most)).and_then(|(l, m)| ProfileRange::new(l, m))
            }
            _ => None,
        },
        _ => None,
    };
    if range.is_none() {
        table.refuse(
            "profile",
            said!("two-chip-numbers-from-1-to-10-smoothest-first-like-3-5"),
            node.describe(),
        );
    }
    range
}

/// Two quantities, least first.
fn pair<Q: Quantity + std::fmt::Debug>(
    table: &Fields<'_>,
    field: &str,
    range: &range::Range<Q>,
) -> Option<(Q, Q)> {
    table.note(field, || quantity_of(range, 2, false));
    let node = table.node(field)?;
    let texts: Vec<&str> = match &node.value {
        Value::List(items) => items
            .iter()
            .filter_map(|item| match &item.value {
                Value::Text(text) => Some(text.as_str()),
                _ => None,
            })
            .collect(),
        _ => Vec::new(),
    };
    let [low, high] = texts.as_slice() else {
        table.refuse(
            field,
            said!("two-texts-with-their-unit", units = Q::unit_list()),
            node.describe(),
        );
        return None;
    };
    let (low, high) = (table.parsed(field, low, range), table.parsed(field, high, range));
    let (low, high) = low.zip(high)?;
    if low > high {
        table.refuse(
            field,
            said!("the-least-first"),
            said!("one-before-the-other", first = format!("{low:?}"), second = format!("{high:?}")),
        );
        return None;
    }
    Some((low, high))
}
