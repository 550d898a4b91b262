//! Is the equipment fit for this job? What makes a result meaningless is refused; what a person may decide to live
//! with is said on the report.

use jiff::tz::Offset;

use super::job::{ContactKind, Contacts, Job, PitchEntry, StandardForm, ThreadDiameter};
use super::state::State;
use super::warning::{Overridden, Piece, Warning};
use super::{JobError, Target, contact_fit, over_wires};
use crate::designation::Kind;
use crate::units::{Entered, Length, Pitch, ThreadsPerInch};

/// Refuses what cannot give a result, before anything is computed.
pub fn check(job: &Job, target: &Target) -> Result<(), JobError> {
    let [smallest, largest] = &job.instrument.range;
    if smallest.value().is_negative() || smallest.value() >= largest.value() {
        return Err(JobError::Range {
            id: job.instrument.id.clone(),
            from: smallest.text().into(),
            to: largest.text().into(),
        });
    }
    standard_size(job)?;
    not_negative(
        "expanded uncertainty of the standard",
        &job.standard.expanded_uncertainty,
    )?;
    coverage_factor("standard", job.standard.coverage_factor)?;
    if job.standard.size.value() < smallest.value() || job.standard.size.value() > largest.value() {
        return Err(JobError::StandardOutsideRange {
            id: job.standard.id.clone(),
            size: job.standard.size.text().into(),
            instrument: job.instrument.id.clone(),
            from: smallest.text().into(),
            to: largest.text().into(),
        });
    }
    reasons(job)?;
    zero(job)?;
    equipment(job)?;
    contacts(job, target)
}

/// The certified size of the standard: above zero, but for contacts closed on each other.
pub fn standard_size(job: &Job) -> Result<Length, JobError> {
    match job.standard.form {
        StandardForm::Closed => not_negative("size of the standard", &job.standard.size),
        _ => positive("size of the standard", &job.standard.size),
    }
}

