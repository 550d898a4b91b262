//! Studies: those on the record, one of them with its plots, and the form that begins one at the bench.

use jiff::civil::Date;
use ledger::Entry;
use maud::{Markup, html};
use metrology::units::Entered;
use serde::Deserialize;
use workshop::bench::studying::{self, Asked, WrongField};
use workshop::gauge_record::studied::{
    BiasDocument, ComponentsDocument, LinearityDocument, RepeatabilityDocument, Studied,
    Type1Document,
};
use workshop::gauge_record::study::{Study, StudyKind};
use workshop::gauge_room::studies::{self, OnRecord, StudyError};

use super::field::{Fault, Field, above, checked};
use super::history::address;
use super::{STUDIES, gauge_room_page, process, study_files};
use crate::failure::Failure;
use crate::report::approved::told;
use crate::report::sheet::recorded_study::{self, drawn};
use crate::report::{sentence, studied};
use crate::say;
use crate::web::app::App;
use crate::web::words as own_words;
use crate::words::{self, number};

/// What the form says. Every field is text, so that a wrong one can be shown again.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Typed {
    pub token: String,
    pub kind: String,
    pub characteristic: String,
    pub parts: String,
    pub operators: String,
    pub trials: String,
    pub reference: String,
    pub seed: String,
}

impl Typed {
    /// As it is asked of the bench.
    pub fn asked(&self) -> Asked {
        Asked {
            kind: self.kind.clone(),
            characteristic: self.characteristic.clone(),
            parts: self.parts.clone(),
            operators: self.operators.clone(),
            trials: self.trials.clone(),
            reference: self.reference.clone(),
            seed: self.seed.clone(),
        }
    }

    /// The fields that are missing or wrong, in their order, with what is wrong.
    fn wrong_fields(&self) -> Vec<Fault> {
        let wrong = studying::read(&self.asked(), 0).err().unwrap_or_default();
        let told = |one: WrongField| (one.field.key(), words::error_on_page(&one.why));
        wrong.into_iter().map(told).collect()
    }
}

/// The address of a study.
pub fn address_of(entry: &str) -> String {
    address("studies", entry)
}

/// All studies, and the form.
pub fn list(app: &App, typed: &Typed, wrong: Option<&str>) -> Result<Markup, Failure> {
    let all = studies::all(&app.ledger)?;
    let title = say!("study-run.page");
    // What is wrong with a field stands at the field.
    let faults = wrong.map(|_| typed.wrong_fields()).unwrap_or_default();
    let content = html! {
        h1 { (title) }
        p { (say!("study-run.page-long")) }
        p { a href="#begin" { (say!("page.skip-to-form")) } }
        p { a href="#from-file" { (say!("study-run.to-files")) } }
        @if all.is_empty() { p class="soft" { (say!("study-run.none")) } } @else { (table_of(&all)) }
        section aria-labelledby="begin" {
            h2 id="begin" { (say!("study-run.begin")) }
            p { (say!("study-run.begin-long")) }
            dl class="facts" { @for kind in StudyKind::EVERY { div { dt { (words::word(kind)) } dd { (what_it_is(*kind)) } } } }
            (above(wrong, faults.len()))
            (form(app, typed, &faults)?)
        }
        section aria-labelledby="from-file" {
            h2 id="from-file" { (say!("study-run.from-file")) }
            p { (say!("study-run.from-file-long")) }
            (study_files::offered())
        }
        section aria-labelledby="process" {
            h2 id="process" { a href=(process::ADDRESS) { (say!("process-page.title")) } }
            p { (say!("process-page.long")) }
        }
    };
    Ok(gauge_room_page(title, STUDIES, &content))
}

/// Who measures what in a study of a kind, and what it answers.
fn what_it_is(kind: StudyKind) -> &'static str {
    match kind {
        StudyKind::Repeatability => say!("study-run.is-repeatability"),
        StudyKind::Type1 => say!("study-run.is-type-1"),
        StudyKind::Bias => say!("study-run.is-bias"),
        StudyKind::Nested => say!("study-run.is-nested"),
        StudyKind::Linearity => say!("study-run.is-linearity"),
    }
}

fn table_of(all: &[OnRecord]) -> Markup {
    let heads = [
        say!("study-run.study"),
        say!("study-run.on"),
        say!("study-run.kind"),
        say!("study-run.measured"),
        say!("study-run.set-up"),
        say!("study-run.found"),
    ];
    html! {
        div class="wide" tabindex="0" role="region" aria-label=(say!("study-run.page")) {
            table class="cards" {
                thead { tr { @for head in heads { th scope="col" { (head) } } } }
                tbody { @for one in all { tr {
                    td data-head=(heads[0]) { a href=(address_of(&one.entry.to_string())) translate="no" { (one.entry) } }
                    td class="when" data-head=(heads[1]) { (one.study.on) }
                    td data-head=(heads[2]) { (words::word(&one.study.plan.kind)) }
                    td data-head=(heads[3]) { (studied::measured(&one.study)) }
                    td data-head=(heads[4]) translate="no" { (studied::set_up(&one.study)) }
                    td data-head=(heads[5]) { (studied::brief(one)) }
                } } }
            }
        }
    }
}

