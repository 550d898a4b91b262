//! Pieces like those before: read at the same places, between the same checks of zero, on the same day.

use std::sync::Arc;

use jiff::civil::Date;
use metrology::inspection::{Series, Shown};

use super::batch::{Lot, Measured, Outcome};
use super::groups::Group;

/// Measures pieces, and keeps what they have in common.
pub struct Alike<'a> {
    lot: &'a Lot<'a>,
    /// The latest last.
    known: Vec<Known>,
    readings: Vec<Vec<Shown>>,
}

/// A series of pieces; none where they are inspected one by one.
struct Known {
    characteristic: usize,
    checks: (usize, usize),
    day: Option<Date>,
    /// What stands in the rows, of the same place once.
    places: Vec<Arc<str>>,
    series: Option<Series>,
}

/// Kinds of pieces that are told apart at a time.
const KEPT: usize = 32;

impl<'a> Alike<'a> {
    pub const fn of(lot: &'a Lot<'a>) -> Self {
        Self {
            lot,
            known: Vec::new(),
            readings: Vec::new(),
        }
    }

    /// Measures a piece: by its numbers alone where that is all that it differs in, else whole.
    pub fn measure(&mut self, group: &Group) -> Option<Measured> {
        let by_numbers = self.by_numbers(group);
        by_numbers.or_else(|| Some(self.lot.measure(group)?.0))
    }

    fn by_numbers(&mut self, group: &Group) -> Option<Measured> {
        let count = self.sort(group)?;
        let readings = self.readings.get(..count)?;
        let series = self.known.last_mut()?.series.as_mut()?;
        let brief = series.brief(readings.iter().map(Vec::as_slice))?;
        let outcome = Outcome::of_brief(&brief, self.lot.stated_in(group.characteristic)?);
        self.lot.measured(group, Ok(outcome))
    }

    /// Sorts the readings by place, and brings the pieces alike to the end of those known; how many places there are.
    fn sort(&mut self, group: &Group) -> Option<usize> {
        let day = self.lot.day(group).ok()?;
        let mut places: Vec<&Arc<str>> = Vec::new();
        for taken in &group.readings {
            if taken.struck.is_some() || taken.left.is_some() {
                return None;
            }
            // Readings without a place stay alone.
            let same = |known: &&&Arc<str>| !taken.place.is_empty() && ***known == taken.place;
            let at = places.iter().position(|known| same(&known));
            let at = at.unwrap_or(places.len());
            if at == places.len() {
                places.push(&taken.place);
                if self.readings.len() == at {
                    self.readings.push(Vec::new());
                }
                self.readings.get_mut(at)?.clear();
            }
            let shown = (taken.reading.value, taken.reading.resolution());
            self.readings.get_mut(at)?.push(shown);
        }
        let alike = |known: &Known| {
            known.characteristic == group.characteristic
                && known.checks == group.checks
                && known.day == day
                && known.places.iter().eq(places.iter().copied())
        };
        match self.known.iter().rposition(alike) {
            Some(at) if at + 1 == self.known.len() => {}
            Some(at) => {
                let known = self.known.remove(at);
                self.known.push(known);
            }
            None => {
                let series = self.lot.job(group).and_then(|job| Series::of(&job));
                if self.known.len() == KEPT {
                    self.known.remove(0);
                }
                self.known.push(Known {
                    characteristic: group.characteristic,
                    checks: group.checks,
                    day,
                    places: places.iter().copied().cloned().collect(),
                    series,
                });
            }
        }
        Some(places.len())
    }
}
