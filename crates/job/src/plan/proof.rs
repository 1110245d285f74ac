//! What shows that an area is prepared: one list for the crew's STOP, for the report and for
//! acceptance.

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::Serialize;
use tooth_measure::choice::choices;
use tooth_measure::say::{Said, both, decimal, detail, names, percent, said, seconds};

use super::Step;
use crate::assessment::{
    FieldTest, Finding, FindingState, Look, PLACES_OF_LIME, PLACES_OF_THE_KNIFE,
};
use crate::extent::{is_done_by_others, is_oil, oil_came_back};
use crate::methods::Catalogue;
use crate::survey::{ANY_PROFILE, Asked, FeatureId, Matter, Seen};

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
        /// A repaired place sounds like the slab about it.
        RepairSounding = "repair_sounding";
        /// Tensile pull-off strength of repairs.
        RepairPullOff = "repair_pull_off";
        /// A filled low spot under a straightedge.
        Straightedge = "straightedge";
        /// Humidity in the slab.
        InSlabHumidity = "in_slab_humidity";
        /// Moisture emission.
        MoistureEmission = "moisture_emission";
        /// Water soaks in where a remover was used.
        RemoverResidue = "remover_residue";
        /// Lime answers a drop of stain or acid.
        Lime = "lime";
        /// The slowest water drop against the quickest.
        Evenness = "evenness";
        /// A film that stays holds under the knife.
        FilmHolds = "film_holds";
        /// A dark cloth stays clean.
        DarkCloth = "dark_cloth";
        /// Surface above dew point on the day.
        DewPoint = "dew_point";
    }
}

/// Drops where a remover was used. Common practice: three places.
const REMOVER_DROPS: u32 = 3;

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

/// The tests that show that what a finding speaks of is gone, the usual one first. What no
/// preparation takes care of has none.
#[must_use]
pub const fn shown_gone_by(matter: Matter) -> &'static [ProofTest] {
    use ProofTest as P;
    match matter {
        Matter::HollowConcrete | Matter::Spalls => &[P::RepairSounding, P::RepairPullOff],
        Matter::Film | Matter::CoatingIdentity | Matter::DenseSurface | Matter::SeeThrough => {
            &[P::WaterDrop]
        }
        Matter::FilmKept => &[P::FilmHolds],
        Matter::Lime => &[P::Lime],
        Matter::Evenness => &[P::Evenness],
        Matter::SmallDamage => &[P::DarkCloth],
        Matter::OldCoating => &[P::RemoverResidue],
        Matter::Oil => &[P::OilBleedBack],
        Matter::Rust | Matter::Efflorescence => &[P::DarkCloth],
        Matter::WeakLayer
        | Matter::Scaling
        | Matter::PullOffStrength
        | Matter::PullOffRetest
        | Matter::Carbonation
        | Matter::Crazing => &[P::PullOff, P::DarkCloth],
        Matter::Profile
        | Matter::ProfileScan
        | Matter::ExposedAggregate
        | Matter::ScratchHardness
        | Matter::Settlement
        | Matter::Cracks
        | Matter::Joints
        | Matter::DeteriorationFromInside => &[P::ChipRating],
        Matter::Moisture => &[P::InSlabHumidity, P::MoistureEmission],
        Matter::SurfacePh => &[P::SurfacePh],
        Matter::LowSpots => &[P::Straightedge],
        Matter::Climate => &[P::DewPoint],
        Matter::Unsettled
        | Matter::Plausibility
        | Matter::Structure
        | Matter::EmbeddedItems
        | Matter::RepairShare
        | Matter::Chloride
        | Matter::HiddenDamage
        | Matter::Texture
        | Matter::Age
        | Matter::ProductFit
        | Matter::SamplePanel => &[],
    }
}

