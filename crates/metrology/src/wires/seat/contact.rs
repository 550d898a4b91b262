//! Both contacts of one wire or ball.

use crate::wires::flank::{Flank, Touch};
use crate::wires::groove::CheckedGroove;

/// The contacts of one ball with both flanks; the lower one as it looks after the half turn about x.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pair {
    pub upper: Touch,
    pub lower: Touch,
}

impl Pair {
    pub const fn of_equals(touch: Touch) -> Self {
        Self {
            upper: touch,
            lower: touch,
        }
    }

    pub fn at_centre(groove: &CheckedGroove, rho: f64, ball: f64) -> Option<Self> {
        let upper = groove.upper.touch_at_centre(rho, ball)?;
        let lower = if groove.symmetric {
            upper
        } else {
            groove.lower.touch_at_centre(rho, ball)?
        };
        Some(Self { upper, lower })
    }

    /// The pitch radius at which the two contacts are half a pitch of groove apart.
    pub fn pitch_radius(&self, groove: &CheckedGroove) -> f64 {
        let part = |flank: &Flank, touch: &Touch| {
            touch.radius * flank.tan + flank.outward * (groove.pitch / 4.0 - touch.half_width)
        };
        (part(&groove.upper, &self.upper) + part(&groove.lower, &self.lower))
            / (groove.upper.tan + groove.lower.tan)
    }

    /// d r2 / dρ.
    pub fn pitch_radius_slope(&self, groove: &CheckedGroove) -> f64 {
        groove.upper.outward
            * (groove.upper.opening(&self.upper) + groove.lower.opening(&self.lower))
            / (groove.upper.tan + groove.lower.tan)
    }

    /// Whether the flanks really hold the ball: touched, not cut, and pushed back along x by both together.
    pub fn holds(&self, groove: &CheckedGroove) -> bool {
        self.upper.centre_slope > 0.0
            && self.lower.centre_slope > 0.0
            && self.pitch_radius_slope(groove) > 0.0
    }

    /// φ: how far the ball has to be turned about the thread axis for the perpendicular of both normals to be
    /// parallel to the anvils.
    pub fn turn(&self, groove: &CheckedGroove) -> f64 {
        if groove.symmetric {
            return 0.0;
        }
        let (a1, b1) = groove.upper.normal(&self.upper);
        let (a2, b2) = groove.lower.normal(&self.lower);
        libm::atan((b2 - b1) / (a1 + a2))
    }

    /// ψ: the inclination of the perpendicular of both normals.
    pub fn inclination(&self, groove: &CheckedGroove, turn: f64) -> f64 {
        if groove.symmetric {
            return libm::atan(-groove.upper.normal(&self.upper).1);
        }
        let (a1, b1) = groove.upper.normal(&self.upper);
        let (a2, b2) = groove.lower.normal(&self.lower);
        let rise = -(a1 * b2 + a2 * b1) / (a1 + a2);
        libm::atan(rise * libm::cos(turn))
    }
}
