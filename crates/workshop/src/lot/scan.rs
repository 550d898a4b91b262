//! The first look at a file of readings: all that is wrong with it, and the readings on the standard.

use std::collections::HashMap;
use std::path::Path;

use jiff::{SignedDuration, Timestamp};
use metrology::message::Value;
use metrology::units::{Entered, LengthUnit};

use super::error::LotError;
use super::notes::{LotNote, Noticed, Readings, Twice, ZERO_GOES_WITH};
use super::rows::{Begins, Row, Rows, is_zero};
use super::seen::Seen;
use crate::error::Error;
use crate::in_turn::in_turn;
use crate::job_file::{Wrong, on_line};
use crate::plan::{Plan, Planned};
use crate::separated::wrong_at;

/// How far ahead of the clock of this computer a time may be: clocks of two computers differ. Common practice, no source.
const AHEAD: SignedDuration = SignedDuration::from_mins(5);

/// What the first look found.
#[derive(Debug)]
#[allow(clippy::struct_excessive_bools, reason = "what was seen")]
pub struct Scan {
    /// Readings on the standard, check after check: rows without a piece between them are one check.
    pub zeros: Vec<Vec<Entered>>,
    /// When the first and the last reading of each check were taken, where that is said.
    pub zero_times: Vec<Option<[Timestamp; 2]>>,
    /// The unit of all readings.
    pub unit: LengthUnit,
    /// Rows of pieces.
    pub rows: u64,
    /// Whether all rows of each piece and characteristic stand together.
    pub groups_together: bool,
    /// Whether all rows of each piece stand together.
    pub pieces_together: bool,
    /// Which characteristics of the plan some piece was measured for.
    pub measured: Vec<bool>,
    /// Whether a row says when it was read.
    pub timed: bool,
    /// The earliest time of a row.
    pub earliest: Option<Timestamp>,
    /// Where groups begin that others can be read apart from, as long as all rows of each stand together.
    pub marks: Vec<Mark>,
    /// What is odd in it without being wrong.
    pub notes: Vec<LotNote>,
}

/// A row with which a group begins.
#[derive(Clone, Copy, Debug, Default)]
pub struct Mark {
    pub begins: Begins,
    /// Rows of pieces, and checks of zero, before it.
    pub rows: u64,
    pub checks: usize,
}

/// So many groups from one mark to the next.
const MARKED: usize = 1024;

/// Looks at every row of a file, on all cores, and says the first that is wrong.
pub fn scan(
    path: &Path,
    plan: &Plan,
    unit: Option<LengthUnit>,
    now: Timestamp,
) -> Result<Scan, Error> {
    let no_rows = || on_line(path, 1, None, LotError::NoRows);
    let header = Rows::open(path, unit)?;
    let cuts = header.cuts(PART)?;
    let mut rows = header.between(header.next_begins(), None)?;
    let first = First::of(&rows.next()?.ok_or_else(no_rows)?)?;
    let mut looked = Looked::new(path, plan);
    let look = || {
        |part: usize, send: &dyn Fn(Part) -> bool| {
            let from = cuts.get(part).copied().unwrap_or_default();
            let rows = header.between(from, cuts.get(part + 1).copied());
            let part = match rows {
                Ok(rows) => Part::of(rows, plan, &first, now),
                Err(error) => Part {
                    error: Some(error),
                    ..Part::default()
                },
            };
            let good = part.error.is_none();
            send(part) && good
        }
    };
    in_turn(cuts.len(), look, |part| looked.take(part))?;
    // A last line without its end is whole where its reading has the decimals of the others.
    if let Some(last) = looked.last
        && !last.ended
        && last.decimals < looked.most_decimals
    {
        return Err(on_line(path, last.line, Some("reading"), LotError::Cut));
    }
    if looked.rows == 0 {
        return Err(no_rows());
    }
    if let Some(Twice { line, above }) = looked.noticed.twice() {
        return Err(on_line(path, line, None, LotError::RowTwice { above }));
    }
    let notes = looked.notes();
    let mut scan = Scan {
        zeros: looked.zeros,
        zero_times: looked.zero_times,
        unit: first.unit,
        rows: looked.rows,
        groups_together: looked.groups_together,
        pieces_together: looked.pieces_together,
        measured: looked.measured,
        timed: looked.earliest.is_some(),
        earliest: looked.earliest,
        marks: looked.marks,
        notes,
    };
    if !scan.groups_together {
        apart(path, unit)?;
        scan.pieces_together = false;
    }
    Ok(scan)
}

