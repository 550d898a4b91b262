//! Plane angle.

use std::f64::consts::PI;

/// A plane angle.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Angle {
    radians: f64,
}

impl Angle {
    /// From radians.
    pub const fn from_radians(radians: f64) -> Self {
        Self { radians }
    }

    /// From decimal degrees.
    pub fn from_degrees(degrees: f64) -> Self {
        Self {
            radians: degrees * PI / 180.0,
        }
    }

    /// From degrees and minutes of arc, both of the same sign.
    pub fn from_degrees_minutes(degrees: f64, minutes: f64) -> Self {
        Self::from_degrees(degrees + minutes / 60.0)
    }

    /// In radians.
    pub const fn radians(self) -> f64 {
        self.radians
    }

    /// In decimal degrees, to 10^-12 of a degree: 60 degrees come back as 60, not as 59.999 999 999 999 99.
    pub fn degrees(self) -> f64 {
        (self.radians * 180.0 / PI * 1e12).round() / 1e12
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whole_degrees_come_back_whole() {
        for degrees in [60.0, 55.0, 30.0, 29.0, 47.5, 14.5, 120.0] {
            assert_eq!(Angle::from_degrees(degrees).degrees(), degrees);
        }
    }
}
