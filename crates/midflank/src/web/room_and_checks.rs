//! The addresses of what the gauge room keeps: check parts, and the room.

use axum::extract::rejection::FormRejection;
use axum::extract::{Form, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use metrology::units::{Entered, EntryError};
use workshop::checks_on_record;
use workshop::gauge_record::check::{BY_HAND, Room, RoomValue};
use workshop::gauge_room::room_log::{self, NoMoment};
use workshop::station;

use super::app::{App, LineRefused, Shared};
use super::pages::{checks, room};
use super::pass::same;
use super::reply::{self, blocking, look_back};
use crate::clock;
use crate::desk;
use crate::failure::Failure;
use crate::given::{self, HUMIDITY, TEMPERATURE};
use crate::say;
use crate::words;

/// The longest log taken, in bytes: a value a minute for two weeks.
pub const LONGEST_LOG: usize = 1 << 20;

/// Nothing, or what is wrong.
type Recorded = Result<Option<String>, Failure>;

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
    answer(
        app,
        form,
        "/checks",
        |typed| &typed.token,
        check,
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
    answer(
        app,
        form,
        "/room",
        |typed| &typed.token,
        values,
        |app, typed, wrong| room::page(app, typed, Some(wrong)),
    )
    .await
}

/// Records what a form says and leads back to its page, or shows it again with what is wrong.
async fn answer<T: Send + 'static>(
    app: std::sync::Arc<App>,
    form: Result<Form<T>, FormRejection>,
    place: &'static str,
    token: impl Fn(&T) -> &str + Send + 'static,
    record: impl Fn(&App, &T) -> Recorded + Send + 'static,
    again: impl Fn(&App, &T, &str) -> Result<maud::Markup, Failure> + Send + 'static,
) -> Response {
    let typed = match form {
        Ok(Form(typed)) => typed,
        Err(rejection) => return reply::refused_form(&rejection),
    };
    blocking(app, move |app| {
        if !same(token(&typed), &app.token) {
            let wrong = words::said(&LineRefused::StaleForm);
            let markup = again(app, &typed, &wrong)?;
            return Ok(reply::page(StatusCode::FORBIDDEN, markup));
        }
        match record(app, &typed)? {
            None => Ok((StatusCode::SEE_OTHER, [(header::LOCATION, place)]).into_response()),
            Some(wrong) => {
                let markup = again(app, &typed, &wrong)?;
                Ok(reply::page(StatusCode::UNPROCESSABLE_ENTITY, markup))
            }
        }
    })
    .await
}

/// What a refusal says; what is not the fault of the form fails.
fn of(error: &workshop::Error) -> Recorded {
    if error.is_input() {
        Ok(Some(words::error_on_page(error)))
    } else {
        Err(Failure::on_page(error))
    }
}

fn check(app: &App, typed: &checks::Typed) -> Recorded {
    let named = [
        ("part", &typed.part),
        ("instrument", &typed.instrument),
        ("contacts", &typed.contacts),
        ("person", &typed.person),
    ];
    if let Some(wrong) = first_wrong(&named) {
        return Ok(Some(wrong));
    }
    let readings = match readings(&typed.readings) {
        Ok(readings) => readings,
        Err(why) => return Ok(Some(words::said(&why))),
    };
    let now = clock::now()?;
    let (part, instrument, contacts) = (&typed.part, &typed.instrument, &typed.contacts);
    let check = match checks_on_record::of(part, instrument, contacts, &readings, now) {
        Ok(check) => check,
        Err(why) => return Ok(Some(words::said(&why))),
    };
    let recorder = desk::recorder(typed.person.trim());
    match checks_on_record::record(&app.ledger, &check, now, &recorder) {
        Ok(_) => Ok(None),
        Err(error) => of(&error),
    }
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

fn values(app: &App, typed: &room::Typed) -> Recorded {
    let named = [
        ("thermometer", &typed.thermometer),
        ("person", &typed.person),
    ];
    if let Some(wrong) = first_wrong(&named) {
        return Ok(Some(wrong));
    }
    let now = clock::now()?;
    let (source, values) = if typed.log.trim().is_empty() {
        match value(typed, now) {
            Ok(value) => (BY_HAND.to_owned(), vec![value]),
            Err(wrong) => return Ok(Some(wrong)),
        }
    } else {
        if let Some(wrong) = first_wrong(&[("file", &typed.file)]) {
            return Ok(Some(wrong));
        }
        match room_log::parse(&typed.log) {
            Ok(values) => (typed.file.trim().to_owned(), values),
            Err(why) => return Ok(Some(words::said(&why))),
        }
    };
    let room = Room {
        thermometer: typed.thermometer.trim().to_owned(),
        source,
        values,
    };
    let recorder = desk::recorder(typed.person.trim());
    match checks_on_record::record_room(&app.ledger, &room, now, &recorder) {
        Ok(_) => Ok(None),
        Err(error) => of(&error),
    }
}

fn value(typed: &room::Typed, now: jiff::Timestamp) -> Result<RoomValue, String> {
    let read = |range: given::Range, field: &str, text: &str| {
        range.read(field, text).map_err(|why| words::said(&why))
    };
    let at = match typed.at.trim() {
        "" => now,
        text => room_log::moment(text).map_err(|why| match why {
            NoMoment::NoTime => say!("jobfile.no-time", text = text),
            NoMoment::NotOne => say!("room.time-twice", text = text, zone = station::zone()),
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

/// What is wrong with the first text that is missing, or that would not be shown as it is meant.
fn first_wrong(texts: &[(&str, &String)]) -> Option<String> {
    for (field, text) in texts {
        if let Err(why) = given::on_one_line(field, text) {
            return Some(words::said(&why));
        }
    }
    None
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
