//! The inspection plan of a drawing revision, from a file, and the job of each of its characteristics.

mod file;
mod line;
mod mistake;
mod read;
mod shape;
mod sheet;
mod split;
mod table;
#[cfg(test)]
mod tests;
mod typed;

pub use crate::inspection_plan::{
    By, Class, Pieces, Plan, PlanError, PlanNote, Planned, Take, Way,
};
pub use file::read;
pub use line::Line;
pub use mistake::Mistake;
pub use read::{of_edition, of_places, parse};
pub use sheet::{HEAD, Known, Read, Sheet, read as read_sheet};
pub use split::{Offered, ThreadPart, split};
pub use table::{has_lengths, needed, parse as parse_table, parse_cells};
pub use typed::{has_own_rule, known, requirement, sheet_of, usual_of};

use metrology::inspection::{Job, Part};
use metrology::message::Value;

use crate::error::Error;
use crate::inspection_plan::RoomLimits;
use crate::job_file::{AtHand, Wanted};
use crate::register::Shelf;

/// The job of a characteristic with a set-up, before anything was read; none where nothing is measured of it.
pub fn job(
    plan: &Plan,
    planned: &Planned,
    at_hand: &AtHand,
    shelf: &Shelf,
) -> Result<Option<Job>, Error> {
    let Some(characteristic) = planned.measured.clone() else {
        return Ok(None);
    };
    let wanted = Wanted {
        characteristic,
        scope: planned.scope,
        part: Part {
            name: plan.part.clone(),
            drawing: Some(plan.drawing()),
            characteristic: Some(planned.number.clone()),
            ..Part::default()
        },
        rule: planned.rule.clone(),
    };
    let mut job = at_hand.job(wanted, shelf)?;
    job.notes.extend(planned.rule_agreed().map(Value::said));
    job.notes
        .extend(plan.room.iter().flat_map(RoomLimits::notes));
    Ok(Some(job))
}
