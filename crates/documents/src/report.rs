//! The condition report: what was found, what is not known, what is proposed, what
//! it costs.

use serde_json::{Value, json};
use tooth_job::ambient;
use tooth_job::assessment::{FindingState, Recommendation, ZoneAssessment};
use tooth_job::cautions;
use tooth_job::plan::{Planned, Scope, Stage, Step, ZonePlan};
use tooth_job::survey::{Binding, Reading, Seen, Setting};
use tooth_measure::say::{Joint, Said, both, decimal, hours, listed, said, word};
use tooth_measure::show::Show as _;
use tooth_measure::{Length, Money, Source, UnitSystem};
use tooth_sounding::{Class, hit};
use tooth_words::survey::{self as tell, letter};
use tooth_words::texture;

use crate::Issue;
use crate::drawing::{Focus, plan_drawing};
use crate::price::price_curve;
use crate::sounding::{sounding_map, sounding_spectrum, sounding_strip};
use crate::texture::{level_bars, texture_relief};
use crate::typeset::{Document, TypesetError, typeset as set};

const TEMPLATE: &str = include_str!("../templates/report.typ");

pub(crate) fn typeset(issue: &Issue<'_>) -> Result<Document, TypesetError> {
    let drawing = plan_drawing(
        issue.survey,
        issue.patch_rule,
        issue.words,
        Focus::Whole,
        (Length::from_millimetres(180.0), Length::from_millimetres(150.0)),
    );
    let mut pictures = vec![("plan.svg".to_owned(), drawing.svg.into_bytes())];
    let mut photos = Vec::new();
    for feature in &issue.survey.features {
        let Seen::Photo { file, light } = &feature.seen else {
            continue;
        };
        let Some((_, bytes)) = issue.photos.iter().find(|(name, _)| name == file) else {
            continue;
        };
        let name = format!("photo-{}", photos.len());
        pictures.push((name.clone(), bytes.clone()));
        photos.push(json!({
            "file": name,
            "format": if bytes.starts_with(b"\x89PNG") { "png" } else { "jpg" },
            "id": feature.id.as_str(),
            "caption": feature.note,
            "light": light,
        }));
    }
    pictures.push(("curve.svg".to_owned(), price_curve(issue.estimate, issue.words).into_bytes()));
    let soundings = soundings(issue, &mut pictures);
    let scans = scans(issue, &mut pictures);
    let data = json!({
        "soundings": soundings,
        "scans": scans,
        "chips": issue.survey.chips.as_ref().map(texture::chips),
        "head": head(issue),
        "zones": zones(issue),
        "machines": issue.plan.machines.iter().map(|m| json!({
            "name": m.name,
            "zones": m.zones.iter().map(|z| zone_letter(issue, z.as_str())).collect::<Vec<_>>().join(", "),
            "owned": m.owned,
        })).collect::<Vec<_>>(),
        "price": price(issue),
        "quantities": quantities(issue),
        "cautions": cautions::of_plan(issue.survey, issue.plan).iter().map(|c| json!({
            "hazard": word(c.hazard), "text": c.text, "source": source(c.source),
        })).collect::<Vec<_>>(),
        "defer": cautions::defer(),
        "windows": windows(issue),
        "photos": photos,
        "features": issue.survey.features.iter().filter(|f| !matches!(f.seen, Seen::Photo { .. } | Seen::Wall)).map(|f| json!({
            "id": f.id.as_str(), "what": tell::mark(f), "note": f.note,
        })).collect::<Vec<_>>(),
        "readings": readings(issue),
    });
    set(TEMPLATE, data, pictures, issue.words)
}

