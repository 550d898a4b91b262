//! A set-up on a card for the bench: what to take, what the display shows on the standard and at the limits, and how well it
//! will measure.

use jiff::Timestamp;
use metrology::units::LengthUnit;
use paper::{Attached, Block, Column, Table, Words};

use super::Printing;
use super::frame::{Format, Framed, fact, soft};
use crate::document::{SetUp, SetUpDocument, to_mm};
use crate::failure::Failure;
use crate::letterhead::Letterhead;
use crate::report::range;
use crate::say;
use crate::words::{self, number};

/// The PDF, dated with this moment.
pub fn pdf(
    document: &SetUpDocument,
    set_up: &SetUp,
    letterhead: &Letterhead,
    at: Timestamp,
) -> Result<Vec<u8>, Failure> {
    let title = say!("set-up-card.title", what = document.characteristic);
    let framed = Framed {
        attached: vec![Attached {
            name: "setup.json".to_owned(),
            media_type: "application/json".to_owned(),
            description: say!("set-up-card.attached").to_owned(),
            bytes: serde_json::to_vec(document).map_err(Failure::outside)?,
        }],
        ..Framed::dated(Format::Card, title, &document.characteristic, at)
    };
    framed.pdf(
        letterhead,
        &Printing::default(),
        blocks(document, set_up, at),
    )
}

fn blocks(document: &SetUpDocument, set_up: &SetUp, at: Timestamp) -> Vec<Block> {
    let (unit, display) = (document.unit, set_up.display_unit);
    let decimals = usize::try_from(document.decimals).unwrap_or(4);
    let limit = |limit: Option<f64>| limit.map(|limit| number::fixed(limit, decimals));
    let limits = range(limit(document.limits.min), limit(document.limits.max));
    let mut facts = vec![
        fact(
            say!("set-up-card.micrometer"),
            Words::strong(set_up.instrument.clone()),
        ),
        fact(
            say!("set-up-card.contacts"),
            Words::strong(set_up.contacts.clone()),
        ),
    ];
    let wires = set_up.wires.as_ref();
    facts.extend(wires.map(|wires| fact(say!("set-up-card.wires"), Words::strong(wires.clone()))));
    facts.push(fact(
        say!("set-up-card.standard"),
        Words::strong(set_up.standard.clone()),
    ));
    facts.push(fact(
        say!("report.verdict-limits"),
        format!("{limits} {unit}"),
    ));
    facts.push(fact(say!("set-up-card.made"), number::time(at)));
    let shown = |value: f64| {
        let known = set_up
            .display_decimals
            .and_then(|known| known.try_into().ok());
        let places = known.unwrap_or(if display == LengthUnit::Inch { 5 } else { 4 });
        let value = match (unit, display) {
            (LengthUnit::Inch, LengthUnit::Millimetre) => value * 25.4,
            (LengthUnit::Millimetre, LengthUnit::Inch) => value / 25.4,
            _ => value,
        };
        number::fixed(value, places)
    };
    let mut table = Table::new(vec![
        Column::text(say!("set-up-card.display-in", unit = display)),
        Column::number(say!("set-up-card.shows")),
    ]);
    let rows = [
        (
            say!("set-up-card.on-standard"),
            Some(set_up.expected_zero_reading),
        ),
        (say!("set-up-card.at-lower"), set_up.expected_at_limits.min),
        (say!("set-up-card.at-middle"), Some(set_up.expected_reading)),
        (say!("set-up-card.at-upper"), set_up.expected_at_limits.max),
    ];
    for (name, value) in rows {
        if let Some(value) = value {
            table
                .rows
                .push(vec![name.into(), Words::strong(shown(value))]);
        }
    }
    let expanded = number::effect(to_mm(set_up.expanded_uncertainty, unit), unit);
    let judgement = words::word(&set_up.judgement);
    let told = match set_up.share_of_tolerance {
        Some(part) => say!(
            "set-up-card.gives",
            expanded = expanded,
            taken = number::whole_percent(part),
            judgement = judgement
        ),
        None => say!(
            "set-up-card.gives-alone",
            expanded = expanded,
            judgement = judgement
        ),
    };
    let mut blocks = vec![
        Block::Title(document.characteristic.clone()),
        Block::Facts(3, facts),
        Block::Columns(vec![
            (0.52, vec![Block::Table(table)]),
            (
                0.48,
                vec![
                    soft(told),
                    soft(say!("setup.readings", n = document.readings)),
                    soft(document.places.clone()),
                ],
            ),
        ]),
    ];
    if let Some(force) = set_up.force_newtons {
        blocks.push(soft(say!("setup.force", force = number::given(force))));
    }
    blocks.push(soft(say!("set-up-card.caution")));
    blocks
}
