//! From the words on a drawing to a thread.
//!
//! [`parse`] reads a designation as people write it and gives a [`Thread`], or one [`ThreadError`] that points
//! at the place and offers the nearest real thread. `parse(text)?.limits()?` gives the limits of size.
//!
//! One file or folder per form: the reader in the order of the elements, the check against the tables. (The thread itself,
//! and its printing in the notation of the standard, is in [`thread`](crate::thread).) A new form is one more module here
//! and there, one [`Form`], one [`Thread`] variant and a line in `recognise.rs`; a form that begins with a size in inches is
//! told apart there by its word (`ACME`, `BSW`) before Unified is taken. What all forms share is in `tail.rs` (hand, starts, engagement,
//! the words `external` and `internal`) and `text.rs` (the many ways to write one sign); what those with a size in
//! inches share, in `inch.rs`.
//!
//! Rules for what people leave open:
//! * neither class nor word tells external from internal: external is taken and stated;
//! * a fit (`M10-6H/6g`) names two threads: one is taken if the word `external` or `internal` follows, else the
//!   fit is refused with both names;
//! * capital and small position letters are taken as written (`M10X1.5-6G` is internal).

mod acme;
mod ba;
mod fraction;
mod g_pipe;
mod inch;
mod known_names;
mod metric;
mod mj;
mod npt;
mod r_pipe;
mod recognise;
mod slips;
mod tail;
mod text;
mod trapezoidal;
mod unified;
mod unj;
mod whitworth;

use crate::thread::unified::Series;
pub use crate::thread::{
    AcmeThread, Assumed, BaThread, Begins, CLASSES_TAKEN, ClassNotDefined, Covered, Element,
    EngagementFault, Fault, Form, GPipeThread, GivenPitch, Hand, Kind, KnownClasses, KnownName,
    KnownPitches, KnownSizes, LeadMismatch, MetricThread, MissingPitch, MjThread, NptThread,
    PartOfScrew, RPipeThread, SeriesOf, StandardThread, StatedDiameter, StatedLimit, Thread,
    ThreadError, TrapezoidalThread, UnifiedThread, UnitOf, UnjThread, WhitworthThread,
    standard_threads,
};
use recognise::recognise;
pub use text::looks_like;
use text::{Cursor, Text};

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
    read(text)
        .map(|thread| with_doubt(text, thread))
        .map_err(|error| slips::suggest(text, error))
}

/// Reads a designation that stands in a record: what was read when it was recorded is read still, although [`parse`] refuses
/// it now, as the pitch of `M10x1.S` and the number 10 of `10/32 UNF`.
pub(crate) fn parse_recorded(text: &str) -> Result<Thread, ThreadError> {
    let recorded = Text::on_record(text).and_then(|plain| of_text(text, &plain));
    recorded.map_or_else(|_| parse(text), |thread| Ok(with_doubt(text, thread)))
}

/// The thread, with what else may have been meant.
fn with_doubt(text: &str, mut thread: Thread) -> Thread {
    if let Some(meant) = slips::with_slash_meant(text, &thread)
        && let Some(assumed) = thread.assumed_mut()
    {
        assumed.push(Assumed::PerhapsFraction {
            given: text.trim().to_owned(),
            meant,
        });
    }
    if let Some(others) = also_listed(text, &thread)
        && let Some(assumed) = thread.assumed_mut()
    {
        assumed.push(Assumed::AlsoListed {
            given: text.trim().to_owned(),
            others,
        });
    }
    thread
}

/// The pipe and Whitworth threads of a size and count that no word names, where they are no listed Unified thread.
fn also_listed(text: &str, thread: &Thread) -> Option<Vec<String>> {
    let is_special = matches!(thread, Thread::Unified(of) if of.series == Series::Special);
    if !is_special || text.contains(char::is_alphabetic) {
        return None;
    }
    let forms = ["NPT", "BSPP", "BSPT", "BSW", "BSF"];
    let read = forms.map(|form| read(&format!("{text} {form}")));
    let listed = read.into_iter().flatten().filter(|thread| match thread {
        Thread::Whitworth(thread) => thread.listed.is_some(),
        _ => true,
    });
    let others: Vec<String> = listed.map(|thread| thread.to_string()).collect();
    (!others.is_empty()).then_some(others)
}

/// Reads a designation; suggestions in the error are not checked yet.
fn read(text: &str) -> Result<Thread, ThreadError> {
    of_text(text, &Text::new(text)?)
}

fn of_text(text: &str, plain: &Text<'_>) -> Result<Thread, ThreadError> {
    let cursor = Cursor::new(plain);
    match recognise(cursor)? {
        Form::Unified => match unified::read(cursor) {
            Ok(thread) if thread.may_be_metric() => missing_m(text, cursor).map_or(Ok(thread), Err),
            Ok(thread) => Ok(thread),
            Err(error) => Err(missing_m(text, cursor).unwrap_or(error)),
        }
        .map(Thread::Unified),
        Form::IsoMetric => metric::read(cursor).map(Thread::IsoMetric),
        Form::Unj => unj::read(plain, cursor).map(Thread::Unj),
        Form::Mj => mj::read(plain).map(Thread::Mj),
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
