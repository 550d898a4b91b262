//! A study that was run at the bench, as its record has it: its document, its drawings, its sheet.

use ledger::{Entry, Ledger};
use maud::{Markup, html};
use metrology::units::Entered;
use paper::Figure;
use serde::Serialize;
use workshop::gauge_record::studied::{Studied, in_unit};
use workshop::gauge_record::study::{Study, StudyKind};
use workshop::gauge_room::studies::{self, OnRecord};

use super::markup;
use super::study::{Origin, Plot, StudyName, StudySheet, attached};
use super::study_plots::{Taken, by_part, in_order, of_type_1, over_reference, reference_and_mean};
use crate::approvals::{Approvals, Approving, Standing};
use crate::failure::Failure;
use crate::report::Record;
use crate::report::approved::told;
use crate::report::studied::{self, Named};
use crate::say;
use crate::words::number;

/// A study in machine-readable output.
#[derive(Serialize)]
pub struct StudyDocument<'a> {
    entry: String,
    kind: &'static str,
    on: String,
    characteristic: String,
    instrument: &'a str,
    contacts: &'a str,
    wires: Option<&'a str>,
    standard: &'a str,
    operators: &'a [String],
    parts: &'a [String],
    /// The known size of each part, as it was entered.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    references: Vec<&'a str>,
    trials: usize,
    seed: u64,
    readings: usize,
    planned: usize,
    person: &'a str,
    /// The entry of the approval that stands.
    approval: Option<String>,
    #[serde(flatten)]
    result: &'a Studied,
}

impl<'a> StudyDocument<'a> {
    pub fn of(one: &'a OnRecord, approvals: &Approvals) -> Self {
        let study = &one.study;
        Self {
            entry: one.entry.to_string(),
            kind: study.plan.kind.key(),
            on: study.on.to_string(),
            characteristic: studied::measured(study),
            instrument: &study.instrument.id,
            contacts: &study.contacts.id,
            wires: study.wires.as_ref().map(|wires| wires.id.as_str()),
            standard: &study.standard.id,
            operators: &study.plan.operators,
            parts: &study.plan.parts,
            references: study.plan.references.iter().map(Entered::text).collect(),
            trials: study.plan.trials,
            seed: study.plan.seed,
            readings: study.readings.len(),
            planned: study.planned(),
            person: &study.person,
            approval: approval(one, approvals).map(|standing| standing.entry.to_string()),
            result: &one.result,
        }
    }
}

/// The approval of a study that stands.
pub fn approval<'a>(one: &OnRecord, approvals: &'a Approvals) -> Option<&'a Standing> {
    let id = one.entry.to_string();
    let is_of = |known: &&Standing| matches!(&known.approving, Approving::Study(study) if study.prior.study == id);
    approvals.standing.iter().find(is_of)
}

/// The drawings of a study, by the result that was computed of it: of many parts by part and operator, of one part in order of
/// time.
pub fn figures(study: &Study, result: &Studied) -> Vec<(String, Figure)> {
    let plots = plots(study, result).into_iter();
    let figures = plots.filter_map(|plot| Some((plot.title.clone(), plot.figure()?)));
    figures.collect()
}

/// The same on a page.
pub fn drawn(study: &Study, result: &Studied) -> Markup {
    html! { @for one in &figures(study, result) { (markup::under_title(one)) } }
}

fn plots(study: &Study, result: &Studied) -> Vec<Plot> {
    let unit = Some(study.unit.symbol());
    let readings = study.readings.iter();
    let taken = readings.map(|one| Taken {
        part: &one.part,
        operator: &one.operator,
        value: in_unit(&study.value_of(one), study.unit).value(),
    });
    let taken: Vec<Taken<'_>> = taken.collect();
    let plan = &study.plan;
    if plan.kind.is_of_repeatability() {
        return by_part(plan.pairs(), &taken, unit);
    }
    if plan.kind == StudyKind::Linearity {
        return result.linearity.iter().map(over_reference).collect();
    }
    let inside = |length| in_unit(length, study.unit).value();
    let reference = plan.reference.as_ref().map(inside);
    let levels = match (&result.type_1, &result.bias) {
        (Some(found), _) => {
            let tolerance = plan.tolerance.as_ref().map_or(f64::NAN, inside);
            let percent = found.part_of_tolerance_percent;
            of_type_1(reference, found.mean, tolerance, percent)
        }
        (None, Some(found)) => reference_and_mean(reference, found.mean),
        (None, None) => Vec::new(),
    };
    let values: Vec<f64> = taken.iter().map(|one| one.value).collect();
    vec![in_order(&values, levels, unit)]
}

/// A study on the record with what the record says of it.
pub struct RecordedStudy {
    one: OnRecord,
    record: Record,
    approvals: Approvals,
}

impl RecordedStudy {
    pub fn of(ledger: &Ledger, entry: &Entry) -> Result<Self, Failure> {
        Ok(Self {
            one: studies::on_record(entry)?,
            record: Record::of(ledger, entry)?,
            approvals: Approvals::read(ledger)?,
        })
    }

    pub fn document(&self) -> StudyDocument<'_> {
        StudyDocument::of(&self.one, &self.approvals)
    }

    /// The readings as a file.
    pub fn csv(&self) -> String {
        self.one.study.csv()
    }

    fn facts(&self) -> Vec<Named> {
        let record = &self.record;
        let mut facts = studied::facts(&self.one.study);
        facts.extend([
            (say!("study-sheet.record"), record.id.clone()),
            (
                say!("study-sheet.recorded-at"),
                number::time(record.recorded_at),
            ),
        ]);
        facts
    }

    fn approval(&self) -> Named {
        let approval = approval(&self.one, &self.approvals);
        let approval = approval.map(|standing| {
            let told = told(&standing.approving);
            say!("study-sheet.approved", told = told, record = standing.entry)
        });
        let none = if self.one.study.plan.kind.can_be_approved() {
            say!("study-sheet.not-approved")
        } else {
            say!("study-sheet.feeds-nothing")
        };
        let none = || none.to_owned();
        (say!("study-sheet.approval"), approval.unwrap_or_else(none))
    }

    pub fn sheet(&self) -> Result<StudySheet, Failure> {
        let (study, result) = (&self.one.study, &self.one.result);
        let broken_off = study.is_broken_off();
        let remarks = broken_off.then(|| say!("study-run.broken-off").to_owned());
        Ok(StudySheet {
            study: match study.plan.kind {
                StudyKind::Repeatability => StudyName::Repeatability,
                StudyKind::Type1 => StudyName::Type1,
                StudyKind::Bias => StudyName::Bias,
                StudyKind::Nested => StudyName::Nested,
                StudyKind::Linearity => StudyName::Linearity,
            },
            of: say!("study-sheet.recorded-of", record = self.record.id),
            told: studied::result(result),
            figures: figures(study, result),
            attached: attached(&self.document(), "readings.csv", &self.csv())?,
            origin: Origin::Recorded {
                facts: self.facts(),
                approval: self.approval(),
                remarks: remarks.into_iter().collect(),
                record: Box::new(self.record.clone()),
            },
        })
    }
}
