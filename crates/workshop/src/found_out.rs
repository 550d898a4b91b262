//! Pieces that a recall on the record found to be out: until they are calibrated or put back into use, and in the time for which
//! the recall holds, nothing is decided with them.

use jiff::Timestamp;
use jiff::civil::Date;
use ledger::{Entry, EntryId, Ledger, Order};
use metrology::units::{Entered, Length};

use crate::error::Error;
use crate::gauge_record::case::Case;
use crate::gauge_record::certificate::{same_number, stated_number};
use crate::kept;
use crate::on_record::each_whole;
use crate::record_kind::RecordKind;
use crate::station;
use crate::status::{Changed, put_back};

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
    /// The sequence number of the entry that first had it.
    pub first: u64,
    /// When that was recorded.
    pub at: Timestamp,
}

/// A certificate of a piece, where its number is known.
#[derive(Clone, Copy, Debug)]
pub struct Dated<'a> {
    pub number: Option<&'a str>,
    /// None where it is not stated.
    pub date: Option<Date>,
    /// When that came onto the record; none of what a job states.
    pub at: Option<Timestamp>,
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
            let first = first_of(ledger, entry)?;
            all.push(FoundOut {
                role: case.piece.clone(),
                id: case.id.trim().to_owned(),
                error: error.value(),
                found: case.found,
                since: case.since,
                entry: entry.id(),
                first: first.0,
                at: first.1,
            });
            Ok(())
        },
    )?;
    Ok(all)
}

/// When what an entry holds was first recorded: a decision on results takes the place of the recall before.
fn first_of(ledger: &Ledger, entry: &Entry) -> Result<(u64, Timestamp), Error> {
    let of = |entry: &Entry| (entry.sequence, entry.content.recorded_at);
    if entry.content.amends.is_none() {
        return Ok(of(entry));
    }
    let history = ledger.history(&entry.id().into())?;
    let first = history.iter().find(|one| RecordKind::Recall.is_of(one));
    Ok(of(first.unwrap_or(entry)))
}

impl FoundOut {
    /// Whether it holds for what was measured on a day with a certificate. After the finding the piece may have had another
    /// certificate, of those known, or may have been put back into use by a change of its status.
    pub fn holds(
        &self,
        (day, certified): (Date, Dated),
        certificates: &[Dated],
        changes: &[Changed],
    ) -> bool {
        if self.is_answered(&certified, certificates) {
            return false;
        }
        if day <= self.found {
            return self.since.is_none_or(|since| day >= since);
        }
        let is_certified = certificates
            .iter()
            .any(|one| one.date.is_some_and(|on| on <= day) && self.is_answered(one, certificates));
        let is_back = put_back(changes, self.first).any(|changed| station::day(changed.at) <= day);
        !is_certified && !is_back
    }

    /// Whether a certificate shows how the piece is since the finding: another date of one that was known then does not, nor does a
    /// date without a number.
    fn is_answered(&self, by: &Dated, known: &[Dated]) -> bool {
        let Some(number) = stated_number(by.number) else {
            return false;
        };
        let was_known = |one: &Dated| {
            stated_number(one.number).is_some_and(|known| same_number(known, number))
                && one.date.is_none_or(|on| on < self.found)
                && one.at.is_some_and(|at| at <= self.at)
        };
        by.date.is_some_and(|on| on >= self.found) && !known.iter().any(was_known)
    }
}
