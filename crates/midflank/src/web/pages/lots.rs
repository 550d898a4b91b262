//! Lots to read: the list of them, and one with its plan, its pieces by characteristics and its verdict.

use axum::http::StatusCode;
use ledger::Entry;
use maud::{Markup, html};
use metrology::lot::Standing;
use metrology::sampling::Severity;
use serde::Deserialize;
use workshop::inspection_plan::Take;
use workshop::lot_entry::LotBegun;
use workshop::lots::{self, Cell, Lot, LotsError, Matrix, OpenRun, OrderOfWork};

use super::field::{Fault, Field, above, checked, person};
use super::history::{address, encoded};
use super::plan;
use super::{NONCONFORMING, head_of_sheet, nothing_here, process, reading_page};
use crate::bench::{run, words};
use crate::document;
use crate::failure::Failure;
use crate::kept;
use crate::letterhead::Letterhead;
use crate::report::sheet::Printing;
use crate::report::sheet::lot::LotSheet;
use crate::report::{self, picture, verdict_word};
use crate::say;
use crate::web::app::App;
use crate::web::lots::order_of;
use crate::web::read::LotStands;
use crate::web::words::PDF_KEY;
use crate::words::{self as in_words, number};

/// Lots of a page of the list: each is judged by all its results.
const LISTED: u32 = 20;

/// What the form that begins a lot says. Every field is text, so that a wrong one can be shown again.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Typed {
    pub token: String,
    pub number: String,
    pub plan: String,
    pub size: String,
    pub severity: String,
    pub resubmits: String,
    pub customer: String,
    pub order: String,
    pub received: String,
    pub condition: String,
    pub person: String,
}

/// The address of a lot's page.
pub fn address_of(number: &str) -> String {
    format!("/lots/{}", encoded(number))
}

/// All lots, and the form that begins one.
pub fn list(
    app: &App,
    beyond: Option<u64>,
    typed: &Typed,
    wrong: Option<&str>,
    faults: &[Fault],
) -> Result<Markup, Failure> {
    let (lots, older) = app.lots_before(beyond, LISTED)?;
    let plans = lots::plans(&app.ledger)?;
    let content = html! {
        h1 { (say!("lots.title")) }
        @if lots.is_empty() { p { (say!("lots.none")) } }
        @else {
            (table(app, &lots)?)
            p {
                @if let Some(older) = older { a href=(format!("/lots?beyond={older}")) { (say!("lots.older")) } " " }
                @if beyond.is_some() { a href="/lots" { (say!("lots.latest")) } }
            }
        }
        p { a href=(NONCONFORMING) { (say!("nonconforming.title")) } }
        h2 { (say!("plan-page.list")) }
        @if !plans.is_empty() {
            div class="wide" tabindex="0" role="region" aria-label=(say!("plan-page.list")) {
                table aria-label=(say!("plan-page.list")) {
                    thead { tr { @for head in [say!("plan-page.of-drawing"), words::part(), say!("lots.drawing"), say!("lots.sampling")] { th scope="col" { (head) } } } }
                    tbody { @for kept in &plans {
                        tr {
                            td translate="no" { a href=(plan::address_of(&kept.entry.to_string())) { (kept.plan.name()) } }
                            td translate="no" { (kept.plan.part) }
                            td translate="no" { (kept.plan.drawing()) }
                            td { (in_words::word(&kept.plan.pieces.by.take())) }
                        }
                    } }
                }
            }
        }
        p { a href="/plans/new" { (say!("plan-page.new")) } }
        h2 { (say!("lots.begin")) }
        (above(wrong, faults.len()))
        @if plans.is_empty() { p { (say!("lots.no-plan-yet")) } }
        @else {
            @for kept in &plans { @if let Some(said) = proposed(app, kept)? { p class="soft" { (said) } } }
            (form(app, &plans, typed, faults)?)
        }
    };
    Ok(reading_page(say!("lots.title"), &content))
}

