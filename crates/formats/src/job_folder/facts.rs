//! `job.toml`.

use tooth_job::extent::PatchRule;
use tooth_job::survey::{
    Abatement, AcceptanceRules, Answer, Binding, Building, Chances, ChangeOrder, Client, Confirmed,
    Consent, Constraints, Currency, DecidedTreatment, Decision, DecisionKind, Drainage, Dust,
    FeatureId, FilmDecided, FilmWay, JobFacts, Limits, LineTreatment, Locate, Matter,
    MoistureDecided, MoistureWay, MoneyRules, Overrule, Power, Prepared, Presence, PricedAmount,
    Rates, ReadingId, ReleaseCondition, Setting, SignOff, SiteItem, Slab, Support, TestCosts,
    Uncertainty, Weights, ZoneId,
};
use tooth_measure::choice::Choice;
use tooth_measure::say::{Language, decimal, said};
use tooth_measure::{
    Money, MoneyPerArea, MoneyPerHour, MoneyPerLength, MoneyPerVolume, UnitSystem, WorkTime, range,
};

use crate::text::{Faults, Fields, FormAsked, NameOf, money_of, toml};

const FILE: &str = "job.toml";
/// The version of the folder that this program reads.
const SCHEMA: i64 = 1;

#[derive(Clone, Copy, PartialEq)]
struct Units(UnitSystem);

impl Choice for Units {
    const LIST: &'static str = "Units";
    const ALL: &'static [Self] = &[Self(UnitSystem::Si), Self(UnitSystem::UsCustomary)];
    fn key(self) -> &'static str {
        match self.0 {
            UnitSystem::Si => "si",
            UnitSystem::UsCustomary => "us",
        }
    }
}

/// What `job.toml` says, and where it names things of other files.
pub(super) struct FactsRead {
    /// All of it; none where something is missing or wrong.
    pub(super) facts: Option<JobFacts>,
    pub(super) currency: Option<Currency>,
    pub(super) patch_rule: PatchRule,
    /// What of other files it names.
    pub(super) named: Named,
    /// Machines named, and their line.
    pub(super) machines_owned: (u32, Vec<String>),
}

/// What of other files `job.toml` names, each with line and field.
#[derive(Default)]
pub(super) struct Named {
    pub(super) zones: Vec<(u32, String, ZoneId)>,
    pub(super) features: Vec<FeatureNamed>,
    pub(super) readings: Vec<(u32, String, ReadingId)>,
    /// The lines of its decisions, in the order of the file.
    pub(super) decisions: Vec<(DecisionKind, u32)>,
}

impl Named {
    /// The line of a decision.
    pub(super) fn line_of(&self, decision: &Decision) -> Option<u32> {
        let mut of_kind = self.decisions.iter().filter(|(kind, _)| *kind == decision.kind);
        of_kind.nth(decision.number).map(|(_, line)| *line)
    }
}

/// A feature that a table of `job.toml` names.
pub(super) struct FeatureNamed {
    pub(super) line: u32,
    pub(super) field: String,
    pub(super) feature: FeatureId,
    /// What it must be.
    pub(super) must_be: MustBe,
}

/// What a named feature must be.
#[derive(Clone, PartialEq)]
pub(super) enum MustBe {
    Anything,
    CrackOrJoint,
    Obstacle,
    /// A film, in the area that is named beside it.
    FilmOf(Option<ZoneId>),
}

impl FeatureNamed {
    fn of(table: &Fields<'_>, field: &str, feature: FeatureId, must_be: MustBe) -> Self {
        Self { line: table.line_of(field), field: table.path(field), feature, must_be }
    }
}

pub(super) fn read(text: &str, faults: &Faults) -> FactsRead {
    let node = toml(FILE, text, faults);
    read_top(&Fields::of(FILE, "", &node, faults))
}

