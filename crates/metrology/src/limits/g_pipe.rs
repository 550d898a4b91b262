//! Limits of size of parallel pipe threads: ISO 228-1.
//!
//! ```text
//! external   d 0/-2T     d2 class A 0/-T, class B 0/-2T     d1 max basic
//! internal   D min basic D2 0/+T                            D1 0/+T1
//! ```
//!
//! Whitworth form with P = 25.4/n rounded to 0.001 mm first; D2 = D - 0.640 327 P, D1 = D - 2 x 0.640 327 P.

use super::{Identity, Limits, Note, ThreadLimits};
use crate::source::Source;
use crate::thread::g_pipe::GClass;
use crate::thread::{Form, GPipeThread, ThreadError};
use crate::units::{LengthUnit, Pitch};

/// The limits of a parallel pipe thread.
#[expect(clippy::unnecessary_wraps, reason = "every form answers alike")]
pub(crate) fn limits(thread: &GPipeThread) -> Result<ThreadLimits, ThreadError> {
    let size = thread.size;
    let mut result = ThreadLimits::of(
        Identity {
            designation: thread.to_string(),
            form: Form::GPipe,
            kind: thread.kind(),
            unit: LengthUnit::Millimetre,
            nominal: size.major,
            pitch: Pitch::Metric(size.pitch),
            included_angle_deg: 55.0,
            class: thread.class.map_or("", GClass::name).to_owned(),
        },
        &[Source::Iso228_1],
    );
    let (pitch, t) = (size.pitch_diameter, size.pitch_tolerance);
    if let Some(class) = thread.class {
        let of_pitch = match class {
            GClass::A => t,
            GClass::B => t.times(2),
        };
        result.major = Limits::between(size.major - t.times(2), size.major);
        result.pitch_diameter = Limits::between(pitch - of_pitch, pitch);
        result.minor = Limits::at_most(size.minor);
    } else {
        result.major = Limits::at_least(size.major);
        result.pitch_diameter = Limits::between(pitch, pitch + t);
        result.minor = Limits::between(size.minor, size.minor + size.minor_tolerance);
    }
    result.hand = thread.hand;
    result.assumed.clone_from(&thread.assumed);
    result.notes = vec![Note::GPipe, Note::GPipeSize];
    Ok(result)
}
