//! `tooth check`.

use super::{Answer, JobOnly, Outcome, print_json, print_schema, print_warnings, title};
use crate::app::App;
use crate::output::{Checked, FaultOut};
use crate::terminal::Page;

pub(super) async fn run(app: &App, arguments: &JobOnly) -> Outcome {
    if arguments.printing.schema {
        return print_schema::<Checked>();
    }
    let read = app.check(arguments.job.path()).await?;
    let folder = &read.folder;
    let survey = &folder.survey;
    print_warnings(folder.warnings.iter());
    let checked = Checked {
        job: survey.facts.name.clone(),
        zones: survey.zones.len() as u32,
        features: survey.features.len() as u32,
        readings: survey.readings.len() as u32,
        systems: survey.systems.len() as u32,
        forecast_hours: survey.forecast.len() as u32,
        warnings: folder.warnings.iter().map(FaultOut::from).collect(),
    };
    if arguments.printing.json {
        print_json(&checked)?;
        return Ok(Answer::Done);
    }
    let mut page = Page::new();
    page.heading(&title(folder));
    page.paragraph(0, &format!(
        "Sound. Areas: {}. On the plan: {}. Readings: {}. Systems: {}. Hours of forecast: {}. Warnings: {}.",
            checked.zones,
            checked.features,
            checked.readings,
            checked.systems,
            checked.forecast_hours,
            checked.warnings.len()
    ));
    page.print();
    Ok(Answer::Done)
}
