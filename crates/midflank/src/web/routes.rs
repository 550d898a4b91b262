//! Every address of the bench, in one place.

use std::convert::Infallible;
use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::extract::rejection::QueryRejection;
use axum::extract::{DefaultBodyLimit, Path, Query, State};
use axum::http::{HeaderMap, StatusCode};
use axum::middleware::{from_fn, from_fn_with_state};
use axum::response::Response;
use axum::response::sse::{Event, KeepAlive, Sse};
use axum::routing::{get, post};
use futures_util::stream::{self, Stream};
use serde::Deserialize;

use super::access::{self, admit};
use super::amend;
use super::answer;
use super::app::{App, Shared};
use super::certificates;
use super::connections::{Taken, whole};
use super::equipment_list;
use super::first_articles;
use super::gauge_room;
use super::guard::{LONGEST_BODY, guard};
use super::locale::decimal_sign;
use super::lot_routes;
use super::nonconforming;
use super::pages::Asked;
use super::pages::{self, history};
use super::pass::DOOR;
use super::plans;
use super::process;
use super::recalls;
use super::register;
use super::reply::{self, blocking, found, look_back, page};
use super::room_and_checks;
use super::studies;
use super::study_files;
use crate::bench::View;
use crate::failure::Failure;

/// The whole site.
pub fn routes(app: Arc<App>, patience: Duration) -> Router {
    Router::new()
        .route("/", get(bench))
        .route(&format!("{DOOR}{{token}}"), get(access::open))
        .route("/job/{job}", get(job))
        .route("/answer", post(answer::posted))
        .route("/answers", get(answer::channel))
        .route("/events", get(events))
        .route("/history", get(records))
        .route("/record/{id}", get(record))
        .route("/record/{id}/report", get(report))
        .route("/record/{id}/amend", get(amend::form).post(amend::keep))
        .route("/record/{id}/verify", get(verified))
        .route("/records/{file}", get(paper))
        .route("/contacts/{id}", get(contacts))
        .route("/lot/{id}", get(lot))
        .route("/lots", get(lot_routes::list).post(lot_routes::begin))
        .route("/lots/{number}", get(lot_routes::lot))
        .route("/plans/new", get(plans::new))
        .route(
            "/plans",
            post(plans::post).layer(DefaultBodyLimit::max(plans::LONGEST_FORM)),
        )
        .route("/plans/{entry}", get(plans::open))
        .route(
            "/nonconforming",
            get(nonconforming::list).post(nonconforming::decide),
        )
        .route("/lots/{number}/sheet", get(lot_sheet))
        .route(
            "/lots/{number}/first-article",
            get(first_articles::page).post(first_articles::issue),
        )
        .route(
            "/lots/{number}/first-article/sheet",
            get(first_articles::sheet),
        )
        .route(
            "/lots/{number}/first-article/sheet.pdf",
            get(first_articles::pdf),
        )
        .route("/lots/{number}/sheet.pdf", get(lot_paper))
        .route("/due", get(due))
        .route("/recalls", get(recalls::list).post(recalls::begin))
        .route("/recalls/{case}", get(recalls::case).post(recalls::decide))
        .merge(of_studies())
        .route(
            "/checks",
            get(room_and_checks::checks).post(room_and_checks::record_check),
        )
        .route(
            "/room",
            get(room_and_checks::room)
                .post(room_and_checks::record_room)
                .layer(DefaultBodyLimit::max(room_and_checks::LONGEST_LOG)),
        )
        .route("/equipment", get(register::list))
        .route("/equipment/new/{kind}", get(register::new))
        .route(
            pages::EQUIPMENT_LIST,
            get(equipment_list::begin)
                .post(equipment_list::look)
                .layer(DefaultBodyLimit::max(equipment_list::LONGEST_UPLOAD)),
        )
        .route(
            pages::equipment_list::KEEP,
            post(equipment_list::keep)
                .layer(DefaultBodyLimit::max(equipment_list::LONGEST_CARRIED)),
        )
        .route("/equipment/demonstration", post(register::demonstration))
        .route("/equipment/{kind}", post(register::keep))
        .route("/equipment/{kind}/{id}", get(register::piece))
        .merge(of_certificates())
        .route("/equipment/{kind}/{id}/change", get(register::change))
        .route("/equipment/{kind}/{id}/state", post(register::state))
        .route("/equipment/{kind}/{id}/status", post(gauge_room::status))
        .route(
            "/bench.css",
            get(|| async { reply::asset("text/css", &pages::STYLE) }),
        )
        .route(
            "/report.css",
            get(|| async { reply::asset("text/css", &pages::REPORT_STYLE) }),
        )
        .route(
            "/bench.js",
            get(|| async { reply::asset("text/javascript", pages::SCRIPT) }),
        )
        .route(
            "/icon.svg",
            get(|| async { reply::asset("image/svg+xml", pages::ICON) }),
        )
        .fallback(|| async { reply::not_found() })
        .layer(DefaultBodyLimit::max(LONGEST_BODY))
        .layer(from_fn(decimal_sign))
        .layer(from_fn_with_state(Taken { patience, longest }, whole))
        .layer(from_fn_with_state(Arc::clone(&app), admit))
        .layer(from_fn_with_state(Arc::clone(&app), guard))
        .with_state(app)
}

