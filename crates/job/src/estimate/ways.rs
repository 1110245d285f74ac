//! The moisture decision: over the limit one may wait, mitigate, lay a breathable system or
//! refuse, and each way has a price.

use std::cell::OnceCell;

use schemars::JsonSchema;
use serde::Serialize;
use tooth_measure::choice::choices;
use tooth_measure::say::{Said, said};
use tooth_measure::{Money, WorkTime};

use crate::assessment::{Assessment, FindingState, assess};
use crate::extent::{PatchRule, net_area};
use crate::methods::Catalogue;
use crate::plan::{Objective, Plan, Planned, plan_briefly};
use crate::survey::{Matter, Measured, Presence, Support, Survey, System, SystemId, Zone, ZoneId};

choices! {
    /// A way out of too much moisture.
    WayKind {
        /// Wait until the slab is dry enough.
        Wait = "wait";
        /// A coat that keeps the water back.
        Mitigate = "mitigate";
        /// A system that lets the water through.
        Breathable = "breathable";
        /// Leave the area out.
        Refuse = "refuse";
    }
}

/// One way with its price.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Way {
    /// Which.
    pub way: WayKind,
    /// What it adds to the price to the client, or takes from it; null where it is no way.
    pub price: Option<Money>,
    /// What speaks for it or against it.
    pub reason: Said,
}

/// The decision of one zone.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct MoistureDecision {
    /// The zone.
    pub zone: ZoneId,
    /// What was found.
    pub finding: Said,
    /// Every way.
    pub ways: Vec<Way>,
}

/// One visit to read probes again. Assumption.
const READING_AGAIN: WorkTime = WorkTime::from_hours(2.0);

/// Everything that a decision is priced from.
struct Job<'a> {
    survey: &'a Survey,
    catalogue: &'a Catalogue,
    patch_rule: PatchRule,
    objective: Objective,
    planned: &'a Plan,
    /// The job as it is, planned as briefly as what it is held against: once, if it is needed.
    briefly: OnceCell<Plan>,
    per_cost: f64,
}

/// The ways of every zone whose moisture somebody must decide about.
#[must_use]
pub fn moisture_ways(
    survey: &Survey,
    assessment: &Assessment,
    planned: &Plan,
    catalogue: &Catalogue,
    patch_rule: PatchRule,
    objective: Objective,
) -> Vec<MoistureDecision> {
    let per_cost = survey.facts.money.price_per_cost();
    let job = Job {
        survey,
        catalogue,
        patch_rule,
        objective,
        planned,
        briefly: OnceCell::new(),
        per_cost,
    };
    let mut decisions = Vec::new();
    for zone in &survey.zones {
        let Some(assessed) = assessment.of(&zone.id) else { continue };
        let decide = assessed.findings.iter().find(|finding| {
            finding.code == Matter::Moisture
                && finding.state == FindingState::Decide
                && finding.overruled.is_none()
        });
        let (Some(finding), Some(system)) = (decide, survey.system_of(zone)) else { continue };
        decisions.push(MoistureDecision {
            zone: zone.id.clone(),
            finding: finding.reason.clone(),
            ways: vec![
                job.wait(),
                job.mitigate(zone, system),
                job.breathable(zone, system),
                job.refuse(zone),
            ],
        });
    }
    decisions
}

