//! What is on the record: a list by what one looks for, a lot's readings.

use axum::http::StatusCode;
use jiff::civil::Date;
use ledger::{Entry, Facts, Filter, Known, KnownListing, Number, Order, Page, Subject, Text};
use maud::{Markup, html};
use metrology::decision::Verdict;
use metrology::inspection::Job;
use metrology::units::{Entered, LengthUnit};
use serde::Deserialize;

use super::field::Fault;
use super::{parked, reading_page};
use crate::bench::words;
use crate::document::Inspected;
use crate::failure::Failure;
use crate::record;
use crate::report::sentence;
use crate::report::{picture, size};
use crate::say;
use crate::web::app::App;
use crate::web::chart::{self, Level};
use crate::web::words as own_words;
use crate::words::number;
use crate::words::{InWords as _, KnownInWords as _};
use workshop::{RecordKind, on_record, registry, station};

/// Names of fields that are of a kind of their own.
const VERDICT: &str = "verdict";
const SINCE: &str = "since";
const UNTIL: &str = "until";
/// How a date is written.
const FORM_OF_DATES: &str = "2026-03-09";
/// Rows of a page.
const ROWS: u32 = 50;
/// Those who recorded as many of the latest inspections are offered by name.
const PEOPLE: u32 = 1000;
/// The most records that a chart is made from: the latest.
const MOST_IN_CHART: u32 = 500;

/// What is looked for. Every field is text, so that a wrong one can be shown again.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Asked {
    part: String,
    lot: String,
    instrument: String,
    person: String,
    words: String,
    verdict: String,
    since: String,
    until: String,
    beyond: String,
}

/// The address of a lot's or a pair's page.
pub fn address(kind: &str, id: &str) -> String {
    format!("/{kind}/{}", encoded(id))
}

/// A name as a piece of an address.
pub fn encoded(text: &str) -> String {
    text.bytes()
        .map(|byte| {
            if byte.is_ascii_alphanumeric() || b"-_.~".contains(&byte) {
                char::from(byte).to_string()
            } else {
                format!("%{byte:02X}")
            }
        })
        .collect()
}

impl Asked {
    pub fn filter(&self) -> Result<Filter, Failure> {
        let subjects = [
            ("lot", &self.lot),
            ("part", &self.part),
            ("instrument", &self.instrument),
            ("verdict", &self.verdict),
        ]
        .into_iter()
        .filter(|(_, identity)| !identity.trim().is_empty())
        .map(|(role, identity)| Subject::new(role, identity.trim()))
        .collect();
        let said = |text: &str| Some(text.trim().to_owned()).filter(|text| !text.is_empty());
        if let Some((_, wrong)) = self.wrong_dates().into_iter().next() {
            return Err(Failure::Input(wrong));
        }
        let (since, until) = (day(&self.since).ok(), day(&self.until).ok());
        Ok(Filter {
            // What was withdrawn or replaced has no verdict any more.
            standing: !self.verdict.trim().is_empty(),
            subjects,
            kind: Some(RecordKind::Inspection.key().to_owned()),
            person: said(&self.person),
            text: said(&self.words),
            ..record::in_days(since.flatten(), until.flatten())
        })
    }

    /// The dates that are none, or in the wrong order, each by its field.
    fn wrong_dates(&self) -> Vec<Fault> {
        let read = [(SINCE, day(&self.since)), (UNTIL, day(&self.until))];
        if let [(_, Ok(Some(since))), (_, Ok(Some(until)))] = &read
            && until < since
        {
            return vec![(UNTIL, words::dates_reversed(*since, *until))];
        }
        let wrong = read.into_iter();
        wrong
            .filter_map(|(field, read)| Some((field, read.err()?)))
            .collect()
    }

    fn fields(&self) -> [(&'static str, &'static str, &String); 8] {
        [
            ("part", words::part(), &self.part),
            ("lot", words::lot(), &self.lot),
            (VERDICT, words::verdict(), &self.verdict),
            ("instrument", words::instrument(), &self.instrument),
            ("person", words::person(), &self.person),
            ("words", own_words::any_words(), &self.words),
            (SINCE, say!("page.measured-since"), &self.since),
            (UNTIL, say!("page.measured-until"), &self.until),
        ]
    }

    fn filled(&self) -> impl Iterator<Item = (&'static str, &str)> {
        let fields = self.fields().into_iter();
        let filled = fields.map(|(_, label, value)| (label, value.trim()));
        filled.filter(|(_, value)| !value.is_empty())
    }

    fn is_filtered(&self) -> bool {
        self.filled().next().is_some()
    }

    /// What is looked for, as it was typed.
    fn told(&self) -> String {
        let told: Vec<String> = self
            .filled()
            .map(|(label, value)| format!("{label} `{value}`"))
            .collect();
        told.join(", ")
    }

