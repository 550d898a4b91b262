//! The incomplete beta function, and F with it.

use super::stirling::binomial_mass;
use crate::uncertainty::beta_fraction;

/// The regularized incomplete beta function I_x(a, b), with `y` = 1 − `x` (Abramowitz and Stegun 26.5.8).
pub(super) fn incomplete_beta(a: f64, b: f64, x: f64, y: f64) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    if y <= 0.0 {
        return 1.0;
    }
    // xᵃ yᵇ / B(a, b).
    let front = a * b / (a + b) * binomial_mass(a, a + b, x, y);
    if x < (a + 1.0) / (a + b + 2.0) {
        front * beta_fraction(a, b, x) / a
    } else {
        1.0 - front * beta_fraction(b, a, y) / b
    }
}

/// Probability that an F quantity with these degrees of freedom is above `f`. Accurate in relative terms in the tail.
pub fn f_upper_tail(f: f64, numerator: f64, denominator: f64) -> f64 {
    if f.is_nan() || !(numerator > 0.0 && denominator > 0.0) {
        return f64::NAN;
    }
    if f <= 0.0 {
        return 1.0;
    }
    if f.is_infinite() {
        return 0.0;
    }
    let whole = denominator + numerator * f;
    incomplete_beta(
        denominator / 2.0,
        numerator / 2.0,
        denominator / whole,
        numerator * f / whole,
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Computed with 40 digits (mpmath, incomplete beta function).
    #[test]
    fn tails_of_f() {
        for (f, d1, d2, expected) in F_TABLE {
            let tail = f_upper_tail(*f, *d1, *d2);
            assert!(
                (tail / expected - 1.0).abs() < 2e-12,
                "{f} {d1} {d2}: {tail} {expected}"
            );
        }
        assert_eq!(f_upper_tail(0.0, 2.0, 3.0), 1.0);
        assert!(f_upper_tail(f64::NAN, 2.0, 3.0).is_nan());
    }

    const F_TABLE: &[(f64, f64, f64, f64)] = &[
        (1.18046237440255, 4.0, 20.0, 0.3494474934021927),
        (21.0, 8.0, 180.0, 2.5832643372689714e-22),
        (201.0, 8.0, 1800.0, 4.0371418857539826e-243),
        (15.946733567793, 1.0, 46.0, 0.00023268444833892546),
        (0.434, 18.0, 60.0, 0.9740208028890078),
        (0.5, 3.0, 7.0, 0.6940363875688137),
        (1.0, 9000.0, 9000.0, 0.5),
        (1.05, 2000.0, 9000.0, 0.07924945356862224),
    ];
}
