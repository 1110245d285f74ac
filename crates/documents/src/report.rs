//! The condition report: what was found, what is not known, what is proposed, what
//! it costs.

use serde_json::{Value, json};
use tooth_job::ambient;
use tooth_job::assessment::{FindingState, Recommendation, ZoneAssessment};
use tooth_job::cautions;
use tooth_job::plan::{Planned, Scope, Stage, Step, ZonePlan};
use tooth_job::survey::{Seen, Setting};
use tooth_measure::choice::Choice as _;
use tooth_measure::show::Show as _;
use tooth_measure::{Length, Money, Source};
use tooth_sounding::{Class, hit};

use crate::drawing::{Focus, plan_drawing};
use crate::price::price_curve;
use crate::sounding::{area_words, bounds_words, sounding_map, sounding_spectrum, sounding_strip};
use crate::texture::{chips_words, figure_words, level_bars, level_words, texture_relief};
use crate::typeset::{Document, TypesetError, typeset as set};
use crate::{Issue, words};

const TEMPLATE: &str = include_str!("../templates/report.typ");

pub(crate) fn typeset(issue: &Issue<'_>) -> Result<Document, TypesetError> {
    let drawing = plan_drawing(
        issue.survey,
        issue.patch_rule,
        Focus::Whole,
        Length::from_millimetres(180.0),
        Length::from_millimetres(150.0),
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
    pictures.push(("curve.svg".to_owned(), price_curve(issue.estimate).into_bytes()));
    let soundings = soundings(issue, &mut pictures);
    let scans = scans(issue, &mut pictures);
    let data = json!({
        "soundings": soundings,
        "scans": scans,
        "chips": issue.survey.chips.as_ref().map(chips_words),
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
            "hazard": c.hazard.words(), "text": c.text, "source": source(c.source),
        })).collect::<Vec<_>>(),
        "defer": cautions::DEFER,
        "windows": windows(issue),
        "photos": photos,
        "features": issue.survey.features.iter().filter(|f| !matches!(f.seen, Seen::Photo { .. } | Seen::Wall)).map(|f| json!({
            "id": f.id.as_str(), "what": words::feature(f, issue.survey.facts.units), "note": f.note,
        })).collect::<Vec<_>>(),
        "readings": readings(issue),
    });
    set(TEMPLATE, &data, pictures)
}

