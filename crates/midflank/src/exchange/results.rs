//! Results as they go to other systems: of one record, or of a lot as it stands.

use jiff::Timestamp;
use ledger::{Entry, EntryId, Ledger};
use metrology::inspection::{Characteristic as Measured, Instrument, Job, RuleName, Target};
use metrology::lot::Standing;
use metrology::message::Value;
use metrology::units::{Entered, LengthUnit};
use workshop::RecordKind;
use workshop::event::Spot;
use workshop::inspection_plan::{Class, Planned};
use workshop::lot_entry::Found;
use workshop::lots::{self, Cell, Lot, Matrix};

use crate::document::inspection::Size;
use crate::document::{self, Inspected, LotDocument, MaxMin};
use crate::failure::Failure;
use crate::kept;
use crate::report::planned_words;
use crate::words::InWords as _;
use crate::{record, say, words};

pub struct Results {
    pub part: String,
    pub drawing: Option<String>,
    pub order: Option<String>,
    pub customer: Option<String>,
    /// A lot with what it comes to; none of a single record.
    pub lot: Option<LotDocument>,
    /// The latest entry that they rest on.
    pub entry: EntryId,
    pub hash: String,
    pub recorded_at: Timestamp,
    pub characteristics: Vec<Characteristic>,
    /// Each as it was at the time: the same micrometer with another certificate is another.
    pub instruments: Vec<Instrument>,
    pub pieces: Vec<Piece>,
}

pub struct Characteristic {
    /// Its number on the drawing.
    pub number: Option<String>,
    /// What is measured or looked at, in words.
    pub name: String,
    /// What is measured; none of what is found without measuring.
    pub target: Option<Target>,
    pub unit: LengthUnit,
    pub limits: MaxMin,
    pub rule: RuleName,
    pub class: Option<Class>,
}

pub struct Piece {
    pub name: String,
    pub serial: Option<String>,
    pub lot: Option<String>,
    pub standing: Standing,
    pub found: Vec<Of>,
}

/// What is known of a piece on one characteristic.
pub struct Of {
    /// By its place in the list.
    pub characteristic: usize,
    pub entry: Option<EntryId>,
    pub at: Option<Timestamp>,
    pub person: Option<String>,
    pub standing: Standing,
    /// The verdict by its code.
    pub decision: String,
    pub because: Option<String>,
    pub provisional: bool,
    pub size: Option<Sized>,
    /// Limits and rule as they were recorded.
    pub decided_by: Option<DecidedBy>,
    /// What it was measured with, by its place in the list.
    pub instrument: Option<usize>,
    /// Everything else it was measured or looked at with: role and identity.
    pub with: Vec<(&'static str, String)>,
    /// Codes of its warnings.
    pub warnings: Vec<String>,
    pub cautions: Vec<String>,
    /// What it was reckoned from.
    pub read: Option<Read>,
}

/// The readings of a piece, as they were entered.
pub struct Read {
    /// On the standard, before and after.
    pub before: Vec<Entered>,
    pub after: Vec<Entered>,
    /// By the name of each place.
    pub places: Vec<(String, Vec<Entered>)>,
    /// Taken again, and left standing; each with the reason that somebody typed.
    pub struck: Vec<(Entered, String)>,
    pub left: Vec<(Entered, String)>,
}

impl Read {
    fn of(job: &Job) -> Self {
        let typed = |reason: &Value| match reason {
            Value::Text(text) => Some(text.clone()),
            _ => None,
        };
        let places = job.readings.iter().map(|place| {
            let spot = Spot {
                along: place.along.clone(),
                angle: place.angle,
            };
            (words::spot(&spot), place.readings.clone())
        });
        let struck = job.struck.iter();
        let left = job.left.iter();
        Self {
            before: job.zero.before.clone(),
            after: job.zero.after.clone(),
            places: places.collect(),
            struck: struck
                .filter_map(|one| Some((one.reading.clone(), typed(&one.reason)?)))
                .collect(),
            left: left
                .filter_map(|one| Some((one.reading.clone(), typed(&one.reason)?)))
                .collect(),
        }
    }
}

#[derive(Clone, Debug, PartialEq)]
pub struct DecidedBy {
    pub limits: MaxMin,
    pub rule: String,
    pub parameter: Option<f64>,
}

/// A size in the unit of its characteristic. Of a piece that waits for its zero check only the expanded uncertainty is known.
pub struct Sized {
    pub value: f64,
    pub expanded_uncertainty: f64,
    pub whole: Option<Size>,
}

impl Results {
    /// Of one record of an inspection; refused where a later entry takes its place.
    pub fn of_entry(entry: &Entry) -> Result<Self, Failure> {
        let id = entry.id();
        if let Some(by) = entry.amended_by {
            return Err(Failure::input(say!(
                "exchange.amended",
                entry = id,
                by = by
            )));
        }
        let (job, result) = record::read(entry)?;
        let mut results = Self {
            part: job.part.name.clone(),
            drawing: job.part.drawing.clone(),
            order: job.part.order.clone(),
            customer: None,
            lot: None,
            entry: id,
            hash: entry.hash.to_string(),
            recorded_at: entry.content.recorded_at,
            characteristics: vec![Characteristic::of_job(&job, &result)],
            instruments: Vec::new(),
            pieces: Vec::new(),
        };
        let decided = &result.decision;
        let standing = match decided.decision.as_str() {
            _ if decided.provisional => Standing::Provisional,
            "accept" => Standing::Accept,
            "reject" => Standing::Reject,
            _ => Standing::Undecided,
        };
        let mut of = Of {
            entry: Some(id),
            standing,
            decision: decided.decision.clone(),
            because: decided.because.clone(),
            provisional: decided.provisional,
            ..Of::nothing(0)
        };
        results.measured(&mut of, entry, &job, &result);
        let name = [&job.part.sample, &job.part.piece, &job.part.serial];
        results.pieces.push(Piece {
            name: name
                .into_iter()
                .flatten()
                .next()
                .cloned()
                .unwrap_or_default(),
            serial: job.part.serial.clone(),
            lot: job.part.lot.clone(),
            standing,
            found: vec![of],
        });
        Ok(results)
    }

