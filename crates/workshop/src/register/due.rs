//! When a piece is due on a day: by the certificate that held then, or as the gauge room set it while that was the latest one.

use jiff::civil::Date;

use super::effect::{Effect, effect};
use super::{Registered, is_same};
use crate::certificates_on_record::OnRecord;
use crate::gauge_record::certificate::same_number;
use crate::gauge_record::piece::PieceId;
use crate::gauge_record::status::Extension;
use crate::status::Changed;

/// From the day of a certificate to that of the next one.
#[derive(Clone, Debug, PartialEq)]
struct Period {
    /// The day of its certificate.
    from: Date,
    /// The entry that brought the certificate onto the record.
    entry: u64,
    /// When the piece is due by the certificate.
    due: Option<Date>,
    /// When the gauge room set it due while the certificate was the latest on record.
    set: Option<Date>,
    /// Until when it extended that.
    extension: Option<Extension>,
}

/// The periods of a piece, by the days of their certificates.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Periods(Vec<Period>);

impl Periods {
    /// Of all descriptions of a piece, the first first, of the certificates on record, and of all changes of its status.
    pub(super) fn of(
        line: &[Registered],
        id: &PieceId,
        on_record: &[OnRecord],
        changes: &[Changed],
    ) -> Self {
        let mut all: Vec<Period> = Vec::new();
        let mut before: Option<&Registered> = None;
        for described in line {
            let piece = &described.described;
            let same = before.is_some_and(|before| is_same(&before.described, piece));
            let from = piece.certificate_date().unwrap_or(Date::MIN);
            match all.last_mut().filter(|_| same) {
                // What is put right of a certificate begins no period.
                Some(last) => (last.from, last.due) = (from, piece.due()),
                None => all.push(Period::new(from, described.entry.sequence(), piece.due())),
            }
            before = Some(described);
        }
        let own = before.and_then(|last| last.described.certificate());
        all.extend(on_record.iter().filter_map(|one| {
            let heading = &one.certified.heading;
            let is_taken = one.certified.piece == *id
                && !own.is_some_and(|own| same_number(own, &heading.number))
                && effect(before, &one.certified) == Effect::Taken;
            // A certificate that names no day leaves the one before.
            let due = one.certified.due.or(before?.described.due());
            is_taken.then(|| Period::new(heading.date, one.entry.sequence(), due))
        }));
        all.sort_by_key(|period| (period.from, period.entry));
        for change in changes {
            let sequence = change.entry.sequence();
            let due = change.change.due;
            // A calibration in house brings the change with it, which stands before the description.
            let was_there = |period: &&mut Period| {
                period.entry < sequence || period.entry == sequence + 1 && period.due == due
            };
            if let Some(period) = all.iter_mut().rfind(was_there) {
                period.set = due;
                period.extension.clone_from(&change.change.extension);
            }
        }
        Self(all)
    }

    /// That of a day; before all certificates the first.
    fn on(&self, day: Date) -> Option<&Period> {
        let held = self.0.iter().rfind(|period| period.from <= day);
        held.or(self.0.first())
    }

    /// When the piece is due, as far as is known on a day.
    pub fn due(&self, day: Date) -> Option<Date> {
        let period = self.on(day)?;
        period.set.or(period.due)
    }

    /// When the piece is due by its certificate, whatever the gauge room set.
    pub fn by_certificate(&self, day: Date) -> Option<Date> {
        self.on(day)?.due
    }

    /// When the gauge room set it due.
    pub fn set(&self, day: Date) -> Option<Date> {
        self.on(day)?.set
    }

    /// By what the gauge room extended that.
    pub fn extension(&self, day: Date) -> Option<&Extension> {
        self.on(day)?.extension.as_ref()
    }

    /// The day to which results are good: the due date, or the end of its extension.
    pub fn good_until(&self, day: Date) -> Option<Date> {
        let extended = self.extension(day).map(|extension| extension.until);
        self.due(day).max(extended)
    }
}

impl Period {
    const fn new(from: Date, entry: u64, due: Option<Date>) -> Self {
        Self {
            from,
            entry,
            due,
            set: None,
            extension: None,
        }
    }
}