/// All of the file, its fields looked for in `top`.
pub(super) fn read_top(top: &Fields<'_>) -> FactsRead {
    if top.maybe_whole("schema", SCHEMA, SCHEMA).is_none() && !top.has("schema") {
        top.refuse("schema", format!("schema = {SCHEMA}"), said!("nothing"));
    }
    let name = top.text("name");
    let contractor = top.text("contractor");
    let invented = top.flag_or("invented", false);
    let units = top.choice::<Units>("units");
    let language = top.choice_or("language", Language::English);
    let crew_language = top.maybe_choice("crew_language");
    let currency = top.text("currency").and_then(|code| {
        let currency = Currency::new(&code);
        if currency.is_none() {
            top.refuse("currency", said!("three-capital-letters-like-usd"), format!("`{code}`"));
        }
        currency
    });
    let patch_rule = top.choice_or("patch_rule", PatchRule::PartialDepth);
    top.note_many("machines_owned", true, || FormAsked::Name { of: NameOf::Machine });
    let machines_owned = top.texts("machines_owned");
    let client = top.table("client").map(|table| {
        let client = (table.text("name"), table.text("site"));
        table.finish();
        client
    });
    let slab = top.table("slab").map(slab);
    let constraints = top.table("constraints").map(constraints);
    let rates = top.table("rates").and_then(|table| rates(&table, currency.as_ref()));
    let money = top.table("money").and_then(|table| money(&table, currency.as_ref()));
    let limits = top.maybe_table("limits").map_or_else(Limits::default, |table| limits(&table));
    let weights = top.maybe_table("weights").map(|table| {
        let read = (
            table.maybe_money("crew_hour", currency.as_ref()),
            table.maybe_money("dusty_hour", currency.as_ref()),
        );
        table.finish();
        read
    });
    let uncertainty =
        top.maybe_table("uncertainty").map_or_else(Uncertainty::default, |t| uncertainty(&t));
    let chances = top.maybe_table("chances").map_or_else(Chances::default, |table| chances(&table));
    let test_costs = top
        .maybe_table("test_costs")
        .map_or_else(TestCosts::default, |table| test_costs(&table, currency.as_ref()));
    let mut named = Named::default();
    if let Some(rates) = rates
        && rates.labour <= MoneyPerHour::ZERO
    {
        top.faults.warn(
            FILE,
            None,
            "rates.labour",
            said!("what-an-hour-of-work-costs"),
            said!("nothing"),
        );
    }
    let locates = locates(top, &mut named);
    let abatements = abatements(top, &mut named);
    let moisture_decided = moisture_decided(top, &mut named);
    let film_decided = film_decided(top, &mut named);
    let consents = consents(top, &mut named);
    let site_items = site_items(top, &mut named, currency.as_ref());
    let prepared = prepared(top, &mut named);
    let acceptance =
        top.maybe_table("acceptance").map_or_else(AcceptanceRules::default, |t| acceptance(&t));
    let treatments = treatments(top, &mut named);
    let confirmed = confirmed(top, &mut named);
    let drainage = drainage(top, &mut named);
    let change_orders = change_orders(top, &mut named, currency.as_ref());
    let overrules = overrules(top, &mut named, currency.as_ref());
    let sign_offs = sign_offs(top, &mut named, &overrules);
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
            language,
            crew_language,
            currency: currency.clone()?,
            slab: slab?,
            constraints: constraints?,
            rates: rates?,
            weights: weights_of(weights, rates?),
            money: money?,
            limits,
            uncertainty,
            chances,
            test_costs,
            machines_owned: machines_owned.clone(),
            site_items,
            treatments,
            confirmed,
            drainage,
            change_orders,
            prepared,
            acceptance,
            locates,
            consents,
            overrules,
            sign_offs,
            abatements,
            moisture_decided,
            film_decided,
        })
    };
    FactsRead {
        facts: facts(),
        currency: currency.clone(),
        patch_rule,
        named,
        machines_owned: (machines_line, machines_owned.clone()),
    }
}

/// How a price is made of a cost.
fn money(table: &Fields<'_>, currency: Option<&Currency>) -> Option<MoneyRules> {
    let rules = (table.percent("overhead", &range::SHARE), table.percent("margin", &range::MARGIN));
    let least = |field| table.maybe_money(field, currency).unwrap_or(Money::ZERO);
    let (least_for_a_job, least_for_a_trip) = (least("least_for_a_job"), least("least_for_a_trip"));
    table.finish();
    Some(MoneyRules { overhead: rules.0?, margin: rules.1?, least_for_a_job, least_for_a_trip })
}

