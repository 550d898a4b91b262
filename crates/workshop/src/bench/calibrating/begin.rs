//! How a calibration begins: with what the register has of the piece, and what was stated at its last one offered again.

use std::collections::BTreeMap;

use ledger::Ledger;
use metrology::inspection::{
    ContactKind, Contacts, Instrument, InstrumentErrors, State as PieceState,
};

use crate::bench::calibration::{Ask, told, told_of_pair};
use crate::bench::event::{Event, OfCalibration, OfPair};
use crate::bench::refusal::{Refusal, Refused};
use crate::equipment::Equipment;
use crate::gauge_record::calibration::{Of, Worked};
use crate::gauge_record::piece::{PieceId, PieceKind};
use crate::gauge_room::calibration::{self, OnRecord};
use crate::register::{Kind, Register, Registered};

/// A calibration is due again after so many days where nothing else was stated before (common practice, no source).
const INTERVAL: i32 = 365;
/// The offer of the micrometer that a pair was in.
pub const MICROMETER: &str = "micrometer";
/// What can be calibrated at the bench.
const KINDS: [Kind; 2] = [Kind::Instrument, Kind::Contacts];

type Offers = BTreeMap<String, String>;

/// The events that begin the calibration of a registered micrometer, or the check of a registered pair of thread contacts.
pub fn begin(ledger: &Ledger, register: &Register, id: &str) -> Result<Vec<Event>, Refusal> {
    let find = |kind: &Kind| register.find(*kind, id);
    let alike = |kind: &Kind| register.find_alike(*kind, id);
    let known = KINDS.iter().find_map(find);
    let Some(known) = known.or_else(|| KINDS.iter().find_map(alike)) else {
        return Err(unknown(register, id));
    };
    let begun = match &known.described {
        Equipment::Instrument(instrument) => of_micrometer(ledger, known, instrument)?,
        Equipment::Contacts(contacts) => of_pair(ledger, known, contacts)?,
        _ => return Err(unknown(register, id)),
    };
    Ok(vec![begun])
}

/// Whether a piece is a registered pair of thread contacts: other contacts are not checked on plugs.
pub fn is_pair(register: &Register, piece: &PieceId) -> bool {
    let kind = piece.kind().and_then(PieceKind::registered);
    let known = kind.and_then(|kind| register.find(kind, &piece.id));
    let thread_contacts = Some(ContactKind::VAndCone.key());
    known.is_some_and(|known| known.described.piece().is_made_as() == thread_contacts)
}

fn unknown(register: &Register, id: &str) -> Refusal {
    let nearest = KINDS.iter();
    let nearest = nearest.flat_map(|kind| register.nearest(Some(*kind), id));
    Refusal {
        suggestions: nearest.map(|id| told::begins(&id)).collect(),
        ..Refusal::new(Refused::NoSuchPiece {
            text: id.to_owned(),
        })
    }
}

/// What is no longer there is not calibrated.
fn is_there(known: &Registered) -> Result<(), Refusal> {
    match known.equipment.state() {
        state @ (PieceState::Retired | PieceState::Lost) => {
            Err(Refusal::new(Refused::OutOfUse { state }))
        }
        _ => Ok(()),
    }
}

fn of_micrometer(
    ledger: &Ledger,
    known: &Registered,
    instrument: &Instrument,
) -> Result<Event, Refusal> {
    is_there(known)?;
    let piece = PieceId::new(PieceKind::Instrument, &instrument.id);
    let before = calibration::of(ledger, &piece)?;
    let last = before.last().map(|one| &one.worked);
    let mut offers = as_before(last);
    let criterion = match last.map(|last| &last.of) {
        Some(Of::Micrometer(calibration)) => Some(told::line_of(&calibration.criterion)),
        Some(Of::Pair(_)) => None,
        None => match &instrument.errors {
            InstrumentErrors::Within {
                maximum_permissible_error,
            } => Some(told::either_way(maximum_permissible_error)),
            InstrumentErrors::Curve(_) => None,
        },
    };
    offer(&mut offers, Ask::Criterion, criterion);
    if let Some([chain]) = last.map(|last| last.heading.chain.as_slice()) {
        offer(&mut offers, Ask::Blocks, Some(chain.clone()));
    }
    let of = Box::new(OfCalibration {
        instrument: instrument.clone(),
        offers,
    });
    Ok(Event::Calibration { of })
}

fn of_pair(ledger: &Ledger, known: &Registered, contacts: &Contacts) -> Result<Event, Refusal> {
    if contacts.kind != ContactKind::VAndCone {
        return Err(Refusal::new(told::Wanted::NoPair {
            id: contacts.id.clone(),
            kind: contacts.kind,
        }));
    }
    is_there(known)?;
    let piece = PieceId::new(PieceKind::Contacts, &contacts.id);
    let before = calibration::of(ledger, &piece)?;
    let last = before.last().map(|one| &one.worked);
    let mut offers = as_before(last);
    if let Some(Of::Pair(check)) = last.map(|last| &last.of) {
        offers.insert(MICROMETER.to_owned(), check.instrument.clone());
        let [first, second] = &check.plugs;
        offer(&mut offers, Ask::FirstPlug, Some(first.id.clone()));
        offer(&mut offers, Ask::SecondPlug, Some(second.id.clone()));
        let limit = told_of_pair::line_of_limit(&check.limit, check.guard);
        offer(&mut offers, Ask::Limit, Some(limit));
    }
    let of = Box::new(OfPair {
        contacts: contacts.clone(),
        offers,
        pitches: pitches(&calibration::all(ledger)?),
    });
    Ok(Event::PairCheck { of })
}

/// The pitch of each plug as its latest check had it, of whatever pair: the register has none.
fn pitches(all: &[OnRecord]) -> BTreeMap<String, String> {
    let checks = all.iter().filter_map(|one| match &one.worked.of {
        Of::Pair(check) => Some(check),
        Of::Micrometer(_) => None,
    });
    let plugs = checks.flat_map(|check| &check.plugs);
    plugs
        .map(|plug| (plug.id.clone(), told_of_pair::line_of_pitch(&plug.pitch)))
        .collect()
}

fn offer(offers: &mut Offers, ask: Ask, line: Option<String>) {
    offers.extend(line.map(|line| (ask.key().to_owned(), line)));
}

/// What is offered again of the certificate before, and in how many days it is due again.
fn as_before(last: Option<&Worked>) -> Offers {
    let mut offers = Offers::new();
    let mut interval = INTERVAL;
    if let Some(last) = last {
        offer(&mut offers, Ask::Issuer, Some(last.heading.issuer.clone()));
        offer(&mut offers, Ask::Procedure, last.heading.procedure.clone());
        let days = last.due.and_then(|due| last.heading.date.until(due).ok());
        interval = days.map_or(INTERVAL, |span| span.get_days());
    }
    offer(&mut offers, Ask::Due, Some(interval.to_string()));
    offers
}
