//! A run: piece after piece of a lot on one characteristic, with one set-up, between checks of the zero.
//!
//! Until a good check the pieces since the one before are provisional. Their readings are kept in the events; with the check
//! each becomes an entry, by the calculation of any inspection with this check as its closing one.

use std::collections::BTreeSet;
use std::sync::Arc;

use jiff::Timestamp;
use metrology::inspection::{Gauge, Job, is_by_room};
use metrology::message::Value;

use super::event::{OfLot, Spot};
use super::reading::Reading;
use crate::inspection_plan::{PlanNote, RoomLimits};
use crate::room_on_record::RoomRecord;

/// Pieces between two checks where nothing is recorded of the zero of the set-up (common practice, no source).
pub const USUAL_PIECES: usize = 10;

/// A run as it stands.
#[derive(Clone, Debug)]
pub struct Run {
    pub of: OfLot,
    /// The piece under the contacts, or the one that was there last.
    pub piece: Option<String>,
    /// A piece that was named and waits until the one before is done: its code was scanned, and then a reading of the one before
    /// was taken again, or the zero was checked.
    pub(super) named: Option<String>,
    /// Whether it was left as it is although it is not accepted.
    pub went_on: bool,
    /// Pieces measured since the last check, before that one.
    pub open: Vec<Piece>,
    /// Pieces of this run that are on the record.
    pub settled: Arc<BTreeSet<String>>,
    /// How many checks made them so.
    pub checks: u64,
    /// A check was asked for before it was due.
    pub(super) check_asked: bool,
    /// So many pieces since the last check may pass before it is due again.
    pub(super) put_off: usize,
    /// The gauge or the document that shows it.
    pub with: Option<String>,
    /// The gauge as the register describes it, and what its status makes of the results.
    pub gauge: Option<Box<Gauge>>,
    pub notes: Vec<Value>,
    /// What was found without measuring and is not on the record yet.
    pub found: Vec<FoundPiece>,
    /// Whether the run is to end: with the next good zero check, where it is measured.
    pub ending: bool,
    /// When its first reading was taken.
    pub begun_at: Option<Timestamp>,
    /// When the opening check of the pieces since was made.
    pub before_at: Option<Timestamp>,
    /// Shared by all that look at the run at one time.
    pub lot: Arc<OfOthers>,
}

/// What is known of the lot beside this run.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OfOthers {
    /// Pieces with a result of this characteristic, and pieces that are under way at other stations.
    pub known: BTreeSet<String>,
    /// Those of them that are to be measured again: the zero had moved.
    pub again: Vec<String>,
    /// Pieces between two checks, as proposed; none before that is known.
    pub every: Option<usize>,
    /// The room.
    pub room: OfRoom,
}

/// What the plan asks of the room, and its record since the first piece of the run.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OfRoom {
    pub limits: Option<RoomLimits>,
    pub record: RoomRecord,
}

impl OfRoom {
    /// Notes the limits on the job of a piece, and what the room makes of it.
    pub fn tell(&self, job: &mut Job) {
        let is_judged = |note: &Value| matches!(note, Value::Message(said) if is_by_room(said));
        job.notes
            .retain(|note| !RoomLimits::is_one(note) && !is_judged(note));
        let Some(limits) = &self.limits else {
            return;
        };
        job.notes.extend(limits.notes());
        let notes: Vec<Value> = self.record.notes(limits, job).map(Value::said).collect();
        job.notes.extend(notes);
    }
}

/// A piece that was measured.
#[derive(Clone, Debug)]
pub struct Piece {
    pub name: String,
    pub readings: Vec<Reading>,
    pub left_out: Vec<Spot>,
}

/// What was found of a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct FoundPiece {
    /// The event that it came with.
    pub number: u64,
    pub at: Timestamp,
    pub piece: String,
    pub conforms: bool,
    pub turns: Option<f64>,
    pub note: Option<String>,
}

/// Why a run stops at a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stop {
    /// It does not conform.
    Rejected,
    /// Neither is shown.
    Undecided,
    /// Places were left out.
    Incomplete,
    /// Its readings give no size.
    NoSize,
}

