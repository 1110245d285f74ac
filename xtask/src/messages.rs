//! Every message that the code says is there, in every language, with the arguments that it
//! is given; none is there that nobody says. Where only messages may speak, the code holds no
//! words of its own.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use fluent_syntax::ast::{Entry, Expression, InlineExpression, Pattern, PatternElement};
use fluent_syntax::parser;
use proc_macro2::{Delimiter, TokenStream, TokenTree};
use tooth_measure::say::attribute;

use crate::floors::sources;
use crate::run::root;

/// Names of messages that are put together from a kind and an id; a test of the words asks for
/// each of them.
const FAMILIES: &[&str] = &[
    "method-",
    "machine-",
    "caution-",
    "asks-",
    "web-kind-",
    "web-lamp-",
    "web-capture-group-",
    "web-capture-is-",
    "web-capture-shape-",
    "web-capture-size-",
    "web-capture-thing-",
];
/// How the names of titles of sources begin.
const TITLE: &str = "title-";
/// Crates all of whose words reach a person, so that each must be a message.
const SPEAKERS: &[&str] = &["formats", "storage"];
/// What stands in files and JSON in the same words, whoever reads them.
const IN_FILES: &[&str] = &[
    "command line",
    "the folder",
    "written from the record; earlier files with their comments are kept in files/",
];
/// Calls whose last two arguments say what was expected and what was found.
const FAULTS: &[&str] = &["refuse", "warn", "warning", "typed"];
/// The language that every other is held against.
const FIRST: &str = "en";

/// What the code says.
#[derive(Default)]
struct Said {
    /// Messages by name, with the arguments that each place gives.
    messages: BTreeMap<String, Vec<(BTreeSet<String>, PathBuf)>>,
    /// Closed lists by name, with the keys of their values.
    lists: BTreeMap<String, BTreeSet<String>>,
    /// Every other text of the code: a name in it is a message that is said.
    texts: BTreeSet<String>,
    /// Words that are no message, with their file.
    unspoken: Vec<(String, PathBuf)>,
}

/// A language's messages by name (`message` or `message.attribute`), with their variables.
type Messages = BTreeMap<String, BTreeSet<String>>;

pub(crate) fn check() -> Result<String, String> {
    let mut said = Said::default();
    for name in crates()? {
        for file in sources(&root().join("crates").join(&name).join("src")) {
            let text = read(&file)?;
            let tokens: TokenStream =
                text.parse().map_err(|error| format!("{}: {error}", file.display()))?;
            said.unspoken(tokens.clone(), SPEAKERS.contains(&name.as_str()), &file);
            said.take(tokens, &file);
        }
    }
    for file in templates()? {
        said.take_template(&read(&file)?, &file);
    }
    let no_message = |(words, file): &(String, PathBuf)| {
        format!("\"{words}\" is no message, and a person reads it: {}", file.display())
    };
    let mut wrong: Vec<String> = said.unspoken.iter().map(no_message).collect();
    let languages = languages(&mut wrong)?;
    let first = languages.get(FIRST).ok_or("no English messages")?;
    for (name, places) in &said.messages {
        let Some(held) = first.get(name) else {
            wrong.push(format!("`{name}` is said in {} and is no message", places[0].1.display()));
            continue;
        };
        for (given, file) in places {
            let known: BTreeSet<&String> =
                languages.values().filter_map(|of| of.get(name)).flatten().collect();
            for variable in held.iter().filter(|variable| !given.contains(*variable)) {
                wrong.push(format!("`{name}` wants ${variable}: {}", file.display()));
            }
            for argument in given.iter().filter(|argument| !known.contains(argument)) {
                wrong.push(format!("`{name}` makes nothing of ${argument}: {}", file.display()));
            }
        }
    }
    for (list, keys) in &said.lists {
        let held: BTreeSet<String> = first
            .keys()
            .filter_map(|name| name.strip_prefix(&format!("{list}.")).map(str::to_owned))
            .collect();
        let keys: BTreeSet<String> = keys.iter().map(|key| attribute(key)).collect();
        for key in keys.difference(&held) {
            wrong.push(format!("`{list}` has no words for {key}"));
        }
        for key in held.difference(&keys) {
            wrong.push(format!("`{list}` has words for {key}, which is none of its values"));
        }
    }
    for name in first.keys() {
        let list = name.split('.').next().unwrap_or(name);
        let is_said = said.messages.contains_key(name)
            || said.lists.contains_key(list)
            || said.texts.contains(list)
            || FAMILIES.iter().any(|family| name.starts_with(family));
        if !is_said {
            wrong.push(format!("`{name}` is a message that nobody says"));
        }
    }
    for (language, messages) in languages.iter().filter(|(language, _)| *language != FIRST) {
        for name in first.keys().filter(|name| !messages.contains_key(*name)) {
            wrong.push(format!("{language}: `{name}` is missing"));
        }
        for (name, variables) in messages {
            match first.get(name) {
                None => wrong.push(format!("{language}: `{name}` is no message in {FIRST}")),
                Some(held) => {
                    for variable in variables.difference(held) {
                        let given = said.messages.get(name).is_some_and(|places| {
                            places.iter().all(|(given, _)| given.contains(variable))
                        });
                        if !given {
                            wrong.push(format!("{language}: `{name}` wants ${variable}"));
                        }
                    }
                }
            }
        }
    }
    if wrong.is_empty() {
        Ok(format!(
            "messages: {} in {} languages, {} said in code, {} lists; none missing, unused or unlike",
            first.len(),
            languages.len(),
            said.messages.len(),
            said.lists.len()
        ))
    } else {
        Err(format!("messages:\n{}", wrong.join("\n")))
    }
}

