//! Sketches of one zone for the crew: how to drive a machine over it, and where to work on
//! cracks, joints, loose places and low spots. Black and white, to scale.
//!
//! Units of the drawings are millimetres on paper.

use std::fmt::Write as _;

use tooth_job::extent::Extent;
use tooth_job::plan::{ItemNear, Layout, Scope, Step};
use tooth_job::survey::{Place, Seen, Survey, Zone};
use tooth_measure::Length;
use tooth_measure::say::{Said, both, decimal, detail, names, said};
use tooth_words::Words;

use crate::drawing::{DEFINITIONS, MARGIN, Sheet};
use crate::svg::escaped;

/// Height of a name in a sketch: read at arm's length, with gloves on.
const LABEL: f64 = 4.6;

/// A machine's passes over a zone or a marked part of it: lanes in the order of driving,
/// where to start, and what is left for edging.
#[must_use]
pub fn passes_drawing(
    survey: &Survey,
    zone: &Zone,
    layout: &Layout,
    near: &[ItemNear],
    words: Words,
    (width, height): (Length, Length),
) -> String {
    let (mut sheet, total_w, drawn_h) = Sheet::of_zone(survey, zone, words, width, height);
    let outline = sheet.path(&zone.outline.corners(), true);
    let borders = layout.ground.borders();
    let ground: Vec<String> = borders.iter().map(|border| sheet.path(border, true)).collect();
    let ground = ground.join(" ");
    let _ = writeln!(
        sheet.body,
        "<path d=\"{outline}\" fill=\"#fff\" stroke=\"#111\" stroke-width=\".5\"/><path d=\"{ground}\" fill=\"url(#edging)\" fill-rule=\"evenodd\"/>"
    );
    let runs = layout.runs();
    let lane = sheet.scaled(layout.width_m);
    for run in &runs {
        let path = sheet.path(run, false);
        let _ = writeln!(
            sheet.body,
            "<path d=\"{path}\" fill=\"none\" stroke=\"#fff\" stroke-width=\"{lane:.2}\" stroke-linejoin=\"round\"/>"
        );
    }
    let dashes = if layout.scope == Scope::Whole { "none" } else { "2 1" };
    let _ = writeln!(
        sheet.body,
        "<path d=\"{ground}\" fill=\"none\" stroke=\"#111\" stroke-width=\".4\" stroke-dasharray=\"{dashes}\"/>"
    );
    sheet.obstacles(zone);
    for run in &runs {
        let path = sheet.path(run, false);
        let _ = writeln!(
            sheet.body,
            "<path d=\"{path}\" fill=\"none\" stroke=\"#111\" stroke-width=\".3\" marker-end=\"url(#way)\"/>"
        );
    }
    sheet.items(near);
    sheet.item_names(near);
    // The walks from lane to lane.
    for pair in runs.windows(2) {
        if let (Some(from), Some(to)) = (pair[0].last(), pair[1].first()) {
            let path = sheet.path(&[*from, *to], false);
            let _ = writeln!(
                sheet.body,
                "<path d=\"{path}\" fill=\"none\" stroke=\"#111\" stroke-width=\".25\" stroke-dasharray=\".8 .6\"/>"
            );
        }
    }
    if let Some(start) = runs.first().and_then(|run| run.first()) {
        let (x, y) = sheet.at(*start);
        let _ = writeln!(
            sheet.body,
            "<circle cx=\"{x:.2}\" cy=\"{y:.2}\" r=\"1.9\" fill=\"#fff\" stroke=\"#111\" stroke-width=\".6\"/><text x=\"{x:.2}\" y=\"{:.2}\" font-size=\"2.6\" font-weight=\"700\" text-anchor=\"middle\">1</text>",
            y + 0.9
        );
    }
    let _ = writeln!(
        sheet.body,
        "<circle cx=\"{:.2}\" cy=\"{:.2}\" r=\"1.4\" fill=\"#fff\" stroke=\"#111\" stroke-width=\".5\"/><text x=\"{:.2}\" y=\"{:.2}\" font-size=\"2.8\">{}</text><rect x=\"{:.2}\" y=\"{:.2}\" width=\"5\" height=\"3\" fill=\"url(#edging)\" stroke=\"#111\" stroke-width=\".3\"/><text x=\"{:.2}\" y=\"{:.2}\" font-size=\"2.8\">{}</text>",
        MARGIN + 1.4,
        drawn_h + 1.4,
        MARGIN + 4.0,
        drawn_h + 2.4,
        escaped(&words.label("drive-start")),
        MARGIN + 14.0,
        drawn_h - 0.2,
        MARGIN + 20.5,
        drawn_h + 2.4,
        escaped(&words.label("edging-by-hand-tool")),
    );
    let title = said!(
        "passes-of-mm-over",
        millimetres = decimal(layout.width_m.millimetres(), 0),
        zone = &zone.name
    );
    let definitions = "<defs><pattern id=\"edging\" width=\"1.6\" height=\"1.6\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><rect width=\"1.6\" height=\"1.6\" fill=\"#fff\"/><rect width=\".7\" height=\"1.6\" fill=\"#111\"/></pattern><marker id=\"way\" viewBox=\"0 0 4 4\" refX=\"3.6\" refY=\"2\" markerWidth=\"5\" markerHeight=\"5\" orient=\"auto\"><path d=\"M0 0L4 2L0 4Z\"/></marker></defs>";
    svg(&words.say(&title), definitions, &sheet.body, total_w, drawn_h + 5.0)
}

