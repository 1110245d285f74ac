//! What is to be said, without the words: a message by name, with typed arguments.
//!
//! Floors 1 to 3 decide and say *what*; the words of a language stand in message files on
//! floor 4, which also picks the units that the reader reads first. [`said!`] makes a message.

use std::borrow::Cow;

use schemars::JsonSchema;
use serde::ser::SerializeMap as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::choice::{Choice, choices};
use crate::profile_level::{ProfileLevel, ProfileRange};
use crate::quantity::{
    Acidity, Area, AreaRate, EvaporationRate, Fraction, Length, LengthRate, Mass, MoistureEmission,
    Money, Quantity, Speed, Stress, Temperature, TemperatureDifference, Volume, VolumeRate,
    WorkTime,
};
use crate::show::{Show, UnitSystem, fixed};

choices! {
    /// A language that Tooth speaks.
    Language {
        /// English.
        English = "en", also "english";
        /// Spanish of the Americas.
        Spanish = "es", also "spanish", also "español";
    }
}

impl Language {
    /// The language that a tag of BCP 47 (`es-MX`) asks for; none where Tooth does not speak it.
    #[must_use]
    pub fn from_tag(tag: &str) -> Option<Self> {
        let first = tag.split(['-', '_', '.']).next()?.to_ascii_lowercase();
        Self::ALL.iter().copied().find(|language| language.key() == first)
    }
}

/// The key under which a message stands where results are written as data; what shows them
/// to a person puts the words in its place.
pub const SAID: &str = "$said";

/// Makes a [`Said`]: `said!("oil-first", mark = id, depth = both(depth))`.
#[macro_export]
macro_rules! said {
    ($message:literal $(, $name:ident = $value:expr)* $(,)?) => {
        $crate::say::Said::message($message, vec![
            $((stringify!($name), $crate::say::Argument::from($value))),*
        ])
    };
}
pub use said;

/// Something to say.
#[derive(Debug, Clone, PartialEq)]
pub enum Said {
    /// A message of the message files, and what it speaks of.
    Message(Cow<'static, str>, Vec<(Cow<'static, str>, Argument)>),
    /// What a person wrote, word for word.
    Given(String),
}

impl Said {
    /// A message with its arguments; [`said!`] reads better.
    #[must_use]
    pub fn message(name: &'static str, arguments: Vec<(&'static str, Argument)>) -> Self {
        let arguments = arguments.into_iter().map(|(name, of)| (Cow::Borrowed(name), of));
        Self::Message(Cow::Borrowed(name), arguments.collect())
    }

    /// The name of something that the program brings along, told apart by an id of its own:
    /// `method-shot_blast`.
    #[must_use]
    pub fn built_in(kind: &str, id: &str) -> Self {
        Self::Message(Cow::Owned(format!("{kind}-{id}")), Vec::new())
    }

    /// The text that stands beside a built-in name under it: `method-shot_blast.instruction`.
    #[must_use]
    pub fn beside(kind: &str, id: &str, part: &str) -> Self {
        Self::Message(Cow::Owned(format!("{kind}-{id}.{part}")), Vec::new())
    }

    /// A value of a closed list by the list's name and the value's key.
    #[must_use]
    pub fn listed(list: &str, key: &str) -> Self {
        Self::Message(Cow::Owned(format!("{list}.{}", attribute(key))), Vec::new())
    }

    /// Nothing to say.
    #[must_use]
    pub const fn nothing() -> Self {
        Self::Given(String::new())
    }

    /// Whether there is nothing to say.
    #[must_use]
    pub fn is_nothing(&self) -> bool {
        matches!(self, Self::Given(text) if text.is_empty())
    }

    /// The name of the message; empty where a person's own words stand.
    #[must_use]
    pub fn name(&self) -> &str {
        match self {
            Self::Message(name, _) => name,
            Self::Given(_) => "",
        }
    }

    /// Whether it, or what it speaks of, is the message of this name.
    #[must_use]
    pub fn holds(&self, message: &str) -> bool {
        match self {
            Self::Message(name, arguments) => {
                name == message || arguments.iter().any(|(_, of)| of.holds(message))
            }
            Self::Given(_) => false,
        }
    }

    /// An argument by its name.
    #[must_use]
    pub fn argument(&self, name: &str) -> Option<&Argument> {
        match self {
            Self::Message(_, arguments) => {
                arguments.iter().find(|(held, _)| held == name).map(|(_, of)| of)
            }
            Self::Given(_) => None,
        }
    }
}

/// A value of a closed list, as a person calls it.
#[must_use]
pub fn word<C: Choice>(choice: C) -> Said {
    Said::listed(C::LIST, choice.key())
}

/// The name under which the words of a key stand in message files: what cannot be part of a
/// name there becomes `_`.
#[must_use]
pub fn attribute(key: &str) -> String {
    let plain = |c: char| if c.is_ascii_alphanumeric() || c == '-' { c } else { '_' };
    let name: String = key.chars().map(plain).collect();
    if name.starts_with(|c: char| c.is_ascii_alphabetic()) { name } else { format!("x{name}") }
}

