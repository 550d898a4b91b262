//! Recalls: the cases, one of them with a decision on each result, and the form that begins one.

use ledger::Entry;
use maud::{Markup, html};
use metrology::units::Entered;
use serde::Deserialize;
use workshop::gauge_record::case::{Case, CaseResult, Decided};
use workshop::gauge_record::piece::{PieceId, PieceKind};
use workshop::gauge_room::{calibration, case as cases};
use workshop::recall::Piece;
use workshop::station;

use super::field::{Fault, Field, above, checked, person};
use super::gauge_room::{address_of as piece_address, point_table};
use super::history::address;
use super::judged::verdict;
use super::{RECALLS, gauge_room_page};
use crate::bench::words as bench_words;
use crate::failure::Failure;
use crate::report::{self, sentence};
use crate::say;
use crate::web::app::App;
use crate::words::{self, number};

/// Results of a page.
pub const ROWS: usize = 100;
/// What the buttons of the form do.
pub const LOOK: &str = "look";
pub const SAVE: &str = "save";
/// The field of a result that is marked.
pub const RESULT: &str = "result";
/// Courses of an error, by their keys.
pub const CONSTANT: &str = "constant";
pub const LINEAR: &str = "linear";
pub const STEP: &str = "step";

/// What the form of a recall says. Every field is text, so that a wrong one can be shown again.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Typed {
    pub token: String,
    pub act: String,
    pub piece: String,
    pub id: String,
    pub at_part: String,
    pub at_standard: String,
    pub error: String,
    pub found: String,
    pub since: String,
    pub history: String,
    pub step: String,
    pub person: String,
}

/// What came of the form.
pub enum Begun {
    Nothing,
    /// What is wrong with it as a whole, and at its fields in their order.
    Wrong(Option<String>, Vec<Fault>),
    /// What it lists, not saved.
    Shown(Case),
}

/// What an address asks of a case.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Asked {
    open: String,
    from: String,
}

/// What the form of a decision says.
#[derive(Clone, Debug, Default)]
pub struct Marked {
    pub token: String,
    pub results: Vec<String>,
    /// All that are open.
    pub every: bool,
    pub decided: String,
    pub person: String,
    pub note: String,
}

impl Marked {
    /// From its fields, of which one may come many times.
    pub fn of(fields: Vec<(String, String)>) -> Self {
        let mut marked = Self::default();
        for (key, value) in fields {
            match key.as_str() {
                "token" => marked.token = value,
                RESULT => marked.results.push(value),
                "every" => marked.every = true,
                "decided" => marked.decided = value,
                "person" => marked.person = value,
                "note" => marked.note = value,
                _ => {}
            }
        }
        marked
    }
}

/// The address of a case.
pub fn address_of(entry: &str) -> String {
    address("recalls", entry)
}

/// The cases, and the form that begins one.
pub fn list(app: &App, typed: &Typed, begun: &Begun) -> Result<Markup, Failure> {
    let all = cases::all(&app.ledger)?;
    let title = say!("recall-case.page");
    let content = html! {
        h1 { (title) }
        p { (say!("recall-case.page-long")) }
        p { a href="#begin" { (say!("page.skip-to-form")) } }
        @if all.is_empty() { p class="soft" { (sentence(say!("recall-case.none"))) } } @else { (table_of(&all)) }
        section aria-labelledby="begin" {
            h2 id="begin" { (say!("recall-case.begin")) }
            p { (say!("recall-case.begin-long")) }
            (form(app, typed, begun)?)
            @if let Begun::Shown(case) = begun { (listed(case)) }
        }
    };
    Ok(gauge_room_page(title, RECALLS, &content))
}

