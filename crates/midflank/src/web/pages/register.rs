//! What one owns: all of it, and one piece with what was written about it and every result that it touched.

use jiff::civil::Date;
use ledger::{Entry, Filter, Known, Order, Page, Subject};
use maud::{Markup, html};
use metrology::inspection::State;

use super::field::{Field, above, checked};
use super::gauge_room;
use super::history::{self, encoded};
use super::reading_page;
use super::register_form::{self, Forms, Shown, StateForm};
use super::zero_checks::zero_error;
use crate::bench::fit;
use crate::bench::words as bench_words;
use crate::clock::now;
use crate::failure::Failure;
use crate::record;
use crate::register::{self, Equipment, Kind, Registered, Standing};
use crate::web::app::App;
use crate::web::words;
use crate::words::number;
use workshop::RecordKind;
use workshop::gauge_record::piece::{PieceId, PieceKind};
use workshop::gauge_record::status::Status;

/// Results of a page.
const ROWS: u32 = 50;

/// The address of a piece.
pub fn address(kind: Kind, id: &str) -> String {
    format!("/equipment/{}/{}", kind.key(), encoded(id))
}

/// All that is owned, by kind.
pub fn list(app: &App) -> Result<Markup, Failure> {
    let books = app.books()?;
    let today = fit::today(now()?);
    let of = |kind: Kind| -> Vec<&Registered> {
        books
            .register
            .pieces()
            .iter()
            .filter(|piece| piece.equipment.kind() == kind)
            .collect()
    };
    let content = html! {
        h1 { (words::equipment()) }
        p { (words::equipment_long()) }
        p { a class="action" href=(super::EQUIPMENT_LIST) { (crate::say!("list-page.link")) } }
        @for kind in Kind::EVERY.iter().copied() {
            section aria-labelledby=(kind.key()) {
                h2 id=(kind.key()) { (words::kind(kind)) }
                @let pieces = of(kind);
                @if pieces.is_empty() { p class="soft" { (words::none_owned()) } }
                @else {
                    div class="wide" tabindex="0" role="region" aria-label=(words::kind(kind)) {
                        table class="owned cards" aria-label=(words::kind(kind)) {
                            thead { tr {
                                @for head in [words::piece(), words::what(), words::state_label(), words::due(), words::certificate()] { th scope="col" { (head) } }
                                @if kind.is_zeroed() { th scope="col" { (words::last_zero()) } }
                            } }
                            tbody { @for piece in pieces { (row(app, piece, today)?) } }
                        }
                    }
                }
                p { a class="action" href=(format!("/equipment/new/{}", kind.key())) { (words::add(kind)) } }
            }
        }
        (gauge_room::others(app)?)
    };
    Ok(reading_page(words::equipment(), &content))
}

fn row(app: &App, registered: &Registered, today: Date) -> Result<Markup, Failure> {
    let piece = &registered.equipment;
    let standing = registered.standing(today);
    let kind = piece.kind();
    Ok(html! {
        tr {
            td data-head=(words::piece()) { a class="id" href=(address(kind, piece.id())) translate="no" { (piece.id()) } }
            td data-head=(words::what()) { (crate::words::piece(piece)) }
            td data-head=(words::state_label()) {
                @if standing.status == Status::Limited { strong { (crate::words::word(&standing.status)) } ": " span translate="no" { (crate::words::list(standing.limited_to.iter().cloned())) } }
                @else { (state(piece.state())) }
            }
            td data-head=(words::due()) { (due(&standing, today)) }
            td data-head=(words::certificate()) translate="no" { (piece.certificate().unwrap_or("–")) }
            @if kind.is_zeroed() { td data-head=(words::last_zero()) { (last_zero(app, piece, words::no_zero())?) } }
        }
    })
}

/// The state; one that bars from use is more than soft words.
fn state(state: State) -> Markup {
    html! { @if state.is_active() { (words::state(state)) } @else { strong class="barred" { (words::state(state)) } } }
}

fn due(standing: &Standing, today: Date) -> Markup {
    html! {
        @match (standing.due, &standing.extension) {
            (Some(due), Some(extension)) => { (due) ", " (crate::say!("due.extended", until = extension.until)) },
            (Some(due), None) if due < today => strong class="barred" { (words::overdue()) " " (due) },
            (Some(due), None) => (due),
            (None, _) => "–"
        }
    }
}

/// Inspections that a piece had a part in, the latest first.
fn results(
    app: &App,
    piece: &Equipment,
    beyond: Option<u64>,
    rows: u32,
) -> Result<(Vec<Known>, Option<u64>), Failure> {
    let filter = Filter {
        subjects: vec![Subject::new(piece.kind().role(), piece.id().trim())],
        ..RecordKind::Inspection.all()
    };
    let page = Page {
        beyond,
        ..Page::first(Order::NewestFirst, rows)
    };
    let listing = workshop::on_record::page(&app.ledger, &filter, &page)?;
    Ok((listing.entries, listing.next.and_then(|next| next.beyond)))
}

fn last_zero(app: &App, pair: &Equipment, none: &str) -> Result<Markup, Failure> {
    let (entries, _) = results(app, pair, None, 1)?;
    let last = entries
        .first()
        .map(|known| app.ledger.get(&known.heading.id().into()));
    let last = last
        .transpose()?
        .and_then(|entry| record::read(&entry).ok());
    let Some((job, result)) = last else {
        return Ok(html! { span class="soft" { (none) } });
    };
    let error = zero_error(&result) / 1000.0;
    Ok(html! {
        (number::difference(error, result.unit)) ", " (job.measured_at.strftime("%Y-%m-%d")) " " span translate="no" { (job.standard.id) }
    })
}

