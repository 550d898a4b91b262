//! The contacts of a pair, the thread they are put on, and the heights at which they engage.

use crate::functional::FlankInMesh;
use crate::range::{self, Measure, OutOfRange, Within};
use crate::units::Angle;
use crate::wires::Side;

/// A conical contact: it lies in the groove.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cone {
    /// Half of its angle, as certified.
    pub half_angle: Angle,
    /// Half width of its flat tip, millimetres.
    pub tip_half_width_mm: f64,
    /// Half width where its flanks end, millimetres.
    pub base_half_width_mm: f64,
}

/// A V contact: it straddles the ridge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Vee {
    /// Half of its angle, as certified.
    pub half_angle: Angle,
    /// Half width where its flanks end inside, at the relief, millimetres.
    pub root_half_width_mm: f64,
    /// Depth of the relief beyond that place, millimetres; zero for a flat bottom.
    pub relief_depth_mm: f64,
    /// Half width at its mouth, millimetres.
    pub mouth_half_width_mm: f64,
}

/// A pair that is used, zeroed and recorded together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ContactPair {
    pub cone: Cone,
    pub vee: Vee,
}

/// The thread under the contacts; lengths in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeasuredThread {
    /// External or internal.
    pub side: Side,
    /// Half angle of both flanks: measured, or nominal.
    pub half_angle: Angle,
    /// Pitch.
    pub pitch_mm: f64,
    /// Number of starts.
    pub starts: u32,
    /// Pitch diameter, to about a per cent.
    pub pitch_diameter_mm: f64,
    /// Height of the straight flank over the pitch line, towards the crest.
    pub to_crest_mm: f64,
    /// Depth of the straight flank under the pitch line, towards the root.
    pub to_root_mm: f64,
}

/// The heights between which a contact touches its flanks: from `inner_mm` below the pitch line to `outer_mm` above.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reach {
    /// y_i > 0: depth on the side of the thread's axis.
    pub inner_mm: f64,
    /// y_o > 0: height on the side away from the axis.
    pub outer_mm: f64,
}

/// Where a pair engages a thread.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Engagement {
    /// The cone in the groove.
    pub cone: Reach,
    /// The V over the ridge.
    pub vee: Reach,
    /// How far the tip of the cone stays clear of the end of the straight flank at the root.
    pub tip_clearance_mm: f64,
    /// How far the bottom of the V stays clear of the crest.
    pub crest_clearance_mm: f64,
}

crate::codes! {
    /// One of the two contacts.
    pub enum Contact "contact" {
        Cone "cone",
        Vee "vee",
    }
}

crate::codes! {
    /// A width of a contact.
    pub enum Width "contact-width" {
        /// The tip of the cone.
        ConeTip "cone-tip",
        /// The cone where its flanks end.
        ConeBase "cone-base",
        /// The V inside, at the relief.
        VeeRoot "vee-root",
        /// The V at its mouth.
        VeeMouth "vee-mouth",
    }
}

crate::messages! {
    /// Why a pair does not measure a thread.
    #[derive(Copy)]
    pub enum MisfitError "misfit" {
        /// A number is out of range, or not a number.
        Input "input" { error: OutOfRange as said },
        /// The pitch lies outside the range marked on the pair.
        OutsideMarkedRange "outside-marked-range" { pitch: f64 as Size, from: f64 as Size, to: f64 as Size },
        /// A contact is too wide to reach the pitch line from below.
        TooWide "too-wide" { part: Width as code, half_width: f64 as Size, quarter_pitch: f64 as Size },
        /// A contact is too narrow to reach over the pitch line.
        TooNarrow "too-narrow" { part: Width as code, half_width: f64 as Size, quarter_pitch: f64 as Size },
        /// The tip of the cone meets the root.
        TipMeetsRoot "tip-meets-root" { reach: f64 as Size, root: f64 as Size },
        /// The crest meets the bottom of the V.
        CrestMeetsBottom "crest-meets-bottom" { crest: f64 as Size, bottom: f64 as Size },
        /// The angle belongs to another thread form.
        WrongAngle "wrong-angle" { contact: Contact as code, contact_degrees: f64 as Given, thread_degrees: f64 as Given },
        /// With an even number of starts a groove faces a groove.
        EvenStarts "even-starts" { starts: u32 as whole },
    }
}

