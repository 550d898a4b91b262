//! Numbers that cannot be meant: caught before anything is computed, with what was probably meant.

use super::JobError;
use super::job::{InstrumentErrors, Job};
use crate::units::{Celsius, Entered, Length, LengthUnit};

/// A standard read further off than this was not read on the display as it stands: turns and numerals of the thimble
/// are smaller (common practice, no source).
pub const FAR_FROM_STANDARD: Length = Length::from_micrometres(3000);
/// No micrometer, standard or hand is known worse than this (common practice, no source).
const LARGEST_ERROR: Length = Length::from_micrometres(100);
/// No part is measured hotter (common practice, no source).
const HOTTEST: f64 = 45.0;

/// Refuses a job whose stated numbers cannot be meant.
pub fn check(job: &Job) -> Result<(), JobError> {
    if job.part.name.trim().is_empty() {
        return Err(JobError::NoPart);
    }
    if let Some(struck) = job
        .struck
        .iter()
        .find(|struck| struck.reason.trim().is_empty())
    {
        return Err(JobError::StruckWithoutReason(struck.reading.text().into()));
    }
    errors(job)?;
    temperatures(job)
}

/// Refuses readings that were not read on this micrometer and this standard, once both are known to be fit.
pub fn check_readings(job: &Job) -> Result<(), JobError> {
    zero(job)?;
    readings(job)
}

/// `4` for `4um`: the commonest slip in a job file.
fn errors(job: &Job) -> Result<(), JobError> {
    let mut stated = vec![(
        "expanded uncertainty of the standard",
        &job.standard.expanded_uncertainty,
    )];
    match &job.instrument.errors {
        InstrumentErrors::Within {
            maximum_permissible_error,
        } => {
            stated.push(("maximum permissible error", maximum_permissible_error));
        }
        InstrumentErrors::Curve {
            expanded_uncertainty,
            points,
            ..
        } => {
            stated.push((
                "expanded uncertainty of the error curve",
                expanded_uncertainty,
            ));
            stated.extend(
                points
                    .iter()
                    .map(|point| ("error of a point of the error curve", &point.error)),
            );
        }
    }
    stated.extend(
        job.prior
            .repeatability
            .as_ref()
            .map(|stated| ("repeatability", stated)),
    );
    stated
        .into_iter()
        .try_for_each(|(what, entered)| small(what, entered).map(|_| ()))
}

/// An error or uncertainty that a micrometer, standard or hand can have.
pub fn small(what: &'static str, entered: &Entered) -> Result<Length, JobError> {
    let value = entered.value();
    if value.abs() <= LARGEST_ERROR {
        return Ok(value);
    }
    Err(JobError::TooLargeToBeMeant {
        what,
        text: entered.text().into(),
        probably: format!("{}{}", entered.number(), entered.unit().small()),
    })
}

/// A display that was set to zero on the standard, or another unit.
fn zero(job: &Job) -> Result<(), JobError> {
    let size = job.standard.size.value();
    let far = |reading: &&Entered| (reading.value() - size).abs() > FAR_FROM_STANDARD;
    match job.zero.before.iter().chain(&job.zero.after).find(far) {
        Some(reading) => Err(JobError::ZeroFarFromStandard {
            reading: reading.text().into(),
            standard: job.standard.size.text().into(),
        }),
        None => Ok(()),
    }
}

/// A micrometer shows no more than its range and a turn beyond.
fn readings(job: &Job) -> Result<(), JobError> {
    let [smallest, largest] = &job.instrument.range;
    let turn = Length::from_micrometres(700);
    let shown = |reading: &&Entered| {
        // Below zero has a sentence of its own.
        reading.value().is_negative()
            || (reading.value() >= smallest.value() - turn
                && reading.value() <= largest.value() + turn)
    };
    let all = job.readings.iter().flat_map(|place| &place.readings);
    match all.enumerate().find(|(_, reading)| !shown(reading)) {
        Some((index, reading)) => Err(JobError::ReadingOutsideRange {
            number: index + 1,
            reading: reading.text().into(),
            instrument: job.instrument.id.clone(),
            from: smallest.text().into(),
            to: largest.text().into(),
            // An unquoted 7,118 is two numbers in a list, and the second is whole.
            comma: if reading.number().scale() == 0 && reading.unit() == LengthUnit::Millimetre {
                "; a decimal comma needs quotes: \"7,118\""
            } else {
                ""
            },
        }),
        None => Ok(()),
    }
}

/// Degrees Fahrenheit.
fn temperatures(job: &Job) -> Result<(), JobError> {
    let Some(read) = &job.temperature else {
        return Ok(());
    };
    let all = [Some(read.part), Some(read.standard), read.instrument];
    match all
        .into_iter()
        .flatten()
        .map(Celsius::degrees)
        .find(|degrees| *degrees > HOTTEST)
    {
        Some(degrees) => Err(JobError::TooHot {
            degrees,
            celsius: (degrees - 32.0) / 1.8,
        }),
        None => Ok(()),
    }
}
