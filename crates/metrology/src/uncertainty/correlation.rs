//! Correlation of input quantities (JCGM 100:2008, 5.2).

/// The correlation coefficient of two inputs, named by their places in the list of inputs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Correlation {
    /// Place of one input, from 0.
    pub first: usize,
    /// Place of the other.
    pub second: usize,
    /// From -1 to 1.
    pub coefficient: f64,
}

crate::messages! {
    /// Why correlations cannot be used.
    #[derive(Copy)]
    pub enum CorrelationError "correlation-error" {
        /// Beyond ±1, or no number.
        Coefficient "coefficient" { given: f64 as Given },
        /// No such pair.
        Pair "pair" {
            /// As given, counted from 0.
            first: usize as count,
            /// As given, counted from 0.
            second: usize as count,
            /// How many inputs there are.
            count: usize as count,
        },
        /// The same pair twice.
        Twice "twice" { first: usize as count, second: usize as count },
        /// No quantities can be correlated so.
        Contradiction "contradiction",
    }
}

/// The full correlation matrix of `count` inputs, row by row.
pub(super) fn matrix(
    count: usize,
    correlations: &[Correlation],
) -> Result<Vec<Vec<f64>>, CorrelationError> {
    let mut matrix = vec![vec![0.0; count]; count];
    for (i, row) in matrix.iter_mut().enumerate() {
        row[i] = 1.0;
    }
    let mut seen = Vec::new();
    for &Correlation {
        first,
        second,
        coefficient,
    } in correlations
    {
        if first >= count || second >= count || first == second {
            return Err(CorrelationError::Pair {
                first,
                second,
                count,
            });
        }
        if !(-1.0..=1.0).contains(&coefficient) {
            return Err(CorrelationError::Coefficient { given: coefficient });
        }
        let pair = (first.min(second), first.max(second));
        if seen.contains(&pair) {
            return Err(CorrelationError::Twice { first, second });
        }
        seen.push(pair);
        matrix[first][second] = coefficient;
        matrix[second][first] = coefficient;
    }
    cholesky(&matrix)?;
    Ok(matrix)
}

/// The lower triangle L with L·Lᵀ the matrix; a zero pivot (full correlation) is allowed.
pub(super) fn cholesky(matrix: &[Vec<f64>]) -> Result<Vec<Vec<f64>>, CorrelationError> {
    // Coefficients are estimates with a few digits; a pivot this little below zero is rounding.
    const ROUNDING: f64 = 1e-9;
    let count = matrix.len();
    let mut lower = vec![vec![0.0; count]; count];
    for i in 0..count {
        for j in 0..=i {
            let rest = matrix[i][j] - (0..j).map(|k| lower[i][k] * lower[j][k]).sum::<f64>();
            if i == j {
                if rest < -ROUNDING {
                    return Err(CorrelationError::Contradiction);
                }
                lower[i][i] = if rest > ROUNDING { rest.sqrt() } else { 0.0 };
            } else if lower[j][j] > 0.0 {
                lower[i][j] = rest / lower[j][j];
            } else if rest.abs() > ROUNDING.sqrt() {
                return Err(CorrelationError::Contradiction);
            }
        }
    }
    Ok(lower)
}

/// For each input the lowest place among the inputs it is tied to, directly or through others.
pub(super) fn groups(matrix: &[Vec<f64>]) -> Vec<usize> {
    let mut group: Vec<usize> = (0..matrix.len()).collect();
    for (i, row) in matrix.iter().enumerate() {
        for (j, &coefficient) in row.iter().enumerate().take(i) {
            if coefficient != 0.0 {
                let (low, high) = (group[i].min(group[j]), group[i].max(group[j]));
                for member in &mut group {
                    if *member == high {
                        *member = low;
                    }
                }
            }
        }
    }
    group
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pair(first: usize, second: usize, coefficient: f64) -> Correlation {
        Correlation {
            first,
            second,
            coefficient,
        }
    }

    #[test]
    fn contradictions_are_refused() {
        // a with b and b with c fully tied, a and c opposed: impossible.
        let wrong = [pair(0, 1, 1.0), pair(1, 2, 1.0), pair(0, 2, -1.0)];
        assert_eq!(matrix(3, &wrong), Err(CorrelationError::Contradiction));
        let right = [pair(0, 1, 1.0), pair(1, 2, 1.0), pair(0, 2, 1.0)];
        assert!(matrix(3, &right).is_ok());
        assert!(matches!(
            matrix(2, &[pair(0, 2, 0.5)]),
            Err(CorrelationError::Pair { .. })
        ));
        assert!(matches!(
            matrix(2, &[pair(0, 1, f64::NAN)]),
            Err(CorrelationError::Coefficient { .. })
        ));
        let twice = [pair(0, 1, 0.5), pair(1, 0, 0.5)];
        assert_eq!(
            matrix(2, &twice),
            Err(CorrelationError::Twice {
                first: 1,
                second: 0
            })
        );
    }

    #[test]
    fn groups_follow_the_ties() {
        let matrix = matrix(5, &[pair(3, 4, 0.5), pair(1, 3, 0.2)]).unwrap();
        assert_eq!(groups(&matrix), [0, 1, 2, 1, 1]);
    }
}
