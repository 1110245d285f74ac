//! `tooth accept`.

use tooth_job::acceptance::{Acceptance, AcceptanceRule, test_words};
use tooth_measure::choice::Choice as _;

use tooth_measure::show::Show as _;
use tooth_measure::{MoistureEmission, Stress};

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
            let in_units = |value: f64, unit: &str| match unit {
                "MPa" => Stress::from_megapascals(value).show(units),
                "g/(m²·d)" => {
                    MoistureEmission::from_grams_per_square_metre_day(value).show(units)
                }
                unit => format!("{value:.2} {unit}"),
            };
            let number = |value: Option<f64>, unit: &str| {
                value.map_or_else(|| "-".to_owned(), |value| in_units(value, unit))
            };
            let mut rows = vec![
                ["test", "results", "mean", "deviation", "rule", "statistic", "limit", ""]
                    .map(str::to_owned)
                    .to_vec(),
            ];
            for test in acceptance.zones.iter().filter(|test| test.zone == verdict.zone) {
                let limit = match (test.limit, test.upper_limit) {
                    (Some(low), Some(high)) => format!("{low} to {high} {}", test.unit),
                    (limit, _) => number(limit, test.unit),
                };
                rows.push(vec![
                    test_words(test.test).to_owned(),
                    format!("{}, {} asked for", test.count, test.needed),
                    number(test.mean, test.unit),
                    number(test.standard_deviation, test.unit),
                    test.rule.words().to_owned(),
                    match test.rule {
                        AcceptanceRule::EveryResult => test.statistic.map_or_else(
                            || "-".to_owned(),
                            |outside| format!("{outside:.0} outside"),
                        ),
                        AcceptanceRule::PercentWithin | AcceptanceRule::ChanceInRange => {
                            test.statistic.map_or_else(
                                || "-".to_owned(),
                                |share| format!("{:.0} %", share * 100.0),
                            )
                        }
                        AcceptanceRule::MeanAndLeast | AcceptanceRule::ToleranceFactor => {
                            number(test.statistic, test.unit)
                        }
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
