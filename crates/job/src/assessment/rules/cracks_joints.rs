//! Cracks and joints: width, movement, water, and what is carried through the finish.

use tooth_measure::choice::{Choice as _, choices};
use tooth_measure::say::{Argument, Joint, Said, both, detail, listed, names, said};
use tooth_measure::{Certainty, Length, Source};

use crate::assessment::finding::{
    Ask, Evidence, FindingState, Outcome, SettingOf, before_work, deciding, found,
};
use crate::assessment::look::{Look, of_feature, of_reading};
use crate::methods::LineTreatment;
use crate::survey::{
    Answer, CrackMovement, DecidedTreatment, Feature, FeatureId, JointKind, Limit, Limits, Matter,
    Measured, Reading, Seen, Setting, Survey, System, SystemClass,
};

choices! {
    /// Class of a crack by width (both limits belong to "medium").
    CrackClass {
        /// Narrow.
        Fine = "fine";
        /// Between the limits.
        Medium = "medium";
        /// Above.
        Wide = "wide";
    }
}

impl CrackClass {
    /// Of a width.
    #[must_use]
    pub fn of(width: Length, limits: &Limits) -> Self {
        match width {
            w if w < limits.fine_crack_width.value => Self::Fine,
            w if w <= limits.wide_crack_width.value => Self::Medium,
            _ => Self::Wide,
        }
    }
}

fn gauges<'a>(survey: &'a Survey, crack: &'a Feature) -> Vec<(&'a Reading, Length)> {
    survey
        .readings_about(crack)
        .filter_map(|reading| match reading.measured {
            Measured::CrackGauge(width) => Some((reading, width)),
            _ => None,
        })
        .collect()
}

