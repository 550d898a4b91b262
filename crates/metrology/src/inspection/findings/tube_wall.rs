//! What wall readings around a tube tell: run-out, eccentricity with its direction, percentages.

use super::{Around, Definition, Finding, FindingCode, FindingUnit, Readings};
use crate::features::tube_wall::{Eccentricity, Wall, eccentricity};
use crate::inspection::{EccentricityDefinition, FeatureError, JobError, TubeWall};
use crate::limits::Limits;
use crate::source::Source;
use crate::units::Length;

pub fn findings(readings: &Readings, wall: &TubeWall) -> Result<Vec<Finding>, JobError> {
    if readings
        .job
        .readings
        .iter()
        .any(|place| place.angle.is_none())
    {
        return Err(FeatureError::NoAngles.into());
    }
    let mut worst: Option<(Around, Wall, Eccentricity)> = None;
    for section in readings.sections() {
        let walls: Vec<f64> = section.sizes.iter().map(|(_, size)| *size).collect();
        let around: Vec<(f64, f64)> = section
            .sizes
            .iter()
            .filter_map(|(angle, size)| Some(((*angle)?.to_radians(), *size)))
            .collect();
        let fitted = eccentricity(&around).map_err(|error| FeatureError::Eccentricity { error })?;
        if let Some(wall) = Wall::of(&walls)
            && worst
                .as_ref()
                .is_none_or(|(_, _, other)| fitted.offset > other.offset)
        {
            worst = Some((section, wall, fitted));
        }
    }
    let Some((section, measured, fitted)) = worst else {
        return Ok(Vec::new());
    };
    let mut found = walls(readings, wall, &section, &measured)?;
    found.extend(offset(readings, wall, &section, &fitted)?);
    found.extend(percentages(readings, wall, &measured)?);
    Ok(found)
}

fn walls(
    readings: &Readings,
    wall: &TubeWall,
    section: &Around,
    measured: &Wall,
) -> Result<Vec<Finding>, JobError> {
    let length = FindingUnit::Length;
    let limit = Readings::at_most(wall.run_out_limit.as_ref());
    Ok(vec![
        Finding::of(
            FindingCode::MeanWall,
            measured.mean,
            length,
            Definition::MeanWall { at: section.at() },
        ),
        Finding::of(
            FindingCode::LeastWall,
            measured.least,
            length,
            Definition::LeastWall,
        ),
        Finding::of(
            FindingCode::WallRunOut,
            measured.run_out(),
            length,
            Definition::MostLessLeast { at: section.at() },
        )
        .within(readings.of_difference())
        .require(limit, readings.one_reading.1, readings)?,
        Finding::of(
            FindingCode::HalfRunOut,
            measured.run_out() / 2.0,
            length,
            Definition::HalfRunOut,
        )
        .by(Source::CommonPractice),
    ])
}

fn offset(
    readings: &Readings,
    wall: &TubeWall,
    section: &Around,
    fitted: &Eccentricity,
) -> Result<Vec<Finding>, JobError> {
    // What the harmonic leaves holds ovality and noise, and so bounds both; repeatability where it leaves less.
    let (one, dof) = match fitted.residual {
        Some(residual) if residual > readings.one_reading.0 => {
            (residual, fitted.degrees_of_freedom as f64)
        }
        _ => readings.one_reading,
    };
    let limit = Readings::at_most(wall.eccentricity_limit.as_ref());
    let definition = Definition::FirstHarmonic { at: section.at() };
    let mut found = vec![
        Finding::of(
            FindingCode::Eccentricity,
            fitted.offset,
            FindingUnit::Length,
            definition,
        )
        .within(one * fitted.sensitivity)
        .require(limit, dof, readings)?,
        Finding::of(
            FindingCode::EccentricityDirection,
            fitted.direction.to_degrees(),
            FindingUnit::Degrees,
            Definition::HarmonicDirection,
        ),
    ];
    if let Some(residual) = fitted.residual {
        found.push(Finding::of(
            FindingCode::HarmonicResidual,
            residual,
            FindingUnit::Length,
            Definition::HarmonicResidual,
        ));
    }
    Ok(found)
}

/// The percentage that was named, or all three, each with its formula.
fn percentages(
    readings: &Readings,
    wall: &TubeWall,
    measured: &Wall,
) -> Result<Vec<Finding>, JobError> {
    if wall.definition.is_none() && wall.percent_limit.is_some() {
        let definitions = EccentricityDefinition::ALL.to_vec();
        return Err(FeatureError::PercentUndefined { definitions }.into());
    }
    let of_mean = readings.of_difference() / measured.mean * 100.0;
    EccentricityDefinition::ALL
        .into_iter()
        .filter(|definition| wall.definition.is_none_or(|named| named == *definition))
        .map(|definition| {
            let (code, stated, value, u) = match definition {
                EccentricityDefinition::RunOutOverSum => (
                    FindingCode::RunOutOverSum,
                    Definition::RunOutOverSum,
                    measured.run_out_over_sum(),
                    of_mean / 2.0,
                ),
                EccentricityDefinition::RunOutOverMean => (
                    FindingCode::RunOutOverMean,
                    Definition::RunOutOverMean,
                    measured.run_out_over_mean(),
                    of_mean,
                ),
                EccentricityDefinition::LeastOverMost => (
                    FindingCode::LeastOverMost,
                    Definition::LeastOverMost,
                    measured.least_over_most(),
                    of_mean,
                ),
            };
            let limit = percent_limit(wall.percent_limit, definition)?;
            Finding::of(code, value, FindingUnit::Percent, stated)
                .by(Source::CommonPractice)
                .within(u)
                .require(limit, readings.one_reading.1, readings)
        })
        .collect()
}

fn percent_limit(
    limit: Option<f64>,
    definition: EccentricityDefinition,
) -> Result<Limits, JobError> {
    let Some(percent) = limit else {
        return Ok(Limits::default());
    };
    let percent = Length::nearest_mm(percent)?;
    Ok(match definition {
        EccentricityDefinition::LeastOverMost => Limits::at_least(percent),
        _ => Limits::at_most(percent),
    })
}
