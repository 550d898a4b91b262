//! The sheet of a lot: what it comes to, its sizes drawn, every piece, and what all of it was measured with.

use std::collections::{BTreeMap, BTreeSet};

use jiff::Timestamp;
use ledger::{Entry, EntryId, Filter, Ledger, Order, Page, Subject};
use maud::{Markup, html};
use metrology::inspection::{Job, Target};
use metrology::lot::Standing;
use metrology::units::LengthUnit;
use paper::{Attached, Block, Column, Table, Tone, Words};
use serde::Serialize;
use workshop::RecordKind;
use workshop::equipment::pieces;
use workshop::in_unit::from_mm;
use workshop::lot_entry::{Checked, Found, LOT, ZeroCheck};
use workshop::lots::{self, Cell, Lot, Matrix, OpenRun};
use workshop::plan::Planned;

use super::Printing;
use super::drawing;
use super::frame::{
    Format, Framed, accredited_of, attached, fact, fine, head, heading, plain as told_plainly,
    soft, to_sign,
};
use super::lot_drawing::{Series, Sized, Stands, histogram, run};
use super::{markup, plain};
use crate::document::{self, CharacteristicDocument, EntryDocument, LotDocument};
use crate::failure::Failure;
use crate::kept;
use crate::letterhead::{Letterhead, Sized as OfScope};
use crate::report;
use crate::report::lot::criteria;
use crate::report::sections::Fact;
use crate::report::stated::{self, OVERRIDDEN};
use crate::report::{caution, planned_words, range, sentence, size, verdict_word, verdict_words};
use crate::words::InWords as _;
use crate::words::equipment::{on_report, role};
use crate::words::{self, Shown, number};
use crate::{record, say};

/// What the sheet is shown on.
#[derive(Clone, Copy, PartialEq, Eq)]
enum On {
    Paper,
    Page,
    Terminal,
}

impl On {
    /// So many characteristics stand beside one another.
    const fn beside(self) -> usize {
        match self {
            Self::Paper | Self::Page => 6,
            Self::Terminal => 3,
        }
    }

    /// So many columns of pieces stand beside one another where there are few characteristics.
    const fn columns(self) -> usize {
        match self {
            Self::Paper | Self::Page => 9,
            Self::Terminal => 4,
        }
    }
}

/// A lot as it stands, for a sheet in any form.
pub struct LotSheet {
    lot: Lot,
    matrix: Matrix,
    open: Vec<OpenRun>,
    begun: Entry,
    known: Known,
    told: LotDocument,
}

impl LotSheet {
    /// Of a number; none where none of that number was begun.
    pub fn of(ledger: &Ledger, number: &str) -> Result<Option<Self>, Failure> {
        let Some(lot) = lots::find(ledger, number)? else {
            return Ok(None);
        };
        let open = lots::open_runs(ledger, &lot.begun.number)?;
        let matrix = lots::matrix(ledger, &lot, &open)?;
        let begun = ledger.get(&lot.entry.into())?;
        let known = Known::of(ledger, &begun, &lot, &matrix)?;
        let told = told(&lot, &matrix);
        Ok(Some(Self {
            lot,
            matrix,
            open,
            begun,
            known,
            told,
        }))
    }

    fn blocks(&self, on: On, letterhead: &Letterhead) -> Vec<Block> {
        let Self {
            lot,
            matrix,
            open,
            known,
            told,
            ..
        } = self;
        blocks(on, lot, matrix, open, known, told, letterhead)
    }

    fn title(&self) -> String {
        say!(
            "paper-lot.title-of-file",
            lot = self.lot.begun.number,
            part = self.lot.begun.part
        )
    }

    pub fn pdf(&self, letterhead: &Letterhead, printing: &Printing) -> Result<Vec<u8>, Failure> {
        number::on_paper(|| self.set(letterhead, printing))
    }

