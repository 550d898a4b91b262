//! BA threads (BS 93): numbers 0 to 16, in millimetres.

use std::fmt;
use std::sync::LazyLock;

use serde::Deserialize;

use super::assumed::Assumed;
use super::inch::write_tail;
use super::{Hand, Kind};
use crate::tables;
use crate::units::Length;

/// A BA thread as its designation names it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BaThread {
    pub(crate) size: &'static BaSize,
    /// Of a bolt; nuts have one class.
    pub(crate) class: Option<BaClass>,
    pub(crate) hand: Hand,
    pub(crate) assumed: Vec<Assumed>,
}

/// A class of bolts of BS 93.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum BaClass {
    /// Numbers 0 to 10 only.
    Close,
    /// All numbers.
    Normal,
}

impl BaClass {
    /// As the standard writes it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Close => "close",
            Self::Normal => "normal",
        }
    }
}

/// A row of the basic sizes.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct BaSize {
    pub number: u32,
    pub pitch: Length,
    pub major: Length,
    pub pitch_diameter: Length,
    pub minor: Length,
}

#[derive(Deserialize)]
struct Row {
    size: u32,
    pitch_mm: String,
    d_mm: String,
    pitch_diameter_mm: String,
    minor_mm: String,
}

static SIZES: LazyLock<Vec<BaSize>> = LazyLock::new(|| {
    tables::rows(tables::BA_SIZES)
        .into_iter()
        .filter_map(|row: Row| {
            Some(BaSize {
                number: row.size,
                pitch: tables::mm(&row.pitch_mm)?,
                major: tables::mm(&row.d_mm)?,
                pitch_diameter: tables::mm(&row.pitch_diameter_mm)?,
                minor: tables::mm(&row.minor_mm)?,
            })
        })
        .collect()
});

/// The sizes of BS 93.
pub(crate) fn sizes() -> &'static [BaSize] {
    &SIZES
}

impl BaThread {
    /// External with a class, internal without.
    pub(crate) const fn kind(&self) -> Kind {
        if self.class.is_some() {
            Kind::External
        } else {
            Kind::Internal
        }
    }
}

/// Number and class; `internal` for a nut.
impl fmt::Display for BaThread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} BA", self.size.number)?;
        if let Some(class) = self.class {
            write!(f, " {}", class.name())?;
        }
        let word = self.class.is_none().then_some(Kind::Internal);
        write_tail(f, self.hand, word)
    }
}
