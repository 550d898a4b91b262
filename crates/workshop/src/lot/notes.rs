//! What is odd in a file of readings without being wrong.

use std::ops::Range;

use jiff::Timestamp;
use metrology::units::Digits;

use super::rows::Row;
use super::seen::Seen;

metrology::messages! {
    /// What is odd in a file of readings.
    pub enum LotNote "lot-note" {
        /// So many readings with fewer decimals than the others, and the first of them.
        FewerDecimals "fewer-decimals" { n: usize as count, line: usize as count, decimals: usize as count },
        /// Rows that say the same as the one above them, their time included, and the first of them.
        RowTwice "row-twice" { n: usize as count, line: usize as count },
        /// Two names of pieces that may be one.
        NamesAlike "names-alike" { one: String as Text, other: String as Text },
    }
}

/// More decimals than any display has.
const DECIMALS: usize = 16;

/// What is odd in the rows of a part of the file.
#[derive(Default)]
pub struct Noticed {
    /// Readings of each number of decimals.
    decimals: [Rows; DECIMALS],
    twice: Rows,
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
        if self.n == 0 {
            self.line = others.line;
        }
        self.n += others.n;
    }
}

/// The row before, where it says when it was read.
#[derive(Default)]
struct Before {
    /// Piece, characteristic and place, one behind the other.
    names: String,
    ends: [usize; 2],
    reading: Option<(Digits, Timestamp)>,
}

impl Noticed {
    pub fn row(&mut self, row: &Row<'_>) {
        let this = Rows {
            n: 1,
            line: row.line(),
        };
        let decimals = usize::try_from(row.reading.decimals).unwrap_or(DECIMALS);
        if let Some(rows) = self.decimals.get_mut(decimals.min(DECIMALS - 1)) {
            rows.add(this);
        }
        let Some(time) = row.time else {
            self.before.reading = None;
            return;
        };
        if let Some((reading, at)) = self.before.reading
            && at == time
            && self.before.is_of_piece(row)
        {
            if reading == row.reading && self.before.is_at(row) {
                self.twice.add(this);
            } else {
                self.time_of_piece = true;
            }
        }
        self.before.reading = Some((row.reading, time));
        self.before.name(row);
    }

    /// Takes what was noticed in the part behind this.
    pub fn add(&mut self, behind: &Self) {
        let pairs = self.decimals.iter_mut().zip(&behind.decimals);
        pairs.for_each(|(rows, others)| rows.add(*others));
        self.twice.add(behind.twice);
        self.time_of_piece |= behind.time_of_piece;
    }

    /// What is said of the whole file, with the names of its pieces.
    pub fn notes(&self, pieces: &Seen) -> Vec<LotNote> {
        let most = self.decimals.iter().rposition(|rows| rows.n > 0);
        let fewer = self.decimals.get(..most.unwrap_or_default());
        let fewer = fewer.unwrap_or_default().iter().filter(|rows| rows.n > 0);
        let (n, line) = fewer.fold((0, usize::MAX), |(n, line), rows| {
            (n + rows.n, line.min(rows.line))
        });
        let fewer = (n > 0).then(|| LotNote::FewerDecimals {
            n,
            line,
            decimals: most.unwrap_or(0),
        });
        let twice = (self.twice.n > 0 && !self.time_of_piece).then_some(LotNote::RowTwice {
            n: self.twice.n,
            line: self.twice.line,
        });
        let alike = pieces
            .alike()
            .map(|(one, other)| LotNote::NamesAlike { one, other });
        fewer.into_iter().chain(twice).chain(alike).collect()
    }
}

impl Before {
    fn name(&mut self, row: &Row<'_>) {
        self.names.clear();
        self.names.push_str(row.piece());
        self.ends[0] = self.names.len();
        self.names.push_str(row.characteristic());
        self.ends[1] = self.names.len();
        self.names.push_str(row.place());
    }

    fn is_of_piece(&self, row: &Row<'_>) -> bool {
        let [piece, characteristic] = self.ends;
        self.is(0..piece, row.piece()) && self.is(piece..characteristic, row.characteristic())
    }

    fn is_at(&self, row: &Row<'_>) -> bool {
        self.is(self.ends[1]..self.names.len(), row.place())
    }

    fn is(&self, range: Range<usize>, name: &str) -> bool {
        self.names.get(range) == Some(name)
    }
}
