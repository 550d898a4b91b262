//! What the status of its equipment makes of a job: nothing is measured for a verdict with what is set apart, and what is overdue
//! or limited gives none. Nor does a room outside the limits of the inspection plan.

use jiff::Timestamp;
use jiff::civil::Date;
use metrology::inspection::{Job, Piece, State, StatusNote};
use metrology::message::{Coded as _, Value};

use crate::approving::SetUp;
use crate::certified_otherwise;
use crate::equipment::Kind;
use crate::error::Error;
use crate::found_out::{Dated, FoundOut};
use crate::gauge_record::certificate::stated_number;
use crate::inspection_plan::RoomLimits;
use crate::register::{Certificate, Register, Registered, limits};
use crate::room_on_record::RoomRecord;
use crate::station;
use crate::status::{Changed, put_back};

metrology::messages! {
    /// Why a job is refused.
    pub enum Barred "barred" {
        /// A piece is set apart, no longer used, or not to be found.
        Piece "piece" { piece: Piece as code, id: String as Text, state: State as code, reason: String as Text },
        /// It was so when this was measured.
        Then "then" { piece: Piece as code, id: String as Text, state: State as code, reason: String as Text },
        /// The same, where the register alone says so.
        Registered "registered" { piece: Piece as code, id: String as Text, state: State as code },
        /// It said so when this was measured.
        RegisteredThen "registered-then" { piece: Piece as code, id: String as Text, state: State as code },
    }
}

impl Barred {
    /// Whether a job is refused for this.
    pub fn is(error: &Error) -> bool {
        let is_declared = |code: &str| Self::DECLARED.iter().any(|(known, _)| *known == code);
        matches!(error, Error::Input(why) if is_declared(&why.message.code))
    }
}

/// A piece of a job.
pub struct Used<'a> {
    pub piece: Piece,
    pub kind: Kind,
    pub id: &'a str,
    pub certificate: Option<&'a str>,
    pub certificate_date: Option<Date>,
    pub due: Option<Date>,
    pub state: State,
}

impl Used<'_> {
    fn dated(&self) -> Dated<'_> {
        Dated {
            number: self.certificate,
            date: self.certificate_date,
            at: None,
        }
    }
}

fn used(job: &Job) -> impl Iterator<Item = Used<'_>> {
    let thermometer = job.thermometer().map(|one| Used {
        piece: Piece::Thermometer,
        kind: Kind::Thermometer,
        id: &one.id,
        certificate: one.certificate.as_deref(),
        certificate_date: one.certificate_date,
        due: one.due,
        state: one.state,
    });
    let wires = job.wires.as_ref().map(|wires| Used {
        piece: Piece::Wires,
        kind: Kind::Wires,
        id: &wires.id,
        certificate: wires.certificate.as_deref(),
        certificate_date: wires.certificate_date,
        due: wires.due,
        state: wires.state,
    });
    [
        Used {
            piece: Piece::Micrometer,
            kind: Kind::Instrument,
            id: &job.instrument.id,
            certificate: job.instrument.certificate.as_deref(),
            certificate_date: job.instrument.certificate_date,
            due: job.instrument.due,
            state: job.instrument.state,
        },
        Used {
            piece: Piece::Contacts,
            kind: Kind::Contacts,
            id: &job.contacts.id,
            certificate: job.contacts.certificate.as_deref(),
            certificate_date: None,
            due: job.contacts.due,
            state: job.contacts.state,
        },
        Used {
            piece: Piece::Standard,
            kind: Kind::Standard,
            id: &job.standard.id,
            certificate: job.standard.certificate.as_deref(),
            certificate_date: job.standard.certificate_date,
            due: job.standard.due,
            state: job.standard.state,
        },
    ]
    .into_iter()
    .chain(wires)
    .chain(thermometer)
}

/// Notes on a job what the status of its equipment and the room make of it, or refuses the job.
pub fn apply(job: &mut Job, register: &Register, room: &RoomRecord) -> Result<(), Error> {
    if let Some(barred) = barred(job, register).into_iter().next() {
        return Err(Error::input(barred));
    }
    note_anew(job, register, room);
    Ok(())
}

/// The pieces of a job that are set apart, no longer used, or not to be found.
pub fn barred(job: &Job, register: &Register) -> Vec<Barred> {
    used(job)
        .filter_map(|used| barred_piece(&used, register, job.measured_at))
        .collect()
}