/// What recordings of taps say, with their pictures. The items that ASTM D4580 asks to
/// be reported (from memory: location, areas, share of the whole, conditions) stand with
/// the plan and the readings.
fn soundings(issue: &Issue<'_>, pictures: &mut Vec<(String, Vec<u8>)>) -> Vec<Value> {
    let units = issue.words.units;
    issue
        .survey
        .soundings
        .iter()
        .enumerate()
        .map(|(number, survey)| {
            let sounding = &survey.sounding;
            let mut picture = |what: &str, svg: String| {
                let name = format!("sounding-{number}-{what}.svg");
                pictures.push((name.clone(), svg.into_bytes()));
                name
            };
            let map = sounding_map(sounding, issue.words).map(|svg| picture("map", svg));
            let strip = picture("strip", sounding_strip(sounding, issue.words));
            let spectrum = picture("spectrum", sounding_spectrum(sounding, issue.words));
            let unheard = sounding.taps.iter().filter(|tap| tap.time.is_none()).count();
            let field = sounding.field.as_ref();
            let areas: Vec<Value> = field
                .filter(|_| survey.is_established())
                .map_or(&[][..], |field| &field.areas)
                .iter()
                .enumerate()
                .map(|(k, area)| {
                    json!({
                        "name": said!("hollow-and-mark", number = k + 1, name = survey.name.as_str()),
                        "area": tooth_words::sounding::area(area),
                        "taps": area.taps.len(),
                    })
                })
                .collect();
            let missed: Vec<Value> = field
                .into_iter()
                .flat_map(|field| {
                    [0.5, 0.75, 1.0, 1.25].map(|share| {
                        let across = field.pitch * share;
                        let touched = hit::chance_touched(across / 2.0, field.pitch);
                        json!({
                            "across": across.show_both(units),
                            "chance": format!("{} %", touched.complement().whole_percent()),
                        })
                    })
                })
                .collect();
            json!({
                "name": survey.name.as_str(),
                "established": survey.is_established(),
                "taps": said!("taps-by-class", count = sounding.taps.len(), sound = sounding.count(Class::Sound), doubtful = sounding.count(Class::Doubtful), hollow = sounding.count(Class::Hollow), unheard = unheard),
                "surveyed": field.map(|field| field.surveyed.show_both(units)),
                "hollow": field.filter(|_| survey.is_established()).map(|field| said!("hollow-of-surveyed", hollow = both(field.hollow), share = decimal(100.0 * (field.hollow / field.surveyed), 1), bounds = tooth_words::sounding::bounds(field))),
                "pitch": field.map(|field| field.pitch.show_both(units)),
                "sure": sounding.smallest_surely_found().map(|length| length.show_both(units)),
                "areas": areas,
                "missed": missed,
                "map": map,
                "strip": strip,
                "spectrum": spectrum,
            })
        })
        .collect()
}

/// What scans of the surface say, with their pictures.
fn scans(issue: &Issue<'_>, pictures: &mut Vec<(String, Vec<u8>)>) -> Vec<Value> {
    let survey = issue.survey;
    survey
        .scans
        .iter()
        .enumerate()
        .map(|(number, scan)| {
            let mut picture = |what: &str, svg: String| {
                let name = format!("scan-{number}-{what}.svg");
                pictures.push((name.clone(), svg.into_bytes()));
                name
            };
            let texture = &scan.texture;
            let zone = survey.zone_at(scan.place);
            let asked =
                zone.and_then(|zone| survey.system_of(zone)).map(|system| system.profile_range().0);
            let relief = picture("relief", texture_relief(texture, issue.words));
            let bars = scan.level.grade().map(|grade| picture("level", level_bars(grade, asked, issue.words)));
            json!({
                "name": scan.name.as_str(),
                "zone": zone.map(|zone| zone_letter(issue, zone.id.as_str())),
                "by": scan.by,
                "time": format!("{}, {}", issue.words.date(scan.time.date()), scan.time.strftime("%H:%M")),
                "level": texture::level(&scan.level),
                "figures": texture::figures(texture)
                    .into_iter()
                    .map(|(name, value)| json!([name, value]))
                    .collect::<Vec<_>>(),
                "filter": texture.treatment.to_string(),
                "relief": relief,
                "bars": bars,
            })
        })
        .collect()
}

