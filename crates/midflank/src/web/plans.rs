//! The addresses of inspection plans: a plan is made line by line, checked as it stands, and kept by the code of the command.

use axum::extract::rejection::FormRejection;
use axum::extract::{Form, Path, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use workshop::lots::{self, PlanKept};
use workshop::plan::{self, Line, Read, Sheet};

use super::app::{App, LineRefused, Shared};
use super::pages::nothing_here;
use super::pages::plan::{self as page, Shown};
use super::pass::same;
use super::reply::{self, blocking, look_back};
use crate::desk;
use crate::failure::Failure;
use crate::report;
use crate::say;
use crate::words;

/// The longest form, in bytes: room for hundreds of lines.
pub const LONGEST_FORM: usize = 512 << 10;

/// An empty plan.
pub async fn new(State(app): Shared) -> Response {
    blocking(app, |app| {
        let mut typed = Typed::default();
        typed.sheet.head = vec![
            ("unit".to_owned(), "mm".to_owned()),
            ("take".to_owned(), "all".to_owned()),
        ];
        typed.show(app, StatusCode::OK, None, None)
    })
    .await
}

/// A plan on record, to be changed.
pub async fn open(State(app): Shared, Path(entry): Path<String>) -> Response {
    look_back(app, move |app| {
        let Some(kept) = latest(app, &entry)? else {
            return Ok(reply::page(StatusCode::NOT_FOUND, nothing_here()));
        };
        let typed = Typed {
            base: entry,
            sheet: plan::sheet_of(&kept.plan),
            ..Typed::default()
        };
        typed.show(app, StatusCode::OK, Some(&kept), None)
    })
    .await
}

/// Checks the lines, splits one, or keeps the plan.
pub async fn post(
    State(app): Shared,
    form: Result<Form<Vec<(String, String)>>, FormRejection>,
) -> Response {
    let mut typed = match form {
        Ok(Form(fields)) => Typed::of(fields),
        Err(rejection) => return reply::refused_form(&rejection),
    };
    blocking(app, move |app| {
        let base = latest(app, &typed.base)?;
        if !same(&typed.token, &app.token) {
            let wrong = words::said(&LineRefused::StaleForm);
            return typed.show(app, StatusCode::FORBIDDEN, base.as_ref(), Some(&wrong));
        }
        if base.is_none() && !typed.base.is_empty() {
            let wrong = say!("plan-page.gone");
            return typed.show(app, StatusCode::CONFLICT, None, Some(wrong));
        }
        match typed.asked.split_once('-') {
            Some(("split", at)) => {
                let told = typed.split(base.as_ref(), at.parse().ok());
                typed.show(app, StatusCode::OK, base.as_ref(), Some(told))
            }
            _ if typed.asked == "keep" => keep(app, &typed, base.as_ref()),
            _ => typed.show(app, StatusCode::OK, base.as_ref(), None),
        }
    })
    .await
}

/// The plan of an entry, as long as it is the latest of its name.
fn latest(app: &App, entry: &str) -> Result<Option<PlanKept>, Failure> {
    let all = lots::plans(&app.ledger)?;
    let mut all = all.into_iter();
    Ok(all.find(|kept| kept.entry.to_string() == entry))
}

/// What the form says.
#[derive(Default)]
struct Typed {
    token: String,
    /// The entry of the plan that is changed; empty of a new one.
    base: String,
    person: String,
    asked: String,
    sheet: Sheet,
}

impl Typed {
    /// From the fields in their order: a number begins the next line. Of lines without anything nothing is left.
    fn of(fields: Vec<(String, String)>) -> Self {
        let mut typed = Self::default();
        let lines = &mut typed.sheet.lines;
        for (name, value) in fields {
            let value = value.trim().to_owned();
            match name.as_str() {
                "token" => typed.token = value,
                "base" => typed.base = value,
                "person" => typed.person = value,
                "do" => typed.asked = value,
                "number" => lines.push(Line {
                    number: value,
                    ..Line::default()
                }),
                "requirement" | "places" | "way" | "class" => {
                    let Some(line) = lines.last_mut() else {
                        continue;
                    };
                    match name.as_str() {
                        "requirement" => line.requirement = value,
                        "places" => line.places = value,
                        "way" => line.way = value,
                        _ => line.class = value,
                    }
                }
                key if plan::HEAD.contains(&key) && !value.is_empty() => {
                    typed.sheet.head.push((name, value));
                }
                _ => {}
            }
        }
        // A number that was offered is none that was typed.
        lines.retain(|line| !line.requirement.is_empty() || !line.places.is_empty());
        typed.number();
        typed
    }

    /// Numbers the lines as they stand, and those without a number on the drawing by the next whole one.
    fn number(&mut self) {
        let numbers = self.sheet.lines.iter();
        let most = numbers.filter_map(|line| line.number.parse::<u32>().ok());
        let mut next = most.max().unwrap_or_default();
        for (at, line) in self.sheet.lines.iter_mut().enumerate() {
            line.row = at + 1;
            if line.number.is_empty() {
                next = next.saturating_add(1);
                line.number = next.to_string();
            }
        }
    }

    fn read(&self, base: Option<&PlanKept>) -> Read {
        let known = base.map(|kept| plan::known(&kept.plan));
        let mut read = plan::read_sheet(&self.sheet, &known.unwrap_or_default());
        // What the page does not show of a plan stays as it was.
        if let (Ok(plan), Some(kept)) = (&mut read.plan, base) {
            plan.room.clone_from(&kept.plan.room);
        }
        read
    }

    /// Puts what a thread note may be split into in its place; what is to be said of it.
    fn split(&mut self, base: Option<&PlanKept>, at: Option<usize>) -> &'static str {
        let read = self.read(base);
        let at = at.filter(|at| *at < self.sheet.lines.len());
        let note = at.and_then(|at| read.lines.get(at)?.as_ref());
        let all = note.map(|note| report::plan::split(note, read.unit, read.usual.as_ref()));
        match (at, all) {
            (Some(at), Some(all)) if !all.is_empty() => {
                let lines = all.into_iter().map(|one| one.line);
                self.sheet.lines.splice(at..=at, lines);
                self.number();
                say!("plan-page.replaced")
            }
            _ => say!("plan-page.no-split"),
        }
    }

    fn show(
        &self,
        app: &App,
        status: StatusCode,
        base: Option<&PlanKept>,
        told: Option<&str>,
    ) -> Result<Response, Failure> {
        let read = self.read(base);
        // What nobody has typed yet is not wrong.
        let is_begun = !self.asked.is_empty() || base.is_some();
        let mistakes = match &read.plan {
            Err(mistakes) if is_begun => mistakes.as_slice(),
            _ => &[],
        };
        let shown = Shown {
            token: &app.token,
            base,
            person: &self.person,
            sheet: &self.sheet,
            lines: &read.lines,
            mistakes,
            is_kept: self.asked == "keep",
            told,
            is_refused: status.is_client_error(),
        };
        Ok(reply::page(status, page::page(app, &shown)?))
    }
}

