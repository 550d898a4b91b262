//! The program `midflank`.

#[allow(dead_code)]
mod bench;
mod cli;
mod document;
mod job_file;
mod record;
mod report;

use std::process::ExitCode;

fn main() -> ExitCode {
    cli::run()
}
