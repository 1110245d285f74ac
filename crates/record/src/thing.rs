//! What an entry speaks of.

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::file::FileName;
use tooth_measure::choice::{Choice as _, choices};
use tooth_measure::say::{Said, said, word};

choices! {
    /// The kinds of things that a record speaks of.
    ThingKind {
        /// The job's own fields; with a name, one table of them.
        Job = "job";
        /// A signed locate.
        Locate = "locate";
        /// A client's consent.
        Consent = "consent";
        /// A decision over a finding.
        Overrule = "overrule";
        /// Unit and north of the plan.
        Plan = "plan";
        /// An area or anything else on the plan.
        Feature = "feature";
        /// Fields of the list of systems that belong to no system.
        Systems = "systems";
        /// A system with the limits of its data sheet.
        System = "system";
        /// Fields of the list of methods that belong to none.
        Methods = "methods";
        /// A machine of one's own.
        Machine = "machine";
        /// A method of one's own.
        Method = "method";
        /// A field test.
        Reading = "reading";
        /// The hourly forecast.
        Forecast = "forecast";
        /// A file as it was received.
        File = "file";
        /// The order in which a readable file lists its things.
        Order = "order";
    }
}

impl ThingKind {
    /// Whether there is one of the kind alone, without a name.
    fn may_be_alone(self) -> bool {
        matches!(self, Self::Job | Self::Plan | Self::Systems | Self::Methods | Self::Forecast)
    }

    /// Whether things of the kind have names.
    fn may_be_named(self) -> bool {
        !matches!(self, Self::Plan | Self::Forecast)
    }
}

/// One thing that entries speak of, written like `reading/R001` or `plan`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(try_from = "String", into = "String")]
#[schemars(with = "String")]
pub struct Thing {
    kind: ThingKind,
    name: String,
}

impl Thing {
    /// The one thing of its kind; `None` where things of the kind have names.
    #[must_use]
    pub fn alone(kind: ThingKind) -> Option<Self> {
        kind.may_be_alone().then(|| Self { kind, name: String::new() })
    }

    /// A named thing; `None` where the kind has no names or the name is empty, longer
    /// than 400 bytes, has spaces around it or control characters.
    #[must_use]
    pub fn named(kind: ThingKind, name: &str) -> Option<Self> {
        let good = !name.is_empty()
            && name.len() <= 400
            && name.trim() == name
            && !name.chars().any(char::is_control);
        // A field named like one of its file's lists could not be written beside it.
        let lists: &[&str] = match kind {
            ThingKind::Job => &["locate", "consent", "overrule"],
            ThingKind::Systems => &["system"],
            ThingKind::Methods => &["machine", "method"],
            _ => &[],
        };
        let good = good && !lists.contains(&name);
        let good = good && (kind != ThingKind::File || FileName::new(name).is_some());
        (good && kind.may_be_named()).then(|| Self { kind, name: name.to_owned() })
    }

    /// A file of the job folder.
    #[must_use]
    pub fn file(name: &FileName) -> Self {
        Self { kind: ThingKind::File, name: name.as_str().to_owned() }
    }

    /// As it is written in an entry; `None` where it is no thing.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let (kind, name) = match text.split_once('/') {
            Some((kind, name)) => (kind, Some(name)),
            None => (text, None),
        };
        let kind = ThingKind::ALL.iter().copied().find(|known| known.key() == kind)?;
        name.map_or_else(|| Self::alone(kind), |name| Self::named(kind, name))
    }

    /// Its kind.
    #[must_use]
    pub fn kind(&self) -> ThingKind {
        self.kind
    }

    /// Its name; empty where it is the one of its kind.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Whether it only says how a readable file looked: its bytes as received, or the
    /// order of its things. People's words are in the things themselves.
    #[must_use]
    pub fn is_form_only(&self) -> bool {
        match self.kind {
            ThingKind::Order => true,
            ThingKind::File => FileName::new(&self.name).is_some_and(|name| name.is_readable()),
            _ => false,
        }
    }

    /// For a person: "reading R001".
    #[must_use]
    pub fn said(&self) -> Said {
        match (self.kind, self.name.as_str()) {
            (kind, "") => word(kind),
            (ThingKind::Feature, name) => said!("thing-on-the-plan", name = name),
            (kind, name) => said!("thing-named", kind = kind, name = name),
        }
    }
}

impl fmt::Display for Thing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.kind.key())?;
        if self.name.is_empty() { Ok(()) } else { write!(f, "/{}", self.name) }
    }
}

impl From<Thing> for String {
    fn from(thing: Thing) -> Self {
        thing.to_string()
    }
}

impl TryFrom<String> for Thing {
    type Error = String;
    fn try_from(text: String) -> Result<Self, String> {
        Self::parse(&text)
            .ok_or_else(|| format!("expected a thing like `reading/R001`, found `{text}`"))
    }
}