/// Whether a crack moves: by its gauge readings where they lie a day apart; else a person's
/// recorded word, with name and date; else unknown. A crack reported active stays active, and
/// no word stands against a gauge that moved.
#[must_use]
pub fn movement_of(survey: &Survey, crack: &Feature) -> CrackMovement {
    let Seen::Crack { movement, said, .. } = &crack.seen else {
        return CrackMovement::Unknown;
    };
    let readings = gauges(survey, crack);
    let widths = readings.iter().map(|(_, width)| *width);
    let widest = widths.clone().fold(Length::ZERO, Length::max);
    let narrowest = widths.fold(widest, Length::min);
    let limits = &survey.facts.limits;
    // A gauge reads whole tenths: a rounding error must not hide one.
    let moved = widest - narrowest >= limits.crack_movement.value - Length::from_micrometres(1.0);
    if *movement == CrackMovement::Active || moved {
        return CrackMovement::Active;
    }
    let times = readings.iter().map(|(reading, _)| reading.time);
    let apart =
        times.clone().max().zip(times.min()).map(|(last, first)| last.duration_since(first));
    let enough = limits.gauge_interval.value.hours() * 3600.0;
    let word = *movement == CrackMovement::Dormant && said.is_some();
    if word || apart.is_some_and(|apart| apart.as_secs_f64() >= enough) {
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

/// What is to be done with a crack under a system: one judgement for finding, plan and price.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CrackVerdict {
    /// Too wide and restless for a joint: that part is replaced, or an engineer looks.
    Replaced,
    /// Worked along.
    Treated(LineTreatment),
    /// The system covers it by itself.
    Held,
}

impl CrackVerdict {
    /// Of a crack that nobody decided otherwise. One whose movement is not known is treated as
    /// moving, unless the sheet's own width holds it.
    #[must_use]
    pub fn of(width: Length, movement: CrackMovement, system: &System, limits: &Limits) -> Self {
        let wide = width > system.widest_crack.unwrap_or(limits.repair_crack_width.value);
        let hairline = width < limits.hairline_width.value;
        match movement {
            CrackMovement::Active | CrackMovement::Unknown
                if width >= limits.replace_crack_width.value =>
            {
                Self::Replaced
            }
            CrackMovement::Active => Self::Treated(LineTreatment::RoutAndSeal),
            CrackMovement::Unknown if wide || (system.widest_crack.is_none() && !hairline) => {
                Self::Treated(LineTreatment::RoutAndSeal)
            }
            CrackMovement::Dormant if wide => Self::Treated(LineTreatment::RoutAndFill),
            CrackMovement::Unknown | CrackMovement::Dormant => Self::Held,
        }
    }

    /// What is done along it.
    #[must_use]
    pub fn treatment(self) -> Option<LineTreatment> {
        match self {
            Self::Treated(treatment) => Some(treatment),
            Self::Replaced | Self::Held => None,
        }
    }
}

/// What is to be done with a crack by its own width and movement; none of what is no crack, and
/// of a crack that somebody decided.
#[must_use]
pub fn crack_verdict(survey: &Survey, system: &System, crack: &Feature) -> Option<CrackVerdict> {
    let Seen::Crack { width, .. } = crack.seen else { return None };
    if decided_treatment(survey, crack).is_some() {
        return None;
    }
    let movement = movement_of(survey, crack);
    let width = width_of(survey, crack, width);
    Some(CrackVerdict::of(width, movement, system, &survey.facts.limits))
}

/// Whether a joint works. Isolation and expansion joints always do; a joint of which nobody
/// knows counts as working.
fn works(kind: JointKind, working: Answer) -> bool {
    working != Answer::No || matches!(kind, JointKind::Isolation | JointKind::Expansion)
}

/// How a joint is treated under a class of system: a working one is carried through it, or
/// kept open beside it where the finish is too thin to be cut. Semi-rigid filler is for hard
/// wheels indoors: outdoors, and under what soaks in, a joint at rest stays clean and open.
#[must_use]
pub fn joint_treatment(look: &Look<'_>, kind: JointKind, working: Answer) -> LineTreatment {
    let class = look.system.class;
    let thin = look.system.soaks_in() || class == SystemClass::ThinFilm;
    let outdoors = look.survey.facts.slab.setting == Setting::Outdoor;
    let opens = matches!(kind, JointKind::Isolation | JointKind::Expansion);
    if look.system.soaks_in() && !opens {
        return LineTreatment::KeepClean;
    }
    match (works(kind, working), thin) {
        (false, _) if outdoors => LineTreatment::KeepClean,
        (false, _) => LineTreatment::SemiRigidFill,
        (true, true) => LineTreatment::HonourAndSeal,
        (true, false) => LineTreatment::RecutAndSeal,
    }
}

/// What a person has decided for a crack or joint, the last word first.
fn decision<'a>(survey: &'a Survey, line: &Feature) -> Option<&'a DecidedTreatment> {
    // A decision has a name, a reason and a day.
    survey.facts.treatments.iter().rfind(|made| made.feature == line.id && made.on.is_some())
}

/// The treatment that a person has decided for a crack or joint, if one has. To leave it and
/// show it is no treatment for what moves.
#[must_use]
pub fn decided_treatment(survey: &Survey, line: &Feature) -> Option<LineTreatment> {
    let made = decision(survey, line)?;
    let shown = made.treatment != LineTreatment::Leave || may_be_left(survey, line);
    shown.then_some(made.treatment)
}

/// Whether a crack or joint may be left as it is: it rests, and the finish shows it.
fn may_be_left(survey: &Survey, line: &Feature) -> bool {
    let rests = match line.seen {
        Seen::Crack { width, .. } => match movement_of(survey, line) {
            CrackMovement::Dormant => true,
            // Of a hairline nobody asks.
            CrackMovement::Unknown => {
                width_of(survey, line, width) <= survey.facts.limits.hairline_width.value
            }
            CrackMovement::Active => false,
        },
        Seen::Joint { kind, working, .. } => !works(kind, working),
        _ => false,
    };
    let covered = survey
        .zones
        .iter()
        .filter(|zone| line.place.meets(&zone.outline))
        .filter_map(|zone| survey.system_of(zone))
        .any(|system| !system.see_through);
    rests && !covered
}

