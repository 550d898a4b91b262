//! Gauge blocks: what is known of each, and which to wring together for a size.

use std::collections::BTreeMap;

use crate::uncertainty::Distribution;
use crate::units::{Entered, Length};

crate::codes! {
    /// Grades of gauge blocks of ISO 3650:1998, and 00 of ASME B89.1.9.
    pub enum Grade "block-grade" {
        /// For calibration by interferometry.
        K "K",
        /// The finest of ASME B89.1.9.
        DoubleZero "00",
        /// For calibration.
        Zero "0",
        /// For the gauge room.
        One "1",
        /// For the workshop.
        Two "2",
    }
}

/// Largest nominal length, millimetres, and the limit deviation at any point, te, micrometres, of K, 00, 0, 1 and 2.
///
/// 0, 1 and 2: ISO 3650:1998 as a public reprint has it; K, and 00 of ASME B89.1.9-2002: from memory.
const LIMIT_DEVIATIONS: [(f64, [f64; 5]); 5] = [
    (10.0, [0.20, 0.07, 0.12, 0.20, 0.45]),
    (25.0, [0.30, 0.07, 0.14, 0.30, 0.60]),
    (50.0, [0.40, 0.10, 0.20, 0.40, 0.80]),
    (75.0, [0.50, 0.12, 0.25, 0.50, 1.00]),
    (100.0, [0.60, 0.15, 0.30, 0.60, 1.20]),
];

/// How far the film between two wrung faces may be from nothing, millimetres (half-width; common practice, no source).
const FILM: f64 = 0.000_025;

impl Grade {
    /// The limit deviation at any point of a block of so many millimetres, millimetres; none above 100 mm.
    pub fn limit_deviation(self, nominal: f64) -> Option<f64> {
        let (_, row) = LIMIT_DEVIATIONS.iter().find(|(upto, _)| nominal <= *upto)?;
        let column = match self {
            Self::K => 0,
            Self::DoubleZero => 1,
            Self::Zero => 2,
            Self::One => 3,
            Self::Two => 4,
        };
        row.get(column).map(|um| um / 1000.0)
    }
}

/// What is known of the length of a block.
#[derive(Clone, Debug, PartialEq)]
pub enum Known {
    /// By a certificate.
    Certified {
        /// Length at 20 °C less the nominal length.
        deviation: Entered,
        /// Expanded uncertainty of that.
        expanded_uncertainty: Entered,
        /// Its coverage factor.
        coverage_factor: f64,
    },
    /// By its grade alone.
    Grade(Grade),
}

/// One gauge block.
#[derive(Clone, Debug, PartialEq)]
pub struct Block {
    /// Nominal length.
    pub nominal: Entered,
    /// What is known of it.
    pub known: Known,
}

impl Block {
    /// Length less nominal length, millimetres.
    pub fn deviation(&self) -> f64 {
        match &self.known {
            Known::Certified { deviation, .. } => deviation.value().mm(),
            Known::Grade(_) => 0.0,
        }
    }

    /// Standard uncertainty of its length, millimetres: U/k of the certificate, or te/√3 of the grade; none where the grade has
    /// no limit at that length.
    pub fn standard_uncertainty(&self) -> Option<f64> {
        match &self.known {
            Known::Certified {
                expanded_uncertainty,
                coverage_factor,
                ..
            } => Some(expanded_uncertainty.value().mm() / coverage_factor),
            Known::Grade(grade) => {
                let half_width = grade.limit_deviation(self.nominal.value().mm())?;
                Some(Distribution::Rectangular { half_width }.standard_uncertainty())
            }
        }
    }
}

/// Blocks wrung together.
#[derive(Clone, Debug, PartialEq)]
pub struct Stack {
    /// Places of the blocks in the set, the longest block first.
    pub blocks: Vec<usize>,
    /// Sum of the lengths, millimetres.
    pub length: f64,
    /// Standard uncertainty of the lengths of the blocks, millimetres.
    pub of_blocks: f64,
    /// Standard uncertainty of the films between them, millimetres.
    pub of_films: f64,
}

impl Stack {
    /// These blocks of a set, each once; none where one of them is not known or has no uncertainty.
    ///
    /// Certified blocks were compared with the same masters, so that their uncertainties add up as they are; deviations within
    /// a grade are independent and add up by their squares.
    pub fn of(set: &[Block], blocks: Vec<usize>) -> Option<Self> {
        let (mut length, mut common, mut squares) = (0.0, 0.0, 0.0);
        for index in &blocks {
            let block = set.get(*index)?;
            let u = block.standard_uncertainty()?;
            length += block.nominal.value().mm() + block.deviation();
            match block.known {
                Known::Certified { .. } => common += u,
                Known::Grade(_) => squares += u * u,
            }
        }
        let films = blocks.len().saturating_sub(1) as f64;
        let film = Distribution::Rectangular { half_width: FILM }.standard_uncertainty();
        Some(Self {
            blocks,
            length,
            of_blocks: f64::sqrt(common * common + squares),
            of_films: film * films.sqrt(),
        })
    }

    /// Both together, millimetres.
    pub fn standard_uncertainty(&self) -> f64 {
        libm::hypot(self.of_blocks, self.of_films)
    }
}

/// More blocks than these are not wrung together: every joint is a film and a chance of dirt (common practice, no source).
pub const MOST_BLOCKS: usize = 4;

