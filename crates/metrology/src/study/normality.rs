//! Whether readings look like a normal sample.

use crate::uncertainty::normal_cdf;

/// The test of Anderson and Darling with mean and standard deviation from the readings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AndersonDarling {
    /// A² for samples of any size: A²(1 + 0.75/n + 2.25/n²).
    pub statistic: f64,
    /// Probability of one as large or larger from a normal sample.
    pub p: f64,
}

/// Of at least eight readings that are not all the same; `None` otherwise.
///
/// Source: R. B. D'Agostino and M. A. Stephens, *Goodness-of-fit techniques* (1986), table 4.9; from memory, checked by the
/// tabulated points 0.631, 0.752, 0.873 and 1.035 for 10, 5, 2.5 and 1 %.
pub fn anderson_darling(values: &[f64]) -> Option<AndersonDarling> {
    let n = values.len();
    let sample = crate::uncertainty::statistics::Sample::of(values)?;
    if n < 8 || sample.standard_deviation <= 0.0 {
        return None;
    }
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let z: Vec<f64> = sorted
        .iter()
        .map(|value| (value - sample.mean) / sample.standard_deviation)
        .collect();
    let tail = |z: f64| libm::log(normal_cdf(z).max(f64::MIN_POSITIVE));
    let sum: f64 = z
        .iter()
        .zip(z.iter().rev())
        .enumerate()
        .map(|(index, (low, high))| (2.0 * index as f64 + 1.0) * (tail(*low) + tail(-high)))
        .sum();
    let count = n as f64;
    let square = -count - sum / count;
    let statistic = square * (1.0 + 0.75 / count + 2.25 / (count * count));
    Some(AndersonDarling {
        statistic,
        p: probability(statistic),
    })
}

fn probability(a: f64) -> f64 {
    let p = if a < 0.2 {
        1.0 - libm::exp(-13.436 + 101.14 * a - 223.73 * a * a)
    } else if a < 0.34 {
        1.0 - libm::exp(-8.318 + 42.796 * a - 59.938 * a * a)
    } else if a < 0.6 {
        libm::exp(0.9177 - 4.279 * a - 1.38 * a * a)
    } else if a < 13.0 {
        libm::exp(1.2937 - 5.709 * a + 0.0186 * a * a)
    } else {
        0.0
    };
    p.clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tabulated_points() {
        for (a, p) in [(0.631, 0.10), (0.752, 0.05), (0.873, 0.025), (1.035, 0.01)] {
            assert!(
                (probability(a) - p).abs() < 0.03 * p,
                "{a}: {}",
                probability(a)
            );
        }
    }
}