    fn set(&self, letterhead: &Letterhead, printing: &Printing) -> Result<Vec<u8>, Failure> {
        let (lot, known) = (&self.lot, &self.known);
        let begun = &self.begun;
        let framed = Framed {
            short: say!(
                "paper-lot.title-short",
                lot = lot.begun.number,
                record = known.last
            ),
            title: self.title(),
            identity: known.hash.clone(),
            made_at: known.at,
            program: begun.content.program.clone(),
            person: lot.person.clone(),
            on_one_page: false,
            format: Format::Report,
            name: lot.begun.number.clone(),
            attached: vec![
                data(begun, &self.matrix, told(lot, &self.matrix))?,
                attached(begun)?,
            ],
        };
        framed.pdf(letterhead, printing, self.blocks(On::Paper, letterhead))
    }

    /// The same as HTML, without the page around it.
    pub fn article(&self, letterhead: &Letterhead) -> Markup {
        let end = Block::End(say!("paper.end", record = self.lot.begun.number));
        let head = head(letterhead).into_iter();
        let blocks: Vec<Block> = head
            .chain(self.blocks(On::Page, letterhead))
            .chain([end])
            .collect();
        html! {
            article class=(format!("lot-sheet page {}", self.told.verdict)) {
                (markup::blocks(&blocks))
                p class="hash" { (self.known.hash) }
            }
        }
    }

    /// The same as a page: with the style in it, or with a head that fetches it.
    pub fn html(&self, letterhead: &Letterhead, head: Option<Markup>) -> Markup {
        let content = self.article(letterhead);
        report::html::sheet(&self.title(), self.told.verdict, head, &content)
    }

    /// The same as lines of so many characters.
    pub fn text(&self, letterhead: &Letterhead, width: usize) -> Vec<String> {
        let head = head(letterhead).into_iter();
        let blocks: Vec<Block> = head.chain(self.blocks(On::Terminal, letterhead)).collect();
        plain::lines(&blocks, width)
    }
}

fn told(lot: &Lot, matrix: &Matrix) -> LotDocument {
    document::of_matrix(matrix, &lot.begun.number, words::spot).lot
}

/// What the sheet shows, as data.
#[derive(Serialize)]
struct Data<'a> {
    begun: EntryDocument<'a>,
    pieces: Vec<document::CellDocument<'a>>,
    lot: LotDocument,
}

fn data(begun: &Entry, matrix: &Matrix, lot: LotDocument) -> Result<Attached, Failure> {
    let data = Data {
        begun: EntryDocument::of(begun, true),
        pieces: document::cells(matrix, &words::spot),
        lot,
    };
    Ok(Attached {
        name: "lot.json".to_owned(),
        media_type: "application/json".to_owned(),
        description: say!("paper-lot.attached").to_owned(),
        bytes: serde_json::to_vec(&data).map_err(Failure::outside)?,
    })
}

/// What the entries of a lot say beside their results.
struct Known {
    /// The latest entry that the sheet rests on.
    last: EntryId,
    sequence: u64,
    hash: String,
    at: Timestamp,
    people: BTreeSet<String>,
    measured: Option<(Timestamp, Timestamp)>,
    /// The least and the greatest temperature of a part.
    temperature: Option<(f64, f64)>,
    /// A piece of equipment in words, by its role, with the characteristics that it was used for.
    equipment: BTreeMap<(usize, String, String), BTreeSet<String>>,
    /// What was put aside on purpose, with the pieces.
    overrides: BTreeMap<String, BTreeSet<String>>,
    checks: Vec<(EntryId, ZeroCheck, Checked)>,
    /// What the status of gauges makes of results.
    notes: BTreeSet<String>,
}

