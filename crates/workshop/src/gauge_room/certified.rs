//! A certificate from outside on the record, and what its statement of conformity changes.

use jiff::civil::Date;
use ledger::{Draft, Entry, Ledger};

use super::calibration::is_history;
use crate::certificates_on_record;
use crate::error::Error;
use crate::gauge_record::certificate::{CertificateError, Certified, Conformity};
use crate::gauge_record::piece::PieceKind;
use crate::gauge_record::status::{Change, Set};
use crate::record::append_as_read;
use crate::recorder::Recorder;
use crate::register::Register;
use crate::status;

/// Puts a certificate on the record. One that states its item not to conform sets it apart, for this reason, unless something later
/// is on record; that change is the second entry.
pub fn record(
    ledger: &Ledger,
    certified: &Certified,
    today: Date,
    recorder: &Recorder,
    reason: &dyn Fn(Conformity) -> String,
) -> Result<(Entry, Option<Entry>), Error> {
    let ((), entries) = append_as_read(ledger, || {
        let draft = certificates_on_record::draft(ledger, certified, today, recorder)?;
        let apart = set_apart(ledger, certified, recorder, reason)?;
        Ok(((), std::iter::once(draft).chain(apart).collect()))
    })?;
    let mut entries = entries.into_iter();
    match entries.next() {
        Some(certificate) => Ok((certificate, entries.next())),
        // There is one for each draft.
        None => Err(Error::outside(CertificateError::Unreadable {
            entry: certified.heading.number.clone(),
        })),
    }
}

fn set_apart(
    ledger: &Ledger,
    certified: &Certified,
    recorder: &Recorder,
    reason: &dyn Fn(Conformity) -> String,
) -> Result<Option<Draft>, Error> {
    let Some(stated) = certified.not_shown() else {
        return Ok(None);
    };
    let (piece, date) = (&certified.piece, certified.heading.date);
    let register = Register::read(ledger)?;
    let kind = piece.kind().and_then(PieceKind::registered);
    let known = kind.and_then(|kind| register.find(kind, &piece.id));
    let by_register = known.and_then(|known| known.described.certificate_date());
    if is_history(ledger, piece, date, by_register)? {
        return Ok(None);
    }
    let changes = status::changes(ledger, Some(piece))?;
    let before = changes.last().map(|one| &one.change);
    // What is retired or lost stays so.
    if before.is_some_and(|before| before.apart().is_some()) {
        return Ok(None);
    }
    let change = Change {
        piece: piece.clone(),
        status: Set::Quarantined.key().to_owned(),
        holder: before.and_then(|before| before.holder.clone()),
        limited_to: Vec::new(),
        due: None,
        extension: None,
        reason: reason(stated),
        calibration: Some(certified.heading.number.trim().to_owned()),
    };
    Ok(Some(status::draft(&change, recorder)?))
}
