//! When a piece is due: on the day that the gauge room set, until another certificate comes onto the record.

use jiff::civil::Date;
use ledger::Ledger;

use super::{Equipment, Kind, Registered, is_same, registered};
use crate::certificates_on_record::OnRecord;
use crate::error::Error;
use crate::gauge_record::piece::PieceId;
use crate::record_kind::RecordKind;

/// The due date that the gauge room set, where no certificate came onto the record after it.
pub(super) fn set(
    ledger: &Ledger,
    piece: &Registered,
    id: &PieceId,
    certificates: &[OnRecord],
) -> Result<Option<Date>, Error> {
    let Some(status) = &piece.status else {
        return Ok(None);
    };
    let since = status.entry.sequence();
    let is_new = is_certified_after(piece, id, certificates, since)
        || is_described_after(ledger, piece, since)?;
    Ok(status.change.due.filter(|_| !is_new))
}

/// Whether a certificate came that its kind is taken by, whoever recorded it.
fn is_certified_after(
    piece: &Registered,
    id: &PieceId,
    certificates: &[OnRecord],
    since: u64,
) -> bool {
    let described = piece.described.certificate_date();
    let by_certificate = matches!(piece.described.kind(), Kind::Gauge | Kind::Thermometer);
    by_certificate
        && certificates.iter().any(|one| {
            let certified = &one.certified;
            certified.piece == *id
                && certified.due.is_some()
                && one.entry.sequence() > since
                && described.is_none_or(|date| certified.heading.date > date)
        })
}

/// Whether the register described it by another certificate. What was put right of the same one is no other.
fn is_described_after(ledger: &Ledger, piece: &Registered, since: u64) -> Result<bool, Error> {
    if piece.entry.sequence() <= since {
        return Ok(false);
    }
    let mut before: Option<Equipment> = None;
    for entry in ledger.history(&piece.entry.into())? {
        if RecordKind::Equipment.is_of(&entry) && entry.sequence <= since {
            before = Some(registered(&entry)?.described);
        }
    }
    Ok(before.is_some_and(|before| !is_same(&before, &piece.described)))
}
