//! What samples of a crimp tell beside its height: spread, compression, pull force.

use super::{Compression, CompressionDefinition, CrimpError, CrimpHeight, Pull, Wire, physics};
use crate::inspection::JobError;
use crate::inspection::features::wire_size::{self, Strands};
use crate::inspection::features::{pull_force, refused};
use crate::inspection::finding::{Finding, FindingUnit, Readings};
use crate::limits::Limits;
use crate::message::Value;
use crate::source::Source;
use crate::uncertainty::statistics::{extremes, mean};
use crate::units::Length;

crate::codes! {
    /// What is found.
    pub enum Code "finding" {
        /// Area of a conductor.
        ConductorArea "conductor_area",
        /// Greatest less least height of crimps.
        Spread "spread",
        /// Area after crimping over the area before.
        CompressionRatio "compression_ratio",
        /// Its change for 0.05 mm of crimp height.
        CompressionPer005 "compression_per_0_05_mm",
        /// Least pull force.
        PullForce "pull_force",
        /// Mean pull force.
        PullForceMean "pull_force_mean",
    }
}

crate::messages! {
    /// What each finding is.
    pub enum Definition "definition" {
        /// Area of a stranded conductor as marked.
        AsMarked "as-marked",
        /// Area of a conductor as it was stated apart.
        AsStated "as-stated",
        /// Area of a solid wire of this gauge.
        SolidWire "solid-wire" { gauge: String as Text, diameter: f64 as Size },
        /// The same where nobody said whether it is stranded, with the areas that it may have.
        TakenAsSolid "taken-as-solid" {
            gauge: String as Text, diameter: f64 as Size, least: f64 as SquareMillimetre, most: f64 as SquareMillimetre,
        },
        /// Area of so many strands of this gauge.
        Stranded "stranded" { strands: u32 as whole, gauge: u32 as whole, diameter: f64 as Size },
        /// Greatest less least height.
        HeightRange "height-range",
        /// Conductor after over conductor before.
        Conductor "conductor",
        /// Section after over conductor and barrel before.
        ConductorAndBarrel "conductor-and-barrel",
        /// CW dCH over the area before.
        WidthOverArea "width-over-area",
        /// Smallest of so many, against what is required.
        SmallestPull "smallest-pull" { n: usize as count, against: Value as itself },
        /// Mean of all.
        MeanOfAll "mean-of-all",
    }
}

/// The conductor of a crimp as it was stated.
enum Conductor {
    /// By gauge.
    Gauge(wire_size::Conductor),
    /// By area, square millimetres.
    Area(f64),
}

impl Conductor {
    fn of(wire: &Wire) -> Result<Self, JobError> {
        let refused = |error| refused(CrimpError::Wire { error });
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
                Code::ConductorArea,
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

/// The least area that the wire of a crimp can have, square millimetres.
pub fn least_wire(crimp: &CrimpHeight) -> Result<f64, JobError> {
    Ok(Conductor::of(&crimp.wire)?.areas().0)
}

pub fn findings(readings: &Readings, crimp: &CrimpHeight) -> Result<Vec<Finding>, JobError> {
    let conductor = Conductor::of(&crimp.wire)?;
    let stated = crimp
        .compression
        .as_ref()
        .and_then(|compression| compression.conductor_area_mm2);
    let mut found = vec![conductor.finding(stated)];
    if let Some((least, most)) = extremes(&readings.sizes()) {
        found.push(
            Finding::of(
                Code::Spread,
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
                .ok_or_else(|| refused(CrimpError::NoBarrelArea))?,
            Definition::ConductorAndBarrel,
        ),
    };
    let wrong = || refused(CrimpError::NoAreas);
    let before = area + barrel;
    let of = |conductor: f64| {
        physics::compression_percent(compression.area_after_mm2, conductor + barrel)
            .ok_or_else(wrong)
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
            Code::CompressionRatio,
            ratio,
            FindingUnit::Percent,
            definition,
        )
        .by(Source::CrimpSheets)
        .require(limits, f64::INFINITY, readings)?
        .unless_between(of(most)?, of(least)?, limits),
    ];
    if let Some(width) = compression.width_mm {
        let slope = physics::percent_per_millimetre(width, before).ok_or_else(wrong)?;
        found.push(Finding::of(
            Code::CompressionPer005,
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
            let refused = |error| refused(CrimpError::Wire { error });
            Some(conductor.size().map_err(refused)?)
        }
        Conductor::Area(_) => None,
    };
    let refused = |error| refused(CrimpError::Pull { error });
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
        return Err(super::super::refused(CrimpError::NoForces));
    };
    let mut finding = Finding::of(
        Code::PullForce,
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
            Code::PullForceMean,
            mean(&forces).unwrap_or_default(),
            FindingUnit::Newton,
            Definition::MeanOfAll,
        ),
    ])
}
