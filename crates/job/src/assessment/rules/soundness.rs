//! Is the concrete itself whole: deterioration from inside, settlement, hollow
//! places, spalls, scaling.

use tooth_measure::choice::Choice as _;
use tooth_measure::{Area, Certainty, Length, Quantity as _, Source};

use crate::assessment::finding::{
    Ask, Evidence, FindingState, JobFact, Outcome, SettingOf, deciding, found,
};
use crate::assessment::look::{Look, of_feature, of_reading};
use crate::extent::ScalingClass;
use crate::survey::{
    Answer, Feature, Hollow, HollowKind, LaboratoryQuestion, Limits, Matter, Seen, SurfaceState,
};

/// Pattern cracking with moist aggregate or deposit: the concrete fails from inside.
pub(crate) fn deterioration_from_inside(look: &Look<'_>) -> Vec<Outcome> {
    const CODE: Matter = Matter::DeteriorationFromInside;
    let source = Source::new(
        "FHWA-RD-01-163, chapter 3: field signs alone cannot prove the mechanism, petrography can (ASTM C856); bonded work is held",
        Certainty::Seen,
    );
    let patterns: Vec<_> = look
        .features()
        .filter_map(|f| match f.seen {
            Seen::PatternCracking { moist_aggregate, deposit } => {
                Some((f, moist_aggregate, deposit))
            }
            _ => None,
        })
        .collect();
    let evidence: Vec<Evidence> = patterns.iter().map(|(f, ..)| of_feature(f)).collect();
    let answers = look.laboratory(LaboratoryQuestion::Deterioration);
    let of = |wanted: Answer| {
        answers.iter().find(|(_, answer)| *answer == wanted).map(|(r, _)| of_reading(r))
    };
    if let Some(core) = of(Answer::Yes) {
        return vec![found(
            CODE,
            FindingState::NotACandidate,
            "Petrography found the concrete deteriorating from inside: no bonded system holds on it. Refer or replace.",
            vec![core],
            source,
        )];
    }
    if patterns.is_empty() {
        return Vec::new();
    }
    if let Some(core) = of(Answer::No) {
        return vec![found(
            CODE,
            FindingState::Fine,
            "Pattern cracking, but petrography found no deterioration from inside.",
            vec![core],
            source,
        )];
    }
    let says = |wanted: Answer| {
        patterns.iter().any(|(_, moist, deposit)| *moist == wanted || *deposit == wanted)
    };
    let petrography = deciding(
        CODE,
        "whether the concrete deteriorates from inside",
        "a core from the worst of the pattern to a petrographer (ASTM C856)",
        1,
    )
    .about(Ask::Deterioration);
    if says(Answer::Yes) {
        let reason = "Pattern cracking with moist aggregate or deposit in the cracks: suspected deterioration from inside, and no bonded system is bid on it. Refer or replace; only petrography could show otherwise.";
        return vec![
            found(CODE, FindingState::NotACandidate, reason, evidence, source),
            petrography,
        ];
    }
    if says(Answer::Unknown) {
        return vec![petrography];
    }
    vec![found(
        CODE,
        FindingState::Prepare,
        "Pattern cracking, dry and without deposit: watch it, and show it to the owner.",
        evidence,
        source,
    )]
}

/// Whether a lip between panels is low enough to be ground off.
#[must_use]
pub fn is_low_lip(offset: Length, limits: &Limits) -> bool {
    !offset.exceeds(limits.lip_height.value)
}

/// A panel that moved has a cause that no overlay cures.
pub(crate) fn settlement(look: &Look<'_>) -> Vec<Outcome> {
    look.features()
        .filter_map(|f| match f.seen {
            Seen::Settlement { offset } if is_low_lip(offset, look.limits()) => {
                let limit = look.limits().lip_height;
                let reason = format!(
                    "{}: a lip of {}, low enough to grind off; look whether it still grows.",
                    f.id,
                    look.detail(offset)
                );
                let lip = found(
                    Matter::Settlement,
                    FindingState::Prepare,
                    reason,
                    vec![of_feature(f)],
                    limit.source,
                );
                Some(lip.by_setting(SettingOf::Limits, "lip_height", &look.detail(limit.value)))
            }
            Seen::Settlement { offset } => Some(found(
                Matter::Settlement,
                FindingState::Engineer,
                format!(
                    "A panel stands {} off its neighbour: find the cause first; a new layer does not fix the ground.",
                    look.detail(offset)
                ),
                vec![of_feature(f)],
                Source::new("ACI 364.1R: cause before repair", Certainty::Memory),
            )),
            _ => None,
        })
        .collect()
}

