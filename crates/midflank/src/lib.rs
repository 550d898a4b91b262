//! All of the program `midflank` but its first function, so that a fuzzer reaches what the program does.

mod approvals;
mod approving;
mod bench;
mod cli;
mod clock;
mod document;
mod equipment;
mod event;
mod failure;
mod files;
mod form;
#[cfg(any(test, fuzzing))]
pub mod fuzz_targets;
mod given;
mod in_unit;
mod job_file;
mod kept;
mod last_zero;
mod look_up;
mod output;
mod process;
mod process_on_record;
mod record;
mod register;
mod report;
mod station;
mod web;
mod words;

pub use cli::run;
