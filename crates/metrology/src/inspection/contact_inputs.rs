//! What V and cone give to the model: their angles, the flanks and the pitch of the part, the lead angle, the measuring
//! force, and wear that a zero on each other hides.

use super::JobError;
use super::approval::{DefaultName, Usual};
use super::equipment::{ContactKind, StandardForm};
use super::job::{Flanks, Job};
use super::model::Quantity;
use super::note::{MadeAs, Named, Note, OwnName};
use super::of_thread::{Made, ThreadDiameter};
use super::target::Target;
use crate::contacts::{
    Freedom, MeasuredThread, Reach, angle_sensitivity_mm, flank_angle_offset_mm, lead_offset_mm,
};
use crate::elastic::{EngagedFlank, cone_in_groove, v_over_ridge};
use crate::limits::ThreadLimits;
use crate::material::Elastic;
use crate::uncertainty::Distribution;
use crate::units::{Angle, Force};
use crate::wires::Side;

/// What half-angle errors of V and cone add to the reading, as a spread about nothing.
///
/// One contact of half angle off by `δ` touches the flank at its far end, `y` from the pitch line, and stands out by
/// `h = 2 y δ / sin 2α`; with `y = 3H/8` (full engagement, ISO 68-1) and `δ` anywhere within its limit the root mean square
/// is that at the limit over √3, and two contacts add in quadrature. On a rod the contacts stand out too, by what the
/// reach of its V and cone makes of the same `δ`: with a reach of half to one and a half times that on the thread (common
/// practice, no source) the difference is within half of `h`, of either sign. A thread plug as standard has the same
/// flanks as the part and takes it out. Source: elementary geometry; limit [`Source::CommonPractice`].
pub fn contact_angle(job: &Job, target: &Target) -> Named {
    let nothing = Named::normal(Quantity::ContactAngle, 0.0, 0.0);
    let Some(thread) = &target.thread else {
        return nothing;
    };
    if job.contacts.kind != ContactKind::VAndCone || job.standard.form == StandardForm::ThreadPlug {
        return nothing;
    }
    let minutes = half_angle_limit(job);
    let within = Distribution::Rectangular {
        half_width: contact_angle_left(thread, minutes),
    };
    let named = Named::new(Quantity::ContactAngle, 0.0, within);
    match job.contacts.half_angle_limit {
        Some(within) => named.noted(Note::HalfAngles { within }),
        None => named.by(
            &job.usual(DefaultName::HalfAngleLimit),
            Note::HalfAnglesUsual {
                within: minutes,
                made: None,
            },
        ),
    }
}

/// How far the half angle of each contact may be off, minutes of arc: as stated, or as usual.
pub fn half_angle_limit(job: &Job) -> f64 {
    job.contacts
        .half_angle_limit
        .unwrap_or_else(|| job.usual(DefaultName::HalfAngleLimit).value())
}

/// What is left of the contacts' angle errors, at most, where zero is set on anything but a plug of the same thread,
/// millimetres; see [`contact_angle`].
pub fn contact_angle_left(thread: &ThreadLimits, minutes: f64) -> f64 {
    let half_angle = Angle::from_radians(thread.included_angle.radians() / 2.0);
    let limit = Angle::from_degrees_minutes(0.0, minutes).radians();
    angle_sensitivity_mm(half_angle, reach(thread)) * limit * std::f64::consts::SQRT_2 / 2.0
}

/// The most that half angles of the part off by so many minutes add to a reading of cone and V, millimetres.
pub fn flank_angle_effect(thread: &ThreadLimits, minutes: f64) -> f64 {
    let half_angle = Angle::from_radians(thread.included_angle.radians() / 2.0);
    let limit = Angle::from_degrees_minutes(0.0, minutes).radians();
    2.0 * angle_sensitivity_mm(half_angle, reach(thread)) * limit
}

/// How far V and cone reach from the pitch line on the flanks of a thread, at most: 3H/8 towards the crest, H/4
/// towards the root (ISO 68-1, full engagement). Millimetres.
pub fn reach(thread: &ThreadLimits) -> Reach {
    let height = thread.pitch.mm() / (2.0 * libm::tan(thread.included_angle.radians() / 2.0));
    Reach {
        inner_mm: height / 4.0,
        outer_mm: height * 3.0 / 8.0,
    }
}

/// The default of a thread's half angles, by how it was made.
fn usual_flanks(job: &Job) -> Usual<'_> {
    job.usual(match made(job) {
        Made::Ground => DefaultName::FlankAngleGround,
        Made::Rolled => DefaultName::FlankAngleRolled,
        Made::Cut => DefaultName::FlankAngleCut,
    })
}

/// How far the half angles of the part's flanks may be off, minutes of arc, and whether that was stated or approved.
pub fn flanks_within(job: &Job) -> (f64, bool) {
    match job.prior.flank_angle {
        Some(stated) => (stated, true),
        None => (usual_flanks(job).value(), usual_flanks(job).is_approved()),
    }
}

