//! The addresses of certificates from outside: the form of a piece, what a digital certificate fills in, and recording.

use axum::body::Bytes;
use axum::extract::rejection::{BytesRejection, FormRejection};
use axum::extract::{Form, Path, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::Response;
use workshop::gauge_record::certificate::{Certified, Conformity, Heading};
use workshop::gauge_record::piece::{PieceId, PieceKind};
use workshop::gauge_room::{certificate_table, certified};
use workshop::register::Register;
use workshop::station;

use super::app::{App, LineRefused, Shared};
use super::pages::certificate::{self as page, Told, Typed};
use super::pages::field::{Fault, in_order, needed, one_line};
use super::pages::register_form::Forms;
use super::pass::same;
use super::register::shown;
use super::reply::{self, blocking};
use super::upload::Form as Upload;
use super::words as own_words;
use crate::bench::words as bench_words;
use crate::clock;
use crate::desk;
use crate::exchange::dcc;
use crate::failure::Failure;
use crate::report::certified::{follows, set_apart_for};
use crate::say;
use crate::words;

/// The longest form with a file, in bytes.
pub const LONGEST_UPLOAD: usize = 32 << 20;

/// The form, with who recorded last.
pub async fn form(State(app): Shared, Path((kind, id)): Path<(String, String)>) -> Response {
    blocking(app, move |app| {
        let Some(piece) = known(app, &kind, &id)? else {
            return Ok(reply::not_found());
        };
        let typed = Typed {
            person: app.books()?.last_person.clone().unwrap_or_default(),
            values: certificate_table::table(&[]),
            ..Typed::default()
        };
        let markup = page::page(app, &piece, &typed, &Told::Nothing, &[]);
        Ok(reply::page(StatusCode::OK, markup))
    })
    .await
}

/// The form with what a digital certificate says filled in. Nothing is recorded.
pub async fn read(
    State(app): Shared,
    Path((kind, id)): Path<(String, String)>,
    headers: HeaderMap,
    body: Result<Bytes, BytesRejection>,
) -> Response {
    blocking(app, move |app| {
        let Some(piece) = known(app, &kind, &id)? else {
            return Ok(reply::not_found());
        };
        let body = body.ok();
        let Some(form) = body.as_ref().and_then(|body| Upload::of(&headers, body)) else {
            return Ok(reply::broken_form());
        };
        let mut typed = Typed {
            person: app.books()?.last_person.clone().unwrap_or_default(),
            ..Typed::default()
        };
        if !same(form.token(), &app.token) {
            let wrong = words::said(&LineRefused::StaleForm);
            let markup = page::page(app, &piece, &typed, &Told::wrong(&wrong), &[]);
            return Ok(reply::page(StatusCode::FORBIDDEN, markup));
        }
        let item = Some(form.text("item")).filter(|item| !item.is_empty());
        let (status, told, faults) = match taken(form.content("file"), item.as_deref()) {
            Ok(read) => {
                let marks = read.marked.join(", ");
                let told = say!("certificate-page.read", item = read.item, marked = marks);
                typed.fill(&read);
                (StatusCode::OK, Some(told), Vec::new())
            }
            Err(Failure::Input(why)) => {
                (StatusCode::UNPROCESSABLE_ENTITY, None, vec![("file", why)])
            }
            Err(failure) => return Err(failure),
        };
        let told = told.map_or(Told::Nothing, Told::Taken);
        let markup = page::page(app, &piece, &typed, &told, &faults);
        Ok(reply::page(status, markup))
    })
    .await
}

fn taken(content: &[u8], item: Option<&str>) -> Result<dcc::read::Read, Failure> {
    if content.is_empty() {
        return Err(Failure::input(say!("certificate-page.no-file")));
    }
    let text = std::str::from_utf8(content).map_err(|error| {
        let at = error.valid_up_to();
        Failure::input(say!("study-file.not-utf-8", at = at))
    })?;
    dcc::read::parse(text.strip_prefix('\u{feff}').unwrap_or(text), item)
}

/// Records a certificate and says what follows from it, or shows the form again with what is wrong.
pub async fn keep(
    State(app): Shared,
    Path((kind, id)): Path<(String, String)>,
    form: Result<Form<Typed>, FormRejection>,
) -> Response {
    let typed = match form {
        Ok(Form(typed)) => typed,
        Err(rejection) => return reply::refused_form(&rejection),
    };
    blocking(app, move |app| {
        let Some(piece) = known(app, &kind, &id)? else {
            return Ok(reply::not_found());
        };
        let again = |status, wrong: Option<&str>, faults: &[Fault]| {
            let told = wrong.map_or(Told::Nothing, Told::wrong);
            let markup = page::page(app, &piece, &typed, &told, faults);
            Ok(reply::page(status, markup))
        };
        if !same(&typed.token, &app.token) {
            let wrong = words::said(&LineRefused::StaleForm);
            return again(StatusCode::FORBIDDEN, Some(&wrong), &[]);
        }
        let unprocessable = StatusCode::UNPROCESSABLE_ENTITY;
        let certificate = match certificate(&piece, &typed) {
            Ok(certificate) => certificate,
            Err(faults) => return again(unprocessable, None, &faults),
        };
        let today = station::day(clock::now()?);
        let number = certificate.heading.number.clone();
        let reason = |stated: Conformity| set_apart_for(&number, stated);
        let recorder = desk::recorder(typed.person.trim());
        let recorded = app.gauge_room(|ledger| {
            certified::record(ledger, &certificate, today, &recorder, &reason)
        });
        match recorded {
            Ok((entry, apart)) => {
                let register = Register::read(&app.ledger)?;
                let told = follows(&register, &certificate, apart.as_ref());
                let markup = page::recorded(&piece, &certificate, &entry, &told);
                Ok(reply::page(StatusCode::OK, markup))
            }
            Err(error) if error.is_input() => {
                again(unprocessable, Some(&words::error_on_page(&error)), &[])
            }
            Err(error) => Err(Failure::on_page(&error)),
        }
    })
    .await
}

/// The piece of an address, where there is one: a mistyped address makes none.
fn known(app: &App, kind: &str, id: &str) -> Result<Option<PieceId>, Failure> {
    let Some(piece) = PieceKind::of(kind).map(|kind| PieceId::new(kind, id)) else {
        return Ok(None);
    };
    Ok(shown(app, kind, id, None, &Forms::default())?.map(|_| piece))
}

/// The certificate that a form describes, or all of its fields that are wrong.
fn certificate(piece: &PieceId, typed: &Typed) -> Result<Certified, Vec<Fault>> {
    let mut faults = Vec::new();
    for (field, text) in typed.lines() {
        let wrong = if page::NEEDED.contains(&field) {
            needed(page::label(field), text)
        } else {
            one_line(text)
        };
        faults.extend(wrong.map(|wrong| (field, wrong)));
    }
    let mut day = |field: &'static str, text: &str| {
        let day = text.trim().parse().ok();
        if day.is_none() && !text.trim().is_empty() {
            faults.push((field, bench_words::no_date(text.trim())));
        }
        day
    };
    let (date, due) = (day("date", &typed.date), day("due", &typed.due));
    let optional = |text: &str| Some(text.trim().to_owned()).filter(|text| !text.is_empty());
    let body = optional(&typed.accreditation_body);
    let accreditation = body.zip(optional(&typed.accreditation_number));
    let half = [&typed.accreditation_body, &typed.accreditation_number];
    if accreditation.is_none()
        && let Some(at) = half.iter().position(|text| text.trim().is_empty())
        && half.iter().any(|text| !text.trim().is_empty())
    {
        let field = ["accreditation_body", "accreditation_number"][at];
        faults.push((field, say!("certificate-page.half").to_owned()));
    }
    let values = match typed.values.trim() {
        "" => {
            faults.push(("values", own_words::needed(page::label("values"))));
            Vec::new()
        }
        text => certificate_table::parse(text).unwrap_or_else(|why| {
            faults.push(("values", words::said(&why)));
            Vec::new()
        }),
    };
    let conformity = Conformity::of(&typed.conformity);
    let conformity = conformity.map(|stated| stated.key().to_owned());
    let Some(date) = date.filter(|_| faults.is_empty()) else {
        return Err(in_order(faults, &page::FIELDS));
    };
    Ok(Certified {
        piece: piece.clone(),
        heading: Heading {
            issuer: typed.issuer.trim().to_owned(),
            accreditation,
            national_institute: typed.traced == page::NATIONAL,
            chain: typed
                .chain
                .split(',')
                .map(|one| one.trim().to_owned())
                .filter(|one| !one.is_empty())
                .collect(),
            number: typed.number.trim().to_owned(),
            date,
            procedure: optional(&typed.procedure),
            conditions: optional(&typed.conditions),
        },
        values,
        due,
        conformity,
    })
}
