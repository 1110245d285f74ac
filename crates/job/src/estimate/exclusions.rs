//! What a client may think is in a price and is not: named, so that nothing is merely absent.

use schemars::JsonSchema;
use serde::Serialize;
use tooth_measure::Money;
use tooth_measure::choice::choices;

use crate::assessment::{CrackVerdict, crack_verdict};
use crate::methods::Catalogue;
use crate::plan::{Hold, Plan, Planned, Step};
use crate::survey::{Binding, Presence, Seen, SiteWork, Survey, ZoneId};

choices! {
    /// Something that is not in a price.
    Exclusion {
        /// The system's own material.
        SystemMaterial = "system_material";
        /// Laying the system.
        SystemLaying = "system_laying";
        /// Areas without a plan.
        Areas = "areas";
        /// Damage beyond what is marked.
        HiddenDamage = "hidden_damage";
        /// Parts of the slab that are replaced.
        ReplacedSlab = "replaced_slab";
        /// Oil that cleaning does not hold down.
        OilComesBack = "oil_comes_back";
        /// Tests and laboratory.
        Tests = "tests";
        /// Locate before cutting.
        Locate = "locate";
        /// Sample panels.
        SamplePanel = "sample_panel";
        /// Moisture mitigation.
        Moisture = "moisture";
        /// Protection and masking.
        Protection = "protection";
        /// Water, washout and its disposal on the site.
        Water = "water";
        /// Waste.
        Disposal = "disposal";
        /// Ways to the site.
        Travel = "travel";
        /// Moving goods and furniture.
        Clearing = "clearing";
        /// What a release asks to be done first.
        ReleaseWork = "release_work";
        /// Marks that were released and that no step treats.
        Released = "released";
        /// Fees of engineers and abatement firms.
        Specialists = "specialists";
    }
}

/// Something that is not in the price, and why it is named here.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Excluded {
    /// What.
    pub what: Exclusion,
    /// The areas that it concerns; empty for the whole job.
    pub zones: Vec<ZoneId>,
}