    /// Of a lot as it stands; none where it is not on the record.
    pub fn of_lot(ledger: &Ledger, number: &str) -> Result<Option<Self>, Failure> {
        let Some(lot) = lots::find(ledger, number)? else {
            return Ok(None);
        };
        let open = lots::open_runs(ledger, &lot.begun.number)?;
        let matrix = lots::matrix(ledger, &lot, &open)?;
        let tally = matrix.tally(words::spot);
        let limits = |index| matrix.limits(index);
        let told = document::lot(&matrix.plan, &limits, Some(&lot.begun.number), &tally).lot;
        let begun = ledger.get(&lot.entry.into())?;
        let mut results = Self::begun(&lot, &begun, told);
        let mut last = begun.sequence;
        for row in &matrix.rows {
            let mut piece = Piece {
                name: row.piece.clone(),
                serial: None,
                lot: Some(lot.begun.number.clone()),
                standing: standing(&matrix, &row.cells),
                found: Vec::new(),
            };
            for (index, cell) in row.cells.iter().enumerate() {
                let Some(cell) = cell else { continue };
                let mut of = Of::of_cell(index, cell);
                if let Some(id) = cell.entry {
                    let entry = ledger.get(&id.into())?;
                    if entry.sequence > last {
                        last = entry.sequence;
                        results.rest_on(&entry);
                    }
                    if let Some(serial) = results.recorded(&mut of, &entry)? {
                        piece.serial = Some(serial);
                    }
                }
                piece.found.push(of);
            }
            results.pieces.push(piece);
        }
        Ok(Some(results))
    }

    fn begun(lot: &Lot, begun: &Entry, told: LotDocument) -> Self {
        let all = lot.plan.characteristics.iter();
        Self {
            part: lot.begun.part.clone(),
            drawing: Some(lot.begun.drawing.clone()),
            order: lot.begun.order.clone(),
            customer: lot.begun.customer.clone(),
            lot: Some(told),
            entry: begun.id(),
            hash: begun.hash.to_string(),
            recorded_at: begun.content.recorded_at,
            characteristics: all.map(Characteristic::of_plan).collect(),
            instruments: Vec::new(),
            pieces: Vec::new(),
        }
    }

    fn rest_on(&mut self, entry: &Entry) {
        self.entry = entry.id();
        self.hash = entry.hash.to_string();
        self.recorded_at = entry.content.recorded_at;
    }

    /// Adds what the entry of a cell says; the serial number of the piece, where it has one.
    fn recorded(&mut self, of: &mut Of, entry: &Entry) -> Result<Option<String>, Failure> {
        if RecordKind::Found.is_of(entry) {
            record::intact(entry)?;
            let found: Found =
                kept::read(kept::FOUND, &entry.content.inputs).map_err(Failure::outside)?;
            of.at = Some(found.at);
            of.person = Some(entry.content.actor.name.clone());
            of.with = found.with.map(|with| ("with", with)).into_iter().collect();
            return Ok(None);
        }
        let (job, result) = record::read(entry)?;
        self.measured(of, entry, &job, &result);
        Ok(job.part.serial)
    }