    /// What a micrometer sends, in a field where it looks for something: a decimal number alone.
    fn reading(&self) -> Option<&str> {
        let mut filled = self.filled().map(|(_, value)| value);
        filled.find(|value| {
            value.contains(['.', ','])
                && Entered::parse(value, Some(LengthUnit::Millimetre)).is_ok()
        })
    }

    /// The address of the page beyond an entry.
    fn beyond(&self, sequence: u64) -> String {
        let fields: Vec<String> = self
            .fields()
            .iter()
            .filter(|(_, _, value)| !value.is_empty())
            .map(|(name, _, value)| format!("{name}={}", encoded(value)))
            .chain([format!("beyond={sequence}")])
            .collect();
        format!("/history?{}", fields.join("&"))
    }
}

/// A day, or nothing.
fn day(text: &str) -> Result<Option<Date>, String> {
    match text.trim() {
        "" => Ok(None),
        text => text.parse().map(Some).map_err(|_| words::no_date(text)),
    }
}

pub fn list(app: &App, asked: &Asked) -> Result<(StatusCode, Markup), Failure> {
    let page = Page {
        beyond: asked.beyond.parse().ok(),
        ..Page::first(Order::NewestFirst, ROWS)
    };
    let found = asked.filter().and_then(|filter| both(app, filter, &page));
    let (entries, next, wrong) = match found {
        Ok((entries, next)) => (entries, next, None),
        Err(Failure::Input(wrong)) => (Vec::new(), None, Some(wrong)),
        Err(failure) => return Err(failure),
    };
    let faults = asked.wrong_dates();
    let lot = asked.lot.trim();
    let other_lot = if entries.is_empty() && !lot.is_empty() {
        app.begun_almost_as(lot)?
    } else {
        None
    };
    let (under_way, parked) = (app.under_way()?, app.parked()?);
    let people = app.ledger.people(RecordKind::Inspection.key(), PEOPLE)?;
    let content = html! {
        h1 { (words::history()) }
        @if let Some(job) = under_way { p { (words::under_way()) " " a href="/" { (words::job(job)) } " " span class="soft" { (crate::say!("page.back-to-bench")) } } }
        (parked::table(&parked))
        form class="filter" method="get" action="/history" {
            @for (index, (name, label, value)) in asked.fields().into_iter().enumerate() {
                div {
                    label for=(name) { (label) }
                    @if name == VERDICT { (verdicts(value)) }
                    // Dates are written one way on all pages, whatever the browser would ask for.
                    @else {
                        @let fault = faults.iter().find(|(field, _)| *field == name);
                        @let begins = faults.first().map_or(index == 0, |(field, _)| *field == name);
                        input id=(name) name=(name) type="text" value=(value) autocomplete="off" autofocus[begins]
                            aria-invalid=[fault.map(|_| "true")] aria-describedby=[fault.map(|_| format!("{name}-wrong"))]
                            placeholder=[[SINCE, UNTIL].contains(&name).then_some(FORM_OF_DATES)]
                            list=[(name == "person").then_some("people")];
                    }
                }
            }
            datalist id="people" { @for person in &people { option value=(person) {} } }
            button { (words::show()) }
        }
        @if let Some(reading) = asked.reading() { p class="refusal" role="alert" { (say!("page.reading-in-filter", text = reading)) } }
        @for (field, wrong) in &faults { p class="refusal" role="alert" id=(format!("{field}-wrong")) { (wrong) } }
        @if let Some(wrong) = wrong.as_ref().filter(|_| faults.is_empty()) { p class="refusal" role="alert" { (wrong) } }
        @else if wrong.is_some() {}
        @else if entries.is_empty() && asked.is_filtered() {
            p role="status" { (say!("page.nothing-matches", what = asked.told())) " " a href="/history" { (say!("page.all-records")) } }
            @if let Some(known) = other_lot {
                p { (sentence(&say!("lots.known-as", number = lot, known = known))) " " a href=(format!("/history?lot={}", encoded(&known))) translate="no" { (known) } }
            }
        }
        @else if entries.is_empty() { p { (words::no_records()) } }
        @else { (table(app, &entries)?) }
        @if let Some(next) = next { p { a href=(asked.beyond(next)) { (words::older()) } } }
    };
    let status = if wrong.is_some() {
        StatusCode::UNPROCESSABLE_ENTITY
    } else {
        StatusCode::OK
    };
    Ok((status, reading_page(words::history(), &content)))
}

