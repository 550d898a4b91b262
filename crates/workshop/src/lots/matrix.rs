//! The pieces of a lot by characteristics: of each the result that stands, or what is known of it while it waits for a zero
//! check.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use ledger::{Entry, EntryId, Facts, Filter, Known, Ledger, Order, Page, Subject, Text};
use metrology::decision::Verdict;
use metrology::inspection::{Gauge, Job};
use metrology::lot::Standing;
use metrology::message::Value;
use metrology::units::LengthUnit;

use super::decisions::{Decided, decisions, latest, to_measure_after_work, worked_on};
use super::interval::interval;
use super::known::{Lot, find};
use super::not_counted::{NotCounted, WhyNot, off_plan};
use crate::approvals::Approvals;
use crate::bench::State;
use crate::bench::run::{OfOthers, OfRoom};
use crate::clock;
use crate::error::Error;
use crate::event::{Event, Spot, places};
use crate::facts::given;
use crate::inspection_plan::{By, Plan, Planned, Way};
use crate::kept;
use crate::lot::{Measured, Outcome, Tally, names_alike};
use crate::lot_entry::{self, Checked, Found, LOT, NUMBER, SAMPLE};
use crate::on_record;
use crate::record_kind::RecordKind;
use crate::room_on_record::RoomRecord;
use crate::station;

/// What is known of a piece on one characteristic.
#[derive(Clone, Debug)]
pub struct Cell {
    pub standing: Standing,
    /// Size and verdict; none of what was found without measuring.
    pub outcome: Option<Outcome>,
    /// Why there is no verdict, where it is withheld.
    pub because: Option<String>,
    /// The entry; none while it waits for a check.
    pub entry: Option<EntryId>,
    /// Places that nobody measured.
    pub missing: Vec<Spot>,
    /// What a gauge did, where it was tried with one.
    pub gauged: Option<Box<Gauged>>,
}

/// What a gauge did on a piece.
#[derive(Clone, Debug)]
pub struct Gauged {
    /// By name.
    pub with: String,
    /// As the register described it; none where it has none of that name.
    pub gauge: Option<Box<Gauge>>,
    pub conforms: bool,
    pub turns: Option<f64>,
    /// What its status makes of it.
    pub notes: Vec<Value>,
}

#[derive(Clone, Debug)]
pub struct Row {
    pub piece: String,
    /// One for each characteristic of the plan.
    pub cells: Vec<Option<Cell>>,
}

/// A run that has no end yet.
#[derive(Clone, Debug)]
pub struct OpenRun {
    pub station: String,
    pub state: State,
}

/// All that is known of a lot.
#[derive(Clone, Debug)]
pub struct Matrix {
    /// The plan, with the pieces that this lot takes.
    pub plan: Plan,
    pub rows: Vec<Row>,
    /// Earlier results of a piece and characteristic (by its place in the plan), which do not count.
    pub repeats: Vec<(String, usize, EntryId)>,
    /// Later results that do not count.
    pub not_counted: Vec<NotCounted>,
    /// Results of pieces that were worked on before. In a sample the result before the work counts: the lot was not worked on.
    pub after_work: Vec<AfterWork>,
}

/// A result of a piece after it was reworked or repaired.
#[derive(Clone, Debug)]
pub struct AfterWork {
    pub piece: String,
    /// Of which characteristic, by its place in the plan.
    pub index: usize,
    pub entry: EntryId,
    pub standing: Standing,
}

/// Runs of a lot that have no end.
pub fn open_runs(ledger: &Ledger, number: &str) -> Result<Vec<OpenRun>, Error> {
    let mut found = Vec::new();
    let mut approvals = None;
    for job in ledger.open_jobs(u32::MAX)? {
        let kept_events = ledger.job_events(job)?;
        let mut events = Vec::new();
        for event in &kept_events {
            let read = kept::read_event(&event.event).map_err(Error::outside)?;
            events.push((event.number, event.at, read));
        }
        let of_lot = events.iter().any(|(_, _, event)| match event {
            Event::Run { of } => of.lot == number,
            _ => false,
        });
        if !of_lot {
            continue;
        }
        let mut state = State::of(job, &events);
        let approved = match approvals.take() {
            Some(known) => known,
            None => Approvals::read(ledger)?,
        };
        state.laboratory = approved.clone();
        approvals = Some(approved);
        state.today = station::day(clock::now()?);
        let room = room_of_run(ledger, &state)?;
        if let Some(run) = state.run_mut() {
            Arc::make_mut(&mut run.lot).room = room;
        }
        state.look_again();
        let station = kept_events.last().map(|last| last.station.clone());
        found.push(OpenRun {
            station: station.unwrap_or_default(),
            state,
        });
    }
    Ok(found)
}

