//! `midflank demo`.
use super::Failure;
use super::output::Output;
use clap::Args;
use std::path::Path;

/// The whole job on three invented parts
#[derive(Args)]
pub struct Arguments {}

pub fn run(
    _arguments: &Arguments,
    _ledger: Option<&Path>,
    _output: &mut Output,
) -> Result<(), Failure> {
    Ok(())
}
