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

const WIDTH: f64 = 760.0;
const LEFT: f64 = 8.0;
const BAR_WIDTH: f64 = WIDTH - 2.0 * LEFT;

/// The tolerance bar: limits, guard bands hatched, the size with its uncertainty, the readings under it.
pub fn tolerance_bar(result: &Inspected) -> Markup {
    let bar = Bar::of(result);
    let x = |value: f64| LEFT + bar.along(value) * BAR_WIDTH;
    let decimals = usize::try_from(result.decimals).unwrap_or(4);
    let limit = |limit: f64| number::fixed(limit, decimals);
    let (value, expanded, _) = size(result.size.value, result.size.expanded_uncertainty);
    let (lower, upper) = (
        x(bar.lower.unwrap_or(bar.from)),
        x(bar.upper.unwrap_or(bar.to)),
    );
    let (from, to) = (x(bar.interval.0), x(bar.interval.1));
    let at = x(bar.size);
    let verdict = result.decision.decision.as_str();
    let (word, limits) = (
        verdict_words(verdict),
        range(result.limits.min.map(limit), result.limits.max.map(limit)),
    );
    let words = if bar.broken.is_some() {
        say!(
            "report.bar-words-broken",
            verdict = word,
            value = value,
            expanded = expanded,
            unit = result.unit,
            limits = limits
        )
    } else {
        say!(
            "report.bar-words",
            verdict = word,
            value = value,
            expanded = expanded,
            unit = result.unit,
            limits = limits
        )
    };
    // A label at the end of the bar stays inside the picture.
    let anchor = |at: f64| {
        if at < 90.0 {
            "start"
        } else if at > WIDTH - 90.0 {
            "end"
        } else {
            "middle"
        }
    };
    html! {
        svg class="bar" viewBox="0 0 760 158" role="img" aria-labelledby="bar-title bar-words" {
            title id="bar-title" { (say!("report.bar-title")) }
            desc id="bar-words" { (words) }
            defs {
                pattern id="hatch" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)" {
                    path d="M0 0v7" class="hatch" {}
                }
            }
            // Everything between the limits, hatched; what the rule accepts lies over it, plain.
            rect x=(n(lower)) y="62" width=(n(upper - lower)) height="34" fill="url(#hatch)" {}
            @if let Some((first, last)) = bar.accepted {
                @let (first, last) = (x(first).max(lower), x(last).min(upper));
                rect x=(n(first)) y="62" width=(n((last - first).max(0.0))) height="34" class="accepted" {}
            }
            @for (at, name) in [(bar.lower, say!("report.bar-least")), (bar.upper, say!("report.bar-most"))] {
                @if let Some(at) = at {
                    @let limit_x = x(at);
                    path d=(format!("M{0} 50V108", n(limit_x))) class="limit" {}
                    text x=(n(limit_x)) y="126" text-anchor=(anchor(limit_x)) class="soft" { (name) }
                    text x=(n(limit_x)) y="146" text-anchor=(anchor(limit_x)) { (limit(at)) }
                }
            }
            @for reading in &result.readings {
                @let reading_x = x(reading.corrected);
                path d=(format!("M{0} 84V96", n(reading_x)))
                    class=(if reading.flags.is_empty() { "reading" } else { "reading flagged" }) {}
            }
            path d=(format!("M{0} 79H{1}M{0} 70V88M{1} 70V88", n(from), n(to))) class="interval" {}
            // Two strokes, as a drawing breaks out what is too long for it.
            @if let Some(broken) = bar.broken {
                path d=(format!("M{0} 92l8-26M{1} 92l8-26", n(x(broken) - 8.0), n(x(broken)))) class="limit" {}
            }
            g transform=(format!("translate({} 79)", n(at))) class=(format!("at {verdict}")) {
                @match verdict {
                    "accept" | "conditional-accept" => { circle r="10" class="fill-verdict" {} path d="M-5 0l3.5 3.5L5-4" class="on-verdict thin" {} }
                    "reject" | "conditional-reject" => { rect x="-9" y="-9" width="18" height="18" class="fill-verdict" {} path d="M-5 0H5" class="on-verdict thin" {} }
                    _ => { path d="M0-11L11 0 0 11-11 0z" class="open-verdict thin" {} }
                }
            }
            text x=(n(at)) y="36" text-anchor=(anchor(at)) class="value" { (value) " ± " (expanded) " " (result.unit) }
        }
    }
}

/// Every reading in the order it was taken, against the limits.
pub fn readings(result: &Inspected) -> Markup {
    let count = result.readings.len();
    let values = result.readings.iter().map(|reading| reading.corrected);
    let limits = [result.limits.min, result.limits.max].into_iter().flatten();
    let (low, high) = values
        .chain(limits.clone())
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
            (low.min(value), high.max(value))
        });
    // A reading further out than the tolerance is wide is drawn at the edge: it shall not press the others together.
    let (low, high) = match (result.limits.min, result.limits.max) {
        (Some(min), Some(max)) => (low.max(min - (max - min)), high.min(max + (max - min))),
        _ => (low, high),
    };
    let span = (high - low).max(f64::MIN_POSITIVE);
    let y = |value: f64| 18.0 + (high - value.clamp(low, high.max(low))) / span * 164.0;
    let mean = y(result.mean.size.value);
    let mean_is_free = limits.clone().all(|limit| (y(limit) - mean).abs() > 16.0);
    let x = |index: usize| 150.0 + (index as f64 + 0.5) / count.max(1) as f64 * 590.0;
    let decimals = usize::try_from(result.decimals).unwrap_or(4);
    html! {
        svg class="run" viewBox="0 0 760 226" role="img" aria-labelledby="run-title run-words" {
            title id="run-title" { (say!("report.run-title")) }
            desc id="run-words" { (say!("report.run-words", n = count)) }
            @for (limit, name) in [(result.limits.max, say!("report.run-most")), (result.limits.min, say!("report.run-least"))] {
                @if let Some(limit) = limit {
                    path d=(format!("M142 {0}H752", n(y(limit)))) class="limit" {}
                    text x="134" y=(n(y(limit) + 5.0)) text-anchor="end" { (name) " " (number::fixed(limit, decimals)) }
                }
            }
            path d=(format!("M142 {0}H752", n(mean))) class="mean" {}
            // Beside a limit the label would stand on the limit's own.
            @if mean_is_free {
                text x="134" y=(n(mean + 5.0)) text-anchor="end" class="soft" { (say!("report.run-mean")) }
            }
            @for (index, reading) in result.readings.iter().enumerate() {
                circle cx=(n(x(index))) cy=(n(y(reading.corrected))) r="6"
                    class=(if reading.flags.is_empty() { "dot" } else { "dot flagged" }) {
                    title { (index + 1) ": " (number::length(reading.corrected, decimals + 1, result.unit)) }
                }
                @if count <= 40 {
                    text x=(n(x(index))) y="218" text-anchor="middle" class="soft" { (index + 1) }
                }
            }
        }
    }
}

/// A coordinate, to a hundredth.
fn n(coordinate: f64) -> String {
    format!("{coordinate:.2}")
}