/// So many bytes of the file are looked at together, on one core.
const PART: u64 = 1 << 20;

/// The first reading of the file, which has the unit of all others and is one on the standard.
struct First {
    unit: LengthUnit,
    entered: Entered,
    line: usize,
    on_standard: bool,
}

impl First {
    fn of(row: &Row<'_>) -> Result<Self, Error> {
        Ok(Self {
            unit: row.reading.unit,
            entered: entered(row)?,
            line: row.line(),
            on_standard: is_zero(row.characteristic()),
        })
    }
}

fn entered(row: &Row<'_>) -> Result<Entered, Error> {
    row.entered().map_err(|error| row.wrong("reading", error))
}

/// What stands in a part of the file.
#[derive(Default)]
struct Part {
    /// In order.
    found: Vec<Found>,
    most_decimals: u32,
    last: Option<Last>,
    earliest: Option<Timestamp>,
    noticed: Noticed,
    /// What is wrong behind all that was found.
    error: Option<Error>,
}

enum Found {
    /// A reading on the standard.
    Zero {
        reading: Entered,
        line: usize,
        time: Option<Timestamp>,
        /// What is wrong if a reading above it was taken later.
        backwards: Option<Error>,
    },
    /// Rows of a piece and characteristic that stand together.
    Group {
        begins: Begins,
        rows: u64,
        /// Those that were not struck.
        readings: usize,
        piece: String,
        /// Its place in the plan.
        characteristic: usize,
        times: Option<Times>,
    },
}

/// When rows that stand together were read.
#[derive(Clone, Copy)]
struct Times {
    earliest: Timestamp,
    /// Line and column of the earliest.
    place: (usize, usize),
    latest: Timestamp,
}

impl Times {
    /// Takes the time of one more row.
    fn add(times: &mut Option<Self>, row: &Row<'_>, time: Timestamp) {
        let of_row = |time| Self {
            earliest: time,
            place: row.place_of("time"),
            latest: time,
        };
        match times {
            None => *times = Some(of_row(time)),
            Some(known) if time < known.earliest => {
                *known = Self {
                    latest: known.latest,
                    ..of_row(time)
                }
            }
            Some(known) => known.latest = known.latest.max(time),
        }
    }
}

/// The last row.
#[derive(Clone, Copy)]
struct Last {
    line: usize,
    decimals: u32,
    ended: bool,
}

impl Part {
    fn of(mut rows: Rows, plan: &Plan, first: &First, now: Timestamp) -> Self {
        let mut part = Self::default();
        part.error = part.look(&mut rows, plan, first, now).err();
        part
    }

    fn look(
        &mut self,
        rows: &mut Rows,
        plan: &Plan,
        first: &First,
        now: Timestamp,
    ) -> Result<(), Error> {
        while let Some(row) = rows.next()? {
            self.row(&row, plan, first, now)?;
        }
        if let Some(last) = &mut self.last {
            last.ended = rows.has_ended();
        }
        Ok(())
    }

