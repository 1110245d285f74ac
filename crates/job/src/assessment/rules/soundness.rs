//! Is the concrete itself whole: deterioration from inside, settlement, hollow
//! places, spalls, scaling.

use tooth_measure::say::{Said, both, decimal, detail, percent, said};
use tooth_measure::{Area, Certainty, Length, Quantity as _, Region, Source};

use crate::assessment::decided;
use crate::assessment::finding::{
    Ask, Evidence, FindingState, JobFact, Outcome, SettingOf, deciding, found,
};
use crate::assessment::look::{Look, of_feature, of_reading};
use crate::extent::{ScalingClass, drawn_ground};
use crate::survey::{
    Answer, Contaminant, DampOrDry, Feature, Hollow, HollowKind, LaboratoryQuestion, Limits,
    Matter, Measured, Place, Seen, Setting, SurfaceState,
};

/// Pattern cracking with moist aggregate or deposit: the concrete fails from inside.
pub(crate) fn deterioration_from_inside(look: &Look<'_>) -> Vec<Outcome> {
    const CODE: Matter = Matter::DeteriorationFromInside;
    let source =
        Source::new("title-fhwa-rd-01-163-chapter-3-field-signs-alone-cannot", Certainty::Seen);
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
            said!("petrography-found-the-concrete"),
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
            said!("pattern-cracking-but-petrography-found"),
            vec![core],
            source,
        )];
    }
    let ground = drawn_ground(patterns.iter().map(|(mark, ..)| *mark));
    let wet = is_wet(look, &ground.within(NEAR_WATER));
    let says = |wanted: Answer| {
        patterns.iter().any(|(_, moist, deposit)| *moist == wanted || *deposit == wanted)
    };
    let petrography = deciding(
        CODE,
        said!("whether-the-concrete-deteriorates-from"),
        said!("a-core-from-the-worst"),
        1,
    )
    .about(Ask::Deterioration);
    if says(Answer::Yes) {
        let reason = said!("pattern-cracking-with-moist-aggregate");
        return vec![
            found(CODE, FindingState::NotACandidate, reason, evidence, source),
            petrography,
        ];
    }
    // Without water nothing swells: what stands wet is not settled by eye.
    if !wet.is_empty() {
        let mut evidence = evidence;
        evidence.extend(wet);
        let reason = said!("pattern-cracking-in-a-wet-slab");
        return vec![found(CODE, FindingState::Engineer, reason, evidence, source), petrography];
    }
    if says(Answer::Unknown) {
        return vec![petrography];
    }
    // Not known is never better than the worst answer.
    let slab = &look.survey.facts.slab;
    if slab.setting == Setting::Outdoor && slab.freeze_thaw == Answer::Unknown {
        return vec![deciding(
            CODE,
            said!("whether-the-slab-freezes-wet"),
            said!("ask-the-owner-and-the-climate"),
            1,
        )];
    }
    vec![found(
        CODE,
        FindingState::Prepare,
        said!("pattern-cracking-dry-and-without"),
        evidence,
        source,
    )]
}

/// What says that water stands in or comes through the slab: a damp sheet, humidity at which
/// gel swells, water through a crack, salts carried out; and a slab that freezes wet.
///
/// Not read here: drops on the surface, air and dew point, pH: they say nothing of the inside.
fn is_wet(look: &Look<'_>, near: &Region) -> Vec<Evidence> {
    let swells = look.limits().swelling_humidity.value;
    let readings = look.readings(|measured| match measured {
        Measured::PlasticSheet(DampOrDry::Damp) => Some(()),
        Measured::InSlabHumidity(share) if share.exceeds(swells) => Some(()),
        _ => None,
    });
    let mut wet: Vec<Evidence> = readings.iter().map(|(reading, ())| of_reading(reading)).collect();
    let carried = |mark: &&Feature| match mark.seen {
        Seen::Crack { leaking, .. } => leaking == Answer::Yes,
        Seen::Stain { kind, .. } => kind == Contaminant::Efflorescence,
        _ => false,
    };
    // A mark is where it is: salts at the other end wet nothing here.
    let here = |mark: &&Feature| match &mark.place {
        Place::Spot(spot) => near.holds(*spot),
        Place::Line(path) => path.length_outside(near) < path.length(),
        Place::Patch(outline) => outline.region().intersection(near).area() > Area::ZERO,
    };
    wet.extend(look.features().filter(carried).filter(here).map(of_feature));
    if look.survey.facts.slab.freeze_thaw == Answer::Yes {
        wet.push(Evidence::Job(JobFact::FreezeThaw));
    }
    wet
}

