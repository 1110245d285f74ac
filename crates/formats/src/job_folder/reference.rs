//! Every field of every readable file, as a page to look things up in.

use std::fmt::Write as _;

use tooth_measure::choice::Choice as _;
use tooth_measure::say::{Said, said};
use tooth_record::ThingKind;
use tooth_words::Words;

use super::described::{ThingAsked, described};
use crate::text::{FieldAsked, FormAsked, NameOf};

/// The page in Markdown.
#[must_use]
pub fn reference(words: Words) -> String {
    let mut page = format!(
        "# {}\n\n{}\n",
        words.say(&said!("reference-title")),
        words.say(&said!("reference-head"))
    );
    let things = described();
    for (file, kinds) in FILES {
        let _ = write!(page, "\n## `{file}`\n");
        for thing in things.iter().filter(|thing| kinds.contains(&thing.thing)) {
            thing_of(&mut page, thing, words);
        }
    }
    page
}

const FILES: &[(&str, &[ThingKind])] = &[
    ("job.toml", &[ThingKind::Job, ThingKind::Locate, ThingKind::Consent, ThingKind::Overrule]),
    ("plan.geojson", &[ThingKind::Feature]),
    ("readings.csv", &[ThingKind::Reading]),
    ("systems.toml", &[ThingKind::System]),
    ("methods.toml", &[ThingKind::Machine, ThingKind::Method]),
];

fn thing_of(page: &mut String, thing: &ThingAsked, words: Words) {
    let written = match (thing.thing, &thing.table, &thing.kind) {
        (ThingKind::Job, None, _) => String::new(),
        (ThingKind::Job, Some(table), _) => format!(": `[{table}]`"),
        (ThingKind::Feature | ThingKind::Reading, _, Some(kind)) => format!(": `kind` = `{kind}`"),
        (ThingKind::Method, _, Some(like)) => format!(": `[[method]]`, `like` = `{like}`"),
        (kind, ..) => format!(": `[[{}]]`", kind.key()),
    };
    let must = if thing.must { words.say(&said!("reference-must")) } else { String::new() };
    let _ = write!(page, "\n### {}{written}{must}\n\n", words.say(&thing.name));
    if let Some(shape) = thing.shape {
        let _ = write!(page, "{}\n\n", words.say(&said!("reference-shape", shape = shape.words())));
    }
    table(page, &thing.fields, words);
    for field in &thing.fields {
        if let FormAsked::Table { fields } = &field.of {
            let brackets = if field.many {
                format!("[[{}]]", field.name)
            } else {
                format!("[{}]", field.name)
            };
            let _ = write!(page, "\n#### {}: `{brackets}`\n\n", words.say(&field.meaning));
            table(page, fields, words);
        }
    }
}

fn table(page: &mut String, fields: &[FieldAsked], words: Words) {
    let heading = words.say(&said!("reference-columns"));
    let _ = writeln!(page, "{heading}\n|---|---|---|");
    for field in fields {
        let must = if field.must { words.say(&said!("reference-must")) } else { String::new() };
        let takes = words.say(&takes(field));
        let meaning = words.say(&field.meaning);
        let _ = writeln!(page, "| `{}`{must} | {meaning} | {takes} |", field.name);
    }
}

/// What is taken in a field.
fn takes(field: &FieldAsked) -> Said {
    let one = match &field.of {
        FormAsked::Text => said!("takes-text"),
        FormAsked::Choice { choices, usual } => {
            let keys: Vec<String> =
                choices.iter().map(|choice| format!("`{}`", choice.key)).collect();
            match usual {
                Some(usual) => {
                    said!("takes-one-of-else", keys = keys.join(", "), usual = format!("`{usual}`"))
                }
                None => said!("takes-one-of", keys = keys.join(", ")),
            }
        }
        FormAsked::Flag { usual } => said!("takes-flag", usual = usual.to_string()),
        FormAsked::Whole { low, high } => {
            said!("a-whole-number-from", low = low.to_string(), high = high.to_string())
        }
        FormAsked::Number { low, high } => said!("a-number-from", low = *low, high = *high),
        FormAsked::Quantity { units, count, unit_apart } => {
            let spans =
                units.iter().map(|unit| format!("{} `{}`", span(unit.low, unit.high), unit.sign));
            let spans = spans.collect::<Vec<_>>().join("; ");
            match (count, unit_apart) {
                (_, true) => said!("takes-quantity-unit-apart", spans = spans),
                (1, _) => said!("takes-quantity", spans = spans),
                (count, _) => said!("takes-quantities", count = *count, spans = spans),
            }
        }
        FormAsked::Money { per } if per.is_empty() => said!("takes-money"),
        FormAsked::Money { per } => said!("takes-money-per", units = per.join(", ")),
        FormAsked::Profile => said!("two-chip-numbers-from-1-to-10-smoothest-first-like-3-5"),
        FormAsked::Coordinate => said!("a-finite-number-in-the-plan-unit"),
        FormAsked::Date => said!("a-date-like-2026-09-14"),
        FormAsked::Time => said!("a-local-time-like-2026-09-14t08-30"),
        FormAsked::NewName => said!("letters-digits-and-signs-of-a-name"),
        FormAsked::Name { of } => match of {
            NameOf::Zone => said!("takes-name-of-zone"),
            NameOf::Feature => said!("takes-name-of-feature"),
            NameOf::System => said!("takes-name-of-system"),
            NameOf::Reading => said!("takes-name-of-reading"),
            NameOf::Method => said!("takes-name-of-method"),
            NameOf::Machine => said!("takes-name-of-machine"),
            NameOf::Photo => said!("takes-name-of-photo"),
        },
        FormAsked::Table { .. } => said!("takes-table"),
    };
    if field.many && !matches!(field.of, FormAsked::Table { .. }) {
        said!("takes-several", one = one)
    } else {
        one
    }
}

/// From least to greatest, to the figures that matter.
fn span(low: f64, high: f64) -> String {
    let short = |value: f64| {
        let figures = 3 - value.abs().max(1e-9).log10().floor() as i32;
        let scale = 10f64.powi(figures.clamp(0, 6));
        (value * scale).round() / scale
    };
    format!("{} – {}", short(low), short(high))
}
