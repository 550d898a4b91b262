//! `midflank bench`: the bench page.

use std::path::Path;
use std::time::Duration;

use clap::Args;

use crate::desk;
use crate::failure::Failure;
use crate::option::Line as Name;
use crate::output::Output;
use crate::web::{self, Line, Options};

#[derive(Args)]
pub struct Arguments {
    #[arg(long, value_name = "N", default_value_t = 7414)]
    port: u16,
    #[arg(long)]
    no_browser: bool,
    #[arg(long, value_name = "DEVICE:BAUD")]
    serial: Vec<Line>,
    #[arg(long, value_name = "NAME", value_parser = Name)]
    station: Option<String>,
    #[arg(long)]
    pub demo: bool,
    #[arg(
        long,
        value_name = "MILLISECONDS",
        default_value_t = 30_000,
        hide = true
    )]
    patience: u64,
}

pub fn run(
    arguments: &Arguments,
    ledger: Option<&Path>,
    output: &mut Output,
) -> Result<(), Failure> {
    if let Some(name) = &arguments.station {
        desk::name_station(name.clone());
    }
    let options = Options {
        port: arguments.port,
        browser: !arguments.no_browser,
        serial: arguments.serial.clone(),
        demo: arguments.demo,
        patience: Duration::from_millis(arguments.patience),
    };
    // Invented equipment does not belong among real one, as with `midflank demo`.
    let own = match ledger {
        None if arguments.demo => Some(desk::data_folder()?.join("demo").join("bench.db")),
        _ => None,
    };
    web::serve(ledger.or(own.as_deref()), options, output)
}
