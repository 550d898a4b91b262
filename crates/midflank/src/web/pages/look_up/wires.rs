//! Wires or balls for a thread: which, and what stands over them at the limits.

use maud::{Markup, html};
use metrology::units::LengthUnit;
use metrology::wires::Side;

use super::{more, notes};
use crate::document::{Wires, from_mm};
use crate::failure::Failure;
use crate::look_up::wires;
use crate::report::fine_decimals;
use crate::report::wires::{Ball, Wire, fine_length, line};
use crate::say;
use crate::words::{self, number};

pub fn of(text: &str) -> Result<Markup, Failure> {
    let (wires, side) = wires::best_for(text)?;
    let name = |wire, ball| line(side, wire, ball);
    let mut rows = vec![(name(Wire::Best, Ball::Best), wires.best)];
    if let Some((smallest, largest)) = wires.limits_to_keep() {
        let over = name(Wire::Over, Ball::Over);
        rows.push((say!("page.over-minimum", over = over), smallest));
        rows.push((say!("page.over-maximum", over = over), largest));
    }
    if let Some((smallest, largest)) = wires.usable {
        rows.push((name(Wire::Smallest, Ball::Smallest), smallest));
        rows.push((name(Wire::Largest, Ball::Largest), largest));
    }
    Ok(html! {
        h2 { (wires.designation.as_deref().unwrap_or_default()) " " span class="soft" { (say!("page.over-wires")) } }
        (lengths(&rows, wires.unit))
        (more(&html! { (lengths(&in_between(&wires, side), wires.unit)) (leaning(&wires, side)) (formulas(&wires)) (notes(&wires.notes)) }))
    })
}

/// Lengths in both units.
fn lengths(rows: &[(String, f64)], own: LengthUnit) -> Markup {
    html! {
        table aria-label=(say!("page.over-wires")) {
            thead { tr {
                th scope="col" {} @for unit in [own, own.other()] { th scope="col" class="number" { (unit) } }
            } }
            tbody {
                @for (name, mm) in rows {
                    tr {
                        th scope="row" { (name) }
                        @for unit in [own, own.other()] { td class="number" { (fine_length(*mm, unit)) } }
                    }
                }
            }
        }
    }
}

/// What lies between the wire and the reading.
fn in_between(wires: &Wires, side: Side) -> Vec<(String, f64)> {
    let reading = &wires.reading;
    let mut rows = vec![
        (
            say!("wires.pitch-diameter").to_owned(),
            reading.pitch_diameter_mm,
        ),
        (line(side, Wire::Reading, Ball::Reading), reading.reading_mm),
        (
            say!("wires.for-lead").to_owned(),
            reading.lead_correction_mm,
        ),
        (
            say!("wires.touches").to_owned(),
            2.0 * reading.seat.upper.radius_mm,
        ),
    ];
    if let Some((_, straight)) = wires.straight {
        rows.push((say!("wires.straight").to_owned(), straight));
    }
    if let Some((_, correction)) = wires.plane {
        rows.push((say!("wires.for-taper").to_owned(), correction));
    }
    rows
}

/// The angles: of the lead, and by which a wire leans; a ball has no direction to lean to.
fn leaning(wires: &Wires, side: Side) -> Markup {
    let degrees = |degrees: f64| number::fixed_degrees(degrees, 4);
    let reading = &wires.reading;
    html! {
        p class="soft" {
            (say!("wires.lead-angle")) " " (degrees(reading.lead_angle.degrees()))
            @if side == Side::External { ", " (words::word(&Wire::Leans)) " " (degrees(reading.seat.inclination.degrees())) }
        }
    }
}

/// What published formulas would give.
fn formulas(wires: &Wires) -> Markup {
    let unit = wires.unit;
    let places = fine_decimals(unit);
    html! {
        @if !wires.comparison.is_empty() {
            table aria-label=(say!("wires.formulas")) {
                thead { tr { th scope="col" { (say!("wires.formulas")) } th scope="col" class="number" { "M, " (unit) } th scope="col" class="number" { (say!("wires.less-exact")) } } }
                tbody {
                    @for row in &wires.comparison {
                        tr {
                            th scope="row" { (words::word(&row.formula)) }
                            td class="number" { (number::fixed(from_mm(row.reading_mm, unit), places)) }
                            td class="number" { (number::signed(from_mm(row.difference_mm, unit), places)) }
                        }
                    }
                }
            }
        }
    }
}
