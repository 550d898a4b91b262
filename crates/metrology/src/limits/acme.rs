//! Limits of size of Acme threads: ASME B1.5, general purpose (G) and centralizing (C).
//!
//! Symbols: D basic major diameter, n threads per inch, P = 1/n, E = D - P/2, K = D - P; inches.
//!
//! ```text
//!                          2            3             4
//! allowance on E      0.008 D^(1/2)  0.006 D^(1/2)  0.004 D^(1/2)
//! tolerance on E  a   0.030          0.014          0.010           a P^(1/2) + b D^(1/2)
//!                 b   0.006          0.0028         0.002
//!
//! clearance c = 0.020 at 10 per inch and coarser, else 0.010; crest tolerance t = 0.05 P, at least 0.005
//!
//!            general purpose                centralizing
//! external   D .. D - t                     D .. D - (0.0035, 0.0015, 0.0010) D^(1/2)
//!            minor max K - c, min 1.5 x tolerance on E below, both
//! internal   D + c .. D + 2c                D + 0.0010 D^(1/2), + (0.0035, 0.0035, 0.0020) D^(1/2)
//!            minor K .. K + t               D - 0.9 P, + t
//! ```
//!
//! Rounding: E and the allowance to 4 decimals, then subtracted; tolerances to 4; 1.5 times the *unrounded*
//! tolerance for the minor diameter. This gives every cell of a published 2G table of the standard series. 2G
//! external agrees with that table; 3G, 4G, the internal diameters and the centralizing major are from memory.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::inch::{decimal, inches, printed, to};
use super::{Engagement, Identity, Limits, Note, ThreadLimits};
use crate::source::{Confidence, Source};
use crate::thread::acme::sizes;
use crate::thread::{AcmeThread, Assumed, Form, Kind, ThreadError};
use crate::units::{Angle, LengthUnit, Pitch, ThreadsPerInch};

/// The numbers that Acme and Stub Acme share.
pub(super) struct Basic {
    pub d: Decimal,
    pub p: Decimal,
    pub root_d: Decimal,
    pub root_p: Decimal,
    /// 0.020 at 10 threads per inch and coarser, else 0.010.
    pub clearance: Decimal,
    /// 0.05 P, at least 0.005.
    pub crest_tolerance: Decimal,
}

impl Basic {
    pub fn of(thread: &AcmeThread) -> Self {
        let d = Decimal::new(i64::from(thread.diameter), 4);
        let p = thread.count.pitch_inch();
        let root = |value: Decimal| decimal(value.to_f64().unwrap_or(0.0).sqrt());
        let coarse = thread.count <= ThreadsPerInch::whole(10);
        Self {
            d,
            p,
            root_d: root(d),
            root_p: root(p),
            clearance: printed(if coarse { 20 } else { 10 }, 3),
            crest_tolerance: (printed(5, 2) * p).max(printed(5, 3)),
        }
    }

    /// The allowance on the pitch diameter of a class 2, 3 or 4. 2: a published table; 3 and 4: [`Source::Memory`].
    pub fn allowance(&self, digit: u8) -> Decimal {
        let factor = match digit {
            2 => 8,
            3 => 6,
            _ => 4,
        };
        to(4, printed(factor, 3) * self.root_d)
    }

    /// The tolerance on the pitch diameter, unrounded.
    pub fn tolerance(&self, digit: u8) -> Decimal {
        let (of_p, of_d) = match digit {
            2 => (printed(30, 3), printed(6, 3)),
            3 => (printed(14, 3), printed(28, 4)),
            _ => (printed(10, 3), printed(2, 3)),
        };
        of_p * self.root_p + of_d * self.root_d
    }
}

/// Limits below an upper one.
pub(super) fn below(upper: Decimal, tolerance: Decimal) -> Result<Limits, ThreadError> {
    Ok(Limits::between(
        inches(to(4, upper - tolerance))?,
        inches(to(4, upper))?,
    ))
}

