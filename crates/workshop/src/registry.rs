//! The registry of record kinds: of each, the schema numbers of its documents, how it is computed again from them,
//! and what is known of it beside the record.
//!
//! A kind joins as a variant of [`RecordKind`] and a row here; how it is shown is the program's.

use std::collections::BTreeSet;

use ledger::{Computed, Difference, Draft, Entry, Facts, NotComputed, Recomputed, Subject};
use metrology::inspection::Job;
use metrology::method;

use crate::approving::Approving;
use crate::badge::Badge;
use crate::document::Inspected;
use crate::document::validated::Validated;
use crate::equipment::Equipment;
use crate::facts;
use crate::first_article::FirstArticle;
use crate::gauge_record::calibrated::CalibratedDocument;
use crate::gauge_record::calibration::Worked;
use crate::gauge_record::case::Case;
use crate::gauge_record::certificate::Certified;
use crate::gauge_record::check::{Check, Room};
use crate::gauge_record::status::Change;
use crate::gauge_record::study::Study;
use crate::inspection_plan::{Pieces, Plan};
use crate::kept::{self, Keep as _, Unreadable};
use crate::lot_entry::{Found, LotBegun, ZeroCheck};
use crate::nonconformance::Decision;
use crate::record::{bench_job, number_of_method, subjects, validation_subjects};
use crate::record_kind::RecordKind;
use crate::tables::{Build, Tables};
use crate::trial::Trial;

/// What is known of a kind of records.
#[derive(Clone, Copy, Debug)]
pub struct Row {
    pub kind: RecordKind,
    /// The schema of its inputs; none where an entry has none.
    pub inputs: Option<u32>,
    /// The schema of its results.
    pub results: Option<u32>,
    /// Computes an entry again.
    again: fn(&Entry) -> Result<Computed, Unreadable>,
    /// What is known of it beside the record.
    facts: fn(&Draft) -> Result<Facts, Unreadable>,
}

pub const KINDS: [Row; RecordKind::EVERY.len()] = [
    Row {
        kind: RecordKind::Inspection,
        inputs: Some(kept::JOB),
        results: Some(kept::RESULT),
        again: inspection,
        facts: facts::inspection,
    },
    Row {
        kind: RecordKind::Equipment,
        inputs: Some(kept::EQUIPMENT),
        results: None,
        again: equipment,
        facts: facts::none,
    },
    Row {
        kind: RecordKind::Approval,
        inputs: Some(kept::APPROVAL),
        results: None,
        again: approval,
        facts: facts::none,
    },
    Row {
        kind: RecordKind::Validation,
        inputs: None,
        results: Some(kept::VALIDATION),
        again: validation,
        facts: facts::none,
    },
    Row {
        kind: RecordKind::Calibration,
        inputs: Some(kept::CALIBRATION),
        results: Some(kept::CALIBRATED),
        again: calibration,
        facts: facts::none,
    },
    Row {
        kind: RecordKind::Certificate,
        inputs: Some(kept::CERTIFICATE),
        results: None,
        again: certificate,
        facts: facts::none,
    },
    Row {
        kind: RecordKind::Status,
        inputs: Some(kept::STATUS),
        results: None,
        again: status,
        facts: facts::none,
    },
    Row {
        kind: RecordKind::Check,
        inputs: Some(kept::CHECK),
        results: None,
        again: check,
        facts: facts::none,
    },
    Row {
        kind: RecordKind::Room,
        inputs: Some(kept::ROOM),
        results: None,
        again: room,
        facts: facts::none,
    },
    Row {
        kind: RecordKind::Recall,
        inputs: Some(kept::CASE),
        results: None,
        again: case,
        facts: facts::none,
    },
    Row {
        kind: RecordKind::Note,
        inputs: None,
        results: None,
        again: note,
        facts: facts::none,
    },
    Row {
        kind: RecordKind::Badge,
        inputs: Some(kept::BADGE),
        results: None,
        again: badge,
        facts: facts::none,
    },
    Row {
        kind: RecordKind::Plan,
        inputs: Some(kept::PLAN),
        results: None,
        again: plan,
        facts: facts::none,
    },
    Row {
        kind: RecordKind::Lot,
        inputs: Some(kept::LOT),
        results: None,
        again: lot,
        facts: facts::none,
    },
    Row {
        kind: RecordKind::ZeroCheck,
        inputs: Some(kept::ZERO_CHECK),
        results: Some(kept::CHECKED),
        again: zero_check,
        facts: facts::none,
    },
    Row {
        kind: RecordKind::Found,
        inputs: Some(kept::FOUND),
        results: None,
        again: found,
        facts: facts::found,
    },
    Row {
        kind: RecordKind::Nonconformance,
        inputs: Some(kept::NONCONFORMANCE),
        results: None,
        again: nonconformance,
        facts: facts::none,
    },
    Row {
        kind: RecordKind::Trial,
        inputs: Some(kept::TRIAL),
        results: None,
        again: trial,
        facts: facts::none,
    },
    Row {
        kind: RecordKind::Study,
        inputs: Some(kept::STUDY),
        results: Some(kept::STUDIED),
        again: study,
        facts: facts::none,
    },
    Row {
        kind: RecordKind::FirstArticle,
        inputs: Some(kept::FIRST_ARTICLE),
        results: Some(kept::FIRST_ARTICLE_JUDGED),
        again: first_article,
        facts: facts::none,
    },
];

