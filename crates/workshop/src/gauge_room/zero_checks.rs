//! The zero checks of a pair of contacts as its records show them, opening and closing, one list for each micrometer and standard.

use jiff::Timestamp;
use ledger::{Filter, Ledger, Order, Page, Subject};

use crate::document::from_mm;
use crate::error::Error;
use crate::record;
use crate::record_kind::RecordKind;

#[derive(Clone, Debug, PartialEq)]
pub struct Check {
    pub at: Timestamp,
    /// The record that shows it.
    pub entry: String,
    /// Whether it closed a job.
    pub closing: bool,
    /// Indicated less certified, micrometres.
    pub error_um: f64,
}

/// The checks of a pair in one micrometer on one standard.
#[derive(Clone, Debug, PartialEq)]
pub struct Checks {
    pub instrument: String,
    pub standard: String,
    /// One step of the display, micrometres; 0 where it is not known.
    pub step_um: f64,
    pub checks: Vec<Check>,
    /// Places before which pair or micrometer had another certificate.
    pub restarts: Vec<usize>,
}

metrology::messages! {
    /// Why there are none.
    pub enum ChecksError "zero-checks" {
        /// No record has the pair.
        None "none" { contacts: String as Text },
    }
}

/// Checks with the certificates of pair and micrometer at the last of them, the closing readings of its job, and between which
/// checks that was measured.
type Gathered = (
    Checks,
    Option<[Option<String>; 2]>,
    Vec<String>,
    Option<Between>,
);

/// What all pieces of a lot that were measured between two checks have in common: the run at the bench or the lot of a file, and the
/// readings of both.
#[derive(PartialEq)]
struct Between {
    events: Option<(u64, u64)>,
    lot: Option<String>,
    readings: [Vec<String>; 2],
}

/// The checks of a pair, by micrometer and standard in the order in which they were first used.
pub fn of(ledger: &Ledger, contacts: &str) -> Result<Vec<Checks>, Error> {
    let filter = Filter {
        subjects: vec![Subject::new("contacts", contacts.trim())],
        ..RecordKind::Inspection.standing()
    };
    let mut jobs = Vec::new();
    let mut page = Some(Page::first(Order::OldestFirst, Page::LARGEST));
    while let Some(next) = page {
        let listing = ledger.list(&filter, &next)?;
        for entry in &listing.entries {
            let (job, result) = record::read(entry)?;
            let events = entry.content.events;
            let events = events.map(|events| (events.job, events.count));
            jobs.push((entry.id().to_string(), events, job, result));
        }
        page = listing.next;
    }
    jobs.sort_by_key(|(_, _, job, _)| job.measured_at);
    let mut all: Vec<Gathered> = Vec::new();
    for (entry, events, job, result) in jobs {
        let (instrument, standard) = (job.instrument.id.clone(), job.standard.id.clone());
        let known = |(one, ..): &(Checks, _, _, _)| {
            one.instrument == instrument && one.standard == standard
        };
        let place = all.iter().position(known).unwrap_or_else(|| {
            let step = job.instrument.resolution.as_ref();
            let checks = Checks {
                instrument: instrument.clone(),
                standard: standard.clone(),
                step_um: step.map_or(0.0, |step| step.value().mm() * 1000.0),
                checks: Vec::new(),
                restarts: Vec::new(),
            };
            all.push((checks, None, Vec::new(), None));
            all.len() - 1
        });
        let Some((checks, certificates, closed_with, last)) = all.get_mut(place) else {
            continue;
        };
        let texts = |readings: &[metrology::units::Entered]| -> Vec<String> {
            readings.iter().map(|one| one.text().to_owned()).collect()
        };
        let between = Between {
            events,
            lot: job.part.lot.clone(),
            readings: [texts(&job.zero.before), texts(&job.zero.after)],
        };
        let is_of_lot = between.lot.is_some() && !job.zero.after.is_empty();
        if is_of_lot && last.as_ref() == Some(&between) {
            continue;
        }
        *last = Some(between);
        let now = [
            job.contacts.certificate.clone(),
            job.instrument.certificate.clone(),
        ];
        if certificates.as_ref().is_some_and(|before| *before != now) {
            checks.restarts.push(checks.checks.len());
        }
        *certificates = Some(now);
        let um = |error: f64| error / from_mm(0.001, result.unit);
        let mut check = |closing, error| {
            checks.checks.push(Check {
                at: job.measured_at,
                entry: entry.clone(),
                closing,
                error_um: um(error),
            });
        };
        // The closing check of one part that is the opening check of the next is one.
        if closed_with.is_empty() || *closed_with != texts(&job.zero.before) {
            check(false, result.zero_error.before);
        }
        if let Some(after) = result.zero_error.after {
            check(true, after);
        }
        *closed_with = texts(&job.zero.after);
    }
    if all.is_empty() {
        let contacts = contacts.to_owned();
        return Err(Error::input(ChecksError::None { contacts }));
    }
    Ok(all.into_iter().map(|(checks, ..)| checks).collect())
}
