//! Factorials without loss of digits: C. Loader, *Fast and accurate computation of binomial probabilities* (2000); from
//! memory, checked against whole-number arithmetic.

use std::f64::consts::PI;

/// ln x! − ln(√(2πx) (x/e)ˣ), what Stirling's formula leaves; `x` from 0 up.
fn stirling_error(x: f64) -> f64 {
    if x < 16.0 {
        if x == 0.0 {
            return f64::INFINITY;
        }
        return libm::lgamma(x + 1.0) - (x + 0.5) * libm::log(x) + x - 0.5 * libm::log(2.0 * PI);
    }
    // 1/12x − 1/360x³ + 1/1260x⁵ − 1/1680x⁷ + 1/1188x⁹ (Abramowitz and Stegun 6.1.41).
    let square = x * x;
    (1.0 / 12.0
        - (1.0 / 360.0 - (1.0 / 1260.0 - (1.0 / 1680.0 - 1.0 / 1188.0 / square) / square) / square)
            / square)
        / x
}

/// x ln(x/m) + m − x, also where `x` and `m` are nearly equal.
fn deviance(x: f64, m: f64) -> f64 {
    let difference = x - m;
    if difference.abs() < 0.1 * (x + m) {
        let v = difference / (x + m);
        let mut sum = difference * v;
        let mut power = 2.0 * x * v;
        let mut odd = 1.0;
        loop {
            power *= v * v;
            odd += 2.0;
            let next = sum + power / odd;
            if next == sum {
                return sum;
            }
            sum = next;
        }
    }
    x * libm::log(x / m) + m - x
}

/// Γ(n+1)/(Γ(x+1) Γ(n−x+1)) pˣ qⁿ⁻ˣ with `q` = 1 − `p`; for whole numbers the binomial probability of `x` in `n`.
pub(super) fn binomial_mass(x: f64, n: f64, p: f64, q: f64) -> f64 {
    if p == 0.0 {
        return f64::from(x == 0.0);
    }
    if q == 0.0 {
        return f64::from(x == n);
    }
    if x == 0.0 {
        let log = if p < 0.1 {
            libm::log1p(-p)
        } else {
            libm::log(q)
        };
        return libm::exp(n * log);
    }
    if x == n {
        let log = if q < 0.1 {
            libm::log1p(-q)
        } else {
            libm::log(p)
        };
        return libm::exp(n * log);
    }
    if x < 0.0 || x > n {
        return 0.0;
    }
    let rest = n - x;
    let exponent = stirling_error(n)
        - stirling_error(x)
        - stirling_error(rest)
        - deviance(x, n * p)
        - deviance(rest, n * q);
    libm::exp(exponent) * (n / (2.0 * PI * x * rest)).sqrt()
}

/// xᵃ e⁻ˣ/Γ(a+1); for whole numbers the Poisson probability of `a`.
pub(super) fn poisson_mass(a: f64, x: f64) -> f64 {
    if x == 0.0 {
        return f64::from(a == 0.0);
    }
    if a == 0.0 {
        return libm::exp(-x);
    }
    libm::exp(-stirling_error(a) - deviance(a, x)) / (2.0 * PI * a).sqrt()
}