fn form(app: &App, typed: &Typed, faults: &[Fault]) -> Result<Markup, Failure> {
    if app.under_way()?.is_some() {
        return Ok(html! { p class="soft" { (say!("study-run.busy")) } });
    }
    let fields = [
        (
            "characteristic",
            say!("study-run.measured"),
            &typed.characteristic,
            true,
            say!("study-run.measured-help"),
        ),
        (
            "operators",
            say!("study-run.operators"),
            &typed.operators,
            true,
            say!("study-run.operators-help"),
        ),
        (
            "parts",
            say!("study-run.parts"),
            &typed.parts,
            false,
            say!("study-run.parts-help"),
        ),
        (
            "trials",
            say!("study-run.trials"),
            &typed.trials,
            false,
            say!("study-run.trials-help"),
        ),
        (
            "reference",
            say!("study-run.reference"),
            &typed.reference,
            false,
            say!("study-run.reference-help"),
        ),
        (
            "seed",
            say!("study-run.seed"),
            &typed.seed,
            false,
            say!("study-run.seed-help"),
        ),
    ];
    let kinds = StudyKind::EVERY
        .iter()
        .map(|kind| (kind.key(), words::word(kind)));
    Ok(html! {
        form class="describe" method="post" action="/studies" autocomplete="off" {
            input type="hidden" name="token" value=(app.token);
            div class="fields" {
                div { (checked("kind", say!("study-run.kind"), faults).choice(kinds, &typed.kind)) }
                @for (key, label, value, needed, help) in fields {
                    div { (Field { needed, help: Some(html! { (help) }), ..checked(key, label, faults) }.line(value)) }
                }
            }
            p { button { (say!("study-run.do-begin")) } }
        }
    })
}

/// What the form of an approval says.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Approval {
    pub token: String,
    pub person: String,
    pub reason: String,
    pub from: String,
    pub review_due: String,
    pub sizes: String,
}

impl Approval {
    /// The fields that are missing or cannot be read, in their order, with what is wrong.
    pub fn wrong_fields(&self) -> Vec<Fault> {
        let needed = [
            ("person", say!("study-run.approver"), &self.person),
            ("reason", say!("study-run.reason"), &self.reason),
            ("review_due", say!("study-run.review-due"), &self.review_due),
        ];
        let missing = needed
            .into_iter()
            .filter(|(.., text)| text.trim().is_empty());
        let mut wrong: Vec<Fault> = missing
            .map(|(field, what, _)| (field, say!("page.needed", what = what)))
            .collect();
        for (field, text) in [("from", &self.from), ("review_due", &self.review_due)] {
            let text = text.trim();
            if !text.is_empty() && text.parse::<Date>().is_err() {
                wrong.push((field, say!("study-run.no-date", text = text)));
            }
        }
        let sizes = self.sizes.trim();
        if !sizes.is_empty() && two_sizes(sizes).is_none() {
            wrong.push(("sizes", words::said(&StudyError::Sizes)));
        }
        wrong.sort_by_key(|(field, _)| FIELDS.iter().position(|known| known == field));
        wrong
    }
}

/// The fields of an approval in their order.
const FIELDS: [&str; 5] = ["person", "reason", "from", "review_due", "sizes"];

/// `5mm..12mm`.
pub fn two_sizes(text: &str) -> Option<[Entered; 2]> {
    let (from, to) = text.split_once("..")?;
    let size = |text: &str| Entered::parse(text.trim(), None).ok();
    Some([size(from)?, size(to)?])
}