/// Cracks of which the same is said: one finding names them all.
struct Alike<'a> {
    state: FindingState,
    class: CrackClass,
    movement: CrackMovement,
    follows: Said,
    setting: Option<(SettingOf, &'static str, Length)>,
    source: Source,
    cracks: Vec<(&'a Feature, Length)>,
}

/// A question asked of some cracks: one unknown names them all.
struct Asked<'a> {
    of: Question,
    decides: bool,
    cracks: Vec<&'a Feature>,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Question {
    Displaced,
    Leaking,
    Moves,
}

impl Question {
    fn outcome(self, names: Argument, count: usize, decides: bool) -> Outcome {
        let count = count as u32;
        let one = count == 1;
        let (what, test, count) = match self {
            Self::Displaced => (
                said!("whether-one-side-of-stands-higher", names = names),
                said!("straightedge-across"),
                count,
            ),
            Self::Leaking => (
                said!("whether-water-comes-through", names = names),
                said!("a-look-after-rain-or-a-hose"),
                count,
            ),
            Self::Moves => (
                said!("whether-cracks-move", names = names, count = count),
                said!("crack-gauge-read-on-two-days-warm"),
                2 * count,
            ),
        };
        let test =
            if one || self == Self::Leaking { test } else { said!("each-of-them", test = test) };
        if decides {
            deciding(CRACKS, what, test, count)
        } else {
            before_work(CRACKS, what, test, count)
        }
    }

    fn of(self, cracks: Vec<FeatureId>) -> Ask {
        match self {
            Self::Displaced => Ask::CracksDisplaced(cracks),
            Self::Leaking => Ask::CracksLeak(cracks),
            Self::Moves => Ask::CracksMove(cracks),
        }
    }
}

const CRACKS: Matter = Matter::Cracks;

/// Every crack; cracks alike are told together.
pub(crate) fn cracks(look: &Look<'_>) -> Vec<Outcome> {
    let mut alike: Vec<Alike<'_>> = Vec::new();
    let mut asked: Vec<Asked<'_>> = Vec::new();
    for crack in look.features() {
        if let Seen::Crack { width, .. } = crack.seen {
            let width = width_of(look.survey, crack, width);
            for said in judged(look, crack, width) {
                // Of what somebody's word names one crack, that one is told by itself.
                let named = |feature: &Feature| {
                    look.survey.facts.overrules.iter().any(|overrule| {
                        overrule.finding == CRACKS && overrule.feature.as_ref() == Some(&feature.id)
                    })
                };
                let same = |held: &&mut Alike<'_>| {
                    !named(crack)
                        && !held.cracks.iter().any(|(other, _)| named(other))
                        && held.state == said.state
                        && held.class == said.class
                        && held.movement == said.movement
                        && held.follows == said.follows
                };
                match alike.iter_mut().find(same) {
                    Some(held) => held.cracks.extend(said.cracks),
                    None => alike.push(said),
                }
            }
            for (of, decides) in questions(look, crack, width) {
                match asked.iter_mut().find(|held| held.of == of && held.decides == decides) {
                    Some(held) => held.cracks.push(crack),
                    None => asked.push(Asked { of, decides, cracks: vec![crack] }),
                }
            }
        }
    }
    let ids = |cracks: &mut dyn Iterator<Item = &Feature>| names(cracks.map(|crack| &crack.id));
    let mut said: Vec<Outcome> = alike
        .into_iter()
        .map(|held| {
            let widths = held.cracks.iter().map(|(_, width)| *width);
            let narrowest = widths.clone().reduce(Length::min).unwrap_or(Length::ZERO);
            let widest = widths.reduce(Length::max).unwrap_or(Length::ZERO);
            let width = if narrowest == widest {
                both(detail(widest))
            } else {
                said!("from-to", low = both(detail(narrowest)), high = both(detail(widest))).into()
            };
            let what = said!(
                "cracks-are",
                cracks = ids(&mut held.cracks.iter().map(|(crack, _)| *crack)),
                class = held.class,
                width = width,
                movement = held.movement,
                count = held.cracks.len()
            );
            let mut evidence = Vec::new();
            for (crack, _) in &held.cracks {
                evidence.push(of_feature(crack));
                let read = gauges(look.survey, crack);
                evidence.extend(read.iter().map(|(reading, _)| of_reading(reading)));
            }
            let told = found(
                CRACKS,
                held.state,
                said!("cracks-follow", what = what, follows = held.follows),
                evidence,
                held.source,
            );
            match held.setting {
                Some((of, name, limit)) => told.by_setting(of, name, both(detail(limit))),
                None => told,
            }
        })
        .collect();
    said.extend(asked.into_iter().map(|held| {
        let count = held.cracks.len();
        let about = held.of.of(held.cracks.iter().map(|crack| crack.id.clone()).collect());
        held.of.outcome(ids(&mut held.cracks.into_iter()), count, held.decides).about(about)
    }));
    said
}

