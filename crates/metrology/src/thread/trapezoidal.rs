//! ISO metric trapezoidal threads: Tr (ISO 2901 to 2904).

use std::fmt;
use std::sync::LazyLock;

use serde::Deserialize;

use super::assumed::Assumed;
use super::{Hand, Kind};
use crate::tables;
use crate::units::{Length, LengthUnit};

/// A trapezoidal thread as its designation names it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TrapezoidalThread {
    pub(crate) diameter: Length,
    pub(crate) pitch: Length,
    pub(crate) class: TrapezoidalClass,
    pub(crate) starts: u16,
    pub(crate) hand: Hand,
    /// Long engagement, written L.
    pub(crate) long: bool,
    pub(crate) engagement: Option<Length>,
    pub(crate) assumed: Vec<Assumed>,
}

/// A class of ISO 2903: it is that of the pitch diameter.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TrapezoidalClass {
    pub(crate) grade: u8,
    /// `e`, `c` or `H`.
    pub(crate) letter: u8,
}

/// The classes of ISO 2903.
pub(crate) const CLASSES: [TrapezoidalClass; 7] = [
    class(7, b'e'),
    class(8, b'e'),
    class(8, b'c'),
    class(9, b'c'),
    class(7, b'H'),
    class(8, b'H'),
    class(9, b'H'),
];

pub(crate) const fn class(grade: u8, letter: u8) -> TrapezoidalClass {
    TrapezoidalClass { grade, letter }
}

impl TrapezoidalClass {
    /// External or internal.
    pub const fn kind(self) -> Kind {
        if self.letter.is_ascii_uppercase() {
            Kind::Internal
        } else {
            Kind::External
        }
    }
}

impl fmt::Display for TrapezoidalClass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{}", self.grade, char::from(self.letter))
    }
}

/// A diameter of ISO 2902 with its pitches.
#[derive(Debug)]
pub(crate) struct TrapezoidalSize {
    pub diameter: Length,
    pub choice: u8,
    pub preferred: Length,
    pub others: Vec<Length>,
}

impl TrapezoidalSize {
    /// The preferred pitch, then the others.
    pub fn pitches(&self) -> impl Iterator<Item = Length> + '_ {
        std::iter::once(self.preferred).chain(self.others.iter().copied())
    }
}

#[derive(Deserialize)]
struct Row {
    d_mm: String,
    choice: u8,
    preferred_pitch_mm: String,
    other_pitches_mm: String,
}

static SIZES: LazyLock<Vec<TrapezoidalSize>> = LazyLock::new(|| {
    tables::rows(tables::TRAPEZOIDAL_SIZES)
        .into_iter()
        .filter_map(|row: Row| {
            Some(TrapezoidalSize {
                diameter: tables::mm(&row.d_mm)?,
                choice: row.choice,
                preferred: tables::mm(&row.preferred_pitch_mm)?,
                others: row
                    .other_pitches_mm
                    .split_whitespace()
                    .filter_map(tables::mm)
                    .collect(),
            })
        })
        .collect()
});

/// The sizes of ISO 2902.
pub(crate) fn sizes() -> &'static [TrapezoidalSize] {
    &SIZES
}

pub(crate) fn plain(length: Length) -> String {
    length.decimal(LengthUnit::Millimetre).to_string()
}

/// As ISO 2901 writes it: `Tr40x14P7LH-8e`.
impl fmt::Display for TrapezoidalThread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Tr{}x", plain(self.diameter))?;
        if self.starts > 1 {
            write!(f, "{}P", plain(self.pitch.times(i32::from(self.starts))))?;
        }
        f.write_str(&plain(self.pitch))?;
        if self.hand == Hand::Left {
            f.write_str("LH")?;
        }
        write!(f, "-{}", self.class)?;
        if self.long {
            f.write_str("-L")?;
        }
        match self.engagement {
            Some(length) => write!(f, " LE {}", plain(length)),
            None => Ok(()),
        }
    }
}
