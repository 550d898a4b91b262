//! A record as one HTML file: nothing is fetched, nothing runs, it prints on A4 and Letter.

use maud::{DOCTYPE, Markup, PreEscaped, html};
use paper::{Align, Table, Words};

use super::sections::{self, Form};
use super::stated;
use super::{
    Report, Stage, Superseded, caution, class_taken, doubt, scope, settles, size, verdict_words,
};
use super::{feature_picture, off_scale, picture};
use crate::document::{FeatureDocument, Inspected};
use crate::words::InWords as _;
use crate::words::number;
use crate::{say, words};

pub const STYLE: &str = include_str!("report.css");
/// The colours, of pages and paper alike.
pub const PALETTE: &str = include_str!("palette.css");
/// What the pictures look like, wherever they are shown.
pub const PICTURES: &str = include_str!("pictures.css");

/// The whole page, with nothing from anywhere else.
pub fn page(report: &Report) -> String {
    page_with(report, &alone()).into_string()
}

/// The head of a file that fetches nothing.
fn alone() -> Markup {
    html! {
        meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:";
        style { (PreEscaped(PALETTE)) (PreEscaped(PICTURES)) (PreEscaped(STYLE)) }
    }
}

/// A sheet as a page by itself, in the colour of its verdict; with a head of its own, which brings the style, or with all in it.
pub fn sheet(title: &str, verdict: &str, head: Option<Markup>, content: &Markup) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (title) }
                (head.unwrap_or_else(alone))
            }
            body class=(verdict) { main { (content) } }
        }
    }
}

/// The same with a head of its own, which brings the style.
pub fn page_with(report: &Report, head: &Markup) -> Markup {
    let title = match &report.record {
        Some(record) => say!("report.page-title", record = record.id),
        None => say!("report.inspection").to_owned(),
    };
    sheet(
        &title,
        report.colour(),
        Some(head.clone()),
        &article(report, &title),
    )
}

/// What the page shows, without the page around it.
pub fn article(report: &Report, title: &str) -> Markup {
    let result = report.result;
    html! {
        (head(report, title))
        @match report.superseded() {
            Some(superseded) => (former(result, superseded)),
            None => (verdict(result, report.stage())),
        }
        @if let Some(feature) = &result.feature {
            @let picture = feature_picture::feature(report.job, result);
            @if !feature.is_empty() || picture.is_some() {
                section { h2 { (say!("report.heading-feature")) } (findings(result, feature)) @if let Some(picture) = picture { (picture) } }
            }
        }
        section {
            h2 { (say!("report.heading-readings")) }
            (picture::readings(result))
            (readings(result))
        }
        section { h2 { (say!("report.heading-corrections")) } (corrections(result)) }
        section { h2 { (say!("report.heading-uncertainty")) } (budget(result)) (monte_carlo(result)) }
        @if !result.warnings.is_empty() {
            section { h2 { (say!("report.warnings")) } ul { @for warning in &result.warnings { li { (words::on_report(warning, result.shown())) } } } }
        }
        section { h2 { (say!("report.equipment")) } (rests_on(report)) }
        section { h2 { (say!("report.heading-statement")) } (statement(report)) }
        (foot(report))
    }
}

fn head(report: &Report, title: &str) -> Markup {
    html! {
        header {
            p class="kind" { (title) }
            h1 translate="no" { (report.result.characteristic()) }
            dl class="facts" {
                @for (name, value) in sections::part(report) { div { dt { (name) } dd translate="no" { (value.text()) } } }
                @let (name, measured) = sections::measured(report.job);
                div { dt { (name) } dd { (measured.text()) } }
            }
            @if let Some(record) = &report.record {
                @if let Some((id, reason)) = &record.amends { p class="amended" { (say!("report.amends", record = id, reason = reason)) } }
                @for sentence in &record.recalled { p class="amended" { strong { (sentence) } } }
            }
        }
    }
}

/// What stands of a record that was withdrawn or replaced: that it was, first and large; what it said then, small and struck out.
fn former(result: &Inspected, superseded: &Superseded) -> Markup {
    let (value, expanded, _) = size(result.size.value, result.size.expanded_uncertainty);
    let verdict = verdict_words(&result.decision.decision);
    html! {
        section class="verdict superseded" {
            div class="word" { p { (superseded.word()) } }
            p class="amended" { strong { (superseded.sentence()) } }
            p { (say!("report.said-then")) " " s { (verdict) ", " (value) " ± " (expanded) " " (result.unit) } }
            p { (result.say(&result.decision.reason)) }
            (picture::tolerance_bar(result))
            (of_verdict(result))
        }
    }
}

fn of_verdict(result: &Inspected) -> Markup {
    html! {
        dl class="facts" {
            @for (name, value) in sections::verdict(result, Form::Long) { div { dt { (name) } dd { (value.text()) } } }
        }
    }
}

