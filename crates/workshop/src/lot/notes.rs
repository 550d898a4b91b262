//! What is odd in a file of readings without being wrong.

use std::ops::Range;

use jiff::civil::Date;
use jiff::{SignedDuration, Timestamp};
use metrology::units::Digits;

use super::rows::Row;
use super::seen::Seen;

metrology::messages! {
    /// What is odd in a file of readings.
    pub enum LotNote "lot-note" {
        /// So many readings with fewer decimals than most, and the first of them.
        FewerDecimals "fewer-decimals" { n: usize as count, line: usize as count, decimals: usize as count },
        /// So many readings with more decimals than most, and the first of them.
        MoreDecimals "more-decimals" { n: usize as count, line: usize as count, decimals: usize as count },
        /// So many pieces with another number of readings of a characteristic than most, and the first of them.
        OtherReadings "other-readings" { count: usize as count, piece: String as Text, line: usize as count, n: usize as count, usual: usize as count },
        /// More pieces than the plan takes.
        MorePieces "more-pieces" { n: usize as count, planned: usize as count },
        /// No zero check after the last piece; the row of the last one there is.
        NoClosingZero "no-closing-zero" { line: usize as count },
        /// An opening zero check long before the first reading after it.
        ZeroEarly "zero-early" { zero: Timestamp as Time, reading: Timestamp as Time },
        /// A closing zero check long after the last reading before it.
        ZeroLate "zero-late" { zero: Timestamp as Time, reading: Timestamp as Time },
        /// Nothing says when was measured: the day is that of the computer.
        NoTimes "no-times" { day: Date as Date },
        /// Two names of pieces that may be one.
        NamesAlike "names-alike" { one: String as Text, other: String as Text },
    }
}

/// A zero check goes with readings up to so long after or before it, which lets a shift begin and end with one (common practice, no
/// source).
pub const ZERO_GOES_WITH: SignedDuration = SignedDuration::from_hours(24);

metrology::messages! {
    /// When zero was checked about the readings of a piece.
    pub enum ZeroNote "zero-note" {
        /// Before them.
        Before "before" { at: Timestamp as Time },
        /// After them.
        After "after" { at: Timestamp as Time },
        /// Before them, and so long that something may have happened since.
        Early "early" { at: Timestamp as Time },
        /// After them, and so long.
        Late "late" { at: Timestamp as Time },
    }
}

impl ZeroNote {
    /// What stands with a result measured at a moment, between two checks.
    pub fn of(
        measured: Timestamp,
        before: Option<Timestamp>,
        after: Option<Timestamp>,
    ) -> impl Iterator<Item = Self> {
        let is_far = |long: SignedDuration| long > ZERO_GOES_WITH;
        let before = before.map(|at| {
            if is_far(measured.duration_since(at)) {
                Self::Early { at }
            } else {
                Self::Before { at }
            }
        });
        let after = after.map(|at| {
            if is_far(at.duration_since(measured)) {
                Self::Late { at }
            } else {
                Self::After { at }
            }
        });
        before.into_iter().chain(after)
    }
}

/// More decimals than any display has.
const DECIMALS: usize = 16;
/// As many rows of a piece are compared with each other: copies stand near each other.
const COMPARED: usize = 64;

/// What is odd in the rows of a part of the file.
#[derive(Default)]
pub struct Noticed {
    /// Readings of each number of decimals.
    decimals: [Rows; DECIMALS],
    twice: Option<Twice>,
    /// Other readings of a piece have the same time: it is that of the piece, and tells no two readings apart.
    time_of_piece: bool,
    before: Before,
}

/// How many rows, and the line of the first.
#[derive(Clone, Copy, Default)]
struct Rows {
    n: usize,
    line: usize,
}

impl Rows {
    fn add(&mut self, others: Self) {
        if self.n == 0 || others.n > 0 && others.line < self.line {
            self.line = others.line;
        }
        self.n += others.n;
    }
}

/// A row that says the same as one above it, its time included.
#[derive(Clone, Copy)]
pub struct Twice {
    pub line: usize,
    pub above: usize,
}

/// Rows of the piece and characteristic that were seen last, where they say when they were read.
#[derive(Default)]
struct Before {
    piece: String,
    characteristic: String,
    rows: Vec<(Timestamp, Digits, Range<usize>, usize)>,
    /// Their places, one behind the other.
    places: String,
}

