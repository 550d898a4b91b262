//! `midflank study summary` and `one-way`.

use clap::Args;

use super::given::Asked;
use crate::failure::Failure;
use crate::output::Output;
use crate::study::{one_way, summary};

#[derive(Args)]
pub struct SummaryArguments {
    #[command(flatten)]
    asked: Asked,
}

pub fn summary(arguments: &SummaryArguments, output: &mut Output) -> Result<(), Failure> {
    arguments.asked.answer(output, summary::answer)
}

#[derive(Args)]
pub struct OneWayArguments {
    #[command(flatten)]
    asked: Asked,
}

pub fn one_way(arguments: &OneWayArguments, output: &mut Output) -> Result<(), Failure> {
    arguments.asked.answer(output, one_way::answer)
}
