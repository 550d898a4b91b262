//! Another thread that the size would fit: what looks like a bad 1/4-20 can be a good M6.

use super::Size;
use super::warning::{OtherThread, Warning};
use crate::designation::{self, Kind, standard_threads};
use crate::limits::ThreadLimits;
use crate::message::Value;
use crate::units::{Entered, Length, LengthUnit};

/// Threads that one meets at a bench, most likely first, whose pitch-diameter limits hold this size; at most three.
///
/// Looked for among the first-choice standard threads in their usual class, the same side as `thread`; those whose
/// pitch the same contacts would sit on come first.
pub fn others(thread: &ThreadLimits, size: &Size) -> Vec<ThreadLimits> {
    let Ok(value) = Length::nearest_mm(size.value) else {
        return Vec::new();
    };
    let holds = |other: &ThreadLimits| {
        let limits = other.pitch_diameter;
        limits.lower.is_some_and(|lower| lower <= value)
            && limits.upper.is_some_and(|upper| value <= upper)
    };
    let mut found: Vec<(u8, ThreadLimits)> = standard_threads()
        .iter()
        .filter(|standard| standard.choice <= 2)
        // A pitch diameter lies below the nominal by less than a pitch.
        .filter(|standard| (standard.nominal.mm() - value.mm()).abs() < standard.pitch.mm())
        .filter_map(|standard| {
            let side = match thread.kind {
                Kind::External => "external",
                Kind::Internal => "internal",
            };
            let other = designation::parse(&format!("{} {side}", standard.designation))
                .ok()?
                .limits()
                .ok()?;
            (other.designation != thread.designation && holds(&other))
                .then_some((standard.choice, other))
        })
        .collect();
    let apart = |other: &ThreadLimits| libm::log(other.pitch.mm() / thread.pitch.mm()).abs();
    found.sort_by(|(choice, a), (other, b)| choice.cmp(other).then(apart(a).total_cmp(&apart(b))));
    found
        .into_iter()
        .map(|(_, thread)| thread)
        .take(3)
        .collect()
}

/// The pitch of a thread: that of a metric one in millimetres, in which alone it is round.
fn pitch(thread: &ThreadLimits, method: u32) -> Value {
    let mm = thread.pitch.mm();
    match (thread.unit, Length::nearest_mm(mm)) {
        (LengthUnit::Millimetre, Ok(pitch)) if method >= 3 => {
            Value::Entered(Entered::of(pitch, LengthUnit::Millimetre))
        }
        _ => Value::Length(mm),
    }
}

/// The warning, or nothing when no thread fits.
pub fn warning(thread: &ThreadLimits, size: &Size, method: u32) -> Option<Warning> {
    let others = others(thread, size);
    let first = others.first()?;
    Some(Warning::OtherThread {
        millimetres: size.value,
        inches: size.value,
        other: first.designation.clone(),
        other_pitch: pitch(first, method),
        thread: thread.designation.clone(),
        pitch: pitch(thread, method),
        others: others
            .iter()
            .map(|other| OtherThread::Fits {
                designation: other.designation.clone(),
                lower: Value::exact(other.pitch_diameter.lower),
                upper: Value::exact(other.pitch_diameter.upper),
            })
            .collect(),
    })
}
