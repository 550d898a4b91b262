//! The process that parts come from, estimated from the sizes on the record.

use std::collections::BTreeSet;

use ledger::{Filter, Ledger, Number, Subject, Text};
use metrology::decision::ProcessEstimate;
use metrology::decision::risk;
use metrology::units::LengthUnit;

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

impl Selection {
    /// The inspections that stand on the record.
    fn filter(&self) -> Filter {
        let subjects = [
            ("lot", &self.lot),
            ("part", &self.part),
            ("characteristic", &self.characteristic),
        ];
        Filter {
            subjects: subjects
                .into_iter()
                .filter_map(|(role, identity)| Some(Subject::new(role, identity.as_ref()?.trim())))
                .collect(),
            ..RecordKind::Inspection.standing()
        }
    }
}

impl Process {
    /// Estimates it from the inspections that stand on the record.
    pub fn from_ledger(ledger: &Ledger, selection: &Selection) -> Result<Self, Error> {
        let filter = selection.filter();
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

/// The sizes of one characteristic on the record, in the order of time of measurement, with the limits that they were held
/// against.
#[derive(Clone, Debug, PartialEq)]
pub struct Sizes {
    pub unit: LengthUnit,
    /// In the unit.
    pub sizes: Vec<f64>,
    pub lower: Option<f64>,
    pub upper: Option<f64>,
    /// Of the measurement: the root of the mean of its variances, in the unit.
    pub standard_uncertainty: f64,
    /// How many lots they are of.
    pub lots: usize,
}

impl Sizes {
    /// Of the inspections that stand on the record; none where there are none.
    pub fn from_ledger(ledger: &Ledger, selection: &Selection) -> Result<Option<Self>, Error> {
        let mut found: Option<(String, Self)> = None;
        let (mut variances, mut lots) = (0.0, BTreeSet::new());
        on_record::each(ledger, &selection.filter(), |_, facts| {
            let measured = facts.text(Text::Characteristic).unwrap_or_default();
            let (Some(unit), Some(size)) = (on_record::unit(facts), on_record::mean(facts)) else {
                return Ok(());
            };
            let limits = [Number::Lower, Number::Upper].map(|limit| facts.number(limit));
            let (known, sizes) = found.get_or_insert_with(|| {
                let [lower, upper] = limits;
                let sizes = Self {
                    unit,
                    sizes: Vec::new(),
                    lower,
                    upper,
                    standard_uncertainty: 0.0,
                    lots: 0,
                };
                (measured.to_owned(), sizes)
            });
            if known != measured {
                return Err(Error::input(ProcessError::TwoCharacteristics {
                    one: known.clone(),
                    other: measured.to_owned(),
                }));
            }
            if unit != sizes.unit || limits != [sizes.lower, sizes.upper] {
                let characteristic = known.clone();
                return Err(Error::input(ProcessError::TwoLimits { characteristic }));
            }
            sizes.sizes.push(size);
            lots.insert(facts.text(Text::Lot).unwrap_or_default().to_owned());
            let own = facts.number(Number::OwnVariance).unwrap_or(0.0);
            variances += own / (to_mm(1.0, unit) * to_mm(1.0, unit));
            Ok(())
        })?;
        Ok(found.map(|(_, mut sizes)| {
            let n = sizes.sizes.len().max(1) as f64;
            sizes.standard_uncertainty = f64::sqrt(variances / n);
            sizes.lots = lots.len();
            sizes
        }))
    }
}
