//! `tooth plan`.

use clap::Args;
use tooth_job::cautions;
use tooth_job::plan::{Layout, Plan, Planned, Scope, Stage, Step, ZonePlan};
use tooth_job::survey::{ANY_PROFILE, Binding};
use tooth_measure::say::{
    Argument, Joint, Said, decimal, detail, hours, listed, money, names, own, said,
};

use super::{
    Answer, Choices, JobArgument, Outcome, Printing, letter, print_json, print_schema,
    print_warnings, title,
};
use crate::app::{App, Worked};
use crate::terminal::{Page, row};

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
    let worked = app.work(arguments.job.path(), arguments.choices.settings(app)).await?;
    print_warnings(app.words_of(worked.folder()), worked.folder().warnings.iter());
    if arguments.printing.json {
        print_json(&worked.plan, app.words_of(worked.folder()))?;
    } else {
        let mut page = Page::new(app.words_of(worked.folder()));
        page.heading(title(worked.folder()));
        show(&mut page, &worked);
        page.print();
    }
    Ok(answer(&worked))
}

/// No where a zone is not to be bid or has no feasible plan.
pub(super) fn answer(worked: &Worked) -> Answer {
    if worked.assessment.refuses() || worked.plan.incomplete() { Answer::No } else { Answer::Done }
}

fn amount(step: &Step) -> Argument {
    if let Some(count) = step.pieces {
        return said!("pieces", count = count).into();
    }
    match (step.length_m, step.area_m2) {
        (Some(length), None) => own(length),
        (_, Some(area)) => own(area),
        (None, None) => "".into(),
    }
}

pub(super) fn show(page: &mut Page, worked: &Worked) {
    let (folder, plan) = (worked.folder(), &worked.plan);
    for zone in &plan.zones {
        show_zone(page, worked, zone);
    }
    page.blank();
    machines(page, worked);
    page.blank();
    if plan.zones.iter().all(|zone| zone.state != Planned::Planned) {
        page.paragraph(0, said!("cli-nothing-is-planned-and-nothing"));
        return;
    }
    totals(page, worked);
    if !plan.alternatives.is_empty() {
        page.blank();
        other_ways(page, worked);
    }
    page.blank();
    for caution in cautions::of_plan(&folder.survey, plan) {
        page.item(0, "!", caution.text);
    }
    page.note(0, cautions::defer());
}

fn show_zone(page: &mut Page, worked: &Worked, zone: &ZonePlan) {
    page.blank();
    page.item(
        0,
        letter(worked.folder(), &zone.zone),
        match zone.target == ANY_PROFILE {
            true => said!("cli-area-profile-as-it-is", name = &zone.name),
            false => said!("cli-area-to-profile", name = &zone.name, target = zone.target),
        },
    );
    if zone.state != Planned::Planned {
        page.item(2, said!("cli-shout", word = zone.state), &zone.reason);
        return;
    }
    page.table(2, &[true, false, true, true, true, true, true], &step_rows(worked, zone));
    for layout in &zone.layouts {
        page.item(2, said!("cli-passes"), passes(zone, layout));
    }
    for (number, step) in zone.steps.iter().enumerate() {
        let holds = step.signed_first();
        if !holds.is_empty() {
            let holds = listed(Joint::Semicolon, holds);
            page.item(
                2,
                said!("cli-hold"),
                said!("cli-before-step", number = number + 1, holds = holds),
            );
        }
        for term in step.signed() {
            let text = said!("cli-at-step", number = number + 1, term = term);
            page.item(2, said!("cli-signed"), text);
        }
        for (binding, said) in
            [(Binding::DoFirst, said!("cli-do-first")), (Binding::Never, said!("cli-never"))]
        {
            for term in step.terms_of(binding) {
                let text = said!("cli-at-step", number = number + 1, term = term);
                page.item(2, said.clone(), text);
            }
        }
    }
    for due in &zone.before_system {
        page.item(2, said!("cli-before-the-system"), due);
    }
    for assumption in &zone.assumptions {
        page.item(2, said!("cli-assumed"), assumption);
    }
}