/// What a message speaks of.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Argument {
    /// A name or text that a person gave, or a name of the trade that no language changes.
    Name(String),
    /// A number of things.
    Count(u64),
    /// A bare number to so many decimals.
    Decimal(f64, u8),
    /// A bare number in as many digits as it has.
    Number(f64),
    /// A quantity in the reader's units.
    Own(Figure),
    /// A quantity in the reader's units and, in brackets, in the other ones.
    Both(Figure),
    /// An amount in a currency, to the whole unit.
    Money(f64, String),
    /// Another message.
    Said(Said),
    /// Several, one after the other.
    List(Joint, Vec<Argument>),
}

impl Argument {
    fn holds(&self, message: &str) -> bool {
        match self {
            Self::Said(said) => said.holds(message),
            Self::List(_, all) => all.iter().any(|one| one.holds(message)),
            _ => false,
        }
    }

    /// The names that people gave in it.
    #[must_use]
    pub fn names(&self) -> Vec<&str> {
        match self {
            Self::Name(name) => vec![name],
            Self::List(_, all) => all.iter().flat_map(Self::names).collect(),
            _ => Vec::new(),
        }
    }
}

/// What stands between the parts of a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Joint {
    /// A comma.
    Comma,
    /// A semicolon.
    Semicolon,
    /// A sum.
    Plus,
    /// A space: whole sentences.
    Space,
    /// A full stop and a space.
    Sentences,
    /// The word "and".
    And,
    /// The word "or".
    Or,
    /// A semicolon and the word "or".
    SemicolonOr,
}

/// Several things, one after the other.
pub fn listed<A: Into<Argument>>(joint: Joint, all: impl IntoIterator<Item = A>) -> Argument {
    Argument::List(joint, all.into_iter().map(Into::into).collect())
}

/// Names that people gave, apart by commas.
pub fn names<N: ToString>(all: impl IntoIterator<Item = N>) -> Argument {
    listed(Joint::Comma, all.into_iter().map(|name| name.to_string()))
}

/// A quantity and how it is shown; inside its SI value.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Figure {
    form: Form,
    si: f64,
}

