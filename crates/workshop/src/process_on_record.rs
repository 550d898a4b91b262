//! The process that parts come from, estimated from the sizes on the record.

use ledger::{Filter, Ledger, Number, Subject, Text};
use metrology::decision::ProcessEstimate;
use metrology::decision::risk;

use crate::document::to_mm;
use crate::error::Error;
use crate::on_record;
use crate::process::{Kind, Process, ProcessError};
use crate::record_kind::RecordKind;

/// Which records to estimate it from.
#[derive(Clone, Debug, Default)]
pub struct Selection {
    pub part: Option<String>,
    pub lot: Option<String>,
    pub characteristic: Option<String>,
    /// The sizes themselves, in the place of a normal process.
    pub empirical: bool,
}

impl Process {
    /// Estimates it from the inspections that stand on the record.
    pub fn from_ledger(ledger: &Ledger, selection: &Selection) -> Result<Self, Error> {
        let subjects = [
            ("lot", &selection.lot),
            ("part", &selection.part),
            ("characteristic", &selection.characteristic),
        ];
        let filter = Filter {
            subjects: subjects
                .into_iter()
                .filter_map(|(role, identity)| Some(Subject::new(role, identity.as_ref()?.trim())))
                .collect(),
            ..RecordKind::Inspection.standing()
        };
        let (mut sizes, mut variances) = (Vec::new(), Vec::new());
        let mut characteristic: Option<String> = None;
        on_record::each(ledger, &filter, |_, facts| {
            let measured = facts.text(Text::Characteristic).unwrap_or_default();
            let first = characteristic.get_or_insert_with(|| measured.to_owned());
            if first != measured {
                return Err(Error::input(ProcessError::TwoCharacteristics {
                    one: first.clone(),
                    other: measured.to_owned(),
                }));
            }
            // What cannot be read is told by `ledger verify`.
            if let (Some(unit), Some(size)) = (on_record::unit(facts), on_record::mean(facts)) {
                sizes.push(to_mm(size, unit));
                variances.push(facts.number(Number::OwnVariance).unwrap_or(0.0));
            }
            Ok(())
        })?;
        let count = variances.len().max(1) as f64;
        let estimate = ProcessEstimate::of(&sizes, variances.iter().sum::<f64>() / count)
            .map_err(Error::input)?;
        let (made, kind) = if selection.empirical {
            let sizes = estimate.without_measurement(&sizes);
            (risk::Process::empirical(sizes), Kind::Empirical)
        } else {
            let normal = risk::Process::normal(estimate.mean, estimate.standard_deviation);
            (normal, Kind::Normal)
        };
        Ok(Self {
            made: made.map_err(Error::input)?,
            kind,
            estimate: Some(estimate),
        })
    }
}
