//! What shows that an area is prepared: one list for the crew's STOP, for the report and for
//! acceptance.

use schemars::JsonSchema;
use serde::Serialize;
use tooth_measure::choice::choices;

use super::Step;
use crate::assessment::{FieldTest, Look};
use crate::extent::{is_oil, oil_came_back};
use crate::methods::Catalogue;
use crate::survey::FeatureId;

choices! {
    /// A test of a prepared area.
    ProofTest {
        /// Profile by eye and finger against comparator chips.
        ChipRating = "chip_rating", "Chip rating";
        /// Tensile pull-off strength.
        PullOff = "pull_off", "Pull-off strength";
        /// Water soaks in.
        WaterDrop = "water_drop", "Water drop";
        /// pH after the last rinse.
        SurfacePh = "surface_ph", "pH of the surface";
        /// No oil has come back.
        OilBleedBack = "oil_bleed_back", "Oil, 24 h after cleaning";
        /// Humidity in the slab.
        InSlabHumidity = "in_slab_humidity", "Humidity in the slab";
        /// Moisture emission.
        MoistureEmission = "moisture_emission", "Moisture emission";
        /// A dark cloth stays clean.
        DarkCloth = "dark_cloth", "Dark cloth";
        /// Surface above dew point on the day.
        DewPoint = "dew_point", "Margin above dew point";
    }
}

/// A test that an area must pass before its system goes down.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Proof {
    /// Which.
    pub test: ProofTest,
    /// How many at least.
    pub count: u32,
    /// The marks that it is about; empty for the area.
    pub features: Vec<FeatureId>,
}

/// All tests of an area that is prepared with some steps.
#[must_use]
pub fn proof_of(look: &Look<'_>, steps: &[Step], catalogue: &Catalogue) -> Vec<Proof> {
    let system = look.system;
    let of = |test, counted: FieldTest| Proof {
        test,
        count: look.needed(counted),
        features: Vec::new(),
    };
    let mut proof = vec![
        of(ProofTest::ChipRating, FieldTest::ChipRating),
        of(ProofTest::WaterDrop, FieldTest::WaterDrop),
        of(ProofTest::DarkCloth, FieldTest::DarkCloth),
    ];
    if system.least_pull_off_strength.is_some() {
        proof.push(of(ProofTest::PullOff, FieldTest::PullOff));
    }
    let methods = || steps.iter().filter_map(|step| catalogue.method(&step.method));
    // pH is asked for where something was rinsed, or acid used.
    if methods().any(|method| method.acid) || system.ph.is_some() && methods().any(|m| m.wet) {
        proof.push(of(ProofTest::SurfacePh, FieldTest::SurfacePh));
    }
    let oily: Vec<FeatureId> = look
        .features()
        .filter(|mark| is_oil(&mark.seen) && !oil_came_back(look.survey, look.zone, mark))
        .map(|mark| mark.id.clone())
        .collect();
    if !oily.is_empty() {
        let count = oily.len() as u32;
        proof.push(Proof { test: ProofTest::OilBleedBack, count, features: oily });
    }
    if system.most_in_slab_humidity.is_some() {
        proof.push(of(ProofTest::InSlabHumidity, FieldTest::InSlabHumidity));
    }
    if system.most_moisture_emission.is_some() {
        proof.push(of(ProofTest::MoistureEmission, FieldTest::MoistureEmission));
    }
    proof.push(Proof { test: ProofTest::DewPoint, count: 1, features: Vec::new() });
    proof
}

impl Proof {
    /// What a person reads before the system goes down.
    #[must_use]
    pub fn words(&self, look: &Look<'_>) -> String {
        let count = self.count;
        let s = if count == 1 { "" } else { "s" };
        let range = look.system.profile_range().0;
        match self.test {
            ProofTest::ChipRating => {
                format!("{range} by {count} chip ratings of two people, one after the other.")
            }
            ProofTest::WaterDrop => format!(
                "{count} water drop{s} soak in within {:.0} s.",
                look.absorbed_within().seconds()
            ),
            ProofTest::DarkCloth => format!("A dark cloth stays clean at {count} places."),
            ProofTest::PullOff => {
                let least = look.system.least_pull_off_strength;
                let least = least.map_or_else(String::new, |least| look.both(least));
                format!("{count} pull-off test{s} on the prepared slab: {least}.")
            }
            ProofTest::SurfacePh => {
                format!(
                    "Surface pH read {count} times after the last rinse, before the water drains."
                )
            }
            ProofTest::OilBleedBack => {
                let marks: Vec<String> = self.features.iter().map(ToString::to_string).collect();
                format!("No oil has come back 24 h after cleaning: {}.", marks.join(", "))
            }
            ProofTest::InSlabHumidity => {
                let most = look.system.most_in_slab_humidity.map(|most| most.show_percent());
                format!("{count} humidity probe{s}, none above {}.", most.unwrap_or_default())
            }
            ProofTest::MoistureEmission => {
                let most = look.system.most_moisture_emission.map(|most| look.both(most));
                format!(
                    "{count} emission dish{}, none above {}.",
                    if count == 1 { "" } else { "es" },
                    most.unwrap_or_default()
                )
            }
            ProofTest::DewPoint => {
                "Air, humidity and surface read on the day: far enough above dew point.".to_owned()
            }
        }
    }
}
