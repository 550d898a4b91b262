//! A wire or a ball seated in a groove: from the pitch diameter to where it lies, and back.
//!
//! By the helical symmetry the ball's centre may be taken in the plane of the measuring direction, and between
//! equal flanks the half turn about x, which exchanges them, puts it at z = 0: one flank is solved, one unknown.
//!
//! A free wire between flat anvils may turn about x. It is at rest where the forces of the flanks have no moment
//! about x, that is where both contacts lie at the same place along the wire. The wire's axis then passes through
//! the centre of a ball of the same diameter that touches the same two points, and stands square to both normals.
//! Between equal flanks the wire therefore sits at the same radius as the ball, exactly. Between unequal flanks
//! the ball has to be turned about the thread axis until the common perpendicular of the normals is parallel to the
//! anvils; the measuring plane then passes a little inside its centre (φ below, of second order in the lead).
//!
//! ```text
//! error.rs    why a wire or ball does not seat
//! settle.rs   the search for the place of rest
//! contact.rs  both contacts of one ball, and what follows from them
//! ```

mod contact;
mod settle;

use super::SeatError;
use super::flank::Side;
use super::flank::Touch;
use super::groove::{CheckedGroove, Feeler, FlankLimits, Groove, Hand, length};
use crate::range::Measure;
use crate::root::bracketed;
use crate::units::Angle;
use contact::Pair;
use settle::{settle_between_equal_flanks, settle_between_unequal_flanks};

/// Where a flank is touched.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FlankContact {
    /// Distance from the thread axis, millimetres.
    pub radius_mm: f64,
    /// Angle about the thread axis from the measuring plane, positive from x towards y.
    pub polar_angle: Angle,
}

/// A wire or ball at rest in a groove.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seat {
    /// Pitch diameter of the thread, millimetres.
    pub pitch_diameter_mm: f64,
    /// Diameter of the wire or ball, millimetres.
    pub wire_diameter_mm: f64,
    /// Distance of the plane of the wire's axis (of the ball's centre) from the thread axis, millimetres.
    pub centre_radius_mm: f64,
    /// Contact with the flank above the groove.
    pub upper: FlankContact,
    /// Contact with the flank below the groove.
    pub lower: FlankContact,
    /// Angle of the wire with the plane square to the thread axis; for a ball, of the common perpendicular of
    /// the two normals. Of a free wire a little less than the lead angle; negative for a left-hand thread.
    pub inclination: Angle,
    /// z of the centre, from the middle of the groove at the pitch line; zero between equal flanks.
    pub axial_offset_mm: f64,
}

/// The seat of a wire or ball of `wire_mm` in a thread of the given pitch diameter.
///
/// Undeformed geometry, exact to about 1e-15 of the pitch diameter. Lengths from 1e-6 mm to 1e6 mm.
pub fn seat(
    groove: &Groove,
    feeler: Feeler,
    pitch_diameter_mm: f64,
    wire_mm: f64,
) -> Result<Seat, SeatError> {
    seat_in(&groove.checked(feeler)?, feeler, pitch_diameter_mm, wire_mm)
}

/// [`seat`], of a groove that is checked already.
#[inline]
pub(super) fn seat_in(
    checked: &CheckedGroove,
    feeler: Feeler,
    pitch_diameter_mm: f64,
    wire_mm: f64,
) -> Result<Seat, SeatError> {
    let d2 = length(Measure::PitchDiameter, pitch_diameter_mm)?;
    let ball = length(Measure::WireDiameter, wire_mm)? / 2.0;
    let pair = if checked.symmetric {
        let touch = settle_between_equal_flanks(checked, d2 / 2.0, ball)?;
        Pair::of_equals(touch)
    } else {
        settle_between_unequal_flanks(checked, d2 / 2.0, ball)?
    };
    Ok(describe(checked, feeler, d2, ball, &pair))
}

/// The pitch diameter of the thread in which a wire or ball of `wire_mm` has its centre (the plane of its axis)
/// at `centre_radius_mm` from the thread axis, with the whole seat.
///
/// The inverse of [`seat`]: without a transcendental function in the iteration, since the contact radius follows
/// from the place of the centre alone.
pub fn seat_from_centre(
    groove: &Groove,
    feeler: Feeler,
    centre_radius_mm: f64,
    wire_mm: f64,
) -> Result<Seat, SeatError> {
    seat_from_centre_in(&groove.checked(feeler)?, feeler, centre_radius_mm, wire_mm)
}

