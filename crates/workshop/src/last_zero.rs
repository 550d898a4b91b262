//! Where the zero of a micrometer with its contacts last stood, as the records show it.

use jiff::Timestamp;
use ledger::{Filter, Ledger, Order, Page, Subject};
use metrology::correction::zero_error;
use metrology::inspection::{Contacts, Instrument, Job, Standard, Zero};
use metrology::units::{Entered, Length};

use crate::error::Error;
use crate::record;
use crate::record_kind::RecordKind;

/// So many of the latest records are looked at for the one that was measured last.
const RECORDS: u32 = 20;

/// A micrometer, a pair of contacts and a setting standard, by identity.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Zeroed {
    pub instrument: String,
    pub contacts: String,
    pub standard: String,
}

impl Zeroed {
    /// The set-up of these.
    pub fn of(instrument: &Instrument, contacts: &Contacts, standard: &Standard) -> Self {
        Self {
            instrument: instrument.id.clone(),
            contacts: contacts.id.clone(),
            standard: standard.id.clone(),
        }
    }
}

/// Where the zero stood.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LastZero {
    /// Indicated less certified.
    pub error: Entered,
    /// The entry that shows it.
    pub record: u64,
}

impl LastZero {
    /// What the latest standing record before a moment shows, at the end of its job.
    pub fn of(ledger: &Ledger, zeroed: &Zeroed, before: Timestamp) -> Result<Option<Self>, Error> {
        let subjects = [
            ("contacts", &zeroed.contacts),
            ("instrument", &zeroed.instrument),
            ("standard", &zeroed.standard),
        ];
        let filter = Filter {
            subjects: subjects
                .map(|(role, identity)| Subject::new(role, identity.trim()))
                .to_vec(),
            ..RecordKind::Inspection.standing()
        };
        let listing = ledger.list(&filter, &Page::first(Order::NewestFirst, RECORDS))?;
        let mut latest: Option<(Timestamp, Self)> = None;
        for entry in &listing.entries {
            // What cannot be read is told by `ledger verify`; it tells nothing of the zero.
            let Ok((job, _)) = record::read(entry) else {
                continue;
            };
            let later = latest.as_ref().is_none_or(|(at, _)| *at < job.measured_at);
            if job.measured_at < before
                && later
                && let Some(error) = error(&job)
            {
                let record = entry.id().sequence();
                latest = Some((job.measured_at, Self { error, record }));
            }
        }
        Ok(latest.map(|(_, last)| last))
    }

    /// Adds it to a job that does not state it.
    pub fn tell(last: Option<&Self>, zero: &mut Zero) {
        if let (None, Some(last)) = (&zero.last, last) {
            zero.last = Some(last.error.clone());
            zero.last_record = Some(last.record);
        }
    }
}

/// The error of the last zero check of a job.
fn error(job: &Job) -> Option<Entered> {
    let checks = [&job.zero.after, &job.zero.before];
    let last = checks.into_iter().find(|check| !check.is_empty())?;
    let readings: Vec<Length> = last.iter().map(Entered::value).collect();
    let found = zero_error(&readings, &[], job.standard.size.value())?;
    let error = Length::nearest_mm(found.value).ok()?;
    Some(Entered::of(error, last.first()?.unit()))
}
