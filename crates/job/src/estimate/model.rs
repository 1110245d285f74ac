//! What is not known of a plan's price, as a model to draw from.

use tooth_measure::say::{Said, said};

use crate::plan::PartOfWork;
use tooth_measure::statistics::{LogNormal, NINE_IN_TEN, Pert, Tabulated, normal_score};
use tooth_measure::{Area, Certainty, Fraction, Money};

use super::draws::{Factor, Model, Shape, Term};
use super::{fixed_costs, system_materials};
use crate::methods::Catalogue;
use crate::plan::{Part, Plan, Step};
use crate::survey::{Hollow, Place, Seen, Survey, ZoneId};

/// Scores shared by the pace of all methods, and by the hidden damage of all areas.
const PACE: usize = 0;
const DAMAGE: usize = 1;

/// An unknown that is drawn.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Unknown {
    Pace { method: String, work: PartOfWork, name: Said },
    Growth { zone: ZoneId, name: String },
    Heard { zone: ZoneId, name: String },
    Again { zone: ZoneId, name: String },
    Prices,
    Memory,
}

impl Unknown {
    pub(super) fn said(&self) -> Said {
        match self {
            Self::Pace { name, .. } => said!("pace-of", name = name),
            Self::Growth { name, .. } => said!("hidden-damage", name = name),
            Self::Heard { name, .. } => said!("size-of-the-hollow-places-heard", name = name),
            Self::Again { name, .. } => said!("part-of-the-profile-made-again", name = name),
            Self::Prices => said!("prices-of-materials"),
            Self::Memory => {
                said!("pace-of-the-firm-rates-are-from")
            }
        }
    }
}

/// Loose places of a zone that only a recording knows: their share of all that is patched
/// there, and how their true area may differ from the one heard. None where there are none.
fn heard(survey: &Survey, zone: &ZoneId) -> Option<(Fraction, LogNormal)> {
    let zone = survey.zones.iter().find(|known| known.id == *zone)?;
    let patched: Vec<(&str, Area)> = survey
        .features_of(zone)
        .filter(|feature| {
            let sure = matches!(feature.seen, Seen::Hollow { sure: Hollow::Sure, .. });
            sure || matches!(feature.seen, Seen::Spall { .. })
        })
        .filter_map(|feature| match &feature.place {
            Place::Patch(outline) => Some((feature.id.as_str(), outline.area())),
            _ => None,
        })
        .collect();
    let (mut area, mut low, mut high) = (Area::ZERO, Area::ZERO, Area::ZERO);
    for survey in &survey.soundings {
        let areas = survey.sounding.field.iter().flat_map(|field| &field.areas);
        for (number, heard) in areas.enumerate() {
            let name = survey.hollow_id(number);
            if patched.iter().any(|(id, _)| *id == name) {
                area += heard.area;
                low += heard.bounds.0;
                high += heard.bounds.1;
            }
        }
    }
    let all: Area = patched.iter().map(|(_, area)| *area).sum();
    let sound = low > Area::ZERO && high > low && all > Area::ZERO;
    let sigma = if sound { (high / low).ln() / (2.0 * NINE_IN_TEN) } else { return None };
    let share = Fraction::new((area / all).min(1.0));
    Some((share, LogNormal::from_median(1.0, sigma)?))
}

/// Builds the model.
struct Builder<'a> {
    survey: &'a Survey,
    catalogue: &'a Catalogue,
    unknowns: Vec<Unknown>,
    model: Model,
}

