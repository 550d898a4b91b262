//! Form between places of a part, as its earlier records show it.

use std::collections::BTreeSet;

use jiff::Timestamp;
use ledger::{Filter, Ledger, Order, Page, Subject};
use metrology::inspection::{Characteristic, FormHistory, Job, Part};

use crate::document::{Inspected, to_mm};
use crate::error::Error;
use crate::record;
use crate::record_kind::RecordKind;

/// So many of the latest records of a part are looked at: enough to know it by, and read while somebody waits.
const RECORDS: u32 = 20;

/// What the standing records of the same part, drawing and characteristic tell that were measured before; nothing where they
/// are too few. A measurement that was recorded twice counts once.
pub fn history(
    ledger: &Ledger,
    part: &Part,
    characteristic: &Characteristic,
    before: Timestamp,
) -> Result<Option<FormHistory>, Error> {
    let stated = [
        ("part", Some(&part.name)),
        ("drawing", part.drawing.as_ref()),
    ];
    let stated = stated.into_iter();
    let filter = Filter {
        subjects: stated
            .filter_map(|(role, identity)| Some(Subject::new(role, identity?.trim())))
            .collect(),
        ..RecordKind::Inspection.standing()
    };
    let listing = ledger.list(&filter, &Page::first(Order::NewestFirst, RECORDS))?;
    let mut records = Vec::new();
    let mut seen = BTreeSet::new();
    for entry in &listing.entries {
        // What cannot be read is told by `ledger verify`; it tells nothing of form.
        let Ok((job, result)) = record::read(entry) else {
            continue;
        };
        // A reading that looked like a mistake is no form, though somebody left it.
        let flagged = result
            .readings
            .iter()
            .any(|reading| !reading.flags.is_empty());
        if !flagged
            && job.measured_at < before
            && job.characteristic == *characteristic
            && job.part.drawing == part.drawing
            && seen.insert((job.measured_at, job.part.sample.clone()))
        {
            records.push((entry.id().to_string(), place_means(&job, &result)));
        }
    }
    Ok(FormHistory::of(&records))
}

/// The mean of the corrected readings at each place, millimetres.
fn place_means(job: &Job, result: &Inspected) -> Vec<f64> {
    let mut corrected = result
        .readings
        .iter()
        .map(|reading| to_mm(reading.corrected, result.unit));
    let mut mean = |n: usize| corrected.by_ref().take(n).sum::<f64>() / n as f64;
    job.readings
        .iter()
        .map(|place| mean(place.readings.len()))
        .collect()
}
