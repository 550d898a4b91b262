//! `midflank ledger amend`: a new entry in the place of an old one, which stays.

use std::path::{Path, PathBuf};

use clap::Args;
use ledger::{Draft, Entry, EntryRef, Ledger};

use crate::cli::inspect;
use crate::cli::recorded;
use crate::clock;
use crate::desk;
use crate::failure::Failure;
use crate::job_file::{Clock, Measured};
use crate::option::Line;
use crate::output::Output;
use crate::record;
use crate::register::Shelf;
use crate::say;
use crate::words::InWords as _;
use workshop::RecordKind;

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
            Some(file) => self.remeasured(file, &measured(&ledger, &old)?, &desk::shelf(path))?,
            None => self.withdrawal(&old)?,
        };
        let entry = ledger.amend(&self.id, &self.reason, draft)?;
        recorded::remark(&entry);
        output
            .line(&self.told(&entry, &old))
            .and_then(|()| output.finish())
            .map_err(|failure| failure.although_recorded(&entry.id().to_string()))
    }

    /// What is on the record now, and what holds.
    fn told(&self, entry: &Entry, old: &Entry) -> String {
        let (new, old_id) = (entry.id(), old.id());
        match &self.job {
            Some(_) => say!("ledger.amended-holds", new = new, old = old_id),
            None if RecordKind::Note.is_of(old) => {
                say!("ledger.amended-stays-withdrawn", new = new, old = old_id)
            }
            None => {
                let withdrawn = say!("ledger.amended-withdrawn", new = new, old = old_id);
                format!("{withdrawn}\n{}", say!("ledger.amend-withdrawn", new = new))
            }
        }
    }

    /// A note in the place of an entry: it no longer holds.
    fn withdrawal(&self, old: &Entry) -> Result<Draft, Failure> {
        Ok(Draft {
            subjects: old
                .content
                .subjects
                .iter()
                .filter(|subject| subject.role != "verdict")
                .cloned()
                .collect(),
            ..desk::recorder(&self.person).blank(RecordKind::Note)?
        })
    }

    /// The draft of the measurement that holds instead of an old one.
    ///
    /// When it was measured stays, unless the job file says otherwise. That it is the same characteristic of the same
    /// part is checked, since a wrong number is easily typed.
    fn remeasured(&self, file: &Path, old: &Entry, shelf: &Shelf) -> Result<Draft, Failure> {
        let (old_job, old_result) = record::read(old)?;
        let clock = Clock {
            now: clock::now()?,
            measured: Measured {
                at: old_job.measured_at,
                on: old_job.measured_on,
            },
        };
        let mut job = inspect::read(file, clock, shelf)?;
        if job.person.is_none() {
            job.person = old_job.person;
        }
        let result = inspect::compute(file, &job)?;
        let same = job.part.name == old_job.part.name
            && result.characteristic == old_result.characteristic;
        if !same && !self.other_part {
            return Err(Failure::input(say!(
                "ledger.amend-other-part",
                entry = old.id(),
                old_part = old_job.part.name,
                old = old_result.characteristic(),
                file = file.display(),
                new_part = job.part.name,
                new = result.characteristic()
            )));
        }
        Ok(desk::draft(&job, &result, Some(&self.person))?)
    }
}

/// The measurement that a new one is held against: the entry itself or, where that is a note, the last one before it.
fn measured(ledger: &Ledger, old: &Entry) -> Result<Entry, Failure> {
    if !RecordKind::Note.is_of(old) {
        return Ok(old.clone());
    }
    let line = ledger.history(&old.id().into())?;
    Ok(line
        .into_iter()
        .filter(|entry| entry.sequence < old.sequence)
        .rfind(|entry| RecordKind::Inspection.is_of(entry))
        .unwrap_or_else(|| old.clone()))
}
