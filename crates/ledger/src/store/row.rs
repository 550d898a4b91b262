//! Rows as entries and events, whatever engine they come from. Read strictly: each column has exactly one way to be
//! written, so that a change cannot hide.

use std::collections::BTreeSet;
use std::fmt;
use std::sync::OnceLock;

use jiff::Timestamp;

use super::EventRow;
use crate::{
    Actor, Amendment, BenchEvent, Draft, Entry, EntryId, Facts, Filter, Hash, Identified,
    JobEvents, Text, Unreadable, Wanted, encoding,
    facts::{KeptFacts, day},
    time,
};

/// The columns of an entry `e`, in the order [`entry`] reads them.
pub(crate) const ENTRY: &str = "e.sequence, e.encoding, e.previous, e.hash, e.recorded_at, e.zone, e.kind, \
     e.actor_id, e.actor_name, e.actor_how, e.station, e.program, e.amends, e.amends_check, e.reason, e.job, \
     e.job_events, e.job_hash, e.inputs, e.results, e.editions, e.words, \
     (SELECT b.recorded_at FROM entry b WHERE b.sequence = e.sequence - 1)";

/// The same without the documents.
pub(crate) const HEADING: &str = "e.sequence, e.encoding, e.previous, e.hash, e.recorded_at, e.zone, e.kind, \
     e.actor_id, e.actor_name, e.actor_how, e.station, e.program, e.amends, e.amends_check, e.reason, e.job, \
     e.job_events, e.job_hash, '', '', '', '', \
     (SELECT b.recorded_at FROM entry b WHERE b.sequence = e.sequence - 1)";

/// How many columns [`ENTRY`] and [`HEADING`] have.
pub(crate) const ENTRY_COLUMNS: usize = 23;

/// The columns of the facts `f` of an entry, in the order [`facts`] reads them.
pub(crate) fn fact_columns() -> &'static str {
    static COLUMNS: OnceLock<String> = OnceLock::new();
    COLUMNS.get_or_init(|| columns_of(Wanted::ALL))
}

/// The columns of some facts `f` of an entry, in the order [`some_facts`] reads them.
pub(crate) fn columns_of(wanted: Wanted) -> String {
    let names = names_of(wanted).into_iter();
    let columns: Vec<String> = names.map(|name| format!("f.{name}")).collect();
    columns.join(", ")
}

/// The columns of the table of facts.
pub(crate) fn fact_names() -> Vec<&'static str> {
    names_of(Wanted::ALL)
}

fn names_of(wanted: Wanted) -> Vec<&'static str> {
    let first = ["sequence", "check_digits", "recorded_on", "at"].into_iter();
    first
        .chain(wanted.numbers.iter().map(|of| of.column()))
        .chain(wanted.texts.iter().map(|of| of.column()))
        .collect()
}

/// The facts in the columns from one on; none where there is no row. What cannot be read as such differs from what is right,
/// and is told so.
pub(crate) fn facts(row: &impl Columns, first: usize) -> Option<KeptFacts> {
    some_facts(row, first, Wanted::ALL)
}

/// The same of those that are wanted, where no others were asked for.
pub(crate) fn some_facts(row: &impl Columns, first: usize, wanted: Wanted) -> Option<KeptFacts> {
    row.number_if_any(first).ok().flatten()?;
    let text = |index: usize| row.text_if_any(first + index).ok().flatten();
    let mut facts = Facts::default();
    facts.at = text(3).and_then(|at| at.parse().ok());
    let numbers = 4;
    for (index, number) in wanted.numbers.iter().enumerate() {
        let value = row.real_if_any(first + numbers + index).ok().flatten();
        facts.set(*number, value);
    }
    let texts = numbers + wanted.numbers.len();
    for (index, of) in wanted.texts.iter().enumerate() {
        facts.tell(*of, text(texts + index));
    }
    Some(KeptFacts {
        check: text(1).unwrap_or_default(),
        recorded_on: text(2).unwrap_or_default(),
        facts,
    })
}

/// Identities of this role stand in a column of the facts as well, which is faster to look at.
const IN_FACTS: (&str, Text) = ("measured", Text::MeasuredOn);

/// The column of the facts in which identities of a role stand; none of any other role.
pub(crate) fn fact_of(role: &str) -> Option<&'static str> {
    (role == IN_FACTS.0).then(|| IN_FACTS.1.column())
}

/// The days that a filter asks for.
pub(crate) struct Days {
    /// When it was recorded, UTC, and when it was measured where that will do.
    of: Vec<Column>,
    /// Whether there is a first day, and a last one.
    ends: (bool, bool),
}

/// From a day to a day in a column of the facts, both included.
pub(crate) struct Column {
    pub name: &'static str,
    pub first: String,
    pub last: String,
}

