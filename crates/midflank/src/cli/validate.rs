//! `midflank validate`: does the program, as it is installed, give what is published?

use std::num::NonZeroUsize;
use std::path::Path;
use std::thread;

use clap::Args;
use metrology::validation::validate;

use crate::cli::recorded;
use crate::desk;
use crate::document::validated::Validated;
use crate::failure::Failure;
use crate::option::Line;
use crate::output::{Output, width};
use crate::record;
use crate::report::validated::answer;
use crate::say;
use crate::words;

#[derive(Args)]
pub struct Arguments {
    #[arg(long)]
    record: bool,
    #[arg(long, value_name = "NAME", value_parser = Line)]
    person: Option<String>,
    #[arg(long)]
    json: bool,
}

pub fn run(
    arguments: &Arguments,
    ledger: Option<&Path>,
    output: &mut Output,
) -> Result<(), Failure> {
    let person = arguments.person.as_deref().unwrap_or_default().trim();
    if arguments.record && person.is_empty() {
        return Err(Failure::input(say!("validate.no-person")));
    }
    // What stands in the way of a record is told before minutes of computing.
    let record = arguments.record.then(|| desk::open(ledger)).transpose()?;
    let threads = thread::available_parallelism().unwrap_or(NonZeroUsize::MIN);
    let validated = Validated::of(
        desk::PROGRAM,
        desk::TABLES,
        &validate(threads),
        words::source,
    );
    // Recorded before it is shown, also where it failed: that is what the next reader must know.
    let entry = record
        .map(|ledger| -> Result<_, Failure> {
            let draft = record::validation_draft(&validated, &desk::recorder(person))?;
            Ok(ledger.append(&draft)?)
        })
        .transpose()?;
    let answered = if arguments.json {
        output.json(&validated)
    } else {
        output.text(&answer(&validated, width()))
    };
    if let Some(entry) = entry {
        answered
            .and_then(|()| recorded::acknowledge(&entry, arguments.json, output))
            .and_then(|()| output.finish())
            .map_err(|failure| failure.although_recorded(&entry.id().to_string()))?;
    } else {
        answered?;
    }
    if validated.disagreeing == 0 {
        return Ok(());
    }
    Err(Failure::outside(say!(
        "validate.failed",
        disagreeing = validated.disagreeing,
        cases = validated.cases
    )))
}
