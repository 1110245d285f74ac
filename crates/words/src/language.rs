//! The languages and their message files.

use std::sync::OnceLock;

use fluent_bundle::concurrent::FluentBundle;
use fluent_bundle::{FluentArgs, FluentResource, FluentValue};
use fluent_syntax::ast::Entry;
use tooth_measure::say::Language;
use unic_langid::LanguageIdentifier;

use crate::{capital, uncapital};

macro_rules! files {
    ($($name:literal),+ $(,)?) => {
        /// The message files: name, English, Spanish.
        pub const FILES: &[(&str, &str, &str)] = &[$((
            $name,
            include_str!(concat!("../messages/en/", $name, ".ftl")),
            include_str!(concat!("../messages/es/", $name, ".ftl")),
        )),+];
    };
}

files!(
    "acceptance",
    "assessment",
    "cautions",
    "colour",
    "documents",
    "estimate",
    "faults",
    "fields",
    "lists",
    "methods",
    "page",
    "plan",
    "quantities",
    "quick",
    "sources",
    "survey",
    "terminal",
    "web",
    "web_capture",
    "web_draw",
    "worth",
);

fn identifier(language: Language) -> LanguageIdentifier {
    let tag = match language {
        Language::English => "en-US",
        Language::Spanish => "es-419",
    };
    tag.parse().unwrap_or_default()
}

pub(crate) fn bundle(language: Language) -> &'static FluentBundle<FluentResource> {
    static ENGLISH: OnceLock<FluentBundle<FluentResource>> = OnceLock::new();
    static SPANISH: OnceLock<FluentBundle<FluentResource>> = OnceLock::new();
    match language {
        Language::English => ENGLISH.get_or_init(|| read(language)),
        Language::Spanish => SPANISH.get_or_init(|| read(language)),
    }
}

fn read(language: Language) -> FluentBundle<FluentResource> {
    let mut bundle = FluentBundle::new_concurrent(vec![identifier(language)]);
    // Marks of direction round what is put in would stand in files and PDFs.
    bundle.set_use_isolating(false);
    for (_, english, spanish) in FILES {
        let text = match language {
            Language::English => english,
            Language::Spanish => spanish,
        };
        // What could be read of a faulty file is used; the chore names the fault.
        let resource = match FluentResource::try_new((*text).to_owned()) {
            Ok(resource) | Err((resource, _)) => resource,
        };
        bundle.add_resource_overriding(resource);
    }
    for (name, turned) in [
        ("CAP", capital as fn(String) -> String),
        ("LOW", uncapital),
        ("LOWER", lower),
        ("UPPER", upper),
    ] {
        // Each is added once to a bundle of its own.
        let _ = bundle.add_function(name, move |given, _: &FluentArgs<'_>| turn(given, turned));
    }
    bundle
}

/// The names of the messages of a file.
pub(crate) fn messages(file: &str) -> Vec<String> {
    let Some((_, english, _)) = FILES.iter().find(|(name, ..)| *name == file) else {
        return Vec::new();
    };
    let resource = match FluentResource::try_new((*english).to_owned()) {
        Ok(resource) | Err((resource, _)) => resource,
    };
    let name = |entry: &Entry<&str>| match entry {
        Entry::Message(message) if message.value.is_some() => Some(message.id.name.to_owned()),
        _ => None,
    };
    resource.entries().filter_map(name).collect()
}

fn upper(words: String) -> String {
    words.to_uppercase()
}

fn lower(words: String) -> String {
    words.to_lowercase()
}

/// The first argument of a function, as text, turned.
fn turn<'a>(given: &[FluentValue<'a>], turned: fn(String) -> String) -> FluentValue<'a> {
    match given.first() {
        Some(FluentValue::String(text)) => turned(text.to_string()).into(),
        Some(other) => other.clone(),
        None => FluentValue::Error,
    }
}
