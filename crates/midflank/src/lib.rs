//! All of the program `midflank` but its first function, so that a fuzzer reaches what the program does.

mod amending;
mod bench;
mod cli;
mod desk;
mod document;
mod exchange;
mod failure;
mod files;
#[cfg(any(test, fuzzing))]
pub mod fuzz_targets;
mod letterhead;
mod look_up;
mod option;
mod output;
mod report;
mod study;
mod web;
mod words;

use workshop::{
    approvals, clock, equipment, form, given, job_file, kept, last_zero, process, record, register,
    station,
};

pub use cli::run;