fn table(app: &App, lots: &[Entry]) -> Result<Markup, Failure> {
    let when = words::when();
    let heads = [
        words::lot(),
        words::verdict(),
        words::part(),
        say!("lots.drawing"),
        say!("lots.plan"),
        say!("lots.customer"),
        say!("lots.order"),
        &when,
    ];
    Ok(html! {
        div class="wide" tabindex="0" role="region" aria-label=(say!("lots.title")) {
            table class="cards" aria-label=(say!("lots.title")) {
                thead { tr { @for head in heads { th scope="col" { (head) } } } }
                tbody { @for entry in lots {
                    @let lot: LotBegun = kept::read(kept::LOT, &entry.content.inputs).map_err(Failure::outside)?;
                    @let cells = [Some(&lot.part), Some(&lot.drawing), Some(&lot.plan), lot.customer.as_ref(), lot.order.as_ref()];
                    tr {
                        td data-head=(heads[0]) translate="no" { a href=(address_of(&lot.number)) { (lot.number) } }
                        // Why one cannot be judged is told on its own page: the others are listed all the same.
                        td data-head=(heads[1]) { @match app.lot_stands(entry, &lot.number) { Ok(lot) => (stands(&lot)), Err(_) => "–" } }
                        @for (head, cell) in heads.iter().skip(2).zip(cells) { td data-head=(head) translate="no" { (cell.map_or("–", String::as_str)) } }
                        td class="when" data-head=(when) { (number::on_the_wall(entry.content.recorded_at)) }
                    }
                } }
            }
        }
    })
}

/// How a lot stands: its verdict, or how far it is measured.
fn stands(lot: &LotStands) -> Markup {
    let done = match lot.of {
        Some(n) => say!("lots.done-of", n = lot.measured, of = n),
        None => say!("lots.done", n = lot.measured),
    };
    html! {
        @if lot.is_open { (say!("lots.open")) " " span class="soft" { (done) } }
        @else { span class=(format!("judged {}", lot.verdict)) { (picture::mark(lot.verdict)) (verdict_word(lot.verdict)) } }
    }
}

/// What the lots before propose for the next under a plan, where that is not what the plan says.
fn proposed(app: &App, kept: &lots::PlanKept) -> Result<Option<String>, Failure> {
    let Some(proposed) = lots::switching(&app.ledger, &kept.plan)? else {
        return Ok(None);
    };
    let said = report::lot::asks_for_another(&kept.plan.pieces, &proposed);
    Ok(said.map(|said| format!("{}: {}.", kept.plan.name(), said)))
}

/// The label of a field of the form.
pub fn label(name: &str) -> &'static str {
    match name {
        "number" => words::lot(),
        "plan" => say!("lots.plan"),
        "size" => say!("lots.lot-size"),
        "severity" => say!("lots.severity"),
        "resubmits" => say!("lots.resubmits"),
        "customer" => say!("lots.customer"),
        "order" => say!("lots.order"),
        "received" => say!("lots.received-day"),
        "condition" => say!("lots.condition"),
        _ => words::person(),
    }
}

fn form(
    app: &App,
    plans: &[lots::PlanKept],
    typed: &Typed,
    faults: &[Fault],
) -> Result<Markup, Failure> {
    let books = app.books()?;
    let person = person(&typed.person, &typed.token, books.last_person.as_deref());
    let field = |name: &'static str, needed: bool| Field {
        needed,
        ..checked(name, label(name), faults)
    };
    let line = |name: &'static str, needed: bool, value: &str| {
        html! { div { (field(name, needed).line(value)) } }
    };
    let named = plans.iter().map(|kept| {
        let (name, plan) = (kept.plan.name(), &kept.plan);
        let shown = format!("{name}, {}, {}", plan.part, plan.drawing());
        (name, shown)
    });
    let by_severity = |kept: &lots::PlanKept| kept.plan.pieces.by.take() == Take::MilStd105E;
    let any_severity = plans.iter().any(by_severity) || !typed.severity.is_empty();
    let severities = [Severity::Normal, Severity::Tightened, Severity::Reduced];
    let severities = severities.map(|one| (one.key(), in_words::named("severity", one.key())));
    let as_planned = ("", say!("lots.severity-of-plan").to_owned());
    Ok(html! {
        form method="post" action="/lots" class="describe" autocomplete="off" {
            input type="hidden" name="token" value=(app.token);
            div class="fields" {
                (line("number", true, &typed.number))
                div { (field("plan", true).choice(named, &typed.plan)) }
                (line("size", false, &typed.size))
                @if any_severity {
                    div { (field("severity", false).choice([as_planned].into_iter().chain(severities), &typed.severity)) }
                }
                (line("resubmits", false, &typed.resubmits))
                (line("customer", false, &typed.customer))
                (line("order", false, &typed.order))
                (line("received", false, &typed.received))
                (line("condition", false, &typed.condition))
                (line("person", true, &person))
            }
            p { button { (say!("lots.begin-it")) } }
        }
    })
}

