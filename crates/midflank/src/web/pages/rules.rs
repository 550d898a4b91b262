//! The decision rules as a numbered list, each with what it means for the limits of this part: in numbers, and as a strip.

use maud::{Markup, html};
use metrology::decision::{Bounds, Rule};
use metrology::units::LengthUnit;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::parts::{Parts, hidden};
use crate::bench::answer::{Rules, Zones};
use crate::report::limits::decimals;
use crate::report::range;
use crate::say;
use crate::words::number;

/// The list; nothing at other questions.
pub fn list(parts: &Parts) -> Markup {
    let unit = parts.state.drawing_unit();
    html! {
        @if let Some(rules) = parts.table.rules() {
            form class="choices rules" method="post" action="/answer" {
                (hidden(parts))
                @match rules.expanded {
                    Some(expanded) => p class="soft" { (say!("page.rules-with", expanded = number::difference(expanded, unit))) },
                    None => p class="soft" { (say!("page.rules-without")) },
                }
                ol {
                    @for (index, zones) in rules.zones.iter().enumerate() {
                        li {
                            button name="line" value=(index + 1) {
                                span class="nth" { (index + 1) } " " strong { (zones.name) } " " span class="soft" { (meaning(zones.rule)) }
                                @if let Some((accepted, rejected)) = zones.accepted_rejected {
                                    span class="zones" {
                                        (strip(&rules, accepted, rejected))
                                        (in_numbers(zones, accepted, rejected, unit))
                                    }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn meaning(rule: Rule) -> &'static str {
    match rule {
        Rule::Simple { .. } => say!("page.rule-simple"),
        Rule::Iso14253_1 => say!("page.rule-iso14253-1"),
        Rule::Probability { .. } => say!("page.rule-probability"),
        Rule::GuardBand { .. } | Rule::StatedGuardBand { .. } => say!("page.rule-guard-band"),
        Rule::GuardBandFour { .. } => say!("page.rule-guard-band-four"),
        Rule::Stringent { .. } => say!("page.rule-stringent"),
        Rule::Relaxed { .. } => say!("page.rule-relaxed"),
        Rule::FalseAccept2 => say!("page.rule-false-accept-2"),
    }
}

/// `accepts 8.869 to 8.987 mm, rejects the rest`.
fn in_numbers(zones: &Zones, accepted: Bounds, rejected: Bounds, unit: LengthUnit) -> String {
    if accepted == Bounds::default() {
        return say!("page.rule-not-usable").to_owned();
    }
    if accepted.is_empty() {
        return say!("page.rule-accepts-nothing").to_owned();
    }
    // A digit finer than limits, since guard bands are.
    let decimals = decimals(unit, unit) as usize + 1;
    let text = |bound: Option<Decimal>| {
        let in_unit = metrology::decision::in_unit(bound?, unit);
        Some(number::decimal(in_unit, decimals))
    };
    let from_to = format!(
        "{} {unit}",
        range(text(accepted.lower), text(accepted.upper))
    );
    if accepted == rejected {
        return say!("page.rule-two-zones", accepted = from_to);
    }
    let beyond = match (text(rejected.lower), text(rejected.upper)) {
        (Some(lower), Some(upper)) => {
            say!(
                "page.below-and-above",
                lower = lower,
                upper = upper,
                unit = unit
            )
        }
        (Some(lower), None) => say!("page.below", bound = lower, unit = unit),
        (None, Some(upper)) => say!("page.above", bound = upper, unit = unit),
        (None, None) => String::new(),
    };
    if matches!(zones.rule, Rule::GuardBandFour { .. }) {
        say!("page.rule-conditional", accepted = from_to, beyond = beyond)
    } else {
        say!("page.rule-three-zones", accepted = from_to, beyond = beyond)
    }
}

/// Width and height of a strip, and how far beyond the limits it goes, as a part of the tolerance.
const STRIP: (f64, f64) = (160.0, 22.0);
const BEYOND: f64 = 0.2;

/// The limits as two lines, and between them what is accepted; what is neither accepted nor rejected is hatched. Nothing where
/// there is one limit only: then there is no tolerance to draw.
fn strip(rules: &Rules, accepted: Bounds, rejected: Bounds) -> Markup {
    let mm = |bound: Option<Decimal>| bound.and_then(|bound| bound.to_f64());
    let Some((lower, upper)) = mm(rules.limits.lower).zip(mm(rules.limits.upper)) else {
        return html! {};
    };
    let tolerance = upper - lower;
    let (width, height) = STRIP;
    let at = |size: f64| {
        let part = (size - lower + BEYOND * tolerance) / (tolerance * (1.0 + 2.0 * BEYOND));
        (part * width).clamp(0.0, width)
    };
    let zone = |bounds: Bounds, class: &str| {
        let (from, to) = (
            at(mm(bounds.lower).unwrap_or(f64::MIN)),
            at(mm(bounds.upper).unwrap_or(f64::MAX)),
        );
        html! {
            @if to > from {
                rect x=(format!("{from:.1}")) y="5" width=(format!("{:.1}", to - from)) height="12" class=(class) {}
            }
        }
    };
    html! {
        svg class="strip" width=(width) height=(height) viewBox=(format!("0 0 {width} {height}")) aria-hidden="true" {
            (zone(rejected, "between"))
            @if !accepted.is_empty() { (zone(accepted, "accepts")) }
            @for limit in [lower, upper] {
                path d=(format!("M{0:.1} 0V{height}", at(limit))) class="limit" {}
            }
        }
    }
}
