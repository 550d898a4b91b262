//! A calibration on the record, and what it changes in the register: the error curve, the certificate and the due date of a
//! micrometer that is good, and the status of any.

use jiff::Timestamp;
use jiff::civil::Date;
use ledger::{Actor, Draft, Entry, EntryId, Filter, JobEvents, Ledger, Order, Subject};
use metrology::decision::Verdict;
use metrology::inspection::{CertifiedCurve, CurvePoint, InstrumentErrors};
use metrology::units::{Entered, Length, LengthUnit};

use super::read::refused;
use crate::calibrations_on_record::Shown;
use crate::certificates_on_record;
use crate::error::Error;
use crate::gauge_record::calibrated::{CalibratedDocument, CurveDocument, PointDocument};
use crate::gauge_record::calibration::{Of, Worked};
use crate::gauge_record::piece::PieceId;
use crate::gauge_record::status::{Change, Set};
use crate::kept;
use crate::on_record::each_whole;
use crate::record::BENCH_JOB;
use crate::record::append_as_read;
use crate::record_kind::RecordKind;
use crate::recorder::Recorder;
use crate::register::{self, Equipment, Kind, Register, Registered};
use crate::station;
use crate::status::{self, Changed};

metrology::messages! {
    /// Why a calibration is not recorded.
    pub enum RecordRefused "calibration-record" {
        /// One of that number is on the record.
        Known "known" { number: String as Text },
        /// An entry that cannot be read.
        Unreadable "unreadable" { entry: String as Text },
    }
}

/// What was recorded.
#[derive(Clone, Debug, PartialEq)]
pub struct Recorded {
    pub calibration: EntryId,
    /// The change of status; none of a calibration that is older than what is on the record: it is history, and changes nothing.
    pub status: Option<EntryId>,
    /// The description in the register that has the new curve; none where the piece is not registered or not good.
    pub register: Option<EntryId>,
    /// What it shows, where it changes the status.
    pub shows: Option<Shows>,
}

/// What a calibration shows of its piece, by which the status changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shows {
    /// It keeps its criterion.
    Good,
    /// It keeps it in a part of what an earlier calibration did not show good: over a part of the range, or without the faces.
    GoodInPart,
    /// It keeps it, but it was not measured after somebody set the status that the piece has, on that day.
    GoodBefore { set: Set, on: Date },
    /// Neither that it keeps it nor that it does not.
    Undecided,
    /// It does not keep its criterion.
    Out,
}

impl Shows {
    /// The status that follows.
    pub const fn sets(self) -> Set {
        match self {
            Self::Good => Set::InUse,
            Self::GoodBefore { set, .. } => set,
            Self::GoodInPart | Self::Undecided | Self::Out => Set::Quarantined,
        }
    }

    /// Without what is on the record.
    pub fn of(result: &CalibratedDocument) -> Self {
        match Verdict::of(&result.verdict) {
            Some(Verdict::Accept) => Self::Good,
            Some(Verdict::Reject) => Self::Out,
            _ => Self::Undecided,
        }
    }

    fn on_record(
        ledger: &Ledger,
        worked: &Worked,
        result: &CalibratedDocument,
        by_hand: Option<&Changed>,
    ) -> Result<Self, Error> {
        let shows = Self::of(result);
        if shows != Self::Good {
            return Ok(shows);
        }
        if let Some(failed) = certificates_on_record::failed(ledger, &worked.piece())? {
            // It has no entry yet, and stands after all of its day.
            let now = Shown::of(worked, result, (failed.entry, failed.at));
            if !now.makes_good(&failed) {
                return Ok(Self::GoodInPart);
            }
        }
        Ok(by_hand.map_or(shows, |by_hand| Self::GoodBefore {
            set: by_hand.change.set().unwrap_or(Set::Quarantined),
            on: station::day(by_hand.at),
        }))
    }
}

/// Whether a calibration or a certificate of a later day is on the record of a piece, or in the register.
pub fn is_history(
    ledger: &Ledger,
    piece: &PieceId,
    date: Date,
    by_register: Option<Date>,
) -> Result<bool, Error> {
    let calibrations = of(ledger, piece)?.into_iter();
    let certificates = certificates_on_record::of(ledger, Some(piece))?.into_iter();
    let mut days = calibrations
        .map(|one| one.worked.heading.date)
        .chain(certificates.map(|one| one.certified.heading.date))
        .chain(by_register);
    Ok(days.any(|day| day > date))
}