/// Certificates from outside.
fn of_certificates() -> Router<Arc<App>> {
    Router::new()
        .route(
            "/equipment/{kind}/{id}/certificate",
            get(certificates::form).post(certificates::keep),
        )
        .route(
            "/equipment/{kind}/{id}/certificate/read",
            post(certificates::read).layer(DefaultBodyLimit::max(certificates::LONGEST_UPLOAD)),
        )
}

/// Studies at the bench, of files and of what is on the record.
fn of_studies() -> Router<Arc<App>> {
    Router::new()
        .route(pages::process::ADDRESS, get(process::show))
        .route("/process/sheet.pdf", get(process::pdf))
        .route(
            "/study-files/{study}",
            get(study_files::form)
                .post(study_files::compute)
                .layer(DefaultBodyLimit::max(study_files::LONGEST_UPLOAD)),
        )
        .route(
            "/study-files/{study}/sheet.pdf",
            post(study_files::pdf).layer(DefaultBodyLimit::max(study_files::LONGEST_UPLOAD)),
        )
        .route("/studies", get(studies::list).post(studies::begin))
        .route("/studies/{entry}/sheet.pdf", get(study_paper))
        .route("/studies/{entry}", get(studies::one).post(studies::approve))
}

/// The longest body that is taken at an address, in bytes.
fn longest(path: &str) -> usize {
    match path {
        "/plans" => plans::LONGEST_FORM,
        pages::ROOM => room_and_checks::LONGEST_LOG,
        path if path.ends_with("/certificate/read") => certificates::LONGEST_UPLOAD,
        path if path.starts_with("/study-files/") => study_files::LONGEST_UPLOAD,
        pages::EQUIPMENT_LIST => equipment_list::LONGEST_UPLOAD,
        pages::equipment_list::KEEP => equipment_list::LONGEST_CARRIED,
        _ => LONGEST_BODY,
    }
}

/// What an address may ask to see beside the question.
#[derive(Default, Deserialize)]
struct Shown {
    show: Option<String>,
}

impl Shown {
    fn view(&self) -> Option<View> {
        self.show.as_deref().and_then(View::of)
    }
}

/// The job on the bench.
async fn bench(
    State(app): Shared,
    headers: HeaderMap,
    shown: Result<Query<Shown>, QueryRejection>,
) -> Response {
    show(app, headers, None, shown).await
}

/// A job by its number.
async fn job(
    State(app): Shared,
    headers: HeaderMap,
    job: Result<Path<u64>, axum::extract::rejection::PathRejection>,
    shown: Result<Query<Shown>, QueryRejection>,
) -> Response {
    match job {
        Ok(Path(job)) => show(app, headers, Some(job), shown).await,
        Err(_) => reply::not_found(),
    }
}

async fn show(
    app: Arc<App>,
    headers: HeaderMap,
    job: Option<u64>,
    shown: Result<Query<Shown>, QueryRejection>,
) -> Response {
    let view = shown.ok().and_then(|Query(shown)| shown.view());
    blocking(app, move |app| {
        if let Some(job) = job
            && let Some(station) = app.under_way_elsewhere(job)?
        {
            return Ok(page(StatusCode::CONFLICT, pages::elsewhere(job, &station)));
        }
        let (stamp, state) = app.to_show(job)?;
        if job.is_some() && state.job.is_none() {
            return Ok(page(StatusCode::NOT_FOUND, pages::nothing_here()));
        }
        let asked = Asked {
            fragment: reply::is_fragment(&headers),
            own_address: job.is_some(),
        };
        let shown = pages::bench::Shown {
            view,
            ..Default::default()
        };
        let markup = pages::bench::page(app, &stamp, &state, &shown, &asked)?;
        Ok(page(StatusCode::OK, markup))
    })
    .await
}

