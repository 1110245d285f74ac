//! A number beside the customer: size, what it is now, what it shall be; low, likely and high at
//! once, with what is in it, what could change it, and what to look at while standing there.
//!
//! There is no second judgement and no second price. What was said becomes a survey
//! ([`Told`] to [`Survey`]), what was not said is taken for absent and stated, and the stream of
//! every job answers: that is the *likely* case. Where something is open, the other states that
//! it may be in (a small stated set, each with an assumed chance) go through the same
//! stream. *Low* and *high* are the tenth and ninetieth percentile of all of them together,
//! widened until the likely price of every surface that it may be lies between, and that of every
//! other answer with at least one chance in ten. Rarer ones are listed, and may lie beyond.

mod mix;
mod open;
mod states;
mod told;

pub use open::OpenQuestion;
pub use told::{
    CracksSeen, Details, FilmBuild, FinishPriced, FinishWanted, Firm, Names, Product, Sides, Size,
    SurfaceNow, Told,
};

use schemars::JsonSchema;
use serde::Serialize;
use tooth_measure::say::{Argument, Joint, Said, both, clock, listed, said, word};
use tooth_measure::{Area, Fraction, Money, Source, WorkTime};
use tooth_texture::{Workers, each};

use self::open::Other;
use self::states::{State, survey_of};
use crate::assessment::{Recommendation, Unknown, assess};
use crate::estimate::{Drawing, Estimate, Exclusion, estimate_with};
use crate::extent::PatchRule;
use crate::methods::Catalogue;
use crate::plan::{Planned, ZonePlan, plan};
use crate::stream::{Asked, WorkedOut, work_out};
use crate::survey::{Answer, Exposure, Matter, Setting, Survey};

/// Prices to the client.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct PriceRange {
    /// A tenth of what may come lies below, and the likely price of no surface that it may be and
    /// of no other answer with one chance in ten.
    pub low: Money,
    /// The middle of the draws of the likely case: the price that `estimate` gives its folder.
    pub likely: Money,
    /// A tenth of what may come lies above, with the same promise.
    pub high: Money,
}

/// Days with the crew on the site.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct DaysThere {
    /// In the likely case, half of draws.
    pub likely: u32,
    /// In the worst of the states that were looked at.
    pub most: u32,
}

/// A state that would change the price.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Change {
    /// The question that it answers.
    pub question: OpenQuestion,
    /// If what.
    pub what: Said,
    /// How likely that is taken to be.
    pub chance: Fraction,
    /// The likely price then; null where nothing can be priced.
    pub price: Option<Money>,
    /// That less the likely price; null as above.
    pub difference: Option<Money>,
    /// Why nothing can be priced then; empty where it can.
    pub why_not: Said,
    /// What settles it while somebody stands there.
    pub settled_by: Said,
}

/// Something to look at, ask or test.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ToLookAt {
    /// What is not known.
    pub what: Said,
    /// What settles it.
    pub test: Said,
    /// How many.
    pub count: u32,
    /// Whether the recommendation hangs on it.
    pub decides: bool,
}

/// The answer.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct QuickAnswer {
    /// ISO 4217 code of every amount.
    pub currency: String,
    /// Its sides.
    pub sides: Sides,
    /// Its area.
    pub area_m2: Area,
    /// Indoors or out.
    pub setting: Setting,
    /// What it is now, as was said.
    pub now: SurfaceNow,
    /// What it is taken for in the likely case.
    pub taken_as: SurfaceNow,
    /// What it shall be.
    pub wanted: FinishWanted,
    /// What the evidence of the likely case says: little was seen, so it asks.
    pub recommendation: Recommendation,
    /// What the recommendation hangs on.
    pub because: Said,
    /// Price to the client; null where nothing can be priced.
    pub price: Option<PriceRange>,
    /// Why nothing can be priced; empty where it can.
    pub why_not: Said,
    /// The least that the firm works for.
    pub least_for_a_job: Money,
    /// Whether that least rules the likely price.
    pub least_rules: bool,
    /// Days on the site.
    pub days: DaysThere,
    /// People who come.
    pub crew: u32,
    /// Crew-hours, likely.
    pub hours: WorkTime,
    /// When it can be walked on.
    pub walk_on: Said,
    /// What is in the price.
    pub includes: Vec<Said>,
    /// What is not, what matters most first.
    pub not_in_price: Vec<Said>,
    /// What could change it, what moves the price most first.
    pub changes: Vec<Change>,
    /// Where the chances of those come from.
    pub chances: Source,
    /// What to look at while standing there, what is worth most first.
    pub look_at: Vec<ToLookAt>,
    /// What was taken for what nobody said.
    pub taken: Vec<Said>,
}

