//! What the way of setting zero leaves on a reading with cone and V.

use super::effects::{Freedom, effect, flank_angle_offset_mm, lead_angle, lead_offset_mm};
use super::pair::{ContactPair, Engagement, MeasuredThread, MisfitError};
use crate::effect::{Effect, EffectName, ValidFor};
use crate::range::{self, Measure};
use crate::source::Confidence;

/// How zero was set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Zero {
    /// Cone closed into V. Does not reveal an angle error that both have in common, nor local wear.
    Closed,
    /// On a setting standard with a V at one end and a cone at the other, at its stated length.
    Standard {
        /// True length of the standard minus the length the instrument was set to, millimetres; zero when it was set
        /// to the certified length.
        longer_by_mm: f64,
        /// Half angle of the standard's V, in which the cone rests.
        vee: crate::units::Angle,
        /// Half angle of the standard's cone, over which the V rests.
        cone: crate::units::Angle,
    },
    /// On a master thread plug of the same form, pitch and size, at its certified pitch diameter. Best for tight
    /// tolerances: angle, lead and wear cancel as far as the work is like the master.
    Master {
        /// The master: its measured half angle, its lead.
        thread: MeasuredThread,
    },
}

/// By how much contacts stand apart at zero for the zero's own errors of angle, millimetres.
///
/// Closed: y_t (tan α_v/tan α_c − 1) when the V is wider than the cone, resting on its tip; y_o (1 − tan α_v/tan α_c)
/// when it is narrower. Zero only if the two angles agree.
pub fn zero_offset_mm(pair: &ContactPair, engagement: &Engagement, zero: &Zero) -> f64 {
    let (cone, vee) = (pair.cone.half_angle, pair.vee.half_angle);
    match zero {
        // The V is the groove that the cone lies in.
        Zero::Closed => flank_angle_offset_mm(cone, vee, engagement.cone),
        Zero::Standard {
            vee: groove,
            cone: ridge,
            ..
        } => {
            flank_angle_offset_mm(cone, *groove, engagement.cone)
                + flank_angle_offset_mm(vee, *ridge, engagement.vee)
        }
        Zero::Master { thread } => {
            flank_angle_offset_mm(cone, thread.half_angle, engagement.cone)
                + flank_angle_offset_mm(vee, thread.half_angle, engagement.vee)
        }
    }
}

/// What to add to a reading for flank angles and lead, with the zero set as it was: one line for each cause.
pub fn effects_after_zero(
    pair: &ContactPair,
    engagement: &Engagement,
    thread: &MeasuredThread,
    freedom: Freedom,
    zero: &Zero,
) -> Result<Vec<Effect>, MisfitError> {
    thread.checked()?;
    engagement.cone.checked()?;
    engagement.vee.checked()?;
    let on_thread = flank_angle_offset_mm(pair.cone.half_angle, thread.half_angle, engagement.cone)
        + flank_angle_offset_mm(pair.vee.half_angle, thread.half_angle, engagement.vee);
    let angles = effect(
        EffectName::FlankAngles,
        -thread.sign() * (on_thread - zero_offset_mm(pair, engagement, zero)),
        ValidFor::StraightFlanks,
        Confidence::FormulaBacked,
    );
    let mut effects = vec![angles];
    match zero {
        Zero::Closed => {
            effects.push(lead_angle(
                thread,
                engagement.cone,
                engagement.vee,
                freedom,
            )?);
        }
        Zero::Standard { longer_by_mm, .. } => {
            range::between(Measure::StandardError, *longer_by_mm, -1.0, 1.0)?;
            effects.push(lead_angle(
                thread,
                engagement.cone,
                engagement.vee,
                freedom,
            )?);
            // Set too small by the excess, so everything reads too small by it.
            effects.push(effect(
                EffectName::StandardLength,
                *longer_by_mm,
                ValidFor::SetToStatedLength,
                Confidence::FormulaBacked,
            ));
        }
        Zero::Master { thread: master } => {
            master.checked()?;
            let shift = |on: &MeasuredThread| {
                lead_offset_mm(on, engagement.cone, engagement.vee, freedom)
                    .map(|(cone, vee)| cone + vee)
            };
            effects.push(effect(
                EffectName::LeadAngleLessMaster,
                -thread.sign() * (shift(thread)? - shift(master)?),
                ValidFor::LeadAngles,
                Confidence::FormulaBacked,
            ));
        }
    }
    Ok(effects)
}
