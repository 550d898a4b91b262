//! Coverage factors: from a level of confidence to the multiple of the standard uncertainty.

use std::sync::atomic::{AtomicU64, Ordering};

use super::student::student_quantile;

crate::messages! {
    /// Why there is no coverage factor.
    #[derive(Copy)]
    pub enum CoverageError "coverage-error" {
        /// A level of confidence outside (0, 1).
        Probability "probability" { given: f64 as Given },
        /// Too little knowledge for an interval.
        DegreesOfFreedom "degrees-of-freedom" { given: f64 as Given },
    }
}

/// Coverage probability of the expanded uncertainties that are stated: 95 % (common practice, no source).
pub const COVERAGE: f64 = 0.95;

/// The coverage factor k = t_p(ν) of a coverage probability `p` (0.95 for 95 %), the quantile of the normal
/// distribution when `degrees_of_freedom` is infinite.
///
/// The GUM truncates ν to the integer below first (G.6.4): pass
/// [`truncated_degrees_of_freedom`] for that, or ν as it is for the interpolated value.
/// Source: JCGM 100:2008, 6.3, G.3 and Table G.2.
pub fn coverage_factor(p: f64, degrees_of_freedom: f64) -> Result<f64, CoverageError> {
    if !(p > 0.0 && p < 1.0) {
        return Err(CoverageError::Probability { given: p });
    }
    if degrees_of_freedom.is_nan() || degrees_of_freedom < 1.0 {
        return Err(CoverageError::DegreesOfFreedom {
            given: degrees_of_freedom,
        });
    }
    Ok(-student_quantile((1.0 - p) / 2.0, degrees_of_freedom))
}

/// [`coverage_factor`] for [`COVERAGE`] and truncated degrees of freedom. Each is computed once while the program runs: every size
/// of a lot asks for one.
pub fn coverage_factor_95(truncated: f64) -> Result<f64, CoverageError> {
    /// As many as are kept; that of infinite degrees of freedom stands in the place of none.
    const KEPT: usize = 1 << 17;
    /// By degrees of freedom, as bits; none is nothing.
    static KNOWN: [AtomicU64; KEPT] = [const { AtomicU64::new(0) }; KEPT];
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "any other than a small whole number leads to no place"
    )]
    let place = if truncated == f64::INFINITY {
        Some(0)
    } else {
        Some(truncated as usize).filter(|place| *place > 0 && *place as f64 == truncated)
    };
    let known = place.and_then(|place| KNOWN.get(place));
    if let Some(known) = known
        && let bits @ 1.. = known.load(Ordering::Relaxed)
    {
        return Ok(f64::from_bits(bits));
    }
    let factor = coverage_factor(COVERAGE, truncated)?;
    if let Some(known) = known {
        known.store(factor.to_bits(), Ordering::Relaxed);
    }
    Ok(factor)
}

/// Degrees of freedom truncated to the integer below (JCGM 100:2008, G.6.4); infinity stays.
pub fn truncated_degrees_of_freedom(degrees_of_freedom: f64) -> f64 {
    degrees_of_freedom.floor()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn those_kept_are_those_computed() {
        let some = [
            1.0,
            2.0,
            9.0,
            9.0,
            16_383.0,
            16_384.0,
            1e9,
            1e300,
            f64::INFINITY,
        ];
        for degrees_of_freedom in some.into_iter().chain(some).chain([1.5, 0.0, -1.0, 0.5]) {
            let kept = coverage_factor_95(degrees_of_freedom);
            assert_eq!(kept, coverage_factor(0.95, degrees_of_freedom));
        }
        assert!(coverage_factor_95(f64::NAN).is_err());
    }

    #[test]
    fn normal_factors() {
        // JCGM 100:2008, Table G.1.
        for (p, k) in [
            (0.6827, 1.0),
            (0.90, 1.645),
            (0.95, 1.960),
            (0.9545, 2.0),
            (0.99, 2.576),
            (0.9973, 3.0),
        ] {
            let factor = coverage_factor(p, f64::INFINITY).unwrap();
            assert!((factor - k).abs() < 6e-4, "{p}: {factor}");
        }
    }

    #[test]
    fn refuses_what_has_no_interval() {
        assert_eq!(
            coverage_factor(95.0, 4.0),
            Err(CoverageError::Probability { given: 95.0 })
        );
        assert_eq!(
            coverage_factor(0.95, 0.5),
            Err(CoverageError::DegreesOfFreedom { given: 0.5 })
        );
        assert!(coverage_factor(f64::NAN, 4.0).is_err());
        assert!(coverage_factor(0.95, f64::NAN).is_err());
    }

    #[test]
    fn truncation_widens() {
        // JCGM 100:2008, H.1.6: ν_eff = 16.7 is taken as 16 and t_99 = 2.92.
        assert_eq!(truncated_degrees_of_freedom(16.7), 16.0);
        let truncated = coverage_factor(0.99, 16.0).unwrap();
        assert!((truncated - 2.92).abs() < 0.005);
        assert!(truncated > coverage_factor(0.99, 16.7).unwrap());
    }
}
