//! `midflank study`: studies of a way of measuring and of a process, from CSV files and at the bench.

mod at_bench;
mod gauge;
mod given;
mod plain;
mod process;

use std::path::Path;

use clap::Subcommand;

use crate::failure::Failure;
use crate::output::Output;

#[derive(clap::Args)]
pub struct Arguments {
    #[command(subcommand)]
    study: Study,
}

#[derive(Subcommand)]
enum Study {
    Summary(plain::SummaryArguments),
    OneWay(plain::OneWayArguments),
    Repeatability(gauge::RepeatabilityArguments),
    #[command(name = "type-1")]
    Type1(gauge::Type1Arguments),
    Bias(gauge::BiasArguments),
    Linearity(gauge::LinearityArguments),
    Stability(process::ChartArguments),
    Agreement(gauge::AgreementArguments),
    Comparison(gauge::ComparisonArguments),
    Capability(process::CapabilityArguments),
    Recorded(process::RecordedArguments),
    Chart(process::ChartArguments),
    Begin(at_bench::BeginArguments),
    List(at_bench::ListArguments),
    Show(at_bench::ShowArguments),
    Approve(at_bench::ApproveArguments),
}

pub fn run(
    arguments: &Arguments,
    ledger: Option<&Path>,
    output: &mut Output,
) -> Result<(), Failure> {
    match &arguments.study {
        Study::Summary(arguments) => plain::summary(arguments, output),
        Study::OneWay(arguments) => plain::one_way(arguments, output),
        Study::Repeatability(arguments) => gauge::repeatability(arguments, output),
        Study::Type1(arguments) => gauge::type_1(arguments, output),
        Study::Bias(arguments) => gauge::bias(arguments, output),
        Study::Linearity(arguments) => gauge::linearity(arguments, output),
        Study::Agreement(arguments) => gauge::agreement(arguments, output),
        Study::Comparison(arguments) => gauge::comparison(arguments, output),
        Study::Capability(arguments) => process::capability(arguments, output),
        Study::Recorded(arguments) => process::recorded(arguments, ledger, output),
        Study::Stability(arguments) => process::stability(arguments, output),
        Study::Chart(arguments) => process::chart(arguments, output),
        Study::Begin(arguments) => at_bench::begin(arguments, ledger, output),
        Study::List(arguments) => at_bench::list(arguments, ledger, output),
        Study::Show(arguments) => at_bench::show(arguments, ledger, output),
        Study::Approve(arguments) => at_bench::approve(arguments, ledger, output),
    }
}
