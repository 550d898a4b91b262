//! A list of equipment from a file: the form that takes it, what was understood of each row, and what is wrong with it.

use ledger::EntryId;
use maud::{Markup, html};
use metrology::units::LengthUnit;
use workshop::Error;
use workshop::equipment_list::{Change, Understood, columns, counts};

use super::field::Field;
use super::register::address;
use super::{EQUIPMENT_LIST, reading_page};
use crate::bench::words as bench_words;
use crate::exchange::sheets::letters;
use crate::failure::Failure;
use crate::report::sentence;
use crate::say;
use crate::web::app::App;
use crate::web::words as own_words;
use crate::words::{self, Shown as InUnit};

/// The largest file taken, in bytes: thousands of items.
pub const LARGEST: usize = 2_000_000;
/// Where one that was shown is recorded.
pub const KEEP: &str = "/equipment/list/keep";

/// A list that was understood.
pub struct Read {
    /// What the file is called.
    pub name: String,
    /// How it was read: how many items, and how decimals are written.
    pub told: String,
    pub rows: Vec<Understood>,
    /// The file, to be handed in again.
    pub content: String,
    /// What is shown of the rows, in short.
    pub shown: String,
}

/// Something wrong in a list: its row and column, where it has a place, and what.
pub struct Mistake {
    place: Option<(String, String)>,
    what: String,
}

impl Mistake {
    /// What is wrong with the file as a whole.
    pub const fn of_file(what: String) -> Self {
        Self { place: None, what }
    }

    /// All that is wrong in a list; a column of a workbook has its letter.
    pub fn all(error: &Error, is_workbook: bool) -> Vec<Self> {
        match error {
            Error::Several(all) => {
                let all = all.iter();
                all.flat_map(|one| Self::all(one, is_workbook)).collect()
            }
            Error::Wrong(fault) => {
                let place = fault.file.as_ref().map(|file| {
                    let column = file.column.unwrap_or(1);
                    let letter = u32::try_from(column.saturating_sub(1)).map(letters);
                    let column = match letter {
                        Ok(letter) if is_workbook => letter,
                        _ => say!("list-page.character", n = column),
                    };
                    (file.line.to_string(), column)
                });
                let shown = InUnit::in_unit(LengthUnit::Millimetre);
                let what = words::message(&fault.reason, shown);
                vec![Self { place, what }]
            }
            other => vec![Self::of_file(words::error(other))],
        }
    }
}

/// All that stands on the page.
#[derive(Default)]
pub struct Shown<'a> {
    /// Why nothing was taken.
    pub refused: Option<&'a str>,
    /// What is wrong in a file of this name.
    pub mistakes: Option<(&'a str, &'a [Mistake])>,
    pub read: Option<&'a Read>,
    pub person: &'a str,
    pub reason: &'a str,
    /// Why it was not recorded, and the field to put right.
    pub wrong: Option<(Option<&'static str>, &'a str)>,
}

pub fn page(app: &App, shown: &Shown<'_>) -> Result<Markup, Failure> {
    let title = say!("list-page.title");
    let content = html! {
        h1 { (title) }
        @if let Some(why) = shown.refused { p class="refusal" role="alert" { (sentence(why)) } }
        @if let Some((name, mistakes)) = shown.mistakes { (told(name, mistakes)) }
        @if let Some(read) = shown.read {
            (rows(read, None))
            (keep(app, shown, read)?)
            h2 { (say!("list-page.another")) }
        } @else {
            p { (explained()) }
        }
        (hand_in(app, shown.read.is_none()))
        details class="more" {
            summary { (say!("list-page.columns")) }
            p { (say!("list-page.columns-long")) }
            p translate="no" { (columns().join(", ")) }
        }
        p { a href="/equipment" { (own_words::to_the_list()) } }
    };
    Ok(reading_page(title, &content))
}

fn explained() -> &'static str {
    if cfg!(feature = "sheets") {
        say!("list-page.explain")
    } else {
        say!("list-page.explain-csv")
    }
}

fn hand_in(app: &App, is_first: bool) -> Markup {
    let accepted = if cfg!(feature = "sheets") {
        ".csv,.tsv,.txt,.xlsx"
    } else {
        ".csv,.tsv,.txt"
    };
    html! {
        form class="describe" method="post" action=(EQUIPMENT_LIST) enctype="multipart/form-data" {
            input type="hidden" name="token" value=(app.token);
            div class="fields" {
                div {
                    label for="list" { (say!("list-page.file")) " (" (own_words::needed_mark()) ")" }
                    input id="list" name="list" type="file" accept=(accepted) aria-required="true" autofocus[is_first] aria-describedby="list-help";
                    span id="list-help" class="soft" { (say!("list-page.limit", limit = LARGEST / 1_000_000)) }
                }
            }
            p { button { (say!("list-page.show")) } }
        }
    }
}