/// Down to where a repair is one of partial depth; none where the slab's thickness is not known.
fn partial_depth(look: &Look<'_>) -> Option<Length> {
    let share = look.limits().full_depth_share.value.ratio();
    look.survey.facts.slab.thickness.map(|thickness| thickness * share)
}

const SWEEP: Source = Source::new(
    "ASTM D4580-23: sounding of concrete; over a layer a hollow sound may be debonding",
    Certainty::Seen,
);

/// Hollow places, what they are, and whether the whole area was listened to.
pub(crate) fn hollow_concrete(look: &Look<'_>) -> Vec<Outcome> {
    const CODE: Matter = Matter::HollowConcrete;
    let sounded = look.extent.area_of(|seen| matches!(seen, Seen::Sounded { .. }));
    let covered = sounded / look.extent.net;
    let enough = look.limits().sounded_share.value.ratio();
    let mut said = Vec::new();
    if covered < enough {
        said.push(deciding(
            CODE,
            format!("whether the other {:.0} % of the area sounds hollow", (1.0 - covered) * 100.0),
            "sweep with a chain, outline with a hammer, chalk and trace; not on frozen concrete",
            1,
        ).about(Ask::Unsounded));
    }
    said.extend(recordings(look));
    let mut sure = Vec::new();
    for feature in look.features() {
        let Seen::Hollow { sure: certainty, kind, depth } = feature.seen else { continue };
        if certainty == Hollow::Doubtful {
            said.push(deciding(
                CODE,
                format!("whether {} is hollow", feature.id),
                "hammer again beside known-good concrete, or open one spot (after a signed locate)",
                1,
            ).about(Ask::Doubtful(feature.id.clone())));
            continue;
        }
        said.extend(of_a_hollow_place(look, feature, kind, depth));
        if !matches!(kind, HollowKind::LostSupport | HollowKind::DebondedLayer) {
            sure.push(feature);
        }
    }
    if !sure.is_empty() {
        let patched = |seen: &Seen| {
            matches!(
                seen,
                Seen::Hollow {
                    sure: Hollow::Sure,
                    kind: HollowKind::LooseSkin | HollowKind::Unknown,
                    ..
                }
            )
        };
        let area = look.extent.area_of(patched);
        said.push(found(
            CODE,
            FindingState::Repair,
            format!(
                "{} hollow place{}, {} ({:.1} % of the area): cut out, patch, cure, sound again. No feather edge.",
                sure.len(),
                if sure.len() == 1 { "" } else { "s" },
                look.both(area),
                area / look.extent.net * 100.0
            ),
            sure.into_iter().map(of_feature).collect(),
            SWEEP,
        ));
    } else if covered >= enough && !said.iter().any(|said| matches!(said, Outcome::Found(_))) {
        let limit = look.limits().sounded_share;
        let fine = found(
            CODE,
            FindingState::Fine,
            "The whole area was sounded; no sure hollow place.",
            look.features()
                .filter(|f| matches!(f.seen, Seen::Sounded { .. }))
                .map(of_feature)
                .collect(),
            limit.source_of_rule(SWEEP),
        );
        said.push(fine.by_setting(SettingOf::Limits, "sounded_share", &limit.value.show_percent()));
    }
    said
}

/// Recordings in the area of which nobody knows yet which taps are hollow.
fn recordings(look: &Look<'_>) -> Vec<Outcome> {
    let here = look.survey.soundings.iter().filter(|survey| {
        let field = survey.sounding.field.as_ref();
        field.is_some_and(|field| field.border.shared_area(&look.zone.outline) > Area::ZERO)
    });
    here.filter(|survey| !survey.is_established())
        .map(|survey| {
            deciding(
                Matter::HollowConcrete,
                format!("which taps of recording {} are hollow", survey.name),
                "mark a few taps known to be good in its list, or open one spot (after a signed locate)",
                1,
            )
        })
        .collect()
}

