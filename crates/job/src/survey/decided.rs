//! What people decided, as far as one decision can stand against another: which one counts, and
//! what must be told of both.

use jiff::ToSpan as _;
use jiff::civil::Date;
use tooth_measure::say::{Argument, Said, names, said};

use super::{
    FeatureId, FilmDecided, LineTreatment, Matter, MoistureDecided, Overrule, Survey, ZoneId,
};

/// A kind of decision.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DecisionKind {
    /// What becomes of a film.
    Film,
    /// What is done about moisture.
    Moisture,
    /// How a crack or joint is treated.
    Treatment,
    /// A person's word against a finding.
    Overrule,
    /// A film that was taken away.
    Abatement,
}

impl DecisionKind {
    /// Its table of `job.toml`.
    #[must_use]
    pub const fn table(self) -> &'static str {
        match self {
            Self::Film => "film_decision",
            Self::Moisture => "moisture_decision",
            Self::Treatment => "treatment",
            Self::Overrule => "overrule",
            Self::Abatement => "abatement",
        }
    }
}

/// A decision that somebody made.
#[derive(Debug, Clone, PartialEq)]
pub struct Decision {
    /// Of which kind.
    pub kind: DecisionKind,
    /// The number of its table among those of its kind, from nothing up.
    pub number: usize,
    /// The day, where somebody wrote it down.
    pub on: Option<Date>,
    /// What was decided, by whom and when.
    pub said: Said,
}

/// Two decisions on one thing that cannot both hold.
#[derive(Debug, Clone, PartialEq)]
pub struct Contradiction {
    /// The area.
    pub zone: ZoneId,
    /// The one that does not count.
    pub earlier: Decision,
    /// The one that counts.
    pub later: Decision,
}

impl Contradiction {
    /// Whether the days say which one counts; else somebody must.
    #[must_use]
    pub fn is_settled(&self) -> bool {
        match (self.earlier.on, self.later.on) {
            (Some(earlier), Some(later)) => earlier < later,
            _ => false,
        }
    }
}

/// So long after everything else that is dated, a decision is taken for mistyped. Assumption.
const AHEAD_DAYS: i64 = 60;

/// Whether two lists name one film; none named means every one.
fn share(one: &[FeatureId], other: &[FeatureId]) -> bool {
    one.is_empty() || other.is_empty() || one.iter().any(|film| other.contains(film))
}

fn whose(what: Said, by: &str, on: Option<Date>) -> Said {
    match on {
        Some(on) => said!("decision-and-whose", what = what, by = by, on = on.to_string()),
        None => said!("decision-without-a-day", what = what, by = by),
    }
}

fn marked(features: &[FeatureId]) -> Argument {
    match features {
        [] => said!("every-film").into(),
        some => names(some),
    }
}

fn of_film(number: usize, held: &FilmDecided) -> Decision {
    let what = said!("decision-on-films", films = marked(&held.features), way = held.way);
    let said = whose(what, &held.by, Some(held.on));
    Decision { kind: DecisionKind::Film, number, on: Some(held.on), said }
}

fn of_moisture(number: usize, held: &MoistureDecided) -> Decision {
    let said = whose(said!("value", of = held.way), &held.by, Some(held.on));
    Decision { kind: DecisionKind::Moisture, number, on: Some(held.on), said }
}

fn of_overrule(number: usize, held: &Overrule) -> Decision {
    let what = match (held.leaves(), held.by_others.is_some()) {
        (true, _) => said!("overrule-leaves", finding = held.finding),
        (_, true) => said!("overrule-by-others", finding = held.finding),
        _ => said!("overrule-on-terms", finding = held.finding),
    };
    let said = whose(what, &held.by, Some(held.date));
    Decision { kind: DecisionKind::Overrule, number, on: Some(held.date), said }
}

impl Survey {
    fn treatment_decision(&self, number: usize) -> Option<Decision> {
        let held = self.facts.treatments.get(number)?;
        let what =
            said!("decision-on-a-line", mark = held.feature.to_string(), way = held.treatment);
        let said = whose(what, &held.by, held.on);
        Some(Decision { kind: DecisionKind::Treatment, number, on: held.on, said })
    }