impl Known {
    fn of(ledger: &Ledger, begun: &Entry, lot: &Lot, matrix: &Matrix) -> Result<Self, Failure> {
        let mut known = Self {
            last: begun.id(),
            sequence: begun.sequence,
            hash: begun.hash.to_string(),
            at: begun.content.recorded_at,
            people: BTreeSet::new(),
            measured: None,
            temperature: None,
            equipment: BTreeMap::new(),
            overrides: BTreeMap::new(),
            checks: Vec::new(),
            notes: BTreeSet::new(),
        };
        let mut shown = BTreeMap::new();
        for row in &matrix.rows {
            for (planned, cell) in matrix.plan.characteristics.iter().zip(&row.cells) {
                if let Some(entry) = cell.as_ref().and_then(|cell| cell.entry) {
                    shown.insert(entry.to_string(), (row.piece.as_str(), planned));
                }
            }
        }
        for kind in [
            RecordKind::Inspection,
            RecordKind::Found,
            RecordKind::ZeroCheck,
        ] {
            let filter = Filter {
                subjects: vec![Subject::new(LOT, &lot.begun.number)],
                ..kind.standing()
            };
            let mut next = Some(Page::first(Order::OldestFirst, Page::LARGEST));
            while let Some(page) = next {
                let listing = ledger.list(&filter, &page)?;
                for entry in &listing.entries {
                    known.add(kind, entry, &shown)?;
                }
                next = listing.next;
            }
        }
        Ok(known)
    }

    fn add(
        &mut self,
        kind: RecordKind,
        entry: &Entry,
        shown: &BTreeMap<String, (&str, &Planned)>,
    ) -> Result<(), Failure> {
        let content = &entry.content;
        let id = entry.id();
        if kind == RecordKind::ZeroCheck {
            let check = kept::read(kept::ZERO_CHECK, &content.inputs).map_err(Failure::outside)?;
            let checked = kept::read(kept::CHECKED, &content.results).map_err(Failure::outside)?;
            self.checks.push((id, check, checked));
            self.rest_on(entry);
            return Ok(());
        }
        let Some((piece, planned)) = shown.get(&id.to_string()) else {
            return Ok(());
        };
        self.rest_on(entry);
        if kind == RecordKind::Found {
            let found: Found =
                kept::read(kept::FOUND, &content.inputs).map_err(Failure::outside)?;
            self.people.insert(content.actor.name.clone());
            self.measured_at(found.at);
            if let Some(gauge) = &found.gauge {
                let role = report::found::role_of(gauge).to_owned();
                self.used(
                    4,
                    role,
                    report::found::described(gauge, &found.notes),
                    planned,
                );
            } else if let Some(with) = found.with {
                self.used(4, words::word(&found.way), with, planned);
            }
            for note in report::found::notes(&found.notes) {
                self.notes.insert(note);
            }
            return Ok(());
        }
        let job: Job = kept::glance(kept::JOB, &content.inputs).map_err(Failure::outside)?;
        let person = job.person.as_ref().unwrap_or(&content.actor.name);
        self.people.insert(person.clone());
        self.measured_at(job.measured_at);
        if let Some(temperature) = &job.temperature {
            let part = temperature.part.degrees();
            self.temperature = Some(match self.temperature {
                None => (part, part),
                Some((from, to)) => (from.min(part), to.max(part)),
            });
        }
        for (order, (kind, one)) in pieces(&job).enumerate() {
            let described = on_report(kind, one, &job.notes);
            self.used(order, role(kind).to_owned(), described, planned);
        }
        let shown = Shown::in_unit(self::unit(planned));
        for told in stated::of_readings(&job, shown) {
            let pieces = self.overrides.entry(told).or_default();
            pieces.insert((*piece).to_owned());
        }
        // Few results have one, and reading a result takes longer than looking for its code.
        if content.results.contains(OVERRIDDEN) {
            let (_, result) = record::read(entry)?;
            for warning in &result.warnings {
                if warning.code == OVERRIDDEN {
                    let told = words::on_report(warning, result.shown());
                    let pieces = self.overrides.entry(told).or_default();
                    pieces.insert((*piece).to_owned());
                }
            }
        }
        Ok(())
    }

    fn rest_on(&mut self, entry: &Entry) {
        if entry.sequence > self.sequence {
            self.sequence = entry.sequence;
            self.last = entry.id();
            self.hash = entry.hash.to_string();
            self.at = entry.content.recorded_at;
        }
    }

    fn measured_at(&mut self, at: Timestamp) {
        self.measured = Some(match self.measured {
            None => (at, at),
            Some((from, to)) => (from.min(at), to.max(at)),
        });
    }