impl From<OutOfRange> for MisfitError {
    fn from(error: OutOfRange) -> Self {
        Self::Input { error }
    }
}

/// The largest difference of half angles that is an error of a contact and not another thread form, in degrees.
const ANGLE_ERROR_DEG: f64 = 1.25;

/// Half angles of the standard forms, in degrees.
const FORMS_DEG: [f64; 5] = [30.0, 27.5, 23.75, 15.0, 14.5];

/// Whether two half angles, in degrees, are of one form: close, and nearest to the same standard angle.
fn same_form(one: f64, other: f64) -> bool {
    let nearest = |degrees: f64| {
        FORMS_DEG
            .into_iter()
            .min_by(|a, b| (a - degrees).abs().total_cmp(&(b - degrees).abs()))
    };
    (one - other).abs() <= ANGLE_ERROR_DEG && nearest(one) == nearest(other)
}

/// Whether a pitch lies in the range marked on a pair. The mark is the maker's word and comes first; widths that are
/// known allow [`engagement`] to say more.
pub fn check_marked_range(pitch_mm: f64, from_mm: f64, to_mm: f64) -> Result<(), MisfitError> {
    // A mark in threads per inch has no end in millimetres: its last digit must not decide.
    let slack = 1.0 + 1e-6;
    if pitch_mm * slack >= from_mm && pitch_mm <= to_mm * slack {
        Ok(())
    } else {
        Err(MisfitError::OutsideMarkedRange {
            pitch: pitch_mm,
            from: from_mm,
            to: to_mm,
        })
    }
}

/// Where the pair engages the thread, or why it must not be used.
///
/// Cone: from −(P/4 − w_t) cot α to min(y_crest, (w_b − P/4) cot α). V: from −min((w_m − P/4) cot α, depth) to
/// min((P/4 − w_r) cot α, y_crest). Both must contain the pitch line: w_t < P/4 < w_b and w_r < P/4 < w_m.
/// Source: [`Geometry`](crate::source::Source::Geometry).
pub fn engagement(pair: &ContactPair, thread: &MeasuredThread) -> Result<Engagement, MisfitError> {
    thread.checked()?;
    if thread.starts.is_multiple_of(2) {
        return Err(MisfitError::EvenStarts {
            starts: thread.starts,
        });
    }
    for (contact, angle) in [
        (Contact::Cone, pair.cone.half_angle),
        (Contact::Vee, pair.vee.half_angle),
    ] {
        range::between(Measure::ContactHalfAngle, angle.degrees(), 1.0, 80.0)?;
        if !same_form(angle.degrees(), thread.half_angle.degrees()) {
            return Err(MisfitError::WrongAngle {
                contact,
                contact_degrees: angle.degrees(),
                thread_degrees: thread.half_angle.degrees(),
            });
        }
    }
    let quarter = thread.pitch_mm / 4.0;
    let cot = 1.0 / libm::tan(thread.half_angle.radians());
    let below = |part, half_width_mm: f64| {
        if (0.0..quarter).contains(&half_width_mm) {
            Ok((quarter - half_width_mm) * cot)
        } else {
            Err(MisfitError::TooWide {
                part,
                half_width: half_width_mm,
                quarter_pitch: quarter,
            })
        }
    };
    let above = |part, half_width_mm: f64| {
        if half_width_mm > quarter && half_width_mm.is_finite() {
            Ok((half_width_mm - quarter) * cot)
        } else {
            Err(MisfitError::TooNarrow {
                part,
                half_width: half_width_mm,
                quarter_pitch: quarter,
            })
        }
    };
    let tip = below(Width::ConeTip, pair.cone.tip_half_width_mm)?;
    let base = above(Width::ConeBase, pair.cone.base_half_width_mm)?;
    let relief = below(Width::VeeRoot, pair.vee.root_half_width_mm)?;
    let mouth = above(Width::VeeMouth, pair.vee.mouth_half_width_mm)?;
    range::between(Measure::ReliefDepth, pair.vee.relief_depth_mm, 0.0, 1e6)?;
    let tip_clearance_mm = clearance(thread.to_root_mm - tip);
    if tip_clearance_mm < 0.0 {
        return Err(MisfitError::TipMeetsRoot {
            reach: tip,
            root: thread.to_root_mm,
        });
    }
    let bottom_mm = relief + pair.vee.relief_depth_mm;
    let crest_clearance_mm = clearance(bottom_mm - thread.to_crest_mm);
    if crest_clearance_mm < 0.0 {
        return Err(MisfitError::CrestMeetsBottom {
            crest: thread.to_crest_mm,
            bottom: bottom_mm,
        });
    }
    Ok(Engagement {
        cone: Reach {
            inner_mm: tip,
            outer_mm: base.min(thread.to_crest_mm),
        },
        vee: Reach {
            inner_mm: mouth.min(thread.to_root_mm),
            outer_mm: relief.min(thread.to_crest_mm),
        },
        tip_clearance_mm,
        crest_clearance_mm,
    })
}

