//! The χ² distribution.

use super::stirling::poisson_mass;
use crate::root::bracketed;
use crate::uncertainty::normal_quantile;

/// Probability that a χ² quantity with `degrees_of_freedom` above 0 is at most `x`.
pub fn chi_square_cdf(x: f64, degrees_of_freedom: f64) -> f64 {
    tails(x, degrees_of_freedom).0
}

/// The value that a χ² quantity stays below with probability `p`: 0 at 0, infinite at 1, NaN outside.
pub fn chi_square_quantile(p: f64, degrees_of_freedom: f64) -> f64 {
    let nu = degrees_of_freedom;
    if nu.is_nan() || nu <= 0.0 || !(0.0..=1.0).contains(&p) {
        return f64::NAN;
    }
    if p == 0.0 {
        return 0.0;
    }
    if p == 1.0 {
        return f64::INFINITY;
    }
    // Wilson and Hilferty's cube (Abramowitz and Stegun 26.4.17) is near everywhere but in the lowest tail.
    let root = 1.0 - 2.0 / (9.0 * nu) + normal_quantile(p) * (2.0 / (9.0 * nu)).sqrt();
    let start = (nu * root * root * root).max(1e-3 * nu);
    // The smaller of the two tails keeps its digits.
    let upper = p > 0.5;
    let f = |x: f64| {
        let (below, above) = tails(x, nu);
        let density = 0.5 * poisson_mass(nu / 2.0, x / 2.0) * nu / x;
        let off = if upper { (1.0 - p) - above } else { below - p };
        (off, density)
    };
    let mut high = start.max(nu) * 2.0 + 10.0;
    while f(high).0 < 0.0 && high < 1e300 {
        high *= 2.0;
    }
    bracketed(f, 0.0, high, start).unwrap_or(f64::NAN)
}

/// The density of ln χ² at χ² = `x`.
pub(crate) fn chi_square_log_density(x: f64, degrees_of_freedom: f64) -> f64 {
    let half = degrees_of_freedom / 2.0;
    half * poisson_mass(half, x / 2.0)
}

/// Probabilities below and above, by the series and the continued fraction of the incomplete gamma function (Abramowitz and
/// Stegun 6.5.29 and 6.5.31).
fn tails(x: f64, nu: f64) -> (f64, f64) {
    if x.is_nan() || nu.is_nan() || nu <= 0.0 {
        return (f64::NAN, f64::NAN);
    }
    if x <= 0.0 {
        return (0.0, 1.0);
    }
    if x.is_infinite() {
        return (1.0, 0.0);
    }
    let (a, half) = (nu / 2.0, x / 2.0);
    let front = poisson_mass(a, half);
    if half < a + 1.0 {
        let (mut sum, mut term, mut n) = (1.0, 1.0, a);
        while term > sum * 1e-17 {
            n += 1.0;
            term *= half / n;
            sum += term;
        }
        let below = front * sum;
        (below, 1.0 - below)
    } else {
        // Lentz's method.
        let mut b = half + 1.0 - a;
        let mut c = f64::MAX;
        let mut d = 1.0 / b;
        let mut h = d;
        for i in 1..100_000 {
            let i = f64::from(i);
            let an = -i * (i - a);
            b += 2.0;
            d = 1.0 / (an * d + b);
            c = b + an / c;
            let change = c * d;
            h *= change;
            if (change - 1.0).abs() < f64::EPSILON {
                break;
            }
        }
        let above = front * a * h;
        (1.0 - above, above)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Probability, degrees of freedom, quantile: computed with 40 digits (mpmath).
    const TABLE: &[(f64, f64, f64)] = &[
        (0.001, 1.0, 1.57079714926249e-06),
        (0.025, 1.0, 0.000982069117175256),
        (0.3, 1.0, 0.14847186183254543),
        (0.5, 1.0, 0.4549364231195728),
        (0.9, 1.0, 2.705543454095415),
        (0.995, 1.0, 7.879438576622416),
        (0.001, 2.0, 0.002001000667167067),
        (0.025, 2.0, 0.05063561596857975),
        (0.3, 2.0, 0.7133498878774647),
        (0.5, 2.0, 1.3862943611198906),
        (0.9, 2.0, 4.605170185988092),
        (0.995, 2.0, 10.59663473309607),
        (0.001, 5.5, 0.2894814265750281),
        (0.025, 5.5, 1.0277816350814029),
        (0.3, 5.5, 3.4113983776250807),
        (0.5, 5.5, 4.84962340670885),
        (0.9, 5.5, 9.945633289400243),
        (0.995, 5.5, 17.658271636802368),
        (0.001, 19.0, 5.406816017601797),
        (0.025, 19.0, 8.906516481987973),
        (0.3, 19.0, 15.351660262605273),
        (0.5, 19.0, 18.337652896756474),
        (0.9, 19.0, 27.203571029356826),
        (0.995, 19.0, 38.58225655493424),
        (0.001, 99.0, 61.136506210447784),
        (0.025, 99.0, 73.36108019128366),
        (0.3, 99.0, 91.16626522728659),
        (0.5, 99.0, 98.33413733447392),
        (0.9, 99.0, 117.4068831867789),
        (0.995, 99.0, 138.98678345093947),
        (0.001, 1000.0, 867.4790826072768),
        (0.025, 1000.0, 914.257153799259),
        (0.3, 1000.0, 976.0735912577742),
        (0.5, 1000.0, 999.333412403381),
        (0.9, 1000.0, 1057.723901381614),
        (0.995, 1000.0, 1118.9480663231916),
    ];

    #[test]
    fn quantiles_to_twelve_digits() {
        for &(p, nu, expected) in TABLE {
            let x = chi_square_quantile(p, nu);
            assert!(
                (x / expected - 1.0).abs() < 1e-12,
                "{p} {nu}: {x} {expected}"
            );
            let back = chi_square_cdf(expected, nu);
            assert!((back / p - 1.0).abs() < 2e-12, "{p} {nu}: {back}");
        }
    }

    /// The fraction ends as soon as its factor is one to the last digit; far out its terms are few.
    #[test]
    fn far_out_it_ends_at_once() {
        let start = std::time::Instant::now();
        for power in 0..4_000 {
            let x = libm::exp(f64::from(power) / 100.0);
            for nu in [1.0, 4.0, 30.0, 60.0] {
                assert!((0.0..=1.0).contains(&chi_square_cdf(x, nu)), "{x} {nu}");
            }
        }
        assert!(start.elapsed().as_secs() < 2, "{:?}", start.elapsed());
    }

    #[test]
    fn ends() {
        assert_eq!(chi_square_quantile(0.0, 3.0), 0.0);
        assert_eq!(chi_square_quantile(1.0, 3.0), f64::INFINITY);
        assert!(chi_square_quantile(1.5, 3.0).is_nan() && chi_square_quantile(0.5, 0.0).is_nan());
        assert_eq!(chi_square_cdf(-1.0, 3.0), 0.0);
        assert_eq!(chi_square_cdf(f64::INFINITY, 3.0), 1.0);
    }
}