/// All tests of an area that is prepared with some steps: what every area is asked, what its
/// sheet asks, and for each finding that preparation takes care of the test that shows it gone.
#[must_use]
pub fn proof_of(
    look: &Look<'_>,
    findings: &[Finding],
    steps: &[Step],
    catalogue: &Catalogue,
) -> Vec<Proof> {
    let mut tests: BTreeSet<ProofTest> =
        [ProofTest::ChipRating, ProofTest::WaterDrop, ProofTest::DarkCloth, ProofTest::DewPoint]
            .into();
    let system = look.system;
    if system.needs_lime {
        tests.insert(ProofTest::Lime);
    }
    // What somebody signed as uneven is not asked again.
    let signed =
        |finding: &Finding| finding.code == Matter::Evenness && finding.overruled.is_some();
    if look.shows_unevenness() && !findings.iter().any(signed) {
        tests.insert(ProofTest::Evenness);
    }
    if system.least_pull_off_strength.is_some() {
        tests.insert(ProofTest::PullOff);
    }
    if system.most_in_slab_humidity.is_some() {
        tests.insert(ProofTest::InSlabHumidity);
    }
    if system.most_moisture_emission.is_some() {
        tests.insert(ProofTest::MoistureEmission);
    }
    let methods = || steps.iter().filter_map(|step| catalogue.method(&step.method));
    // pH is asked for where something was rinsed, or acid used.
    if methods().any(|method| method.acid) || system.ph.is_some() && methods().any(|m| m.wet) {
        tests.insert(ProofTest::SurfacePh);
    }
    // What is on the plan to be treated is looked at again, whatever anybody said of it.
    for mark in look.features() {
        match mark.seen {
            Seen::LowSpot { .. } => tests.insert(ProofTest::Straightedge),
            _ if is_oil(&mark.seen) => tests.insert(ProofTest::OilBleedBack),
            _ => false,
        };
    }
    if !look.removed_by_remover().is_empty() {
        tests.insert(ProofTest::RemoverResidue);
    }
    if !repaired(look).is_empty() {
        tests.insert(ProofTest::RepairSounding);
        tests.insert(ProofTest::RepairPullOff);
    }
    let treated = |finding: &&Finding| {
        matches!(finding.state, FindingState::Prepare | FindingState::Repair)
            && finding.overruled.is_none()
    };
    for finding in findings.iter().filter(treated) {
        tests.extend(shown_gone_by(finding.code));
    }
    // Water beads on a film that stays.
    if look.kept_all_over() {
        tests.remove(&ProofTest::WaterDrop);
        tests.remove(&ProofTest::Evenness);
    }
    // Nobody rates what nobody asks to be otherwise.
    if look.kept_all_over() || look.target().1 == Asked::ByNobody {
        tests.remove(&ProofTest::ChipRating);
    }
    tests.into_iter().filter_map(|test| asked(look, test)).collect()
}

/// A test with its count and marks; none where it has no limit here, or nothing to be done on.
fn asked(look: &Look<'_>, test: ProofTest) -> Option<Proof> {
    let system = look.system;
    let counted = |of: FieldTest| Some((look.needed(of), Vec::new()));
    let at = |marks: Vec<FeatureId>| Some((marks.len() as u32, marks));
    let (count, features) = match test {
        ProofTest::ChipRating => counted(FieldTest::ChipRating),
        ProofTest::WaterDrop => counted(FieldTest::WaterDrop),
        ProofTest::DarkCloth => counted(FieldTest::DarkCloth),
        ProofTest::Lime => Some((PLACES_OF_LIME, Vec::new())),
        ProofTest::Evenness => Some((1, Vec::new())),
        ProofTest::FilmHolds => {
            let kept: Vec<FeatureId> = look
                .features()
                .filter(|mark| look.stays(mark))
                .map(|mark| mark.id.clone())
                .collect();
            Some((PLACES_OF_THE_KNIFE * kept.len() as u32, kept))
        }
        ProofTest::SurfacePh => counted(FieldTest::SurfacePh),
        ProofTest::DewPoint => Some((1, Vec::new())),
        ProofTest::PullOff => {
            system.least_pull_off_strength.and_then(|_| counted(FieldTest::PullOff))
        }
        ProofTest::InSlabHumidity => {
            system.most_in_slab_humidity.and_then(|_| counted(FieldTest::InSlabHumidity))
        }
        ProofTest::MoistureEmission => {
            system.most_moisture_emission.and_then(|_| counted(FieldTest::MoistureEmission))
        }
        ProofTest::OilBleedBack => at(look
            .features()
            .filter(|mark| is_oil(&mark.seen) && !oil_came_back(look.survey, look.zone, mark))
            .map(|mark| mark.id.clone())
            .collect()),
        ProofTest::Straightedge => at(look
            .features()
            .filter(|mark| matches!(mark.seen, Seen::LowSpot { .. }))
            .map(|mark| mark.id.clone())
            .collect()),
        ProofTest::RemoverResidue => {
            let removed = look.removed_by_remover();
            Some((REMOVER_DROPS, removed.iter().map(|mark| mark.id.clone()).collect()))
        }
        ProofTest::RepairSounding => at(repaired(look)),
        ProofTest::RepairPullOff => {
            let repaired = repaired(look);
            system.least_pull_off_strength.map(|_| {
                // Repairs are a condition of their own; of fewer than three, each.
                (look.needed(FieldTest::PullOff).min(repaired.len() as u32), repaired)
            })
        }
    }?;
    let on_marks = matches!(
        test,
        ProofTest::OilBleedBack
            | ProofTest::FilmHolds
            | ProofTest::Straightedge
            | ProofTest::RemoverResidue
            | ProofTest::RepairSounding
            | ProofTest::RepairPullOff
    );
    (!on_marks || !features.is_empty()).then_some(Proof { test, count, features })
}

