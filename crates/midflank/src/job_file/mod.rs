//! The job file: one measurement as a person writes it down, in TOML.
//!
//! Its shape is [`shape`]; this module turns it into a [`Job`]. Bare numbers keep the digits they were written with
//! (8.870 is not 8.87) and take the file's `unit`; without one, every length must carry its own.

mod bounds;
mod equipment;
mod features;
mod held;
mod identity;
mod plain;
mod readings;
mod shape;
mod typed;

use crate::say;
use std::fs::File;
use std::io::{self, Read as _};
use std::path::{Path, PathBuf};

use jiff::Timestamp;
use metrology::inspection::{
    Characteristic, Job, Overrides, Prior, RuleName, StandardForm, Struck, Temperature, Zero,
};
use metrology::units::{Celsius, Entered};

use crate::register::Shelf;
use shape::JobFile;
use typed::Source;

pub use equipment::{parse as parse_equipment, read as read_equipment};
pub use features::{NAMES, named};
#[cfg(any(test, fuzzing))]
pub use readings::parse as parse_readings;

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
    /// The register that it leans on cannot be read.
    #[error("{0}")]
    Register(String),
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

/// Reads a job file; `now` is when it was measured if the file does not say, and what it names by identity alone
/// comes from the shelf.
pub fn read(path: &Path, now: Timestamp, shelf: &Shelf) -> Result<Job, JobFileError> {
    let text = read_text(path)?;
    parse(path, &text, now, shelf)
}

/// The largest file that is read, in megabytes: room for the most readings that a job may have, each with its place.
const LARGEST_FILE: u64 = 128;

/// Reads text, or says at which byte it stops being text.
fn read_text(path: &Path) -> Result<String, JobFileError> {
    let most = LARGEST_FILE << 20;
    let mut bytes = Vec::new();
    File::open(path)
        .and_then(|file| file.take(most + 1).read_to_end(&mut bytes))
        .map_err(|source| JobFileError::Read {
            path: path.to_owned(),
            source,
        })?;
    if bytes.len() as u64 > most {
        return Err(JobFileError::Wrong {
            path: path.to_owned(),
            line: 1,
            message: crate::say!("command.file-too-large", most = LARGEST_FILE),
        });
    }
    String::from_utf8(bytes).map_err(|error| JobFileError::NotText {
        path: path.to_owned(),
        at: error.utf8_error().valid_up_to(),
    })
}

/// Takes the text of a job file; a CSV it names is read from the folder of `path`.
pub fn parse(path: &Path, text: &str, now: Timestamp, shelf: &Shelf) -> Result<Job, JobFileError> {
    let file: JobFile = from_toml(path, text)?;
    let source = Source::new(path, text, file.unit.as_ref())?;
    build(&source, &file, now, shelf)
}

/// What is measured, from a text that holds `unit` and the `[measure]` sections alone; the error is a sentence without
/// a place, for whoever asked for the sections one by one.
pub fn measured(text: &str) -> Result<Characteristic, String> {
    /// The part of a job file that says what is measured.
    #[derive(serde::Deserialize)]
    #[serde(deny_unknown_fields)]
    struct Measured {
        unit: Option<typed::Typed>,
        measure: shape::Measure,
    }
    let path = Path::new("");
    let read = || {
        let file: Measured = from_toml(path, text)?;
        let source = Source::new(path, text, file.unit.as_ref())?;
        characteristic(&source, &file.measure)
    };
    read().map_err(|error| match error {
        JobFileError::Wrong { message, .. } => message,
        other => other.to_string(),
    })
}

/// The keys of a TOML text, or the line that is wrong.
fn from_toml<T: serde::de::DeserializeOwned>(path: &Path, text: &str) -> Result<T, JobFileError> {
    toml::from_str(text).map_err(|error| plain::not_a_job(path, text, &error))
}

