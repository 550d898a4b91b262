//! A process estimated from measured sizes.

use crate::uncertainty::statistics::Sample;

/// The fewest sizes from which a process is estimated: with ten, its standard deviation is known to about a quarter
/// (JCGM 100:2008, table E.1: 24 %).
pub const FEWEST: usize = 10;

/// Mean and standard deviation of the true sizes that a process makes, in one unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ProcessEstimate {
    /// How many measured sizes.
    pub n: usize,
    pub mean: f64,
    /// Their standard deviation, measurement and all.
    pub observed: f64,
    /// What is left for the process.
    pub standard_deviation: f64,
}

crate::messages! {
    /// Why no process can be estimated.
    pub enum EstimateError "estimate" {
        /// Too few.
        TooFew "too-few" { n: usize as count, needed: usize as count },
        /// The measurement scatters as much as the sizes.
        Hidden "hidden",
    }
}

impl ProcessEstimate {
    /// The sizes that it was estimated from, drawn together about their mean until they spread as the process does: their
    /// own shape, without the scatter of the measurement.
    ///
    /// Source: common practice, no source; the spread is right, the shape is that of the sizes as measured.
    pub fn without_measurement(&self, sizes: &[f64]) -> Vec<f64> {
        let part = self.standard_deviation / self.observed;
        let drawn = |size: &f64| self.mean + (size - self.mean) * part;
        sizes.iter().map(drawn).collect()
    }

    /// From measured sizes, and the variance that the measurement of one adds from part to part.
    ///
    /// s_process² = s² − u², with u only what is drawn anew for each part (scatter, resolution, zero): an error of the
    /// standard shifts all sizes alike, adds nothing to their spread, and subtracting it would make the process look
    /// better than it is. Source: JCGM 106:2012, 6.2, in words; elementary statistics.
    pub fn of(sizes: &[f64], measurement_variance: f64) -> Result<Self, EstimateError> {
        let sample = Sample::of(sizes)
            .filter(|sample| sample.count >= FEWEST)
            .ok_or(EstimateError::TooFew {
                n: sizes.len(),
                needed: FEWEST,
            })?;
        let observed = sample.standard_deviation;
        let rest = observed * observed - measurement_variance;
        // NaN is no process either.
        if rest.is_nan() || rest <= 0.0 {
            return Err(EstimateError::Hidden);
        }
        Ok(Self {
            n: sample.count,
            mean: sample.mean,
            observed,
            standard_deviation: rest.sqrt(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_measurement_is_taken_out() {
        // Ten sizes 0 and 10 in turn: s² = 250/9; less 9.
        let sizes: Vec<f64> = (0..10).map(|n| f64::from(n % 2) * 10.0).collect();
        let found = ProcessEstimate::of(&sizes, 9.0).unwrap();
        assert_eq!((found.n, found.mean), (10, 5.0));
        assert!((found.standard_deviation - (250.0 / 9.0 - 9.0_f64).sqrt()).abs() < 1e-12);
        let drawn = Sample::of(&found.without_measurement(&sizes)).unwrap();
        assert!((drawn.mean - found.mean).abs() < 1e-12);
        assert!((drawn.standard_deviation - found.standard_deviation).abs() < 1e-12);
        assert_eq!(
            ProcessEstimate::of(&sizes, 28.0),
            Err(EstimateError::Hidden)
        );
        assert_eq!(
            ProcessEstimate::of(&sizes, f64::NAN),
            Err(EstimateError::Hidden)
        );
        assert_eq!(
            ProcessEstimate::of(&sizes[1..], 0.0),
            Err(EstimateError::TooFew {
                n: 9,
                needed: FEWEST
            })
        );
    }
}
