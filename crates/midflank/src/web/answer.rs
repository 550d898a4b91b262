//! Answers of a window: by a plain form post, or by a channel that stays open, which spares the browser a request.
//!
//! Both carry the same form and give the same page; what may be taken is judged in one place.

use std::borrow::Cow;
use std::sync::Arc;

use axum::Extension;
use axum::extract::rejection::FormRejection;
use axum::extract::ws::rejection::WebSocketUpgradeRejection;
use axum::extract::ws::{Message, WebSocket, WebSocketUpgrade};
use axum::extract::{Form, State};
use axum::http::header::ORIGIN;
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::Markup;
use serde::Deserialize;

use super::app::Shared;
use super::app::{App, LineRefused, Outcome, ended};
use super::connections::Connection;
use super::guard::LONGEST_BODY;
use super::locale;
use super::pages;
use super::pages::Asked;
use super::pass::same;
use super::reply::{self, blocking, page, redirect};
use crate::bench::{By, Command, Refusal, View, words};
use crate::failure::Failure;
use crate::output::warn;
use crate::say;
use crate::words::number;

/// A line at the question that a window shows.
#[derive(Deserialize)]
pub struct Answered {
    token: String,
    /// 0 where no job has begun.
    job: u64,
    pub after: u64,
    pub line: String,
    /// What is shown beside the question now.
    #[serde(default)]
    show: String,
    /// Set where the window has an address of its own and does not follow the bench.
    #[serde(default)]
    at: String,
    /// Set by the button that signs, by the name in the line or by the one that is offered.
    #[serde(default)]
    sign: String,
    /// The lines that the page suggested, one below the other, where a number takes one.
    #[serde(default)]
    suggested: String,
}

impl Answered {
    fn job(&self) -> Option<u64> {
        (self.job != 0).then_some(self.job)
    }

    /// What is shown beside the job.
    fn view(&self) -> Option<View> {
        View::of(&self.show)
    }

    /// What stays shown when the job goes on: what helps with one question does not cover the next.
    fn view_after(&self) -> Option<View> {
        let view = self.view();
        view.filter(|view| !matches!(view, View::Keys | View::Unfit))
    }

    /// The line that the page suggested under this number.
    fn chosen(&self) -> Option<&str> {
        let number: usize = self.line.trim().parse().ok()?;
        self.suggested.lines().nth(number.checked_sub(1)?)
    }

    /// The line, with the signature where that was asked for.
    fn said(&self) -> Cow<'_, str> {
        if self.sign.is_empty() {
            Cow::Borrowed(self.chosen().unwrap_or(&self.line))
        } else {
            Cow::Owned(format!("/{} {}", Command::Sign.word(), self.line.trim()))
        }
    }

    /// The job of an address of its own.
    fn own_job(&self) -> Option<u64> {
        self.job().filter(|_| self.at == "job")
    }

    /// Takes the line, or says why not.
    fn take(&self, app: &App) -> Result<Taken, Failure> {
        let mut shown = pages::bench::Shown {
            view: self.view(),
            ..Default::default()
        };
        if !same(&self.token, &app.token) {
            shown.refuse(Refusal::new(LineRefused::StaleForm), &self.line);
            return Ok(Taken::Not(StatusCode::FORBIDDEN, shown));
        }
        let status = match app.answer(self.job(), self.after, &self.said(), By::Keyboard)? {
            Outcome::WentOn => {
                shown.view = self.view_after();
                return Ok(Taken::WentOn(shown));
            }
            Outcome::LookUp(wanted) => {
                shown.look_up = Some(wanted);
                StatusCode::OK
            }
            Outcome::History => return Ok(Taken::Elsewhere(HISTORY)),
            Outcome::Show(view) => {
                shown.view = Some(view).filter(|_| shown.view != Some(view));
                StatusCode::OK
            }
            Outcome::Refused(refusal) => {
                shown.refuse(refusal, &self.line);
                StatusCode::UNPROCESSABLE_ENTITY
            }
            Outcome::Overtaken => {
                let refusal = Refusal::new(overtaken(&self.line));
                shown.refuse(refusal, &self.line);
                StatusCode::CONFLICT
            }
        };
        Ok(Taken::Not(status, shown))
    }

    /// The page as it is after the answer.
    fn page(
        &self,
        app: &App,
        shown: &pages::bench::Shown,
        fragment: bool,
    ) -> Result<Markup, Failure> {
        let job = self.own_job();
        if let Some(job) = job
            && let Some(station) = app.under_way_elsewhere(job)?
        {
            return Ok(pages::elsewhere(job, &station));
        }
        let asked = Asked {
            fragment,
            own_address: job.is_some(),
        };
        let (stamp, state) = app.to_show(job)?;
        pages::bench::page(app, &stamp, &state, shown, &asked)
    }
}

