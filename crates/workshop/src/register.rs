//! The register: what one owns, kept in the ledger.
//!
//! A piece is an entry of kind [`RecordKind::Equipment`] whose inputs are an [`Equipment`]. Nothing is edited: a change (a new
//! certificate, another state) is a new entry that amends the earlier one, and the latest standing entry of an
//! identity is what holds. Another contact in a pair is no change of the pair but another pair, with an identity
//! and a zero of its own. The certificates of a piece stay in its earlier entries, and tell how it drifts.

mod certificates;
mod due;
mod effect;
mod gauges;
mod nearest;
mod standing;
pub(crate) mod thermometers;

use std::cell::{OnceCell, RefCell};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use jiff::Timestamp;
use jiff::civil::Date;
use ledger::{Amendment, Draft, Entry, EntryId, Filter, Ledger, Order, Subject};
use metrology::inspection::{Characteristic, Contacts, FormHistory, Owned, Part, Standard, State};
use metrology::message::Value;

use crate::approvals::Approvals;
use crate::approving::characteristic_key;
use crate::calibrations_on_record::{self, Shown};
use crate::certificates_on_record::{self, OnRecord};
use crate::checks_on_record;
use crate::clock::to_second;
use crate::equipment::{CONTACT, REGISTER};
use crate::error::Error;
use crate::form;
use crate::found_out::{self, Dated, FoundOut};
use crate::gauge_record::certificate::same_number;
use crate::gauge_record::check::{Check, OnChart};
use crate::gauge_record::piece::{PieceId, PieceKind};
use crate::gauge_record::status::Set;
use crate::kept;
use crate::last_zero::{LastZero, Zeroed};
use crate::on_record::each_whole;
use crate::record;
use crate::record::append_as_read;
use crate::record_kind::RecordKind;
use crate::recorder::Recorder;
use crate::remark::Remark;
use crate::status::{self, Changed};
use crate::{given, station};

pub use crate::equipment::{Equipment, Kind};
use certificates::is_same;
pub use certificates::{Certificate, Found, drift, drift_in_kelvins};
pub(crate) use certificates::{found_in, is_larger, uncertainty_in};
pub use due::Periods;
pub use effect::{Effect, beyond_limit, effect, is_unused};
pub use gauges::{past_new, past_wear};
use nearest::identities;
pub use nearest::nearest;
pub use standing::Standing;

metrology::messages! {
    /// Why the register does not take a piece.
    pub enum Refusal "register" {
        /// Its identity differs from a registered one by letter case alone.
        Alike "alike" { kind: Kind as code, id: String as Text, known: String as Text },
        /// No reason for another state.
        NoReason "no-reason" { kind: Kind as code, id: String as Text, state: State as code },
        /// It is there with other values, and nobody said why they change.
        OtherValues "other-values" { kind: Kind as code, id: String as Text, entry: String as Text },
        /// A pair that has other contacts now.
        OtherPair "other-pair" { id: String as Text },
        /// An entry that this program cannot read.
        Unreadable "unreadable" { entry: String as Text, program: String as Text },
    }
}

/// A piece in the register, and the entry that says so.
#[derive(Clone, Debug, PartialEq)]
pub struct Registered {
    /// The piece, in the state and with the due date that the gauge room has set since.
    pub equipment: Equipment,
    /// The piece as the entry describes it.
    pub described: Equipment,
    /// Every change of its status, the first first.
    pub changes: Vec<Changed>,
    /// When it is due, by its certificates and as the gauge room set it.
    pub periods: Periods,
    /// The states in which the register had it, each from a moment on.
    pub states: Vec<(Timestamp, State)>,
    pub entry: EntryId,
    /// The sequence number of the entry that first described it.
    pub first: u64,
    /// When it was recorded.
    pub recorded_at: Timestamp,
    /// Whether it changed an earlier entry of the piece: something was done to it, or with it.
    pub is_change: bool,
    /// Who recorded it.
    pub person: String,
    /// Why it changed the earlier entry.
    pub reason: Option<String>,
    /// What described it before, the first first.
    pub earlier: Vec<Equipment>,
    /// Its certificates by their dates, the first first, where it has had several: of its descriptions, and those on record.
    pub certificates: Vec<Certificate>,
    /// Recalls that found it, or a contact of the pair, to be out.
    pub found_out: Vec<FoundOut>,
}

impl Registered {
    /// The last change of its status.
    pub fn status(&self) -> Option<&Changed> {
        self.changes.last()
    }

    /// Its last description that is of the certificate of a number.
    pub fn described_by(&self, number: &str) -> Option<&Equipment> {
        let is_of_it = |piece: &&Equipment| {
            let known = piece.certificate();
            known.is_some_and(|known| same_number(known, number))
        };
        let mut all = self.earlier.iter().chain([&self.described]);
        all.rfind(is_of_it)
    }

    /// Its certificate of a number, where that and its date are known.
    pub fn certificate_of(&self, number: &str) -> Option<&Certificate> {
        let is_of_it = |known: &&Certificate| {
            let known = known.number.as_deref();
            known.is_some_and(|known| same_number(known, number))
        };
        self.certificates.iter().rfind(is_of_it)
    }

    /// Whether all its descriptions are of one certificate: the last puts the others right.
    pub fn is_of_one_certificate(&self) -> bool {
        let mut earlier = self.earlier.iter();
        earlier.all(|one| is_same(one, &self.described))
    }

    /// The change of its status that held at a moment.
    pub fn status_at(&self, at: Timestamp) -> Option<&Changed> {
        self.changes.iter().rfind(|change| change.at <= at)
    }

    /// Whether a recall is of this piece, or of a contact of the pair.
    fn is(&self, found: &FoundOut) -> bool {
        let piece = self.described.piece();
        let is_member = |id: &String| is_alike(id, &found.id);
        if found.role == CONTACT {
            return piece
                .members()
                .is_some_and(|both| both.iter().any(is_member));
        }
        self.described.kind().role() == found.role && piece.id().trim() == found.id
    }

