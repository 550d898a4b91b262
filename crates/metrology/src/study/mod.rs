//! Studies of a way of measuring and of a process, from tables of readings.
//!
//! Readings are taken as exact as they were written ([`DoubleDouble`]): what depends on small differences of large numbers is
//! computed from them without loss. Units are the reader's: every result is in the unit of the readings.

mod double_double;
mod error;
mod groups;
mod one_way;
mod summary;
mod table;

pub use double_double::{DoubleDouble, Unread};
pub use error::StudyError;
pub use one_way::{OneWay, Variation};
pub use summary::Summary;
pub use table::{Table, TableError};
