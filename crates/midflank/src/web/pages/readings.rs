//! Closures and readings as they landed: as read, corrected, flagged, taken again.

use maud::{Markup, html};
use metrology::message::Say;
use metrology::units::LengthUnit;

use super::ask::share;
use super::parts::Parts;
use crate::bench::event::When;
use crate::bench::zero::Check;
use crate::bench::{Spot, Step, asked, words};
use crate::report::off_scale::in_the_mean;
use crate::report::{fine_decimals, picture};
use crate::words::number;

/// The closures of the check at hand, and what they found.
pub fn zero(parts: &Parts) -> Markup {
    let closing = parts.question.step() == Step::ClosingZero;
    let (when, check) = if closing {
        (When::After, &parts.state.after)
    } else {
        (When::Before, &parts.state.before)
    };
    html! {
        (closures(check))
        (found(parts, when, check))
        @if !closing { (share(parts)) }
    }
}

fn closures(check: &Check) -> Markup {
    html! {
        ol class="landed" aria-label=(words::zero_readings_so_far()) {
            @for closure in &check.closures {
                li {
                    @if closure.set_aside { s { (words::spaced(&closure.reading)) } " " span class="soft" { (words::set_aside()) } }
                    @else { span class="value" { (words::spaced(&closure.reading)) } }
                }
            }
        }
    }
}

/// Zero error, range, and drift where there is one.
fn found(parts: &Parts, when: When, check: &Check) -> Markup {
    let certified = parts
        .state
        .standard
        .as_ref()
        .map(|standard| standard.size.value());
    let unit = parts.state.unit.unwrap_or(LengthUnit::Millimetre);
    let before = (when == When::After).then_some(&parts.state.before);
    let error = certified.and_then(|certified| check.error(certified, before));
    html! {
        @if let (Some(error), Some(range)) = (error, check.spread()) {
            p class="soft" role="status" {
                @let shown = if when == When::After { error.after.unwrap_or(error.before) } else { error.before };
                (words::zero_error(shown, unit)) " · " (words::range_of_zero(range, unit))
                @if let Some(drift) = error.drift() { " · " (words::drift(drift, unit)) }
            }
        }
    }
}

/// Beside the verdict: the closing check while it is made, and the readings that the verdict rests on.
pub fn at_verdict(parts: &Parts) -> Markup {
    let closing = parts.question.step() == Step::ClosingZero;
    html! {
        @if closing && !parts.state.after.closures.is_empty() { (zero(parts)) }
        (landed(parts))
    }
}

/// Readings of the part so far, and those to come, against the limits.
pub fn list(parts: &Parts) -> Markup {
    html! {
        // Above the list, which grows: the chart keeps its place.
        @if let Some(result) = &parts.result {
            (picture::readings(result))
            @if let Some(told) = in_the_mean(result) { p class="doubt" { (told) } }
        }
        (landed(parts))
    }
}

fn landed(parts: &Parts) -> Markup {
    let state = parts.state;
    let places = parts
        .result
        .as_ref()
        .map_or(4, |result| fine_decimals(result.unit).saturating_sub(1));
    // The result lists readings place by place; the page lists them as they came.
    let corrected = |spot: &Spot, text: &str| {
        let place = spot.name().map(|name| name.message());
        let result = parts.result.as_ref()?;
        let found = result
            .readings
            .iter()
            .find(|reading| reading.place == place && reading.as_read == text)?;
        Some(number::fixed(found.corrected, places))
    };
    let to_come = state.plan.len().saturating_sub(state.readings.len());
    html! {
        ol class="landed" aria-label=(words::readings_so_far()) {
            @for (index, reading) in state.readings.iter().enumerate() {
                // The latest is large while readings are taken.
                @let latest = index + 1 == state.readings.len() && parts.question.step() == Step::Readings;
                li class=(if reading.flag.is_some() { "flagged" } else { "" }) {
                    @for earlier in &reading.earlier { s { (words::spaced(earlier)) } " " }
                    span class=(if latest { "value latest" } else { "value" }) { (words::spaced(&reading.shown)) }
                    " " span class="soft" {
                        (crate::words::spot(&reading.spot))
                        @if let Some(corrected) = corrected(&reading.spot, reading.shown.text()) { ", " (asked::gives(state)) " " (corrected) }
                    }
                    // Said once: of a new one under the field.
                    @if let Some(flag) = reading.flag.as_ref().filter(|_| state.newly_flagged != Some(reading.number)) {
                        " " span class="reason" { (crate::words::said(&flag.message)) @if let Some(reason) = &reading.left { " " (words::stands(reason)) } }
                    }
                }
            }
            @for _ in 0..to_come { li class="to-come" aria-hidden="true" { "·" } }
        }
        @if let Some(zero) = state.zero_error() {
            p class="soft" {
                (words::zero_error(zero.mm(), state.unit.unwrap_or(LengthUnit::Millimetre)))
                @if let Some(result) = &parts.result { " · " (words::range_of_readings(result)) }
            }
        }
    }
}
