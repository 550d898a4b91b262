//! What a result rests on, as rows of name and words: equipment, zero readings, temperatures. The same in every format.

use jiff::civil::Date;
use metrology::inspection::{
    Characteristic, Feature, InstrumentErrors, Job, PitchEntry, StandardForm, WireSet,
};
use metrology::message::Value;
use metrology::units::Entered;
use serde_json::Value as Json;

use super::limits_from;
use crate::document::Inspected;
use crate::say;
use crate::words;
use crate::words::InWords as _;
use crate::words::number;

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
    rows.push((say!("report.evidence-micrometer"), micrometer(job)));
    rows.push((say!("report.evidence-contacts"), contacts(job)));
    if let Some(wires) = &job.wires {
        rows.push((say!("report.evidence-wires"), set_of_wires(wires)));
    }
    rows.push((say!("report.evidence-standard"), standard(job)));
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
            u = number::short(temperature.standard_uncertainty, 3)
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

fn micrometer(job: &Job) -> String {
    let instrument = &job.instrument;
    let [from, to] = &instrument.range;
    let (from, to) = (number::entered(from), number::entered(to));
    let step = instrument.resolution.as_ref().map(number::entered);
    let errors = match &instrument.errors {
        InstrumentErrors::Within {
            maximum_permissible_error,
        } => say!(
            "report.no-error-above",
            limit = number::entered(maximum_permissible_error)
        ),
        InstrumentErrors::Curve {
            points,
            expanded_uncertainty,
            coverage_factor,
            ..
        } => say!(
            "report.error-curve",
            points = points.len(),
            expanded = number::entered(expanded_uncertainty),
            k = number::short(*coverage_factor, 4)
        ),
    };
    joined([
        Some(instrument.id.clone()),
        Some(say!("report.from-to", from = from, to = to)),
        step.map(|step| say!("report.step", step = step)),
        Some(errors),
        Some(certificate(instrument.certificate.as_deref())),
        due(instrument.due),
    ])
}

fn contacts(job: &Job) -> String {
    let contacts = &job.contacts;
    let pitch = |entry: &PitchEntry| match entry {
        PitchEntry::Length(length) => number::entered(length),
        PitchEntry::PerInch(text) => text.clone(),
    };
    let kind = match contacts.included_angle {
        Some(angle) => format!("{} {}", words::word(&contacts.kind), number::degrees(angle)),
        None => words::word(&contacts.kind),
    };
    let pitches = contacts
        .pitch_range
        .as_ref()
        .map(|[from, to]| say!("report.for-pitches", from = pitch(from), to = pitch(to)));
    let half_angles = contacts
        .half_angle_limit
        .map(|limit| say!("report.half-angles", limit = number::minutes_of_arc(limit)));
    let size = |size: &Option<Entered>| size.as_ref().map(number::entered);
    let tip = size(&contacts.tip_radius).map(|size| say!("report.tip-radius", size = size));
    let face = size(&contacts.face).map(|size| say!("report.face", size = size));
    let thickness = size(&contacts.thickness).map(|size| say!("report.thickness", size = size));
    let members = contacts
        .members
        .as_ref()
        .map(|[one, other]| format!("{one} + {other}"));
    let force = contacts.force.or(job.instrument.force);
    let force = force.map(|force| say!("report.used-at", force = number::short(force, 2)));
    let id = Some(contacts.id.clone());
    joined([
        id,
        Some(kind),
        pitches,
        half_angles,
        tip,
        face,
        thickness,
        members,
        force,
    ])
}

fn standard(job: &Job) -> String {
    let standard = &job.standard;
    if standard.form == StandardForm::Closed {
        return joined([Some(standard.id.clone()), Some(words::word(&standard.form))]);
    }
    joined([
        Some(standard.id.clone()),
        Some(words::word(&standard.form)),
        Some(say!(
            "report.certified",
            size = number::entered(&standard.size)
        )),
        Some(expanded(
            &standard.expanded_uncertainty,
            standard.coverage_factor,
        )),
        Some(certificate(standard.certificate.as_deref())),
        due(standard.due),
    ])
}

fn set_of_wires(wires: &WireSet) -> String {
    let calibrated = if wires.calibrated_under_force {
        say!("report.under-force")
    } else {
        say!("report.free-diameter")
    };
    joined([
        Some(wires.id.clone()),
        Some(number::entered(&wires.diameter)),
        Some(expanded(&wires.expanded_uncertainty, wires.coverage_factor)),
        Some(calibrated.to_owned()),
        Some(certificate(wires.certificate.as_deref())),
        due(wires.due),
    ])
}

/// An expanded uncertainty with its coverage factor.
fn expanded(uncertainty: &Entered, factor: f64) -> String {
    let k = number::short(factor, 4);
    format!("U = {} (k = {k})", number::entered(uncertainty))
}

fn certificate(number: Option<&str>) -> String {
    match number {
        Some(number) => say!("report.certificate", number = number),
        None => say!("report.no-certificate").to_owned(),
    }
}

fn due(due: Option<Date>) -> Option<String> {
    due.map(|due| say!("report.due", due = due))
}

fn joined<const N: usize>(all: [Option<String>; N]) -> String {
    all.into_iter().flatten().collect::<Vec<_>>().join(", ")
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
