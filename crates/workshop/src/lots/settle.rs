//! The entries that a zero check makes: one for each piece since the check before, by the calculation of any inspection, and
//! one for the check, which names them. Of what was found without measuring, one for each piece.

use jiff::Timestamp;
use ledger::{Draft, Entry, Filter, JobEvents, Ledger, Order, Page, Subject};
use metrology::inspection::{Job, StatusNote, inspect};
use metrology::message::Value;
use metrology::units::{Entered, LengthUnit};

use super::decisions::{decisions, worked_on};
use super::matrix::room_of_run;
use crate::bench::run::{FoundPiece, Piece, Run};
use crate::bench::{Refused, State};
use crate::clock::to_second;
use crate::document::Inspected;
use crate::error::{Error, Why};
use crate::event::Event;
use crate::gauges;
use crate::inspection_plan::{PlanNote, Way};
use crate::job_status;
use crate::kept;
use crate::lot::ZeroNote;
use crate::lot_entry::{Earlier, Found, ZeroCheck};
use crate::nonconformance::{Decision, ShownBy};
use crate::record::BENCH_JOB;
use crate::record_kind::RecordKind;
use crate::recorder::Recorder;
use crate::register::Register;
use crate::station;
use crate::trials;

/// Makes the entry of an inspection, with the words of the day.
pub type Words<'a> = &'a dyn Fn(&Job, &Inspected) -> Result<Draft, Error>;

/// The entries of all that waits in a run, the check last; and whether the zero was good.
pub fn drafts(
    ledger: &Ledger,
    state: &State,
    recorder: &Recorder,
    inspection: Words<'_>,
) -> Result<(Vec<Draft>, bool), Error> {
    let incomplete = || Error::input(Refused::NotComplete);
    let (Some(run), Some(job)) = (state.run(), state.job) else {
        return Err(incomplete());
    };
    let events = events(ledger, job, state.number)?;
    let of_job = |mut draft: Draft| {
        draft.events = events;
        draft
            .subjects
            .insert(Subject::new(BENCH_JOB, job.to_string()));
        draft
    };
    if !run.of.way.is_measured() {
        let found = found(ledger, run, job)?;
        let draft = |found: &Found| {
            Ok(of_job(Draft {
                inputs: kept::write(kept::FOUND, found).map_err(Error::outside)?,
                subjects: found.subjects(),
                ..recorder.blank(RecordKind::Found)?
            }))
        };
        let drafts: Result<_, Error> = found.iter().map(draft).collect();
        return Ok((drafts?, true));
    }
    let mut drafts = Vec::new();
    let register = Register::read(ledger)?;
    let barred = |piece: &Piece| {
        let job = state.job_of(piece)?;
        let trial = trials::of(job, &register).ok()?;
        Some(trials::draft(&trial, recorder).map(of_job))
    };
    // With barred equipment nothing is final, and no check makes it so: what was read is kept as a trial.
    let trials: Result<Vec<Draft>, Error> = state.open_pieces().iter().filter_map(barred).collect();
    let trials = trials?;
    if !trials.is_empty() {
        return Ok((trials, false));
    }
    let room = room_of_run(ledger, state)?;
    let check = check(state, run).ok_or_else(incomplete)?;
    let checked = check.checked().ok_or_else(incomplete)?;
    let worked_on = worked_on(decisions(ledger, &run.of.lot)?);
    for piece in state.open_pieces() {
        let mut job = state.job_of(&piece).ok_or_else(incomplete)?;
        room.tell(&mut job);
        job_status::apply(&mut job, &register, &room.record)?;
        let notes = ZeroNote::of(job.measured_at, Some(check.before_at), Some(check.after_at));
        job.notes.extend(notes.map(Value::said));
        job_status::note_closed(&mut job, &register, check.after_at);
        if !checked.good {
            job.notes.push(Value::said(StatusNote::ZeroMoved {
                by: checked.drift,
                limit: check.limit.value().mm(),
            }));
        }
        if let Some(decided) = worked_on.get(&piece.name) {
            let decision = &decided.decision;
            job.notes.push(Value::said(PlanNote::AfterWork {
                number: decision.number.clone(),
                first: shown_by(decision, &run.of.number),
            }));
        }
        let result = inspect(&job)
            .map_err(|error| Error::Input(Why::in_unit(error, state.drawing_unit())))?;
        drafts.push(of_job(inspection(&job, &Inspected::of(&job, &result))?));
    }
    drafts.push(of_job(Draft {
        inputs: kept::write(kept::ZERO_CHECK, &check).map_err(Error::outside)?,
        results: kept::write(kept::CHECKED, &checked).map_err(Error::outside)?,
        subjects: check.subjects(),
        ..recorder.blank(RecordKind::ZeroCheck)?
    }));
    Ok((drafts, checked.good))
}

/// The results that show a nonconformance: of this characteristic, or of the others where it is none of them.
fn shown_by(decision: &Decision, number: &str) -> Vec<String> {
    let own = |shown: &&ShownBy| shown.characteristic == number;
    let of_it: Vec<&ShownBy> = decision.shown_by.iter().filter(own).collect();
    let all: Vec<&ShownBy> = decision.shown_by.iter().collect();
    let named = if of_it.is_empty() { all } else { of_it };
    named.into_iter().map(|shown| shown.entry.clone()).collect()
}

