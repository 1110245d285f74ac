//! `tooth assess`.

use tooth_formats::job_folder::JobFolder;
use tooth_job::assessment::{Assessment, Evidence, FindingState, Unknown};
use tooth_measure::choice::Choice as _;
use tooth_measure::show::Show as _;

use super::{Answer, JobOnly, Outcome, letter, print_json, print_schema, print_warnings, title};
use crate::app::App;
use crate::terminal::Page;

pub(super) async fn run(app: &App, arguments: &JobOnly) -> Outcome {
    if arguments.printing.schema {
        return print_schema::<Assessment>();
    }
    let (read, assessment) = app.assess(arguments.job.path()).await?;
    let folder = &read.folder;
    print_warnings(folder.warnings.iter());
    if arguments.printing.json {
        print_json(&assessment)?;
    } else {
        let mut page = Page::new();
        page.heading(&title(folder));
        show(&mut page, folder, &assessment);
        page.print();
    }
    Ok(if assessment.refuses() { Answer::No } else { Answer::Done })
}

/// What settling a question costs and saves, where somebody has reckoned it.
fn gap_worth(gap: &Unknown, currency: &str) -> Option<String> {
    let costs = gap.costs.map(|cost| format!("costs about {}", cost.show_whole(currency)));
    let saves = gap.saves.map(|saved| {
        format!("saves about {} on this job in expectation", saved.show_whole(currency))
    });
    let said: Vec<String> = costs.into_iter().chain(saves).collect();
    (!said.is_empty()).then(|| said.join(", "))
}

fn mark(state: FindingState) -> &'static str {
    match state {
        FindingState::Fine => "  ok      ",
        FindingState::Prepare => "  prepare ",
        FindingState::Hold => "! hold    ",
        FindingState::Decide => "! decide  ",
        FindingState::Repair => "! repair  ",
        FindingState::Engineer => "! engineer",
        FindingState::NotACandidate => "X not one ",
    }
}

pub(super) fn show(page: &mut Page, folder: &JobFolder, assessment: &Assessment) {
    let units = folder.survey.facts.units;
    for zone in &assessment.zones {
        page.blank();
        let system = folder
            .survey
            .systems
            .iter()
            .find(|s| s.id == zone.system)
            .map_or("", |s| s.name.as_str());
        page.item(
            0,
            &letter(folder, &zone.zone),
            &format!("{}, {}, {}", zone.name, system, zone.area_m2.show_both(units)),
        );
        page.item(2, &zone.recommendation.words().to_uppercase(), &zone.because);
        for finding in &zone.findings {
            page.column_item(2, mark(finding.state), 12, &finding.reason);
            if let Some(overruled) = &finding.overruled {
                page.column_item(
                    2,
                    "",
                    12,
                    &format!(
                        "Overruled by {} on {}: {}",
                        overruled.by, overruled.on, overruled.reason
                    ),
                );
            }
            // The kind is plain from the name.
            let name = |named: &Evidence| {
                let said = named.to_string();
                said.split_once(':').map_or(said.clone(), |(_, id)| id.to_owned())
            };
            let evidence: Vec<String> = finding.evidence.iter().map(name).collect();
            let evidence = if evidence.is_empty() {
                String::new()
            } else {
                format!("{} · ", evidence.join(", "))
            };
            page.note(
                14,
                &format!(
                    "{evidence}{} ({})",
                    finding.source.title,
                    finding.source.certainty.words()
                ),
            );
        }
        for gap in &zone.unknown {
            let lead = if gap.decides { "? test    " } else { "? before  " };
            page.column_item(2, lead, 12, &format!("{}: {} (× {})", gap.what, gap.test, gap.count));
            if let Some(worth) = gap_worth(gap, folder.survey.facts.currency.code()) {
                page.note(14, &worth);
            }
        }
    }
}