/// Water that comes through this near to a pattern of cracks reaches it. Assumption.
const NEAR_WATER: Length = Length::from_metres(3.0);

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
                let reason = said!(
                    "a-lip-of-low-enough-to-grind",
                    mark = &f.id,
                    offset = both(detail(offset))
                );
                let lip = found(
                    Matter::Settlement,
                    FindingState::Prepare,
                    reason,
                    vec![of_feature(f)],
                    limit.source,
                );
                Some(lip.by_setting(SettingOf::Limits, "lip_height", both(detail(limit.value))))
            }
            Seen::Settlement { offset } => Some(found(
                Matter::Settlement,
                FindingState::Engineer,
                said!("a-panel-stands-off-its-neighbour-find", offset = both(detail(offset))),
                vec![of_feature(f)],
                Source::new("title-aci-364-1r-cause-before-repair", Certainty::Memory),
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

const SWEEP: Source =
    Source::new("title-astm-d4580-23-sounding-of-concrete-over-a-layer", Certainty::Seen);

/// Hollow places, what they are, and whether the whole area was listened to.
pub(crate) fn hollow_concrete(look: &Look<'_>) -> Vec<Outcome> {
    const CODE: Matter = Matter::HollowConcrete;
    let sounded = look.extent.area_of(|seen| matches!(seen, Seen::Sounded { .. }));
    let covered = sounded / look.extent.net;
    let enough = look.limits().sounded_share.value.ratio();
    let mut said = Vec::new();
    if covered < enough {
        said.push(
            deciding(
                CODE,
                match covered > 0.0 {
                    true => said!(
                        "whether-the-other-of-the-area-sounds",
                        covered = decimal((1.0 - covered) * 100.0, 0)
                    ),
                    false => said!("whether-any-of-the-area-sounds-hollow"),
                },
                said!("sweep-with-a-chain-outline"),
                1,
            )
            .about(Ask::Unsounded),
        );
    }
    said.extend(recordings(look));
    let mut sure = Vec::new();
    for feature in look.features() {
        let Seen::Hollow { sure: certainty, kind, depth } = feature.seen else { continue };
        if certainty == Hollow::Doubtful {
            said.push(
                deciding(
                    CODE,
                    said!("whether-is-hollow", mark = &feature.id),
                    said!("hammer-again-beside-known-good"),
                    1,
                )
                .about(Ask::Doubtful(feature.id.clone())),
            );
            continue;
        }
        said.extend(of_a_hollow_place(look, feature, kind, depth));
        if !matches!(kind, HollowKind::LostSupport | HollowKind::DebondedLayer) {
            sure.push(feature);
        }
    }
    // What somebody decided of one place by its name is told of that place alone.
    let (named, together): (Vec<&Feature>, Vec<&Feature>) =
        sure.into_iter().partition(|mark| decided(look.survey, look.zone, CODE, &mark.id));
    let groups = named.into_iter().map(|mark| vec![mark]).chain([together]);
    let groups: Vec<Vec<&Feature>> = groups.filter(|group| !group.is_empty()).collect();
    if !groups.is_empty() {
        said.extend(groups.into_iter().map(|group| to_patch(look, &group)));
    } else if covered >= enough && !said.iter().any(|said| matches!(said, Outcome::Found(_))) {
        let limit = look.limits().sounded_share;
        let fine = found(
            CODE,
            FindingState::Fine,
            said!("the-whole-area-was-sounded-no-sure"),
            look.features()
                .filter(|f| matches!(f.seen, Seen::Sounded { .. }))
                .map(of_feature)
                .collect(),
            limit.source_of_rule(SWEEP),
        );
        said.push(fine.by_setting(SettingOf::Limits, "sounded_share", percent(limit.value)));
    }
    said
}

/// Loose places that are cut out and patched.
fn to_patch(look: &Look<'_>, group: &[&Feature]) -> Outcome {
    let regions: Vec<Region> = group
        .iter()
        .filter(|mark| {
            matches!(
                mark.seen,
                Seen::Hollow { kind: HollowKind::LooseSkin | HollowKind::Unknown, .. }
            )
        })
        .filter_map(|mark| match &mark.place {
            Place::Patch(outline) => Some(outline.region()),
            Place::Spot(_) | Place::Line(_) => None,
        })
        .collect();
    let area = Region::union_of(&regions).intersection(look.extent.net_region()).area();
    found(
        Matter::HollowConcrete,
        FindingState::Repair,
        said!(
            "hollow-place-of-the-area-cut-out",
            count = group.len(),
            area = both(area),
            net = decimal(area / look.extent.net * 100.0, 1)
        ),
        group.iter().map(|mark| of_feature(mark)).collect(),
        SWEEP,
    )
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
                said!("which-taps-of-recording-are-hollow", name = survey.name.as_str()),
                said!("mark-a-few-taps-known"),
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
                said!("what-the-hollow-sound", mark = &feature.id),
                said!("open-one-spot-after-a-signed-locate"),
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
                said!("how-deep-is-loose", mark = &feature.id),
                said!("depth-at-one-opened-spot", locate_first = look.locate_first()),
                1,
            )
            .about(Ask::HollowDepth(feature.id.clone())),
        );
    }
    let own = kind != HollowKind::DebondedLayer;
    if own && depth.is_some() && look.survey.facts.slab.thickness.is_none() {
        said.push(deciding(
            CODE,
            said!("whether-goes-below-the-top-third", mark = &feature.id),
            said!("slab-thickness-from-drawings"),
            1,
        ));
    }
    let third = partial_depth(look);
    // An old layer is not the slab: how thick it is says nothing of the slab below.
    if let (Some(depth), Some(third)) = (depth, third)
        && depth.exceeds(third)
        && kind != HollowKind::DebondedLayer
    {
        said.push(
            found(
                CODE,
                FindingState::Engineer,
                said!(
                    "loose-deep-below-the-top-third",
                    mark = &feature.id,
                    depth = both(detail(depth))
                ),
                vec![of_feature(feature)],
                look.limits().full_depth_share.source,
            )
            .by_setting(
                SettingOf::Limits,
                "full_depth_share",
                percent(look.limits().full_depth_share.value),
            ),
        );
    }
    if kind == HollowKind::LostSupport {
        said.push(found(
            CODE,
            FindingState::Engineer,
            said!("curled-edge-or-lost-support-patching", mark = &feature.id),
            vec![of_feature(feature)],
            Source::COMMON_PRACTICE,
        ));
    }
    if kind == HollowKind::DebondedLayer {
        said.push(found(
            CODE,
            FindingState::Repair,
            said!("an-old-layer-has-let-go", mark = &feature.id),
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
        said!("of-is-hollow-or-broken-out-patches", bad = both(bad), net = both(look.extent.net)),
        vec![Evidence::Job(JobFact::PatchRule)],
        limit.source,
    );
    vec![said.by_setting(SettingOf::Limits, "repair_share", percent(limit.value))]
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
                said!("reinforcement-shows-loss-of-section", mark = &feature.id),
                evidence,
                Source::new("title-icri-310-1r", Certainty::Memory),
            ));
        } else if third.is_some_and(|third| depth.exceeds(third)) {
            said.push(
                found(
                    CODE,
                    FindingState::Engineer,
                    said!(
                        "deep-below-the-top-third",
                        mark = &feature.id,
                        depth = both(detail(depth))
                    ),
                    evidence,
                    look.limits().full_depth_share.source,
                )
                .by_setting(
                    SettingOf::Limits,
                    "full_depth_share",
                    percent(look.limits().full_depth_share.value),
                ),
            );
        } else {
            let limit = look.limits().shallow_repair_depth;
            let shallow = look.extent.shallow.iter().any(|spall| spall.feature == feature.id);
            let (follows, source) = if shallow {
                (said!("fill-it-with-a-polymer-mortar"), limit.source)
            } else {
                (
                    said!("square-it-up-cut-out-and-patch"),
                    Source::new("title-fhwa-repair-page", Certainty::Seen),
                )
            };
            let told = found(
                CODE,
                FindingState::Repair,
                said!(
                    "spall-deep",
                    mark = &feature.id,
                    depth = both(detail(depth)),
                    follows = follows
                ),
                evidence,
                source,
            );
            said.push(if shallow {
                told.by_setting(
                    SettingOf::Limits,
                    "shallow_repair_depth",
                    both(detail(limit.value)),
                )
            } else {
                told
            });
            if bars_exposed == Answer::Unknown {
                said.push(
                    deciding(
                        CODE,
                        said!("whether-reinforcement-shows", mark = &feature.id),
                        said!("brush-it-out-and-look"),
                        1,
                    )
                    .about(Ask::SpallBars(feature.id.clone())),
                );
            }
            if third.is_none() {
                said.push(deciding(
                    CODE,
                    said!("whether-goes-below-the-top-third", mark = &feature.id),
                    said!("slab-thickness-from-drawings"),
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
                    said!("how-deep-has-scaled", mark = &f.id),
                    said!("depth-gauge-at-three-places"),
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
                ScalingClass::Medium if look.system.see_through => {
                    (FindingState::Decide, said!("what-is-lost-shows-through-the-finish"))
                }
                ScalingClass::Medium if class.is_resurfaced(depth, look.system) => {
                    (FindingState::Prepare, said!("remove-the-weak-layer-fill-what"))
                }
                ScalingClass::Light | ScalingClass::Medium => {
                    (FindingState::Prepare, said!("remove-the-weak-layer-test-again"))
                }
                ScalingClass::Severe if class.is_resurfaced(depth, look.system) => {
                    (FindingState::Repair, said!("remove-to-sound-concrete-and-resurface"))
                }
                ScalingClass::Severe => {
                    (FindingState::Prepare, said!("remove-to-sound-concrete-the-overlay"))
                }
                ScalingClass::VerySevere => {
                    (FindingState::Decide, said!("remove-and-resurface-or-replace-show"))
                }
            };
            found(
                CODE,
                state,
                said!(
                    "scaling-lost",
                    mark = &f.id,
                    class = class,
                    depth = both(detail(depth)),
                    follows = follows
                ),
                vec![of_feature(f)],
                limit.source,
            )
            .by_setting(SettingOf::Limits, name, both(detail(limit.value)))
        })
        .collect()
}

/// Small damage in numbers: mended by the piece, cut by nobody.
pub(crate) fn small_damage(look: &Look<'_>) -> Vec<Outcome> {
    let mended = look.features().filter_map(|mark| {
        let Seen::Small { kind, count } = mark.seen else { return None };
        let shows = match look.system.see_through {
            true => said!("each-shows-through-the-finish"),
            false => Said::nothing(),
        };
        Some(found(
            Matter::SmallDamage,
            FindingState::Prepare,
            said!("small-damage", mark = &mark.id, count = count, kind = kind, shows = shows),
            vec![of_feature(mark)],
            Source::COMMON_PRACTICE,
        ))
    });
    mended.collect()
}