/// What is measured of each characteristic of a plan, as the facts of a result state it; none of one that is not measured. A
/// result of a readings file, or with the lot typed beside it, is told by this which characteristic it is of.
pub fn given_in(plan: &Plan) -> Result<Vec<Option<String>>, Error> {
    let told = |planned: &Planned| {
        let measured = planned.measured.as_ref();
        let measured = measured.filter(|_| planned.way.is_measured());
        measured.map(given).transpose()
    };
    let all = plan.characteristics.iter().map(told);
    all.collect::<Result<_, _>>().map_err(Error::outside)
}

/// What is known of a lot, with what is under way.
pub fn matrix(ledger: &Ledger, lot: &Lot, open: &[OpenRun]) -> Result<Matrix, Error> {
    Ok(Gathered::of(ledger, lot)?.matrix(open))
}

/// What a run has to know of its lot beside itself.
fn others(
    ledger: &Ledger,
    found: &Gathered,
    number: &str,
    open: &[OpenRun],
    own: Option<u64>,
) -> Result<OfOthers, Error> {
    let moved = |cell: &Cell| cell.because.as_deref() == Some("zero-moved");
    let index = found.by_name(number).unwrap_or(usize::MAX);
    let mut known = OfOthers::default();
    for ((piece, characteristic), cell) in &found.cells {
        if *characteristic == index {
            known.known.insert(piece.clone());
            if moved(cell) {
                known.again.push(piece.clone());
            }
        }
    }
    known.again.extend(to_measure_after_work(
        latest(decisions(ledger, &found.lot)?),
        number,
        |piece| {
            let mut after = found.after_work.iter();
            after.any(|after| after.piece == *piece && after.index == index)
        },
    ));
    known.again.sort_by_key(|piece| by_number(piece));
    known.again.dedup();
    for run in open.iter().filter(|run| run.state.job != own) {
        let state = &run.state;
        if state.run().is_some_and(|run| run.of.number == number) {
            known
                .known
                .extend(state.open_pieces().into_iter().map(|piece| piece.name));
            let found = state.run().map(|run| run.found.iter());
            known
                .known
                .extend(found.into_iter().flatten().map(|found| found.piece.clone()));
        }
    }
    Ok(known)
}

/// The same for a run as it stands, with how many pieces are proposed between two checks.
pub(super) fn of_others(
    ledger: &Ledger,
    lot: &Lot,
    found: &Gathered,
    state: &State,
) -> Result<OfOthers, Error> {
    let Some(run) = state.run() else {
        return Ok(OfOthers::default());
    };
    let open = open_runs(ledger, &run.of.lot)?;
    let mut known = others(ledger, found, &run.of.number, &open, state.job)?;
    known.room = room_of(ledger, lot, state)?;
    if let (Some(instrument), Some(contacts), Some(limit)) =
        (&state.instrument, &state.contacts, state.drift_limit())
    {
        let readings = state.plan.len();
        let told = interval(ledger, instrument, contacts, limit.mm(), readings)?;
        known.every = Some(told.pieces);
    }
    Ok(known)
}

/// Pieces in the order of their numbers, names after them.
fn by_number(piece: &str) -> (u64, String) {
    (piece.parse().unwrap_or(u64::MAX), piece.to_owned())
}

/// What the record has of a lot, piece by piece and characteristic by characteristic.
#[derive(Clone)]
pub(super) struct Gathered {
    plan: Plan,
    /// The number of the lot.
    lot: String,
    /// What is measured of each characteristic, to compare.
    given: Vec<Option<String>>,
    cells: BTreeMap<(String, usize), Cell>,
    repeats: Vec<(String, usize, EntryId)>,
    not_counted: Vec<NotCounted>,
    after_work: Vec<AfterWork>,
    /// By which events the zero checks that failed were made.
    moved: BTreeSet<(u64, u64)>,
    /// The decision to work on a piece.
    worked_on: BTreeMap<String, Decided>,
}

/// Whether what was added to the record could be added here.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Added {
    /// It was.
    Yes,
    /// It changes what earlier entries mean: all of them are to be read again.
    ReadAgain,
}

