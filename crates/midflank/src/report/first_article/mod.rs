//! A first article: one piece of a lot, with every numbered characteristic of its plan accounted for (ISO 9001 and the fields of
//! AS9102, form 3; the layout is our own). Every form of it is made of this one document.

mod supplied;

use std::collections::{BTreeMap, BTreeSet};

use jiff::Timestamp;
use jiff::civil::Date;
use ledger::{Entry, EntryId, Ledger};
use metrology::inspection::{Characteristic, Job};
use metrology::lot::Standing;
use metrology::units::LengthUnit;
use serde::Serialize;
use workshop::RecordKind;
use workshop::equipment::pieces;
use workshop::lot_entry::Found;
use workshop::lots::{self, Cell, Lot, Matrix, Nonconforming, Row};
use workshop::plan::Planned;

pub use supplied::{Article, Certificate, CertificateOf, Extent, PartSupplied, Remarked, Supplied};

use super::{found, nonconforming, planned_words, stated};
use crate::document::{Inspected, MaxMin};
use crate::failure::Failure;
use crate::kept;
use crate::letterhead::Sized;
use crate::words::InWords as _;
use crate::words::equipment::{on_report, role};
use crate::{record, say, words};

/// So many pieces are named where another is asked for.
const TOLD: usize = 10;
/// Where nobody measured or looked.
pub const NOT_MEASURED: &str = "not-measured";
/// Where the baseline shows it.
pub const NOT_COVERED: &str = "not-covered";

metrology::codes! {
    /// Why a first article is not accepted.
    #[derive(Serialize)]
    #[serde(rename_all = "kebab-case")]
    pub enum Because "first-article-reason" {
        /// A characteristic does not conform.
        Rejected "rejected",
        /// A characteristic is undecided, or waits for its zero check.
        Undecided "undecided",
        NotMeasured "not-measured",
    }
}

#[derive(Serialize)]
pub struct FirstArticle {
    pub report: Option<String>,
    pub replaces: Option<String>,
    pub extent: &'static str,
    pub reason: Option<String>,
    pub baseline: Option<String>,
    pub part: Part,
    pub lot: String,
    pub piece: String,
    pub plan: String,
    pub plan_entry: String,
    pub customer: Option<String>,
    pub order: Option<String>,
    /// When the lot came in, and how it was then.
    pub received: Option<Date>,
    pub condition: Option<String>,
    /// `accept` only where every characteristic that it covers was found to conform.
    pub verdict: &'static str,
    pub because: Option<Because>,
    pub counts: Counts,
    pub characteristics: Vec<Line>,
    pub certificates: Vec<Certificate>,
    pub equipment: Vec<Used>,
    /// The piece as a nonconforming one: its number, and what was decided on it, in words.
    pub nonconformance: Option<Nonconformance>,
    /// What was put aside on purpose, in words.
    pub deviations: Vec<String>,
    pub cautions: Vec<String>,
    /// Entries of earlier results of the piece, which do not count.
    pub repeats: Vec<Repeat>,
    pub people: Vec<String>,
    pub measured_from: Option<Timestamp>,
    pub measured_to: Option<Timestamp>,
    /// The latest entry that it rests on.
    pub entry: String,
    pub hash: String,
    pub recorded_at: Timestamp,
    pub program: String,
    /// Who started the lot.
    pub started_by: String,
    /// The entries of its results, in the order of the characteristics.
    #[serde(skip)]
    pub records: Vec<Entry>,
}

#[derive(Serialize)]
pub struct Part {
    pub name: String,
    pub number: Option<String>,
    pub revision: Option<String>,
    pub serial: Option<String>,
    pub drawing: String,
}

/// How many characteristics there are, and how they stand.
#[derive(Default, Serialize)]
pub struct Counts {
    pub characteristics: u64,
    pub accept: u64,
    pub reject: u64,
    pub undecided: u64,
    pub not_measured: u64,
    pub not_covered: u64,
}

