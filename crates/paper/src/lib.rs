//! Sheets of headings, facts, tables and drawings, typeset as archival and accessible PDF.
//!
//! A [`Sheet`] is a list of [`Block`]s, each known by what it is and not by how it looks. [`Sheet::to_pdf`] sets them in type,
//! breaks them into pages, and writes PDF/A-3a (ISO 19005-3) that is also PDF/UA-1 (ISO 14289-1): fonts embedded, every piece
//! tagged, files attached. The library's own validators have to agree, or there is no file. The same sheet gives the same
//! bytes. Nothing here knows what the words mean, which day it is, or where a file lies.

mod error;
mod figure;
mod font;
mod galley;
mod line;
mod pages;
mod pdf;
mod printing;
mod sheet;
mod table;
mod words;

pub use error::Error;
pub use figure::{Anchor, Colour, Figure, HAIR, INK, Mark, PAPER, Pen, Point, SOFT};
pub use sheet::{Attached, Block, Logo, Moment, Running, Sheet, Size, Tone};
pub use table::{Align, Column, Table};
pub use words::Words;
