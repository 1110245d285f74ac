//! What the page shows of a job: every number as a person reads it, in both systems of
//! units, with what it rests on.

use schemars::JsonSchema;
use serde::Serialize;
use tooth_documents::{feature_words, reading_words, zone_letter};
use tooth_job::assessment::{Finding, FindingState, Recommendation, ZoneAssessment};
use tooth_job::choice::Choice as _;
use tooth_job::plan::{Planned, Step, ZonePlan};
use tooth_job::record::chain::{PublicKey, TrustedHead};
use tooth_job::record::{JobId, Thing, ThingKind};
use tooth_job::survey::{Feature, Place, Seen, Zone, ZoneId};
use tooth_measure::show::Show as _;
use tooth_measure::{Point, Source, WorkTime};

use super::{Refusal, Worked};
use crate::output::FaultOut;

/// What an area needs next.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct NextTask {
    /// What it is.
    pub(crate) what: String,
    /// How, or why.
    pub(crate) how: String,
    /// Whether the recommendation hangs on it.
    pub(crate) decides: bool,
}

/// An area at a glance.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct AreaCard {
    /// Its zone's id.
    pub(crate) zone: String,
    /// Its letter on plans and cards.
    pub(crate) letter: String,
    /// Its name on site.
    pub(crate) name: String,
    /// The system that it gets.
    pub(crate) system: String,
    /// Its area less obstacles.
    pub(crate) area: String,
    /// What to do about it.
    pub(crate) recommendation: Recommendation,
    /// The same in words.
    pub(crate) recommendation_words: String,
    /// What the recommendation hangs on.
    pub(crate) because: String,
    /// What comes next.
    pub(crate) next: NextTask,
}

/// How much one unknown moves the price.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct DriverShown {
    /// The unknown.
    pub(crate) unknown: String,
    /// Its share of the movement.
    pub(crate) share: String,
    /// The same in whole percent, for a bar.
    pub(crate) share_percent: u32,
}

/// A line of the price as marked.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct LineShown {
    /// Letter of the area; null for the whole job.
    pub(crate) letter: Option<String>,
    /// What it is.
    pub(crate) item: String,
    /// Crew-hours.
    pub(crate) hours: String,
    /// Direct cost.
    pub(crate) total: String,
}

/// The price of the job.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct PriceShown {
    /// Half of the draws stay below.
    pub(crate) likely: String,
    /// A tenth of the draws stay below.
    pub(crate) low: String,
    /// Nine tenths of the draws stay below.
    pub(crate) high: String,
    /// Likely crew-hours, from low to high.
    pub(crate) hours: String,
    /// To set aside above the price as marked.
    pub(crate) contingency: String,
    /// What moves the price, most first.
    pub(crate) drivers: Vec<DriverShown>,
    /// Letters of areas that are not in the price.
    pub(crate) left_out: Vec<String>,
    /// Letters of areas that are in it on assumptions.
    pub(crate) provisional: Vec<String>,
    /// Lines of direct cost.
    pub(crate) lines: Vec<LineShown>,
    /// Where shared machines and trips stand.
    pub(crate) machines: Vec<MachineShown>,
}

/// A machine that the job needs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct MachineShown {
    /// Its name.
    pub(crate) name: String,
    /// Letters of the areas that use it.
    pub(crate) letters: Vec<String>,
    /// Whether the firm owns it.
    pub(crate) owned: bool,
}

/// Something with more than one unsettled version.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct UnsettledShown {
    /// What it is about.
    pub(crate) about: String,
    /// Who says what.
    pub(crate) versions: Vec<String>,
}

/// A document that can be had.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct DocumentShown {
    /// Its name.
    pub(crate) file: String,
    /// For whom or what it is.
    pub(crate) what: String,
}

/// Documents that were issued.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct IssueShown {
    /// Number of the issue.
    pub(crate) number: u64,
    /// The date on the documents.
    pub(crate) issued_on: String,
    /// Number of entries that they were made from.
    pub(crate) entries: u64,
    /// The documents.
    pub(crate) documents: Vec<DocumentShown>,
}

