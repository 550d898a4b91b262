//! The process that parts come from, estimated from the sizes on the record.

use std::collections::{BTreeSet, HashMap};

use jiff::Timestamp;
use ledger::{EntryId, Filter, Ledger, Number, Subject, Text};
use metrology::decision::ProcessEstimate;
use metrology::decision::risk;
use metrology::inspection::puts_size_in_doubt;
use metrology::units::LengthUnit;

use crate::document::to_mm;
use crate::error::Error;
use crate::on_record;
use crate::process::{Kind, Process, ProcessError};
use crate::record;
use crate::record_kind::RecordKind;

/// Which records to estimate it from.
#[derive(Clone, Debug, Default)]
pub struct Selection {
    pub part: Option<String>,
    pub lot: Option<String>,
    pub characteristic: Option<String>,
    /// The number of the characteristic in the plan.
    pub number: Option<String>,
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

/// The sizes of one characteristic on the record, in the order in which they were recorded, with the limits that they were held
/// against.
#[derive(Clone, Debug, PartialEq)]
pub struct Sizes {
    /// What was measured, as records are found by it.
    pub characteristic: String,
    /// Of which parts, in alphabetical order.
    pub parts: Vec<String>,
    /// When the first and the last of them was measured, where that is known.
    pub measured: Option<(Timestamp, Timestamp)>,
    pub unit: LengthUnit,
    pub pieces: Vec<Piece>,
    pub lower: Option<f64>,
    pub upper: Option<f64>,
    /// Of the measurement: the root of the mean of its variances, in the unit.
    pub standard_uncertainty: f64,
    /// How many lots they are of.
    pub lots: usize,
    /// Results left out because a later one of the same piece of the same lot stands.
    pub repeats: usize,
    /// Results left out because their size is in doubt.
    pub in_doubt: usize,
}

/// A piece with its size.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Empty where none was named.
    pub lot: String,
    pub name: String,
    /// In the unit of all.
    pub size: f64,
    /// Of the measurement, square millimetres: what varies from piece to piece.
    own_variance: f64,
    part: String,
    at: Option<Timestamp>,
}

/// What all results of a selection must have in common.
struct Common {
    characteristic: String,
    unit: LengthUnit,
    limits: [Option<f64>; 2],
}

impl Common {
    /// Refuses a result of something else.
    fn holds(&self, other: &Self) -> Result<(), Error> {
        if self.characteristic != other.characteristic {
            return Err(Error::input(ProcessError::TwoCharacteristics {
                one: self.characteristic.clone(),
                other: other.characteristic.clone(),
            }));
        }
        if self.unit != other.unit || self.limits != other.limits {
            return Err(Error::input(ProcessError::TwoLimits {
                characteristic: self.characteristic.clone(),
            }));
        }
        Ok(())
    }
}

impl Sizes {
    /// Of the inspections that stand on the record; none where there are none.
    pub fn from_ledger(ledger: &Ledger, selection: &Selection) -> Result<Option<Self>, Error> {
        let mut common: Option<Common> = None;
        let mut all: Vec<Option<Piece>> = Vec::new();
        // Where the result of a piece of a lot stands: without a lot, pieces of one name need not be one.
        let mut known: HashMap<[String; 3], (usize, EntryId)> = HashMap::new();
        let (mut repeats, mut in_doubt) = (0, 0);
        // In the job alone: facts do not have it.
        let number = |of: EntryId| -> Result<Option<String>, Error> {
            Ok(record::number(&ledger.get(&of.into())?.content.inputs))
        };
        on_record::each(ledger, &selection.filter(), |heading, facts| {
            let text = |fact| facts.text(fact).unwrap_or_default().to_owned();
            let (Some(unit), Some(size)) = (on_record::unit(facts), on_record::mean(facts)) else {
                return Ok(());
            };
            if selection.number.is_some() && number(heading.id())? != selection.number {
                return Ok(());
            }
            let own = Common {
                characteristic: text(Text::Characteristic),
                unit,
                limits: [Number::Lower, Number::Upper].map(|limit| facts.number(limit)),
            };
            match &common {
                Some(common) => common.holds(&own)?,
                None => common = Some(own),
            }
            let because = facts.text(Text::Because);
            if because.is_some_and(|because| !because.is_empty() && puts_size_in_doubt(because)) {
                in_doubt += 1;
                return Ok(());
            }
            let piece = Piece {
                lot: text(Text::Lot),
                name: text(Text::Sample),
                size,
                own_variance: facts.number(Number::OwnVariance).unwrap_or(0.0),
                part: text(Text::Part),
                at: facts.at,
            };
            if !piece.lot.is_empty() && !piece.name.is_empty() {
                let key = [piece.part.clone(), piece.lot.clone(), piece.name.clone()];
                if let Some((at, of)) = known.insert(key, (all.len(), heading.id())) {
                    // A plan may ask the same of two places of a part.
                    let both = number(of)?.zip(number(heading.id())?);
                    if let Some((one, other)) = both.filter(|(one, other)| one != other) {
                        return Err(Error::input(ProcessError::TwoNumbers {
                            piece: piece.name,
                            one,
                            other,
                        }));
                    }
                    if let Some(earlier) = all.get_mut(at) {
                        *earlier = None;
                        repeats += 1;
                    }
                }
            }
            all.push(Some(piece));
            Ok(())
        })?;
        let Some(Common {
            characteristic,
            unit,
            limits,
        }) = common
        else {
            return Ok(None);
        };
        let pieces: Vec<Piece> = all.into_iter().flatten().collect();
        let variances: f64 = pieces.iter().map(|piece| piece.own_variance).sum();
        let lots = pieces.iter().map(|piece| piece.lot.as_str());
        let lots: BTreeSet<&str> = lots.filter(|lot| !lot.is_empty()).collect();
        let parts: BTreeSet<&str> = pieces.iter().map(|piece| piece.part.as_str()).collect();
        let times = || pieces.iter().filter_map(|piece| piece.at);
        let [lower, upper] = limits;
        Ok(Some(Self {
            characteristic,
            parts: parts.into_iter().map(str::to_owned).collect(),
            measured: times().min().zip(times().max()),
            unit,
            lower,
            upper,
            standard_uncertainty: f64::sqrt(variances / pieces.len().max(1) as f64)
                / to_mm(1.0, unit),
            lots: lots.len(),
            repeats,
            in_doubt,
            pieces,
        }))
    }
}