fn verdict(result: &Inspected, stage: Stage) -> Markup {
    let (value, expanded, _) = size(result.size.value, result.size.expanded_uncertainty);
    html! {
        section class="verdict" {
            div class="word" { (picture::mark(&result.decision.decision)) p { (verdict_words(&result.decision.decision)) } }
            p class="size" { (value) " ± " (expanded) " " span class="unit" { (result.unit) } }
            @if let Some(doubt) = doubt(result, stage) { p class="doubt" { strong { (doubt) } } }
            @else if result.decision.provisional { p class="doubt" { (say!("report.provisional")) } }
            @if let Some(told) = off_scale::in_the_mean(result) { p { (told) } }
            @if let Some(class) = class_taken(result) { p { (class) } }
            p { (result.say(&result.decision.reason)) }
            @for caution in &result.cautions { p class="caution" { (result.say(caution)) } }
            @if let Some(settle) = &result.settle { p { (settles(result, settle)) } }
            (picture::tolerance_bar(result))
            (of_verdict(result))
        }
    }
}

/// What else the readings of a feature tell.
pub fn findings(result: &Inspected, feature: &FeatureDocument) -> Markup {
    html! {
        @if let Some(conversion) = &feature.conversion { p { (result.say(conversion)) } }
        @if !feature.findings.is_empty() { (table(&sections::findings(result, feature, Form::Long))) }
    }
}

/// A table of a report.
pub fn table(table: &Table) -> Markup {
    let is_number = |index: usize| {
        table
            .columns
            .get(index)
            .is_some_and(|column| column.align == Align::Right)
    };
    let class = |index| is_number(index).then_some("number");
    let last = table.columns.len();
    let titles: Vec<&str> = table
        .columns
        .iter()
        .map(|column| column.title.as_str())
        .filter(|title| !title.is_empty())
        .collect();
    let label = if table.is_titled() {
        say!("report.table-of", columns = titles.join(", "))
    } else {
        say!("report.table").to_owned()
    };
    html! {
        // Scrolls by itself on a telephone, by keys too.
        div class="wide" tabindex="0" role="region" aria-label=(label) { table aria-label=(label) class=[(!table.is_titled()).then_some("rows")] {
            @if table.is_titled() {
                thead { tr { @for (index, column) in table.columns.iter().enumerate() { th scope="col" class=[class(index)] { (column.title) } } } }
            }
            tbody {
                @for row in &table.rows { tr {
                    @for (index, words) in row.iter().enumerate() {
                        @if index == 0 && !table.is_titled() { th scope="row" { (pieces(words)) } }
                        @else { td class=[class(index)] { (pieces(words)) } }
                    }
                } }
            }
            @if !table.foot.is_empty() { tfoot { @for row in &table.foot { tr {
                @if let [remark] = row.as_slice() { td colspan=(last) { (pieces(remark)) } }
                @else { @for (index, words) in row.iter().enumerate() {
                    @if index == 0 { th scope="row" { (pieces(words)) } } @else { td class=[class(index)] { (pieces(words)) } }
                } }
            } } } }
        } }
    }
}

/// Text of which some stands out.
pub fn pieces(words: &Words) -> Markup {
    html! { @for (strong, text) in words.pieces() { @if strong { strong { (text) } } @else { (text) } } }
}

fn readings(result: &Inspected) -> Markup {
    html! {
        (table(&sections::readings(result)))
        p { (sections::zero(result)) }
    }
}

/// What was added to the reading, effect by effect.
pub fn corrections(result: &Inspected) -> Markup {
    table(&sections::corrections(result, Form::Long))
}

fn monte_carlo(result: &Inspected) -> Markup {
    html! {
        @if let Some([interval, check]) = super::monte_carlo::sentences(result) {
            p { (say!("report.monte-carlo", interval = interval, check = check)) }
        }
    }
}

/// The uncertainty budget.
pub fn budget(result: &Inspected) -> Markup {
    html! {
        (table(&sections::budget(result, Form::Long)))
        @for what in &result.rests_on { p class="rests-on" { (result.say(what)) } }
    }
}

fn rests_on(report: &Report) -> Markup {
    table(&sections::equipment(report, Form::Long))
}

fn statement(report: &Report) -> Markup {
    let result = report.result;
    html! {
        p { (sections::statement(result)) }
        @if let Some(scope) = scope(report.job) { p { (scope) } }
        p { (caution()) }
        dl class="facts" {
            @for (name, words) in stated::around(report.job, result) { div { dt { (name) } dd { (pieces(&words)) } } }
        }
        p class="sign" { span { (say!("report.statement-signed")) } " " span { (say!("report.statement-date")) } }
    }
}

fn foot(report: &Report) -> Markup {
    html! {
        footer {
            @if let Some(record) = &report.record {
                p { (say!(
                    "report.foot",
                    record = record.id,
                    at = number::time(record.recorded_at),
                    person = record.person,
                    station = record.station,
                    program = record.program
                )) }
                @if let Some((method, validation)) = &record.validation {
                    p { (say!("report.foot-validated", method = method, validation = validation)) }
                }
                p class="hash" { (record.hash) }
            }
            p { (say!("report.foot-end-of-report")) }
        }
    }
}
