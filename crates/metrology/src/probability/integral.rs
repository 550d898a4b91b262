//! Integrals of smooth functions over pieces.

/// How far a panel may differ from its two halves before they are taken apart again; what is left in the halves is
/// smaller by ten thousands.
const TOLERANCE: f64 = 1e-13;
/// How often a panel is halved: noise in the last digits must not be looked into without end.
const DEPTH: u32 = 14;

/// The integral of `f` between two ends.
pub(crate) fn integrate(from: f64, to: f64, f: &impl Fn(f64) -> f64) -> f64 {
    halved(from, to, panel(from, to, f), f, DEPTH)
}

fn halved(from: f64, to: f64, whole: f64, f: &impl Fn(f64) -> f64, depth: u32) -> f64 {
    let middle = f64::midpoint(from, to);
    let (left, right) = (panel(from, middle, f), panel(middle, to, f));
    // NaN is not looked into.
    if depth > 0 && (left + right - whole).abs() > TOLERANCE {
        halved(from, middle, left, f, depth - 1) + halved(middle, to, right, f, depth - 1)
    } else {
        left + right
    }
}

/// The points of a Gauss-Legendre panel on one side of its middle, in half widths, with their weights (Abramowitz and Stegun
/// 25.4.30).
const POINTS: [(f64, f64); 4] = [
    (0.183434642495649805, 0.362683783378361983),
    (0.525532409916328986, 0.313706645877887287),
    (0.796666477413626740, 0.222381034453374471),
    (0.960289856497536232, 0.101228536290376259),
];

/// Points between two ends with their weights, eight in each of so many panels: for integrals of several variables.
pub(crate) fn points(from: f64, to: f64, panels: usize) -> Vec<(f64, f64)> {
    let width = (to - from) / panels as f64;
    let of_panel = |panel: usize| {
        let middle = from + width * (panel as f64 + 0.5);
        let half = width / 2.0;
        POINTS
            .into_iter()
            .flat_map(move |(x, weight)| [-x, x].map(|x| (middle + half * x, weight * half)))
    };
    (0..panels).flat_map(of_panel).collect()
}

/// Gauss-Legendre integration with eight points.
fn panel(from: f64, to: f64, f: &impl Fn(f64) -> f64) -> f64 {
    let (middle, half) = (f64::midpoint(from, to), (to - from) / 2.0);
    let sum: f64 = POINTS
        .iter()
        .map(|(x, weight)| weight * (f(middle - half * x) + f(middle + half * x)))
        .sum();
    sum * half
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn smooth_and_rough() {
        let quarter_circle = integrate(0.0, 1.0, &|x| (1.0 - x * x).max(0.0).sqrt());
        assert!((quarter_circle - std::f64::consts::FRAC_PI_4).abs() < 1e-9);
        let narrow = integrate(-100.0, 100.0, &|x| libm::exp(-x * x));
        assert!((narrow - std::f64::consts::PI.sqrt()).abs() < 1e-12);
        assert!(integrate(0.0, 1.0, &|_| f64::NAN).is_nan());
    }
}
