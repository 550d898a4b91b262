//! A certificate from outside: the form that records it, and what follows from it.

use ledger::Entry;
use maud::{Markup, html};
use serde::Deserialize;
use workshop::gauge_record::certificate::{Certified, Conformity};
use workshop::gauge_record::piece::PieceId;
use workshop::gauge_room::certificate_table;

use super::field::{Fault, Field, above, checked};
use super::gauge_room::address_of;
use super::history::address;
use super::reading_page;
use crate::exchange::dcc::read::Read;
use crate::report::{certified, sentence};
use crate::say;
use crate::web::app::App;
use crate::words;

/// The choice that the issuer is a national institute.
pub const NATIONAL: &str = "national";

/// What the form says. Every field is text, so that a wrong one can be shown again.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Typed {
    pub token: String,
    pub number: String,
    pub date: String,
    pub due: String,
    pub issuer: String,
    pub accreditation_body: String,
    pub accreditation_number: String,
    pub traced: String,
    pub chain: String,
    pub procedure: String,
    pub conditions: String,
    pub conformity: String,
    pub values: String,
    pub person: String,
}

/// Fields that may not stay empty.
pub const NEEDED: [&str; 4] = ["number", "date", "issuer", "person"];

impl Typed {
    /// The fields of one line, in their order.
    pub fn lines(&self) -> [(&'static str, &str); 10] {
        [
            ("number", &self.number),
            ("date", &self.date),
            ("due", &self.due),
            ("issuer", &self.issuer),
            ("accreditation_body", &self.accreditation_body),
            ("accreditation_number", &self.accreditation_number),
            ("chain", &self.chain),
            ("procedure", &self.procedure),
            ("conditions", &self.conditions),
            ("person", &self.person),
        ]
    }

    /// Takes what a digital certificate says; who records it and when it is due stays as it was.
    pub fn fill(&mut self, read: &Read) {
        let heading = &read.heading;
        let accreditation = heading.accreditation.clone().unwrap_or_default();
        (self.accreditation_body, self.accreditation_number) = accreditation;
        self.number.clone_from(&heading.number);
        self.date = heading.date.to_string();
        self.issuer.clone_from(&heading.issuer);
        self.chain = heading.chain.join(", ");
        if heading.national_institute {
            NATIONAL.clone_into(&mut self.traced);
        }
        self.procedure = heading.procedure.clone().unwrap_or_default();
        self.conditions = heading.conditions.clone().unwrap_or_default();
        let stated = read.conforms().map(|stated| stated.key().to_owned());
        self.conformity = stated.unwrap_or_default();
        self.values = certificate_table::table(&read.values);
    }
}

/// What a field is called.
pub fn label(field: &str) -> &'static str {
    match field {
        "number" => say!("certificate-page.number"),
        "date" => say!("certificate-page.date"),
        "due" => say!("certificate-page.due"),
        "issuer" => say!("certificate-page.issuer"),
        "accreditation_body" => say!("certificate-page.accreditation-body"),
        "accreditation_number" => say!("certificate-page.accreditation-number"),
        "chain" => say!("certificate-page.chain"),
        "procedure" => say!("certificate-page.procedure"),
        "conditions" => say!("certificate-page.conditions"),
        "values" => say!("certificate-page.values"),
        _ => say!("certificate-page.person"),
    }
}

fn help(field: &str) -> &'static str {
    match field {
        "date" | "due" => say!("certificate-page.date-help"),
        "accreditation_body" => say!("certificate-page.accreditation-help"),
        "chain" => say!("certificate-page.chain-help"),
        _ => "",
    }
}

/// The fields in their order.
pub const FIELDS: [&str; 11] = [
    "number",
    "date",
    "due",
    "issuer",
    "accreditation_body",
    "accreditation_number",
    "chain",
    "procedure",
    "conditions",
    "values",
    "person",
];

/// What is said above the form.
pub enum Told {
    Nothing,
    /// What was filled in.
    Taken(String),
    Wrong(String),
}

impl Told {
    pub fn wrong(why: &str) -> Self {
        Self::Wrong(why.to_owned())
    }
}

