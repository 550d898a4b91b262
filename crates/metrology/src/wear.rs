//! Wear: a straight line through zero checks, whether it slopes, and when it meets a limit.
//!
//! The zero is taken as found on a setting standard, before anything is adjusted. Wear of the contacts lets them close further,
//! so that the reading on the standard falls.

use crate::chart::{Series, series};
use crate::root::bracketed;
use crate::study::{DoubleDouble, Regression};
use crate::uncertainty::student_quantile;

/// One zero check.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ZeroCheck {
    /// When, in days from any day.
    pub day: f64,
    /// Indicated less certified, in the unit of the limit.
    pub error: f64,
}

/// What checks say of wear.
#[derive(Clone, Debug, PartialEq)]
pub struct Wear {
    /// The chart of all checks, taken apart at restarts.
    pub series: Vec<Series>,
    /// The line through the checks since the last restart, over days; none of fewer than three, or of one day.
    pub line: Option<Line>,
    /// The last check, where it is beyond the limit already.
    pub beyond: Option<Beyond>,
}

/// A check beyond the limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Beyond {
    /// The limit, with its sign.
    pub limit: f64,
    pub check: ZeroCheck,
}

/// A line through checks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// Over days.
    pub line: Regression,
    /// t of the slope, with n − 2 degrees of freedom.
    pub t: f64,
    /// Its probability, both sides, where nothing slopes.
    pub p: f64,
    /// How much the line changed over the checks: a zero that was set with the contacts closed on each other before each would
    /// have taken it out unseen.
    pub hidden: f64,
    /// When a limit is met, where the line goes towards one and the last check is not beyond one already.
    pub forecast: Option<Forecast>,
}

/// When a limit is met, in days as the checks have them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Forecast {
    /// The limit, with its sign.
    pub limit: f64,
    /// Where the line meets it: `(limit − a)/b`.
    pub day: f64,
    /// Where the near bound of the prediction meets it.
    pub earliest: f64,
    /// Where the far bound does; none where it never does within fifty times the time of the checks.
    pub latest: Option<f64>,
    /// Probability of either bound, one side.
    pub probability: f64,
}

/// The far bound is looked for over so many times the time that the checks cover.
const LONGEST: f64 = 50.0;

/// What checks say: `restarts` are the places of those before which something was done, `step` one step of the display, `limit`
/// how far the zero may go either way, `probability` that of either bound of the forecast.
pub fn wear(
    checks: &[ZeroCheck],
    restarts: &[usize],
    step: f64,
    limit: f64,
    probability: f64,
) -> Wear {
    let errors: Vec<f64> = checks.iter().map(|check| check.error).collect();
    let series = series(&errors, restarts, step);
    let last = series.last().map_or(0, |last| last.first);
    let since = checks.get(last..).unwrap_or_default();
    let last = since.last().filter(|check| check.error.abs() > limit);
    let beyond = last.map(|check| Beyond {
        limit: limit.copysign(check.error),
        check: *check,
    });
    let mut line = line(since, limit, probability);
    // A limit that is passed is not met on some later day.
    if let Some(line) = line.as_mut().filter(|_| beyond.is_some()) {
        line.forecast = None;
    }
    Wear {
        series,
        line,
        beyond,
    }
}

fn line(checks: &[ZeroCheck], limit: f64, probability: f64) -> Option<Line> {
    let (first, last) = (checks.first()?, checks.last()?);
    let of = |get: fn(&ZeroCheck) -> f64| -> Vec<DoubleDouble> {
        let values = checks.iter().map(get);
        values.map(DoubleDouble::decimal).collect()
    };
    let line = Regression::of(&of(|check| check.day), &of(|check| check.error)).ok()?;
    let (t, p) = line.slope_test();
    Some(Line {
        t,
        p,
        hidden: line.slope * (last.day - first.day),
        forecast: forecast(&line, [first.day, last.day], limit, probability),
        line,
    })
}