    fn used(&mut self, order: usize, role: String, told: String, planned: &Planned) {
        let of = self.equipment.entry((order, role, told)).or_default();
        of.insert(planned.number.clone());
    }
}

/// The unit of what is measured.
fn unit(planned: &Planned) -> LengthUnit {
    let target = planned.measured.as_ref();
    let target = target.and_then(|measured| Target::of(measured).ok());
    target.map_or(LengthUnit::Millimetre, |target| target.unit)
}

fn blocks(
    on: On,
    lot: &Lot,
    matrix: &Matrix,
    open: &[OpenRun],
    known: &Known,
    told: &LotDocument,
    letterhead: &Letterhead,
) -> Vec<Block> {
    let mut blocks = vec![
        Block::Title(say!("paper-lot.title").to_owned()),
        Block::Facts(5, identity(lot, matrix, known)),
    ];
    blocks.extend(verdict(matrix, open, told));
    blocks.push(heading(say!("paper-lot.characteristics")));
    blocks.push(Block::Table(characteristics(matrix, told)));
    blocks.extend(charts(on, matrix));
    blocks.extend(all_pieces(on, matrix));
    blocks.push(heading(say!("paper-lot.not-measured")));
    blocks.extend(not_measured(matrix, told));
    let remarks = matrix.remarks();
    if !remarks.is_empty() {
        blocks.push(heading(say!("lots.not-counted")));
        let told = remarks.iter().map(|one| sentence(&words::said(one)).into());
        blocks.push(Block::List(told.collect()));
    }
    if !matrix.repeats.is_empty() {
        blocks.push(heading(say!("lots.repeats")));
        blocks.push(Block::List(repeats(matrix)));
    }
    let findings = matrix.gauge_findings();
    if !findings.is_empty() {
        blocks.push(heading(say!("lots.gauge-findings")));
        let told = findings.iter();
        let told = told.map(|finding| report::found::explained(matrix, finding).into());
        blocks.push(Block::List(told.collect()));
    }
    blocks.push(heading(say!("report.equipment")));
    blocks.push(Block::Table(equipment(known)));
    if !known.notes.is_empty() {
        let notes = known.notes.iter().map(|note| note.clone().into());
        blocks.push(Block::List(notes.collect()));
    }
    blocks.extend(checks(matrix, known));
    blocks.push(heading(say!("report.heading-statement")));
    blocks.push(fine(say!("paper-lot.statement")));
    blocks.push(Block::Paragraph(Tone::Caution, caution().into()));
    blocks.push(Block::Facts(4, around(lot, known)));
    blocks.extend(accredited(matrix, letterhead));
    let (program, record) = (env!("CARGO_PKG_VERSION"), known.last);
    blocks.push(soft(if on == On::Paper {
        say!("paper-lot.made-of", program = program, record = record)
    } else {
        say!(
            "paper-lot.made-of-record",
            program = program,
            record = record
        )
    }));
    blocks.push(to_sign());
    blocks
}

