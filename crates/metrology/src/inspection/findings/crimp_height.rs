//! What samples of a crimp tell beside its height: spread, compression, pull force.

use super::{Definition, Finding, FindingCode, FindingUnit, Readings};
use crate::features::plain_diameter::extremes;
use crate::features::{crimp, pull_force, wire_size};
use crate::inspection::{Compression, CompressionDefinition, CrimpHeight, JobError, Pull, Wire};
use crate::limits::Limits;
use crate::message::Value;
use crate::source::Source;
use crate::uncertainty::statistics::mean;
use crate::units::Length;

/// The conductor: its gauge, where it is one, and its area.
fn conductor(wire: &Wire) -> Result<(Option<&'static wire_size::Gauge>, f64), JobError> {
    let words = |error: wire_size::WireError| JobError::Feature(error.to_string());
    match wire {
        Wire::Awg(text) => {
            let gauge = wire_size::awg(text).map_err(words)?;
            Ok((Some(gauge), gauge.area_mm2))
        }
        Wire::Mm2(text) => Ok((None, wire_size::area(text).map_err(words)?)),
    }
}

pub fn findings(readings: &Readings, crimp: &CrimpHeight) -> Result<Vec<Finding>, JobError> {
    if crimp.sheet.trim().is_empty() {
        return Err(JobError::Feature(
            "the limits of a crimp come from the terminal maker's sheet and from nowhere else; name it as `sheet`".into(),
        ));
    }
    let (gauge, area) = conductor(&crimp.wire)?;
    let sizes: Vec<f64> = readings.places().iter().map(|(_, size)| *size).collect();
    let mut found = vec![
        Finding::of(
            FindingCode::ConductorArea,
            area,
            FindingUnit::SquareMillimetre,
            gauge.map_or(Definition::AsMarked, |gauge| Definition::SolidWire {
                gauge: gauge.awg.to_string(),
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
            CompressionDefinition::Conductor => {
                (conductor, Definition::Conductor)
            }
            CompressionDefinition::ConductorAndBarrel => (
                conductor
                    + compression.barrel_area_mm2.ok_or_else(|| {
                        JobError::Feature(
                            "this definition of compression counts the barrel; state `barrel_area_mm2`, its area before \
                             crimping"
                                .into(),
                        )
                    })?,
                Definition::ConductorAndBarrel,
            ),
        };
    let wrong = || {
        JobError::Feature(
                "compression needs areas above zero, in square millimetres, from a section of the crimp".into(),
            )
    };
    let ratio = crimp::compression_percent(compression.area_after_mm2, before).ok_or_else(wrong)?;
    let limits = match compression.limits_percent {
        None => Limits::default(),
        Some([lower, upper]) if lower <= upper => {
            Limits::between(Length::nearest_mm(lower)?, Length::nearest_mm(upper)?)
        }
        Some([lower, upper]) => {
            return Err(JobError::LimitsReversed {
                lower: format!("{lower} %"),
                upper: format!("{upper} %"),
            });
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
    let words = |error: pull_force::PullError| JobError::Feature(error.to_string());
    let strength = pull
        .wire_strength
        .as_deref()
        .map(pull_force::force)
        .transpose()
        .map_err(words)?;
    let least = pull_force::least(&pull.standard, gauge, area, strength).map_err(words)?;
    let forces = pull
        .forces
        .iter()
        .map(|text| pull_force::force(text))
        .collect::<Result<Vec<_>, _>>()
        .map_err(words)?;
    let Some((smallest, _)) = extremes(&forces) else {
        return Err(JobError::Feature(
            "a pull test needs its `forces`, as 96N or 21.5lbf".into(),
        ));
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
        if !(u >= 0.0 && u.is_finite()) {
            return Err(JobError::Number {
                what: "standard_uncertainty_n",
                value: u,
                right: "write newtons, from 0 up",
            });
        }
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