/// Everything that the job needs, or that a client would expect, and that no line prices.
pub(super) fn of(survey: &Survey, plan: &Plan, catalogue: &Catalogue) -> Vec<Excluded> {
    let facts = &survey.facts;
    let planned: Vec<_> = plan.zones.iter().filter(|zone| zone.state == Planned::Planned).collect();
    let priced =
        |works: &[SiteWork]| facts.site_items.iter().any(|item| works.contains(&item.what));
    let zones = |wanted: &dyn Fn(&crate::plan::ZonePlan) -> bool| -> Vec<ZoneId> {
        planned.iter().filter(|zone| wanted(zone)).map(|zone| zone.zone.clone()).collect()
    };
    let system = |zone: &crate::plan::ZonePlan| {
        let zone = survey.zones.iter().find(|held| held.id == zone.zone)?;
        survey.system_of(zone)
    };
    let held = |zone: &crate::plan::ZonePlan, hold: Hold| {
        zone.steps.iter().any(|step| step.holds.contains(&hold))
    };
    let wet = |step: &Step| catalogue.method(&step.method).is_some_and(|method| method.wet);
    let mut said = Vec::new();
    let mut say = |what, zones: Vec<ZoneId>| {
        if !zones.is_empty() {
            said.push(Excluded { what, zones });
        }
    };
    let no_material = |zone: &crate::plan::ZonePlan| {
        system(zone).is_some_and(|system| system.material.and_then(|held| held.price).is_none())
    };
    // The finish itself may stand among what the site asks for.
    let bought = |work: SiteWork, zone: &crate::plan::ZonePlan| {
        let here = |held: &ZoneId| *held == zone.zone;
        let mut items = facts.site_items.iter();
        items.any(|item| item.what == work && item.zone.as_ref().is_none_or(here))
    };
    let without_material =
        |zone: &crate::plan::ZonePlan| no_material(zone) && !bought(SiteWork::Finish, zone);
    say(Exclusion::SystemMaterial, zones(&without_material));
    say(Exclusion::SystemLaying, zones(&|zone| !bought(SiteWork::FinishLaying, zone)));
    let left: Vec<ZoneId> = plan
        .zones
        .iter()
        .filter(|zone| zone.state != Planned::Planned)
        .map(|zone| zone.zone.clone())
        .collect();
    say(Exclusion::Areas, left);
    say(Exclusion::HiddenDamage, zones(&|_| true));
    let replaced = |zone: &crate::plan::ZonePlan| {
        let held = survey.zones.iter().find(|held| held.id == zone.zone);
        held.zip(system(zone)).is_some_and(|(held, system)| {
            let mut cracks = survey.features_of(held);
            cracks.any(|c| crack_verdict(survey, system, c) == Some(CrackVerdict::Replaced))
        })
    };
    say(Exclusion::ReplacedSlab, zones(&replaced));
    let released = |zone: &crate::plan::ZonePlan| {
        facts.overrules.iter().any(|overrule| {
            let Some(mark) = &overrule.feature else { return false };
            let loose = survey.features.iter().any(|held| {
                held.id == *mark && matches!(held.seen, Seen::Hollow { .. } | Seen::Spall { .. })
            });
            overrule.zone == zone.zone
                && loose
                && overrule.by_others.is_none()
                && !zone.steps.iter().any(|step| step.features.contains(mark))
        })
    };
    let work_asked = |zone: &crate::plan::ZonePlan| {
        let mut terms = zone.steps.iter().flat_map(|step| &step.terms);
        let mut items = facts.site_items.iter();
        terms.any(|term| term.condition.binding == Binding::DoFirst)
            && !items.any(|item| {
                item.what == SiteWork::Other
                    && item.zone.as_ref().is_none_or(|held| *held == zone.zone)
            })
    };
    say(Exclusion::ReleaseWork, zones(&work_asked));
    say(Exclusion::Released, zones(&released));
    say(Exclusion::OilComesBack, zones(&|zone| held(zone, Hold::OilGone)));
    if !priced(&[SiteWork::Tests]) {
        let asked = |zone: &crate::plan::ZonePlan| {
            zone.tests_asked > 0 || held(zone, Hold::Laboratory) || held(zone, Hold::OpenedSpot)
        };
        say(Exclusion::Tests, zones(&asked));
    }
    if !priced(&[SiteWork::Locate]) {
        say(Exclusion::Locate, zones(&|zone| held(zone, Hold::Locate)));
    }
    if !priced(&[SiteWork::SamplePanel]) {
        let approved = |zone: &crate::plan::ZonePlan| {
            let zone = survey.zones.iter().find(|held| held.id == zone.zone);
            zone.is_some_and(|zone| {
                survey.features_of(zone).any(|feature| {
                    matches!(&feature.seen, Seen::SamplePanel { approved_by: Some(_), .. })
                })
            })
        };
        say(Exclusion::SamplePanel, zones(&|zone| !approved(zone)));
    }
    let dry = |zone: &crate::plan::ZonePlan| {
        system(zone).is_some_and(|system| {
            system.most_in_slab_humidity.is_some() || system.most_moisture_emission.is_some()
        })
    };
    if facts.slab.vapour_retarder != Presence::Present {
        say(Exclusion::Moisture, zones(&dry));
    }
    if !priced(&[SiteWork::Masking, SiteWork::Containment, SiteWork::AcidCover]) {
        say(Exclusion::Protection, zones(&|_| true));
    }
    if !priced(&[SiteWork::WaterAndWashout]) {
        say(Exclusion::Water, zones(&|zone| zone.steps.iter().any(wet)));
    }
    let mut whole_job = |what| {
        if !planned.is_empty() {
            said.push(Excluded { what, zones: Vec::new() });
        }
    };
    if facts.rates.disposal.per_kilogram() <= 0.0 {
        whole_job(Exclusion::Disposal);
    }
    if facts.rates.trip <= Money::ZERO {
        whole_job(Exclusion::Travel);
    }
    whole_job(Exclusion::Clearing);
    whole_job(Exclusion::Specialists);
    said
}