impl Gathered {
    /// All that is on the record, the oldest first: a later result takes the place of an earlier one, unless that was a rejection
    /// or the later one is of another plan.
    pub(super) fn of(ledger: &Ledger, lot: &Lot) -> Result<Self, Error> {
        let number = &lot.begun.number;
        let mut found = Self {
            plan: lot.plan.clone(),
            lot: number.clone(),
            given: given_in(&lot.plan)?,
            cells: BTreeMap::new(),
            repeats: Vec::new(),
            not_counted: Vec::new(),
            after_work: Vec::new(),
            moved: failed_checks(ledger, number)?,
            worked_on: worked_on(decisions(ledger, number)?),
        };
        for kind in [RecordKind::Inspection, RecordKind::Found] {
            let filter = Filter {
                subjects: vec![Subject::new(LOT, number)],
                ..kind.standing()
            };
            on_record::each(ledger, &filter, |entry, facts| {
                found.add(ledger, kind, entry, facts)
            })?;
        }
        found.gauged(ledger)?;
        Ok(found)
    }

    /// Adds what came on the record beyond an entry. What changes earlier entries (an amendment, a decision on a piece, a zero
    /// check that failed) is rare, and not worth a second way to work it out.
    pub(super) fn add_beyond(&mut self, ledger: &Ledger, sequence: u64) -> Result<Added, Error> {
        let mut next = Some(Page {
            beyond: Some(sequence),
            ..Page::first(Order::OldestFirst, Page::LARGEST)
        });
        while let Some(asked) = next {
            let listing = on_record::page(ledger, &Filter::default(), &asked)?;
            for Known { heading, facts } in &listing.entries {
                if heading.content.amends.is_some() || heading.amended_by.is_some() {
                    return Ok(Added::ReadAgain);
                }
                if heading.content.subject(LOT) != Some(self.lot.as_str()) {
                    continue;
                }
                let is = |kind: RecordKind| kind.is_of(heading);
                if is(RecordKind::Nonconformance) || is(RecordKind::Lot) {
                    return Ok(Added::ReadAgain);
                }
                if is(RecordKind::ZeroCheck) {
                    let entry = ledger.get(&heading.id().into())?;
                    let checked = kept::read::<Checked>(kept::CHECKED, &entry.content.results);
                    if !checked.is_ok_and(|checked| checked.good) {
                        return Ok(Added::ReadAgain);
                    }
                }
                let Some(facts) = facts else {
                    continue;
                };
                for kind in [RecordKind::Inspection, RecordKind::Found] {
                    if is(kind) {
                        self.add(ledger, kind, heading, facts)?;
                    }
                }
                if is(RecordKind::Found) && self.has_gauges() {
                    self.gauged_by(&ledger.get(&heading.id().into())?);
                }
            }
            next = listing.next;
        }
        Ok(Added::Yes)
    }

    /// With what is under way.
    pub(super) fn matrix(mut self, open: &[OpenRun]) -> Matrix {
        for run in open {
            self.run(&run.state);
        }
        let rows = self.rows();
        Matrix {
            plan: self.plan,
            rows,
            repeats: self.repeats,
            not_counted: self.not_counted,
            after_work: self.after_work,
        }
    }

    fn by_name(&self, number: &str) -> Option<usize> {
        let mut all = self.plan.characteristics.iter();
        all.position(|planned| planned.number == number)
    }

