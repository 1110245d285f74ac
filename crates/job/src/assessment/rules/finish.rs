//! What the owner will see: marks under see-through finishes, agreed exposure,
//! consent to marking tests, and the sample panel.

use tooth_measure::choice::{Choice as _, capital};
use tooth_measure::{Length, Source};

use crate::assessment::finding::{
    Evidence, FindingState, Outcome, SettingOf, before_work, deciding, found,
};
use crate::assessment::look::{Look, of_feature, of_reading};
use crate::survey::{Feature, Matter, MethodId, Place, Reaction, Seen, SystemClass};

/// Ghosts, exposure and consent where the concrete shows.
pub(crate) fn see_through(look: &Look<'_>) -> Vec<Outcome> {
    const CODE: Matter = Matter::SeeThrough;
    if !look.system.see_through {
        return Vec::new();
    }
    let mut said = Vec::new();
    for feature in look.features() {
        let Seen::Ghost { of } = &feature.seen else {
            continue;
        };
        said.push(found(
            CODE,
            FindingState::Hold,
            format!(
                "{}: {of} will show through the finish. Show it to the owner on the sample panel.",
                feature.id
            ),
            vec![of_feature(feature)],
            Source::COMMON_PRACTICE,
        ));
    }
    if !look.extent.patches.is_empty() || !look.extent.shallow.is_empty() {
        said.push(found(
            CODE,
            FindingState::Hold,
            "Patches will show through the finish as patches: the owner decides before they are made.",
            vec![Evidence::System(look.system.id.clone())],
            Source::COMMON_PRACTICE,
        ));
    }
    match look.system.agreed_exposure {
        None => said.push(deciding(
            CODE,
            "how far aggregate and scratch pattern may show",
            "agree it with the owner on a sample panel",
            1,
        )),
        Some(agreed) => said.push(found(
            CODE,
            FindingState::Fine,
            format!("Agreed exposure: {}. No work on the surface goes beyond it; a patch or a routed crack shows.", agreed.words()),
            vec![Evidence::System(look.system.id.clone())],
            Source::DATA_SHEET,
        )),
    }
    let marking: Vec<Evidence> = look
        .survey
        .readings_of(look.zone)
        .filter(|reading| reading.measured.marks())
        .map(of_reading)
        .collect();
    // A consent says nothing of what was done before it.
    let consents = look.survey.facts.consents.iter();
    let agreed = consents.filter(|c| c.zones.contains(&look.zone.id)).map(|c| c.date).min();
    let early: Vec<Evidence> = look
        .survey
        .readings_of(look.zone)
        .filter(|r| r.measured.marks() && agreed.is_some_and(|date| r.time.date() < date))
        .map(of_reading)
        .collect();
    if !early.is_empty() {
        said.push(found(
            CODE,
            FindingState::Hold,
            format!(
                "{} test{} left a mark before the owner's consent was given: tell the owner.",
                early.len(),
                if early.len() == 1 { "" } else { "s" }
            ),
            early,
            Source::COMMON_PRACTICE,
        ));
    }
    if !look.marking_agreed() {
        if marking.is_empty() {
            said.push(before_work(
                CODE,
                "the owner's consent to tests that leave a mark",
                "signed consent that names the places",
                1,
            ));
        } else {
            said.push(found(
                CODE,
                FindingState::Hold,
                format!(
                    "{} test{} left a mark and no consent of the owner is recorded.",
                    marking.len(),
                    if marking.len() == 1 { "" } else { "s" }
                ),
                marking,
                Source::COMMON_PRACTICE,
            ));
        }
    }
    said
}

/// Damage found once work had begun: signed before it is covered.
pub(crate) fn hidden_damage(look: &Look<'_>) -> Vec<Outcome> {
    let orders = look.survey.facts.change_orders.iter().filter(|o| o.zone == look.zone.id);
    orders
        .map(|order| {
            let amount = order.amount.show_both(look.units());
            let (state, follows) = match (&order.signed_by, order.proceed) {
                (Some(signer), _) => (FindingState::Fine, format!("signed by {signer}")),
                (None, true) => (
                    FindingState::Hold,
                    "not signed: the work goes on elsewhere, and nothing covers it until it is"
                        .to_owned(),
                ),
                (None, false) => {
                    (FindingState::Hold, "not signed: the work stops there".to_owned())
                }
            };
            found(
                Matter::HiddenDamage,
                state,
                format!("Change order {}: {}, {amount}; {follows}.", order.id, order.found),
                vec![Evidence::ChangeOrder(order.id.to_string())],
                Source::COMMON_PRACTICE,
            )
        })
        .collect()
}

/// A thickness that the guide puts in another class, or in none.
pub(crate) fn product_fit(look: &Look<'_>) -> Vec<Outcome> {
    let (class, thickness) = (look.system.class, look.system.thickness);
    let classes = SystemClass::of_thickness(thickness);
    let exempt = class == SystemClass::Stain;
    if exempt || classes.contains(&class) {
        return Vec::new();
    }
    let named: Vec<&str> = classes.iter().map(|class| class.words()).collect();
    vec![before_work(
        Matter::ProductFit,
        format!(
            "which class a {} of {} belongs to: the guide's thicknesses say {}",
            class.words(),
            look.detail(thickness),
            named.join(" or ")
        ),
        "ask the data sheet for thickness and profile",
        1,
    )]
}

