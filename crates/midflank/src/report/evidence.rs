//! What a result rests on, as rows of name and words: equipment, zero readings, temperatures. The same in every format.

use metrology::inspection::{Characteristic, Feature, Job};
use metrology::message::Value;
use metrology::units::Entered;
use serde_json::Value as Json;

use super::kept::kept;
use super::limits_from;
use crate::document::Inspected;
use crate::say;
use crate::words;
use crate::words::InWords as _;
use crate::words::equipment::{on_report, role};
use crate::words::number;
use workshop::equipment::pieces;

/// A name and what belongs to it.
type Row = (&'static str, String);

/// The rows, in the order of the work.
pub fn rows(job: &Job, result: &Inspected) -> Vec<Row> {
    let mut rows = equipment(job, result);
    rows.extend([
        (say!("report.evidence-zero-before"), list(&job.zero.before)),
        (say!("report.evidence-zero-after"), list(&job.zero.after)),
    ]);
    rows.extend(asked(job));
    rows.extend(put_aside(job, result));
    rows.extend(temperature(job));
    rows.extend(materials(job, result));
    rows.push((
        say!("report.evidence-measured"),
        match &job.person {
            Some(person) => say!(
                "report.measured-by",
                at = number::time(job.measured_at),
                person = person
            ),
            None => number::time(job.measured_at),
        },
    ));
    rows.extend(notes(job, result));
    rows
}

/// The rows that one sheet has room for: nothing that stands elsewhere on it.
pub fn in_short(job: &Job, result: &Inspected) -> Vec<Row> {
    let mut rows = equipment(job, result);
    rows.extend(asked(job));
    rows.extend(put_aside(job, result));
    rows.extend(temperature(job));
    rows.extend(notes(job, result));
    rows
}

/// What was stated of the feature, and what it was measured with.
fn equipment(job: &Job, result: &Inspected) -> Vec<Row> {
    let mut rows = Vec::new();
    if let Characteristic::Thread { terms: Some(_), .. } = &job.characteristic {
        rows.push((say!("report.evidence-limits"), limits_from(result)));
    }
    if let Characteristic::Feature { feature, .. } = &job.characteristic
        && let Some(stated) = stated(feature)
    {
        rows.push((say!("report.evidence-feature"), stated));
    }
    rows.extend(pieces(job).map(|(kind, piece)| (role(kind), on_report(kind, piece, &job.notes))));
    rows
}

/// What the verdict has to cover, and how the thread was made.
fn asked(job: &Job) -> Vec<Row> {
    let mut rows = Vec::new();
    if let Some(scope) = job.scope {
        rows.push((say!("report.evidence-scope"), words::word(&scope)));
    }
    if let Some(made) = job.prior.made {
        rows.push((say!("report.evidence-made"), words::word(&made)));
    }
    rows
}

/// Readings that were struck out, or looked into and left.
fn put_aside(job: &Job, result: &Inspected) -> Vec<Row> {
    let mut rows = Vec::new();
    let because = |reading: &Entered, reason: &Value| {
        say!(
            "report.struck-out",
            reading = number::as_entered(reading.text()),
            reason = words::value(reason, result.shown())
        )
    };
    for struck in &job.struck {
        let words = because(&struck.reading, &struck.reason);
        rows.push((say!("report.evidence-struck-out"), words));
    }
    for left in kept(job) {
        let words = because(&left.reading, &left.reason);
        rows.push((say!("report.evidence-left"), words));
    }
    rows
}

fn temperature(job: &Job) -> Option<Row> {
    let temperature = job.temperature.as_ref()?;
    Some((
        say!("report.evidence-temperature"),
        say!(
            "report.temperatures",
            part = number::short(temperature.part.degrees(), 3),
            standard = number::short(temperature.standard.degrees(), 3),
            instrument = temperature.instrument.map_or_else(
                || say!("report.as-the-standard").to_owned(),
                |read| number::celsius(read.degrees(), 3)
            ),
            u = number::short(temperature.uncertainty(job.measured_on), 3)
        ),
    ))
}

/// How the materials expand, and how hard the part is.
fn materials(job: &Job, result: &Inspected) -> Vec<Row> {
    let mut rows = Vec::new();
    // The coefficients as they were when the result was computed, from its budget.
    let expansion: Vec<String> = result
        .budget
        .iter()
        .filter(|line| line.unit == "1/K")
        .filter_map(|line| {
            let note = result.say(line.note.as_ref()?);
            let of = format!("expansion.{}", line.quantity);
            Some(words::line(&of, &[("note", &note)]))
        })
        .collect();
    if !expansion.is_empty() {
        rows.push((say!("report.evidence-expansion"), expansion.join("; ")));
    }
    if let Some(hardness) = job.part.hardness_hv {
        let hardness = say!("report.hardness", vickers = number::short(hardness, 1));
        rows.push((say!("report.evidence-hardness"), hardness));
    }
    rows
}

fn notes(job: &Job, result: &Inspected) -> Option<Row> {
    if job.notes.is_empty() {
        return None;
    }
    let notes: Vec<String> = job
        .notes
        .iter()
        .map(|note| words::value(note, result.shown()))
        .collect();
    Some((say!("report.evidence-note"), notes.join("; ")))
}

/// All that was stated of a feature beside its limits, under the names that a job file has for it: with it the result can
/// be reckoned again from the paper alone.
fn stated(feature: &Feature) -> Option<String> {
    let Json::Object(named) = serde_json::to_value(feature).ok()? else {
        return None;
    };
    let mut fields = Vec::new();
    for value in named.values() {
        add_words("", value, &mut fields);
    }
    let all = fields.join(", ");
    Some(if all.is_empty() {
        crate::words::word(feature)
    } else {
        format!("{}: {all}", crate::words::word(feature))
    })
}

/// What a field of a feature is called.
fn field_words(key: &str) -> String {
    words::named("stated", &key.replace('_', "-"))
}

fn add_words(name: &str, value: &Json, all: &mut Vec<String>) {
    match value {
        Json::Null => {}
        Json::Object(fields) => {
            for (key, value) in fields {
                add_words(&field_words(key), value, all);
            }
        }
        Json::Array(items) => {
            let items: Vec<String> = items.iter().map(plainly).collect();
            all.push(format!("{} {}", name.trim(), items.join(" ")));
        }
        one => all.push(format!("{} {}", name.trim(), plainly(one))),
    }
}

fn plainly(value: &Json) -> String {
    match value.as_str() {
        // A length stands with its unit apart, as everywhere on a report.
        Some(text) => {
            Entered::parse(text, None).map_or(text.to_owned(), |length| number::entered(&length))
        }
        None => number::localized(&value.to_string()),
    }
}

fn list(readings: &[Entered]) -> String {
    if readings.is_empty() {
        return say!("report.not-read").to_owned();
    }
    readings
        .iter()
        .map(|reading| number::as_entered(reading.text()))
        .collect::<Vec<_>>()
        .join("  ")
}