fn identity(lot: &Lot, matrix: &Matrix, known: &Known) -> Vec<Fact> {
    let begun = &lot.begun;
    let pieces = &begun.pieces;
    let mut facts = vec![
        fact(say!("report.head-lot"), Words::strong(begun.number.clone())),
        fact(say!("report.head-part"), begun.part.clone()),
        fact(say!("lots.drawing"), begun.drawing.clone()),
        fact(
            say!("lots.plan"),
            say!(
                "paper-lot.entry-of",
                name = begun.plan,
                entry = begun.plan_entry
            ),
        ),
    ];
    if let Some(size) = pieces.lot_size {
        facts.push(fact(say!("lots.lot-size"), size.to_string()));
    }
    let count = pieces.n.map_or_else(|| "–".to_owned(), |n| n.to_string());
    facts.push(fact(
        say!("lots.sampling"),
        say!(
            "lots.takes",
            take = words::word(&pieces.by.take()),
            count = count,
            accept = pieces.accept,
            reject = pieces.reject
        ),
    ));
    facts.push(fact(
        say!("lots.customer"),
        stated::customer(begun.customer.as_deref()),
    ));
    for (name, value) in [
        (say!("lots.resubmits-lot"), &begun.resubmits),
        (say!("lots.order"), &begun.order),
    ] {
        if let Some(value) = value {
            facts.push(fact(name, value.clone()));
        }
    }
    if let Some((from, to)) = known.measured {
        let (from, to) = (number::time(from), number::time(to));
        facts.push(fact(
            say!("report.head-measured"),
            say!("report.from-to", from = from, to = to),
        ));
    }
    let people: Vec<String> = known.people.iter().cloned().collect();
    if !people.is_empty() {
        facts.push(fact(say!("paper-lot.by"), people.join(", ")));
    }
    let mut ways: Vec<String> = Vec::new();
    for planned in &matrix.plan.characteristics {
        let way = words::word(&planned.way);
        if !ways.contains(&way) {
            ways.push(way);
        }
    }
    facts.push(fact(
        say!("paper-lot.procedure"),
        say!(
            "paper-lot.procedure-of",
            plan = begun.plan,
            ways = words::list(ways)
        ),
    ));
    facts.push(fact(
        say!("paper-lot.begun"),
        say!("paper-lot.entry-of", name = lot.person, entry = lot.entry),
    ));
    facts
}

fn verdict(matrix: &Matrix, open: &[OpenRun], told: &LotDocument) -> Vec<Block> {
    let word = verdict_words(told.verdict);
    let counts = say!(
        "lot-run.counts",
        n = told.pieces,
        accept = told.accept,
        reject = told.reject,
        undecided = told.undecided,
        provisional = told.provisional
    );
    let mut right = vec![told_plainly(Words::strong(counts))];
    right.push(told_plainly(criteria(&matrix.plan.pieces)));
    if let Some(because) = told.because {
        let because = words::named("lot-reason", because);
        right.push(told_plainly(sentence(&because)));
    }
    let mark = drawing::mark(told.verdict, word.clone());
    let shout = Block::Paragraph(Tone::Shout(drawing::colour(told.verdict)), word.into());
    let mut blocks = vec![Block::Columns(vec![
        (0.07, vec![Block::Figure(mark)]),
        (0.33, vec![shout]),
        (0.60, right),
    ])];
    let waiting: usize = open.iter().map(|run| run.state.pieces_since_check()).sum();
    if waiting > 0 {
        let said = say!("paper-lot.waiting", n = waiting);
        blocks.push(Block::Paragraph(Tone::Framed, said.into()));
    }
    let mut named = Vec::new();
    if !told.rejected_pieces.is_empty() {
        let all = told.rejected_pieces.join(", ");
        named.push(say!("lot-run.rejected", all = all).into());
    }
    if !told.undecided_pieces.is_empty() {
        let all = told.undecided_pieces.join(", ");
        named.push(say!("lot-run.undecided", all = all).into());
    }
    if !named.is_empty() {
        blocks.push(Block::List(named));
    }
    if told.not_measured.pieces > 0 && told.verdict != "undecided" {
        let said = report::lot::early_stop(&matrix.plan, told.verdict);
        blocks.push(told_plainly(said));
    }
    blocks
}

fn limits(matrix: &Matrix, index: usize) -> Option<String> {
    let (limits, unit) = matrix.limits(index)?;
    let decimals = decimals(matrix, index);
    let told = |limit: Option<metrology::units::Length>| {
        limit.map(|limit| number::fixed(from_mm(limit.mm(), unit), decimals))
    };
    let limits = range(told(limits.lower), told(limits.upper));
    Some(format!("{limits} {unit}"))
}

/// The decimals of the drawing, as its results have them.
fn decimals(matrix: &Matrix, index: usize) -> usize {
    let outcomes = matrix.rows.iter().filter_map(|row| {
        let cell = row.cells.get(index)?.as_ref()?;
        cell.outcome.as_ref().map(|outcome| outcome.decimals)
    });
    let decimals = outcomes.max().unwrap_or(4);
    usize::try_from(decimals).unwrap_or(4)
}

