//! The program `midflank`.

mod bench;
mod cli;
mod clock;
mod document;
mod files;
mod given;
mod job_file;
mod kept;
mod process;
mod record;
mod register;
mod report;
mod station;
mod web;
mod words;

use std::process::ExitCode;

fn main() -> ExitCode {
    cli::run()
}
