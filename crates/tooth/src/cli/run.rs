//! `tooth run` and `tooth report`.

use std::path::PathBuf;

use clap::Args;

use super::plan::answer;
use super::{
    Answer, Choices, JobArgument, Outcome, Printing, assess, estimate, plan, print_json,
    print_schema, print_warnings, title,
};
use crate::app::App;
use crate::output::Run;
use crate::terminal::Page;

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

pub(super) fn run(app: App, arguments: &Arguments) -> Outcome {
    done(app, arguments, true)
}

pub(super) fn report(app: App, arguments: &Arguments) -> Outcome {
    done(app, arguments, false)
}

fn done(app: App, arguments: &Arguments, everything: bool) -> Outcome {
    if arguments.printing.schema {
        return print_schema::<Run>();
    }
    let (worked, run) =
        app.report(arguments.job.path(), arguments.choices.settings(), &arguments.out)?;
    print_warnings(worked.folder.warnings.iter());
    if arguments.printing.json {
        print_json(&run)?;
        return Ok(answer(&worked));
    }
    let mut page = Page::new();
    page.heading(&title(&worked.folder));
    if everything {
        assess::show(&mut page, &worked.folder, &worked.assessment);
        page.blank();
        page.heading("Plan of work");
        plan::show(&mut page, &worked);
        page.blank();
        page.heading("Price");
        estimate::show(&mut page, &worked, false);
    }
    page.blank();
    page.heading("Documents");
    let mut rows = vec![["file", "pages", "for"].map(str::to_owned).to_vec()];
    for document in &run.documents {
        rows.push(vec![
            arguments.out.join(&document.file).display().to_string(),
            document.pages.map_or_else(String::new, |pages| pages.to_string()),
            document.what.clone(),
        ]);
    }
    page.table(0, &[false, true, false], &rows);
    if answer(&worked) == Answer::No {
        page.blank();
        page.item(0, "The answer is no", "for at least one area: see above which and why.");
    }
    page.print();
    Ok(answer(&worked))
}
