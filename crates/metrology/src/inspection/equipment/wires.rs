//! Measuring wires and balls.

use jiff::civil::Date;

use super::super::field::Field;
use super::super::keys::section;
use super::super::state::State;
use super::{COVERAGE_FACTOR, Certified, Piece, YearlyDrift};
use crate::units::Entered;

section! {
    /// A set of measuring wires or balls of one certified diameter.
    pub struct WireSet {
        /// Identity of the set.
        id: String => identity(),
        /// Certified diameter at 20 °C.
        diameter: Entered => positive(Field::WireDiameter),
        /// Its expanded uncertainty.
        expanded_uncertainty: Entered => step(Field::WireUncertainty),
        /// The coverage factor of that.
        coverage_factor: f64 => within(COVERAGE_FACTOR),
        /// Whether the diameter was measured under force across a cylinder (North American practice), so that it already
        /// holds about the deformation of use; else it is the free diameter.
        #[serde(default, skip_serializing_if = "std::ops::Not::not")]
        calibrated_under_force: bool,
        /// What they are made of.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        material: Option<String>,
        /// Certificate.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        certificate: Option<String>,
        /// Date of the certificate.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        certificate_date: Option<Date> => has_been(),
        /// How much their diameter changes in a year.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        drift: Option<YearlyDrift> => named("drift_per_year") small(Field::YearlyDrift),
        /// Due date of the next calibration.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        due: Option<Date>,
        /// Whether they may be used.
        #[serde(default, skip_serializing_if = "State::is_active")]
        state: State,
    }
}

impl Piece for WireSet {
    super::common!();
    super::dated!();

    fn certified(&self) -> Certified<'_> {
        Certified::Size(&self.diameter)
    }

    fn certified_within(&self) -> Option<(&Entered, f64)> {
        Some((&self.expanded_uncertainty, self.coverage_factor))
    }
}