/// A job on the page.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct JobPage {
    /// The job.
    pub(crate) job: JobId,
    /// Its name.
    pub(crate) name: String,
    /// Whether it is made up to show the tool.
    pub(crate) invented: bool,
    /// The client.
    pub(crate) client: String,
    /// Where the slab is.
    pub(crate) site: String,
    /// Who prepares it.
    pub(crate) contractor: String,
    /// The areas, in the plan's order.
    pub(crate) areas: Vec<AreaCard>,
    /// The price.
    pub(crate) price: PriceShown,
    /// What people say differently.
    pub(crate) unsettled: Vec<UnsettledShown>,
    /// What to look at, though it was read.
    pub(crate) warnings: Vec<FaultOut>,
    /// Documents that can be made now.
    pub(crate) documents: Vec<DocumentShown>,
    /// Documents that were issued, newest first.
    pub(crate) issues: Vec<IssueShown>,
    /// Number of entries of its record.
    pub(crate) entries: u64,
    /// The end of its chain.
    pub(crate) head: TrustedHead,
    /// The key that signs heads here.
    pub(crate) key: PublicKey,
}

/// Something that a finding rests on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct EvidenceShown {
    /// The thing in the record; null where it is a field of the job.
    pub(crate) thing: Option<Thing>,
    /// Its name.
    pub(crate) name: String,
    /// What it says.
    pub(crate) says: String,
}

/// A finding with its reasons.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct FindingShown {
    /// The rule's name.
    pub(crate) code: String,
    /// What it asks for.
    pub(crate) state: FindingState,
    /// The same in words.
    pub(crate) state_words: String,
    /// What was found and what follows.
    pub(crate) reason: String,
    /// What it rests on.
    pub(crate) evidence: Vec<EvidenceShown>,
    /// Where the rule comes from.
    pub(crate) source: String,
    /// How sure that is.
    pub(crate) certainty: String,
    /// A person's decision against it; null if none.
    pub(crate) overruled: Option<String>,
}

/// Something not known yet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct GapShown {
    /// What is not known.
    pub(crate) what: String,
    /// The cheapest test that settles it.
    pub(crate) test: String,
    /// How many more of it.
    pub(crate) count: u32,
    /// Whether the recommendation hangs on it.
    pub(crate) decides: bool,
}

/// A step of the plan.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct StepShown {
    /// Its name.
    pub(crate) name: String,
    /// What it is done to.
    pub(crate) scope: String,
    /// How much.
    pub(crate) amount: String,
    /// Passes.
    pub(crate) passes: u8,
    /// Crew-hours.
    pub(crate) hours: String,
    /// Hours before the next step; null for none.
    pub(crate) wait: Option<String>,
    /// Direct cost.
    pub(crate) cost: String,
    /// The profile that it leaves; null where it leaves it alone.
    pub(crate) leaves: Option<String>,
    /// Hand work along walls; null for none.
    pub(crate) edging: Option<String>,
    /// What must be signed before it.
    pub(crate) holds: Vec<String>,
    /// One sentence for the crew.
    pub(crate) instruction: String,
    /// Where the figures come from.
    pub(crate) source: String,
}

/// Methods that may not be used, by reason.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct RuledOutShown {
    /// The reason.
    pub(crate) reason: String,
    /// The methods.
    pub(crate) methods: Vec<String>,
}

/// A line of the bill of quantities.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct QuantityShown {
    /// What it is.
    pub(crate) item: String,
    /// How much.
    pub(crate) amount: String,
    /// How it was worked out, with its numbers.
    pub(crate) formula: String,
    /// Where the formula comes from.
    pub(crate) source: String,
}

/// An area on the page.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct AreaPage {
    /// The area at a glance.
    pub(crate) card: AreaCard,
    /// What kind of system it gets, and its sheet.
    pub(crate) sheet: String,
    /// The profile asked for.
    pub(crate) profile: String,
    /// What was found, in the order of the gates.
    pub(crate) findings: Vec<FindingShown>,
    /// What is not known yet.
    pub(crate) unknown: Vec<GapShown>,
    /// Whether it has a plan.
    pub(crate) planned: bool,
    /// Why it has none; empty where it has.
    pub(crate) not_planned: String,
    /// What the plan assumes where evidence is missing.
    pub(crate) assumptions: Vec<String>,
    /// The steps in order.
    pub(crate) steps: Vec<StepShown>,
    /// Crew-hours of all steps.
    pub(crate) hours: String,
    /// What must be shown or signed before the system goes down.
    pub(crate) before_system: Vec<String>,
    /// Methods that may not be used here.
    pub(crate) ruled_out: Vec<RuledOutShown>,
    /// The bill of quantities.
    pub(crate) quantities: Vec<QuantityShown>,
}

