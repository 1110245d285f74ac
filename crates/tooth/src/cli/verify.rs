//! `tooth verify`.

use std::path::PathBuf;
use tooth_measure::say::{Said, said};

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
        print_json(&verified, app.words())?;
        return Ok(answer);
    }
    let mut page = Page::new(app.words());
    for wrong in &verified.database {
        page.column_item(0, said!("cli-x-damaged"), 12, wrong);
    }
    for job in &verified.jobs {
        show(&mut page, job);
    }
    if arguments.job.is_none() {
        for words in &verified.not_proven {
            page.column_item(0, said!("cli-not-shown"), 12, words);
        }
    }
    if verified.jobs.is_empty() && verified.database.is_empty() {
        page.paragraph(0, said!("cli-the-record-holds-no-job-yet"));
    }
    page.print();
    Ok(answer)
}

fn show(page: &mut Page, job: &JobVerified) {
    page.heading(if job.name.is_empty() {
        said!("cli-a-job-without-a-name")
    } else {
        job.name.as_str().into()
    });
    page.column_item(0, said!("cli-job"), 7, job.job.to_string());
    page.column_item(0, said!("cli-head"), 7, job.head.to_string());
    if job.is_whole() {
        page.column_item(
            0,
            said!("cli-whole"),
            12,
            said!(
                "cli-entries-fit-their-links-signed-heads",
                entries = job.entries,
                heads = job.heads
            ),
        );
    }
    let first = job.altered.first().map(|altered| altered.place);
    for altered in &job.altered {
        let about = match &altered.entry {
            Some(entry) => said!("cli-about-entry", entry = entry),
            None => Said::nothing(),
        };
        let lead =
            if Some(altered.place) == first { said!("cli-x-first") } else { said!("cli-x-also") };
        page.column_item(
            0,
            lead,
            12,
            said!("cli-entry", place = altered.place, about = about, what = &altered.words),
        );
    }
    for file in &job.files {
        let name = match file.name.as_deref() {
            Some(name) => name.into(),
            None => said!("a-file"),
        };
        let hash = file.hash.to_string();
        let what = said!("cli-file-is", name = name, hash = hash, what = &file.what);
        page.column_item(0, said!("cli-x-file"), 12, what);
    }
    for file in &job.edited {
        page.column_item(
            0,
            said!("cli-edited"),
            12,
            said!("cli-by-hand-since-tooth-import-takes", file = file),
        );
    }
    if job.proven_entries > 0 {
        let proven = said!("cli-entries-proven", last = job.proven_entries);
        page.column_item(0, said!("cli-proven"), 12, proven);
    }
    for head in &job.proven_elsewhere {
        page.column_item(
            0,
            said!("cli-proven"),
            12,
            said!("cli-the-entries-up-to-head", head = head.to_string()),
        );
    }
    for words in &job.not_proven {
        page.column_item(0, said!("cli-not-shown"), 12, words);
    }
    page.blank();
}
