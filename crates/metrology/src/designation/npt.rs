//! American taper pipe threads: NPT (ASME B1.20.1), and NPTF, which shares its pitch diameters.
//!
//! `1/2-14 NPT`, `1/8 npt`, `NPT 3/4`; a word may tell internal from external.

use super::g_pipe::pipe_size;
use super::inch::{Grammar, Reader};
use super::text::Cursor;
use crate::thread::Form;
use crate::thread::ThreadError;
use crate::thread::npt::{NptThread, sizes};
use crate::thread::{Begins, KnownClasses};

/// The symbol tells whether it is the dryseal thread.
static GRAMMAR: Grammar<bool, ()> = Grammar {
    form: Form::Npt,
    begins: Begins::Npt,
    symbols: &[(&["npt"], false), (&["nptf"], true)],
    classes: &[],
    // It has none, so none can be wrong.
    known_classes: KnownClasses::GPipe,
};

/// Reads an NPT designation.
pub(super) fn read(cursor: Cursor<'_>) -> Result<NptThread, ThreadError> {
    let mut read = Reader::new(cursor, &GRAMMAR);
    let (row, mut assumed) = pipe_size(
        &mut read,
        sizes(),
        |row| (row.number, row.size.as_str(), row.count),
        "ASME B1.20.1",
    )?;
    let kind = read.kind(&mut assumed);
    Ok(NptThread {
        size: row,
        dryseal: read.symbol.unwrap_or(false),
        kind,
        hand: read.tail.hand.unwrap_or_default(),
        assumed,
    })
}
