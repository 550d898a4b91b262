//! The command line: one file a command.
//!
//! Data goes to standard output, words about the run to standard error. Exit status: 0 answered, whatever the
//! verdict; 2 the input was wrong; 1 anything else.

mod badge;
mod bench;
mod calibrate;
mod cases;
mod certificate;
mod check;
mod contacts;
mod correct;
mod day;
mod decide;
mod default;
mod demo;
mod due;
mod equipment;
mod equipment_read;
mod export;
mod first_article;
mod functional;
mod gauges;
mod help;
mod identify;
mod inspect;
mod kinds;
mod ledger;
mod limits;
mod lines;
mod lot;
mod lots;
mod nonconforming;
mod on_paper;
mod piece;
pub mod pull;
mod recall;
mod reconcile;
mod recorded;
mod report;
mod risks;
mod sampling;
mod setup;
mod shell;
mod simulate;
mod status;
mod stream;
mod study;
mod told;
mod validate;
mod version;
mod wear;
mod wires;
mod written;
mod year;

use std::path::PathBuf;
use std::process::ExitCode;

use clap::error::ErrorKind;
use clap::parser::ValueSource;
use clap::{CommandFactory as _, FromArgMatches as _, Parser, Subcommand};

use crate::desk;
use crate::files;
use crate::output::Output;
use crate::say;

#[derive(Parser)]
#[command(name = "midflank", max_term_width = 90, arg_required_else_help = true)]
struct Cli {
    #[arg(
        long,
        global = true,
        value_name = "PATH",
        env = "MIDFLANK_LEDGER",
        hide_env_values = true
    )]
    ledger: Option<PathBuf>,
    #[arg(long, global = true)]
    new: bool,
    #[arg(short = 'V', long)]
    version: bool,
    #[arg(long, requires = "version")]
    long: bool,
    #[command(subcommand)]
    command: Option<Command>,
}

// A command is told its options only when it is asked for.
#[derive(Subcommand)]
#[command(defer = true)]
enum Command {
    Bench(bench::Arguments),
    Demo(demo::Arguments),
    Limits(limits::Arguments),
    Gauges(gauges::Arguments),
    Identify(identify::Arguments),
    Wires(wires::WiresArguments),
    Contacts(contacts::Arguments),
    Functional(functional::Arguments),
    Reconcile(reconcile::Arguments),
    Correct(correct::Arguments),
    Inspect(inspect::Arguments),
    Equipment(equipment::Arguments),
    Calibrate(calibrate::Arguments),
    Certificate(certificate::Arguments),
    Status(status::Arguments),
    Due(due::Arguments),
    Wear(wear::Arguments),
    Check(check::Arguments),
    Room(check::RoomArguments),
    Interval(due::IntervalArguments),
    Default(default::Arguments),
    Badge(badge::Arguments),
    Setup(Box<setup::Arguments>),
    Pull(pull::Arguments),
    Study(Box<study::Arguments>),
    Plan(lots::PlanArguments),
    Lot(lots::LotArguments),
    FirstArticle(first_article::Arguments),
    Nonconforming(nonconforming::Arguments),
    Sampling(sampling::Arguments),
    Decide(decide::Arguments),
    Simulate(simulate::Arguments),
    Validate(validate::Arguments),
    Ledger(ledger::Arguments),
    Recall(recall::Arguments),
    Recalls(cases::Arguments),
    Report(report::Arguments),
    Export(export::Arguments),
    Completions(shell::CompletionsArguments),
    Man(shell::ManArguments),
}

/// Whether a run ends by showing what commands and options there are.
const fn is_help(ended: ErrorKind) -> bool {
    matches!(
        ended,
        ErrorKind::DisplayHelp | ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand
    )
}

/// Every command with all of its options.
fn whole() -> clap::Command {
    built(Cli::command())
}

/// The same without the command that shows the help of another.
fn without_help() -> clap::Command {
    built(Cli::command().disable_help_subcommand(true))
}

fn built(mut command: clap::Command) -> clap::Command {
    command.build();
    command
}

