//! The errors of a result over wires, or between balls.

use super::error::Error;
use super::facts::STEEL;
use super::{CauseName, Check, Facts, ReconcileError};
use crate::contacts::MeasuredThread;
use crate::elastic::{OverWires, over_wires};
use crate::source::Confidence;
use crate::units::{Angle, Force};
use crate::wires::{Arrangement, Groove, Side, best_wire_mm, reading_from_size, sensitivities};

pub(super) fn wire_errors(
    thread: &MeasuredThread,
    facts: &Facts,
    wire_mm: f64,
    (lead_corrected, force_corrected): (bool, bool),
    force: Force,
) -> Result<Vec<Error>, ReconcileError> {
    let lead = thread.pitch_mm * f64::from(thread.starts);
    let included = Angle::from_radians(2.0 * thread.half_angle.radians());
    let groove = Groove::symmetric(thread.side, included, thread.pitch_mm, lead);
    let c = sensitivities(&groove, wire_mm)?;
    let seat = reading_from_size(
        &groove,
        Arrangement::usual(thread.side),
        thread.pitch_diameter_mm,
        wire_mm,
    )?;
    let loss = over_wires(&OverWires {
        half_angle: thread.half_angle,
        pitch_diameter_mm: thread.pitch_diameter_mm,
        wire_mm,
        force,
        face_width_mm: facts.face_width_mm,
        thread: facts.work,
        wires: STEEL,
        faces: STEEL,
    })?
    .total_mm();
    // Under force an outside size reads too small, an inside one too large.
    let force_error = match thread.side {
        Side::External => -loss,
        Side::Internal => loss,
    };
    let best = best_wire_mm(&groove)?;
    let angle = c.half_angle_mm.abs() * facts.work_half_angle.radians();
    Ok(vec![
        Error {
            name: CauseName::WireDiameter,
            expected: 0.0,
            spread: c.wires_common.abs() * facts.wire_mm,
            check: Check::Wires,
            confidence: Confidence::FormulaBacked,
            of_equipment: true,
        },
        Error {
            name: CauseName::Pitch,
            expected: 0.0,
            spread: c.pitch.abs() * facts.pitch_mm,
            check: Check::Pitch,
            confidence: Confidence::FormulaBacked,
            of_equipment: false,
        },
        Error {
            name: if (wire_mm - best).abs() < 0.02 * best {
                CauseName::FlanksBestWire
            } else {
                CauseName::FlanksOtherWire
            },
            expected: 0.0,
            spread: angle,
            check: Check::BestWires,
            confidence: Confidence::FormulaBacked,
            of_equipment: false,
        },
        Error {
            name: CauseName::LeadLeftOut,
            expected: if lead_corrected {
                0.0
            } else {
                seat.lead_correction_mm
            },
            spread: 0.0,
            check: Check::ExactContact,
            confidence: Confidence::Solid,
            of_equipment: false,
        },
        Error {
            name: CauseName::Force,
            expected: if force_corrected { 0.0 } else { force_error },
            spread: loss * if force_corrected { 0.15 } else { 0.2 },
            check: Check::HalfForce,
            confidence: Confidence::FormulaBacked,
            of_equipment: true,
        },
    ])
}
