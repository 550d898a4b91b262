//! Which contacts are made for what is measured: a set-up with them comes before one that merely may be used.

use super::equipment::{ContactKind, Contacts, Instrument};
use super::features::trial;
use super::of_thread::ThreadDiameter;
use super::target::Target;

/// The share of the tolerance beyond which 2U makes a set-up not good enough (common practice, no source).
pub const LARGEST_SHARE: f64 = 0.5;

/// Contacts that suit whatever is measured, of a size for it. None where it has no limits, and so no size.
pub fn trial_contacts(target: &Target) -> Option<Contacts> {
    target.limits.lower.or(target.limits.upper)?;
    match &target.feature {
        Some(feature) => feature.measurand().trial_contacts(target.limits),
        // A taper thread is measured over wires.
        None if target.plane.is_some() => trial::flat_faces(),
        None if target.thread.is_some() && target.diameter == ThreadDiameter::PitchDiameter => {
            Some(trial::pair(ContactKind::VAndCone))
        }
        None => trial::flat_faces(),
    }
}

/// The kind of contacts that is made for what is measured.
pub fn suited(target: &Target) -> Option<ContactKind> {
    trial_contacts(target).map(|contacts| contacts.kind)
}

/// How little a pair suits: 0 where it is made for what is measured, 1 where it is and does not say for which thread, 2 where it
/// only may be used (common practice, no source).
pub fn unsuited(suited: Option<ContactKind>, pair: &Contacts) -> u8 {
    match suited {
        Some(suited) if pair.kind != suited => 2,
        Some(ContactKind::VAndCone) => {
            u8::from(pair.included_angle.is_none() || pair.pitch_range.is_none())
        }
        _ => 0,
    }
}

/// Whether it is not known of a micrometer that its spindle does not turn, where what is measured wants one that does not:
/// others may do, those made for it come first.
pub fn may_turn(suited: Option<ContactKind>, instrument: &Instrument) -> bool {
    suited.is_some_and(ContactKind::wants_still_spindle) && instrument.spindle_turns != Some(false)
}

/// Where a set-up stands among others, the least first, before their uncertainties are compared: `share` is what 2U takes of the
/// tolerance. Of what is not good enough nothing but the uncertainty counts.
pub fn rank(share: Option<f64>, unsuited: u8) -> (bool, u8) {
    if share.is_some_and(|share| share > LARGEST_SHARE) {
        (true, 0)
    } else {
        (false, unsuited)
    }
}
