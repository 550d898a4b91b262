//! The probability that one item lies within the tolerance, from its measurement and the process together
//! (JCGM 106:2012, 6.4).

use super::made::{Made, reach};
use super::{Interval, cut};
use crate::probability::integrate;

/// Of a normal process: both are weighted by their inverse variances (JCGM 106:2012, 6.4 and annex A.4.4 from memory;
/// elementary).
pub(super) fn of_normal(mean: f64, sd: f64, value: f64, u: f64, tolerance: Interval) -> f64 {
    let (s2, u2) = (sd * sd, u * u);
    let weight = s2 / (s2 + u2);
    let middle = mean + weight * (value - mean);
    1.0 - tolerance.missed(middle, weight.sqrt() * u)
}

/// Of a gamma process: density times likelihood, ∝ xᵃ⁻¹ e⁻ᵇˣ e^(-(y - x)²/2u²), integrated along ln x.
pub(super) fn of_gamma(
    made: Made,
    shape: f64,
    mean: f64,
    value: f64,
    u: f64,
    tolerance: Interval,
) -> Option<f64> {
    // Along ln x its greatest value is where x²/u² + (b - y/u²) x = a.
    let u2 = u * u;
    let half = (value - shape / mean * u2) / 2.0;
    let root = libm::hypot(half, u * shape.sqrt());
    let likeliest = if half > 0.0 {
        half + root
    } else {
        shape * u2 / (root - half)
    };
    let middle = made.coordinate(likeliest).filter(|at| at.is_finite())?;
    let width = 1.0 / (shape + likeliest * likeliest / u2).sqrt();
    let log = |at: f64| {
        let off = (value - made.size(at)) / u;
        made.fall(at) - off * off / 2.0
    };
    let greatest = log(middle);
    let fall = |at: f64| log(at) - greatest;
    let near = reach(middle, width.min(1.0), fall);
    let (mut inside, mut all) = (0.0, 0.0);
    for piece in cut(near, made, tolerance, std::iter::empty()).windows(2) {
        let &[from, to] = piece else { continue };
        let mass = integrate(from, to, &|at| libm::exp(fall(at)) / width);
        all += mass;
        if tolerance.contains(made.size(f64::midpoint(from, to))) {
            inside += mass;
        }
    }
    (all > 0.0).then(|| inside / all)
}