/// What is said of one crack.
fn judged<'a>(look: &Look<'_>, crack: &'a Feature, width: Length) -> Vec<Alike<'a>> {
    let Seen::Crack { leaking, displaced, .. } = crack.seen else { return Vec::new() };
    let movement = movement_of(look.survey, crack);
    let limits = look.limits();
    let plain = |state, follows: Said, source| Alike {
        state,
        class: CrackClass::of(width, limits),
        movement,
        follows,
        setting: None,
        source,
        cracks: vec![(crack, width)],
    };
    if displaced == Answer::Yes {
        return vec![plain(
            FindingState::Engineer,
            said!("one-side-stands-higher-find-the-cause"),
            Source::new("title-aci-562-displacement-is-a-licensed-design", Certainty::Memory),
        )];
    }
    let mut said = Vec::new();
    if leaking == Answer::Yes {
        said.push(plain(
            FindingState::Repair,
            said!("water-comes-through-stop-the-water"),
            Source::COMMON_PRACTICE,
        ));
    }
    if let Some(decided) = survey_decision(look, crack) {
        let (state, follows) = match decided_treatment(look.survey, crack) {
            Some(LineTreatment::Leave) => {
                (FindingState::Prepare, said!("show-it-on-the-sample-panel"))
            }
            Some(_) => (FindingState::Repair, Said::nothing()),
            None => (FindingState::Repair, said!("what-moves-or-what-the-finish-hides")),
        };
        said.push(plain(
            state,
            said!("decided-crack", decided = decided, follows = follows),
            Source::COMMON_PRACTICE,
        ));
        return said;
    }
    let replaced = limits.replace_crack_width;
    let verdict = CrackVerdict::of(width, movement, look.system, limits);
    let rule =
        Source::new("title-classes-aci-201-1r-wider-than-a-bank-card", Certainty::CommonPractice);
    let of = |limit: Limit<Length>| (limit.value, limit.source_of_rule(rule));
    let (whose, name, (limit, source)) = match look.system.widest_crack {
        _ if verdict == CrackVerdict::Replaced => {
            (SettingOf::Limits, "replace_crack_width", of(replaced))
        }
        Some(widest) => (SettingOf::System, "widest_crack", (widest, rule)),
        None => (SettingOf::Limits, "repair_crack_width", of(limits.repair_crack_width)),
    };
    let (state, follows) = match verdict {
        CrackVerdict::Replaced => {
            (FindingState::Decide, said!("too-wide-and-restless-for-a-joint"))
        }
        CrackVerdict::Treated(LineTreatment::RoutAndSeal) => {
            (FindingState::Repair, said!("treat-as-a-joint-and-carry"))
        }
        CrackVerdict::Treated(_) => {
            (FindingState::Repair, said!("rout-and-fill-before-preparation"))
        }
        CrackVerdict::Held => (FindingState::Prepare, said!("narrow-enough-for-the-system-show")),
    };
    said.push(Alike {
        setting: Some((whose, name, limit)),
        ..plain(state, said!("follows-crack", follows = follows), source)
    });
    said
}