/// Heading and imprint, the same in every document.
pub(crate) fn head(issue: &Issue<'_>) -> Value {
    let facts = &issue.survey.facts;
    json!({
        "job": facts.name,
        "client": facts.client.name,
        "site": facts.client.site,
        "contractor": facts.contractor,
        "invented": facts.invented,
        "year": issue.issued_on.year(),
        "month": issue.issued_on.month(),
        "day": issue.issued_on.day(),
        "date": issue.words.date(issue.issued_on),
        "digest": issue.digest,
        "record": issue.record.map(|record| json!({
            "entries": record.entries,
            "short": format!("{}-{}", record.entries, record.link).chars().take(14).collect::<String>(),
            "head": format!("{}-{}", record.entries, record.link),
            "key": record.key.to_string(),
        })),
        "version": issue.version,
        "seed": issue.estimate.seed.0,
    })
}

pub(crate) fn zone_letter(issue: &Issue<'_>, id: &str) -> String {
    issue
        .survey
        .zones
        .iter()
        .position(|zone| zone.id.as_str() == id)
        .map_or_else(|| id.to_owned(), letter)
}

fn source(source: Source) -> Said {
    if source == Source::COMMON_PRACTICE {
        word(source.certainty)
    } else {
        said!("source-and-certainty", title = source.title(), certainty = source.certainty)
    }
}

/// Marks that read without colour: a symbol and the words.
pub(crate) fn mark(recommendation: Recommendation) -> &'static str {
    match recommendation {
        Recommendation::Go => "go",
        Recommendation::RepairFirst => "repair",
        Recommendation::TestMore => "test",
        Recommendation::Engineer => "engineer",
        Recommendation::DoNotBid => "stop",
    }
}

fn zones(issue: &Issue<'_>) -> Vec<Value> {
    let units = issue.words.units;
    issue
        .survey
        .zones
        .iter()
        .enumerate()
        .filter_map(|(index, zone)| {
            let assessed = issue.assessment.of(&zone.id)?;
            let planned = issue.plan.of(&zone.id)?;
            let system = issue.survey.system_of(zone)?;
            let (profile, from) = tell::profile_asked(zone, system);
            Some(json!({
                "letter": letter(index),
                "name": zone.name,
                "system": system.name,
                "class": word(system.class),
                "see_through": system.see_through,
                "sheet": system.sheet,
                "profile": profile,
                "profile_from": from,
                "area": assessed.area_m2.show_both(units),
                "recommendation": word(assessed.recommendation),
                "mark": mark(assessed.recommendation),
                "because": assessed.because,
                "findings": findings(assessed),
                "deciding": assessed.unknown.iter().filter(|u| u.decides).map(|u| &u.what).collect::<Vec<_>>(),
                "unknown": assessed.unknown.iter().map(|u| json!({
                    "what": u.what, "test": u.test, "count": u.count, "decides": u.decides,
                    "leads_to": u.leads_to,
                    "costs": u.costs.map(|cost| cost.show_whole(&issue.estimate.currency)),
                    "saves": u.saves.map(|saved| saved.show_whole(&issue.estimate.currency)),
                })).collect::<Vec<_>>(),
                "plan": plan(issue, planned),
                "price": planned_price(issue, planned).map(|p| p.show_whole(&issue.estimate.currency)),
            }))
        })
        .collect()
}

fn findings(assessed: &ZoneAssessment) -> Vec<Value> {
    assessed
        .findings
        .iter()
        .map(|finding| {
            json!({
                "state": word(finding.state),
                "grave": finding.state >= FindingState::Hold,
                "reason": finding.reason,
                "evidence": said!("value", of = listed(Joint::Comma, finding.evidence.iter().map(tell::evidence))),
                "source": match &finding.setting {
                    None => source(finding.source),
                    Some(setting) => {
                        let (source, limit) = (source(finding.source), tell::setting(setting));
                        said!("source-and-limit", source = source, limit = limit)
                    }
                },
                "overruled": finding.overruled.as_ref().map(tell::overruled),
            })
        })
        .collect()
}

