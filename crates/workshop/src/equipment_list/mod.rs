//! A list of equipment from a table: a row that names the columns, and a row for each piece.
//!
//! The columns are the keys of an equipment file, and those follow from the tables of the kinds. A registered piece keeps what
//! the list has no column for, and its state in any case; an empty cell states nothing.

mod column;
mod error;
mod read;
mod row;
pub mod typed;

use ledger::EntryId;

pub use crate::equipment::Equipment;
pub use column::{KIND, columns, needed, row};
pub use error::{ListError, ListNote};
pub use read::{Cell, List, Signs, parse, parse_bytes, parse_cells, read};

/// A row as it was understood beside the register.
#[derive(Clone, Debug, PartialEq)]
pub struct Understood {
    /// Line of the file or row of the sheet, from 1.
    pub line: usize,
    /// The piece as it is to be.
    pub piece: Equipment,
    pub against: Against,
    pub notes: Vec<ListNote>,
}

/// A row against what the register says.
#[derive(Clone, Debug, PartialEq)]
pub enum Against {
    /// The register does not have the piece.
    New,
    /// It has other values.
    Changed {
        /// The entry that is amended.
        before: EntryId,
        differences: Vec<Difference>,
    },
    /// It says the same.
    Unchanged(EntryId),
}

/// A key with another value, as both are typed; none where nothing is stated.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Difference {
    pub key: String,
    pub before: Option<String>,
    pub now: Option<String>,
}

metrology::codes! {
    /// What came, or would come, of handing a piece to the register.
    pub enum Change "piece-change" {
        /// It was not there.
        New "new",
        /// It was there with other values.
        Changed "changed",
        /// It was there as it is.
        Unchanged "unchanged",
    }
}

impl Understood {
    pub const fn change(&self) -> Change {
        match self.against {
            Against::New => Change::New,
            Against::Changed { .. } => Change::Changed,
            Against::Unchanged(_) => Change::Unchanged,
        }
    }

    /// What the list says otherwise than the register; nothing of a new piece.
    pub fn differences(&self) -> &[Difference] {
        match &self.against {
            Against::Changed { differences, .. } => differences,
            Against::New | Against::Unchanged(_) => &[],
        }
    }
}

/// How many are new, how many change, and how many are as they were.
pub fn counts<'a>(all: impl Iterator<Item = &'a Understood> + Clone) -> [usize; 3] {
    let count = |change| all.clone().filter(|one| one.change() == change).count();
    [Change::New, Change::Changed, Change::Unchanged].map(count)
}
