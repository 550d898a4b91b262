//! What samples of a crimp tell beside its height: spread, compression, pull force.

use super::{Definition, Finding, FindingCode, FindingUnit, Readings};
use crate::features::plain_diameter::extremes;
use crate::features::{crimp, pull_force, wire_size};
use crate::inspection::{
    Compression, CompressionDefinition, CrimpHeight, FeatureError, JobError, Pull, Wire,
};
use crate::limits::Limits;
use crate::message::Value;
use crate::source::Source;
use crate::uncertainty::statistics::mean;
use crate::units::Length;

/// The conductor: its gauge, where it is one, and its area.
fn conductor(wire: &Wire) -> Result<(Option<&'static wire_size::Gauge>, f64), JobError> {
    let refused = |error| FeatureError::Wire { error };
    match wire {
        Wire::Awg(text) => {
            let gauge = wire_size::awg(text).map_err(refused)?;
            Ok((Some(gauge), gauge.area_mm2))
        }
        Wire::Mm2(text) => Ok((None, wire_size::area(text).map_err(refused)?)),
    }
}

pub fn findings(readings: &Readings, crimp: &CrimpHeight) -> Result<Vec<Finding>, JobError> {
    let (gauge, area) = conductor(&crimp.wire)?;
    let sizes: Vec<f64> = readings.places().iter().map(|(_, size)| *size).collect();
    let mut found = vec![
        Finding::of(
            FindingCode::ConductorArea,
            area,
            FindingUnit::SquareMillimetre,
            gauge.map_or(Definition::AsMarked, |gauge| Definition::SolidWire {
                gauge: gauge.awg.clone(),
                diameter: gauge.diameter_mm,
            }),
        )
        .by(if gauge.is_some() {
            Source::AstmB258
        } else {
            Source::CommonPractice
        }),
    ];
    if let Some((least, most)) = extremes(&sizes) {
        found.push(
            Finding::of(
                FindingCode::Spread,
                most - least,
                FindingUnit::Length,
                Definition::HeightRange,
            )
            .within(readings.of_difference()),
        );
    }
    if let Some(compression) = &crimp.compression {
        found.extend(compressed(readings, compression, area)?);
    }
    if let Some(pull) = &crimp.pull {
        found.extend(pull_forces(readings, pull, gauge, area)?);
    }
    Ok(found)
}

fn compressed(
    readings: &Readings,
    compression: &Compression,
    area: f64,
) -> Result<Vec<Finding>, JobError> {
    let conductor = compression.conductor_area_mm2.unwrap_or(area);
    let (before, definition) = match compression.definition {
        CompressionDefinition::Conductor => (conductor, Definition::Conductor),
        CompressionDefinition::ConductorAndBarrel => (
            conductor
                + compression
                    .barrel_area_mm2
                    .ok_or(FeatureError::NoBarrelArea)?,
            Definition::ConductorAndBarrel,
        ),
    };
    let wrong = || FeatureError::NoAreas;
    let ratio = crimp::compression_percent(compression.area_after_mm2, before).ok_or_else(wrong)?;
    let limits = match compression.limits_percent {
        None => Limits::default(),
        Some([lower, upper]) => {
            Limits::between(Length::nearest_mm(lower)?, Length::nearest_mm(upper)?)
        }
    };
    let mut found = vec![
        Finding::of(
            FindingCode::CompressionRatio,
            ratio,
            FindingUnit::Percent,
            definition,
        )
        .by(Source::CrimpSheets)
        .require(limits, f64::INFINITY, readings)?,
    ];
    if let Some(width) = compression.width_mm {
        let slope = crimp::percent_per_millimetre(width, before).ok_or_else(wrong)?;
        found.push(Finding::of(
            FindingCode::CompressionPer005,
            slope * 0.05,
            FindingUnit::Percent,
            Definition::WidthOverArea,
        ));
    }
    Ok(found)
}

fn pull_forces(
    readings: &Readings,
    pull: &Pull,
    gauge: Option<&'static wire_size::Gauge>,
    area: f64,
) -> Result<Vec<Finding>, JobError> {
    let refused = |error| FeatureError::Pull { error };
    let strength = pull
        .wire_strength
        .as_deref()
        .map(pull_force::force)
        .transpose()
        .map_err(refused)?;
    let least = pull_force::least(&pull.standard, gauge, area, strength).map_err(refused)?;
    let forces = pull
        .forces
        .iter()
        .map(|text| pull_force::force(text))
        .collect::<Result<Vec<_>, _>>()
        .map_err(refused)?;
    let Some((smallest, _)) = extremes(&forces) else {
        return Err(FeatureError::NoForces.into());
    };
    let mut finding = Finding::of(
        FindingCode::PullForce,
        smallest,
        FindingUnit::Newton,
        Definition::SmallestPull {
            n: forces.len(),
            against: Value::said(least.basis),
        },
    )
    .by(least.source);
    if let Some(u) = pull.standard_uncertainty_n {
        finding = finding.within(u);
    }
    let required = Limits::at_least(Length::nearest_mm(least.newtons)?);
    Ok(vec![
        finding.require(required, f64::INFINITY, readings)?,
        Finding::of(
            FindingCode::PullForceMean,
            mean(&forces).unwrap_or_default(),
            FindingUnit::Newton,
            Definition::MeanOfAll,
        ),
    ])
}