/// How the thread was made: as stated, else rolled, as most are (common practice, no source). What it is measured with
/// tells nothing of that.
pub fn made(job: &Job) -> Made {
    job.prior.made.unwrap_or(Made::Rolled)
}

/// The same as it is told, with who says so.
pub fn made_as(job: &Job) -> MadeAs {
    let made = made(job);
    match job.prior.made {
        Some(_) => MadeAs::Stated { made },
        None => MadeAs::Taken { made },
    }
}

/// A line that rests on the half angles of the part: stated, approved or as usual.
pub fn by_flanks(named: Named, job: &Job) -> Named {
    if let Some(within) = job.prior.flank_angle {
        return named.noted(Note::HalfAngles { within });
    }
    let usual = usual_flanks(job);
    let within = usual.value();
    let made = Some(made_as(job));
    named.by(&usual, Note::HalfAnglesUsual { within, made })
}

/// What half-angle errors of the part's flanks add to the reading.
///
/// Cone and V both stand out by `2 y δ / sin 2α`, never in: the reading is too large by 0 to `A`, twice that at the
/// limit with `y = 3H/8`. With `δ` anywhere within its limit, `y` only `H/4` where the flank angle is too large, and
/// contacts that engage half to all of the flank, the mean is `A · ½ · (1 + ⅔)/2 · ¾ = 5A/16` and the standard deviation
/// `0.207 A`: the mean is taken off, the rest stays, as rectangular `± 0.4 A` (0.36 A, and something for angles of the
/// contacts that add to it). On a thread plug as standard the contacts
/// stand out as well where their own angles are off, and only the difference enters, of either sign: `± A`. Source:
/// [`Source::Geometry`].
///
/// What nobody stated is not taken off: the mean stays in the line, as `± ⅔ A`, of the same root mean square about
/// nothing.
///
/// Where the half angles were measured, what they add is taken off instead: see [`measured_flanks`].
pub fn flank_angle(job: &Job, target: &Target) -> Named {
    let nothing = Named::normal(Quantity::FlankAngle, 0.0, 0.0);
    let Some(thread) = &target.thread else {
        return nothing;
    };
    if job.contacts.kind != ContactKind::VAndCone {
        return nothing;
    }
    if let Some(flanks) = &job.prior.flanks {
        return measured_flanks(flanks, thread);
    }
    let within = flanks_within(job);
    let most = flank_angle_effect(thread, within.0);
    let (estimate, half_width) = match job.standard.form {
        StandardForm::ThreadPlug => (0.0, most),
        _ if job.prior.flank_angle.is_some() => (5.0 / 16.0 * most, 0.4 * most),
        _ => (0.0, 2.0 / 3.0 * most),
    };
    let spread = Distribution::Rectangular { half_width };
    by_flanks(Named::new(Quantity::FlankAngle, estimate, spread), job)
}

/// What measured half angles of the part add to the reading, each contact standing out by the mean of what either flank
/// asks for.
///
/// Contacts that engage half to all of the flank show half to all of it: three quarters are taken off, a quarter stays,
/// with what the measurement of the angles leaves open on both contacts. Source: [`Source::Geometry`].
fn measured_flanks(flanks: &Flanks, thread: &ThreadLimits) -> Named {
    let nominal = Angle::from_radians(thread.included_angle.radians() / 2.0);
    let reach = reach(thread);
    let stands_out =
        |degrees: f64| flank_angle_offset_mm(nominal, Angle::from_degrees(degrees), reach);
    // Cone and V: twice the mean of both flanks.
    let full = stands_out(flanks.one) + stands_out(flanks.other);
    let half_width = full / 4.0 + flank_angle_effect(thread, flanks.within);
    let spread = Distribution::Rectangular { half_width };
    Named::new(Quantity::FlankAngle, 0.75 * full, spread).noted(Note::HalfAnglesMeasured {
        within: flanks.within,
    })
}

/// What an error of the pitch between neighbouring threads may make of a pitch diameter.
///
/// A ridge that is wider by `δP` lifts the V off by `½ δP cot α` on the diameter; over wires the same stands between the
/// diameter where groove and ridge are equal and the one where the groove is half of the nominal pitch. Source:
/// [`Source::Geometry`].
pub fn pitch_error(job: &Job, target: &Target) -> Named {
    let nothing = Named::normal(Quantity::PitchError, 0.0, 0.0);
    let Some(thread) = &target.thread else {
        return nothing;
    };
    let shown = job.contacts.kind == ContactKind::VAndCone || job.wires.is_some();
    if !shown || target.diameter != ThreadDiameter::PitchDiameter {
        return nothing;
    }
    let half_angle = thread.included_angle.radians() / 2.0;
    let of = |within: f64| {
        let half_width = within / (2.0 * libm::tan(half_angle));
        let spread = Distribution::Rectangular { half_width };
        Named::new(Quantity::PitchError, 0.0, spread)
    };
    if let Some(stated) = &job.prior.pitch_error {
        let within = stated.value().mm();
        return of(within).noted(Note::PitchStated { within });
    }
    let usual = job.usual(match made(job) {
        Made::Ground => DefaultName::PitchErrorGround,
        Made::Rolled | Made::Cut => DefaultName::PitchError,
    });
    let within = usual.value();
    let made = made_as(job);
    of(within).by(&usual, Note::PitchUsual { within, made })
}