    fn row(
        &mut self,
        row: &Row<'_>,
        plan: &Plan,
        first: &First,
        now: Timestamp,
    ) -> Result<(), Error> {
        if row.reading.unit != first.unit {
            let wrong = LotError::MixedUnits {
                one: first.entered.clone(),
                line: first.line,
                other: entered(row)?,
            };
            return Err(row.wrong("reading", wrong));
        }
        let decimals = row.reading.decimals;
        self.most_decimals = self.most_decimals.max(decimals);
        self.noticed.row(row);
        self.last = Some(Last {
            line: row.line(),
            decimals,
            ended: true,
        });
        if let Some(time) = row.time {
            self.earliest = Some(self.earliest.map_or(time, |known| known.min(time)));
            let text = time.to_string();
            if time < Timestamp::UNIX_EPOCH {
                return Err(row.wrong("time", Wrong::TimeTooEarly { text }));
            }
            if time.duration_since(now) > AHEAD {
                return Err(row.wrong("time", Wrong::TimeAhead { text }));
            }
        }
        if is_zero(row.characteristic()) {
            self.found.push(zero(row)?);
            return Ok(());
        }
        if !first.on_standard {
            let piece = row.piece().to_owned();
            return Err(row.wrong("characteristic", LotError::NoZero { piece }));
        }
        let number = |index: usize| plan.characteristics.get(index);
        let same = match self.found.last() {
            Some(Found::Group {
                piece,
                characteristic,
                ..
            }) => {
                *piece == row.piece()
                    && number(*characteristic).is_some_and(|of| of.number == row.characteristic())
            }
            _ => false,
        };
        if !same {
            self.found.push(Found::Group {
                begins: row.begins(),
                rows: 0,
                readings: 0,
                piece: row.piece().to_owned(),
                characteristic: known(plan, row)?,
                times: None,
            });
        }
        let Some(Found::Group {
            rows,
            readings,
            characteristic,
            times,
            ..
        }) = self.found.last_mut()
        else {
            return Ok(());
        };
        *rows += 1;
        *readings += usize::from(row.struck().is_none());
        if let Some(time) = row.time {
            Times::add(times, row, time);
        }
        let index = *characteristic;
        number(index).map_or(Ok(()), |planned| place(row, planned))
    }
}

/// A reading on the standard.
fn zero(row: &Row<'_>) -> Result<Found, Error> {
    if row.struck().is_some() || row.left().is_some() {
        let column = if row.struck().is_some() {
            "struck"
        } else {
            "left"
        };
        return Err(row.wrong(column, LotError::ZeroReason));
    }
    Ok(Found::Zero {
        reading: entered(row)?,
        line: row.line(),
        time: row.time,
        backwards: row.time.map(|time| {
            let text = time.to_string();
            row.wrong("time", LotError::ZeroBackwards { text })
        }),
    })
}

/// What was seen so far, part after part.
struct Looked<'a> {
    path: &'a Path,
    plan: &'a Plan,
    zeros: Vec<Vec<Entered>>,
    zero_times: Vec<Option<[Timestamp; 2]>>,
    /// Checks so long before or after the readings that go with them that this is told.
    far: Vec<LotNote>,
    /// The line of the last reading on the standard.
    zero_line: usize,
    last_zero: Option<Timestamp>,
    /// The latest time so far, of the standard or of a piece.
    latest: Option<Timestamp>,
    rows: u64,
    piece: String,
    /// Of the group before, its place in the plan.
    characteristic: Option<usize>,
    /// Its line, and how many readings it has so far.
    group: (usize, usize),
    on_standard: bool,
    pieces: Seen,
    count: usize,
    /// Of each characteristic.
    readings: Vec<Readings>,
    groups: Vec<Seen>,
    groups_together: bool,
    pieces_together: bool,
    measured: Vec<bool>,
    earliest: Option<Timestamp>,
    most_decimals: u32,
    last: Option<Last>,
    marks: Vec<Mark>,
    /// Groups since the last mark.
    unmarked: usize,
    noticed: Noticed,
}

impl<'a> Looked<'a> {
    fn new(path: &'a Path, plan: &'a Plan) -> Self {
        let count = plan.characteristics.len();
        Self {
            path,
            plan,
            zeros: Vec::new(),
            zero_times: Vec::new(),
            far: Vec::new(),
            zero_line: 0,
            last_zero: None,
            latest: None,
            rows: 0,
            piece: String::new(),
            characteristic: None,
            group: (0, 0),
            on_standard: false,
            pieces: Seen::default(),
            count: 0,
            readings: (0..count).map(|_| Readings::default()).collect(),
            groups: (0..count).map(|_| Seen::default()).collect(),
            groups_together: true,
            pieces_together: true,
            measured: vec![false; count],
            earliest: None,
            most_decimals: 0,
            last: None,
            marks: Vec::new(),
            unmarked: 0,
            noticed: Noticed::default(),
        }
    }

