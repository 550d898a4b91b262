//! The form of a first article: what the records of a piece do not have.

use maud::{Markup, html};
use serde::Deserialize;
use workshop::first_article::{
    Article, Certificate, CertificateOf, Extent, PartSupplied, Remarked, Supplied,
};
use workshop::lots::{Lot, Matrix};

use super::field::{Fault, Field, above, checked, one_line, person};
use super::lots::address_of;
use super::reading_page;
use crate::bench::words as bench_words;
use crate::failure::Failure;
use crate::say;
use crate::web::app::App;
use crate::words;

/// What the form says. Every field is text, so that a wrong one can be shown again.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Typed {
    pub token: String,
    pub person: String,
    pub piece: String,
    part_number: String,
    revision: String,
    serial: String,
    report: String,
    replaces: String,
    extent: String,
    reason: String,
    baseline: String,
    covers: String,
    certificates: String,
    remarks: String,
}

impl Typed {
    /// The same as a file would have it.
    pub fn supplied(&self) -> Result<Supplied, Failure> {
        let extent = self.extent().map_err(Failure::Input)?;
        let covers = self.covers.split([',', ';', ' ']).map(str::trim);
        Ok(Supplied {
            part: PartSupplied {
                number: optional(&self.part_number),
                revision: optional(&self.revision),
                serial: optional(&self.serial),
            },
            first_article: Article {
                report: optional(&self.report),
                replaces: optional(&self.replaces),
                extent,
                reason: optional(&self.reason),
                baseline: optional(&self.baseline),
                covers: covers
                    .filter(|number| !number.is_empty())
                    .map(str::to_owned)
                    .collect(),
            },
            certificate: self.certificates().map_err(Failure::Input)?,
            characteristic: self.remarks().map_err(Failure::Input)?,
        })
    }

    fn extent(&self) -> Result<Extent, String> {
        match self.extent.trim() {
            "" => Ok(Extent::Full),
            text => Extent::of(text).ok_or_else(|| {
                let known = Extent::EVERY.iter().map(|one| one.key().to_owned());
                let known = words::choice(known);
                say!("first-article.no-extent", text = text, known = known)
            }),
        }
    }

    fn certificates(&self) -> Result<Vec<Certificate>, String> {
        lines(&self.certificates).map(certificate).collect()
    }

    fn remarks(&self) -> Result<Vec<Remarked>, String> {
        lines(&self.remarks).map(remark).collect()
    }

    /// The fields that are wrong, in their order. Only the button that issues the report sends the token, and needs a person.
    pub fn faults(&self) -> Vec<Fault> {
        let is_issued = !self.token.is_empty();
        let person = match self.person.trim() {
            "" if is_issued => Some(say!("page.no-person").to_owned()),
            person => one_line(person),
        };
        let all = [
            ("part_number", one_line(&self.part_number)),
            ("revision", one_line(&self.revision)),
            ("serial", one_line(&self.serial)),
            ("report", one_line(&self.report)),
            ("replaces", one_line(&self.replaces)),
            ("extent", self.extent().err()),
            ("reason", one_line(&self.reason)),
            ("baseline", one_line(&self.baseline)),
            ("covers", one_line(&self.covers)),
            ("certificates", self.certificates().err()),
            ("remarks", self.remarks().err()),
            ("person", person),
        ];
        let all = all.into_iter();
        all.filter_map(|(field, wrong)| Some((field, wrong?)))
            .collect()
    }
}

fn optional(text: &str) -> Option<String> {
    Some(text.trim().to_owned()).filter(|text| !text.is_empty())
}

fn lines(text: &str) -> impl Iterator<Item = &str> {
    text.lines().map(str::trim).filter(|line| !line.is_empty())
}

