//! Why a wire or ball does not seat.

use crate::range::OutOfRange;

crate::messages! {
    /// Why a wire or ball does not seat. Lengths are millimetres.
    #[derive(Copy)]
    pub enum SeatError "seat" {
        /// A number is out of range, or not a number.
        Input "input" { error: OutOfRange as said },
        /// The flanks meet only at or beyond the thread axis, and the wire is too thin to be held above it.
        FallsThrough "falls-through" { wire: f64 as Size, pitch_diameter: f64 as Size },
        /// The ball is too large for the groove of an internal thread: its flanks curve more than the ball.
        TooLarge "too-large" { ball: f64 as Size },
        /// The reading belongs to no thread with this groove.
        NoSuchThread "no-such-thread" {
            wire: f64 as Size,
            /// Distance of its centre from the thread axis.
            centre: f64 as Size,
        },
        /// Wires are for external threads.
        WireInInternalThread "wire-in-internal-thread",
        /// The holder leans the wire so far that it does not touch both flanks of one groove.
        HeldTooFar "held-too-far" { degrees: f64 as Degrees },
        /// The contact lies beyond the end of the straight flank, at the crest.
        TouchesCrestEdge "touches-crest-edge" {
            wire: f64 as Size,
            /// Diameter on which the contact lies.
            contact: f64 as Size,
            /// Diameter at which the flank ends.
            edge: f64 as Size,
        },
        /// The wire meets the root, or the contact lies beyond the end of the straight flank there.
        FallsToRoot "falls-to-root" {
            wire: f64 as Size,
            /// Diameter that contact or wire would reach.
            reached: f64 as Size,
            /// Diameter of the root, or where the straight flank ends there.
            root: f64 as Size,
        },
        /// The wire does not stand out of the groove, so the anvil would rest on the crests.
        NotProud "not-proud" {
            wire: f64 as Size,
            /// Diameter that the wire reaches.
            reached: f64 as Size,
            crest: f64 as Size,
        },
    }
}

impl From<OutOfRange> for SeatError {
    fn from(error: OutOfRange) -> Self {
        Self::Input { error }
    }
}
