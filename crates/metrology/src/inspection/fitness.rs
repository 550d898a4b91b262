//! Is the equipment fit for this job? What makes a result meaningless is refused; what a person may decide to live
//! with is said on the report.

use jiff::civil::Date;
use jiff::tz::Offset;

use super::job::{ContactKind, Job, PitchEntry, StandardForm, ThreadDiameter};
use super::{JobError, Target};
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
    positive("size of the standard", &job.standard.size)?;
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
    if job.zero.before.is_empty() {
        return Err(JobError::NoZero {
            standard: job.standard.id.clone(),
        });
    }
    contacts(job, target)
}

/// Contacts that cannot show this size on this thread.
fn contacts(job: &Job, target: &Target) -> Result<(), JobError> {
    let contacts = &job.contacts;
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
    if job.standard.form == StandardForm::Plain {
        return refuse(format!(
            "{} is a plain standard and V and cone do not sit on it; set zero on a rod with V and cone ends or on a thread plug",
            job.standard.id
        ));
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

fn pitch(entry: &PitchEntry) -> Result<Pitch, JobError> {
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

pub fn positive(what: &'static str, entered: &Entered) -> Result<Length, JobError> {
    match entered.value() {
        value if value > Length::ZERO => Ok(value),
        _ => Err(JobError::NotPositive {
            what,
            text: entered.text().into(),
        }),
    }
}

pub fn not_negative(what: &'static str, entered: &Entered) -> Result<Length, JobError> {
    match entered.value() {
        value if value.is_negative() => Err(JobError::Negative {
            what,
            text: entered.text().into(),
        }),
        value => Ok(value),
    }
}

pub fn coverage_factor(of: &'static str, k: f64) -> Result<f64, JobError> {
    if k.is_finite() && (0.5..=10.0).contains(&k) {
        Ok(k)
    } else {
        Err(JobError::CoverageFactor { of, k })
    }
}

/// What the report says about dates and identities.
pub fn warnings(job: &Job) -> Vec<String> {
    let measured = Offset::UTC.to_datetime(job.measured_at).date();
    let overdue = |what: &str, id: &str, due: Option<Date>| match due {
        Some(due) if due < measured => Some(format!(
            "{what} {id} was due for calibration on {due}, before it was used on {measured}"
        )),
        Some(_) => None,
        None => Some(format!("{what} {id}: no calibration due date is stated")),
    };
    [
        overdue("micrometer", &job.instrument.id, job.instrument.due),
        overdue("setting standard", &job.standard.id, job.standard.due),
    ]
    .into_iter()
    .flatten()
    .collect()
}