/// One characteristic. Sizes and limits are in its unit.
#[derive(Serialize)]
pub struct Line {
    pub number: String,
    pub location: Option<String>,
    pub class: &'static str,
    pub way: &'static str,
    /// What it is, in words.
    pub characteristic: String,
    pub min: Option<f64>,
    pub max: Option<f64>,
    pub unit: Option<LengthUnit>,
    /// Decimals that the limits are stated to.
    pub decimals: Option<u32>,
    pub size: Option<f64>,
    pub expanded_uncertainty: Option<f64>,
    pub coverage_factor: Option<f64>,
    /// What a gauge or an eye found.
    pub conforms: Option<bool>,
    pub rule: Option<String>,
    pub rule_parameter: Option<f64>,
    pub agreed: Option<String>,
    /// That of the record, or `provisional`, `not-measured` or `not-covered`.
    pub verdict: String,
    pub because: Option<String>,
    /// Why it was not measured, as supplied.
    pub not_measured: Option<String>,
    pub places_not_measured: Vec<String>,
    /// Identities of what it was measured or looked at with.
    pub with: Vec<String>,
    pub tooling: Option<String>,
    pub comment: Option<String>,
    pub nonconformance: Option<String>,
    pub person: Option<String>,
    pub measured_at: Option<Timestamp>,
    pub entry: Option<String>,
    /// What was measured and how well, by which it is within the scope of accreditation or not.
    #[serde(skip)]
    pub of_scope: Option<(Characteristic, Sized)>,
    /// Codes of warnings.
    pub warnings: Vec<String>,
}

#[derive(Serialize)]
pub struct Used {
    pub role: String,
    pub described: String,
    pub characteristics: Vec<String>,
}

#[derive(Serialize)]
pub struct Nonconformance {
    pub number: String,
    pub characteristics: Vec<String>,
    pub disposition: &'static str,
    pub told: String,
}

#[derive(Serialize)]
pub struct Repeat {
    pub characteristic: String,
    pub entry: String,
}

/// What is gathered while the results of a piece are read.
struct Gathered {
    last: Entry,
    people: BTreeSet<String>,
    equipment: BTreeMap<(usize, String, String), Vec<String>>,
    deviations: Vec<String>,
    cautions: Vec<String>,
    measured: Option<(Timestamp, Timestamp)>,
    records: Vec<Entry>,
}

impl FirstArticle {
    /// Of a piece of a lot; without a name, of the only piece that there is.
    pub fn of(
        ledger: &Ledger,
        lot: &Lot,
        matrix: &Matrix,
        piece: Option<&str>,
        supplied: &Supplied,
    ) -> Result<Self, Failure> {
        supplied.check(&matrix.plan)?;
        let row = row_of(lot, matrix, piece)?;
        let all = lots::nonconforming(ledger, lot)?;
        let held = all.iter().find(|one| one.piece == row.piece);
        let mut gathered = Gathered::new(ledger.get(&lot.entry.into())?);
        let mut serial = supplied.part.serial.clone();
        let mut lines = Vec::new();
        for (index, planned) in matrix.plan.characteristics.iter().enumerate() {
            let mut line = Line::of(matrix, index, planned, supplied);
            let cell = row.cells.get(index).and_then(Option::as_ref);
            let cell = cell.filter(|_| line.verdict != NOT_COVERED);
            let recorded = cell.map(|cell| gathered.cell(ledger, cell, &mut line));
            serial = same_serial(serial, recorded.transpose()?.flatten(), &line.number)?;
            let shown = held.filter(|one| {
                let mut shown = one.shown_by.iter();
                shown.any(|shown| shown.characteristic == line.number)
            });
            line.nonconformance = shown.map(|one| one.number.clone());
            lines.push(line);
        }
        let counts = Counts::of(&lines);
        let (verdict, because) = counts.verdict();
        let article = &supplied.first_article;
        let number = |index: usize| {
            let planned = matrix.plan.characteristics.get(index);
            planned.map_or_else(String::new, |planned| planned.number.clone())
        };
        let repeats = matrix.repeats.iter();
        let repeats = repeats.filter(|(of, ..)| *of == row.piece);
        Ok(Self {
            report: article.report.clone(),
            replaces: article.replaces.clone(),
            extent: article.extent.key(),
            reason: article.reason.clone(),
            baseline: article.baseline.clone(),
            part: Part {
                name: lot.begun.part.clone(),
                number: supplied.part.number.clone(),
                revision: supplied
                    .part
                    .revision
                    .clone()
                    .or_else(|| matrix.plan.revision.clone()),
                serial,
                drawing: lot.begun.drawing.clone(),
            },
            lot: lot.begun.number.clone(),
            piece: row.piece.clone(),
            plan: lot.begun.plan.clone(),
            plan_entry: lot.begun.plan_entry.clone(),
            customer: lot.begun.customer.clone(),
            order: lot.begun.order.clone(),
            received: lot.begun.received,
            condition: lot.begun.condition.clone(),
            verdict,
            because,
            counts,
            characteristics: lines,
            certificates: supplied.certificate.clone(),
            equipment: gathered.equipment.into_iter().map(Used::of).collect(),
            nonconformance: held.map(Nonconformance::of),
            deviations: gathered.deviations,
            cautions: gathered.cautions,
            repeats: repeats
                .map(|(_, index, entry)| Repeat {
                    characteristic: number(*index),
                    entry: entry.to_string(),
                })
                .collect(),
            people: gathered.people.into_iter().collect(),
            measured_from: gathered.measured.map(|(from, _)| from),
            measured_to: gathered.measured.map(|(_, to)| to),
            entry: gathered.last.id().to_string(),
            hash: gathered.last.hash.to_string(),
            recorded_at: gathered.last.content.recorded_at,
            program: gathered.last.content.program.clone(),
            started_by: lot.person.clone(),
            records: gathered.records,
        })
    }
}

