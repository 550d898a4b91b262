//! `midflank study`: studies of a way of measuring and of a process, from CSV files.

mod gauge;
mod given;
mod plain;
mod process;

use clap::Subcommand;

use crate::failure::Failure;
use crate::output::Output;

/// Studies of a way of measuring and of a process, from CSV files
#[derive(clap::Args)]
pub struct Arguments {
    #[command(subcommand)]
    study: Study,
}

#[derive(Subcommand)]
enum Study {
    /// Mean, standard deviation and lag-1 autocorrelation of the column `value`
    Summary(plain::SummaryArguments),
    /// One-way analysis of variance of the columns `group` and `value`
    OneWay(plain::OneWayArguments),
    /// Repeatability and reproducibility from the columns `part`, `operator`, `trial`, `value`
    Repeatability(gauge::RepeatabilityArguments),
    /// Type-1 study (Cg, Cgk): one part of known size measured many times, column `value`
    #[command(name = "type-1")]
    Type1(gauge::Type1Arguments),
    /// Bias of readings of one part of known size, column `value`
    Bias(gauge::BiasArguments),
    /// How bias changes over the range, columns `reference` and `value`
    Linearity(gauge::LinearityArguments),
    /// Whether readings of one part stay the same: a chart and a trend, column `value`, in order of time
    Stability(process::ChartArguments),
    /// Agreement of ratings by eye or gauge (kappa), columns `part`, `rater`, `rating` and perhaps `reference`
    Agreement(gauge::AgreementArguments),
    /// E_n between participants and a reference, columns `participant`, `value`, `expanded_uncertainty`, `reference`,
    /// `reference_expanded_uncertainty`
    Comparison(gauge::ComparisonArguments),
    /// Cp, Cpk, Pp, Ppk with intervals, normality, tolerance interval; column `value`, and `subgroup` where there are any
    Capability(process::CapabilityArguments),
    /// Control limits and signals: individuals, or means and ranges of the column `subgroup`
    Chart(process::ChartArguments),
}

pub fn run(arguments: &Arguments, output: &mut Output) -> Result<(), Failure> {
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
        Study::Stability(arguments) => process::stability(arguments, output),
        Study::Chart(arguments) => process::chart(arguments, output),
    }
}