/// The change of status that goes with the withdrawal of a calibration by which a piece is in use: nothing else shows it good.
/// None where something later holds, or the piece is set apart already. `reason` gets the number of the calibration.
pub fn set_apart_with(
    ledger: &Ledger,
    withdrawn: &Entry,
    recorder: &Recorder,
    reason: impl FnOnce(&str) -> String,
) -> Result<Option<Draft>, Error> {
    if !RecordKind::Calibration.is_of(withdrawn) {
        return Ok(None);
    }
    let worked = worked(withdrawn)?;
    let piece = worked.piece();
    let changes = status::changes(ledger, Some(&piece))?;
    let before = changes.last().map(|one| &one.change);
    if before.is_none_or(|before| before.apart().is_some()) || !as_read(withdrawn)?.is_good() {
        return Ok(None);
    }
    let date = worked.heading.date;
    let calibrations = of(ledger, &piece)?.into_iter();
    let calibrations = calibrations.filter(|one| one.entry != withdrawn.id());
    let certificates = certificates_on_record::of(ledger, Some(&piece))?.into_iter();
    let mut days = calibrations
        .map(|one| one.worked.heading.date)
        .chain(certificates.map(|one| one.certified.heading.date));
    if days.any(|day| day >= date) {
        return Ok(None);
    }
    let change = Change {
        status: Set::Quarantined.key().to_owned(),
        holder: before.and_then(|before| before.holder.clone()),
        limited_to: Vec::new(),
        due: None,
        extension: None,
        reason: reason(worked.heading.number.trim()),
        calibration: Some(worked.heading.number.trim().to_owned()),
        piece,
    };
    Ok(Some(status::draft(&change, recorder)?))
}

/// Works a calibration out.
pub fn computed(worked: &Worked) -> Result<CalibratedDocument, Error> {
    CalibratedDocument::of(worked).map_err(|error| refused(&error))
}

/// The calibration that an entry holds.
pub fn worked(entry: &Entry) -> Result<Worked, Error> {
    kept::read(kept::CALIBRATION, &entry.content.inputs).map_err(|_| unreadable(entry))
}

/// The result of it, as it was recorded.
pub fn as_read(entry: &Entry) -> Result<CalibratedDocument, Error> {
    kept::read(kept::CALIBRATED, &entry.content.results).map_err(|_| unreadable(entry))
}

/// A calibration on the record.
#[derive(Clone, Debug, PartialEq)]
pub struct OnRecord {
    pub entry: EntryId,
    pub worked: Worked,
    pub result: CalibratedDocument,
}

/// The standing calibrations of a piece by their days, the first first.
pub fn of(ledger: &Ledger, piece: &PieceId) -> Result<Vec<OnRecord>, Error> {
    listed(ledger, Some(piece.subject()))
}

/// The same of every piece.
pub fn all(ledger: &Ledger) -> Result<Vec<OnRecord>, Error> {
    listed(ledger, None)
}

fn listed(ledger: &Ledger, piece: Option<Subject>) -> Result<Vec<OnRecord>, Error> {
    let of = Subject::new("gauge-room", "calibrations");
    let filter = Filter {
        subjects: std::iter::once(of).chain(piece).collect(),
        ..RecordKind::Calibration.standing()
    };
    let mut all = Vec::new();
    each_whole(ledger, &filter, Order::OldestFirst, |entry| {
        all.push(OnRecord {
            entry: entry.id(),
            worked: worked(entry)?,
            result: as_read(entry)?,
        });
        Ok(())
    })?;
    all.sort_by_key(|one: &OnRecord| one.worked.heading.date);
    Ok(all)
}

fn unreadable(entry: &Entry) -> Error {
    Error::outside(RecordRefused::Unreadable {
        entry: entry.id().to_string(),
    })
}

