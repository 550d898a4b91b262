//! What a V tells of a shaft that two points call round.

use super::{LobedShaft, VScale, physics as lobes};
use crate::inspection::JobError;
use crate::inspection::finding::{Finding, FindingUnit, Readings};
use crate::source::Source;
use crate::uncertainty::statistics::extremes;

crate::codes! {
    /// What is found.
    pub enum Code "finding" {
        /// Departure from roundness.
        Roundness "roundness",
        /// Factor of a V.
        VFactor "v_factor",
        /// Greatest less least two-point diameter.
        TwoPointSpread "two_point_spread",
    }
}

crate::messages! {
    /// What each finding is.
    pub enum Definition "definition" {
        /// Range of the distances read in the V over its factor.
        VOverFactor "v-over-factor" { lobes: u32 as whole, v: f64 as Degrees },
        /// The same, and nobody said that they are distances but their level.
        VAsLevel "v-as-level" { lobes: u32 as whole, v: f64 as Degrees },
        /// Range of the diameters read in the V, times what makes distances of them, over its factor.
        VDiameters "v-diameters" { lobes: u32 as whole, v: f64 as Degrees, ratio: f64 as Number },
        /// Factor of a V that sees every count of lobes up to nine.
        VFactor "v-factor",
        /// Factor of a V, and the counts of lobes that it hardly sees.
        BlindVFactor "blind-v-factor" { lobes: Vec<usize> as counts },
        /// Two points show twice the lobing of even lobes.
        TwicePoints "even-lobes",
        /// Two points do not show odd lobes.
        BlindPoints "odd-lobes",
    }
}

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
    let (value, u) = shaft.roundness(readings.one_reading.0)?;
    let limit = Readings::at_most(shaft.roundness_limit.as_ref());
    let factor = lobes::v_factor(shaft.lobes, shaft.v_angle).unwrap_or_default();
    let seen = extremes(&readings.sizes()).map_or(0.0, |(least, most)| most - least);
    let blind = shaft.hardly_seen();
    let two_point = if shaft.lobes.is_multiple_of(2) {
        Definition::TwicePoints
    } else {
        Definition::BlindPoints
    };
    Ok(vec![
        Finding::of(
            Code::Roundness,
            value,
            FindingUnit::Length,
            of_roundness(shaft),
        )
        .by(Source::Iso4292)
        .within(u)
        .require(limit, readings.one_reading.1, readings)?,
        Finding::of(
            Code::VFactor,
            factor,
            FindingUnit::Number,
            if blind.is_empty() {
                Definition::VFactor
            } else {
                Definition::BlindVFactor { lobes: blind }
            },
        )
        .by(Source::Iso4292),
        Finding::of(Code::TwoPointSpread, seen, FindingUnit::Length, two_point),
    ])
}
