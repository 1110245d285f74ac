//! What shows that an area is prepared: one list for the crew's STOP, for the report and for
//! acceptance.

use schemars::JsonSchema;
use serde::Serialize;
use tooth_measure::choice::choices;
use tooth_measure::say::{Said, both, names, percent, said, seconds};

use super::Step;
use crate::assessment::{FieldTest, Look};
use crate::extent::{is_oil, oil_came_back};
use crate::methods::Catalogue;
use crate::survey::FeatureId;

choices! {
    /// A test of a prepared area.
    ProofTest {
        /// Profile by eye and finger against comparator chips.
        ChipRating = "chip_rating";
        /// Tensile pull-off strength.
        PullOff = "pull_off";
        /// Water soaks in.
        WaterDrop = "water_drop";
        /// pH after the last rinse.
        SurfacePh = "surface_ph";
        /// No oil has come back.
        OilBleedBack = "oil_bleed_back";
        /// Humidity in the slab.
        InSlabHumidity = "in_slab_humidity";
        /// Moisture emission.
        MoistureEmission = "moisture_emission";
        /// A dark cloth stays clean.
        DarkCloth = "dark_cloth";
        /// Surface above dew point on the day.
        DewPoint = "dew_point";
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
    pub fn said(&self, look: &Look<'_>) -> Said {
        let count = self.count;
        let range = look.system.profile_range().0;
        match self.test {
            ProofTest::ChipRating => {
                said!("by-chip-ratings-of-two-people-one", range = range, count = count)
            }
            ProofTest::WaterDrop => said!(
                "water-drop-soak-in-within-s",
                count = count,
                within = seconds(look.absorbed_within())
            ),
            ProofTest::DarkCloth => said!("a-dark-cloth-stays-clean-at-places", count = count),
            ProofTest::PullOff => {
                let least = look.system.least_pull_off_strength;
                let least = least.map_or_else(|| Said::nothing().into(), both);
                said!("pull-off-test-on-the-prepared-slab", count = count, least = least)
            }
            ProofTest::SurfacePh => {
                said!("surface-ph-read-times-after-the-last", count = count)
            }
            ProofTest::OilBleedBack => {
                said!("no-oil-has-come-back-24-h", marks = names(&self.features))
            }
            ProofTest::InSlabHumidity => {
                let most = look.system.most_in_slab_humidity.map(percent);
                said!(
                    "humidity-probe-none-above",
                    count = count,
                    most = most.unwrap_or(Said::nothing().into())
                )
            }
            ProofTest::MoistureEmission => {
                let most = look.system.most_moisture_emission.map(both);
                said!(
                    "emission-dish-none-above",
                    count = count,
                    most = most.unwrap_or(Said::nothing().into())
                )
            }
            ProofTest::DewPoint => {
                said!("air-humidity-and-surface-read")
            }
        }
    }
}
