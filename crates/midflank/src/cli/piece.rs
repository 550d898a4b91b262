//! A piece of the register on one line, and what came of handing it over.

use crate::clock;
use crate::failure::Failure;
use crate::register::Equipment;
use crate::{say, station, words};
pub use workshop::equipment_list::Change;

/// Whether its calibration was due before today.
pub fn overdue(equipment: &Equipment) -> Result<bool, Failure> {
    let today = station::day(clock::now()?);
    Ok(equipment.due().is_some_and(|due| due < today))
}

/// A piece on one line: kind, identity, state, due date, what it is.
pub fn one_line(equipment: &Equipment) -> Result<String, Failure> {
    let due = match equipment.due() {
        Some(due) if overdue(equipment)? => say!("register.overdue", due = due),
        Some(due) => say!("register.due", due = due),
        None => say!("register.no-due-date").to_owned(),
    };
    Ok(format!(
        "{:<11} {:<14} {:<11} {due:<18} {}",
        equipment.kind().key(),
        equipment.id(),
        equipment.state().key(),
        words::piece(equipment)
    ))
}
