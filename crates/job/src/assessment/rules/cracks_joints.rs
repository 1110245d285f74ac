//! Cracks and joints: width, movement, water, and what is carried through the finish.

use tooth_measure::show::Show as _;
use tooth_measure::{Certainty, Length, Source};

use crate::assessment::finding::{FindingState, Outcome, before_work, deciding, found};
use crate::assessment::look::{Look, of_feature, of_reading};
use crate::choice::Choice as _;
use crate::methods::LineTreatment;
use crate::survey::{
    Answer, CrackMovement, DecidedTreatment, Feature, JointKind, Limit, Limits, Measured, Reading,
    Seen, Survey, System, SystemClass,
};

/// Class of a crack by width (both limits belong to "medium").
#[must_use]
pub fn crack_class(width: Length, limits: &Limits) -> &'static str {
    match width {
        w if w < limits.fine_crack_width.value => "fine",
        w if w <= limits.wide_crack_width.value => "medium",
        _ => "wide",
    }
}

fn gauges<'a>(survey: &'a Survey, crack: &Feature) -> Vec<(&'a Reading, Length)> {
    survey
        .readings
        .iter()
        .filter(|reading| reading.subject.as_ref() == Some(&crack.id))
        .filter_map(|reading| match reading.measured {
            Measured::CrackGauge(width) => Some((reading, width)),
            _ => None,
        })
        .collect()
}

/// Whether a crack moves: by its gauge readings where they lie a day apart, else
/// unknown, whatever somebody believes. A crack reported active stays active.
#[must_use]
pub fn movement_of(survey: &Survey, crack: &Feature) -> CrackMovement {
    let Seen::Crack { movement, .. } = crack.seen else {
        return CrackMovement::Unknown;
    };
    let readings = gauges(survey, crack);
    let widths = readings.iter().map(|(_, width)| *width);
    let widest = widths.clone().fold(Length::ZERO, Length::max);
    let narrowest = widths.fold(widest, Length::min);
    let limits = &survey.facts.limits;
    // A gauge reads whole tenths: a rounding error must not hide one.
    let moved = widest - narrowest >= limits.crack_movement.value - Length::from_micrometres(1.0);
    if movement == CrackMovement::Active || moved {
        return CrackMovement::Active;
    }
    let times = readings.iter().map(|(reading, _)| reading.time);
    let apart =
        times.clone().max().zip(times.min()).map(|(last, first)| last.duration_since(first));
    let enough = limits.gauge_interval.value.hours() * 3600.0;
    if apart.is_some_and(|apart| apart.as_secs_f64() >= enough) {
        CrackMovement::Dormant
    } else {
        CrackMovement::Unknown
    }
}

/// The widest of what was drawn and what its gauge has shown.
#[must_use]
pub fn width_of(survey: &Survey, crack: &Feature, drawn: Length) -> Length {
    gauges(survey, crack).iter().map(|(_, width)| *width).fold(drawn, Length::max)
}

/// How a crack is treated under a system; none where the system covers it by itself.
/// A crack whose movement is not known is treated as moving.
#[must_use]
pub fn crack_treatment(
    width: Length,
    movement: CrackMovement,
    system: &System,
    limits: &Limits,
) -> Option<LineTreatment> {
    let wide = width > system.widest_crack.unwrap_or(limits.repair_crack_width.value);
    match movement {
        CrackMovement::Active => Some(LineTreatment::RoutAndSeal),
        CrackMovement::Unknown if wide || width >= limits.hairline_width.value => {
            Some(LineTreatment::RoutAndSeal)
        }
        CrackMovement::Dormant if wide => Some(LineTreatment::RoutAndFill),
        CrackMovement::Unknown | CrackMovement::Dormant => None,
    }
}

/// Whether a joint works. Isolation and expansion joints always do; a joint of which nobody
/// knows counts as working.
fn works(kind: JointKind, working: Answer) -> bool {
    working != Answer::No || matches!(kind, JointKind::Isolation | JointKind::Expansion)
}

/// How a joint is treated under a class of system: a working one is carried through it, or
/// kept open beside it where the finish is too thin to be cut.
#[must_use]
pub fn joint_treatment(kind: JointKind, working: Answer, class: SystemClass) -> LineTreatment {
    let thin = matches!(class, SystemClass::Stain | SystemClass::Sealer | SystemClass::ThinFilm);
    match (works(kind, working), thin) {
        (false, _) => LineTreatment::SemiRigidFill,
        (true, true) => LineTreatment::HonourAndSeal,
        (true, false) => LineTreatment::RecutAndSeal,
    }
}

