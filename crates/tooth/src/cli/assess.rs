//! `tooth assess`.

use tooth_formats::job_folder::JobFolder;
use tooth_job::assessment::{Assessment, Evidence, FindingState, Unknown};
use tooth_measure::choice::Choice as _;
use tooth_measure::say::{Argument, Joint, Said, both, listed, money, said};

use super::{Answer, JobOnly, Outcome, letter, print_json, print_schema, print_warnings, title};
use crate::app::App;
use crate::terminal::Page;
use tooth_words::survey as tell;

pub(super) async fn run(app: &App, arguments: &JobOnly) -> Outcome {
    if arguments.printing.schema {
        return print_schema::<Assessment>();
    }
    let (read, assessment) = app.assess(arguments.job.path()).await?;
    let folder = &read.folder;
    print_warnings(app.words_of(folder), folder.warnings.iter());
    if arguments.printing.json {
        print_json(&assessment, app.words_of(folder))?;
    } else {
        let mut page = Page::new(app.words_of(folder));
        page.heading(title(folder));
        show(&mut page, folder, &assessment);
        page.print();
    }
    Ok(if assessment.refuses() { Answer::No } else { Answer::Done })
}

/// What settling a question costs and saves, where somebody has reckoned it.
fn gap_worth(gap: &Unknown, currency: &str) -> Option<Argument> {
    let costs = gap.costs.map(|cost| said!("cli-costs-about", amount = money(cost, currency)));
    let saves = gap.saves.map(|saved| said!("cli-saves-about", amount = money(saved, currency)));
    let said: Vec<Said> = costs.into_iter().chain(saves).collect();
    (!said.is_empty()).then(|| listed(Joint::Comma, said))
}

/// The mark and word that stand before a finding.
fn mark(state: FindingState) -> Said {
    Said::listed("FindingMark", state.key())
}

pub(super) fn show(page: &mut Page, folder: &JobFolder, assessment: &Assessment) {
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
            letter(folder, &zone.zone),
            said!("cli-area", name = &zone.name, system = system, area = both(zone.area_m2)),
        );
        page.item(2, said!("cli-shout", word = zone.recommendation), &zone.because);
        for finding in &zone.findings {
            page.column_item(2, mark(finding.state), 12, &finding.reason);
            if let Some(overruled) = &finding.overruled {
                page.column_item(2, "", 12, tell::overruled(overruled));
            }
            // The kind is plain from the name.
            let name = |named: &Evidence| {
                let said = named.to_string();
                said.split_once(':').map_or(said.clone(), |(_, id)| id.to_owned())
            };
            let source = said!(
                "cli-source",
                title = finding.source.title(),
                certainty = finding.source.certainty
            );
            let source = if finding.evidence.is_empty() {
                source
            } else {
                let evidence = listed(Joint::Comma, finding.evidence.iter().map(name));
                said!("cli-evidence-and-source", evidence = evidence, source = source)
            };
            page.note(14, source);
        }
        for gap in &zone.unknown {
            let lead =
                if gap.decides { said!("cli-test-decides") } else { said!("cli-test-before") };
            let what = match gap.count {
                0 => said!("cli-gap-of-the-lot", what = &gap.what, test = &gap.test),
                count => said!("cli-gap", what = &gap.what, test = &gap.test, count = count),
            };
            page.column_item(2, lead, 12, what);
            if let Some(worth) = gap_worth(gap, folder.survey.facts.currency.code()) {
                page.note(14, worth);
            }
        }
    }
}