fn build(
    source: &Source,
    file: &JobFile,
    now: Timestamp,
    shelf: &Shelf,
) -> Result<Job, JobFileError> {
    let measured = characteristic(source, &file.measure)?;
    // Contacts of features sit on plain standards, those of threads on V and cone.
    let usual_form = match measured {
        Characteristic::Feature { .. } => StandardForm::Plain,
        // So do the flat faces that wires lie between.
        _ if file.wires.is_some() => StandardForm::Plain,
        _ => StandardForm::default(),
    };
    Ok(Job {
        part: file.part.clone(),
        person: file.person.clone(),
        measured_at: source
            .optional(file.measured_at.as_ref(), Source::timestamp)?
            .unwrap_or(now),
        characteristic: measured,
        instrument: equipment::instrument_of_job(source, &file.instrument, shelf)?,
        contacts: equipment::contacts_of_job(source, &file.contacts, shelf)?,
        wires: match &file.wires {
            Some(keys) => Some(equipment::wires_of_job(source, keys, shelf)?),
            None => None,
        },
        standard: equipment::standard_of_job(source, &file.standard, usual_form, shelf)?,
        zero: Zero {
            before: source.readings("zero.before", &file.zero.before)?,
            after: source.readings("zero.after", &file.zero.after)?,
            contacts: file.zero.contacts.clone(),
            allowance: source.optional(file.zero.allowance.as_ref(), Source::length)?,
        },
        readings: readings::places(source, &file.readings)?,
        struck: file
            .readings
            .struck
            .iter()
            .map(|struck| {
                Ok(Struck {
                    reading: source.length(&struck.reading)?,
                    reason: struck.reason.clone(),
                })
            })
            .collect::<Result<_, JobFileError>>()?,
        temperature: file.temperature.as_ref().map(temperature),
        prior: match &file.prior {
            Some(keys) => prior(source, keys)?,
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
        overrides: file
            .overrides
            .as_ref()
            .map_or_else(Overrides::default, |given| Overrides {
                zero: given.zero.clone(),
                equipment: given.equipment.clone(),
                contacts: given.contacts.clone(),
            }),
        service: file.service,
    })
}

fn characteristic(
    source: &Source,
    measure: &shape::Measure,
) -> Result<Characteristic, JobFileError> {
    if let Some(feature) = features::feature(source, measure)? {
        return Ok(feature);
    }
    let stated = measure.name.is_some()
        || measure.lower.is_some()
        || measure.upper.is_some()
        || measure.nominal.is_some();
    match &measure.designation {
        Some(designation) if !stated => Ok(Characteristic::Thread {
            designation: designation.clone(),
            diameter: measure.diameter.unwrap_or_default(),
        }),
        None if stated => {
            let (lower, upper) = features::limits(source, measure)?;
            Ok(Characteristic::Stated {
                name: measure.name.clone().unwrap_or_else(|| "size".to_owned()),
                lower,
                upper,
            })
        }
        _ => Err(source.wrong(
            source.line_of_table("measure"),
            say!("jobfile.characteristic"),
        )),
    }
}

fn prior(source: &Source, keys: &shape::Prior) -> Result<Prior, JobFileError> {
    if let (Some(stated), None) = (&keys.repeatability, keys.degrees_of_freedom) {
        return Err(source.wrong_at(stated, say!("jobfile.prior")));
    }
    Ok(Prior {
        repeatability: source.optional(keys.repeatability.as_ref(), Source::length)?,
        degrees_of_freedom: keys.degrees_of_freedom,
        form: source.optional(keys.form.as_ref(), Source::length)?,
        drift_limit: source.optional(keys.drift_limit.as_ref(), Source::length)?,
        flank_angle: keys.flank_angle,
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
fn one_unit<'a>(mut readings: impl Iterator<Item = &'a Entered>) -> Result<(), String> {
    let Some(first) = readings.next() else {
        return Ok(());
    };
    match readings.find(|reading| reading.unit() != first.unit()) {
        None => Ok(()),
        Some(other) => Err(say!(
            "jobfile.one-unit",
            first = first.text(),
            other = other.text()
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
            match parse(Path::new("job.toml"), &text, Timestamp::UNIX_EPOCH, &Shelf::beside(Some(Path::new("nowhere.db")))) {
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