    /// Adds a result.
    fn add(
        &mut self,
        ledger: &Ledger,
        kind: RecordKind,
        entry: &Entry,
        facts: &Facts,
    ) -> Result<(), Error> {
        let subject = |role| entry.content.subject(role);
        let Some(piece) = subject(SAMPLE) else {
            return Ok(());
        };
        // What was measured with the lot typed beside it belongs to the characteristic that it is of.
        let characteristic = match subject(NUMBER) {
            Some(number) => self.by_name(number),
            None => facts.text(Text::Given).and_then(|given| {
                let mut all = self.given.iter();
                all.position(|known| known.as_deref() == Some(given))
            }),
        };
        let Some(index) = characteristic else {
            return Ok(());
        };
        let cell = match kind {
            RecordKind::Found => {
                let because = facts.text(Text::Because).map(str::to_owned);
                subject("verdict")
                    .and_then(Standing::of)
                    .map(|one| found(one, because))
            }
            _ => of_facts(facts),
        };
        let Some(mut cell) = cell else {
            return Ok(());
        };
        cell.entry = Some(entry.id());
        let of_inspection = kind == RecordKind::Inspection;
        let off_plan = self.plan.characteristics.get(index).and_then(|planned| {
            let given = self.given.get(index).and_then(Option::as_deref);
            off_plan(facts, &self.plan, planned, given).filter(|_| of_inspection)
        });
        if let Some(off_plan) = off_plan {
            cell.leave_undecided(off_plan.key());
        }
        let events = entry.content.events;
        if events.is_some_and(|events| self.moved.contains(&(events.job, events.count))) {
            cell.leave_undecided("zero-moved");
        }
        if of_inspection {
            cell.missing = self.missing(ledger, index, facts, entry.id())?;
            if !cell.missing.is_empty() && cell.standing == Standing::Accept {
                cell.standing = Standing::Undecided;
            }
        }
        let key = (piece.to_owned(), index);
        let decided = self.worked_on.get(piece);
        let after_work = decided.is_some_and(|decided| decided.entry.sequence() < entry.sequence);
        if after_work {
            self.after_work.push(AfterWork {
                piece: piece.to_owned(),
                index,
                entry: entry.id(),
                standing: cell.standing,
            });
            let of_all = matches!(self.plan.pieces.by, By::All);
            if !of_all && self.cells.contains_key(&key) {
                return Ok(());
            }
        }
        if let Some(earlier) = self.cells.get(&key)
            && let Some(stands) = earlier.entry
        {
            let why = match () {
                () if off_plan.is_some() => Some(WhyNot::OffPlan),
                () if earlier.standing == Standing::Reject && !after_work => Some(WhyNot::Rejected),
                () => None,
            };
            if let Some(why) = why {
                self.not_counted.push(NotCounted {
                    piece: piece.to_owned(),
                    index,
                    entry: entry.id(),
                    stands,
                    why,
                });
                return Ok(());
            }
            self.repeats.push((piece.to_owned(), index, stands));
        }
        self.cells.insert(key, cell);
        Ok(())
    }

    fn has_gauges(&self) -> bool {
        let mut all = self.plan.characteristics.iter();
        all.any(|planned| planned.way == Way::Gauge)
    }

    /// What gauges did on the record: only where the plan has one are those results themselves read.
    fn gauged(&mut self, ledger: &Ledger) -> Result<(), Error> {
        if !self.has_gauges() {
            return Ok(());
        }
        let filter = Filter {
            subjects: vec![Subject::new(LOT, &self.lot)],
            ..RecordKind::Found.standing()
        };
        on_record::each_whole(ledger, &filter, Order::OldestFirst, |entry| {
            self.gauged_by(entry);
            Ok(())
        })
    }

    fn gauged_by(&mut self, entry: &Entry) {
        let Ok(found) = kept::glance::<Found>(kept::FOUND, &entry.content.inputs) else {
            return;
        };
        let index = self.by_name(&found.number).unwrap_or(usize::MAX);
        let cell = self.cells.get_mut(&(found.piece.clone(), index));
        let cell = cell.filter(|cell| cell.entry == Some(entry.id()));
        if let (Some(cell), Some(with)) = (cell, found.gauged_with()) {
            cell.gauged = Some(Box::new(Gauged {
                with: with.to_owned(),
                gauge: found.gauge.clone(),
                conforms: found.conforms,
                turns: found.turns,
                notes: found.notes.clone(),
            }));
        }
    }

    /// Places that the plan names and a result has not. Only where there are fewer is the result itself read.
    fn missing(
        &self,
        ledger: &Ledger,
        index: usize,
        facts: &Facts,
        entry: EntryId,
    ) -> Result<Vec<Spot>, Error> {
        let Some(planned) = self.plan.characteristics.get(index) else {
            return Ok(Vec::new());
        };
        let spots = spots(planned);
        let read = facts
            .text(Text::Places)
            .and_then(|places| serde_json::from_str::<Vec<f64>>(places).ok());
        if read.is_some_and(|read| read.len() >= spots.len()) {
            return Ok(Vec::new());
        }
        let entry = ledger.get(&entry.into())?;
        let Ok(job) = kept::glance::<Job>(kept::JOB, &entry.content.inputs) else {
            return Ok(Vec::new());
        };
        let measured = |spot: &Spot| {
            let mut places = job.readings.iter();
            places.any(|place| place.along == spot.along && place.angle == spot.angle)
        };
        Ok(spots.into_iter().filter(|spot| !measured(spot)).collect())
    }

