//! The job file: one measurement as a person writes it down, in TOML.
//!
//! Its shape is [`shape`]; this module turns it into a [`Job`]. Bare numbers keep the digits they were written with
//! (8.870 is not 8.87) and take the file's `unit`; without one, every length must carry its own.

mod plain;
mod readings;
mod shape;
mod typed;

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use jiff::Timestamp;
use metrology::inspection::{
    Characteristic, Contacts, CurvePoint, Instrument, InstrumentErrors, Job, Part, PitchEntry,
    Prior, RuleName, Standard, Temperature, Zero,
};
use metrology::units::{Celsius, Entered};

use shape::JobFile;
use typed::{Source, Typed};

/// A job file that cannot be taken, with the place and what would be right.
#[derive(Debug, thiserror::Error)]
pub enum JobFileError {
    /// Not there, or not readable.
    #[error("cannot read {path}: {source}")]
    Read {
        /// Which file.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
    /// Not text.
    #[error("{path} is not UTF-8 text (byte {at}); save it as UTF-8")]
    NotText {
        /// Which file.
        path: PathBuf,
        /// Offset of the first wrong byte.
        at: usize,
    },
    /// Something in it is wrong.
    #[error("{path}:{line}: {message}")]
    Wrong {
        /// Which file.
        path: PathBuf,
        /// Line, counted from 1.
        line: usize,
        /// What is wrong and what would be right.
        message: String,
    },
}

/// Reads a job file; `now` is when it was measured if the file does not say.
pub fn read(path: &Path, now: Timestamp) -> Result<Job, JobFileError> {
    let text = read_text(path)?;
    parse(path, &text, now)
}

/// Reads text, or says at which byte it stops being text.
fn read_text(path: &Path) -> Result<String, JobFileError> {
    let bytes = fs::read(path).map_err(|source| JobFileError::Read {
        path: path.to_owned(),
        source,
    })?;
    String::from_utf8(bytes).map_err(|error| JobFileError::NotText {
        path: path.to_owned(),
        at: error.utf8_error().valid_up_to(),
    })
}

/// Takes the text of a job file; a CSV it names is read from the folder of `path`.
pub fn parse(path: &Path, text: &str, now: Timestamp) -> Result<Job, JobFileError> {
    let file: JobFile =
        toml::from_str(text).map_err(|error| plain::not_a_job(path, text, &error))?;
    let source = Source::new(path, text, file.unit.as_ref())?;
    build(&source, &file, now)
}

fn build(source: &Source, file: &JobFile, now: Timestamp) -> Result<Job, JobFileError> {
    Ok(Job {
        part: Part {
            name: file.part.name.clone(),
            drawing: file.part.drawing.clone(),
            order: file.part.order.clone(),
            lot: file.part.lot.clone(),
            sample: file.part.sample.clone(),
            characteristic: file.part.characteristic.clone(),
        },
        person: file.person.clone(),
        measured_at: source
            .optional(file.measured_at.as_ref(), Source::timestamp)?
            .unwrap_or(now),
        characteristic: characteristic(source, &file.measure)?,
        instrument: instrument(source, &file.instrument)?,
        contacts: contacts(source, &file.contacts)?,
        standard: standard(source, &file.standard)?,
        zero: Zero {
            before: source.readings("zero.before", &file.zero.before)?,
            after: source.readings("zero.after", &file.zero.after)?,
        },
        readings: readings::places(source, &file.readings)?,
        temperature: file.temperature.as_ref().map(temperature),
        prior: match &file.prior {
            Some(prior) => Prior {
                repeatability: source.optional(prior.repeatability.as_ref(), Source::length)?,
                degrees_of_freedom: prior.degrees_of_freedom,
                form: source.optional(prior.form.as_ref(), Source::length)?,
                drift_limit: source.optional(prior.drift_limit.as_ref(), Source::length)?,
                flank_angle: prior.flank_angle,
            },
            None => Prior::default(),
        },
        rule: match &file.decision {
            Some(decision) => RuleName {
                name: decision.rule.clone(),
                parameter: source.optional(decision.parameter.as_ref(), Source::number)?,
                assumed: false,
            },
            // Proof of conformity carries the uncertainty where nothing was agreed: ISO 14253-1:2017, default rule.
            None => RuleName {
                name: "iso14253-1".to_owned(),
                parameter: None,
                assumed: true,
            },
        },
        note: file.note.clone(),
        monte_carlo: None,
    })
}

fn characteristic(
    source: &Source,
    measure: &shape::Measure,
) -> Result<Characteristic, JobFileError> {
    let stated = measure.name.is_some() || measure.lower.is_some() || measure.upper.is_some();
    match &measure.designation {
        Some(designation) if !stated => Ok(Characteristic::Thread {
            designation: designation.clone(),
            diameter: measure.diameter.unwrap_or_default(),
        }),
        None if stated => Ok(Characteristic::Stated {
            name: measure.name.clone().unwrap_or_else(|| "size".to_owned()),
            lower: source.optional(measure.lower.as_ref(), Source::length)?,
            upper: source.optional(measure.upper.as_ref(), Source::length)?,
        }),
        _ => Err(source.wrong(
            source.line_of_table("measure"),
            "[measure] needs either `designation` (a thread) or `name` with `lower` and `upper` (limits from the drawing)",
        )),
    }
}

fn instrument(source: &Source, instrument: &shape::Instrument) -> Result<Instrument, JobFileError> {
    let errors = match (
        &instrument.maximum_permissible_error,
        &instrument.error_curve,
    ) {
        (Some(limit), None) => InstrumentErrors::Within {
            maximum_permissible_error: source.length(limit)?,
        },
        (None, Some(curve)) => InstrumentErrors::Curve {
            points: curve
                .points
                .iter()
                .map(|[at, error]| {
                    Ok(CurvePoint {
                        at: source.length(at)?,
                        error: source.length(error)?,
                    })
                })
                .collect::<Result<_, JobFileError>>()?,
            expanded_uncertainty: source.length(&curve.expanded_uncertainty)?,
            coverage_factor: curve.coverage_factor,
            periodic_error: source.optional(curve.periodic_error.as_ref(), Source::length)?,
        },
        _ => {
            return Err(source.wrong(
                source.line_of_table("instrument"),
                "[instrument] needs either `maximum_permissible_error` or an [instrument.error_curve], not both",
            ));
        }
    };
    let [smallest, largest] = &instrument.range;
    Ok(Instrument {
        id: instrument.id.clone(),
        range: [source.length(smallest)?, source.length(largest)?],
        resolution: source.optional(instrument.resolution.as_ref(), Source::length)?,
        certificate: instrument.certificate.clone(),
        due: source.optional(instrument.due.as_ref(), Source::date)?,
        errors,
    })
}

fn contacts(source: &Source, contacts: &shape::Contacts) -> Result<Contacts, JobFileError> {
    let pitch = |typed: &Typed| -> Result<PitchEntry, JobFileError> {
        let text = source.text(typed);
        match text.to_lowercase().strip_suffix("tpi") {
            Some(_) => Ok(PitchEntry::PerInch(text)),
            None => Ok(PitchEntry::Length(source.length(typed)?)),
        }
    };
    Ok(Contacts {
        id: contacts.id.clone(),
        kind: contacts.kind,
        included_angle: contacts.included_angle,
        pitch_range: match &contacts.pitch_range {
            Some([one, other]) => Some([pitch(one)?, pitch(other)?]),
            None => None,
        },
        half_angle_limit: contacts.half_angle_limit,
    })
}

fn standard(source: &Source, standard: &shape::Standard) -> Result<Standard, JobFileError> {
    Ok(Standard {
        id: standard.id.clone(),
        size: source.length(&standard.size)?,
        expanded_uncertainty: source.length(&standard.expanded_uncertainty)?,
        coverage_factor: standard.coverage_factor,
        form: standard.form.unwrap_or_default(),
        certificate: standard.certificate.clone(),
        due: source.optional(standard.due.as_ref(), Source::date)?,
    })
}

fn temperature(temperature: &shape::Temperature) -> Temperature {
    Temperature {
        part: Celsius::new(temperature.part),
        standard: Celsius::new(temperature.standard),
        instrument: temperature.instrument.map(Celsius::new),
        standard_uncertainty: temperature.standard_uncertainty,
        part_material: temperature.part_material.clone(),
        standard_material: temperature
            .standard_material
            .clone()
            .unwrap_or_else(|| "steel".to_owned()),
    }
}

/// The one unit of a list of readings, or what is wrong with it.
fn one_unit(readings: &[Entered]) -> Result<(), String> {
    let Some(first) = readings.first() else {
        return Ok(());
    };
    match readings
        .iter()
        .find(|reading| reading.unit() != first.unit())
    {
        None => Ok(()),
        Some(other) => Err(format!(
            "readings in mixed units: {} and {}; write all of them in the unit the micrometer showed",
            first.text(),
            other.text()
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use metrology::inspection::inspect;
    use proptest::prelude::*;

    const DEMO: &str = include_str!("../../../../demo/1-rating-screw.toml");

    proptest! {
        /// Whatever stands in a job file, the answer is a result or a sentence.
        #[test]
        fn any_job_file_has_an_answer(
            at in 0..DEMO.len(),
            cut in 0_usize..40,
            put in prop_oneof!["\\PC{0,12}", "[0-9.,\"\\[\\]=\n-]{0,8}", "[0-9]{1,30}"],
        ) {
            let start = (0..=at).rev().find(|at| DEMO.is_char_boundary(*at)).unwrap_or(0);
            let end = (start + cut..=DEMO.len()).find(|at| DEMO.is_char_boundary(*at)).unwrap_or(DEMO.len());
            let text = format!("{}{put}{}", &DEMO[..start], &DEMO[end..]);
            match parse(Path::new("job.toml"), &text, Timestamp::UNIX_EPOCH) {
                Ok(job) => {
                    if let Ok(result) = inspect(&job) {
                        let document = crate::document::Inspected::of(&job, &result);
                        prop_assert!(!crate::report::text::answer(&job, &document, 78).is_empty());
                    }
                    // What is recorded reads back as it was.
                    let kept = serde_json::to_string(&job).unwrap();
                    prop_assert_eq!(serde_json::from_str::<Job>(&kept).unwrap(), job);
                }
                Err(error) => prop_assert!(error.to_string().starts_with("job.toml:")),
            }
        }
    }
}