fn characteristics(matrix: &Matrix, told: &LotDocument) -> Table {
    let mut table = Table::new(vec![
        Column::text(say!("lots.number")),
        Column::text(say!("lots.what")),
        Column::text(say!("paper-lot.rule")),
        Column::number(say!("paper-lot.accept")),
        Column::number(say!("paper-lot.reject")),
        Column::number(say!("paper-lot.open")),
        Column::text(say!("paper-lot.sizes")),
    ]);
    for (index, planned) in matrix.plan.characteristics.iter().enumerate() {
        let found = told
            .characteristics
            .iter()
            .find(|one| one.characteristic == planned.number);
        let count = |get: fn(&CharacteristicDocument) -> u64| {
            found.map_or_else(|| "0".to_owned(), |one| get(one).to_string())
        };
        let mut what = vec![planned_words(planned)];
        what.extend(limits(matrix, index));
        what.push(words::word(&planned.way));
        if planned.class.accepts_none() {
            what.push(words::word(&planned.class));
        }
        let rule = match (&planned.agreed, planned.way.is_measured()) {
            (_, false) => "–".to_owned(),
            (Some(agreed), true) => {
                say!(
                    "paper-lot.rule-agreed",
                    rule = planned.rule.name,
                    agreed = agreed
                )
            }
            (None, true) => say!("paper-lot.rule-not-agreed", rule = planned.rule.name),
        };
        table.rows.push(vec![
            Words::strong(planned.number.clone()),
            what.join(", ").into(),
            rule.into(),
            count(|one| one.accept).into(),
            count(|one| one.reject).into(),
            count(|one| one.undecided + one.provisional).into(),
            found.map_or_else(String::new, sizes).into(),
        ]);
    }
    table
}

/// Mean, standard deviation, Ppk and what of the process is beyond the limits, where they are told.
fn sizes(found: &CharacteristicDocument) -> String {
    let mut told = Vec::new();
    if let (Some(mean), Some(unit)) = (found.mean, &found.unit) {
        told.push(if let Some(s) = found.standard_deviation {
            let (mean, s, _) = size(mean, s);
            say!("paper-lot.mean-and-s", mean = mean, s = s, unit = unit)
        } else {
            let mean = number::short(mean, 5);
            say!("paper-lot.mean", mean = mean, unit = unit)
        });
    }
    told.extend(report::lot::ppk_and_fraction(found));
    told.join(" ")
}

fn charts(on: On, matrix: &Matrix) -> Vec<Block> {
    let mut blocks = Vec::new();
    for (index, planned) in matrix.plan.characteristics.iter().enumerate() {
        let Some((limits, unit)) = matrix.limits(index) else {
            continue;
        };
        let series = Series {
            number: planned.number.clone(),
            lower: limits.lower.map(|limit| from_mm(limit.mm(), unit)),
            upper: limits.upper.map(|limit| from_mm(limit.mm(), unit)),
            decimals: decimals(matrix, index),
            sizes: matrix
                .rows
                .iter()
                .filter_map(|row| {
                    let cell = row.cells.get(index)?.as_ref()?;
                    let outcome = cell.outcome.as_ref()?;
                    Some(Sized {
                        piece: row.piece.clone(),
                        size: outcome.size,
                        expanded: outcome.expanded_uncertainty,
                        stands: match cell.standing {
                            Standing::Undecided | Standing::Provisional => Stands::Undecided,
                            Standing::Accept | Standing::Reject => Stands::of(outcome.decision),
                        },
                    })
                })
                .collect(),
        };
        if series.sizes.is_empty() {
            continue;
        }
        let title = say!(
            "paper-lot.chart",
            number = planned.number,
            what = planned_words(planned),
            unit = unit
        );
        blocks.push(heading(&title));
        blocks.push(Block::Columns(vec![
            (0.34, vec![Block::Figure(histogram(&series))]),
            (0.66, vec![Block::Figure(run(&series))]),
        ]));
    }
    if !blocks.is_empty() && on != On::Terminal {
        blocks.push(soft(say!("paper-lot.charts")));
    }
    blocks
}

