//! What a budget rests on beside the job.

use jiff::civil::Date;

use super::Outcome;
use super::approval::DefaultName;
use super::job::Job;
use super::note::{FORM_HISTORY, STUDY};
use crate::message::{Message, Value};

crate::messages! {
    /// What a budget rests on beside the job: what others have answered for or measured before.
    pub enum RestsOn "rests-on" {
        /// An approved value in the place of a default.
        Approved "approved" {
            what: DefaultName as code, value: Value as itself, person: String as Text, on: Date as Date, due: Date as Date,
            evidence: String as Text,
        },
        /// An approved study of the set-up.
        Study "study" {
            study: String as Text, repeatability: f64 as Difference, operators: f64 as Difference, person: String as Text,
            on: Date as Date, due: Date as Date, evidence: String as Text,
        },
        /// Earlier records of the part, by their names, which show its form.
        FormRecords "form-records" { records: Vec<String> as texts },
    }
}

/// What a budget rests on, in the order of its lines.
pub fn rests_on(job: &Job, outcome: &Outcome) -> Vec<RestsOn> {
    let mut all = Vec::new();
    let by_study = |note: &Message| note.code == STUDY;
    let mut notes = outcome.budget.iter().filter_map(|line| line.note.as_ref());
    if let Some(study) = job.prior.study.as_ref().filter(|_| notes.any(by_study)) {
        let operators = study.reproducibility.as_ref();
        all.push(RestsOn::Study {
            study: study.study.clone(),
            repeatability: study.repeatability.value().mm(),
            operators: operators.map_or(0.0, |(value, _)| value.value().mm()),
            person: study.approval.person.clone(),
            on: study.approval.on,
            due: study.approval.review_due,
            evidence: study.approval.evidence.clone(),
        });
    }
    for line in &outcome.budget {
        for name in &line.defaults {
            if let Some(approved) = job.usual(*name).approved() {
                all.push(RestsOn::Approved {
                    what: approved.what,
                    value: approved.shown(),
                    person: approved.approval.person.clone(),
                    on: approved.approval.on,
                    due: approved.approval.review_due,
                    evidence: approved.approval.evidence.clone(),
                });
            }
        }
        let by_history = line
            .note
            .as_ref()
            .is_some_and(|note| note.code == FORM_HISTORY);
        if let Some(history) = job.prior.form_history.as_ref().filter(|_| by_history) {
            all.push(RestsOn::FormRecords {
                records: history.records.clone(),
            });
        }
    }
    all
}
