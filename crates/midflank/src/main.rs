//! The program `midflank`.

use std::process::ExitCode;

fn main() -> ExitCode {
    midflank::run()
}