/// How an object of the plan is drawn.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[serde(tag = "type", content = "coordinates_m", rename_all = "snake_case")]
pub(crate) enum Drawn {
    /// A place: x and y in metres.
    Spot([f64; 2]),
    /// A line of such places.
    Line(Vec<[f64; 2]>),
    /// An outline, closed.
    Patch(Vec<[f64; 2]>),
}

/// An object of the plan.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct PlanObject {
    /// The thing in the record.
    pub(crate) thing: Thing,
    /// Its name.
    pub(crate) name: String,
    /// The word of its kind, for drawing and legend.
    pub(crate) kind: String,
    /// What it is.
    pub(crate) words: String,
    /// Letters of the areas that it touches.
    pub(crate) letters: Vec<String>,
    /// The recommendation, for an area.
    pub(crate) recommendation: Option<Recommendation>,
    /// The photograph's file, for a photograph.
    pub(crate) photo: Option<String>,
    /// Where it is.
    pub(crate) drawn: Drawn,
}

/// The slab's plan on the page. Lengths in metres, y upwards.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct PlanPage {
    /// Name of the job.
    pub(crate) name: String,
    /// Whether feet are shown first.
    pub(crate) feet_first: bool,
    /// North, clockwise from up, in degrees.
    pub(crate) north_degrees: f64,
    /// Least x, least y, greatest x, greatest y.
    pub(crate) extent_m: [f64; 4],
    /// Areas first, then what was seen, then readings with a place.
    pub(crate) objects: Vec<PlanObject>,
}

fn source_words(source: Source) -> (String, String) {
    (source.title.to_owned(), source.certainty.words().to_owned())
}

fn source_line(source: Source) -> String {
    let (title, certainty) = source_words(source);
    if title == certainty { title } else { format!("{title} ({certainty})") }
}

fn wait(hours: WorkTime) -> Option<String> {
    (hours.hours() > 0.0).then(|| hours.show_hours())
}

impl Worked {
    fn letter_of(&self, zone: &ZoneId) -> String {
        let at = self.folder().survey.zones.iter().position(|known| known.id == *zone);
        at.map_or_else(|| zone.to_string(), zone_letter)
    }

    fn card(&self, zone: &Zone, assessed: &ZoneAssessment) -> AreaCard {
        let survey = &self.folder().survey;
        let next = next_task(assessed, self.plan.of(&zone.id));
        AreaCard {
            zone: zone.id.to_string(),
            letter: self.letter_of(&zone.id),
            name: zone.name.clone(),
            system: survey.system_of(zone).map(|s| s.name.clone()).unwrap_or_default(),
            area: assessed.area_m2.show_both(survey.facts.units),
            recommendation: assessed.recommendation,
            recommendation_words: assessed.recommendation.words().to_owned(),
            because: assessed.because.clone(),
            next,
        }
    }

    fn cards(&self) -> Vec<AreaCard> {
        let zones = self.folder().survey.zones.iter();
        zones.filter_map(|zone| Some(self.card(zone, self.assessment.of(&zone.id)?))).collect()
    }

    fn price_shown(&self) -> PriceShown {
        let estimate = &self.estimate;
        let whole = |money: tooth_measure::Money| money.show_whole(&estimate.currency);
        let letters = |zones: &[ZoneId]| zones.iter().map(|zone| self.letter_of(zone)).collect();
        let test_more = self
            .assessment
            .zones
            .iter()
            .filter(|zone| zone.recommendation == Recommendation::TestMore);
        PriceShown {
            likely: whole(estimate.cost.p50),
            low: whole(estimate.cost.p10),
            high: whole(estimate.cost.p90),
            hours: format!(
                "{} ({} to {})",
                estimate.hours.p50.show_hours(),
                estimate.hours.p10.show_hours(),
                estimate.hours.p90.show_hours()
            ),
            contingency: whole(estimate.contingency),
            drivers: estimate
                .drivers
                .iter()
                .take(6)
                .map(|driver| DriverShown {
                    unknown: driver.unknown.clone(),
                    share: driver.share.show_percent(),
                    share_percent: driver.share.whole_percent(),
                })
                .collect(),
            left_out: letters(&estimate.left_out),
            provisional: test_more.map(|zone| self.letter_of(&zone.zone)).collect(),
            lines: estimate
                .lines
                .iter()
                .map(|line| LineShown {
                    letter: line.zone.as_ref().map(|zone| self.letter_of(zone)),
                    item: line.item.clone(),
                    hours: line.hours.show_hours(),
                    total: whole(line.total),
                })
                .collect(),
            machines: self
                .plan
                .machines
                .iter()
                .map(|machine| MachineShown {
                    name: machine.name.clone(),
                    letters: letters(&machine.zones),
                    owned: machine.owned,
                })
                .collect(),
        }
    }

