//! Approvals of a laboratory whose review is overdue.

use super::approval::DefaultName;
use super::job::{Job, Made};
use super::warning::Warning;
use super::{Outcome, contact_inputs};

/// Approved values whose review is overdue, where the line that they are about now has the program's.
pub fn defaults(job: &Job, outcome: &Outcome) -> Vec<Warning> {
    let used = job.measured_on;
    let taken = |name: DefaultName| {
        let mut notes = outcome.budget.iter().filter_map(|line| line.note.as_ref());
        notes.any(|note| note.code() == name.note()) && !of_another_making(name, job)
    };
    job.approved
        .iter()
        .filter(|approved| approved.approval.is_overdue(used) && taken(approved.what))
        .map(|approved| Warning::ApprovalOverdue {
            what: approved.what,
            person: approved.approval.person.clone(),
            due: approved.approval.review_due,
            used,
        })
        .collect()
}

/// Whether a default is of threads that are made otherwise.
fn of_another_making(name: DefaultName, job: &Job) -> bool {
    let made = contact_inputs::made(job);
    match name {
        DefaultName::FlankAngleGround | DefaultName::PitchErrorGround => made != Made::Ground,
        DefaultName::FlankAngleRolled => made != Made::Rolled,
        DefaultName::FlankAngleCut => made != Made::Cut,
        DefaultName::PitchError => made == Made::Ground,
        _ => false,
    }
}

/// That the review of the laboratory's uncertainty is overdue.
pub fn own(job: &Job) -> Option<Warning> {
    let approval = job.prior.own.as_ref()?.approval.as_ref()?;
    let used = job.measured_on;
    approval.is_overdue(used).then(|| Warning::OwnOverdue {
        person: approval.person.clone(),
        due: approval.review_due,
        used,
    })
}
