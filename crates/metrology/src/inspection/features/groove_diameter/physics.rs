//! Grooves, lands, undercuts: does the contact fit, and what follows from the reading.
//!
//! Lengths in millimetres. Source: elementary geometry.

/// What a blade or disc must clear.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Opening {
    /// Width at the top.
    pub width: f64,
    /// Radius where walls meet floor.
    pub root_radius: f64,
    /// Slope of each wall from square, radians.
    pub wall_angle: f64,
    /// Depth.
    pub depth: f64,
}

impl Opening {
    /// Width between the walls at the floor, before the root radius: `W − 2 h tan α`.
    pub fn width_at_floor(&self) -> f64 {
        self.width - 2.0 * self.depth * libm::tan(self.wall_angle)
    }

    /// The flat part of the floor: width at the floor less both root radii, and no more than the opening.
    ///
    /// Between tapered walls the radius takes `ρ tan((90° − α)/2)` of the floor on either side; for square walls
    /// that is ρ.
    pub fn flat_floor(&self) -> f64 {
        let quarter = std::f64::consts::FRAC_PI_2;
        self.width_at_floor()
            - 2.0 * self.root_radius * libm::tan((quarter - self.wall_angle) / 2.0)
    }

    /// What is left beside a blade of this thickness that stands on the flat of the floor; below zero it rides on
    /// the radius or the wall and reads large.
    pub fn clearance(&self, thickness: f64) -> f64 {
        self.flat_floor().min(self.width) - thickness
    }

    /// How far above the floor a blade too thick for the flat rides on a square-walled groove's radii:
    /// `ρ − √(ρ² − x²)`, with `x` what it overlaps on either side. `None` where it does not go in.
    pub fn rides_by(&self, thickness: f64) -> Option<f64> {
        let overlap = -self.clearance(thickness) / 2.0;
        if overlap <= 0.0 {
            return Some(0.0);
        }
        let radius = self.root_radius;
        (self.wall_angle == 0.0 && overlap <= radius && thickness < self.width)
            .then(|| radius - (radius * radius - overlap * overlap).sqrt())
    }
}

/// Depth of a groove from the diameters of land and floor: `(D_land − D_groove)/2`. Only where the two are concentric.
pub fn depth(land_diameter: f64, groove_diameter: f64) -> f64 {
    (land_diameter - groove_diameter) / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(width: f64, root_radius: f64) -> Opening {
        Opening {
            width,
            root_radius,
            wall_angle: 0.0,
            depth: 1.0,
        }
    }

    /// `t ≤ W − 2ρ`: a 1.10 mm groove with 0.15 mm radii has 0.80 mm of floor.
    #[test]
    fn a_blade_stands_on_the_floor() {
        let groove = square(1.10, 0.15);
        assert!((groove.flat_floor() - 0.80).abs() < 1e-12);
        assert!(groove.clearance(0.75) > 0.0);
        assert!(groove.clearance(0.85) < 0.0);
        assert_eq!(groove.rides_by(0.75), Some(0.0));
        // 0.05 mm over on either side of... 0.025 each: 0.15 − √(0.15² − 0.025²).
        assert!((groove.rides_by(0.85).unwrap() - 0.002_098).abs() < 1e-6);
        assert_eq!(groove.rides_by(1.2), None);
    }

    /// `W_bottom = W_top − 2 h tan α`: 3 mm, 2 mm deep, walls 10° off: 2.295 mm.
    #[test]
    fn tapered_walls_narrow_it() {
        let groove = Opening {
            width: 3.0,
            root_radius: 0.0,
            wall_angle: 10f64.to_radians(),
            depth: 2.0,
        };
        assert!((groove.width_at_floor() - 2.2947).abs() < 1e-4);
    }

    #[test]
    fn depth_of_concentric_diameters() {
        assert!((depth(20.0, 18.5) - 0.75).abs() < 1e-12);
    }
}
