//! The virtual part: its true sizes, place by place.

use std::f64::consts::{PI, TAU};

use crate::SimulationError;
use crate::set_up::SetUp;
use metrology::functional::{AngleTerm, FlankInMesh, FormErrors, functional_difference};
use metrology::uncertainty::monte_carlo::random::Generator;
use metrology::units::Angle;
use metrology::wires::Side;

/// A part with errors of form. Lengths in millimetres at 20 °C.
pub struct VirtualPart {
    /// Mean diameter (of a thread: simple pitch diameter) over all of the part.
    pub mean: f64,
    /// Growth of the diameter from one end of the measured length to the other.
    taper: f64,
    /// Amplitude of the two-lobed deviation of the diameter, and where its largest is.
    ovality: (f64, f64),
    /// Three-lobed deviation of the radius. Opposite points move together: no two-point measurement sees it.
    lobing: f64,
    /// Error of the half angles of both flanks.
    pub flank_error: Angle,
    /// Cumulative lead error over the length of engagement. No pair of contacts sees it.
    lead_error: f64,
}

/// A place on the part.
#[derive(Clone, Copy, Debug)]
pub struct Spot {
    /// Along the measured length, 0 to 1.
    pub along: f64,
    /// Turned by, radians.
    pub angle: f64,
    /// What the part is larger by here and nowhere else, millimetres.
    pub local: f64,
}

impl VirtualPart {
    /// Draws the errors of form; the mean is still to be chosen.
    pub fn draw(set_up: &SetUp, random: &mut Generator) -> Self {
        let um = 1e-3;
        Self {
            mean: 0.0,
            taper: set_up.taper * um * symmetric(random),
            ovality: (
                set_up.ovality * um * random.uniform(),
                PI * random.uniform(),
            ),
            lobing: 2.0 * um * random.uniform(),
            flank_error: Angle::from_degrees(set_up.flank_angle / 60.0 * symmetric(random)),
            lead_error: 5.0 * um * symmetric(random),
        }
    }

    /// A place taken at random: the technician does not know where the high spots are.
    pub fn spot(set_up: &SetUp, random: &mut Generator) -> Spot {
        Spot {
            along: random.uniform(),
            angle: TAU * random.uniform(),
            local: set_up.local * 1e-3 * random.normal(),
        }
    }

    /// What the diameter at a place is above the mean: the sum of two opposite radii.
    pub fn deviation(&self, spot: Spot) -> f64 {
        let (swing, largest) = self.ovality;
        let radius = |angle: f64| {
            0.5 * swing * libm::cos(2.0 * (angle - largest)) + self.lobing * libm::cos(3.0 * angle)
        };
        self.taper * (spot.along - 0.5) + radius(spot.angle) + radius(spot.angle + PI) + spot.local
    }

    /// The size that a GO gauge would feel: simple pitch diameter, lead and flank angles together.
    pub fn functional(&self, half_angle: Angle, pitch: f64) -> Result<f64, SimulationError> {
        let included = Angle::from_radians(2.0 * half_angle.radians());
        let flank = FlankInMesh::of_standard_form(Side::External, included)
            .ok_or_else(|| SimulationError::of("a thread of no standard form"))?;
        let errors = FormErrors {
            side: Side::External,
            pitch_mm: pitch,
            leading_half_angle: half_angle,
            following_half_angle: half_angle,
            flank,
            pitch_error_mm: self.lead_error,
            leading_angle_error: self.flank_error,
            following_angle_error: self.flank_error,
        };
        functional_difference(&errors, AngleTerm::SignAware)
            .map(|difference| difference.functional_size_mm(Side::External, self.mean))
            .map_err(SimulationError::of)
    }
}

/// Rectangular between -1 and 1.
pub fn symmetric(random: &mut Generator) -> f64 {
    2.0 * random.uniform() - 1.0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn part() -> VirtualPart {
        VirtualPart {
            mean: 9.0,
            taper: 0.004,
            ovality: (0.003, 0.4),
            lobing: 0.002,
            flank_error: Angle::from_degrees(0.5),
            lead_error: 0.010,
        }
    }

    /// Taper and ovality average out over the part, and opposite lobes take each other away.
    #[test]
    fn the_mean_is_the_mean() {
        let part = part();
        let mut sum = 0.0;
        for along in 0..10 {
            for turn in 0..12 {
                sum += part.deviation(Spot {
                    along: (f64::from(along) + 0.5) / 10.0,
                    angle: f64::from(turn) * PI / 6.0,
                    local: 0.0,
                });
            }
        }
        assert!(sum.abs() < 1e-12, "{sum}");
        let round = VirtualPart {
            taper: 0.0,
            ovality: (0.0, 0.0),
            ..part
        };
        let spot = |angle| Spot {
            along: 0.0,
            angle,
            local: 0.0,
        };
        assert!(round.deviation(spot(0.0)).abs() < 1e-15);
        assert!(round.deviation(spot(1.0)).abs() < 1e-15);
    }

    /// By hand: 10 µm of lead cost 10 √3; both flanks too large by 0.5° at P = 1.5 cost (4/sin 60°)(H/4)(0.5°) with
    /// H/4 = 0.32476: 13.09 µm; together 30.41 µm.
    #[test]
    fn what_the_ring_feels() {
        let felt = part().functional(Angle::from_degrees(30.0), 1.5).unwrap();
        assert!((felt - 9.030_41).abs() < 2e-5, "{felt}");
    }
}