/// Notes it anew, where the job was measured at another time than it was first taken for.
pub fn note_anew(job: &mut Job, register: &Register, room: &RoomRecord) {
    let what = SetUp::of(
        &job.characteristic,
        &job.instrument,
        &job.contacts,
        job.wires.as_ref(),
    )
    .characteristic;
    let when = (job.measured_at, job.measured_on);
    for (kind, id, due) in dues(job) {
        if let Some(known) = register.find(kind, &id) {
            *due = recorded_due(*due, known, when.1);
        }
    }
    let found = used(job).flat_map(|used| {
        let registered = register.find(used.kind, used.id);
        let certified = (when.1, used.dated());
        let unregistered = register.found_out_unregistered(used.kind, used.id, certified);
        let of_pair = job.contacts.members.as_ref();
        let of_pair = of_pair.filter(|_| used.kind == Kind::Contacts && registered.is_none());
        let of_member = of_pair.and_then(|both| register.member_found_out(both, certified));
        let unregistered = unregistered.or(of_member);
        let unregistered = unregistered.map(|found| found_out_by(&used, found));
        let mut notes = notes(&used, register, when, &what);
        notes.extend(unregistered);
        notes.extend(found_bad(&used, register, when.1));
        notes
    });
    let mut notes: Vec<StatusNote> = found.collect();
    notes.extend(certified_otherwise::notes(job, register));
    notes.extend(check_out(job, register));
    notes.extend(member_apart(job, register));
    let limits = RoomLimits::noted(&job.notes);
    notes.extend(limits.iter().flat_map(|limits| room.notes(limits, job)));
    job.notes.retain(|note| !is_of_status(note));
    job.notes.extend(notes.into_iter().map(Value::said));
}

/// Notes whether the setting standard was overdue when zero was checked at the end.
pub fn note_closed(job: &mut Job, register: &Register, closed: Timestamp) {
    let day = station::day(closed);
    let standard = used(job).find(|used| used.kind == Kind::Standard);
    let overdue = standard.and_then(|used| {
        let registered = register.find(used.kind, used.id);
        let note = by_due(&used, registered, day)?;
        matches!(note, StatusNote::Overdue { .. }).then_some(note)
    });
    let overdue = overdue
        .map(Value::said)
        .filter(|note| !job.notes.contains(note));
    job.notes.extend(overdue);
}

/// When each piece of a job is due.
fn dues(job: &mut Job) -> impl Iterator<Item = (Kind, String, &mut Option<Date>)> {
    let wires = job.wires.as_mut();
    let thermometer = job.temperature.as_mut();
    let thermometer = thermometer.and_then(|read| read.thermometer.as_deref_mut());
    [
        (
            Kind::Instrument,
            job.instrument.id.clone(),
            &mut job.instrument.due,
        ),
        (
            Kind::Contacts,
            job.contacts.id.clone(),
            &mut job.contacts.due,
        ),
        (
            Kind::Standard,
            job.standard.id.clone(),
            &mut job.standard.due,
        ),
    ]
    .into_iter()
    .chain(wires.map(|wires| (Kind::Wires, wires.id.clone(), &mut wires.due)))
    .chain(thermometer.map(|one| (Kind::Thermometer, one.id.clone(), &mut one.due)))
}

/// The due date of a piece as a job of a day is recorded with it: of an extension that is not needed yet nothing is recorded, and
/// of one that is its end, with a note that has the due date.
fn recorded_due(stated: Option<Date>, known: &Registered, day: Date) -> Option<Date> {
    let periods = &known.periods;
    let (due, good) = (periods.due(day), periods.good_until(day));
    let is_extended = periods.extension(day).is_some();
    // What a job states otherwise is left as it is.
    if !is_extended || stated != due && stated != good {
        return stated;
    }
    due.filter(|due| *due >= day).or(good)
}

const EXTENDED: &str = "status-note.extended";

/// What is noted of the extension of a piece: when it was due, and until when the gauge room put that off.
pub fn extension_noted(notes: &[Value], kind: Kind, id: &str) -> Option<(Date, Date)> {
    let piece = kind.in_notes().code();
    notes.iter().find_map(|note| {
        let Value::Message(message) = note else {
            return None;
        };
        let is_of_it = message.code == EXTENDED
            && matches!(message.value("piece"), Some(Value::Code(code)) if *code == piece)
            && matches!(message.value("id"), Some(Value::Text(noted)) if noted.trim() == id.trim());
        match (message.value("due"), message.value("until")) {
            (Some(Value::Date(due)), Some(Value::Date(until))) if is_of_it => Some((*due, *until)),
            _ => None,
        }
    })
}

