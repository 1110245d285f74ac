//! `tooth check`.

use tooth_job::survey::Survey;
use tooth_measure::say::{Said, both, own, said};
use tooth_measure::{Length, Region};

use super::{Answer, JobOnly, Outcome, print_json, print_schema, print_warnings, title};
use crate::app::App;
use crate::output::{Checked, FaultOut};
use crate::terminal::Page;

/// Width and depth of all areas together.
fn extent(survey: &Survey) -> Option<[Length; 2]> {
    let outlines: Vec<Region> = survey.zones.iter().map(|zone| zone.outline.region()).collect();
    let (low, high) = Region::union_of(&outlines).bounds()?;
    Some([high.x - low.x, high.y - low.y])
}

pub(super) async fn run(app: &App, arguments: &JobOnly) -> Outcome {
    if arguments.printing.schema {
        return print_schema::<Checked>();
    }
    let read = app.check(arguments.job.path()).await?;
    let folder = &read.folder;
    let survey = &folder.survey;
    print_warnings(app.words_of(folder), folder.warnings.iter());
    let checked = Checked {
        job: survey.facts.name.clone(),
        zones: survey.zones.len() as u32,
        features: survey.features.len() as u32,
        readings: survey.readings.len() as u32,
        systems: survey.systems.len() as u32,
        forecast_hours: survey.forecast.len() as u32,
        warnings: folder.warnings.iter().map(FaultOut::from).collect(),
        area_m2: survey.zones.iter().map(|zone| zone.outline.area()).sum(),
        extent_m: extent(survey),
    };
    if arguments.printing.json {
        print_json(&checked, app.words_of(folder))?;
        return Ok(Answer::Done);
    }
    let mut page = Page::new(app.words_of(folder));
    page.heading(title(folder));
    let extent = match checked.extent_m {
        Some([wide, deep]) => said!("cli-on-by", wide = own(wide), deep = own(deep)),
        None => Said::nothing(),
    };
    page.paragraph(
        0,
        said!(
            "cli-folder-is-sound",
            areas = checked.zones,
            area = both(checked.area_m2),
            extent = extent,
            features = checked.features,
            readings = checked.readings,
            systems = checked.systems,
            forecast = checked.forecast_hours
        ),
    );
    page.paragraph(
        0,
        match checked.warnings.len() {
            0 => said!("cli-no-questions"),
            count => said!("cli-questions-above", count = count),
        },
    );
    page.print();
    Ok(Answer::Done)
}