/// Puts a calibration on the record with all that it changes, or nothing of it. `reason` stands in register and status, by what
/// the calibration shows.
pub fn record(
    ledger: &Ledger,
    worked: &Worked,
    result: &CalibratedDocument,
    recorder: &Recorder,
    reason: &dyn Fn(Shows) -> String,
) -> Result<Recorded, Error> {
    record_at_bench(ledger, worked, result, recorder, reason, None)
}

/// Whether a standing calibration has this number.
pub fn is_known(ledger: &Ledger, number: &str) -> Result<bool, Error> {
    let known = Filter {
        subjects: vec![Subject::new("calibration", number.trim())],
        ..RecordKind::Calibration.standing()
    };
    Ok(ledger.count(&known)? > 0)
}

/// What the entries of a job at the bench say of it.
#[derive(Clone, Debug)]
pub struct AtBench {
    pub job: u64,
    /// When it was begun.
    pub begun: Option<Timestamp>,
    /// Who signed, where a badge said so.
    pub actor: Option<Actor>,
    pub events: Option<JobEvents>,
}

/// The same of a job at the bench, where it was one.
pub fn record_at_bench(
    ledger: &Ledger,
    worked: &Worked,
    result: &CalibratedDocument,
    recorder: &Recorder,
    reason: &dyn Fn(Shows) -> String,
    at_bench: Option<&AtBench>,
) -> Result<Recorded, Error> {
    let number = worked.heading.number.trim();
    let ((number, shows), entries) = append_as_read(ledger, || {
        let number = number.to_owned();
        if is_known(ledger, &number)? {
            return Err(Error::input(RecordRefused::Known { number }));
        }
        let begun = at_bench.and_then(|at_bench| at_bench.begun);
        let (shows, mut drafts) = drafts(ledger, (worked, begun), result, recorder, reason)?;
        if let Some(at_bench) = at_bench {
            at_bench.tell(&mut drafts);
        }
        Ok(((number, shows), drafts))
    })?;
    match entries.as_slice() {
        [calibration, changes @ ..] => Ok(Recorded {
            calibration: calibration.id(),
            status: changes.first().map(Entry::id),
            register: changes.get(1).map(Entry::id),
            shows,
        }),
        // There is one for each draft.
        [] => Err(Error::outside(RecordRefused::Unreadable { entry: number })),
    }
}

impl AtBench {
    fn tell(&self, drafts: &mut [Draft]) {
        if let Some(actor) = &self.actor {
            for draft in drafts.iter_mut() {
                draft.actor = actor.clone();
            }
        }
        // A job that stopped between its record and its end is found by this, and not recorded twice.
        if let Some(calibration) = drafts.first_mut() {
            calibration.events.clone_from(&self.events);
            let job = Subject::new(BENCH_JOB, self.job.to_string());
            calibration.subjects.insert(job);
        }
    }
}

/// What a calibration shows of its piece by all that is on the record: the status that follows. None where it is older than that,
/// and changes nothing; `begun` is when it was begun at the bench.
pub fn shows(
    ledger: &Ledger,
    (worked, begun): (&Worked, Option<Timestamp>),
    result: &CalibratedDocument,
) -> Result<Option<Shows>, Error> {
    let changes = status::changes(ledger, Some(&worked.piece()))?;
    let register = Register::read(ledger)?;
    shows_by(ledger, (worked, begun), result, &register, &changes)
}

fn shows_by(
    ledger: &Ledger,
    (worked, begun): (&Worked, Option<Timestamp>),
    result: &CalibratedDocument,
    register: &Register,
    changes: &[Changed],
) -> Result<Option<Shows>, Error> {
    let known = described_before(register, worked);
    let by_register = known.and_then(|known| known.described.certificate_date());
    if is_history(ledger, &worked.piece(), worked.heading.date, by_register)? {
        return Ok(None);
    }
    // Of a calibration from a file the day is known alone: one of the same day may have been measured before.
    let is_after = |set: &Changed| match begun {
        Some(begun) => begun > set.at,
        None => worked.heading.date > station::day(set.at),
    };
    let by_hand = status::by_hand(changes).filter(|set| !is_after(set));
    Shows::on_record(ledger, worked, result, by_hand).map(Some)
}

