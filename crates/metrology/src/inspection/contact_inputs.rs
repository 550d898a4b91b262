//! What V and cone give to the model: their angles, the flanks of the part, the lead angle.

use super::JobError;
use super::job::{ContactKind, Job, StandardForm};
use super::model::Quantity;
use super::note::{Named, Note};
use super::target::Target;
use crate::contacts::{Freedom, MeasuredThread, Reach, angle_sensitivity_mm, lead_offset_mm};
use crate::limits::ThreadLimits;
use crate::uncertainty::Distribution;
use crate::units::Angle;
use crate::wires::Side;

/// Half angle of each contact taken as known within this, minutes of arc, where the job does not state it
/// (common practice, no source).
const HALF_ANGLE_LIMIT: f64 = 4.0;

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
    Named::new(Quantity::ContactAngle, 0.0, within).noted(Note::HalfAngles { within: minutes })
}

/// How far the half angle of each contact may be off, minutes of arc: as stated, or as usual.
pub fn half_angle_limit(job: &Job) -> f64 {
    job.contacts.half_angle_limit.unwrap_or(HALF_ANGLE_LIMIT)
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

/// What half-angle errors of the part's flanks add to the reading.
///
/// Cone and V both stand out by `2 y δ / sin 2α`, never in: the reading is too large by 0 to `A`, twice that at the
/// limit with `y = 3H/8`. With `δ` anywhere within its limit, `y` only `H/4` where the flank angle is too large, and
/// contacts that engage half to all of the flank, the mean is `A · ½ · (1 + ⅔)/2 · ¾ = 5A/16` and the standard deviation
/// `0.207 A`: the mean is taken off, the rest stays, as rectangular `± 0.4 A` (0.36 A, and something for angles of the
/// contacts that add to it). On a thread plug as standard the contacts
/// stand out as well where their own angles are off, and only the difference enters, of either sign: `± A`. Source:
/// [`Source::Geometry`].
pub fn flank_angle(job: &Job, target: &Target) -> Named {
    let nothing = Named::normal(Quantity::FlankAngle, 0.0, 0.0);
    let (Some(thread), Some(minutes)) = (&target.thread, job.prior.flank_angle) else {
        return nothing;
    };
    if job.contacts.kind != ContactKind::VAndCone {
        return nothing;
    }
    let most = flank_angle_effect(thread, minutes);
    let (estimate, half_width) = match job.standard.form {
        StandardForm::ThreadPlug => (0.0, most),
        _ => (5.0 / 16.0 * most, 0.4 * most),
    };
    let within = Distribution::Rectangular { half_width };
    Named::new(Quantity::FlankAngle, estimate, within).noted(Note::HalfAngles { within: minutes })
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
