//! An entry in the place of an old one, which stays: a withdrawal, or the same characteristic of the same part measured anew.
//! Asked for by a command or on the page of a record; the checks are the same.

use std::path::Path;

use ledger::{Amendment, Draft, Entry, EntryId, Ledger};
use metrology::inspection::{Job, Part};
use workshop::RecordKind;
use workshop::bench::run::OfRoom;
use workshop::gauge_room::calibration;
use workshop::inspection_plan::RoomLimits;
use workshop::record::append_as_read;
use workshop::room_on_record::RoomRecord;

use crate::clock;
use crate::desk;
use crate::document::Inspected;
use crate::failure::Failure;
use crate::job_file::{Clock, Measured};
use crate::record;
use crate::say;
use crate::words::InWords as _;

/// A note in the place of an entry: it no longer holds.
pub fn withdrawal(old: &Entry, person: &str) -> Result<Draft, Failure> {
    let subjects = old.content.subjects.iter();
    Ok(Draft {
        subjects: subjects
            .filter(|subject| subject.role != "verdict")
            .cloned()
            .collect(),
        ..desk::recorder(person).blank(RecordKind::Note)?
    })
}

/// Records an entry in the place of another with what else changes by it, or nothing of it: the withdrawal of the calibration
/// by which a piece is in use sets it apart. The new entry is the first.
pub fn record(
    ledger: &Ledger,
    old: &Entry,
    reason: &str,
    draft: &Draft,
) -> Result<Vec<Entry>, Failure> {
    let recorder = desk::recorder(&draft.actor.name);
    let draft = Draft {
        amends: Some(Amendment {
            entry: old.id(),
            reason: reason.to_owned(),
        }),
        ..draft.clone()
    };
    let ((), entries) = append_as_read(ledger, || {
        let said = |number: &str| {
            say!(
                "calibration.reason-withdrawn",
                number = number,
                entry = old.id()
            )
        };
        let apart = calibration::set_apart_with(ledger, old, &recorder, said)?;
        Ok(((), std::iter::once(draft.clone()).chain(apart).collect()))
    })?;
    Ok(entries)
}

/// What follows from a withdrawal, and how it is put right: by the kind of what was withdrawn.
pub fn follows(old: &Entry, entries: &[Entry]) -> Vec<String> {
    let subject = |role: &str| old.content.subject(role).unwrap_or_default();
    let Some(new) = entries.first().map(Entry::id) else {
        return Vec::new();
    };
    let kind = RecordKind::EVERY.iter().find(|kind| kind.is_of(old));
    match kind {
        Some(RecordKind::Inspection) => vec![say!("ledger.amend-withdrawn", new = new)],
        Some(RecordKind::Calibration) => {
            let number = subject("calibration");
            let mut all = vec![match entries.get(1) {
                Some(status) => {
                    say!(
                        "ledger.withdrawn-calibration",
                        number = number,
                        status = status.id()
                    )
                }
                None => say!("ledger.withdrawn-calibration-only", number = number),
            }];
            all.push(say!("ledger.withdrawn-calibration-again").to_owned());
            all
        }
        Some(RecordKind::Lot) => vec![say!("ledger.withdrawn-lot", lot = subject("lot"))],
        Some(RecordKind::Plan) => vec![say!("ledger.withdrawn-plan", plan = subject("plan"))],
        Some(RecordKind::Equipment) => vec![say!("ledger.withdrawn-equipment").to_owned()],
        _ => Vec::new(),
    }
}

/// What is measured anew.
pub struct Anew<'a> {
    /// What the job is called where it is complained of.
    pub file: &'a Path,
    /// Whether it may be another part or another characteristic.
    pub other_part: bool,
    /// What to write to say that it is another part on purpose.
    pub how_other_part: &'static str,
    /// Holds what is known of the room.
    pub ledger: &'a Ledger,
}

