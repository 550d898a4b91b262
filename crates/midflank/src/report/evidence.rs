//! What a result rests on, as rows of name and words: equipment, zero readings, temperatures. The same in every format.

use metrology::inspection::{Characteristic, Feature, Job};
use metrology::message::Value;
use metrology::units::Entered;
use serde_json::Value as Json;

use super::limits_from;
use crate::document::Inspected;
use crate::say;
use crate::words;
use crate::words::InWords as _;
use crate::words::equipment::{on_report, role};
use crate::words::number;
use workshop::equipment::pieces;

/// The rows, in the order of the work.
pub fn rows(job: &Job, result: &Inspected) -> Vec<(&'static str, String)> {
    let mut rows: Vec<(&'static str, String)> = pieces(job)
        .map(|(kind, piece)| (role(kind), on_report(kind, piece)))
        .collect();
    rows.push((say!("report.evidence-zero-before"), list(&job.zero.before)));
    rows.push((say!("report.evidence-zero-after"), list(&job.zero.after)));
    if let Characteristic::Feature { feature, .. } = &job.characteristic
        && let Some(stated) = stated(feature)
    {
        rows.insert(0, (say!("report.evidence-feature"), stated));
    }
    if let Characteristic::Thread { terms: Some(_), .. } = &job.characteristic {
        rows.insert(0, (say!("report.evidence-limits"), limits_from(result)));
    }
    if let Some(scope) = job.scope {
        rows.push((say!("report.evidence-scope"), words::word(&scope)));
    }
    if let Some(made) = job.prior.made {
        rows.push((say!("report.evidence-made"), words::word(&made)));
    }
    let because = |reading: &Entered, reason: &Value| {
        say!(
            "report.struck-out",
            reading = reading.text(),
            reason = words::value(reason, result.shown())
        )
    };
    for struck in &job.struck {
        let words = because(&struck.reading, &struck.reason);
        rows.push((say!("report.evidence-struck-out"), words));
    }
    for left in &job.left {
        let words = because(&left.reading, &left.reason);
        rows.push((say!("report.evidence-left"), words));
    }
    if let Some(temperature) = &job.temperature {
        rows.push((
            say!("report.evidence-temperature"),
            say!(
                "report.temperatures",
                part = number::short(temperature.part.degrees(), 3),
                standard = number::short(temperature.standard.degrees(), 3),
                instrument = temperature.instrument.map_or_else(
                    || say!("report.as-the-standard").to_owned(),
                    |read| number::celsius(read.degrees(), 3)
                ),
                u = number::short(temperature.standard_uncertainty, 3)
            ),
        ));
    }
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
    if !job.notes.is_empty() {
        let notes: Vec<String> = job
            .notes
            .iter()
            .map(|note| words::value(note, result.shown()))
            .collect();
        rows.push((say!("report.evidence-note"), notes.join("; ")));
    }
    rows
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
        .map(Entered::text)
        .collect::<Vec<_>>()
        .join("  ")
}