impl Job<'_> {
    fn price(&self, cost: Money) -> Option<Money> {
        Some(cost * self.per_cost)
    }

    fn wait(&self) -> Way {
        let slab = &self.survey.facts.slab;
        let dries = slab.support == Support::Suspended || slab.vapour_retarder == Presence::Present;
        if !dries {
            return Way {
                way: WayKind::Wait,
                price: None,
                reason: said!("no-drying-date-the-vapour-retarder"),
            };
        }
        let visit = self.survey.facts.rates.trip + self.survey.facts.rates.labour * READING_AGAIN;
        Way {
            way: WayKind::Wait,
            price: self.price(visit),
            reason: said!("the-price-of-one-visit-to-read"),
        }
    }

    fn mitigate(&self, zone: &Zone, system: &System) -> Way {
        let no = |reason: Said| Way { way: WayKind::Mitigate, price: None, reason };
        if system.see_through {
            return no(said!("a-coat-below-it-would-show-through"));
        }
        let Some((method, work)) = self.catalogue.coat() else {
            return no(said!("no-mitigating-coat-in-the-catalogue"));
        };
        let area = net_area(self.survey, zone);
        let hours = method.set_up + area / work.rate.likely;
        let coat =
            self.survey.facts.rates.labour * f64::from(method.crew) * hours + work.material * area;
        // The coat asks for a profile of its own, and the slab is prepared to that.
        let prepared = System { profile: Some(work.profile), ..system.clone() };
        match self.difference(zone, prepared) {
            Some(more) => Way {
                way: WayKind::Mitigate,
                price: self.price(coat + more),
                reason: said!(
                    "laid-on-its-own-sheet-limit-holds",
                    name = &method.name,
                    profile = work.profile
                ),
            },
            None => no(said!("the-profile-that-the-coat-asks")),
        }
    }

    /// What the job's direct cost differs by when a zone gets another system; none where
    /// that zone then has no plan.
    fn difference(&self, zone: &Zone, system: System) -> Option<Money> {
        let mut survey = self.survey.clone();
        let id = SystemId::new("another-way")?;
        // First, so that it is found before a system of the job that has this name.
        survey.systems.insert(0, System { id: id.clone(), ..system });
        survey.zones.iter_mut().find(|held| held.id == zone.id)?.system = id;
        let other = self.planned_briefly(&survey);
        let now = self.briefly.get_or_init(|| self.planned_briefly(self.survey));
        let is_planned =
            |plan: &Plan| plan.of(&zone.id).is_some_and(|entry| entry.state == Planned::Planned);
        (is_planned(&other) && is_planned(now)).then(|| other.total_cost - now.total_cost)
    }

    fn planned_briefly(&self, survey: &Survey) -> Plan {
        let assessment = assess(survey, self.patch_rule);
        plan_briefly(survey, &assessment, self.catalogue, self.patch_rule, self.objective)
    }

    fn breathable(&self, zone: &Zone, system: &System) -> Way {
        let humidity = self.highest(zone, |measured| match measured {
            Measured::InSlabHumidity(share) => Some(share),
            _ => None,
        });
        let emission = self.highest(zone, |measured| match measured {
            Measured::MoistureEmission(rate) => Some(rate),
            _ => None,
        });
        let bears = |other: &&System| {
            // A sheet that names no limit proves nothing.
            let named =
                other.most_in_slab_humidity.is_some() || other.most_moisture_emission.is_some();
            other.id != system.id
                && named
                && holds(humidity, other.most_in_slab_humidity)
                && holds(emission, other.most_moisture_emission)
        };
        let borne = self.survey.systems.iter().any(|other| bears(&other));
        let ways = self
            .survey
            .systems
            .iter()
            .filter(bears)
            .filter_map(|other| Some((self.difference(zone, other.clone())?, other)));
        match ways.min_by(|a, b| a.0.amount().total_cmp(&b.0.amount())) {
            Some((more, other)) => Way {
                way: WayKind::Breathable,
                price: self.price(more),
                reason: said!("bears-it-by-its-sheet-preparation-only", name = &other.name),
            },
            None => Way {
                way: WayKind::Breathable,
                price: None,
                reason: if borne {
                    said!("a-system-of-the-job-bears-what")
                } else {
                    said!("none-of-the-job-systems-names")
                }
                .to_owned(),
            },
        }
    }

    fn highest<Q: PartialOrd + Copy>(
        &self,
        zone: &Zone,
        of: impl Fn(Measured) -> Option<Q>,
    ) -> Option<Q> {
        let values = self.survey.readings_of(zone).filter_map(|reading| of(reading.measured));
        values.reduce(|a, b| if b > a { b } else { a })
    }

    fn refuse(&self, zone: &Zone) -> Way {
        let planned = self.planned.of(&zone.id).filter(|entry| entry.state == Planned::Planned);
        Way {
            way: WayKind::Refuse,
            price: planned.and_then(|entry| self.price(entry.cost * -1.0)),
            reason: match planned {
                Some(_) => said!("is-left-out-its-steps-fall-away", name = &zone.name),
                None => said!("is-left-out-it-is-not", name = &zone.name),
            },
        }
    }
}

/// Whether a limit holds a reading; a sheet that names none does not forbid it.
fn holds<Q: PartialOrd>(read: Option<Q>, limit: Option<Q>) -> bool {
    match (read, limit) {
        (Some(read), Some(limit)) => read <= limit,
        _ => true,
    }
}
