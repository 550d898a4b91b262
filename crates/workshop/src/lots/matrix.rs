//! The pieces of a lot by characteristics: of each the result that stands, or what is known of it while it waits for a zero
//! check.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use jiff::civil::Date;
use ledger::{Entry, EntryId, Facts, Filter, Known, Ledger, Order, Page, Subject, Text};
use metrology::inspection::{Job, Place};
use metrology::lot::{LotReason, Standing};
use metrology::message::Value;
use metrology::units::LengthUnit;

use super::alike;
use super::as_recorded::not_as_recorded;
use super::assigned::{Apart, Assigned, Characteristics};
use super::cell::{Cell, Gauged, Key};
use super::decisions::{Decided, decisions, latest, to_measure_after_work, worked_on, works};
use super::doubts::{Doubted, Doubts, Rejection, number};
use super::interval::interval;
use super::known::{Lot, find};
use super::lot_remark::{LotRemark, Remarked};
use super::not_counted::{NotCounted, WhyNot, off_plan};
use super::recorded::Recorded;
use crate::approvals::Approvals;
use crate::bench::State;
use crate::bench::run::{OfOthers, OfRoom};
use crate::clock;
use crate::error::Error;
use crate::event::{Event, Spot, places};
use crate::inspection_plan::{By, Plan, Planned, Way};
use crate::kept;
use crate::lot::{Measured, Outcome, Tally, names_alike};
use crate::lot_entry::{self, Checked, Found, LOT, SAMPLE};
use crate::on_record;
use crate::record_kind::RecordKind;
use crate::room_on_record::RoomRecord;
use crate::stated_size::{PastLimit, is_bare, past_limit};
use crate::station;

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
    /// What else is on the record of the lot and counts for nothing, and what speaks against results that count.
    pub told: Vec<Remarked>,
    /// Why the lot is not accepted, however few pieces are undecided.
    pub holds: Option<LotReason>,
    /// What leaves pieces undecided that would count as accepted.
    pub open: Option<LotReason>,
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

/// What is known of a lot, with what is under way; what is not as it was recorded counts for nothing.
pub fn matrix(ledger: &Ledger, lot: &Lot, open: &[OpenRun]) -> Result<Matrix, Error> {
    let mut found = Gathered::of(ledger, lot)?;
    let of_lot = vec![Subject::new(LOT, &lot.begun.number)];
    found.doubts.changed = not_as_recorded(ledger, of_lot)?;
    Ok(found.matrix(open))
}

