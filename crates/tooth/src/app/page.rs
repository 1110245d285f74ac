//! What the page shows of a job: every number as a person reads it, with what it rests
//! on.

use tooth_documents::{
    area_words, bounds_words, chips_words, feature_words, figure_words, groups_words, level_words,
    passes_drawing, places_drawing, places_listed, price_build_up, price_curve, price_tornado,
    reading_words, sounding_spectrum, zone_letter,
};
use tooth_formats::recording::recording_name;
use tooth_job::assessment::{
    Evidence, Finding, FindingState, Recommendation, Unknown, ZoneAssessment,
};
use tooth_job::estimate::Way;
use tooth_job::extent::Extent;
use tooth_job::plan::{Planned, Stage, Step, ZonePlan};
use tooth_job::survey::{Feature, Place, Seen, TapSurvey, Zone, ZoneId};
use tooth_measure::choice::Choice as _;
use tooth_measure::show::Show as _;
use tooth_measure::{Length, Point, Source, UnitSystem, WorkTime};
use tooth_record::{FileHash, FileName, Thing, ThingKind};
use tooth_sounding::{Class, Hearing, Known, Tap};
use tooth_texture::HeightMap;

use super::page_shown::{
    AreaCard, AreaPage, BidShown, ChangeShown, ChipShown, DocumentShown, Drawn, DriverShown,
    EvidenceShown, FindingShown, GapShown, HollowShown, IssueShown, JobPage, LineShown,
    MachineShown, MoistureShown, NextTask, PlanObject, PlanPage, PlanShown, PriceShown,
    QuantityShown, ReliefShown, RuledOutShown, ScanPage, SoundingListed, SoundingPage, StepShown,
    TapShown, UnsettledShown, WayShown,
};
use super::{Photos, Refusal, Worked};
use crate::output::{FaultOut, KnownOut};

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

fn listed(survey: &TapSurvey) -> SoundingListed {
    let sounding = &survey.sounding;
    let hollow = sounding.count(Class::Hollow);
    let says = if survey.is_established() {
        format!("{} taps, {hollow} hollow", sounding.taps.len())
    } else {
        format!("{} taps; which are hollow is not established", sounding.taps.len())
    };
    SoundingListed { name: survey.name.to_string(), says }
}

fn tap_words(tap: &Tap) -> String {
    let heard = match (tap.hearing, tap.class) {
        (Hearing::Drowned, _) => "drowned by something louder: tap again",
        (Hearing::Unheard, _) => "not heard: tap again",
        (Hearing::Undecided, _) => "which sound is its own does not show: tap again",
        (Hearing::Clear, Class::Sound) => "sounds good",
        (Hearing::Clear, Class::Doubtful) => "doubtful: tap again, or open it",
        (Hearing::Clear, Class::Hollow) => "sounds hollow",
    };
    let said = match tap.known {
        Some(Known::Sound) => "; a person vouches that it is good",
        Some(Known::Hollow) => "; a person vouches that it is hollow",
        None => "",
    };
    let clipped = if tap.clipped { "; too loud for the recorder" } else { "" };
    // Nobody's ear is surer than that.
    let likely = match tap.hollow.ratio() {
        ratio if ratio > 0.99 => "more than 99 %".to_owned(),
        ratio if ratio < 0.01 => "less than 1 %".to_owned(),
        _ => tap.hollow.show_percent(),
    };
    format!("{heard}, {likely} likely hollow{said}{clipped}")
}

fn relief_shown(map: &HeightMap, units: UnitSystem) -> ReliefShown {
    ReliefShown {
        columns: map.columns(),
        spacing_mm: map.spacing().map(|step| step.millimetres()),
        width: map.size()[0].show_detail_both(units),
        heights_um: map
            .heights_mm()
            .iter()
            .map(|z| (!z.is_nan()).then(|| (z * 1000.0).round() as i32))
            .collect(),
    }
}

impl Worked {
    fn tap_survey(&self, name: &str) -> Option<&TapSurvey> {
        self.folder().survey.soundings.iter().find(|survey| survey.name.as_str() == name)
    }

