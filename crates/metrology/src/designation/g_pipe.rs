//! Parallel pipe threads: G (ISO 228-1).
//!
//! `G 1/2 A` and `G 1/2 B` are external, `G 1/2` is internal; `LH` for left hand. The size is the name of a pipe,
//! not a diameter. Also read: `G1/2"-14 A`, `1/2 BSPP`.

use std::fmt;
use std::sync::LazyLock;

use serde::Deserialize;

use super::assumed::Assumed;
use super::error::ThreadError;
use super::fault::{Begins, Fault, GivenPitch, KnownClasses, KnownPitches, KnownSizes};
use super::inch::{Grammar, Piece, Reader, write_tail};
use super::text::Cursor;
use super::{Form, Hand, Kind};
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
pub(super) fn pipe_number(size: &str) -> Option<u32> {
    size.split_whitespace().try_fold(0_u32, |sum, part| {
        let (numerator, denominator) = part.split_once('/').unwrap_or((part, "1"));
        let scaled = numerator.parse::<u32>().ok()?.checked_mul(10_000)?;
        sum.checked_add(scaled.checked_div(denominator.parse().ok()?)?)
    })
}

/// The row of a pipe size, or the error with the nearest ones.
pub(super) fn pipe_size<'t, R, S: Copy, C: Copy>(
    read: &Reader<'t, S, C>,
    rows: &'static [R],
    key: impl Fn(&R) -> (u32, &str, ThreadsPerInch),
    size: &Piece<'t, u32>,
    count: Option<&Piece<'t, ThreadsPerInch>>,
    standard: &'static str,
) -> Result<&'static R, ThreadError> {
    // Fractions were rounded on either way: 1/16 is 625.
    let found = rows.iter().find(|row| key(row).0.abs_diff(size.value) <= 1);
    let Some(row) = found else {
        let mut near: Vec<_> = rows.iter().collect();
        near.sort_by_key(|row| key(row).0.abs_diff(size.value));
        let names: Vec<_> = near
            .iter()
            .take(2)
            .map(|row| key(row).1.to_owned())
            .collect();
        let suggestions: Vec<_> = names.iter().map(|name| read.instead(size, name)).collect();
        return Err(read
            .error(
                size,
                Fault::NoSuchSize {
                    size: size.typed.to_owned(),
                    standard,
                    known: KnownSizes::Nearest { sizes: names },
                },
            )
            .suggest(suggestions));
    };
    let (_, name, listed) = key(row);
    match count {
        Some(count) if count.value != listed => Err(read
            .error(
                count,
                Fault::NoSuchPitch {
                    size: format!("{} {name}", read.form_symbol()),
                    pitch: GivenPitch::PerInch {
                        count: count.value.decimal(),
                    },
                    known: KnownPitches::OfSize {
                        standard,
                        pitches: vec![listed.to_string()],
                    },
                },
            )
            .suggest([read.instead(count, &listed.to_string())])),
        _ => Ok(row),
    }
}

static GRAMMAR: Grammar<(), GClass> = Grammar {
    form: Form::GPipe,
    begins: Begins::GPipe,
    symbols: &[(&["g"], ()), (&["bspp"], ())],
    classes: &[("A", GClass::A), ("B", GClass::B)],
    known_classes: KnownClasses::GPipe,
};

/// Reads a G designation.
pub(super) fn read(cursor: Cursor<'_>) -> Result<GPipeThread, ThreadError> {
    let mut read = Reader::new(cursor, &GRAMMAR);
    let size = read.inch_size()?;
    let count = read.count()?;
    read.rest()?;
    let row = pipe_size(
        &read,
        &SIZES,
        |row| (row.number, row.size.as_str(), row.count),
        &size,
        count.as_ref(),
        "ISO 228-1",
    )?;
    let mut assumed = Vec::new();
    let class = match (&read.class, read.tail.kind) {
        (Some(class), _) => {
            read.agree(Kind::External, class.typed)?;
            Some(class.value)
        }
        (None, Some(Kind::External)) => {
            assumed.push(Assumed::PipeClass);
            Some(GClass::A)
        }
        (None, Some(Kind::Internal)) => None,
        (None, None) => {
            assumed.push(Assumed::InternalPipe);
            None
        }
    };
    Ok(GPipeThread {
        size: row,
        class,
        hand: read.tail.hand.unwrap_or_default(),
        assumed,
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
