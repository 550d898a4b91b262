//! What a V tells of a shaft that two points call round.

use super::{Definition, Finding, FindingCode, FindingUnit, Readings};
use crate::features::lobes;
use crate::features::plain_diameter::extremes;
use crate::inspection::{JobError, LobedShaft, VScale, conversion};
use crate::source::Source;

/// What the roundness is reckoned from.
fn of_roundness(shaft: &LobedShaft) -> Definition {
    let (lobes, v) = (shaft.lobes, shaft.v_angle);
    match shaft.v_scale {
        Some(VScale::Distance) => Definition::VOverFactor { lobes, v },
        Some(VScale::Diameter) => Definition::VDiameters {
            lobes,
            v,
            ratio: lobes::distance_to_diameter(v).unwrap_or_default(),
        },
        None => Definition::VAsLevel { lobes, v },
    }
}

pub fn findings(readings: &Readings, shaft: &LobedShaft) -> Result<Vec<Finding>, JobError> {
    let (value, u) = conversion::roundness(shaft, readings.one_reading.0)?;
    let limit = Readings::at_most(shaft.roundness_limit.as_ref());
    let factor = lobes::v_factor(shaft.lobes, shaft.v_angle).unwrap_or_default();
    let sizes: Vec<f64> = readings.places().iter().map(|(_, size)| *size).collect();
    let seen = extremes(&sizes).map_or(0.0, |(least, most)| most - least);
    let blind: Vec<usize> = lobes::v_blind_to(shaft.v_angle)
        .iter()
        .filter_map(|lobes| usize::try_from(*lobes).ok())
        .collect();
    let two_point = if shaft.lobes.is_multiple_of(2) {
        Definition::TwicePoints
    } else {
        Definition::BlindPoints
    };
    Ok(vec![
        Finding::of(
            FindingCode::Roundness,
            value,
            FindingUnit::Length,
            of_roundness(shaft),
        )
        .by(Source::Iso4292)
        .within(u)
        .require(limit, readings.one_reading.1, readings)?,
        Finding::of(
            FindingCode::VFactor,
            factor,
            FindingUnit::Number,
            if blind.is_empty() {
                Definition::VFactor
            } else {
                Definition::BlindVFactor { lobes: blind }
            },
        )
        .by(Source::Iso4292),
        Finding::of(
            FindingCode::TwoPointSpread,
            seen,
            FindingUnit::Length,
            two_point,
        ),
    ])
}
