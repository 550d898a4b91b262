//! The fraction nonconforming of the process behind a lot, from measured sizes and the uncertainty of the measurement.
//!
//! Model: true sizes are normal, `x ~ N(μ, σ²)`; a measured one is `y = x + b + e`, where `b ~ N(0, uc²)` is common to all
//! pieces (standard, zero, error curve, contacts) and `e ~ N(0, ue²)` another for each (repeatability, resolution, form).
//! Both are known. With `v = σ² + ue²` and the prior density `1/v` on `v ≥ ue²`:
//!
//! ```text
//! v | y      (n − 1) s² / v is χ² with n − 1 degrees of freedom, where it is at most (n − 1) s² / ue²
//! μ | v, y   N(ȳ, v/n + uc²)
//! p          Φ((L − μ)/σ) + Φ((μ − U)/σ),  σ = √(v − ue²)
//! ```
//!
//! The interval has equal tails of the distribution of `p`, the estimate is its median. Without uncertainty it is that of
//! the one-sided tolerance interval of a normal process, and exact.
//!
//! Between two limits `p` is smallest where the process is centred, and every other `μ` makes it larger: of a centred
//! process whose mean is poorly known, the lower tail of `p` is then wholly above the truth. So where the interval of `μ`
//! contains the middle of the limits, the lower end is that of a process centred there, if it is lower.
//!
//! Nothing of it is random: `v` and `μ` run over points of equal probability. Our own method; how often the interval
//! contains the true fraction is simulated (`lot_fraction.rs` of the simulated bench).

use crate::probability::{chi_square_cdf, chi_square_quantile};
use crate::uncertainty::{normal_cdf, normal_quantile};

/// Tenths of a nanometre in a millimetre.
const TICKS: f64 = 1e7;
/// Parts of a squared tick in which squares of uncertainties are summed.
const PARTS: f64 = 1e3;

/// Sizes of pieces and their uncertainties, added up as whole numbers: the sum does not depend on the order.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Sizes {
    n: u64,
    sum: i128,
    squares: i128,
    each: i128,
    common: i128,
}

impl Sizes {
    /// Adds a piece: its size, the standard uncertainty that is its own, and that which all pieces share, millimetres.
    #[allow(
        clippy::cast_possible_truncation,
        reason = "sizes are some metres at most, of which a tick is a ten-billionth"
    )]
    pub fn add(&mut self, size: f64, each: f64, common: f64) {
        let tick = (size * TICKS).round() as i128;
        let square = |u: f64| (u * TICKS * (u * TICKS) * PARTS).round() as i128;
        self.n += 1;
        self.sum += tick;
        self.squares += tick * tick;
        self.each += square(each);
        self.common += square(common);
    }

    /// How many.
    pub const fn n(&self) -> u64 {
        self.n
    }

    /// Their mean, millimetres.
    pub fn mean(&self) -> f64 {
        self.sum as f64 / self.n as f64 / TICKS
    }

    /// Their standard deviation, millimetres; none of fewer than two.
    pub fn standard_deviation(&self) -> Option<f64> {
        if self.n < 2 {
            return None;
        }
        let n = i128::from(self.n);
        let about = n * self.squares - self.sum * self.sum;
        let freedom = (self.n as f64) * (self.n as f64 - 1.0);
        Some((about as f64 / freedom).sqrt() / TICKS)
    }

    fn root_mean(&self, sum: i128) -> f64 {
        (sum as f64 / PARTS / self.n as f64).sqrt() / TICKS
    }

    /// Standard uncertainty that each size has of its own, over all pieces, millimetres.
    pub fn each(&self) -> f64 {
        self.root_mean(self.each)
    }

    /// Standard uncertainty that all sizes share, millimetres.
    pub fn common(&self) -> f64 {
        self.root_mean(self.common)
    }
}

/// The fraction nonconforming with its interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FractionNonconforming {
    /// The median of what it can be.
    pub estimate: f64,
    /// The lower end of the interval.
    pub lower: f64,
    /// Its upper end.
    pub upper: f64,
    /// The probability that the interval holds it.
    pub confidence: f64,
}

impl FractionNonconforming {
    /// Points of equal probability that each of `v` and `μ` runs over.
    pub const POINTS: usize = 200;

    /// From the sizes of pieces, against limits in millimetres. None of fewer than three pieces, of sizes that are all the
    /// same, and without a limit.
    pub fn of(
        sizes: &Sizes,
        lower: Option<f64>,
        upper: Option<f64>,
        confidence: f64,
    ) -> Option<Self> {
        Self::by(sizes, lower, upper, confidence, Self::POINTS)
    }