/// Computes the results of an entry again from its inputs, by the method that it names, and compares them with those
/// stored: every number to the bit, every code. The tables that the entry names are held against those of this `build`.
/// `say` has the sentence of what cannot be read.
pub fn recompute(entry: &Entry, build: Build, say: impl Fn(&Unreadable) -> String) -> Computed {
    let Some(row) = KINDS.iter().find(|row| row.kind.is_of(entry)) else {
        return Computed {
            facts: Some(Facts::default()),
            ..not_computed(NotComputed::KindUnknown {
                kind: entry.content.kind.clone(),
            })
        };
    };
    let mut computed = (row.again)(entry).unwrap_or_else(|error| {
        not_computed(NotComputed::Unreadable {
            detail: say(&error),
        })
    });
    match (Tables::of(entry, build), &mut computed.results) {
        (Tables::NotKnown(remark), _) => computed.remarks.push(remark),
        (Tables::Differ(difference), Recomputed::Differs(others)) => others.push(difference),
        (Tables::Differ(difference), results @ Recomputed::Same) => {
            *results = Recomputed::Differs(vec![difference]);
        }
        (Tables::Differ(_), Recomputed::NotComputed { .. }) | (Tables::Known, _) => {}
    }
    Computed {
        facts: Some(facts(&entry.content)),
        ..computed
    }
}

/// The facts of an entry, to be kept beside it: none of what cannot be read, nor of a kind of a later build.
pub fn facts(content: &Draft) -> Facts {
    let row = KINDS.iter().find(|row| row.kind.key() == content.kind);
    row.and_then(|row| (row.facts)(content).ok())
        .unwrap_or_default()
}

/// Nothing is computed from a description; that it reads as such is all there is to check.
fn equipment(entry: &Entry) -> Result<Computed, Unreadable> {
    let content = &entry.content;
    let piece: Equipment = kept::read(kept::EQUIPMENT, &content.inputs)?;
    let differences = not_empty(&[RESULTS, EDITIONS], content);
    Ok(computed(differences, piece.subjects()))
}

fn approval(entry: &Entry) -> Result<Computed, Unreadable> {
    let content = &entry.content;
    let approving: Approving = kept::read(kept::APPROVAL, &content.inputs)?;
    let differences = not_empty(&[RESULTS, EDITIONS], content);
    Ok(computed(differences, approving.subjects()))
}

/// A calibration is computed again from its readings, and compared to the bit.
fn calibration(entry: &Entry) -> Result<Computed, Unreadable> {
    let content = &entry.content;
    let worked: Worked = kept::read(kept::CALIBRATION, &content.inputs)?;
    let stored = kept::content(kept::CALIBRATED, &content.results)?;
    let result = match CalibratedDocument::of(&worked) {
        Ok(result) => result,
        Err(error) => {
            let code = error.code().to_owned();
            return Ok(not_computed(NotComputed::Refused { code }));
        }
    };
    let mut differences = kept::differences(&serde_json::to_value(result.keep())?, &stored);
    differences.extend(not_empty(&[EDITIONS], content));
    let mut subjects = worked.subjects();
    subjects.extend(content.events.map(bench_job));
    Ok(computed(differences, subjects))
}

fn certificate(entry: &Entry) -> Result<Computed, Unreadable> {
    let content = &entry.content;
    let certified: Certified = kept::read(kept::CERTIFICATE, &content.inputs)?;
    let differences = not_empty(&[RESULTS, EDITIONS], content);
    Ok(computed(differences, certified.subjects()))
}

fn status(entry: &Entry) -> Result<Computed, Unreadable> {
    let content = &entry.content;
    let change: Change = kept::read(kept::STATUS, &content.inputs)?;
    let differences = not_empty(&[RESULTS, EDITIONS], content);
    Ok(computed(differences, change.subjects()))
}

fn check(entry: &Entry) -> Result<Computed, Unreadable> {
    let content = &entry.content;
    let check: Check = kept::read(kept::CHECK, &content.inputs)?;
    let differences = not_empty(&[RESULTS, EDITIONS], content);
    Ok(computed(differences, check.subjects()))
}