    /// The recall that holds for what was measured with it on a day, by a certificate.
    pub fn found_out(&self, day: Date, certified: Dated) -> Option<&FoundOut> {
        let known = self.dated();
        let mut all = self.found_out.iter();
        all.rfind(|found| found.holds((day, certified), &known, &self.changes))
    }

    /// The certificates that it was ever described by, and those on record.
    fn dated(&self) -> Vec<Dated<'_>> {
        let described = self.descriptions().map(|(piece, at)| Dated {
            number: piece.certificate(),
            date: piece.certificate_date(),
            at,
        });
        let on_record = self.certificates.iter().map(|one| Dated {
            number: one.number.as_deref(),
            date: Some(one.date),
            at: None,
        });
        described.chain(on_record).collect()
    }

    /// Its descriptions, each with the time from which it was recorded, the first first.
    fn descriptions(&self) -> impl DoubleEndedIterator<Item = (&Equipment, Option<Timestamp>)> {
        let described = self.earlier.iter().chain([&self.described]);
        let described: Vec<&Equipment> = described.collect();
        let times = described.iter().enumerate();
        let times: Vec<Option<Timestamp>> = times
            .map(|(index, _)| self.states.get(index).map(|(at, _)| *at))
            .collect();
        described.into_iter().zip(times)
    }

    /// The days of the certificates that it was described by.
    fn described_on(&self) -> impl Iterator<Item = Date> {
        let described = self.earlier.iter().chain([&self.described]);
        described.filter_map(Equipment::certificate_date)
    }

    /// Told by all its descriptions up to this one, the changes of status and the certificates on record.
    fn tell(&mut self, line: &[Self], changes: &[Changed], on_record: &[OnRecord]) {
        if let Some(first) = line.first() {
            self.first = first.first;
        }
        if line.len() > 1 {
            self.certificates = certificates::of(line);
            let before = line.iter().take(line.len() - 1);
            self.earlier = before.map(|one| one.described.clone()).collect();
        }
        let states = line.iter();
        let states = states.map(|one| (one.recorded_at, one.described.state()));
        self.states = states.collect();
        if let Some(kind) = PieceKind::of(self.equipment.kind().key()) {
            let id = PieceId::new(kind, self.equipment.id());
            let of = |one: &&Changed| one.change.piece == id;
            self.changes = changes.iter().filter(of).cloned().collect();
            self.periods = Periods::of(line, &id, on_record, &self.changes);
        }
        self.in_state();
    }

    /// In the state that the last change of its status makes of that in the register.
    fn in_state(&mut self) {
        let apart = self.status().and_then(|last| last.change.apart());
        let state = apart.unwrap_or_else(|| self.described.state());
        self.equipment = self.described.clone().with_state(state);
    }

    /// What the piece may be used for, where it is limited.
    pub fn limited_to(&self) -> Option<&[String]> {
        limits(self.status()?)
    }

    /// The piece with what its certificates show of its drift, where less or nothing is stated of that.
    pub fn with_history(&self) -> Equipment {
        self.drifting(self.equipment.clone(), Date::MAX)
    }

    /// A description of the piece with the drift that its certificates up to a day show.
    fn drifting(&self, piece: Equipment, until: Date) -> Equipment {
        let known = || {
            let known = self.certificates.iter();
            let known = known.filter(|certificate| certificate.date <= until);
            known.cloned().collect::<Vec<Certificate>>()
        };
        thermometers::as_certified(piece, self, until)
            .drifting(|| certificates::drift(&known()))
            .drifting_in_kelvins(|| certificates::drift_in_kelvins(&known()))
    }
}

/// The smallest and the largest pitch that a pair is marked for, millimetres.
pub fn marked_pitches(pair: &Contacts) -> Option<(f64, f64)> {
    let [one, other] = pair.pitch_range.as_ref()?;
    let one = metrology::inspection::pitch(one).ok()?.mm();
    let other = metrology::inspection::pitch(other).ok()?.mm();
    Some((one.min(other), one.max(other)))
}

/// What a change of status limits a piece to.
pub fn limits(changed: &Changed) -> Option<&[String]> {
    let change = &changed.change;
    (change.set() == Some(Set::Limited)).then_some(change.limited_to.as_slice())
}

/// All descriptions of a piece up to that of an entry, the first first.
fn line(ledger: &Ledger, entry: EntryId) -> Result<Vec<Registered>, Error> {
    let all = ledger.history(&entry.into())?;
    let of_equipment = all
        .iter()
        .filter(|entry| RecordKind::Equipment.is_of(entry));
    of_equipment.map(registered).collect()
}

/// All that is registered today.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Register {
    pieces: Vec<Registered>,
    checks: Vec<Check>,
    /// Every change of the status of a check part, the first first.
    of_check_parts: Vec<Changed>,
    /// Recalls of what is not registered.
    found_out: Vec<OfUnregistered>,
    /// Every change of the status of what is not registered, the first first.
    of_unregistered: Vec<Changed>,
    /// Error curves of micrometers by calibrations in house, and by certificates where the register states a limit of the errors alone.
    curves: Vec<(Kind, String, Certificate)>,
    calibrations: BTreeMap<PieceId, Vec<Shown>>,
    on_record: Vec<OnRecord>,
}

/// A pair that is set apart, with a contact that another pair has too.
pub struct ApartWith<'a> {
    pub pair: &'a Registered,
    /// The contact, as the other pair has it.
    pub member: &'a str,
    pub state: State,
    pub reason: &'a str,
    /// The sequence number of the entry that set it apart.
    pub since: u64,
}

