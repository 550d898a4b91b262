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
        let turned = Turned::of(&section.sizes);
        for &(angle, size) in &section.sizes {
            if let Some(angle) = angle
                && let Some(other) = turned.opposite(angle)
            {
                let definition = Definition::OppositeWalls {
                    from: angle,
                    to: angle + 180.0,
                    at: section.at(),
                };
                across.push((f64::midpoint(size, other), definition));
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

/// Sizes of a section in order of their angle; of equal angles the one that was read first.
struct Turned(Vec<(f64, usize, f64)>);

impl Turned {
    fn of(sizes: &[(Option<f64>, f64)]) -> Self {
        let mut turned: Vec<_> = sizes
            .iter()
            .enumerate()
            .filter_map(|(index, (angle, size))| {
                // Adding nothing makes one zero of 0 and -0.
                angle
                    .filter(|angle| angle.is_finite())
                    .map(|angle| (angle + 0.0, index, *size))
            })
            .collect();
        turned.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        turned.dedup_by_key(|(angle, ..)| *angle);
        Self(turned)
    }

    /// The size that was read first of those half a turn on.
    fn opposite(&self, angle: f64) -> Option<f64> {
        let apart = |other: f64| other - angle - 180.0;
        let from = self
            .0
            .partition_point(|(other, ..)| apart(*other) < -OPPOSITE);
        self.0
            .iter()
            .skip(from)
            .take_while(|(other, ..)| apart(*other) <= OPPOSITE)
            .min_by_key(|(_, index, _)| *index)
            .map(|(.., size)| *size)
    }
}
