//! `midflank inspect PLAN.toml --readings FILE.csv --setup SETUP.toml`: many pieces, and what the lot comes to.

mod document;
mod reasons;
mod text;

use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use ledger::Draft;
use metrology::inspection::Withheld;
use metrology::lot::LotReason;
use metrology::message::Say as _;
use workshop::lot::{
    Lot, LotError, LotNote, Measured, Scan, Tally, Whole, each as each_piece, scan,
};
use workshop::lots;
use workshop::plan::Plan;

use self::reasons::Reasons;
use crate::clock;
use crate::desk;
use crate::document::{Inspected, lot};
use crate::exchange::sheets;
use crate::failure::Failure;
use crate::job_file::AtHand;
use crate::output::{Output, warn};
use crate::record;
use crate::register::Shelf;
use crate::report;
use crate::say;
use crate::station;
use crate::words;

/// What is asked for.
pub struct Asked<'a> {
    pub plans: &'a [PathBuf],
    pub readings: &'a Path,
    pub set_up: &'a Path,
    pub shown: Shown,
    pub record: bool,
    pub person: Option<&'a str>,
}

/// How the answer is shown.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Shown {
    Table,
    Short,
    Json,
    Csv,
}

/// What is read, once all of it was looked at.
struct Read<'a> {
    asked: &'a Asked<'a>,
    rows: &'a Path,
    plan: &'a Plan,
    scan: &'a Scan,
    at_hand: &'a AtHand,
    lot: Lot<'a>,
}

pub fn run(asked: &Asked<'_>, ledger: Option<&Path>, output: &mut Output) -> Result<(), Failure> {
    let [path] = asked.plans else {
        return Err(Failure::input(say!("lot-run.one-plan")));
    };
    let now = clock::now()?;
    let (plan, understood) = sheets::read_plan(path)?;
    if let Some(understood) = &understood {
        warn(understood);
    }
    for note in &plan.notes {
        warn(&say!("command.warning", what = words::said(note)));
    }
    let at_hand = AtHand::read(asked.set_up, now)?;
    let unit = at_hand.unit()?.or(plan.unit);
    let readings = sheets::readings(asked.readings)?;
    if let Some(understood) = &readings.understood {
        warn(understood);
    }
    let rows = readings.path();
    let shelf: Shelf = desk::shelf(ledger);
    let begun = match at_hand.lot() {
        Some(number) => {
            let almost = shelf.in_ledger(|ledger| lots::begun_almost_as(ledger, number))?;
            if let Some(known) = almost {
                let number = number.trim().to_owned();
                let refused = lots::LotsError::KnownAs { number, known };
                return Err(workshop::Error::input(refused).into());
            }
            shelf.in_ledger(|ledger| lots::find(ledger, number))?
        }
        None => None,
    };
    let plan = match &begun {
        Some(lot) => {
            let (plan, told) = lot.held_against(plan)?;
            if let Some(told) = told {
                warn(&say!("command.warning", what = words::said(&told)));
            }
            plan
        }
        None => plan,
    };
    let mut scan =
        scan(rows, &plan, unit, now).map_err(|error| error.of_rows_from(rows, asked.readings))?;
    if !scan.timed && !at_hand.says_when() {
        let day = station::day(now);
        scan.notes.push(LotNote::NoTimes { day });
    }
    for note in &scan.notes {
        warn(&say!("command.warning", what = words::said(note)));
    }
    let lot = Lot::new(&plan, &scan, &at_hand, &shelf);
    for remark in words::remarks(shelf.remarks()) {
        warn(&say!("command.warning", what = remark));
    }
    let lot = lot?;
    if let (Some(begun), Some(measured)) = (&begun, lot.first_day()) {
        begun.admits(measured)?;
    }
    let read = Read {
        asked,
        rows,
        plan: &plan,
        scan: &scan,
        at_hand: &at_hand,
        lot,
    };
    if asked.record {
        return recorded(&read, unit, ledger, output);
    }
    let mut answer = Answer::begin(&read, output)?;
    each(&read, unit, |measured, _| answer.add(measured))?;
    answer.finish()
}

/// Hands over each result in the order of the file, with what it was made of.
fn each(
    read: &Read<'_>,
    unit: Option<metrology::units::LengthUnit>,
    mut take: impl FnMut(Measured, Whole) -> Result<(), Failure>,
) -> Result<(), Failure> {
    let of = (read.plan, read.scan, &read.lot);
    each_piece(read.rows, unit, of, read.asked.record, &mut take)
}

/// Puts all results on the record, and shows them then: an answer that is on the screen is on the disk.
fn recorded(
    read: &Read<'_>,
    unit: Option<metrology::units::LengthUnit>,
    ledger: Option<&Path>,
    output: &mut Output,
) -> Result<(), Failure> {
    let mut results = Vec::new();
    let mut drafts: Vec<Draft> = Vec::new();
    each(read, unit, |measured, made| {
        let draft = draft(read, &measured, made)
            .map_err(|failure| failure.about(&line_of(read, &measured)))?;
        drafts.push(draft);
        results.push(measured);
        Ok(())
    })?;
    let from_clock = !read.scan.timed && !read.at_hand.says_when();
    let books = desk::open(ledger)?;
    let put = record::append_all_once(&books, &drafts, from_clock)?;
    for (number, entry) in &put.repeats {
        if let Some(of) = results.get(*number) {
            let characteristic = number_of(read.plan, of.characteristic);
            let repeat = say!(
                "lot-run.repeat",
                piece = of.piece,
                characteristic = characteristic,
                entry = entry
            );
            warn(&say!("command.warning", what = repeat));
        }
    }
    let shown = shown(read, results, output);
    let told = say!(
        "lot-run.recorded",
        n = put.added.len(),
        already = put.already
    );
    let acknowledged = shown.and_then(|()| {
        if matches!(read.asked.shown, Shown::Json | Shown::Csv) {
            // Standard output holds the results and nothing else.
            let _ = writeln!(io::stderr(), "{told}");
            return output.finish();
        }
        output.line(&told)?;
        output.finish()
    });
    let last = put.added.last().map(|entry| entry.id().to_string());
    acknowledged.map_err(|failure| match last {
        Some(entry) => failure.although_recorded(&entry),
        None => failure,
    })
}

