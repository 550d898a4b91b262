//! One flank as a helicoid, and the ball that touches it.
//!
//! Thread axis z, measuring direction x, right hand. The flank above the groove is
//! z = c θ + P/4 + e (r − r2) tan α, with c = L/2π, e = +1 external, −1 internal. A ball of radius R with its
//! centre at (ρ, 0, z0) touches it at (r, θ) where centre = point − R n, n the normal into the metal:
//!
//! n = (c sinθ/r − e tanα cosθ, −c cosθ/r − e tanα sinθ, 1)/s,  s² = 1 + tan²α + c²/r².
//!
//! With q = r s and D = q + e R tanα the y-component gives θ, and x and z become
//!
//! - tan θ = −R c/(r D),
//! - ρ² = r² + R² + 2 e R tanα r²/q − R² r²/q², equal to (r² D² + R² c²)/q²,
//! - half width of groove taken up at r: b = R r/q − c θ.
//!
//! All three depend on r alone and not on the pitch diameter, so each way of asking is one equation in r.
//! Along the flank dρ/dr = (r/ρ)(1 + 2 e H R + K R²), where 2H = tanα (q² + c²)/q³ and K = −c²/q⁴ are the sum and
//! the product of the principal curvatures of the helicoid: the factor is positive exactly as long as the ball
//! is not too large for the hollow direction of the surface. Derived here; checked against a search for the least
//! distance that uses none of it (tests/it/wires_brute_force.rs).
//!
//! A wire that a holder keeps at the inclination ψ touches where its direction lies in the surface: with A = c/r,
//! B = tan α, T = tan ψ that is A cosθ + B sinθ = T. With k² = A² + B² − T² the same three quantities become
//!
//! - tan(θ/2) = (T − A)/(B + k),
//! - ρ = r cosθ + R k/s,
//! - b = (R/s)(1 + T²) + T r sinθ − c θ,
//!
//! b measured along the axis. Again all depend on r alone, so a held wire is solved by the same code.

use crate::root::bracketed;
use crate::units::Angle;

/// Stands for a radius of zero where a division by it must not fail.
const NO_RADIUS: f64 = 1e-100;

/// One flank of a groove.
#[derive(Clone, Copy, Debug)]
pub(super) struct Flank {
    /// α, radians.
    pub angle: f64,
    /// tan α.
    pub tan: f64,
    /// sin α.
    pub sin: f64,
    /// cos α.
    pub cos: f64,
    /// 1/cos α.
    sec: f64,
    /// c: axial advance per radian.
    pub advance: f64,
    /// e: +1 external, −1 internal.
    pub outward: f64,
    /// tan ψ of a held wire; `None` for a ball and for a free wire, which sits where the ball does.
    pub held: Option<f64>,
}

/// A ball on a flank, by the radius r at which it touches.
#[derive(Clone, Copy, Debug)]
pub(super) struct Touch {
    /// r: distance of the contact point from the thread axis.
    pub radius: f64,
    /// θ of the contact point, zero or negative, seen from the plane through the centre of the ball.
    pub theta: f64,
    /// tan θ.
    pub tan_theta: f64,
    /// ρ: distance of the centre of the ball from the thread axis.
    pub centre: f64,
    /// dρ/dr.
    pub centre_slope: f64,
    /// b: the half width of groove the ball takes up at r.
    pub half_width: f64,
}

impl Flank {
    pub fn new(side: Side, angle: Angle, advance: f64, held: Option<f64>) -> Self {
        let (sin, cos) = libm::sincos(angle.radians());
        Self {
            angle: angle.radians(),
            tan: sin / cos,
            sin,
            cos,
            sec: 1.0 / cos,
            advance,
            outward: match side {
                Side::External => 1.0,
                Side::Internal => -1.0,
            },
            held,
        }
    }

