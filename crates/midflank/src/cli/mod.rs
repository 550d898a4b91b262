//! The command line: one file a command.
//!
//! Data goes to standard output, words about the run to standard error. Exit status: 0 answered, whatever the
//! verdict; 2 the input was wrong; 1 anything else.

mod bench;
mod contacts;
mod correct;
mod decide;
mod default;
mod demo;
mod equipment;
mod functional;
mod gauges;
mod identify;
mod inspect;
mod kinds;
mod ledger;
mod limits;
mod lines;
pub mod pull;
mod reconcile;
mod recorded;
mod report;
mod risks;
mod setup;
mod simulate;
mod stream;
mod told;
mod validate;
mod wires;

use std::path::PathBuf;
use std::process::ExitCode;

use clap::parser::ValueSource;
use clap::{CommandFactory as _, FromArgMatches as _, Parser, Subcommand};

use crate::desk;
use crate::files;
use crate::output::Output;

#[cfg(test)]
pub use equipment::Change;

/// For the inspection bench: is this thread within its limits, by what rule, how sure, and where is that written down?
#[derive(Parser)]
#[command(name = "midflank", version, about, max_term_width = 90)]
struct Cli {
    /// The ledger to record in and read from, a file or a server (postgres://USER@HOST/DATABASE)
    /// [default: midflank/ledger.db in your data folder]
    #[arg(
        long,
        global = true,
        value_name = "PATH",
        env = "MIDFLANK_LEDGER",
        hide_env_values = true
    )]
    ledger: Option<PathBuf>,
    /// Begin a new ledger in that file where it is there and empty, or in that database where it has none
    #[arg(long, global = true)]
    new: bool,
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// The bench page: the whole job in a browser on this computer
    Bench(bench::Arguments),
    /// The whole job on three invented parts: zero, readings, corrections, uncertainty, verdict, record
    Demo(demo::Arguments),
    /// Limits of size of a thread
    Limits(limits::Arguments),
    /// Limit gauges for a thread: GO and NOT GO
    Gauges(gauges::Arguments),
    /// Which thread is this? From what was measured to the threads it can be
    Identify(identify::Arguments),
    /// Pitch diameter over three wires, or between two balls: best wire, reading, limits, both ways
    Wires(wires::Arguments),
    /// What a V-and-cone pair reads on a thread: fit, corrections, what the zero takes out and leaves
    Contacts(contacts::Arguments),
    /// Why GO takes or refuses a thread: functional size from errors of lead and flank angle
    Functional(functional::Arguments),
    /// Two results that do not agree: likely causes, and the one check that would tell
    Reconcile(reconcile::Arguments),
    /// What to add to a reading for a wrong line, a wrong shape or temperature, and when not to
    Correct(correct::Arguments),
    /// Measure by a job file: from readings to a verdict, and on the record with --record
    Inspect(inspect::Arguments),
    /// What you own: micrometers, pairs of contacts, setting standards, wires, balls
    Equipment(equipment::Arguments),
    /// Defaults of the program, and what the laboratory has approved in their place
    Default(default::Arguments),
    /// Which of what you own to measure a feature with, and what each wrong choice would cost
    Setup(Box<setup::Arguments>),
    /// The least pull force of a crimp by the standard that the contract names
    Pull(pull::Arguments),
    /// Hold a size with its uncertainty against limits under a decision rule
    Decide(decide::Arguments),
    /// Simulate whole jobs with known true sizes: do the intervals hold them, do the rules keep their promise?
    Simulate(simulate::Arguments),
    /// Compute published cases with this program and compare, on the record with --record
    Validate(validate::Arguments),
    /// The record: list, show, verify, amend, witness, back up, move to a server
    Ledger(ledger::Arguments),
    /// Print a record as text, or write it as one HTML file
    Report(report::Arguments),
}

/// Runs the program; the exit status is its answer.
pub fn run() -> ExitCode {
    let matches = Cli::command().get_matches();
    let cli = Cli::from_arg_matches(&matches).unwrap_or_else(|error| error.exit());
    // What is invented goes into the ledger of one's work only where that is named then and there.
    let named = matches.value_source("ledger") == Some(ValueSource::CommandLine);
    let invented = match &cli.command {
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
    let mut output = Output::new();
    let done = match &cli.command {
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
        Command::Default(arguments) => default::run(arguments, ledger, &mut output),
        Command::Setup(arguments) => setup::run(arguments, ledger, &mut output),
        Command::Pull(arguments) => pull::run(arguments, &mut output),
        Command::Decide(arguments) => decide::run(arguments, ledger, &mut output),
        Command::Simulate(arguments) => simulate::run(arguments, &mut output),
        Command::Validate(arguments) => validate::run(arguments, ledger, &mut output),
        Command::Ledger(arguments) => ledger::run(arguments, ledger, &mut output),
        Command::Report(arguments) => report::run(arguments, ledger, &mut output),
    };
    // What was answered before something went wrong is answered.
    let sent = output.finish();
    match done.and(sent) {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => failure.tell(),
    }
}
