//! What whoever takes from the shelf should know, beside what was taken.

use std::sync::Arc;

use metrology::message::{Message, Say};

use crate::error::Error;

/// What should be known beside an answer.
#[derive(Debug)]
pub enum Remark {
    /// Something to say.
    Said(Message),
    /// The ledger was not read: what the laboratory has approved and what earlier records show is not known.
    LedgerUnread(Arc<Error>),
}

impl Remark {
    pub fn of(what: impl Say) -> Self {
        Self::Said(what.message())
    }
}
