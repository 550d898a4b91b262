//! `midflank bench`: the bench page.

use std::path::Path;
use std::time::Duration;

use clap::Args;

use crate::desk;
use crate::failure::Failure;
use crate::option::Line as Name;
use crate::output::Output;
use crate::web::{self, Line, Options};

/// The bench page: the whole job in a browser on this computer
#[derive(Args)]
pub struct Arguments {
    /// Port on this computer (127.0.0.1); 0 takes a free one
    #[arg(long, value_name = "N", default_value_t = 7414)]
    port: u16,
    /// Do not open the browser; the address is printed
    #[arg(long)]
    no_browser: bool,
    /// Take readings from a serial line too: /dev/ttyUSB0:9600 (8 data bits, no parity, 1 stop bit)
    #[arg(long, value_name = "DEVICE:BAUD")]
    serial: Vec<Line>,
    /// The name of this station, on all that is recorded here [default: the name of the computer]
    #[arg(long, value_name = "NAME", value_parser = Name)]
    station: Option<String>,
    /// Try the bench: a ledger of its own, unless --ledger names one, with invented equipment where its register is empty
    #[arg(long)]
    pub demo: bool,
    /// How long a request may take to come
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
