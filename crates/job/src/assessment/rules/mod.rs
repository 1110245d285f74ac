//! The rules, each a function of what is known of one zone.

pub(super) mod age;
pub(super) mod climate;
pub(super) mod cracks_joints;
pub(super) mod finish;
pub(super) mod hazards;
pub(super) mod lime;
pub(super) mod moisture;
pub(super) mod plausibility;
pub(super) mod soundness;
pub(super) mod strength;
pub(super) mod surface;
pub(super) mod unsettled;

use super::finding::Outcome;
use super::look::Look;

pub(super) type Rule = fn(&Look<'_>) -> Vec<Outcome>;

/// All rules in the order of the gates.
pub(super) const IN_ORDER: &[Rule] = &[
    unsettled::unsettled,
    plausibility::plausibility,
    hazards::structure,
    hazards::embedded_items,
    hazards::old_coating,
    soundness::deterioration_from_inside,
    soundness::settlement,
    cracks_joints::cracks,
    cracks_joints::joints,
    soundness::hollow_concrete,
    soundness::spalls,
    soundness::repair_share,
    soundness::scaling,
    surface::film,
    surface::film_kept,
    surface::coating_identity,
    surface::oil,
    surface::rust_and_salts,
    lime::lime,
    surface::weak_layer,
    surface::worn_and_crazed,
    strength::scratch_hardness,
    strength::carbonation,
    strength::chloride,
    strength::pull_off_strength,
    age::age,
    moisture::moisture,
    moisture::surface_ph,
    surface::texture,
    surface::profile,
    surface::low_spots,
    soundness::small_damage,
    finish::hidden_damage,
    finish::product_fit,
    finish::evenness,
    climate::climate,
    finish::see_through,
    finish::sample_panel,
];