/// Runs the program; the exit status is its answer.
pub fn run() -> ExitCode {
    let matches = Cli::command().try_get_matches().unwrap_or_else(|error| {
        if is_help(error.kind()) {
            help::worded(whole()).get_matches()
        } else {
            error.exit()
        }
    });
    let cli = Cli::from_arg_matches(&matches).unwrap_or_else(|error| error.exit());
    let mut output = Output::new();
    let Some(command) = &cli.command else {
        if !cli.version {
            let missing = Cli::command().error(ErrorKind::MissingSubcommand, say!("command.none"));
            missing.exit();
        }
        let told = version::tell(cli.long, &mut output);
        return match told.and(output.finish()) {
            Ok(()) => ExitCode::SUCCESS,
            Err(failure) => failure.tell(),
        };
    };
    // What is invented goes into the ledger of one's work only where that is named then and there.
    let named = matches.value_source("ledger") == Some(ValueSource::CommandLine);
    let invented = match command {
        Command::Bench(arguments) => arguments.demo,
        Command::Demo(_) => true,
        _ => false,
    };
    let ledger = cli.ledger.as_deref().filter(|_| named || !invented);
    files::heed_limit_of_size();
    if cli.new
        && (ledger.is_some() || !invented)
        && let Err(failure) = desk::begin_new(ledger)
    {
        return failure.tell();
    }
    let done = match command {
        Command::Bench(arguments) => bench::run(arguments, ledger, &mut output),
        Command::Demo(arguments) => demo::run(arguments, ledger, &mut output),
        Command::Limits(arguments) => limits::run(arguments, &mut output),
        Command::Gauges(arguments) => gauges::run(arguments, &mut output),
        Command::Identify(arguments) => identify::run(arguments, ledger, &mut output),
        Command::Wires(arguments) => wires::run(arguments, &mut output),
        Command::Contacts(arguments) => contacts::run(arguments, &mut output),
        Command::Functional(arguments) => functional::run(arguments, &mut output),
        Command::Reconcile(arguments) => reconcile::run(arguments, &mut output),
        Command::Correct(arguments) => correct::run(arguments, &mut output),
        Command::Inspect(arguments) => inspect::run(arguments, ledger, &mut output),
        Command::Equipment(arguments) => equipment::run(arguments, ledger, &mut output),
        Command::Calibrate(arguments) => calibrate::run(arguments, ledger, &mut output),
        Command::Certificate(arguments) => certificate::run(arguments, ledger, &mut output),
        Command::Status(arguments) => status::run(arguments, ledger, &mut output),
        Command::Due(arguments) => due::run(arguments, ledger, &mut output),
        Command::Interval(arguments) => due::interval(arguments, &mut output),
        Command::Wear(arguments) => wear::run(arguments, ledger, &mut output),
        Command::Check(arguments) => check::run(arguments, ledger, &mut output),
        Command::Room(arguments) => check::room(arguments, ledger, &mut output),
        Command::Default(arguments) => default::run(arguments, ledger, &mut output),
        Command::Nonconforming(arguments) => nonconforming::run(arguments, ledger, &mut output),
        Command::Badge(arguments) => badge::run(arguments, ledger, &mut output),
        Command::Setup(arguments) => setup::run(arguments, ledger, &mut output),
        Command::Pull(arguments) => pull::run(arguments, &mut output),
        Command::Study(arguments) => study::run(arguments, ledger, &mut output),
        Command::Plan(arguments) => lots::plan(arguments, ledger, &mut output),
        Command::Lot(arguments) => lots::lot(arguments, ledger, &mut output),
        Command::FirstArticle(arguments) => first_article::run(arguments, ledger, &mut output),
        Command::Sampling(arguments) => sampling::run(arguments, &mut output),
        Command::Decide(arguments) => decide::run(arguments, ledger, &mut output),
        Command::Simulate(arguments) => simulate::run(arguments, &mut output),
        Command::Validate(arguments) => validate::run(arguments, ledger, &mut output),
        Command::Ledger(arguments) => ledger::run(arguments, ledger, &mut output),
        Command::Recall(arguments) => recall::run(arguments, ledger, &mut output),
        Command::Recalls(arguments) => cases::run(arguments, ledger, &mut output),
        Command::Report(arguments) => report::run(arguments, ledger, &mut output),
        Command::Export(arguments) => export::run(arguments, ledger, &mut output),
        Command::Completions(arguments) => shell::completions(arguments, &mut output),
        Command::Man(arguments) => shell::man(arguments),
    };
    // What was answered before something went wrong is answered.
    let sent = output.finish();
    match done.and(sent) {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => failure.tell(),
    }
}
