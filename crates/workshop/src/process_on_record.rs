//! The process that parts come from, estimated from the sizes on the record.

use ledger::{Filter, Ledger, Order, Page, Subject};
use metrology::decision::ProcessEstimate;
use metrology::decision::risk;
use metrology::inspection::Quantity;

use crate::document::{Inspected, to_mm};
use crate::error::Error;
use crate::process::{Kind, Process, ProcessError};
use crate::record;
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

/// What is drawn anew for each part.
const FROM_PART_TO_PART: [Quantity; 6] = [
    Quantity::Repeatability,
    Quantity::FormSeen,
    Quantity::Resolution,
    Quantity::ZeroReading,
    Quantity::ZeroResolution,
    Quantity::Drift,
];

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
        let mut page = Some(Page::first(Order::OldestFirst, Page::LARGEST));
        while let Some(next) = page {
            let listing = ledger.list(&filter, &next)?;
            for entry in &listing.entries {
                let (_, result) = record::read(entry)?;
                let first = characteristic.get_or_insert_with(|| result.measured());
                if *first != result.measured() {
                    return Err(Error::input(ProcessError::TwoCharacteristics {
                        one: first.clone(),
                        other: result.measured(),
                    }));
                }
                sizes.push(to_mm(result.mean.size.value, result.unit));
                variances.push(variance(&result));
            }
            page = listing.next;
        }
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

/// What the measurement of one part adds to the spread of many, square millimetres.
fn variance(result: &Inspected) -> f64 {
    result
        .budget
        .iter()
        .filter(|line| {
            Quantity::of(&line.quantity).is_some_and(|known| FROM_PART_TO_PART.contains(&known))
        })
        .map(|line| to_mm(line.contribution, result.unit))
        .map(|contribution| contribution * contribution)
        .sum()
}
