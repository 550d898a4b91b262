//! The first look at a file of readings: all that is wrong with it, and the readings on the standard.

use std::collections::HashMap;
use std::path::Path;

use jiff::{SignedDuration, Timestamp};
use metrology::message::Value;
use metrology::units::{Digits, Entered, LengthUnit};

use super::error::LotError;
use super::rows::{Begins, Row, Rows};
use super::seen::Seen;
use crate::error::Error;
use crate::job_file::Wrong;
use crate::plan::{Plan, Planned};

/// How far ahead of the clock of this computer a time may be: clocks of two computers differ. Common practice, no source.
const AHEAD: SignedDuration = SignedDuration::from_mins(5);

/// What the first look found.
#[derive(Debug)]
#[allow(clippy::struct_excessive_bools, reason = "what was seen")]
pub struct Scan {
    /// Readings on the standard, check after check: rows without a piece between them are one check.
    pub zeros: Vec<Vec<Entered>>,
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

/// Looks at every row of a file, and says the first that is wrong.
pub fn scan(
    path: &Path,
    plan: &Plan,
    unit: Option<LengthUnit>,
    now: Timestamp,
) -> Result<Scan, Error> {
    let mut rows = Rows::open(path, unit)?;
    let mut looked = Looked::new(plan);
    let mut last_ended = true;
    while let Some(row) = rows.next()? {
        let begins = looked.row(&row, now)?;
        if begins {
            looked.mark(rows.begins());
        }
        last_ended = rows.has_ended();
    }
    // A last line without its end is whole where its reading has the decimals of the others.
    if !last_ended && looked.last_decimals < looked.most_decimals {
        let (line, most) = (looked.last_line, path.to_owned());
        return Err(crate::job_file::on_line(
            &most,
            line,
            Some("reading"),
            LotError::Cut,
        ));
    }
    let Some(first) = looked.first else {
        return Err(crate::job_file::on_line(path, 1, None, LotError::NoRows));
    };
    if looked.rows == 0 {
        return Err(crate::job_file::on_line(path, 1, None, LotError::NoRows));
    }
    let mut scan = Scan {
        zeros: looked.zeros,
        unit: first.0.unit,
        rows: looked.rows,
        groups_together: looked.groups_together,
        pieces_together: looked.pieces_together,
        measured: looked.measured,
        timed: looked.timed,
        earliest: looked.earliest,
        marks: looked.marks,
    };
    if !scan.groups_together {
        apart(path, unit)?;
        scan.pieces_together = false;
    }
    Ok(scan)
}

#[allow(clippy::struct_excessive_bools, reason = "what was seen so far")]
struct Looked<'a> {
    plan: &'a Plan,
    zeros: Vec<Vec<Entered>>,
    last_zero: Option<Timestamp>,
    /// The first reading of the file, and its line.
    first: Option<(Digits, usize)>,
    /// The same as it was entered.
    first_entered: Option<Entered>,
    rows: u64,
    piece: String,
    /// Of the characteristic of the row before, its place in the plan.
    characteristic: Option<usize>,
    on_standard: bool,
    pieces: Seen,
    groups: Vec<Seen>,
    groups_together: bool,
    pieces_together: bool,
    measured: Vec<bool>,
    timed: bool,
    earliest: Option<Timestamp>,
    most_decimals: u32,
    last_decimals: u32,
    last_line: usize,
    marks: Vec<Mark>,
    /// Groups since the last mark.
    unmarked: usize,
}

impl<'a> Looked<'a> {
    fn new(plan: &'a Plan) -> Self {
        let count = plan.characteristics.len();
        Self {
            plan,
            zeros: Vec::new(),
            last_zero: None,
            first: None,
            first_entered: None,
            rows: 0,
            piece: String::new(),
            characteristic: None,
            on_standard: false,
            pieces: Seen::default(),
            groups: (0..count).map(|_| Seen::default()).collect(),
            groups_together: true,
            pieces_together: true,
            measured: vec![false; count],
            timed: false,
            earliest: None,
            most_decimals: 0,
            last_decimals: 0,
            last_line: 0,
            marks: Vec::new(),
            unmarked: 0,
        }
    }

