//! What else is known of the part, and contradicts a verdict on its size: where the wires sit, what a GO gauge feels, what the
//! thread was before coating, what a feature has to say.

use super::job::Job;
use super::of_thread::ThreadDiameter;
use super::over_wires;
use super::target::Target;
use super::warning::Warning;
use crate::designation::Kind;
use crate::functional::{AngleTerm, FlankInMesh, FormErrors, functional_difference};
use crate::units::{Angle, Length};
use crate::wires::Side;

/// All of them, for the mean and the worst place of a job, millimetres.
pub fn all(job: &Job, target: &Target, sizes: &[f64]) -> Vec<Warning> {
    let mut all = Vec::new();
    if let Some(wires) = &job.wires {
        all.extend(over_wires::on_crests(wires, target, sizes));
    }
    all.extend(functional(job, target, sizes));
    all.extend(bare(target, sizes));
    all.extend(target.feature.iter().filter_map(|feature| {
        let mut found = sizes.iter();
        found.find_map(|size| feature.measurand().contradicting(target.limits, *size))
    }));
    all
}

/// The functional size with the flank angles as they were measured, without their uncertainty, against the maximum-material limit
/// (Taylor: the GO gauge checks all elements together). A stated error of the pitch is that of neighbouring threads, and tells
/// nothing of the lead over the engagement. Taper threads are gauged by where they stand.
fn functional(job: &Job, target: &Target, sizes: &[f64]) -> Option<Warning> {
    let (flanks, thread) = (job.prior.flanks.as_ref()?, target.thread.as_ref()?);
    if target.diameter != ThreadDiameter::PitchDiameter || target.plane.is_some() {
        return None;
    }
    let (side, limit) = match thread.kind {
        Kind::External => (Side::External, target.limits.upper?),
        Kind::Internal => (Side::Internal, target.limits.lower?),
    };
    let half_angle = Angle::from_radians(thread.included_angle.radians() / 2.0);
    let error = |measured: f64| Angle::from_degrees(measured - half_angle.degrees());
    let errors = FormErrors {
        side,
        pitch_mm: thread.pitch.mm(),
        leading_half_angle: half_angle,
        following_half_angle: half_angle,
        flank: FlankInMesh::of_form(thread.form, side, thread.included_angle)?,
        pitch_error_mm: 0.0,
        leading_angle_error: error(flanks.one),
        following_angle_error: error(flanks.other),
    };
    let difference = functional_difference(&errors, AngleTerm::Published).ok()?;
    let felt = sizes
        .iter()
        .map(|size| difference.functional_size_mm(side, *size));
    let functional = match side {
        Side::External => felt.max_by(f64::total_cmp),
        Side::Internal => felt.min_by(f64::total_cmp),
    }?;
    let felt = Length::nearest_mm(functional).ok()?;
    let beyond = match side {
        Side::External => felt > limit,
        Side::Internal => felt < limit,
    };
    beyond.then_some(Warning::FunctionalBeyond {
        functional,
        by: difference.total_mm(),
        limit: limit.mm(),
    })
}

/// What the thread was at most (an internal one at least) before the thinnest coating, against the limit that held then.
fn bare(target: &Target, sizes: &[f64]) -> Option<Warning> {
    let before = target.before_coating?;
    let kind = target.thread.as_ref()?.kind;
    let sizes = sizes.iter();
    let bare = match kind {
        Kind::External => sizes.map(|size| size - before.moves).min_by(f64::total_cmp),
        Kind::Internal => sizes.map(|size| size + before.moves).max_by(f64::total_cmp),
    }?;
    let found = Length::nearest_mm(bare).ok()?;
    let beyond = match kind {
        Kind::External => found < before.limit,
        Kind::Internal => found > before.limit,
    };
    beyond.then_some(Warning::BareBeyond {
        bare,
        least: before.least,
        limit: before.limit.mm(),
    })
}