impl Noticed {
    pub fn row(&mut self, row: &Row<'_>) {
        let line = row.line();
        let decimals = usize::try_from(row.reading.decimals).unwrap_or(DECIMALS);
        if let Some(rows) = self.decimals.get_mut(decimals.min(DECIMALS - 1)) {
            rows.add(Rows { n: 1, line });
        }
        if let Some(time) = row.time {
            self.at(row, time);
        }
    }

    /// A row that says when it was read.
    fn at(&mut self, row: &Row<'_>, time: Timestamp) {
        let before = &mut self.before;
        if before.piece != row.piece() || before.characteristic != row.characteristic() {
            before.begin(row);
        }
        for (at, reading, place, above) in &before.rows {
            if *at != time {
                continue;
            }
            let place = before.places.get(place.clone());
            if *reading != row.reading || place != Some(row.place()) {
                self.time_of_piece = true;
            } else if self.twice.is_none() {
                let line = row.line();
                self.twice = Some(Twice {
                    line,
                    above: *above,
                });
            }
        }
        if before.rows.len() < COMPARED {
            let from = before.places.len();
            before.places.push_str(row.place());
            let place = from..before.places.len();
            before.rows.push((time, row.reading, place, row.line()));
        }
    }

    /// Takes what was noticed in the part behind this.
    pub fn add(&mut self, behind: &Self) {
        let pairs = self.decimals.iter_mut().zip(&behind.decimals);
        pairs.for_each(|(rows, others)| rows.add(*others));
        self.twice = self.twice.or(behind.twice);
        self.time_of_piece |= behind.time_of_piece;
    }

    /// The first row that was copied, where times tell readings apart.
    pub fn twice(&self) -> Option<Twice> {
        self.twice.filter(|_| !self.time_of_piece)
    }

    /// What is said of the whole file, with the names of its pieces.
    pub fn notes(&self, pieces: &Seen) -> Vec<LotNote> {
        let numbered = self.decimals.iter().enumerate();
        let usual = numbered.max_by_key(|(_, rows)| rows.n);
        let decimals = usual.map_or(0, |(decimals, _)| decimals);
        let (fewer, others) = self.decimals.split_at(decimals);
        let fewer =
            together(fewer).map(|Rows { n, line }| LotNote::FewerDecimals { n, line, decimals });
        let more = together(others.get(1..).unwrap_or_default());
        let more = more.map(|Rows { n, line }| LotNote::MoreDecimals { n, line, decimals });
        let alike = pieces.alike();
        let alike = alike.map(|(one, other)| LotNote::NamesAlike { one, other });
        [fewer, more, alike].into_iter().flatten().collect()
    }
}

/// How many readings the pieces have of a characteristic.
#[derive(Debug, Default)]
pub struct Readings {
    /// The number of readings, the number of pieces that have so many, and the first of these with its line.
    pieces: Vec<(usize, usize, String, usize)>,
}

/// So many numbers of readings are told apart.
const TOLD_APART: usize = 64;

impl Readings {
    /// Takes a piece with so many readings.
    pub fn add(&mut self, n: usize, piece: &str, line: usize) {
        if let Some((_, count, ..)) = self.pieces.iter_mut().find(|(known, ..)| *known == n) {
            *count += 1;
        } else if self.pieces.len() < TOLD_APART {
            self.pieces.push((n, 1, piece.to_owned(), line));
        }
    }

    /// The pieces with another number of readings than most.
    pub fn note(&self) -> Option<LotNote> {
        let (usual, most, ..) = self.pieces.iter().max_by_key(|(_, count, ..)| *count)?;
        let others = || self.pieces.iter().filter(|(n, ..)| n != usual);
        let (n, _, piece, line) = others().min_by_key(|(.., line)| *line)?;
        let count = others().map(|(_, count, ..)| count).sum();
        (*most > count).then(|| LotNote::OtherReadings {
            count,
            piece: piece.clone(),
            line: *line,
            n: *n,
            usual: *usual,
        })
    }
}

/// All of them, if there are any.
fn together(all: &[Rows]) -> Option<Rows> {
    let mut sum = Rows::default();
    for rows in all {
        sum.add(*rows);
    }
    Some(sum).filter(|sum| sum.n > 0)
}

impl Before {
    fn begin(&mut self, row: &Row<'_>) {
        self.rows.clear();
        self.places.clear();
        self.piece.clear();
        self.piece.push_str(row.piece());
        self.characteristic.clear();
        self.characteristic.push_str(row.characteristic());
    }
}
