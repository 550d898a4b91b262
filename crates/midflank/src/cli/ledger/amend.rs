//! `midflank ledger amend`: a new entry in the place of an old one, which stays.

use std::path::{Path, PathBuf};

use clap::Args;
use ledger::EntryRef;

use crate::amending::{self, Anew};
use crate::cli::inspect;
use crate::cli::recorded;
use crate::desk;
use crate::failure::Failure;
use crate::option::Line;
use crate::output::Output;
use crate::record;
use crate::say;

#[derive(Args)]
pub struct Amend {
    #[arg(value_parser = super::parse_entry)]
    id: EntryRef,
    #[arg(long, value_parser = Line)]
    reason: String,
    #[arg(long, value_name = "JOB.toml")]
    job: Option<PathBuf>,
    #[arg(long, requires = "job")]
    other_part: bool,
    #[arg(long, value_name = "NAME", value_parser = Line)]
    person: String,
}

impl Amend {
    /// Records the amendment and says what holds now.
    pub fn run(&self, path: Option<&Path>, output: &mut Output) -> Result<(), Failure> {
        let ledger = desk::open_existing(path)?;
        let old = ledger.get(&self.id)?;
        record::intact(&old)?;
        // The measurement is computed before anything is written.
        let draft = match &self.job {
            Some(file) => {
                let anew = Anew {
                    file,
                    other_part: self.other_part,
                    how_other_part: say!("ledger.add-other-part"),
                    ledger: &ledger,
                };
                let shelf = desk::shelf(path);
                anew.draft(
                    &amending::measured(&ledger, &old)?,
                    &self.person,
                    |clock| inspect::read(file, clock, &shelf),
                    |job| inspect::compute(file, job),
                )?
            }
            None => amending::withdrawal(&old, &self.person)?,
        };
        let entries = amending::record(&ledger, &old, &self.reason, &draft)?;
        let Some(entry) = entries.first() else {
            return Ok(());
        };
        recorded::remark(entry);
        let mut told = vec![amending::told(entry.id(), &old, self.job.is_some())];
        if self.job.is_none() {
            told.extend(amending::follows(&old, &entries));
        }
        output
            .line(&told.join("\n"))
            .and_then(|()| output.finish())
            .map_err(|failure| failure.although_recorded(&entry.id().to_string()))
    }
}
