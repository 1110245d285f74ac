//! Tap surveys: recordings that were sounded, as evidence beside what people traced.

use tooth_measure::Area;
use tooth_measure::say::said;
use tooth_sounding::{Groups, HollowArea, Sounding};

use super::{Feature, FeatureId, Hollow, HollowKind, Place, Seen, SoundingMethod};

/// One recording with its list of taps.
#[derive(Debug, Clone, PartialEq)]
pub struct TapSurvey {
    /// Its name: that of its files in `sounding/`.
    pub name: FeatureId,
    /// What it says.
    pub sounding: Sounding,
}

/// A heard area this much of which somebody traced is that person's to describe.
const TRACED: f64 = 0.3;
/// Fewest taps, and likeliest of them, that make a hollow place sure.
const SURE_TAPS: usize = 2;
const SURE: f64 = 0.9;

impl TapSurvey {
    /// Whether anybody's known taps say which group is hollow.
    #[must_use]
    pub fn is_established(&self) -> bool {
        self.sounding.groups != Groups::NotEstablished
    }

    /// The plane that was sounded and the hollow places heard on it, as things of the
    /// plan. None where it is not established what is hollow: an unknown then, never
    /// sound. A place that somebody traced is left out: the outline with chalk, and what
    /// an opened spot showed, go before the grid.
    #[must_use]
    pub fn features(&self, traced: &[Feature]) -> Vec<Feature> {
        let Some(field) = self.sounding.field.as_ref().filter(|_| self.is_established()) else {
            return Vec::new();
        };
        let named = |text: String| FeatureId::new(&text);
        let mut features = Vec::new();
        if let Some(id) = named(format!("tap-{}", self.name)) {
            features.push(Feature {
                id,
                place: Place::Patch(field.border.clone()),
                seen: Seen::Sounded { method: SoundingMethod::TapGrid },
                note: said!(
                    "recording-taps",
                    name = self.name.as_str(),
                    count = self.sounding.taps.len()
                ),
            });
        }
        for (number, area) in field.areas.iter().enumerate() {
            if is_traced(area, traced) {
                continue;
            }
            let Some(id) = named(self.hollow_id(number)) else { continue };
            features.push(Feature {
                id,
                place: Place::Patch(area.outline.clone()),
                seen: Seen::Hollow {
                    sure: if self.is_sure(area) { Hollow::Sure } else { Hollow::Doubtful },
                    kind: HollowKind::Unknown,
                    depth: None,
                },
                note: said!(
                    "heard-on-recording-by-tap",
                    name = self.name.as_str(),
                    count = area.taps.len()
                ),
            });
        }
        features
    }

    /// The name of a hollow place that was heard on it, counted from 0.
    #[must_use]
    pub fn hollow_id(&self, number: usize) -> String {
        format!("tap-{}-{}", self.name, number + 1)
    }

    fn is_sure(&self, area: &HollowArea) -> bool {
        let likely = |tap: &&usize| {
            self.sounding.taps.get(**tap).is_some_and(|tap| tap.hollow.ratio() >= SURE)
        };
        area.taps.iter().filter(likely).count() >= SURE_TAPS
    }
}

fn is_traced(area: &HollowArea, traced: &[Feature]) -> bool {
    let shared: Area = traced
        .iter()
        .filter(|feature| matches!(feature.seen, Seen::Hollow { .. }))
        .filter_map(|feature| match &feature.place {
            Place::Patch(outline) => Some(outline.shared_area(&area.outline)),
            _ => None,
        })
        .sum();
    shared / area.outline.area() > TRACED
}
