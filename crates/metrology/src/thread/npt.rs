//! American taper pipe threads: NPT (ASME B1.20.1), and NPTF, which shares its pitch diameters.

use std::fmt;
use std::sync::LazyLock;

use serde::Deserialize;

use super::assumed::Assumed;
use super::g_pipe::pipe_number;
use super::inch::write_tail;
use super::{Hand, Kind};
use crate::tables;
use crate::units::{Length, ThreadsPerInch};

/// An American taper pipe thread as its designation names it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NptThread {
    pub(crate) size: &'static NptSize,
    /// NPTF: crests and roots are controlled as well.
    pub(crate) dryseal: bool,
    pub(crate) kind: Kind,
    pub(crate) hand: Hand,
    pub(crate) assumed: Vec<Assumed>,
}

/// A row of ASME B1.20.1, Table 2.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct NptSize {
    pub size: String,
    pub number: u32,
    pub count: ThreadsPerInch,
    /// The outside diameter of the pipe.
    pub pipe: Length,
    /// Pitch diameter at the small end.
    pub e0: Length,
    /// Length of hand-tight engagement.
    pub l1: Length,
    pub e1: Length,
    /// Length of effective thread.
    pub l2: Length,
    pub e2: Length,
}

#[derive(Deserialize)]
#[expect(non_snake_case, reason = "E and L are the letters of the standard")]
struct Row {
    size: String,
    tpi: String,
    pipe_in: String,
    E0_in: String,
    L1_in: String,
    E1_in: String,
    L2_in: String,
    E2_in: String,
}

static SIZES: LazyLock<Vec<NptSize>> = LazyLock::new(|| {
    tables::rows(tables::NPT_SIZES)
        .into_iter()
        .filter_map(|row: Row| {
            Some(NptSize {
                number: pipe_number(&row.size)?,
                count: ThreadsPerInch::from_decimal(row.tpi.parse().ok()?).ok()?,
                pipe: tables::inch(&row.pipe_in)?,
                e0: tables::inch(&row.E0_in)?,
                l1: tables::inch(&row.L1_in)?,
                e1: tables::inch(&row.E1_in)?,
                l2: tables::inch(&row.L2_in)?,
                e2: tables::inch(&row.E2_in)?,
                size: row.size,
            })
        })
        .collect()
});

/// The sizes of ASME B1.20.1.
pub(crate) fn sizes() -> &'static [NptSize] {
    &SIZES
}

/// As ASME B1.20.1 writes it; `internal` where it is.
impl fmt::Display for NptThread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let symbol = if self.dryseal { "NPTF" } else { "NPT" };
        write!(f, "{}-{} {symbol}", self.size.size, self.size.count)?;
        write_tail(
            f,
            self.hand,
            (self.kind == Kind::Internal).then_some(Kind::Internal),
        )
    }
}
