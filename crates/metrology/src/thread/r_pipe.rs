//! Taper pipe threads: R, Rc and Rp (ISO 7-1).

use std::fmt;
use std::sync::LazyLock;

use serde::Deserialize;

use super::assumed::Assumed;
use super::g_pipe::pipe_number;
use super::inch::write_tail;
use super::{Hand, Kind};
use crate::source::Confidence;
use crate::tables;
use crate::units::{Length, ThreadsPerInch};

/// A taper pipe thread as its designation names it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RPipeThread {
    pub(crate) size: &'static TaperPipeSize,
    pub(crate) shape: PipeShape,
    pub(crate) hand: Hand,
    pub(crate) assumed: Vec<Assumed>,
}

/// Which of the three threads of ISO 7-1.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PipeShape {
    /// R.
    TaperExternal,
    /// Rc.
    TaperInternal,
    /// Rp.
    ParallelInternal,
}

impl PipeShape {
    /// `R`, `Rc` or `Rp`.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::TaperExternal => "R",
            Self::TaperInternal => "Rc",
            Self::ParallelInternal => "Rp",
        }
    }

    /// External or internal.
    pub const fn kind(self) -> Kind {
        match self {
            Self::TaperExternal => Kind::External,
            Self::TaperInternal | Self::ParallelInternal => Kind::Internal,
        }
    }
}

/// A row of ISO 7-1, Table 1: diameters in the gauge plane, lengths along the axis.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct TaperPipeSize {
    pub size: String,
    pub number: u32,
    pub count: ThreadsPerInch,
    pub pitch: Length,
    pub major: Length,
    pub pitch_diameter: Length,
    pub minor: Length,
    pub gauge_length: Length,
    pub gauge_length_tolerance: Length,
    pub useful_length: Length,
    pub parallel_tolerance: Length,
    /// What another document prints for the tolerance of the parallel thread.
    pub disputed_tolerance: Option<Length>,
    pub confidence: Confidence,
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
    gauge_length_mm: String,
    T_gauge_length_mm: String,
    useful_length_mm: String,
    T_parallel_mm: String,
    confidence: Confidence,
}

#[derive(Deserialize)]
struct DisputedRow {
    size: String,
    column: String,
    other_mm: String,
}

static SIZES: LazyLock<Vec<TaperPipeSize>> = LazyLock::new(|| {
    let disputed: Vec<DisputedRow> = tables::rows(tables::R_PIPE_DISPUTED);
    let other = |size: &str| {
        let of_size = |row: &&DisputedRow| row.size == size && row.column == "T_parallel_mm";
        tables::mm(&disputed.iter().find(of_size)?.other_mm)
    };
    tables::rows(tables::R_PIPE_SIZES)
        .into_iter()
        .filter_map(|row: Row| {
            Some(TaperPipeSize {
                number: pipe_number(&row.size)?,
                count: ThreadsPerInch::from_decimal(row.tpi.parse().ok()?).ok()?,
                pitch: tables::mm(&row.pitch_mm)?,
                major: tables::mm(&row.d_mm)?,
                pitch_diameter: tables::mm(&row.pitch_diameter_mm)?,
                minor: tables::mm(&row.minor_mm)?,
                gauge_length: tables::mm(&row.gauge_length_mm)?,
                gauge_length_tolerance: tables::mm(&row.T_gauge_length_mm)?,
                useful_length: tables::mm(&row.useful_length_mm)?,
                parallel_tolerance: tables::mm(&row.T_parallel_mm)?,
                disputed_tolerance: other(&row.size),
                confidence: row.confidence,
                size: row.size,
            })
        })
        .collect()
});

/// The sizes of ISO 7-1.
pub(crate) fn sizes() -> &'static [TaperPipeSize] {
    &SIZES
}

/// As ISO 7-1 writes it.
impl fmt::Display for RPipeThread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.shape.symbol(), self.size.size)?;
        write_tail(f, self.hand, None)
    }
}
