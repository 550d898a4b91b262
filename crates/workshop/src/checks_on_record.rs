//! Checks of check parts and records of the room, on the record.

use jiff::Timestamp;
use ledger::{Draft, Entry, Filter, Ledger, Order, Page, Subject};
use metrology::units::{Entered, Length, LengthUnit};

use crate::error::Error;
use crate::gauge_record::check::{CHECKS, Check, OnChart, Room, chart};
use crate::given;
use crate::kept;
use crate::record_kind::RecordKind;
use crate::recorder::Recorder;

metrology::messages! {
    /// Why a check or a room is not recorded.
    pub enum CheckError "check-error" {
        /// Nothing was read.
        NoReadings "no-readings",
        /// Readings so far from the checks before that another part was measured.
        OtherPart "other-part" { part: String as Text, by: f64 as Difference },
        /// From the time to come.
        Ahead "ahead",
        /// Times of a logger that do not rise.
        Order "order" { at: Timestamp as Time },
        /// An entry that cannot be read.
        Unreadable "unreadable" { entry: String as Text },
    }
}

/// A check this far from the mean of those before, millimetres, is of another part (common practice, no source).
const FAR: f64 = 0.2;

/// The checks of a part, the first first; of all parts where none is named.
pub fn all(ledger: &Ledger, part: Option<&str>) -> Result<Vec<Check>, Error> {
    let subject = part.map_or_else(
        || Subject::new(CHECKS.0, CHECKS.1),
        |part| Subject::new("check-part", part.trim()),
    );
    let filter = Filter {
        subjects: vec![subject],
        ..RecordKind::Check.standing()
    };
    let mut all = Vec::new();
    let mut page = Some(Page::first(Order::OldestFirst, Page::LARGEST));
    while let Some(next) = page {
        let listing = ledger.list(&filter, &next)?;
        for entry in &listing.entries {
            all.push(check(entry)?);
        }
        page = listing.next;
    }
    all.sort_by_key(|check: &Check| check.measured_at);
    Ok(all)
}

/// The check that an entry holds.
pub fn check(entry: &Entry) -> Result<Check, Error> {
    kept::read(kept::CHECK, &entry.content.inputs).map_err(|_| unreadable(entry))
}

/// The room that an entry holds.
pub fn room(entry: &Entry) -> Result<Room, Error> {
    kept::read(kept::ROOM, &entry.content.inputs).map_err(|_| unreadable(entry))
}

fn unreadable(entry: &Entry) -> Error {
    Error::outside(CheckError::Unreadable {
        entry: entry.id().to_string(),
    })
}

/// The chart of a part with a set-up, up to a moment.
pub fn chart_of(
    checks: &[Check],
    part: &str,
    instrument: &str,
    contacts: &str,
    until: Timestamp,
) -> OnChart {
    let of = checks.iter().filter(|check| {
        check.part.trim() == part.trim()
            && check.is_with(instrument, contacts)
            && check.measured_at <= until
    });
    let means: Vec<f64> = of.map(|check| check.mean).collect();
    chart(&means, STEP)
}

/// Limits lie at least so far from the mean, millimetres: one step of a usual display (common practice, no source).
const STEP: f64 = 0.001;

/// The check part of a set-up whose last check before a moment is out of its limits; of several the one that was checked last.
/// Another part says nothing of it; one that the gauge room `gave_up` after that check says no more.
pub fn out<'a>(
    checks: &'a [Check],
    instrument: &str,
    contacts: &str,
    at: Timestamp,
    gave_up: impl Fn(&Check) -> bool,
) -> Option<(&'a Check, OnChart)> {
    let with = |check: &&Check| check.is_with(instrument, contacts) && check.measured_at <= at;
    let mut seen: Vec<&str> = Vec::new();
    let checks_back = checks.iter().rev().filter(with);
    let mut last_of_each = checks_back.filter(|check| {
        let part = check.part.trim();
        let is_last = !seen.contains(&part);
        seen.push(part);
        is_last
    });
    last_of_each.find_map(|last| {
        let chart = chart_of(checks, &last.part, instrument, contacts, at);
        (chart.out && !gave_up(last)).then_some((last, chart))
    })
}

/// A check of readings, its mean to the tenth of a nanometre.
pub fn of(
    part: &str,
    instrument: &str,
    contacts: &str,
    readings: &[Entered],
    measured_at: Timestamp,
) -> Result<Check, CheckError> {
    let values: Vec<f64> = readings.iter().map(|one| one.value().mm()).collect();
    let mean = metrology::uncertainty::statistics::mean(&values).ok_or(CheckError::NoReadings)?;
    let mean = Length::nearest_mm(mean).map_or(mean, |mean| mean.in_unit(LengthUnit::Millimetre));
    Ok(Check {
        part: part.trim().to_owned(),
        instrument: instrument.trim().to_owned(),
        contacts: contacts.trim().to_owned(),
        measured_at,
        readings: readings.iter().map(|one| one.text().to_owned()).collect(),
        mean,
    })
}

/// Puts a check on the record, and says what its chart shows.
pub fn record(
    ledger: &Ledger,
    check: &Check,
    now: Timestamp,
    recorder: &Recorder,
) -> Result<(Entry, OnChart), Error> {
    given::on_one_line("person", &recorder.person).map_err(Error::input)?;
    if check.measured_at > now {
        return Err(Error::input(CheckError::Ahead));
    }
    let mut checks = all(ledger, Some(&check.part))?;
    if let Some(before) = checks.last() {
        let by = check.mean - before.mean;
        if by.abs() > FAR {
            let part = check.part.clone();
            return Err(Error::input(CheckError::OtherPart { part, by }));
        }
    }
    let draft = Draft {
        inputs: kept::write(kept::CHECK, check).map_err(Error::outside)?,
        subjects: check.subjects(),
        ..recorder.blank(RecordKind::Check)?
    };
    let entry = ledger.append(&draft)?;
    checks.push(check.clone());
    checks.sort_by_key(|check| check.measured_at);
    let chart = chart_of(
        &checks,
        &check.part,
        &check.instrument,
        &check.contacts,
        check.measured_at,
    );
    Ok((entry, chart))
}

/// Puts what a thermometer showed on the record.
pub fn record_room(
    ledger: &Ledger,
    room: &Room,
    now: Timestamp,
    recorder: &Recorder,
) -> Result<Entry, Error> {
    if room.values.is_empty() {
        return Err(Error::input(CheckError::NoReadings));
    }
    for pair in room.values.windows(2) {
        if let [one, next] = pair
            && next.at <= one.at
        {
            return Err(Error::input(CheckError::Order { at: next.at }));
        }
    }
    if room.values.last().is_some_and(|last| last.at > now) {
        return Err(Error::input(CheckError::Ahead));
    }
    let draft = Draft {
        inputs: kept::write(kept::ROOM, room).map_err(Error::outside)?,
        subjects: room.subjects(),
        ..recorder.blank(RecordKind::Room)?
    };
    Ok(ledger.append(&draft)?)
}
