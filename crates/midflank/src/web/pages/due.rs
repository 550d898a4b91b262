//! The calendar of what is due.

use maud::{Markup, html};
use workshop::gauge_room::due::{Entry, calendar};

use super::gauge_room::address_of;
use super::{DUE, gauge_room_page};
use crate::bench::fit;
use crate::clock::now;
use crate::failure::Failure;
use crate::report::capitalised;
use crate::say;
use crate::web::app::App;
use crate::words;

pub fn page(app: &App) -> Result<Markup, Failure> {
    let today = fit::today(now()?);
    let heads = heads();
    let entries = calendar(&app.ledger, today)?;
    let title = say!("due.page");
    let content = html! {
        h1 { (title) }
        p { (say!("due.page-long")) }
        @if entries.is_empty() { p class="soft" { (say!("due.nothing")) } }
        @else {
            div class="wide" tabindex="0" role="region" aria-label=(title) {
                table class="owned cards" aria-label=(title) {
                    thead { tr { @for head in &heads { th scope="col" { (head) } } } }
                    tbody { @for entry in &entries { (row(entry, &heads)) } }
                }
            }
        }
    };
    Ok(gauge_room_page(title, DUE, &content))
}

fn heads() -> [String; 6] {
    [
        say!("due.piece"),
        say!("due.kind"),
        say!("due.status"),
        say!("due.due"),
        say!("due.holder"),
        say!("due.uses"),
    ]
    .map(capitalised)
}

fn row(entry: &Entry, [piece, kind, status, due, holder, uses]: &[String; 6]) -> Markup {
    let name = words::word(&entry.standing.status);
    html! {
        tr {
            td data-head=(piece) translate="no" { a href=(address_of(&entry.piece)) { (entry.piece.id) } }
            td data-head=(kind) { (words::named("piece-kind", &entry.piece.kind)) }
            td data-head=(status) { @if entry.standing.status.is_barred() || entry.left.is_some_and(|left| left < 0) { strong class="barred" { (name) } } @else { (name) } }
            td data-head=(due) { @if let Some(due) = entry.standing.due { (due) } @else { "–" } @if let Some(until) = entry.standing.extended_until() { ", " (say!("due.extended", until = until)) } }
            td data-head=(holder) { (entry.standing.holder.as_deref().unwrap_or("–")) }
            td data-head=(uses) { @if entry.standing.limited_to.is_empty() { "–" } @else { (words::list(entry.standing.limited_to.iter().cloned())) } }
        }
    }
}
