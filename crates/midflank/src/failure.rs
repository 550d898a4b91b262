//! How a run ends when it does not end well.

use std::path::Path;

use metrology::message::Say;
use metrology::units::LengthUnit;

use crate::say;
use crate::words::{self, Shown};

/// Why a command did not do what was asked.
#[derive(Debug)]
pub enum Failure {
    /// What was given is wrong: status 2.
    Input(String),
    /// Some lines were wrong and have been told in their place: status 2, nothing more to say.
    SomeLines,
    /// Disk, database or another thing outside: status 1.
    Outside(String),
    /// Whoever read our output has gone: nothing is wrong, nothing more to do.
    NobodyReads,
}

impl Failure {
    /// What was given is wrong.
    pub fn input(sentence: impl Into<String>) -> Self {
        Self::Input(sentence.into())
    }

    /// What was given is wrong, as the calculation says it.
    pub fn refused(error: &impl Say) -> Self {
        Self::Input(words::said(error))
    }

    /// The same, with its lengths in the unit of the answer.
    pub fn refused_in(error: &impl Say, unit: LengthUnit) -> Self {
        Self::Input(words::message(error, Shown::in_unit(unit)))
    }

    /// Something outside the program failed.
    pub fn outside(message: impl ToString) -> Self {
        Self::Outside(message.to_string())
    }

    /// What went wrong, as a page of the bench says it.
    pub fn on_page(error: &workshop::Error) -> Self {
        Self::worded(error, words::error_on_page(error))
    }

    fn worded(error: &workshop::Error, sentence: String) -> Self {
        if error.is_input() {
            Self::Input(sentence)
        } else {
            Self::Outside(sentence)
        }
    }

    /// The same, naming the file it is about.
    pub fn about(self, path: &Path) -> Self {
        match self {
            Self::Input(message) => {
                Self::Input(say!("command.about", file = path.display(), what = message))
            }
            other => other,
        }
    }

    /// The same after something was recorded: that it was must not be lost with the answer.
    pub fn although_recorded(self, entries: &str) -> Self {
        let why = match self {
            Self::NobodyReads => say!("command.nobody-reads").to_owned(),
            other => other.to_string(),
        };
        Self::Outside(say!(
            "command.recorded-unanswered",
            entries = entries,
            why = why
        ))
    }
}

impl std::fmt::Display for Failure {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Input(message) | Self::Outside(message) => f.write_str(message),
            Self::SomeLines => f.write_str(say!("command.some-lines")),
            Self::NobodyReads => f.write_str(say!("command.nobody-reads")),
        }
    }
}

impl std::error::Error for Failure {}

impl From<workshop::Error> for Failure {
    fn from(error: workshop::Error) -> Self {
        Self::worded(&error, words::error(&error))
    }
}

impl From<ledger::Error> for Failure {
    fn from(error: ledger::Error) -> Self {
        workshop::Error::from(error).into()
    }
}
