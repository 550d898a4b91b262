//! Why a wire or ball does not seat.

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
