//! The addresses of what the gauge room keeps: check parts, and the room.

use axum::extract::rejection::FormRejection;
use axum::extract::{Form, State};
use axum::http::StatusCode;
use axum::response::Response;
use jiff::Timestamp;
use metrology::units::{Entered, EntryError};
use workshop::checks_on_record::{self, CheckError};
use workshop::gauge_record::check::{BY_HAND, Room, RoomValue};
use workshop::gauge_record::piece::PieceKind;
use workshop::gauge_room::room_log::{self, NoMoment};
use workshop::{not_known, station};

use super::app::{App, Shared};
use super::form::{none_wrong, recorded};
use super::pages::field::{Fault, needed};
use super::pages::{checks, room};
use super::reply::{self, look_back};
use super::words as own_words;
use crate::clock;
use crate::desk;
use crate::failure::Failure;
use crate::given::{self, HUMIDITY, TEMPERATURE};
use crate::say;
use crate::words;

/// The longest log taken, in bytes: a value a minute for two weeks.
pub const LONGEST_LOG: usize = 1 << 20;

pub async fn checks(State(app): Shared) -> Response {
    look_back(app, |app| {
        let markup = checks::page(app, &checks::Typed::default(), None, &[])?;
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
        |app, typed, wrong| checks::page(app, typed, Some(wrong), &of_check(app, typed)?),
    )
    .await
}

pub async fn room(State(app): Shared) -> Response {
    look_back(app, |app| {
        let markup = room::page(app, &room::Typed::default(), None, &[])?;
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
        |app, typed, wrong| room::page(app, typed, Some(wrong), &of_room(app, typed)?),
    )
    .await
}

fn check(app: &App, typed: &checks::Typed) -> Result<(), Failure> {
    none_wrong(of_check(app, typed)?)?;
    let readings = readings(&typed.readings).map_err(|why| Failure::refused(&why))?;
    let now = clock::now()?;
    let (part, instrument, contacts) = (&typed.part, &typed.instrument, &typed.contacts);
    let check = checks_on_record::of(part, instrument, contacts, &readings, now);
    let check = check.map_err(|why| Failure::refused(&why))?;
    let recorder = desk::recorder(typed.person.trim());
    let done = checks_on_record::record(&app.ledger, &check, now, &recorder);
    done.map(drop).map_err(|error| Failure::on_page(&error))
}

/// The fields of a check that are empty or wrong, in their order.
fn of_check(app: &App, typed: &checks::Typed) -> Result<Vec<Fault>, Failure> {
    let values = [
        &typed.part,
        &typed.instrument,
        &typed.contacts,
        &typed.readings,
        &typed.person,
    ];
    let mut faults = Vec::new();
    for ((field, label), text) in checks::fields().into_iter().zip(values) {
        let wrong = match field {
            "instrument" => identity(app, PieceKind::Instrument, label, text)?,
            "contacts" => identity(app, PieceKind::Contacts, label, text)?,
            "readings" => match readings(text) {
                Ok(read) if read.is_empty() => Some(words::said(&CheckError::NoReadings)),
                Ok(_) => None,
                Err(why) => Some(words::said(&why)),
            },
            _ => needed(label, text),
        };
        faults.extend(wrong.map(|wrong| (field, wrong)));
    }
    Ok(faults)
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
    none_wrong(of_room(app, typed)?)?;
    let now = clock::now()?;
    let (source, values) = if typed.is_log() {
        let values = room_log::parse(&typed.log).map_err(|why| Failure::refused(&why))?;
        (typed.file.trim().to_owned(), values)
    } else {
        let value = RoomValue {
            at: moment(&typed.at, now).map_err(Failure::Input)?,
            celsius: TEMPERATURE
                .read("temperature", &typed.celsius)
                .map_err(|why| Failure::refused(&why))?,
            humidity: humidity(&typed.humidity).map_err(|why| Failure::refused(&why))?,
        };
        (BY_HAND.to_owned(), vec![value])
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

/// The fields of the form that was sent that are empty or wrong, in their order.
fn of_room(app: &App, typed: &room::Typed) -> Result<Vec<Fault>, Failure> {
    let now = clock::now()?;
    let own = if typed.is_log() {
        let log = match typed.log.trim() {
            "" => Some(own_words::needed(room::label("log"))),
            _ => room_log::parse(&typed.log)
                .err()
                .map(|why| words::said(&why)),
        };
        let file = needed(room::label("file"), &typed.file);
        vec![("file", file), ("log", log)]
    } else {
        let celsius = match typed.celsius.trim() {
            "" => Some(own_words::needed(room::label("celsius"))),
            text => TEMPERATURE
                .read("temperature", text)
                .err()
                .map(|why| words::said(&why)),
        };
        let humid = humidity(&typed.humidity).err().map(|why| words::said(&why));
        let at = moment(&typed.at, now).err();
        vec![("celsius", celsius), ("humidity", humid), ("at", at)]
    };
    let thermometer = room::label("thermometer");
    let common = [
        (
            "thermometer",
            identity(app, PieceKind::Thermometer, thermometer, &typed.thermometer)?,
        ),
        ("person", needed(room::label("person"), &typed.person)),
    ];
    let all = own.into_iter().chain(common);
    Ok(all
        .filter_map(|(field, wrong)| Some((field, wrong?)))
        .collect())
}

/// When a value was read: now where nothing is said.
fn moment(text: &str, now: Timestamp) -> Result<Timestamp, String> {
    match text.trim() {
        "" => Ok(now),
        text => room_log::moment(text).map_err(|why| match why {
            NoMoment::NoTime => say!("jobfile.no-time", text = text),
            NoMoment::NotOne => say!("room.time-twice", text = text, zone = station::zone()),
        }),
    }
}

fn humidity(text: &str) -> Result<Option<f64>, given::NumberError> {
    match text.trim() {
        "" => Ok(None),
        text => HUMIDITY.read("humidity", text).map(Some),
    }
}

/// What is wrong with the identity of a piece, which there must be.
fn identity(
    app: &App,
    kind: PieceKind,
    label: &str,
    text: &str,
) -> Result<Option<String>, Failure> {
    if let Some(wrong) = needed(label, text) {
        return Ok(Some(wrong));
    }
    match not_known::check(&app.ledger, &app.books()?.register, kind, text) {
        Ok(()) => Ok(None),
        Err(error) if error.is_input() => Ok(Some(words::error_on_page(&error))),
        Err(error) => Err(Failure::on_page(&error)),
    }
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