/// The row of a piece.
fn row_of<'a>(lot: &Lot, matrix: &'a Matrix, piece: Option<&str>) -> Result<&'a Row, Failure> {
    let row = match (piece, matrix.rows.as_slice()) {
        (None, [only]) => Some(only),
        (None, _) => None,
        (Some(piece), rows) => rows.iter().find(|row| row.piece == piece.trim()),
    };
    row.ok_or_else(|| no_piece(lot, matrix, piece))
}

/// That a piece is not there, with those that are.
fn no_piece(lot: &Lot, matrix: &Matrix, piece: Option<&str>) -> Failure {
    let names = matrix.rows.iter().take(TOLD);
    let known: Vec<&str> = names.map(|row| row.piece.as_str()).collect();
    let mut known = known.join(", ");
    let more = matrix.rows.len().saturating_sub(TOLD);
    if more > 0 {
        known = say!("lot-run.and-more", all = known, more = more);
    }
    let lot = &lot.begun.number;
    Failure::input(match piece {
        _ if known.is_empty() => say!("first-article.no-pieces", lot = lot),
        None => say!("first-article.which-piece", lot = lot, known = known),
        Some(piece) => say!(
            "first-article.no-piece",
            lot = lot,
            piece = piece.trim(),
            known = known
        ),
    })
}

/// The serial number, which the record and what is supplied may not tell differently.
fn same_serial(
    known: Option<String>,
    recorded: Option<String>,
    number: &str,
) -> Result<Option<String>, Failure> {
    match (known, recorded) {
        (Some(known), Some(recorded)) if known != recorded => Err(Failure::input(say!(
            "first-article.other-serial",
            number = number,
            recorded = recorded,
            given = known
        ))),
        (known, recorded) => Ok(known.or(recorded)),
    }
}