/// How far quantities and paces may lie from what is marked.
fn uncertainty(table: &Fields<'_>) -> Uncertainty {
    let usual = Uncertainty::default();
    let read = Uncertainty {
        hidden_growth_median: table
            .maybe_number("hidden_growth_median", 0.5, 10.0)
            .unwrap_or(usual.hidden_growth_median),
        hidden_growth_sigma: table
            .maybe_number("hidden_growth_sigma", 0.0, 2.0)
            .unwrap_or(usual.hidden_growth_sigma),
        hidden_growth_correlation: table
            .maybe_number("hidden_growth_correlation", 0.0, 1.0)
            .unwrap_or(usual.hidden_growth_correlation),
        pace_correlation: table
            .maybe_number("pace_correlation", 0.0, 1.0)
            .unwrap_or(usual.pace_correlation),
        material_price_sigma: table
            .maybe_number("material_price_sigma", 0.0, 1.0)
            .unwrap_or(usual.material_price_sigma),
        rework_chance: table
            .maybe_quantity("rework_chance", &range::SHARE)
            .unwrap_or(usual.rework_chance),
        rework_share: table
            .maybe_quantity("rework_share", &range::SHARE)
            .unwrap_or(usual.rework_share),
        memory_sigma: table.maybe_number("memory_sigma", 0.0, 2.0).unwrap_or(usual.memory_sigma),
    };
    table.finish();
    read
}

/// By which rules results are accepted.
fn acceptance(table: &Fields<'_>) -> AcceptanceRules {
    let usual = AcceptanceRules::default();
    let read = AcceptanceRules {
        pull_off: table.maybe_choice("pull_off"),
        share: table.maybe_quantity("share", &range::PART).unwrap_or(usual.share),
        confidence: table.maybe_quantity("confidence", &range::PART).unwrap_or(usual.confidence),
        area_per_test: table
            .maybe_quantity("area_per_test", &range::AREA_PER_TEST)
            .unwrap_or(usual.area_per_test),
    };
    table.finish();
    read
}

/// Signed locates.
fn locates(top: &Fields<'_>, named: &mut Named) -> Vec<Locate> {
    top.tables("locate")
        .iter()
        .filter_map(|table| {
            let read =
                (table.text("signed_by"), table.date("date"), zones(table, &mut named.zones));
            table.finish();
            Some(Locate { signed_by: read.0?, date: read.1?, zones: read.2 })
        })
        .collect()
}

/// Lead and asbestos that were taken away.
fn abatements(top: &Fields<'_>, named: &mut Named) -> Vec<Abatement> {
    let mut abatements = Vec::new();
    for table in top.tables("abatement") {
        let remover = table.maybe_text("remover");
        let zone = table.id("zone");
        let features = films_named(&table, zone.as_ref(), named);
        let read = (
            zone,
            table.text("firm"),
            table.text("licence"),
            table.text("cleared_by"),
            table.date("date"),
        );
        table.finish();
        named_zone(&table, read.0.as_ref(), &mut named.zones);
        if let (Some(zone), Some(firm), Some(licence), Some(cleared_by), Some(date)) = read {
            named.decisions.push((DecisionKind::Abatement, table.line));
            abatements.push(Abatement { zone, features, firm, licence, cleared_by, date, remover });
        }
    }
    abatements
}

/// What was decided about moisture.
fn moisture_decided(top: &Fields<'_>, named: &mut Named) -> Vec<MoistureDecided> {
    let mut decided = Vec::new();
    for table in top.tables("moisture_decision") {
        let reference = table.maybe_text("reference");
        let read = (
            table.id("zone"),
            table.choice::<MoistureWay>("way"),
            table.text("by"),
            table.date("date"),
            table.text("reason"),
        );
        if read.1 == Some(MoistureWay::NoLimit) && reference.is_none() {
            table.refuse("reference", said!("the-sheet-or-letter-that-says"), said!("nothing"));
        }
        table.finish();
        named_zone(&table, read.0.as_ref(), &mut named.zones);
        if let (Some(zone), Some(way), Some(by), Some(on), Some(reason)) = read {
            named.decisions.push((DecisionKind::Moisture, table.line));
            decided.push(MoistureDecided { zone, way, by, on, reason, reference });
        }
    }
    decided
}

/// The films that a decision names.
fn films_named(table: &Fields<'_>, zone: Option<&ZoneId>, named: &mut Named) -> Vec<FeatureId> {
    table.note_many("features", true, || FormAsked::Name { of: NameOf::Feature });
    let features: Vec<FeatureId> = table
        .texts("features")
        .iter()
        .filter_map(|name| {
            let id = FeatureId::new(name);
            if id.is_none() {
                let expected = said!("names-of-films-on-the-plan");
                table.refuse("features", expected, format!("`{name}`"));
            }
            id
        })
        .collect();
    named.features.extend(features.iter().map(|id| {
        let must_be = MustBe::FilmOf(zone.cloned());
        FeatureNamed::of(table, "features", id.clone(), must_be)
    }));
    features
}

