//! A job folder to begin with: the files of a survey of one area, each field with what it
//! means. What the reader makes of them is that survey again.

use std::fmt::Write as _;

use serde_json::{Value, json};
use tooth_job::extent::PatchRule;
use tooth_job::survey::{
    Answer, Building, Contaminant, CrackMovement, Currency, Dust, Exposure, Feature, FilmCondition,
    FilmDecided, FilmKind, FilmWay, GhostKind, JobFacts, Measured, Place, Power, Presence,
    PricedAmount, Seen, Setting, SiteItem, SmallDamage, Support, SurfaceState, Survey, System,
    SystemClass, ThicknessFrom, Zone,
};
use tooth_measure::choice::Choice;
use tooth_measure::say::{Said, said};
use tooth_measure::{Length, Point, Quantity, UnitSystem};
use tooth_words::Words;

use super::plan::KINDS;
use super::readings::COLUMNS;

/// A comment begins here, where the line leaves room.
const COMMENT_AT: usize = 44;
/// Figures of a number that a person would type.
const FIGURES: usize = 6;

/// Names and texts of the files of a folder, in the order in which a person reads them.
#[must_use]
pub fn begun(survey: &Survey, rule: PatchRule, words: Words) -> Vec<(&'static str, String)> {
    let walls = survey.features.iter().filter(|mark| mark.seen == Seen::Wall);
    let along: Length = walls
        .filter_map(|wall| match &wall.place {
            Place::Line(path) => Some(path.length()),
            Place::Spot(_) | Place::Patch(_) => None,
        })
        .sum();
    let round: Length = survey.zones.iter().map(|zone| zone.outline.perimeter()).sum();
    let open = along < round * 0.999;
    vec![
        ("README.md", read_me(words)),
        ("job.toml", job(survey, rule, words)),
        ("plan.geojson", plan(survey, words, open)),
        ("systems.toml", systems(survey, words)),
        ("readings.csv", COLUMNS.join(",") + "\n"),
    ]
}

/// A file of fields, each with its comment.
struct Lines {
    words: Words,
    text: String,
}

impl Lines {
    fn new(words: Words, head: &Said) -> Self {
        let mut lines = Self { words, text: String::new() };
        lines.comment(head);
        lines
    }

    fn comment(&mut self, said: &Said) {
        for line in self.words.say(said).lines() {
            let _ = writeln!(self.text, "# {line}");
        }
    }

    fn table(&mut self, heading: &str) {
        let _ = writeln!(self.text, "\n{heading}");
    }

    fn field(&mut self, name: &str, value: &str, what: Said) {
        self.line(format!("{name} = {value}"), what);
    }

    /// A field that is not set: as it would look.
    fn open(&mut self, name: &str, value: &str, what: Said) {
        self.line(format!("# {name} = {value}"), what);
    }

    /// A field that is set where there is a value.
    fn maybe(&mut self, name: &str, value: Option<String>, example: &str, what: Said) {
        match value {
            Some(value) => self.field(name, &value, what),
            None => self.open(name, example, what),
        }
    }

    fn choice<C: Choice>(&mut self, name: &str, value: C, what: Said) {
        let keys = C::key_list();
        self.field(name, &text(value.key()), said!("field-one-of", what = what, keys = keys));
    }

    fn line(&mut self, field: String, what: Said) {
        let what = self.words.say(&what);
        let gap = COMMENT_AT.saturating_sub(field.chars().count()).max(2);
        let _ = writeln!(self.text, "{field}{}# {what}", " ".repeat(gap));
    }
}

/// A text of TOML.
fn text(of: &str) -> String {
    toml::Value::String(of.to_owned()).to_string()
}

/// A number to the figures that a person types.
fn short(value: f64) -> f64 {
    format!("{value:.*e}", FIGURES - 1).parse().unwrap_or(value)
}