/// The places that are cut out and filled.
fn repaired(look: &Look<'_>) -> Vec<FeatureId> {
    let squared = look.extent.patches.iter().flat_map(|patch| patch.holds.iter().cloned());
    let shallow = look.extent.shallow.iter().map(|spall| spall.feature.clone());
    // What others repair is tapped and pulled like our own.
    let others = look.features().filter(|mark| is_done_by_others(look.survey, look.zone, mark));
    let others = others.map(|mark| mark.id.clone());
    let mut marks: Vec<FeatureId> = squared.chain(shallow).chain(others).collect();
    let loose = |id: &FeatureId| {
        let mark = look.survey.features.iter().find(|mark| mark.id == *id);
        mark.is_some_and(|mark| matches!(mark.seen, Seen::Hollow { .. } | Seen::Spall { .. }))
    };
    marks.retain(loose);
    marks.sort();
    marks.dedup();
    marks
}

impl Proof {
    /// What a person reads before the system goes down.
    #[must_use]
    pub fn said(&self, look: &Look<'_>) -> Said {
        let count = self.count;
        let range = look.target().0;
        match self.test {
            ProofTest::ChipRating if range == ANY_PROFILE => {
                said!("the-profile-of-the-sheet-by-chip-ratings", count = count)
            }
            ProofTest::ChipRating => {
                said!("by-chip-ratings-of-two-people-one", range = range, count = count)
            }
            ProofTest::WaterDrop => said!(
                "water-drop-soak-in-within-s",
                count = count,
                within = seconds(look.absorbed_within())
            ),
            ProofTest::RepairSounding => {
                said!("repairs-tapped-again-once-cured", marks = names(&self.features))
            }
            ProofTest::RepairPullOff => {
                let least = look.system.least_pull_off_strength;
                let least = least.map_or_else(|| Said::nothing().into(), both);
                said!(
                    "pull-off-test-on-repairs",
                    count = count,
                    marks = names(&self.features),
                    least = least
                )
            }
            ProofTest::Straightedge => said!(
                "low-spots-under-a-straightedge",
                marks = names(&self.features),
                most = both(detail(look.limits().low_spot_left.value))
            ),
            ProofTest::RemoverResidue => said!(
                "water-drops-where-remover-was",
                count = count,
                marks = names(&self.features),
                within = seconds(look.absorbed_within())
            ),
            ProofTest::Lime => said!("lime-answers-at-places", count = count),
            ProofTest::Evenness => said!(
                "slowest-drop-against-the-quickest",
                most = decimal(look.limits().uneven_absorption.value, 1)
            ),
            ProofTest::FilmHolds => {
                said!("the-film-that-stays-holds", marks = names(&self.features))
            }
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
