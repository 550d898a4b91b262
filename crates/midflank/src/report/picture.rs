//! Pictures of a result, as SVG: the verdict's mark, the tolerance bar, the readings.
//!
//! Colours come from the page's variables and never stand alone: shape, place and words say the same.

use maud::{Markup, html};

use super::bar::Bar;
use super::{range, size, verdict_words};
use crate::document::Inspected;
use crate::say;
use crate::words::number;

/// The verdict as a shape: disc with a tick, square with a bar, open diamond.
pub fn mark(verdict: &str) -> Markup {
    html! {
        svg class="mark" viewBox="0 0 48 48" width="72" height="72" aria-hidden="true" {
            @match verdict {
                "accept" | "conditional-accept" => {
                    circle cx="24" cy="24" r="21" class="fill-verdict" {}
                    path d="M13 25l8 8 15-17" class="on-verdict" {}
                }
                "reject" | "conditional-reject" => {
                    rect x="4" y="4" width="40" height="40" class="fill-verdict" {}
                    path d="M12 24h24" class="on-verdict" {}
                }
                _ => { path d="M24 4l20 20-20 20L4 24z" class="open-verdict" {} }
            }
        }
    }
}

/// The tolerance bar: limits, guard bands hatched, the size with its uncertainty over it and the readings under it. Near a
/// limit a second bar draws that limit larger.
///
/// Places along it are percentages of its width, so that the writing has one size however wide the picture is.
pub fn tolerance_bar(result: &Inspected) -> Markup {
    let whole = Bar::of(result);
    html! {
        @match whole.near(result) {
            None => (bar(result, &whole, &bar_words(result, &whole), "hatch")),
            Some(near) => div class="bars" {
                (bar(result, &whole, &bar_words(result, &whole), "hatch"))
                div {
                    (bar(result, &near, say!("report.bar-near"), "hatch-near"))
                    p class="bar-near" { (say!("report.bar-near")) }
                }
            },
        }
    }
}

pub fn bar_words(result: &Inspected, bar: &Bar) -> String {
    let decimals = usize::try_from(result.decimals).unwrap_or(4);
    let limit = |limit: f64| number::fixed(limit, decimals);
    let (value, expanded, _) = size(result.size.value, result.size.expanded_uncertainty);
    let verdict = verdict_words(result.decision.decision.as_str());
    let limits = range(result.limits.min.map(limit), result.limits.max.map(limit));
    if bar.broken.is_some() {
        say!(
            "report.bar-words-broken",
            verdict = verdict,
            value = value,
            expanded = expanded,
            unit = result.unit,
            limits = limits
        )
    } else {
        say!(
            "report.bar-words",
            verdict = verdict,
            value = value,
            expanded = expanded,
            unit = result.unit,
            limits = limits
        )
    }
}

fn bar(result: &Inspected, bar: &Bar, words: &str, hatch: &str) -> Markup {
    let x = |value: f64| percent(bar.along(value));
    let width = |from: f64, to: f64| percent((bar.along(to) - bar.along(from)).max(0.0));
    let decimals = usize::try_from(result.decimals).unwrap_or(4);
    let lower = bar.lower.unwrap_or(bar.from);
    let upper = bar.upper.unwrap_or(bar.to);
    let verdict = result.decision.decision.as_str();
    // A label at the end of the bar stays inside the picture.
    let anchor = |along: f64| match along {
        along if along < 0.2 => "start",
        along if along > 0.8 => "end",
        _ => "middle",
    };
    html! {
        svg class="bar" width="100%" height="104" role="img" aria-label=(format!("{}: {words}", say!("report.bar-title"))) {
            defs {
                pattern id=(hatch) width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)" {
                    path d="M0 0v7" class="hatch" {}
                }
            }
            // Everything between the limits, hatched; what the rule accepts lies over it, plain.
            rect x=(x(lower)) y="40" width=(width(lower, upper)) height="28" fill=(format!("url(#{hatch})")) class="between" {}
            @if let Some((first, last)) = bar.accepted {
                @let (first, last) = (first.max(lower), last.min(upper));
                rect x=(x(first)) y="40" width=(width(first, last)) height="28" class="accepted" {}
            }
            @for (at, name) in [(bar.lower, say!("report.bar-least")), (bar.upper, say!("report.bar-most"))] {
                @if let Some(at) = at {
                    line x1=(x(at)) y1="34" x2=(x(at)) y2="80" class="limit" {}
                    text x=(x(at)) y="98" text-anchor=(anchor(bar.along(at))) {
                        tspan class="soft" { (name) } " " (number::fixed(at, decimals))
                    }
                }
            }
            @for reading in result.readings.iter().filter(|reading| bar.holds(reading.corrected)) {
                line x1=(x(reading.corrected)) y1="68" x2=(x(reading.corrected)) y2="78"
                    class=(if reading.flags.is_empty() { "reading" } else { "reading flagged" }) {}
            }
            @let (from, to) = (x(bar.interval.0), x(bar.interval.1));
            line x1=(from) y1="30" x2=(to) y2="30" class="interval" {}
            @for end in [&from, &to] { line x1=(end) y1="24" x2=(end) y2="36" class="interval" {} }
            line x1=(x(bar.size)) y1="20" x2=(x(bar.size)) y2="68" class="stem" {}
            // Two strokes, as a drawing breaks out what is too long for it.
            @if let Some(broken) = bar.broken {
                svg x=(x(broken)) y="36" overflow="visible" { path d="M-8 34l8-32M0 34l8-32" class="limit" {} }
            }
            svg x=(x(bar.size)) y="12" overflow="visible" class=(verdict) {
                @match verdict {
                    "accept" | "conditional-accept" => { circle r="10" class="fill-verdict" {} path d="M-5 0l3.5 3.5L5-4" class="on-verdict thin" {} }
                    "reject" | "conditional-reject" => { rect x="-9" y="-9" width="18" height="18" class="fill-verdict" {} path d="M-5 0H5" class="on-verdict thin" {} }
                    _ => { path d="M0-11L11 0 0 11-11 0z" class="open-verdict thin" {} }
                }
            }
        }
    }
}

