//! `tooth import` and `tooth export`.

use std::path::PathBuf;
use tooth_measure::say::{Said, names, said};

use clap::Args;
use tooth_record::{JobId, Name, Reason, Thing};

use super::{Answer, JobArgument, Outcome, Printing, print_json, print_schema, print_warning};
use crate::app::{App, ImportSettings};
use crate::output::{Exported, Imported};
use crate::terminal::Page;

/// A name as typed.
pub(super) fn name(text: &str) -> Result<Name, String> {
    Name::new(text).ok_or_else(|| "a name of 1 to 200 bytes on one line".to_owned())
}

/// A reason as typed.
pub(super) fn reason(text: &str) -> Result<Reason, String> {
    Reason::new(text).ok_or_else(|| "a reason of 1 to 2000 bytes on one line".to_owned())
}

fn job(text: &str) -> Result<JobId, String> {
    JobId::parse(text).ok_or_else(|| "the whole id of a job, in lower case".to_owned())
}

/// Arguments of `import`.
#[derive(Debug, Args)]
pub(super) struct ImportArguments {
    /// The job folder.
    #[arg(value_name = "FOLDER", required_unless_present = "schema")]
    folder: Option<PathBuf>,
    /// Who edited the folder.
    #[arg(long, value_name = "NAME", value_parser = name)]
    by: Option<Name>,
    /// Why it was edited.
    #[arg(long, value_name = "TEXT", value_parser = reason)]
    reason: Option<Reason>,
    /// The job that a folder without a record belongs to (else the job of its name and
    /// contractor).
    #[arg(long, value_name = "ID", value_parser = job)]
    job: Option<JobId>,
    /// It is a job of its own, though a job of the record has much of its plan.
    #[arg(long, conflicts_with = "job")]
    new: bool,
    /// What is missing from the folder is to be withdrawn, however much it is.
    #[arg(long)]
    withdraw: bool,
    /// Say what would come in, and write nothing.
    #[arg(long)]
    dry_run: bool,
    /// Leave the folder as it is; else one that carries its record is brought up to date.
    #[arg(long)]
    leave: bool,
    #[command(flatten)]
    pub(super) printing: Printing,
}

pub(super) async fn import(app: &App, arguments: &ImportArguments) -> Outcome {
    if arguments.printing.schema {
        return print_schema::<Imported>();
    }
    let settings = ImportSettings {
        by: arguments.by.clone(),
        reason: arguments.reason.clone(),
        job: arguments.job,
        new: arguments.new,
        withdraw: arguments.withdraw,
        dry_run: arguments.dry_run,
        leave: arguments.leave,
    };
    let folder = arguments.folder.clone().unwrap_or_default();
    let imported = app.import(&folder, settings).await?;
    for warning in &imported.warnings {
        let said = said!(
            "fault",
            file = tooth_formats::place(&warning.file),
            place = "",
            expected = &warning.expected,
            found = &warning.found
        );
        print_warning(app.words(), said);
    }
    if arguments.printing.json {
        print_json(&imported, app.words())?;
        return Ok(Answer::Done);
    }
    let mut page = Page::new(app.words());
    page.heading(&imported.name);
    page.item(0, said!("cli-job"), imported.job.to_string());
    let edited = [&imported.stated, &imported.corrected, &imported.withdrawn, &imported.files];
    let nothing = imported.entries == 0 && edited.iter().all(|things| things.is_empty());
    match (imported.dry_run, nothing) {
        (_, true) => page.paragraph(0, said!("cli-nothing-new-the-record-says-all")),
        (true, false) => page.paragraph(0, said!("cli-nothing-was-written-this-would-come")),
        (false, false) => page.paragraph(0, said!("cli-new-entries", entries = imported.entries)),
    }
    for (lead, things) in
        [said!("fact-stated"), said!("fact-corrected"), said!("fact-withdrawn"), said!("cli-files")]
            .into_iter()
            .zip(edited)
    {
        if !things.is_empty() {
            page.column_item(0, lead, 11, first_things(things));
        }
    }
    if imported.unsigned {
        page.item(
            0,
            said!("cli-no-signature"),
            said!("cli-the-chain-that-this-folder-carries-has"),
        );
    }
    if imported.brought_up_to_date {
        page.paragraph(0, said!("cli-the-folder-was-brought-up-to-date"));
    }
    if imported.parted {
        page.paragraph(0, said!("cli-the-folder-record-and-this-one-had"));
    }
    for thing in &imported.clashes {
        page.item(
            0,
            said!("cli-not-settled"),
            said!("cli-people-say-different-things-tooth", thing = thing.said()),
        );
    }
    if let Some(head) = &imported.head {
        page.item(0, said!("cli-record"), head.to_string());
    }
    page.print();
    Ok(Answer::Done)
}

/// The first things by name, and how many more.
fn first_things(things: &[Thing]) -> Said {
    let first = names(things.iter().take(12));
    let more = match things.len().saturating_sub(12) {
        0 => Said::nothing(),
        more => said!("and-more", count = more),
    };
    said!("cli-count-and-first", count = things.len(), first = first, more = more)
}

/// Arguments of `export`.
#[derive(Debug, Args)]
pub(super) struct ExportArguments {
    #[command(flatten)]
    job: JobArgument,
    /// The folder to write: a new one, or this job's own without edits.
    #[arg(long, value_name = "FOLDER", required_unless_present = "schema")]
    to: Option<PathBuf>,
    #[command(flatten)]
    pub(super) printing: Printing,
}

pub(super) async fn export(app: &App, arguments: &ExportArguments) -> Outcome {
    if arguments.printing.schema {
        return print_schema::<Exported>();
    }
    let to = arguments.to.clone().unwrap_or_default();
    let exported = app.export(arguments.job.path(), &to).await?;
    for hash in &exported.missing {
        let left_out = said!("the-file-was-left-out-of-the-export", hash = hash.to_string());
        print_warning(app.words(), left_out);
    }
    let answer = if exported.missing.is_empty() { Answer::Done } else { Answer::No };
    if arguments.printing.json {
        print_json(&exported, app.words())?;
        return Ok(answer);
    }
    let mut page = Page::new(app.words());
    page.heading(&exported.name);
    page.paragraph(
        0,
        said!(
            "cli-entries-and-files-in-readable-files",
            entries = exported.entries,
            files = exported.files,
            folder = to.display().to_string()
        ),
    );
    page.item(0, said!("cli-record"), exported.head.to_string());
    page.print();
    Ok(answer)
}
