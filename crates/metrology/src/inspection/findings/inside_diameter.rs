//! Inside diameters across a tube, from the walls at opposite places.

use super::{Definition, Finding, FindingCode, FindingUnit, Readings, Where};
use crate::inspection::local::{Opposite, opposites};

/// The least and greatest diameter across; nothing where no two places are opposite.
///
/// Two opposite walls give a chord through the middle, `D_o − w_1 − w_2`: the mean of what each gives alone.
pub fn findings(readings: &Readings) -> Vec<Finding> {
    let places = readings.places();
    let size = |place: usize| places.get(place).map(|(_, size)| *size);
    let across: Vec<(f64, Opposite)> = opposites(readings.job, readings.target)
        .into_iter()
        .filter_map(|pair| {
            let [one, other] = pair.places.map(size);
            Some((f64::midpoint(one?, other?), pair))
        })
        .collect();
    let finding = |code, (size, pair): &(f64, Opposite)| {
        let definition = Definition::OppositeWalls {
            from: pair.from,
            to: pair.from + 180.0,
            at: pair.along.clone().map(|section| Where::Section { section }),
        };
        Finding::of(code, *size, FindingUnit::Length, definition)
    };
    let least = across.iter().min_by(|a, b| a.0.total_cmp(&b.0));
    let greatest = across.iter().max_by(|a, b| a.0.total_cmp(&b.0));
    let least = least.map(|least| finding(FindingCode::LeastAcross, least));
    let greatest = greatest.map(|greatest| finding(FindingCode::GreatestAcross, greatest));
    least.into_iter().chain(greatest).collect()
}