/// A recall of a piece that is known by its records alone, with what was done about it.
#[derive(Clone, Debug, PartialEq)]
struct OfUnregistered {
    found: FoundOut,
    certificates: Vec<(String, Date)>,
    changes: Vec<Changed>,
}

impl OfUnregistered {
    fn of(found: FoundOut, on_record: &[OnRecord], changes: &[Changed]) -> Self {
        let is_it = |piece: &PieceId| {
            let kind = piece.kind().and_then(PieceKind::registered);
            kind.is_some_and(|kind| kind.role() == found.role) && piece.id.trim() == found.id
        };
        let of = on_record.iter().map(|one| &one.certified);
        let certificates = of
            .filter(|one| is_it(&one.piece))
            .map(|one| (one.heading.number.clone(), one.heading.date));
        let changes = changes.iter().filter(|one| is_it(&one.change.piece));
        Self {
            certificates: certificates.collect(),
            changes: changes.cloned().collect(),
            found,
        }
    }
}

impl Register {
    /// Reads it from the ledger: standing entries, the latest of each identity.
    pub fn read(ledger: &Ledger) -> Result<Self, Error> {
        let filter = Filter {
            subjects: vec![Subject::new(REGISTER.0, REGISTER.1)],
            ..RecordKind::Equipment.standing()
        };
        let mut register = Self::default();
        let changes = status::changes(ledger, None)?;
        let on_record = certificates_on_record::of(ledger, None)?;
        each_whole(ledger, &filter, Order::NewestFirst, |entry| {
            let mut piece = registered(entry)?;
            if register
                .find(piece.equipment.kind(), piece.equipment.id())
                .is_none()
            {
                let line = if piece.is_change {
                    line(ledger, piece.entry)?
                } else {
                    vec![piece.clone()]
                };
                piece.tell(&line, &changes, &on_record);
                register.pieces.push(piece);
            }
            Ok(())
        })?;
        for one in &on_record {
            let kind = one.certified.piece.kind().and_then(PieceKind::registered);
            let id = one.certified.piece.id.trim();
            let piece = register.pieces.iter_mut().find(|piece| {
                kind == Some(piece.equipment.kind()) && piece.equipment.id().trim() == id
            });
            if let Some(piece) = piece {
                certificates::add(piece, &one.certified);
                let curve = certificates::curve(&piece.described, &one.certified);
                let kind = piece.equipment.kind();
                let curve = curve.map(|curve| (kind, id.to_owned(), curve));
                register.curves.extend(curve);
            }
        }
        for found in found_out::all(ledger)? {
            let touched = register.pieces.iter_mut().filter(|piece| piece.is(&found));
            let count = touched
                .map(|piece| piece.found_out.push(found.clone()))
                .count();
            if count == 0 {
                let found = OfUnregistered::of(found, &on_record, &changes);
                register.found_out.push(found);
            }
        }
        register.checks = checks_on_record::all(ledger, None)?;
        let is_check_part = |one: &Changed| one.change.piece.kind() == Some(PieceKind::CheckPart);
        let is_unregistered = |one: &&Changed| {
            let kind = one.change.piece.kind().and_then(PieceKind::registered);
            kind.is_some_and(|kind| register.find(kind, &one.change.piece.id).is_none())
        };
        register.of_unregistered = changes.iter().filter(is_unregistered).cloned().collect();
        register.of_check_parts = changes.into_iter().filter(is_check_part).collect();
        register.calibrations = calibrations_on_record::all(ledger, None)?;
        let calibrations = register.calibrations.values().flatten();
        register.curves.extend(calibrations.filter_map(|one| {
            let kind = one.piece.kind().and_then(PieceKind::registered)?;
            let id = one.piece.id.trim().to_owned();
            Some((kind, id, certificates::calibrated(one)?))
        }));
        gauges::certified(&on_record, &mut register.pieces);
        register.on_record = on_record;
        for piece in &mut register.pieces {
            let now = piece.equipment.clone();
            piece.equipment = thermometers::as_certified(now, piece, Date::MAX)
                .with_due(piece.periods.good_until(Date::MAX));
        }
        register.pieces.sort_by(|a, b| {
            (a.equipment.kind(), a.equipment.id()).cmp(&(b.equipment.kind(), b.equipment.id()))
        });
        Ok(register)
    }

    /// What each calibration in house shows of its piece.
    pub fn calibrations(&self) -> impl Iterator<Item = &Shown> {
        self.calibrations.values().flatten()
    }

    /// Those of a piece by their days, the first first.
    pub fn calibrations_of(&self, piece: &PieceId) -> &[Shown] {
        self.calibrations.get(piece).map_or(&[], Vec::as_slice)
    }

    /// The days of the certificates from outside of a piece that are on record.
    pub fn certified_on(&self, piece: &PieceId) -> Vec<Date> {
        let on_record = self.certificates_of(piece);
        on_record.map(|one| one.certified.heading.date).collect()
    }

    /// The certificates from outside of a piece, but for those that do not state that it conforms.
    fn certificates_of(&self, piece: &PieceId) -> impl Iterator<Item = &OnRecord> {
        let all = self.on_record.iter();
        all.filter(move |one| one.certified.piece == *piece && one.certified.not_shown().is_none())
    }

    /// The last certificate from outside up to a day, where the register did not describe the piece by it, or by a later one.
    pub fn last_on_record(&self, registered: &Registered, day: Date) -> Option<&OnRecord> {
        let described = &registered.described;
        let kind = PieceKind::of(described.kind().key())?;
        let piece = PieceId::new(kind, described.id());
        let mut all = self.on_record.iter().rev();
        let last =
            all.find(|one| one.certified.piece == piece && one.certified.heading.date <= day)?;
        let is_later = match described.certificate_date() {
            Some(own) => last.certified.heading.date >= own,
            None => last.entry.sequence() > registered.entry.sequence(),
        };
        is_later.then_some(last)
    }

