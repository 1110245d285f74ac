//! `tooth estimate`.

use tooth_job::estimate::Estimate;
use tooth_job::survey::ZoneId;
use tooth_measure::Money;
use tooth_measure::say::{Argument, Joint, hours, listed, money, names, own, percent, said, word};

pub(super) use super::plan::Arguments;
use super::plan::answer;
use super::{Outcome, letter, print_json, print_schema, print_warnings, title};
use crate::app::{App, Worked};
use crate::terminal::{Page, row};

pub(super) async fn run(app: &App, arguments: &Arguments) -> Outcome {
    if arguments.printing.schema {
        return print_schema::<Estimate>();
    }
    let worked = app.work(arguments.job.path(), arguments.choices.settings(app)).await?;
    print_warnings(app.words_of(worked.folder()), worked.folder().warnings.iter());
    if arguments.printing.json {
        print_json(&worked.estimate, app.words_of(worked.folder()))?;
    } else {
        let mut page = Page::new(app.words_of(worked.folder()));
        page.heading(title(worked.folder()));
        show(&mut page, &worked, true);
        page.print();
    }
    Ok(answer(&worked))
}

pub(super) fn show(page: &mut Page, worked: &Worked, lines: bool) {
    let estimate = &worked.estimate;
    page.blank();
    if !estimate.prices_anything() {
        page.item(0, said!("cli-price"), said!("cli-no-area-is-priced-see-what-stands"));
        return;
    }
    how_sure(page, estimate);
    on_site(page, worked);
    left_out(page, worked);
    bids_and_changes(page, estimate);
    moisture(page, worked);
    for learned in &estimate.learned_rates {
        page.item(
            0,
            said!("cli-learnt"),
            said!(
                "cli-planned-after-logged",
                name = &learned.name,
                before = own(learned.before_m2_h[1]),
                after = own(learned.after_m2_h[1]),
                count = learned.count
            ),
        );
    }
    page.blank();
    as_marked(page, estimate);
    if lines {
        page.blank();
        every_line(page, worked);
    }
}

fn how_sure(page: &mut Page, estimate: &Estimate) {
    let whole = |amount: Money| money(amount, &estimate.currency);
    let cost = &estimate.cost;
    page.item(
        0,
        said!("cli-price"),
        said!(
            "cli-percentiles",
            p10 = whole(cost.p10),
            p50 = whole(cost.p50),
            p80 = whole(cost.p80),
            p90 = whole(cost.p90)
        ),
    );
    let spent = &estimate.hours;
    page.item(
        0,
        said!("cli-hours"),
        said!(
            "cli-low-likely-high-crew-hours",
            p10 = hours(spent.p10),
            p50 = hours(spent.p50),
            p90 = hours(spent.p90)
        ),
    );
    if !estimate.drivers.is_empty() {
        let drivers = estimate.drivers.iter().take(4).map(|driver| {
            said!("cli-driver", unknown = &driver.unknown, share = percent(driver.share))
        });
        page.item(0, said!("cli-what-moves"), listed(Joint::Semicolon, drivers));
    }
}

fn on_site(page: &mut Page, worked: &Worked) {
    let days = worked.estimate.days_on_site;
    page.item(
        0,
        said!("cli-on-site"),
        said!(
            "cli-days-with-a-crew",
            days = days.as_marked,
            crew = worked.folder().survey.facts.rates.crew,
            likely = days.p50,
            most = days.p80
        ),
    );
}

fn left_out(page: &mut Page, worked: &Worked) {
    let estimate = &worked.estimate;
    let letters = |zones: &[ZoneId]| names(zones.iter().map(|zone| letter(worked.folder(), zone)));
    if !estimate.left_out.is_empty() {
        page.item(0, said!("cli-not-in-the-price"), letters(&estimate.left_out));
    }
    if !estimate.not_in_price.is_empty() {
        let told = estimate.not_in_price.iter().map(|out| {
            if out.zones.is_empty() {
                word(out.what)
            } else {
                said!("left-out-where", what = out.what, areas = letters(&out.zones))
            }
        });
        page.item(0, said!("cli-not-in-this-price"), listed(Joint::Semicolon, told));
    }
}

fn bids_and_changes(page: &mut Page, estimate: &Estimate) {
    let whole = |amount: Money| money(amount, &estimate.currency);
    for bid in &estimate.bids {
        page.item(
            0,
            said!("cli-bid"),
            said!(
                "cli-chance-of-loss",
                bid = whole(bid.bid),
                chance = percent(bid.chance_of_loss),
                left = whole(bid.mean_margin)
            ),
        );
    }
    for order in &estimate.change_orders {
        let signed = match (order.signed_by.as_deref(), order.proceed) {
            (Some(by), _) => said!("signed-by", signer = by),
            (None, true) => said!("cli-not-signed-work-goes"),
            (None, false) => said!("cli-not-signed-stop"),
        };
        page.item(
            0,
            said!("cli-change"),
            said!(
                "cli-change-order",
                order = &order.order,
                found = &order.found,
                quantity = &order.quantity,
                price = whole(order.price),
                signed = signed
            ),
        );
    }
    if !estimate.change_orders.is_empty() {
        page.item(0, said!("cli-likely-with-signed-changes"), whole(estimate.likely_with_changes));
    }
}

fn moisture(page: &mut Page, worked: &Worked) {
    let estimate = &worked.estimate;
    for decision in &estimate.moisture_decisions {
        page.blank();
        page.item(0, letter(worked.folder(), &decision.zone), &decision.finding);
        for way in &decision.ways {
            let price = match way.price {
                Some(price) => Argument::from(price.show_change(&estimate.currency)),
                None => said!("no-way").into(),
            };
            page.item(2, way.way, said!("cli-way", price = price, reason = &way.reason));
        }
    }
}

fn as_marked(page: &mut Page, estimate: &Estimate) {
    let l = &estimate.as_marked;
    let mut rows = vec![row![said!("cli-at-marked-quantities"), &estimate.currency]];
    for (name, money) in [
        (said!("sum-labour"), l.labour),
        (said!("sum-machine"), l.machine),
        (said!("sum-material"), l.material),
        (said!("sum-disposal"), l.disposal),
        (said!("mobilisation-and-trips"), l.mobilisation),
        (said!("cli-direct-cost"), l.direct),
        (said!("price-overhead"), l.overhead),
        (said!("price-margin"), l.margin),
        (said!("cli-up-to-the-firm-least"), l.up_to_least),
        (said!("cli-sum-price"), l.price),
    ] {
        rows.push(row![name, money.show_cents()]);
    }
    page.table(0, &[false, true], &rows);
}

fn every_line(page: &mut Page, worked: &Worked) {
    let mut rows = vec![row![
        "",
        said!("column-line"),
        said!("column-hours"),
        said!("column-labour"),
        said!("column-machine"),
        said!("column-material"),
        said!("column-disposal"),
        said!("column-mobilisation"),
        said!("column-total")
    ]];
    for line in &worked.estimate.lines {
        let area = match &line.zone {
            Some(zone) => Argument::from(letter(worked.folder(), zone)),
            None => said!("line-of-the-job").into(),
        };
        rows.push(row![
            area,
            &line.item,
            hours(line.hours),
            line.labour.show_cents(),
            line.machine.show_cents(),
            line.material.show_cents(),
            line.disposal.show_cents(),
            line.mobilisation.show_cents(),
            line.total.show_cents(),
        ]);
    }
    page.table(0, &[false, false, true, true, true, true, true, true, true], &rows);
}