impl Run {
    pub(super) fn new(of: OfLot) -> Self {
        Self {
            of,
            piece: None,
            named: None,
            went_on: false,
            open: Vec::new(),
            settled: Arc::default(),
            checks: 0,
            check_asked: false,
            put_off: 0,
            with: None,
            gauge: None,
            notes: Vec::new(),
            found: Vec::new(),
            ending: false,
            begun_at: None,
            before_at: None,
            lot: Arc::default(),
        }
    }

    /// Pieces between two checks.
    pub fn every(&self) -> usize {
        self.lot.every.unwrap_or(USUAL_PIECES)
    }

    /// Whether a piece was measured here since the last check, or is under the contacts.
    fn is_open(&self, name: &str) -> bool {
        self.piece.as_deref() == Some(name) || self.open.iter().any(|piece| piece.name == name)
    }

    /// Whether a piece has a result, or is getting one.
    pub fn is_measured(&self, name: &str) -> bool {
        self.is_open(name)
            || self.is_recorded(name)
            || self.found.iter().any(|found| found.piece == name)
    }

    /// Pieces measured here since the last check or found without measuring, the one under the contacts with them.
    fn since_check(&self) -> BTreeSet<&str> {
        let open = self.open.iter().map(|piece| &piece.name);
        let found = self.found.iter().map(|found| &found.piece);
        let here = open.chain(&self.piece).chain(found);
        here.map(String::as_str).collect()
    }

    /// Whether a piece is on the record.
    fn is_recorded(&self, name: &str) -> bool {
        self.settled.contains(name) || self.lot.known.contains(name)
    }

    fn count(&self, since_check: &BTreeSet<&str>) -> u64 {
        let known = &self.lot.known;
        let settled = self.settled.iter().filter(|name| !known.contains(*name));
        let here = since_check.iter().filter(|name| !self.is_recorded(name));
        (known.len() + settled.count() + here.count()) as u64
    }

    /// How many pieces have one.
    pub fn measured(&self) -> u64 {
        self.count(&self.since_check())
    }

    /// The same without the piece under the contacts.
    fn measured_before(&self) -> u64 {
        let open = self.open.iter().map(|piece| piece.name.as_str());
        let found = self.found.iter().map(|found| found.piece.as_str());
        self.count(&open.chain(found).collect())
    }

    /// How many pieces have a result or are getting one; `begun` is whether anything was read of the one under the contacts, which
    /// may have been named only.
    pub(super) fn measured_with(&self, begun: bool) -> u64 {
        if begun {
            self.measured()
        } else {
            self.measured_before()
        }
    }

    /// The piece that comes next: the one that was named, where nobody did the first that has no result, then those that are to
    /// be measured again.
    pub fn next_piece(&self) -> Option<String> {
        if let Some(named) = &self.named {
            return Some(named.clone());
        }
        let here = self.since_check();
        if self.of.n.is_none_or(|n| self.count(&here) < n) {
            let mut numbers = (1_u64..).map(|number| number.to_string());
            return numbers.find(|name| !(here.contains(name.as_str()) || self.is_recorded(name)));
        }
        let mut again = self.lot.again.iter();
        again.find(|name| !self.is_open(name)).cloned()
    }

    /// Whether a zero check is due after so many pieces.
    pub(super) fn check_is_due(&self, pieces: usize) -> bool {
        self.check_asked || pieces >= self.put_off + self.every()
    }

    /// What the record of a piece says of its plan.
    pub(super) fn tell(&self, job: &mut Job) {
        job.part.order.clone_from(&self.of.order);
        job.part.characteristic = Some(self.of.number.clone());
        job.scope = self.of.scope;
        if let (false, Some(by)) = (self.of.rule.assumed, self.of.agreed.clone()) {
            job.notes.push(Value::said(PlanNote::RuleAgreed { by }));
        }
        job.notes.push(Value::said(PlanNote::UnderPlan {
            number: self.of.number.clone(),
            plan: self.of.plan.clone(),
            entry: self.of.plan_entry.clone(),
        }));
        self.lot.room.tell(job);
    }
}