    /// The days on which a piece was found good, but for an entry.
    pub fn good_days(&self, piece: &PieceId, but: EntryId) -> Vec<Date> {
        let calibrations = self.calibrations_of(piece).iter();
        let good = calibrations.filter(|one| one.is_good && one.entry != but);
        let on_record = self.certificates_of(piece);
        let on_record = on_record.filter(|one| one.entry != but);
        let kind = piece.kind().and_then(PieceKind::registered);
        let registered = kind.and_then(|kind| self.find(kind, &piece.id));
        let described = registered.into_iter().flat_map(Registered::described_on);
        good.map(|one| one.date)
            .chain(on_record.map(|one| one.certified.heading.date))
            .chain(described)
            .collect()
    }

    /// The saved recalls of a piece, or of a contact of the pair.
    pub fn recalls_of(&self, kind: Kind, id: &str) -> impl Iterator<Item = &FoundOut> {
        let registered = self.find(kind, id).into_iter();
        let registered = registered.flat_map(|one| &one.found_out);
        let others = self.found_out.iter().map(|one| &one.found);
        let id = id.trim().to_owned();
        registered.chain(others.filter(move |one| one.role == kind.role() && one.id == id))
    }

    /// Whether a calibration found a micrometer beyond the limit of its errors that the register had until then.
    pub fn is_beyond_registered(&self, kind: Kind, shown: &Shown) -> bool {
        let Some(registered) = self.find(kind, &shown.piece.id) else {
            return false;
        };
        // That by which the calibration itself describes it comes with it.
        let is_by_it = |piece: &Equipment| {
            let number = piece.certificate();
            number.is_some_and(|number| same_number(number, &shown.number))
        };
        let mut until = registered
            .descriptions()
            .filter(|(piece, at)| at.is_none_or(|at| at <= shown.at) && !is_by_it(piece));
        let before = until.next_back().map(|(piece, _)| piece);
        let limit = before.and_then(|before| before.piece().error_limit());
        let limit = limit.map(|limit| limit.value().mm() * 1000.0);
        shown
            .largest_found
            .zip(limit)
            .is_some_and(|(largest, limit)| largest > limit)
    }

    /// Gauges that a certificate on record has past their wear limit: identity, day and entry.
    pub fn worn_gauges(&self) -> impl Iterator<Item = (&str, Date, EntryId)> {
        self.on_record.iter().filter_map(|one| {
            let piece = &one.certified.piece;
            let registered = self.find(Kind::Gauge, &piece.id);
            let registered = registered.filter(|_| piece.kind() == Some(PieceKind::Gauge))?;
            let is_worn = gauges::is_worn_by(&registered.described, &one.certified);
            is_worn.then_some((piece.id.as_str(), one.certified.heading.date, one.entry))
        })
    }

    /// When the last check before one, of the same part with the same set-up, was within its limits.
    pub fn last_within(&self, check: &Check) -> Option<Timestamp> {
        let of_it = |one: &&Check| {
            one.part.trim() == check.part.trim() && one.is_with(&check.instrument, &check.contacts)
        };
        let before = self.checks.iter().filter(of_it);
        let before = before.filter(|one| one.measured_at < check.measured_at);
        let mut back = before.rev().map(|one| one.measured_at);
        back.find(|at| {
            let (instrument, contacts) = (&check.instrument, &check.contacts);
            !checks_on_record::chart_of(&self.checks, &check.part, instrument, contacts, *at).out
        })
    }

    /// The recall of a piece that is not registered, which holds for what was measured with it on a day, by a certificate.
    pub fn found_out_unregistered(
        &self,
        kind: Kind,
        id: &str,
        (day, certified): (Date, Dated),
    ) -> Option<&FoundOut> {
        let of_it =
            |one: &&OfUnregistered| one.found.role == kind.role() && one.found.id == id.trim();
        self.unregistered_out(of_it, (day, certified))
    }

    /// The recall of a contact that a pair has which is not registered.
    pub fn member_found_out(
        &self,
        members: &[String],
        (day, certified): (Date, Dated),
    ) -> Option<&FoundOut> {
        let is_of_it = |found: &FoundOut| {
            found.role == CONTACT && members.iter().any(|id| is_alike(id, &found.id))
        };
        let mut registered = self.pieces.iter().flat_map(|piece| &piece.found_out);
        let known =
            registered.find(|found| is_of_it(found) && found.holds((day, certified), &[], &[]));
        known.or_else(|| self.unregistered_out(|one| is_of_it(&one.found), (day, certified)))
    }

    fn unregistered_out(
        &self,
        is_it: impl Fn(&&OfUnregistered) -> bool,
        (day, certified): (Date, Dated),
    ) -> Option<&FoundOut> {
        let mut all = self.found_out.iter().filter(is_it);
        all.rfind(|one| {
            let known = one.certificates.iter().map(|(number, on)| Dated {
                number: Some(number),
                date: Some(*on),
                at: None,
            });
            let known: Vec<Dated> = known.collect();
            one.found.holds((day, certified), &known, &one.changes)
        })
        .map(|one| &one.found)
    }

    /// Whether there is any of a kind.
    pub fn has(&self, kind: Kind) -> bool {
        let mut kinds = self.pieces.iter().map(|piece| piece.equipment.kind());
        kinds.any(|known| known == kind)
    }

