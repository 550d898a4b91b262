//! Is the equipment fit for this job? What makes a result meaningless is refused; what a person may decide to live
//! with is said on the report.

use super::checked::{not_negative, positive};
use super::equipment::{ContactKind, Contacts, StandardForm};
use super::error::StandardUnfit;
use super::field::Field;
use super::job::Job;
use super::marked::PitchEntry;
use super::misfit::ContactsUnfit;
use super::of_thread::ThreadDiameter;
use super::state::State;
use super::status_note;
use super::warning::{Overridden, Piece, Warning};
use super::{JobError, Target, over_wires};
use crate::designation::Kind;
use crate::message::Say;
use crate::units::{Length, Pitch, ThreadsPerInch};

/// Refuses equipment that is not fit for the job, a job without a zero, and rules put aside for no reason.
pub fn check(job: &Job, target: &Target) -> Result<(), JobError> {
    half_angles(job, target)?;
    let [smallest, largest] = &job.instrument.range;
    if smallest.value().is_negative() || smallest.value() >= largest.value() {
        return Err(JobError::Range {
            id: job.instrument.id.clone(),
            from: smallest.clone(),
            to: largest.clone(),
        });
    }
    match job.standard.form {
        // Contacts closed on each other have no size.
        StandardForm::Closed => not_negative(Field::StandardSize, &job.standard.size)?,
        _ => positive(Field::StandardSize, &job.standard.size)?,
    };
    if job.standard.size.value() < smallest.value() || job.standard.size.value() > largest.value() {
        return Err(JobError::StandardOutsideRange {
            id: job.standard.id.clone(),
            size: job.standard.size.clone(),
            instrument: job.instrument.id.clone(),
            from: smallest.clone(),
            to: largest.clone(),
        });
    }
    reasons(job)?;
    zero(job)?;
    equipment(job)?;
    contacts(job, target)
}

/// An override without a reason is none.
fn reasons(job: &Job) -> Result<(), JobError> {
    let overrides = &job.overrides;
    for (of, reason) in [
        (Overridden::Zero, &overrides.zero),
        (Overridden::Equipment, &overrides.equipment),
        (Overridden::Contacts, &overrides.contacts),
    ] {
        if reason
            .as_ref()
            .is_some_and(|reason| reason.trim().is_empty())
        {
            return Err(JobError::EmptyReason { of });
        }
    }
    Ok(())
}

/// The zero rule: no measurement without a zero of that very pair before it.
fn zero(job: &Job) -> Result<(), JobError> {
    let other = job
        .zero
        .contacts
        .as_ref()
        .filter(|pair| **pair != job.contacts.id);
    match (other, &job.overrides.zero) {
        (Some(pair), None) => Err(JobError::ZeroOfOtherPair {
            zero: pair.clone(),
            contacts: job.contacts.id.clone(),
            standard: job.standard.id.clone(),
        }),
        (None, None) if job.zero.before.is_empty() => Err(JobError::NoZero {
            standard: job.standard.id.clone(),
        }),
        (_, Some(_)) if job.zero.before.is_empty() && job.zero.allowance.is_none() => {
            Err(JobError::ZeroAllowance)
        }
        _ => Ok(()),
    }
}

/// A measured half angle further than this from that of the thread, degrees, is none (common practice, no source).
const HALF_ANGLE_FAR: f64 = 2.0;

/// Measured half angles are those of a flank, not the angle between both.
fn half_angles(job: &Job, target: &Target) -> Result<(), JobError> {
    let (Some(flanks), Some(thread)) = (&job.prior.flanks, &target.thread) else {
        return Ok(());
    };
    let nominal = thread.included_angle.degrees() / 2.0;
    let far = |given: &f64| (given - nominal).abs() > HALF_ANGLE_FAR;
    match [flanks.one, flanks.other].into_iter().find(far) {
        Some(given) => Err(JobError::HalfAngle { given, nominal }),
        None => Ok(()),
    }
}

/// Equipment that is overdue or not active is used only with a reason.
fn equipment(job: &Job) -> Result<(), JobError> {
    if job.overrides.equipment.is_some() {
        return Ok(());
    }
    match blocks(job).into_iter().next() {
        Some(why) => Err(JobError::Blocked { why: Box::new(why) }),
        None => Ok(()),
    }
}

