//! The nonconforming pieces of all lots, and the form that decides on one.

use maud::{Markup, html};
use serde::Deserialize;
use workshop::lots::Nonconforming;
use workshop::nonconformance::Disposition;

use super::history::address;
use super::{NONCONFORMING, lots as lot_page, reading_page};
use crate::bench::words;
use crate::failure::Failure;
use crate::report::nonconforming::{again, characteristics, how_again};
use crate::report::sentence;
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
pub fn page(app: &App, all: bool, typed: &Typed, wrong: Option<&str>) -> Result<Markup, Failure> {
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
        @if let Some(wrong) = wrong { p class="refusal" role="alert" { (sentence(wrong)) } }
        (form(app, typed)?)
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
            table {
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

fn form(app: &App, typed: &Typed) -> Result<Markup, Failure> {
    let books = app.books()?;
    let person = if typed.person.is_empty() {
        books.last_person.clone().unwrap_or_default()
    } else {
        typed.person.clone()
    };
    let field = |name: &'static str, label: &str, value: &str| {
        html! { label { (label) " " input name=(name) value=(value) autocomplete="off"; } " " }
    };
    Ok(html! {
        form method="post" action=(NONCONFORMING) class="filter" {
            input type="hidden" name="token" value=(app.token);
            (field("lot", words::lot(), &typed.lot))
            (field("piece", say!("lots.piece"), &typed.piece))
            label { (say!("nonconforming.disposition")) " " select name="disposition" {
                @for one in Disposition::EVERY {
                    option value=(one.key()) selected[one.key() == typed.disposition] { (in_words::word(one)) }
                }
            } } " "
            (field("concession", say!("nonconforming.concession-number"), &typed.concession))
            (field("person", say!("nonconforming.decided-by"), &person))
            (field("confirmed_by", say!("nonconforming.confirmed-by"), &typed.confirmed_by))
            (field("note", say!("nonconforming.note"), &typed.note))
            button { (say!("nonconforming.decide")) }
        }
    })
}
