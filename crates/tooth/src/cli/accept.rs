//! `tooth accept`.

use tooth_job::acceptance::{Acceptance, Figure, Statistic};
use tooth_measure::choice::Choice as _;

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
            let tested = acceptance.zones.iter().any(|test| test.zone == verdict.zone);
            let word = match (verdict.accepted, tested) {
                (true, _) => "ACCEPTED",
                (false, true) => "NOT ACCEPTED",
                (false, false) => "NO ANSWER",
            };
            let zone = letter(&read.folder, &verdict.zone);
            page.item(0, &format!("{zone} {word}"), &verdict.because);
            let units = read.folder.survey.facts.units;
            let none = || "-".to_owned();
            let number =
                |figure: Option<Figure>| figure.map_or_else(none, |figure| figure.show(units));
            let mut rows = vec![
                ["test", "results", "mean", "deviation", "rule", "statistic", "limit", ""]
                    .map(str::to_owned)
                    .to_vec(),
            ];
            for test in acceptance.zones.iter().filter(|test| test.zone == verdict.zone) {
                let limit = match (test.limit, test.upper_limit) {
                    (Some(low), Some(high)) => {
                        format!("{} to {} {}", low.on_scale(), high.on_scale(), test.unit.words())
                    }
                    (limit, _) => number(limit),
                };
                rows.push(vec![
                    test.test.words().to_owned(),
                    format!("{}, {} asked for", test.count, test.needed),
                    number(test.mean),
                    number(test.standard_deviation),
                    test.rule.words().to_owned(),
                    match test.statistic {
                        None => none(),
                        Some(Statistic::Outside(count)) => format!("{count} outside"),
                        Some(Statistic::Share(share)) => format!("{:.0} %", share.ratio() * 100.0),
                        Some(Statistic::Figure(figure)) => figure.show(units),
                    },
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