impl Line {
    fn of(matrix: &Matrix, index: usize, planned: &Planned, supplied: &Supplied) -> Self {
        let remarked = supplied.of(&planned.number);
        let limits = matrix.limits(index);
        let measured = planned.measured.as_ref();
        let target = measured
            .filter(|_| limits.is_some())
            .and_then(|measured| metrology::inspection::Target::of(measured).ok());
        let within = limits.map(|(limits, unit)| MaxMin::of(limits, unit));
        let is_covered = supplied.covers(&planned.number);
        Self {
            number: planned.number.clone(),
            location: remarked.and_then(|one| one.location.clone()),
            class: planned.class.key(),
            way: planned.way.key(),
            characteristic: planned_words(planned),
            min: within.and_then(|within| within.min),
            max: within.and_then(|within| within.max),
            unit: limits.map(|(_, unit)| unit),
            decimals: target.map(|target| target.decimals),
            size: None,
            expanded_uncertainty: None,
            coverage_factor: None,
            conforms: None,
            rule: planned.way.is_measured().then(|| planned.rule.name.clone()),
            rule_parameter: None,
            agreed: planned.agreed.clone(),
            verdict: if is_covered {
                NOT_MEASURED
            } else {
                NOT_COVERED
            }
            .to_owned(),
            because: None,
            not_measured: remarked.and_then(|one| one.not_measured.clone()),
            places_not_measured: Vec::new(),
            with: Vec::new(),
            tooling: remarked.and_then(|one| one.tooling.clone()),
            comment: remarked.and_then(|one| one.comment.clone()),
            nonconformance: None,
            person: None,
            measured_at: None,
            entry: None,
            of_scope: None,
            warnings: Vec::new(),
        }
    }

    /// What the lot knows of it. What waits for a zero check, or is not complete, is not accepted.
    fn stands(&mut self, cell: &Cell) {
        let decided = cell.outcome.as_ref().map(|outcome| outcome.decision);
        let verdict = match (cell.standing, decided) {
            (Standing::Provisional, _) => Standing::Provisional.key(),
            (Standing::Undecided, Some("accept" | "reject") | None) => Standing::Undecided.key(),
            (standing, None) => standing.key(),
            (_, Some(decided)) => decided,
        };
        verdict.clone_into(&mut self.verdict);
        self.because.clone_from(&cell.because);
        self.places_not_measured = cell.missing.iter().map(words::spot).collect();
        self.entry = cell.entry.map(|entry| entry.to_string());
        if let Some(outcome) = &cell.outcome {
            self.size = Some(outcome.size);
            self.expanded_uncertainty = Some(outcome.expanded_uncertainty);
        }
        if let Some(gauged) = &cell.gauged {
            self.conforms = Some(gauged.conforms);
            self.with = vec![gauged.with.clone()];
        }
    }

    fn measured(&mut self, job: &Job, result: &Inspected) {
        self.min = result.limits.min;
        self.max = result.limits.max;
        self.unit = Some(result.unit);
        self.decimals = Some(result.decimals);
        self.size = Some(result.size.value);
        self.expanded_uncertainty = Some(result.size.expanded_uncertainty);
        self.coverage_factor = Some(result.size.coverage_factor);
        self.rule = Some(result.decision.rule.clone());
        self.rule_parameter = result.decision.rule_parameter;
        self.measured_at = Some(job.measured_at);
        self.of_scope = Some((job.characteristic.clone(), Sized::of(result)));
        self.with = pieces(job).map(|(_, one)| one.id().to_owned()).collect();
        let codes = result.warnings.iter().map(|warning| warning.code.clone());
        self.warnings = codes
            .map(|code| code.trim_start_matches("warning.").to_owned())
            .collect();
    }
}

impl Counts {
    fn of(lines: &[Line]) -> Self {
        let mut counts = Self::default();
        for line in lines {
            counts.characteristics += 1;
            *match line.verdict.as_str() {
                "accept" => &mut counts.accept,
                "reject" => &mut counts.reject,
                NOT_MEASURED => &mut counts.not_measured,
                NOT_COVERED => &mut counts.not_covered,
                _ => &mut counts.undecided,
            } += 1;
        }
        counts
    }

    /// What the piece comes to, by the characteristics that are covered.
    const fn verdict(&self) -> (&'static str, Option<Because>) {
        if self.reject > 0 {
            ("reject", Some(Because::Rejected))
        } else if self.undecided > 0 {
            ("undecided", Some(Because::Undecided))
        } else if self.not_measured > 0 {
            ("undecided", Some(Because::NotMeasured))
        } else {
            ("accept", None)
        }
    }
}

