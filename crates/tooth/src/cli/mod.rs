//! The command line: a file per verb, exit codes, and where messages go.
//!
//! Results go to standard output (one JSON document under `--json`), messages to
//! standard error. Exit 0 done; 1 the answer is no; 2 bad input; 3 our fault.

mod accept;
mod ambient;
mod assess;
mod carry;
mod change;
mod check;
mod colour;
mod estimate;
mod history;
mod plan;
mod quick;
mod run;
mod serve;
mod slab;
mod sounding;
mod texture;
mod verify;

use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;

use clap::{Args, Parser, Subcommand, ValueEnum};
use jiff::civil::Date;
use schemars::{JsonSchema, schema_for};
use serde::Serialize;
use tooth_formats::job_folder::JobFolder;
use tooth_formats::{COMMAND_LINE, Fault, Severity, limits};
use tooth_job::estimate::DRAWS;
use tooth_job::plan::Objective;
use tooth_job::stream::Asked;
use tooth_job::survey::ZoneId;
use tooth_measure::chance::Seed;
use tooth_measure::choice::Choice as _;
use tooth_measure::say::{Language, Said, said};
use tooth_measure::{Money, UnitSystem};
use tooth_words::Words;

use crate::app::{App, Refusal, Settings};
use crate::output::{Errors, FaultOut};

/// From the survey of a concrete slab to recommendation, plan, price and documents.
#[derive(Debug, Parser)]
#[command(name = "tooth", version, max_term_width = 100)]
struct Cli {
    /// The folder of the record: database, files and key
    /// (default: `tooth` in the user's folder for data).
    #[arg(long, global = true, env = "TOOTH_DATA", value_name = "FOLDER")]
    data: Option<PathBuf>,
    /// The language of what is printed and of documents: en or es (else the job's own).
    #[arg(long, global = true, value_name = "LANGUAGE", value_parser = language)]
    language: Option<Language>,
    #[command(subcommand)]
    verb: Verb,
}

#[derive(Debug, Subcommand)]
enum Verb {
    /// A number beside the customer: size, what it is now, what it shall be; low, likely, high.
    #[command(visible_alias = "ballpark")]
    Quick(quick::Arguments),
    /// Begin a job folder from the same few words; its files explain each field.
    New(quick::NewArguments),
    /// Everything in order: check, assess, plan, quantities, estimate, documents into --out.
    Run(run::Arguments),
    /// Is the job folder sound? Every fault with file, line and field.
    Check(JobOnly),
    /// Recommendation, findings and unknowns of each area.
    Assess(JobOnly),
    /// The cheapest sufficient preparation steps, proven optimal.
    Plan(plan::Arguments),
    /// Price and hours with their uncertainty, and the lines of cost.
    Estimate(estimate::Arguments),
    /// Whether prepared areas are what their systems ask for, test by test.
    Accept(JobOnly),
    /// The documents of a job into --out; with --again those issued before, the same bytes.
    Report(run::ReportArguments),
    /// Which taps of a recording are hollow, and how much of the slab is loose.
    Sounding(sounding::Arguments),
    /// The texture of a scanned surface, and its profile level on your own comparator chips.
    Texture(texture::Arguments),
    /// Colours on the slab, from a picture with the printed grey card beside them; against
    /// those of the sample panel.
    Colour(colour::Arguments),
    /// Write the grey card to print, as a PDF.
    Card(colour::CardArguments),
    /// Dew point, margin above it, evaporation.
    Ambient(ambient::Arguments),
    /// Bring a job folder into the record; what was edited by hand comes in as corrections.
    Import(carry::ImportArguments),
    /// Write a job of the record as a folder that carries everything.
    Export(carry::ExportArguments),
    /// Was anything altered or lost? The whole record, one job, or an exported folder.
    Verify(verify::Arguments),
    /// The jobs of the record.
    Jobs(history::JobsArguments),
    /// Every entry of a job, or of one thing in it: who said what, when, and what counts.
    History(history::Arguments),
    /// Settle what people said differently: keep one version.
    Settle(change::SettleArguments),
    /// Withdraw a thing: it stays in the record and no longer counts.
    Withdraw(change::WithdrawArguments),
    /// Destroy the bytes of a withdrawn private file; its hash and the reason stay.
    Erase(change::EraseArguments),
    /// Show the jobs of the record in a browser on this machine.
    Serve(serve::Arguments),
}

