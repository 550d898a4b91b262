//! From the words on a drawing to a thread.
//!
//! [`parse`] reads a designation as people write it and gives a [`Thread`], or one [`ThreadError`] that points
//! at the place and offers the nearest real thread. `parse(text)?.limits()?` gives the limits of size.
//!
//! One folder per form, `unified` and `metric`: the thread as read and its printing (`mod.rs`), the reader in the
//! order of the elements (`read.rs`), the check against the tables (`build.rs`), the classes (`class.rs`). A new
//! form is one more module, one [`Form`], one [`Thread`] variant and a line in `recognise`; a form that begins with
//! a size in inches as well is told apart there by its word (`ACME`, `BSW`) before Unified is taken. What all forms
//! share is in `tail.rs` (hand, starts, engagement, the words `external` and `internal`) and `text.rs` (the many
//! ways to write one sign).
//!
//! Rules for what people leave open:
//! * neither class nor word tells external from internal: external is taken and stated;
//! * a fit (`M10-6H/6g`) names two threads: one is taken if the word `external` or `internal` follows, else the
//!   fit is refused with both names;
//! * capital and small position letters are taken as written (`M10X1.5-6G` is internal).

mod error;
pub mod metric;
mod sizes;
mod tail;
mod text;
pub mod unified;

use std::fmt;

pub use error::{Fault, ThreadError};
pub use metric::MetricThread;
pub use sizes::{StandardThread, standard_threads};
pub use unified::UnifiedThread;

use crate::limits::ThreadLimits;
use text::{Cursor, Text};

/// A thread form with its own rules.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[non_exhaustive]
pub enum Form {
    /// Unified inch threads, UN and UNR.
    Unified,
    /// ISO general purpose metric threads, M.
    IsoMetric,
}

impl Form {
    /// The name that programs read.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Unified => "unified",
            Self::IsoMetric => "iso-metric",
        }
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

impl Kind {
    /// The name that programs and people read.
    pub const fn key(self) -> &'static str {
        match self {
            Self::External => "external",
            Self::Internal => "internal",
        }
    }
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

impl Hand {
    /// The name that programs and people read.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Right => "right",
            Self::Left => "left",
        }
    }
}

/// A thread as a designation names it.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Thread {
    /// Unified inch.
    Unified(UnifiedThread),
    /// ISO metric.
    IsoMetric(MetricThread),
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
    }
}

/// The error for `10x1.5-6g`, which is a metric thread that lost its M.
fn missing_m(text: &str, cursor: Cursor<'_>) -> Option<ThreadError> {
    let metric = format!("M{}", text.trim());
    let plain = Text::new(&metric).ok()?;
    metric::read(Cursor::new(&plain)).ok()?;
    let size = cursor.next_piece().typed(0).to_owned();
    let error = cursor.error_here(Fault::MissingM(size));
    Some(error.suggest([metric]))
}

/// Which form a designation is of, by its beginning.
fn recognise(cursor: Cursor<'_>) -> Result<Form, ThreadError> {
    let mut next = cursor;
    let word = cursor.word();
    next.advance(word.len());
    next.skip_spaces();
    if word.eq_ignore_ascii_case("m")
        && (next.is_number() || next.is_at_end() || next.peek() == b'-')
    {
        return Ok(Form::IsoMetric);
    }
    if unified::begins(cursor) {
        return Ok(Form::Unified);
    }
    let mut piece = cursor.next_piece();
    if word.eq_ignore_ascii_case("m") {
        piece = next.next_piece();
    }
    Err(cursor.error_here(Fault::UnknownForm(piece.typed(0).to_owned())))
}

impl Thread {
    /// The form.
    pub const fn form(&self) -> Form {
        match self {
            Self::Unified(_) => Form::Unified,
            Self::IsoMetric(_) => Form::IsoMetric,
        }
    }

    /// External or internal.
    pub const fn kind(&self) -> Kind {
        match self {
            Self::Unified(thread) => thread.kind,
            Self::IsoMetric(thread) => thread.class.kind(),
        }
    }

    /// The limits of size.
    pub fn limits(&self) -> Result<ThreadLimits, ThreadError> {
        match self {
            Self::Unified(thread) => crate::limits::unified::limits(thread),
            Self::IsoMetric(thread) => crate::limits::metric::limits(thread),
        }
    }
}

/// In the notation of the standard.
impl fmt::Display for Thread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unified(thread) => thread.fmt(f),
            Self::IsoMetric(thread) => thread.fmt(f),
        }
    }
}
