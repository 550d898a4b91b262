//! Student's t distribution, to twelve digits for any degrees of freedom from 1 up.
//!
//! Written here, upon `libm`, because a coverage factor is printed and recomputed: general statistics
//! libraries call the platform's own logarithm, and lose digits above some thousand degrees of freedom.

use std::f64::consts::PI;

use super::normal::{normal_cdf, normal_quantile};

/// Above this many degrees of freedom a normal deviate stands in for t: good to twelve digits up to t = 8 there, and
/// to nine where the tail is 1e-75.
const NEARLY_NORMAL: f64 = 1000.0;

/// Probability that a Student t quantity with `degrees_of_freedom` (1 to infinity) is at most `t`.
///
/// Accurate in relative terms in the lower tail; take `student_cdf(-t, ν)` for the upper one. NaN for fewer degrees
/// of freedom than 1.
pub fn student_cdf(t: f64, degrees_of_freedom: f64) -> f64 {
    if t.is_nan() || degrees_of_freedom.is_nan() || degrees_of_freedom < 1.0 {
        return f64::NAN;
    }
    if t > 0.0 {
        1.0 - lower_tail(t, degrees_of_freedom)
    } else {
        lower_tail(-t, degrees_of_freedom)
    }
}

/// The value that a Student t quantity stays below with probability `p`.
///
/// Infinite at 0 and 1, NaN outside and for fewer degrees of freedom than 1.
pub fn student_quantile(p: f64, degrees_of_freedom: f64) -> f64 {
    if degrees_of_freedom.is_nan() || degrees_of_freedom < 1.0 {
        return f64::NAN;
    }
    if degrees_of_freedom.is_infinite() {
        return normal_quantile(p);
    }
    if p > 0.5 {
        return -student_quantile(1.0 - p, degrees_of_freedom);
    }
    let mut t = -normal_quantile(p);
    if t == 0.0 || !t.is_finite() {
        // The middle, the ends, and NaN where there is no answer.
        return -t;
    }
    // Newton's rule on logarithms of both sides: the tail is nearly a power of t, so this is nearly straight.
    for _ in 0..60 {
        let tail = lower_tail(t, degrees_of_freedom);
        let step = libm::log(tail / p) * tail / (t * density(t, degrees_of_freedom));
        t *= libm::exp(step);
        if step.abs() < 1e-14 {
            break;
        }
    }
    -t
}

/// Probability below `-t`, for `t` from 0 up.
fn lower_tail(t: f64, degrees_of_freedom: f64) -> f64 {
    if degrees_of_freedom.is_infinite() {
        return normal_cdf(-t);
    }
    let square = t * t;
    if square.is_infinite() {
        return 0.0;
    }
    if degrees_of_freedom > NEARLY_NORMAL {
        return normal_cdf(-normal_deviate(t, degrees_of_freedom));
    }
    // ½ I_x(ν/2, ½) with x = ν/(ν + t²) (Abramowitz and Stegun 26.7.1); the front factor of the incomplete
    // beta function is t times the density.
    let nu = degrees_of_freedom;
    let front = t * density(t, nu);
    if square * (nu + 2.0) > 3.0 * nu {
        front * continued_fraction(nu / 2.0, 0.5, nu / (nu + square)) / nu
    } else {
        0.5 - front * continued_fraction(0.5, nu / 2.0, square / (nu + square))
    }
}

/// The density of Student's t.
fn density(t: f64, degrees_of_freedom: f64) -> f64 {
    let nu = degrees_of_freedom;
    libm::exp(-0.5 * (nu + 1.0) * libm::log1p(t * t / nu)) * gamma_ratio(nu / 2.0)
        / (nu * PI).sqrt()
}

/// Γ(a + ½)/Γ(a).
fn gamma_ratio(a: f64) -> f64 {
    // The asymptotic series is good to the last digit from a = 60; below, Γ(a+1) = a Γ(a) leads there.
    let (mut a, mut factor) = (a, 1.0);
    while a < 60.0 {
        factor *= a / (a + 0.5);
        a += 1.0;
    }
    let x = 1.0 / (8.0 * a);
    // 1 - 1/8a + 1/128a² + 5/1024a³ - 21/32768a⁴ - 399/262144a⁵ + ... in x = 1/8a.
    let series =
        1.0 + x * (-1.0 + x * (0.5 + x * (2.5 + x * (-2.625 + x * (-49.875 + x * 54.3125)))));
    factor * a.sqrt() * series
}

/// The continued fraction of the incomplete beta function (Abramowitz and Stegun 26.5.8), by Lentz's method.
pub(crate) fn continued_fraction(a: f64, b: f64, x: f64) -> f64 {
    let mut c = 1.0;
    let mut d = 1.0 / (1.0 - (a + b) * x / (a + 1.0));
    let mut h = d;
    for m in 1..500 {
        let m = f64::from(m);
        let even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        let odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        let mut change = 1.0;
        for term in [even, odd] {
            d = 1.0 / (1.0 + term * d);
            c = 1.0 + term / c;
            change = c * d;
            h *= change;
        }
        if (change - 1.0).abs() < 1e-16 {
            break;
        }
    }
    h
}

