//! How many of a kind are in a sample.

use super::stirling::binomial_mass;

/// Probability of at most `c` in a sample of `n` when each is one with probability `p`.
pub fn binomial_at_most(c: u64, n: u64, p: f64) -> f64 {
    let (n, q) = (n as f64, 1.0 - p);
    at_most(
        c as f64,
        0.0,
        n,
        n * p,
        |x| binomial_mass(x, n, p, q),
        |x| x * q / ((n - x + 1.0) * p),
    )
}

/// Probability of at most `c` in a sample of `n` out of a lot of `lot` that holds `marked`; none of these is larger than the lot.
pub fn hypergeometric_at_most(c: u64, n: u64, lot: u64, marked: u64) -> f64 {
    let (n, lot, marked) = (n as f64, lot as f64, marked as f64);
    let rest = lot - marked;
    let (p, q) = (n / lot, (lot - n) / lot);
    let whole = binomial_mass(n, lot, p, q);
    let mass = |x: f64| binomial_mass(x, marked, p, q) * binomial_mass(n - x, rest, p, q) / whole;
    let down = |x: f64| x * (rest - n + x) / ((marked - x + 1.0) * (n - x + 1.0));
    at_most(
        c as f64,
        (n - rest).max(0.0),
        n.min(marked),
        n * marked / lot,
        mass,
        down,
    )
}

/// The sum of the probabilities from `low` to `c`; of a larger `c` by what is above it. `down(x)` is what the probability of
/// x − 1 is to that of x.
fn at_most(
    c: f64,
    low: f64,
    high: f64,
    mean: f64,
    mass: impl Fn(f64) -> f64,
    down: impl Fn(f64) -> f64,
) -> f64 {
    if c >= high {
        return 1.0;
    }
    if c < low {
        return 0.0;
    }
    let below = c <= mean;
    let mut x = if below { c } else { c + 1.0 };
    let mut term = mass(x);
    let mut sum = term;
    while term > sum * 1e-18 && if below { x > low } else { x < high } {
        if below {
            term *= down(x);
            x -= 1.0;
        } else {
            x += 1.0;
            term /= down(x);
        }
        sum += term;
    }
    if below {
        sum.min(1.0)
    } else {
        (1.0 - sum).max(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By whole-number arithmetic (Python fractions): c, n, lot, marked, probability.
    const LOTS: &[(u64, u64, u64, u64, f64)] = &[
        (0, 45, 50, 1, 0.1),
        (0, 258, 1000, 10, 0.049795803273391955),
        (2, 80, 1000, 10, 0.9607516815523858),
        (2, 80, 1000, 40, 0.36448281553141654),
        (14, 125, 3000, 300, 0.7364614574066196),
        (20, 2000, 500000, 5000, 0.5590952401598184),
        (5, 315, 35000, 700, 0.3958872361626819),
        (0, 10000, 1000000, 30, 0.7396971231325661),
        (21, 800, 200000, 9000, 0.004114406105929829),
    ];
    /// c, n, p, probability.
    const SAMPLES: &[(u64, u64, f64, f64)] = &[
        (3, 52, 0.01, 0.9981530652600172),
        (3, 52, 0.05, 0.7383174107966209),
        (3, 52, 0.1, 0.22318709856144597),
        (21, 2000, 0.02, 0.0006666642445840158),
        (44, 5000, 0.009, 0.47990554629878024),
        (0, 1250, 0.0001, 0.8824913866284582),
        (7, 13, 0.5, 0.70947265625),
    ];

    #[test]
    fn lots_small_and_large() {
        for &(c, n, lot, marked, expected) in LOTS {
            let found = hypergeometric_at_most(c, n, lot, marked);
            assert!(
                (found / expected - 1.0).abs() < 1e-11,
                "{c} {n} {lot} {marked}: {found} {expected}"
            );
        }
        assert_eq!(hypergeometric_at_most(2, 10, 10, 3), 0.0);
        assert_eq!(hypergeometric_at_most(3, 10, 10, 3), 1.0);
    }

    #[test]
    fn samples_small_and_large() {
        for &(c, n, p, expected) in SAMPLES {
            let found = binomial_at_most(c, n, p);
            assert!(
                (found / expected - 1.0).abs() < 1e-11,
                "{c} {n} {p}: {found} {expected}"
            );
        }
        assert_eq!(binomial_at_most(0, 5, 0.0), 1.0);
        assert_eq!(binomial_at_most(4, 5, 1.0), 0.0);
    }
}
