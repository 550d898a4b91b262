//! Pictures of a result, as SVG: the verdict's mark, the tolerance bar, the readings.
//!
//! Colours come from the page's variables and never stand alone: shape, place and words say the same.

use maud::{Markup, html};

use super::bar::Bar;
use super::off_scale::{self, OffScale, at_end, beyond};
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
    let beyond = whole.beyond(result);
    html! {
        @match whole.near(result) {
            None => (bar(result, &whole, &bar_words(result, &whole), "hatch", &beyond)),
            Some(near) => div class="bars" {
                (bar(result, &whole, &bar_words(result, &whole), "hatch", &beyond))
                div {
                    // What lies beyond the part that is drawn larger stands on the whole.
                    (bar(result, &near, say!("report.bar-near"), "hatch-near", &[]))
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

fn bar(result: &Inspected, bar: &Bar, words: &str, hatch: &str, off_scale: &[OffScale]) -> Markup {
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
        svg class=(if off_scale.is_empty() { "bar" } else { "bar off-scale" }) width="100%" height=(if off_scale.is_empty() { 104 } else { 128 })
            role="img" aria-label=(format!("{}: {words}", say!("report.bar-title"))) {
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
            // Readings beyond an end: an arrow that points there, and which they are under the limits.
            @for above in [false, true] {
                @if let Some(text) = at_end(result, off_scale, above) {
                    @let is_flagged = off_scale.iter().any(|one| one.above == above && one.is_flagged);
                    svg x=(if above { "100%" } else { "0%" }) y="116" overflow="visible" {
                        path d=(if above { "M-10-6L0 0l-10 6z" } else { "M10-6L0 0l10 6z" }) class=(arrow(is_flagged)) {}
                    }
                    svg x=(if above { "100%" } else { "0%" }) y="121" overflow="visible" {
                        text x=(if above { -16 } else { 16 }) text-anchor=(if above { "end" } else { "start" }) { (text) }
                    }
                }
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

/// What marks a reading that is off the scale.
const fn arrow(is_flagged: bool) -> &'static str {
    if is_flagged { "off flagged" } else { "off" }
}

/// Values of readings off the scale stand at least so far apart, as a part of the width of a telephone.
const APART: f64 = 0.17;

/// Every reading in the order it was taken, against the limits.
pub fn readings(result: &Inspected) -> Markup {
    let count = result.readings.len();
    let (low, high) = run_scale(result);
    let beyond = beyond(result, low, high);
    let limits = [result.limits.min, result.limits.max].into_iter().flatten();
    let span = (high - low).max(f64::MIN_POSITIVE);
    let y = |value: f64| 24.0 + (high - value.clamp(low, high.max(low))) / span * 132.0;
    let of_mean = result.mean.size.value;
    let mean = y(of_mean);
    let mean_is_free = limits.clone().all(|limit| (y(limit) - mean).abs() > 22.0);
    let across = |index: usize| (index as f64 + 0.5) / count.max(1) as f64 * 0.86 + 0.14;
    let x = |index: usize| percent(across(index));
    let valued = off_scale::valued(&beyond, across, APART);
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
            @if (low..=high).contains(&of_mean) {
                line x1="0" y1=(n(mean)) x2="100%" y2=(n(mean)) class="mean" {}
                // Beside a limit the label would stand on the limit's own.
                @if mean_is_free {
                    text x="0" y=(n(mean - 6.0)) class="soft" { (say!("report.run-mean")) }
                }
            } @else {
                text x="0" y=(if of_mean > high { 14 } else { 172 }) class="soft" { (say!("report.run-mean-off", value = off_scale::value(result, of_mean))) }
            }
            @for one in &beyond {
                @let index = one.number.saturating_sub(1);
                // The arrow points beyond the end, where the reading would stand.
                svg x=(x(index)) y=(if one.above { 14 } else { 166 }) overflow="visible" {
                    path d=(if one.above { "M-7 10L0-2l7 12z" } else { "M-7-10L0 2l7-12z" }) class=(arrow(one.is_flagged)) {
                        title { (one.number) ": " (number::length(one.value, decimals + 1, result.unit)) }
                    }
                    @if valued.contains(one) {
                        @let is_last = across(index) > 0.75;
                        text x=(if is_last { -12 } else { 12 }) y=(if one.above { 8 } else { 2 }) text-anchor=(if is_last { "end" } else { "start" }) {
                            (off_scale::value(result, one.value))
                        }
                    }
                }
            }
            @for (index, reading) in result.readings.iter().enumerate().filter(|(_, reading)| (low..=high).contains(&reading.corrected)) {
                circle cx=(x(index)) cy=(n(y(reading.corrected))) r="5"
                    class=(if reading.flags.is_empty() { "dot" } else { "dot flagged" }) {
                    title { (index + 1) ": " (number::length(reading.corrected, decimals + 1, result.unit)) }
                }
            }
            @if count <= 24 {
                @for index in 0..count {
                    text x=(x(index)) y="184" text-anchor="middle" class="soft" { (index + 1) }
                }
            }
        }
        @if let Some(told) = off_scale::told(result, &beyond) { p class="off-scale" { (told) } }
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
