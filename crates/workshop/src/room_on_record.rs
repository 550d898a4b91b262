//! The record of the room, and what it says of a result under a plan that limits the room.

use std::collections::BTreeMap;

use jiff::{SignedDuration, Timestamp};
use ledger::{Difference, Entry, Filter, Ledger, Order, Page, Subject};
use metrology::inspection::{Job, StatusNote, Unfit, is_of_room};
use metrology::message::{Message, Say as _, Value};
use metrology::units::Celsius;

use crate::checks_on_record::room;
use crate::error::Error;
use crate::gauge_record::check::{ROOM, RoomValue};
use crate::inspection_plan::RoomLimits;
use crate::kept::{self, Unreadable};
use crate::record::method_of;
use crate::record_kind::RecordKind;
use crate::register::thermometers::{error_at, known_before};
use crate::register::{Registered, Shelf};

/// What thermometers showed, by their time.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RoomRecord {
    by_thermometer: BTreeMap<String, Vec<RoomValue>>,
    /// What the register knew of each thermometer; none where what they showed counts as it is, as by methods before 6.
    known: Option<BTreeMap<String, Option<Registered>>>,
}

impl RoomRecord {
    /// What counts for results measured at a moment or later.
    pub fn read(ledger: &Ledger, limits: &RoomLimits, from: Timestamp) -> Result<Self, Error> {
        let from = from
            .checked_sub(span(limits.within))
            .unwrap_or(Timestamp::MIN);
        Self::since(ledger, Some(from))
    }

    /// What counted for a result of this entry: what was on record before it.
    fn before(
        ledger: &Ledger,
        limits: &RoomLimits,
        at: Timestamp,
        entry: &Entry,
    ) -> Result<Self, Error> {
        let from = at.checked_sub(span(limits.within)).ok();
        let filter = Filter {
            subjects: vec![Subject::new(ROOM.0, ROOM.1)],
            since: from,
            ..RecordKind::Room.all()
        };
        let record = Self::listed(ledger, &filter, from, entry.sequence)?;
        if method_of(entry).is_some_and(|method| method < THERMOMETERS_SINCE) {
            return Ok(record);
        }
        record.with_known(ledger, entry.sequence)
    }

    /// The same by the ledger of a shelf, where there is one.
    pub fn on_shelf(shelf: &Shelf, limits: &RoomLimits, from: Timestamp) -> Result<Self, Error> {
        let read = shelf.in_ledger(|ledger| Self::read(ledger, limits, from).map(Some))?;
        Ok(read.unwrap_or_default())
    }

    /// All values of a moment or later.
    pub fn since(ledger: &Ledger, from: Option<Timestamp>) -> Result<Self, Error> {
        let filter = Filter {
            subjects: vec![Subject::new(ROOM.0, ROOM.1)],
            // No value is recorded before its time.
            since: from,
            ..RecordKind::Room.standing()
        };
        Self::listed(ledger, &filter, from, u64::MAX)?.with_known(ledger, u64::MAX)
    }

    /// As it stood before the entry of a sequence number.
    fn listed(
        ledger: &Ledger,
        filter: &Filter,
        from: Option<Timestamp>,
        until: u64,
    ) -> Result<Self, Error> {
        let mut record = Self::default();
        let mut page = Some(Page::first(Order::OldestFirst, Page::LARGEST));
        while let Some(next) = page {
            let listing = ledger.list(filter, &next)?;
            let stood = |one: &&Entry| {
                let replaced = one.amended_by.is_some_and(|by| by.sequence() < until);
                one.sequence < until && !replaced
            };
            for entry in listing.entries.iter().filter(stood) {
                let room = room(entry)?;
                let values = room.values.into_iter();
                record.add(
                    &room.thermometer,
                    values.filter(|value| from.is_none_or(|from| value.at >= from)),
                );
            }
            let last = listing.entries.last();
            let goes_on = last.is_none_or(|last| last.sequence < until);
            page = listing.next.filter(|_| goes_on);
        }
        for values in record.by_thermometer.values_mut() {
            values.sort_by_key(|value| value.at);
        }
        Ok(record)
    }

    /// With what the register knew of each thermometer before the entry of a sequence number.
    fn with_known(mut self, ledger: &Ledger, until: u64) -> Result<Self, Error> {
        let all = self.by_thermometer.keys();
        let known = all.map(|id| Ok((id.clone(), known_before(ledger, id, until)?)));
        self.known = Some(known.collect::<Result<_, Error>>()?);
        Ok(self)
    }

    /// What a thermometer is out by at a moment, kelvins, or why what it showed does not count.
    fn error_at(&self, thermometer: &str, at: Timestamp) -> Result<f64, Unfit> {
        match &self.known {
            None => Ok(0.0),
            Some(known) => error_at(known.get(thermometer).and_then(Option::as_ref), at),
        }
    }

    fn add(&mut self, thermometer: &str, values: impl Iterator<Item = RoomValue>) {
        let of = self.by_thermometer.entry(thermometer.to_owned());
        of.or_default().extend(values);
    }