impl Said {
    fn take(&mut self, tokens: TokenStream, file: &Path) {
        let all: Vec<TokenTree> = tokens.into_iter().collect();
        for (at, token) in all.iter().enumerate() {
            match token {
                TokenTree::Group(group) => {
                    let before = |back: usize| at.checked_sub(back).and_then(|at| all.get(at));
                    let is = |back: usize, word: &str| matches!(before(back), Some(TokenTree::Ident(name)) if name == word);
                    let macro_of = |word: &str| is(2, word) && is_sign(before(1), '!');
                    if macro_of("said") {
                        self.message(group.stream(), file);
                    } else if macro_of("choices") {
                        self.list(group.stream());
                    } else if is(1, "label") {
                        self.message(group.stream(), file);
                    }
                    self.take(group.stream(), file);
                }
                TokenTree::Literal(literal) => {
                    let Some(text) = text_of(&literal.to_string()) else { continue };
                    // A source names the message of its title.
                    if text.starts_with(TITLE) {
                        let place = (BTreeSet::new(), file.to_owned());
                        self.messages.entry(text.clone()).or_default().push(place);
                    }
                    self.texts.insert(text);
                }
                TokenTree::Ident(_) | TokenTree::Punct(_) => {}
            }
        }
    }

    /// Notes the words of code that should be messages: all of them where only messages speak,
    /// elsewhere those of faults.
    fn unspoken(&mut self, tokens: TokenStream, is_speaker: bool, file: &Path) {
        let all: Vec<TokenTree> = tokens.into_iter().collect();
        for (at, token) in all.iter().enumerate() {
            let before = |back: usize| at.checked_sub(back).and_then(|at| all.get(at));
            let is = |back: usize, word: &str| matches!(before(back), Some(TokenTree::Ident(name)) if name == word);
            match token {
                // Attributes, doc comments among them, and tests.
                TokenTree::Group(_)
                    if is_sign(before(1), '#')
                        || is_sign(before(1), '!') && is_sign(before(2), '#') => {}
                TokenTree::Group(_) if is(1, "tests") && is(2, "mod") => {}
                TokenTree::Group(group) => {
                    let is_fault = is(1, "new") && is(4, "Fault")
                        || FAULTS.iter().any(|name| is(1, name)) && !is(2, "fn");
                    if is_fault && group.delimiter() == Delimiter::Parenthesis {
                        let words = arguments(group.stream()).into_iter().rev().take(2);
                        let words =
                            words.filter(|text| is_word(text) || !is_speaker && is_prose(text));
                        self.unspoken.extend(words.map(|text| (text, file.to_owned())));
                    }
                    self.unspoken(group.stream(), is_speaker, file);
                }
                TokenTree::Literal(literal) if is_speaker => {
                    let words = text_of(&literal.to_string());
                    let words = words.filter(|text| is_prose(text));
                    let words = words.filter(|text| !IN_FILES.contains(&text.as_str()));
                    self.unspoken.extend(words.map(|text| (text, file.to_owned())));
                }
                _ => {}
            }
        }
    }