fn table_of(all: &[(Entry, Case)]) -> Markup {
    let heads = [
        say!("recall-case.case"),
        say!("recall-case.item"),
        say!("recall-case.error"),
        say!("recall-case.found"),
    ];
    let counts = [
        say!("recall-case.listed"),
        say!("recall-case.changed"),
        say!("recall-case.left"),
    ];
    html! {
        div class="wide" tabindex="0" role="region" aria-label=(say!("recall-case.page")) {
            table class="cards" aria-label=(say!("recall-case.page")) {
                thead { tr { @for head in heads { th scope="col" { (head) } } @for head in counts { th scope="col" class="number" { (head) } } } }
                tbody { @for (entry, case) in all { tr {
                    td data-head=(heads[0]) { a href=(address_of(&entry.id().to_string())) translate="no" { (entry.id()) } }
                    td data-head=(heads[1]) { (words::named("recalled-piece", &case.piece)) " " span translate="no" { (case.id) } }
                    td data-head=(heads[2]) { (error(&case.error)) }
                    td class="when" data-head=(heads[3]) { (case.found) }
                    td class="number" data-head=(counts[0]) { (case.listed) }
                    td class="number" data-head=(counts[1]) { (changed(case)) }
                    td class="number" data-head=(counts[2]) { @if case.open() > 0 { strong { (case.open()) } } @else { "0" } }
                } } }
            }
        }
    }
}

fn changed(case: &Case) -> usize {
    let all = case.results.iter();
    all.filter(|one| one.before != one.after).count()
}

/// A case: what was asked, every result with its verdicts, and what is decided of it.
pub fn case(
    app: &App,
    entry: &Entry,
    case: &Case,
    asked: &Asked,
    marked: &Marked,
    wrong: Option<&str>,
    faults: &[Fault],
) -> Result<Markup, Failure> {
    let id = entry.id().to_string();
    let title = say!("recall-case.recall-of", id = case.id);
    let only_open = !asked.open.is_empty();
    let of_page = |one: &&CaseResult| !only_open || case.decision(&one.entry).is_none();
    let results: Vec<&CaseResult> = case.results.iter().filter(of_page).collect();
    let from: usize = asked.from.parse().unwrap_or(0);
    let shown: Vec<&CaseResult> = results.iter().copied().skip(from).take(ROWS).collect();
    let after = from.saturating_add(ROWS);
    let open = if only_open { "open=1&" } else { "" };
    let kept = case.results.len() as u64;
    let in_use = cases::in_use(&app.books()?.register, case);
    let content = html! {
        header {
            p class="kind" { (words::named("recalled-piece", &case.piece)) }
            h1 { (title) }
            (facts(case))
            @if let Some(piece) = &in_use {
                p class="doubt" {
                    (sentence(&say!("recall-case.in-use", piece = words::named("recalled-piece", &case.piece), id = case.id))) " "
                    a href=(format!("{}#status", piece_address(piece))) { (say!("recall-case.quarantine")) }
                }
            }
            @if case.listed > kept { p { (say!("recall-case.more", n = case.listed - kept)) } }
            p class="actions" {
                a class="action" href=(format!("/records/{id}.pdf")) { (say!("recall-case.pdf")) } " "
                a class="action" href=(address("record", &id)) translate="no" { (id) }
            }
        }
        form class="describe" method="post" action=(address_of(&id)) autocomplete="off" {
            input type="hidden" name="token" value=(app.token);
            p {
                @if only_open { a href=(address_of(&id)) { (say!("recall-case.all-of-it")) } }
                @else if case.open() > 0 { a href=(format!("{}?open=1", address_of(&id))) { (say!("recall-case.only-open")) } }
            }
            (results_table(&shown, Some(case), &marked.results))
            @if results.len() > after { p { a href=(format!("{}?{open}from={after}", address_of(&id))) { (say!("recall-case.next")) } } }
            h2 id="decide" { (say!("recall-case.decide")) }
            p { (say!("recall-case.decide-long")) }
            (above(wrong, faults.len()))
            (decision(case, marked, faults))
        }
        p { a href=(RECALLS) { (say!("recall-case.back")) } }
    };
    Ok(gauge_room_page(&title, RECALLS, &content))
}

// Who decides is typed each time: a name that stands there already would sign with Enter alone.
fn decision(case: &Case, marked: &Marked, faults: &[Fault]) -> Markup {
    let open = case.open();
    let marks = checked(RESULT, "", faults);
    let decisions = Decided::EVERY.iter();
    let decisions = decisions.map(|one| (one.key(), words::word(one)));
    let person = Field {
        needed: true,
        ..checked("person", bench_words::person(), faults)
    };
    html! {
        @if open > 0 { p { label { input type="checkbox" name="every" value="1" checked[marked.every] autofocus[marks.first] aria-invalid=[marks.wrong.map(|_| "true")] aria-describedby="marked-wrong"; " " (say!("recall-case.every", n = open)) } } }
        p id="marked-wrong" role="alert" { @if let Some(wrong) = marks.wrong { span class="refusal" { (sentence(wrong)) } } }
        div class="fields" {
            div { (checked("decided", say!("recall-case.decision"), faults).choice(decisions, &marked.decided)) }
            div { (person.line(&marked.person)) }
            div { (checked("note", say!("recall-case.note"), faults).line(&marked.note)) }
        }
        p { button { (say!("recall-case.do-decide")) } }
    }
}

