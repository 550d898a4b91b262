//! `midflank simulate`: a bench whose truth is known, measured by the same way as any other.

use std::num::NonZeroUsize;

use clap::Args;
use metrology::decision::Rule;
use simulated_bench::Settings;

use crate::document::Simulated;
use crate::failure::Failure;
use crate::given;
use crate::option::Within;
use crate::output::Output;
use crate::report::simulated;

#[derive(Args)]
pub struct Arguments {
    #[arg(long, value_name = "N", default_value_t = 4200)]
    jobs: u32,
    #[arg(long, value_name = "N", default_value_t = 1)]
    seed: u64,
    #[arg(long, value_name = "RULE")]
    rule: Option<String>,
    #[arg(long, value_name = "P", default_value_t = 0.0, allow_hyphen_values = true, value_parser = Within(given::FRACTION))]
    slips: f64,
    #[arg(long, conflicts_with = "json")]
    table: bool,
    #[arg(long)]
    json: bool,
}

pub fn run(arguments: &Arguments, output: &mut Output) -> Result<(), Failure> {
    if let Some(rule) = &arguments.rule {
        // The parameter is the default one; an unknown name is told with those known.
        Rule::parse(rule, None).map_err(|error| Failure::refused(&error))?;
    }
    let settings = Settings {
        jobs: arguments.jobs,
        seed: arguments.seed,
        threads: std::thread::available_parallelism().unwrap_or(NonZeroUsize::MIN),
        slips: arguments.slips,
    };
    let results = simulated_bench::run(&settings).map_err(|error| Failure::refused(&error))?;
    let mut document = Simulated::of(&results);
    if let Some(rule) = &arguments.rule {
        document.rules.retain(|found| found.rule == *rule);
    }
    if arguments.json {
        output.json(&document)
    } else if arguments.table {
        output.text(&simulated::markdown(&document))
    } else {
        output.text(&simulated::text(&document))
    }
}
