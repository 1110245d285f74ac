//! `tooth plan`.

use clap::Args;
use tooth_job::cautions;
use tooth_job::plan::{Plan, Planned, Scope, Stage, Step};
use tooth_measure::UnitSystem;
use tooth_measure::choice::Choice as _;
use tooth_measure::show::Show as _;

use super::{
    Answer, Choices, JobArgument, Outcome, Printing, letter, objective_words, print_json,
    print_schema, print_warnings, title,
};
use crate::app::{App, Worked};
use crate::terminal::Page;

/// Arguments of `plan`.
#[derive(Debug, Args)]
pub(super) struct Arguments {
    #[command(flatten)]
    pub(super) job: JobArgument,
    #[command(flatten)]
    pub(super) choices: Choices,
    #[command(flatten)]
    pub(super) printing: Printing,
}

pub(super) async fn run(app: &App, arguments: &Arguments) -> Outcome {
    if arguments.printing.schema {
        return print_schema::<Plan>();
    }
    let worked = app.work(arguments.job.path(), arguments.choices.settings()).await?;
    print_warnings(worked.folder().warnings.iter());
    if arguments.printing.json {
        print_json(&worked.plan)?;
    } else {
        let mut page = Page::new();
        page.heading(&title(worked.folder()));
        show(&mut page, &worked);
        page.print();
    }
    Ok(answer(&worked))
}

/// No where a zone is not to be bid or has no feasible plan.
pub(super) fn answer(worked: &Worked) -> Answer {
    if worked.assessment.refuses() || worked.plan.incomplete() { Answer::No } else { Answer::Done }
}

fn amount(step: &Step, units: UnitSystem) -> String {
    match (step.length_m, step.area_m2) {
        (Some(length), None) => length.show(units),
        (_, Some(area)) => area.show(units),
        (None, None) => String::new(),
    }
}

pub(super) fn show(page: &mut Page, worked: &Worked) {
    let (folder, plan) = (worked.folder(), &worked.plan);
    let units = folder.survey.facts.units;
    let currency = folder.survey.facts.currency.code();
    for zone in &plan.zones {
        page.blank();
        page.item(0, &letter(folder, &zone.zone), &format!("{}, to {}", zone.name, zone.target));
        if zone.state != Planned::Planned {
            page.item(2, &zone.state.words().to_uppercase(), &zone.reason);
            continue;
        }
        let mut rows = vec![
            ["", "step", "how much", "passes", "crew-hours", "then wait", "step cost"]
                .map(str::to_owned)
                .to_vec(),
        ];
        for (number, step) in zone.steps.iter().enumerate() {
            if step.stage == Stage::AfterSystem
                && number
                    .checked_sub(1)
                    .and_then(|before| zone.steps.get(before))
                    .is_none_or(|before| before.stage != Stage::AfterSystem)
            {
                let blank = || String::new();
                rows.push(vec![
                    blank(),
                    "-- after the system is down --".to_owned(),
                    blank(),
                    blank(),
                    blank(),
                    blank(),
                    blank(),
                ]);
            }
            let mut name = match step.scope {
                Scope::Whole | Scope::Part => format!("{}, {}", step.name, step.scope.words()),
                Scope::Patches | Scope::Lines | Scope::LowSpots => step.name.clone(),
            };
            if let Some(edge) = &step.edging {
                name.push_str(&format!(
                    "; {} of it along walls by {}",
                    edge.area_m2.show(units),
                    edge.name.to_lowercase()
                ));
            }
            rows.push(vec![
                (number + 1).to_string(),
                name,
                amount(step, units),
                step.passes.to_string(),
                step.hours.show_hours(),
                if step.wait_hours.hours() > 0.0 {
                    step.wait_hours.show_hours()
                } else {
                    String::new()
                },
                step.cost.show_whole(currency),
            ]);
        }
        page.table(2, &[true, false, true, true, true, true, true], &rows);
        for layout in &zone.layouts {
            let name = zone.steps.iter().find(|step| step.method == layout.method);
            let part = if layout.scope == Scope::Part { ", where marked" } else { "" };
            page.item(
                2,
                "passes:",
                &format!(
                    "{}{part}: {} lanes and rounds of {}, {} in all, {} turns, {:.0}° to the plan; {} by machine, {} left for edging",
                    name.map_or(layout.method.as_str(), |step| &step.name),
                    layout.runs_m.len(),
                    layout.width_m.show_detail(units),
                    layout.worked_length_m.show(units),
                    layout.turns,
                    layout.direction_degrees.degrees().rem_euclid(180.0),
                    layout.covered_m2.show(units),
                    layout.edging_m2.show(units),
                ),
            );
        }
        for (number, step) in
            zone.steps.iter().enumerate().filter(|(_, step)| !step.holds.is_empty())
        {
            let holds: Vec<&str> = step.holds.iter().map(|hold| hold.words()).collect();
            page.item(2, "HOLD", &format!("before step {}: {}", number + 1, holds.join("; ")));
        }
        for due in &zone.before_system {
            page.item(2, "before the system:", due);
        }
        for assumption in &zone.assumptions {
            page.item(2, "assumed:", assumption);
        }
    }
    page.blank();
    for machine in &plan.machines {
        let letters: Vec<String> = machine.zones.iter().map(|zone| letter(folder, zone)).collect();
        let from = if machine.owned {
            "own".to_owned()
        } else {
            format!("hire, {} to bring and fetch", machine.mobilisation.show_whole(currency))
        };
        page.item(0, "·", &format!("{} for {} ({from})", machine.name, letters.join(", ")));
    }
    page.blank();
    if plan.zones.iter().all(|zone| zone.state != Planned::Planned) {
        page.paragraph(0, "Nothing is planned and nothing is priced.");
        return;
    }
    page.item(
        0,
        "Steps and machines",
        &format!(
            "{}, without trips, {} crew-hours; {}{}",
            plan.total_cost.show_whole(currency),
            plan.total_hours.show_hours(),
            objective_words(plan.objective),
            if plan.optimal { ", proven the best over this catalogue" } else { "" }
        ),
    );
    if plan.lower_bound < plan.total_cost {
        page.item(
            0,
            "Bound",
            &format!(
                "no plan over this catalogue costs less than {}",
                plan.lower_bound.show_whole(currency)
            ),
        );
    }
    if !plan.alternatives.is_empty() {
        page.blank();
        let mut rows = vec![
            ["other ways", "steps and machines", "crew-hours", "of dust", "what it trades"]
                .map(str::to_owned)
                .to_vec(),
        ];
        for other in &plan.alternatives {
            rows.push(vec![
                other.name.clone(),
                other.total_cost.show_whole(currency),
                other.total_hours.show_hours(),
                other.dusty_hours.show_hours(),
                other.trades.clone(),
            ]);
        }
        page.table(0, &[false, true, true, true, false], &rows);
        for other in plan.alternatives.iter().filter(|other| !other.differs.is_empty()) {
            let zones = other.differs.iter().map(|d| format!("{}: {}", d.name, d.instead));
            let zones: Vec<String> = zones.collect();
            page.item(2, "·", &format!("{}: {}", other.name, zones.join("; ")));
        }
    }
    page.blank();
    for caution in cautions::of_plan(&folder.survey, plan) {
        page.item(0, "!", caution.text);
    }
    page.note(0, cautions::DEFER);
}