impl Builder<'_> {
    /// The place of an unknown, added where it is new.
    fn place(
        &mut self,
        unknown: Unknown,
        factor: impl FnOnce() -> Option<Factor>,
    ) -> Option<usize> {
        if let Some(at) = self.unknowns.iter().position(|held| *held == unknown) {
            return Some(at);
        }
        let factor = factor()?;
        self.unknowns.push(unknown);
        self.model.factors.push(factor);
        Some(self.unknowns.len() - 1)
    }

    fn pace(&mut self, step: &Step, part: &Part) -> Option<usize> {
        let edger = step.edging.as_ref().filter(|edge| edge.method == part.method);
        let mut name = edger.map_or(&step.name, |edge| &edge.name).clone();
        if part.work != PartOfWork::Itself {
            name = said!("pace-of-part", name = name, work = part.work);
        }
        let unknown = Unknown::Pace { method: part.method.clone(), work: part.work, name };
        let correlation = self.survey.facts.uncertainty.pace_correlation;
        self.place(unknown, || {
            // A pace that does not vary is no unknown.
            let varies = part.pace.0 < part.pace.1;
            let pert = Pert::new(part.pace.0, 1.0, part.pace.1).filter(|_| varies)?;
            let shape = Shape::Slowness(Tabulated::of_pert(pert));
            Some(Factor { shape, group: Some((PACE, correlation)) })
        })
    }

    /// Rates that nobody has logged are those of no firm in particular.
    fn memory(&mut self, part: &Part) -> Option<usize> {
        let logged = self.catalogue.method(&part.method).is_none_or(|method| {
            !matches!(
                method.source.certainty,
                Certainty::Memory | Certainty::Assumption | Certainty::CommonPractice
            ) || method.surface().is_some_and(|work| !work.logged.is_empty())
        });
        let sigma = self.survey.facts.uncertainty.memory_sigma;
        if logged || sigma <= 0.0 || part.work == PartOfWork::Checking {
            return None;
        }
        self.place(Unknown::Memory, || {
            Some(Factor { shape: Shape::LogNormal { median: 1.0, sigma }, group: None })
        })
    }

    fn growth(&mut self, zone: &ZoneId, name: &str) -> [Option<usize>; 2] {
        let uncertainty = self.survey.facts.uncertainty;
        let (median, sigma) = (uncertainty.hidden_growth_median, uncertainty.hidden_growth_sigma);
        let grown =
            self.place(Unknown::Growth { zone: zone.clone(), name: name.to_owned() }, || {
                let group = Some((DAMAGE, uncertainty.hidden_growth_correlation));
                Some(Factor { shape: Shape::LogNormal { median, sigma }, group })
            });
        let survey = self.survey;
        let heard =
            self.place(Unknown::Heard { zone: zone.clone(), name: name.to_owned() }, || {
                let (share, size) = heard(survey, zone)?;
                // All of it together: the share that was heard varies by its own bounds.
                let sigma = size.sigma() * share.ratio();
                Some(Factor { shape: Shape::LogNormal { median: 1.0, sigma }, group: None })
            });
        [grown, heard]
    }

    fn again(&mut self, zone: &ZoneId, name: &str) -> Option<usize> {
        let uncertainty = self.survey.facts.uncertainty;
        self.place(Unknown::Again { zone: zone.clone(), name: name.to_owned() }, || {
            // Never is no unknown; always lies below every draw.
            let score = match uncertainty.rework_chance.ratio() {
                chance if chance <= 0.0 => return None,
                chance if chance >= 1.0 => f64::NEG_INFINITY,
                _ => normal_score(uncertainty.rework_chance.complement())?,
            };
            let factor = 1.0 + uncertainty.rework_share.ratio();
            Some(Factor { shape: Shape::Above { score, factor }, group: None })
        })
    }

    fn add(&mut self, zone: &ZoneId, name: &str, step: &Step, part: &Part) {
        let prices = self.survey.facts.uncertainty.material_price_sigma;
        let price = self.place(Unknown::Prices, || {
            let shape = Shape::LogNormal { median: 1.0, sigma: prices };
            (prices > 0.0).then_some(Factor { shape, group: None })
        });
        let [grown, heard] = if part.grows { self.growth(zone, name) } else { [None, None] };
        let made_again = step.leaves.is_some() && part.work == PartOfWork::Itself;
        let again = if made_again { self.again(zone, name) } else { None };
        let slowness = self.pace(step, part);
        let memory = self.memory(part);
        let crew = f64::from(self.survey.facts.rates.crew.max(1));
        let loud = self.catalogue.method(&part.method).is_some_and(|method| method.loud);
        self.model.terms.push(Term {
            set_up_hours: part.set_up.hours(),
            working_hours: part.working.hours(),
            hour: (part.crew_hour + part.machine_hour).per_hour(),
            material: part.material.amount(),
            disposal: part.disposal.amount(),
            loud: loud && part.work != PartOfWork::Checking,
            slowness,
            memory,
            of_the_crew: (f64::from(part.people) / crew).min(1.0),
            growth: [grown, heard, again],
            price,
        });
    }
}

/// The model of a plan, and its unknowns in the order of the model's factors.
pub(super) fn model_of(
    survey: &Survey,
    plan: &Plan,
    catalogue: &Catalogue,
) -> (Model, Vec<Unknown>) {
    let day = survey.facts.rates.working_day.hours();
    let loud_day = survey.facts.constraints.loud_hours.map_or(day, |hours| hours.hours().min(day));
    let brought: Money = plan.machines.iter().map(|machine| machine.mobilisation).sum();
    let mut builder = Builder {
        survey,
        catalogue,
        unknowns: Vec::new(),
        model: Model {
            groups: 2,
            trip: survey.facts.rates.trip.amount(),
            trips_for_waits: super::trips_for_waits(plan),
            working_day: day,
            loud_day: loud_day.max(0.25),
            ..Model::default()
        },
    };
    for zone in &plan.zones {
        for step in &zone.steps {
            for part in &step.priced {
                builder.add(&zone.zone, &zone.name, step, part);
            }
        }
    }
    let price = builder.unknowns.iter().position(|unknown| *unknown == Unknown::Prices);
    for (.., material) in system_materials(survey, plan) {
        builder.model.terms.push(Term { material: material.amount(), price, ..Term::default() });
    }
    let fixed = fixed_costs(survey);
    builder.model.fixed = (brought + fixed.iter().map(|cost| cost.money).sum::<Money>()).amount();
    for cost in &fixed {
        builder.model.terms.push(Term {
            set_up_hours: cost.hours.hours(),
            hour: survey.facts.rates.labour.per_hour(),
            of_the_crew: 1.0 / f64::from(survey.facts.rates.crew.max(1)),
            ..Term::default()
        });
    }
    (builder.model, builder.unknowns)
}
