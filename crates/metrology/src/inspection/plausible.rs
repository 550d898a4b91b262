//! Numbers that cannot be meant: caught before anything is computed, with what was probably meant.

use super::equipment::{CertifiedCurve, InstrumentErrors};
use super::field::Field;
use super::job::{Job, Left};
use super::other_unit::BEYOND_RANGE;
use super::{Inspection, JobError};
use crate::message::{Code, Value};
use crate::units::{Celsius, Entered, Length, LengthUnit};

/// A standard read further off than this was not read on the display as it stands: turns and numerals of the thimble
/// are smaller (common practice, no source).
pub const FAR_FROM_STANDARD: Length = Length::from_micrometres(3000);
/// No micrometer, standard or hand is known worse than this (common practice, no source).
const LARGEST_ERROR: Length = Length::from_micrometres(100);
/// No part is measured hotter (common practice, no source).
const HOTTEST: f64 = 45.0;
/// No part is measured colder (common practice, no source): from here on hands, oil and display fail before the part does.
const COLDEST: f64 = 5.0;

/// Refuses a job whose stated numbers cannot be meant.
pub fn check(job: &Job) -> Result<(), JobError> {
    if job.part.name.trim().is_empty() {
        return Err(JobError::NoPart);
    }
    if let Some(struck) = job.struck.iter().find(|struck| struck.reason.is_blank()) {
        return Err(JobError::StruckWithoutReason {
            reading: struck.reading.clone(),
        });
    }
    if let Some(left) = job.left.iter().find(|left| left.reason.is_blank()) {
        return Err(JobError::LeftWithoutReason {
            reading: left.reading.clone(),
        });
    }
    let part = job.readings.iter().flat_map(|place| &place.readings);
    let read: Vec<Length> = part
        .chain(&job.zero.before)
        .chain(&job.zero.after)
        .map(Entered::value)
        .collect();
    let not_read = |left: &&Left| !read.contains(&left.reading.value());
    if let Some(left) = job.left.iter().find(not_read) {
        return Err(JobError::LeftNotRead {
            reading: left.reading.clone(),
        });
    }
    errors(job)?;
    // Degrees Fahrenheit.
    job.temperatures()
        .map(Celsius::degrees)
        .try_for_each(too_hot)
}

/// Refuses readings that were not read on this micrometer and this standard, once both are known to be fit.
pub fn check_readings(job: &Job) -> Result<(), JobError> {
    zero(job)?;
    readings(job)
}

/// Refuses a reading that was struck as a mistake, stands all the same, and looks like one: it was to be taken out.
pub fn check_struck(job: &Job, found: &Inspection) -> Result<(), JobError> {
    let struck = |value| {
        let mut typed = job.struck.iter().filter(|struck| struck.was_typed());
        typed.any(|struck| struck.reading.value() == value)
    };
    let mut flagged = found.readings.iter().filter(|one| one.flag.is_some());
    let counts =
        flagged.find(|one| struck(one.as_read.value()) && !job.left_standing(&one.as_read));
    match counts {
        Some(one) => Err(JobError::StruckCounts {
            reading: one.as_read.clone(),
        }),
        None => Ok(()),
    }
}

/// `4` for `4um`: the commonest slip in a job file.
fn errors(job: &Job) -> Result<(), JobError> {
    let mut stated = vec![(
        Field::StandardUncertainty,
        &job.standard.expanded_uncertainty,
    )];
    match &job.instrument.errors {
        InstrumentErrors::Within {
            maximum_permissible_error,
        } => {
            stated.push((Field::MaximumPermissibleError, maximum_permissible_error));
        }
        InstrumentErrors::Curve(CertifiedCurve {
            expanded_uncertainty,
            points,
            ..
        }) => {
            stated.push((Field::CurveUncertainty, expanded_uncertainty));
            stated.extend(points.iter().map(|point| (Field::CurveError, &point.error)));
        }
    }
    stated.extend(
        job.prior
            .repeatability
            .as_ref()
            .map(|stated| (Field::Repeatability, stated)),
    );
    stated
        .into_iter()
        .try_for_each(|(field, entered)| small(field, entered).map(|_| ()))
}

/// An error or uncertainty that a micrometer, standard or hand can have.
pub fn small(field: impl Into<Code>, entered: &Entered) -> Result<Length, JobError> {
    let value = entered.value();
    if value.abs() <= LARGEST_ERROR {
        return Ok(value);
    }
    let probably = format!("{}{}", entered.number(), entered.unit().small());
    Err(JobError::TooLarge {
        field: field.into(),
        value: entered.clone(),
        probably: Entered::parse(&probably, None).map_or(Value::Nothing, Value::Entered),
    })
}

/// A display that was set to zero on the standard, or another unit.
fn zero(job: &Job) -> Result<(), JobError> {
    let size = job.standard.size.value();
    let far = |reading: &&Entered| (reading.value() - size).abs() > FAR_FROM_STANDARD;
    match job.zero.before.iter().chain(&job.zero.after).find(far) {
        Some(reading) => Err(JobError::ZeroFarFromStandard {
            reading: reading.clone(),
            standard: job.standard.size.clone(),
        }),
        None => Ok(()),
    }
}

/// Refuses what the micrometer cannot show.
fn readings(job: &Job) -> Result<(), JobError> {
    let [smallest, largest] = &job.instrument.range;
    let shown = |reading: &&Entered| {
        // Below zero has a sentence of its own.
        reading.value().is_negative()
            || (reading.value() >= smallest.value() - BEYOND_RANGE
                && reading.value() <= largest.value() + BEYOND_RANGE)
    };
    let all = job.readings.iter().flat_map(|place| &place.readings);
    let Some((index, reading)) = all.enumerate().find(|(_, reading)| !shown(reading)) else {
        return Ok(());
    };
    let number = index + 1;
    let reading = reading.clone();
    let instrument = job.instrument.id.clone();
    let (from, to) = (smallest.clone(), largest.clone());
    // An unquoted 7,118 is two numbers in a list, and the second is whole.
    let whole = reading.number().scale() == 0 && reading.unit() == LengthUnit::Millimetre;
    Err(if whole {
        JobError::WholeReadingOutsideRange {
            number,
            reading,
            instrument,
            from,
            to,
        }
    } else {
        JobError::ReadingOutsideRange {
            number,
            reading,
            instrument,
            from,
            to,
        }
    })
}

/// Refuses a temperature that no part is measured at; more likely it was read in degrees Fahrenheit.
pub fn too_hot(degrees: f64) -> Result<(), JobError> {
    if degrees > HOTTEST {
        let celsius = (degrees - 32.0) / 1.8;
        Err(JobError::TooHot { degrees, celsius })
    } else {
        Ok(())
    }
}

/// Refuses a temperature as it is entered that no part is measured at; more likely a digit is missing. What is on record with one is
/// computed as before.
pub fn too_cold(degrees: f64) -> Result<(), JobError> {
    if degrees < COLDEST {
        let coldest = COLDEST;
        Err(JobError::TooCold { degrees, coldest })
    } else {
        Ok(())
    }
}
