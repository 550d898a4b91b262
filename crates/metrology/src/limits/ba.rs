//! Limits of size of BA threads: BS 93.
//!
//! ```text
//! bolt             major     effective          minor             allowance
//! close, 0 to 10   0.15 p    0.08 p + 0.020     0.16 p + 0.040    none
//! normal, 0 to 10  0.20 p    0.10 p + 0.025     0.20 p + 0.050    0.025
//! normal, 11 up    0.25 p    0.10 p + 0.025     0.20 p + 0.050    none
//! nut              none      0.12 p + 0.030     0.375 p
//! ```
//!
//! Millimetres; Machinery's Handbook, 31st ed., p. 2115, and BS 93:2008, annex B, as a page quotes it,
//! agree (its sign of the nut's effective tolerance is read as plus). Each limit is rounded to
//! 0.001 mm, ties to even; how BS 93 rounds in its tables was not seen, so that a limit half way between two is disputed.

use super::{Dispute, DisputeReason, DisputedLimit, Identity, Limits, Note, ThreadLimits};
use crate::source::{Confidence, Source};
use crate::thread::ba::BaClass;
use crate::thread::{BaThread, Form, Kind, ThreadError};
use crate::units::{Length, LengthUnit, Pitch};

const MICROMETRE: Length = Length::from_micrometres(1);

/// So many thousandths of the pitch, and micrometres beside it.
type Rule = (i64, i32);

/// The limits of a BA thread.
#[expect(clippy::unnecessary_wraps, reason = "every form answers alike")]
pub(crate) fn limits(thread: &BaThread) -> Result<ThreadLimits, ThreadError> {
    let size = thread.size;
    let mut result = ThreadLimits::of(
        Identity {
            designation: thread.to_string(),
            form: Form::Ba,
            kind: thread.kind(),
            unit: LengthUnit::Millimetre,
            nominal: size.major,
            pitch: Pitch::Metric(size.pitch),
            included_angle_deg: 47.5,
            class: thread.class.map_or("", BaClass::name).to_owned(),
        },
        &[Source::Bs93, Source::Handbook31],
    );
    let tolerance = |(thousandths, micrometres): Rule| {
        let part =
            Length::from_tenth_nanometres(size.pitch.tenth_nanometres() * thousandths / 1000);
        part + Length::from_micrometres(micrometres)
    };
    let mut disputes = Vec::new();
    let mut rounded = |exact: Length, limit| {
        let taken = exact.round_to(MICROMETRE);
        if (exact - taken).abs().times(2) == MICROMETRE {
            disputes.push(Dispute {
                limit,
                taken,
                other: exact + exact - taken,
                reason: DisputeReason::HalfWay,
            });
        }
        taken
    };
    let mut below = |upper: Length, rule, limit| {
        Limits::between(rounded(upper - tolerance(rule), limit), upper)
    };
    if let Some(class) = thread.class {
        let (rules, allowance): ([Rule; 3], i32) = match (class, size.number) {
            (BaClass::Close, _) => ([(150, 0), (80, 20), (160, 40)], 0),
            (BaClass::Normal, ..=10) => ([(200, 0), (100, 25), (200, 50)], 25),
            (BaClass::Normal, _) => ([(250, 0), (100, 25), (200, 50)], 0),
        };
        let allowance = Length::from_micrometres(allowance);
        let [major, pitch, minor] = rules;
        result.allowance = allowance;
        result.major = below(size.major - allowance, major, DisputedLimit::MajorMin);
        let upper = size.pitch_diameter - allowance;
        result.pitch_diameter = below(upper, pitch, DisputedLimit::PitchMin);
        result.minor = below(size.minor - allowance, minor, DisputedLimit::MinorMin);
    } else {
        let mut above = |lower: Length, rule, limit| {
            Limits::between(lower, rounded(lower + tolerance(rule), limit))
        };
        result.major = Limits::at_least(size.major);
        let lower = size.pitch_diameter;
        result.pitch_diameter = above(lower, (120, 30), DisputedLimit::PitchMax);
        result.minor = above(size.minor, (375, 0), DisputedLimit::MinorMax);
    }
    result.disputes = disputes;
    result.hand = thread.hand;
    result.assumed.clone_from(&thread.assumed);
    result.confidence = Confidence::FormulaBacked;
    result.notes = vec![Note::Ba];
    if thread.kind() == Kind::External && result.allowance > Length::ZERO {
        result.notes.push(Note::BaAllowance);
    }
    Ok(result)
}