/// Every piece: as many beside one another as the page has room for.
fn all_pieces(on: On, matrix: &Matrix) -> Vec<Block> {
    let mut blocks = vec![heading(say!("lots.pieces"))];
    if matrix.rows.is_empty() {
        blocks.push(told_plainly(say!("lots.nothing-yet")));
        return blocks;
    }
    blocks.push(soft(say!("paper-lot.how-to-read")));
    let count = matrix.plan.characteristics.len();
    for first in (0..count).step_by(on.beside()) {
        let last = (first + on.beside()).min(count);
        let beside = (on.columns() / (last - first + 1)).max(1);
        let mut columns = Vec::new();
        for _ in 0..beside {
            columns.push(Column::text(say!("lots.piece")));
            for planned in matrix
                .plan
                .characteristics
                .get(first..last)
                .unwrap_or_default()
            {
                columns.push(Column::text(planned.number.clone()));
            }
        }
        let mut table = Table::new(columns);
        let high = matrix.rows.len().div_ceil(beside);
        for line in 0..high {
            let mut row = Vec::new();
            for column in 0..beside {
                let Some(piece) = matrix.rows.get(column * high + line) else {
                    continue;
                };
                row.push(Words::strong(piece.piece.clone()));
                row.extend(
                    piece
                        .cells
                        .get(first..last)
                        .unwrap_or_default()
                        .iter()
                        .map(|one| cell(one.as_ref())),
                );
            }
            table.rows.push(row);
        }
        blocks.push(Block::Table(table));
    }
    blocks
}

fn cell(cell: Option<&Cell>) -> Words {
    let Some(cell) = cell else {
        return "–".into();
    };
    let decided = cell.outcome.as_ref().map(|outcome| outcome.decision);
    let key = match (decided, cell.standing) {
        (Some("accept") | None, standing @ (Standing::Undecided | Standing::Reject)) => {
            standing.key()
        }
        (Some(decision), _) => decision,
        (None, standing) => standing.key(),
    };
    let mut told = Words::new();
    if let Some(outcome) = &cell.outcome {
        let (value, expanded, _) = size(outcome.size, outcome.expanded_uncertainty);
        told = told.and(format!("{value} ± {expanded}"));
    }
    let is_plain = key == "accept" && cell.outcome.is_some();
    if cell.entry.is_none() {
        let word = verdict_word(key);
        told = told.and(format!(" ({word})"));
    } else if key == "accept" && !is_plain {
        told = told.and(verdict_word(key));
    } else if !is_plain {
        told = told.and(" ").and_strong(verdict_word(key));
    }
    told
}

fn not_measured(matrix: &Matrix, told: &LotDocument) -> Vec<Block> {
    let all = report::lot::not_measured(&matrix.plan, told);
    if all.is_empty() {
        return vec![told_plainly(say!("paper-lot.all-measured"))];
    }
    vec![Block::List(all.into_iter().map(Words::from).collect())]
}

fn repeats(matrix: &Matrix) -> Vec<Words> {
    let line = |(piece, index, entry): &(String, usize, EntryId)| {
        let planned = matrix.plan.characteristics.get(*index);
        let number = planned.map_or("", |one| one.number.as_str());
        say!(
            "lots.repeat-line",
            piece = piece,
            characteristic = number,
            entry = entry
        )
        .into()
    };
    matrix.repeats.iter().map(line).collect()
}

fn equipment(known: &Known) -> Table {
    let mut table = Table::new(vec![
        Column::text(say!("paper-lot.role")),
        Column::text(say!("report.equipment")),
        Column::text(say!("paper-lot.used-for")),
    ]);
    for ((_, role, told), of) in &known.equipment {
        let of: Vec<String> = of.iter().cloned().collect();
        table.rows.push(vec![
            role.clone().into(),
            told.clone().into(),
            of.join(", ").into(),
        ]);
    }
    if let Some((from, to)) = known.temperature {
        let (from, to) = (number::celsius(from, 1), number::celsius(to, 1));
        let told = if from == to {
            from
        } else {
            say!("report.from-to", from = from, to = to)
        };
        let name = say!("paper-lot.temperature").to_owned();
        table.rows.push(vec![name.into(), told.into()]);
    }
    table
}

