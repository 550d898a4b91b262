//! The addresses of what the gauge room keeps: check parts, and the room.

use axum::extract::rejection::FormRejection;
use axum::extract::{Form, State};
use axum::http::StatusCode;
use axum::response::Response;
use metrology::units::{Entered, EntryError};
use workshop::checks_on_record;
use workshop::gauge_record::check::{BY_HAND, Room, RoomValue};
use workshop::gauge_room::room_log::{self, NoMoment};
use workshop::station;

use super::app::{App, Shared};
use super::form::recorded;
use super::pages::{checks, room};
use super::reply::{self, look_back};
use crate::clock;
use crate::desk;
use crate::failure::Failure;
use crate::given::{self, HUMIDITY, TEMPERATURE};
use crate::say;

/// The longest log taken, in bytes: a value a minute for two weeks.
pub const LONGEST_LOG: usize = 1 << 20;

pub async fn checks(State(app): Shared) -> Response {
    look_back(app, |app| {
        let markup = checks::page(app, &checks::Typed::default(), None)?;
        Ok(reply::page(StatusCode::OK, markup))
    })
    .await
}

/// Records a check, or shows the form again with what is wrong.
pub async fn record_check(
    State(app): Shared,
    form: Result<Form<checks::Typed>, FormRejection>,
) -> Response {
    recorded(
        app,
        form,
        |typed| &typed.token,
        |app, typed| check(app, typed).map(|()| "/checks".to_owned()),
        |app, typed, wrong| checks::page(app, typed, Some(wrong)),
    )
    .await
}

pub async fn room(State(app): Shared) -> Response {
    look_back(app, |app| {
        let markup = room::page(app, &room::Typed::default(), None)?;
        Ok(reply::page(StatusCode::OK, markup))
    })
    .await
}

/// Records the room, or shows the form again with what is wrong.
pub async fn record_room(
    State(app): Shared,
    form: Result<Form<room::Typed>, FormRejection>,
) -> Response {
    recorded(
        app,
        form,
        |typed| &typed.token,
        |app, typed| values(app, typed).map(|()| "/room".to_owned()),
        |app, typed, wrong| room::page(app, typed, Some(wrong)),
    )
    .await
}

fn check(app: &App, typed: &checks::Typed) -> Result<(), Failure> {
    let named = [
        ("part", &typed.part),
        ("instrument", &typed.instrument),
        ("contacts", &typed.contacts),
        ("person", &typed.person),
    ];
    on_one_line(&named)?;
    let readings = readings(&typed.readings).map_err(|why| Failure::refused(&why))?;
    let now = clock::now()?;
    let (part, instrument, contacts) = (&typed.part, &typed.instrument, &typed.contacts);
    let check = checks_on_record::of(part, instrument, contacts, &readings, now);
    let check = check.map_err(|why| Failure::refused(&why))?;
    let recorder = desk::recorder(typed.person.trim());
    let done = checks_on_record::record(&app.ledger, &check, now, &recorder);
    done.map(drop).map_err(|error| Failure::on_page(&error))
}

/// Readings one behind the other; the unit may stand behind the last alone, and apart from its number.
fn readings(text: &str) -> Result<Vec<Entered>, EntryError> {
    let mut typed: Vec<String> = Vec::new();
    for word in text
        .split([' ', ';', '\n', '\r', '\t'])
        .filter(|word| !word.is_empty())
    {
        match typed.last_mut() {
            Some(number) if !word.contains(|c: char| c.is_ascii_digit()) => number.push_str(word),
            _ => typed.push(word.to_owned()),
        }
    }
    let last = typed
        .last()
        .map(|last| Entered::parse(last, None))
        .transpose()?;
    let unit = last.map(|last| last.unit());
    typed
        .iter()
        .map(|text| Entered::parse(text, unit))
        .collect()
}

fn values(app: &App, typed: &room::Typed) -> Result<(), Failure> {
    let named = [
        ("thermometer", &typed.thermometer),
        ("person", &typed.person),
    ];
    on_one_line(&named)?;
    let now = clock::now()?;
    let (source, values) = if typed.log.trim().is_empty() {
        let value = value(typed, now)?;
        (BY_HAND.to_owned(), vec![value])
    } else {
        on_one_line(&[("file", &typed.file)])?;
        let values = room_log::parse(&typed.log).map_err(|why| Failure::refused(&why))?;
        (typed.file.trim().to_owned(), values)
    };
    let room = Room {
        thermometer: typed.thermometer.trim().to_owned(),
        source,
        values,
    };
    let recorder = desk::recorder(typed.person.trim());
    let done = checks_on_record::record_room(&app.ledger, &room, now, &recorder);
    done.map(drop).map_err(|error| Failure::on_page(&error))
}

fn value(typed: &room::Typed, now: jiff::Timestamp) -> Result<RoomValue, Failure> {
    let read = |range: given::Range, field: &str, text: &str| {
        range
            .read(field, text)
            .map_err(|why| Failure::refused(&why))
    };
    let at = match typed.at.trim() {
        "" => now,
        text => room_log::moment(text).map_err(|why| {
            Failure::input(match why {
                NoMoment::NoTime => say!("jobfile.no-time", text = text),
                NoMoment::NotOne => say!("room.time-twice", text = text, zone = station::zone()),
            })
        })?,
    };
    let humidity = typed.humidity.trim();
    Ok(RoomValue {
        at,
        celsius: read(TEMPERATURE, "temperature", &typed.celsius)?,
        humidity: match humidity {
            "" => None,
            text => Some(read(HUMIDITY, "humidity", text)?),
        },
    })
}

/// Refuses the first text that is missing, or that would not be shown as it is meant.
fn on_one_line(texts: &[(&str, &String)]) -> Result<(), Failure> {
    texts.iter().try_for_each(|(field, text)| {
        given::on_one_line(field, text)
            .map(drop)
            .map_err(|why| Failure::refused(&why))
    })
}

#[cfg(test)]
mod tests {
    use super::readings;

    #[test]
    fn the_unit_may_stand_behind_the_last_reading() {
        for text in ["9.999mm 10.000mm", "9.999 10.000 mm", "9.999; 10.000mm"] {
            let read = readings(text).unwrap();
            let texts: Vec<&str> = read.iter().map(metrology::units::Entered::text).collect();
            assert_eq!(texts, ["9.999mm", "10.000mm"], "{text}");
        }
        assert!(readings("9.999").is_err());
        assert!(readings("").unwrap().is_empty());
    }
}
