//! What samples of a crimp tell beside its height: spread, compression, pull force.

use super::{Finding, FindingUnit, Readings};
use crate::features::plain_diameter::extremes;
use crate::features::{crimp, pull_force, wire_size};
use crate::inspection::{
    Compression, CompressionDefinition, CrimpHeight, FeatureError, JobError, Pull, Wire,
};
use crate::limits::Limits;
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
            "conductor_area",
            "conductor",
            area,
            FindingUnit::SquareMillimetre,
            &gauge.map_or_else(
                || "as marked".to_owned(),
                |gauge| {
                    format!(
                        "AWG {}, solid {} mm in diameter; stranded wire differs by some percent",
                        gauge.awg, gauge.diameter_mm
                    )
                },
            ),
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
                "spread",
                "spread of the samples",
                most - least,
                FindingUnit::Length,
                "greatest less least height",
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
    let (before, words) = match compression.definition {
        CompressionDefinition::Conductor => (conductor, "conductor after / conductor before"),
        CompressionDefinition::ConductorAndBarrel => (
            conductor
                + compression
                    .barrel_area_mm2
                    .ok_or(FeatureError::NoBarrelArea)?,
            "section after / (conductor + barrel) before",
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
            "compression_ratio",
            "compression ratio",
            ratio,
            FindingUnit::Percent,
            words,
        )
        .by(Source::CrimpSheets)
        .require(limits, f64::INFINITY, readings)?,
    ];
    if let Some(width) = compression.width_mm {
        let slope = crimp::percent_per_millimetre(width, before).ok_or_else(wrong)?;
        found.push(Finding::of(
            "compression_per_0_05_mm",
            "change of it for 0.05 mm of height",
            slope * 0.05,
            FindingUnit::Percent,
            "CW dCH / area before",
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
        "pull_force",
        "least pull force",
        smallest,
        FindingUnit::Newton,
        &format!("smallest of {}, against {}", forces.len(), least.words),
    )
    .by(least.source);
    if let Some(u) = pull.standard_uncertainty_n {
        finding = finding.within(u);
    }
    let required = Limits::at_least(Length::nearest_mm(least.newtons)?);
    Ok(vec![
        finding.require(required, f64::INFINITY, readings)?,
        Finding::of(
            "pull_force_mean",
            "mean pull force",
            mean(&forces).unwrap_or_default(),
            FindingUnit::Newton,
            "mean of all",
        ),
    ])
}
