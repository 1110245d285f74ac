//! The words: what floors 1 to 3 say, typed, told in a language and in a reader's units.
//!
//! Messages stand in `messages/LANGUAGE/*.ftl` ([Fluent](https://projectfluent.org)), one file
//! per part of the job; the page shows the same files. English is complete; where another
//! language lacks a message, the English one stands in, and the chore `messages` refuses it.

mod language;
pub mod sounding;
pub mod survey;
pub mod texture;

use std::borrow::Cow;

use fluent_bundle::concurrent::FluentBundle;
use fluent_bundle::types::{FluentNumber, FluentNumberOptions};
use fluent_bundle::{FluentArgs, FluentResource, FluentValue};
use jiff::civil::{Date, DateTime};
use serde::Serialize;
use serde_json::Value;
use tooth_measure::UnitSystem;
use tooth_measure::choice::Choice;
use tooth_measure::say::{Argument, Figure, Joint, SAID, Said, said, show_money, word};

pub use language::FILES;
pub use tooth_measure::say::Language;

/// The words of one language, for a reader of one unit system.
#[derive(Clone, Copy)]
pub struct Words {
    /// The language.
    pub language: Language,
    /// The units that the reader reads first.
    pub units: UnitSystem,
}

impl std::fmt::Debug for Words {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Words").field("language", &self.language).finish_non_exhaustive()
    }
}

impl Words {
    /// The words of a language for a reader of these units.
    #[must_use]
    pub fn new(language: Language, units: UnitSystem) -> Self {
        Self { language, units }
    }

    /// A message in words.
    #[must_use]
    pub fn say(&self, said: &Said) -> String {
        match said {
            Said::Given(text) => text.clone(),
            Said::Message(name, arguments) => {
                let mut args = FluentArgs::with_capacity(arguments.len());
                for (name, of) in arguments {
                    args.set(name.as_ref(), self.value(of));
                }
                self.message(name, Some(&args))
            }
        }
    }

    /// A message without arguments: a heading, a label.
    #[must_use]
    pub fn label(&self, message: &str) -> String {
        self.message(message, None)
    }

    /// A value of a closed list, as a person calls it.
    #[must_use]
    pub fn of<C: Choice>(&self, choice: C) -> String {
        self.say(&word(choice))
    }

    /// A quantity in the reader's units.
    pub fn own(&self, figure: impl Into<Figure>) -> String {
        figure.into().show(self.units)
    }

    /// A quantity in the reader's units and, in brackets, in the other ones.
    pub fn both(&self, figure: impl Into<Figure>) -> String {
        figure.into().show_both(self.units)
    }

    /// A date in full: `14 September 2026`.
    #[must_use]
    pub fn date(&self, date: Date) -> String {
        let month = Said::listed("Month", &date.month().to_string());
        self.say(&said!(
            "date-in-full",
            day = date.day().to_string(),
            month = month,
            year = date.year().to_string()
        ))
    }

    /// A day and hour within the coming days: `Mon 14 Sep 08:00`.
    #[must_use]
    pub fn day_and_hour(&self, time: DateTime) -> String {
        let month = Said::listed("MonthShort", &time.month().to_string());
        self.say(&said!(
            "day-and-hour",
            weekday = self.weekday(time),
            day = time.day().to_string(),
            month = month,
            hour = time.strftime("%H:%M").to_string()
        ))
    }

    /// A weekday and hour: `Mon 08:00`.
    #[must_use]
    pub fn weekday_and_hour(&self, time: DateTime) -> String {
        let hour = time.strftime("%H:%M").to_string();
        self.say(&said!("weekday-and-hour", weekday = self.weekday(time), hour = hour))
    }

    fn weekday(&self, time: DateTime) -> Said {
        Said::listed("Weekday", &time.weekday().to_monday_one_offset().to_string())
    }

