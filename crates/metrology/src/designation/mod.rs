//! From the words on a drawing to a thread.
//!
//! [`parse`] reads a designation as people write it and gives a [`Thread`], or one [`ThreadError`] that points
//! at the place and offers the nearest real thread. `parse(text)?.limits()?` gives the limits of size.
//!
//! One file or folder per form: the thread as read and its printing in the notation of the standard, the reader in
//! the order of the elements, the check against the tables. A new form is one more module, one [`Form`], one
//! [`Thread`] variant and a line in `recognise.rs`; a form that begins with a size in inches is told apart there by
//! its word (`ACME`, `BSW`) before Unified is taken. What all forms share is in `tail.rs` (hand, starts, engagement,
//! the words `external` and `internal`) and `text.rs` (the many ways to write one sign); what those with a size in
//! inches share, in `inch.rs`.
//!
//! Rules for what people leave open:
//! * neither class nor word tells external from internal: external is taken and stated;
//! * a fit (`M10-6H/6g`) names two threads: one is taken if the word `external` or `internal` follows, else the
//!   fit is refused with both names;
//! * capital and small position letters are taken as written (`M10X1.5-6G` is internal).

pub mod acme;
mod assumed;
pub mod ba;
mod error;
mod fault;
pub mod g_pipe;
mod inch;
mod known_names;
pub mod metric;
pub mod mj;
pub mod npt;
pub mod r_pipe;
mod recognise;
mod sizes;
mod tail;
mod text;
pub mod trapezoidal;
pub mod unified;
pub mod unj;
pub mod whitworth;

use std::fmt;

pub use acme::AcmeThread;
pub use assumed::{Assumed, CLASSES_TAKEN};
pub use ba::BaThread;
pub use error::ThreadError;
pub use fault::{
    Begins, ClassNotDefined, Covered, Element, EngagementFault, Fault, GivenPitch, KnownClasses,
    KnownName, KnownPitches, KnownSizes, LeadMismatch, MissingPitch, SeriesOf, StatedDiameter,
    StatedLimit, UnitOf,
};
pub use g_pipe::GPipeThread;
pub use metric::MetricThread;
pub use mj::MjThread;
pub use npt::NptThread;
pub use r_pipe::RPipeThread;
pub use sizes::{StandardThread, standard_threads};
pub use trapezoidal::TrapezoidalThread;
pub use unified::UnifiedThread;
pub use unj::UnjThread;
pub use whitworth::WhitworthThread;

use crate::limits::ThreadLimits;
use recognise::recognise;
use text::{Cursor, Text};

/// A thread form with its own rules.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[non_exhaustive]
pub enum Form {
    /// Unified inch threads, UN and UNR.
    Unified,
    /// Unified with a mandatory root radius.
    Unj,
    /// ISO general purpose metric threads, M.
    IsoMetric,
    /// Metric with a mandatory root radius.
    Mj,
    /// ISO metric trapezoidal threads, Tr.
    Trapezoidal,
    /// BSW, BSF and Whit.S.
    Whitworth,
    /// Parallel pipe threads, G.
    GPipe,
    /// Taper pipe threads of ISO 7-1: R, Rc, Rp.
    RPipe,
    /// BA.
    Ba,
    /// Acme, general purpose and centralizing.
    Acme,
    /// Stub Acme.
    StubAcme,
    /// American taper pipe threads, NPT and NPTF.
    Npt,
}

crate::codes! {
    impl Form "thread-form" {
        Unified "unified",
        Unj "unj",
        IsoMetric "iso-metric",
        Mj "mj",
        Trapezoidal "trapezoidal",
        Whitworth "whitworth",
        GPipe "g-pipe",
        RPipe "r-pipe",
        Ba "ba",
        Acme "acme",
        StubAcme "stub-acme",
        Npt "npt",
    }
}

/// The thread of a bolt or of a nut.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// On a bolt.
    External,
    /// In a nut.
    Internal,
}

crate::codes! {
    impl Kind "thread-kind" { External "external", Internal "internal" }
}

/// Which way a thread winds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Hand {
    /// Clockwise away from the viewer; not written.
    #[default]
    Right,
    /// Written `LH`.
    Left,
}

crate::codes! {
    impl Hand "thread-hand" { Right "right", Left "left" }
}

/// A thread as a designation names it.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Thread {
    /// Unified inch.
    Unified(UnifiedThread),
    /// UNJ.
    Unj(UnjThread),
    /// ISO metric.
    IsoMetric(MetricThread),
    /// MJ.
    Mj(MjThread),
    /// Trapezoidal.
    Trapezoidal(TrapezoidalThread),
    /// Whitworth.
    Whitworth(WhitworthThread),
    /// Parallel pipe.
    GPipe(GPipeThread),
    /// Taper pipe of ISO 7-1.
    RPipe(RPipeThread),
    /// BA.
    Ba(BaThread),
    /// Acme and Stub Acme.
    Acme(AcmeThread),
    /// American taper pipe.
    Npt(NptThread),
}

/// Reads a thread designation, in any of the notations that people use.
///
/// ```
/// use metrology::designation::parse;
///
/// assert_eq!(parse("1/4 - 20 unc2a").unwrap().to_string(), "1/4-20 UNC-2A");
/// assert_eq!(parse("m10\u{d7}1,5-6g").unwrap().to_string(), "M10x1.5-6g");
///
/// let error = parse("M10x1.6-6g").unwrap_err();
/// assert_eq!(error.kind(), "no-such-pitch");
/// assert_eq!(error.at(), Some(4..7));
/// assert_eq!(error.suggestions()[0], "M10x1.5-6g");
/// ```
pub fn parse(text: &str) -> Result<Thread, ThreadError> {
    read(text).map_err(|error| error.keep(|suggestion| read(suggestion).is_ok()))
}

