//! A record as one HTML file: nothing is fetched, nothing runs, it prints on A4 and Letter.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::{
    Report, budget_lines, capitalised, caution, class_taken, doubt, evidence, finding_value,
    fine_decimals, limits_from, own_uncertainty, place_words, rule_words, scope, settles, size,
    verdict_word, verdict_words, worst_words,
};
use super::{feature_picture, picture};
use crate::document::{FeatureDocument, Inspected};
use crate::words::number;
use crate::words::{InWords as _, Label as _};
use crate::{say, words};

pub const STYLE: &str = include_str!("report.css");
/// The colours, of pages and paper alike.
pub const PALETTE: &str = include_str!("palette.css");
/// What the pictures look like, wherever they are shown.
pub const PICTURES: &str = include_str!("pictures.css");

/// The whole page, with nothing from anywhere else.
pub fn page(report: &Report) -> String {
    let head = html! {
        meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'";
        style { (PreEscaped(PALETTE)) (PreEscaped(PICTURES)) (PreEscaped(STYLE)) }
    };
    page_with(report, &head).into_string()
}

/// The same with a head of its own, which brings the style.
pub fn page_with(report: &Report, head: &Markup) -> Markup {
    let result = report.result;
    let title = match &report.record {
        Some(record) => say!("report.page-title", record = record.id),
        None => say!("report.inspection").to_owned(),
    };
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (title) }
                (head)
            }
            body class=(result.decision.decision) {
                main { (article(report, &title)) }
            }
        }
    }
}