fn is_of_status(note: &Value) -> bool {
    let Value::Message(message) = note else {
        return false;
    };
    let declared = StatusNote::DECLARED.iter();
    declared
        .map(|(code, _)| *code)
        .any(|code| code == message.code)
}

/// A calibration in house that did not show the piece good, or that, like a certificate of a gauge, found it beyond its limit
/// since its last good check.
pub fn found_bad(used: &Used, register: &Register, day: Date) -> Option<StatusNote> {
    let (piece, id) = (used.piece, used.id.to_owned());
    if let Some(failed) = register.failed_calibration(used.kind, used.id, day) {
        return Some(StatusNote::FailedCalibration {
            piece,
            id,
            on: failed.date,
            entry: failed.entry.to_string(),
        });
    }
    let found = register.found_beyond((used.kind, used.id), day, used.certificate_date)?;
    Some(StatusNote::FoundBeyond {
        piece,
        id,
        found: found.found,
        entry: found.entry.to_string(),
    })
}

/// Why nothing that is measured with a registered piece on a day would have a verdict, beside its status and its due date: what a
/// recall or a calibration found, or a certificate that the register contradicts.
pub fn withheld(piece: &Registered, register: &Register, day: Date) -> Option<StatusNote> {
    let equipment = &piece.equipment;
    let used = Used {
        piece: equipment.kind().in_notes(),
        kind: equipment.kind(),
        id: equipment.id(),
        certificate: equipment.certificate(),
        certificate_date: equipment.certificate_date(),
        due: equipment.due(),
        state: equipment.state(),
    };
    found_out(&used, Some(piece), day)
        .or_else(|| found_bad(&used, register, day))
        .or_else(|| certified_otherwise::of_registered(piece, register, day))
}

/// A check part that was out of its limits with this set-up, before or after.
fn check_out(job: &Job, register: &Register) -> Option<StatusNote> {
    let (instrument, contacts) = (&job.instrument.id, &job.contacts.id);
    let at = job.measured_at;
    let after = || {
        let found = register.check_out_after(instrument, contacts, at)?;
        Some((found.check, found.chart))
    };
    let (check, chart) = register
        .check_out(instrument, contacts, at)
        .or_else(after)?;
    let limits = chart.limits?;
    Some(StatusNote::CheckOut {
        part: check.part.clone(),
        value: check.mean,
        lower: limits.lower,
        upper: limits.upper,
    })
}

/// A contact of the pair that was set apart with another pair, unless the gauge room has put this one into use since. A pair that
/// is no longer used may have given a good contact to one that was registered after it.
fn member_apart(job: &Job, register: &Register) -> Option<StatusNote> {
    let (piece, id) = (Piece::Contacts, &job.contacts.id);
    let registered = register.find(Kind::Contacts, id);
    let members = registered.and_then(|one| one.described.piece().members());
    let members = members.or(job.contacts.members.as_ref())?;
    let apart = register.apart_with(id, members).into_iter().find(|other| {
        let changes = registered.map_or(&[][..], |one| &one.changes);
        let is_made_since = registered.is_some_and(|own| own.first > other.since);
        let is_known_good = other.state == State::Retired && is_made_since;
        !is_known_good && put_back(changes, other.since).next().is_none()
    })?;
    let (member, reason) = (apart.member.to_owned(), apart.reason.to_owned());
    let pair = apart.pair.described.id().to_owned();
    let id = id.clone();
    Some(match apart.state {
        State::Retired => StatusNote::MemberRetired {
            piece,
            id,
            member,
            pair,
            reason,
        },
        _ => StatusNote::MemberQuarantined {
            piece,
            id,
            member,
            pair,
            reason,
        },
    })
}