fn language(text: &str) -> Result<Language, String> {
    Language::from_tag(text).ok_or_else(|| format!("one of {}", Language::key_list()))
}

/// How the result is printed.
#[derive(Debug, Clone, Copy, Args)]
struct Printing {
    /// Print one JSON document (SI) on standard output.
    #[arg(long)]
    json: bool,
    /// Print the schema of the JSON document instead of doing anything.
    #[arg(long)]
    schema: bool,
}

/// The job.
#[derive(Debug, Args)]
struct JobArgument {
    /// A job folder, or a job of the record: its name, its id or the beginning of it.
    #[arg(value_name = "JOB", required_unless_present = "schema")]
    folder: Option<PathBuf>,
}

impl JobArgument {
    /// Its path; clap makes sure that one was given.
    fn path(&self) -> &Path {
        self.folder.as_deref().unwrap_or_else(|| Path::new(""))
    }
}

/// A verb that needs the job folder only.
#[derive(Debug, Args)]
struct JobOnly {
    #[command(flatten)]
    job: JobArgument,
    #[command(flatten)]
    printing: Printing,
}

/// What a plan and an estimate may be told.
#[derive(Debug, Clone, Copy, Args)]
struct Choices {
    /// What the plan makes least.
    #[arg(long, value_enum, default_value_t = ObjectiveArgument::Cheapest)]
    objective: ObjectiveArgument,
    /// The seed of all chance.
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// The date on documents, like 2026-09-14 (else the newest reading's).
    #[arg(long, value_name = "DATE")]
    issued_on: Option<Date>,
    /// Draws of the price.
    #[arg(long, default_value_t = DRAWS, value_parser = clap::value_parser!(u32).range(256..=4_000_000))]
    draws: u32,
    /// A price offered, in the job's currency: how likely it ends in a loss.
    #[arg(long, value_name = "AMOUNT")]
    bid: Option<f64>,
    /// Plan with the machines that the firm owns, and hire none.
    #[arg(long)]
    own_machines: bool,
    /// The language of the crew's cards: en or es (else the job's own).
    #[arg(long, value_name = "LANGUAGE", value_parser = language)]
    crew_language: Option<Language>,
}

impl Choices {
    fn settings(self, app: &App) -> Settings {
        Settings {
            language: app.language(),
            crew_language: self.crew_language,
            asked: Asked {
                objective: self.objective.into(),
                seed: Seed(self.seed),
                draws: self.draws,
                bid: self.bid.map(Money::new),
                own_machines: self.own_machines,
            },
            issued_on: self.issued_on,
        }
    }
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum ObjectiveArgument {
    /// Least direct cost.
    Cheapest,
    /// Least crew-hours.
    Fastest,
    /// Least hours of dusty work.
    LeastDust,
    /// Cost, time and dust together, weighed as the job says.
    Balanced,
}

impl From<ObjectiveArgument> for Objective {
    fn from(argument: ObjectiveArgument) -> Self {
        match argument {
            ObjectiveArgument::Cheapest => Self::Cheapest,
            ObjectiveArgument::Fastest => Self::Fastest,
            ObjectiveArgument::LeastDust => Self::LeastDust,
            ObjectiveArgument::Balanced => Self::Balanced,
        }
    }
}

/// How a verb ended, when it gave an answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Answer {
    Done,
    No,
}

type Outcome = Result<Answer, Refusal>;