/// Films that somebody decided to keep.
fn film_decided(top: &Fields<'_>, named: &mut Named) -> Vec<FilmDecided> {
    let mut decided = Vec::new();
    for table in top.tables("film_decision") {
        let zone = table.id("zone");
        let features = films_named(&table, zone.as_ref(), named);
        let read = (
            zone,
            table.choice::<FilmWay>("way"),
            table.text("by"),
            table.date("date"),
            table.text("reason"),
        );
        table.finish();
        named_zone(&table, read.0.as_ref(), &mut named.zones);
        if let (Some(zone), Some(way), Some(by), Some(on), Some(reason)) = read {
            named.decisions.push((DecisionKind::Film, table.line));
            decided.push(FilmDecided { zone, features, way, by, on, reason });
        }
    }
    decided
}

/// What the owner agreed to.
fn consents(top: &Fields<'_>, named: &mut Named) -> Vec<Consent> {
    top.tables("consent")
        .iter()
        .filter_map(|table| {
            let read = (table.text("given_by"), table.date("date"), zones(table, &mut named.zones));
            table.finish();
            Some(Consent { given_by: read.0?, date: read.1?, zones: read.2 })
        })
        .collect()
}

/// Work on the site besides the steps.
fn site_items(top: &Fields<'_>, named: &mut Named, currency: Option<&Currency>) -> Vec<SiteItem> {
    let mut site_items = Vec::new();
    for table in top.tables("site_item") {
        let zone = table.maybe_id("zone");
        named_zone(&table, zone.as_ref(), &mut named.zones);
        let what = table.choice("what");
        let amount = priced_amount(&table, currency);
        let hours = table.maybe_quantity("hours", &range::TEST_TIME).unwrap_or(WorkTime::ZERO);
        table.finish();
        if let (Some(what), Some(amount)) = (what, amount) {
            site_items.push(SiteItem { what, zone, amount, hours });
        }
    }
    site_items
}

/// When areas were prepared.
fn prepared(top: &Fields<'_>, named: &mut Named) -> Vec<Prepared> {
    let mut prepared = Vec::new();
    for table in top.tables("prepared") {
        let read = (table.id("zone"), table.time("time"), table.text("by"));
        table.finish();
        named_zone(&table, read.0.as_ref(), &mut named.zones);
        if let (Some(zone), Some(time), Some(by)) = read {
            prepared.push(Prepared { zone, time, by });
        }
    }
    prepared
}

/// What somebody decided for cracks and joints.
fn treatments(top: &Fields<'_>, named: &mut Named) -> Vec<DecidedTreatment> {
    let mut treatments = Vec::new();
    for table in top.tables("treatment") {
        let read = (
            table.id("feature"),
            table.choice::<LineTreatment>("treatment"),
            table.text("by"),
            table.text("reason"),
        );
        let on = table.maybe_date("date").or(table.maybe_date("on"));
        table.finish();
        named.features.extend(
            read.0.clone().map(|id| FeatureNamed::of(&table, "feature", id, MustBe::CrackOrJoint)),
        );
        if let (Some(feature), Some(treatment), Some(by), Some(reason)) = read {
            let twice =
                treatments.iter().find(|known: &&DecidedTreatment| known.feature == feature);
            if let Some(known) = twice {
                let found = said!(
                    "decided-twice",
                    mark = feature.to_string(),
                    one = known.treatment,
                    by = &known.by,
                    other = treatment,
                    by_2 = &by
                );
                table.refuse("feature", said!("a-crack-or-joint-decided-once"), found);
            }
            named.decisions.push((DecisionKind::Treatment, table.line));
            treatments.push(DecidedTreatment { feature, treatment, by, reason, on });
        }
    }
    treatments
}

/// Readings that somebody stands by.
fn confirmed(top: &Fields<'_>, named: &mut Named) -> Vec<Confirmed> {
    let mut confirmed = Vec::new();
    for table in top.tables("confirmed") {
        let read = (table.id::<ReadingId>("reading"), table.text("by"), table.date("on"));
        table.finish();
        if let (Some(reading), Some(by), Some(on)) = read {
            named.readings.push((table.line_of("reading"), table.path("reading"), reading.clone()));
            confirmed.push(Confirmed { reading, by, on });
        }
    }
    confirmed
}

