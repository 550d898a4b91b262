//! What was decided on a nonconforming piece, as it is recorded.

use std::collections::BTreeSet;

use ledger::Subject;

use crate::lot_entry::{LOT, SAMPLE};

/// Under this role an entry names the nonconformance that it decides on.
pub const NONCONFORMANCE: &str = "nonconformance";

metrology::codes! {
    /// What becomes of a nonconforming piece.
    pub enum Disposition "disposition" {
        /// Put aside until somebody decides.
        Held "held",
        /// Worked on until it conforms.
        Rework "rework",
        /// Made usable, though it will not conform.
        Repair "repair",
        /// Used as it is, by a concession.
        UseAsIs "use-as-is",
        /// Sent back to whoever supplied it.
        Return "return",
        /// Made unusable.
        Scrap "scrap",
    }
}

impl Disposition {
    /// Whether nothing more can be decided on the piece.
    pub const fn is_final(self) -> bool {
        matches!(self, Self::Return | Self::Scrap)
    }

    /// Whether the piece is measured again after it.
    pub const fn is_work(self) -> bool {
        matches!(self, Self::Rework | Self::Repair)
    }
}

/// A result that shows the nonconformance.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShownBy {
    /// The characteristic by its number in the plan.
    pub characteristic: String,
    /// The entry of the result.
    pub entry: String,
}

/// A decision on a piece. Who decided is who recorded it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Decision {
    pub number: String,
    pub lot: String,
    pub piece: String,
    pub shown_by: Vec<ShownBy>,
    pub disposition: Disposition,
    /// The number of the concession under which it is used as it is.
    pub concession: Option<String>,
    /// A second person, who agreed.
    pub confirmed_by: Option<String>,
    pub note: Option<String>,
}

impl Decision {
    pub fn subjects(&self) -> BTreeSet<Subject> {
        BTreeSet::from([
            Subject::new(NONCONFORMANCE, &self.number),
            Subject::new(LOT, &self.lot),
            Subject::new(SAMPLE, &self.piece),
        ])
    }
}