/// What is not known of one crack, and whether the recommendation hangs on it.
fn questions(look: &Look<'_>, crack: &Feature, width: Length) -> Vec<(Question, bool)> {
    let Seen::Crack { leaking, displaced, .. } = crack.seen else { return Vec::new() };
    let limits = look.limits();
    if displaced == Answer::Yes {
        return Vec::new();
    }
    let mut asked = Vec::new();
    if displaced == Answer::Unknown {
        asked.push((Question::Displaced, true));
    }
    if leaking == Answer::Unknown {
        asked.push((Question::Leaking, true));
    }
    let decided = decided_treatment(look.survey, crack).is_some();
    // Of a hairline nobody asks whether it moves.
    let hairline = width < limits.hairline_width.value;
    if movement_of(look.survey, crack) == CrackMovement::Unknown && !decided && !hairline {
        // A wide one is repaired either way, and one that the sheet's own width holds stays: the
        // gauge says how, not whether.
        let within = look.system.widest_crack.is_some_and(|widest| width <= widest);
        let wide = width > look.system.widest_crack.unwrap_or(limits.repair_crack_width.value);
        asked.push((Question::Moves, !wide && !within && width < limits.replace_crack_width.value));
    }
    asked
}

/// What somebody has decided for a line, in words.
fn survey_decision(look: &Look<'_>, line: &Feature) -> Option<Said> {
    let made = decision(look.survey, line)?;
    Some(said!("as-decided", treatment = made.treatment, by = &made.by, reason = &made.reason))
}

/// Decisions about cracks and joints that nobody dated: they change nothing.
fn undated(look: &Look<'_>) -> Vec<Outcome> {
    let made = look.survey.facts.treatments.iter().filter(|made| made.on.is_none());
    let here = made.filter(|made| {
        look.features().any(|line| line.id == made.feature && decision(look.survey, line).is_none())
    });
    here.map(|made| {
        let matter = match look.features().find(|line| line.id == made.feature) {
            Some(Feature { seen: Seen::Joint { .. }, .. }) => Matter::Joints,
            _ => Matter::Cracks,
        };
        before_work(
            matter,
            said!("when-it-was-decided", mark = &made.feature, by = &made.by),
            said!("write-the-day-beside-the-decision"),
            1,
        )
    })
    .collect()
}

