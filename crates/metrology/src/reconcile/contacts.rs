//! The errors of a result with cone and V.

use super::error::Error;
use super::{CauseName, Check, Facts, ReconcileError};
use crate::contacts::{Freedom, MeasuredThread, Reach, angle_sensitivity_mm, lead_offset_mm};
use crate::source::Confidence;
use crate::wires::Side;

pub(super) fn contact_errors(
    thread: &MeasuredThread,
    facts: &Facts,
    zero_on_master: bool,
    freedom: Freedom,
) -> Result<Vec<Error>, ReconcileError> {
    let outside = match thread.side {
        Side::External => 1.0,
        Side::Internal => -1.0,
    };
    let reach = Reach {
        inner_mm: thread.to_root_mm,
        outer_mm: thread.to_crest_mm,
    };
    let (cone, vee) = lead_offset_mm(thread, reach, reach, freedom)?;
    let per_radian = 2.0 * angle_sensitivity_mm(thread.half_angle, reach);
    // |δ| of a normal δ: mean 0.798 σ, standard deviation 0.603 σ.
    let folded = |sigma: f64| (0.798 * sigma, 0.603 * sigma);
    let (work, work_spread) = folded(per_radian * facts.work_half_angle.radians());
    let pair = per_radian * facts.contact_half_angle.radians();
    let worn = 2.0 * facts.wear_mm / libm::sin(thread.half_angle.radians());
    let not_mastered = |value: f64| if zero_on_master { 0.0 } else { value };
    Ok(vec![
        Error {
            name: CauseName::PartFlanks,
            expected: outside * work,
            spread: work_spread,
            check: Check::FlankAngle,
            confidence: Confidence::FormulaBacked,
            of_equipment: false,
        },
        Error {
            name: CauseName::ContactFlanks,
            expected: 0.0,
            spread: not_mastered(pair),
            check: Check::MasterPlug,
            confidence: Confidence::FormulaBacked,
            of_equipment: true,
        },
        Error {
            name: CauseName::Wear,
            // Anything from none to the wear named is as likely.
            expected: -outside * not_mastered(worn / 2.0),
            spread: not_mastered(worn / 12.0_f64.sqrt()),
            check: Check::MasterPlugHistory,
            confidence: Confidence::Weak,
            of_equipment: true,
        },
        Error {
            name: match freedom {
                Freedom::Free => CauseName::LeadAngle,
                Freedom::Locked { .. } => CauseName::VeeLocked,
            },
            expected: outside * not_mastered(cone + vee),
            spread: 0.0,
            check: Check::TurnVee,
            confidence: Confidence::FormulaBacked,
            of_equipment: false,
        },
        Error {
            name: CauseName::LocalWidth,
            expected: 0.0,
            spread: facts.pitch_mm / (2.0 * libm::tan(thread.half_angle.radians())),
            check: Check::NextGroove,
            confidence: Confidence::FormulaBacked,
            of_equipment: false,
        },
    ])
}
