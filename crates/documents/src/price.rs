//! Pictures of the price: how sure it is, what it is made of, and what moves it. They read
//! in black and white.
//!
//! Units of the pictures are millimetres on paper.

use std::fmt::Write as _;

use tooth_job::estimate::Estimate;
use tooth_measure::Money;

use tooth_words::Words;

use crate::svg::{MARGIN, WIDTH, escaped, sheet, text};

/// The share of draws that stay below each price, with low, likely and high marked.
#[must_use]
pub fn price_curve(estimate: &Estimate, words: Words) -> String {
    let (left, right, top, bottom) = (18.0, WIDTH - MARGIN, 10.0, 62.0);
    let prices: Vec<f64> = estimate.curve.iter().map(|price| price.amount()).collect();
    // The outermost draws are rare and would press the rest together.
    let (Some(low), Some(high)) = (prices.get(1), prices.get(prices.len().saturating_sub(2)))
    else {
        return sheet(20.0, &words.label("no-price"), "");
    };
    let span = (high - low).max(1.0);
    let across = |price: f64| left + (right - left) * ((price - low) / span).clamp(0.0, 1.0);
    let up = |share: f64| bottom - (bottom - top) * share;
    let mut body = String::new();
    for share in [0.0, 0.25, 0.5, 0.75, 1.0] {
        let y = up(share);
        let _ = writeln!(
            body,
            "<path d=\"M{left} {y:.2}H{right:.2}\" stroke=\"#bbb\" stroke-width=\".2\"/>"
        );
        text(&mut body, left - 2.0, y + 1.2, 4.4, "end", &format!("{:.0} %", share * 100.0));
    }
    let last = prices.len().saturating_sub(1).max(1) as f64;
    let mut line = String::new();
    for (number, price) in prices.iter().enumerate() {
        let command = if number == 0 { 'M' } else { 'L' };
        let _ = write!(line, "{command}{:.2} {:.2}", across(*price), up(number as f64 / last));
    }
    let _ = writeln!(
        body,
        "<path d=\"{line}\" fill=\"none\" stroke=\"#111\" stroke-width=\".9\" stroke-linejoin=\"round\"/>"
    );
    let cost = &estimate.cost;
    for (name, share, price) in [
        ("price-low", 0.1, cost.p10),
        ("price-likely", 0.5, cost.p50),
        ("price-high", 0.9, cost.p90),
    ] {
        let (x, y) = (across(price.amount()), up(share));
        let _ = writeln!(
            body,
            "<path d=\"M{x:.2} {y:.2}V{bottom}\" stroke=\"#111\" stroke-width=\".4\" stroke-dasharray=\"1.2 1\"/><circle cx=\"{x:.2}\" cy=\"{y:.2}\" r=\"1.3\"/>"
        );
        text(&mut body, x, bottom + 5.5, 4.8, "middle", &words.label(name));
        text(&mut body, x, bottom + 11.0, 4.8, "middle", &price.show_whole(&estimate.currency));
    }
    let marked = across(estimate.as_marked.price.amount());
    let _ = writeln!(
        body,
        "<path d=\"M{marked:.2} {top}V{bottom}\" stroke=\"#111\" stroke-width=\".5\"/>"
    );
    text(&mut body, marked, top - 1.6, 4.2, "middle", &words.label("price-as-marked"));
    text(
        &mut body,
        right,
        bottom - 3.0,
        4.2,
        "end",
        &words.label("share-of-such-jobs-that-cost-less"),
    );
    sheet(bottom + 15.0, &words.label("how-sure-the-price"), &body)
}

/// From wages to the price, one bar upon the other.
#[must_use]
pub fn price_build_up(estimate: &Estimate, words: Words) -> String {
    let marked = &estimate.as_marked;
    let parts = [
        ("price-labour", marked.labour),
        ("price-machines", marked.machine),
        ("price-material", marked.material),
        ("price-disposal", marked.disposal),
        ("price-mobilisation", marked.mobilisation),
        ("price-overhead", marked.overhead),
        ("price-margin", marked.margin),
    ];
    let (left, right, row) = (44.0, WIDTH - 34.0, 7.0);
    let whole = marked.price.amount().max(1.0);
    let across = |amount: f64| left + (right - left) * amount / whole;
    let mut body = String::new();
    let mut reached = 0.0;
    for (number, (name, money)) in parts.iter().enumerate() {
        let y = MARGIN + row * number as f64;
        let (from, to) = (across(reached), across(reached + money.amount()));
        // What the firm keeps is hatched by outline, what it spends is solid.
        let fill = if number < 5 { "#111" } else { "#fff" };
        let _ = writeln!(
            body,
            "<rect x=\"{from:.2}\" y=\"{y:.2}\" width=\"{:.2}\" height=\"4.6\" fill=\"{fill}\" stroke=\"#111\" stroke-width=\".4\"/>",
            (to - from).max(0.2)
        );
        text(&mut body, left - 2.0, y + 3.6, 3.4, "end", &words.label(name));
        text(&mut body, to + 1.5, y + 3.6, 3.4, "start", &money.show_whole(""));
        reached += money.amount();
    }
    let y = MARGIN + row * parts.len() as f64;
    let _ =
        writeln!(body, "<path d=\"M{left} {y:.2}H{right}\" stroke=\"#111\" stroke-width=\".6\"/>");
    text(&mut body, left - 2.0, y + 4.6, 3.6, "end", &words.label("price-as-marked"));
    let price = marked.price.show_whole(&estimate.currency);
    text(&mut body, right, y + 4.6, 3.8, "end", &price);
    sheet(y + 8.0, &words.label("what-the-price-is-made"), &body)
}

/// What each unknown alone does to the price, the widest first.
#[must_use]
pub fn price_tornado(estimate: &Estimate, words: Words) -> String {
    let mut drivers: Vec<_> = estimate.drivers.iter().collect();
    drivers.sort_by(|a, b| (b.high - b.low).amount().total_cmp(&(a.high - a.low).amount()));
    drivers.truncate(8);
    let amounts = drivers.iter().flat_map(|d| [d.low.amount(), d.high.amount()]);
    let (low, high) =
        amounts.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), a| (l.min(a), h.max(a)));
    let (left, right, row) = (88.0, WIDTH - 18.0, 8.0);
    let across =
        |money: Money| left + (right - left) * (money.amount() - low) / (high - low).max(1.0);
    let mut body = String::new();
    for (number, driver) in drivers.iter().enumerate() {
        let y = MARGIN + row * number as f64;
        let (from, to) = (across(driver.low), across(driver.high));
        let _ = writeln!(
            body,
            "<rect x=\"{from:.2}\" y=\"{y:.2}\" width=\"{:.2}\" height=\"5\" fill=\"#111\"/>",
            (to - from).max(0.3)
        );
        text(
            &mut body,
            left - 18.0,
            y + 3.7,
            3.2,
            "end",
            &escaped(&short(&words.say(&driver.unknown))),
        );
        text(&mut body, from - 1.2, y + 3.7, 3.0, "end", &driver.low.show_whole(""));
        text(&mut body, to + 1.2, y + 3.7, 3.0, "start", &driver.high.show_whole(""));
    }
    let y = MARGIN + row * drivers.len() as f64 + 3.0;
    text(&mut body, left, y, 3.0, "start", &words.label("each-alone-from-one-time-in-ten"));
    sheet(y + 4.0, &words.label("what-moves-the-price"), &body)
}

fn short(words: &str) -> String {
    if words.chars().count() <= 36 {
        return words.to_owned();
    }
    let cut: String = words.chars().take(35).collect();
    format!("{cut}…")
}
