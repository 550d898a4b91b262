//! Changes of status on the record; the last one of a piece holds.

use jiff::Timestamp;
use jiff::civil::Date;
use ledger::{Draft, Entry, EntryId, Filter, Ledger, Order, Page, Subject};

use crate::certificates_on_record;
use crate::error::Error;
use crate::gauge_record::piece::{PieceId, PieceKind};
use crate::gauge_record::status::{Change, STATUS, Set, StatusError};
use crate::given;
use crate::kept;
use crate::record_kind::RecordKind;
use crate::recorder::Recorder;

/// A change on the record.
#[derive(Clone, Debug, PartialEq)]
pub struct Changed {
    pub change: Change,
    pub entry: EntryId,
    pub at: Timestamp,
    pub person: String,
}

/// Every change of a piece, or of all pieces, the first first.
pub fn changes(ledger: &Ledger, piece: Option<&PieceId>) -> Result<Vec<Changed>, Error> {
    let subject = piece.map_or_else(|| Subject::new(STATUS.0, STATUS.1), PieceId::subject);
    let filter = Filter {
        subjects: vec![subject],
        ..RecordKind::Status.standing()
    };
    let mut all = Vec::new();
    let mut page = Some(Page::first(Order::OldestFirst, Page::LARGEST));
    while let Some(next) = page {
        let listing = ledger.list(&filter, &next)?;
        for entry in &listing.entries {
            all.push(changed(entry)?);
        }
        page = listing.next;
    }
    Ok(all)
}

/// Whether any record names a piece: one of the gauge room, a result that it was measured with, or trial readings.
pub fn is_named(ledger: &Ledger, piece: &PieceId) -> Result<bool, Error> {
    let registered = piece.kind().and_then(PieceKind::registered);
    let role = match registered {
        Some(kind) => kind.role(),
        None => &piece.kind,
    };
    let named = [role.to_owned(), format!("trial-{role}")];
    let named = named.map(|role| Subject::new(role, &piece.id));
    for subject in std::iter::once(piece.subject()).chain(named) {
        let filter = Filter {
            subjects: vec![subject],
            ..Filter::default()
        };
        let page = Page::first(Order::NewestFirst, 1);
        if !ledger.list(&filter, &page)?.entries.is_empty() {
            return Ok(true);
        }
    }
    Ok(false)
}

/// The change that an entry holds.
pub fn changed(entry: &Entry) -> Result<Changed, Error> {
    let change = kept::read(kept::STATUS, &entry.content.inputs).map_err(|_| {
        Error::outside(StatusError::Unreadable {
            entry: entry.id().to_string(),
        })
    })?;
    Ok(Changed {
        change,
        entry: entry.id(),
        at: entry.content.recorded_at,
        person: entry.content.actor.name.clone(),
    })
}

/// The last change that somebody made since a piece was in use last, of all its changes: nothing measured before it lifts it.
pub fn by_hand(changes: &[Changed]) -> Option<&Changed> {
    let since = changes.iter().rev();
    let mut since = since.take_while(|one| one.change.set() != Some(Set::InUse));
    since.find(|one| one.change.calibration.is_none())
}

/// The change that holds of a piece at a moment.
pub fn held<'a>(all: &'a [Changed], piece: &PieceId, at: Timestamp) -> Option<&'a Changed> {
    let of = |one: &&Changed| one.change.piece == *piece && one.at <= at;
    all.iter().rfind(of)
}

/// The changes of one piece, the first first, by which it was put back into use, or limited, after the entry of a sequence number:
/// from another status, or as a word that it may be used. Who has the piece and when it is due say nothing of that.
pub fn put_back(changes: &[Changed], after: u64) -> impl Iterator<Item = &Changed> {
    let before = std::iter::once(None).chain(changes.iter().map(Some));
    let each = changes.iter().zip(before);
    each.filter(move |(changed, before)| {
        changed.entry.sequence() > after
            && is_put_back(&changed.change, before.map(|one| &one.change))
    })
    .map(|(changed, _)| changed)
}

fn is_put_back(now: &Change, before: Option<&Change>) -> bool {
    if now.apart().is_some() {
        return false;
    }
    let set = before.map_or(Some(Set::InUse), Change::set);
    let limited_to = before.map_or(&[][..], |before| &before.limited_to);
    let holder = before.and_then(|before| before.holder.as_ref());
    let due = before.and_then(|before| before.due);
    let extension = before.and_then(|before| before.extension.as_ref());
    let is_moved = now.holder.as_ref().is_some_and(|now| holder != Some(now))
        || now.due.is_some_and(|now| due != Some(now))
        || now
            .extension
            .as_ref()
            .is_some_and(|now| extension != Some(now));
    now.set() != set || now.limited_to != limited_to || !is_moved
}

/// The entry of a change, not yet recorded.
pub fn draft(change: &Change, recorder: &Recorder) -> Result<Draft, Error> {
    Ok(Draft {
        inputs: kept::write(kept::STATUS, change).map_err(Error::outside)?,
        subjects: change.subjects(),
        ..recorder.blank(RecordKind::Status)?
    })
}

/// Puts a change on the record; `certified` is when the piece is due by its certificate.
pub fn record(
    ledger: &Ledger,
    change: &Change,
    certified: Option<Date>,
    today: Date,
    recorder: &Recorder,
) -> Result<Entry, Error> {
    change.check(today).map_err(Error::input)?;
    // An extension says who answers for it and by what check, and stands on every report; another due date would not.
    if let Some(due) = certified.filter(|due| *due < today && change.due > Some(*due)) {
        return Err(Error::input(StatusError::PutOff { due }));
    }
    // What it is still good for may be said by limiting it; that it is good altogether is for a certificate or a calibration to say.
    if change.set() == Some(Set::InUse)
        && let Some(failed) = certificates_on_record::failed(ledger, &change.piece)?
    {
        let (entry, date) = (failed.entry.to_string(), failed.date);
        return Err(Error::input(StatusError::Failed { entry, date }));
    }
    if matches!(change.set(), Some(Set::InUse | Set::Limited))
        && let Some(number) = certificates_on_record::withdrawn(ledger, &change.piece)?
    {
        return Err(Error::input(StatusError::Withdrawn { number }));
    }
    given::on_lines("reason", &change.reason).map_err(Error::input)?;
    given::on_one_line("person", &recorder.person).map_err(Error::input)?;
    Ok(ledger.append(&draft(change, recorder)?)?)
}
