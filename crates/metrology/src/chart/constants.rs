//! Constants of control charts, computed from the distribution of the range and of the standard deviation of a normal sample.
//!
//! The letters are those of ASTM and the NIST/SEMATECH e-Handbook, 6.3.2.1 (names and definitions from memory; every printed
//! table that was at hand agrees to its last digit).

use crate::probability::{chi_square_cdf, integrate};
use crate::uncertainty::{normal_cdf, normal_density};

/// The largest sample that a range is taken of here.
pub const LARGEST_SUBGROUP: usize = 100;

/// Constants of samples of one size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChartConstants {
    n: f64,
    /// Mean range of a sample, in standard deviations.
    pub d2: f64,
    /// Standard deviation of that range, in standard deviations.
    pub d3: f64,
    /// Mean of the standard deviation of a sample, in standard deviations.
    pub c4: f64,
}

impl ChartConstants {
    /// For samples of `n`, from 2 to [`LARGEST_SUBGROUP`]; `None` for any other.
    pub fn of(n: usize) -> Option<Self> {
        if !(2..=LARGEST_SUBGROUP).contains(&n) {
            return None;
        }
        let n = n as f64;
        // E R = ∫ P(R > r) dr and E R² = 2 ∫ r P(R > r) dr.
        let over = over_range(n);
        let mean = pieces(&over);
        let square = 2.0 * pieces(|r| r * over(r));
        let gamma = libm::lgamma(n / 2.0) - libm::lgamma((n - 1.0) / 2.0);
        Some(Self {
            n,
            d2: mean,
            d3: (square - mean * mean).max(0.0).sqrt(),
            c4: (2.0 / (n - 1.0)).sqrt() * libm::exp(gamma),
        })
    }

    /// √(d2² + d3²/g): what the mean of `g` ranges is divided by, so that its square is right on average.
    pub fn d2_star(&self, g: usize) -> f64 {
        (self.d2 * self.d2 + self.d3 * self.d3 / g.max(1) as f64).sqrt()
    }

    /// Degrees of freedom of a standard deviation from the mean of `g` ranges: those of a standard deviation that scatters as
    /// much, in relation to its mean (P. B. Patnaik, Biometrika 37 (1950) 78; from memory, checked by printed tables).
    pub fn degrees_of_freedom(&self, g: usize) -> f64 {
        scatter_of_deviation(self.d3 / self.d2 / (g.max(1) as f64).sqrt())
    }

    /// A2: half the width of the limits of means, in mean ranges.
    pub fn a2(&self) -> f64 {
        3.0 / (self.d2 * self.n.sqrt())
    }

    /// A3: half the width of the limits of means, in mean standard deviations.
    pub fn a3(&self) -> f64 {
        3.0 / (self.c4 * self.n.sqrt())
    }

    /// B3: the lower limit of standard deviations, in mean standard deviations.
    pub fn b3(&self) -> f64 {
        (1.0 - self.of_deviations()).max(0.0)
    }

    /// B4: the upper limit of standard deviations, in mean standard deviations.
    pub fn b4(&self) -> f64 {
        1.0 + self.of_deviations()
    }

    /// D3: the lower limit of ranges, in mean ranges.
    pub fn lower_of_ranges(&self) -> f64 {
        (1.0 - 3.0 * self.d3 / self.d2).max(0.0)
    }

    /// D4: the upper limit of ranges, in mean ranges.
    pub fn upper_of_ranges(&self) -> f64 {
        1.0 + 3.0 * self.d3 / self.d2
    }

    /// The probability that the range of a normal sample lies beyond D3 and D4 times the mean range.
    pub fn range_beyond(&self) -> f64 {
        let over = over_range(self.n);
        let within =
            over(self.lower_of_ranges() * self.d2) - over(self.upper_of_ranges() * self.d2);
        1.0 - within
    }

    /// The same of its standard deviation, beyond B3 and B4 times the mean one.
    pub fn deviation_beyond(&self) -> f64 {
        let freedom = self.n - 1.0;
        let below = |limit: f64| {
            let deviation = limit * self.c4;
            chi_square_cdf(freedom * deviation * deviation, freedom)
        };
        1.0 - (below(self.b4()) - below(self.b3()))
    }

    fn of_deviations(&self) -> f64 {
        3.0 * (1.0 - self.c4 * self.c4).max(0.0).sqrt() / self.c4
    }
}

/// The degrees of freedom of which a standard deviation scatters by this part of its mean.
pub(super) fn scatter_of_deviation(part: f64) -> f64 {
    let scatter = |nu: f64| {
        let c4 = (2.0 / nu).sqrt()
            * libm::exp(libm::lgamma(f64::midpoint(nu, 1.0)) - libm::lgamma(nu / 2.0));
        (1.0 - c4 * c4).max(0.0).sqrt() / c4
    };
    let near = 0.5 / (part * part);
    let (mut low, mut high) = (0.25 * near, near + 2.0);
    for _ in 0..100 {
        let middle = f64::midpoint(low, high);
        if scatter(middle) > part {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}

/// Step of the sum along the smallest value; sums of smooth functions that die away are integrals to the last digit.
const STEP: f64 = 0.125;
/// How many of them reach from one end to the other.
const STEPS: u32 = 144;
/// Beyond this many standard deviations nothing is left.
const FAR: f64 = 9.0;
/// Ranges are looked at up to here.
const WIDEST: u32 = 18;

/// Probability that the range of `n` standard normal values is over `r`: 1 − n ∫ φ(x) [Φ(x + r) − Φ(x)]ⁿ⁻¹ dx.
fn over_range(n: f64) -> impl Fn(f64) -> f64 {
    let points: Vec<(f64, f64, f64)> = (0..=STEPS)
        .map(|step| f64::from(step) * STEP - FAR)
        .map(|x| (x, normal_cdf(x), normal_density(x)))
        .collect();
    move |r| {
        let within: f64 = points
            .iter()
            .map(|(x, below, density)| {
                density * libm::pow((normal_cdf(x + r) - below).max(0.0), n - 1.0)
            })
            .sum();
        1.0 - n * within * STEP
    }
}

fn pieces(f: impl Fn(f64) -> f64) -> f64 {
    (0..WIDEST)
        .map(f64::from)
        .map(|from| integrate(from, from + 1.0, &f))
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The range of two values is √2 times a normal one, without its sign; its standard deviation is the range over √2, so that both
    /// charts are one.
    #[test]
    fn spreads_of_two_values_beyond_their_limits() {
        let constants = ChartConstants::of(2).unwrap();
        let limit = constants.upper_of_ranges() * constants.d2 / std::f64::consts::SQRT_2;
        let by_hand = 2.0 * normal_cdf(-limit);
        assert!((constants.range_beyond() - by_hand).abs() < 1e-9);
        assert!((constants.deviation_beyond() - by_hand).abs() < 1e-9);
        assert!((by_hand - 0.009_15).abs() < 1e-5);
    }
}
