//! Why something cannot be done, by codes: the program has the words, and how a run ends by it.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use metrology::message::{Message, Say};
use metrology::units::LengthUnit;

/// Something to say, and the unit of its lengths.
#[derive(Clone, Debug, PartialEq)]
pub struct Why {
    pub message: Message,
    /// The unit of the drawing, as far as it is known.
    pub unit: LengthUnit,
}

impl Why {
    /// Something that names no lengths but those that were entered.
    pub fn of(what: impl Say) -> Self {
        Self::in_unit(what, LengthUnit::Millimetre)
    }

    /// Something with its lengths in a unit.
    pub fn in_unit(what: impl Say, unit: LengthUnit) -> Self {
        let message = what.message();
        Self { message, unit }
    }
}

/// Why something cannot be done.
#[derive(Debug)]
pub enum Error {
    /// The ledger could not.
    Ledger(ledger::Error),
    /// What was given is wrong.
    Input(Why),
    /// Something outside failed, or is not what it was: a clock, a record.
    Outside(Why),
    /// A file that is not there, or cannot be read.
    Unreadable { path: PathBuf, source: io::Error },
    /// What was given under a key is wrong, in a file, a form or a line.
    Wrong(Box<Fault>),
    /// Several things are wrong in one file, each at its place.
    Several(Vec<Error>),
    /// The register that a job leans on cannot be read.
    Register(Arc<Error>),
}

/// What is wrong in what was given, and where.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    /// The place in the file; none where it was not given in one.
    pub file: Option<InFile>,
    /// The section, such as `instrument.error_curve`; none above all sections and in a file of readings.
    pub section: Option<String>,
    /// The key, or the column of a file of readings.
    pub field: Option<String>,
    /// What is wrong and what would be right.
    pub reason: Message,
}

/// A place in a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InFile {
    /// Which file.
    pub path: PathBuf,
    /// Line, from 1.
    pub line: usize,
    /// Column, from 1; none where the whole line is meant.
    pub column: Option<usize>,
}

impl Error {
    /// What was given is wrong.
    pub fn input(what: impl Say) -> Self {
        Self::Input(Why::of(what))
    }

    /// Something outside failed.
    pub fn outside(what: impl Say) -> Self {
        Self::Outside(Why::of(what))
    }

    /// The same about this key, which is missing or stands elsewhere.
    pub fn about(mut self, key: &str) -> Self {
        if let Self::Wrong(fault) = &mut self {
            fault.field = Some(key.to_owned());
        }
        self
    }

    /// The same of another file than the one that was read: a whole row of what its rows were taken from.
    pub fn of_rows_from(mut self, rows: &Path, path: &Path) -> Self {
        if rows == path {
            return self;
        }
        match &mut self {
            Self::Wrong(fault) => {
                if let Some(file) = fault.file.as_mut().filter(|file| file.path == rows) {
                    path.clone_into(&mut file.path);
                    file.column = None;
                }
            }
            Self::Unreadable { path: known, .. } if known == rows => path.clone_into(known),
            _ => {}
        }
        self
    }

    /// Whether whoever gave something can put it right.
    pub fn is_input(&self) -> bool {
        match self {
            Self::Ledger(error) => is_asked_wrongly(error),
            Self::Input(_) | Self::Wrong(_) => true,
            Self::Several(all) => all.iter().all(Self::is_input),
            Self::Outside(_) | Self::Register(_) => false,
            // A file that is not there is a wrong input, also a name that no file can have; a disk that fails is not.
            Self::Unreadable { source, .. } => matches!(
                source.kind(),
                io::ErrorKind::NotFound
                    | io::ErrorKind::IsADirectory
                    | io::ErrorKind::NotADirectory
                    | io::ErrorKind::InvalidInput
                    | io::ErrorKind::InvalidFilename
            ),
        }
    }

    /// Whether a disk, a database, a clock or another thing outside is in the way.
    pub fn is_outside(&self) -> bool {
        !self.is_input()
    }
}

fn is_asked_wrongly(error: &ledger::Error) -> bool {
    use ledger::Error as E;
    matches!(
        error,
        E::NoSuchEntry { .. }
            | E::Ambiguous { .. }
            | E::NotAnEntryRef(_)
            | E::AlreadyAmended { .. }
            | E::AlreadyThere { .. }
            | E::Draft(_)
            | E::TooManyWords { .. }
            | E::BackupExists(_)
            | E::Address { .. }
            | E::NotEmpty(_)
    )
}

impl From<ledger::Error> for Error {
    fn from(error: ledger::Error) -> Self {
        Self::Ledger(error)
    }
}

/// For developers.
impl std::fmt::Display for Error {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{self:?}")
    }
}

impl std::error::Error for Error {}
