//! `tooth settle`, `tooth withdraw` and `tooth erase`.

use clap::Args;
use tooth_measure::say::{Said, said};
use tooth_record::{FileName, Name, Reason, Thing};

use super::carry::{name, reason};
use super::history::thing;
use super::{Answer, JobArgument, Outcome, Printing, print_json, print_schema};
use crate::app::{Act, App, Refusal};
use crate::output::{Changed, Erased};
use crate::terminal::Page;

/// Who does it and why; both stay in the record.
#[derive(Debug, Args)]
struct ActArguments {
    /// Who does it.
    #[arg(long, value_name = "NAME", value_parser = name, required_unless_present = "schema")]
    by: Option<Name>,
    /// Why.
    #[arg(long, value_name = "TEXT", value_parser = reason, required_unless_present = "schema")]
    reason: Option<Reason>,
}

impl ActArguments {
    /// Both; clap makes sure that they were given.
    fn act(&self) -> Result<Act, Refusal> {
        match (&self.by, &self.reason) {
            (Some(by), Some(reason)) => Ok(Act { by: by.clone(), reason: reason.clone() }),
            _ => Err(Refusal::typed("--by", said!("cli-who-and-why"), said!("neither"))),
        }
    }
}

/// Arguments of `settle`.
#[derive(Debug, Args)]
pub(super) struct SettleArguments {
    #[command(flatten)]
    job: JobArgument,
    /// The thing, like reading/R001.
    #[arg(value_name = "THING", value_parser = thing, required_unless_present = "schema")]
    thing: Option<Thing>,
    /// The place or id of the entry whose version is right.
    #[arg(long, value_name = "ENTRY", required_unless_present = "schema")]
    keep: Option<String>,
    /// The other version is another thing that got the same name: state it under this one.
    #[arg(long, value_name = "NAME")]
    other_as: Option<String>,
    #[command(flatten)]
    act: ActArguments,
    #[command(flatten)]
    pub(super) printing: Printing,
}

fn needed<T>(value: Option<&T>) -> Result<&T, Refusal> {
    value.ok_or_else(|| Refusal::typed("THING", said!("a-thing"), said!("none")))
}

fn show(app: &App, changed: &Changed, printing: Printing, done: Said) -> Outcome {
    if printing.json {
        print_json(changed, app.words())?;
        return Ok(Answer::Done);
    }
    let mut page = Page::new(app.words());
    let thing = changed.thing.as_ref().map_or_else(Said::nothing, Thing::said);
    page.paragraph(0, said!("cli-thing-is", thing = thing, done = done));
    if let Some(head) = &changed.head {
        page.item(0, said!("cli-record"), head.to_string());
    }
    page.print();
    Ok(Answer::Done)
}

pub(super) async fn settle(app: &App, arguments: &SettleArguments) -> Outcome {
    if arguments.printing.schema {
        return print_schema::<Changed>();
    }
    let (thing, keep) = (needed(arguments.thing.as_ref())?, needed(arguments.keep.as_ref())?);
    let changed = app
        .settle(
            arguments.job.path(),
            thing,
            keep,
            arguments.other_as.as_deref(),
            arguments.act.act()?,
        )
        .await?;
    show(app, &changed, arguments.printing, said!("cli-settled-the-other-versions-stay-in-its"))
}

/// Arguments of `withdraw`.
#[derive(Debug, Args)]
pub(super) struct WithdrawArguments {
    #[command(flatten)]
    job: JobArgument,
    /// The thing, like reading/R001 or file/photos/hall.jpg.
    #[arg(value_name = "THING", value_parser = thing, required_unless_present = "schema")]
    thing: Option<Thing>,
    /// Even if the job cannot be read without it.
    #[arg(long)]
    anyway: bool,
    #[command(flatten)]
    act: ActArguments,
    #[command(flatten)]
    pub(super) printing: Printing,
}

pub(super) async fn withdraw(app: &App, arguments: &WithdrawArguments) -> Outcome {
    if arguments.printing.schema {
        return print_schema::<Changed>();
    }
    let thing = needed(arguments.thing.as_ref())?;
    let changed =
        app.withdraw(arguments.job.path(), thing, arguments.anyway, arguments.act.act()?).await?;
    show(app, &changed, arguments.printing, said!("cli-withdrawn-it-stays-in-its-history"))
}

fn file(text: &str) -> Result<FileName, String> {
    FileName::new(text)
        .ok_or_else(|| "a path inside the job folder, like photos/hall.jpg".to_owned())
}

/// Arguments of `erase`.
#[derive(Debug, Args)]
pub(super) struct EraseArguments {
    #[command(flatten)]
    job: JobArgument,
    /// The withdrawn file, like photos/hall.jpg.
    #[arg(value_name = "FILE", value_parser = file, required_unless_present = "schema")]
    file: Option<FileName>,
    /// Destroy issued documents that show the file too.
    #[arg(long)]
    documents_too: bool,
    #[command(flatten)]
    act: ActArguments,
    #[command(flatten)]
    pub(super) printing: Printing,
}

pub(super) async fn erase(app: &App, arguments: &EraseArguments) -> Outcome {
    if arguments.printing.schema {
        return print_schema::<Erased>();
    }
    let file = needed(arguments.file.as_ref())?;
    let (documents, act) = (arguments.documents_too, arguments.act.act()?);
    let erased = app.erase(arguments.job.path(), file, documents, act).await?;
    if arguments.printing.json {
        print_json(&erased, app.words())?;
        return Ok(Answer::Done);
    }
    let mut page = Page::new(app.words());
    page.paragraph(0, said!("cli-its-own-bytes-are-destroyed-in-this", file = file.to_string()));
    for document in &erased.still_shown_in {
        page.item(
            0,
            said!("cli-still-shown"),
            said!(
                "cli-in-of-issue-of-job-which",
                file = &document.file,
                issue = document.issue,
                job = document.job.to_string()
            ),
        );
    }
    page.print();
    Ok(Answer::Done)
}