/// What the measuring force takes from a reading under V and cone where zero was set on a rod or on each other: to be
/// added to it.
///
/// Lines of contact on both flanks, Hertz, over a flank fully engaged; the ends of a rod and contacts closed on each other
/// fit over an area and hardly give. Contacts with shorter flanks press deeper, and ends that touch along lines give as
/// much as the thread does: hence ± all of it, rectangular. A thread plug takes it out. Source:
/// [`Source::CsiroTp25`], see [`cone_in_groove`].
pub fn flanks_pressed(job: &Job, target: &Target) -> Result<Option<Named>, JobError> {
    let limits = target.limits;
    let (Some(thread), Some(size)) = (&target.thread, limits.upper.or(limits.lower)) else {
        return Ok(None);
    };
    if job.contacts.kind != ContactKind::VAndCone || job.standard.form == StandardForm::ThreadPlug {
        return Ok(None);
    }
    let stated = job.contacts.force.or(job.instrument.force);
    let usual = job.usual(DefaultName::Force);
    let newtons = stated.unwrap_or_else(|| usual.value());
    let elastic = |name: &str| {
        Elastic::named(name).ok_or_else(|| JobError::NoElasticConstants {
            material: name.to_owned(),
        })
    };
    let part = elastic(job.part_material())?;
    let contacts = elastic(job.contacts.material.as_deref().unwrap_or("steel"))?;
    let reach = reach(thread);
    let flank = EngagedFlank {
        half_angle: Angle::from_radians(thread.included_angle.radians() / 2.0),
        pitch_mm: thread.pitch.mm(),
        pitch_diameter_mm: size.mm(),
        height_mm: reach.inner_mm + reach.outer_mm,
    };
    let force = Force::from_newtons(newtons);
    let loss = cone_in_groove(&flank, force, contacts, part)?.correction_mm
        + v_over_ridge(&flank, force, contacts, part)?.correction_mm;
    let within = Distribution::Rectangular { half_width: loss };
    let named = Named::new(OwnName::FlanksPressed, loss, within);
    Ok(Some(match stated {
        Some(force) => named.noted(Note::LineContact { force }),
        None => named.by(&usual, Note::LineContactUsual { force: newtons }),
    }))
}

/// Wear of V and cone that a zero on each other does not show: what one has lost, the other follows.
pub fn contact_wear(job: &Job) -> Named {
    if job.contacts.kind != ContactKind::VAndCone || job.standard.form != StandardForm::Closed {
        return Named::normal(Quantity::ContactWear, 0.0, 0.0);
    }
    let usual = job.usual(DefaultName::HiddenWear);
    let within = usual.value();
    let spread = Distribution::Rectangular { half_width: within };
    Named::new(Quantity::ContactWear, 0.0, spread).by(&usual, Note::WearUsual { within })
}

/// What the lead angle adds to the reading where zero was set without lead, on a rod: the cone is lifted in the
/// groove, the V (free to turn) sinks a little over the ridge. A thread plug takes it out.
///
/// Computed for flanks fully engaged; contacts with shorter flanks show as little as half of it, hence ± half,
/// rectangular. Source: [`Source::Geometry`], see [`lead_offset_mm`].
pub fn contact_lead(job: &Job, target: &Target) -> Result<Named, JobError> {
    let nothing = Named::normal(Quantity::ContactLead, 0.0, 0.0);
    let limits = target.limits;
    let (Some(thread), Some(size)) = (&target.thread, limits.upper.or(limits.lower)) else {
        return Ok(nothing);
    };
    if job.contacts.kind != ContactKind::VAndCone || job.standard.form == StandardForm::ThreadPlug {
        return Ok(nothing);
    }
    let reach = reach(thread);
    let measured = MeasuredThread {
        side: Side::External,
        half_angle: Angle::from_radians(thread.included_angle.radians() / 2.0),
        pitch_mm: thread.pitch.mm(),
        starts: u32::from(thread.starts),
        pitch_diameter_mm: size.mm(),
        to_crest_mm: reach.outer_mm,
        to_root_mm: reach.inner_mm,
    };
    let (cone, vee) = lead_offset_mm(&measured, reach, reach, Freedom::Free)?;
    let shift = cone + vee;
    let within = Distribution::Rectangular {
        half_width: shift.abs() / 2.0,
    };
    Ok(Named::new(Quantity::ContactLead, shift, within).noted(Note::Engagement))
}