    fn message(&mut self, inside: TokenStream, file: &Path) {
        let all: Vec<TokenTree> = inside.into_iter().collect();
        let Some(TokenTree::Literal(name)) = all.first() else { return };
        let Some(name) = text_of(&name.to_string()) else { return };
        let mut given = BTreeSet::new();
        for at in 0..all.len() {
            if let [
                TokenTree::Punct(comma),
                TokenTree::Ident(argument),
                TokenTree::Punct(equals),
                ..,
            ] = &all[at..]
                && comma.as_char() == ','
                && equals.as_char() == '='
                && !is_sign(all.get(at + 3), '=')
            {
                given.insert(argument.to_string());
            }
        }
        self.messages.entry(name).or_default().push((given, file.to_owned()));
    }

    /// Every list of a `choices!`.
    fn list(&mut self, inside: TokenStream) {
        let all: Vec<TokenTree> = inside.into_iter().collect();
        for pair in all.windows(2) {
            let [TokenTree::Ident(name), TokenTree::Group(values)] = pair else { continue };
            if values.delimiter() != Delimiter::Brace {
                continue;
            }
            let values: Vec<TokenTree> = values.stream().into_iter().collect();
            let keys = values.windows(3).filter_map(|three| match three {
                [TokenTree::Ident(_), TokenTree::Punct(sign), TokenTree::Literal(key)]
                    if sign.as_char() == '=' =>
                {
                    text_of(&key.to_string())
                }
                _ => None,
            });
            self.lists.entry(name.to_string()).or_default().extend(keys);
        }
    }

    /// Names that a template or page says: `t("name"`.
    /// Takes what a template or a part of the page says: `t("name")`, `t("name", { a, b: 1 })`.
    fn take_template(&mut self, text: &str, file: &Path) {
        let is_page = file.extension().is_some_and(|end| end != "typ");
        if is_page {
            let texts = text.split('"').filter(|text| text.starts_with("web-"));
            self.texts.extend(texts.map(str::to_owned));
        }
        for (at, _) in text.match_indices("t(\"") {
            let is_name = |sign: char| sign.is_alphanumeric() || sign == '_' || sign == '.';
            if text[..at].ends_with(is_name) {
                continue;
            }
            let Some((name, after)) = text[at + 3..].split_once('"') else { continue };
            if is_page {
                let place = (given_to(after), file.to_owned());
                self.messages.entry(name.to_owned()).or_default().push(place);
            } else {
                self.texts.insert(name.to_owned());
            }
        }
    }
}

/// The names of what a call on the page gives: those of `, { a, b: f(c), d })`.
fn given_to(after: &str) -> BTreeSet<String> {
    let mut names = BTreeSet::new();
    let Some(object) = after.strip_prefix(", {") else { return names };
    let (mut depth, mut start) = (0_i32, 0);
    for (at, sign) in object.char_indices() {
        match sign {
            '(' | '[' | '{' => depth += 1,
            ')' | ']' | '}' if depth > 0 => depth -= 1,
            ',' | '}' if depth == 0 => {
                let part = &object[start..at];
                let name = part.split_once(':').map_or(part, |(name, _)| name).trim();
                if !name.is_empty() {
                    names.insert(name.to_owned());
                }
                start = at + 1;
                if sign == '}' {
                    break;
                }
            }
            _ => {}
        }
    }
    names
}

/// The arguments of a call; each as the text that it gives as it stands, or begins with in
/// `format!`, else empty.
fn arguments(inside: TokenStream) -> Vec<String> {
    let all: Vec<TokenTree> = inside.into_iter().collect();
    let parts = all.split(|token| is_sign(Some(token), ','));
    let given = |part: &[TokenTree]| match part {
        [TokenTree::Literal(text), ..] => text_of(&text.to_string()),
        [TokenTree::Ident(name), TokenTree::Punct(_), TokenTree::Group(inside), ..]
            if name == "format" =>
        {
            inside.stream().into_iter().next().and_then(|text| text_of(&text.to_string()))
        }
        _ => None,
    };
    let parts = parts.filter(|part| !part.is_empty());
    parts.map(|part| given(part).unwrap_or_default()).collect()
}

/// Two words in a row, outside what stands in backticks or is put in.
fn is_prose(text: &str) -> bool {
    let own = text.split('`').step_by(2).collect::<Vec<_>>().join("|");
    let own = own.split('{').map(|part| part.split_once('}').map_or(part, |(_, after)| after));
    let own = own.collect::<Vec<_>>().join("|");
    let words: Vec<&str> = own.split(' ').collect();
    words.windows(2).any(|pair| {
        let end = [',', '.', ':', ';', '?', ')'];
        let first = pair[0].trim_start_matches('(');
        (first == "a" || is_word(first)) && is_word(pair[1].trim_end_matches(end))
    })
}