/// The answer with the job behind it.
#[derive(Debug, Clone)]
pub struct Quick {
    /// What is told.
    pub answer: QuickAnswer,
    /// The likely case as a survey: what a job folder is begun with.
    pub survey: Survey,
    /// All that follows from it.
    pub worked: WorkedOut,
}

/// How one state is priced.
#[derive(Debug, Clone)]
struct Priced {
    state: State,
    estimate: Option<Estimate>,
    why_not: Said,
}

impl Priced {
    fn likely(&self) -> Option<Money> {
        self.estimate.as_ref().map(|estimate| estimate.cost.p50)
    }
}

/// What answers.
#[derive(Clone, Copy)]
pub struct Answering<'a> {
    /// Methods and machines.
    pub catalogue: &'a Catalogue,
    /// How patches are squared up.
    pub patch_rule: PatchRule,
    /// Objective, seed and draws.
    pub asked: Asked,
    /// Who does the states side by side; how many never shows.
    pub workers: &'a dyn Workers,
}

impl Told {
    /// Whether what it shall be can come of what it is; else what was expected of it.
    ///
    /// # Errors
    /// What was expected.
    pub fn checked(&self) -> Result<(), Said> {
        let bare = !self.now.is_sealed() && self.now != SurfaceNow::Unknown;
        if self.wanted == FinishWanted::Recoat && bare {
            return Err(said!("quick-recoat-wants-a-sealer"));
        }
        Ok(())
    }
}

/// Answers; none where the size makes no slab.
#[must_use]
pub fn quick(told: &Told, by: Answering<'_>) -> Option<Quick> {
    let surfaces = open::surfaces(told);
    let nows: Vec<State> = surfaces.iter().map(|(now, _)| open::taken(told, *now)).collect();
    let priced = each(by.workers, nows, |state| priced(told, state, by));
    let likely = mix::middle(&surfaces, &priced);
    let own = priced.get(likely)?;
    let taken = own.state;
    let others = open::others(told, taken);
    let states: Vec<State> = others.iter().map(|other| other.state).collect();
    let prices = each(by.workers, states, |state| priced_as(told, state, by));
    let survey = survey_of(told, taken)?;
    let worked = work_out(&survey, by.catalogue, by.patch_rule, by.asked, by.workers);
    let least = told.firm.money.least_for_a_job;
    let range = own.likely().map(|price| {
        let chances: Vec<Fraction> = surfaces.iter().map(|(_, chance)| *chance).collect();
        mix::range(price, least, (&chances, &priced), (&others, &prices))
    });
    let answer = answer(
        told,
        &Found {
            taken,
            likely,
            range,
            surfaces: surfaces.iter().copied().zip(&priced).collect(),
            others: others.iter().zip(&prices).collect(),
            own,
            worked: &worked,
        },
    );
    Some(Quick { answer, survey, worked })
}

/// One state through the stream, without what only a whole job asks for. Where nothing can be
/// planned as long as no aggregate may show, and nobody has said that none may, it is priced
/// with fine sand showing.
fn priced(told: &Told, state: State, by: Answering<'_>) -> Priced {
    let first = priced_as(told, state, by);
    let open = state.exposure.is_none() && told.wanted.is_see_through();
    if first.estimate.is_some() || !open {
        return first;
    }
    let agreed = priced_as(told, State { exposure: Some(Exposure::Fine), ..state }, by);
    if agreed.estimate.is_some() { agreed } else { first }
}

