//! Reading all that a store keeps, in order, to copy it or to hold it against a copy.

use std::collections::VecDeque;
use std::path::Path;

use super::row::to_u64;
use super::{EventRow, Row, Store};
use crate::{BenchEvent, Damage, Derive, Entry, Error, Facts, Place, Result};

/// How many rows are asked for at a time.
const AT_A_TIME: u32 = 256;

/// Every row of the entries, in order.
pub(crate) struct Entries<'a> {
    store: &'a dyn Store,
    above: i64,
    read: VecDeque<Row>,
}

/// Every event with its number among all, in the order in which they were kept.
pub(crate) struct Events<'a> {
    store: &'a dyn Store,
    above: i64,
    read: VecDeque<(i64, EventRow)>,
}

impl<'a> Entries<'a> {
    pub fn of(store: &'a dyn Store) -> Self {
        let (above, read) = (i64::MIN, VecDeque::new());
        Self { store, above, read }
    }
}

impl<'a> Events<'a> {
    pub fn of(store: &'a dyn Store) -> Self {
        let (above, read) = (i64::MIN, VecDeque::new());
        Self { store, above, read }
    }
}

impl Iterator for Entries<'_> {
    type Item = Result<Row>;

    fn next(&mut self) -> Option<Self::Item> {
        if self.read.is_empty() {
            match self.store.rows(self.above, AT_A_TIME) {
                Ok(rows) => self.read = rows.into(),
                Err(error) => return Some(Err(error)),
            }
        }
        let row = self.read.pop_front()?;
        self.above = row.sequence;
        Some(Ok(row))
    }
}

impl Iterator for Events<'_> {
    type Item = Result<(i64, EventRow)>;

    fn next(&mut self) -> Option<Self::Item> {
        if self.read.is_empty() {
            match self.store.kept_events(self.above, AT_A_TIME) {
                Ok(rows) => self.read = rows.into(),
                Err(error) => return Some(Err(error)),
            }
        }
        let row = self.read.pop_front()?;
        self.above = row.0;
        Some(Ok(row))
    }
}

/// The entries and events of a store that is at this path. What cannot be read as such is damage, and ends it.
#[cfg_attr(
    not(feature = "shop"),
    allow(dead_code, reason = "only another engine is copied so")
)]
pub(crate) struct Sound<'a> {
    pub store: &'a dyn Store,
    pub path: &'a Path,
    pub derive: Option<Derive>,
}

#[cfg_attr(
    not(feature = "shop"),
    allow(dead_code, reason = "only another engine is copied so")
)]
impl<'a> Sound<'a> {
    fn damaged(&self, what: Damage) -> Error {
        let path = self.path.to_owned();
        Error::Damaged { path, what }
    }

    /// Refuses a store whose end is missing: a copy would hide that.
    pub fn check_ends(&self) -> Result<()> {
        let extent = self.store.extent()?;
        let (last, issued) = (extent.head.map_or(0, |head| head.sequence), extent.issued);
        if last != issued {
            return Err(self.damaged(Damage::TailMissing { last, issued }));
        }
        let events = self.store.event_extent()?;
        let (last, issued) = (events.found, events.issued);
        if last != issued {
            return Err(self.damaged(Damage::EventTailMissing { last, issued }));
        }
        Ok(())
    }

    /// Each with its facts: made again where it is known how, otherwise as they are.
    pub fn entries(&self) -> impl Iterator<Item = Result<(Entry, Option<Facts>)>> + use<'_, 'a> {
        Entries::of(self.store).map(|row| {
            let row = row?;
            let sequence = row.sequence;
            let entry = row.entry.map_err(|why| Damage::Entry { sequence, why });
            let entry = entry.map_err(|what| self.damaged(what))?;
            if !row.search_agrees {
                return Err(self.damaged(Damage::SearchDiffers { sequence }));
            }
            let facts = match self.derive {
                Some(derive) => Some(derive(&entry.content)),
                None => row.facts.map(|kept| kept.facts),
            };
            Ok((entry, facts))
        })
    }

    pub fn events(&self) -> impl Iterator<Item = Result<(u64, BenchEvent)>> + use<'_, 'a> {
        Events::of(self.store).map(|row| {
            let (id, row) = row?;
            let (job, number) = (to_u64(row.job), row.number);
            let event = row.event.map_err(|why| Damage::Event { job, number, why });
            Ok((to_u64(id), event.map_err(|what| self.damaged(what))?))
        })
    }
}

/// The first place at which two stores do not hold the same: every row is read from both.
pub(crate) fn difference(one: &dyn Store, other: &dyn Store) -> Result<Option<Place>> {
    let entries = first_difference(Entries::of(one), Entries::of(other), |one, other| {
        let same = one.sequence == other.sequence
            && one.hash == other.hash
            && one.entry == other.entry
            && one.search_agrees
            && other.search_agrees;
        let sequence = to_u64(one.sequence);
        (!same).then_some(Place::Entry { sequence })
    })?;
    if entries.is_some() {
        return Ok(entries);
    }
    first_difference(Events::of(one), Events::of(other), |one, other| {
        let (job, number) = (to_u64(one.1.job), to_u64(one.1.number));
        let same = one.0 == other.0
            && (one.1.job, one.1.number) == (other.1.job, other.1.number)
            && one.1.hash == other.1.hash
            && one.1.event == other.1.event;
        (!same).then_some(Place::Event { job, number })
    })
}

fn first_difference<T>(
    mut one: impl Iterator<Item = Result<T>>,
    mut other: impl Iterator<Item = Result<T>>,
    differ: impl Fn(&T, &T) -> Option<Place>,
) -> Result<Option<Place>> {
    loop {
        match (one.next().transpose()?, other.next().transpose()?) {
            (None, None) => return Ok(None),
            (Some(one), Some(other)) => match differ(&one, &other) {
                None => {}
                place => return Ok(place),
            },
            // One of them ends earlier.
            _ => return Ok(Some(Place::File)),
        }
    }
}
