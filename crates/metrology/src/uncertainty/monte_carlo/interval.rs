//! Coverage intervals from the results of trials (JCGM 101:2008, 7.7).

/// A coverage interval, in the unit of the result.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    pub low: f64,
    pub high: f64,
}

/// Which of the intervals with one coverage probability.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// As much probability below as above.
    Symmetric,
    Shortest,
}

/// The probabilistically symmetric and the shortest interval; reorders the values.
///
/// Of M values the interval leaves out M - q, so only the M - q least and the M - q greatest are ever ends of one,
/// and only those are sorted. Needs two values; of fewer it gives NaN.
pub(super) fn intervals(values: &mut [f64], probability: f64) -> (Interval, Interval) {
    let count = values.len();
    if count < 2 {
        let none = Interval {
            low: f64::NAN,
            high: f64::NAN,
        };
        return (none, none);
    }
    // q = pM, to the nearest integer.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 0 and the count"
    )]
    let q = ((probability * count as f64 + 0.5) as usize).clamp(1, count - 1);
    let outside = count - q;
    if outside < q {
        values.select_nth_unstable_by(outside, f64::total_cmp);
        let (low, rest) = values.split_at_mut(outside);
        low.sort_unstable_by(f64::total_cmp);
        rest.select_nth_unstable_by(q - outside, f64::total_cmp);
        let (_, high) = rest.split_at_mut(q - outside);
        high.sort_unstable_by(f64::total_cmp);
    } else {
        values.sort_unstable_by(f64::total_cmp);
    }
    // The candidates: from the r-th least to the (r + q)-th least, r from 1.
    let candidates = || {
        let ends = values.iter().zip(values.iter().skip(q));
        ends.map(|(&low, &high)| Interval { low, high })
    };
    let length = |interval: &Interval| interval.high - interval.low;
    // r = (M - q)/2 or (M - q + 1)/2; counted from 0 here.
    let symmetric = candidates().nth(outside.div_ceil(2) - 1);
    let shortest = candidates().min_by(|a, b| length(a).total_cmp(&length(b)));
    let all = Interval {
        low: f64::NEG_INFINITY,
        high: f64::INFINITY,
    };
    (symmetric.unwrap_or(all), shortest.unwrap_or(all))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranks_as_in_the_clause() {
        // 20 values 1² … 20², p = 0.8: q = 16, M - q = 4, symmetric r = 2: y(2) to y(18); shortest r = 1.
        let mut values: Vec<f64> = (1..=20).rev().map(|n| f64::from(n * n)).collect();
        let (symmetric, shortest) = intervals(&mut values, 0.8);
        assert_eq!(
            symmetric,
            Interval {
                low: 4.0,
                high: 324.0
            }
        );
        assert_eq!(
            shortest,
            Interval {
                low: 1.0,
                high: 289.0
            }
        );
    }

    #[test]
    fn partial_sorting_changes_nothing() {
        let scattered: Vec<f64> = (0..1001).map(|n| f64::from(n * 617 % 1001)).collect();
        for probability in [0.001, 0.3, 0.5, 0.683, 0.95, 0.999] {
            let mut sorted = scattered.clone();
            sorted.sort_by(f64::total_cmp);
            assert_eq!(
                intervals(&mut scattered.clone(), probability),
                intervals(&mut sorted, probability)
            );
        }
    }
}