/// The blocks to wring for a size: the fewest, and of as many those of the least uncertainty. None where the set has none.
pub fn propose(set: &[Block], size: Length) -> Option<Stack> {
    let mut by_length: BTreeMap<i64, usize> = BTreeMap::new();
    for (index, block) in set.iter().enumerate() {
        let Some(u) = block.standard_uncertainty() else {
            continue;
        };
        let length = block.nominal.value().tenth_nanometres();
        let known = by_length.get(&length).and_then(|known| set.get(*known));
        if known.is_none_or(|known| known.standard_uncertainty().is_none_or(|known| u < known)) {
            by_length.insert(length, index);
        }
    }
    let mut lengths: Vec<(i64, usize)> = by_length.into_iter().collect();
    lengths.reverse();
    (1..=MOST_BLOCKS).find_map(|count| {
        let mut found = Vec::new();
        search(
            &lengths,
            size.tenth_nanometres(),
            count,
            &mut Vec::new(),
            &mut found,
        );
        found
            .into_iter()
            .filter_map(|blocks| Stack::of(set, blocks))
            .min_by(|one, other| {
                one.standard_uncertainty()
                    .total_cmp(&other.standard_uncertainty())
            })
    })
}

/// Every so many of these lengths, longest first, that add up to a rest.
fn search(
    lengths: &[(i64, usize)],
    rest: i64,
    count: usize,
    taken: &mut Vec<usize>,
    found: &mut Vec<Vec<usize>>,
) {
    if count == 1 {
        // Longest first, so that the order is falling.
        let at = lengths.binary_search_by(|(length, _)| rest.cmp(length));
        if let Some((_, index)) = at.ok().and_then(|at| lengths.get(at)) {
            let mut all = taken.clone();
            all.push(*index);
            found.push(all);
        }
        return;
    }
    let most = i64::try_from(count).unwrap_or(i64::MAX);
    for (at, (length, index)) in lengths.iter().enumerate() {
        if *length >= rest {
            continue;
        }
        // All that follow are shorter.
        if length.saturating_mul(most) < rest {
            break;
        }
        taken.push(*index);
        let shorter = lengths.get(at + 1..).unwrap_or_default();
        search(shorter, rest - length, count - 1, taken, found);
        taken.pop();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The set of 47 pieces: 1.005; 1.01 to 1.19; 1.2 to 1.9; 1 to 24; 25, 50, 75, 100 mm.
    fn set_of_47(grade: Grade) -> Vec<Block> {
        let mut sizes = vec!["1.005".to_owned()];
        sizes.extend((1..20).map(|hundredths| format!("1.{hundredths:02}")));
        sizes.extend((2..10).map(|tenths| format!("1.{tenths}")));
        sizes.extend((1..25).map(|whole| whole.to_string()));
        sizes.extend(["25", "50", "75", "100"].map(str::to_owned));
        let block = |size: &String| Block {
            nominal: Entered::parse(&format!("{size}mm"), None).unwrap(),
            known: Known::Grade(grade),
        };
        sizes.iter().map(block).collect()
    }

    fn nominals(set: &[Block], um: i32) -> Vec<String> {
        let stack = propose(set, Length::from_micrometres(um)).unwrap();
        let nominal = |index: &usize| set[*index].nominal.number().to_string();
        stack.blocks.iter().map(nominal).collect()
    }

    #[test]
    fn the_usual_points_from_a_set_of_47() {
        let set = set_of_47(Grade::One);
        assert_eq!(nominals(&set, 2500), ["1.5", "1"]);
        assert_eq!(nominals(&set, 5100), ["4", "1.10"]);
        assert_eq!(nominals(&set, 15_000), ["15"]);
        assert_eq!(nominals(&set, 25_000), ["25"]);
        assert_eq!(propose(&set, Length::from_micrometres(300)), None);
    }

    #[test]
    fn a_stack_adds_up_deviations_and_uncertainty() {
        let set = set_of_47(Grade::One);
        let stack = propose(&set, Length::from_micrometres(5100)).unwrap();
        // Two blocks of te 0.20 µm, and one film.
        let block = 0.0002 / 3f64.sqrt();
        assert!((stack.of_blocks - block * 2f64.sqrt()).abs() < 1e-12);
        assert!((stack.of_films - 0.000_025 / 3f64.sqrt()).abs() < 1e-12);
        let certified = |um: &str, nominal: &str| Block {
            nominal: Entered::parse(nominal, None).unwrap(),
            known: Known::Certified {
                deviation: Entered::parse(um, None).unwrap(),
                expanded_uncertainty: Entered::parse("0.06um", None).unwrap(),
                coverage_factor: 2.0,
            },
        };
        let set = [certified("0.05um", "4mm"), certified("-0.02um", "1.1mm")];
        let stack = propose(&set, Length::from_micrometres(5100)).unwrap();
        assert!((stack.length - 5.100_03).abs() < 1e-12);
        assert!((stack.of_blocks - 0.000_06).abs() < 1e-12);
    }

    #[test]
    fn the_limits_of_a_grade_end_at_100_mm() {
        let um = |grade: Grade, mm| (grade.limit_deviation(mm).unwrap() * 1e5).round() / 100.0;
        assert_eq!(um(Grade::Zero, 25.0), 0.14);
        assert_eq!(um(Grade::Two, 25.1), 0.8);
        assert_eq!(Grade::One.limit_deviation(125.0), None);
    }
}
