//! A badge as it is recorded: the code that a scanner types, and whose it is.

use std::collections::BTreeSet;

use ledger::Subject;

/// The subject that every such entry touches, so that they are found without reading the rest.
pub const BADGES: (&str, &str) = ("register", "badges");

/// A badge. It says who somebody is and proves nothing: whoever has it, or knows its code, can show it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Badge {
    /// What the scanner types, without Enter.
    pub code: String,
    /// The name that stands on records.
    pub name: String,
}

impl Badge {
    /// What it is found by.
    pub fn subjects(&self) -> BTreeSet<Subject> {
        BTreeSet::from([
            Subject::new(BADGES.0, BADGES.1),
            Subject::new("badge", &self.code),
        ])
    }
}
