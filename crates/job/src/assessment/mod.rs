//! What the evidence says of each zone: findings with reason, evidence and source;
//! what is still unknown and the test that settles it; and a recommendation.
//!
//! Rules run in the trade's order of gates: hazard and engineer, cause, movement,
//! soundness, contamination, strength, moisture, profile, climate, finish. Missing
//! evidence is never "fine": it is an [`Unknown`] that names the test and how many.
//! A person may overrule a finding with a reason; both stay.

mod counts;
mod drops;
mod finding;
mod look;
mod rules;
mod spread;

pub use counts::{FieldTest, test_count};
pub use drops::{BetweenMarks, Drops};
pub use finding::{
    Ask, Evidence, Finding, FindingState, JobFact, Overruled, Recommendation, Setting, SettingOf,
    Unknown,
};
pub(crate) use look::of_reading;
pub use look::{KeptFilm, KeptState, Look, PLACES_OF_THE_KNIFE};
pub use rules::climate::{USUAL_MARGIN, climate_of};
pub use rules::cracks_joints::{
    CrackClass, CrackVerdict, crack_verdict, decided_treatment, joint_treatment, movement_of,
    width_of,
};
pub(crate) use rules::finish::Pace;
pub(crate) use rules::lime::{LimeDrops, PLACES_OF_LIME};
pub use rules::soundness::is_low_lip;
pub(crate) use rules::strength::fails as pull_off_fails;
pub(crate) use spread::{Spread, apart};

use schemars::JsonSchema;
use serde::Serialize;
use tooth_measure::Area;
use tooth_measure::say::{Said, said};
use tooth_texture::{Alone, Workers, each};

use crate::extent::{Extent, PatchRule};
use crate::survey::{FeatureId, Matter, Survey, SystemId, Zone, ZoneId};
use finding::Outcome;

/// The assessment of one zone.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ZoneAssessment {
    /// The zone.
    pub zone: ZoneId,
    /// Its name on site.
    pub name: String,
    /// Its system.
    pub system: SystemId,
    /// Area less obstacles.
    pub area_m2: Area,
    /// What to do about this zone.
    pub recommendation: Recommendation,
    /// One sentence: what the recommendation hangs on.
    pub because: Said,
    /// What was found, in the order of the gates.
    pub findings: Vec<Finding>,
    /// What is not known yet.
    pub unknown: Vec<Unknown>,
}

/// The assessment of all zones, in the plan's order.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Assessment {
    /// One entry per zone.
    pub zones: Vec<ZoneAssessment>,
}

impl Assessment {
    /// Whether some zone is not to be bid.
    #[must_use]
    pub fn refuses(&self) -> bool {
        self.zones.iter().any(|zone| zone.recommendation == Recommendation::DoNotBid)
    }

    /// The entry of a zone.
    #[must_use]
    pub fn of(&self, zone: &ZoneId) -> Option<&ZoneAssessment> {
        self.zones.iter().find(|entry| entry.zone == *zone)
    }
}

/// Assesses every zone.
#[must_use]
pub fn assess(survey: &Survey, patch_rule: PatchRule) -> Assessment {
    assess_by(survey, patch_rule, &Alone)
}

/// The same with somebody to do the zones side by side; how many never shows.
#[must_use]
pub fn assess_by(survey: &Survey, patch_rule: PatchRule, workers: &dyn Workers) -> Assessment {
    let zones =
        each(workers, survey.zones.iter().collect(), |zone| assess_zone(survey, zone, patch_rule));
    Assessment { zones: zones.into_iter().flatten().collect() }
}