/// What a step is done to, where its name does not say it.
pub(crate) fn scope(step: &Step) -> Option<Said> {
    matches!(step.scope, Scope::Whole | Scope::Part).then(|| word(step.scope))
}

fn plan(issue: &Issue<'_>, planned: &ZonePlan) -> Value {
    json!({
        "planned": planned.state == Planned::Planned,
        "reason": planned.reason,
        "assumptions": planned.assumptions,
        "hours": planned.hours.show_hours(),
        "before_system": planned.before_system,
        "steps": planned.steps.iter().map(|step| json!({
            "name": step.name,
            "scope": scope(step),
            "after": step.stage == Stage::AfterSystem,
            "amount": tell::amount(step),
            "passes": step.passes,
            "leaves": step.leaves.map(|l| l.to_string()),
            "edging": step.edging.as_ref().map(|e| said!("along-walls", edging = &e.name, area = both(e.area_m2))),
            "hours": step.hours.show_hours(),
            "wait": (step.wait_hours.hours() > 0.0).then(|| step.wait_hours.show_hours()),
            "holds": step.signed_first(),
            "first": step.terms_of(Binding::DoFirst),
            "never": step.terms_of(Binding::Never),
            "signed": step.signed(),
        })).collect::<Vec<_>>(),
    "ruled_out": ruled_out(issue, planned),
    })
}

/// A zone's part of the likely price: its direct cost's share of all.
pub(crate) fn planned_price(issue: &Issue<'_>, planned: &ZonePlan) -> Option<Money> {
    let all: Money = issue.plan.zones.iter().map(|zone| zone.cost).sum();
    (planned.state == Planned::Planned && all > Money::ZERO)
        .then(|| issue.estimate.cost.p50 * (planned.cost / all))
}

/// Every area whose moisture somebody must decide about, with each way and its price.
pub(crate) fn moisture(issue: &Issue<'_>) -> Vec<Value> {
    let estimate = issue.estimate;
    estimate
        .moisture_decisions
        .iter()
        .map(|decision| {
            let zone = issue.survey.zones.iter().find(|zone| zone.id == decision.zone);
            json!({
                "letter": zone_letter(issue, decision.zone.as_str()),
                "name": zone.map_or("", |zone| zone.name.as_str()),
                "finding": decision.finding,
                "ways": decision.ways.iter().map(|way| json!({
                    "way": word(way.way),
                    "price": way.price.map_or_else(|| said!("no-way"), |p| Said::Given(p.show_change(&estimate.currency))),
                    "reason": way.reason,
                })).collect::<Vec<_>>(),
            })
        })
        .collect()
}

/// Every change order.
pub(crate) fn changes(issue: &Issue<'_>) -> Vec<Value> {
    let estimate = issue.estimate;
    estimate
        .change_orders
        .iter()
        .map(|order| {
            let signed = match (&order.signed_by, order.proceed) {
                (Some(signer), _) => signer.as_str().into(),
                (None, true) => said!("not-signed-not-to-be-covered"),
                (None, false) => said!("not-signed-work-stops-there"),
            };
            json!({
                "order": order.order,
                "letter": zone_letter(issue, order.zone.as_str()),
                "found": order.found,
                "quantity": order.quantity,
                "price": order.price.show_change(&estimate.currency),
                "signed": signed,
            })
        })
        .collect()
}

fn price(issue: &Issue<'_>) -> Value {
    let estimate = issue.estimate;
    let whole = |money: Money| money.show_whole(&estimate.currency);
    json!({
        "nothing": !estimate.prices_anything(),
        "likely": whole(estimate.cost.p50),
        "low": whole(estimate.cost.p10),
        "high": whole(estimate.cost.p90),
        "p80": whole(estimate.cost.p80),
        "moisture": moisture(issue),
        "changes": changes(issue),
        "with_changes": whole(estimate.likely_with_changes),
        "hours": said!("hours-likely-and-range", p50 = hours(estimate.hours.p50), p10 = hours(estimate.hours.p10), p90 = hours(estimate.hours.p90)),
        "drivers": estimate.drivers.iter().take(4).map(|d| json!({"unknown": d.unknown, "share": d.share.show_percent()})).collect::<Vec<_>>(),
        "left_out": estimate.left_out.iter().map(|z| zone_letter(issue, z.as_str())).collect::<Vec<_>>(),
        "provisional": issue.assessment.zones.iter().filter(|z| z.recommendation == Recommendation::TestMore).map(|z| zone_letter(issue, z.zone.as_str())).collect::<Vec<_>>(),
    })
}