/// Every mistake at its place.
fn told(name: &str, mistakes: &[Mistake]) -> Markup {
    let title = say!("list-page.mistakes", n = mistakes.len(), file = name);
    let has_places = mistakes.iter().any(|one| one.place.is_some());
    html! {
        p class="refusal" role="alert" { (title) }
        @if has_places {
            div class="wide" tabindex="0" role="region" aria-label=(title) {
                table aria-label=(title) {
                    thead { tr { @for head in [say!("list-page.row"), say!("list-page.column"), say!("list-page.wrong")] { th scope="col" { (head) } } } }
                    tbody { @for one in mistakes { tr {
                        @let (row, column) = one.place.as_ref().map_or(("–", "–"), |(row, column)| (row, column));
                        td { (row) } td class="when" { (column) } td { (one.what) }
                    } } }
                }
            }
        } @else { @for one in mistakes { p { (sentence(&one.what)) } } }
    }
}

/// Each row as it was understood; with the entries that have them where they are recorded.
fn rows(read: &Read, entries: Option<&[EntryId]>) -> Markup {
    let [new, changed, unchanged] = counts(read.rows.iter());
    let title = say!("list-page.understood");
    let counted = match entries {
        _ if new + changed == 0 => say!("equipment-list.all-there").to_owned(),
        Some(_) => say!(
            "equipment-list.kept",
            new = new,
            changed = changed,
            unchanged = unchanged
        ),
        None => say!(
            "list-page.counts",
            new = new,
            changed = changed,
            unchanged = unchanged
        ),
    };
    html! {
        p { (sentence(&read.told)) }
        p role="status" { strong { (counted) } }
        div class="wide" tabindex="0" role="region" aria-label=(title) {
            table aria-label=(title) {
                thead { tr {
                    @for head in [say!("list-page.row"), say!("list-page.change"), own_words::piece(), own_words::what(), own_words::due(), own_words::certificate(), say!("list-page.against")] { th scope="col" { (head) } }
                    @if entries.is_some() { th scope="col" { (own_words::entry()) } }
                } }
                tbody { @for (at, row) in read.rows.iter().enumerate() {
                    (one(row, entries.and_then(|entries| entries.get(at))))
                } }
            }
        }
    }
}

fn one(row: &Understood, entry: Option<&EntryId>) -> Markup {
    let piece = &row.piece;
    let is_known = entry.is_some() || row.change() != Change::New;
    let nothing = say!("equipment-list.nothing");
    html! {
        tr {
            td { (row.line) }
            td class="when" { @if row.change() == Change::Unchanged { (words::word(&row.change())) } @else { strong { (words::word(&row.change())) } } }
            td { (own_words::one(piece.kind())) " "
                @if is_known { a href=(address(piece.kind(), piece.id())) translate="no" { (piece.id()) } }
                @else { span translate="no" { (piece.id()) } }
            }
            td { (words::piece(piece)) }
            td class="when" { @match piece.due() { Some(due) => (due), None => "–" } }
            td translate="no" { (piece.certificate().unwrap_or("–")) }
            td {
                @for difference in row.differences() {
                    div { (say!(
                        "equipment-list.difference",
                        key = difference.key,
                        before = difference.before.as_deref().unwrap_or(nothing),
                        now = difference.now.as_deref().unwrap_or(nothing)
                    )) }
                }
                @for note in &row.notes {
                    div class="notice" { (sentence(&words::on_page(note, InUnit::in_unit(LengthUnit::Millimetre)))) }
                }
            }
            @if let Some(entry) = entry {
                td { a href=(format!("/record/{entry}")) { (entry) } }
            }
        }
    }
}

/// The form that records all of it with one button.
fn keep(app: &App, shown: &Shown<'_>, read: &Read) -> Result<Markup, Failure> {
    let [new, changed, _] = counts(read.rows.iter());
    if new + changed == 0 {
        return Ok(html! {});
    }
    let person = match shown.person {
        "" => app.books()?.last_person.clone().unwrap_or_default(),
        person => person.to_owned(),
    };
    let wrong = |field: &str| {
        let wrong = shown.wrong.filter(|(at, _)| *at == Some(field));
        wrong.map(|(_, why)| why)
    };
    let field = |name: &'static str, label: &str, value: &str| {
        let field = Field {
            needed: true,
            wrong: wrong(name),
            first: wrong(name).is_some(),
            ..Field::new(name, label)
        };
        html! { div { (field.line(value)) } }
    };
    Ok(html! {
        @if let Some((None, why)) = shown.wrong { p class="refusal" role="alert" { (sentence(why)) } }
        form class="describe" method="post" action=(KEEP) autocomplete="off" {
            input type="hidden" name="token" value=(app.token);
            input type="hidden" name="name" value=(read.name);
            input type="hidden" name="shown" value=(read.shown);
            input type="hidden" name="content" value=(read.content);
            div class="fields" {
                @if changed > 0 { (field("reason", own_words::reason(), shown.reason)) }
                (field("person", bench_words::person(), &person))
            }
            p { button { (say!("list-page.keep", n = new + changed)) } }
        }
    })
}

/// What was recorded.
pub fn kept(read: &Read, entries: &[EntryId]) -> Markup {
    let title = say!("list-page.title");
    let content = html! {
        h1 { (title) }
        (rows(read, Some(entries)))
        p {
            a class="action" href="/equipment" { (own_words::to_the_list()) }
            a class="action" href=(EQUIPMENT_LIST) { (say!("list-page.another")) }
        }
    };
    reading_page(title, &content)
}
