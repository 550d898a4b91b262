//! The error that a result may carry by each cause.

use super::contacts::contact_errors;
use super::wires::wire_errors;
use super::{Facts, Measured, Method, ReconcileError};
use crate::contacts::MeasuredThread;
use crate::source::Confidence;

/// The error that one result may carry by one cause.
pub(super) struct Error {
    pub name: &'static str,
    pub expected: f64,
    pub spread: f64,
    pub check: &'static str,
    pub confidence: Confidence,
    /// Whether it is the same in both results when the equipment is.
    pub of_equipment: bool,
}

/// All errors of one result.
pub(super) fn errors(
    thread: &MeasuredThread,
    measured: &Measured,
    facts: &Facts,
) -> Result<Vec<Error>, ReconcileError> {
    let mut errors = match measured.method {
        Method::Wires {
            wire_mm,
            lead_corrected,
            force_corrected,
            force,
        } => wire_errors(
            thread,
            facts,
            wire_mm,
            (lead_corrected, force_corrected),
            force,
        )?,
        Method::Contacts {
            zero_on_master,
            freedom,
        } => contact_errors(thread, facts, zero_on_master, freedom)?,
    };
    let drift = thread.pitch_diameter_mm * facts.expansion_per_kelvin * facts.temperature_k;
    errors.extend([
        Error {
            name: "zero of the instrument",
            expected: 0.0,
            spread: facts.zero_mm,
            check: "set zero again on the setting standard, after cleaning, and read it three times",
            confidence: Confidence::Weak,
            of_equipment: true,
        },
        Error {
            name: "place on the part: taper and ovality",
            expected: 0.0,
            spread: facts.form_mm,
            check: "read both at one marked place, then at 0, 60 and 120 degrees",
            confidence: Confidence::Weak,
            of_equipment: false,
        },
        Error {
            name: "temperature of the part",
            expected: 0.0,
            spread: drift,
            check: "lay part, standard and instrument together and measure the part's temperature",
            confidence: Confidence::FormulaBacked,
            of_equipment: false,
        },
        Error {
            name: "repeatability of the readings",
            expected: 0.0,
            spread: measured.repeatability_mm,
            check: "five readings at one place by each person",
            confidence: Confidence::Solid,
            of_equipment: false,
        },
    ]);
    Ok(errors)
}
