//! Limits of size of Stub Acme threads: ASME B1.8.
//!
//! Height 0.3 P: E = D - 0.3 P, K = D - 0.6 P. Allowance and tolerance on E as Acme 2G, the crest diameters with the
//! clearances of Acme; the minor tolerance of the screw is 1 times that on E. All from memory and unverified: the one
//! published row at hand (5/8-4) agrees in two of four limits only.

use rust_decimal::Decimal;

use super::acme::{Basic, above, below, common};
use super::inch::{inches, printed, to};
use super::{Note, ThreadLimits};
use crate::source::Source;
use crate::thread::{AcmeThread, Form, Kind, ThreadError};

/// The limits of a Stub Acme thread.
pub(crate) fn limits(thread: &AcmeThread) -> Result<ThreadLimits, ThreadError> {
    let basic = Basic::of(thread);
    let tolerance = basic.tolerance(2);
    let height = printed(3, 1) * basic.p;
    let e = to(4, basic.d - height);
    let k = to(4, basic.d - Decimal::TWO * height);
    let mut result = common(thread, Form::StubAcme, Source::AsmeB1_8)?;
    if thread.kind == Kind::External {
        let allowance = basic.allowance(2);
        result.allowance = inches(allowance)?;
        result.major = below(basic.d, basic.crest_tolerance)?;
        result.pitch_diameter = below(e - allowance, to(4, tolerance))?;
        result.minor = below(k - basic.clearance, tolerance)?;
    } else {
        result.major = above(basic.d + basic.clearance, basic.clearance)?;
        result.pitch_diameter = above(e, to(4, tolerance))?;
        result.minor = above(k, basic.crest_tolerance)?;
    }
    result.notes.push(Note::StubAcme);
    Ok(result)
}