/// What is said of a place that surely sounds hollow.
fn of_a_hollow_place(
    look: &Look<'_>,
    feature: &Feature,
    kind: HollowKind,
    depth: Option<Length>,
) -> Vec<Outcome> {
    const CODE: Matter = Matter::HollowConcrete;
    let mut said = Vec::new();
    if kind == HollowKind::Unknown {
        said.push(
            deciding(
                CODE,
                format!("what the hollow sound at {} is", feature.id),
                "open one spot (after a signed locate), and note depth and kind",
                1,
            )
            .about(Ask::HollowKind(feature.id.clone())),
        );
    }
    let settled = matches!(kind, HollowKind::Unknown | HollowKind::LostSupport);
    if !settled && depth.is_none() {
        said.push(
            deciding(
                CODE,
                format!("how deep {} is loose", feature.id),
                format!("depth at one opened spot{}", look.locate_first()),
                1,
            )
            .about(Ask::HollowDepth(feature.id.clone())),
        );
    }
    let own = kind != HollowKind::DebondedLayer;
    if own && depth.is_some() && look.survey.facts.slab.thickness.is_none() {
        said.push(deciding(
            CODE,
            format!("whether {} goes below the top third of the slab", feature.id),
            "slab thickness from drawings or a signed-off core",
            1,
        ));
    }
    let third = partial_depth(look);
    // An old layer is not the slab: how thick it is says nothing of the slab below.
    if let (Some(depth), Some(third)) = (depth, third)
        && depth.exceeds(third)
        && kind != HollowKind::DebondedLayer
    {
        said.push(found(
            CODE,
            FindingState::Engineer,
            format!(
                "{}: loose {} deep, below the top third of the slab: a full-depth repair to be designed.",
                feature.id,
                look.detail(depth)
            ),
            vec![of_feature(feature)],
            look.limits().full_depth_share.source,
        ).by_setting(SettingOf::Limits, "full_depth_share", &look.limits().full_depth_share.value.show_percent()));
    }
    if kind == HollowKind::LostSupport {
        said.push(found(
            CODE,
            FindingState::Engineer,
            format!("{}: curled edge or lost support. Patching does not cure it; support must be restored first.", feature.id),
            vec![of_feature(feature)],
            Source::COMMON_PRACTICE,
        ));
    }
    if kind == HollowKind::DebondedLayer {
        said.push(found(
            CODE,
            FindingState::Repair,
            format!("{}: an old layer has let go. It comes off to the slab below it, over all of its extent; the slab is then sounded and tested again.", feature.id),
            vec![of_feature(feature)],
            SWEEP,
        ));
    }
    said
}

/// Hollow, broken-out and let-go places over much of a zone are no patching any more.
pub(crate) fn repair_share(look: &Look<'_>) -> Vec<Outcome> {
    let limit = look.limits().repair_share;
    let bad = look.extent.area_of(|seen| {
        matches!(seen, Seen::Hollow { sure: Hollow::Sure, .. } | Seen::Spall { .. })
    });
    let bad = bad.max(look.extent.patch_area());
    // Areas of outlines are true to a millionth.
    if bad / look.extent.net <= limit.value.ratio() + 1e-6 {
        return Vec::new();
    }
    let said = found(
        Matter::RepairShare,
        FindingState::Decide,
        format!(
            "{} of {} is hollow or broken out, patches squared up: compare with an overlay or replacement before repairing.",
            look.both(bad),
            look.both(look.extent.net)
        ),
        vec![Evidence::Job(JobFact::PatchRule)],
        limit.source,
    );
    vec![said.by_setting(SettingOf::Limits, "repair_share", &limit.value.show_percent())]
}