    /// What waits in a run for its check.
    fn run(&mut self, state: &State) {
        let Some(run) = state.run() else {
            return;
        };
        let Some(index) = self.by_name(&run.of.number) else {
            return;
        };
        for one in &run.found {
            let key = (one.piece.clone(), index);
            let because = lot_entry::because(&run.notes).map(str::to_owned);
            // Until it is on the record it counts for nothing.
            let mut cell = found(Standing::Provisional, because);
            cell.gauged = run
                .with
                .clone()
                .filter(|_| run.of.way == Way::Gauge)
                .map(|with| {
                    Box::new(Gauged {
                        with,
                        gauge: run.gauge.clone(),
                        conforms: one.conforms,
                        turns: one.turns,
                        notes: run.notes.clone(),
                    })
                });
            self.cells.insert(key, cell);
        }
        for piece in state.open_pieces() {
            let Some((_, inspected)) = state.inspect_piece(&piece) else {
                continue;
            };
            let outcome = inspected.ok().map(|inspected| Outcome::of(&inspected));
            let because = outcome.as_ref().and_then(|found| found.because.clone());
            let cell = Cell {
                standing: Standing::Provisional,
                outcome,
                because,
                entry: None,
                missing: state.missing_places(&piece),
                gauged: None,
            };
            let key = (piece.name, index);
            if self.stands_rejected(&key) {
                continue;
            }
            if let Some(earlier) = self.cells.insert(key.clone(), cell)
                && let Some(entry) = earlier.entry
            {
                self.repeats.push((key.0, index, entry));
            }
        }
    }

    /// Whether a rejection is on the record that no work on the piece has put in question.
    fn stands_rejected(&self, key: &(String, usize)) -> bool {
        let earlier = self.cells.get(key);
        let is_rejected =
            earlier.is_some_and(|cell| cell.standing == Standing::Reject && cell.entry.is_some());
        is_rejected && !self.worked_on.contains_key(&key.0)
    }

    fn rows(&self) -> Vec<Row> {
        let names: BTreeSet<&String> = self.cells.keys().map(|(piece, _)| piece).collect();
        let mut rows: Vec<Row> = names
            .into_iter()
            .map(|piece| Row {
                piece: piece.clone(),
                cells: (0..self.plan.characteristics.len())
                    .map(|index| self.cells.get(&(piece.clone(), index)).cloned())
                    .collect(),
            })
            .collect();
        rows.sort_by_key(|row| by_number(&row.piece));
        rows
    }
}

/// The zero checks of a lot that failed, by the events that they and the results before them were made from.
fn failed_checks(ledger: &Ledger, number: &str) -> Result<BTreeSet<(u64, u64)>, Error> {
    let mut found = BTreeSet::new();
    let filter = Filter {
        subjects: vec![Subject::new(LOT, number)],
        ..RecordKind::ZeroCheck.standing()
    };
    on_record::each_whole(ledger, &filter, Order::OldestFirst, |entry| {
        let checked = kept::read::<Checked>(kept::CHECKED, &entry.content.results);
        let events = entry.content.events;
        if let (Ok(Checked { good: false, .. }), Some(events)) = (checked, events) {
            found.insert((events.job, events.count));
        }
        Ok(())
    })?;
    Ok(found)
}

impl Cell {
    /// The check that would have made it final failed, or it is of another plan.
    fn leave_undecided(&mut self, because: &str) {
        self.standing = Standing::Undecided;
        self.because = Some(because.to_owned());
        if let Some(outcome) = &mut self.outcome {
            outcome.standing = Standing::Undecided;
            outcome.because.clone_from(&self.because);
            outcome.decision = Verdict::Undecided.key();
        }
    }
}

/// The places of a characteristic: those of the plan, or the usual ones.
fn spots(planned: &Planned) -> Vec<Spot> {
    if !planned.places.is_empty() {
        return planned
            .places
            .iter()
            .map(|place| Spot::named(place))
            .collect();
    }
    let target = planned
        .measured
        .as_ref()
        .and_then(|measured| metrology::inspection::Target::of(measured).ok());
    target.map_or_else(Vec::new, |target| places::usual(&target, &[]))
}

fn found(standing: Standing, because: Option<String>) -> Cell {
    Cell {
        standing,
        outcome: None,
        because,
        entry: None,
        missing: Vec::new(),
        gauged: None,
    }
}

