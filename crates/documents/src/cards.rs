//! Step cards for the crew: one step of one area on one small sheet; few words.

use serde_json::json;
use tooth_job::cautions;
use tooth_job::extent::Extent;
use tooth_job::plan::{Planned, Stage};
use tooth_job::survey::{ANY_PROFILE, Binding};
use tooth_measure::Length;
use tooth_measure::say::{Said, both, detail, said, word};
use tooth_words::survey::letter;

use crate::Issue;
use crate::drawing::{Focus, plan_drawing};
use crate::report::{head, scope};
use crate::sketch::{passes_drawing, places_drawing, places_listed};
use crate::typeset::{Document, TypesetError, typeset as set};

const TEMPLATE: &str = include_str!("../templates/cards.typ");

pub(crate) fn typeset(issue: &Issue<'_>) -> Result<Document, TypesetError> {
    let mut pictures = Vec::new();
    let mut cards = Vec::new();
    for (index, zone) in issue.survey.zones.iter().enumerate() {
        let Some(planned) = issue.plan.of(&zone.id).filter(|p| p.state == Planned::Planned) else {
            continue;
        };
        let locator = plan_drawing(
            issue.survey,
            issue.patch_rule,
            issue.words,
            Focus::Locator(&zone.id),
            (Length::from_millimetres(56.0), Length::from_millimetres(44.0)),
        );
        let picture = format!("locator-{index}.svg");
        pictures.push((picture.clone(), locator.svg.into_bytes()));
        let side = Length::from_millimetres(128.0);
        let extent = Extent::measure(issue.survey, zone, issue.patch_rule);
        let picture_of = |number: usize| format!("passes-{index}-{number}.svg");
        for (number, layout) in planned.layouts.iter().enumerate() {
            let laid = planned.steps.iter().filter(|step| planned.layout_of(step) == Some(layout));
            let near: Vec<_> = laid.flat_map(|step| step.near.iter().cloned()).collect();
            let sketch =
                passes_drawing(issue.survey, zone, layout, &near, issue.words, (side, side));
            pictures.push((picture_of(number), sketch.into_bytes()));
        }
        for (number, step) in planned.steps.iter().enumerate() {
            let driven = planned.layout_of(step);
            let places =
                places_drawing(issue.survey, &extent, zone, step, issue.words, (side, side * 0.8))
                    .map(|sketch| (format!("places-{index}-{number}.svg"), sketch.into_bytes()));
            let places_picture = places.as_ref().map(|(name, _)| name.clone());
            pictures.extend(places);
            cards.push(json!({
                "letter": letter(index),
                "zone": zone.name,
                "picture": picture,
                "number": number + 1,
                "of": planned.steps.len(),
                "name": step.name,
                "scope": scope(step),
                "amount": tooth_words::survey::amount(step),
                "passes": step.passes,
                "leaves": step.leaves.filter(|_| planned.target != ANY_PROFILE).map(|l| if planned.target.holds(l) { planned.target.to_string() } else { l.to_string() }),
                "edging": step.edging.as_ref().map(|e| json!({"name": e.name, "area": said!("value", of = both(e.area_m2))})),
                "time": step.hours.show_clock(),
                "wait": (step.wait_hours.hours() > 0.0).then(|| step.wait_hours.show_clock()),
                "last": planned.steps.get(number + 1).is_none_or(|next| next.stage != step.stage),
                "passes_picture": driven
                    .and_then(|laid| planned.layouts.iter().position(|held| held == laid))
                    .map(picture_of),
                "after": step.stage == Stage::AfterSystem,
                "people": step.priced.iter().map(|part| part.people).max().unwrap_or(1),
                "places_picture": places_picture,
                "places": places_listed(issue.survey, &extent, step),
                "driven": driven.map_or_else(
                    Said::nothing,
                    |l| said!(
                        "lanes-and-rounds",
                        count = l.runs_m.len(),
                        width = both(detail(l.width_m)),
                        length = both(l.worked_length_m),
                        turns = l.turns,
                        edging = both(l.edging_m2)
                    ),
                ),
                "verify": step.verify,
                "instruction": step.instruction,
                "holds": step.signed_first(),
                "first": step.terms_of(Binding::DoFirst),
                "never": step.terms_of(Binding::Never),
                "signed": step.signed(),
                "cautions": cautions::of_step(issue.survey, step).iter().map(|c| json!({
                    "hazard": word(c.hazard), "short": c.short,
                })).collect::<Vec<_>>(),
            }));
        }
    }
    let gates: Vec<_> = issue
        .survey
        .zones
        .iter()
        .enumerate()
        .filter_map(|(index, zone)| {
            let planned = issue.plan.of(&zone.id).filter(|p| p.state == Planned::Planned)?;
            Some(json!({
                "letter": letter(index),
                "zone": zone.name,
                "due": planned.before_system,
            }))
        })
        .collect();
    let data =
        json!({ "gates": gates, "head": head(issue), "cards": cards, "defer": cautions::defer() });
    set(TEMPLATE, data, pictures, issue.words)
}