fn shown(read: &Read<'_>, results: Vec<Measured>, output: &mut Output) -> Result<(), Failure> {
    let mut answer = Answer::begin(read, output)?;
    results
        .into_iter()
        .try_for_each(|measured| answer.add(measured))?;
    answer.finish()
}

fn draft(read: &Read<'_>, measured: &Measured, made: Whole) -> Result<Draft, Failure> {
    let person = read.asked.person;
    let Some((mut job, inspection)) = made.map(|made| *made) else {
        let refused = measured.outcome.as_ref().err();
        return Err(refused.map_or_else(
            || Failure::refused(&LotError::Changed),
            |refused| Failure::refused_in(&refused.reason, refused.unit),
        ));
    };
    if let Some(flagged @ Withheld::Flagged { .. }) = &inspection.withheld {
        return Err(Failure::refused(flagged));
    }
    if job.person.is_none() {
        job.person = person.map(str::to_owned);
    }
    let result = Inspected::of(&job, &inspection);
    Ok(desk::draft(&job, &result, person)?)
}

/// Where a piece stands, to name it in front of what is wrong with it.
fn line_of(read: &Read<'_>, measured: &Measured) -> PathBuf {
    let place = say!(
        "lot-run.piece",
        file = read.asked.readings.display(),
        line = measured.line,
        piece = measured.piece,
        characteristic = number_of(read.plan, measured.characteristic)
    );
    PathBuf::from(place)
}

/// The number of a characteristic by its place in the plan.
fn number_of(plan: &Plan, characteristic: usize) -> &str {
    let planned = plan.characteristics.get(characteristic);
    planned.map_or("", |planned| planned.number.as_str())
}

/// The answer, result after result.
struct Answer<'a> {
    read: &'a Read<'a>,
    tally: Tally<'a>,
    text: text::Table,
    reasons: Reasons,
    all_answered: bool,
    output: &'a mut Output,
}

impl<'a> Answer<'a> {
    fn begin(read: &'a Read<'a>, output: &'a mut Output) -> Result<Self, Failure> {
        match read.asked.shown {
            Shown::Json => {}
            Shown::Csv => output.line(document::CSV_HEADER)?,
            Shown::Table | Shown::Short => {
                output.line(&text::heading(read.plan, read.at_hand.lot()))?;
            }
        }
        let short = read.asked.shown == Shown::Short;
        Ok(Self {
            read,
            tally: Tally::new(
                read.plan,
                read.scan.measured.clone(),
                read.scan.pieces_together,
            ),
            text: text::Table::new(short),
            reasons: Reasons::default(),
            all_answered: true,
            output,
        })
    }

    fn add(&mut self, measured: Measured) -> Result<(), Failure> {
        self.tally.add(&measured);
        self.all_answered &= measured.outcome.is_ok();
        let number = number_of(self.read.plan, measured.characteristic);
        match self.read.asked.shown {
            Shown::Json => self.output.json(&document::line(&measured, number)),
            Shown::Csv => self
                .output
                .written(|row| document::csv(&measured, number, row)),
            Shown::Table | Shown::Short => {
                self.reasons.add(&measured);
                self.text.add(&measured, number, self.output)
            }
        }
    }

    fn finish(mut self) -> Result<(), Failure> {
        self.tally.finish();
        let read = self.read;
        let is_alike = |note: &LotNote| matches!(note, LotNote::NamesAlike { .. });
        let alike = read.scan.notes.iter().any(is_alike);
        let size = read.plan.pieces.lot_size;
        let more = size.is_some_and(|size| self.tally.counts.pieces() > size);
        self.tally.holds = match (alike, more) {
            (true, _) => Some(LotReason::NamesAlike),
            (_, true) => Some(LotReason::MorePieces),
            _ => None,
        };
        let limits = |index| read.lot.limits(index);
        let mut document = lot(read.plan, &limits, read.at_hand.lot(), &self.tally);
        document.lot.note(&read.scan.notes);
        match read.asked.shown {
            Shown::Json => self.output.json(&document)?,
            Shown::Csv => self.output.line(&document::csv_lot(&document))?,
            Shown::Table | Shown::Short => {
                self.text.finish(self.output)?;
                self.output.line("")?;
                for line in self.reasons.lines() {
                    self.output.line(&line)?;
                }
                for line in report::lot::lines(read.plan, &document.lot) {
                    self.output.line(&line)?;
                }
            }
        }
        if self.all_answered {
            return Ok(());
        }
        Err(Failure::SomeLines)
    }
}

/// What is said where no size could be computed.
fn why(refused: &workshop::lot::Refused) -> String {
    words::message(
        &refused.reason.message(),
        words::Shown::in_unit(refused.unit),
    )
}