/// What came of an answer, and what is to be shown.
enum Taken {
    WentOn(pages::bench::Shown),
    Not(StatusCode, pages::bench::Shown),
    /// Another page is to be opened.
    Elsewhere(&'static str),
}

const HISTORY: &str = "/history";

/// What tells our script to open another page.
fn elsewhere(address: &str) -> Markup {
    maud::html! { div id="page" data-goto=(address) {} }
}

/// A form post.
pub async fn posted(
    State(app): Shared,
    headers: HeaderMap,
    form: Result<Form<Answered>, FormRejection>,
) -> Response {
    let form = match form {
        Ok(Form(form)) => form,
        Err(rejection) => return reply::refused_form(&rejection),
    };
    let fragment = reply::is_fragment(&headers);
    blocking(app, move |app| {
        let (status, shown) = match form.take(app)? {
            Taken::WentOn(_) if !fragment => {
                return Ok(redirect(form.own_job(), form.view_after()));
            }
            Taken::Elsewhere(address) if fragment => {
                return Ok(page(StatusCode::OK, elsewhere(address)));
            }
            Taken::Elsewhere(address) => return Ok(Redirect::to(address).into_response()),
            Taken::WentOn(shown) => (StatusCode::OK, shown),
            Taken::Not(status, shown) => (status, shown),
        };
        Ok(page(status, form.page(app, &shown, fragment)?))
    })
    .await
}

/// A channel of our script: each message is a form, each answer the page that a post would give.
pub async fn channel(
    State(app): Shared,
    connection: Option<Extension<Arc<Connection>>>,
    headers: HeaderMap,
    upgrade: Result<WebSocketUpgrade, WebSocketUpgradeRejection>,
) -> Response {
    let upgrade = match upgrade {
        Ok(upgrade) => upgrade,
        Err(rejection) => {
            let status = rejection.into_response().status();
            return (status, say!("page.channel-from-elsewhere")).into_response();
        }
    };
    // Every browser says where a channel is opened from; that it is from here was seen to by the guard.
    if !headers.contains_key(ORIGIN) {
        return (StatusCode::FORBIDDEN, say!("page.channel-from-elsewhere")).into_response();
    }
    let comma = locale::wants_comma(&headers);
    upgrade
        .max_message_size(LONGEST_BODY)
        .max_frame_size(LONGEST_BODY)
        .on_upgrade(move |socket| async move {
            listen(socket, app, comma).await;
            // It is open up to here.
            drop(connection);
        })
}

/// One form after the other, until the window closes or sends what is no form.
async fn listen(mut socket: WebSocket, app: Arc<App>, comma: bool) {
    let mut follow = app.follow();
    loop {
        let message = tokio::select! {
            message = socket.recv() => message,
            () = ended(&mut follow) => {
                let _ = socket.send(Message::Close(None)).await;
                return;
            }
        };
        let Some(Ok(message)) = message else {
            return;
        };
        let form = match message {
            Message::Text(form) => form,
            Message::Ping(_) | Message::Pong(_) => continue,
            Message::Binary(_) | Message::Close(_) => return,
        };
        // In place: handing the work to another thread and back costs as much as half of the work.
        let markup = tokio::task::block_in_place(|| {
            number::on_page(comma, || answer(&app, &form)).unwrap_or_else(|failure| {
                warn(&failure.to_string());
                pages::message(words::not_taken(), words::failed())
            })
        });
        let text = markup.into_string();
        if socket.send(Message::Text(text.into())).await.is_err() {
            return;
        }
    }
}

/// The page after a form, as our script puts it in the place of the one shown.
fn answer(app: &App, form: &str) -> Result<Markup, Failure> {
    let Ok(form) = serde_urlencoded::from_str::<Answered>(form) else {
        return Ok(pages::message(words::not_taken(), words::form_broken()));
    };
    match form.take(app)? {
        Taken::WentOn(shown) | Taken::Not(_, shown) => form.page(app, &shown, true),
        Taken::Elsewhere(address) => Ok(elsewhere(address)),
    }
}

/// What did not land, so that it can be given again.
fn overtaken(line: &str) -> LineRefused {
    let line: String = line.chars().take(60).collect();
    if line.is_empty() {
        LineRefused::Overtaken
    } else {
        LineRefused::OvertakenLine { line }
    }
}
