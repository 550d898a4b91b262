//! The badges of the people at the bench, kept in the ledger.
//!
//! A badge is an entry of kind [`RecordKind::Badge`]. A badge that is given to somebody else is a new entry that amends the
//! earlier one; `ledger amend` withdraws one.

use ledger::{Draft, Entry, EntryId, Ledger, Order, Page};

use crate::badge::Badge;
use crate::error::Error;
use crate::kept::{self, Unreadable};
use crate::record_kind::RecordKind;
use crate::recorder::Recorder;

metrology::messages! {
    /// Why a badge is not taken, or cannot be read.
    pub enum BadgeError "badge" {
        /// A code that cannot be told from a reading of the micrometer or from a command.
        CodeLikeReading "code-like-reading" { code: String as Text },
        /// An entry that this program cannot read.
        Unreadable "unreadable" { entry: String as Text, why: Unreadable as said },
    }
}

/// All badges that stand.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Badges(Vec<(Badge, EntryId)>);

impl Badges {
    /// Reads them from the ledger.
    pub fn read(ledger: &Ledger) -> Result<Self, Error> {
        let mut all: Vec<(Badge, EntryId)> = Vec::new();
        let mut page = Some(Page::first(Order::NewestFirst, Page::LARGEST));
        while let Some(next) = page {
            let listing = ledger.list(&RecordKind::Badge.standing(), &next)?;
            for entry in &listing.entries {
                let badge = badge(entry)?;
                if !all.iter().any(|(known, _)| known.code == badge.code) {
                    all.push((badge, entry.id()));
                }
            }
            page = listing.next;
        }
        Ok(Self(all))
    }

    /// Whose badge has this code.
    pub fn find(&self, code: &str) -> Option<&Badge> {
        self.iter().find(|badge| badge.code == code.trim())
    }

    /// All of them, the latest first.
    pub fn iter(&self) -> impl Iterator<Item = &Badge> {
        self.0.iter().map(|(badge, _)| badge)
    }

    fn entry(&self, code: &str) -> Option<EntryId> {
        let mut known = self.0.iter();
        known
            .find(|(badge, _)| badge.code == code)
            .map(|(_, entry)| *entry)
    }
}

/// The badge that an entry holds.
pub fn badge(entry: &Entry) -> Result<Badge, Error> {
    kept::read(kept::BADGE, &entry.content.inputs).map_err(|why| {
        let entry = entry.id().to_string();
        Error::outside(BadgeError::Unreadable { entry, why })
    })
}

/// Puts a badge on the record, in the place of an earlier one of the same code, and then for the reason `anew`.
pub fn record(
    ledger: &Ledger,
    badge: &Badge,
    recorder: &Recorder,
    anew: &str,
) -> Result<Entry, Error> {
    // At most questions a number is a reading or a place in a list, and a stroke begins a command.
    let has_letter = badge.code.chars().any(char::is_alphabetic);
    let is_long = badge.code.chars().filter(char::is_ascii_digit).count() >= LONGER_THAN_READINGS;
    if badge.code.starts_with('/') || badge.code.contains(['.', ',']) || !(has_letter || is_long) {
        let code = badge.code.clone();
        return Err(Error::input(BadgeError::CodeLikeReading { code }));
    }
    let draft = Draft {
        inputs: kept::write(kept::BADGE, badge).map_err(Error::outside)?,
        subjects: badge.subjects(),
        ..recorder.blank(RecordKind::Badge)?
    };
    Ok(match Badges::read(ledger)?.entry(&badge.code) {
        None => ledger.append(&draft)?,
        Some(before) => ledger.amend(&before.into(), anew, draft)?,
    })
}

/// A code of digits alone has so many: no micrometer shows them without a decimal sign.
const LONGER_THAN_READINGS: usize = 7;