/// Whether a piece is set apart, no longer used, or not to be found: today, or when something was measured.
pub fn barred_piece(used: &Used, register: &Register, at: Timestamp) -> Option<Barred> {
    let (piece, id) = (used.piece, used.id.to_owned());
    let registered = register.find(used.kind, used.id);
    // The gauge room may have set apart what only records know.
    let changes = register.changes(used.kind, used.id);
    let now = changes.last().and_then(|last| apart(last));
    let is_barred =
        |state: &State| matches!(state, State::Quarantined | State::Retired | State::Lost);
    let registered_state = registered.map(|one| one.equipment.state());
    let now_state = now.as_ref().map(|(state, _)| *state);
    let states = [Some(used.state), registered_state, now_state];
    if let Some(state) = states.into_iter().flatten().find(is_barred) {
        return Some(match now {
            Some((_, reason)) => Barred::Piece {
                piece,
                id,
                state,
                reason,
            },
            None => Barred::Registered { piece, id, state },
        });
    }
    let then = changes.iter().rfind(|change| change.at <= at);
    if let Some((state, reason)) = then.and_then(|then| apart(then)) {
        return Some(Barred::Then {
            piece,
            id,
            state,
            reason,
        });
    }
    let described = registered?.states.iter().rfind(|(since, _)| *since <= at);
    let (_, state) = described.filter(|(_, state)| is_barred(state))?;
    Some(Barred::RegisteredThen {
        piece,
        id,
        state: *state,
    })
}

/// The state into which a change of status sets a piece apart, and why.
fn apart(changed: &Changed) -> Option<(State, String)> {
    let state = changed.change.apart()?;
    Some((state, changed.change.reason.clone()))
}

/// What the status of a piece makes of a result of that moment and day; `what` is measured, by its key.
pub fn notes(
    used: &Used,
    register: &Register,
    (at, day): (Timestamp, Date),
    what: &str,
) -> Vec<StatusNote> {
    let registered = register.find(used.kind, used.id);
    let due = by_due(used, registered, day);
    due.into_iter()
        .chain(limited(used, register, at, what))
        .chain(found_out(used, registered, day))
        .collect()
}

/// A recall on the record that holds for the piece on that day.
fn found_out(used: &Used, registered: Option<&Registered>, day: Date) -> Option<StatusNote> {
    let found = registered?.found_out(day, used.dated())?;
    Some(found_out_by(used, found))
}

fn found_out_by(used: &Used, found: &FoundOut) -> StatusNote {
    StatusNote::FoundOut {
        piece: used.piece,
        id: used.id.to_owned(),
        error: found.error,
        found: found.found,
        recall: found.entry.to_string(),
    }
}

fn by_due(used: &Used, registered: Option<&Registered>, day: Date) -> Option<StatusNote> {
    let (piece, id) = (used.piece, used.id.to_owned());
    let is_past = |due: &Date| *due < day;
    let periods = registered.map(|one| &one.periods);
    let due = periods.and_then(|periods| periods.due(day)).or(used.due);
    let extension = periods.and_then(|periods| periods.extension(day));
    if let (Some(due), Some(extension)) = (due.filter(is_past), extension)
        && extension.until >= day
    {
        return Some(StatusNote::Extended {
            piece,
            id,
            due,
            by: extension.by.clone(),
            until: extension.until,
            reason: extension.reason.clone(),
            check: extension.check.clone(),
        });
    }
    let set = periods.and_then(|periods| periods.set(day));
    // The due date that is known counts, whatever a job states.
    let known = registered.map_or(due, |one| known_due(used, one, day));
    let due = [used.due, set, known].into_iter().flatten().find(is_past)?;
    Some(StatusNote::Overdue { piece, id, due })
}

/// When a piece is due by what is known on a day: by the certificate that the job states, where only the record of certificates
/// has it; else by the register, unless the job states a certificate that nobody knows and a later one is known.
fn known_due(used: &Used, registered: &Registered, day: Date) -> Option<Date> {
    let by_register = registered.periods.due(day);
    let described = registered.equipment.certificate_date();
    let is_later = |one: &&Certificate| one.date <= day && Some(one.date) > described;
    let Some(stated) = stated_number(used.certificate) else {
        return by_register;
    };
    if registered.described_by(stated).is_some() {
        return by_register;
    }
    let later = match registered.certificate_of(stated) {
        Some(known) => Some(known).filter(is_later),
        None => registered.certificates.iter().rev().find(is_later),
    };
    later.map_or(by_register, |later| later.due)
}

/// What is measured is none of what a piece may be used for, today or when it was measured.
fn limited(used: &Used, register: &Register, at: Timestamp, what: &str) -> Option<StatusNote> {
    let changes = register.changes(used.kind, used.id);
    let then = changes.iter().rfind(|change| change.at <= at);
    let uses = changes
        .last()
        .into_iter()
        .chain(then)
        .filter_map(|changed| limits(changed))
        .find(|uses| uses.iter().all(|one| one != what))?;
    Some(StatusNote::Limited {
        piece: used.piece,
        id: used.id.to_owned(),
        uses: uses.to_vec(),
        what: what.to_owned(),
    })
}