    /// Each thermometer with its values by their time.
    pub fn thermometers(&self) -> impl Iterator<Item = (&str, &[RoomValue])> {
        let all = self.by_thermometer.iter();
        all.map(|(thermometer, values)| (thermometer.as_str(), values.as_slice()))
    }

    /// What withholds the verdict of a result measured at a moment; nothing where the room was as it should be.
    ///
    /// Of each thermometer the last value before and the first one after count, as far as they are near enough: the room was
    /// within limits only if all of them are. Its certified error is taken off what a thermometer showed; one that is set apart,
    /// overdue or not registered shows nothing.
    pub fn note(&self, limits: &RoomLimits, at: Timestamp) -> Option<StatusNote> {
        let within = limits.within;
        let temperature = limits.temperature.and_then(|[lower, upper]| {
            let near = self.near(at, within, |value, error| Some(value.celsius - error));
            match judged(near, lower, upper) {
                Judged::Within => None,
                Judged::Nothing => Some(StatusNote::NoRoomTemperature { within }),
                Judged::Unfit(thermometer, at, why) => Some(StatusNote::RoomThermometer {
                    thermometer,
                    at,
                    why,
                }),
                Judged::Outside(thermometer, at, value) => Some(StatusNote::RoomTemperature {
                    thermometer,
                    at,
                    value,
                    lower,
                    upper,
                }),
            }
        });
        temperature.or_else(|| {
            let [lower, upper] = limits.humidity?;
            let near = self.near(at, within, |value, _| value.humidity);
            match judged(near, lower, upper) {
                Judged::Within => None,
                Judged::Nothing => Some(StatusNote::NoRoomHumidity { within }),
                Judged::Unfit(thermometer, at, why) => Some(StatusNote::RoomThermometer {
                    thermometer,
                    at,
                    why,
                }),
                Judged::Outside(thermometer, at, value) => Some(StatusNote::RoomHumidity {
                    thermometer,
                    at,
                    value,
                    lower,
                    upper,
                }),
            }
        })
    }

    /// What stands with a job that a plan limits the room for.
    pub fn notes(&self, limits: &RoomLimits, job: &Job) -> impl Iterator<Item = StatusNote> {
        let withheld = self.note(limits, job.measured_at);
        withheld
            .into_iter()
            .chain(self.other_temperature(limits, job))
    }

    /// A temperature of the job that is far from one that a thermometer showed near the measurement.
    fn other_temperature(&self, limits: &RoomLimits, job: &Job) -> Option<StatusNote> {
        let read = job.temperature.as_ref()?;
        let temperatures = [Some(read.part), Some(read.standard), read.instrument];
        let temperatures = temperatures.into_iter().flatten().map(Celsius::degrees);
        let shown = |value: &RoomValue, error: f64| Some(value.celsius - error);
        let near = self.near(job.measured_at, limits.within, shown);
        let mut known =
            near.filter_map(|(thermometer, at, value)| Some((thermometer, at, value.ok()?)));
        known.find_map(|(thermometer, at, value)| {
            let mut stated = temperatures.clone();
            let stated = stated.find(|stated| (stated - value).abs() > FAR)?;
            Some(StatusNote::OtherTemperature {
                thermometer: thermometer.to_owned(),
                at,
                value,
                stated,
            })
        })
    }

    fn near(
        &self,
        at: Timestamp,
        within: u64,
        of: impl Fn(&RoomValue, f64) -> Option<f64> + Copy,
    ) -> impl Iterator<Item = Near<'_>> {
        self.thermometers().flat_map(move |(thermometer, values)| {
            let split = values.partition_point(|value| value.at <= at);
            let (before, after) = values.split_at_checked(split).unwrap_or_default();
            let known = move |value: &RoomValue| {
                // Without an error only to see whether it shows the quantity at all.
                of(value, 0.0)?;
                let error = self.error_at(thermometer, value.at);
                let shown = error.map(|error| of(value, error).unwrap_or_default());
                Some((thermometer, value.at, shown))
            };
            let before = before.iter().rev().find_map(known);
            let after = after.iter().find_map(known);
            let near = move |(_, when, _): &Near| when.duration_since(at).abs() <= span(within);
            before.into_iter().chain(after).filter(near)
        })
    }
}

/// Temperatures of a job this far from the room contradict it, kelvins: a part may come in warm (common practice, no source).
const FAR: f64 = 3.0;

/// The first method whose results are judged by what is known of the thermometer.
const THERMOMETERS_SINCE: u32 = 6;

/// How the notes begin with which a plan limits the room.
const PLAN_NOTE: &str = "plan-note.room-";

