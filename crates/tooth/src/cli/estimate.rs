//! `tooth estimate`.

use tooth_job::estimate::{Estimate, Excluded};
use tooth_measure::Money;
use tooth_measure::choice::Choice as _;
use tooth_measure::show::Show as _;

pub(super) use super::plan::Arguments;
use super::plan::answer;
use super::{Outcome, letter, print_json, print_schema, print_warnings, title};
use crate::app::{App, Worked};
use crate::terminal::Page;

pub(super) async fn run(app: &App, arguments: &Arguments) -> Outcome {
    if arguments.printing.schema {
        return print_schema::<Estimate>();
    }
    let worked = app.work(arguments.job.path(), arguments.choices.settings()).await?;
    print_warnings(worked.folder().warnings.iter());
    if arguments.printing.json {
        print_json(&worked.estimate)?;
    } else {
        let mut page = Page::new();
        page.heading(&title(worked.folder()));
        show(&mut page, &worked, true);
        page.print();
    }
    Ok(answer(&worked))
}

pub(super) fn show(page: &mut Page, worked: &Worked, lines: bool) {
    let estimate = &worked.estimate;
    let whole = |money: Money| money.show_whole(&estimate.currency);
    page.blank();
    if !estimate.prices_anything() {
        page.item(0, "Price", "no area is priced: see what stands against each");
        return;
    }
    page.item(
        0,
        "Price",
        &format!(
            "low {} (P10), likely {} (P50), {} (P80), high {} (P90)",
            whole(estimate.cost.p10),
            whole(estimate.cost.p50),
            whole(estimate.cost.p80),
            whole(estimate.cost.p90)
        ),
    );
    page.item(
        0,
        "Hours",
        &format!(
            "low {}, likely {}, high {} crew-hours",
            estimate.hours.p10.show_hours(),
            estimate.hours.p50.show_hours(),
            estimate.hours.p90.show_hours()
        ),
    );
    let drivers: Vec<String> = estimate
        .drivers
        .iter()
        .take(4)
        .map(|d| format!("{} ({})", d.unknown, d.share.show_percent()))
        .collect();
    if !drivers.is_empty() {
        page.item(0, "What moves it", &drivers.join("; "));
    }
    let days = estimate.days_on_site;
    page.item(
        0,
        "On site",
        &format!(
            "{} day{} with a crew of {} as marked, likely {}, 8 in 10 jobs no more than {}",
            days.as_marked,
            if days.as_marked == 1 { "" } else { "s" },
            worked.folder().survey.facts.rates.crew,
            days.p50,
            days.p80
        ),
    );
    let left: Vec<String> =
        estimate.left_out.iter().map(|zone| letter(worked.folder(), zone)).collect();
    if !left.is_empty() {
        page.item(0, "Not in the price", &left.join(", "));
    }
    if !estimate.not_in_price.is_empty() {
        let zones = |out: &Excluded| {
            let letters: Vec<String> =
                out.zones.iter().map(|zone| letter(worked.folder(), zone)).collect();
            if letters.is_empty() { String::new() } else { format!(" ({})", letters.join(", ")) }
        };
        let said: Vec<String> = estimate
            .not_in_price
            .iter()
            .map(|out| format!("{}{}", out.what.words(), zones(out)))
            .collect();
        page.item(0, "Not in this price", &said.join("; "));
    }
    for bid in &estimate.bids {
        page.item(
            0,
            "Bid",
            &format!(
                "{}: {} chance of loss, {} left on average",
                whole(bid.bid),
                bid.chance_of_loss.show_percent(),
                whole(bid.mean_margin)
            ),
        );
    }
    for order in &estimate.change_orders {
        let signed = order.signed_by.as_deref().map_or_else(
            || {
                if order.proceed {
                    "NOT SIGNED, work goes on".to_owned()
                } else {
                    "NOT SIGNED, stop".to_owned()
                }
            },
            |by| format!("signed by {by}"),
        );
        page.item(
            0,
            "Change",
            &format!(
                "{}: {}, {}: {} ({signed})",
                order.order,
                order.found,
                order.quantity,
                whole(order.price)
            ),
        );
    }
    if !estimate.change_orders.is_empty() {
        page.item(0, "Likely with signed changes", &whole(estimate.likely_with_changes));
    }
    for decision in &estimate.moisture_decisions {
        page.blank();
        page.item(0, &letter(worked.folder(), &decision.zone), &decision.finding);
        for way in &decision.ways {
            let price = way
                .price
                .map_or_else(|| "no way".to_owned(), |price| price.show_change(&estimate.currency));
            page.item(2, way.way.words(), &format!("{price}: {}", way.reason));
        }
    }
    for learned in &estimate.learned_rates {
        let units = worked.folder().survey.facts.units;
        page.item(
            0,
            "Learnt",
            &format!(
                "{}: {} planned, {} after {} logged",
                learned.name,
                learned.before_m2_h[1].show(units),
                learned.after_m2_h[1].show(units),
                learned.count
            ),
        );
    }
    page.blank();
    let l = &estimate.as_marked;
    let cents = |money: Money| money.show_cents();
    let mut rows = vec![vec!["at marked quantities".to_owned(), estimate.currency.clone()]];
    for (name, money) in [
        ("labour", l.labour),
        ("machine", l.machine),
        ("material", l.material),
        ("disposal", l.disposal),
        ("mobilisation and trips", l.mobilisation),
        ("direct cost", l.direct),
        ("overhead", l.overhead),
        ("margin", l.margin),
        ("up to the firm's least", l.up_to_least),
        ("price", l.price),
    ] {
        rows.push(vec![name.to_owned(), cents(money)]);
    }
    page.table(0, &[false, true], &rows);
    if !lines {
        return;
    }
    page.blank();
    let mut rows = vec![
        ["", "line", "hours", "labour", "machine", "material", "disposal", "mobilis.", "total"]
            .map(str::to_owned)
            .to_vec(),
    ];
    for line in &estimate.lines {
        rows.push(vec![
            line.zone
                .as_ref()
                .map_or_else(|| "job".to_owned(), |zone| letter(worked.folder(), zone)),
            line.item.clone(),
            line.hours.show_hours(),
            cents(line.labour),
            cents(line.machine),
            cents(line.material),
            cents(line.disposal),
            cents(line.mobilisation),
            cents(line.total),
        ]);
    }
    page.table(0, &[false, false, true, true, true, true, true, true, true], &rows);
}
