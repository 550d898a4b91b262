//! A record as one HTML file: nothing is fetched, nothing runs, it prints on A4 and Letter.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::{
    CAUTION, Report, budget_lines, capitalised, doubt, evidence, finding_value, fine_decimals,
    length, limits_from, percent, place_words, rule_words, scope, settles, size, verdict_word,
    verdict_words, worst_words,
};
use super::{feature_picture, picture};
use crate::document::{FeatureDocument, Inspected};
use crate::{say, words};

const STYLE: &str = include_str!("report.css");
/// The colours, of pages and paper alike.
pub const PALETTE: &str = include_str!("palette.css");
/// What the pictures look like, wherever they are shown.
pub const PICTURES: &str = include_str!("pictures.css");

/// The whole page.
pub fn page(report: &Report) -> String {
    let result = report.result;
    let title = match &report.record {
        Some(record) => format!("Inspection record {}", record.id),
        None => "Inspection".to_owned(),
    };
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'";
                title { (title) }
                style { (PreEscaped(PALETTE)) (PreEscaped(PICTURES)) (PreEscaped(STYLE)) }
            }
            body class=(result.decision.decision) {
                main { (article(report, &title)) }
            }
        }
    };
    page.into_string()
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
                section { h2 { "Feature" } (findings(result, feature)) @if let Some(picture) = picture { (picture) } }
            }
        }
        section {
            h2 { "Readings" }
            (picture::readings(result))
            (readings(result))
        }
        section { h2 { "Corrections" } (corrections(result)) }
        section { h2 { "Uncertainty" } (budget(result)) (monte_carlo(result)) }
        @if !result.warnings.is_empty() {
            section { h2 { (say!("report.warnings")) } ul { @for warning in &result.warnings { li { (words::message(warning, result.shown())) } } } }
        }
        section { h2 { (say!("report.equipment")) } (rests_on(report)) }
        section { h2 { "Statement" } (statement(report)) }
        (foot(report))
    }
}

fn head(report: &Report, title: &str) -> Markup {
    let part = &report.job.part;
    let facts = [
        ("Part", Some(&part.name)),
        ("Drawing", part.drawing.as_ref()),
        ("Characteristic", part.characteristic.as_ref()),
        ("Order", part.order.as_ref()),
        ("Lot", part.lot.as_ref()),
        ("Sample", part.sample.as_ref()),
    ];
    html! {
        header {
            p class="kind" { (title) }
            h1 translate="no" { (report.result.characteristic) }
            dl class="facts" {
                @for (name, value) in facts {
                    @if let Some(value) = value { div { dt { (name) } dd translate="no" { (value) } } }
                }
                div { dt { "Measured" } dd {
                    (report.job.measured_at.strftime("%Y-%m-%d %H:%M UTC"))
                    @if let Some(person) = &report.job.person { " by " (person) }
                } }
            }
            @if let Some(record) = &report.record {
                @if let Some((id, reason)) = &record.amends { p class="amended" { "Amends record " (id) ": " (reason) } }
                @if let Some(superseded) = &record.superseded { p class="amended" { strong { (superseded.sentence()) } } }
            }
        }
    }
}

fn verdict(result: &Inspected) -> Markup {
    let (value, expanded, places) = size(result.size.value, result.size.expanded_uncertainty);
    let decimals = usize::try_from(result.decimals).unwrap_or(4);
    let limit =
        |limit: Option<f64>| limit.map_or("none".to_owned(), |limit| format!("{limit:.decimals$}"));
    html! {
        section class="verdict" {
            div class="word" { (picture::mark(&result.decision.decision)) p { (verdict_words(&result.decision.decision)) } }
            p class="size" { (value) " " span class="unit" { (result.unit) } " ± " (expanded) " " span class="unit" { (result.unit) } }
            @if let Some(doubt) = doubt(result) { p class="doubt" { strong { (doubt) } } }
            p { (result.say(&result.decision.reason)) }
            @for caution in &result.cautions { p class="caution" { (result.say(caution)) } }
            @if let Some(settle) = &result.settle { p { (settles(result, settle)) } }
            (picture::tolerance_bar(result))
            dl class="facts" {
                div { dt { "Limits" } dd { (limit(result.limits.min)) " to " (limit(result.limits.max)) " " (result.unit) } }
                div { dt { "Margin" } dd { (length(result.decision.margin, places, result.unit)) } }
                div { dt { "Decided on" } dd { (result.say(&result.decided_on)) } }
                div { dt { "Rule" } dd { (rule_words(result))
                    @if let Some(guard) = result.decision.guard_band { ", guard band " (length(guard, places.max(decimals), result.unit)) } } }
                div { dt { "The size conforms with a probability of" } dd { (percent(result.decision.conformance_probability)) } }
                @if let Some(worst) = &result.worst_place {
                    @for (name, outcome) in [("Mean", &result.mean), (capitalised(&worst_words(result)).as_str(), worst)] {
                        @let (value, expanded, _) = size(outcome.size.value, outcome.size.expanded_uncertainty);
                        div { dt { (name) } dd { (value) " ± " (expanded) " " (result.unit) " (" (result.say(&outcome.of)) "): " (verdict_word(&outcome.decision.decision)) } }
                    }
                }
                @if let Some(rest) = &result.without_flagged {
                    @let (value, expanded, _) = size(rest.size.value, rest.size.expanded_uncertainty);
                    div { dt { "If the flagged readings were left out" } dd { (value) " ± " (expanded) " " (result.unit) ": " (verdict_word(&rest.decision.decision)) } }
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
                    th scope="col" { "Finding" } th scope="col" class="number" { "Value" }
                    th scope="col" { "Required" } th scope="col" { "Definition" } th scope="col" { "Source" }
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
                th scope="col" { "No." } th scope="col" { (capitalised(&place_words(result))) } th scope="col" class="number" { "As read" }
                th scope="col" class="number" { "Corrected, " (result.unit) } th scope="col" { "Remark" }
            } }
            tbody {
                @for (index, reading) in result.readings.iter().enumerate() {
                    tr {
                        td { (index + 1) } td { (reading.place) } td class="number" { (reading.as_read) }
                        td class="number" { (format!("{:.places$}", reading.corrected)) }
                        td { @for flag in &reading.flags { "? " (result.say(&flag.message)) } }
                    }
                }
            }
        }
        p {
            "Zero error on the standard: " (format!("{:+.places$}", zero.before)) " " (result.unit) " before, "
            @match zero.after { Some(after) => { (format!("{after:+.places$}")) " " (result.unit) " after" }, None => "not checked after" }
            " the job, from " (zero.n) " readings; standard uncertainty " (format!("{:.places$}", zero.standard_uncertainty)) " " (result.unit) "."
            @for flag in &zero.flags { " ? " (result.say(&flag.message)) }
        }
    }
}