    /// The job on the page; a job of the record.
    pub(crate) fn job_page(&self) -> Result<JobPage, Refusal> {
        let record = self.read.record.as_ref().ok_or_else(no_record)?;
        let facts = &self.folder().survey.facts;
        let folded = record.folded();
        let mut issues: Vec<IssueShown> = (1..)
            .zip(&folded.issues)
            .map(|(number, placed)| IssueShown {
                number,
                issued_on: placed.issue.issued_on.to_string(),
                entries: placed.issue.entries,
                documents: placed
                    .issue
                    .documents
                    .iter()
                    .map(|file| DocumentShown {
                        file: file.name.to_string(),
                        what: file.what.clone(),
                    })
                    .collect(),
            })
            .collect();
        issues.reverse();
        Ok(JobPage {
            job: record.job,
            name: facts.name.clone(),
            invented: facts.invented,
            client: facts.client.name.clone(),
            site: facts.client.site.clone(),
            contractor: facts.contractor.clone(),
            areas: self.cards(),
            price: self.price_shown(),
            unsettled: self
                .folder()
                .survey
                .clashes
                .iter()
                .map(|clash| UnsettledShown {
                    about: clash.about.clone(),
                    versions: clash.versions.clone(),
                })
                .collect(),
            warnings: self.folder().warnings.iter().map(FaultOut::from).collect(),
            documents: super::documents::NAMES
                .iter()
                .map(|(file, what)| DocumentShown {
                    file: (*file).to_owned(),
                    what: (*what).to_owned(),
                })
                .collect(),
            issues,
            entries: record.placed.len() as u64,
            head: record.head(),
            key: record.key,
        })
    }

    /// An area on the page; none where there is no such zone.
    pub(crate) fn area_page(&self, zone: &ZoneId) -> Option<AreaPage> {
        let survey = &self.folder().survey;
        let units = survey.facts.units;
        let zone = survey.zones.iter().find(|known| known.id == *zone)?;
        let assessed = self.assessment.of(&zone.id)?;
        let planned = self.plan.of(&zone.id)?;
        let system = survey.system_of(zone)?;
        let (range, from_sheet) = system.profile_range();
        let from = if from_sheet { "data sheet" } else { "guide, from memory: verify" };
        Some(AreaPage {
            card: self.card(zone, assessed),
            sheet: format!("{}, {}", system.class.words(), system.sheet),
            profile: format!("{range} ({from})"),
            findings: assessed.findings.iter().map(|finding| self.finding(finding)).collect(),
            unknown: assessed
                .unknown
                .iter()
                .map(|gap| GapShown {
                    what: gap.what.clone(),
                    test: gap.test.clone(),
                    count: gap.count,
                    decides: gap.decides,
                })
                .collect(),
            planned: planned.state == Planned::Planned,
            not_planned: planned.reason.clone(),
            assumptions: planned.assumptions.clone(),
            steps: planned.steps.iter().map(|step| self.step(step)).collect(),
            hours: planned.hours.show_hours(),
            before_system: planned.before_system.clone(),
            ruled_out: self.ruled_out(planned),
            quantities: self
                .quantities
                .items
                .iter()
                .filter(|item| item.zone == zone.id)
                .map(|item| QuantityShown {
                    item: item.item.clone(),
                    amount: item.amount.show_both(units),
                    formula: item.formula.clone(),
                    source: source_line(item.source),
                })
                .collect(),
        })
    }

    fn finding(&self, finding: &Finding) -> FindingShown {
        let (source, certainty) = source_words(finding.source);
        FindingShown {
            code: finding.code.to_owned(),
            state: finding.state,
            state_words: finding.state.words().to_owned(),
            reason: finding.reason.clone(),
            evidence: finding.evidence.iter().map(|named| self.evidence(named)).collect(),
            source,
            certainty,
            overruled: finding.overruled.as_ref().map(|o| {
                let licence =
                    o.licence.as_ref().map_or_else(String::new, |l| format!(" (licence {l})"));
                format!("Overruled by {}{licence} on {}: {}", o.by, o.on, o.reason)
            }),
        }
    }

