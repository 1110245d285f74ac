//! Is the prepared surface what the system asks for: every test against its limit by the
//! rule chosen, with the count that its standard asks for. Only what was read since the
//! area was prepared counts; moisture tests count whenever they were made.
//!
//! A value is in the SI unit that its row names. Too few results accept nothing.

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::Serialize;
use tooth_measure::acceptance::{share_within, tolerance_factor};
use tooth_measure::choice::{Choice as _, choices};
use tooth_measure::say::{
    Argument, Joint, Said, both, decimal, detail, listed, names, own, percent, said,
};
use tooth_measure::{
    Certainty, Fraction, Length, MoistureEmission, Point, Source, Stress, TemperatureDifference,
};
use tooth_texture::calibration::Level;

use crate::assessment::{
    Evidence, FieldTest, FindingState, LimeDrops, Look, Pace, Spread, USUAL_MARGIN, apart, assess,
    climate_of, of_reading,
};
use crate::extent::{Extent, PatchRule};
use crate::methods::Catalogue;
use crate::plan::{Objective, Proof, ProofTest, plan, proof_of, terms_of_zone};
use crate::survey::{
    Answer, Asked, ClothWipe, FailureMode, Feature, FeatureId, KnifeTest, Matter, Measured, Place,
    PullOffAcceptance, PullOffRule, Reading, RepairSound, Seen, Survey, Zone, ZoneId,
};

choices! {
    /// How results are judged.
    AcceptanceRule {
        /// Every result within the limit.
        EveryResult = "every_result";
        /// The mean at the limit or better, and no result below 85 % of it.
        MeanAndLeast = "mean_and_least";
        /// Mean less k standard deviations at the limit or better.
        ToleranceFactor = "tolerance_factor";
        /// Enough of the lot within the limit, as the sample estimates it.
        PercentWithin = "percent_within";
        /// Chance of the range asked for, by scans on the user's own chips.
        ChanceInRange = "chance_in_range";
    }
}

choices! {
    /// The scale on which the results of a test are told.
    Scale {
        /// Levels of comparator chips.
        Level = "CSP";
        /// Chance of the range asked for.
        Chance = "chance";
        /// Tensile strength.
        Strength = "MPa";
        /// Marks at which oil came back.
        CameBack = "came back";
        /// Repairs that sound hollow.
        Hollow = "hollow";
        /// Depth under a straightedge.
        Depth = "mm";
        /// Wipes that came up dusty.
        Dusty = "dusty";
        /// Kelvins above dew point.
        Margin = "K";
        /// Places at which no lime answered.
        NoLime = "no lime";
        /// Slowest over quickest.
        Ratio = "ratio";
        /// Films that came off under the knife.
        CameOff = "came off";
        /// Seconds.
        Time = "s";
        /// pH.
        Acidity = "pH";
        /// Per cent of relative humidity.
        Humidity = "%";
        /// Moisture emission.
        Emission = "g/(m²·d)";
    }
}

/// A result, mean, deviation or limit on the scale of its test; in JSON the number alone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figure {
    value: f64,
    scale: Scale,
}

impl Figure {
    /// The number, on the scale of its test.
    #[must_use]
    pub const fn on_scale(self) -> f64 {
        self.value
    }

    /// With its unit, in that of the reader where there are two.
    #[must_use]
    pub fn said(self) -> Argument {
        let Self { value, scale } = self;
        match scale {
            Scale::Strength => own(Stress::from_megapascals(value)),
            Scale::Margin => own(TemperatureDifference::from_kelvins(value)),
            Scale::Depth => own(detail(Length::from_millimetres(value))),
            Scale::Emission => own(MoistureEmission::from_grams_per_square_metre_day(value)),
            Scale::CameBack | Scale::Dusty | Scale::NoLime | Scale::CameOff | Scale::Hollow => {
                said!("on-a-scale", value = decimal(value, 0), scale = scale).into()
            }
            Scale::Level
            | Scale::Chance
            | Scale::Ratio
            | Scale::Time
            | Scale::Acidity
            | Scale::Humidity => {
                said!("on-a-scale", value = decimal(value, 2), scale = scale).into()
            }
        }
    }
}

/// What a rule compares with the limit; in JSON the number alone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Statistic {
    /// Results outside the limits.
    Outside(u32),
    /// A share of the lot, or a chance.
    Share(Fraction),
    /// On the scale of the test.
    Figure(Figure),
}

impl Statistic {
    /// The number: a count, a ratio, or on the scale of the test.
    #[must_use]
    pub fn number(self) -> f64 {
        match self {
            Self::Outside(count) => f64::from(count),
            Self::Share(share) => share.ratio(),
            Self::Figure(figure) => figure.value,
        }
    }
}

/// A number in JSON.
macro_rules! as_number {
    ($($name:ident: $number:expr;)+) => { $(
        impl Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.serialize_f64($number(*self))
            }
        }

        impl JsonSchema for $name {
            fn inline_schema() -> bool {
                true
            }

            fn schema_name() -> std::borrow::Cow<'static, str> {
                stringify!($name).into()
            }

            fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
                f64::json_schema(generator)
            }
        }
    )+ };
}