/// Joints of which somebody decided how they are treated. A filler that cannot move breaks in
/// a joint that does, or breaks its edges: that is signed for.
fn decided_joints(look: &Look<'_>) -> Vec<Outcome> {
    let mut said = Vec::new();
    for joint in look.features() {
        let Seen::Joint { kind, working, .. } = joint.seen else { continue };
        let Some(decided) = survey_decision(look, joint) else { continue };
        let stiff = decided_treatment(look.survey, joint).is_some_and(|treatment| {
            matches!(
                treatment,
                LineTreatment::SemiRigidFill | LineTreatment::RoutAndFill | LineTreatment::Stitch
            )
        });
        let (state, follows) = if works(kind, working) && stiff {
            let known = if working == Answer::Unknown {
                said!("may-still-work")
            } else {
                said!("still-works")
            };
            (FindingState::Hold, said!("it-what-cannot-move-with-it-breaks", known = known))
        } else {
            (FindingState::Prepare, Said::nothing())
        };
        said.push(found(
            Matter::Joints,
            state,
            said!(
                "joint-decided",
                mark = &joint.id,
                kind = kind,
                decided = decided,
                follows = follows
            ),
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
        (!joints.is_empty()).then(|| {
            found(
                Matter::Joints,
                FindingState::Prepare,
                said!(
                    "the-patch-of-lies-across-the-joint",
                    marks = names(&patch.holds),
                    joints = names(joints.iter().map(|joint| &joint.id))
                ),
                joints.into_iter().map(of_feature).collect(),
                Source::new(
                    "title-fhwa-repair-page-joints-are-formed-again-through",
                    Certainty::Memory,
                ),
            )
        })
    });
    crossed.collect()
}

/// Old filler comes out before new goes in; a sealant of unknown age is asked about.
fn old_filler(look: &Look<'_>) -> Vec<Outcome> {
    let of = |wanted: Answer| -> Vec<&Feature> {
        let is =
            |f: &&Feature| matches!(f.seen, Seen::Joint { old_filler, .. } if old_filler == wanted);
        look.features().filter(is).collect()
    };
    let ids = |joints: &[&Feature]| names(joints.iter().map(|joint| &joint.id));
    let mut said = Vec::new();
    let (filled, mut unsure) = (of(Answer::Yes), of(Answer::Unknown));
    // Where nothing new goes in, nobody asks for what may sit there.
    let stays_open = |joint: &&Feature| match joint.seen {
        Seen::Joint { kind, working, .. } => {
            decided_treatment(look.survey, joint)
                .unwrap_or_else(|| joint_treatment(look, kind, working))
                == LineTreatment::KeepClean
        }
        _ => false,
    };
    unsure.retain(|joint| !stays_open(joint));
    if !filled.is_empty() {
        said.push(found(
            Matter::Joints,
            FindingState::Prepare,
            said!("old-filler-comes-out-both-faces-bare", joints = ids(&filled)),
            filled.iter().map(|joint| of_feature(joint)).collect(),
            Source::COMMON_PRACTICE,
        ));
    }
    if !unsure.is_empty() {
        said.push(
            before_work(
                Matter::Joints,
                said!("whether-old-filler-sits", joints = ids(&unsure)),
                said!("a-look-and-a-knife-into"),
                unsure.len() as u32,
            )
            .about(Ask::OldFiller(unsure.iter().map(|joint| joint.id.clone()).collect())),
        );
    }
    said
}

/// Every joint by its treatment: none is bridged silently.
pub(crate) fn joints(look: &Look<'_>) -> Vec<Outcome> {
    let mut said = decided_joints(look);
    said.extend(undated(look));
    said.extend(patches_across(look));
    said.extend(old_filler(look));
    for treatment in LineTreatment::ALL {
        let (mut evidence, mut lengths) = (Vec::new(), Vec::new());
        for kind in JointKind::ALL {
            let picked = |f: &Feature| match f.seen {
                Seen::Joint { kind: k, working, .. } if k == *kind => {
                    decided_treatment(look.survey, f).is_none()
                        && joint_treatment(look, k, working) == *treatment
                }
                _ => false,
            };
            let of_kind: Vec<Evidence> =
                look.features().filter(|f| picked(f)).map(of_feature).collect();
            if of_kind.is_empty() {
                continue;
            }
            let length = look.extent.length_of(picked);
            lengths.push(said!("length-of-kind", length = both(length), kind = *kind));
            evidence.extend(of_kind);
        }
        if evidence.is_empty() {
            continue;
        }
        // What stays open bridges nothing, whether it works or not.
        let unsure_joints: Vec<&Feature> = look
            .features()
            .filter(|_| *treatment != LineTreatment::KeepClean)
            .filter(|f| matches!(f.seen, Seen::Joint { kind, working: Answer::Unknown, .. } if decided_treatment(look.survey, f).is_none() && joint_treatment(look, kind, Answer::Unknown) == *treatment && !matches!(kind, JointKind::Isolation | JointKind::Expansion)))
            .collect();
        let unsure_ids: Vec<FeatureId> = unsure_joints.iter().map(|f| f.id.clone()).collect();
        if !unsure_ids.is_empty() {
            said.push(
                before_work(
                    Matter::Joints,
                    said!(
                        "whether-joints-work",
                        joints = names(&unsure_ids),
                        count = unsure_ids.len()
                    ),
                    said!("gauge-across-it-on-two-days-warm"),
                    2,
                )
                .about(Ask::JointsWork(unsure_ids)),
            );
        }
        said.push(found(
            Matter::Joints,
            FindingState::Prepare,
            said!(
                "joints-by-treatment",
                treatment = *treatment,
                lengths = listed(Joint::Comma, lengths)
            ),
            evidence,
            Source::new("title-working-joints-are-honoured-in-the-overlay-icri", Certainty::Seen),
        ));
    }
    said
}
