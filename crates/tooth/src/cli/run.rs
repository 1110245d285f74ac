//! `tooth run` and `tooth report`.

use std::path::PathBuf;
use tooth_measure::say::{Said, said};

use clap::Args;

use super::plan::answer;
use super::{
    Answer, Choices, JobArgument, Outcome, Printing, assess, estimate, plan, print_json,
    print_schema, print_warnings, title,
};
use crate::app::App;
use crate::output::{Again, AgainState, Run};
use crate::terminal::{Page, row};

/// Arguments of `run` and `report`.
#[derive(Debug, Args)]
pub(super) struct Arguments {
    #[command(flatten)]
    job: JobArgument,
    /// Where the documents go.
    #[arg(long, value_name = "FOLDER", default_value = "out")]
    out: PathBuf,
    #[command(flatten)]
    choices: Choices,
    #[command(flatten)]
    pub(super) printing: Printing,
}

pub(super) async fn run(app: &App, arguments: &Arguments) -> Outcome {
    done(app, arguments, true).await
}

/// Arguments of `report`.
#[derive(Debug, Args)]
pub(super) struct ReportArguments {
    #[command(flatten)]
    pub(super) own: Arguments,
    /// Make documents again that were issued from the record: the same bytes. Takes the
    /// number of the issue, else the last.
    #[arg(long, value_name = "NUMBER", num_args = 0..=1)]
    again: Option<Option<u64>>,
}

pub(super) async fn report(app: &App, arguments: &ReportArguments) -> Outcome {
    let Some(number) = arguments.again else {
        return done(app, &arguments.own, false).await;
    };
    let own = &arguments.own;
    if own.printing.schema {
        return print_schema::<Again>();
    }
    let again = app.again(own.job.path(), number, &own.out).await?;
    if own.printing.json {
        print_json(&again, app.words())?;
        return Ok(answer_of(&again));
    }
    let mut page = Page::new(app.words());
    page.heading(said!(
        "cli-issue-of-made-again",
        number = again.number,
        issued_on = &again.issued_on
    ));
    let mut rows = vec![row![said!("column-file"), said!("column-for"), said!("column-how")]];
    for document in &again.documents {
        let how = match document.state {
            AgainState::Remade => said!("cli-made-again-the-same-bytes"),
            AgainState::Kept => said!("cli-the-bytes-kept-when-they-were-issued"),
            AgainState::Differs => said!("cli-the-kept-bytes-made-again-they-come"),
            AgainState::Missing => said!("cli-erased-or-lost"),
        };
        rows.push(row![own.out.join(&document.file).display().to_string(), &document.what, how,]);
    }
    page.table(0, &[false, false, false], &rows);
    if let Some(why) = &again.why_not_remade {
        page.blank();
        page.item(0, said!("cli-not-made-again"), said!("cli-because-2", why = why));
    }
    page.print();
    Ok(answer_of(&again))
}

/// No where a document is lost, or comes out otherwise than it was issued.
fn answer_of(again: &Again) -> Answer {
    let bad = |state| matches!(state, AgainState::Differs | AgainState::Missing);
    if again.documents.iter().any(|document| bad(document.state)) {
        Answer::No
    } else {
        Answer::Done
    }
}

async fn done(app: &App, arguments: &Arguments, everything: bool) -> Outcome {
    if arguments.printing.schema {
        return print_schema::<Run>();
    }
    let (worked, run) =
        app.report(arguments.job.path(), arguments.choices.settings(app), &arguments.out).await?;
    print_warnings(app.words_of(worked.folder()), worked.folder().warnings.iter());
    if arguments.printing.json {
        print_json(&run, app.words_of(worked.folder()))?;
        return Ok(answer(&worked));
    }
    let mut page = Page::new(app.words_of(worked.folder()));
    page.heading(title(worked.folder()));
    if everything {
        assess::show(&mut page, worked.folder(), &worked.assessment);
        page.blank();
        page.heading(said!("cli-plan-of-work"));
        plan::show(&mut page, &worked);
        page.blank();
        page.heading(said!("cli-price"));
        estimate::show(&mut page, &worked, false);
    }
    page.blank();
    page.heading(said!("cli-documents"));
    let mut rows = vec![row![said!("column-file"), said!("column-pages"), said!("column-for")]];
    for document in &run.documents {
        rows.push(row![
            arguments.out.join(&document.file).display().to_string(),
            document.pages.map_or_else(String::new, |pages| pages.to_string()),
            &document.what,
        ]);
    }
    page.table(0, &[false, true, false], &rows);
    if let Some(issued) = &run.issued {
        page.blank();
        let as_before =
            if issued.again { said!("cli-the-same-as-before") } else { Said::nothing() };
        page.item(
            0,
            said!("cli-issue", number = issued.number, as_before = as_before),
            said!("cli-noted-in-the-record-tooth-report-job"),
        );
        page.item(
            0,
            said!("cli-record"),
            said!("cli-key", head = issued.head.to_string(), key = issued.key.to_string()),
        );
    }
    if answer(&worked) == Answer::No {
        page.blank();
        page.item(0, said!("cli-the-answer-is-no"), said!("cli-for-at-least-one-area-see-above"));
    }
    page.print();
    Ok(answer(&worked))
}
