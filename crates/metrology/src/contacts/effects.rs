//! What each imperfection does to a reading with cone and V.
//!
//! h is the outward shift of one contact by the cause; on an external thread the reading is too large by h, so −h is
//! to be added. Derived from the geometry of wedges and helicoids; the angle rows agree with a direct search to
//! 1 nm, the lead rows to 1 nm on single-start sizes and 1.3 % at 9° lead.

use super::pair::{MeasuredThread, MisfitError, Reach};
use crate::effect::{Effect, EffectName, ValidFor};
use crate::range::{self, Measure, Within};
use crate::source::{Confidence, Source};
use crate::units::Angle;

/// Whether the V can turn to the lead angle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Freedom {
    /// It turns freely on its axis, as it must.
    Free,
    /// It is locked square to the thread axis.
    Locked {
        /// Half of its length along the ridge, millimetres.
        half_length_mm: f64,
    },
}

/// The shift of one contact, cone or V, whose half angle differs from the thread's, millimetres.
///
/// h = max{ y_o (1 − tan α_w/tan α_c), y_i (tan α_w/tan α_c − 1) }, about 2 y |α_w − α_c|/sin 2α. Never negative:
/// a mismatch always reads too large outside.
pub fn flank_angle_offset_mm(contact: Angle, work: Angle, reach: Reach) -> f64 {
    let ratio = libm::tan(work.radians()) / libm::tan(contact.radians());
    (reach.outer_mm * (1.0 - ratio)).max(reach.inner_mm * (ratio - 1.0))
}

/// Correction for a contact whose half angle differs from the thread's; see [`flank_angle_offset_mm`].
///
/// Valid for contact on the straight flanks within `reach`. Source: [`Geometry`](Source::Geometry).
pub fn flank_angle_mismatch(
    contact: Angle,
    thread: &MeasuredThread,
    reach: Reach,
) -> Result<Effect, MisfitError> {
    thread.checked()?;
    reach.checked()?;
    range::between(Measure::ContactHalfAngle, contact.degrees(), 1.0, 80.0)?;
    let offset = flank_angle_offset_mm(contact, thread.half_angle, reach);
    Ok(effect(
        EffectName::FlankAngle,
        -thread.sign() * offset,
        ValidFor::StraightFlanks,
        Confidence::FormulaBacked,
    ))
}

/// ∂h/∂α of a contact or of the thread, millimetres per radian: 2y/sin 2α with the larger reach. For a budget line:
/// once for the pair's angle error at each contact, once for the thread's.
pub fn angle_sensitivity_mm(half_angle: Angle, reach: Reach) -> f64 {
    2.0 * reach.inner_mm.max(reach.outer_mm) / libm::sin(2.0 * half_angle.radians())
}

/// The shifts of cone and V by the lead angle, (cone, V), millimetres.
///
/// Cone, touching at the crest edge x_o = r2 + y_o: h = ½ g cot α c²/[x_o (x_o + g tan α)], g = P/4 + y_o tan α.
/// V free to turn: h = −½ q cot α c²/[x_o (x_o − q tan α)], q = P/4 − y_o tan α. V locked square: the flank leans away
/// along the ridge until c y/x − tan α y²/(2x) is largest, at y = c cot α if the V is that long; at x_i = r2 − y_i this
/// gives h = ½ cot²α c²/x_i.
pub fn lead_offset_mm(
    thread: &MeasuredThread,
    cone: Reach,
    vee: Reach,
    freedom: Freedom,
) -> Result<(f64, f64), MisfitError> {
    thread.checked()?;
    cone.checked()?;
    vee.checked()?;
    let tan = libm::tan(thread.half_angle.radians());
    let c = thread.per_radian();
    let quarter = thread.pitch_mm / 4.0;
    let r2 = thread.pitch_diameter_mm / 2.0;
    let x = r2 + cone.outer_mm;
    let groove = quarter + cone.outer_mm * tan;
    let cone_shift = 0.5 * groove / tan * c * c / (x * (x + groove * tan));
    let vee_shift = match freedom {
        Freedom::Free => {
            let x = r2 + vee.outer_mm;
            let ridge = (quarter - vee.outer_mm * tan).max(0.0);
            -0.5 * ridge / tan * c * c / (x * (x - ridge * tan))
        }
        Freedom::Locked { half_length_mm } => {
            range::between(Measure::VeeHalfLength, half_length_mm, 0.0, 1e6)?;
            let x = r2 - vee.inner_mm;
            range::permitted(
                x > 0.0,
                Measure::VeeReach,
                vee.inner_mm,
                Within::HalfPitchDiameter { bound: r2 },
            )?;
            let y = half_length_mm.min(c / tan);
            (c * y - tan * y * y / 2.0) / (x * tan)
        }
    };
    Ok((cone_shift, vee_shift))
}