/// A stain shows where the slab drinks more and where less.
pub(crate) fn evenness(look: &Look<'_>) -> Vec<Outcome> {
    if look.system.class != SystemClass::Stain {
        return Vec::new();
    }
    // What comes off before says nothing of the slab.
    let mut drops = look.water_drops();
    drops.retain(|(reading, _)| !look.on_a_film(reading));
    let times = drops.iter().map(|(_, time)| time.seconds());
    let quickest = times.clone().fold(f64::INFINITY, f64::min);
    let slowest = times.fold(0.0, f64::max);
    let limit = look.limits().uneven_absorption;
    if drops.len() < 2 || slowest <= quickest.max(1.0) * limit.value {
        return Vec::new();
    }
    let said = found(
        Matter::SeeThrough,
        FindingState::Hold,
        format!(
            "Water drops took from {quickest:.0} to {slowest:.0} s: the stain will take unevenly. Show it to the owner on the sample panel, light and dark places both."
        ),
        drops.iter().map(|(reading, _)| of_reading(reading)).collect(),
        limit.source,
    );
    vec![said.by_setting(SettingOf::Limits, "uneven_absorption", &format!("{}", limit.value))]
}

/// A panel on the actual slab, approved by a named person, before full work.
pub(crate) fn sample_panel(look: &Look<'_>) -> Vec<Outcome> {
    const CODE: Matter = Matter::SamplePanel;
    let mut said = panel_results(look);
    let panels: Vec<_> = look
        .features()
        .filter_map(|f| match &f.seen {
            Seen::SamplePanel { approved_by, .. } => Some((f, approved_by)),
            _ => None,
        })
        .collect();
    if let Some((panel, Some(signer))) = panels.iter().find(|(_, signer)| signer.is_some()) {
        said.push(found(
            CODE,
            FindingState::Fine,
            format!("{}: sample panel approved by {signer}.", panel.id),
            vec![of_feature(panel)],
            Source::COMMON_PRACTICE,
        ));
        said.extend(not_photographed(look, panel));
        return said;
    }
    let what = if panels.is_empty() {
        "a sample panel on this slab"
    } else {
        "approval of the sample panel"
    };
    said.push(before_work(
        CODE,
        what,
        "prepare, finish and bond-test a panel; photographs wet, dry and sealed; signed by a person with authority",
        1,
    ));
    said
}

/// Where the concrete shows, what was approved is kept: the panel dry, wet and sealed, each
/// under a light that somebody names.
fn not_photographed(look: &Look<'_>, panel: &Feature) -> Option<Outcome> {
    let Place::Patch(outline) = &panel.place else { return None };
    if !look.system.see_through {
        return None;
    }
    let near = outline.region().within(NEAR);
    let lights: Vec<String> = look
        .features()
        .filter(|feature| near.holds(feature.place.label_place()))
        .filter_map(|feature| match &feature.seen {
            Seen::Photo { light, .. } => Some(light.to_lowercase()),
            _ => None,
        })
        .collect();
    let missing: Vec<&str> = ["dry", "wet", "sealed"]
        .into_iter()
        .filter(|state| !lights.iter().any(|light| light.contains(state)))
        .collect();
    (!missing.is_empty()).then(|| {
        before_work(
            Matter::SamplePanel,
            format!("how {} looks {}", panel.id, missing.join(", ")),
            "photographs of the panel, the light named beside each",
            missing.len() as u32,
        )
    })
}

/// A photograph taken this far from a panel shows it.
const NEAR: Length = Length::from_metres(1.0);

/// What panels have shown: the profile that a method gives on this slab, and whether the
/// finish takes.
fn panel_results(look: &Look<'_>) -> Vec<Outcome> {
    let (range, _) = look.system.profile_range();
    let mut said = Vec::new();
    for panel in look.features() {
        let Seen::SamplePanel { method, profile, reaction, .. } = &panel.seen else { continue };
        let mut say = |state, what: String| {
            let reason = format!("{}: {what}", panel.id);
            let evidence = vec![of_feature(panel)];
            said.push(found(Matter::SamplePanel, state, reason, evidence, MEASURED_ON_PANEL));
        };
        if let (Some(method), Some(profile)) = (method, profile) {
            if range.holds(*profile) {
                say(
                    FindingState::Fine,
                    format!("{} gave {profile} here, as asked for.", words(method)),
                );
            } else {
                say(
                    FindingState::Hold,
                    format!(
                        "{} gave {profile} here, asked for is {range}: the plan reckons with what it gives, and what is planned instead needs a panel of its own.",
                        words(method)
                    ),
                );
            }
        }
        match reaction {
            Some(Reaction::Even) => say(FindingState::Fine, "the finish took evenly.".to_owned()),
            Some(Reaction::Uneven) => say(
                FindingState::Hold,
                "the finish took unevenly: the owner decides whether it may look so before full work.".to_owned(),
            ),
            Some(Reaction::None) => say(
                FindingState::Prepare,
                "the finish did not take: the surface is closed there, and the preparation must open it.".to_owned(),
            ),
            None => {}
        }
        if *reaction == Some(Reaction::None) {
            said.push(deciding(
                Matter::SamplePanel,
                format!("whether the finish takes where {} took nothing", panel.id),
                "another panel, prepared another way, left to dry and finished",
                1,
            ));
        }
    }
    said
}

/// A method's name as a person writes it.
fn words(method: &MethodId) -> String {
    capital(&method.as_str().replace('_', " "))
}

const MEASURED_ON_PANEL: Source =
    Source::new("sample panel on this slab", tooth_measure::Certainty::Measured);
