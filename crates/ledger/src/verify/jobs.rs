//! The events of jobs, each job a chain of its own.

use super::{VerifyOptions, VerifyReport};
use crate::{FaultKind, Hash, Ledger, Place, Result, StorageFault, encoding, store::EventRow};

/// How many events are in memory at a time.
const AT_A_TIME: u32 = 2_000;

/// Walks the chains of all jobs.
pub(super) fn walk(
    ledger: &Ledger,
    options: &VerifyOptions<'_>,
    report: &mut VerifyReport,
) -> Result<()> {
    // Taken first: what is kept meanwhile makes more events, not fewer.
    let extent = match ledger.store.event_extent() {
        Ok(extent) => extent,
        Err(error) => return report.damage(error),
    };
    let mut walk = Walk {
        report,
        job: 0,
        last: 0,
        last_hash: None,
        end: None,
    };
    let mut after = (i64::MIN, i64::MIN);
    loop {
        let rows = match ledger.store.event_rows(after, AT_A_TIME) {
            Ok(rows) if rows.is_empty() => break,
            Ok(rows) => rows,
            Err(error) => {
                walk.report.damage(error)?;
                let (job, number) = (walk.job, walk.last);
                let what = StorageFault::EventsUnreadableAfter { job, number };
                walk.report.fault(Place::File, FaultKind::Storage { what });
                return Ok(());
            }
        };
        for row in &rows {
            if (row.job, row.number) <= after {
                let what = StorageFault::OutOfOrder;
                walk.report.fault(Place::File, FaultKind::Storage { what });
                return Ok(());
            }
            after = (row.job, row.number);
            walk.row(row);
        }
        options.go_on(walk.report)?;
    }
    if extent.found < extent.issued {
        let (found, issued) = (extent.found, extent.issued);
        let kind = FaultKind::EventsMissing { found, issued };
        walk.report.fault(Place::File, kind);
    }
    Ok(())
}

/// The state between one row and the next.
struct Walk<'a> {
    report: &'a mut VerifyReport,
    job: u64,
    /// The number of the event before.
    last: u64,
    /// Its hash, where it could be read.
    last_hash: Option<Hash>,
    /// The event that ended the job.
    end: Option<u64>,
}

impl Walk<'_> {
    fn row(&mut self, row: &EventRow) {
        self.report.events += 1;
        let job = u64::try_from(row.job).unwrap_or(0);
        let number = u64::try_from(row.number).unwrap_or(0);
        let place = Place::Event { job, number };
        if job != self.job {
            (self.job, self.last, self.end) = (job, 0, None);
            self.last_hash = Some(encoding::job_hash(job));
        }
        let expected = self.last.saturating_add(1);
        if number > expected {
            let (first, last) = (expected, number - 1);
            self.report.fault(place, FaultKind::Gap { first, last });
            // What the missing ones hashed to cannot be known.
            self.last_hash = None;
        }
        if let Some(end) = self.end {
            self.report.fault(place, FaultKind::AfterTheEnd { end });
        }
        match &row.event {
            Ok(event) => {
                let stored = event.hash;
                let computed = self
                    .last_hash
                    .map(|previous| encoding::event_hash(&previous, event));
                if let Some(computed) = computed.filter(|computed| *computed != stored) {
                    let kind = FaultKind::HashMismatch { stored, computed };
                    self.report.fault(place, kind);
                }
                self.end = self.end.or(event.ends.then_some(number));
            }
            Err(why) => {
                let why = why.clone();
                self.report.fault(place, FaultKind::Unreadable { why });
            }
        }
        self.last = number;
        self.last_hash = row.hash;
    }
}