    /// All of it but measuring balls, gauges and thermometers, to choose a set-up from; without what is limited to other uses.
    pub fn owned_for(&self, characteristic: &Characteristic) -> Owned {
        let what = characteristic_key(characteristic);
        let may_be_used = |piece: &&Registered| {
            let mut uses = piece.limited_to().into_iter().flatten();
            piece.limited_to().is_none() || uses.any(|one| one == what)
        };
        let mut owned = Owned::default();
        for piece in self.pieces().iter().filter(may_be_used) {
            match piece.with_history() {
                Equipment::Instrument(piece) => owned.instruments.push(piece),
                Equipment::Contacts(piece) => owned.contacts.push(piece),
                Equipment::Standard(piece) => owned.standards.push(piece),
                Equipment::Wires(piece) => owned.wires.push(piece),
                Equipment::Balls(_) | Equipment::Gauge(_) | Equipment::Thermometer(_) => {}
            }
        }
        owned
    }

    /// Every change of the status of a piece, registered or not, the first first.
    pub fn changes(&self, kind: Kind, id: &str) -> Vec<&Changed> {
        if let Some(known) = self.find(kind, id) {
            return known.changes.iter().collect();
        }
        let of_it = |one: &&Changed| {
            let piece = &one.change.piece;
            piece.kind().and_then(PieceKind::registered) == Some(kind)
                && piece.id.trim() == id.trim()
        };
        self.of_unregistered.iter().filter(of_it).collect()
    }

    /// The last error curve on record of a micrometer up to a day, that the register may not describe it by.
    pub fn curve_on_record(&self, kind: Kind, id: &str, day: Date) -> Option<&Certificate> {
        let is_it =
            |(of, known, _): &&(Kind, String, Certificate)| *of == kind && known == id.trim();
        let of_it = self.curves.iter().filter(is_it).map(|(.., curve)| curve);
        let until = of_it.filter(|curve| curve.date <= day);
        until.max_by_key(|curve| curve.date)
    }

    /// The checks of check parts, by their time.
    pub fn checks(&self) -> &[Check] {
        &self.checks
    }

    /// The check part of a set-up that was out of its limits when it was last checked before a moment. The gauge room gives one
    /// up by a change of its status.
    pub fn check_out(
        &self,
        instrument: &str,
        contacts: &str,
        at: Timestamp,
    ) -> Option<(&Check, OnChart)> {
        checks_on_record::out(&self.checks, instrument, contacts, at, |check| {
            let of_part = |one: &&Changed| one.change.piece.id.trim() == check.part.trim();
            // The time of a record is kept to the second.
            let until = to_second(at);
            let since = |one: &Changed| one.at >= check.measured_at && one.at <= until;
            let mut changes = self.of_check_parts.iter().filter(of_part);
            changes.any(|one| since(one) && one.change.apart().is_some())
        })
    }

    /// Pairs that are set apart, or no longer used, with a contact of a pair.
    pub fn apart_with<'a>(&'a self, pair: &str, members: &'a [String]) -> Vec<ApartWith<'a>> {
        let others = self.pieces.iter();
        let others = others.filter(|other| !is_alike(other.described.id(), pair));
        let all = others.filter_map(|other| {
            let theirs = other.described.piece().members()?;
            let mut shared = members.iter().map(|member| member.trim());
            let member = shared.find(|member| {
                !member.is_empty() && theirs.iter().any(|one| is_alike(one, member))
            })?;
            let state = other.equipment.state();
            let set = other.status();
            let set = set.filter(|set| set.change.apart() == Some(state));
            let (reason, entry) = match set {
                Some(set) => (set.change.reason.as_str(), set.entry),
                None => (other.reason.as_deref().unwrap_or_default(), other.entry),
            };
            let is_apart = matches!(state, State::Quarantined | State::Retired);
            is_apart.then_some(ApartWith {
                pair: other,
                member,
                state,
                reason,
                since: entry.sequence(),
            })
        });
        all.collect()
    }

    /// Every piece, by kind and identity.
    pub fn pieces(&self) -> &[Registered] {
        &self.pieces
    }

    /// The smallest and the largest pitch that a pair is marked for, millimetres.
    pub fn pitches_of_pair(&self, id: &str) -> Option<(f64, f64)> {
        let Equipment::Contacts(pair) = &self.find(Kind::Contacts, id)?.described else {
            return None;
        };
        marked_pitches(pair)
    }

    /// The registered setting standards.
    pub fn standards(&self) -> impl Iterator<Item = (&Registered, &Standard)> {
        self.pieces
            .iter()
            .filter_map(|piece| match &piece.equipment {
                Equipment::Standard(standard) => Some((piece, standard)),
                _ => None,
            })
    }

    /// The piece of this kind and identity, however its letters are written.
    pub fn find_alike(&self, kind: Kind, id: &str) -> Option<&Registered> {
        self.find(kind, id)
            .or_else(|| self.find(kind, self.alike(kind, id)?))
    }

    /// The piece of this kind and identity.
    pub fn find(&self, kind: Kind, id: &str) -> Option<&Registered> {
        // Registers of earlier versions may hold blanks at the ends.
        self.pieces.iter().find(|piece| {
            piece.equipment.kind() == kind && piece.equipment.id().trim() == id.trim()
        })
    }

    /// Whether a piece of any kind has this identity, or consists of one that has it; letter case counts for nothing.
    pub fn knows(&self, id: &str) -> bool {
        let mut known = self
            .pieces
            .iter()
            .flat_map(|piece| identities(&piece.equipment));
        known.any(|known| is_alike(known, id))
    }

    /// The registered identity that one which is not registered differs from by letter case alone.
    pub fn alike(&self, kind: Kind, id: &str) -> Option<&str> {
        if self.find(kind, id).is_some() {
            return None;
        }
        self.pieces
            .iter()
            .filter(|piece| piece.equipment.kind() == kind)
            .map(|piece| piece.equipment.id())
            .find(|known| is_alike(known, id))
    }
}

/// Whether two identities are the same but for letter case and blanks at the ends.
pub fn is_alike(one: &str, other: &str) -> bool {
    one.trim().to_lowercase() == other.trim().to_lowercase()
}

