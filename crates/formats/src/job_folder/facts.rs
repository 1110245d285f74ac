//! `job.toml`.

use tooth_job::assessment::{CODES, SETTLED};
use tooth_job::choice::Choice;
use tooth_job::extent::PatchRule;
use tooth_job::survey::{
    Answer, Client, Consent, Constraints, Currency, Dust, FeatureId, JobFacts, Locate, MoneyRules,
    Overrule, Power, Presence, Rates, Setting, Slab, Support, Uncertainty, Weights, ZoneId,
};
use tooth_measure::{MoneyPerHour, UnitSystem, WorkTime, range};

use crate::text::{Faults, Fields, toml};

const FILE: &str = "job.toml";
/// The version of the folder that this program reads.
const SCHEMA: i64 = 1;

#[derive(Clone, Copy, PartialEq)]
struct Units(UnitSystem);

impl Choice for Units {
    const ALL: &'static [Self] = &[Self(UnitSystem::Si), Self(UnitSystem::UsCustomary)];
    fn key(self) -> &'static str {
        match self.0 {
            UnitSystem::Si => "si",
            UnitSystem::UsCustomary => "us",
        }
    }
    fn words(self) -> &'static str {
        self.key()
    }
}

/// What `job.toml` says, and where it names things of other files.
pub(super) struct FactsRead {
    /// All of it; none where something is missing or wrong.
    pub(super) facts: Option<JobFacts>,
    pub(super) currency: Option<Currency>,
    pub(super) patch_rule: PatchRule,
    /// Line and field of every zone named.
    pub(super) zones_named: Vec<(u32, String, ZoneId)>,
    /// Machines named, and their line.
    pub(super) machines_owned: (u32, Vec<String>),
}

pub(super) fn read(text: &str, faults: &Faults) -> FactsRead {
    let node = toml(FILE, text, faults);
    let top = Fields::of(FILE, "", &node, faults);
    if top.maybe_whole("schema", SCHEMA, SCHEMA).is_none() && !top.has("schema") {
        top.refuse("schema", format!("schema = {SCHEMA}"), "nothing");
    }
    let name = top.text("name");
    let contractor = top.text("contractor");
    let invented = top.flag_or("invented", false);
    let units = top.choice::<Units>("units");
    let currency = top.text("currency").and_then(|code| {
        let currency = Currency::new(&code);
        if currency.is_none() {
            top.refuse("currency", "three capital letters, like USD", format!("`{code}`"));
        }
        currency
    });
    let patch_rule = top.choice_or("patch_rule", PatchRule::PartialDepth);
    let machines_owned = top.texts("machines_owned");
    let client = top.table("client").map(|table| {
        let client = (table.text("name"), table.text("site"));
        table.finish();
        client
    });
    let slab = top.table("slab").map(slab);
    let constraints = top.table("constraints").map(constraints);
    let rates = top.table("rates").and_then(|table| rates(&table, currency.as_ref()));
    let money = top.table("money").and_then(|table| {
        let rules =
            (table.percent("overhead", &range::SHARE), table.percent("margin", &range::MARGIN));
        table.finish();
        Some(MoneyRules { overhead: rules.0?, margin: rules.1? })
    });
    let weights = top.maybe_table("weights").map(|table| {
        let read = (
            table.maybe_money("crew_hour", currency.as_ref()),
            table.maybe_money("dusty_hour", currency.as_ref()),
        );
        table.finish();
        read
    });
    let uncertainty = top.maybe_table("uncertainty").map_or_else(Uncertainty::default, |table| {
        let usual = Uncertainty::default();
        let read = Uncertainty {
            hidden_growth_median: table
                .maybe_number("hidden_growth_median", 0.5, 10.0)
                .unwrap_or(usual.hidden_growth_median),
            hidden_growth_sigma: table
                .maybe_number("hidden_growth_sigma", 0.0, 2.0)
                .unwrap_or(usual.hidden_growth_sigma),
        };
        table.finish();
        read
    });
    let mut zones_named = Vec::new();
    let locates = top
        .tables("locate")
        .iter()
        .filter_map(|table| {
            let read =
                (table.text("signed_by"), table.date("date"), zones(table, &mut zones_named));
            table.finish();
            Some(Locate { signed_by: read.0?, date: read.1?, zones: read.2 })
        })
        .collect();
    let consents = top
        .tables("consent")
        .iter()
        .filter_map(|table| {
            let read = (table.text("given_by"), table.date("date"), zones(table, &mut zones_named));
            table.finish();
            Some(Consent { given_by: read.0?, date: read.1?, zones: read.2 })
        })
        .collect();
    let mut overrules = Vec::new();
    for table in top.tables("overrule") {
        let feature = table.maybe_id("feature", FeatureId::new);
        let licence = table.maybe_text("licence");
        let read = (
            table.id("zone", ZoneId::new),
            table.text("finding"),
            table.text("reason"),
            table.text("by"),
            table.date("date"),
        );
        table.finish();
        if let Some(code) = read.1.as_deref().filter(|code| !CODES.contains(code)) {
            table.refuse("finding", format!("one of {}", CODES.join(", ")), format!("`{code}`"));
        }
        if let Some(code) = read.1.as_deref().filter(|code| SETTLED.contains(code)) {
            table.refuse(
                "finding",
                "a finding that a person's word can lift",
                format!("`{code}`, which tests and signatures settle"),
            );
        }
        if let Some(zone) = &read.0 {
            zones_named.push((table.line_of("zone"), table.path("zone"), zone.clone()));
        }
        if let (Some(zone), Some(finding), Some(reason), Some(by), Some(date)) = read {
            overrules.push(Overrule { zone, finding, feature, licence, reason, by, date });
        }
    }
    top.finish();
    let machines_line = top.line_of("machines_owned");
    let facts = || -> Option<JobFacts> {
        let (client_name, site) = client?;
        Some(JobFacts {
            name: name?,
            contractor: contractor?,
            client: Client { name: client_name?, site: site? },
            invented,
            units: units?.0,
            currency: currency.clone()?,
            slab: slab?,
            constraints: constraints?,
            rates: rates?,
            weights: weights_of(weights, rates?),
            money: money?,
            uncertainty,
            machines_owned: machines_owned.clone(),
            locates,
            consents,
            overrules,
        })
    };
    FactsRead {
        facts: facts(),
        currency: currency.clone(),
        patch_rule,
        zones_named,
        machines_owned: (machines_line, machines_owned.clone()),
    }
}

