//! One record, with the chain of its amendments.

use ledger::{Entry, EntryRef, Facts};
use maud::{Markup, html};

use super::{gauge_room, head_of_sheet, reading_page, studies};
use crate::bench::words;
use crate::failure::Failure;
use crate::letterhead::Letterhead;
use crate::record;
use crate::report::first_article::FirstArticle;
use crate::report::found;
use crate::report::html::{article, page_with, sheet as html_sheet};
use crate::report::sheet::{self, Printing};
use crate::report::{self, Record, Report, capitalised};
use crate::say;
use crate::web::app::App;
use crate::web::words::{self as own_words, PDF_KEY};
use crate::words::{self as in_words, number};
use workshop::RecordKind;

/// The entry of a name; none where no entry, or more than one, goes by it.
pub fn named(app: &App, name: &str) -> Result<Option<Entry>, Failure> {
    let Ok(name) = name.parse::<EntryRef>() else {
        return Ok(None);
    };
    match app.ledger.get(&name) {
        Ok(entry) => Ok(Some(entry)),
        Err(ledger::Error::NoSuchEntry { .. } | ledger::Error::Ambiguous { .. }) => Ok(None),
        Err(error) => Err(error.into()),
    }
}

/// The page of an entry; none where no entry goes by that name.
pub fn page(app: &App, name: &str) -> Result<Option<Markup>, Failure> {
    let Some(entry) = named(app, name)? else {
        return Ok(None);
    };
    let history = app.ledger.history(&entry.sequence.into())?;
    let title = format!("{} {}", words::record(), entry.id());
    let content = html! {
        (chain(&history, &entry))
        @if RecordKind::Inspection.is_of(&entry) {
            @let (job, result) = record::read(&entry)?;
            @let report = Report { job: &job, result: &result, record: Some(Record::of(&app.ledger, &entry)?) };
            @let on_paper = on_paper(&report)?;
            div class=(format!("page report {}", report.colour())) data-printed=[on_paper.as_ref().map(|_| "no")] { (article(&report, &title)) }
            @if let Some(sheet) = on_paper { div data-printed="alone" { (sheet) } }
            nav class="more" aria-label=(words::more_about()) {
                // A lot's page shows what stands.
                @if let Some(lot) = job.part.lot.as_ref().filter(|_| entry.amended_by.is_none()) { a href=(super::history::address("lot", lot)) { (words::all_of_lot()) " " (lot) } " " }
                a href=(format!("/record/{}/report", entry.id())) { (own_words::report_to_print()) } " "
                a href=(format!("/records/{}.pdf", entry.id())) data-key=(PDF_KEY) { (own_words::report_as_pdf(PDF_KEY)) } " "
                a href=(super::history::address("contacts", &job.contacts.id)) { (words::zero_checks_of()) " " (job.contacts.id) } " "
                (ways(&entry))
            }
        } @else {
            h1 { (title) }
            p { (kind(&entry)) ", " (number::on_the_wall(entry.content.recorded_at)) ", " (entry.content.actor.name) ", " (entry.content.station) }
            @if RecordKind::Found.is_of(&entry) { @for line in found::lines(&app.ledger, &entry)? { p { (line) } } }
            @match RecordKind::of_entry(&entry) {
                Some(RecordKind::Calibration) => { (gauge_room::calibration_on_record(app, &entry)?) (inputs(&entry)) }
                Some(RecordKind::FirstArticle) => { (first_article(app, &entry)?) (inputs(&entry)) }
                Some(RecordKind::Study) => { (studies::on_record(&entry)?) }
                Some(RecordKind::Certificate) => {
                    @let certified = workshop::certificates_on_record::on_record(&entry)?.certified;
                    @for line in report::certified::report(&certified).lines() { p { (line) } }
                    (inputs(&entry))
                }
                Some(RecordKind::Recall) => { p { a href=(format!("/recalls/{}", entry.id())) { (report::lines::line(&entry, &Facts::default(), usize::MAX)) } } (inputs(&entry)) }
                _ => { p { (report::lines::line(&entry, &Facts::default(), usize::MAX)) } (inputs(&entry)) }
            }
            nav class="more" aria-label=(words::more_about()) {
                @if RecordKind::of_entry(&entry).is_some_and(sheet::is_printed) { a href=(format!("/records/{}.pdf", entry.id())) data-key=(PDF_KEY) { (own_words::report_as_pdf(PDF_KEY)) } " " }
                (ways(&entry))
            }
        }
    };
    Ok(Some(reading_page(&title, &content)))
}

/// Whether an entry withdraws another and puts nothing in its place.
fn is_withdrawal(entry: &Entry) -> bool {
    RecordKind::Note.is_of(entry) && entry.content.amends.is_some()
}

