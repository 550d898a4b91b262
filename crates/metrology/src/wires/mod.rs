//! Wires and balls in a thread: the exact contact, and what a reading over them says.
//!
//! ```text
//! groove.rs       pitch, lead, flank angles; where the straight flanks end
//! flank.rs        one flank as a helicoid and the ball that touches it: the equations
//! seat/           a free wire, a held one or a ball at rest between two flanks, forwards and backwards
//! reading.rs      readings over three wires, two, one, unequal ones, under wires, between balls
//! size.rs         best wire, smallest, largest; choosing among the wires one owns
//! taper.rs        three wires on a taper thread
//! sensitivity.rs  what each input does to the pitch diameter: lines of an uncertainty budget
//! approximate.rs  the published approximations, only to compare with
//! ```
//!
//! ```
//! use metrology::units::Angle;
//! use metrology::wires::{Arrangement, Groove, Side, best_wire_mm, size_from_reading};
//!
//! // M10×1.5 over three wires of 0.866 mm reads 10.3267 mm.
//! let groove = Groove::symmetric(Side::External, Angle::from_degrees(60.0), 1.5, 1.5);
//! assert!((best_wire_mm(&groove)? - 0.8660).abs() < 1e-4);
//! let found = size_from_reading(&groove, Arrangement::OverWires, 10.3267, 0.866)?;
//! assert!((found.pitch_diameter_mm - 9.0260).abs() < 1e-4);
//! assert!((found.lead_correction_mm - 0.0017).abs() < 1e-4);
//! # Ok::<(), metrology::wires::SeatError>(())
//! ```
//!
//! Lengths are `f64` millimetres: geometry hands out full precision and becomes an exact
//! [`Length`](crate::units::Length) once, at the door of the decision. Everything here is undeformed; what the
//! measuring force does is in [`crate::elastic`].

mod approximate;
mod error;
mod flank;
mod groove;
mod reading;
mod seat;
mod sensitivity;
mod size;
mod taper;

pub use approximate::{Approximation, Comparison, compare, simple_reading_mm};
pub use error::SeatError;
pub use flank::Side;
pub use groove::{Feeler, FlankLimits, Groove, Hand};
pub use reading::{
    Arrangement, WireReading, reading_from_size, reading_limits, reading_over_unequal_wires,
    size_from_reading,
};
pub use seat::{FlankContact, Seat, seat, seat_from_centre};
pub use sensitivity::{Sensitivities, sensitivities};
pub(crate) use size::of_included_angle;
pub use size::{
    FormHeights, UsableWires, WireChoice, best_wire_mm, choose_wire, flank_angle_sensitivity_mm,
    pitch_line_wire_mm, usable_wires, wire_touching_at,
};
pub use taper::{TaperGroove, TaperReading};