    /// The ball or wire of radius `ball` that touches at `r`.
    #[inline]
    pub fn touch(&self, r: f64, ball: f64) -> Touch {
        let place = self.place(r, ball);
        let theta = libm::atan(place.tan_theta);
        let half_width = match self.held {
            None => ball * r / place.q - self.advance * theta,
            Some(tilt) => {
                let sin_theta = place.tan_theta * cos_of(place.tan_theta);
                ball * r / place.q * (1.0 + tilt * tilt) + tilt * r * sin_theta
                    - self.advance * theta
            }
        };
        Touch {
            radius: r,
            theta,
            tan_theta: place.tan_theta,
            centre: place.centre,
            centre_slope: place.centre_slope,
            half_width,
        }
    }

    /// b and db/dr: of a free wire or a ball with one square root and one arc tangent.
    ///
    /// d(r/q)/dr = c²/q³, and d(tan θ)/dr = −tan θ (1/r + r/(q cos²α D)).
    #[inline]
    pub fn half_width(&self, r: f64, ball: f64) -> (f64, f64) {
        if self.held.is_some() {
            let touch = self.touch(r, ball);
            let slope = touch.centre_slope * self.opening(&touch);
            return (touch.half_width, self.outward * self.tan - slope);
        }
        let c = self.advance;
        let q = self.q(r);
        let per_q = 1.0 / q;
        let lifted = q + self.outward * ball * self.tan;
        let per_reach = 1.0 / (r * lifted);
        let tan_theta = -ball * c * per_reach;
        let tan_slope = -tan_theta * per_reach * (lifted + r * r * per_q * self.sec * self.sec);
        (
            ball * r * per_q - c * libm::atan(tan_theta),
            ball * c * c * per_q * per_q * per_q - c * tan_slope / (1.0 + tan_theta * tan_theta),
        )
    }

    /// dz0/dρ: the slope at which the centre leaves along the flank, the tangent of the angle that the groove
    /// shows in the plane through the axis and the centre.
    pub fn opening(&self, touch: &Touch) -> f64 {
        cos_of(touch.tan_theta)
            * (self.outward * self.tan - self.advance * touch.tan_theta / touch.radius)
    }

    /// The unit normal at a contact, times s: the z-component is 1.
    pub fn normal(&self, touch: &Touch) -> (f64, f64) {
        let cos_theta = cos_of(touch.tan_theta);
        let sin_theta = touch.tan_theta * cos_theta;
        let rise = self.advance / touch.radius;
        let lean = self.outward * self.tan;
        (
            rise * sin_theta - lean * cos_theta,
            -rise * cos_theta - lean * sin_theta,
        )
    }

    /// The contact of a ball whose centre is at the distance `centre` from the axis; `None` where no ball of this
    /// size can be.
    pub fn touch_at_centre(&self, centre: f64, ball: f64) -> Option<Touch> {
        let miss = |r: f64| {
            let place = self.place(r, ball);
            (place.centre - centre, place.centre_slope)
        };
        let (low, high) = if self.outward > 0.0 {
            // ρ(0) = R and ρ(r) ≥ r; between them ρ falls at most once before it rises for good.
            if centre <= ball {
                return None;
            }
            let high = match self.held {
                None => centre,
                // ρ ≥ r cosθ, and |sin θ| stays below the ratio tan ψ/tan α or the value at the lead.
                Some(_) => self.largest_radius().map_or_else(
                    || beyond(centre, |r| self.place(r, ball).centre > centre),
                    Some,
                )?,
            };
            (NO_RADIUS, high)
        } else {
            let least = self.least_radius(ball)?;
            // ρ(r) ≥ r − R sin α.
            (least, centre + ball * self.sin)
        };
        let start = centre - self.outward * ball * self.sin;
        let high = high * (1.0 + 4.0 * f64::EPSILON);
        let r = bracketed(miss, low, high, start)?;
        Some(self.touch(r, ball))
    }