    /// Every message of a message file as text, for templates: what it speaks of stands in it
    /// as `{$name}`.
    #[must_use]
    pub fn templates(&self, file: &str) -> serde_json::Map<String, Value> {
        language::messages(file)
            .into_iter()
            .map(|name| {
                let text = self.label(&name);
                (name, Value::String(text))
            })
            .collect()
    }

    /// A result as data, each message in it told in words.
    ///
    /// # Errors
    /// Where the result cannot be written as JSON.
    pub fn json(&self, result: &impl Serialize) -> serde_json::Result<Value> {
        Ok(self.told(serde_json::to_value(result)?))
    }

    /// Data with each message in it told in words.
    #[must_use]
    pub fn told(&self, value: Value) -> Value {
        match value {
            Value::Array(all) => all.into_iter().map(|one| self.told(one)).collect(),
            Value::Object(fields) if fields.len() == 1 && fields.contains_key(SAID) => {
                match serde_json::from_value::<Said>(Value::Object(fields.clone())) {
                    Ok(said) => Value::String(self.say(&said)),
                    Err(_) => Value::Object(fields),
                }
            }
            Value::Object(fields) => Value::Object(
                fields.into_iter().map(|(name, one)| (name, self.told(one))).collect(),
            ),
            plain => plain,
        }
    }

    fn message(&self, name: &str, args: Option<&FluentArgs<'_>>) -> String {
        [self.language, Language::English]
            .into_iter()
            .find_map(|language| formatted(language::bundle(language), name, args))
            // A chore and a test see to it that no message is missing; its name still says more
            // than nothing.
            .unwrap_or_else(|| name.to_owned())
    }

    fn joint(&self, joint: Joint) -> Cow<'static, str> {
        match joint {
            Joint::Comma => ", ".into(),
            Joint::Semicolon => "; ".into(),
            Joint::Plus => " + ".into(),
            Joint::Space => " ".into(),
            Joint::Sentences => ". ".into(),
            Joint::And => format!(" {} ", self.label("and")).into(),
            Joint::Or => format!(" {} ", self.label("or")).into(),
            Joint::SemicolonOr => format!("; {} ", self.label("or")).into(),
        }
    }

    fn value(&self, of: &Argument) -> FluentValue<'static> {
        match of {
            Argument::Count(count) => {
                FluentNumber::new(*count as f64, FluentNumberOptions::default()).into()
            }
            other => FluentValue::from(self.text(other)),
        }
    }

    /// What a message speaks of, in words.
    #[must_use]
    pub fn text(&self, of: &Argument) -> String {
        match of {
            Argument::Name(name) => name.clone(),
            Argument::Count(count) => count.to_string(),
            Argument::Decimal(value, decimals) => format!("{value:.*}", usize::from(*decimals)),
            Argument::Number(value) => value.to_string(),
            Argument::Own(figure) => figure.show(self.units),
            Argument::Both(figure) => figure.show_both(self.units),
            Argument::Money(amount, currency) => show_money(*amount, currency),
            Argument::Said(said) => self.say(said),
            Argument::List(joint, all) => {
                let parts: Vec<String> = all.iter().map(|one| self.text(one)).collect();
                parts.join(&self.joint(*joint))
            }
        }
    }
}

fn formatted(
    bundle: &FluentBundle<FluentResource>,
    name: &str,
    args: Option<&FluentArgs<'_>>,
) -> Option<String> {
    let (message, attribute) = name.split_once('.').map_or((name, None), |(m, a)| (m, Some(a)));
    let message = bundle.get_message(message)?;
    let pattern = match attribute {
        None => message.value()?,
        Some(attribute) => message.get_attribute(attribute)?.value(),
    };
    let mut errors = Vec::new();
    Some(bundle.format_pattern(pattern, args, &mut errors).into_owned())
}

/// Words as they stand at the beginning of a sentence.
#[must_use]
pub(crate) fn capital(words: String) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// Words as they stand within a sentence.
#[must_use]
pub(crate) fn uncapital(words: String) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}
