//! `tooth quick` and `tooth new`.

use std::path::PathBuf;

use clap::Args;
use tooth_job::quick::{Change, QuickAnswer, ToLookAt};
use tooth_job::stream::Asked;
use tooth_measure::Money;
use tooth_measure::say::{Argument, Joint, Said, both, hours, listed, money, percent, said};
use tooth_words::Words;

use super::slab::{Called, SlabArguments};
use super::{Answer, Outcome, Printing, print_json, print_schema};
use crate::app::App;
use crate::output::Begun;
use crate::terminal::Page;

/// Arguments of `quick`.
#[derive(Debug, Args)]
pub(super) struct Arguments {
    #[command(flatten)]
    slab: SlabArguments,
    #[command(flatten)]
    pub(super) printing: Printing,
}

/// Arguments of `new`.
#[derive(Debug, Args)]
pub(super) struct NewArguments {
    /// The folder to begin; it must not be there yet.
    #[arg(value_name = "FOLDER", required_unless_present = "schema")]
    folder: Option<PathBuf>,
    /// The job's name.
    #[arg(long, required_unless_present = "schema")]
    name: Option<String>,
    /// Whom it is for.
    #[arg(long)]
    client: Option<String>,
    /// Where the slab is.
    #[arg(long)]
    site: Option<String>,
    /// Your firm's name.
    #[arg(long)]
    contractor: Option<String>,
    #[command(flatten)]
    slab: SlabArguments,
    #[command(flatten)]
    pub(super) printing: Printing,
}

pub(super) async fn run(app: &App, arguments: &Arguments) -> Outcome {
    if arguments.printing.schema {
        return print_schema::<QuickAnswer>();
    }
    let (told, firm) = arguments.slab.told(app, Called::default()).await?;
    let words = Words::new(told.firm.language, told.firm.units);
    let quick = app.quick(told, firm.as_ref(), Asked::USUAL).await?;
    if arguments.printing.json {
        print_json(&quick.answer, words)?;
    } else {
        let mut page = Page::new(words);
        show(&mut page, &quick.answer);
        page.print();
    }
    Ok(answer_of(&quick.answer))
}

pub(super) async fn begin(app: &App, arguments: &NewArguments) -> Outcome {
    if arguments.printing.schema {
        return print_schema::<Begun>();
    }
    let called = Called {
        job: arguments.name.clone(),
        client: arguments.client.clone(),
        site: arguments.site.clone(),
        contractor: arguments.contractor.clone(),
    };
    let (told, firm) = arguments.slab.told(app, called).await?;
    let words = Words::new(told.firm.language, told.firm.units);
    let quick = app.quick(told, firm.as_ref(), Asked::USUAL).await?;
    let folder = arguments.folder.clone().unwrap_or_default();
    let files = app.begin(&folder, &quick, firm.as_ref())?;
    let folder = folder.display().to_string();
    if arguments.printing.json {
        print_json(&Begun { folder, files, quick: quick.answer.clone() }, words)?;
    } else {
        let mut page = Page::new(words);
        page.heading(said!("begun-heading", folder = folder));
        page.paragraph(0, listed(Joint::Comma, files));
        page.paragraph(0, said!("begun-next"));
        page.blank();
        show(&mut page, &quick.answer);
        page.print();
    }
    Ok(answer_of(&quick.answer))
}

/// No where nothing can be priced.
fn answer_of(answer: &QuickAnswer) -> Answer {
    if answer.price.is_some() { Answer::Done } else { Answer::No }
}

/// The leads stand in a column of this width.
const COLUMN: usize = 18;
/// What is shown of each list: the rest is in the JSON, and in the folder's own assessment.
const INCLUDED: usize = 6;
const EXCLUDED: usize = 5;
const CHANGES: usize = 6;
const LOOKS: usize = 4;
const TAKEN: usize = 6;