/// Broken-out places: size, depth, bars.
pub(crate) fn spalls(look: &Look<'_>) -> Vec<Outcome> {
    const CODE: Matter = Matter::Spalls;
    let mut said = Vec::new();
    for feature in look.features() {
        let Seen::Spall { depth, bars_exposed } = feature.seen else {
            continue;
        };
        let evidence = vec![of_feature(feature)];
        let third = partial_depth(look);
        if bars_exposed == Answer::Yes {
            said.push(found(
                CODE,
                FindingState::Engineer,
                format!("{}: reinforcement shows. Loss of section and removal round bars are an engineer's to judge.", feature.id),
                evidence,
                Source::new("ICRI 310.1R", Certainty::Memory),
            ));
        } else if third.is_some_and(|third| depth.exceeds(third)) {
            said.push(found(
                CODE,
                FindingState::Engineer,
                format!("{}: {} deep, below the top third of the slab: a full-depth repair to be designed.", feature.id, look.detail(depth)),
                evidence,
                look.limits().full_depth_share.source,
            ).by_setting(SettingOf::Limits, "full_depth_share", &look.limits().full_depth_share.value.show_percent()));
        } else {
            let limit = look.limits().shallow_repair_depth;
            let shallow = look.extent.shallow.iter().any(|spall| spall.feature == feature.id);
            let (follows, source) = if shallow {
                (
                    "fill it with a polymer mortar, in the depth and time of its own sheet",
                    limit.source,
                )
            } else {
                (
                    "square it up, cut out and patch",
                    Source::new("FHWA, partial-depth repair page", Certainty::Seen),
                )
            };
            let told = found(
                CODE,
                FindingState::Repair,
                format!("{}: spall {} deep: {follows}.", feature.id, look.detail(depth)),
                evidence,
                source,
            );
            said.push(if shallow {
                told.by_setting(
                    SettingOf::Limits,
                    "shallow_repair_depth",
                    &look.detail(limit.value),
                )
            } else {
                told
            });
            if bars_exposed == Answer::Unknown {
                said.push(
                    deciding(
                        CODE,
                        format!("whether reinforcement shows at {}", feature.id),
                        "brush it out and look",
                        1,
                    )
                    .about(Ask::SpallBars(feature.id.clone())),
                );
            }
            if third.is_none() {
                said.push(deciding(
                    CODE,
                    format!("whether {} goes below the top third of the slab", feature.id),
                    "slab thickness from drawings or a signed-off core",
                    1,
                ));
            }
        }
    }
    said
}

/// Mortar lost at the surface.
pub(crate) fn scaling(look: &Look<'_>) -> Vec<Outcome> {
    const CODE: Matter = Matter::Scaling;
    let limits = look.limits();
    look.features()
        .filter_map(|f| match f.seen {
            Seen::Surface { state: SurfaceState::Scaling, depth } => Some((f, depth)),
            _ => None,
        })
        .map(|(f, depth)| {
            let Some(depth) = depth else {
                return deciding(
                    CODE,
                    format!("how deep {} has scaled", f.id),
                    "depth gauge at three places",
                    3,
                );
            };
            let class = ScalingClass::of(depth, limits);
            let (name, limit) = match class {
                ScalingClass::Light => ("light_scaling", limits.light_scaling),
                ScalingClass::Medium => ("medium_scaling", limits.medium_scaling),
                ScalingClass::Severe | ScalingClass::VerySevere => {
                    ("severe_scaling", limits.severe_scaling)
                }
            };
            let (state, follows) = match class {
                ScalingClass::Medium if look.system.see_through => (
                    FindingState::Decide,
                    "what is lost shows through the finish, filled or not: agree it with the owner, or another system",
                ),
                ScalingClass::Medium if class.is_resurfaced(depth, look.system) => (
                    FindingState::Prepare,
                    "remove the weak layer, fill what is lost, test again",
                ),
                ScalingClass::Light | ScalingClass::Medium => {
                    (FindingState::Prepare, "remove the weak layer, test again")
                }
                ScalingClass::Severe if class.is_resurfaced(depth, look.system) => {
                    (FindingState::Repair, "remove to sound concrete and resurface")
                }
                ScalingClass::Severe => (
                    FindingState::Prepare,
                    "remove to sound concrete; the overlay fills what is lost",
                ),
                ScalingClass::VerySevere => {
                    (FindingState::Decide, "remove and resurface, or replace: show both prices")
                }
            };
            let class = class.words();
            found(
                CODE,
                state,
                format!("{}: {class} scaling, {} lost: {follows}.", f.id, look.detail(depth)),
                vec![of_feature(f)],
                limit.source,
            )
            .by_setting(SettingOf::Limits, name, &look.detail(limit.value))
        })
        .collect()
}