/// What a person has decided for a crack or joint, the last word first.
fn decision<'a>(survey: &'a Survey, line: &Feature) -> Option<&'a DecidedTreatment> {
    survey.facts.treatments.iter().rfind(|made| made.feature == line.id)
}

/// The treatment that a person has decided for a crack or joint, if one has.
#[must_use]
pub fn decided_treatment(survey: &Survey, line: &Feature) -> Option<LineTreatment> {
    decision(survey, line).map(|made| made.treatment)
}

/// Every crack.
pub(crate) fn cracks(look: &Look<'_>) -> Vec<Outcome> {
    const CODE: &str = "cracks";
    let mut said = Vec::new();
    for crack in look.features() {
        let Seen::Crack { width, leaking, displaced, .. } = crack.seen else {
            continue;
        };
        let movement = movement_of(look.survey, crack);
        let width = width_of(look.survey, crack, width);
        let mut evidence = vec![of_feature(crack)];
        evidence.extend(gauges(look.survey, crack).iter().map(|(reading, _)| of_reading(reading)));
        let what = format!(
            "{}: {} crack, {}, {}",
            crack.id,
            crack_class(width, look.limits()),
            look.detail(width),
            movement.words()
        );
        if displaced == Answer::Yes {
            said.push(found(
                CODE,
                FindingState::Engineer,
                format!("{what}; one side stands higher: find the cause first."),
                evidence,
                Source::new(
                    "ACI 562: displacement is a licensed design professional's",
                    Certainty::Memory,
                ),
            ));
            continue;
        }
        if leaking == Answer::Yes {
            said.push(found(
                CODE,
                FindingState::Repair,
                format!("{what}; water comes through: stop the water before anything is laid."),
                evidence.clone(),
                Source::COMMON_PRACTICE,
            ));
        }
        let replaced = look.limits().replace_crack_width;
        let hopeless = movement != CrackMovement::Dormant && width >= replaced.value;
        let limits = look.limits();
        let rule = Source::new(
            "classes: ACI 201.1R; wider than a bank card is repaired, moving is treated as a joint: public trade text; gauge rules common practice",
            Certainty::CommonPractice,
        );
        let of = |limit: Limit<Length>| (limit.value, limit.source_of_rule(rule));
        let (name, (limit, source)) = match look.system.widest_crack {
            _ if hopeless => ("limits.replace_crack_width", of(replaced)),
            Some(widest) => ("system.widest_crack", (widest, rule)),
            None => ("limits.repair_crack_width", of(limits.repair_crack_width)),
        };
        if let Some(decided) = survey_decision(look, crack) {
            said.push(found(
                CODE,
                FindingState::Repair,
                format!("{what}: {}.", decided),
                evidence,
                Source::COMMON_PRACTICE,
            ));
            continue;
        }
        let (state, follows) = match crack_treatment(width, movement, look.system, limits) {
            _ if hopeless => (
                FindingState::Decide,
                "too wide and restless for a joint: remove and replace that part, or an engineer",
            ),
            Some(LineTreatment::RoutAndSeal) => {
                (FindingState::Repair, "treat as a joint and carry it through the finish")
            }
            Some(_) => (FindingState::Repair, "rout and fill before preparation"),
            None => {
                (FindingState::Prepare, "narrow enough for the system; show it on the sample panel")
            }
        };
        said.push(
            found(CODE, state, format!("{what}: {follows}."), evidence, source)
                .by_setting(name, &look.detail(limit)),
        );
        let hairline = width < limits.hairline_width.value;
        if !hairline && displaced == Answer::Unknown {
            said.push(deciding(
                CODE,
                format!("whether one side of {} stands higher", crack.id),
                "straightedge across it",
                1,
            ));
        }
        if !hairline && leaking == Answer::Unknown {
            said.push(before_work(
                CODE,
                format!("whether water comes through {}", crack.id),
                "a look after rain or a hose",
                1,
            ));
        }
        if movement == CrackMovement::Unknown && !hairline {
            // A wide one is repaired either way: the gauge says how, not whether.
            let ask = if width > limit || hopeless { before_work } else { deciding };
            said.push(ask(
                CODE,
                format!("whether {} moves", crack.id),
                "crack gauge read on two days, warm and cold",
                2,
            ));
        }
    }
    said
}

