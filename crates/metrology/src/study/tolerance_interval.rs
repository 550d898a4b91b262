//! Factors of normal tolerance intervals: x̄ ± k s holds at least a part of all with a stated confidence.

use crate::probability::{chi_square_cdf, integrate};
use crate::uncertainty::{normal_cdf, normal_density, normal_quantile};

/// The factor k of an interval with two ends, for `n` values; exact, by the integral over the place of the mean. NaN where
/// coverage or confidence are not between 0 and 1, and of fewer than two values.
///
/// Source: ISO 16269-6, annexes, and NIST/SEMATECH e-Handbook, 7.2.6.3 (from memory); the integral is Odeh's.
pub fn two_sided_factor(n: usize, coverage: f64, confidence: f64) -> f64 {
    if !usable(n, coverage, confidence) {
        return f64::NAN;
    }
    let (count, nu) = (n as f64, n as f64 - 1.0);
    // How likely it is that the interval of factor k covers enough.
    let covered = |k: f64| {
        let root = count.sqrt();
        let at = |z: f64| {
            let reach = reach(z / root, coverage);
            normal_density(z) * (1.0 - chi_square_cdf(nu * reach * reach / (k * k), nu))
        };
        2.0 * integrate(0.0, 3.0, &at) + 2.0 * integrate(3.0, 9.0, &at)
    };
    solved(covered, 0.0, confidence)
}

/// The factor k of an interval with one end: x̄ + k s, or x̄ − k s.
///
/// Source: noncentral t, k = t_γ(n − 1, z_p √n)/√n (NIST/SEMATECH e-Handbook, 7.2.6.3; from memory), computed by the integral
/// over s.
pub fn one_sided_factor(n: usize, coverage: f64, confidence: f64) -> f64 {
    if !usable(n, coverage, confidence) {
        return f64::NAN;
    }
    let (count, nu) = (n as f64, n as f64 - 1.0);
    let z = normal_quantile(coverage);
    let covered = |k: f64| {
        // Density of s/σ: 2ν s χ²(ν s²; ν), from differences of its distribution on a fine grid would lose digits; it is
        // written out.
        let log_gamma = libm::lgamma(nu / 2.0);
        let density = |s: f64| {
            let half = nu * s * s / 2.0;
            2.0 / s * libm::exp(nu / 2.0 * libm::log(half) - half - log_gamma)
        };
        let at = |s: f64| density(s) * normal_cdf((k * s - z) * count.sqrt());
        let spread = 9.0 / (2.0 * nu).sqrt();
        let (low, high) = ((1.0 - spread).max(1e-12), 1.0 + spread);
        let middle = 1.0_f64.clamp(low, high);
        integrate(low, f64::midpoint(low, middle), &at)
            + integrate(f64::midpoint(low, middle), middle, &at)
            + integrate(middle, f64::midpoint(middle, high), &at)
            + integrate(f64::midpoint(middle, high), high, &at)
    };
    solved(covered, -64.0, confidence)
}

fn usable(n: usize, coverage: f64, confidence: f64) -> bool {
    let part = |value: f64| value > 0.0 && value < 1.0;
    n >= 2 && part(coverage) && part(confidence)
}

/// The k at which the probability to cover enough, which rises with k, is the confidence.
fn solved(covered: impl Fn(f64) -> f64, mut low: f64, confidence: f64) -> f64 {
    let mut high = 64.0;
    while covered(high) < confidence && high < 1e7 {
        low = high;
        high *= 4.0;
    }
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if covered(middle) < confidence {
            low = middle;
        } else {
            high = middle;
        }
        if (high - low).abs() < 1e-12 * high.abs() {
            break;
        }
    }
    f64::midpoint(low, high)
}

/// The r of which Φ(x + r) − Φ(x − r) is the coverage.
fn reach(x: f64, coverage: f64) -> f64 {
    let mut r = normal_quantile(f64::midpoint(1.0, coverage)) + x.abs() * 0.5;
    for _ in 0..60 {
        let off = normal_cdf(x + r) - normal_cdf(x - r) - coverage;
        let slope = normal_density(x + r) + normal_density(x - r);
        let step = (off / slope).clamp(-1.0, 1.0);
        r -= step;
        if step.abs() < 1e-13 {
            break;
        }
    }
    r.max(0.0)
}
