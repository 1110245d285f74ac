//! What the owner will see: marks under see-through finishes, agreed exposure,
//! consent to marking tests, and the sample panel.

use tooth_measure::say::{Joint, Said, both, decimal, detail, listed, names, said};
use tooth_measure::{Length, Source};

use crate::assessment::finding::{
    Evidence, FindingState, Outcome, SettingOf, before_work, deciding, found,
};
use crate::assessment::look::{Look, of_feature, of_reading, of_readings};
use crate::assessment::rules::cracks_joints::{crack_verdict, decided_treatment};
use crate::methods::method_name;
use crate::survey::{
    Asked, Feature, GhostKind, LineTreatment, Matter, Measured, Place, Reaction, Seen, SystemClass,
};

/// Ghosts, exposure and consent where the concrete shows.
pub(crate) fn see_through(look: &Look<'_>) -> Vec<Outcome> {
    const CODE: Matter = Matter::SeeThrough;
    if !look.system.see_through {
        return Vec::new();
    }
    let mut said = Vec::new();
    for feature in look.features() {
        let Seen::Ghost { kind, of } = &feature.seen else {
            continue;
        };
        let what = match of.is_empty() {
            true => said!("value", of = *kind),
            false => said!("ghost-and-what-of-it", kind = *kind, of = of),
        };
        said.push(found(
            CODE,
            FindingState::Hold,
            said!(
                "will-show-through-the-finish-show",
                mark = &feature.id,
                what = what,
                cure = cure(*kind)
            ),
            vec![of_feature(feature)],
            Source::COMMON_PRACTICE,
        ));
    }
    said.extend(strip_edges(look));
    if !look.extent.patches.is_empty() || !look.extent.shallow.is_empty() {
        said.push(found(
            CODE,
            FindingState::Hold,
            said!("patches-will-show-through-the-finish"),
            vec![Evidence::System(look.system.id.clone())],
            Source::COMMON_PRACTICE,
        ));
    }
    said.extend(routed(look));
    match look.system.agreed_exposure {
        // Where the texture stays nothing is exposed.
        _ if look.zone.kept.is_some() => {}
        None => said.push(deciding(
            CODE,
            said!("how-far-aggregate-and-scratch-pattern"),
            said!("agree-it-with-the-owner"),
            1,
        )),
        Some(agreed) => said.push(found(
            CODE,
            FindingState::Fine,
            said!("agreed-exposure-no-work-on-the-surface", agreed = agreed),
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
            said!("test-left-a-mark-before-the-owner", count = early.len()),
            early,
            Source::COMMON_PRACTICE,
        ));
    }
    if !look.marking_agreed() {
        if marking.is_empty() {
            said.push(before_work(
                CODE,
                said!("the-owner-consent-to-tests-that-leave"),
                said!("signed-consent-that-names-the-places"),
                1,
            ));
        } else {
            said.push(found(
                CODE,
                FindingState::Hold,
                said!("test-left-a-mark-and-no-consent", count = marking.len()),
                marking,
                Source::COMMON_PRACTICE,
            ));
        }
    }
    said
}

/// Cracks that are cut open where the texture stays: the cut shows.
fn routed(look: &Look<'_>) -> Option<Outcome> {
    look.zone.kept?;
    let cut = |crack: &&Feature| {
        let decided = decided_treatment(look.survey, crack);
        let judged = || {
            crack_verdict(look.survey, look.system, crack).and_then(|verdict| verdict.treatment())
        };
        let cuts = [LineTreatment::RoutAndFill, LineTreatment::RoutAndSeal, LineTreatment::Stitch];
        matches!(crack.seen, Seen::Crack { .. })
            && decided.or_else(judged).is_some_and(|treatment| cuts.contains(&treatment))
    };
    let cracks: Vec<&Feature> = look.features().filter(cut).collect();
    (!cracks.is_empty()).then(|| {
        found(
            Matter::SeeThrough,
            FindingState::Hold,
            said!("routed-crack-will-show", marks = names(cracks.iter().map(|crack| &crack.id))),
            cracks.iter().map(|crack| of_feature(crack)).collect(),
            Source::COMMON_PRACTICE,
        )
    })
}