/// What somebody has decided for a line, in words.
fn survey_decision(look: &Look<'_>, line: &Feature) -> Option<String> {
    let made = decision(look.survey, line)?;
    Some(format!("{}, as {} decided: {}", made.treatment.words(), made.by, made.reason))
}

/// Joints of which somebody decided how they are treated. A filler that cannot move breaks in
/// a joint that does, or breaks its edges: that is signed for.
fn decided_joints(look: &Look<'_>) -> Vec<Outcome> {
    let mut said = Vec::new();
    for joint in look.features() {
        let Seen::Joint { kind, working } = joint.seen else { continue };
        let Some(decided) = survey_decision(look, joint) else { continue };
        let stiff = decided_treatment(look.survey, joint).is_some_and(|treatment| {
            matches!(
                treatment,
                LineTreatment::SemiRigidFill | LineTreatment::RoutAndFill | LineTreatment::Stitch
            )
        });
        let (state, follows) = if works(kind, working) && stiff {
            let known = if working == Answer::Unknown { "may still work" } else { "works" };
            (
                FindingState::Hold,
                format!(
                    " It {known}: what cannot move with it breaks, and the owner signs for that first."
                ),
            )
        } else {
            (FindingState::Prepare, String::new())
        };
        said.push(found(
            "joints",
            state,
            format!("{}, {}: {decided}.{follows}", joint.id, kind.words()),
            vec![of_feature(joint)],
            Source::COMMON_PRACTICE,
        ));
    }
    said
}

/// Patches that lie across joints.
fn patches_across(look: &Look<'_>) -> Vec<Outcome> {
    let crossed = look.extent.patches.iter().filter_map(|patch| {
        let joints = look.extent.joints_across(patch);
        let names = |ids: &mut dyn Iterator<Item = String>| ids.collect::<Vec<_>>().join(", ");
        (!joints.is_empty()).then(|| {
            found(
                "joints",
                FindingState::Prepare,
                format!(
                    "The patch of {} lies across {}: the joint is formed again through it, on its own line; no patch bridges a joint.",
                    names(&mut patch.holds.iter().map(ToString::to_string)),
                    names(&mut joints.iter().map(|joint| joint.id.to_string())),
                ),
                joints.into_iter().map(of_feature).collect(),
                Source::new(
                    "FHWA, partial-depth repair page: joints are formed again through a repair",
                    Certainty::Memory,
                ),
            )
        })
    });
    crossed.collect()
}

/// Every joint by its treatment: none is bridged silently.
pub(crate) fn joints(look: &Look<'_>) -> Vec<Outcome> {
    let mut said = decided_joints(look);
    said.extend(patches_across(look));
    for treatment in LineTreatment::ALL {
        let (mut evidence, mut lengths) = (Vec::new(), Vec::new());
        for kind in JointKind::ALL {
            let picked = |f: &Feature| match f.seen {
                Seen::Joint { kind: k, working } if k == *kind => {
                    decided_treatment(look.survey, f).is_none()
                        && joint_treatment(k, working, look.system.class) == *treatment
                }
                _ => false,
            };
            let of_kind: Vec<String> =
                look.features().filter(|f| picked(f)).map(of_feature).collect();
            if of_kind.is_empty() {
                continue;
            }
            let length = look.extent.length_of(picked);
            lengths.push(format!("{} {}", length.show_both(look.units()), kind.words()));
            evidence.extend(of_kind);
        }
        if evidence.is_empty() {
            continue;
        }
        let unsure: Vec<String> = look
            .features()
            .filter(|f| matches!(f.seen, Seen::Joint { kind, working: Answer::Unknown } if decided_treatment(look.survey, f).is_none() && joint_treatment(kind, Answer::Unknown, look.system.class) == *treatment && !matches!(kind, JointKind::Isolation | JointKind::Expansion)))
            .map(|f| f.id.to_string())
            .collect();
        if !unsure.is_empty() {
            said.push(before_work(
                "joints",
                format!(
                    "whether {} still work{}",
                    unsure.join(", "),
                    if unsure.len() == 1 { "s" } else { "" }
                ),
                "gauge across it on two days, warm and cold; until then it is carried through",
                2,
            ));
        }
        said.push(found(
            "joints",
            FindingState::Prepare,
            format!("To {}: {}.", treatment.words(), lengths.join(", ")),
            evidence,
            Source::new(
                "working joints are honoured in the overlay: ICRI 310.2R-2013 as excerpted",
                Certainty::Seen,
            ),
        ));
    }
    said
}
