//! Mean, standard deviation and lag-1 autocorrelation, correct to the last digit that a double holds.

use super::table::{Table, TableError};
use crate::double_double::{DoubleDouble, mean, squares};

/// What a column of readings adds up to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Summary {
    /// How many.
    pub n: usize,
    pub mean: f64,
    /// With the divisor n − 1; `None` of one reading.
    pub standard_deviation: Option<f64>,
    /// Σ(xᵢ − x̄)(xᵢ₊₁ − x̄)/Σ(xᵢ − x̄)²; `None` of one reading, and of readings that are all the same.
    pub autocorrelation: Option<f64>,
}

impl Summary {
    /// Of the column `value` of a table.
    ///
    /// ```
    /// use metrology::study::Summary;
    ///
    /// let summary = Summary::read("value\n9.1\n9.2\n9.3\n")?;
    /// assert_eq!((summary.n, summary.mean, summary.standard_deviation), (3, 9.2, Some(0.1)));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn read(text: &str) -> Result<Self, TableError> {
        Ok(Self::of(&Table::read(text, &["value"])?.numbers("value")?))
    }

    /// Of readings as exact as they were written.
    pub fn of(values: &[DoubleDouble]) -> Self {
        let n = values.len();
        let mean = mean(values);
        let squares = squares(values);
        let product = |pair: &[DoubleDouble]| match pair {
            [one, next] => (*one - mean) * (*next - mean),
            _ => DoubleDouble::ZERO,
        };
        let products: DoubleDouble = values.windows(2).map(product).sum();
        Self {
            n,
            mean: mean.value(),
            standard_deviation: (n > 1)
                .then(|| (squares / DoubleDouble::from(n - 1)).sqrt().value()),
            autocorrelation: (n > 1 && squares.value() > 0.0).then(|| (products / squares).value()),
        }
    }
}
