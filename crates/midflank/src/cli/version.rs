//! `midflank --version`, and with `--long` what this build is made of.

use std::fmt::Write as _;

use metrology::method;
use workshop::registry::KINDS;

use crate::desk;
use crate::failure::Failure;
use crate::output::Output;
use crate::say;

pub fn tell(long: bool, output: &mut Output) -> Result<(), Failure> {
    let version = env!("CARGO_PKG_VERSION");
    output.line(&say!("command.version", version = version))?;
    if !long {
        return Ok(());
    }
    output.line(&say!("command.build", build = desk::BUILD))?;
    output.line(&say!("command.tables", digest = desk::TABLES))?;
    output.line(&say!("command.method", number = method::CURRENT))?;
    output.line(&say!("command.file", number = ledger::FILE_SCHEMA))?;
    output.line(&match ledger::SERVER_MIGRATION {
        Some(number) => say!("command.server", number = number),
        None => say!("command.no-server").to_owned(),
    })?;
    let mut forms = String::new();
    for row in KINDS {
        let numbers = [row.inputs, row.results].into_iter().flatten();
        let numbers: Vec<String> = numbers.map(|number| number.to_string()).collect();
        if !numbers.is_empty() {
            let _ = write!(forms, " {} {};", row.kind.key(), numbers.join("/"));
        }
    }
    output.line(&say!(
        "command.forms",
        forms = forms.trim().trim_end_matches(';')
    ))
}