    fn take(&mut self, part: Part) -> Result<(), Error> {
        for found in part.found {
            match found {
                Found::Zero {
                    reading,
                    line,
                    time,
                    backwards,
                } => {
                    self.zero(reading, time, backwards)?;
                    self.zero_line = line;
                }
                Found::Group {
                    begins,
                    rows,
                    readings,
                    piece,
                    characteristic,
                    times,
                } => {
                    self.times(times)?;
                    self.group(begins, piece, characteristic);
                    self.group.1 += readings;
                    self.rows += rows;
                    self.on_standard = false;
                }
            }
        }
        self.noticed.add(&part.noticed);
        self.earliest = self.earliest.into_iter().chain(part.earliest).min();
        self.most_decimals = self.most_decimals.max(part.most_decimals);
        self.last = part.last.or(self.last);
        part.error.map_or(Ok(()), Err)
    }

    fn zero(
        &mut self,
        reading: Entered,
        time: Option<Timestamp>,
        backwards: Option<Error>,
    ) -> Result<(), Error> {
        if let (Some(before), Some(time), Some(wrong)) = (self.latest, time, backwards)
            && time < before
        {
            return Err(wrong);
        }
        let is_first = !self.on_standard && self.rows > 0;
        if let (Some(zero), Some(reading)) = (time, self.latest.filter(|_| is_first))
            && zero.duration_since(reading) > ZERO_GOES_WITH
        {
            self.far.push(LotNote::ZeroLate { zero, reading });
        }
        self.last_zero = time.or(self.last_zero);
        self.latest = self.latest.max(time);
        match (self.zeros.last_mut(), self.zero_times.last_mut()) {
            (Some(check), Some(times)) if self.on_standard => {
                check.push(reading);
                *times = times.map_or(time.map(|time| [time, time]), |[first, last]| {
                    Some([first, time.unwrap_or(last)])
                });
            }
            _ => {
                self.zeros.push(vec![reading]);
                self.zero_times.push(time.map(|time| [time, time]));
            }
        }
        self.on_standard = true;
        Ok(())
    }

    /// A reading belongs to the zero check above it: its time may not say otherwise.
    fn times(&mut self, times: Option<Times>) -> Result<(), Error> {
        let Some(times) = times else {
            return Ok(());
        };
        if self.last_zero.is_some_and(|zero| times.earliest < zero) {
            let (line, column) = times.place;
            let text = times.earliest.to_string();
            let wrong = LotError::BeforeZero { text };
            return Err(wrong_at(self.path, line, column, "time", wrong));
        }
        if let Some(zero) = self.last_zero.filter(|_| self.on_standard)
            && times.earliest.duration_since(zero) > ZERO_GOES_WITH
        {
            let reading = times.earliest;
            self.far.push(LotNote::ZeroEarly { zero, reading });
        }
        self.latest = self.latest.max(Some(times.latest));
        Ok(())
    }

    /// Rows of a piece and characteristic: of another than those before, or more of the same.
    fn group(&mut self, begins: Begins, piece: String, characteristic: usize) {
        let other = self.piece != piece;
        if !other && self.characteristic == Some(characteristic) && !self.on_standard {
            return;
        }
        self.count_readings();
        if other || self.rows == 0 {
            let new = self.pieces.insert(&piece);
            self.pieces_together &= new;
            self.count += usize::from(new);
        }
        let seen = self.groups.get_mut(characteristic);
        self.groups_together &= seen.is_none_or(|seen| seen.insert(&piece));
        if let Some(measured) = self.measured.get_mut(characteristic) {
            *measured = true;
        }
        self.piece = piece;
        self.characteristic = Some(characteristic);
        self.group = (begins.lines + 1, 0);
        self.mark(begins);
    }