/// Areas that must fall to a drain.
fn drainage(top: &Fields<'_>, named: &mut Named) -> Vec<Drainage> {
    let mut drainage = Vec::new();
    for table in top.tables("drainage") {
        let read = (table.id("zone"), table.id("drain"), table.quantity("fall", &range::SHARE));
        table.finish();
        named_zone(&table, read.0.as_ref(), &mut named.zones);
        named.features.extend(
            read.1.clone().map(|id| FeatureNamed::of(&table, "drain", id, MustBe::Obstacle)),
        );
        if let (Some(zone), Some(drain), Some(fall)) = read {
            drainage.push(Drainage { zone, drain, fall });
        }
    }
    drainage
}

/// Hidden damage, priced and signed.
fn change_orders(
    top: &Fields<'_>,
    named: &mut Named,
    currency: Option<&Currency>,
) -> Vec<ChangeOrder> {
    let mut change_orders: Vec<ChangeOrder> = Vec::new();
    for table in top.tables("change_order") {
        let read = (
            table.text("id"),
            table.id("zone"),
            table.text("found"),
            priced_amount(&table, currency),
            table.date("date"),
        );
        let hours = table.maybe_quantity("hours", &range::TEST_TIME).unwrap_or(WorkTime::ZERO);
        table.note("photo", || FormAsked::Name { of: NameOf::Photo });
        let photo = table.maybe_text("photo");
        let proceed = table.flag_or("proceed", false);
        let signed_by = table.maybe_text("signed_by");
        table.finish();
        named_zone(&table, read.1.as_ref(), &mut named.zones);
        if let (Some(id), Some(zone), Some(found), Some(amount), Some(date)) = read {
            if change_orders.iter().any(|known| known.id == id) {
                table.refuse(
                    "id",
                    said!("a-number-that-no-other-change-order-has"),
                    said!("again", name = &id),
                );
            }
            change_orders.push(ChangeOrder {
                id,
                zone,
                found,
                amount,
                hours,
                photo,
                proceed,
                signed_by,
                date,
            });
        }
    }
    change_orders
}

/// Decisions against findings.
fn overrules(top: &Fields<'_>, named: &mut Named, currency: Option<&Currency>) -> Vec<Overrule> {
    let mut overrules = Vec::new();
    for table in top.tables("overrule") {
        let feature = table.maybe_id("feature");
        named.features.extend(
            feature.clone().map(|id| FeatureNamed::of(&table, "feature", id, MustBe::Anything)),
        );
        let licence = table.maybe_text("licence");
        let drawing = table.maybe_text("drawing");
        let by_others = table.maybe_money("by_others", currency);
        let leave = table.flag_or("leave", false);
        if leave && by_others.is_some() {
            table.refuse("leave", said!("left-or-done-by-others"), said!("both-of-the-two"));
        }
        let conditions: Vec<ReleaseCondition> = Binding::ALL
            .iter()
            .flat_map(|binding| {
                let texts = table.texts(binding.key()).into_iter();
                texts.map(|text| ReleaseCondition { binding: *binding, text })
            })
            .collect();
        let read = (
            table.id("zone"),
            table.choice::<Matter>("finding"),
            table.text("reason"),
            table.text("by"),
            table.date("date"),
        );
        table.finish();
        if let Some(code) = read.1.filter(|code| code.is_settled_by_tests()) {
            table.refuse(
                "finding",
                said!("a-finding-that-a-person-word-can-lift"),
                said!("one-that-tests-and-signatures-settle", finding = code.key()),
            );
        }
        named_zone(&table, read.0.as_ref(), &mut named.zones);
        if let (Some(zone), Some(finding), Some(reason), Some(by), Some(date)) = read {
            named.decisions.push((DecisionKind::Overrule, table.line));
            overrules.push(Overrule {
                zone,
                finding,
                feature,
                licence,
                drawing,
                conditions,
                by_others,
                leave,
                reason,
                by,
                date,
            });
        }
    }
    overrules
}

