//! What certificates from outside say of thermometers: a thermometer is taken as the latest certificate up to a day has it.

use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use ledger::{Entry, Filter, Ledger, Order};
use metrology::inspection::{State, Unfit};

use super::certificates::{self, Found};
use super::{Equipment, Kind, Registered, Shelf};
use crate::certificates_on_record::{OnRecord, on_record};
use crate::error::Error;
use crate::gauge_record::certificate::Certified;
use crate::gauge_record::piece::{PieceId, PieceKind};
use crate::on_record::each_whole;
use crate::record_kind::RecordKind;
use crate::status::{Changed, changed};

/// A description of a registered piece as its latest certificate up to a day has it, where it is a thermometer and that
/// certificate is later than the one described.
pub fn as_certified(piece: Equipment, registered: &Registered, until: Date) -> Equipment {
    let Equipment::Thermometer(mut one) = piece else {
        return piece;
    };
    let later = registered.certificates.iter().rev().find_map(|known| {
        let is_later = one.certificate_date.is_none_or(|own| known.date > own);
        match known.found {
            Found::Kelvins(found) if is_later && known.date <= until => Some((known, found)),
            _ => None,
        }
    });
    if let Some((known, found)) = later {
        one.error = found.error;
        one.expanded_uncertainty = found.expanded_uncertainty;
        one.coverage_factor = found.coverage_factor;
        one.certificate.clone_from(&known.number);
        one.certificate_date = Some(known.date);
    }
    Equipment::Thermometer(one)
}

/// Whether a certificate takes the place of what describes a thermometer; none of any other piece.
pub fn takes(described: &Equipment, certified: &Certified) -> Option<bool> {
    matches!(described, Equipment::Thermometer(_))
        .then(|| certificates::found(described, &certified.values).is_some())
}

/// A thermometer as the ledger had it before the entry of a sequence number; none where it was not registered then.
pub fn known_before(ledger: &Ledger, id: &str, until: u64) -> Result<Option<Registered>, Error> {
    let mut line = Shelf::history(ledger, Kind::Thermometer, id)?;
    line.retain(|one| one.entry.sequence() < until);
    let Some(mut piece) = line.last().cloned() else {
        return Ok(None);
    };
    let id = PieceId::new(PieceKind::Thermometer, piece.described.id());
    let of = |kind: RecordKind| Filter {
        subjects: vec![id.subject()],
        ..kind.all()
    };
    let stood = |entry: &Entry| {
        let replaced = entry.amended_by.is_some_and(|by| by.sequence() < until);
        entry.sequence < until && !replaced
    };
    let mut changes: Vec<Changed> = Vec::new();
    each_whole(
        ledger,
        &of(RecordKind::Status),
        Order::OldestFirst,
        |entry| {
            if stood(entry) {
                changes.push(changed(entry)?);
            }
            Ok(())
        },
    )?;
    let mut certified: Vec<OnRecord> = Vec::new();
    each_whole(
        ledger,
        &of(RecordKind::Certificate),
        Order::OldestFirst,
        |entry| {
            if stood(entry) {
                certified.push(on_record(entry)?);
            }
            Ok(())
        },
    )?;
    certified.sort_by_key(|one| one.certified.heading.date);
    piece.tell(&line, &changes, &certified);
    for one in &certified {
        certificates::add(&mut piece, &one.certified);
    }
    Ok(Some(piece))
}

/// What a thermometer is certified to be out by at a moment, kelvins, indicated less true; or why what it showed does not count.
pub fn error_at(registered: Option<&Registered>, at: Timestamp) -> Result<f64, Unfit> {
    let registered = registered.ok_or(Unfit::NotRegistered)?;
    let then = registered
        .status_at(at)
        .and_then(|then| then.change.apart());
    let states = [Some(registered.equipment.state()), then];
    let is_apart =
        |state: &State| matches!(state, State::Quarantined | State::Retired | State::Lost);
    if let Some(state) = states.into_iter().flatten().find(is_apart) {
        return Err(Unfit::Apart { state });
    }
    // By the day of one time zone: a ledger is verified in any.
    let day = TimeZone::UTC.to_datetime(at).date();
    if let Some(due) = registered.periods.good_until(day).filter(|due| *due < day) {
        return Err(Unfit::Overdue { due });
    }
    match as_certified(registered.described.clone(), registered, day) {
        Equipment::Thermometer(one) => Ok(one.error),
        _ => Ok(0.0),
    }
}
