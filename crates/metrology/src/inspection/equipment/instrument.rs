//! A micrometer and what its certificate says.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::super::field::Field;
use super::super::keys::{Holds, Key, Row, Stands, Values, section, stands_in_section};
use super::super::marked::CurvePoint;
use super::super::state::State;
use super::{COVERAGE_FACTOR, Certified, FORCE, Piece, YearlyDrift};
use crate::correction::{CurveError, ErrorCurve};
use crate::message::Say as _;
use crate::units::Entered;

section! {
    /// A micrometer and what its certificate says.
    pub struct Instrument {
        /// Identity, as marked on the frame.
        id: String => identity(),
        /// Smallest and largest reading.
        range: [Entered; 2] => not_wider(),
        /// One step of the display; where it is not stated, one step of the last digit entered.
        resolution: Option<Entered> => step(Field::Resolution),
        /// What is known of its errors.
        errors: InstrumentErrors,
        /// Measuring force of its ratchet or friction drive, newtons.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        force: Option<f64> => within(FORCE),
        /// Whether its spindle turns as it closes, where that was stated: blades and edges want one that does not.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        spindle_turns: Option<bool>,
        /// Certificate of its calibration.
        certificate: Option<String>,
        /// Date of the certificate.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        certificate_date: Option<Date> => has_been(),
        /// How much its error curve changes in a year.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        drift: Option<YearlyDrift> => named("drift_per_year") small(Field::YearlyDrift),
        /// Due date of its calibration.
        due: Option<Date>,
        /// Whether it may be used.
        #[serde(default, skip_serializing_if = "State::is_active")]
        state: State,
    }
}

impl Piece for Instrument {
    super::common!();
    super::dated!();

    fn certified(&self) -> Certified<'_> {
        match &self.errors {
            InstrumentErrors::Curve(curve) => Certified::Curve(&curve.points),
            InstrumentErrors::Within { .. } => Certified::Nothing,
        }
    }

    fn certified_within(&self) -> Option<(&Entered, f64)> {
        match &self.errors {
            InstrumentErrors::Curve(curve) => {
                Some((&curve.expanded_uncertainty, curve.coverage_factor))
            }
            InstrumentErrors::Within { .. } => None,
        }
    }

    fn error_limit(&self) -> Option<&Entered> {
        match &self.errors {
            InstrumentErrors::Curve(_) => None,
            InstrumentErrors::Within {
                maximum_permissible_error,
            } => Some(maximum_permissible_error),
        }
    }
}

/// What is known of the errors of indication of a micrometer.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum InstrumentErrors {
    /// Only that no error is larger than this, either way.
    Within {
        /// Maximum permissible error.
        maximum_permissible_error: Entered,
    },
    /// An error curve from the certificate.
    Curve(CertifiedCurve),
}

section! {
    /// An error curve as a certificate states it.
    pub struct CertifiedCurve {
        /// Points in rising order of size.
        points: Vec<CurvePoint>,
        /// Expanded uncertainty of the errors.
        expanded_uncertainty: Entered => step(Field::CurveUncertainty),
        /// Its coverage factor.
        coverage_factor: f64 => within(COVERAGE_FACTOR),
        /// Half the periodic error of the screw that the points do not show.
        periodic_error: Option<Entered> => not_negative(Field::PeriodicError),
    }
}
stands_in_section!(CertifiedCurve);

impl CertifiedCurve {
    /// Its errors over size.
    pub fn errors(&self) -> Result<ErrorCurve, CurveError> {
        let points = self.points.iter();
        ErrorCurve::new(
            points
                .map(|point| (point.at.value(), point.error.value()))
                .collect(),
        )
    }
}

crate::messages! {
    /// What a description of a micrometer lacks.
    pub enum InstrumentLacks "jobfile" {
        /// Its errors, stated in one way.
        Errors "instrument-errors",
    }
}

const LIMIT: Key = Key::of::<Option<Entered>>("maximum_permissible_error")
    .step(Field::MaximumPermissibleError)
    .not_less(None)
    .instead("error_curve")
    .lacking(|| InstrumentLacks::Errors.message());
const CURVE: Key =
    Key::of::<Option<CertifiedCurve>>("error_curve").instead("maximum_permissible_error");

/// Either of two keys.
impl Stands for InstrumentErrors {
    const HOLDS: Holds = Holds::Beside(&[LIMIT, CURVE]);

    fn take<V: Values>(values: &mut V, _key: &Key) -> Result<Option<Self>, V::Error> {
        match (
            values.length(&LIMIT)?,
            CertifiedCurve::take(values, &CURVE)?,
        ) {
            (Some(maximum_permissible_error), None) => Ok(Some(Self::Within {
                maximum_permissible_error,
            })),
            (None, Some(curve)) => Ok(Some(Self::Curve(curve))),
            _ => Err(values.missing(&LIMIT)),
        }
    }

    fn rows(&self, _key: &'static Key, rows: &mut Vec<Row>) {
        match self {
            Self::Within {
                maximum_permissible_error,
            } => maximum_permissible_error.rows(&LIMIT, rows),
            Self::Curve(curve) => curve.rows(&CURVE, rows),
        }
    }
}