/// Tells a window when what it shows is old: one stamp for each change, the present one first.
async fn events(State(app): Shared) -> Sse<impl Stream<Item = Result<Event, Infallible>>> {
    let mut follow = app.follow();
    follow.mark_changed();
    let stamps = stream::unfold((app, follow), |(app, mut follow)| async move {
        follow.changed().await.ok()?;
        let version = (*follow.borrow_and_update())?;
        let event = Event::default().data(app.stamp_of(version));
        Some((Ok(event), (app, follow)))
    });
    Sse::new(stamps).keep_alive(KeepAlive::new().interval(Duration::from_secs(15)))
}

async fn records(
    State(app): Shared,
    asked: Result<Query<history::Asked>, QueryRejection>,
) -> Response {
    let asked = asked.map(|Query(asked)| asked).unwrap_or_default();
    look_back(app, move |app| {
        let (status, markup) = history::list(app, &asked)?;
        Ok(page(status, markup))
    })
    .await
}

async fn record(State(app): Shared, Path(id): Path<String>) -> Response {
    blocking(app, move |app| Ok(found(pages::record::page(app, &id)?))).await
}

async fn report(State(app): Shared, Path(id): Path<String>) -> Response {
    blocking(app, move |app| Ok(found(pages::record::report(app, &id)?))).await
}

async fn verified(State(app): Shared, Path(id): Path<String>) -> Response {
    look_back(app, move |app| Ok(found(pages::verify::page(app, &id)?))).await
}

/// The report as a file: `/records/17.pdf`, all there is under `/records/17-long.pdf`.
async fn paper(State(app): Shared, Path(file): Path<String>) -> Response {
    blocking(app, move |app| printed(pages::record::pdf(app, &file))).await
}

/// The sheet of a lot as it stands.
async fn lot_paper(State(app): Shared, Path(number): Path<String>) -> Response {
    look_back(app, move |app| printed(pages::lots::pdf(app, &number))).await
}

/// The sheet of a study.
async fn study_paper(State(app): Shared, Path(name): Path<String>) -> Response {
    look_back(app, move |app| {
        printed(pages::record::study_pdf(app, &name))
    })
    .await
}

/// The same as a page to be printed.
async fn lot_sheet(State(app): Shared, Path(number): Path<String>) -> Response {
    look_back(app, move |app| match pages::lots::sheet(app, &number) {
        Ok(Some(markup)) => Ok(page(StatusCode::OK, markup)),
        Ok(None) => Ok(reply::not_found()),
        Err(failure) => printed(Err(failure)),
    })
    .await
}

fn printed(sheet: Result<Option<Vec<u8>>, Failure>) -> Result<Response, Failure> {
    Ok(match sheet {
        Ok(Some(bytes)) => reply::pdf(bytes),
        Ok(None) => reply::not_found(),
        // What is wrong is wrong in the laboratory's file or in a name: whoever prints can put it right.
        Err(Failure::Input(why)) => {
            let told = pages::message(crate::bench::words::not_taken(), &why);
            page(StatusCode::UNPROCESSABLE_ENTITY, told)
        }
        Err(failure) => return Err(failure),
    })
}

async fn contacts(State(app): Shared, Path(id): Path<String>) -> Response {
    look_back(app, move |app| {
        Ok(found(pages::zero_checks::page(app, &id)?))
    })
    .await
}

async fn lot(State(app): Shared, Path(id): Path<String>) -> Response {
    look_back(app, move |app| {
        Ok(match history::lot(app, &id)? {
            Some(markup) => page(StatusCode::OK, markup),
            None => page(StatusCode::NOT_FOUND, pages::lots::no_such_lot(app, &id)?),
        })
    })
    .await
}

async fn due(State(app): Shared) -> Response {
    blocking(app, |app| Ok(page(StatusCode::OK, pages::due::page(app)?))).await
}