/// A lot; where none of that number was begun, that there is nothing here.
pub fn page(app: &App, id: &str) -> Result<(StatusCode, Markup), Failure> {
    let Some((lot, matrix, open)) = app.of_lot(id)? else {
        return Ok((StatusCode::NOT_FOUND, no_such_lot(app, id)?));
    };
    let books = app.books()?;
    let set_ups = app.set_ups(&books, &lot)?;
    let order = order_of(&set_ups, &matrix);
    let title = format!("{} {}", words::lot(), lot.begun.number);
    let content = html! {
        h1 { (title) }
        (verdict(&lot, &matrix))
        (header(&lot))
        h2 { (say!("lots.pieces")) }
        (self::matrix(&matrix))
        (gauges(&matrix))
        (under_way(&open))
        (set_aside(app, &lot)?)
        (repeats(&matrix))
        (first_articles(app, &lot)?)
        (work(&matrix, &order))
        p {
            a href=(address("lot", &lot.begun.number)) { (say!("lots.charts")) } " "
            a href=(format!("{}/sheet", address_of(&lot.begun.number))) { (say!("paper-lot.to-print")) } " "
            a href=(format!("{}/sheet.pdf", address_of(&lot.begun.number))) data-key=(PDF_KEY) { (say!("paper-lot.as-pdf", key = PDF_KEY.to_uppercase())) } " "
            a href=(format!("{}/first-article", address_of(&lot.begun.number))) { (say!("first-article.link")) }
        }
    };
    Ok((StatusCode::OK, reading_page(&title, &content)))
}

/// That there is no lot of a number; with the way to the one that is written almost so.
pub fn no_such_lot(app: &App, id: &str) -> Result<Markup, Failure> {
    let Some(known) = app.begun_almost_as(id)? else {
        return Ok(nothing_here());
    };
    let title = words::nothing_here();
    let (number, address) = (id.to_owned(), address_of(&known));
    let told = in_words::said(&LotsError::KnownAs {
        number,
        known: known.clone(),
    });
    let content = html! {
        h1 { (title) }
        p { (report::sentence(&told)) }
        p { a href=(address) translate="no" { (known) } }
    };
    Ok(reading_page(title, &content))
}

/// The sheet of a lot as PDF; none where none of that number was begun.
pub fn pdf(app: &App, number: &str) -> Result<Option<Vec<u8>>, Failure> {
    let letterhead = Letterhead::read(None)?;
    let sheet = LotSheet::of(&app.ledger, number)?;
    let printed = sheet.map(|sheet| sheet.pdf(&letterhead, &Printing::default()));
    printed.transpose()
}

/// The same as a page by itself, to be printed.
pub fn sheet(app: &App, number: &str) -> Result<Option<Markup>, Failure> {
    let letterhead = Letterhead::read(None)?;
    let head = head_of_sheet();
    let sheet = LotSheet::of(&app.ledger, number)?;
    Ok(sheet.map(|sheet| sheet.html(&letterhead, Some(head))))
}

fn header(lot: &Lot) -> Markup {
    let pieces = &lot.begun.pieces;
    let n = pieces.n.map_or_else(|| "–".to_owned(), |n| n.to_string());
    let size = pieces
        .lot_size
        .map_or_else(|| "–".to_owned(), |n| n.to_string());
    let rows = [
        (words::part(), lot.begun.part.clone()),
        (say!("lots.drawing"), lot.begun.drawing.clone()),
        (say!("lots.lot-size"), size),
        (
            say!("lots.sampling"),
            say!(
                "lots.takes",
                take = in_words::word(&pieces.by.take()),
                count = n,
                accept = pieces.accept,
                reject = pieces.reject
            ),
        ),
        (
            say!("lots.customer"),
            lot.begun.customer.clone().unwrap_or_else(|| "–".to_owned()),
        ),
        (
            say!("lots.order"),
            lot.begun.order.clone().unwrap_or_else(|| "–".to_owned()),
        ),
        (words::person(), lot.person.clone()),
    ];
    let resubmits = lot.begun.resubmits.as_deref();
    html! {
        table class="facts" aria-label=(words::lot()) { tbody {
            @if let Some(number) = resubmits { tr { th scope="row" { (say!("lots.resubmits-lot")) } td translate="no" { a href=(address_of(number)) { (number) } } } }
            @for (name, value) in rows { tr { th scope="row" { (name) } td translate="no" { (value) } } }
            tr { th scope="row" { (say!("lots.plan")) } td translate="no" {
                (lot.begun.plan) " (" (say!("lots.entry", entry = lot.begun.plan_entry)) ")"
            } }
        } }
        div class="wide" tabindex="0" role="region" aria-label=(say!("lots.plan")) {
            table aria-label=(say!("lots.plan")) { thead { tr {
                @for head in [say!("lots.number"), say!("lots.what"), say!("lots.way"), say!("lots.class"), say!("lots.rule"), say!("process-page.title")] { th scope="col" { (head) } }
            } } tbody {
                @for planned in &lot.plan.characteristics {
                    tr {
                        td translate="no" { (planned.number) }
                        td translate="no" { (report::planned_words(planned)) }
                        td { (in_words::word(&planned.way)) }
                        td { (in_words::word(&planned.class)) }
                        td translate="no" { @if planned.way.is_measured() { (planned.rule.name) } @else { "–" } }
                        td { @if planned.way.is_measured() {
                            @let asked = process::Asked { part: lot.plan.part.clone(), number: planned.number.clone(), ..process::Asked::default() };
                            a href=(asked.address(process::ADDRESS)) { (say!("process-page.over-lots")) }
                        } @else { "–" } }
                    }
                }
            } }
        }
    }
}

