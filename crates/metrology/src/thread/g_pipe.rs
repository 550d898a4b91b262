//! Parallel pipe threads: G (ISO 228-1). The size is the name of a pipe, not a diameter.

use std::fmt;
use std::sync::LazyLock;

use serde::Deserialize;

use super::assumed::Assumed;
use super::inch::write_tail;
use super::{Hand, Kind};
use crate::tables;
use crate::units::{Length, ThreadsPerInch};

/// A parallel pipe thread as its designation names it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GPipeThread {
    pub(crate) size: &'static PipeSize,
    /// Of an external thread; internal threads have one class, which is not written.
    pub(crate) class: Option<GClass>,
    pub(crate) hand: Hand,
    pub(crate) assumed: Vec<Assumed>,
}

/// A class of external threads of ISO 228-1.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum GClass {
    /// The closer one.
    A,
    /// Twice its tolerance.
    B,
}

impl GClass {
    /// As written.
    pub const fn name(self) -> &'static str {
        match self {
            Self::A => "A",
            Self::B => "B",
        }
    }
}

/// A row of ISO 228-1, Table 1.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct PipeSize {
    /// `1 1/4`.
    pub size: String,
    /// The size as a number, in ten-thousandths.
    pub number: u32,
    pub count: ThreadsPerInch,
    pub pitch: Length,
    pub major: Length,
    pub pitch_diameter: Length,
    pub minor: Length,
    pub pitch_tolerance: Length,
    pub minor_tolerance: Length,
}

#[derive(Deserialize)]
#[expect(non_snake_case, reason = "T is the standard's letter for a tolerance")]
struct Row {
    size: String,
    tpi: String,
    pitch_mm: String,
    d_mm: String,
    pitch_diameter_mm: String,
    minor_mm: String,
    T_pitch_mm: String,
    T_minor_mm: String,
}

static SIZES: LazyLock<Vec<PipeSize>> = LazyLock::new(|| {
    tables::rows(tables::G_PIPE_SIZES)
        .into_iter()
        .filter_map(|row: Row| {
            Some(PipeSize {
                number: pipe_number(&row.size)?,
                count: ThreadsPerInch::from_decimal(row.tpi.parse().ok()?).ok()?,
                pitch: tables::mm(&row.pitch_mm)?,
                major: tables::mm(&row.d_mm)?,
                pitch_diameter: tables::mm(&row.pitch_diameter_mm)?,
                minor: tables::mm(&row.minor_mm)?,
                pitch_tolerance: tables::mm(&row.T_pitch_mm)?,
                minor_tolerance: tables::mm(&row.T_minor_mm)?,
                size: row.size,
            })
        })
        .collect()
});

/// The sizes of ISO 228-1.
pub(crate) fn sizes() -> &'static [PipeSize] {
    &SIZES
}

/// `1 1/4` as 12500: how a pipe size is compared with what was typed.
pub(crate) fn pipe_number(size: &str) -> Option<u32> {
    size.split_whitespace().try_fold(0_u32, |sum, part| {
        let (numerator, denominator) = part.split_once('/').unwrap_or((part, "1"));
        let scaled = numerator.parse::<u32>().ok()?.checked_mul(10_000)?;
        sum.checked_add(scaled.checked_div(denominator.parse().ok()?)?)
    })
}

impl GPipeThread {
    /// External with a class, internal without.
    pub(crate) const fn kind(&self) -> Kind {
        if self.class.is_some() {
            Kind::External
        } else {
            Kind::Internal
        }
    }
}

/// As ISO 228-1 writes it.
impl fmt::Display for GPipeThread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "G {}", self.size.size)?;
        if let Some(class) = self.class {
            write!(f, " {}", class.name())?;
        }
        write_tail(f, self.hand, None)
    }
}
