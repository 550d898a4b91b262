//! Inside diameters across a tube, from the walls at opposite places.

use super::{Definition, Finding, FindingCode, FindingUnit, Readings};

/// Angles that differ from half a turn by no more than this are opposite, degrees (common practice).
const OPPOSITE: f64 = 0.5;

/// The least and greatest diameter across; nothing where no two places are opposite.
///
/// Each reading alone gives `D_o − 2 w`, which is a diameter only of a tube without eccentricity. Two opposite walls
/// give a chord through the middle, `D_o − w_1 − w_2`: the mean of the two.
pub fn findings(readings: &Readings) -> Vec<Finding> {
    let mut across = Vec::new();
    for section in readings.sections() {
        for &(angle, size) in &section.sizes {
            let opposite = section.sizes.iter().find(|(other, _)| {
                let apart = other.zip(angle).map(|(other, angle)| other - angle - 180.0);
                apart.is_some_and(|apart| apart.abs() <= OPPOSITE)
            });
            if let (Some(angle), Some((_, other))) = (angle, opposite) {
                let definition = Definition::OppositeWalls {
                    from: angle,
                    to: angle + 180.0,
                    at: section.at(),
                };
                across.push((f64::midpoint(size, *other), definition));
            }
        }
    }
    let finding = |code, (size, definition): &(f64, Definition)| {
        Finding::of(code, *size, FindingUnit::Length, definition.clone())
    };
    let least = across.iter().min_by(|a, b| a.0.total_cmp(&b.0));
    let greatest = across.iter().max_by(|a, b| a.0.total_cmp(&b.0));
    let least = least.map(|least| finding(FindingCode::LeastAcross, least));
    let greatest = greatest.map(|greatest| finding(FindingCode::GreatestAcross, greatest));
    least.into_iter().chain(greatest).collect()
}