/// Where the room that stands with a result is not the one that was on record before it; nothing where it is, or where the plan
/// asked nothing of the room.
pub fn differs(ledger: &Ledger, entry: &Entry) -> Result<Option<Difference>, Error> {
    // Most results are nobody's concern here: they are not read for it.
    let asked = entry.content.inputs.contains(PLAN_NOTE);
    if !RecordKind::Inspection.is_of(entry) || !asked {
        return Ok(None);
    }
    // What cannot be read is told by the calculation itself.
    let Ok(job) = kept::read::<Job>(kept::JOB, &entry.content.inputs) else {
        return Ok(None);
    };
    let Some(limits) = RoomLimits::noted(&job.notes) else {
        return Ok(None);
    };
    let room = RoomRecord::before(ledger, &limits, job.measured_at, entry)?;
    let again = room
        .note(&limits, job.measured_at)
        .map(|note| note.message());
    let stored = job.notes.iter().find_map(|note| match note {
        Value::Message(message) if is_of_room(message) => Some(&**message),
        _ => None,
    });
    let told = |message: Option<&Message>| {
        serde_json::to_string(&message).map_err(|error| Error::outside(Unreadable::from(error)))
    };
    if stored == again.as_ref() {
        return Ok(None);
    }
    Ok(Some(Difference {
        path: "inputs.notes.room".to_owned(),
        stored: told(stored)?,
        computed: told(again.as_ref())?,
    }))
}

/// A thermometer, when it showed something, and what, by its certificate.
type Near<'a> = (&'a str, Timestamp, Result<f64, Unfit>);

enum Judged {
    Within,
    /// Only thermometers that do not count showed something.
    Unfit(String, Timestamp, Unfit),
    Nothing,
    Outside(String, Timestamp, f64),
}

/// A value at a limit is within.
fn judged<'a>(near: impl Iterator<Item = Near<'a>>, lower: f64, upper: f64) -> Judged {
    let mut judged = Judged::Nothing;
    for (thermometer, at, value) in near {
        match (value, &judged) {
            (Ok(value), _) if !(lower..=upper).contains(&value) => {
                return Judged::Outside(thermometer.to_owned(), at, value);
            }
            (Ok(_), _) => judged = Judged::Within,
            (Err(why), Judged::Nothing) => {
                judged = Judged::Unfit(thermometer.to_owned(), at, why);
            }
            (Err(_), _) => {}
        }
    }
    judged
}

fn span(minutes: u64) -> SignedDuration {
    SignedDuration::from_mins(i64::try_from(minutes).unwrap_or(i64::MAX / 60))
}

#[cfg(test)]
mod tests {
    use metrology::message::Say as _;

    use super::*;

    fn at(time: &str) -> Timestamp {
        format!("2026-03-10T{time}Z").parse().unwrap()
    }

    fn record(values: &[(&str, f64, Option<f64>)]) -> RoomRecord {
        let mut record = RoomRecord::default();
        let values = values.iter().map(|(time, celsius, humidity)| RoomValue {
            at: at(time),
            celsius: *celsius,
            humidity: *humidity,
        });
        record.add("th-1", values);
        record
    }

    const LIMITS: RoomLimits = RoomLimits {
        temperature: Some([19.0, 21.0]),
        humidity: None,
        within: 30,
    };

    fn code(record: &RoomRecord, limits: &RoomLimits, time: &str) -> Option<String> {
        let note = record.note(limits, at(time))?;
        Some(note.message().key().to_owned())
    }

    /// A value at a limit is within; the value before and the value after count, each within the span.
    #[test]
    fn the_values_before_and_after_count() {
        let room = record(&[
            ("08:00:00", 21.0, None),
            ("08:20:00", 20.0, None),
            ("09:00:00", 21.1, None),
            ("11:00:00", 20.0, None),
        ]);
        let code = |time| code(&room, &LIMITS, time);
        let is =
            |time, expected: Option<&str>| assert_eq!(code(time).as_deref(), expected, "{time}");
        is("08:00:00", None);
        is("08:10:00", None);
        // The room got too warm some time before 9:00.
        is("08:29:59", None);
        is("08:30:00", Some("room-temperature"));
        is("09:30:00", Some("room-temperature"));
        is("09:30:01", Some("no-room-temperature"));
        is("10:29:59", Some("no-room-temperature"));
        is("10:30:00", None);
        is("11:30:01", Some("no-room-temperature"));
        is("07:29:59", Some("no-room-temperature"));
    }

    /// Any thermometer that shows the room outside counts, and one without humidity says nothing of it.
    #[test]
    fn each_thermometer_and_each_quantity_counts() {
        let mut room = record(&[("08:00:00", 20.0, Some(45.0))]);
        let limits = RoomLimits {
            humidity: Some([30.0, 60.0]),
            ..LIMITS
        };
        assert_eq!(code(&room, &limits, "08:10:00").as_deref(), None);
        let only = |humidity| {
            let value = RoomValue {
                at: at("08:05:00"),
                celsius: 20.5,
                humidity,
            };
            std::iter::once(value)
        };
        room.add("th-2", only(None));
        assert_eq!(code(&room, &limits, "08:10:00").as_deref(), None);
        room.add("th-3", only(Some(60.5)));
        assert_eq!(
            code(&room, &limits, "08:10:00").as_deref(),
            Some("room-humidity")
        );
        let dry = record(&[("08:00:00", 20.0, None)]);
        assert_eq!(
            code(&dry, &limits, "08:10:00").as_deref(),
            Some("no-room-humidity")
        );
    }
}
