//! What a result rests on, as rows of name and words: equipment, zero readings, temperatures. The same in every format.

use std::fmt::Write as _;

use jiff::civil::Date;
use metrology::inspection::{InstrumentErrors, Job, PitchEntry, StandardForm, WireSet};
use metrology::units::Entered;

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
    let kind = contacts.kind.words();
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
    words
}

fn standard(job: &Job) -> String {
    let standard = &job.standard;
    let form = match standard.form {
        StandardForm::VAndConeRod => "rod with V and cone",
        StandardForm::ThreadPlug => "thread plug",
        StandardForm::Plain => "plain",
        StandardForm::Closed => "contacts closed on each other",
    };
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
