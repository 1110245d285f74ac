//! The price apart, for the office.

use serde_json::{Value, json};
use tooth_measure::Money;
use tooth_measure::say::{Joint, Said, listed, names, said, word};
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
            "zone": line.zone.as_ref().map_or_else(|| issue.words.label("line-of-the-job"), |z| zone_letter(issue, z.as_str())),
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
            (said!("sum-labour"), marked.labour),
            (said!("sum-machine"), marked.machine),
            (said!("sum-material"), marked.material),
            (said!("sum-disposal"), marked.disposal),
            (said!("mobilisation-and-trips"), marked.mobilisation),
        ]),
        "direct": cents(marked.direct),
        "overhead": cents(marked.overhead),
        "overhead_rate": facts.money.overhead.show_percent(),
        "margin": cents(marked.margin),
        "margin_rate": facts.money.margin.show_percent(),
        "price": cents(marked.price),
        "percentiles": named(&[
            (said!("low-1-job-in-10-costs-less"), estimate.cost.p10),
            (said!("likely-half-of-such-jobs-cost-less"), estimate.cost.p50),
            (said!("of-8-jobs-in-10-cost-less-p80"), estimate.cost.p80),
            (said!("high-9-jobs-in-10-cost-less"), estimate.cost.p90),
            (said!("mean-of-draws"), estimate.cost.mean),
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
            "hired": said!("value", of = listed(Joint::Comma, &o.hired)),
            "trades": o.trades,
            "differs": o.differs.iter().map(|d| said!("area-does", area = &d.name, instead = &d.instead)).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "own": json!({
            "cost": cents(issue.plan.total_cost),
            "hours": issue.plan.total_hours.show_hours(),
            "dust": issue.plan.dusty_hours.show_hours(),
            "hired": said!("value", of = listed(Joint::Comma, issue.plan.machines.iter().filter(|m| !m.owned).map(|m| &m.name))),
        }),
        "learned": estimate.learned_rates.iter().map(|l| json!({
            "name": l.name,
            "count": l.count,
            "before": l.before_m2_h.map(|r| r.show(facts.units)),
            "after": l.after_m2_h.map(|r| r.show(facts.units)),
        })).collect::<Vec<_>>(),
        "moisture": moisture(issue),
        "changes": changes(issue),
        "objective": word(issue.plan.objective),
        "optimal": issue.plan.optimal,
        "left_out": estimate.left_out.iter().map(|z| zone_letter(issue, z.as_str())).collect::<Vec<_>>(),
        "not_in_price": estimate.not_in_price.iter().map(|out| {
            let zones: Vec<String> =
                out.zones.iter().map(|z| zone_letter(issue, z.as_str())).collect();
            if zones.is_empty() {
                word(out.what)
            } else {
                said!("left-out-where", what = out.what, areas = names(&zones))
            }
        }).collect::<Vec<_>>(),
        "days": {
            "as_marked": estimate.days_on_site.as_marked,
            "likely": estimate.days_on_site.p50,
            "p80": estimate.days_on_site.p80,
            "crew": issue.survey.facts.rates.crew,
        },
        "draws": estimate.draws,
        "growth": said!("median-sigma", median = facts.uncertainty.hidden_growth_median, sigma = facts.uncertainty.hidden_growth_sigma),
    });
    let pictures = vec![
        ("curve.svg".to_owned(), price_curve(estimate, issue.words).into_bytes()),
        ("build-up.svg".to_owned(), price_build_up(estimate, issue.words).into_bytes()),
        ("tornado.svg".to_owned(), price_tornado(estimate, issue.words).into_bytes()),
    ];
    set(TEMPLATE, data, pictures, issue.words)
}

fn named(amounts: &[(Said, Money)]) -> Vec<Value> {
    amounts
        .iter()
        .map(|(name, money)| json!({"name": name, "amount": money.show_cents()}))
        .collect()
}