impl Used {
    fn of(((_, role, described), characteristics): ((usize, String, String), Vec<String>)) -> Self {
        Self {
            role,
            described,
            characteristics,
        }
    }
}

impl Nonconformance {
    fn of(one: &Nonconforming) -> Self {
        let shown_by = one.shown_by.iter();
        Self {
            number: one.number.clone(),
            characteristics: shown_by.map(|shown| shown.characteristic.clone()).collect(),
            disposition: one.disposition().key(),
            told: nonconforming::line(one),
        }
    }
}

impl Gathered {
    const fn new(begun: Entry) -> Self {
        Self {
            last: begun,
            people: BTreeSet::new(),
            equipment: BTreeMap::new(),
            deviations: Vec::new(),
            cautions: Vec::new(),
            measured: None,
            records: Vec::new(),
        }
    }

    /// What the lot and the record know of a line; the serial number that the record has.
    fn cell(
        &mut self,
        ledger: &Ledger,
        cell: &Cell,
        line: &mut Line,
    ) -> Result<Option<String>, Failure> {
        line.stands(cell);
        match cell.entry {
            Some(id) => self.result(ledger, id, line),
            None => Ok(None),
        }
    }

    /// Reads the record of a line; the serial number that it has.
    fn result(
        &mut self,
        ledger: &Ledger,
        id: EntryId,
        line: &mut Line,
    ) -> Result<Option<String>, Failure> {
        let entry = ledger.get(&id.into())?;
        let content = &entry.content;
        let serial = if RecordKind::Found.is_of(&entry) {
            record::intact(&entry)?;
            let found: Found =
                kept::read(kept::FOUND, &content.inputs).map_err(Failure::outside)?;
            line.conforms = Some(found.conforms);
            line.measured_at = Some(found.at);
            line.person = Some(content.actor.name.clone());
            line.comment = match (line.comment.take(), &found.note) {
                (Some(comment), Some(note)) => Some(format!("{comment}; {note}")),
                (comment, note) => comment.or_else(|| note.clone()),
            };
            self.found(&found, line);
            None
        } else {
            let (job, result) = record::read(&entry)?;
            line.measured(&job, &result);
            line.person = job
                .person
                .clone()
                .or_else(|| Some(content.actor.name.clone()));
            self.measured(&job, &result, line);
            job.part.serial
        };
        self.people.extend(line.person.clone());
        if let Some(at) = line.measured_at {
            self.measured = Some(match self.measured {
                None => (at, at),
                Some((from, to)) => (from.min(at), to.max(at)),
            });
        }
        if entry.sequence > self.last.sequence {
            self.last = entry.clone();
        }
        self.records.push(entry);
        Ok(serial)
    }

    fn found(&mut self, found: &Found, line: &mut Line) {
        if let Some(gauge) = &found.gauge {
            let described = found::described(gauge);
            self.used(
                usize::MAX,
                found::role_of(gauge).to_owned(),
                described,
                &line.number,
            );
        } else if let Some(with) = &found.with {
            line.with = vec![with.clone()];
            self.used(
                usize::MAX,
                words::word(&found.way),
                with.clone(),
                &line.number,
            );
        }
        for note in found::notes(&found.notes) {
            self.deviations.push(told_of(line, &note));
        }
    }

    fn measured(&mut self, job: &Job, result: &Inspected, line: &Line) {
        for (order, (kind, one)) in pieces(job).enumerate() {
            self.used(
                order,
                role(kind).to_owned(),
                on_report(kind, one),
                &line.number,
            );
        }
        for told in stated::deviations(job, &result.warnings, result.shown()) {
            self.deviations.push(told_of(line, &told));
        }
        for caution in &result.cautions {
            let told = told_of(line, &result.say(caution));
            if !self.cautions.contains(&told) {
                self.cautions.push(told);
            }
        }
    }

    fn used(&mut self, order: usize, role: String, described: String, number: &str) {
        let of = self.equipment.entry((order, role, described)).or_default();
        of.push(number.to_owned());
    }
}

fn told_of(line: &Line, told: &str) -> String {
    say!("first-article.of-line", number = line.number, told = told)
}
