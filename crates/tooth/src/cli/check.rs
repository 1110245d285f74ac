//! `tooth check`.

use tooth_job::survey::Survey;
use tooth_measure::show::Show as _;
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
    print_warnings(folder.warnings.iter());
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
        print_json(&checked)?;
        return Ok(Answer::Done);
    }
    let mut page = Page::new();
    page.heading(&title(folder));
    let units = survey.facts.units;
    page.paragraph(
        0,
        &format!(
            "Nothing is wrong in this folder. Areas: {}, {} in all{}. On the plan: {}. Readings: {}. Systems: {}. Hours of forecast: {}.",
            checked.zones,
            checked.area_m2.show_both(units),
            checked.extent_m.map_or_else(String::new, |[wide, deep]| format!(
                ", on {} by {}",
                wide.show(units),
                deep.show(units)
            )),
            checked.features,
            checked.readings,
            checked.systems,
            checked.forecast_hours,
        ),
    );
    match checked.warnings.len() {
        0 => page.paragraph(0, "No questions."),
        1 => page.paragraph(0, "One question, above: is it meant so?"),
        more => page.paragraph(0, &format!("{more} questions, above: are they meant so?")),
    }
    page.print();
    Ok(Answer::Done)
}