/// The approval that stands of a study, or the form that makes one.
fn approval(
    app: &App,
    one: &OnRecord,
    typed: &Approval,
    wrong: Option<&str>,
) -> Result<Markup, Failure> {
    let books = app.books()?;
    let id = one.entry.to_string();
    let standing = recorded_study::approval(one, &books.approvals);
    let person = match typed.person.as_str() {
        "" => books.last_person.clone().unwrap_or_default(),
        person => person.to_owned(),
    };
    let fields = [
        ("person", say!("study-run.approver"), &person, true, ""),
        ("reason", say!("study-run.reason"), &typed.reason, true, ""),
        (
            "from",
            say!("study-run.from"),
            &typed.from,
            false,
            say!("study-run.from-help"),
        ),
        (
            "review_due",
            say!("study-run.review-due"),
            &typed.review_due,
            true,
            say!("study-run.review-due-help"),
        ),
        (
            "sizes",
            say!("study-run.sizes"),
            &typed.sizes,
            false,
            say!("study-run.sizes-help"),
        ),
    ];
    // What is wrong with a field stands at the field.
    let faults = wrong.map(|_| typed.wrong_fields()).unwrap_or_default();
    let offered = standing.is_none() && studies::may_be_approved(one);
    Ok(html! {
        section aria-labelledby="approval" {
            h2 id="approval" { (say!("study-run.approval")) }
            @match standing {
                Some(standing) => p {
                    (say!("study-run.approved-as", told = told(&standing.approving))) " "
                    a href=(address("record", &standing.entry.to_string())) translate="no" { (standing.entry) } ". "
                    (say!("study-run.withdraw"))
                },
                None if !one.study.plan.kind.can_be_approved() => p class="soft" { (say!("study-sheet.feeds-nothing")) },
                None => p class="soft" { (say!("study-run.not-approved")) },
            }
            @if offered {
                p { (say!("study-run.approve-long")) }
                (above(wrong, faults.len()))
                form class="describe" method="post" action=(address_of(&id)) autocomplete="off" {
                    input type="hidden" name="token" value=(app.token);
                    div class="fields" { @for (key, label, value, needed, help) in fields { div { (Field { needed, help: Some(html! { (help) }), ..checked(key, label, &faults) }.line(value)) } } }
                    p { button { (say!("study-run.approve")) } }
                }
            }
        }
    })
}

/// A study on the record.
pub fn page(
    app: &App,
    one: &OnRecord,
    typed: &Approval,
    wrong: Option<&str>,
) -> Result<Markup, Failure> {
    let id = one.entry.to_string();
    let title = say!("study-run.title", kind = words::word(&one.study.plan.kind));
    let content = html! {
        header {
            p class="kind" { (say!("study-run.study")) }
            h1 { (title) }
            p class="actions" {
                a class="action" href=(address("record", &id)) translate="no" { (id) } " "
                a class="action" href=(format!("{}/sheet.pdf", address_of(&id))) data-key=(own_words::PDF_KEY) { (own_words::report_as_pdf(own_words::PDF_KEY)) }
            }
        }
        dl class="facts" {
            @for (name, value) in studied::facts(&one.study) { div { dt { (name) } dd { (value) } } }
        }
        section aria-labelledby="found" {
            h2 id="found" { (say!("study-run.found")) }
            @if one.study.is_broken_off() { p class="doubt" { (say!("study-run.broken-off")) } }
            (result_tables(&one.result))
            (drawn(&one.study, &one.result))
        }
        section aria-labelledby="readings" {
            h2 id="readings" { (say!("study-run.readings")) }
            (readings_table(&one.study))
        }
        (approval(app, one, typed, wrong)?)
        p { a href="/studies" { (say!("study-run.back")) } }
    };
    Ok(gauge_room_page(&title, STUDIES, &content))
}

/// A study on its record: how it was run, what was found, and every reading.
pub fn on_record(entry: &Entry) -> Result<Markup, Failure> {
    let one = studies::on_record(entry)?;
    let id = entry.id().to_string();
    Ok(html! {
        p { a href=(address_of(&id)) { (say!("study-run.title", kind = words::word(&one.study.plan.kind))) } }
        dl class="facts" {
            @for (name, value) in studied::facts(&one.study) { div { dt { (name) } dd { (value) } } }
        }
        @if one.study.is_broken_off() { p class="doubt" { (say!("study-run.broken-off")) } }
        (result_tables(&one.result))
        (drawn(&one.study, &one.result))
        (readings_table(&one.study))
    })
}

/// What was found, as tables.
pub fn result_tables(result: &Studied) -> Markup {
    html! {
        @if let Some(why) = &result.not_computed {
            p class="doubt" role="status" { (sentence(&say!("study-run.not-computed", why = words::said(why)))) }
        }
        @if let Some(study) = &result.repeatability { (components(study)) }
        @if let Some(study) = &result.type_1 { (type_1(study)) }
        @if let Some(study) = &result.bias { (bias(study)) }
        @if let Some(study) = &result.linearity { (linearity(study)) }
    }
}

