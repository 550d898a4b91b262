//! Wires and balls: the exact contact against equations solved in 40 digits, and Acme threads against print.

use std::f64::consts::PI;

use super::{Comparison, half_digit, number, rows};
use crate::units::Angle;
use crate::wires::{Arrangement, Groove, Side, pitch_line_wire_mm, reading_from_size};

/// The reading over three wires, and the distance of the centres of two balls, mm.
pub(super) fn contact() -> Vec<Comparison> {
    let wires = of_file(
        include_str!("cases/wire_exact_contact.csv"),
        Side::External,
        Arrangement::OverWires,
        // The last digits of a double.
        1e-13,
    );
    let balls = of_file(
        include_str!("cases/two_balls_exact_contact.csv"),
        Side::Internal,
        Arrangement::BallCentres,
        // Ten decimals are given.
        6e-11,
    );
    wires.into_iter().chain(balls).collect()
}

fn of_file(
    text: &'static str,
    side: Side,
    arrangement: Arrangement,
    allowed: f64,
) -> Vec<Comparison> {
    let compare = |row: csv::StringRecord| {
        let column = |index| number(&row, index);
        let (form, pitch, lead) = (column(0)?, column(1)?, column(2)?);
        let (size, wire) = (column(3)?, column(4)?);
        let groove = Groove::symmetric(side, Angle::from_degrees(form), pitch, lead);
        let found = reading_from_size(&groove, arrangement, size, wire).ok();
        Some(Comparison::of_numbers(
            format!("{form} deg, P {pitch}, d2 {size}, {wire}"),
            column(5),
            found.map(|found| found.reading_mm),
            allowed,
        ))
    };
    rows(text).filter_map(compare).collect()
}

/// Machinery's Handbook, 31st ed., pp. 2135 and 2136: axial pitch 1 in, and Acme 5 in with P 0.5 in and two starts.
pub(super) fn acme() -> Vec<Comparison> {
    let mut all = Vec::new();
    for row in rows(include_str!("cases/acme_large_lead.csv")) {
        let (Some(lead_angle), Some(starts)) = (number(&row, 0), number(&row, 1)) else {
            continue;
        };
        let groove = acme_groove(1.0, starts);
        let size = starts / (PI * libm::tan(lead_angle.to_radians()));
        let wire = pitch_line_wire_mm(&groove, size).ok();
        let reading = wire
            .and_then(|wire| reading_from_size(&groove, Arrangement::OverWires, size, wire).ok());
        let case = |what: &str| format!("{lead_angle} deg, {starts} starts, {what}");
        // The table was worked with rounded steps: two of its last digit.
        all.push(Comparison::of_numbers(
            case("wire"),
            number(&row, 2),
            wire,
            2.1e-5,
        ));
        all.push(Comparison::of_numbers(
            case("reading"),
            number(&row, 3),
            reading.map(|reading| reading.reading_mm - size),
            2.1e-5,
        ));
    }
    let size = 4.75 - (0.25 - 0.2454) / libm::tan(14.5_f64.to_radians());
    let found = reading_from_size(&acme_groove(0.5, 1.0), Arrangement::OverWires, size, 0.258);
    all.push(Comparison::of_numbers(
        "5-2 ACME, 2 starts, reading".to_owned(),
        Some(5.056),
        found.ok().map(|found| found.reading_mm),
        half_digit("5.056"),
    ));
    all
}

/// In inches, as printed: geometry knows no unit.
fn acme_groove(pitch: f64, lead: f64) -> Groove {
    Groove::symmetric(Side::External, Angle::from_degrees(29.0), pitch, lead)
}