impl Refusal {
    /// An identity that differs from a registered one by letter case alone.
    pub fn alike(kind: Kind, id: &str, known: &str) -> Self {
        Self::Alike {
            kind,
            id: id.to_owned(),
            known: known.to_owned(),
        }
    }
}

impl From<Refusal> for Error {
    fn from(refusal: Refusal) -> Self {
        match refusal {
            Refusal::Unreadable { .. } => Self::outside(refusal),
            _ => Self::input(refusal),
        }
    }
}

/// The piece that an entry holds.
pub fn registered(entry: &Entry) -> Result<Registered, Error> {
    let equipment =
        kept::read(kept::EQUIPMENT, &entry.content.inputs).map_err(|_| Refusal::Unreadable {
            entry: entry.id().to_string(),
            program: entry.content.program.clone(),
        })?;
    Ok(Registered {
        described: Equipment::clone(&equipment),
        equipment,
        changes: Vec::new(),
        periods: Periods::default(),
        states: Vec::new(),
        entry: entry.id(),
        first: entry.sequence,
        recorded_at: entry.content.recorded_at,
        is_change: entry.content.amends.is_some(),
        person: entry.content.actor.name.clone(),
        reason: entry
            .content
            .amends
            .as_ref()
            .map(|amended| amended.reason.clone()),
        earlier: Vec::new(),
        certificates: Vec::new(),
        found_out: Vec::new(),
    })
}

/// What came of handing a piece to the register.
pub enum Added {
    /// It is new.
    New(Registered),
    /// It took the place of an earlier description.
    Changed {
        /// As it is now.
        now: Registered,
        /// The entry it amends.
        before: EntryId,
    },
    /// The register says the same already.
    Unchanged(Registered),
}

/// Puts pieces into the register. Nothing is recorded unless all of them can be.
pub fn add(
    ledger: &Ledger,
    pieces: &[Equipment],
    recorder: &Recorder,
    reason: Option<&str>,
) -> Result<Vec<Added>, Error> {
    record_all(ledger, recorder, reason, |register| {
        let piece = |piece| as_it_stands(register, piece);
        Ok(pieces.iter().map(piece).collect())
    })
}

/// The same of pieces that are described by what the register says of them.
pub fn add_by(
    ledger: &Ledger,
    pieces: impl Fn(&Register) -> Result<Vec<Equipment>, Error>,
    recorder: &Recorder,
    reason: Option<&str>,
) -> Result<Vec<Added>, Error> {
    record_all(ledger, recorder, reason, pieces)
}

/// Puts a piece of the register into a state, also back into use.
pub fn put(
    ledger: &Ledger,
    piece: &Equipment,
    state: State,
    recorder: &Recorder,
    reason: &str,
) -> Result<Vec<Added>, Error> {
    if reason.trim().is_empty() {
        return Err(Refusal::NoReason {
            kind: piece.kind(),
            id: piece.id().to_owned(),
            state,
        }
        .into());
    }
    let now = piece.clone().with_state(state);
    record_all(ledger, recorder, Some(reason), |_| Ok(vec![now.clone()]))
}

/// The entry by which a registered piece is described anew, not yet recorded; none where the register says the same already.
pub fn change(
    register: &Register,
    piece: &Equipment,
    recorder: &Recorder,
    reason: &str,
) -> Result<Option<Draft>, Error> {
    let pieces = std::slice::from_ref(piece);
    let drafts = drafts(register, pieces, recorder, Some(reason))?;
    Ok(drafts.into_iter().flatten().next())
}

/// Records pieces as they are to be by the register, all or none.
fn record_all(
    ledger: &Ledger,
    recorder: &Recorder,
    reason: Option<&str>,
    pieces: impl Fn(&Register) -> Result<Vec<Equipment>, Error>,
) -> Result<Vec<Added>, Error> {
    given::on_one_line("person", &recorder.person)
        .and_then(|()| given::on_lines("reason", reason.unwrap_or_default()))
        .map_err(Error::input)?;
    // What the register says holds only as long as nobody else records.
    let ((register, pieces, drafts), entries) = append_as_read(ledger, || {
        let register = Register::read(ledger)?;
        let pieces = pieces(&register)?;
        let drafts = drafts(&register, &pieces, recorder, reason)?;
        let new: Vec<Draft> = drafts.iter().flatten().cloned().collect();
        Ok(((register, pieces, drafts), new))
    })?;
    added(&register, &pieces, &drafts, &entries)
}

/// What is to be recorded of each piece; nothing where the register says the same already.
fn drafts(
    register: &Register,
    pieces: &[Equipment],
    recorder: &Recorder,
    reason: Option<&str>,
) -> Result<Vec<Option<Draft>>, Error> {
    let mut drafts = Vec::new();
    for piece in pieces {
        let mut draft = draft(piece, recorder)?;
        draft.check().map_err(ledger::Error::from)?;
        if let Some(known) = register.alike(piece.kind(), piece.id()) {
            return Err(Refusal::alike(piece.kind(), piece.id(), known).into());
        }
        let before = register.find(piece.kind(), piece.id());
        if before.is_some_and(|before| before.described == *piece) {
            drafts.push(None);
            continue;
        }
        if let Some(before) = before {
            may_change(&before.described, piece)?;
            let Some(reason) = reason.filter(|reason| !reason.trim().is_empty()) else {
                return Err(Refusal::OtherValues {
                    kind: piece.kind(),
                    id: piece.id().to_owned(),
                    entry: before.entry.to_string(),
                }
                .into());
            };
            draft.amends = Some(Amendment {
                entry: before.entry,
                reason: reason.to_owned(),
            });
        }
        drafts.push(Some(draft));
    }
    Ok(drafts)
}

