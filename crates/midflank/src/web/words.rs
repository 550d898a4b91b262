//! Texts of the register's pages; those of the job are in [`bench::words`](crate::bench::words).

use metrology::inspection::{ContactKind, StandardForm, State};

use crate::register::Kind;

pub const EQUIPMENT: &str = "Equipment";
pub const EQUIPMENT_LONG: &str = "What is owned, and whether it may be used. Nothing is erased: each change is a new entry in the ledger.";
pub const NONE_OWNED: &str = "None.";
pub const PIECE: &str = "Identity";
pub const WHAT: &str = "What it is";
pub const STATE: &str = "State";
pub const CERTIFICATE: &str = "Certificate";
pub const DUE: &str = "Due";
pub const OVERDUE: &str = "overdue since";
pub const LAST_ZERO: &str = "Last zero check";
pub const NO_ZERO: &str = "none yet";
pub const NO_ZERO_YET: &str = "none yet: set zero before the first part";
pub const ZERO_CHART: &str = "All zero checks";
pub const ENTRIES: &str = "What was written about it";
pub const ENTRY: &str = "Entry";
pub const WHY: &str = "Why";
pub const FIRST_RECORDED: &str = "first recorded";
pub const RESULTS: &str = "Results that it touched";
pub const NO_RESULTS: &str = "No result yet.";
pub const OLDER_RESULTS: &str = "Older results";
pub const CHANGE: &str = "New certificate or other values";
pub const OTHER_PAIR: &str = "A pair with another contact";
pub const OTHER_PAIR_HELP: &str = "Another contact makes another pair, with a mark and a zero of its own. Give it its own identity.";
pub const ANOTHER_STATE: &str = "Put into another state";
pub const PUT: &str = "Put";
pub const KEEP: &str = "Record";
pub const NOT_SAID: &str = "not said";
pub const YES: &str = "yes";
pub const NO: &str = "no";
pub const NEEDED: &str = "needed";
pub const UNIT: &str = "Unit of bare numbers";
pub const REASON: &str = "Why it changes";
pub const NO_PERSON: &str = "a record needs the name of who records it";
pub const NO_REASON: &str = "say why, such as `new certificate K-2301` or `dropped`";
pub const CHANGED_MEANWHILE: &str = "somebody changed this piece since this form was opened; look at what is written now, and record again";
pub const ANY_WORDS: &str = "Any words";
pub const RESTART: &str = "set anew";
pub const OTHER_MICROMETER: &str = "another micrometer";
pub const TO_THE_LIST: &str = "All equipment";

pub const fn kind(kind: Kind) -> &'static str {
    match kind {
        Kind::Instrument => "Micrometers",
        Kind::Contacts => "Pairs of contacts",
        Kind::Standard => "Setting standards",
        Kind::Wires => "Measuring wires",
        Kind::Balls => "Measuring balls",
    }
}

pub const fn one(kind: Kind) -> &'static str {
    match kind {
        Kind::Instrument => "micrometer",
        Kind::Contacts => "pair of contacts",
        Kind::Standard => "setting standard",
        Kind::Wires => "set of wires",
        Kind::Balls => "set of balls",
    }
}

pub fn add(kind: Kind) -> String {
    format!("Add a {}", one(kind))
}

pub fn change(id: &str) -> String {
    format!("Change {id}")
}

pub const fn state(state: State) -> &'static str {
    match state {
        State::Active => "active",
        State::Quarantined => "quarantined as doubtful",
        State::Out => "out for calibration or repair",
        State::ReferenceOnly => "reference only",
        State::Retired => "retired",
        State::Lost => "lost",
    }
}

/// Why the zero checks begin anew.
pub fn new_certificate(of: &str, certificate: &str) -> String {
    format!("{of} has certificate {certificate}")
}

pub fn changed(id: &str, reason: &str) -> String {
    format!("{id}: {reason}")
}

pub fn begins_anew(why: &str) -> String {
    format!("series begins anew ({why})")
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
    [
        StandardForm::VAndConeRod,
        StandardForm::ThreadPlug,
        StandardForm::Plain,
        StandardForm::Closed,
    ]
    .map(|form| match form {
        StandardForm::VAndConeRod => ("v-and-cone-rod", "rod with V and cone"),
        StandardForm::ThreadPlug => ("thread-plug", "thread plug"),
        StandardForm::Plain => ("plain", "plain: rod, disc or gauge block"),
        StandardForm::Closed => ("closed", "contacts closed on each other"),
    })
    .to_vec()
}

pub fn needed(what: &str) -> String {
    format!("{what} is needed")
}

pub fn no_number(text: &str) -> String {
    format!("`{text}` is not a number; write such as 2 or 0.5")
}

pub fn two_needed(text: &str, example: &str) -> String {
    format!("`{text}` is not two values; write such as {example}")
}

pub fn known_already(kind: Kind, id: &str) -> String {
    format!(
        "{} {id} is in the register already; open its own page to change it, or give this one another identity",
        one(kind)
    )
}