/// The registered micrometer that a calibration is of.
fn described_before<'a>(register: &'a Register, worked: &Worked) -> Option<&'a Registered> {
    let known = register.find(Kind::Instrument, &worked.piece().id);
    known.filter(|_| matches!(worked.of, Of::Micrometer(_)))
}

/// What a calibration shows, where it changes the status, and its entries; `begun` is when it was begun at the bench.
fn drafts(
    ledger: &Ledger,
    (worked, begun): (&Worked, Option<Timestamp>),
    result: &CalibratedDocument,
    recorder: &Recorder,
    reason: &dyn Fn(Shows) -> String,
) -> Result<(Option<Shows>, Vec<Draft>), Error> {
    let piece = worked.piece();
    let calibration = Draft {
        inputs: kept::write(kept::CALIBRATION, worked).map_err(Error::outside)?,
        results: kept::write(kept::CALIBRATED, result).map_err(Error::outside)?,
        subjects: worked.subjects(),
        ..recorder.blank(RecordKind::Calibration)?
    };
    let register = Register::read(ledger)?;
    let known = described_before(&register, worked);
    let changes = status::changes(ledger, Some(&piece))?;
    let Some(shows) = shows_by(ledger, (worked, begun), result, &register, &changes)? else {
        return Ok((None, vec![calibration]));
    };
    let before = changes.last().map(|one| &one.change);
    let limited_to = status::by_hand(&changes).filter(|_| shows.sets() == Set::Limited);
    let reason = &reason(shows);
    let status = Change {
        piece: piece.clone(),
        status: shows.sets().key().to_owned(),
        holder: before.and_then(|before| before.holder.clone()),
        limited_to: limited_to.map_or_else(Vec::new, |set| set.change.limited_to.clone()),
        due: worked.due,
        extension: None,
        reason: reason.to_owned(),
        calibration: Some(worked.heading.number.trim().to_owned()),
    };
    let mut drafts = vec![calibration, status::draft(&status, recorder)?];
    if let (true, Some(known)) = (result.is_good(), known)
        && let Some(now) = described(&known.described, worked, result)
    {
        let changed = register::change(&register, &now, recorder, reason)?;
        drafts.extend(changed);
    }
    Ok((Some(shows), drafts))
}

/// A registered micrometer as the calibration describes it.
fn described(
    before: &Equipment,
    worked: &Worked,
    result: &CalibratedDocument,
) -> Option<Equipment> {
    let Equipment::Instrument(before) = before else {
        return None;
    };
    let periodic_error = match &before.errors {
        InstrumentErrors::Curve(curve) => curve.periodic_error.clone(),
        InstrumentErrors::Within { .. } => None,
    };
    let curve = result.goes_on_with()?;
    let (expanded_uncertainty, coverage_factor) = widest(curve)?;
    let points = curve.points.iter().map(|point| {
        Some(CurvePoint {
            at: millimetres(point.at_mm)?,
            error: millimetres(point.error_um / 1000.0)?,
        })
    });
    let mut now = before.clone();
    now.errors = InstrumentErrors::Curve(CertifiedCurve {
        points: points.collect::<Option<Vec<_>>>()?,
        expanded_uncertainty,
        coverage_factor,
        periodic_error,
    });
    now.certificate = Some(worked.heading.number.clone());
    now.certificate_date = Some(worked.heading.date);
    now.due = worked.due;
    Some(Equipment::Instrument(now))
}

/// The largest expanded uncertainty of the points, and its coverage factor.
fn widest(curve: &CurveDocument) -> Option<(Entered, f64)> {
    let by = |one: &&PointDocument, other: &&PointDocument| {
        one.expanded_uncertainty_um
            .total_cmp(&other.expanded_uncertainty_um)
    };
    let widest = curve.points.iter().max_by(by)?;
    let expanded = millimetres(widest.expanded_uncertainty_um / 1000.0)?;
    // To the hundredth, as a certificate would state it.
    let factor = (widest.coverage_factor * 100.0).round() / 100.0;
    Some((expanded, factor))
}

/// A computed length, to a tenth of a nanometre.
fn millimetres(value: f64) -> Option<Entered> {
    let length = Length::nearest_mm(value).ok()?;
    Some(Entered::of(length, LengthUnit::Millimetre))
}