/// The usual cure of a mark that shows, and what stays of it.
fn cure(kind: GhostKind) -> Said {
    match kind {
        GhostKind::GlueRows => said!("cure-of-glue-rows"),
        GhostKind::TilePattern => said!("cure-of-a-tile-pattern"),
        GhostKind::CarpetLines => said!("cure-of-carpet-lines"),
        GhostKind::OldPatch => said!("cure-of-an-old-patch"),
        GhostKind::StripEdge => said!("cure-of-a-strip-edge"),
        GhostKind::ChalkLine => said!("cure-of-chalk"),
        GhostKind::Marker => said!("cure-of-marker"),
        GhostKind::PaintSpots => said!("cure-of-paint-spots"),
        GhostKind::TyreMarks => said!("cure-of-tyre-marks"),
        GhostKind::Other => said!("cure-by-trial"),
    }
}

/// Where a film comes off a part of the area, the edge of what was worked on will show.
fn strip_edges(look: &Look<'_>) -> Option<Outcome> {
    let stripped = look.stripped_films();
    let area = look.all_stripped_ground().area();
    look.leaves_an_edge().then(|| {
        found(
            Matter::SeeThrough,
            FindingState::Hold,
            said!(
                "the-edge-of-what-is-stripped-shows",
                marks = names(stripped.iter().map(|mark| &mark.id)),
                area = both(area),
                rest = both(look.extent.net - area)
            ),
            stripped.iter().map(|mark| of_feature(mark)).collect(),
            Source::COMMON_PRACTICE,
        )
    })
}