/// What is believed before anybody has tested.
fn chances(table: &Fields<'_>) -> Chances {
    let usual = Chances::default();
    let chance = |field, usual| table.maybe_quantity(field, &range::SHARE).unwrap_or(usual);
    let read = Chances {
        film: chance("film", usual.film),
        deep_oil: chance("deep_oil", usual.deep_oil),
        oil_back: chance("oil_back", usual.oil_back),
        deep_weak_layer: chance("deep_weak_layer", usual.deep_weak_layer),
        weak_slab: chance("weak_slab", usual.weak_slab),
        wet: chance("wet", usual.wet),
        moving_crack: chance("moving_crack", usual.moving_crack),
        leaking_crack: chance("leaking_crack", usual.leaking_crack),
        displaced_crack: chance("displaced_crack", usual.displaced_crack),
        working_joint: chance("working_joint", usual.working_joint),
        old_filler: chance("old_filler", usual.old_filler),
        hollow: chance("hollow", usual.hollow),
        doubtful: chance("doubtful", usual.doubtful),
        grave_hollow: chance("grave_hollow", usual.grave_hollow),
        bars: chance("bars", usual.bars),
        hazardous_film: chance("hazardous_film", usual.hazardous_film),
        deterioration: chance("deterioration", usual.deterioration),
        rough: chance("rough", usual.rough),
        structure: chance("structure", usual.structure),
        item_in_the_way: chance("item_in_the_way", usual.item_in_the_way),
    };
    table.finish();
    read
}

/// What tests cost.
fn test_costs(table: &Fields<'_>, currency: Option<&Currency>) -> TestCosts {
    let usual = TestCosts::default();
    let cost = |field, usual| table.maybe_money(field, currency).unwrap_or(usual);
    let read = TestCosts {
        simple: cost("simple", usual.simple),
        pull_off: cost("pull_off", usual.pull_off),
        moisture: cost("moisture", usual.moisture),
        sounding: cost("sounding", usual.sounding),
        opened_spot: cost("opened_spot", usual.opened_spot),
        gauge: cost("gauge", usual.gauge),
        laboratory: cost("laboratory", usual.laboratory),
        petrography: cost("petrography", usual.petrography),
        locate: cost("locate", usual.locate),
    };
    table.finish();
    read
}

/// Conditions of decisions that somebody has signed.
fn sign_offs(top: &Fields<'_>, named: &mut Named, overrules: &[Overrule]) -> Vec<SignOff> {
    let mut sign_offs = Vec::new();
    for table in top.tables("sign_off") {
        let read =
            (table.id("zone"), table.text("condition"), table.text("by"), table.date("date"));
        table.finish();
        named_zone(&table, read.0.as_ref(), &mut named.zones);
        let (Some(zone), Some(condition), Some(by), Some(date)) = read else { continue };
        let mut asked = overrules
            .iter()
            .filter(|overrule| overrule.zone == zone)
            .flat_map(|overrule| &overrule.conditions)
            .filter(|held| held.binding == Binding::SignFirst);
        if asked.clone().all(|held| held.text != condition) {
            let asked: Vec<String> =
                asked.by_ref().map(|held| format!("`{}`", held.text)).collect();
            let expected = if asked.is_empty() {
                said!("an-overrule-of-this-zone-with-sign-first")
            } else {
                said!("one-of", values = asked.join(", "))
            };
            table.refuse("condition", expected, format!("`{condition}`"));
            continue;
        }
        let released = overrules.iter().filter(|overrule| {
            overrule.zone == zone && overrule.conditions.iter().any(|held| held.text == condition)
        });
        if let Some(first) = released.map(|overrule| overrule.date).min()
            && date < first
        {
            table.refuse(
                "date",
                said!("a-day-after-it-was-asked-for", first = first.to_string()),
                date.to_string(),
            );
            continue;
        }
        sign_offs.push(SignOff { zone, condition, by, date });
    }
    sign_offs
}

