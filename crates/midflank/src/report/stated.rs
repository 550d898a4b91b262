//! What ISO/IEC 17025:2017, 7.8.2.1 and 7.8.6.2, want to be clear of every report, where the record has it. That the record has
//! nothing is said too.

use jiff::civil::Date;
use metrology::inspection::{Characteristic, Job};
use metrology::message::{Message, Value};

use super::kept::kept;
use super::sections::Fact;
use crate::document::Inspected;
use crate::say;
use crate::words::InWords as _;
use crate::words::{self, Shown};

/// The warning that something was put aside on purpose.
pub const OVERRIDDEN: &str = "warning.overridden";
/// The note that a zero check in doubt was taken as it is.
const ZERO_ACCEPTED: &str = "job-note.zero-accepted";
/// The note of who agreed the decision rule, or where.
const RULE_AGREED: &str = "plan-note.rule-agreed";

pub fn around(job: &Job, result: &Inspected) -> Vec<Fact> {
    let part = &job.part;
    let supplied = match (&part.drawing, &job.characteristic) {
        (Some(drawing), Characteristic::Thread { terms: None, .. }) => {
            say!("paper.supplied-designation", drawing = drawing)
        }
        (Some(drawing), _) => say!("paper.supplied-limits", drawing = drawing),
        (None, Characteristic::Thread { terms: None, .. }) => {
            say!("paper.supplied-designation-alone").to_owned()
        }
        (None, _) => say!("paper.supplied-limits-alone").to_owned(),
    };
    let sampling = match (&part.sample, &part.lot) {
        (Some(sample), Some(lot)) => say!("paper.sample-of-lot", sample = sample, lot = lot),
        (Some(sample), None) => say!("paper.sample", sample = sample),
        (None, Some(lot)) => say!("paper.of-lot", lot = lot),
        (None, None) => say!("paper.no-sampling").to_owned(),
    };
    let deviations = deviations(job, &result.warnings, result.shown());
    [
        (say!("lots.customer"), customer(part.customer.as_deref())),
        (
            say!("paper.receipt"),
            receipt(part.received, part.condition.as_deref()),
        ),
        (say!("paper.supplied"), supplied),
        (say!("paper.sampling"), sampling),
        (say!("paper.rule-agreed"), agreed(job)),
        (say!("paper.deviations"), listed(&deviations)),
        (
            say!("paper.of-others"),
            say!("paper.certificates").to_owned(),
        ),
    ]
    .into_iter()
    .map(|(name, words)| (name.to_owned(), words.into()))
    .collect()
}

/// What was done otherwise than the procedure has it: rules put aside, zero checks taken in doubt, flagged readings kept.
pub fn deviations(job: &Job, warnings: &[Message], shown: Shown) -> Vec<String> {
    let overridden = warnings.iter().filter(|one| one.code == OVERRIDDEN);
    let overridden = overridden.map(|one| words::on_report(one, shown));
    overridden.chain(of_readings(job, shown)).collect()
}

/// The same without the rules put aside, which only the result has.
pub fn of_readings(job: &Job, shown: Shown) -> Vec<String> {
    let accepted = messages(job).filter(|note| note.code == ZERO_ACCEPTED);
    let accepted = accepted.map(|note| words::message(note, shown));
    let left = kept(job).map(|left| {
        say!(
            "paper.kept-reading",
            reading = words::number::entered(&left.reading),
            reason = words::value(&left.reason, shown)
        )
    });
    accepted.chain(left).collect()
}

/// All deviations in one sentence, or that there are none.
pub fn listed(deviations: &[String]) -> String {
    if deviations.is_empty() {
        say!("paper.no-deviation").to_owned()
    } else {
        deviations.join("; ")
    }
}

/// When and how something came in.
pub fn receipt(received: Option<Date>, condition: Option<&str>) -> String {
    match (received, condition) {
        (Some(received), Some(condition)) => say!(
            "paper.received-as",
            received = received,
            condition = condition
        ),
        (Some(received), None) => say!("paper.received-on", received = received),
        (None, Some(condition)) => say!("paper.condition-alone", condition = condition),
        (None, None) => say!("paper-lot.not-recorded").to_owned(),
    }
}

pub fn customer(customer: Option<&str>) -> String {
    customer.unwrap_or(say!("paper.no-customer")).to_owned()
}

/// With whom the decision rule was agreed.
fn agreed(job: &Job) -> String {
    let note = messages(job).find(|note| note.code == RULE_AGREED);
    match note.and_then(|note| note.value("by")) {
        Some(Value::Text(by)) => by.clone(),
        _ => say!("paper.not-agreed").to_owned(),
    }
}

fn messages(job: &Job) -> impl Iterator<Item = &Message> {
    job.notes.iter().filter_map(|note| match note {
        Value::Message(message) => Some(&**message),
        _ => None,
    })
}