fn room(entry: &Entry) -> Result<Computed, Unreadable> {
    let content = &entry.content;
    let room: Room = kept::read(kept::ROOM, &content.inputs)?;
    let differences = not_empty(&[RESULTS, EDITIONS], content);
    Ok(computed(differences, room.subjects()))
}

/// Nothing is computed from a case: its results are as the recall listed them on that day.
fn case(entry: &Entry) -> Result<Computed, Unreadable> {
    let content = &entry.content;
    let case: Case = kept::read(kept::CASE, &content.inputs)?;
    let differences = not_empty(&[RESULTS, EDITIONS], content);
    Ok(computed(differences, case.subjects()))
}

fn badge(entry: &Entry) -> Result<Computed, Unreadable> {
    let content = &entry.content;
    let badge: Badge = kept::read(kept::BADGE, &content.inputs)?;
    let differences = not_empty(&[RESULTS, EDITIONS], content);
    Ok(computed(differences, badge.subjects()))
}

/// What another build gave cannot be computed by this one.
fn validation(entry: &Entry) -> Result<Computed, Unreadable> {
    let content = &entry.content;
    let validated: Validated = kept::read(kept::VALIDATION, &content.results)?;
    let differences = not_empty(&[INPUTS, EDITIONS], content);
    Ok(computed(differences, validation_subjects(&validated)))
}

#[expect(clippy::unnecessary_wraps, reason = "a row of the table")]
fn note(entry: &Entry) -> Result<Computed, Unreadable> {
    let content = &entry.content;
    let differences = not_empty(&[INPUTS, RESULTS, EDITIONS], content);
    Ok(computed(differences, content.subjects.clone()))
}

fn plan(entry: &Entry) -> Result<Computed, Unreadable> {
    let content = &entry.content;
    let plan: Plan = kept::read(kept::PLAN, &content.inputs)?;
    let differences = not_empty(&[RESULTS, EDITIONS], content);
    Ok(computed(differences, plan.subjects()))
}

/// How many pieces a plan takes of a lot follows from its size.
fn lot(entry: &Entry) -> Result<Computed, Unreadable> {
    let content = &entry.content;
    let begun: LotBegun = kept::read(kept::LOT, &content.inputs)?;
    let mut differences = not_empty(&[RESULTS, EDITIONS], content);
    let again = begun
        .pieces
        .lot_size
        .and_then(|size| begun.pieces.of_lot(size).ok());
    if let Some(again) = again {
        let text = |pieces: &Pieces| serde_json::to_value(pieces.keep());
        differences.extend(kept::differences(&text(&again)?, &text(&begun.pieces)?));
    }
    Ok(computed(differences, begun.subjects()))
}

fn nonconformance(entry: &Entry) -> Result<Computed, Unreadable> {
    let content = &entry.content;
    let decision: Decision = kept::read(kept::NONCONFORMANCE, &content.inputs)?;
    let differences = not_empty(&[RESULTS, EDITIONS], content);
    Ok(computed(differences, decision.subjects()))
}

/// Nothing is computed from a trial; with a result, or with nothing that bars it, it would be no trial.
fn trial(entry: &Entry) -> Result<Computed, Unreadable> {
    let content = &entry.content;
    let trial: Trial = kept::read(kept::TRIAL, &content.inputs)?;
    if trial.barred.is_empty() {
        return Err(Unreadable::Missing {
            key: "barred".to_owned(),
        });
    }
    let differences = not_empty(&[RESULTS, EDITIONS], content);
    let mut subjects = trial.subjects();
    subjects.extend(content.events.map(bench_job));
    Ok(computed(differences, subjects))
}

/// A study is computed again from its readings, and compared to the bit.
fn study(entry: &Entry) -> Result<Computed, Unreadable> {
    let content = &entry.content;
    let study: Study = kept::read(kept::STUDY, &content.inputs)?;
    let stored = kept::content(kept::STUDIED, &content.results)?;
    let again = study.studied();
    let is_refused_now = !again.is_computed();
    let mut differences = kept::differences(&serde_json::to_value(again.keep())?, &stored);
    if stored.get(EVALUATION).is_none() {
        let was_computed = stored
            .get("not_computed")
            .is_none_or(serde_json::Value::is_null);
        let is_refused = is_refused_now && was_computed;
        differences.retain(|one| !(is_refused || is_of_evaluation(one)));
    }
    differences.extend(not_empty(&[EDITIONS], content));
    let mut subjects = study.subjects();
    subjects.extend(content.events.map(bench_job));
    Ok(computed(differences, subjects))
}

const EVALUATION: &str = "evaluation";

