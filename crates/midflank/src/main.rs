//! The program `midflank`.

mod cli;
mod document;
mod job_file;
mod process;
mod record;
mod register;
mod report;

use std::process::ExitCode;

fn main() -> ExitCode {
    cli::run()
}
