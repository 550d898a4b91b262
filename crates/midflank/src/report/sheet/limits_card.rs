//! The limits of a thread on a card for the machine or the bench, in both units.

use jiff::Timestamp;
use metrology::limits::{Limits, ThreadLimits};
use metrology::units::LengthUnit;
use paper::{Attached, Block, Column, Table, Words};

use super::Printing;
use super::frame::{Format, Framed, soft};
use crate::document::write_thread;
use crate::failure::Failure;
use crate::letterhead::Letterhead;
use crate::report::limits::{assumed, text, weakness};
use crate::say;
use crate::words::{self, number};

/// The PDF, dated with this moment; none of a taper thread, whose diameters hang on where they are taken.
pub fn pdf(
    thread: &ThreadLimits,
    letterhead: &Letterhead,
    at: Timestamp,
) -> Result<Option<Vec<u8>>, Failure> {
    if thread.taper.is_some() {
        return Ok(None);
    }
    let title = say!("paper-card.limits", designation = thread.designation);
    let mut data = Vec::new();
    write_thread(thread, None, &mut data);
    let framed = Framed {
        attached: vec![Attached {
            name: "limits.json".to_owned(),
            media_type: "application/json".to_owned(),
            description: say!("paper-card.attached").to_owned(),
            bytes: data,
        }],
        ..Framed::dated(Format::Card, title, &thread.designation, at)
    };
    framed
        .pdf(letterhead, &Printing::default(), blocks(thread))
        .map(Some)
}

fn blocks(thread: &ThreadLimits) -> Vec<Block> {
    let sources = thread.sources.iter().map(|source| words::source(*source));
    let sources: Vec<&str> = sources.collect();
    let mut notes = vec![say!("limits-table.by", sources = sources.join(", "))];
    notes.extend(assumed(&thread.assumed));
    notes.extend(weakness(thread.confidence));
    notes.extend(words::all_said(&thread.notes));
    let mut blocks = vec![
        Block::Title(thread.designation.clone()),
        Block::Table(diameters(thread)),
    ];
    blocks.extend(notes.into_iter().map(soft));
    blocks
}

fn diameters(thread: &ThreadLimits) -> Table {
    let own = thread.unit;
    let mut columns = vec![Column::text(say!("limits.diameter"))];
    for unit in [own, own.other()] {
        columns.push(Column::number(say!("limits.least-in", unit = unit)));
        columns.push(Column::number(say!("limits.most-in", unit = unit)));
    }
    columns.push(Column::number(say!("limits.tolerance-in", unit = own)));
    let mut table = Table::new(columns);
    for (name, limits) in [
        (say!("limits.major"), thread.major),
        (say!("limits.pitch"), thread.pitch_diameter),
        (say!("limits.minor"), thread.minor),
    ] {
        table.rows.push(row(name, limits, own));
    }
    table
}

fn row(name: &str, limits: Limits, own: LengthUnit) -> Vec<Words> {
    let mut row = vec![Words::strong(name)];
    for unit in [own, own.other()] {
        row.push(text(limits.lower, unit, own).into());
        row.push(text(limits.upper, unit, own).into());
    }
    let tolerance = limits.tolerance();
    let decimals = crate::report::limits::decimals(own, own);
    row.push(
        tolerance
            .map_or_else(String::new, |one| number::rounded(one, own, decimals))
            .into(),
    );
    row
}
