//! A reading of the part.

use jiff::Timestamp;
use metrology::message::Message;
use metrology::units::Entered;

use super::event::{By, Spot};

/// A reading of the part, as it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// The event that it came with.
    pub number: u64,
    pub at: Timestamp,
    pub spot: Spot,
    /// As the micrometer showed it.
    pub shown: Entered,
    pub by: By,
    /// What was read there before and taken again, the first first.
    pub earlier: Vec<Entered>,
    /// What it looks like, if it looks like a mistake.
    pub flag: Option<Flag>,
    /// Why it was left as read in spite of its flag.
    pub left: Option<String>,
}

/// What a reading looks like.
#[derive(Clone, Debug, PartialEq)]
pub struct Flag {
    pub kind: &'static str,
    pub message: Message,
}