    /// Evidence is named `reading:ID`, `feature:ID`, `job:FIELD` or `system:ID`.
    fn evidence(&self, named: &str) -> EvidenceShown {
        let survey = &self.folder().survey;
        let units = survey.facts.units;
        let (kind, name) = named.split_once(':').unwrap_or(("", named));
        let (kind, says) = match kind {
            "reading" => {
                let reading = survey.readings.iter().find(|r| r.id.as_str() == name);
                let says = reading.map(|reading| {
                    let (what, value) = reading_words(reading.measured, units);
                    let when = reading.time.strftime("%Y-%m-%d %H:%M");
                    format!("{what}: {value}; {when}, {}", reading.by)
                });
                (Some(ThingKind::Reading), says)
            }
            "feature" => {
                let feature = survey.features.iter().find(|f| f.id.as_str() == name);
                (Some(ThingKind::Feature), feature.map(|feature| feature_words(feature, units)))
            }
            "system" => {
                let system = survey.systems.iter().find(|s| s.id.as_str() == name);
                (Some(ThingKind::System), system.map(|system| system.name.clone()))
            }
            _ => (None, Some("as the job says".to_owned())),
        };
        EvidenceShown {
            thing: kind.and_then(|kind| Thing::named(kind, name)),
            name: name.to_owned(),
            says: says.unwrap_or_default(),
        }
    }

    fn step(&self, step: &Step) -> StepShown {
        let units = self.folder().survey.facts.units;
        let amount = match (step.length_m, step.area_m2, step.volume_m3) {
            (Some(length), None, _) => length.show_both(units),
            (_, Some(area), Some(volume)) => {
                format!("{}, {}", area.show_both(units), volume.show_both(units))
            }
            (_, Some(area), None) => area.show_both(units),
            _ => String::new(),
        };
        StepShown {
            name: step.name.clone(),
            scope: step.scope.words().to_owned(),
            amount,
            passes: step.passes,
            hours: step.hours.show_hours(),
            wait: wait(step.wait_hours),
            cost: step.cost.show_whole(&self.estimate.currency),
            leaves: step.leaves.map(|level| level.to_string()),
            edging: step
                .edging
                .as_ref()
                .map(|e| format!("{} along walls: {}", e.name, e.area_m2.show_both(units))),
            holds: step.holds.iter().map(|hold| hold.words().to_owned()).collect(),
            instruction: step.instruction.clone(),
            source: source_line(step.source),
        }
    }

    fn ruled_out(&self, planned: &ZonePlan) -> Vec<RuledOutShown> {
        let mut gathered: Vec<RuledOutShown> = Vec::new();
        for out in &planned.ruled_out {
            let method = self.folder().catalogue.method(&out.method);
            let name = method.map_or_else(|| out.method.clone(), |m| m.name.to_lowercase());
            match gathered.iter_mut().find(|known| known.reason == out.reason) {
                Some(known) => known.methods.push(name),
                None => {
                    gathered.push(RuledOutShown { reason: out.reason.clone(), methods: vec![name] })
                }
            }
        }
        gathered
    }

    /// The slab's plan on the page.
    pub(crate) fn plan_page(&self) -> PlanPage {
        let survey = &self.folder().survey;
        let mut extent = Extent::default();
        let mut objects = Vec::new();
        for zone in &survey.zones {
            let assessed = self.assessment.of(&zone.id);
            let corners: Vec<[f64; 2]> = zone.outline.corners().iter().map(|p| at(*p)).collect();
            objects.extend(Thing::named(ThingKind::Feature, zone.id.as_str()).map(|thing| {
                PlanObject {
                    thing,
                    name: zone.name.clone(),
                    kind: "area".to_owned(),
                    words: assessed.map_or_else(String::new, |a| {
                        format!("{}: {}", a.recommendation.words(), a.because)
                    }),
                    letters: vec![self.letter_of(&zone.id)],
                    recommendation: assessed.map(|a| a.recommendation),
                    photo: None,
                    drawn: Drawn::Patch(corners),
                }
            }));
        }
        for feature in &survey.features {
            objects.extend(self.feature_object(feature));
        }
        for reading in &survey.readings {
            let Some(place) = reading.place else { continue };
            let (what, value) = reading_words(reading.measured, survey.facts.units);
            let zone = survey.zone_at(place).map(|zone| self.letter_of(&zone.id));
            objects.extend(Thing::named(ThingKind::Reading, reading.id.as_str()).map(|thing| {
                PlanObject {
                    thing,
                    name: reading.id.to_string(),
                    kind: "reading".to_owned(),
                    words: format!("{what}: {value}"),
                    letters: zone.into_iter().collect(),
                    recommendation: None,
                    photo: None,
                    drawn: Drawn::Spot(at(place)),
                }
            }));
        }
        for object in &objects {
            extent.take(&object.drawn);
        }
        PlanPage {
            name: survey.facts.name.clone(),
            feet_first: survey.facts.units == tooth_measure::UnitSystem::UsCustomary,
            north_degrees: survey.north.0.degrees(),
            extent_m: extent.0,
            objects,
        }
    }