/// Limits that the user sets otherwise.
fn limits(table: &Fields<'_>) -> Limits {
    let usual = Limits::default();
    let length = |field, range| table.maybe_quantity(field, range);
    let year = |field| table.maybe_whole(field, 1850, 2200).map(|year| year as i16);
    let read = Limits {
        fine_crack_width: usual
            .fine_crack_width
            .changed(length("fine_crack_width", &range::CRACK_WIDTH)),
        wide_crack_width: usual
            .wide_crack_width
            .changed(length("wide_crack_width", &range::CRACK_WIDTH)),
        crack_movement: usual.crack_movement.changed(length("crack_movement", &range::CRACK_WIDTH)),
        gauge_interval: usual
            .gauge_interval
            .changed(table.maybe_quantity("gauge_interval", &range::TEST_TIME)),
        light_scaling: usual.light_scaling.changed(length("light_scaling", &range::DEPTH)),
        medium_scaling: usual.medium_scaling.changed(length("medium_scaling", &range::DEPTH)),
        severe_scaling: usual.severe_scaling.changed(length("severe_scaling", &range::DEPTH)),
        repair_crack_width: usual
            .repair_crack_width
            .changed(length("repair_crack_width", &range::CRACK_WIDTH)),
        hairline_width: usual.hairline_width.changed(length("hairline_width", &range::CRACK_WIDTH)),
        replace_crack_width: usual
            .replace_crack_width
            .changed(length("replace_crack_width", &range::CRACK_WIDTH)),
        least_age: usual.least_age.changed(table.maybe_quantity("least_age", &range::TEST_TIME)),
        swelling_humidity: usual
            .swelling_humidity
            .changed(table.maybe_quantity("swelling_humidity", &range::RELATIVE_HUMIDITY)),
        low_spot_left: usual.low_spot_left.changed(length("low_spot_left", &range::DEPTH)),
        clear_of_items: usual.clear_of_items.changed(length("clear_of_items", &range::DEPTH)),
        lip_height: usual.lip_height.changed(length("lip_height", &range::DEPTH)),
        absorbed_within: usual
            .absorbed_within
            .changed(table.maybe_quantity("absorbed_within", &range::TEST_TIME)),
        deepest_weak_layer: usual
            .deepest_weak_layer
            .changed(length("deepest_weak_layer", &range::DEPTH)),
        thin_film: usual.thin_film.changed(length("thin_film", &range::DEPTH)),
        surface_oil: usual.surface_oil.changed(length("surface_oil", &range::DEPTH)),
        unmeasured_weak_layer: usual
            .unmeasured_weak_layer
            .changed(length("unmeasured_weak_layer", &range::DEPTH)),
        sounded_share: usual
            .sounded_share
            .changed(table.maybe_quantity("sounded_share", &range::SHARE)),
        full_depth_share: usual
            .full_depth_share
            .changed(table.maybe_quantity("full_depth_share", &range::SHARE)),
        repair_share: usual
            .repair_share
            .changed(table.maybe_quantity("repair_share", &range::SHARE)),
        uneven_absorption: usual.uneven_absorption.changed(table.maybe_number(
            "uneven_absorption",
            1.0,
            100.0,
        )),
        most_chloride: usual
            .most_chloride
            .changed(table.maybe_quantity("most_chloride", &range::CHLORIDE)),
        shallow_repair_depth: usual
            .shallow_repair_depth
            .changed(length("shallow_repair_depth", &range::DEPTH)),
        lead_presumed_before: usual.lead_presumed_before.changed(year("lead_presumed_before")),
        asbestos_presumed_until: usual
            .asbestos_presumed_until
            .changed(year("asbestos_presumed_until")),
    };
    let ascending = [
        (
            "fine_crack_width",
            read.fine_crack_width.value,
            "wide_crack_width",
            read.wide_crack_width.value,
        ),
        (
            "hairline_width",
            read.hairline_width.value,
            "replace_crack_width",
            read.replace_crack_width.value,
        ),
        (
            "repair_crack_width",
            read.repair_crack_width.value,
            "replace_crack_width",
            read.replace_crack_width.value,
        ),
        ("light_scaling", read.light_scaling.value, "medium_scaling", read.medium_scaling.value),
        ("medium_scaling", read.medium_scaling.value, "severe_scaling", read.severe_scaling.value),
    ];
    for (low, least, high, most) in ascending {
        if least > most {
            let field = if table.has(low) { low } else { high };
            table.refuse(
                field,
                said!("no-more-than", low = low, high = high),
                said!(
                    "two-lengths-in-mm",
                    least = decimal(least.millimetres(), 2),
                    most = decimal(most.millimetres(), 2)
                ),
            );
        }
    }
    let above_nothing = [
        ("gauge_interval", read.gauge_interval.value.hours()),
        ("crack_movement", read.crack_movement.value.metres()),
        ("sounded_share", read.sounded_share.value.ratio()),
        ("full_depth_share", read.full_depth_share.value.ratio()),
        ("repair_share", read.repair_share.value.ratio()),
        ("deepest_weak_layer", read.deepest_weak_layer.value.metres()),
        ("unmeasured_weak_layer", read.unmeasured_weak_layer.value.metres()),
    ];
    for (field, value) in above_nothing {
        if value <= 0.0 {
            table.refuse(field, said!("more-than-nothing"), said!("nothing"));
        }
    }
    table.finish();
    read
}