    /// The same by so many points.
    pub fn by(
        sizes: &Sizes,
        lower: Option<f64>,
        upper: Option<f64>,
        confidence: f64,
        points: usize,
    ) -> Option<Self> {
        let s = sizes.standard_deviation().filter(|s| *s > 0.0)?;
        if sizes.n < 3 || (lower.is_none() && upper.is_none()) || points == 0 {
            return None;
        }
        let (n, mean) = (sizes.n as f64, sizes.mean());
        let (each, common) = (sizes.each(), sizes.common());
        let freedom = n - 1.0;
        let squares = freedom * s * s;
        // Of v only what is not below the variance of the measurement alone.
        let most = if each > 0.0 {
            chi_square_cdf(squares / (each * each), freedom)
        } else {
            1.0
        };
        let share = |index: usize| (index as f64 + 0.5) / points as f64;
        let shifts: Vec<f64> = (0..points)
            .map(|index| normal_quantile(share(index)))
            .collect();
        let middle = lower
            .zip(upper)
            .map(|(lower, upper)| f64::midpoint(lower, upper));
        let mut fractions = Vec::with_capacity(points * points);
        let mut centred = Vec::with_capacity(points);
        let mut below_middle = 0_usize;
        for index in 0..points {
            let chi_square = chi_square_quantile(most * share(index), freedom);
            let v = if chi_square > 0.0 {
                (squares / chi_square).max(each * each)
            } else {
                each * each
            };
            let sigma = (v - each * each).sqrt();
            let spread = (v / n + common * common).sqrt();
            let fraction = |centre: f64| {
                let below = lower.map_or(0.0, |limit| beyond(limit - centre, sigma));
                let above = upper.map_or(0.0, |limit| beyond(centre - limit, sigma));
                (below + above).min(1.0)
            };
            let centres = shifts.iter().map(|shift| mean + shift * spread);
            if let Some(middle) = middle {
                below_middle += centres.clone().filter(|centre| *centre < middle).count();
                centred.push(fraction(middle));
            }
            fractions.extend(centres.map(fraction));
        }
        fractions.sort_unstable_by(f64::total_cmp);
        centred.sort_unstable_by(f64::total_cmp);
        let tail = (1.0 - confidence) / 2.0;
        let mut low = quantile(&fractions, tail)?;
        let share_below = below_middle as f64 / fractions.len() as f64;
        if share_below.min(1.0 - share_below) >= tail
            && let Some(centred) = quantile(&centred, tail)
        {
            low = low.min(centred);
        }
        Some(Self {
            estimate: quantile(&fractions, 0.5)?,
            lower: low,
            upper: quantile(&fractions, 1.0 - tail)?,
            confidence,
        })
    }
}

/// Of sorted values; the i-th, from 0, stands at (i + 0.5)/n.
fn quantile(sorted: &[f64], p: f64) -> Option<f64> {
    let count = sorted.len() as f64;
    let mut places = sorted.iter().enumerate();
    let found = places.find(|(index, _)| *index as f64 + 1.0 > p * count);
    found.map(|(_, value)| *value)
}

/// Φ(distance/σ): the part beyond a limit; all or nothing of a process that does not scatter.
fn beyond(distance: f64, sigma: f64) -> f64 {
    if sigma > 0.0 {
        normal_cdf(distance / sigma)
    } else if distance > 0.0 {
        1.0
    } else {
        0.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sizes(values: &[f64], each: f64, common: f64) -> Sizes {
        let mut sizes = Sizes::default();
        for value in values {
            sizes.add(*value, each, common);
        }
        sizes
    }

    /// Without uncertainty the upper bound is that of the one-sided tolerance limit: with ten pieces, k = 2.911 leaves at
    /// most 5 % beyond with 95 % confidence (NIST/SEMATECH e-Handbook, 7.2.6.3, and the usual tables of k).
    #[test]
    fn without_uncertainty_it_is_the_tolerance_limit() {
        let values: Vec<f64> = [-1.5, -1.0, -0.6, -0.4, -0.1, 0.1, 0.4, 0.6, 1.0, 1.5]
            .iter()
            .map(|z| 10.0 + 0.001 * z)
            .collect();
        let sizes = sizes(&values, 0.0, 0.0);
        let s = sizes.standard_deviation().unwrap();
        let limit = sizes.mean() + 2.911 * s;
        let found = FractionNonconforming::of(&sizes, None, Some(limit), 0.90).unwrap();
        assert!((found.upper - 0.05).abs() < 0.001, "{found:?}");
    }

    #[test]
    fn the_order_of_pieces_changes_no_bit() {
        let mut values: Vec<f64> = (0..100)
            .map(|i| 9.9 + f64::from(i * 37 % 100) * 1e-5)
            .collect();
        let one = sizes(&values, 0.0003, 0.0007);
        values.reverse();
        assert_eq!(one, sizes(&values, 0.0003, 0.0007));
        assert!((one.each() - 0.0003).abs() < 1e-9);
    }

    /// A centred process that is nearly all good, measured with an error common to all pieces as large as its own spread.
    #[test]
    fn of_a_process_that_can_be_centred_the_lower_end_is_that_of_a_centred_one() {
        let values: Vec<f64> = (0..50)
            .map(|i| 10.001 + 0.001 * normal_quantile((f64::from(i) + 0.5) / 50.0))
            .collect();
        let sizes = sizes(&values, 0.0, 0.001);
        let of = |lower, upper| FractionNonconforming::of(&sizes, lower, upper, 0.95).unwrap();
        let both = of(Some(9.997), Some(10.003));
        let centred = 2.0 * normal_cdf(-3.0);
        assert!(both.lower < centred && centred < both.estimate, "{both:?}");
        // The middle of these limits is far outside the interval of the mean: equal tails, as for one limit.
        let far = of(Some(9.9), Some(10.003));
        assert_eq!(far.lower, of(None, Some(10.003)).lower);
    }

    #[test]
    fn a_common_error_widens_and_an_own_one_is_taken_out() {
        let values: Vec<f64> = (0..50)
            .map(|i| 10.0 + 0.002 * normal_quantile((f64::from(i) + 0.5) / 50.0))
            .collect();
        let of = |each, common| {
            let sizes = sizes(&values, each, common);
            FractionNonconforming::of(&sizes, Some(9.995), Some(10.005), 0.95).unwrap()
        };
        let (plain, own, shared) = (of(0.0, 0.0), of(0.001, 0.0), of(0.0, 0.001));
        assert!(own.estimate < plain.estimate);
        assert!(shared.upper > plain.upper);
        let same = sizes(&[1.0, 1.0, 1.0], 0.0, 0.0);
        assert_eq!(
            FractionNonconforming::of(&same, None, Some(2.0), 0.95),
            None
        );
    }
}
