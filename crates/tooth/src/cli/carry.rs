//! `tooth import` and `tooth export`.

use std::path::PathBuf;

use clap::Args;
use tooth_record::{JobId, Name, Reason, Thing};

use super::{Answer, JobArgument, Outcome, Printing, print_json, print_schema};
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
        anstream::eprintln!(
            "warning: {}: expected {}, found {}",
            warning.file,
            warning.expected,
            warning.found
        );
    }
    if arguments.printing.json {
        print_json(&imported)?;
        return Ok(Answer::Done);
    }
    let mut page = Page::new();
    page.heading(&imported.name);
    page.item(0, "Job", &imported.job.to_string());
    let edited = [&imported.stated, &imported.corrected, &imported.withdrawn, &imported.files];
    let nothing = imported.entries == 0 && edited.iter().all(|things| things.is_empty());
    match (imported.dry_run, nothing) {
        (_, true) => page.paragraph(0, "Nothing new: the record says all that this folder says."),
        (true, false) => page.paragraph(0, "Nothing was written. This would come in:"),
        (false, false) => page.paragraph(0, &format!("{} new entries.", imported.entries)),
    }
    for (lead, things) in ["stated", "corrected", "withdrawn", "files"].iter().zip(edited) {
        if !things.is_empty() {
            page.column_item(0, lead, 11, &listed(things));
        }
    }
    if imported.unsigned {
        page.item(0, "! no signature", "The chain that this folder carries has no signed head: that its entries are as they were first written is only its own word.");
    }
    if imported.brought_up_to_date {
        page.paragraph(0, "The folder was brought up to date and can be edited on.");
    }
    if imported.parted {
        page.paragraph(0, "The folder's record and this one had gone different ways; its entries were added after those that were here.");
    }
    for thing in &imported.clashes {
        page.item(0, "! not settled", &format!("{}: people say different things (tooth history shows them, tooth settle keeps one).", thing.words()));
    }
    if let Some(head) = &imported.head {
        page.item(0, "Record", &head.to_string());
    }
    page.print();
    Ok(Answer::Done)
}

/// The first things by name, and how many more.
fn listed(things: &[Thing]) -> String {
    let names: Vec<String> = things.iter().take(12).map(ToString::to_string).collect();
    let more = match things.len().saturating_sub(12) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    format!("{}: {}{more}", things.len(), names.join(", "))
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
        anstream::eprintln!(
            "warning: the file {hash} is missing or altered in the record and was left out"
        );
    }
    let answer = if exported.missing.is_empty() { Answer::Done } else { Answer::No };
    if arguments.printing.json {
        print_json(&exported)?;
        return Ok(answer);
    }
    let mut page = Page::new();
    page.heading(&exported.name);
    page.paragraph(0, &format!(
        "{} entries and {} files in {}: readable files to look at and edit, record.jsonl and chain.jsonl with every entry, files/ with every file.",
        exported.entries, exported.files, to.display()
    ));
    page.item(0, "Record", &exported.head.to_string());
    page.print();
    Ok(answer)
}
