//! What the page shows of a job: every number as a person reads it, with what it rests
//! on.

use tooth_documents::{
    passes_drawing, places_drawing, places_listed, price_build_up, price_curve, price_tornado,
    sounding_spectrum,
};
use tooth_formats::recording::recording_name;
use tooth_job::assessment::{
    Evidence, Finding, FindingState, Recommendation, Setting, Unknown, ZoneAssessment,
};
use tooth_job::estimate::Way;
use tooth_job::extent::Extent;
use tooth_job::plan::{Planned, Stage, Step, ZonePlan};
use tooth_job::survey::{Binding, Feature, Place, Seen, TapSurvey, Zone, ZoneId};
use tooth_measure::choice::Choice as _;
use tooth_measure::say::{Said, both, decimal, hours, own, percent, said, word};
use tooth_measure::show::Show as _;
use tooth_measure::{Length, Point, Source, UnitSystem, WorkTime};
use tooth_record::{FileHash, FileName, Thing, ThingKind};
use tooth_sounding::{Class, Hearing, Known, Tap};
use tooth_texture::HeightMap;
use tooth_words::survey::{self as tell, letter};
use tooth_words::{Words, sounding, texture};

use super::page_shown::{
    AreaCard, AreaPage, BidShown, ChangeShown, ChipShown, DocumentShown, Drawn, DriverShown,
    EvidenceShown, FindingShown, GapShown, HollowShown, IssueShown, JobPage, LineShown,
    MachineShown, MoistureShown, NextTask, PlanObject, PlanPage, PlanShown, PriceShown,
    QuantityShown, ReliefShown, RuledOutShown, ScanPage, SoundingListed, SoundingPage, StepShown,
    TapShown, UnsettledShown, WayShown,
};
use super::{Photos, Worked};
use crate::output::{FaultOut, KnownOut};

fn source_line(source: Source) -> Said {
    said!("source-and-certainty", title = source.title(), certainty = source.certainty)
}

fn wait(hours: WorkTime) -> Option<String> {
    (hours.hours() > 0.0).then(|| hours.show_hours())
}

fn listed(survey: &TapSurvey) -> SoundingListed {
    let sounding = &survey.sounding;
    let hollow = sounding.count(Class::Hollow);
    let says = if survey.is_established() {
        said!("page-taps-hollow", count = sounding.taps.len(), hollow = hollow)
    } else {
        said!("page-taps-not-established", count = sounding.taps.len())
    };
    SoundingListed { name: survey.name.to_string(), says }
}