/// One plain word.
fn is_word(text: &str) -> bool {
    text.len() > 1 && text.chars().all(|c| c.is_ascii_lowercase() || c == '\'')
}

fn is_sign(token: Option<&TokenTree>, sign: char) -> bool {
    matches!(token, Some(TokenTree::Punct(punct)) if punct.as_char() == sign)
}

/// The text of a plain string literal.
fn text_of(literal: &str) -> Option<String> {
    Some(literal.strip_prefix('"')?.strip_suffix('"')?.to_owned())
}

fn read(file: &Path) -> Result<String, String> {
    fs::read_to_string(file).map_err(|error| format!("{}: {error}", file.display()))
}

fn listed(folder: &Path) -> Result<Vec<PathBuf>, String> {
    let entries = fs::read_dir(folder).map_err(|error| format!("{}: {error}", folder.display()))?;
    let mut paths: Vec<PathBuf> = entries.flatten().map(|entry| entry.path()).collect();
    paths.sort();
    Ok(paths)
}

fn crates() -> Result<Vec<String>, String> {
    let names = listed(&root().join("crates"))?.into_iter();
    Ok(names.filter_map(|path| Some(path.file_name()?.to_str()?.to_owned())).collect())
}

fn templates() -> Result<Vec<PathBuf>, String> {
    let mut files = listed(&root().join("crates/documents/templates"))?;
    let mut folders = vec![root().join("web/src")];
    while let Some(folder) = folders.pop() {
        for path in listed(&folder)? {
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|end| end == "svelte" || end == "ts") {
                files.push(path);
            }
        }
    }
    Ok(files)
}

fn languages(wrong: &mut Vec<String>) -> Result<BTreeMap<String, Messages>, String> {
    let mut languages = BTreeMap::new();
    for folder in listed(&root().join("crates/words/messages"))? {
        let Some(language) = folder.file_name().and_then(|name| name.to_str()) else { continue };
        let mut messages = Messages::new();
        for file in listed(&folder)? {
            let text = read(&file)?;
            let resource = match parser::parse(text.as_str()) {
                Ok(resource) => resource,
                Err((resource, errors)) => {
                    wrong.extend(errors.iter().map(|e| format!("{}: {e}", file.display())));
                    resource
                }
            };
            for entry in &resource.body {
                let Entry::Message(message) = entry else { continue };
                let name = message.id.name.to_owned();
                let mut add = |name: String, pattern: &Pattern<&str>| {
                    let mut variables = BTreeSet::new();
                    variables_of(pattern, &mut variables);
                    if messages.insert(name.clone(), variables).is_some() {
                        wrong.push(format!("{language}: `{name}` is there twice"));
                    }
                };
                if let Some(value) = &message.value {
                    add(name.clone(), value);
                }
                for attribute in &message.attributes {
                    add(format!("{name}.{}", attribute.id.name), &attribute.value);
                }
            }
        }
        languages.insert(language.to_owned(), messages);
    }
    Ok(languages)
}

fn variables_of(pattern: &Pattern<&str>, into: &mut BTreeSet<String>) {
    for element in &pattern.elements {
        if let PatternElement::Placeable { expression } = element {
            variables_in(expression, into);
        }
    }
}

fn variables_in(expression: &Expression<&str>, into: &mut BTreeSet<String>) {
    match expression {
        Expression::Inline(inline) => variables_inline(inline, into),
        Expression::Select { selector, variants } => {
            variables_inline(selector, into);
            for variant in variants {
                variables_of(&variant.value, into);
            }
        }
    }
}

fn variables_inline(inline: &InlineExpression<&str>, into: &mut BTreeSet<String>) {
    match inline {
        InlineExpression::VariableReference { id } => {
            into.insert(id.name.to_owned());
        }
        InlineExpression::FunctionReference { arguments, .. } => {
            for argument in &arguments.positional {
                variables_inline(argument, into);
            }
        }
        InlineExpression::Placeable { expression } => variables_in(expression, into),
        InlineExpression::StringLiteral { .. }
        | InlineExpression::NumberLiteral { .. }
        | InlineExpression::MessageReference { .. }
        | InlineExpression::TermReference { .. } => {}
    }
}
