//! The end of a job: it becomes an entry, once.

use ledger::{Filter, Ledger, Order, Page, Subject};
use metrology::inspection::inspect;

use super::state::State;
use super::words;
use crate::cli::Failure;
use crate::document::Inspected;
use crate::record;

/// Under this role an entry names the job it was made from, so that a job that stopped between its record and its end
/// is not recorded twice.
const BENCH_JOB: &str = "bench-job";

/// Puts the job on the record, by the same calculation as everywhere, and returns the name of the entry.
pub fn record(ledger: &Ledger, state: &State) -> Result<String, Failure> {
    let (Some(number), Some(job)) = (state.job, state.to_job()) else {
        return Err(Failure::input(words::NOT_COMPLETE));
    };
    if let Some(made) = made_before(ledger, number)? {
        return Ok(made);
    }
    let result = inspect(&job).map_err(|error| Failure::input(words::job_error(&error)))?;
    let mut draft = record::draft(&job, &Inspected::of(&job, &result), None)?;
    draft
        .subjects
        .insert(Subject::new(BENCH_JOB, number.to_string()));
    Ok(ledger.append(&draft)?.id().to_string())
}

fn made_before(ledger: &Ledger, job: u64) -> Result<Option<String>, Failure> {
    let made = ledger.list(
        &Filter::touching(BENCH_JOB, job.to_string()),
        &Page::first(Order::OldestFirst, 1),
    )?;
    Ok(made.entries.first().map(|entry| entry.id().to_string()))
}