/// [`seat_from_centre`], of a groove that is checked already.
pub(super) fn seat_from_centre_in(
    checked: &CheckedGroove,
    feeler: Feeler,
    centre_radius_mm: f64,
    wire_mm: f64,
) -> Result<Seat, SeatError> {
    let centre = length(Measure::WireFromAxis, centre_radius_mm)?;
    let ball = length(Measure::WireDiameter, wire_mm)? / 2.0;
    let no_such_thread = SeatError::NoSuchThread {
        wire: wire_mm,
        centre: centre_radius_mm,
    };
    let pair = if feeler == Feeler::Wire && !checked.symmetric {
        // The ball's centre is a little farther out than the plane of the wire's axis: ρ cos φ = centre.
        let miss = |rho: f64| {
            Pair::at_centre(checked, rho, ball).map_or((f64::NAN, 1.0), |pair| {
                let cos = libm::cos(pair.turn(checked));
                (rho * cos - centre, cos)
            })
        };
        let rho = bracketed(miss, centre, 1.5 * centre, centre).ok_or(no_such_thread)?;
        Pair::at_centre(checked, rho, ball)
    } else {
        Pair::at_centre(checked, centre, ball)
    }
    .ok_or(no_such_thread)?;
    let r2 = pair.pitch_radius(checked);
    if !(r2 > 0.0 && pair.holds(checked)) {
        return Err(no_such_thread);
    }
    Ok(describe(checked, feeler, 2.0 * r2, ball, &pair))
}

impl Seat {
    /// Whether the seat is where a measurement wants it: on both straight flanks, clear of the root and standing out
    /// of the groove. What is not known in `limits` is not checked.
    ///
    /// The contact itself is judged. That the wire also clears the crest edge away from it has been checked for half
    /// angles of 14.5° and more to lead angles of 40°; under steeper flanks (7° buttress) at lead angles above 10° a
    /// wire may rest on the edge.
    pub fn check(&self, side: Side, limits: &FlankLimits) -> Result<(), SeatError> {
        // Seen outwards from the metal: with `e` both sides of the thread read alike.
        let e = match side {
            Side::External => 1.0,
            Side::Internal => -1.0,
        };
        let beyond = |value: f64, limit: f64| e * (value - limit) > 0.0;
        let wire_mm = self.wire_diameter_mm;
        let toward_crest = 2.0 * self.centre_radius_mm + e * wire_mm;
        let toward_root = 2.0 * self.centre_radius_mm - e * wire_mm;
        for contact in [self.upper, self.lower] {
            let contact_mm = 2.0 * contact.radius_mm;
            if let Some(edge_mm) = limits.flank_at_crest_mm
                && beyond(contact_mm, edge_mm)
            {
                return Err(SeatError::TouchesCrestEdge {
                    wire: wire_mm,
                    contact: contact_mm,
                    edge: edge_mm,
                });
            }
            if let Some(root_mm) = limits.flank_at_root_mm
                && beyond(root_mm, contact_mm)
            {
                return Err(SeatError::FallsToRoot {
                    wire: wire_mm,
                    reached: contact_mm,
                    root: root_mm,
                });
            }
        }
        if let Some(root_mm) = limits.root_mm
            && beyond(root_mm, toward_root)
        {
            return Err(SeatError::FallsToRoot {
                wire: wire_mm,
                reached: toward_root,
                root: root_mm,
            });
        }
        if let Some(crest_mm) = limits.crest_mm
            && !beyond(toward_crest, crest_mm)
        {
            return Err(SeatError::NotProud {
                wire: wire_mm,
                reached: toward_crest,
                crest: crest_mm,
            });
        }
        Ok(())
    }
}

#[inline]
fn describe(groove: &CheckedGroove, feeler: Feeler, d2: f64, ball: f64, pair: &Pair) -> Seat {
    let turn = if feeler == Feeler::Wire {
        pair.turn(groove)
    } else {
        0.0
    };
    let hand = match groove.hand {
        Hand::Right => 1.0,
        Hand::Left => -1.0,
    };
    let contact = |touch: &Touch, theta: f64| FlankContact {
        radius_mm: touch.radius,
        polar_angle: Angle::from_radians(hand * theta),
    };
    // z of the centre seen from the upper flank; the turn about the axis carries it along the helix.
    let offset = if groove.symmetric {
        0.0
    } else {
        groove.pitch / 4.0
            + groove.upper.outward * (pair.upper.radius - d2 / 2.0) * groove.upper.tan
            - pair.upper.half_width
            + groove.upper.advance * turn
    };
    let inclination = match feeler {
        Feeler::HeldWire(inclination) => inclination,
        Feeler::Wire | Feeler::Ball => Angle::from_radians(hand * pair.inclination(groove, turn)),
    };
    Seat {
        pitch_diameter_mm: d2,
        wire_diameter_mm: 2.0 * ball,
        centre_radius_mm: if groove.symmetric {
            pair.upper.centre
        } else {
            pair.upper.centre * libm::cos(turn)
        },
        upper: contact(&pair.upper, pair.upper.theta + turn),
        lower: contact(&pair.lower, turn - pair.lower.theta),
        inclination,
        axial_offset_mm: offset,
    }
}
