//! Texts of the register's pages; those of the job are in [`bench::words`](crate::bench::words).

use metrology::inspection::State;

use crate::register::Kind;
use crate::say;
pub use crate::words::equipment::{kinds as kind, one_of_kind as one};
use metrology::chart::Signal;

pub fn equipment() -> &'static str {
    say!("page.equipment")
}

pub fn equipment_long() -> &'static str {
    say!("page.equipment-long")
}

pub fn none_owned() -> &'static str {
    say!("page.none-owned")
}

pub fn piece() -> &'static str {
    say!("page.piece")
}

pub fn what() -> &'static str {
    say!("page.what")
}

pub fn state_label() -> &'static str {
    say!("page.state")
}

pub fn certificate() -> &'static str {
    say!("page.certificate")
}

pub fn due() -> &'static str {
    say!("page.due")
}

pub fn overdue() -> &'static str {
    say!("page.overdue")
}

pub fn last_zero() -> &'static str {
    say!("page.last-zero")
}

pub fn no_zero() -> &'static str {
    say!("page.no-zero")
}

pub fn no_zero_yet() -> &'static str {
    say!("page.no-zero-yet")
}

pub fn zero_chart() -> &'static str {
    say!("page.zero-chart")
}

pub fn entries() -> &'static str {
    say!("page.entries")
}

pub fn entry() -> &'static str {
    say!("page.entry")
}

pub fn why() -> &'static str {
    say!("page.why")
}

pub fn first_recorded() -> &'static str {
    say!("page.first-recorded")
}

pub fn results() -> &'static str {
    say!("page.results")
}

pub fn no_results() -> &'static str {
    say!("page.no-results")
}

pub fn older_results() -> &'static str {
    say!("page.older-results")
}

pub fn change_label() -> &'static str {
    say!("page.change")
}

pub fn other_pair() -> &'static str {
    say!("page.other-pair")
}

pub fn other_pair_help() -> &'static str {
    say!("page.other-pair-help")
}

pub fn another_state() -> &'static str {
    say!("page.another-state")
}

pub fn put() -> &'static str {
    say!("page.put")
}

pub fn put_in_register() -> &'static str {
    say!("page.put-in-register")
}

pub fn keep() -> &'static str {
    say!("page.keep")
}

pub fn not_said() -> &'static str {
    say!("page.not-said")
}

pub fn yes_or_no(yes: bool) -> &'static str {
    if yes {
        say!("page.yes")
    } else {
        say!("page.no")
    }
}

/// How the points of an error curve are written.
pub fn points_example(example: &str) -> String {
    say!("page.points-example", example = example)
}

/// Beside the label of a field that may not stay empty.
pub fn needed_mark() -> &'static str {
    say!("page.needed-mark")
}

pub fn unit() -> &'static str {
    say!("page.unit")
}

pub fn reason() -> &'static str {
    say!("page.reason")
}

pub fn no_person() -> &'static str {
    say!("page.no-person")
}

pub fn no_reason() -> &'static str {
    say!("page.no-reason")
}

pub fn changed_meanwhile() -> &'static str {
    say!("page.changed-meanwhile")
}

pub fn any_words() -> &'static str {
    say!("page.any-words")
}

pub fn restart() -> &'static str {
    say!("page.restart")
}

pub fn other_micrometer() -> &'static str {
    say!("page.other-micrometer")
}

pub fn to_the_list() -> &'static str {
    say!("page.to-the-list")
}

pub fn add(kind: Kind) -> String {
    say!("page.add", one = one(kind))
}

pub fn change(id: &str) -> String {
    say!("page.change-piece", id = id)
}

pub fn state(state: State) -> &'static str {
    crate::words::name(&state)
}

/// Why the zero checks begin anew.
pub fn new_certificate(of: &str, certificate: &str) -> String {
    say!("page.new-certificate", of = of, certificate = certificate)
}

pub fn changed(id: &str, reason: &str) -> String {
    format!("{id}: {reason}")
}

pub fn begins_anew(why: &str) -> String {
    say!("page.begins-anew", why = why)
}

pub fn needed(what: &str) -> String {
    say!("page.needed", what = what)
}

/// No verdict in particular.
pub fn any_verdict() -> &'static str {
    say!("page.any-verdict")
}

/// The way to the report as it is printed.
pub fn report_to_print() -> &'static str {
    say!("page.report-to-print")
}

/// The key that opens the PDF of a page.
pub const PDF_KEY: &str = "p";

/// The way to the report as a file, and its key.
pub fn report_as_pdf(key: &str) -> String {
    say!("paper.as-pdf", key = key.to_uppercase())
}

pub fn no_number(text: &str) -> String {
    say!("page.no-number", text = text)
}

pub fn two_needed(text: &str, example: &str) -> String {
    say!("page.two-needed", text = text, example = example)
}

pub fn known_already(kind: Kind, id: &str) -> String {
    say!("page.known-already", one = one(kind), id = id)
}

/// What a chart of zeros shows.
pub fn signal(signal: Signal) -> &'static str {
    crate::words::name(&signal)
}

/// Why an entry is put right.
pub fn reason_to_amend() -> &'static str {
    say!("page.amend-reason")
}
