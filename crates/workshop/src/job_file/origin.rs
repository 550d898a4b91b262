//! Where what is read was given: in a file, or by section and key.

use std::path::Path;

use metrology::message::Say;

use super::place;
use super::section::Placed;
use crate::error::{Error, Fault, InFile};

/// Where what is read was given.
#[derive(Clone, Copy)]
pub enum Origin<'a> {
    /// In a file of sections and keys.
    File { path: &'a Path, text: &'a str },
    /// In a form or a line.
    Given(&'a Placed),
}

impl<'a> Origin<'a> {
    /// The text that places are bytes of.
    pub fn text(self) -> &'a str {
        match self {
            Self::File { text, .. } => text,
            Self::Given(placed) => placed.text(),
        }
    }

    /// The file; none where it was not given in one.
    pub fn path(self) -> &'a Path {
        match self {
            Self::File { path, .. } => path,
            Self::Given(_) => Path::new(""),
        }
    }

    /// Section and key of what stands at a place.
    pub fn named(self, at: usize) -> (Option<String>, Option<String>) {
        match self {
            Self::File { text, .. } => place::named(text, at),
            Self::Given(placed) => placed.named(at),
        }
    }

    /// The place at which a section begins.
    pub fn of_section(self, section: &str) -> usize {
        match self {
            Self::File { text, .. } => place::of_section(text, section),
            Self::Given(placed) => placed.of_section(section),
        }
    }

    /// Something wrong at a place.
    pub fn wrong(self, at: usize, reason: impl Say) -> Error {
        let (section, field) = self.named(at);
        let file = match self {
            Self::File { path, text } => {
                let (line, column) = place::line_and_column(text, at);
                Some(InFile {
                    path: path.to_owned(),
                    line,
                    column: Some(column),
                })
            }
            Self::Given(_) => None,
        };
        Error::Wrong(Box::new(Fault {
            file,
            section,
            field,
            reason: reason.message(),
        }))
    }
}