/// What an entry is, in words; the code of a kind that a later program recorded.
fn kind(entry: &Entry) -> String {
    if is_withdrawal(entry) {
        return say!("page.withdrawal").to_owned();
    }
    let known = RecordKind::of_entry(entry).map(|kind| capitalised(&in_words::word(&kind)));
    known.unwrap_or_else(|| entry.content.kind.clone())
}

/// A first article as it was issued.
fn first_article(app: &App, entry: &Entry) -> Result<Markup, Failure> {
    let article = FirstArticle::issued(&app.ledger, entry)?;
    let lot = super::lots::address_of(&article.lot);
    Ok(html! {
        (article.article(&Letterhead::read(None)?))
        p { a href=(lot) { (words::lot()) " " (article.lot) } }
    })
}

/// What an entry was computed from, as it is stored: below what it shows.
fn inputs(entry: &Entry) -> Markup {
    html! { @if !is_withdrawal(entry) { details { summary { (words::inputs()) } pre tabindex="0" { (entry.content.inputs) } } } }
}

/// To put an entry right, where that is still to be done at this one, and to verify it.
fn ways(entry: &Entry) -> Markup {
    let may_be_amended = RecordKind::Inspection.is_of(entry)
        || RecordKind::Note.is_of(entry)
        || RecordKind::Badge.is_of(entry);
    html! {
        @if may_be_amended && entry.amended_by.is_none() { a href=(format!("/record/{}/amend", entry.id())) { (say!("page.amend")) } " " }
        a href=(format!("/record/{}/verify", entry.id())) { (say!("page.verify")) }
    }
}

/// The report of an inspection as a page by itself, to be printed; none where no inspection goes by that name.
pub fn report(app: &App, name: &str) -> Result<Option<Markup>, Failure> {
    let entry = named(app, name)?;
    let Some(entry) = entry.filter(|entry| RecordKind::Inspection.is_of(entry)) else {
        return Ok(None);
    };
    let (job, result) = record::read(&entry)?;
    let report = Report {
        job: &job,
        result: &result,
        record: Some(Record::of(&app.ledger, &entry)?),
    };
    let head = head_of_sheet();
    Ok(Some(match on_paper(&report)? {
        Some(article) => {
            let title = say!("report.page-title", record = entry.id());
            html_sheet(&title, report.colour(), Some(head), &article)
        }
        None => page_with(&report, &head),
    }))
}

/// The report as it is printed, one screw on one sheet. A record that does not stand any more has none: its page says so first.
fn on_paper(report: &Report) -> Result<Option<Markup>, Failure> {
    let stands = report.superseded().is_none();
    let Some(record) = report.record.as_ref().filter(|_| stands) else {
        return Ok(None);
    };
    let letterhead = Letterhead::read(None)?;
    Ok(Some(sheet::article(report, record, &letterhead)))
}

/// The PDF of an entry by the name of its file; none where nothing that can be printed goes by that name.
pub fn pdf(app: &App, file: &str) -> Result<Option<Vec<u8>>, Failure> {
    let Some(name) = file.strip_suffix(".pdf") else {
        return Ok(None);
    };
    let (name, is_long) = match name.strip_suffix("-long") {
        Some(name) => (name, true),
        None => (name, false),
    };
    let Some(entry) = named(app, name)? else {
        return Ok(None);
    };
    let letterhead = Letterhead::read(None)?;
    let printing = Printing {
        is_long,
        size: None,
    };
    sheet::pdf(&app.ledger, &entry, &letterhead, &printing)
}

/// The sheet of a study as PDF; none where the entry holds none.
pub fn study_pdf(app: &App, name: &str) -> Result<Option<Vec<u8>>, Failure> {
    let entry = named(app, name)?;
    let Some(entry) = entry.filter(|entry| RecordKind::Study.is_of(entry)) else {
        return Ok(None);
    };
    let letterhead = Letterhead::read(None)?;
    sheet::pdf(&app.ledger, &entry, &letterhead, &Printing::default())
}

/// An entry with all it amends and all that amend it.
fn chain(history: &[Entry], shown: &Entry) -> Markup {
    html! {
        @if history.len() > 1 {
            nav class="chain" aria-label=(words::amendments()) {
                ol {
                    @for entry in history {
                        li {
                            @if entry.sequence == shown.sequence { strong aria-current="page" { (entry.id()) } }
                            @else { a href=(format!("/record/{}", entry.id())) { (entry.id()) } }
                            " " (number::on_the_wall(entry.content.recorded_at)) " " (entry.content.actor.name)
                            @if let Some(amendment) = &entry.content.amends { ": " (amendment.reason) }
                            @if entry.amended_by.is_none() { " (" (words::holds()) ")" }
                        }
                    }
                }
            }
        }
    }
}