fn step_rows(worked: &Worked, zone: &ZonePlan) -> Vec<Vec<Argument>> {
    let currency = worked.folder().survey.facts.currency.code();
    let mut rows = vec![row![
        "",
        said!("column-step"),
        said!("column-how-much"),
        said!("column-passes"),
        said!("column-crew-hours"),
        said!("column-then-wait"),
        said!("column-step-cost")
    ]];
    let mut after = false;
    for (number, step) in zone.steps.iter().enumerate() {
        if step.stage == Stage::AfterSystem && !after {
            after = true;
            rows.push(row!["", said!("cli-after-the-system-is-down"), "", "", "", "", ""]);
        }
        let name = match step.scope {
            Scope::Whole | Scope::Part => {
                said!("step-and-scope", step = &step.name, scope = step.scope)
            }
            Scope::Patches | Scope::Lines | Scope::LowSpots => step.name.clone(),
        };
        let name = match &step.edging {
            Some(edge) => {
                said!("cli-with-edging", step = name, area = own(edge.area_m2), edging = &edge.name)
            }
            None => name,
        };
        let wait = step.wait_hours;
        rows.push(row![
            number + 1,
            name,
            amount(step),
            step.passes,
            hours(step.hours),
            if wait.hours() > 0.0 { hours(wait) } else { "".into() },
            money(step.cost, currency),
        ]);
    }
    rows
}

fn passes(zone: &ZonePlan, layout: &Layout) -> Said {
    let step = zone.steps.iter().find(|step| step.method == layout.method);
    let part =
        if layout.scope == Scope::Part { said!("cli-where-marked") } else { Said::nothing() };
    said!(
        "cli-lanes-and-rounds",
        step = step.map_or_else(|| layout.method.as_str().into(), |step| step.name.clone()),
        part = part,
        count = layout.runs_m.len(),
        width = own(detail(layout.width_m)),
        length = own(layout.worked_length_m),
        turns = layout.turns,
        degrees = decimal(layout.direction_degrees.degrees().rem_euclid(180.0), 0),
        covered = own(layout.covered_m2),
        edging = own(layout.edging_m2)
    )
}

fn machines(page: &mut Page, worked: &Worked) {
    let currency = worked.folder().survey.facts.currency.code();
    for machine in &worked.plan.machines {
        let from = if machine.owned {
            said!("cli-own-machine")
        } else {
            said!("cli-hire-to-bring-and-fetch", amount = money(machine.mobilisation, currency))
        };
        let areas = names(machine.zones.iter().map(|zone| letter(worked.folder(), zone)));
        let told = said!("cli-machine-for", name = &machine.name, areas = areas, from = from);
        page.item(0, "·", told);
    }
}

fn totals(page: &mut Page, worked: &Worked) {
    let plan = &worked.plan;
    let currency = worked.folder().survey.facts.currency.code();
    let proven = if plan.optimal { said!("cli-proven-the-best") } else { Said::nothing() };
    page.item(
        0,
        said!("cli-steps-and-machines"),
        said!(
            "cli-without-trips",
            cost = money(plan.total_cost, currency),
            hours = hours(plan.total_hours),
            objective = plan.objective,
            proven = proven
        ),
    );
    if plan.lower_bound < plan.total_cost {
        let bound = said!("cli-no-plan-costs-less", bound = money(plan.lower_bound, currency));
        page.item(0, said!("cli-bound"), bound);
    }
}

fn other_ways(page: &mut Page, worked: &Worked) {
    let currency = worked.folder().survey.facts.currency.code();
    let others = &worked.plan.alternatives;
    let mut rows = vec![row![
        said!("column-other-ways"),
        said!("column-steps-and-machines"),
        said!("column-crew-hours"),
        said!("column-of-dust"),
        said!("column-what-it-trades")
    ]];
    for other in others {
        rows.push(row![
            &other.name,
            money(other.total_cost, currency),
            hours(other.total_hours),
            hours(other.dusty_hours),
            &other.trades,
        ]);
    }
    page.table(0, &[false, true, true, true, false], &rows);
    for other in others.iter().filter(|other| !other.differs.is_empty()) {
        let zones = other.differs.iter();
        let zones = zones.map(|d| said!("area-does", area = &d.name, instead = &d.instead));
        let zones = listed(Joint::Semicolon, zones);
        page.item(2, "·", said!("cli-way-in-areas", name = &other.name, areas = zones));
    }
}
