//! Diameters of American taper pipe threads: ASME B1.20.1.
//!
//! ```text
//! E0 = D - (0.05 D + 1.1) p     pitch diameter at the small end; D outside diameter of the pipe
//! E1 = E0 + L1/16               at the hand-tight plane; L1 from the table
//! E2 = E0 + L2/16               at the end of the effective thread; L2 = (0.80 D + 6.8) p
//! h  = 0.8 p                    height of the thread
//! ```
//!
//! The table's values are answered for its own places (two of its cells differ from the sums by 0.00001 in). Product
//! gauging allows one turn either way, so the pitch diameter in the hand-tight plane may be off by p/16.

use rust_decimal::Decimal;

use super::inch::{inches, printed, to};
use super::taper::Taper;
use super::{Identity, Note, Place, ThreadLimits};
use crate::source::{Confidence, Source};
use crate::thread::{Form, Kind, NptThread, ThreadError};
use crate::units::{Length, LengthUnit, Pitch};

/// The diameters of an NPT or NPTF thread.
pub(crate) fn limits(thread: &NptThread) -> Result<ThreadLimits, ThreadError> {
    let size = thread.size;
    let pitch = size.count.pitch_inch();
    let mut result = ThreadLimits::of(
        Identity {
            designation: thread.to_string(),
            form: Form::Npt,
            kind: thread.kind,
            unit: LengthUnit::Inch,
            nominal: size.pipe,
            pitch: Pitch::PerInch(size.count),
            included_angle_deg: 60.0,
            class: String::new(),
        },
        &[Source::AsmeB1_20_1],
    );
    let turn = inches(to(5, pitch / Decimal::from(16)))?;
    result.taper = Some(
        Taper::new(inches(to(5, printed(8, 1) * pitch))?, inches(pitch)?)
            .with(Place::SmallEnd, Length::ZERO, size.e0, None)
            .with(Place::HandTight, size.l1, size.e1, Some(turn))
            .with(Place::EffectiveEnd, size.l2, size.e2, None),
    );
    result.hand = thread.hand;
    result.assumed.clone_from(&thread.assumed);
    result.confidence = if thread.dryseal {
        Confidence::Weak
    } else {
        Confidence::Solid
    };
    result.notes = vec![Note::Npt];
    if thread.dryseal {
        result.notes.push(Note::Nptf);
    }
    if thread.kind == Kind::Internal {
        result.notes.push(Note::NptInternal);
    }
    Ok(result)
}
