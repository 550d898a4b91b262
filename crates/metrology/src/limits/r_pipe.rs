//! Diameters of taper pipe threads R and Rc, and limits of the parallel Rp: ISO 7-1.
//!
//! Basic diameters stand in the gauge plane and are those of ISO 228-1. A place x along the axis from the small end
//! has d2 + (x - gauge length)/16. The gauge length's tolerance moves the gauge plane; a sixteenth of it is what the
//! diameter there may be off; inside it is the tolerance of Rp. Places of Rc are counted like those of the R thread that it takes: its gauge plane is
//! at the open end, and its diameters become smaller inwards.

use super::taper::{Taper, sixteenth};
use super::{Dispute, DisputeReason, DisputedLimit, Identity, Limits, Note, Place, ThreadLimits};
use crate::source::Source;
use crate::thread::r_pipe::{PipeShape, TaperPipeSize};
use crate::thread::{Form, RPipeThread, ThreadError};
use crate::units::{Length, LengthUnit, Pitch};

/// The diameters of an R or Rc thread, or the limits of an Rp thread.
#[expect(clippy::unnecessary_wraps, reason = "every form answers alike")]
pub(crate) fn limits(thread: &RPipeThread) -> Result<ThreadLimits, ThreadError> {
    let size = thread.size;
    let mut result = ThreadLimits::of(
        Identity {
            designation: thread.to_string(),
            form: Form::RPipe,
            kind: thread.shape.kind(),
            unit: LengthUnit::Millimetre,
            nominal: size.major,
            pitch: Pitch::Metric(size.pitch),
            included_angle_deg: 55.0,
            class: String::new(),
        },
        &[Source::Iso7_1, Source::JisB0203],
    );
    if thread.shape == PipeShape::ParallelInternal {
        let around = |basic: Length| {
            Limits::between(
                basic - size.parallel_tolerance,
                basic + size.parallel_tolerance,
            )
        };
        result.major = around(size.major);
        result.pitch_diameter = around(size.pitch_diameter);
        result.minor = around(size.minor);
    } else {
        let small_end = size.pitch_diameter - sixteenth(size.gauge_length);
        let useful_end = small_end + sixteenth(size.useful_length);
        // Inside, the gauge plane has as much as the diameter of the parallel thread: a quarter turn more than outside up
        // to size 2 (JIS B 0203:1999, annexed table 1, c).
        let off = match thread.shape {
            PipeShape::TaperInternal => size.parallel_tolerance,
            _ => sixteenth(size.gauge_length_tolerance),
        };
        result.taper = Some(
            Taper::new(size.major - size.pitch_diameter, size.pitch)
                .with(Place::SmallEnd, Length::ZERO, small_end, None)
                .with(
                    Place::GaugePlane,
                    size.gauge_length,
                    size.pitch_diameter,
                    Some(off),
                )
                .with(Place::UsefulEnd, size.useful_length, useful_end, None),
        );
        result.notes.push(Note::RPipePositions);
    }
    result.hand = thread.hand;
    result.assumed.clone_from(&thread.assumed);
    result.confidence = size.confidence;
    result.disputes = disputes(size, thread.shape, &result);
    result.notes.push(Note::RPipe);
    if thread.shape == PipeShape::TaperInternal {
        result.notes.push(Note::RPipeInternal);
    }
    Ok(result)
}

/// The limits that JIS B 0203 has otherwise: its tolerance of the parallel thread is a sixteenth of rounded turns.
fn disputes(size: &TaperPipeSize, shape: PipeShape, limits: &ThreadLimits) -> Vec<Dispute> {
    let Some(other) = size.disputed_tolerance else {
        return Vec::new();
    };
    let dispute = |limit, taken, other| Dispute {
        limit,
        taken,
        other,
        reason: DisputeReason::NationalForm,
    };
    let more = other - size.parallel_tolerance;
    match shape {
        PipeShape::TaperExternal => Vec::new(),
        PipeShape::TaperInternal => vec![dispute(
            DisputedLimit::PitchTolerance,
            size.parallel_tolerance,
            other,
        )],
        PipeShape::ParallelInternal => [
            (
                limits.major,
                DisputedLimit::MajorMin,
                DisputedLimit::MajorMax,
            ),
            (
                limits.pitch_diameter,
                DisputedLimit::PitchMin,
                DisputedLimit::PitchMax,
            ),
            (
                limits.minor,
                DisputedLimit::MinorMin,
                DisputedLimit::MinorMax,
            ),
        ]
        .into_iter()
        .flat_map(|(of, least, most)| {
            let least = of.lower.map(|lower| dispute(least, lower, lower - more));
            let most = of.upper.map(|upper| dispute(most, upper, upper + more));
            least.into_iter().chain(most)
        })
        .collect(),
    }
}