pub(crate) fn main() -> ExitCode {
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(error) => return refused_command_line(&error),
    };
    let json = cli.verb.json();
    let app = Arc::new(App::new(cli.data.clone().unwrap_or_else(usual_data), cli.language));
    let runtime = match runtime() {
        Ok(runtime) => runtime,
        Err(error) => {
            let said = said!("no-threads-to-work-with", error = error.to_string());
            anstream::eprintln!("tooth: {}", app.words().say(&said));
            return ExitCode::from(3);
        }
    };
    let outcome = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| {
        runtime.block_on(async {
            let outcome = cli.verb.answer(&app).await;
            app.close().await;
            outcome
        })
    }));
    match outcome {
        Ok(Ok(Answer::Done)) => ExitCode::SUCCESS,
        Ok(Ok(Answer::No)) => ExitCode::from(1),
        Ok(Err(Refusal::Typed(fault))) => {
            print_faults(app.words(), &[*fault], json);
            ExitCode::from(2)
        }
        Ok(Err(Refusal::Input(faults))) => {
            print_faults(app.words(), &faults, json);
            ExitCode::from(2)
        }
        Ok(Err(Refusal::Ours(message))) => {
            anstream::eprintln!("tooth: {}", app.words().say(&message));
            ExitCode::from(3)
        }
        Err(_) => {
            let said = said!("cli-fault-of-the-program");
            anstream::eprintln!("tooth: {}", app.words().say(&said));
            ExitCode::from(3)
        }
    }
}

/// Computing takes the blocking threads, as many as there are processors.
fn runtime() -> std::io::Result<tokio::runtime::Runtime> {
    let processors = std::thread::available_parallelism().map_or(1, usize::from);
    tokio::runtime::Builder::new_multi_thread()
        .worker_threads(1)
        // Pages and files are read beside the jobs that are worked out.
        .max_blocking_threads(processors.max(2) + 6)
        .enable_all()
        .build()
}

/// Where the record lies when nobody says otherwise: the user's folder for data.
fn usual_data() -> PathBuf {
    let folder =
        |name: &str| std::env::var_os(name).filter(|value| !value.is_empty()).map(PathBuf::from);
    folder("XDG_DATA_HOME")
        .or_else(|| folder("LOCALAPPDATA"))
        .or_else(|| folder("HOME").map(|home| home.join(".local/share")))
        .unwrap_or_default()
        .join("tooth")
}

/// Help and version end with 0; a bad command line with 2, as bad input does, and with
/// the document that `--json` promises.
fn refused_command_line(error: &clap::Error) -> ExitCode {
    if !error.use_stderr() {
        return if error.print().is_ok() { ExitCode::SUCCESS } else { ExitCode::from(3) };
    }
    if std::env::args().any(|argument| argument == "--json") {
        let text = error.to_string();
        let found = text.lines().next().unwrap_or_default().trim_start_matches("error: ");
        let errors = Errors {
            errors: vec![FaultOut {
                file: COMMAND_LINE.to_owned(),
                line: None,
                field: String::new(),
                expected: said!("cli-a-command-line"),
                found: found.into(),
            }],
        };
        let words = Words::new(Language::English, UnitSystem::UsCustomary);
        if let Err(Refusal::Ours(message)) = print_json(&errors, words) {
            anstream::eprintln!("tooth: {}", words.say(&message));
        }
    }
    anstream::eprint!("{}", error.render().ansi());
    ExitCode::from(2)
}

impl Verb {
    async fn answer(&self, app: &Arc<App>) -> Outcome {
        match self {
            Self::Quick(arguments) => quick::run(app, arguments).await,
            Self::New(arguments) => quick::begin(app, arguments).await,
            Self::Run(arguments) => run::run(app, arguments).await,
            Self::Check(arguments) => check::run(app, arguments).await,
            Self::Assess(arguments) => assess::run(app, arguments).await,
            Self::Plan(arguments) => plan::run(app, arguments).await,
            Self::Estimate(arguments) => estimate::run(app, arguments).await,
            Self::Accept(arguments) => accept::run(app, arguments).await,
            Self::Report(arguments) => run::report(app, arguments).await,
            Self::Sounding(arguments) => sounding::run(app, arguments).await,
            Self::Texture(arguments) => texture::run(app, arguments).await,
            Self::Colour(arguments) => colour::run(app, arguments).await,
            Self::Card(arguments) => colour::card(app, arguments).await,
            Self::Ambient(arguments) => ambient::run(app, arguments),
            Self::Import(arguments) => carry::import(app, arguments).await,
            Self::Export(arguments) => carry::export(app, arguments).await,
            Self::Verify(arguments) => verify::run(app, arguments).await,
            Self::Jobs(arguments) => history::jobs(app, arguments).await,
            Self::History(arguments) => history::run(app, arguments).await,
            Self::Settle(arguments) => change::settle(app, arguments).await,
            Self::Withdraw(arguments) => change::withdraw(app, arguments).await,
            Self::Erase(arguments) => change::erase(app, arguments).await,
            Self::Serve(arguments) => serve::run(Arc::clone(app), arguments).await,
        }
    }

