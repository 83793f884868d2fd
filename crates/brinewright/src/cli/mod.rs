//! The command line: one file a command, each of which reads its options, calls a task and prints.

mod absence;
mod batch;
mod blend;
mod check_solution;
mod compare;
mod control;
mod delivery;
mod findings;
mod first_litre;
mod flows;
mod lead_time;
mod level;
mod lineup_table;
mod lineups;
mod mistakes;
mod mistakes_in_full;
mod moment;
mod new;
mod open;
pub(crate) mod page;
mod prove;
mod pumps_at_work;
mod read;
mod readings;
mod service;
mod settings;
mod speaker;
mod supply;
mod switching;
mod table;
mod trim;
mod watch;
mod water;
mod why;
mod year;

use crate::failure::{COMMAND_LINE, Failure, Fault};
use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{Args, Parser, Subcommand, ValueEnum};
use station::quantity::UnitSystem;
use std::ffi::OsString;
use std::io::Write;
use std::process::ExitCode;

/// Plans a make-up water station for marine aquaria, in honest figures.
#[derive(Debug, Parser)]
#[command(name = "brinewright", version, max_term_width = page::WIDTH, disable_help_subcommand = true, after_help = QUANTITIES)]
struct CommandLine {
    /// The workbench where none is named.
    #[command(subcommand)]
    command: Option<Command>,
    #[command(flatten)]
    output: Output,
}

const QUANTITIES: &str = "\
Quantities are text with a unit: \"200 L\", \"55 gal\", \"24 C\", \"75 F\".
They may carry their doubt: \"38 L ± 0.5 L\" (two standard uncertainties) or
\"38 L within 1 L\" (anywhere between).
Salinity is 35, \"35 ppt\", \"53 mS/cm at 25 C\" or \"1.0264 sg 25C/25C\".
Exit: 0 done, 2 the input or the command line is wrong, 3 with --strict when
something must be fixed, 1 anything else.";

/// How an answer is given.
#[derive(Debug, Clone, Copy, Args)]
pub(crate) struct Output {
    /// Print one JSON object, in SI units, and nothing else
    #[arg(long, global = true, help_heading = "Answer")]
    json: bool,
    /// Units of the text: si (L, kg, °C) or us (gal, lb, °F); those of a station's file where one is proved
    #[arg(
        long,
        global = true,
        value_enum,
        value_name = "SYSTEM",
        hide_possible_values = true,
        help_heading = "Answer"
    )]
    units: Option<Units>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Units {
    /// Litres, kilograms, °C
    Si,
    /// US gallons, pounds, °F
    Us,
}

#[derive(Debug, Subcommand)]
enum Command {
    New(new::Options),
    Open(open::Options),
    Water(water::Options),
    Batch(batch::Options),
    Trim(trim::Options),
    Blend(blend::Options),
    CheckSolution(check_solution::Options),
    Readings(readings::Options),
    Level(level::Options),
    Prove(prove::Options),
    Supply(supply::Options),
    Lineups(lineups::Options),
    Mistakes(mistakes::Options),
    Flows(flows::Options),
    Absence(absence::Options),
    Year(year::Options),
    Compare(compare::Options),
    Control(control::Options),
    LeadTime(lead_time::Options),
    FirstLitre(first_litre::Options),
    Why(why::Options),
}

/// What a command has to say, in both spellings.
#[derive(Default)]
pub(crate) struct Answer {
    /// Whether `--strict` was asked and something must be fixed.
    pub(crate) must_fix: bool,
    /// A page for a person.
    pub(crate) text: String,
    /// One JSON object.
    pub(crate) json: String,
}

impl Output {
    pub(crate) fn system(self) -> UnitSystem {
        self.asked().unwrap_or_default()
    }

    /// Whether another program reads the answer.
    pub(crate) fn is_json(self) -> bool {
        self.json
    }

    /// The units that somebody asked for.
    pub(crate) fn asked(self) -> Option<UnitSystem> {
        self.units.map(|units| match units {
            Units::Si => UnitSystem::Si,
            Units::Us => UnitSystem::Us,
        })
    }
}