/// A page of what was measured, and of what was found with a gauge, by eye or from a document, the newest first; and beyond which
/// entry there is more.
fn both(app: &App, filter: Filter, page: &Page) -> Result<(Vec<Known>, Option<u64>), Failure> {
    let mut all = Vec::new();
    let mut is_more = false;
    for kind in [RecordKind::Inspection, RecordKind::Found] {
        let of_kind = Filter {
            kind: Some(kind.key().to_owned()),
            ..filter.clone()
        };
        let KnownListing { entries, next } = on_record::page(&app.ledger, &of_kind, page)?;
        is_more |= next.is_some();
        all.extend(entries);
    }
    all.sort_by_key(|known| std::cmp::Reverse(known.heading.sequence));
    let rows = usize::try_from(ROWS).unwrap_or(usize::MAX);
    is_more |= all.len() > rows;
    all.truncate(rows);
    let last = all.last().map(|known| known.heading.sequence);
    Ok((all, last.filter(|_| is_more)))
}

/// One of the verdicts, or any.
fn verdicts(wanted: &str) -> Markup {
    html! {
        select id=(VERDICT) name=(VERDICT) {
            option value="" { (own_words::any_verdict()) }
            @for verdict in Verdict::ALL {
                option value=(verdict.key()) selected[verdict.key() == wanted] { (crate::words::name(&verdict)) }
            }
        }
    }
}

pub fn table(app: &App, entries: &[Known]) -> Result<Markup, Failure> {
    let measured = say!("page.measured-when", zone = station::zone());
    let mut rows = Vec::new();
    for entry in entries {
        rows.push(row(entry, &measured, is_withdrawn(app, &entry.heading)?));
    }
    Ok(html! {
        div class="wide" tabindex="0" role="region" aria-label=(words::records()) {
            table class="cards dense" aria-label=(words::records()) {
                thead { tr {
                    @for head in [words::record(), &measured, words::person(), words::station(), words::part(), words::lot(), words::characteristic()] { th scope="col" { (head) } }
                    th scope="col" class="number" { (words::size()) } th scope="col" { (words::verdict()) }
                } }
                tbody { @for row in rows { (row) } }
            }
        }
    })
}

/// Whether what took the place of an entry withdraws it.
fn is_withdrawn(app: &App, entry: &Entry) -> Result<bool, Failure> {
    let Some(by) = entry.amended_by else {
        return Ok(false);
    };
    let by = app.ledger.get(&by.into())?;
    Ok(RecordKind::Note.is_of(&by))
}

fn row(known: &Known, measured: &str, withdrawn: bool) -> Markup {
    let entry = &known.heading;
    let facts = known.facts.as_ref();
    let recorded = entry.content.recorded_at;
    let at = facts.and_then(|facts| facts.at).unwrap_or(recorded);
    let later = station::day(at) != station::day(recorded);
    html! {
        tr {
            td data-head=(words::record()) { a class="id" href=(format!("/record/{}", entry.id())) { (entry.id()) } }
            td class="when" data-head=(measured) {
                (number::on_the_wall(at))
                @if later { br; span class="soft" { (say!("page.recorded-when", at = number::on_the_wall(recorded))) } }
            }
            td class="when" data-head=(words::person()) translate="no" { (entry.content.actor.name) }
            td data-head=(words::station()) translate="no" { (entry.content.station) }
            @match facts.and_then(Shown::of) {
                Some(shown) => {
                    td data-head=(words::part()) translate="no" { (shown.part) }
                    td data-head=(words::lot()) translate="no" { @if let Some(lot) = shown.lot { a href=(address("lot", lot)) { span class="id" { (lot) } } @if let Some(sample) = shown.sample { " / " span class="id" { (sample) } } } }
                    td data-head=(words::characteristic()) translate="no" { (shown.characteristic) }
                    @let (value, expanded, _) = size(shown.size, shown.expanded);
                    td class="number" data-head=(words::size()) { (value) " ± " (expanded) " " (shown.unit) }
                    @match entry.amended_by {
                        None => td class=(format!("judged {}", shown.verdict)) data-head=(words::verdict()) { (picture::mark(shown.verdict)) (crate::report::verdict_word(shown.verdict)) },
                        Some(by) => td class="judged then" data-head=(words::verdict()) {
                            strong { @if withdrawn { (say!("page.withdrawn-by")) } @else { (words::amended_by()) } } " " a href=(format!("/record/{by}")) { span class="id" { (by) } }
                            " " s class="soft" { (crate::report::verdict_word(shown.verdict)) }
                        },
                    }
                }
                None if RecordKind::Found.is_of(entry) => (found(entry)),
                None => td colspan="5" { (words::unreadable()) }
            }
        }
    }
}

/// What was found without measuring: the piece, the characteristic by its number, with what, and how the piece stands. It has no size.
fn found(entry: &Entry) -> Markup {
    let of = |role| entry.content.subject(role).unwrap_or_default();
    let verdict = of(VERDICT);
    html! {
        td data-head=(words::part()) translate="no" { (of("part")) }
        td data-head=(words::lot()) translate="no" { a href=(address("lot", of("lot"))) { span class="id" { (of("lot")) } } " / " span class="id" { (of("sample")) } }
        td data-head=(words::characteristic()) translate="no" { (of("characteristic")) @if !of("with").is_empty() { ", " (of("with")) } }
        td class="number" data-head=(words::size()) { "–" }
        td class=(format!("judged {verdict}")) data-head=(words::verdict()) { (picture::mark(verdict)) (crate::report::verdict_word(verdict)) }
    }
}

