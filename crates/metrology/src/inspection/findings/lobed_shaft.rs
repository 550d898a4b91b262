//! What a V tells of a shaft that two points call round.

use super::{Finding, FindingUnit, Readings};
use crate::features::lobes;
use crate::features::plain_diameter::extremes;
use crate::inspection::{JobError, LobedShaft, conversion};
use crate::source::Source;

pub fn findings(readings: &Readings, shaft: &LobedShaft) -> Result<Vec<Finding>, JobError> {
    let (value, u) = conversion::roundness(shaft, readings.one_reading.0)?;
    let limit = Readings::at_most(shaft.roundness_limit.as_ref());
    let factor = lobes::v_factor(shaft.lobes, shaft.v_angle).unwrap_or_default();
    let sizes: Vec<f64> = readings.places().iter().map(|(_, size)| *size).collect();
    let seen = extremes(&sizes).map_or(0.0, |(least, most)| most - least);
    let blind: Vec<String> = lobes::v_blind_to(shaft.v_angle)
        .iter()
        .map(ToString::to_string)
        .collect();
    let two_point = if shaft.lobes.is_multiple_of(2) {
        "shows twice the lobing of even lobes"
    } else {
        "does not show odd lobes at all"
    };
    Ok(vec![
        Finding::of(
            "roundness",
            "departure from roundness",
            value,
            FindingUnit::Length,
            &format!(
                "spread in the V over |F|, {} lobes, V of {}°",
                shaft.lobes, shaft.v_angle
            ),
        )
        .by(Source::Iso4292)
        .within(u)
        .require(limit, readings.one_reading.1, readings)?,
        Finding::of(
            "v_factor",
            "factor of the V",
            factor,
            FindingUnit::Number,
            &format!(
                "F = 1 + (\u{2212}1)^n cos nγ / cos γ; this V hardly sees {} lobes",
                if blind.is_empty() {
                    "no count up to 9 of".into()
                } else {
                    blind.join(", ")
                }
            ),
        )
        .by(Source::Iso4292),
        Finding::of(
            "two_point_spread",
            "spread of the two-point diameters",
            seen,
            FindingUnit::Length,
            two_point,
        ),
    ])
}
