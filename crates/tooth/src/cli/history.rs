//! `tooth jobs` and `tooth history`.

use clap::Args;
use tooth_measure::say::{Said, said};
use tooth_record::{Fact, Thing, Value};

use super::{Answer, JobArgument, Outcome, Printing, print_json, print_schema};
use crate::app::App;
use crate::output::{History, HistoryEntry, Jobs};
use crate::terminal::{Page, row};

/// A thing as typed.
pub(super) fn thing(text: &str) -> Result<Thing, String> {
    Thing::parse(text)
        .ok_or_else(|| "a thing like reading/R001, feature/C1, job or plan".to_owned())
}

/// Arguments of `jobs`.
#[derive(Debug, Args)]
pub(super) struct JobsArguments {
    #[command(flatten)]
    pub(super) printing: Printing,
}

pub(super) async fn jobs(app: &App, arguments: &JobsArguments) -> Outcome {
    if arguments.printing.schema {
        return print_schema::<Jobs>();
    }
    let jobs = Jobs { jobs: app.jobs().await? };
    if arguments.printing.json {
        print_json(&jobs, app.words())?;
        return Ok(Answer::Done);
    }
    let mut page = Page::new(app.words());
    page.heading(said!("cli-jobs-of-the-record"));
    if jobs.jobs.is_empty() {
        page.paragraph(0, said!("cli-none-yet-tooth-import-folder-brings"));
    }
    let mut rows = vec![row![
        said!("column-job"),
        said!("column-id"),
        said!("column-entries"),
        said!("column-newest"),
        said!("column-issued"),
        said!("column-not-settled")
    ]];
    for job in &jobs.jobs {
        rows.push(row![
            &job.name,
            job.job.to_string(),
            job.entries,
            job.newest
                .map_or_else(String::new, |time| time.strftime("%Y-%m-%d %H:%MZ").to_string()),
            job.issues,
            job.clashes,
        ]);
    }
    if rows.len() > 1 {
        page.table(0, &[false, false, true, false, true, true], &rows);
    }
    page.print();
    Ok(Answer::Done)
}

/// Arguments of `history`.
#[derive(Debug, Args)]
pub(super) struct Arguments {
    #[command(flatten)]
    job: JobArgument,
    /// The thing, like reading/R001; without it, every entry.
    #[arg(value_name = "THING", value_parser = thing)]
    thing: Option<Thing>,
    #[command(flatten)]
    pub(super) printing: Printing,
}

pub(super) async fn run(app: &App, arguments: &Arguments) -> Outcome {
    if arguments.printing.schema {
        return print_schema::<History>();
    }
    let history = app.history(arguments.job.path(), arguments.thing.as_ref()).await?;
    if arguments.printing.json {
        print_json(&history, app.words())?;
        return Ok(Answer::Done);
    }
    let mut page = Page::new(app.words());
    page.heading(&history.name);
    for entry in &history.entries {
        show(&mut page, entry);
    }
    for thing in &history.clashes {
        page.blank();
        page.item(
            0,
            said!("cli-not-settled"),
            said!("cli-people-say-different-things", thing = thing.said()),
        );
    }
    page.blank();
    page.item(0, said!("cli-record"), history.head.to_string());
    page.print();
    Ok(Answer::Done)
}

fn show(page: &mut Page, entry: &HistoryEntry) {
    let said = &entry.entry;
    let what = said.fact.thing().map_or_else(String::new, |thing| thing.to_string());
    let author = match &said.author {
        Some(name) => name.as_str().into(),
        None => said!("cli-nobody-named"),
    };
    let time = said.device_time.unwrap_or(entry.received).strftime("%Y-%m-%d %H:%MZ");
    let mark = if entry.counts { " " } else { "-" };
    let lead = format!("{mark}{:>5}", entry.place);
    page.item(
        0,
        lead,
        said!(
            "cli-entry-line",
            time = time.to_string(),
            fact = said.fact.said(),
            what = what,
            author = author,
            device = said.device.to_string()
        ),
    );
    let value = match &said.fact {
        Fact::Stated { value, .. } | Fact::Corrected { value, .. } => {
            Said::Given(value_words(value))
        }
        Fact::Attached { hash, bytes, .. } => {
            said!("cli-bytes", bytes = *bytes, hash = hash.to_string())
        }
        Fact::Erased { hash, .. } => Said::Given(hash.to_string()),
        Fact::Issued(issue) => said!(
            "cli-documents-of-version-seed-from-entries",
            count = issue.documents.len(),
            issued_on = issue.issued_on.to_string(),
            version = issue.version.to_string(),
            seed = issue.seed,
            entries = issue.entries
        ),
        Fact::Withdrawn { .. } => Said::nothing(),
    };
    if !value.is_nothing() {
        page.note(8, value);
    }
    if let Some(reason) = said.fact.reason() {
        page.note(8, said!("cli-because", reason = reason.to_string()));
    }
}

/// A value on one line, its field names left in.
fn value_words(value: &Value) -> String {
    let text = match value {
        Value::Object(fields) => {
            let said = fields.iter().map(|(key, value)| match value {
                Value::String(text) => format!("{key} {text}"),
                other => format!("{key} {other}"),
            });
            said.collect::<Vec<_>>().join(" · ")
        }
        other => other.to_string(),
    };
    match text.char_indices().nth(300) {
        Some((at, _)) => format!("{} …", text.get(..at).unwrap_or_default()),
        None => text,
    }
}