/// The verdict of the lot, by the calculation that a file of readings gets.
fn verdict(lot: &Lot, matrix: &Matrix) -> Markup {
    let told = document::of_matrix(matrix, &lot.begun.number, in_words::spot).lot;
    let verdict = told.verdict;
    let lines = report::lot::lines(&matrix.plan, &told);
    html! {
        p class=(format!("judged lot-verdict {verdict}")) role="status" { (picture::mark(verdict)) (verdict_word(verdict)) }
        @for line in lines { p { (line) } }
        @for remark in matrix.remarks() { p class="caution" { (report::sentence(&in_words::said(&remark))) } }
        @if told.not_measured.pieces > 0 && verdict != "undecided" { p { (report::lot::early_stop(&matrix.plan, verdict)) } }
    }
}

/// Pieces by characteristics. A verdict that waits for a zero check stands in outline.
pub fn matrix(matrix: &Matrix) -> Markup {
    let done = |index: usize| match matrix.plan.pieces.n {
        Some(n) => say!("lots.done-of", n = matrix.done(index), of = n),
        None => say!("lots.done", n = matrix.done(index)),
    };
    html! {
        div class="wide matrix" tabindex="0" role="region" aria-label=(say!("lots.pieces")) {
            table aria-label=(say!("lots.pieces")) {
                thead { tr {
                    th scope="col" { (say!("lots.piece")) }
                    @for (index, planned) in matrix.plan.characteristics.iter().enumerate() {
                        " " th scope="col" {
                            (say!("lots.column", number = planned.number)) " " br;
                            span class="soft" { (done(index)) }
                        }
                    }
                } }
                tbody {
                    @for row in &matrix.rows {
                        tr {
                            th scope="row" translate="no" { (row.piece) }
                            @for cell in &row.cells { " " td { @match cell { Some(cell) => (self::cell(cell)), None => { span class="soft" { (say!("lots.not-yet")) } } } } }
                        }
                    }
                }
            }
            @if matrix.rows.is_empty() { p { (say!("lots.nothing-yet")) } }
        }
    }
}

fn cell(cell: &Cell) -> Markup {
    let waits = cell.standing == Standing::Provisional;
    let verdict = match (&cell.outcome, cell.standing) {
        (Some(outcome), _) => outcome.decision,
        (None, Standing::Accept) => "accept",
        (None, Standing::Reject) => "reject",
        (None, _) => "undecided",
    };
    let class = if waits {
        format!("judged provisional {verdict}")
    } else {
        format!("judged {verdict}")
    };
    let text = match &cell.outcome {
        Some(outcome) => run::sized(outcome),
        None => verdict_word(verdict),
    };
    let missing: Vec<String> = cell.missing.iter().map(in_words::spot).collect();
    html! {
        span class=(class) {
            (picture::mark(verdict))
            @match cell.entry {
                Some(entry) => a href=(format!("/record/{entry}")) { (text) },
                None => (text),
            }
        }
        @if waits { " " span class="soft" { (in_words::word(&Standing::Provisional)) } }
        @if let Some(because) = cell.because.as_deref() { " " span class="soft" { (in_words::known(&format!("doubt.{because}")).unwrap_or(because)) } }
        @if !missing.is_empty() { " " span class="soft" { (say!("run.not-measured", places = missing.join(", "))) } }
    }
}

/// The gauges that pieces were tried with, what their status makes of the results, and where a measurement says otherwise.
fn gauges(matrix: &Matrix) -> Markup {
    let used = report::found::used(matrix);
    let findings = matrix.gauge_findings();
    html! {
        @if !used.is_empty() {
            h2 { (say!("lots.gauges")) }
            ul { @for line in &used { li { (line) } } }
        }
        @if !findings.is_empty() {
            h2 { (say!("lots.gauge-findings")) }
            ul { @for finding in &findings { li { (report::found::explained(matrix, finding)) } } }
        }
    }
}

