//! A setting standard of certified size.

use jiff::civil::Date;

use super::super::field::Field;
use super::super::keys::{Key, choice, section};
use super::super::state::State;
use super::{COVERAGE_FACTOR, Certified, Piece, YearlyDrift};
use crate::units::Entered;

/// Contacts on each other have the size 0, and no certificate says so.
const CLOSED: (&str, &str) = ("form", StandardForm::Closed.key());
const CERTIFIED: &[&str] = &["expanded_uncertainty", "coverage_factor"];

section! {
    /// A setting standard of certified size.
    pub struct Standard {
        /// Identity.
        id: String => identity(),
        /// What it is.
        form: StandardForm => same(),
        /// Certified size at 20 °C: the certified value, not the nominal.
        size: Entered => positive(Field::StandardSize) assumed("0", CLOSED, &[]),
        /// Expanded uncertainty of the certified size.
        expanded_uncertainty: Entered => step(Field::StandardUncertainty) assumed("0", CLOSED, CERTIFIED),
        /// Its coverage factor; no uncertainty at all is the same by any.
        coverage_factor: f64 => within(COVERAGE_FACTOR) assumed("2", CLOSED, CERTIFIED),
        /// Certificate.
        certificate: Option<String>,
        /// Date of the certificate.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        certificate_date: Option<Date> => has_been(),
        /// How much its size changes in a year.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        drift: Option<YearlyDrift> => named("drift_per_year") small(Field::YearlyDrift),
        /// Due date of its calibration.
        due: Option<Date>,
        /// Whether it may be used.
        #[serde(default, skip_serializing_if = "State::is_active")]
        state: State,
    }
}

impl Piece for Standard {
    super::common!();
    super::dated!();

    fn certified(&self) -> Certified<'_> {
        Certified::Size(&self.size)
    }

    fn certified_within(&self) -> Option<(&Entered, f64)> {
        Some((&self.expanded_uncertainty, self.coverage_factor))
    }

    fn shows(&self, key: &Key) -> bool {
        self.form != StandardForm::Closed || matches!(key.name, "id" | "form")
    }
}

choice! {
    /// What a setting standard looks like, which tells what the zero takes out.
    pub enum StandardForm "standard-form" or VAndConeRod {
        /// A rod with a V at one end and a cone at the other.
        VAndConeRod "v-and-cone-rod",
        /// A thread plug of the same form and pitch: contact angle errors cancel.
        ThreadPlug "thread-plug",
        /// A plain cylinder, disc, rod or gauge block for flat contacts.
        Plain "plain",
        /// The contacts closed on each other: size zero, and blind to the wear of both.
        Closed "closed",
    }
}