/// The least and the greatest that the picture of the readings reaches to.
pub fn run_scale(result: &Inspected) -> (f64, f64) {
    let values = result.readings.iter().map(|reading| reading.corrected);
    let limits = [result.limits.min, result.limits.max].into_iter().flatten();
    let (low, high) = values
        .chain(limits)
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
            (low.min(value), high.max(value))
        });
    // A reading further out than the tolerance is wide is drawn at the edge: it shall not press the others together.
    match (result.limits.min, result.limits.max) {
        (Some(min), Some(max)) => (low.max(min - (max - min)), high.min(max + (max - min))),
        _ => (low, high),
    }
}

/// Every reading in the order it was taken, against the limits.
pub fn readings(result: &Inspected) -> Markup {
    let count = result.readings.len();
    let (low, high) = run_scale(result);
    let limits = [result.limits.min, result.limits.max].into_iter().flatten();
    let span = (high - low).max(f64::MIN_POSITIVE);
    let y = |value: f64| 24.0 + (high - value.clamp(low, high.max(low))) / span * 132.0;
    let mean = y(result.mean.size.value);
    let mean_is_free = limits.clone().all(|limit| (y(limit) - mean).abs() > 22.0);
    let x = |index: usize| percent((index as f64 + 0.5) / count.max(1) as f64 * 0.86 + 0.14);
    let decimals = usize::try_from(result.decimals).unwrap_or(4);
    html! {
        svg class="run" width="100%" height="188" role="img"
            aria-label=(format!("{}: {}", say!("report.run-title"), say!("report.run-words", n = count))) {
            @for (limit, name) in [(result.limits.max, say!("report.run-most")), (result.limits.min, say!("report.run-least"))] {
                @if let Some(limit) = limit {
                    line x1="0" y1=(n(y(limit))) x2="100%" y2=(n(y(limit))) class="limit" {}
                    text x="0" y=(n(y(limit) - 6.0)) { tspan class="soft" { (name) } " " (number::fixed(limit, decimals)) }
                }
            }
            line x1="0" y1=(n(mean)) x2="100%" y2=(n(mean)) class="mean" {}
            // Beside a limit the label would stand on the limit's own.
            @if mean_is_free {
                text x="0" y=(n(mean - 6.0)) class="soft" { (say!("report.run-mean")) }
            }
            @for (index, reading) in result.readings.iter().enumerate() {
                circle cx=(x(index)) cy=(n(y(reading.corrected))) r="5"
                    class=(if reading.flags.is_empty() { "dot" } else { "dot flagged" }) {
                    title { (index + 1) ": " (number::length(reading.corrected, decimals + 1, result.unit)) }
                }
                @if count <= 24 {
                    text x=(x(index)) y="184" text-anchor="middle" class="soft" { (index + 1) }
                }
            }
        }
    }
}

/// A part of the width, as a picture is told it.
fn percent(part: f64) -> String {
    format!("{:.2}%", 100.0 * part)
}

/// A coordinate, to a hundredth.
fn n(coordinate: f64) -> String {
    format!("{coordinate:.2}")
}