/// The address of the form of a piece.
pub fn of_piece(piece: &PieceId) -> String {
    format!("{}/certificate", address_of(piece))
}

pub fn page(app: &App, piece: &PieceId, typed: &Typed, told: &Told, faults: &[Fault]) -> Markup {
    let wrong = match told {
        Told::Wrong(why) => Some(why.as_str()),
        _ => None,
    };
    let kind = words::named("piece-kind", &piece.kind);
    let title = say!("certificate-page.title", kind = kind, id = piece.id);
    let content = html! {
        h1 { (title) }
        p { (say!("certificate-page.long")) }
        @if let Told::Taken(what) = told { p role="status" { strong { (what) } } }
        (above(wrong, faults.len()))
        section aria-labelledby="digital" {
            h2 id="digital" { (say!("certificate-page.digital")) }
            (digital(app, piece, faults))
        }
        section aria-labelledby="by-hand" {
            h2 id="by-hand" { (say!("certificate-page.by-hand")) }
            (form(app, piece, typed, faults))
        }
        p { a href=(address_of(piece)) translate="no" { (piece.id) } }
    };
    reading_page(&title, &content)
}

/// The form that takes the file of a digital certificate.
fn digital(app: &App, piece: &PieceId, faults: &[Fault]) -> Markup {
    let file = checked("file", say!("certificate-page.file"), faults);
    let item = Field {
        help: Some(html! { (say!("certificate-page.item-help")) }),
        ..checked("item", say!("certificate-page.item"), faults)
    };
    html! {
        form class="describe" method="post" action=(format!("{}/read", of_piece(piece))) enctype="multipart/form-data" autocomplete="off" {
            input type="hidden" name="token" value=(app.token);
            div class="fields" {
                div { (file.file(".xml,application/xml,text/xml")) }
                div { (item.line("")) }
            }
            p { button { (say!("certificate-page.fill")) } }
        }
    }
}

fn form(app: &App, piece: &PieceId, typed: &Typed, faults: &[Fault]) -> Markup {
    let traced = [
        ("", say!("certificate-page.traced-other")),
        (NATIONAL, say!("certificate-page.traced-national")),
    ];
    let unsaid = [("", say!("certificate-page.not-stated").to_owned())];
    let stated = Conformity::EVERY.iter();
    let stated = stated.map(|stated| (stated.key(), words::word(stated)));
    let conformity = unsaid.into_iter().chain(stated);
    let values = Field {
        needed: true,
        help: Some(html! { (say!("certificate-page.values-help")) }),
        ..checked("values", label("values"), faults)
    };
    let line = |field: &'static str, text: &str| {
        let help = help(field);
        let input = Field {
            needed: NEEDED.contains(&field),
            help: (!help.is_empty()).then(|| html! { (help) }),
            ..checked(field, label(field), faults)
        };
        html! { div { (input.line(text)) } }
    };
    html! {
        form class="describe" method="post" action=(of_piece(piece)) autocomplete="off" {
            input type="hidden" name="token" value=(app.token);
            div class="fields" {
                @for (field, text) in typed.lines() { @if field != "person" { (line(field, text)) } }
                div { (checked("traced", say!("certificate-page.traced"), faults).choice(traced, &typed.traced)) }
                div { (checked("conformity", say!("certificate-page.conformity"), faults).choice(conformity, &typed.conformity)) }
            }
            div class="stacked" { (values.lines(&typed.values, 6)) }
            div class="fields" { (line("person", &typed.person)) }
            p { button { (say!("certificate-page.record")) } }
        }
    }
}

/// What was recorded, and what is to be known of it.
pub fn recorded(
    piece: &PieceId,
    certificate: &Certified,
    entry: &Entry,
    told: &[String],
) -> Markup {
    let id = entry.id().to_string();
    let title = say!("certificate-page.recorded");
    let content = html! {
        h1 { (title) }
        p { (certified::line(certificate)) " (" a href=(address("record", &id)) translate="no" { (id) } ")" }
        p { (words::said(&certificate.heading.traced())) }
        @for line in told { p class="caution" role="status" { (sentence(line)) } }
        p { a href=(address_of(piece)) translate="no" { (piece.id) } }
    };
    reading_page(title, &content)
}