as_number! {
    Figure: Figure::on_scale;
    Statistic: Statistic::number;
}

/// A test that judges a prepared area.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum JudgedTest {
    /// One that the plan names as proof.
    Proof(ProofTest),
    /// Scans, beside hand and eye.
    ProfileScan,
}

impl JudgedTest {
    /// The word in JSON.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Proof(proof) => proof.key(),
            Self::ProfileScan => "profile_scan",
        }
    }

    /// As people call it.
    #[must_use]
    pub fn said(self) -> Argument {
        match self {
            Self::Proof(proof) => proof.into(),
            Self::ProfileScan => said!("profile-by-scan").into(),
        }
    }
}

impl Serialize for JudgedTest {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.key())
    }
}

impl JsonSchema for JudgedTest {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> std::borrow::Cow<'static, str> {
        "JudgedTest".into()
    }

    fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
        String::json_schema(generator)
    }
}

/// No result below this share of the limit where the mean decides
/// (assumption, after the 85 % of cores in ACI 318, from memory).
const LEAST_SHARE: f64 = 0.85;
/// Below this pH acid is still in the surface. Assumption.
const LEAST_PH: f64 = 6.0;
/// Chance of the range that a scan must reach.
const LIKELY: f64 = 0.9;

/// One test of one area, judged.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Judged {
    /// The zone.
    pub zone: ZoneId,
    /// Its name.
    pub name: String,
    /// The test.
    pub test: JudgedTest,
    /// Unit of mean, deviation, statistic and limit.
    pub unit: Scale,
    /// Results that count.
    pub count: u32,
    /// How many its standard asks for.
    pub needed: u32,
    /// Their mean; null of none, and of results that have none.
    pub mean: Option<Figure>,
    /// Their standard deviation (n - 1); null of fewer than two.
    pub standard_deviation: Option<Figure>,
    /// The rule.
    pub rule: AcceptanceRule,
    /// What the rule compares with the limit; null where there is nothing to compare.
    pub statistic: Option<Statistic>,
    /// The limit; null where the sheet names none.
    pub limit: Option<Figure>,
    /// The other end of the limit, where it has two.
    pub upper_limit: Option<Figure>,
    /// Whether it is accepted.
    pub accepted: bool,
    /// Whether the area hangs on it; else it stands beside another test.
    pub decides: bool,
    /// Why.
    pub reason: Said,
    /// What it rests on: `reading:ID`, `scan:NAME`.
    pub evidence: Vec<Evidence>,
    /// Where the count and rule come from.
    pub source: Source,
}

/// An area as a whole.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Verdict {
    /// The zone.
    pub zone: ZoneId,
    /// Whether everything that decides is accepted.
    pub accepted: bool,
    /// What stands against it, or that nothing does.
    pub because: Said,
}

/// The acceptance of all areas.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Acceptance {
    /// Every test of every area.
    pub zones: Vec<Judged>,
    /// Every area.
    pub verdicts: Vec<Verdict>,
}

impl Acceptance {
    /// Whether some area is not accepted.
    #[must_use]
    pub fn refuses(&self) -> bool {
        self.verdicts.iter().any(|verdict| !verdict.accepted)
    }
}

