//! Is the budget's interval good enough? Compared with that of the trials (JCGM 101:2008, clause 8).

use super::interval::Interval;

/// The outcome of the comparison, in the unit of the result.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Validation {
    /// How far apart the lower ends are.
    pub low: f64,
    /// How far apart the upper ends are.
    pub high: f64,
    /// How far apart they may be: δ.
    pub tolerance: f64,
    /// Whether both are within it.
    pub valid: bool,
}

/// The numerical tolerance δ of a standard uncertainty given with `digits` significant digits.
///
/// u = c·10ˡ with c of `digits` digits; δ = ½·10ˡ (JCGM 101:2008, 7.9.2). Zero for u = 0, NaN for no number.
pub fn numerical_tolerance(standard_uncertainty: f64, digits: u32) -> f64 {
    if standard_uncertainty == 0.0 {
        return 0.0;
    }
    let after_point = digits.clamp(1, 17) - 1;
    // Written out with its digits, so that 0.0996 counts as 0.10 when two are asked for.
    let text = format!("{standard_uncertainty:.*e}", after_point as usize);
    let exponent = text
        .split_once('e')
        .and_then(|(_, exponent)| exponent.parse::<i32>().ok());
    exponent
        .and_then(|exponent| {
            format!("5e{}", exponent - 1 - after_point.cast_signed())
                .parse()
                .ok()
        })
        .unwrap_or(f64::NAN)
}

/// Compares `value` ± `expanded_uncertainty` of a budget with an interval from trials of the same coverage
/// probability (JCGM 101:2008, 8.1.2). The trials should be made with a fifth of `tolerance` (8.2).
pub fn validate(
    value: f64,
    expanded_uncertainty: f64,
    interval: Interval,
    tolerance: f64,
) -> Validation {
    let low = (value - expanded_uncertainty - interval.low).abs();
    let high = (value + expanded_uncertainty - interval.high).abs();
    Validation {
        low,
        high,
        tolerance,
        valid: low <= tolerance && high <= tolerance,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tolerance_as_published() {
        // JCGM 101:2008, 7.9.2, examples 1 and 2; then the digit carry and the ends.
        assert_eq!(numerical_tolerance(0.00035, 2), 5e-6);
        assert_eq!(numerical_tolerance(0.00035, 1), 5e-5);
        assert_eq!(numerical_tolerance(2.0, 1), 0.5);
        assert_eq!(numerical_tolerance(0.0996, 2), 0.005);
        assert_eq!(numerical_tolerance(0.0, 2), 0.0);
        assert!(numerical_tolerance(f64::NAN, 2).is_nan());
    }
}
