//! A piece of the register on one line, and what came of handing it over.

use jiff::civil::Date;
use workshop::gauge_record::status::Status;

use super::day::today;
use crate::failure::Failure;
use crate::register::{Equipment, Registered, Standing};
use crate::{say, words};
pub use workshop::equipment_list::Change;

/// How a piece stands today.
pub fn standing(piece: &Registered) -> Result<Standing, Failure> {
    Ok(piece.standing(today()?))
}

/// Whether its calibration was due before today.
pub fn overdue(due: Option<Date>) -> Result<bool, Failure> {
    let today = today()?;
    Ok(due.is_some_and(|due| due < today))
}

/// Whether it may be used, as far as that is not a matter of its due date.
fn state(standing: &Standing) -> String {
    match standing.status {
        Status::DueSoon | Status::Overdue | Status::Extended => words::word(&Status::InUse),
        other => words::word(&other),
    }
}

/// A piece of the register on one line: kind, identity, state, due date, what it is, what it may be used for, who has it.
pub fn one_line(piece: &Registered) -> Result<String, Failure> {
    let standing = standing(piece)?;
    let due = match (standing.due, &standing.extension) {
        (Some(due), Some(extension)) => {
            say!("register.extended", due = due, until = extension.until)
        }
        (due, _) => due_line(due)?,
    };
    let mut line = line(&piece.equipment, &state(&standing), &due);
    if !standing.limited_to.is_empty() {
        let what = words::list(standing.limited_to);
        line = format!("{line}; {}", say!("register.limited-to", what = what));
    }
    if let Some(holder) = standing.holder {
        line = format!("{line}; {}", say!("register.held-by", holder = holder));
    }
    Ok(line)
}

/// A piece as a list that is read in has it.
pub fn described(equipment: &Equipment) -> Result<String, Failure> {
    let due = due_line(equipment.due())?;
    Ok(line(equipment, &words::word(&equipment.state()), &due))
}

fn due_line(due: Option<Date>) -> Result<String, Failure> {
    Ok(match due {
        Some(due) if overdue(Some(due))? => say!("register.overdue", due = due),
        Some(due) => say!("register.due", due = due),
        None => say!("register.no-due-date").to_owned(),
    })
}

fn line(equipment: &Equipment, state: &str, due: &str) -> String {
    format!(
        "{:<11} {:<14} {state:<11} {due:<18} {}",
        equipment.kind().key(),
        equipment.id(),
        words::piece(equipment)
    )
}