fn weights_of(read: Option<(Option<MoneyPerHour>, Option<MoneyPerHour>)>, rates: Rates) -> Weights {
    let usual = Weights::usual(rates.labour);
    let (crew, dusty) = read.unwrap_or_default();
    Weights {
        crew_hour: crew.unwrap_or(usual.crew_hour),
        dusty_hour: dusty.unwrap_or(usual.dusty_hour),
    }
}

fn zones(table: &Fields<'_>, named: &mut Vec<(u32, String, ZoneId)>) -> Vec<ZoneId> {
    let listed = table.texts("zones");
    if listed.is_empty() {
        table.refuse("zones", "a list of zones", "none");
    }
    let mut zones = Vec::new();
    for text in listed {
        match ZoneId::new(&text) {
            Some(id) => {
                named.push((table.line_of("zones"), table.path("zones"), id.clone()));
                zones.push(id);
            }
            None => table.refuse("zones", "names of zones", format!("`{text}`")),
        }
    }
    zones
}

fn slab(table: Fields<'_>) -> Slab {
    let year = |field| table.maybe_whole(field, 1850, 2200).map(|year| year as i16);
    let slab = Slab {
        thickness: table.maybe_quantity("thickness", &range::SLAB_THICKNESS),
        year_cast: year("year_cast"),
        support: table.choice_or("support", Support::Unknown),
        post_tensioned: table.choice_or("post_tensioned", Answer::Unknown),
        vapour_retarder: table.choice_or("vapour_retarder", Presence::Unknown),
        setting: table.choice("setting").unwrap_or(Setting::Indoor),
        freeze_thaw: table.choice_or("freeze_thaw", Answer::Unknown),
        embedded_items: table.choice_or("embedded_items", Answer::Unknown),
        oldest_coating_year: year("oldest_coating_year"),
    };
    table.finish();
    slab
}

fn constraints(table: Fields<'_>) -> Constraints {
    let read = Constraints {
        dust: table.choice_or("dust", Dust::Usual),
        water: table.flag_or("water", true),
        engines_indoors: table.flag_or("engines_indoors", false),
        loud_work: table.flag_or("loud_work", true),
        power: table.choice("power").unwrap_or(Power::None),
        door_width: table.maybe_quantity("door_width", &range::DOOR_WIDTH),
        vibration: table.flag_or("vibration", true),
        loud_hours: table.maybe_quantity("loud_hours", &range::TEST_TIME),
        most_machine_mass: table.maybe_quantity("most_machine_mass", &range::MACHINE_MASS),
        slope: table.maybe_quantity("slope", &range::SHARE),
    };
    table.finish();
    read
}

fn rates(table: &Fields<'_>, currency: Option<&Currency>) -> Option<Rates> {
    let day =
        table.maybe_quantity("working_day", &range::TEST_TIME).unwrap_or(WorkTime::from_hours(8.0));
    if day < WorkTime::from_hours(1.0) || day > WorkTime::from_hours(24.0) {
        table.refuse("working_day", "1 h to 24 h", format!("{day:?}"));
    }
    let read = (
        table.money("labour", currency),
        table.money("disposal", currency),
        table.money("liquid_disposal", currency),
        table.money("trip", currency),
    );
    table.finish();
    Some(Rates {
        labour: read.0?,
        disposal: read.1?,
        liquid_disposal: read.2?,
        trip: read.3?,
        working_day: day,
    })
}
