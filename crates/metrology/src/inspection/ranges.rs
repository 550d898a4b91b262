//! Ranges of the numbers that a job states: beyond them no number can be meant, whatever could be computed from it.

use std::ops::RangeInclusive;

use super::JobError;
use super::checked::{
    all_positive, coverage_factor, none_negative, not_negative, number, positive,
};
use super::equipment::{CertifiedCurve, ContactKind, InstrumentErrors, StandardForm};
use super::field::{Field, Right};
use super::job::{Characteristic, Job};
use super::target::Target;
use crate::uncertainty::statistics::mean;
use crate::units::Celsius;

/// The half angles of contacts and flanks are good to minutes of arc (common practice, no source).
const MINUTES: RangeInclusive<f64> = 0.0..=120.0;
/// No part is measured outside this at a bench, degrees Celsius (common practice, no source).
const CELSIUS: RangeInclusive<f64> = -10.0..=120.0;

/// Vickers hardness of parts, lead to hard metal (common practice, no source).
const VICKERS: RangeInclusive<f64> = 3.0..=3000.0;
/// Degrees of freedom that earlier series can have (common practice, no source).
const EXPERIENCE: RangeInclusive<f64> = 1.0..=1e6;
/// Angles of places, degrees; a list of angles may go round many times (common practice, no source).
const TURNED: RangeInclusive<f64> = -1e6..=1e6;

/// Refuses equipment, conditions and earlier knowledge whose numbers cannot be meant.
pub fn check(job: &Job, target: &Target) -> Result<(), JobError> {
    prior(job)?;
    equipment(job)?;
    contacts(job, target)?;
    if let Some(hardness) = job.part.hardness_hv {
        within(Field::Hardness, hardness, &VICKERS, Right::Vickers)?;
    }
    temperature(job)?;
    for place in &job.readings {
        if let Some(angle) = place.angle {
            within(Field::PlaceAngle, angle, &TURNED, Right::Degrees)?;
        }
    }
    match &target.feature {
        Some(feature) => feature.measurand().check(&job.with(target.limits)),
        None => Ok(()),
    }
}

/// Refuses readings in two units, and readings of a part below zero.
pub fn check_readings(job: &Job) -> Result<(), JobError> {
    let of_part = || job.readings.iter().flat_map(|place| &place.readings);
    let on_standard = || job.zero.before.iter().chain(&job.zero.after);
    let Some(first) = of_part().next() else {
        return Ok(());
    };
    if let Some(other) = of_part()
        .chain(on_standard())
        .find(|reading| reading.unit() != first.unit())
    {
        return Err(JobError::MixedUnits {
            one: first.clone(),
            other: other.clone(),
        });
    }
    for reading in of_part() {
        not_negative(Field::Reading, reading)?;
    }
    // Contacts closed on each other may show a little less than nothing; nothing else does.
    if job.standard.form != StandardForm::Closed {
        for reading in on_standard() {
            not_negative(Field::Reading, reading)?;
        }
    }
    match (&job.characteristic, mean_reading(job)) {
        (Characteristic::Feature { feature, .. }, Some(mean)) => {
            feature.measurand().check_readings(mean)
        }
        _ => Ok(()),
    }
}

fn within(
    field: Field,
    value: f64,
    range: &RangeInclusive<f64>,
    right: Right,
) -> Result<(), JobError> {
    number(field, value, range.contains(&value), right)
}

fn prior(job: &Job) -> Result<(), JobError> {
    let prior = &job.prior;
    if let Some(repeatability) = &prior.repeatability {
        let value = prior.degrees_of_freedom.unwrap_or(0.0);
        if !EXPERIENCE.contains(&value) {
            return Err(JobError::DegreesOfFreedom { value });
        }
        positive(Field::Repeatability, repeatability)?;
    }
    all_positive([(Field::DriftLimit.into(), prior.drift_limit.as_ref())])?;
    if let Some(own) = &prior.own {
        positive(Field::OwnUncertainty, &own.expanded_uncertainty)?;
        coverage_factor(Field::OwnUncertainty, own.coverage_factor)?;
    }
    none_negative([(Field::Form.into(), prior.form.as_ref())])
}