/// One of `length`, `area`, `volume` or `pieces`, with the price of one unit of it.
fn priced_amount(table: &Fields<'_>, currency: Option<&Currency>) -> Option<PricedAmount> {
    const WAYS: [&str; 4] = ["pieces", "length", "area", "volume"];
    let given: Vec<&str> = WAYS.into_iter().filter(|field| table.has(field)).collect();
    let amount = |field: &str| match field {
        "length" => Some(PricedAmount::Length(
            table.maybe_quantity("length", &range::DISTANCE)?,
            table.money("price", currency)?,
        )),
        "area" => Some(PricedAmount::Area(
            table.maybe_quantity("area", &range::AREA)?,
            table.money("price", currency)?,
        )),
        "volume" => Some(PricedAmount::Volume(
            table.maybe_quantity("volume", &range::VOLUME)?,
            table.money("price", currency)?,
        )),
        _ => Some(PricedAmount::Pieces(
            table.maybe_whole("pieces", 1, 100_000)? as u32,
            table.money("price", currency)?,
        )),
    };
    if table.is_noting() {
        for field in WAYS {
            let _ = amount(field);
        }
        let prices = [
            money_of::<Money>(),
            money_of::<MoneyPerLength>(),
            money_of::<MoneyPerArea>(),
            money_of::<MoneyPerVolume>(),
        ];
        prices.into_iter().for_each(|form| table.note("price", || form));
        return None;
    }
    let [field] = given.as_slice() else {
        table.refuse(
            "pieces",
            said!("one-of-length-area-volume-or-pieces"),
            if given.is_empty() { said!("none") } else { given.join(", ").into() },
        );
        return None;
    };
    amount(field)
}

fn weights_of(read: Option<(Option<MoneyPerHour>, Option<MoneyPerHour>)>, rates: Rates) -> Weights {
    let usual = Weights::usual(rates.labour);
    let (crew, dusty) = read.unwrap_or_default();
    Weights {
        crew_hour: crew.unwrap_or(usual.crew_hour),
        dusty_hour: dusty.unwrap_or(usual.dusty_hour),
    }
}

/// Notes the zone that a table names, so that it can be looked for on the plan.
fn named_zone(table: &Fields<'_>, zone: Option<&ZoneId>, named: &mut Vec<(u32, String, ZoneId)>) {
    if let Some(zone) = zone {
        named.push((table.line_of("zone"), table.path("zone"), zone.clone()));
    }
}

fn zones(table: &Fields<'_>, named: &mut Vec<(u32, String, ZoneId)>) -> Vec<ZoneId> {
    table.note_many("zones", true, || FormAsked::Name { of: NameOf::Zone });
    table.must("zones");
    let listed = table.texts("zones");
    if listed.is_empty() {
        table.refuse("zones", said!("a-list-of-zones"), said!("none"));
    }
    let mut zones = Vec::new();
    for text in listed {
        match ZoneId::new(&text) {
            Some(id) => {
                named.push((table.line_of("zones"), table.path("zones"), id.clone()));
                zones.push(id);
            }
            None => table.refuse("zones", said!("names-of-zones"), format!("`{text}`")),
        }
    }
    zones
}

fn slab(table: Fields<'_>) -> Slab {
    let year = |field| table.maybe_whole(field, 1850, 2200).map(|year| year as i16);
    let slab = Slab {
        thickness: table.maybe_quantity("thickness", &range::SLAB_THICKNESS),
        year_cast: year("year_cast"),
        cast: table.maybe_date("cast"),
        support: table.choice_or("support", Support::Unknown),
        post_tensioned: table.choice_or("post_tensioned", Answer::Unknown),
        vapour_retarder: table.choice_or("vapour_retarder", Presence::Unknown),
        setting: table.choice("setting").unwrap_or(Setting::Indoor),
        past_damage: table.choice_or("past_damage", Answer::Unknown),
        freeze_thaw: table.choice_or("freeze_thaw", Answer::Unknown),
        embedded_items: table.choice_or("embedded_items", Answer::Unknown),
        building: table.choice_or("building", Building::Unknown),
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
        let expected = said!("from-to", low = "1 h", high = "24 h");
        table.refuse("working_day", expected, format!("{day:?}"));
    }
    let read = (
        table.money("labour", currency),
        table.money("disposal", currency),
        table.money("liquid_disposal", currency),
        table.money("trip", currency),
    );
    let crew = table.maybe_whole("crew", 1, 40).map_or(Rates::USUAL_CREW, |crew| crew as u8);
    table.finish();
    Some(Rates {
        labour: read.0?,
        disposal: read.1?,
        liquid_disposal: read.2?,
        trip: read.3?,
        working_day: day,
        crew,
    })
}
