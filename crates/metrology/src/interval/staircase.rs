//! Method 1: after each calibration the interval grows where the piece was found within its limit, and shrinks where not.

use super::{AsFound, IntervalError, in_order};
use crate::double_double::DoubleDouble;

/// How an interval steps: `I ← I (1 + a)` where the error was found within so much of the limit, else `I ← I (1 − b)`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Staircase {
    /// a.
    pub up: f64,
    /// b.
    pub down: f64,
    /// The part of the limit within which an error was found to be good.
    pub within: f64,
    /// The shortest interval, days.
    pub least: f64,
    /// The longest, days.
    pub most: f64,
}

impl Default for Staircase {
    /// a = 0.1 and b = 0.55, which keep about nine of ten within their limit in the long run; good within eight tenths of the
    /// limit; from a month to five years (common practice, no source; the long run by its formula).
    fn default() -> Self {
        Self {
            up: 0.1,
            down: 0.55,
            within: 0.8,
            least: 30.0,
            most: 1826.0,
        }
    }
}

impl Staircase {
    /// The part found within the limit in the long run: `R = −ln(1 − b)/(ln(1 + a) − ln(1 − b))`.
    pub fn long_run(&self) -> f64 {
        let (up, down) = (libm::log1p(self.up), libm::log1p(-self.down));
        -down / (up - down)
    }

    fn check(&self) -> Result<(), IntervalError> {
        let good = self.up > 0.0
            && (0.0..1.0).contains(&self.down)
            && self.down > 0.0
            && self.within > 0.0
            && self.least > 0.0
            && self.most >= self.least;
        good.then_some(()).ok_or(IntervalError::Settings)
    }
}

/// What one calibration made of the interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StaircaseStep {
    pub found: AsFound,
    /// Whether the error was good.
    pub good: bool,
    /// The interval before it, days.
    pub before: f64,
    /// The interval after it, days.
    pub after: f64,
}

/// Steps from an interval through calibrations; the last step has the interval that holds now, the one before it the interval that
/// the method gave at the previous calibration.
pub fn staircase(
    settings: &Staircase,
    first: f64,
    limit: f64,
    found: &[AsFound],
) -> Result<Vec<StaircaseStep>, IntervalError> {
    settings.check()?;
    in_order(found)?;
    if limit <= 0.0 || limit.is_nan() {
        return Err(IntervalError::NoLimit);
    }
    if found.is_empty() {
        return Err(IntervalError::TooFew { n: 0, needed: 1 });
    }
    let mut before = first.clamp(settings.least, settings.most);
    // Of decimals: eight tenths of 0.7 are 0.56, which is good.
    let [within, limit] = [settings.within, limit].map(DoubleDouble::decimal);
    let bound = within * limit;
    let steps = found.iter().map(|found| {
        let over = DoubleDouble::decimal(found.error.abs()) - bound;
        let good = over.value() <= 0.0;
        let by = if good {
            1.0 + settings.up
        } else {
            1.0 - settings.down
        };
        let after = (before * by).clamp(settings.least, settings.most);
        let step = StaircaseStep {
            found: *found,
            good,
            before,
            after,
        };
        before = after;
        step
    });
    Ok(steps.collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn nine_of_ten_in_the_long_run() {
        assert!((Staircase::default().long_run() - 0.893).abs() < 5e-4);
    }

    /// Errors of exactly eight tenths of the limit, by decimal arithmetic, and the next decimal above.
    #[test]
    fn an_error_at_the_bound_is_good() {
        let pairs = [
            (0.7, 0.56),
            (1.4, 1.12),
            (2.3, 1.84),
            (2.9, 2.32),
            (4.0, 3.2),
        ];
        for (limit, error) in pairs {
            for (error, good) in [(error, true), (-error, true), (error + 0.001, false)] {
                let on = date(2024, 1, 1);
                let found = [AsFound { on, error }];
                let steps = staircase(&Staircase::default(), 365.0, limit, &found).unwrap();
                assert_eq!(steps[0].good, good, "{limit} {error}");
            }
        }
    }

    #[test]
    fn it_grows_by_a_tenth_and_shrinks_to_less_than_half() {
        let found = |year, error| AsFound {
            on: date(year, 1, 1),
            error,
        };
        // Of a limit of 4: 3.2 is good, 3.3 is not.
        let all = [found(2023, 1.0), found(2024, -3.2), found(2025, 3.3)];
        let steps = staircase(&Staircase::default(), 365.0, 4.0, &all).unwrap();
        let after: Vec<f64> = steps.iter().map(|step| step.after).collect();
        assert!((after[0] - 401.5).abs() < 1e-9);
        assert!((after[1] - 441.65).abs() < 1e-9);
        assert!((after[2] - 198.7425).abs() < 1e-9);
        let mut doubled = all;
        doubled[1].on = doubled[0].on;
        assert!(matches!(
            staircase(&Staircase::default(), 365.0, 4.0, &doubled),
            Err(IntervalError::Order { .. })
        ));
        let floor = staircase(&Staircase::default(), 40.0, 4.0, &[found(2023, 9.0)]).unwrap();
        assert_eq!(floor[0].after, 30.0);
    }
}