fn equipment(job: &Job) -> Result<(), JobError> {
    all_positive([
        (Field::Resolution.into(), job.instrument.resolution.as_ref()),
        (
            Field::ZeroAllowance.into(),
            // It counts only where no zero was set.
            job.zero
                .allowance
                .as_ref()
                .filter(|_| job.zero.before.is_empty()),
        ),
    ])?;
    let yearly =
        |drift: &'_ Option<super::YearlyDrift>| drift.as_ref().map(|one| one.per_year.clone());
    let drifts = [yearly(&job.instrument.drift), yearly(&job.standard.drift)];
    none_negative([
        (Field::YearlyDrift.into(), drifts[0].as_ref()),
        (Field::YearlyDrift.into(), drifts[1].as_ref()),
        (Field::Flatness.into(), job.contacts.flatness.as_ref()),
        (Field::Parallelism.into(), job.contacts.parallelism.as_ref()),
    ])?;
    let standard = &job.standard;
    not_negative(Field::StandardUncertainty, &standard.expanded_uncertainty)?;
    coverage_factor(Field::StandardUncertainty, standard.coverage_factor)?;
    match &job.instrument.errors {
        InstrumentErrors::Within {
            maximum_permissible_error,
        } => {
            not_negative(Field::MaximumPermissibleError, maximum_permissible_error)?;
        }
        InstrumentErrors::Curve(CertifiedCurve {
            expanded_uncertainty,
            coverage_factor: k,
            periodic_error,
            ..
        }) => {
            not_negative(Field::CurveUncertainty, expanded_uncertainty)?;
            coverage_factor(Field::CurveUncertainty, *k)?;
            none_negative([(Field::PeriodicError.into(), periodic_error.as_ref())])?;
        }
    }
    let Some(wires) = &job.wires else {
        return Ok(());
    };
    not_negative(Field::WireUncertainty, &wires.expanded_uncertainty)?;
    coverage_factor(Field::WireUncertainty, wires.coverage_factor)?;
    match job.contacts.force.or(job.instrument.force) {
        Some(newtons) => within(Field::Force, newtons, &(0.0..=50.0), Right::Newtons),
        None => Ok(()),
    }
}

/// Angles of V and cone, and of the flanks that they touch.
fn contacts(job: &Job, target: &Target) -> Result<(), JobError> {
    if target.thread.is_none() || job.contacts.kind != ContactKind::VAndCone {
        return Ok(());
    }
    if let Some(minutes) = job
        .contacts
        .half_angle_limit
        .filter(|_| job.standard.form != StandardForm::ThreadPlug)
    {
        within(
            Field::HalfAngleLimit,
            minutes,
            &MINUTES,
            Right::ContactMinutes,
        )?;
    }
    match job.prior.flank_angle {
        Some(minutes) => within(Field::FlankAngle, minutes, &MINUTES, Right::FlankMinutes),
        None => Ok(()),
    }
}

fn temperature(job: &Job) -> Result<(), JobError> {
    if let Some(read) = &job.temperature {
        within(
            Field::TemperatureUncertainty,
            read.standard_uncertainty,
            &(0.0..=20.0),
            Right::Kelvins,
        )?;
    }
    job.temperatures()
        .map(Celsius::degrees)
        .try_for_each(|degrees| within(Field::Temperature, degrees, &CELSIUS, Right::Celsius))
}

fn mean_reading(job: &Job) -> Option<f64> {
    let readings: Vec<f64> = job
        .readings
        .iter()
        .flat_map(|place| &place.readings)
        .map(|reading| reading.value().mm())
        .collect();
    mean(&readings)
}