impl Anew<'_> {
    /// The draft of the measurement that holds instead of an old one.
    ///
    /// When it was measured stays, unless the job says otherwise. That it is the same characteristic of the same part is
    /// checked, since a wrong number is easily typed.
    pub fn draft(
        &self,
        old: &Entry,
        person: &str,
        read: impl FnOnce(Clock) -> Result<Job, Failure>,
        compute: impl FnOnce(&Job) -> Result<Inspected, Failure>,
    ) -> Result<Draft, Failure> {
        let (old_job, old_result) = record::read(old)?;
        let mut job = read(Clock {
            now: clock::now()?,
            measured: Measured {
                at: old_job.measured_at,
                on: old_job.measured_on,
            },
        })?;
        if job.person.is_none() {
            job.person = old_job.person;
        }
        // What its plan asks of the room is in no job file, and holds all the same.
        if let Some(limits) = RoomLimits::noted(&old_job.notes) {
            let record = RoomRecord::read(self.ledger, &limits, job.measured_at)?;
            let limits = Some(limits);
            OfRoom { limits, record }.tell(&mut job);
        }
        let result = compute(&job)?;
        let same = job.part.name == old_job.part.name
            && result.characteristic == old_result.characteristic;
        if !same && !self.other_part {
            return Err(Failure::input(say!(
                "ledger.amend-other-part",
                entry = old.id(),
                old_part = old_job.part.name,
                old = old_result.characteristic(),
                file = self.file.display(),
                new_part = job.part.name,
                new = result.characteristic(),
                how = self.how_other_part
            )));
        }
        let differs = other_piece(&old_job.part, &job.part);
        if !differs.is_empty() && !self.other_part {
            return Err(Failure::input(say!(
                "ledger.amend-other-piece",
                entry = old.id(),
                file = self.file.display(),
                differs = differs.join("; "),
                how = self.how_other_part
            )));
        }
        Ok(desk::draft(&job, &result, Some(person))?)
    }
}

/// What says that another piece was measured, or the same of another lot: a rejected piece would leave its lot by it unseen.
fn other_piece(old: &Part, new: &Part) -> Vec<String> {
    let named = |of: &Option<String>| {
        let of = of.as_deref().map(str::trim).filter(|of| !of.is_empty());
        of.map_or_else(|| say!("ledger.amend-none").to_owned(), str::to_owned)
    };
    let both = [
        (say!("report.field-sample"), &old.sample, &new.sample),
        (say!("report.field-lot"), &old.lot, &new.lot),
        (say!("report.field-drawing"), &old.drawing, &new.drawing),
        (
            say!("report.field-characteristic"),
            &old.characteristic,
            &new.characteristic,
        ),
    ];
    let both = both.map(|(name, old, new)| (name, named(old), named(new)));
    let differs = both.into_iter().filter(|(_, old, new)| old != new);
    differs
        .map(|(name, old, new)| say!("ledger.amend-differs", name = name, old = old, new = new))
        .collect()
}

/// The measurement that a new one is held against: the entry itself or, where that is a note, the last one before it.
pub fn measured(ledger: &Ledger, old: &Entry) -> Result<Entry, Failure> {
    if !RecordKind::Note.is_of(old) {
        return Ok(old.clone());
    }
    let line = ledger.history(&old.id().into())?;
    Ok(line
        .into_iter()
        .filter(|entry| entry.sequence < old.sequence)
        .rfind(|entry| RecordKind::Inspection.is_of(entry))
        .unwrap_or_else(|| old.clone()))
}

/// What holds since an entry took the place of an old one.
pub fn told(new: EntryId, old: &Entry, is_measured: bool) -> String {
    let old_id = old.id();
    if is_measured {
        say!("ledger.amended-holds", new = new, old = old_id)
    } else if RecordKind::Note.is_of(old) {
        say!("ledger.amended-stays-withdrawn", new = new, old = old_id)
    } else {
        say!("ledger.amended-withdrawn", new = new, old = old_id)
    }
}