/// The first entry or the last.
#[derive(Clone, Copy)]
pub(crate) enum End {
    First,
    Last,
}

/// Bounds between which there is no entry.
const NOTHING: (i64, i64) = (1, 0);

/// What sorts behind every day.
const NO_DAY: &str = "~";

impl Days {
    /// None where a filter asks for no days, or for something else that the facts do not tell.
    pub fn of(filter: &Filter) -> Option<Self> {
        if filter.since.is_none() && filter.until.is_none() {
            return None;
        }
        let mut of = vec![Column {
            name: "recorded_on",
            first: filter.since.map(day).unwrap_or_default(),
            last: filter.until.map_or_else(|| NO_DAY.to_owned(), day),
        }];
        if let Some(between) = &filter.or_between {
            of.push(Column {
                name: fact_of(&between.role)?,
                first: between.first.clone().unwrap_or_default(),
                last: between.last.clone().unwrap_or_else(|| NO_DAY.to_owned()),
            });
        }
        Some(Self {
            of,
            ends: (filter.since.is_some(), filter.until.is_some()),
        })
    }

    /// From which to which entry something of these days can be: open where there is no first or last day. `find` gives the
    /// entry at an end of the days in a column.
    pub fn bounds<E>(
        &self,
        mut find: impl FnMut(End, &Column) -> std::result::Result<Option<i64>, E>,
    ) -> std::result::Result<(i64, i64), E> {
        let mut at = |end| -> std::result::Result<Vec<i64>, E> {
            let found = self.of.iter().map(|column| find(end, column));
            Ok(found
                .collect::<std::result::Result<Vec<_>, E>>()?
                .into_iter()
                .flatten()
                .collect())
        };
        let first = if self.ends.0 {
            at(End::First)?.into_iter().min()
        } else {
            Some(i64::MIN)
        };
        let last = if self.ends.1 {
            at(End::Last)?.into_iter().max()
        } else {
            Some(i64::MAX)
        };
        Ok(first.zip(last).unwrap_or(NOTHING))
    }
}

/// How many bytes of entries or events are read at one go; at least one of them is.
pub(crate) const BYTES_AT_A_TIME: usize = 8 << 20;

pub(crate) type Read<T> = std::result::Result<T, Unreadable>;

/// A row of either engine.
pub(crate) trait Columns {
    /// What cannot be read is told in the words of the engine.
    type Error: fmt::Display;

    /// Text that may be missing.
    fn text_if_any(&self, index: usize) -> std::result::Result<Option<String>, Self::Error>;

    /// A number that may be missing.
    fn number_if_any(&self, index: usize) -> std::result::Result<Option<i64>, Self::Error>;

    /// A number with digits after the point that may be missing.
    fn real_if_any(&self, index: usize) -> std::result::Result<Option<f64>, Self::Error>;

    /// Text where it lies; none where there is none, or where it cannot be read.
    fn text_in_place(&self, index: usize) -> Option<&str>;

    /// Text.
    fn text(&self, index: usize) -> std::result::Result<String, Self::Error>;
}

/// Engines count in `i64`. Beyond its range there is no entry, and none is found.
pub(crate) fn to_i64(sequence: u64) -> i64 {
    i64::try_from(sequence).unwrap_or(i64::MAX)
}

pub(crate) fn to_u64(sequence: i64) -> u64 {
    u64::try_from(sequence).unwrap_or(0)
}

/// The entry at a place, without what it touches and what amends it.
pub(crate) fn entry(row: &impl Columns, sequence: i64) -> Read<Entry> {
    let rule = text(row, 1, "encoding")?;
    if rule != encoding::RULE {
        return Err(Unreadable::Encoding { found: rule });
    }
    let recorded_at = time(row, 4, "recorded_at")?;
    Ok(Entry {
        sequence: u64::try_from(sequence).map_err(|_| Unreadable::Number {
            column: "sequence",
            found: Some(sequence),
        })?,
        previous: hash(row, 2, "previous")?,
        hash: hash(row, 3, "hash")?,
        content: Draft {
            recorded_at,
            zone: text(row, 5, "zone")?,
            kind: text(row, 6, "kind")?,
            actor: actor(row, 7)?,
            station: text(row, 10, "station")?,
            program: text(row, 11, "program")?,
            amends: amendment(row)?,
            events: events(row)?,
            inputs: text(row, 18, "inputs")?,
            results: text(row, 19, "results")?,
            editions: text(row, 20, "editions")?,
            words: text(row, 21, "words")?,
            subjects: BTreeSet::new(),
        },
        amended_by: None,
        // A time that cannot be read is told at its own entry.
        went_back: time(row, 22, "recorded_at")
            .ok()
            .filter(|before| *before > recorded_at),
    })
}