    fn abatement_decision(&self, number: usize) -> Option<Decision> {
        let held = self.facts.abatements.get(number)?;
        let what = said!("abatement-of-films", films = marked(&held.features));
        let said = whose(what, &held.firm, Some(held.date));
        Some(Decision { kind: DecisionKind::Abatement, number, on: Some(held.date), said })
    }

    /// Decisions on one thing that cannot both hold.
    #[must_use]
    pub fn contradictions(&self) -> Vec<Contradiction> {
        let facts = &self.facts;
        let mut held = Vec::new();
        let mut against = |zone: &ZoneId, one: Decision, other: Decision| {
            let (earlier, later) = if one.on > other.on { (other, one) } else { (one, other) };
            held.push(Contradiction { zone: zone.clone(), earlier, later });
        };
        for (at, one) in facts.film_decided.iter().enumerate() {
            for (other_at, other) in facts.film_decided.iter().enumerate().skip(at + 1) {
                if one.zone == other.zone
                    && one.way != other.way
                    && share(&one.features, &other.features)
                {
                    against(&one.zone, of_film(at, one), of_film(other_at, other));
                }
            }
            for (other_at, other) in facts.abatements.iter().enumerate() {
                let gone = self.abatement_decision(other_at);
                if one.zone == other.zone
                    && share(&one.features, &other.features)
                    && let Some(gone) = gone
                {
                    against(&one.zone, of_film(at, one), gone);
                }
            }
        }
        for (at, one) in facts.moisture_decided.iter().enumerate() {
            for (other_at, other) in facts.moisture_decided.iter().enumerate().skip(at + 1) {
                if one.zone == other.zone && one.way != other.way {
                    against(&one.zone, of_moisture(at, one), of_moisture(other_at, other));
                }
            }
        }
        for (at, one) in facts.overrules.iter().enumerate() {
            for (other_at, other) in facts.overrules.iter().enumerate().skip(at + 1) {
                let one_thing = one.zone == other.zone
                    && one.finding == other.finding
                    && one.feature == other.feature;
                let differs = one.leaves() != other.leaves()
                    || one.by_others.is_some() != other.by_others.is_some();
                if one_thing && differs {
                    against(&one.zone, of_overrule(at, one), of_overrule(other_at, other));
                }
            }
            let lines = [Matter::Cracks, Matter::Joints];
            if !one.leave || !lines.contains(&one.finding) {
                continue;
            }
            for (other_at, other) in facts.treatments.iter().enumerate() {
                if one.feature.as_ref() == Some(&other.feature)
                    && other.treatment != LineTreatment::Leave
                    && let Some(treated) = self.treatment_decision(other_at)
                {
                    against(&one.zone, of_overrule(at, one), treated);
                }
            }
        }
        held
    }

    /// Every decision that has a day.
    fn dated(&self) -> Vec<(Date, Decision)> {
        let facts = &self.facts;
        let films = facts.film_decided.iter().enumerate().map(|(at, held)| of_film(at, held));
        let moisture =
            facts.moisture_decided.iter().enumerate().map(|(at, held)| of_moisture(at, held));
        let overrules = facts.overrules.iter().enumerate().map(|(at, held)| of_overrule(at, held));
        let treated = (0..facts.treatments.len()).filter_map(|at| self.treatment_decision(at));
        let gone = (0..facts.abatements.len()).filter_map(|at| self.abatement_decision(at));
        let all = films.chain(moisture).chain(overrules).chain(treated).chain(gone);
        all.filter_map(|decision| Some((decision.on?, decision))).collect()
    }

    /// Decisions dated long after everything that was read, prepared or forecast; without any of
    /// these, long after the first decision. Each with the day that it is held against.
    #[must_use]
    pub fn dated_ahead(&self) -> Vec<(Decision, Date)> {
        let dated = self.dated();
        let asides = self.questioned.iter().map(|(reading, _)| reading.time.date());
        let known = self.newest_date().into_iter().chain(asides);
        let known = known.chain(self.facts.prepared.iter().map(|held| held.time.date()));
        let known = known.chain(self.forecast.iter().map(|hour| hour.time.date()));
        let Some(last) = known.max().or_else(|| dated.iter().map(|(on, _)| *on).min()) else {
            return Vec::new();
        };
        let Ok(end) = last.checked_add(AHEAD_DAYS.days()) else { return Vec::new() };
        let ahead = dated.into_iter().filter(|(on, _)| *on > end);
        ahead.map(|(_, decision)| (decision, last)).collect()
    }
}