fn show(page: &mut Page, answer: &QuickAnswer) {
    page.heading(said!(
        "quick-heading",
        area = both(answer.area_m2),
        setting = answer.setting,
        now = answer.now,
        wanted = answer.wanted
    ));
    let mut item = |lead: Said, text: Argument| page.column_item(0, lead, COLUMN, text);
    price(&mut item, answer);
    if answer.price.is_some() {
        item(
            said!("quick-days"),
            said!(
                "quick-days-there",
                likely = answer.days.likely,
                crew = answer.crew,
                most = answer.days.most,
                hours = hours(answer.hours)
            )
            .into(),
        );
        item(said!("quick-walk"), (&answer.walk_on).into());
        item(said!("quick-in-it"), some(&answer.includes, INCLUDED));
        item(said!("quick-not-in-it"), some(&answer.not_in_price, EXCLUDED));
        changes(&mut item, answer);
    }
    looks(&mut item, answer);
    item(said!("quick-taken-for"), some(&answer.taken, TAKEN));
    item(
        said!("quick-verdict"),
        said!("quick-verdict-is", recommendation = answer.recommendation).into(),
    );
}

fn price(item: &mut impl FnMut(Said, Argument), answer: &QuickAnswer) {
    let whole = |amount: Money| money(amount, &answer.currency);
    let Some(range) = answer.price else {
        item(said!("quick-price"), said!("quick-no-price", why = &answer.why_not).into());
        return;
    };
    item(
        said!("quick-price"),
        said!(
            "quick-range",
            low = whole(range.low),
            likely = whole(range.likely),
            high = whole(range.high)
        )
        .into(),
    );
    let mut beside = vec![said!("quick-range-is")];
    if answer.least_rules {
        beside.push(said!("quick-least-rules", least = whole(answer.least_for_a_job)));
    }
    item(Said::nothing(), listed(Joint::Sentences, beside));
}

/// The first of a list, and how many more there are.
fn some(all: &[Said], most: usize) -> Argument {
    let more = all.len().saturating_sub(most);
    let mut shown: Vec<Said> = all.iter().take(most).cloned().collect();
    if more > 0 {
        shown.push(said!("quick-and-more-of-it", count = more));
    }
    listed(Joint::Semicolon, shown)
}

/// A change smaller than this share of the likely price is not worth a line.
const LITTLE: f64 = 0.03;

fn changes(item: &mut impl FnMut(Said, Argument), answer: &QuickAnswer) {
    let likely = answer.price.map_or(0.0, |range| range.likely.amount());
    let matters = |change: &&Change| {
        change.difference.is_none_or(|moved| moved.amount().abs() >= likely * LITTLE)
    };
    let (matter, little): (Vec<&Change>, Vec<&Change>) =
        answer.changes.iter().partition(|change| matters(change));
    let mut lead = said!("quick-changes");
    for change in matter.iter().take(CHANGES) {
        let by: Argument = match change.difference {
            Some(moved) => moved.show_change(&answer.currency).into(),
            None => said!("quick-no-way").into(),
        };
        let what = said!(
            "quick-change",
            what = &change.what,
            chance = percent(change.chance),
            settled = &change.settled_by
        );
        item(
            std::mem::replace(&mut lead, Said::nothing()),
            listed(Joint::Space, [by, what.into()]),
        );
    }
    let rest = matter.iter().skip(CHANGES).chain(&little).map(|change| change.what.clone());
    let rest: Vec<Said> = rest.collect();
    if !rest.is_empty() {
        let rest = said!("quick-changes-less", what = listed(Joint::Comma, rest));
        item(lead, rest.into());
    }
}

fn looks(item: &mut impl FnMut(Said, Argument), answer: &QuickAnswer) {
    let (mut first, later): (Vec<&ToLookAt>, Vec<&ToLookAt>) =
        answer.look_at.iter().partition(|look| look.decides);
    let asked = first.len() + later.len();
    // One look at all the spots of oil is one look.
    let mut known: Vec<&Said> = Vec::new();
    first.retain(|look| {
        let new = !known.contains(&&look.test);
        known.push(&look.test);
        new
    });
    let mut lead = said!("quick-look");
    for look in first.iter().take(LOOKS) {
        let text = said!("quick-look-at", what = &look.what, test = &look.test);
        item(std::mem::replace(&mut lead, Said::nothing()), text.into());
    }
    let more = asked.saturating_sub(LOOKS.min(first.len()));
    if more > 0 {
        item(lead, said!("quick-look-more", count = more).into());
    }
}
