//! `midflank ledger facts`: what lists and recalls ask is made of the entries.

use std::io::{self, IsTerminal as _, Write as _};
use std::path::Path;

use clap::Args;
use ledger::Progress;

use crate::desk;
use crate::failure::Failure;
use crate::output::Output;
use crate::say;

#[derive(Args)]
pub struct Facts {
    #[arg(long)]
    rebuild: bool,
}

impl Facts {
    /// Makes them.
    pub fn run(&self, path: Option<&Path>, output: &mut Output) -> Result<(), Failure> {
        let ledger = desk::options().open(desk::place(path)?)?;
        let on_terminal = io::stderr().is_terminal();
        let show = |progress: Progress| {
            if on_terminal {
                let _ = write!(io::stderr(), "\r{} / {}", progress.entries, progress.of);
            }
        };
        let made = ledger.make_facts(self.rebuild, &show)?;
        if on_terminal && made > 0 {
            let _ = writeln!(io::stderr());
        }
        output.line(&match made {
            0 => say!("ledger.facts-none").to_owned(),
            _ => say!("ledger.facts-made", n = made),
        })
    }
}
