//! The root of a monotone function: Newton's method that never leaves its bracket.

/// How often a step is taken at most. Every second step at least halves the bracket or the step, so that from
/// any bracket of `f64` lengths the last digit is reached well before.
const STEPS: usize = 250;
/// How many steps of Newton's method are tried before the ends are looked at.
const NEWTON_STEPS: usize = 8;

/// The `x` between `low` and `high` at which `f` changes sign; `f` answers with value and slope.
///
/// The slope need only be near: a wrong one costs steps, not correctness, since a step that leaves the bracket
/// or shrinks too slowly is replaced by a bisection. The answer is good to about one unit in the last place of
/// `x` as far as `f` itself is. `None` when `f` has the same sign at both ends or is not a number there.
pub(crate) fn bracketed(
    f: impl Fn(f64) -> (f64, f64),
    low: f64,
    high: f64,
    start: f64,
) -> Option<f64> {
    if let Some(root) = newton(&f, low, high, start) {
        return Some(root);
    }
    let at_low = f(low).0;
    let at_high = f(high).0;
    if at_low == 0.0 {
        return Some(low);
    }
    if at_high == 0.0 {
        return Some(high);
    }
    if at_low.is_nan() || at_high.is_nan() || (at_low < 0.0) == (at_high < 0.0) {
        return None;
    }
    // `negative` and `positive` are the ends of the bracket, whichever of them is the smaller.
    let (mut negative, mut positive) = if at_low < 0.0 {
        (low, high)
    } else {
        (high, low)
    };
    let mut x = if (low..=high).contains(&start) {
        start
    } else {
        midpoint(low, high)
    };
    let mut last_step = high - low;
    let mut step_before = last_step;
    let mut newton_steps = 0;
    for _ in 0..STEPS {
        let (value, slope) = f(x);
        if value == 0.0 {
            return Some(x);
        }
        if value < 0.0 {
            negative = x;
        } else {
            positive = x;
        }
        let by_slope = x - value / slope;
        let inside = by_slope > negative.min(positive) && by_slope < negative.max(positive);
        let next = if inside && (by_slope - x).abs() <= 0.5 * step_before.abs() {
            newton_steps += 1;
            by_slope
        } else {
            newton_steps = 0;
            midpoint(negative, positive)
        };
        step_before = last_step;
        last_step = next - x;
        let digit = f64::EPSILON * x.abs();
        // Between two Newton steps the error shrinks at least as they do, so the next step is foreseen: where it would
        // not move the last digit it is not taken. Below a few digits only the rounding of `f` is followed.
        let foreseen = last_step * last_step / step_before.abs();
        if last_step.abs() <= 4.0 * digit || (newton_steps >= 2 && foreseen <= 0.25 * digit) {
            return Some(next);
        }
        x = next;
    }
    Some(x)
}

/// Newton's method alone, as long as it stays between `low` and `high` and each step is at most half of the one before.
///
/// A zero of a monotone function found there is the one that the bracket would close on; so where a good start is known,
/// which is nearly always, the two ends need no look.
fn newton(f: &impl Fn(f64) -> (f64, f64), low: f64, high: f64, start: f64) -> Option<f64> {
    let mut x = start;
    let mut step_before = high - low;
    for taken in 0..NEWTON_STEPS {
        let (value, slope) = f(x);
        if value == 0.0 {
            return Some(x);
        }
        let step = -value / slope;
        let next = x + step;
        if !(next > low && next < high && step.abs() <= 0.5 * step_before.abs()) {
            return None;
        }
        let digit = f64::EPSILON * next.abs();
        if step.abs() <= 4.0 * digit
            || (taken >= 1 && step * step / step_before.abs() <= 0.25 * digit)
        {
            return Some(next);
        }
        step_before = step;
        x = next;
    }
    None
}

fn midpoint(a: f64, b: f64) -> f64 {
    a + 0.5 * (b - a)
}

#[cfg(test)]
mod tests {
    use super::bracketed;

    #[test]
    fn finds_a_simple_root_and_survives_a_flat_and_a_wrong_slope() {
        let square = bracketed(|x| (x * x - 2.0, 2.0 * x), 0.0, 2.0, 1.0).unwrap();
        assert!((square - std::f64::consts::SQRT_2).abs() < 1e-15);
        let flat = bracketed(|x| (x * x * x, 0.0), -1.0, 3.0, 2.0).unwrap();
        assert!(flat.abs() < 1e-14);
        let falling = bracketed(|x| (1.0 - x, 5.0), -1e6, 1e6, 3.0).unwrap();
        assert!((falling - 1.0).abs() < 1e-9);
    }

    #[test]
    fn tells_that_there_is_no_change_of_sign() {
        assert_eq!(bracketed(|x| (x * x + 1.0, 2.0 * x), -1.0, 1.0, 0.0), None);
        assert_eq!(bracketed(|_| (f64::NAN, 1.0), -1.0, 1.0, 0.0), None);
    }
}
