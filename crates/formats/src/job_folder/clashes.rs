//! Unsettled versions of the record, marked in the survey that shows one of them.

use tooth_job::record::{Content, Folded, Held, Thing, ThingKind, Value, Version};
use tooth_job::survey::{Clash, Survey, ZoneId};

use super::JobFolder;
use crate::text::Fault;

impl JobFolder {
    /// Marks what the record holds in more than one version.
    pub fn mark_clashes(&mut self, folded: &Folded<'_>) {
        for (thing, held) in folded.clashes() {
            let clash = Clash {
                about: thing.words(),
                versions: held.versions.iter().map(said).collect(),
                zones: zones(&self.survey, thing, held),
            };
            let found = format!("{} versions", clash.versions.len());
            self.warnings.push(Fault::warning(&thing.to_string(), "one version", found));
            self.survey.clashes.push(clash);
        }
    }
}

/// "M. Adeyemi on tablet 2: 212 psi".
fn said(version: &Version<'_>) -> String {
    let author = version.author.map_or("somebody", |name| name.as_str());
    format!("{author} ({}) says {}", version.device, short(&version.content))
}

fn short(content: &Content<'_>) -> String {
    let text = |value: &Value| match value {
        Value::String(text) => text.clone(),
        other => other.to_string(),
    };
    match content {
        Content::Withdrawn => "that it does not count".to_owned(),
        Content::File { hash, .. } => {
            let start: String = hash.to_string().chars().take(8).collect();
            format!("file {start}")
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
            said.join(", ").chars().take(120).collect()
        }
        Content::Value(value) => text(value).chars().take(120).collect(),
    }
}

/// Zones that any version names or lies in; none where that cannot be told, which
/// means all.
fn zones(survey: &Survey, thing: &Thing, held: &Held<'_>) -> Vec<ZoneId> {
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
            // Only an edit that leaves its place alone stays in its zones.
            let places: Vec<Option<&Value>> = held
                .versions
                .iter()
                .map(|version| match version.content {
                    Content::Value(value) => value.get("geometry"),
                    _ => None,
                })
                .collect();
            if places.windows(2).any(|pair| pair[0] != pair[1]) {
                return Vec::new();
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