/// Whether a result of the first evaluation of studies differs by no more than the way to compute it: in the last digits, or
/// in the ends of intervals that were simulated. What was only rounding noise is refused now.
fn is_of_evaluation(difference: &Difference) -> bool {
    let Difference {
        path,
        stored,
        computed,
    } = difference;
    let of_interval = ["gauge_rr_interval", "distinct_categories_interval"];
    let is_simulated = of_interval.iter().any(|name| path.contains(name));
    let numbers = stored.parse::<f64>().ok().zip(computed.parse::<f64>().ok());
    let is_rounded =
        numbers.is_some_and(|(stored, computed)| (stored - computed).abs() <= 1e-9 * stored.abs());
    path == EVALUATION || is_simulated || is_rounded
}

fn zero_check(entry: &Entry) -> Result<Computed, Unreadable> {
    let content = &entry.content;
    let check: ZeroCheck = kept::read(kept::ZERO_CHECK, &content.inputs)?;
    let stored = kept::content(kept::CHECKED, &content.results)?;
    let checked = check.checked().ok_or_else(|| Unreadable::Missing {
        key: "after".to_owned(),
    })?;
    let mut differences = kept::differences(&serde_json::to_value(checked.keep())?, &stored);
    differences.extend(not_empty(&[EDITIONS], content));
    let mut subjects = check.subjects();
    subjects.extend(content.events.map(bench_job));
    Ok(computed(differences, subjects))
}

fn found(entry: &Entry) -> Result<Computed, Unreadable> {
    let content = &entry.content;
    let found: Found = kept::read(kept::FOUND, &content.inputs)?;
    let differences = not_empty(&[RESULTS, EDITIONS], content);
    let mut subjects = found.subjects();
    subjects.extend(content.events.map(bench_job));
    Ok(computed(differences, subjects))
}

/// What a first article comes to follows from how its piece stood on each characteristic.
fn first_article(entry: &Entry) -> Result<Computed, Unreadable> {
    let content = &entry.content;
    let article: FirstArticle = kept::read(kept::FIRST_ARTICLE, &content.inputs)?;
    let stored = kept::content(kept::FIRST_ARTICLE_JUDGED, &content.results)?;
    let judged = serde_json::to_value(article.judged().keep())?;
    let mut differences = kept::differences(&judged, &stored);
    differences.extend(not_empty(&[EDITIONS], content));
    Ok(computed(differences, article.subjects()))
}

/// Where the results differ from those stored, and what the entry touches by its documents.
fn computed(differences: Vec<Difference>, subjects: BTreeSet<Subject>) -> Computed {
    let results = if differences.is_empty() {
        Recomputed::Same
    } else {
        Recomputed::Differs(differences)
    };
    Computed {
        results,
        subjects: Some(subjects),
        remarks: Vec::new(),
        facts: None,
    }
}

fn not_computed(reason: NotComputed) -> Computed {
    Recomputed::NotComputed { reason }.into()
}

/// A document of an entry: what it is called, and where it stands.
type Document = (&'static str, fn(&Draft) -> &str);
const INPUTS: Document = ("inputs", |content| &content.inputs);
const RESULTS: Document = ("results", |content| &content.results);
const EDITIONS: Document = ("editions", |content| &content.editions);

/// Which of these documents hold something, where nothing is written.
fn not_empty(documents: &[Document], content: &Draft) -> Vec<Difference> {
    documents
        .iter()
        .filter(|(_, of)| of(content) != "{}")
        .map(|(name, of)| Difference {
            path: (*name).to_owned(),
            stored: of(content).to_owned(),
            computed: "{}".to_owned(),
        })
        .collect()
}

fn inspection(entry: &Entry) -> Result<Computed, Unreadable> {
    let job: Job = kept::read(kept::JOB, &entry.content.inputs)?;
    let stored = kept::content(kept::RESULT, &entry.content.results)?;
    let number = number_of_method(&stored).ok_or_else(|| Unreadable::Missing {
        key: "method".to_owned(),
    })?;
    let Some(method) = method::of(number) else {
        return Ok(not_computed(NotComputed::MethodUnknown { method: number }));
    };
    let result = match method(&job) {
        Ok(result) => Inspected::by(number, &job, &result),
        Err(error) => {
            let code = error.code().to_string();
            return Ok(not_computed(NotComputed::Refused { code }));
        }
    };
    let results = serde_json::to_value(result.keep())?;
    let mut differences = kept::differences(&results, &stored);
    let editions: serde_json::Value = serde_json::from_str(&entry.content.editions)?;
    let sources = serde_json::json!({ "sources": result.sources });
    differences.extend(kept::differences(&sources, &editions));
    let mut subjects = subjects(&job, &result);
    subjects.extend(entry.content.events.map(bench_job));
    Ok(computed(differences, subjects))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_has_one_row() {
        let rows = KINDS.map(|row| row.kind);
        assert_eq!(rows.as_slice(), RecordKind::EVERY);
    }
}
