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

use super::flank::{Flank, Touch, beyond};
use super::groove::{CheckedGroove, FlankLimits, Groove, Hand, Side, length};
use crate::root::bracketed;
use crate::units::Angle;

/// What lies in the groove.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Feeler {
    /// A straight wire, free to lean, under a flat anvil. External threads only.
    Wire,
    /// A straight wire that a holder keeps at this angle to the plane square to the thread axis, positive in the
    /// sense of a right-hand helix. Rides higher than a free one, by the square of the difference. External only.
    HeldWire(Angle),
    /// A ball.
    Ball,
}

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

/// Why a wire or ball does not seat.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum SeatError {
    /// A number is out of range, or not a number.
    #[error("{what} is {value}; permitted: {permitted}")]
    Input {
        /// Which number.
        what: &'static str,
        /// As given, in millimetres or degrees.
        value: f64,
        /// The permitted range, in words.
        permitted: &'static str,
    },
    /// The flanks meet only at or beyond the thread axis, and the wire is too thin to be held above it.
    #[error(
        "a wire of {wire_mm} mm falls through: between these flanks at a pitch diameter of {pitch_diameter_mm} mm it is \
         not held above the thread axis; take a larger wire or check pitch and pitch diameter"
    )]
    FallsThrough {
        /// Diameter of the wire.
        wire_mm: f64,
        /// Pitch diameter.
        pitch_diameter_mm: f64,
    },
    /// The ball is too large for the groove of an internal thread: its flanks curve more than the ball.
    #[error(
        "a ball of {wire_mm} mm is too large to be held by the flanks of this internal thread; take a smaller ball"
    )]
    TooLarge {
        /// Diameter of the ball.
        wire_mm: f64,
    },
    /// The reading belongs to no thread with this groove.
    #[error(
        "a wire or ball of {wire_mm} mm whose centre is {centre_radius_mm} mm from the thread axis fits no thread of \
         this pitch, lead and angle; check the reading, its unit and the wire"
    )]
    NoSuchThread {
        /// Diameter of the wire.
        wire_mm: f64,
        /// Distance of the centre from the thread axis.
        centre_radius_mm: f64,
    },
    /// Wires are for external threads.
    #[error("wires measure external threads; an internal thread is measured with two balls")]
    WireInInternalThread,
    /// The holder leans the wire so far that it does not touch both flanks of one groove.
    #[error("a wire held at {degrees} degrees does not lie between the two flanks of this groove")]
    HeldTooFar {
        /// Inclination of the holder.
        degrees: f64,
    },
    /// The contact lies beyond the end of the straight flank, at the crest.
    #[error(
        "the wire of {wire_mm} mm touches the edge of the crest: contact at diameter {contact_mm} mm, the straight \
         flank ends at {edge_mm} mm; take a smaller wire"
    )]
    TouchesCrestEdge {
        /// Diameter of the wire.
        wire_mm: f64,
        /// Diameter on which the contact lies.
        contact_mm: f64,
        /// Diameter at which the flank ends.
        edge_mm: f64,
    },
    /// The wire meets the root, or the contact lies beyond the end of the straight flank there.
    #[error(
        "the wire of {wire_mm} mm falls to the root: it would reach diameter {reached_mm} mm, the root is met at \
         {root_mm} mm; take a larger wire"
    )]
    FallsToRoot {
        /// Diameter of the wire.
        wire_mm: f64,
        /// Diameter that contact or wire would reach.
        reached_mm: f64,
        /// Diameter of the root, or where the straight flank ends there.
        root_mm: f64,
    },
    /// The wire does not stand out of the groove, so the anvil would rest on the crests.
    #[error(
        "the wire of {wire_mm} mm does not stand proud of the crest: it reaches diameter {reached_mm} mm, the crest is \
         at {crest_mm} mm; take a larger wire"
    )]
    NotProud {
        /// Diameter of the wire.
        wire_mm: f64,
        /// Diameter that the wire reaches.
        reached_mm: f64,
        /// Diameter of the crest.
        crest_mm: f64,
    },
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
    let checked = groove.checked(feeler)?;
    let d2 = length("pitch diameter", pitch_diameter_mm)?;
    let ball = length("wire diameter", wire_mm)? / 2.0;
    let pair = if checked.symmetric {
        let touch = settle_between_equal_flanks(&checked, d2 / 2.0, ball)?;
        Pair::of_equals(touch)
    } else {
        settle_between_unequal_flanks(&checked, d2 / 2.0, ball)?
    };
    Ok(describe(&checked, feeler, d2, ball, &pair))
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
    let checked = groove.checked(feeler)?;
    let centre = length(
        "distance of the wire from the thread axis",
        centre_radius_mm,
    )?;
    let ball = length("wire diameter", wire_mm)? / 2.0;
    let no_such_thread = SeatError::NoSuchThread {
        wire_mm,
        centre_radius_mm,
    };
    let pair = if feeler == Feeler::Wire && !checked.symmetric {
        // The ball's centre is a little farther out than the plane of the wire's axis: ρ cos φ = centre.
        let miss = |rho: f64| {
            Pair::at_centre(&checked, rho, ball).map_or((f64::NAN, 1.0), |pair| {
                let cos = libm::cos(pair.turn(&checked));
                (rho * cos - centre, cos)
            })
        };
        let rho = bracketed(miss, centre, 1.5 * centre, centre).ok_or(no_such_thread)?;
        Pair::at_centre(&checked, rho, ball)
    } else {
        Pair::at_centre(&checked, centre, ball)
    }
    .ok_or(no_such_thread)?;
    let r2 = pair.pitch_radius(&checked);
    if !(r2 > 0.0 && pair.holds(&checked)) {
        return Err(no_such_thread);
    }
    Ok(describe(&checked, feeler, 2.0 * r2, ball, &pair))
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
                    wire_mm,
                    contact_mm,
                    edge_mm,
                });
            }
            if let Some(root_mm) = limits.flank_at_root_mm
                && beyond(root_mm, contact_mm)
            {
                return Err(SeatError::FallsToRoot {
                    wire_mm,
                    reached_mm: contact_mm,
                    root_mm,
                });
            }
        }
        if let Some(root_mm) = limits.root_mm
            && beyond(root_mm, toward_root)
        {
            return Err(SeatError::FallsToRoot {
                wire_mm,
                reached_mm: toward_root,
                root_mm,
            });
        }
        if let Some(crest_mm) = limits.crest_mm
            && !beyond(toward_crest, crest_mm)
        {
            return Err(SeatError::NotProud {
                wire_mm,
                reached_mm: toward_crest,
                crest_mm,
            });
        }
        Ok(())
    }
}

