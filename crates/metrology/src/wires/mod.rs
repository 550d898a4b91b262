//! Wires and balls in a thread: the exact contact, and what a reading over them says.
//!
//! ```text
//! groove.rs       pitch, lead, flank angles; where the straight flanks end
//! flank.rs        one flank as a helicoid and the ball that touches it: the equations
//! seat.rs         a wire or ball at rest between two flanks, forwards and backwards
//! held.rs         a wire that a holder keeps at an inclination of its own
//! reading.rs      readings over three wires, two, one, unequal ones, under wires, between balls
//! size.rs         best wire, smallest, largest; choosing among the wires one owns
//! approximate.rs  the published approximations, only to compare with
//! root.rs         safeguarded Newton
//! ```
//!
//! Lengths are `f64` millimetres: geometry hands out full precision and becomes an exact
//! [`Length`](crate::units::Length) once, at the door of the decision. Everything here is undeformed; what the
//! measuring force does is in [`crate::elastic`].

mod flank;
mod groove;
mod root;
mod seat;

pub use groove::{FlankLimits, Groove, Hand, Side};
pub use seat::{Feeler, FlankContact, Seat, SeatError, seat, seat_from_centre};