/// A unit's sign and what a quantity is in it.
type InUnit<Q> = (&'static str, fn(Q) -> f64);

/// A quantity in the first of these units in which a few figures say it in full, else in the
/// last with all of them.
fn exact<Q: Quantity>(value: Q, units: &[InUnit<Q>], sign: &str) -> String {
    let said = |number: f64, unit: &str| {
        let read = Q::parse(&format!("{number} {unit}"));
        read.is_ok_and(|read| read == value)
    };
    let short = units.iter().find_map(|(unit, get)| {
        let number = short(get(value));
        said(number, unit).then(|| format!("{number} {sign}{unit}"))
    });
    let (unit, get) = units.last().copied().unwrap_or(("", Q::si));
    text(short.unwrap_or_else(|| format!("{} {sign}{unit}", get(value))).trim())
}

fn length(of: Length) -> String {
    exact(
        of,
        &[
            ("in", Length::inches),
            ("mil", Length::mils),
            ("ft", Length::feet),
            ("mm", Length::millimetres),
            ("m", Length::metres),
        ],
        "",
    )
}

fn film(of: Length) -> String {
    exact(of, &[("mil", Length::mils), ("mm", Length::millimetres), ("m", Length::metres)], "")
}

fn share(of: tooth_measure::Fraction) -> String {
    exact(of, &[("%", tooth_measure::Fraction::percent)], "")
}

fn time(of: tooth_measure::WorkTime) -> String {
    use tooth_measure::WorkTime;
    exact(of, &[("min", WorkTime::minutes), ("h", WorkTime::hours)], "")
}

fn hours(of: tooth_measure::WorkTime) -> String {
    exact(of, &[("h", tooth_measure::WorkTime::hours)], "")
}

fn money(of: tooth_measure::Money, currency: &Currency) -> String {
    text(&format!("{} {}", of.amount(), currency.code()))
}

/// `job.toml`.
fn job(survey: &Survey, rule: PatchRule, words: Words) -> String {
    let facts = &survey.facts;
    let mut to = Lines::new(words, &said!("field-job-head"));
    to.field("schema", "1", said!("field-schema"));
    to.field("name", &text(&facts.name), said!("field-name"));
    to.field("contractor", &text(&facts.contractor), said!("field-contractor"));
    let us = facts.units == UnitSystem::UsCustomary;
    to.field("units", if us { "\"us\"" } else { "\"si\"" }, said!("field-units"));
    to.choice("language", facts.language, said!("field-language"));
    to.open("crew_language", "\"es\"", said!("field-crew-language"));
    to.field("currency", &text(facts.currency.code()), said!("field-currency"));
    to.choice("patch_rule", rule, said!("field-patch-rule"));
    let owned = facts.machines_owned.iter().map(|machine| text(machine)).collect::<Vec<_>>();
    to.field("machines_owned", &format!("[{}]", owned.join(", ")), said!("field-machines-owned"));
    to.table("[client]");
    to.field("name", &text(&facts.client.name), said!("field-client-name"));
    to.field("site", &text(&facts.client.site), said!("field-site"));
    slab(&mut to, facts);
    constraints(&mut to, facts);
    prices(&mut to, facts);
    uncertainty(&mut to, facts);
    for item in &facts.site_items {
        site_item(&mut to, item, facts);
    }
    for decided in &facts.film_decided {
        film_decided(&mut to, decided);
    }
    to.text.push('\n');
    to.comment(&said!("field-job-more"));
    to.text
}

fn slab(to: &mut Lines, facts: &JobFacts) {
    let slab = &facts.slab;
    to.table("[slab]");
    to.choice::<Setting>("setting", slab.setting, said!("field-setting"));
    to.maybe("thickness", slab.thickness.map(length), "\"4 in\"", said!("field-thickness"));
    let year = slab.year_cast.map(|year| year.to_string());
    to.maybe("year_cast", year, "1998", said!("field-year-cast"));
    to.choice::<Support>("support", slab.support, said!("field-support"));
    to.choice::<Answer>("post_tensioned", slab.post_tensioned, said!("field-post-tensioned"));
    to.choice::<Presence>("vapour_retarder", slab.vapour_retarder, said!("field-vapour-retarder"));
    to.choice::<Answer>("freeze_thaw", slab.freeze_thaw, said!("field-freeze-thaw"));
    to.choice::<Answer>("past_damage", slab.past_damage, said!("field-past-damage"));
    to.choice::<Answer>("embedded_items", slab.embedded_items, said!("field-embedded-items"));
    to.choice::<Building>("building", slab.building, said!("field-building"));
    let year = slab.oldest_coating_year.map(|year| year.to_string());
    to.maybe("oldest_coating_year", year, "2005", said!("field-oldest-coating-year"));
}

fn constraints(to: &mut Lines, facts: &JobFacts) {
    let site = &facts.constraints;
    to.table("[constraints]");
    to.choice::<Dust>("dust", site.dust, said!("field-dust"));
    to.field("water", &site.water.to_string(), said!("field-water"));
    let engines = site.engines_indoors.to_string();
    to.field("engines_indoors", &engines, said!("field-engines-indoors"));
    to.field("loud_work", &site.loud_work.to_string(), said!("field-loud-work"));
    to.choice::<Power>("power", site.power, said!("field-power"));
    to.open("door_width", "\"36 in\"", said!("field-door-width"));
    to.open("slope", "\"2 %\"", said!("field-slope"));
}

fn prices(to: &mut Lines, facts: &JobFacts) {
    use tooth_measure::{MoneyPerHour, MoneyPerMass, MoneyPerVolume};
    let (rates, rules, currency) = (&facts.rates, &facts.money, &facts.currency);
    let sign = currency.code();
    let us = facts.units == UnitSystem::UsCustomary;
    to.table("[rates]");
    let hourly: &[InUnit<MoneyPerHour>] = &[("/h", MoneyPerHour::per_hour)];
    to.field("labour", &exact(rates.labour, hourly, sign), said!("field-labour"));
    let pound: (&str, fn(MoneyPerMass) -> f64) = ("/lb", MoneyPerMass::per_pound);
    let kilogram: (&str, fn(MoneyPerMass) -> f64) = ("/kg", MoneyPerMass::per_kilogram);
    let mass = if us { [pound, kilogram] } else { [kilogram, kilogram] };
    to.field("disposal", &exact(rates.disposal, &mass, sign), said!("field-disposal"));
    let gallon: (&str, fn(MoneyPerVolume) -> f64) = ("/gal", MoneyPerVolume::per_gallon);
    let litre: (&str, fn(MoneyPerVolume) -> f64) = ("/L", MoneyPerVolume::per_litre);
    let cubic: (&str, fn(MoneyPerVolume) -> f64) = ("/m3", MoneyPerVolume::per_cubic_metre);
    let volume = if us { [gallon, litre, cubic] } else { [litre, gallon, cubic] };
    let liquid = exact(rates.liquid_disposal, &volume, sign);
    to.field("liquid_disposal", &liquid, said!("field-liquid-disposal"));
    to.field("trip", &money(rates.trip, currency), said!("field-trip"));
    to.field("working_day", &hours(rates.working_day), said!("field-working-day"));
    to.field("crew", &rates.crew.to_string(), said!("field-crew"));
    to.table("[money]");
    to.field("overhead", &share(rules.overhead), said!("field-overhead"));
    to.field("margin", &share(rules.margin), said!("field-margin"));
    let (job, trip) = (rules.least_for_a_job, rules.least_for_a_trip);
    to.field("least_for_a_job", &money(job, currency), said!("field-least-for-a-job"));
    to.field("least_for_a_trip", &money(trip, currency), said!("field-least-for-a-trip"));
}

fn uncertainty(to: &mut Lines, facts: &JobFacts) {
    let held = &facts.uncertainty;
    to.table("[uncertainty]");
    let mut number = |name: &str, value: f64, what| to.field(name, &format!("{value:?}"), what);
    let median = held.hidden_growth_median;
    number("hidden_growth_median", median, said!("field-growth-median"));
    number("hidden_growth_sigma", held.hidden_growth_sigma, said!("field-growth-sigma"));
    let together = held.hidden_growth_correlation;
    number("hidden_growth_correlation", together, said!("field-growth-correlation"));
    number("pace_correlation", held.pace_correlation, said!("field-pace-correlation"));
    let prices = held.material_price_sigma;
    number("material_price_sigma", prices, said!("field-material-price-sigma"));
    number("memory_sigma", held.memory_sigma, said!("field-memory-sigma"));
    to.field("rework_chance", &share(held.rework_chance), said!("field-rework-chance"));
    to.field("rework_share", &share(held.rework_share), said!("field-rework-share"));
}

fn site_item(to: &mut Lines, item: &SiteItem, facts: &JobFacts) {
    use tooth_measure::{Area, MoneyPerArea};
    let currency = &facts.currency;
    let sign = currency.code();
    to.table("[[site_item]]");
    to.choice("what", item.what, said!("field-site-item"));
    if let Some(zone) = &item.zone {
        to.field("zone", &text(zone.as_str()), said!("field-site-item-zone"));
    }
    match item.amount {
        PricedAmount::Pieces(count, price) => {
            to.field("pieces", &count.to_string(), said!("field-pieces"));
            to.field("price", &money(price, currency), said!("field-piece-price"));
        }
        PricedAmount::Area(area, price) => {
            let areas: &[InUnit<Area>] = &[("ft2", Area::square_feet), ("m2", Area::square_metres)];
            to.field("area", &exact(area, areas, ""), said!("field-item-area"));
            let prices: &[InUnit<MoneyPerArea>] =
                &[("/ft2", MoneyPerArea::per_square_foot), ("/m2", MoneyPerArea::per_square_metre)];
            to.field("price", &exact(price, prices, sign), said!("field-area-price"));
        }
        PricedAmount::Length(of, price) => {
            use tooth_measure::MoneyPerLength;
            let prices: &[InUnit<MoneyPerLength>] =
                &[("/ft", MoneyPerLength::per_foot), ("/m", MoneyPerLength::per_metre)];
            to.field("length", &length(of), said!("field-item-length"));
            to.field("price", &exact(price, prices, sign), said!("field-length-price"));
        }
        PricedAmount::Volume(of, price) => {
            use tooth_measure::{MoneyPerVolume, Volume};
            let volumes: &[InUnit<Volume>] =
                &[("gal", Volume::gallons), ("L", Volume::litres), ("m3", Volume::cubic_metres)];
            to.field("volume", &exact(of, volumes, ""), said!("field-item-volume"));
            let prices: &[InUnit<MoneyPerVolume>] = &[
                ("/gal", MoneyPerVolume::per_gallon),
                ("/L", MoneyPerVolume::per_litre),
                ("/m3", MoneyPerVolume::per_cubic_metre),
            ];
            to.field("price", &exact(price, prices, sign), said!("field-volume-price"));
        }
    }
    to.field("hours", &time(item.hours), said!("field-item-hours"));
}

fn film_decided(to: &mut Lines, decided: &FilmDecided) {
    to.table("[[film_decision]]");
    to.field("zone", &text(decided.zone.as_str()), said!("field-film-decision-zone"));
    to.choice::<FilmWay>("way", decided.way, said!("field-film-way"));
    to.field("by", &text(&decided.by), said!("field-decided-by"));
    to.field("date", &decided.on.to_string(), said!("field-decided-on"));
    to.field("reason", &text(&decided.reason), said!("field-decided-reason"));
}

/// `systems.toml`.
fn systems(survey: &Survey, words: Words) -> String {
    let mut to = Lines::new(words, &said!("field-systems-head"));
    for system in &survey.systems {
        one_system(&mut to, system);
    }
    to.text
}

fn one_system(to: &mut Lines, system: &System) {
    to.table("[[system]]");
    to.field("id", &text(system.id.as_str()), said!("field-system-id"));
    to.field("name", &text(&system.name), said!("field-system-name"));
    to.choice::<SystemClass>("class", system.class, said!("field-class"));
    to.field("sheet", &text(&system.sheet), said!("field-sheet"));
    to.field("see_through", &system.see_through.to_string(), said!("field-see-through"));
    to.field("thickness", &film(system.thickness), said!("field-system-thickness"));
    to.choice::<ThicknessFrom>("thickness_from", system.thickness_from, said!("field-from"));
    to.field("needs_lime", &system.needs_lime.to_string(), said!("field-needs-lime"));
    to.choice::<Answer>("acid_etch", system.acid_etch, said!("field-acid-etch"));
    let agreed = system.agreed_exposure.map(|agreed| text(agreed.key()));
    let what =
        said!("field-one-of", what = said!("field-agreed-exposure"), keys = Exposure::key_list());
    to.maybe("agreed_exposure", agreed, "\"cream\"", what);
    let guide = system.class.guide_profile();
    let guide = format!("[{}, {}]", guide.least().chip(), guide.most().chip());
    to.open("profile", &guide, said!("field-profile"));
    to.open("mechanical_preparation", "\"no\"", said!("field-mechanical"));
    to.open("absorbs_within", "\"60 s\"", said!("field-absorbs-within"));
    to.open("least_pull_off_strength", "\"200 psi\"", said!("field-pull-off"));
    to.open("most_in_slab_humidity", "\"80 %\"", said!("field-humidity"));
    to.open("most_moisture_emission", "\"5 lb/1000ft2/24h\"", said!("field-emission"));
    to.open("ph", "[\"7 pH\", \"11 pH\"]", said!("field-ph"));
    to.open("surface_temperature", "[\"50 F\", \"90 F\"]", said!("field-surface-temperature"));
    to.open("dew_point_margin", "\"5 F\"", said!("field-dew-point-margin"));
    to.open("most_air_humidity", "\"85 %\"", said!("field-air-humidity"));
    to.open("dry_before", "\"24 h\"", said!("field-dry-before"));
    to.open("dry_after", "\"24 h\"", said!("field-dry-after"));
    to.open("least_window", "\"4 h\"", said!("field-least-window"));
    to.open("widest_crack", "\"1/32 in\"", said!("field-widest-crack"));
    to.open("least_age", "\"28 d\"", said!("field-least-age"));
}

/// `plan.geojson`: a thing a line.
fn plan(survey: &Survey, words: Words, open: bool) -> String {
    let si = survey.facts.units == UnitSystem::Si;
    let drawing = Drawing { words, si };
    let zones = survey.zones.iter().map(|zone| drawing.zone(zone, open));
    let marks = survey.features.iter().map(|feature| drawing.mark(feature));
    let things: Vec<String> = zones.chain(marks).map(|thing| thing.to_string()).collect();
    let name = Value::String(survey.facts.name.clone());
    format!(
        "{{\n\"type\": \"FeatureCollection\",\n\"name\": {name},\n\"units\": \"{}\",\n\
         \"north_degrees\": 0,\n\"features\": [\n{}\n]\n}}\n",
        if si { "m" } else { "ft" },
        things.join(",\n")
    )
}

struct Drawing {
    words: Words,
    si: bool,
}

impl Drawing {
    fn coordinate(&self, of: Length) -> f64 {
        let number = if self.si { of.metres() } else { of.feet() };
        (number * 1e6).round() / 1e6
    }

    fn point(&self, at: Point) -> Value {
        json!([self.coordinate(at.x), self.coordinate(at.y)])
    }

    fn place(&self, place: &Place) -> Value {
        let points = |of: &[Point]| of.iter().map(|at| self.point(*at)).collect::<Vec<_>>();
        match place {
            Place::Spot(at) => json!({"type": "Point", "coordinates": self.point(*at)}),
            Place::Line(path) => {
                json!({"type": "LineString", "coordinates": points(&path.points())})
            }
            Place::Patch(outline) => {
                let mut ring = points(&outline.corners());
                ring.extend(ring.first().cloned());
                json!({"type": "Polygon", "coordinates": [ring]})
            }
        }
    }

    fn zone(&self, zone: &Zone, open: bool) -> Value {
        let mut properties = json!({
            "id": zone.id.as_str(),
            "kind": "zone",
            "name": zone.name,
            "system": zone.system.as_str(),
        });
        if let Some(kept) = zone.kept {
            properties["texture_stays"] = Value::from(kept.key());
        }
        if open {
            properties["open_border"] = Value::Bool(true);
        }
        let geometry = self.place(&Place::Patch(zone.outline.clone()));
        json!({"type": "Feature", "properties": properties, "geometry": geometry})
    }

    fn mark(&self, feature: &Feature) -> Value {
        let mut properties = json!({ "id": feature.id.as_str(), "kind": feature.seen.kind() });
        let mut say = |field: &str, value: &str| properties[field] = Value::from(value);
        let bare = |written: String| written.trim_matches('"').to_owned();
        let depth = |say: &mut dyn FnMut(&str, &str), field: &str, of: Option<Length>| {
            if let Some(of) = of {
                say(field, &bare(film(of)));
            }
        };
        match &feature.seen {
            Seen::Film { kind, thickness, condition, .. } => {
                say("film", FilmKind::key(*kind));
                say("condition", FilmCondition::key(*condition));
                depth(&mut say, "thickness", *thickness);
            }
            Seen::Surface { state, depth: deep } => {
                say("state", state.key());
                depth(&mut say, "depth", *deep);
            }
            Seen::Stain { kind, depth: deep } => {
                say("stain", kind.key());
                depth(&mut say, "depth", *deep);
            }
            Seen::Hollow { sure, kind, depth: deep } => {
                say("certainty", sure.key());
                say("hollow_kind", kind.key());
                depth(&mut say, "depth", *deep);
            }
            Seen::Crack { width, movement, leaking, displaced, .. } => {
                say("width", &bare(length(*width)));
                say("movement", CrackMovement::key(*movement));
                say("leaking", leaking.key());
                say("displaced", displaced.key());
            }
            // A folder is begun with no other marks.
            _ => {}
        }
        say("note", &self.words.say(&feature.note));
        let geometry = self.place(&feature.place);
        json!({"type": "Feature", "properties": properties, "geometry": geometry})
    }
}

/// What cannot stand as a comment in drawing and table.
fn read_me(words: Words) -> String {
    let code = |names: &[&str]| {
        names.iter().map(|name| format!("`{name}`")).collect::<Vec<_>>().join(", ")
    };
    let mut text = words.say(&said!("folder-head"));
    for part in [
        said!(
            "folder-plan",
            kinds = code(KINDS),
            conditions = FilmCondition::key_list(),
            states = SurfaceState::key_list(),
            stains = Contaminant::key_list(),
            ghosts = GhostKind::key_list(),
            damages = SmallDamage::key_list()
        ),
        said!("folder-readings", kinds = code(Measured::KINDS)),
        said!("folder-more"),
    ] {
        text.push_str("\n\n");
        text.push_str(&words.say(&part));
    }
    text.push('\n');
    text
}
