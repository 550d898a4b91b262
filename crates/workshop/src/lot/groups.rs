//! The readings of one piece and characteristic after another.

use std::collections::HashMap;
use std::path::Path;

use jiff::Timestamp;
use metrology::units::{Entered, LengthUnit};

use super::error::LotError;
use super::rows::{Row, Rows};
use super::scan::{Scan, is_zero};
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
    /// Its rows, in order.
    pub readings: Vec<Taken>,
}

#[derive(Clone, Debug)]
pub struct Taken {
    pub place: String,
    pub reading: Entered,
    /// Why it was taken again.
    pub struck: Option<String>,
    /// Why it was left standing in spite of a flag.
    pub left: Option<String>,
}

/// Hands over one group after another, in the order in which they begin.
pub fn groups<E: From<Error>>(
    path: &Path,
    unit: Option<LengthUnit>,
    plan: &Plan,
    scan: &Scan,
    mut take: impl FnMut(Group) -> Result<(), E>,
) -> Result<(), E> {
    let mut rows = Rows::open(path, unit)?;
    let numbers: HashMap<&str, usize> = plan
        .characteristics
        .iter()
        .enumerate()
        .map(|(index, planned)| (planned.number.as_str(), index))
        .collect();
    let mut checks = 0_usize;
    let mut on_standard = false;
    let mut now: Option<Group> = None;
    // Groups whose rows stand apart, by their order.
    let mut kept: Vec<Group> = Vec::new();
    let mut known: HashMap<(String, usize), usize> = HashMap::new();
    let mut count = 0;
    while let Some(row) = rows.next()? {
        if is_zero(&row.characteristic) {
            checks += usize::from(!on_standard);
            on_standard = true;
            continue;
        }
        on_standard = false;
        count += 1;
        let check = checks.saturating_sub(1);
        let Some(characteristic) = numbers.get(&*row.characteristic).copied() else {
            return Err(on_line(path, row.line(), None, LotError::Changed).into());
        };
        if !scan.groups_together {
            let name = (row.piece.to_string(), characteristic);
            let place = *known.entry(name).or_insert(kept.len());
            if place == kept.len() {
                kept.push(begun(&row, characteristic, check));
            }
            if let Some(group) = kept.get_mut(place) {
                group.add(row, check);
            }
            continue;
        }
        let same = now.as_ref().is_some_and(|group| {
            group.characteristic == characteristic && group.piece == row.piece
        });
        if !same && let Some(done) = now.replace(begun(&row, characteristic, check)) {
            take(done)?;
        }
        if let Some(group) = &mut now {
            group.add(row, check);
        }
    }
    if count != scan.rows || checks != scan.zeros.len() {
        return Err(on_line(path, 1, None, LotError::Changed).into());
    }
    kept.into_iter().chain(now).try_for_each(take)
}

fn begun(row: &Row<'_>, characteristic: usize, check: usize) -> Group {
    Group {
        piece: row.piece.to_string(),
        characteristic,
        line: row.line(),
        checks: (check, check),
        ..Group::default()
    }
}

impl Group {
    fn add(&mut self, row: Row<'_>, check: usize) {
        self.checks.1 = check;
        self.time = row.time.or(self.time);
        self.readings.push(Taken {
            place: row.place.into_owned(),
            reading: row.reading,
            struck: row.struck,
            left: row.left,
        });
    }
}