fn quantities(issue: &Issue<'_>) -> Vec<Value> {
    issue
        .quantities
        .items
        .iter()
        .map(|item| {
            json!({
                "zone": zone_letter(issue, item.zone.as_str()),
                "item": item.item,
                "amount": said!("value", of = item.amount.both()),
                "formula": item.formula,
                "source": source(item.source),
            })
        })
        .collect()
}

fn windows(issue: &Issue<'_>) -> Vec<Value> {
    let under_roof = issue.survey.facts.slab.setting == Setting::Indoor;
    if issue.survey.forecast.is_empty() {
        return Vec::new();
    }
    issue
        .survey
        .systems
        .iter()
        .filter(|system| issue.survey.zones.iter().any(|zone| zone.system == system.id))
        .map(|system| {
            let found = ambient::windows(&issue.survey.forecast, system, under_roof);
            json!({
                "system": system.name,
                "windows": found.iter().map(|w| window(issue, *w)).collect::<Vec<_>>(),
            })
        })
        .collect()
}

fn window(issue: &Issue<'_>, window: ambient::Window) -> Said {
    let from = issue.words.day_and_hour(window.from);
    let until = issue.words.weekday_and_hour(window.until);
    match window.warms {
        true => said!("from-until-while-the-slab-warms", from = from, until = until),
        false => said!("from-until", from = from, until = until),
    }
}

fn readings(issue: &Issue<'_>) -> Vec<Value> {
    issue
        .survey
        .readings
        .iter()
        .map(|reading| {
            let kind = match &reading.subject {
                Some(mark) => {
                    said!("kind-of-mark", kind = tell::kind(reading.measured), mark = mark)
                }
                None => tell::kind(reading.measured),
            };
            json!({
                "id": reading.id.as_str(),
                "zone": tell::reading_zone(issue.survey, reading),
                "kind": kind,
                "value": tell::value(reading.measured),
                "place": place(reading, issue.words.units),
                "time": reading.time.strftime("%Y-%m-%d %H:%M").to_string(),
                "by": reading.by,
                "instrument": reading.instrument,
            })
        })
        .collect()
}

/// A place on the plan in the reader's units.
fn place(reading: &Reading, units: UnitSystem) -> String {
    let Some(point) = reading.place else {
        return "–".to_owned();
    };
    match units {
        UnitSystem::Si => format!("{:.2}, {:.2} m", point.x.metres(), point.y.metres()),
        UnitSystem::UsCustomary => format!("{:.1}, {:.1} ft", point.x.feet(), point.y.feet()),
    }
}

/// Methods that may not be used, gathered by their reason.
fn ruled_out(issue: &Issue<'_>, planned: &ZonePlan) -> Vec<Value> {
    let mut gathered: Vec<(&Said, Vec<Said>)> = Vec::new();
    for out in &planned.ruled_out {
        let name = issue
            .catalogue
            .method(&out.method)
            .map_or_else(|| out.method.as_str().into(), |m| said!("method-inside", name = &m.name));
        match gathered.iter_mut().find(|(reason, _)| **reason == out.reason) {
            Some((_, names)) => names.push(name),
            None => gathered.push((&out.reason, vec![name])),
        }
    }
    gathered
        .into_iter()
        .map(|(reason, names)| {
            let methods = said!("value", of = listed(Joint::Comma, names));
            json!({"methods": methods, "reason": reason})
        })
        .collect()
}