/// `material; brass CW614N; EN 12164; M-77812; Foundry Lane`.
fn certificate(line: &str) -> Result<Certificate, String> {
    let fields: Vec<&str> = line.split(';').map(str::trim).collect();
    let wrong = || say!("first-article.certificate-line", line = line);
    let (of, name, specification, number, supplier) = match *fields.as_slice() {
        [of, name, specification, number] => (of, name, specification, number, ""),
        [of, name, specification, number, supplier] => (of, name, specification, number, supplier),
        _ => return Err(wrong()),
    };
    Ok(Certificate {
        of: CertificateOf::of(&of.to_lowercase()).ok_or_else(wrong)?,
        name: optional(name).ok_or_else(wrong)?,
        specification: optional(specification),
        number: optional(number).ok_or_else(wrong)?,
        supplier: optional(supplier),
    })
}

/// `2; sheet 1, zone C4; deburred later; first piece`: number, location, why it was not measured, comment.
fn remark(line: &str) -> Result<Remarked, String> {
    let fields: Vec<&str> = line.split(';').map(str::trim).collect();
    let wrong = || say!("first-article.remark-line", line = line);
    if !(2..=4).contains(&fields.len()) {
        return Err(wrong());
    }
    let field = |index: usize| fields.get(index).and_then(|text| optional(text));
    Ok(Remarked {
        number: field(0).ok_or_else(wrong)?,
        location: field(1),
        not_measured: field(2),
        comment: field(3),
        tooling: None,
    })
}

/// The form, with what is wrong.
pub fn page(
    app: &App,
    lot: &Lot,
    matrix: &Matrix,
    typed: &Typed,
    wrong: Option<&str>,
    faults: &[Fault],
) -> Result<Markup, Failure> {
    let books = app.books()?;
    let person = person(&typed.person, &typed.token, books.last_person.as_deref());
    let number = &lot.begun.number;
    let title = say!("first-article.page", lot = number);
    let address = format!("{}/first-article", address_of(number));
    let field = |name: &'static str, label: &str, value: &str| {
        html! { div { (checked(name, label, faults).line(value)) } }
    };
    let text = |name: &'static str, label: &str, help: &str, value: &str| {
        let help = Some(html! { (help) });
        html! { div class="job-text" { (Field { help, ..checked(name, label, faults) }.lines(value, 4)) } }
    };
    let extents = Extent::EVERY
        .iter()
        .map(|one| (one.key(), words::word(one)));
    let pieces = matrix.rows.iter().map(|row| (&row.piece, &row.piece));
    let content = html! {
        h1 { (title) }
        (above(wrong, faults.len()))
        @if matrix.rows.is_empty() { p { (say!("lots.nothing-yet")) } }
        @else {
            p { (say!("first-article.page-about")) }
            form class="describe" method="get" action=(format!("{address}/sheet")) autocomplete="off" {
                div class="fields" {
                    div translate="no" { (checked("piece", say!("lots.piece"), faults).choice(pieces, &typed.piece)) }
                    (field("part_number", say!("first-article.part-number"), &typed.part_number))
                    (field("revision", say!("first-article.revision-if-other"), &typed.revision))
                    (field("serial", say!("paper.serial"), &typed.serial))
                    (field("report", say!("first-article.report-number"), &typed.report))
                    (field("replaces", say!("first-article.replaces-report"), &typed.replaces))
                    div { (checked("extent", say!("first-article.extent"), faults).choice(extents, &typed.extent)) }
                    (field("reason", say!("first-article.reason"), &typed.reason))
                    (field("baseline", say!("first-article.baseline-of"), &typed.baseline))
                    (field("covers", say!("first-article.covers"), &typed.covers))
                }
                (text("certificates", say!("first-article.certificates"), say!("first-article.certificates-help"), &typed.certificates))
                (text("remarks", say!("first-article.remarks"), say!("first-article.remarks-help"), &typed.remarks))
                p {
                    button { (say!("first-article.show")) } " "
                    button formaction=(format!("{address}/sheet.pdf")) { (say!("first-article.as-pdf")) }
                }
                p class="soft" { (say!("first-article.issue-about")) }
                div class="fields" { (field("person", bench_words::person(), &person)) }
                // Only this button sends the token: the others are addresses that may be kept.
                p { button formmethod="post" formaction=(address) name="token" value=(app.token) { (say!("first-article.issue")) } }
            }
        }
        p { a href=(address_of(number)) { (bench_words::lot()) " " (number) } }
    };
    Ok(reading_page(&title, &content))
}