/// The same by the search facts alone: to look at, and for what is no verdict on the lot.
pub fn matrix_by_facts(ledger: &Ledger, lot: &Lot, open: &[OpenRun]) -> Result<Matrix, Error> {
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
    /// The day on which it came in.
    received: Option<Date>,
    characteristics: Characteristics,
    cells: BTreeMap<(String, usize), Cell>,
    repeats: Vec<(String, usize, EntryId)>,
    not_counted: Vec<NotCounted>,
    after_work: Vec<AfterWork>,
    /// By which events the zero checks that failed were made.
    moved: BTreeSet<(u64, u64)>,
    /// The decision to work on a piece.
    worked_on: BTreeMap<String, Decided>,
    /// All such decisions by their entries, the first first.
    works: BTreeMap<String, Vec<u64>>,
    doubts: Doubts,
    told: Vec<Remarked>,
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
        let decided = decisions(ledger, number)?;
        let mut found = Self {
            plan: lot.plan.clone(),
            lot: number.clone(),
            received: lot.begun.received,
            characteristics: Characteristics::of(&lot.plan)?,
            cells: BTreeMap::new(),
            repeats: Vec::new(),
            not_counted: Vec::new(),
            after_work: Vec::new(),
            moved: failed_checks(ledger, number)?,
            works: works(&decided),
            worked_on: worked_on(decided.clone()),
            doubts: Doubts::of(ledger, number, latest(decided))?,
            told: Vec::new(),
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
        for alike in alike::begun_as_none(ledger, number)? {
            let filter = Filter {
                subjects: vec![Subject::new(LOT, &alike)],
                ..RecordKind::Inspection.standing()
            };
            on_record::each(ledger, &filter, |entry, facts| {
                found.add_of_other_lot(ledger, &alike, entry, facts)
            })?;
        }
        found.found_on_record(ledger)?;
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
                let is = |kind: RecordKind| kind.is_of(heading);
                let kinds = [
                    RecordKind::Recall,
                    RecordKind::Calibration,
                    RecordKind::Certificate,
                    RecordKind::Check,
                    RecordKind::Status,
                ];
                if kinds.into_iter().any(is) {
                    return Ok(Added::ReadAgain);
                }
                match heading.content.subject(LOT) {
                    Some(lot) if lot == self.lot => {}
                    // Rare, and what it means hangs on whether that lot is begun.
                    Some(lot) if alike::is_alike(lot, &self.lot) => return Ok(Added::ReadAgain),
                    _ => continue,
                }
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
                if is(RecordKind::Found) && self.reads_found() {
                    self.found_by(&ledger.get(&heading.id().into())?);
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
        let mut cells = std::mem::take(&mut self.cells);
        let worked_after = |of: &Key, rejection: EntryId, entry: Option<EntryId>| {
            entry.is_some_and(|entry| self.worked_between(&of.0, rejection, entry))
        };
        let worked_between = |piece: &str, first, second| self.worked_between(piece, first, second);
        let is_settled = |decided: &Decided| {
            let after = self.after_work.iter();
            let after = after.filter(|after| after.piece == decided.decision.piece);
            let again = after.map(|after| {
                let characteristic = number(&self.plan, after.index);
                (characteristic, after.entry, after.standing)
            });
            decided.is_settled(&again.collect::<Vec<_>>())
        };
        let Doubted { told, holds, open } = (self.doubts).apply(
            &self.plan,
            &mut cells,
            worked_after,
            worked_between,
            is_settled,
        );
        self.cells = cells;
        self.told.extend(told);
        let rows = self.rows();
        Matrix {
            plan: self.plan,
            rows,
            repeats: self.repeats,
            not_counted: self.not_counted,
            after_work: self.after_work,
            told: self.told,
            holds,
            open,
        }
    }

    /// Whether somebody decided to work on a piece between two entries.
    fn worked_between(&self, piece: &str, first: EntryId, second: EntryId) -> bool {
        let works = self.works.get(piece);
        works.is_some_and(|works| is_between(works, first, second))
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
        let of_inspection = kind == RecordKind::Inspection;
        let cell = match kind {
            RecordKind::Found => {
                let because = facts.text(Text::Because).map(str::to_owned);
                subject("verdict")
                    .and_then(Standing::of)
                    .map(|one| Cell::found(one, because))
            }
            _ => Cell::of_facts(facts),
        };
        let Some(mut cell) = cell else {
            return Ok(());
        };
        cell.entry = Some(entry.id());
        let rejects = cell.standing == Standing::Reject;
        let result = Recorded::read(ledger, &self.plan, kind, entry, facts)?;
        let assigned = self.characteristics.assign(&result.said());
        let Some(piece) = subject(SAMPLE) else {
            self.without_piece(&assigned, rejects, entry.id());
            return Ok(());
        };
        let (index, same_terms) = match assigned {
            Assigned::To { index, same_terms } => (index, same_terms),
            Assigned::Apart { why, near } => {
                self.apart(piece, &result, (why, near), rejects, entry.id());
                return Ok(());
            }
        };
        let off_plan = self.plan.characteristics.get(index).and_then(|planned| {
            let stated = (facts, result.own_job());
            off_plan(stated, &self.plan, planned, same_terms).filter(|_| of_inspection)
        });
        if let Some(off_plan) = off_plan {
            cell.leave_undecided(off_plan.key());
        }
        let events = entry.content.events;
        let moved = events.is_some_and(|events| self.moved.contains(&(events.job, events.count)));
        if moved {
            cell.leave_undecided("zero-moved");
        }
        let key = (piece.to_owned(), index);
        if off_plan.is_some() && rejects && !moved {
            self.doubts.rejections.push(Rejection {
                piece: Some(piece.to_owned()),
                near: vec![index],
                entry: entry.id(),
            });
        }
        if of_inspection {
            cell.missing = self.missing(ledger, index, facts, &result, entry.id())?;
            if !cell.missing.is_empty() && cell.standing == Standing::Accept {
                cell.standing = Standing::Undecided;
            }
        }
        self.check_receipt(&key, &mut cell, facts);
        let works = self.works.get(piece).map_or(&[][..], Vec::as_slice);
        let of_entry = (entry.id(), &cell, facts);
        self.doubts.compare(&key, of_entry, |first, second| {
            is_between(works, first, second)
        });
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
        if !self.stands_back(&key, &cell, entry.id(), off_plan.is_some(), after_work) {
            self.cells.insert(key, cell);
        }
        Ok(())
    }

    /// Whether a result does not take the place of the one before it, which is told then; otherwise that one is a repeat.
    fn stands_back(
        &mut self,
        key: &Key,
        cell: &Cell,
        entry: EntryId,
        is_off_plan: bool,
        after_work: bool,
    ) -> bool {
        let (piece, index) = (key.0.as_str(), key.1);
        let earlier = self.cells.get(key);
        let Some((earlier, stands)) = earlier.and_then(|earlier| Some((earlier, earlier.entry?)))
        else {
            return false;
        };
        let why = match () {
            () if is_off_plan => Some(WhyNot::OffPlan),
            () if earlier.standing == Standing::Reject && !after_work => Some(WhyNot::Rejected),
            () => None,
        };
        if let Some(why) = why {
            self.not_counted.push(NotCounted {
                piece: piece.to_owned(),
                index,
                entry,
                stands,
                why,
            });
            return true;
        }
        let characteristic = number(&self.plan, index);
        let gone = self.doubts.gone(piece);
        if let Some(gone) = gone.filter(|gone| gone.entry.sequence() < entry.sequence()) {
            let remark = LotRemark::AfterFinal {
                piece: piece.to_owned(),
                characteristic,
                entry: entry.to_string(),
                disposition: gone.decision.disposition,
                decided: gone.entry.to_string(),
            };
            self.tell(piece, remark);
            return true;
        }
        // What was measured later counts, whenever it was recorded. A rejection counts in any case.
        let is_older = earlier.at.zip(cell.at).is_some_and(|(at, own)| own < at);
        if is_older && cell.standing != Standing::Reject {
            let remark = LotRemark::Older {
                piece: piece.to_owned(),
                characteristic,
                entry: entry.to_string(),
                stands: stands.to_string(),
            };
            self.repeats.push((piece.to_owned(), index, entry));
            self.tell(piece, remark);
            return true;
        }
        self.repeats.push((piece.to_owned(), index, stands));
        false
    }

    /// A result of a lot that was not begun and has a number written almost as this one's. It counts for nothing here; a
    /// rejection is not passed over.
    fn add_of_other_lot(
        &mut self,
        ledger: &Ledger,
        lot: &str,
        entry: &Entry,
        facts: &Facts,
    ) -> Result<(), Error> {
        let kind = RecordKind::Inspection;
        let rejects = Cell::of_facts(facts).is_some_and(|cell| cell.standing == Standing::Reject);
        let result = Recorded::read(ledger, &self.plan, kind, entry, facts)?;
        let near = match self.characteristics.assign(&result.said()) {
            Assigned::To { index, .. } => vec![index],
            Assigned::Apart { near, .. } => near,
        };
        let (lot, id) = (lot.to_owned(), entry.id().to_string());
        let piece = entry.content.subject(SAMPLE).map(str::to_owned);
        let remark = match piece.clone() {
            Some(piece) => LotRemark::OtherLot {
                piece,
                lot,
                entry: id,
            },
            None => LotRemark::OtherLotNoPiece { lot, entry: id },
        };
        self.told.push(Remarked {
            piece: piece.clone(),
            remark,
        });
        if rejects && !near.is_empty() {
            self.doubts.rejections.push(Rejection {
                piece,
                near,
                entry: entry.id(),
            });
        }
        Ok(())
    }

    /// A result that names no piece: nobody knows whose it is.
    fn without_piece(&mut self, assigned: &Assigned, rejects: bool, entry: EntryId) {
        let is_of_plan = match assigned {
            Assigned::To { .. } => true,
            Assigned::Apart { near, .. } => !near.is_empty(),
        };
        if rejects && is_of_plan {
            self.doubts.rejections.push(Rejection {
                piece: None,
                near: Vec::new(),
                entry,
            });
        }
    }

    /// A result that belongs to no characteristic of the plan.
    fn apart(
        &mut self,
        piece: &str,
        result: &Recorded,
        (why, near): (Apart, Vec<usize>),
        rejects: bool,
        entry: EntryId,
    ) {
        let (of, id) = (piece.to_owned(), entry.to_string());
        let characteristic = result.number().unwrap_or_default().to_owned();
        let all = || {
            near.iter()
                .map(|index| number(&self.plan, *index))
                .collect()
        };
        let remark = match why {
            Apart::UnknownNumber => LotRemark::UnknownNumber {
                piece: of,
                characteristic,
                entry: id,
            },
            Apart::OtherFeature => LotRemark::OtherFeature {
                piece: of,
                characteristic,
                entry: id,
            },
            Apart::SeveralFit => LotRemark::SeveralFit {
                piece: of,
                entry: id,
                all: all(),
            },
            Apart::OtherLimits => LotRemark::OtherLimits {
                piece: of,
                entry: id,
                all: all(),
            },
            Apart::NotPlanned => LotRemark::NotPlanned {
                piece: of,
                entry: id,
            },
        };
        self.tell(piece, remark);
        if rejects && !near.is_empty() {
            self.doubts.rejections.push(Rejection {
                piece: Some(piece.to_owned()),
                near,
                entry,
            });
        }
    }

    fn tell(&mut self, piece: &str, remark: LotRemark) {
        self.told.push(Remarked {
            piece: Some(piece.to_owned()),
            remark,
        });
    }

    /// What was measured before the lot came in is no result of it, as a job is refused that says so itself.
    fn check_receipt(&mut self, key: &Key, cell: &mut Cell, facts: &Facts) {
        let measured = facts.text(Text::MeasuredOn);
        let measured = measured.and_then(|day| day.parse::<Date>().ok());
        let Some((measured, received)) = measured.zip(self.received) else {
            return;
        };
        if measured < received && cell.standing != Standing::Reject {
            cell.leave_undecided("before-receipt");
            let remark = LotRemark::BeforeReceipt {
                piece: key.0.clone(),
                characteristic: number(&self.plan, key.1),
                entry: cell
                    .entry
                    .map(|entry| entry.to_string())
                    .unwrap_or_default(),
                measured,
                received,
            };
            self.tell(&key.0, remark);
        }
    }

    /// Whether what was found without measuring says more than its facts: by a gauge, or with a size beside the answer.
    fn reads_found(&self) -> bool {
        let mut all = self.plan.characteristics.iter();
        all.any(|planned| {
            planned.way == Way::Gauge || !planned.way.is_measured() && planned.measured.is_some()
        })
    }

    /// What was found without measuring: only where the plan says what for are those results themselves read.
    fn found_on_record(&mut self, ledger: &Ledger) -> Result<(), Error> {
        if !self.reads_found() {
            return Ok(());
        }
        let filter = Filter {
            subjects: vec![Subject::new(LOT, &self.lot)],
            ..RecordKind::Found.standing()
        };
        on_record::each_whole(ledger, &filter, Order::OldestFirst, |entry| {
            self.found_by(entry);
            Ok(())
        })
    }

    fn found_by(&mut self, entry: &Entry) {
        let Ok(found) = kept::glance::<Found>(kept::FOUND, &entry.content.inputs) else {
            return;
        };
        let index = self.by_name(&found.number).unwrap_or(usize::MAX);
        let cell = self.cells.get_mut(&(found.piece.clone(), index));
        let cell = cell.filter(|cell| cell.entry == Some(entry.id()));
        let Some(cell) = cell else {
            return;
        };
        if let Some(with) = found.gauged_with() {
            cell.gauged = Some(Box::new(Gauged {
                with: with.to_owned(),
                gauge: found.gauge.clone(),
                conforms: found.conforms,
                turns: found.turns,
                notes: found.notes.clone(),
            }));
            return;
        }
        let planned = self.plan.characteristics.get(index);
        let asked = planned.and_then(|planned| planned.measured.as_ref());
        let note = found.note.as_deref();
        let note = note.filter(|note| found.conforms && is_bare(note));
        let past = note.zip(asked);
        if let Some(PastLimit { size, limit }) =
            past.and_then(|(note, asked)| past_limit(note, asked))
            && cell.doubt("stated-past-limit")
        {
            let remark = LotRemark::StatedPastLimit {
                piece: found.piece.clone(),
                characteristic: found.number,
                entry: entry.id().to_string(),
                size,
                limit,
            };
            self.tell(&found.piece, remark);
        }
    }

    /// Places that the plan names, or the bench asks for where it names none, and a result has not. Nobody asks a job of its own
    /// for places that the plan does not name.
    fn missing(
        &self,
        ledger: &Ledger,
        index: usize,
        facts: &Facts,
        result: &Recorded,
        entry: EntryId,
    ) -> Result<Vec<Spot>, Error> {
        let Some(planned) = self.plan.characteristics.get(index) else {
            return Ok(Vec::new());
        };
        let named: Vec<Spot> = planned
            .places
            .iter()
            .map(|place| Spot::named(place))
            .collect();
        if !named.is_empty() {
            let places = result.places(ledger, entry)?;
            let at = |spot: &Spot| places.iter().any(|place| is_at(spot, place));
            return Ok(named.into_iter().filter(|spot| !at(spot)).collect());
        }
        if !result.is_of_run() {
            return Ok(Vec::new());
        }
        let usual = usual(planned);
        // Only where there are fewer is the result itself read.
        let read = facts
            .text(Text::Places)
            .and_then(|places| serde_json::from_str::<Vec<f64>>(places).ok());
        if read.is_some_and(|read| read.len() >= usual.len()) {
            return Ok(Vec::new());
        }
        let places = result.places(ledger, entry)?;
        let measured = |spot: &Spot| {
            let mut places = places.iter();
            places.any(|place| place.along == spot.along && place.angle == spot.angle)
        };
        Ok(usual.into_iter().filter(|spot| !measured(spot)).collect())
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
            let mut cell = Cell::found(Standing::Provisional, because);
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
                at: None,
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

fn is_between(works: &[u64], first: EntryId, second: EntryId) -> bool {
    let between = first.sequence()..second.sequence();
    works.iter().any(|work| between.contains(work))
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

/// The usual places of a characteristic, which the bench asks for where the plan names none.
fn usual(planned: &Planned) -> Vec<Spot> {
    let target = planned
        .measured
        .as_ref()
        .and_then(|measured| metrology::inspection::Target::of(measured).ok());
    target.map_or_else(Vec::new, |target| places::usual(&target, &[]))
}

/// Whether a place of a job is one that the plan names: a place without an angle is measured at whatever angle.
fn is_at(spot: &Spot, place: &Place) -> bool {
    let along = match (&spot.along, &place.along) {
        (Some(Value::Text(planned)), Some(Value::Text(measured))) => {
            planned.trim().eq_ignore_ascii_case(measured.trim())
        }
        (planned, measured) => planned == measured,
    };
    along && spot.angle.is_none_or(|angle| place.angle == Some(angle))
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
        let alike = names_alike(names).map(|_| LotReason::NamesAlike);
        let more = self.more_pieces().map(|_| LotReason::MorePieces);
        tally.holds = alike.or(more).or(self.holds);
        tally.open = self.open;
        tally
    }

    /// The size of the lot, where more pieces have results by name than it has.
    pub(super) fn more_pieces(&self) -> Option<u64> {
        let size = self.plan.pieces.lot_size;
        size.filter(|size| (self.rows.len() as u64) > *size)
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

/// What the plan of a run asks of the room, and the record of the room since its first reading.
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
