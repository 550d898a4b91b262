//! The search for the place where a wire or ball comes to rest.

use super::SeatError;
use super::contact::Pair;
use crate::root::bracketed;
use crate::wires::flank::{Flank, Touch, beyond};
use crate::wires::groove::{CheckedGroove, Side};

/// The contact with the upper flank; the lower one is its image by a half turn.
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
        let touch = flank.touch(r, ball);
        (
            groove.pitch / 4.0 + e * (r - r2) * flank.tan - flank.half_width(&touch, ball),
            touch.centre_slope * touch.opening,
        )
    };
    let sharp = r2 - e * groove.pitch / (4.0 * flank.tan);
    let without_lead = r2 + e * (ball * flank.cos - groove.pitch / 4.0) / flank.tan;
    let fault = match groove.side {
        Side::External if groove.upper.held.is_some() => groove.held_too_far(),
        Side::External => SeatError::FallsThrough {
            wire_mm,
            pitch_diameter_mm: 2.0 * r2,
        },
        Side::Internal => SeatError::TooLarge { wire_mm },
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
    let start = without_lead + e * lead_takes(flank, without_lead, ball) / flank.tan;
    let start = if start > low && start < high {
        start
    } else {
        without_lead
    };
    let r = bracketed(room, low, high, start).ok_or(fault)?;
    let touch = flank.touch(r, ball);
    if touch.centre_slope > 0.0 && touch.centre > 0.0 {
        Ok(touch)
    } else {
        Err(fault)
    }
}

/// How much more of the groove a free ball takes up at `r` for the lead, to the second order in it: where the search
/// starts, not where it ends. From b = R r/q − c θ with q² = r²/cos²α + c² and θ ≈ −R c/(r (r/cos α + e R tan α)).
fn lead_takes(flank: &Flank, r: f64, ball: f64) -> f64 {
    if flank.held.is_some() {
        return 0.0;
    }
    let around = r * (r / flank.cos + flank.outward * ball * flank.tan);
    let level = flank.cos * flank.cos * flank.cos / (2.0 * r * r);
    flank.advance * flank.advance * ball * (1.0 / around - level)
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
            wire_mm,
            pitch_diameter_mm: 2.0 * r2,
        },
        Side::Internal => SeatError::TooLarge { wire_mm },
    };
    let tangents = groove.upper.tan + groove.lower.tan;
    let miss = |rho: f64| {
        Pair::at_centre(groove, rho, ball).map_or((f64::NAN, 1.0), |pair| {
            (
                pair.pitch_radius(groove, ball) - r2,
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
