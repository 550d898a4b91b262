//! Readings over wires and between balls: size from reading and reading from size.
//!
//! What the instrument shows depends on how many wires lie where; the seat of each wire is the same.

use super::approximate::simple_reading_in;
use super::groove::CheckedGroove;
use super::seat::{seat_from_centre_in, seat_in};
use super::{Feeler, Groove, Seat, SeatError, Side, seat};
use crate::range::Measure;
use crate::units::Angle;

/// How the wires or balls lie, and so what the reading is the distance of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Arrangement {
    /// Equal wires on both sides between flat parallel faces: one against two, or one against one on a carriage
    /// or where groove faces groove (even starts). Reading: face to face.
    OverWires,
    /// As [`OverWires`](Self::OverWires), with the wires kept at this inclination by their holders instead of free.
    OverHeldWires {
        /// Angle to the plane square to the thread axis, positive as a right-hand helix leans.
        inclination: Angle,
    },
    /// As [`OverWires`](Self::OverWires), but the reading is the diameter under the wires, M − 2W, as on a machine
    /// set to a plain cylinder with the same wires.
    UnderWires,
    /// One wire, and the face opposite on the crests. Reading: face to face.
    OneWire {
        /// Measured major diameter, millimetres.
        major_diameter_mm: f64,
    },
    /// Two balls in opposite grooves of an internal thread (or outside). Reading: the distance of their centres
    /// square to the thread axis.
    BallCentres,
}

/// A reading and the pitch diameter it belongs to, with what lies between them. Lengths in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WireReading {
    /// Where the wire or ball lies.
    pub seat: Seat,
    /// Pitch diameter.
    pub pitch_diameter_mm: f64,
    /// The reading: exact, undeformed.
    pub reading_mm: f64,
    /// The reading by the simple formula, lead angle neglected, for the same pitch diameter.
    pub simple_reading_mm: f64,
    /// Exact minus simple: positive over wires, negative between balls in an internal thread.
    pub lead_correction_mm: f64,
    /// Lead angle at the pitch cylinder.
    pub lead_angle: Angle,
}

impl Arrangement {
    /// What usually is done on this side of the thread: three wires outside, two balls inside.
    pub const fn usual(side: Side) -> Self {
        match side {
            Side::External => Self::OverWires,
            Side::Internal => Self::BallCentres,
        }
    }

    const fn feeler(self) -> Feeler {
        match self {
            Self::BallCentres => Feeler::Ball,
            Self::OverHeldWires { inclination } => Feeler::HeldWire(inclination),
            Self::OverWires | Self::UnderWires | Self::OneWire { .. } => Feeler::Wire,
        }
    }

    /// The reading for a wire of `wire_mm` at `centre_mm` from the thread axis.
    fn reading(self, centre_mm: f64, wire_mm: f64) -> f64 {
        match self {
            Self::OverWires | Self::OverHeldWires { .. } => 2.0 * centre_mm + wire_mm,
            Self::UnderWires => 2.0 * centre_mm - wire_mm,
            Self::OneWire { major_diameter_mm } => {
                centre_mm + f64::midpoint(wire_mm, major_diameter_mm)
            }
            Self::BallCentres => 2.0 * centre_mm,
        }
    }

    /// The inverse of [`reading`](Self::reading).
    fn centre(self, reading_mm: f64, wire_mm: f64) -> f64 {
        match self {
            Self::OverWires | Self::OverHeldWires { .. } => (reading_mm - wire_mm) / 2.0,
            Self::UnderWires => f64::midpoint(reading_mm, wire_mm),
            Self::OneWire { major_diameter_mm } => {
                reading_mm - f64::midpoint(wire_mm, major_diameter_mm)
            }
            Self::BallCentres => reading_mm / 2.0,
        }
    }
}

/// The reading that a thread of the given pitch diameter shows.
pub fn reading_from_size(
    groove: &Groove,
    arrangement: Arrangement,
    pitch_diameter_mm: f64,
    wire_mm: f64,
) -> Result<WireReading, SeatError> {
    let feeler = arrangement.feeler();
    let checked = groove.checked(feeler)?;
    let seat = seat_in(&checked, feeler, pitch_diameter_mm, wire_mm)?;
    Ok(describe(groove, &checked, arrangement, seat))
}

/// The pitch diameter of the thread that shows the given reading.
pub fn size_from_reading(
    groove: &Groove,
    arrangement: Arrangement,
    reading_mm: f64,
    wire_mm: f64,
) -> Result<WireReading, SeatError> {
    super::groove::length(Measure::OverWires, reading_mm)?;
    let centre = arrangement.centre(reading_mm, wire_mm);
    let feeler = arrangement.feeler();
    let checked = groove.checked(feeler)?;
    let seat = seat_from_centre_in(&checked, feeler, centre, wire_mm)?;
    let described = describe(groove, &checked, arrangement, seat);
    Ok(WireReading {
        reading_mm,
        lead_correction_mm: reading_mm - described.simple_reading_mm,
        ..described
    })
}

/// The readings at the two limits of the pitch diameter, in the order given.
pub fn reading_limits(
    groove: &Groove,
    arrangement: Arrangement,
    pitch_diameter_limits_mm: (f64, f64),
    wire_mm: f64,
) -> Result<(f64, f64), SeatError> {
    let (lower, upper) = pitch_diameter_limits_mm;
    Ok((
        reading_from_size(groove, arrangement, lower, wire_mm)?.reading_mm,
        reading_from_size(groove, arrangement, upper, wire_mm)?.reading_mm,
    ))
}

#[inline]
fn describe(
    groove: &Groove,
    checked: &CheckedGroove,
    arrangement: Arrangement,
    seat: Seat,
) -> WireReading {
    let d2 = seat.pitch_diameter_mm;
    let wire_mm = seat.wire_diameter_mm;
    let reading_mm = arrangement.reading(seat.centre_radius_mm, wire_mm);
    // The simple formula knows the usual reading; its centre leads to the others.
    let usual = Arrangement::usual(groove.side);
    let simple_centre = usual.centre(simple_reading_in(checked, d2, wire_mm), wire_mm);
    let simple_reading_mm = arrangement.reading(simple_centre, wire_mm);
    WireReading {
        seat,
        pitch_diameter_mm: d2,
        reading_mm,
        simple_reading_mm,
        lead_correction_mm: reading_mm - simple_reading_mm,
        lead_angle: groove.lead_angle(d2),
    }
}

/// Three wires of calibrated, slightly different diameters: `single_mm` alone against one face, the `pair_mm`
/// together against the other, its grooves to both sides of the single wire's.
///
/// The pair's face rests on both, so it lies at the mean of their tops in the middle between them.
pub fn reading_over_unequal_wires(
    groove: &Groove,
    pitch_diameter_mm: f64,
    single_mm: f64,
    pair_mm: [f64; 2],
) -> Result<f64, SeatError> {
    let top = |wire_mm: f64| {
        seat(groove, Feeler::Wire, pitch_diameter_mm, wire_mm)
            .map(|seat| seat.centre_radius_mm + wire_mm / 2.0)
    };
    let [first, second] = pair_mm;
    Ok(top(single_mm)? + f64::midpoint(top(first)?, top(second)?))
}
