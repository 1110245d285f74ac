//! The price apart, for the office.

use serde_json::{Value, json};
use tooth_job::choice::Choice as _;
use tooth_measure::Money;

use crate::Issue;
use crate::report::{head, zone_letter};
use crate::typeset::{Document, TypesetError, typeset as set};

const TEMPLATE: &str = include_str!("../templates/price_sheet.typ");

pub(crate) fn typeset(issue: &Issue<'_>) -> Result<Document, TypesetError> {
    let estimate = issue.estimate;
    let marked = &estimate.as_marked;
    let cents = |money: Money| money.show_cents();
    let facts = &issue.survey.facts;
    let data = json!({
        "head": head(issue),
        "currency": estimate.currency,
        "lines": estimate.lines.iter().map(|line| json!({
            "zone": line.zone.as_ref().map_or_else(|| "job".to_owned(), |z| zone_letter(issue, z.as_str())),
            "item": line.item,
            "hours": line.hours.show_hours(),
            "labour": cents(line.labour),
            "machine": cents(line.machine),
            "material": cents(line.material),
            "disposal": cents(line.disposal),
            "mobilisation": cents(line.mobilisation),
            "total": cents(line.total),
        })).collect::<Vec<_>>(),
        "sums": named(&[
            ("labour", marked.labour),
            ("machine", marked.machine),
            ("material", marked.material),
            ("disposal", marked.disposal),
            ("mobilisation and trips", marked.mobilisation),
        ]),
        "direct": cents(marked.direct),
        "overhead": cents(marked.overhead),
        "overhead_rate": facts.money.overhead.show_percent(),
        "margin": cents(marked.margin),
        "margin_rate": facts.money.margin.show_percent(),
        "price": cents(marked.price),
        "percentiles": named(&[
            ("low: 1 job in 10 costs less (P10)", estimate.cost.p10),
            ("likely: half of such jobs cost less (P50)", estimate.cost.p50),
            ("8 jobs in 10 cost less (P80)", estimate.cost.p80),
            ("high: 9 jobs in 10 cost less (P90)", estimate.cost.p90),
            ("mean", estimate.cost.mean),
        ]),
        "contingency": cents(estimate.contingency),
        "drivers": estimate.drivers.iter().filter(|d| d.share.percent() >= 1.0).map(|d| json!({"unknown": d.unknown, "share": d.share.show_percent(), "ratio": d.share.ratio()})).collect::<Vec<_>>(),
        "objective": issue.plan.objective.words(),
        "optimal": issue.plan.optimal,
        "left_out": estimate.left_out.iter().map(|z| zone_letter(issue, z.as_str())).collect::<Vec<_>>(),
        "draws": estimate.draws,
        "growth": format!("median {}, sigma {}", facts.uncertainty.hidden_growth_median, facts.uncertainty.hidden_growth_sigma),
    });
    set(TEMPLATE, &data, Vec::new())
}

fn named(amounts: &[(&str, Money)]) -> Vec<Value> {
    amounts
        .iter()
        .map(|(name, money)| json!({"name": name, "amount": money.show_cents()}))
        .collect()
}