fn of_facts(facts: &Facts) -> Option<Cell> {
    let outcome = Outcome::of_facts(facts)?;
    Some(Cell {
        standing: outcome.standing,
        because: outcome.because.clone(),
        outcome: Some(outcome),
        entry: None,
        missing: Vec::new(),
        gauged: None,
    })
}

impl Matrix {
    /// Which characteristics some piece has a result of.
    pub fn measured(&self) -> Vec<bool> {
        (0..self.plan.characteristics.len())
            .map(|index| {
                let mut rows = self.rows.iter();
                rows.any(|row| matches!(row.cells.get(index), Some(Some(_))))
            })
            .collect()
    }

    /// How many pieces have a result of a characteristic.
    pub fn done(&self, index: usize) -> u64 {
        let has = |row: &&Row| matches!(row.cells.get(index), Some(Some(_)));
        self.rows.iter().filter(has).count() as u64
    }

    /// Whether a characteristic asks for nothing more: all its pieces have a result that is not to be measured again.
    pub fn is_done(&self, index: usize) -> bool {
        let again = |row: &Row| {
            let cell = row.cells.get(index).and_then(Option::as_ref);
            cell.is_some_and(|cell| cell.because.as_deref() == Some("zero-moved"))
        };
        self.plan.pieces.n.is_some_and(|n| self.done(index) >= n) && !self.rows.iter().any(again)
    }

    /// What the lot comes to; `name` names a place.
    pub fn tally(&self, name: impl Fn(&Spot) -> String) -> Tally<'_> {
        let mut tally = Tally::new(&self.plan, self.measured(), false);
        for row in &self.rows {
            for (index, cell) in row.cells.iter().enumerate() {
                let Some(cell) = cell else { continue };
                let missing: Vec<String> = cell.missing.iter().map(&name).collect();
                match &cell.outcome {
                    Some(outcome) => tally.add(&Measured {
                        piece: row.piece.clone(),
                        characteristic: index,
                        line: 0,
                        n: 0,
                        missing_places: missing,
                        outcome: Ok(outcome.clone()),
                    }),
                    None => tally.stand(&row.piece, index, cell.standing, &missing),
                }
            }
        }
        tally.finish();
        let names = self.rows.iter().map(|row| row.piece.as_str());
        tally.names_alike = names_alike(names).is_some();
        tally
    }

    /// The unit of a characteristic and its limits; none of what is not measured.
    pub fn limits(&self, index: usize) -> Option<(metrology::limits::Limits, LengthUnit)> {
        limits_of(self.plan.characteristics.get(index)?)
    }
}

/// The unit of a characteristic and its limits; none of what is not measured.
pub fn limits_of(planned: &Planned) -> Option<(metrology::limits::Limits, LengthUnit)> {
    let measured = planned
        .measured
        .as_ref()
        .filter(|_| planned.way.is_measured())?;
    let target = metrology::inspection::Target::of(measured).ok()?;
    Some((target.limits, target.unit))
}

/// What the plan of a run asks of the room, and the record of the room since its first reading.
/// Notes on a job with the number of a lot what the plan of the lot asks of the room, and what the room makes of it.
pub fn tell_room(ledger: &Ledger, job: &mut Job) -> Result<(), Error> {
    let lot = job.part.lot.as_deref().map(|lot| find(ledger, lot));
    let limits = lot.transpose()?.flatten().and_then(|lot| lot.plan.room);
    if let Some(limits) = limits {
        let record = RoomRecord::read(ledger, &limits, job.measured_at)?;
        let limits = Some(limits);
        OfRoom { limits, record }.tell(job);
    }
    Ok(())
}

pub(super) fn room_of_run(ledger: &Ledger, state: &State) -> Result<OfRoom, Error> {
    match state
        .run()
        .map(|run| find(ledger, &run.of.lot))
        .transpose()?
        .flatten()
    {
        Some(lot) => room_of(ledger, &lot, state),
        None => Ok(OfRoom::default()),
    }
}

fn room_of(ledger: &Ledger, lot: &Lot, state: &State) -> Result<OfRoom, Error> {
    let Some(limits) = &lot.plan.room else {
        return Ok(OfRoom::default());
    };
    let from = match state.begun_reading() {
        Some(from) => from,
        None => clock::now()?,
    };
    Ok(OfRoom {
        limits: Some(limits.clone()),
        record: RoomRecord::read(ledger, limits, from)?,
    })
}
