//! Limits of size of ISO metric threads: ISO 965-1, on the basic sizes of ISO 724.
//!
//! ```text
//! external   d max = d + es           d min = d max - Td
//!            d2 max = d2 + es         d2 min = d2 max - Td2
//!            d1 max = d1 + es         d3 min = d2 min - 0.616 025 P   (root truncation P/8 from the sharp V)
//! internal   D min = D + EI           D max is not specified
//!            D2 min = D2 + EI         D2 max = D2 min + TD2
//!            D1 min = D1 + EI         D1 max = D1 min + TD1
//! ```
//!
//! Basic pitch and minor diameters are rounded to 0.001 mm first, as ISO 724 prints them; deviations and
//! tolerances are whole micrometres. So the printed limits of ISO 965-2, BS 3643-2 and ASME B1.13M come out
//! exactly; the external minor diameter differs by 0.001 between printings.
//!
//! A pair of diameter and pitch without a row in the table of pitch-diameter tolerances is calculated by the
//! formula of the standard and says so. A grade that the table leaves empty is refused.

use super::metric_tables::{
    Cell, deviation, major_tolerance, minor_tolerance, normal_engagement, pitch_index,
    pitch_tolerance, range_index,
};
use super::{Engagement, Limits, Note, ThreadLimits};
use crate::source::{Confidence, Source};
use crate::thread::metric::{EngagementGroup, MetricClass, Position};
use crate::thread::{Assumed, ClassNotDefined, Fault, Form, Kind, MetricThread, ThreadError};
use crate::units::{Angle, Entered, Length, LengthUnit, Pitch};

/// One micrometre: the last digit of every limit.
const MICROMETRE: Length = Length::from_micrometres(1);

/// 3/4 H, 5/4 H and H - P/4 as billionths of the pitch. [`Source::Iso68_1`]; the last for d3 (ISO 965-1).
const PITCH_HEIGHT: i64 = 649_519_053;
const MINOR_HEIGHT: i64 = 1_082_531_755;
const ROOT_HEIGHT: i64 = 616_025_404;

/// Whether ISO 965-1 has the pitch in its tables at all.
pub(crate) fn is_tabulated_pitch(pitch: Length) -> bool {
    pitch_index(pitch).is_some()
}

/// Whether ISO 965-1 has a deviation of this letter for the pitch.
pub(crate) fn has_deviation(pitch: Length, position: Position) -> bool {
    pitch_index(pitch).is_some_and(|pitch| deviation(pitch, position.letter()).is_some())
}

/// Whether ISO 965-1 defines the grades of a class for this diameter and pitch.
pub(crate) fn defines_grade(diameter: Length, pitch: Length, class: MetricClass) -> bool {
    tolerances(diameter, pitch, class).is_some()
}

/// The group that a length of engagement belongs to, where the table has it.
pub(crate) fn engagement_group(
    diameter: Length,
    pitch: Length,
    length: Length,
) -> Option<EngagementGroup> {
    let (over, up_to) = normal_engagement(range_index(diameter)?, pitch_index(pitch)?)?;
    Some(if length <= over {
        EngagementGroup::Short
    } else if length <= up_to {
        EngagementGroup::Normal
    } else {
        EngagementGroup::Long
    })
}

/// What the tables say for one class.
struct Tolerances {
    deviation: Cell,
    pitch: Cell,
    crest: Cell,
    /// The pitch-diameter tolerance has no table row and was calculated.
    calculated: bool,
}

fn tolerances(diameter: Length, pitch: Length, class: MetricClass) -> Option<Tolerances> {
    let (range, pitch) = (range_index(diameter)?, pitch_index(pitch)?);
    let internal = class.kind() == Kind::Internal;
    let (pitch_cell, calculated) = pitch_tolerance(internal, range, pitch, class.pitch_grade())?;
    let crest = if internal {
        minor_tolerance(pitch, class.crest_grade())?
    } else {
        major_tolerance(pitch, class.crest_grade())?
    };
    Some(Tolerances {
        deviation: deviation(pitch, class.position().letter())?,
        pitch: pitch_cell,
        crest,
        calculated,
    })
}

/// A length less a part of the pitch, to the micrometre.
pub(super) fn less(length: Length, billionths: i64, pitch: Length) -> Result<Length, ThreadError> {
    let scaled = length.tenth_nanometres().checked_mul(1_000_000_000);
    let part = pitch.tenth_nanometres().checked_mul(billionths);
    // In billionths of a tenth of a nanometre; one micrometre is 10^13 of them.
    scaled
        .zip(part)
        .and_then(|(scaled, part)| scaled.checked_sub(part))
        .map(|exact| {
            Length::from_tenth_nanometres(exact)
                .round_to(Length::from_tenth_nanometres(10_000_000_000_000))
                .tenth_nanometres()
                / 1_000_000_000
        })
        .map(Length::from_tenth_nanometres)
        .ok_or_else(|| ThreadError::new(Fault::Range))
}

