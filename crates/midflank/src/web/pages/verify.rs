//! What verification finds: of one record and all that it amends or that amend it, and of the whole ledger.

use ledger::{Computed, Entry, Fault, Place, Recomputed, VerifyOptions, VerifyReport, verify};
use maud::{Markup, html};

use super::reading_page;
use super::record::named;
use crate::desk;
use crate::failure::Failure;
use crate::report::sentence;
use crate::say;
use crate::web::app::App;
use crate::words::{self, number};

/// The page; none where no entry goes by that name.
pub fn page(app: &App, name: &str) -> Result<Option<Markup>, Failure> {
    let Some(entry) = named(app, name)? else {
        return Ok(None);
    };
    let id = entry.id();
    let line = app.ledger.history(&entry.sequence.into())?;
    let options = VerifyOptions {
        noted: Some(id.into()),
        ..VerifyOptions::default()
    };
    let report = verify(&app.ledger, &options, desk::recompute_in(&app.ledger))?;
    let title = say!("page.verify-title", entry = id);
    let content = html! {
        h1 { (title) }
        div class="wide" tabindex="0" role="region" aria-label=(title) {
            table aria-label=(title) {
                thead { tr {
                    th scope="col" { (say!("page.entry")) }
                    th scope="col" { (say!("page.verify-hash")) }
                    th scope="col" { (say!("page.verify-computed")) }
                    th scope="col" { (say!("page.verify-faults")) }
                } }
                tbody { @for entry in &line { (row(app, entry, &report)) } }
            }
        }
        h2 { (say!("page.verify-ledger")) }
        (whole(&report))
        p { a href=(format!("/record/{id}")) { (say!("page.to-the-record", entry = id)) } }
    };
    Ok(Some(reading_page(&title, &content)))
}

fn row(app: &App, entry: &Entry, report: &VerifyReport) -> Markup {
    let of_it = |fault: &&Fault| match fault.place {
        Place::Entry { sequence } => sequence == entry.sequence,
        Place::Event { job, .. } => entry.content.events.is_some_and(|events| events.job == job),
        Place::File => false,
    };
    let faults: Vec<&Fault> = report.faults.iter().filter(of_it).collect();
    let Computed { results, .. } = desk::recompute_in(&app.ledger)(entry);
    html! {
        tr {
            th scope="row" { a href=(format!("/record/{}", entry.id())) { (entry.id()) } " " br; span class="soft when" { (number::on_the_wall(entry.content.recorded_at)) } }
            td class="hash" { (entry.hash) }
            td {
                @match results {
                    Recomputed::Same => (say!("page.verify-same")),
                    Recomputed::Differs(differences) => strong { (say!("page.verify-differs", n = differences.len())) },
                    Recomputed::NotComputed { .. } => (say!("page.verify-not-computed")),
                }
            }
            td {
                @if faults.is_empty() { (say!("page.verify-none")) }
                @else { ul { @for fault in faults { li { (sentence(&words::ledger::fault(fault))) } } } }
            }
        }
    }
}

/// What was found of all entries, and what that is worth.
fn whole(report: &VerifyReport) -> Markup {
    let (n, recomputed) = (report.entries, report.recomputed);
    html! {
        p class=(if report.is_sound() { "" } else { "refusal" }) {
            strong {
                @if report.is_sound() { (sentence(&say!("ledger.verify-sound", n = n, recomputed = recomputed))) }
                @else { (sentence(&say!("ledger.verify-unsound", n = n, recomputed = recomputed))) }
            }
        }
        @if !report.faults.is_empty() {
            ul { @for fault in &report.faults { li { (sentence(&words::ledger::fault(fault))) } } }
        }
        @for one in &report.not_recomputed {
            p { (one.entry) ": " (say!("ledger.method-unknown", method = one.method)) }
        }
        @if !report.remarks.is_empty() {
            ul { @for remark in &report.remarks { li { (sentence(&words::ledger::remark(remark))) } } }
        }
        @if let Some(head) = report.head { p class="hash" { (say!("ledger.verify-last", entry = head.id(), hash = head.hash)) } }
        p class="soft" { (say!("page.verify-cut-off")) }
    }
}
