//! Bias: readings of one part of known size.

use super::error::StudyError;
use crate::chart::ChartConstants;
use crate::double_double::{DoubleDouble, mean, squares};
use crate::uncertainty::{student_cdf, student_quantile};

/// Bias with what one standard deviation of the readings says of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OfBias {
    /// Standard deviation of a reading.
    pub standard_deviation: f64,
    /// Its degrees of freedom.
    pub degrees_of_freedom: f64,
    /// Standard uncertainty of the mean.
    pub of_mean: f64,
    /// Bias over it.
    pub t: f64,
    /// Probability of such a t, or one further from zero, without bias.
    pub p: f64,
    /// Interval of the bias with the stated confidence.
    pub interval: (f64, f64),
}

/// Result of a bias study.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bias {
    /// How many readings.
    pub n: usize,
    pub mean: f64,
    /// Mean less reference.
    pub bias: f64,
    /// With the standard deviation of the readings.
    pub by_deviation: OfBias,
    /// With their range over d2*, as the manual of the car industry computes it; none of more readings than ranges are taken of.
    pub by_range: Option<OfBias>,
}

impl Bias {
    /// Source: measurement systems analysis manual of the car industry, 4th edition (2010), chapter III; from memory, checked
    /// by its worked example.
    pub fn of(
        values: &[DoubleDouble],
        reference: DoubleDouble,
        confidence: f64,
    ) -> Result<Self, StudyError> {
        let n = values.len();
        if n < 2 {
            return Err(StudyError::TooFew { n, needed: 2 });
        }
        if !(confidence > 0.0 && confidence < 1.0) {
            return Err(StudyError::Probability { given: confidence });
        }
        let off: Vec<DoubleDouble> = values.iter().map(|value| *value - reference).collect();
        let s = (squares(values) / (n - 1).into()).sqrt().value();
        if s <= 0.0 {
            return Err(StudyError::Constant);
        }
        let bias = mean(&off).value();
        let of = |standard_deviation: f64, degrees_of_freedom: f64, part: f64| {
            let of_mean = standard_deviation / (n as f64).sqrt();
            let t = bias / of_mean;
            let k = part * student_quantile(f64::midpoint(1.0, confidence), degrees_of_freedom);
            OfBias {
                standard_deviation,
                degrees_of_freedom,
                of_mean,
                t,
                p: 2.0 * student_cdf(-t.abs(), degrees_of_freedom),
                interval: (bias - k * of_mean, bias + k * of_mean),
            }
        };
        let off = || off.iter().map(|off| off.value());
        let most = off().fold(f64::NEG_INFINITY, f64::max);
        let least = off().fold(f64::INFINITY, f64::min);
        let by_range = ChartConstants::of(n).map(|constants| {
            let deviation = (most - least) / constants.d2_star(1);
            // The manual draws its interval with the range over d2*²/d2.
            let part = constants.d2 / constants.d2_star(1);
            of(deviation, constants.degrees_of_freedom(1).max(1.0), part)
        });
        Ok(Self {
            n,
            mean: mean(values).value(),
            bias,
            by_deviation: of(s, n as f64 - 1.0, 1.0),
            by_range,
        })
    }
}
