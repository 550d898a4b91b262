//! When a piece is due: on the day that the gauge room set, until another certificate comes onto the record.

use jiff::civil::Date;
use ledger::Ledger;

use super::effect::{Effect, effect};
use super::{Equipment, Registered, is_same, registered};
use crate::certificates_on_record::OnRecord;
use crate::error::Error;
use crate::gauge_record::piece::PieceId;
use crate::record_kind::RecordKind;

/// A due date that the gauge room set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SetDue {
    pub due: Date,
    /// The day of the certificate that came onto the record after it: from then on that holds.
    pub ended: Option<Date>,
}

impl SetDue {
    /// The due date, where it holds on a day.
    pub fn on(self, day: Date) -> Option<Date> {
        let holds = self.ended.is_none_or(|ended| day < ended);
        holds.then_some(self.due)
    }
}

/// The due date that the gauge room set.
pub(super) fn set(
    ledger: &Ledger,
    piece: &Registered,
    id: &PieceId,
    on_record: &[OnRecord],
) -> Result<Option<SetDue>, Error> {
    let Some((status, due)) = piece
        .status
        .as_ref()
        .and_then(|status| Some((status, status.change.due?)))
    else {
        return Ok(None);
    };
    let since = status.entry.sequence();
    let ended = match certified_after(piece, id, on_record, since) {
        None => described_after(ledger, piece, since)?,
        certified => certified,
    };
    Ok(Some(SetDue { due, ended }))
}

/// The day of the first certificate after it that its kind is taken by, whoever recorded it.
fn certified_after(
    piece: &Registered,
    id: &PieceId,
    on_record: &[OnRecord],
    since: u64,
) -> Option<Date> {
    let described = piece.described.certificate_date();
    let newer = on_record.iter().find(|one| {
        let certified = &one.certified;
        certified.piece == *id
            && certified.due.is_some()
            && one.entry.sequence() > since
            && described.is_none_or(|date| certified.heading.date > date)
            && effect(Some(piece), certified) == Effect::Taken
    })?;
    Some(newer.certified.heading.date)
}

/// The day of another certificate by which the register described it after that. What was put right of the same one is no
/// other.
fn described_after(ledger: &Ledger, piece: &Registered, since: u64) -> Result<Option<Date>, Error> {
    if piece.entry.sequence() <= since {
        return Ok(None);
    }
    let mut before: Option<Equipment> = None;
    for entry in ledger.history(&piece.entry.into())? {
        if RecordKind::Equipment.is_of(&entry) && entry.sequence <= since {
            before = Some(registered(&entry)?.described);
        }
    }
    let is_other = before.is_some_and(|before| !is_same(&before, &piece.described));
    Ok(piece.described.certificate_date().filter(|_| is_other))
}
