//! The search for the place where a wire or ball comes to rest.

use super::SeatError;
use super::contact::Pair;
use crate::root::bracketed;
use crate::wires::flank::Side;
use crate::wires::flank::{Flank, Touch, beyond};
use crate::wires::groove::CheckedGroove;

/// Steps of Newton's method from a near start: each doubles the digits.
const STEPS_NEAR: usize = 4;
/// What the last of them may leave, as a fraction of the radius.
const LAST_DIGITS: f64 = 2.0 * f64::EPSILON;

/// The contact with the upper flank; the lower one is its image by a half turn.
#[inline]
pub(super) fn settle_between_equal_flanks(
    groove: &CheckedGroove,
    r2: f64,
    ball: f64,
) -> Result<Touch, SeatError> {
    let flank = &groove.upper;
    let e = flank.outward;
    let wire_mm = 2.0 * ball;
    // What the groove offers at r less what the ball takes up there; they are equal at the contact.
    let room = |r: f64| {
        let (half_width, slope) = flank.half_width(r, ball);
        (
            groove.pitch / 4.0 + e * (r - r2) * flank.tan - half_width,
            e * flank.tan - slope,
        )
    };
    let sharp = r2 - e * groove.pitch / (4.0 * flank.tan);
    let without_lead = r2 + e * (ball * flank.cos - groove.pitch / 4.0) / flank.tan;
    let fault = match groove.side {
        Side::External if groove.upper.held.is_some() => groove.held_too_far(),
        Side::External => SeatError::FallsThrough {
            wire: wire_mm,
            pitch_diameter: 2.0 * r2,
        },
        Side::Internal => SeatError::TooLarge { ball: wire_mm },
    };
    let least = flank.least_radius(ball).ok_or(fault)?;
    // In the sharp corner there is no room. Away from it the room grows on all the branch on which the ball is held,
    // and at the far end of that branch there must be some, or the ball is not held.
    let (low, high) = match groove.side {
        // b ≤ R cos α + c π/2 bounds the contact from above.
        Side::External => (
            sharp.max(least),
            without_lead.max(sharp) + 1.6 * flank.advance / flank.tan + 1e-9 * ball,
        ),
        Side::Internal => (least, sharp),
    };
    if low >= high {
        return Err(fault);
    }
    let high = match flank.held {
        None => high,
        Some(_) => flank
            .largest_radius()
            .or_else(|| beyond(high, |r| room(r).0 > 0.0))
            .ok_or(fault)?,
    };
    let r = near(groove, r2, ball, without_lead)
        .filter(|r| (low..=high).contains(r))
        .or_else(|| bracketed(room, low, high, without_lead))
        .ok_or(fault)?;
    let touch = flank.touch(r, ball);
    if touch.centre_slope > 0.0 && touch.centre > 0.0 {
        Ok(touch)
    } else {
        Err(fault)
    }
}

/// The contact of a free wire or ball in an external thread by Newton's method from a start that holds the lead to second
/// order; `None` where that is not near enough. At usual lead angles one step is.
///
/// To second order in c/r the half width is R cos α − R c² cos³α/(2 r²) + R c²/(r D), D = r/cos α + R tan α. Its second
/// derivative stays below 9 R c²/r⁴, 3 from the first part and 6 from the second, and a step leaves half of that over the
/// slope, times the square of the step: at most the last digits of r, below.
#[inline]
fn near(groove: &CheckedGroove, r2: f64, ball: f64, without_lead: f64) -> Option<f64> {
    let flank = &groove.upper;
    if flank.held.is_some() || groove.side == Side::Internal || without_lead <= 0.0 {
        return None;
    }
    let squared = ball * flank.advance * flank.advance;
    let deep = without_lead + ball * flank.sin;
    let grown = flank.cos * (1.0 / deep - flank.cos * flank.cos / (2.0 * without_lead));
    let mut r = without_lead + squared * grown / (without_lead * flank.tan);
    for _ in 0..STEPS_NEAR {
        let (half_width, slope) = flank.half_width(r, ball);
        let slope = flank.tan - slope;
        let step = (half_width - groove.pitch / 4.0 - (r - r2) * flank.tan) / slope;
        let bend = 4.5 * squared / (r * r * r * r);
        r += step;
        if slope > 0.5 * flank.tan && bend * step * step <= LAST_DIGITS * r * slope {
            return Some(r);
        }
    }
    None
}

pub(super) fn settle_between_unequal_flanks(
    groove: &CheckedGroove,
    r2: f64,
    ball: f64,
) -> Result<Pair, SeatError> {
    let e = groove.upper.outward;
    let wire_mm = 2.0 * ball;
    let fault = match groove.side {
        Side::External if groove.upper.held.is_some() => groove.held_too_far(),
        Side::External => SeatError::FallsThrough {
            wire: wire_mm,
            pitch_diameter: 2.0 * r2,
        },
        Side::Internal => SeatError::TooLarge { ball: wire_mm },
    };
    let tangents = groove.upper.tan + groove.lower.tan;
    let miss = |rho: f64| {
        Pair::at_centre(groove, rho, ball).map_or((f64::NAN, 1.0), |pair| {
            (
                pair.pitch_radius(groove) - r2,
                pair.pitch_radius_slope(groove),
            )
        })
    };
    let (low, high) = match groove.side {
        // At the upper end the pitch radius is surely larger: r ≥ ρ − R and b ≤ R + c π/2.
        Side::External => (
            ball * (1.0 + 1e-9),
            r2 + ball + (2.0 * ball + 3.2 * groove.upper.advance) / tangents,
        ),
        Side::Internal => {
            let held = |flank: &Flank| {
                flank
                    .least_radius(ball)
                    .map(|r| flank.touch(r, ball).centre)
            };
            let least = held(&groove.upper)
                .zip(held(&groove.lower))
                .map(|(a, b)| a.max(b))
                .ok_or(fault)?;
            (least * (1.0 + 1e-12), r2 + ball + groove.pitch / tangents)
        }
    };
    let start = r2
        + e * (ball * (groove.upper.cos + groove.lower.cos) - groove.pitch / 2.0) / tangents
        + e * ball * f64::midpoint(groove.upper.sin, groove.lower.sin);
    if low >= high {
        return Err(fault);
    }
    let high = match groove.upper.held {
        None => high,
        Some(_) => beyond(high, |rho| miss(rho).0 > 0.0).ok_or(fault)?,
    };
    let rho = bracketed(miss, low, high, start).ok_or(fault)?;
    Pair::at_centre(groove, rho, ball)
        .filter(|pair| pair.holds(groove))
        .ok_or(fault)
}