    /// A recording of taps on the page; none of that name.
    pub(crate) fn sounding_page(&self, name: &str) -> Option<SoundingPage> {
        let facts = &self.folder().survey.facts;
        let survey = self.tap_survey(name)?;
        let sounding = &survey.sounding;
        let established = sounding.field.as_ref().filter(|_| survey.is_established());
        let mut says = Vec::new();
        if let Some(field) = established {
            let bounds = bounds_words(field, facts.units);
            says.push(format!("Hollow: {}, {bounds}.", field.hollow.show_both(facts.units)));
        }
        if let (Some(field), Some(least)) = (&sounding.field, sounding.smallest_surely_found()) {
            says.push(format!(
                "Surveyed: {}, taps {} apart. A hollow {} across cannot be missed, smaller ones may.",
                field.surveyed.show_both(facts.units),
                field.pitch.show_both(facts.units),
                least.show_both(facts.units)
            ));
        }
        let areas = established.map_or(&[][..], |field| &field.areas);
        Some(SoundingPage {
            job: facts.name.clone(),
            name: survey.name.to_string(),
            invented: facts.invented,
            groups: groups_words(sounding.groups).to_owned(),
            says,
            taps: sounding
                .taps
                .iter()
                .map(|tap| TapShown {
                    number: tap.number,
                    time_s: tap.time,
                    x_m: tap.place.map(|place| place.x),
                    y_m: tap.place.map(|place| place.y),
                    class: tap.class.into(),
                    words: tap_words(tap),
                    known: tap.known.map(KnownOut::from),
                })
                .collect(),
            areas: areas
                .iter()
                .map(|area| HollowShown {
                    corners: area.outline.corners().iter().map(|p| [p.x, p.y]).collect(),
                    words: area_words(area, facts.units),
                })
                .collect(),
            duration_s: sounding.duration,
            strip: sounding.strip.columns.iter().map(|(low, high)| [*low, *high]).collect(),
        })
    }

    /// Spectra of a typical sound and a typical hollow tap of a recording, as SVG; none of
    /// that name.
    pub(crate) fn sounding_spectra(&self, name: &str) -> Option<Vec<u8>> {
        Some(sounding_spectrum(&self.tap_survey(name)?.sounding).into_bytes())
    }

    /// The name of a recording's file in the record; none of that name.
    pub(crate) fn recording_file(&self, name: &str) -> Option<(FileName, FileHash)> {
        self.tap_survey(name)?;
        let Photos::Recorded(files) = &self.read.photos else { return None };
        files
            .iter()
            .find(|(file, _)| {
                file.as_str().strip_prefix("sounding/").and_then(recording_name) == Some(name)
            })
            .map(|(file, (hash, _))| (file.clone(), *hash))
    }

    /// A scan of the surface on the page; none of that name.
    pub(crate) fn scan_page(&self, name: &str) -> Option<ScanPage> {
        let survey = &self.folder().survey;
        let units = survey.facts.units;
        let scan = survey.scans.iter().find(|scan| scan.name.as_str() == name)?;
        let zone = survey.zone_at(scan.place);
        let asked =
            zone.and_then(|zone| survey.system_of(zone)).map(|system| system.profile_range().0);
        let grade = scan.level.grade();
        let place = match zone {
            Some(zone) => format!("in area {}, {}", self.letter_of(&zone.id), zone.name),
            None => "outside every area".to_owned(),
        };
        Some(ScanPage {
            job: survey.facts.name.clone(),
            name: scan.name.to_string(),
            invented: survey.facts.invented,
            taken: format!("{place}, {} by {}", scan.time.strftime("%-d %B %Y, %H:%M"), scan.by),
            level: level_words(&scan.level),
            probability: grade.map(|grade| grade.probability),
            shortest_90: grade.map(|grade| grade.shortest_90.map(|level| level.chip())),
            asked: asked.map(|range| [range.least().chip(), range.most().chip()]),
            likely: grade.zip(asked).map(|(grade, range)| {
                let chance = grade.chance_in(range.least(), range.most());
                format!("{range} is asked for: {:.0} % likely", chance.percent())
            }),
            chips_words: survey.chips.as_ref().map(chips_words),
            figures: figure_words(&scan.texture, units)
                .into_iter()
                .map(|(what, value)| [what.to_owned(), value])
                .collect(),
            filter: scan.texture.treatment.to_string(),
            surface: relief_shown(&scan.texture.map, units),
            chips: survey
                .chips
                .iter()
                .flat_map(|chips| &chips.drawn)
                .map(|(level, map)| ChipShown {
                    level: level.chip(),
                    surface: relief_shown(map, units),
                })
                .collect(),
        })
    }

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

    fn way_shown(&self, way: &Way) -> WayShown {
        let currency = &self.estimate.currency;
        let price = way.price.map_or_else(|| "no way".to_owned(), |p| p.show_change(currency));
        WayShown { way: way.way.words().to_owned(), price, why: way.reason.clone() }
    }

