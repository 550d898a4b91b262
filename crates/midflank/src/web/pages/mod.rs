//! One file a page, and what all pages share.

pub mod amend;
pub mod bench;
pub mod checks;
pub mod due;
pub mod first_article;
pub mod gauge_room;
pub mod history;
pub mod lots;
pub mod nonconforming;
pub mod plan;
pub mod recalls;
pub mod record;
pub mod register;
pub mod register_form;
pub mod room;
pub mod studies;
pub mod verify;
pub mod zero_checks;

mod ask;
mod calibrating;
mod look_up;
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

/// A page to read, with the way back to the bench.
pub fn reading_page(title: &str, content: &Markup) -> Markup {
    let page = html! {
        header class="top" {
            p class="on-the-bench" { strong { (title) } }
            (ways())
        }
        main class="sheet" { (content) }
    };
    document(&titled(title), "sheet-page", &page)
}

/// The name of a window.
fn titled(title: &str) -> String {
    format!("{title} – midflank")
}

/// The ways between pages.
pub fn ways() -> Markup {
    html! {
        nav class="ways" aria-label=(words::pages()) {
            a href="/" title=(crate::say!("page.back-to-bench")) { (words::bench()) } " "
            a href="/lots" { (say!("lots.title")) } " "
            a href="/history" { (words::history()) } " "
            a href="/equipment" { (equipment()) } " "
            a href="/due" { (crate::say!("due.page")) } " "
            a href="/recalls" { (crate::say!("recall-case.page")) } " "
            a href="/checks" { (crate::say!("check.page")) } " "
            a href="/studies" { (crate::say!("study-run.page")) } " "
            a href="/room" { (crate::say!("room.page")) }
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
