//! How well a reading goes with what a thread would measure.
//!
//! The reading is normal around the true size. The true pitch, angle and taper are the nominal ones; a true diameter
//! lies anywhere within the tolerance band with equal probability: nine times in ten within that of the usual class,
//! once in ten within that of any class.

use super::candidate::Expected;
use super::evidence::Observation;
use crate::uncertainty::{normal_cdf, normal_density};

/// How often a thread is of its usual class (common practice).
const USUAL_CLASS: f64 = 0.9;

/// The probability density of a reading with standard uncertainty `u`, per unit of the reading.
pub(super) fn density(reading: f64, u: f64, expected: Expected) -> f64 {
    match expected {
        Expected::Value(value) => normal_density((reading - value) / u) / u,
        Expected::Band { usual, any_class } => {
            USUAL_CLASS * over_band(reading, u, usual)
                + (1.0 - USUAL_CLASS) * over_band(reading, u, any_class)
        }
    }
}

/// The normal density of the reading, averaged over the band.
fn over_band(reading: f64, u: f64, (lower, upper): (f64, f64)) -> f64 {
    let width = upper - lower;
    if width <= 0.0 {
        return normal_density((reading - lower) / u) / u;
    }
    let (a, b) = ((lower - reading) / u, (upper - reading) / u);
    // In the lower tail on either side, where the difference keeps its digits.
    let inside = if a > 0.0 {
        normal_cdf(-a) - normal_cdf(-b)
    } else {
        normal_cdf(b) - normal_cdf(a)
    };
    inside / width
}

/// The density for a thread that is in no table: spread over half the reading, 60 degrees, or a taper of 0.2.
pub(super) fn density_of_any(seen: &Observation) -> f64 {
    use super::Quantity as Q;
    match seen.quantity {
        Q::Major | Q::PitchDiameter | Q::Minor | Q::Pitch => 2.0 / seen.value,
        Q::FlankAngle => 1.0 / 60.0,
        Q::Taper => 5.0,
    }
}

/// How many standard uncertainties a reading lies outside what any class of the thread allows; 0 within.
pub(super) fn misfit(seen: &Observation, expected: Expected) -> f64 {
    let beyond = match expected {
        Expected::Value(value) => (seen.value - value).abs(),
        Expected::Band {
            any_class: (lower, upper),
            ..
        } => (lower - seen.value).max(seen.value - upper).max(0.0),
    };
    beyond / seen.standard_uncertainty
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A density: it integrates to one, for a narrow and for a wide reading.
    #[test]
    fn integrates_to_one() {
        let band = Expected::Band {
            usual: (5.794, 5.974),
            any_class: (5.7, 6.0),
        };
        for (expected, u) in [(band, 0.002), (band, 0.3), (Expected::Value(5.9), 0.05)] {
            let step = u / 20.0;
            let (mut sum, mut x) = (0.0, 5.7 - 8.0 * u);
            while x < 6.0 + 8.0 * u {
                sum += density(x, u, expected) * step;
                x += step;
            }
            assert!((sum - 1.0).abs() < 1e-6, "{sum}");
        }
    }

    #[test]
    fn nothing_is_lost_far_outside() {
        let band = Expected::Band {
            usual: (0.0, 1.0),
            any_class: (0.0, 1.0),
        };
        let (left, right) = (density(-1.0, 0.1, band), density(2.0, 0.1, band));
        assert!(left > 0.0 && (left / right - 1.0).abs() < 1e-9);
    }
}
