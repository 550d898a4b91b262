//! Linearity: how bias changes over the range. And the straight line itself, which a stability study fits too.

use super::error::StudyError;
use super::groups::grouped;
use super::table::Table;
use crate::double_double::{DoubleDouble, mean};
use crate::uncertainty::{student_cdf, student_quantile};

/// A straight line y = a + b x by least squares.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Regression {
    /// How many points.
    pub n: usize,
    /// b.
    pub slope: f64,
    /// a.
    pub intercept: f64,
    /// Part of the sum of squares that the line takes; 0 where nothing varies.
    pub r_squared: f64,
    /// Standard deviation about the line.
    pub residual_standard_deviation: f64,
    /// Standard uncertainty of the slope.
    pub of_slope: f64,
    /// Standard uncertainty of the intercept.
    pub of_intercept: f64,
    mean_x: f64,
    squares_x: f64,
}

/// The bias at one reference.
#[derive(Clone, Debug, PartialEq)]
pub struct AtReference {
    /// The reference value.
    pub reference: f64,
    /// How many readings.
    pub n: usize,
    /// Their mean less the reference.
    pub bias: f64,
    /// What the line says there.
    pub fitted: f64,
    /// Confidence band of the line there.
    pub band: (f64, f64),
}

/// Result of a linearity study.
#[derive(Clone, Debug, PartialEq)]
pub struct Linearity {
    /// Bias over reference.
    pub line: Regression,
    /// By reference, in the order in which they come.
    pub references: Vec<AtReference>,
    /// Whether zero lies in the band at every reference.
    pub zero_within: bool,
}

/// n times the distance of each from their mean.
fn times_off(values: &[DoubleDouble]) -> Vec<DoubleDouble> {
    let first = values.first().copied().unwrap_or(DoubleDouble::ZERO);
    let n = DoubleDouble::from(values.len());
    let sum: DoubleDouble = values.iter().map(|value| *value - first).sum();
    let off = |value: &DoubleDouble| (*value - first) * n - sum;
    values.iter().map(off).collect()
}

impl Regression {
    /// Through at least three points of at least two x.
    pub fn of(x: &[DoubleDouble], y: &[DoubleDouble]) -> Result<Self, StudyError> {
        let n = x.len().min(y.len());
        if n < 3 {
            return Err(StudyError::TooFew { n, needed: 3 });
        }
        let (mean_x, mean_y) = (mean(x), mean(y));
        // n times the distances from the means are whole numbers where x and y are, so that points on a line have no rest.
        let (off_x, off_y) = (times_off(x), times_off(y));
        let pairs = || off_x.iter().copied().zip(off_y.iter().copied());
        let of_x: DoubleDouble = pairs().map(|(x, _)| x.squared()).sum();
        let of_y: DoubleDouble = pairs().map(|(_, y)| y.squared()).sum();
        let products: DoubleDouble = pairs().map(|(x, y)| x * y).sum();
        if of_x.is_zero() {
            return Err(StudyError::OneReference);
        }
        let times = DoubleDouble::from(n).squared();
        let (squares_x, squares_y) = (of_x / times, of_y / times);
        let slope = products / of_x;
        let intercept = mean_y - slope * mean_x;
        let rest: DoubleDouble = pairs()
            .map(|(x, y)| (y * of_x - x * products).squared())
            .sum();
        let rest = rest / (times * of_x.squared());
        let s = (rest / (n - 2).into()).sqrt().value();
        let (count, mean_x, squares_x) = (n as f64, mean_x.value(), squares_x.value());
        let constant = squares_y.value() <= 0.0;
        Ok(Self {
            n,
            slope: slope.value(),
            intercept: intercept.value(),
            r_squared: if constant {
                0.0
            } else {
                1.0 - (rest / squares_y).value()
            },
            residual_standard_deviation: s,
            of_slope: s / squares_x.sqrt(),
            of_intercept: s * (1.0 / count + mean_x * mean_x / squares_x).sqrt(),
            mean_x,
            squares_x,
        })
    }

    /// Degrees of freedom, n − 2.
    pub fn degrees_of_freedom(&self) -> f64 {
        self.n as f64 - 2.0
    }

    /// t of the slope and its probability, both sides; NaN where all points lie on the line.
    pub fn slope_test(&self) -> (f64, f64) {
        self.test(self.slope, self.of_slope)
    }

    /// t of the intercept and its probability, both sides; NaN where all points lie on the line.
    pub fn intercept_test(&self) -> (f64, f64) {
        self.test(self.intercept, self.of_intercept)
    }

    /// The line at x.
    pub fn at(&self, x: f64) -> f64 {
        self.intercept + self.slope * x
    }

    /// Standard uncertainty of one more value at x: of the line and of the value about it.
    pub fn of_prediction(&self, x: f64) -> f64 {
        let off = x - self.mean_x;
        let spread = 1.0 + 1.0 / self.n as f64 + off * off / self.squares_x;
        self.residual_standard_deviation * spread.sqrt()
    }

    /// Confidence band of the line at x.
    pub fn band(&self, x: f64, confidence: f64) -> (f64, f64) {
        let off = x - self.mean_x;
        let spread = (1.0 / self.n as f64 + off * off / self.squares_x).sqrt();
        let k = student_quantile(f64::midpoint(1.0, confidence), self.degrees_of_freedom());
        let reach = k * self.residual_standard_deviation * spread;
        (self.at(x) - reach, self.at(x) + reach)
    }

    fn test(&self, value: f64, uncertainty: f64) -> (f64, f64) {
        // About a line without scatter there is nothing to test against.
        if uncertainty <= 0.0 {
            return (f64::NAN, f64::NAN);
        }
        let t = value / uncertainty;
        (t, 2.0 * student_cdf(-t.abs(), self.degrees_of_freedom()))
    }
}

impl Linearity {
    /// From the columns `reference` and `value`.
    ///
    /// Source: measurement systems analysis manual of the car industry, 4th edition (2010), chapter III; from memory, checked
    /// by its worked example.
    pub fn read(text: &str, confidence: f64) -> Result<Self, StudyError> {
        if !(confidence > 0.0 && confidence < 1.0) {
            return Err(StudyError::Probability { given: confidence });
        }
        let table = Table::read(text, &["reference", "value"])?;
        let references = table.numbers("reference")?;
        let values = table.numbers("value")?;
        let biases: Vec<DoubleDouble> = values
            .iter()
            .zip(&references)
            .map(|(value, reference)| *value - *reference)
            .collect();
        let line = Regression::of(&references, &biases)?;
        let names = references
            .iter()
            .map(|reference| reference.value().to_string());
        let references: Vec<AtReference> = grouped(names.collect(), biases)
            .into_iter()
            .filter_map(|(name, biases)| {
                let reference: f64 = name.parse().ok()?;
                Some(AtReference {
                    reference,
                    n: biases.len(),
                    bias: mean(&biases).value(),
                    fitted: line.at(reference),
                    band: line.band(reference, confidence),
                })
            })
            .collect();
        let zero_within = references
            .iter()
            .all(|at| at.band.0 <= 0.0 && at.band.1 >= 0.0);
        Ok(Self {
            line,
            references,
            zero_within,
        })
    }
}