/// Everything that speaks against the equipment of a job.
fn blocks(job: &Job) -> Vec<Warning> {
    let used = job.measured_on;
    let instrument = &job.instrument;
    let contacts = &job.contacts;
    let standard = &job.standard;
    let pieces = [
        (
            Piece::Micrometer,
            &instrument.id,
            instrument.due,
            instrument.state,
        ),
        (Piece::Contacts, &contacts.id, contacts.due, contacts.state),
        (Piece::Standard, &standard.id, standard.due, standard.state),
    ];
    let wires = job.wires.as_ref();
    let wires = wires.map(|wires| (Piece::Wires, &wires.id, wires.due, wires.state));
    let thermometer = job
        .thermometer()
        .map(|one| (Piece::Thermometer, &one.id, one.due, one.state));
    let mut all = Vec::new();
    for (what, id, due, state) in pieces.into_iter().chain(wires).chain(thermometer) {
        let id = || id.clone();
        let noted = status_note::is_overdue_noted(job, &id());
        if let Some(due) = due.filter(|due| *due < used && !noted) {
            let id = id();
            all.push(Warning::Overdue {
                what,
                id,
                due,
                used,
            });
        }
        if state != State::Active {
            let id = id();
            all.push(Warning::OutOfUse { what, id, state });
        }
    }
    all
}

/// A pair that does not suit, with the reason.
fn unfit(contacts: &Contacts, why: impl Say) -> JobError {
    JobError::ContactsUnfit {
        id: contacts.id.clone(),
        why: why.message(),
    }
}

/// Contacts that cannot show this size, and standards that they do not sit on.
fn contacts(job: &Job, target: &Target) -> Result<(), JobError> {
    let unfit = |why| Err(unfit(&job.contacts, why));
    if let Some(feature) = &target.feature {
        if job.overrides.contacts.is_none() {
            feature
                .measurand()
                .suits(&job.with(target.limits))
                .map_err(|misfit| self::unfit(&job.contacts, misfit.why))?;
        }
        let turned = job.contacts.kind.wants_still_spindle();
        if turned && job.instrument.spindle_turns == Some(true) && job.overrides.contacts.is_none()
        {
            return unfit(ContactsUnfit::SpindleTurns {
                instrument: job.instrument.id.clone(),
            });
        }
        return plain_standard(job);
    }
    if let Some(wires) = &job.wires {
        return over_wires::check(job, wires, target);
    }
    if target.plane.is_some() {
        return unfit(ContactsUnfit::OnTaper {
            kind: job.contacts.kind,
        });
    }
    thread_contacts(&job.contacts, target)?;
    if target.thread.is_none() {
        return plain_size(job);
    }
    if job.contacts.kind == ContactKind::Flat {
        return Ok(());
    }
    match job.standard.form {
        StandardForm::VAndConeRod | StandardForm::ThreadPlug => Ok(()),
        StandardForm::Closed if job.standard.size.value() == Length::ZERO => Ok(()),
        StandardForm::Closed => Err(JobError::StandardUnfit {
            id: job.standard.id.clone(),
            contacts: job.contacts.id.clone(),
            why: StandardUnfit::ClosedSize,
        }),
        StandardForm::Plain => unfit(ContactsUnfit::PlainStandard {
            standard: job.standard.id.clone(),
        }),
    }
}

/// A size of which nothing but its limits is known: what sits on threads or lobes alone shows none.
fn plain_size(job: &Job) -> Result<(), JobError> {
    if job.overrides.contacts.is_some() {
        return Ok(());
    }
    let why = match job.contacts.kind {
        ContactKind::VAndCone => ContactsUnfit::VAndConeOffThread,
        ContactKind::VAnvil => ContactsUnfit::VAnvilOnSize,
        _ => return plain_standard(job),
    };
    Err(unfit(&job.contacts, why))
}

/// What is neither a thread nor touched by its flanks is zeroed on a plain standard.
fn plain_standard(job: &Job) -> Result<(), JobError> {
    let why = match job.standard.form {
        StandardForm::Plain => return Ok(()),
        StandardForm::Closed if job.standard.size.value() == Length::ZERO => return Ok(()),
        StandardForm::Closed => StandardUnfit::ClosedSize,
        StandardForm::VAndConeRod | StandardForm::ThreadPlug => StandardUnfit::ForVAndCone,
    };
    Err(JobError::StandardUnfit {
        id: job.standard.id.clone(),
        contacts: job.contacts.id.clone(),
        why,
    })
}