fn tap_words(tap: &Tap) -> Said {
    let heard = match (tap.hearing, tap.class) {
        (Hearing::Drowned, _) => said!("page-tap-drowned"),
        (Hearing::Unheard, _) => said!("page-tap-not-heard"),
        (Hearing::Undecided, _) => said!("page-tap-undecided"),
        (Hearing::Clear, Class::Sound) => said!("page-tap-good"),
        (Hearing::Clear, Class::Doubtful) => said!("page-tap-doubtful"),
        (Hearing::Clear, Class::Hollow) => said!("page-tap-hollow"),
    };
    let known = match tap.known {
        Some(Known::Sound) => said!("page-known-good"),
        Some(Known::Hollow) => said!("page-known-hollow"),
        None => Said::nothing(),
    };
    let clipped = if tap.clipped { said!("page-too-loud") } else { Said::nothing() };
    // Nobody's ear is surer than that.
    let likely = match tap.hollow.ratio() {
        ratio if ratio > 0.99 => said!("page-more-than-99").into(),
        ratio if ratio < 0.01 => said!("page-less-than-1").into(),
        _ => percent(tap.hollow),
    };
    said!("page-tap", heard = heard, likely = likely, known = known, clipped = clipped)
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
        let heard = &survey.sounding;
        let established = heard.field.as_ref().filter(|_| survey.is_established());
        let mut says = Vec::new();
        if let Some(field) = established {
            let bounds = sounding::bounds(field);
            says.push(said!(
                "page-hollow-and-bounds",
                hollow = both(field.hollow),
                bounds = bounds
            ));
        }
        if let (Some(field), Some(least)) = (&heard.field, heard.smallest_surely_found()) {
            says.push(said!(
                "page-surveyed",
                surveyed = both(field.surveyed),
                pitch = both(field.pitch),
                least = both(least)
            ));
        }
        let areas = established.map_or(&[][..], |field| &field.areas);
        Some(SoundingPage {
            job: facts.name.clone(),
            name: survey.name.to_string(),
            invented: facts.invented,
            groups: sounding::groups(heard.groups),
            says,
            taps: heard
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
                    words: sounding::area(area),
                })
                .collect(),
            duration_s: heard.duration,
            strip: heard.strip.columns.iter().map(|(low, high)| [*low, *high]).collect(),
        })
    }

    /// Spectra of a typical sound and a typical hollow tap of a recording, as SVG; none of
    /// that name.
    pub(crate) fn sounding_spectra(&self, name: &str, words: Words) -> Option<Vec<u8>> {
        Some(sounding_spectrum(&self.tap_survey(name)?.sounding, words).into_bytes())
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
    pub(crate) fn scan_page(&self, name: &str, words: Words) -> Option<ScanPage> {
        let survey = &self.folder().survey;
        let units = survey.facts.units;
        let scan = survey.scans.iter().find(|scan| scan.name.as_str() == name)?;
        let zone = survey.zone_at(scan.place);
        let asked =
            zone.and_then(|zone| survey.system_of(zone)).map(|system| system.profile_range().0);
        let grade = scan.level.grade();
        let place = match zone {
            Some(zone) => {
                said!("page-in-area", letter = self.letter_of(&zone.id), name = &zone.name)
            }
            None => said!("page-outside-every-area"),
        };
        Some(ScanPage {
            job: survey.facts.name.clone(),
            name: scan.name.to_string(),
            invented: survey.facts.invented,
            taken: said!(
                "page-taken",
                place = place,
                date = words.date(scan.time.date()),
                hour = scan.time.strftime("%H:%M").to_string(),
                by = &scan.by
            ),
            level: texture::level(&scan.level),
            probability: grade.map(|grade| grade.probability),
            shortest_90: grade.map(|grade| grade.shortest_90.map(|level| level.chip())),
            asked: asked.map(|range| [range.least().chip(), range.most().chip()]),
            likely: grade.zip(asked).map(|(grade, range)| {
                let chance = grade.chance_in(range.least(), range.most());
                said!("page-asked-and-likely", range = range, likely = decimal(chance.percent(), 0))
            }),
            chips_words: survey.chips.as_ref().map(texture::chips),
            figures: texture::figures(&scan.texture)
                .into_iter()
                .map(|(what, value)| [what, value])
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
        at.map_or_else(|| zone.to_string(), letter)
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
            recommendation_words: word(assessed.recommendation),
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
        let price = way
            .price
            .map_or_else(|| said!("no-way"), |price| Said::Given(price.show_change(currency)));
        WayShown { way: word(way.way), price, why: way.reason.clone() }
    }

    /// This plan and the others, side by side.
    fn ways_shown(&self) -> Vec<PlanShown> {
        let whole = |money: tooth_measure::Money| money.show_whole(&self.estimate.currency);
        let plan = &self.plan;
        let own = PlanShown {
            name: said!("page-this-plan", objective = plan.objective),
            cost: whole(plan.total_cost),
            hours: plan.total_hours.show_hours(),
            dust: plan.dusty_hours.show_hours(),
            trades: if plan.optimal {
                said!("page-proven-the-best")
            } else {
                said!("page-no-plan-costs-less", bound = whole(plan.lower_bound))
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
                .map(|zone| said!("area-does", area = &zone.name, instead = &zone.instead))
                .collect(),
        });
        std::iter::once(own).chain(others).collect()
    }

    fn price_shown(&self, words: Words) -> PriceShown {
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
            hours: said!(
                "hours-likely-and-range",
                p50 = hours(estimate.hours.p50),
                p10 = hours(estimate.hours.p10),
                p90 = hours(estimate.hours.p90)
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
            curve: price_curve(estimate, words),
            build_up: price_build_up(estimate, words),
            tornado: price_tornado(estimate, words),
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
                    found: said!("page-found", found = &order.found, quantity = &order.quantity),
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
                    said!(
                        "cli-planned-after-logged",
                        name = &learned.name,
                        before = own(learned.before_m2_h[1]),
                        after = own(learned.after_m2_h[1]),
                        count = learned.count
                    )
                })
                .collect(),
        }
    }

    /// The job on the page; a job of the record.
    pub(crate) fn job_page(&self, words: Words) -> Option<JobPage> {
        let record = self.read.record.as_ref()?;
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
                        what: Said::Given(file.what.clone()),
                    })
                    .collect(),
            })
            .collect();
        issues.reverse();
        Some(JobPage {
            job: record.job,
            name: facts.name.clone(),
            invented: facts.invented,
            client: facts.client.name.clone(),
            site: facts.client.site.clone(),
            contractor: facts.contractor.clone(),
            areas: self.cards(),
            price: self.price_shown(words),
            soundings: self.folder().survey.soundings.iter().map(listed).collect(),
            scans: self
                .folder()
                .survey
                .scans
                .iter()
                .map(|scan| SoundingListed {
                    name: scan.name.to_string(),
                    says: texture::level(&scan.level),
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
                .map(|file| DocumentShown {
                    file: (*file).to_owned(),
                    what: super::documents::what(file),
                })
                .collect(),
            issues,
            entries: record.placed.len() as u64,
            head: record.head(),
            key: record.key,
        })
    }

    /// An area on the page; none where there is no such zone.
    pub(crate) fn area_page(&self, zone: &ZoneId, words: Words) -> Option<AreaPage> {
        let survey = &self.folder().survey;
        let zone = survey.zones.iter().find(|known| known.id == *zone)?;
        let assessed = self.assessment.of(&zone.id)?;
        let planned = self.plan.of(&zone.id)?;
        let system = survey.system_of(zone)?;
        let extent = Extent::measure(survey, zone, self.folder().patch_rule);
        let (range, from) = tell::profile_asked(zone, system);
        Some(AreaPage {
            card: self.card(zone, assessed),
            sheet: said!("page-class-and-sheet", class = system.class, sheet = &system.sheet),
            profile: said!("page-profile-from", range = range, from = from),
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
            steps: planned.steps.iter().map(|step| self.step(zone, &extent, step, words)).collect(),
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
                    amount: said!("value", of = item.amount.both()),
                    formula: item.formula.clone(),
                    source: source_line(item.source),
                })
                .collect(),
        })
    }

    fn finding(&self, finding: &Finding) -> FindingShown {
        FindingShown {
            code: finding.code.key().to_owned(),
            state: finding.state,
            state_words: word(finding.state),
            reason: finding.reason.clone(),
            evidence: finding.evidence.iter().map(|named| self.evidence(named)).collect(),
            source: finding.source.title(),
            certainty: word(finding.source.certainty),
            setting: finding.setting.as_ref().map_or_else(Said::nothing, Setting::said),
            overruled: finding.overruled.as_ref().map(tell::overruled),
        }
    }

    fn evidence(&self, named: &Evidence) -> EvidenceShown {
        let survey = &self.folder().survey;
        let (kind, name, says) = match named {
            Evidence::Reading(id) => {
                let reading = survey.readings.iter().find(|reading| reading.id == *id);
                let says = reading.map(|reading| {
                    said!(
                        "page-reading-says",
                        what = tell::kind(reading.measured),
                        value = tell::value(reading.measured),
                        when = reading.time.strftime("%Y-%m-%d %H:%M").to_string(),
                        by = &reading.by
                    )
                });
                (Some(ThingKind::Reading), id.to_string(), says)
            }
            Evidence::Feature(id) => {
                let feature = survey.features.iter().find(|feature| feature.id == *id);
                let says = feature.map(tell::mark);
                (Some(ThingKind::Feature), id.to_string(), says)
            }
            Evidence::System(id) => {
                let system = survey.systems.iter().find(|system| system.id == *id);
                (
                    Some(ThingKind::System),
                    id.to_string(),
                    system.map(|system| system.name.as_str().into()),
                )
            }
            Evidence::Scan(name) => {
                let scan = survey.scans.iter().find(|scan| scan.name.as_str() == name);
                let says =
                    scan.map(|scan| said!("page-scan-says", level = texture::level(&scan.level)));
                (None, name.clone(), says)
            }
            Evidence::Job(fact) => {
                (None, fact.key().to_owned(), Some(said!("page-as-the-job-says")))
            }
            Evidence::ChangeOrder(id) => {
                (None, format!("change_order.{id}"), Some(said!("page-as-the-job-says")))
            }
        };
        EvidenceShown {
            thing: kind.and_then(|kind| Thing::named(kind, &name)),
            name,
            says: says.unwrap_or_else(Said::nothing),
        }
    }

    /// How to drive a step's machine, where it is driven, or where to work.
    fn sketch(
        &self,
        zone: &Zone,
        extent: &Extent<'_>,
        step: &Step,
        words: Words,
    ) -> Option<String> {
        let planned = self.plan.of(&zone.id)?;
        let side = Length::from_millimetres(160.0);
        let survey = &self.folder().survey;
        match planned.layout_of(step) {
            Some(layout) => {
                Some(passes_drawing(survey, zone, layout, &step.near, words, (side, side)))
            }
            None => places_drawing(survey, extent, zone, step, words, (side, side)),
        }
    }

    fn step(&self, zone: &Zone, extent: &Extent<'_>, step: &Step, words: Words) -> StepShown {
        StepShown {
            name: step.name.clone(),
            after_system: step.stage == Stage::AfterSystem,
            scope: word(step.scope),
            amount: tell::amount(step),
            passes: step.passes,
            hours: step.hours.show_hours(),
            wait: wait(step.wait_hours),
            cost: step.cost.show_whole(&self.estimate.currency),
            leaves: step.leaves.map(|level| level.to_string()),
            edging: step
                .edging
                .as_ref()
                .map(|e| said!("along-walls", edging = &e.name, area = both(e.area_m2))),
            holds: step.signed_first(),
            first: step.terms_of(Binding::DoFirst),
            never: step.terms_of(Binding::Never),
            signed: step.signed(),
            verify: step.verify.clone(),
            sketch: self.sketch(zone, extent, step, words),
            places: places_listed(&self.folder().survey, extent, step),
            instruction: step.instruction.clone(),
            source: source_line(step.source),
        }
    }

    fn ruled_out(&self, planned: &ZonePlan) -> Vec<RuledOutShown> {
        let mut gathered: Vec<RuledOutShown> = Vec::new();
        for out in &planned.ruled_out {
            let method = self.folder().catalogue.method(&out.method);
            let name = method.map_or_else(
                || out.method.as_str().into(),
                |method| said!("method-inside", name = &method.name),
            );
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
                    words: assessed.map_or_else(Said::nothing, |a| a.because.clone()),
                    letters: vec![self.letter_of(&zone.id)],
                    recommendation: assessed.map(|a| a.recommendation),
                    recommendation_words: assessed.map(|a| word(a.recommendation)),
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
            let zone = survey.zone_at(place).map(|zone| self.letter_of(&zone.id));
            objects.extend(Thing::named(ThingKind::Reading, reading.id.as_str()).map(|thing| {
                PlanObject {
                    thing,
                    name: reading.id.to_string(),
                    kind: "reading".to_owned(),
                    words: said!(
                        "page-kind-and-value",
                        what = tell::kind(reading.measured),
                        value = tell::value(reading.measured)
                    ),
                    letters: zone.into_iter().collect(),
                    recommendation: None,
                    recommendation_words: None,
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
            words: tell::mark(feature),
            letters: touched.map(|zone| self.letter_of(&zone.id)).collect(),
            recommendation: None,
            recommendation_words: None,
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
    let task = |what: Said, how: Said, decides| NextTask { what, how, decides };
    let because = || assessed.because.clone();
    match assessed.recommendation {
        Recommendation::DoNotBid => return task(said!("page-tell-why-not"), because(), true),
        Recommendation::Engineer => return task(said!("page-ask-an-engineer"), because(), true),
        Recommendation::Go | Recommendation::RepairFirst | Recommendation::TestMore => {}
    }
    let test = |gap: &Unknown| match gap.count {
        0 | 1 => gap.test.clone(),
        count => said!("page-test-times", test = &gap.test, count = count),
    };
    let gaps: Vec<&Unknown> = assessed.unknown.iter().filter(|gap| gap.decides).collect();
    if let Some(gap) = gaps.first() {
        let more = match gaps.len() - 1 {
            0 => Said::nothing(),
            more => said!("page-more-tests-decide", count = more),
        };
        return task(test(gap), said!("page-to-know", what = &gap.what, more = more), true);
    }
    // What stands against the area comes before checks that decide nothing.
    let standing = assessed.findings.iter().filter(|finding| finding.overruled.is_none());
    let gravest = standing
        .filter(|finding| finding.state >= FindingState::Decide)
        .max_by_key(|finding| finding.state);
    if let Some(finding) = gravest {
        let what = match finding.state {
            FindingState::Decide => said!("page-decide-with-the-client"),
            _ => said!("page-repair-first"),
        };
        return task(what, finding.reason.clone(), true);
    }
    if let Some(gap) = assessed.unknown.first() {
        return task(test(gap), said!("page-to-know-before-work", what = &gap.what), false);
    }
    let first = planned.and_then(|planned| planned.steps.first());
    match first {
        Some(step) => task(step.name.clone(), step.instruction.clone(), false),
        None => task(said!("page-nothing-to-prepare"), because(), false),
    }
}
