//! What a job says of a thread beside its designation: which diameter, and how it was made.

use serde::{Deserialize, Serialize};

/// One of the three diameters of a thread (ISO 5408).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ThreadDiameter {
    /// Simple pitch diameter, as V-and-cone contacts or wires show it at one place.
    #[default]
    PitchDiameter,
    /// Major diameter.
    MajorDiameter,
    /// Minor diameter.
    MinorDiameter,
}

crate::codes! {
    impl ThreadDiameter "diameter" {
        PitchDiameter "pitch-diameter",
        MajorDiameter "major-diameter",
        MinorDiameter "minor-diameter",
    }
}

crate::codes! {
    /// How a thread was made, which tells how far its flanks and its pitch may be off.
    #[derive(Serialize, Deserialize)]
    #[serde(rename_all = "kebab-case")]
    pub enum Made "made" {
        /// Ground, as thread gauges and precision screws are.
        Ground "ground",
        /// Rolled.
        Rolled "rolled",
        /// Cut with a single point, a die or a chaser.
        Cut "cut",
    }
}

impl Made {
    /// Every one, the usual first.
    pub const ALL: [Self; 3] = [Self::Rolled, Self::Cut, Self::Ground];
}