    fn json(&self) -> bool {
        match self {
            Self::Quick(a) => a.printing.json,
            Self::New(a) => a.printing.json,
            Self::Run(a) => a.printing.json,
            Self::Report(a) => a.own.printing.json,
            Self::Import(a) => a.printing.json,
            Self::Export(a) => a.printing.json,
            Self::Verify(a) => a.printing.json,
            Self::Jobs(a) => a.printing.json,
            Self::History(a) => a.printing.json,
            Self::Settle(a) => a.printing.json,
            Self::Withdraw(a) => a.printing.json,
            Self::Erase(a) => a.printing.json,
            Self::Serve(a) => a.printing.json,
            Self::Check(a) | Self::Assess(a) => a.printing.json,
            Self::Plan(a) => a.printing.json,
            Self::Estimate(a) => a.printing.json,
            Self::Accept(a) => a.printing.json,
            Self::Ambient(a) => a.printing.json,
            Self::Colour(a) => a.printing.json,
            Self::Card(a) => a.printing.json,
            Self::Sounding(a) => a.printing.json,
            Self::Texture(a) => a.printing.json,
        }
    }
}

/// Prints a result as data, its messages told in words.
fn print_json<T: Serialize>(value: &T, words: Words) -> Result<(), Refusal> {
    let text = words.json(value).and_then(|told| serde_json::to_string_pretty(&told));
    let text = text.map_err(|error| Refusal::Ours(error.to_string().into()))?;
    anstream::println!("{text}");
    Ok(())
}

fn print_schema<T: JsonSchema>() -> Outcome {
    print_json(&schema_for!(T), Words::new(Language::English, UnitSystem::Si))?;
    Ok(Answer::Done)
}

fn print_faults(words: Words, faults: &[Fault], json: bool) {
    let (refused, warned): (Vec<&Fault>, Vec<&Fault>) =
        faults.iter().partition(|fault| fault.severity == Severity::Fault);
    if json {
        let errors =
            Errors { errors: refused.iter().map(|fault| FaultOut::from(*fault)).collect() };
        if let Err(Refusal::Ours(message)) = print_json(&errors, words) {
            anstream::eprintln!("tooth: {}", words.say(&message));
        }
    }
    for fault in refused.iter().take(limits::FAULTS) {
        anstream::eprintln!("{}", words.say(&fault.said()));
    }
    if refused.len() > limits::FAULTS {
        let more = said!("cli-and-more-faults", count = refused.len() - limits::FAULTS);
        anstream::eprintln!("{}", words.say(&more));
    }
    print_warnings(words, warned.into_iter());
    let end = said!("cli-faults-nothing-written", count = refused.len());
    anstream::eprintln!("tooth: {}", words.say(&end));
}

fn print_warnings<'a>(words: Words, warnings: impl Iterator<Item = &'a Fault>) {
    for warning in warnings.take(limits::FAULTS) {
        print_warning(words, warning.said());
    }
}

fn print_warning(words: Words, warning: Said) {
    anstream::eprintln!("{}", words.say(&said!("cli-warning", warning = warning)));
}

/// The name of the job, with the mark of a made-up scenario.
fn title(folder: &JobFolder) -> Said {
    let facts = &folder.survey.facts;
    if facts.invented {
        said!("cli-invented-scenario", job = &facts.name)
    } else {
        facts.name.as_str().into()
    }
}

/// The letters of areas, as on plans and cards.
fn letter(folder: &JobFolder, zone: &ZoneId) -> String {
    let at = folder.survey.zones.iter().position(|z| z.id == *zone);
    at.map_or_else(|| zone.to_string(), tooth_words::survey::letter)
}
