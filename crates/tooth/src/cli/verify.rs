//! `tooth verify`.

use std::path::PathBuf;

use clap::Args;
use tooth_record::chain::{PublicKey, TrustedHead};

use super::{Answer, Outcome, Printing, print_json, print_schema};
use crate::app::{App, Trusted};
use crate::output::{JobVerified, Verified};
use crate::terminal::Page;

fn head(text: &str) -> Result<TrustedHead, String> {
    TrustedHead::parse(text)
        .ok_or_else(|| "a head like 12-5f0c… with all its 64 hexadecimal digits".to_owned())
}

fn key(text: &str) -> Result<PublicKey, String> {
    PublicKey::parse(text.trim()).ok_or_else(|| "a key of 64 hexadecimal digits".to_owned())
}

/// Arguments of `verify`.
#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// A job of the record, or a folder that carries its record; without it, everything.
    #[arg(value_name = "JOB")]
    job: Option<PathBuf>,
    /// A head that was kept elsewhere, as a document or receipt shows it; may be repeated.
    #[arg(long, value_name = "HEAD", value_parser = head)]
    head: Vec<TrustedHead>,
    /// A key whose signature is trusted; may be repeated.
    #[arg(long, value_name = "KEY", value_parser = key)]
    key: Vec<PublicKey>,
    #[command(flatten)]
    pub(super) printing: Printing,
}

pub(super) async fn run(app: &App, arguments: &Arguments) -> Outcome {
    if arguments.printing.schema {
        return print_schema::<Verified>();
    }
    let trusted = Trusted { heads: arguments.head.clone(), keys: arguments.key.clone() };
    let verified = app.verify(arguments.job.as_deref(), trusted).await?;
    let answer = if verified.whole { Answer::Done } else { Answer::No };
    if arguments.printing.json {
        print_json(&verified)?;
        return Ok(answer);
    }
    let mut page = Page::new();
    for wrong in &verified.database {
        page.item(0, "X damaged  ", wrong);
    }
    for job in &verified.jobs {
        show(&mut page, job);
    }
    if arguments.job.is_none() {
        for words in &verified.not_proven {
            page.item(0, "? not shown", words);
        }
    }
    if verified.jobs.is_empty() && verified.database.is_empty() {
        page.paragraph(0, "The record holds no job yet.");
    }
    page.print();
    Ok(answer)
}

fn show(page: &mut Page, job: &JobVerified) {
    page.heading(if job.name.is_empty() { "A job without a name" } else { &job.name });
    page.item(0, "Job   ", &job.job.to_string());
    page.item(0, "Head  ", &job.head.to_string());
    if job.is_whole() {
        page.item(
            0,
            "  whole    ",
            &format!(
                "{} entries fit their links, {} signed heads and the files.",
                job.entries, job.heads
            ),
        );
    }
    let first = job.altered.first().map(|altered| altered.place);
    for altered in &job.altered {
        let about = altered.entry.as_ref().map(|entry| format!(" ({entry})")).unwrap_or_default();
        let lead = if Some(altered.place) == first { "X first    " } else { "X also     " };
        page.item(0, lead, &format!("entry {}{about} {}.", altered.place, altered.words));
    }
    for file in &job.files {
        let name = file.name.as_deref().unwrap_or("a file");
        page.item(0, "X file     ", &format!("{name} ({}) {}.", file.hash, file.what));
    }
    for file in &job.edited {
        page.item(0, "  edited   ", &format!("{file}: by hand since; tooth import takes it in."));
    }
    if job.proven_entries > 0 {
        let proven = match job.proven_entries {
            1 => "Entry 1 is".to_owned(),
            last => format!("Entries 1 to {last} are"),
        };
        page.item(0, "  proven   ", &format!("{proven} what the trusted heads or keys say."));
    }
    for head in &job.proven_elsewhere {
        page.item(
            0,
            "  proven   ",
            &format!(
                "The entries up to head {head}, in the order that another installation gave them."
            ),
        );
    }
    for words in &job.not_proven {
        page.item(0, "? not shown", words);
    }
    page.blank();
}