pub fn piece(
    app: &App,
    piece: &Registered,
    beyond: Option<u64>,
    forms: &Forms,
) -> Result<Markup, Failure> {
    let equipment = &piece.equipment;
    let (kind, id) = (equipment.kind(), equipment.id());
    let entries = app.ledger.history(&piece.entry.into())?;
    let (results, older) = results(app, equipment, beyond, ROWS)?;
    let own = address(kind, id);
    let known = PieceKind::of(kind.key()).map(|kind| PieceId::new(kind, id));
    let known = known.map(|piece| gauge_room::Known::of(app, piece));
    let known = known.transpose()?.flatten();
    let content = html! {
        header {
            p class="kind" { (words::one(kind)) }
            h1 translate="no" { (id) }
            dl class="facts" {
                // A piece in use has the status of the gauge room, and no other word for it beside it.
                @if known.is_none() || !equipment.state().is_active() { div { dt { (words::state_label()) } dd { (state(equipment.state())) } } }
                @if let Some(known) = &known { (known.facts()) }
                @for (label, text) in register_form::facts(equipment) { div { dt { (label) } dd { (text) } } }
                @if kind.is_zeroed() { div { dt { (words::last_zero()) } dd { (last_zero(app, equipment, words::no_zero_yet())?) } } }
            }
            p class="actions" {
                a class="action" href=(format!("{own}/change")) { (words::change_label()) }
                @if kind.is_zeroed() {
                    " " a class="action" href=(format!("/equipment/new/contacts?like={}", encoded(id))) { (words::other_pair()) }
                    @if !results.is_empty() { " " a class="action" href=(history::address("contacts", id)) { (words::zero_chart()) } }
                }
            }
        }
        @if let Some(known) = &known { (known.actions(app)?) (known.history(app)?) }
        @if let Some(known) = &known { (known.status(app, &forms.status)) }
        section aria-labelledby="results" {
            h2 id="results" { (words::results()) }
            @if results.is_empty() { p class="soft" { (words::no_results()) } } @else { (history::table(app, &results)?) }
            @if let Some(older) = older { p { a href=(format!("{own}?beyond={older}")) { (words::older_results()) } } }
        }
        section aria-labelledby="another-state" {
            h2 id="another-state" { (words::another_state()) }
            p { (crate::say!("page.another-state-long")) }
            (state_form(app, &piece.described, &own, &forms.state))
        }
        section aria-labelledby="entries" {
            h2 id="entries" { (words::entries()) }
            (written(&entries)?)
        }
        p { a href="/equipment" { (words::to_the_list()) } }
    };
    Ok(reading_page(id, &content))
}

/// Every entry about a piece, the first first.
fn written(entries: &[Entry]) -> Result<Markup, Failure> {
    Ok(html! {
        div class="wide" tabindex="0" role="region" aria-label=(words::entries()) {
            table aria-label=(words::entries()) {
                thead { tr { @for head in [words::entry(), &bench_words::when(), bench_words::person(), words::state_label(), words::certificate(), words::why()] { th scope="col" { (head) } } } }
                tbody {
                    @for entry in entries {
                        @let then = register::registered(entry)?.equipment;
                        tr {
                            td { a href=(format!("/record/{}", entry.id())) { (entry.id()) } }
                            td { (number::on_the_wall(entry.content.recorded_at)) }
                            td translate="no" { (entry.content.actor.name) }
                            td { (words::state(then.state())) }
                            td translate="no" { (then.certificate().unwrap_or("–")) }
                            td translate="no" { (entry.content.amends.as_ref().map_or(words::first_recorded(), |amends| amends.reason.as_str())) }
                        }
                    }
                }
            }
        }
    })
}

/// The form of the state that the register describes; the gauge room may have set the piece apart since.
fn state_form(app: &App, equipment: &Equipment, own: &str, form: &StateForm) -> Markup {
    let value = |key: &str| form.typed.get(key).map_or("", String::as_str);
    let chosen = match value("state") {
        "" => equipment.state().key(),
        state => state,
    };
    let choices = State::EVERY.iter().copied();
    let choices = choices.map(|state| (state.key(), words::state(state)));
    html! {
        form class="describe" method="post" action=(format!("{own}/state")) autocomplete="off" {
            input type="hidden" name="token" value=(app.token);
            (above(form.wrong.as_deref(), form.faults.len()))
            div class="fields" {
                div { (checked("state", words::state_label(), &form.faults).choice(choices, chosen)) }
                @for (key, label) in [("reason", words::reason()), ("person", bench_words::person())] {
                    div { (Field { needed: true, ..checked(key, label, &form.faults) }.line(value(key))) }
                }
            }
            p { button { (words::put_in_register()) } }
        }
    }
}

/// The page that describes a piece, new or changed.
pub fn describe(shown: &Shown<'_>, like: bool) -> Markup {
    let id = shown.form.get("id").map_or("", String::as_str);
    let title = if shown.changes.is_some() {
        words::change(id)
    } else {
        words::add(shown.kind)
    };
    let content = html! {
        h1 { (title) }
        @if like { p { (words::other_pair_help()) } }
        (shown.markup())
        p { a href="/equipment" { (words::to_the_list()) } }
    };
    reading_page(&title, &content)
}