fn checks(matrix: &Matrix, known: &Known) -> Vec<Block> {
    if known.checks.is_empty() {
        return Vec::new();
    }
    let mut table = Table::new(vec![
        Column::text(say!("paper.record")),
        Column::text(say!("lots.number")),
        Column::text(say!("paper-lot.when")),
        Column::number(say!("paper-lot.moved")),
        Column::text(say!("paper-lot.came-to")),
        Column::text(say!("lots.pieces")),
    ]);
    for (entry, check, checked) in &known.checks {
        let index = matrix
            .plan
            .characteristics
            .iter()
            .position(|planned| planned.number == check.number);
        let unit = index
            .and_then(|index| matrix.limits(index))
            .map_or(LengthUnit::Millimetre, |(_, unit)| unit);
        let came = if checked.good {
            say!("paper-lot.good")
        } else {
            say!("paper-lot.has-moved")
        };
        table.rows.push(vec![
            entry.to_string().into(),
            check.number.clone().into(),
            number::time(check.after_at).into(),
            number::shift(checked.drift, unit).into(),
            came.into(),
            check.pieces.join(", ").into(),
        ]);
    }
    vec![heading(say!("paper-lot.checks")), Block::Table(table)]
}

/// Which characteristics are within the scope of accreditation: those of which every result on the record is.
fn accredited(matrix: &Matrix, letterhead: &Letterhead) -> Vec<Block> {
    let (mut within, mut outside) = (Vec::new(), Vec::new());
    for (index, planned) in matrix.plan.characteristics.iter().enumerate() {
        let cells = matrix.rows.iter();
        let cells: Vec<&Cell> = cells
            .filter_map(|row| row.cells.get(index)?.as_ref())
            .collect();
        if cells.is_empty() {
            continue;
        }
        let covered = |cell: &&Cell| {
            let (Some(outcome), Some(measured)) = (&cell.outcome, &planned.measured) else {
                return false;
            };
            let sized = OfScope {
                size: outcome.size_mm,
                standard_uncertainty: libm::hypot(
                    outcome.own_uncertainty,
                    outcome.shared_uncertainty,
                ),
            };
            cell.entry.is_some() && letterhead.covers(measured, &sized) == Some(true)
        };
        if cells.iter().all(covered) {
            within.push(planned.number.as_str());
        } else {
            outside.push(planned.number.as_str());
        }
    }
    accredited_of(letterhead, &within, &outside)
}

/// What ISO/IEC 17025:2017, 7.8.2.1 and 7.8.6.2, want to be clear of every report, where the record has it.
fn around(lot: &Lot, known: &Known) -> Vec<Fact> {
    let begun = &lot.begun;
    let of_pieces = known.overrides.iter().map(|(told, pieces)| {
        let pieces: Vec<String> = pieces.iter().cloned().collect();
        say!(
            "paper-lot.deviation",
            told = told,
            pieces = pieces.join(", ")
        )
    });
    let checks = known.checks.iter().filter_map(|(entry, check, _)| {
        let reason = check.accepted.as_ref()?;
        Some(say!(
            "paper-lot.check-accepted",
            entry = entry,
            reason = reason
        ))
    });
    let deviations: Vec<String> = of_pieces.chain(checks).collect();
    vec![
        fact(
            say!("paper.receipt"),
            stated::receipt(begun.received, begun.condition.as_deref()),
        ),
        fact(
            say!("paper.supplied"),
            say!("paper.supplied-limits", drawing = begun.drawing),
        ),
        fact(say!("paper.deviations"), stated::listed(&deviations)),
        fact(say!("paper.risk"), say!("paper-lot.risk")),
        fact(say!("paper.of-others"), say!("paper.certificates")),
    ]
}