/// Correction for the lead angle on a pair that was zeroed without lead; see [`lead_offset_mm`].
///
/// With the V free at most about 1.5 µm on single-start fasteners; 20 µm and more with the V locked. Valid to a lead
/// angle of about 9° (there good to 2 %). Source: [`Geometry`](Source::Geometry).
pub fn lead_angle(
    thread: &MeasuredThread,
    cone: Reach,
    vee: Reach,
    freedom: Freedom,
) -> Result<Effect, MisfitError> {
    let (cone, vee) = lead_offset_mm(thread, cone, vee, freedom)?;
    Ok(effect(
        match freedom {
            Freedom::Free => EffectName::LeadAngle,
            Freedom::Locked { .. } => EffectName::LeadAngleLocked,
        },
        -thread.sign() * (cone + vee),
        ValidFor::LeadAnglesZeroWithout,
        Confidence::FormulaBacked,
    ))
}

/// Correction for a groove that is wider by `groove_wider_mm` and a ridge that is thicker by `ridge_thicker_mm` than
/// half the pitch, measured axially at the pitch line: +(δg/2) cot α and −(δt/2) cot α.
///
/// This makes the reading that of a thread of perfect spacing: it is not to be used to compare with limits of the
/// simple pitch diameter, which is defined by the groove. Source: [`Geometry`](Source::Geometry).
pub fn local_width(
    thread: &MeasuredThread,
    groove_wider_mm: f64,
    ridge_thicker_mm: f64,
) -> Result<Effect, MisfitError> {
    thread.checked()?;
    for (what, value) in [
        (Measure::GrooveWidthError, groove_wider_mm),
        (Measure::RidgeThicknessError, ridge_thicker_mm),
    ] {
        // Larger than a quarter of the pitch is not an error of width but another thread.
        let bound = thread.pitch_mm / 4.0;
        let permitted = Within::QuarterPitch { bound };
        range::permitted(value.abs() <= bound, what, value, permitted)?;
    }
    let cot = 1.0 / libm::tan(thread.half_angle.radians());
    Ok(effect(
        EffectName::LocalWidth,
        thread.sign() * 0.5 * cot * (groove_wider_mm - ridge_thicker_mm),
        ValidFor::SmallWidthErrors,
        Confidence::FormulaBacked,
    ))
}

/// Correction for flanks of cone and V worn locally by these depths, square to the flank, where the zero was set on
/// unworn parts of them: +(w_c + w_v)/sin α. Uniform wear is zeroed out and needs none.
///
/// Uncorrected, the indicated size is below the true one and an oversize external thread passes. Found with a master
/// plug, not by closing the pair. Source: [`Geometry`](Source::Geometry).
pub fn wear(
    thread: &MeasuredThread,
    cone_depth_mm: f64,
    vee_depth_mm: f64,
) -> Result<Effect, MisfitError> {
    thread.checked()?;
    range::between(Measure::ConeWear, cone_depth_mm, 0.0, 1.0)?;
    range::between(Measure::VeeWear, vee_depth_mm, 0.0, 1.0)?;
    let depth = cone_depth_mm + vee_depth_mm;
    Ok(effect(
        EffectName::Wear,
        thread.sign() * depth / libm::sin(thread.half_angle.radians()),
        ValidFor::WearWhereTouched,
        Confidence::FormulaBacked,
    ))
}

/// Millimetres of reading for each millimetre of local wear of one contact, square to its flank: 1/sin α.
pub fn wear_sensitivity(half_angle: Angle) -> f64 {
    1.0 / libm::sin(half_angle.radians())
}

/// Millimetres of reading for each millimetre of axial width of groove or ridge: ½ cot α.
pub fn width_sensitivity(half_angle: Angle) -> f64 {
    0.5 / libm::tan(half_angle.radians())
}

impl Reach {
    pub(super) fn checked(self) -> Result<(), MisfitError> {
        for value in [self.inner_mm, self.outer_mm] {
            range::between(Measure::Reach, value, 0.0, 1e6)?;
        }
        Ok(())
    }
}

pub(super) const fn effect(
    name: EffectName,
    correction_mm: f64,
    valid_for: ValidFor,
    confidence: Confidence,
) -> Effect {
    Effect {
        name,
        correction_mm,
        valid_for,
        source: Source::Geometry,
        confidence,
    }
}
