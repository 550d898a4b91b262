//! A lot from a file of readings: rows in, one result a piece and characteristic out, and what the lot comes to.
//!
//! The file is read twice. [`scan`] looks at every row and finds all that is wrong with the file before anything is
//! answered or recorded, and gathers the readings on the standard, of which the closing ones stand at the end. `groups`
//! then gives the readings of one piece and characteristic after another. Where these stand together, neither holds more than
//! one of them.

mod alike;
mod batch;
mod error;
mod groups;
mod notes;
mod rows;
mod run;
mod scan;
mod seen;
mod tally;
mod text_lines;

pub use batch::{Lot, Measured, Outcome, Refused, Whole};
pub use error::LotError;
pub use groups::Group;
pub use notes::{LotNote, ZeroNote};
pub use rows::HEADER;
pub use run::each;
pub use scan::{Scan, scan};
pub use seen::alike as names_alike;
pub use tally::{OfCharacteristic, Tally};