fn keep(app: &App, typed: &Typed, base: Option<&PlanKept>) -> Result<Response, Failure> {
    let refused = |told: &str| typed.show(app, StatusCode::UNPROCESSABLE_ENTITY, base, Some(told));
    let Ok(plan) = typed.read(base).plan else {
        return typed.show(app, StatusCode::UNPROCESSABLE_ENTITY, base, None);
    };
    if typed.person.is_empty() {
        return refused(say!("page.no-person"));
    }
    if let Err(wrong) = workshop::given::on_one_line("person", &typed.person) {
        return refused(&words::said(&wrong));
    }
    let name = plan.name();
    let mut done = None;
    let mut other = None;
    app.register(|ledger| {
        // Another may have kept one of this name since the page was opened.
        let latest = lots::plans(ledger)?;
        let mut latest = latest.iter().filter(|kept| kept.plan.name() == name);
        let latest = latest.next().map(|kept| kept.entry);
        if latest.is_some() && latest != base.map(|kept| kept.entry) {
            other = latest;
            return Ok(Vec::new());
        }
        let recorder = desk::recorder(&typed.person);
        done = Some(lots::keep_plan(ledger, &plan, &recorder)?);
        Ok(Vec::new())
    })?;
    match (done, other) {
        (Some((entry, true)), _) => {
            let place = page::address_of(&entry.to_string());
            Ok((StatusCode::SEE_OTHER, [(header::LOCATION, place)]).into_response())
        }
        (Some((entry, false)), _) => {
            let told = say!("plan-page.unchanged", entry = entry);
            typed.show(app, StatusCode::OK, base, Some(&told))
        }
        (None, Some(entry)) if base.is_some_and(|kept| kept.plan.name() == name) => {
            refused(&say!("plan-page.meanwhile", entry = entry))
        }
        (None, Some(entry)) => refused(&say!("plan-page.known", entry = entry)),
        (None, None) => refused(say!("plan-page.gone")),
    }
}