/// What the page shows, without the page around it.
pub fn article(report: &Report, title: &str) -> Markup {
    let result = report.result;
    html! {
        (head(report, title))
        (verdict(result))
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
    let part = &report.job.part;
    let facts = [
        (say!("report.head-part"), Some(&part.name)),
        (say!("report.head-drawing"), part.drawing.as_ref()),
        (
            say!("report.head-characteristic"),
            part.characteristic.as_ref(),
        ),
        (say!("report.head-order"), part.order.as_ref()),
        (say!("report.head-lot"), part.lot.as_ref()),
        (say!("report.head-sample"), part.sample.as_ref()),
    ];
    html! {
        header {
            p class="kind" { (title) }
            h1 translate="no" { (report.result.characteristic()) }
            dl class="facts" {
                @for (name, value) in facts {
                    @if let Some(value) = value { div { dt { (name) } dd translate="no" { (value) } } }
                }
                div { dt { (say!("report.head-measured")) } dd {
                    @match &report.job.person {
                        Some(person) => { (say!("report.measured-by", at = number::time(report.job.measured_at), person = person)) },
                        None => { (number::time(report.job.measured_at)) }
                    }
                } }
            }
            @if let Some(record) = &report.record {
                @if let Some((id, reason)) = &record.amends { p class="amended" { (say!("report.amends", record = id, reason = reason)) } }
                @if let Some(superseded) = &record.superseded { p class="amended" { strong { (superseded.sentence()) } } }
            }
        }
    }
}

fn verdict(result: &Inspected) -> Markup {
    let (value, expanded, places) = size(result.size.value, result.size.expanded_uncertainty);
    let decimals = usize::try_from(result.decimals).unwrap_or(4);
    let limit = |limit: Option<f64>| {
        limit.map_or(say!("report.no-limit").to_owned(), |limit| {
            number::fixed(limit, decimals)
        })
    };
    html! {
        section class="verdict" {
            div class="word" { (picture::mark(&result.decision.decision)) p { (verdict_words(&result.decision.decision)) } }
            p class="size" { (value) " ± " (expanded) " " span class="unit" { (result.unit) } }
            @if let Some(doubt) = doubt(result) { p class="doubt" { strong { (doubt) } } }
            @else if result.decision.provisional { p class="doubt" { (say!("report.provisional")) } }
            @if let Some(class) = class_taken(result) { p { (class) } }
            p { (result.say(&result.decision.reason)) }
            @for caution in &result.cautions { p class="caution" { (result.say(caution)) } }
            @if let Some(settle) = &result.settle { p { (settles(result, settle)) } }
            (picture::tolerance_bar(result))
            dl class="facts" {
                div { dt { (say!("report.verdict-limits")) } dd { (say!("report.from-to-unit", from = limit(result.limits.min), to = limit(result.limits.max), unit = result.unit)) } }
                @if let Some(both) = own_uncertainty(result) { div { dt { (say!("report.verdict-uncertainty")) } dd { (both) } } }
                div { dt { (say!("report.verdict-margin")) } dd { (number::length(result.decision.margin, places, result.unit)) } }
                div { dt { (say!("report.verdict-decided-on")) } dd { (result.say(&result.decided_on)) } }
                div { dt { (say!("report.verdict-rule")) } dd {
                    @match result.decision.guard_band {
                        Some(guard) => { (say!("report.rule-with-guard-band", rule = rule_words(result), guard = number::length(guard, places.max(decimals), result.unit))) },
                        None => { (rule_words(result)) }
                    }
                } }
                div { dt { (say!("report.size-conforms-with")) } dd { (number::probability(result.decision.conformance_probability)) } }
                @if let Some(worst) = &result.worst_place {
                    @for (name, outcome) in [(say!("report.verdict-mean"), &result.mean), (capitalised(&worst_words(result)).as_str(), worst)] {
                        @let (value, expanded, _) = size(outcome.size.value, outcome.size.expanded_uncertainty);
                        div { dt { (name) } dd { (value) " ± " (expanded) " " (result.unit) " (" (result.say(&outcome.of)) "): " (verdict_word(&outcome.decision.decision)) } }
                    }
                }
                @if let Some(rest) = &result.without_flagged {
                    @let (value, expanded, _) = size(rest.size.value, rest.size.expanded_uncertainty);
                    div { dt { (say!("report.unflagged")) } dd { (value) " ± " (expanded) " " (result.unit) ": " (verdict_word(&rest.decision.decision)) } }
                }
            }
        }
    }
}

/// What else the readings of a feature tell.
pub fn findings(result: &Inspected, feature: &FeatureDocument) -> Markup {
    html! {
        @if let Some(conversion) = &feature.conversion { p { (result.say(conversion)) } }
        @if !feature.findings.is_empty() {
            table {
                thead { tr {
                    th scope="col" { (say!("report.findings-name")) } th scope="col" class="number" { (say!("report.findings-value")) }
                    th scope="col" { (say!("report.findings-required")) } th scope="col" { (say!("report.findings-definition")) } th scope="col" { (say!("report.findings-source")) }
                } }
                tbody {
                    @for finding in &feature.findings {
                        tr {
                            td { (finding.label()) } td class="number" { (finding_value(finding)) }
                            td { @if let (Some(decision), Some(reason)) = (&finding.decision, &finding.reason) { strong { (verdict_words(decision)) } ": " (result.say(reason)) } }
                            td { (result.say(&finding.definition)) } td { (result.say(&finding.source)) }
                        }
                    }
                }
            }
        }
    }
}

fn readings(result: &Inspected) -> Markup {
    let places = fine_decimals(result.unit).saturating_sub(1);
    let zero = &result.zero_error;
    html! {
        table {
            thead { tr {
                th scope="col" { (say!("report.readings-number")) } th scope="col" { (capitalised(&place_words(result))) } th scope="col" class="number" { (say!("report.readings-as-read")) }
                th scope="col" class="number" { (say!("report.readings-corrected", unit = result.unit)) } th scope="col" { (say!("report.readings-remark")) }
            } }
            tbody {
                @for (index, reading) in result.readings.iter().enumerate() {
                    tr {
                        td { (index + 1) } td { (reading.place.as_ref().map_or_else(String::new, |place| result.say(place))) } td class="number" { (reading.as_read) }
                        td class="number" { (number::fixed(reading.corrected, places)) }
                        td { @for flag in &reading.flags { "? " (words::on_report(&flag.message, result.shown())) } }
                    }
                }
            }
        }
        p {
            (zero_words(result, places))
            @for flag in &zero.flags { " ? " (words::on_report(&flag.message, result.shown())) }
        }
    }
}

/// What the readings on the standard gave.
fn zero_words(result: &Inspected, places: usize) -> String {
    let zero = &result.zero_error;
    let unit = result.unit;
    let before = number::signed(zero.before, places);
    let u = number::fixed(zero.standard_uncertainty, places);
    match zero.after {
        Some(after) => say!(
            "report.zero-checked",
            before = before,
            after = number::signed(after, places),
            n = zero.n,
            u = u,
            unit = unit
        ),
        None => say!(
            "report.zero-open",
            before = before,
            n = zero.n,
            u = u,
            unit = unit
        ),
    }
}

/// What was added to the reading, effect by effect.
pub fn corrections(result: &Inspected) -> Markup {
    let places = fine_decimals(result.unit);
    html! {
        table {
            thead { tr {
                th scope="col" { (say!("report.corrections-effect")) } th scope="col" class="number" { (say!("report.corrections-add", unit = result.unit)) }
                th scope="col" class="number" { (say!("report.corrections-standard-uncertainty")) } th scope="col" { (say!("report.corrections-source")) }
            } }
            tbody {
                @for correction in &result.corrections {
                    tr {
                        td { (correction.label()) } td class="number" { (number::signed(correction.value, places)) }
                        td class="number" { (number::fixed(correction.standard_uncertainty, places)) } td { (result.say(&correction.source)) }
                    }
                }
            }
        }
    }
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
    let places = fine_decimals(result.unit);
    let (lines, smaller) = budget_lines(result);
    let degrees = |number: Option<f64>| {
        number.map_or("∞".to_owned(), |number| number::fixed(number.floor(), 0))
    };
    html! {
        table {
            thead { tr {
                th scope="col" { (say!("report.budget-contribution")) } th scope="col" class="number" { (result.unit) }
                th scope="col" class="number" { (say!("report.budget-share")) } th scope="col" class="number" { (say!("report.budget-degrees-of-freedom")) } th scope="col" { (say!("report.budget-from")) }
            } }
            tbody {
                @for line in lines {
                    tr {
                        td { (line.label()) } td class="number" { (number::fixed(line.contribution, places)) }
                        td class="number" { (number::fixed_percent(line.share, 1)) }
                        td class="number" { (degrees(line.degrees_of_freedom)) } td { @if let Some(note) = &line.note { (words::on_report(note, result.shown())) } }
                    }
                }
            }
            tfoot {
              @if smaller > 0 { tr { td colspan="5" { (say!("report.budget-smaller", n = smaller)) } } }
              tr {
                th scope="row" { (say!("report.budget-combined")) } td class="number" { (number::fixed(result.by_budget().standard_uncertainty, places)) }
                td {} td class="number" { (degrees(result.by_budget().degrees_of_freedom)) } td { ("JCGM 100:2008") }
            } }
        }
        @for what in &result.rests_on { p class="rests-on" { (result.say(what)) } }
    }
}

fn rests_on(report: &Report) -> Markup {
    html! {
        table class="rows" {
            tbody {
                @for (name, words) in evidence::rows(report.job, report.result) {
                    tr { th scope="row" { (name) } td { (words) } }
                }
            }
        }
    }
}

fn statement(report: &Report) -> Markup {
    let result = report.result;
    html! {
        p { (say!(
            "report.statement",
            limits = limits_from(result),
            rule = rule_words(result),
            probability = number::probability(result.decision.conformance_probability),
            k = number::fixed(result.size.coverage_factor, 2)
        )) }
        @if let Some(scope) = scope(report.job) { p { (scope) } }
        p { (caution()) }
        p class="sign" { span { (say!("report.statement-signed")) } span { (say!("report.statement-date")) } }
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