    /// The smallest contact radius at which the flank of an internal thread still holds the ball from moving
    /// outwards: there the normal has no component along x. Next to zero for an external flank, which always does.
    pub fn least_radius(&self, ball: f64) -> Option<f64> {
        if self.outward > 0.0 {
            return Some(NO_RADIUS);
        }
        if self.tan <= 0.0 {
            return None;
        }
        if self.advance == 0.0 {
            return Some(ball * self.sin);
        }
        let c2 = self.advance * self.advance;
        // r² tanα (q − R tanα) = R c². The left side grows with r as soon as it is positive.
        let hold = |r: f64| {
            let q = self.q(r);
            let slack = q - ball * self.tan;
            let slope = self.tan
                * r
                * (2.0 * slack + r * r / (self.cos * self.cos * q).max(f64::MIN_POSITIVE));
            (r * r * self.tan * slack - ball * c2, slope)
        };
        let high = ball * self.sin + libm::cbrt(ball * c2 * self.cos / self.tan);
        bracketed(hold, 0.0, high * (1.0 + 1e-9), high)
    }

    /// The largest radius at which a held wire that is steeper than the flank finds its direction in it.
    pub fn largest_radius(&self) -> Option<f64> {
        let excess = self
            .held
            .map_or(0.0, |tilt| tilt * tilt - self.tan * self.tan);
        (excess > 0.0).then(|| self.advance / excess.sqrt() * (1.0 - 1e-9))
    }

    #[inline]
    fn q(&self, r: f64) -> f64 {
        let generator = r * self.sec;
        (generator * generator + self.advance * self.advance).sqrt()
    }

    /// All of [`Touch`] that needs no transcendental function.
    #[inline]
    fn place(&self, r: f64, ball: f64) -> Place {
        let c = self.advance;
        let q = self.q(r);
        if let Some(tilt) = self.held {
            return self.held_place(r, ball, q, tilt);
        }
        let lean = self.outward * ball * self.tan;
        let across = r * (q + lean);
        let around = ball * c;
        let per_q = 1.0 / q;
        let centre = (across * across + around * around).sqrt() * per_q;
        let spin = around * per_q * per_q;
        let factor = 1.0 + lean * (1.0 + c * c * per_q * per_q) * per_q - spin * spin;
        Place {
            q,
            tan_theta: if around == 0.0 { 0.0 } else { -around / across },
            centre,
            centre_slope: r / centre * factor,
        }
    }

    fn held_place(&self, r: f64, ball: f64, q: f64, tilt: f64) -> Place {
        let rise = self.advance / r;
        let k = (rise * rise + self.tan * self.tan - tilt * tilt).sqrt();
        let s = q / r;
        let half = (tilt - rise) / (self.tan + k);
        let cos_theta = (1.0 - half * half) / (1.0 + half * half);
        let sin_theta = 2.0 * half / (1.0 + half * half);
        // dρ/dr, from dθ/dr = A cosθ/(r k), dk/dr = −A²/(r k) and ds/dr = −A²/(r s).
        let centre_slope = (cos_theta * (k - rise * sin_theta)
            - ball * rise * rise * (1.0 + tilt * tilt) / (r * s * s * s))
            / k;
        Place {
            q,
            tan_theta: sin_theta / cos_theta,
            centre: r * cos_theta + ball * k / s,
            centre_slope,
        }
    }
}

/// cos θ from tan θ, for θ within a right angle.
fn cos_of(tan: f64) -> f64 {
    1.0 / (1.0 + tan * tan).sqrt()
}

/// The first doubling of `start` at which `far_enough` holds.
pub(super) fn beyond(start: f64, far_enough: impl Fn(f64) -> bool) -> Option<f64> {
    std::iter::successors(Some(start), |x| Some(2.0 * x))
        .take(40)
        .find(|x| far_enough(*x))
}

struct Place {
    q: f64,
    tan_theta: f64,
    centre: f64,
    centre_slope: f64,
}

/// On the outside of a part (screw, plug) or in a bore (nut, ring).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// External thread.
    External,
    /// Internal thread.
    Internal,
}

pub(super) const fn outward(side: Side) -> f64 {
    match side {
        Side::External => 1.0,
        Side::Internal => -1.0,
    }
}
