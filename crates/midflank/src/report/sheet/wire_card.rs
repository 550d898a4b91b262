//! Wires for a thread on a card: best size, what may be used, and what the micrometer reads over them at the limits.

use jiff::Timestamp;
use metrology::wires::Side;
use paper::{Attached, Block, Column, Table, Words};

use super::Printing;
use super::frame::{Format, Framed, soft};
use crate::document::{Wires, WiresDocument};
use crate::failure::Failure;
use crate::letterhead::Letterhead;
use crate::report::wires::{Ball, Wire, fine_length, line};
use crate::say;
use crate::words::number;

/// The PDF, dated with this moment.
pub fn pdf(
    wires: &Wires,
    side: Side,
    letterhead: &Letterhead,
    at: Timestamp,
) -> Result<Vec<u8>, Failure> {
    let name = name(wires);
    let framed = Framed {
        attached: vec![Attached {
            name: "wires.json".to_owned(),
            media_type: "application/json".to_owned(),
            description: say!("wire-card.attached").to_owned(),
            bytes: serde_json::to_vec(&WiresDocument::of(wires)).map_err(Failure::outside)?,
        }],
        ..Framed::dated(
            Format::Card,
            say!("wire-card.title", designation = name),
            &name,
            at,
        )
    };
    framed.pdf(letterhead, &Printing::default(), blocks(wires, side, at))
}

fn name(wires: &Wires) -> String {
    let by_geometry = || say!("wires.by-geometry").to_owned();
    wires.designation.clone().unwrap_or_else(by_geometry)
}

fn blocks(wires: &Wires, side: Side, at: Timestamp) -> Vec<Block> {
    let (own, other) = (wires.unit, wires.unit.other());
    let mut table = Table::new(vec![
        Column::text(""),
        Column::number(own.to_string()),
        Column::number(other.to_string()),
    ]);
    let mut row = |name: String, mm: f64, strong: bool| {
        let length = |unit: metrology::units::LengthUnit| {
            let told = fine_length(mm, unit);
            let digits = told.trim_end_matches(&unit.to_string()).trim_end();
            digits.to_owned()
        };
        table.rows.push(vec![
            name.into(),
            if strong {
                Words::strong(length(own))
            } else {
                length(own).into()
            },
            length(other).into(),
        ]);
    };
    row(line(side, Wire::Best, Ball::Best), wires.best, true);
    if let Some((smallest, largest)) = wires.usable {
        row(line(side, Wire::Smallest, Ball::Smallest), smallest, true);
        row(line(side, Wire::Largest, Ball::Largest), largest, true);
    }
    row(
        line(side, Wire::Taken, Ball::Taken),
        wires.reading.seat.wire_diameter_mm,
        true,
    );
    if let Some((least, most)) = wires.limits_to_keep() {
        let over = line(side, Wire::Over, Ball::Over);
        row(say!("wire-card.at-lower", over = over), least, true);
        row(say!("wire-card.at-upper", over = over), most, true);
    }
    // At the basic pitch diameter it may lie outside the limits, and is not what to measure up to.
    let reading = wires.reading.reading_mm;
    let name_of_reading = line(side, Wire::Reading, Ball::Reading);
    row(name_of_reading, reading, wires.limits_to_keep().is_none());
    let mut blocks = vec![Block::Title(name(wires)), Block::Table(table)];
    blocks.extend(wires.notes.iter().cloned().map(soft));
    blocks.push(soft(match wires.elastic_correction {
        Some(_) => say!("wire-card.with-force"),
        None => say!("wire-card.without-force"),
    }));
    blocks.push(soft(say!("wire-card.made", when = number::time(at))));
    blocks
}
