//! The process that parts come from, estimated from the sizes on the record.

use std::path::Path;

use ledger::{Filter, Order, Page, Subject};
use metrology::decision::ProcessEstimate;
use metrology::decision::risk;
use metrology::inspection::Quantity;

use crate::document::{Inspected, to_mm};
use crate::failure::Failure;
use crate::process::{Kind, Process};
use crate::record;
use crate::say;

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
    pub fn from_ledger(path: Option<&Path>, selection: &Selection) -> Result<Self, Failure> {
        let ledger = record::open_to_read(path)?;
        let subjects = [
            ("lot", &selection.lot),
            ("part", &selection.part),
            ("characteristic", &selection.characteristic),
        ];
        let filter = Filter {
            kind: Some(record::INSPECTION.to_owned()),
            subjects: subjects
                .into_iter()
                .filter_map(|(role, identity)| Some(Subject::new(role, identity.as_ref()?.trim())))
                .collect(),
            standing: true,
            ..Filter::default()
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
                    return Err(Failure::Input(say!(
                        "process.two-characteristics",
                        one = first,
                        other = result.measured()
                    )));
                }
                sizes.push(to_mm(result.mean.size.value, result.unit));
                variances.push(variance(&result));
            }
            page = listing.next;
        }
        let count = variances.len().max(1) as f64;
        let estimate = ProcessEstimate::of(&sizes, variances.iter().sum::<f64>() / count)
            .map_err(|error| Failure::refused(&error))?;
        let (made, kind) = if selection.empirical {
            let sizes = estimate.without_measurement(&sizes);
            (risk::Process::empirical(sizes), Kind::Empirical)
        } else {
            let normal = risk::Process::normal(estimate.mean, estimate.standard_deviation);
            (normal, Kind::Normal)
        };
        Ok(Self {
            made: made.map_err(|error| Failure::refused(&error))?,
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