    fn measured(&mut self, of: &mut Of, entry: &Entry, job: &Job, result: &Inspected) {
        let size = &result.size;
        of.at = Some(job.measured_at);
        of.person = job
            .person
            .clone()
            .or_else(|| Some(entry.content.actor.name.clone()));
        of.size = Some(Sized {
            value: size.value,
            expanded_uncertainty: size.expanded_uncertainty,
            whole: Some(size.clone()),
        });
        of.read = Some(Read::of(job));
        of.decided_by = Some(DecidedBy {
            limits: result.limits,
            rule: result.decision.rule.clone(),
            parameter: result.decision.rule_parameter,
        });
        of.instrument = Some(self.instrument(&job.instrument));
        of.with = [
            Some(("contacts", job.contacts.id.clone())),
            Some(("setting_standard", job.standard.id.clone())),
            job.wires.as_ref().map(|wires| ("wires", wires.id.clone())),
            job.thermometer().map(|one| ("thermometer", one.id.clone())),
        ]
        .into_iter()
        .flatten()
        .collect();
        let codes = result.warnings.iter();
        of.warnings = codes
            .map(|warning| warning.code.trim_start_matches("warning.").to_owned())
            .collect();
        let cautions = result.cautions.iter();
        of.cautions = cautions.map(|caution| result.say(caution)).collect();
    }

    fn instrument(&mut self, one: &Instrument) -> usize {
        if let Some(known) = self.instruments.iter().position(|known| known == one) {
            return known;
        }
        self.instruments.push(one.clone());
        self.instruments.len() - 1
    }
}

/// How a piece stands: accepted only where all that the plan asks for was found to conform.
fn standing(matrix: &Matrix, cells: &[Option<Cell>]) -> Standing {
    let of = |cell: &Option<Cell>| match cell {
        None => Standing::Undecided,
        Some(cell) if cell.standing == Standing::Accept && !cell.missing.is_empty() => {
            Standing::Undecided
        }
        Some(cell) => cell.standing,
    };
    let all = matrix.plan.characteristics.iter().zip(cells);
    let worst = all.map(|(_, cell)| of(cell)).max();
    worst.unwrap_or(Standing::Undecided)
}

impl Characteristic {
    fn of_plan(planned: &Planned) -> Self {
        let measured = planned.measured.as_ref();
        let target = measured
            .filter(|_| planned.way.is_measured())
            .and_then(target);
        let unit = target.as_ref().map_or(LengthUnit::Millimetre, |of| of.unit);
        let limits = target.as_ref().map(|of| of.limits);
        Self {
            number: Some(planned.number.clone()),
            name: planned_words(planned),
            unit,
            limits: MaxMin::of(limits.unwrap_or_default(), unit),
            target,
            rule: planned.rule.clone(),
            class: Some(planned.class),
        }
    }

    fn of_job(job: &Job, result: &Inspected) -> Self {
        Self {
            number: job.part.characteristic.clone(),
            name: result.characteristic(),
            target: target(&job.characteristic),
            unit: result.unit,
            limits: result.limits,
            rule: job.rule.clone(),
            class: None,
        }
    }
}

fn target(measured: &Measured) -> Option<Target> {
    Target::of(measured).ok()
}

impl Of {
    fn nothing(characteristic: usize) -> Self {
        Self {
            characteristic,
            entry: None,
            at: None,
            person: None,
            standing: Standing::Undecided,
            decision: Standing::Undecided.key().to_owned(),
            because: None,
            provisional: false,
            size: None,
            decided_by: None,
            instrument: None,
            with: Vec::new(),
            warnings: Vec::new(),
            cautions: Vec::new(),
            read: None,
        }
    }

    fn of_cell(index: usize, cell: &Cell) -> Self {
        let outcome = cell.outcome.as_ref();
        Self {
            entry: cell.entry,
            standing: cell.standing,
            decision: outcome
                .map_or_else(|| cell.standing.key(), |outcome| outcome.decision)
                .to_owned(),
            because: cell.because.clone(),
            provisional: cell.standing == Standing::Provisional,
            size: outcome.map(|outcome| Sized {
                value: outcome.size,
                expanded_uncertainty: outcome.expanded_uncertainty,
                whole: None,
            }),
            ..Self::nothing(index)
        }
    }
}