fn under_way(open: &[OpenRun]) -> Markup {
    let told = |run: &OpenRun| {
        let of = run.state.run()?;
        let waiting = run.state.pieces_since_check();
        Some(if run.state.parked.is_some() {
            say!(
                "lots.parked",
                characteristic = of.of.number,
                station = run.station,
                n = waiting
            )
        } else {
            say!(
                "lots.at-work",
                characteristic = of.of.number,
                station = run.station,
                n = waiting
            )
        })
    };
    html! {
        @if !open.is_empty() { ul { @for line in open.iter().filter_map(told) { li { (line) } } } }
    }
}

/// The nonconforming pieces of the lot, each with the way to decide on it.
fn set_aside(app: &App, lot: &Lot) -> Result<Markup, Failure> {
    let pieces = app.nonconforming(lot)?;
    Ok(html! {
        @if !pieces.is_empty() {
            h2 { (say!("nonconforming.title")) }
            ul { @for piece in &pieces {
                li {
                    (report::nonconforming::line(piece)) ". "
                    a href=(format!("{NONCONFORMING}?lot={}&piece={}#decide", encoded(&piece.lot), encoded(&piece.piece))) { (say!("nonconforming.decide")) }
                }
            } }
        }
    })
}

/// The first articles that were issued of its pieces, also those that were replaced.
fn first_articles(app: &App, lot: &Lot) -> Result<Markup, Failure> {
    let all = lots::first_articles(&app.ledger, &lot.begun.number)?;
    let title = say!("first-article.issued-of-lot");
    let heads = [
        say!("first-article.number"),
        say!("lots.piece"),
        say!("first-article.extent"),
        words::verdict(),
        say!("first-article.issued"),
        words::person(),
        words::record(),
    ];
    Ok(html! {
        @if !all.is_empty() {
            h2 { (title) }
            div class="wide" tabindex="0" role="region" aria-label=(title) {
                table aria-label=(title) {
                    thead { tr { @for head in heads { th scope="col" { (head) } } } }
                    tbody { @for one in all.iter().rev() {
                        @let id = one.entry.id();
                        @let verdict = one.judged.verdict.as_str();
                        tr {
                            td translate="no" { (one.article.number().unwrap_or_default()) }
                            td translate="no" { (one.article.piece) }
                            td { (in_words::word(&one.article.supplied.first_article.extent)) }
                            td { span class=(format!("judged {verdict}")) { (picture::mark(verdict)) (verdict_word(verdict)) } }
                            td class="when" { (number::on_the_wall(one.entry.content.recorded_at)) }
                            td translate="no" { (one.entry.content.actor.name) }
                            td {
                                a href=(format!("/record/{id}")) translate="no" { (id) } " "
                                a href=(format!("/records/{id}.pdf")) { (say!("first-article.as-pdf")) }
                                @if let Some(by) = one.entry.amended_by { ", " (say!("first-article.replaced-by", entry = by)) }
                            }
                        }
                    } }
                }
            }
        }
    })
}

fn repeats(matrix: &Matrix) -> Markup {
    let number = |index: &usize| {
        matrix
            .plan
            .characteristics
            .get(*index)
            .map(|one| one.number.as_str())
    };
    html! {
        @if !matrix.repeats.is_empty() {
            h2 { (say!("lots.repeats")) }
            ul { @for (piece, index, entry) in &matrix.repeats {
                li { (say!("lots.repeat", piece = piece, characteristic = number(index).unwrap_or_default())) " " a href=(format!("/record/{entry}")) { (entry) } }
            } }
        }
    }
}

/// The order of work, and what it spares against drawing order.
fn work(matrix: &Matrix, order: &OrderOfWork) -> Markup {
    let number = |index: usize| {
        matrix
            .plan
            .characteristics
            .get(index)
            .map_or("", |one| one.number.as_str())
    };
    html! {
        h2 { (say!("lots.order-of-work")) }
        ol { @for stage in &order.stages {
            li {
                (say!("lots.characteristic", number = number(stage.index)))
                @if let Some(set_up) = &stage.set_up { ": " span translate="no" { (set_up.join(" · ")) } }
                @if matrix.is_done(stage.index) { " " span class="soft" { (say!("lots.is-done")) } }
            }
        } }
        p { (say!(
            "lots.spares",
            changes = order.changes,
            drawing = order.changes_of_drawing,
            checks = order.checks,
            drawing_checks = order.checks_of_drawing
        )) }
    }
}