/// How many bytes the documents of a draft have.
pub(crate) fn size(content: &Draft) -> usize {
    content.inputs.len() + content.results.len() + content.editions.len() + content.words.len()
}

/// The columns of an event, in the order [`event`] reads them. The fourth is a number, 0 or 1.
pub(crate) const EVENT: &str =
    "job, number, at, ends, actor_id, actor_name, actor_how, station, hash, event";

/// The event of a job at a place.
pub(crate) fn event(row: &impl Columns, job: i64, number: i64) -> EventRow {
    EventRow {
        job,
        number,
        hash: hash(row, 8, "hash").ok(),
        event: read_event(row, job, number),
    }
}

fn read_event(row: &impl Columns, job: i64, number: i64) -> Read<BenchEvent> {
    let positive = |column, found: i64| {
        u64::try_from(found).map_err(|_| Unreadable::Number {
            column,
            found: Some(found),
        })
    };
    Ok(BenchEvent {
        job: positive("job", job)?,
        number: positive("number", number)?,
        at: time(row, 2, "at")?,
        ends: match row.number_if_any(3) {
            Ok(Some(0)) => false,
            Ok(Some(1)) => true,
            found => {
                let (column, found) = ("ends", found.ok().flatten());
                return Err(Unreadable::Number { column, found });
            }
        },
        actor: actor(row, 4)?,
        station: text(row, 7, "station")?,
        hash: hash(row, 8, "hash")?,
        event: text(row, 9, "event")?,
    })
}

pub(crate) fn text(row: &impl Columns, index: usize, column: &'static str) -> Read<String> {
    row.text(index).map_err(unreadable(column))
}

/// A column that the engine cannot read as what it must be.
fn unreadable<E: fmt::Display>(column: &'static str) -> impl Fn(E) -> Unreadable {
    move |error| Unreadable::Column {
        column,
        detail: error.to_string(),
    }
}

pub(crate) fn hash(row: &impl Columns, index: usize, column: &'static str) -> Read<Hash> {
    let found = text(row, index, column)?;
    found
        .parse()
        .map_err(|_| Unreadable::Hash { column, found })
}

pub(crate) fn time(row: &impl Columns, index: usize, column: &'static str) -> Read<Timestamp> {
    let found = text(row, index, column)?;
    found
        .parse()
        .ok()
        .filter(|time| time::written(*time) == found)
        .ok_or(Unreadable::Time { column, found })
}

/// An actor in three columns.
fn actor(row: &impl Columns, first: usize) -> Read<Actor> {
    let how = text(row, first + 2, "actor_how")?;
    Ok(Actor {
        id: text(row, first, "actor_id")?,
        name: text(row, first + 1, "actor_name")?,
        how: Identified::from_code(&how).ok_or(Unreadable::Identified { found: how })?,
    })
}

fn amendment(row: &impl Columns) -> Read<Option<Amendment>> {
    let column = "amends";
    let sequence = row.number_if_any(12).map_err(unreadable(column))?;
    let check = row.text_if_any(13).map_err(unreadable(column))?;
    let reason = row.text_if_any(14).map_err(unreadable(column))?;
    match (sequence, check, reason) {
        (None, None, None) => Ok(None),
        (Some(sequence), Some(check), Some(reason)) => u64::try_from(sequence)
            .ok()
            .and_then(|sequence| EntryId::from_parts(sequence, &check))
            .map(|entry| Some(Amendment { entry, reason }))
            .ok_or(Unreadable::Amendment { sequence, check }),
        _ => Err(Unreadable::Incomplete { column }),
    }
}

fn events(row: &impl Columns) -> Read<Option<JobEvents>> {
    let number = |index: usize, column| {
        let found = row.number_if_any(index).map_err(unreadable(column))?;
        match found.map(u64::try_from) {
            None => Ok(None),
            Some(Ok(number)) => Ok(Some(number)),
            Some(Err(_)) => Err(Unreadable::Number { column, found }),
        }
    };
    let column = "job_hash";
    let kept = row.text_if_any(17).map_err(unreadable(column))?;
    let has_hash = kept.is_some();
    match (number(15, "job")?, number(16, "job_events")?, has_hash) {
        (None, None, false) => Ok(None),
        (Some(job), Some(count), true) => Ok(Some(JobEvents {
            job,
            count,
            hash: hash(row, 17, column)?,
        })),
        _ => Err(Unreadable::Incomplete { column: "job" }),
    }
}

/// Whether a condition of a filter looks into the facts.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum ByFacts {
    /// None may: they are not complete.
    Never,
    May,
    Does,
}

impl ByFacts {
    /// Before any condition is looked at.
    pub const fn of(complete: bool) -> Self {
        if complete { Self::May } else { Self::Never }
    }
}