fn priced_as(told: &Told, state: State, by: Answering<'_>) -> Priced {
    let none = |why_not| Priced { state, estimate: None, why_not };
    let Some(survey) = survey_of(told, state) else { return none(Said::nothing()) };
    let assessment = assess(&survey, by.patch_rule);
    let made = plan(&survey, &assessment, by.catalogue, by.patch_rule, by.asked.objective);
    match made.zones.first() {
        Some(zone) if zone.state == Planned::Planned => {}
        zone => return none(zone.map_or_else(Said::nothing, |zone| zone.reason.clone())),
    }
    let Asked { seed, draws, bid, .. } = by.asked;
    let drawing = Drawing { seed, draws, bid, workers: by.workers };
    let estimate = estimate_with(&survey, &made, by.catalogue, drawing);
    Priced { state, estimate: Some(estimate), why_not: Said::nothing() }
}

/// All that the answer is put together from.
struct Found<'a> {
    taken: State,
    /// Which surface.
    likely: usize,
    range: Option<PriceRange>,
    surfaces: Vec<((SurfaceNow, Fraction), &'a Priced)>,
    others: Vec<(&'a Other, &'a Priced)>,
    own: &'a Priced,
    worked: &'a WorkedOut,
}

fn answer(told: &Told, found: &Found<'_>) -> QuickAnswer {
    let worked = found.worked;
    let (length_m, width_m) = told.size.sides(told.firm.units);
    let assessed = worked.assessment.zones.first();
    let planned = worked.plan.zones.first();
    let estimate = &worked.estimate;
    let least = told.firm.money.least_for_a_job;
    let days = estimate.days_on_site;
    let most = found
        .others
        .iter()
        .map(|(_, priced)| *priced)
        .chain(found.surfaces.iter().map(|(_, priced)| *priced))
        .filter_map(|priced| priced.estimate.as_ref())
        .map(|estimate| estimate.days_on_site.p50)
        .fold(days.p80, u32::max);
    let rules =
        found.range.is_some_and(|range| range.likely <= least) && !states::is_nothing(least);
    QuickAnswer {
        currency: estimate.currency.clone(),
        sides: Sides { length_m, width_m },
        area_m2: length_m * width_m,
        setting: told.setting,
        now: told.now,
        taken_as: found.taken.now,
        wanted: told.wanted,
        recommendation: assessed.map_or(Recommendation::TestMore, |zone| zone.recommendation),
        because: assessed.map_or_else(Said::nothing, |zone| zone.because.clone()),
        price: found.range,
        why_not: found.own.why_not.clone(),
        least_for_a_job: least,
        least_rules: rules,
        days: DaysThere { likely: days.p50, most },
        crew: u32::from(told.firm.rates.crew),
        hours: estimate.hours.p50,
        walk_on: walk_on(told, planned, days.p50),
        includes: includes(estimate),
        not_in_price: not_in_price(told, estimate),
        changes: changes(found),
        chances: open::CHANCES,
        look_at: assessed.map_or_else(Vec::new, |zone| look_at(&zone.unknown)),
        taken: taken(told, found, planned),
    }
}

/// When it can be walked on: the finish's sheet says, unless somebody does.
fn walk_on(told: &Told, planned: Option<&ZonePlan>, days: u32) -> Said {
    let waits = planned.map_or(WorkTime::ZERO, |zone| {
        zone.steps.iter().map(|step| step.wait_hours).fold(WorkTime::ZERO, WorkTime::max)
    });
    let wait = if waits > WorkTime::ZERO {
        said!("quick-longest-wait", time = clock(waits))
    } else {
        Said::nothing()
    };
    match told.finish.walk_on {
        Some(time) => said!("quick-walk-on", time = clock(time), wait = wait),
        None => said!("quick-walk-on-by-its-sheet", days = days, wait = wait),
    }
}

/// Every line of the price once, in the order of the work.
fn includes(estimate: &Estimate) -> Vec<Said> {
    let mut lines: Vec<Said> = Vec::new();
    for line in &estimate.lines {
        if !lines.contains(&line.item) {
            lines.push(line.item.clone());
        }
    }
    lines
}