/// d3 max of the rounded root: d2 max - [H/2 + 2 R (1 - cos(60 deg - arccos(1 - Td2/(4 R))))], R = 0.125 P.
///
/// ISO 965-1 from memory; the same as the ASME expression of Machinery's Handbook, 27th ed., p. 1794.
fn rounded_root(pitch_max: Length, pitch_tolerance: Length, p: Length) -> Option<Length> {
    let (p, tolerance) = (p.mm(), pitch_tolerance.mm());
    let height = libm::sqrt(0.75) * p;
    let radius = 0.125 * p;
    let angle = std::f64::consts::FRAC_PI_3 - libm::acos(1.0 - tolerance / (4.0 * radius));
    let depth = height / 2.0 + 2.0 * radius * (1.0 - libm::cos(angle));
    Length::nearest_mm(pitch_max.mm() - depth)
        .ok()
        .map(|length| length.round_to(MICROMETRE))
}

/// The limits of a metric thread.
pub(crate) fn limits(thread: &MetricThread) -> Result<ThreadLimits, ThreadError> {
    let (d, p, class) = (thread.diameter, thread.pitch, thread.class);
    let found = tolerances(d, p, class).ok_or_else(|| {
        ThreadError::new(Fault::ClassNotDefined {
            class: class.to_string(),
            thread: thread.to_string(),
            why: ClassNotDefined::EmptyCell,
        })
    })?;
    let shift = MICROMETRE.times(found.deviation.micrometres);
    let pitch_tolerance = MICROMETRE.times(found.pitch.micrometres);
    let crest_tolerance = MICROMETRE.times(found.crest.micrometres);
    let basic_pitch = less(d, PITCH_HEIGHT, p)? + shift;
    let basic_minor = less(d, MINOR_HEIGHT, p)? + shift;

    let external = class.kind() == Kind::External;
    let (major, pitch_diameter, minor) = if external {
        let pitch_min = basic_pitch - pitch_tolerance;
        (
            Limits::between(d + shift - crest_tolerance, d + shift),
            Limits::between(pitch_min, basic_pitch),
            Limits::between(less(pitch_min, ROOT_HEIGHT, p)?, basic_minor),
        )
    } else {
        (
            Limits::at_least(d + shift),
            Limits::between(basic_pitch, basic_pitch + pitch_tolerance),
            Limits::between(basic_minor, basic_minor + crest_tolerance),
        )
    };
    let confidence = (found.deviation.confidence)
        .min(found.pitch.confidence)
        .min(found.crest.confidence);
    let mut assumed = thread.assumed.clone();
    if found.calculated {
        assumed.push(Assumed::MetricCalculated);
    }
    Ok(ThreadLimits {
        designation: thread.to_string(),
        form: Form::IsoMetric,
        kind: class.kind(),
        unit: LengthUnit::Millimetre,
        nominal: d,
        pitch: Pitch::Metric(p),
        starts: thread.starts,
        hand: thread.hand,
        included_angle: Angle::from_degrees(60.0),
        class: class.to_string(),
        allowance: if external { -shift } else { shift },
        engagement: Some(engagement(thread)),
        major,
        pitch_diameter,
        minor,
        hot_rolled_major_min: None,
        rounded_root_minor_max: if external {
            rounded_root(basic_pitch, pitch_tolerance, p)
        } else {
            None
        },
        root_radius: Limits::default(),
        taper: None,
        assumed,
        sources: vec![Source::Iso965_1, Source::Iso724],
        confidence: if thread.starts > 1 {
            Confidence::Weak
        } else {
            confidence
        },
        notes: notes(thread),
        disputes: Vec::new(),
    })
}

/// The group stated, or the one of a stated length, or normal.
fn engagement(thread: &MetricThread) -> Engagement {
    if let Some(length) = thread.engagement {
        return Engagement::Length(length);
    }
    let group = thread.group.unwrap_or(EngagementGroup::Normal);
    let lengths = range_index(thread.diameter)
        .zip(pitch_index(thread.pitch))
        .and_then(|(range, pitch)| normal_engagement(range, pitch));
    let (short, normal) = lengths.unzip();
    let (over, up_to) = match group {
        EngagementGroup::Short => (None, short),
        EngagementGroup::Normal => (short, normal),
        EngagementGroup::Long => (normal, None),
    };
    Engagement::Group { group, over, up_to }
}

fn notes(thread: &MetricThread) -> Vec<Note> {
    let mut notes = Vec::new();
    if thread.class.kind() == Kind::External {
        notes.push(Note::MetricMinor);
    }
    if let Some(length) = thread.engagement {
        let group = engagement_group(thread.diameter, thread.pitch, length);
        if let Some(group) = group {
            notes.push(Note::MetricGroup {
                length: Entered::of(length, LengthUnit::Millimetre),
                group: group.letter(),
            });
        }
    }
    if thread.starts > 1 {
        notes.push(Note::SeveralStarts);
    }
    notes
}