    fn feature_object(&self, feature: &Feature) -> Option<PlanObject> {
        let survey = &self.folder().survey;
        let touched = survey.zones.iter().filter(|zone| feature.place.meets(&zone.outline));
        let photo = match &feature.seen {
            Seen::Photo { file, .. } => Some(file.clone()),
            _ => None,
        };
        Some(PlanObject {
            thing: Thing::named(ThingKind::Feature, feature.id.as_str())?,
            name: feature.id.to_string(),
            kind: feature.seen.kind().to_owned(),
            words: feature_words(feature, survey.facts.units),
            letters: touched.map(|zone| self.letter_of(&zone.id)).collect(),
            recommendation: None,
            photo,
            drawn: match &feature.place {
                Place::Spot(point) => Drawn::Spot(at(*point)),
                Place::Line(path) => Drawn::Line(path.points().iter().map(|p| at(*p)).collect()),
                Place::Patch(outline) => {
                    Drawn::Patch(outline.corners().iter().map(|p| at(*p)).collect())
                }
            },
        })
    }
}

fn no_record() -> Refusal {
    Refusal::typed("JOB", "a job of the record", "a folder")
}

fn at(point: Point) -> [f64; 2] {
    // A tenth of a millimetre: what a screen can show, and the same text everywhere.
    let rounded = |metres: f64| (metres * 1e4).round() / 1e4;
    [rounded(point.x.metres()), rounded(point.y.metres())]
}

struct Extent([f64; 4]);

impl Default for Extent {
    fn default() -> Self {
        Self([f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY])
    }
}

impl Extent {
    fn take(&mut self, drawn: &Drawn) {
        let points: &[[f64; 2]] = match drawn {
            Drawn::Spot(point) => std::slice::from_ref(point),
            Drawn::Line(points) | Drawn::Patch(points) => points,
        };
        for [x, y] in points {
            let [least_x, least_y, most_x, most_y] = &mut self.0;
            *least_x = least_x.min(*x);
            *least_y = least_y.min(*y);
            *most_x = most_x.max(*x);
            *most_y = most_y.max(*y);
        }
    }
}

/// The first thing to do about an area: what decides, then what is due before the
/// work, then the work.
fn next_task(assessed: &ZoneAssessment, planned: Option<&ZonePlan>) -> NextTask {
    let task = |what: &str, how: String, decides| NextTask { what: what.to_owned(), how, decides };
    match assessed.recommendation {
        Recommendation::DoNotBid => {
            return task("Tell the client why not", assessed.because.clone(), true);
        }
        Recommendation::Engineer => {
            return task("Ask an engineer or licensed specialist", assessed.because.clone(), true);
        }
        Recommendation::Go | Recommendation::RepairFirst | Recommendation::TestMore => {}
    }
    let times = |count: u32| if count > 1 { format!(" (× {count})") } else { String::new() };
    let gap = assessed.unknown.iter().find(|gap| gap.decides).or_else(|| assessed.unknown.first());
    if let Some(gap) = gap {
        let more = assessed.unknown.len() - 1;
        let more = if more > 0 { format!(" Then {more} more.") } else { String::new() };
        let how = format!("To know {}.{more}", gap.what);
        return task(&format!("{}{}", gap.test, times(gap.count)), how, gap.decides);
    }
    let first = planned.and_then(|planned| planned.steps.first());
    match first {
        Some(step) => task(&step.name, step.instruction.clone(), false),
        None => task("Nothing to prepare", assessed.because.clone(), false),
    }
}
