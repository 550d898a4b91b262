//! What wall readings around a tube tell: run-out, eccentricity with its direction, percentages.

use super::physics::Wall;
use super::{EccentricityDefinition, TubeWall, TubeWallError};
use crate::inspection::JobError;
use crate::inspection::features::harmonic::{Eccentricity, eccentricity};
use crate::inspection::features::refused;
use crate::inspection::finding::{Around, Finding, FindingUnit, Readings};
use crate::inspection::place::Where;
use crate::limits::Limits;
use crate::source::Source;
use crate::units::Length;

crate::codes! {
    /// What is found.
    pub enum Code "finding" {
        /// Mean wall.
        MeanWall "mean_wall",
        /// Least wall.
        LeastWall "least_wall",
        /// Greatest less least wall.
        WallRunOut "wall_run_out",
        /// Half of it.
        HalfRunOut "half_run_out",
        /// Offset of the centres of a tube.
        Eccentricity "eccentricity",
        /// Where its wall is thickest.
        EccentricityDirection "eccentricity_direction",
        /// What the first harmonic leaves.
        HarmonicResidual "harmonic_residual",
        /// Run-out over the sum of walls.
        RunOutOverSum "run_out_over_sum",
        /// Run-out over the mean wall.
        RunOutOverMean "run_out_over_mean",
        /// Least over most wall.
        LeastOverMost "least_over_most",
    }
}

crate::messages! {
    /// What each finding is.
    pub enum Definition "definition" {
        /// Mean around one section.
        MeanWall "mean-wall" { at: Option<Where> as said_if },
        /// Governs under pressure.
        LeastWall "least-wall",
        /// Most less least.
        MostLessLeast "most-less-least" { at: Option<Where> as said_if },
        /// Eccentricity as tubing makers take it.
        HalfRunOut "half-run-out",
        /// Offset of the centres by the first harmonic.
        FirstHarmonic "first-harmonic" { at: Option<Where> as said_if },
        HarmonicDirection "harmonic-direction",
        /// What it leaves.
        HarmonicResidual "harmonic-residual",
        /// (most − least) / (most + least).
        RunOutOverSum "run-out-over-sum",
        /// (most − least) / mean.
        RunOutOverMean "run-out-over-mean",
        /// least / most.
        LeastOverMost "least-over-most",
    }
}

pub fn findings(readings: &Readings, wall: &TubeWall) -> Result<Vec<Finding>, JobError> {
    if readings
        .places
        .iter()
        .any(|(place, _)| place.angle.is_none())
    {
        return Err(refused(TubeWallError::NoAngles));
    }
    let mut worst: Option<(Around, Wall, Eccentricity)> = None;
    for section in readings.sections() {
        let walls: Vec<f64> = section.sizes.iter().map(|(_, size)| *size).collect();
        let around: Vec<(f64, f64)> = section
            .sizes
            .iter()
            .filter_map(|(angle, size)| Some(((*angle)?.to_radians(), *size)))
            .collect();
        let fitted = eccentricity(&around)
            .map_err(|error| refused(TubeWallError::Eccentricity { error }))?;
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
            Code::MeanWall,
            measured.mean,
            length,
            Definition::MeanWall { at: section.at() },
        ),
        Finding::of(
            Code::LeastWall,
            measured.least,
            length,
            Definition::LeastWall,
        ),
        Finding::of(
            Code::WallRunOut,
            measured.run_out(),
            length,
            Definition::MostLessLeast { at: section.at() },
        )
        .within(readings.of_difference())
        .require(limit, readings.one_reading.1, readings)?,
        Finding::of(
            Code::HalfRunOut,
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
            Code::Eccentricity,
            fitted.offset,
            FindingUnit::Length,
            definition,
        )
        .within(one * fitted.sensitivity)
        .require(limit, dof, readings)?,
        Finding::of(
            Code::EccentricityDirection,
            fitted.direction.to_degrees(),
            FindingUnit::Degrees,
            Definition::HarmonicDirection,
        ),
    ];
    if let Some(residual) = fitted.residual {
        found.push(Finding::of(
            Code::HarmonicResidual,
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
        let definitions = EccentricityDefinition::EVERY.to_vec();
        return Err(refused(TubeWallError::PercentUndefined { definitions }));
    }
    let of_mean = readings.of_difference() / measured.mean * 100.0;
    EccentricityDefinition::EVERY
        .iter()
        .copied()
        .filter(|definition| wall.definition.is_none_or(|named| named == *definition))
        .map(|definition| {
            let (code, stated, value, u) = match definition {
                EccentricityDefinition::RunOutOverSum => (
                    Code::RunOutOverSum,
                    Definition::RunOutOverSum,
                    measured.run_out_over_sum(),
                    of_mean / 2.0,
                ),
                EccentricityDefinition::RunOutOverMean => (
                    Code::RunOutOverMean,
                    Definition::RunOutOverMean,
                    measured.run_out_over_mean(),
                    of_mean,
                ),
                EccentricityDefinition::LeastOverMost => (
                    Code::LeastOverMost,
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
