//! A first article: one piece of a lot, with every numbered characteristic of its plan accounted for (ISO 9001 and the fields of
//! AS9102, form 3; the layout is our own). Every form of it is made of this one document.

pub mod supplied;

use std::collections::{BTreeMap, BTreeSet};

use jiff::Timestamp;
use jiff::civil::Date;
use ledger::{Entry, EntryRef, Ledger};
use metrology::inspection::{Characteristic, Job};
use metrology::lot::Standing;
use metrology::units::LengthUnit;
use serde::Serialize;
use workshop::RecordKind;
use workshop::equipment::pieces;
use workshop::first_article::{
    Again, Because, Certificate, Counts, FirstArticle as Facts, NOT_COVERED, NOT_MEASURED,
    Repeated, SetAside, Stood, Supplied,
};
use workshop::lot_entry::Found;
use workshop::lots::{self, Cell, FirstArticleIssued, Lot, Matrix, Nonconforming, Row};
use workshop::plan::Planned;

use super::{Record, Superseded, found, nonconforming, planned_words, stated, verdict_word};
use crate::document::{Inspected, MaxMin};
use crate::failure::Failure;
use crate::kept;
use crate::letterhead::Sized;
use crate::words::InWords as _;
use crate::words::equipment::{on_report, role};
use crate::{record, say, words};

/// So many pieces are named where another is asked for.
const TOLD: usize = 10;

#[derive(Serialize)]
pub struct FirstArticle {
    /// The entry that issues it; none of a draft.
    pub issued: Option<Issue>,
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
    pub verdict: String,
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
    /// What is recorded where it is issued.
    #[serde(skip)]
    pub facts: Facts,
}

/// The entry that issues a first article.
#[derive(Serialize)]
pub struct Issue {
    pub entry: String,
    pub hash: String,
    pub recorded_at: Timestamp,
    pub person: String,
    /// The program that issued it.
    pub program: String,
    /// The entry, and what holds since where it was replaced.
    #[serde(skip)]
    pub of: Entry,
    #[serde(skip)]
    pub superseded: Option<Superseded>,
}