/// The contact with the upper flank; the lower one is its image by a half turn.
fn settle_between_equal_flanks(
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
            groove.pitch / 4.0 + e * (r - r2) * flank.tan - touch.half_width,
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
    let r = bracketed(room, low, high, without_lead).ok_or(fault)?;
    let touch = flank.touch(r, ball);
    if touch.centre_slope > 0.0 && touch.centre > 0.0 {
        Ok(touch)
    } else {
        Err(fault)
    }
}

fn settle_between_unequal_flanks(
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

/// The contacts of one ball with both flanks; the lower one as it looks after the half turn about x.
#[derive(Clone, Copy, Debug)]
struct Pair {
    upper: Touch,
    lower: Touch,
}

impl Pair {
    const fn of_equals(touch: Touch) -> Self {
        Self {
            upper: touch,
            lower: touch,
        }
    }

    fn at_centre(groove: &CheckedGroove, rho: f64, ball: f64) -> Option<Self> {
        let upper = groove.upper.touch_at_centre(rho, ball)?;
        let lower = if groove.symmetric {
            upper
        } else {
            groove.lower.touch_at_centre(rho, ball)?
        };
        Some(Self { upper, lower })
    }

    /// The pitch radius at which the two contacts are half a pitch of groove apart.
    fn pitch_radius(&self, groove: &CheckedGroove) -> f64 {
        let part = |flank: &Flank, touch: &Touch| {
            touch.radius * flank.tan + flank.outward * (groove.pitch / 4.0 - touch.half_width)
        };
        (part(&groove.upper, &self.upper) + part(&groove.lower, &self.lower))
            / (groove.upper.tan + groove.lower.tan)
    }

    /// d r2 / dρ.
    fn pitch_radius_slope(&self, groove: &CheckedGroove) -> f64 {
        groove.upper.outward * (self.upper.opening + self.lower.opening)
            / (groove.upper.tan + groove.lower.tan)
    }

    /// Whether the flanks really hold the ball: touched, not cut, and pushed back along x by both together.
    fn holds(&self, groove: &CheckedGroove) -> bool {
        self.upper.centre_slope > 0.0
            && self.lower.centre_slope > 0.0
            && self.pitch_radius_slope(groove) > 0.0
    }

    /// φ: how far the ball has to be turned about the thread axis for the perpendicular of both normals to be
    /// parallel to the anvils.
    fn turn(&self, groove: &CheckedGroove) -> f64 {
        if groove.symmetric {
            return 0.0;
        }
        let (a1, b1) = groove.upper.normal(&self.upper);
        let (a2, b2) = groove.lower.normal(&self.lower);
        libm::atan((b2 - b1) / (a1 + a2))
    }

    /// ψ: the inclination of the perpendicular of both normals.
    fn inclination(&self, groove: &CheckedGroove, turn: f64) -> f64 {
        let (a1, b1) = groove.upper.normal(&self.upper);
        let (a2, b2) = groove.lower.normal(&self.lower);
        let rise = -(a1 * b2 + a2 * b1) / (a1 + a2);
        libm::atan(rise * libm::cos(turn))
    }
}

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
    let theta = |touch: &Touch| libm::atan(touch.tan_theta);
    let inclination = match feeler {
        Feeler::HeldWire(inclination) => inclination,
        Feeler::Wire | Feeler::Ball => Angle::from_radians(hand * pair.inclination(groove, turn)),
    };
    Seat {
        pitch_diameter_mm: d2,
        wire_diameter_mm: 2.0 * ball,
        centre_radius_mm: pair.upper.centre * libm::cos(turn),
        upper: contact(&pair.upper, theta(&pair.upper) + turn),
        lower: contact(&pair.lower, turn - theta(&pair.lower)),
        inclination,
        axial_offset_mm: offset,
    }
}