/// The limit lies in the direction in which the line goes.
fn forecast(
    line: &Regression,
    [first, last]: [f64; 2],
    limit: f64,
    probability: f64,
) -> Option<Forecast> {
    let sign = line.slope.signum();
    if line.slope == 0.0 || limit <= 0.0 || limit.is_nan() {
        return None;
    }
    let limit = sign * limit;
    let day = (limit - line.intercept) / line.slope;
    let k = student_quantile(probability, line.degrees_of_freedom());
    // Towards the limit: below zero before it is met.
    let beyond = |bound: f64| {
        move |day: f64| {
            let value = |day: f64| {
                sign * (line.at(day) + sign * bound * k * line.of_prediction(day) - limit)
            };
            let step = 1e-3;
            (value(day), (value(day + step) - value(day)) / step)
        }
    };
    let end = last + LONGEST * (last - first);
    let meets = |bound: f64, from: f64, to: f64| {
        let beyond = beyond(bound);
        let met = beyond(from).0 < 0.0 && beyond(to).0 >= 0.0;
        met.then(|| bracketed(beyond, from, to, day)).flatten()
    };
    // At the line itself the near bound is beyond the limit.
    let earliest = meets(1.0, first, day.max(first)).unwrap_or(first.min(day));
    Some(Forecast {
        limit,
        day,
        earliest,
        latest: meets(-1.0, day.min(last).max(first), end),
        probability,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 0.1 µm a week downwards, with a scatter of ±0.2 µm.
    fn checks() -> Vec<ZeroCheck> {
        (0..20)
            .map(|week| ZeroCheck {
                day: f64::from(week) * 7.0,
                error: -0.1 * f64::from(week) + if week % 2 == 0 { 0.2 } else { -0.2 },
            })
            .collect()
    }

    #[test]
    fn the_slope_and_the_day_of_the_limit() {
        let wear = wear(&checks(), &[], 0.0, 3.0, 0.95);
        let line = wear.line.unwrap();
        // By least squares of the series: −0.1 a week, and of the alternating part −1.2/133 a week.
        let slope = (-0.1 - 0.4 * 5.0 / 665.0) / 7.0;
        assert!(
            (line.line.slope - slope).abs() < 1e-9,
            "{}",
            line.line.slope * 7.0
        );
        assert!(line.p < 1e-9);
        let forecast = line.forecast.unwrap();
        assert_eq!(forecast.limit, -3.0);
        assert!((line.line.at(forecast.day) + 3.0).abs() < 1e-9);
        let k = 1.734_063_606_617_535;
        let near = line.line.at(forecast.earliest) - k * line.line.of_prediction(forecast.earliest);
        assert!((near + 3.0).abs() < 1e-6, "{near}");
        let latest = forecast.latest.unwrap();
        let far = line.line.at(latest) + k * line.line.of_prediction(latest);
        assert!((far + 3.0).abs() < 1e-6, "{far}");
        assert!(forecast.earliest < forecast.day && forecast.day < latest);
        assert!((line.hidden - slope * 133.0).abs() < 1e-9);
    }

    #[test]
    fn only_what_came_after_the_last_restart_counts() {
        let mut all = checks();
        all.extend((20..30).map(|week| ZeroCheck {
            day: f64::from(week) * 7.0,
            error: if week % 2 == 0 { 0.1 } else { -0.1 },
        }));
        let wear = wear(&all, &[20], 0.0, 3.0, 0.95);
        assert_eq!(wear.series.len(), 2);
        let line = wear.line.unwrap();
        assert_eq!(line.line.n, 10);
        assert!(line.p > 0.5, "{}", line.p);
    }

    /// Checks that come down towards the limit above from beyond it, as after a zero that was set wrong.
    #[test]
    fn a_limit_that_is_passed_is_not_forecast() {
        let of = |errors: [f64; 4]| {
            let days = [0.0, 31.0, 59.0, 90.0].into_iter().zip(errors);
            let checks: Vec<ZeroCheck> =
                days.map(|(day, error)| ZeroCheck { day, error }).collect();
            wear(&checks, &[], 0.0, 5.0, 0.95)
        };
        let above = of([7.0, 6.8, 6.7, 6.3]);
        let beyond = above.beyond.unwrap();
        assert_eq!((beyond.limit, beyond.check.error), (5.0, 6.3));
        assert_eq!(above.line.unwrap().forecast, None);
        assert_eq!(of([-4.0, -4.5, -5.2, -5.1]).beyond.unwrap().limit, -5.0);
        let at = of([4.0, 4.4, 4.6, 5.0]);
        assert_eq!(at.beyond, None);
        assert!(at.line.unwrap().forecast.is_some());
    }

    #[test]
    fn too_few_checks_have_no_line() {
        assert_eq!(wear(&checks()[..2], &[], 0.0, 3.0, 0.95).line, None);
        assert_eq!(wear(&[], &[], 0.0, 3.0, 0.95).line, None);
    }
}