    /// Whether a group begins with it.
    fn row(&mut self, row: &Row<'_>, now: Timestamp) -> Result<bool, Error> {
        let entered = || row.entered().map_err(|error| row.wrong("reading", error));
        match (&self.first, &self.first_entered) {
            (Some((first, line)), Some(one)) if first.unit != row.reading.unit => {
                let wrong = LotError::MixedUnits {
                    one: one.clone(),
                    line: *line,
                    other: entered()?,
                };
                return Err(row.wrong("reading", wrong));
            }
            (Some(_), _) => {}
            (None, _) => {
                self.first = Some((row.reading, row.line()));
                self.first_entered = Some(entered()?);
            }
        }
        self.last_decimals = row.reading.decimals;
        self.most_decimals = self.most_decimals.max(self.last_decimals);
        self.last_line = row.line();
        if let Some(time) = row.time {
            self.timed = true;
            self.earliest = Some(self.earliest.map_or(time, |known| known.min(time)));
            let text = time.to_string();
            if time < Timestamp::UNIX_EPOCH {
                return Err(row.wrong("time", Wrong::TimeTooEarly { text }));
            }
            if time.duration_since(now) > AHEAD {
                return Err(row.wrong("time", Wrong::TimeAhead { text }));
            }
        }
        if is_zero(&row.characteristic) {
            return self.zero(row).map(|()| false);
        }
        if self.zeros.is_empty() {
            let piece = row.piece.to_string();
            return Err(row.wrong("characteristic", LotError::NoZero { piece }));
        }
        self.rows += 1;
        let same = !self.on_standard
            && self.piece == row.piece
            && self
                .characteristic
                .and_then(|index| self.plan.characteristics.get(index))
                .is_some_and(|planned| planned.number == row.characteristic);
        if !same {
            self.group(row)?;
        }
        self.on_standard = false;
        let planned = self
            .characteristic
            .and_then(|index| self.plan.characteristics.get(index));
        if let Some(planned) = planned {
            place(row, planned)?;
        }
        Ok(!same)
    }

    /// Takes note of where a group begins, once in a while.
    fn mark(&mut self, begins: Begins) {
        self.unmarked += 1;
        if self.unmarked > MARKED {
            self.unmarked = 1;
            self.marks.push(Mark {
                begins,
                rows: self.rows - 1,
                checks: self.zeros.len(),
            });
        }
    }

    fn zero(&mut self, row: &Row<'_>) -> Result<(), Error> {
        if row.struck.is_some() || row.left.is_some() {
            let column = if row.struck.is_some() {
                "struck"
            } else {
                "left"
            };
            return Err(row.wrong(column, LotError::ZeroReason));
        }
        if let (Some(before), Some(time)) = (self.last_zero, row.time)
            && time < before
        {
            let text = time.to_string();
            return Err(row.wrong("time", LotError::ZeroBackwards { text }));
        }
        self.last_zero = row.time.or(self.last_zero);
        let reading = row.entered().map_err(|error| row.wrong("reading", error))?;
        match self.zeros.last_mut() {
            Some(check) if self.on_standard => check.push(reading),
            _ => self.zeros.push(vec![reading]),
        }
        self.on_standard = true;
        Ok(())
    }

    /// Rows of another piece or characteristic begin.
    fn group(&mut self, row: &Row<'_>) -> Result<(), Error> {
        let index = known(self.plan, row)?;
        if self.piece != row.piece || self.rows == 1 {
            self.pieces_together &= self.pieces.insert(&row.piece);
        }
        let new = self
            .groups
            .get_mut(index)
            .is_none_or(|seen| seen.insert(&row.piece));
        self.groups_together &= new;
        if let Some(measured) = self.measured.get_mut(index) {
            *measured = true;
        }
        self.piece.clear();
        self.piece.push_str(&row.piece);
        self.characteristic = Some(index);
        Ok(())
    }
}

/// Whether a row is of the standard.
pub fn is_zero(characteristic: &str) -> bool {
    characteristic.eq_ignore_ascii_case("zero")
}

/// The characteristic of a row by its place in the plan.
fn known(plan: &Plan, row: &Row<'_>) -> Result<usize, Error> {
    let mut all = plan.characteristics.iter();
    let Some(index) = all.position(|planned| planned.number == row.characteristic) else {
        let all = plan.characteristics.iter();
        let wrong = LotError::UnknownCharacteristic {
            given: row.characteristic.to_string(),
            known: all.map(|planned| planned.number.clone()).collect(),
        };
        return Err(row.wrong("characteristic", wrong));
    };
    match plan.characteristics.get(index) {
        Some(planned) if !planned.way.is_measured() => {
            let wrong = LotError::NotMeasured {
                given: row.characteristic.to_string(),
                way: Value::code(planned.way),
            };
            Err(row.wrong("characteristic", wrong))
        }
        _ => Ok(index),
    }
}

/// A place that the plan names, where it names any.
fn place(row: &Row<'_>, planned: &Planned) -> Result<(), Error> {
    if planned.places.is_empty() || planned.places.iter().any(|place| *place == row.place) {
        return Ok(());
    }
    let wrong = LotError::UnknownPlace {
        given: row.place.to_string(),
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
        if is_zero(&row.characteristic) {
            places
                .entry(std::mem::take(&mut last))
                .or_default()
                .append(&mut now);
            continue;
        }
        let group = (row.piece.to_string(), row.characteristic.to_string());
        if group != last {
            places
                .entry(std::mem::take(&mut last))
                .or_default()
                .append(&mut now);
            last = group;
        }
        let place = row.place.to_string();
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
