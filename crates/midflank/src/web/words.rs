//! Texts of the register's pages; those of the job are in [`bench::words`](crate::bench::words).

use metrology::inspection::{ContactKind, StandardForm, State};

use crate::register::Kind;
use crate::say;
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

pub fn kind(kind: Kind) -> &'static str {
    match kind {
        Kind::Instrument => say!("page.kind-instrument"),
        Kind::Contacts => say!("page.kind-contacts"),
        Kind::Standard => say!("page.kind-standard"),
        Kind::Wires => say!("page.kind-wires"),
        Kind::Balls => say!("page.kind-balls"),
    }
}

pub fn one(kind: Kind) -> &'static str {
    match kind {
        Kind::Instrument => say!("page.one-instrument"),
        Kind::Contacts => say!("page.one-contacts"),
        Kind::Standard => say!("page.one-standard"),
        Kind::Wires => say!("page.one-wires"),
        Kind::Balls => say!("page.one-balls"),
    }
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

/// The label of a field of an equipment file.
pub fn label(key: &str) -> &'static str {
    crate::words::known(&format!("owned.{key}")).unwrap_or_default()
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

/// Kinds of contacts as they are written and shown.
pub fn contact_kinds() -> Vec<(&'static str, &'static str)> {
    ContactKind::EVERY
        .iter()
        .map(|kind| (kind.key(), crate::words::name(kind)))
        .collect()
}

/// Forms of standards as they are written and shown.
pub fn standard_forms() -> Vec<(&'static str, &'static str)> {
    StandardForm::EVERY
        .iter()
        .map(|form| match form {
            // A form offers what counts as one.
            StandardForm::Plain => (form.key(), say!("page.plain-standard")),
            form => (form.key(), crate::words::name(form)),
        })
        .collect()
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
