//! The nonconforming pieces of all lots, and the form that decides on one.

use maud::{Markup, html};
use serde::Deserialize;
use workshop::lots::Nonconforming;
use workshop::nonconformance::Disposition;

use super::field::{Fault, Field, above, checked, person};
use super::history::address;
use super::{NONCONFORMING, lots as lot_page, reading_page};
use crate::bench::words;
use crate::failure::Failure;
use crate::report::nonconforming::{again, characteristics, how_again};
use crate::say;
use crate::web::app::App;
use crate::words::{self as in_words, number};

/// What the form says. Every field is text, so that a wrong one can be shown again.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Typed {
    pub token: String,
    pub lot: String,
    pub piece: String,
    pub disposition: String,
    pub concession: String,
    pub person: String,
    pub confirmed_by: String,
    pub note: String,
}

/// The pieces; those that are closed too where `all` are asked for.
pub fn page(
    app: &App,
    all: bool,
    typed: &Typed,
    wrong: Option<&str>,
    faults: &[Fault],
) -> Result<Markup, Failure> {
    let mut pieces = app.all_nonconforming()?;
    pieces.retain(|piece| all || piece.is_open());
    let content = html! {
        h1 { (say!("nonconforming.title")) }
        p { (say!("nonconforming.explain")) }
        @if pieces.is_empty() {
            p { @if all { (say!("nonconforming.none-of-all")) } @else { (say!("nonconforming.none")) } }
        } @else { (table(&pieces)) }
        p {
            @if all { a href=(NONCONFORMING) { (say!("nonconforming.open")) } }
            @else { a href={ (NONCONFORMING) "?all=1" } { (say!("nonconforming.all")) } }
            " · " a href="/lots" { (say!("lots.title")) }
        }
        h2 id="decide" { (say!("nonconforming.decide-on")) }
        (above(wrong, faults.len()))
        (form(app, typed, faults)?)
    };
    Ok(reading_page(say!("nonconforming.title"), &content))
}

fn table(pieces: &[Nonconforming]) -> Markup {
    let when = words::when();
    let heads = [
        say!("nonconforming.number"),
        words::lot(),
        say!("lots.piece"),
        words::part(),
        say!("nonconforming.shown-by"),
        say!("nonconforming.disposition"),
        say!("nonconforming.decided-by"),
        say!("nonconforming.confirmed-by"),
        &when,
        say!("nonconforming.measured-again"),
    ];
    html! {
        div class="wide" tabindex="0" role="region" aria-label=(say!("nonconforming.title")) {
            table aria-label=(say!("nonconforming.title")) {
                thead { tr { @for head in heads { th scope="col" { (head) } } } }
                tbody { @for piece in pieces { (row(piece)) } }
            }
        }
    }
}

fn row(piece: &Nonconforming) -> Markup {
    let decided = piece.decided.as_ref();
    let decision = decided.map(|decided| &decided.decision);
    let confirmed = decision.and_then(|decision| decision.confirmed_by.as_deref());
    let concession = decision.and_then(|decision| decision.concession.as_deref());
    let note = decision.and_then(|decision| decision.note.as_deref());
    html! {
        tr {
            td translate="no" { (piece.number) }
            td translate="no" { a href=(lot_page::address_of(&piece.lot)) { (piece.lot) } }
            td translate="no" { (piece.piece) }
            td translate="no" { (piece.part) }
            td { (characteristics(piece)) @for shown in &piece.shown_by { " " a translate="no" href=(address("record", &shown.entry)) { (shown.entry) } } }
            td {
                (in_words::word(&piece.disposition()))
                @if let Some(concession) = concession { (say!("nonconforming.under", concession = concession)) }
                @if let Some(note) = note { (say!("nonconforming.noted", note = note)) }
                @if piece.disposition().is_work() && piece.is_open() {
                    br;
                    span class="soft" { (how_again(piece)) }
                }
            }
            td translate="no" { (decided.map_or("–", |decided| &decided.person)) }
            td translate="no" { (confirmed.unwrap_or("–")) }
            td class="when" { @if let Some(decided) = decided { (number::on_the_wall(decided.at)) } @else { "–" } }
            td { @if piece.again.is_empty() { "–" } @else { (again(piece)) } }
        }
    }
}

/// The label of a field.
pub fn label(name: &str) -> &'static str {
    match name {
        "lot" => words::lot(),
        "piece" => say!("lots.piece"),
        "disposition" => say!("nonconforming.disposition"),
        "concession" => say!("nonconforming.concession-number"),
        "person" => say!("nonconforming.decided-by"),
        "confirmed_by" => say!("nonconforming.confirmed-by"),
        _ => say!("nonconforming.note"),
    }
}

fn form(app: &App, typed: &Typed, faults: &[Fault]) -> Result<Markup, Failure> {
    let books = app.books()?;
    let person = person(&typed.person, &typed.token, books.last_person.as_deref());
    let field = |name: &'static str, needed: bool| Field {
        needed,
        ..checked(name, label(name), faults)
    };
    let dispositions = Disposition::EVERY.iter();
    let dispositions = dispositions.map(|one| (one.key(), in_words::word(one)));
    Ok(html! {
        form method="post" action=(NONCONFORMING) class="describe" autocomplete="off" {
            input type="hidden" name="token" value=(app.token);
            div class="fields" {
                div { (field("lot", true).line(&typed.lot)) }
                div { (field("piece", true).line(&typed.piece)) }
                div { (field("disposition", false).choice(dispositions, &typed.disposition)) }
                div { (field("concession", false).line(&typed.concession)) }
                div { (field("person", true).line(&person)) }
                div { (field("confirmed_by", false).line(&typed.confirmed_by)) }
                div { (field("note", false).line(&typed.note)) }
            }
            p { button { (say!("nonconforming.decide")) } }
        }
    })
}
