//! `tooth accept`.

use tooth_job::acceptance::{Acceptance, Figure, Statistic};
use tooth_measure::say::{decimal, said};

use super::{Answer, JobOnly, Outcome, letter, print_json, print_schema, print_warnings, title};
use crate::app::App;
use crate::terminal::{Page, row};

pub(super) async fn run(app: &App, arguments: &JobOnly) -> Outcome {
    if arguments.printing.schema {
        return print_schema::<Acceptance>();
    }
    let (read, acceptance) = app.accept(arguments.job.path()).await?;
    print_warnings(app.words_of(&read.folder), read.folder.warnings.iter());
    if arguments.printing.json {
        print_json(&acceptance, app.words_of(&read.folder))?;
    } else {
        let mut page = Page::new(app.words_of(&read.folder));
        page.heading(title(&read.folder));
        for verdict in &acceptance.verdicts {
            page.blank();
            let tested = acceptance.zones.iter().any(|test| test.zone == verdict.zone);
            let word = match (verdict.accepted, tested) {
                (true, _) => said!("cli-accepted"),
                (false, true) => said!("cli-not-accepted"),
                (false, false) => said!("cli-no-answer"),
            };
            let zone = letter(&read.folder, &verdict.zone);
            page.item(0, said!("cli-area-and-word", area = zone, word = word), &verdict.because);
            let number = |figure: Option<Figure>| figure.map_or_else(|| "-".into(), Figure::said);
            let mut rows = vec![row![
                said!("column-test"),
                said!("column-results"),
                said!("column-mean"),
                said!("column-deviation"),
                said!("column-rule"),
                said!("column-statistic"),
                said!("column-limit"),
                ""
            ]];
            for test in acceptance.zones.iter().filter(|test| test.zone == verdict.zone) {
                let limit = match (test.limit, test.upper_limit) {
                    (Some(low), Some(high)) => said!(
                        "cli-limits",
                        low = low.on_scale(),
                        high = high.on_scale(),
                        unit = test.unit
                    )
                    .into(),
                    (limit, _) => number(limit),
                };
                let statistic = match test.statistic {
                    None => "-".into(),
                    Some(Statistic::Outside(count)) => said!("cli-outside", count = count).into(),
                    Some(Statistic::Share(share)) => {
                        said!("cli-share", share = decimal(share.ratio() * 100.0, 0)).into()
                    }
                    Some(Statistic::Figure(figure)) => figure.said(),
                };
                let end = match (test.accepted, test.decides) {
                    (true, _) => said!("cli-test-accepted"),
                    (false, true) => said!("cli-test-not"),
                    (false, false) => said!("cli-test-beside"),
                };
                rows.push(row![
                    test.test.said(),
                    said!("cli-count-of-needed", count = test.count, needed = test.needed),
                    number(test.mean),
                    number(test.standard_deviation),
                    test.rule,
                    statistic,
                    limit,
                    end,
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