/// What recordings of taps say, with their pictures. The items that ASTM D4580 asks to
/// be reported (from memory: location, areas, share of the whole, conditions) stand with
/// the plan and the readings.
fn soundings(issue: &Issue<'_>, pictures: &mut Vec<(String, Vec<u8>)>) -> Vec<Value> {
    let units = issue.survey.facts.units;
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
            let map = sounding_map(sounding, units).map(|svg| picture("map", svg));
            let strip = picture("strip", sounding_strip(sounding));
            let spectrum = picture("spectrum", sounding_spectrum(sounding));
            let unheard = sounding.taps.iter().filter(|tap| tap.time.is_none()).count();
            let field = sounding.field.as_ref();
            let areas: Vec<Value> = field
                .filter(|_| survey.is_established())
                .map_or(&[][..], |field| &field.areas)
                .iter()
                .enumerate()
                .map(|(k, area)| {
                    json!({
                        "name": format!("H{0}, tap-{1}-{0}", k + 1, survey.name),
                        "area": area_words(area, units),
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
                "taps": format!(
                    "{} taps: {} sound, {} doubtful, {} hollow; {unheard} not heard",
                    sounding.taps.len(),
                    sounding.count(Class::Sound),
                    sounding.count(Class::Doubtful),
                    sounding.count(Class::Hollow)
                ),
                "surveyed": field.map(|field| field.surveyed.show_both(units)),
                "hollow": field.filter(|_| survey.is_established()).map(|field| format!(
                    "{} ({:.1} % of the surveyed area), {}",
                    field.hollow.show_both(units),
                    100.0 * (field.hollow / field.surveyed),
                    bounds_words(field, units)
                )),
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
    let (survey, units) = (issue.survey, issue.survey.facts.units);
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
            let relief = picture("relief", texture_relief(texture, units));
            let bars = scan.level.grade().map(|grade| picture("level", level_bars(grade, asked)));
            json!({
                "name": scan.name.as_str(),
                "zone": zone.map(|zone| zone_letter(issue, zone.id.as_str())),
                "by": scan.by,
                "time": scan.time.strftime("%-d %B %Y, %H:%M").to_string(),
                "level": level_words(&scan.level),
                "figures": figure_words(texture, units)
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
        "date": issue.issued_on.strftime("%-d %B %Y").to_string(),
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
        .map_or_else(|| id.to_owned(), words::letter)
}

fn source(source: Source) -> String {
    if source.title == source.certainty.words() || source == Source::COMMON_PRACTICE {
        source.certainty.words().to_owned()
    } else {
        format!("{} ({})", source.title, source.certainty.words())
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
    let units = issue.survey.facts.units;
    issue
        .survey
        .zones
        .iter()
        .enumerate()
        .filter_map(|(index, zone)| {
            let assessed = issue.assessment.of(&zone.id)?;
            let planned = issue.plan.of(&zone.id)?;
            let system = issue.survey.system_of(zone)?;
            let (range, from_sheet) = system.profile_range();
            Some(json!({
                "letter": words::letter(index),
                "name": zone.name,
                "system": system.name,
                "class": system.class.words(),
                "see_through": system.see_through,
                "sheet": system.sheet,
                "profile": range.to_string(),
                "profile_from": if from_sheet { "data sheet" } else { "guide, from memory: verify" },
                "area": assessed.area_m2.show_both(units),
                "recommendation": assessed.recommendation.words(),
                "mark": mark(assessed.recommendation),
                "because": assessed.because,
                "findings": findings(assessed),
                "deciding": assessed.unknown.iter().filter(|u| u.decides).map(|u| u.what.as_str()).collect::<Vec<_>>(),
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
                "state": finding.state.words(),
                "grave": finding.state >= FindingState::Hold,
                "reason": finding.reason,
                "evidence": finding.evidence.iter().map(words::evidence).collect::<Vec<_>>().join(", "),
                "source": match &finding.setting {
                    None => source(finding.source),
                    Some(setting) => {
                        format!("{} · {}", source(finding.source), words::setting(setting))
                    }
                },
                "overruled": finding.overruled.as_ref().map(|o| {
                    let licence = o.licence.as_ref().map_or_else(String::new, |l| format!(" (licence {l})"));
                    format!("Overruled by {}{licence} on {}: {}", o.by, o.on, o.reason)
                }),
            })
        })
        .collect()
}

/// What a step is done to, where its name does not say it.
pub(crate) fn scope(step: &Step) -> Option<&'static str> {
    matches!(step.scope, Scope::Whole | Scope::Part).then(|| step.scope.words())
}

/// The amount of a step in the person's units.
pub(crate) fn amount(issue: &Issue<'_>, step: &Step) -> String {
    let units = issue.survey.facts.units;
    match (step.length_m, step.area_m2, step.volume_m3) {
        (Some(length), None, _) => length.show_both(units),
        (_, Some(area), Some(volume)) => {
            format!("{}, {}", area.show_both(units), volume.show_both(units))
        }
        (_, Some(area), None) => area.show_both(units),
        _ => String::new(),
    }
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
            "amount": amount(issue, step),
            "passes": step.passes,
            "leaves": step.leaves.map(|l| l.to_string()),
            "edging": step.edging.as_ref().map(|e| format!("{} along walls: {}", e.name, e.area_m2.show_both(issue.survey.facts.units))),
            "hours": step.hours.show_hours(),
            "wait": (step.wait_hours.hours() > 0.0).then(|| step.wait_hours.show_hours()),
            "holds": step.holds.iter().map(|h| h.words()).collect::<Vec<_>>(),
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
                    "way": way.way.words(),
                    "price": way.price.map_or_else(|| "no way".to_owned(), |p| p.show_change(&estimate.currency)),
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
                (Some(signer), _) => signer.clone(),
                (None, true) => "NOT SIGNED: not to be covered".to_owned(),
                (None, false) => "NOT SIGNED: work stops there".to_owned(),
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
        "hours": format!("{} ({} to {})", estimate.hours.p50.show_hours(), estimate.hours.p10.show_hours(), estimate.hours.p90.show_hours()),
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
                "amount": item.amount.show_both(issue.survey.facts.units),
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
                "windows": found.iter().map(|w| format!("{} to {}", w.from.strftime("%a %-d %b %H:%M"), w.until.strftime("%a %H:%M"))).collect::<Vec<_>>(),
            })
        })
        .collect()
}

fn readings(issue: &Issue<'_>) -> Vec<Value> {
    issue
        .survey
        .readings
        .iter()
        .map(|reading| {
            let (kind, value) = words::reading(reading.measured, issue.survey.facts.units);
            let about = reading.subject.as_ref().map_or_else(String::new, |s| format!(" ({s})"));
            json!({
                "id": reading.id.as_str(),
                "zone": words::reading_zone(issue.survey, reading),
                "kind": format!("{kind}{about}"),
                "value": value,
                "place": words::place(reading, issue.survey.facts.units),
                "time": reading.time.strftime("%Y-%m-%d %H:%M").to_string(),
                "by": reading.by,
                "instrument": reading.instrument,
            })
        })
        .collect()
}

/// Methods that may not be used, gathered by their reason.
fn ruled_out(issue: &Issue<'_>, planned: &ZonePlan) -> Vec<Value> {
    let mut gathered: Vec<(&str, Vec<String>)> = Vec::new();
    for out in &planned.ruled_out {
        let name = issue
            .catalogue
            .method(&out.method)
            .map_or_else(|| out.method.clone(), |m| m.name.to_lowercase());
        match gathered.iter_mut().find(|(reason, _)| *reason == out.reason) {
            Some((_, names)) => names.push(name),
            None => gathered.push((&out.reason, vec![name])),
        }
    }
    gathered
        .into_iter()
        .map(|(reason, names)| json!({"methods": names.join(", "), "reason": reason}))
        .collect()
}
