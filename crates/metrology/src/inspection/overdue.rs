//! Approvals of a laboratory that do not hold for a job: their review is overdue, or they were found at something else.

use super::Outcome;
use super::approval::NotFoundAt;
use super::job::Job;
use super::own::{COMPARED_AT, Decides, by_certificate};
use super::warning::Warning;

/// Approved values whose review is overdue, where a line of the budget now has the program's.
pub fn defaults(job: &Job, outcome: &Outcome) -> Vec<Warning> {
    let used = job.measured_on;
    job.approved
        .iter()
        .filter(|approved| approved.approval.is_overdue(used) && outcome.took(approved.what))
        .map(|approved| Warning::ApprovalOverdue {
            what: approved.what,
            person: approved.approval.person.clone(),
            due: approved.approval.review_due,
            used,
        })
        .collect()
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

/// That an approved uncertainty, which does not decide, is less than one certificate alone; both at k = 2.
fn less_than_certified(outcome: &Outcome, over_wires: bool) -> Option<NotFoundAt> {
    let own = outcome.own.filter(|own| own.decides != Decides::Approved)?;
    let lines = outcome.budget.iter();
    let lines = lines.map(|line| (line.quantity, line.line.contribution));
    let (quantity, certified) = by_certificate(lines, over_wires)?;
    let own = own.laboratory.standard_uncertainty;
    (own < certified).then_some(NotFoundAt::Certificate {
        own: COMPARED_AT * own,
        certified: COMPARED_AT * certified,
        quantity,
    })
}

/// That an approval that counts otherwise does not hold for this job, with the first of these sizes that it fails at.
pub fn own_not_found_at<'a>(
    job: &Job,
    outcomes: impl IntoIterator<Item = &'a Outcome>,
) -> Option<Warning> {
    let own = job.prior.own.as_ref()?;
    let approval = own.approval.as_ref()?;
    if !approval.counts(job.measured_on) {
        return None;
    }
    let over_wires = job.wires.is_some();
    let why = outcomes.into_iter().find_map(|outcome| {
        own.not_found_at(job.temperature.as_ref(), outcome.size.value)
            .or_else(|| less_than_certified(outcome, over_wires))
    })?;
    Some(Warning::OwnNotHeld {
        person: approval.person.clone(),
        why,
    })
}
