//! The advice on a set-up as plain text.

use std::fmt::Write as _;

use metrology::inspection::ContactKind;
use metrology::units::LengthUnit;

use super::small::{indented, item};
use super::text::WIDTH;
use crate::document::{Refused, SetUp, SetUpDocument, to_mm};
use crate::say;
use crate::words::{self, number};

/// How many refusals are listed where not everything is asked for.
const REFUSALS: usize = 10;

/// The advice, at most 78 columns wide.
pub fn words(document: &SetUpDocument, width: usize) -> String {
    let width = width.clamp(40, WIDTH);
    let unit = document.unit;
    let decimals = usize::try_from(document.decimals).unwrap_or(4);
    let limit = |limit: Option<f64>| {
        limit.map_or_else(
            || say!("report.no-limit").to_owned(),
            |limit| number::fixed(limit, decimals),
        )
    };
    let limits = say!(
        "setup.limits",
        from = limit(document.limits.min),
        to = limit(document.limits.max),
        unit = unit
    );
    let mut out = String::new();
    let _ = writeln!(out, "{}\n  {limits}", document.characteristic);
    let expanded = document.set_ups.iter().map(|one| one.expanded_uncertainty);
    // Of those that are not listed some may promise less.
    let told = if document.others > 0 {
        Some(say!("setup.order-suited-first"))
    } else {
        order(expanded)
    };
    if let Some(order) = told {
        out += &indented("  ", order, width);
    }
    for one in &document.set_ups {
        set_up(&mut out, one, unit, width);
    }
    if document.others > 0 {
        let _ = writeln!(out, "\n{}", say!("setup.others", n = document.others));
    }
    if document.set_ups.is_empty() {
        let _ = writeln!(out, "\n{}", say!("setup.none-owned"));
    }
    if !document.wanted.is_empty() {
        let _ = writeln!(out, "\n{}", say!("setup.good-enough"));
        for wanted in &document.wanted {
            out += &item(wanted, width);
        }
    }
    let _ = writeln!(out, "\n{}", say!("setup.readings", n = document.readings));
    out += &indented("  ", &document.places, width);
    if let Some(soak) = &document.soak {
        let words = say!(
            "setup.soak",
            material = soak.material,
            half = number::fixed(soak.time_constant_minutes * std::f64::consts::LN_2, 0),
            from = number::fixed(soak.from_kelvins, 1),
            to = number::fixed(soak.to_kelvins, 1),
            minutes = number::fixed(soak.minutes, 0)
        );
        out += &indented("  ", &words, width);
    }
    for advice in &document.advice {
        out += &indented("  ", advice, width);
    }
    let most = if document.all { usize::MAX } else { REFUSALS };
    for (title, refused) in [
        (say!("setup.not-usable"), &document.refused),
        (say!("setup.wrong-choices"), &document.wrong_choices),
    ] {
        refusals(&mut out, title, refused, most, (unit, width));
    }
    out
}

/// Why set-ups of these expanded uncertainties stand in their order; nothing where there is nothing to order.
pub fn order(expanded: impl IntoIterator<Item = f64>) -> Option<&'static str> {
    let all: Vec<f64> = expanded.into_iter().collect();
    if all.len() < 2 {
        None
    } else if all.is_sorted() {
        Some(say!("setup.order-by-uncertainty"))
    } else {
        Some(say!("setup.order-suited-first"))
    }
}

/// One of them: what to do, and what it will give.
fn set_up(out: &mut String, set_up: &SetUp, unit: LengthUnit, width: usize) {
    let (contacts, instrument) = (&set_up.contacts, &set_up.instrument);
    let pieces = match &set_up.wires {
        Some(wires) => say!(
            "setup.wires-with-contacts",
            wires = wires,
            contacts = contacts,
            instrument = instrument
        ),
        None => say!(
            "setup.contacts-in",
            contacts = contacts,
            instrument = instrument
        ),
    };
    let small = |length: f64| number::effect(to_mm(length, unit), unit);
    let expanded = small(set_up.expanded_uncertainty);
    let judgement = words::word(&set_up.judgement).to_uppercase();
    let headline = match set_up.share_of_tolerance {
        Some(part) => say!(
            "setup.gives-of-tolerance",
            pieces = pieces,
            expanded = expanded,
            taken = number::whole_percent(part),
            judgement = judgement
        ),
        None => say!(
            "setup.gives",
            pieces = pieces,
            expanded = expanded,
            judgement = judgement
        ),
    };
    out.push('\n');
    *out += &indented(&format!("{}. ", set_up.rank), &headline, width);
    // As the display shows it, whatever the unit of the drawing.
    let display = set_up.display_unit;
    let places = if display == LengthUnit::Inch { 5 } else { 4 };
    let shown = |value: f64| match (unit, display) {
        (LengthUnit::Inch, LengthUnit::Millimetre) => value * 25.4,
        (LengthUnit::Millimetre, LengthUnit::Inch) => value / 25.4,
        _ => value,
    };
    let reading = |value: f64| number::length(shown(value), places, display);
    let largest: Vec<_> = set_up
        .largest
        .iter()
        .map(|(name, contribution)| format!("{name} {}", small(*contribution)))
        .collect();
    for detail in [
        say!(
            "setup.zero-on",
            standard = set_up.standard,
            reading = reading(set_up.expected_zero_reading)
        ),
        say!(
            "setup.expected-reading",
            reading = reading(set_up.expected_reading)
        ),
        match set_up.force_newtons {
            Some(force) => say!("setup.force", force = number::given(force)),
            None => say!("setup.no-force").to_owned(),
        },
        say!(
            "setup.largest-lines",
            lines = largest.join("; "),
            repeatability = small(set_up.repeatability)
        ),
    ] {
        *out += &indented("   ", &detail, width);
    }
}

fn refusals(
    out: &mut String,
    title: &str,
    refused: &[Refused],
    most: usize,
    (unit, width): (LengthUnit, usize),
) {
    if refused.is_empty() {
        return;
    }
    let _ = writeln!(out, "\n{title}");
    // Many pairs are refused for the same reason: said once, behind all of them.
    let off: Vec<_> = refused
        .iter()
        .filter_map(|one| Some((&one.id, one.off_thread?)))
        .collect();
    if !off.is_empty() {
        let named = |(id, kind): &(&String, ContactKind)| {
            let kind = words::word(kind);
            say!("setup.pair-of-kind", id = id, kind = kind)
        };
        let mut pairs: Vec<_> = off.iter().take(most).map(named).collect();
        pairs.extend(more(off.len(), most));
        let told = say!("setup.off-thread", pairs = pairs.join(", "));
        *out += &item(&told, width);
    }
    let each = refused.iter().filter(|one| one.off_thread.is_none());
    for one in each.clone().take(most) {
        let by = one
            .error
            .map_or(String::new(), |error| format!(" [{}]", signed(error, unit)));
        *out += &item(&format!("{}{by}: {}", one.id, one.why), width);
    }
    if let Some(more) = more(each.count(), most) {
        *out += &item(&more, width);
    }
}

/// How many are not listed.
fn more(count: usize, most: usize) -> Option<String> {
    (count > most).then(|| say!("setup.more", n = count - most))
}

/// What a wrong choice is off by, with its sign.
fn signed(length: f64, unit: LengthUnit) -> String {
    let decimals = match unit {
        LengthUnit::Inch | LengthUnit::Microinch => 5,
        LengthUnit::Millimetre | LengthUnit::Micrometre => 3,
    };
    number::signed_length(length, decimals, unit)
}