    /// This plan and the others, side by side.
    fn ways_shown(&self) -> Vec<PlanShown> {
        let whole = |money: tooth_measure::Money| money.show_whole(&self.estimate.currency);
        let plan = &self.plan;
        let own = PlanShown {
            name: format!("this plan: {}", plan.objective.words()),
            cost: whole(plan.total_cost),
            hours: plan.total_hours.show_hours(),
            dust: plan.dusty_hours.show_hours(),
            trades: if plan.optimal {
                "proven the best over the catalogue".to_owned()
            } else {
                format!("no plan costs less than {}", whole(plan.lower_bound))
            },
            differs: Vec::new(),
        };
        let others = plan.alternatives.iter().map(|other| PlanShown {
            name: other.name.clone(),
            cost: whole(other.total_cost),
            hours: other.total_hours.show_hours(),
            dust: other.dusty_hours.show_hours(),
            trades: other.trades.clone(),
            differs: other
                .differs
                .iter()
                .map(|zone| format!("{}: {}", zone.name, zone.instead))
                .collect(),
        });
        std::iter::once(own).chain(others).collect()
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
            curve: price_curve(estimate),
            build_up: price_build_up(estimate),
            tornado: price_tornado(estimate),
            ways: self.ways_shown(),
            bids: estimate
                .bids
                .iter()
                .map(|bid| BidShown {
                    bid: whole(bid.bid),
                    loss: bid.chance_of_loss.show_percent(),
                    left: whole(bid.mean_margin),
                })
                .collect(),
            moisture: estimate
                .moisture_decisions
                .iter()
                .map(|decision| MoistureShown {
                    letter: self.letter_of(&decision.zone),
                    finding: decision.finding.clone(),
                    ways: decision.ways.iter().map(|way| self.way_shown(way)).collect(),
                })
                .collect(),
            changes: estimate
                .change_orders
                .iter()
                .map(|order| ChangeShown {
                    order: order.order.clone(),
                    letter: self.letter_of(&order.zone),
                    found: format!("{}, {}", order.found, order.quantity),
                    price: order.price.show_change(&estimate.currency),
                    signed: order.signed_by.clone(),
                    proceed: order.proceed,
                })
                .collect(),
            with_changes: (!estimate.change_orders.is_empty())
                .then(|| whole(estimate.likely_with_changes)),
            learned: estimate
                .learned_rates
                .iter()
                .map(|learned| {
                    let units = self.folder().survey.facts.units;
                    format!(
                        "{}: {} planned, {} after {} logged",
                        learned.name,
                        learned.before_m2_h[1].show(units),
                        learned.after_m2_h[1].show(units),
                        learned.count
                    )
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
            soundings: self.folder().survey.soundings.iter().map(listed).collect(),
            scans: self
                .folder()
                .survey
                .scans
                .iter()
                .map(|scan| SoundingListed {
                    name: scan.name.to_string(),
                    says: level_words(&scan.level),
                })
                .collect(),
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
        let extent = Extent::measure(survey, zone, self.folder().patch_rule);
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
                    leads_to: gap.leads_to.clone(),
                    costs: gap.costs.map(|cost| cost.show_whole(survey.facts.currency.code())),
                    saves: gap.saves.map(|saved| saved.show_whole(survey.facts.currency.code())),
                })
                .collect(),
            planned: planned.state == Planned::Planned,
            not_planned: planned.reason.clone(),
            assumptions: planned.assumptions.clone(),
            steps: planned.steps.iter().map(|step| self.step(zone, &extent, step)).collect(),
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
            code: finding.code.key().to_owned(),
            state: finding.state,
            state_words: finding.state.words().to_owned(),
            reason: finding.reason.clone(),
            evidence: finding.evidence.iter().map(|named| self.evidence(named)).collect(),
            source,
            certainty,
            setting: finding.setting.as_ref().map(ToString::to_string).unwrap_or_default(),
            overruled: finding.overruled.as_ref().map(|o| {
                let licence =
                    o.licence.as_ref().map_or_else(String::new, |l| format!(" (licence {l})"));
                format!("Overruled by {}{licence} on {}: {}", o.by, o.on, o.reason)
            }),
        }
    }

    fn evidence(&self, named: &Evidence) -> EvidenceShown {
        let survey = &self.folder().survey;
        let units = survey.facts.units;
        let (kind, name, says) = match named {
            Evidence::Reading(id) => {
                let reading = survey.readings.iter().find(|reading| reading.id == *id);
                let says = reading.map(|reading| {
                    let (what, value) = reading_words(reading.measured, units);
                    let when = reading.time.strftime("%Y-%m-%d %H:%M");
                    format!("{what}: {value}; {when}, {}", reading.by)
                });
                (Some(ThingKind::Reading), id.to_string(), says)
            }
            Evidence::Feature(id) => {
                let feature = survey.features.iter().find(|feature| feature.id == *id);
                let says = feature.map(|feature| feature_words(feature, units));
                (Some(ThingKind::Feature), id.to_string(), says)
            }
            Evidence::System(id) => {
                let system = survey.systems.iter().find(|system| system.id == *id);
                (Some(ThingKind::System), id.to_string(), system.map(|system| system.name.clone()))
            }
            Evidence::Scan(name) => {
                let scan = survey.scans.iter().find(|scan| scan.name.as_str() == name);
                let says = scan.map(|scan| format!("scan: {}", level_words(&scan.level)));
                (None, name.clone(), says)
            }
            Evidence::Job(fact) => {
                (None, fact.key().to_owned(), Some("as the job says".to_owned()))
            }
            Evidence::ChangeOrder(id) => {
                (None, format!("change_order.{id}"), Some("as the job says".to_owned()))
            }
        };
        EvidenceShown {
            thing: kind.and_then(|kind| Thing::named(kind, &name)),
            name,
            says: says.unwrap_or_default(),
        }
    }

    /// How to drive a step's machine, where it is driven, or where to work.
    fn sketch(&self, zone: &Zone, extent: &Extent<'_>, step: &Step) -> Option<String> {
        let planned = self.plan.of(&zone.id)?;
        let side = Length::from_millimetres(160.0);
        let survey = &self.folder().survey;
        match planned.layout_of(step) {
            Some(layout) => Some(passes_drawing(survey, zone, layout, side, side)),
            None => places_drawing(survey, extent, zone, step, side, side),
        }
    }

    fn step(&self, zone: &Zone, extent: &Extent<'_>, step: &Step) -> StepShown {
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
            after_system: step.stage == Stage::AfterSystem,
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
            verify: step.verify.clone(),
            sketch: self.sketch(zone, extent, step),
            places: places_listed(&self.folder().survey, extent, step, units),
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
        let mut extent = Drawing::default();
        let mut objects = Vec::new();
        for zone in &survey.zones {
            let assessed = self.assessment.of(&zone.id);
            let corners: Vec<[f64; 2]> = zone.outline.corners().iter().map(|p| at(*p)).collect();
            objects.extend(Thing::named(ThingKind::Feature, zone.id.as_str()).map(|thing| {
                PlanObject {
                    thing,
                    name: zone.name.clone(),
                    kind: "area".to_owned(),
                    words: assessed.map_or_else(String::new, |a| a.because.clone()),
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
            feet_first: survey.facts.units == UnitSystem::UsCustomary,
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

struct Drawing([f64; 4]);

impl Default for Drawing {
    fn default() -> Self {
        Self([f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY])
    }
}

impl Drawing {
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
    let gaps: Vec<&Unknown> = assessed.unknown.iter().filter(|gap| gap.decides).collect();
    if let Some(gap) = gaps.first() {
        let more = match gaps.len() - 1 {
            0 => String::new(),
            1 => " One more test decides with it.".to_owned(),
            more => format!(" {more} more tests decide with it."),
        };
        let how = format!("To know {}.{more}", gap.what);
        return task(&format!("{}{}", gap.test, times(gap.count)), how, true);
    }
    // What stands against the area comes before checks that decide nothing.
    let standing = assessed.findings.iter().filter(|finding| finding.overruled.is_none());
    let gravest = standing
        .filter(|finding| finding.state >= FindingState::Decide)
        .max_by_key(|finding| finding.state);
    if let Some(finding) = gravest {
        let what = match finding.state {
            FindingState::Decide => "Decide with the client how to go on",
            _ => "Repair before anything is prepared",
        };
        return task(what, finding.reason.clone(), true);
    }
    if let Some(gap) = assessed.unknown.first() {
        let how = format!("To know {}; due before the work starts.", gap.what);
        return task(&format!("{}{}", gap.test, times(gap.count)), how, false);
    }
    let first = planned.and_then(|planned| planned.steps.first());
    match first {
        Some(step) => task(&step.name, step.instruction.clone(), false),
        None => task("Nothing to prepare", assessed.because.clone(), false),
    }
}
