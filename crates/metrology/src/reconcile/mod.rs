//! Two results for one pitch diameter that do not agree: which causes can give the difference, and what would tell.
//!
//! Every cause is an error that one of the results may carry: with an expected size (a correction that was perhaps left
//! out) and a spread (what is not known). The physics gives the sizes where it can; where only practice can, the line
//! is marked weak. If all were independent and normal, the difference D that is seen would be shared out as
//! m_i + s_i² (D − Σm)/Σs²: the causes are ranked by that share. It is a guess where to look first, not a correction.
//!
//! ```text
//! facts.rs     the two results, how each was made, and what is known besides
//! cause.rs     what comes out: ranked causes, or why there are none
//! errors.rs    the errors that any result may carry
//! wires.rs     the errors of a result over wires
//! contacts.rs  the errors of a result with cone and V
//! ```

mod cause;
mod contacts;
mod error;
mod errors;
mod facts;
#[cfg(test)]
mod tests;
mod wires;

pub use cause::{Carrier, Cause, CauseName, Check, ReconcileError, Reconciliation, Turns};
pub use facts::{Facts, Measured, Method};

use crate::contacts::MeasuredThread;
use errors::errors;

/// The ranked causes of the difference between two results for the same thread.
///
/// ```
/// use metrology::contacts::{Freedom, MeasuredThread};
/// use metrology::reconcile::{Facts, Measured, Method, reconcile};
/// use metrology::units::{Angle, Force};
/// use metrology::wires::Side;
///
/// let sixty = Angle::from_degrees(60.0);
/// let thread = MeasuredThread::of_standard_form(Side::External, sixty, 1.5, 1, 9.026).unwrap();
/// let over_wires = Measured {
///     method: Method::Wires {
///         wire_mm: 0.866,
///         lead_corrected: true,
///         force_corrected: true,
///         force: Force::from_newtons(11.12),
///     },
///     size_mm: 9.020,
///     repeatability_mm: 0.0005,
/// };
/// let by_contacts = Measured {
///     method: Method::Contacts { zero_on_master: false, freedom: Freedom::Free },
///     size_mm: 9.028,
///     repeatability_mm: 0.001,
/// };
/// // The shares of all causes add up to the difference.
/// let found = reconcile(&thread, &over_wires, &by_contacts, &Facts::ORDINARY)?;
/// let sum: f64 = found.causes.iter().map(|cause| cause.likely_mm).sum();
/// assert!((sum + 0.008).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn reconcile(
    thread: &MeasuredThread,
    first: &Measured,
    second: &Measured,
    facts: &Facts,
) -> Result<Reconciliation, ReconcileError> {
    facts.checked()?;
    let difference_mm = first.size_mm - second.size_mm;
    let mut causes = Vec::new();
    let same_way = std::mem::discriminant(&first.method) == std::mem::discriminant(&second.method);
    // The flanks of one part do the same to the same pair or wires.
    let is_shared = |error: &error::Error| {
        facts.same_equipment
            && (error.of_equipment || same_way && error.name == CauseName::PartFlanks)
    };
    first.checked()?;
    second.checked()?;
    let of_first = errors(thread, first, facts)?;
    let of_second = errors(thread, second, facts)?;
    for (own, other, carrier, sign) in [
        (&of_first, &of_second, Carrier::First, 1.0),
        (&of_second, &of_first, Carrier::Second, -1.0),
    ] {
        for error in own {
            // What the same equipment does to both readings is no difference, unless one of them was corrected for it.
            let shared = other
                .iter()
                .find(|other| is_shared(error) && other.name == error.name);
            if shared.is_some_and(|other| other.expected == error.expected) {
                continue;
            }
            causes.push(Cause {
                name: error.name,
                carrier,
                expected_mm: sign * error.expected,
                spread_mm: if shared.is_some() { 0.0 } else { error.spread },
                likely_mm: 0.0,
                check: error.check,
                confidence: error.confidence,
            });
        }
    }
    let expected_mm: f64 = causes.iter().map(|cause| cause.expected_mm).sum();
    let variance: f64 = causes
        .iter()
        .map(|cause| cause.spread_mm * cause.spread_mm)
        .sum();
    let left_over = difference_mm - expected_mm;
    for cause in &mut causes {
        let part = if variance > 0.0 {
            cause.spread_mm * cause.spread_mm / variance
        } else {
            0.0
        };
        cause.likely_mm = cause.expected_mm + part * left_over;
    }
    // In the direction of the difference, the largest first.
    let direction = if difference_mm < 0.0 { -1.0 } else { 1.0 };
    causes.sort_by(|a, b| (direction * b.likely_mm).total_cmp(&(direction * a.likely_mm)));
    Ok(Reconciliation {
        difference_mm,
        expected_mm,
        surprise: if variance > 0.0 {
            left_over.abs() / variance.sqrt()
        } else {
            0.0
        },
        thimble_turns: thimble_turns(difference_mm, 3.0 * variance.sqrt()),
        causes,
    })
}

/// Half a millimetre or a fortieth of an inch and their small multiples are turns of a thimble.
fn thimble_turns(difference_mm: f64, margin_mm: f64) -> Option<Turns> {
    let turns = [
        (0.5, Turns::OneMetric),
        (0.635, Turns::OneInch),
        (1.0, Turns::TwoMetric),
        (1.27, Turns::TwoInch),
        (2.54, Turns::Numeral),
    ];
    turns
        .into_iter()
        .map(|(turn, name)| ((difference_mm.abs() - turn).abs(), name))
        .filter(|(off, _)| *off <= margin_mm.min(0.05))
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, name)| name)
}