#[derive(Serialize)]
pub struct Part {
    pub name: String,
    pub number: Option<String>,
    pub revision: Option<String>,
    pub serial: Option<String>,
    pub drawing: String,
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
    /// What the record itself decides.
    #[serde(skip)]
    decided: Option<String>,
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
        supplied::check(supplied, &matrix.plan)?;
        let row = row_of(lot, matrix, piece)?;
        let all = lots::nonconforming(ledger, lot)?;
        let held = all.into_iter().find(|one| one.piece == row.piece);
        let plan = &matrix.plan.characteristics;
        let cell = |index: usize| row.cells.get(index).and_then(Option::as_ref);
        let stood = plan.iter().enumerate().map(|(index, planned)| {
            let is_covered = supplied.covers(&planned.number);
            stood(&planned.number, is_covered, cell(index))
        });
        let repeats = matrix.repeats.iter();
        let repeats = repeats.filter(|(of, ..)| *of == row.piece);
        let facts = Facts {
            lot: lot.begun.number.clone(),
            lot_entry: lot.entry.to_string(),
            piece: row.piece.clone(),
            supplied: supplied.clone(),
            stood: stood.collect(),
            set_aside: held.as_ref().map(set_aside),
            repeats: repeats
                .map(|(_, index, entry)| Repeated {
                    characteristic: plan
                        .get(*index)
                        .map_or_else(String::new, |planned| planned.number.clone()),
                    entry: entry.to_string(),
                })
                .collect(),
        };
        lots::baseline_shows(ledger, &facts)?;
        // A size that waits for its zero check stands in no entry yet.
        let waiting = |index: usize| {
            let outcome = cell(index).and_then(|cell| cell.outcome.as_ref())?;
            Some((outcome.size, outcome.expanded_uncertainty))
        };
        let mut article = Self::made(ledger, lot, facts, held.as_ref(), waiting)?;
        let told = matrix.told_of(&row.piece).map(words::said);
        article.cautions.extend(told);
        Ok(article)
    }

    /// The one that an entry issued, as it was then: of the same records, and of them alone.
    pub fn issued(ledger: &Ledger, entry: &Entry) -> Result<Self, Failure> {
        record::intact(entry)?;
        let issued = lots::first_article(entry)?;
        let lot = lots::lot_of_first_article(ledger, &issued.article)?;
        let held = issued.article.set_aside.as_ref();
        let held = held
            .map(|then| lots::set_aside_then(ledger, &lot, &issued.article.piece, then))
            .transpose()?;
        let mut article = Self::made(ledger, &lot, issued.article, held.as_ref(), |_| None)?;
        let is_other = |line: &&Line| {
            let decided = line.decided.as_deref();
            matches!(line.verdict.as_str(), "accept" | "reject")
                && decided.is_some_and(|decided| decided != line.verdict)
        };
        if let Some(line) = article.characteristics.iter().find(is_other) {
            return Err(Failure::outside(say!(
                "first-article.not-as-recorded",
                entry = entry.id(),
                number = line.number,
                record = line.entry.as_deref().unwrap_or_default()
            )));
        }
        // What was done to a record later is no part of what was issued.
        for record in &mut article.records {
            let by = record.amended_by;
            record.amended_by = by.filter(|by| by.sequence() < entry.sequence);
        }
        article.issued = Some(Issue {
            entry: entry.id().to_string(),
            hash: entry.hash.to_string(),
            recorded_at: entry.content.recorded_at,
            person: entry.content.actor.name.clone(),
            program: entry.content.program.clone(),
            of: entry.clone(),
            superseded: Record::of(ledger, entry)?.superseded,
        });
        Ok(article)
    }

    fn made(
        ledger: &Ledger,
        lot: &Lot,
        facts: Facts,
        held: Option<&Nonconforming>,
        waiting: impl Fn(usize) -> Option<(f64, f64)>,
    ) -> Result<Self, Failure> {
        let supplied = &facts.supplied;
        let mut gathered = Gathered::new(ledger.get(&lot.entry.into())?);
        let mut serial = supplied.part.serial.clone();
        let mut lines = Vec::new();
        for (index, planned) in lot.plan.characteristics.iter().enumerate() {
            let stood = facts.stood.get(index);
            let stood = stood.filter(|stood| stood.characteristic == planned.number);
            let mut line = Line::of(planned, stood, supplied);
            if let Some((size, expanded)) = waiting(index).filter(|_| line.entry.is_none()) {
                line.size = Some(size);
                line.expanded_uncertainty = Some(expanded);
            }
            let recorded = match &line.entry {
                Some(entry) => {
                    let entry = entry.parse::<EntryRef>().map_err(Failure::outside)?;
                    gathered.result(ledger, &entry, &mut line)?
                }
                None => None,
            };
            serial = same_serial(serial, recorded, &line.number)?;
            let shown = held.filter(|one| {
                let mut shown = one.shown_by.iter();
                shown.any(|shown| shown.characteristic == line.number)
            });
            line.nonconformance = shown.map(|one| one.number.clone());
            lines.push(line);
        }
        let judged = facts.judged();
        let article = &supplied.first_article;
        let repeats = facts.repeats.iter().map(|one| Repeat {
            characteristic: one.characteristic.clone(),
            entry: one.entry.clone(),
        });
        Ok(Self {
            issued: None,
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
                    .or_else(|| lot.plan.revision.clone()),
                serial,
                drawing: lot.begun.drawing.clone(),
            },
            lot: lot.begun.number.clone(),
            piece: facts.piece.clone(),
            plan: lot.begun.plan.clone(),
            plan_entry: lot.begun.plan_entry.clone(),
            customer: lot.begun.customer.clone(),
            order: lot.begun.order.clone(),
            received: lot.begun.received,
            condition: lot.begun.condition.clone(),
            verdict: judged.verdict,
            because: judged.because.as_deref().and_then(Because::of),
            counts: judged.counts,
            characteristics: lines,
            certificates: supplied.certificate.clone(),
            equipment: gathered.equipment.into_iter().map(Used::of).collect(),
            nonconformance: held.map(Nonconformance::of),
            deviations: gathered.deviations,
            cautions: gathered.cautions,
            repeats: repeats.collect(),
            people: gathered.people.into_iter().collect(),
            measured_from: gathered.measured.map(|(from, _)| from),
            measured_to: gathered.measured.map(|(_, to)| to),
            entry: gathered.last.id().to_string(),
            hash: gathered.last.hash.to_string(),
            recorded_at: gathered.last.content.recorded_at,
            program: gathered.last.content.program.clone(),
            started_by: lot.person.clone(),
            records: gathered.records,
            facts,
        })
    }
}

