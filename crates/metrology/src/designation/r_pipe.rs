//! Taper pipe threads: R, Rc and Rp (ISO 7-1).
//!
//! `R 1/4` is taper external, `Rc 1/4` taper internal, `Rp 1/4` parallel internal. Also read: `1/4 BSPT`.

use super::g_pipe::pipe_size;
use super::inch::{Grammar, Reader};
use super::text::Cursor;
use crate::thread::ThreadError;
use crate::thread::r_pipe::{PipeShape, RPipeThread, sizes};
use crate::thread::{Begins, KnownClasses};
use crate::thread::{Form, Kind};

/// `None` for BSPT, which a word tells external from internal.
static GRAMMAR: Grammar<Option<PipeShape>, ()> = Grammar {
    form: Form::RPipe,
    begins: Begins::RPipe,
    symbols: &[
        (&["rc"], Some(PipeShape::TaperInternal)),
        (&["rp"], Some(PipeShape::ParallelInternal)),
        (&["r"], Some(PipeShape::TaperExternal)),
        (&["bspt"], None),
    ],
    classes: &[],
    // It has none, so none can be wrong.
    known_classes: KnownClasses::GPipe,
};

/// Reads an R, Rc or Rp designation.
pub(super) fn read(cursor: Cursor<'_>) -> Result<RPipeThread, ThreadError> {
    let mut read = Reader::new(cursor, &GRAMMAR);
    let (row, mut assumed) = pipe_size(
        &mut read,
        sizes(),
        |row| (row.number, row.size.as_str(), row.count),
        "ISO 7-1",
    )?;
    let shape = match read.symbol.flatten() {
        Some(shape) => {
            let other = match shape.kind() {
                Kind::External => {
                    [PipeShape::TaperInternal, PipeShape::ParallelInternal].as_slice()
                }
                Kind::Internal => [PipeShape::TaperExternal].as_slice(),
            };
            let other = other.iter();
            let other = other.map(|other| format!("{} {}", other.symbol(), row.size));
            read.agree(shape.kind(), shape.symbol())
                .map_err(|error| error.suggest(other))?;
            shape
        }
        None => match read.kind(&mut assumed) {
            Kind::External => PipeShape::TaperExternal,
            Kind::Internal => PipeShape::TaperInternal,
        },
    };
    Ok(RPipeThread {
        size: row,
        shape,
        hand: read.tail.hand.unwrap_or_default(),
        assumed,
    })
}
