//! A place of the part, and what was read there.

use serde::{Deserialize, Serialize};

use crate::message::Value;
use crate::units::Entered;

/// Readings at one place of the part.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Place {
    /// Where along the axis: as it was typed, in words or as a distance, or the code of a usual place.
    pub along: Option<Value>,
    /// Turned by how much, degrees.
    pub angle: Option<f64>,
    /// The readings, as shown.
    pub readings: Vec<Entered>,
}

crate::messages! {
    /// What a place is called.
    pub enum PlaceName "place" {
        /// By where it lies along the axis, or which of several it is.
        Along "along" { along: Value as itself },
        /// By its angle, degrees.
        Angle "angle" { angle: f64 as Given },
        /// By both.
        AlongAndAngle "along-and-angle" { along: Value as itself, angle: f64 as Given },
    }
}

impl Place {
    /// What it is called; nothing where nothing was stated.
    pub fn name(&self) -> Option<PlaceName> {
        match (self.along.clone(), self.angle) {
            (Some(along), Some(angle)) => Some(PlaceName::AlongAndAngle { along, angle }),
            (Some(along), None) => Some(PlaceName::Along { along }),
            (None, Some(angle)) => Some(PlaceName::Angle { angle }),
            (None, None) => None,
        }
    }
}

crate::messages! {
    /// Where along the part.
    pub enum Where "where" {
        /// At a section, as it was stated.
        Section "section" { section: Value as itself },
    }
}
