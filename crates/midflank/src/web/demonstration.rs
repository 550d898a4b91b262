//! Invented equipment, to try the bench with.

use std::path::Path;

use jiff::{Span, Timestamp};
use ledger::Ledger;
use metrology::inspection::State;

use crate::bench::fit::today;
use crate::cli::{Failure, now};
use crate::job_file;
use crate::register::{self, Equipment, Register, Shelf};

/// Puts the equipment of the demonstration jobs into a register that is empty, due some months from today.
pub fn seed(ledger: &Ledger) -> Result<(), Failure> {
    if Register::read(ledger)?.pieces().is_empty() {
        register::add(ledger, &pieces(now()?)?, "demonstration", None)?;
    }
    Ok(())
}

/// With pieces that are not fit to use, as every shop has them.
fn pieces(now: Timestamp) -> Result<Vec<Equipment>, Failure> {
    let due = |months: i64| today(now).checked_add(Span::new().months(months)).ok();
    // These jobs describe what they use; nothing is taken from a shelf.
    let shelf = Shelf::beside(None);
    let mut pieces = Vec::new();
    for text in [
        include_str!("../../../../demo/1-rating-screw.toml"),
        include_str!("../../../../demo/3-dial-bolt.toml"),
    ] {
        let job =
            job_file::parse(Path::new("demo"), text, now, &shelf).map_err(Failure::outside)?;
        let (mut instrument, mut standard) = (job.instrument, job.standard);
        (instrument.due, standard.due) = (due(10), due(12));
        let mut late = instrument.clone();
        late.id += "-old";
        late.due = due(-1);
        let mut other_angle = job.contacts.clone();
        other_angle.id = other_angle.id.replace("60", "55");
        other_angle.included_angle = Some(55.0);
        let mut dropped = standard.clone();
        dropped.id += "-b";
        dropped.state = State::Quarantined;
        pieces.extend([
            Equipment::Instrument(instrument),
            Equipment::Instrument(late),
            Equipment::Contacts(job.contacts),
            Equipment::Contacts(other_angle),
            Equipment::Standard(standard),
            Equipment::Standard(dropped),
        ]);
    }
    let listed = job_file::parse_equipment(
        Path::new("demo"),
        include_str!("../../../../demo/features/equipment.toml"),
    );
    for piece in listed.map_err(Failure::outside)?.pieces {
        let known = |other: &Equipment| other.kind() == piece.kind() && other.id() == piece.id();
        if pieces.iter().any(known) {
            continue;
        }
        // What was overdue stays so.
        let in_date = piece.due().is_some_and(|due| due >= today(now));
        pieces.push(if in_date {
            piece.with_due(due(11))
        } else {
            piece
        });
    }
    Ok(pieces)
}