/// An override without a reason is none.
fn reasons(job: &Job) -> Result<(), JobError> {
    let overrides = &job.overrides;
    for (key, reason) in [
        ("zero", &overrides.zero),
        ("equipment", &overrides.equipment),
        ("contacts", &overrides.contacts),
    ] {
        if reason
            .as_ref()
            .is_some_and(|reason| reason.trim().is_empty())
        {
            return Err(JobError::EmptyReason(key));
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

/// Equipment that is overdue or not active is used only with a reason.
fn equipment(job: &Job) -> Result<(), JobError> {
    if job.overrides.equipment.is_some() {
        return Ok(());
    }
    match blocks(job).into_iter().next() {
        Some(why) => Err(JobError::Blocked(Box::new(why))),
        None => Ok(()),
    }
}

/// Everything that speaks against the equipment of a job.
fn blocks(job: &Job) -> Vec<Warning> {
    let used = Offset::UTC.to_datetime(job.measured_at).date();
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
    let mut all = Vec::new();
    for (what, id, due, state) in pieces.into_iter().chain(wires) {
        let id = || id.clone();
        if let Some(due) = due.filter(|due| *due < used) {
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

/// Contacts that cannot show this size, and standards that they do not sit on.
fn contacts(job: &Job, target: &Target) -> Result<(), JobError> {
    if let Some(feature) = &target.feature {
        if job.overrides.contacts.is_none() {
            let force = job.contacts.force.or(job.instrument.force);
            contact_fit::check(&job.contacts, force, feature, target.limits).map_err(|misfit| {
                JobError::ContactsUnfit {
                    id: job.contacts.id.clone(),
                    why: misfit.why,
                }
            })?;
        }
        let turned = job.contacts.kind.wants_still_spindle();
        if turned && job.instrument.spindle_turns == Some(true) && job.overrides.contacts.is_none()
        {
            return Err(JobError::ContactsUnfit {
                id: job.contacts.id.clone(),
                why: format!(
                    "the spindle of micrometer {} turns, and would turn the blade on the part; use one whose spindle does not",
                    job.instrument.id
                ),
            });
        }
        return plain_standard(job);
    }
    if let Some(wires) = &job.wires {
        return over_wires::check(job, wires, target);
    }
    thread_contacts(&job.contacts, target)?;
    if target.thread.is_none() {
        return plain_size(job);
    }
    if job.contacts.kind == ContactKind::Flat {
        return Ok(());
    }
    if matches!(
        job.standard.form,
        StandardForm::Plain | StandardForm::Closed
    ) {
        return Err(JobError::ContactsUnfit {
            id: job.contacts.id.clone(),
            why: format!(
                "{} is a plain standard and V and cone do not sit on it; set zero on a rod with V and cone ends or on a thread plug",
                job.standard.id
            ),
        });
    }
    Ok(())
}

/// A size of which nothing but its limits is known: what sits on threads or lobes alone shows none.
fn plain_size(job: &Job) -> Result<(), JobError> {
    if job.overrides.contacts.is_some() {
        return Ok(());
    }
    let why = match job.contacts.kind {
        ContactKind::VAndCone => {
            "V and cone sit on threads; name the thread by its designation, or use contacts that touch the size itself"
        }
        ContactKind::VAnvil => {
            "a V-anvil reads lobes, not a size; use flat faces, and the V for the lobes of a `lobed-shaft`"
        }
        _ => return plain_standard(job),
    };
    Err(JobError::ContactsUnfit {
        id: job.contacts.id.clone(),
        why: why.into(),
    })
}

/// What is neither a thread nor touched by its flanks is zeroed on a plain standard.
fn plain_standard(job: &Job) -> Result<(), JobError> {
    let unfit = |why| {
        Err(JobError::StandardUnfit {
            id: job.standard.id.clone(),
            contacts: job.contacts.id.clone(),
            why,
        })
    };
    match job.standard.form {
        StandardForm::Plain => Ok(()),
        StandardForm::Closed if job.standard.size.value() == Length::ZERO => Ok(()),
        StandardForm::Closed => unfit("closed contacts have the size 0; write `size = \"0\"`"),
        StandardForm::VAndConeRod | StandardForm::ThreadPlug => unfit(
            "it is made for V and cone; use a gauge block, disc or plain rod (`form = \"plain\"`)",
        ),
    }
}

/// Contacts that cannot show this diameter of this thread.
pub fn thread_contacts(contacts: &Contacts, target: &Target) -> Result<(), JobError> {
    let refuse = |why: String| {
        Err(JobError::ContactsUnfit {
            id: contacts.id.clone(),
            why,
        })
    };
    let Some(thread) = &target.thread else {
        return Ok(());
    };
    if thread.kind == Kind::Internal {
        return refuse(
            "a micrometer with outside contacts cannot reach an internal thread; \
             name the external thread, or measure the nut with gauges"
                .into(),
        );
    }
    match (contacts.kind, target.diameter) {
        (ContactKind::VAndCone, ThreadDiameter::PitchDiameter)
        | (ContactKind::Flat, ThreadDiameter::MajorDiameter) => {}
        (ContactKind::VAndCone, other) => {
            return refuse(format!(
                "V and cone touch the flanks and show the pitch diameter, not the {}",
                other.words()
            ));
        }
        (ContactKind::Flat, other) => {
            return refuse(format!(
                "flat faces touch the crests and show the major diameter, not the {}",
                other.words()
            ));
        }
        (kind, _) => {
            return refuse(format!(
                "{} do not sit on a thread; use V and cone for the pitch diameter, flat faces for the major diameter",
                kind.words()
            ));
        }
    }
    if contacts.kind == ContactKind::Flat {
        return Ok(());
    }
    let thread_angle = thread.included_angle.degrees();
    if let Some(angle) = contacts.included_angle
        && (angle - thread_angle).abs() > 0.01
    {
        return refuse(format!(
            "the pair has {angle}°, the thread {thread_angle}°; only a pair of the same angle sits on the flanks"
        ));
    }
    if thread.starts.is_multiple_of(2) {
        return refuse(format!(
            "with {} starts a groove faces a groove, and V and cone cannot seat; use wires",
            thread.starts
        ));
    }
    if let Some([one, other]) = &contacts.pitch_range {
        let (one, other) = (pitch(one)?, pitch(other)?);
        let pitch = thread.pitch.mm();
        let (low, high) = (one.mm().min(other.mm()), one.mm().max(other.mm()));
        // A millionth of slack: 24 tpi is not a whole number of any length.
        if pitch < low * (1.0 - 1e-6) || pitch > high * (1.0 + 1e-6) {
            return refuse(format!(
                "the pair is marked for pitches {low:.4} to {high:.4} mm and this thread has {pitch:.4} mm; \
                 outside its range it touches crest or root instead of the flanks"
            ));
        }
    }
    Ok(())
}

/// A pitch as a pair is marked with it.
pub fn pitch(entry: &PitchEntry) -> Result<Pitch, JobError> {
    match entry {
        PitchEntry::Length(length) => {
            positive("pitch range of the contacts", length)?;
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
            .ok_or_else(|| JobError::PitchRange(text.clone())),
    }
}

/// A length above zero.
pub fn positive(what: &'static str, entered: &Entered) -> Result<Length, JobError> {
    match entered.value() {
        value if value > Length::ZERO => Ok(value),
        _ => Err(JobError::NotPositive {
            what,
            text: entered.text().into(),
        }),
    }
}

/// A length of zero or above.
pub fn not_negative(what: &'static str, entered: &Entered) -> Result<Length, JobError> {
    match entered.value() {
        value if value.is_negative() => Err(JobError::Negative {
            what,
            text: entered.text().into(),
        }),
        value => Ok(value),
    }
}

/// A coverage factor as certificates state it.
pub fn coverage_factor(of: &'static str, k: f64) -> Result<f64, JobError> {
    if k.is_finite() && (0.5..=10.0).contains(&k) {
        Ok(k)
    } else {
        Err(JobError::CoverageFactor { of, k })
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
    for (what, id, due) in [
        (Piece::Micrometer, &job.instrument.id, job.instrument.due),
        (Piece::Standard, &job.standard.id, job.standard.due),
    ] {
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