/// Damage found once work had begun: signed before it is covered.
pub(crate) fn hidden_damage(look: &Look<'_>) -> Vec<Outcome> {
    let orders = look.survey.facts.change_orders.iter().filter(|o| o.zone == look.zone.id);
    orders
        .map(|order| {
            let (state, follows) = match (&order.signed_by, order.proceed) {
                (Some(signer), _) => (FindingState::Fine, said!("signed-by", signer = signer)),
                (None, true) => {
                    (FindingState::Hold, said!("not-signed-the-work-goes-on-elsewhere"))
                }
                (None, false) => (FindingState::Hold, said!("not-signed-the-work-stops-there")),
            };
            found(
                Matter::HiddenDamage,
                state,
                said!(
                    "change-order",
                    order = &order.id,
                    found = &order.found,
                    amount = order.amount.said(),
                    follows = follows
                ),
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
    vec![before_work(
        Matter::ProductFit,
        said!(
            "which-class-a-of-belongs",
            class = class,
            thickness = both(detail(thickness)),
            classes = listed(Joint::Or, classes)
        ),
        said!("ask-the-data-sheet-for-thickness"),
        1,
    )]
}

/// Seconds of the quickest and the slowest of some drops.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Pace {
    quickest: f64,
    slowest: f64,
}

impl Pace {
    /// None of fewer than two drops.
    pub(crate) fn of(seconds: impl Iterator<Item = f64> + Clone) -> Option<Self> {
        (seconds.clone().count() > 1).then(|| Self {
            quickest: seconds.clone().fold(f64::INFINITY, f64::min),
            slowest: seconds.fold(0.0, f64::max),
        })
    }

    /// The slowest over the quickest; nobody times less than a second.
    pub(crate) fn ratio(self) -> f64 {
        self.slowest / self.quickest.max(1.0)
    }
}

/// A stain shows where the slab drinks more and where less.
pub(crate) fn evenness(look: &Look<'_>) -> Vec<Outcome> {
    if !look.shows_unevenness() {
        return Vec::new();
    }
    let stain = look.readings(|m| match m {
        Measured::StainDrop(took) => Some(*took),
        _ => None,
    });
    let uneven = stain.iter().any(|(_, took)| *took == Reaction::Uneven);
    if uneven {
        return vec![found(
            Matter::Evenness,
            FindingState::Hold,
            said!("stain-drops-came-out-unevenly"),
            of_readings(&stain),
            Source::COMMON_PRACTICE,
        )];
    }
    // What comes off before says nothing of the slab.
    let mut drops = look.water_drops();
    drops.retain(|(reading, _)| !look.on_a_film(reading));
    let limit = look.limits().uneven_absorption;
    let Some(Pace { quickest, slowest }) = Pace::of(drops.iter().map(|(_, time)| time.seconds()))
        .filter(|pace| pace.ratio() > limit.value)
    else {
        return Vec::new();
    };
    let said = found(
        Matter::Evenness,
        FindingState::Hold,
        said!(
            "water-drops-took-from-to-s",
            quickest = decimal(quickest, 0),
            slowest = decimal(slowest, 0)
        ),
        drops.iter().map(|(reading, _)| of_reading(reading)).collect(),
        limit.source,
    );
    vec![said.by_setting(SettingOf::Limits, "uneven_absorption", limit.value)]
}

/// A panel on the actual slab, approved by a named person, before full work.
pub(crate) fn sample_panel(look: &Look<'_>) -> Vec<Outcome> {
    const CODE: Matter = Matter::SamplePanel;
    let mut said = panel_results(look);
    // One panel shows what areas that are alike become.
    let lot = look.survey.lot_of(look.zone).flat_map(|zone| look.survey.features_of(zone));
    let panels: Vec<_> = lot
        .filter_map(|f| match &f.seen {
            Seen::SamplePanel { approved_by, .. } => Some((f, approved_by)),
            _ => None,
        })
        .collect();
    if let Some((panel, Some(signer))) = panels.iter().find(|(_, signer)| signer.is_some()) {
        said.push(found(
            CODE,
            FindingState::Fine,
            said!("sample-panel-approved", mark = &panel.id, signer = signer),
            vec![of_feature(panel)],
            Source::COMMON_PRACTICE,
        ));
        said.extend(not_photographed(look, panel));
        return said;
    }
    let what = if panels.is_empty() {
        said!("a-sample-panel-on-this-slab")
    } else {
        said!("approval-of-the-sample-panel")
    };
    said.push(before_work(CODE, what, said!("prepare-finish-and-bond-test-a-panel"), 1));
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
    let states = [
        ("dry", said!("panel-dry")),
        ("wet", said!("panel-wet")),
        ("sealed", said!("panel-sealed")),
    ];
    let missing: Vec<Said> = states
        .into_iter()
        .filter(|(state, _)| !lights.iter().any(|light| light.contains(state)))
        .map(|(_, said)| said)
        .collect();
    let count = missing.len() as u32;
    (count > 0).then(|| {
        before_work(
            Matter::SamplePanel,
            said!("how-looks", mark = &panel.id, missing = listed(Joint::Comma, missing)),
            said!("photographs-of-the-panel-the-light"),
            count,
        )
    })
}

/// A photograph taken this far from a panel shows it.
const NEAR: Length = Length::from_metres(1.0);

/// What panels have shown: the profile that a method gives on this slab, and whether the
/// finish takes.
fn panel_results(look: &Look<'_>) -> Vec<Outcome> {
    let (range, asked) = look.target();
    let mut said = Vec::new();
    for panel in look.features() {
        let Seen::SamplePanel { method, profile, reaction, .. } = &panel.seen else { continue };
        let mut say = |state, what: Said| {
            let reason = said!("panel-shows", mark = &panel.id, what = what);
            let evidence = vec![of_feature(panel)];
            said.push(found(Matter::SamplePanel, state, reason, evidence, MEASURED_ON_PANEL));
        };
        let named = method.as_ref().zip(*profile).filter(|_| asked != Asked::ByGuide);
        if let Some((method, profile)) = named {
            if range.holds(profile) {
                say(
                    FindingState::Fine,
                    said!("gave-here-as-asked", method = method_name(method), profile = profile),
                );
            } else {
                say(
                    FindingState::Hold,
                    said!(
                        "gave-here-asked-for-is-the-plan",
                        method = method_name(method),
                        profile = profile,
                        range = range
                    ),
                );
            }
        }
        match reaction {
            Some(Reaction::Even) => say(FindingState::Fine, said!("the-finish-took-evenly")),
            Some(Reaction::Uneven) => {
                say(FindingState::Hold, said!("the-finish-took-unevenly-the-owner"))
            }
            Some(Reaction::None) => {
                say(FindingState::Prepare, said!("the-finish-did-not-take-the-surface"))
            }
            None => {}
        }
        if *reaction == Some(Reaction::None) {
            said.push(deciding(
                Matter::SamplePanel,
                said!("whether-the-finish-takes-where-took", mark = &panel.id),
                said!("another-panel-prepared-another-way"),
                1,
            ));
        }
    }
    said
}

const MEASURED_ON_PANEL: Source =
    Source::new("title-sample-panel-on-this-slab", tooth_measure::Certainty::Measured);