/// What came of each piece, from the entries that were recorded.
fn added(
    register: &Register,
    pieces: &[Equipment],
    drafts: &[Option<Draft>],
    entries: &[Entry],
) -> Result<Vec<Added>, Error> {
    let mut entries = entries.iter();
    let mut added = Vec::new();
    for (piece, draft) in pieces.iter().zip(drafts) {
        let before = register.find(piece.kind(), piece.id());
        let entry = draft.as_ref().and_then(|_| entries.next());
        let now = entry.map(registered).transpose()?;
        added.extend(match (now, before) {
            (Some(now), Some(before)) => Some(Added::Changed {
                now,
                before: before.entry,
            }),
            (Some(now), None) => Some(Added::New(now)),
            (None, before) => before.cloned().map(Added::Unchanged),
        });
    }
    Ok(added)
}

/// A file that says nothing of the state brings no piece back into use: that takes `equipment state`, with its own
/// reason and person.
fn as_it_stands(register: &Register, piece: &Equipment) -> Equipment {
    match register.find(piece.kind(), piece.id()) {
        Some(before) if piece.state() == State::Active => {
            piece.clone().with_state(before.described.state())
        }
        _ => piece.clone(),
    }
}

/// Another contact makes another pair; another kind, another piece.
pub fn may_change(before: &Equipment, now: &Equipment) -> Result<(), Refusal> {
    let (before, piece) = (before.piece(), now.piece());
    let other_member = before.members().is_some() && before.members() != piece.members();
    if other_member || before.is_made_as() != piece.is_made_as() {
        return Err(Refusal::OtherPair {
            id: piece.id().to_owned(),
        });
    }
    Ok(())
}

fn draft(piece: &Equipment, recorder: &Recorder) -> Result<Draft, Error> {
    Ok(Draft {
        inputs: kept::write(kept::EQUIPMENT, piece).map_err(Error::outside)?,
        subjects: piece.subjects(),
        ..recorder.blank(RecordKind::Equipment)?
    })
}

/// The form of which part by its drawing, of which characteristic, and before when.
type FormAsked = (String, Option<String>, Characteristic, Timestamp);

metrology::messages! {
    /// What the shelf says of a piece beside what it is.
    pub enum ShelfNote "shelf" {
        /// It is taken as an earlier certificate describes it.
        EarlierCertificate "earlier-certificate" {
            kind: Kind as code, id: String as Text, measured: Timestamp as Time, then: Value as itself, now: Value as itself,
        },
        /// In the place of the number of a certificate.
        NoCertificate "no-certificate",
    }
}

/// The register, read when it is first asked: a job that describes all its equipment needs no ledger.
pub struct Shelf {
    ledger: Result<Option<PathBuf>, Arc<Error>>,
    register: OnceCell<Result<Register, Arc<Error>>>,
    approvals: OnceCell<Approvals>,
    form: RefCell<Option<(FormAsked, Option<FormHistory>)>>,
    remarks: RefCell<Vec<Remark>>,
    for_trial: bool,
}

impl Shelf {
    /// The shelf beside a ledger, which may not be there yet.
    pub fn beside(ledger: &Path) -> Self {
        Self::of(Ok(Some(ledger.to_owned())))
    }

    /// The shelf of someone who has no ledger.
    pub fn empty() -> Self {
        Self::of(Ok(None))
    }

    /// The shelf beside a ledger of which is not known where it would be.
    pub fn nowhere(why: Error) -> Self {
        Self::of(Err(Arc::new(why)))
    }

    fn of(ledger: Result<Option<PathBuf>, Arc<Error>>) -> Self {
        Self {
            ledger,
            register: OnceCell::new(),
            approvals: OnceCell::new(),
            form: RefCell::default(),
            remarks: RefCell::default(),
            for_trial: false,
        }
    }

    /// The same for readings that are kept as a trial: what is barred may be taken from it.
    #[must_use]
    pub fn for_trial(self) -> Self {
        Self {
            for_trial: true,
            ..self
        }
    }

    /// The register; empty where there is no ledger yet.
    pub fn register(&self) -> Result<&Register, Error> {
        self.register
            .get_or_init(|| self.look(Register::read).map(Option::unwrap_or_default))
            .as_ref()
            .map_err(|error| Error::Register(Arc::clone(error)))
    }

    /// What the laboratory has approved. A job is not stopped by a ledger that cannot be read: the program's defaults hold,
    /// and that is said.
    pub fn approvals(&self) -> &Approvals {
        self.approvals
            .get_or_init(|| self.look_if_readable(Approvals::read).unwrap_or_default())
    }

    /// The form of a part that records of earlier measurements show, looked up once for jobs of one moment.
    pub fn form(
        &self,
        part: &Part,
        characteristic: &Characteristic,
        before: Timestamp,
    ) -> Option<FormHistory> {
        let asked = (
            part.name.clone(),
            part.drawing.clone(),
            characteristic.clone(),
            before,
        );
        if let Some((known, found)) = &*self.form.borrow()
            && *known == asked
        {
            return found.clone();
        }
        let found = self
            .look_if_readable(|ledger| form::history(ledger, part, characteristic, before))
            .flatten();
        self.form.replace(Some((asked, found.clone())));
        found
    }

    /// Looks something up in the ledger; nothing where there is none yet.
    pub fn in_ledger<T>(
        &self,
        read: impl FnOnce(&Ledger) -> Result<Option<T>, Error>,
    ) -> Result<Option<T>, Error> {
        Ok(self.look(read).map_err(Error::Register)?.flatten())
    }

    /// Where the zero last stood before a moment.
    pub fn last_zero(&self, zeroed: &Zeroed, before: Timestamp) -> Option<LastZero> {
        self.look_if_readable(|ledger| LastZero::of(ledger, zeroed, before))
            .flatten()
    }

    /// Looks something up in the ledger, where there is one; that it cannot be read is remarked.
    fn look_if_readable<T>(&self, read: impl FnOnce(&Ledger) -> Result<T, Error>) -> Option<T> {
        self.look(read).unwrap_or_else(|error| {
            self.remark(Remark::LedgerUnread(error));
            None
        })
    }