fn facts(case: &Case) -> Markup {
    html! {
        dl class="facts" {
            div { dt { (say!("recall-case.error")) } dd { (error(&case.error)) } }
            @if let Some([part, standard]) = &case.points {
                div { dt { (say!("recall-case.points")) } dd { (say!("recall-case.both-points", part = error(part), standard = error(standard))) } }
            }
            div { dt { (say!("recall-case.found")) } dd { (case.found) } }
            div { dt { (say!("recall-case.since")) } dd { @match case.since { Some(since) => (since), None => "–" } } }
            div { dt { (say!("recall-case.history")) } dd { (words::named("paper-recall", &format!("history-{}", case.history))) } }
            @if let Some(step) = case.step { div { dt { (say!("recall-case.step")) } dd { (step) } } }
            div { dt { (say!("recall-case.listed")) } dd { (case.listed) } }
            div { dt { (say!("recall-case.changed")) } dd { (changed(case)) } }
            div { dt { (say!("recall-case.left")) } dd { (case.open()) } }
        }
    }
}

/// Results with both verdicts; of a saved case each can be marked, and shows what was decided of it.
fn results_table(shown: &[&CaseResult], saved: Option<&Case>, marked: &[String]) -> Markup {
    let unit = |one: &CaseResult| one.unit.clone().unwrap_or_default();
    let size =
        |size: Option<f64>| size.map_or_else(|| "–".to_owned(), |size| number::fixed(size, 5));
    html! {
        div class="wide" tabindex="0" role="region" aria-label=(say!("recall-case.listed")) {
            table class="cards" aria-label=(say!("recall-case.listed")) {
                thead { tr {
                    th scope="col" { (bench_words::record()) }
                    th scope="col" { (say!("recall-case.measured")) }
                    th scope="col" { (say!("recall-case.part")) }
                    th scope="col" class="number" { (say!("recall-case.size")) }
                    th scope="col" class="number" { (say!("recall-case.corrected")) }
                    th scope="col" { (say!("recall-case.before")) }
                    th scope="col" { (say!("recall-case.after")) }
                    @if saved.is_some() { th scope="col" { (say!("recall-case.decision")) } }
                } }
                tbody { @for one in shown { tr {
                    td data-head=(bench_words::record()) {
                        @if saved.is_some() {
                            input type="checkbox" name=(RESULT) value=(one.entry) checked[marked.contains(&one.entry)] aria-label=(say!("recall-case.mark", entry = one.entry)); " "
                        }
                        a href=(address("record", &one.entry)) translate="no" { (one.entry) }
                    }
                    td class="when" data-head=(say!("recall-case.measured")) { (station::day(one.measured_at)) }
                    td data-head=(say!("recall-case.part")) translate="no" { (report::cases::of(one)) }
                    td class="number" data-head=(say!("recall-case.size")) { (size(one.size)) " " (unit(one)) }
                    td class="number" data-head=(say!("recall-case.corrected")) { (size(one.corrected)) " " (unit(one)) }
                    td data-head=(say!("recall-case.before")) { (verdict(&one.before)) }
                    td data-head=(say!("recall-case.after")) { @if one.before == one.after { (verdict(&one.after)) } @else { strong { (verdict(&one.after)) } } }
                    @if let Some(case) = saved { td data-head=(say!("recall-case.decision")) { (decided(case, one)) } }
                } } }
            }
        }
    }
}

fn decided(case: &Case, one: &CaseResult) -> Markup {
    html! {
        @match case.decision(&one.entry) {
            Some(decision) => {
                (words::named("recall-decision", &decision.decided)) ", " span class="when" { (station::day(decision.at)) } br;
                span class="soft" translate="no" {
                    @match &decision.note {
                        Some(note) => (say!("recall-case.by-note", person = decision.person, note = note)),
                        None => (decision.person),
                    }
                }
            }
            None => (say!("recall-case.open")),
        }
    }
}

