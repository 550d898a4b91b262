//! The readings of one piece and characteristic after another.

use std::collections::HashMap;
use std::ops::Range;
use std::path::Path;
use std::sync::Arc;

use jiff::Timestamp;
use jiff::civil::Date;
use metrology::units::{Digits, Entered, LengthUnit};

use super::error::LotError;
use super::rows::{Row, Rows, is_zero};
use super::scan::{Mark, Scan};
use crate::error::Error;
use crate::job_file::on_line;
use crate::plan::Plan;

/// The readings of a piece on one characteristic.
#[derive(Clone, Debug, Default)]
pub struct Group {
    pub piece: String,
    /// Its place in the plan.
    pub characteristic: usize,
    /// The line of its first row.
    pub line: usize,
    /// The check of zero before its first reading, and the one before its last.
    pub checks: (usize, usize),
    /// When its last reading was taken, where that is said.
    pub time: Option<Timestamp>,
    /// The day of that, where its offset says which.
    pub day: Option<Date>,
    /// Its rows, in order.
    pub readings: Vec<Taken>,
    /// What is written in them, one reading behind the other.
    written: String,
}

#[derive(Clone, Debug)]
pub struct Taken {
    /// Shared by the rows that name the same place.
    pub place: Arc<str>,
    pub reading: Digits,
    /// The line of its row.
    pub line: usize,
    written: Range<usize>,
    /// Why it was taken again.
    pub struck: Option<String>,
    /// Why it was left standing in spite of a flag.
    pub left: Option<String>,
}

/// Names of places that stood in the rows before.
#[derive(Default)]
struct Places {
    latest: Vec<Arc<str>>,
}

impl Places {
    fn named(&mut self, name: &str) -> Arc<str> {
        /// More than most pieces have.
        const KEPT: usize = 16;
        if let Some(known) = self.latest.iter().find(|known| &***known == name) {
            return Arc::clone(known);
        }
        if self.latest.len() == KEPT {
            self.latest.clear();
        }
        let name: Arc<str> = name.into();
        self.latest.push(Arc::clone(&name));
        name
    }
}

/// The groups of a file of readings.
pub struct Groups<'a> {
    path: &'a Path,
    plan: &'a Plan,
    header: Rows,
    scan: &'a Scan,
    numbers: HashMap<&'a str, usize>,
}

impl<'a> Groups<'a> {
    pub fn of(
        path: &'a Path,
        unit: Option<LengthUnit>,
        plan: &'a Plan,
        scan: &'a Scan,
    ) -> Result<Self, Error> {
        let planned = plan.characteristics.iter().enumerate();
        Ok(Self {
            path,
            plan,
            header: Rows::open(path, unit)?,
            scan,
            numbers: planned
                .map(|(index, planned)| (planned.number.as_str(), index))
                .collect(),
        })
    }

    /// Into how many parts the file can be cut, no piece of which is in two.
    pub const fn parts(&self) -> usize {
        if self.scan.groups_together {
            self.scan.marks.len() + 1
        } else {
            1
        }
    }

    /// Hands over the groups of a part, in the order in which they begin.
    pub fn of_part<E: From<Error>>(
        &self,
        part: usize,
        mut take: impl FnMut(&Group) -> Result<(), E>,
    ) -> Result<(), E> {
        let scan = self.scan;
        let together = scan.groups_together;
        let start = Mark {
            begins: self.header.next_begins(),
            ..Mark::default()
        };
        let mark = |index: usize| scan.marks.get(index).copied().filter(|_| together);
        let from = part.checked_sub(1).and_then(mark).unwrap_or(start);
        let to = mark(part);
        let mut rows = self
            .header
            .between(from.begins, to.map(|mark| mark.begins))?;
        let (mut checks, mut count, mut on_standard) = (from.checks, from.rows, false);
        let mut places = Places::default();
        let mut now: Option<Group> = None;
        // Groups whose rows stand apart, by their order.
        let mut kept: Vec<Group> = Vec::new();
        let mut known: HashMap<(String, usize), usize> = HashMap::new();
        while let Some(row) = rows.next()? {
            if is_zero(row.characteristic()) {
                checks += usize::from(!on_standard);
                on_standard = true;
                continue;
            }
            on_standard = false;
            count += 1;
            let check = checks.saturating_sub(1);
            let Some(characteristic) = self.number(&row, now.as_ref()) else {
                return Err(on_line(self.path, row.line(), None, LotError::Changed).into());
            };
            if !together {
                let name = (row.piece().to_owned(), characteristic);
                let place = *known.entry(name).or_insert(kept.len());
                if place == kept.len() {
                    let mut group = Group::default();
                    group.begin(&row, characteristic, check);
                    kept.push(group);
                }
                if let Some(group) = kept.get_mut(place) {
                    group.add(&row, check, &mut places);
                }
                continue;
            }
            let same = now.as_ref().is_some_and(|group| {
                group.characteristic == characteristic && group.piece == row.piece()
            });
            if !same && let Some(done) = &now {
                take(done)?;
            }
            let group = now.get_or_insert_default();
            if !same {
                group.begin(&row, characteristic, check);
            }
            group.add(&row, check, &mut places);
        }
        let (rows_then, checks_then) = match to {
            Some(mark) => (mark.rows, mark.checks),
            None => (scan.rows, scan.zeros.len()),
        };
        if count != rows_then || checks != checks_then {
            return Err(on_line(self.path, 1, None, LotError::Changed).into());
        }
        kept.iter().chain(&now).try_for_each(take)
    }

    /// The characteristic of a row, which mostly is that of the row before.
    fn number(&self, row: &Row<'_>, before: Option<&Group>) -> Option<usize> {
        let before = before.map(|group| group.characteristic);
        before
            .filter(|index| {
                self.plan
                    .characteristics
                    .get(*index)
                    .is_some_and(|of| of.number == row.characteristic())
            })
            .or_else(|| self.numbers.get(row.characteristic()).copied())
    }
}

impl Group {
    /// Begins another one in the room of this.
    fn begin(&mut self, row: &Row<'_>, characteristic: usize, check: usize) {
        self.piece.clear();
        self.piece.push_str(row.piece());
        self.characteristic = characteristic;
        self.line = row.line();
        self.checks = (check, check);
        (self.time, self.day) = (None, None);
        self.readings.clear();
        self.written.clear();
    }

    fn add(&mut self, row: &Row<'_>, check: usize, places: &mut Places) {
        self.checks.1 = check;
        if row.time.is_some() {
            (self.time, self.day) = (row.time, row.day());
        }
        let from = self.written.len();
        self.written.push_str(row.written());
        self.readings.push(Taken {
            place: places.named(row.place()),
            reading: row.reading,
            line: row.line(),
            written: from..self.written.len(),
            struck: row.struck().map(str::to_owned),
            left: row.left().map(str::to_owned),
        });
    }

    /// The line of the row with a reading; that of its first row where it has none.
    pub fn line_of(&self, reading: &Entered) -> usize {
        let mut all = self.readings.iter();
        let found = all.find(|taken| self.entered(taken).as_ref() == Some(reading));
        found.map_or(self.line, |taken| taken.line)
    }

    /// A reading of it as it was entered; none of a reading of another.
    pub fn entered(&self, taken: &Taken) -> Option<Entered> {
        let written = self.written.get(taken.written.clone())?;
        Entered::parse(written, Some(taken.reading.unit)).ok()
    }
}