/// What was added to the reading, effect by effect.
pub fn corrections(result: &Inspected) -> Markup {
    let places = fine_decimals(result.unit);
    html! {
        table {
            thead { tr {
                th scope="col" { "Effect" } th scope="col" class="number" { "Add to the reading, " (result.unit) }
                th scope="col" class="number" { "Standard uncertainty" } th scope="col" { "Source" }
            } }
            tbody {
                @for correction in &result.corrections {
                    tr {
                        td { (correction.label()) } td class="number" { (format!("{:+.places$}", correction.value)) }
                        td class="number" { (format!("{:.places$}", correction.standard_uncertainty)) } td { (result.say(&correction.source)) }
                    }
                }
            }
        }
    }
}

fn monte_carlo(result: &Inspected) -> Markup {
    html! {
        @if let Some([interval, check]) = super::monte_carlo::sentences(result) {
            p { "Monte Carlo: " (interval) "; " (check) "." }
        }
    }
}

/// The uncertainty budget.
pub fn budget(result: &Inspected) -> Markup {
    let places = fine_decimals(result.unit);
    let (lines, smaller) = budget_lines(result);
    let degrees = |number: Option<f64>| {
        number.map_or("∞".to_owned(), |number| format!("{:.0}", number.floor()))
    };
    html! {
        table {
            thead { tr {
                th scope="col" { "Contribution" } th scope="col" class="number" { (result.unit) }
                th scope="col" class="number" { "Share" } th scope="col" class="number" { "Degrees of freedom" } th scope="col" { "From" }
            } }
            tbody {
                @for line in lines {
                    tr {
                        td { (line.label()) } td class="number" { (format!("{:.places$}", line.contribution)) }
                        td class="number" { (format!("{:.1} %", line.share * 100.0)) }
                        td class="number" { (degrees(line.degrees_of_freedom)) } td { @if let Some(note) = &line.note { (result.say(note)) } }
                    }
                }
            }
            tfoot {
              @if smaller > 0 { tr { td colspan="5" { (smaller) " smaller, each under 0.1 %" } } }
              tr {
                th scope="row" { "Combined standard uncertainty" } td class="number" { (format!("{:.places$}", result.size.standard_uncertainty)) }
                td {} td class="number" { (degrees(result.size.degrees_of_freedom)) } td { "JCGM 100:2008" }
            } }
        }
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
        p {
            "Limits by " (limits_from(result)) ". Decision rule " (rule_words(result)) ", under which the verdict above is stated. "
            "U is the expanded uncertainty with k = " (format!("{:.2}", result.size.coverage_factor)) " for a coverage probability of 95 % (JCGM 100:2008). "
            "Error is indicated less true; a correction is what is added to the reading."
        }
        @if let Some(scope) = scope(report.job) { p { (scope) } }
        p { (CAUTION) }
        p class="sign" { span { "signed" } span { "date" } }
    }
}

fn foot(report: &Report) -> Markup {
    html! {
        footer {
            @if let Some(record) = &report.record {
                p { "Record " (record.id) ", recorded " (record.recorded_at.strftime("%Y-%m-%d %H:%M UTC")) " by " (record.person) ", computed by " (record.program) "." }
                p class="hash" { (record.hash) }
            }
            p { "End of report" }
        }
    }
}