    /// Takes note of how many readings the group before had.
    fn count_readings(&mut self) {
        let of = self.characteristic;
        if let Some(readings) = of.and_then(|of| self.readings.get_mut(of)) {
            let (line, n) = self.group;
            readings.add(n, &self.piece, line);
        }
    }

    /// What is odd in the whole file.
    fn notes(&mut self) -> Vec<LotNote> {
        self.count_readings();
        let mut notes = self.noticed.notes(&self.pieces);
        if self.groups_together {
            notes.extend(self.readings.iter().find_map(Readings::note));
        }
        let n = self.count;
        let planned = self.plan.pieces.n.map(usize::try_from);
        let planned = planned.and_then(Result::ok).filter(|planned| n > *planned);
        notes.extend(planned.map(|planned| LotNote::MorePieces { n, planned }));
        notes.append(&mut self.far);
        if !self.on_standard {
            let line = self.zero_line;
            notes.push(LotNote::NoClosingZero { line });
        }
        notes
    }

    /// Takes note of where a group begins, once in a while.
    fn mark(&mut self, begins: Begins) {
        self.unmarked += 1;
        if self.unmarked > MARKED {
            self.unmarked = 1;
            self.marks.push(Mark {
                begins,
                rows: self.rows,
                checks: self.zeros.len(),
            });
        }
    }
}

/// The characteristic of a row by its place in the plan.
fn known(plan: &Plan, row: &Row<'_>) -> Result<usize, Error> {
    let mut all = plan.characteristics.iter();
    let Some(index) = all.position(|planned| planned.number == row.characteristic()) else {
        let all = plan.characteristics.iter();
        let wrong = LotError::UnknownCharacteristic {
            given: row.characteristic().to_owned(),
            known: all.map(|planned| planned.number.clone()).collect(),
        };
        return Err(row.wrong("characteristic", wrong));
    };
    match plan.characteristics.get(index) {
        Some(planned) if !planned.way.is_measured() => {
            let wrong = LotError::NotMeasured {
                given: row.characteristic().to_owned(),
                way: Value::code(planned.way),
            };
            Err(row.wrong("characteristic", wrong))
        }
        _ => Ok(index),
    }
}

/// A place that the plan names, where it names any.
fn place(row: &Row<'_>, planned: &Planned) -> Result<(), Error> {
    if planned.places.is_empty() || planned.places.iter().any(|place| *place == row.place()) {
        return Ok(());
    }
    let wrong = LotError::UnknownPlace {
        given: row.place().to_owned(),
        known: planned.places.clone(),
    };
    Err(row.wrong("place", wrong))
}

/// A second look where rows of one piece and characteristic stand apart: at other places of the piece they belong to it, at
/// the same place, or at none, the piece stands there twice.
fn apart(path: &Path, unit: Option<LengthUnit>) -> Result<(), Error> {
    let mut rows = Rows::open(path, unit)?;
    let mut places: HashMap<(String, String), Vec<String>> = HashMap::new();
    let mut last = (String::new(), String::new());
    // Places of the rows that stand together now.
    let mut now: Vec<String> = Vec::new();
    while let Some(row) = rows.next()? {
        if is_zero(row.characteristic()) {
            places
                .entry(std::mem::take(&mut last))
                .or_default()
                .append(&mut now);
            continue;
        }
        let group = (row.piece().to_owned(), row.characteristic().to_owned());
        if group != last {
            places
                .entry(std::mem::take(&mut last))
                .or_default()
                .append(&mut now);
            last = group;
        }
        let place = row.place().to_owned();
        if let Some(before) = places.get(&last)
            && (place.is_empty() || before.contains(&place))
        {
            let (piece, characteristic) = last;
            let wrong = LotError::PieceTwice {
                piece,
                characteristic,
            };
            return Err(row.wrong("piece", wrong));
        }
        if !now.contains(&place) {
            now.push(place);
        }
    }
    Ok(())
}
