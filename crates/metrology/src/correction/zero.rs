//! Zero error: what the micrometer shows on a setting standard, against the certified size of that standard.
//!
//! Contacts closed on each other hide their wear, so zero is judged on a standard; and its *certified* size counts,
//! not the nominal one. A second check at the end of the job closes the window of doubt.

use super::{Correction, CorrectionName};
use crate::source::Source;
use crate::uncertainty::statistics::{Pooled, Sample, mean};
use crate::units::Length;

/// Zero error of an instrument with one pair of contacts.
#[derive(Clone, Debug, PartialEq)]
pub struct ZeroError {
    /// Indicated minus certified, millimetres: the mean of the check before and the check after.
    pub value: f64,
    /// How many readings it rests on.
    pub n: usize,
    /// Zero error found before the job, millimetres.
    pub before: f64,
    /// Zero error found after the job, millimetres; `None` when it was not checked.
    pub after: Option<f64>,
    /// Scatter of the readings within each check, pooled; `None` when neither check was repeated.
    pub scatter: Option<Pooled>,
}

/// Zero error from readings on a setting standard before and (where taken) after the job.
///
/// `e0 = mean reading − certified size`. Between the two checks the zero is taken to have moved evenly, so that
/// the mean of both holds for the job and half their difference bounds what it may have been in between.
///
/// `None` when there is no reading before the job.
///
/// Source: [`Source::CommonPractice`].
///
/// ```
/// use metrology::correction::zero_error;
/// use metrology::units::Length;
///
/// let before = [25_003, 25_004, 25_003].map(Length::from_micrometres);
/// let zero = zero_error(&before, &[], Length::from_tenth_nanometres(250_006_000)).unwrap();
/// assert!((zero.value - 0.002_733).abs() < 1e-6);
/// assert!((zero.correction(0.0).value + 0.002_733).abs() < 1e-6);
/// ```
pub fn zero_error(before: &[Length], after: &[Length], certified: Length) -> Option<ZeroError> {
    let errors = |readings: &[Length]| -> Vec<f64> {
        readings
            .iter()
            .map(|reading| (*reading - certified).mm())
            .collect()
    };
    let (first, second) = (errors(before), errors(after));
    let error_before = mean(&first)?;
    let error_after = mean(&second);
    let value = error_after.map_or(error_before, |error_after| {
        f64::midpoint(error_before, error_after)
    });
    let repeated: Vec<Pooled> = [&first, &second]
        .into_iter()
        .filter_map(|check| Sample::of(check))
        .map(Pooled::from)
        .collect();
    let scatter = Pooled::of(&repeated);
    Some(ZeroError {
        value,
        n: before.len() + after.len(),
        before: error_before,
        after: error_after,
        scatter,
    })
}

impl ZeroError {
    /// By how much the zero moved during the job, millimetres: after minus before.
    pub fn drift(&self) -> Option<f64> {
        self.after.map(|after| after - self.before)
    }

    /// What to add to a reading: the zero error with its sign turned.
    pub fn correction(&self, standard_uncertainty: f64) -> Correction {
        Correction {
            name: CorrectionName::Zero,
            value: -self.value,
            standard_uncertainty,
            source: Source::CommonPractice,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn um(counts: &[i32]) -> Vec<Length> {
        counts
            .iter()
            .map(|count| Length::from_micrometres(*count))
            .collect()
    }

    /// A standard of 25.0006 mm read as 25.003, 25.004, 25.003 before and 25.004 twice after; by hand:
    /// before +2.7333, after +3.4, mean +3.0667, drift +0.6667 µm.
    #[test]
    fn the_certified_size_counts() {
        let certified = Length::from_tenth_nanometres(250_006_000);
        let zero = zero_error(
            &um(&[25_003, 25_004, 25_003]),
            &um(&[25_004, 25_004]),
            certified,
        )
        .unwrap();
        assert!((zero.value - 0.003_066_7).abs() < 1e-7, "{}", zero.value);
        assert!((zero.drift().unwrap() - 0.000_666_7).abs() < 1e-7);
        assert_eq!(zero.n, 5);
        assert_eq!(zero.scatter.unwrap().degrees_of_freedom, 3.0);
        assert_eq!(zero.correction(0.0).value, -zero.value);
    }

    #[test]
    fn a_perfect_standard_read_rightly_has_none() {
        let zero = zero_error(&um(&[25_000]), &[], Length::from_micrometres(25_000)).unwrap();
        assert_eq!((zero.value, zero.drift(), zero.scatter), (0.0, None, None));
        assert_eq!(zero_error(&[], &um(&[1]), Length::ZERO), None);
    }
}
