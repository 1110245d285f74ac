//! Unsettled versions of the record, marked in the survey that shows one of them.

use tooth_job::survey::{Clash, Survey, Zone, ZoneId};
use tooth_measure::choice::Choice as _;
use tooth_measure::say::{Said, said};
use tooth_measure::{Length, Point};
use tooth_record::{Content, Folded, Held, Thing, ThingKind, Value, Version};

use super::JobFolder;
use super::plan::PlanUnit;
use crate::text::Fault;

impl JobFolder {
    /// Marks what the record holds in more than one version.
    pub fn mark_clashes(&mut self, folded: &Folded<'_>) {
        let unit = unit(folded);
        for (thing, held) in folded.clashes() {
            let clash = Clash {
                about: thing.said(),
                versions: held.versions.iter().map(version).collect(),
                zones: zones(&self.survey, unit, thing, held),
            };
            let found = said!("versions", count = clash.versions.len());
            self.warnings.push(Fault::warning(&thing.to_string(), said!("one-version"), found));
            self.survey.clashes.push(clash);
        }
    }
}

/// The unit of the plan's coordinates, as the record has it.
fn unit(folded: &Folded<'_>) -> PlanUnit {
    let plan = Thing::alone(ThingKind::Plan).and_then(|plan| folded.things.get(&plan)?.shown());
    let units = match plan.map(|version| version.content) {
        Some(Content::Value(value)) => value.get("units").and_then(Value::as_str),
        _ => None,
    };
    units.and_then(PlanUnit::from_key).unwrap_or(PlanUnit::Metres)
}

/// The box round something.
struct Around {
    least: Point,
    most: Point,
}

impl Around {
    fn of(points: impl IntoIterator<Item = Point>) -> Self {
        let far = Length::from_metres(f64::INFINITY);
        let start = Self { least: Point::new(far, far), most: Point::new(-far, -far) };
        points.into_iter().fold(start, |around, point| Self {
            least: Point::new(around.least.x.min(point.x), around.least.y.min(point.y)),
            most: Point::new(around.most.x.max(point.x), around.most.y.max(point.y)),
        })
    }

    fn meets(&self, other: &Self) -> bool {
        // Neighbours share a border and nothing else.
        self.least.x < other.most.x
            && other.least.x < self.most.x
            && self.least.y < other.most.y
            && other.least.y < self.most.y
    }
}

/// The box round a geometry of the plan; `None` where it has no coordinates.
fn around(geometry: &Value, unit: PlanUnit) -> Option<Around> {
    fn points(value: &Value, unit: PlanUnit, into: &mut Vec<Point>) {
        let Some(items) = value.as_array() else { return };
        match items.as_slice() {
            [x, y] if x.is_number() && y.is_number() => {
                if let (Some(x), Some(y)) = (x.as_f64(), y.as_f64()) {
                    into.push(Point::new(unit.length(x), unit.length(y)));
                }
            }
            items => items.iter().for_each(|item| points(item, unit, into)),
        }
    }
    let mut all = Vec::new();
    points(geometry.get("coordinates")?, unit, &mut all);
    (!all.is_empty()).then(|| Around::of(all))
}

/// "M. Adeyemi on tablet 2: 212 psi".
fn version(version: &Version<'_>) -> Said {
    let author = match version.author {
        Some(name) => name.as_str().into(),
        None => said!("somebody"),
    };
    let device = version.device.to_string();
    said!("version-says", author = author, device = device, says = short(&version.content))
}

fn short(content: &Content<'_>) -> Said {
    let text = |value: &Value| match value {
        Value::String(text) => text.clone(),
        other => other.to_string(),
    };
    match content {
        Content::Withdrawn => said!("that-it-does-not-count"),
        Content::File { hash, .. } => {
            let start: String = hash.to_string().chars().take(8).collect();
            said!("file-of-hash", hash = start)
        }
        Content::Value(Value::Object(fields)) => {
            // What a feature says of itself stands in its properties.
            let fields = match fields.get("properties") {
                Some(Value::Object(properties)) => properties,
                _ => fields,
            };
            let quiet = ["id", "x", "y", "time", "by", "instrument"];
            let said: Vec<String> = fields
                .iter()
                .filter(|(key, _)| !quiet.contains(&key.as_str()))
                .take(6)
                .map(|(_, value)| text(value))
                .collect();
            Said::Given(said.join(", ").chars().take(120).collect())
        }
        Content::Value(value) => Said::Given(text(value).chars().take(120).collect()),
    }
}

/// Zones that any version names or lies in; none where that cannot be told, which
/// means all.
fn zones(survey: &Survey, unit: PlanUnit, thing: &Thing, held: &Held<'_>) -> Vec<ZoneId> {
    let mut zones: Vec<ZoneId> = Vec::new();
    let mut touch = |zone: &ZoneId| {
        if !zones.contains(zone) {
            zones.push(zone.clone());
        }
    };
    match thing.kind() {
        ThingKind::Reading => {
            for version in &held.versions {
                let Content::Value(value) = version.content else { continue };
                let named = value.get("zone").and_then(Value::as_str).and_then(ZoneId::new);
                // A version that names no zone may lie in any.
                match named {
                    Some(zone) => touch(&zone),
                    None => return Vec::new(),
                }
                // A gauge counts where its crack is, whatever zone its row names.
                let Some(subject) = value.get("subject").and_then(Value::as_str) else { continue };
                let about = survey.features.iter().find(|f| f.id.as_str() == subject);
                let Some(about) = about else { return Vec::new() };
                for zone in survey.zones.iter().filter(|z| about.place.meets(&z.outline)) {
                    touch(&zone.id);
                }
            }
        }
        ThingKind::Feature => {
            let places: Vec<&Value> = held
                .versions
                .iter()
                .filter_map(|version| match version.content {
                    Content::Value(value) => Some(value.get("geometry").unwrap_or(&Value::Null)),
                    Content::File { .. } | Content::Withdrawn => None,
                })
                .collect();
            // Drawn at different places: the boxes round them are enough, and never too little.
            if places.windows(2).any(|pair| pair[0] != pair[1]) {
                for place in places {
                    let Some(own) = around(place, unit) else { return Vec::new() };
                    let meets = |zone: &&Zone| own.meets(&Around::of(zone.outline.corners()));
                    let met: Vec<&ZoneId> =
                        survey.zones.iter().filter(meets).map(|zone| &zone.id).collect();
                    if met.is_empty() {
                        return Vec::new();
                    }
                    met.into_iter().for_each(&mut touch);
                }
                return zones;
            }
            if let Some(zone) = survey.zones.iter().find(|zone| zone.id.as_str() == thing.name()) {
                touch(&zone.id);
            }
            for feature in survey.features.iter().filter(|f| f.id.as_str() == thing.name()) {
                for zone in survey.zones.iter().filter(|z| feature.place.meets(&z.outline)) {
                    touch(&zone.id);
                }
            }
        }
        ThingKind::System => {
            for zone in survey.zones.iter().filter(|zone| zone.system.as_str() == thing.name()) {
                touch(&zone.id);
            }
        }
        _ => {}
    }
    zones
}
