//! Inside diameters across a tube, from the walls at opposite places.

use super::{Finding, FindingUnit, Readings};

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
                let at = format!("{angle}° to {}°{}", angle + 180.0, section.words());
                across.push((f64::midpoint(size, *other), at));
            }
        }
    }
    let finding = |key, name, (size, at): &(f64, String)| {
        let words = format!("D_o \u{2212} w_1 \u{2212} w_2 of opposite walls, {at}");
        Finding::of(key, name, *size, FindingUnit::Length, &words)
    };
    let least = across.iter().min_by(|a, b| a.0.total_cmp(&b.0));
    let greatest = across.iter().max_by(|a, b| a.0.total_cmp(&b.0));
    let least = least.map(|least| finding("least_across", "least diameter across", least));
    let greatest =
        greatest.map(|greatest| finding("greatest_across", "greatest diameter across", greatest));
    least.into_iter().chain(greatest).collect()
}
