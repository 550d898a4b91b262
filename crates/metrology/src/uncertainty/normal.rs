//! The normal distribution.

use std::f64::consts::{PI, SQRT_2};

/// Probability that a standard normal quantity is at most `z`.
///
/// Accurate in relative terms in the lower tail; take `normal_cdf(-z)` for the upper one.
pub fn normal_cdf(z: f64) -> f64 {
    0.5 * libm::erfc(-z / SQRT_2)
}

/// The density of the standard normal distribution.
pub fn normal_density(z: f64) -> f64 {
    libm::exp(-0.5 * z * z) / (2.0 * PI).sqrt()
}

/// The value that a standard normal quantity stays below with probability `p`; infinite at 0 and 1, NaN outside.
pub fn normal_quantile(p: f64) -> f64 {
    if p > 0.5 {
        return -normal_quantile(1.0 - p);
    }
    if p.is_nan() || p < 0.0 {
        return f64::NAN;
    }
    if p == 0.0 {
        return f64::NEG_INFINITY;
    }
    if p == 0.5 {
        return 0.0;
    }
    // A start good to 5e-4 (Abramowitz and Stegun 26.2.23), then Halley's rule, which triples the digits: two
    // rounds reach the last one, a third costs little and covers the far tail.
    let r = (-2.0 * libm::log(p)).sqrt();
    let mut z = -(r
        - (2.515517 + r * (0.802853 + r * 0.010328))
            / (1.0 + r * (1.432788 + r * (0.189269 + r * 0.001308))));
    for _ in 0..3 {
        let step = (normal_cdf(z) - p) / normal_density(z);
        z -= step / (1.0 + 0.5 * z * step);
    }
    z
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantile_and_probability_are_inverse() {
        for p in [1e-300, 1e-12, 1e-3, 0.025, 0.3, 0.5] {
            let back = normal_cdf(normal_quantile(p));
            assert!((back / p - 1.0).abs() < 1e-12, "{p}: {back}");
        }
        assert_eq!(normal_quantile(0.0), f64::NEG_INFINITY);
        assert_eq!(normal_quantile(1.0), f64::INFINITY);
        assert!(normal_quantile(-0.1).is_nan() && normal_quantile(f64::NAN).is_nan());
    }
}