/// What bars the gauge of a run from a verdict on what was found with it since the last record. Nothing of it is recorded.
pub fn barred_gauge(run: &Run, register: &Register) -> Option<Error> {
    let with = run.with.as_deref()?;
    let gauge = run.gauge.as_deref();
    let mut found = run.found.iter().filter(|_| run.of.way == Way::Gauge);
    found.find_map(|found| {
        // A change of status is dated to the second, and so is what was found.
        let when = (to_second(found.at), station::day(found.at));
        gauges::notes(gauge, with, &run.of, register, when).err()
    })
}

/// The last entry that a run made before its events knew of it; `settled` says how many it had made by what they know.
pub fn made_before(
    ledger: &Ledger,
    job: u64,
    kind: RecordKind,
    settled: u64,
) -> Result<Option<Entry>, Error> {
    let filter = Filter {
        subjects: vec![Subject::new(BENCH_JOB, job.to_string())],
        ..kind.all()
    };
    if ledger.count(&filter)? <= settled {
        return Ok(None);
    }
    let listing = ledger.list(&filter, &Page::first(Order::NewestFirst, 1))?;
    Ok(listing.entries.into_iter().next())
}

fn events(ledger: &Ledger, job: u64, last: u64) -> Result<Option<JobEvents>, Error> {
    let kept = ledger.job_events_after(job, last.saturating_sub(1))?;
    let last = kept.iter().find(|event| event.number == last);
    Ok(last.map(JobEvents::from))
}

fn check(state: &State, run: &Run) -> Option<ZeroCheck> {
    let unit = state.unit.unwrap_or(LengthUnit::Millimetre);
    Some(ZeroCheck {
        lot: run.of.lot.clone(),
        number: run.of.number.clone(),
        instrument: state.instrument.as_ref()?.id.clone(),
        contacts: state.contacts.as_ref()?.id.clone(),
        standard: state.standard.as_ref()?.id.clone(),
        certified: state.standard.as_ref()?.size.clone(),
        before: state.before.standing(),
        after: state.after.standing(),
        limit: Entered::of(state.drift_limit()?, unit),
        accepted: state.after.accepted.clone(),
        before_at: to_second(run.before_at?),
        after_at: to_second(state.checked_at?),
        pieces: state
            .open_pieces()
            .into_iter()
            .map(|piece| piece.name)
            .collect(),
    })
}

fn found(ledger: &Ledger, run: &Run, job: u64) -> Result<Vec<Found>, Error> {
    let gauge = run.gauge.as_deref();
    let register = Register::read(ledger)?;
    // The status of a gauge counts as it is when the record is made.
    let notes = |at: Timestamp| match &run.with {
        Some(with) if run.of.way == Way::Gauge => {
            let when = (at, station::day(at));
            gauges::notes(gauge, with, &run.of, &register, when).map(gauges::stored)
        }
        _ => Ok(Vec::new()),
    };
    let answers = answers(ledger, job)?;
    let found = run.found.iter().map(|found| {
        Ok(Found {
            lot: run.of.lot.clone(),
            plan_entry: run.of.plan_entry.clone(),
            part: run.of.part.clone(),
            drawing: run.of.drawing.clone(),
            piece: found.piece.clone(),
            number: run.of.number.clone(),
            says: run.of.says.clone().unwrap_or_default(),
            way: run.of.way,
            conforms: found.conforms,
            with: run.with.clone(),
            gauge: run.gauge.clone(),
            notes: notes(to_second(found.at))?,
            turns: found.turns,
            note: found.note.clone(),
            at: to_second(found.at),
            earlier: earlier(&answers, run, found),
        })
    });
    found.collect()
}

/// An answer on a piece in a run, by the number of its event; whether it was taken back is not looked at.
type Answered = (u64, String, Earlier);

/// Every answer on pieces since the last that went on the record.
fn answers(ledger: &Ledger, job: u64) -> Result<Vec<Answered>, Error> {
    let mut all = Vec::new();
    for kept_event in ledger.job_events(job)? {
        match kept::read_event(&kept_event.event).map_err(Error::outside)? {
            Event::Settled { .. } => all.clear(),
            Event::Found {
                piece,
                conforms,
                turns,
                note,
            } => {
                let answer = Earlier {
                    conforms,
                    turns,
                    note,
                    at: to_second(kept_event.at),
                };
                all.push((kept_event.number, piece, answer));
            }
            _ => {}
        }
    }
    Ok(all)
}

/// The answers on the same piece that were taken back before the one that counts.
fn earlier(answers: &[Answered], run: &Run, found: &FoundPiece) -> Vec<Earlier> {
    let counts = |number: u64| run.found.iter().any(|found| found.number == number);
    let of_piece = answers.iter().filter(|(number, piece, _)| {
        *piece == found.piece && *number < found.number && !counts(*number)
    });
    of_piece.map(|(.., answer)| answer.clone()).collect()
}