macro_rules! forms {
    ($($(#[$doc:meta])* $form:ident($type:ident) => $show:expr;)+) => {
        /// A quantity and the units in which it is shown.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
        #[serde(rename_all = "snake_case")]
        enum Form { $($(#[$doc])* $form),+ }

        impl Figure {
            /// The number and its unit.
            #[must_use]
            pub fn show(self, units: UnitSystem) -> String {
                match self.form { $(Form::$form => {
                    let show: fn($type, UnitSystem) -> String = $show;
                    show($type::from_si(self.si), units)
                })+ }
            }
        }
    };
}

forms! {
    Length(Length) => Length::show;
    /// A width or depth.
    Detail(Length) => Length::show_detail;
    /// A film.
    Film(Length) => Length::show_film;
    /// A height of texture.
    Fine(Length) => Length::show_fine;
    /// A coordinate on the plan.
    OnPlan(Length) => |length, units| match units {
        UnitSystem::Si => format!("{:.1} m", length.metres()),
        UnitSystem::UsCustomary => format!("{:.0} ft", length.feet()),
    };
    Area(Area) => Area::show;
    Volume(Volume) => Volume::show;
    Mass(Mass) => Mass::show;
    Stress(Stress) => Stress::show;
    Speed(Speed) => Speed::show;
    Temperature(Temperature) => Temperature::show;
    TemperatureDifference(TemperatureDifference) => TemperatureDifference::show;
    EvaporationRate(EvaporationRate) => EvaporationRate::show;
    MoistureEmission(MoistureEmission) => MoistureEmission::show;
    AreaRate(AreaRate) => AreaRate::show;
    LengthRate(LengthRate) => LengthRate::show;
    VolumeRate(VolumeRate) => VolumeRate::show;
    Seconds(WorkTime) => |time, _| format!("{:.0} s", time.seconds());
    Acidity(Acidity) => |ph, _| format!("pH {}", ph.ph());
    Percent(Fraction) => |share, _| share.show_percent();
    Hours(WorkTime) => |time, _| time.show_hours();
    Clock(WorkTime) => |time, _| time.show_clock();
}

impl Figure {
    /// In both systems, the reader's own first.
    #[must_use]
    pub fn show_both(self, units: UnitSystem) -> String {
        format!("{} ({})", self.show(units), self.show(units.other()))
    }

    fn new(form: Form, of: impl Quantity) -> Self {
        Self { form, si: of.si() }
    }
}

macro_rules! usual_forms {
    ($($type:ident),+) => { $(
        impl From<$type> for Figure {
            fn from(of: $type) -> Self {
                Self::new(Form::$type, of)
            }
        }
    )+ };
}
usual_forms!(
    Length,
    Area,
    Volume,
    Mass,
    Stress,
    Speed,
    Temperature,
    TemperatureDifference,
    EvaporationRate,
    MoistureEmission,
    AreaRate,
    LengthRate,
    VolumeRate
);

/// A quantity in the reader's units.
pub fn own(figure: impl Into<Figure>) -> Argument {
    Argument::Own(figure.into())
}

/// A quantity in the reader's units and, in brackets, in the other ones.
pub fn both(figure: impl Into<Figure>) -> Argument {
    Argument::Both(figure.into())
}

macro_rules! figures {
    ($($(#[$doc:meta])* $name:ident($type:ident) = $form:ident;)+) => { $(
        $(#[$doc])*
        #[must_use]
        pub fn $name(of: $type) -> Figure {
            Figure::new(Form::$form, of)
        }
    )+ };
}

figures! {
    /// A width or depth: mm, in.
    detail(Length) = Detail;
    /// A film's thickness: µm, mil.
    film_thickness(Length) = Film;
    /// A height of texture: mm, mil.
    fine(Length) = Fine;
    /// A coordinate on the plan: m, ft.
    on_plan(Length) = OnPlan;
}

/// A share in per cent.
#[must_use]
pub fn percent(share: Fraction) -> Argument {
    Argument::Own(Figure::new(Form::Percent, share))
}

/// Hours to the tenth.
#[must_use]
pub fn hours(time: WorkTime) -> Argument {
    Argument::Own(Figure::new(Form::Hours, time))
}

/// Hours and minutes.
#[must_use]
pub fn clock(time: WorkTime) -> Argument {
    Argument::Own(Figure::new(Form::Clock, time))
}

/// Whole seconds.
#[must_use]
pub fn seconds(time: WorkTime) -> Argument {
    Argument::Own(Figure::new(Form::Seconds, time))
}

/// A figure on the scale of acidity: `pH 9.5`.
#[must_use]
pub fn acidity(ph: Acidity) -> Argument {
    Argument::Own(Figure::new(Form::Acidity, ph))
}

/// A bare number to so many decimals.
#[must_use]
pub const fn decimal(value: f64, decimals: u8) -> Argument {
    Argument::Decimal(value, decimals)
}

/// An amount in a currency.
#[must_use]
pub fn money(amount: Money, currency: &str) -> Argument {
    Argument::Money(amount.amount(), currency.to_owned())
}

/// Shows an amount as [`Argument::Money`] asks.
#[must_use]
pub fn show_money(amount: f64, currency: &str) -> String {
    format!("{} {currency}", fixed(amount, 0))
}

impl<C: Choice> From<C> for Argument {
    fn from(choice: C) -> Self {
        Self::Said(word(choice))
    }
}

macro_rules! arguments {
    ($($type:ty: $value:ident => $made:expr;)+) => { $(
        impl From<$type> for Argument {
            fn from($value: $type) -> Self {
                $made
            }
        }
    )+ };
}

arguments! {
    String: text => Self::Name(text);
    &String: text => Self::Name(text.clone());
    &str: text => Self::Name(text.to_owned());
    usize: count => Self::Count(count as u64);
    u32: count => Self::Count(u64::from(count));
    u16: count => Self::Count(u64::from(count));
    u8: count => Self::Count(u64::from(count));
    u64: count => Self::Count(count);
    f64: value => Self::Number(value);
    Said: said => Self::Said(said);
    &Said: said => Self::Said(said.clone());
    ProfileLevel: level => Self::Name(level.to_string());
    ProfileRange: range => Self::Name(range.to_string());
}

impl From<Box<Said>> for Said {
    fn from(said: Box<Said>) -> Self {
        *said
    }
}

impl From<String> for Said {
    fn from(text: String) -> Self {
        Self::Given(text)
    }
}

impl From<&str> for Said {
    fn from(text: &str) -> Self {
        Self::Given(text.to_owned())
    }
}

/// One entry of a map, so that no text can be taken for it.
impl Serialize for Said {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Given(text) => serializer.serialize_str(text),
            Self::Message(name, arguments) => {
                let mut map = serializer.serialize_map(Some(1))?;
                map.serialize_entry(SAID, &(name, arguments))?;
                map.end()
            }
        }
    }
}

#[derive(Deserialize)]
#[serde(untagged)]
enum Written {
    Given(String),
    Message {
        #[serde(rename = "$said")]
        said: (String, Vec<(String, Argument)>),
    },
}

impl<'de> Deserialize<'de> for Said {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Ok(match Written::deserialize(deserializer)? {
            Written::Given(text) => Self::Given(text),
            Written::Message { said: (name, arguments) } => Self::Message(
                Cow::Owned(name),
                arguments.into_iter().map(|(name, of)| (Cow::Owned(name), of)).collect(),
            ),
        })
    }
}

/// A person reads a text: the words take the message's place before anybody sees it.
impl JsonSchema for Said {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        "Said".into()
    }

    fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
        String::json_schema(generator)
    }
}