fn assess_zone(survey: &Survey, zone: &Zone, patch_rule: PatchRule) -> Option<ZoneAssessment> {
    let system = survey.system_of(zone)?;
    let extent = Extent::measure(survey, zone, patch_rule);
    let look = Look { survey, zone, system, extent: &extent };
    let mut findings = Vec::new();
    let mut unknown = Vec::new();
    for rule in rules::IN_ORDER {
        for outcome in rule(&look) {
            match outcome {
                Outcome::Found(finding) => findings.push(finding),
                Outcome::NotKnown(gap) => unknown.push(gap.in_full(&look)),
            }
        }
    }
    let unused = rules::plausibility::unused(&look, &findings);
    findings.extend(unused.and_then(|outcome| match outcome {
        Outcome::Found(finding) => Some(finding),
        Outcome::NotKnown(_) => None,
    }));
    // Areas that are alike are tested once.
    if let Some(first) = look.asked_under() {
        for gap in unknown.iter_mut().filter(|gap| gap.code.is_of_the_lot()) {
            gap.count = 0;
            gap.test = said!("asked-for-with-the-lot", zone = &first.name);
        }
    }
    for overrule in survey.facts.overrules.iter().filter(|o| o.zone == zone.id) {
        let mut lifts = false;
        let about = overrule.feature.clone().map(Evidence::Feature);
        for finding in findings.iter_mut().filter(|f| f.code == overrule.finding) {
            // What is said of several marks together falls when each of them was decided.
            let meant = about.as_ref().is_none_or(|about| {
                finding.evidence.contains(about)
                    && finding.evidence.iter().all(|held| match held {
                        Evidence::Feature(mark) => decided(survey, zone, finding.code, mark),
                        _ => true,
                    })
            });
            if meant && finding.can_be_overruled(overrule.licence.is_some()) {
                lifts = true;
                // A release that says how a loose place is mended leaves it to be mended.
                let mended = matches!(finding.code, Matter::HollowConcrete | Matter::Spalls)
                    && finding.state == FindingState::Repair;
                if mended && !overrule.leaves() && overrule.by_others.is_none() {
                    continue;
                }
                let decision = Overruled {
                    by: overrule.by.clone(),
                    licence: overrule.licence.clone(),
                    on: overrule.date.to_string(),
                    reason: overrule.reason.clone(),
                    drawing: overrule.drawing.clone(),
                    conditions: overrule.conditions.clone(),
                };
                finding.overruled = Some(match finding.overruled.take() {
                    Some(held) => held.and(decision),
                    None => decision,
                });
            }
        }
        if !lifts {
            let what = said!(
                "what-a-decision-lifts",
                by = &overrule.by,
                finding = overrule.finding,
                mark = overrule
                    .feature
                    .as_ref()
                    .map_or_else(Said::nothing, |mark| { said!("term-of", mark = mark) })
            );
            let test = said!("name-the-finding-and-its-mark");
            let gap = finding::before_work(overrule.finding, what, test, 1);
            if let Outcome::NotKnown(gap) = gap {
                unknown.push(gap.in_full(&look));
            }
        }
    }
    let unsigned = survey.unsigned(&zone.id);
    let (recommendation, because) = recommend(&findings, &unknown, unsigned);
    Some(ZoneAssessment {
        zone: zone.id.clone(),
        name: zone.name.clone(),
        system: system.id.clone(),
        area_m2: extent.net,
        recommendation,
        because,
        findings,
        unknown,
    })
}

/// Whether somebody decided about a mark by its name.
fn decided(survey: &Survey, zone: &Zone, code: Matter, mark: &FeatureId) -> bool {
    survey.facts.overrules.iter().any(|overrule| {
        overrule.zone == zone.id
            && overrule.finding == code
            && overrule.feature.as_ref() == Some(mark)
    })
}

/// The gravest standing finding decides; a deciding unknown stands before repair.
fn recommend(findings: &[Finding], unknown: &[Unknown], unsigned: usize) -> (Recommendation, Said) {
    let standing = |state: FindingState| {
        let mut found = findings.iter().filter(|f| f.state == state && f.overruled.is_none());
        let first = found.next()?.reason.clone();
        Some(match found.count() {
            0 => first,
            more => said!("and-more-of-this-gravity", first = first, more = more),
        })
    };
    if let Some(reason) = standing(FindingState::NotACandidate) {
        return (Recommendation::DoNotBid, reason);
    }
    if let Some(reason) = standing(FindingState::Engineer) {
        return (Recommendation::Engineer, reason);
    }
    let deciding: Vec<&Unknown> = unknown.iter().filter(|gap| gap.decides).collect();
    if let Some(first) = deciding.first() {
        let others = match deciding.len() {
            1 => Said::nothing(),
            n => said!("and-more", count = n - 1),
        };
        let known = [FindingState::Repair, FindingState::Decide].into_iter().find_map(standing);
        let known =
            known.map_or_else(Said::nothing, |reason| said!("known-already", reason = reason));
        return (
            Recommendation::TestMore,
            said!("not-known-yet", what = &first.what, others = others, known = known),
        );
    }
    for state in [FindingState::Repair, FindingState::Decide] {
        if let Some(reason) = standing(state) {
            return (Recommendation::RepairFirst, reason);
        }
    }
    let signed =
        findings.iter().filter(|f| f.state == FindingState::Hold && f.overruled.is_none()).count()
            + unsigned;
    let due = match (signed, unknown.len()) {
        (0, 0) => None,
        (0, n) => Some(said!("checks", count = n)),
        (n, 0) => Some(said!("signatures", count = n)),
        (n, m) => Some(said!("signatures-and-checks", signatures = n, checks = m)),
    };
    let prepared = findings.iter().any(|f| f.state == FindingState::Prepare);
    let because = match (due, prepared) {
        (Some(due), _) => said!("nothing-found-stands-against-it-before", due = due),
        (None, true) => said!("the-usual-preparation-takes-care"),
        (None, false) => said!("all-that-the-system-asks"),
    };
    (Recommendation::Go, because)
}

/// The middle of some chip ratings, of two middles the one farther from what is asked; `None` of
/// none.
#[must_use]
pub fn median_rating(
    ratings: Vec<tooth_measure::ProfileLevel>,
    asked: tooth_measure::ProfileRange,
) -> Option<tooth_measure::ProfileLevel> {
    rules::surface::median(ratings, asked)
}
