//! One-way analysis of variance.

use super::error::StudyError;
use super::groups::grouped;
use super::table::Table;
use crate::double_double::{DoubleDouble, squares};
use crate::probability::f_upper_tail;

/// A line of a table of variance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Variation {
    /// Degrees of freedom.
    pub degrees_of_freedom: usize,
    /// Sum of squares.
    pub sum_of_squares: f64,
    /// Mean square.
    pub mean_square: f64,
}

/// Between groups, within groups, and what the two say.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OneWay {
    /// Of the group means about the mean of all.
    pub between: Variation,
    /// Of the readings about the means of their groups.
    pub within: Variation,
    /// Ratio of the mean squares.
    pub f: f64,
    /// Probability of an F as large or larger where groups do not differ.
    pub p: f64,
    /// Part of the sum of squares that is between groups.
    pub r_squared: f64,
    /// Root of the mean square within.
    pub residual_standard_deviation: f64,
}

impl OneWay {
    /// Of the columns `group` and `value` of a table.
    pub fn read(text: &str) -> Result<Self, StudyError> {
        let table = Table::read(text, &["group", "value"])?;
        let groups = grouped(table.texts("group")?, table.numbers("value")?);
        let groups: Vec<_> = groups.into_iter().map(|(_, values)| values).collect();
        Self::of(&groups)
    }

    /// Of groups of readings as exact as they were written.
    pub fn of(groups: &[Vec<DoubleDouble>]) -> Result<Self, StudyError> {
        let n: usize = groups.iter().map(Vec::len).sum();
        if groups.len() < 2 {
            return Err(StudyError::OneGroup);
        }
        if n <= groups.len() {
            return Err(StudyError::NoReplicates);
        }
        // Sums about the first reading instead of means, which may not come out even: groups of one mean differ by nothing.
        let first = groups.iter().flatten().next();
        let first = first.copied().unwrap_or(DoubleDouble::ZERO);
        let sum = |group: &[DoubleDouble]| -> DoubleDouble {
            group.iter().map(|value| *value - first).sum()
        };
        let all: DoubleDouble = groups.iter().map(|group| sum(group)).sum();
        let count = DoubleDouble::from(n);
        let (mut between, mut within) = (DoubleDouble::ZERO, DoubleDouble::ZERO);
        for group in groups {
            let own = DoubleDouble::from(group.len());
            let off = sum(group) * count - all * own;
            between = between + off.squared() / own;
            within = within + squares(group);
        }
        let between = between / count.squared();
        if within.value() <= 0.0 {
            return Err(StudyError::NoSpreadWithin);
        }
        let (df_between, df_within) = (groups.len() - 1, n - groups.len());
        let ms_between = between / df_between.into();
        let ms_within = within / df_within.into();
        let f = (ms_between / ms_within).value();
        Ok(Self {
            between: Variation {
                degrees_of_freedom: df_between,
                sum_of_squares: between.value(),
                mean_square: ms_between.value(),
            },
            within: Variation {
                degrees_of_freedom: df_within,
                sum_of_squares: within.value(),
                mean_square: ms_within.value(),
            },
            f,
            p: f_upper_tail(f, df_between as f64, df_within as f64),
            r_squared: (between / (between + within)).value(),
            residual_standard_deviation: ms_within.sqrt().value(),
        })
    }
}
