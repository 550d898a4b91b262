//! Method 2: a straight line through the errors as found, and the day on which the bound of a prediction meets the limit.

use super::{AsFound, IntervalError, days, in_order};
use crate::root::bracketed;
use crate::study::{DoubleDouble, Regression};
use crate::uncertainty::student_quantile;

/// How the chart is read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Chart {
    /// Probability of the one-sided bound of the prediction.
    pub probability: f64,
    /// The longest interval, days.
    pub most: f64,
}

impl Default for Chart {
    /// 95 %, and no more than five years (common practice, no source).
    fn default() -> Self {
        Self {
            probability: 0.95,
            most: 1826.0,
        }
    }
}

/// What the chart says.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChartInterval {
    /// The line over the years since the first calibration.
    pub line: Regression,
    /// What the error is predicted to be at the end of the interval, in the unit of the limit.
    pub predicted: f64,
    /// The bound of the prediction there, either way.
    pub bound: f64,
    /// Days from the last calibration on.
    pub days: f64,
    /// Whether the longest interval ended it, and not the limit.
    pub capped: bool,
}

/// Days of a year.
const YEAR: f64 = 365.25;
/// The fewest calibrations that a line and its scatter are taken from.
const FEWEST: usize = 3;

/// The interval after the last calibration: `|e0 + b t| + t_p s √(1 + 1/n + (t − t̄)²/Sxx) = limit − U`, solved for t.
///
/// `limit` less the expanded uncertainty of a calibration is what the error may reach.
pub fn chart(
    settings: &Chart,
    limit: f64,
    expanded_uncertainty: f64,
    found: &[AsFound],
) -> Result<ChartInterval, IntervalError> {
    in_order(found)?;
    let room = limit - expanded_uncertainty;
    if room <= 0.0 || room.is_nan() {
        return Err(IntervalError::NoLimit);
    }
    let inside = settings.probability > 0.5 && settings.probability < 1.0 && settings.most >= 1.0;
    if !inside {
        return Err(IntervalError::Settings);
    }
    let (n, needed) = (found.len(), FEWEST);
    let (Some(first), Some(last)) = (found.first(), found.last()) else {
        return Err(IntervalError::TooFew { n, needed });
    };
    let x: Vec<DoubleDouble> = found
        .iter()
        .map(|one| DoubleDouble::from(days(first.on, one.on) / YEAR))
        .collect();
    let y: Vec<DoubleDouble> = found
        .iter()
        .map(|one| DoubleDouble::from(one.error))
        .collect();
    let line = Regression::of(&x, &y).map_err(|_| IntervalError::TooFew { n, needed })?;
    let k = student_quantile(settings.probability, line.degrees_of_freedom());
    let at = |years: f64| {
        let reach = k * line.of_prediction(years);
        (line.at(years), line.at(years).abs() + reach)
    };
    let start = days(first.on, last.on) / YEAR;
    let end = start + settings.most / YEAR;
    if at(start).1 >= room {
        return Err(IntervalError::Beyond);
    }
    // Bound and slope bend upwards only, so that they meet the room once.
    let beyond = |years: f64| {
        let step = 1e-6;
        let value = at(years).1 - room;
        (value, (at(years + step).1 - room - value) / step)
    };
    let met = (beyond(end).0 > 0.0)
        .then(|| bracketed(beyond, start, end, start + 1.0))
        .flatten();
    let ends = met.unwrap_or(end);
    let (predicted, bound) = at(ends);
    Ok(ChartInterval {
        line,
        predicted,
        bound,
        days: (ends - start) * YEAR,
        capped: met.is_none(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn found(year: i16, error: f64) -> AsFound {
        AsFound {
            on: date(year, 1, 1),
            error,
        }
    }

    /// Four calibrations; the bound by hand at the day that is found.
    #[test]
    fn the_bound_of_the_prediction_meets_the_room() {
        let all = [
            found(2021, 0.1),
            found(2022, 0.45),
            found(2023, 0.95),
            found(2024, 1.3),
        ];
        let interval = chart(&Chart::default(), 4.0, 0.8, &all).unwrap();
        assert!(!interval.capped);
        assert!((interval.bound - 3.2).abs() < 1e-6, "{interval:?}");
        let years = 1095.0 / YEAR + interval.days / YEAR;
        let t = 2.919_985_580_353_726;
        let (mean, sxx) = all.iter().fold((0.0, 0.0), |(mean, squares), one| {
            let x = days(all[0].on, one.on) / YEAR;
            (mean + x / 4.0, squares + x * x)
        });
        let sxx = sxx - 4.0 * mean * mean;
        let line = interval.line;
        let s = line.residual_standard_deviation;
        let reach = t * s * (1.25 + (years - mean) * (years - mean) / sxx).sqrt();
        assert!((line.at(years) + reach - 3.2).abs() < 1e-5);
    }

    #[test]
    fn what_does_not_drift_waits_for_the_longest() {
        let all = [found(2022, 0.5), found(2023, 0.4), found(2024, 0.5)];
        let interval = chart(&Chart::default(), 4.0, 0.8, &all).unwrap();
        // Three calibrations predict little so far ahead.
        assert!(interval.days > 365.0);
        assert_eq!(
            chart(&Chart::default(), 4.0, 0.8, &all[..2]),
            Err(IntervalError::TooFew { n: 2, needed: 3 })
        );
        assert_eq!(
            chart(&Chart::default(), 0.7, 0.8, &all),
            Err(IntervalError::NoLimit)
        );
        assert_eq!(
            chart(&Chart::default(), 1.2, 0.8, &all),
            Err(IntervalError::Beyond)
        );
    }
}
