//! What samples of a crimp tell beside its height: spread, compression, pull force.

use super::{Definition, Finding, FindingCode, FindingUnit, Readings};
use crate::features::plain_diameter::extremes;
use crate::features::wire_size::{self, Strands};
use crate::features::{crimp, pull_force};
use crate::inspection::{
    Compression, CompressionDefinition, CrimpHeight, FeatureError, JobError, Pull, Wire,
};
use crate::limits::Limits;
use crate::message::Value;
use crate::source::Source;
use crate::uncertainty::statistics::mean;
use crate::units::Length;

/// The conductor of a crimp as it was stated.
enum Conductor {
    /// By gauge.
    Gauge(wire_size::Conductor),
    /// By area, square millimetres.
    Area(f64),
}

impl Conductor {
    fn of(wire: &Wire) -> Result<Self, JobError> {
        let refused = |error| FeatureError::Wire { error };
        Ok(match wire {
            Wire::Awg(text) => Self::Gauge(wire_size::conductor(text).map_err(refused)?),
            Wire::Mm2(text) => Self::Area(wire_size::area(text).map_err(refused)?),
        })
    }

    const fn area(&self) -> f64 {
        match self {
            Self::Gauge(conductor) => conductor.area_mm2,
            Self::Area(area) => *area,
        }
    }

    /// Least and greatest area that it may have.
    fn areas(&self) -> (f64, f64) {
        match self {
            Self::Gauge(conductor) => conductor.areas(),
            Self::Area(area) => (*area, *area),
        }
    }

    /// Its area, with what that is, unless it was stated apart.
    fn finding(&self, stated: Option<f64>) -> Finding {
        let area = |area, definition, source| {
            Finding::of(
                FindingCode::ConductorArea,
                area,
                FindingUnit::SquareMillimetre,
                definition,
            )
            .by(source)
        };
        let (least, most) = self.areas();
        match (stated, self) {
            (Some(stated), _) => area(stated, Definition::AsStated, Source::CommonPractice),
            (None, Self::Area(marked)) => {
                area(*marked, Definition::AsMarked, Source::CommonPractice)
            }
            (None, Self::Gauge(conductor)) => {
                let size = conductor
                    .gauge
                    .map(|gauge| (gauge.awg.clone(), gauge.diameter_mm));
                let (gauge, diameter) = size.unwrap_or_default();
                let definition = match conductor.strands {
                    Strands::Solid => Definition::SolidWire { gauge, diameter },
                    Strands::Unknown => Definition::TakenAsSolid {
                        gauge,
                        diameter,
                        least,
                        most,
                    },
                    Strands::Of {
                        strands,
                        gauge,
                        diameter,
                    } => Definition::Stranded {
                        strands,
                        gauge,
                        diameter,
                    },
                };
                area(conductor.area_mm2, definition, Source::AstmB258)
            }
        }
    }
}

pub fn findings(readings: &Readings, crimp: &CrimpHeight) -> Result<Vec<Finding>, JobError> {
    let conductor = Conductor::of(&crimp.wire)?;
    let sizes: Vec<f64> = readings.places().iter().map(|(_, size)| *size).collect();
    let stated = crimp
        .compression
        .as_ref()
        .and_then(|compression| compression.conductor_area_mm2);
    let mut found = vec![conductor.finding(stated)];
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
        found.extend(compressed(readings, compression, &conductor)?);
    }
    if let Some(pull) = &crimp.pull {
        found.extend(pull_forces(readings, pull, &conductor)?);
    }
    Ok(found)
}

fn compressed(
    readings: &Readings,
    compression: &Compression,
    conductor: &Conductor,
) -> Result<Vec<Finding>, JobError> {
    let stated = compression.conductor_area_mm2;
    let (least, most) = stated.map_or_else(|| conductor.areas(), |area| (area, area));
    let area = stated.unwrap_or_else(|| conductor.area());
    let (barrel, definition) = match compression.definition {
        CompressionDefinition::Conductor => (0.0, Definition::Conductor),
        CompressionDefinition::ConductorAndBarrel => (
            compression
                .barrel_area_mm2
                .ok_or(FeatureError::NoBarrelArea)?,
            Definition::ConductorAndBarrel,
        ),
    };
    let wrong = || FeatureError::NoAreas;
    let before = area + barrel;
    let of = |conductor: f64| {
        crimp::compression_percent(compression.area_after_mm2, conductor + barrel).ok_or_else(wrong)
    };
    let ratio = of(area)?;
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
        .require(limits, f64::INFINITY, readings)?
        .unless_between(of(most)?, of(least)?, limits),
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
    conductor: &Conductor,
) -> Result<Vec<Finding>, JobError> {
    let gauge = match conductor {
        Conductor::Gauge(conductor) => {
            let refused = |error| FeatureError::Wire { error };
            Some(conductor.size().map_err(refused)?)
        }
        Conductor::Area(_) => None,
    };
    let refused = |error| FeatureError::Pull { error };
    let strength = pull
        .wire_strength
        .as_deref()
        .map(pull_force::force)
        .transpose()
        .map_err(refused)?;
    let least =
        pull_force::least(&pull.standard, gauge, conductor.area(), strength).map_err(refused)?;
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