/// How a piece stands on a characteristic. One that is left to the baseline stands by the result of this piece where there is
/// one: the baseline is of another. What waits for a zero check, or is not complete, is not accepted.
fn stood(number: &str, is_covered: bool, cell: Option<&Cell>) -> Stood {
    let Some(cell) = cell else {
        let verdict = if is_covered {
            NOT_MEASURED
        } else {
            NOT_COVERED
        };
        return Stood {
            characteristic: number.to_owned(),
            verdict: verdict.to_owned(),
            because: None,
            missing: Vec::new(),
            entry: None,
        };
    };
    let decided = cell.outcome.as_ref().map(|outcome| outcome.decision);
    let verdict = match (cell.standing, decided) {
        (Standing::Provisional, _) => Standing::Provisional.key(),
        (Standing::Undecided, Some("accept" | "reject") | None) => Standing::Undecided.key(),
        (standing, None) => standing.key(),
        (_, Some(decided)) => decided,
    };
    Stood {
        characteristic: number.to_owned(),
        verdict: verdict.to_owned(),
        because: cell.because.clone(),
        missing: cell.missing.clone(),
        entry: cell.entry.map(|entry| entry.to_string()),
    }
}

fn set_aside(one: &Nonconforming) -> SetAside {
    let decided = one.decided.as_ref();
    let again = one
        .again
        .iter()
        .map(|(characteristic, entry, standing)| Again {
            characteristic: characteristic.clone(),
            entry: entry.to_string(),
            standing: standing.key().to_owned(),
        });
    SetAside {
        number: one.number.clone(),
        shown_by: one.shown_by.clone(),
        decided: decided.map(|decided| decided.entry.to_string()),
        again: again.collect(),
        not_to_accept: one.is_not_to_accept(),
    }
}

/// One that was issued, on one line.
pub fn line(issued: &FirstArticleIssued) -> String {
    let article = &issued.article;
    say!(
        "first-article.listed",
        number = article.number().unwrap_or_default(),
        verdict = verdict_word(&issued.judged.verdict),
        extent = words::word(&article.supplied.first_article.extent),
        lot = article.lot,
        piece = article.piece
    )
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
    fn of(planned: &Planned, stood: Option<&Stood>, supplied: &Supplied) -> Self {
        let remarked = supplied.of(&planned.number);
        let limits = lots::limits_of(planned);
        let measured = planned.measured.as_ref();
        let target = measured
            .filter(|_| limits.is_some())
            .and_then(|measured| metrology::inspection::Target::of(measured).ok());
        let within = limits.map(|(limits, unit)| MaxMin::of(limits, unit));
        let missing = stood.into_iter().flat_map(|stood| &stood.missing);
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
            verdict: stood
                .map_or(NOT_MEASURED, |stood| &stood.verdict)
                .to_owned(),
            because: stood.and_then(|stood| stood.because.clone()),
            not_measured: remarked.and_then(|one| one.not_measured.clone()),
            places_not_measured: missing.map(words::spot).collect(),
            with: Vec::new(),
            tooling: remarked.and_then(|one| one.tooling.clone()),
            comment: remarked.and_then(|one| one.comment.clone()),
            nonconformance: None,
            person: None,
            measured_at: None,
            entry: stood.and_then(|stood| stood.entry.clone()),
            of_scope: None,
            warnings: Vec::new(),
            decided: None,
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
        self.decided = Some(result.decision.decision.clone());
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

    /// Reads the record of a line; the serial number that it has.
    fn result(
        &mut self,
        ledger: &Ledger,
        id: &EntryRef,
        line: &mut Line,
    ) -> Result<Option<String>, Failure> {
        let entry = ledger.get(id)?;
        let content = &entry.content;
        let serial = if RecordKind::Found.is_of(&entry) {
            record::intact(&entry)?;
            let found: Found =
                kept::read(kept::FOUND, &content.inputs).map_err(Failure::outside)?;
            line.conforms = Some(found.conforms);
            line.decided = Some(found.standing().key().to_owned());
            line.with = found.gauged_with().map(str::to_owned).into_iter().collect();
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
            let described = found::described(gauge, &found.notes);
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
                on_report(kind, one, &job.notes),
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
