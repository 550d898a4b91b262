//! The error that a result may carry by each cause.

use super::contacts::contact_errors;
use super::error::Error;
use super::wires::wire_errors;
use super::{CauseName, Check, Facts, Measured, Method, ReconcileError};
use crate::contacts::MeasuredThread;
use crate::source::Confidence;

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
            name: CauseName::Zero,
            expected: 0.0,
            spread: facts.zero_mm,
            check: Check::SetZero,
            confidence: Confidence::Weak,
            of_equipment: true,
        },
        Error {
            name: CauseName::Place,
            expected: 0.0,
            spread: facts.form_mm,
            check: Check::SamePlace,
            confidence: Confidence::Weak,
            of_equipment: false,
        },
        Error {
            name: CauseName::Temperature,
            expected: 0.0,
            spread: drift,
            check: Check::Together,
            confidence: Confidence::FormulaBacked,
            of_equipment: false,
        },
        Error {
            name: CauseName::Repeatability,
            expected: 0.0,
            spread: measured.repeatability_mm,
            check: Check::FiveReadings,
            confidence: Confidence::Solid,
            of_equipment: false,
        },
    ]);
    Ok(errors)
}