/// Judges every area by the tests that its plan names.
#[must_use]
pub fn accept(survey: &Survey, catalogue: &Catalogue, patch_rule: PatchRule) -> Acceptance {
    let mut acceptance = Acceptance { zones: Vec::new(), verdicts: Vec::new() };
    let before = survey.before_work();
    let assessed = assess(&before, patch_rule);
    let open = assess(survey, patch_rule);
    let planned = plan(&before, &assessed, catalogue, patch_rule, Objective::Cheapest);
    for zone in &survey.zones {
        let Some(system) = survey.system_of(zone) else { continue };
        let Some(prepared) =
            survey.facts.prepared.iter().filter(|p| p.zone == zone.id).max_by_key(|p| p.time)
        else {
            acceptance.verdicts.push(Verdict {
                zone: zone.id.clone(),
                accepted: false,
                because: said!("not-prepared-yet-nothing-to-accept"),
            });
            continue;
        };
        let extent = Extent::measure(survey, zone, patch_rule);
        let look = Look { survey, zone, system, extent: &extent };
        let judge = Judge { look, zone, since: prepared.time };
        let proof = planned.of(&zone.id).filter(|entry| !entry.proof.is_empty()).map_or_else(
            || {
                let found = assessed.of(&zone.id).map_or(&[][..], |entry| &entry.findings);
                proof_of(&look, found, &[], catalogue)
            },
            |entry| entry.proof.clone(),
        );
        let mut judged: Vec<Judged> = proof.iter().map(|proof| judge.by(proof)).collect();
        judged.extend(judge.scans());
        let mut against: Vec<Said> = judged
            .iter()
            .filter(|test| test.decides && !test.accepted)
            .map(|test| test.reason.clone())
            .collect();
        // No test of the surface lifts what somebody must sign, decide or answer for first.
        against.extend(open.of(&zone.id).into_iter().flat_map(|entry| &entry.findings).filter_map(
            |finding| {
                let stands = finding.state >= FindingState::Hold
                    && finding.state != FindingState::Repair
                    && finding.code != Matter::EmbeddedItems
                    && finding.overruled.is_none();
                stands.then(|| finding.reason.clone())
            },
        ));
        // Nor a question that no test of the surface answers.
        against.extend(open.of(&zone.id).into_iter().flat_map(|entry| &entry.unknown).filter_map(
            |gap| {
                let stands = match gap.code {
                    Matter::OldCoating => true,
                    Matter::Structure
                    | Matter::DeteriorationFromInside
                    | Matter::Age
                    | Matter::Unsettled => gap.decides,
                    // The limit of a coat that was decided on.
                    Matter::Moisture => gap.decides && look.system.over.is_some(),
                    _ => false,
                };
                stands.then(|| said!("still-not-known", what = &gap.what, test = &gap.test))
            },
        ));
        // Nor what a release asks to be signed.
        let terms = terms_of_zone(&look);
        let open = terms.iter().filter(|term| term.is_open());
        against.extend(open.map(|term| said!("release-not-signed", condition = term.said())));
        acceptance.verdicts.push(Verdict {
            zone: zone.id.clone(),
            accepted: against.is_empty(),
            because: if against.is_empty() {
                said!("every-test-that-the-system-asks")
            } else {
                said!("standing-against", against = listed(Joint::Space, against))
            },
        });
        acceptance.zones.extend(judged);
    }
    acceptance
}

struct Judge<'a> {
    look: Look<'a>,
    zone: &'a Zone,
    since: jiff::civil::DateTime,
}

/// Results of one test, in the unit of its row.
struct Results {
    test: JudgedTest,
    unit: Scale,
    values: Vec<f64>,
    evidence: Vec<Evidence>,
    needed: u32,
    low: Option<f64>,
    high: Option<f64>,
    source: Source,
}

/// Whether a result reaches a limit: one at it, in the unit typed, does.
fn at_least(value: f64, limit: f64) -> bool {
    value >= limit - limit.abs().max(value.abs()) * 1e-9
}

