//! Pieces that a recall on the record found to be out: until they are calibrated or put back into use, and in the time for which
//! the recall holds, nothing is decided with them.

use jiff::Timestamp;
use jiff::civil::Date;
use ledger::{EntryId, Ledger, Order};
use metrology::units::{Entered, Length};

use crate::error::Error;
use crate::gauge_record::case::Case;
use crate::gauge_record::status::Set;
use crate::kept;
use crate::on_record::each_whole;
use crate::record_kind::RecordKind;
use crate::station;
use crate::status::Changed;

/// What a recall says of a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct FoundOut {
    /// The role that the piece has in results, and its identity.
    pub role: String,
    pub id: String,
    pub error: Length,
    pub found: Date,
    /// The day of the last good check before it; none where nobody knows one.
    pub since: Option<Date>,
    pub entry: EntryId,
    /// When the recall was first recorded.
    pub at: Timestamp,
}

/// Every recall on the record, the first first.
pub fn all(ledger: &Ledger) -> Result<Vec<FoundOut>, Error> {
    let mut all = Vec::new();
    each_whole(
        ledger,
        &RecordKind::Recall.standing(),
        Order::OldestFirst,
        |entry| {
            // A case that a later version wrote is told by verification.
            let Ok(case) = kept::read::<Case>(kept::CASE, &entry.content.inputs) else {
                return Ok(());
            };
            let Ok(error) = Entered::parse(&case.error, None) else {
                return Ok(());
            };
            all.push(FoundOut {
                role: case.piece.clone(),
                id: case.id.trim().to_owned(),
                error: error.value(),
                found: case.found,
                since: case.since,
                entry: entry.id(),
                at: entry.content.recorded_at,
            });
            Ok(())
        },
    )?;
    Ok(all)
}

impl FoundOut {
    /// Whether it holds for what was measured on a day with a certificate of a day. After the finding the piece may have had a
    /// certificate, of those of these days, or may have been put back into use by a change of its status.
    pub fn holds(
        &self,
        (day, certified): (Date, Option<Date>),
        certificates: &[Date],
        changes: &[Changed],
    ) -> bool {
        if certified.is_some_and(|certified| certified >= self.found) {
            return false;
        }
        if day <= self.found {
            return self.since.is_none_or(|since| day >= since);
        }
        let mut certificates = certificates.iter();
        let mut changes = changes.iter();
        let is_certified = certificates.any(|on| *on >= self.found && *on <= day);
        let is_back = changes.any(|changed| {
            changed.at >= self.at
                && station::day(changed.at) <= day
                && matches!(changed.change.set(), Some(Set::InUse | Set::Limited))
        });
        !is_certified && !is_back
    }
}
