//! The register, as far as the bench needs it: entries of kind `equipment`, the latest standing one of each identity.

use std::collections::BTreeSet;
use std::path::Path;

use jiff::{Span, Timestamp};
use ledger::{Draft, Filter, Ledger, Order, Page, Subject};

use crate::bench::Piece;
use crate::bench::fit::today;
use crate::bench::piece::Equipment;
use crate::cli::{Failure, now};
use crate::job_file;
use crate::record::{EQUIPMENT, PROGRAM};

/// The subject that every entry of the register touches.
const REGISTER: (&str, &str) = ("register", "equipment");

/// Every piece, by kind and identity.
pub fn read(ledger: &Ledger) -> Result<Vec<Piece>, Failure> {
    let filter = Filter {
        kind: Some(EQUIPMENT.to_owned()),
        standing: true,
        ..Filter::touching(REGISTER.0, REGISTER.1)
    };
    let mut pieces: Vec<Piece> = Vec::new();
    let mut page = Some(Page::first(Order::NewestFirst, 1000));
    while let Some(next) = page {
        let listing = ledger.list(&filter, &next)?;
        for entry in &listing.entries {
            // What a later program registers and this one does not know (wires, balls) is not for this bench.
            let Some(piece) = piece(&entry.content.inputs) else {
                continue;
            };
            if !pieces.iter().any(|known| same(known, &piece)) {
                pieces.push(piece);
            }
        }
        page = listing.next;
    }
    pieces.sort_by(|a, b| a.id().cmp(b.id()));
    Ok(pieces)
}

fn same(one: &Piece, other: &Piece) -> bool {
    one.id() == other.id()
        && std::mem::discriminant(&one.equipment) == std::mem::discriminant(&other.equipment)
}

/// A piece from the text of its entry; its state stands beside what a job knows of it.
fn piece(text: &str) -> Option<Piece> {
    let mut value: serde_json::Value = serde_json::from_str(text).ok()?;
    let state = value
        .get_mut("item")?
        .as_object_mut()?
        .remove("state")
        .and_then(|state| state.as_str().map(str::to_owned));
    Some(Piece {
        equipment: serde_json::from_value(value).ok()?,
        out_of_use: state.filter(|state| state != "active"),
    })
}

/// Puts the invented equipment of the demonstration into a ledger that has none, due a year from today.
pub fn seed(ledger: &Ledger) -> Result<(), Failure> {
    if !read(ledger)?.is_empty() {
        return Ok(());
    }
    let now = now();
    for piece in demonstration(now)? {
        ledger.append(&draft(&piece, now)?)?;
    }
    Ok(())
}

/// The equipment of the demonstration jobs, with pieces that are not fit to use, as every shop has them.
fn demonstration(now: Timestamp) -> Result<Vec<Piece>, Failure> {
    let due = |months: i64| today(now).checked_add(Span::new().months(months)).ok();
    let mut pieces: Vec<Piece> = Vec::new();
    for text in [
        include_str!("../../../../demo/1-rating-screw.toml"),
        include_str!("../../../../demo/3-dial-bolt.toml"),
    ] {
        let job = job_file::parse(Path::new("demo"), text, now).map_err(Failure::outside)?;
        let (mut instrument, mut standard) = (job.instrument, job.standard);
        (instrument.due, standard.due) = (due(10), due(12));
        let active = |equipment| Piece {
            equipment,
            out_of_use: None,
        };
        let mut late = instrument.clone();
        late.id += "-old";
        late.due = due(-1);
        let mut other_angle = job.contacts.clone();
        other_angle.id = other_angle.id.replace("60", "55");
        other_angle.included_angle = Some(55.0);
        let mut dropped = standard.clone();
        dropped.id += "-b";
        pieces.extend([
            active(Equipment::Instrument(instrument)),
            active(Equipment::Instrument(late)),
            active(Equipment::Contacts(job.contacts)),
            active(Equipment::Contacts(other_angle)),
            active(Equipment::Standard(standard)),
            Piece {
                equipment: Equipment::Standard(dropped),
                out_of_use: Some("quarantined".to_owned()),
            },
        ]);
    }
    Ok(pieces)
}

fn draft(piece: &Piece, now: Timestamp) -> Result<Draft, Failure> {
    let mut value = serde_json::to_value(&piece.equipment).map_err(Failure::outside)?;
    if let (Some(state), Some(item)) = (
        &piece.out_of_use,
        value.get_mut("item").and_then(|item| item.as_object_mut()),
    ) {
        item.insert("state".to_owned(), state.clone().into());
    }
    let kind = match piece.equipment {
        Equipment::Instrument(_) => "instrument",
        Equipment::Contacts(_) => "contacts",
        Equipment::Standard(_) => "standard",
    };
    Ok(Draft {
        kind: EQUIPMENT.to_owned(),
        recorded_at: now,
        person: "demonstration".to_owned(),
        inputs: serde_json::to_string(&value).map_err(Failure::outside)?,
        results: "{}".to_owned(),
        editions: "{}".to_owned(),
        program: PROGRAM.to_owned(),
        amends: None,
        subjects: BTreeSet::from([
            Subject::new(REGISTER.0, REGISTER.1),
            Subject::new(kind, piece.id()),
            Subject::new("state", piece.out_of_use.as_deref().unwrap_or("active")),
        ]),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_demonstration_reads_back() {
        let now = "2026-03-09T09:00:00Z".parse().unwrap();
        for written in demonstration(now).unwrap() {
            let text = draft(&written, now).unwrap().inputs;
            assert_eq!(piece(&text), Some(written), "{text}");
        }
    }
}