fn mean(values: &[f64]) -> Option<f64> {
    (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
}

fn deviation(values: &[f64]) -> Option<f64> {
    let mean = mean(values)?;
    let squares: f64 = values.iter().map(|value| (value - mean).powi(2)).sum();
    (values.len() > 1).then(|| (squares / (values.len() - 1) as f64).sqrt())
}

impl Judge<'_> {
    fn by(&self, proof: &Proof) -> Judged {
        match proof.test {
            ProofTest::ChipRating => self.profile(),
            ProofTest::PullOff => self.pull_off(ProofTest::PullOff, proof.count),
            ProofTest::WaterDrop => self.absorption(),
            ProofTest::SurfacePh => self.surface_ph(),
            ProofTest::OilBleedBack => self.oil(proof),
            ProofTest::InSlabHumidity => self.humidity(),
            ProofTest::MoistureEmission => self.emission(),
            ProofTest::RemoverResidue => self.remover_residue(proof),
            ProofTest::RepairSounding => self.repairs(proof),
            ProofTest::RepairPullOff => self.pull_off(ProofTest::RepairPullOff, proof.count),
            ProofTest::Straightedge => self.straightedge(proof),
            ProofTest::DarkCloth => self.dark_cloth(),
            ProofTest::Lime => self.lime(proof),
            ProofTest::Evenness => self.evenness(),
            ProofTest::FilmHolds => self.film_holds(proof),
            ProofTest::DewPoint => self.dew_point(),
        }
    }

    /// What was read of the lot since each of its areas was prepared.
    fn since(&self) -> impl Iterator<Item = &Reading> {
        let survey = self.look.survey;
        let zones = survey.lot_of(self.zone);
        let prepared = zones.filter_map(|zone| Some((zone, survey.prepared_at(zone)?)));
        prepared.flat_map(move |(zone, time)| {
            let own = zone.id == self.zone.id;
            survey.readings_of(zone).filter(move |reading| {
                reading.time >= time && (own || reading.measured.is_of_the_lot())
            })
        })
    }

    /// Values of a kind, read since the area was prepared.
    fn read(&self, of: impl Fn(&Reading) -> Option<f64>) -> (Vec<f64>, Vec<Evidence>) {
        self.since().filter_map(|reading| Some((of(reading)?, of_reading(reading)))).unzip()
    }

    /// Not accepted where fewer places were read than tests are asked for.
    fn spread(&self, judged: &mut Judged, what: Said, wanted: impl Fn(&Reading) -> bool) {
        let apart = apart(self.look.lot_area(), judged.needed);
        let read = self.since().filter(|reading| wanted(reading));
        let places = Spread::of(read, apart).counted(judged.needed);
        if judged.accepted && places < judged.needed {
            judged.accepted = false;
            judged.reason = said!(
                "of-places-were-read",
                what = what,
                places = places,
                needed = judged.needed,
                apart = both(apart)
            );
        }
    }

    /// Of readings at one place the last alone: a slab dries.
    fn latest(&self, of: impl Fn(&Reading) -> Option<f64>) -> (Vec<f64>, Vec<Evidence>) {
        let mut last: Vec<(&Reading, f64)> = Vec::new();
        let survey = self.look.survey;
        let lot = survey.lot_of(self.zone).flat_map(|zone| survey.readings_of(zone));
        for reading in lot {
            let Some(value) = of(reading) else { continue };
            let same = |held: &Reading| match (held.place, reading.place) {
                (Some(one), Some(other)) => one.distance(other) < Length::from_metres(0.1),
                _ => false,
            };
            match last.iter_mut().find(|(held, _)| same(held)) {
                Some(held) if held.0.time <= reading.time => *held = (reading, value),
                Some(_) => {}
                None => last.push((reading, value)),
            }
        }
        last.into_iter().map(|(reading, value)| (value, of_reading(reading))).unzip()
    }

    /// Every result within the limits, and enough of them.
    fn every(&self, results: Results) -> Judged {
        let outside = results.values.iter().filter(|value| {
            results.low.is_some_and(|low| !at_least(**value, low))
                || results.high.is_some_and(|high| !at_least(high, **value))
        });
        let (outside, count) = (outside.count(), results.values.len() as u32);
        let test = results.test.said();
        let reason = match (results.needed.saturating_sub(count), outside) {
            (0, 0) => said!("all-within-the-limit", test = test, count = count),
            (missing, 0) => said!("results-missing", test = test, missing = missing),
            (_, n) => said!("of-outside-the-limit", test = test, n = n, count = count),
        };
        self.judged(
            results,
            AcceptanceRule::EveryResult,
            Some(Statistic::Outside(outside as u32)),
            outside == 0,
            reason,
        )
    }

    fn judged(
        &self,
        results: Results,
        rule: AcceptanceRule,
        statistic: Option<Statistic>,
        passes: bool,
        reason: Said,
    ) -> Judged {
        let count = results.values.len() as u32;
        let figure = |value: f64| Figure { value, scale: results.unit };
        let counted = matches!(results.unit, Scale::CameBack | Scale::Dusty);
        Judged {
            zone: self.zone.id.clone(),
            name: self.zone.name.clone(),
            test: results.test,
            unit: results.unit,
            count,
            needed: results.needed,
            // Wipes and looks that went wrong are counted, not averaged.
            mean: mean(&results.values).filter(|_| !counted).map(figure),
            standard_deviation: deviation(&results.values).filter(|_| !counted).map(figure),
            rule,
            statistic,
            limit: results.low.or(results.high).map(figure),
            upper_limit: results.low.and(results.high).map(figure),
            accepted: passes && count >= results.needed && count > 0,
            decides: true,
            reason,
            evidence: results.evidence,
            source: results.source,
        }
    }

    fn profile(&self) -> Judged {
        let (target, asked) = self.look.target();
        // Held against the guide's range, which accepts nothing.
        let range = match asked {
            Asked::ByGuide => self.look.system.profile_range().0,
            _ => target,
        };
        let (values, evidence) = self.read(|reading| match reading.measured {
            Measured::ChipRating(level) => Some(f64::from(level.chip())),
            _ => None,
        });
        let people: BTreeSet<&str> = self
            .since()
            .filter(|reading| matches!(reading.measured, Measured::ChipRating(_)))
            .map(|reading| reading.by.as_str())
            .collect();
        let mut judged = self.every(Results {
            test: JudgedTest::Proof(ProofTest::ChipRating),
            unit: Scale::Level,
            values,
            evidence,
            needed: self.look.needed(FieldTest::ChipRating),
            low: Some(f64::from(range.least().chip())),
            high: Some(f64::from(range.most().chip())),
            source: FieldTest::ChipRating.source(),
        });
        self.spread(&mut judged, said!("chip-rating"), |held| {
            matches!(held.measured, Measured::ChipRating(_))
        });
        if asked == Asked::ByGuide {
            // A range from memory accepts nothing: the sheet says which profile it wants.
            judged.accepted = false;
            judged.reason = said!("chip-rating-ask-the-sheet", range = range);
        }
        if judged.accepted && people.len() < 2 {
            judged.accepted = false;
            judged.reason = said!("chip-rating-one-person-alone-rated");
        }
        judged
    }

    /// Scans stand beside hand and eye: chips are replicas, and the model on them is not yet
    /// proven on concrete.
    fn scans(&self) -> Option<Judged> {
        let (target, asked) = self.look.target();
        let range = match asked {
            Asked::ByGuide => self.look.system.profile_range().0,
            _ => target,
        };
        let scans = self.look.survey.scans_of(self.zone).filter(|scan| scan.time >= self.since);
        let graded: Vec<(f64, Evidence)> = scans
            .filter_map(|scan| match &scan.level {
                Level::Graded(grade) => {
                    let chance = grade.chance_in(range.least(), range.most());
                    Some((chance.ratio(), Evidence::Scan(scan.name.to_string())))
                }
                Level::NotCalibrated | Level::NotGradable(..) => None,
            })
            .collect();
        if graded.is_empty() {
            return None;
        }
        let (values, evidence): (Vec<f64>, Vec<Evidence>) = graded.into_iter().unzip();
        let chance = mean(&values);
        let likely = chance.is_some_and(|chance| chance >= LIKELY);
        let reason = said!(
            "profile-by-scan-is-likely-by-scan",
            range = range,
            chance = decimal(chance.unwrap_or_default() * 100.0, 0),
            count = values.len()
        );
        let results = Results {
            test: JudgedTest::ProfileScan,
            unit: Scale::Chance,
            values,
            evidence,
            needed: 1,
            low: Some(LIKELY),
            high: None,
            source: Source::new("title-chances-learnt-on-chips", Certainty::Assumption),
        };
        let chance = chance.map(|chance| Statistic::Share(Fraction::new(chance)));
        let judged = self.judged(results, AcceptanceRule::ChanceInRange, chance, likely, reason);
        Some(Judged { decides: false, ..judged })
    }

    fn pull_off(&self, test: ProofTest, needed: u32) -> Judged {
        let of_repairs = test == ProofTest::RepairPullOff;
        let limit = self.look.system.least_pull_off_strength.map_or(0.0, Stress::megapascals);
        let (values, evidence) = self.read(|reading| match reading.measured {
            Measured::PullOff { strength, failure }
                if failure != FailureMode::Adhesive
                    && self.is_on_a_repair(reading) == of_repairs =>
            {
                Some(strength.megapascals())
            }
            _ => None,
        });
        let results = Results {
            test: JudgedTest::Proof(test),
            unit: Scale::Strength,
            values,
            evidence,
            needed,
            low: Some(limit),
            high: None,
            source: FieldTest::PullOff.source(),
        };
        let rules = self.look.survey.facts.acceptance;
        let rule = match (rules.pull_off, self.look.system.pull_off_rule) {
            (Some(PullOffAcceptance::EveryResult), _) | (None, PullOffRule::EveryResult) => {
                AcceptanceRule::EveryResult
            }
            (Some(PullOffAcceptance::MeanAndLeast), _) | (None, PullOffRule::Mean) => {
                AcceptanceRule::MeanAndLeast
            }
            (Some(PullOffAcceptance::ToleranceFactor), _) => AcceptanceRule::ToleranceFactor,
            (Some(PullOffAcceptance::PercentWithin), _) => AcceptanceRule::PercentWithin,
        };
        let modes: BTreeSet<&str> = self
            .since()
            .filter(|reading| self.is_on_a_repair(reading) == of_repairs)
            .filter_map(|reading| match reading.measured {
                Measured::PullOff { failure, .. } if failure != FailureMode::Adhesive => {
                    Some(failure.key())
                }
                _ => None,
            })
            .collect();
        // Breaks of two kinds are two strengths: their mean says nothing of either.
        let mixed = modes.len() > 1;
        let unmixed = |judged: Judged| {
            if mixed { Judged { mean: None, standard_deviation: None, ..judged } } else { judged }
        };
        let (mean, deviation) = (mean(&results.values), deviation(&results.values));
        // Rounding makes no spread of equal results.
        let deviation = deviation.map(|spread| if spread < limit * 1e-9 { 0.0 } else { spread });
        let count = results.values.len() as u32;
        let least = results.values.iter().copied().fold(f64::INFINITY, f64::min);
        let figure = |value: f64| Statistic::Figure(Figure { value, scale: Scale::Strength });
        let (statistic, passes) = match rule {
            AcceptanceRule::EveryResult | AcceptanceRule::ChanceInRange => {
                let mut judged = unmixed(self.every(results));
                self.spread_pull_offs(&mut judged, of_repairs);
                return judged;
            }
            AcceptanceRule::MeanAndLeast => {
                let reaches = mean.is_some_and(|mean| at_least(mean, limit));
                // A sheet that asks it of every result is not met by a mean.
                let share = match self.look.system.pull_off_rule {
                    PullOffRule::EveryResult => 1.0,
                    PullOffRule::Mean => LEAST_SHARE,
                };
                (mean.map(figure), reaches && at_least(least, limit * share))
            }
            AcceptanceRule::ToleranceFactor => {
                let factor = tolerance_factor(count, rules.share, rules.confidence);
                let bound = mean
                    .zip(deviation)
                    .zip(factor)
                    .map(|((mean, deviation), factor)| mean - factor * deviation);
                (bound.map(figure), bound.is_some_and(|bound| at_least(bound, limit)))
            }
            AcceptanceRule::PercentWithin => {
                let index = mean.zip(deviation).map(|(mean, deviation)| {
                    if deviation > 0.0 {
                        (mean - limit) / deviation
                    } else if at_least(mean, limit) {
                        // All alike: all within, or none.
                        1e6
                    } else {
                        -1e6
                    }
                });
                let share = index.and_then(|index| share_within(index, count));
                (
                    share.map(Statistic::Share),
                    share.is_some_and(|share| at_least(share.ratio(), rules.share.ratio())),
                )
            }
        };
        let shown = |strength: f64| both(Stress::from_megapascals(strength));
        let asked = shown(limit);
        // Breaks of different kinds have no mean and no statistic.
        let statistic = statistic.filter(|_| !mixed);
        let said = match (statistic, rule) {
            (None, _) if mixed => said!("least-limit", least = shown(least), asked = asked),
            (None, _) => said!("nothing-yet"),
            (Some(Statistic::Share(share)), _) => said!(
                "of-the-lot-at-or-more-asked",
                ratio = decimal(share.ratio() * 100.0, 0),
                asked = asked,
                share = percent(rules.share)
            ),
            (Some(bound), AcceptanceRule::ToleranceFactor) => said!(
                "that-of-the-lot-reach-with-confidence",
                number = shown(bound.number()),
                share = percent(rules.share),
                confidence = percent(rules.confidence),
                asked = asked
            ),
            (Some(mean), _) => {
                said!(
                    "on-average-least-limit",
                    number = shown(mean.number()),
                    least = shown(least),
                    asked = asked
                )
            }
        };
        let follows = match (mixed, results.needed.saturating_sub(count), passes) {
            (true, ..) => said!("the-breaks-are-of-different-kinds"),
            (_, missing @ 1.., _) => said!("more-to-read", missing = missing),
            (_, 0, true) => Said::nothing(),
            (_, 0, false) => said!("not-met"),
        };
        let reason = said!("pull-off-strength", said = said, follows = follows);
        // Another kind of break never makes a rule laxer.
        let passes = passes && (!mixed || at_least(least, limit));
        let mut judged = unmixed(self.judged(results, rule, statistic, passes, reason));
        self.spread_pull_offs(&mut judged, of_repairs);
        judged
    }

    /// Disks in one corner say nothing of the rest; repairs lie where they lie.
    fn spread_pull_offs(&self, judged: &mut Judged, of_repairs: bool) {
        if !of_repairs {
            self.spread(judged, said!("disks-pulled"), |held| {
                matches!(held.measured, Measured::PullOff { failure, .. }
                    if failure != FailureMode::Adhesive)
                    && !self.is_on_a_repair(held)
            });
        }
    }

    /// The last look at every mark of oil, a day after cleaning.
    fn oil(&self, proof: &Proof) -> Judged {
        let mut values = Vec::new();
        let mut evidence = Vec::new();
        for mark in &proof.features {
            let survey = self.look.survey;
            let Some(mark) = survey.features.iter().find(|held| held.id == *mark) else { continue };
            let about = survey.readings_about(mark).filter(|reading| reading.time >= self.since);
            let looks = about.filter_map(|reading| match reading.measured {
                Measured::OilBleedBack(answer) => Some((reading, answer)),
                _ => None,
            });
            if let Some((reading, answer)) = looks.max_by_key(|(reading, _)| reading.time)
                && answer != Answer::Unknown
            {
                values.push(f64::from(u8::from(answer == Answer::Yes)));
                evidence.push(of_reading(reading));
            }
        }
        self.every(Results {
            test: JudgedTest::Proof(ProofTest::OilBleedBack),
            unit: Scale::CameBack,
            values,
            evidence,
            needed: proof.count,
            low: None,
            high: Some(0.0),
            source: Source::COMMON_PRACTICE,
        })
    }

    /// Whether a test was made on a repair, which is a condition of its own.
    fn is_on_a_repair(&self, reading: &Reading) -> bool {
        let patched = self.look.extent.patches.iter().any(|patch| {
            let outline = patch.rectangle.outline();
            outline.zip(reading.place).is_some_and(|(outline, place)| outline.holds(place))
        });
        let mut marks = self
            .look
            .features()
            .filter(|mark| matches!(mark.seen, Seen::Hollow { .. } | Seen::Spall { .. }));
        patched || marks.any(|mark| self.look.survey.speaks_of(reading, mark))
    }

    /// The last value of each mark, read since the area was prepared.
    fn of_marks(
        &self,
        proof: &Proof,
        of: impl Fn(&Measured) -> Option<f64>,
    ) -> (Vec<f64>, Vec<Evidence>) {
        let survey = self.look.survey;
        let marks = survey.features.iter().filter(|mark| proof.features.contains(&mark.id));
        marks
            .filter_map(|mark| {
                let about = survey.readings_about(mark).filter(|held| held.time >= self.since);
                let read = about.filter_map(|held| Some((held, of(&held.measured)?)));
                read.max_by_key(|(held, _)| held.time)
            })
            .map(|(held, value)| (value, of_reading(held)))
            .unzip()
    }

    /// Every repaired place, tapped again once it has cured.
    fn repairs(&self, proof: &Proof) -> Judged {
        let (values, evidence) = self.of_marks(proof, |measured| match measured {
            Measured::RepairSounding(heard) => {
                Some(f64::from(u8::from(*heard == RepairSound::Hollow)))
            }
            _ => None,
        });
        self.every(Results {
            test: JudgedTest::Proof(ProofTest::RepairSounding),
            unit: Scale::Hollow,
            values,
            evidence,
            needed: proof.count,
            low: None,
            high: Some(0.0),
            source: Source::COMMON_PRACTICE,
        })
    }

    /// Every filled low spot.
    fn straightedge(&self, proof: &Proof) -> Judged {
        let (values, evidence) = self.of_marks(proof, |measured| match measured {
            Measured::StraightedgeDepth(depth) => Some(depth.millimetres()),
            _ => None,
        });
        self.every(Results {
            test: JudgedTest::Proof(ProofTest::Straightedge),
            unit: Scale::Depth,
            values,
            evidence,
            needed: proof.count,
            low: None,
            high: Some(self.look.limits().low_spot_left.value.millimetres()),
            source: self.look.limits().low_spot_left.source,
        })
    }

    /// Lime where something was taken off and where not, by the stain or by acid.
    fn lime(&self, proof: &Proof) -> Judged {
        let drops = LimeDrops::of(&self.look, |reading| reading.time >= self.since);
        let answers = drops.answers();
        let silent = |answered: bool| f64::from(u8::from(!answered));
        self.every(Results {
            test: JudgedTest::Proof(ProofTest::Lime),
            unit: Scale::NoLime,
            values: answers.iter().map(|(_, answered)| silent(*answered)).collect(),
            evidence: answers.iter().map(|(reading, _)| of_reading(reading)).collect(),
            needed: proof.count,
            low: None,
            high: Some(0.0),
            source: Source::COMMON_PRACTICE,
        })
    }

    /// The slowest drop against the quickest, as the assessment has it.
    fn evenness(&self) -> Judged {
        let (times, evidence) = self.read(|reading| match reading.measured {
            Measured::WaterDrop(time) => Some(time.seconds()),
            _ => None,
        });
        let limit = self.look.limits().uneven_absorption;
        self.every(Results {
            test: JudgedTest::Proof(ProofTest::Evenness),
            unit: Scale::Ratio,
            values: Pace::of(times.iter().copied()).map(Pace::ratio).into_iter().collect(),
            evidence,
            needed: 1,
            low: None,
            high: Some(limit.value),
            source: limit.source,
        })
    }

    /// Films that stay, each under the knife once it is cleaned.
    fn film_holds(&self, proof: &Proof) -> Judged {
        let survey = self.look.survey;
        let marks: Vec<&Feature> =
            survey.features.iter().filter(|mark| proof.features.contains(&mark.id)).collect();
        let (values, evidence) = self
            .since()
            .filter(|reading| marks.iter().any(|mark| survey.speaks_of(reading, mark)))
            .filter_map(|reading| match reading.measured {
                Measured::Knife(seen) => {
                    Some((f64::from(u8::from(seen != KnifeTest::Holds)), of_reading(reading)))
                }
                _ => None,
            })
            .unzip();
        self.every(Results {
            test: JudgedTest::Proof(ProofTest::FilmHolds),
            unit: Scale::CameOff,
            values,
            evidence,
            needed: proof.count,
            low: None,
            high: Some(0.0),
            source: Source::COMMON_PRACTICE,
        })
    }

    fn dark_cloth(&self) -> Judged {
        let (values, evidence) = self.read(|reading| match reading.measured {
            Measured::DarkCloth(wipe) => Some(f64::from(u8::from(wipe == ClothWipe::Dusty))),
            _ => None,
        });
        let mut judged = self.every(Results {
            test: JudgedTest::Proof(ProofTest::DarkCloth),
            unit: Scale::Dusty,
            values,
            evidence,
            needed: self.look.needed(FieldTest::DarkCloth),
            low: None,
            high: Some(0.0),
            source: FieldTest::DarkCloth.source(),
        });
        self.spread(&mut judged, said!("dark-cloth"), |held| {
            matches!(held.measured, Measured::DarkCloth(_))
        });
        judged
    }

    /// The latest climate since the area was prepared, by the rule of the assessment.
    fn dew_point(&self) -> Judged {
        let read = climate_of(&self.look, self.since);
        let least = self.look.system.dew_point_margin.unwrap_or(USUAL_MARGIN).kelvins();
        let (values, evidence) = match read {
            Some((margin, evidence)) => (vec![margin.kelvins()], evidence),
            None => (Vec::new(), Vec::new()),
        };
        self.every(Results {
            test: JudgedTest::Proof(ProofTest::DewPoint),
            unit: Scale::Margin,
            values,
            evidence,
            needed: 1,
            low: Some(least),
            high: None,
            source: Source::new("title-3-c-above-dew-point-iso-8502-4-practice", Certainty::Seen),
        })
    }

    fn absorption(&self) -> Judged {
        let limit = self.look.absorbed_within().seconds();
        let (values, evidence) = self.read(|reading| match reading.measured {
            Measured::WaterDrop(time) => Some(time.seconds()),
            _ => None,
        });
        let mut judged = self.every(Results {
            test: JudgedTest::Proof(ProofTest::WaterDrop),
            unit: Scale::Time,
            values,
            evidence,
            needed: self.look.needed(FieldTest::WaterDrop),
            low: None,
            high: Some(limit),
            source: FieldTest::WaterDrop.source(),
        });
        self.spread(&mut judged, said!("water-drops"), |held| {
            matches!(held.measured, Measured::WaterDrop(_))
        });
        let missed = self.stripped_without_a_drop();
        if judged.accepted && !missed.is_empty() {
            judged.accepted = false;
            judged.reason = said!("no-drop-where-it-came-off", marks = names(missed));
        }
        judged
    }

    /// Films that came off and have a ground of some size, on which no drop was placed.
    fn stripped_without_a_drop(&self) -> Vec<&FeatureId> {
        let drops: Vec<Option<Point>> = self
            .since()
            .filter(|reading| matches!(reading.measured, Measured::WaterDrop(_)))
            .map(|reading| reading.place)
            .collect();
        // Without places nobody can tell.
        if drops.iter().any(Option::is_none) {
            return Vec::new();
        }
        let least = self.look.extent.net * 0.05;
        let films = self
            .look
            .features()
            .filter(|mark| matches!(mark.seen, Seen::Film { .. }) && !self.look.stays(mark));
        films
            .filter(|mark| match &mark.place {
                Place::Patch(ground) => {
                    ground.area() > least
                        && !drops.iter().flatten().any(|place| ground.holds(*place))
                }
                Place::Spot(_) | Place::Line(_) => false,
            })
            .map(|mark| &mark.id)
            .collect()
    }

    /// Drops on the marks where a remover was used, and nowhere else.
    fn remover_residue(&self, proof: &Proof) -> Judged {
        let survey = self.look.survey;
        let marks: Vec<&Feature> =
            survey.features.iter().filter(|mark| proof.features.contains(&mark.id)).collect();
        let drops = self.since();
        let (values, evidence) = drops
            .filter(|reading| marks.iter().any(|mark| survey.speaks_of(reading, mark)))
            .filter_map(|reading| match reading.measured {
                Measured::WaterDrop(time) => Some((time.seconds(), of_reading(reading))),
                _ => None,
            })
            .unzip();
        self.every(Results {
            test: JudgedTest::Proof(ProofTest::RemoverResidue),
            unit: Scale::Time,
            values,
            evidence,
            needed: proof.count,
            low: None,
            high: Some(self.look.absorbed_within().seconds()),
            source: Source::COMMON_PRACTICE,
        })
    }

    fn surface_ph(&self) -> Judged {
        // Acid that was used must be out again, whatever the sheet says. Assumption.
        let (low, high) = match self.look.system.ph {
            Some((low, high)) => (low.ph(), Some(high.ph())),
            None => (LEAST_PH, None),
        };
        let (values, evidence) = self.read(|reading| match reading.measured {
            Measured::SurfacePh(ph) => Some(ph.ph()),
            _ => None,
        });
        self.every(Results {
            test: JudgedTest::Proof(ProofTest::SurfacePh),
            unit: Scale::Acidity,
            values,
            evidence,
            needed: self.look.needed(FieldTest::SurfacePh),
            low: Some(low),
            high,
            source: FieldTest::SurfacePh.source(),
        })
    }

    fn humidity(&self) -> Judged {
        let limit = self.look.system.most_in_slab_humidity.map_or(100.0, |most| most.percent());
        let (values, evidence) = self.latest(|reading| match reading.measured {
            Measured::InSlabHumidity(share) => Some(share.percent()),
            _ => None,
        });
        self.every(Results {
            test: JudgedTest::Proof(ProofTest::InSlabHumidity),
            unit: Scale::Humidity,
            values,
            evidence,
            needed: self.look.needed(FieldTest::InSlabHumidity),
            low: None,
            high: Some(limit),
            source: FieldTest::InSlabHumidity.source(),
        })
    }

    fn emission(&self) -> Judged {
        let limit = self.look.system.most_moisture_emission;
        let limit = limit.map_or(0.0, |most| most.grams_per_square_metre_day());
        let (values, evidence) = self.latest(|reading| match reading.measured {
            Measured::MoistureEmission(rate) => Some(rate.grams_per_square_metre_day()),
            _ => None,
        });
        self.every(Results {
            test: JudgedTest::Proof(ProofTest::MoistureEmission),
            unit: Scale::Emission,
            values,
            evidence,
            needed: self.look.needed(FieldTest::MoistureEmission),
            low: None,
            high: Some(limit),
            source: FieldTest::MoistureEmission.source(),
        })
    }
}