fn not_in_price(told: &Told, estimate: &Estimate) -> Vec<Said> {
    let without: Vec<Exclusion> = estimate.not_in_price.iter().map(|out| out.what).collect();
    let (material, laying) = (Exclusion::SystemMaterial, Exclusion::SystemLaying);
    let mut said = Vec::new();
    if without.contains(&material) && without.contains(&laying) {
        said.push(said!("quick-not-the-finish"));
    } else {
        said.extend(
            without.iter().filter(|out| [material, laying].contains(out)).map(|o| word(*o)),
        );
    }
    if told.details.damp != Answer::No {
        said.push(said!("quick-not-damp"));
    }
    said.push(said!("quick-not-joints"));
    let rest = without
        .into_iter()
        .filter(|out| ![material, laying, Exclusion::Areas, Exclusion::Moisture].contains(out));
    said.extend(rest.map(word));
    said
}

/// The surfaces and states that were not taken, what moves the price most first.
fn changes(found: &Found<'_>) -> Vec<Change> {
    let own = found.own.likely();
    let change = |question, what, chance, priced: &Priced| Change {
        question,
        what,
        chance,
        price: priced.likely(),
        difference: priced.likely().zip(own).map(|(price, own)| price - own),
        why_not: priced.why_not.clone(),
        settled_by: open::settled_by(question),
    };
    let surfaces = found.surfaces.iter().enumerate().filter(|(at, _)| *at != found.likely);
    let surfaces = surfaces.map(|(_, ((now, chance), priced))| {
        change(OpenQuestion::Surface, said!("quick-if-it-is", now = *now), *chance, priced)
    });
    let others = found.others.iter();
    let others = others
        .map(|(other, priced)| change(other.question, other.what.clone(), other.chance, priced));
    let mut changes: Vec<Change> = surfaces.chain(others).collect();
    let moved = |change: &Change| {
        change.difference.map_or(f64::INFINITY, |difference| difference.amount().abs())
    };
    changes.sort_by(|a, b| moved(b).total_cmp(&moved(a)));
    changes
}

/// What is not known: what can hurt somebody first, then as the assessment has it, what saves most
/// first.
fn look_at(unknown: &[Unknown]) -> Vec<ToLookAt> {
    let (hazards, others): (Vec<&Unknown>, Vec<&Unknown>) =
        unknown.iter().partition(|gap| gap.code == Matter::OldCoating);
    hazards
        .into_iter()
        .chain(others)
        .map(|gap| ToLookAt {
            what: gap.what.clone(),
            test: gap.test.clone(),
            count: gap.count,
            decides: gap.decides,
        })
        .collect()
}

/// What stands in for what nobody said.
fn taken(told: &Told, found: &Found<'_>, planned: Option<&ZonePlan>) -> Vec<Said> {
    let mut taken = Vec::new();
    if told.firm.assumed {
        taken.push(said!("quick-taken-rates"));
    }
    if told.now == SurfaceNow::Unknown {
        taken.push(said!("quick-taken-surface", now = found.taken.now));
    }
    if !told.setting_said {
        taken.push(said!("quick-taken-setting", setting = told.setting));
    }
    if let Size::Area(_) = told.size {
        let (length, width) = told.size.sides(told.firm.units);
        taken.push(said!("quick-taken-shape", length = both(length), width = both(width)));
    }
    if told.details.walls.is_none() {
        taken.push(match told.setting {
            Setting::Indoor => said!("quick-taken-walls-indoors"),
            Setting::Outdoor => said!("quick-taken-wall-outdoors"),
        });
    }
    let absent: Vec<Argument> = [
        (told.details.cracks.is_none(), said!("quick-cracks")),
        (told.details.hollow == Answer::Unknown, said!("quick-hollow-places")),
        (told.details.oil == Answer::Unknown, said!("quick-oil")),
    ]
    .into_iter()
    .filter(|(open, _)| *open)
    .map(|(_, what)| what.into())
    .collect();
    if !absent.is_empty() {
        taken.push(said!("quick-taken-absent", what = listed(Joint::Comma, absent)));
    }
    if told.wanted == FinishWanted::Recoat && told.details.holds == Answer::Unknown {
        taken.push(said!("quick-taken-holds"));
    }
    if told.details.exposure.is_none() && found.taken.exposure.is_some() {
        taken.push(said!("quick-taken-exposure"));
    }
    taken.push(said!("quick-taken-no-sheet"));
    taken.extend(planned.into_iter().flat_map(|zone| zone.assumptions.iter().cloned()));
    taken
}