/// What a row shows of a result.
struct Shown<'a> {
    part: &'a str,
    lot: Option<&'a str>,
    sample: Option<&'a str>,
    characteristic: String,
    size: f64,
    expanded: f64,
    unit: &'a str,
    verdict: &'a str,
}

impl<'a> Shown<'a> {
    /// None of what has no size.
    fn of(facts: &'a Facts) -> Option<Self> {
        Some(Self {
            part: facts.text(Text::Part).unwrap_or_default(),
            lot: facts.text(Text::Lot),
            sample: facts.text(Text::Sample),
            characteristic: facts.characteristic()?,
            size: facts.number(Number::Size)?,
            expanded: facts.number(Number::ExpandedUncertainty)?,
            unit: facts.text(Text::Unit)?,
            verdict: facts.text(Text::Verdict)?,
        })
    }
}

/// An entry that was read, as one of a list.
pub fn known(entry: Entry) -> Known {
    let facts = Some(registry::facts(&entry.content));
    let heading = entry;
    Known { heading, facts }
}

/// Standing inspections that touch a thing, the oldest first.
pub fn touching(app: &App, role: &str, id: &str) -> Result<Vec<(Entry, Job, Inspected)>, Failure> {
    let filter = Filter {
        subjects: vec![Subject::new(role, id)],
        ..RecordKind::Inspection.standing()
    };
    let latest = app
        .ledger
        .list(&filter, &Page::first(Order::NewestFirst, MOST_IN_CHART))?;
    Ok(latest
        .entries
        .into_iter()
        .rev()
        .filter_map(|entry| {
            let (job, result) = record::read(&entry).ok()?;
            Some((entry, job, result))
        })
        .collect())
}

/// A lot's readings as run chart and histogram, one for each characteristic; none where no record has that lot.
pub fn lot(app: &App, id: &str) -> Result<Option<Markup>, Failure> {
    let records = touching(app, "lot", id)?;
    if records.is_empty() {
        return Ok(None);
    }
    let mut characteristics: Vec<String> = Vec::new();
    for (_, _, result) in &records {
        let measured = result.characteristic();
        if !characteristics.contains(&measured) {
            characteristics.push(measured);
        }
    }
    let title = format!("{} {id}", words::lot());
    let begun = workshop::lots::find(&app.ledger, id)?.is_some();
    let content = html! {
        h1 { (title) }
        @if begun { p { a href=(format!("/lots/{}", encoded(id))) { (say!("lots.to-lot")) } } }
        @for name in &characteristics {
            @let of: Vec<&Inspected> = records.iter().map(|(_, _, result)| result).filter(|result| result.characteristic() == *name).collect();
            (characteristic(name, &of))
        }
        h2 { (words::records()) }
        @let entries: Vec<Known> = records.iter().map(|(entry, _, _)| known(entry.clone())).collect();
        (table(app, &entries)?)
    };
    Ok(Some(reading_page(&title, &content)))
}

fn characteristic(name: &str, results: &[&Inspected]) -> Markup {
    let unit = results
        .first()
        .map_or(LengthUnit::Millimetre, |result| result.unit);
    let decimals = results
        .first()
        .and_then(|result| usize::try_from(result.decimals).ok())
        .unwrap_or(4);
    let show = |value: f64| number::length(value, decimals + 1, unit);
    let readings: Vec<f64> = results
        .iter()
        .flat_map(|result| result.readings.iter().map(|reading| reading.corrected))
        .collect();
    let flagged: Vec<usize> = results
        .iter()
        .flat_map(|result| result.readings.iter())
        .enumerate()
        .filter(|(_, reading)| !reading.flags.is_empty())
        .map(|(index, _)| index)
        .collect();
    let levels = || -> Vec<Level<'_>> {
        let limits = results.first().map(|result| result.limits);
        [
            (limits.and_then(|limits| limits.max), words::most()),
            (limits.and_then(|limits| limits.min), words::least()),
        ]
        .into_iter()
        .filter_map(|(at, name)| {
            Some(Level {
                at: at?,
                over: None,
                name,
                class: "limit",
            })
        })
        .collect()
    };
    html! {
        section {
            h2 { (name) }
            p { (words::readings_of(readings.len(), results.len())) }
            h3 { (words::run()) } (chart::run(name, &readings, &levels(), &flagged, &[], show, |index| (index + 1).to_string()))
            h3 { (words::histogram()) } (chart::histogram(name, &readings, &levels(), show))
        }
    }
}
