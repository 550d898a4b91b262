//! The measuring force for a pitch.

use std::error::Error;
use std::sync::OnceLock;

use serde::Deserialize;

use crate::source::{Confidence, Source};
use crate::units::Force;

/// One avoirdupois ounce-force in newtons: a sixteenth of the pound-force, 4.4482216152605 N.
const NEWTONS_PER_OUNCE: f64 = 4.4482216152605 / 16.0;

/// The customary force over wires for a range of pitches, and the cylinder the wires are calibrated on.
///
/// The same force is used to calibrate the wires (on the cylinder) and to measure the thread, so that the calibrated
/// wire size already contains about the deformation of use. Where the force is to be corrected for instead, small
/// forces of the order of 1 N are taken.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ForceAdvice {
    pub force: Force,
    /// Permitted deviation, in per cent.
    pub tolerance_percent: f64,
    /// Diameter of the calibration cylinder, millimetres.
    pub cylinder_mm: f64,
    /// Where the row comes from.
    pub source: Source,
    /// How far it has been seen in print.
    pub confidence: Confidence,
    /// Threads per inch: more than the first, up to the second.
    pub threads_per_inch: (f64, f64),
}

#[derive(Deserialize)]
struct Row {
    above_per_inch: f64,
    to_per_inch: f64,
    force_ozf: f64,
    cylinder_in: f64,
    tolerance_percent: f64,
    source: String,
    confidence: Confidence,
}

/// The customary measuring force for a pitch in millimetres; `None` for a pitch outside the table.
///
/// ```
/// use metrology::elastic::measuring_force;
///
/// // 16.9 threads to the inch: 40 ozf, 11.12 N.
/// let advice = measuring_force(1.5).unwrap();
/// assert!((advice.force.newtons() - 11.12).abs() < 0.01);
/// ```
pub fn measuring_force(pitch_mm: f64) -> Option<ForceAdvice> {
    static TABLE: OnceLock<Vec<ForceAdvice>> = OnceLock::new();
    let table = TABLE.get_or_init(|| rows().filter_map(Result::ok).collect());
    // A pitch that was rounded to micrometres still belongs to its number of threads per inch.
    let per_inch = 25.4 / pitch_mm;
    table
        .iter()
        .find(|row| {
            let (above, to) = row.threads_per_inch;
            per_inch > above * 1.0005 && per_inch <= to * 1.0005
        })
        .copied()
}

fn rows() -> impl Iterator<Item = Result<ForceAdvice, Box<dyn Error>>> {
    csv::Reader::from_reader(include_str!("../../data/measuring-force.csv").as_bytes())
        .into_deserialize::<Row>()
        .map(|row| {
            let row = row?;
            Ok(ForceAdvice {
                force: Force::from_newtons(row.force_ozf * NEWTONS_PER_OUNCE),
                tolerance_percent: row.tolerance_percent,
                cylinder_mm: row.cylinder_in * 25.4,
                source: row.source.parse()?,
                confidence: row.confidence,
                threads_per_inch: (row.above_per_inch, row.to_per_inch),
            })
        })
}

#[cfg(test)]
mod tests {
    use super::{measuring_force, rows};
    use crate::source::Confidence;

    #[test]
    fn rows_parse_and_join() {
        let table: Vec<_> = rows().collect::<Result<_, _>>().unwrap();
        for pair in table.windows(2) {
            assert_eq!(pair[0].threads_per_inch.1, pair[1].threads_per_inch.0);
            assert!(pair[0].force >= pair[1].force);
        }
    }

    #[test]
    fn force_by_pitch() {
        let newtons = |pitch: f64| measuring_force(pitch).unwrap().force.newtons();
        assert!((newtons(1.27) - 11.1206).abs() < 1e-4);
        assert!((newtons(1.5) - 11.1206).abs() < 1e-4);
        assert!((newtons(25.4 / 32.0) - 4.4482).abs() < 1e-4);
        assert!((newtons(0.3175) - 2.2241).abs() < 1e-4);
        assert_eq!(
            measuring_force(25.4 / 72.0).unwrap().confidence,
            Confidence::Solid
        );
        assert_eq!(measuring_force(0.5).unwrap().confidence, Confidence::Weak);
        assert_eq!(measuring_force(f64::NAN), None);
        assert_eq!(measuring_force(-1.0), None);
    }
}