fn components(study: &RepeatabilityDocument) -> Markup {
    let unit = study.unit.as_deref();
    let percent = |of: f64| format!("{} %", number::fixed(of, 1));
    let total = |of: fn(&ComponentsDocument) -> f64| percent(of(&study.percent_of_total));
    html! {
        div class="wide" tabindex="0" role="region" aria-label=(say!("study-run.components")) {
            table {
                thead { tr {
                    th scope="col" { (say!("study-run.components")) }
                    th scope="col" class="number" { (say!("studied.standard-deviation")) }
                    th scope="col" class="number" { (say!("studied.of-total")) }
                    @if study.percent_of_tolerance.is_some() { th scope="col" class="number" { (say!("studied.of-tolerance")) } }
                } }
                tbody { @for (name, of) in studied::parts(study) { tr {
                    th scope="row" { (name) }
                    td class="number" { (studied::deviation(of(&study.components), unit)) }
                    td class="number" { (total(of)) }
                    @if let Some(tolerance) = &study.percent_of_tolerance { td class="number" { (percent(of(tolerance))) } }
                } } }
            }
        }
        p { (studied::categories(study)) }
    }
}

fn pairs(all: &[(&str, String)]) -> Markup {
    html! { dl class="facts" { @for (name, value) in all { div { dt { (name) } dd { (value) } } } } }
}

fn type_1(study: &Type1Document) -> Markup {
    let unit = study.unit.as_deref();
    let told = studied::type_1(study);
    html! {
        (pairs(&[
            (say!("studied.cg"), studied::index(study.cg)),
            (say!("studied.cgk"), studied::index(study.cgk)),
            (say!("studied.bias"), studied::deviation(study.bias, unit)),
            (say!("studied.standard-deviation"), studied::deviation(study.standard_deviation, unit)),
            (say!("studied.mean"), studied::mean(study.mean, unit)),
            (say!("studied.n"), study.n.to_string()),
        ]))
        // What the numbers are computed for, and whether there are enough readings.
        @for line in told.sentences() { p class="soft" { (line) } }
    }
}

fn bias(study: &BiasDocument) -> Markup {
    let unit = study.unit.as_deref();
    let told = studied::bias(study);
    html! {
        (pairs(&[
            (say!("studied.bias"), studied::deviation(study.bias, unit)),
            (say!("studied.mean"), studied::mean(study.mean, unit)),
            (say!("studied.n"), study.n.to_string()),
        ]))
        @for line in told.sentences() { p { (line) } }
    }
}

fn linearity(study: &LinearityDocument) -> Markup {
    let unit = study.unit.as_deref();
    let told = studied::linearity(study);
    let shown = |value: f64| studied::deviation(value, unit);
    let heads = [
        say!("study-run.reference"),
        say!("studied.n"),
        say!("studied.bias"),
        say!("study-run.fitted"),
        say!("study-run.band-from"),
        say!("study-run.band-to"),
    ];
    let conclusion = told.sentences().last().unwrap_or_default();
    html! {
        p { (conclusion) }
        div class="wide" tabindex="0" role="region" aria-label=(say!("study-run.by-size")) {
            table {
                thead { tr { @for head in heads { th scope="col" class="number" { (head) } } } }
                tbody { @for at in studied::by_size(study) { tr {
                    th scope="row" class="number" { (studied::shown(at.reference, unit)) }
                    td class="number" { (at.n) }
                    td class="number" { (shown(at.bias)) }
                    td class="number" { (shown(at.fitted)) }
                    td class="number" { (shown(at.lower)) }
                    td class="number" { (shown(at.upper)) }
                } } }
            }
        }
        (pairs(&[
            (say!("studied.r-squared"), number::significant(study.r_squared, 4)),
            (say!("studied.residual"), studied::deviation(study.residual_standard_deviation, unit)),
        ]))
        // The line and its tests.
        @for line in told.sentences().take(3) { p class="soft" { (line) } }
    }
}

/// Every reading in the order in which it was taken.
fn readings_table(study: &Study) -> Markup {
    html! {
        details { summary { (say!("study-run.all-readings")) }
            div class="wide" tabindex="0" role="region" aria-label=(say!("study-run.all-readings")) {
                table {
                    thead { tr {
                        th scope="col" class="number" { (say!("study-run.nth")) }
                        th scope="col" { (say!("study-run.operator")) }
                        th scope="col" { (say!("study-run.part")) }
                        th scope="col" class="number" { (say!("study-run.trial")) }
                        th scope="col" class="number" { (say!("study-run.reading")) }
                    } }
                    tbody { @for (index, one) in study.readings.iter().enumerate() { tr {
                        td class="number" { (index + 1) }
                        td translate="no" { (one.operator) }
                        td translate="no" { (one.part) }
                        td class="number" { (one.trial) }
                        td class="number" {
                            @for earlier in &one.earlier { s { (number::entered(earlier)) } " " }
                            (number::entered(&one.reading))
                            @if let Some(reason) = &one.left { " (" (reason) ")" }
                        }
                    } } }
                }
            }
        }
    }
}