/// A touch is a clearance of nothing: what is missing below a picometre is the rounding of the widths.
fn clearance(mm: f64) -> f64 {
    if mm.abs() < 1e-9 { 0.0 } else { mm }
}

impl ContactPair {
    /// A pair whose flanks reach just from root to crest of this thread: what to assume where the widths are not
    /// known. No pair engages more of the flank, so every effect comes out at its largest.
    pub fn of_whole_flanks(cone: Angle, vee: Angle, thread: &MeasuredThread) -> Self {
        let quarter = thread.pitch_mm / 4.0;
        let tan = libm::tan(thread.half_angle.radians());
        let (outer, inner) = (thread.to_crest_mm * tan, thread.to_root_mm * tan);
        Self {
            cone: Cone {
                half_angle: cone,
                tip_half_width_mm: quarter - inner,
                base_half_width_mm: quarter + outer,
            },
            vee: Vee {
                half_angle: vee,
                root_half_width_mm: quarter - outer,
                relief_depth_mm: 0.0,
                mouth_half_width_mm: quarter + inner,
            },
        }
    }
}

impl MeasuredThread {
    /// A thread with the flanks of the standard form of its angle; `None` for an angle of no standard form.
    pub fn of_standard_form(
        side: Side,
        included_angle: Angle,
        pitch_mm: f64,
        starts: u32,
        pitch_diameter_mm: f64,
    ) -> Option<Self> {
        let flank = FlankInMesh::of_standard_form(side, included_angle)?;
        Some(Self {
            side,
            half_angle: Angle::from_radians(included_angle.radians() / 2.0),
            pitch_mm,
            starts,
            pitch_diameter_mm,
            to_crest_mm: flank.to_crest * pitch_mm,
            to_root_mm: flank.to_root * pitch_mm,
        })
    }

    /// Refuses numbers that are not those of a thread.
    pub(super) fn checked(&self) -> Result<(), MisfitError> {
        range::length(Measure::Pitch, self.pitch_mm)?;
        range::length(Measure::PitchDiameter, self.pitch_diameter_mm)?;
        range::length(Measure::ToCrest, self.to_crest_mm)?;
        range::length(Measure::ToRoot, self.to_root_mm)?;
        let bound = self.pitch_diameter_mm / 2.0;
        range::permitted(
            self.to_root_mm < bound,
            Measure::ToRoot,
            self.to_root_mm,
            Within::HalfPitchDiameter { bound },
        )?;
        range::between(
            Measure::ThreadHalfAngle,
            self.half_angle.degrees(),
            1.0,
            80.0,
        )?;
        range::between(Measure::Starts, f64::from(self.starts), 1.0, 100.0)?;
        Ok(())
    }

    /// Axial advance in one radian.
    pub(super) fn per_radian(&self) -> f64 {
        self.pitch_mm * f64::from(self.starts) / std::f64::consts::TAU
    }

    /// +1 outside, −1 inside: the sign with which an outward shift of a contact enters the reading.
    pub(super) const fn sign(&self) -> f64 {
        match self.side {
            Side::External => 1.0,
            Side::Internal => -1.0,
        }
    }
}
