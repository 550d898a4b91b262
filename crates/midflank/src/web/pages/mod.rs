//! One file a page, and what all pages share.

pub mod amend;
pub mod bench;
pub mod certificate;
pub mod checks;
pub mod due;
pub mod equipment_list;
pub mod first_article;
pub mod gauge_room;
pub mod history;
pub mod lots;
pub mod nonconforming;
pub mod plan;
pub mod process;
pub mod recalls;
pub mod record;
pub mod register;
pub mod register_form;
pub mod room;
pub mod studies;
pub mod study_files;
pub mod verify;
pub mod zero_checks;

mod ask;
mod calibrating;
pub mod field;
mod judged;
mod look_up;
mod pair_check;
mod parked;
mod parts;

mod readings;
mod rules;
mod run;
mod studying;
mod verdict;

use std::sync::LazyLock;

use maud::{DOCTYPE, Markup, html};

use crate::bench::{Refused, words};
use crate::report::html::{PALETTE, PICTURES};
use crate::report::sentence;
use crate::say;
use crate::web::words::equipment;

/// How a page was asked for.
pub struct Asked {
    /// By our script, which puts it in the place of the one shown.
    pub fragment: bool,
    /// By a job's own address, and not as the job on the bench.
    pub own_address: bool,
}

/// The one style sheet: the colours and pictures of the reports, and the bench's own.
pub static STYLE: LazyLock<String> =
    LazyLock::new(|| [PALETTE, PICTURES, include_str!("../assets/bench.css")].concat());
/// The style of a report by itself.
pub static REPORT_STYLE: LazyLock<String> =
    LazyLock::new(|| [PALETTE, PICTURES, crate::report::html::STYLE].concat());
/// The one script.
pub const SCRIPT: &str = include_str!("../assets/bench.js");
/// The address of the nonconforming pieces, to which other pages lead.
pub const NONCONFORMING: &str = "/nonconforming";
/// Where a list of equipment is handed in.
pub const EQUIPMENT_LIST: &str = "/equipment/list";
/// The pages of the gauge room.
pub const DUE: &str = "/due";
pub const RECALLS: &str = "/recalls";
pub const CHECKS: &str = "/checks";
pub const STUDIES: &str = "/studies";
pub const ROOM: &str = "/room";
/// The mark in the browser's tab.
pub const ICON: &str = include_str!("../assets/icon.svg");

/// A whole page round its content.
pub fn document(title: &str, class: &str, content: &Markup) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (title) }
                link rel="stylesheet" href="/bench.css";
                link rel="icon" href="/icon.svg" type="image/svg+xml";
                script src="/bench.js" defer {}
            }
            body class=(class) { (content) }
        }
    }
}

/// The head of a sheet as a page by itself.
pub fn head_of_sheet() -> Markup {
    html! {
        link rel="stylesheet" href="/report.css";
        script src="/bench.js" defer {}
    }
}

/// A page to read, with the way back to the bench.
pub fn reading_page(title: &str, content: &Markup) -> Markup {
    page_under(title, None, content)
}

/// A page of the gauge room: the others stand in a line of their own.
pub fn gauge_room_page(title: &str, address: &str, content: &Markup) -> Markup {
    page_under(title, Some(address), content)
}

fn page_under(title: &str, in_room: Option<&str>, content: &Markup) -> Markup {
    let page = html! {
        header class="top" {
            p class="on-the-bench" { strong { (title) } }
            (ways())
        }
        @if let Some(address) = in_room { (ways_of_room(address)) }
        main class="sheet" { (content) }
    };
    document(&titled(title), "sheet-page", &page)
}

/// The name of a window.
fn titled(title: &str) -> String {
    format!("{title} – midflank")
}

/// The ways between pages: few enough for one line beside what is on the bench.
pub fn ways() -> Markup {
    html! {
        nav class="ways" aria-label=(words::pages()) {
            a href="/" title=(crate::say!("page.back-to-bench")) { (words::bench()) } " "
            a href="/lots" { (say!("lots.title")) } " "
            a href="/history" { (words::history()) } " "
            a href="/equipment" { (equipment()) } " "
            a href=(DUE) { (say!("page.gauge-room")) }
        }
    }
}

/// The ways between the pages of the gauge room, the present one marked.
fn ways_of_room(present: &str) -> Markup {
    let pages = [
        (DUE, say!("due.page")),
        (RECALLS, say!("recall-case.page")),
        (CHECKS, say!("check.page")),
        (STUDIES, say!("study-run.page")),
        (ROOM, say!("room.page")),
    ];
    html! {
        nav class="ways" aria-label=(say!("page.gauge-room")) {
            @for (address, name) in pages {
                a href=(address) aria-current=[(address == present).then_some("page")] { (name) } " "
            }
        }
    }
}

/// A short message in place of a page.
pub fn message(title: &str, text: &str) -> Markup {
    reading_page(
        title,
        &html! { h1 { (title) } p { (text) } p { a href="/" { (words::to_the_bench()) } } },
    )
}

/// A job that is not shown here: another station is at work on it.
pub fn elsewhere(job: u64, station: &str) -> Markup {
    message(
        &format!("{} {job}", words::job_label()),
        &sentence(&crate::words::said(&Refused::UnderWayAt {
            job,
            station: station.to_owned(),
        })),
    )
}

/// There is nothing at this address.
pub fn nothing_here() -> Markup {
    message(words::nothing_here(), words::nothing_here_long())
}