/// Limits above a lower one.
pub(super) fn above(lower: Decimal, tolerance: Decimal) -> Result<Limits, ThreadError> {
    Ok(Limits::between(
        inches(to(4, lower))?,
        inches(to(4, lower + tolerance))?,
    ))
}

/// What Acme and Stub Acme answer alike.
pub(super) fn common(
    thread: &AcmeThread,
    form: Form,
    source: Source,
) -> Result<ThreadLimits, ThreadError> {
    let mut result = ThreadLimits::of(
        Identity {
            designation: thread.to_string(),
            form,
            kind: thread.kind,
            unit: LengthUnit::Inch,
            nominal: inches(Decimal::new(i64::from(thread.diameter), 4))?,
            pitch: Pitch::PerInch(thread.count),
            included_angle_deg: 29.0,
            class: thread.class.to_string(),
        },
        &[source],
    );
    result.included_angle = Angle::from_degrees(29.0);
    result.starts = thread.starts;
    result.hand = thread.hand;
    result.engagement = thread.engagement.map(Engagement::Length);
    result.assumed.clone_from(&thread.assumed);
    if thread.engagement.is_some() {
        result.assumed.push(Assumed::AcmeEngagement);
    }
    if thread.starts > 1 {
        result.notes.push(Note::SeveralStarts);
    }
    Ok(result)
}

/// The limits of an Acme thread.
pub(crate) fn limits(thread: &AcmeThread) -> Result<ThreadLimits, ThreadError> {
    let basic = Basic::of(thread);
    let (d, p) = (basic.d, basic.p);
    let class = thread.class;
    let tolerance = basic.tolerance(class.digit);
    let e = to(4, d - p / Decimal::TWO);
    let mut result = common(thread, Form::Acme, Source::AsmeB1_5)?;
    if thread.kind == Kind::External {
        let allowance = basic.allowance(class.digit);
        let major_tolerance = if class.centralizing {
            let factor = match class.digit {
                2 => 35,
                3 => 15,
                _ => 10,
            };
            printed(factor, 4) * basic.root_d
        } else {
            basic.crest_tolerance
        };
        result.allowance = inches(allowance)?;
        result.major = below(d, major_tolerance)?;
        result.pitch_diameter = below(e - allowance, to(4, tolerance))?;
        result.minor = below(to(4, d - p) - basic.clearance, printed(15, 1) * tolerance)?;
    } else if class.centralizing {
        let factor = if class.digit == 4 { 20 } else { 35 };
        let lower = to(4, d + printed(10, 4) * basic.root_d);
        result.major = above(lower, to(4, printed(factor, 4) * basic.root_d))?;
        result.pitch_diameter = above(e, to(4, tolerance))?;
        result.minor = above(to(4, d - printed(9, 1) * p), basic.crest_tolerance)?;
    } else {
        result.major = above(d + basic.clearance, basic.clearance)?;
        result.pitch_diameter = above(e, to(4, tolerance))?;
        result.minor = above(to(4, d - p), basic.crest_tolerance)?;
    }
    let standard = sizes()
        .iter()
        .find(|size| size.diameter == thread.diameter && size.count == thread.count);
    let seen = class.digit == 2
        && !class.centralizing
        && thread.kind == Kind::External
        && thread.starts == 1;
    result.confidence = match standard {
        Some(size) if seen => size.confidence.max(Confidence::FormulaBacked),
        _ => Confidence::Weak,
    };
    result.sources.push(Source::HandbookH28);
    result.notes.extend(notes(thread, seen));
    Ok(result)
}

fn notes(thread: &AcmeThread, seen: bool) -> Vec<Note> {
    let mut notes = Vec::new();
    if seen {
        notes.push(Note::AcmeTable);
    } else {
        notes.push(Note::AcmeMemory);
    }
    if thread.class.centralizing {
        notes.push(Note::AcmeCentralizing);
    }
    notes
}
