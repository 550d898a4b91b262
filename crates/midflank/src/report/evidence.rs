//! What a result rests on, as rows of name and words: equipment, zero readings, temperatures. The same in every format.

use std::fmt::Write as _;

use jiff::civil::Date;
use metrology::inspection::{Characteristic, Feature, InstrumentErrors, Job, PitchEntry, WireSet};
use metrology::units::Entered;
use serde_json::Value;

use crate::document::Inspected;

/// The rows, in the order of the work.
pub fn rows(job: &Job, result: &Inspected) -> Vec<(&'static str, String)> {
    let mut rows = vec![
        ("micrometer", micrometer(job)),
        ("contacts", contacts(job)),
        ("standard", standard(job)),
        ("zero before", list(&job.zero.before)),
        ("zero after", list(&job.zero.after)),
    ];
    if let Some(wires) = &job.wires {
        rows.insert(2, ("wires", set_of_wires(wires)));
    }
    if let Characteristic::Feature { feature, .. } = &job.characteristic
        && let Some(stated) = stated(feature)
    {
        rows.insert(0, ("feature", stated));
    }
    for struck in &job.struck {
        rows.push((
            "struck out",
            format!("{}: {}", struck.reading.text(), struck.reason),
        ));
    }
    if let Some(temperature) = &job.temperature {
        rows.push((
            "temperature",
            format!(
                "part {} °C, standard {} °C, micrometer {}; standard uncertainty {} K each",
                temperature.part.degrees(),
                temperature.standard.degrees(),
                temperature
                    .instrument
                    .map_or("as the standard".to_owned(), |degrees| format!(
                        "{} °C",
                        degrees.degrees()
                    )),
                temperature.standard_uncertainty
            ),
        ));
        // The coefficients as they were when the result was computed, from its budget.
        let expansion: Vec<String> = result
            .budget
            .iter()
            .filter(|line| line.unit == "1/K")
            .map(|line| {
                format!(
                    "{}: {}",
                    line.name.trim_start_matches("expansion of the "),
                    line.note
                )
            })
            .collect();
        if !expansion.is_empty() {
            rows.push(("expansion", expansion.join("; ")));
        }
    }
    rows.push((
        "measured",
        format!(
            "{}{}",
            job.measured_at.strftime("%Y-%m-%d %H:%M UTC"),
            job.person
                .as_ref()
                .map_or(String::new(), |person| format!(" by {person}"))
        ),
    ));
    if let Some(note) = &job.note {
        rows.push(("note", note.clone()));
    }
    rows
}

/// All that was stated of a feature beside its limits, under the names that a job file has for it: with it the result can
/// be reckoned again from the paper alone.
fn stated(feature: &Feature) -> Option<String> {
    let Value::Object(named) = serde_json::to_value(feature).ok()? else {
        return None;
    };
    let mut words = Vec::new();
    for value in named.values() {
        add_words("", value, &mut words);
    }
    let all = words.join(", ");
    Some(if all.is_empty() {
        crate::words::word(feature)
    } else {
        format!("{}: {all}", crate::words::word(feature))
    })
}

fn add_words(name: &str, value: &Value, words: &mut Vec<String>) {
    let name = name.replace('_', " ");
    match value {
        Value::Null => {}
        Value::Object(fields) => {
            for (key, value) in fields {
                add_words(&format!("{name} {key}"), value, words);
            }
        }
        Value::Array(items) => {
            let items: Vec<String> = items.iter().map(plainly).collect();
            words.push(format!("{} {}", name.trim(), items.join(" ")));
        }
        one => words.push(format!("{} {}", name.trim(), plainly(one))),
    }
}

fn plainly(value: &Value) -> String {
    match value.as_str() {
        // A length stands with its unit apart, as everywhere on a report.
        Some(text) => Entered::parse(text, None).map_or(text.to_owned(), |length| length.words()),
        None => value.to_string(),
    }
}

fn micrometer(job: &Job) -> String {
    let instrument = &job.instrument;
    let [from, to] = &instrument.range;
    let mut words = format!("{}, {} to {}", instrument.id, from.words(), to.words());
    if let Some(step) = &instrument.resolution {
        let _ = write!(words, ", step {}", step.words());
    }
    let _ = match &instrument.errors {
        InstrumentErrors::Within {
            maximum_permissible_error,
        } => {
            write!(
                words,
                ", no error above {}",
                maximum_permissible_error.words()
            )
        }
        InstrumentErrors::Curve {
            points,
            expanded_uncertainty,
            coverage_factor,
            ..
        } => write!(
            words,
            ", error curve of {} points, U = {} (k = {coverage_factor})",
            points.len(),
            expanded_uncertainty.words()
        ),
    };
    words + &certificate(instrument.certificate.as_deref(), instrument.due)
}

fn contacts(job: &Job) -> String {
    let contacts = &job.contacts;
    let kind = crate::words::word(&contacts.kind);
    let mut words = format!("{}, {kind}", contacts.id);
    if let Some(angle) = contacts.included_angle {
        let _ = write!(words, " {angle}°");
    }
    if let Some([from, to]) = &contacts.pitch_range {
        let pitch = |entry: &PitchEntry| match entry {
            PitchEntry::Length(length) => length.words(),
            PitchEntry::PerInch(text) => text.clone(),
        };
        let _ = write!(words, ", for pitches {} to {}", pitch(from), pitch(to));
    }
    if let Some(minutes) = contacts.half_angle_limit {
        let _ = write!(words, ", half angles within {minutes}′");
    }
    for (what, size) in contacts.sizes() {
        let _ = write!(words, ", {} {}", crate::words::word(&what), size.words());
    }
    if let Some([one, other]) = &contacts.members {
        let _ = write!(words, " ({one} + {other})");
    }
    if let Some(force) = contacts.force.or(job.instrument.force) {
        let _ = write!(words, ", used at {force} N");
    }
    words
}

fn standard(job: &Job) -> String {
    let standard = &job.standard;
    let form = crate::words::word(&standard.form);
    format!(
        "{}, {form}, certified {}, U = {} (k = {}){}",
        standard.id,
        standard.size.words(),
        standard.expanded_uncertainty.words(),
        standard.coverage_factor,
        certificate(standard.certificate.as_deref(), standard.due)
    )
}

fn set_of_wires(wires: &WireSet) -> String {
    format!(
        "{}, {}, U = {} (k = {}), {}{}",
        wires.id,
        wires.diameter.words(),
        wires.expanded_uncertainty.words(),
        wires.coverage_factor,
        if wires.calibrated_under_force {
            "calibrated under force"
        } else {
            "free diameter"
        },
        certificate(wires.certificate.as_deref(), wires.due)
    )
}

fn certificate(number: Option<&str>, due: Option<Date>) -> String {
    let mut words = match number {
        Some(number) => format!(", certificate {number}"),
        None => ", no certificate stated".to_owned(),
    };
    if let Some(due) = due {
        let _ = write!(words, ", due {due}");
    }
    words
}

fn list(readings: &[Entered]) -> String {
    if readings.is_empty() {
        return "not read".to_owned();
    }
    readings
        .iter()
        .map(Entered::text)
        .collect::<Vec<_>>()
        .join("  ")
}
