//! Type-1 study: one operator measures one part of known size many times.

use super::error::StudyError;
use crate::double_double::{DoubleDouble, mean, squares};
use crate::uncertainty::student_cdf;

/// What the indices are computed with; both differ from plant to plant and are printed with the result.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Type1Settings {
    /// The part of the tolerance that the readings may fill, percent; 20 by default.
    pub part_of_tolerance: f64,
    /// How many standard deviations that is; 6 by default, 4 in some plants.
    pub spread: f64,
}

/// Between so many standard deviations is what people take (common practice, no source): 4, 5.15 or 6.
const LEAST_SPREAD: f64 = 4.0;
const LARGEST_SPREAD: f64 = 6.0;

/// Result of a type-1 study.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Type1 {
    /// How many readings.
    pub n: usize,
    pub mean: f64,
    /// Their standard deviation.
    pub standard_deviation: f64,
    /// Mean less reference.
    pub bias: f64,
    /// C_g = (K/100) T/(L s).
    pub cg: f64,
    /// C_gk = [(K/200) T − |bias|]/(L s/2).
    pub cgk: f64,
    /// Bias over its standard uncertainty, |bias| √n/s.
    pub t: f64,
    /// Probability of such a t, or a larger one, without bias; both sides.
    pub p: f64,
}

impl Default for Type1Settings {
    fn default() -> Self {
        Self {
            part_of_tolerance: 20.0,
            spread: 6.0,
        }
    }
}

impl Type1 {
    /// Source: common practice of the car industry; the formulas from memory.
    pub fn of(
        values: &[DoubleDouble],
        reference: DoubleDouble,
        tolerance: f64,
        settings: Type1Settings,
    ) -> Result<Self, StudyError> {
        let n = values.len();
        if n < 10 {
            return Err(StudyError::TooFew { n, needed: 10 });
        }
        // NaN is no tolerance either.
        if tolerance.is_nan() || tolerance <= 0.0 {
            return Err(StudyError::Tolerance);
        }
        let (given, spread) = (settings.part_of_tolerance, settings.spread);
        if !(given > 0.0 && given <= 100.0) {
            return Err(StudyError::PartOfTolerance { given });
        }
        if !(LEAST_SPREAD..=LARGEST_SPREAD).contains(&spread) {
            return Err(StudyError::Spread { given: spread });
        }
        let off: Vec<DoubleDouble> = values.iter().map(|value| *value - reference).collect();
        let s = (squares(values) / (n - 1).into()).sqrt().value();
        if s <= 0.0 {
            return Err(StudyError::Constant);
        }
        let bias = mean(&off).value();
        let (part, spread) = (settings.part_of_tolerance / 100.0, settings.spread * s);
        let t = bias.abs() * (n as f64).sqrt() / s;
        Ok(Self {
            n,
            mean: mean(values).value(),
            standard_deviation: s,
            bias,
            cg: part * tolerance / spread,
            cgk: (part / 2.0 * tolerance - bias.abs()) / (spread / 2.0),
            t,
            p: 2.0 * student_cdf(-t, n as f64 - 1.0),
        })
    }
}