    /// Looks something up in the ledger; nothing where there is none yet.
    fn look<T>(
        &self,
        read: impl FnOnce(&Ledger) -> Result<T, Error>,
    ) -> Result<Option<T>, Arc<Error>> {
        match &self.ledger {
            Err(error) => Err(Arc::clone(error)),
            Ok(Some(path)) if record::is_there(path) => Ledger::open_read_only(path)
                .map_err(Error::from)
                .and_then(|ledger| read(&ledger))
                .map(Some)
                .map_err(Arc::new),
            Ok(_) => Ok(None),
        }
    }

    /// Keeps something that whoever takes from the shelf should know.
    pub fn remark(&self, remark: Remark) {
        self.remarks.borrow_mut().push(remark);
    }

    /// What was remarked since this was last asked; the same may come several times.
    pub fn remarks(&self) -> Vec<Remark> {
        self.remarks.take()
    }

    /// The shelf as it stood at a moment.
    pub const fn at(&self, at: Timestamp) -> Stock<'_> {
        Stock { shelf: self, at }
    }

    /// All that the register ever said of a piece, the first first.
    fn history(ledger: &Ledger, kind: Kind, id: &str) -> Result<Vec<Registered>, Error> {
        let filter = Filter {
            subjects: vec![Subject::new(kind.key(), id.trim())],
            ..RecordKind::Equipment.all()
        };
        let mut all = Vec::new();
        each_whole(ledger, &filter, Order::OldestFirst, |entry| {
            all.push(registered(entry)?);
            Ok(())
        })?;
        Ok(all)
    }
}

/// The shelf at the moment of a measurement: it is judged by the certificate that held then.
pub struct Stock<'a> {
    shelf: &'a Shelf,
    at: Timestamp,
}

impl Stock<'_> {
    /// The day of the measurement.
    pub fn day(&self) -> Date {
        station::day(self.at)
    }

    /// The register as it is today; none where it cannot be read.
    pub fn register(&self) -> Option<&Register> {
        self.shelf.register().ok()
    }

    /// Whether barred equipment may be taken.
    pub const fn is_for_trial(&self) -> bool {
        self.shelf.for_trial
    }

    /// What the laboratory has approved.
    pub fn approvals(&self) -> &Approvals {
        self.shelf.approvals()
    }

    /// The form of a part that its earlier records show.
    pub fn form(&self, part: &Part, characteristic: &Characteristic) -> Option<FormHistory> {
        self.shelf.form(part, characteristic, self.at)
    }

    /// Where the zero of a set-up last stood.
    pub fn last_zero(&self, zeroed: &Zeroed) -> Option<LastZero> {
        self.shelf.last_zero(zeroed, self.at)
    }

    /// Keeps something that whoever takes from the shelf should know.
    pub fn remark(&self, remark: Remark) {
        self.shelf.remark(remark);
    }

    /// The registered identity that one which is not registered differs from by letter case alone.
    pub fn alike(&self, kind: Kind, id: &str) -> Option<&str> {
        self.shelf.register().ok()?.alike(kind, id)
    }

    /// The registered identities that may have been meant.
    pub fn nearest(&self, kind: Kind, id: &str) -> Vec<String> {
        let register = self.shelf.register();
        register.map_or_else(|_| Vec::new(), |register| register.nearest(Some(kind), id))
    }

    /// The piece of this kind and identity, as the register described it at that moment.
    pub fn find(&self, kind: Kind, id: &str) -> Result<Option<Equipment>, Error> {
        let Some(today) = self.shelf.register()?.find(kind, id) else {
            return Ok(None);
        };
        if self.held(today, today) {
            let day = self.day();
            let held = today.drifting(today.equipment.clone(), day);
            return Ok(Some(held.with_due(today.periods.good_until(day))));
        }
        let history = |ledger: &Ledger| Shelf::history(ledger, kind, id);
        let line = self.shelf.look(history).map_err(Error::Register)?;
        Ok(Some(self.chosen(&line.unwrap_or_default(), today)))
    }

    /// Whether a description held at that moment, which another puts right: on the register by then, or by a certificate of an
    /// earlier day.
    fn held(&self, piece: &Registered, right: &Registered) -> bool {
        let dated = right.equipment.certificate_date();
        piece.recorded_at <= self.at || dated.is_some_and(|date| date <= self.day())
    }

    /// The description that held, of all there were.
    fn chosen(&self, line: &[Registered], today: &Registered) -> Equipment {
        // What was written later of the same certificate puts its description right.
        let right = |piece: &Registered| {
            let same = |later: &&Registered| is_same(&later.equipment, &piece.equipment);
            line.iter().rfind(same).unwrap_or(today)
        };
        let held = line.iter().rfind(|piece| self.held(piece, right(piece)));
        // Of the time before the register nothing is known: what it knew first holds.
        let Some(piece) = held.or(line.first()) else {
            return today.with_history();
        };
        let last = right(piece);
        let certificate = last.equipment.certificate();
        let now = today.equipment.certificate();
        if !is_same(&last.equipment, &today.equipment) {
            let said = |certificate: Option<&str>| match certificate {
                Some(certificate) => Value::text(certificate),
                None => Value::said(ShelfNote::NoCertificate),
            };
            self.remark(Remark::of(ShelfNote::EarlierCertificate {
                kind: today.equipment.kind(),
                id: today.equipment.id().to_owned(),
                measured: self.at,
                then: said(certificate),
                now: said(now),
            }));
        }
        // What is out of use today is not used unasked, whenever that was.
        let held = last.equipment.clone().with_state(today.equipment.state());
        let held = today.drifting(held, self.day());
        held.with_due(today.periods.good_until(self.day()))
    }
}