/// What a recall lists that is not saved.
fn listed(case: &Case) -> Markup {
    let shown: Vec<&CaseResult> = case.results.iter().take(ROWS).collect();
    html! {
        p id="affected" role="status" tabindex="-1" autofocus {
            strong { (say!("recall-case.affected", n = case.listed, piece = words::named("recalled-piece", &case.piece), id = case.id, changed = changed(case), error = error(&case.error))) }
        }
        @if case.since.is_none() { p class="doubt" { (say!("recall-case.no-check")) } }
        @if !shown.is_empty() { (results_table(&shown, None, &[])) }
    }
}

fn form(app: &App, typed: &Typed, begun: &Begun) -> Result<Markup, Failure> {
    let person = person(
        &typed.person,
        &typed.token,
        app.books()?.last_person.as_deref(),
    );
    let (wrong, faults) = match begun {
        Begun::Wrong(wrong, faults) => (wrong.as_deref(), faults.as_slice()),
        _ => (None, &[][..]),
    };
    let day = say!("gauge-page.day-form");
    let select =
        |key: &'static str, label: &str, choices: Vec<(&'static str, String)>, chosen: &str| {
            html! { div { (checked(key, label, faults).choice(choices, chosen)) } }
        };
    let field = |key: &'static str, label: &str, value: &str, needed: bool, help: &str| {
        let help = Some(html! { (help) });
        html! { div { (Field { needed, help, ..checked(key, label, faults) }.line(value)) } }
    };
    let pieces = Piece::EVERY
        .iter()
        .map(|piece| (piece.key(), words::word(piece)));
    let histories = [CONSTANT, LINEAR, STEP]
        .map(|key| (key, words::named("paper-recall", &format!("history-{key}"))));
    Ok(html! {
        (curve(app, typed)?)
        form class="describe" method="post" action="/recalls" autocomplete="off" {
            input type="hidden" name="token" value=(app.token);
            (above(wrong, faults.len()))
            div class="fields" {
                (select("piece", say!("recall-case.piece"), pieces.collect(), &typed.piece))
                (field("id", say!("recall-case.id"), &typed.id, true, ""))
                (field("at_part", say!("recall-case.at-part"), &typed.at_part, false, say!("recall-case.at-part-help")))
                (field("at_standard", say!("recall-case.at-standard"), &typed.at_standard, false, say!("recall-case.at-standard-help")))
                (field("error", say!("recall-case.error"), &typed.error, false, say!("recall-case.error-help")))
                (field("found", say!("recall-case.found"), &typed.found, true, day))
                (field("since", say!("recall-case.since"), &typed.since, false, say!("recall-case.since-help")))
                (select("history", say!("recall-case.history"), histories.to_vec(), &typed.history))
                (field("step", say!("recall-case.step"), &typed.step, false, day))
                (field("person", say!("recall-case.person"), &person, false, ""))
            }
            p {
                button name="act" value=(LOOK) { (say!("recall-case.look")) } " "
                button name="act" value=(SAVE) { (say!("recall-case.save")) }
            }
        }
    })
}

/// The curve of the last calibration of the micrometer in the form, to read both points from.
fn curve(app: &App, typed: &Typed) -> Result<Markup, Failure> {
    if Piece::of(typed.piece.trim()) != Some(Piece::Instrument) {
        return Ok(html! {});
    }
    let piece = PieceId::new(PieceKind::Instrument, &typed.id);
    let last = calibration::of(&app.ledger, &piece)?.pop();
    Ok(html! {
        @if let Some(curve) = last.as_ref().and_then(|one| one.result.found.as_ref()) {
            details open { summary { (say!("recall-case.curve")) } (point_table(say!("recall-case.curve"), curve)) }
        }
    })
}

/// The error of a case, which is kept as it was typed, as pages write lengths.
fn error(typed: &str) -> String {
    Entered::parse(typed, None).map_or_else(|_| typed.to_owned(), |error| number::entered(&error))
}

#[cfg(test)]
mod tests {
    use super::error;

    #[test]
    fn an_error_is_written_with_a_space_before_its_unit() {
        assert_eq!(error("3um"), "3 µm");
    }
}
