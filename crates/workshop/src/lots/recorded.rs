//! What a result on the record says of itself beyond its facts. Its document is read only where that is needed.

use ledger::{Entry, EntryId, Facts, Ledger, Text};
use metrology::inspection::{Characteristic, Job, Place};

use super::assigned::{Assigned, Characteristics, Said};
use super::doubts::number;
use crate::error::Error;
use crate::inspection_plan::Plan;
use crate::kept;
use crate::lot_entry::NUMBER;
use crate::record_kind::RecordKind;

/// A result on the record.
pub(super) struct Recorded {
    /// The number of its characteristic under the plan of the run that it was measured in.
    planned: Option<String>,
    given: Option<String>,
    kind: RecordKind,
    job: Option<Job>,
}

impl Recorded {
    pub fn read(
        ledger: &Ledger,
        plan: &Plan,
        kind: RecordKind,
        entry: &Entry,
        facts: &Facts,
    ) -> Result<Self, Error> {
        let planned = entry.content.subject(NUMBER).map(str::to_owned);
        let of_inspection = kind == RecordKind::Inspection;
        let names_places = || {
            let mut all = plan.characteristics.iter();
            all.any(|planned| !planned.places.is_empty())
        };
        let job = if of_inspection && (planned.is_none() || names_places()) {
            job(ledger, entry.id())?
        } else {
            None
        };
        Ok(Self {
            planned,
            given: facts.text(Text::Given).map(str::to_owned),
            kind,
            job,
        })
    }

    /// The number of its characteristic, where it is stated.
    pub fn number(&self) -> Option<&str> {
        let of_job = || {
            let stated = self.job.as_ref()?.part.characteristic.as_deref()?.trim();
            (!stated.is_empty()).then_some(stated)
        };
        self.planned.as_deref().or_else(of_job)
    }

    /// The job of a result that was not measured in a run.
    pub fn own_job(&self) -> Option<&Job> {
        self.job.as_ref().filter(|_| !self.is_of_run())
    }

    /// Whether it was measured in a run of its lot at the bench.
    pub fn is_of_run(&self) -> bool {
        self.planned.is_some()
    }

    pub fn said(&self) -> Said<'_> {
        let characteristic: Option<&Characteristic> =
            self.job.as_ref().map(|job| &job.characteristic);
        Said {
            number: self.number(),
            given: self.given.as_deref(),
            characteristic,
            is_measured: self.kind == RecordKind::Inspection,
        }
    }

    /// Where it was measured.
    pub fn places(&self, ledger: &Ledger, entry: EntryId) -> Result<Vec<Place>, Error> {
        let read = match &self.job {
            Some(job) => return Ok(job.readings.clone()),
            None => job(ledger, entry)?,
        };
        Ok(read.map(|job| job.readings).unwrap_or_default())
    }
}

fn job(ledger: &Ledger, entry: EntryId) -> Result<Option<Job>, Error> {
    let entry = ledger.get(&entry.into())?;
    Ok(kept::glance::<Job>(kept::JOB, &entry.content.inputs).ok())
}

/// The numbers that results of a lot have in its plan.
pub struct Numbers {
    plan: Plan,
    characteristics: Characteristics,
}

impl Numbers {
    pub fn of(plan: &Plan) -> Result<Self, Error> {
        Ok(Self {
            plan: plan.clone(),
            characteristics: Characteristics::of(plan)?,
        })
    }

    /// The number of the characteristic that a result is of; none where it counts for none.
    pub fn of_result(
        &self,
        ledger: &Ledger,
        kind: RecordKind,
        entry: &Entry,
        facts: &Facts,
    ) -> Result<Option<String>, Error> {
        let result = Recorded::read(ledger, &self.plan, kind, entry, facts)?;
        Ok(match self.characteristics.assign(&result.said()) {
            Assigned::To { index, .. } => Some(number(&self.plan, index)),
            Assigned::Apart { .. } => None,
        })
    }
}
