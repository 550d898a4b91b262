//! What is wrong in a plan that is typed or stands in a table.

use metrology::message::Say;

use crate::bench::Refusal;
use crate::error::{Error, Why};

/// Something wrong in a plan, and where.
#[derive(Clone, Debug, PartialEq)]
pub struct Mistake {
    /// The line by its place in the list, from 0; none where it is about the plan as a whole.
    pub line: Option<usize>,
    /// The column or field; empty where none is meant.
    pub key: String,
    pub why: Why,
}

impl Mistake {
    pub fn new(line: Option<usize>, key: &str, what: impl Say) -> Self {
        Self::of(line, key, Why::of(what))
    }

    pub fn of(line: Option<usize>, key: &str, why: Why) -> Self {
        let key = key.to_owned();
        Self { line, key, why }
    }

    /// What the bench refuses of a line.
    pub fn refused(line: usize, key: &str, refusal: Refusal) -> Self {
        Self::of(Some(line), key, refusal.why)
    }

    /// What is wrong under a key that the builder of plans names; `otherwise` where it names none.
    pub fn built(line: Option<usize>, otherwise: &str, error: Error) -> Self {
        match error {
            Error::Wrong(fault) => {
                let key = fault.field.unwrap_or_else(|| otherwise.to_owned());
                Self::of(line, &key, Why::of(fault.reason))
            }
            error => Self::of(line, otherwise, Refusal::from(error).why),
        }
    }
}
