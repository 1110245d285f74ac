//! The price apart, for the office.

use serde_json::{Value, json};
use tooth_measure::Money;
use tooth_measure::choice::Choice as _;
use tooth_measure::show::Show as _;

use crate::Issue;
use crate::price::{price_build_up, price_curve, price_tornado};
use crate::report::{changes, head, moisture, zone_letter};
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
        "bids": estimate.bids.iter().map(|b| json!({
            "bid": cents(b.bid), "loss": b.chance_of_loss.show_percent(), "left": cents(b.mean_margin),
        })).collect::<Vec<_>>(),
        "others": issue.plan.alternatives.iter().map(|o| json!({
            "name": o.name,
            "cost": cents(o.total_cost),
            "hours": o.total_hours.show_hours(),
            "dust": o.dusty_hours.show_hours(),
            "hired": o.hired.join(", "),
            "trades": o.trades,
            "differs": o.differs.iter().map(|d| format!("{}: {}", d.name, d.instead)).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "own": json!({
            "cost": cents(issue.plan.total_cost),
            "hours": issue.plan.total_hours.show_hours(),
            "dust": issue.plan.dusty_hours.show_hours(),
            "hired": issue.plan.machines.iter().filter(|m| !m.owned).map(|m| m.name.as_str()).collect::<Vec<_>>().join(", "),
        }),
        "learned": estimate.learned_rates.iter().map(|l| json!({
            "name": l.name,
            "count": l.count,
            "before": l.before_m2_h.map(|r| r.show(facts.units)),
            "after": l.after_m2_h.map(|r| r.show(facts.units)),
        })).collect::<Vec<_>>(),
        "moisture": moisture(issue),
        "changes": changes(issue),
        "objective": issue.plan.objective.words(),
        "optimal": issue.plan.optimal,
        "left_out": estimate.left_out.iter().map(|z| zone_letter(issue, z.as_str())).collect::<Vec<_>>(),
        "not_in_price": estimate.not_in_price.iter().map(|out| {
            let zones: Vec<String> =
                out.zones.iter().map(|z| zone_letter(issue, z.as_str())).collect();
            if zones.is_empty() {
                out.what.words().to_owned()
            } else {
                format!("{} ({})", out.what.words(), zones.join(", "))
            }
        }).collect::<Vec<_>>(),
        "days": {
            "as_marked": estimate.days_on_site.as_marked,
            "likely": estimate.days_on_site.p50,
            "p80": estimate.days_on_site.p80,
            "crew": issue.survey.facts.rates.crew,
        },
        "draws": estimate.draws,
        "growth": format!("median {}, sigma {}", facts.uncertainty.hidden_growth_median, facts.uncertainty.hidden_growth_sigma),
    });
    let pictures = vec![
        ("curve.svg".to_owned(), price_curve(estimate).into_bytes()),
        ("build-up.svg".to_owned(), price_build_up(estimate).into_bytes()),
        ("tornado.svg".to_owned(), price_tornado(estimate).into_bytes()),
    ];
    set(TEMPLATE, &data, pictures)
}

fn named(amounts: &[(&str, Money)]) -> Vec<Value> {
    amounts
        .iter()
        .map(|(name, money)| json!({"name": name, "amount": money.show_cents()}))
        .collect()
}