/// Reads a designation; suggestions in the error are not checked yet.
fn read(text: &str) -> Result<Thread, ThreadError> {
    let plain = Text::new(text)?;
    let cursor = Cursor::new(&plain);
    match recognise(cursor)? {
        Form::Unified => match unified::read(cursor) {
            Ok(thread) if thread.may_be_metric() => missing_m(text, cursor).map_or(Ok(thread), Err),
            Ok(thread) => Ok(thread),
            Err(error) => Err(missing_m(text, cursor).unwrap_or(error)),
        }
        .map(Thread::Unified),
        Form::IsoMetric => metric::read(cursor).map(Thread::IsoMetric),
        Form::Unj => unj::read(&plain, cursor).map(Thread::Unj),
        Form::Mj => mj::read(&plain).map(Thread::Mj),
        Form::Trapezoidal => trapezoidal::read(cursor).map(Thread::Trapezoidal),
        Form::Whitworth => whitworth::read(cursor).map(Thread::Whitworth),
        Form::GPipe => g_pipe::read(cursor).map(Thread::GPipe),
        Form::RPipe => r_pipe::read(cursor).map(Thread::RPipe),
        Form::Ba => ba::read(cursor).map(Thread::Ba),
        Form::Acme | Form::StubAcme => acme::read(cursor).map(Thread::Acme),
        Form::Npt => npt::read(cursor).map(Thread::Npt),
    }
}

/// The error for `10x1.5-6g`, which is a metric thread that lost its M.
fn missing_m(text: &str, cursor: Cursor<'_>) -> Option<ThreadError> {
    let metric = format!("M{}", text.trim());
    let plain = Text::new(&metric).ok()?;
    metric::read(Cursor::new(&plain)).ok()?;
    let size = cursor.next_piece().typed(0).to_owned();
    let error = cursor.error_here(Fault::MissingM { given: size });
    Some(error.suggest([metric]))
}

impl Thread {
    /// The form.
    pub const fn form(&self) -> Form {
        match self {
            Self::Unified(_) => Form::Unified,
            Self::Unj(_) => Form::Unj,
            Self::IsoMetric(_) => Form::IsoMetric,
            Self::Mj(_) => Form::Mj,
            Self::Trapezoidal(_) => Form::Trapezoidal,
            Self::Whitworth(_) => Form::Whitworth,
            Self::GPipe(_) => Form::GPipe,
            Self::RPipe(_) => Form::RPipe,
            Self::Ba(_) => Form::Ba,
            Self::Acme(thread) if thread.stub => Form::StubAcme,
            Self::Acme(_) => Form::Acme,
            Self::Npt(_) => Form::Npt,
        }
    }

    /// External or internal.
    pub const fn kind(&self) -> Kind {
        match self {
            Self::Unified(thread) => thread.kind,
            Self::Unj(thread) => thread.base.kind,
            Self::IsoMetric(thread) => thread.class.kind(),
            Self::Mj(thread) => thread.base.class.kind(),
            Self::Trapezoidal(thread) => thread.class.kind(),
            Self::Whitworth(thread) => thread.kind,
            Self::GPipe(thread) => thread.kind(),
            Self::RPipe(thread) => thread.shape.kind(),
            Self::Ba(thread) => thread.kind(),
            Self::Acme(thread) => thread.kind,
            Self::Npt(thread) => thread.kind,
        }
    }

    /// The limits of size; of a taper thread its diameters by axial position.
    pub fn limits(&self) -> Result<ThreadLimits, ThreadError> {
        use crate::limits;
        match self {
            Self::Unified(thread) => limits::unified::limits(thread),
            Self::Unj(thread) => limits::unj::limits(thread),
            Self::IsoMetric(thread) => limits::metric::limits(thread),
            Self::Mj(thread) => limits::mj::limits(thread),
            Self::Trapezoidal(thread) => limits::trapezoidal::limits(thread),
            Self::Whitworth(thread) => limits::whitworth::limits(thread),
            Self::GPipe(thread) => limits::g_pipe::limits(thread),
            Self::RPipe(thread) => limits::r_pipe::limits(thread),
            Self::Ba(thread) => limits::ba::limits(thread),
            Self::Acme(thread) if thread.stub => limits::stub_acme::limits(thread),
            Self::Acme(thread) => limits::acme::limits(thread),
            Self::Npt(thread) => limits::npt::limits(thread),
        }
    }
}

/// In the notation of the standard.
impl fmt::Display for Thread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unified(thread) => thread.fmt(f),
            Self::Unj(thread) => thread.fmt(f),
            Self::IsoMetric(thread) => thread.fmt(f),
            Self::Mj(thread) => thread.fmt(f),
            Self::Trapezoidal(thread) => thread.fmt(f),
            Self::Whitworth(thread) => thread.fmt(f),
            Self::GPipe(thread) => thread.fmt(f),
            Self::RPipe(thread) => thread.fmt(f),
            Self::Ba(thread) => thread.fmt(f),
            Self::Acme(thread) => thread.fmt(f),
            Self::Npt(thread) => thread.fmt(f),
        }
    }
}
