//! In which order the parts of a study are measured.
//!
//! In every trial each operator measures all parts, operators and parts each in an order of chance, so that drift and warmth
//! fall on all alike and nobody knows which part comes next. The order follows from its seed alone, on any machine.

use crate::uncertainty::monte_carlo::random::Generator;

/// One reading that is to be taken, each counted from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Turn {
    /// Which operator.
    pub operator: usize,
    /// Which part.
    pub part: usize,
    /// For which time.
    pub trial: usize,
}

/// The order of a study.
pub fn order(seed: u64, operators: usize, parts: usize, trials: usize) -> Vec<Turn> {
    let mut random = Generator::new(seed, 0);
    let mut turns: Vec<Turn> = Vec::new();
    for trial in 0..trials {
        for operator in shuffled(operators, &mut random) {
            let mut own = shuffled(parts, &mut random);
            // Nobody measures the same part twice in a row, where there is another.
            let again = turns
                .last()
                .is_some_and(|last| last.operator == operator && own.first() == Some(&last.part));
            if again {
                own.rotate_left(1);
            }
            turns.extend(own.into_iter().map(|part| Turn {
                operator,
                part,
                trial,
            }));
        }
    }
    turns
}

/// The numbers below `n` in an order of chance.
fn shuffled(n: usize, random: &mut Generator) -> Vec<usize> {
    let mut drawn: Vec<(f64, usize)> = (0..n).map(|index| (random.uniform(), index)).collect();
    drawn.sort_by(|(one, _), (other, _)| one.total_cmp(other));
    drawn.into_iter().map(|(_, index)| index).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn everyone_measures_every_part_in_every_trial() {
        let turns = order(7, 3, 10, 3);
        let mut sorted = turns.clone();
        sorted.sort_unstable();
        sorted.dedup();
        assert_eq!(sorted.len(), 90);
        assert_eq!(turns.len(), 90);
        assert_eq!(turns, order(7, 3, 10, 3));
        assert_ne!(turns, order(8, 3, 10, 3));
        // Trial by trial, and in each one operator after the other.
        for (index, turn) in turns.iter().enumerate() {
            assert_eq!(turn.trial, index / 30);
            assert_eq!(turn.operator, turns[index / 10 * 10].operator);
        }
    }

    #[test]
    fn nobody_measures_a_part_twice_in_a_row() {
        for seed in 0..500 {
            for pair in order(seed, 1, 2, 5).windows(2) {
                assert_ne!(pair[0].part, pair[1].part, "{seed}");
            }
        }
        assert_eq!(order(1, 1, 1, 25).len(), 25);
    }

    /// Each of ten parts comes first as often as any: 10 000 draws, χ² with 9 degrees of freedom below its quantile for one in a
    /// thousand, 27.88 (printed tables).
    #[test]
    fn every_part_comes_first_as_often_as_any() {
        let mut first = [0_u32; 10];
        for seed in 0..10_000 {
            first[order(seed, 1, 10, 1)[0].part] += 1;
        }
        let squares = first.map(|n| {
            let off = f64::from(n) - 1000.0;
            off * off / 1000.0
        });
        let chi_square: f64 = squares.iter().sum();
        assert!(chi_square < 27.88, "{first:?}");
    }
}
