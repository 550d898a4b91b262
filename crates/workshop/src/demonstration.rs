//! Invented equipment, to try the bench with.

use std::path::Path;

use jiff::{Span, Timestamp};
use ledger::Ledger;
use metrology::inspection::State;

use crate::clock::now;
use crate::error::Error;
use crate::job_file;
use crate::recorder::Recorder;
use crate::register::{self, Equipment, Register, Shelf};
use crate::station;

/// Who recorded it.
pub const PERSON: &str = "demonstration";

/// Puts the equipment of the demonstration jobs into a register that holds nothing else, due some months from today.
///
/// What is missing is added, so that a seeding that was cut short is completed at the next start. A register with a
/// piece of one's own, or a piece that one has changed, is left alone.
pub fn seed(ledger: &Ledger, recorder: &Recorder) -> Result<(), Error> {
    let register = Register::read(ledger)?;
    if register.pieces().iter().any(|piece| piece.person != PERSON) {
        return Ok(());
    }
    let mut missing = pieces(now()?)?;
    missing.retain(|piece| register.find(piece.kind(), piece.id()).is_none());
    register::add(ledger, &missing, recorder, None)?;
    Ok(())
}

/// With pieces that are not fit to use, as every shop has them.
fn pieces(now: Timestamp) -> Result<Vec<Equipment>, Error> {
    let due = |months: i64| {
        station::day(now)
            .checked_add(Span::new().months(months))
            .ok()
    };
    // These jobs describe what they use; nothing is taken from a shelf.
    let shelf = Shelf::empty();
    let mut pieces = Vec::new();
    for text in [
        include_str!("../../../demo/1-rating-screw.toml"),
        include_str!("../../../demo/3-dial-bolt.toml"),
    ] {
        let job = job_file::parse(Path::new("demo"), text, now, &shelf)?;
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
        include_str!("../../../demo/features/equipment.toml"),
        station::day(now),
    )?;
    for piece in listed.pieces {
        let known = |other: &Equipment| other.kind() == piece.kind() && other.id() == piece.id();
        if pieces.iter().any(known) {
            continue;
        }
        // What was overdue stays so.
        let in_date = piece.due().is_some_and(|due| due >= station::day(now));
        pieces.push(if in_date {
            piece.with_due(due(11))
        } else {
            piece
        });
    }
    Ok(pieces)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn recorder(person: &str) -> Recorder {
        Recorder {
            person: person.to_owned(),
            station: "bench".to_owned(),
            program: "test",
            tables: "",
        }
    }

    fn seeded(name: &str, before: usize) -> (Ledger, std::path::PathBuf) {
        let path =
            std::env::temp_dir().join(format!("midflank-seed-{name}-{}.db", std::process::id()));
        let ledger = Ledger::open(&path).unwrap();
        let all = pieces(now().unwrap()).unwrap();
        register::add(&ledger, &all[..before], &recorder(PERSON), None).unwrap();
        seed(&ledger, &recorder(PERSON)).unwrap();
        (ledger, path)
    }

    /// Killed after any of its pieces, the next start completes the register and adds nothing twice.
    #[test]
    fn a_seeding_that_was_cut_short_is_completed() {
        let count = pieces(now().unwrap()).unwrap().len();
        for before in [0, 1, count / 2, count] {
            let (ledger, path) = seeded("short", before);
            for _ in 0..2 {
                seed(&ledger, &recorder(PERSON)).unwrap();
                assert_eq!(Register::read(&ledger).unwrap().pieces().len(), count);
                assert_eq!(ledger.latest(1000).unwrap().len(), count);
            }
            drop(ledger);
            std::fs::remove_file(path).unwrap();
        }
    }

    #[test]
    fn a_register_of_ones_own_is_left_alone() {
        let path =
            std::env::temp_dir().join(format!("midflank-seed-own-{}.db", std::process::id()));
        let ledger = Ledger::open(&path).unwrap();
        let all = pieces(now().unwrap()).unwrap();
        register::add(&ledger, &all[..1], &recorder("A. Quill"), None).unwrap();
        seed(&ledger, &recorder(PERSON)).unwrap();
        assert_eq!(Register::read(&ledger).unwrap().pieces().len(), 1);
        drop(ledger);
        std::fs::remove_file(path).unwrap();
    }
}