/// The standard normal deviate with the same tail as `t` (G. W. Hill, Communications of the ACM 13 (1970),
/// algorithm 395; from memory, checked by the table below).
fn normal_deviate(t: f64, degrees_of_freedom: f64) -> f64 {
    let a = degrees_of_freedom - 0.5;
    let b = 48.0 * a * a;
    let y = a * libm::log1p(t * t / degrees_of_freedom);
    if y > 2000.0 {
        // Probability 0 in any case, and the correction below would overflow.
        return y.sqrt();
    }
    let higher = (((-0.4 * y - 3.3) * y - 24.0) * y - 85.5) / (0.8 * y * y + 100.0 + b);
    ((higher + y + 3.0) / b + 1.0) * y.sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Upper-tail probability, degrees of freedom, t: computed with 40 digits (mpmath, incomplete beta
    /// function inverted by bisection).
    const TABLE: &[(f64, f64, f64)] = &[
        (0.0013, 1.0, 244.85239724458555),
        (0.005, 1.0, 63.656741162871581),
        (0.025, 1.0, 12.706204736174705),
        (0.3, 1.0, 0.72654252800536089),
        (0.0013, 2.0, 19.573350133829532),
        (0.005, 2.0, 9.9248432009182931),
        (0.025, 2.0, 4.3026527297494639),
        (0.3, 2.0, 0.61721339984836764),
        (0.0013, 2.5, 12.43036904770227),
        (0.005, 2.5, 7.1637281389487855),
        (0.025, 2.5, 3.5746548420036832),
        (0.3, 2.5, 0.59730773825231746),
        (0.0013, 5.0, 5.5544783146085433),
        (0.005, 5.0, 4.0321429835552281),
        (0.025, 5.0, 2.5705818356363155),
        (0.3, 5.0, 0.55942964446936075),
        (0.0013, 16.0, 3.5619567991255061),
        (0.005, 16.0, 2.9207816224251),
        (0.025, 16.0, 2.1199052992212547),
        (0.3, 16.0, 0.53501045290130795),
        (0.0013, 16.74, 3.5340229797801272),
        (0.005, 16.74, 2.9038060503562502),
        (0.025, 16.74, 2.1123145551203936),
        (0.3, 16.74, 0.534534676345366),
        (0.0013, 50.0, 3.1703350489860108),
        (0.005, 50.0, 2.6777932709408442),
        (0.025, 50.0, 2.0085591121007611),
        (0.3, 50.0, 0.52776045270659749),
        (0.0013, 300.0, 3.0369180977479969),
        (0.005, 300.0, 2.5923164108477925),
        (0.025, 300.0, 1.967903011261087),
        (0.3, 300.0, 0.52495815809753294),
        (0.0013, 999.0, 3.0190594301412581),
        (0.005, 999.0, 2.5807596372676368),
        (0.025, 999.0, 1.96234146113345),
        (0.3, 999.0, 0.52456787471373859),
        (0.0013, 1000.5, 3.0190480009239675),
        (0.005, 1000.5, 2.5807522321743116),
        (0.025, 1000.5, 1.9623378924593485),
        (0.3, 1000.5, 0.52456762373249353),
        (0.0013, 5000.0, 3.0129705549409516),
        (0.005, 5000.0, 2.5768129665562811),
        (0.025, 5000.0, 1.9604385517065079),
        (0.3, 5000.0, 0.52443394483257299),
        (0.0013, 100000.0, 3.0115295649729647),
        (0.005, 100000.0, 2.5758784699083753),
        (0.025, 100000.0, 1.9599877075346096),
        (0.3, 100000.0, 0.52440218423354571),
        (0.0013, 10000000.0, 3.0114545165471454),
        (0.005, 10000000.0, 2.575829795203749),
        (0.025, 10000000.0, 1.9599642217672055),
        (0.3, 10000000.0, 0.52440052942325377),
    ];

    #[test]
    fn quantiles_to_twelve_digits() {
        for &(tail, nu, expected) in TABLE {
            let t = -student_quantile(tail, nu);
            assert!(
                (t / expected - 1.0).abs() < 1e-12,
                "{tail} {nu}: {t} {expected}"
            );
            let back = student_cdf(-expected, nu);
            assert!((back / tail - 1.0).abs() < 2e-12, "{tail} {nu}: {back}");
        }
    }

    #[test]
    fn printed_table() {
        // JCGM 100:2008, Table G.2, p = 95.45 % and 99 %.
        for (nu, k95, k99) in [
            (1.0, 13.97, 63.66),
            (4.0, 2.87, 4.60),
            (16.0, 2.17, 2.92),
            (50.0, 2.05, 2.68),
        ] {
            assert!((student_quantile(0.97725, nu) - k95).abs() < 0.006, "{nu}");
            assert!((student_quantile(0.995, nu) - k99).abs() < 0.006, "{nu}");
        }
    }

    #[test]
    fn ends_and_middle() {
        assert_eq!(student_quantile(0.5, 4.0), 0.0);
        assert_eq!(student_quantile(1.0, 4.0), f64::INFINITY);
        assert_eq!(student_quantile(0.0, 4.0), f64::NEG_INFINITY);
        assert!(student_quantile(2.0, 4.0).is_nan());
        assert!(student_quantile(0.1, f64::NAN).is_nan());
        assert!(student_quantile(0.1, -1e300).is_nan());
        assert!(student_cdf(1.0, 0.5).is_nan());
        assert_eq!(student_cdf(0.0, 4.0), 0.5);
        assert_eq!(student_cdf(f64::INFINITY, 4.0), 1.0);
        assert_eq!(student_cdf(1.0, f64::INFINITY), normal_cdf(1.0));
    }

    #[test]
    fn both_methods_meet() {
        for (t, digits) in [
            (0.1, 1e-12),
            (1.0, 1e-12),
            (3.0, 1e-12),
            (8.0, 1e-12),
            (20.0, 1e-9),
        ] {
            let below = lower_tail(t, NEARLY_NORMAL);
            let above = normal_cdf(-normal_deviate(t, NEARLY_NORMAL));
            assert!((below / above - 1.0).abs() < digits, "{t}: {below} {above}");
        }
    }
}
