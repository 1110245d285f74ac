//! `tooth accept`.

use tooth_job::acceptance::{Acceptance, test_words};
use tooth_job::choice::Choice as _;

use super::{Answer, JobOnly, Outcome, letter, print_json, print_schema, print_warnings, title};
use crate::app::App;
use crate::terminal::Page;

pub(super) async fn run(app: &App, arguments: &JobOnly) -> Outcome {
    if arguments.printing.schema {
        return print_schema::<Acceptance>();
    }
    let (read, acceptance) = app.accept(arguments.job.path()).await?;
    print_warnings(read.folder.warnings.iter());
    if arguments.printing.json {
        print_json(&acceptance)?;
    } else {
        let mut page = Page::new();
        page.heading(&title(&read.folder));
        for verdict in &acceptance.verdicts {
            page.blank();
            let word = if verdict.accepted { "ACCEPTED" } else { "NOT ACCEPTED" };
            let zone = letter(&read.folder, &verdict.zone);
            page.item(0, &format!("{zone} {word}"), &verdict.because);
            let number = |value: Option<f64>| {
                value.map_or_else(|| "-".to_owned(), |value| format!("{value:.2}"))
            };
            let mut rows = vec![
                ["test", "results", "mean", "deviation", "rule", "statistic", "limit", ""]
                    .map(str::to_owned)
                    .to_vec(),
            ];
            for test in acceptance.zones.iter().filter(|test| test.zone == verdict.zone) {
                let limit = match (test.limit, test.upper_limit) {
                    (Some(low), Some(high)) => format!("{low} to {high} {}", test.unit),
                    (limit, _) => format!("{} {}", number(limit), test.unit),
                };
                rows.push(vec![
                    test_words(test.test).to_owned(),
                    format!("{} of {}", test.count, test.needed),
                    number(test.mean),
                    number(test.standard_deviation),
                    test.rule.words().to_owned(),
                    number(test.statistic),
                    limit,
                    match (test.accepted, test.decides) {
                        (true, _) => "accepted".to_owned(),
                        (false, true) => "NOT".to_owned(),
                        (false, false) => "beside".to_owned(),
                    },
                ]);
            }
            if rows.len() > 1 {
                page.table(2, &[false, true, true, true, false, true, true, false], &rows);
            }
        }
        page.print();
    }
    Ok(if acceptance.refuses() { Answer::No } else { Answer::Done })
}