/// The cracks and joints, patches or low spots that a step works on: heavy, with their names;
/// other lines of the zone faint. `None` for steps that work on surfaces.
#[must_use]
pub fn places_drawing(
    survey: &Survey,
    extent: &Extent<'_>,
    zone: &Zone,
    step: &Step,
    words: Words,
    (width, height): (Length, Length),
) -> Option<String> {
    if step.features.is_empty() && step.near.is_empty() {
        return None;
    }
    let (mut sheet, total_w, drawn_h) = Sheet::of_zone(survey, zone, words, width, height);
    let outline = sheet.path(&zone.outline.corners(), true);
    let _ = writeln!(
        sheet.body,
        "<clipPath id=\"zone\"><path d=\"{outline}\"/></clipPath><path d=\"{outline}\" fill=\"#fff\" stroke=\"#111\" stroke-width=\".5\"/><g clip-path=\"url(#zone)\">"
    );
    sheet.obstacles(zone);
    let treated = |id| step.features.contains(id);
    for feature in extent.features() {
        let Place::Line(line) = &feature.place else { continue };
        let points = line.points();
        let (weight, ink) = if treated(&feature.id) { (1.5, "#111") } else { (0.3, "#888") };
        let drawn = match feature.seen {
            Seen::Crack { .. } => sheet.crack(&points, weight, ink),
            Seen::Joint { .. } => {
                let path = sheet.path(&points, false);
                format!(
                    "<path d=\"{path}\" fill=\"none\" stroke=\"{ink}\" stroke-width=\"{weight}\"/>"
                )
            }
            _ => continue,
        };
        sheet.body.push_str(&drawn);
        sheet.body.push('\n');
    }
    match step.scope {
        Scope::Patches => {
            for patch in &extent.patches {
                let path = sheet.path(&patch.rectangle.corners(), true);
                let _ = writeln!(
                    sheet.body,
                    "<path d=\"{path}\" fill=\"url(#sure)\" stroke=\"#111\" stroke-width=\".7\"/>"
                );
            }
        }
        _ => {
            for spot in extent.features().filter(|spot| treated(&spot.id)) {
                if let Place::Patch(outline) = &spot.place {
                    let path = sheet.path(&outline.corners(), true);
                    let _ = writeln!(
                        sheet.body,
                        "<path d=\"{path}\" fill=\"url(#doubtful)\" stroke=\"#111\" stroke-width=\".6\" stroke-dasharray=\"2 1\"/>"
                    );
                }
            }
        }
    }
    sheet.items(&step.near);
    sheet.body.push_str("</g>\n");
    sheet.item_names(&step.near);
    if step.scope == Scope::Patches {
        for (number, patch) in extent.patches.iter().enumerate() {
            let corners = patch.rectangle.corners();
            let middle = [corners[0], corners[2]].map(|corner| sheet.at(corner));
            let (x, y) =
                (f64::midpoint(middle[0].0, middle[1].0), f64::midpoint(middle[0].1, middle[1].1));
            sheet.label(x, y, &(number + 1).to_string(), LABEL);
        }
    } else {
        for feature in extent.features().filter(|feature| treated(&feature.id)) {
            // A line may lie in two zones: its name stands where it lies in this one.
            let mut places = vec![feature.place.label_place()];
            if let Place::Line(line) = &feature.place {
                places.extend(line.points());
            }
            let here = places.iter().find(|place| zone.outline.holds(**place));
            let (x, y) = sheet.at(*here.unwrap_or(&places[0]));
            sheet.label(x, y, feature.id.as_str(), LABEL);
        }
    }
    let title = said!("where-to-work", zone = &zone.name, step = &step.name);
    Some(svg(&words.say(&title), DEFINITIONS, &sheet.body, total_w, drawn_h))
}

/// What the names and numbers of [`places_drawing`] stand for, one line each.
#[must_use]
pub fn places_listed(survey: &Survey, extent: &Extent<'_>, step: &Step) -> Vec<Said> {
    let mut listed = worked_listed(survey, extent, step);
    listed.extend(step.items_said());
    listed
}

fn worked_listed(survey: &Survey, extent: &Extent<'_>, step: &Step) -> Vec<Said> {
    if step.scope == Scope::Patches {
        let patches = extent.patches.iter().enumerate();
        return patches
            .map(|(number, patch)| {
                let joints = extent.joints_across(patch);
                let across = if joints.is_empty() {
                    Said::nothing()
                } else {
                    said!("form-again-through", joints = names(joints.iter().map(|j| &j.id)))
                };
                said!(
                    "patch-to-cut",
                    number = number + 1,
                    holds = names(&patch.holds),
                    length = both(detail(patch.rectangle.length())),
                    width = both(detail(patch.rectangle.width())),
                    depth = both(detail(patch.depth)),
                    perimeter = both(patch.rectangle.perimeter()),
                    across = across
                )
            })
            .collect();
    }
    let treated = survey.features.iter().filter(|feature| step.features.contains(&feature.id));
    treated
        .map(|feature| {
            let length = extent.length_in(&feature.id);
            let long = match length {
                Some(length) => said!("so-long", length = both(length)),
                None => Said::nothing(),
            };
            said!(
                "place-listed",
                mark = &feature.id,
                what = tooth_words::survey::mark(feature),
                long = long
            )
        })
        .collect()
}

fn svg(title: &str, definitions: &str, body: &str, width: f64, height: f64) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width:.2}mm\" height=\"{height:.2}mm\" viewBox=\"0 0 {width:.2} {height:.2}\" role=\"img\" font-family=\"Atkinson Hyperlegible Next, sans-serif\"><title>{}</title>{definitions}{body}</svg>\n",
        escaped(title),
    )
}
