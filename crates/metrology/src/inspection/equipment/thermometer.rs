//! A thermometer that the temperatures of a job are read with.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::super::keys::{Holds, Key, Stands, Stated, Values, section};
use super::super::state::State;
use super::{COVERAGE_FACTOR, Certified, Piece, Range};

/// An error of indication, kelvins.
const ERROR: Range = Range::new(-5.0, 5.0, " K");
/// An expanded uncertainty of it, kelvins: above zero.
const UNCERTAINTY: Range = Range::new(0.0001, 5.0, " K");
/// A change of it in a year, kelvins.
const DRIFT: Range = Range::new(0.0, 5.0, " K");

section! {
    /// A thermometer.
    pub struct Thermometer {
        /// Identity.
        id: String => identity(),
        /// Certified error of indication near 20 °C, indicated less true, kelvins.
        error: f64 => within(ERROR),
        /// Expanded uncertainty of that error, kelvins.
        expanded_uncertainty: f64 => within(UNCERTAINTY),
        /// Its coverage factor.
        coverage_factor: f64 => within(COVERAGE_FACTOR),
        /// Certificate.
        certificate: Option<String>,
        /// Date of the certificate.
        certificate_date: Option<Date> => has_been(),
        /// How much the error changes in a year.
        drift: Option<KelvinDrift> => named("drift_per_year") within(DRIFT),
        /// Due date of the next calibration.
        due: Option<Date>,
        /// Whether it may be used.
        #[serde(default, skip_serializing_if = "State::is_active")]
        state: State,
    }
}

/// A certified error of a thermometer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KelvinError {
    /// Indicated less true, kelvins.
    pub error: f64,
    /// Expanded uncertainty of that, kelvins.
    pub expanded_uncertainty: f64,
    pub coverage_factor: f64,
}

/// How much the error of a thermometer changes in a year.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KelvinDrift {
    /// By so much, either way, kelvins.
    pub per_year: f64,
    /// How many certificates of the thermometer show it; none where it was stated.
    pub certificates: Option<u32>,
}

/// As it is stated by hand.
impl Stands for KelvinDrift {
    const HOLDS: Holds = f64::HOLDS;

    fn take<V: Values>(values: &mut V, key: &Key) -> Result<Option<Self>, V::Error> {
        let per_year = f64::take(values, key)?;
        Ok(per_year.map(|per_year| Self {
            per_year,
            certificates: None,
        }))
    }

    fn stated(&self) -> Option<Stated> {
        self.per_year.stated()
    }
}

impl Piece for Thermometer {
    super::common!();

    fn certificate_date(&self) -> Option<Date> {
        self.certificate_date
    }

    fn kelvin_drift_mut(&mut self) -> Option<&mut Option<KelvinDrift>> {
        Some(&mut self.drift)
    }

    fn certified(&self) -> Certified<'_> {
        Certified::Kelvins(KelvinError {
            error: self.error,
            expanded_uncertainty: self.expanded_uncertainty,
            coverage_factor: self.coverage_factor,
        })
    }
}