impl Command {
    fn run(&self, output: Output) -> Result<Answer, Failure> {
        match self {
            Self::New(options) => new::run(options),
            Self::Open(options) => open::run(options),
            Self::Water(options) => water::run(options, output),
            Self::Batch(options) => batch::run(options, output),
            Self::Trim(options) => trim::run(options, output),
            Self::Blend(options) => blend::run(options, output),
            Self::CheckSolution(options) => check_solution::run(options, output),
            Self::Readings(options) => readings::run(options, output),
            Self::Level(options) => level::run(options),
            Self::Prove(options) => prove::run(options, output),
            Self::Supply(options) => supply::run(options, output),
            Self::Lineups(options) => lineups::run(options, output),
            Self::Mistakes(options) => mistakes::run(options, output),
            Self::Flows(options) => flows::run(options, output),
            Self::Absence(options) => absence::run(options, output),
            Self::Year(options) => year::run(options, output),
            Self::Compare(options) => compare::run(options, output),
            Self::Control(options) => control::run(options, output),
            Self::LeadTime(options) => lead_time::run(options, output),
            Self::FirstLitre(options) => first_litre::run(options, output),
            Self::Why(options) => why::run(options, output),
        }
    }
}

impl CommandLine {
    fn answered(&self) -> Result<Answer, Failure> {
        match &self.command {
            Some(command) => command.run(self.output),
            // A program that reads JSON has forgotten its command.
            None if self.output.json => Err(no_command().into()),
            None => open::run(&open::Options::default()),
        }
    }
}

fn no_command() -> Fault {
    Fault::new(COMMAND_LINE, "no command was given", "see brinewright --help")
}

/// Runs one command line from end to end.
pub(crate) fn run(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let arguments: Vec<OsString> = arguments.into_iter().collect();
    let asks_json = arguments.iter().any(|argument| argument == "--json");
    match CommandLine::try_parse_from(arguments) {
        Ok(line) => match line.answered() {
            Ok(answer) => match say(if line.output.json {
                &answer.json
            } else {
                &answer.text
            }) {
                ExitCode::SUCCESS if answer.must_fix => ExitCode::from(3),
                code => code,
            },
            Err(failure) => fail(&failure, line.output.json),
        },
        Err(error) if !error.use_stderr() => say(&error.to_string()),
        Err(error) => fail(&wrong_usage(&error), asks_json),
    }
}

/// The parser's complaint as a fault.
fn wrong_usage(error: &clap::Error) -> Failure {
    let context = |kind| error.get(kind).map(ToString::to_string);
    let given = context(ContextKind::InvalidArg).or_else(|| context(ContextKind::InvalidSubcommand));
    let given = given.unwrap_or_default();
    let given = given.split(" <").next().unwrap_or_default();
    let (what, see) = match error.kind() {
        ErrorKind::UnknownArgument if !given.starts_with('-') => (
            format!("`{given}` is one word too many"),
            "put quotes around a text with blanks; a command takes one file at a time".to_owned(),
        ),
        ErrorKind::UnknownArgument => (format!("`{given}` is no option here"), see_help()),
        ErrorKind::MissingRequiredArgument => {
            let missing = match error.get(ContextKind::InvalidArg) {
                Some(ContextValue::Strings(names)) => names.join(" and "),
                _ => given.to_owned(),
            };
            (format!("{missing} is missing"), see_help())
        }
        ErrorKind::InvalidSubcommand => (format!("`{given}` is no command"), see_help()),
        ErrorKind::InvalidValue => {
            let value = context(ContextKind::InvalidValue).unwrap_or_default();
            let valid = context(ContextKind::ValidValue).unwrap_or_default();
            match value.as_str() {
                "" => (format!("{given} has no value"), see_help()),
                value => (
                    format!("`{value}` is no value of {given}"),
                    format!("it is one of {valid}"),
                ),
            }
        }
        ErrorKind::ArgumentConflict => (
            format!("{given} is given more than once"),
            "give it once".to_owned(),
        ),
        _ => {
            let text = error.to_string();
            let line = text.lines().next().unwrap_or_default();
            (line.trim_start_matches("error: ").to_owned(), see_help())
        }
    };
    let mend = context(ContextKind::SuggestedArg)
        .or_else(|| context(ContextKind::SuggestedSubcommand))
        .map_or(see, |near| format!("did you mean `{near}`?"));
    Fault::new(COMMAND_LINE, what, mend).into()
}

fn see_help() -> String {
    "--help lists what there is".to_owned()
}

fn fail(failure: &Failure, json: bool) -> ExitCode {
    if json {
        // A reader that has gone needs no answer; the exit code tells the rest.
        let _ = say(&failure.json());
    } else {
        complain(&failure.text());
    }
    ExitCode::from(failure.exit_code())
}

/// Writes to standard output. A pipe that was closed early is no failure.
fn say(text: &str) -> ExitCode {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            let failure = Failure::other(Fault::new(
                "standard output",
                error.to_string(),
                "make room there",
            ));
            complain(&failure.text());
            ExitCode::from(failure.exit_code())
        }
        _ => ExitCode::SUCCESS,
    }
}

fn complain(text: &str) {
    // There is nowhere left to complain to when this fails.
    let _ = std::io::stderr().lock().write_all(text.as_bytes());
}