/// Contacts that cannot show this diameter of this thread.
pub fn thread_contacts(contacts: &Contacts, target: &Target) -> Result<(), JobError> {
    let refuse = |why| Err(unfit(contacts, why));
    let Some(thread) = &target.thread else {
        return Ok(());
    };
    if thread.kind == Kind::Internal {
        return refuse(ContactsUnfit::InternalThread);
    }
    match (contacts.kind, target.diameter) {
        (ContactKind::VAndCone, ThreadDiameter::PitchDiameter)
        | (ContactKind::Flat, ThreadDiameter::MajorDiameter) => {}
        (ContactKind::VAndCone, diameter) => {
            return refuse(ContactsUnfit::FlanksOnly { diameter });
        }
        (ContactKind::Flat, diameter) => return refuse(ContactsUnfit::CrestsOnly { diameter }),
        (kind, _) => return refuse(ContactsUnfit::OffThread { kind }),
    }
    if contacts.kind == ContactKind::Flat {
        return Ok(());
    }
    let thread_angle = thread.included_angle.degrees();
    if let Some(angle) = contacts.included_angle
        && (angle - thread_angle).abs() > 0.01
    {
        return refuse(ContactsUnfit::OtherAngle {
            pair: angle,
            thread: thread_angle,
        });
    }
    if thread.starts.is_multiple_of(2) {
        return refuse(ContactsUnfit::EvenStarts {
            starts: thread.starts.into(),
        });
    }
    if let Some([one, other]) = &contacts.pitch_range {
        let (one, other) = (pitch(one)?, pitch(other)?);
        let pitch = thread.pitch.mm();
        let (low, high) = (one.mm().min(other.mm()), one.mm().max(other.mm()));
        // A millionth of slack: 24 tpi is not a whole number of any length.
        if pitch < low * (1.0 - 1e-6) || pitch > high * (1.0 + 1e-6) {
            return refuse(ContactsUnfit::OutsidePitches { low, high, pitch });
        }
    }
    Ok(())
}

/// A pitch as a pair is marked with it.
pub fn pitch(entry: &PitchEntry) -> Result<Pitch, JobError> {
    match entry {
        PitchEntry::Length(length) => {
            positive(Field::PitchRange, length)?;
            Ok(Pitch::Metric(length.value()))
        }
        PitchEntry::PerInch(text) => text
            .to_lowercase()
            .trim_end_matches("tpi")
            .trim()
            .parse()
            .ok()
            .and_then(|count| ThreadsPerInch::from_decimal(count).ok())
            .map(Pitch::PerInch)
            .ok_or_else(|| JobError::PitchRange { text: text.clone() }),
    }
}

/// What the report says about dates, states and rules put aside.
pub fn warnings(job: &Job) -> Vec<Warning> {
    let mut all = Vec::new();
    let overrides = &job.overrides;
    let mut overridden = |what: Overridden, reason: &Option<String>| {
        let reason = reason.clone();
        all.extend(reason.map(|reason| Warning::Overridden { what, reason }));
    };
    overridden(Overridden::Zero, &overrides.zero);
    overridden(Overridden::Contacts, &overrides.contacts);
    overridden(Overridden::Equipment, &overrides.equipment);
    if overrides.equipment.is_some() {
        all.extend(blocks(job));
    }
    let wires = job.wires.as_ref();
    let wires = wires.map(|wires| (Piece::Wires, &wires.id, wires.due));
    // Contacts closed on each other have no certificate.
    let standard = Some(&job.standard).filter(|one| one.form != StandardForm::Closed);
    let standard = standard.map(|one| (Piece::Standard, &one.id, one.due));
    let thermometer = job
        .thermometer()
        .map(|one| (Piece::Thermometer, &one.id, one.due));
    let micrometer = (Piece::Micrometer, &job.instrument.id, job.instrument.due);
    let dated = [micrometer].into_iter().chain(standard).chain(wires);
    for (what, id, due) in dated.chain(thermometer) {
        if due.is_none() {
            let id = id.clone();
            all.push(Warning::NoDueDate { what, id });
        }
    }
    if job.standard.form == StandardForm::Closed {
        all.push(Warning::ClosedZero);
    }
    all
}
